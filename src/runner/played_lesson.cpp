#include "runner/played_lesson.hpp"

#include "files/json_values.hpp"
#include "penstock/event_text.hpp"
#include "penstock/modes.hpp"
#include "penstock/readings.hpp"
#include "runner/failure.hpp"

#include <fmt/core.h>
#include <spdlog/spdlog.h>

#include <algorithm>
#include <array>
#include <limits>
#include <memory>
#include <set>
#include <string>
#include <string_view>

namespace penstock::runner {

namespace {

// Properties that say again what the command or another property already says.
constexpr auto left_out = std::to_array<std::pair<component, std::string_view>>({
    {component::aircraft, "place"},
    {component::aircraft, "parking-brake"},
    {component::aircraft, "gear"},
    {component::cargo_door, "lever"},
    {component::electric_pump, "demand"},
    {component::transfer_unit, "reason"},
    {component::transfer_unit, "test-reason"},
});

bool is_left_out(const attribute_form& form) {
  if (form.kind == component::consumer) return true;  // these are told together, see `available`
  return std::ranges::find(left_out, std::pair{form.kind, form.name}) != left_out.end();
}

// The first property of a kind is the one that expectations may leave unnamed.
bool is_main(const attribute_form& form) {
  const auto first =
      std::ranges::find_if(attributes(), [&](const attribute_form& each) { return each.kind == form.kind; });
  return first != attributes().end() && first->name == form.name;
}

// Which property of its component a machine decides. That a transfer test is over is a second one, see `decides`.
std::string_view attribute_of(machine which) {
  switch (which) {
    case machine::engine:
    case machine::cargo_door:
    case machine::transfer_unit:
    case machine::ram_air_pump: return "mode";
    case machine::supply_valve: return "supply";
    case machine::pump_health: return "health";
    case machine::engine_pump:
    case machine::electric_pump: return "reason";
    case machine::transfer_test: return "test-outcome";
    case machine::steering_link: return "link";
    case machine::service: return "service";
    case machine::start_selection:
    case machine::start_limiter:
    case machine::cargo_demand:
    case machine::first_engine_demand:
    case machine::plain_demand: return {};
  }
  return {};
}

bool decides(machine which, std::string_view attribute) {
  return attribute_of(which) == attribute || (which == machine::transfer_test && attribute == "test");
}

// What completes a new value: who drives whom, why a unit is inhibited, why a test ended as it did.
std::string detail_of(const layout& of, const observation& seen, subject about, std::string_view attribute) {
  if (about.kind != component::transfer_unit) return {};
  const transfer_unit_spec& unit = of.spec().transfer_units[about.index];
  std::string_view more;
  if (attribute == "mode") {
    switch (seen.units[about.index].mode) {
      case unit_mode::a_drives_b: return unit.a + " drives " + unit.b;
      case unit_mode::b_drives_a: return unit.b + " drives " + unit.a;
      case unit_mode::inhibited: more = attribute_word(of, seen, about, "reason"); break;
      case unit_mode::off:
      case unit_mode::standby: break;
    }
  }
  if (attribute == "test-outcome") more = attribute_word(of, seen, about, "test-reason");
  return more == "none" || more == "?" ? std::string{} : std::string{more};
}

// The first time stays.
void add_rules(std::map<std::string, std::uint32_t>& all, std::string_view ids, std::uint32_t at) {
  for (std::string& each : files::ids_in(ids)) all.emplace(std::move(each), at);
}

const observed_alert* found_in(const observation& seen, const observed_alert& wanted) {
  for (const observed_alert& each : seen.alerts_standing()) {
    if (each.condition == wanted.condition && each.about == wanted.about) return &each;
  }
  return nullptr;
}

std::vector<alert_change> alert_changes(const observation& before, const observation& after) {
  using enum alert_change::kind;
  std::vector<alert_change> all;
  for (const observed_alert& now : after.alerts_standing()) {
    const observed_alert* was = found_in(before, now);
    if (was == nullptr) {
      all.push_back({now.inhibited ? held_back : came, now, alert_class::none});
    } else if (was->level != now.level) {
      all.push_back({class_changed, now, was->level});
    } else if (was->inhibited != now.inhibited) {
      all.push_back({now.inhibited ? held_back : released, now, was->level});
    }
  }
  for (const observed_alert& was : before.alerts_standing()) {
    if (found_in(after, was) == nullptr) all.push_back({went, was, was.level});
  }
  return all;
}

// Tells one play to two; the second is the one that may want samples.
class two_audiences : public lesson_audience {
 public:
  two_audiences(lesson_audience& first, lesson_audience& second) : first_{first}, second_{second} {}

