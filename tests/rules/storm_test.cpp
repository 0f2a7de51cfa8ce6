// Random scenes and storms of events on three invented layouts: what must hold whatever happens. The random numbers
// have fixed seeds, so that a failure comes again.
#include <algorithm>
#include <random>
#include <sstream>
#include <vector>

#include "support/bench.hpp"
#include "support/rule_test.hpp"
#include "support/storm.hpp"

namespace penstock_tests {
namespace {

// ---- time and determinism

RULE_TEST(Storms, SplittingASpanOfTimeChangesNothing, "GEN-3") {
  dice d{20'240'601};
  for (const layout_spec& spec : three_layouts()) {
    const layout of = made(spec);
    for (int i = 0; i < 1'500; ++i) {
      const state from = scene(d, of, below(d, 40));
      const auto deadline = next_deadline(of, from);
      // Often split exactly at, one before and one after the next deadline.
      const std::int64_t near = deadline ? *deadline : 1'000;
      const std::int64_t a = below(d, 2) == 0
                                 ? std::max<std::int64_t>(0, near - 1 + static_cast<std::int64_t>(below(d, 3)))
                                 : static_cast<std::int64_t>(below(d, 200'000));
      const std::int64_t b = static_cast<std::int64_t>(below(d, 200'000));
      const outcome first = transition(of, from, events::elapsed(milliseconds{a}));
      const outcome second = transition(of, first.after, events::elapsed(milliseconds{b}));
      const outcome whole = transition(of, from, events::elapsed(milliseconds{a + b}));
      ASSERT_TRUE(first.what.accepted() && second.what.accepted() && whole.what.accepted());
      ASSERT_TRUE(second.after == whole.after)
          << spec.name << ", scene " << i << ": " << a << " ms and " << b << " ms\n"
          << difference_of(everything_seen(of, second.after), everything_seen(of, whole.after));
      ASSERT_EQ(first.what.rows + second.what.rows, whole.what.rows);
    }
  }
}

RULE_TEST(Storms, NothingHappensBeforeTheNextDeadline, "GEN-3") {
  dice d{77};
  for (const layout_spec& spec : three_layouts()) {
    const layout of = made(spec);
    for (int i = 0; i < 1'000; ++i) {
      const state from = scene(d, of, below(d, 40));
      const auto deadline = next_deadline(of, from);
      const std::uint32_t quiet = deadline ? (*deadline == 0 ? 0 : *deadline - 1) : 3'600'000;
      const outcome later = transition(of, from, events::elapsed(milliseconds{quiet}));
      ASSERT_TRUE(later.what.accepted());
      ASSERT_EQ(later.what.rows, 0U) << spec.name << ", scene " << i << ": a row is taken before the deadline";
      state expected = from;
      expected.chronicle.now = later.after.chronicle.now;
      expected.timers = later.after.timers;
      ASSERT_TRUE(expected == later.after) << spec.name << ", scene " << i;
    }
  }
}

RULE_TEST(Storms, TheSameEventsGiveTheSameBits, "GEN-3") {
  for (const layout_spec& spec : three_layouts()) {
    const layout of = made(spec), again = made(spec);
    dice d{4711};
    state one = cold_and_dark(of), other = cold_and_dark(again), in_place = cold_and_dark(of);
    for (int i = 0; i < 5'000; ++i) {
      const event happening = some_event(d, of);
      const outcome result = transition(of, one, happening);
      one = result.after;
      other = transition(again, other, happening).after;
      effects what{};
      apply(of, in_place, happening, what);
      ASSERT_TRUE(one == other) << in_words(of, happening);
      ASSERT_TRUE(one == in_place) << in_words(of, happening);
      ASSERT_EQ(what.rows, result.what.rows);
      ASSERT_EQ(what.refused.kind, result.what.refused.kind);
    }
  }
}

RULE_TEST(Storms, WhatWasRefusedLeavesEveryBit, "GEN-2") {
  std::size_t refusals = 0;
  for (const layout_spec& spec : three_layouts()) {
    const layout of = made(spec);
    dice d{99};
    state now = cold_and_dark(of);
    for (int i = 0; i < 30'000; ++i) {
      const event happening = some_event(d, of);
      const outcome result = transition(of, now, happening);
      if (!result.what.accepted()) {
        ++refusals;
        ASSERT_TRUE(result.after == now) << in_words(of, happening);
        ASSERT_EQ(result.what.rows, 0U) << in_words(of, happening);
        ASSERT_FALSE(result.what.refused.sentence.empty()) << in_words(of, happening);
        const refusal_kind kind = result.what.refused.kind;
        if (kind == refusal_kind::by_row || kind == refusal_kind::no_meaning || kind == refusal_kind::guard) {
          ASSERT_FALSE(result.what.refused.rule.empty()) << in_words(of, happening);
          // Facts and faults that are edges may have no meaning either; levels are always taken.
          constexpr event_kind edges[] = {event_kind::hang,   event_kind::flame_out,    event_kind::starter_out,
                                          event_kind::inject, event_kind::remove_fault, event_kind::clear_faults};
          const bool an_edge = std::ranges::find(edges, happening.kind) != std::end(edges);
          ASSERT_TRUE(form_of(happening.kind).is_command || an_edge) << in_words(of, happening);
        }
      }
      now = below(d, 500) == 0 ? cold_and_dark(of) : result.after;
    }
  }
  EXPECT_GT(refusals, 1'000U);
}

// ---- storms

bool service_branch_of(const layout_spec& spec, std::size_t consumer, std::uint8_t circuit) {
  for (const feed_spec& feed : spec.consumers[consumer].feeds) {
    if (feed.circuit == spec.circuits[circuit].name) return feed.branch == branch::service;
  }
  return false;
}

/// What must hold in every state. The first promise that is broken, or nothing.
std::string broken_promise(const layout& of, const state& now) {
  const layout_spec& spec = of.spec();
  const observation s = observe(of, now);
  const auto index_of = [&](const std::string& name) { return of.find(name)->index; };

  // 1. A unit that is off or inhibited transfers nothing.
  std::array<bool, limits::circuits> may_be_driven{};
  for (std::size_t u = 0; u < of.count(component::transfer_unit); ++u) {
    const observed_unit& unit = s.units[u];
    const bool transfers = unit.mode == unit_mode::a_drives_b || unit.mode == unit_mode::b_drives_a;
    if (transfers && unit.reasons != 0) return "a unit transfers though it is inhibited [PTU-12]";
    if ((unit.reason == unit_inhibition::none) != (unit.reasons == 0)) return "first reason and list differ [PTU-12]";
    if (!now.logic.units[u].switched_on && unit.mode != unit_mode::off) return "a unit is on though off [PTU-1]";
    if (unit.mode == unit_mode::inhibited && unit.reasons == 0) return "inhibited without a reason [PTU-12]";
    if (transfers && unit.mode == unit_mode::b_drives_a && spec.transfer_units[u].direction == unit_direction::a_to_b) {
      return "a one-way unit runs backwards [PTU-9]";
    }
    if (transfers) {
      const auto& driven = unit.mode == unit_mode::a_drives_b ? spec.transfer_units[u].b : spec.transfer_units[u].a;
      may_be_driven[index_of(driven)] = true;
    }
    // 6. A test has one outcome: pending exactly while it waits or holds.
    const bool undecided = unit.test == test_mode::waiting || unit.test == test_mode::holding;
    if (undecided != (unit.outcome == test_outcome::pending)) return "a test without exactly one outcome [PTU-5]";
    const bool explained = unit.outcome == test_outcome::interrupted || unit.outcome == test_outcome::not_run;
    if (explained != (unit.test_reason_ != test_reason::none)) return "an outcome without its reason [PTU-5]";
  }
  for (std::size_t c = 0; c < of.count(component::circuit); ++c) {
    const observed_circuit& circuit = s.circuits[c];
    if (circuit.driven && !may_be_driven[c]) return "a circuit is driven by no unit [PTU-1]";
    if (circuit.service == service_mode::service) {
      if (circuit.status != circuit_status::partial && circuit.status != circuit_status::low) {
        return "neither partial nor low in service mode [CGO-6]";
      }
      for (std::size_t u = 0; u < of.count(component::transfer_unit); ++u) {
        const bool linked = index_of(spec.transfer_units[u].a) == c || index_of(spec.transfer_units[u].b) == c;
        if (linked && s.units[u].reasons == 0) return "a unit is free in service mode [CGO-7]";
      }
    } else if (circuit.service == service_mode::none && circuit.status == circuit_status::partial) {
      // During the hold-off the pressure of service mode may still be decaying: that is partial too.
      return "partial outside service mode [CIR-1]";
    }
  }
  // 2. In service mode nothing outside the service branch is available from that circuit.
  for (std::size_t i = 0; i < of.count(component::consumer); ++i) {
    const observed_consumer& consumer = s.consumers[i];
    if (consumer.available != (consumer.reason == consumer_reason::available)) return "reason and availability differ";
    if (!consumer.available || consumer.fed_by == penstock::detail::nobody) continue;
    if (s.circuits[consumer.fed_by].service == service_mode::service && !service_branch_of(spec, i, consumer.fed_by)) {
      return "a consumer is fed past the isolation [CON-2]";
    }
  }
  // 3. The cargo-duty pump runs only for an asking door or for its crew switch.
  for (std::size_t p = 0; p < of.count(component::electric_pump); ++p) {
    const observed_electric_pump& pump = s.electric_pumps[p];
    if (pump.delivering != (pump.reason == electric_pump_reason::delivering)) return "pump and reason differ [CGO-14]";
    if (spec.electric_pumps[p].duty != pump_duty::cargo || !pump.delivering) continue;
    bool asked = pump.switched == pump_switch::on;
    for (std::size_t door = 0; door < of.count(component::cargo_door); ++door) {
      asked = asked || (spec.cargo_doors[door].circuit == spec.electric_pumps[p].circuit &&
                        s.doors[door].mode == door_mode::asking);
    }
    if (!asked) return "the cargo pump runs for nobody [CGO-1]";
    if (s.in_flight && pump.switched != pump_switch::on) return "the cargo pump runs for a door in flight [CGO-9]";
  }
  for (std::size_t p = 0; p < of.count(component::engine_pump); ++p) {
    const observed_engine_pump& pump = s.engine_pumps[p];
    if (pump.delivering != (pump.reason == engine_pump_reason::delivering)) return "pump and reason differ [EDP-5]";
  }
  // 5. Steering disconnected with an engine running shows the caution, and never the advisory with it.
  int steering_alerts = 0;
  alert_class steering_class = alert_class::none;
  for (const observed_alert& one : s.alerts_standing()) {
    if (one.condition != condition::steering) continue;
    ++steering_alerts;
    steering_class = one.level;
  }
  bool runs = s.in_flight;
  for (std::size_t e = 0; e < of.count(component::engine); ++e) {
    runs = runs || s.engines[e].mode == engine_mode::at_idle || s.engines[e].mode == engine_mode::running;
  }
  const alert_class wanted = s.steering == steering_mode::connected ? alert_class::none
                             : runs                                 ? alert_class::caution
                                                                    : alert_class::advisory;
  if (steering_class != wanted || steering_alerts > 1)
    return "the steering alert is wrong [STR-1, STR-2, STR-3, STR-6]";
  // Alerts: one for each condition and component; consequences behind their causes; no onset in the future.
  for (std::size_t i = 0; i < s.alerts; ++i) {
    const observed_alert& one = s.alert[i];
    if (one.onset > s.now) return "an onset in the future [ALR-2]";
    if (one.under >= static_cast<int>(i)) return "a consequence before its cause [ALR-7]";
    if (find_rule(one.rule.substr(0, one.rule.find(' '))) == nullptr) return "an alert without a rule [ALR-2]";
    for (std::size_t k = 0; k < i; ++k) {
      if (s.alert[k].condition == one.condition && s.alert[k].about == one.about) return "two alerts for one [ALR-4]";
    }
  }
  return {};
}

/// The shortest story found that breaks the same promise: events are left out as long as it still does.
std::vector<event> shortened(const layout& of, std::vector<event> story, const std::string& broken) {
  for (std::size_t i = 0; i < story.size();) {
    state now = cold_and_dark(of);
    for (std::size_t k = 0; k < story.size(); ++k) {
      if (k != i) now = transition(of, now, story[k]).after;
    }
    if (broken_promise(of, now) == broken) {
      story.erase(story.begin() + static_cast<std::ptrdiff_t>(i));
      i = 0;
    } else {
      ++i;
    }
  }
  return story;
}

void storm(const layout_spec& spec, std::uint64_t seed) {
  const layout of = made(spec);
  dice d{seed};
  state now = cold_and_dark(of);
  std::vector<event> since_cold;
  std::uint16_t most = 0;
  for (int i = 0; i < 200'000; ++i) {
    const event happening = some_event(d, of);
    const outcome result = transition(of, now, happening);
    ASSERT_FALSE(result.what.cut_short) << in_words(of, happening);
    ASSERT_GE(result.after.chronicle.now, now.chronicle.now) << "time runs backwards";
    most = std::max(most, result.what.rows);
    now = result.after;
    if (result.what.accepted()) since_cold.push_back(happening);
    const std::string broken = broken_promise(of, now);
    if (!broken.empty()) {
      std::string story;
      for (const event& one : shortened(of, since_cold, broken)) story += "  " + in_words(of, one) + '\n';
      FAIL() << spec.name << ", event " << i << ": " << broken << "\nafter cold and dark:\n" << story;
    }
    // Often begin anew, so that a broken promise has a short story.
    if (since_cold.size() > 60 || now.chronicle.now > 20U * 3600U * 1000U) {
      now = cold_and_dark(of);
      since_cold.clear();
    }
  }
  EXPECT_LT(most, effects::most_rows);
}

constexpr char storm_rules[] = "GEN-1 PTU-1 PTU-5 PTU-9 PTU-12 CGO-1 CGO-6 CGO-7 CON-2 STR-2 STR-3 ALR-4 ALR-7";

RULE_TEST(Storms, EveryPromiseHoldsOnTheTwin, storm_rules) { storm(three_layouts()[0], 1); }
RULE_TEST(Storms, EveryPromiseHoldsOnFourEngines, storm_rules) { storm(three_layouts()[1], 2); }
RULE_TEST(Storms, EveryPromiseHoldsOnTheSmallTwin, storm_rules) { storm(three_layouts()[2], 3); }

}  // namespace
}  // namespace penstock_tests
