// Situations that stories seldom bring: ends of ranges, options left out, two things at once. Each shows what a condition
// of a decision does by itself, so that no decision is measured by half (see .ci/mcdc).
#include "support/bench.hpp"
#include "support/rule_test.hpp"

namespace penstock_tests {
namespace {

// --- engine pumps ----------------------------------------------------------------------------------

RULE_TEST(Boundary, APumpWithoutConfirmationTimeIsMissedOnlyWhileItIsMissed, "EDP-3") {
  layout_spec spec = two_engine_spec();
  for (auto& pump : spec.engine_pumps) pump.low_confirmation = milliseconds{0};
  bench b{spec};
  b.does(events::external_power(true));
  full_start(b, 0);
  EXPECT_EQ(b.level_of(condition::engine_pump, events::engine_pump(0)), alert_class::none);
  b.does(events::inject(fault::pump_weak, events::engine_pump(0)));
  EXPECT_EQ(b.level_of(condition::engine_pump, events::engine_pump(0)), alert_class::caution);
}

RULE_TEST(Boundary, ACircuitWithoutConfirmationTimeIsLowOnlyWhileItIsLow, "CIR-2 CIR-3") {
  layout_spec spec = two_engine_spec();
  for (auto& circuit : spec.circuits) circuit.low_confirmation = milliseconds{0};
  bench b{spec};
  b.does(events::external_power(true));
  full_start(b, 0);
  EXPECT_EQ(b.level_of(condition::circuit_low, events::circuit(cargo_circuit)), alert_class::none);
  b.does(events::pressure(cargo_circuit, false));
  EXPECT_EQ(b.level_of(condition::circuit_low, events::circuit(cargo_circuit)), alert_class::caution);
}

// --- service mode ----------------------------------------------------------------------------------

/// The twin with a pump without duty on the circuit of the doors as well.
bench twin_with_second_cargo_circuit_pump() {
  layout_spec spec = two_engine_spec();
  spec.electric_pumps.push_back(spec.electric_pumps[plain_pump]);
  spec.electric_pumps.back().name = "port-pump";
  spec.electric_pumps.back().circuit = "port";
  bench b{spec};
  b.does(events::external_power(true));
  return b;
}

RULE_TEST(Boundary, NoServiceModeWhereAnotherElectricPumpDelivers, "CGO-6") {
  bench alone = twin_with_second_cargo_circuit_pump();
  alone.does(events::lever(forward_door, lever_position::open));
  EXPECT_EQ(alone.sees().circuits[cargo_circuit].service, service_mode::service);
  bench b = twin_with_second_cargo_circuit_pump();
  b.does(events::crew_switch(events::electric_pump(3), pump_switch::on));
  b.does(events::lever(forward_door, lever_position::open));
  ASSERT_TRUE(b.sees().electric_pumps[cargo_pump].delivering);
  EXPECT_EQ(b.sees().circuits[cargo_circuit].service, service_mode::none);
}

RULE_TEST(Boundary, NoServiceModeWhereTheRamAirPumpDelivers, "CGO-6 RAT-1") {
  layout_spec spec = two_engine_spec();
  spec.ram_air_pumps[0].circuit = "port";
  bench b{spec};
  b.does(events::air_ground_is(air_ground::air), events::airspeed(airspeed_band::fast));
  ASSERT_EQ(b.sees().ram_air_pumps[0].mode, ram_air_mode::deployed);
  touch_down(b).does(events::external_power(true), events::lever(forward_door, lever_position::open));
  ASSERT_TRUE(b.sees().electric_pumps[cargo_pump].delivering);
  EXPECT_EQ(b.sees().circuits[cargo_circuit].service, service_mode::none) << "still fast: the ram-air pump delivers";
  b.does(events::airspeed(airspeed_band::slow));
  EXPECT_EQ(b.sees().circuits[cargo_circuit].service, service_mode::service);
}

// --- tests of transfer units -----------------------------------------------------------------------

RULE_TEST(Boundary, AnAbortAtSpeedGivesTheTestUpAtOnce, "PTU-5 ENG-4") {
  bench b = powered_twin();
  full_start(b, 0);
  b.does(events::start(1), events::spool(1, spool_band::turning));
  ASSERT_EQ(b.sees().units[0].outcome, test_outcome::pending);
  b.does(events::abort_start(1));
  ASSERT_EQ(b.sees().engines[1].mode, engine_mode::run_down) << "it turns still";
  EXPECT_EQ(b.sees().units[0].outcome, test_outcome::interrupted);
  EXPECT_EQ(b.sees().units[0].test_reason_, test_reason::start_given_up);
}

RULE_TEST(Boundary, OfTwoCrankingEnginesTheOneSelectedFirstIsTheSecondEngine, "PTU-3 PTU-10 ENG-7") {
  // Fewer than two engines feed the unit's circuits, so that all four are its own.
  layout_spec spec = four_engine_spec();
  spec.engine_pumps[1].circuit = "circuit-3";
  bench b{spec};
  b.does(events::external_power(true));
  full_start(b, 0);
  b.does(events::inject(fault::unit_seized, events::unit(0)));
  b.does(events::start(2));
  ASSERT_EQ(b.now().logic.units[0].second, 3U);
  b.does(events::start(1));
  EXPECT_EQ(b.now().logic.units[0].second, 3U) << "engine 2 came later, though its number is lower";
  EXPECT_EQ(b.now().logic.units[0].judged, 0b0100U);
  b.does(events::abort_start(2));
  EXPECT_EQ(b.now().logic.units[0].judged & 0b0010U, 0b0010U) << "then engine 2 is";
}

RULE_TEST(Boundary, ATestThatBelongsToNoStartRunsToItsLimit, "PTU-5 GEN-7") {
  // Set up by hand: the library itself never leaves a test without the start it belongs to.
  bench b = powered_twin();
  full_start(b, 0);
  state by_hand = b.now();
  by_hand.logic.units[0].test = test_mode::waiting;
  by_hand.logic.aircraft.parking_brake_set = false;  // not parked, so that nothing inhibits the unit
  b.begins_at(by_hand).wait(5s);
  EXPECT_EQ(b.now().logic.units[0].test, test_mode::waiting);
  b.wait(1s);
  EXPECT_EQ(b.sees().units[0].outcome, test_outcome::failed);
}

// --- consumers and stores --------------------------------------------------------------------------

RULE_TEST(Boundary, EachStoreServesItsOwnParkingBrake, "CON-3") {
  constexpr unsigned second_brake = 10;
  bench b{two_store_spec()};
  EXPECT_EQ(b.sees().consumers[second_brake].reason, consumer_reason::available) << "cold and dark: charged";
  const auto full = b.now().logic.aircraft.stored_0;
  ASSERT_GE(full, 1U);
  EXPECT_EQ(b.now().logic.aircraft.stored_1, full);
  b.does(events::stored(1, 0));
  EXPECT_EQ(b.now().logic.aircraft.stored_0, full);
  EXPECT_EQ(b.sees().consumers[parking_brake].reason, consumer_reason::available);
  EXPECT_EQ(b.sees().consumers[second_brake].reason, consumer_reason::exhausted);
  const state before = b.now();
  b.does(events::stored(1, 0));
  EXPECT_TRUE(b.now() == before) << "said once more";
}

RULE_TEST(Boundary, AStoreHoldsFromNothingToItsMostApplications, "CON-3") {
  bench b = twin();
  const auto most = b.aircraft().plan().store_at[0].most_applications;
  b.rejects(events::stored(0, -1), refusal_kind::bad_value);
  b.rejects(events::stored(0, most + 1), refusal_kind::bad_value);
  b.does(events::stored(0, 0), events::stored(0, most));
}

RULE_TEST(Boundary, LeakIsolationIsNoReasonForAConsumerOnAnotherBranch, "LEK-1 CON-4 CON-7") {
  layout_spec spec = small_twin_spec();
  spec.consumers[1].heavy = true;  // the gear, on the main branch of the circuit with leak isolation
  bench b{spec};
  b.does(events::external_power(true));
  full_start(b, 1);
  b.does(events::leak_isolation(1, true), events::priority(1, false));
  EXPECT_EQ(b.sees().consumers[1].reason, consumer_reason::shed);
  EXPECT_EQ(b.sees().consumers[3].reason, consumer_reason::outer_shut) << "the brakes are on the outer branch";
}

// --- events that cannot be -------------------------------------------------------------------------

RULE_TEST(Boundary, AnEventMayNameWhatDoesNotExist, "GEN-2 INS-1") {
  bench b = twin();
  b.rejects(events::make(event_kind::pressure, {static_cast<component>(99), 0}), refusal_kind::bad_value);
  event trigger = events::inject_when(fault::pump_failed, events::engine_pump(0), static_cast<fault_trigger>(99), {});
  b.rejects(trigger, refusal_kind::bad_value);
  trigger = events::inject_when(fault::pump_failed, events::engine_pump(0), fault_trigger::pump_delivers, events::engine(0));
  b.rejects(trigger, refusal_kind::wrong_part);
  trigger.trigger_about = events::engine_pump(0);
  b.does(trigger);
}

RULE_TEST(Boundary, ALeakIsAboveNothingAndUpTo100LitresASecond, "INS-1") {
  bench b = twin();
  const auto leak = [](std::int64_t flow) { return events::inject(fault::line_leak, events::circuit(0), flow); };
  b.rejects(leak(-1), refusal_kind::bad_value).rejects(leak(0), refusal_kind::bad_value);
  b.rejects(leak(100'000'001), refusal_kind::bad_value);
  b.does(leak(100'000'000));
}

RULE_TEST(Boundary, TimeEndsAfter24Days, "GEN-3") {
  bench b = twin();
  for (int day = 0; day < 24; ++day) b.wait(24h);
  b.rejects(events::elapsed(24h), refusal_kind::time);
  b.wait(1h);
}

// --- faults set up by hand -------------------------------------------------------------------------

/// A state with a fault that the library itself would have made active at once.
state armed_by_hand(const bench& b, fault_trigger trigger, std::uint32_t time) {
  state by_hand = b.now();
  by_hand.faults[0] = {.status = fault_status::armed,
                       .kind = fault::pump_failed,
                       .where = events::engine_pump(0),
                       .trigger = trigger,
                       .trigger_about = {},
                       .seen_in_air = false,
                       .amount = 0,
                       .trigger_time = time};
  return by_hand;
}

RULE_TEST(Boundary, AnArmedFaultWhoseTimeIsPastActsWithTheNextEvent, "INS-1 GEN-7") {
  bench b = twin();
  b.wait(10s);
  b.begins_at(armed_by_hand(b, fault_trigger::at_time, 5'000));
  EXPECT_EQ(b.deadline(), std::nullopt) << "nothing falls due: it is due already";
  b.wait(0s);
  EXPECT_EQ(b.now().faults[0].status, fault_status::active);
  EXPECT_NE(b.now().logic.engine_pumps[0].health, health_mode::healthy);
}

RULE_TEST(Boundary, AFaultArmedForAtOnceActsWithTheNextEvent, "INS-1 GEN-7") {
  bench b = twin();
  b.begins_at(armed_by_hand(b, fault_trigger::at_once, 0)).wait(0s);
  EXPECT_EQ(b.now().faults[0].status, fault_status::active);
}

}  // namespace
}  // namespace penstock_tests
