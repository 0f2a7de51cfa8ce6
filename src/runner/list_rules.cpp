// penstock rules: the catalogue, and where each rule is built.
#include "files/json_values.hpp"
#include "penstock/rules.hpp"
#include "penstock/transition.hpp"
#include "runner/commands.hpp"
#include "runner/failure.hpp"
#include "runner/names.hpp"
#include "runner/page.hpp"
#include "runner/row_words.hpp"

#include <fmt/core.h>
#include <nlohmann/json.hpp>

#include <algorithm>

namespace penstock::runner {

namespace {

using json = nlohmann::ordered_json;

/// A place of a rule in the code, whether a row of a table or not.
struct place {
  std::string where;
  std::string what;
  std::string sentence;
  bool row;
};

std::vector<place> places_of(std::string_view id) {
  std::vector<place> all;
  for (std::size_t m = 0; m < machine_count; ++m) {
    const auto which = static_cast<machine>(m);
    const auto rows = rows_of(which);
    for (std::size_t i = 0; i < rows.size(); ++i) {
      if (!names_rule(rows[i].rules, id)) continue;
      all.push_back({std::string{word(which)}, row_words(which, i), std::string{rows[i].sentence}, true});
    }
  }
  for (const rule_place& each : places_besides_rows()) {
    if (!names_rule(each.rules, id)) continue;
    all.push_back({std::string{each.where}, std::string{each.what}, std::string{each.sentence}, false});
  }
  return all;
}

json value_of(const rule& which) {
  json places = json::array();
  for (const place& each : places_of(which.id)) {
    places.push_back({{"where", each.where}, {"row", each.row}, {"what", each.what}, {"sentence", each.sentence}});
  }
  return {{"id", std::string{which.id}},
          {"sentence", std::string{which.sentence}},
          {"source", std::string{which.source}},
          {"optional", which.optional},
          {"places", std::move(places)}};
}

std::string short_words(const rule& which) {
  std::string words = paragraph(padded(which.id, 8), which.sentence);
  const std::vector<place> places = places_of(which.id);
  const auto rows = static_cast<std::size_t>(std::ranges::count_if(places, &place::row));
  std::string more = fmt::format("{}{}; {}", which.source, which.optional ? "; optional" : "", counted(rows, "row"));
  if (rows != places.size()) more += fmt::format(", {}", counted(places.size() - rows, "other place"));
  return words + paragraph(padded("", 8), "(" + more + ")");
}

std::string long_words(const rule& which) {
  std::string words = paragraph(padded(which.id, 10), which.sentence);
  words += paragraph(padded("source", 10), which.source);
  if (which.optional) words += paragraph(padded("option", 10), "only on aircraft whose layout has it");
  const std::vector<place> places = places_of(which.id);
  std::string_view label = "built in";
  for (const place& each : places) {
    words += paragraph(padded(label, 10), fmt::format("{}, {}: {}", each.where, each.what, each.sentence));
    label = "";
  }
  return words;
}

const rule& rule_named(const std::string& id) {
  std::string upper = id;
  for (char& c : upper) {
    if (c >= 'a' && c <= 'z') c = static_cast<char>(c - 'a' + 'A');
  }
  if (const rule* found = find_rule(upper)) return *found;
  std::vector<std::string> ids;
  for (const rule& each : all_rules()) ids.emplace_back(each.id);
  throw wrong_use("ID", fmt::format("'{}' is no rule{}", id, perhaps(upper, ids)), "use-rule");
}

}  // namespace

exit_code list_rules(const rules_options& wanted, output& out) {
  if (!wanted.id.empty()) {
    const rule& which = rule_named(wanted.id);
    out.write(wanted.json ? files::line_of(value_of(which)) + "\n" : long_words(which));
  } else if (wanted.json) {
    json all = json::array();
    for (const rule& each : all_rules()) all.push_back(value_of(each));
    out.write(files::line_of({{"rules", std::move(all)}}) + "\n");
  } else {
    for (const rule& each : all_rules()) out.write(short_words(each));
    out.write("\n" + counted(all_rules().size(), "rule") + "\n");
  }
  out.flush();
  return exit_code::done;
}

}  // namespace penstock::runner
