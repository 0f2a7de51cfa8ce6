// One event through all machines, in the order of GEN-3.
//
// Why settling is bounded [GEN-1]: nothing that a machine reads is decided by a machine behind it in the
// order of a frame, so one ordered pass reaches the fixed point. Within its turn a machine moves at most once
// for each of its modes. Timers only grow between passes. Only an armed fault may look back: its trigger can be
// what a pass has just done. Each fault becomes active once, so there is at most one pass more for each fault.
//
// Every state that comes out of here is settled, and settling a settled state changes nothing. So a fact that
// says what is known already, and a span of time in which nothing falls due, need no settling at all.
#pragma once

#include <limits>

#include "penstock/detail/rows.hpp"
#include "penstock/detail/timers.hpp"
#include "penstock/detail/view.hpp"
#include "penstock/transition.hpp"

namespace penstock::inline v1 {

namespace detail {

/// Lets one event settle in a state that it changes in place.
class settling {
 public:
  settling(const plan& of, state& changed, effects& what) : p_(of), s_(changed), out_(what), v_(of, changed) {}

  /// Everything in order, and again for faults that were waiting for what has happened.
  void run() {
    std::uint8_t passes = 0;
    trigger_faults();
    do {
      engines();
      power();
      doors();
      pumps();
      service();
      units();
      ++passes;
    } while (trigger_faults());
    out_.passes = std::max(out_.passes, passes);
    reset_timers();
    alerts();
  }

  /// An event for one engine: its machine and the selection of its start.
  void engine_event(unsigned e, machines::engine::happens happening) {
    namespace engine = machines::engine;
    namespace selection = machines::start_selection;
    auto& at = s_.logic.engines[e];
    const bool was_cranking = at.mode == engine_mode::cranking;
    const bool taken = engine_step(e, happening);
    bool selection_taken = false;
    const auto select = [&](selection::happens which) {
      auto mode = at.selection;
      machines::no_memory nothing;
      const auto step = take<selection::model>(machine::start_selection, e, mode, nothing, {was_cranking}, which);
      at.selection = mode;
      selection_taken = step.row >= 0;
    };
    switch (happening) {
      case engine::happens::start:
        if (taken) {
          select(selection::happens::start);
          report_levers();
        }
        break;
      case engine::happens::abort: if (taken) select(selection::happens::abort); break;
      case engine::happens::shut_down: select(selection::happens::shut_down); break;
      case engine::happens::hang: if (taken) select(selection::happens::hang); break;
      case engine::happens::flame_out: if (taken) select(selection::happens::flame_out); break;
      default: break;  // the starter's cut-out leaves the selection as it is
    }
    // GEN-2 speaks of commands: a fact that a device repeats each frame changes nothing and is no mistake
    const bool is_command = happening == engine::happens::start || happening == engine::happens::abort ||
                            happening == engine::happens::shut_down;
    if (is_command && !taken && !selection_taken) {
      refuse_meaningless("the engine is in a state in which this has no meaning");
    }
  }

  /// A command for one machine, which may refuse it. `unknown` is the reason when no row knows it.
  template <class Model>
  bool command(machine which, unsigned index, typename Model::modes& mode, typename Model::memory& memory,
               const typename Model::inputs& in, typename Model::events happening, std::string_view unknown) {
    const auto step = take<Model>(which, index, mode, memory, in, happening);
    if (step.row < 0) {
      out_.refused = {step.known ? refusal_kind::guard : refusal_kind::no_meaning, "GEN-2", unknown};
      return false;
    }
    return out_.refused.kind == refusal_kind::none;
  }

  void refuse_meaningless(std::string_view why) { out_.refused = {refusal_kind::no_meaning, "GEN-2", why}; }

  /// Levers out of neutral at an engine start or lift-off are remembered until neutral [CGO-15].
  void report_levers() {
    for (unsigned d = 0; d < p_.doors; ++d) {
      if (v_.lever(d) != lever_position::neutral) s_.logic.doors[d].lever_reported = true;
    }
  }

  [[nodiscard]] const view& seen() const { return v_; }

  /// To be called when a fault has begun or ended.
  void faults_changed() {
    v_.read_faults();
    v_.refresh();
  }

  void pump_health_event(bool electric, unsigned pump, machines::pump_health::happens happening) {
    namespace health = machines::pump_health;
    const unsigned index = electric ? electric_offset + pump : pump;
    const bool failing = electric ? s_.logic.electric_pumps[pump].failure_present : s_.logic.engine_pumps[pump].failure_present;
    const bool dry = !electric && p_.engine_pump_at[pump].dry_damage != 0 &&
                     s_.timers.engine_pump_dry[pump] >= p_.engine_pump_at[pump].dry_damage;
    const health::inputs in{failing || v_.faulty(fault::pump_failed, index), v_.faulty(fault::shaft_sheared, index), dry};
    health_mode mode = electric ? s_.logic.electric_pumps[pump].health : s_.logic.engine_pumps[pump].health;
    machines::no_memory nothing;
    if (happening == health::happens::reset) {
      command<health::model>(machine::pump_health, index, mode, nothing, in, happening, "the pump has no latched failure");
    } else {
      take_all<health::model>(machine::pump_health, index, mode, nothing, in, happening);
    }
    if (electric) {
      s_.logic.electric_pumps[pump].health = mode;
    } else {
      s_.logic.engine_pumps[pump].health = mode;
    }
  }

  /// Damage goes with the faults that an instructor takes away [INS-1].
  void repair() {
    for (unsigned e = 0; e < p_.engine_pumps; ++e) pump_health_event(false, e, machines::pump_health::happens::repair);
    for (unsigned e = 0; e < p_.electric_pumps; ++e) pump_health_event(true, e, machines::pump_health::happens::repair);
  }

  void maintenance_test(unsigned u) {
    namespace test = machines::transfer_test;
    const auto ground = test_inputs(u, test::happens::maintenance);
    if (!p_.unit_at[u].maintenance_test) {
      out_.refused = {refusal_kind::not_fitted, "PTU-15", "this transfer unit has no maintenance test"};
      return;
    }
    auto in = ground;
    in.hindrance = machines::transfer_test::hindrances::answer<test_reason>(start_facts(u, true));
    if (test_event(u, test::happens::maintenance, in, true)) {
      auto& unit = s_.logic.units[u];
      unit.maintenance = true;
      unit.test_from_b = v_.own_pressure(p_.unit_at[u].b);
      unit.second = 0;
    }
  }

 private:
  template <class Model>
  machines::step_taken take(machine which, unsigned index, typename Model::modes& mode, typename Model::memory& memory,
                            const typename Model::inputs& in, typename Model::events happening) {
    const auto before = mode;
    const auto step = machines::step<Model>(mode, memory, in, happening);
    if (step.row >= 0) {
      note(which, index, machines::rows_as_data<Model>[static_cast<std::size_t>(step.row)], step.row, mode != before);
    }
    return step;
  }

