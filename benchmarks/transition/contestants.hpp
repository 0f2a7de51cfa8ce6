// The solutions that are compared, each behind the same few words, and the comparison of their states.
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstring>  // memcpy
#include <memory>
#include <string>
#include <vector>

#include "hand_written.hpp"
#include "penstock/penstock.hpp"
#include "through_msm.hpp"

namespace contestants {

[[nodiscard]] inline const penstock::layout& aircraft() {
  static const penstock::layout made = *penstock::layout::from(penstock::layouts::twin_freighter());
  return made;
}

/// Whether the constants of the hand-written switch are those of the layout.
[[nodiscard]] inline bool same_numbers() {
  const auto& p = aircraft().plan();
  bool same = p.circuits_low_warning == by_hand::circuits_low_warning && p.engines == by_hand::engines &&
              p.circuits == by_hand::circuits && p.doors == by_hand::doors;
  for (unsigned d = 0; d < p.doors; ++d) same = same && p.door_at[d].run_limit == by_hand::run_limit_time;
  for (unsigned c = 0; c < p.circuits; ++c) {
    same = same && p.circuit_at[c].low_confirmation == by_hand::circuit_low_time;
  }
  for (unsigned e = 0; e < p.engine_pumps; ++e) {
    same = same && p.engine_pump_at[e].low_confirmation == by_hand::pump_low_time;
  }
  return same && p.circuit_at[by_hand::port].hold_off == by_hand::hold_off_time &&
         p.electric_pump_at[by_hand::keel_pump].touchdown_delay == by_hand::touchdown_time &&
         p.unit_at[0].test_limit == by_hand::test_time && p.unit_at[0].test_confirmation == by_hand::test_hold_time;
}

/// penstock in place.
class library {
 public:
  penstock::refusal_kind handle(const penstock::event& e) {
    penstock::apply(layout_, state_, e, what_);
    return what_.refused.kind;
  }
  [[nodiscard]] const penstock::state& now() const { return state_; }

 private:
  const penstock::layout& layout_ = aircraft();
  penstock::state state_ = penstock::cold_and_dark(layout_);
  penstock::effects what_{};
};

/// penstock by value: a state in, a state out.
class library_by_value {
 public:
  penstock::refusal_kind handle(const penstock::event& e) {
    const auto result = penstock::transition(layout_, state_, e);
    state_ = result.after;
    return result.what.refused.kind;
  }

 private:
  const penstock::layout& layout_ = aircraft();
  penstock::state state_ = penstock::cold_and_dark(layout_);
};

[[nodiscard]] inline by_hand::aircraft new_hand_written() {
  by_hand::aircraft::most_applications = aircraft().plan().store_at[0].most_applications;
  by_hand::aircraft made;
  made.stored = by_hand::aircraft::most_applications;
  return made;
}

class hand_written {
 public:
  penstock::refusal_kind handle(const penstock::event& e) { return state_.handle(e); }
  [[nodiscard]] const by_hand::aircraft& now() const { return state_; }

 private:
  by_hand::aircraft state_ = new_hand_written();
};

class hand_written_by_value {
 public:
  struct result {
    by_hand::aircraft after;
    penstock::refusal_kind refused;
  };
  [[gnu::noinline]] static result transition(const by_hand::aircraft& before, const penstock::event& e) {
    result made{before, {}};
    made.refused = made.after.handle(e);
    return made;
  }
  penstock::refusal_kind handle(const penstock::event& e) {
    const auto made = transition(state_, e);
    state_ = made.after;
    return made.refused;
  }

 private:
  by_hand::aircraft state_ = new_hand_written();
};

class msm {
 public:
  msm() : memory_(new std::max_align_t[through_msm::state_size() / sizeof(std::max_align_t) + 1]) {
    through_msm::begin(memory_.get());
  }
  penstock::refusal_kind handle(const penstock::event& e) {
    return static_cast<penstock::refusal_kind>(through_msm::handle(memory_.get(), &e));
  }
  [[nodiscard]] penstock::state now() const {
    penstock::state copy;  // NOLINT(cppcoreguidelines-pro-type-member-init): filled by memcpy
    std::memcpy(static_cast<void*>(&copy), memory_.get(), sizeof copy);
    return copy;
  }

