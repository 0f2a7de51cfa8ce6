// penstock rules: the catalogue, and where each rule is built.
#include "files/json_values.hpp"
#include "penstock/rules.hpp"
#include "runner/built_places.hpp"
#include "runner/commands.hpp"
#include "runner/failure.hpp"
#include "runner/names.hpp"
#include "runner/page.hpp"
#include "runner/trace_rules.hpp"

#include <fmt/core.h>
#include <nlohmann/json.hpp>

#include <algorithm>

namespace penstock::runner {

namespace {

using json = nlohmann::ordered_json;

std::vector<built_place> places_of(std::string_view id) {
  std::vector<built_place> all = built_places();
  std::erase_if(all, [&](const built_place& each) { return !names_rule(each.rules, id); });
  return all;
}

bool is_row(const built_place& one) { return one.row.has_value(); }

json value_of(const rule& which) {
  json places = json::array();
  for (const built_place& each : places_of(which.id)) {
    places.push_back({{"where", each.where}, {"row", is_row(each)}, {"what", each.what}, {"sentence", each.sentence}});
  }
  return {{"id", std::string{which.id}},
          {"sentence", std::string{which.sentence}},
          {"source", std::string{which.source}},
          {"optional", which.optional},
          {"places", std::move(places)}};
}

std::string short_words(const rule& which) {
  std::string words = paragraph(padded(which.id, 8), which.sentence);
  const std::vector<built_place> places = places_of(which.id);
  const auto rows = static_cast<std::size_t>(std::ranges::count_if(places, is_row));
  std::string more = fmt::format("{}{}; {}", which.source, which.optional ? "; optional" : "", counted(rows, "row"));
  if (rows != places.size()) more += fmt::format(", {}", counted(places.size() - rows, "other place"));
  return words + paragraph(padded("", 8), "(" + more + ")");
}

std::string long_words(const rule& which) {
  std::string words = paragraph(padded(which.id, 10), which.sentence);
  words += paragraph(padded("source", 10), which.source);
  if (which.optional) words += paragraph(padded("option", 10), "only on aircraft whose layout has it");
  const std::vector<built_place> places = places_of(which.id);
  std::string_view label = "built in";
  for (const built_place& each : places) {
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
  if (wanted.trace || wanted.form || wanted.file) return trace_rules(wanted, out);
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
