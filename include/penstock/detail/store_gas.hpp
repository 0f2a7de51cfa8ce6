// The gas of a store: pressure from amount, volume and temperature.
#pragma once

#include <algorithm>

#include "penstock/layout.hpp"

namespace penstock::inline v1::detail {

/// Standard atmosphere at sea level (ISO 2533): gauge pressures become absolute ones by it.
inline constexpr double standard_atmosphere = 101'325.0;
/// Standard temperature at sea level (ISO 2533): what aircraft are filled at, and what is around them, K.
inline constexpr double standard_temperature = 288.15;
/// J/(mol K), as the reference equation of nitrogen has it [Span et al., J. Phys. Chem. Ref. Data 29 (2000)].
inline constexpr double gas_constant = 8.31451;

/// Second virial coefficient of nitrogen, m3/mol: a parabola through compressibilities at 233, 294 and 344 K that
/// the reference equation gives at 1000 psi and 70 degF density. Third: a constant. Within 0.3 % up to 3000 psi.
/// Beyond 200 K and the top of the parabola at 416 K it stays as it is there, so that pressure and stiffness of the
/// gas are positive at any density.
[[nodiscard]] constexpr double second_virial(double temperature) {
  const double warmer = std::clamp(temperature - 294.261, -94.261, 121.793);
  return -6.365e-6 + warmer * (2.051e-7 - 8.42e-10 * warmer);
}
inline constexpr double third_virial = 1.70e-9;

struct gas_point {
  double pressure;  ///< absolute, Pa
  double slope;     ///< rise of pressure with fluid pressed in, Pa/m3
};

/// Pressure of an amount of gas (mol) in a volume (m3, above 0) at a temperature (K).
[[nodiscard]] constexpr gas_point gas_at(double amount, bool real, double volume, double temperature) {
  const double density = amount / volume;
  const double ideal = density * gas_constant * temperature;
  if (!real) return {ideal, ideal / volume};
  const double b = second_virial(temperature) * density;
  const double c = third_virial * density * density;
  return {ideal * (1.0 + b + c), ideal * (1.0 + 2.0 * b + 3.0 * c) / volume};
}

/// Amount of gas that has a pressure (absolute) in a volume at standard temperature.
[[nodiscard]] constexpr double gas_amount(double pressure, bool real, double volume) {
  double amount = pressure * volume / (gas_constant * standard_temperature);
  // Pressure rises with the amount; each round takes the error down by more than ten times.
  for (int round = 0; real && round < 40; ++round) {
    amount *= pressure / gas_at(amount, real, volume, standard_temperature).pressure;
  }
  return amount;
}

/// Volume that an amount of gas fills at a pressure (absolute) and standard temperature, at most `most`.
[[nodiscard]] constexpr double gas_volume(double amount, bool real, double pressure, double most) {
  double low = most * 1e-6;
  double high = most;
  for (int round = 0; round < 200 && high - low > most * 1e-15; ++round) {
    const double middle = 0.5 * (low + high);
    (gas_at(amount, real, middle, standard_temperature).pressure > pressure ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

}  // namespace penstock::inline v1::detail
