// A fixed story of the plant, and the hash of every bit of it: what each compiler must give alike. Seeded by a
// generator of its own, as those of the standard library's distributions may differ.
#pragma once

#include <array>
#include <bit>
#include <cstddef>
#include <cstdint>

#include "penstock/layouts.hpp"
#include "penstock/plant.hpp"

namespace penstock_tests {

/// A small generator [Steele et al., splitmix64].
class dice {
 public:
  explicit dice(std::uint64_t seed) : now_(seed) {}
  std::uint64_t next() {
    now_ += 0x9E37'79B9'7F4A'7C15U;
    std::uint64_t z = now_;
    z = (z ^ (z >> 30)) * 0xBF58'476D'1CE4'E5B9U;
    z = (z ^ (z >> 27)) * 0x94D0'49BB'1331'11EBU;
    return z ^ (z >> 31);
  }
  /// 0 to 1, never 1.
  double share() { return static_cast<double>(next() >> 11) * 0x1p-53; }
  double between(double low, double high) { return low + (high - low) * share(); }
  std::size_t below(std::size_t many) { return static_cast<std::size_t>(next() % many); }
  bool one_in(std::size_t many) { return below(many) == 0; }

 private:
  std::uint64_t now_;
};

/// Any commands in range: everything opens, drives, breaks and leaks.
inline penstock::plant_commands any_commands(dice& d, const penstock::layout& of) {
  using namespace penstock;
  const detail::plan& p = of.plan();
  plant_commands made{};
  const auto motion = [&d] { return static_cast<std::int8_t>(static_cast<int>(d.below(3)) - 1); };
  for (auto& e : made.engines) e = {static_cast<spool_drive>(d.below(3)), d.one_in(2), d.one_in(8)};
  for (auto& pump : made.engine_pumps) pump = {!d.one_in(3), d.one_in(6)};
  for (auto& pump : made.electric_pumps) pump = {d.one_in(2), d.one_in(6)};
  for (auto& pump : made.ram_air_pumps) pump = {d.one_in(2), d.one_in(6)};
  for (auto& air : made.airstream) air = d.one_in(3) ? 0.0 : d.one_in(2) ? 1.0 : d.share();
  for (auto& c : made.circuits) {
    c = {!d.one_in(3), !d.one_in(3), d.one_in(4), d.one_in(6), d.one_in(10), 0.0, 0.0, 0.0};
    // Mostly a drop, at times the most that is accepted.
    const auto amount = [&d](double most) {
      if (!d.one_in(5)) return 0.0;
      return d.one_in(20) ? most : d.between(0.0, 1e-4);
    };
    c.reservoir_leak = amount(1.0);
    c.line_leak = amount(1.0 * limits::faults);
    c.demand = amount(1.0 * limits::consumers);
  }
  const auto by = [&] { return static_cast<std::uint8_t>(d.below(p.circuits)); };
  for (std::size_t i = 0; i < p.doors; ++i) made.doors[i] = {motion(), d.one_in(8) ? by() : p.door_at[i].circuit};
  for (std::size_t i = 0; i < p.consumers; ++i) made.gear[i] = {motion(), by()};
  for (auto& u : made.units) u = {motion(), d.one_in(8), d.one_in(4)};
  for (auto& lost : made.gas_lost) lost = d.one_in(12);
  return made;
}

/// Every number of a plant, field by field, so that no padding counts.
template <class Use>
void each_number(const penstock::plant_state& plant, Use use) {
  for (const auto& e : plant.engines) use(e.speed), use(e.since_idle);
  for (const double m : plant.motor) use(m);
  for (const auto& c : plant.circuits) {
    for (const double b : c.line) use(b);
    for (const double x : {c.own_line, c.reservoir, c.leaked, c.filled, c.temperature, c.pumped, c.worked, c.heated}) use(x);
    use(c.relief_open ? 1.0 : 0.0);
    use(c.dry ? 1.0 : 0.0);
  }
  for (const double x : plant.door) use(x);
  for (const double x : plant.gear) use(x);
  for (const auto& s : plant.stores) use(s.fluid), use(s.gas_temperature), use(s.brake);
  for (const auto& u : plant.units) use(u.flow), use(u.turning ? 1.0 : 0.0);
  for (const double f : plant.engine_pump_flow) use(f);
  for (const double f : plant.electric_pump_flow) use(f);
  for (const double f : plant.ram_air_pump_flow) use(f);
}

/// FNV-1a over the bytes of a number, the lowest first.
inline void add_to_hash(std::uint64_t& hash, double number) {
  const auto bits = std::bit_cast<std::uint64_t>(number);
  for (int shift = 0; shift < 64; shift += 8) {
    hash ^= (bits >> shift) & 0xFFU;
    hash *= 0x100'0000'01B3U;
  }
}

/// 20,000 frames of the twin freighter, the first half in frames of a display, the rest of any length.
inline std::uint64_t hash_of_story() {
  using namespace penstock;
  const layout of = *layout::from(layouts::twin_freighter());
  // A state by hand: making one by the rules would need the tables, which are slow to compile.
  state still{};
  still.logic.aircraft.gear_down = true;
  for (auto& circuit : still.logic.circuits) circuit.level = fluid_level::normal;
  plant_state plant = plant_at(of, still);
  dice d{20'261};
  std::uint64_t hash = 0xCBF2'9CE4'8422'2325U;
  plant_commands commands{};
  double pumped = 0.0;
  for (int frame = 0; frame < 20'000; ++frame) {
    if (frame % 40 == 0) commands = any_commands(d, of);
    // Fluid comes back now and then, or the story would end dry.
    if (frame % 1'000 == 0) plant = plant_at(of, still);
    const double dt = frame < 10'000 ? 1.0 / 60.0 : d.between(shortest_step, d.one_in(10) ? longest_step : 0.05);
    if (integrate_in_place(of, plant, commands, dt).kind != refusal_kind::none) return 0;
    each_number(plant, [&hash](double x) { add_to_hash(hash, x); });
    pumped = plant.circuits[0].pumped > pumped ? plant.circuits[0].pumped : pumped;
  }
  if (!(pumped > 1e5)) return 0;  // a story in which nothing flows would prove nothing
  return hash;
}

/// The hash that every compiler gives. Renewed by hand when the plant is changed on purpose.
inline constexpr std::uint64_t expected_hash = 16773230062938524306U;

}  // namespace penstock_tests