  /// A row was taken. Apart from `take`, so that the ordinary case, no row, stays small enough to be inlined.
  [[gnu::noinline]] void note(machine which, unsigned index, const table_row& row, int number, bool left) {
    if (row.refuses) {
      out_.refused = {refusal_kind::by_row, first_rule(row.rules), row.sentence};
      return;
    }
    const auto row_number = static_cast<std::uint8_t>(number);
    add_row(out_, {s_.chronicle.now, which, static_cast<std::uint8_t>(index), row_number});
    // a test that is judged and cannot run stays idle, and yet its record has changed
    const bool record_changed = which == machine::transfer_test && row.action != "nothing";
    if (!left && !record_changed) return;
    const auto place = place_of(which, index);
    s_.chronicle.machine_since[place] = s_.chronicle.now;
    s_.chronicle.machine_row[place] = row_number;
  }

  /// Repeats an event until no row takes it: at most once for each mode and once more. Says whether any did.
  template <class Model>
  bool take_all(machine which, unsigned index, typename Model::modes& mode, typename Model::memory& memory,
                const typename Model::inputs& in, typename Model::events happening) {
    bool taken = false;
    for (std::size_t i = 0; i <= count_of<typename Model::modes>; ++i) {
      if (take<Model>(which, index, mode, memory, in, happening).row < 0) break;
      taken = true;
    }
    return taken;
  }

  static std::string_view first_rule(std::string_view rules) { return rules.substr(0, rules.find(' ')); }

  // --- engines -------------------------------------------------------------------------------------
  bool engine_step(unsigned e, machines::engine::happens happening) {
    namespace engine = machines::engine;
    auto& at = s_.logic.engines[e];
    const bool cranked = at.mode == engine_mode::cranking;
    const bool ran = has(v_.running(), e);
    auto mode = at.mode;
    engine::memory memory{at.starter_is_out};
    const bool taken = take<engine::model>(machine::engine, e, mode, memory, {at.spool}, happening).row >= 0;
    if (!taken) return false;
    at.mode = mode;
    at.starter_is_out = memory.starter_is_out;
    v_.refresh();
    rank(e, cranked, mode == engine_mode::cranking, false);
    rank(e, ran, has(v_.running(), e), true);
    return true;
  }

  /// Keeps the order in which engines began to run, or to crank, as ranks without gaps [ENG-7].
  void rank(unsigned e, bool was, bool is, bool running) {
    if (was == is) return;
    const auto of = [running](engine_state& x) -> std::uint8_t { return running ? x.running_rank : x.cranking_rank; };
    const std::uint8_t mine = of(s_.logic.engines[e]);
    std::uint8_t last = 0;
    for (unsigned i = 0; i < p_.engines; ++i) {
      auto& other = s_.logic.engines[i];
      if (!is && of(other) > mine) write_rank(other, running, static_cast<std::uint8_t>(of(other) - 1));
      last = std::max(last, of(other));
    }
    write_rank(s_.logic.engines[e], running, is ? static_cast<std::uint8_t>(last + 1) : std::uint8_t{0});
  }

  void engines() {
    namespace engine = machines::engine;
    for (unsigned e = 0; e < p_.engines; ++e) {
      auto& at = s_.logic.engines[e];
      if (v_.faulty(fault::engine_hangs, e) && at.mode == engine_mode::cranking && at.spool >= spool_band::driving) {
        engine_event(e, engine::happens::hang);
      }
      if (v_.faulty(fault::engine_flames_out, e) && (at.mode == engine_mode::cranking || has(v_.running(), e))) {
        engine_event(e, engine::happens::flame_out);
      }
      for (std::size_t i = 0; i <= count_of<engine_mode>; ++i) {
        if (!engine_step(e, engine::happens::evaluate)) break;
      }
    }
  }

  void power() {
    for (unsigned b = 0; b < p_.buses; ++b) {
      const auto source = v_.live_source(b);
      if (source == s_.chronicle.bus_source[b]) continue;
      s_.chronicle.bus_source[b] = source;
      s_.chronicle.input_since[place_of(mark::bus, b)] = s_.chronicle.now;
    }
  }

  // --- doors ---------------------------------------------------------------------------------------
  void doors() {
    namespace door = machines::cargo_door;
    for (unsigned d = 0; d < p_.doors; ++d) {
      auto& at = s_.logic.doors[d];
      const bool out = v_.lever(d) != lever_position::neutral;
      if (!out) {
        at.lever_reported = false;
        s_.timers.door_run[d] = 0;
      }
      auto mode = at.mode;
      machines::no_memory nothing;
      const door::inputs in{out, v_.end_made(d), v_.may_ask(d), s_.timers.door_run[d] >= p_.door_at[d].run_limit};
      if (take_all<door::model>(machine::cargo_door, d, mode, nothing, in, door::happens::evaluate)) at.mode = mode;
    }
  }

  // --- pumps ---------------------------------------------------------------------------------------
  void pumps() {
    namespace pump = machines::engine_pump;
    for (unsigned e = 0; e < p_.engine_pumps; ++e) {
      pump_health_event(false, e, machines::pump_health::happens::evaluate);
      auto& at = s_.logic.engine_pumps[e];
      auto mode = at.mode;
      machines::no_memory nothing;
      const pump::inputs in{v_.engine_pump_why(e)};
      if (take_all<pump::model>(machine::engine_pump, e, mode, nothing, in, pump::happens::evaluate)) at.mode = mode;
    }
    for (unsigned e = 0; e < p_.electric_pumps; ++e) electric_pump(e);
    for (unsigned r = 0; r < p_.ram_air_pumps; ++r) {
      namespace ram = machines::ram_air_pump;
      auto mode = s_.logic.aircraft.ram_air;
      machines::no_memory nothing;
      if (take_all<ram::model>(machine::ram_air_pump, r, mode, nothing, ram_air_inputs(), ram::happens::evaluate)) {
        s_.logic.aircraft.ram_air = mode;
      }
    }
  }

 public:
  [[nodiscard]] machines::ram_air_pump::inputs ram_air_inputs() const {
    return {v_.in_flight(), s_.logic.aircraft.airspeed == airspeed_band::fast, !v_.any_engine(), v_.main_ac_lost()};
  }
  [[nodiscard]] machines::first_engine_demand::inputs first_engine_inputs(unsigned e) const {
    return {v_.any_engine(), v_.in_flight(), s_.logic.electric_pumps[e].switched == pump_switch::off,
            s_.timers.touchdown[e] >= p_.electric_pump_at[e].touchdown_delay};
  }

