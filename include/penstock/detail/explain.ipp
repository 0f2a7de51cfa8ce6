// Why is this so? Each answer is read off the rows that were taken, the lists that were consulted and the
// inputs that were given; nothing is judged here a second time.
#pragma once

#include <algorithm>
#include <string>
#include <utility>
#include <vector>

#include "penstock/detail/view.hpp"
#include "penstock/explain.hpp"
#include "penstock/transition.hpp"

namespace penstock::inline v1 {

namespace detail {

/// Builds a chain of causes, one link after another, each at its depth.
class explainer {
 public:
  explainer(const layout& of, const state& now) : of_(of), p_(of.plan()), s_(now), v_(of.plan(), now) {}

  [[nodiscard]] explanation take() && { return std::move(why_); }

  void about(subject what) {
    if (static_cast<std::size_t>(what.kind) >= count_of<component> || what.index >= of_.count(what.kind)) return;
    const unsigned i = what.index;
    switch (what.kind) {
      case component::aircraft: return aircraft(0);
      case component::engine: return engine(0, i);
      case component::circuit: return circuit(0, i);
      case component::engine_pump: return engine_pump(0, i);
      case component::electric_pump: return electric_pump(0, i);
      case component::ram_air_pump: return ram_air_pump(0, i);
      case component::transfer_unit: return unit(0, i);
      case component::cargo_door: return door(0, i);
      case component::steering: return steering(0);
      case component::consumer: return consumer(0, i);
      case component::bus: return bus(0, i);
      case component::store: return store(0, i);
    }
  }

  void about(condition which, subject where) {
    if (static_cast<std::size_t>(which) >= count_of<condition> || where.index >= subjects_of(p_, which)) return;
    const unsigned i = where.index;
    const subject who{subject_kind(which), where.index};
    const int rung = alert_rung(v_, which, i);
    if (rung < 0) {
      link(0, who, "the alert " + std::string{word(which)} + of_whom(who) + " does not stand", "ALR-3");
      return circuit_or_part(1, who);
    }
    const auto& data = alert_list(which)[static_cast<std::size_t>(rung)];
    const auto severity = static_cast<alert_class>(data.answer);
    // the onset is that of the condition and is kept through a change of class [ALR-2]
    link(0, who, std::string{word(severity)} + of_whom(who) + ": " + std::string{data.sentence} + "; the alert stands",
         data.rules, s_.chronicle.alert_since[place_of(which, i)]);
    switch (which) {
      case condition::circuits_low:
        for (unsigned c = 0; c < p_.circuits; ++c) {
          if (v_.low_confirmed(c)) circuit(1, c);
        }
        break;
      case condition::lever_out: lever(1, i); break;
      case condition::door_not_closed:
        input(1, who, "cargo door " + name(who) + " is " + std::string{word(v_.travel(i))}, mark::travel, i);
        running_engines(1);
        break;
      case condition::steering:
        steering(1);
        running_engines(1);
        ground(1);
        break;
      case condition::parking_brake: parking_brake(1); break;
      case condition::air_ground_input:
        input(1, who, "the air/ground input is invalid", mark::ground_validity, 0);
        break;
      case condition::quantity: level(1, i); break;
      case condition::reservoir_air: air(1, i); break;
      case condition::fluid_hot: hot(1, i); break;
      case condition::transfer_test:
      case condition::transfer_failed: test(1, i); break;
      case condition::transfer_overspeed:
        input(1, who, "transfer unit " + name(who) + " overspeeds", mark::overspeed, i);
        break;
      case condition::leak_isolation:
        input(1, who, "leak isolation of " + name(who) + " was shut", mark::outer, i);
        break;
      case condition::engine_pump:
      case condition::electric_pump:
      case condition::circuit_low:
      case condition::run_limit:
      case condition::ram_air: circuit_or_part(1, who); break;
    }
  }