  void step_begins(const lesson_step& step, const simulation& playing) override {
    first_.step_begins(step, playing);
    second_.step_begins(step, playing);
  }
  void happened(const simulation::frame& frame) override {
    first_.happened(frame);
    second_.happened(frame);
  }
  void refused(const event& what, std::string_view words, const refusal& why, bool expected) override {
    first_.refused(what, words, why, expected);
    second_.refused(what, words, why, expected);
  }
  void asked(const question& what, const std::string& answer) override {
    first_.asked(what, answer);
    second_.asked(what, answer);
  }
  void expectation_met(const verdict& what) override {
    first_.expectation_met(what);
    second_.expectation_met(what);
  }
  void expectation_unmet(const verdict& what, const state& then) override {
    first_.expectation_unmet(what, then);
    second_.expectation_unmet(what, then);
  }
  [[nodiscard]] milliseconds sampling() const override { return second_.sampling(); }
  [[nodiscard]] bool samples_edges() const override { return second_.samples_edges(); }
  void sampled(const simulation& playing) override { second_.sampled(playing); }

 private:
  lesson_audience& first_;
  lesson_audience& second_;
};

// Whether a row of some table carries a rule: then the row shows it, and no lesson can claim it without.
bool has_row(std::string_view id) {
  static const std::set<std::string, std::less<>> carried = [] {
    std::set<std::string, std::less<>> ids;
    for (std::size_t m = 0; m < machine_count; ++m) {
      for (const table_row& row : rows_of(static_cast<machine>(m))) {
        for (std::size_t begin = 0; begin < row.rules.size();) {
          const std::size_t end = std::min(row.rules.find(' ', begin), row.rules.size());
          ids.emplace(row.rules.substr(begin, end - begin));
          begin = end + 1;
        }
      }
    }
    return ids;
  }();
  return carried.contains(id);
}


class recorder : public moment_listener {
 public:
  recorder(const lesson& what, std::function<void(const moment&)> tell) : lesson_{what}, tell_{std::move(tell)} {}

  /// Its state before anything is told; the first one counts.
  void begin_at(const state& beginning) {
    if (now_) return;
    now_ = std::make_unique<state>(beginning);
    seen_ = std::make_unique<observation>(observe(lesson_.aircraft, beginning));
  }

  void step_begins(const lesson_step& step, const simulation& playing) override {
    close();
    begin_at(playing.now());
    open_.emplace();
    open_->at = playing.now().chronicle.now;
    open_->step = &step;
    look_at(playing);  // settled here; between the steps of a frame it is not
    for (std::size_t i = 0; i < step.events.size(); ++i) {
      open_->commands.push_back(
          {i < step.event_words.size() ? step.event_words[i] : words_of(lesson_.aircraft, step.events[i]), {}, false});
    }
    steps_++;
    spdlog::debug("{}: step at {}", lesson_.name, clock_text(open_->at));
  }

  void happened(const simulation::frame& frame) override {
    begin_at(frame.before);
    at_moment(frame.after.chronicle.now);
    *now_ = frame.after;
    changed_ = true;
    if (frame.from_plant && is_worth_telling(frame.happening.kind)) {
      open_->facts.push_back(words_of(lesson_.aircraft, frame.happening));
    }
    for (const row_taken& row : frame.what.taken()) {
      open_->rows.push_back(row);
      add_rules(rules_, rows_of(row.machine)[row.row].rules, open_->at);
      rows_.emplace(row.machine, row.row);
    }
    if (spdlog::should_log(spdlog::level::trace)) {
      spdlog::trace("{} {}: {} rows", clock_text(open_->at), words_of(lesson_.aircraft, frame.happening), frame.what.rows);
    }
  }

