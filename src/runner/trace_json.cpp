#include "files/json_values.hpp"
#include "penstock/modes.hpp"
#include "penstock/transition.hpp"
#include "penstock/version.hpp"
#include "runner/trace_forms.hpp"

#include <nlohmann/json.hpp>

#include <utility>

namespace penstock::runner {

namespace {

using json = nlohmann::ordered_json;

json value_of(const row_of_table& which) {
  const auto [machine, number] = which;
  const table_row& row = rows_of(machine)[number];
  return {{"machine", word(machine)},
          {"row", number},
          {"from", mode_word(machine, row.source)},
          {"event", event_word(machine, row.event)},
          {"guard", row.guard == "always" ? json(nullptr) : json(row.guard)},
          {"to", mode_word(machine, row.target)},
          {"refused", row.refuses},
          {"sentence", row.sentence}};
}

json value_of(const traced_rule& one, bool tests_are_known) {
  json rows = json::array();
  json places = json::array();
  for (const built_place* each : one.places) {
    if (each->row) {
      rows.push_back(value_of(*each->row));
    } else {
      places.push_back({{"where", each->where}, {"what", each->what}, {"sentence", each->sentence}});
    }
  }
  json tests = json::array();
  for (const rule_test* each : one.tests) {
    tests.push_back({{"suite", each->suite}, {"name", each->name}, {"file", each->file}, {"line", each->line}});
  }
  json lessons = json::array();
  for (const traced_lesson& each : one.lessons) lessons.push_back({{"lesson", each.lesson->name}, {"at", each.at}});
  return {{"id", one.what->id},
          {"family", family_of(one.what->id)},
          {"sentence", one.what->sentence},
          {"source", one.what->source},
          {"optional", one.what->optional},
          {"rows", std::move(rows)},
          {"places", std::move(places)},
          {"tests", tests_are_known ? std::move(tests) : json(nullptr)},
          {"lessons", std::move(lessons)}};
}

}  // namespace

json trace_as_json(const trace_sources& from) {
  const bool tests_are_known = from.tests.has_value();
  const auto if_known = [&](std::size_t count) { return tests_are_known ? json(count) : json(nullptr); };
  json rules = json::array();
  for (const traced_rule& each : traced(from)) rules.push_back(value_of(each, tests_are_known));
  json rows = json::array();
  for (const built_place& each : from.places) {
    if (!each.row) continue;
    json lessons = json::array();
    for (const showing_lesson* lesson : lessons_that_take(from, *each.row)) lessons.push_back(lesson->name);
    rows.push_back({{"machine", word(each.row->first)},
                    {"row", each.row->second},
                    {"rules", files::ids_in(each.rules)},
                    {"lessons", std::move(lessons)}});
  }
  json lessons = json::array();
  for (const showing_lesson& each : from.lessons) {
    json ids = json::array();
    for (const auto& [id, at] : each.rules) ids.push_back(id);
    lessons.push_back(
        {{"lesson", each.name}, {"title", each.title}, {"passed", each.passed}, {"rules", std::move(ids)}});
  }
  const std::vector<gap> all_gaps = gaps_in(from);
  json gaps = json::array();
  for (const gap& each : all_gaps) {
    gaps.push_back({{"kind", word_of(each.what)},
                    {"about", each.about},
                    {"rule", each.rule.empty() ? json(nullptr) : json(each.rule)}});
  }
  const trace_counts counts = counts_of(from);
  return {{"penstock", PENSTOCK_VERSION},
          {"training_only", true},
          {"summary",
           {{"rules", counts.rules},
            {"rules_built", counts.built},
            {"rules_tested", if_known(counts.tested)},
            {"rules_shown", counts.shown},
            {"rows", counts.rows},
            {"rows_taken", counts.rows_taken},
            {"other_places", counts.other_places},
            {"tests", if_known(counts.tests)},
            {"lessons", counts.lessons},
            {"gaps", all_gaps.size()}}},
          {"rules", std::move(rules)},
          {"rows", std::move(rows)},
          {"lessons", std::move(lessons)},
          {"gaps", std::move(gaps)}};
}

}  // namespace penstock::runner
