// The rules of the chapter "Engine-driven pumps", seen from outside. Numbers are invented.
#include <algorithm>

#include "support/bench.hpp"
#include "support/rule_test.hpp"

namespace penstock_tests {
namespace {

const subject pump_0 = events::engine_pump(0);

bool delivers(const bench& b, unsigned p = 0) { return b.sees().engine_pumps[p].delivering; }
engine_pump_reason reason(const bench& b, unsigned p = 0) { return b.sees().engine_pumps[p].reason; }

auto alerts_of_pump(const bench& b) {
  const observation seen = b.sees();
  return std::ranges::count_if(seen.alerts_standing(), [](const observed_alert& a) {
    return a.condition == condition::engine_pump && a.about == pump_0 && a.level >= alert_class::advisory;
  });
}

bench running(layout_spec spec = two_engine_spec()) {
  bench b{std::move(spec)};
  b.does(events::external_power(true));
  full_start(b, 0);
  return b;
}
bench without_supply() {
  bench b = running();
  b.does(events::fire_handle(0, true));
  return b;
}

// EDP-1

RULE_TEST(EnginePump, DeliversAboveItsSpeedMark, "EDP-1") {
  bench b = powered_twin();
  b.does(events::start(0), events::spool(0, spool_band::driving));
  EXPECT_TRUE(delivers(b));
  EXPECT_EQ(reason(b), engine_pump_reason::delivering);
  EXPECT_TRUE(b.sees().circuits[0].own_source);
}
RULE_TEST(EnginePump, DoesNotDeliverBelowItsSpeedMark, "EDP-1") {
  bench b = powered_twin();
  b.does(events::start(0), events::spool(0, spool_band::turning));
  EXPECT_FALSE(delivers(b));
  EXPECT_EQ(reason(b), engine_pump_reason::not_turning);
}
RULE_TEST(EnginePump, DeliversWhileTheEngineWindmills, "EDP-1") {
  bench b = twin();
  b.does(events::spool(0, spool_band::driving));
  EXPECT_TRUE(delivers(b));
}
RULE_TEST(EnginePump, DeliversWhileTheEngineRunsDownAboveTheMark, "EDP-1") {
  bench b = running();
  b.does(events::shut_down(0), events::spool(0, spool_band::driving));
  EXPECT_TRUE(delivers(b)) << "above the mark";
  b.does(events::spool(0, spool_band::turning));
  EXPECT_FALSE(delivers(b)) << "below the mark";
}
RULE_TEST(EnginePump, NeedsNoElectricPower, "EDP-1") {
  bench b = running();
  b.does(events::inject(fault::all_power_lost, events::aircraft));
  EXPECT_TRUE(delivers(b));
}
RULE_TEST(EnginePump, FollowsItsOwnEngineOnly, "EDP-1") {
  bench b = running();
  EXPECT_TRUE(delivers(b, 0));
  EXPECT_FALSE(delivers(b, 1));
}
RULE_TEST(EnginePump, StopsWithoutSupply, "EDP-1 ENG-6") {
  bench b = without_supply();
  EXPECT_FALSE(delivers(b));
  EXPECT_EQ(reason(b), engine_pump_reason::no_supply);
}
RULE_TEST(EnginePump, DeliversAgainAtOnceWhenTheSupplyIsReset, "EDP-1 ENG-6 GEN-1") {
  bench b = without_supply();
  b.does(events::fire_handle(0, false), events::reset_supply(0));
  EXPECT_TRUE(delivers(b));
}
RULE_TEST(EnginePump, StopsWhenItsReservoirIsEmpty, "EDP-1 LVL-4") {
  bench b = running();
  b.does(events::level(0, fluid_level::empty));
  EXPECT_FALSE(delivers(b));
  EXPECT_EQ(reason(b), engine_pump_reason::dry);
}
RULE_TEST(EnginePump, GoesOnAtLowLevel, "EDP-1") {
  bench b = running();
  b.does(events::level(0, fluid_level::low));
  EXPECT_TRUE(delivers(b));
}
RULE_TEST(EnginePump, GoesOnWithLowReservoirAir, "EDP-1 RES-1") {
  bench b = running();
  b.does(events::air(0, true));
  EXPECT_TRUE(delivers(b));
}
RULE_TEST(EnginePump, EmptyReservoirOfAnotherCircuitDoesNotMatter, "EDP-1") {
  bench b = running();
  b.does(events::level(1, fluid_level::empty));
  EXPECT_TRUE(delivers(b));
}

// EDP-2

RULE_TEST(EnginePump, IsUnloadedByItsSwitch, "EDP-2") {
  bench b = running();
  b.does(events::crew_switch(pump_0, pump_switch::off));
  EXPECT_FALSE(delivers(b));
  EXPECT_EQ(reason(b), engine_pump_reason::off);
}
RULE_TEST(EnginePump, SwitchedOffIsNeverAFault, "EDP-2 EDP-3") {
  bench b = running();
  b.does(events::crew_switch(pump_0, pump_switch::off)).wait(1h);
  EXPECT_EQ(alerts_of_pump(b), 0);
}
RULE_TEST(EnginePump, DeliversAgainWhenSwitchedOn, "EDP-2") {
  bench b = running();
  b.does(events::crew_switch(pump_0, pump_switch::off), events::crew_switch(pump_0, pump_switch::on));
  EXPECT_TRUE(delivers(b));
}
RULE_TEST(EnginePump, OffHidesALatchedFailure, "EDP-2") {
  bench b = running();
  b.does(events::failure(pump_0, true), events::failure(pump_0, false));
  b.does(events::crew_switch(pump_0, pump_switch::off)).wait(1h);
  EXPECT_EQ(reason(b), engine_pump_reason::off);
  EXPECT_EQ(alerts_of_pump(b), 0);
}
RULE_TEST(EnginePump, OffDoesNotClearALatchedFailure, "EDP-2 EDP-4") {
  bench b = running();
  b.does(events::failure(pump_0, true), events::failure(pump_0, false));
  b.does(events::crew_switch(pump_0, pump_switch::off), events::crew_switch(pump_0, pump_switch::on));
  EXPECT_EQ(reason(b), engine_pump_reason::failed);
  EXPECT_FALSE(delivers(b));
}
RULE_TEST(EnginePump, HasNoAutomaticPosition, "EDP-2 GEN-2") {
  running().turns_down(events::crew_switch(pump_0, pump_switch::automatic));
}

// EDP-3

RULE_TEST(EnginePumpAlert, ComesAfterTheConfirmationTime, "EDP-3 GEN-3") {
  bench b = without_supply();
  b.wait(5999ms);
  EXPECT_EQ(alerts_of_pump(b), 0) << "one millisecond before";
  b.wait(1ms);
  EXPECT_EQ(alerts_of_pump(b), 1) << "exactly at the limit";
}
RULE_TEST(EnginePumpAlert, NamesTheSupplyValveAsCause, "EDP-3") {
  bench b = without_supply();
  b.wait(6s);
  const auto alert = b.alert(condition::engine_pump, pump_0);
  ASSERT_TRUE(alert.has_value());
  EXPECT_EQ(alert->cause, word(engine_pump_reason::no_supply));
  EXPECT_TRUE(names_rule(alert->rule, "EDP-3")) << alert->rule;
}
RULE_TEST(EnginePumpAlert, IsTheNextDeadline, "EDP-3") {
  bench b = without_supply();
  b.wait(1s);
  EXPECT_EQ(b.deadline(), 5000U);
}
RULE_TEST(EnginePumpAlert, DoesNotComeWhenThePumpDeliversInTime, "EDP-3") {
  bench b = without_supply();
  b.wait(5999ms).does(events::fire_handle(0, false), events::reset_supply(0)).wait(1h);
  EXPECT_EQ(alerts_of_pump(b), 0);
}
RULE_TEST(EnginePumpAlert, CountsFromZeroAfterAnInterruption, "EDP-3") {
  bench b = without_supply();
  b.wait(5999ms).does(events::fire_handle(0, false), events::reset_supply(0), events::fire_handle(0, true));
  b.wait(5999ms);
  EXPECT_EQ(alerts_of_pump(b), 0);
  b.wait(1ms);
  EXPECT_EQ(alerts_of_pump(b), 1);
}
RULE_TEST(EnginePumpAlert, EndsWhenThePumpDeliversAgain, "EDP-3 ALR-3") {
  bench b = without_supply();
  b.wait(6s).does(events::fire_handle(0, false), events::reset_supply(0));
  EXPECT_EQ(alerts_of_pump(b), 0);
}
RULE_TEST(EnginePumpAlert, LowPressureIsNormalWithTheEngineOff, "EDP-3 ALR-3") {
  bench b = powered_twin();
  b.wait(1h);
  EXPECT_EQ(alerts_of_pump(b), 0);
}
RULE_TEST(EnginePumpAlert, EndsWithTheEngine, "EDP-3 ALR-3") {
  bench b = without_supply();
  b.wait(6s).does(events::shut_down(0));
  EXPECT_EQ(alerts_of_pump(b), 0);
}
RULE_TEST(EnginePumpAlert, DoesNotComeWhileTheEngineOnlyCranks, "EDP-3") {
  bench b = powered_twin();
  b.does(events::fire_handle(0, true), events::start(0), events::spool(0, spool_band::near_idle)).wait(1h);
  EXPECT_EQ(alerts_of_pump(b), 0);
}
RULE_TEST(EnginePumpAlert, ComesAtIdleBeforeTheStarterIsOut, "EDP-3") {
  bench b = powered_twin();
  b.does(events::fire_handle(0, true), events::start(0), events::spool(0, spool_band::idle)).wait(6s);
  EXPECT_EQ(alerts_of_pump(b), 1);
}
RULE_TEST(EnginePumpAlert, UsesTheTimeOfTheLayout, "EDP-3") {
  layout_spec spec = two_engine_spec();
  spec.engine_pumps[0].low_confirmation = 2500ms;
  bench b = running(spec);
  b.does(events::fire_handle(0, true)).wait(2499ms);
  EXPECT_EQ(alerts_of_pump(b), 0);
  b.wait(1ms);
  EXPECT_EQ(alerts_of_pump(b), 1);
}

// EDP-4

RULE_TEST(EnginePump, FailureStopsIt, "EDP-4") {
  bench b = running();
  b.does(events::failure(pump_0, true));
  EXPECT_FALSE(delivers(b));
  EXPECT_EQ(reason(b), engine_pump_reason::failed);
}
RULE_TEST(EnginePump, FailureIsLatched, "EDP-4") {
  bench b = running();
  b.does(events::failure(pump_0, true), events::failure(pump_0, false)).wait(1h);
  EXPECT_EQ(b.sees().engine_pumps[0].health, health_mode::failed);
  EXPECT_FALSE(delivers(b));
}
RULE_TEST(EnginePump, ResetClearsAFailureWhoseCauseIsGone, "EDP-4") {
  bench b = running();
  b.does(events::failure(pump_0, true), events::failure(pump_0, false), events::reset(pump_0));
  EXPECT_EQ(b.sees().engine_pumps[0].health, health_mode::healthy);
  EXPECT_TRUE(delivers(b));
  EXPECT_EQ(alerts_of_pump(b), 0);
}
RULE_TEST(EnginePump, ResetIsRefusedWhileTheCauseIsPresent, "EDP-4 GEN-2") {
  bench b = running();
  b.does(events::failure(pump_0, true)).refused_by(events::reset(pump_0), "EDP-4");
}
RULE_TEST(EnginePump, ResetOfAHealthyPumpIsRefused, "EDP-4 GEN-2") { running().refuses(events::reset(pump_0)); }
RULE_TEST(EnginePump, InjectedFailureIsLatchedUntilResetToo, "EDP-4 INS-1") {
  bench b = running();
  b.does(events::inject(fault::pump_failed, pump_0));
  EXPECT_EQ(reason(b), engine_pump_reason::failed);
  b.refuses(events::reset(pump_0));
  b.does(events::remove_fault(fault::pump_failed, pump_0));
  EXPECT_EQ(reason(b), engine_pump_reason::failed);
  b.does(events::reset(pump_0));
  EXPECT_TRUE(delivers(b));
}
RULE_TEST(EnginePump, OverheatEndsWithItsCondition, "EDP-4") {
  bench b = running();
  b.does(events::overheat(pump_0, true));
  EXPECT_FALSE(delivers(b));
  EXPECT_EQ(reason(b), engine_pump_reason::overheat);
  b.does(events::overheat(pump_0, false));
  EXPECT_TRUE(delivers(b));
}
RULE_TEST(EnginePump, DryEndsWithItsCondition, "EDP-4 LVL-4") {
  bench b = running();
  b.does(events::level(0, fluid_level::empty), events::level(0, fluid_level::low));
  EXPECT_TRUE(delivers(b));
}
RULE_TEST(EnginePump, ResetDoesNotEndAnOverheat, "EDP-4 GEN-2") {
  bench b = running();
  b.does(events::overheat(pump_0, true)).refuses(events::reset(pump_0));
}
RULE_TEST(EnginePumpAlert, OfAFailureStandsAtOnceWithItsCause, "EDP-4") {
  bench b = running();
  b.does(events::failure(pump_0, true));
  const auto alert = b.alert(condition::engine_pump, pump_0);
  ASSERT_TRUE(alert.has_value());
  EXPECT_EQ(alert->cause, word(engine_pump_reason::failed));
  EXPECT_TRUE(names_rule(alert->rule, "EDP-4")) << alert->rule;
}
RULE_TEST(EnginePumpAlert, OfAnOverheatNamesItAsCause, "EDP-4") {
  bench b = running();
  b.does(events::overheat(pump_0, true));
  const auto alert = b.alert(condition::engine_pump, pump_0);
  ASSERT_TRUE(alert.has_value());
  EXPECT_EQ(alert->cause, word(engine_pump_reason::overheat));
}
RULE_TEST(EnginePumpAlert, OfADryPumpNamesItAsCause, "EDP-4") {
  bench b = running();
  b.does(events::level(0, fluid_level::empty));
  const auto alert = b.alert(condition::engine_pump, pump_0);
  ASSERT_TRUE(alert.has_value());
  EXPECT_EQ(alert->cause, word(engine_pump_reason::dry));
}
RULE_TEST(EnginePumpAlert, OfAFailureReplacesTheOneOfNoDelivery, "EDP-4 ALR-4") {
  bench b = without_supply();
  b.wait(6s).does(events::failure(pump_0, true)).wait(1h);
  EXPECT_EQ(alerts_of_pump(b), 1);
  EXPECT_EQ(b.alert(condition::engine_pump, pump_0)->cause, word(engine_pump_reason::failed));
}

// EDP-5

RULE_TEST(EnginePump, ShowsTheFirstReasonThatHolds, "EDP-5") {
  bench b = twin();
  b.does(events::crew_switch(pump_0, pump_switch::off), events::failure(pump_0, true), events::overheat(pump_0, true),
         events::fire_handle(0, true), events::level(0, fluid_level::empty));
  EXPECT_EQ(reason(b), engine_pump_reason::off);
  b.does(events::crew_switch(pump_0, pump_switch::on));
  EXPECT_EQ(reason(b), engine_pump_reason::failed);
  b.does(events::failure(pump_0, false), events::reset(pump_0));
  EXPECT_EQ(reason(b), engine_pump_reason::overheat);
  b.does(events::overheat(pump_0, false));
  EXPECT_EQ(reason(b), engine_pump_reason::not_turning);
  b.does(events::spool(0, spool_band::driving));
  EXPECT_EQ(reason(b), engine_pump_reason::no_supply);
  b.does(events::fire_handle(0, false), events::reset_supply(0));
  EXPECT_EQ(reason(b), engine_pump_reason::dry);
  b.does(events::level(0, fluid_level::normal));
  EXPECT_EQ(reason(b), engine_pump_reason::delivering);
}
RULE_TEST(EnginePump, ReasonIsDeliveringExactlyWhenItDelivers, "EDP-5") {
  bench b = powered_twin();
  for (const spool_band band : {spool_band::zero, spool_band::turning, spool_band::driving, spool_band::near_idle,
                                spool_band::idle, spool_band::turning, spool_band::zero}) {
    b.does(events::spool(0, band));
    EXPECT_EQ(reason(b) == engine_pump_reason::delivering, delivers(b)) << word(band);
  }
}

// EDP-6 (optional)

layout_spec loads_without_control() {
  layout_spec spec = two_engine_spec();
  spec.engine_pumps[0].loads_without_control = true;
  return spec;
}

RULE_TEST(EnginePumpControl, LossOfItsBusLoadsAnUnloadedPump, "EDP-6") {
  bench b = running(loads_without_control());
  b.does(events::crew_switch(pump_0, pump_switch::off));
  EXPECT_FALSE(delivers(b)) << "bus alive";
  b.does(events::inject(fault::bus_lost, events::bus(0)));
  EXPECT_TRUE(delivers(b)) << "bus lost";
}
RULE_TEST(EnginePumpControl, ReturnOfItsBusUnloadsThePumpAgain, "EDP-6 GEN-1") {
  bench b = running(loads_without_control());
  b.does(events::crew_switch(pump_0, pump_switch::off), events::inject(fault::bus_lost, events::bus(0)),
         events::remove_fault(fault::bus_lost, events::bus(0)));
  EXPECT_FALSE(delivers(b));
  EXPECT_EQ(reason(b), engine_pump_reason::off);
}
RULE_TEST(EnginePumpControl, LossOfAnotherBusChangesNothing, "EDP-6") {
  bench b = running(loads_without_control());
  b.does(events::crew_switch(pump_0, pump_switch::off), events::inject(fault::bus_lost, events::bus(1)));
  EXPECT_FALSE(delivers(b));
}
RULE_TEST(EnginePumpControl, WithoutTheOptionAnUnloadedPumpStaysUnloaded, "EDP-6") {
  bench b = running();
  b.does(events::crew_switch(pump_0, pump_switch::off), events::inject(fault::bus_lost, events::bus(0)));
  EXPECT_FALSE(delivers(b));
  EXPECT_EQ(reason(b), engine_pump_reason::off);
}
RULE_TEST(EnginePumpControl, LossOfItsBusDoesNotStopALoadedPump, "EDP-6") {
  bench b = running(loads_without_control());
  b.does(events::inject(fault::bus_lost, events::bus(0)));
  EXPECT_TRUE(delivers(b));
}
RULE_TEST(EnginePumpControl, LossOfItsBusDoesNotHealAFailedPump, "EDP-6 EDP-4") {
  bench b = running(loads_without_control());
  b.does(events::failure(pump_0, true), events::crew_switch(pump_0, pump_switch::off),
         events::inject(fault::bus_lost, events::bus(0)));
  EXPECT_FALSE(delivers(b));
}
RULE_TEST(EnginePumpControl, LossOfItsBusDoesNotTurnAStandingPump, "EDP-6 EDP-1") {
  bench b{loads_without_control()};
  b.does(events::crew_switch(pump_0, pump_switch::off));
  EXPECT_FALSE(delivers(b));
}

// EDP-7 (optional)

layout_spec damaged_when_dry() {
  layout_spec spec = two_engine_spec();
  spec.engine_pumps[0].dry_damage = 30s;
  return spec;
}

RULE_TEST(EnginePumpDamage, DryRunningToTheLimitDamagesThePump, "EDP-7 GEN-3") {
  bench b = running(damaged_when_dry());
  b.does(events::level(0, fluid_level::empty)).wait(29'999ms);
  EXPECT_EQ(b.sees().engine_pumps[0].health, health_mode::healthy) << "one millisecond before";
  b.wait(1ms);
  EXPECT_EQ(b.sees().engine_pumps[0].health, health_mode::damaged) << "exactly at the limit";
}
RULE_TEST(EnginePumpDamage, StaysWhenTheFluidReturns, "EDP-7") {
  bench b = running(damaged_when_dry());
  b.does(events::level(0, fluid_level::empty)).wait(30s).does(events::level(0, fluid_level::normal));
  EXPECT_FALSE(delivers(b));
  EXPECT_EQ(reason(b), engine_pump_reason::failed);
}
RULE_TEST(EnginePumpDamage, IsNotClearedByAReset, "EDP-7 GEN-2") {
  bench b = running(damaged_when_dry());
  b.does(events::level(0, fluid_level::empty)).wait(30s).does(events::level(0, fluid_level::normal));
  b.refused_by(events::reset(pump_0), "EDP-7");
}
RULE_TEST(EnginePumpDamage, CountsFromZeroAfterFluidReturned, "EDP-7") {
  bench b = running(damaged_when_dry());
  b.does(events::level(0, fluid_level::empty)).wait(29'999ms).does(events::level(0, fluid_level::low));
  b.does(events::level(0, fluid_level::empty)).wait(29'999ms);
  EXPECT_EQ(b.sees().engine_pumps[0].health, health_mode::healthy);
}
RULE_TEST(EnginePumpDamage, DoesNotComeToAPumpThatStands, "EDP-7") {
  bench b{damaged_when_dry()};
  b.does(events::level(0, fluid_level::empty)).wait(1h);
  EXPECT_EQ(b.sees().engine_pumps[0].health, health_mode::healthy);
}
RULE_TEST(EnginePumpDamage, NeverComesWithoutTheOption, "EDP-7") {
  bench b = running();
  b.does(events::level(0, fluid_level::empty)).wait(10h).does(events::level(0, fluid_level::normal));
  EXPECT_TRUE(delivers(b));
}
RULE_TEST(EnginePumpDamage, ShearedShaftStopsThePump, "EDP-7") {
  bench b = running();
  b.does(events::inject(fault::shaft_sheared, pump_0));
  EXPECT_FALSE(delivers(b));
  EXPECT_EQ(reason(b), engine_pump_reason::failed);
}
RULE_TEST(EnginePumpDamage, ShearedShaftIsNotClearedByAReset, "EDP-7 GEN-2") {
  bench b = running();
  b.does(events::inject(fault::shaft_sheared, pump_0)).refused_by(events::reset(pump_0), "EDP-7");
}

}  // namespace
}  // namespace penstock_tests
