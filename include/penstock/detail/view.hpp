// What can be read off a state: sensed facts, sources, power, statuses. Used by settling, observing and
// explaining alike, so that none of them has an opinion of its own. Reads only.
#pragma once

#include <algorithm>
#include <array>
#include <bit>
#include <cstdint>
#include <span>
#include <type_traits>
#include <utility>

#include "penstock/layout.hpp"
#include "penstock/machines/cargo.hpp"
#include "penstock/machines/engine.hpp"
#include "penstock/machines/lists.hpp"
#include "penstock/machines/pumps.hpp"
#include "penstock/machines/steering.hpp"
#include "penstock/machines/transfer.hpp"
#include "penstock/state.hpp"

namespace penstock::inline v1::detail {

[[nodiscard]] constexpr mask bit(unsigned i) { return mask{1} << i; }
[[nodiscard]] constexpr bool has(mask m, unsigned i) { return (m & bit(i)) != 0; }
/// Cheaper than std::popcount, which is a function call on processors without an instruction for it.
[[nodiscard]] constexpr bool has_one(mask m) { return m != 0 && (m & (m - 1)) == 0; }

/// Bits of electric pumps stand behind those of engine pumps, where one mask holds both.
inline constexpr unsigned electric_offset = limits::engine_pumps;

/// The place of a component in a fault mask.
[[nodiscard]] constexpr unsigned fault_bit(subject where) {
  return where.kind == component::electric_pump ? electric_offset + where.index : where.index;
}

[[nodiscard]] constexpr std::size_t place_of(machine which, unsigned index) {
  return static_cast<std::size_t>(machine_places::first[static_cast<std::size_t>(which)]) + index;
}
[[nodiscard]] constexpr std::size_t place_of(mark which, unsigned index) {
  return static_cast<std::size_t>(mark_places::first[static_cast<std::size_t>(which)]) + index;
}
[[nodiscard]] constexpr std::size_t place_of(condition which, unsigned index) {
  return static_cast<std::size_t>(alert_places::first[static_cast<std::size_t>(which)]) + index;
}

inline void write_rank(engine_state& e, bool running, std::uint8_t rank) {
  if (running) {
    e.running_rank = rank & 7U;
  } else {
    e.cranking_rank = rank & 7U;
  }
}

/// A state with what follows from it. `refresh` works out what many questions share.
class view {
 public:
  view(const plan& of, const state& now) : p(of), s(now) {
    read_faults();
    refresh();
  }

  const plan& p;
  const state& s;

  /// To be called when a fault has begun or ended.
  void read_faults() {
    any_fault_ = false;
    any_armed_ = false;
    for (const auto& f : s.faults) {
      if (f.status == fault_status::unused) continue;
      any_armed_ = any_armed_ || f.status == fault_status::armed;
      if (f.status != fault_status::active) continue;
      if (!any_fault_) faults_ = {};
      any_fault_ = true;
      faults_[static_cast<std::size_t>(f.kind)] |= bit(fault_bit(f.where));
    }
  }

  /// To be called when engines, power or air/ground have changed.
  void refresh() {
    running_ = 0;
    cranking_ = 0;
    for (unsigned e = 0; e < p.engines; ++e) {
      const auto mode = s.logic.engines[e].mode;
      if (mode == engine_mode::at_idle || mode == engine_mode::running) running_ |= bit(e);
      if (mode == engine_mode::cranking) cranking_ |= bit(e);
    }
    powered_ = 0;
    for (unsigned b = 0; b < p.buses; ++b) {
      source_[b] = find_source(b);
      if (source_[b] != nobody) powered_ |= bit(b);
    }
  }

  [[nodiscard]] bool faulty(fault kind, unsigned at) const {
    return any_fault_ && has(faults_[static_cast<std::size_t>(kind)], at);
  }
  [[nodiscard]] bool any_fault_armed() const { return any_armed_; }
  [[nodiscard]] bool in_flight() const { return s.logic.aircraft.where == air_ground::air; }
  [[nodiscard]] mask running() const { return running_; }
  [[nodiscard]] mask cranking() const { return cranking_; }
  [[nodiscard]] bool any_engine() const { return running_ != 0; }
  [[nodiscard]] mask powered() const { return powered_; }

