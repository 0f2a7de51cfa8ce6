// Recording a lesson while it is played.
#include <algorithm>
#include <cmath>
#include <utility>

#include "files/lesson_words.hpp"
#include "penstock/curves.hpp"
#include "penstock/observation.hpp"

namespace penstock::inline v1 {

namespace {

std::uint8_t code_of(const std::vector<std::string_view>& words, std::string_view word) {
  const auto found = std::ranges::find(words, word);
  // A word that is none of its list would be a defect of the list; the first is as wrong as any.
  return found == words.end() ? std::uint8_t{0} : static_cast<std::uint8_t>(found - words.begin());
}

milliseconds period_for(milliseconds span) {
  // Parts of 100 ms, so that samples fall on round times.
  for (const milliseconds period : {milliseconds{10}, milliseconds{20}, milliseconds{50}}) {
    if (span / period <= static_cast<milliseconds::rep>(curve_recorder::most_rows)) return period;
  }
  return milliseconds{100};
}

// The rows of [begin, end) that hold the least and the greatest value of a quantity.
void mark_extremes(const std::vector<std::optional<double>>& values, std::size_t begin, std::size_t end,
                   std::vector<bool>& kept) {
  std::optional<std::size_t> least;
  std::optional<std::size_t> greatest;
  for (std::size_t i = begin; i < end; ++i) {
    if (!values[i]) continue;
    if (!least || *values[i] < *values[*least]) least = i;
    if (!greatest || *values[i] > *values[*greatest]) greatest = i;
  }
  if (least) kept[*least] = true;
  if (greatest) kept[*greatest] = true;
}

template <class T>
void keep_only(std::vector<T>& column, const std::vector<bool>& kept) {
  std::size_t to = 0;
  for (std::size_t i = 0; i < column.size(); ++i) {
    if (kept[i]) column[to++] = column[i];
  }
  column.resize(to);
}

}  // namespace

struct curve_recorder::content {
  const lesson* what;
  milliseconds period;
  curves made;
  bool changed = true;        ///< something happened since the states were last read
  milliseconds piece{0};      ///< how long the pieces of time were when rows were last left out

  [[nodiscard]] bool same(std::size_t one, std::size_t other) const {
    return std::ranges::all_of(made.quantities, [&](const auto& q) { return q.values[one] == q.values[other]; }) &&
           same_states(one, other);
  }
  [[nodiscard]] bool same_states(std::size_t one, std::size_t other) const {
    return std::ranges::all_of(made.states, [&](const auto& s) { return s.codes[one] == s.codes[other]; });
  }

  void begin() {
    const layout& of = what->aircraft;
    made.aircraft = of.spec().name;
    for (const subject about : of.everything()) {
      for (const reading_form& form : reading_forms()) {
        if (form.kind != about.kind) continue;
        made.quantities.push_back({about, form.what, std::string{of.name(about)}, form.unit, {}});
      }
      for (const attribute_form& form : attributes()) {
        if (form.kind != about.kind) continue;
        made.states.push_back({about, std::string{of.name(about)}, std::string{form.name}, {}, form.words, {}});
      }
    }
  }

  recorded_state& alert_state(const observed_alert& standing) {
    for (recorded_state& each : made.states) {
      if (each.alert == standing.condition && each.about == standing.about) return each;
    }
    made.states.push_back({standing.about, std::string{what->aircraft.name(standing.about)}, {}, standing.condition,
                           files::alert_words(), std::vector<std::uint8_t>(made.at.size(), 0)});
    return made.states.back();
  }

  void add_states(const simulation& playing) {
    const std::size_t row = made.at.size() - 1;
    if (!changed && row > 0) {
      for (recorded_state& each : made.states) each.codes.push_back(each.codes[row - 1]);
      return;
    }
    changed = false;
    const observation seen = observe(what->aircraft, playing.now());
    for (recorded_state& each : made.states) {
      each.codes.push_back(each.alert ? std::uint8_t{0}
                                      : code_of(each.words, attribute_word(what->aircraft, seen, each.about,
                                                                           each.attribute)));
    }
    for (const observed_alert& standing : seen.alerts_standing()) {
      recorded_state& column = alert_state(standing);
      column.codes[row] = code_of(column.words, standing.inhibited ? "inhibited" : word(standing.level));
    }
  }

