// Lessons from YAML, and the phrases of their expectations.
#include <algorithm>
#include <array>
#include <span>

#include "files/lesson_words.hpp"
#include "files/quantities.hpp"
#include "files/reading.hpp"
#include "penstock/event_text.hpp"
#include "penstock/explain.hpp"
#include "penstock/layout_file.hpp"
#include "penstock/lesson.hpp"
#include "penstock/rules.hpp"

namespace penstock::inline v1 {

namespace files {

namespace {

constexpr std::size_t most_steps = 200'000;

// The kind of component a condition is about.
component subject_kind(condition which) {
  switch (which) {
    case condition::engine_pump:
      return component::engine_pump;
    case condition::electric_pump:
      return component::electric_pump;
    case condition::circuit_low:
    case condition::quantity:
    case condition::reservoir_air:
    case condition::fluid_hot:
    case condition::leak_isolation:
      return component::circuit;
    case condition::lever_out:
    case condition::run_limit:
    case condition::door_not_closed:
      return component::cargo_door;
    case condition::transfer_test:
    case condition::transfer_failed:
    case condition::transfer_overspeed:
      return component::transfer_unit;
    case condition::steering:
      return component::steering;
    case condition::ram_air:
      return component::ram_air_pump;
    case condition::circuits_low:
    case condition::parking_brake:
    case condition::air_ground_input:
      break;
  }
  return component::aircraft;
}

std::vector<std::string_view> names_of(const layout& of, component kind) {
  std::vector<std::string_view> names;
  for (std::size_t i = 0; i < of.count(kind); ++i) names.push_back(of.name({kind, static_cast<std::uint8_t>(i)}));
  return names;
}

std::vector<std::string_view> all_names(const layout& of) {
  std::vector<std::string_view> names;
  for (const subject s : of.everything()) names.push_back(of.name(s));
  return names;
}

// One phrase of what must be so.
class expectation_reader {
 public:
  expectation_reader(const layout& of, std::string_view phrase, location where) : layout_(of) {
    found_.words = phrase;
    found_.where = std::move(where);
    std::string word;
    std::uint32_t column = 0;
    for (const char c : std::string{phrase} + ' ') {
      if (c == ' ' || c == '\t' || c == '\n' || c == '\r') {
        const auto length = static_cast<std::uint32_t>(word.size());
        if (length > 0) words_.push_back({std::move(word), column - length});
        word.clear();
      } else {
        word += c;
      }
      ++column;
    }
  }

  result<expectation> read(bool negated) {
    found_.negated = negated;
    if (words_.empty()) return wrong("the phrase is empty; an expectation reads like: port is partial", 0);
    if (words_[0].text == "no") {
      if (words_.size() != 2 || words_[1].text != "alerts") return wrong("after \"no\" only \"alerts\" is possible", 0);
      found_.no_alerts = true;
      return std::move(found_);
    }
    const auto is = std::find_if(words_.begin(), words_.end(), [](const word_at& w) { return w.text == "is"; });
    if (is == words_.end()) {
      return wrong("there is no \"is\"; an expectation reads like: port is partial, or: no alerts", 0);
    }
    auto value = is + 1;
    if (value != words_.end() && value->text == "not") {
      found_.negated = !found_.negated;
      ++value;
    }
    if (value == words_.end()) return wrong("there is no word after \"is\"", is->column);
    if (value + 1 != words_.end()) {
      return wrong(detail::quoted((value + 1)->text) + " is one word too many", (value + 1)->column);
    }
    const std::vector<word_at> about{words_.begin(), is};
    if (about.empty()) return wrong("there is nothing before \"is\"; name a component or an alert", 0);
    return about[0].text == "alert" ? alert(about, *value) : property(about, *value);
  }

 private:
  struct word_at {
    std::string text;
    std::uint32_t column;
  };

  [[nodiscard]] error wrong(std::string message, std::uint32_t column) const {
    location place = found_.where;
    place.column = std::max(place.column, 1U) + column;
    return {"lesson-expect", std::move(message), std::move(place)};
  }