  // --- power -------------------------------------------------------------------------------------
  [[nodiscard]] bool source_alive(std::uint8_t source) const {
    if (source == plan::auxiliary) return s.logic.aircraft.auxiliary_power;
    if (source == plan::external) return s.logic.aircraft.external_power;
    return has(running_, source);
  }
  /// The source that feeds a bus, or nobody.
  [[nodiscard]] std::uint8_t live_source(unsigned bus) const { return source_[bus]; }
  /// The bus has dropped this pump [ELP-2].
  [[nodiscard]] bool is_shed(unsigned pump) const {
    const auto& e = p.electric_pump_at[pump];
    if (s.logic.electric_pumps[pump].shed) return true;
    if (e.shed_on == 0) return false;
    const auto source = live_source(e.bus);
    return source != nobody && has(e.shed_on, source);
  }
  [[nodiscard]] bool has_power(unsigned pump) const {
    return has(powered_, p.electric_pump_at[pump].bus) && !is_shed(pump);
  }
  [[nodiscard]] bool main_ac_lost() const {
    bool any = false;
    for (unsigned b = 0; b < p.buses; ++b) {
      if (!p.bus_at[b].main) continue;
      any = true;
      if (has(powered_, b)) return false;
    }
    return any;
  }

  // --- sensed facts --------------------------------------------------------------------------------
  [[nodiscard]] bool pressure_switch(unsigned circuit) const {
    if (faulty(fault::pressure_switch_stuck_made, circuit)) return true;
    if (faulty(fault::pressure_switch_stuck_open, circuit)) return false;
    return s.logic.circuits[circuit].pressure_made;
  }
  [[nodiscard]] fluid_level level_switch(unsigned circuit) const {
    if (faulty(fault::level_switch_stuck_low, circuit)) return fluid_level::low;
    if (faulty(fault::level_switch_stuck_normal, circuit)) return fluid_level::normal;
    return s.logic.circuits[circuit].level;
  }
  [[nodiscard]] bool air_is_low(unsigned circuit) const {
    return s.logic.circuits[circuit].air_low || faulty(fault::reservoir_air_lost, circuit);
  }
  [[nodiscard]] bool fluid_is_hot(unsigned circuit) const {
    return s.logic.circuits[circuit].fluid_hot || faulty(fault::fluid_hot, circuit);
  }
  [[nodiscard]] lever_position lever(unsigned door) const {
    if (faulty(fault::lever_stuck_neutral, door)) return lever_position::neutral;
    if (faulty(fault::lever_stuck_open, door)) return lever_position::open;
    if (faulty(fault::lever_stuck_close, door)) return lever_position::close;
    return s.logic.doors[door].lever;
  }
  [[nodiscard]] door_travel travel(unsigned door) const {
    if (faulty(fault::travel_switch_stuck_made, door)) {
      return lever(door) == lever_position::open ? door_travel::open : door_travel::closed;
    }
    if (faulty(fault::travel_switch_stuck_open, door)) return door_travel::between;
    return s.logic.doors[door].travel;
  }
  [[nodiscard]] bool supply_open(unsigned engine) const {
    if (faulty(fault::supply_valve_stuck_open, engine)) return true;
    if (faulty(fault::supply_valve_stuck_closed, engine)) return false;
    return s.logic.engines[engine].supply == valve_mode::open;
  }
  [[nodiscard]] bool outer_shut(unsigned circuit) const { return s.logic.circuits[circuit].outer_shut && !in_flight(); }
  [[nodiscard]] unsigned stored(unsigned store) const {
    if (faulty(fault::store_gas_lost, store)) return 0;
    return store == 0 ? s.logic.aircraft.stored_0 : s.logic.aircraft.stored_1;
  }