  void refused(const event&, std::string_view words, const refusal& why, bool expected) override {
    if (!open_) return;
    for (given_command& each : open_->commands) {
      if (each.refused || each.words != words) continue;
      each.refused = why;
      each.refusal_expected = expected;
      break;
    }
    add_rules(rules_, why.rule, open_->at);
    if (why.kind == refusal_kind::by_row) add_refusing_row(why.sentence);
  }

  void asked(const question& what, const std::string& answer) override {
    if (open_) open_->answers.push_back({what.words, answer});
    if (!now_) return;
    const std::uint32_t asked_at = now_->chronicle.now;
    switch (what.answered_by) {
      case answer_kind::reason: add_rules_of(explain(lesson_.aircraft, *now_, what.about), asked_at); break;
      case answer_kind::alert: add_rules_of(explain(lesson_.aircraft, *now_, what.alert, what.about), asked_at); break;
      case answer_kind::servicing:
        if (lesson_.plant == plant_kind::fluid) add_rules(rules_, "LVL-5", asked_at);
        break;
      case answer_kind::reading:
      case answer_kind::text: break;
    }
  }

  void expectation_met(const verdict& what) override {
    for (const std::string& id : what.expected.shows) marked_.emplace(id, what.at);
    // "because RULE" was held against the chain of causes.
    if (what.expected.form != expectation_form::never && what.decided_by < what.expected.phrases.size()) {
      add_rules(rules_, what.expected.phrases[what.decided_by].because, what.at);
    }
    at_moment(what.at).judged.push_back({what.expected, true, what.found, margin_of(what), {}});
  }

  void expectation_unmet(const verdict& what, const state& then) override {
    for (const std::string& id : what.expected.shows) not_shown_.insert(id);
    begin_at(then);
    at_moment(what.at).judged.push_back(
        {what.expected, false, what.found, margin_of(what), causes_of(lesson_.aircraft, then, what)});
  }

  [[nodiscard]] played finish(lesson_result result) override {
    close();
    played end;
    end.at_end = observe(lesson_.aircraft, result.at_end);
    end.result = std::move(result);
    end.steps = steps_;
    // What one expectation shows, and another shows to be otherwise, is not shown.
    for (const auto& [id, at] : marked_) {
      if (not_shown_.contains(id) || has_row(id)) continue;
      std::uint32_t& first = rules_.emplace(id, at).first->second;
      first = std::min(first, at);
    }
    end.rules_shown = std::move(rules_);
    end.rows_taken = std::move(rows_);
    return end;
  }

 private:
  // Something may be decided between steps, when nothing else happens.
  moment& at_moment(std::uint32_t at) {
    if (!open_ || open_->at != at) {
      close();
      open_.emplace();
      open_->at = at;
    }
    return *open_;
  }

  // A refusal says its sentence, and each row that refuses has one of its own.
  void add_refusing_row(std::string_view sentence) {
    for (std::size_t m = 0; m < machine_count; ++m) {
      const auto which = static_cast<machine>(m);
      const auto rows = rows_of(which);
      for (std::size_t i = 0; i < rows.size(); ++i) {
        if (rows[i].refuses && rows[i].sentence == sentence) rows_.emplace(which, static_cast<std::uint8_t>(i));
      }
    }
  }

  // The rules that a chain quotes, or only those of its first links.
  void add_rules_of(const explanation& why, std::uint32_t at,
                    std::size_t links = std::numeric_limits<std::size_t>::max()) {
    for (std::size_t i = 0; i < std::min(links, why.chain.size()); ++i) add_rules(rules_, why.chain[i].rule, at);
  }

  static std::string margin_of(const verdict& what) {
    if (!what.margin) return {};
    return fmt::format("{:.6g} {}", *what.margin, unit_of(what.expected.phrases[what.decided_by].quantity));
  }

  // What the plant says of time, of thresholds between circuits and of priority valves shows in its effects.
  static bool is_worth_telling(event_kind kind) {
    return kind != event_kind::elapsed && kind != event_kind::difference && kind != event_kind::priority;
  }

