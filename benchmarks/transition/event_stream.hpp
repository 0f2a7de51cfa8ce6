// A seeded stream of events for the twin freighter: commands, facts, faults and time, weighted so that
// engines do start, doors do move and the aircraft does fly. The weights are invented.
#pragma once

#include <cstdint>
#include <random>
#include <vector>

#include "penstock/event.hpp"

namespace streams {

class source {
 public:
  explicit source(std::uint64_t seed) : random_(seed) {}

  penstock::event next() {
    namespace ev = penstock::events;
    using namespace penstock;
    const unsigned pick = below(1000);
    if (pick < 300) return ev::elapsed(milliseconds{16 + below(2)});
    if (pick < 360) return ev::elapsed(milliseconds{500});
    if (pick < 400) return ev::elapsed(milliseconds{3'000});
    if (pick < 415) return ev::elapsed(milliseconds{30'000});
    if (pick < 780) return fact();
    if (pick < 975) return command();
    if (pick < 995) return about_faults();
    return nonsense();
  }

 private:
  // not std::uniform_int_distribution: its answers differ between C++ libraries
  unsigned below(unsigned limit) { return static_cast<unsigned>(random_() % limit); }
  bool chance(unsigned percent) { return below(100) < percent; }
  template <class Enum>
  Enum any(unsigned many) {
    return static_cast<Enum>(below(many));
  }
  penstock::subject any_pump() {
    return chance(50) ? penstock::events::engine_pump(below(2)) : penstock::events::electric_pump(below(2));
  }

  penstock::event fact() {
    namespace ev = penstock::events;
    using namespace penstock;
    const unsigned pick = below(100);
    if (pick < 22) return ev::spool(below(2), chance(60) ? spool_band::idle : any<spool_band>(5));
    if (pick < 28) return ev::starter_out(below(2));
    if (pick < 46) return ev::pressure(below(3), chance(70));
    if (pick < 53) return ev::priority(below(3), chance(70));
    if (pick < 62) return ev::difference(0, any<pressure_difference>(5));
    if (pick < 70) return ev::travel(below(2), any<door_travel>(3));
    if (pick < 74) return ev::level(below(3), chance(80) ? fluid_level::normal : any<fluid_level>(4));
    if (pick < 75) return ev::air(below(3), chance(30));
    if (pick < 76) return ev::fluid(below(3), chance(30));
    if (pick < 78) return ev::failure(any_pump(), chance(15));
    if (pick < 80) return ev::overheat(any_pump(), chance(20));
    if (pick < 81) return ev::stored(0, below(4));
    if (pick < 83) return ev::shed(below(2), chance(20));
    if (pick < 87) return ev::external_power(chance(75));
    if (pick < 89) return ev::auxiliary_power(chance(50));
    if (pick < 90) return chance(50) ? ev::air_ground_invalid() : ev::air_ground_is(air_ground::ground);
    if (pick < 93) return ev::air_ground_is(chance(50) ? air_ground::ground : air_ground::air);
    if (pick < 95) return ev::airspeed(any<airspeed_band>(3));
    if (pick < 97) return ev::phase(any<flight_phase>(3));
    if (pick < 98) return chance(50) ? ev::hang(below(2)) : ev::flame_out(below(2));
    return ev::overspeed(0, chance(30));
  }

  penstock::event command() {
    namespace ev = penstock::events;
    using namespace penstock;
    const unsigned pick = below(100);
    if (pick < 24) return ev::start(below(2));
    if (pick < 27) return ev::abort_start(below(2));
    if (pick < 32) return ev::shut_down(below(2));
    if (pick < 35) return ev::fire_handle(below(2), chance(40));
    if (pick < 38) return ev::reset_supply(below(2));
    if (pick < 48) return ev::crew_switch(chance(25) ? ev::unit(0) : any_pump(), any<pump_switch>(3));
    if (pick < 53) return ev::reset(any_pump());
    if (pick < 56) return ev::ground_override(below(2));
    if (pick < 74) return ev::lever(below(2), any<lever_position>(3));
    if (pick < 79) return ev::steering(chance(60));
    if (pick < 82) return ev::pin(chance(40));
    if (pick < 87) return ev::parking_brake(chance(50));
    if (pick < 89) return ev::apply_brakes();
    if (pick < 92) return ev::gear(chance(50));
    if (pick < 95) return ev::acknowledge();
    if (pick < 96) return ev::recall();
    if (pick < 98) return ev::stow(0);
    if (pick < 99) return chance(50) ? ev::hand_pump(below(3), chance(50)) : ev::leak_isolation(below(3), chance(50));
    return ev::maintenance_test(0);
  }

  penstock::event about_faults() {
    namespace ev = penstock::events;
    using namespace penstock;
    if (chance(10)) return ev::clear_faults();
    const auto kind = any<fault>(count_of<fault>);
    const auto& form = form_of(kind);
    subject where{form.subjects[below(form.subject_kinds)], 0};
    where.index = static_cast<std::uint8_t>(below(where.kind == component::consumer ? 10 : 2));
    if (chance(55)) return ev::remove_fault(kind, where);
    const std::int64_t amount = form.needs_amount ? 1000 : 0;
    if (chance(30)) return ev::inject(kind, where, amount);
    if (chance(20)) return ev::inject_at(kind, where, milliseconds{below(40'000'000)}, amount);
    const auto trigger = any<fault_trigger>(count_of<fault_trigger>);
    auto about = component::aircraft;
    switch (trigger) {
      case fault_trigger::engine_runs:
      case fault_trigger::engine_cranks: about = component::engine; break;
      case fault_trigger::pump_delivers: about = chance(50) ? component::engine_pump : component::electric_pump; break;
      case fault_trigger::pressure_made: about = component::circuit; break;
      case fault_trigger::door_moves: about = component::cargo_door; break;
      case fault_trigger::test_runs: about = component::transfer_unit; break;
      default: break;
    }
    return ev::inject_when(kind, where, trigger, {about, static_cast<std::uint8_t>(below(2))}, amount);
  }

  /// An event that fits nothing.
  penstock::event nonsense() {
    using namespace penstock;
    auto made = events::make(static_cast<event_kind>(below(60)),
                             {static_cast<component>(below(14)), static_cast<std::uint8_t>(below(12))},
                             static_cast<std::uint8_t>(below(40)), static_cast<std::int64_t>(below(200)) - 100);
    made.trigger = static_cast<fault_trigger>(below(12));
    made.trigger_about = {static_cast<component>(below(14)), static_cast<std::uint8_t>(below(5))};
    return made;
  }

  std::mt19937_64 random_;
};

[[nodiscard]] inline std::vector<penstock::event> stream(std::size_t length, std::uint64_t seed) {
  source from{seed};
  std::vector<penstock::event> made;
  made.reserve(length);
  while (made.size() < length) made.push_back(from.next());
  return made;
}

}  // namespace streams
