// Readings of the plant.
#pragma once

#include <array>
#include <cstddef>

#include "penstock/plant.hpp"
#include "penstock/quasi_static.hpp"
#include "penstock/readings.hpp"

namespace penstock::inline v1 {

namespace detail {

inline constexpr auto reading_list = [] {
  using k = component;
  using r = reading_kind;
  return std::to_array<reading_form>({
      {k::engine, r::speed, "%", "speed of the high-pressure spool, in parts of idle speed"},
      {k::circuit, r::pressure, "psi", "pressure behind the pumps, gauge"},
      {k::circuit, r::quantity, "L", "content of the reservoir"},
      {k::circuit, r::temperature, "degC", "temperature of the fluid"},
      {k::engine_pump, r::flow, "L/min", "flow that the pump gives"},
      {k::electric_pump, r::flow, "L/min", "flow that the pump gives"},
      {k::ram_air_pump, r::flow, "L/min", "flow that the pump gives"},
      {k::transfer_unit, r::flow, "L/min", "flow into the driven circuit"},
      {k::cargo_door, r::position, "%", "0: closed; 100: open"},
      {k::consumer, r::position, "%", "gear: 0 is down, 100 is retracted"},
      {k::store, r::pressure, "psi", "pressure of the gas, gauge"},
      {k::store, r::quantity, "L", "fluid in the store"},
  });
}();

}  // namespace detail

PENSTOCK_INLINE std::span<const reading_form> reading_forms() { return detail::reading_list; }

PENSTOCK_INLINE std::string_view unit_of(reading_kind what) {
  for (const reading_form& form : detail::reading_list) {
    if (form.what == what) return form.unit;
  }
  return {};
}

namespace detail {

[[nodiscard]] inline std::optional<double> reading_of(const layout& of, const quasi_static_state& plant, subject about,
                                                      reading_kind what) {
  const layout_spec& spec = of.spec();
  const std::size_t i = about.index;
  const auto percent = [](double part, milliseconds whole) {
    return 100.0 * part / static_cast<double>(whole.count());
  };
  if (about.kind == component::engine && what == reading_kind::speed) {
    return percent(plant.spool[i], spec.engines[i].spool_up);
  }
  if (about.kind == component::circuit && what == reading_kind::pressure) {
    return plant.at_pressure[i] ? in_psi(spec.nominal) : 0.0;
  }
  if (about.kind == component::circuit && what == reading_kind::quantity) {
    return static_cast<double>(fluid_of(of, plant, about.index).reservoir) * 1e-6;
  }
  if (about.kind == component::cargo_door && what == reading_kind::position) {
    return percent(plant.door[i], spec.cargo_doors[i].travel);
  }
  if (about.kind == component::consumer && what == reading_kind::position &&
      spec.consumers[i].kind == consumer_kind::gear) {
    return percent(plant.gear[i], spec.consumers[i].travel);
  }
  return std::nullopt;
}

[[nodiscard]] inline std::optional<double> reading_of(const layout& of, const plant_state& plant, subject about,
                                                      reading_kind what) {
  const std::size_t i = about.index;
  switch (about.kind) {
    case component::engine:
      if (what == reading_kind::speed) return 100.0 * plant.engines[i].speed;
      break;
    case component::circuit:
      if (what == reading_kind::pressure) return in_psi(pressure_of(of, plant, about.index));
      if (what == reading_kind::quantity) return in_litres(indicated_level(of, plant, about.index));
      if (what == reading_kind::temperature) return in_celsius({plant.circuits[i].temperature});
      break;
    case component::engine_pump:
      if (what == reading_kind::flow) return in_litres_per_minute({plant.engine_pump_flow[i]});
      break;
    case component::electric_pump:
      if (what == reading_kind::flow) return in_litres_per_minute({plant.electric_pump_flow[i]});
      break;
    case component::ram_air_pump:
      if (what == reading_kind::flow) return in_litres_per_minute({plant.ram_air_pump_flow[i]});
      break;
    case component::transfer_unit:
      if (what == reading_kind::flow) return in_litres_per_minute({plant.units[i].flow});
      break;
    case component::cargo_door:
      if (what == reading_kind::position) return 100.0 * plant.door[i];
      break;
    case component::consumer:
      if (what == reading_kind::position && of.spec().consumers[i].kind == consumer_kind::gear) {
        return 100.0 * plant.gear[i];
      }
      break;
    case component::store:
      if (what == reading_kind::pressure) return in_psi(gas_pressure_of(of, plant, about.index));
      if (what == reading_kind::quantity) return in_litres({plant.stores[i].fluid});
      break;
    case component::aircraft:
    case component::steering:
    case component::bus: break;
  }
  return std::nullopt;
}

}  // namespace detail

PENSTOCK_INLINE std::optional<double> reading(const simulation& of, subject about, reading_kind what) {
  if (about.index >= of.aircraft().count(about.kind)) return std::nullopt;
  switch (of.kind()) {
    case plant_kind::none: break;
    case plant_kind::quasi_static: return detail::reading_of(of.aircraft(), of.plant(), about, what);
    case plant_kind::fluid: return detail::reading_of(of.aircraft(), of.fluid(), about, what);
  }
  return std::nullopt;
}

}  // namespace penstock::inline v1
