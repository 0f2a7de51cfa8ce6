// How the logic of an aircraft is divided for a search. Each part opens what its machines read; what it leaves cold
// and dark is read by none of them, or only through something that is open, as its argument says.
#include <algorithm>
#include <bit>
#include <initializer_list>

#include "penstock/detail/view.hpp"
#include "penstock/event_text.hpp"
#include "penstock/explore.hpp"

namespace penstock::inline v1 {

namespace {

using detail::mask;
using detail::nobody;

/// The first of a set that is not empty.
unsigned first_of(mask set) { return static_cast<unsigned>(std::countr_zero(set)); }

/// Calls `each` for the members of a set, for the first `most` of them.
template <class Each>
void for_first(unsigned most, mask set, Each each) {
  for (; set != 0 && most > 0; set &= set - 1, --most) each(first_of(set));
}
constexpr unsigned all_of_them = 32;

/// An engine whose pump feeds a circuit, or nobody.
unsigned engine_of(const detail::plan& p, unsigned circuit) {
  const mask pumps = p.circuit_at[circuit].engine_pumps;
  return pumps == 0 ? nobody : p.engine_pump_at[first_of(pumps)].engine;
}

class part_builder {
 public:
  part_builder(const layout& of, std::string name, std::string argument) : p_(of.plan()) {
    part_.name = std::move(name);
    part_.argument = std::move(argument);
  }

  search_part built() { return std::move(part_); }

  part_builder& add(std::initializer_list<event> all) {
    for (const event& each : all) add(each);
    return *this;
  }
  part_builder& add(const event& what) {
    const happening one{what, std::nullopt};
    if (std::ranges::find(part_.open, one) == part_.open.end()) part_.open.push_back(one);
    return *this;
  }
  part_builder& runs_out(timer_kind kind, unsigned i) {
    part_.open.push_back({{}, timer_place{kind, static_cast<std::uint8_t>(i)}});
    return *this;
  }
  part_builder& toggles(event (*make)(unsigned, bool), unsigned i) { return add({make(i, false), make(i, true)}); }
  part_builder& toggles(event (*make)(bool)) { return add({make(false), make(true)}); }
  /// A fault that may stand, and its end.
  part_builder& fault_of(fault kind, subject where) {
    const std::int64_t amount = form_of(kind).needs_amount ? 1'000 : 0;
    return add({events::inject(kind, where, amount), events::remove_fault(kind, where)});
  }

  part_builder& spools(unsigned e, std::initializer_list<spool_band> bands) {
    for (const spool_band band : bands) add(events::spool(e, band));
    return *this;
  }
  /// The least with which an engine comes to run and stops again.
  part_builder& runs(unsigned e) {
    add({events::start(e), events::shut_down(e)});
    return spools(e, {spool_band::zero, spool_band::idle});
  }
  part_builder& levers(unsigned d, std::initializer_list<lever_position> positions) {
    for (const lever_position to : positions) add(events::lever(d, to));
    return *this;
  }
  part_builder& travels(unsigned d, std::initializer_list<door_travel> places) {
    for (const door_travel to : places) add(events::travel(d, to));
    return *this;
  }
  part_builder& levels(unsigned c, std::initializer_list<fluid_level> bands) {
    for (const fluid_level to : bands) add(events::level(c, to));
    return *this;
  }
  part_builder& flies() { return add({events::air_ground_is(air_ground::air), events::air_ground_is(air_ground::ground)}); }
  part_builder& parking() { return add({events::parking_brake(false), events::parking_brake(true)}); }
  part_builder& pump_health(subject pump) {
    return add({events::failure(pump, true), events::failure(pump, false), events::overheat(pump, true),
                events::overheat(pump, false), events::reset(pump)});
  }
  part_builder& switches(subject what, std::initializer_list<pump_switch> positions) {
    for (const pump_switch to : positions) add(events::crew_switch(what, to));
    return *this;
  }
  part_builder& power() { return toggles(events::external_power); }

