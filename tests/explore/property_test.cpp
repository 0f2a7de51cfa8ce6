// Properties that people write themselves: what they mean, and what is wrong with a bad one.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cstdint>
#include <fstream>
#include <iterator>
#include <string>
#include <vector>

#include "explore/aircraft.hpp"
#include "penstock/explore.hpp"

namespace {

using namespace penstock;
using penstock_tests::part_named;
using penstock_tests::shipped;
using ::testing::HasSubstr;

class silent : public lesson_audience {};

search_result searched(const layout& of, const std::string& part, const std::string& yaml) {
  auto read = properties_from_yaml(of, yaml, "mine.yaml");
  if (!read) throw std::invalid_argument(to_string(read.problem()));
  search_options options;
  options.properties = *std::move(read);
  options.judge_orders = false;
  return search(of, part_named(of, part), options);
}

TEST(OwnProperties, ThatHoldAreNotBroken) {
  const layout of = shipped("small-twin");
  const auto found = searched(of, "doors-of-aft",
                              "properties:\n"
                              "  - name: no-door-in-flight\n"
                              "    sentence: In flight no door asks.\n"
                              "    never: [aft-pump demand is door, rear is blocked]\n"
                              "  - name: asks-runs\n"
                              "    when: rear is asking\n"
                              "    must: aft-pump runs\n");
  EXPECT_EQ(found.end, search_end::complete);
  EXPECT_TRUE(found.violations.empty()) << found.violations.front().found;
}

TEST(OwnProperties, ThatDoNotHoldComeWithTheShortestStoryAsALesson) {
  const layout of = shipped("small-twin");
  const auto found = searched(of, "doors-of-aft",
                              "properties:\n"
                              "  - name: never-timed-out\n"
                              "    never: rear is timed-out\n");
  ASSERT_EQ(found.violations.size(), 1U);
  EXPECT_EQ(found.violations[0].property, "never-timed-out");
  EXPECT_EQ(found.violations[0].sentence, "Never: rear is timed-out.");
  ASSERT_EQ(found.violations[0].path.size(), 2U) << "lever left out at the end of travel, and the run limit is reached";
  EXPECT_TRUE(found.violations[0].path.back().runs_out);
  auto properties = properties_from_yaml(of, "properties: [{name: never-timed-out, never: rear is timed-out}]", "mine.yaml");
  ASSERT_TRUE(properties);
  const path_lesson made = lesson_of(of, "small-twin", found.violations[0], *properties);
  EXPECT_TRUE(made.replays);
  EXPECT_EQ(made.told.end, milliseconds{60'000}) << "the run limit of the door";
  const auto read = lesson_from_yaml(lesson_to_yaml(made.told), "found.yaml");
  ASSERT_TRUE(read) << to_string(read.problem());
  silent nobody;
  const lesson_result played = play(*read, nobody);
  EXPECT_TRUE(played.failures.empty());
  EXPECT_GT(played.expectations, 1U);
}

TEST(OwnProperties, WithWhenAndMustAreBrokenWhereTheFirstIsSoAndTheOtherIsNot) {
  const layout of = shipped("small-twin");
  const auto found = searched(of, "doors-of-aft",
                              "properties:\n"
                              "  - name: asks-normal\n"
                              "    when: [rear is asking, aft-pump runs]\n"
                              "    must: [aft service is service, aft status is normal]\n");
  ASSERT_EQ(found.violations.size(), 1U);
  EXPECT_EQ(found.violations[0].path.size(), 2U);
  EXPECT_THAT(found.violations[0].found, HasSubstr("aft is low; it must be so: aft status is normal"));
}

// Each half comes true in some part, but no part opens both: finding nothing proves nothing, and the search says so.
TEST(OwnProperties, ThatNoPartCanJudgeAreNotTakenForHeld) {
  const layout of = shipped("small-twin");
  auto read = properties_from_yaml(of,
                                   "properties:\n"
                                   "  - {name: pinned-door, never: [steering is pinned, rear is asking]}\n"
                                   "  - {name: cannot-be, when: [rear is asking, rear is idle], must: fore-pump is failed}\n"
                                   "  - {name: plain, when: rear is asking, must: aft-pump is delivering}\n",
                                   "mine.yaml");
  ASSERT_TRUE(read) << to_string(read.problem());
  search_options options;
  options.properties = *std::move(read);
  options.judge_orders = false;
  options.judge_way_back = false;
  const auto met_in = [&](const search_part& part) { return search(of, part, options).needs_met; };
  const auto doors = met_in(part_named(of, "doors-of-aft"));
  EXPECT_EQ(doors, (std::vector<std::uint64_t>{0b10, 0b011, 0b1}));
  EXPECT_EQ(met_in(part_named(of, "steering")), (std::vector<std::uint64_t>{0b01, 0b010, 0b0}));
  search_part both = part_named(of, "doors-of-aft");
  const search_part steering = part_named(of, "steering");
  for (const happening& each : steering.open) {
    if (each.what.kind == event_kind::steering || each.what.kind == event_kind::pin) both.open.push_back(each);
  }
  const search_result joined = search(of, both, options);
  EXPECT_EQ(joined.needs_met, (std::vector<std::uint64_t>{0b11, 0b011, 0b1}));
  ASSERT_FALSE(joined.violations.empty());
  EXPECT_EQ(joined.violations[0].property, "pinned-door");
  EXPECT_EQ(joined.violations[0].path.size(), 4U);
}

// The example of README.md is a file that can be used, and it holds.
TEST(OwnProperties, OfTheReadmeHold) {
  const layout of = shipped("twin-freighter");
  std::ifstream in{PENSTOCK_SOURCE_FOLDER "/README.md"};
  const std::string readme{std::istreambuf_iterator<char>{in}, {}};
  const auto begin = readme.find("```yaml\nproperties:");
  ASSERT_NE(begin, std::string::npos);
  const std::string text = readme.substr(begin + 8, readme.find("```", begin + 8) - begin - 8);
  const auto found = searched(of, "service-of-port", text);
  EXPECT_TRUE(found.violations.empty()) << found.violations.front().found;
  EXPECT_EQ(found.needs_met, (std::vector<std::uint64_t>{0b1, 0b11}));
}

struct bad_file {
  const char* text;
  const char* says;
};
class BadProperties : public ::testing::TestWithParam<bad_file> {};

TEST_P(BadProperties, AreRefusedWithPlaceAndReason) {
  const auto read = properties_from_yaml(shipped("small-twin"), GetParam().text, "mine.yaml");
  ASSERT_FALSE(read);
  EXPECT_THAT(to_string(read.problem()), HasSubstr(GetParam().says));
}

INSTANTIATE_TEST_SUITE_P(
    Each, BadProperties,
    ::testing::Values(
        bad_file{"- a", "[property-form]"}, bad_file{"rules: []", "no key \"rules\""},
        bad_file{"{}", "[property-missing]"}, bad_file{"properties: []", "[property-limit]"},
        bad_file{"properties: [a]", "[property-form]"},
        bad_file{"properties: [{never: rear is asking}]", "needs the key name"},
        bad_file{"properties: [{name: Not A Name, never: rear is asking}]", "[property-name]"},
        bad_file{"properties: [{name: a}]", "a property needs either never, or must (with when, if it holds only then); found neither"},
        bad_file{"properties: [{name: a, never: rear is asking, must: rear is asking}]", "[property-form]"},
        bad_file{"properties: [{name: a, never: rear is asking, when: rear is asking}]", "[property-form]"},
        bad_file{"properties: [{name: a, when: rear is asking}]", "found when alone"},
        bad_file{"properties: [{name: a, must: [not: fore is normal]}]", "are for lessons only"},
        bad_file{"properties: [{name: a, never: []}]", "a phrase, or a list of phrases"},
        bad_file{"properties: [{name: a, alwys: rear is asking}]", "no key \"alwys\""},
        bad_file{"properties:\n  - name: a\n    never: reer is asking\n", "mine.yaml:3:12"},
        bad_file{"properties: [{name: a, never: aft pressure above 100 psi}]", "[property-quantity]"},
        bad_file{"properties: [{name: a, never: aft-pump runs because CGO-1}]", "[property-because]"},
        bad_file{"properties: [{name: a, sentence: [b], never: rear is asking}]", "[property-form]"},
        bad_file{"properties: [{name: a, never: rear is idle}, {name: a, never: rear is idle}]", "used twice"}));

TEST(RequiredProperties, AreNamedApartAndSayASentenceEach) {
  EXPECT_EQ(required_properties().size(), 6U);
  for (const search_property& each : required_properties()) {
    EXPECT_TRUE(each.in_state);
    EXPECT_TRUE(each.sentence.ends_with(".")) << each.name;
  }
}

}  // namespace
