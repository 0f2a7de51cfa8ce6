// Events as phrases and as JSON. Both are first taken apart into the same members, which one function turns
// into an event, so that both forms obey the same rules and give the same complaints.
#include "penstock/event_text.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <nlohmann/json.hpp>
#include <optional>
#include <set>
#include <span>
#include <utility>

#include "files/event_subjects.hpp"
#include "files/quantities.hpp"
#include "penstock/detail/text.hpp"

namespace penstock::inline v1 {

namespace files {

std::span<const component> trigger_subjects(fault_trigger trigger) {
  static constexpr std::array engines{component::engine};
  static constexpr std::array pumps{component::engine_pump, component::electric_pump};
  static constexpr std::array circuits{component::circuit};
  static constexpr std::array doors{component::cargo_door};
  static constexpr std::array units{component::transfer_unit};
  switch (trigger) {
    case fault_trigger::engine_runs:
    case fault_trigger::engine_cranks:
      return engines;
    case fault_trigger::pump_delivers:
      return pumps;
    case fault_trigger::pressure_made:
      return circuits;
    case fault_trigger::door_moves:
      return doors;
    case fault_trigger::test_runs:
      return units;
    case fault_trigger::at_once:
    case fault_trigger::at_time:
    case fault_trigger::lift_off:
    case fault_trigger::touchdown:
      break;
  }
  return {};
}

namespace {

// Longer than any phrase or object of an event; what is longer is not even taken apart.
constexpr std::size_t longest_event = 4096;

// A part of an event as written, with its column.
struct piece {
  std::string text;
  std::uint32_t column = 0;
};
struct count_piece {
  std::int64_t count = 0;
  std::uint32_t column = 0;
};

struct members {
  std::optional<piece> word, of, to, fault, when, when_of;
  std::optional<count_piece> ms, applications, flow, at_ms;  // flow in mm3/s
  std::uint32_t end = 0;                                     // column where something is missing
};

std::optional<event_kind> kind_of(std::string_view word) {
  const auto forms = event_forms();
  for (std::size_t i = 0; i < forms.size(); ++i) {
    if (forms[i].word == word) return static_cast<event_kind>(i);
  }
  return std::nullopt;
}

std::string kinds_in_words(std::span<const component> kinds) {
  std::vector<std::string_view> words;
  for (const component kind : kinds) words.push_back(word(kind));
  const bool vowel = words.front().front() == 'e' || words.front().front() == 'a';
  return (vowel ? "an " : "a ") + detail::listed(words);
}

class builder {
 public:
  builder(const layout& of, const location& where) : layout_(of), where_(where) {}

  result<event> built(const members& m) const {
    const std::optional<event_kind> kind = kind_of(m.word->text);
    if (!kind) return unknown_event(*m.word);
    const event_form& form = form_of(*kind);
    event made;
    made.kind = *kind;
    if (auto wrong = unwanted(form, *kind, m)) return *std::move(wrong);
    switch (*kind) {
      case event_kind::elapsed:
        if (!m.ms) return missing(form, m, "a time such as 12 s");
        made.amount = m.ms->count;
        return made;
      case event_kind::inject:
      case event_kind::remove_fault:
        return with_fault(made, form, m);
      default:
        break;
    }
    if (auto wrong = find_subject(form.word, subjects_of(form), m.of, m.end, made.about)) return *std::move(wrong);
    if (*kind == event_kind::stored) {
      if (!m.applications) return missing(form, m, "a number of applications");
      made.amount = m.applications->count;
    }
    if (!form.values.empty()) {
      if (!m.to) return missing(form, m, detail::listed(form.values));
      const auto found = std::find(form.values.begin(), form.values.end(), m.to->text);
      if (found == form.values.end()) {
        return complaint("event-value",
                         std::string{form.word} + " has no value " + detail::quoted(m.to->text) +
                             detail::suggestion(m.to->text, form.values) + "; possible: " + detail::listed(form.values),
                         m.to->column);
      }
      made.value = static_cast<std::uint8_t>(found - form.values.begin());
    }
    return made;
  }