 private:
  void electric_pump(unsigned e) {
    const auto& spec = p_.electric_pump_at[e];
    auto& at = s_.logic.electric_pumps[e];
    machines::no_memory nothing;
    limiter(e, machines::start_limiter::happens::evaluate);

    auto demand = at.demand;
    bool moves = false;
    switch (spec.duty) {
      case pump_duty::cargo: {
        namespace cargo = machines::cargo_demand;
        moves = take_all<cargo::model>(machine::cargo_demand, e, demand, nothing, v_.cargo_inputs(e), cargo::happens::evaluate);
        break;
      }
      case pump_duty::first_engine: {
        namespace first = machines::first_engine_demand;
        const auto in = first_engine_inputs(e);
        moves = take_all<first::model>(machine::first_engine_demand, e, demand, nothing, in, first::happens::evaluate);
        break;
      }
      case pump_duty::none: {
        namespace plain = machines::plain_demand;
        const plain::inputs in{at.switched == pump_switch::on};
        moves = take_all<plain::model>(machine::plain_demand, e, demand, nothing, in, plain::happens::evaluate);
        break;
      }
    }
    if (moves) at.demand = demand;

    pump_health_event(true, e, machines::pump_health::happens::evaluate);

    namespace run = machines::electric_pump;
    auto mode = at.mode;
    const bool was_stopped = mode == pump_mode::stopped;
    const run::inputs in{v_.electric_pump_why(e)};
    if (take_all<run::model>(machine::electric_pump, e, mode, nothing, in, run::happens::evaluate)) at.mode = mode;
    if (was_stopped && mode == pump_mode::delivering) limiter(e, machines::start_limiter::happens::started);
  }

  void limiter(unsigned e, machines::start_limiter::happens happening) {
    namespace limit = machines::start_limiter;
    const auto& spec = p_.electric_pump_at[e];
    if (spec.starts_allowed == 0) return;  // this pump has no limiter
    auto& at = s_.logic.electric_pumps[e];
    auto mode = at.limiter;
    limit::memory memory{at.starts};
    const limit::inputs in{static_cast<std::uint8_t>(spec.starts_allowed), s_.timers.start_period[e] >= spec.start_period,
                           s_.timers.cooling[e] >= spec.cooling};
    take<limit::model>(machine::start_limiter, e, mode, memory, in, happening);
    at.limiter = mode;
    at.starts = memory.starts & 15U;
    // the timer belongs to the starts it counts: forgotten with them, so that the row holds only once
    if (memory.starts == 0) s_.timers.start_period[e] = 0;
  }

  // --- service mode ----------------------------------------------------------------------------------
  void service() {
    namespace svc = machines::service;
    for (unsigned c = 0; c < p_.circuits; ++c) {
      const auto pump = p_.circuit_at[c].cargo_pump;
      if (pump == nobody) continue;
      const auto& cargo = s_.logic.electric_pumps[pump];
      auto mode = s_.logic.circuits[c].service;
      machines::no_memory nothing;
      svc::inputs in{cargo.mode == pump_mode::delivering && cargo.demand == demand_mode::door,
                     v_.engine_source(c) || v_.electric_source(c, bit(pump)) || v_.ram_air_source(c),
                     cargo.switched == pump_switch::on, v_.in_flight(), false};
      for (std::size_t i = 0; i <= count_of<service_mode>; ++i) {
        in.hold_off_over = s_.timers.hold_off[c] >= p_.circuit_at[c].hold_off;
        if (take<svc::model>(machine::service, c, mode, nothing, in, svc::happens::evaluate).row < 0) break;
        s_.logic.circuits[c].service = mode;
        s_.timers.hold_off[c] = 0;  // each hold-off counts from its own beginning
      }
    }
  }

  // --- transfer units --------------------------------------------------------------------------------
  [[nodiscard]] machines::transfer_test::start_facts start_facts(unsigned u, bool maintenance) const {
    const auto& at = p_.unit_at[u];
    const auto why = v_.inhibition(u);
    // a maintenance test may start from any pump; a test at an engine start needs an engine pump [PTU-3]
    return {.unit_off = why == unit_inhibition::switched_off,
            .unit_inhibited = why != unit_inhibition::none && why != unit_inhibition::switched_off,
            .engine_pressure_a = maintenance ? v_.own_pressure(at.a) : v_.engine_pressure(at.a),
            .engine_pressure_b = maintenance ? v_.own_pressure(at.b) : v_.engine_pressure(at.b),
            .own_pressure_a = v_.own_pressure(at.a),
            .own_pressure_b = v_.own_pressure(at.b),
            .one_way = at.direction == unit_direction::a_to_b};
  }

  [[nodiscard]] machines::transfer_test::run_facts run_facts(unsigned u) const {
    const auto& at = p_.unit_at[u];
    const auto& unit = s_.logic.units[u];
    const auto why = v_.inhibition(u);
    const auto driving = unit.test_from_b ? at.b : at.a;
    const auto driven = unit.test_from_b ? at.a : at.b;
    machines::transfer_test::run_facts facts{};
    facts.unit_off = why == unit_inhibition::switched_off;
    facts.unit_inhibited = why != unit_inhibition::none && why != unit_inhibition::switched_off;
    facts.in_flight = v_.in_flight();
    if (unit.maintenance) {
      facts.start_given_up = ((v_.running() | v_.cranking()) & at.engines) != 0;
      facts.start_complete = unit.test == test_mode::decided;  // nothing else ends a decided maintenance test
    } else if (unit.second != 0) {
      const auto mode = s_.logic.engines[unit.second - 1U].mode;
      facts.start_given_up = mode == engine_mode::stopped || mode == engine_mode::run_down;
      facts.start_complete = mode == engine_mode::running;
    }
    facts.driving_lost = !v_.own_pressure(driving);
    facts.own_pump_delivers = v_.own_source(driven);
    return facts;
  }

  /// What would hinder a test is asked when one is to begin, what ends it while one is on.
  [[nodiscard]] machines::transfer_test::inputs test_inputs(unsigned u,
                                                            machines::transfer_test::happens happening) const {
    namespace test = machines::transfer_test;
    const auto& at = p_.unit_at[u];
    const auto& unit = s_.logic.units[u];
    return {.hindrance = happening == test::happens::second_start
                             ? test::hindrances::answer<test_reason>(start_facts(u, false))
                             : test_reason::none,
            .ending = unit.test != test_mode::idle ? test::endings::answer<test_reason>(run_facts(u))
                                                   : test_reason::none,
            .driven_made = v_.pressure_switch(unit.test_from_b ? at.a : at.b),
            .limit_reached = s_.timers.test[u] >= at.test_limit,
            .held_enough = s_.timers.test_held[u] >= at.test_confirmation,
            .in_flight = v_.in_flight(),
            .unit_off = !unit.switched_on,
            .maintenance_allowed = at.maintenance_test && !v_.in_flight() && (v_.running() | v_.cranking()) == 0};
  }

  /// One event for the test of a unit; says whether a test began.
  bool test_event(unsigned u, machines::transfer_test::happens happening, const machines::transfer_test::inputs& in,
                  bool is_command) {
    namespace test = machines::transfer_test;
    auto& unit = s_.logic.units[u];
    auto mode = unit.test;
    test::memory memory{unit.outcome, unit.reason, unit.failed_caution};
    const auto before = mode;
    if (is_command) {
      command<test::model>(machine::transfer_test, u, mode, memory, in, happening, "a test is on already");
    } else {
      take<test::model>(machine::transfer_test, u, mode, memory, in, happening);
    }
    unit.test = mode;
    unit.outcome = memory.outcome;
    unit.reason = memory.reason;
    unit.failed_caution = memory.failed_caution;
    if (mode != test_mode::holding) s_.timers.test_held[u] = 0;
    if (mode == test_mode::idle) {
      unit.second = 0;
      unit.test_from_b = false;
      unit.maintenance = false;
      s_.timers.test[u] = 0;
    }
    return before == test_mode::idle && mode == test_mode::waiting;
  }

