// From each rule to where it is built, tested and shown, and back; and where that is not so. This file only links:
// what it links may be made up.
#pragma once

#include "penstock/rules.hpp"
#include "runner/built_places.hpp"
#include "runner/played_lesson.hpp"
#include "runner/rule_tests.hpp"

#include <cstddef>
#include <cstdint>
#include <map>
#include <optional>
#include <set>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace penstock::runner {

/// What a lesson shows.
struct showing_lesson {
  std::string name;
  std::string title;
  bool passed = true;                          ///< everything it expects was so
  std::map<std::string, std::uint32_t> rules;  ///< by id: when it is shown for the first time, ms
  std::set<row_of_table> rows;                 ///< taken
};

/// What a trace is made of.
struct trace_sources {
  std::span<const rule> rules;
  std::vector<built_place> places;
  std::optional<std::span<const rule_test>> tests;  ///< nothing: not known, so that none can be missed
  std::vector<showing_lesson> lessons;
};

struct traced_lesson {
  const showing_lesson* lesson;
  std::uint32_t at;  ///< first shown, ms
};

/// A rule with all that leads to it. Points into the sources.
struct traced_rule {
  const rule* what;
  std::vector<const built_place*> places;
  std::vector<const rule_test*> tests;
  std::vector<traced_lesson> lessons;
};

/// Every rule, in the order of the catalogue.
[[nodiscard]] std::vector<traced_rule> traced(const trace_sources& from);

/// The lessons that take a row, in their order.
[[nodiscard]] std::vector<const showing_lesson*> lessons_that_take(const trace_sources& from, const row_of_table& row);

/// How many of the rules and rows are linked.
struct trace_counts {
  std::size_t rules = 0;
  std::size_t built = 0;         ///< of the rules
  std::size_t tested = 0;
  std::size_t shown = 0;
  std::size_t rows = 0;
  std::size_t rows_taken = 0;    ///< by a lesson
  std::size_t other_places = 0;
  std::size_t tests = 0;
  std::size_t lessons = 0;
};
[[nodiscard]] trace_counts counts_of(const trace_sources& from);

struct gap {
  enum class kind : std::uint8_t {
    no_place,             ///< a rule that is built nowhere
    no_test,              ///< a rule that no test quotes
    no_lesson,            ///< a rule that no lesson shows
    no_rule,              ///< a row, another place, a test or a lesson without a rule
    unknown_rule          ///< one of these that names a rule which is not in the catalogue
  };
  kind what;
  std::string about;  ///< the rule, row, place, test or lesson
  std::string rule;   ///< the rule; none for no_rule
};
inline constexpr std::size_t gap_kinds = 5;

/// "no-place" and so on, as in JSON
[[nodiscard]] std::string_view word_of(gap::kind what);
/// "Built nowhere", as a heading
[[nodiscard]] std::string_view heading_of(gap::kind what);

/// All gaps, by kind, each kind in the order of the sources.
[[nodiscard]] std::vector<gap> gaps_in(const trace_sources& from);

/// "CGO" of "CGO-7"
[[nodiscard]] std::string_view family_of(std::string_view id);
/// What the rules of a family are about; empty for one that is not known.
[[nodiscard]] std::string_view title_of_family(std::string_view family);

}  // namespace penstock::runner
