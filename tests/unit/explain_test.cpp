// Explanations must not contradict the state: each of these once did.
#include <algorithm>
#include <string>

#include "support/bench.hpp"
#include "support/rule_test.hpp"

namespace penstock_tests {
namespace {

std::string why(const bench& b, subject about) { return in_words(explain(b.aircraft(), b.now(), about)); }

TEST(Explain, AnEngineThatWasSetUpRunningHasNotFailedToStart) {
  const bench b{two_engine_spec()};
  auto to = reposition_of_cold_and_dark(b.aircraft());
  to.engine_runs[0] = true;
  const auto from = repositioned(b.aircraft(), to);
  ASSERT_TRUE(from);
  const auto words = in_words(explain(b.aircraft(), *from, events::engine(0)));
  EXPECT_EQ(words.find("has not been"), std::string::npos) << words;
}

TEST(Explain, AStuckSupplyValveIsClosedWhateverItsCommand) {
  bench b{two_engine_spec()};
  full_start(b, 0);
  b.does(events::inject(fault::supply_valve_stuck_closed, events::engine(0)));
  const auto words = why(b, events::engine_pump(0));
  EXPECT_NE(words.find("closed, whatever its command"), std::string::npos) << words;
  EXPECT_NE(words.find("supply-valve-stuck-closed"), std::string::npos) << words;
}

TEST(Explain, ATransferThatGoesOnAfterItsTestNamesTheDifference) {
  bench b{two_engine_spec()};
  b.does(events::crew_switch(events::engine_pump(1), pump_switch::off));
  full_start(b, 0);
  b.does(events::difference(0, pressure_difference::a_exceeds));
  b.does(events::start(1));
  b.does(events::pressure(1, true));
  b.wait(milliseconds{3'000});
  b.does(events::spool(1, spool_band::idle));
  b.does(events::starter_out(1));
  ASSERT_EQ(b.sees().units[0].mode, unit_mode::a_drives_b);
  ASSERT_EQ(b.sees().units[0].test, test_mode::idle);
  const auto words = why(b, events::unit(0));
  EXPECT_EQ(words.find("its test is on"), std::string::npos) << words;
  EXPECT_NE(words.find("[PTU-6]"), std::string::npos) << words;
}

TEST(Explain, AStoppedCargoPumpNamesWhatTheDoorsSayNow) {
  bench b{two_engine_spec()};
  b.does(events::external_power(true));
  b.does(events::lever(0, lever_position::open));
  b.does(events::external_power(false));
  b.does(events::lever(0, lever_position::neutral));
  b.does(events::external_power(true));
  const auto words = why(b, events::electric_pump(0));
  EXPECT_EQ(words.find("no power"), std::string::npos) << words;
  EXPECT_NE(words.find("[CGO-3 CGO-4]"), std::string::npos) << words;
}

TEST(Explain, ACoolingPumpNamesItsLimiterOnce) {
  auto spec = two_engine_spec();
  spec.electric_pumps[0].starts_allowed = 1;
  bench b{spec};
  b.does(events::external_power(true));
  b.does(events::lever(0, lever_position::open));
  b.does(events::lever(0, lever_position::neutral));
  b.does(events::lever(0, lever_position::open));
  ASSERT_EQ(b.sees().electric_pumps[0].reason, electric_pump_reason::not_wanted);
  const auto chain = explain(b.aircraft(), b.now(), events::electric_pump(0)).chain;
  EXPECT_EQ(std::count_if(chain.begin(), chain.end(), [](const cause& link) { return link.rule == "CGO-16"; }), 1);
}

TEST(Explain, ABusIsFedSinceItsSourceTookOver) {
  bench b{two_engine_spec()};
  b.does(events::external_power(true));
  b.wait(milliseconds{60'000});
  full_start(b, 0);
  const auto chain = explain(b.aircraft(), b.now(), events::bus(0)).chain;
  ASSERT_FALSE(chain.empty());
  EXPECT_NE(chain.front().fact.find("generator"), std::string::npos) << chain.front().fact;
  ASSERT_TRUE(chain.front().since);
  EXPECT_GE(*chain.front().since, 60'000U);
}

TEST(Explain, AMisplacedSubjectGivesAnEmptyChain) {
  const bench b{two_engine_spec()};
  EXPECT_TRUE(explain(b.aircraft(), b.now(), events::engine(9)).chain.empty());
  EXPECT_TRUE(explain(b.aircraft(), b.now(), {static_cast<component>(77), 0}).chain.empty());
}

}  // namespace
}  // namespace penstock_tests