  result<expectation> alert(const std::vector<word_at>& about, const word_at& value) {
    const auto& conditions = detail::words_of<condition>::list;
    if (about.size() == 1) return wrong("alert needs a condition: " + detail::listed(conditions), about[0].column);
    found_.alert = from_word<condition>(about[1].text);
    if (!found_.alert) {
      return wrong("there is no condition " + detail::quoted(about[1].text) +
                       detail::suggestion(about[1].text, conditions) + "; possible: " + detail::listed(conditions),
                   about[1].column);
    }
    const component kind = subject_kind(*found_.alert);
    const std::vector<std::string_view> names = names_of(layout_, kind);
    const std::string possible = names.empty() ? "; the aircraft has none" : "; possible: " + detail::listed(names);
    if (about.size() > 3) return wrong(detail::quoted(about[3].text) + " is one word too many", about[3].column);
    if (about.size() == 3) {
      const auto part = layout_.find(about[2].text);
      if (!part || part->kind != kind) {
        return wrong("the alert " + about[1].text + " is about a component of kind " + std::string{word(kind)} +
                         "; found " + detail::quoted(about[2].text) + detail::suggestion(about[2].text, names) +
                         possible,
                     about[2].column);
      }
      found_.about = *part;
    } else if (names.size() == 1) {
      found_.about = {kind, 0};
    } else {
      return wrong(
          "the alert " + about[1].text + " needs the name of a component of kind " + std::string{word(kind)} + possible,
          about[1].column);
    }
    return with_value(alert_words(), "an alert", value);
  }

  result<expectation> property(const std::vector<word_at>& about, const word_at& value) {
    const auto part = layout_.find(about[0].text);
    if (!part) {
      const std::vector<std::string_view> names = all_names(layout_);
      return wrong("there is no component " + detail::quoted(about[0].text) + detail::suggestion(about[0].text, names) +
                       "; possible: " + detail::listed(names),
                   about[0].column);
    }
    found_.about = *part;
    if (about.size() > 2) return wrong(detail::quoted(about[2].text) + " is one word too many", about[2].column);
    std::vector<std::string_view> possible;
    const attribute_form* form = nullptr;
    for (const attribute_form& one : attributes()) {
      if (one.kind != part->kind) continue;
      possible.push_back(one.name);
      const bool wanted = about.size() == 1 ? form == nullptr : one.name == about[1].text;
      if (wanted) form = &one;
    }
    if (form == nullptr) {
      return wrong(detail::quoted(about[0].text) + " (" + std::string{word(part->kind)} + ") has no property " +
                       detail::quoted(about[1].text) + detail::suggestion(about[1].text, possible) +
                       "; possible: " + detail::listed(possible),
                   about[1].column);
    }
    found_.attribute = form->name;
    return with_value(form->words, std::string{form->name}, value);
  }

  result<expectation> with_value(const std::vector<std::string_view>& words, const std::string& what,
                                 const word_at& value) {
    const bool known = std::find(words.begin(), words.end(), value.text) != words.end();
    if (!known) {
      // Numbers are many; saying the range is clearer than listing them.
      const std::string possible =
          words.size() > 40 ? std::string{words.front()} + " to " + std::string{words.back()} : detail::listed(words);
      return wrong(what + " is never " + detail::quoted(value.text) + detail::suggestion(value.text, words) +
                       "; possible: " + possible,
                   value.column);
    }
    found_.value = value.text;
    return std::move(found_);
  }

  const layout& layout_;
  expectation found_;
  std::vector<word_at> words_;
};

class lesson_reader {
 public:
  lesson_reader(const std::string& file, lesson& into) : file_(file), lesson_(into) {}

