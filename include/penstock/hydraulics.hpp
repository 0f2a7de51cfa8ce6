// The textbook formulas of the trade, as plain functions of finite numbers. tests/unit/published_facts_test.cpp
// holds them against published worked examples.
//
// Preconditions of every function, besides those it names: all arguments are finite; areas, volumes, densities,
// efficiencies, bulk moduli, speeds of a shaft, absolute pressures and temperatures are above 0; no number, in SI,
// lies beyond 1e12 or, where it divides, below 1e-12. Within these no result is NaN or infinite. Nothing is checked.
//
// The same bits under every compiler: only + - * / and detail/deterministic_math.hpp. Compile with
// -ffp-contract=off on a processor that can fuse a product and a sum; penstock::header_only brings that flag.
#pragma once

#include "penstock/detail/deterministic_math.hpp"
#include "penstock/units.hpp"

namespace penstock::inline v1::hydraulics {

// --------------------------------------------------------------------------------- pistons and actuators

/// Pascal: a force spread over an area.
[[nodiscard]] constexpr pressure pressure_from(force f, area a) { return {f.value / a.value}; }
[[nodiscard]] constexpr force force_from(pressure p, area a) { return {p.value * a.value}; }
[[nodiscard]] constexpr area area_for(force f, pressure p) { return {f.value / p.value}; }

[[nodiscard]] constexpr area circle(length diameter) { return {pi / 4.0 * diameter.value * diameter.value}; }
[[nodiscard]] constexpr volume swept_volume(area a, length stroke) { return {a.value * stroke.value}; }

/// Two pistons on one fluid: forces go with the areas, travels against them.
[[nodiscard]] constexpr force force_across(force on, area from, area to) {
  return {on.value * (to.value / from.value)};
}
[[nodiscard]] constexpr length travel_across(length of, area from, area to) {
  return {of.value * (from.value / to.value)};
}
/// Two faces of one piston: the pressure on `other` that balances `p` on `face`.
[[nodiscard]] constexpr pressure balancing_pressure(pressure p, area face, area other) {
  return {p.value * (face.value / other.value)};
}

/// The push of an actuator with pressure on both faces; negative: it pulls in. The rod side is the smaller area.
[[nodiscard]] constexpr force actuator_force(pressure bore_side, area bore, pressure rod_side, area annulus) {
  return {bore_side.value * bore.value - rod_side.value * annulus.value};
}
/// How fast a flow moves a piston, or runs through a pipe: extending over the bore, retracting over the annulus.
[[nodiscard]] constexpr linear_speed speed_from(flow q, area a) { return {q.value / a.value}; }

/// The pressure under a column of fluid.
[[nodiscard]] constexpr pressure head(density rho, length height, double gravity = standard_gravity) {
  return {rho.value * gravity * height.value};
}
/// Weight beside that of water, 62.4 lb/ft3 as the handbooks take it.
[[nodiscard]] constexpr double specific_gravity(density rho) { return in_pounds_per_cubic_foot(rho) / 62.4; }

// --------------------------------------------------------------------------------------- pumps and motors

/// Efficiencies lie in (0, 1]; 1 means an ideal machine.
[[nodiscard]] constexpr flow pump_flow(pump_displacement d, angular_speed w, double volumetric_efficiency = 1.0) {
  return {d.value * w.value * volumetric_efficiency};
}
/// The speed of a motor that takes a flow.
[[nodiscard]] constexpr angular_speed motor_speed(flow q, pump_displacement d, double volumetric_efficiency = 1.0) {
  return {q.value / d.value * volumetric_efficiency};
}
[[nodiscard]] constexpr power hydraulic_power(pressure p, flow q) { return {p.value * q.value}; }
/// The rule of thumb: hp = gpm x psi / 1714. The exact divisor is 33,000 x 12 / 231 = 1714.29.
[[nodiscard]] constexpr power hydraulic_power_by_rule_of_thumb(pressure p, flow q) {
  return horsepower(in_us_gallons_per_minute(q) * in_psi(p) / 1714.0);
}
/// What the shaft of a pump needs; the efficiency is the volumetric one times the mechanical one.
[[nodiscard]] constexpr power shaft_power(power hydraulic, double efficiency) { return {hydraulic.value / efficiency}; }
[[nodiscard]] constexpr torque pump_torque(pressure p, pump_displacement d, double mechanical_efficiency = 1.0) {
  return {p.value * d.value / mechanical_efficiency};
}
[[nodiscard]] constexpr torque motor_torque(pressure p, pump_displacement d, double mechanical_efficiency = 1.0) {
  return {p.value * d.value * mechanical_efficiency};
}
[[nodiscard]] constexpr torque torque_from(power p, angular_speed w) { return {p.value / w.value}; }

/// The compensator of a variable-displacement pump. Full flow up to the first pressure, none from the second on.
/// Both as in NAVEDTRA 14105 p. 4-15 for a pump rated at 3,000 psi; the straight line between is common practice.
struct pump_cutoff {
  pressure full_flow_to = psi(2850.0);
  pressure no_flow_from = psi(3000.0);  ///< not below full_flow_to
};
/// The part of its full flow that the pump delivers against a pressure: 1 to 0.
[[nodiscard]] constexpr double delivered_part(pump_cutoff c, pressure p) {
  if (p <= c.full_flow_to) return 1.0;
  if (p >= c.no_flow_from) return 0.0;
  return (c.no_flow_from.value - p.value) / (c.no_flow_from.value - c.full_flow_to.value);
}

// -------------------------------------------------------------------------------------- valves and orifices

/// A relief valve. NAVEDTRA 14315 for a 3,000 psi system: "completely open at 3,650 psi and reseat at 3,190 psi".
struct relief_valve {
  pressure opens_at = psi(3650.0);
  pressure reseats_at = psi(3190.0);  ///< not above opens_at
};
/// Whether it is open now. In between it stays as it was. The rise of flow between cracking and full opening is
/// left out, because the source gives no cracking pressure.
[[nodiscard]] constexpr bool is_open(relief_valve v, bool was_open, pressure p) {
  return p >= v.opens_at || (was_open && p > v.reseats_at);
}

/// Discharge coefficient of a sharp edge; published values run from 0.61 to 0.62.
inline constexpr double sharp_edge = 0.62;
/// Q = c A sqrt(2 dp / rho). A negative drop gives the same flow backwards.
[[nodiscard]] constexpr flow orifice_flow(area a, pressure drop, density rho, double coefficient = sharp_edge) {
  const double size = drop.value < 0.0 ? -drop.value : drop.value;
  const double q = coefficient * a.value * detail::square_root(2.0 * size / rho.value);
  return {drop.value < 0.0 ? -q : q};
}
/// The drop that a flow makes, by the same formula.
[[nodiscard]] constexpr pressure orifice_drop(area a, flow q, density rho, double coefficient = sharp_edge) {
  const double v = q.value / (coefficient * a.value);
  return {rho.value / 2.0 * v * (v < 0.0 ? -v : v)};
}

// --------------------------------------------------------------------------------- gas laws, accumulators

/// Exponents of p V^n = constant for nitrogen: slow, with time for heat to pass (over about 3 minutes), and fast.
/// Good to 200 bar; beyond, 1.4 is off (both: makers' sizing pages, rows R7.27 and R7.28 of the test).
inline constexpr double isothermal = 1.0;
inline constexpr double adiabatic = 1.4;

/// Boyle, at one temperature: the pressure in a new volume.
[[nodiscard]] constexpr absolute_pressure boyle(absolute_pressure p, volume before, volume after) {
  return {p.value * (before.value / after.value)};
}
/// Charles, in one volume: the pressure at a new temperature.
[[nodiscard]] constexpr absolute_pressure charles(absolute_pressure p, temperature before, temperature after) {
  return {p.value * (after.value / before.value)};
}
/// The general law, of which both are parts.
[[nodiscard]] constexpr absolute_pressure general_gas_law(absolute_pressure p, volume v_before, temperature t_before,
                                                          volume v_after, temperature t_after) {
  return charles(boyle(p, v_before, v_after), t_before, t_after);
}
/// p = rho R T with the specific gas constant in J/(kg K).
[[nodiscard]] constexpr absolute_pressure ideal_gas(density rho, temperature t, double gas_constant) {
  return {rho.value * gas_constant * t.value};
}

/// A precharged accumulator: `size` is the gas volume when it holds no fluid.
struct accumulator {
  volume size;
  absolute_pressure precharge;
  double exponent = isothermal;  ///< 1 to 2
};
/// The gas at a pressure. At the precharge and below it fills the whole accumulator.
[[nodiscard]] constexpr volume gas_volume(const accumulator& a, absolute_pressure p) {
  if (p <= a.precharge) return a.size;
  const double ratio = a.precharge.value / p.value;
  return {a.size.value * (a.exponent == isothermal ? ratio : detail::pow(ratio, 1.0 / a.exponent))};
}
[[nodiscard]] constexpr volume fluid_held(const accumulator& a, absolute_pressure p) {
  return {a.size.value - gas_volume(a, p).value};
}
/// The fluid that comes out while the pressure falls from `high` to `low`.
[[nodiscard]] constexpr volume delivered(const accumulator& a, absolute_pressure high, absolute_pressure low) {
  return {gas_volume(a, low).value - gas_volume(a, high).value};
}
/// The pressure with so much fluid inside, 0 <= fluid < size.
[[nodiscard]] constexpr absolute_pressure pressure_with(const accumulator& a, volume fluid) {
  const double ratio = a.size.value / (a.size.value - fluid.value);
  return {a.precharge.value * (a.exponent == isothermal ? ratio : detail::pow(ratio, a.exponent))};
}
/// The size that delivers `wanted` between `high` and `low`; precharge <= low < high.
[[nodiscard]] constexpr volume accumulator_size(volume wanted, absolute_pressure precharge, absolute_pressure high,
                                                absolute_pressure low, double exponent) {
  return {wanted.value / delivered({cubic_metres(1.0), precharge, exponent}, high, low).value};
}

/// Nitrogen as it is: the short equation of state of Span and Wagner, Int. J. Thermophys. 24 (2003) 41-109. Density
/// and Z differ by at most 0.4 % from the reference equation (Span et al., J. Phys. Chem. Ref. Data 29 (2000)) from
/// 200 to 400 K and up to 40 MPa (540 kg/m3), which is the range of the functions below. Finding a density takes
/// microseconds.
inline constexpr double nitrogen_gas_constant = 8.31451 / 0.028013;  ///< J/(kg K)

namespace nitrogen_equation {
inline constexpr double critical_temperature = 126.192;  // K
inline constexpr double critical_density = 313.3;        // kg/m3
struct term {
  double factor, temperature_exponent;
  int density_exponent, damping_exponent;  // a damping exponent of 0: none
};
inline constexpr term terms[] = {
    {0.92296567, 0.25, 1, 0},     {-2.5575012, 1.125, 1, 0},     {0.64482463, 1.5, 1, 0},
    {0.01083102, 1.375, 2, 0},    {0.073924167, 0.25, 3, 0},     {0.00023532962, 0.875, 7, 0},
    {0.18024854, 0.625, 2, 1},    {-0.045660299, 1.75, 5, 1},    {-0.1552106, 3.625, 1, 2},
    {-0.03811149, 3.625, 4, 2},   {-0.031962422, 14.5, 3, 3},    {0.015513532, 12.0, 4, 3},
};
/// Z and d(rho Z)/d(rho), both pure numbers.
struct factor_and_slope {
  double factor, slope;
};
[[nodiscard]] constexpr factor_and_slope at(double reduced_density, temperature t) {
  const double power_of[] = {1.0, reduced_density, reduced_density * reduced_density,
                             reduced_density * reduced_density * reduced_density};
  const double log_tau = detail::log2(critical_temperature / t.value);
  constexpr double log2_e = 1.4426950408889634074;
  factor_and_slope sum{1.0, 1.0};
  for (const term& i : terms) {
    double size = i.factor * detail::exp2(i.temperature_exponent * log_tau);
    for (int n = 0; n < i.density_exponent; ++n) size *= reduced_density;
    double inner = i.density_exponent;
    double bend = 0.0;
    if (i.damping_exponent > 0) {
      const double damping = power_of[i.damping_exponent];
      size *= detail::exp2(-damping * log2_e);
      inner -= i.damping_exponent * damping;
      bend = i.damping_exponent * i.damping_exponent * damping;
    }
    sum.factor += size * inner;
    sum.slope += size * (inner + inner * inner - bend);
  }
  return sum;
}
}  // namespace nitrogen_equation

[[nodiscard]] constexpr absolute_pressure nitrogen_pressure(density rho, temperature t) {
  const double z = nitrogen_equation::at(rho.value / nitrogen_equation::critical_density, t).factor;
  return {z * rho.value * nitrogen_gas_constant * t.value};
}
[[nodiscard]] constexpr density nitrogen_density(absolute_pressure p, temperature t) {
  const double ideal = p.value / (nitrogen_gas_constant * t.value * nitrogen_equation::critical_density);
  double reduced = ideal;
  // Newton's method. In the range the slope is positive and 4 rounds settle; the count is fixed for the same bits.
  for (int round = 0; round < 8; ++round) {
    const auto [factor, slope] = nitrogen_equation::at(reduced, t);
    reduced -= (reduced * factor - ideal) / slope;
  }
  return {reduced * nitrogen_equation::critical_density};
}
/// Compressibility factor Z = p / (rho R T); 1 for an ideal gas.
[[nodiscard]] constexpr double nitrogen_compressibility(absolute_pressure p, temperature t) {
  return p.value / (nitrogen_density(p, t).value * nitrogen_gas_constant * t.value);
}
/// Boyle's law for real nitrogen: the volume at a new pressure and the same temperature.
[[nodiscard]] constexpr volume nitrogen_volume(absolute_pressure before, volume v, absolute_pressure after,
                                               temperature t) {
  return {v.value * (nitrogen_density(before, t).value / nitrogen_density(after, t).value)};
}
/// Charles's law for real nitrogen: the pressure at a new temperature in the same volume.
[[nodiscard]] constexpr absolute_pressure nitrogen_warmed(absolute_pressure p, temperature before, temperature after) {
  return nitrogen_pressure(nitrogen_density(p, before), after);
}

// ------------------------------------------------------------------------- fluid that is pressed or warmed

/// The bulk modulus is given as a pressure. Values differ with its definition, pressure and temperature: say which.
[[nodiscard]] constexpr volume compressed_by(volume v, pressure rise, pressure bulk_modulus) {
  return {v.value * (rise.value / bulk_modulus.value)};
}
/// The secant bulk modulus: V dp / dV.
[[nodiscard]] constexpr pressure bulk_modulus_from(volume v, pressure rise, volume shrunk_by) {
  return {rise.value * (v.value / shrunk_by.value)};
}
/// The pressure rise in a shut volume that gets more fluid.
[[nodiscard]] constexpr pressure pressure_rise(volume added, volume shut, pressure bulk_modulus) {
  return {bulk_modulus.value * (added.value / shut.value)};
}
[[nodiscard]] constexpr pressure_rate pressure_rise_rate(flow net_inflow, volume shut, pressure bulk_modulus) {
  return {bulk_modulus.value * (net_inflow.value / shut.value)};
}
/// How much more room a fluid takes when it warms; negative when it cools.
[[nodiscard]] constexpr volume expanded_by(volume v, thermal_expansion cubical, temperature from, temperature to) {
  return {v.value * (cubical.value * (to.value - from.value))};
}
/// Thermal lock: the pressure rise in a line shut at both ends. Rigid walls, no gas, no thermal relief.
[[nodiscard]] constexpr pressure thermal_lock(thermal_expansion cubical, temperature from, temperature to,
                                              pressure bulk_modulus) {
  return {bulk_modulus.value * (cubical.value * (to.value - from.value))};
}

// -------------------------------------------------------------------------------------- strength of elements

/// What 14 CFR 25.1435(a)(1) and, for the last two, 25.1438 tell apart.
enum class pressure_element : unsigned char {
  tube_or_fitting,
  high_pressure_gas_vessel,  ///< such as an accumulator
  low_pressure_gas_vessel,   ///< such as a reservoir
  hose,
  other,                     ///< pumps, valves, actuators
  pneumatic,                 ///< 25.1438(b); its pressure is the maximum normal operating pressure
  pressurization,            ///< 25.1438(a); likewise
};
/// Times the design operating pressure: at proof it must still work, at ultimate (burst) not rupture.
struct strength_factors {
  double proof, ultimate;
};
[[nodiscard]] constexpr strength_factors factors_of(pressure_element e) {
  switch (e) {
    case pressure_element::tube_or_fitting: return {1.5, 3.0};
    case pressure_element::high_pressure_gas_vessel: return {3.0, 4.0};
    case pressure_element::low_pressure_gas_vessel: return {1.5, 3.0};
    case pressure_element::hose: return {2.0, 4.0};
    case pressure_element::other: return {1.5, 2.0};
    case pressure_element::pneumatic: return {1.5, 3.0};
    case pressure_element::pressurization: return {1.5, 2.0};
  }
  return {1.5, 2.0};
}
[[nodiscard]] constexpr pressure proof_pressure(pressure_element e, pressure design_operating) {
  return {design_operating.value * factors_of(e).proof};
}
[[nodiscard]] constexpr pressure ultimate_pressure(pressure_element e, pressure design_operating) {
  return {design_operating.value * factors_of(e).ultimate};
}
/// 14 CFR 25.1435(c)(3): the pressure of the system test where no relief device is part of the design.
[[nodiscard]] constexpr pressure system_test_pressure(pressure design_operating) {
  return {design_operating.value * 1.25};
}

}  // namespace penstock::inline v1::hydraulics
