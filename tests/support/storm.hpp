// Random scenes and events on three invented layouts. The random numbers have fixed seeds, so that a failure comes again.
#pragma once

#include <algorithm>
#include <iterator>
#include <random>
#include <sstream>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

#include "support/bench.hpp"

namespace penstock_tests {

using dice = std::mt19937_64;

/// Uniform enough, and the same on every C++ library.
inline std::size_t below(dice& d, std::size_t limit) { return limit == 0 ? 0 : static_cast<std::size_t>(d() % limit); }

inline subject some(dice& d, const layout& of, component kind) {
  return {kind, static_cast<std::uint8_t>(below(d, of.count(kind)))};
}

inline subject occasion_of(dice& d, const layout& of, fault_trigger trigger) {
  switch (trigger) {
    case fault_trigger::engine_runs:
    case fault_trigger::engine_cranks:
      return some(d, of, component::engine);
    case fault_trigger::pump_delivers:
      return some(d, of, below(d, 2) == 0 ? component::engine_pump : component::electric_pump);
    case fault_trigger::pressure_made:
      return some(d, of, component::circuit);
    case fault_trigger::door_moves:
      return some(d, of, component::cargo_door);
    case fault_trigger::test_runs:
      return some(d, of, component::transfer_unit);
    default:
      return events::aircraft;
  }
}

/// Some event that the layout knows; time passes in about every sixth.
inline event some_event(dice& d, const layout& of) {
  if (below(d, 6) == 0) {
    constexpr std::int64_t spans[] = {0, 1, 999, 1'000, 2'000, 5'000, 6'000, 20'000, 40'000, 90'000, 120'000};
    return events::elapsed(milliseconds{below(d, 4) == 0 ? static_cast<std::int64_t>(below(d, 30'000))
                                                         : spans[below(d, std::size(spans))]});
  }
  const auto kind = static_cast<event_kind>(1 + below(d, event_forms().size() - 1));
  const event_form& form = form_of(kind);
  event made;
  made.kind = kind;
  if (kind == event_kind::inject || kind == event_kind::remove_fault) {
    const auto what = static_cast<fault>(below(d, count_of<fault>));
    made.value = static_cast<std::uint8_t>(what);
    made.about = some(d, of, form_of(what).subjects[below(d, form_of(what).subject_kinds)]);
    if (kind == event_kind::inject) {
      made.amount = form_of(what).needs_amount ? static_cast<std::int64_t>(1 + below(d, 10'000)) : 0;
      made.trigger = static_cast<fault_trigger>(below(d, count_of<fault_trigger>));
      made.trigger_about = occasion_of(d, of, made.trigger);
      made.trigger_time = made.trigger == fault_trigger::at_time ? static_cast<std::int64_t>(below(d, 3'600'000)) : 0;
    }
    return made;
  }
  if (form.subject_kinds > 0) made.about = some(d, of, form.subjects[below(d, form.subject_kinds)]);
  if (!form.values.empty()) made.value = static_cast<std::uint8_t>(below(d, form.values.size()));
  if (kind == event_kind::stored) made.amount = static_cast<std::int64_t>(below(d, 8));
  return made;
}

/// The third layout of the storms has units with all their options, and every limit of the rules in use.
inline std::vector<layout_spec> three_layouts() {
  std::vector<layout_spec> specs{two_engine_spec(), four_engine_spec(), small_twin_spec()};
  specs[1].transfer_units[0].stops_on_low_air = true;
  specs[1].transfer_units[0].stops_on_hot_fluid = true;
  specs[1].transfer_units[0].stops_on_overspeed = true;
  specs[1].transfer_units[0].maintenance_test = true;
  specs[1].transfer_units[1].direction = unit_direction::a_to_b;
  specs[1].transfer_units[1].scope = inhibit_scope::ground;
  return specs;
}

inline layout made(layout_spec spec) {
  auto checked = layout::from(std::move(spec));
  if (!checked) throw std::invalid_argument(to_string(checked.problem()));
  return *std::move(checked);
}

inline std::string in_words(const layout& of, const event& e) {
  std::string words = testing::PrintToString(e);
  if (e.about.kind != component::aircraft) words += " [" + std::string{of.name(e.about)} + ']';
  return words;
}

/// Everything that can be seen, as text, alerts in any order.
inline std::string everything_seen(const layout& of, const state& now) {
  const observation s = observe(of, now);
  std::ostringstream out;
  out << s.now << s.in_flight << s.air_ground_valid << s.parking_brake_set << s.gear_down << word(s.phase)
      << word(s.airspeed) << s.external_power << s.auxiliary_power << word(s.steering) << '\n';
  for (std::size_t i = 0; i < of.count(component::engine); ++i) {
    const auto& e = s.engines[i];
    out << "engine " << word(e.mode) << ' ' << word(e.role) << ' ' << word(e.spool) << e.selected << e.supply_open
        << e.fire_handle_pulled << '\n';
  }
  for (std::size_t i = 0; i < of.count(component::engine_pump); ++i) {
    const auto& p = s.engine_pumps[i];
    out << "engine pump " << word(p.reason) << p.delivering << p.switched_on << word(p.health) << '\n';
  }
  for (std::size_t i = 0; i < of.count(component::electric_pump); ++i) {
    const auto& p = s.electric_pumps[i];
    out << "electric pump " << word(p.reason) << ' ' << word(p.demand) << p.delivering << word(p.switched)
        << word(p.health) << p.shed << '\n';
  }
  for (std::size_t i = 0; i < of.count(component::ram_air_pump); ++i) {
    out << "ram-air pump " << word(s.ram_air_pumps[i].mode) << s.ram_air_pumps[i].delivering << '\n';
  }
  for (std::size_t i = 0; i < of.count(component::circuit); ++i) {
    const auto& c = s.circuits[i];
    out << "circuit " << word(c.status) << c.pressure_made << c.at_pressure << c.own_source << c.driven
        << word(c.service) << word(c.level) << c.air_low << c.fluid_hot << '\n';
  }
  for (std::size_t i = 0; i < of.count(component::transfer_unit); ++i) {
    const auto& u = s.units[i];
    out << "unit " << word(u.mode) << ' ' << word(u.reason) << ' ' << u.reasons << ' ' << word(u.test) << ' '
        << word(u.outcome) << ' ' << word(u.test_reason_) << '\n';
  }
  for (std::size_t i = 0; i < of.count(component::cargo_door); ++i) {
    const auto& d = s.doors[i];
    out << "door " << word(d.mode) << ' ' << word(d.lever) << ' ' << word(d.travel) << d.can_move << '\n';
  }
  for (std::size_t i = 0; i < of.count(component::consumer); ++i) {
    out << "consumer " << s.consumers[i].available << word(s.consumers[i].reason) << int{s.consumers[i].fed_by} << '\n';
  }
  for (std::size_t i = 0; i < of.count(component::store); ++i) out << "store " << int{s.stored[i]} << '\n';
  for (std::size_t i = 0; i < of.count(component::bus); ++i) {
    out << "bus " << s.buses[i].powered << int{s.buses[i].source} << '\n';
  }
  std::vector<std::string> alerts;
  for (const observed_alert& a : s.alerts_standing()) {
    std::ostringstream line;
    line << "alert " << word(a.level) << ' ' << word(a.condition) << ' ' << of.name(a.about) << ' ' << a.onset << ' '
         << a.rule << ' ' << a.cause << a.acknowledged << a.inhibited << '\n';
    alerts.push_back(line.str());
  }
  std::sort(alerts.begin(), alerts.end());
  for (const std::string& line : alerts) out << line;
  return out.str();
}

/// Lines that differ between two such texts.
inline std::string difference_of(const std::string& one, const std::string& other) {
  std::istringstream a{one}, b{other};
  std::string la, lb, words;
  while (true) {
    const bool more_a = static_cast<bool>(std::getline(a, la)), more_b = static_cast<bool>(std::getline(b, lb));
    if (!more_a && !more_b) return words;
    if (!more_a) la.clear();
    if (!more_b) lb.clear();
    if (la != lb) words += "  " + la + "  |  " + lb + '\n';
  }
}

/// A scene: the state after so many random events from cold and dark, some of them with power and engines first.
inline state scene(dice& d, const layout& of, std::size_t length) {
  state now = cold_and_dark(of);
  if (below(d, 2) == 0) now = transition(of, now, events::external_power(true)).after;
  if (below(d, 2) == 0) {
    const unsigned e = static_cast<unsigned>(below(d, of.count(component::engine)));
    now = transition(of, now, events::start(e)).after;
    now = transition(of, now, events::spool(e, spool_band::idle)).after;
  }
  for (std::size_t i = 0; i < length; ++i) {
    const state after = transition(of, now, some_event(d, of)).after;
    if (after.chronicle.now < 20U * 3600U * 1000U) now = after;
  }
  return now;
}

}  // namespace penstock_tests