  complaint read(const yaml_node& root) {
    if (root.sort != yaml_node::kind::map) return wrong_sort("lesson-form", "a lesson", "a map of keys", root, file_);
    constexpr auto keys =
        std::to_array<std::string_view>({"lesson", "aircraft", "story", "plant", "begin", "end", "steps"});
    if (auto wrong = known_keys(root, "a lesson", keys)) return wrong;
    if (auto wrong = read_text(root, "lesson", true, lesson_.title)) return wrong;
    if (auto wrong = read_text(root, "story", false, lesson_.story)) return wrong;
    if (auto wrong = read_aircraft(root)) return wrong;
    if (auto wrong = read_plant(root)) return wrong;
    if (const yaml_node* begin = root.find("begin")) {
      if (auto wrong = read_begin(*begin)) return wrong;
    }
    const yaml_node* steps = root.find("steps");
    if (steps == nullptr) return missing(root, "the lesson has no steps");
    if (auto wrong = read_steps(*steps)) return wrong;
    return read_end(root);
  }

 private:
  template <class Keys>
  complaint known_keys(const yaml_node& map, const std::string& what, const Keys& keys) const {
    for (const yaml_entry& entry : map.entries) {
      if (std::find(keys.begin(), keys.end(), entry.key) == keys.end()) {
        return unknown_key("lesson-key", what, entry, keys, file_);
      }
    }
    return std::nullopt;
  }

  [[nodiscard]] error missing(const yaml_node& map, const std::string& words) const {
    return {"lesson-missing", words, at(map, file_)};
  }

  // Where the text of a node begins.
  [[nodiscard]] location text_at(const yaml_node& node) const {
    location where = at(node, file_);
    if (node.in_quotes) ++where.column;
    return where;
  }

  complaint read_text(const yaml_node& map, std::string_view key, bool needed, std::string& into) const {
    const yaml_node* value = map.find(key);
    if (value == nullptr) {
      if (needed) return missing(map, "there is no \"" + std::string{key} + '"');
      return std::nullopt;
    }
    if (value->sort != yaml_node::kind::text || (needed && value->text.empty())) {
      return wrong_sort("lesson-form", std::string{key}, "a text", *value, file_);
    }
    into = value->text;
    return std::nullopt;
  }

  complaint read_aircraft(const yaml_node& root) {
    std::string name;
    if (auto wrong = read_text(root, "aircraft", true, name)) return wrong;
    const yaml_node& node = *root.find("aircraft");
    const bool is_path = name.ends_with(".yaml") || name.ends_with(".yml");
    if (is_path && name.front() != '/') {
      // Relative to the lesson's folder, so that a lesson and its aircraft can move together.
      if (const auto slash = file_.rfind('/'); slash != std::string::npos) name = file_.substr(0, slash + 1) + name;
    }
    auto aircraft = load_layout(name);
    if (!aircraft) {
      error wrong = aircraft.problem();
      // A complaint about the inside of the layout file keeps its own place.
      if (wrong.where.line == 0) {
        if (!wrong.where.file.empty()) wrong.message = wrong.where.file + ": " + wrong.message;
        wrong.where = text_at(node);
      }
      return wrong;
    }
    lesson_.aircraft = *std::move(aircraft);
    return std::nullopt;
  }

  complaint read_plant(const yaml_node& root) {
    std::string plant;
    if (auto wrong = read_text(root, "plant", false, plant)) return wrong;
    const yaml_node* node = root.find("plant");
    if (node == nullptr) return std::nullopt;
    constexpr auto& plants = detail::words_of<plant_kind>::list;
    const std::optional<plant_kind> found = from_word<plant_kind>(plant);
    if (!found) {
      return error{"lesson-value",
                   "plant must be " + detail::listed(plants) + "; found " + detail::quoted(plant) +
                       detail::suggestion(plant, plants),
                   text_at(*node)};
    }
    lesson_.plant = *found;
    return std::nullopt;
  }