  /// What makes an electric pump run by its crew switch, and stop.
  part_builder& crew_pump(unsigned e) {
    const bool plain = p_.electric_pump_at[e].duty == pump_duty::none;
    return switches(events::electric_pump(e), {plain ? pump_switch::off : pump_switch::automatic, pump_switch::on});
  }
  /// Two engines, which stand for more where only it matters whether any runs.
  part_builder& some_run() {
    for (unsigned e = 0; e < std::min<unsigned>(2, p_.engines); ++e) runs(e);
    return *this;
  }
  /// The engine that feeds a circuit, or another one where none does.
  part_builder& its_engine_runs(unsigned c) {
    const unsigned e = engine_of(p_, c);
    return runs(e != nobody ? e : 0);
  }
  /// An engine pump of the circuit delivers and stops, by its spool alone: no start, so no test.
  part_builder& engine_pump_delivers(unsigned c) {
    const unsigned e = engine_of(p_, c);
    return e == nobody ? *this : spools(e, {spool_band::zero, spool_band::driving});
  }
  part_builder& pressure_switch_stuck(unsigned c) {
    return fault_of(fault::pressure_switch_stuck_made, events::circuit(c))
        .fault_of(fault::pressure_switch_stuck_open, events::circuit(c));
  }
  part_builder& differences(unsigned u, std::initializer_list<pressure_difference> values) {
    for (const pressure_difference now : values) add(events::difference(u, now));
    return *this;
  }
  part_builder& test_times(unsigned u) { return runs_out(timer_kind::test, u).runs_out(timer_kind::test_held, u); }