  void units() {
    namespace unit_machine = machines::transfer_unit;
    for (unsigned u = 0; u < p_.units; ++u) {
      auto& unit = s_.logic.units[u];
      // what is on ends before what begins: an aborted start must not stand in the way of the next
      settle_test(u);
      judge_second_start(u);
      settle_test(u);
      auto mode = unit.mode;
      machines::no_memory nothing;
      const auto in = v_.unit_inputs(u);
      if (take_all<unit_machine::model>(machine::transfer_unit, u, mode, nothing, in, unit_machine::happens::evaluate)) {
        unit.mode = mode;
      }
    }
  }

  /// The test of a unit, until it has nothing more to decide.
  void settle_test(unsigned u) {
    namespace test = machines::transfer_test;
    auto& unit = s_.logic.units[u];
    for (std::size_t i = 0; i <= count_of<test_mode>; ++i) {
      if (unit.test == test_mode::idle && !unit.failed_caution) return;  // nothing that its levels could change
      const auto mode = unit.test;
      const auto caution = unit.failed_caution;
      test_event(u, test::happens::evaluate, test_inputs(u, test::happens::evaluate), false);
      if (unit.test == mode && unit.failed_caution == caution) return;
    }
  }

  /// The engine that is the unit's second and still cranks is judged, once per start [PTU-3, PTU-13].
  void judge_second_start(unsigned u) {
    namespace test = machines::transfer_test;
    const auto engines = p_.unit_at[u].engines;
    auto& unit = s_.logic.units[u];
    unit.judged = static_cast<std::uint8_t>(unit.judged & v_.cranking()) & 15U;
    if (!has_one(v_.running() & engines)) return;
    unsigned second = limits::engines;
    for (mask m = v_.cranking() & engines; m != 0; m &= m - 1) {
      const auto e = static_cast<unsigned>(std::countr_zero(m));
      if (second == limits::engines || s_.logic.engines[e].cranking_rank < s_.logic.engines[second].cranking_rank) second = e;
    }
    if (second == limits::engines || has(unit.judged, second)) return;
    unit.judged = static_cast<std::uint8_t>(unit.judged | bit(second)) & 15U;
    if (test_event(u, test::happens::second_start, test_inputs(u, test::happens::second_start), false)) {
      unit.second = static_cast<std::uint8_t>(second + 1) & 7U;
      unit.test_from_b = v_.engine_pressure(p_.unit_at[u].b);
      // the driven circuit may be at the threshold already, from an own pump that has just stopped
      test_event(u, test::happens::evaluate, test_inputs(u, test::happens::evaluate), false);
    }
  }

  // --- faults, timers, alerts --------------------------------------------------------------------------
  /// Makes those armed faults active whose trigger holds; says whether there were any.
  bool trigger_faults() {
    if (!v_.any_fault_armed()) return false;
    bool any = false;
    for (auto& f : s_.faults) {
      if (f.status != fault_status::armed) continue;
      f.seen_in_air = f.seen_in_air || v_.in_flight();
      if (!trigger_holds(f)) continue;
      f.status = fault_status::active;
      any = true;
    }
    if (any) faults_changed();
    return any;
  }

  [[nodiscard]] bool trigger_holds(const injected_fault& f) const {
    const unsigned i = f.trigger_about.index;
    switch (f.trigger) {
      case fault_trigger::at_once: return true;
      case fault_trigger::at_time: return s_.chronicle.now >= f.trigger_time;
      case fault_trigger::engine_runs: return has(v_.running(), i);
      case fault_trigger::engine_cranks: return has(v_.cranking(), i);
      case fault_trigger::lift_off: return v_.in_flight();
      case fault_trigger::touchdown: return f.seen_in_air && !v_.in_flight();
      case fault_trigger::pump_delivers:
        return f.trigger_about.kind == component::engine_pump ? v_.engine_pump_delivers(i) : v_.electric_pump_delivers(i);
      case fault_trigger::pressure_made: return s_.logic.circuits[i].pressure_made;
      case fault_trigger::door_moves: return s_.logic.doors[i].mode == door_mode::asking;
      case fault_trigger::test_runs: return s_.logic.units[i].test != test_mode::idle;
    }
    return false;
  }

  void reset_timers() {
    for_each_timer(v_, s_.timers, [](std::uint32_t& value, std::uint32_t, auto, auto kept) {
      if (value != 0 && !kept()) value = 0;
    });
  }

  void alerts() {
    std::uint64_t standing = 0;
    std::uint64_t urgent = 0;  // cautions and warnings
    for_each_alert(p_, [&](auto which, unsigned i) {
      const int rung = alert_rung(v_, which, i);
      if (rung < 0) return;
      const std::uint64_t slot = std::uint64_t{1} << place_of(which, i);
      standing |= slot;
      const auto severity = static_cast<alert_class>(alert_list(which)[static_cast<std::size_t>(rung)].answer);
      if (severity >= alert_class::caution) urgent |= slot;
    });
    const std::uint64_t risen = standing & ~s_.chronicle.alerts_standing;
    for (std::uint64_t m = risen; m != 0; m &= m - 1) {
      s_.chronicle.alert_since[static_cast<std::size_t>(std::countr_zero(m))] = s_.chronicle.now;
    }
    s_.chronicle.alerts_standing = standing;
    // a new occurrence, and a class that has risen, call for attention again [25.1322(c)(3), ALR-4]
    const std::uint64_t escalated = urgent & ~s_.chronicle.alerts_urgent;
    s_.chronicle.alerts_urgent = urgent;
    s_.logic.acknowledged &= standing & ~risen & ~escalated;
  }

  const plan& p_;
  state& s_;
  effects& out_;
  view v_;
};

/// Reads an event into a state. Nothing is changed before it is known that the event can be used.
class reading {
 public:
  reading(const layout& of, state& changed, effects& what) : layout_(of), p_(of.plan()), s_(changed), out_(what) {}

  void read(const event& e) {
    if (!is_well_formed(e)) return;
    if (e.kind == event_kind::elapsed) {
      pass(e.amount);
      return;
    }
    if (is_level(e.kind)) {
      if (put_level(e)) settling{p_, s_, out_}.run();
      return;
    }
    settling frame{p_, s_, out_};
    put(frame, e);
    if (out_.refused.kind == refusal_kind::none) frame.run();
  }

 private:
  bool refuse(refusal_kind kind, std::string_view rule, std::string_view why) {
    out_.refused = {kind, rule, why};
    return false;
  }

  bool is_there(subject about) {
    if (static_cast<std::size_t>(about.kind) >= count_of<component>) {
      return refuse(refusal_kind::bad_value, "GEN-2", "the event names a kind of component that does not exist");
    }
    if (about.index >= layout_.count(about.kind)) {
      return refuse(refusal_kind::no_such_part, "GEN-2", "the layout has no such component");
    }
    return true;
  }

