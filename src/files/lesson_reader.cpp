// Lessons from YAML, and the phrases of their expectations.
#include <algorithm>
#include <array>
#include <filesystem>
#include <map>
#include <memory>
#include <span>

#include "files/lesson_parameters.hpp"
#include "files/lesson_times.hpp"
#include "files/phrases.hpp"
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
// A lesson, its parts, their parts: our choice, deeper would be hard to follow.
constexpr std::size_t most_files_deep = 8;
constexpr std::size_t longest_actor = 40;
constexpr std::string_view shipped_mark = "shipped:";

// "turnaround" for "lessons/turnaround.yaml".
std::string name_of_file(const std::string& file) {
  std::string name = file.substr(file.rfind('/') + 1);
  for (const std::string_view ending : {".yaml", ".yml"}) {
    if (name.ends_with(ending)) name.resize(name.size() - ending.size());
  }
  return name;
}

bool is_path(std::string_view name) { return name.ends_with(".yaml") || name.ends_with(".yml"); }

// A path in a file is relative to the file's folder, so that files can move together.
std::string beside(const std::string& file, std::string path) {
  const auto slash = file.rfind('/');
  if (path.starts_with('/') || slash == std::string::npos) return path;
  return file.substr(0, slash + 1) + path;
}

std::string normal_path(const std::string& path) { return std::filesystem::path{path}.lexically_normal().string(); }

// Whether the last line is "...", which ends a document of YAML.
bool ends_with_mark(std::string_view text) {
  while (!text.empty() && (text.back() == '\n' || text.back() == '\r' || text.back() == ' ')) text.remove_suffix(1);
  return text.ends_with("\n...");
}

// A file that steps come from.
struct source {
  std::string file;  // for places
  std::string id;    // the same for the same file
  yaml_node root;
  bool has_mark = false;
};

result<source> source_from(std::string_view text, std::string file, std::string id) {
  auto root = yaml_tree(text, file);
  if (!root) return root.problem();
  source made{std::move(file), std::move(id), *std::move(root), ends_with_mark(text)};
  return made;
}

// The lesson that comes with penstock under this name.
result<std::string> shipped_text(const std::string& name) {
  std::vector<std::string_view> names;
  for (const shipped_file& one : shipped_lessons()) {
    if (one.name == name) return std::string{one.text};
    names.push_back(one.name);
  }
  return error{"lesson-unknown",
               "there is no lesson " + detail::quoted(name) + detail::suggestion(name, names) +
                   "; penstock comes with " + detail::listed(names, "and") + "; the path of a lesson file ends in .yaml",
               {}};
}

// What changes when an included file is read.
struct surroundings {
  std::string file_;
  parameter_scope scope_;
  yaml_node head_;                              // all keys but steps and parameters, filled in
  span_of_time part_begins_;                    // the lesson or included file
  std::optional<milliseconds> since_part_ = milliseconds{0};  // from there to the newest step; nothing: a step waits
};

class lesson_reader : private surroundings {
 public:
  explicit lesson_reader(lesson& into) : lesson_(into) {}

  complaint read(const source& top, const parameter_values& set) {
    std::vector<given_value> given;
    for (const auto& [name, value] : set) given.push_back({name, value, {}});
    if (auto wrong = enter(top, given)) return wrong;
    lesson_.parameters = scope_.values();
    if (auto wrong = read_head(top)) return wrong;
    if (auto wrong = read_steps(*top.root.find("steps"))) return wrong;
    return read_end();
  }

 private:
  // What is common to a lesson and to a file that is included: its form, its mark and its parameters.
  complaint enter(const source& from, const std::vector<given_value>& given) {
    file_ = from.file;
    chain_.push_back(&from);
    const yaml_node& root = from.root;
    if (root.sort != yaml_node::kind::map) return wrong_sort("lesson-form", "a lesson", "a map of keys", root, file_);
    constexpr auto keys = std::to_array<std::string_view>(
        {"lesson", "aircraft", "story", "plant", "begin", "parameters", "end", "end-mark", "steps"});
    if (auto wrong = known_keys(root, "a lesson", keys)) return wrong;
    if (auto wrong = read_mark(from)) return wrong;
    scope_ = {};
    if (auto wrong = scope_.read(root.find("parameters"), given, file_)) return wrong;
    head_ = {};
    head_.sort = yaml_node::kind::map;
    head_.line = root.line;
    head_.column = root.column;
    for (const yaml_entry& entry : root.entries) {
      if (entry.key != "steps" && entry.key != "parameters") head_.entries.push_back(entry);
    }
    if (parameter_scope::mentions(head_)) {
      if (auto wrong = scope_.fill(head_, file_, budget_)) return wrong;
    }
    return std::nullopt;
  }

