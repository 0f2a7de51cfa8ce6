// The power transfer unit, and the test it undergoes while the second engine starts.
#pragma once

#include "penstock/machines/ladder.hpp"
#include "penstock/machines/table.hpp"
#include "penstock/modes.hpp"

namespace penstock::inline v1::machines {

namespace transfer_unit {

struct facts {
  bool switched_on;
  bool low_level;      ///< in a linked circuit, where the layout stops the unit for it
  bool low_air;
  bool hot_fluid;
  bool overspeed;
  bool service;        ///< service mode or its hold-off in a linked circuit
  bool single_engine;  ///< on the ground, within the scope, exactly one of its engines selected
};
constexpr bool is_off(const facts& f) { return !f.switched_on; }
constexpr bool level_is_low(const facts& f) { return f.low_level; }
constexpr bool air_is_low(const facts& f) { return f.low_air; }
constexpr bool fluid_is_hot(const facts& f) { return f.hot_fluid; }
constexpr bool overspeeds(const facts& f) { return f.overspeed; }
constexpr bool in_service(const facts& f) { return f.service; }
constexpr bool one_engine_selected(const facts& f) { return f.single_engine; }
constexpr bool nothing_inhibits(const facts&) { return true; }

// clang-format off
using inhibitions = ladder<facts,
  rung<"PTU-12 PTU-1",  unit_inhibition::switched_off,  is_off,              "its switch is off">,
  rung<"PTU-12 PTU-8",  unit_inhibition::low_level,     level_is_low,        "the level in a circuit of it is low">,
  rung<"PTU-12 PTU-8",  unit_inhibition::low_air,       air_is_low,          "the reservoir air pressure in a circuit of it is low">,
  rung<"PTU-12 PTU-8",  unit_inhibition::hot_fluid,     fluid_is_hot,        "the fluid in a circuit of it is hot">,
  rung<"PTU-12 PTU-15", unit_inhibition::overspeed,     overspeeds,          "it overspeeds">,
  rung<"PTU-12 CGO-7",  unit_inhibition::service,       in_service,          "a circuit of it is in service mode, or in the hold-off after it">,
  rung<"PTU-12 PTU-2",  unit_inhibition::single_engine, one_engine_selected, "on the ground with exactly one of its engines selected">,
  rung<"PTU-12",        unit_inhibition::none,          nothing_inhibits,    "nothing inhibits it">>;
// clang-format on

enum class happens : std::uint8_t { evaluate };
inline constexpr std::array<std::string_view, 1> event_words{"evaluate"};
struct inputs {
  unit_inhibition reason;
  pressure_difference difference;
  bool own_a;              ///< a pump of circuit a delivers
  bool own_b;
  bool one_way;            ///< a to b only
  bool test_active;
  bool test_from_b;        ///< the test drives from b
  bool crew_pump_alone_a;  ///< no engine runs, and the crew has an electric pump on in a
  bool crew_pump_alone_b;
};
using types = machine_types<unit_mode, happens, inputs, no_memory>;

constexpr bool switched_off(const inputs& in, const no_memory&) { return in.reason == unit_inhibition::switched_off; }
constexpr bool inhibited_otherwise(const inputs& in, const no_memory&) {
  return in.reason != unit_inhibition::none && in.reason != unit_inhibition::switched_off;
}
constexpr bool free_to_work(const inputs& in, const no_memory&) { return in.reason == unit_inhibition::none; }
constexpr bool test_drives_a(const inputs& in, const no_memory& m) {
  return free_to_work(in, m) && in.test_active && !in.test_from_b;
}
constexpr bool test_drives_b(const inputs& in, const no_memory& m) {
  return free_to_work(in, m) && in.test_active && in.test_from_b;
}
// Own pressure only: a unit never drives from pressure that another unit supplies [PTU-11].
constexpr bool a_must_start(const inputs& in, const no_memory& m) {
  return free_to_work(in, m) && !in.test_active && in.own_a && in.difference == pressure_difference::a_exceeds;
}
constexpr bool b_must_start(const inputs& in, const no_memory& m) {
  return free_to_work(in, m) && !in.test_active && in.own_b && !in.one_way &&
         in.difference == pressure_difference::b_exceeds;
}
constexpr bool a_exceeds(const inputs& in, const no_memory& m) { return a_must_start(in, m) && !in.crew_pump_alone_a; }
constexpr bool b_exceeds(const inputs& in, const no_memory& m) { return b_must_start(in, m) && !in.crew_pump_alone_b; }
constexpr bool crew_pump_a(const inputs& in, const no_memory& m) { return a_must_start(in, m) && in.crew_pump_alone_a; }
constexpr bool crew_pump_b(const inputs& in, const no_memory& m) { return b_must_start(in, m) && in.crew_pump_alone_b; }
constexpr bool a_goes_on(const inputs& in) {
  if (in.test_active) return !in.test_from_b;
  return in.own_a &&
         (in.difference == pressure_difference::a_exceeds || in.difference == pressure_difference::a_higher);
}
constexpr bool b_goes_on(const inputs& in) {
  if (in.test_active) return in.test_from_b;
  return in.own_b && !in.one_way &&
         (in.difference == pressure_difference::b_exceeds || in.difference == pressure_difference::b_higher);
}
// Why it stops: the driving circuit has nothing left to give, or the other needs nothing more.
constexpr bool a_has_nothing(const inputs& in, const no_memory& m) {
  return free_to_work(in, m) && !a_goes_on(in) && !in.own_a;
}
constexpr bool b_has_nothing(const inputs& in, const no_memory& m) {
  return free_to_work(in, m) && !b_goes_on(in) && !in.own_b;
}
constexpr bool a_is_done(const inputs& in, const no_memory& m) {
  return free_to_work(in, m) && !a_goes_on(in) && in.own_a;
}
constexpr bool b_is_done(const inputs& in, const no_memory& m) {
  return free_to_work(in, m) && !b_goes_on(in) && in.own_b;
}

struct model : model_base<model, types> {
  using enum unit_mode;
  using enum happens;
  using initial_state = in_mode<off>;
  // clang-format off
  using transition_table = boost::mpl::vector<
    line<"PTU-1",       off,        evaluate, standby,    free_to_work,        "it was switched on">,
    line<"PTU-12",      off,        evaluate, inhibited,  inhibited_otherwise, "it was switched on, but something inhibits it">,
    line<"PTU-1",       inhibited,  evaluate, off,        switched_off,        "it was switched off">,
    line<"PTU-12",      inhibited,  evaluate, standby,    free_to_work,        "nothing inhibits it any more">,
    line<"PTU-1",       standby,    evaluate, off,        switched_off,        "it was switched off">,
    line<"PTU-12",      standby,    evaluate, inhibited,  inhibited_otherwise, "something inhibits it">,
    line<"PTU-1",       a_drives_b, evaluate, off,        switched_off,        "it was switched off while transferring: it stops at once">,
    line<"PTU-1",       b_drives_a, evaluate, off,        switched_off,        "it was switched off while transferring: it stops at once">,
    line<"PTU-12",      a_drives_b, evaluate, inhibited,  inhibited_otherwise, "something inhibits it while it transfers: it stops">,
    line<"PTU-12",      b_drives_a, evaluate, inhibited,  inhibited_otherwise, "something inhibits it while it transfers: it stops">,
    line<"PTU-3",       standby,    evaluate, a_drives_b, test_drives_a,       "its test is on: it transfers">,
    line<"PTU-3",       standby,    evaluate, b_drives_a, test_drives_b,       "its test is on: it transfers">,
    line<"PTU-6",       standby,    evaluate, a_drives_b, a_exceeds,           "own pressures differ by more than the activation difference">,
    line<"PTU-6 PTU-9", standby,    evaluate, b_drives_a, b_exceeds,           "own pressures differ by more than the activation difference">,
    line<"PTU-7",       standby,    evaluate, a_drives_b, crew_pump_a,         "no engine runs, and the crew has an electric pump on: it feeds the other circuit">,
    line<"PTU-7",       standby,    evaluate, b_drives_a, crew_pump_b,         "no engine runs, and the crew has an electric pump on: it feeds the other circuit">,
    line<"PTU-6 PTU-4", a_drives_b, evaluate, standby,   a_is_done,           "own pressures differ by less than the release difference">,
    line<"PTU-6 PTU-4", b_drives_a, evaluate, standby,   b_is_done,           "own pressures differ by less than the release difference">,
    line<"PTU-11",     a_drives_b, evaluate, standby,    a_has_nothing,       "the driving circuit has lost its own pressure">,
    line<"PTU-11",     b_drives_a, evaluate, standby,    b_has_nothing,       "the driving circuit has lost its own pressure">>;
  // clang-format on
};

}  // namespace transfer_unit

namespace transfer_test {

/// What is known when a start is judged.
struct start_facts {
  bool unit_off;
  bool unit_inhibited;
  bool engine_pressure_a;  ///< own pressure from an engine pump
  bool engine_pressure_b;
  bool own_pressure_a;     ///< own pressure from any pump of the circuit
  bool own_pressure_b;
  bool one_way;            ///< a to b only
};
constexpr bool starts_off(const start_facts& f) { return f.unit_off; }
constexpr bool starts_inhibited(const start_facts& f) { return f.unit_inhibited; }
constexpr bool no_engine_pressure(const start_facts& f) { return !f.engine_pressure_a && !f.engine_pressure_b; }
constexpr bool both_have_pressure(const start_facts& f) { return f.own_pressure_a && f.own_pressure_b; }
constexpr bool wrong_direction(const start_facts& f) { return f.one_way && f.engine_pressure_b; }
constexpr bool nothing_hinders(const start_facts&) { return true; }

// clang-format off
using hindrances = ladder<start_facts,
  rung<"PTU-5 PTU-1",  test_reason::unit_off,           starts_off,         "the unit is switched off">,
  rung<"PTU-5 PTU-12", test_reason::unit_inhibited,     starts_inhibited,   "the unit is inhibited">,
  rung<"PTU-5 PTU-3",  test_reason::no_engine_pressure, no_engine_pressure, "no circuit of the unit has own pressure from an engine pump">,
  rung<"PTU-5 PTU-3",  test_reason::both_have_pressure, both_have_pressure, "both circuits have own pressure already">,
  rung<"PTU-9",        test_reason::wrong_direction,    wrong_direction,    "the unit works in the other direction only">,
  rung<"PTU-3",        test_reason::none,               nothing_hinders,    "one circuit has own pressure from an engine pump, the other has none">>;
// clang-format on

/// What can end a test before it is decided, in the order in which it is named: an aborted start inhibits a
/// parked unit as well, and the abort is the reason worth naming.
struct run_facts {
  bool unit_off;
  bool unit_inhibited;
  bool in_flight;
  bool start_given_up;     ///< the engine under test neither cranks nor runs; maintenance: an engine was started
  bool driving_lost;
  bool start_complete;
  bool own_pump_delivers;  ///< in the driven circuit
};
constexpr bool went_off(const run_facts& f) { return f.unit_off; }
constexpr bool was_inhibited(const run_facts& f) { return f.unit_inhibited; }
constexpr bool lifted_off(const run_facts& f) { return f.in_flight; }
constexpr bool gave_up(const run_facts& f) { return f.start_given_up; }
constexpr bool lost_driving(const run_facts& f) { return f.driving_lost; }
constexpr bool completed(const run_facts& f) { return f.start_complete; }
constexpr bool got_own_pump(const run_facts& f) { return f.own_pump_delivers; }
constexpr bool goes_on(const run_facts&) { return true; }

// clang-format off
using endings = ladder<run_facts,
  rung<"PTU-5 PTU-1",  test_reason::unit_off,          went_off,      "the unit was switched off">,
  rung<"PTU-5 ENG-4",  test_reason::start_given_up,    gave_up,       "the start it belongs to was given up, or its engine has stopped">,
  rung<"PTU-5 PTU-12", test_reason::unit_inhibited,    was_inhibited, "the unit was inhibited">,
  rung<"PTU-5 PTU-13", test_reason::lift_off,          lifted_off,    "the aircraft lifted off">,
  rung<"PTU-5",        test_reason::driving_lost,      lost_driving,  "the driving circuit lost its own pressure">,
  rung<"PTU-4 ENG-3",  test_reason::start_complete,    completed,     "the start sequence is complete">,
  rung<"PTU-4",        test_reason::own_pump_delivers, got_own_pump,  "a pump of the driven circuit delivers">,
  rung<"PTU-3",        test_reason::none,              goes_on,       "the test goes on">>;
// clang-format on

enum class happens : std::uint8_t { evaluate, second_start, maintenance };
inline constexpr std::array<std::string_view, 3> event_words{"evaluate", "second-start", "maintenance"};
struct inputs {
  test_reason hindrance;       ///< for a test that would begin now
  test_reason ending;          ///< for a test that is on
  bool driven_made;            ///< the driven circuit has reached the threshold
  bool limit_reached;
  bool held_enough;
  bool in_flight;
  bool unit_off;
  bool maintenance_allowed;    ///< fitted, on the ground, no engine turning under power
};
struct memory {
  test_outcome outcome;
  test_reason reason;
  bool failed_caution;
  friend constexpr bool operator==(const memory&, const memory&) = default;
};
using types = machine_types<test_mode, happens, inputs, memory>;

constexpr bool can_begin(const inputs& in, const memory&) {
  return !in.in_flight && in.hindrance == test_reason::none;
}
constexpr bool is_hindered(const inputs& in, const memory&) {
  return !in.in_flight && in.hindrance != test_reason::none;
}
constexpr bool is_in_flight(const inputs& in, const memory&) { return in.in_flight; }
constexpr bool is_ended(const inputs& in, const memory&) { return in.ending != test_reason::none; }
constexpr bool threshold_reached(const inputs& in, const memory&) {
  return in.ending == test_reason::none && in.driven_made;
}
constexpr bool threshold_lost(const inputs& in, const memory&) {
  return in.ending == test_reason::none && !in.driven_made;
}
constexpr bool too_late(const inputs& in, const memory&) {
  return in.ending == test_reason::none && !in.driven_made && in.limit_reached;
}
constexpr bool held_long_enough(const inputs& in, const memory&) {
  return in.ending == test_reason::none && in.driven_made && in.held_enough;
}
constexpr bool caution_and_off(const inputs& in, const memory& m) { return m.failed_caution && in.unit_off; }
constexpr bool maintenance_can_begin(const inputs& in, const memory&) {
  return in.maintenance_allowed && in.hindrance == test_reason::none;
}
constexpr bool maintenance_cannot_begin(const inputs& in, const memory&) {
  return !in.maintenance_allowed || in.hindrance != test_reason::none;
}
constexpr void begin(const inputs&, memory& m) { m = {test_outcome::pending, test_reason::none, false}; }
constexpr void note_not_run(const inputs& in, memory& m) {
  // no new test has run: the caution of the last one stands [PTU-14]
  m = {test_outcome::not_run, in.hindrance, m.failed_caution};
}
constexpr void note_interrupted(const inputs& in, memory& m) {
  m = {test_outcome::interrupted, in.ending, m.failed_caution};
}
constexpr void note_passed(const inputs&, memory& m) { m = {test_outcome::passed, test_reason::none, false}; }
constexpr void note_failed(const inputs&, memory& m) { m = {test_outcome::failed, test_reason::none, true}; }
constexpr void end_caution(const inputs&, memory& m) { m.failed_caution = false; }

struct model : model_base<model, types> {
  using enum test_mode;
  using enum happens;
  using initial_state = in_mode<idle>;
  // clang-format off
  using transition_table = boost::mpl::vector<
    line<"PTU-3",      idle,    second_start, waiting, can_begin,                "a second engine is being started: the test begins", begin>,
    line<"PTU-5",      idle,    second_start, idle,    is_hindered,              "a second engine is being started, but the test cannot run", note_not_run>,
    line<"PTU-13",     idle,    second_start, idle,    is_in_flight,             "no test in flight: the record stands">,
    line<"PTU-13",     waiting, second_start, waiting, always,                   "a test is on already: the record stands">,
    line<"PTU-13",     holding, second_start, holding, always,                   "a test is on already: the record stands">,
    line<"PTU-13",     decided, second_start, decided, always,                   "a test is on already: the record stands">,
    line<"PTU-5",      waiting, evaluate,     idle,    is_ended,                 "the test ended before it was decided", note_interrupted>,
    line<"PTU-5",      holding, evaluate,     idle,    is_ended,                 "the test ended before it was decided", note_interrupted>,
    line<"PTU-5",      waiting, evaluate,     holding, threshold_reached,        "the driven circuit has reached the threshold">,
    line<"PTU-5",      waiting, evaluate,     decided, too_late,                 "the driven circuit did not reach the threshold in time: failed", note_failed>,
    line<"PTU-5",      holding, evaluate,     waiting, threshold_lost,           "the driven circuit fell below the threshold again">,
    line<"PTU-5",      holding, evaluate,     decided, held_long_enough,         "the threshold was held for the confirmation time: passed", note_passed>,
    line<"PTU-4",      decided, evaluate,     idle,    is_ended,                 "the test is over">,
    line<"PTU-14",     idle,    evaluate,     idle,    caution_and_off,          "the unit was switched off, which ends the caution of the failed test", end_caution>,
    line<"PTU-15",     idle,    maintenance,  waiting, maintenance_can_begin,    "the maintenance test begins", begin>,
    refusal<"PTU-15", idle,    maintenance,           maintenance_cannot_begin, "the maintenance test needs the ground, no engine, and pressure in one circuit only">>;
  // clang-format on
};

}  // namespace transfer_test

}  // namespace penstock::inline v1::machines
