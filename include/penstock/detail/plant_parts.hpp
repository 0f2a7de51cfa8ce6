// Between logic and plant: what a state opens, what a plant holds, and the switches that turn quantities into facts.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string_view>

#include "penstock/detail/quasi_static_parts.hpp"
#include "penstock/detail/store_gas.hpp"
#include "penstock/plant.hpp"

namespace penstock::inline v1::detail::fluid {

/// A reservoir counts as empty below this share of its low mark: pumps draw air from there. Invented.
inline constexpr double empty_share = 0.01;
/// Hot fluid ends this far below its mark, K. Invented.
inline constexpr double hot_hysteresis = 10.0;

[[nodiscard]] inline bool connects_main(const state& now, std::size_t c) {
  return now.logic.circuits[c].service != service_mode::service;  // CGO-5
}
[[nodiscard]] inline bool connects_outer(const state& now, std::size_t c) {
  const bool on_ground = now.logic.aircraft.where == air_ground::ground;
  return !(now.logic.circuits[c].outer_shut && on_ground);  // LEK-1
}

/// Whether a feed of a consumer is open to its circuit's pumps.
[[nodiscard]] inline bool is_connected(const state& now, const plan::consumer& who, std::size_t feed) {
  const std::size_t c = who.feed_circuit[feed];
  switch (who.feed_branch[feed]) {
    case branch::service: return true;
    case branch::main: return connects_main(now, c);
    case branch::outer: return connects_main(now, c) && connects_outer(now, c);
  }
  return false;
}

/// The circuit that moves or loses fluid for a consumer now: the first with pressure that is open to it, or nobody.
[[nodiscard]] inline std::uint8_t served_by(const state& now, const plan::consumer& who) {
  for (std::size_t f = 0; f < who.feed_count; ++f) {
    const std::size_t c = who.feed_circuit[f];
    const bool shed = who.heavy && !now.logic.circuits[c].above_priority;  // CON-4
    if (is_connected(now, who, f) && !shed) return who.feed_circuit[f];
  }
  return nobody;
}

[[nodiscard]] inline double line_pressure(const layout& of, const plant_state& plant, std::size_t c) {
  // The pumps and their pressure switch sit in the service branch.
  return plant.circuits[c].line[0] / of.fluid().circuits[c].capacity[0];
}

[[nodiscard]] inline double actuators_of(const layout& of, const plant_state& plant, std::size_t c) {
  const plan& p = of.plan();
  const fluid_numbers& n = of.fluid();
  double held = 0.0;
  for (std::size_t d = 0; d < p.doors; ++d) {
    if (n.doors[d].circuit == c) held += (n.doors[d].full_side - n.doors[d].rod_side) * plant.door[d];
  }
  for (std::size_t i = 0; i < p.consumers; ++i) {
    if (n.gear[i].circuit == c) held += (n.gear[i].full_side - n.gear[i].rod_side) * plant.gear[i];
  }
  return held;
}

[[nodiscard]] inline double stored_in(const layout& of, const plant_state& plant, std::size_t c) {
  double held = 0.0;
  for (std::size_t s = 0; s < of.plan().stores; ++s) {
    if (of.plan().store_at[s].circuit == c) held += plant.stores[s].fluid + plant.stores[s].brake;
  }
  return held;
}

[[nodiscard]] inline double expansion_of(const layout& of, const plant_state& plant, std::size_t c) {
  const fluid_numbers::circuit& n = of.fluid().circuits[c];
  const double there = std::max(n.fluid - plant.circuits[c].leaked, 0.0);
  return n.expansion * there * (plant.circuits[c].temperature - standard_temperature);
}

/// Applications that the fluid of a store gives, by the isothermal law, so that gas that is cold for a minute does
/// not count as lost [CON-3].
[[nodiscard]] inline std::uint8_t applications_left(const layout& of, const plant_state& plant, std::size_t s) {
  const fluid_numbers::store& n = of.fluid().stores[s];
  const double many = (plant.stores[s].fluid - n.least_fluid) / n.application;
  const double most = of.plan().store_at[s].most_applications;
  return many > 0.0 ? static_cast<std::uint8_t>(std::min(many + 1e-6, most)) : std::uint8_t{0};
}

/// All facts of the plant, each by its switch. What the logic holds is the memory of their hysteresis.
struct facts {
  std::array<spool_band, limits::engines> spool{};
  std::array<bool, limits::engines> starter_out{};
  std::array<door_travel, limits::cargo_doors> travel{};
  std::array<pressure_difference, limits::transfer_units> difference{};
  std::array<bool, limits::transfer_units> overspeed{};
  std::array<bool, limits::circuits> pressure{}, priority{}, hot{};
  std::array<fluid_level, limits::circuits> level{};
  std::array<std::uint8_t, limits::stores> stored{};
};

[[nodiscard]] inline spool_band band_of(const engine_spec& spec, double speed) {
  if (speed >= 1.0) return spool_band::idle;
  if (speed >= spec.sub_idle_mark) return spool_band::near_idle;
  if (speed > spec.pump_mark) return spool_band::driving;
  return speed > 0.0 ? spool_band::turning : spool_band::zero;
}

[[nodiscard]] inline bool switch_at(double value, bool made, double makes, double opens) {
  return made ? value >= opens : value >= makes;
}

[[nodiscard]] inline pressure_difference difference_of(const transfer_unit_spec& spec, double a, double b) {
  const double apart = std::abs(a - b);
  if (apart < spec.release.value) return pressure_difference::level;
  if (apart > spec.activation.value) return a > b ? pressure_difference::a_exceeds : pressure_difference::b_exceeds;
  return a > b ? pressure_difference::a_higher : pressure_difference::b_higher;
}

[[nodiscard]] inline double own_pressure(const layout& of, const plant_state& plant, const state& now, std::size_t c) {
  const auto& capacity = of.fluid().circuits[c].capacity;
  const bool main = connects_main(now, c);
  const bool outer = main && connects_outer(now, c);
  return plant.circuits[c].own_line / (capacity[0] + (main ? capacity[1] : 0.0) + (outer ? capacity[2] : 0.0));
}

[[nodiscard]] inline fluid_level level_of(const fluid_numbers::circuit& n, double level, bool dry, fluid_level held) {
  if (dry) return fluid_level::empty;
  const bool was_low = held == fluid_level::low || held == fluid_level::empty;
  if (level < (was_low ? n.low_left : n.low)) return fluid_level::low;
  return level > (held == fluid_level::over ? n.over_left : n.over) ? fluid_level::over : fluid_level::normal;
}

[[nodiscard]] inline facts facts_of(const layout& of, const plant_state& plant, const state& now) {
  const plan& p = of.plan();
  const layout_spec& spec = of.spec();
  const fluid_numbers& n = of.fluid();
  facts f;
  for (std::size_t e = 0; e < p.engines; ++e) {
    f.spool[e] = band_of(spec.engines[e], plant.engines[e].speed);
    f.starter_out[e] =
        now.logic.engines[e].mode == engine_mode::at_idle && plant.engines[e].since_idle >= n.engines[e].cut_out - 1e-9;
  }
  for (std::size_t d = 0; d < p.doors; ++d) {
    const double at = plant.door[d];
    f.travel[d] = at <= 0.0 ? door_travel::closed : at >= 1.0 ? door_travel::open : door_travel::between;
  }
  for (std::size_t u = 0; u < p.units; ++u) {
    const plan::unit& unit = p.unit_at[u];
    f.difference[u] = difference_of(spec.transfer_units[u], own_pressure(of, plant, now, unit.a),
                                    own_pressure(of, plant, now, unit.b));
    // Without fluid behind its pump nothing holds the shaft; only new fluid ends that [PTU-15].
    const unit_mode mode = now.logic.units[u].mode;
    const bool runs_away = (mode == unit_mode::a_drives_b && plant.circuits[unit.b].dry) ||
                           (mode == unit_mode::b_drives_a && plant.circuits[unit.a].dry);
    const bool goes_on =
        now.logic.units[u].overspeed && (plant.circuits[unit.a].dry || plant.circuits[unit.b].dry);
    f.overspeed[u] = unit.overspeed && (runs_away || goes_on);
  }
  for (std::size_t c = 0; c < p.circuits; ++c) {
    const double made = line_pressure(of, plant, c);
    const circuit_state& held = now.logic.circuits[c];
    f.pressure[c] = switch_at(made, held.pressure_made, spec.switch_made.value, spec.switch_open.value);
    f.priority[c] =
        switch_at(made, held.above_priority, spec.priority_restored.value, spec.priority_shed.value);
    f.hot[c] = switch_at(plant.circuits[c].temperature, held.fluid_hot, n.circuits[c].hot,
                         n.circuits[c].hot - hot_hysteresis);
    f.level[c] = level_of(n.circuits[c], plant.circuits[c].reservoir + expansion_of(of, plant, c),
                          plant.circuits[c].dry, held.level);
  }
  for (std::size_t s = 0; s < p.stores; ++s) f.stored[s] = applications_left(of, plant, s);
  return f;
}

using quasi::due_fact;
using quasi::place_set;

/// The first fact that the logic does not hold, in the order of a frame, leaving out some places [GEN-3].
[[nodiscard]] inline std::optional<due_fact> first_due(const layout& of, const plant_state& plant, const state& now,
                                                       place_set left_out) {
  const plan& p = of.plan();
  const logic_state& logic = now.logic;
  const facts f = facts_of(of, plant, now);
  std::optional<due_fact> due;
  std::size_t place = 0;
  // Tells `make(i)` where `differs(i)` for one of `count` components; each kind has `most` places.
  const auto look = [&](std::size_t count, std::size_t most, auto differs, auto make) {
    for (unsigned i = 0; !due && i < count; ++i) {
      if ((left_out >> (place + i) & 1U) == 0 && differs(i)) due = due_fact{make(i), place + i};
    }
    place += most;
  };
  look(p.engines, limits::engines, [&](unsigned e) { return f.spool[e] != logic.engines[e].spool; },
       [&](unsigned e) { return events::spool(e, f.spool[e]); });
  look(p.engines, limits::engines, [&](unsigned e) { return f.starter_out[e] && !logic.engines[e].starter_is_out; },
       [&](unsigned e) { return events::starter_out(e); });
  look(p.doors, limits::cargo_doors, [&](unsigned d) { return f.travel[d] != logic.doors[d].travel; },
       [&](unsigned d) { return events::travel(d, f.travel[d]); });
  look(p.units, limits::transfer_units, [&](unsigned u) { return f.difference[u] != logic.units[u].difference; },
       [&](unsigned u) { return events::difference(u, f.difference[u]); });
  look(p.units, limits::transfer_units, [&](unsigned u) { return f.overspeed[u] != logic.units[u].overspeed; },
       [&](unsigned u) { return events::overspeed(u, f.overspeed[u]); });
  look(p.circuits, limits::circuits, [&](unsigned c) { return f.pressure[c] != logic.circuits[c].pressure_made; },
       [&](unsigned c) { return events::pressure(c, f.pressure[c]); });
  look(p.circuits, limits::circuits, [&](unsigned c) { return f.priority[c] != logic.circuits[c].above_priority; },
       [&](unsigned c) { return events::priority(c, f.priority[c]); });
  look(p.circuits, limits::circuits, [&](unsigned c) { return f.level[c] != logic.circuits[c].level; },
       [&](unsigned c) { return events::level(c, f.level[c]); });
  look(p.circuits, limits::circuits, [&](unsigned c) { return f.hot[c] != logic.circuits[c].fluid_hot; },
       [&](unsigned c) { return events::fluid(c, f.hot[c]); });
  look(p.stores, limits::stores, [&](unsigned s) { return f.stored[s] != quasi::stored_in_logic(now, s); },
       [&](unsigned s) { return events::stored(s, f.stored[s]); });
  return due;
}

[[nodiscard]] inline bool is_amount(double value, double most) { return value >= 0.0 && value <= most; }

/// What is wrong with commands, in words, or nothing.
[[nodiscard]] inline std::string_view fault_of(const plan& p, const plant_commands& given) {
  constexpr double most_flow = 1.0;  // m3/s
  for (std::size_t c = 0; c < p.circuits; ++c) {
    const plant_commands::circuit& one = given.circuits[c];
    if (!(is_amount(one.reservoir_leak, most_flow) && is_amount(one.line_leak, most_flow * limits::faults) &&
          is_amount(one.demand, most_flow * limits::consumers))) {
      return "a leak or a demand of a circuit must be 0 to 1 m3/s";
    }
  }
  for (std::size_t i = 0; i < p.ram_air_pumps; ++i) {
    if (!is_amount(given.airstream[i], 1.0)) return "the airstream of a ram-air pump must be 0 to 1";
  }
  const auto fine = [&](const plant_commands::actuator& one) {
    return one.motion >= -1 && one.motion <= 1 && (one.motion == 0 || one.circuit < p.circuits);
  };
  for (std::size_t d = 0; d < p.doors; ++d) {
    if (!fine(given.doors[d])) return "a door moves by -1, 0 or +1, by a circuit of the layout";
  }
  for (std::size_t i = 0; i < p.consumers; ++i) {
    if (!fine(given.gear[i])) return "gear moves by -1, 0 or +1, by a circuit of the layout";
  }
  for (std::size_t u = 0; u < p.units; ++u) {
    if (given.units[u].direction < -1 || given.units[u].direction > 1) return "a unit drives by -1, 0 or +1";
  }
  return {};
}

}  // namespace penstock::inline v1::detail::fluid
