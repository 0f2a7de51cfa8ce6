// The gas of a store against published states of nitrogen and the limits of the gas law.
#include "penstock/detail/store_gas.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "penstock/penstock.hpp"
#include "support/rule_test.hpp"

namespace penstock_tests {
namespace {

using namespace penstock;

constexpr double room = 294.261;  // 70 degF, K

// Compressibility of nitrogen at 70 degF, from the reference equation of Span et al., J. Phys. Chem. Ref. Data 29
// (2000), as published-facts row W8.17 computes it; densities from row W8.18.
TEST(StoreGas, FollowsPublishedStatesOfNitrogenUpToThreeThousandPsi) {
  struct state_of_nitrogen {
    double psia, density, compressibility;
  };
  for (const state_of_nitrogen& each : {state_of_nitrogen{500, 39.68, 0.9948}, {1000, 79.29, 0.9956},
                                        {1500, 118.12, 1.0025}, {2000, 155.48, 1.0155}, {3000, 223.91, 1.0577}}) {
    const double moles = each.density / 28.01348e-3;  // in a cubic metre
    EXPECT_NEAR(detail::gas_at(moles, true, 1.0, room).pressure, psi(each.psia).value, 0.003 * psi(each.psia).value)
        << each.psia << " psia";
    EXPECT_NEAR(detail::gas_at(moles, true, 1.0, room).pressure / detail::gas_at(moles, false, 1.0, room).pressure,
                each.compressibility, 0.003)
        << each.psia << " psia";
  }
}

// The same equation: 1000 psia at 70 degF in a closed volume, row W8.21.
TEST(StoreGas, PressureFollowsWarmthAsPublished) {
  const double moles = 79.29 / 28.01348e-3;
  const auto in_psia = [&](double fahrenheit) {
    return in_psi(pressure{detail::gas_at(moles, true, 1.0, (fahrenheit + 459.67) / 1.8).pressure});
  };
  EXPECT_NEAR(in_psia(-40), 757, 0.01 * 757);
  EXPECT_NEAR(in_psia(0), 846, 0.01 * 846);
  EXPECT_NEAR(in_psia(120), 1110, 0.01 * 1110);
  EXPECT_NEAR(in_psia(160), 1197, 0.01 * 1197);
}

// 100 cubic inches at 1000 psia, charged to 3000 psia: 35.41 in3 of gas are left, 33.33 by the ideal law, row W8.20.
TEST(StoreGas, RealGasLeavesLessRoomForFluid) {
  const double moles = 79.29 / 28.01348e-3;
  const double at_3000 = psi(3000).value;
  double low = 0.2;
  double high = 0.6;
  for (int i = 0; i < 60; ++i) {
    const double middle = 0.5 * (low + high);
    (detail::gas_at(moles, true, middle, room).pressure > at_3000 ? low : high) = middle;
  }
  EXPECT_NEAR(low, 0.3541, 0.002);
}

TEST(StoreGas, PressureAndVolumeAreInversesOfOneAnother) {
  for (const bool real : {false, true}) {
    for (const double precharge : {7e5, 7e6, 1.4e7}) {
      const double amount = detail::gas_amount(precharge, real, 1.2e-3);
      EXPECT_NEAR(detail::gas_at(amount, real, 1.2e-3, detail::standard_temperature).pressure, precharge, 1e-9 * precharge);
      const double volume = detail::gas_volume(amount, real, 2.0e7, 1.2e-3);
      EXPECT_NEAR(detail::gas_at(amount, real, volume, detail::standard_temperature).pressure, 2.0e7, 1.0);
    }
  }
}

// The slope that the solver uses is the derivative.
TEST(StoreGas, SlopeIsTheRiseOfPressureWithFluid) {
  for (const bool real : {false, true}) {
    const double amount = detail::gas_amount(7e6, real, 1e-3);
    const double step = 1e-10;
    const double volume = 4e-4;
    const double rise = detail::gas_at(amount, real, volume - step, 300.0).pressure -
                        detail::gas_at(amount, real, volume + step, 300.0).pressure;
    EXPECT_NEAR(rise / (2 * step), detail::gas_at(amount, real, volume, 300.0).slope,
                1e-5 * detail::gas_at(amount, real, volume, 300.0).slope);
  }
}

// Between the limits of the gas law: discharged in no time along T V^0.4, in endless time isothermally (common practice).
RULE_TEST(StoreGas, FastDischargeIsColderAndLowerThanASlowOne, "CON-3") {
  const layout aircraft = *layout::from(layouts::twin_freighter());
  state now = cold_and_dark(aircraft);
  now = transition(aircraft, now, events::parking_brake(false)).after;
  plant_state plant = plant_at(aircraft, now);
  const double before = gas_pressure_of(aircraft, plant, 0).value + detail::standard_atmosphere;
  const double gas = aircraft.fluid().stores[0].gas;
  const double volume_before = gas - plant.stores[0].fluid;
  for (int i = 0; i < 4; ++i) plant = plant_with(aircraft, plant, now, events::apply_brakes());
  const double volume_after = gas - plant.stores[0].fluid;
  EXPECT_NEAR(volume_after - volume_before, 4 * 50e-6, 1e-12);
  const double fast = gas_pressure_of(aircraft, plant, 0).value + detail::standard_atmosphere;
  EXPECT_NEAR(fast / before, std::pow(volume_before / volume_after, 1.4), 1e-3);
  for (int i = 0; i < 3600; ++i) {
    ASSERT_EQ(integrate_in_place(aircraft, plant, commands_for(aircraft, now), 1.0).kind, refusal_kind::none);
  }
  const double slow = gas_pressure_of(aircraft, plant, 0).value + detail::standard_atmosphere;
  EXPECT_NEAR(slow / before, volume_before / volume_after, 1e-6);
  EXPECT_GT(slow, fast);
}

}  // namespace
}  // namespace penstock_tests
