// Quantities with their unit in the type. SI inside; psi, litres and US gallons at the edges.
#pragma once

#include <chrono>
#include <compare>

namespace penstock::inline v1 {

using milliseconds = std::chrono::milliseconds;

/// A double that knows what it measures. Never NaN in anything the library returns.
template <class Tag>
struct quantity {
  double value = 0.0;
  friend constexpr auto operator<=>(quantity, quantity) = default;
};

using pressure = quantity<struct pascal_tag>;                    ///< Pa, gauge, or a difference of two
using absolute_pressure = quantity<struct absolute_pascal_tag>;  ///< Pa above nothing; what the gas laws need
using temperature = quantity<struct kelvin_tag>;                 ///< K
using length = quantity<struct metre_tag>;                       ///< m
using area = quantity<struct square_metre_tag>;                  ///< m2
using volume = quantity<struct cubic_metre_tag>;                 ///< m3
using flow = quantity<struct cubic_metre_second_tag>;            ///< m3/s
using linear_speed = quantity<struct metre_second_tag>;          ///< m/s
using angular_speed = quantity<struct radian_second_tag>;        ///< rad/s
using pump_displacement = quantity<struct cubic_metre_radian_tag>;///< m3/rad, of a pump or motor
using force = quantity<struct newton_tag>;                       ///< N
using torque = quantity<struct newton_metre_tag>;                ///< N m
using power = quantity<struct watt_tag>;                         ///< W
using density = quantity<struct kilogram_cubic_metre_tag>;       ///< kg/m3
using kinematic_viscosity = quantity<struct square_metre_second_tag>;  ///< m2/s
using thermal_expansion = quantity<struct per_kelvin_tag>;       ///< 1/K, cubical
using pressure_rate = quantity<struct pascal_second_tag>;        ///< Pa/s

inline constexpr double pi = 3.14159265358979323846;
/// The international inch and pound and standard gravity, exact by definition.
inline constexpr double metres_per_inch = 0.0254;
inline constexpr double kilograms_per_pound = 0.45359237;
inline constexpr double standard_gravity = 9.80665;  ///< m/s2
inline constexpr double newtons_per_pound_force = kilograms_per_pound * standard_gravity;
/// 1 psi = 0.45359237 kg x 9.80665 m/s2 / (0.0254 m)^2.
inline constexpr double pascals_per_psi = newtons_per_pound_force / (metres_per_inch * metres_per_inch);
inline constexpr double cubic_metres_per_cubic_inch = metres_per_inch * metres_per_inch * metres_per_inch;
/// 1 US gallon = 231 cubic inches, exactly.
inline constexpr double cubic_metres_per_us_gallon =
    231.0 * metres_per_inch * metres_per_inch * metres_per_inch;
/// 1 horsepower (mechanical) = 550 ft lbf/s.
inline constexpr double watts_per_horsepower = 550.0 * 12.0 * metres_per_inch * newtons_per_pound_force;
inline constexpr double cubic_metres_per_cubic_foot = 1728.0 * cubic_metres_per_cubic_inch;

[[nodiscard]] constexpr pressure pascals(double v) { return {v}; }
[[nodiscard]] constexpr pressure psi(double v) { return {v * pascals_per_psi}; }
[[nodiscard]] constexpr pressure kips_per_square_inch(double v) { return {v * 1000.0 * pascals_per_psi}; }
[[nodiscard]] constexpr pressure kilopascals(double v) { return {v * 1000.0}; }
[[nodiscard]] constexpr pressure bar(double v) { return {v * 1e5}; }
[[nodiscard]] constexpr absolute_pressure pascals_absolute(double v) { return {v}; }
[[nodiscard]] constexpr absolute_pressure psi_absolute(double v) { return {v * pascals_per_psi}; }
[[nodiscard]] constexpr temperature kelvin(double v) { return {v}; }
[[nodiscard]] constexpr temperature celsius(double v) { return {v + 273.15}; }
[[nodiscard]] constexpr temperature fahrenheit(double v) { return {(v + 459.67) / 1.8}; }
[[nodiscard]] constexpr length metres(double v) { return {v}; }
[[nodiscard]] constexpr length inches(double v) { return {v * metres_per_inch}; }
[[nodiscard]] constexpr length feet(double v) { return {v * 12.0 * metres_per_inch}; }
[[nodiscard]] constexpr area square_metres(double v) { return {v}; }
[[nodiscard]] constexpr area square_inches(double v) { return {v * metres_per_inch * metres_per_inch}; }
[[nodiscard]] constexpr volume cubic_metres(double v) { return {v}; }
[[nodiscard]] constexpr volume litres(double v) { return {v * 1e-3}; }
[[nodiscard]] constexpr volume us_gallons(double v) { return {v * cubic_metres_per_us_gallon}; }
[[nodiscard]] constexpr volume cubic_inches(double v) { return {v * cubic_metres_per_cubic_inch}; }
[[nodiscard]] constexpr volume cubic_feet(double v) { return {v * cubic_metres_per_cubic_foot}; }
[[nodiscard]] constexpr flow cubic_metres_per_second(double v) { return {v}; }
[[nodiscard]] constexpr flow litres_per_minute(double v) { return {v * 1e-3 / 60.0}; }
[[nodiscard]] constexpr flow us_gallons_per_minute(double v) { return {v * cubic_metres_per_us_gallon / 60.0}; }
[[nodiscard]] constexpr linear_speed metres_per_second(double v) { return {v}; }
[[nodiscard]] constexpr linear_speed feet_per_second(double v) { return {v * 12.0 * metres_per_inch}; }
[[nodiscard]] constexpr angular_speed revolutions_per_minute(double v) { return {v * (2.0 * pi / 60.0)}; }
[[nodiscard]] constexpr pump_displacement cubic_inches_per_revolution(double v) {
  return {v * cubic_metres_per_cubic_inch / (2.0 * pi)};
}
[[nodiscard]] constexpr force newtons(double v) { return {v}; }
[[nodiscard]] constexpr force pounds_force(double v) { return {v * newtons_per_pound_force}; }
[[nodiscard]] constexpr torque newton_metres(double v) { return {v}; }
[[nodiscard]] constexpr torque pound_force_inches(double v) { return {v * newtons_per_pound_force * metres_per_inch}; }
[[nodiscard]] constexpr power watts(double v) { return {v}; }
[[nodiscard]] constexpr power horsepower(double v) { return {v * watts_per_horsepower}; }
[[nodiscard]] constexpr density kilograms_per_cubic_metre(double v) { return {v}; }
[[nodiscard]] constexpr density pounds_per_cubic_foot(double v) {
  return {v * kilograms_per_pound / cubic_metres_per_cubic_foot};
}
[[nodiscard]] constexpr kinematic_viscosity centistokes(double v) { return {v * 1e-6}; }
[[nodiscard]] constexpr thermal_expansion per_kelvin(double v) { return {v}; }
[[nodiscard]] constexpr thermal_expansion per_degree_fahrenheit(double v) { return {v * 1.8}; }

[[nodiscard]] constexpr double in_psi(pressure p) { return p.value / pascals_per_psi; }
[[nodiscard]] constexpr double in_psi(absolute_pressure p) { return p.value / pascals_per_psi; }
[[nodiscard]] constexpr double in_psi_per_second(pressure_rate r) { return r.value / pascals_per_psi; }
[[nodiscard]] constexpr double in_bar(pressure p) { return p.value / 1e5; }
[[nodiscard]] constexpr double in_celsius(temperature t) { return t.value - 273.15; }
[[nodiscard]] constexpr double in_fahrenheit(temperature t) { return t.value * 1.8 - 459.67; }
[[nodiscard]] constexpr double in_inches(length l) { return l.value / metres_per_inch; }
[[nodiscard]] constexpr double in_square_inches(area a) { return a.value / (metres_per_inch * metres_per_inch); }
[[nodiscard]] constexpr double in_litres(volume v) { return v.value * 1e3; }
[[nodiscard]] constexpr double in_us_gallons(volume v) { return v.value / cubic_metres_per_us_gallon; }
[[nodiscard]] constexpr double in_cubic_inches(volume v) { return v.value / cubic_metres_per_cubic_inch; }
[[nodiscard]] constexpr double in_litres_per_minute(flow f) { return f.value * 6e4; }
[[nodiscard]] constexpr double in_us_gallons_per_minute(flow f) { return f.value * 60.0 / cubic_metres_per_us_gallon; }
[[nodiscard]] constexpr double in_feet_per_second(linear_speed v) { return v.value / (12.0 * metres_per_inch); }
[[nodiscard]] constexpr double in_revolutions_per_minute(angular_speed w) { return w.value / (2.0 * pi / 60.0); }
[[nodiscard]] constexpr double in_pounds_force(force f) { return f.value / newtons_per_pound_force; }
[[nodiscard]] constexpr double in_pound_force_inches(torque t) {
  return t.value / (newtons_per_pound_force * metres_per_inch);
}
[[nodiscard]] constexpr double in_horsepower(power p) { return p.value / watts_per_horsepower; }
[[nodiscard]] constexpr double in_pounds_per_cubic_foot(density d) {
  return d.value * cubic_metres_per_cubic_foot / kilograms_per_pound;
}

/// One standard atmosphere, exact by definition. The old handbooks take 14.7 psi.
inline constexpr absolute_pressure standard_atmosphere{101325.0};

/// What a gauge shows does not count the air around it; a gas law must.
[[nodiscard]] constexpr absolute_pressure absolute(pressure gauge, absolute_pressure ambient = standard_atmosphere) {
  return {gauge.value + ambient.value};
}
[[nodiscard]] constexpr pressure gauge(absolute_pressure p, absolute_pressure ambient = standard_atmosphere) {
  return {p.value - ambient.value};
}

}  // namespace penstock::inline v1