 private:
  // --- links ---------------------------------------------------------------------------------------
  void link(unsigned depth, subject who, std::string fact, std::string_view rules = {},
            std::optional<std::uint32_t> since = {}) {
    why_.chain.push_back({static_cast<std::uint8_t>(depth), who, std::move(fact), std::string{rules}, since});
  }
  /// A time for a link: what has been so since the beginning has none.
  static std::optional<std::uint32_t> known(std::uint32_t since) {
    return since == 0 ? std::nullopt : std::optional{since};
  }
  /// An input and when it last changed; one that never did holds since the beginning.
  void input(unsigned depth, subject who, std::string fact, mark which, unsigned index, std::string_view rules = {}) {
    link(depth, who, std::move(fact), rules, known(s_.chronicle.input_since[place_of(which, index)]));
  }
  /// The last row a machine took; `otherwise` where it never took one.
  void row(unsigned depth, machine which, unsigned index, const std::string& prefix, std::string_view otherwise) {
    const auto place = place_of(which, index);
    const auto taken = s_.chronicle.machine_row[place];
    const auto who = owner_of(of_, which, static_cast<std::uint8_t>(index));
    if (taken == chronicle_state::no_row) {
      link(depth, who, prefix + std::string{otherwise});
      return;
    }
    const auto& r = rows_of(which)[taken];
    link(depth, who, prefix + std::string{r.sentence}, r.rules, s_.chronicle.machine_since[place]);
  }
  [[nodiscard]] std::string name(subject who) const { return std::string{of_.name(who)}; }
  [[nodiscard]] std::string name(component kind, unsigned i) const { return name({kind, static_cast<std::uint8_t>(i)}); }
  [[nodiscard]] std::string of_whom(subject who) const {
    if (who.kind == component::aircraft || who.kind == component::steering) return {};
    return " on " + name(who);
  }
  static subject at(component kind, unsigned i) { return {kind, static_cast<std::uint8_t>(i)}; }

  void fault_link(unsigned depth, fault kind, subject where) {
    if (v_.faulty(kind, fault_bit(where))) {
      link(depth, where, "the fault " + std::string{word(kind)} + " is injected in " + name(where), "INS-1");
    }
  }

  void circuit_or_part(unsigned depth, subject who) {
    switch (who.kind) {
      case component::engine_pump: return engine_pump(depth, who.index);
      case component::electric_pump: return electric_pump(depth, who.index);
      case component::ram_air_pump: return ram_air_pump(depth, who.index);
      case component::circuit: return circuit(depth, who.index);
      case component::transfer_unit: return unit(depth, who.index);
      case component::cargo_door: return door(depth, who.index);
      case component::steering: return steering(depth);
      default: return;
    }
  }

  // --- inputs that many answers share ------------------------------------------------------------------
  void ground(unsigned depth) {
    input(depth, {}, v_.in_flight() ? "the aircraft is in flight" : "the aircraft is on the ground", mark::ground, 0,
          s_.logic.aircraft.air_ground_valid ? "" : "GEN-6");
  }
  void running_engines(unsigned depth) {
    if (!v_.any_engine()) link(depth, {}, "no engine runs", "ENG-2");
    for (unsigned e = 0; e < p_.engines; ++e) {
      if (has(v_.running(), e)) engine(depth, e);
    }
  }
  void lever(unsigned depth, unsigned d) {
    const auto who = at(component::cargo_door, d);
    if (v_.lever(d) != s_.logic.doors[d].lever) {
      link(depth, who, "the lever switch of " + name(who) + " says " + std::string{word(v_.lever(d))} + ", wherever the lever is", "CGO-1");
    } else {
      const bool moved = s_.chronicle.input_since[place_of(mark::lever, d)] != 0;
      input(depth, who, "the lever of " + name(who) + (moved ? " was moved to " : " is at ") + std::string{word(v_.lever(d))},
            mark::lever, d, "CGO-1");
    }
    for (const auto kind : {fault::lever_stuck_neutral, fault::lever_stuck_open, fault::lever_stuck_close}) {
      fault_link(depth, kind, who);
    }
  }
  void level(unsigned depth, unsigned c) {
    const auto who = at(component::circuit, c);
    input(depth, who, "the fluid level of " + name(who) + " is " + std::string{word(v_.level_switch(c))}, mark::level, c, "LVL-1");
    for (const auto kind : {fault::level_switch_stuck_low, fault::level_switch_stuck_normal, fault::reservoir_leak, fault::line_leak}) {
      fault_link(depth + 1, kind, who);
    }
    for (unsigned i = 0; i < p_.consumers; ++i) {
      const auto& consumer = p_.consumer_at[i];
      for (unsigned f = 0; f < consumer.feed_count; ++f) {
        if (consumer.feed_circuit[f] == c) fault_link(depth + 1, fault::consumer_leak, at(component::consumer, i));
      }
    }
  }
  void air(unsigned depth, unsigned c) {
    const auto who = at(component::circuit, c);
    input(depth, who, "the reservoir air pressure of " + name(who) + " is low", mark::air, c, "RES-1");
    fault_link(depth + 1, fault::reservoir_air_lost, who);
  }
  void hot(unsigned depth, unsigned c) {
    const auto who = at(component::circuit, c);
    input(depth, who, "the fluid of " + name(who) + " is hot", mark::fluid, c, "RES-2");
    fault_link(depth + 1, fault::fluid_hot, who);
  }
  void parking_brake(unsigned depth) {
    input(depth, {}, "the parking brake is set", mark::parking, 0);  // the alert stands for no other
    for (unsigned i = 0; i < p_.consumers; ++i) {
      if (p_.consumer_at[i].kind == consumer_kind::parking_brake) consumer(depth, i);
    }
  }

