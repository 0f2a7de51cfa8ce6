// The rules of the chapter "Engines", seen from outside. Spool bands are facts; numbers are invented.
#include <algorithm>
#include <array>

#include "support/bench.hpp"
#include "support/rule_test.hpp"

namespace penstock_tests {
namespace {

engine_mode mode(const bench& b, unsigned e) { return b.sees().engines[e].mode; }
engine_role role(const bench& b, unsigned e) { return b.sees().engines[e].role; }
bool selected(const bench& b, unsigned e) { return b.sees().engines[e].selected; }

/// Whether engine e has been in that mode during the last event, if only in passing.
bool passed_through(const bench& b, unsigned e, engine_mode through) {
  return std::ranges::any_of(b.last().taken(), [&](const row_taken& t) {
    return t.machine == machine::engine && t.index == e &&
           mode_word(machine::engine, rows_of(machine::engine)[t.row].target) == word(through);
  });
}

bench cranking() {
  bench b = powered_twin();
  b.does(events::start(0), events::spool(0, spool_band::turning));
  return b;
}
bench at_idle() {
  bench b = cranking();
  b.does(events::spool(0, spool_band::idle));
  return b;
}
bench running() {
  bench b = at_idle();
  b.does(events::starter_out(0));
  return b;
}

// ENG-1

RULE_TEST(Engine, CranksWhenItsStartIsSelected, "ENG-1") {
  bench b = powered_twin();
  b.does(events::start(0));
  EXPECT_EQ(mode(b, 0), engine_mode::cranking);
  EXPECT_TRUE(selected(b, 0));
}
RULE_TEST(Engine, StartOfOneLeavesTheOtherAlone, "ENG-1") {
  bench b = powered_twin();
  b.does(events::start(1));
  EXPECT_EQ(mode(b, 0), engine_mode::stopped);
  EXPECT_FALSE(selected(b, 0));
}
RULE_TEST(Engine, StaysStoppedWithoutASelection, "ENG-1") {
  bench b = powered_twin();
  b.wait(1h);
  EXPECT_EQ(mode(b, 0), engine_mode::stopped);
}
RULE_TEST(Engine, RefusesAStartWhileItCranks, "ENG-1 GEN-2") { cranking().refuses(events::start(0)); }
RULE_TEST(Engine, RefusesAStartAtIdle, "ENG-1 GEN-2") { at_idle().refuses(events::start(0)); }
RULE_TEST(Engine, RefusesAStartWhileItRuns, "ENG-1 GEN-2") { running().refuses(events::start(0)); }
RULE_TEST(Engine, RejectsAStartOfAnEngineThatIsNotThere, "ENG-1 GEN-2") {
  powered_twin().rejects(events::start(2), refusal_kind::no_such_part);
}
RULE_TEST(Engine, RejectsAStartOfACircuit, "ENG-1 GEN-2") {
  powered_twin().rejects(events::make(event_kind::start, events::circuit(0)), refusal_kind::wrong_part);
}

// ENG-2

RULE_TEST(Engine, RunsWhenItsSpoolReachesIdle, "ENG-2 GEN-4") {
  bench b = cranking();
  b.does(events::spool(0, spool_band::idle));
  EXPECT_EQ(mode(b, 0), engine_mode::at_idle);
}
RULE_TEST(Engine, StillCranksJustBelowIdle, "ENG-2 GEN-4") {
  bench b = cranking();
  b.does(events::spool(0, spool_band::near_idle)).wait(1h);
  EXPECT_EQ(mode(b, 0), engine_mode::cranking);
}

// ENG-3

RULE_TEST(Engine, CompletesItsStartWhenStarterAndIgnitionAreOff, "ENG-3") {
  bench b = at_idle();
  b.does(events::starter_out(0));
  EXPECT_EQ(mode(b, 0), engine_mode::running);
}
RULE_TEST(Engine, StaysAtIdleUntilTheStarterIsReportedOff, "ENG-3") {
  bench b = at_idle();
  b.wait(1h);
  EXPECT_EQ(mode(b, 0), engine_mode::at_idle);
}
RULE_TEST(Engine, StarterOfTheOtherEngineDoesNotCompleteItsStart, "ENG-3") {
  bench b = at_idle();
  b.does(events::start(1)).does(events::starter_out(1));
  EXPECT_EQ(mode(b, 0), engine_mode::at_idle);
}

// ENG-4

RULE_TEST(Engine, AbortedStartRunsDownAndCancelsTheSelection, "ENG-4") {
  bench b = cranking();
  b.does(events::abort_start(0));
  EXPECT_EQ(mode(b, 0), engine_mode::run_down);
  EXPECT_FALSE(selected(b, 0));
}
RULE_TEST(Engine, ShutDownWhileCrankingRunsDownAndCancelsTheSelection, "ENG-4") {
  bench b = cranking();
  b.does(events::shut_down(0));
  EXPECT_EQ(mode(b, 0), engine_mode::run_down);
  EXPECT_FALSE(selected(b, 0));
}
RULE_TEST(Engine, HungStartRunsDownAndCancelsTheSelection, "ENG-4") {
  bench b = cranking();
  b.does(events::hang(0));
  EXPECT_EQ(mode(b, 0), engine_mode::run_down);
  EXPECT_FALSE(selected(b, 0));
}
RULE_TEST(Engine, FlameOutWhileCrankingRunsDownAndCancelsTheSelection, "ENG-4") {
  bench b = cranking();
  b.does(events::flame_out(0));
  EXPECT_EQ(mode(b, 0), engine_mode::run_down);
  EXPECT_FALSE(selected(b, 0));
}
RULE_TEST(Engine, StartAbortedBeforeItTurnsEndsStopped, "ENG-4 ENG-5") {
  bench b = powered_twin();
  b.does(events::start(0), events::abort_start(0));
  EXPECT_EQ(mode(b, 0), engine_mode::stopped);
  EXPECT_FALSE(selected(b, 0));
}
RULE_TEST(Engine, AttemptAfterAnAbortIsANewStart, "ENG-4") {
  bench b = cranking();
  b.does(events::abort_start(0), events::spool(0, spool_band::zero), events::start(0));
  EXPECT_EQ(mode(b, 0), engine_mode::cranking);
  EXPECT_TRUE(selected(b, 0));
}
RULE_TEST(Engine, AbortedStartIsNotResumedByItsSpool, "ENG-4") {
  bench b = cranking();
  b.does(events::abort_start(0), events::spool(0, spool_band::idle));
  EXPECT_EQ(mode(b, 0), engine_mode::run_down);
}
RULE_TEST(Engine, RefusesAnAbortWhenNothingCranks, "ENG-4 GEN-2") { powered_twin().refuses(events::abort_start(0)); }
RULE_TEST(Engine, RefusesAnAbortOnceTheStartIsComplete, "ENG-4 GEN-2") { running().refuses(events::abort_start(0)); }
RULE_TEST(Engine, HangAfterTheStartIsCompleteMeansNothing, "ENG-4") {
  bench b = running();
  b.tries(events::hang(0));
  EXPECT_EQ(mode(b, 0), engine_mode::running);
  EXPECT_TRUE(selected(b, 0));
}

// ENG-5

RULE_TEST(Engine, ShutDownWhileRunningRunsDown, "ENG-5") {
  bench b = running();
  b.does(events::shut_down(0));
  EXPECT_EQ(mode(b, 0), engine_mode::run_down);
}
RULE_TEST(Engine, ShutDownAtIdleRunsDown, "ENG-5") {
  bench b = at_idle();
  b.does(events::shut_down(0));
  EXPECT_EQ(mode(b, 0), engine_mode::run_down);
}
RULE_TEST(Engine, FlameOutWhileRunningRunsDown, "ENG-5") {
  bench b = running();
  b.does(events::flame_out(0));
  EXPECT_EQ(mode(b, 0), engine_mode::run_down);
}
RULE_TEST(Engine, FlameOutAtIdleRunsDown, "ENG-5") {
  bench b = at_idle();
  b.does(events::flame_out(0));
  EXPECT_EQ(mode(b, 0), engine_mode::run_down);
}
RULE_TEST(Engine, IsStoppedWhenItsSpoolStandsStill, "ENG-5") {
  bench b = running();
  b.does(events::shut_down(0), events::spool(0, spool_band::turning));
  EXPECT_EQ(mode(b, 0), engine_mode::run_down) << "while it turns";
  b.does(events::spool(0, spool_band::zero));
  EXPECT_EQ(mode(b, 0), engine_mode::stopped) << "at standstill";
}
RULE_TEST(Engine, CanBeStartedWhileItRunsDown, "ENG-5") {
  bench b = running();
  b.does(events::shut_down(0), events::spool(0, spool_band::turning), events::start(0));
  EXPECT_EQ(mode(b, 0), engine_mode::cranking);
}
RULE_TEST(Engine, StartWithTheSpoolStillAtIdleReachesIdleInTheSameFrame, "ENG-5") {
  bench b = running();
  b.does(events::shut_down(0), events::start(0));
  EXPECT_EQ(mode(b, 0), engine_mode::at_idle);
  EXPECT_TRUE(passed_through(b, 0, engine_mode::cranking));
}
RULE_TEST(Engine, StartWithTheSpoolStillAtIdleRunsNoTransferTest, "ENG-5 PTU-3") {
  bench b = powered_twin();
  full_start(b, 0);
  b.does(events::crew_switch(events::engine_pump(1), pump_switch::off));
  full_start(b, 1);
  b.does(events::shut_down(1), events::start(1));
  EXPECT_EQ(mode(b, 1), engine_mode::at_idle);
  const auto unit = b.sees().units[0];
  EXPECT_NE(unit.test, test_mode::waiting);
  EXPECT_NE(unit.test, test_mode::holding);
  EXPECT_NE(unit.outcome, test_outcome::pending);
  EXPECT_EQ(b.level_of(condition::transfer_test, events::unit(0)), alert_class::none);
}
RULE_TEST(Engine, RefusesAShutDownWhenStopped, "ENG-5 GEN-2") { powered_twin().refuses(events::shut_down(0)); }

// ENG-6

RULE_TEST(Engine, FireHandleClosesTheSupplyValve, "ENG-6") {
  bench b = running();
  b.does(events::fire_handle(0, true));
  EXPECT_FALSE(b.sees().engines[0].supply_open);
  EXPECT_TRUE(b.sees().engines[0].fire_handle_pulled);
}
RULE_TEST(Engine, FireHandleDoesNothingElse, "ENG-6") {
  bench b = running();
  b.does(events::fire_handle(0, true));
  const observation seen = b.sees();
  EXPECT_EQ(seen.engines[0].mode, engine_mode::running);
  EXPECT_TRUE(seen.engines[0].selected);
  EXPECT_TRUE(seen.engine_pumps[0].switched_on);
  EXPECT_TRUE(seen.engines[1].supply_open);
  EXPECT_TRUE(seen.electric_pumps[duty_pump].delivering);
}
RULE_TEST(Engine, StowingTheFireHandleDoesNotReopenTheValve, "ENG-6") {
  bench b = running();
  b.does(events::fire_handle(0, true), events::fire_handle(0, false)).wait(1h);
  EXPECT_FALSE(b.sees().engines[0].fire_handle_pulled);
  EXPECT_FALSE(b.sees().engines[0].supply_open);
}
RULE_TEST(Engine, ResetReopensTheValveOnceTheHandleIsStowed, "ENG-6") {
  bench b = running();
  b.does(events::fire_handle(0, true), events::fire_handle(0, false), events::reset_supply(0));
  EXPECT_TRUE(b.sees().engines[0].supply_open);
}
RULE_TEST(Engine, ResetDoesNotOpenTheValveWhileTheHandleIsPulled, "ENG-6 GEN-2") {
  bench b = running();
  b.does(events::fire_handle(0, true)).refuses(events::reset_supply(0));
}
RULE_TEST(Engine, RefusesAResetOfAnOpenValve, "ENG-6 GEN-2") { running().refuses(events::reset_supply(0)); }
RULE_TEST(Engine, FireHandleClosesTheValveOfAStoppedEngineToo, "ENG-6") {
  bench b = powered_twin();
  b.does(events::fire_handle(1, true));
  EXPECT_FALSE(b.sees().engines[1].supply_open);
}

// ENG-7

RULE_TEST(EngineRole, NoneWhileItCranksAlone, "ENG-7") {
  bench b = cranking();
  EXPECT_EQ(role(b, 0), engine_role::none);
}
RULE_TEST(EngineRole, NoneWhileAllThatTurnOnlyCrank, "ENG-7") {
  bench b = cranking();
  b.does(events::start(1));
  EXPECT_EQ(role(b, 0), engine_role::none);
  EXPECT_EQ(role(b, 1), engine_role::none);
}
RULE_TEST(EngineRole, FirstAtItsIdle, "ENG-7") { EXPECT_EQ(role(at_idle(), 0), engine_role::first); }
RULE_TEST(EngineRole, SecondAsSoonAsItCranksWhileAnotherRuns, "ENG-7") {
  bench b = running();
  b.does(events::start(1));
  EXPECT_EQ(role(b, 0), engine_role::first);
  EXPECT_EQ(role(b, 1), engine_role::second);
}
RULE_TEST(EngineRole, FollowsTheOrderOfStartingNotTheNumber, "ENG-7") {
  bench b = powered_twin();
  full_start(b, 1);
  full_start(b, 0);
  EXPECT_EQ(role(b, 1), engine_role::first);
  EXPECT_EQ(role(b, 0), engine_role::second);
}
RULE_TEST(EngineRole, SecondBecomesFirstWhenTheFirstStops, "ENG-7") {
  bench b = powered_twin();
  full_start(b, 0);
  full_start(b, 1);
  b.does(events::shut_down(0));
  EXPECT_EQ(role(b, 0), engine_role::none);
  EXPECT_EQ(role(b, 1), engine_role::first);
}
RULE_TEST(EngineRole, FormerFirstComesBackAsSecond, "ENG-7") {
  bench b = powered_twin();
  full_start(b, 0);
  full_start(b, 1);
  full_stop(b, 0);
  full_start(b, 0);
  EXPECT_EQ(role(b, 1), engine_role::first);
  EXPECT_EQ(role(b, 0), engine_role::second);
}
RULE_TEST(EngineRole, CrankingSecondHasNoRoleWhenTheOnlyRunningOneStops, "ENG-7") {
  bench b = running();
  b.does(events::start(1), events::shut_down(0));
  EXPECT_EQ(role(b, 0), engine_role::none);
  EXPECT_EQ(role(b, 1), engine_role::none);
}
RULE_TEST(EngineRole, NoneAfterAnAbortedSecondStart, "ENG-7") {
  bench b = running();
  b.does(events::start(1), events::spool(1, spool_band::turning), events::abort_start(1));
  EXPECT_EQ(role(b, 1), engine_role::none);
}
RULE_TEST(EngineRole, CrankingTogetherOneBecomesSecondWhenTheOtherRuns, "ENG-7") {
  bench b = powered_twin();
  b.does(events::start(0), events::start(1), events::spool(1, spool_band::idle));
  EXPECT_EQ(role(b, 1), engine_role::first);
  EXPECT_EQ(role(b, 0), engine_role::second);
}
RULE_TEST(EngineRole, EveryOrderOfFourEnginesIsLegal, "ENG-7") {
  std::array<unsigned, 4> order{0, 1, 2, 3};
  do {
    bench b{four_engine_spec()};
    b.does(events::external_power(true));
    for (const unsigned e : order) full_start(b, e);
    SCOPED_TRACE(testing::PrintToString(order));
    EXPECT_EQ(role(b, order[0]), engine_role::first);
    EXPECT_EQ(role(b, order[1]), engine_role::second);
    EXPECT_EQ(role(b, order[2]), engine_role::further);
    EXPECT_EQ(role(b, order[3]), engine_role::further);
  } while (std::ranges::next_permutation(order).found);
}
RULE_TEST(EngineRole, ThirdMovesUpWhenTheSecondStops, "ENG-7") {
  bench b{four_engine_spec()};
  b.does(events::external_power(true));
  for (const unsigned e : {2U, 0U, 3U}) full_start(b, e);
  b.does(events::shut_down(0));
  EXPECT_EQ(role(b, 2), engine_role::first);
  EXPECT_EQ(role(b, 3), engine_role::second);
}

// ENG-8

RULE_TEST(Engine, StarterThatCutsOutBeforeIdleIsRemembered, "ENG-8") {
  bench b = cranking();
  b.does(events::starter_out(0));
  EXPECT_EQ(mode(b, 0), engine_mode::cranking) << "before idle";
  b.does(events::spool(0, spool_band::idle));
  EXPECT_EQ(mode(b, 0), engine_mode::running) << "at idle";
}
RULE_TEST(Engine, PassesThroughIdleWhenTheStarterCutOutBefore, "ENG-8 ENG-2 ENG-3") {
  bench b = cranking();
  b.does(events::starter_out(0), events::spool(0, spool_band::idle));
  EXPECT_TRUE(passed_through(b, 0, engine_mode::at_idle));
  EXPECT_TRUE(passed_through(b, 0, engine_mode::running));
}
RULE_TEST(Engine, StarterOfAnAbortedStartIsForgotten, "ENG-8 ENG-4") {
  bench b = cranking();
  b.does(events::starter_out(0), events::abort_start(0), events::spool(0, spool_band::zero));
  b.does(events::start(0), events::spool(0, spool_band::idle));
  EXPECT_EQ(mode(b, 0), engine_mode::at_idle);
}
RULE_TEST(Engine, StarterOfAnEarlierRunIsForgotten, "ENG-8") {
  bench b = running();
  full_stop(b, 0);
  start_to_idle(b, 0);
  EXPECT_EQ(mode(b, 0), engine_mode::at_idle);
}
RULE_TEST(Engine, StarterReportedOffBeforeTheStartDoesNotCount, "ENG-8") {
  bench b = powered_twin();
  b.tries(events::starter_out(0));
  start_to_idle(b, 0);
  EXPECT_EQ(mode(b, 0), engine_mode::at_idle);
}

// ENG-9

RULE_TEST(Engine, BelowSubIdleWhileRunningRunsDown, "ENG-9") {
  bench b = running();
  b.does(events::spool(0, spool_band::driving));
  EXPECT_EQ(mode(b, 0), engine_mode::run_down);
}
RULE_TEST(Engine, BelowSubIdleBeforeTheStarterIsOutRunsDown, "ENG-9") {
  bench b = at_idle();
  b.does(events::spool(0, spool_band::driving));
  EXPECT_EQ(mode(b, 0), engine_mode::run_down);
}
RULE_TEST(Engine, AtTheSubIdleMarkItStillRuns, "ENG-9 GEN-4") {
  bench b = running();
  b.does(events::spool(0, spool_band::near_idle));
  EXPECT_EQ(mode(b, 0), engine_mode::running);
}
RULE_TEST(Engine, SubIdleCountsAsAFlameOutAndKeepsTheSelection, "ENG-9 ENG-10") {
  bench b = running();
  b.does(events::spool(0, spool_band::driving));
  EXPECT_TRUE(selected(b, 0));
}
RULE_TEST(Engine, SpoolThatStopsAtOnceEndsStopped, "ENG-9 ENG-5") {
  bench b = running();
  b.does(events::spool(0, spool_band::zero));
  EXPECT_EQ(mode(b, 0), engine_mode::stopped);
}
RULE_TEST(Engine, TurningWithoutAStartIsWindmilling, "ENG-9") {
  bench b = powered_twin();
  b.does(events::spool(0, spool_band::turning));
  EXPECT_EQ(mode(b, 0), engine_mode::run_down);
  EXPECT_FALSE(selected(b, 0));
}
RULE_TEST(Engine, WindmillingAtIdleSpeedIsNotRunning, "ENG-9") {
  bench b = powered_twin();
  b.does(events::spool(0, spool_band::idle));
  EXPECT_EQ(mode(b, 0), engine_mode::run_down);
  EXPECT_EQ(role(b, 0), engine_role::none);
}
RULE_TEST(Engine, WindmillingEngineCanBeStarted, "ENG-9 ENG-5") {
  bench b = powered_twin();
  b.does(events::spool(0, spool_band::turning), events::start(0));
  EXPECT_EQ(mode(b, 0), engine_mode::cranking);
}

// ENG-10

RULE_TEST(EngineSelection, IsHeldWhileTheEngineRuns, "ENG-10") {
  bench b = running();
  b.wait(1h);
  EXPECT_TRUE(selected(b, 0));
}
RULE_TEST(EngineSelection, IsCancelledByAShutDown, "ENG-10") {
  bench b = running();
  b.does(events::shut_down(0));
  EXPECT_FALSE(selected(b, 0));
}
RULE_TEST(EngineSelection, OutlivesAFlameOutAfterIdle, "ENG-10") {
  bench b = running();
  b.does(events::flame_out(0), events::spool(0, spool_band::zero));
  EXPECT_EQ(mode(b, 0), engine_mode::stopped);
  EXPECT_TRUE(selected(b, 0));
}
RULE_TEST(EngineSelection, IsCancelledByAShutDownAfterAFlameOut, "ENG-10") {
  bench b = running();
  b.does(events::flame_out(0), events::shut_down(0));
  EXPECT_FALSE(selected(b, 0));
  EXPECT_EQ(mode(b, 0), engine_mode::run_down);
}
RULE_TEST(EngineSelection, IsCancelledByAShutDownAtStandstillAfterAFlameOut, "ENG-10") {
  bench b = running();
  b.does(events::flame_out(0), events::spool(0, spool_band::zero), events::shut_down(0));
  EXPECT_FALSE(selected(b, 0));
  EXPECT_EQ(mode(b, 0), engine_mode::stopped);
}
RULE_TEST(EngineSelection, HeldAfterAFlameOutDoesNotHinderANewStart, "ENG-10 ENG-5") {
  bench b = running();
  b.does(events::flame_out(0), events::spool(0, spool_band::turning), events::start(0));
  EXPECT_EQ(mode(b, 0), engine_mode::cranking);
}
RULE_TEST(EngineSelection, HeldAfterAFlameOutDoesNotRestartTheEngineByItself, "ENG-10 GEN-1") {
  bench b = running();
  b.does(events::flame_out(0)).wait(1h);
  EXPECT_EQ(mode(b, 0), engine_mode::run_down);
  b.does(events::spool(0, spool_band::zero)).wait(1h);
  EXPECT_EQ(mode(b, 0), engine_mode::stopped);
}

}  // namespace
}  // namespace penstock_tests