  // begin: a reposition.
  complaint read_begin(const yaml_node& begin) {
    if (begin.sort != yaml_node::kind::map) return wrong_sort("lesson-form", "begin", "a map of keys", begin, file_);
    constexpr auto keys = std::to_array<std::string_view>(
        {"in-flight", "engines-running", "switches", "levers", "doors", "levels", "steering", "pin", "gear",
         "parking-brake", "external-power", "auxiliary-power", "airspeed"});
    if (auto wrong = known_keys(begin, "begin", keys)) return wrong;
    reposition_spec to = reposition_of_cold_and_dark(lesson_.aircraft);
    if (auto wrong = read_choice(begin, "in-flight", {"no", "yes"}, to.in_flight)) return wrong;
    if (auto wrong = read_choice(begin, "steering", {"disconnected", "connected"}, to.steering_connected)) return wrong;
    if (auto wrong = read_choice(begin, "pin", {"out", "in"}, to.pin_in)) return wrong;
    if (auto wrong = read_choice(begin, "gear", {"up", "down"}, to.gear_down)) return wrong;
    if (auto wrong = read_choice(begin, "parking-brake", {"released", "set"}, to.parking_brake_set)) return wrong;
    if (auto wrong = read_choice(begin, "external-power", {"off", "on"}, to.external_power)) return wrong;
    if (auto wrong = read_choice(begin, "auxiliary-power", {"off", "on"}, to.auxiliary_power)) return wrong;
    if (const yaml_node* airspeed = begin.find("airspeed")) {
      if (auto wrong = read_word(*airspeed, "airspeed", to.airspeed)) return wrong;
    }
    if (auto wrong = read_running(begin, to)) return wrong;
    if (auto wrong = read_switches(begin, to)) return wrong;
    if (auto wrong = read_states(begin, "levers", component::cargo_door, to.levers)) return wrong;
    if (auto wrong = read_states(begin, "doors", component::cargo_door, to.doors)) return wrong;
    if (auto wrong = read_states(begin, "levels", component::circuit, to.levels)) return wrong;
    if (const auto state = repositioned(lesson_.aircraft, to); !state) {
      error wrong = state.problem();
      wrong.where = at(begin, file_);
      return wrong;
    }
    lesson_.begin = to;
    return std::nullopt;
  }

  complaint read_choice(const yaml_node& map, std::string_view key, const std::array<std::string_view, 2>& words,
                        bool& into) const {
    const yaml_node* value = map.find(key);
    if (value == nullptr) return std::nullopt;
    const bool known = value->sort == yaml_node::kind::text && (value->text == words[0] || value->text == words[1]);
    if (!known) return wrong_sort("lesson-value", std::string{key}, detail::listed(words), *value, file_);
    into = value->text == words[1];
    return std::nullopt;
  }

  template <class Enum>
  complaint read_word(const yaml_node& node, const std::string& what, Enum& into) const {
    if (node.sort != yaml_node::kind::text) return wrong_sort("lesson-form", what, "a word", node, file_);
    const auto found = enumerator_from<Enum>("lesson-value", what, node.text, text_at(node));
    if (!found) return found.problem();
    into = *found;
    return std::nullopt;
  }

  // The component of that name, if it is of one of these kinds.
  complaint find_part(const std::string& name, std::span<const component> kinds, const location& where,
                      subject& found) const {
    std::vector<std::string_view> names;
    std::vector<std::string_view> words;
    for (const component kind : kinds) {
      words.push_back(word(kind));
      for (const std::string_view one : names_of(lesson_.aircraft, kind)) names.push_back(one);
    }
    const auto part = lesson_.aircraft.find(name);
    if (part && std::find(kinds.begin(), kinds.end(), part->kind) != kinds.end()) {
      found = *part;
      return std::nullopt;
    }
    return error{"lesson-component",
                 "there is no " + detail::listed(words) + ' ' + detail::quoted(name) + detail::suggestion(name, names) +
                     (names.empty() ? "; the aircraft has none" : "; possible: " + detail::listed(names)),
                 where};
  }