  // --- components ------------------------------------------------------------------------------------
  void aircraft(unsigned depth) {
    ground(depth);
    input(depth, {}, s_.logic.aircraft.external_power ? "external power is on" : "external power is off", mark::external, 0);
    input(depth, {}, s_.logic.aircraft.auxiliary_power ? "auxiliary power is on" : "auxiliary power is off", mark::auxiliary, 0);
    running_engines(depth);
    for (unsigned c = 0; c < p_.circuits; ++c) circuit_head(depth, c);
  }

  void engine(unsigned depth, unsigned e) {
    const auto who = at(component::engine, e);
    const auto& x = s_.logic.engines[e];
    row(depth, machine::engine, e, "engine " + name(who) + " is " + std::string{word(x.mode)} + ": ",
        x.mode == engine_mode::stopped ? "it has not been started" : "it was so from the beginning");
    if (depth == 0) {
      row(1, machine::start_selection, e, "selection: ",
          x.selection == selection_mode::selected ? "its start counts as selected" : "its start has not been selected");
      input(1, who, "its spool is at " + std::string{word(x.spool)}, mark::spool, e);
      if (!v_.supply_open(e)) supply(1, e);
    }
  }
  /// A supply valve that is closed.
  void supply(unsigned depth, unsigned e) {
    const auto who = at(component::engine, e);
    const std::string itself = "the supply valve of " + name(who) + " is closed";
    if (s_.logic.engines[e].supply == valve_mode::closed) {
      row(depth, machine::supply_valve, e, itself + ": ", "nobody has moved it");
    } else {
      link(depth, who, itself + ", whatever its command");
    }
    fault_link(depth, fault::supply_valve_stuck_closed, at(component::engine, e));
  }

  void bus(unsigned depth, unsigned b) {
    const auto who = at(component::bus, b);
    const auto source = v_.live_source(b);
    if (source != nobody) {
      const std::string feeder = source == plan::auxiliary  ? "auxiliary power"
                                 : source == plan::external ? "external power"
                                                            : "the generator of " + name(component::engine, source);
      input(depth, who, "bus " + name(who) + " is fed by " + feeder, mark::bus, b, "ELP-2");
      return;
    }
    const bool lost = v_.faulty(fault::bus_lost, b) || v_.faulty(fault::all_power_lost, 0);
    input(depth, who, "bus " + name(who) + " is dead: " + (lost ? "its power is lost" : "none of its sources is alive"), mark::bus, b, "ELP-2");
    if (v_.faulty(fault::bus_lost, b)) {
      fault_link(depth + 1, fault::bus_lost, who);
    } else if (v_.faulty(fault::all_power_lost, 0)) {
      link(depth + 1, {}, "the fault all-power-lost is injected", "INS-1");
    }
  }
  void power(unsigned depth, unsigned e) {
    const auto who = at(component::electric_pump, e);
    if (v_.is_shed(e)) {
      input(depth, who, "its bus has dropped " + name(who), mark::shed, e, "ELP-2");
    }
    bus(depth, p_.electric_pump_at[e].bus);
  }

