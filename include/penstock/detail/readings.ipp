// Readings of the plant.
#pragma once

#include <algorithm>
#include <array>
#include <cstddef>

#include "penstock/detail/quasi_static_parts.hpp"
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

PENSTOCK_INLINE std::optional<double> reading(const simulation& of, subject about, reading_kind what) {
  if (of.kind() == plant_kind::none || about.index >= of.aircraft().count(about.kind)) return std::nullopt;
  const layout_spec& spec = of.aircraft().spec();
  const quasi_static_state& plant = of.plant();
  const std::size_t i = about.index;
  const auto percent = [](double part, double whole) { return whole > 0.0 ? 100.0 * part / whole : 0.0; };
  if (about.kind == component::engine && what == reading_kind::speed) {
    return percent(plant.spool[i], static_cast<double>(spec.engines[i].spool_up.count()));
  }
  if (about.kind == component::circuit && what == reading_kind::pressure) {
    return plant.at_pressure[i] ? in_psi(spec.nominal) : 0.0;
  }
  if (about.kind == component::circuit && what == reading_kind::quantity) {
    return static_cast<double>(fluid_of(of.aircraft(), plant, about.index).reservoir) * 1e-6;
  }
  if (about.kind == component::cargo_door && what == reading_kind::position) {
    return percent(plant.door[i], static_cast<double>(spec.cargo_doors[i].travel.count()));
  }
  if (about.kind == component::consumer && what == reading_kind::position &&
      spec.consumers[i].kind == consumer_kind::gear) {
    return percent(plant.gear[i], static_cast<double>(spec.consumers[i].travel.count()));
  }
  return std::nullopt;
}

}  // namespace penstock::inline v1
