#include "explore/plausible.hpp"

#include <array>

namespace penstock::inline v1 {

namespace explore_detail {

namespace {

// One step in a row of values, either way.
template <class Enum>
bool is_next(Enum from, Enum to) {
  const int a = static_cast<int>(from);
  const int b = static_cast<int>(to);
  return a - b == 1 || b - a == 1;
}

bool spool_may(const detail::view& now, unsigned engine, spool_band to) {
  const auto& at = now.s.logic.engines[engine];
  if (!is_next(at.spool, to)) return false;
  const bool windmills = now.in_flight() && to <= spool_band::driving;
  if (to > at.spool) return at.mode == engine_mode::cranking || detail::has(now.running(), engine) || windmills;
  return at.mode != engine_mode::cranking || at.spool < spool_band::near_idle;
}

// A circuit that a unit drives has pressure only while the other has its own.
bool is_supplied(const detail::view& now, unsigned circuit) {
  if (now.own_source(circuit)) return true;
  const auto unit = now.driving_unit(circuit);
  if (unit == detail::nobody) return false;
  const auto& at = now.p.unit_at[unit];
  const unsigned driving = at.b == circuit ? at.a : at.b;
  return now.own_source(driving) && now.s.logic.circuits[driving].pressure_made && now.unit_works(unit);
}

bool travel_may(const detail::view& now, unsigned door, door_travel to) {
  const auto& at = now.s.logic.doors[door];
  if (!is_next(at.travel, to) || !now.door_served(door)) return false;
  return to > at.travel ? at.lever == lever_position::open : at.lever == lever_position::close;
}

bool difference_may(const detail::view& now, unsigned unit, pressure_difference to) {
  const auto& at = now.p.unit_at[unit];
  const bool a = now.own_source(at.a);
  const bool b = now.own_source(at.b);
  switch (to) {
    case pressure_difference::level: return true;
    case pressure_difference::a_higher:
    case pressure_difference::a_exceeds: return a;
    case pressure_difference::b_higher:
    case pressure_difference::b_exceeds: return b;
  }
  return false;
}

bool stored_may(const detail::view& now, unsigned store, std::int64_t to) {
  const std::int64_t left = store == 0 ? now.s.logic.aircraft.stored_0 : now.s.logic.aircraft.stored_1;
  if (to == left + 1) return now.s.logic.circuits[now.p.store_at[store].circuit].pressure_made;
  return to == left - 1;
}

}  // namespace

bool is_plausible(const detail::view& now, const event& what) {
  const unsigned i = what.about.index;
  const auto& logic = now.s.logic;
  const bool yes = what.value == 1;
  switch (what.kind) {
    case event_kind::spool: return spool_may(now, i, static_cast<spool_band>(what.value));
    case event_kind::starter_out: return logic.engines[i].mode == engine_mode::cranking || logic.engines[i].mode == engine_mode::at_idle;
    case event_kind::hang: return logic.engines[i].mode == engine_mode::cranking && logic.engines[i].spool != spool_band::zero;
    case event_kind::flame_out: return logic.engines[i].mode != engine_mode::stopped;
    case event_kind::pressure: return is_supplied(now, i) == yes;
    case event_kind::priority: return !yes || logic.circuits[i].pressure_made;
    case event_kind::travel: return travel_may(now, i, static_cast<door_travel>(what.value));
    case event_kind::level: return is_next(logic.circuits[i].level, static_cast<fluid_level>(what.value));
    case event_kind::difference: return difference_may(now, i, static_cast<pressure_difference>(what.value));
    case event_kind::overspeed: return !yes || logic.units[i].mode >= unit_mode::a_drives_b;
    case event_kind::overheat:
      return !yes || (what.about.kind == component::engine_pump ? now.engine_pump_delivers(i) : now.electric_pump_delivers(i));
    case event_kind::stored: return stored_may(now, i, what.amount);
    case event_kind::air_ground: return what.value != 1 || now.any_engine();
    case event_kind::airspeed: return is_next(logic.aircraft.airspeed, static_cast<airspeed_band>(what.value));
    default: return true;
  }
}

}  // namespace explore_detail

std::span<const std::string_view> plausible_facts() {
  static constexpr auto sentences = std::to_array<std::string_view>({
      "a spool goes from one band to the next; it rises while its engine cranks or runs, and as far as the pump mark "
      "in flight; it does not fall from near idle while its engine cranks",
      "a starter cuts out while its engine cranks or has just come to idle; a start hangs while the spool turns; an "
      "engine that stands still does not flame out",
      "a circuit comes to pressure only while a pump of its own delivers, or a unit that works drives it from a "
      "circuit with pressure of its own; and loses it only without",
      "priority pressure needs pressure",
      "a door moves only as its lever points and only while something moves it, and comes past the middle",
      "a level goes from one band to the next",
      "own pressure exceeds that of the other circuit only with a pump of its own that delivers",
      "a unit overspeeds only while it transfers; a pump overheats only while it delivers",
      "a store is filled by one application at a time and only from pressure",
      "the aircraft lifts off only with an engine running; airspeed goes from one band to the next",
  });
  return sentences;
}

}  // namespace penstock::inline v1
