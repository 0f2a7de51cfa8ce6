#include "files/phrases.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <limits>
#include <span>
#include <system_error>

#include "files/lesson_words.hpp"
#include "files/quantities.hpp"
#include "penstock/detail/text.hpp"
#include "penstock/event_text.hpp"
#include "penstock/rules.hpp"

namespace penstock::inline v1 {

namespace files {

namespace {

constexpr double infinite = std::numeric_limits<double>::infinity();

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

std::vector<std::string_view> all_names(const layout& of) {
  std::vector<std::string_view> names;
  for (const subject s : of.everything()) names.push_back(of.name(s));
  return names;
}

// What "runs" means, for the components that can.
std::optional<std::string_view> word_for_runs(component kind) {
  if (kind == component::engine) return word(engine_mode::running);
  if (kind == component::engine_pump) return word(engine_pump_reason::delivering);
  if (kind == component::electric_pump) return word(electric_pump_reason::delivering);
  if (kind == component::ram_air_pump) return word(ram_air_mode::deployed);
  return std::nullopt;
}

// The property that may be left out.
std::string_view main_attribute(component kind) {
  for (const attribute_form& one : attributes()) {
    if (one.kind == kind) return one.name;
  }
  return {};
}

// Units of readings, as `value * factor + offset` in the unit that readings have.
struct reading_unit {
  reading_kind what;
  std::string_view word;
  double factor;
  double offset;
};
constexpr double litres_per_gallon = cubic_metres_per_us_gallon * 1e3;
constexpr auto reading_units = std::to_array<reading_unit>({
    {reading_kind::pressure, "psi", 1.0, 0.0},
    {reading_kind::pressure, "bar", 1e5 / pascals_per_psi, 0.0},
    {reading_kind::pressure, "kPa", 1e3 / pascals_per_psi, 0.0},
    {reading_kind::pressure, "MPa", 1e6 / pascals_per_psi, 0.0},
    {reading_kind::quantity, "L", 1.0, 0.0},
    {reading_kind::quantity, "mL", 1e-3, 0.0},
    {reading_kind::quantity, "gal", litres_per_gallon, 0.0},
    {reading_kind::temperature, "degC", 1.0, 0.0},
    {reading_kind::temperature, "degF", 5.0 / 9.0, -160.0 / 9.0},
    {reading_kind::flow, "L/min", 1.0, 0.0},
    {reading_kind::flow, "gal/min", litres_per_gallon, 0.0},
    {reading_kind::speed, "%", 1.0, 0.0},
    {reading_kind::position, "%", 1.0, 0.0},
});

std::vector<std::string_view> unit_words(reading_kind what) {
  std::vector<std::string_view> words;
  for (const reading_unit& one : reading_units) {
    if (one.what == what) words.push_back(one.word);
  }
  return words;
}

bool is_blank(char c) { return c == ' ' || c == '\t' || c == '\n' || c == '\r'; }

struct word_at {
  std::string text;
  std::uint32_t column;  // characters before it
};

std::vector<word_at> words_in(std::string_view text) {
  std::vector<word_at> words;
  std::string word;
  std::uint32_t column = 0;
  std::uint32_t begin = 0;
  for (const char c : std::string{text} + ' ') {
    if (is_blank(c)) {
      if (!word.empty()) words.push_back({std::move(word), begin});
      word.clear();
    } else {
      if (word.empty()) begin = column;
      word += c;
    }
    if ((static_cast<unsigned char>(c) & 0xC0U) != 0x80U) ++column;
  }
  return words;
}

// One phrase of what must be so.
class phrase_reader {
 public:
  phrase_reader(const layout& of, std::string_view text, const location& where)
      : layout_(of), words_(words_in(text)) {
    found_.words = text;
    found_.where = where;
  }

