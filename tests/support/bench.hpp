// A bench for tests of the rules: one aircraft, one state, no plant. The test supplies every fact as an
// event. With two small invented layouts to put on it. All numbers here are invented.
#pragma once

#include <chrono>
#include <optional>
#include <ostream>
#include <stdexcept>
#include <string>
#include <string_view>
#include <type_traits>
#include <utility>
#include <vector>

#include <gtest/gtest.h>

#include "penstock/penstock.hpp"

// Failures speak in the words of the library.
namespace penstock::inline v1 {

template <class Enum>
  requires(std::is_enum_v<Enum> && requires { detail::words_of<Enum>::list; })
void PrintTo(const Enum& value, std::ostream* out) {
  *out << word(value);
}

inline void PrintTo(const event_kind& kind, std::ostream* out) { *out << form_of(kind).word; }

inline void PrintTo(const refusal_kind& kind, std::ostream* out) {
  constexpr std::string_view words[] = {"accepted",  "refused by a row", "no meaning now", "guard does not hold",
                                        "no such part", "wrong part",    "bad value",      "time",
                                        "too many faults", "no such fault", "not fitted"};
  const auto index = static_cast<std::size_t>(kind);
  *out << (index < std::size(words) ? words[index] : std::string_view{"?"});
}

inline void PrintTo(const subject& s, std::ostream* out) {
  *out << word(s.kind) << ' ' << static_cast<unsigned>(s.index);
}

inline void PrintTo(const event& e, std::ostream* out) {
  const event_form& form = form_of(e.kind);
  *out << form.word;
  if (e.about.kind != component::aircraft && e.about.kind != component::steering) {
    *out << " (" << word(e.about.kind) << ' ' << static_cast<unsigned>(e.about.index) << ')';
  }
  if (e.value < form.values.size()) *out << ' ' << form.values[e.value];
  if (e.amount != 0) *out << ' ' << e.amount;
}

/// States are compared whole; where they differ is for the other assertions of a test to say.
inline void PrintTo(const state& s, std::ostream* out) { *out << "state at " << s.chronicle.now << " ms"; }

}  // namespace penstock::inline v1

namespace penstock_tests {

using namespace penstock;               // the tests speak of nothing else
using namespace std::chrono_literals;   // wait(12s)

/// One aircraft and its state. Verbs return the bench, so that a story can be told in one line.
class bench {
 public:
  /// Cold and dark. A spec that is refused ends the test with the reason.
  explicit bench(layout_spec spec) : layout_(checked(std::move(spec))), state_(cold_and_dark(layout_)) {}

  /// The event must be accepted.
  bench& does(const event& happening) {
    const outcome result = transition(layout_, state_, happening);
    EXPECT_TRUE(result.what.accepted()) << testing::PrintToString(happening) << " was refused: "
                                        << result.what.refused.sentence << " [" << result.what.refused.rule << ']';
    EXPECT_FALSE(result.what.cut_short) << testing::PrintToString(happening) << " takes too many rows [GEN-1]";
    state_ = result.after;
    last_ = result.what;
    return *this;
  }

  /// Several events at the same time, in this order.
  template <class... Events>
  bench& does(const event& first, const Events&... more) {
    does(first);
    (does(more), ...);
    return *this;
  }

  /// Time goes on.
  bench& wait(milliseconds span) { return does(events::elapsed(span)); }

  /// The event must be refused for a reason of the rules, in words, and change nothing at all [GEN-2].
  bench& refuses(const event& happening) {
    const outcome result = transition(layout_, state_, happening);
    const refusal& why = result.what.refused;
    EXPECT_TRUE(why.kind == refusal_kind::by_row || why.kind == refusal_kind::no_meaning ||
                why.kind == refusal_kind::guard)
        << testing::PrintToString(happening) << ": " << testing::PrintToString(why.kind);
    EXPECT_FALSE(why.rule.empty()) << testing::PrintToString(happening) << " is refused without a rule";
    EXPECT_FALSE(why.sentence.empty()) << testing::PrintToString(happening) << " is refused without a reason";
    EXPECT_EQ(result.what.rows, 0U) << testing::PrintToString(happening) << " is refused and yet takes rows";
    EXPECT_TRUE(result.after == state_) << testing::PrintToString(happening)
                                        << " is refused and yet changes something";
    last_ = result.what;
    return *this;
  }