  // --- pumps ---------------------------------------------------------------------------------------
  [[nodiscard]] bool engine_pump_loaded(unsigned pump) const {
    const auto& e = p.engine_pump_at[pump];
    if (s.logic.engine_pumps[pump].switched_on) return true;
    return e.loads_without_control && !has(powered_, e.control_bus);  // EDP-6; a layout names the bus then
  }
  [[nodiscard]] machines::engine_pump::facts engine_pump_facts(unsigned pump) const {
    const auto& at = p.engine_pump_at[pump];
    const auto& e = s.logic.engine_pumps[pump];
    return {.switched_on = engine_pump_loaded(pump),
            .failed = e.health != health_mode::healthy,
            .overheated = e.overheated || faulty(fault::pump_overheated, pump),
            .turning = s.logic.engines[at.engine].spool >= spool_band::driving,
            .supply_open = supply_open(at.engine),
            .dry = s.logic.circuits[at.circuit].level == fluid_level::empty};
  }
  [[nodiscard]] engine_pump_reason engine_pump_why(unsigned pump) const {
    return machines::engine_pump::reasons::answer<engine_pump_reason>(engine_pump_facts(pump));
  }
  [[nodiscard]] machines::electric_pump::facts electric_pump_facts(unsigned pump) const {
    const auto& e = s.logic.electric_pumps[pump];
    return {.switched_off = e.switched == pump_switch::off,
            .powered = has_power(pump),
            .failed = e.health != health_mode::healthy,
            .overheated = e.overheated || faulty(fault::pump_overheated, electric_offset + pump),
            .wanted = e.demand != demand_mode::none,
            .dry = s.logic.circuits[p.electric_pump_at[pump].circuit].level == fluid_level::empty};
  }
  [[nodiscard]] electric_pump_reason electric_pump_why(unsigned pump) const {
    return machines::electric_pump::reasons::answer<electric_pump_reason>(electric_pump_facts(pump));
  }
  /// What the doors of its circuit say to a cargo-duty pump.
  [[nodiscard]] machines::cargo_demand::inputs cargo_inputs(unsigned pump) const {
    const auto& at = s.logic.electric_pumps[pump];
    machines::cargo_demand::inputs in{at.switched, false, false, false, false, at.limiter == limiter_mode::cooling};
    for (mask m = p.circuit_at[p.electric_pump_at[pump].circuit].doors; m != 0; m &= m - 1) {
      const auto mode = s.logic.doors[static_cast<unsigned>(std::countr_zero(m))].mode;
      in.door_asks = in.door_asks || mode == door_mode::asking;
      in.door_blocked = in.door_blocked || mode == door_mode::blocked;
      in.door_timed_out = in.door_timed_out || mode == door_mode::timed_out;
      in.door_at_end = in.door_at_end || mode == door_mode::at_end;
    }
    return in;
  }
  [[nodiscard]] bool engine_pump_delivers(unsigned pump) const {
    return s.logic.engine_pumps[pump].mode == pump_mode::delivering;
  }
  [[nodiscard]] bool electric_pump_delivers(unsigned pump) const {
    return s.logic.electric_pumps[pump].mode == pump_mode::delivering;
  }
  [[nodiscard]] bool ram_air_delivers(unsigned pump) const {
    return s.logic.aircraft.ram_air == ram_air_mode::deployed && s.logic.aircraft.airspeed != airspeed_band::slow &&
           s.logic.circuits[p.ram_air_pump_at[pump].circuit].level != fluid_level::empty;
  }
  /// EDP-3: the engine runs, the switch is on, and no pressure comes of it.
  [[nodiscard]] bool engine_pump_missed(unsigned pump) const {
    return has(running_, p.engine_pump_at[pump].engine) && s.logic.engine_pumps[pump].switched_on &&
           (!engine_pump_delivers(pump) || faulty(fault::pump_weak, pump));
  }