  result<phrase> read(bool negated) {
    if (!words_.empty() && words_[0].text == "not:") {
      negated = !negated;
      words_.erase(words_.begin());
    }
    found_.negated = negated;
    if (words_.empty()) return wrong("the phrase is empty; an expectation reads like: port is partial", 0);
    if (words_[0].text == "no") {
      if (words_.size() != 2 || words_[1].text != "alerts") return wrong("after \"no\" only \"alerts\" is possible", 0);
      found_.kind = phrase_kind::no_alerts;
      return std::move(found_);
    }
    if (auto problem = take_reason()) return *std::move(problem);
    static constexpr auto verbs = std::to_array<std::string_view>({"is", "runs", "above", "below", "between"});
    const auto verb = std::find_if(words_.begin(), words_.end(), [](const word_at& w) {
      return std::find(verbs.begin(), verbs.end(), w.text) != verbs.end();
    });
    if (verb == words_.end()) {
      return wrong(
          "there is no \"is\"; an expectation reads like: port is partial, port pressure above 2900 psi, or: no alerts",
          0);
    }
    const std::vector<word_at> about{words_.begin(), verb};
    if (about.empty()) return wrong("there is nothing before " + detail::quoted(verb->text) + "; name a component or an alert", 0);
    if (about[0].text == "alert") return alert(about, verb);
    if (about.size() == 2) {
      if (const auto quantity = from_word<reading_kind>(about[1].text)) return reading(about, *quantity, verb);
    }
    if (verb->text == "runs") return runs(about, verb);
    if (verb->text != "is") return not_a_quantity(about, *verb);
    return property(about, verb);
  }

 private:
  using position = std::vector<word_at>::const_iterator;

  [[nodiscard]] error wrong(std::string message, std::uint32_t column) const {
    location place = found_.where;
    place.column = std::max(place.column, 1U) + column;
    return {"lesson-expect", std::move(message), std::move(place)};
  }

  // "... because RULE" at the end.
  std::optional<error> take_reason() {
    const auto because =
        std::find_if(words_.begin(), words_.end(), [](const word_at& w) { return w.text == "because"; });
    if (because == words_.end()) return std::nullopt;
    if (found_.negated) {
      return wrong("\"not:\" cannot stand around \"because\"; write: COMPONENT is not WORD because RULE", because->column);
    }
    if (because + 1 == words_.end()) return wrong("there is no rule after \"because\"", because->column);
    if (because + 2 != words_.end()) return one_too_many(*(because + 2));
    const word_at& id = *(because + 1);
    if (find_rule(id.text) == nullptr) {
      std::vector<std::string_view> ids;
      for (const rule& one : all_rules()) ids.push_back(one.id);
      return wrong("\"because\" names a rule such as AUX-1; there is no rule " + detail::quoted(id.text) +
                       detail::suggestion(id.text, ids),
                   id.column);
    }
    found_.because = id.text;
    words_.erase(because, words_.end());
    return std::nullopt;
  }

  [[nodiscard]] error one_too_many(const word_at& which) const {
    return wrong(detail::quoted(which.text) + " is one word too many", which.column);
  }

  // The word behind "is" or "is not".
  std::optional<error> take_value(position is, word_at& value) {
    auto at = is + 1;
    if (at != words_.end() && at->text == "not") {
      found_.negated = !found_.negated;
      ++at;
    }
    if (at == words_.end()) return wrong("there is no word after \"is\"", is->column);
    if (at + 1 != words_.end()) return one_too_many(*(at + 1));
    value = *at;
    return std::nullopt;
  }

  result<phrase> alert(const std::vector<word_at>& about, position verb) {
    if (verb->text != "is") return wrong("an alert \"is\" something, such as: alert steering is caution", verb->column);
    word_at value{};
    if (auto problem = take_value(verb, value)) return *std::move(problem);
    found_.kind = phrase_kind::alert;
    if (auto problem = alert_subject(about, found_.alert, found_.about)) return *std::move(problem);
    return with_value(alert_words(), "an alert", value);
  }