  // A file that says that it ends with a mark, and has none, was cut.
  complaint read_mark(const source& from) const {
    const yaml_node* mark = from.root.find("end-mark");
    if (mark == nullptr) return std::nullopt;
    const auto wanted = mark->sort == yaml_node::kind::text ? flag_from(mark->text) : std::nullopt;
    if (!wanted) return wrong_sort("lesson-value", "end-mark", "yes or no", *mark, file_);
    if (!*wanted || from.has_mark) return std::nullopt;
    return error{"lesson-cut",
                 "the file says here that it ends with a line \"...\", and it does not: it was cut, or the line is missing",
                 at(*mark, file_)};
  }

  complaint read_head(const source& top) {
    if (auto wrong = read_text(head_, "lesson", true, lesson_.title)) return wrong;
    if (auto wrong = read_text(head_, "story", false, lesson_.story)) return wrong;
    if (auto wrong = read_aircraft()) return wrong;
    if (auto wrong = read_plant(lesson_.plant)) return wrong;
    if (const yaml_node* begin = head_.find("begin")) {
      if (auto wrong = read_begin(*begin)) return wrong;
    }
    if (const yaml_node* end = head_.find("end")) {
      if (auto wrong = read_time(*end, "end", lesson_.end)) return wrong;
      lesson_.ends_by_itself = false;
      end_place_ = text_at(*end);
    }
    if (top.root.find("steps") == nullptr) return missing(top.root, "the lesson has no steps");
    return std::nullopt;
  }

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

  complaint read_aircraft() {
    if (auto wrong = read_text(head_, "aircraft", true, lesson_.aircraft_name)) return wrong;
    std::string name = lesson_.aircraft_name;
    const yaml_node& node = *head_.find("aircraft");
    if (is_path(name)) name = beside(file_, name);
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
    aircraft_id_ = name;
    return std::nullopt;
  }

