// The plant, as its public header promises it.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string_view>

#include "penstock/detail/fluid_parts.hpp"
#include "penstock/detail/plant_parts.hpp"
#include "penstock/plant.hpp"

namespace penstock::inline v1 {

PENSTOCK_INLINE plant_commands commands_for(const layout& of, const state& now) {
  namespace f = detail::fluid;
  using detail::quasi::is_active;
  const detail::plan& p = of.plan();
  const layout_spec& spec = of.spec();
  const logic_state& logic = now.logic;
  const bool in_flight = logic.aircraft.where == air_ground::air;
  plant_commands made{};
  const bool any_fault = std::any_of(now.faults.begin(), now.faults.end(), [](const injected_fault& one) {
    return one.status == fault_status::active;
  });
  const auto broken = [&](fault kind, subject where) { return any_fault && is_active(now, kind, where); };

  for (unsigned e = 0; e < p.engines; ++e) {
    const engine_mode mode = logic.engines[e].mode;
    const bool idles = mode == engine_mode::at_idle || mode == engine_mode::running;
    made.engines[e] = {idles                            ? spool_drive::at_idle
                       : mode == engine_mode::cranking ? spool_drive::cranking
                                                        : spool_drive::running_down,
                       mode == engine_mode::at_idle, broken(fault::engine_hangs, events::engine(e))};
  }
  for (unsigned i = 0; i < p.engine_pumps; ++i) {
    made.engine_pumps[i] = {logic.engine_pumps[i].mode == pump_mode::delivering,
                            broken(fault::pump_weak, events::engine_pump(i))};
  }
  for (unsigned i = 0; i < p.electric_pumps; ++i) {
    made.electric_pumps[i] = {logic.electric_pumps[i].mode == pump_mode::delivering,
                              broken(fault::pump_weak, events::electric_pump(i))};
  }
  for (unsigned i = 0; i < p.ram_air_pumps; ++i) {
    made.ram_air_pumps[i] = {logic.aircraft.ram_air == ram_air_mode::deployed,
                             broken(fault::pump_weak, events::ram_air_pump(i))};
    made.airstream[i] = logic.aircraft.airspeed == airspeed_band::fast     ? 1.0
                        : logic.aircraft.airspeed == airspeed_band::useful ? 0.5
                                                                           : 0.0;
  }
  for (unsigned c = 0; c < p.circuits; ++c) {
    plant_commands::circuit& one = made.circuits[c];
    one.main_open = f::connects_main(now, c);
    one.outer_open = f::connects_outer(now, c);
    one.hand_pump = logic.circuits[c].hand_pump && logic.circuits[c].level != fluid_level::empty;
    one.air_lost = logic.circuits[c].air_low || broken(fault::reservoir_air_lost, events::circuit(c));
    one.heated = broken(fault::fluid_hot, events::circuit(c));
  }
  for (unsigned d = 0; d < p.doors; ++d) {
    const subject door = events::door(d);
    lever_position lever = logic.doors[d].lever;
    if (broken(fault::lever_stuck_neutral, door)) lever = lever_position::neutral;
    if (broken(fault::lever_stuck_open, door)) lever = lever_position::open;
    if (broken(fault::lever_stuck_close, door)) lever = lever_position::close;
    if (in_flight) lever = lever_position::neutral;  // CON-5
    made.doors[d] = {static_cast<std::int8_t>(lever == lever_position::open    ? 1
                                              : lever == lever_position::close ? -1
                                                                               : 0),
                     p.door_at[d].circuit};
  }
  for (unsigned i = 0; i < p.consumers; ++i) {
    const detail::plan::consumer& who = p.consumer_at[i];
    if (who.kind == consumer_kind::gear) {
      const std::uint8_t by = f::served_by(now, who);
      const std::int8_t motion = logic.aircraft.gear_down ? -1 : 1;
      made.gear[i] = {by == detail::nobody ? std::int8_t{0} : motion, by};
    }
    if (in_flight && spec.consumers[i].demand.value > 0.0) {
      for (std::size_t k = 0; k < who.feed_count; ++k) {
        if (f::is_connected(now, who, k)) made.circuits[who.feed_circuit[k]].demand += spec.consumers[i].demand.value;
      }
    }
  }
  for (unsigned u = 0; u < p.units; ++u) {
    const unit_mode mode = logic.units[u].mode;
    made.units[u] = {static_cast<std::int8_t>(mode == unit_mode::a_drives_b   ? 1
                                              : mode == unit_mode::b_drives_a ? -1
                                                                              : 0),
                     broken(fault::unit_seized, events::unit(u)), broken(fault::unit_weak, events::unit(u))};
  }
  for (unsigned s = 0; s < p.stores; ++s) made.gas_lost[s] = broken(fault::store_gas_lost, events::store(s));
  if (!any_fault) return made;
  for (const injected_fault& one : now.faults) {
    if (one.status != fault_status::active) continue;
    const double amount = static_cast<double>(one.amount) * 1e-9;
    if (one.kind == fault::reservoir_leak) made.circuits[one.where.index].reservoir_leak += amount;
    if (one.kind == fault::line_leak) made.circuits[one.where.index].line_leak += amount;
    if (one.kind == fault::consumer_leak) {
      const std::uint8_t by = f::served_by(now, p.consumer_at[one.where.index]);  // LVL-6
      if (by != detail::nobody) made.circuits[by].line_leak += amount;
    }
  }
  return made;
}

PENSTOCK_INLINE plant_state plant_at(const layout& of, const state& now) {
  namespace f = detail::fluid;
  const detail::plan& p = of.plan();
  const detail::fluid_numbers& n = of.fluid();
  const layout_spec& spec = of.spec();
  plant_state plant{};
  for (std::size_t e = 0; e < p.engines; ++e) {
    // The lowest speed of the band that the logic holds.
    constexpr double little = 1e-6;
    double& speed = plant.engines[e].speed;
    switch (now.logic.engines[e].spool) {
      case spool_band::zero: speed = 0.0; break;
      case spool_band::turning: speed = little; break;
      case spool_band::driving: speed = spec.engines[e].pump_mark + little; break;
      case spool_band::near_idle: speed = spec.engines[e].sub_idle_mark; break;
      case spool_band::idle: speed = 1.0; break;
    }
  }
  for (std::size_t i = 0; i < p.electric_pumps; ++i) {
    plant.motor[i] = now.logic.electric_pumps[i].mode == pump_mode::delivering ? 1.0 : 0.0;
  }
  for (std::size_t d = 0; d < p.doors; ++d) {
    const door_travel at = now.logic.doors[d].travel;
    plant.door[d] = at == door_travel::closed ? 0.0 : at == door_travel::open ? 1.0 : 0.5;
  }
  for (std::size_t i = 0; i < p.consumers; ++i) {
    if (p.consumer_at[i].kind == consumer_kind::gear && !now.logic.aircraft.gear_down) plant.gear[i] = 1.0;
  }
  for (std::size_t s = 0; s < p.stores; ++s) {
    const detail::fluid_numbers::store& store = n.stores[s];
    const std::uint8_t left = detail::quasi::stored_in_logic(now, s);
    const bool full = left >= p.store_at[s].most_applications;
    plant.stores[s].fluid = full ? store.most_fluid : left > 0 ? store.least_fluid + left * store.application : 0.0;
    plant.stores[s].gas_temperature = detail::standard_temperature;
    if (now.logic.aircraft.parking_brake_set && left > 0) plant.stores[s].brake = store.application;
    if (detail::quasi::is_active(now, fault::store_gas_lost, events::store(static_cast<unsigned>(s)))) {
      plant.stores[s].fluid = 0.0;
    }
  }
  for (std::size_t c = 0; c < p.circuits; ++c) {
    circuit_plant& made = plant.circuits[c];
    const detail::fluid_numbers::circuit& of_circuit = n.circuits[c];
    made.temperature = detail::standard_temperature;
    if (detail::quasi::is_active(now, fault::fluid_hot, events::circuit(static_cast<unsigned>(c))) ||
        now.logic.circuits[c].fluid_hot) {
      made.temperature = of_circuit.hot;
    }
    // All that the circuit holds beside a full reservoir with the gear down, doors closed and stores charged.
    double stored = 0.0;
    for (std::size_t s = 0; s < p.stores; ++s) {
      if (p.store_at[s].circuit == c) stored += n.stores[s].most_fluid;
    }
    made.filled = spec.circuits[c].reservoir.value + stored;
    if (now.logic.circuits[c].pressure_made) {
      for (std::size_t b = 0; b < made.line.size(); ++b) {
        const bool open = b == 0 || (f::connects_main(now, c) && (b == 1 || f::connects_outer(now, c)));
        if (open) made.line[b] = of_circuit.capacity[b] * n.nominal;
      }
    }
    made.own_line = made.line[0] + made.line[1] + made.line[2];
    const double away = made.own_line + f::actuators_of(of, plant, c) + f::stored_in(of, plant, c);
    double reservoir = std::max(made.filled - away, 0.0);
    made.filled = reservoir + away;
    // A level that is not normal has lost, or been given, just so much fluid that it is well beyond its mark.
    double wanted = reservoir;
    switch (now.logic.circuits[c].level) {
      case fluid_level::empty:
        wanted = 0.0;
        made.dry = true;
        break;
      case fluid_level::low: wanted = std::min(reservoir, 0.5 * of_circuit.low); break;
      case fluid_level::normal: break;
      case fluid_level::over: wanted = of_circuit.over + 0.5 * (of_circuit.over - of_circuit.over_left); break;
    }
    if (wanted <= reservoir) {
      made.leaked = reservoir - wanted;
    } else {
      made.filled += wanted - reservoir;
    }
    made.reservoir = wanted;
  }
  return plant;
}

PENSTOCK_INLINE refusal integrate_in_place(const layout& of, plant_state& changed, const plant_commands& commands,
                                           double dt) {
  namespace f = detail::fluid;
  if (!(dt >= shortest_step && dt <= longest_step)) {
    return {refusal_kind::time, "GEN-2", "a step of the plant is 1 ms to 1 s"};
  }
  const std::string_view wrong = f::fault_of(of.plan(), commands);
  if (!wrong.empty()) return {refusal_kind::bad_value, "GEN-2", wrong};
  f::step{of, changed, commands}.go(dt);
  for (std::size_t c = 0; c < of.plan().circuits; ++c) {
    const detail::fluid_numbers::circuit& n = of.fluid().circuits[c];
    circuit_plant& now = changed.circuits[c];
    now.dry = now.reservoir < (now.dry ? n.primed : f::empty_share * n.low);  // LVL-4
  }
  return {};
}

PENSTOCK_INLINE integration integrate(const layout& of, const plant_state& before, const plant_commands& commands,
                                      double dt) {
  integration made{before, {}};
  made.refused = integrate_in_place(of, made.after, commands, dt);
  return made;
}

PENSTOCK_INLINE plant_state plant_with(const layout& of, const plant_state& plant, const state& before,
                                       const event& accepted) {
  namespace f = detail::fluid;
  const bool was_set = before.logic.aircraft.parking_brake_set;
  const bool brake_set = accepted.kind == event_kind::parking_brake && accepted.value == 0 && !was_set;
  const bool brake_released = accepted.kind == event_kind::parking_brake && accepted.value != 0 && was_set;
  // Pedals take nothing from a brake that is set already.
  const bool pedals = accepted.kind == event_kind::apply_brakes && !was_set;
  plant_state changed = plant;
  if (!brake_set && !brake_released && !pedals) return changed;
  const detail::plan& p = of.plan();
  for (std::size_t s = 0; s < p.stores; ++s) {
    const std::size_t c = p.store_at[s].circuit;
    circuit_plant& circuit = changed.circuits[c];
    store_plant& store = changed.stores[s];
    if (brake_released) {
      circuit.reservoir += store.brake;
      store.brake = 0.0;
      continue;
    }
    const double wanted = of.fluid().stores[s].application;
    double taken = 0.0;
    double at_pressure = f::line_pressure(of, plant, c);
    if (before.logic.circuits[c].pressure_made) {
      // The line gives it and the pumps make it good; each connected branch gives its part.
      const bool main = f::connects_main(before, c);
      const std::array<bool, 3> open{true, main, main && f::connects_outer(before, c)};
      double there = 0.0;
      for (std::size_t b = 0; b < open.size(); ++b) there += open[b] ? circuit.line[b] : 0.0;
      taken = std::min(wanted, there);
      for (std::size_t b = 0; b < open.size(); ++b) {
        if (open[b] && there > 0.0) circuit.line[b] -= taken * (circuit.line[b] / there);
      }
      circuit.own_line = std::max(circuit.own_line - taken, 0.0);
    } else if (f::applications_left(of, plant, s) > 0) {
      at_pressure = gas_pressure_of(of, plant, static_cast<unsigned>(s)).value;
      taken = std::min(wanted, store.fluid);
      // The gas grows so fast that it has no time to take warmth from around it.
      const double small = of.fluid().stores[s].gas - store.fluid;
      const double grown = -0.4 * taken / (2.0 * small + taken);
      if (of.fluid().stores[s].heat_time > 0.0) store.gas_temperature *= (1.0 + grown) / (1.0 - grown);
      store.fluid -= taken;
      circuit.worked -= at_pressure * taken;
    } else {
      continue;
    }
    circuit.heated += at_pressure * taken;
    if (brake_set) {
      store.brake = taken;
    } else {
      circuit.reservoir += taken;
    }
  }
  return changed;
}

PENSTOCK_INLINE std::optional<event> next_fact(const layout& of, const plant_state& plant, const state& now) {
  const std::optional<detail::fluid::due_fact> due = detail::fluid::first_due(of, plant, now, 0);
  if (!due) return std::nullopt;
  return due->what;
}

PENSTOCK_INLINE pressure pressure_of(const layout& of, const plant_state& plant, unsigned circuit) {
  if (!detail::quasi::has_circuit(of, circuit)) return {0.0};
  return {detail::fluid::line_pressure(of, plant, circuit)};
}

PENSTOCK_INLINE pressure gas_pressure_of(const layout& of, const plant_state& plant, unsigned store) {
  if (store >= of.plan().stores) return {0.0};
  const detail::fluid_numbers::store& n = of.fluid().stores[store];
  const store_plant& now = plant.stores[store];
  const detail::gas_point gas = detail::gas_at(n.amount, n.real, n.gas - now.fluid, now.gas_temperature);
  return {std::max(gas.pressure - detail::standard_atmosphere, 0.0)};
}

PENSTOCK_INLINE fluid_contents contents_of(const layout& of, const plant_state& plant, unsigned circuit) {
  namespace f = detail::fluid;
  if (!detail::quasi::has_circuit(of, circuit)) return {};
  const circuit_plant& now = plant.circuits[circuit];
  return {now.filled,
          now.reservoir,
          now.line[0] + now.line[1] + now.line[2],
          f::actuators_of(of, plant, circuit),
          f::stored_in(of, plant, circuit),
          now.leaked};
}

PENSTOCK_INLINE volume indicated_level(const layout& of, const plant_state& plant, unsigned circuit) {
  if (!detail::quasi::has_circuit(of, circuit)) return {0.0};
  return {std::max(plant.circuits[circuit].reservoir + detail::fluid::expansion_of(of, plant, circuit), 0.0)};
}

PENSTOCK_INLINE volume expected_level(const layout& of, const plant_state& plant, unsigned circuit) {
  namespace f = detail::fluid;
  if (!detail::quasi::has_circuit(of, circuit)) return {0.0};
  double stored = 0.0;
  for (std::size_t s = 0; s < of.plan().stores; ++s) {
    if (of.plan().store_at[s].circuit == circuit) stored += of.fluid().stores[s].most_fluid;
  }
  const fluid_contents now = contents_of(of, plant, circuit);
  const double tight = of.spec().circuits[circuit].reservoir.value + stored;
  return {std::max(tight - now.lines - now.actuators - now.stores + f::expansion_of(of, plant, circuit), 0.0)};
}

PENSTOCK_INLINE servicing_advice servicing(const layout& of, const plant_state& plant, const state& now,
                                           unsigned circuit) {
  namespace f = detail::fluid;
  const auto not_valid = [](std::string_view why) { return servicing_advice{false, why, {0.0}}; };
  if (!detail::quasi::has_circuit(of, circuit)) return not_valid("the aircraft has no such circuit");
  const detail::plan& p = of.plan();
  if (now.logic.aircraft.where != air_ground::ground) return not_valid("the aircraft is in flight");
  bool gear_is_down = now.logic.aircraft.gear_down;
  for (std::size_t i = 0; i < p.consumers; ++i) {
    if (of.fluid().gear[i].circuit == circuit && plant.gear[i] > 0.0) gear_is_down = false;
  }
  if (!gear_is_down) return not_valid("the gear is not down");
  for (std::size_t d = 0; d < p.doors; ++d) {
    if (p.door_at[d].circuit == circuit && plant.door[d] > 0.0) return not_valid("a door of the circuit is not closed");
  }
  // A tenth of nominal is what a gauge still shows as none. Invented.
  if (f::line_pressure(of, plant, circuit) > 0.1 * of.fluid().nominal) return not_valid("the circuit has pressure");
  for (std::size_t s = 0; s < p.stores; ++s) {
    if (p.store_at[s].circuit != circuit) continue;
    if (f::applications_left(of, plant, s) < p.store_at[s].most_applications) {
      return not_valid("a store of the circuit is not charged");
    }
  }
  return {true, {}, {expected_level(of, plant, circuit).value - indicated_level(of, plant, circuit).value}};
}

}  // namespace penstock::inline v1