 private:
  const detail::plan& p_;
  search_part part_;
};

std::string name_of(const layout& of, subject what) { return std::string{of.name(what)}; }

search_part engine_part(const layout& of, unsigned e) {
  part_builder part{of, "engine-of-" + name_of(of, events::engine(e)),
                    "An engine reads its own spool, commands and facts; its supply valve reads its fire handle. Nothing "
                    "else reaches them."};
  part.add({events::start(e), events::abort_start(e), events::shut_down(e), events::starter_out(e), events::hang(e),
            events::flame_out(e)});
  part.spools(e, {spool_band::zero, spool_band::turning, spool_band::driving, spool_band::near_idle, spool_band::idle});
  part.toggles(events::fire_handle, e).add(events::reset_supply(e));
  const subject engine = events::engine(e);
  part.fault_of(fault::engine_hangs, engine).fault_of(fault::engine_flames_out, engine);
  part.fault_of(fault::supply_valve_stuck_open, engine).fault_of(fault::supply_valve_stuck_closed, engine);
  return part.built();
}

search_part roles_part(const layout& of) {
  part_builder part{of, "roles",
                    "Which engine is first or second is counted from their modes alone. Each engine here goes through "
                    "all its modes; how it comes to them is searched engine by engine."};
  for (unsigned e = 0; e < of.plan().engines; ++e) part.runs(e).add(events::starter_out(e));
  return part.built();
}

search_part steering_part(const layout& of) {
  part_builder part{of, "steering",
                    "The link reads air or ground; its alert whether any engine runs. Two engines stand for all: what "
                    "is read is whether one of them runs."};
  part.some_run().flies().add(events::air_ground_invalid());
  part.toggles(events::steering).toggles(events::pin).parking();
  return part.built();
}

search_part engine_pump_part(const layout& of, unsigned e) {
  const auto& at = of.plan().engine_pump_at[e];
  part_builder part{of, "pump-of-" + name_of(of, events::engine_pump(e)),
                    "An engine pump reads its engine, switch, supply valve, health and the level of its circuit, and "
                    "where the layout says so the power of its control bus. All of them are open."};
  const subject pump = events::engine_pump(e);
  part.add({events::start(at.engine), events::shut_down(at.engine)});
  part.spools(at.engine, {spool_band::zero, spool_band::driving, spool_band::idle});
  part.toggles(events::fire_handle, at.engine).add(events::reset_supply(at.engine));
  part.switches(pump, {pump_switch::off, pump_switch::on}).pump_health(pump);
  part.levels(at.circuit, {fluid_level::empty, fluid_level::normal});
  if (at.loads_without_control) part.power();
  part.runs_out(timer_kind::pump_low, e);
  if (at.dry_damage != 0) part.runs_out(timer_kind::engine_pump_dry, e);
  part.fault_of(fault::pump_failed, pump).fault_of(fault::pump_overheated, pump).fault_of(fault::pump_weak, pump);
  part.fault_of(fault::shaft_sheared, pump);
  return part.built();
}

search_part doors_part(const layout& of, unsigned c) {
  const auto& p = of.plan();
  part_builder part{of, "doors-of-" + name_of(of, events::circuit(c)),
                    "Doors of a circuit meet only in whether any of them asks; two stand for more. Their pump reads its "
                    "switch, power, air or ground; service mode reads whether another source delivers, which one engine "
                    "stands for. Health and level are searched with one door."};
  for_first(2, p.circuit_at[c].doors, [&part](unsigned d) {
    part.levers(d, {lever_position::neutral, lever_position::open, lever_position::close});
    part.travels(d, {door_travel::closed, door_travel::between, door_travel::open});
    part.runs_out(timer_kind::door_run, d);
  });
  part.switches(events::electric_pump(p.circuit_at[c].cargo_pump), {pump_switch::off, pump_switch::automatic, pump_switch::on});
  part.power().flies().engine_pump_delivers(c);
  part.runs_out(timer_kind::hold_off, c);
  return part.built();
}

search_part service_part(const layout& of, unsigned c) {
  const auto& p = of.plan();
  part_builder part{of, "service-of-" + name_of(of, events::circuit(c)),
                    "What is available in service mode follows from the circuit's mode, pressure and branches, and air "
                    "or ground; all are open. Another source is one engine with its pump, another door one that asks. "
                    "The steering link and the parking brake only take away, or inhibit more."};
  const unsigned pump = p.circuit_at[c].cargo_pump;
  const auto d = first_of(p.circuit_at[c].doors);
  part.levers(d, {lever_position::neutral, lever_position::open});
  part.travels(d, {door_travel::closed, door_travel::between, door_travel::open});
  part.switches(events::electric_pump(pump), {pump_switch::off, pump_switch::automatic, pump_switch::on});
  part.power().flies().engine_pump_delivers(c);
  part.toggles(events::pressure, c).toggles(events::priority, c);
  if (p.circuit_at[c].hand_pump) part.toggles(events::hand_pump, c);
  part.runs_out(timer_kind::hold_off, c);
  part.fault_of(fault::lever_stuck_open, events::door(d)).fault_of(fault::lever_stuck_neutral, events::door(d));
  part.fault_of(fault::travel_switch_stuck_made, events::door(d)).fault_of(fault::travel_switch_stuck_open, events::door(d));
  part.pressure_switch_stuck(c);
  return part.built();
}

search_part electric_pump_part(const layout& of, unsigned e) {
  const auto& p = of.plan();
  const auto& at = p.electric_pump_at[e];
  const subject pump = events::electric_pump(e);
  part_builder part{of, "pump-of-" + name_of(of, pump),
                    "An electric pump reads who wants it, its switch, power, health, load shedding and the level of its "
                    "circuit. All of them are open; power from outside stands for every source, and with engines theirs "
                    "as well."};
  switch (at.duty) {
    case pump_duty::cargo: {
      const auto d = first_of(p.circuit_at[at.circuit].doors);
      part.levers(d, {lever_position::neutral, lever_position::open});
      part.travels(d, {door_travel::closed, door_travel::open});
      part.switches(pump, {pump_switch::off, pump_switch::automatic, pump_switch::on});
      part.runs_out(timer_kind::hold_off, at.circuit).runs_out(timer_kind::door_run, d);
      if (at.starts_allowed != 0) part.runs_out(timer_kind::start_period, e).runs_out(timer_kind::cooling, e);
      break;
    }
    case pump_duty::first_engine:
      part.some_run().switches(pump, {pump_switch::off, pump_switch::automatic}).add(events::ground_override(e));
      part.runs_out(timer_kind::touchdown, e);
      break;
    case pump_duty::none:
      part.runs(0).toggles(events::auxiliary_power);
      part.switches(pump, {pump_switch::off, pump_switch::on});
      break;
  }
  part.power().flies().pump_health(pump).toggles(events::shed, e);
  part.levels(at.circuit, {fluid_level::empty, fluid_level::normal});
  part.fault_of(fault::pump_failed, pump).fault_of(fault::pump_overheated, pump);
  part.fault_of(fault::bus_lost, events::bus(at.bus)).fault_of(fault::all_power_lost, events::aircraft);
  return part.built();
}

search_part ram_air_part(const layout& of, unsigned r) {
  const auto& p = of.plan();
  part_builder part{of, "ram-air",
                    "The ram-air pump reads air or ground, airspeed, whether any engine runs and whether any main bus "
                    "has power. Two engines stand for all."};
  part.some_run().flies().power().toggles(events::auxiliary_power);
  part.add({events::airspeed(airspeed_band::slow), events::airspeed(airspeed_band::useful),
            events::airspeed(airspeed_band::fast), events::stow(r)});
  const unsigned c = p.ram_air_pump_at[r].circuit;
  part.levels(c, {fluid_level::empty, fluid_level::normal}).toggles(events::pressure, c);
  part.runs_out(timer_kind::circuit_low, c);
  for (unsigned b = 0; b < p.buses; ++b) part.fault_of(fault::bus_lost, events::bus(b));
  part.fault_of(fault::all_power_lost, events::aircraft);
  return part.built();
}

search_part test_part(const layout& of, unsigned u) {
  const auto& p = of.plan();
  const auto& at = p.unit_at[u];
  part_builder part{of, "test-of-" + name_of(of, events::unit(u)),
                    "A test reads the unit's engines, own pressures of its two circuits, what inhibits it, and air or "
                    "ground. Its switch and the rule of one engine stand for everything that inhibits; the others are "
                    "searched without engines, since a test reads only that there is one."};
  for_first(2, at.engines, [&part](unsigned e) {
    part.add({events::start(e), events::abort_start(e), events::shut_down(e), events::starter_out(e)});
    part.spools(e, {spool_band::zero, spool_band::driving, spool_band::idle});
  });
  part.switches(events::unit(u), {pump_switch::off, pump_switch::on}).parking().flies();
  part.toggles(events::pressure, at.a).toggles(events::pressure, at.b);
  part.differences(u, {pressure_difference::level, pressure_difference::a_exceeds, pressure_difference::b_exceeds});
  part.test_times(u);
  return part.built();
}

search_part switched_test_part(const layout& of, unsigned u) {
  const auto& p = of.plan();
  const auto& at = p.unit_at[u];
  part_builder part{of, "starts-of-" + name_of(of, events::unit(u)),
                    "Starts that follow one another while a test is on need a driven circuit whose own pump is switched "
                    "off. What else ends or hinders a test is searched apart: a test reads only that there is one."};
  for_first(2, at.engines, [&part, &p](unsigned e) {
    part.add({events::start(e), events::shut_down(e)});
    part.spools(e, {spool_band::zero, spool_band::driving, spool_band::idle});
    for_first(all_of_them, p.engine_at[e].pumps, [&part](unsigned pump) {
      part.switches(events::engine_pump(pump), {pump_switch::off, pump_switch::on});
    });
  });
  part.toggles(events::pressure, at.a).toggles(events::pressure, at.b).parking();
  part.test_times(u);
  return part.built();
}

search_part transfer_part(const layout& of, unsigned u) {
  const auto& p = of.plan();
  const auto& at = p.unit_at[u];
  part_builder part{of, "transfer-of-" + name_of(of, events::unit(u)),
                    "What a unit does outside a test follows from its switch, what inhibits it, which of its circuits "
                    "has a pump that delivers, and the difference of own pressures. One engine is started, since a second "
                    "brings only the test; a pump of each circuit delivers; an open steering link counts as the parking "
                    "brake does, and air or warmth in either circuit alike."};
  part.switches(events::unit(u), {pump_switch::off, pump_switch::on}).parking().flies();
  part.power();
  const auto first = first_of(at.engines);
  part.runs(first);
  for (const unsigned c : {unsigned{at.a}, unsigned{at.b}}) {
    part.levels(c, {fluid_level::normal, fluid_level::low});
    if (engine_of(p, c) != first) part.engine_pump_delivers(c);
    for_first(1, p.circuit_at[c].electric_pumps, [&part, &p](unsigned e) {
      if (p.electric_pump_at[e].duty != pump_duty::first_engine) part.crew_pump(e);
    });
    if (p.circuit_at[c].cargo_pump != nobody) {
      part.levers(first_of(p.circuit_at[c].doors),
                  {lever_position::neutral, lever_position::open});
      part.runs_out(timer_kind::hold_off, c);
    }
  }
  if (at.low_air) part.toggles(events::air, at.a);
  if (at.hot_fluid) part.toggles(events::fluid, at.b);
  if (at.overspeed) part.toggles(events::overspeed, u);
  using enum pressure_difference;
  part.differences(u, {level, a_higher, b_higher, a_exceeds, b_exceeds});
  return part.built();
}

search_part maintenance_part(const layout& of, unsigned u) {
  const auto& p = of.plan();
  const auto& at = p.unit_at[u];
  part_builder part{of, "maintenance-of-" + name_of(of, events::unit(u)),
                    "A maintenance test reads own pressures of the unit's circuits, its engines, its switch and air or "
                    "ground. One engine stands for all: a maintenance test ends with any start."};
  part.switches(events::unit(u), {pump_switch::off, pump_switch::on}).flies().power();
  part.runs(first_of(at.engines));
  part.add(events::maintenance_test(u));
  for (const unsigned c : {unsigned{at.a}, unsigned{at.b}}) {
    part.toggles(events::pressure, c);
    for_first(all_of_them, p.circuit_at[c].electric_pumps, [&part, &p](unsigned e) {
      if (p.electric_pump_at[e].duty != pump_duty::first_engine) part.crew_pump(e);
    });
  }
  part.differences(u, {pressure_difference::level, pressure_difference::a_exceeds, pressure_difference::b_exceeds});
  part.test_times(u);
  return part.built();
}

search_part fluid_part(const layout& of, unsigned c) {
  part_builder part{of, "fluid-of-" + name_of(of, events::circuit(c)),
                    "Level, air and warmth are read as they are, with air or ground and the phase of flight for what is "
                    "held back; pressure and whether a source is wanted through one engine."};
  part.levels(c, {fluid_level::empty, fluid_level::low, fluid_level::normal, fluid_level::over});
  part.toggles(events::air, c).toggles(events::fluid, c).flies().toggles(events::pressure, c);
  for (std::size_t f = 0; f < count_of<flight_phase>; ++f) part.add(events::phase(static_cast<flight_phase>(f)));
  part.its_engine_runs(c);
  part.runs_out(timer_kind::circuit_low, c);
  const subject circuit = events::circuit(c);
  part.fault_of(fault::level_switch_stuck_low, circuit).fault_of(fault::level_switch_stuck_normal, circuit);
  part.fault_of(fault::reservoir_air_lost, circuit).fault_of(fault::fluid_hot, circuit);
  return part.built();
}

search_part feeds_part(const layout& of, unsigned c) {
  const auto& p = of.plan();
  part_builder part{of, "feeds-of-" + name_of(of, events::circuit(c)),
                    "A consumer reads pressure, priority and branches of the circuits that feed it, air or ground, the "
                    "steering link and its store. One circuit at a time: any feed that serves is enough, so that no two "
                    "circuits hinder one another."};
  part.toggles(events::pressure, c).toggles(events::priority, c).flies().parking();
  part.add({events::gear(false), events::gear(true)});
  part.toggles(events::steering).toggles(events::pin);
  if (p.circuit_at[c].leak_isolation) part.toggles(events::leak_isolation, c);
  if (p.circuit_at[c].hand_pump) part.toggles(events::hand_pump, c);
  part.its_engine_runs(c);
  part.runs_out(timer_kind::circuit_low, c);
  for (unsigned s = 0; s < p.stores; ++s) {
    if (p.store_at[s].circuit != c) continue;
    for (std::uint8_t left = 0; left <= p.store_at[s].most_applications; ++left) part.add(events::stored(s, left));
    part.fault_of(fault::store_gas_lost, events::store(s));
  }
  part.pressure_switch_stuck(c);
  return part.built();
}

search_part low_circuits_part(const layout& of) {
  const auto& p = of.plan();
  part_builder part{of, "low-circuits",
                    "The warning counts circuits that are low in flight; status and confirmation of each are open, one "
                    "engine stands for all."};
  part.flies().runs(0);
  for (unsigned c = 0; c < p.circuits; ++c) part.toggles(events::pressure, c).runs_out(timer_kind::circuit_low, c);
  return part.built();
}

std::string words_of(const layout& of, timer_place what) {
  const auto named = [&](subject whose) { return std::string{of.name(whose)}; };
  switch (what.kind) {
    case timer_kind::door_run: return "the run limit of " + named(events::door(what.index)) + " is reached";
    case timer_kind::hold_off: return "the hold-off of " + named(events::circuit(what.index)) + " is over";
    case timer_kind::circuit_low: return named(events::circuit(what.index)) + " has been low for its confirmation time";
    case timer_kind::touchdown: return "the touchdown delay of " + named(events::electric_pump(what.index)) + " is over";
    case timer_kind::start_period: return "the start period of " + named(events::electric_pump(what.index)) + " is over";
    case timer_kind::cooling: return named(events::electric_pump(what.index)) + " has cooled";
    case timer_kind::pump_low: return named(events::engine_pump(what.index)) + " has not delivered for its confirmation time";
    case timer_kind::engine_pump_dry: return named(events::engine_pump(what.index)) + " has run dry for too long";
    case timer_kind::test: return "the test limit of " + named(events::unit(what.index)) + " is reached";
    case timer_kind::test_held: break;
  }
  return "the threshold was held for the confirmation time in the test of " + named(events::unit(what.index));
}

}  // namespace

std::string words_of(const layout& of, const happening& what) {
  return what.runs_out ? words_of(of, *what.runs_out) : words_of(of, what.what);
}

std::vector<search_part> parts_of(const layout& of) {
  const auto& p = of.plan();
  std::vector<search_part> all;
  for (unsigned e = 0; e < p.engines; ++e) all.push_back(engine_part(of, e));
  all.push_back(roles_part(of));
  all.push_back(steering_part(of));
  for (unsigned e = 0; e < p.engine_pumps; ++e) all.push_back(engine_pump_part(of, e));
  for (unsigned e = 0; e < p.electric_pumps; ++e) {
    if (p.electric_pump_at[e].duty != pump_duty::cargo || p.circuit_at[p.electric_pump_at[e].circuit].doors != 0) {
      all.push_back(electric_pump_part(of, e));
    }
  }
  for (unsigned r = 0; r < p.ram_air_pumps; ++r) all.push_back(ram_air_part(of, r));
  for (unsigned c = 0; c < p.circuits; ++c) {
    if (p.circuit_at[c].cargo_pump != nobody && p.circuit_at[c].doors != 0) {
      all.push_back(doors_part(of, c));
      all.push_back(service_part(of, c));
    }
    all.push_back(fluid_part(of, c));
    all.push_back(feeds_part(of, c));
  }
  all.push_back(low_circuits_part(of));
  for (unsigned u = 0; u < p.units; ++u) {
    all.push_back(test_part(of, u));
    all.push_back(switched_test_part(of, u));
    all.push_back(transfer_part(of, u));
    if (p.unit_at[u].maintenance_test) all.push_back(maintenance_part(of, u));
  }
  return all;
}

}  // namespace penstock::inline v1
