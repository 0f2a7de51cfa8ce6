// Alerts [ALR-1 to ALR-7, ELP-3], and what published regulations ask of them, the source beside each check.
#include "support/bench.hpp"
#include "support/rule_test.hpp"

namespace penstock_tests {
namespace {

constexpr unsigned port = 0, starboard = 1, centre = 2;

event electric_switch(unsigned pump, pump_switch to) { return events::crew_switch(events::electric_pump(pump), to); }
alert_class quantity_of(const bench& b, unsigned circuit) {
  return b.level_of(condition::quantity, events::circuit(circuit));
}

// ---- ALR-1

RULE_TEST(Alerts, ClassesAreOrderedByUrgency, "ALR-1") {
  EXPECT_LT(alert_class::none, alert_class::status);
  EXPECT_LT(alert_class::status, alert_class::advisory);
  EXPECT_LT(alert_class::advisory, alert_class::caution);
  EXPECT_LT(alert_class::caution, alert_class::warning);
}

RULE_TEST(Alerts, AreListedByClassThenByOnset, "ALR-1") {
  bench b{two_engine_spec()};
  b.does(events::level(port, fluid_level::over)).wait(1s);
  b.does(events::fluid(centre, true)).wait(1s).does(events::air(starboard, true));
  const observation seen = b.sees();
  ASSERT_EQ(seen.alerts, 3);
  EXPECT_EQ(seen.alert[0].condition, condition::fluid_hot);
  EXPECT_EQ(seen.alert[1].condition, condition::reservoir_air);
  EXPECT_EQ(seen.alert[2].condition, condition::quantity);
}

// ---- ALR-2

RULE_TEST(Alerts, NameTheirConditionOnsetRuleAndCause, "ALR-2") {
  bench b = powered_twin();
  full_start(b, 0);
  b.wait(7s).does(events::overheat(events::engine_pump(0), true));
  const auto found = b.alert(condition::engine_pump, events::engine_pump(0));
  ASSERT_TRUE(found);
  EXPECT_EQ(found->onset, 7'000U);
  EXPECT_TRUE(names_rule(found->rule, "EDP-4")) << found->rule;
  EXPECT_FALSE(found->sentence.empty());
  EXPECT_EQ(found->cause, word(engine_pump_reason::overheat));
}

RULE_TEST(Alerts, EveryStandingAlertNamesARuleOfTheCatalogue, "ALR-2") {
  bench b{two_engine_spec()};
  b.does(events::steering(false), events::external_power(true), events::stored(0, 0));
  full_start(b, 0);
  b.does(events::start(1), events::level(port, fluid_level::low), events::level(starboard, fluid_level::over));
  b.does(events::fluid(centre, true), events::air(centre, true), events::travel(aft_door, door_travel::between));
  b.does(events::failure(events::engine_pump(0), true), events::overheat(events::electric_pump(duty_pump), true));
  b.does(events::air_ground_invalid()).wait(1min);
  const observation seen = b.sees();
  EXPECT_GE(seen.alerts, 9);
  for (const observed_alert& one : seen.alerts_standing()) {
    EXPECT_FALSE(one.rule.empty()) << word(one.condition);
    EXPECT_FALSE(one.sentence.empty()) << word(one.condition);
    EXPECT_NE(find_rule(one.rule.substr(0, one.rule.find(' '))), nullptr) << one.rule;
    EXPECT_LE(one.onset, seen.now);
  }
}

RULE_TEST(Alerts, ANewOccurrenceHasANewOnset, "ALR-2 ALR-3") {
  bench b{two_engine_spec()};
  b.does(events::air(port, true)).wait(5s).does(events::air(port, false)).wait(5s).does(events::air(port, true));
  const auto found = b.alert(condition::reservoir_air, events::circuit(port));
  ASSERT_TRUE(found);
  EXPECT_EQ(found->onset, 10'000U);
}

// ---- ALR-3

RULE_TEST(Alerts, ColdAndDarkHasNone, "ALR-3 GEN-5") {
  for (const layout_spec& spec : {two_engine_spec(), four_engine_spec(), small_twin_spec()}) {
    const bench b{spec};
    EXPECT_EQ(alerts_from(b, alert_class::advisory), "") << spec.name;
  }
}

RULE_TEST(Alerts, ANormalFlightRaisesNoCaution, "ALR-3") {
  bench b = powered_twin();
  const auto quiet = [&](const char* when) { EXPECT_EQ(alerts_from(b, alert_class::caution), "") << when; };
  full_start(b, 1).wait(1min);
  quiet("first engine runs");
  b.does(events::start(0));
  quiet("second start selected");
  EXPECT_EQ(alerts_from(b, alert_class::advisory), "advisory transfer-test transfer; ");
  b.pressures_follow().wait(10s);
  quiet("transfer test");
  for (const spool_band band : {spool_band::turning, spool_band::driving, spool_band::near_idle, spool_band::idle}) {
    b.does(events::spool(0, band)).pressures_follow().wait(5s);
    quiet("second engine starts");
  }
  b.does(events::starter_out(0), events::external_power(false), events::parking_brake(false)).wait(1min);
  EXPECT_EQ(alerts_from(b, alert_class::advisory), "");
  take_off(b).does(events::gear(false)).wait(1h);
  EXPECT_EQ(alerts_from(b, alert_class::advisory), "");
  b.does(events::gear(true));
  touch_down(b).wait(1min);
  EXPECT_EQ(alerts_from(b, alert_class::advisory), "");
  b.does(events::parking_brake(true));
  full_stop(b, 0).wait(1min);
  quiet("one engine off");
  full_stop(b, 1).wait(1h);
  EXPECT_EQ(alerts_from(b, alert_class::advisory), "");
}

RULE_TEST(Alerts, ALongStartRaisesNoCautionForTheCircuitOfItsPump, "ALR-3 CIR-2") {
  bench b{small_twin_spec()};
  b.does(events::external_power(true));
  full_start(b, 0);
  b.does(events::start(1), events::spool(1, spool_band::turning)).wait(1min);
  EXPECT_EQ(alerts_from(b, alert_class::caution), "") << "the pump of a cranking engine need not deliver yet";
}

RULE_TEST(Alerts, EndWithTheirCondition, "ALR-3") {
  bench b{two_engine_spec()};
  b.does(events::fluid(port, true), events::fluid(port, false));
  EXPECT_EQ(b.sees().alerts, 0);
}

// ---- ALR-4

RULE_TEST(Alerts, AChangeOfClassReplacesTheAlert, "ALR-4 ALR-2") {
  bench b{two_engine_spec()};
  b.does(events::steering(false)).wait(30s);
  start_to_idle(b, 0);
  EXPECT_EQ(how_many(b, condition::steering), 1);
  EXPECT_EQ(class_of(b, condition::steering), alert_class::caution);
}

RULE_TEST(Alerts, OneConditionIsOneAlert, "ALR-4") {
  bench b = powered_twin();
  full_start(b, 0);
  b.does(events::failure(events::engine_pump(0), true), events::overheat(events::engine_pump(0), true)).wait(1min);
  EXPECT_EQ(how_many(b, condition::engine_pump), 1);
}

// ---- ALR-5

RULE_TEST(Alerts, SeveralCircuitsLowInFlightAreAWarning, "ALR-5") {
  bench b{two_engine_spec()};
  fly(b);
  b.does(events::pressure(port, false)).wait(1min);
  EXPECT_EQ(class_of(b, condition::circuits_low), alert_class::none);
  b.does(events::pressure(centre, false)).wait(5s);
  EXPECT_EQ(class_of(b, condition::circuits_low), alert_class::warning);
  EXPECT_EQ(b.sees().alert[0].condition, condition::circuits_low) << "warnings come first";
  b.does(events::pressure(port, true));
  EXPECT_EQ(class_of(b, condition::circuits_low), alert_class::none);
}

RULE_TEST(Alerts, HowManyCircuitsLowAreAWarningIsTheLayouts, "ALR-5") {
  layout_spec spec = two_engine_spec();
  spec.circuits_low_warning = 3;
  bench b{spec};
  fly(b);
  b.does(events::pressure(port, false), events::pressure(centre, false)).wait(1min);
  EXPECT_EQ(class_of(b, condition::circuits_low), alert_class::none);
  b.does(events::pressure(starboard, false)).wait(1min);
  EXPECT_EQ(class_of(b, condition::circuits_low), alert_class::warning);
}

RULE_TEST(Alerts, SeveralCircuitsLowOnTheGroundAreNoWarning, "ALR-5 ALR-3") {
  bench b{two_engine_spec()};
  fly(b);
  touch_down(b);
  b.does(events::pressure(port, false), events::pressure(centre, false), events::pressure(starboard, false)).wait(1min);
  EXPECT_EQ(class_of(b, condition::circuits_low), alert_class::none);
}

// ---- ALR-6

RULE_TEST(Alerts, AnAcknowledgedOneStands, "ALR-6") {
  bench b{two_engine_spec()};
  b.does(events::air(port, true));
  ASSERT_FALSE(b.alert(condition::reservoir_air, events::circuit(port))->acknowledged);
  b.does(events::acknowledge());
  const auto found = b.alert(condition::reservoir_air, events::circuit(port));
  ASSERT_TRUE(found);
  EXPECT_TRUE(found->acknowledged);
  EXPECT_EQ(found->level, alert_class::caution);
}

RULE_TEST(Alerts, ANewAlertIsNotAcknowledgedByAnEarlierAcknowledgement, "ALR-6") {
  bench b{two_engine_spec()};
  b.does(events::air(port, true), events::acknowledge(), events::air(starboard, true));
  EXPECT_TRUE(b.alert(condition::reservoir_air, events::circuit(port))->acknowledged);
  EXPECT_FALSE(b.alert(condition::reservoir_air, events::circuit(starboard))->acknowledged);
}

RULE_TEST(Alerts, RecallBringsAcknowledgedOnesBack, "ALR-6") {
  bench b{two_engine_spec()};
  b.does(events::air(port, true), events::acknowledge(), events::recall());
  EXPECT_FALSE(b.alert(condition::reservoir_air, events::circuit(port))->acknowledged);
}

RULE_TEST(Alerts, AreHeldBackInAPhaseByTheLayoutsListAndStillListed, "ALR-6") {
  layout_spec spec = two_engine_spec();
  spec.inhibits = {{condition::quantity, true, false}};
  bench b{spec};
  b.does(events::level(port, fluid_level::low), events::air(port, true), events::phase(flight_phase::take_off));
  const auto held_back = b.alert(condition::quantity, events::circuit(port));
  ASSERT_TRUE(held_back) << "an inhibited alert is still listed";
  EXPECT_TRUE(held_back->inhibited);
  EXPECT_EQ(held_back->level, alert_class::caution);
  EXPECT_FALSE(b.alert(condition::reservoir_air, events::circuit(port))->inhibited) << "not in the list";
  b.does(events::phase(flight_phase::landing));
  EXPECT_FALSE(b.alert(condition::quantity, events::circuit(port))->inhibited);
  b.does(events::phase(flight_phase::other));
  EXPECT_FALSE(b.alert(condition::quantity, events::circuit(port))->inhibited);
}

RULE_TEST(Alerts, AreHeldBackInLandingWhenListedForIt, "ALR-6") {
  layout_spec spec = two_engine_spec();
  spec.inhibits = {{condition::quantity, false, true}};
  bench b{spec};
  b.does(events::level(port, fluid_level::low), events::phase(flight_phase::take_off));
  EXPECT_FALSE(b.alert(condition::quantity, events::circuit(port))->inhibited);
  b.does(events::phase(flight_phase::landing));
  EXPECT_TRUE(b.alert(condition::quantity, events::circuit(port))->inhibited);
}

// ---- ALR-7

RULE_TEST(Alerts, EachConsequenceStandsDirectlyBehindItsCause, "ALR-7") {
  layout_spec spec = two_engine_spec();
  spec.transfer_units.clear();
  bench b{spec};
  fly(b);
  b.does(events::failure(events::engine_pump(0), true), events::failure(events::engine_pump(1), true));
  b.pressures_follow().wait(1min);
  const observation seen = b.sees();
  int nested = 0;
  for (int i = 0; i < seen.alerts; ++i) {
    const int under = seen.alert[static_cast<std::size_t>(i)].under;
    if (under < 0) continue;
    ++nested;
    ASSERT_LT(under, i);
    for (int between = under + 1; between < i; ++between) {
      EXPECT_GE(seen.alert[static_cast<std::size_t>(between)].under, under) << "only consequences stand between";
    }
  }
  EXPECT_GE(nested, 2);
}

// ---- ELP-3 (a rule of this project)

RULE_TEST(ElectricPumpAlert, WantedAndFailedIsACautionWithItsCause, "ELP-3") {
  bench b = powered_twin();
  b.does(electric_switch(plain_pump, pump_switch::on), events::failure(events::electric_pump(plain_pump), true));
  const auto found = b.alert(condition::electric_pump, events::electric_pump(plain_pump));
  ASSERT_TRUE(found);
  EXPECT_EQ(found->level, alert_class::caution);
  EXPECT_EQ(found->cause, word(electric_pump_reason::failed));
}

RULE_TEST(ElectricPumpAlert, WantedAndOverheatedIsACautionWithItsCause, "ELP-3 AUX-3") {
  bench b = powered_twin();
  full_start(b, 0);
  b.does(events::overheat(events::electric_pump(duty_pump), true));
  const auto found = b.alert(condition::electric_pump, events::electric_pump(duty_pump));
  ASSERT_TRUE(found);
  EXPECT_EQ(found->level, alert_class::caution);
  EXPECT_EQ(found->cause, word(electric_pump_reason::overheat));
  b.does(events::overheat(events::electric_pump(duty_pump), false));
  EXPECT_FALSE(b.alert(condition::electric_pump, events::electric_pump(duty_pump)));
}

RULE_TEST(ElectricPumpAlert, WantedAndDryIsACautionWithItsCause, "ELP-3 LVL-4") {
  bench b = powered_twin();
  b.does(events::lever(forward_door, lever_position::open), events::level(port, fluid_level::empty));
  const auto found = b.alert(condition::electric_pump, events::electric_pump(cargo_pump));
  ASSERT_TRUE(found);
  EXPECT_EQ(found->level, alert_class::caution);
  EXPECT_EQ(found->cause, word(electric_pump_reason::dry));
}

RULE_TEST(ElectricPumpAlert, NotWantedIsNoCaution, "ELP-3 ALR-3") {
  bench b = powered_twin();
  b.does(events::overheat(events::electric_pump(duty_pump), true));
  EXPECT_EQ(b.level_of(condition::electric_pump, events::electric_pump(duty_pump)), alert_class::none);
}

RULE_TEST(ElectricPumpAlert, SwitchedOffIsNoCaution, "ELP-3 ALR-3") {
  bench b = powered_twin();
  b.does(electric_switch(plain_pump, pump_switch::on), events::failure(events::electric_pump(plain_pump), true));
  b.does(electric_switch(plain_pump, pump_switch::off));
  EXPECT_EQ(b.level_of(condition::electric_pump, events::electric_pump(plain_pump)), alert_class::none);
}

RULE_TEST(ElectricPumpAlert, WithoutPowerIsNoCaution, "ELP-3") {
  bench b{two_engine_spec()};
  b.does(electric_switch(plain_pump, pump_switch::on));
  EXPECT_EQ(b.sees().electric_pumps[plain_pump].reason, electric_pump_reason::no_power);
  EXPECT_EQ(b.level_of(condition::electric_pump, events::electric_pump(plain_pump)), alert_class::none);
}

// ---- Regulations

// 14 CFR 25.1322(b)(1): a warning is for immediate awareness and immediate response.
RULE_TEST(Regulations, LosingSeveralCircuitsInFlightIsOfTheWarningClass, "ALR-1 ALR-5") {
  bench b{two_engine_spec()};
  fly(b);
  b.does(events::pressure(port, false), events::pressure(starboard, false)).wait(1min);
  EXPECT_EQ(class_of(b, condition::circuits_low), alert_class::warning);
}

// 14 CFR 25.1322(b)(2): a caution is for immediate awareness and subsequent response.
RULE_TEST(Regulations, LowQuantityIsOfTheCautionClass, "ALR-1 LVL-1") {
  bench b{two_engine_spec()};
  b.does(events::level(port, fluid_level::low));
  EXPECT_EQ(quantity_of(b, port), alert_class::caution);
}

// 14 CFR 25.1322(b)(3): an advisory is for awareness and may require a subsequent response.
RULE_TEST(Regulations, AnOverfilledReservoirIsOfTheAdvisoryClass, "ALR-1 LVL-1") {
  bench b{two_engine_spec()};
  b.does(events::level(port, fluid_level::over));
  EXPECT_EQ(quantity_of(b, port), alert_class::advisory);
}

// 14 CFR 25.1322(a)(3): an alert is removed when its condition no longer exists.
RULE_TEST(Regulations, AnAlertIsRemovedWithItsConditionEvenWhenAcknowledged, "ALR-3 ALR-6") {
  bench b{two_engine_spec()};
  b.does(events::level(port, fluid_level::low), events::acknowledge(), events::level(port, fluid_level::normal));
  EXPECT_EQ(b.sees().alerts, 0);
}

// 14 CFR 25.1322(c)(3): each occurrence can be acknowledged; a new one calls again.
RULE_TEST(Regulations, ANewOccurrenceIsNotAcknowledged, "ALR-6") {
  bench b{two_engine_spec()};
  b.does(events::level(port, fluid_level::low), events::acknowledge(), events::level(port, fluid_level::normal));
  b.does(events::level(port, fluid_level::low));
  EXPECT_FALSE(b.alert(condition::quantity, events::circuit(port))->acknowledged);
}

// 14 CFR 25.1322(d): no alert for what is normal; a pump that stands still with its engine off is normal.
RULE_TEST(Regulations, AStandingPumpRaisesNoAlertWithItsEngineOff, "ALR-3 EDP-3") {
  bench b = powered_twin();
  b.wait(1h);
  EXPECT_EQ(alerts_from(b, alert_class::advisory), "");
}

// 14 CFR 25.783(e): the pilots see any door that is not closed, latched and locked.
RULE_TEST(Regulations, AnyDoorNotClosedIsShownWithAnEngineRunning, "CGO-15") {
  for (const unsigned open_door : {forward_door, aft_door}) {
    for (const door_travel how : {door_travel::between, door_travel::open}) {
      bench b{two_engine_spec()};
      b.does(events::travel(open_door, how));
      EXPECT_EQ(b.sees().doors[open_door].travel, how) << "visible at any time";
      start_to_idle(b, 0);
      EXPECT_EQ(b.level_of(condition::door_not_closed, events::door(open_door)), alert_class::caution);
      EXPECT_EQ(how_many(b, condition::door_not_closed), 1);
      b.does(events::travel(open_door, door_travel::closed));
      EXPECT_EQ(how_many(b, condition::door_not_closed), 0);
    }
  }
}

// 14 CFR 25.735(d): there is an indication while the parking brake is not fully released.
RULE_TEST(Regulations, TheParkingBrakeShowsThatItIsSet, "CON-6") {
  bench b{two_engine_spec()};
  EXPECT_TRUE(b.sees().parking_brake_set);
  b.does(events::parking_brake(false));
  EXPECT_FALSE(b.sees().parking_brake_set);
}

// 14 CFR 25.735(h): usable stored energy is indicated, and suffices for six applications.
RULE_TEST(Regulations, TheDemoAircraftStoresSixApplicationsAndShowsThem, "CON-3 CON-6") {
  const bench b{layouts::twin_freighter()};
  ASSERT_GE(b.aircraft().count(component::store), 1U);
  for (std::size_t i = 0; i < b.aircraft().count(component::store); ++i) EXPECT_GE(b.sees().stored[i], 6);
}

// CS 25.745(d), from memory: an alert before taxi when the steering may not work after towing.
RULE_TEST(Regulations, AnOpenSteeringLinkAlertsBeforeTheBrakeIsReleased, "STR-1 STR-2") {
  bench b{two_engine_spec()};
  b.does(events::steering(false));
  EXPECT_EQ(class_of(b, condition::steering), alert_class::advisory);
  full_start(b, 0);
  ASSERT_TRUE(b.sees().parking_brake_set) << "taxi has not begun";
  EXPECT_EQ(class_of(b, condition::steering), alert_class::caution);
}

// Was: an acknowledged advisory came back acknowledged when it had become a caution.
RULE_TEST(Alerts, AnAdvisoryThatBecomesACautionCallsForAttentionAgain, "ALR-4 ALR-6") {
  bench b{two_engine_spec()};
  b.does(events::steering(false));
  b.does(events::acknowledge());
  full_start(b, 0);
  const observation seen = b.sees();
  const auto standing = seen.alerts_standing();
  const auto found = std::find_if(standing.begin(), standing.end(),
                                  [](const observed_alert& a) { return a.condition == condition::steering; });
  ASSERT_NE(found, standing.end());
  EXPECT_EQ(found->level, alert_class::caution);
  EXPECT_FALSE(found->acknowledged);
}

}  // namespace
}  // namespace penstock_tests
