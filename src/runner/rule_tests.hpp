// Which tests show which rules. The table is made from the sources of the tests when penstock is built, so that the
// program knows it without them.
#pragma once

#include <optional>
#include <span>
#include <string_view>

namespace penstock::runner {

/// A test that says which rules it shows.
struct rule_test {
  std::string_view rules;  ///< one or more ids, separated by a blank
  std::string_view suite;
  std::string_view name;
  std::string_view file;   ///< from the top of the project, e.g. "tests/rules/engine_test.cpp"
  unsigned line;           ///< where it begins
};

/// All of them, by file and line. Nothing: penstock was built where its tests are not.
[[nodiscard]] std::optional<std::span<const rule_test>> rule_tests();

}  // namespace penstock::runner