  // --- circuits ------------------------------------------------------------------------------------
  [[nodiscard]] bool engine_source(unsigned circuit) const {
    for (mask m = p.circuit_at[circuit].engine_pumps; m != 0; m &= m - 1) {
      if (engine_pump_delivers(static_cast<unsigned>(std::countr_zero(m)))) return true;
    }
    return false;
  }
  [[nodiscard]] bool electric_source(unsigned circuit, mask except = 0) const {
    for (mask m = p.circuit_at[circuit].electric_pumps & ~except; m != 0; m &= m - 1) {
      if (electric_pump_delivers(static_cast<unsigned>(std::countr_zero(m)))) return true;
    }
    return false;
  }
  [[nodiscard]] bool ram_air_source(unsigned circuit) const {
    return p.circuit_at[circuit].ram_air_pumps != 0 && ram_air_delivers(0);
  }
  [[nodiscard]] bool own_source(unsigned circuit) const {
    return engine_source(circuit) || electric_source(circuit) || ram_air_source(circuit);
  }
  /// A unit that drives this circuit, or nobody.
  [[nodiscard]] std::uint8_t driving_unit(unsigned circuit) const {
    for (mask m = p.circuit_at[circuit].units; m != 0; m &= m - 1) {
      const auto u = static_cast<unsigned>(std::countr_zero(m));
      const auto mode = s.logic.units[u].mode;
      if ((mode == unit_mode::a_drives_b && p.unit_at[u].b == circuit) ||
          (mode == unit_mode::b_drives_a && p.unit_at[u].a == circuit)) {
        return static_cast<std::uint8_t>(u);
      }
    }
    return nobody;
  }
  /// Pressure, if any, reaches the service branch only: in service mode, and while what is left of it decays.
  [[nodiscard]] bool service_only(unsigned circuit) const {
    const auto mode = s.logic.circuits[circuit].service;
    return mode == service_mode::service || (mode == service_mode::hold_off && !own_source(circuit));
  }
  /// Some source of the circuit is wanted to bring pressure.
  [[nodiscard]] bool source_wanted(unsigned circuit) const {
    const auto& c = p.circuit_at[circuit];
    for (mask m = c.engine_pumps; m != 0; m &= m - 1) {
      const auto pump = static_cast<unsigned>(std::countr_zero(m));
      if (has(running_, p.engine_pump_at[pump].engine) && engine_pump_loaded(pump)) return true;
    }
    for (mask m = c.electric_pumps; m != 0; m &= m - 1) {
      const auto& e = s.logic.electric_pumps[static_cast<unsigned>(std::countr_zero(m))];
      if (e.demand != demand_mode::none && e.switched != pump_switch::off) return true;
    }
    if (c.ram_air_pumps != 0 && s.logic.aircraft.ram_air == ram_air_mode::deployed) return true;
    // under test a unit shows whether it can bring pressure: until then none is missed [ALR-3]
    const auto unit = driving_unit(circuit);
    return unit != nobody && s.logic.units[unit].test == test_mode::idle;
  }
  [[nodiscard]] machines::circuit_list::facts circuit_facts(unsigned circuit) const {
    return {.service_only = service_only(circuit),
            .made = pressure_switch(circuit),
            .wanted = source_wanted(circuit),
            .in_flight = in_flight()};
  }
  [[nodiscard]] circuit_status status(unsigned circuit) const {
    return machines::circuit_list::statuses::answer<circuit_status>(circuit_facts(circuit));
  }
  /// CIR-2 without its confirmation.
  [[nodiscard]] bool low_now(unsigned circuit) const {
    return (any_engine() || in_flight()) && !pressure_switch(circuit) && status(circuit) == circuit_status::low;
  }
  [[nodiscard]] bool low_confirmed(unsigned circuit) const {
    return s.timers.circuit_low[circuit] >= p.circuit_at[circuit].low_confirmation && low_now(circuit);
  }

  // --- doors ---------------------------------------------------------------------------------------
  [[nodiscard]] bool end_made(unsigned door) const {
    const auto to = lever(door);
    return (to == lever_position::open && travel(door) == door_travel::open) ||
           (to == lever_position::close && travel(door) == door_travel::closed);
  }
  [[nodiscard]] bool may_ask(unsigned door) const {
    const auto pump = p.circuit_at[p.door_at[door].circuit].cargo_pump;  // a layout with doors has it
    return !in_flight() && s.logic.electric_pumps[pump].switched != pump_switch::off && has_power(pump);
  }
  [[nodiscard]] bool hand_pump_worked(unsigned circuit) const {
    return s.logic.circuits[circuit].hand_pump && !in_flight();
  }
  [[nodiscard]] bool door_served(unsigned door) const {
    const auto circuit = p.door_at[door].circuit;
    return !in_flight() && (s.logic.circuits[circuit].pressure_made || hand_pump_worked(circuit));
  }