  void engine_pump(unsigned depth, unsigned e) {
    using list = machines::engine_pump::reasons;
    const auto who = at(component::engine_pump, e);
    const auto& spec = p_.engine_pump_at[e];
    const auto& rung = list::data[static_cast<std::size_t>(list::first(v_.engine_pump_facts(e)))];
    const auto why = v_.engine_pump_why(e);
    link(depth, who, "engine pump " + name(who) + (why == engine_pump_reason::delivering ? " delivers: " : " does not deliver: ") + std::string{rung.sentence},
         rung.rules, since_reason(machine::engine_pump, e, word(why)));
    switch (why) {
      case engine_pump_reason::off:
        input(depth + 1, who, "the switch of " + name(who) + " is off", mark::engine_pump_switch, e, "EDP-2");
        break;
      case engine_pump_reason::failed:
        row(depth + 1, machine::pump_health, e, name(who) + ": ", "it has failed");
        fault_link(depth + 2, fault::pump_failed, who);
        fault_link(depth + 2, fault::shaft_sheared, who);
        break;
      case engine_pump_reason::overheat:
        input(depth + 1, who, name(who) + " is overheated", mark::engine_pump_overheat, e);
        fault_link(depth + 2, fault::pump_overheated, who);
        break;
      case engine_pump_reason::not_turning: engine(depth + 1, spec.engine); break;
      case engine_pump_reason::no_supply: supply(depth + 1, spec.engine); break;
      case engine_pump_reason::dry: level(depth + 1, spec.circuit); break;
      case engine_pump_reason::delivering:
        engine(depth + 1, spec.engine);
        if (!s_.logic.engine_pumps[e].switched_on) link(depth + 1, who, "its control bus is dead, which loads it", "EDP-6");
        fault_link(depth + 1, fault::pump_weak, who);
        break;
    }
  }

  void electric_pump(unsigned depth, unsigned e) {
    using list = machines::electric_pump::reasons;
    const auto who = at(component::electric_pump, e);
    const auto& rung = list::data[static_cast<std::size_t>(list::first(v_.electric_pump_facts(e)))];
    const auto why = v_.electric_pump_why(e);
    link(depth, who, "electric pump " + name(who) + (why == electric_pump_reason::delivering ? " delivers: " : " does not deliver: ") + std::string{rung.sentence},
         rung.rules, since_reason(machine::electric_pump, e, word(why)));
    switch (why) {
      case electric_pump_reason::off:
        input(depth + 1, who, "the switch of " + name(who) + " is off", mark::electric_pump_switch, e, "CGO-8 AUX-3");
        break;
      case electric_pump_reason::no_power: power(depth + 1, e); break;
      case electric_pump_reason::failed:
        row(depth + 1, machine::pump_health, electric_offset + e, name(who) + ": ", "it has failed");
        fault_link(depth + 2, fault::pump_failed, who);
        break;
      case electric_pump_reason::overheat:
        input(depth + 1, who, name(who) + " is overheated", mark::electric_pump_overheat, e);
        fault_link(depth + 2, fault::pump_overheated, who);
        break;
      case electric_pump_reason::not_wanted: demand(depth + 1, e); break;
      case electric_pump_reason::dry: level(depth + 1, p_.electric_pump_at[e].circuit); break;
      case electric_pump_reason::delivering:
        demand(depth + 1, e);
        power(depth + 1, e);
        fault_link(depth + 1, fault::pump_weak, who);
        break;
    }
  }

  void demand(unsigned depth, unsigned e) {
    const auto& spec = p_.electric_pump_at[e];
    const auto wanted = s_.logic.electric_pumps[e].demand;
    switch (spec.duty) {
      case pump_duty::cargo:
        if (wanted == demand_mode::none) {
          unwanted(depth, e);
        } else {
          row(depth, machine::cargo_demand, e, "", "");
        }
        if (s_.logic.electric_pumps[e].limiter == limiter_mode::cooling) {
          row(depth, machine::start_limiter, e, "", "");
        }
        if (wanted == demand_mode::crew) {
          input(depth + 1, at(component::electric_pump, e), "the crew switch of " + name(component::electric_pump, e) + " is on", mark::electric_pump_switch, e, "CGO-8");
          break;
        }
        for (unsigned d = 0; d < p_.doors; ++d) {
          if (p_.door_at[d].circuit != spec.circuit) continue;
          const bool asks = s_.logic.doors[d].mode == door_mode::asking;
          if (wanted == demand_mode::door ? asks : s_.logic.doors[d].mode != door_mode::idle) door(depth + 1, d);
        }
        break;
      case pump_duty::first_engine:
        row(depth, machine::first_engine_demand, e, "", "no engine runs, and the aircraft is on the ground");
        if (wanted == demand_mode::engine) running_engines(depth + 1);
        if (wanted == demand_mode::flight || wanted == demand_mode::touchdown) ground(depth + 1);
        break;
      case pump_duty::none:
        row(depth, machine::plain_demand, e, "", "it has not been switched on");
        break;
    }
  }