 public:
  // "alert CONDITION [COMPONENT]".
  std::optional<error> alert_subject(const std::vector<word_at>& about, condition& which, subject& found) const {
    const auto& conditions = detail::words_of<condition>::list;
    if (about.size() == 1) return wrong("alert needs a condition: " + detail::listed(conditions), about[0].column);
    const auto condition_named = from_word<condition>(about[1].text);
    if (!condition_named) {
      return wrong("there is no condition " + detail::quoted(about[1].text) +
                       detail::suggestion(about[1].text, conditions) + "; possible: " + detail::listed(conditions),
                   about[1].column);
    }
    which = *condition_named;
    const component kind = subject_kind(which);
    const std::vector<std::string_view> names = names_of(layout_, kind);
    const std::string possible = names.empty() ? "; the aircraft has none" : "; possible: " + detail::listed(names);
    if (about.size() > 3) return one_too_many(about[3]);
    if (about.size() == 3) {
      const auto part = layout_.find(about[2].text);
      if (!part || part->kind != kind) {
        return wrong("the alert " + about[1].text + " is about a component of kind " + std::string{word(kind)} +
                         "; found " + detail::quoted(about[2].text) + detail::suggestion(about[2].text, names) +
                         possible,
                     about[2].column);
      }
      found = *part;
    } else if (names.size() == 1) {
      found = {kind, 0};
    } else {
      return wrong(
          "the alert " + about[1].text + " needs the name of a component of kind " + std::string{word(kind)} + possible,
          about[1].column);
    }
    return std::nullopt;
  }

  std::optional<error> find_component(const word_at& name, subject& found) const {
    const auto part = layout_.find(name.text);
    if (!part) {
      const std::vector<std::string_view> names = all_names(layout_);
      return wrong("there is no component " + detail::quoted(name.text) + detail::suggestion(name.text, names) +
                       "; possible: " + detail::listed(names),
                   name.column);
    }
    found = *part;
    return std::nullopt;
  }

 private:
  result<phrase> runs(const std::vector<word_at>& about, position verb) {
    if (verb + 1 != words_.end()) return one_too_many(*(verb + 1));
    if (auto problem = find_component(about[0], found_.about)) return *std::move(problem);
    if (about.size() > 1) return one_too_many(about[1]);
    const auto value = word_for_runs(found_.about.kind);
    if (!value) return wrong("only pumps and engines run; write \"is\" and a word", verb->column);
    found_.attribute = main_attribute(found_.about.kind);
    found_.value = *value;
    return std::move(found_);
  }

  result<phrase> property(const std::vector<word_at>& about, position verb) {
    word_at value{};
    if (auto problem = take_value(verb, value)) {
      // "port is above 3 psi" forgot to say which quantity.
      const bool compares = verb + 1 != words_.end() && ((verb + 1)->text == "above" || (verb + 1)->text == "below" ||
                                                         (verb + 1)->text == "between");
      if (compares) return not_a_quantity(about, *(verb + 1));
      return *std::move(problem);
    }
    if (auto problem = find_component(about[0], found_.about)) return *std::move(problem);
    if (about.size() > 2) return one_too_many(about[2]);
    std::vector<std::string_view> possible;
    const attribute_form* form = nullptr;
    for (const attribute_form& one : attributes()) {
      if (one.kind != found_.about.kind) continue;
      possible.push_back(one.name);
      const bool wanted = about.size() == 1 ? form == nullptr : one.name == about[1].text;
      if (wanted) form = &one;
    }
    for (const attribute_form& one : plant_attributes()) {
      if (one.kind != found_.about.kind) continue;
      possible.push_back(one.name);
      if (about.size() > 1 && one.name == about[1].text) form = &one;
    }
    if (form == nullptr) {
      for (const reading_form& one : reading_forms()) {
        if (one.kind == found_.about.kind) possible.push_back(word(one.what));
      }
      return wrong(detail::quoted(about[0].text) + " (" + std::string{word(found_.about.kind)} + ") has no property " +
                       detail::quoted(about[1].text) + detail::suggestion(about[1].text, possible) +
                       "; possible: " + detail::listed(possible),
                   about[1].column);
    }
    found_.attribute = form->name;
    return with_value(form->words, std::string{form->name}, value);
  }