  [[nodiscard]] error complaint(std::string id, std::string message, std::uint32_t column) const {
    location place = where_;
    place.column = std::max(place.column, 1U) + column;
    return {std::move(id), std::move(message), std::move(place)};
  }

  [[nodiscard]] error unknown_event(const piece& found) const {
    std::vector<std::string_view> words;
    for (const event_form& form : event_forms()) words.push_back(form.word);
    std::string message = "there is no event " + detail::quoted(found.text);
    const std::string suggested = detail::suggestion(found.text, words);
    message += suggested.empty() ? "; possible: " + detail::listed(words) : suggested;
    return complaint("event-unknown", std::move(message), found.column);
  }

 private:
  error missing(const event_form& form, const members& m, const std::string& what) const {
    return complaint("event-missing", std::string{form.word} + " needs " + what, m.end);
  }

  // A member that has no meaning for this kind of event.
  std::optional<error> unwanted(const event_form& form, event_kind kind, const members& m) const {
    const bool faults = kind == event_kind::inject || kind == event_kind::remove_fault;
    const auto refuse = [&](const char* member, std::uint32_t column) {
      return complaint("event-extra",
                       std::string{form.word} + " has no \"" + member + "\" (" + std::string{form.sentence} + ')',
                       column);
    };
    if (m.to && (form.values.empty() || faults)) return refuse("to", m.to->column);
    if (m.ms && kind != event_kind::elapsed) return refuse("ms", m.ms->column);
    if (m.applications && kind != event_kind::stored) return refuse("applications", m.applications->column);
    if (m.fault && !faults) return refuse("fault", m.fault->column);
    if (m.flow && kind != event_kind::inject) return refuse("flow", m.flow->column);
    if (m.at_ms && kind != event_kind::inject) return refuse("at_ms", m.at_ms->column);
    if (m.when && kind != event_kind::inject) return refuse("when", m.when->column);
    if (m.when_of && !m.when) return refuse("when_of", m.when_of->column);
    return std::nullopt;
  }

  std::vector<std::string_view> names_of(std::span<const component> kinds) const {
    std::vector<std::string_view> names;
    for (const component kind : kinds) {
      for (std::size_t i = 0; i < layout_.count(kind); ++i)
        names.push_back(layout_.name({kind, static_cast<std::uint8_t>(i)}));
    }
    return names;
  }

  std::optional<error> find_subject(std::string_view word_of_event, std::span<const component> kinds,
                                    const std::optional<piece>& named, std::uint32_t end, subject& found) const {
    if (is_single(kinds)) {
      found = {kinds.empty() ? component::aircraft : kinds[0], 0};
      if (!named || named->text == word(found.kind)) return std::nullopt;
      return complaint("event-extra",
                       std::string{word_of_event} + " is about the whole aircraft; " + detail::quoted(named->text) +
                           " has no meaning here",
                       named->column);
    }
    const std::vector<std::string_view> names = names_of(kinds);
    const std::string a_kind = kinds_in_words(kinds);
    if (names.empty()) {
      return complaint("event-component", std::string{word_of_event} + " needs " + a_kind + "; the aircraft has none",
                       named ? named->column : end);
    }
    const std::string possible = "; possible: " + detail::listed(names);
    if (!named) return complaint("event-missing", std::string{word_of_event} + " needs " + a_kind + possible, end);
    const auto part = layout_.find(named->text);
    if (!part) {
      return complaint("event-component",
                       "there is no component " + detail::quoted(named->text) + detail::suggestion(named->text, names) +
                           "; " + std::string{word_of_event} + " needs " + a_kind + possible,
                       named->column);
    }
    if (std::find(kinds.begin(), kinds.end(), part->kind) == kinds.end()) {
      return complaint("event-component",
                       detail::quoted(named->text) + " is " + kinds_in_words({&part->kind, 1}) + "; " +
                           std::string{word_of_event} + " needs " + a_kind + possible,
                       named->column);
    }
    found = *part;
    return std::nullopt;
  }