  /// Why no door wants a cargo-duty pump now: the row that would end a demand, read off the table.
  void unwanted(unsigned depth, unsigned e) {
    namespace cargo = machines::cargo_demand;
    auto mode = demand_mode::door;
    machines::no_memory nothing;
    const auto step = machines::step<cargo::model>(mode, nothing, v_.cargo_inputs(e), cargo::happens::evaluate);
    if (step.row < 0) return;  // a door asks, and yet the pump is not wanted: it cools, which the caller says
    const auto& r = rows_of(machine::cargo_demand)[static_cast<std::size_t>(step.row)];
    const auto place = place_of(machine::cargo_demand, e);
    const bool it_was_this_row = s_.chronicle.machine_row[place] == step.row;
    link(depth, at(component::electric_pump, e), std::string{r.sentence}, r.rules,
         it_was_this_row ? std::optional{s_.chronicle.machine_since[place]} : std::nullopt);
  }

  void ram_air_pump(unsigned depth, unsigned r) {
    const auto who = at(component::ram_air_pump, r);
    row(depth, machine::ram_air_pump, r, "ram-air pump " + name(who) + (v_.ram_air_delivers(r) ? " delivers: " : " does not deliver: "), "it is stowed");
    if (s_.logic.aircraft.ram_air == ram_air_mode::deployed) {
      input(depth + 1, who, "the airspeed is " + std::string{word(s_.logic.aircraft.airspeed)}, mark::airspeed, 0, "RAT-1");
    }
  }

  void door(unsigned depth, unsigned d) {
    const auto who = at(component::cargo_door, d);
    row(depth, machine::cargo_door, d, "cargo door " + name(who) + " (" + std::string{word(s_.logic.doors[d].mode)} + "): ", "its lever has been in neutral");
    const auto mode = s_.logic.doors[d].mode;
    if (mode == door_mode::blocked) blocked(depth + 1, d);
    lever(depth + 1, d);
    if (mode == door_mode::at_end) {
      input(depth + 1, who, name(who) + " is " + std::string{word(v_.travel(d))}, mark::travel, d, "CGO-2");
      fault_link(depth + 2, fault::travel_switch_stuck_made, who);
    }
  }
  void blocked(unsigned depth, unsigned d) {
    const auto pump = p_.circuit_at[p_.door_at[d].circuit].cargo_pump;
    if (v_.in_flight()) ground(depth);
    const auto who = at(component::electric_pump, pump);
    if (s_.logic.electric_pumps[pump].switched == pump_switch::off) {
      input(depth, who, "the switch of " + name(who) + " is off", mark::electric_pump_switch, pump, "CGO-8");
    }
    if (!v_.has_power(pump)) power(depth, pump);
  }

  void circuit_head(unsigned depth, unsigned c) {
    using list = machines::circuit_list::statuses;
    const auto who = at(component::circuit, c);
    const auto& rung = list::data[static_cast<std::size_t>(list::first(v_.circuit_facts(c)))];
    const auto status = static_cast<circuit_status>(rung.answer);
    // a status with pressure began with the pressure or with the end of service mode; one without may have begun
    // with any of its sources, so that no time is given
    std::optional<std::uint32_t> began;
    if (status == circuit_status::partial || status == circuit_status::normal) {
      began = known(std::max(s_.chronicle.input_since[place_of(mark::pressure, c)],
                             s_.chronicle.machine_since[place_of(machine::service, c)]));
    }
    link(depth, who, "circuit " + name(who) + " is " + std::string{word(status)} + ": " + std::string{rung.sentence}, rung.rules, began);
    fault_link(depth + 1, fault::pressure_switch_stuck_made, who);
    fault_link(depth + 1, fault::pressure_switch_stuck_open, who);
  }
  void circuit(unsigned depth, unsigned c) {
    circuit_head(depth, c);
    if (s_.logic.circuits[c].service != service_mode::none) {
      row(depth + 1, machine::service, c, "service mode of " + name(component::circuit, c) + ": ", "");
    }
    const bool fed = v_.own_source(c) || v_.driving_unit(c) != nobody;
    const auto& spec = p_.circuit_at[c];
    for (mask m = spec.engine_pumps; m != 0; m &= m - 1) {
      const auto e = static_cast<unsigned>(std::countr_zero(m));
      if (!fed || v_.engine_pump_delivers(e)) engine_pump(depth + 1, e);
    }
    for (mask m = spec.electric_pumps; m != 0; m &= m - 1) {
      const auto e = static_cast<unsigned>(std::countr_zero(m));
      if (!fed || v_.electric_pump_delivers(e)) electric_pump(depth + 1, e);
    }
    for (mask m = spec.ram_air_pumps; m != 0; m &= m - 1) {
      const auto r = static_cast<unsigned>(std::countr_zero(m));
      if (v_.ram_air_delivers(r) || (!fed && v_.in_flight())) ram_air_pump(depth + 1, r);
    }
    for (mask m = spec.units; m != 0; m &= m - 1) {
      const auto u = static_cast<unsigned>(std::countr_zero(m));
      if (v_.driving_unit(c) == u || !fed) unit_head(depth + 1, u);
      if (v_.driving_unit(c) == u) sources(depth + 2, p_.unit_at[u].a == c ? p_.unit_at[u].b : p_.unit_at[u].a);
    }
    if (s_.logic.circuits[c].level <= fluid_level::low) level(depth + 1, c);
  }

