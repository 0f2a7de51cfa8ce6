// A test that says which rules it shows: RULE_TEST(CargoDoor, AsksWhileItsLeverIsOut, "CGO-1").
// A test of the whole suite proves that no rule of the catalogue is left without one.
#pragma once

#include <set>
#include <string>
#include <string_view>

#include <gtest/gtest.h>

namespace penstock_tests {

inline std::set<std::string>& rules_with_tests() {
  static std::set<std::string> ids;
  return ids;
}

struct rules_shown {
  explicit rules_shown(std::string_view ids) {
    while (!ids.empty()) {
      const auto blank = ids.find(' ');
      rules_with_tests().emplace(ids.substr(0, blank));
      if (blank == std::string_view::npos) break;
      ids.remove_prefix(blank + 1);
    }
  }
};

}  // namespace penstock_tests

#define RULE_TEST(Suite, Name, Rules)                                                        \
  static const ::penstock_tests::rules_shown rules_of_##Suite##_##Name{Rules};               \
  TEST(Suite, Name)
