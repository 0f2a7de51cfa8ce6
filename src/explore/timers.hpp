// The timers of a state by their place, and whether they have run out: all that a search knows of time.
#pragma once

#include <cstdint>

#include "penstock/detail/timers.hpp"
#include "penstock/explore.hpp"

namespace penstock::inline v1::explore_detail {

/// The value of a timer in a state, to read or, where the timers may be changed, to write.
template <class Timers>
[[nodiscard]] auto& timer_at(Timers& timers, timer_place where) {
  switch (where.kind) {
    case timer_kind::door_run: return timers.door_run[where.index];
    case timer_kind::hold_off: return timers.hold_off[where.index];
    case timer_kind::circuit_low: return timers.circuit_low[where.index];
    case timer_kind::touchdown: return timers.touchdown[where.index];
    case timer_kind::start_period: return timers.start_period[where.index];
    case timer_kind::cooling: return timers.cooling[where.index];
    case timer_kind::pump_low: return timers.pump_low[where.index];
    case timer_kind::engine_pump_dry: return timers.engine_pump_dry[where.index];
    case timer_kind::test: return timers.test[where.index];
    case timer_kind::test_held: break;
  }
  return timers.test_held[where.index];
}

/// How long a timer counts in this layout.
[[nodiscard]] inline std::uint32_t limit_of(const layout& of, timer_place where) {
  const auto& p = of.plan();
  switch (where.kind) {
    case timer_kind::door_run: return p.door_at[where.index].run_limit;
    case timer_kind::hold_off: return p.circuit_at[where.index].hold_off;
    case timer_kind::circuit_low: return p.circuit_at[where.index].low_confirmation;
    case timer_kind::touchdown: return p.electric_pump_at[where.index].touchdown_delay;
    case timer_kind::start_period: return p.electric_pump_at[where.index].start_period;
    case timer_kind::cooling: return p.electric_pump_at[where.index].cooling;
    case timer_kind::pump_low: return p.engine_pump_at[where.index].low_confirmation;
    case timer_kind::engine_pump_dry: return p.engine_pump_at[where.index].dry_damage;
    case timer_kind::test: return p.unit_at[where.index].test_limit;
    case timer_kind::test_held: break;
  }
  return p.unit_at[where.index].test_confirmation;
}

/// Whether a timer counts now and has not run out.
[[nodiscard]] inline bool may_run_out(const detail::view& v, timer_state& timers, timer_place where) {
  const std::uint32_t* const wanted = &timer_at(timers, where);
  bool counting = false;
  detail::for_each_timer(v, timers, [&](const std::uint32_t& value, std::uint32_t limit, auto counts, auto) {
    if (&value == wanted && value < limit) counting = counts();
  });
  return counting;
}

/// What one timer's running out does, in a state where it may: the others stay where they were.
inline void run_out(const layout& of, state& now, timer_place which, effects& did, logic_function logic) {
  timer_at(now.timers, which) = limit_of(of, which) - 1;
  logic(of, now, events::elapsed(milliseconds{1}), did);
  now.chronicle.now = 0;
  const detail::view v{of.plan(), now};
  detail::for_each_timer(v, now.timers, [](std::uint32_t& value, std::uint32_t limit, auto, auto) {
    if (value < limit) value = 0;
  });
}

}  // namespace penstock::inline v1::explore_detail