  void unit_head(unsigned depth, unsigned u) {
    using list = machines::transfer_unit::inhibitions;
    const auto who = at(component::transfer_unit, u);
    const auto mode = s_.logic.units[u].mode;
    const std::string a = name(component::circuit, p_.unit_at[u].a);
    const std::string b = name(component::circuit, p_.unit_at[u].b);
    const std::string drives = v_.unit_works(u) ? " drives " : " is to drive ";
    const std::string doing = mode == unit_mode::a_drives_b   ? drives + b + " from " + a
                              : mode == unit_mode::b_drives_a ? drives + a + " from " + b
                                                              : " is " + std::string{word(mode)};
    const std::string itself = "transfer unit " + name(who) + doing + ": ";
    // a transfer may go on for another reason than it began with: the row that would begin it now says why
    if (const int now = transferring_row(u); now >= 0) {
      const auto& r = rows_of(machine::transfer_unit)[static_cast<std::size_t>(now)];
      link(depth, who, itself + std::string{r.sentence}, r.rules,
           known(s_.chronicle.machine_since[place_of(machine::transfer_unit, u)]));
    } else {
      row(depth, machine::transfer_unit, u, itself, "it is on, and nothing asks for it");
    }
    const auto facts = v_.unit_facts(u);
    const unsigned reasons = list::all(facts);
    for (const auto& rung : list::data) {
      if (rung.answer == 0 || !has(reasons, static_cast<unsigned>(rung.answer))) continue;
      link(depth + 1, who, std::string{rung.sentence}, rung.rules);
      inhibition_causes(depth + 2, u, static_cast<unit_inhibition>(rung.answer));
    }
  }
  /// The row by which a transferring unit would begin now, or -1: standby, or held by hysteresis alone.
  [[nodiscard]] int transferring_row(unsigned u) const {
    const auto mode = s_.logic.units[u].mode;
    if (mode != unit_mode::a_drives_b && mode != unit_mode::b_drives_a) return -1;
    auto from = unit_mode::standby;
    machines::no_memory nothing;
    const auto step = machines::step<machines::transfer_unit::model>(from, nothing, v_.unit_inputs(u),
                                                                     machines::transfer_unit::happens::evaluate);
    return from == mode ? step.row : -1;
  }
  void inhibition_causes(unsigned depth, unsigned u, unit_inhibition why) {
    const auto who = at(component::transfer_unit, u);
    const std::array<unsigned, 2> sides{p_.unit_at[u].a, p_.unit_at[u].b};
    switch (why) {
      case unit_inhibition::none: break;
      case unit_inhibition::switched_off:
        input(depth, who, "the switch of " + name(who) + " is off", mark::unit_switch, u, "PTU-1");
        break;
      case unit_inhibition::overspeed:
        input(depth, who, name(who) + " overspeeds", mark::overspeed, u, "PTU-15");
        break;
      case unit_inhibition::single_engine:
        for (unsigned e = 0; e < p_.engines; ++e) {
          if (has(p_.unit_at[u].engines, e) && s_.logic.engines[e].selection == selection_mode::selected) {
            row(depth, machine::start_selection, e, name(component::engine, e) + ": ", "its start is selected");
          }
        }
        if (p_.unit_at[u].scope == inhibit_scope::parked_or_towed) {
          if (s_.logic.aircraft.parking_brake_set) input(depth, {}, "the parking brake is set", mark::parking, 0);
          if (s_.logic.aircraft.steering != steering_mode::connected) steering(depth);
        }
        break;
      case unit_inhibition::low_level:
      case unit_inhibition::low_air:
      case unit_inhibition::hot_fluid:
      case unit_inhibition::service:
        for (const unsigned c : sides) {
          if (why == unit_inhibition::low_level && v_.level_switch(c) <= fluid_level::low) level(depth, c);
          if (why == unit_inhibition::low_air && v_.air_is_low(c)) air(depth, c);
          if (why == unit_inhibition::hot_fluid && v_.fluid_is_hot(c)) hot(depth, c);
          if (why == unit_inhibition::service && s_.logic.circuits[c].service != service_mode::none) {
            row(depth, machine::service, c, "service mode of " + name(component::circuit, c) + ": ", "");
          }
        }
        break;
    }
  }
  void unit(unsigned depth, unsigned u) {
    unit_head(depth, u);
    const auto who = at(component::transfer_unit, u);
    const auto& x = s_.logic.units[u];
    if (x.mode == unit_mode::a_drives_b || x.mode == unit_mode::b_drives_a) {
      if (x.test == test_mode::idle) {
        input(depth + 1, who, "own pressures of its circuits: " + std::string{word(x.difference)}, mark::difference, u, "PTU-6");
      }
      const auto driving = x.mode == unit_mode::a_drives_b ? p_.unit_at[u].a : p_.unit_at[u].b;
      sources(depth + 1, driving);
    }
    fault_link(depth + 1, fault::unit_seized, who);
    fault_link(depth + 1, fault::unit_weak, who);
    if (x.outcome != test_outcome::none) test(depth + 1, u);
  }
  void sources(unsigned depth, unsigned c) {
    for (mask m = p_.circuit_at[c].engine_pumps; m != 0; m &= m - 1) {
      const auto e = static_cast<unsigned>(std::countr_zero(m));
      if (v_.engine_pump_delivers(e)) engine_pump(depth, e);
    }
    for (mask m = p_.circuit_at[c].electric_pumps; m != 0; m &= m - 1) {
      const auto e = static_cast<unsigned>(std::countr_zero(m));
      if (v_.electric_pump_delivers(e)) electric_pump(depth, e);
    }
  }
  void test(unsigned depth, unsigned u) {
    const auto who = at(component::transfer_unit, u);
    const auto& x = s_.logic.units[u];
    row(depth, machine::transfer_test, u, "transfer test of " + name(who) + " (" + std::string{word(x.outcome)} + "): ", "it has not run");
    if (x.reason != test_reason::none) {
      using hindrances = machines::transfer_test::hindrances;
      using endings = machines::transfer_test::endings;
      const auto say = [&](const auto& list) {
        for (const auto& rung : list) {
          if (rung.answer == static_cast<int>(x.reason)) link(depth + 1, who, std::string{rung.sentence}, rung.rules);
        }
      };
      if (x.outcome == test_outcome::not_run) {
        say(hindrances::data);
      } else {
        say(endings::data);
      }
    }
    if (x.second != 0) engine(depth + 1, x.second - 1U);
    fault_link(depth + 1, fault::unit_seized, who);
    fault_link(depth + 1, fault::unit_weak, who);
  }

