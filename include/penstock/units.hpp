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

using pressure = quantity<struct pascal_tag>;           ///< Pa, gauge
using volume = quantity<struct cubic_metre_tag>;        ///< m3
using flow = quantity<struct cubic_metre_second_tag>;   ///< m3/s
using temperature = quantity<struct kelvin_tag>;        ///< K

/// 1 psi = 0.45359237 kg x 9.80665 m/s2 / (0.0254 m)^2 (international pound and inch).
inline constexpr double pascals_per_psi = 0.45359237 * 9.80665 / (0.0254 * 0.0254);
/// 1 US gallon = 231 cubic inches, exactly.
inline constexpr double cubic_metres_per_us_gallon = 231.0 * 0.0254 * 0.0254 * 0.0254;

[[nodiscard]] constexpr pressure psi(double v) { return {v * pascals_per_psi}; }
[[nodiscard]] constexpr pressure kilopascals(double v) { return {v * 1000.0}; }
[[nodiscard]] constexpr volume litres(double v) { return {v * 1e-3}; }
[[nodiscard]] constexpr volume us_gallons(double v) { return {v * cubic_metres_per_us_gallon}; }
[[nodiscard]] constexpr flow litres_per_minute(double v) { return {v * 1e-3 / 60.0}; }
[[nodiscard]] constexpr flow us_gallons_per_minute(double v) { return {v * cubic_metres_per_us_gallon / 60.0}; }
[[nodiscard]] constexpr temperature celsius(double v) { return {v + 273.15}; }

[[nodiscard]] constexpr double in_psi(pressure p) { return p.value / pascals_per_psi; }
[[nodiscard]] constexpr double in_litres(volume v) { return v.value * 1e3; }
[[nodiscard]] constexpr double in_litres_per_minute(flow f) { return f.value * 6e4; }
[[nodiscard]] constexpr double in_celsius(temperature t) { return t.value - 273.15; }

}  // namespace penstock::inline v1
