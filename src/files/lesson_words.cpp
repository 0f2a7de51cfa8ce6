// The words of what can be seen, and how phrases stand.
#include "files/lesson_words.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <span>
#include <string>

#include "files/phrases.hpp"
#include "penstock/lesson.hpp"
#include "penstock/plant.hpp"
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

// Less is not seen on a gauge. Invented.
constexpr double seen_on_a_gauge = 0.05;

std::string_view servicing_word(const servicing_advice& advice) {
  if (!advice.valid) return "not-valid";
  const double litres = in_litres(advice.missing);
  if (std::abs(litres) < seen_on_a_gauge) return "complete";
  return litres > 0.0 ? "add" : "too-much";
}

std::string tenths_text(double value) {
  std::array<char, 32> text{};
  const auto end = std::to_chars(text.data(), text.data() + text.size(), value, std::chars_format::fixed, 1);
  return {text.data(), end.ptr};
}

std::string servicing_answer(const simulation& now, subject about) {
  if (now.kind() != plant_kind::fluid) return "not known";
  const layout& of = now.aircraft();
  const servicing_advice advice = servicing(of, now.fluid(), now.now(), about.index);
  const auto litres = [](double value) { return tenths_text(value) + " L"; };
  std::string words{of.name(about)};
  words += " holds " + litres(in_litres(indicated_level(of, now.fluid(), about.index))) + ", expected now " +
           litres(in_litres(expected_level(of, now.fluid(), about.index))) + ": ";
  const double missing_now = in_litres(advice.missing);
  const std::string_view word = servicing_word(advice);
  if (word == "not-valid") words += "what to add cannot be judged now, " + std::string{advice.why_not};
  if (word == "complete") words += "nothing to add";
  if (word == "add") words += "add " + litres(missing_now);
  if (word == "too-much") words += litres(-missing_now) + " too much";
  return words + " [LVL-5]";
}

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

bool is_shown(const observed_alert& alert) { return !alert.inhibited && alert.level > alert_class::status; }

bool has_alerts(const observation& seen) {
  const auto standing_now = seen.alerts_standing();
  return std::any_of(standing_now.begin(), standing_now.end(), is_shown);
}

// The alerts above status that are not held back.
std::string alerts_in_words(const layout& of, const observation& seen) {
  std::string words;
  for (const observed_alert& alert : seen.alerts_standing()) {
    if (!is_shown(alert)) continue;
    if (!words.empty()) words += ", ";
    words += std::string{word(alert.condition)};
    const bool named = alert.about.kind != component::aircraft && alert.about.kind != component::steering;
    if (named) words += ' ' + std::string{of.name(alert.about)};
    words += " (" + std::string{word(alert.level)} + ')';
  }
  return words.empty() ? "no alerts" : words;
}

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

bool is_of_plant(const phrase& what) {
  if (what.kind == phrase_kind::quantity) return true;
  return what.kind == phrase_kind::property && what.attribute == plant_attributes().front().name;
}

const observation& moment_view::seen() {
  if (!seen_) seen_ = std::make_unique<observation>(observe(layout_, then_));
  return *seen_;
}

std::string_view moment_view::word_now(const phrase& what) {
  if (what.kind == phrase_kind::alert) return alert_word(seen(), what.alert, what.about);
  if (is_of_plant(what)) {
    const bool known = playing_ != nullptr && playing_->kind() == plant_kind::fluid;
    return known ? servicing_word(servicing(layout_, playing_->fluid(), then_, what.about.index)) : missing();
  }
  return attribute_word(layout_, seen(), what.about, what.attribute);
}

std::string moment_view::rules_behind(const phrase& what) {
  const explanation why = what.kind == phrase_kind::alert ? explain(layout_, then_, what.alert, what.about)
                                                          : explain(layout_, then_, what.about);
  std::string rules;
  for (const cause& one : why.chain) {
    std::string_view left = one.rule;  // one id or more
    while (!left.empty()) {
      const std::string_view id = left.substr(0, left.find(' '));
      left.remove_prefix(std::min(left.size(), id.size() + 1));
      if (names_rule(rules, id)) continue;
      if (!rules.empty()) rules += ' ';
      rules += id;
    }
  }
  return rules;
}

bool moment_view::is_so(const phrase& what, std::optional<double>* margin) {
  switch (what.kind) {
    case phrase_kind::no_alerts:
      return !has_alerts(seen()) != what.negated;
    case phrase_kind::property:
    case phrase_kind::alert:
      if ((word_now(what) == what.value) == what.negated) return false;
      return what.because.empty() || names_rule(rules_behind(what), what.because);
    case phrase_kind::quantity:
      break;
  }
  const std::optional<double> value = playing_ != nullptr ? reading(*playing_, what.about, what.quantity) : std::nullopt;
  if (!value) return false;
  const double inside = std::min(*value - what.least, what.most - *value);
  const bool within_limits = what.limits_count ? inside >= 0.0 : inside > 0.0;
  if (margin != nullptr) *margin = what.negated ? -inside : inside;
  return within_limits != what.negated;
}

std::string moment_view::found(const phrase& what) {
  switch (what.kind) {
    case phrase_kind::no_alerts:
      return alerts_in_words(layout_, seen());
    case phrase_kind::property:
    case phrase_kind::alert: {
      std::string words{word_now(what)};
      if (!what.because.empty()) {
        const std::string rules = rules_behind(what);
        words += rules.empty() ? ", because of no rule" : ", because of " + rules;
      }
      return words;
    }
    case phrase_kind::quantity:
      break;
  }
  const std::optional<double> value = playing_ != nullptr ? reading(*playing_, what.about, what.quantity) : std::nullopt;
  return value ? quantity_words(*value, what.quantity) : "not known";
}

}  // namespace files

const std::vector<attribute_form>& attributes() {
  static const std::vector<attribute_form> made = files::made_attributes();
  return made;
}

const std::vector<attribute_form>& plant_attributes() {
  static const std::vector<attribute_form> made{
      {component::circuit, "servicing", {"complete", "add", "too-much", "not-valid"}}};
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

standing how_it_stands(const simulation& now, const phrase& what) {
  files::moment_view seen{now.aircraft(), now.now(), &now};
  standing found;
  found.is_so = seen.is_so(what, &found.margin);
  found.found = seen.found(what);
  return found;
}

explanation causes_of(const layout& of, const state& then, const verdict& what) {
  if (what.decided_by >= what.expected.phrases.size()) return {};
  const phrase& about = what.expected.phrases[what.decided_by];
  switch (about.kind) {
    case phrase_kind::alert:
      return explain(of, then, about.alert, about.about);
    case phrase_kind::no_alerts:
      return {};
    case phrase_kind::property:
    case phrase_kind::quantity:
      break;
  }
  return explain(of, then, about.about);
}

std::string answer_to(const question& asked, const simulation& now) {
  switch (asked.answered_by) {
    case answer_kind::reason:
      return in_words(explain(now.aircraft(), now.now(), asked.about));
    case answer_kind::alert:
      return in_words(explain(now.aircraft(), now.now(), asked.alert, asked.about));
    case answer_kind::reading: {
      const std::optional<double> value = reading(now, asked.about, asked.quantity);
      return value ? files::quantity_words(*value, asked.quantity) : "not known";
    }
    case answer_kind::servicing:
      return files::servicing_answer(now, asked.about);
    case answer_kind::text:
      break;
  }
  return asked.text;
}

}  // namespace penstock::inline v1