  void steering(unsigned depth) {
    row(depth, machine::steering_link, 0, "steering " + std::string{word(s_.logic.aircraft.steering)} + ": ", "it was so from the beginning");
  }

  void consumer(unsigned depth, unsigned i) {
    using list = machines::consumer_list::reasons;
    const auto who = at(component::consumer, i);
    const auto& spec = p_.consumer_at[i];
    const auto& rung = list::data[static_cast<std::size_t>(list::first(v_.consumer_facts(i)))];
    const auto why = static_cast<consumer_reason>(rung.answer);
    link(depth, who, name(who) + (why == consumer_reason::available ? " is available: " : " is not available: ") + std::string{rung.sentence}, rung.rules);
    switch (why) {
      case consumer_reason::available:
        if (const auto c = v_.serving_circuit(i); c != nobody) {
          circuit(depth + 1, c);
        } else if (spec.store != nobody) {
          store(depth + 1, spec.store);
        } else {
          const auto pumped = p_.door_at[spec.door].circuit;
          input(depth + 1, at(component::circuit, pumped),
                "the hand pump of " + name(component::circuit, pumped) + " is worked", mark::hand_pump, pumped, "CGO-11");
        }
        break;
      case consumer_reason::in_flight: ground(depth + 1); break;
      case consumer_reason::disconnected: steering(depth + 1); break;
      case consumer_reason::isolated:
      case consumer_reason::shed:
      case consumer_reason::no_pressure:
      case consumer_reason::outer_shut:
        for (unsigned f = 0; f < spec.feed_count; ++f) circuit(depth + 1, spec.feed_circuit[f]);
        break;
      case consumer_reason::exhausted:
        store(depth + 1, spec.store);
        for (unsigned f = 0; f < spec.feed_count; ++f) circuit(depth + 1, spec.feed_circuit[f]);
        break;
    }
  }