  /// The event must be refused by this rule.
  bench& refused_by(const event& happening, std::string_view rule_id) {
    refuses(happening);
    EXPECT_TRUE(names_rule(last_.refused.rule, rule_id))
        << testing::PrintToString(happening) << " is refused by [" << last_.refused.rule << "], not by [" << rule_id
        << "]: " << last_.refused.sentence;
    return *this;
  }

  /// The event cannot be used at all: a part that is not there, a value out of range, an option not fitted.
  bench& rejects(const event& happening, refusal_kind because) {
    const outcome result = transition(layout_, state_, happening);
    EXPECT_EQ(result.what.refused.kind, because) << testing::PrintToString(happening);
    EXPECT_FALSE(result.what.refused.sentence.empty()) << testing::PrintToString(happening);
    EXPECT_TRUE(result.after == state_) << testing::PrintToString(happening)
                                        << " is rejected and yet changes something";
    last_ = result.what;
    return *this;
  }

  /// The event must not be accepted, for whatever reason, and must change nothing [GEN-2].
  bench& turns_down(const event& happening) {
    const outcome result = transition(layout_, state_, happening);
    EXPECT_FALSE(result.what.accepted()) << testing::PrintToString(happening) << " was accepted";
    EXPECT_FALSE(result.what.refused.sentence.empty()) << testing::PrintToString(happening);
    EXPECT_TRUE(result.after == state_) << testing::PrintToString(happening)
                                        << " is turned down and yet changes something";
    last_ = result.what;
    return *this;
  }

  /// The event may be accepted or not: the test is about what is so afterwards.
  bench& tries(const event& happening) {
    const outcome result = transition(layout_, state_, happening);
    state_ = result.after;
    last_ = result.what;
    return *this;
  }

  /// What an observer sees now.
  [[nodiscard]] observation sees() const { return observe(layout_, state_); }

  /// The standing alert for that condition and subject, or nothing.
  [[nodiscard]] std::optional<observed_alert> alert(condition which, subject about = {}) const {
    const observation seen = sees();
    for (const observed_alert& one : seen.alerts_standing()) {
      if (one.condition == which && one.about == about) return one;
    }
    return std::nullopt;
  }
  /// Its class; none when it does not stand.
  [[nodiscard]] alert_class level_of(condition which, subject about = {}) const {
    const auto found = alert(which, about);
    return found ? found->level : alert_class::none;
  }

  /// Whether the last event took a row that carries this rule.
  [[nodiscard]] bool took(std::string_view rule_id) const {
    for (const row_taken& taken : last_.taken()) {
      const auto rows = rows_of(taken.machine);
      if (taken.row < rows.size() && names_rule(rows[taken.row].rules, rule_id)) return true;
    }
    return false;
  }

  /// The pressure of every circuit follows its sources, as a plant without inertia would have it: facts of
  /// pressure, priority pressure and difference are supplied until none changes any more.
  bench& pressures_follow() {
    for (int round = 0; round < 8; ++round) {
      const observation seen = sees();
      bool changed = false;
      for (unsigned c = 0; c < layout_.count(component::circuit); ++c) {
        const bool fed = seen.circuits[c].own_source || seen.circuits[c].driven;
        if (fed != seen.circuits[c].pressure_made) {
          does(events::pressure(c, fed));
          changed = true;
        }
        if (fed != state_.logic.circuits[c].above_priority) {
          does(events::priority(c, fed));
          changed = true;
        }
      }
      for (unsigned u = 0; u < layout_.count(component::transfer_unit); ++u) {
        const bool a = seen.circuits[layout_.plan().unit_at[u].a].own_source;
        const bool b = seen.circuits[layout_.plan().unit_at[u].b].own_source;
        const auto difference = a == b ? pressure_difference::level
                                       : (a ? pressure_difference::a_exceeds : pressure_difference::b_exceeds);
        if (difference != state_.logic.units[u].difference) {
          does(events::difference(u, difference));
          changed = true;
        }
      }
      if (!changed) return *this;
    }
    ADD_FAILURE() << "pressures and sources do not come to rest";
    return *this;
  }

  /// What the last event did.
  [[nodiscard]] const effects& last() const { return last_; }
  [[nodiscard]] const state& now() const { return state_; }
  [[nodiscard]] const layout& aircraft() const { return layout_; }
  [[nodiscard]] std::optional<std::uint32_t> deadline() const { return next_deadline(layout_, state_); }

