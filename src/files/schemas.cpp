// The JSON Schemas of lessons, events, answers and the trace of rules.
#include "files/schemas.hpp"

#include <array>
#include <nlohmann/json.hpp>
#include <span>
#include <string_view>

#include "files/event_subjects.hpp"
#include "files/json_values.hpp"
#include "files/quantities.hpp"
#include "penstock/detail/text.hpp"
#include "penstock/event.hpp"

#include "penstock/modes.hpp"
#include "penstock/simulation.hpp"

namespace penstock::inline v1::files {

namespace {

using json = nlohmann::ordered_json;

constexpr const char* draft = "https://json-schema.org/draft/2020-12/schema";

json object(json properties, json required) {
  return {{"type", "object"},
          {"properties", std::move(properties)},
          {"required", std::move(required)},
          {"additionalProperties", false}};
}

// An object of which every member is required.
json whole_object(json properties) {
  json required = json::array();
  for (const auto& [name, unused] : properties.items()) required.push_back(name);
  return object(std::move(properties), std::move(required));
}

json words(std::span<const std::string_view> list) {
  json all = json::array();
  for (const std::string_view one : list) all.push_back(one);
  return {{"enum", std::move(all)}};
}
template <class Enum>
json words_of_enum() {
  return words(detail::words_of<Enum>::list);
}

json flag() { return {{"type", "boolean"}}; }
json text() { return {{"type", "string"}}; }
json whole(std::int64_t most) { return {{"type", "integer"}, {"minimum", 0}, {"maximum", most}}; }
json name_or_null() { return {{"type", {"string", "null"}}}; }
json milliseconds_or_more() { return {{"type", "integer"}, {"minimum", 0}}; }
// Components by name.
json by_name(json one) { return {{"type", "object"}, {"additionalProperties", std::move(one)}}; }
json list_of(json one) { return {{"type", "array"}, {"items", std::move(one)}}; }

json described(json what, std::string_view meaning) {
  what["description"] = meaning;
  return what;
}

// A value of a YAML file that other readers may take for something else than text.
json yes_or_no() { return {{"enum", {true, false, "yes", "no"}}}; }
// A time, or a text that becomes one when its parameters are filled in.
json time_text() { return {{"type", "string"}, {"pattern", std::string{time_pattern} + R"(|\$\{)"}}; }

json component_named(std::span<const component> kinds) {
  std::vector<std::string_view> list;
  for (const component kind : kinds) list.push_back(word(kind));
  return described(text(), "name of a component of kind " + detail::listed(list));
}

// One form for each trigger of a fault, so that a trigger names what it needs and nothing else.
json trigger_forms() {
  json forms = json::array();
  forms.push_back({{"not", {{"anyOf", {{{"required", {"at_ms"}}}, {{"required", {"when"}}}}}}}});
  forms.push_back({{"required", {"at_ms"}}, {"not", {{"required", {"when"}}}}});
  json alone = json::array();
  json with_component = json::array();
  for (std::size_t i = 2; i < count_of<fault_trigger>; ++i) {
    const auto trigger = static_cast<fault_trigger>(i);
    (is_single(trigger_subjects(trigger)) ? alone : with_component).push_back(word(trigger));
  }
  forms.push_back({{"properties", {{"when", {{"enum", std::move(alone)}}}}},
                   {"required", {"when"}},
                   {"not", {{"anyOf", {{{"required", {"at_ms"}}}, {{"required", {"when_of"}}}}}}}});
  forms.push_back({{"properties", {{"when", {{"enum", std::move(with_component)}}}}},
                   {"required", {"when", "when_of"}},
                   {"not", {{"required", {"at_ms"}}}}});
  return forms;
}

json fault_event(const event_form& form, fault what, bool injected) {
  const fault_form& fault_is = form_of(what);
  json properties = {{"event", {{"const", form.word}}}, {"at", whole(limits::longest_time.count())}};
  json required = {"event", "fault"};
  properties["fault"] = described({{"const", word(what)}}, fault_is.sentence);
  if (!is_single(subjects_of(fault_is))) {
    properties["of"] = component_named(subjects_of(fault_is));
    required.push_back("of");
  }
  if (!injected) return object(std::move(properties), std::move(required));
  if (fault_is.needs_amount) {
    properties["flow"] =
        described({{"type", "number"}, {"exclusiveMinimum", 0}, {"maximum", most_flow / 1000}}, "mL/s");
    required.push_back("flow");
  }
  properties["at_ms"] = described(whole(limits::longest_time.count()), "when the fault comes, since the beginning");
  properties["when"] = described(text(), "what brings the fault");
  properties["when_of"] = described(text(), "the component that the trigger is about");
  json made = object(std::move(properties), std::move(required));
  made["$ref"] = "#/$defs/trigger";
  return made;
}

json plain_event(const event_form& form, event_kind kind) {
  json properties = {{"event", {{"const", form.word}}}, {"at", whole(limits::longest_time.count())}};
  json required = {"event"};
  if (!is_single(subjects_of(form))) {
    properties["of"] = component_named(subjects_of(form));
    required.push_back("of");
  }
  if (!form.values.empty()) {
    properties["to"] = words(form.values);
    required.push_back("to");
  }
  if (kind == event_kind::elapsed) {
    properties["ms"] = whole(limits::longest_time.count());
    required.push_back("ms");
  }
  if (kind == event_kind::stored) {
    properties["applications"] = whole(63);
    required.push_back("applications");
  }
  return described(object(std::move(properties), std::move(required)), form.sentence);
}

json alert_schema() {
  return whole_object({{"condition", words_of_enum<condition>()},
                       {"about", text()},
                       {"level", words_of_enum<alert_class>()},
                       {"onset", milliseconds_or_more()},
                       {"rule", text()},
                       {"sentence", text()},
                       {"cause", text()},
                       {"acknowledged", flag()},
                       {"inhibited", flag()},
                       {"under", {{"type", {"integer", "null"}}, {"minimum", 0}}}});
}

json observation_schema() {
  return whole_object({
      {"now", milliseconds_or_more()},
      {"in_flight", flag()},
      {"air_ground_valid", flag()},
      {"parking_brake_set", flag()},
      {"gear_down", flag()},
      {"phase", words_of_enum<flight_phase>()},
      {"airspeed", words_of_enum<airspeed_band>()},
      {"external_power", flag()},
      {"auxiliary_power", flag()},
      {"steering", words_of_enum<steering_mode>()},
      {"engines", by_name(whole_object({{"mode", words_of_enum<engine_mode>()},
                                        {"role", words_of_enum<engine_role>()},
                                        {"spool", words_of_enum<spool_band>()},
                                        {"selected", flag()},
                                        {"supply_open", flag()},
                                        {"fire_handle_pulled", flag()}}))},
      {"engine_pumps", by_name(whole_object({{"reason", words_of_enum<engine_pump_reason>()},
                                             {"delivering", flag()},
                                             {"switched_on", flag()},
                                             {"health", words_of_enum<health_mode>()}}))},
      {"electric_pumps", by_name(whole_object({{"reason", words_of_enum<electric_pump_reason>()},
                                               {"demand", words_of_enum<demand_mode>()},
                                               {"delivering", flag()},
                                               {"switched", words_of_enum<pump_switch>()},
                                               {"health", words_of_enum<health_mode>()},
                                               {"shed", flag()}}))},
      {"ram_air_pumps", by_name(whole_object({{"mode", words_of_enum<ram_air_mode>()}, {"delivering", flag()}}))},
      {"circuits", by_name(whole_object({{"status", words_of_enum<circuit_status>()},
                                         {"pressure_made", flag()},
                                         {"at_pressure", flag()},
                                         {"own_source", flag()},
                                         {"driven", flag()},
                                         {"service", words_of_enum<service_mode>()},
                                         {"level", words_of_enum<fluid_level>()},
                                         {"air_low", flag()},
                                         {"fluid_hot", flag()}}))},
      {"units", by_name(whole_object({{"mode", words_of_enum<unit_mode>()},
                                      {"reason", words_of_enum<unit_inhibition>()},
                                      {"reasons", list_of(words_of_enum<unit_inhibition>())},
                                      {"test", words_of_enum<test_mode>()},
                                      {"outcome", words_of_enum<test_outcome>()},
                                      {"test_reason", words_of_enum<test_reason>()}}))},
      {"doors", by_name(whole_object({{"mode", words_of_enum<door_mode>()},
                                      {"lever", words_of_enum<lever_position>()},
                                      {"travel", words_of_enum<door_travel>()},
                                      {"can_move", flag()}}))},
      {"consumers",
       by_name(whole_object(
           {{"available", flag()}, {"reason", words_of_enum<consumer_reason>()}, {"fed_by", name_or_null()}}))},
      {"stored", by_name(milliseconds_or_more())},
      {"buses", by_name(whole_object({{"powered", flag()}, {"source", name_or_null()}}))},
      {"alerts", list_of(alert_schema())},
      {"faults", list_of(whole_object({{"fault", words_of_enum<fault>()},
                                       {"component", text()},
                                       {"status", words_of_enum<fault_status>()},
                                       {"trigger", words_of_enum<fault_trigger>()},
                                       {"flow", milliseconds_or_more()}}))},
  });
}

json row_schema() {
  return whole_object({{"at", milliseconds_or_more()},
                       {"component", text()},
                       {"machine", words_of_enum<machine>()},
                       {"row", milliseconds_or_more()},
                       {"rules", list_of(text())},
                       {"from", text()},
                       {"event", text()},
                       {"to", text()},
                       {"sentence", text()}});
}

json refusal_schema() {
  json kinds = json::array();
  for (auto kind = refusal_kind::by_row; refusal_word(kind) != "?"; kind = refusal_kind(static_cast<int>(kind) + 1)) {
    kinds.push_back(refusal_word(kind));
  }
  json refused = whole_object({{"kind", {{"enum", std::move(kinds)}}}, {"rule", text()}, {"sentence", text()}});
  return {{"oneOf", {{{"type", "null"}}, std::move(refused)}}};
}

std::string finished(const json& schema) { return schema.dump(2) + '\n'; }

json headed(const char* title, const char* description) {
  return {{"$schema", draft}, {"title", title}, {"description", description}};
}

}  // namespace

std::string event_schema() {
  json schema = headed("penstock event",
                       "One event, as one line of JSON. Components go by their names in the layout. \"at\" (whole "
                       "milliseconds since the beginning) is for the lines that penstock feed reads: time goes on "
                       "until then.");
  json forms = json::array();
  const auto all = event_forms();
  for (std::size_t i = 0; i < all.size(); ++i) {
    const auto kind = static_cast<event_kind>(i);
    const bool faults = kind == event_kind::inject || kind == event_kind::remove_fault;
    if (!faults) forms.push_back(plain_event(all[i], kind));
    for (std::size_t f = 0; faults && f < count_of<fault>; ++f) {
      forms.push_back(fault_event(all[i], static_cast<fault>(f), kind == event_kind::inject));
    }
  }
  schema["type"] = "object";
  schema["oneOf"] = std::move(forms);
  schema["$defs"]["trigger"] = {{"oneOf", trigger_forms()}};
  return finished(schema);
}

std::string answer_schema() {
  json schema = headed("penstock answer",
                       "What penstock feed writes for each line it reads: what the event did and a complete "
                       "observation, or what is wrong with the line.");
  json answer = whole_object({{"line", whole(9'007'199'254'740'991)},
                              {"accepted", flag()},
                              {"refused", refusal_schema()},
                              {"rows", list_of(row_schema())},
                              {"observation", observation_schema()}});
  json problem = whole_object({{"line", whole(9'007'199'254'740'991)},
                               {"error", whole_object({{"id", text()},
                                                       {"message", text()},
                                                       {"column", {{"type", {"integer", "null"}}, {"minimum", 1}}}})}});
  schema["oneOf"] = {std::move(answer), std::move(problem)};
  return finished(schema);
}

std::string lesson_schema() {
  json schema =
      headed("penstock lesson",
             "A lesson for penstock, in YAML. Values are read as they are written: yes, no, on, off and clock "
             "times such as 1:05 are text. What phrases may say the reader checks.");
  const json switch_words = {{"enum", {"off", "auto", "on", true, false}}};
  const json on_off = {{"enum", {"off", "on", true, false}}};
  json begin = object({{"in-flight", yes_or_no()},
                       {"engines-running", list_of(text())},
                       {"switches", by_name(switch_words)},
                       {"levers", by_name(words_of_enum<lever_position>())},
                       {"doors", by_name(words_of_enum<door_travel>())},
                       {"levels", by_name(words_of_enum<fluid_level>())},
                       {"steering", {{"enum", {"connected", "disconnected"}}}},
                       {"pin", {{"enum", {"in", "out"}}}},
                       {"gear", {{"enum", {"down", "up"}}}},
                       {"parking-brake", {{"enum", {"set", "released"}}}},
                       {"external-power", on_off},
                       {"auxiliary-power", on_off},
                       {"airspeed", words_of_enum<airspeed_band>()}},
                      json::array());
  const json phrases = {{"oneOf", {text(), list_of(text())}}};
  const json values = by_name(text());
  json step = object(
      {{"at", described(time_text(), "since the beginning of the lesson or included file")},
       {"after", described(time_text(), "after the step above")},
       {"when", described(phrases, "as soon as this is so, such as: port is normal")},
       {"within", described(time_text(), "the longest that when waits; 10 min if it is not there")},
       {"by", described(text(), "who does it, in a few words")},
       {"say", described(text(), "narration")},
       {"do", described(phrases, "events, such as: lever forward open")},
       {"refused", described(text(), "id of the rule that must refuse the last event of do")},
       {"observe", described(phrases, "what to look at")},
       {"ask", described(text(), "a question")},
       {"answer", described(text(), "a component, alert CONDITION, COMPONENT READING, or a text of your own")},
       {"expect", described({{"$ref", "#/$defs/expectation"}}, "what must be so, such as: port is partial")},
       {"include", described(text(), "steps of another file behind this one: a shipped lesson, or a path that ends in .yaml")},
       {"with", described(values, "values of its parameters")}},
      json::array());
  step["oneOf"] = {{{"required", {"at"}}},
                   {{"required", {"after"}}},
                   {{"required", {"when"}}},
                   {{"required", {"include"}}, {"propertyNames", {{"enum", {"include", "with"}}}}}};
  const json parameter = {{"oneOf", {text(), {{"type", "object"},
                                              {"properties", {{"by", described(text(), "a parameter above")}}},
                                              {"required", {"by"}},
                                              {"additionalProperties", text()}}}}};
  json parameters = by_name(parameter);
  parameters["propertyNames"] = {{"pattern", "^[a-z][a-z0-9-]*$"}};
  schema.update(
      object({{"lesson", described(text(), "title")},
              {"aircraft", described(text(), "name of a shipped aircraft, or a path that ends in .yaml")},
              {"end-mark", described(yes_or_no(), "the file ends with a line ...; without it, it was cut")},
              {"story", described(text(), "what the lesson is about")},
              {"plant", described({{"enum", detail::words_of<plant_kind>::list}}, "what answers the logic")},
              {"begin", described(std::move(begin), "how it begins; what is not named is cold and dark [GEN-7]")},
              {"parameters", described(std::move(parameters), "by name; ${name} in a text stands for the value")},
              {"end", described(time_text(), "play until then; otherwise until the last step and what it expects")},
              {"steps", {{"type", "array"}, {"items", std::move(step)}, {"minItems", 1}, {"maxItems", 200'000}}}},
             {"lesson", "aircraft", "steps"}));
  const json again = {{"$ref", "#/$defs/expectation"}};
  const json one_or_more = {{"$ref", "#/$defs/phrases"}};
  schema["$defs"]["phrases"] = {{"oneOf", {text(), list_of(one_or_more), whole_object({{"not", one_or_more}})}}};
  json timed = {{"type", "object"}, {"minProperties", 1}};
  timed["properties"] = {
      {"not", again},
      {"now", described(again, "the same as without this key; for shows beside it")},
      {"shows", described(phrases, "ids of rules that the lesson shows by what stands beside it, such as: GEN-1")}};
  timed["patternProperties"] = {
      {"^(within|for|always for|never for|always until|never until) ", one_or_more},
      {"^in this order( within .*)?$", {{"type", "array"}, {"items", one_or_more}, {"minItems", 2}}}};
  timed["additionalProperties"] = false;
  schema["$defs"]["expectation"] = {{"oneOf", {text(), list_of(again), std::move(timed)}}};
  return finished(schema);
}

std::string trace_schema() {
  json schema = headed("penstock trace",
                       "What penstock rules --trace writes: each rule with the rows and other places that build it, the "
                       "tests that quote it and the lessons that show it; the same from the rows and the lessons back; "
                       "and the gaps.");
  const json count = milliseconds_or_more();
  const json count_or_null = {{"type", {"integer", "null"}}, {"minimum", 0}};
  const json rule_ids = list_of({{"type", "string"}, {"pattern", "^[^ ]+$"}});
  const json rows = list_of(whole_object({{"machine", words_of_enum<machine>()},
                                          {"row", count},
                                          {"from", text()},
                                          {"event", text()},
                                          {"guard", described(name_or_null(), "what must hold as well; null: nothing")},
                                          {"to", text()},
                                          {"refused", described(flag(), "the row refuses a command")},
                                          {"sentence", text()}}));
  const json places = list_of(whole_object({{"where", text()}, {"what", text()}, {"sentence", text()}}));
  json tests = whole_object({{"suite", text()}, {"name", text()}, {"file", text()}, {"line", count}});
  const json shown = whole_object({{"lesson", text()}, {"at", described(count, "when for the first time, ms")}});
  const json rule = whole_object(
      {{"id", text()},
       {"family", described(text(), "the id without its number")},
       {"sentence", text()},
       {"source", text()},
       {"optional", described(flag(), "only on aircraft whose layout has it")},
       {"rows", described(rows, "rows of tables")},
       {"places", described(places, "rungs of ordered lists, and functions")},
       {"tests", described({{"type", {"array", "null"}}, {"items", std::move(tests)}},
                           "null: this penstock was built without its tests")},
       {"lessons", list_of(shown)}});
  const json kinds = {{"enum", {"no-place", "no-test", "no-lesson", "no-rule", "unknown-rule"}}};
  json gap = whole_object({{"kind", described(kinds, "no-rule: a row, place, test or lesson without a rule; unknown-rule: "
                                                     "one of these with a rule that is not in the catalogue")},
                           {"about", described(text(), "the rule, row, place, test or lesson")},
                           {"rule", described(name_or_null(), "null for no-rule")}});
  schema.update(whole_object(
      {{"penstock", described(text(), "version")},
       {"training_only", {{"const", true}}},
       {"summary", whole_object({{"rules", count},
                                 {"rules_built", count},
                                 {"rules_tested", count_or_null},
                                 {"rules_shown", count},
                                 {"rows", count},
                                 {"rows_taken", described(count, "by a lesson")},
                                 {"other_places", count},
                                 {"tests", count_or_null},
                                 {"lessons", count},
                                 {"gaps", count}})},
       {"rules", list_of(rule)},
       {"rows", list_of(whole_object({{"machine", words_of_enum<machine>()},
                                      {"row", count},
                                      {"rules", rule_ids},
                                      {"lessons", described(list_of(text()), "that take it")}}))},
       {"lessons", list_of(whole_object({{"lesson", text()},
                                         {"title", text()},
                                         {"passed", described(flag(), "everything that it expects was so")},
                                         {"rules", rule_ids}}))},
       {"gaps", list_of(std::move(gap))}}));
  return finished(schema);
}

}  // namespace penstock::inline v1::files
