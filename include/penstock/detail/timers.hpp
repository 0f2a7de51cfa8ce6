// Which timer counts when.
#pragma once

#include <cstdint>

#include "penstock/detail/view.hpp"

namespace penstock::inline v1::detail {

/// Calls `each(value, limit, counts, kept)` for every timer of the layout. `counts()` says whether it counts
/// now, `kept()` whether its value stays; both are asked only where the answer matters. The only place that
/// knows which timer counts when.
template <class Timers, class Each>
constexpr void for_each_timer(const view& v, Timers& timers, Each each) {
  const auto& p = v.p;
  const auto& logic = v.s.logic;
  const auto kept_while = [&each](auto& value, std::uint32_t limit, auto counts) {
    each(value, limit, counts, counts);
  };
  for (unsigned d = 0; d < p.doors; ++d) {
    const auto mode = logic.doors[d].mode;
    const auto counts = [&] {
      return mode == door_mode::at_end ||
             (mode == door_mode::asking && logic.circuits[p.door_at[d].circuit].service == service_mode::service);
    };
    each(timers.door_run[d], p.door_at[d].run_limit, counts, [mode] { return mode != door_mode::idle; });
  }
  for (unsigned c = 0; c < p.circuits; ++c) {
    kept_while(timers.hold_off[c], p.circuit_at[c].hold_off,
               [&] { return logic.circuits[c].service == service_mode::hold_off; });
    kept_while(timers.circuit_low[c], p.circuit_at[c].low_confirmation, [&] { return v.low_now(c); });
  }
  for (unsigned e = 0; e < p.electric_pumps; ++e) {
    const auto& at = p.electric_pump_at[e];
    const auto& pump = logic.electric_pumps[e];
    kept_while(timers.touchdown[e], at.touchdown_delay, [&] { return pump.demand == demand_mode::touchdown; });
    kept_while(timers.start_period[e], at.start_period, [&] { return pump.starts != 0; });
    kept_while(timers.cooling[e], at.cooling,
               [&] { return pump.limiter == limiter_mode::cooling && pump.mode == pump_mode::stopped; });
  }
  for (unsigned e = 0; e < p.engine_pumps; ++e) {
    const auto& at = p.engine_pump_at[e];
    kept_while(timers.pump_low[e], at.low_confirmation, [&] { return v.engine_pump_missed(e); });
    kept_while(timers.engine_pump_dry[e], at.dry_damage,
               [&] { return v.engine_pump_why(e) == engine_pump_reason::dry; });
  }
  for (unsigned u = 0; u < p.units; ++u) {
    const auto test = logic.units[u].test;
    kept_while(timers.test[u], p.unit_at[u].test_limit,
               [test] { return test == test_mode::waiting || test == test_mode::holding; });
    kept_while(timers.test_held[u], p.unit_at[u].test_confirmation, [test] { return test == test_mode::holding; });
  }
}

}  // namespace penstock::inline v1::detail