  complaint read_running(const yaml_node& begin, reposition_spec& to) const {
    const yaml_node* list = begin.find("engines-running");
    if (list == nullptr) return std::nullopt;
    if (list->sort != yaml_node::kind::list) {
      return wrong_sort("lesson-form", "engines-running", "a list of engines", *list, file_);
    }
    constexpr std::array kinds{component::engine};
    for (const yaml_node& item : list->items) {
      if (item.sort != yaml_node::kind::text) {
        return wrong_sort("lesson-form", "engines-running", "a list of engines", item, file_);
      }
      subject engine;
      if (auto wrong = find_part(item.text, kinds, text_at(item), engine)) return wrong;
      to.engine_runs[engine.index] = true;
    }
    return std::nullopt;
  }

  complaint read_switches(const yaml_node& begin, reposition_spec& to) const {
    const yaml_node* map = begin.find("switches");
    if (map == nullptr) return std::nullopt;
    if (map->sort != yaml_node::kind::map) return wrong_sort("lesson-form", "switches", "a map", *map, file_);
    constexpr std::array kinds{component::engine_pump, component::electric_pump, component::transfer_unit};
    for (const yaml_entry& entry : map->entries) {
      subject part;
      if (auto wrong = find_part(entry.key, kinds, at(entry, file_), part)) return wrong;
      pump_switch value{};
      if (auto wrong = read_word(entry.value, "the switch of " + entry.key, value)) return wrong;
      if (auto wrong = set_switch(part, value, entry, to)) return wrong;
    }
    return std::nullopt;
  }

  complaint set_switch(subject part, pump_switch value, const yaml_entry& entry, reposition_spec& to) const {
    const auto refuse = [&](const char* possible) {
      return error{"lesson-value",
                   "the switch of " + entry.key + " can be " + possible + "; found " + detail::quoted(entry.value.text),
                   text_at(entry.value)};
    };
    if (part.kind == component::electric_pump) {
      const bool has_duty = lesson_.aircraft.plan().electric_pump_at[part.index].duty != pump_duty::none;
      if (!has_duty && value == pump_switch::automatic) return refuse("off or on");
      to.electric_pump_switches[part.index] = value;
    } else if (part.kind == component::engine_pump) {
      if (value == pump_switch::automatic) return refuse("off or on");
      to.engine_pump_switches[part.index] = value;
    } else {
      to.unit_on[part.index] = value != pump_switch::off;
    }
    return std::nullopt;
  }

  template <class Enum, std::size_t Many>
  complaint read_states(const yaml_node& begin, const std::string& key, component kind,
                        std::array<Enum, Many>& into) const {
    const yaml_node* map = begin.find(key);
    if (map == nullptr) return std::nullopt;
    if (map->sort != yaml_node::kind::map) return wrong_sort("lesson-form", key, "a map", *map, file_);
    for (const yaml_entry& entry : map->entries) {
      subject part;
      if (auto wrong = find_part(entry.key, {&kind, 1}, at(entry, file_), part)) return wrong;
      if (auto wrong = read_word(entry.value, key + " of " + entry.key, into[part.index])) return wrong;
    }
    return std::nullopt;
  }

  complaint read_steps(const yaml_node& steps) {
    if (steps.sort != yaml_node::kind::list || steps.items.empty()) {
      return wrong_sort("lesson-form", "steps", "a list, each step behind \"- \"", steps, file_);
    }
    if (steps.items.size() > most_steps) {
      return error{
          "lesson-limit",
          "the lesson has " + std::to_string(steps.items.size()) + " steps; the limit is " + std::to_string(most_steps),
          at(steps.items[most_steps], file_)};
    }
    lesson_.steps.reserve(steps.items.size());
    milliseconds before{0};
    for (const yaml_node& item : steps.items) {
      lesson_step& step = lesson_.steps.emplace_back();
      step.where = at(item, file_);
      if (auto wrong = read_step(item, before, step)) return wrong;
      before = step.at;
    }
    return std::nullopt;
  }

