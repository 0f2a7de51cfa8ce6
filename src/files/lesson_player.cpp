// Playing lessons: events at their times, then what must be so.
#include <algorithm>
#include <array>
#include <span>
#include <string>

#include "files/lesson_words.hpp"
#include "penstock/lesson.hpp"
#include "penstock/rules.hpp"

namespace penstock::inline v1 {

namespace files {

namespace {

template <class Enum>
std::vector<std::string_view> words() {
  return {detail::words_of<Enum>::list.begin(), detail::words_of<Enum>::list.end()};
}

// Applications of a store are numbers of up to six bits; expectations compare words.
const std::vector<std::string>& numbers() {
  static const std::vector<std::string> texts = [] {
    std::vector<std::string> made;
    for (unsigned i = 0; i < 64; ++i) made.push_back(std::to_string(i));
    return made;
  }();
  return texts;
}

std::vector<attribute_form> made_attributes() {
  using c = component;
  return {
      {c::aircraft, "place", words<air_ground>()},
      {c::aircraft, "parking-brake", {"set", "released"}},
      {c::aircraft, "gear", {"down", "up"}},
      {c::engine, "mode", words<engine_mode>()},
      {c::engine, "role", words<engine_role>()},
      {c::engine, "supply", words<valve_mode>()},
      {c::circuit, "status", words<circuit_status>()},
      {c::circuit, "service", words<service_mode>()},
      {c::circuit, "level", words<fluid_level>()},
      {c::engine_pump, "reason", words<engine_pump_reason>()},
      {c::engine_pump, "health", words<health_mode>()},
      {c::electric_pump, "reason", words<electric_pump_reason>()},
      {c::electric_pump, "demand", words<demand_mode>()},
      {c::electric_pump, "health", words<health_mode>()},
      {c::ram_air_pump, "mode", words<ram_air_mode>()},
      {c::transfer_unit, "mode", words<unit_mode>()},
      {c::transfer_unit, "reason", words<unit_inhibition>()},
      {c::transfer_unit, "test", words<test_mode>()},
      {c::transfer_unit, "test-outcome", words<test_outcome>()},
      {c::transfer_unit, "test-reason", words<test_reason>()},
      {c::cargo_door, "mode", words<door_mode>()},
      {c::cargo_door, "travel", words<door_travel>()},
      {c::cargo_door, "lever", words<lever_position>()},
      {c::steering, "link", words<steering_mode>()},
      {c::consumer, "reason", words<consumer_reason>()},
      {c::bus, "power", {"powered", "dead"}},
      {c::store, "applications", {numbers().begin(), numbers().end()}},
  };
}

std::string_view missing() { return "?"; }

std::string_view aircraft_word(const observation& seen, std::string_view attribute) {
  if (attribute == "place") return word(seen.in_flight ? air_ground::air : air_ground::ground);
  if (attribute == "parking-brake") return seen.parking_brake_set ? "set" : "released";
  if (attribute == "gear") return seen.gear_down ? "down" : "up";
  return missing();
}
std::string_view word_in(const observed_engine& one, std::string_view attribute) {
  if (attribute == "mode") return word(one.mode);
  if (attribute == "role") return word(one.role);
  if (attribute == "supply") return word(one.supply_open ? valve_mode::open : valve_mode::closed);
  return missing();
}
std::string_view word_in(const observed_circuit& one, std::string_view attribute) {
  if (attribute == "status") return word(one.status);
  if (attribute == "service") return word(one.service);
  if (attribute == "level") return word(one.level);
  return missing();
}
std::string_view word_in(const observed_engine_pump& one, std::string_view attribute) {
  if (attribute == "reason") return word(one.reason);
  if (attribute == "health") return word(one.health);
  return missing();
}
std::string_view word_in(const observed_electric_pump& one, std::string_view attribute) {
  if (attribute == "reason") return word(one.reason);
  if (attribute == "demand") return word(one.demand);
  if (attribute == "health") return word(one.health);
  return missing();
}
std::string_view word_in(const observed_unit& one, std::string_view attribute) {
  if (attribute == "mode") return word(one.mode);
  if (attribute == "reason") return word(one.reason);
  if (attribute == "test") return word(one.test);
  if (attribute == "test-outcome") return word(one.outcome);
  if (attribute == "test-reason") return word(one.test_reason_);
  return missing();
}
std::string_view word_in(const observed_door& one, std::string_view attribute) {
  if (attribute == "mode") return word(one.mode);
  if (attribute == "travel") return word(one.travel);
  if (attribute == "lever") return word(one.lever);
  return missing();
}

// What was told about an event rather than about what can be seen.
expectation told(std::string words, const location& where) {
  expectation made;
  made.words = std::move(words);
  made.where = where;
  return made;
}

// Plays one lesson.
class player {
 public:
  player(const lesson& what, lesson_audience& audience, const state& from)
      : lesson_(what), audience_(audience), period_(audience.sampling()), simulation_(what.aircraft, what.plant, from) {}