  void store(unsigned depth, unsigned i) {
    const auto who = at(component::store, i);
    input(depth, who, "store " + name(who) + " has " + std::to_string(v_.stored(i)) + " applications left", mark::stored, i, "CON-3");
    fault_link(depth + 1, fault::store_gas_lost, who);
  }

  /// Since when a pump has been as it is for this reason: known only while its last row names the same one.
  [[nodiscard]] std::optional<std::uint32_t> since_reason(machine which, unsigned index, std::string_view reason) const {
    const auto place = place_of(which, index);
    const auto taken = s_.chronicle.machine_row[place];
    if (taken == chronicle_state::no_row) return std::nullopt;
    // rows are guarded by for_REASON, with underscores where the word has hyphens
    const auto guard = rows_of(which)[taken].guard.substr(std::string_view{"for_"}.size());
    const bool same = std::equal(guard.begin(), guard.end(), reason.begin(), reason.end(),
                                 [](char a, char b) { return (a == '_' ? '-' : a) == b; });
    return same ? std::optional{s_.chronicle.machine_since[place]} : std::nullopt;
  }

  const layout& of_;
  const plan& p_;
  const state& s_;
  view v_;
  explanation why_;
};

inline void append_link(std::string& text, const cause& link) {
  text += link.fact;
  if (link.since) {
    text += " (since " + clock_text(*link.since) + ")";
  }
  if (!link.rule.empty()) text += " [" + link.rule + "]";
}

/// The innermost cause on the first path below a link.
[[nodiscard]] inline std::size_t innermost(const std::vector<cause>& chain, std::size_t from) {
  std::size_t last = from;
  for (std::size_t i = from + 1; i < chain.size() && chain[i].depth == chain[last].depth + 1; ++i) last = i;
  return last;
}

}  // namespace detail

PENSTOCK_INLINE explanation explain(const layout& of, const state& now, subject about) {
  detail::explainer why{of, now};
  why.about(about);
  return std::move(why).take();
}

PENSTOCK_INLINE explanation explain(const layout& of, const state& now, condition alert, subject about) {
  detail::explainer why{of, now};
  why.about(alert, about);
  return std::move(why).take();
}

PENSTOCK_INLINE std::string in_words(const explanation& why) {
  const auto& chain = why.chain;
  if (chain.empty()) return "nothing is known of that component\n";
  std::string text;
  detail::append_link(text, chain.front());
  // the answer in one breath: what lies at the bottom of each first cause
  bool first = true;
  for (std::size_t i = 1; i < chain.size() && chain[i].depth > chain.front().depth; ++i) {
    if (chain[i].depth != chain.front().depth + 1) continue;
    const auto& root = chain[detail::innermost(chain, i)];
    text += first ? ", because " : ", and ";
    detail::append_link(text, root);
    first = false;
  }
  text += ".\n";
  for (std::size_t i = 0; i < chain.size(); ++i) {
    if (i == 0) continue;
    text.append(std::size_t{2} * chain[i].depth, ' ');
    text += chain[i].depth == 0 ? "also: " : "because ";
    detail::append_link(text, chain[i]);
    text += '\n';
  }
  return text;
}

PENSTOCK_INLINE std::string clock_text(std::uint32_t milliseconds_since_start) {
  const auto two = [](std::uint32_t n) { return (n < 10 ? "0" : "") + std::to_string(n); };
  const std::uint32_t ms = milliseconds_since_start % 1000;
  const std::uint32_t seconds = milliseconds_since_start / 1000;
  std::string text;
  if (seconds >= 3600) text = std::to_string(seconds / 3600) + ":";
  text += two(seconds / 60 % 60) + ":" + two(seconds % 60) + "." + std::to_string(ms / 100);
  if (ms % 100 != 0) text += std::to_string(ms / 10 % 10);
  if (ms % 10 != 0) text += std::to_string(ms % 10);
  return text;
}

}  // namespace penstock::inline v1