  void add(const simulation& playing) {
    const milliseconds now{playing.now().chronicle.now};
    if (!made.at.empty() && made.at.back() == now) drop_last();
    made.at.push_back(now);
    for (recorded_quantity& each : made.quantities) {
      std::optional<double> value = reading(playing, each.about, each.what);
      if (value && !std::isfinite(*value)) value.reset();
      each.values.push_back(value);
    }
    add_states(playing);
    const std::size_t rows = made.at.size();
    if (rows > 2 && same(rows - 1, rows - 2) && same(rows - 2, rows - 3)) {
      // Nothing moves: the row in the middle says nothing that its neighbours do not.
      drop_last();
      made.at.back() = now;
    }
    if (made.at.size() >= 2 * most_rows) thin();
  }

  void drop_last() {
    made.at.pop_back();
    for (recorded_quantity& each : made.quantities) each.values.pop_back();
    for (recorded_state& each : made.states) each.codes.pop_back();
  }

  // Leaves rows out, with pieces of time as short as they may be.
  void thin() {
    std::vector<bool> changes(made.at.size());
    for (std::size_t i = 1; i < made.at.size(); ++i) {
      if (!same_states(i - 1, i)) changes[i - 1] = changes[i] = true;
    }
    // If the changes alone are too many, they count like a quantity: short states may then be missing.
    if (static_cast<std::size_t>(std::ranges::count(changes, true)) > most_rows / 2) {
      changes.assign(made.at.size(), false);
    }
    std::vector<bool> kept;
    for (piece = std::max(piece, period);; piece *= 2) {
      kept = kept_with(piece, changes);
      if (static_cast<std::size_t>(std::ranges::count(kept, true)) <= most_rows) break;
    }
    keep_only(made.at, kept);
    for (recorded_quantity& each : made.quantities) keep_only(each.values, kept);
    for (recorded_state& each : made.states) keep_only(each.codes, kept);
  }

  [[nodiscard]] std::vector<bool> kept_with(milliseconds piece_of_time, const std::vector<bool>& changes) const {
    std::vector<bool> kept = changes;
    kept.front() = kept.back() = true;
    for (std::size_t begin = 0; begin < kept.size();) {
      std::size_t end = begin + 1;
      while (end < kept.size() && made.at[end] / piece_of_time == made.at[begin] / piece_of_time) ++end;
      for (const recorded_quantity& each : made.quantities) mark_extremes(each.values, begin, end, kept);
      for (const recorded_state& each : made.states) {
        const auto first = each.codes.begin() + static_cast<std::ptrdiff_t>(begin);
        const auto last = each.codes.begin() + static_cast<std::ptrdiff_t>(end);
        const auto [least, greatest] = std::minmax_element(first, last);
        kept[static_cast<std::size_t>(least - each.codes.begin())] = true;
        kept[static_cast<std::size_t>(greatest - each.codes.begin())] = true;
      }
      begin = end;
    }
    return kept;
  }
};

curve_recorder::curve_recorder(const lesson& what, std::optional<milliseconds> until)
    : content_{std::make_unique<content>(content{&what, period_for(until.value_or(what.end)), {}})} {
  content_->begin();
}

curve_recorder::~curve_recorder() = default;

void curve_recorder::step_begins(const lesson_step&, const simulation& playing) {
  content_->changed = true;
  content_->made.steps.emplace_back(playing.now().chronicle.now);
}
void curve_recorder::happened(const simulation::frame&) { content_->changed = true; }
milliseconds curve_recorder::sampling() const { return content_->period; }
bool curve_recorder::samples_edges() const { return true; }
void curve_recorder::sampled(const simulation& playing) { content_->add(playing); }

curves curve_recorder::taken() {
  if (content_->made.at.size() > most_rows) content_->thin();
  curves done = std::exchange(content_->made, {});
  std::erase_if(done.quantities, [](const recorded_quantity& each) {
    return std::ranges::none_of(each.values, [](const auto& value) { return value.has_value(); });
  });
  return done;
}

std::string name_of(const recorded_quantity& of) { return of.component + ' ' + std::string{word(of.what)}; }

std::string name_of(const recorded_state& of) {
  if (!of.alert) return of.component + ' ' + of.attribute;
  std::string name = "alert " + std::string{word(*of.alert)};
  // Conditions of the whole aircraft stand once.
  const bool named = of.about.kind != component::aircraft && of.about.kind != component::steering;
  if (named) name += ' ' + of.component;
  return name;
}

}  // namespace penstock::inline v1
