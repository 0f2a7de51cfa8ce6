#include "runner/timeline_json.hpp"

#include "files/json_values.hpp"
#include "penstock/version.hpp"

#include <cmath>
#include <nlohmann/json.hpp>

namespace penstock::runner {

namespace {

using json = nlohmann::ordered_json;

json text(std::string_view words) { return std::string{words}; }

json text_or_null(std::string_view words) { return words.empty() ? json(nullptr) : text(words); }

json value_of(const given_command& command) {
  return {{"words", command.words},
          {"refused", command.refused ? files::value_of(*command.refused) : json(nullptr)},
          {"refusal_expected", command.refusal_expected}};
}

json value_of(const layout& of, const change& made) {
  return {{"component", text(of.name(made.about))}, {"property", text_or_null(made.attribute)},
          {"from", made.from},                      {"to", made.to},
          {"detail", text_or_null(made.detail)},    {"because", text_or_null(made.because)},
          {"rules", files::ids_in(made.rules)}};
}

json value_of(const layout& of, const alert_change& made) {
  return {{"change", text(word_of(made.what))},
          {"level_before", text(word(made.before))},
          {"alert", files::value_of(of, made.alert)}};
}

template <class Item>
json names(const layout& of, const Item& subjects) {
  json all = json::array();
  for (const subject each : subjects) all.push_back(text(of.name(each)));
  return all;
}

}  // namespace

nlohmann::ordered_json value_of(const location& where) {
  return {{"file", where.file}, {"line", where.line}, {"column", where.column}};
}

nlohmann::ordered_json value_of(const layout& of, const judgement& judged) {
  json value{{"words", judged.expected.words}, {"where", value_of(judged.expected.where)}, {"met", judged.met}};
  value["margin"] = text_or_null(judged.margin);
  value["shows"] = judged.expected.shows;
  if (!judged.met) {
    value["found"] = judged.found;
    value["causes"] = files::value_of(of, judged.causes)["chain"];
  }
  return value;
}

void timeline_json::heading() {
  const layout_spec& aircraft = lesson_.aircraft.spec();
  const json head{{"penstock", PENSTOCK_VERSION},
                  {"training_only", true},
                  {"lesson", lesson_.name},
                  {"title", lesson_.title},
                  {"aircraft", aircraft.name},
                  {"origin", aircraft.origin},
                  {"plant", word(lesson_.plant)}};
  std::string words = files::line_of(head);
  words.pop_back();
  out_.write(words + ",\n\"moments\":[");
}

void timeline_json::tell(const moment& now) {
  const layout& of = lesson_.aircraft;
  json value{{"at", now.at},
             {"step", now.step != nullptr},
             {"by", now.step == nullptr ? json(nullptr) : text_or_null(now.step->by)},
             {"say", now.step == nullptr ? json(nullptr) : text_or_null(now.step->say)},
             {"observe", now.step == nullptr ? std::vector<std::string>{} : now.step->observe}};
  json questions = json::array();
  for (const given_answer& each : now.answers) {
    questions.push_back({{"question", each.question}, {"answer", text_or_null(each.answer)}});
  }
  value["questions"] = std::move(questions);
  json commands = json::array();
  for (const given_command& each : now.commands) commands.push_back(value_of(each));
  value["commands"] = std::move(commands);
  value["facts"] = now.facts;
  json rows = json::array();
  for (const row_taken& each : now.rows) rows.push_back(files::value_of(of, each));
  value["rows"] = std::move(rows);
  json changes = json::array();
  for (const change& each : now.changes) changes.push_back(value_of(of, each));
  value["changes"] = std::move(changes);
  json levels = json::array();
  for (const double litres : now.fluid) levels.push_back(std::llround(litres * 1e6));
  value["reservoirs_mm3"] = std::move(levels);
  json pressures = json::array();
  for (const double psi : now.pressures) pressures.push_back(std::llround(psi));
  value["pressures_psi"] = std::move(pressures);
  value["available"] = names(of, now.available);
  value["unavailable"] = names(of, now.unavailable);
  json alerts = json::array();
  for (const alert_change& each : now.alerts) alerts.push_back(value_of(of, each));
  value["alerts"] = std::move(alerts);
  json judged = json::array();
  for (const judgement& each : now.judged) judged.push_back(value_of(of, each));
  value["expectations"] = std::move(judged);
  value["observation"] = files::value_of(of, now.seen);
  out_.write((first_ ? "\n" : ",\n") + files::line_of(value));
  first_ = false;
}

void timeline_json::summary(const played& end) {
  const json value{{"end", end.at_end.now},
                   {"steps", end.steps},
                   {"expectations", end.result.expectations},
                   {"unmet", end.result.failures.size()},
                   {"timed_out", end.result.timed_out},
                   {"rules_shown", end.ids_shown()}};
  out_.write("\n],\n\"summary\":" + files::line_of(value) + "}\n");
}

}  // namespace penstock::runner
