// The simulation: the order of a frame, and how far time may go in one step.
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <utility>

#include "penstock/detail/fluid_parts.hpp"
#include "penstock/detail/plant_parts.hpp"
#include "penstock/detail/quasi_static_parts.hpp"
#include "penstock/detail/rows.hpp"
#include "penstock/simulation.hpp"

namespace penstock::inline v1 {
namespace detail {

/// Whether a step changed more than clocks.
[[nodiscard]] inline bool changed_more_than_clocks(const state& before, const state& after) {
  state with_old_clocks = after;
  with_old_clocks.timers = before.timers;
  with_old_clocks.chronicle.now = before.chronicle.now;
  return with_old_clocks != before;
}

/// Facts that a plant works out itself at every moment.
[[nodiscard]] constexpr bool belongs_to_plant(plant_kind plant, event_kind kind) {
  if (plant == plant_kind::none) return false;
  switch (kind) {
    case event_kind::spool:
    case event_kind::travel:
    case event_kind::pressure:
    case event_kind::priority:
    case event_kind::level:
    case event_kind::difference:
    case event_kind::stored: return true;
    case event_kind::fluid:
    case event_kind::overspeed: return plant == plant_kind::fluid;
    default: return false;
  }
}

}  // namespace detail

PENSTOCK_INLINE simulation::simulation(const layout& of, plant_kind plant) : simulation(of, plant, cold_and_dark(of)) {}

PENSTOCK_INLINE simulation::simulation(const layout& of, plant_kind plant, const state& from)
    : layout_(&of), kind_(plant), state_(from), plant_{}, fluid_{}, commands_{}, fluid_time_(from.chronicle.now) {
  if (plant == plant_kind::quasi_static) plant_ = plant_for(of, from);
  if (plant == plant_kind::fluid) {
    fluid_ = plant_at(of, from);
    commands_ = commands_for(of, from);
  }
  follow_plant(nullptr);
}

PENSTOCK_INLINE effects simulation::step(const event& happening, bool from_plant) {
  effects what{};
  if (!watcher_) {
    penstock::apply(*layout_, state_, happening, what);
    if (happening.kind != event_kind::elapsed || what.rows > 0) renew_commands();
    return what;
  }
  const state before = state_;
  penstock::apply(*layout_, state_, happening, what);
  if (happening.kind != event_kind::elapsed || what.rows > 0) renew_commands();
  const bool only_clocks = happening.kind == event_kind::elapsed && what.rows == 0 &&
                           !detail::changed_more_than_clocks(before, state_);
  if (!only_clocks) watcher_({happening, before, state_, what, from_plant});
  return what;
}

PENSTOCK_INLINE void simulation::renew_commands() {
  if (kind_ != plant_kind::fluid) return;
  commands_ = commands_for(*layout_, state_);
  detail::fluid::join_lines(*layout_, fluid_, commands_);
  fluid_rests_ = false;
}

PENSTOCK_INLINE void simulation::follow_plant(effects* whole) {
  if (kind_ == plant_kind::none) return;
  namespace q = detail::quasi;
  const bool whole_fluid = kind_ == plant_kind::fluid;
  const auto settle = [&] {
    if (!whole_fluid) q::settle(*layout_, plant_, state_);
  };
  const auto due_now = [&](q::place_set left_out) {
    return whole_fluid ? detail::fluid::first_due(*layout_, fluid_, state_, left_out)
                       : q::first_due(*layout_, plant_, state_, left_out);
  };
  // A fact that the logic does not take over (a stuck switch may hide it) is not told twice in a frame.
  q::place_set left_out = 0;
  settle();
  for (std::size_t told = 0; told < q::most_facts_in_a_frame; ++told) {
    const std::optional<q::due_fact> due = due_now(left_out);
    if (!due) break;
    const effects what = step(due->what, true);
    if (whole != nullptr) detail::add_rows(*whole, what);
    settle();
    const q::place_set all_others = ~(q::place_set{1} << due->place);
    const std::optional<q::due_fact> still = due_now(all_others);
    if (still && still->what == due->what) left_out |= ~all_others;
  }
}

// The logic's state has been what it is since the last frame, so that its commands have been too.
PENSTOCK_INLINE void simulation::bring_fluid_to(std::uint32_t time) {
  if (time == fluid_time_) return;
  if (!fluid_rests_) {
    const plant_state before = fluid_;
    const double dt = static_cast<double>(time - fluid_time_) * 1e-3;
    integrate_in_place(*layout_, fluid_, commands_, dt);
    fluid_rests_ = fluid_ == before;
  }
  fluid_time_ = time;
}

PENSTOCK_INLINE effects simulation::apply(const event& happening) {
  if (happening.kind == event_kind::elapsed) return advance(milliseconds{happening.amount});
  if (detail::belongs_to_plant(kind_, happening.kind)) {
    // It would be overwritten in the same frame, and nobody would be told.
    effects what{};
    what.refused = {refusal_kind::no_meaning, "GEN-2",
                    "the plant supplies this fact: inject a fault instead, or choose no plant"};
    return what;
  }
  if (kind_ == plant_kind::fluid) bring_fluid_to(state_.chronicle.now);
  const state before = state_;
  const effects what = step(happening, false);
  if (!what.accepted()) return what;
  if (kind_ == plant_kind::fluid) {
    fluid_ = plant_with(*layout_, fluid_, before, happening);
    fluid_rests_ = false;
  } else {
    plant_ = plant_with(*layout_, plant_, before, happening);
  }
  follow_plant(nullptr);
  return what;
}

PENSTOCK_INLINE effects simulation::advance(milliseconds span) {
  const std::int64_t begin = state_.chronicle.now;
  if (span.count() < 0 || span > limits::longest_time || begin + span.count() > limits::longest_time.count()) {
    // The logic knows its limit; it must take the whole span or nothing. So every step below is taken.
    const outcome whole = transition(*layout_, state_, events::elapsed(span));
    if (!whole.what.accepted()) return whole.what;
  }
  effects what{};
  std::int64_t left = span.count();
  do {
    // `follow_plant` leaves the plant settled, so that it can be asked at once.
    std::int64_t dt = std::min<std::int64_t>(left, limits::longest_time.count());
    // A deadline that is due now falls due with the next ms: time always goes on.
    const std::optional<std::uint32_t> deadline = next_deadline(*layout_, state_);
    if (deadline) dt = std::min(dt, std::max<std::int64_t>(*deadline, 1));
    if (kind_ == plant_kind::fluid && !fluid_rests_) {
      const std::int64_t each = plant_frame.count();
      dt = std::min(dt, each - state_.chronicle.now % each);
    }
    quasi_static_state later = plant_;
    if (kind_ == plant_kind::quasi_static && dt > 0) {
      dt = std::min(dt, detail::quasi::ms_to_stop(*layout_, plant_, state_));
      detail::quasi::go(*layout_, later, state_, dt);
    }
    // Where only the caller stops, the plant does not: its frames stay the same.
    const bool falls_due = deadline && dt >= static_cast<std::int64_t>(*deadline);
    const auto then = static_cast<std::uint32_t>(state_.chronicle.now + dt);
    const bool plant_stops = kind_ != plant_kind::fluid || falls_due || then % plant_frame.count() == 0;
    // Before the logic goes there: what it decides then takes effect from then on.
    if (kind_ == plant_kind::fluid && plant_stops) bring_fluid_to(then);
    const effects passed = step(events::elapsed(milliseconds{dt}), true);
    plant_ = later;
    detail::add_rows(what, passed);
    if (falls_due) renew_commands();  // a fault may have come without a row
    if (plant_stops) follow_plant(&what);
    left -= dt;
  } while (left > 0);
  return what;
}

PENSTOCK_INLINE void simulation::watch(watcher each_step) { watcher_ = std::move(each_step); }

}  // namespace penstock::inline v1
