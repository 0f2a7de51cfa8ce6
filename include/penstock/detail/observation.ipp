// From a state to what an observer may see.
#pragma once

#include <algorithm>

#include "penstock/detail/view.hpp"
#include "penstock/observation.hpp"

namespace penstock::inline v1 {

namespace detail {

/// The role of an engine [ENG-7]: by its rank among those that run, then among those that crank.
[[nodiscard]] inline engine_role role_of(const view& v, unsigned engine) {
  const auto& e = v.s.logic.engines[engine];
  const auto running = static_cast<unsigned>(std::popcount(v.running()));
  unsigned place = e.running_rank;
  if (place == 0) {
    if (running == 0 || e.cranking_rank == 0) return engine_role::none;
    place = running + e.cranking_rank;
  }
  return place == 1 ? engine_role::first : place == 2 ? engine_role::second : engine_role::further;
}

/// One word for the cause of an alert.
[[nodiscard]] inline std::string_view cause_of(const view& v, condition which, unsigned i) {
  switch (which) {
    case condition::engine_pump:
      return v.engine_pump_delivers(i) ? std::string_view{"weak"} : word(v.engine_pump_why(i));
    case condition::electric_pump: return word(v.electric_pump_why(i));
    case condition::quantity: return word(v.level_switch(i));
    case condition::door_not_closed: return word(v.travel(i));
    case condition::transfer_failed: return word(test_outcome::failed);
    case condition::steering: return word(v.s.logic.aircraft.steering);
    default: return {};
  }
}

/// Whether alert `cause` explains alert `effect` [ALR-7]: an empty or low reservoir its dry pumps, a pump its
/// circuit, and a reservoir its circuit where no pump alert stands between them.
[[nodiscard]] inline bool explains(const view& v, const observed_alert& cause, const observed_alert& effect) {
  const auto circuit_of = [&](const observed_alert& a) -> unsigned {
    switch (a.condition) {
      case condition::engine_pump: return v.p.engine_pump_at[a.about.index].circuit;
      case condition::electric_pump: return v.p.electric_pump_at[a.about.index].circuit;
      case condition::circuit_low:
      case condition::quantity: return a.about.index;
      default: return nobody;
    }
  };
  if (circuit_of(cause) == nobody || circuit_of(cause) != circuit_of(effect)) return false;
  const bool by_pump = cause.condition == condition::engine_pump || cause.condition == condition::electric_pump;
  const bool by_level = cause.condition == condition::quantity && cause.level == alert_class::caution;
  if (effect.condition == condition::circuit_low) return by_pump || by_level;
  const bool dry = effect.condition == condition::engine_pump
                       ? v.engine_pump_why(effect.about.index) == engine_pump_reason::dry
                       : effect.condition == condition::electric_pump &&
                             v.electric_pump_why(effect.about.index) == electric_pump_reason::dry;
  return by_level && dry;
}

[[nodiscard]] inline observed_alert observed(const view& v, condition which, unsigned i, int rung) {
  const auto& data = alert_list(which)[static_cast<std::size_t>(rung)];
  const auto& s = v.s;
  const auto phase = s.logic.aircraft.phase;
  const mask held_back = phase == flight_phase::take_off  ? v.p.inhibited_in_take_off
                         : phase == flight_phase::landing ? v.p.inhibited_in_landing
                                                          : 0;
  const auto slot = place_of(which, i);
  return {.condition = which,
          .about = {subject_kind(which), static_cast<std::uint8_t>(i)},
          .level = static_cast<alert_class>(data.answer),
          .onset = s.chronicle.alert_since[slot],
          .rule = data.rules,
          .sentence = data.sentence,
          .cause = cause_of(v, which, i),
          .acknowledged = ((s.logic.acknowledged >> slot) & 1U) != 0,
          .inhibited = has(held_back, static_cast<unsigned>(which)),
          .under = -1};
}

inline void observe_alerts(const view& v, observation& seen) {
  seen.alerts = 0;
  for (std::size_t k = 0; k < count_of<condition>; ++k) {
    const auto which = static_cast<condition>(k);
    const unsigned many = subjects_of(v.p, which);
    for (unsigned i = 0; i < many; ++i) {
      if (const int rung = alert_rung(v, which, i); rung >= 0) seen.alert[seen.alerts++] = observed(v, which, i, rung);
    }
  }
  const auto alerts = std::span{seen.alert}.first(seen.alerts);
  // insertion sort: few entries, no allocation, keeps the order of equals
  const auto earlier = [](const observed_alert& a, const observed_alert& b) {
    if (a.level != b.level) return a.level > b.level;
    return a.onset < b.onset;
  };
  for (std::size_t i = 1; i < alerts.size(); ++i) {
    for (std::size_t j = i; j > 0 && earlier(alerts[j], alerts[j - 1]); --j) std::swap(alerts[j], alerts[j - 1]);
  }
  // The cause of each: a pump rather than a reservoir, where both explain it.
  std::array<std::int8_t, alert_places::total> cause{};
  cause.fill(-1);
  for (std::size_t i = 0; i < alerts.size(); ++i) {
    for (std::size_t j = 0; j < alerts.size(); ++j) {
      if (i == j || !explains(v, alerts[j], alerts[i])) continue;
      const bool better = cause[i] < 0 || alerts[static_cast<std::size_t>(cause[i])].condition == condition::quantity;
      if (better) cause[i] = static_cast<std::int8_t>(j);
    }
  }
  // Each consequence stands behind its cause; the chain is at most reservoir, pump, circuit.
  std::array<observed_alert, alert_places::total> ordered;  // NOLINT: the first `alerts` are written
  std::uint8_t placed = 0;
  const auto place = [&](const auto& self, std::size_t i, std::int8_t under) -> void {
    const auto mine = static_cast<std::int8_t>(placed);
    ordered[placed] = alerts[i];
    ordered[placed++].under = under;
    for (std::size_t j = 0; j < alerts.size(); ++j) {
      if (cause[j] == static_cast<std::int8_t>(i)) self(self, j, mine);
    }
  };
  for (std::size_t i = 0; i < alerts.size(); ++i) {
    if (cause[i] < 0) place(place, i, -1);
  }
  std::copy_n(ordered.begin(), placed, alerts.begin());
}

}  // namespace detail

PENSTOCK_INLINE observation observe(const layout& of, const state& now) {
  const auto& p = of.plan();
  const detail::view v{p, now};
  const auto& logic = now.logic;
  observation seen;  // NOLINT(cppcoreguidelines-pro-type-member-init): the first count(kind) of each array are written
  seen.now = now.chronicle.now;
  seen.in_flight = v.in_flight();
  seen.air_ground_valid = logic.aircraft.air_ground_valid;
  seen.parking_brake_set = logic.aircraft.parking_brake_set;
  seen.gear_down = logic.aircraft.gear_down;
  seen.phase = logic.aircraft.phase;
  seen.airspeed = logic.aircraft.airspeed;
  seen.external_power = logic.aircraft.external_power;
  seen.auxiliary_power = logic.aircraft.auxiliary_power;
  seen.steering = logic.aircraft.steering;
  for (unsigned e = 0; e < p.engines; ++e) {
    const auto& x = logic.engines[e];
    seen.engines[e] = {x.mode,           detail::role_of(v, e), x.spool, x.selection == selection_mode::selected,
                       v.supply_open(e), x.fire_handle_pulled};
  }
  for (unsigned e = 0; e < p.engine_pumps; ++e) {
    const auto& x = logic.engine_pumps[e];
    seen.engine_pumps[e] = {v.engine_pump_why(e), v.engine_pump_delivers(e), x.switched_on, x.health};
  }
  for (unsigned e = 0; e < p.electric_pumps; ++e) {
    const auto& x = logic.electric_pumps[e];
    seen.electric_pumps[e] = {v.electric_pump_why(e), x.demand, v.electric_pump_delivers(e), x.switched, x.health, v.is_shed(e)};
  }
  for (unsigned r = 0; r < p.ram_air_pumps; ++r) seen.ram_air_pumps[r] = {logic.aircraft.ram_air, v.ram_air_delivers(r)};
  for (unsigned c = 0; c < p.circuits; ++c) {
    const auto& x = logic.circuits[c];
    seen.circuits[c] = {v.status(c),     v.pressure_switch(c), x.pressure_made,      v.own_source(c),
                        v.driving_unit(c) != detail::nobody,   x.service,            v.level_switch(c),
                        v.air_is_low(c), v.fluid_is_hot(c)};
  }
  for (unsigned u = 0; u < p.units; ++u) {
    const auto& x = logic.units[u];
    using list = machines::transfer_unit::inhibitions;
    // the last rung, "nothing inhibits", always holds; it is no reason
    const unsigned reasons = list::all(v.unit_facts(u)) & ~1U;
    seen.units[u] = {x.mode, v.inhibition(u), static_cast<std::uint16_t>(reasons), x.test, x.outcome, x.reason};
  }
  for (unsigned d = 0; d < p.doors; ++d) {
    seen.doors[d] = {logic.doors[d].mode, logic.doors[d].lever, v.travel(d), v.door_served(d)};
  }
  for (unsigned c = 0; c < p.consumers; ++c) {
    const auto why = v.consumer_why(c);
    const bool available = why == consumer_reason::available;
    seen.consumers[c] = {available, why, available ? v.serving_circuit(c) : detail::nobody};
  }
  for (unsigned i = 0; i < p.stores; ++i) seen.stored[i] = static_cast<std::uint8_t>(v.stored(i));
  for (unsigned b = 0; b < p.buses; ++b) {
    const auto source = v.live_source(b);
    const auto& list = p.bus_at[b].sources;
    const auto place = std::find(list.begin(), list.begin() + p.bus_at[b].source_count, source) - list.begin();
    seen.buses[b] = {source != detail::nobody,
                     source != detail::nobody ? static_cast<std::uint8_t>(place) : detail::nobody};
  }
  seen.faults = now.faults;
  detail::observe_alerts(v, seen);
  return seen;
}

}  // namespace penstock::inline v1
