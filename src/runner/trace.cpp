#include "runner/trace.hpp"

#include "files/json_values.hpp"

#include <algorithm>
#include <array>
#include <iterator>
#include <utility>

namespace penstock::runner {

namespace {

constexpr auto family_titles = std::to_array<std::pair<std::string_view, std::string_view>>({
    {"GEN", "How guards, commands and time work"},
    {"ENG", "Engines"},
    {"EDP", "Engine-driven pumps"},
    {"CGO", "Cargo doors and their electric pump"},
    {"AUX", "Electric pumps with another duty"},
    {"ELP", "Electric power"},
    {"RAT", "Ram-air pump"},
    {"PTU", "Transfer units"},
    {"STR", "Steering link"},
    {"LVL", "Fluid quantity"},
    {"LEK", "Isolation of leaks"},
    {"RES", "Reservoirs"},
    {"CIR", "Circuits"},
    {"CON", "Consumers"},
    {"ALR", "Alerts"},
    {"INS", "Faults that can be injected"},
});

// Looks for gaps from the other side: from what names rules to the catalogue.
class backwards {
 public:
  backwards(std::span<const rule> catalogue, std::vector<gap>& unnamed, std::vector<gap>& unknown)
      : catalogue_{catalogue}, unnamed_{unnamed}, unknown_{unknown} {}

  void look_at(const std::vector<std::string>& ids, const std::string& about) const {
    if (ids.empty()) unnamed_.push_back({gap::kind::no_rule, about, {}});
    for (const std::string& id : ids) {
      const bool known = std::ranges::any_of(catalogue_, [&](const rule& each) { return each.id == id; });
      if (!known) unknown_.push_back({gap::kind::unknown_rule, about, id});
    }
  }

 private:
  std::span<const rule> catalogue_;
  std::vector<gap>& unnamed_;
  std::vector<gap>& unknown_;
};

}  // namespace

std::vector<traced_rule> traced(const trace_sources& from) {
  std::vector<traced_rule> all;
  all.reserve(from.rules.size());
  for (const rule& each : from.rules) {
    traced_rule& one = all.emplace_back(traced_rule{&each, {}, {}, {}});
    for (const built_place& place : from.places) {
      if (names_rule(place.rules, each.id)) one.places.push_back(&place);
    }
    const std::span<const rule_test> tests = from.tests.value_or(std::span<const rule_test>{});
    for (const rule_test& test : tests) {
      if (names_rule(test.rules, each.id)) one.tests.push_back(&test);
    }
    for (const showing_lesson& lesson : from.lessons) {
      const auto shown = lesson.rules.find(std::string{each.id});
      if (shown != lesson.rules.end()) one.lessons.push_back({&lesson, shown->second});
    }
  }
  return all;
}

std::vector<const showing_lesson*> lessons_that_take(const trace_sources& from, const row_of_table& row) {
  std::vector<const showing_lesson*> all;
  for (const showing_lesson& each : from.lessons) {
    if (each.rows.contains(row)) all.push_back(&each);
  }
  return all;
}

trace_counts counts_of(const trace_sources& from) {
  trace_counts counts;
  for (const traced_rule& each : traced(from)) {
    ++counts.rules;
    counts.built += each.places.empty() ? 0 : 1;
    counts.tested += each.tests.empty() ? 0 : 1;
    counts.shown += each.lessons.empty() ? 0 : 1;
  }
  for (const built_place& each : from.places) {
    ++(each.row ? counts.rows : counts.other_places);
    if (each.row && !lessons_that_take(from, *each.row).empty()) ++counts.rows_taken;
  }
  counts.tests = from.tests ? from.tests->size() : 0;
  counts.lessons = from.lessons.size();
  return counts;
}

std::string_view word_of(gap::kind what) {
  switch (what) {
    case gap::kind::no_place: return "no-place";
    case gap::kind::no_test: return "no-test";
    case gap::kind::no_lesson: return "no-lesson";
    case gap::kind::no_rule: return "no-rule";
    case gap::kind::unknown_rule: return "unknown-rule";
  }
  return "?";
}

std::string_view heading_of(gap::kind what) {
  switch (what) {
    case gap::kind::no_place: return "Built nowhere";
    case gap::kind::no_test: return "No test quotes";
    case gap::kind::no_lesson: return "No lesson shows";
    case gap::kind::no_rule: return "Without a rule";
    case gap::kind::unknown_rule: return "Not in the catalogue";
  }
  return "?";
}

std::vector<gap> gaps_in(const trace_sources& from) {
  std::array<std::vector<gap>, gap_kinds> by_kind;
  const auto of = [&](gap::kind what) -> std::vector<gap>& { return by_kind[static_cast<std::size_t>(what)]; };
  for (const traced_rule& each : traced(from)) {
    const std::string id{each.what->id};
    const auto miss = [&](gap::kind what) { of(what).push_back({what, id, id}); };
    if (each.places.empty()) miss(gap::kind::no_place);
    if (from.tests && each.tests.empty()) miss(gap::kind::no_test);
    if (each.lessons.empty()) miss(gap::kind::no_lesson);
  }
  const backwards back{from.rules, of(gap::kind::no_rule), of(gap::kind::unknown_rule)};
  for (const built_place& each : from.places) {
    back.look_at(files::ids_in(each.rules), std::string{each.where} + ", " + each.what);
  }
  const std::span<const rule_test> tests = from.tests.value_or(std::span<const rule_test>{});
  for (const rule_test& each : tests) {
    back.look_at(files::ids_in(each.rules),
                 "test " + std::string{each.suite} + "." + std::string{each.name} + " (" + std::string{each.file} + ":" +
                     std::to_string(each.line) + ")");
  }
  for (const showing_lesson& each : from.lessons) {
    std::vector<std::string> ids;
    for (const auto& [id, at] : each.rules) ids.push_back(id);
    back.look_at(ids, "lesson " + each.name);
  }
  std::vector<gap> all;
  for (std::vector<gap>& each : by_kind) std::ranges::move(each, std::back_inserter(all));
  return all;
}

std::string_view family_of(std::string_view id) { return id.substr(0, id.find('-')); }

std::string_view title_of_family(std::string_view family) {
  const auto found = std::ranges::find(family_titles, family, [](const auto& each) { return each.first; });
  return found == family_titles.end() ? std::string_view{} : found->second;
}

}  // namespace penstock::runner
