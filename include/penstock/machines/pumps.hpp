// Pumps: their health, whether they deliver, who wants them.
#pragma once

#include "penstock/machines/ladder.hpp"
#include "penstock/machines/table.hpp"
#include "penstock/modes.hpp"

namespace penstock::inline v1::machines {

namespace pump_health {

enum class happens : std::uint8_t { evaluate, reset, repair };
inline constexpr std::array<std::string_view, 3> event_words{"evaluate", "reset", "repair"};
struct inputs {
  bool failure_present;
  bool sheared;
  bool dry_too_long;
};
using types = machine_types<health_mode, happens, inputs, no_memory>;

constexpr bool shaft_sheared(const inputs& in, const no_memory&) { return in.sheared; }
constexpr bool ran_dry(const inputs& in, const no_memory&) { return in.dry_too_long && !in.sheared; }
constexpr bool failure_comes(const inputs& in, const no_memory&) {
  return in.failure_present && !in.sheared && !in.dry_too_long;
}
constexpr bool failure_gone(const inputs& in, const no_memory&) { return !in.failure_present; }
constexpr bool failure_stays(const inputs& in, const no_memory&) { return in.failure_present; }
constexpr bool shaft_whole(const inputs& in, const no_memory&) { return !in.sheared; }

struct model : model_base<model, types> {
  using enum health_mode;
  using enum happens;
  using initial_state = in_mode<healthy>;
  // clang-format off
  using transition_table = boost::mpl::vector<
    line<"EDP-4 CGO-14", healthy, evaluate, failed,  failure_comes, "it failed; the failure is latched until a reset">,
    line<"EDP-7",        healthy, evaluate, damaged, shaft_sheared, "its shaft sheared, which no reset clears">,
    line<"EDP-7",        failed,  evaluate, damaged, shaft_sheared, "its shaft sheared, which no reset clears">,
    line<"EDP-7",        healthy, evaluate, damaged, ran_dry,       "it ran dry for too long and is damaged">,
    line<"EDP-4",        failed,  reset,    healthy, failure_gone,  "it was reset, and the cause of its failure is gone">,
    refusal<"EDP-4",    failed,  reset,             failure_stays, "the cause of its failure is still present">,
    refusal<"EDP-7",    damaged, reset,             always,        "it is damaged, which no reset clears">,
    line<"INS-1",        damaged, repair,   healthy, shaft_whole,   "the damage was taken away with the faults">>;
  // clang-format on
};

}  // namespace pump_health

namespace engine_pump {

struct facts {
  bool switched_on;  ///< or loaded by the loss of its control bus [EDP-6]
  bool failed;
  bool overheated;
  bool turning;      ///< spool above the pump mark
  bool supply_open;
  bool dry;
};
constexpr bool is_off(const facts& f) { return !f.switched_on; }
constexpr bool is_failed(const facts& f) { return f.failed; }
constexpr bool is_overheated(const facts& f) { return f.overheated; }
constexpr bool is_still(const facts& f) { return !f.turning; }
constexpr bool has_no_supply(const facts& f) { return !f.supply_open; }
constexpr bool is_dry(const facts& f) { return f.dry; }
constexpr bool is_fit(const facts&) { return true; }

// clang-format off
using reasons = ladder<facts,
  rung<"EDP-5 EDP-2", engine_pump_reason::off,         is_off,        "its switch is off">,
  rung<"EDP-5 EDP-4", engine_pump_reason::failed,      is_failed,     "it has failed">,
  rung<"EDP-5 EDP-4", engine_pump_reason::overheat,    is_overheated, "it is overheated">,
  rung<"EDP-5 EDP-1", engine_pump_reason::not_turning, is_still,      "its engine turns too slowly or not at all">,
  rung<"EDP-5 ENG-6", engine_pump_reason::no_supply,   has_no_supply, "its supply valve is closed">,
  rung<"EDP-5 LVL-4", engine_pump_reason::dry,         is_dry,        "its reservoir is empty">,
  rung<"EDP-5 EDP-1", engine_pump_reason::delivering,  is_fit,        "it turns, is switched on and is fed">>;
// clang-format on

enum class happens : std::uint8_t { evaluate };
inline constexpr std::array<std::string_view, 1> event_words{"evaluate"};
struct inputs {
  engine_pump_reason reason;
};
using types = machine_types<pump_mode, happens, inputs, no_memory>;

constexpr bool for_delivering(const inputs& in, const no_memory&) { return in.reason == engine_pump_reason::delivering; }
constexpr bool for_off(const inputs& in, const no_memory&) { return in.reason == engine_pump_reason::off; }
constexpr bool for_failed(const inputs& in, const no_memory&) { return in.reason == engine_pump_reason::failed; }
constexpr bool for_overheat(const inputs& in, const no_memory&) { return in.reason == engine_pump_reason::overheat; }
constexpr bool for_not_turning(const inputs& in, const no_memory&) { return in.reason == engine_pump_reason::not_turning; }
constexpr bool for_no_supply(const inputs& in, const no_memory&) { return in.reason == engine_pump_reason::no_supply; }
constexpr bool for_dry(const inputs& in, const no_memory&) { return in.reason == engine_pump_reason::dry; }

struct model : model_base<model, types> {
  using enum pump_mode;
  using enum happens;
  using initial_state = in_mode<stopped>;
  // clang-format off
  using transition_table = boost::mpl::vector<
    line<"EDP-1",       stopped,    evaluate, delivering, for_delivering,  "it turns fast enough, is switched on and is fed">,
    line<"EDP-2",       delivering, evaluate, stopped,    for_off,         "its switch was turned off: it is unloaded">,
    line<"EDP-4",       delivering, evaluate, stopped,    for_failed,      "it failed">,
    line<"EDP-4",       delivering, evaluate, stopped,    for_overheat,    "it overheated">,
    line<"EDP-1",       delivering, evaluate, stopped,    for_not_turning, "its engine turns too slowly">,
    line<"EDP-1 ENG-6", delivering, evaluate, stopped,    for_no_supply,   "its supply valve closed">,
    line<"EDP-1 LVL-4", delivering, evaluate, stopped,    for_dry,         "its reservoir ran empty">>;
  // clang-format on
};

}  // namespace engine_pump

namespace electric_pump {

struct facts {
  bool switched_off;
  bool powered;
  bool failed;
  bool overheated;
  bool wanted;
  bool dry;
};
constexpr bool is_off(const facts& f) { return f.switched_off; }
constexpr bool is_unpowered(const facts& f) { return !f.powered; }
constexpr bool is_failed(const facts& f) { return f.failed; }
constexpr bool is_overheated(const facts& f) { return f.overheated; }
constexpr bool is_unwanted(const facts& f) { return !f.wanted; }
constexpr bool is_dry(const facts& f) { return f.dry; }
constexpr bool is_fit(const facts&) { return true; }

// clang-format off
using reasons = ladder<facts,
  rung<"CGO-14",        electric_pump_reason::off,        is_off,        "its switch is off">,
  rung<"CGO-14 ELP-2",  electric_pump_reason::no_power,   is_unpowered,  "it has no power">,
  rung<"CGO-14",        electric_pump_reason::failed,     is_failed,     "it has failed">,
  rung<"CGO-14",        electric_pump_reason::overheat,   is_overheated, "it is overheated">,
  rung<"CGO-14",        electric_pump_reason::not_wanted, is_unwanted,   "nobody wants it">,
  rung<"CGO-14 LVL-4",  electric_pump_reason::dry,        is_dry,        "its reservoir is empty">,
  rung<"CGO-14",        electric_pump_reason::delivering, is_fit,        "it is wanted, powered, healthy and fed">>;
// clang-format on

enum class happens : std::uint8_t { evaluate };
inline constexpr std::array<std::string_view, 1> event_words{"evaluate"};
struct inputs {
  electric_pump_reason reason;
};
using types = machine_types<pump_mode, happens, inputs, no_memory>;

constexpr bool for_delivering(const inputs& in, const no_memory&) { return in.reason == electric_pump_reason::delivering; }
constexpr bool for_off(const inputs& in, const no_memory&) { return in.reason == electric_pump_reason::off; }
constexpr bool for_no_power(const inputs& in, const no_memory&) { return in.reason == electric_pump_reason::no_power; }
constexpr bool for_failed(const inputs& in, const no_memory&) { return in.reason == electric_pump_reason::failed; }
constexpr bool for_overheat(const inputs& in, const no_memory&) { return in.reason == electric_pump_reason::overheat; }
constexpr bool for_not_wanted(const inputs& in, const no_memory&) { return in.reason == electric_pump_reason::not_wanted; }
constexpr bool for_dry(const inputs& in, const no_memory&) { return in.reason == electric_pump_reason::dry; }

struct model : model_base<model, types> {
  using enum pump_mode;
  using enum happens;
  using initial_state = in_mode<stopped>;
  // clang-format off
  using transition_table = boost::mpl::vector<
    line<"ELP-1 AUX-3",       stopped,    evaluate, delivering, for_delivering, "it is wanted, powered, healthy and fed">,
    line<"AUX-3 CGO-8",       delivering, evaluate, stopped,    for_off,        "its switch was turned off">,
    line<"ELP-2 AUX-3 CGO-9", delivering, evaluate, stopped,    for_no_power,   "its power is gone">,
    line<"CGO-14 AUX-3",      delivering, evaluate, stopped,    for_failed,     "it failed">,
    line<"CGO-14 AUX-3",      delivering, evaluate, stopped,    for_overheat,   "it overheated">,
    line<"CGO-2 AUX-2",       delivering, evaluate, stopped,    for_not_wanted, "nobody wants it any more">,
    line<"CGO-14 LVL-4",      delivering, evaluate, stopped,    for_dry,        "its reservoir ran empty">>;
  // clang-format on
};

}  // namespace electric_pump

namespace start_limiter {

enum class happens : std::uint8_t { evaluate, started };
inline constexpr std::array<std::string_view, 2> event_words{"evaluate", "started"};
struct inputs {
  std::uint8_t allowed;  ///< starts within a period; 0: no limit
  bool period_over;
  bool cooled;
};
struct memory {
  std::uint8_t starts;
  friend constexpr bool operator==(const memory&, const memory&) = default;
};
using types = machine_types<limiter_mode, happens, inputs, memory>;

constexpr bool start_left(const inputs& in, const memory& m) { return in.allowed != 0 && m.starts + 1 < in.allowed; }
constexpr bool last_start(const inputs& in, const memory& m) { return in.allowed != 0 && m.starts + 1 >= in.allowed; }
constexpr bool period_ends(const inputs& in, const memory& m) { return in.period_over && m.starts != 0; }
constexpr bool cool_enough(const inputs& in, const memory&) { return in.cooled; }
constexpr void count(const inputs&, memory& m) { ++m.starts; }
constexpr void forget(const inputs&, memory& m) { m.starts = 0; }

struct model : model_base<model, types> {
  using enum limiter_mode;
  using enum happens;
  using initial_state = in_mode<free>;
  // clang-format off
  using transition_table = boost::mpl::vector<
    line<"CGO-16", free,    started,  free,    start_left,  "a start is counted", count>,
    line<"CGO-16", free,    started,  cooling, last_start,  "that was the last start of the period: once stopped, it must cool", forget>,
    line<"CGO-16", free,    evaluate, free,    period_ends, "the period is over: starts count anew", forget>,
    line<"CGO-16", cooling, evaluate, free,    cool_enough, "it has cooled: it may start again">>;
  // clang-format on
};

}  // namespace start_limiter

namespace cargo_demand {

enum class happens : std::uint8_t { evaluate };
inline constexpr std::array<std::string_view, 1> event_words{"evaluate"};
struct inputs {
  pump_switch switched;
  bool door_asks;
  bool door_blocked;
  bool door_timed_out;
  bool door_at_end;
  bool cooling;
};
using types = machine_types<demand_mode, happens, inputs, no_memory>;

constexpr bool crew_off(const inputs& in, const no_memory&) { return in.switched == pump_switch::off; }
constexpr bool crew_on(const inputs& in, const no_memory&) { return in.switched == pump_switch::on; }
constexpr bool crew_starts(const inputs& in, const no_memory&) { return in.switched == pump_switch::on && !in.cooling; }
constexpr bool door_starts(const inputs& in, const no_memory&) {
  return in.switched == pump_switch::automatic && in.door_asks && !in.cooling;
}
constexpr bool automatic_and_asked(const inputs& in, const no_memory&) {
  return in.switched == pump_switch::automatic && in.door_asks;
}
constexpr bool automatic_and_unasked(const inputs& in, const no_memory&) {
  return in.switched == pump_switch::automatic && !in.door_asks;
}
constexpr bool doors_blocked(const inputs& in, const no_memory& m) {
  return automatic_and_unasked(in, m) && in.door_blocked;
}
constexpr bool doors_timed_out(const inputs& in, const no_memory& m) {
  return automatic_and_unasked(in, m) && !in.door_blocked && in.door_timed_out;
}
constexpr bool doors_at_end(const inputs& in, const no_memory& m) {
  return automatic_and_unasked(in, m) && !in.door_blocked && !in.door_timed_out && in.door_at_end;
}
constexpr bool levers_neutral(const inputs& in, const no_memory& m) {
  return automatic_and_unasked(in, m) && !in.door_blocked && !in.door_timed_out && !in.door_at_end;
}

struct model : model_base<model, types> {
  using enum demand_mode;
  using enum happens;
  using initial_state = in_mode<none>;
  // clang-format off
  using transition_table = boost::mpl::vector<
    line<"CGO-1",       none, evaluate, door, door_starts,           "a cargo door asks for pressure">,
    line<"CGO-8",       none, evaluate, crew, crew_starts,           "the crew switch is on">,
    line<"CGO-8",       door, evaluate, crew, crew_on,               "the crew switch is on, which wins over a door">,
    line<"CGO-8",       crew, evaluate, door, automatic_and_asked,   "the crew switch is back on automatic, and a door asks">,
    line<"CGO-8",       crew, evaluate, none, automatic_and_unasked, "the crew switch is back on automatic, and no door asks">,
    line<"CGO-8",       crew, evaluate, none, crew_off,              "the crew switch is off">,
    line<"CGO-8",       door, evaluate, none, crew_off,              "the crew switch is off: levers ask for nothing">,
    line<"CGO-9",       door, evaluate, none, doors_blocked,         "no power, or in flight: levers ask for nothing">,
    line<"CGO-10",      door, evaluate, none, doors_timed_out,       "the run limit of a door is reached, and no other door asks">,
    line<"CGO-2 CGO-4", door, evaluate, none, doors_at_end,          "the end of travel is made, and no other door asks">,
    line<"CGO-3 CGO-4", door, evaluate, none, levers_neutral,        "the lever is in neutral, and no other door asks">>;
  // clang-format on
};

}  // namespace cargo_demand

namespace first_engine_demand {

enum class happens : std::uint8_t { evaluate, ground_override };
inline constexpr std::array<std::string_view, 2> event_words{"evaluate", "ground-override"};
struct inputs {
  bool engine_runs;
  bool in_flight;
  bool switched_off;
  bool delay_over;
};
using types = machine_types<demand_mode, happens, inputs, no_memory>;

constexpr bool engine_runs(const inputs& in, const no_memory&) { return in.engine_runs; }
constexpr bool only_flight(const inputs& in, const no_memory&) { return in.in_flight && !in.engine_runs; }
constexpr bool neither(const inputs& in, const no_memory&) { return !in.in_flight && !in.engine_runs; }
constexpr bool delay_over(const inputs& in, const no_memory&) {
  return !in.in_flight && !in.engine_runs && in.delay_over;
}
constexpr bool neither_and_off(const inputs& in, const no_memory&) {
  return !in.in_flight && !in.engine_runs && in.switched_off;
}
constexpr bool switch_is_off(const inputs& in, const no_memory&) { return in.switched_off; }
constexpr bool switch_is_not_off(const inputs& in, const no_memory&) { return !in.switched_off; }

struct model : model_base<model, types> {
  using enum demand_mode;
  using enum happens;
  using initial_state = in_mode<none>;
  // clang-format off
  using transition_table = boost::mpl::vector<
    line<"AUX-1",     none,      evaluate,        engine,    engine_runs,       "an engine runs">,
    line<"AUX-1",     none,      evaluate,        flight,    only_flight,       "the aircraft is in flight">,
    line<"AUX-2",     engine,    evaluate,        flight,    only_flight,       "the last engine stopped, in flight: it is still wanted">,
    line<"AUX-2",     engine,    evaluate,        none,      neither,           "the last engine stopped, on the ground">,
    line<"AUX-1",     flight,    evaluate,        engine,    engine_runs,       "an engine runs">,
    line<"AUX-2",     flight,    evaluate,        touchdown, neither,           "touchdown without an engine: it is wanted for a while">,
    line<"AUX-1",     touchdown, evaluate,        engine,    engine_runs,       "an engine runs">,
    line<"AUX-2",     touchdown, evaluate,        flight,    only_flight,       "the aircraft is in flight again">,
    line<"AUX-2",     touchdown, evaluate,        none,      delay_over,        "the delay after touchdown is over">,
    line<"AUX-4",     none,      ground_override, override_, switch_is_not_off, "the ground override was pressed">,
    line<"AUX-4",     touchdown, ground_override, override_, switch_is_not_off, "the ground override was pressed">,
    refusal<"AUX-4", none,      ground_override,            switch_is_off,     "the pump's switch is off">,
    refusal<"AUX-4", engine,    ground_override,            always,            "an engine runs: the pump is wanted anyway">,
    refusal<"AUX-4", flight,    ground_override,            always,            "the ground override works on the ground only">,
    refusal<"AUX-4", override_, ground_override,            always,            "the ground override is active already">,
    line<"AUX-4",     override_, evaluate,        engine,    engine_runs,       "an engine runs, which clears the ground override">,
    line<"AUX-4",     override_, evaluate,        flight,    only_flight,       "lift-off cleared the ground override">,
    line<"AUX-4",     override_, evaluate,        none,      neither_and_off,   "the switch was turned off, which clears the ground override">>;
  // clang-format on
};

}  // namespace first_engine_demand

namespace plain_demand {

enum class happens : std::uint8_t { evaluate };
inline constexpr std::array<std::string_view, 1> event_words{"evaluate"};
struct inputs {
  bool switched_on;
};
using types = machine_types<demand_mode, happens, inputs, no_memory>;

constexpr bool is_on(const inputs& in, const no_memory&) { return in.switched_on; }
constexpr bool is_off(const inputs& in, const no_memory&) { return !in.switched_on; }

struct model : model_base<model, types> {
  using enum demand_mode;
  using enum happens;
  using initial_state = in_mode<none>;
  // clang-format off
  using transition_table = boost::mpl::vector<
    line<"ELP-1", none, evaluate, crew, is_on,  "its switch was turned on">,
    line<"ELP-1", crew, evaluate, none, is_off, "its switch was turned off">>;
  // clang-format on
};

}  // namespace plain_demand

namespace ram_air_pump {

enum class happens : std::uint8_t { evaluate, stow };
inline constexpr std::array<std::string_view, 2> event_words{"evaluate", "stow"};
struct inputs {
  bool in_flight;
  bool fast_enough;
  bool engines_out;
  bool main_ac_lost;
};
using types = machine_types<ram_air_mode, happens, inputs, no_memory>;

constexpr bool needed(const inputs& in, const no_memory&) {
  return in.in_flight && in.fast_enough && (in.engines_out || in.main_ac_lost);
}
constexpr bool on_ground(const inputs& in, const no_memory&) { return !in.in_flight; }
constexpr bool airborne(const inputs& in, const no_memory&) { return in.in_flight; }

struct model : model_base<model, types> {
  using enum ram_air_mode;
  using enum happens;
  using initial_state = in_mode<stowed>;
  // clang-format off
  using transition_table = boost::mpl::vector<
    line<"RAT-1",     stowed,   evaluate, deployed, needed,    "in flight, fast enough, and all engines or all main AC power are lost: it deploys">,
    line<"RAT-1",     deployed, stow,     stowed,   on_ground, "it was stowed on the ground">,
    refusal<"RAT-1", deployed, stow,               airborne,  "it can be stowed on the ground only">>;
  // clang-format on
};

}  // namespace ram_air_pump

}  // namespace penstock::inline v1::machines
