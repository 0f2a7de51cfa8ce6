// Lessons as YAML text that reads back to the same lesson.
#include <algorithm>

#include "files/lesson_parameters.hpp"
#include "files/phrases.hpp"
#include "files/quantities.hpp"
#include "files/yaml_text.hpp"
#include "penstock/event_text.hpp"
#include "penstock/lesson.hpp"

namespace penstock::inline v1 {

namespace files {

namespace {

// A text of a lesson: in quotes, and not taken for a parameter.
std::string text_in_yaml(std::string_view text) { return in_quotes(without_parameters(text)); }

class lesson_writer {
 public:
  explicit lesson_writer(const lesson& what) : lesson_(what) {}

  std::string written() {
    line("lesson: ", text_in_yaml(lesson_.title));
    line("aircraft: ",
         text_in_yaml(lesson_.aircraft_name.empty() ? lesson_.aircraft.spec().name : lesson_.aircraft_name));
    // Behind the two keys that no lesson can be without: a file cut above this one is noticed anyway.
    line("end-mark: ", "yes");
    if (!lesson_.story.empty()) line("story: ", text_in_yaml(lesson_.story));
    line("plant: ", word(lesson_.plant));
    if (lesson_.begin) begin(*lesson_.begin);
    if (!lesson_.ends_by_itself) line("end: ", text_of(lesson_.end));
    line("steps:", "");
    for (const lesson_step& one : lesson_.steps) step(one);
    line("...", "");
    return std::move(text_);
  }

 private:
  void line(std::string_view lead, std::string_view rest) {
    text_ += lead;
    text_ += rest;
    text_ += '\n';
  }

  [[nodiscard]] std::string name(component kind, std::size_t i) const {
    return std::string{lesson_.aircraft.name({kind, static_cast<std::uint8_t>(i)})};
  }

  // Entries that differ from cold and dark, as a map.
  template <class Values, class Words>
  void differing(component kind, const Values& values, const Values& usual, Words words, std::string& into) const {
    for (std::size_t i = 0; i < lesson_.aircraft.count(kind); ++i) {
      if (values[i] == usual[i]) continue;
      into += (into.empty() ? "" : ", ") + name(kind, i) + ": " + in_quotes(words(values[i]));
    }
  }

  void map_of(std::string_view key, const std::string& entries) {
    if (!entries.empty()) line("  " + std::string{key} + ": ", "{" + entries + "}");
  }
  void choice(std::string_view key, bool value, bool usual, std::string_view no, std::string_view yes) {
    if (value != usual) line("  " + std::string{key} + ": ", in_quotes(value ? yes : no));
  }

  void begin(const reposition_spec& to) {
    const reposition_spec usual = reposition_of_cold_and_dark(lesson_.aircraft);
    if (to == usual) {
      line("begin: {}", "");
      return;
    }
    line("begin:", "");
    const auto by_word = [](auto value) { return word(value); };
    choice("in-flight", to.in_flight, usual.in_flight, "no", "yes");
    std::string running;
    for (std::size_t i = 0; i < lesson_.aircraft.count(component::engine); ++i) {
      if (to.engine_runs[i]) running += (running.empty() ? "" : ", ") + name(component::engine, i);
    }
    if (!running.empty()) line("  engines-running: ", "[" + running + "]");
    std::string switches;
    const auto on_off = [](bool on) { return word(on ? pump_switch::on : pump_switch::off); };
    differing(component::engine_pump, to.engine_pump_switches, usual.engine_pump_switches, by_word,
              switches);
    differing(component::electric_pump, to.electric_pump_switches, usual.electric_pump_switches, by_word,
              switches);
    differing(component::transfer_unit, to.unit_on, usual.unit_on, on_off, switches);
    map_of("switches", switches);
    std::string levers;
    differing(component::cargo_door, to.levers, usual.levers, by_word, levers);
    map_of("levers", levers);
    std::string doors;
    differing(component::cargo_door, to.doors, usual.doors, by_word, doors);
    map_of("doors", doors);
    std::string levels;
    differing(component::circuit, to.levels, usual.levels, by_word, levels);
    map_of("levels", levels);
    choice("steering", to.steering_connected, usual.steering_connected, "disconnected", "connected");
    choice("pin", to.pin_in, usual.pin_in, "out", "in");
    choice("gear", to.gear_down, usual.gear_down, "up", "down");
    choice("parking-brake", to.parking_brake_set, usual.parking_brake_set, "released", "set");
    choice("external-power", to.external_power, usual.external_power, "off", "on");
    choice("auxiliary-power", to.auxiliary_power, usual.auxiliary_power, "off", "on");
    if (to.airspeed != usual.airspeed) line("  airspeed: ", word(to.airspeed));
  }

