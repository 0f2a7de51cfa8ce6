// Powers of our own beside the C library's, and the promise of the same bits under every compiler.
#include "penstock/detail/deterministic_math.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstdint>
#include <random>

#include <gtest/gtest.h>

#include "penstock/hydraulics.hpp"

namespace {

using namespace penstock;
namespace own = penstock::detail;

constexpr int tries = 50'000;

/// Uniform in [low, high). The standard's distributions differ between libraries, its engines do not.
double between(std::mt19937_64& random, double low, double high) {
  return low + (high - low) * (static_cast<double>(random() >> 11) * 0x1p-53);
}

TEST(DeterministicMath, PowKeepsItsStatedErrorBesideTheLibrary) {
  std::mt19937_64 random{1};
  for (int i = 0; i < tries; ++i) {
    const double x = std::exp2(between(random, -30, 30));
    const double y = between(random, -3, 3);
    const long double library = std::pow(static_cast<long double>(x), static_cast<long double>(y));
    const double bound = 4e-16 * (1.0 + std::abs(y * std::log2(x)));
    ASSERT_LE(std::abs(static_cast<long double>(own::pow(x, y)) - library), bound * library) << x << " to " << y;
  }
}

TEST(DeterministicMath, LogarithmAndExponentialKeepTheirStatedErrors) {
  std::mt19937_64 random{2};
  for (int i = 0; i < tries; ++i) {
    const double x = std::exp2(between(random, -1070, 1023));
    const long double logarithm = std::log2(static_cast<long double>(x));
    ASSERT_LE(std::abs(own::log2(x) - logarithm), 4e-16L * std::max(1.0L, std::abs(logarithm))) << x;
    const double y = between(random, -1022, 1024);
    const long double power = std::exp2(static_cast<long double>(y));
    ASSERT_LE(std::abs(own::exp2(y) - power), 4e-16L * power) << y;
  }
}

TEST(DeterministicMath, SquareRootsByDigitsAreTheOnesOfTheProcessor) {
  std::mt19937_64 random{3};
  for (int i = 0; i < tries; ++i) {
    const double x = std::bit_cast<double>(random() >> 1);  // any positive bits, also tiny ones and NaN
    if (!std::isfinite(x)) continue;
    ASSERT_EQ(own::square_root_by_digits(x), std::sqrt(x)) << x;
    ASSERT_EQ(own::square_root(x), std::sqrt(x)) << x;
  }
  EXPECT_EQ(own::square_root_by_digits(5e-324), std::sqrt(5e-324));
  EXPECT_EQ(own::square_root_by_digits(own::largest_double), std::sqrt(own::largest_double));
}

TEST(DeterministicMath, WholePowersAreExact) {
  EXPECT_EQ(own::exp2(-1022.0), 0x1p-1022);
  EXPECT_EQ(own::exp2(1023.0), 0x1p1023);
  EXPECT_EQ(own::log2(0x1p-1074), -1074.0);
  EXPECT_EQ(own::pow(2.0, 10.0), 1024.0);
  EXPECT_EQ(own::pow(1.0, 1e300), 1.0);
  EXPECT_EQ(own::pow(7.0, 0.0), 1.0);
}

TEST(DeterministicMath, NothingOutsideItsRangeIsNaN) {
  const double infinity = HUGE_VAL;
  EXPECT_EQ(own::pow(0.0, 0.7), 0.0);
  EXPECT_EQ(own::pow(-2.0, 2.0), 0.0);
  EXPECT_EQ(own::pow(1e300, 1e300), own::largest_double);
  EXPECT_EQ(own::pow(1e300, -1e300), 0.0);
  EXPECT_EQ(own::pow(infinity, 1.0), own::largest_double);
  EXPECT_EQ(own::exp2(std::nan("")), 0.0);
  EXPECT_EQ(own::log2(std::nan("")), -1075.0);
  EXPECT_EQ(own::square_root(-1.0), 0.0);
  EXPECT_EQ(own::square_root(std::nan("")), 0.0);
}

/// A sum over the bits of many results, by a fixed recipe (FNV-1a, public domain).
struct bits_sum {
  std::uint64_t sum = 0xCBF2'9CE4'8422'2325u;
  constexpr void add(double v) {
    const auto bits = std::bit_cast<std::uint64_t>(v);
    for (int byte = 0; byte < 8; ++byte) {
      sum ^= (bits >> (8 * byte)) & 0xFFu;
      sum *= 0x100'0000'01B3u;
    }
  }
};

constexpr std::uint64_t bits_of_a_few() {
  using namespace penstock::hydraulics;
  bits_sum all;
  for (int i = 1; i <= 40; ++i) {
    const double part = i / 40.0;
    all.add(own::pow(part * 3.0, 1.0 / 1.4));
    all.add(orifice_flow(square_inches(0.01), psi(3000.0 * part - 1500.0), {1000.0}).value);
    constexpr accumulator store{litres(4), psi_absolute(1000), adiabatic};
    all.add(delivered(store, psi_absolute(3000), psi_absolute(1000 + 2000 * part)).value);
    if (i % 8 != 0) continue;
    all.add(nitrogen_compressibility(psi_absolute(5000.0 * part), fahrenheit(200.0 * part - 40.0)));
  }
  return all.sum;
}

TEST(DeterministicMath, GivesTheSameBitsUnderEveryCompilerAndAtEveryLevel) {
  constexpr std::uint64_t when_compiled = bits_of_a_few();
  // Behind a pointer that the compiler cannot see through, so that this one runs.
  std::uint64_t (*volatile run)() = &bits_of_a_few;
  EXPECT_EQ(run(), when_compiled);
  EXPECT_EQ(when_compiled, 0x885F'CC7B'ACC0'FE5Cu) << "a formula of hydraulics.hpp gives other bits than before";
}

// Numbers of every size that the head of hydraulics.hpp allows.
TEST(Hydraulics, EveryResultIsFiniteWithinTheStatedRanges) {
  using namespace penstock::hydraulics;
  std::mt19937_64 random{4};
  const auto any = [&] { return std::exp2(between(random, std::log2(1e-12), std::log2(1e12))); };
  const auto part = [&] { return between(random, 0.01, 1.0); };
  for (int i = 0; i < tries; ++i) {
    const double sign = i % 2 == 0 ? 1.0 : -1.0;
    const double a = any();
    const double b = any();
    const double c = any();
    const double d = any();
    const accumulator store{{a}, {b}, between(random, 1.0, 2.0)};
    const double results[] = {
        pressure_from({sign * a}, {b}).value,
        force_across({sign * a}, {b}, {c}).value,
        travel_across({a}, {b}, {c}).value,
        balancing_pressure({sign * a}, {b}, {c}).value,
        actuator_force({a}, {b}, {sign * c}, {d}).value,
        head({a}, {b}).value,
        pump_flow({a}, {b}, part()).value,
        motor_speed({a}, {b}, part()).value,
        hydraulic_power_by_rule_of_thumb({a}, {b}).value,
        pump_torque({a}, {b}, part()).value,
        torque_from({a}, {b}).value,
        delivered_part({{std::min(a, b)}, {std::max(a, b)}}, {c}),
        delivered_part({{a}, {a}}, {sign * a}),
        orifice_flow({a}, {sign * b}, {c}).value,
        orifice_drop({a}, {sign * b}, {c}).value,
        general_gas_law({a}, {b}, {c}, {d}, {a}).value,
        gas_volume(store, {c}).value,
        fluid_held(store, {d}).value,
        delivered(store, {std::max(c, d)}, {std::min(c, d)}).value,
        pressure_with(store, {a * part() * 0.99}).value,
        accumulator_size({a}, {b}, {b * 3.0}, {b * 2.0}, store.exponent).value,
        nitrogen_compressibility({between(random, 1.0, 40e6)}, {between(random, 200.0, 400.0)}),
        compressed_by({a}, {sign * b}, {c}).value,
        pressure_rise_rate({sign * a}, {b}, {c}).value,
        thermal_lock({a}, {b}, {c}, {d}).value,
    };
    for (const double& r : results) ASSERT_TRUE(std::isfinite(r)) << "result " << (&r - results) << " of try " << i;
  }
}

// The laws against each other, where no page gives numbers.
TEST(Hydraulics, AnAccumulatorsPressureAndFluidAreTheSameLaw) {
  using namespace penstock::hydraulics;
  for (const double exponent : {isothermal, 1.1, 1.3, adiabatic}) {
    const accumulator store{litres(4), psi_absolute(1000), exponent};
    for (int step = 0; step <= 20; ++step) {
      const auto p = psi_absolute(1000.0 + 100.0 * step);
      EXPECT_NEAR(in_psi(pressure_with(store, fluid_held(store, p))), in_psi(p), 1e-9 * in_psi(p));
    }
    EXPECT_EQ(fluid_held(store, psi_absolute(900)).value, 0.0);
    const auto all_of_it = delivered(store, psi_absolute(3000), store.precharge);
    EXPECT_EQ(delivered(store, psi_absolute(3000), psi_absolute(500)), all_of_it);
  }
}

TEST(Hydraulics, AnOrificePassesBackwardsWhatItPassesForwards) {
  using namespace penstock::hydraulics;
  constexpr auto oil = kilograms_per_cubic_metre(850);
  constexpr auto there = orifice_flow(square_inches(0.01), psi(1000), oil);
  EXPECT_EQ(orifice_flow(square_inches(0.01), psi(-1000), oil).value, -there.value);
  EXPECT_NEAR(in_psi(orifice_drop(square_inches(0.01), there, oil)), 1000, 1e-9);
  EXPECT_NEAR(in_psi(orifice_drop(square_inches(0.01), {-there.value}, oil)), -1000, 1e-9);
  EXPECT_EQ(orifice_flow(square_inches(0.01), psi(0), oil).value, 0.0);
}

TEST(Hydraulics, NitrogensDensityGivesItsPressureBack) {
  using namespace penstock::hydraulics;
  for (int kelvins = 200; kelvins <= 400; kelvins += 20) {
    for (int bars = 1; bars <= 400; bars += 21) {
      const absolute_pressure p{bar(bars).value};
      const auto t = kelvin(kelvins);
      EXPECT_NEAR(nitrogen_pressure(nitrogen_density(p, t), t).value, p.value, 1e-13 * p.value);
    }
  }
}

}  // namespace