  lesson_result play(milliseconds until) {
    simulation_.watch([this](const simulation::frame& frame) { audience_.happened(frame); });
    if (lesson_.steps.empty() || lesson_.steps.front().at > clock()) sample_if_due();
    for (const lesson_step& step : lesson_.steps) {
      if (step.at > until) break;
      go_to(step.at, step.where);
      audience_.step_begins(step, simulation_);
      for (std::size_t i = 0; i < step.events.size(); ++i) happen(step, i);
      if (!step.expectations.empty()) judge(step);
      const bool last_now = &step == &lesson_.steps.back() || (&step)[1].at > step.at;
      if (last_now && step.at < until) sample_if_due();
    }
    go_to(until, {});
    sample_if_due();
    result_.at_end = simulation_.now();
    return std::move(result_);
  }

 private:
  [[nodiscard]] milliseconds clock() const { return milliseconds{simulation_.now().chronicle.now}; }

  void go_to(milliseconds time, const location& where) {
    for (milliseconds now = clock(); now < time; now = clock()) {
      const milliseconds sample = period_.count() > 0 ? (now / period_ + 1) * period_ : time;
      const effects passed = simulation_.advance(std::min(sample, time) - now);
      if (!passed.accepted()) {
        report(told("time goes on", where), refusal_words(passed.refused));
        return;
      }
      if (clock() == sample && period_.count() > 0 && sample < time) audience_.sampled(simulation_);
    }
  }

  // The moment is over: a sample that falls on it sees all of it.
  void sample_if_due() {
    if (period_.count() > 0 && clock() % period_ == milliseconds{0}) audience_.sampled(simulation_);
  }

  void happen(const lesson_step& step, std::size_t i) {
    const effects done = simulation_.apply(step.events[i]);
    const bool last = i + 1 == step.events.size();
    const bool to_be_refused = last && !step.refused.empty();
    const bool as_told = to_be_refused && !done.accepted() && names_rule(done.refused.rule, step.refused);
    if (to_be_refused) ++result_.expectations;
    if (!done.accepted()) audience_.refused(step.events[i], step.event_words[i], done.refused, as_told);
    if (to_be_refused) {
      expectation refusal_told = told(step.event_words[i] + " is refused by " + step.refused, step.event_places[i]);
      if (as_told) {
        audience_.expectation_met(refusal_told);
      } else {
        report(std::move(refusal_told), done.accepted() ? "accepted" : refusal_words(done.refused));
      }
    } else if (!done.accepted()) {
      ++result_.expectations;
      report(told(step.event_words[i], step.event_places[i]), refusal_words(done.refused));
    }
  }

  static std::string refusal_words(const refusal& why) {
    std::string words = "refused";
    if (!why.sentence.empty()) words += ": " + std::string{why.sentence};
    if (!why.rule.empty()) words += " [" + std::string{why.rule} + ']';
    return words;
  }

  void judge(const lesson_step& step) {
    const observation seen = observe(lesson_.aircraft, simulation_.now());
    for (const expectation& one : step.expectations) {
      ++result_.expectations;
      const std::string found = one.no_alerts ? alerts_in_words(seen) : std::string{found_word(seen, one)};
      const bool is_so = one.no_alerts ? found == "no alerts" : found == one.value;
      if (is_so != one.negated) {
        audience_.expectation_met(one);
      } else {
        report(one, found);
      }
    }
  }

