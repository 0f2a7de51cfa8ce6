// Where rules are built that are not rows of a table: rungs of ordered lists, and functions.
#pragma once

#include <array>
#include <cstddef>
#include <span>
#include <string_view>

#include "penstock/detail/view.hpp"
#include "penstock/rules.hpp"

namespace penstock::inline v1 {

namespace detail {

/// Rules that shape the frame, the view of a state or the plant: no single row could carry them.
inline constexpr auto function_places = std::to_array<rule_place>({
    {"GEN-1", "settling", "settling::run", "levels are evaluated in ordered passes until nothing changes"},
    {"GEN-2", "settling", "settling::command", "a command that no row takes is refused with a reason"},
    {"GEN-3", "settling", "settling::run, reading::pass", "the order of a frame; timers advance before an event of the same time"},
    {"GEN-4", "plant", "level and pressure marks", "below and above are strict, reaches includes equality, every mark has hysteresis"},
    {"GEN-5", "state", "cold_and_dark", "the initial state"},
    {"GEN-6", "settling", "reading::put_air_ground", "an invalid input keeps its last valid value"},
    {"GEN-7", "state", "repositioned", "any state may be set up; nothing counts as having happened"},
    {"ENG-7", "settling", "settling::rank, role_of", "roles follow the order in which engines began to run or to crank"},
    {"EDP-3", "timers", "pump_low", "how long an engine pump has been missed"},
    {"EDP-6", "view", "view::engine_pump_loaded", "loss of the control bus loads an unloaded pump"},
    {"EDP-7", "timers", "engine_pump_dry", "how long a pump has run dry"},
    {"CGO-10", "timers", "door_run", "how long a door has asked in service mode, or stood at its end with the lever out"},
    {"CGO-11", "view", "view::hand_pump_worked, view::door_served", "the hand pump moves cargo doors on the ground without power"},
    {"CGO-15", "settling", "settling::report_levers", "a lever out of neutral at an engine start or lift-off is remembered until neutral"},
    {"ELP-2", "view", "view::live_source, view::is_shed", "which source feeds a bus, and which pumps it drops"},
    {"RAT-1", "view", "view::ram_air_delivers", "it delivers while deployed and the airspeed is useful"},
    {"PTU-10", "layout", "layout::from", "a unit's engines are those whose pumps feed its circuits; with fewer than two, all engines"},
    {"PTU-13", "settling", "settling::judge_second_start", "only the second engine of the unit is judged, once per start"},
    {"LVL-1", "plant", "level facts", "marks of the reservoir with hysteresis"},
    {"LVL-2", "plant", "fluid_of", "fluid is conserved: reservoir, lines, actuators, stores and leaked make up what was filled"},
    {"LVL-3", "plant", "fluid_of", "gear, doors, accumulators and pressure take fluid from the reservoir and give it back"},
    {"LVL-4", "view", "view::engine_pump_facts, view::electric_pump_facts", "an empty reservoir unprimes its pumps"},
    {"LVL-5", "plant", "expected_reservoir, servicing", "the expected level, and what to add"},
    {"LVL-6", "plant", "plant_after", "where and when a leak runs"},
    {"CIR-3", "timers", "circuit_low", "how long a circuit has been low"},
    {"CON-3", "plant", "layout::from, plant_after", "applications of an accumulator by the gas law; any pressure recharges it"},
    {"CON-4", "plant", "priority facts", "heavy consumers are shed below the priority pressure"},
    {"ALR-1", "alerts", "alert_class", "classes as the regulation defines them; the library gives no colours"},
    {"ALR-2", "alerts", "observed, settling::alerts", "condition, onset, rule and cause of each alert"},
    {"ALR-3", "alerts", "settling::alerts", "an alert stands exactly while its condition holds"},
    {"ALR-4", "alerts", "alert_rung", "one list for each condition: the first rung that holds is its class"},
    {"ALR-6", "alerts", "observed", "acknowledged and inhibited alerts are still listed"},
    {"ALR-7", "alerts", "observe_alerts, explain", "consequences are nested under their cause"},
    {"INS-1", "settling", "reading::inject, settling::trigger_faults", "faults at once, at a time or on a condition; removed one by one or all"},
});

template <class Ladder>
inline constexpr std::size_t rungs = Ladder::size;

template <class Ladder, std::size_t Size>
constexpr void add_rungs(std::array<rule_place, Size>& all, std::size_t& next, std::string_view where) {
  for (const auto& rung : Ladder::data) all[next++] = {rung.rules, where, rung.guard, rung.sentence};
}


inline constexpr auto all_places = [] {
  constexpr std::size_t many =
      function_places.size() + rungs<machines::engine_pump::reasons> + rungs<machines::electric_pump::reasons> +
      rungs<machines::transfer_unit::inhibitions> + rungs<machines::transfer_test::hindrances> +
      rungs<machines::transfer_test::endings> + rungs<machines::circuit_list::statuses> +
      rungs<machines::consumer_list::reasons> + rungs<machines::alert_lists::engine_pump> + rungs<machines::alert_lists::electric_pump> +
      rungs<machines::alert_lists::circuit> + rungs<machines::alert_lists::many_circuits> + rungs<machines::alert_lists::air_ground_input> + rungs<machines::alert_lists::quantity> +
      rungs<machines::alert_lists::reservoir_air> + rungs<machines::alert_lists::hot> + rungs<machines::alert_lists::leak_isolation> + rungs<machines::alert_lists::lever_out> +
      rungs<machines::alert_lists::run_limit> + rungs<machines::alert_lists::door_not_closed> + rungs<machines::alert_lists::transfer_test> +
      rungs<machines::alert_lists::transfer_failed> + rungs<machines::alert_lists::overspeed> + rungs<machines::alert_lists::steering> + rungs<machines::alert_lists::parking_brake> +
      rungs<machines::alert_lists::ram_air>;
  std::array<rule_place, many> all{};
  std::size_t next = 0;
  for (const auto& place : function_places) all[next++] = place;
  add_rungs<machines::engine_pump::reasons>(all, next, "engine pump reasons");
  add_rungs<machines::electric_pump::reasons>(all, next, "electric pump reasons");
  add_rungs<machines::transfer_unit::inhibitions>(all, next, "transfer unit inhibitions");
  add_rungs<machines::transfer_test::hindrances>(all, next, "transfer test hindrances");
  add_rungs<machines::transfer_test::endings>(all, next, "transfer test endings");
  add_rungs<machines::circuit_list::statuses>(all, next, "circuit statuses");
  add_rungs<machines::consumer_list::reasons>(all, next, "consumer reasons");
  add_rungs<machines::alert_lists::engine_pump>(all, next, "alert engine-pump");
  add_rungs<machines::alert_lists::electric_pump>(all, next, "alert electric-pump");
  add_rungs<machines::alert_lists::circuit>(all, next, "alert circuit-low");
  add_rungs<machines::alert_lists::many_circuits>(all, next, "alert circuits-low");
  add_rungs<machines::alert_lists::air_ground_input>(all, next, "alert air-ground-input");
  add_rungs<machines::alert_lists::quantity>(all, next, "alert quantity");
  add_rungs<machines::alert_lists::reservoir_air>(all, next, "alert reservoir-air");
  add_rungs<machines::alert_lists::hot>(all, next, "alert fluid-hot");
  add_rungs<machines::alert_lists::leak_isolation>(all, next, "alert leak-isolation");
  add_rungs<machines::alert_lists::lever_out>(all, next, "alert lever-out");
  add_rungs<machines::alert_lists::run_limit>(all, next, "alert run-limit");
  add_rungs<machines::alert_lists::door_not_closed>(all, next, "alert door-not-closed");
  add_rungs<machines::alert_lists::transfer_test>(all, next, "alert transfer-test");
  add_rungs<machines::alert_lists::transfer_failed>(all, next, "alert transfer-failed");
  add_rungs<machines::alert_lists::overspeed>(all, next, "alert transfer-overspeed");
  add_rungs<machines::alert_lists::steering>(all, next, "alert steering");
  add_rungs<machines::alert_lists::parking_brake>(all, next, "alert parking-brake");
  add_rungs<machines::alert_lists::ram_air>(all, next, "alert ram-air");
  return all;
}();

}  // namespace detail

PENSTOCK_INLINE std::span<const rule_place> places_besides_rows() { return detail::all_places; }

}  // namespace penstock::inline v1
