// Four engines, four circuits, two transfer units: each unit has its own two engines [PTU-10] and its own test.
#include "support/bench.hpp"
#include "support/rule_test.hpp"

namespace penstock_tests {
namespace {

constexpr unsigned left = 0, right = 1;
constexpr unsigned cargo = 0, first_duty = 1;

bench four() {
  bench b{four_engine_spec()};
  b.does(events::external_power(true));
  return b;
}
test_outcome result_of(const bench& b, unsigned unit) { return b.sees().units[unit].outcome; }
unit_mode mode(const bench& b, unsigned unit) { return b.sees().units[unit].mode; }

RULE_TEST(FourEngines, EachUnitTestsAtTheStartOfItsOwnSecondEngine, "PTU-3 PTU-10") {
  bench b = four();
  full_start(b, 0);
  b.does(events::start(1));
  EXPECT_EQ(result_of(b, left), test_outcome::pending);
  EXPECT_EQ(result_of(b, right), test_outcome::none);
  b.does(events::pressure(1, true)).wait(2s);
  EXPECT_EQ(result_of(b, left), test_outcome::passed);
  for (const spool_band band : {spool_band::turning, spool_band::driving, spool_band::near_idle, spool_band::idle}) {
    b.does(events::spool(1, band)).pressures_follow();
  }
  b.does(events::starter_out(1)).pressures_follow();
  full_start(b, 3);
  EXPECT_EQ(result_of(b, right), test_outcome::none) << "its first engine";
  b.does(events::start(2));
  EXPECT_NE(result_of(b, right), test_outcome::none) << "its second engine";
  EXPECT_EQ(result_of(b, left), test_outcome::passed);
}

RULE_TEST(FourEngines, TheTestIsNotRunWhenADutyPumpFeedsTheOtherCircuitAlready, "PTU-5 AUX-1") {
  // The first-engine pump has circuit-3 at pressure from the first engine on: no test of the right unit.
  bench b = four();
  full_start(b, 3);
  ASSERT_TRUE(b.sees().circuits[2].own_source);
  b.does(events::start(2));
  EXPECT_EQ(result_of(b, right), test_outcome::not_run);
  EXPECT_EQ(b.sees().units[right].test_reason_, test_reason::both_have_pressure);
}

RULE_TEST(FourEngines, TheRightUnitPassesItsTestWithTheDutyPumpOff, "PTU-3 PTU-5") {
  bench b = four();
  b.does(events::crew_switch(events::electric_pump(first_duty), pump_switch::off));
  full_start(b, 3);
  b.does(events::start(2));
  EXPECT_EQ(mode(b, right), unit_mode::b_drives_a);
  b.does(events::pressure(2, true)).wait(2s);
  EXPECT_EQ(result_of(b, right), test_outcome::passed);
  EXPECT_EQ(result_of(b, left), test_outcome::none);
}

RULE_TEST(FourEngines, TwoTestsRunAtTheSameTime, "PTU-3 PTU-5") {
  bench b = four();
  b.does(events::crew_switch(events::electric_pump(first_duty), pump_switch::off));
  full_start(b, 0);
  full_start(b, 3);
  b.does(events::start(1), events::start(2));
  EXPECT_EQ(result_of(b, left), test_outcome::pending);
  EXPECT_EQ(result_of(b, right), test_outcome::pending);
  b.wait(1s).does(events::pressure(1, true)).wait(5s);
  EXPECT_EQ(result_of(b, left), test_outcome::passed);
  EXPECT_EQ(result_of(b, right), test_outcome::failed);
  EXPECT_EQ(b.level_of(condition::transfer_failed, events::unit(right)), alert_class::caution);
  EXPECT_EQ(b.level_of(condition::transfer_failed, events::unit(left)), alert_class::none);
}

RULE_TEST(FourEngines, SingleEngineInhibitionCountsOnlyTheUnitsOwnEngines, "PTU-2 PTU-10") {
  bench b = four();
  full_start(b, 0);
  EXPECT_EQ(b.sees().units[left].reason, unit_inhibition::single_engine);
  EXPECT_EQ(b.sees().units[right].reason, unit_inhibition::none);
  full_start(b, 2);
  EXPECT_EQ(b.sees().units[left].reason, unit_inhibition::single_engine) << "engine 3 is not one of its engines";
  EXPECT_EQ(b.sees().units[right].reason, unit_inhibition::single_engine);
}

RULE_TEST(FourEngines, RolesFollowTheOrderOfStarting, "ENG-7") {
  bench b = four();
  for (const unsigned e : {2U, 0U, 3U, 1U}) full_start(b, e);
  EXPECT_EQ(b.sees().engines[2].role, engine_role::first);
  EXPECT_EQ(b.sees().engines[0].role, engine_role::second);
  full_stop(b, 2);
  EXPECT_EQ(b.sees().engines[0].role, engine_role::first) << "the earliest-started that still runs";
  EXPECT_EQ(b.sees().engines[3].role, engine_role::second);
}

RULE_TEST(FourEngines, AnyOfThemStartsTheFirstEnginePumpAndTheLastStopsIt, "AUX-1 AUX-2") {
  for (const unsigned e : {0U, 1U, 2U, 3U}) {
    bench b = four();
    EXPECT_FALSE(b.sees().electric_pumps[first_duty].delivering);
    full_start(b, e);
    EXPECT_TRUE(b.sees().electric_pumps[first_duty].delivering) << e;
    full_start(b, (e + 1) % 4);
    full_stop(b, e);
    EXPECT_TRUE(b.sees().electric_pumps[first_duty].delivering) << e;
    full_stop(b, (e + 1) % 4);
    EXPECT_FALSE(b.sees().electric_pumps[first_duty].delivering) << e;
  }
}

RULE_TEST(FourEngines, ServiceModeInhibitsOnlyTheUnitOfItsCircuit, "CGO-7") {
  bench b = four();
  b.does(events::lever(0, lever_position::open)).pressures_follow();
  ASSERT_EQ(b.sees().circuits[1].service, service_mode::service);
  EXPECT_TRUE(b.sees().electric_pumps[cargo].delivering);
  EXPECT_EQ(b.sees().units[left].reason, unit_inhibition::service);
  EXPECT_EQ(b.sees().units[right].reason, unit_inhibition::none);
  EXPECT_EQ(b.sees().circuits[0].status, circuit_status::off) << "nothing crosses the unit";
}

RULE_TEST(FourEngines, UnitsTransferIndependentlyInFlight, "PTU-6 PTU-11") {
  bench b{four_engine_spec()};
  fly(b);
  b.does(events::crew_switch(events::electric_pump(first_duty), pump_switch::off));
  b.does(events::failure(events::engine_pump(0), true), events::failure(events::engine_pump(2), true))
      .pressures_follow();
  EXPECT_EQ(mode(b, left), unit_mode::b_drives_a);
  EXPECT_EQ(mode(b, right), unit_mode::b_drives_a);
  b.does(events::crew_switch(events::unit(left), pump_switch::off)).pressures_follow();
  EXPECT_EQ(mode(b, left), unit_mode::off);
  EXPECT_EQ(mode(b, right), unit_mode::b_drives_a);
  EXPECT_EQ(b.sees().circuits[0].status, circuit_status::low);
  EXPECT_EQ(b.sees().circuits[2].status, circuit_status::normal);
}

RULE_TEST(FourEngines, OneRunningEngineIsEnoughForTheSteeringCaution, "STR-2") {
  for (const unsigned e : {0U, 1U, 2U, 3U}) {
    bench b = four();
    b.does(events::steering(false));
    start_to_idle(b, e);
    EXPECT_EQ(class_of(b, condition::steering), alert_class::caution) << e;
  }
}

RULE_TEST(FourEngines, TwoOfFourCircuitsLowAreTheWarning, "ALR-5") {
  bench b{four_engine_spec()};
  fly(b);
  b.does(events::pressure(3, false)).wait(1min);
  EXPECT_EQ(class_of(b, condition::circuits_low), alert_class::none);
  b.does(events::pressure(0, false)).wait(1min);
  EXPECT_EQ(class_of(b, condition::circuits_low), alert_class::warning);
}

}  // namespace
}  // namespace penstock_tests
