// The search finds every state of a part, and the same ones whatever the number of threads.
#include "penstock/explore.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <deque>
#include <set>
#include <string>

#include "explore/aircraft.hpp"
#include "explore/timers.hpp"

namespace {

using namespace penstock;
using penstock_tests::part_named;
using penstock_tests::shipped;

/// The same search as simply as it can be written: states side by side, compared field by field. Acknowledgement and
/// the chronicle are left out, as the search says.
std::vector<state> plain_search(const layout& of, const search_part& part) {
  std::vector<state> found{cold_and_dark(of)};
  const auto is_known = [&](const state& one) {
    return std::ranges::any_of(found, [&](const state& other) {
      return one.logic == other.logic && one.timers == other.timers && one.faults == other.faults;
    });
  };
  for (std::size_t at = 0; at < found.size(); ++at) {
    for (const happening& each : part.open) {
      state next = found[at];
      effects did;
      if (each.runs_out) {
        if (!explore_detail::may_run_out(detail::view{of.plan(), next}, next.timers, *each.runs_out)) continue;
        explore_detail::run_out(of, next, *each.runs_out, did, &apply);
      } else {
        if (each.what.kind == event_kind::inject && next.faults[0].status != fault_status::unused) continue;
        apply(of, next, each.what, did);
      }
      next.chronicle = found[0].chronicle;
      if (!is_known(next)) found.push_back(next);
    }
  }
  return found;
}

class PlainSearch : public ::testing::TestWithParam<const char*> {};

TEST_P(PlainSearch, FindsTheSameStates) {
  const layout of = shipped("small-twin");
  const search_part part = part_named(of, GetParam());
  const std::vector<state> plain = plain_search(of, part);
  std::vector<state> found;
  const search_result result = search_and_show(of, part, {}, [&](const state& each) { found.push_back(each); });
  EXPECT_EQ(result.end, search_end::complete);
  EXPECT_EQ(result.states, plain.size());
  ASSERT_EQ(found.size(), plain.size());
  for (const state& each : found) {
    EXPECT_TRUE(std::ranges::any_of(plain, [&](const state& other) {
      return each.logic == other.logic && each.timers == other.timers && each.faults == other.faults;
    }));
  }
}

INSTANTIATE_TEST_SUITE_P(Parts, PlainSearch,
                         ::testing::Values("roles", "engine-of-left-engine", "doors-of-aft", "low-circuits", "steering"),
                         [](const auto& each) {
                           std::string name = each.param;
                           std::ranges::replace(name, '-', 'x');
                           return name;
                         });

TEST(Search, GivesTheSameResultOnAnyNumberOfThreads) {
  const layout of = shipped("small-twin");
  const search_part part = part_named(of, "service-of-aft");
  search_options options;
  const search_result one = search(of, part, options);
  options.threads = 3;
  const search_result three = search(of, part, options);
  EXPECT_EQ(one.states, three.states);
  EXPECT_EQ(one.transitions, three.transitions);
  EXPECT_EQ(one.depth, three.depth);
  EXPECT_EQ(one.rows, three.rows);
  ASSERT_EQ(one.order_differences.size(), three.order_differences.size());
  EXPECT_GT(one.order_differences.size(), 0U);
  for (std::size_t i = 0; i < one.order_differences.size(); ++i) {
    EXPECT_EQ(one.order_differences[i].states, three.order_differences[i].states);
    EXPECT_EQ(one.order_differences[i].path, three.order_differences[i].path);
  }
}

TEST(Search, EndsAtItsMostStatesAndSaysSo) {
  const layout of = shipped("small-twin");
  search_options options;
  options.most_states = 1'000;
  const search_result found = search(of, part_named(of, "feeds-of-aft"), options);
  EXPECT_EQ(found.end, search_end::most_states);
  EXPECT_GE(found.states, 1'000U);
  EXPECT_LT(found.states, 65'000U);
  EXPECT_TRUE(found.order_differences.empty()) << "orders are judged in whole searches only";
}

TEST(Search, EndsAtItsMostMemoryAndSaysSo) {
  const layout of = shipped("small-twin");
  search_options options;
  options.most_bytes = 300'000;
  const search_result found = search(of, part_named(of, "feeds-of-aft"), options);
  EXPECT_EQ(found.end, search_end::most_bytes);
}

TEST(Search, EndsWhenItIsToldTo) {
  const layout of = shipped("small-twin");
  search_options options;
  unsigned told = 0;
  options.progress = [&told](const search_progress& so_far) {
    EXPECT_GT(so_far.states, 0U);
    return ++told < 3;
  };
  EXPECT_EQ(search(of, part_named(of, "feeds-of-aft"), options).end, search_end::stopped);
  EXPECT_EQ(told, 3U);
}

TEST(Search, WithThePlausiblePlantFindsSomeOfTheStates) {
  const layout of = shipped("small-twin");
  const search_part part = part_named(of, "service-of-aft");
  search_options options;
  const search_result any = search(of, part, options);
  options.world = search_world::plausible;
  const search_result plausible = search(of, part, options);
  EXPECT_EQ(plausible.end, search_end::complete);
  EXPECT_GT(plausible.states, 100U);
  EXPECT_LT(plausible.states, any.states);
  EXPECT_TRUE(plausible.violations.empty());
  EXPECT_GE(plausible_facts().size(), 5U);
}

// Bands between those that a part opens are filled in, so that the plausible plant comes as far as any.
TEST(Search, WithThePlausiblePlantRunsEnginesAndDecidesTests) {
  const layout of = shipped("twin-freighter");
  search_options options;
  options.world = search_world::plausible;
  options.judge_orders = false;
  options.judge_way_back = false;
  options.properties = *properties_from_yaml(of,
                                             "properties:\n"
                                             "  - {name: a, never: engine-1 is running}\n"
                                             "  - {name: b, never: transfer test-outcome is passed}\n"
                                             "  - {name: c, never: transfer test-outcome is failed}\n",
                                             "reached.yaml");
  options.most_states = 300'000;
  EXPECT_EQ(search(of, part_named(of, "test-of-transfer"), options).violations.size(), 3U) << "all three are reached";
}

class EveryPart : public ::testing::TestWithParam<const char*> {};

TEST_P(EveryPart, HasANameOfItsOwnAnArgumentAndSomethingOpen) {
  const layout of = shipped(GetParam());
  std::set<std::string> names;
  for (const search_part& each : parts_of(of)) {
    EXPECT_TRUE(names.insert(each.name).second) << each.name;
    EXPECT_GT(each.argument.size(), 40U) << each.name;
    EXPECT_GT(each.open.size(), 5U) << each.name;
    for (const happening& one : each.open) EXPECT_EQ(words_of(of, one).find('?'), std::string::npos) << words_of(of, one);
  }
}

INSTANTIATE_TEST_SUITE_P(Shipped, EveryPart, ::testing::Values("small-twin", "twin-freighter", "four-engine"),
                         [](const auto& each) {
                           std::string name = each.param;
                           std::ranges::replace(name, '-', 'x');
                           return name;
                         });

}  // namespace