  result<event> with_fault(event made, const event_form& form, const members& m) const {
    const auto& words = detail::words_of<fault>::list;
    if (!m.fault) return missing(form, m, "a fault: " + detail::listed(words));
    const auto what = from_word<fault>(m.fault->text);
    if (!what) {
      std::string message = "there is no fault " + detail::quoted(m.fault->text);
      const std::string suggested = detail::suggestion(m.fault->text, words);
      message += suggested.empty() ? "; possible: " + detail::listed(words) : suggested;
      return complaint("event-fault", std::move(message), m.fault->column);
    }
    const fault_form& fault_is = form_of(*what);
    made.value = static_cast<std::uint8_t>(*what);
    if (auto wrong = find_subject(m.fault->text, subjects_of(fault_is), m.of, m.end, made.about))
      return *std::move(wrong);
    if (made.kind == event_kind::remove_fault) return made;
    if (fault_is.needs_amount) {
      if (!m.flow) return complaint("event-missing", m.fault->text + " needs a flow such as 500 mL/s", m.end);
      made.amount = m.flow->count;
    } else if (m.flow) {
      return complaint("event-extra", m.fault->text + " has no flow", m.flow->column);
    }
    if (m.at_ms && m.when) {
      return complaint("event-extra", "a fault comes at a time or when something happens, not both", m.when->column);
    }
    if (m.at_ms) {
      made.trigger = fault_trigger::at_time;
      made.trigger_time = m.at_ms->count;
    }
    if (m.when) return with_trigger(made, m);
    return made;
  }

  result<event> with_trigger(event made, const members& m) const {
    // "at-once" and "at-time" have forms of their own.
    const auto& all = detail::words_of<fault_trigger>::list;
    const std::span<const std::string_view> words{all.begin() + 2, all.end()};
    const auto found = std::find(words.begin(), words.end(), m.when->text);
    if (found == words.end()) {
      return complaint("event-trigger",
                       "there is no trigger " + detail::quoted(m.when->text) + detail::suggestion(m.when->text, words) +
                           "; possible: " + detail::listed(words),
                       m.when->column);
    }
    made.trigger = *from_word<fault_trigger>(*found);
    if (auto wrong = find_subject(*found, trigger_subjects(made.trigger), m.when_of, m.end, made.trigger_about)) {
      return *std::move(wrong);
    }
    return made;
  }

  const layout& layout_;
  const location& where_;
};

// Words of a phrase with their columns, from 0.
std::vector<piece> words_in(std::string_view phrase) {
  std::vector<piece> words;
  std::uint32_t column = 0;
  bool inside = false;
  for (const char c : phrase) {
    const bool blank = c == ' ' || c == '\t' || c == '\n' || c == '\r';
    if (!blank) {
      if (!inside) words.push_back({{}, column});
      words.back().text += c;
    }
    inside = !blank;
    if ((static_cast<unsigned char>(c) & 0xC0U) != 0x80) ++column;
  }
  return words;
}

// Takes the words of a phrase one after the other.
class phrase_parts {
 public:
  explicit phrase_parts(std::vector<piece> words) : words_(std::move(words)) {}

  [[nodiscard]] bool done() const { return next_ == words_.size(); }
  [[nodiscard]] const piece& front() const { return words_[next_]; }
  std::optional<piece> take() {
    if (done()) return std::nullopt;
    return words_[next_++];
  }
  void drop() { next_ = words_.size(); }
  // All words up to "at" or "when", or to the end, as one.
  std::optional<piece> take_quantity() {
    if (done() || front().text == "at" || front().text == "when") return std::nullopt;
    piece joined = *take();
    while (!done() && front().text != "at" && front().text != "when") joined.text += ' ' + take()->text;
    return joined;
  }

 private:
  std::vector<piece> words_;
  std::size_t next_ = 0;
};

// The members of a phrase.
class phrase_reader {
 public:
  phrase_reader(const builder& complain, std::vector<piece> words) : complain_(complain), parts_(std::move(words)) {}