  // A list of one text is written as that text.
  void texts(std::string_view key, const std::vector<std::string>& all) {
    if (all.empty()) return;
    if (all.size() == 1) {
      line("    " + std::string{key} + ": ", text_in_yaml(all[0]));
      return;
    }
    line("    " + std::string{key} + ":", "");
    for (const std::string& one : all) line("      - ", text_in_yaml(one));
  }

  [[nodiscard]] std::vector<std::string> words_of_all(const std::vector<phrase>& phrases) const {
    std::vector<std::string> words;
    for (const phrase& one : phrases) words.push_back(words_of(lesson_.aircraft, one));
    return words;
  }

  void step(const lesson_step& one) {
    switch (one.start) {
      case step_start::at:
        line("  - at: ", text_of(one.at));
        break;
      case step_start::after:
        line("  - after: ", text_of(one.after));
        break;
      case step_start::when:
        line("  - within: ", text_of(one.longest_wait));
        texts("when", words_of_all(one.when));
        break;
    }
    if (!one.by.empty()) line("    by: ", text_in_yaml(one.by));
    if (!one.say.empty()) line("    say: ", text_in_yaml(one.say));
    std::vector<std::string> events;
    for (std::size_t i = 0; i < one.events.size(); ++i) {
      // The author's words where they still say the same.
      const auto as_written = i < one.event_words.size() ? event_from_words(lesson_.aircraft, one.event_words[i])
                                                         : result<event>{error{}};
      const bool same = as_written && *as_written == one.events[i];
      events.push_back(same ? one.event_words[i] : words_of(lesson_.aircraft, one.events[i]));
    }
    texts("do", events);
    if (!one.refused.empty()) line("    refused: ", one.refused);
    texts("observe", one.observe);
    if (one.ask) {
      line("    ask: ", text_in_yaml(one.ask->words));
      const std::string answer = answer_words(lesson_.aircraft, *one.ask);
      if (!answer.empty()) line("    answer: ", text_in_yaml(answer));
    }
    if (!one.expectations.empty()) line("    expect:", "");
    for (const expectation& each : one.expectations) expect(each);
  }

  void expect(const expectation& what) {
    std::string key = time_key_of(what);
    if (key.empty() && !what.shows.empty()) key = "now";
    expect(what, key);
    if (what.shows.empty()) return;
    std::string ids;
    for (const std::string& id : what.shows) ids += (ids.empty() ? "" : ", ") + id;
    line("        shows: [", ids + ']');
  }

  void expect(const expectation& what, const std::string& key) {
    if (what.form == expectation_form::in_order) {
      line("      - " + key + ":", "");
      for (const phrase& one : what.phrases) line("          - ", in_quotes(words_of(lesson_.aircraft, one)));
      return;
    }
    if (key.empty()) {
      line("      - ", in_quotes(words_of(lesson_.aircraft, what)));
    } else if (what.form == expectation_form::until) {
      line("      - " + key + ": ", in_quotes(words_of(lesson_.aircraft, what)));
    } else {
      line("      - " + key + ": ", in_quotes(words_of(lesson_.aircraft, what.phrases.front())));
    }
  }

  const lesson& lesson_;
  std::string text_;
};

template <class All, class Same>
bool all_same(const All& a, const All& b, Same same) {
  return std::equal(a.begin(), a.end(), b.begin(), b.end(), same);
}

bool same_expectation(const expectation& a, const expectation& b) {
  return a.form == b.form && a.span == b.span && a.end == b.end && a.shows == b.shows &&
         all_same(a.phrases, b.phrases, same_phrase);
}

bool same_step(const lesson_step& a, const lesson_step& b) {
  if (a.start != b.start || a.at != b.at) return false;
  if (a.start == step_start::after && a.after != b.after) return false;
  if (a.start == step_start::when) {
    if (a.longest_wait != b.longest_wait || !all_same(a.when, b.when, same_phrase)) return false;
  }
  return a.by == b.by && a.say == b.say && a.observe == b.observe && a.ask == b.ask && a.events == b.events &&
         a.refused == b.refused && all_same(a.expectations, b.expectations, same_expectation);
}

}  // namespace

}  // namespace files

std::string lesson_to_yaml(const lesson& what) { return files::lesson_writer{what}.written(); }

bool same_lesson(const lesson& a, const lesson& b) {
  return a.title == b.title && a.story == b.story && a.aircraft.spec() == b.aircraft.spec() && a.plant == b.plant &&
         a.begin == b.begin && a.end == b.end && a.ends_by_itself == b.ends_by_itself &&
         files::all_same(a.steps, b.steps, files::same_step);
}

}  // namespace penstock::inline v1
