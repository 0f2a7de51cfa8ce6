// What lessons show of the rules, and of the rows of the transition tables.
#pragma once

#include "penstock/rules.hpp"
#include "runner/checked_lesson.hpp"

#include <nlohmann/json_fwd.hpp>

#include <map>
#include <string>
#include <vector>

namespace penstock::runner {

class coverage {
 public:
  /// Counts what was played, whether its expectations were met or not.
  explicit coverage(const std::vector<checked_lesson>& played);

  [[nodiscard]] std::size_t rules_shown() const { return lessons_by_rule_.size(); }
  /// Whether at least that share of all rules is shown.
  [[nodiscard]] bool reaches(unsigned percent) const;
  /// The ids of the others.
  [[nodiscard]] std::vector<std::string> rules_not_shown() const;
  /// "96 of 120 (80 %)": whole percent, rounded down, so that only all is 100 %.
  [[nodiscard]] std::string rules_in_words() const;
  [[nodiscard]] std::string in_words() const;
  [[nodiscard]] nlohmann::ordered_json as_json() const;

 private:
  using names = std::vector<std::string>;
  [[nodiscard]] const names& lessons_that_take(machine which, std::size_t row) const;
  [[nodiscard]] std::vector<std::string> rows_not_taken(machine which) const;

  std::map<std::string, names, std::less<>> lessons_by_rule_;
  std::map<row_of_table, names> lessons_by_row_;
};

}  // namespace penstock::runner