  result<members> read(std::uint32_t end) {
    found_.end = end;
    found_.word = parts_.take();
    const auto kind = kind_of(found_.word->text);
    if (!kind) return complain_.unknown_event(*found_.word);
    const event_form& form = form_of(*kind);
    std::optional<error> wrong;
    if (*kind == event_kind::elapsed) {
      wrong = take_time(found_.ms);
    } else if (*kind == event_kind::inject || *kind == event_kind::remove_fault) {
      wrong = take_fault(*kind == event_kind::inject);
    } else {
      if (!is_single(subjects_of(form))) found_.of = parts_.take();
      if (*kind == event_kind::stored) wrong = take_applications();
      if (!form.values.empty()) found_.to = parts_.take();
    }
    if (wrong) return *std::move(wrong);
    if (!parts_.done()) {
      return complain_.complaint("event-extra",
                                 detail::quoted(parts_.front().text) + " is more than " + std::string{form.word} +
                                     " takes (" + std::string{form.sentence} + ')',
                                 parts_.front().column);
    }
    return std::move(found_);
  }

 private:
  std::optional<error> take_time(std::optional<count_piece>& into) {
    const auto text = parts_.take_quantity();
    if (!text) return std::nullopt;
    const auto time = time_from_words(text->text);
    if (!time) return placed(time.problem(), text->column);
    into = count_piece{time->count(), text->column};
    return std::nullopt;
  }

  std::optional<error> take_applications() {
    const auto text = parts_.take();
    if (!text) return std::nullopt;
    const auto number = whole_from(text->text, {});
    if (!number) return placed(number.problem(), text->column);
    found_.applications = count_piece{*number, text->column};
    return std::nullopt;
  }

  std::optional<error> take_fault(bool with_trigger) {
    found_.fault = parts_.take();
    if (!found_.fault) return std::nullopt;
    const auto what = from_word<fault>(found_.fault->text);
    if (!what) {
      // The builder complains about the fault; what follows an unknown word has no meaning yet.
      parts_.drop();
      return std::nullopt;
    }
    if (!is_single(subjects_of(form_of(*what))) && !parts_.done() && parts_.front().text != "at" &&
        parts_.front().text != "when") {
      found_.of = parts_.take();
    }
    if (!with_trigger) return std::nullopt;
    if (form_of(*what).needs_amount) {
      if (const auto text = parts_.take_quantity()) {
        const auto flow = flow_from(text->text, {});
        if (!flow) return placed(flow.problem(), text->column);
        found_.flow = count_piece{*flow, text->column};
      }
    }
    if (parts_.done()) return std::nullopt;
    if (parts_.front().text == "at") {
      const piece at = *parts_.take();
      if (auto wrong = take_time(found_.at_ms)) return wrong;
      if (!found_.at_ms) return complain_.complaint("event-missing", "at needs a time such as 1:05", found_.end);
    } else if (parts_.front().text == "when") {
      parts_.take();
      found_.when = parts_.take();
      if (!found_.when) {
        return complain_.complaint("event-missing", "when needs a trigger such as lift-off", found_.end);
      }
      found_.when_of = parts_.take();
    }
    return std::nullopt;
  }

  error placed(const error& what, std::uint32_t column) const {
    return complain_.complaint(what.id, what.message, column);
  }

  const builder& complain_;
  phrase_parts parts_;
  members found_;
};

constexpr auto member_names = std::to_array<std::string_view>(
    {"event", "of", "to", "ms", "applications", "fault", "flow", "at_ms", "when", "when_of"});
constexpr std::string_view json_example = R"({"event":"lever","of":"forward","to":"open"})";

// The members of a JSON object.
class json_reader {
 public:
  explicit json_reader(const builder& complain) : complain_(complain) {}

