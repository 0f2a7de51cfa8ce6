// Compiled into every test binary: the table of rules and tests that the program carries is what the tests register.
#include <algorithm>
#include <fstream>
#include <iterator>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "runner/rule_tests.hpp"
#include "support/rule_test.hpp"

namespace penstock_tests {
namespace {

using penstock::runner::rule_test;
using penstock::runner::rule_tests;

std::string words_for(std::string_view file, std::string_view suite, std::string_view name, std::string_view rules) {
  std::string words{file};
  words.append(": ").append(suite).append(".").append(name).append(" shows ").append(rules);
  return words;
}

std::vector<std::string> registered() {
  std::vector<std::string> all;
  for (const registered_rule_test& each : registered_rule_tests()) {
    // Compilers may be given any path to the same file.
    const auto top = each.file.rfind("/tests/");
    const std::string_view file = top == std::string_view::npos ? each.file : each.file.substr(top + 1);
    all.push_back(words_for(file, each.suite, each.name, each.rules));
  }
  std::ranges::sort(all);
  return all;
}

// Those of the first, sorted texts that are not among the second.
std::vector<std::string> only_in(const std::vector<std::string>& some, const std::vector<std::string>& others) {
  std::vector<std::string> left;
  std::ranges::set_difference(some, others, std::back_inserter(left));
  return left;
}

std::vector<rule_test> listed_for_this_binary() {
  std::vector<rule_test> mine;
  const auto all = rule_tests();
  for (const rule_test& each : all.value_or(std::span<const rule_test>{})) {
    if (each.file.starts_with(PENSTOCK_TEST_FOLDER)) mine.push_back(each);
  }
  return mine;
}

TEST(RuleTable, ListsTheTestsThatThisBinaryRegisters) {
  ASSERT_TRUE(rule_tests()) << "the tests are there, and were not found";
  std::vector<std::string> listed;
  for (const rule_test& each : listed_for_this_binary()) {
    listed.push_back(words_for(each.file, each.suite, each.name, each.rules));
  }
  std::ranges::sort(listed);
  EXPECT_THAT(only_in(registered(), listed), ::testing::IsEmpty()) << "not read by .cmake/list_rule_tests.cmake";
  EXPECT_THAT(only_in(listed, registered()), ::testing::IsEmpty()) << "no test, but .cmake/list_rule_tests.cmake lists it";
}

TEST(RuleTable, KnowsTheLineWhereEachTestBegins) {
  std::string path;
  std::vector<std::string> lines;
  for (const rule_test& each : listed_for_this_binary()) {
    const std::string wanted = std::string{PENSTOCK_SOURCE_FOLDER} + "/" + std::string{each.file};
    if (path != wanted) {
      path = wanted;
      lines.clear();
      std::ifstream in{path};
      for (std::string line; std::getline(in, line);) lines.push_back(line);
    }
    ASSERT_LE(each.line, lines.size()) << path;
    EXPECT_THAT(lines[each.line - 1], ::testing::HasSubstr("RULE_TEST(" + std::string{each.suite}))
        << each.file << ":" << each.line;
  }
}

}  // namespace
}  // namespace penstock_tests