  std::string_view found_word(const observation& seen, const expectation& one) const {
    if (one.alert) return alert_word(seen, *one.alert, one.about);
    return attribute_word(lesson_.aircraft, seen, one.about, one.attribute);
  }

  // The alerts above status that are not held back.
  std::string alerts_in_words(const observation& seen) const {
    std::string words;
    for (const observed_alert& alert : seen.alerts_standing()) {
      if (alert.inhibited || alert.level <= alert_class::status) continue;
      if (!words.empty()) words += ", ";
      words += std::string{word(alert.condition)};
      const bool named = alert.about.kind != component::aircraft && alert.about.kind != component::steering;
      if (named) words += ' ' + std::string{lesson_.aircraft.name(alert.about)};
      words += " (" + std::string{word(alert.level)} + ')';
    }
    return words.empty() ? "no alerts" : words;
  }

  void report(expectation expected, std::string found) {
    unmet one{simulation_.now().chronicle.now, std::move(expected), std::move(found)};
    audience_.expectation_unmet(one);
    result_.failures.push_back(std::move(one));
  }

  const lesson& lesson_;
  lesson_audience& audience_;
  milliseconds period_;
  simulation simulation_;
  lesson_result result_{};
};

}  // namespace

const std::vector<std::string_view>& alert_words() {
  static const std::vector<std::string_view> made = [] {
    std::vector<std::string_view> all = words<alert_class>();
    all.emplace_back("inhibited");
    return all;
  }();
  return made;
}

std::string_view alert_word(const observation& seen, condition which, subject about) {
  for (const observed_alert& alert : seen.alerts_standing()) {
    if (alert.condition != which) continue;
    // Conditions of the whole aircraft stand once, whatever they call their subject.
    const bool whole = about.kind == component::aircraft || about.kind == component::steering;
    if (whole || alert.about == about) return alert.inhibited ? "inhibited" : word(alert.level);
  }
  return word(alert_class::none);
}

}  // namespace files

const std::vector<attribute_form>& attributes() {
  static const std::vector<attribute_form> made = files::made_attributes();
  return made;
}

std::string_view attribute_word(const layout& of, const observation& seen, subject about, std::string_view attribute) {
  using namespace files;
  const std::size_t i = about.index;
  if (i >= of.count(about.kind)) return missing();
  switch (about.kind) {
    case component::aircraft:
      return aircraft_word(seen, attribute);
    case component::engine:
      return word_in(seen.engines[i], attribute);
    case component::circuit:
      return word_in(seen.circuits[i], attribute);
    case component::engine_pump:
      return word_in(seen.engine_pumps[i], attribute);
    case component::electric_pump:
      return word_in(seen.electric_pumps[i], attribute);
    case component::ram_air_pump:
      return attribute == "mode" ? word(seen.ram_air_pumps[i].mode) : missing();
    case component::transfer_unit:
      return word_in(seen.units[i], attribute);
    case component::cargo_door:
      return word_in(seen.doors[i], attribute);
    case component::steering:
      return attribute == "link" ? word(seen.steering) : missing();
    case component::consumer:
      return attribute == "reason" ? word(seen.consumers[i].reason) : missing();
    case component::bus:
      break;
    case component::store:
      return attribute == "applications" ? numbers()[seen.stored[i] % 64U] : missing();
  }
  if (about.kind != component::bus || attribute != "power") return missing();
  return seen.buses[i].powered ? "powered" : "dead";
}

lesson_result play(const lesson& what, lesson_audience& audience, std::optional<milliseconds> until) {
  state from = cold_and_dark(what.aircraft);
  if (what.begin) {
    const auto begun = repositioned(what.aircraft, *what.begin);
    if (!begun) {
      // Only a lesson made by hand can get here; the reader has checked its own.
      lesson_result nothing{};
      nothing.failures.push_back({0, files::told("begin", {}), begun.problem().message});
      nothing.expectations = 1;
      nothing.at_end = from;
      audience.expectation_unmet(nothing.failures.back());
      return nothing;
    }
    from = *begun;
  }
  return files::player{what, audience, from}.play(until.value_or(what.end));
}

}  // namespace penstock::inline v1