  result<members> read(std::string_view text) {
    nlohmann::json object;
    // Names at the top of the object, to see one that stands twice: the tree would keep only the last.
    std::set<std::string, std::less<>> names;
    std::string twice;
    const auto watch = [&](int depth, nlohmann::json::parse_event_t what, const nlohmann::json& value) {
      if (what == nlohmann::json::parse_event_t::key && depth == 1) {
        const std::string name = value.get<std::string>();
        if (!names.insert(name).second && twice.empty()) twice = name;
      }
      return true;
    };
    try {
      object = nlohmann::json::parse(text.begin(), text.end(), watch);
    } catch (const nlohmann::json::parse_error& problem) {
      const auto column = static_cast<std::uint32_t>(problem.byte > 0 ? problem.byte - 1 : 0);
      return complain_.complaint(
          "event-json", "the text goes wrong here; an event is one JSON object such as " + std::string{json_example},
          column);
    } catch (const nlohmann::json::exception&) {
      return complain_.complaint("event-json", "a number is beyond any range that has a meaning here", 0);
    }
    if (!object.is_object()) {
      return complain_.complaint("event-json",
                                 "found " + std::string{object.type_name()} + "; an event is one JSON object such as " +
                                     std::string{json_example},
                                 0);
    }
    if (!twice.empty())
      return complain_.complaint("event-twice", "the member " + detail::quoted(twice) + " stands twice", 0);
    for (const auto& [name, value] : object.items()) {
      if (auto wrong = take(name, value)) return *std::move(wrong);
    }
    if (!found_.word) {
      return complain_.complaint("event-missing", "the member \"event\" is missing, as in " + std::string{json_example},
                                 0);
    }
    return std::move(found_);
  }

 private:
  std::optional<error> take(const std::string& name, const nlohmann::json& value) {
    if (name == "event") return take_text(name, value, found_.word);
    if (name == "of") return take_text(name, value, found_.of);
    if (name == "to") return take_text(name, value, found_.to);
    if (name == "fault") return take_text(name, value, found_.fault);
    if (name == "when") return take_text(name, value, found_.when);
    if (name == "when_of") return take_text(name, value, found_.when_of);
    if (name == "ms") return take_count(name, value, limits::longest_time.count(), found_.ms);
    if (name == "at_ms") return take_count(name, value, limits::longest_time.count(), found_.at_ms);
    if (name == "applications") return take_count(name, value, 1'000'000, found_.applications);
    if (name == "flow") return take_flow(value);
    return complain_.complaint("event-member",
                               "an event has no member " + detail::quoted(name) +
                                   detail::suggestion(name, member_names) +
                                   "; possible: " + detail::listed(member_names),
                               0);
  }

  std::optional<error> take_text(const std::string& name, const nlohmann::json& value, std::optional<piece>& into) {
    if (!value.is_string()) {
      return complain_.complaint(
          "event-type", "the member \"" + name + "\" must be a text; found " + std::string{value.type_name()}, 0);
    }
    into = piece{value.get<std::string>(), 0};
    return std::nullopt;
  }

  std::optional<error> take_count(const std::string& name, const nlohmann::json& value, std::int64_t most,
                                  std::optional<count_piece>& into) {
    const bool fits = value.is_number_integer() && value >= 0 && value <= most;
    if (!fits) {
      return complain_.complaint("event-range",
                                 "the member \"" + name + "\" must be a whole number from 0 to " +
                                     std::to_string(most) + "; found " + found(value),
                                 0);
    }
    into = count_piece{value.get<std::int64_t>(), 0};
    return std::nullopt;
  }

  std::optional<error> take_flow(const nlohmann::json& value) {
    const double flow = value.is_number() ? std::floor(value.get<double>() * 1e3 + 0.5) : 0.0;
    if (!(flow >= 1 && flow <= static_cast<double>(most_flow))) {
      return complain_.complaint(
          "event-range",
          "the member \"flow\" must be a number above 0 and at most 1000000 (in mL/s); found " + found(value), 0);
    }
    found_.flow = count_piece{static_cast<std::int64_t>(flow), 0};
    return std::nullopt;
  }

  static std::string found(const nlohmann::json& value) {
    if (value.is_number() || value.is_string()) {
      return value.is_string() ? detail::quoted(value.get<std::string>()) : value.dump();
    }
    return value.type_name();
  }

