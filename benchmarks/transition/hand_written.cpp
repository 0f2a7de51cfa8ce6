// See hand_written.hpp. The order of a frame is that of GEN-3.
#include "hand_written.hpp"

#include <algorithm>
#include <limits>

namespace by_hand {

std::uint8_t aircraft::most_applications = 0;

namespace {

unsigned count_of_parts(component kind) {
  switch (kind) {
    case component::aircraft:
    case component::steering:
    case component::ram_air_pump:
    case component::transfer_unit:
    case component::store: return 1;
    case component::engine:
    case component::engine_pump:
    case component::electric_pump:
    case component::cargo_door:
    case component::bus: return 2;
    case component::circuit: return 3;
    case component::consumer: return 10;
  }
  return 0;
}

unsigned fault_bit(subject where) {
  return where.kind == component::electric_pump ? electric_bit + where.index : where.index;
}

}  // namespace

// --- what can be read off ----------------------------------------------------------------------------

bool aircraft::powered(unsigned bus) const {
  if (has_fault(fault::bus_lost, bus) || has_fault(fault::all_power_lost, 0)) return false;
  return any_engine() || auxiliary_power || external_power;
}

bool aircraft::pressure_switch(unsigned c) const {
  if (has_fault(fault::pressure_switch_stuck_made, c)) return true;
  if (has_fault(fault::pressure_switch_stuck_open, c)) return false;
  return circuit[c].made;
}

fluid_level aircraft::level_switch(unsigned c) const {
  if (has_fault(fault::level_switch_stuck_low, c)) return fluid_level::low;
  if (has_fault(fault::level_switch_stuck_normal, c)) return fluid_level::normal;
  return circuit[c].level;
}

lever_position aircraft::lever(unsigned d) const {
  if (has_fault(fault::lever_stuck_neutral, d)) return lever_position::neutral;
  if (has_fault(fault::lever_stuck_open, d)) return lever_position::open;
  if (has_fault(fault::lever_stuck_close, d)) return lever_position::close;
  return door[d].lever;
}

door_travel aircraft::travel(unsigned d) const {
  if (has_fault(fault::travel_switch_stuck_made, d)) {
    return lever(d) == lever_position::open ? door_travel::open : door_travel::closed;
  }
  if (has_fault(fault::travel_switch_stuck_open, d)) return door_travel::between;
  return door[d].travel;
}

bool aircraft::supply_open(unsigned e) const {
  if (has_fault(fault::supply_valve_stuck_open, e)) return true;
  if (has_fault(fault::supply_valve_stuck_closed, e)) return false;
  return !engine[e].supply_closed;
}

engine_pump_reason aircraft::engine_pump_why(unsigned pump) const {
  const auto& p = engine_pumps[pump];
  if (!p.switched_on) return engine_pump_reason::off;
  if (p.health != health_mode::healthy) return engine_pump_reason::failed;
  if (p.hot || has_fault(fault::pump_overheated, pump)) return engine_pump_reason::overheat;
  if (engine[pump].spool < spool_band::driving) return engine_pump_reason::not_turning;
  if (!supply_open(pump)) return engine_pump_reason::no_supply;
  if (circuit[pump].level == fluid_level::empty) return engine_pump_reason::dry;
  return engine_pump_reason::delivering;
}

electric_pump_reason aircraft::electric_pump_why(unsigned pump) const {
  const auto& p = electric_pumps[pump];
  if (p.switched == pump_switch::off) return electric_pump_reason::off;
  if (!pump_has_power(pump)) return electric_pump_reason::no_power;
  if (p.health != health_mode::healthy) return electric_pump_reason::failed;
  if (p.hot || has_fault(fault::pump_overheated, electric_bit + pump)) return electric_pump_reason::overheat;
  if (p.demand == demand_mode::none) return electric_pump_reason::not_wanted;
  if (circuit[pump == cargo ? port : keel].level == fluid_level::empty) return electric_pump_reason::dry;
  return electric_pump_reason::delivering;
}

bool aircraft::pump_missed(unsigned pump) const {
  const auto& p = engine_pumps[pump];
  return runs(pump) && p.switched_on && (!p.delivers || has_fault(fault::pump_weak, pump));
}

bool aircraft::ram_air_delivers() const {
  return ram_air == ram_air_mode::deployed && airspeed != airspeed_band::slow &&
         circuit[keel].level != fluid_level::empty;
}

bool aircraft::own_source(unsigned c) const {
  switch (c) {
    case port: return engine_pumps[0].delivers || electric_pumps[cargo].delivers;
    case starboard: return engine_pumps[1].delivers;
    default: return electric_pumps[keel_pump].delivers || ram_air_delivers();
  }
}

bool aircraft::source_wanted(unsigned c) const {
  const auto wanted = [this](unsigned pump) {
    return electric_pumps[pump].demand != demand_mode::none && electric_pumps[pump].switched != pump_switch::off;
  };
  // under test the unit shows whether it can bring pressure: until then none is missed
  const bool driven = unit.test == test_mode::idle;
  switch (c) {
    case port:
      return (runs(0) && engine_pumps[0].switched_on) || wanted(cargo) ||
             (driven && unit.mode == unit_mode::b_drives_a);
    case starboard:
      return (runs(1) && engine_pumps[1].switched_on) || (driven && unit.mode == unit_mode::a_drives_b);
    default: return wanted(keel_pump) || ram_air == ram_air_mode::deployed;
  }
}

bool aircraft::service_only() const {
  return service == service_mode::service || (service == service_mode::hold_off && !own_source(port));
}

bool aircraft::low_now(unsigned c) const {
  return (any_engine() || in_flight) && !pressure_switch(c) && (source_wanted(c) || in_flight);
}

unit_inhibition aircraft::inhibition() const {
  if (!unit.switched_on) return unit_inhibition::switched_off;
  if (level_switch(port) <= fluid_level::low || level_switch(starboard) <= fluid_level::low) {
    return unit_inhibition::low_level;
  }
  if (service != service_mode::none) return unit_inhibition::service;
  if (!in_flight && (brake_set || steering != steering_mode::connected) && engine[0].selected != engine[1].selected) {
    return unit_inhibition::single_engine;
  }
  return unit_inhibition::none;
}

test_reason aircraft::hindrance() const {
  const auto why = inhibition();
  if (why == unit_inhibition::switched_off) return test_reason::unit_off;
  if (why != unit_inhibition::none) return test_reason::unit_inhibited;
  if (!engine_pressure(port) && !engine_pressure(starboard)) return test_reason::no_engine_pressure;
  if (own_pressure(port) && own_pressure(starboard)) return test_reason::both_have_pressure;
  return test_reason::none;
}

test_reason aircraft::ending() const {
  const bool judged = unit.second != 0;
  const auto mode = judged ? engine[unit.second - 1U].mode : engine_mode::cranking;
  const auto why = inhibition();
  if (why == unit_inhibition::switched_off) return test_reason::unit_off;
  if (mode == engine_mode::stopped || mode == engine_mode::run_down) return test_reason::start_given_up;
  if (why != unit_inhibition::none) return test_reason::unit_inhibited;
  if (in_flight) return test_reason::lift_off;
  if (!own_pressure(unit.test_from_b ? starboard : port)) return test_reason::driving_lost;
  if (mode == engine_mode::running) return test_reason::start_complete;
  if (own_source(unit.test_from_b ? port : starboard)) return test_reason::own_pump_delivers;
  return test_reason::none;
}

bool aircraft::brake_backed() const {
  return circuit[port].made || (stored > 0 && !has_fault(fault::store_gas_lost, 0));
}

// --- one event -------------------------------------------------------------------------------------------

refusal_kind aircraft::handle(const event& e) {
  if (const auto bad = checked(e); bad != refusal_kind::none) return bad;
  if (e.kind == event_kind::elapsed) return pass(e.amount);
  moved_ = false;
  const auto refused = e.kind < event_kind::spool ? command(e) : fact(e);
  if (refused == refusal_kind::none) settle();
  return refused;
}

refusal_kind aircraft::checked(const event& e) {
  if (e.kind > event_kind::clear_faults) return refusal_kind::bad_value;
  if (e.kind == event_kind::inject || e.kind == event_kind::remove_fault) {
    return e.value < count_of<fault> ? refusal_kind::none : refusal_kind::bad_value;
  }
  if (e.about.kind > component::store) return refusal_kind::bad_value;
  if (e.about.index >= count_of_parts(e.about.kind)) return refusal_kind::no_such_part;
  auto right = component::aircraft;
  unsigned values = 0;  // 0: none
  bool pump = false;    // electric pumps as well
  bool also_unit = false;
  switch (e.kind) {
    case event_kind::start:
    case event_kind::abort_start:
    case event_kind::shut_down:
    case event_kind::reset_supply:
    case event_kind::starter_out:
    case event_kind::hang:
    case event_kind::flame_out: right = component::engine; break;
    case event_kind::fire_handle: right = component::engine, values = 2; break;
    case event_kind::spool: right = component::engine, values = 5; break;
    case event_kind::switch_: right = component::engine_pump, values = 3, pump = true, also_unit = true; break;
    case event_kind::reset: right = component::engine_pump, pump = true; break;
    case event_kind::failure:
    case event_kind::overheat: right = component::engine_pump, values = 2, pump = true; break;
    case event_kind::ground_override: right = component::electric_pump; break;
    case event_kind::shed: right = component::electric_pump, values = 2; break;
    case event_kind::lever:
    case event_kind::travel: right = component::cargo_door, values = 3; break;
    case event_kind::hand_pump:
    case event_kind::leak_isolation:
    case event_kind::pressure:
    case event_kind::priority:
    case event_kind::air:
    case event_kind::fluid: right = component::circuit, values = 2; break;
    case event_kind::level: right = component::circuit, values = 4; break;
    case event_kind::maintenance_test: right = component::transfer_unit; break;
    case event_kind::difference: right = component::transfer_unit, values = 5; break;
    case event_kind::overspeed: right = component::transfer_unit, values = 2; break;
    case event_kind::stow: right = component::ram_air_pump; break;
    case event_kind::steering:
    case event_kind::pin: right = component::steering, values = 2; break;
    case event_kind::stored: right = component::store; break;
    case event_kind::parking_brake:
    case event_kind::gear:
    case event_kind::external_power:
    case event_kind::auxiliary_power: values = 2; break;
    case event_kind::air_ground:
    case event_kind::airspeed:
    case event_kind::phase: values = 3; break;
    default: break;
  }
  const bool fits = e.about.kind == right || (pump && e.about.kind == component::electric_pump) ||
                    (also_unit && e.about.kind == component::transfer_unit);
  if (!fits) return refusal_kind::wrong_part;
  if (values == 0 ? e.value != 0 : e.value >= values) return refusal_kind::bad_value;
  if (e.kind == event_kind::stored && (e.amount < 0 || e.amount > most_applications)) return refusal_kind::bad_value;
  return refusal_kind::none;
}

refusal_kind aircraft::command(const event& e) {
  const unsigned i = e.about.index;
  switch (e.kind) {
    case event_kind::start:
    case event_kind::abort_start:
    case event_kind::shut_down: return engine_event(i, e.kind);
    case event_kind::fire_handle: {
      const bool pulled = e.value == 1;
      auto& at = engine[i];
      if (!pulled && !at.supply_closed) return refusal_kind::no_meaning;
      if (at.handle_pulled == pulled) return refusal_kind::guard;
      if (pulled) at.supply_closed = true;
      at.handle_pulled = pulled;
      return refusal_kind::none;
    }
    case event_kind::reset_supply: {
      auto& at = engine[i];
      if (!at.supply_closed) return refusal_kind::no_meaning;
      if (at.handle_pulled) return refusal_kind::by_row;
      at.supply_closed = false;
      return refusal_kind::none;
    }
    case event_kind::switch_: return switch_moved(e);
    case event_kind::reset: return reset_pump(e);
    case event_kind::ground_override: {
      if (i != keel_pump) return refusal_kind::not_fitted;
      auto& pump = electric_pumps[keel_pump];
      switch (pump.demand) {
        case demand_mode::none:
          if (pump.switched == pump_switch::off) return refusal_kind::by_row;
          break;
        case demand_mode::touchdown:
          if (pump.switched == pump_switch::off) return refusal_kind::guard;
          break;
        case demand_mode::engine:
        case demand_mode::flight:
        case demand_mode::override_: return refusal_kind::by_row;
        default: return refusal_kind::no_meaning;
      }
      pump.demand = demand_mode::override_;
      return refusal_kind::none;
    }
    case event_kind::lever: {
      const auto to = static_cast<lever_position>(e.value);
      if (door[i].lever == to) return refusal_kind::no_meaning;
      door[i].lever = to;
      return refusal_kind::none;
    }
    case event_kind::hand_pump:
    case event_kind::leak_isolation:
    case event_kind::maintenance_test: return refusal_kind::not_fitted;
    case event_kind::stow:
      if (ram_air == ram_air_mode::stowed) return refusal_kind::no_meaning;
      if (in_flight) return refusal_kind::by_row;
      ram_air = ram_air_mode::stowed;
      return refusal_kind::none;
    case event_kind::steering:
    case event_kind::pin: return steering_command(e);
    case event_kind::parking_brake: {
      const bool set = e.value == 0;
      if (brake_set == set) return refusal_kind::no_meaning;
      brake_set = set;
      return refusal_kind::none;
    }
    case event_kind::apply_brakes: return refusal_kind::none;
    case event_kind::gear: {
      const bool down = e.value == 0;
      if (gear_down == down || (!down && !in_flight)) return refusal_kind::no_meaning;
      gear_down = down;
      return refusal_kind::none;
    }
    case event_kind::acknowledge: {
      std::uint32_t open = 0;
      for (unsigned s = 0; s < slots; ++s) {
        if (alerts[s] != alert_class::none) open |= 1U << s;
      }
      open &= ~acknowledged;
      if (open == 0) return refusal_kind::no_meaning;
      acknowledged |= open;
      return refusal_kind::none;
    }
    default:  // recall
      if (acknowledged == 0) return refusal_kind::no_meaning;
      acknowledged = 0;
      return refusal_kind::none;
  }
}

refusal_kind aircraft::switch_moved(const event& e) {
  const unsigned i = e.about.index;
  const auto to = static_cast<pump_switch>(e.value);
  if (e.about.kind == component::engine_pump) {
    if (to == pump_switch::automatic) return refusal_kind::not_fitted;
    const bool on = to == pump_switch::on;
    if (engine_pumps[i].switched_on == on) return refusal_kind::no_meaning;
    engine_pumps[i].switched_on = on;
    return refusal_kind::none;
  }
  if (e.about.kind == component::transfer_unit) {
    const bool on = to != pump_switch::off;
    if (unit.switched_on == on) return refusal_kind::no_meaning;
    unit.switched_on = on;
    return refusal_kind::none;
  }
  if (i == keel_pump && to == pump_switch::on) return refusal_kind::not_fitted;
  if (electric_pumps[i].switched == to) return refusal_kind::no_meaning;
  electric_pumps[i].switched = to;
  return refusal_kind::none;
}

refusal_kind aircraft::steering_command(const event& e) {
  const bool first = e.value == 0;  // connect, or pin in
  switch (steering) {
    case steering_mode::connected:
      if (e.kind == event_kind::steering) {
        if (first) return refusal_kind::no_meaning;
        if (in_flight) return refusal_kind::by_row;
        steering = steering_mode::disconnected;
        return refusal_kind::none;
      }
      return first ? refusal_kind::by_row : refusal_kind::no_meaning;
    case steering_mode::disconnected:
      if (!first) return refusal_kind::no_meaning;
      steering = e.kind == event_kind::steering ? steering_mode::connected : steering_mode::pinned;
      return refusal_kind::none;
    case steering_mode::pinned:
      if (e.kind == event_kind::steering) return first ? refusal_kind::by_row : refusal_kind::no_meaning;
      if (first) return refusal_kind::no_meaning;
      steering = steering_mode::disconnected;
      return refusal_kind::none;
  }
  return refusal_kind::no_meaning;
}

refusal_kind aircraft::reset_pump(const event& e) {
  const unsigned i = e.about.index;
  const bool electric = e.about.kind == component::electric_pump;
  auto& health = electric ? electric_pumps[i].health : engine_pumps[i].health;
  const bool failure = electric ? electric_pumps[i].failure : engine_pumps[i].failure;
  switch (health) {
    case health_mode::healthy: return refusal_kind::no_meaning;
    case health_mode::failed:
      if (failure || has_fault(fault::pump_failed, fault_bit(e.about))) return refusal_kind::by_row;
      health = health_mode::healthy;
      return refusal_kind::none;
    case health_mode::damaged: return refusal_kind::by_row;
  }
  return refusal_kind::no_meaning;
}

refusal_kind aircraft::fact(const event& e) {
  const unsigned i = e.about.index;
  const bool yes = e.value == 1;
  const bool electric = e.about.kind == component::electric_pump;
  switch (e.kind) {
    case event_kind::starter_out:
    case event_kind::hang:
    case event_kind::flame_out: return engine_event(i, e.kind);
    case event_kind::spool: engine[i].spool = static_cast<spool_band>(e.value); break;
    case event_kind::failure: (electric ? electric_pumps[i].failure : engine_pumps[i].failure) = yes; break;
    case event_kind::overheat: (electric ? electric_pumps[i].hot : engine_pumps[i].hot) = yes; break;
    case event_kind::travel: door[i].travel = static_cast<door_travel>(e.value); break;
    case event_kind::pressure: circuit[i].made = yes; break;
    case event_kind::priority: circuit[i].above_priority = yes; break;
    case event_kind::level: circuit[i].level = static_cast<fluid_level>(e.value); break;
    case event_kind::air: circuit[i].air_low = yes; break;
    case event_kind::fluid: circuit[i].hot = yes; break;
    case event_kind::difference: unit.difference = static_cast<pressure_difference>(e.value); break;
    case event_kind::overspeed: unit.overspeed = yes; break;
    case event_kind::stored: stored = static_cast<std::uint8_t>(e.amount); break;
    case event_kind::shed: electric_pumps[i].shed = yes; break;
    case event_kind::external_power: external_power = yes; break;
    case event_kind::auxiliary_power: auxiliary_power = yes; break;
    case event_kind::air_ground:
      air_ground_valid = e.value != 2;
      if (!air_ground_valid || in_flight == yes) break;
      if (yes) report_levers();
      in_flight = yes;
      break;
    case event_kind::airspeed: airspeed = static_cast<airspeed_band>(e.value); break;
    case event_kind::phase: phase = static_cast<flight_phase>(e.value); break;
    case event_kind::inject: return inject(e);
    case event_kind::remove_fault: return remove_fault(e);
    case event_kind::clear_faults:
      faults = {};
      faulty = {};
      repair_pumps();
      break;
    default: break;
  }
  return refusal_kind::none;
}

// --- faults ------------------------------------------------------------------------------------------------

refusal_kind aircraft::checked_place(const event& e) {
  if (e.about.kind > component::store) return refusal_kind::bad_value;
  if (e.about.index >= count_of_parts(e.about.kind)) return refusal_kind::no_such_part;
  auto right = component::circuit;
  bool electric = false;
  switch (static_cast<fault>(e.value)) {
    case fault::pump_failed:
    case fault::pump_overheated:
    case fault::pump_weak: right = component::engine_pump, electric = true; break;
    case fault::shaft_sheared: right = component::engine_pump; break;
    case fault::consumer_leak: right = component::consumer; break;
    case fault::bus_lost: right = component::bus; break;
    case fault::all_power_lost: right = component::aircraft; break;
    case fault::unit_seized:
    case fault::unit_weak: right = component::transfer_unit; break;
    case fault::lever_stuck_neutral:
    case fault::lever_stuck_open:
    case fault::lever_stuck_close:
    case fault::travel_switch_stuck_made:
    case fault::travel_switch_stuck_open: right = component::cargo_door; break;
    case fault::supply_valve_stuck_open:
    case fault::supply_valve_stuck_closed:
    case fault::engine_hangs:
    case fault::engine_flames_out: right = component::engine; break;
    case fault::store_gas_lost: right = component::store; break;
    default: break;
  }
  const bool fits = e.about.kind == right || (electric && e.about.kind == component::electric_pump);
  return fits ? refusal_kind::none : refusal_kind::wrong_part;
}

refusal_kind aircraft::inject(const event& e) {
  const auto kind = static_cast<fault>(e.value);
  if (const auto bad = checked_place(e); bad != refusal_kind::none) return bad;
  const bool amount = kind == fault::reservoir_leak || kind == fault::line_leak || kind == fault::consumer_leak;
  if (amount ? (e.amount <= 0 || e.amount > 100'000'000) : e.amount != 0) return refusal_kind::bad_value;
  if (e.trigger > fault_trigger::test_runs) return refusal_kind::bad_value;
  if (e.trigger == fault_trigger::at_time &&
      (e.trigger_time < now || e.trigger_time > std::int64_t{now} + 86'400'000)) {
    return refusal_kind::time;
  }
  const auto trigger_kind = e.trigger_about.kind;
  bool fits = true;
  switch (e.trigger) {
    case fault_trigger::engine_runs:
    case fault_trigger::engine_cranks: fits = trigger_kind == component::engine; break;
    case fault_trigger::pump_delivers:
      fits = trigger_kind == component::engine_pump || trigger_kind == component::electric_pump;
      break;
    case fault_trigger::pressure_made: fits = trigger_kind == component::circuit; break;
    case fault_trigger::door_moves: fits = trigger_kind == component::cargo_door; break;
    case fault_trigger::test_runs: fits = trigger_kind == component::transfer_unit; break;
    default: break;
  }
  const bool names_part = e.trigger > fault_trigger::at_time && e.trigger != fault_trigger::lift_off &&
                          e.trigger != fault_trigger::touchdown;
  if (names_part) {
    if (trigger_kind > component::store) return refusal_kind::bad_value;
    if (e.trigger_about.index >= count_of_parts(trigger_kind)) return refusal_kind::no_such_part;
    if (!fits) return refusal_kind::wrong_part;
  }
  fault_part* place = nullptr;
  for (auto& f : faults) {
    if (f.status != fault_status::unused && f.kind == kind && f.where == e.about) return refusal_kind::no_meaning;
    if (place == nullptr && f.status == fault_status::unused) place = &f;
  }
  if (place == nullptr) return refusal_kind::too_many_faults;
  const bool at_once = e.trigger == fault_trigger::at_once;
  *place = {at_once ? fault_status::active : fault_status::armed,
            kind,
            e.about,
            e.trigger,
            e.trigger_about,
            false,
            static_cast<std::uint32_t>(e.amount),
            static_cast<std::uint32_t>(e.trigger_time)};
  if (at_once) faulty[e.value] = static_cast<std::uint16_t>(faulty[e.value] | 1U << fault_bit(e.about));
  return refusal_kind::none;
}

refusal_kind aircraft::remove_fault(const event& e) {
  const auto kind = static_cast<fault>(e.value);
  if (const auto bad = checked_place(e); bad != refusal_kind::none) return bad;
  for (auto& f : faults) {
    if (f.status == fault_status::unused || f.kind != kind || f.where != e.about) continue;
    f = {};
    faulty[e.value] = static_cast<std::uint16_t>(faulty[e.value] & ~(1U << fault_bit(e.about)));
    auto& health = engine_pumps[kind == fault::shaft_sheared ? e.about.index : 0].health;
    if (kind == fault::shaft_sheared && health == health_mode::damaged) health = health_mode::healthy;
    return refusal_kind::none;
  }
  return refusal_kind::no_such_fault;
}

void aircraft::repair_pumps() {
  for (auto& p : engine_pumps) {
    if (p.health == health_mode::damaged) p.health = health_mode::healthy;
  }
}

void aircraft::trigger_faults() {
  for (auto& f : faults) {
    if (f.status != fault_status::armed) continue;
    f.seen_in_air = f.seen_in_air || in_flight;
    if (!trigger_holds(f)) continue;
    f.status = fault_status::active;
    auto& set = faulty[static_cast<std::size_t>(f.kind)];
    set = static_cast<std::uint16_t>(set | 1U << fault_bit(f.where));
    moved_ = true;
  }
}

bool aircraft::trigger_holds(const fault_part& f) const {
  const unsigned i = f.trigger_about.index;
  switch (f.trigger) {
    case fault_trigger::at_once: return true;
    case fault_trigger::at_time: return now >= f.trigger_time;
    case fault_trigger::engine_runs: return runs(i);
    case fault_trigger::engine_cranks: return cranks(i);
    case fault_trigger::lift_off: return in_flight;
    case fault_trigger::touchdown: return f.seen_in_air && !in_flight;
    case fault_trigger::pump_delivers:
      return f.trigger_about.kind == component::engine_pump ? engine_pumps[i].delivers : electric_pumps[i].delivers;
    case fault_trigger::pressure_made: return circuit[i].made;
    case fault_trigger::door_moves: return door[i].mode == door_mode::asking;
    case fault_trigger::test_runs: return unit.test != test_mode::idle;
  }
  return false;
}

// --- settling ----------------------------------------------------------------------------------------------

void aircraft::settle() {
  int passes = 0;
  do {
    moved_ = false;
    trigger_faults();
    engines_turn();
    doors_turn();
    engine_pump_turns(0);
    engine_pump_turns(1);
    cargo_pump_turns();
    keel_pump_turns();
    if (ram_air == ram_air_mode::stowed && in_flight && airspeed == airspeed_band::fast &&
        (!any_engine() || (!powered(0) && !powered(1)))) {
      ram_air = ram_air_mode::deployed;
      moved_ = true;
    }
    service_turns();
    unit_turns();
  } while (moved_ && ++passes < 4);
  reset_timers();
  annunciate();
}

refusal_kind aircraft::engine_event(unsigned e, event_kind happening) {
  auto& at = engine[e];
  const auto mode = at.mode;
  const bool turning_under_power =
      mode == engine_mode::cranking || mode == engine_mode::at_idle || mode == engine_mode::running;
  switch (happening) {
    case event_kind::start:
      if (mode != engine_mode::stopped && mode != engine_mode::run_down) return refusal_kind::no_meaning;
      at.starter_out = false;
      engine_goes_to(e, engine_mode::cranking);
      at.selected = true;
      report_levers();
      break;
    case event_kind::abort_start:
      if (mode != engine_mode::cranking) return refusal_kind::no_meaning;
      engine_goes_to(e, engine_mode::run_down);
      at.selected = false;
      break;
    case event_kind::shut_down:
      if (!turning_under_power && !at.selected) return refusal_kind::no_meaning;
      if (turning_under_power) engine_goes_to(e, engine_mode::run_down);
      at.selected = false;
      break;
    // facts: without meaning in other states, and then no mistake
    case event_kind::hang:
      if (mode != engine_mode::cranking) break;
      engine_goes_to(e, engine_mode::run_down);
      at.selected = false;
      break;
    case event_kind::flame_out:
      if (!turning_under_power) break;
      engine_goes_to(e, engine_mode::run_down);
      if (mode == engine_mode::cranking) at.selected = false;
      break;
    default:  // starter_out
      if (mode == engine_mode::cranking || mode == engine_mode::at_idle) at.starter_out = true;
      if (mode == engine_mode::at_idle) engine_goes_to(e, engine_mode::running);
      break;
  }
  return refusal_kind::none;
}

void aircraft::engine_goes_to(unsigned e, engine_mode to) {
  const bool ran = runs(e);
  const bool cranked = cranks(e);
  auto& at = engine[e];
  auto& other = engine[1 - e];
  at.mode = to;
  moved_ = true;
  if (cranked != cranks(e)) {
    if (cranked && other.cranking_rank > at.cranking_rank) --other.cranking_rank;
    at.cranking_rank = cranked ? 0 : static_cast<std::uint8_t>(other.cranking_rank + 1);
  }
  if (ran != runs(e)) {
    if (ran && other.running_rank > at.running_rank) --other.running_rank;
    at.running_rank = ran ? 0 : static_cast<std::uint8_t>(other.running_rank + 1);
  }
}

void aircraft::engines_turn() {
  for (unsigned e = 0; e < engines; ++e) {
    if (has_fault(fault::engine_hangs, e) && cranks(e) && engine[e].spool >= spool_band::driving) {
      engine_event(e, event_kind::hang);
    }
    if (has_fault(fault::engine_flames_out, e) && (cranks(e) || runs(e))) engine_event(e, event_kind::flame_out);
    for (int i = 0; i < 6 && engine_evaluates(e); ++i) {
    }
  }
}

bool aircraft::engine_evaluates(unsigned e) {
  auto& at = engine[e];
  auto to = at.mode;
  switch (at.mode) {
    case engine_mode::stopped:
      if (at.spool != spool_band::zero) to = engine_mode::run_down;
      break;
    case engine_mode::cranking:
      if (at.spool == spool_band::idle) to = engine_mode::at_idle;
      break;
    case engine_mode::at_idle:
      if (at.spool < spool_band::near_idle) {
        to = engine_mode::run_down;
      } else if (at.starter_out) {
        to = engine_mode::running;
      }
      break;
    case engine_mode::running:
      if (at.spool < spool_band::near_idle) to = engine_mode::run_down;
      break;
    case engine_mode::run_down:
      if (at.spool == spool_band::zero) to = engine_mode::stopped;
      break;
  }
  if (to == at.mode) return false;
  engine_goes_to(e, to);
  return true;
}

void aircraft::doors_turn() {
  const bool allowed = !in_flight && electric_pumps[cargo].switched != pump_switch::off && pump_has_power(cargo);
  for (unsigned d = 0; d < doors; ++d) {
    auto& at = door[d];
    const auto handle = lever(d);
    const auto where = travel(d);
    auto to = at.mode;
    if (handle == lever_position::neutral) {
      at.lever_reported = false;
      at.ran_for = 0;
      to = door_mode::idle;
    } else {
      const bool limit = at.ran_for >= run_limit_time;
      const bool end = (handle == lever_position::open && where == door_travel::open) ||
                       (handle == lever_position::close && where == door_travel::closed);
      const auto wanted = end ? door_mode::at_end : allowed ? door_mode::asking : door_mode::blocked;
      switch (at.mode) {
        case door_mode::idle:
        case door_mode::blocked:
          if (!limit) to = wanted;
          break;
        case door_mode::asking:
        case door_mode::at_end: to = limit ? door_mode::timed_out : wanted; break;
        case door_mode::timed_out: break;
      }
    }
    if (to != at.mode) moved_ = true;
    at.mode = to;
  }
}

void aircraft::report_levers() {
  for (unsigned d = 0; d < doors; ++d) {
    if (lever(d) != lever_position::neutral) door[d].lever_reported = true;
  }
}

void aircraft::pump_health_turns(health_mode& health, bool failing, bool sheared) {
  switch (health) {
    case health_mode::healthy:
      if (sheared) {
        health = health_mode::damaged;
      } else if (failing) {
        health = health_mode::failed;
      } else {
        return;
      }
      break;
    case health_mode::failed:
      if (!sheared) return;
      health = health_mode::damaged;
      break;
    case health_mode::damaged: return;
  }
  moved_ = true;
}

void aircraft::engine_pump_turns(unsigned pump) {
  auto& p = engine_pumps[pump];
  pump_health_turns(p.health, p.failure || has_fault(fault::pump_failed, pump), has_fault(fault::shaft_sheared, pump));
  const bool delivers = engine_pump_why(pump) == engine_pump_reason::delivering;
  if (delivers != p.delivers) moved_ = true;
  p.delivers = delivers;
}

void aircraft::cargo_pump_turns() {
  auto& p = electric_pumps[cargo];
  const bool asked = door[0].mode == door_mode::asking || door[1].mode == door_mode::asking;
  const auto before = p.demand;
  switch (p.switched) {
    case pump_switch::off: p.demand = demand_mode::none; break;
    case pump_switch::automatic: p.demand = asked ? demand_mode::door : demand_mode::none; break;
    case pump_switch::on: p.demand = demand_mode::crew; break;
  }
  if (p.demand != before) moved_ = true;
  electric_pump_runs(cargo);
}

void aircraft::keel_pump_turns() {
  auto& p = electric_pumps[keel_pump];
  const auto before = p.demand;
  if (any_engine()) {
    p.demand = demand_mode::engine;
  } else if (in_flight) {
    p.demand = demand_mode::flight;
  } else {
    switch (p.demand) {
      case demand_mode::flight: p.demand = demand_mode::touchdown; break;
      case demand_mode::touchdown:
        if (touched_down_for >= touchdown_time) p.demand = demand_mode::none;
        break;
      case demand_mode::override_:
        if (p.switched == pump_switch::off) p.demand = demand_mode::none;
        break;
      default: p.demand = demand_mode::none; break;
    }
  }
  if (p.demand != before) moved_ = true;
  electric_pump_runs(keel_pump);
}

void aircraft::electric_pump_runs(unsigned pump) {
  auto& p = electric_pumps[pump];
  pump_health_turns(p.health, p.failure || has_fault(fault::pump_failed, electric_bit + pump), false);
  const bool delivers = electric_pump_why(pump) == electric_pump_reason::delivering;
  if (delivers != p.delivers) moved_ = true;
  p.delivers = delivers;
}

void aircraft::service_turns() {
  const auto& pump = electric_pumps[cargo];
  const bool for_door = pump.delivers && pump.demand == demand_mode::door;
  const bool other = engine_pumps[0].delivers;
  const bool alone = for_door && !other && !in_flight;
  const bool crew = pump.switched == pump_switch::on;
  auto to = service;
  switch (service) {
    case service_mode::none:
      if (alone) to = service_mode::service;
      break;
    case service_mode::service:
      if (in_flight || (!alone && crew)) {
        to = service_mode::none;
      } else if (!crew && (other || !for_door)) {
        to = service_mode::hold_off;
      }
      break;
    case service_mode::hold_off:
      if (alone) {
        to = service_mode::service;
      } else if (in_flight || crew || hold_off_for >= hold_off_time) {
        to = service_mode::none;
      }
      break;
  }
  if (to == service) return;
  service = to;
  hold_off_for = 0;
  moved_ = true;
}

void aircraft::unit_turns() {
  for (int i = 0; i < 5 && test_evaluates(); ++i) {
  }
  judge_second_start();
  for (int i = 0; i < 6 && unit_moves(); ++i) {
  }
}

bool aircraft::test_evaluates() {
  const auto before = unit.test;
  const bool caution = unit.failed_caution;
  const bool driven_made = pressure_switch(unit.test_from_b ? port : starboard);
  switch (unit.test) {
    case test_mode::idle:
      if (unit.failed_caution && !unit.switched_on) unit.failed_caution = false;
      break;
    case test_mode::waiting:
    case test_mode::holding:
      if (const auto why = ending(); why != test_reason::none) {
        unit.test = test_mode::idle;
        unit.outcome = test_outcome::interrupted;
        unit.reason = why;
      } else if (unit.test == test_mode::waiting) {
        if (driven_made) {
          unit.test = test_mode::holding;
        } else if (unit.tested_for >= test_time) {
          unit.test = test_mode::decided;
          unit.outcome = test_outcome::failed;
          unit.reason = test_reason::none;
          unit.failed_caution = true;
        }
      } else if (!driven_made) {
        unit.test = test_mode::waiting;
      } else if (unit.held_for >= test_hold_time) {
        unit.test = test_mode::decided;
        unit.outcome = test_outcome::passed;
        unit.reason = test_reason::none;
        unit.failed_caution = false;
      }
      break;
    case test_mode::decided:
      if (ending() != test_reason::none) unit.test = test_mode::idle;
      break;
  }
  tidy_test();
  const bool changed = unit.test != before || unit.failed_caution != caution;
  if (changed) moved_ = true;
  return changed;
}

void aircraft::tidy_test() {
  if (unit.test != test_mode::holding) unit.held_for = 0;
  if (unit.test == test_mode::idle) {
    unit.second = 0;
    unit.test_from_b = false;
    unit.tested_for = 0;
  }
}

void aircraft::judge_second_start() {
  unsigned cranking = 0;
  for (unsigned e = 0; e < engines; ++e) {
    if (cranks(e)) cranking |= 1U << e;
  }
  unit.judged = static_cast<std::uint8_t>(unit.judged & cranking);
  if (runs(0) == runs(1)) return;
  const unsigned second = runs(0) ? 1 : 0;
  if (!cranks(second) || (unit.judged >> second & 1U) != 0) return;
  unit.judged = static_cast<std::uint8_t>(unit.judged | 1U << second);
  moved_ = true;
  if (unit.test != test_mode::idle || in_flight) return;
  if (const auto why = hindrance(); why != test_reason::none) {
    unit.outcome = test_outcome::not_run;
    unit.reason = why;
    tidy_test();
    return;
  }
  unit.test = test_mode::waiting;
  unit.outcome = test_outcome::pending;
  unit.reason = test_reason::none;
  unit.failed_caution = false;
  unit.second = static_cast<std::uint8_t>(second + 1);
  unit.test_from_b = engine_pressure(starboard);
  test_evaluates();
}

bool aircraft::unit_moves() {
  const auto why = inhibition();
  auto to = unit.mode;
  if (why == unit_inhibition::switched_off) {
    to = unit_mode::off;
  } else if (why != unit_inhibition::none) {
    to = unit_mode::inhibited;
  } else {
    const bool testing = unit.test != test_mode::idle;
    switch (unit.mode) {
      case unit_mode::off:
      case unit_mode::inhibited: to = unit_mode::standby; break;
      case unit_mode::standby:
        if (testing) {
          to = unit.test_from_b ? unit_mode::b_drives_a : unit_mode::a_drives_b;
        } else if (own_source(port) && unit.difference == pressure_difference::a_exceeds) {
          to = unit_mode::a_drives_b;
        } else if (own_source(starboard) && unit.difference == pressure_difference::b_exceeds) {
          to = unit_mode::b_drives_a;
        }
        break;
      case unit_mode::a_drives_b: {
        const bool more = unit.difference == pressure_difference::a_exceeds ||
                          unit.difference == pressure_difference::a_higher;
        if (testing ? unit.test_from_b : !(own_source(port) && more)) to = unit_mode::standby;
        break;
      }
      case unit_mode::b_drives_a: {
        const bool more = unit.difference == pressure_difference::b_exceeds ||
                          unit.difference == pressure_difference::b_higher;
        if (testing ? !unit.test_from_b : !(own_source(starboard) && more)) to = unit_mode::standby;
        break;
      }
    }
  }
  if (to == unit.mode) return false;
  unit.mode = to;
  moved_ = true;
  return true;
}

// --- time --------------------------------------------------------------------------------------------------

refusal_kind aircraft::pass(std::int64_t amount) {
  if (amount < 0 || amount > limits::longest_time.count() || now + amount > std::numeric_limits<std::int32_t>::max()) {
    return refusal_kind::time;
  }
  auto left = static_cast<std::uint32_t>(amount);
  while (left != 0) {
    const auto span = std::min(left, deadline());
    advance_timers(span);
    now += span;
    left -= span;
    settle();
  }
  return refusal_kind::none;
}

std::uint32_t aircraft::deadline() const {
  auto next = std::numeric_limits<std::uint32_t>::max();
  const auto due = [&next](bool runs, std::uint32_t value, std::uint32_t limit) {
    if (runs && value < limit) next = std::min(next, limit - value);
  };
  for (const auto& d : door) {
    due(d.mode == door_mode::at_end || (d.mode == door_mode::asking && service == service_mode::service), d.ran_for,
        run_limit_time);
  }
  due(service == service_mode::hold_off, hold_off_for, hold_off_time);
  for (unsigned c = 0; c < circuits; ++c) due(low_now(c), circuit[c].low_for, circuit_low_time);
  due(electric_pumps[keel_pump].demand == demand_mode::touchdown, touched_down_for, touchdown_time);
  for (unsigned p = 0; p < 2; ++p) due(pump_missed(p), engine_pumps[p].low_for, pump_low_time);
  due(unit.test == test_mode::waiting || unit.test == test_mode::holding, unit.tested_for, test_time);
  due(unit.test == test_mode::holding, unit.held_for, test_hold_time);
  for (const auto& f : faults) {
    if (f.status == fault_status::armed && f.trigger == fault_trigger::at_time && f.trigger_time > now) {
      next = std::min(next, f.trigger_time - now);
    }
  }
  return next;
}

void aircraft::advance_timers(std::uint32_t span) {
  const auto advance = [span](bool runs, std::uint32_t& value, std::uint32_t limit) {
    if (runs) value = std::min(value + span, std::max(value, limit));
  };
  for (auto& d : door) {
    advance(d.mode == door_mode::at_end || (d.mode == door_mode::asking && service == service_mode::service), d.ran_for,
            run_limit_time);
  }
  advance(service == service_mode::hold_off, hold_off_for, hold_off_time);
  for (unsigned c = 0; c < circuits; ++c) advance(low_now(c), circuit[c].low_for, circuit_low_time);
  advance(electric_pumps[keel_pump].demand == demand_mode::touchdown, touched_down_for, touchdown_time);
  for (unsigned p = 0; p < 2; ++p) advance(pump_missed(p), engine_pumps[p].low_for, pump_low_time);
  advance(unit.test == test_mode::waiting || unit.test == test_mode::holding, unit.tested_for, test_time);
  advance(unit.test == test_mode::holding, unit.held_for, test_hold_time);
}

void aircraft::reset_timers() {
  for (auto& d : door) {
    if (d.mode == door_mode::idle) d.ran_for = 0;
  }
  if (service != service_mode::hold_off) hold_off_for = 0;
  for (unsigned c = 0; c < circuits; ++c) {
    if (!low_now(c)) circuit[c].low_for = 0;
  }
  if (electric_pumps[keel_pump].demand != demand_mode::touchdown) touched_down_for = 0;
  for (unsigned p = 0; p < 2; ++p) {
    if (!pump_missed(p)) engine_pumps[p].low_for = 0;
  }
  if (unit.test != test_mode::waiting && unit.test != test_mode::holding) unit.tested_for = 0;
  if (unit.test != test_mode::holding) unit.held_for = 0;
}

// --- alerts ------------------------------------------------------------------------------------------------

void aircraft::alert(unsigned where, alert_class level) {
  if (level != alert_class::none && alerts[where] == alert_class::none) {
    alert_since[where] = now;
    acknowledged &= ~(1U << where);
  }
  const bool escalated = level >= alert_class::caution && alerts[where] < alert_class::caution;
  if (level == alert_class::none || escalated) acknowledged &= ~(1U << where);
  alerts[where] = level;
}

void aircraft::annunciate() {
  const auto caution_if = [](bool stands) { return stands ? alert_class::caution : alert_class::none; };
  const auto advisory_if = [](bool stands) { return stands ? alert_class::advisory : alert_class::none; };
  const bool running = any_engine();
  unsigned low = 0;
  for (unsigned c = 0; c < circuits; ++c) {
    const bool confirmed = low_now(c) && circuit[c].low_for >= circuit_low_time;
    low += confirmed ? 1U : 0U;
    alert(circuit_low + c, caution_if(confirmed));
    const auto level = level_switch(c);
    alert(quantity + c, level <= fluid_level::low ? alert_class::caution : advisory_if(level == fluid_level::over));
    alert(reservoir_air + c, caution_if(circuit[c].air_low || has_fault(fault::reservoir_air_lost, c)));
    alert(fluid_hot + c, caution_if(circuit[c].hot || has_fault(fault::fluid_hot, c)));
  }
  alert(circuits_low, in_flight && low >= circuits_low_warning ? alert_class::warning : alert_class::none);
  for (unsigned p = 0; p < 2; ++p) {
    const auto why = engine_pump_why(p);
    alert(engine_pump + p,
          caution_if(why == engine_pump_reason::failed || why == engine_pump_reason::overheat ||
                     (why == engine_pump_reason::dry && runs(p)) || (pump_missed(p) && engine_pumps[p].low_for >= pump_low_time)));
  }
  for (unsigned p = 0; p < 2; ++p) {
    const auto why = electric_pump_why(p);
    alert(electric_pump + p,
          caution_if(electric_pumps[p].demand != demand_mode::none &&
                     (why == electric_pump_reason::failed || why == electric_pump_reason::overheat ||
                      why == electric_pump_reason::dry)));
  }
  for (unsigned d = 0; d < doors; ++d) {
    alert(lever_out + d, advisory_if(door[d].lever_reported));
    alert(run_limit + d, advisory_if(door[d].mode == door_mode::timed_out));
    alert(door_not_closed + d, caution_if(running && travel(d) != door_travel::closed));
  }
  alert(transfer_test, advisory_if(unit.test != test_mode::idle));
  alert(transfer_failed, caution_if(unit.failed_caution));
  const bool open = steering != steering_mode::connected;
  alert(steering_alert, open && (running || in_flight) ? alert_class::caution : advisory_if(open));
  alert(brake_alert, caution_if(brake_set && !brake_backed()));
  alert(air_ground_alert, advisory_if(!air_ground_valid));
  alert(ram_air_alert, advisory_if(ram_air == ram_air_mode::deployed));
}

}  // namespace by_hand
