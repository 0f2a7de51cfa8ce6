#include "explore/way_back.hpp"

#include <algorithm>

#include "penstock/detail/timers.hpp"

namespace penstock::inline v1::explore_detail {

std::vector<event> events_to_cold_and_dark(const layout& of) {
  const auto& p = of.plan();
  const state cold = cold_and_dark(of);
  std::vector<event> way{events::clear_faults(), events::air_ground_is(air_ground::ground),
                         events::airspeed(airspeed_band::slow), events::phase(flight_phase::other)};
  const auto all_of = [](unsigned many, auto each) {
    for (unsigned i = 0; i < many; ++i) each(i);
  };
  all_of(p.engines, [&](unsigned i) {
    way.insert(way.end(), {events::shut_down(i), events::spool(i, spool_band::zero), events::fire_handle(i, false),
                           events::reset_supply(i)});
  });
  all_of(p.doors, [&](unsigned i) {
    way.insert(way.end(), {events::lever(i, lever_position::neutral), events::travel(i, door_travel::closed)});
  });
  all_of(p.circuits, [&](unsigned i) {
    way.insert(way.end(), {events::level(i, fluid_level::normal), events::air(i, false), events::fluid(i, false),
                           events::hand_pump(i, false), events::leak_isolation(i, false), events::priority(i, false),
                           events::pressure(i, false)});
  });
  const auto pump = [&](subject which, pump_switch to) {
    way.insert(way.end(), {events::failure(which, false), events::overheat(which, false), events::reset(which),
                           events::crew_switch(which, to)});
  };
  all_of(p.engine_pumps, [&](unsigned i) { pump(events::engine_pump(i), pump_switch::on); });
  all_of(p.electric_pumps, [&](unsigned i) {
    way.push_back(events::shed(i, false));
    way.push_back(events::crew_switch(events::electric_pump(i), pump_switch::off));  // clears a ground override [AUX-4]
    pump(events::electric_pump(i), cold.logic.electric_pumps[i].switched);
  });
  all_of(p.units, [&](unsigned i) {
    // off clears the caution of a failed test [PTU-14]
    way.insert(way.end(), {events::overspeed(i, false), events::difference(i, pressure_difference::level),
                           events::crew_switch(events::unit(i), pump_switch::off),
                           events::crew_switch(events::unit(i), pump_switch::on)});
  });
  all_of(p.ram_air_pumps, [&](unsigned i) { way.push_back(events::stow(i)); });
  all_of(p.stores, [&](unsigned i) { way.push_back(events::stored(i, p.store_at[i].most_applications)); });
  way.insert(way.end(), {events::pin(false), events::steering(true), events::parking_brake(true), events::gear(true),
                         events::external_power(false), events::auxiliary_power(false)});
  // Every timer that still counts runs out, and those that begin when it does.
  std::uint32_t longest = 0;
  state some = cold;
  const detail::view v{p, some};
  detail::for_each_timer(v, some.timers,
                         [&](std::uint32_t&, std::uint32_t limit, auto, auto) { longest = std::max(longest, limit); });
  for (int i = 0; i < 3; ++i) way.push_back(events::elapsed(milliseconds{longest}));
  return way;
}

void forget_records(const layout& of, state& now) {
  for (unsigned u = 0; u < of.plan().units; ++u) {
    now.logic.units[u].outcome = test_outcome::none;
    now.logic.units[u].reason = test_reason::none;
  }
  for (unsigned e = 0; e < of.plan().engines; ++e) {
    if (now.logic.engines[e].mode == engine_mode::stopped) now.logic.engines[e].starter_is_out = false;
  }
}

}  // namespace penstock::inline v1::explore_detail
