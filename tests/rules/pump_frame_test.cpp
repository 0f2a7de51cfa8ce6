// Engines, doors and pumps within one frame: events at the same time, and time in one piece or in many.
#include "support/bench.hpp"
#include "support/rule_test.hpp"

namespace penstock_tests {
namespace {

/// Both orders of two events give the same logic and the same timers.
void come_in_either_order(const bench& from, const event& one, const event& other) {
  bench there = from;
  bench back = from;
  there.does(one, other);
  back.does(other, one);
  EXPECT_TRUE(there.now().logic == back.now().logic)
      << testing::PrintToString(one) << " and " << testing::PrintToString(other) << " depend on their order";
  EXPECT_TRUE(there.now().timers == back.now().timers)
      << testing::PrintToString(one) << " and " << testing::PrintToString(other) << ": timers depend on their order";
}

RULE_TEST(SameFrame, PowerAndLeverComeInEitherOrder, "GEN-3 CGO-9") {
  come_in_either_order(twin(), events::external_power(true), events::lever(forward_door, lever_position::open));
}
RULE_TEST(SameFrame, TwoLeversComeInEitherOrder, "GEN-3 CGO-4") {
  come_in_either_order(powered_twin(), events::lever(forward_door, lever_position::open),
                       events::lever(aft_door, lever_position::open));
}
RULE_TEST(SameFrame, OverheatAndLeverComeInEitherOrder, "GEN-3 CGO-14") {
  bench b = powered_twin();
  b.does(events::lever(aft_door, lever_position::open));
  come_in_either_order(b, events::overheat(events::electric_pump(cargo_pump), true),
                       events::lever(forward_door, lever_position::open));
}
RULE_TEST(SameFrame, OneEngineStopsWhileTheOtherReachesIdleInEitherOrder, "GEN-3 AUX-1 AUX-2") {
  // The transfer unit is off: of two ends of a test the first decision stands [PTU-5], so its reason has an order.
  bench b = powered_twin();
  b.does(events::crew_switch(events::unit(0), pump_switch::off));
  full_start(b, 0);
  b.does(events::start(1), events::starter_out(1));
  come_in_either_order(b, events::shut_down(0), events::spool(1, spool_band::idle));
}
RULE_TEST(SameFrame, TwoFlameOutsComeInEitherOrder, "GEN-3 ENG-5 ENG-7") {
  bench b = powered_twin();
  full_start(b, 0);
  full_start(b, 1);
  come_in_either_order(b, events::flame_out(0), events::flame_out(1));
}
RULE_TEST(SameFrame, FireHandleAndSpoolComeInEitherOrder, "GEN-3 ENG-6 EDP-1") {
  bench b = powered_twin();
  b.does(events::start(0));
  come_in_either_order(b, events::fire_handle(0, true), events::spool(0, spool_band::idle));
}
RULE_TEST(SameFrame, EmptyReservoirAndSpoolComeInEitherOrder, "GEN-3 EDP-1") {
  come_in_either_order(powered_twin(), events::level(0, fluid_level::empty), events::spool(0, spool_band::driving));
}
RULE_TEST(SameFrame, SwitchesOfTwoPumpsMoveInEitherOrder, "GEN-3 CGO-8 EDP-2") {
  bench b = powered_twin();
  full_start(b, 0);
  come_in_either_order(b, events::crew_switch(events::engine_pump(0), pump_switch::off),
                       events::crew_switch(events::electric_pump(cargo_pump), pump_switch::on));
}
RULE_TEST(SameFrame, TimerExpiresBeforeTheEventOfTheSameTime, "GEN-3 EDP-3") {
  // The confirmation time ends and the supply comes back at the same time: the alert has its place first.
  bench b = powered_twin();
  full_start(b, 0);
  b.does(events::fire_handle(0, true)).wait(6s);
  EXPECT_TRUE(b.alert(condition::engine_pump, events::engine_pump(0)).has_value());
  b.does(events::fire_handle(0, false), events::reset_supply(0));
  EXPECT_FALSE(b.alert(condition::engine_pump, events::engine_pump(0)).has_value());
}

/// The same span of time in one piece and in pieces of a millisecond.
void passes_alike(const bench& from, int span) {
  bench whole = from;
  bench pieces = from;
  whole.wait(milliseconds{span});
  for (int t = 0; t < span; ++t) pieces.wait(1ms);
  EXPECT_TRUE(whole.now() == pieces.now());
}

RULE_TEST(PassingTime, MayBeSplitAcrossTheRunLimitAndTheHoldOff, "GEN-3 CGO-7 CGO-10") {
  layout_spec spec = two_engine_spec();
  spec.cargo_doors[forward_door].run_limit = 200ms;
  spec.circuits[cargo_circuit].service_hold_off = 100ms;
  bench b{spec};
  b.does(events::external_power(true), events::lever(forward_door, lever_position::open));
  passes_alike(b, 400);
}
RULE_TEST(PassingTime, MayBeSplitAcrossTheTouchdownDelay, "GEN-3 AUX-2") {
  layout_spec spec = two_engine_spec();
  spec.electric_pumps[duty_pump].touchdown_delay = 300ms;
  bench b{spec};
  b.does(events::external_power(true));
  take_off(b);
  touch_down(b);
  passes_alike(b, 400);
}
RULE_TEST(PassingTime, MayBeSplitAcrossAPumpAlert, "GEN-3 EDP-3") {
  layout_spec spec = two_engine_spec();
  spec.engine_pumps[0].low_confirmation = 250ms;
  bench b{spec};
  full_start(b, 0);
  b.does(events::fire_handle(0, true));
  passes_alike(b, 400);
}
RULE_TEST(PassingTime, OfZeroChangesNothing, "GEN-3 CGO-10") {
  bench b = powered_twin();
  b.does(events::lever(forward_door, lever_position::open)).wait(90s);
  const state before = b.now();
  b.wait(0ms);
  EXPECT_TRUE(b.now() == before);
}
RULE_TEST(PassingTime, NeverRunsBackwards, "GEN-2 GEN-3") {
  powered_twin().rejects(events::elapsed(-1ms), refusal_kind::time);
}

}  // namespace
}  // namespace penstock_tests