  result<phrase> with_value(const std::vector<std::string_view>& words, const std::string& what,
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

  // A comparison of something that is no quantity.
  result<phrase> not_a_quantity(const std::vector<word_at>& about, const word_at& verb) {
    if (auto problem = find_component(about[0], found_.about)) return *std::move(problem);
    return wrong(detail::quoted(verb.text) + " compares a quantity; " + quantities_of(about[0].text),
                 about.size() > 1 ? about[1].column : verb.column);
  }

  [[nodiscard]] std::string quantities_of(const std::string& name) const {
    std::vector<std::string_view> possible;
    for (const reading_form& one : reading_forms()) {
      if (one.kind == found_.about.kind) possible.push_back(word(one.what));
    }
    if (possible.empty()) return name + " has none";
    return name + " has " + detail::listed(possible, "and");
  }

  // "port pressure is [not] 3000 psi +- 50 psi", "... [is [not]] above 18 L", "... between 1 and 2 L".
  result<phrase> reading(const std::vector<word_at>& about, reading_kind what, position verb) {
    if (auto problem = find_component(about[0], found_.about)) return *std::move(problem);
    const auto forms = reading_forms();
    const bool known = std::any_of(forms.begin(), forms.end(), [&](const reading_form& one) {
      return one.kind == found_.about.kind && one.what == what;
    });
    if (!known) {
      return wrong(detail::quoted(about[0].text) + " has no " + about[1].text + "; " + quantities_of(about[0].text),
                   about[1].column);
    }
    if (!found_.because.empty()) {
      return wrong("\"because\" goes with a word, not with a quantity", about[1].column);
    }
    found_.kind = phrase_kind::quantity;
    found_.quantity = what;
    at_ = verb;
    bool is = false;
    if (at_->text == "is") {
      is = true;
      ++at_;
      if (at_ != words_.end() && at_->text == "not") {
        found_.negated = !found_.negated;
        ++at_;
      }
      if (at_ == words_.end()) return wrong("there is no quantity after \"is\"", verb->column);
    }
    if (auto problem = limits(is, *verb)) return *std::move(problem);
    if (at_ != words_.end()) return one_too_many(*at_);
    return std::move(found_);
  }

  std::optional<error> limits(bool is, const word_at& verb) {
    const std::string how = at_->text;
    if (how == "above" || how == "below") {
      ++at_;
      number limit;
      if (auto problem = take_number(limit)) return problem;
      if (auto problem = to_unit(limit, {})) return problem;
      found_.limits_count = false;
      found_.least = how == "above" ? limit.value : -infinite;
      found_.most = how == "above" ? infinite : limit.value;
      return std::nullopt;
    }
    if (how == "between") {
      ++at_;
      number least;
      number most;
      // "0 % +- 1 %" is written as "between -1 and 1 %".
      if (auto problem = take_number(least, true)) return problem;
      if (at_ == words_.end() || at_->text != "and") {
        return wrong("\"between\" reads like: between 1 L and 2 L", verb.column);
      }
      ++at_;
      if (auto problem = take_number(most)) return problem;
      if (auto problem = to_unit(least, most.unit)) return problem;
      if (auto problem = to_unit(most, least.unit)) return problem;
      if (least.value > most.value) {
        error problem = wrong("the least, " + quantity_words(least.value, found_.quantity) + ", is above the most, " +
                                  quantity_words(most.value, found_.quantity),
                              least.column);
        problem.id = "lesson-contradiction";
        return problem;
      }
      found_.least = least.value;
      found_.most = most.value;
      return std::nullopt;
    }
    if (!is) return wrong("\"" + how + "\" has no meaning here", at_->column);
    return around();
  }

  // "3000 psi +- 50 psi".
  std::optional<error> around() {
    number middle;
    if (auto problem = take_number(middle)) return problem;
    const bool has_tolerance =
        at_ != words_.end() && (at_->text == "+-" || at_->text == "\xC2\xB1" || at_->text == "+/-");
    if (!has_tolerance) {
      return wrong("a quantity is never met exactly; say how near, such as: " +
                       quantity_words(middle.value, found_.quantity) + " +- " +
                       quantity_words(std::max(std::floor(middle.value / 60.0), 1.0), found_.quantity),
                   middle.column);
    }
    ++at_;
    number tolerance;
    if (auto problem = take_number(tolerance)) return problem;
    if (tolerance.value < 0.0) return wrong("a tolerance is not negative", tolerance.column);
    const std::string unit = middle.unit;
    if (auto problem = to_unit(middle, tolerance.unit)) return problem;
    if (auto problem = to_unit(tolerance, unit, true)) return problem;
    found_.least = middle.value - tolerance.value;
    found_.most = middle.value + tolerance.value;
    return std::nullopt;
  }

  struct number {
    double value = 0.0;
    std::string unit;  // "" where none is written
    std::uint32_t column = 0;
  };

  // A number, perhaps with its unit, as one word or as two.
  std::optional<error> take_number(number& into, bool may_be_negative = false) {
    if (at_ == words_.end()) return wrong("a number with its unit is missing at the end", words_.back().column);
    const word_at& found = *at_++;
    into.column = found.column;
    const std::string& text = found.text;
    std::size_t end = text.starts_with('-') ? 1 : 0;
    const std::size_t digits = end;
    while (end < text.size() && ((text[end] >= '0' && text[end] <= '9') || text[end] == '.')) ++end;
    const auto read = std::from_chars(text.data(), text.data() + end, into.value, std::chars_format::fixed);
    // Forty digits are more than any quantity needs, and keep the number finite.
    const bool good = end > digits && end < 40 && read.ec == std::errc{} && read.ptr == text.data() + end;
    if (!good) {
      return wrong(detail::quoted(text) + " is not a number; write for example 3000 " +
                       std::string{unit_of(found_.quantity)},
                   found.column);
    }
    if (text.starts_with('-') && !may_be_negative && found_.quantity != reading_kind::temperature) {
      return wrong("a " + std::string{word(found_.quantity)} + " is not negative", found.column);
    }
    into.unit = text.substr(end);
    if (!into.unit.empty() || at_ == words_.end()) return std::nullopt;
    const bool joins = at_->text == "and" || at_->text == "+-" || at_->text == "+/-" || at_->text == "\xC2\xB1";
    if (!joins) into.unit = (at_++)->text;
    return std::nullopt;
  }

  // Puts a number into the unit of readings; `other` is the unit of its neighbour, for "between 1 and 2 L".
  std::optional<error> to_unit(number& of, const std::string& other, bool difference = false) const {
    const std::string& unit = of.unit.empty() ? other : of.unit;
    const std::vector<std::string_view> possible = unit_words(found_.quantity);
    for (const reading_unit& one : reading_units) {
      if (one.what != found_.quantity || one.word != unit) continue;
      of.value = of.value * one.factor + (difference ? 0.0 : one.offset);
      return std::nullopt;
    }
    const std::string what{word(found_.quantity)};
    if (unit.empty()) return wrong("the " + what + " has no unit; possible: " + detail::listed(possible), of.column);
    return wrong("a " + what + " has no unit " + detail::quoted(unit) + detail::suggestion(unit, possible) +
                     "; possible: " + detail::listed(possible),
                 of.column);
  }

  const layout& layout_;
  phrase found_;
  std::vector<word_at> words_;
  position at_;
};

// A time behind the words of a key; "end" where that is possible.
std::optional<error> take_time(std::string_view text, std::uint32_t column, const location& where, milliseconds& into) {
  location place = where;
  place.column = std::max(place.column, 1U) + column;
  const auto time = time_from_words(text, place);
  if (!time) return time.problem();
  into = *time;
  return std::nullopt;
}

bool same_thing(const phrase& a, const phrase& b) {
  if (a.kind != b.kind) return false;
  switch (a.kind) {
    case phrase_kind::property:
      return a.about == b.about && a.attribute == b.attribute;
    case phrase_kind::alert:
      return a.alert == b.alert && a.about == b.about;
    case phrase_kind::quantity:
      return a.about == b.about && a.quantity == b.quantity;
    case phrase_kind::no_alerts:
      break;
  }
  return true;
}

// A number that reads back to the same bits.
std::string exact_number(double value) {
  std::array<char, 400> text{};
  const auto end = std::to_chars(text.data(), text.data() + text.size(), value, std::chars_format::fixed);
  return {text.data(), end.ptr};
}

}  // namespace

std::vector<std::string_view> names_of(const layout& of, component kind) {
  std::vector<std::string_view> names;
  for (std::size_t i = 0; i < of.count(kind); ++i) names.push_back(of.name({kind, static_cast<std::uint8_t>(i)}));
  return names;
}

result<phrase> read_phrase(const layout& of, std::string_view words, const location& where, bool negated) {
  return phrase_reader{of, words, where}.read(negated);
}

result<expectation> read_plain_expectation(const layout& of, std::string_view words, const location& where,
                                           bool negated) {
  expectation made;
  made.words = (negated ? "not: " : "") + std::string{words};
  made.where = where;
  const std::vector<word_at> all = words_in(words);
  const auto until = std::find_if(all.begin(), all.end(), [](const word_at& w) { return w.text == "until"; });
  if (until == all.end()) {
    auto found = read_phrase(of, words, where, negated);
    if (!found) return found.problem();
    made.phrases.push_back(*std::move(found));
    return made;
  }
  location place = where;
  place.column = std::max(place.column, 1U) + until->column;
  if (negated) {
    return error{"lesson-expect", "\"not\" stands inside a time, never around it; write: A is not x until B is y",
                 place};
  }
  made.form = expectation_form::until;
  // Blanks on both sides: "until" is a word.
  std::size_t bytes = 0;
  for (std::size_t at = words.find("until"); at != words.npos; at = words.find("until", at + 1)) {
    const bool alone =
        (at == 0 || is_blank(words[at - 1])) && (at + 5 == words.size() || is_blank(words[at + 5]));
    bytes = at;
    if (alone) break;
  }
  auto first = read_phrase(of, words.substr(0, bytes), where, false);
  if (!first) return first.problem();
  place.column += 5;
  auto second = read_phrase(of, words.substr(bytes + 5), place, false);
  if (!second) return second.problem();
  made.phrases.push_back(*std::move(first));
  made.phrases.push_back(*std::move(second));
  return made;
}

result<expectation> read_time_of_expectation(std::string_view key, const location& where) {
  expectation made;
  made.where = where;
  const std::vector<word_at> words = words_in(key);
  const auto is = [&](std::size_t i, std::string_view text) { return i < words.size() && words[i].text == text; };
  std::size_t time_at = 0;
  bool by_clock = false;
  if (is(0, "within")) {
    made.form = expectation_form::within;
    time_at = 1;
  } else if (is(0, "for")) {
    made.form = expectation_form::always;
    time_at = 1;
  } else if ((is(0, "always") || is(0, "never")) && (is(1, "for") || is(1, "until"))) {
    made.form = is(0, "always") ? expectation_form::always : expectation_form::never;
    by_clock = is(1, "until");
    time_at = 2;
  } else if (is(0, "in") && is(1, "this") && is(2, "order")) {
    made.form = expectation_form::in_order;
    if (words.size() == 3) return made;
    if (is(3, "within")) time_at = 4;
  }
  if (time_at == 0) {
    constexpr auto first_words = std::to_array<std::string_view>({"within", "for", "always", "never", "in", "not", "now", "shows"});
    const std::string_view first = words.empty() ? std::string_view{} : words[0].text;
    const bool known = std::find(first_words.begin(), first_words.end(), first) != first_words.end();
    return error{"lesson-form",
                 "there is no expectation " + detail::quoted(key) +
                     (known ? std::string{} : detail::suggestion(first, first_words)) +
                 "; possible: a phrase, a list of phrases, not: with a phrase, now: or within TIME:, for TIME:, always "
                     "until TIME:, never for TIME:, never until TIME:, in this order: with phrases",
                 where};
  }
  if (by_clock && words.size() == 3 && is(2, "end")) return made;
  const std::uint32_t column = time_at < words.size() ? words[time_at].column : 0;
  std::string time;
  for (std::size_t i = time_at; i < words.size(); ++i) time += (time.empty() ? "" : " ") + words[i].text;
  milliseconds found{0};
  if (auto problem = take_time(time, column, where, found)) {
    problem->message = "behind " + detail::quoted(words[time_at - 1].text) + ": " + problem->message;
    return *std::move(problem);
  }
  (by_clock ? made.end : made.span) = found;
  return made;
}

std::string time_key_of(const expectation& what) {
  const std::string length = what.span ? text_of(*what.span) : std::string{};
  const std::string until = what.span ? "for " + length : "until " + (what.end ? text_of(*what.end) : "end");
  switch (what.form) {
    case expectation_form::within:
      return "within " + length;
    case expectation_form::always:
      return "always " + until;
    case expectation_form::never:
      return "never " + until;
    case expectation_form::in_order:
      return what.span ? "in this order within " + length : "in this order";
    case expectation_form::now:
    case expectation_form::until:
      break;
  }
  return {};
}

result<question> read_answer(const layout& of, std::string_view words, const location& where) {
  question made;
  const std::vector<word_at> all = words_in(words);
  const phrase_reader reader{of, words, where};
  if (all.size() >= 2 && all.size() <= 3 && all[0].text == "alert") {
    made.answered_by = answer_kind::alert;
    if (auto problem = reader.alert_subject(all, made.alert, made.about)) {
      problem->id = "lesson-answer";
      return *std::move(problem);
    }
    return made;
  }
  if (all.size() == 1 || all.size() == 2) {
    const auto part = of.find(all[0].text);
    if (part && all.size() == 1) {
      made.answered_by = answer_kind::reason;
      made.about = *part;
      return made;
    }
    if (part && all.size() == 2 && part->kind == component::circuit && all[1].text == plant_attributes().front().name) {
      made.answered_by = answer_kind::servicing;
      made.about = *part;
      return made;
    }
    std::vector<std::string_view> kinds;
    for (const reading_form& one : reading_forms()) {
      if (!part || one.kind != part->kind) continue;
      kinds.push_back(word(one.what));
      if (all[1].text != word(one.what)) continue;
      made.answered_by = answer_kind::reading;
      made.about = *part;
      made.quantity = one.what;
      return made;
    }
    // Nearly a name: more likely a slip than a text.
    const std::string slip = part ? detail::suggestion(all[1].text, kinds)
                                  : all.size() == 1 ? detail::suggestion(all[0].text, all_names(of)) : std::string{};
    if (!slip.empty()) {
      return error{"lesson-answer",
                   detail::quoted(words) + " is neither a component nor a reading" + slip +
                       "; a text of your own has more words than one",
                   where};
    }
  }
  made.text = words;
  return made;
}

std::string answer_words(const layout& of, const question& asked) {
  std::string name{of.name(asked.about)};
  switch (asked.answered_by) {
    case answer_kind::reason:
      return name;
    case answer_kind::reading:
      return name + ' ' + std::string{word(asked.quantity)};
    case answer_kind::alert: {
      phrase about;
      about.kind = phrase_kind::alert;
      about.alert = asked.alert;
      about.about = asked.about;
      return subject_words(of, about);
    }
    case answer_kind::servicing:
      return name + ' ' + std::string{plant_attributes().front().name};
    case answer_kind::text:
      break;
  }
  return asked.text;
}

std::string quantity_words(double value, reading_kind what) {
  return detail::number_text(value) + ' ' + std::string{unit_of(what)};
}

std::string subject_words(const layout& of, const phrase& what) {
  const std::string name{of.name(what.about)};
  switch (what.kind) {
    case phrase_kind::property:
      return what.attribute == main_attribute(what.about.kind) ? name : name + ' ' + what.attribute;
    case phrase_kind::quantity:
      return name + ' ' + std::string{word(what.quantity)};
    case phrase_kind::alert: {
      const bool whole = what.about.kind == component::aircraft || what.about.kind == component::steering;
      return "alert " + std::string{word(what.alert)} + (whole ? std::string{} : ' ' + name);
    }
    case phrase_kind::no_alerts:
      break;
  }
  return "no alerts";
}

std::string contradiction(const layout& of, const phrase& a, const phrase& b) {
  const auto both = [&] { return detail::quoted(words_of(of, a)) + " and " + detail::quoted(words_of(of, b)); };
  const auto is_one = [](const phrase& p) {
    return p.kind == phrase_kind::alert && !p.negated && p.value != word(alert_class::none) &&
           p.value != word(alert_class::status) && p.value != "inhibited";
  };
  const auto is_none = [](const phrase& p) { return p.kind == phrase_kind::no_alerts && !p.negated; };
  if ((is_one(a) && is_none(b)) || (is_one(b) && is_none(a))) return both() + " cannot both be so";
  if (!same_thing(a, b)) return {};
  if (a.kind == phrase_kind::no_alerts) return a.negated != b.negated ? both() + " cannot both be so" : std::string{};
  const std::string what = subject_words(of, a);
  if (a.kind == phrase_kind::quantity) {
    const bool same_limits = a.least == b.least && a.most == b.most && a.limits_count == b.limits_count;
    const double least = std::max(a.least, b.least);
    const double most = std::min(a.most, b.most);
    const bool empty = least > most || (least == most && !(a.limits_count && b.limits_count));
    const bool apart = !a.negated && !b.negated && empty;
    const bool turned = a.negated != b.negated && same_limits;
    return apart || turned ? what + " cannot be as both " + both() + " say" : std::string{};
  }
  if (a.value == b.value) {
    return a.negated == b.negated ? std::string{} : what + " cannot be " + a.value + " and not " + a.value;
  }
  return a.negated || b.negated ? std::string{} : what + " cannot be both " + a.value + " and " + b.value;
}

}  // namespace files

result<phrase> phrase_from_words(const layout& of, std::string_view words, const location& where) {
  return files::read_phrase(of, words, where, false);
}

std::string words_of(const layout& of, const phrase& what) {
  std::string words = files::subject_words(of, what);
  if (what.kind == phrase_kind::no_alerts) return (what.negated ? "not: " : "") + words;
  words += what.negated ? " is not " : " is ";
  if (what.kind == phrase_kind::quantity) {
    const std::string unit = ' ' + std::string{unit_of(what.quantity)};
    if (std::isinf(what.most)) return words + "above " + files::exact_number(what.least) + unit;
    if (std::isinf(what.least)) return words + "below " + files::exact_number(what.most) + unit;
    return words + "between " + files::exact_number(what.least) + " and " + files::exact_number(what.most) + unit;
  }
  words += what.value;
  if (!what.because.empty()) words += " because " + what.because;
  return words;
}

std::string words_of(const layout& of, const expectation& what) {
  if (what.phrases.empty()) return what.words;
  std::string first = words_of(of, what.phrases.front());
  if (what.form == expectation_form::now) return first;
  if (what.form == expectation_form::until) return first + " until " + words_of(of, what.phrases.back());
  std::string words = files::time_key_of(what) + ": ";
  for (std::size_t i = 0; i < what.phrases.size(); ++i) {
    words += (i == 0 ? "" : ", ") + words_of(of, what.phrases[i]);
  }
  return words;
}

bool same_phrase(const phrase& a, const phrase& b) {
  if (a.negated != b.negated || a.because != b.because || !files::same_thing(a, b)) return false;
  if (a.kind == phrase_kind::quantity) {
    return a.least == b.least && a.most == b.most && a.limits_count == b.limits_count;
  }
  return a.kind == phrase_kind::no_alerts || a.value == b.value;
}

}  // namespace penstock::inline v1