  bool is_well_formed(const event& e) {
    if (e.kind > event_kind::clear_faults) return refuse(refusal_kind::bad_value, "GEN-2", "there is no such kind of event");
    const auto& form = form_of(e.kind);
    if (e.kind == event_kind::inject || e.kind == event_kind::remove_fault) return is_well_formed_fault(e);
    if (!is_there(e.about)) return false;
    const auto kinds = std::span{form.subjects}.first(form.subject_kinds);
    if (std::find(kinds.begin(), kinds.end(), e.about.kind) == kinds.end()) {
      return refuse(refusal_kind::wrong_part, "GEN-2", "this event does not go with that kind of component");
    }
    if (form.values.empty() ? e.value != 0 : e.value >= form.values.size()) {
      return refuse(refusal_kind::bad_value, "GEN-2", "the event has a value outside its list");
    }
    if (e.kind == event_kind::stored && (e.amount < 0 || e.amount > p_.store_at[e.about.index].most_applications)) {
      return refuse(refusal_kind::bad_value, "CON-3", "a store holds from 0 to its most applications");
    }
    return true;
  }

  bool is_well_formed_fault(const event& e) {
    if (e.value >= count_of<fault>) return refuse(refusal_kind::bad_value, "INS-1", "there is no such fault");
    const auto& form = form_of(static_cast<fault>(e.value));
    if (!is_there(e.about)) return false;
    const auto kinds = std::span{form.subjects}.first(form.subject_kinds);
    if (std::find(kinds.begin(), kinds.end(), e.about.kind) == kinds.end()) {
      return refuse(refusal_kind::wrong_part, "INS-1", "this fault does not sit in that kind of component");
    }
    if (e.kind == event_kind::remove_fault) return true;
    constexpr std::int64_t most_flow = 100'000'000;  // 100 litres a second
    if (form.needs_amount ? (e.amount <= 0 || e.amount > most_flow) : e.amount != 0) {
      return refuse(refusal_kind::bad_value, "INS-1", "a leak needs a flow above 0, up to 100 litres a second; other faults have none");
    }
    if (static_cast<std::size_t>(e.trigger) >= count_of<fault_trigger>) {
      return refuse(refusal_kind::bad_value, "INS-1", "there is no such trigger");
    }
    const std::int64_t latest = s_.chronicle.now + limits::longest_time.count();
    if (e.trigger == fault_trigger::at_time && (e.trigger_time < s_.chronicle.now || e.trigger_time > latest)) {
      return refuse(refusal_kind::time, "INS-1", "a fault is armed for a time from now to 24 hours from now, counted from the beginning");
    }
    return trigger_part_fits(e);
  }

  bool trigger_part_fits(const event& e) {
    const auto kind = e.trigger_about.kind;
    bool fits = true;
    switch (e.trigger) {
      case fault_trigger::at_once:
      case fault_trigger::at_time:
      case fault_trigger::lift_off:
      case fault_trigger::touchdown: return true;
      case fault_trigger::engine_runs:
      case fault_trigger::engine_cranks: fits = kind == component::engine; break;
      case fault_trigger::pump_delivers: fits = kind == component::engine_pump || kind == component::electric_pump; break;
      case fault_trigger::pressure_made: fits = kind == component::circuit; break;
      case fault_trigger::door_moves: fits = kind == component::cargo_door; break;
      case fault_trigger::test_runs: fits = kind == component::transfer_unit; break;
    }
    if (!is_there(e.trigger_about)) return false;
    if (fits) return true;
    return refuse(refusal_kind::wrong_part, "INS-1", "this trigger does not go with that kind of component");
  }

  // --- time ----------------------------------------------------------------------------------------
  void pass(std::int64_t amount) {
    if (amount < 0) {
      refuse(refusal_kind::time, "GEN-3", "time cannot run backwards");
      return;
    }
    constexpr std::int64_t last = std::numeric_limits<std::int32_t>::max();  // 24.8 days
    if (amount > limits::longest_time.count() || s_.chronicle.now + amount > last) {
      refuse(refusal_kind::time, "GEN-3", "at most 24 hours at once, and 24 days in all");
      return;
    }
    auto left = static_cast<std::uint32_t>(amount);
    settling frame{p_, s_, out_};
    if (left == 0) frame.run();  // how a state that was set up by hand is settled [GEN-7]
    while (left != 0) {
      std::array<std::uint32_t*, sizeof(timer_state) / sizeof(std::uint32_t)> counting;  // the first `many` are valid
      std::size_t many = 0;
      std::uint32_t due = until_armed_fault(frame.seen());
      for_each_timer(frame.seen(), s_.timers, [&](std::uint32_t& value, std::uint32_t limit, auto counts, auto) {
        if (value >= limit || !counts()) return;
        counting[many++] = &value;
        due = std::min(due, limit - value);
      });
      const std::uint32_t span = std::min(left, due);
      for (std::size_t i = 0; i < many; ++i) *counting[i] += span;
      s_.chronicle.now += span;
      left -= span;
      // rows ask of time only whether something has fallen due
      if (span == due) frame.run();
    }
  }

  /// Time until an armed fault falls due by its time; the largest number when none will.
  static std::uint32_t until_armed_fault(const view& v) {
    std::uint32_t next = std::numeric_limits<std::uint32_t>::max();
    if (!v.any_fault_armed()) return next;
    const auto now = v.s.chronicle.now;
    for (const auto& f : v.s.faults) {
      if (f.status == fault_status::armed && f.trigger == fault_trigger::at_time && f.trigger_time > now) {
        next = std::min(next, f.trigger_time - now);
      }
    }
    return next;
  }

 public:
  /// Time until the next timer or armed fault falls due; the largest number when none will.
  static std::uint32_t deadline(const view& v) {
    std::uint32_t next = until_armed_fault(v);
    for_each_timer(v, v.s.timers, [&next](const std::uint32_t& value, std::uint32_t limit, auto counts, auto) {
      if (value < limit && counts()) next = std::min(next, limit - value);
    });
    return next;
  }

 private:
  // --- everything else -------------------------------------------------------------------------------
  void touch(mark which, unsigned index = 0) { s_.chronicle.input_since[place_of(which, index)] = s_.chronicle.now; }

