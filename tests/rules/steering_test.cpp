// The steering link [STR-1 to STR-6].
#include "support/bench.hpp"
#include "support/rule_test.hpp"

namespace penstock_tests {
namespace {

constexpr unsigned starboard = 1;

/// Starboard, which feeds the steering, at pressure from its electric pump.
bench with_steering_pressure() {
  bench b = powered_twin();
  b.does(events::crew_switch(events::electric_pump(plain_pump), pump_switch::on)).pressures_follow();
  return b;
}

RULE_TEST(SteeringLink, DisconnectedWithoutEnginesIsAnAdvisory, "STR-1") {
  bench b{two_engine_spec()};
  b.does(events::steering(false));
  EXPECT_EQ(b.sees().steering, steering_mode::disconnected);
  EXPECT_EQ(class_of(b, condition::steering), alert_class::advisory);
}

RULE_TEST(SteeringLink, CrankingAloneKeepsTheAdvisory, "STR-1 STR-2") {
  bench b{two_engine_spec()};
  b.does(events::steering(false), events::start(1), events::spool(1, spool_band::near_idle));
  EXPECT_EQ(class_of(b, condition::steering), alert_class::advisory);
}

RULE_TEST(SteeringLink, DisconnectedWithAnyEngineRunningIsACaution, "STR-2") {
  for (const unsigned engine : {0U, 1U}) {
    bench b{two_engine_spec()};
    b.does(events::steering(false));
    start_to_idle(b, engine);
    EXPECT_EQ(class_of(b, condition::steering), alert_class::caution) << engine;
  }
}

RULE_TEST(SteeringLink, DisconnectingWithAnEngineRunningIsACautionAtOnce, "STR-2") {
  bench b{two_engine_spec()};
  full_start(b, 0);
  b.does(events::steering(false));
  EXPECT_EQ(class_of(b, condition::steering), alert_class::caution);
}

RULE_TEST(SteeringLink, CautionGoesBackToAdvisoryWhenTheLastEngineStops, "STR-2") {
  bench b{two_engine_spec()};
  b.does(events::steering(false));
  full_start(b, 0);
  full_start(b, 1);
  full_stop(b, 0);
  EXPECT_EQ(class_of(b, condition::steering), alert_class::caution);
  full_stop(b, 1);
  EXPECT_EQ(class_of(b, condition::steering), alert_class::advisory);
}

RULE_TEST(SteeringLink, ShowsOneClassAtATime, "STR-3 ALR-4") {
  bench b{two_engine_spec()};
  b.does(events::steering(false));
  EXPECT_EQ(how_many(b, condition::steering), 1);
  start_to_idle(b, 0);
  EXPECT_EQ(how_many(b, condition::steering), 1);
  b.does(events::shut_down(0));
  EXPECT_EQ(how_many(b, condition::steering), 1);
}

RULE_TEST(SteeringLink, ConnectedShowsNothing, "STR-3") {
  bench b{two_engine_spec()};
  EXPECT_EQ(how_many(b, condition::steering), 0);
  full_start(b, 0);
  EXPECT_EQ(how_many(b, condition::steering), 0);
  b.does(events::steering(false), events::steering(true));
  EXPECT_EQ(how_many(b, condition::steering), 0);
}

RULE_TEST(SteeringLink, SteeringIsNotAvailableWhileDisconnectedWhateverThePressure, "STR-4 CON-7") {
  bench b = with_steering_pressure();
  ASSERT_TRUE(b.sees().consumers[steering].available);
  b.does(events::steering(false));
  EXPECT_FALSE(b.sees().consumers[steering].available);
  EXPECT_EQ(b.sees().consumers[steering].reason, consumer_reason::disconnected);
  b.does(events::steering(true));
  EXPECT_TRUE(b.sees().consumers[steering].available);
}

RULE_TEST(SteeringLink, OtherConsumersOfTheCircuitStayAvailable, "STR-4") {
  bench b = with_steering_pressure();
  b.does(events::steering(false));
  EXPECT_TRUE(b.sees().consumers[reverser_2].available);
  EXPECT_EQ(b.sees().circuits[starboard].status, circuit_status::normal);
}

RULE_TEST(SteeringLink, ReconnectionIsRefusedWhileThePinIsIn, "STR-5 GEN-2") {
  bench b{two_engine_spec()};
  b.does(events::steering(false), events::pin(true));
  ASSERT_EQ(b.sees().steering, steering_mode::pinned);
  b.refused_by(events::steering(true), "STR-5");
}

RULE_TEST(SteeringLink, ARefusedReconnectionIsNotRemembered, "STR-5") {
  bench b{two_engine_spec()};
  b.does(events::steering(false), events::pin(true)).refuses(events::steering(true)).does(events::pin(false));
  EXPECT_EQ(b.sees().steering, steering_mode::disconnected);
  EXPECT_EQ(class_of(b, condition::steering), alert_class::advisory);
  b.does(events::steering(true));
  EXPECT_EQ(b.sees().steering, steering_mode::connected);
}

RULE_TEST(SteeringLink, ThePinDoesNotGoInWhileConnected, "STR-5 GEN-2") {
  bench b{two_engine_spec()};
  b.refused_by(events::pin(true), "STR-5");
}

RULE_TEST(SteeringLink, PinnedAlertsLikeDisconnected, "STR-1 STR-2 STR-4") {
  bench b = with_steering_pressure();
  b.does(events::steering(false), events::pin(true));
  EXPECT_EQ(class_of(b, condition::steering), alert_class::advisory);
  EXPECT_EQ(b.sees().consumers[steering].reason, consumer_reason::disconnected);
  start_to_idle(b, 1);
  EXPECT_EQ(class_of(b, condition::steering), alert_class::caution);
}

RULE_TEST(SteeringLink, CommandsWithNoMeaningAreRefused, "STR-5 GEN-2") {
  bench b{two_engine_spec()};
  b.refuses(events::steering(true)).refuses(events::pin(false));
  b.does(events::steering(false)).refuses(events::steering(false));
}

RULE_TEST(SteeringLink, DisconnectedInFlightIsACautionWithoutAnyEngine, "STR-6") {
  bench b{two_engine_spec()};
  b.does(events::steering(false));
  take_off(b);
  EXPECT_EQ(class_of(b, condition::steering), alert_class::caution);
  touch_down(b);
  EXPECT_EQ(class_of(b, condition::steering), alert_class::advisory);
}

RULE_TEST(SteeringLink, TheOnsetIsKeptThroughTheChangeOfClass, "STR-2 ALR-2") {
  bench b{two_engine_spec()};
  b.wait(3s).does(events::steering(false)).wait(57s);
  start_to_idle(b, 0);
  const observation seen = b.sees();
  for (const observed_alert& one : seen.alerts_standing()) {
    if (one.condition != condition::steering) continue;
    EXPECT_EQ(one.level, alert_class::caution);
    EXPECT_EQ(one.onset, 3'000U);
    EXPECT_TRUE(names_rule(one.rule, "STR-2")) << one.rule;
  }
}

}  // namespace
}  // namespace penstock_tests
