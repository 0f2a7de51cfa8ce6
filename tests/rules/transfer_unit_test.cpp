// The transfer unit and its test at the start of the second engine [PTU-1 to PTU-15]. Numbers are invented unless
// a line says otherwise.
#include "support/bench.hpp"
#include "support/rule_test.hpp"

namespace penstock_tests {
namespace {

constexpr unsigned port = 0, starboard = 1, unit = 0;
constexpr unsigned cargo_pump_number = 0, plain_pump_number = 2;

unit_mode mode(const bench& b, unsigned u = unit) { return b.sees().units[u].mode; }
unit_inhibition reason(const bench& b, unsigned u = unit) { return b.sees().units[u].reason; }
test_outcome result_of(const bench& b, unsigned u = unit) { return b.sees().units[u].outcome; }
test_reason why(const bench& b, unsigned u = unit) { return b.sees().units[u].test_reason_; }
bool lists(const bench& b, unit_inhibition one) {
  return (b.sees().units[unit].reasons >> static_cast<unsigned>(one) & 1U) != 0;
}
bool transfers(const bench& b, unsigned u = unit) {
  return mode(b, u) == unit_mode::a_drives_b || mode(b, u) == unit_mode::b_drives_a;
}
event unit_switch(bool on, unsigned u = unit) {
  return events::crew_switch(events::unit(u), on ? pump_switch::automatic : pump_switch::off);
}
event engine_pump_switch(unsigned pump, bool on) {
  return events::crew_switch(events::engine_pump(pump), on ? pump_switch::on : pump_switch::off);
}
event electric_switch(unsigned pump, pump_switch to) { return events::crew_switch(events::electric_pump(pump), to); }
event exceeds(pressure_difference now, unsigned u = unit) { return events::difference(u, now); }

/// Engine 1 runs and has its circuit at pressure; engine 2 stands still. Parked, on external power.
bench one_engine(layout_spec spec = two_engine_spec()) {
  bench b{std::move(spec)};
  b.does(events::external_power(true));
  full_start(b, 0);
  return b;
}
/// The start of engine 2 was just selected: the test runs.
bench under_test(layout_spec spec = two_engine_spec()) {
  bench b = one_engine(std::move(spec));
  b.does(events::start(1));
  return b;
}
/// Both engines run, brake released, on the ground; own pressures level.
bench both_engines(layout_spec spec = two_engine_spec()) {
  bench b = one_engine(std::move(spec));
  full_start(b, 1);
  b.does(events::parking_brake(false)).pressures_follow();
  return b;
}

// ---- PTU-1

RULE_TEST(TransferUnit, NeverTransfersWhileSwitchedOff, "PTU-1") {
  bench b = both_engines();
  b.does(unit_switch(false), exceeds(pressure_difference::a_exceeds));
  EXPECT_EQ(mode(b), unit_mode::off);
  EXPECT_EQ(reason(b), unit_inhibition::switched_off);
  take_off(b);
  EXPECT_EQ(mode(b), unit_mode::off);
}

RULE_TEST(TransferUnit, StopsAtOnceWhenSwitchedOff, "PTU-1") {
  bench b = both_engines();
  b.does(exceeds(pressure_difference::a_exceeds));
  ASSERT_EQ(mode(b), unit_mode::a_drives_b);
  b.does(unit_switch(false));
  EXPECT_EQ(mode(b), unit_mode::off);
  EXPECT_FALSE(b.sees().circuits[starboard].driven);
  EXPECT_TRUE(b.took("PTU-1"));
}

RULE_TEST(TransferUnit, TransfersAgainWhenSwitchedBackOn, "PTU-1 GEN-1") {
  bench b = both_engines();
  b.does(exceeds(pressure_difference::a_exceeds), unit_switch(false), unit_switch(true));
  EXPECT_EQ(mode(b), unit_mode::a_drives_b);
}

RULE_TEST(TransferUnit, OffWinsOverTheTest, "PTU-1 PTU-5") {
  bench b = one_engine();
  b.does(unit_switch(false), events::start(1));
  EXPECT_EQ(mode(b), unit_mode::off);
  EXPECT_EQ(result_of(b), test_outcome::not_run);
  EXPECT_EQ(why(b), test_reason::unit_off);
}

// ---- PTU-2

RULE_TEST(TransferUnit, IsInhibitedWhileParkedWithOneEngineSelected, "PTU-2") {
  const bench b = one_engine();
  EXPECT_EQ(mode(b), unit_mode::inhibited);
  EXPECT_EQ(reason(b), unit_inhibition::single_engine);
}

RULE_TEST(TransferUnit, IsInhibitedFromTheSelectionOfTheFirstStart, "PTU-2 ENG-10") {
  bench b = powered_twin();
  EXPECT_EQ(mode(b), unit_mode::standby);
  b.does(events::start(1));
  EXPECT_EQ(reason(b), unit_inhibition::single_engine);
}

RULE_TEST(TransferUnit, IsFreeWithOneEngineOnceTheParkingBrakeIsReleased, "PTU-2") {
  bench b = one_engine();
  b.does(events::parking_brake(false));
  EXPECT_EQ(reason(b), unit_inhibition::none);
  EXPECT_EQ(mode(b), unit_mode::a_drives_b);
}

RULE_TEST(TransferUnit, IsInhibitedUnderTowWithOneEngineSelected, "PTU-2") {
  bench b = one_engine();
  b.does(events::steering(false), events::parking_brake(false));
  EXPECT_EQ(mode(b), unit_mode::inhibited);
  EXPECT_EQ(reason(b), unit_inhibition::single_engine);
}

RULE_TEST(TransferUnit, IsInhibitedAnywhereOnTheGroundWhenTheScopeSaysSo, "PTU-2") {
  layout_spec spec = two_engine_spec();
  spec.transfer_units[0].scope = inhibit_scope::ground;
  bench b = one_engine(spec);
  b.does(events::parking_brake(false));
  EXPECT_EQ(reason(b), unit_inhibition::single_engine);
  take_off(b);
  EXPECT_EQ(reason(b), unit_inhibition::none);
  touch_down(b);
  EXPECT_EQ(reason(b), unit_inhibition::single_engine);
}

RULE_TEST(TransferUnit, IsNeverInhibitedByOneEngineWhenTheScopeIsNone, "PTU-2") {
  layout_spec spec = two_engine_spec();
  spec.transfer_units[0].scope = inhibit_scope::never;
  const bench b = one_engine(spec);
  EXPECT_EQ(reason(b), unit_inhibition::none);
  EXPECT_EQ(mode(b), unit_mode::a_drives_b);
}

RULE_TEST(TransferUnit, IsNotInhibitedWithBothEnginesSelected, "PTU-2") {
  bench b = one_engine();
  full_start(b, 1);
  EXPECT_EQ(reason(b), unit_inhibition::none);
  EXPECT_EQ(mode(b), unit_mode::standby);
}

RULE_TEST(TransferUnit, IsNotInhibitedWithNoEngineSelected, "PTU-2") {
  const bench b = powered_twin();
  EXPECT_EQ(reason(b), unit_inhibition::none);
}

RULE_TEST(TransferUnit, GoesOnThroughTouchdownOnOneEngine, "PTU-2") {
  bench b{two_engine_spec()};
  fly(b);
  full_stop(b, 1);
  ASSERT_EQ(mode(b), unit_mode::a_drives_b);
  touch_down(b);
  EXPECT_EQ(mode(b), unit_mode::a_drives_b);
  b.does(events::parking_brake(true));
  EXPECT_EQ(reason(b), unit_inhibition::single_engine);
}

RULE_TEST(TransferUnit, CountsAFlameOutAsStillSelected, "PTU-2 ENG-10") {
  bench b = one_engine();
  full_start(b, 1);
  b.does(events::flame_out(1));
  EXPECT_EQ(reason(b), unit_inhibition::none) << "both starts are still selected";
  b.does(events::shut_down(1));
  EXPECT_EQ(reason(b), unit_inhibition::single_engine);
}

// ---- PTU-3

RULE_TEST(TransferTest, BeginsAtTheStartSelectionOfTheSecondEngine, "PTU-3") {
  const bench b = under_test();
  EXPECT_EQ(mode(b), unit_mode::a_drives_b);
  EXPECT_EQ(result_of(b), test_outcome::pending);
  EXPECT_EQ(b.sees().engines[1].spool, spool_band::zero);
  EXPECT_EQ(b.level_of(condition::transfer_test, events::unit(unit)), alert_class::advisory);
}

RULE_TEST(TransferTest, DrivesTheOtherWayWhenTheOtherEngineIsFirst, "PTU-3 ENG-7") {
  bench b = powered_twin();
  full_start(b, 1);
  b.does(events::start(0));
  EXPECT_EQ(mode(b), unit_mode::b_drives_a);
  EXPECT_EQ(result_of(b), test_outcome::pending);
  EXPECT_TRUE(b.sees().circuits[port].driven);
}

RULE_TEST(TransferTest, IsNotJudgedAgainAtIdle, "PTU-3") {
  bench b = one_engine();
  b.does(engine_pump_switch(1, false), unit_switch(false), events::start(1));
  ASSERT_EQ(result_of(b), test_outcome::not_run);
  b.does(unit_switch(true));
  for (const spool_band band : {spool_band::turning, spool_band::driving, spool_band::near_idle, spool_band::idle}) {
    b.does(events::spool(1, band));
    EXPECT_EQ(result_of(b), test_outcome::not_run) << word(band);
  }
  b.does(events::starter_out(1));
  EXPECT_EQ(result_of(b), test_outcome::not_run);
}

RULE_TEST(TransferTest, WaitsUntilTheFirstEngineRunsWhenBothCrank, "PTU-3 ENG-7") {
  bench b = powered_twin();
  b.does(events::start(0), events::start(1));
  EXPECT_EQ(result_of(b), test_outcome::none) << "no engine runs: neither is second";
  for (const spool_band band : {spool_band::turning, spool_band::driving, spool_band::near_idle}) {
    b.does(events::spool(0, band), events::pressure(port, band >= spool_band::driving));
  }
  EXPECT_EQ(result_of(b), test_outcome::none);
  b.does(events::spool(0, spool_band::idle));
  EXPECT_EQ(b.sees().engines[1].role, engine_role::second);
  EXPECT_EQ(result_of(b), test_outcome::pending);
}

RULE_TEST(TransferTest, IsNotRunForTheFirstEngine, "PTU-3") {
  const bench b = one_engine();
  EXPECT_EQ(result_of(b), test_outcome::none);
  EXPECT_EQ(b.level_of(condition::transfer_test, events::unit(unit)), alert_class::none);
}

RULE_TEST(TransferTest, NeedsPressureFromAnEnginePump, "PTU-3 PTU-5") {
  bench b = one_engine();
  b.does(engine_pump_switch(0, false), electric_switch(cargo_pump_number, pump_switch::on)).pressures_follow();
  ASSERT_TRUE(b.sees().circuits[port].own_source);
  b.does(events::start(1));
  EXPECT_EQ(result_of(b), test_outcome::not_run);
  EXPECT_EQ(why(b), test_reason::no_engine_pressure);
}

RULE_TEST(TransferTest, IsNotRunWithoutAnyPressure, "PTU-3 PTU-5") {
  bench b = one_engine();
  b.does(engine_pump_switch(0, false)).pressures_follow();
  b.does(events::start(1));
  EXPECT_EQ(result_of(b), test_outcome::not_run);
  EXPECT_EQ(why(b), test_reason::no_engine_pressure);
}

RULE_TEST(TransferTest, IsNotRunWhenTheOtherCircuitHasPressureAlready, "PTU-3 PTU-5") {
  bench b = one_engine();
  b.does(electric_switch(plain_pump_number, pump_switch::on)).pressures_follow();
  b.does(events::start(1));
  EXPECT_EQ(result_of(b), test_outcome::not_run);
  EXPECT_EQ(why(b), test_reason::both_have_pressure);
  EXPECT_EQ(b.level_of(condition::transfer_test, events::unit(unit)), alert_class::none);
}

RULE_TEST(TransferTest, IsNotRunWhileTheUnitIsInhibited, "PTU-3 PTU-5 PTU-8") {
  bench b = one_engine();
  b.does(events::level(port, fluid_level::low), events::start(1));
  EXPECT_EQ(result_of(b), test_outcome::not_run);
  EXPECT_EQ(why(b), test_reason::unit_inhibited);
  EXPECT_EQ(mode(b), unit_mode::inhibited);
}

RULE_TEST(TransferTest, IsNotRunDuringTheHoldOffOfServiceMode, "PTU-5 CGO-7") {
  bench b = powered_twin();
  b.does(events::lever(forward_door, lever_position::open)).pressures_follow();
  b.does(events::lever(forward_door, lever_position::neutral)).pressures_follow();
  ASSERT_EQ(b.sees().circuits[port].service, service_mode::hold_off);
  full_start(b, 0);
  b.does(events::start(1));
  EXPECT_EQ(result_of(b), test_outcome::not_run);
  EXPECT_EQ(why(b), test_reason::unit_inhibited);
}

// ---- PTU-4

RULE_TEST(TransferTest, IsOverWhenTheStartSequenceIsComplete, "PTU-4") {
  bench b = one_engine();
  b.does(engine_pump_switch(1, false));
  start_to_idle(b, 1);
  ASSERT_EQ(b.level_of(condition::transfer_test, events::unit(unit)), alert_class::advisory);
  b.does(events::starter_out(1));
  EXPECT_EQ(b.level_of(condition::transfer_test, events::unit(unit)), alert_class::none);
}

RULE_TEST(TransferTest, IsOverWhenThePumpOfTheStartingEngineDelivers, "PTU-4") {
  bench b = under_test();
  b.does(events::spool(1, spool_band::turning));
  EXPECT_EQ(b.level_of(condition::transfer_test, events::unit(unit)), alert_class::advisory);
  b.does(events::spool(1, spool_band::driving));
  EXPECT_EQ(b.level_of(condition::transfer_test, events::unit(unit)), alert_class::none);
}

RULE_TEST(TransferTest, IsOverWhenAnElectricPumpOfTheDrivenCircuitDelivers, "PTU-4") {
  bench b = under_test();
  b.does(electric_switch(plain_pump_number, pump_switch::on));
  EXPECT_EQ(b.level_of(condition::transfer_test, events::unit(unit)), alert_class::none);
  EXPECT_EQ(result_of(b), test_outcome::interrupted);
  EXPECT_EQ(why(b), test_reason::own_pump_delivers);
}

RULE_TEST(TransferTest, LeavesTheUnitToThePressureDifferenceAfterwards, "PTU-4 PTU-6") {
  bench b = one_engine();
  b.does(engine_pump_switch(1, false));
  full_start(b, 1);
  EXPECT_EQ(mode(b), unit_mode::a_drives_b) << "the other circuit still has no pump of its own";
  b.does(engine_pump_switch(1, true)).pressures_follow();
  EXPECT_EQ(mode(b), unit_mode::standby);
}

RULE_TEST(TransferTest, AdvisoryStaysAfterAPassUntilTheTestIsOver, "PTU-4 PTU-5") {
  bench b = under_test();
  b.does(events::pressure(starboard, true)).wait(2s);
  ASSERT_EQ(result_of(b), test_outcome::passed);
  EXPECT_EQ(mode(b), unit_mode::a_drives_b);
  EXPECT_EQ(b.level_of(condition::transfer_test, events::unit(unit)), alert_class::advisory);
  b.does(events::spool(1, spool_band::turning), events::spool(1, spool_band::driving));
  EXPECT_EQ(b.level_of(condition::transfer_test, events::unit(unit)), alert_class::none);
}

// ---- PTU-5

RULE_TEST(TransferTest, PassesWhenPressureWasHeldForTheConfirmationTime, "PTU-5") {
  bench b = under_test();
  b.wait(1s).does(events::pressure(starboard, true)).wait(1999ms);
  EXPECT_EQ(result_of(b), test_outcome::pending);
  EXPECT_EQ(b.deadline(), 1U);
  b.wait(1ms);
  EXPECT_EQ(result_of(b), test_outcome::passed);
  EXPECT_EQ(b.level_of(condition::transfer_failed, events::unit(unit)), alert_class::none);
}

RULE_TEST(TransferTest, FailsWithACautionWhenPressureDoesNotComeInTime, "PTU-5") {
  bench b = under_test();
  b.wait(5999ms);
  EXPECT_EQ(result_of(b), test_outcome::pending);
  EXPECT_EQ(b.level_of(condition::transfer_failed, events::unit(unit)), alert_class::none);
  b.wait(1ms);
  EXPECT_EQ(result_of(b), test_outcome::failed);
  EXPECT_EQ(b.level_of(condition::transfer_failed, events::unit(unit)), alert_class::caution);
}

RULE_TEST(TransferTest, PressureAtTheVeryLimitComesTooLate, "PTU-5 GEN-3") {
  bench b = under_test();
  b.wait(6s).does(events::pressure(starboard, true));
  EXPECT_EQ(result_of(b), test_outcome::failed) << "the timer advances before the event of the same time stamp";
}

RULE_TEST(TransferTest, PressureJustBeforeTheLimitMayBeConfirmedAfterIt, "PTU-5") {
  bench b = under_test();
  b.wait(5999ms).does(events::pressure(starboard, true)).wait(1999ms);
  EXPECT_EQ(result_of(b), test_outcome::pending);
  b.wait(1ms);
  EXPECT_EQ(result_of(b), test_outcome::passed);
}

RULE_TEST(TransferTest, FailsWhenPressureIsNotHeld, "PTU-5") {
  bench b = under_test();
  b.wait(1s).does(events::pressure(starboard, true)).wait(1999ms).does(events::pressure(starboard, false)).wait(4s);
  EXPECT_EQ(result_of(b), test_outcome::failed);
}

RULE_TEST(TransferTest, IsInterruptedWhenTheStartIsGivenUp, "PTU-5") {
  bench b = under_test();
  b.does(events::abort_start(1));
  EXPECT_EQ(result_of(b), test_outcome::interrupted);
  EXPECT_EQ(why(b), test_reason::start_given_up);
  EXPECT_EQ(b.level_of(condition::transfer_test, events::unit(unit)), alert_class::none);
}

RULE_TEST(TransferTest, IsInterruptedByAHungStart, "PTU-5 ENG-4") {
  bench b = under_test();
  b.does(events::hang(1));
  EXPECT_EQ(result_of(b), test_outcome::interrupted);
  EXPECT_EQ(why(b), test_reason::start_given_up);
}

RULE_TEST(TransferTest, IsInterruptedWhenTheDrivingPressureIsLost, "PTU-5") {
  bench b = under_test();
  b.does(engine_pump_switch(0, false)).pressures_follow();
  EXPECT_EQ(result_of(b), test_outcome::interrupted);
  EXPECT_EQ(why(b), test_reason::driving_lost);
}

RULE_TEST(TransferTest, IsInterruptedByLiftOff, "PTU-5 PTU-13") {
  bench b = under_test();
  take_off(b);
  EXPECT_EQ(result_of(b), test_outcome::interrupted);
  EXPECT_EQ(why(b), test_reason::lift_off);
}

RULE_TEST(TransferTest, IsInterruptedWhenTheUnitIsSwitchedOff, "PTU-5 PTU-1") {
  bench b = under_test();
  b.does(unit_switch(false));
  EXPECT_EQ(result_of(b), test_outcome::interrupted);
  EXPECT_EQ(why(b), test_reason::unit_off);
}

RULE_TEST(TransferTest, IsInterruptedWhenTheUnitBecomesInhibited, "PTU-5 PTU-8") {
  bench b = under_test();
  b.does(events::level(starboard, fluid_level::low));
  EXPECT_EQ(result_of(b), test_outcome::interrupted);
  EXPECT_EQ(why(b), test_reason::unit_inhibited);
}

RULE_TEST(TransferTest, IsInterruptedByTheCompleteStartBeforeAResult, "PTU-5 PTU-4") {
  bench b = one_engine();
  b.does(engine_pump_switch(1, false));
  full_start(b, 1);
  EXPECT_EQ(result_of(b), test_outcome::interrupted);
  EXPECT_EQ(why(b), test_reason::start_complete);
}

RULE_TEST(TransferTest, IsInterruptedByTheOwnPumpBeforeAResult, "PTU-5 PTU-4") {
  bench b = under_test();
  b.does(events::spool(1, spool_band::turning), events::spool(1, spool_band::driving));
  EXPECT_EQ(result_of(b), test_outcome::interrupted);
  EXPECT_EQ(why(b), test_reason::own_pump_delivers);
}

RULE_TEST(TransferTest, KeepsItsFirstDecisionAfterAPass, "PTU-5") {
  bench b = under_test();
  b.does(events::pressure(starboard, true)).wait(2s);
  ASSERT_EQ(result_of(b), test_outcome::passed);
  b.does(events::level(port, fluid_level::low), events::pressure(starboard, false)).wait(1min);
  b.does(events::abort_start(1));
  EXPECT_EQ(result_of(b), test_outcome::passed);
}

RULE_TEST(TransferTest, KeepsItsFirstDecisionAfterAFailure, "PTU-5") {
  bench b = under_test();
  b.wait(6s).does(events::pressure(starboard, true)).wait(1min);
  EXPECT_EQ(result_of(b), test_outcome::failed);
}

RULE_TEST(TransferTest, RunsAgainAtANewStart, "PTU-5") {
  bench b = under_test();
  b.does(events::abort_start(1));
  ASSERT_EQ(result_of(b), test_outcome::interrupted);
  b.wait(30s).does(events::start(1));
  EXPECT_EQ(result_of(b), test_outcome::pending);
  EXPECT_EQ(why(b), test_reason::none);
  b.does(events::pressure(starboard, true)).wait(2s);
  EXPECT_EQ(result_of(b), test_outcome::passed);
}

RULE_TEST(TransferTest, HasItsWholeTimeAgainAtANewStart, "PTU-5") {
  bench b = under_test();
  b.wait(5s).does(events::abort_start(1), events::start(1)).wait(5999ms);
  EXPECT_EQ(result_of(b), test_outcome::pending);
  b.wait(1ms);
  EXPECT_EQ(result_of(b), test_outcome::failed);
}

// ---- PTU-6

RULE_TEST(TransferUnit, TransfersAboveTheActivationDifference, "PTU-6") {
  bench b = both_engines();
  ASSERT_EQ(mode(b), unit_mode::standby);
  b.does(exceeds(pressure_difference::b_exceeds));
  EXPECT_EQ(mode(b), unit_mode::b_drives_a);
  EXPECT_TRUE(b.sees().circuits[port].driven);
  EXPECT_FALSE(b.sees().circuits[starboard].driven);
}

RULE_TEST(TransferUnit, StaysInStandbyBetweenReleaseAndActivation, "PTU-6 GEN-4") {
  bench b = both_engines();
  b.does(exceeds(pressure_difference::a_higher));
  EXPECT_EQ(mode(b), unit_mode::standby);
  b.does(exceeds(pressure_difference::b_higher));
  EXPECT_EQ(mode(b), unit_mode::standby);
}

RULE_TEST(TransferUnit, GoesOnBetweenActivationAndRelease, "PTU-6 GEN-4") {
  bench b = both_engines();
  b.does(exceeds(pressure_difference::a_exceeds), exceeds(pressure_difference::a_higher));
  EXPECT_EQ(mode(b), unit_mode::a_drives_b);
}

RULE_TEST(TransferUnit, StopsBelowTheReleaseDifference, "PTU-6") {
  bench b = both_engines();
  b.does(exceeds(pressure_difference::a_exceeds), exceeds(pressure_difference::level));
  EXPECT_EQ(mode(b), unit_mode::standby);
}

RULE_TEST(TransferUnit, StopsWhenTheOtherSideIsHigher, "PTU-6") {
  bench b = both_engines();
  b.does(exceeds(pressure_difference::a_exceeds), exceeds(pressure_difference::b_higher));
  EXPECT_EQ(mode(b), unit_mode::standby);
}

RULE_TEST(TransferUnit, ReversesThroughStandby, "PTU-6") {
  bench b = both_engines();
  b.does(exceeds(pressure_difference::a_exceeds), exceeds(pressure_difference::b_exceeds));
  EXPECT_EQ(mode(b), unit_mode::b_drives_a);
  std::vector<std::string_view> modes;
  for (const row_taken& taken : b.last().taken()) {
    if (taken.machine == machine::transfer_unit) {
      modes.push_back(mode_word(taken.machine, rows_of(taken.machine)[taken.row].target));
    }
  }
  ASSERT_GE(modes.size(), 2U);
  EXPECT_EQ(modes.front(), "standby");
  EXPECT_EQ(modes.back(), "b-drives-a");
}

RULE_TEST(TransferUnit, TransfersInFlightWhenAPumpFails, "PTU-6") {
  bench b{two_engine_spec()};
  fly(b);
  b.does(events::failure(events::engine_pump(1), true)).pressures_follow();
  EXPECT_EQ(mode(b), unit_mode::a_drives_b);
  EXPECT_EQ(b.sees().circuits[starboard].status, circuit_status::normal);
}

// ---- PTU-7

RULE_TEST(TransferUnit, LetsTheCrewsElectricPumpPressuriseTheOtherCircuit, "PTU-7") {
  bench b = powered_twin();
  b.does(electric_switch(cargo_pump_number, pump_switch::on)).pressures_follow();
  EXPECT_EQ(mode(b), unit_mode::a_drives_b);
  EXPECT_EQ(b.sees().circuits[starboard].status, circuit_status::normal);
}

RULE_TEST(TransferUnit, LetsThePumpOfTheOtherSidePressuriseThisCircuit, "PTU-7") {
  bench b = powered_twin();
  b.does(electric_switch(plain_pump_number, pump_switch::on)).pressures_follow();
  EXPECT_EQ(mode(b), unit_mode::b_drives_a);
  EXPECT_EQ(b.sees().circuits[port].status, circuit_status::normal);
}

RULE_TEST(TransferUnit, GivesTheCrewsPumpNothingWhileSwitchedOff, "PTU-7 PTU-1") {
  bench b = powered_twin();
  b.does(unit_switch(false), electric_switch(cargo_pump_number, pump_switch::on)).pressures_follow();
  EXPECT_EQ(mode(b), unit_mode::off);
  EXPECT_EQ(b.sees().circuits[starboard].status, circuit_status::off);
}

// ---- PTU-8

RULE_TEST(TransferUnit, IsInhibitedByLowLevelInEitherCircuit, "PTU-8") {
  for (const unsigned circuit : {port, starboard}) {
    bench b = both_engines();
    b.does(exceeds(pressure_difference::a_exceeds), events::level(circuit, fluid_level::low));
    EXPECT_EQ(mode(b), unit_mode::inhibited) << circuit;
    EXPECT_EQ(reason(b), unit_inhibition::low_level) << circuit;
    b.does(events::level(circuit, fluid_level::normal));
    EXPECT_EQ(mode(b), unit_mode::a_drives_b) << circuit;
  }
}

RULE_TEST(TransferUnit, TakesAnEmptyReservoirForALowOne, "PTU-8") {
  bench b = both_engines();
  b.does(events::level(starboard, fluid_level::empty));
  EXPECT_EQ(reason(b), unit_inhibition::low_level);
}

RULE_TEST(TransferUnit, IsNotInhibitedByLowLevelElsewhere, "PTU-8") {
  bench b = both_engines();
  b.does(events::level(2, fluid_level::low));
  EXPECT_EQ(reason(b), unit_inhibition::none);
}

RULE_TEST(TransferUnit, IgnoresLowLevelWhenTheLayoutSaysSo, "PTU-8") {
  layout_spec spec = two_engine_spec();
  spec.transfer_units[0].stops_on_low_level = false;
  bench b = both_engines(spec);
  b.does(exceeds(pressure_difference::a_exceeds), events::level(port, fluid_level::low));
  EXPECT_EQ(mode(b), unit_mode::a_drives_b);
}

RULE_TEST(TransferUnit, IsInhibitedByLowAirOnlyAsAnOption, "PTU-8") {
  for (const bool fitted : {false, true}) {
    layout_spec spec = two_engine_spec();
    spec.transfer_units[0].stops_on_low_air = fitted;
    bench b = both_engines(spec);
    b.does(exceeds(pressure_difference::a_exceeds), events::air(starboard, true));
    EXPECT_EQ(mode(b), fitted ? unit_mode::inhibited : unit_mode::a_drives_b);
    EXPECT_EQ(reason(b), fitted ? unit_inhibition::low_air : unit_inhibition::none);
    b.does(events::air(starboard, false));
    EXPECT_EQ(mode(b), unit_mode::a_drives_b);
  }
}

RULE_TEST(TransferUnit, IsInhibitedByHotFluidOnlyAsAnOption, "PTU-8") {
  for (const bool fitted : {false, true}) {
    layout_spec spec = two_engine_spec();
    spec.transfer_units[0].stops_on_hot_fluid = fitted;
    bench b = both_engines(spec);
    b.does(exceeds(pressure_difference::a_exceeds), events::fluid(port, true));
    EXPECT_EQ(mode(b), fitted ? unit_mode::inhibited : unit_mode::a_drives_b);
    EXPECT_EQ(reason(b), fitted ? unit_inhibition::hot_fluid : unit_inhibition::none);
    b.does(events::fluid(port, false));
    EXPECT_EQ(mode(b), unit_mode::a_drives_b);
  }
}

// ---- PTU-9

layout_spec one_way() {
  layout_spec spec = two_engine_spec();
  spec.transfer_units[0].direction = unit_direction::a_to_b;
  return spec;
}

RULE_TEST(TransferUnit, TransfersOneWayOnlyWhenBuiltSo, "PTU-9") {
  bench b = both_engines(one_way());
  b.does(exceeds(pressure_difference::b_exceeds));
  EXPECT_EQ(mode(b), unit_mode::standby);
  b.does(exceeds(pressure_difference::a_exceeds));
  EXPECT_EQ(mode(b), unit_mode::a_drives_b);
}

RULE_TEST(TransferUnit, StopsAtOnceWhenAOneWayUnitWouldReverse, "PTU-9 PTU-6") {
  bench b = both_engines(one_way());
  b.does(exceeds(pressure_difference::a_exceeds), exceeds(pressure_difference::b_exceeds));
  EXPECT_EQ(mode(b), unit_mode::standby);
}

RULE_TEST(TransferTest, RunsOnlyInTheDirectionOfAOneWayUnit, "PTU-9 PTU-5") {
  bench with = under_test(one_way());
  EXPECT_EQ(result_of(with), test_outcome::pending);
  bench against{one_way()};
  full_start(against, 1);
  against.does(events::start(0));
  EXPECT_EQ(result_of(against), test_outcome::not_run);
  EXPECT_EQ(why(against), test_reason::wrong_direction);
  EXPECT_FALSE(transfers(against));
}

// ---- PTU-10

RULE_TEST(TransferUnit, TakesAllEnginesWhenFewerThanTwoFeedItsCircuits, "PTU-10") {
  layout_spec spec = two_engine_spec();
  spec.engine_pumps[1].circuit = "centre";
  bench b = under_test(spec);
  EXPECT_EQ(result_of(b), test_outcome::pending) << "engine 2 counts though its pump feeds neither circuit";
  EXPECT_EQ(mode(b), unit_mode::a_drives_b);
}

RULE_TEST(TransferUnit, IsNotConcernedByEnginesOfOtherCircuits, "PTU-10 PTU-2") {
  bench b{four_engine_spec()};
  full_start(b, 2);
  EXPECT_EQ(reason(b, 0), unit_inhibition::none);
  EXPECT_EQ(reason(b, 1), unit_inhibition::single_engine);
}

// ---- PTU-11

RULE_TEST(TransferUnit, DoesNotDriveFromPressureThatAnotherUnitSupplies, "PTU-11") {
  layout_spec spec = four_engine_spec();
  spec.transfer_units[1].a = "circuit-2";
  spec.transfer_units[1].b = "circuit-3";
  spec.transfer_units[0].scope = inhibit_scope::never;
  spec.transfer_units[1].scope = inhibit_scope::never;
  bench b{spec};
  b.does(electric_switch(1, pump_switch::off));  // the first-engine pump, which would feed circuit-3
  full_start(b, 0);
  b.pressures_follow();
  ASSERT_EQ(mode(b, 0), unit_mode::a_drives_b);
  ASSERT_TRUE(b.sees().circuits[1].pressure_made);
  EXPECT_FALSE(transfers(b, 1));
  b.does(exceeds(pressure_difference::a_exceeds, 1));
  EXPECT_FALSE(transfers(b, 1)) << "circuit-2 has no pressure of its own";
  EXPECT_FALSE(b.sees().circuits[2].driven);
}

// ---- PTU-12

RULE_TEST(TransferUnit, GivesTheFirstReasonAndListsThemAll, "PTU-12") {
  bench b = powered_twin();
  full_start(b, 1);
  b.does(events::lever(forward_door, lever_position::open)).pressures_follow();
  ASSERT_EQ(b.sees().circuits[port].service, service_mode::service);
  b.does(events::level(port, fluid_level::low), unit_switch(false));
  EXPECT_EQ(reason(b), unit_inhibition::switched_off);
  for (const auto one : {unit_inhibition::switched_off, unit_inhibition::low_level, unit_inhibition::service,
                         unit_inhibition::single_engine}) {
    EXPECT_TRUE(lists(b, one)) << word(one);
  }
  EXPECT_FALSE(lists(b, unit_inhibition::low_air));
  b.does(unit_switch(true));
  EXPECT_EQ(reason(b), unit_inhibition::low_level);
  b.does(events::level(port, fluid_level::normal));
  EXPECT_EQ(reason(b), unit_inhibition::service);
  b.does(events::lever(forward_door, lever_position::neutral));
  EXPECT_EQ(reason(b), unit_inhibition::service) << "hold-off";
  b.wait(40s);
  EXPECT_EQ(reason(b), unit_inhibition::single_engine);
  EXPECT_EQ(b.sees().units[unit].reasons, 1U << static_cast<unsigned>(unit_inhibition::single_engine));
  b.does(events::parking_brake(false));
  EXPECT_EQ(reason(b), unit_inhibition::none);
  EXPECT_EQ(b.sees().units[unit].reasons, 0U);
}

// ---- PTU-13

RULE_TEST(TransferTest, IsNotRunInFlightAndTheRecordStands, "PTU-13") {
  bench b = under_test();
  b.does(events::pressure(starboard, true)).wait(2s);
  ASSERT_EQ(result_of(b), test_outcome::passed);
  for (const spool_band band : {spool_band::turning, spool_band::driving, spool_band::near_idle, spool_band::idle}) {
    b.does(events::spool(1, band));
  }
  b.does(events::starter_out(1), events::parking_brake(false)).pressures_follow();
  take_off(b);
  full_stop(b, 1);
  b.does(events::start(1));
  EXPECT_EQ(result_of(b), test_outcome::passed);
  EXPECT_EQ(b.level_of(condition::transfer_test, events::unit(unit)), alert_class::none);
}

layout_spec three_engines_on_one_unit() {
  layout_spec spec = four_engine_spec();
  spec.engine_pumps[2].circuit = "circuit-1";
  return spec;
}

RULE_TEST(TransferTest, IsNotRunForAThirdEngine, "PTU-13") {
  bench b{three_engines_on_one_unit()};
  full_start(b, 0);
  b.does(events::start(1));
  ASSERT_EQ(result_of(b), test_outcome::pending);
  b.does(events::pressure(1, true)).wait(2s);
  ASSERT_EQ(result_of(b), test_outcome::passed);
  for (const spool_band band : {spool_band::turning, spool_band::driving, spool_band::near_idle, spool_band::idle}) {
    b.does(events::spool(1, band)).pressures_follow();
  }
  b.does(events::starter_out(1), engine_pump_switch(1, false)).pressures_follow();
  b.does(events::start(2));
  EXPECT_EQ(result_of(b), test_outcome::passed);
  EXPECT_EQ(b.level_of(condition::transfer_test, events::unit(unit)), alert_class::none);
}

RULE_TEST(TransferTest, IsNotBegunAgainWhileOneIsActive, "PTU-13") {
  bench b{three_engines_on_one_unit()};
  full_start(b, 0);
  b.does(events::start(1)).wait(4s).does(events::start(2)).wait(1999ms);
  EXPECT_EQ(result_of(b), test_outcome::pending);
  b.wait(1ms);
  EXPECT_EQ(result_of(b), test_outcome::failed) << "the time of the first test goes on";
}

// ---- PTU-14

RULE_TEST(TransferTest, FailedCautionEndsAtANewTest, "PTU-14") {
  bench b = under_test();
  b.wait(6s).does(events::abort_start(1));
  EXPECT_EQ(b.level_of(condition::transfer_failed, events::unit(unit)), alert_class::caution);
  b.does(events::start(1));
  EXPECT_EQ(b.level_of(condition::transfer_failed, events::unit(unit)), alert_class::none);
}

RULE_TEST(TransferTest, FailedCautionEndsWhenTheUnitIsSwitchedOff, "PTU-14") {
  bench b = under_test();
  b.wait(6s).does(unit_switch(false));
  EXPECT_EQ(b.level_of(condition::transfer_failed, events::unit(unit)), alert_class::none);
  EXPECT_EQ(result_of(b), test_outcome::failed) << "the record stands";
  b.does(unit_switch(true));
  EXPECT_EQ(b.level_of(condition::transfer_failed, events::unit(unit)), alert_class::none);
}

RULE_TEST(TransferTest, FailedCautionStaysThroughTheCompleteStart, "PTU-14") {
  bench b = under_test();
  b.wait(6s);
  for (const spool_band band : {spool_band::turning, spool_band::driving, spool_band::near_idle, spool_band::idle}) {
    b.does(events::spool(1, band)).pressures_follow();
  }
  b.does(events::starter_out(1)).wait(10min);
  EXPECT_EQ(b.level_of(condition::transfer_failed, events::unit(unit)), alert_class::caution);
}

// ---- PTU-15 (optional)

RULE_TEST(TransferUnit, OverspeedIsACautionAndInhibits, "PTU-15") {
  layout_spec spec = two_engine_spec();
  spec.transfer_units[0].stops_on_overspeed = true;
  bench b = both_engines(spec);
  b.does(exceeds(pressure_difference::a_exceeds), events::overspeed(unit, true));
  EXPECT_EQ(mode(b), unit_mode::inhibited);
  EXPECT_EQ(reason(b), unit_inhibition::overspeed);
  EXPECT_EQ(b.level_of(condition::transfer_overspeed, events::unit(unit)), alert_class::caution);
}

layout_spec with_maintenance_test() {
  layout_spec spec = two_engine_spec();
  spec.transfer_units[0].maintenance_test = true;
  return spec;
}

RULE_TEST(TransferTest, MaintenanceRunsItWithoutEngines, "PTU-15") {
  bench b{with_maintenance_test()};
  b.does(events::external_power(true), electric_switch(cargo_pump_number, pump_switch::on));
  b.does(events::pressure(port, true), events::priority(port, true), exceeds(pressure_difference::a_exceeds));
  b.does(events::maintenance_test(unit));
  EXPECT_EQ(result_of(b), test_outcome::pending);
  EXPECT_EQ(mode(b), unit_mode::a_drives_b);
  EXPECT_EQ(b.level_of(condition::transfer_test, events::unit(unit)), alert_class::advisory);
  b.does(events::pressure(starboard, true)).wait(2s);
  EXPECT_EQ(result_of(b), test_outcome::passed);
}

RULE_TEST(TransferTest, MaintenanceMayFailToo, "PTU-15 PTU-5") {
  bench b{with_maintenance_test()};
  b.does(events::external_power(true), electric_switch(cargo_pump_number, pump_switch::on));
  b.does(events::pressure(port, true), events::maintenance_test(unit)).wait(6s);
  EXPECT_EQ(result_of(b), test_outcome::failed);
  EXPECT_EQ(b.level_of(condition::transfer_failed, events::unit(unit)), alert_class::caution);
}

RULE_TEST(TransferTest, MaintenanceIsRefusedWithAnEngineRunning, "PTU-15 GEN-2") {
  bench b{with_maintenance_test()};
  b.does(events::external_power(true));
  full_start(b, 0);
  b.refused_by(events::maintenance_test(unit), "PTU-15");
}

RULE_TEST(TransferTest, MaintenanceIsRefusedInFlight, "PTU-15 GEN-2") {
  bench b{with_maintenance_test()};
  take_off(b);
  b.refused_by(events::maintenance_test(unit), "PTU-15");
}

RULE_TEST(TransferTest, MaintenanceIsRejectedWhereItIsNotFitted, "PTU-15 GEN-2") {
  bench b = powered_twin();
  b.rejects(events::maintenance_test(unit), refusal_kind::not_fitted);
}

// Was: with no confirmation time the test was left holding until the next event.
RULE_TEST(TransferTest, IsDecidedAtOnceWithoutAConfirmationTime, "PTU-5 GEN-1") {
  auto spec = two_engine_spec();
  spec.transfer_units[0].test_confirmation = milliseconds{0};
  bench b{spec};
  full_start(b, 0);
  b.does(events::pressure(1, true));
  b.does(events::start(1));
  EXPECT_EQ(b.sees().units[0].outcome, test_outcome::passed);
}

}  // namespace
}  // namespace penstock_tests