  // --- transfer units --------------------------------------------------------------------------------
  [[nodiscard]] bool own_pressure(unsigned circuit) const { return own_source(circuit) && pressure_switch(circuit); }
  [[nodiscard]] bool engine_pressure(unsigned circuit) const {
    return engine_source(circuit) && pressure_switch(circuit);
  }
  [[nodiscard]] machines::transfer_unit::facts unit_facts(unsigned unit) const {
    const auto& at = p.unit_at[unit];
    const auto& u = s.logic.units[unit];
    mask selected = 0;
    for (unsigned e = 0; e < p.engines; ++e) {
      if (s.logic.engines[e].selection == selection_mode::selected) selected |= bit(e);
    }
    const bool towed_or_parked =
        s.logic.aircraft.parking_brake_set || s.logic.aircraft.steering != steering_mode::connected;
    const bool in_scope = at.scope == inhibit_scope::ground ||
                          (at.scope == inhibit_scope::parked_or_towed && towed_or_parked);
    return {.switched_on = u.switched_on,
            .low_level = at.low_level && (level_switch(at.a) <= fluid_level::low || level_switch(at.b) <= fluid_level::low),
            .low_air = at.low_air && (air_is_low(at.a) || air_is_low(at.b)),
            .hot_fluid = at.hot_fluid && (fluid_is_hot(at.a) || fluid_is_hot(at.b)),
            .overspeed = at.overspeed && u.overspeed,
            .service = s.logic.circuits[at.a].service != service_mode::none ||
                       s.logic.circuits[at.b].service != service_mode::none,
            .single_engine = !in_flight() && in_scope && has_one(selected & at.engines)};
  }
  [[nodiscard]] unit_inhibition inhibition(unsigned unit) const {
    return machines::transfer_unit::inhibitions::answer<unit_inhibition>(unit_facts(unit));
  }
  /// The crew has an electric pump of this circuit on, and it delivers.
  [[nodiscard]] bool crew_pump_on(unsigned circuit) const {
    for (mask m = p.circuit_at[circuit].electric_pumps; m != 0; m &= m - 1) {
      const auto& pump = s.logic.electric_pumps[static_cast<unsigned>(std::countr_zero(m))];
      if (pump.mode == pump_mode::delivering && pump.demand == demand_mode::crew) return true;
    }
    return false;
  }
  [[nodiscard]] machines::transfer_unit::inputs unit_inputs(unsigned unit) const {
    const auto& at = p.unit_at[unit];
    const auto& u = s.logic.units[unit];
    const bool engines_off = running_ == 0 && cranking_ == 0;
    return {.reason = inhibition(unit),
            .difference = u.difference,
            .own_a = own_source(at.a),
            .own_b = own_source(at.b),
            .one_way = at.direction == unit_direction::a_to_b,
            .test_active = u.test != test_mode::idle,
            .test_from_b = u.test_from_b,
            .crew_pump_alone_a = engines_off && crew_pump_on(at.a),
            .crew_pump_alone_b = engines_off && crew_pump_on(at.b)};
  }
  [[nodiscard]] bool unit_works(unsigned unit) const {
    return !faulty(fault::unit_seized, unit) && !faulty(fault::unit_weak, unit);
  }

  // --- consumers -------------------------------------------------------------------------------------
  /// The circuit that serves a consumer, or nobody.
  [[nodiscard]] std::uint8_t serving_circuit(unsigned consumer) const {
    const auto& at = p.consumer_at[consumer];
    for (unsigned f = 0; f < at.feed_count; ++f) {
      if (feed_serves(at, f)) return at.feed_circuit[f];
    }
    return nobody;
  }
  [[nodiscard]] machines::consumer_list::facts consumer_facts(unsigned consumer) const {
    const auto& at = p.consumer_at[consumer];
    machines::consumer_list::facts facts{};
    facts.ground_only = at.kind == consumer_kind::reverser || at.kind == consumer_kind::cargo_door;
    facts.in_flight = in_flight();
    facts.link_open = at.kind == consumer_kind::steering && s.logic.aircraft.steering != steering_mode::connected;
    facts.lives_on_store = at.store != nobody;
    facts.served = serving_circuit(consumer) != nobody || (at.store != nobody && stored(at.store) > 0) ||
                   (at.kind == consumer_kind::cargo_door && hand_pump_worked(p.door_at[at.door].circuit));
    if (facts.served) return facts;  // what cuts a feed off matters only where none serves
    for (unsigned f = 0; f < at.feed_count; ++f) {
      const auto c = at.feed_circuit[f];
      const auto& circuit = s.logic.circuits[c];
      if (service_only(c) && at.feed_branch[f] != branch::service) {
        facts.isolated = true;
      } else if (circuit.pressure_made && outer_shut(c) && at.feed_branch[f] == branch::outer) {
        facts.outer_shut = true;
      } else if (circuit.pressure_made) {
        facts.shed = true;  // nothing else keeps pressure from a feed: see feed_serves
      }
    }
    return facts;
  }
  [[nodiscard]] consumer_reason consumer_why(unsigned consumer) const {
    return machines::consumer_list::reasons::answer<consumer_reason>(consumer_facts(consumer));
  }
  /// The parking brake has circuit pressure or stored energy behind it; true where there is none fitted.
  [[nodiscard]] bool parking_brake_backed() const {
    bool fitted = false;
    for (unsigned c = 0; c < p.consumers; ++c) {
      if (p.consumer_at[c].kind != consumer_kind::parking_brake) continue;
      fitted = true;
      if (consumer_facts(c).served) return true;
    }
    return !fitted;
  }

