// The simulation: the order of a frame, and how far time may go in one step.
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <utility>

#include "penstock/detail/quasi_static_parts.hpp"
#include "penstock/simulation.hpp"

namespace penstock::inline v1 {
namespace detail {

/// Whether a step changed more than clocks.
[[nodiscard]] inline bool changed_more_than_clocks(const state& before, const state& after) {
  return !(before.logic == after.logic && before.faults == after.faults &&
           before.chronicle.alerts_standing == after.chronicle.alerts_standing &&
           before.chronicle.bus_source == after.chronicle.bus_source);
}

/// Facts that the quasi-static plant works out itself at every moment.
[[nodiscard]] constexpr bool belongs_to_plant(event_kind kind) {
  switch (kind) {
    case event_kind::spool:
    case event_kind::travel:
    case event_kind::pressure:
    case event_kind::priority:
    case event_kind::level:
    case event_kind::difference:
    case event_kind::stored: return true;
    default: return false;
  }
}

/// Adds the rows of one step to those of a whole span.
inline void add_rows(effects& whole, const effects& step) {
  const std::size_t fits = std::min<std::size_t>(step.rows, effects::most_rows - whole.rows);
  std::copy_n(step.row.begin(), fits, whole.row.begin() + whole.rows);
  whole.rows = static_cast<std::uint16_t>(whole.rows + fits);
  whole.passes = std::max(whole.passes, step.passes);
  whole.cut_short = whole.cut_short || step.cut_short || fits < step.rows;
}

}  // namespace detail

PENSTOCK_INLINE simulation::simulation(const layout& of, plant_kind plant) : simulation(of, plant, cold_and_dark(of)) {}

PENSTOCK_INLINE simulation::simulation(const layout& of, plant_kind plant, const state& from)
    : layout_(&of), kind_(plant), state_(from), plant_(plant_for(of, from)) {
  follow_plant(nullptr);
}

PENSTOCK_INLINE effects simulation::step(const event& happening, bool from_plant) {
  effects what{};
  if (!watcher_) {
    penstock::apply(*layout_, state_, happening, what);
    return what;
  }
  const state before = state_;
  penstock::apply(*layout_, state_, happening, what);
  const bool only_clocks = happening.kind == event_kind::elapsed && what.accepted() && what.rows == 0 &&
                           !detail::changed_more_than_clocks(before, state_);
  if (!only_clocks) watcher_({happening, before, state_, what, from_plant});
  return what;
}

PENSTOCK_INLINE void simulation::follow_plant(effects* whole) {
  if (kind_ == plant_kind::none) return;
  namespace q = detail::quasi;
  // A fact that the logic does not take over (a stuck switch may hide it) is not told twice in a frame.
  q::place_set left_out = 0;
  q::settle(*layout_, plant_, state_);
  for (std::size_t told = 0; told < q::most_facts_in_a_frame; ++told) {
    const std::optional<q::due_fact> due = q::first_due(*layout_, plant_, state_, left_out);
    if (!due) return;
    const effects what = step(due->what, true);
    if (whole != nullptr) detail::add_rows(*whole, what);
    q::settle(*layout_, plant_, state_);
    const q::place_set all_others = ~(q::place_set{1} << due->place);
    const std::optional<q::due_fact> still = q::first_due(*layout_, plant_, state_, all_others);
    if (still && still->what == due->what) left_out |= ~all_others;
  }
}

PENSTOCK_INLINE effects simulation::apply(const event& happening) {
  if (happening.kind == event_kind::elapsed) return advance(milliseconds{happening.amount});
  if (kind_ == plant_kind::quasi_static && detail::belongs_to_plant(happening.kind)) {
    // It would be overwritten in the same frame, and nobody would be told.
    effects what{};
    what.refused = {refusal_kind::no_meaning, "GEN-2",
                    "the quasi-static plant supplies this fact: inject a fault instead, or choose no plant"};
    return what;
  }
  const state before = state_;
  const effects what = step(happening, false);
  if (!what.accepted()) return what;
  plant_ = plant_with(*layout_, plant_, before, happening);
  follow_plant(nullptr);
  return what;
}

PENSTOCK_INLINE effects simulation::advance(milliseconds span) {
  const std::int64_t begin = state_.chronicle.now;
  if (span.count() < 0 || span > limits::longest_time || begin + span.count() > limits::longest_time.count()) {
    // The logic knows its limit; it must take the whole span or nothing.
    const outcome whole = transition(*layout_, state_, events::elapsed(span));
    if (!whole.what.accepted()) return whole.what;
  }
  effects what{};
  std::int64_t left = span.count();
  do {
    // `follow_plant` leaves the plant settled, so that it can be asked at once.
    std::int64_t dt = std::min<std::int64_t>(left, limits::longest_time.count());
    // A deadline that is due now falls due with the next ms: time always goes on.
    if (const auto t = next_deadline(*layout_, state_)) dt = std::min(dt, std::max<std::int64_t>(*t, 1));
    quasi_static_state later = plant_;
    if (kind_ == plant_kind::quasi_static && dt > 0) {
      dt = std::min(dt, detail::quasi::ms_to_stop(*layout_, plant_, state_));
      detail::quasi::go(*layout_, later, state_, dt);
    }
    const effects passed = step(events::elapsed(milliseconds{dt}), true);
    if (!passed.accepted()) {
      what.refused = passed.refused;
      return what;
    }
    plant_ = later;
    detail::add_rows(what, passed);
    follow_plant(&what);
    left -= dt;
  } while (left > 0);
  return what;
}

PENSTOCK_INLINE void simulation::watch(watcher each_step) { watcher_ = std::move(each_step); }

}  // namespace penstock::inline v1