  complaint read_plant(plant_kind& into) const {
    std::string plant;
    if (auto wrong = read_text(head_, "plant", false, plant)) return wrong;
    const yaml_node* node = head_.find("plant");
    if (node == nullptr) return std::nullopt;
    constexpr auto& plants = detail::words_of<plant_kind>::list;
    const std::optional<plant_kind> found = from_word<plant_kind>(plant);
    if (!found) {
      return error{"lesson-value",
                   "plant must be " + detail::listed(plants) + "; found " + detail::quoted(plant) +
                       detail::suggestion(plant, plants),
                   text_at(*node)};
    }
    into = *found;
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

  complaint too_many(std::size_t steps, const location& where) const {
    if (steps <= most_steps) return std::nullopt;
    return error{"lesson-limit",
                 "the lesson has " + std::to_string(steps) + " steps; the limit is " + std::to_string(most_steps), where};
  }

  complaint read_steps(const yaml_node& steps) {
    if (steps.sort != yaml_node::kind::list || steps.items.empty()) {
      return wrong_sort("lesson-form", "steps", "a list, each step behind \"- \"", steps, file_);
    }
    if (steps.items.size() > most_steps) {
      return too_many(steps.items.size(), at(steps.items[most_steps], file_));
    }
    for (const yaml_node& item : steps.items) {
      if (!parameter_scope::mentions(item)) {
        if (auto wrong = read_item(item)) return wrong;
        continue;
      }
      yaml_node filled = item;
      if (auto wrong = scope_.fill(filled, file_, budget_)) return wrong;
      if (auto wrong = read_item(filled)) return wrong;
    }
    return std::nullopt;
  }

  // A step, an included file, or a step with a file behind it.
  complaint read_item(const yaml_node& item) {
    if (item.sort != yaml_node::kind::map) return wrong_sort("lesson-form", "a step", "a map of keys", item, file_);
    constexpr auto keys = std::to_array<std::string_view>({"at", "after", "when", "within", "by", "say", "do", "refused",
                                                           "observe", "ask", "answer", "expect", "include", "with"});
    if (auto wrong = known_keys(item, "a step", keys)) return wrong;
    const bool is_step = std::any_of(item.entries.begin(), item.entries.end(), [](const yaml_entry& entry) {
      return entry.key != "include" && entry.key != "with";
    });
    const yaml_node* include = item.find("include");
    if (include == nullptr && item.find("with") != nullptr) {
      return missing(item, "\"with\" gives values to an included file, and there is no \"include\"");
    }
    if (is_step || include == nullptr) {
      if (auto wrong = too_many(lesson_.steps.size() + 1, at(item, file_))) return wrong;
      lesson_step step;
      step.where = at(item, file_);
      if (auto wrong = read_step(item, step)) return wrong;
      lesson_.steps.push_back(std::move(step));
      if (auto wrong = compare_with_past()) return wrong;
    }
    return include == nullptr ? std::nullopt : read_include(item, *include);
  }

  complaint read_step(const yaml_node& item, lesson_step& step) {
    if (auto wrong = read_step_time(item, step)) return wrong;
    if (auto wrong = read_text(item, "by", false, step.by)) return wrong;
    if (const yaml_node* by = item.find("by")) {
      if (step.by.empty() || step.by.size() > longest_actor || !detail::is_plain_text(step.by)) {
        return error{"lesson-value",
                     "by names who does it in a few words, at most " + std::to_string(longest_actor) + " bytes; found " +
                         found_words(*by),
                     text_at(*by)};
      }
    }
    if (auto wrong = read_text(item, "say", false, step.say)) return wrong;
    if (const yaml_node* phrases = item.find("do")) {
      if (auto wrong = each_phrase(*phrases, "do", [&](const yaml_node& one) { return read_event(one, step); })) {
        return wrong;
      }
    }
    if (auto wrong = read_refused(item, step)) return wrong;
    if (const yaml_node* texts = item.find("observe")) {
      const auto use = [&](const yaml_node& one) -> complaint {
        if (one.text.empty()) return wrong_sort("lesson-form", "observe", "a text or a list of texts", one, file_);
        step.observe.push_back(one.text);
        return std::nullopt;
      };
      if (auto wrong = each_phrase(*texts, "observe", use)) return wrong;
    }
    if (auto wrong = read_question(item, step)) return wrong;
    if (const yaml_node* phrases = item.find("expect")) return read_expectations(*phrases, false, step);
    return std::nullopt;
  }

  complaint read_question(const yaml_node& item, lesson_step& step) const {
    std::string words;
    if (auto wrong = read_text(item, "ask", false, words)) return wrong;
    std::string answer;
    if (auto wrong = read_text(item, "answer", false, answer)) return wrong;
    const yaml_node* answer_node = item.find("answer");
    if (words.empty()) {
      if (answer_node != nullptr) return missing(*answer_node, "there is an answer, and no question in \"ask\"");
      return std::nullopt;
    }
    step.ask.emplace();
    if (answer_node != nullptr) {
      auto found = read_answer(lesson_.aircraft, answer, text_at(*answer_node));
      if (!found) return found.problem();
      step.ask = *std::move(found);
    }
    step.ask->words = words;
    return std::nullopt;
  }

  complaint read_step_time(const yaml_node& item, lesson_step& step) {
    const yaml_node* found = nullptr;
    int many = 0;
    for (const std::string_view key : {"at", "after", "when"}) {
      if (const yaml_node* node = item.find(key)) {
        found = node;
        ++many;
      }
    }
    if (many != 1) {
      return missing(item, many == 0 ? "a step needs its time: at: 0:30, after: 12 s or when: port is normal"
                                     : "a step has one time, either at or after or when");
    }
    const yaml_node* within = item.find("within");
    location where = text_at(*found);
    if (found == item.find("when")) {
      if (auto wrong = read_wait(*found, within, step)) return wrong;
    } else if (within != nullptr) {
      return error{"lesson-form", "within is how long a step waits when it begins with \"when\"", at(*within, file_)};
    } else if (found == item.find("at")) {
      if (auto wrong = read_time(*found, "at", step.at)) return wrong;
      if (auto wrong = from_begin_of_part(step, where)) return wrong;
    } else {
      if (auto wrong = read_time(*found, "after", step.after)) return wrong;
      step.start = step_start::after;
    }
    if (since_part_) *since_part_ += step.start == step_start::after ? step.after : milliseconds{0};
    if (step.start == step_start::when) since_part_.reset();
    if (std::string problem = step_on(time_, step); !problem.empty()) {
      return error{"lesson-time", std::move(problem), std::move(where)};
    }
    return std::nullopt;
  }

  // Times in an included file count from where it begins.
  complaint from_begin_of_part(lesson_step& step, const location& where) const {
    if (part_begins_.is_known()) {
      step.at += part_begins_.earliest;
      return std::nullopt;
    }
    if (!since_part_) {
      return error{"lesson-time",
                   "a step above waits, so that this time cannot be known; give the step a time after the one above",
                   where};
    }
    if (step.at < *since_part_) {
      return error{"lesson-time", "the step comes before the step above it; times must not run backwards", where};
    }
    step.start = step_start::after;
    step.after = step.at - *since_part_;
    return std::nullopt;
  }

  complaint read_wait(const yaml_node& conditions, const yaml_node* within, lesson_step& step) const {
    step.start = step_start::when;
    const auto use = [&](const yaml_node& one) -> complaint {
      auto found = read_phrase(lesson_.aircraft, one.text, text_at(one), false);
      if (!found) return found.problem();
      step.when.push_back(*std::move(found));
      return std::nullopt;
    };
    if (auto wrong = each_phrase(conditions, "when", use)) return wrong;
    if (step.when.empty()) return wrong_sort("lesson-form", "when", "a phrase or a list of phrases", conditions, file_);
    if (auto wrong = contradiction_among(pointers_to(step.when))) return wrong;
    return within == nullptr ? std::nullopt : read_time(*within, "within", step.longest_wait);
  }

  static std::vector<const phrase*> pointers_to(const std::vector<phrase>& phrases) {
    std::vector<const phrase*> all;
    for (const phrase& one : phrases) all.push_back(&one);
    return all;
  }

  complaint contradiction_among(const std::vector<const phrase*>& all) const {
    for (std::size_t i = 0; i < all.size(); ++i) {
      for (std::size_t j = i + 1; j < std::min(all.size(), i + most_compared); ++j) {
        if (auto wrong = contradicts(*all[i], *all[j])) return wrong;
      }
    }
    return std::nullopt;
  }

  complaint contradicts(const phrase& before, const phrase& now) const {
    std::string words = contradiction(lesson_.aircraft, before, now);
    if (words.empty()) return std::nullopt;
    if (before.where.file == now.where.file && before.where.line != now.where.line) {
      words += ", which is asked for in line " + std::to_string(before.where.line);
    }
    return error{"lesson-contradiction", words + "; nothing can meet that", now.where};
  }

  // The newest step against itself and against what steps above want to hold until then.
  complaint compare_with_past() {
    const lesson_step& step = lesson_.steps.back();
    std::vector<const phrase*> now;
    std::vector<held> begun;
    for (const expectation& one : step.expectations) {
      if (one.form == expectation_form::now) now.push_back(&one.phrases.front());
      const bool holds = one.form == expectation_form::always || one.form == expectation_form::never;
      if (!holds || begun.size() >= most_compared) continue;
      held made{one.phrases.front(), one.span ? step.at + *one.span : one.end.value_or(limits::longest_time)};
      if (one.form == expectation_form::never) {
        if (!made.what.because.empty()) continue;  // it may be so for another reason
        made.what.negated = !made.what.negated;
      }
      begun.push_back(std::move(made));
    }
    if (auto wrong = contradiction_among(now)) return wrong;
    for (const held& one : begun) now.push_back(&one.what);
    if (!begun.empty()) {
      if (auto wrong = contradiction_among(now)) return wrong;
    }
    if (!time_.is_known()) {
      held_.clear();  // behind a step that waits nobody knows how long they still hold
      return std::nullopt;
    }
    std::erase_if(held_, [&](const held& one) { return one.until <= step.at; });
    for (const held& before : held_) {
      for (const phrase* one : now) {
        if (auto wrong = contradicts(before.what, *one)) return wrong;
      }
    }
    for (held& one : begun) {
      if (held_.size() < most_compared) held_.push_back(std::move(one));
    }
    return std::nullopt;
  }

  complaint include_wrong(std::string message, const yaml_node& include) const {
    return error{"lesson-include", std::move(message), text_at(include)};
  }

  complaint read_include(const yaml_node& item, const yaml_node& include) {
    if (include.sort != yaml_node::kind::text || include.text.empty()) {
      return wrong_sort("lesson-form", "include", "the path of a file, or the name of a shipped lesson", include, file_);
    }
    std::vector<given_value> given;
    if (const yaml_node* with = item.find("with")) {
      if (with->sort != yaml_node::kind::map) return wrong_sort("lesson-form", "with", "a map", *with, file_);
      for (const yaml_entry& entry : with->entries) {
        if (entry.value.sort != yaml_node::kind::text) {
          return wrong_sort("lesson-form", "the value of " + entry.key, "a text", entry.value, file_);
        }
        given.push_back({entry.key, entry.value.text, at(entry, file_)});
      }
    }
    const source* part = nullptr;
    if (auto wrong = find_source(include, part)) return wrong;
    std::string way;
    for (const source* one : chain_) way += name_of_file(one->file) + " -> ";
    for (const source* one : chain_) {
      if (one->id == part->id) {
        return include_wrong("the file includes itself: " + way + name_of_file(part->file), include);
      }
    }
    if (chain_.size() >= most_files_deep) {
      return include_wrong("files include one another deeper than " + std::to_string(most_files_deep) + ": " + way +
                               name_of_file(part->file),
                           include);
    }
    return read_part(*part, given);
  }

  complaint find_source(const yaml_node& include, const source*& found) {
    const bool path = is_path(include.text);
    const std::string file = path ? beside(file_, include.text) : include.text;
    const std::string id = path ? normal_path(file) : std::string{shipped_mark} + file;
    if (const auto known = sources_.find(id); known != sources_.end()) {
      found = known->second.get();
      return std::nullopt;
    }
    auto text = path ? file_content(file) : shipped_text(file);
    if (!text) {
      error wrong = text.problem();
      if (!wrong.where.file.empty()) wrong.message = wrong.where.file + ": " + wrong.message;
      wrong.where = text_at(include);
      return wrong;
    }
    auto made = source_from(*text, path ? file : file + ".yaml", id);
    if (!made) return made.problem();
    found = sources_.emplace(id, std::make_unique<source>(*std::move(made))).first->second.get();
    return std::nullopt;
  }

  complaint read_part(const source& part, const std::vector<given_value>& given) {
    surroundings outside = std::move(static_cast<surroundings&>(*this));
    if (auto wrong = enter(part, given)) return wrong;
    if (const yaml_node* begin = head_.find("begin")) {
      return error{"lesson-include", "an included file cannot have \"begin\": the lesson has begun", at(*begin, file_)};
    }
    if (auto wrong = same_aircraft()) return wrong;
    const yaml_node* steps = part.root.find("steps");
    if (steps == nullptr) return missing(part.root, "the included file has no steps");
    part_begins_ = time_;
    since_part_ = milliseconds{0};
    if (auto wrong = read_steps(*steps)) return wrong;
    const std::optional<milliseconds> lasted = since_part_;
    static_cast<surroundings&>(*this) = std::move(outside);
    chain_.pop_back();
    if (since_part_ && lasted) {
      *since_part_ += *lasted;
    } else {
      since_part_.reset();
    }
    return std::nullopt;
  }

  // An included file may be a lesson of its own, if it is about the same aircraft.
  complaint same_aircraft() const {
    std::string name;
    if (auto wrong = read_text(head_, "aircraft", false, name)) return wrong;
    if (!name.empty() && is_path(name)) name = beside(file_, name);
    if (!name.empty() && name != aircraft_id_ && normal_path(name) != normal_path(aircraft_id_)) {
      return error{"lesson-include",
                   "the included file is for " + detail::quoted(name) + ", and the lesson for " +
                       detail::quoted(aircraft_id_),
                   text_at(*head_.find("aircraft"))};
    }
    plant_kind plant = lesson_.plant;
    if (auto wrong = read_plant(plant)) return wrong;
    if (plant == lesson_.plant) return std::nullopt;
    return error{"lesson-include", "the included file wants another plant than the lesson",
                 text_at(*head_.find("plant"))};
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
    if (find_rule(step.refused) == nullptr) return unknown_rule("refused", step.refused, text_at(*node));
    if (step.events.empty()) {
      return error{"lesson-form", "refused is about the last phrase of do, and this step does nothing", text_at(*node)};
    }
    return std::nullopt;
  }

  complaint read_expectations(const yaml_node& phrases, bool negated, lesson_step& step) const {
    switch (phrases.sort) {
      case yaml_node::kind::text:
        return read_expectation(phrases, negated, step);
      case yaml_node::kind::list:
        for (const yaml_node& one : phrases.items) {
          if (auto wrong = read_expectations(one, negated, step)) return wrong;
        }
        return std::nullopt;
      case yaml_node::kind::map:
        break;
    }
    const std::size_t above = step.expectations.size();
    for (const yaml_entry& entry : phrases.entries) {
      if (entry.key == "shows") continue;
      // "not: PHRASE" turns a phrase round; "now: PHRASE" is the phrase, where other keys stand beside it.
      const bool turns = entry.key == "not";
      const auto wrong = turns || entry.key == "now"
                             ? read_expectations(entry.value, negated != turns, step)
                             : read_timed(entry.key, at(entry, file_), entry.value, negated, step);
      if (wrong) return wrong;
    }
    const yaml_node* shows = phrases.find("shows");
    return shows == nullptr ? std::nullopt : read_shows(*shows, above, step);
  }

  // "shows: RULE" beside expectations: what the lesson shows by them.
  complaint read_shows(const yaml_node& shows, std::size_t above, lesson_step& step) const {
    std::vector<std::string> ids;
    const auto use = [&](const yaml_node& one) -> complaint {
      if (find_rule(one.text) == nullptr) return unknown_rule("shows", one.text, text_at(one));
      ids.push_back(one.text);
      return std::nullopt;
    };
    if (auto wrong = each_phrase(shows, "shows", use)) return wrong;
    if (step.expectations.size() == above) {
      return missing(shows, "\"shows\" names the rules that expectations show, and there is none beside it");
    }
    for (std::size_t i = above; i < step.expectations.size(); ++i) {
      std::vector<std::string>& all = step.expectations[i].shows;
      for (const std::string& id : ids) {
        if (std::find(all.begin(), all.end(), id) == all.end()) all.push_back(id);
      }
    }
    return std::nullopt;
  }

  static error unknown_rule(const std::string& key, const std::string& id, location where) {
    std::vector<std::string_view> ids;
    for (const rule& one : all_rules()) ids.push_back(one.id);
    return {"lesson-rule",
            key + " names a rule such as STR-5; there is no rule " + detail::quoted(id) + detail::suggestion(id, ids),
            std::move(where)};
  }

  complaint read_expectation(const yaml_node& phrase_node, bool negated, lesson_step& step) const {
    const location where = text_at(phrase_node);
    // "within 5 s: port is normal" in quotes.
    const std::size_t colon = phrase_node.text.find(": ");
    if (colon != std::string::npos && !phrase_node.text.starts_with("not:")) {
      yaml_node rest = phrase_node;
      rest.text = phrase_node.text.substr(colon + 2);
      rest.in_quotes = false;
      rest.column = where.column + static_cast<std::uint32_t>(colon + 2);
      return read_timed(phrase_node.text.substr(0, colon), where, rest, negated, step);
    }
    auto found = read_plain_expectation(lesson_.aircraft, phrase_node.text, where, negated);
    if (!found) return found.problem();
    step.expectations.push_back(*std::move(found));
    return std::nullopt;
  }

  // "TIME: PHRASE": one expectation for each phrase, or one for all that come in order.
  complaint read_timed(const std::string& key, const location& where, const yaml_node& value, bool negated,
                       lesson_step& step) const {
    auto timed = read_time_of_expectation(key, where);
    if (!timed) return timed.problem();
    if (negated) {
      return error{"lesson-expect",
                   "\"not\" stands inside a time, never around it; write " + key + ": {not: PHRASE}", where};
    }
    if (auto wrong = end_of_expectation(step, *timed)) return wrong;
    const bool in_order = timed->form == expectation_form::in_order;
    std::vector<phrase> phrases;
    if (auto wrong = read_phrases(value, false, phrases)) return wrong;
    if (in_order) {
      if (phrases.size() < 2) {
        return wrong_sort("lesson-form", key, "a list of two phrases or more", value, file_);
      }
      timed->words = key + ": [";
      for (const phrase& one : phrases) timed->words += (&one == phrases.data() ? "" : ", ") + one.words;
      timed->words += ']';
      timed->phrases = std::move(phrases);
      step.expectations.push_back(*std::move(timed));
      return std::nullopt;
    }
    for (phrase& one : phrases) {
      expectation made = *timed;
      made.words = key + ": " + one.words;
      made.where = one.where;
      made.phrases.push_back(std::move(one));
      step.expectations.push_back(std::move(made));
    }
    return std::nullopt;
  }

  // "until 2:00" counts from the beginning of the lesson, in an included file from the beginning of that.
  complaint end_of_expectation(const lesson_step& step, expectation& timed) const {
    if (!timed.end) return std::nullopt;
    if (!part_begins_.is_known()) {
      return error{"lesson-time", "a step above waits, so that this time cannot be known; write \"for\" and a time",
                   timed.where};
    }
    *timed.end += part_begins_.earliest;
    if (*timed.end >= step.at) return std::nullopt;
    return error{"lesson-time",
                 "the time comes before the step itself, which is at " +
                     clock_text(static_cast<std::uint32_t>(step.at.count())),
                 timed.where};
  }

  // A phrase, a list of them, or not: with these.
  complaint read_phrases(const yaml_node& value, bool negated, std::vector<phrase>& into) const {
    switch (value.sort) {
      case yaml_node::kind::text: {
        auto found = read_phrase(lesson_.aircraft, value.text, text_at(value), negated);
        if (!found) return found.problem();
        if (negated) found->words = "not: " + found->words;
        into.push_back(*std::move(found));
        return std::nullopt;
      }
      case yaml_node::kind::list:
        for (const yaml_node& one : value.items) {
          if (auto wrong = read_phrases(one, negated, into)) return wrong;
        }
        return std::nullopt;
      case yaml_node::kind::map:
        break;
    }
    if (value.entries.size() == 1 && value.entries[0].key == "not") {
      return read_phrases(value.entries[0].value, !negated, into);
    }
    return wrong_sort("lesson-form", "what is expected over a time", "a phrase, a list of phrases, or not: with a phrase",
                      value, file_);
  }

  complaint read_end() {
    if (auto wrong = work_out_times(lesson_)) {
      wrong->where = end_place_;
      return wrong;
    }
    return std::nullopt;
  }

  // Phrases that are compared with one another: more than anybody writes into one step.
  static constexpr std::size_t most_compared = 200;
  // What an expectation of a step above wants all the time.
  struct held {
    phrase what;
    milliseconds until;
  };

  lesson& lesson_;
  std::string aircraft_id_;
  location end_place_;
  std::size_t budget_ = yaml_most_bytes;
  std::vector<const source*> chain_;
  std::map<std::string, std::unique_ptr<source>, std::less<>> sources_;
  span_of_time time_;  // of the newest step
  std::vector<held> held_;
};

// A lesson from its text; `id` tells its file from others.
result<lesson> read_lesson(std::string_view text, const std::string& file, std::string id,
                           const parameter_values& set) {
  const auto top = source_from(text, file, std::move(id));
  if (!top) return top.problem();
  lesson made;
  made.name = name_of_file(file);
  if (auto wrong = lesson_reader{made}.read(*top, set)) return *std::move(wrong);
  return made;
}

}  // namespace

}  // namespace files

result<lesson> lesson_from_yaml(std::string_view text, const std::string& file, const parameter_values& set) {
  return files::read_lesson(text, file, files::normal_path(file), set);
}

result<lesson> load_lesson(const std::string& name_or_path, const parameter_values& set) {
  const bool is_path = name_or_path.find('/') != std::string::npos || files::is_path(name_or_path);
  const auto text = is_path ? file_content(name_or_path) : files::shipped_text(name_or_path);
  if (!text) return text.problem();
  if (is_path) return lesson_from_yaml(*text, name_or_path, set);
  return files::read_lesson(*text, name_or_path + ".yaml", std::string{files::shipped_mark} + name_or_path, set);
}

}  // namespace penstock::inline v1
