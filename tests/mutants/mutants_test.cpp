// Each property is broken on purpose by one mistake in the rules, and the search finds it: with the shortest story,
// which comes out as a lesson that plays to the mistake. Without the mistake nothing is found.
#include <gtest/gtest.h>

#include <algorithm>
#include <string>

#include "explore/aircraft.hpp"
#include "penstock/explore.hpp"

/// Which mistake is made in this program; 0: none. Read by the mutated rules.
int penstock_mutant = 0;

namespace {

using namespace penstock;
using penstock_tests::part_named;
using penstock_tests::shipped;

struct mutant {
  int number;
  const char* property;
  const char* aircraft;
  const char* part;
  std::size_t steps;  ///< of the shortest story
  bool seen;          ///< what is wrong can be seen at the end of the lesson
};

class Mutants : public ::testing::TestWithParam<mutant> {
 protected:
  void TearDown() override { penstock_mutant = 0; }
};

class silent : public lesson_audience {};

search_result searched(const mutant& wanted, int active) {
  const layout of = shipped(wanted.aircraft);
  penstock_mutant = active;
  search_options options;
  options.judge_orders = std::string{wanted.property} == "orders";
  search_result found = search(of, part_named(of, wanted.part), options);
  penstock_mutant = 0;
  return found;
}

TEST_P(Mutants, AreFoundAndOnlyWhileTheMistakeIsMade) {
  const search_result right = searched(GetParam(), 0);
  EXPECT_EQ(right.end, search_end::complete);
  EXPECT_TRUE(right.violations.empty()) << right.violations.front().found;

  const search_result wrong = searched(GetParam(), GetParam().number);
  ASSERT_FALSE(wrong.violations.empty());
  const auto found = std::ranges::find(wrong.violations, std::string{GetParam().property}, &search_violation::property);
  ASSERT_NE(found, wrong.violations.end()) << wrong.violations.front().property;
  EXPECT_EQ(found->path.size(), GetParam().steps) << [&] {
    std::string words = found->found + "\n";
    const layout of = shipped(GetParam().aircraft);
    for (const happening& each : found->path) words += "  " + words_of(of, each) + "\n";
    return words;
  }();
}

TEST_P(Mutants, ComeOutAsALessonThatPlaysToTheMistake) {
  const search_result wrong = searched(GetParam(), GetParam().number);
  const auto found = std::ranges::find(wrong.violations, std::string{GetParam().property}, &search_violation::property);
  ASSERT_NE(found, wrong.violations.end());
  const layout of = shipped(GetParam().aircraft);
  penstock_mutant = GetParam().number;
  const path_lesson made = lesson_of(of, GetParam().aircraft, *found, required_properties());
  penstock_mutant = 0;
  EXPECT_TRUE(made.replays);
  const std::string text = lesson_to_yaml(made.told);
  const auto read = lesson_from_yaml(text, "found.yaml");
  ASSERT_TRUE(read) << to_string(read.problem()) << "\n" << text;

  silent nobody;
  penstock_mutant = GetParam().number;
  const lesson_result played = play(*read, nobody);
  EXPECT_TRUE(played.failures.empty()) << text;
  penstock_mutant = 0;
  if (!GetParam().seen) return;
  const lesson_result otherwise = play(*read, nobody);
  EXPECT_FALSE(otherwise.failures.empty()) << "without the mistake the lesson ends elsewhere\n" << text;
}

constexpr mutant all_mutants[] = {
    {1, "unit-obeys", "twin-freighter", "transfer-of-transfer", 3, true},
    {2, "service-isolates", "twin-freighter", "service-of-port", 3, true},
    {3, "cargo-pump-is-asked", "small-twin", "doors-of-aft", 3, true},
    {4, "first-engine-pump", "twin-freighter", "roles", 3, true},
    {5, "steering-is-told", "small-twin", "steering", 3, true},
    {6, "one-outcome", "twin-freighter", "starts-of-transfer", 5, true},
    {7, "way-back", "small-twin", "pump-of-left-pump", 1, false},
    {8, "settles", "small-twin", "roles", 1, false},
    {9, "orders", "small-twin", "doors-of-aft", 2, false},
};

INSTANTIATE_TEST_SUITE_P(Each, Mutants, ::testing::ValuesIn(all_mutants),
                         [](const auto& each) { return std::to_string(each.param.number); });

// Property 10 has no story: the row is simply never taken.
TEST(MutantRow, IsDeadOnlyWhileTheMistakeIsMade) {
  const mutant wanted{10, "", "small-twin", "doors-of-aft", 0, false};
  const auto door = static_cast<std::size_t>(machine::cargo_door);
  const auto rows = rows_of(machine::cargo_door);
  const search_result right = searched(wanted, 0);
  const search_result wrong = searched(wanted, 10);
  std::size_t dead = 0;
  for (std::size_t r = 0; r < rows.size(); ++r) {
    EXPECT_TRUE(right.rows[door][r]) << rows[r].sentence;
    const bool limit = rows[r].guard == "limit_reached" || rows[r].source == static_cast<std::uint8_t>(door_mode::timed_out);
    EXPECT_EQ(wrong.rows[door][r], !limit) << rows[r].sentence;
    dead += wrong.rows[door][r] ? 0U : 1U;
  }
  EXPECT_EQ(dead, 3U);
}

}  // namespace
