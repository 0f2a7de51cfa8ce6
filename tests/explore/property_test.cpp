// Properties that people write themselves: what they mean, and what is wrong with a bad one.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>

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
        bad_file{"properties: [{name: a}]", "a property has never, or must"},
        bad_file{"properties: [{name: a, never: rear is asking, must: rear is asking}]", "[property-form]"},
        bad_file{"properties: [{name: a, never: rear is asking, when: rear is asking}]", "[property-form]"},
        bad_file{"properties: [{name: a, never: []}]", "a phrase, or a list of phrases"},
        bad_file{"properties: [{name: a, alwys: rear is asking}]", "no key \"alwys\""},
        bad_file{"properties:\n  - name: a\n    never: reer is asking\n", "mine.yaml:3:12"},
        bad_file{"properties: [{name: a, never: aft pressure above 100 psi}]", "[property-quantity]"},
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