  complaint read_step(const yaml_node& item, milliseconds before, lesson_step& step) const {
    if (item.sort != yaml_node::kind::map) return wrong_sort("lesson-form", "a step", "a map of keys", item, file_);
    constexpr auto keys = std::to_array<std::string_view>({"at", "after", "say", "do", "refused", "expect"});
    if (auto wrong = known_keys(item, "a step", keys)) return wrong;
    if (auto wrong = read_step_time(item, before, step.at)) return wrong;
    if (auto wrong = read_text(item, "say", false, step.say)) return wrong;
    if (const yaml_node* phrases = item.find("do")) {
      if (auto wrong = each_phrase(*phrases, "do", [&](const yaml_node& one) { return read_event(one, step); })) {
        return wrong;
      }
    }
    if (auto wrong = read_refused(item, step)) return wrong;
    if (const yaml_node* phrases = item.find("expect")) return read_expectations(*phrases, false, step);
    return std::nullopt;
  }

  complaint read_step_time(const yaml_node& item, milliseconds before, milliseconds& found) const {
    const yaml_node* at_node = item.find("at");
    const yaml_node* after_node = item.find("after");
    if ((at_node == nullptr) == (after_node == nullptr)) {
      return missing(item, at_node == nullptr ? "a step needs its time: at: 0:30 or after: 12 s"
                                              : "a step has one time, either at or after");
    }
    const yaml_node& node = at_node != nullptr ? *at_node : *after_node;
    if (auto wrong = read_time(node, at_node != nullptr ? "at" : "after", found)) return wrong;
    if (at_node == nullptr) found += before;
    if (found < before) {
      return error{"lesson-time",
                   "the step at " + detail::quoted(node.text) + " comes before the step above it, which is at " +
                       clock_text(static_cast<std::uint32_t>(before.count())) + "; times must not run backwards",
                   text_at(node)};
    }
    if (found > limits::longest_time) {
      return error{"lesson-time", "the step is later than 24 h after the beginning", text_at(node)};
    }
    return std::nullopt;
  }

  complaint read_time(const yaml_node& node, const std::string& what, milliseconds& into) const {
    if (node.sort != yaml_node::kind::text) return wrong_sort("lesson-form", what, "a time such as 0:30", node, file_);
    const auto time = time_from_words(node.text, text_at(node));
    if (!time) {
      error wrong = time.problem();
      wrong.message = what + ": " + wrong.message;
      return wrong;
    }
    into = *time;
    return std::nullopt;
  }

  // One phrase or a list of them.
  template <class Use>
  complaint each_phrase(const yaml_node& phrases, const std::string& key, Use use) const {
    if (phrases.sort == yaml_node::kind::text) return use(phrases);
    if (phrases.sort != yaml_node::kind::list) {
      return wrong_sort("lesson-form", key, "a phrase or a list of phrases", phrases, file_);
    }
    for (const yaml_node& one : phrases.items) {
      if (one.sort != yaml_node::kind::text) return wrong_sort("lesson-form", key, "a list of phrases", one, file_);
      if (auto wrong = use(one)) return wrong;
    }
    return std::nullopt;
  }

  complaint read_event(const yaml_node& phrase, lesson_step& step) const {
    const location where = text_at(phrase);
    const auto found = event_from_words(lesson_.aircraft, phrase.text, where);
    if (!found) return found.problem();
    if (found->kind == event_kind::elapsed) {
      return error{"lesson-elapsed",
                   "time goes on between steps; give the next step \"after: " + text_of(milliseconds{found->amount}) +
                       "\" instead",
                   where};
    }
    step.events.push_back(*found);
    step.event_words.push_back(phrase.text);
    step.event_places.push_back(where);
    return std::nullopt;
  }

