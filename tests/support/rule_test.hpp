// A test that says which rules it shows: RULE_TEST(CargoDoor, AsksWhileItsLeverIsOut, "CGO-1").
// A test of the whole suite proves that no rule of the catalogue is left without one.
#pragma once

#include <set>
#include <string>
#include <string_view>
#include <vector>

#include <gtest/gtest.h>

namespace penstock_tests {

/// A test that says which rules it shows, as it stands in its source.
struct registered_rule_test {
  std::string_view rules;  ///< ids, separated by a blank
  std::string_view suite;
  std::string_view name;
  std::string_view file;   ///< as the compiler was given it
};

/// Those of this binary.
inline std::vector<registered_rule_test>& registered_rule_tests() {
  static std::vector<registered_rule_test> all;
  return all;
}

struct rule_test_registration {
  explicit rule_test_registration(const registered_rule_test& test) { registered_rule_tests().push_back(test); }
};

inline std::set<std::string> rules_with_tests() {
  std::set<std::string> ids;
  for (const registered_rule_test& each : registered_rule_tests()) {
    std::string_view rest = each.rules;
    while (!rest.empty()) {
      const auto blank = rest.find(' ');
      ids.emplace(rest.substr(0, blank));
      if (blank == std::string_view::npos) break;
      rest.remove_prefix(blank + 1);
    }
  }
  return ids;
}

}  // namespace penstock_tests

// .cmake/list_rule_tests.cmake reads these lines: the ids are a text, or a constant text of the same file.
#define RULE_TEST(Suite, Name, Rules)                                               \
  static const ::penstock_tests::rule_test_registration registration_of_##Suite##_##Name{ \
      {Rules, #Suite, #Name, __FILE__}};                                            \
  TEST(Suite, Name)
