// The quasi-static plant, as its public header promises it.
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string_view>

#include "penstock/detail/quasi_static_parts.hpp"
#include "penstock/quasi_static.hpp"

namespace penstock::inline v1 {

PENSTOCK_INLINE quasi_static_state plant_for(const layout& of, const state& now) {
  namespace q = detail::quasi;
  const detail::plan& p = of.plan();
  const layout_spec& spec = of.spec();
  quasi_static_state plant{};
  for (std::size_t e = 0; e < p.engines; ++e) {
    const q::engine_numbers n = q::numbers_of(spec.engines[e]);
    q::set_speed(n, plant, e, q::least_speed(n, now.logic.engines[e].spool));
  }
  for (std::size_t d = 0; d < p.doors; ++d) {
    const std::int64_t travel = q::travel_of(spec.cargo_doors[d]);
    const door_travel at = now.logic.doors[d].travel;
    plant.door[d] = static_cast<std::uint32_t>(at == door_travel::closed ? 0
                                               : at == door_travel::open ? travel
                                                                         : travel / 2);
  }
  for (std::size_t i = 0; i < p.consumers; ++i) {
    if (p.consumer_at[i].kind != consumer_kind::gear || now.logic.aircraft.gear_down) continue;
    plant.gear[i] = static_cast<std::uint32_t>(q::travel_of(spec.consumers[i]));
  }
  for (std::size_t s = 0; s < p.stores; ++s) {
    plant.applications[s] = std::min(q::stored_in_logic(now, s), p.store_at[s].most_applications);
  }
  for (std::size_t c = 0; c < p.circuits; ++c) plant.dry[c] = now.logic.circuits[c].level == fluid_level::empty;
  const detail::mask pressures = q::all_pressures(of, plant, now);
  for (std::size_t c = 0; c < p.circuits; ++c) plant.at_pressure[c] = (pressures >> c & 1U) != 0;
  // A level that is not normal has lost, or been given, just so much fluid that it is well beyond its mark.
  for (std::size_t c = 0; c < p.circuits; ++c) {
    const q::level_numbers n = q::numbers_of(spec.circuits[c]);
    const std::int64_t full = q::account_of(of, plant, c).reservoir;
    switch (now.logic.circuits[c].level) {
      case fluid_level::empty: plant.leaked[c] = full; break;
      case fluid_level::low: plant.leaked[c] = full - std::min(full, n.low / 2); break;
      case fluid_level::normal: break;
      case fluid_level::over: plant.leaked[c] = full - (n.over + n.over - n.over_left + 1); break;
    }
  }
  q::settle(of, plant, now);
  return plant;
}

PENSTOCK_INLINE quasi_static_state plant_after(const layout& of, const quasi_static_state& plant, const state& now,
                                               std::uint32_t dt) {
  namespace q = detail::quasi;
  quasi_static_state later = plant;
  q::settle(of, later, now);
  for (std::int64_t left = dt; left > 0;) {
    const std::int64_t step = std::min(left, q::ms_to_stop(of, later, now));
    q::go(of, later, now, step);
    left -= step;
  }
  return later;
}

PENSTOCK_INLINE std::optional<std::uint32_t> next_plant_change(const layout& of, const quasi_static_state& plant,
                                                               const state& now) {
  namespace q = detail::quasi;
  quasi_static_state going = plant;
  q::settle(of, going, now);
  std::int64_t gone = 0;
  if (q::has_no_closed_form(of, going, now)) {
    const q::facts before = q::facts_of(of, going, now);
    do {
      q::go(of, going, now, 1);
      ++gone;
      if (q::facts_of(of, going, now) != before) return static_cast<std::uint32_t>(gone);
    } while (q::has_no_closed_form(of, going, now));
  }
  const std::int64_t change = q::ms_to_change(of, going, now);
  if (change == 0) return std::nullopt;
  return static_cast<std::uint32_t>(gone + change);
}

PENSTOCK_INLINE std::optional<event> next_fact(const layout& of, const quasi_static_state& plant, const state& now) {
  namespace q = detail::quasi;
  quasi_static_state settled = plant;
  q::settle(of, settled, now);
  const std::optional<q::due_fact> due = q::first_due(of, settled, now, 0);
  if (!due) return std::nullopt;
  return due->what;
}

PENSTOCK_INLINE quasi_static_state plant_with(const layout& of, const quasi_static_state& plant, const state& before,
                                              const event& accepted) {
  const bool brake_goes_on = accepted.kind == event_kind::parking_brake && accepted.value == 0 &&
                             !before.logic.aircraft.parking_brake_set;
  quasi_static_state changed = plant;
  if (accepted.kind != event_kind::apply_brakes && !brake_goes_on) return changed;
  for (std::size_t s = 0; s < of.plan().stores; ++s) {
    if (plant.at_pressure[of.plan().store_at[s].circuit] || changed.applications[s] == 0) continue;
    --changed.applications[s];  // CON-3
  }
  return changed;
}

PENSTOCK_INLINE fluid_account fluid_of(const layout& of, const quasi_static_state& plant, unsigned circuit) {
  if (!detail::quasi::has_circuit(of, circuit)) return {};
  return detail::quasi::account_of(of, plant, circuit);
}

PENSTOCK_INLINE std::int64_t expected_reservoir(const layout& of, const quasi_static_state& plant, unsigned circuit) {
  if (!detail::quasi::has_circuit(of, circuit)) return 0;
  quasi_static_state tight = plant;
  tight.leaked[circuit] = 0;
  return detail::quasi::account_of(of, tight, circuit).reservoir;
}

PENSTOCK_INLINE servicing_answer servicing(const layout& of, const quasi_static_state& plant, const state& now,
                                           unsigned circuit) {
  namespace q = detail::quasi;
  const auto not_valid = [](std::string_view why) { return servicing_answer{false, why, 0}; };
  if (!q::has_circuit(of, circuit)) return not_valid("the aircraft has no such circuit");
  const detail::plan& p = of.plan();
  if (now.logic.aircraft.where != air_ground::ground) return not_valid("the aircraft is in flight");
  bool gear_is_down = now.logic.aircraft.gear_down;
  for (std::size_t i = 0; i < p.consumers; ++i) {
    if (q::is_gear_of(p, i, circuit) && plant.gear[i] != 0) gear_is_down = false;
  }
  if (!gear_is_down) return not_valid("the gear is not down");
  for (std::size_t d = 0; d < p.doors; ++d) {
    if (p.door_at[d].circuit == circuit && plant.door[d] != 0) return not_valid("a door of the circuit is not closed");
  }
  if (plant.at_pressure[circuit]) return not_valid("the circuit has pressure");
  for (std::size_t s = 0; s < p.stores; ++s) {
    if (p.store_at[s].circuit == circuit && plant.applications[s] < p.store_at[s].most_applications) {
      return not_valid("a store of the circuit is not charged");
    }
  }
  return {true, {}, expected_reservoir(of, plant, circuit) - fluid_of(of, plant, circuit).reservoir};
}

}  // namespace penstock::inline v1
