// Ordered lists that are not part of one machine: circuit status, availability of consumers, alerts.
#pragma once

#include "penstock/machines/ladder.hpp"
#include "penstock/modes.hpp"

namespace penstock::inline v1::machines {

namespace circuit_list {

struct facts {
  bool service_only;  ///< pressure, if any, reaches the service branch only
  bool made;          ///< its pressure switch
  bool wanted;        ///< one of its sources is wanted
  bool in_flight;
};
constexpr bool made_in_service(const facts& f) { return f.service_only && f.made; }
constexpr bool made(const facts& f) { return f.made; }
constexpr bool missed_in_service(const facts& f) { return f.service_only && f.wanted; }
constexpr bool missed(const facts& f) { return f.wanted || f.in_flight; }
constexpr bool otherwise(const facts&) { return true; }

// clang-format off
using statuses = ladder<facts,
  rung<"CIR-1 CGO-6", circuit_status::partial, made_in_service, "it has pressure in service mode, on the service branch only">,
  rung<"CIR-1",       circuit_status::normal,  made,            "its pressure switch is made">,
  rung<"CIR-1 CGO-6", circuit_status::low,     missed_in_service, "its pump is wanted for a cargo door, and it has no pressure">,
  rung<"CIR-1",       circuit_status::low,     missed,          "it has no pressure though a source of it is wanted, or in flight">,
  rung<"CIR-1",       circuit_status::off,     otherwise,       "it has no pressure, and none is wanted">>;
// clang-format on

}  // namespace circuit_list

namespace consumer_list {

struct facts {
  bool ground_only;     ///< reverser or cargo door
  bool in_flight;
  bool link_open;       ///< a steering consumer with its link disconnected
  bool served;          ///< a feed serves it, or stored energy, or the hand pump
  bool isolated;        ///< a feed is cut off by service mode
  bool shed;            ///< a feed is below the priority pressure
  bool outer_shut;      ///< a feed is cut off by leak isolation
  bool lives_on_store;  ///< a parking brake
};
constexpr bool bound_to_ground(const facts& f) { return f.ground_only && f.in_flight; }
constexpr bool link_open(const facts& f) { return f.link_open; }
constexpr bool served(const facts& f) { return f.served; }
constexpr bool isolated(const facts& f) { return f.isolated; }
constexpr bool shed(const facts& f) { return f.shed; }
constexpr bool outer_shut(const facts& f) { return f.outer_shut; }
constexpr bool store_empty(const facts& f) { return f.lives_on_store; }
constexpr bool otherwise(const facts&) { return true; }

// clang-format off
using reasons = ladder<facts,
  rung<"CON-7 CON-5", consumer_reason::in_flight,    bound_to_ground, "it works on the ground only">,
  rung<"CON-7 STR-4", consumer_reason::disconnected, link_open,       "the steering is disconnected">,
  rung<"CON-7 CON-1", consumer_reason::available,    served,          "a circuit that feeds it is at pressure, or stored energy serves it">,
  rung<"CON-7 CON-2", consumer_reason::isolated,     isolated,        "its circuit feeds the service branch only, and it is not on it">,
  rung<"CON-7 CON-4", consumer_reason::shed,         shed,            "its circuit is below the priority pressure, and it is a heavy consumer">,
  rung<"LEK-1",       consumer_reason::outer_shut,   outer_shut,      "leak isolation has shut its branch">,
  rung<"CON-3",       consumer_reason::exhausted,    store_empty,     "its circuit has no pressure, and its stored energy is used up">,
  rung<"CON-7 CON-1", consumer_reason::no_pressure,  otherwise,       "no circuit that feeds it has pressure">>;
// clang-format on

}  // namespace consumer_list

namespace alert_lists {

struct engine_pump_facts {
  engine_pump_reason reason;
  bool engine_runs;
  bool confirmed;  ///< engine runs, switch on, nothing delivered, for the confirmation time
};
constexpr bool engine_pump_failed(const engine_pump_facts& f) { return f.reason == engine_pump_reason::failed; }
constexpr bool engine_pump_hot(const engine_pump_facts& f) { return f.reason == engine_pump_reason::overheat; }
constexpr bool engine_pump_dry(const engine_pump_facts& f) {
  return f.reason == engine_pump_reason::dry && f.engine_runs;
}
constexpr bool engine_pump_low(const engine_pump_facts& f) { return f.confirmed; }

struct electric_pump_facts {
  electric_pump_reason reason;
  bool wanted;
};
constexpr bool electric_pump_failed(const electric_pump_facts& f) {
  return f.wanted && f.reason == electric_pump_reason::failed;
}
constexpr bool electric_pump_hot(const electric_pump_facts& f) {
  return f.wanted && f.reason == electric_pump_reason::overheat;
}
constexpr bool electric_pump_dry(const electric_pump_facts& f) {
  return f.wanted && f.reason == electric_pump_reason::dry;
}

struct circuit_facts {
  bool low_confirmed;  ///< low with an engine running or in flight, for the confirmation time
};
constexpr bool circuit_low(const circuit_facts& f) { return f.low_confirmed; }

struct aircraft_facts {
  bool in_flight;
  bool many_circuits_low;
  bool input_valid;
};
constexpr bool circuits_low(const aircraft_facts& f) { return f.in_flight && f.many_circuits_low; }
constexpr bool input_invalid(const aircraft_facts& f) { return !f.input_valid; }

struct reservoir_facts {
  fluid_level level;
  bool air_low;
  bool hot;
  bool outer_shut;
};
constexpr bool level_low(const reservoir_facts& f) { return f.level <= fluid_level::low; }
constexpr bool level_over(const reservoir_facts& f) { return f.level == fluid_level::over; }
constexpr bool air_low(const reservoir_facts& f) { return f.air_low; }
constexpr bool fluid_hot(const reservoir_facts& f) { return f.hot; }
constexpr bool outer_branch_shut(const reservoir_facts& f) { return f.outer_shut; }

struct door_facts {
  bool lever_reported;
  bool timed_out;
  bool closed;
  bool engine_runs;
};
constexpr bool lever_left_out(const door_facts& f) { return f.lever_reported; }
constexpr bool ran_too_long(const door_facts& f) { return f.timed_out; }
constexpr bool open_with_engine(const door_facts& f) { return !f.closed && f.engine_runs; }

struct unit_facts {
  bool testing;
  bool failed_caution;
  bool overspeed;
};
constexpr bool test_is_on(const unit_facts& f) { return f.testing; }
constexpr bool test_failed(const unit_facts& f) { return f.failed_caution; }
constexpr bool unit_overspeeds(const unit_facts& f) { return f.overspeed; }

struct steering_facts {
  bool disconnected;
  bool engine_runs;
  bool in_flight;
};
constexpr bool open_with_engine_running(const steering_facts& f) { return f.disconnected && f.engine_runs; }
constexpr bool open_in_flight(const steering_facts& f) { return f.disconnected && f.in_flight; }
constexpr bool open_for_towing(const steering_facts& f) { return f.disconnected; }

struct brake_facts {
  bool set;
  bool backed;  ///< circuit pressure or stored energy
};
constexpr bool set_without_pressure(const brake_facts& f) { return f.set && !f.backed; }

struct ram_air_facts {
  bool deployed;
};
constexpr bool is_deployed(const ram_air_facts& f) { return f.deployed; }

using enum alert_class;
// clang-format off
using engine_pump = ladder<engine_pump_facts,
  rung<"EDP-4",       caution,  engine_pump_failed,       "engine pump failed">,
  rung<"EDP-4",       caution,  engine_pump_hot,          "engine pump overheated">,
  rung<"EDP-4 LVL-4", caution,  engine_pump_dry,          "engine pump runs dry">,
  rung<"EDP-3",       caution,  engine_pump_low,          "engine pump brings too little pressure though its engine runs">>;
using electric_pump = ladder<electric_pump_facts,
  rung<"ELP-3",       caution,  electric_pump_failed,     "electric pump is wanted but has failed">,
  rung<"ELP-3",       caution,  electric_pump_hot,        "electric pump is wanted but overheated">,
  rung<"ELP-3",       caution,  electric_pump_dry,        "electric pump is wanted but its reservoir is empty">>;
using circuit = ladder<circuit_facts,
  rung<"CIR-2 CIR-3", caution,  alert_lists::circuit_low, "circuit pressure low">>;
using many_circuits = ladder<aircraft_facts,
  rung<"ALR-5",       warning,  circuits_low,             "several circuits low in flight">>;
using air_ground_input = ladder<aircraft_facts,
  rung<"GEN-6",       advisory, input_invalid,            "air/ground input invalid: the last valid value is used">>;
using quantity = ladder<reservoir_facts,
  rung<"LVL-1",       caution,  level_low,                "fluid level low">,
  rung<"LVL-1",       advisory, level_over,               "fluid level above the full mark">>;
using reservoir_air = ladder<reservoir_facts,
  rung<"RES-1",       caution,  alert_lists::air_low,     "reservoir air pressure low">>;
using hot = ladder<reservoir_facts,
  rung<"RES-2",       caution,  alert_lists::fluid_hot,   "hydraulic fluid hot">>;
using leak_isolation = ladder<reservoir_facts,
  rung<"LEK-1",       advisory, outer_branch_shut,        "leak isolation has shut the outer branch">>;
using lever_out = ladder<door_facts,
  rung<"CGO-15",      advisory, lever_left_out,           "door lever was out of neutral at engine start or lift-off">>;
using run_limit = ladder<door_facts,
  rung<"CGO-10",      advisory, ran_too_long,             "door operated up to its run limit: put its lever to neutral">>;
using door_not_closed = ladder<door_facts,
  rung<"CGO-15",      caution,  open_with_engine,         "cargo door not closed with an engine running">>;
using transfer_test = ladder<unit_facts,
  rung<"PTU-3",       advisory, test_is_on,               "transfer test in progress">>;
using transfer_failed = ladder<unit_facts,
  rung<"PTU-5 PTU-14", caution, test_failed,              "transfer test failed">>;
using overspeed = ladder<unit_facts,
  rung<"PTU-15",      caution,  unit_overspeeds,          "transfer unit overspeeds">>;
using steering = ladder<steering_facts,
  rung<"STR-2",       caution,  open_with_engine_running, "steering disconnected with an engine running">,
  rung<"STR-6",       caution,  open_in_flight,           "steering disconnected in flight">,
  rung<"STR-1",       advisory, open_for_towing,          "steering disconnected for towing">>;
using parking_brake = ladder<brake_facts,
  rung<"CON-6",       caution,  set_without_pressure,     "parking brake set with no pressure behind it">>;
using ram_air = ladder<ram_air_facts,
  rung<"RAT-1",       advisory, is_deployed,              "ram-air pump deployed">>;
// clang-format on

}  // namespace alert_lists

}  // namespace penstock::inline v1::machines
