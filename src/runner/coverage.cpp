#include "runner/coverage.hpp"

#include "files/json_values.hpp"
#include "penstock/modes.hpp"
#include "runner/page.hpp"
#include "runner/row_words.hpp"

#include <fmt/core.h>
#include <nlohmann/json.hpp>

namespace penstock::runner {

namespace {

using json = nlohmann::ordered_json;

std::size_t percent_of(std::size_t part, std::size_t whole) { return whole == 0 ? 100 : part * 100 / whole; }

}  // namespace

coverage::coverage(const std::vector<checked_lesson>& played) {
  for (const checked_lesson& each : played) {
    for (const auto& [id, at] : each.end.rules_shown) {
      if (find_rule(id) != nullptr) lessons_by_rule_[id].push_back(each.name);
    }
    for (const row_of_table& row : each.end.rows_taken) lessons_by_row_[row].push_back(each.name);
  }
}

bool coverage::reaches(unsigned percent) const { return rules_shown() * 100 >= percent * all_rules().size(); }

std::string coverage::rules_in_words() const {
  const std::size_t all = all_rules().size();
  return fmt::format("{} of {} ({} %)", rules_shown(), all, percent_of(rules_shown(), all));
}

const coverage::names& coverage::lessons_that_take(machine which, std::size_t row) const {
  static const names nobody;
  const auto found = lessons_by_row_.find({which, static_cast<std::uint8_t>(row)});
  return found == lessons_by_row_.end() ? nobody : found->second;
}

std::vector<std::string> coverage::rows_not_taken(machine which) const {
  std::vector<std::string> all;
  const auto rows = rows_of(which);
  for (std::size_t i = 0; i < rows.size(); ++i) {
    if (lessons_that_take(which, i).empty()) all.push_back(fmt::format("{} [{}]", row_words(which, i), rows[i].rules));
  }
  return all;
}

std::vector<std::string> coverage::rules_not_shown() const {
  std::vector<std::string> missing;
  for (const rule& each : all_rules()) {
    if (!lessons_by_rule_.contains(each.id)) missing.emplace_back(each.id);
  }
  return missing;
}

std::string coverage::in_words() const {
  std::string words = paragraph("", "Rules shown: " + rules_in_words() + ".");
  const std::vector<std::string> missing = rules_not_shown();
  if (!missing.empty()) words += paragraph("These lessons never show: ", listed(missing));
  std::size_t taken = 0;
  std::size_t all = 0;
  std::string machines;
  for (std::size_t m = 0; m < machine_count; ++m) {
    const auto which = static_cast<machine>(m);
    const std::vector<std::string> others = rows_not_taken(which);
    const std::size_t rows = rows_of(which).size();
    all += rows;
    taken += rows - others.size();
    machines += paragraph("  " + padded(word(which), 22), fmt::format("{} of {}{}", rows - others.size(), rows,
                                                                       others.empty() ? "" : "; not taken:"));
    for (const std::string& each : others) machines += paragraph("    ", each);
  }
  words += paragraph("", fmt::format("Rows of the tables taken: {} of {} ({} %).", taken, all, percent_of(taken, all)));
  return words + machines;
}

json coverage::as_json() const {
  json rules = json::array();
  for (const rule& each : all_rules()) {
    const auto found = lessons_by_rule_.find(each.id);
    const bool shown = found != lessons_by_rule_.end();
    rules.push_back({{"id", std::string{each.id}}, {"shown", shown}, {"lessons", shown ? found->second : names{}}});
  }
  json machines = json::array();
  std::size_t taken = 0;
  std::size_t all = 0;
  for (std::size_t m = 0; m < machine_count; ++m) {
    const auto which = static_cast<machine>(m);
    const auto rows = rows_of(which);
    json list = json::array();
    std::size_t taken_here = 0;
    for (std::size_t i = 0; i < rows.size(); ++i) {
      const names& by = lessons_that_take(which, i);
      taken_here += by.empty() ? 0 : 1;
      list.push_back({{"row", i},
                      {"what", row_words(which, i)},
                      {"rules", files::ids_in(rows[i].rules)},
                      {"taken", !by.empty()},
                      {"lessons", by}});
    }
    taken += taken_here;
    all += rows.size();
    machines.push_back({{"machine", std::string{word(which)}},
                        {"rows_taken", taken_here},
                        {"rows_of", rows.size()},
                        {"rows", std::move(list)}});
  }
  return {{"rules_shown", rules_shown()},
          {"rules_of", all_rules().size()},
          {"rows_taken", taken},
          {"rows_of", all},
          {"rules", std::move(rules)},
          {"machines", std::move(machines)}};
}

}  // namespace penstock::runner