  complaint read_refused(const yaml_node& item, lesson_step& step) const {
    if (auto wrong = read_text(item, "refused", false, step.refused)) return wrong;
    const yaml_node* node = item.find("refused");
    if (node == nullptr) return std::nullopt;
    if (find_rule(step.refused) == nullptr) {
      std::vector<std::string_view> ids;
      for (const rule& one : all_rules()) ids.push_back(one.id);
      return error{"lesson-rule",
                   "refused names a rule such as STR-5; there is no rule " + detail::quoted(step.refused) +
                       detail::suggestion(step.refused, ids),
                   text_at(*node)};
    }
    if (step.events.empty()) {
      return error{"lesson-form", "refused is about the last phrase of do, and this step does nothing", text_at(*node)};
    }
    return std::nullopt;
  }

  complaint read_expectations(const yaml_node& phrases, bool negated, lesson_step& step) const {
    if (phrases.sort == yaml_node::kind::text) return read_expectation(phrases, negated, step);
    if (phrases.sort == yaml_node::kind::map) {
      // "not: PHRASE" turns a phrase round.
      const bool is_not = phrases.entries.size() == 1 && phrases.entries[0].key == "not";
      if (is_not) return read_expectations(phrases.entries[0].value, !negated, step);
      return wrong_sort("lesson-form", "expect", "a phrase, a list of phrases, or not: with a phrase", phrases, file_);
    }
    for (const yaml_node& one : phrases.items) {
      if (auto wrong = read_expectations(one, negated, step)) return wrong;
    }
    return std::nullopt;
  }

  complaint read_expectation(const yaml_node& phrase, bool negated, lesson_step& step) const {
    auto found = expectation_reader{lesson_.aircraft, phrase.text, text_at(phrase)}.read(negated);
    if (!found) return found.problem();
    if (negated) found->words = "not: " + found->words;
    step.expectations.push_back(*std::move(found));
    return std::nullopt;
  }

  complaint read_end(const yaml_node& root) {
    const milliseconds last = lesson_.steps.back().at;
    lesson_.end = last;
    const yaml_node* end = root.find("end");
    if (end == nullptr) return std::nullopt;
    if (auto wrong = read_time(*end, "end", lesson_.end)) return wrong;
    if (lesson_.end < last) {
      return error{
          "lesson-time",
          "the end comes before the last step, which is at " + clock_text(static_cast<std::uint32_t>(last.count())),
          text_at(*end)};
    }
    return std::nullopt;
  }

  const std::string& file_;
  lesson& lesson_;
};

// "turnaround" for "lessons/turnaround.yaml".
std::string name_of_file(const std::string& file) {
  std::string name = file.substr(file.rfind('/') + 1);
  for (const std::string_view ending : {".yaml", ".yml"}) {
    if (name.ends_with(ending)) name.resize(name.size() - ending.size());
  }
  return name;
}

}  // namespace

}  // namespace files

result<lesson> lesson_from_yaml(std::string_view text, const std::string& file) {
  const auto root = files::yaml_tree(text, file);
  if (!root) return root.problem();
  lesson made;
  made.name = files::name_of_file(file);
  if (auto wrong = files::lesson_reader{file, made}.read(*root)) return *std::move(wrong);
  return made;
}

result<lesson> load_lesson(const std::string& name_or_path) {
  std::vector<std::string_view> names;
  for (const shipped_file& one : shipped_lessons()) {
    if (one.name == name_or_path) return lesson_from_yaml(one.text, std::string{one.name} + ".yaml");
    names.push_back(one.name);
  }
  const bool is_path =
      name_or_path.find('/') != std::string::npos || name_or_path.ends_with(".yaml") || name_or_path.ends_with(".yml");
  if (!is_path) {
    return error{"lesson-unknown",
                 "there is no lesson " + detail::quoted(name_or_path) + detail::suggestion(name_or_path, names) +
                     "; penstock comes with " + detail::listed(names, "and") +
                     "; the path of a lesson file ends in .yaml",
                 {}};
  }
  const auto text = file_content(name_or_path);
  if (!text) return text.problem();
  return lesson_from_yaml(*text, name_or_path);
}

}  // namespace penstock::inline v1