 private:
  /// What `refresh` keeps for `live_source`.
  [[nodiscard]] std::uint8_t find_source(unsigned bus) const {
    if (faulty(fault::bus_lost, bus) || faulty(fault::all_power_lost, 0)) return nobody;
    const auto& b = p.bus_at[bus];
    for (unsigned i = 0; i < b.source_count; ++i) {
      if (source_alive(b.sources[i])) return b.sources[i];
    }
    return nobody;
  }

  [[nodiscard]] bool feed_serves(const plan::consumer& at, unsigned feed) const {
    const auto c = at.feed_circuit[feed];
    const auto& circuit = s.logic.circuits[c];
    if (!circuit.pressure_made) return false;
    if (service_only(c) && at.feed_branch[feed] != branch::service) return false;
    if (outer_shut(c) && at.feed_branch[feed] == branch::outer) return false;
    return !at.heavy || circuit.above_priority;
  }

  mask running_ = 0;
  mask cranking_ = 0;
  mask powered_ = 0;
  std::array<std::uint8_t, limits::buses> source_{};
  bool any_fault_ = false;
  bool any_armed_ = false;
  std::array<mask, count_of<fault>> faults_;  ///< read only where any_fault_
};

/// The rung of a condition's list that holds, or -1; and the list as data.
/// Inlined always: where the condition is a constant, one case is left.
[[nodiscard, gnu::always_inline]] inline int alert_rung(const view& v, condition which, unsigned i) {
  namespace lists = machines::alert_lists;
  const auto& logic = v.s.logic;
  switch (which) {
    case condition::circuits_low: {
      unsigned low = 0;
      for (unsigned c = 0; c < v.p.circuits && v.in_flight(); ++c) low += v.low_confirmed(c) ? 1U : 0U;
      return lists::many_circuits::first({v.in_flight(), low >= v.p.circuits_low_warning, true});
    }
    case condition::engine_pump:
      return lists::engine_pump::first(
          {v.engine_pump_why(i), has(v.running(), v.p.engine_pump_at[i].engine),
           v.s.timers.pump_low[i] >= v.p.engine_pump_at[i].low_confirmation && v.engine_pump_missed(i)});
    case condition::electric_pump:
      return lists::electric_pump::first({v.electric_pump_why(i), logic.electric_pumps[i].demand != demand_mode::none});
    case condition::circuit_low:
      return lists::circuit::first({v.low_confirmed(i)});
    case condition::quantity:
      return lists::quantity::first({v.level_switch(i), false, false, false});
    case condition::reservoir_air:
      return lists::reservoir_air::first({fluid_level::normal, v.air_is_low(i), false, false});
    case condition::fluid_hot:
      return lists::hot::first({fluid_level::normal, false, v.fluid_is_hot(i), false});
    case condition::lever_out:
      return lists::lever_out::first({logic.doors[i].lever_reported, false, true, false});
    case condition::run_limit:
      return lists::run_limit::first({false, logic.doors[i].mode == door_mode::timed_out, true, false});
    case condition::door_not_closed:
      return lists::door_not_closed::first({false, false, v.travel(i) == door_travel::closed, v.any_engine()});
    case condition::transfer_test:
      return lists::transfer_test::first({logic.units[i].test != test_mode::idle, false, false});
    case condition::transfer_failed:
      return lists::transfer_failed::first({false, logic.units[i].failed_caution, false});
    case condition::transfer_overspeed:
      return lists::overspeed::first({false, false, v.p.unit_at[i].overspeed && logic.units[i].overspeed});
    case condition::steering:
      return lists::steering::first({logic.aircraft.steering != steering_mode::connected, v.any_engine(), v.in_flight()});
    case condition::parking_brake:
      return lists::parking_brake::first(
          {logic.aircraft.parking_brake_set, !logic.aircraft.parking_brake_set || v.parking_brake_backed()});
    case condition::air_ground_input:
      return lists::air_ground_input::first({false, false, logic.aircraft.air_ground_valid});
    case condition::ram_air:
      return lists::ram_air::first({logic.aircraft.ram_air == ram_air_mode::deployed});
    case condition::leak_isolation:
      return lists::leak_isolation::first({fluid_level::normal, false, false, v.outer_shut(i)});
  }
  return -1;
}

[[nodiscard]] inline std::span<const machines::rung_data> alert_list(condition which) {
  namespace lists = machines::alert_lists;
  switch (which) {
    case condition::circuits_low: return lists::many_circuits::data;
    case condition::engine_pump: return lists::engine_pump::data;
    case condition::electric_pump: return lists::electric_pump::data;
    case condition::circuit_low: return lists::circuit::data;
    case condition::quantity: return lists::quantity::data;
    case condition::reservoir_air: return lists::reservoir_air::data;
    case condition::fluid_hot: return lists::hot::data;
    case condition::lever_out: return lists::lever_out::data;
    case condition::run_limit: return lists::run_limit::data;
    case condition::door_not_closed: return lists::door_not_closed::data;
    case condition::transfer_test: return lists::transfer_test::data;
    case condition::transfer_failed: return lists::transfer_failed::data;
    case condition::transfer_overspeed: return lists::overspeed::data;
    case condition::steering: return lists::steering::data;
    case condition::parking_brake: return lists::parking_brake::data;
    case condition::air_ground_input: return lists::air_ground_input::data;
    case condition::ram_air: return lists::ram_air::data;
    case condition::leak_isolation: return lists::leak_isolation::data;
  }
  return {};
}

/// How many subjects a condition has in a layout, and of which kind.
[[nodiscard]] constexpr unsigned subjects_of(const plan& p, condition which) {
  switch (which) {
    case condition::engine_pump: return p.engine_pumps;
    case condition::electric_pump: return p.electric_pumps;
    case condition::circuit_low:
    case condition::quantity:
    case condition::reservoir_air:
    case condition::fluid_hot:
    case condition::leak_isolation: return p.circuits;
    case condition::lever_out:
    case condition::run_limit:
    case condition::door_not_closed: return p.doors;
    case condition::transfer_test:
    case condition::transfer_failed:
    case condition::transfer_overspeed: return p.units;
    case condition::ram_air: return p.ram_air_pumps;
    case condition::circuits_low:
    case condition::steering:
    case condition::parking_brake:
    case condition::air_ground_input: return 1;
  }
  return 0;
}
[[nodiscard]] constexpr component subject_kind(condition which) {
  switch (which) {
    case condition::engine_pump: return component::engine_pump;
    case condition::electric_pump: return component::electric_pump;
    case condition::circuit_low:
    case condition::quantity:
    case condition::reservoir_air:
    case condition::fluid_hot:
    case condition::leak_isolation: return component::circuit;
    case condition::lever_out:
    case condition::run_limit:
    case condition::door_not_closed: return component::cargo_door;
    case condition::transfer_test:
    case condition::transfer_failed:
    case condition::transfer_overspeed: return component::transfer_unit;
    case condition::ram_air: return component::ram_air_pump;
    case condition::steering: return component::steering;
    case condition::circuits_low:
    case condition::parking_brake:
    case condition::air_ground_input: return component::aircraft;
  }
  return component::aircraft;
}

/// Calls `each(condition, i)` for every place an alert may stand in; the condition is a constant.
template <class Each>
constexpr void for_each_alert(const plan& p, Each each) {
  const auto all_of = [&p, &each](auto which) {
    const unsigned many = subjects_of(p, which);
    for (unsigned i = 0; i < many; ++i) each(which, i);
  };
  [&all_of]<std::size_t... Number>(std::index_sequence<Number...>) {
    (all_of(std::integral_constant<condition, static_cast<condition>(Number)>{}), ...);
  }(std::make_index_sequence<count_of<condition>>{});
}

}  // namespace penstock::inline v1::detail
