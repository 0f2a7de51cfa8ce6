// The fluid plant in the simulation: the same bits however time is cut, and quiet time costs nothing and changes
// nothing.
#include <string>
#include <vector>

#include <gtest/gtest.h>

#include "plant/any_layout.hpp"
#include "support/bench.hpp"
#include "support/rule_test.hpp"

namespace penstock_tests {
namespace {

struct timed {
  milliseconds at;
  event what;
};

/// Three minutes on the ground and in the air; times that are no whole frame too.
std::vector<timed> story() {
  namespace e = events;
  return {{0ms, e::external_power(true)},
          {1'003ms, e::inject(fault::line_leak, e::circuit(0), 2'345)},
          {2'017ms, e::lever(0, lever_position::open)},
          {12'345ms, e::external_power(false)},
          {13'001ms, e::external_power(true)},
          {20'000ms, e::lever(0, lever_position::close)},
          {48'111ms, e::lever(0, lever_position::neutral)},
          {50'007ms, e::start(0)},
          {85'005ms, e::start(1)},
          {120'013ms, e::external_power(false)},
          {121'000ms, e::parking_brake(false)},
          {122'001ms, e::apply_brakes()},
          {125'000ms, e::air_ground_is(air_ground::air)},
          {126'006ms, e::gear(false)},
          {150'000ms, e::flame_out(1)},
          {160'009ms, e::gear(true)}};
}

struct heard {
  event what;
  std::uint32_t when;
  friend bool operator==(const heard&, const heard&) = default;
};
struct end_of_story {
  state logic;
  plant_state plant;
  std::vector<heard> all;
};

/// Plays the story, asking for `step(n)` ms at the n-th call, never beyond the next event.
template <class Step>
end_of_story play(const layout& of, Step step) {
  simulation s{of, plant_kind::fluid};
  std::vector<heard> all;
  s.watch([&all](const simulation::frame& f) {
    if (f.happening.kind != event_kind::elapsed) all.push_back({f.happening, f.after.chronicle.now});
  });
  std::int64_t now = 0;
  unsigned number = 0;
  const auto go_to = [&](std::int64_t then) {
    while (now < then) {
      const std::int64_t dt = std::min<std::int64_t>(step(number++), then - now);
      EXPECT_TRUE(s.advance(milliseconds{dt}).accepted());
      now += dt;
    }
  };
  for (const timed& one : story()) {
    go_to(one.at.count());
    EXPECT_TRUE(s.apply(one.what).accepted()) << testing::PrintToString(one.what);
  }
  go_to(180'000);
  return {s.now(), s.fluid(), all};
}

RULE_TEST(FluidTime, GivesTheSameBitsHoweverAdvanceIsCalled, "GEN-3") {
  const layout of = checked(layouts::twin_freighter());
  const end_of_story whole = play(of, [](unsigned) { return std::int64_t{1'000'000}; });
  EXPECT_GT(whole.all.size(), story().size() + 20) << "the plant must have told facts";
  const end_of_story by_ms = play(of, [](unsigned) { return std::int64_t{1}; });
  const end_of_story by_frames = play(of, [](unsigned n) { return std::int64_t{n % 3 == 0 ? 16 : 17}; });
  dice d{4};
  const end_of_story by_chance = play(of, [&d](unsigned) { return static_cast<std::int64_t>(1 + d.below(500)); });
  for (const end_of_story* other : {&by_ms, &by_frames, &by_chance}) {
    EXPECT_TRUE(other->plant == whole.plant);
    EXPECT_TRUE(other->logic == whole.logic);
    EXPECT_EQ(other->all, whole.all);
  }
}

RULE_TEST(FluidTime, QuietTimeIsWhatAllItsFramesWouldBe, "GEN-3") {
  const layout of = checked(layouts::twin_freighter());
  simulation s{of, plant_kind::fluid};
  EXPECT_TRUE(s.apply(events::external_power(true)).accepted());
  EXPECT_TRUE(s.apply(events::lever(0, lever_position::open)).accepted());
  s.advance(30s);
  EXPECT_TRUE(s.apply(events::lever(0, lever_position::neutral)).accepted());
  s.advance(5min);
  plant_state by_hand = s.fluid();
  const plant_commands commands = commands_for(of, s.now());
  const double frame = static_cast<double>(simulation::plant_frame.count()) * 1e-3;
  for (int i = 0; i < 60 * 100 * 60; ++i) {  // an hour
    ASSERT_EQ(integrate_in_place(of, by_hand, commands, frame).kind, refusal_kind::none);
  }
  s.advance(1h);
  EXPECT_TRUE(s.fluid() == by_hand);
}

RULE_TEST(FluidTime, AColdAircraftRestsAtOnce, "GEN-5") {
  const layout of = checked(layouts::twin_freighter());
  simulation s{of, plant_kind::fluid};
  const plant_state before = s.fluid();
  plant_state by_hand = before;
  for (int i = 0; i < 1'000; ++i) {
    ASSERT_EQ(integrate_in_place(of, by_hand, commands_for(of, s.now()), 0.01).kind, refusal_kind::none);
  }
  EXPECT_TRUE(by_hand == before);
  s.advance(12h);  // would take 4 million frames
  EXPECT_TRUE(s.fluid() == before);
}

}  // namespace
}  // namespace penstock_tests