  void look_at(const simulation& playing) {
    open_->pressures.clear();
    open_->fluid.clear();
    for (unsigned c = 0; c < lesson_.aircraft.count(component::circuit); ++c) {
      const std::optional<double> litres = reading(playing, events::circuit(c), reading_kind::quantity);
      const std::optional<double> psi = reading(playing, events::circuit(c), reading_kind::pressure);
      if (litres) open_->fluid.push_back(*litres);
      // Quasi-static pressures jump with their switches and say no more than those.
      if (psi && playing.kind() == plant_kind::fluid) open_->pressures.push_back(*psi);
    }
  }

  void close() {
    if (!open_) return;
    moment done = *std::move(open_);
    open_.reset();
    const observation before = *seen_;
    if (changed_) *seen_ = observe(lesson_.aircraft, *now_);
    changed_ = false;
    done.seen = *seen_;
    compare(before, done);
    for (const change& each : done.changes) add_rules(rules_, each.rules, done.at);
    for (const auto& consumers : {done.available, done.unavailable}) {
      for (const subject about : consumers) add_rules_of(explain(lesson_.aircraft, *now_, about), done.at, 1);
    }
    for (const alert_change& each : done.alerts) add_rules(rules_, each.alert.rule, done.at);
    const bool shows = done.step != nullptr || !done.changes.empty() || !done.available.empty() ||
                       !done.unavailable.empty() || !done.alerts.empty() || !done.judged.empty();
    if (shows) tell_(done);
  }

  void compare(const observation& before, moment& done) const {
    const layout& of = lesson_.aircraft;
    for (const subject about : of.everything()) {
      if (about.kind == component::consumer) {
        const bool was = before.consumers[about.index].available;
        const bool is = done.seen.consumers[about.index].available;
        if (was != is) (is ? done.available : done.unavailable).push_back(about);
      }
      for (const attribute_form& form : attributes()) {
        if (form.kind != about.kind || is_left_out(form)) continue;
        const std::string_view from = attribute_word(of, before, about, form.name);
        const std::string_view to = attribute_word(of, done.seen, about, form.name);
        // That a door moves shows in its mode already.
        const bool starts_to_move = form.name == "travel" && to == word(door_travel::between);
        // That a test begins or passes shows in its outcome; that it is over does not.
        const bool test_goes_on = form.name == "test" && to != word(test_mode::idle);
        if (from == to || starts_to_move || test_goes_on) continue;
        change made{about, is_main(form) ? std::string{} : std::string{form.name}, std::string{from}, std::string{to},
                    detail_of(of, done.seen, about, form.name), {}, {}};
        give_reason(made, form.name, done);
        done.changes.push_back(std::move(made));
      }
    }
    done.alerts = alert_changes(before, done.seen);
  }

  // The row that made the change. Where a row only says that a list of conditions holds, or where there is
  // none, the explanation of what is now says more.
  void give_reason(change& made, std::string_view attribute, const moment& done) const {
    const layout& of = lesson_.aircraft;
    const bool main = made.attribute.empty();
    const bool of_demand = made.to == word(electric_pump_reason::delivering) ||
                           made.to == word(electric_pump_reason::not_wanted) ||
                           made.to == word(electric_pump_reason::no_power);
    const bool wants_cause = main && ((made.about.kind == component::electric_pump && of_demand) ||
                                      (made.about.kind == component::cargo_door && made.to == word(door_mode::blocked)) ||
                                      (made.about.kind == component::transfer_unit && made.to == "inhibited"));
    const bool wants_list = main && made.about.kind == component::electric_pump;
    for (const row_taken& row : done.rows) {
      if (wants_list || wants_cause) break;
      const table_row& taken = rows_of(row.machine)[row.row];
      if (taken.source == taken.target || !decides(row.machine, attribute)) continue;
      if (owner_of(of, row.machine, row.index) != made.about) continue;
      made.because = taken.sentence;
      made.rules = taken.rules;
      // The last row brought the component where it is; but a test is pending since its first.
      if (made.to == word(test_outcome::pending)) break;
    }
    if (!made.because.empty()) return;
    if (!main || made.about.kind == component::store) return;
    const explanation why = explain(of, *now_, made.about);
    if (why.chain.empty()) return;
    const cause& told = wants_cause && why.chain.size() > 1 ? why.chain[1] : why.chain.front();
    // An answer reads "this is so: for that reason", or only "this is so".
    const std::string itself = fmt::format("{} {} ", word(made.about.kind), of.name(made.about));
    const std::size_t colon = told.fact.find(": ");
    if (&told == &why.chain.front() && colon != std::string::npos) {
      made.because = told.fact.substr(colon + 2);
    } else if (told.fact.starts_with(itself)) {
      made.because = "it " + told.fact.substr(itself.size());
    } else {
      made.because = told.fact;
    }
    made.rules = told.rule;
  }