  void put(settling& frame, const event& e) {
    const unsigned i = e.about.index;
    auto& logic = s_.logic;
    switch (e.kind) {
      case event_kind::start: return frame.engine_event(i, machines::engine::happens::start);
      case event_kind::abort_start: return frame.engine_event(i, machines::engine::happens::abort);
      case event_kind::shut_down: return frame.engine_event(i, machines::engine::happens::shut_down);
      case event_kind::hang: return frame.engine_event(i, machines::engine::happens::hang);
      case event_kind::flame_out: return frame.engine_event(i, machines::engine::happens::flame_out);
      case event_kind::starter_out: return frame.engine_event(i, machines::engine::happens::starter_out);
      case event_kind::fire_handle: return fire_handle(frame, i, e.value == 1);
      case event_kind::reset_supply: {
        namespace valve = machines::supply_valve;
        auto mode = logic.engines[i].supply;
        machines::no_memory nothing;
        if (frame.command<valve::model>(machine::supply_valve, i, mode, nothing, {logic.engines[i].fire_handle_pulled},
                                        valve::happens::reset, "the supply valve is open")) {
          logic.engines[i].supply = mode;
        }
        return;
      }
      case event_kind::switch_: return crew_switch(frame, e);
      case event_kind::reset:
        return frame.pump_health_event(e.about.kind == component::electric_pump, i, machines::pump_health::happens::reset);
      case event_kind::ground_override: return ground_override(frame, i);
      case event_kind::lever: {
        const auto to = static_cast<lever_position>(e.value);
        if (logic.doors[i].lever == to) return frame.refuse_meaningless("the lever is there already");
        logic.doors[i].lever = to;
        return touch(mark::lever, i);
      }
      case event_kind::hand_pump: {
        const bool worked = e.value == 1;
        if (!p_.circuit_at[i].hand_pump) return not_fitted("CGO-11", "this circuit has no hand pump");
        if (worked && frame.seen().in_flight()) return frame.refuse_meaningless("the hand pump moves cargo doors on the ground only");
        if (logic.circuits[i].hand_pump == worked) return frame.refuse_meaningless("the hand pump is so already");
        logic.circuits[i].hand_pump = worked;
        return touch(mark::hand_pump, i);
      }
      case event_kind::leak_isolation: {
        const bool shut = e.value == 1;
        if (!p_.circuit_at[i].leak_isolation) return not_fitted("LEK-1", "this circuit has no leak isolation");
        if (shut && frame.seen().in_flight()) {
          out_.refused = {refusal_kind::guard, "LEK-1", "leak isolation works on the ground only"};
          return;
        }
        if (logic.circuits[i].outer_shut == shut) return frame.refuse_meaningless("the outer branch is so already");
        logic.circuits[i].outer_shut = shut;
        return touch(mark::outer, i);
      }
      case event_kind::maintenance_test: return frame.maintenance_test(i);
      case event_kind::stow: {
        namespace ram = machines::ram_air_pump;
        auto mode = logic.aircraft.ram_air;
        machines::no_memory nothing;
        if (frame.command<ram::model>(machine::ram_air_pump, i, mode, nothing, frame.ram_air_inputs(), ram::happens::stow,
                                      "the ram-air pump is stowed")) {
          logic.aircraft.ram_air = mode;
        }
        return;
      }
      case event_kind::steering:
        return steering(frame, e.value == 0 ? machines::steering_link::happens::connect : machines::steering_link::happens::disconnect);
      case event_kind::pin:
        return steering(frame, e.value == 0 ? machines::steering_link::happens::pin_in : machines::steering_link::happens::pin_out);
      case event_kind::parking_brake: {
        const bool set = e.value == 0;
        if (logic.aircraft.parking_brake_set == set) return frame.refuse_meaningless("the parking brake is so already");
        logic.aircraft.parking_brake_set = set;
        return touch(mark::parking);
      }
      case event_kind::gear: {
        const bool down = e.value == 0;
        if (logic.aircraft.gear_down == down) return frame.refuse_meaningless("the gear lever is there already");
        if (!down && !frame.seen().in_flight()) return frame.refuse_meaningless("the gear lever is locked down on the ground");
        logic.aircraft.gear_down = down;
        return touch(mark::gear);
      }
      case event_kind::acknowledge: {
        const auto open = s_.chronicle.alerts_standing & ~logic.acknowledged;
        if (open == 0) return frame.refuse_meaningless("no alert stands that is not acknowledged");
        logic.acknowledged |= open;
        return;
      }
      case event_kind::recall:
        if (logic.acknowledged == 0) return frame.refuse_meaningless("no alert that stands is acknowledged");
        logic.acknowledged = 0;
        return;
      case event_kind::inject: return inject(frame, e);
      case event_kind::remove_fault: return remove_fault(frame, e);
      case event_kind::clear_faults:
        s_.faults = {};
        frame.faults_changed();
        return frame.repair();
      default: return;  // applied brakes concern stores, which a plant knows; time and levels do not come here
    }
  }

// Bit fields cannot be bound to a reference, hence a macro for "change it, and note when".
#define PENSTOCK_FACT(place, which, index, now_is) \
  do {                                             \
    if ((place) != (now_is)) {                     \
      (place) = (now_is);                          \
      touch(which, index);                         \
      changed = true;                              \
    }                                              \
  } while (false)

  /// Facts that are levels. Those of engines that are events of a machine are not.
  static constexpr bool is_level(event_kind kind) {
    return kind >= event_kind::spool && kind <= event_kind::phase && kind != event_kind::starter_out &&
           kind != event_kind::hang && kind != event_kind::flame_out;
  }

  /// Takes over a level; says whether that changed anything.
  bool put_level(const event& e) {
    bool changed = false;
    const unsigned i = e.about.index;
    const bool yes = e.value == 1;
    auto& logic = s_.logic;
    switch (e.kind) {
      case event_kind::spool: PENSTOCK_FACT(logic.engines[i].spool, mark::spool, i, static_cast<spool_band>(e.value)); break;
      case event_kind::failure:
        if (e.about.kind == component::engine_pump) {
          PENSTOCK_FACT(logic.engine_pumps[i].failure_present, mark::engine_pump_failure, i, yes);
        } else {
          PENSTOCK_FACT(logic.electric_pumps[i].failure_present, mark::electric_pump_failure, i, yes);
        }
        break;
      case event_kind::overheat:
        if (e.about.kind == component::engine_pump) {
          PENSTOCK_FACT(logic.engine_pumps[i].overheated, mark::engine_pump_overheat, i, yes);
        } else {
          PENSTOCK_FACT(logic.electric_pumps[i].overheated, mark::electric_pump_overheat, i, yes);
        }
        break;
      case event_kind::travel: PENSTOCK_FACT(logic.doors[i].travel, mark::travel, i, static_cast<door_travel>(e.value)); break;
      case event_kind::pressure: PENSTOCK_FACT(logic.circuits[i].pressure_made, mark::pressure, i, yes); break;
      case event_kind::priority: PENSTOCK_FACT(logic.circuits[i].above_priority, mark::priority, i, yes); break;
      case event_kind::level: PENSTOCK_FACT(logic.circuits[i].level, mark::level, i, static_cast<fluid_level>(e.value)); break;
      case event_kind::air: PENSTOCK_FACT(logic.circuits[i].air_low, mark::air, i, yes); break;
      case event_kind::fluid: PENSTOCK_FACT(logic.circuits[i].fluid_hot, mark::fluid, i, yes); break;
      case event_kind::difference:
        PENSTOCK_FACT(logic.units[i].difference, mark::difference, i, static_cast<pressure_difference>(e.value));
        break;
      case event_kind::overspeed: PENSTOCK_FACT(logic.units[i].overspeed, mark::overspeed, i, yes); break;
      case event_kind::stored: {
        const auto left = static_cast<std::uint8_t>(e.amount);
        if (i == 0) {
          PENSTOCK_FACT(logic.aircraft.stored_0, mark::stored, i, left);
        } else {
          PENSTOCK_FACT(logic.aircraft.stored_1, mark::stored, i, left);
        }
        break;
      }
      case event_kind::shed: PENSTOCK_FACT(logic.electric_pumps[i].shed, mark::shed, i, yes); break;
      case event_kind::external_power: PENSTOCK_FACT(logic.aircraft.external_power, mark::external, 0, yes); break;
      case event_kind::auxiliary_power: PENSTOCK_FACT(logic.aircraft.auxiliary_power, mark::auxiliary, 0, yes); break;
      case event_kind::air_ground: changed = put_air_ground(e.value); break;
      case event_kind::airspeed: PENSTOCK_FACT(logic.aircraft.airspeed, mark::airspeed, 0, static_cast<airspeed_band>(e.value)); break;
      case event_kind::phase: PENSTOCK_FACT(logic.aircraft.phase, mark::phase, 0, static_cast<flight_phase>(e.value)); break;
      default: break;
    }
    return changed;
  }

