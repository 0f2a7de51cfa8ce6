// The rules of the chapter "Electric pump with cargo duty", seen from outside. Numbers are invented.
#include "support/bench.hpp"
#include "support/rule_test.hpp"

namespace penstock_tests {
namespace {

const subject pump = events::electric_pump(cargo_pump);

bool delivers(const bench& b) { return b.sees().electric_pumps[cargo_pump].delivering; }
electric_pump_reason reason(const bench& b) { return b.sees().electric_pumps[cargo_pump].reason; }
demand_mode demand(const bench& b) { return b.sees().electric_pumps[cargo_pump].demand; }
door_mode door(const bench& b, unsigned d = forward_door) { return b.sees().doors[d].mode; }
service_mode service(const bench& b) { return b.sees().circuits[cargo_circuit].service; }
circuit_status status(const bench& b) { return b.sees().circuits[cargo_circuit].status; }
unit_inhibition inhibition(const bench& b) { return b.sees().units[0].reason; }
bool available(const bench& b, unsigned consumer) { return b.sees().consumers[consumer].available; }

/// Lever of the forward door to open on external power, nothing else; the pressure is up.
bench opening(layout_spec spec = two_engine_spec()) {
  bench b{std::move(spec)};
  b.does(events::external_power(true), events::lever(forward_door, lever_position::open),
         events::travel(forward_door, door_travel::between), events::pressure(cargo_circuit, true),
         events::priority(cargo_circuit, true));
  return b;
}
/// The same, with the lever back in neutral and the pressure gone: the hold-off has just begun.
bench hold_off(layout_spec spec = two_engine_spec()) {
  bench b = opening(std::move(spec));
  b.does(events::lever(forward_door, lever_position::neutral), events::pressure(cargo_circuit, false),
         events::priority(cargo_circuit, false));
  return b;
}

// CGO-1

RULE_TEST(CargoDoor, AsksWhenItsLeverLeavesNeutral, "CGO-1") {
  bench b = powered_twin();
  b.does(events::lever(forward_door, lever_position::open));
  EXPECT_EQ(door(b), door_mode::asking);
}
RULE_TEST(CargoPump, RunsAtOnceForAnAskingDoor, "CGO-1") {
  bench b = powered_twin();
  b.does(events::lever(forward_door, lever_position::open));
  EXPECT_TRUE(delivers(b));
  EXPECT_EQ(reason(b), electric_pump_reason::delivering);
  EXPECT_EQ(demand(b), demand_mode::door);
}
RULE_TEST(CargoPump, StandsWhileNoDoorAsks, "CGO-1") {
  bench b = powered_twin();
  b.wait(1h);
  EXPECT_FALSE(delivers(b));
  EXPECT_EQ(reason(b), electric_pump_reason::not_wanted);
}
RULE_TEST(CargoDoor, DoesNotAskToCloseWhenItIsClosed, "CGO-1") {
  bench b = powered_twin();
  b.does(events::lever(forward_door, lever_position::close));
  EXPECT_EQ(door(b), door_mode::at_end);
  EXPECT_FALSE(delivers(b));
}
RULE_TEST(CargoDoor, DoesNotAskToOpenWhenItIsOpen, "CGO-1") {
  bench b = powered_twin();
  b.does(events::travel(forward_door, door_travel::open), events::lever(forward_door, lever_position::open));
  EXPECT_EQ(door(b), door_mode::at_end);
  EXPECT_FALSE(delivers(b));
}
RULE_TEST(CargoDoor, AsksToCloseWhenItIsOpen, "CGO-1") {
  bench b = powered_twin();
  b.does(events::travel(forward_door, door_travel::open), events::lever(forward_door, lever_position::close));
  EXPECT_EQ(door(b), door_mode::asking);
  EXPECT_TRUE(delivers(b));
}
RULE_TEST(CargoDoor, AsksInBothDirectionsFromTheMiddle, "CGO-1") {
  for (const lever_position to : {lever_position::open, lever_position::close}) {
    bench b = powered_twin();
    b.does(events::travel(forward_door, door_travel::between), events::lever(forward_door, to));
    EXPECT_EQ(door(b), door_mode::asking) << word(to);
  }
}
RULE_TEST(CargoDoor, AsksAgainWhenItLeavesTheEndOfTravelWithTheLeverOut, "CGO-1 GEN-1") {
  bench b = opening();
  b.does(events::travel(forward_door, door_travel::open), events::travel(forward_door, door_travel::between));
  EXPECT_EQ(door(b), door_mode::asking);
  EXPECT_TRUE(delivers(b));
}
RULE_TEST(CargoPump, DoorOfAnotherCircuitIsNoneOfItsBusiness, "CGO-1") {
  bench b{four_engine_spec()};
  b.does(events::external_power(true), events::lever(forward_door, lever_position::open));
  EXPECT_TRUE(b.sees().electric_pumps[cargo_pump].delivering);
  EXPECT_FALSE(b.sees().electric_pumps[duty_pump].delivering);
  EXPECT_FALSE(b.sees().electric_pumps[plain_pump].delivering);
}

// CGO-2

RULE_TEST(CargoDoor, AsksNoMoreWhenItIsOpen, "CGO-2") {
  bench b = opening();
  b.does(events::travel(forward_door, door_travel::open));
  EXPECT_EQ(door(b), door_mode::at_end);
}
RULE_TEST(CargoDoor, AsksNoMoreWhenItIsClosed, "CGO-2") {
  bench b = powered_twin();
  b.does(events::travel(forward_door, door_travel::between), events::lever(forward_door, lever_position::close),
         events::travel(forward_door, door_travel::closed));
  EXPECT_EQ(door(b), door_mode::at_end);
  EXPECT_FALSE(delivers(b));
}
RULE_TEST(CargoPump, StopsAtTheEndOfTravel, "CGO-2") {
  bench b = opening();
  b.does(events::travel(forward_door, door_travel::open));
  EXPECT_FALSE(delivers(b));
  EXPECT_EQ(reason(b), electric_pump_reason::not_wanted);
}
RULE_TEST(CargoPump, LeavesItsCircuitOffOnceThePressureHasDecayed, "CGO-2 CIR-1") {
  bench b = opening();
  b.does(events::travel(forward_door, door_travel::open), events::pressure(cargo_circuit, false));
  EXPECT_EQ(status(b), circuit_status::off);
  EXPECT_FALSE(b.sees().circuits[cargo_circuit].own_source);
}
RULE_TEST(CargoDoor, EndOfTheOtherDirectionDoesNotStopIt, "CGO-2 CGO-1") {
  bench b = powered_twin();
  b.does(events::lever(forward_door, lever_position::open), events::travel(forward_door, door_travel::closed));
  EXPECT_EQ(door(b), door_mode::asking);
}

// CGO-3

RULE_TEST(CargoDoor, NeutralInMidTravelEndsTheRequest, "CGO-3") {
  bench b = opening();
  b.does(events::lever(forward_door, lever_position::neutral));
  EXPECT_EQ(door(b), door_mode::idle);
  EXPECT_FALSE(delivers(b));
}
RULE_TEST(CargoDoor, HoldsWhereItIsAfterNeutral, "CGO-3") {
  bench b = hold_off();
  b.wait(1h);
  EXPECT_EQ(b.sees().doors[forward_door].travel, door_travel::between);
  EXPECT_FALSE(b.sees().doors[forward_door].can_move);
}

// CGO-4

RULE_TEST(CargoPump, RunsUntilTheLastDoorAsksNoMore, "CGO-4") {
  bench b = opening();
  b.does(events::lever(aft_door, lever_position::open), events::travel(aft_door, door_travel::between));
  b.does(events::travel(forward_door, door_travel::open));
  EXPECT_TRUE(delivers(b)) << "one door still asks";
  EXPECT_EQ(service(b), service_mode::service);
  b.does(events::lever(aft_door, lever_position::neutral));
  EXPECT_FALSE(delivers(b)) << "no door asks";
}
RULE_TEST(CargoPump, DoorsAskingInOppositeDirectionsShareThePump, "CGO-4") {
  bench b = opening();
  b.does(events::travel(aft_door, door_travel::open), events::lever(aft_door, lever_position::close));
  EXPECT_EQ(door(b, forward_door), door_mode::asking);
  EXPECT_EQ(door(b, aft_door), door_mode::asking);
  EXPECT_TRUE(delivers(b));
}

// CGO-5

RULE_TEST(ServiceMode, BeginsWhenThePumpRunsForADoor, "CGO-5") {
  bench b = powered_twin();
  EXPECT_EQ(service(b), service_mode::none);
  b.does(events::lever(forward_door, lever_position::open));
  EXPECT_EQ(service(b), service_mode::service);
}
RULE_TEST(ServiceMode, GivesTheServiceBranchPressure, "CGO-5 CON-2") {
  const bench b = opening();
  EXPECT_TRUE(available(b, forward_door_drive));
  EXPECT_TRUE(available(b, brakes));
  EXPECT_TRUE(available(b, parking_brake));
  EXPECT_TRUE(available(b, reverser_1));
}
RULE_TEST(ServiceMode, IsolatesEverythingElse, "CGO-5 CON-2") {
  const bench b = opening();
  EXPECT_FALSE(available(b, gear));
  EXPECT_EQ(b.sees().consumers[gear].reason, consumer_reason::isolated);
  EXPECT_FALSE(available(b, controls));
  EXPECT_FALSE(available(b, reverser_2));
}
RULE_TEST(ServiceMode, DoesNotReachOtherCircuits, "CGO-5") {
  const bench b = opening();
  for (const unsigned c : {plain_circuit, auxiliary_circuit}) {
    EXPECT_EQ(b.sees().circuits[c].service, service_mode::none) << c;
    EXPECT_EQ(b.sees().circuits[c].status, circuit_status::off) << c;
  }
}
RULE_TEST(ServiceMode, LeavesOnlyStoredEnergyWhenThePumpStops, "CGO-5 CON-3") {
  bench b = opening();
  const auto before = b.sees().stored[0];
  EXPECT_GT(before, 0) << "charged when cold and dark";
  b.does(events::lever(forward_door, lever_position::neutral), events::pressure(cargo_circuit, false));
  EXPECT_FALSE(available(b, brakes));
  EXPECT_FALSE(available(b, forward_door_drive));
  EXPECT_FALSE(available(b, reverser_1));
  EXPECT_TRUE(available(b, parking_brake));
  EXPECT_EQ(b.sees().stored[0], before);
}
RULE_TEST(ServiceMode, NeedsThePumpToRun, "CGO-5 CGO-14") {
  bench b = opening();
  b.does(events::overheat(pump, true));
  EXPECT_NE(service(b), service_mode::service);
}
RULE_TEST(ServiceMode, LastsOnlyAsLongAsADoorAsks, "CGO-5") {
  bench b = opening();
  b.does(events::travel(forward_door, door_travel::open));
  EXPECT_NE(service(b), service_mode::service);
}
RULE_TEST(CargoDoor, CanMoveInServiceMode, "CGO-5") { EXPECT_TRUE(opening().sees().doors[forward_door].can_move); }

// CGO-6

RULE_TEST(ServiceMode, ReportsPartialAtFullPressure, "CGO-6 CIR-1") {
  // Facts of the trade (common practice): door mode shows full pressure and yet a partial circuit.
  const bench b = opening();
  EXPECT_TRUE(b.sees().circuits[cargo_circuit].pressure_made);
  EXPECT_EQ(status(b), circuit_status::partial);
}
RULE_TEST(ServiceMode, ReportsLowWithoutPressure, "CGO-6 CIR-1") {
  bench b = powered_twin();
  b.does(events::lever(forward_door, lever_position::open));
  EXPECT_EQ(status(b), circuit_status::low);
}
RULE_TEST(ServiceMode, IsNeverNormalAsPressureComesAndGoes, "CGO-6") {
  bench b = opening();
  for (const bool made : {false, true, false, true}) {
    b.does(events::pressure(cargo_circuit, made)).wait(1s);
    EXPECT_EQ(status(b), made ? circuit_status::partial : circuit_status::low);
  }
}
RULE_TEST(CargoCircuit, IsOffWithThePumpsOffAndThePressureDecayed, "CGO-6 CIR-1") {
  // Facts of the trade (common practice): no pressure with the pumps off, once decayed.
  EXPECT_EQ(status(powered_twin()), circuit_status::off);
}

// CGO-7

RULE_TEST(ServiceMode, InhibitsTheTransferUnit, "CGO-7") {
  const bench b = opening();
  EXPECT_EQ(b.sees().units[0].mode, unit_mode::inhibited);
  EXPECT_EQ(inhibition(b), unit_inhibition::service);
}
RULE_TEST(ServiceMode, LeavesUnitsOfOtherCircuitsAlone, "CGO-7") {
  bench b{four_engine_spec()};
  b.does(events::external_power(true), events::lever(forward_door, lever_position::open));
  EXPECT_EQ(b.sees().units[0].reason, unit_inhibition::service);
  EXPECT_EQ(b.sees().units[1].reason, unit_inhibition::none);
}
RULE_TEST(ServiceMode, KeepsTheUnitInhibitedForTheWholeHoldOff, "CGO-7 GEN-3") {
  bench b = hold_off();
  EXPECT_EQ(service(b), service_mode::hold_off);
  b.wait(39'999ms);
  EXPECT_EQ(inhibition(b), unit_inhibition::service) << "one millisecond before";
  b.wait(1ms);
  EXPECT_EQ(inhibition(b), unit_inhibition::none) << "exactly at the limit";
  EXPECT_EQ(b.sees().units[0].mode, unit_mode::standby);
  EXPECT_EQ(service(b), service_mode::none);
}
RULE_TEST(ServiceMode, HoldOffIsTheNextDeadline, "CGO-7") {
  bench b = hold_off();
  b.wait(15s);
  EXPECT_EQ(b.deadline(), 25'000U);
}
RULE_TEST(ServiceMode, HoldOffHasTheTimeOfTheLayout, "CGO-7") {
  layout_spec spec = two_engine_spec();
  spec.circuits[cargo_circuit].service_hold_off = 7s;
  bench b = hold_off(spec);
  b.wait(6'999ms);
  EXPECT_EQ(service(b), service_mode::hold_off);
  b.wait(1ms);
  EXPECT_EQ(service(b), service_mode::none);
}
RULE_TEST(ServiceMode, HoldOffIsFollowedByAWholeOneAfterANewServiceMode, "CGO-7") {
  bench b = hold_off();
  b.wait(30s).does(events::lever(forward_door, lever_position::open));
  EXPECT_EQ(service(b), service_mode::service) << "a new service mode cancels the hold-off";
  b.does(events::lever(forward_door, lever_position::neutral)).wait(39'999ms);
  EXPECT_EQ(service(b), service_mode::hold_off);
  b.wait(1ms);
  EXPECT_EQ(service(b), service_mode::none);
}
RULE_TEST(ServiceMode, HoldOffIsCancelledByTheCrewSwitch, "CGO-7 CGO-8") {
  bench b = hold_off();
  b.wait(1s).does(events::crew_switch(pump, pump_switch::on));
  EXPECT_EQ(service(b), service_mode::none);
  EXPECT_EQ(inhibition(b), unit_inhibition::none);
}
RULE_TEST(ServiceMode, HoldOffIsCancelledByLiftOff, "CGO-7 CGO-13") {
  bench b = hold_off();
  b.wait(1s);
  take_off(b);
  EXPECT_EQ(service(b), service_mode::none);
  EXPECT_NE(inhibition(b), unit_inhibition::service);
}
RULE_TEST(ServiceMode, HoldOffFollowsALossOfPowerToo, "CGO-7 CGO-9") {
  bench b = opening();
  b.does(events::external_power(false));
  EXPECT_EQ(service(b), service_mode::hold_off);
}
RULE_TEST(ServiceMode, HoldOffDoesNotIsolateTheCircuit, "CGO-7 CGO-5") {
  bench b = hold_off();
  b.does(events::spool(0, spool_band::driving), events::pressure(cargo_circuit, true),
         events::priority(cargo_circuit, true));
  EXPECT_EQ(service(b), service_mode::hold_off);
  EXPECT_EQ(status(b), circuit_status::normal);
  EXPECT_TRUE(available(b, gear));
}

// CGO-8

RULE_TEST(CargoPump, CrewSwitchRunsItForTheWholeCircuit, "CGO-8") {
  bench b = powered_twin();
  b.does(events::crew_switch(pump, pump_switch::on), events::pressure(cargo_circuit, true),
         events::priority(cargo_circuit, true));
  EXPECT_TRUE(delivers(b));
  EXPECT_EQ(demand(b), demand_mode::crew);
  EXPECT_EQ(service(b), service_mode::none);
  EXPECT_EQ(status(b), circuit_status::normal);
  EXPECT_TRUE(available(b, gear));
}
RULE_TEST(CargoPump, CrewSwitchWinsOverADoor, "CGO-8") {
  bench b = opening();
  b.does(events::crew_switch(pump, pump_switch::on));
  EXPECT_TRUE(delivers(b));
  EXPECT_EQ(demand(b), demand_mode::crew);
  EXPECT_EQ(service(b), service_mode::none);
  EXPECT_EQ(status(b), circuit_status::normal);
}
RULE_TEST(CargoPump, CrewSwitchReleasesTheTransferUnitAtOnce, "CGO-8 CGO-7") {
  bench b = opening();
  b.does(events::crew_switch(pump, pump_switch::on));
  EXPECT_EQ(inhibition(b), unit_inhibition::none);
}
RULE_TEST(CargoPump, BackToAutomaticWithADoorAskingIsServiceModeAgain, "CGO-8 CGO-5") {
  bench b = opening();
  b.does(events::crew_switch(pump, pump_switch::on), events::crew_switch(pump, pump_switch::automatic));
  EXPECT_TRUE(delivers(b));
  EXPECT_EQ(demand(b), demand_mode::door);
  EXPECT_EQ(service(b), service_mode::service);
  EXPECT_EQ(status(b), circuit_status::partial);
}
RULE_TEST(CargoPump, BackToAutomaticWithoutADoorStopsIt, "CGO-8") {
  bench b = powered_twin();
  b.does(events::crew_switch(pump, pump_switch::on), events::crew_switch(pump, pump_switch::automatic));
  EXPECT_FALSE(delivers(b));
  EXPECT_EQ(reason(b), electric_pump_reason::not_wanted);
  EXPECT_EQ(service(b), service_mode::none);
}
RULE_TEST(CargoPump, CrewSwitchRunsOnWhenTheDoorReachesItsEnd, "CGO-8") {
  bench b = opening();
  b.does(events::crew_switch(pump, pump_switch::on), events::travel(forward_door, door_travel::open));
  EXPECT_TRUE(delivers(b));
}
RULE_TEST(CargoPump, EndOfServiceModeNeverMovesTheSwitch, "CGO-8") {
  bench b = hold_off();
  b.wait(1h);
  EXPECT_EQ(b.sees().electric_pumps[cargo_pump].switched, pump_switch::automatic);
}
RULE_TEST(CargoPump, SwitchOffStopsItAndLeversAskForNothing, "CGO-8") {
  bench b = opening();
  b.does(events::crew_switch(pump, pump_switch::off));
  EXPECT_FALSE(delivers(b));
  EXPECT_EQ(reason(b), electric_pump_reason::off);
  EXPECT_EQ(door(b), door_mode::blocked);
  EXPECT_NE(service(b), service_mode::service);
}
RULE_TEST(CargoPump, LeverMovedWithTheSwitchOffAsksForNothing, "CGO-8") {
  bench b = powered_twin();
  b.does(events::crew_switch(pump, pump_switch::off), events::lever(forward_door, lever_position::open));
  EXPECT_FALSE(delivers(b));
  EXPECT_EQ(door(b), door_mode::blocked);
}
RULE_TEST(CargoPump, SwitchFromOffToAutomaticLetsTheLeverAsk, "CGO-8 GEN-1") {
  bench b = powered_twin();
  b.does(events::crew_switch(pump, pump_switch::off), events::lever(forward_door, lever_position::open),
         events::crew_switch(pump, pump_switch::automatic));
  EXPECT_EQ(door(b), door_mode::asking);
  EXPECT_EQ(service(b), service_mode::service);
}
RULE_TEST(CargoPump, CrewSwitchRunsItInFlightToo, "CGO-8") {
  bench b = powered_twin();
  b.does(events::auxiliary_power(true), events::crew_switch(pump, pump_switch::on));
  take_off(b);
  EXPECT_TRUE(delivers(b));
}

// CGO-9

RULE_TEST(CargoDoor, AsksForNothingWithoutPower, "CGO-9") {
  bench b = twin();
  b.does(events::lever(forward_door, lever_position::open));
  EXPECT_EQ(door(b), door_mode::blocked);
  EXPECT_FALSE(delivers(b));
  EXPECT_EQ(reason(b), electric_pump_reason::no_power);
}
RULE_TEST(CargoDoor, AsksForNothingInFlight, "CGO-9") {
  bench b = powered_twin();
  b.does(events::auxiliary_power(true));
  take_off(b);
  b.does(events::lever(forward_door, lever_position::open));
  EXPECT_EQ(door(b), door_mode::blocked);
  EXPECT_FALSE(delivers(b));
  EXPECT_EQ(reason(b), electric_pump_reason::not_wanted);
}
RULE_TEST(CargoDoor, AsksAtOnceWhenPowerComesWithTheLeverOut, "CGO-9 GEN-1") {
  bench b = twin();
  b.does(events::lever(forward_door, lever_position::open), events::external_power(true));
  EXPECT_EQ(door(b), door_mode::asking);
  EXPECT_TRUE(delivers(b));
  EXPECT_EQ(service(b), service_mode::service);
}
RULE_TEST(CargoDoor, StopsAtAPowerLossAndGoesOnWhenPowerReturns, "CGO-9 GEN-1") {
  bench b = opening();
  b.does(events::external_power(false));
  EXPECT_EQ(door(b), door_mode::blocked);
  EXPECT_FALSE(delivers(b));
  b.wait(5s).does(events::external_power(true));
  EXPECT_EQ(door(b), door_mode::asking);
  EXPECT_EQ(service(b), service_mode::service);
}
RULE_TEST(CargoDoor, AsksAtOnceOnTheGroundAgainWithTheLeverOut, "CGO-9 GEN-1") {
  bench b = powered_twin();
  b.does(events::auxiliary_power(true));
  take_off(b);
  b.does(events::lever(forward_door, lever_position::open));
  touch_down(b);
  EXPECT_EQ(door(b), door_mode::asking);
  EXPECT_TRUE(delivers(b));
}
RULE_TEST(CargoDoor, DoesNotAskWhenPowerReturnsWithTheLeverInNeutral, "CGO-9") {
  bench b = opening();
  b.does(events::external_power(false), events::lever(forward_door, lever_position::neutral),
         events::external_power(true));
  EXPECT_EQ(door(b), door_mode::idle);
  EXPECT_FALSE(delivers(b));
}
RULE_TEST(CargoDoor, LossOfTheOtherBusDoesNotStopIt, "CGO-9") {
  bench b = opening();
  b.does(events::inject(fault::bus_lost, events::bus(1)));
  EXPECT_EQ(door(b), door_mode::asking);
  EXPECT_TRUE(delivers(b));
}

// CGO-10

RULE_TEST(RunLimit, EndsTheRequestExactlyAtTheLimit, "CGO-10 GEN-3") {
  bench b = opening();
  b.wait(89'999ms);
  EXPECT_EQ(door(b), door_mode::asking) << "one millisecond before";
  b.wait(1ms);
  EXPECT_EQ(door(b), door_mode::timed_out) << "exactly at the limit";
  EXPECT_FALSE(delivers(b));
}
RULE_TEST(RunLimit, GivesAnAdvisory, "CGO-10") {
  bench b = opening();
  b.wait(89'999ms);
  EXPECT_EQ(b.level_of(condition::run_limit, events::door(forward_door)), alert_class::none);
  b.wait(1ms);
  EXPECT_EQ(b.level_of(condition::run_limit, events::door(forward_door)), alert_class::advisory);
}
RULE_TEST(RunLimit, IsTheNextDeadline, "CGO-10") {
  bench b = opening();
  b.wait(60s);
  EXPECT_EQ(b.deadline(), 30'000U);
}
RULE_TEST(RunLimit, IsClearedByNeutral, "CGO-10") {
  bench b = opening();
  b.wait(89'999ms).does(events::lever(forward_door, lever_position::neutral),
                        events::lever(forward_door, lever_position::open));
  b.wait(89'999ms);
  EXPECT_EQ(door(b), door_mode::asking);
  b.wait(1ms);
  EXPECT_EQ(door(b), door_mode::timed_out);
}
RULE_TEST(RunLimit, NeutralEndsTheAdvisoryAndLetsTheDoorAskAgain, "CGO-10 ALR-3") {
  bench b = opening();
  b.wait(90s).does(events::lever(forward_door, lever_position::neutral));
  EXPECT_EQ(door(b), door_mode::idle);
  EXPECT_EQ(b.level_of(condition::run_limit, events::door(forward_door)), alert_class::none);
  b.does(events::lever(forward_door, lever_position::open));
  EXPECT_EQ(door(b), door_mode::asking);
}
RULE_TEST(RunLimit, ReturnOfPowerDoesNotLiftIt, "CGO-10") {
  bench b = opening();
  b.wait(90s).does(events::external_power(false), events::external_power(true));
  EXPECT_NE(door(b), door_mode::asking);
  EXPECT_FALSE(delivers(b));
}
RULE_TEST(RunLimit, KeepsItsCountThroughAPowerLossWithoutCountingOn, "CGO-10 CGO-9") {
  bench b = opening();
  b.wait(50s).does(events::external_power(false)).wait(100s).does(events::external_power(true));
  b.wait(39'999ms);
  EXPECT_EQ(door(b), door_mode::asking);
  b.wait(1ms);
  EXPECT_EQ(door(b), door_mode::timed_out);
}
RULE_TEST(RunLimit, CountsAtTheEndOfTravelWhileTheLeverIsOut, "CGO-10") {
  bench b = opening();
  b.wait(50s).does(events::travel(forward_door, door_travel::open)).wait(39'999ms);
  EXPECT_EQ(b.level_of(condition::run_limit, events::door(forward_door)), alert_class::none);
  b.wait(1ms);
  EXPECT_EQ(b.level_of(condition::run_limit, events::door(forward_door)), alert_class::advisory);
}
RULE_TEST(RunLimit, DoesNotCountWhileTheCrewRunsThePump, "CGO-10") {
  bench b = opening();
  b.does(events::crew_switch(pump, pump_switch::on)).wait(1h);
  EXPECT_EQ(door(b), door_mode::asking);
}
RULE_TEST(RunLimit, DoesNotCountWhileAnotherSourceDelivers, "CGO-10 CGO-12") {
  bench b = powered_twin();
  b.does(events::spool(0, spool_band::driving), events::lever(forward_door, lever_position::open)).wait(1h);
  EXPECT_EQ(door(b), door_mode::asking);
}
RULE_TEST(RunLimit, OfOneDoorLeavesTheOtherAsking, "CGO-10 CGO-4") {
  bench b = opening();
  b.wait(30s).does(events::lever(aft_door, lever_position::open)).wait(60s);
  EXPECT_EQ(door(b, forward_door), door_mode::timed_out);
  EXPECT_EQ(door(b, aft_door), door_mode::asking);
  EXPECT_TRUE(delivers(b));
}
RULE_TEST(RunLimit, IsSetForEachDoor, "CGO-10") {
  layout_spec spec = two_engine_spec();
  spec.cargo_doors[forward_door].run_limit = 10s;
  bench b = opening(spec);
  b.does(events::lever(aft_door, lever_position::open)).wait(10s);
  EXPECT_EQ(door(b, forward_door), door_mode::timed_out);
  EXPECT_EQ(door(b, aft_door), door_mode::asking);
}
RULE_TEST(RunLimit, StartsTheHoldOffInTheSameSpanOfTime, "CGO-10 CGO-7 GEN-3") {
  bench b = opening();
  b.wait(129'999ms);
  EXPECT_EQ(service(b), service_mode::hold_off);
  b.wait(1ms);
  EXPECT_EQ(service(b), service_mode::none);
}

// CGO-11

layout_spec with_hand_pump() {
  layout_spec spec = two_engine_spec();
  spec.circuits[cargo_circuit].hand_pump = true;
  return spec;
}
bench pumping_by_hand() {
  bench b{with_hand_pump()};
  b.does(events::lever(forward_door, lever_position::open), events::hand_pump(cargo_circuit, true));
  return b;
}

RULE_TEST(HandPump, MovesADoorWithoutPower, "CGO-11") {
  bench b{with_hand_pump()};
  b.does(events::lever(forward_door, lever_position::open));
  EXPECT_FALSE(b.sees().doors[forward_door].can_move);
  b.does(events::hand_pump(cargo_circuit, true));
  EXPECT_TRUE(b.sees().doors[forward_door].can_move);
}
RULE_TEST(HandPump, MovesNoDoorOnceNobodyWorksIt, "CGO-11") {
  bench b = pumping_by_hand();
  b.does(events::hand_pump(cargo_circuit, false));
  EXPECT_FALSE(b.sees().doors[forward_door].can_move);
}
RULE_TEST(HandPump, MakesNoServiceMode, "CGO-11") {
  const bench b = pumping_by_hand();
  EXPECT_EQ(service(b), service_mode::none);
  EXPECT_FALSE(delivers(b));
  EXPECT_NE(inhibition(b), unit_inhibition::service);
}
RULE_TEST(HandPump, GivesNothingElsePressure, "CGO-11") {
  const bench b = pumping_by_hand();
  for (const unsigned c : {controls, gear, brakes, reverser_1, reverser_2}) EXPECT_FALSE(available(b, c)) << c;
  EXPECT_NE(status(b), circuit_status::normal);
  EXPECT_NE(status(b), circuit_status::partial);
}
RULE_TEST(HandPump, MovesNoDoorInFlight, "CGO-11") {
  bench b{with_hand_pump()};
  take_off(b);
  b.tries(events::lever(forward_door, lever_position::open)).tries(events::hand_pump(cargo_circuit, true));
  EXPECT_FALSE(b.sees().doors[forward_door].can_move);
}
RULE_TEST(HandPump, IsNotThereWhereTheLayoutHasNone, "CGO-11 GEN-2") {
  powered_twin().rejects(events::hand_pump(cargo_circuit, true), refusal_kind::not_fitted);
}

// CGO-12

bench opening_with_engine_pump() {
  bench b = powered_twin();
  b.does(events::spool(0, spool_band::driving), events::pressure(cargo_circuit, true),
         events::priority(cargo_circuit, true), events::lever(forward_door, lever_position::open));
  return b;
}

RULE_TEST(CargoPump, RunsForADoorEvenWhenAnotherSourceDelivers, "CGO-12") {
  const bench b = opening_with_engine_pump();
  EXPECT_TRUE(delivers(b));
  EXPECT_EQ(demand(b), demand_mode::door);
}
RULE_TEST(ServiceMode, DoesNotBeginWhenAnotherSourceDelivers, "CGO-12") {
  const bench b = opening_with_engine_pump();
  EXPECT_EQ(service(b), service_mode::none);
  EXPECT_EQ(status(b), circuit_status::normal);
  EXPECT_TRUE(available(b, gear)) << "nothing is isolated";
  EXPECT_NE(inhibition(b), unit_inhibition::service);
}
RULE_TEST(ServiceMode, EndsWhenAnotherSourceBeginsToDeliver, "CGO-12 CGO-7") {
  bench b = opening();
  b.does(events::spool(0, spool_band::driving));
  EXPECT_TRUE(delivers(b));
  EXPECT_EQ(service(b), service_mode::hold_off);
  EXPECT_EQ(status(b), circuit_status::normal);
  EXPECT_TRUE(available(b, gear));
}
RULE_TEST(ServiceMode, BeginsWhenTheOtherSourceIsGone, "CGO-12 CGO-5 GEN-1") {
  bench b = opening_with_engine_pump();
  b.does(events::spool(0, spool_band::turning));
  EXPECT_EQ(service(b), service_mode::service);
  EXPECT_EQ(status(b), circuit_status::partial);
}
RULE_TEST(ServiceMode, IsNotHinderedByAnEnginePumpThatIsOff, "CGO-12 EDP-2") {
  bench b = powered_twin();
  b.does(events::crew_switch(events::engine_pump(0), pump_switch::off), events::spool(0, spool_band::driving),
         events::lever(forward_door, lever_position::open));
  EXPECT_EQ(service(b), service_mode::service);
}
RULE_TEST(ServiceMode, IsNotHinderedByASourceOfAnotherCircuit, "CGO-12") {
  bench b = powered_twin();
  b.does(events::spool(1, spool_band::driving), events::lever(forward_door, lever_position::open));
  EXPECT_EQ(service(b), service_mode::service);
}

// CGO-13

RULE_TEST(ServiceMode, EndsAtLiftOffWithoutAHoldOff, "CGO-13") {
  bench b = opening();
  take_off(b);
  EXPECT_EQ(service(b), service_mode::none);
  EXPECT_FALSE(delivers(b));
  EXPECT_EQ(door(b), door_mode::blocked);
  EXPECT_NE(inhibition(b), unit_inhibition::service);
}
RULE_TEST(ServiceMode, HoldOffDoesNotComeBackAfterTouchdown, "CGO-13") {
  bench b = hold_off();
  take_off(b);
  touch_down(b);
  EXPECT_EQ(service(b), service_mode::none);
}

// CGO-14

RULE_TEST(CargoPump, FailureStopsItUntilAReset, "CGO-14 EDP-4") {
  bench b = opening();
  b.does(events::failure(pump, true));
  EXPECT_FALSE(delivers(b));
  EXPECT_EQ(reason(b), electric_pump_reason::failed);
  b.does(events::failure(pump, false));
  EXPECT_EQ(reason(b), electric_pump_reason::failed) << "latched";
  b.does(events::reset(pump));
  EXPECT_TRUE(delivers(b)) << "the lever is still out";
}
RULE_TEST(CargoPump, ResetIsRefusedWhileTheCauseIsPresent, "CGO-14 EDP-4 GEN-2") {
  bench b = opening();
  b.does(events::failure(pump, true)).refuses(events::reset(pump));
}
RULE_TEST(CargoPump, ResetIsRefusedWhenItIsHealthy, "CGO-14 GEN-2") { opening().refuses(events::reset(pump)); }
RULE_TEST(CargoPump, OverheatStopsItForAsLongAsItLasts, "CGO-14") {
  bench b = opening();
  b.does(events::overheat(pump, true));
  EXPECT_FALSE(delivers(b));
  EXPECT_EQ(reason(b), electric_pump_reason::overheat);
  b.does(events::overheat(pump, false));
  EXPECT_TRUE(delivers(b));
}
RULE_TEST(CargoPump, StopsWhenItRunsDry, "CGO-14 LVL-4") {
  bench b = opening();
  b.does(events::level(cargo_circuit, fluid_level::empty));
  EXPECT_FALSE(delivers(b));
  EXPECT_EQ(reason(b), electric_pump_reason::dry);
  b.does(events::level(cargo_circuit, fluid_level::low));
  EXPECT_TRUE(delivers(b));
}
RULE_TEST(CargoPump, ShowsTheFirstReasonThatHolds, "CGO-14") {
  bench b = twin();
  b.does(events::crew_switch(pump, pump_switch::off), events::failure(pump, true), events::overheat(pump, true),
         events::level(cargo_circuit, fluid_level::empty));
  EXPECT_EQ(reason(b), electric_pump_reason::off);
  b.does(events::crew_switch(pump, pump_switch::automatic));
  EXPECT_EQ(reason(b), electric_pump_reason::no_power);
  b.does(events::external_power(true));
  EXPECT_EQ(reason(b), electric_pump_reason::failed);
  b.does(events::failure(pump, false), events::reset(pump));
  EXPECT_EQ(reason(b), electric_pump_reason::overheat);
  b.does(events::overheat(pump, false));
  EXPECT_EQ(reason(b), electric_pump_reason::not_wanted);
  b.does(events::lever(forward_door, lever_position::open));
  EXPECT_EQ(reason(b), electric_pump_reason::dry);
  b.does(events::level(cargo_circuit, fluid_level::normal));
  EXPECT_EQ(reason(b), electric_pump_reason::delivering);
}
RULE_TEST(CargoPump, FailureStandsAsAnAlertWithItsCause, "CGO-14 ALR-2") {
  bench b = opening();
  b.does(events::failure(pump, true));
  const auto alert = b.alert(condition::electric_pump, pump);
  ASSERT_TRUE(alert.has_value());
  EXPECT_EQ(alert->cause, word(electric_pump_reason::failed));
}

// CGO-15

RULE_TEST(LeverOut, AtAnEngineStartIsAnAdvisory, "CGO-15") {
  bench b = opening();
  EXPECT_EQ(b.level_of(condition::lever_out, events::door(forward_door)), alert_class::none) << "before the start";
  b.does(events::start(0));
  EXPECT_EQ(b.level_of(condition::lever_out, events::door(forward_door)), alert_class::advisory);
  EXPECT_EQ(b.level_of(condition::lever_out, events::door(aft_door)), alert_class::none) << "its lever is in neutral";
}
RULE_TEST(LeverOut, AtLiftOffIsAnAdvisory, "CGO-15") {
  bench b = opening();
  take_off(b);
  EXPECT_EQ(b.level_of(condition::lever_out, events::door(forward_door)), alert_class::advisory);
}
RULE_TEST(LeverOut, AdvisoryEndsWithNeutral, "CGO-15 ALR-3") {
  bench b = opening();
  b.does(events::start(0), events::lever(forward_door, lever_position::neutral));
  EXPECT_EQ(b.level_of(condition::lever_out, events::door(forward_door)), alert_class::none);
}
RULE_TEST(LeverOut, AfterTheStartIsNoAdvisory, "CGO-15") {
  bench b = powered_twin();
  full_start(b, 0);
  b.does(events::lever(aft_door, lever_position::open));
  EXPECT_EQ(b.level_of(condition::lever_out, events::door(aft_door)), alert_class::none);
}
RULE_TEST(LeverOut, AtTheStartOfTheSecondEngineIsAnAdvisoryToo, "CGO-15") {
  bench b = powered_twin();
  full_start(b, 0);
  b.does(events::lever(aft_door, lever_position::open), events::start(1));
  EXPECT_EQ(b.level_of(condition::lever_out, events::door(aft_door)), alert_class::advisory);
}
RULE_TEST(LeverOut, ByRepositionIsNoAdvisory, "CGO-15 GEN-7") {
  bench b = twin();
  reposition_spec to = reposition_of_cold_and_dark(b.aircraft());
  to.engine_runs[0] = true;
  to.levers[forward_door] = lever_position::open;
  to.doors[forward_door] = door_travel::between;
  b.begins_at(to);
  EXPECT_EQ(b.level_of(condition::lever_out, events::door(forward_door)), alert_class::none);
}
RULE_TEST(DoorNotClosed, WithAnEngineRunningIsACaution, "CGO-15") {
  // 14 CFR 25.783(e): shown if any door is not closed, latched and locked.
  bench b = powered_twin();
  b.does(events::travel(forward_door, door_travel::open));
  EXPECT_LT(b.level_of(condition::door_not_closed, events::door(forward_door)), alert_class::advisory)
      << "normal with the engines off";
  start_to_idle(b, 0);
  EXPECT_EQ(b.level_of(condition::door_not_closed, events::door(forward_door)), alert_class::caution);
  EXPECT_EQ(b.level_of(condition::door_not_closed, events::door(aft_door)), alert_class::none);
}
RULE_TEST(DoorNotClosed, ComesWithIdleNotWithCranking, "CGO-15") {
  bench b = powered_twin();
  b.does(events::travel(forward_door, door_travel::between), events::start(0), events::spool(0, spool_band::near_idle));
  EXPECT_LT(b.level_of(condition::door_not_closed, events::door(forward_door)), alert_class::caution);
  b.does(events::spool(0, spool_band::idle));
  EXPECT_EQ(b.level_of(condition::door_not_closed, events::door(forward_door)), alert_class::caution);
}
RULE_TEST(DoorNotClosed, EndsWhenTheDoorIsClosed, "CGO-15 ALR-3") {
  bench b = powered_twin();
  b.does(events::travel(aft_door, door_travel::between));
  full_start(b, 1);
  b.does(events::travel(aft_door, door_travel::closed));
  EXPECT_EQ(b.level_of(condition::door_not_closed, events::door(aft_door)), alert_class::none);
}
RULE_TEST(DoorNotClosed, IsNoCautionOnceNoEngineRuns, "CGO-15 ALR-3") {
  bench b = powered_twin();
  b.does(events::travel(aft_door, door_travel::open));
  full_start(b, 0);
  b.does(events::shut_down(0));
  EXPECT_LT(b.level_of(condition::door_not_closed, events::door(aft_door)), alert_class::advisory);
}

// CGO-16 (optional)

layout_spec with_start_limit() {
  layout_spec spec = two_engine_spec();
  spec.electric_pumps[cargo_pump].starts_allowed = 3;
  spec.electric_pumps[cargo_pump].start_period = 600s;
  spec.electric_pumps[cargo_pump].cooling = 300s;
  return spec;
}
/// One start and stop of the pump by the forward lever; whether it ran.
bool starts_once(bench& b) {
  b.does(events::lever(forward_door, lever_position::open));
  const bool ran = delivers(b);
  b.does(events::lever(forward_door, lever_position::neutral));
  return ran;
}

RULE_TEST(StartLimit, AllowsAsManyStartsAsTheLayoutSays, "CGO-16") {
  bench b{with_start_limit()};
  b.does(events::external_power(true));
  for (int i = 1; i <= 3; ++i) EXPECT_TRUE(starts_once(b)) << i;
}
RULE_TEST(StartLimit, HoldsBackTheStartBeyondTheLimit, "CGO-16") {
  bench b{with_start_limit()};
  b.does(events::external_power(true));
  for (int i = 1; i <= 3; ++i) starts_once(b);
  EXPECT_FALSE(starts_once(b));
}
RULE_TEST(StartLimit, LetsThePumpStartAfterTheCoolingTime, "CGO-16 GEN-1 GEN-3") {
  bench b{with_start_limit()};
  b.does(events::external_power(true));
  for (int i = 1; i <= 3; ++i) starts_once(b);
  b.does(events::lever(forward_door, lever_position::open)).wait(299'999ms);
  EXPECT_FALSE(delivers(b)) << "one millisecond before";
  b.wait(1ms);
  EXPECT_TRUE(delivers(b)) << "exactly at the limit, the lever still out";
}
RULE_TEST(StartLimit, CountsAfreshInANewPeriod, "CGO-16") {
  bench b{with_start_limit()};
  b.does(events::external_power(true));
  for (int i = 1; i <= 2; ++i) starts_once(b);
  b.wait(600s);
  for (int i = 1; i <= 3; ++i) EXPECT_TRUE(starts_once(b)) << i;
}
RULE_TEST(StartLimit, DoesNotStopAPumpThatRuns, "CGO-16") {
  bench b{with_start_limit()};
  b.does(events::external_power(true));
  for (int i = 1; i <= 2; ++i) starts_once(b);
  b.does(events::lever(forward_door, lever_position::open)).wait(60s);
  EXPECT_TRUE(delivers(b));
}
RULE_TEST(StartLimit, IsNotThereUnlessTheLayoutSetsOne, "CGO-16") {
  bench b = powered_twin();
  for (int i = 1; i <= 20; ++i) EXPECT_TRUE(starts_once(b)) << i;
}

// What is refused

RULE_TEST(CargoDoor, RejectsALeverOfADoorThatIsNotThere, "CGO-1 GEN-2") {
  powered_twin().rejects(events::lever(2, lever_position::open), refusal_kind::no_such_part);
}
RULE_TEST(CargoPump, RefusesAGroundOverride, "CGO-1 AUX-4 GEN-2") {
  powered_twin().turns_down(events::ground_override(cargo_pump));
}

}  // namespace
}  // namespace penstock_tests
