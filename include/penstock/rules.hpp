// The catalogue of rules: every id, its sentence, and where it is built.
#pragma once

#include <cstdint>
#include <span>
#include <string_view>

#include "penstock/config.hpp"

namespace penstock::inline v1 {

struct rule {
  std::string_view id;
  std::string_view sentence;
  std::string_view source;  ///< published source, or "common practice"
  bool optional;            ///< a layout option
};

/// Where a rule is built.
struct rule_place {
  std::string_view rules;     ///< one or more ids, separated by a blank
  std::string_view where;     ///< machine or list, e.g. "cargo-door", "consumer reasons", "settling"
  std::string_view what;      ///< row number and modes, or name of the guard or function
  std::string_view sentence;
};

/// Every rule, in the order of the rule page.
[[nodiscard]] PENSTOCK_API std::span<const rule> all_rules();
/// The rule of that id, or nullptr.
[[nodiscard]] PENSTOCK_API const rule* find_rule(std::string_view id);
/// The rungs of the ordered lists (reasons, statuses, alerts), and the functions that carry a rule
/// which is not a row. Rows are in `rows_of`.
[[nodiscard]] PENSTOCK_API std::span<const rule_place> places_besides_rows();
/// Whether `ids` (separated by blanks) holds `id`.
[[nodiscard]] constexpr bool names_rule(std::string_view ids, std::string_view id) {
  while (!ids.empty()) {
    const auto blank = ids.find(' ');
    if (ids.substr(0, blank) == id) return true;
    if (blank == ids.npos) break;
    ids.remove_prefix(blank + 1);
  }
  return false;
}

}  // namespace penstock::inline v1