  bool put_air_ground(unsigned value) {
    bool changed = false;
    auto& aircraft = s_.logic.aircraft;
    const bool valid = value != 2;
    PENSTOCK_FACT(aircraft.air_ground_valid, mark::ground_validity, 0, valid);
    if (!valid) return changed;  // the last valid value stays [GEN-6]
    const auto now = static_cast<air_ground>(value);
    if (aircraft.where == now) return changed;
    if (now == air_ground::air) settling{p_, s_, out_}.report_levers();
    aircraft.where = now;
    touch(mark::ground);
    return true;
  }
#undef PENSTOCK_FACT

  void not_fitted(std::string_view rule, std::string_view why) { out_.refused = {refusal_kind::not_fitted, rule, why}; }

  void fire_handle(settling& frame, unsigned e, bool pulled) {
    namespace valve = machines::supply_valve;
    auto& engine = s_.logic.engines[e];
    auto mode = engine.supply;
    machines::no_memory nothing;
    if (!frame.command<valve::model>(machine::supply_valve, e, mode, nothing, {engine.fire_handle_pulled},
                                     pulled ? valve::happens::handle_pulled : valve::happens::handle_stowed,
                                     "the fire handle is there already")) {
      return;
    }
    engine.supply = mode;
    engine.fire_handle_pulled = pulled;
    touch(mark::fire_handle, e);
  }

  void crew_switch(settling& frame, const event& e) {
    const unsigned i = e.about.index;
    const auto to = static_cast<pump_switch>(e.value);
    auto& logic = s_.logic;
    if (e.about.kind == component::engine_pump) {
      if (to == pump_switch::automatic) return not_fitted("EDP-2", "the switch of an engine pump is on or off");
      const bool on = to == pump_switch::on;
      if (logic.engine_pumps[i].switched_on == on) return frame.refuse_meaningless("the switch is there already");
      logic.engine_pumps[i].switched_on = on;
      return touch(mark::engine_pump_switch, i);
    }
    if (e.about.kind == component::transfer_unit) {
      const bool on = to != pump_switch::off;  // "on" and "auto" are one position of a unit's switch
      if (logic.units[i].switched_on == on) return frame.refuse_meaningless("the switch is there already");
      logic.units[i].switched_on = on;
      return touch(mark::unit_switch, i);
    }
    const auto duty = p_.electric_pump_at[i].duty;
    if (duty == pump_duty::none && to == pump_switch::automatic) {
      return not_fitted("ELP-1", "the switch of a pump without a duty is on or off");
    }
    if (duty == pump_duty::first_engine && to == pump_switch::on) {
      return not_fitted("AUX-4", "the switch of a first-engine pump is off or auto; the ground override runs it");
    }
    if (logic.electric_pumps[i].switched == to) return frame.refuse_meaningless("the switch is there already");
    logic.electric_pumps[i].switched = to;
    touch(mark::electric_pump_switch, i);
  }

  void ground_override(settling& frame, unsigned i) {
    namespace first = machines::first_engine_demand;
    auto& pump = s_.logic.electric_pumps[i];
    if (p_.electric_pump_at[i].duty != pump_duty::first_engine) {
      return not_fitted("AUX-4", "only a first-engine pump has a ground override");
    }
    auto mode = pump.demand;
    machines::no_memory nothing;
    if (frame.command<first::model>(machine::first_engine_demand, i, mode, nothing, frame.first_engine_inputs(i),
                                    first::happens::ground_override, "the ground override has no meaning now")) {
      pump.demand = mode;
    }
  }

  void steering(settling& frame, machines::steering_link::happens happening) {
    namespace link = machines::steering_link;
    auto mode = s_.logic.aircraft.steering;
    machines::no_memory nothing;
    if (frame.command<link::model>(machine::steering_link, 0, mode, nothing, {frame.seen().in_flight()}, happening,
                                   "the steering link is so already")) {
      s_.logic.aircraft.steering = mode;
    }
  }

  void inject(settling& frame, const event& e) {
    const auto kind = static_cast<fault>(e.value);
    injected_fault* place = nullptr;
    for (auto& f : s_.faults) {
      if (f.status != fault_status::unused && f.kind == kind && f.where == e.about) {
        refuse(refusal_kind::no_meaning, "INS-1", "this fault is injected there already: remove it first");
        return;
      }
      if (place == nullptr && f.status == fault_status::unused) place = &f;
    }
    if (place == nullptr) {
      refuse(refusal_kind::too_many_faults, "INS-1", "16 faults are injected already: remove one first");
      return;
    }
    *place = {.status = e.trigger == fault_trigger::at_once ? fault_status::active : fault_status::armed,
              .kind = kind,
              .where = e.about,
              .trigger = e.trigger,
              .trigger_about = e.trigger_about,
              .seen_in_air = false,
              .amount = static_cast<std::uint32_t>(e.amount),
              .trigger_time = static_cast<std::uint32_t>(e.trigger_time)};
    frame.faults_changed();
  }

  void remove_fault(settling& frame, const event& e) {
    const auto kind = static_cast<fault>(e.value);
    for (auto& f : s_.faults) {
      if (f.status == fault_status::unused || f.kind != kind || f.where != e.about) continue;
      const bool acted = f.status == fault_status::active;
      f = {};
      frame.faults_changed();
      if (acted && kind == fault::shaft_sheared) {
        frame.pump_health_event(false, e.about.index, machines::pump_health::happens::repair);
      }
      return;
    }
    refuse(refusal_kind::no_such_fault, "INS-1", "no such fault is injected there");
  }