  const lesson& lesson_;
  std::function<void(const moment&)> tell_;
  std::optional<moment> open_;
  // Large values: on the heap, so that the recorder itself stays small on the stack.
  std::unique_ptr<state> now_;
  std::unique_ptr<observation> seen_;
  bool changed_ = false;
  std::size_t steps_ = 0;
  std::map<std::string, std::uint32_t> rules_;
  std::map<std::string, std::uint32_t> marked_;  // by expectations that were met
  std::set<std::string> not_shown_;              // by expectations that were not
  std::set<row_of_table> rows_;
};

}  // namespace

std::string_view word_of(alert_change::kind what) {
  switch (what) {
    case alert_change::kind::came: return "new";
    case alert_change::kind::class_changed: return "changed";
    case alert_change::kind::held_back: return "held back";
    case alert_change::kind::released: return "released";
    case alert_change::kind::went: return "ended";
  }
  return "?";
}

std::vector<std::string> played::ids_shown() const {
  std::vector<std::string> ids;
  for (const auto& [id, at] : rules_shown) ids.push_back(id);
  return ids;
}

std::string place_of(const location& where) {
  std::string words = where.file;
  if (where.line != 0) words += fmt::format("{}{}:{}", words.empty() ? "line " : ":", where.line, where.column);
  return words;
}

std::string unmet_words(const judgement& judged, std::uint32_t at) {
  const std::string place = place_of(judged.expected.where);
  return fmt::format("expected \"{}\"{}; found {} at {}", judged.expected.words,
                     place.empty() ? "" : " (" + place + ")", judged.found, clock_text(at));
}

lesson lesson_for(const std::string& name_or_path, const std::vector<std::string>& set) {
  parameter_values given;
  for (const std::string& each : set) {
    const std::size_t equals = each.find('=');
    if (equals == 0 || equals == std::string::npos) {
      throw wrong_use("--set", fmt::format("found '{}'; right is NAME=VALUE, such as first=engine-2", each),
                      "use-form");
    }
    given.insert_or_assign(each.substr(0, equals), each.substr(equals + 1));
  }
  return read_or_fail(load_lesson(name_or_path, given));
}

milliseconds time_within(const lesson& what, const std::string& option, const std::string& text) {
  const milliseconds found = value_or_fail(time_from_words(text, {option, 0, 0}), exit_code::wrong_use);
  if (found <= what.end) return found;
  throw wrong_use(option,
                  fmt::format("found {}, but the lesson ends at {}; give a time up to that", text,
                              clock_text(static_cast<std::uint32_t>(what.end.count()))),
                  "use-time");
}

std::unique_ptr<moment_listener> listen_for_moments(const lesson& what, const state& from,
                                                    std::function<void(const moment&)> tell) {
  auto made = std::make_unique<recorder>(what, std::move(tell));
  made->begin_at(from);
  return made;
}

played play_in_moments(const lesson& what, std::optional<milliseconds> until,
                       const std::function<void(const moment&)>& tell, lesson_audience* beside) {
  recorder listening{what, tell};
  two_audiences both{listening, beside != nullptr ? *beside : listening};
  lesson_result result = play(what, beside != nullptr ? both : static_cast<lesson_audience&>(listening), until);
  return listening.finish(std::move(result));
}

}  // namespace penstock::runner