  const builder& complain_;
  members found_;
};

error too_long(const location& where, std::size_t found) {
  return {"event-long",
          "an event has at most " + std::to_string(longest_event) + " characters; found " + std::to_string(found),
          where};
}

std::string value_word(const event& e) {
  const auto values = form_of(e.kind).values;
  return e.value < values.size() ? std::string{values[e.value]} : "?";
}

bool is_known(const event& e) { return static_cast<std::size_t>(e.kind) < event_forms().size(); }
bool is_fault(const event& e) { return e.kind == event_kind::inject || e.kind == event_kind::remove_fault; }

// The number of a flow without its unit, in mL/s.
std::string flow_number(std::int64_t amount) {
  const std::string text = flow_text(amount);
  return text.substr(0, text.find(' '));
}

}  // namespace

}  // namespace files

result<event> event_from_words(const layout& of, std::string_view phrase, const location& where) {
  using namespace files;
  if (phrase.size() > longest_event) return too_long(where, phrase.size());
  const builder make{of, where};
  std::vector<piece> words = words_in(phrase);
  if (words.empty()) {
    return make.complaint("event-missing", "the phrase is empty; an event reads like: lever forward open", 0);
  }
  const std::size_t last_length = words.back().text.size();
  const auto end = static_cast<std::uint32_t>(words.back().column + last_length);
  const auto found = phrase_reader{make, std::move(words)}.read(end);
  if (!found) return found.problem();
  return make.built(*found);
}

result<event> event_from_json(const layout& of, std::string_view json_object, const location& where) {
  using namespace files;
  if (json_object.size() > longest_event) return too_long(where, json_object.size());
  const builder make{of, where};
  const auto found = json_reader{make}.read(json_object);
  if (!found) return found.problem();
  return make.built(*found);
}

std::string words_of(const layout& of, const event& e) {
  using namespace files;
  if (!is_known(e)) return "?";
  const event_form& form = form_of(e.kind);
  std::string text{form.word};
  const auto add = [&text](std::string_view more) { text += ' ' + std::string{more}; };
  if (is_fault(e)) {
    add(value_word(e));
    const auto what = static_cast<fault>(e.value);
    if (e.value >= count_of<fault>) return text;
    if (!is_single(subjects_of(form_of(what)))) add(of.name(e.about));
    if (e.kind == event_kind::remove_fault) return text;
    if (form_of(what).needs_amount) add(flow_text(e.amount));
    if (e.trigger == fault_trigger::at_time) {
      add("at");
      add(text_of(milliseconds{e.trigger_time}));
    } else if (e.trigger != fault_trigger::at_once) {
      add("when");
      add(word(e.trigger));
      if (!is_single(trigger_subjects(e.trigger))) add(of.name(e.trigger_about));
    }
    return text;
  }
  if (e.kind == event_kind::elapsed) add(text_of(milliseconds{e.amount}));
  if (!is_single(subjects_of(form))) add(of.name(e.about));
  if (e.kind == event_kind::stored) add(std::to_string(e.amount));
  if (!form.values.empty()) add(value_word(e));
  return text;
}

std::string json_of(const layout& of, const event& e) {
  using namespace files;
  // Names and words hold nothing that JSON would escape.
  std::string text = "{";
  const auto add = [&text](std::string_view name, std::string_view value, bool quotes) {
    if (text.size() > 1) text += ',';
    text += '"' + std::string{name} + "\":";
    text += quotes ? '"' + std::string{value} + '"' : std::string{value};
  };
  if (!is_known(e)) return R"({"event":"?"})";
  const event_form& form = form_of(e.kind);
  add("event", form.word, true);
  if (is_fault(e)) {
    add("fault", value_word(e), true);
    const auto what = static_cast<fault>(e.value);
    if (e.value < count_of<fault>) {
      if (!is_single(subjects_of(form_of(what)))) add("of", of.name(e.about), true);
      if (e.kind == event_kind::inject && form_of(what).needs_amount) add("flow", flow_number(e.amount), false);
    }
    if (e.kind == event_kind::inject && e.trigger == fault_trigger::at_time) {
      add("at_ms", std::to_string(e.trigger_time), false);
    } else if (e.kind == event_kind::inject && e.trigger != fault_trigger::at_once) {
      add("when", word(e.trigger), true);
      if (!is_single(trigger_subjects(e.trigger))) add("when_of", of.name(e.trigger_about), true);
    }
    return text + '}';
  }
  if (!is_single(subjects_of(form))) add("of", of.name(e.about), true);
  if (!form.values.empty()) add("to", value_word(e), true);
  if (e.kind == event_kind::elapsed) add("ms", std::to_string(e.amount), false);
  if (e.kind == event_kind::stored) add("applications", std::to_string(e.amount), false);
  return text + '}';
}

}  // namespace penstock::inline v1
