// Circuits and consumers [CIR-1 to CIR-3, CON-1 to CON-7].
#include "support/bench.hpp"
#include "support/rule_test.hpp"

namespace penstock_tests {
namespace {

constexpr unsigned port = 0, starboard = 1, centre = 2;

circuit_status status(const bench& b, unsigned circuit) { return b.sees().circuits[circuit].status; }
observed_consumer consumer(const bench& b, unsigned which) { return b.sees().consumers[which]; }
event electric_switch(unsigned pump, pump_switch to) { return events::crew_switch(events::electric_pump(pump), to); }
alert_class low_alert(const bench& b, unsigned circuit) {
  return b.level_of(condition::circuit_low, events::circuit(circuit));
}

/// A door asks: port is in service mode, without pressure yet.
bench in_service() {
  bench b = powered_twin();
  b.does(events::lever(forward_door, lever_position::open));
  return b;
}

// ---- CIR-1

RULE_TEST(Circuits, AreOffWithNothingWantedOnTheGround, "CIR-1") {
  const bench b{two_engine_spec()};
  for (const unsigned circuit : {port, starboard, centre}) EXPECT_EQ(status(b, circuit), circuit_status::off);
}

RULE_TEST(Circuits, AreNormalWithThePressureSwitchMade, "CIR-1") {
  bench b = powered_twin();
  b.does(electric_switch(plain_pump, pump_switch::on), events::pressure(starboard, true));
  EXPECT_EQ(status(b, starboard), circuit_status::normal);
}

RULE_TEST(Circuits, AreLowWhenASourceIsWantedAndThereIsNoPressure, "CIR-1") {
  bench b{two_engine_spec()};
  b.does(electric_switch(plain_pump, pump_switch::on));
  EXPECT_EQ(status(b, starboard), circuit_status::low) << "wanted, without power";
  b.does(events::external_power(true));
  EXPECT_EQ(status(b, starboard), circuit_status::low) << "delivers, pressure not made yet";
  EXPECT_EQ(status(b, centre), circuit_status::off);
}

RULE_TEST(Circuits, AreLowWhileTheirEngineRunsWithoutPressure, "CIR-1") {
  bench b{two_engine_spec()};
  for (const spool_band band : {spool_band::turning, spool_band::driving, spool_band::near_idle, spool_band::idle}) {
    if (band == spool_band::turning) b.does(events::start(1));
    b.does(events::spool(1, band));
  }
  EXPECT_EQ(status(b, starboard), circuit_status::low);
  b.does(events::pressure(starboard, true));
  EXPECT_EQ(status(b, starboard), circuit_status::normal);
}

RULE_TEST(Circuits, AreLowInFlightWithoutPressure, "CIR-1") {
  bench b{two_engine_spec()};
  take_off(b);
  for (const unsigned circuit : {port, starboard, centre}) EXPECT_EQ(status(b, circuit), circuit_status::low);
}

RULE_TEST(Circuits, ArePartialInServiceModeWithPressure, "CIR-1 CGO-6") {
  bench b = in_service();
  EXPECT_EQ(status(b, port), circuit_status::low);
  b.does(events::pressure(port, true), events::priority(port, true));
  EXPECT_EQ(status(b, port), circuit_status::partial);
  b.does(events::pressure(port, false));
  EXPECT_EQ(status(b, port), circuit_status::low);
}

RULE_TEST(Circuits, AreOffAgainOnceTheDoorAsksNoMore, "CIR-1 CGO-2") {
  bench b = in_service();
  b.pressures_follow().does(events::lever(forward_door, lever_position::neutral)).pressures_follow();
  EXPECT_EQ(status(b, port), circuit_status::off);
}

// ---- CIR-2, CIR-3

/// Engine 1 runs; starboard's electric pump is switched on but its bus is dead: starboard is wanted and low.
bench wanted_without_power() {
  layout_spec spec = two_engine_spec();
  spec.buses[1].sources = {"engine-2", "auxiliary"};
  bench b{spec};
  full_start(b, 0);
  b.does(electric_switch(plain_pump, pump_switch::on));
  return b;
}

RULE_TEST(Circuits, LowWithAnEngineRunningIsACaution, "CIR-2 CIR-3") {
  bench b = wanted_without_power();
  ASSERT_EQ(status(b, starboard), circuit_status::low);
  b.wait(5s);
  EXPECT_EQ(low_alert(b, starboard), alert_class::caution);
}

RULE_TEST(Circuits, LowWithoutEnginesOnTheGroundIsNoCaution, "CIR-2 ALR-3") {
  bench b{two_engine_spec()};
  b.does(electric_switch(plain_pump, pump_switch::on)).wait(1h);
  ASSERT_EQ(status(b, starboard), circuit_status::low);
  EXPECT_EQ(low_alert(b, starboard), alert_class::none);
}

RULE_TEST(Circuits, OffWithAnEngineRunningIsNoCaution, "CIR-2 ALR-3") {
  bench b{two_engine_spec()};
  full_start(b, 0);
  b.wait(1h);
  ASSERT_EQ(status(b, starboard), circuit_status::off);
  EXPECT_EQ(low_alert(b, starboard), alert_class::none);
}

RULE_TEST(Circuits, LowInFlightIsACaution, "CIR-2 CIR-3") {
  bench b{two_engine_spec()};
  fly(b);
  b.does(electric_switch(duty_pump, pump_switch::off)).pressures_follow();
  ASSERT_EQ(status(b, centre), circuit_status::low);
  b.wait(5s);
  EXPECT_EQ(low_alert(b, centre), alert_class::caution);
}

RULE_TEST(Circuits, MustBeLowForTheConfirmationTimeBeforeTheCaution, "CIR-3") {
  bench b{two_engine_spec()};
  fly(b);
  b.does(electric_switch(duty_pump, pump_switch::off)).pressures_follow();
  b.wait(4999ms);
  EXPECT_EQ(low_alert(b, centre), alert_class::none);
  EXPECT_EQ(b.deadline(), 1U);
  b.wait(1ms);
  EXPECT_EQ(low_alert(b, centre), alert_class::caution);
}

RULE_TEST(Circuits, ADipShorterThanTheConfirmationTimeIsNoCaution, "CIR-3") {
  bench b{two_engine_spec()};
  fly(b);
  b.does(events::pressure(port, false)).wait(4s).does(events::pressure(port, true)).wait(1ms);
  b.does(events::pressure(port, false)).wait(4999ms);
  EXPECT_EQ(low_alert(b, port), alert_class::none) << "each time is confirmed anew";
  b.wait(1ms);
  EXPECT_EQ(low_alert(b, port), alert_class::caution);
}

RULE_TEST(Circuits, TheCautionEndsWithThePressure, "CIR-2 CIR-3 ALR-3") {
  bench b{two_engine_spec()};
  fly(b);
  b.does(events::pressure(port, false)).wait(1min).does(events::pressure(port, true));
  EXPECT_EQ(low_alert(b, port), alert_class::none);
}

RULE_TEST(Circuits, TheConfirmationTimeIsTheLayouts, "CIR-3") {
  layout_spec spec = two_engine_spec();
  spec.circuits[port].low_confirmation = 12s;
  bench b{spec};
  fly(b);
  b.does(events::pressure(port, false)).wait(11'999ms);
  EXPECT_EQ(low_alert(b, port), alert_class::none);
  b.wait(1ms);
  EXPECT_EQ(low_alert(b, port), alert_class::caution);
}

RULE_TEST(Circuits, TheCautionIsNestedUnderThePumpThatCausesIt, "CIR-2 ALR-7") {
  layout_spec spec = two_engine_spec();
  spec.transfer_units.clear();
  bench b{spec};
  fly(b);
  b.does(events::failure(events::engine_pump(0), true)).pressures_follow().wait(10s);
  const observation seen = b.sees();
  bool found = false;
  for (std::size_t i = 0; i < seen.alerts; ++i) {
    const observed_alert& one = seen.alert[i];
    if (one.condition != condition::circuit_low || one.about != events::circuit(port)) continue;
    found = true;
    ASSERT_GE(one.under, 0);
    const observed_alert& cause = seen.alert[static_cast<std::size_t>(one.under)];
    EXPECT_EQ(cause.condition, condition::engine_pump);
    EXPECT_EQ(cause.about, events::engine_pump(0));
    EXPECT_EQ(static_cast<std::size_t>(one.under) + 1, i) << "directly behind its cause";
  }
  EXPECT_TRUE(found);
}

// ---- CON-1, CON-7

RULE_TEST(Consumers, AreAvailableWhileAnyFeedIsAtPressure, "CON-1 CON-7") {
  for (const unsigned feed : {port, starboard, centre}) {
    bench b{two_engine_spec()};
    EXPECT_FALSE(consumer(b, controls).available);
    EXPECT_EQ(consumer(b, controls).reason, consumer_reason::no_pressure);
    b.does(events::pressure(feed, true));
    EXPECT_TRUE(consumer(b, controls).available) << feed;
    EXPECT_EQ(consumer(b, controls).reason, consumer_reason::available) << feed;
    EXPECT_EQ(consumer(b, controls).fed_by, feed);
  }
}

RULE_TEST(Consumers, AreNotAvailableFromACircuitThatDoesNotFeedThem, "CON-1") {
  bench b{two_engine_spec()};
  b.does(events::pressure(centre, true));
  EXPECT_EQ(consumer(b, steering).reason, consumer_reason::no_pressure);
}

// ---- CON-2

RULE_TEST(Consumers, OnlyTheServiceBranchIsAvailableInServiceMode, "CON-2 CGO-5") {
  bench b = in_service();
  b.pressures_follow();
  for (const unsigned on_branch : {brakes, parking_brake, reverser_1, forward_door_drive, aft_door_drive}) {
    EXPECT_TRUE(consumer(b, on_branch).available) << b.aircraft().name(events::consumer(on_branch));
  }
  for (const unsigned beyond : {controls, gear}) {
    EXPECT_FALSE(consumer(b, beyond).available) << b.aircraft().name(events::consumer(beyond));
    EXPECT_EQ(consumer(b, beyond).reason, consumer_reason::isolated);
  }
}

RULE_TEST(Consumers, AreFedByAnotherCircuitWhileOneIsInServiceMode, "CON-2 CON-7") {
  bench b = in_service();
  b.does(electric_switch(plain_pump, pump_switch::on)).pressures_follow();
  ASSERT_EQ(status(b, port), circuit_status::partial);
  EXPECT_TRUE(consumer(b, controls).available);
  EXPECT_EQ(consumer(b, controls).fed_by, starboard);
  EXPECT_EQ(consumer(b, gear).reason, consumer_reason::isolated);
}

RULE_TEST(Consumers, TheServiceBranchHasNothingWithoutPressure, "CON-2 CON-1") {
  const bench b = in_service();
  EXPECT_EQ(consumer(b, brakes).reason, consumer_reason::no_pressure);
}

// ---- CON-3

RULE_TEST(Consumers, TheParkingBrakeWorksFromItsAccumulatorWithItsCircuitOff, "CON-3") {
  const bench b{two_engine_spec()};
  EXPECT_TRUE(consumer(b, parking_brake).available);
  EXPECT_FALSE(consumer(b, brakes).available);
}

RULE_TEST(Consumers, TheParkingBrakeIsExhaustedWithNothingStored, "CON-3 CON-7") {
  bench b{two_engine_spec()};
  b.does(events::stored(0, 0));
  EXPECT_FALSE(consumer(b, parking_brake).available);
  EXPECT_EQ(consumer(b, parking_brake).reason, consumer_reason::exhausted);
  b.does(events::stored(0, 1));
  EXPECT_TRUE(consumer(b, parking_brake).available);
}

/// The gas law at constant temperature between nominal and least pressure, in absolute pressures (invented store:
/// 1.2 l, 1,000 psi gauge when empty, 3,000 charged, 1,500 least): 0.40 l, which is six times 0.06 l.
layout_spec with_six_applications() {
  layout_spec spec = two_engine_spec();
  spec.stores[0].application = litres(0.06);
  return spec;
}

RULE_TEST(Consumers, TheAccumulatorHoldsAsManyApplicationsAsTheGasLawGives, "CON-3") {
  const bench b{with_six_applications()};
  EXPECT_EQ(b.sees().stored[0], 6);
}

RULE_TEST(Consumers, EachApplicationTakesOneUntilNoneIsLeft, "CON-3 CON-6") {
  const bench b{with_six_applications()};
  simulation run{b.aircraft(), plant_kind::quasi_static};
  for (int left = 5; left >= 0; --left) {
    EXPECT_TRUE(run.apply(events::apply_brakes()).accepted());
    EXPECT_EQ(observe(b.aircraft(), run.now()).stored[0], left);
  }
  EXPECT_EQ(observe(b.aircraft(), run.now()).consumers[parking_brake].reason, consumer_reason::exhausted);
}

RULE_TEST(Consumers, AnyPressurisedStateRechargesTheAccumulator, "CON-3 CGO-5") {
  const bench b{with_six_applications()};
  for (const bool by_door : {true, false}) {
    simulation run{b.aircraft(), plant_kind::quasi_static};
    for (int i = 0; i < 4; ++i) static_cast<void>(run.apply(events::apply_brakes()));
    ASSERT_EQ(observe(b.aircraft(), run.now()).stored[0], 2);
    static_cast<void>(run.apply(events::external_power(true)));
    static_cast<void>(run.apply(by_door ? events::lever(forward_door, lever_position::open)
                                        : electric_switch(cargo_pump, pump_switch::on)));
    static_cast<void>(run.advance(10s));
    EXPECT_EQ(observe(b.aircraft(), run.now()).stored[0], 6) << (by_door ? "service mode" : "crew switch");
  }
}

RULE_TEST(Consumers, StoredEnergyStaysWhenServiceModeEnds, "CON-3 CGO-5") {
  const bench b{with_six_applications()};
  simulation run{b.aircraft(), plant_kind::quasi_static};
  static_cast<void>(run.apply(events::external_power(true)));
  static_cast<void>(run.apply(events::lever(forward_door, lever_position::open)));
  static_cast<void>(run.advance(5s));
  static_cast<void>(run.apply(events::lever(forward_door, lever_position::neutral)));
  static_cast<void>(run.advance(1h));
  EXPECT_EQ(observe(b.aircraft(), run.now()).stored[0], 6);
}

RULE_TEST(Consumers, AnAccumulatorWithoutGasHoldsNothing, "CON-3 INS-1") {
  const bench b{with_six_applications()};
  simulation run{b.aircraft(), plant_kind::quasi_static};
  static_cast<void>(run.apply(events::inject(fault::store_gas_lost, events::store(0))));
  static_cast<void>(run.advance(1s));
  const observation seen = observe(b.aircraft(), run.now());
  EXPECT_EQ(seen.stored[0], 0);
  EXPECT_EQ(seen.consumers[parking_brake].reason, consumer_reason::exhausted);
}

// ---- CON-4

RULE_TEST(Consumers, HeavyOnesAreShedBelowThePriorityPressure, "CON-4") {
  bench b = powered_twin();
  b.does(electric_switch(cargo_pump, pump_switch::on)).pressures_follow();
  ASSERT_TRUE(consumer(b, gear).available);
  b.does(events::priority(port, false));
  EXPECT_FALSE(consumer(b, gear).available);
  EXPECT_EQ(consumer(b, gear).reason, consumer_reason::shed);
  EXPECT_TRUE(consumer(b, controls).available) << "not heavy";
  b.does(events::priority(port, true));
  EXPECT_TRUE(consumer(b, gear).available);
}

// ---- CON-5

RULE_TEST(Consumers, ReversersAreBoundToTheGround, "CON-5 CON-7") {
  bench b{two_engine_spec()};
  fly(b);
  for (const unsigned one : {reverser_1, reverser_2}) {
    EXPECT_FALSE(consumer(b, one).available);
    EXPECT_EQ(consumer(b, one).reason, consumer_reason::in_flight);
  }
  touch_down(b).pressures_follow();
  EXPECT_TRUE(consumer(b, reverser_1).available);
  EXPECT_TRUE(consumer(b, reverser_2).available);
}

RULE_TEST(Consumers, CargoDoorsAreBoundToTheGround, "CON-5 CGO-9") {
  bench b{two_engine_spec()};
  fly(b);
  EXPECT_EQ(consumer(b, forward_door_drive).reason, consumer_reason::in_flight);
  touch_down(b).pressures_follow();
  EXPECT_TRUE(consumer(b, forward_door_drive).available);
}

// ---- CON-6

RULE_TEST(Consumers, ParkingBrakeSetWithNothingBehindItIsACaution, "CON-6") {
  bench b{two_engine_spec()};
  EXPECT_EQ(class_of(b, condition::parking_brake), alert_class::none) << "the accumulator is charged";
  b.does(events::stored(0, 0));
  EXPECT_EQ(class_of(b, condition::parking_brake), alert_class::caution);
  b.does(events::parking_brake(false));
  EXPECT_EQ(class_of(b, condition::parking_brake), alert_class::none);
}

RULE_TEST(Consumers, CircuitPressureBehindTheParkingBrakeEndsTheCaution, "CON-6") {
  bench b = powered_twin();
  b.does(events::stored(0, 0), electric_switch(cargo_pump, pump_switch::on)).pressures_follow();
  EXPECT_EQ(class_of(b, condition::parking_brake), alert_class::none);
  b.does(electric_switch(cargo_pump, pump_switch::automatic)).pressures_follow();
  EXPECT_EQ(class_of(b, condition::parking_brake), alert_class::caution);
}

// ---- CON-7: the order of reasons

RULE_TEST(Consumers, FlightComesBeforePressureAmongTheReasons, "CON-7 CON-5") {
  bench b{two_engine_spec()};
  take_off(b);
  EXPECT_EQ(consumer(b, reverser_1).reason, consumer_reason::in_flight) << "without pressure too";
}

RULE_TEST(Consumers, TheOpenLinkComesBeforePressureAmongTheReasons, "CON-7 STR-4") {
  bench b{two_engine_spec()};
  b.does(events::steering(false));
  EXPECT_EQ(consumer(b, steering).reason, consumer_reason::disconnected);
}

RULE_TEST(Consumers, TheOpenLinkComesBeforeIsolationAmongTheReasons, "CON-7 STR-4") {
  layout_spec spec = two_engine_spec();
  spec.consumers[steering].feeds = {{"port", branch::main}};
  bench b{spec};
  b.does(events::external_power(true), events::lever(forward_door, lever_position::open)).pressures_follow();
  EXPECT_EQ(consumer(b, steering).reason, consumer_reason::isolated);
  b.does(events::steering(false));
  EXPECT_EQ(consumer(b, steering).reason, consumer_reason::disconnected);
}

RULE_TEST(Consumers, IsolationComesBeforeSheddingAmongTheReasons, "CON-7 CON-2 CON-4") {
  bench b = in_service();
  b.does(events::pressure(port, true), events::priority(port, false));
  EXPECT_EQ(consumer(b, gear).reason, consumer_reason::isolated);
}

// A circuit without any pressure sheds nothing: "no pressure" tells the crew more than "shed" would.
RULE_TEST(Consumers, SheddingIsNamedOnlyWhereThereIsPressure, "CON-7 CON-4") {
  bench b{two_engine_spec()};
  EXPECT_EQ(consumer(b, gear).reason, consumer_reason::no_pressure) << "heavy, but its circuit is dead";
  fly(b);
  for (unsigned c = 0; c < b.aircraft().count(component::circuit); ++c) b.does(events::priority(c, false));
  EXPECT_EQ(consumer(b, gear).reason, consumer_reason::shed) << "heavy, below the priority pressure";
}

RULE_TEST(Consumers, AnAvailableOneSaysSo, "CON-7") {
  bench b{two_engine_spec()};
  fly(b);
  const observation seen = b.sees();
  for (std::size_t i = 0; i < b.aircraft().count(component::consumer); ++i) {
    EXPECT_EQ(seen.consumers[i].available, seen.consumers[i].reason == consumer_reason::available);
    if (!seen.consumers[i].available) {
      EXPECT_EQ(seen.consumers[i].fed_by, penstock::detail::nobody);
    }
  }
}

}  // namespace
}  // namespace penstock_tests
