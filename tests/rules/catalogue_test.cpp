// The catalogue of rules, the places where they are built and the tests that show them say the same ids.
#include <set>
#include <string>

#include "support/bench.hpp"
#include "support/rule_test.hpp"

namespace penstock_tests {
namespace {

std::vector<std::string_view> ids_in(std::string_view text) {
  std::vector<std::string_view> ids;
  while (!text.empty()) {
    const auto blank = text.find(' ');
    ids.push_back(text.substr(0, blank));
    if (blank == std::string_view::npos) break;
    text.remove_prefix(blank + 1);
  }
  return ids;
}

/// Every id that a row or another place names, with the place.
std::set<std::pair<std::string, std::string>> ids_with_places() {
  std::set<std::pair<std::string, std::string>> found;
  for (std::size_t m = 0; m < machine_count; ++m) {
    const auto which = static_cast<machine>(m);
    for (const table_row& row : rows_of(which)) {
      for (const auto id : ids_in(row.rules)) found.emplace(id, word(which));
    }
  }
  for (const rule_place& place : places_besides_rows()) {
    for (const auto id : ids_in(place.rules)) found.emplace(id, place.where);
  }
  return found;
}

TEST(Catalogue, EveryRuleHasATest) {
  if (GTEST_FLAG_GET(filter) != "*") GTEST_SKIP() << "only judged when every test runs";
  for (const rule& one : all_rules()) {
    EXPECT_TRUE(rules_with_tests().contains(std::string{one.id})) << one.id << " has no test: " << one.sentence;
  }
}

TEST(Catalogue, EveryTestNamesRulesOfTheCatalogue) {
  for (const std::string& id : rules_with_tests()) EXPECT_NE(find_rule(id), nullptr) << id;
}

TEST(Catalogue, EveryRuleHasAPlace) {
  std::set<std::string> placed;
  for (const auto& [id, where] : ids_with_places()) placed.insert(id);
  for (const rule& one : all_rules()) {
    EXPECT_TRUE(placed.contains(std::string{one.id})) << one.id << " is built nowhere: " << one.sentence;
  }
}

TEST(Catalogue, EveryPlaceNamesRulesOfTheCatalogue) {
  for (const auto& [id, where] : ids_with_places()) EXPECT_NE(find_rule(id), nullptr) << id << " in " << where;
}

TEST(Catalogue, EveryRowNamesARuleAndSaysASentence) {
  for (std::size_t m = 0; m < machine_count; ++m) {
    const auto which = static_cast<machine>(m);
    EXPECT_FALSE(rows_of(which).empty()) << word(which);
    for (const table_row& row : rows_of(which)) {
      EXPECT_FALSE(row.rules.empty()) << word(which) << ": " << row.sentence;
      EXPECT_FALSE(row.sentence.empty()) << word(which) << ": " << row.rules;
    }
  }
}

TEST(Catalogue, EveryIdStandsOnceWithASentenceAndASource) {
  std::set<std::string_view> seen;
  for (const rule& one : all_rules()) {
    EXPECT_TRUE(seen.insert(one.id).second) << one.id << " stands twice";
    EXPECT_FALSE(one.sentence.empty()) << one.id;
    EXPECT_FALSE(one.source.empty()) << one.id;
    EXPECT_EQ(find_rule(one.id), &one);
  }
  EXPECT_EQ(find_rule("XYZ-1"), nullptr);
  EXPECT_EQ(find_rule(""), nullptr);
}

TEST(Catalogue, HoldsEveryChapterOfTheRulePage) {
  const std::pair<std::string_view, int> chapters[] = {
      {"GEN-", 7}, {"ENG-", 10}, {"EDP-", 7}, {"CGO-", 16}, {"AUX-", 4}, {"ELP-", 3}, {"RAT-", 1}, {"PTU-", 15},
      {"STR-", 6}, {"LVL-", 6},  {"LEK-", 1}, {"RES-", 2},  {"CIR-", 3}, {"CON-", 7}, {"ALR-", 7}, {"INS-", 1}};
  for (const auto& [chapter, last] : chapters) {
    for (int number = 1; number <= last; ++number) {
      const std::string id = std::string{chapter} + std::to_string(number);
      EXPECT_NE(find_rule(id), nullptr) << id;
    }
  }
}

TEST(Catalogue, WhatTheRulePageCallsOptionalIsMarkedSo) {
  for (const std::string_view id : {"EDP-6", "EDP-7", "CGO-16", "RAT-1", "PTU-15", "LEK-1"}) {
    const rule* found = find_rule(id);
    ASSERT_NE(found, nullptr) << id;
    EXPECT_TRUE(found->optional) << id;
  }
}

}  // namespace
}  // namespace penstock_tests
