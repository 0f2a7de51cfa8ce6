// Compiled into every test binary: the table of rules and tests that the program carries is what the tests register.
#include <fstream>
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

// What a binary is made of, as words; these are easy to read when they differ.
std::vector<std::string> registered() {
  std::vector<std::string> all;
  for (const registered_rule_test& each : registered_rule_tests()) {
    // Compilers may be given any path to the same file.
    const auto top = each.file.rfind("/tests/");
    const std::string_view file = top == std::string_view::npos ? each.file : each.file.substr(top + 1);
    all.push_back(std::string{file} + ": " + std::string{each.suite} + "." + std::string{each.name} + " shows " +
                  std::string{each.rules});
  }
  return all;
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
    listed.push_back(std::string{each.file} + ": " + std::string{each.suite} + "." + std::string{each.name} +
                     " shows " + std::string{each.rules});
  }
  EXPECT_THAT(listed, ::testing::UnorderedElementsAreArray(registered()))
      << "see .cmake/list_rule_tests.cmake, which reads the RULE_TEST lines";
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
