// Where a state begins: cold and dark, or as an instructor sets it up.
#pragma once

#include <algorithm>
#include <optional>
#include <string>

#include "penstock/detail/view.hpp"
#include "penstock/state.hpp"
#include "penstock/transition.hpp"

namespace penstock::inline v1 {

PENSTOCK_INLINE state cold_and_dark(const layout& of) {
  const auto& p = of.plan();
  state s{};
  s.chronicle.machine_row.fill(chronicle_state::no_row);
  s.chronicle.bus_source.fill(detail::nobody);
  for (unsigned e = 0; e < p.engine_pumps; ++e) s.logic.engine_pumps[e].switched_on = true;
  for (unsigned e = 0; e < p.electric_pumps; ++e) {
    s.logic.electric_pumps[e].switched =
        p.electric_pump_at[e].duty == pump_duty::none ? pump_switch::off : pump_switch::automatic;
  }
  for (unsigned c = 0; c < p.circuits; ++c) s.logic.circuits[c].level = fluid_level::normal;
  for (unsigned u = 0; u < p.units; ++u) {
    s.logic.units[u].switched_on = true;
    s.logic.units[u].mode = unit_mode::standby;
  }
  auto& aircraft = s.logic.aircraft;
  aircraft.air_ground_valid = true;
  aircraft.parking_brake_set = true;
  aircraft.gear_down = true;
  if (p.stores > 0) aircraft.stored_0 = p.store_at[0].most_applications;
  if (p.stores > 1) aircraft.stored_1 = p.store_at[1].most_applications;
  effects unused;  // NOLINT(cppcoreguidelines-pro-type-member-init): `apply` writes what counts
  apply(of, s, events::elapsed(milliseconds{0}), unused);  // a parking brake without a store shows its alert at once
  return s;
}

PENSTOCK_INLINE reposition_spec reposition_of_cold_and_dark(const layout& of) {
  const auto& p = of.plan();
  reposition_spec to;
  to.engine_pump_switches.fill(pump_switch::on);
  to.unit_on.fill(true);
  to.levels.fill(fluid_level::normal);
  for (unsigned e = 0; e < p.electric_pumps; ++e) {
    to.electric_pump_switches[e] =
        p.electric_pump_at[e].duty == pump_duty::none ? pump_switch::off : pump_switch::automatic;
  }
  return to;
}

namespace detail {

[[nodiscard]] inline std::optional<error> contradiction_in(const layout& of, const reposition_spec& to) {
  const auto& p = of.plan();
  const auto wrong = [](std::string message) { return error{"reposition-contradiction", std::move(message), {}}; };
  if (to.pin_in && to.steering_connected) return wrong("the pin cannot be in while the steering is connected");
  if (!to.in_flight && !to.gear_down) return wrong("the gear cannot be up on the ground");
  if (to.in_flight && to.pin_in) return wrong("the pin cannot be in while in flight");
  if (to.now < milliseconds{0} || to.now > limits::longest_time) return wrong("the time must be between 0 and 24 hours");
  const auto outside = [](auto value) { return static_cast<std::size_t>(value) >= count_of<decltype(value)>; };
  const auto any_outside = [&](const auto& values) { return std::any_of(values.begin(), values.end(), outside); };
  if (any_outside(to.engine_pump_switches) || any_outside(to.electric_pump_switches) || any_outside(to.levers) ||
      any_outside(to.doors) || any_outside(to.levels) || outside(to.airspeed)) {
    return wrong("a switch, lever, door, level or airspeed has a value outside its list");
  }
  for (unsigned e = 0; e < p.engine_pumps; ++e) {
    if (to.engine_pump_switches[e] == pump_switch::automatic) {
      return wrong("the switch of engine pump " + of.spec().engine_pumps[e].name + " is on or off, not auto");
    }
  }
  for (unsigned e = 0; e < p.electric_pumps; ++e) {
    const auto duty = p.electric_pump_at[e].duty;
    const auto position = to.electric_pump_switches[e];
    const auto& name = of.spec().electric_pumps[e].name;
    if (duty == pump_duty::none && position == pump_switch::automatic) return wrong("the switch of " + name + " is on or off, not auto");
    if (duty == pump_duty::first_engine && position == pump_switch::on) return wrong("the switch of " + name + " is off or auto, not on");
  }
  return std::nullopt;
}

}  // namespace detail

PENSTOCK_INLINE result<state> repositioned(const layout& of, const reposition_spec& to) {
  if (auto problem = detail::contradiction_in(of, to)) return *std::move(problem);
  const auto& p = of.plan();
  state s = cold_and_dark(of);
  const auto now = static_cast<std::uint32_t>(to.now.count());
  s.chronicle.now = now;
  auto& logic = s.logic;
  std::uint8_t rank = 0;
  for (unsigned e = 0; e < p.engines; ++e) {
    if (!to.engine_runs[e]) continue;
    auto& engine = logic.engines[e];
    engine.mode = engine_mode::running;
    engine.spool = spool_band::idle;
    engine.selection = selection_mode::selected;
    engine.starter_is_out = true;
    detail::write_rank(engine, true, ++rank);
  }
  for (unsigned e = 0; e < p.engine_pumps; ++e) logic.engine_pumps[e].switched_on = to.engine_pump_switches[e] == pump_switch::on;
  for (unsigned e = 0; e < p.electric_pumps; ++e) logic.electric_pumps[e].switched = to.electric_pump_switches[e];
  for (unsigned u = 0; u < p.units; ++u) logic.units[u].switched_on = to.unit_on[u];
  for (unsigned d = 0; d < p.doors; ++d) {
    logic.doors[d].lever = to.levers[d];
    logic.doors[d].travel = to.doors[d];
  }
  for (unsigned c = 0; c < p.circuits; ++c) logic.circuits[c].level = to.levels[c];
  auto& aircraft = logic.aircraft;
  aircraft.steering = to.steering_connected ? steering_mode::connected
                      : to.pin_in           ? steering_mode::pinned
                                            : steering_mode::disconnected;
  aircraft.where = to.in_flight ? air_ground::air : air_ground::ground;
  aircraft.gear_down = to.gear_down;
  aircraft.parking_brake_set = to.parking_brake_set;
  aircraft.external_power = to.external_power;
  aircraft.auxiliary_power = to.auxiliary_power;
  aircraft.airspeed = to.airspeed;

  effects unused;  // NOLINT(cppcoreguidelines-pro-type-member-init): `apply` writes what counts
  apply(of, s, events::elapsed(milliseconds{0}), unused);
  // pressure follows its sources, and a unit what it drives: as a plant would answer
  for (int round = 0; round < 2; ++round) {
    for (unsigned c = 0; c < p.circuits; ++c) {
      const detail::view v{p, s};
      const bool made = (v.own_source(c) || v.driving_unit(c) != detail::nobody) &&
                        logic.circuits[c].level != fluid_level::empty;
      logic.circuits[c].pressure_made = made;
      logic.circuits[c].above_priority = made;
    }
    for (unsigned u = 0; u < p.units; ++u) {
      const detail::view v{p, s};
      const bool a = v.own_source(p.unit_at[u].a);
      const bool b = v.own_source(p.unit_at[u].b);
      logic.units[u].difference = a == b ? pressure_difference::level
                                  : a    ? pressure_difference::a_exceeds
                                         : pressure_difference::b_exceeds;
    }
    apply(of, s, events::elapsed(milliseconds{0}), unused);
  }
  // nothing counts as having happened: no start of a pump, no onset and no change earlier than now
  for (unsigned e = 0; e < p.electric_pumps; ++e) {
    logic.electric_pumps[e].limiter = limiter_mode::free;
    logic.electric_pumps[e].starts = 0;
  }
  s.chronicle.machine_since.fill(now);
  s.chronicle.input_since.fill(now);
  s.chronicle.alert_since.fill(now);
  return s;
}

}  // namespace penstock::inline v1
