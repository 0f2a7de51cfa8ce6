// Random scenes and storms of events on three invented layouts: what must hold whatever happens. The random numbers
// have fixed seeds, so that a failure comes again.
#include <algorithm>
#include <random>
#include <sstream>
#include <vector>

#include "support/bench.hpp"
#include "support/rule_test.hpp"

namespace penstock_tests {
namespace {

using dice = std::mt19937_64;

/// Uniform enough, and the same on every C++ library.
std::size_t below(dice& d, std::size_t limit) { return limit == 0 ? 0 : static_cast<std::size_t>(d() % limit); }

subject some(dice& d, const layout& of, component kind) {
  return {kind, static_cast<std::uint8_t>(below(d, of.count(kind)))};
}

subject occasion_of(dice& d, const layout& of, fault_trigger trigger) {
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
event some_event(dice& d, const layout& of) {
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
std::vector<layout_spec> three_layouts() {
  std::vector<layout_spec> specs{two_engine_spec(), four_engine_spec(), small_twin_spec()};
  specs[1].transfer_units[0].stops_on_low_air = true;
  specs[1].transfer_units[0].stops_on_hot_fluid = true;
  specs[1].transfer_units[0].stops_on_overspeed = true;
  specs[1].transfer_units[0].maintenance_test = true;
  specs[1].transfer_units[1].direction = unit_direction::a_to_b;
  specs[1].transfer_units[1].scope = inhibit_scope::ground;
  return specs;
}

layout made(layout_spec spec) {
  auto checked = layout::from(std::move(spec));
  if (!checked) throw std::invalid_argument(to_string(checked.problem()));
  return *std::move(checked);
}

std::string in_words(const layout& of, const event& e) {
  std::string words = testing::PrintToString(e);
  if (e.about.kind != component::aircraft) words += " [" + std::string{of.name(e.about)} + ']';
  return words;
}

/// Everything that can be seen, as text, alerts in any order.
std::string everything_seen(const layout& of, const state& now) {
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
std::string difference_of(const std::string& one, const std::string& other) {
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
state scene(dice& d, const layout& of, std::size_t length) {
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

// ---- simultaneous events

/// Two events in both orders: the scene, what the first leads to, and both.
struct both_orders {
  const state &from, &middle, &other_middle, &end, &other_end;
  const event &one, &other;
  [[nodiscard]] bool has(event_kind kind) const { return one.kind == kind || other.kind == kind; }
};

bool only_one_loses_a_running_timer(const both_orders& o) {
  const auto loses = [&](const auto& before, const auto& a, const auto& b) {
    for (std::size_t i = 0; i < before.size(); ++i) {
      if (before[i] != 0 && (a[i] == 0) != (b[i] == 0)) return true;
    }
    return false;
  };
  const timer_state &f = o.from.timers, &m = o.middle.timers, &n = o.other_middle.timers;
  return loses(f.circuit_low, m.circuit_low, n.circuit_low) || loses(f.pump_low, m.pump_low, n.pump_low) ||
         loses(f.touchdown, m.touchdown, n.touchdown);
}

/// The list of exceptions: pairs of events on different components whose order within a frame matters, each with its
/// reason. Everything else must give the same observation in either order. Empty: no exception.
std::string_view reason_to_differ(const both_orders& o) {
  if (o.one.kind == event_kind::start && o.other.kind == event_kind::start) {
    return "the engine that is selected first is the first [ENG-7]";
  }
  if (o.has(event_kind::acknowledge) || o.has(event_kind::recall)) {
    return "acts on the alerts that stand when it comes [ALR-6]";
  }
  if (o.has(event_kind::clear_faults)) return "ends the faults that are there when it comes [INS-1]";
  for (const event* e : {&o.one, &o.other}) {
    if (e->kind == event_kind::inject && e->trigger != fault_trigger::at_once) {
      return "an occasion may have passed before the fault was armed for it [INS-1]";
    }
  }
  for (std::size_t f = 0; f < limits::faults; ++f) {
    if (o.end.faults[f].status != o.other_end.faults[f].status) {
      return "an occasion that lasts no longer than an instant sets off a fault too [INS-1]";
    }
  }
  for (std::size_t d = 0; d < limits::cargo_doors; ++d) {
    if (o.end.logic.doors[d].lever_reported != o.other_end.logic.doors[d].lever_reported) {
      return "a lever is looked at when the start or the lift-off comes [CGO-15]";
    }
  }
  for (std::size_t c = 0; c < limits::circuits; ++c) {
    const auto holds_off = [c](const state& s) { return s.logic.circuits[c].service == service_mode::hold_off; };
    if (holds_off(o.end) != holds_off(o.other_end)) {
      return "service mode that lasted no longer than an instant has its hold-off too [CGO-7]";
    }
  }
  for (std::size_t u = 0; u < limits::transfer_units; ++u) {
    const unit_state &a = o.end.logic.units[u], &b = o.other_end.logic.units[u];
    if (a.outcome != b.outcome || a.reason != b.reason || a.judged != b.judged) {
      return "a test is judged by what holds when its engine becomes second, and its first decision stands [PTU-3, "
             "PTU-5]";
    }
  }
  if (o.has(event_kind::air_ground) && o.end.logic.aircraft.ram_air != o.other_end.logic.aircraft.ram_air) {
    return "the last engine stopped before or after the landing [RAT-1, AUX-2]";
  }
  if (only_one_loses_a_running_timer(o)) {
    return "a condition that ended for an instant begins anew, with its timer [EDP-3, CIR-3, AUX-2]";
  }
  const std::uint64_t stood = o.from.chronicle.alerts_standing;
  if ((stood & (o.middle.chronicle.alerts_standing ^ o.other_middle.chronicle.alerts_standing)) != 0) {
    return "an alert that ended for an instant has a new onset and is not acknowledged [ALR-2, ALR-6]";
  }
  return {};
}

RULE_TEST(Storms, SimultaneousEventsOnDifferentComponentsMayComeInEitherOrder, "GEN-3") {
  std::size_t compared = 0, excepted = 0;
  for (const layout_spec& spec : three_layouts()) {
    const layout of = made(spec);
    dice d{31'415};
    for (int i = 0; i < 4'000; ++i) {
      const state from = scene(d, of, below(d, 30));
      for (int pair = 0; pair < 10; ++pair) {
        const event one = some_event(d, of), other = some_event(d, of);
        if (one.about == other.about || one.kind == event_kind::elapsed || other.kind == event_kind::elapsed) continue;
        const outcome a1 = transition(of, from, one), b1 = transition(of, from, other);
        const outcome a2 = transition(of, a1.after, other), b2 = transition(of, b1.after, one);
        // A command is judged by what holds when it comes [GEN-1, GEN-2]: refused in one order, accepted in the other.
        if (a1.what.accepted() != b2.what.accepted() || b1.what.accepted() != a2.what.accepted()) {
          ++excepted;
          continue;
        }
        ++compared;
        const std::string first = everything_seen(of, a2.after), second = everything_seen(of, b2.after);
        if (first == second) continue;
        if (!reason_to_differ({from, a1.after, b1.after, a2.after, b2.after, one, other}).empty()) {
          ++excepted;
          continue;
        }
        ASSERT_EQ(first, second) << spec.name << ", scene " << i << ": " << in_words(of, one) << " and "
                                 << in_words(of, other) << '\n'
                                 << difference_of(first, second);
      }
    }
  }
  EXPECT_GT(compared, 50 * excepted) << "the exceptions are few";
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