 private:
  std::unique_ptr<std::max_align_t[]> memory_;
};

/// The first thing in which penstock and Boost.MSM differ, or an empty text. The numbers of rows are
/// left out, because Boost.MSM does not tell them; so is since when a transfer test is as it is, because that
/// counts from the row that changed its record, even one that stays in its mode.
[[nodiscard]] inline std::string difference(penstock::state a, penstock::state b) {
  a.chronicle.machine_row.fill(0);
  b.chronicle.machine_row.fill(0);
  using places = penstock::detail::machine_places;
  const std::size_t tests = places::first[static_cast<std::size_t>(penstock::machine::transfer_test)];
  for (std::size_t unit = 0; unit < penstock::limits::transfer_units; ++unit) {
    a.chronicle.machine_since[tests + unit] = 0;
    b.chronicle.machine_since[tests + unit] = 0;
  }
  if (!(a.logic == b.logic)) return "logic";
  if (!(a.timers == b.timers)) return "timers";
  if (!(a.faults == b.faults)) return "faults";
  if (!(a.chronicle == b.chronicle)) return "chronicle";
  return {};
}

/// The first thing in which penstock and the hand-written switch differ, or an empty text.
[[nodiscard]] inline std::string difference(const penstock::state& s, const by_hand::aircraft& h) {
  using namespace penstock;
  const auto& logic = s.logic;
  std::string found;
  const auto same = [&found](auto a, auto b, const char* what, unsigned i = 0) {
    if (!(a == b) && found.empty()) found = std::string{what} + ' ' + std::to_string(i);
  };
  for (unsigned e = 0; e < by_hand::engines; ++e) {
    const auto x = logic.engines[e];
    const auto& y = h.engine[e];
    same(x.mode, y.mode, "engine mode", e);
    same(x.spool, y.spool, "spool", e);
    same(x.selection == selection_mode::selected, y.selected, "selection", e);
    same(x.supply == valve_mode::closed, y.supply_closed, "supply valve", e);
    same(bool{x.starter_is_out}, y.starter_out, "starter", e);
    same(bool{x.fire_handle_pulled}, y.handle_pulled, "fire handle", e);
    same(unsigned{x.running_rank}, unsigned{y.running_rank}, "running rank", e);
    same(unsigned{x.cranking_rank}, unsigned{y.cranking_rank}, "cranking rank", e);
  }
  for (unsigned p = 0; p < 2; ++p) {
    const auto x = logic.engine_pumps[p];
    const auto& y = h.engine_pumps[p];
    same(x.health, y.health, "engine pump health", p);
    same(x.mode == pump_mode::delivering, y.delivers, "engine pump mode", p);
    same(bool{x.switched_on}, y.switched_on, "engine pump switch", p);
    same(bool{x.failure_present}, y.failure, "engine pump failure", p);
    same(bool{x.overheated}, y.hot, "engine pump overheat", p);
    same(s.timers.pump_low[p], y.low_for, "engine pump timer", p);
  }
  for (unsigned p = 0; p < 2; ++p) {
    const auto x = logic.electric_pumps[p];
    const auto& y = h.electric_pumps[p];
    same(x.health, y.health, "electric pump health", p);
    same(x.mode == pump_mode::delivering, y.delivers, "electric pump mode", p);
    same(x.demand, y.demand, "electric pump demand", p);
    same(x.switched, y.switched, "electric pump switch", p);
    same(bool{x.failure_present}, y.failure, "electric pump failure", p);
    same(bool{x.overheated}, y.hot, "electric pump overheat", p);
    same(bool{x.shed}, y.shed, "electric pump shed", p);
  }
  for (unsigned d = 0; d < by_hand::doors; ++d) {
    const auto x = logic.doors[d];
    const auto& y = h.door[d];
    same(x.mode, y.mode, "door mode", d);
    same(x.lever, y.lever, "lever", d);
    same(x.travel, y.travel, "travel", d);
    same(bool{x.lever_reported}, y.lever_reported, "lever report", d);
    same(s.timers.door_run[d], y.ran_for, "door timer", d);
  }
  for (unsigned c = 0; c < by_hand::circuits; ++c) {
    const auto x = logic.circuits[c];
    const auto& y = h.circuit[c];
    same(x.level, y.level, "level", c);
    same(bool{x.pressure_made}, y.made, "pressure", c);
    same(bool{x.above_priority}, y.above_priority, "priority", c);
    same(bool{x.air_low}, y.air_low, "air", c);
    same(bool{x.fluid_hot}, y.hot, "fluid", c);
    same(x.service, c == by_hand::port ? h.service : service_mode::none, "service mode", c);
    same(s.timers.hold_off[c], c == by_hand::port ? h.hold_off_for : 0, "hold-off timer", c);
    same(s.timers.circuit_low[c], y.low_for, "circuit timer", c);
  }
  const auto u = logic.units[0];
  same(u.mode, h.unit.mode, "unit mode");
  same(u.test, h.unit.test, "test mode");
  same(u.outcome, h.unit.outcome, "test outcome");
  same(u.reason, h.unit.reason, "test reason");
  same(u.difference, h.unit.difference, "difference");
  same(bool{u.switched_on}, h.unit.switched_on, "unit switch");
  same(bool{u.overspeed}, h.unit.overspeed, "overspeed");
  same(bool{u.failed_caution}, h.unit.failed_caution, "test caution");
  same(bool{u.test_from_b}, h.unit.test_from_b, "test direction");
  same(unsigned{u.judged}, unsigned{h.unit.judged}, "judged");
  same(unsigned{u.second}, unsigned{h.unit.second}, "second");
  same(s.timers.test[0], h.unit.tested_for, "test timer");
  same(s.timers.test_held[0], h.unit.held_for, "test hold timer");
  same(s.timers.touchdown[by_hand::keel_pump], h.touched_down_for, "touchdown timer");
  const auto a = logic.aircraft;
  same(a.steering, h.steering, "steering");
  same(a.ram_air, h.ram_air, "ram air");
  same(a.where == air_ground::air, h.in_flight, "air/ground");
  same(bool{a.air_ground_valid}, h.air_ground_valid, "air/ground validity");
  same(bool{a.external_power}, h.external_power, "external power");
  same(bool{a.auxiliary_power}, h.auxiliary_power, "auxiliary power");
  same(bool{a.parking_brake_set}, h.brake_set, "parking brake");
  same(bool{a.gear_down}, h.gear_down, "gear");
  same(a.airspeed, h.airspeed, "airspeed");
  same(a.phase, h.phase, "phase");
  same(unsigned{a.stored_0}, unsigned{h.stored}, "store");
  same(s.chronicle.now, h.now, "time");
  for (unsigned f = 0; f < h.faults.size(); ++f) {
    same(s.faults[f].status, h.faults[f].status, "fault status", f);
    same(s.faults[f].seen_in_air, h.faults[f].seen_in_air, "fault trigger", f);
  }
  if (!found.empty()) return found;

  // alerts with class and onset; first slot of each condition, or none where this aircraft cannot show it
  constexpr int none = -1;
  constexpr std::array<int, count_of<condition>> first{
      by_hand::circuits_low,   by_hand::engine_pump,     by_hand::electric_pump, by_hand::circuit_low,
      by_hand::quantity,       by_hand::reservoir_air,   by_hand::fluid_hot,     by_hand::lever_out,
      by_hand::run_limit,      by_hand::door_not_closed, by_hand::transfer_test, by_hand::transfer_failed,
      none,                    by_hand::steering_alert,  by_hand::brake_alert,   by_hand::air_ground_alert,
      by_hand::ram_air_alert,  none};
  const auto seen = observe(aircraft(), s);
  unsigned standing = 0;
  for (const auto& alert : seen.alerts_standing()) {
    const int slot = first[static_cast<std::size_t>(alert.condition)];
    if (slot == none) return "alert that this aircraft cannot show";
    const auto at = static_cast<unsigned>(slot) + alert.about.index;
    same(alert.level, h.alerts[at], "alert class", at);
    same(alert.onset, h.alert_since[at], "alert onset", at);
    same(alert.acknowledged, (h.acknowledged >> at & 1U) != 0, "acknowledged", at);
    ++standing;
  }
  const auto raised = std::count_if(h.alerts.begin(), h.alerts.end(), [](auto x) { return x != alert_class::none; });
  same(standing, static_cast<unsigned>(raised), "number of alerts");
  return found;
}

}  // namespace contestants