  const layout& layout_;
  const plan& p_;
  state& s_;
  effects& out_;
};

/// The rows, events and modes of each machine by its number.
struct machine_info {
  std::span<const table_row> rows;
  std::span<const std::string_view> events;
  std::span<const std::string_view> modes;
};

[[nodiscard]] inline machine_info info_of(machine which) {
  namespace m = machines;
  switch (which) {
    case machine::start_selection:
      return {m::rows_as_data<m::start_selection::model>, m::start_selection::event_words, words_of<selection_mode>::list};
    case machine::engine: return {m::rows_as_data<m::engine::model>, m::engine::event_words, words_of<engine_mode>::list};
    case machine::supply_valve:
      return {m::rows_as_data<m::supply_valve::model>, m::supply_valve::event_words, words_of<valve_mode>::list};
    case machine::cargo_door:
      return {m::rows_as_data<m::cargo_door::model>, m::cargo_door::event_words, words_of<door_mode>::list};
    case machine::pump_health:
      return {m::rows_as_data<m::pump_health::model>, m::pump_health::event_words, words_of<health_mode>::list};
    case machine::engine_pump:
      return {m::rows_as_data<m::engine_pump::model>, m::engine_pump::event_words, words_of<pump_mode>::list};
    case machine::start_limiter:
      return {m::rows_as_data<m::start_limiter::model>, m::start_limiter::event_words, words_of<limiter_mode>::list};
    case machine::cargo_demand:
      return {m::rows_as_data<m::cargo_demand::model>, m::cargo_demand::event_words, words_of<demand_mode>::list};
    case machine::first_engine_demand:
      return {m::rows_as_data<m::first_engine_demand::model>, m::first_engine_demand::event_words, words_of<demand_mode>::list};
    case machine::plain_demand:
      return {m::rows_as_data<m::plain_demand::model>, m::plain_demand::event_words, words_of<demand_mode>::list};
    case machine::electric_pump:
      return {m::rows_as_data<m::electric_pump::model>, m::electric_pump::event_words, words_of<pump_mode>::list};
    case machine::ram_air_pump:
      return {m::rows_as_data<m::ram_air_pump::model>, m::ram_air_pump::event_words, words_of<ram_air_mode>::list};
    case machine::service: return {m::rows_as_data<m::service::model>, m::service::event_words, words_of<service_mode>::list};
    case machine::transfer_unit:
      return {m::rows_as_data<m::transfer_unit::model>, m::transfer_unit::event_words, words_of<unit_mode>::list};
    case machine::transfer_test:
      return {m::rows_as_data<m::transfer_test::model>, m::transfer_test::event_words, words_of<test_mode>::list};
    case machine::steering_link:
      return {m::rows_as_data<m::steering_link::model>, m::steering_link::event_words, words_of<steering_mode>::list};
  }
  return {};
}

}  // namespace detail

PENSTOCK_INLINE void apply(const layout& of, state& changed, const event& happening, effects& what) {
  what.rows = 0;
  what.passes = 0;
  what.cut_short = false;
  what.refused = {};
  detail::reading{of, changed, what}.read(happening);
}

PENSTOCK_INLINE outcome transition(const layout& of, const state& before, const event& happening) {
  outcome result;  // NOLINT(cppcoreguidelines-pro-type-member-init): `apply` writes what counts
  result.after = before;
  apply(of, result.after, happening, result.what);
  return result;
}

PENSTOCK_INLINE std::optional<std::uint32_t> next_deadline(const layout& of, const state& now) {
  const auto next = detail::reading::deadline(detail::view{of.plan(), now});
  if (next == std::numeric_limits<std::uint32_t>::max()) return std::nullopt;
  return next;
}

PENSTOCK_INLINE std::span<const table_row> rows_of(machine which) { return detail::info_of(which).rows; }

PENSTOCK_INLINE std::string_view mode_word(machine which, std::uint8_t mode) {
  const auto words = detail::info_of(which).modes;
  return mode < words.size() ? words[mode] : std::string_view{"?"};
}

PENSTOCK_INLINE std::string_view event_word(machine which, std::uint8_t event) {
  const auto words = detail::info_of(which).events;
  return event < words.size() ? words[event] : std::string_view{"?"};
}

PENSTOCK_INLINE std::size_t mode_count(machine which) { return detail::info_of(which).modes.size(); }

PENSTOCK_INLINE std::uint8_t mode_of(const state& now, machine which, std::uint8_t index) {
  const auto& logic = now.logic;
  if (index >= detail::machine_places::many[static_cast<std::size_t>(which)]) return 0;
  const auto number = [](auto mode) { return static_cast<std::uint8_t>(mode); };
  switch (which) {
    case machine::start_selection: return number(logic.engines[index].selection);
    case machine::engine: return number(logic.engines[index].mode);
    case machine::supply_valve: return number(logic.engines[index].supply);
    case machine::cargo_door: return number(logic.doors[index].mode);
    case machine::pump_health:
      return index < detail::electric_offset ? number(logic.engine_pumps[index].health)
                                             : number(logic.electric_pumps[index - detail::electric_offset].health);
    case machine::engine_pump: return number(logic.engine_pumps[index].mode);
    case machine::start_limiter: return number(logic.electric_pumps[index].limiter);
    case machine::cargo_demand:
    case machine::first_engine_demand:
    case machine::plain_demand: return number(logic.electric_pumps[index].demand);
    case machine::electric_pump: return number(logic.electric_pumps[index].mode);
    case machine::ram_air_pump: return number(logic.aircraft.ram_air);
    case machine::service: return number(logic.circuits[index].service);
    case machine::transfer_unit: return number(logic.units[index].mode);
    case machine::transfer_test: return number(logic.units[index].test);
    case machine::steering_link: return number(logic.aircraft.steering);
  }
  return 0;
}

PENSTOCK_INLINE subject owner_of(const layout&, machine which, std::uint8_t index) {
  switch (which) {
    case machine::start_selection:
    case machine::engine:
    case machine::supply_valve: return {component::engine, index};
    case machine::cargo_door: return {component::cargo_door, index};
    case machine::pump_health:
      if (index >= detail::electric_offset) {
        return {component::electric_pump, static_cast<std::uint8_t>(index - detail::electric_offset)};
      }
      return {component::engine_pump, index};
    case machine::engine_pump: return {component::engine_pump, index};
    case machine::start_limiter:
    case machine::cargo_demand:
    case machine::first_engine_demand:
    case machine::plain_demand:
    case machine::electric_pump: return {component::electric_pump, index};
    case machine::ram_air_pump: return {component::ram_air_pump, index};
    case machine::service: return {component::circuit, index};
    case machine::transfer_unit:
    case machine::transfer_test: return {component::transfer_unit, index};
    case machine::steering_link: return {component::steering, index};
  }
  return {};
}

PENSTOCK_INLINE bool has_machine(const layout& of, machine which, std::uint8_t index) {
  if (static_cast<std::size_t>(which) >= machine_count) return false;
  const auto owner = owner_of(of, which, index);
  if (index >= detail::machine_places::many[static_cast<std::size_t>(which)] || owner.index >= of.count(owner.kind)) {
    return false;
  }
  const auto& p = of.plan();
  switch (which) {
    case machine::start_limiter: return p.electric_pump_at[index].starts_allowed != 0;
    case machine::cargo_demand: return p.electric_pump_at[index].duty == pump_duty::cargo;
    case machine::first_engine_demand: return p.electric_pump_at[index].duty == pump_duty::first_engine;
    case machine::plain_demand: return p.electric_pump_at[index].duty == pump_duty::none;
    case machine::service: return p.circuit_at[index].cargo_pump != detail::nobody;
    default: return true;
  }
}

}  // namespace penstock::inline v1