  /// Begin at another state of the same layout.
  bench& begins_at(const state& s) {
    state_ = s;
    last_ = {};
    return *this;
  }
  /// Begin at a state that is set up directly [GEN-7].
  bench& begins_at(const reposition_spec& to) {
    const auto set_up = repositioned(layout_, to);
    if (!set_up) {
      ADD_FAILURE() << to_string(set_up.problem());
      return *this;
    }
    return begins_at(*set_up);
  }

 private:
  static layout checked(layout_spec spec) {
    auto made = layout::from(std::move(spec));
    if (!made) throw std::invalid_argument(to_string(made.problem()));
    return *std::move(made);
  }

  layout layout_;
  state state_;
  effects last_{};
};

/// Engine e from start selected to idle, starter still engaged; the pressures follow its pumps.
inline bench& start_to_idle(bench& b, unsigned e) {
  b.does(events::start(e)).pressures_follow();
  for (const spool_band band : {spool_band::turning, spool_band::driving, spool_band::near_idle, spool_band::idle}) {
    b.does(events::spool(e, band)).pressures_follow();
  }
  return b;
}

/// A whole start: cranked, through its bands, at idle, starter out; the pressures follow its pumps.
inline bench& full_start(bench& b, unsigned e) {
  start_to_idle(b, e);
  return b.does(events::starter_out(e)).pressures_follow();
}

/// A whole stop: shut down and run down to standstill; the pressures follow.
inline bench& full_stop(bench& b, unsigned e) {
  b.does(events::shut_down(e)).pressures_follow();
  for (const spool_band band : {spool_band::near_idle, spool_band::driving, spool_band::turning, spool_band::zero}) {
    b.does(events::spool(e, band)).pressures_follow();
  }
  return b;
}

/// Off the ground.
inline bench& take_off(bench& b) { return b.does(events::air_ground_is(air_ground::air)); }
/// On the ground again.
inline bench& touch_down(bench& b) { return b.does(events::air_ground_is(air_ground::ground)); }

// Numbers of the parts of two_engine_spec.
inline constexpr unsigned cargo_circuit = 0, plain_circuit = 1, auxiliary_circuit = 2;
inline constexpr unsigned cargo_pump = 0, duty_pump = 1, plain_pump = 2;
inline constexpr unsigned forward_door = 0, aft_door = 1;
inline constexpr unsigned controls = 0, gear = 1, steering = 2, brakes = 3, parking_brake = 4, reverser_1 = 5,
                          reverser_2 = 6, forward_door_drive = 7, aft_door_drive = 8, outer_flaps = 9;

/// An invented twin: 2 engines; circuits port (engine pump 0, electric pump with cargo duty, both doors),
/// starboard (engine pump 1, electric pump without duty) and centre (electric pump with first-engine duty,
/// ram-air pump); a transfer unit between port and starboard; every kind of consumer; a store on port;
/// two main buses.
inline layout_spec two_engine_spec() {
  layout_spec s;
  s.name = "bench-twin";
  s.title = "Twin for the test bench";
  s.origin = "invented";
  s.engines.resize(2);
  s.engines[0].name = "engine-1";
  s.engines[1].name = "engine-2";
  s.circuits.resize(3);
  s.circuits[0].name = "port";
  s.circuits[1].name = "starboard";
  s.circuits[2].name = "centre";
  s.engine_pumps.resize(2);
  s.engine_pumps[0].name = "engine-pump-1";
  s.engine_pumps[0].engine = "engine-1";
  s.engine_pumps[0].circuit = "port";
  s.engine_pumps[0].control_bus = "bus-1";
  s.engine_pumps[1].name = "engine-pump-2";
  s.engine_pumps[1].engine = "engine-2";
  s.engine_pumps[1].circuit = "starboard";
  s.engine_pumps[1].control_bus = "bus-2";
  s.electric_pumps.resize(3);
  s.electric_pumps[0].name = "cargo-pump";
  s.electric_pumps[0].circuit = "port";
  s.electric_pumps[0].bus = "bus-1";
  s.electric_pumps[0].duty = pump_duty::cargo;
  s.electric_pumps[1].name = "duty-pump";
  s.electric_pumps[1].circuit = "centre";
  s.electric_pumps[1].bus = "bus-2";
  s.electric_pumps[1].duty = pump_duty::first_engine;
  s.electric_pumps[2].name = "plain-pump";
  s.electric_pumps[2].circuit = "starboard";
  s.electric_pumps[2].bus = "bus-2";
  s.electric_pumps[2].duty = pump_duty::none;
  s.ram_air_pumps.resize(1);
  s.ram_air_pumps[0].name = "ram-air";
  s.ram_air_pumps[0].circuit = "centre";
  s.transfer_units.resize(1);
  s.transfer_units[0].name = "transfer";
  s.transfer_units[0].a = "port";
  s.transfer_units[0].b = "starboard";
  s.transfer_units[0].test_limit = milliseconds{6'000};
  for (auto& circuit : s.circuits) circuit.service_hold_off = milliseconds{40'000};
  s.cargo_doors.resize(2);
  s.cargo_doors[0].name = "forward";
  s.cargo_doors[0].circuit = "port";
  s.cargo_doors[1].name = "aft";
  s.cargo_doors[1].circuit = "port";
  s.stores.resize(1);
  s.stores[0].name = "brake-store";
  s.stores[0].circuit = "port";
  s.consumers.resize(10);
  s.consumers[0].name = "controls";
  s.consumers[0].kind = consumer_kind::controls;
  s.consumers[0].feeds = {{"port", branch::main}, {"starboard", branch::main}, {"centre", branch::main}};
  s.consumers[1].name = "gear";
  s.consumers[1].kind = consumer_kind::gear;
  s.consumers[1].feeds = {{"port", branch::main}};
  s.consumers[1].heavy = true;
  s.consumers[1].displacement = litres(1.5);
  s.consumers[2].name = "nose-steering";
  s.consumers[2].kind = consumer_kind::steering;
  s.consumers[2].feeds = {{"starboard", branch::main}};
  s.consumers[3].name = "brakes";
  s.consumers[3].kind = consumer_kind::brakes;
  s.consumers[3].feeds = {{"port", branch::service}};
  s.consumers[4].name = "park-brake";
  s.consumers[4].kind = consumer_kind::parking_brake;
  s.consumers[4].feeds = {{"port", branch::service}};
  s.consumers[4].store = "brake-store";
  s.consumers[5].name = "reverser-1";
  s.consumers[5].kind = consumer_kind::reverser;
  s.consumers[5].feeds = {{"port", branch::service}};
  s.consumers[6].name = "reverser-2";
  s.consumers[6].kind = consumer_kind::reverser;
  s.consumers[6].feeds = {{"starboard", branch::main}};
  s.consumers[7].name = "forward-drive";
  s.consumers[7].kind = consumer_kind::cargo_door;
  s.consumers[7].feeds = {{"port", branch::service}};
  s.consumers[7].door = "forward";
  s.consumers[8].name = "aft-drive";
  s.consumers[8].kind = consumer_kind::cargo_door;
  s.consumers[8].feeds = {{"port", branch::service}};
  s.consumers[8].door = "aft";
  s.consumers[9].name = "outer-flaps";
  s.consumers[9].kind = consumer_kind::other;
  s.consumers[9].feeds = {{"centre", branch::outer}};
  s.buses.resize(2);
  s.buses[0].name = "bus-1";
  s.buses[0].sources = {"engine-1", "engine-2", "auxiliary", "external"};
  s.buses[0].main = true;
  s.buses[1].name = "bus-2";
  s.buses[1].sources = {"engine-2", "engine-1", "auxiliary", "external"};
  s.buses[1].main = true;
  return s;
}

/// An invented aircraft with 4 engines, 4 circuits with an engine pump each, 2 transfer units (circuits 0 and
/// 1, 2 and 3), an electric pump with cargo duty on circuit 1 (two doors), one with first-engine duty on
/// circuit 2 and one without duty on circuit 3; two main buses.
inline layout_spec four_engine_spec() {
  layout_spec s;
  s.name = "bench-four";
  s.title = "Four engines for the test bench";
  s.origin = "invented";
  s.engines.resize(4);
  s.circuits.resize(4);
  s.engine_pumps.resize(4);
  for (std::size_t i = 0; i < 4; ++i) {
    const std::string number = std::to_string(i + 1);
    s.engines[i].name = "engine-" + number;
    s.circuits[i].name = "circuit-" + number;
    s.engine_pumps[i].name = "engine-pump-" + number;
    s.engine_pumps[i].engine = s.engines[i].name;
    s.engine_pumps[i].circuit = s.circuits[i].name;
  }
  s.electric_pumps.resize(3);
  s.electric_pumps[0].name = "cargo-pump";
  s.electric_pumps[0].circuit = "circuit-2";
  s.electric_pumps[0].bus = "bus-1";
  s.electric_pumps[0].duty = pump_duty::cargo;
  s.electric_pumps[1].name = "duty-pump";
  s.electric_pumps[1].circuit = "circuit-3";
  s.electric_pumps[1].bus = "bus-2";
  s.electric_pumps[1].duty = pump_duty::first_engine;
  s.electric_pumps[2].name = "plain-pump";
  s.electric_pumps[2].circuit = "circuit-4";
  s.electric_pumps[2].bus = "bus-2";
  s.transfer_units.resize(2);
  s.transfer_units[0].name = "left-transfer";
  s.transfer_units[0].a = "circuit-1";
  s.transfer_units[0].b = "circuit-2";
  s.transfer_units[1].name = "right-transfer";
  s.transfer_units[1].a = "circuit-3";
  s.transfer_units[1].b = "circuit-4";
  for (auto& unit : s.transfer_units) unit.test_limit = milliseconds{6'000};
  s.cargo_doors.resize(2);
  s.cargo_doors[0].name = "forward";
  s.cargo_doors[0].circuit = "circuit-2";
  s.cargo_doors[1].name = "aft";
  s.cargo_doors[1].circuit = "circuit-2";
  s.consumers.resize(5);
  s.consumers[0].name = "controls";
  s.consumers[0].kind = consumer_kind::controls;
  s.consumers[0].feeds = {{"circuit-1", branch::main},
                          {"circuit-2", branch::main},
                          {"circuit-3", branch::main},
                          {"circuit-4", branch::main}};
  s.consumers[1].name = "gear";
  s.consumers[1].kind = consumer_kind::gear;
  s.consumers[1].feeds = {{"circuit-4", branch::main}};
  s.consumers[1].displacement = litres(2.0);
  s.consumers[2].name = "nose-steering";
  s.consumers[2].kind = consumer_kind::steering;
  s.consumers[2].feeds = {{"circuit-1", branch::main}};
  s.consumers[3].name = "forward-drive";
  s.consumers[3].kind = consumer_kind::cargo_door;
  s.consumers[3].feeds = {{"circuit-2", branch::service}};
  s.consumers[3].door = "forward";
  s.consumers[4].name = "aft-drive";
  s.consumers[4].kind = consumer_kind::cargo_door;
  s.consumers[4].feeds = {{"circuit-2", branch::service}};
  s.consumers[4].door = "aft";
  s.buses.resize(2);
  s.buses[0].name = "bus-1";
  s.buses[0].sources = {"engine-1", "engine-2", "engine-3", "engine-4", "auxiliary", "external"};
  s.buses[0].main = true;
  s.buses[1].name = "bus-2";
  s.buses[1].sources = {"engine-4", "engine-3", "engine-2", "engine-1", "auxiliary", "external"};
  s.buses[1].main = true;
  return s;
}

/// The twin with a second store and parking brake, on the starboard circuit.
inline layout_spec two_store_spec() {
  layout_spec spec = two_engine_spec();
  spec.stores.push_back(spec.stores[0]);
  spec.stores[1].name = "second-store";
  spec.stores[1].circuit = "starboard";
  spec.consumers.push_back(spec.consumers[parking_brake]);
  spec.consumers.back().name = "second-park-brake";
  spec.consumers.back().feeds = {{"starboard", branch::service}};
  spec.consumers.back().store = "second-store";
  return spec;
}

/// The twin, cold and dark.
inline bench twin() { return bench{two_engine_spec()}; }
/// The twin on external power, everything else cold.
inline bench powered_twin() {
  bench b{two_engine_spec()};
  b.does(events::external_power(true));
  return b;
}

/// An invented small twin: 2 engines, circuits left and right with an engine pump each, no transfer unit and no
/// ram-air pump; an electric pump with cargo duty on left (starts limited, one door, hand pump), one without duty on
/// right (shed on the auxiliary); leak isolation on right; pumps that dry running damages; a pump loaded when its
/// control bus is lost.
inline layout_spec small_twin_spec() {
  layout_spec s;
  s.name = "bench-small";
  s.title = "Small twin for the test bench";
  s.origin = "invented";
  s.engines.resize(2);
  s.circuits.resize(2);
  s.engine_pumps.resize(2);
  for (std::size_t i = 0; i < 2; ++i) {
    s.engines[i].name = i == 0 ? "engine-left" : "engine-right";
    s.circuits[i].name = i == 0 ? "left" : "right";
    s.engine_pumps[i].name = i == 0 ? "pump-left" : "pump-right";
    s.engine_pumps[i].engine = s.engines[i].name;
    s.engine_pumps[i].circuit = s.circuits[i].name;
    s.engine_pumps[i].control_bus = "main-bus";
    s.engine_pumps[i].dry_damage = std::chrono::minutes{2};
  }
  s.engine_pumps[1].loads_without_control = true;
  s.circuits[0].hand_pump = true;
  s.circuits[1].leak_isolation = true;
  s.electric_pumps.resize(2);
  s.electric_pumps[0].name = "door-pump";
  s.electric_pumps[0].circuit = "left";
  s.electric_pumps[0].bus = "main-bus";
  s.electric_pumps[0].duty = pump_duty::cargo;
  s.electric_pumps[0].starts_allowed = 3;
  s.electric_pumps[1].name = "standby-pump";
  s.electric_pumps[1].circuit = "right";
  s.electric_pumps[1].bus = "main-bus";
  s.electric_pumps[1].shed_on = {"auxiliary"};
  s.cargo_doors.resize(1);
  s.cargo_doors[0].name = "main-door";
  s.cargo_doors[0].circuit = "left";
  s.consumers.resize(4);
  s.consumers[0].name = "controls";
  s.consumers[0].kind = consumer_kind::controls;
  s.consumers[0].feeds = {{"left", branch::main}, {"right", branch::main}};
  s.consumers[1].name = "gear";
  s.consumers[1].kind = consumer_kind::gear;
  s.consumers[1].feeds = {{"right", branch::main}};
  s.consumers[1].displacement = litres(0.8);
  s.consumers[2].name = "door-drive";
  s.consumers[2].kind = consumer_kind::cargo_door;
  s.consumers[2].feeds = {{"left", branch::service}};
  s.consumers[2].door = "main-door";
  s.consumers[3].name = "outer-brakes";
  s.consumers[3].kind = consumer_kind::brakes;
  s.consumers[3].feeds = {{"right", branch::outer}};
  s.buses.resize(1);
  s.buses[0].name = "main-bus";
  s.buses[0].sources = {"engine-left", "engine-right", "auxiliary", "external"};
  s.buses[0].main = true;
  return s;
}

/// From cold to flight with every engine running, every pump at work and no power but from the engines.
inline bench& fly(bench& b) {
  b.does(events::external_power(true));
  for (unsigned e = 0; e < b.aircraft().count(component::engine); ++e) full_start(b, e);
  b.does(events::parking_brake(false), events::external_power(false)).pressures_follow();
  return take_off(b).pressures_follow();
}

/// How many alerts of that condition stand, whatever they are about.
inline int how_many(const bench& b, condition which) {
  const observation seen = b.sees();
  int found = 0;
  for (const observed_alert& one : seen.alerts_standing()) found += one.condition == which ? 1 : 0;
  return found;
}
/// The class of the first standing alert of that condition, whatever it is about; none when there is none.
inline alert_class class_of(const bench& b, condition which) {
  const observation seen = b.sees();
  for (const observed_alert& one : seen.alerts_standing()) {
    if (one.condition == which) return one.level;
  }
  return alert_class::none;
}
/// The standing alerts of at least that class, in words; empty when there is none.
inline std::string alerts_from(const bench& b, alert_class least) {
  const observation seen = b.sees();
  std::string words;
  for (const observed_alert& one : seen.alerts_standing()) {
    if (one.level < least) continue;
    words += std::string{word(one.level)} + ' ' + std::string{word(one.condition)} + ' ' +
             std::string{b.aircraft().name(one.about)} + "; ";
  }
  return words;
}

}  // namespace penstock_tests
