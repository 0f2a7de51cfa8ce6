// The properties that the requirements ask of every reachable state, each beside its sentence. They read what can be
// observed, and work out for themselves what is right; none asks the tables.
#include <string>

#include "penstock/explore.hpp"

namespace penstock::inline v1 {

namespace {

using maybe = std::optional<std::string>;
constexpr auto holds = std::nullopt;

std::string name_of(const layout& of, component kind, std::size_t i) {
  return std::string{of.name({kind, static_cast<std::uint8_t>(i)})};
}

bool runs(const observed_engine& engine) { return engine.mode == engine_mode::at_idle || engine.mode == engine_mode::running; }

bool any_engine_runs(const layout& of, const observation& seen) {
  for (std::size_t e = 0; e < of.count(component::engine); ++e) {
    if (runs(seen.engines[e])) return true;
  }
  return false;
}

// 1
maybe unit_obeys(const layout& of, const state& now, const observation& seen) {
  for (std::size_t u = 0; u < of.count(component::transfer_unit); ++u) {
    const observed_unit& unit = seen.units[u];
    if (unit.mode != unit_mode::a_drives_b && unit.mode != unit_mode::b_drives_a) continue;
    const std::string name = name_of(of, component::transfer_unit, u);
    if (!now.logic.units[u].switched_on) return name + " transfers though its switch is off";
    if (unit.reasons != 0) return name + " transfers though it is inhibited: " + std::string{word(unit.reason)};
  }
  for (std::size_t c = 0; c < of.count(component::circuit); ++c) {
    if (!seen.circuits[c].driven) continue;
    bool by_someone = false;
    for (std::size_t u = 0; u < of.count(component::transfer_unit); ++u) {
      const auto& at = of.plan().unit_at[u];
      by_someone = by_someone || (seen.units[u].mode == unit_mode::a_drives_b && at.b == c) ||
                   (seen.units[u].mode == unit_mode::b_drives_a && at.a == c);
    }
    if (!by_someone) return name_of(of, component::circuit, c) + " is driven though no unit transfers into it";
  }
  return holds;
}

// 2
maybe service_isolates(const layout& of, const state&, const observation& seen) {
  for (std::size_t i = 0; i < of.count(component::consumer); ++i) {
    const observed_consumer& consumer = seen.consumers[i];
    if (!consumer.available || consumer.fed_by == detail::nobody) continue;
    if (seen.circuits[consumer.fed_by].service != service_mode::service) continue;
    const auto& at = of.plan().consumer_at[i];
    for (unsigned f = 0; f < at.feed_count; ++f) {
      if (at.feed_circuit[f] == consumer.fed_by && at.feed_branch[f] != branch::service) {
        return name_of(of, component::consumer, i) + " is fed by " + name_of(of, component::circuit, consumer.fed_by) +
               " in service mode, outside the service branch";
      }
    }
  }
  return holds;
}

// 3
maybe cargo_pump_is_asked(const layout& of, const state&, const observation& seen) {
  for (std::size_t e = 0; e < of.count(component::electric_pump); ++e) {
    const auto& at = of.plan().electric_pump_at[e];
    const observed_electric_pump& pump = seen.electric_pumps[e];
    if (at.duty != pump_duty::cargo || !pump.delivering || pump.switched == pump_switch::on) continue;
    bool asked = false;
    for (std::size_t d = 0; d < of.count(component::cargo_door); ++d) {
      if (of.plan().door_at[d].circuit != at.circuit) continue;
      // asks: lever out, end of travel not made, on the ground [CGO-1, CGO-9]
      asked = asked || (seen.doors[d].mode == door_mode::asking && !seen.in_flight);
    }
    if (!asked) return name_of(of, component::electric_pump, e) + " runs though no door asks and its switch is not on";
  }
  return holds;
}

bool is_hot(const state& now, std::size_t electric_pump) {
  if (now.logic.electric_pumps[electric_pump].overheated) return true;
  for (const injected_fault& each : now.faults) {
    if (each.status == fault_status::active && each.kind == fault::pump_overheated &&
        each.where == subject{component::electric_pump, static_cast<std::uint8_t>(electric_pump)}) {
      return true;
    }
  }
  return false;
}

// 4, what a state shows: who wants it, and that it runs exactly then
maybe first_engine_pump_runs(const layout& of, const state& now, const observation& seen) {
  const bool engine = any_engine_runs(of, seen);
  for (std::size_t e = 0; e < of.count(component::electric_pump); ++e) {
    const auto& at = of.plan().electric_pump_at[e];
    if (at.duty != pump_duty::first_engine) continue;
    const observed_electric_pump& pump = seen.electric_pumps[e];
    const std::string name = name_of(of, component::electric_pump, e);
    const bool wanted = pump.demand != demand_mode::none;
    if ((engine || seen.in_flight) && !wanted) return name + " is not wanted though an engine runs, or in flight [AUX-1]";
    if (!engine && !seen.in_flight && wanted && pump.demand != demand_mode::touchdown &&
        pump.demand != demand_mode::override_) {
      return name + " is wanted for an engine or for flight, but on the ground no engine runs [AUX-2]";
    }
    if (pump.demand == demand_mode::override_ && (engine || seen.in_flight || pump.switched == pump_switch::off)) {
      return name + " keeps its ground override though an engine runs, in flight, or switched off [AUX-4]";
    }
    const bool can = pump.switched != pump_switch::off && seen.buses[at.bus].powered && !pump.shed &&
                     pump.health == health_mode::healthy && !is_hot(now, e) &&
                     now.logic.circuits[at.circuit].level != fluid_level::empty;
    if (pump.delivering && !(wanted && can)) return name + " delivers though it is not wanted or cannot [AUX-3]";
    if (!pump.delivering && wanted && can) return name + " does not deliver though it is wanted and can [AUX-1]";
  }
  return holds;
}

// 4, what a step shows: where an override and the wait after a touchdown come from
maybe first_engine_pump_remembers(const search_property::step& now) {
  for (std::size_t e = 0; e < now.of.count(component::electric_pump); ++e) {
    if (now.of.plan().electric_pump_at[e].duty != pump_duty::first_engine) continue;
    const auto before = now.before.logic.electric_pumps[e].demand;
    const auto after = now.after.logic.electric_pumps[e].demand;
    const std::string name = name_of(now.of, component::electric_pump, e);
    if (after == before) continue;
    if (after == demand_mode::override_ && (now.what.runs_out || now.what.what.kind != event_kind::ground_override)) {
      return name + " took up a ground override that nobody pressed [AUX-4]";
    }
    if (after == demand_mode::touchdown && now.before.logic.aircraft.where != air_ground::air) {
      return name + " waits after a touchdown that was none [AUX-2]";
    }
    const bool engine_or_air = [&] {
      for (std::size_t i = 0; i < now.of.count(component::engine); ++i) {
        const auto mode = now.after.logic.engines[i].mode;
        if (mode == engine_mode::at_idle || mode == engine_mode::running) return true;
      }
      return now.after.logic.aircraft.where == air_ground::air;
    }();
    if (before == demand_mode::override_ && !engine_or_air &&
        now.after.logic.electric_pumps[e].switched != pump_switch::off) {
      return name + " lost its ground override without an engine, lift-off or its switch [AUX-4]";
    }
  }
  return holds;
}

// 5
maybe steering_is_told(const layout& of, const state&, const observation& seen) {
  unsigned alerts = 0;
  alert_class shown = alert_class::none;
  for (const observed_alert& one : seen.alerts_standing()) {
    if (one.condition != condition::steering) continue;
    ++alerts;
    shown = one.level;
  }
  if (alerts > 1) return "two steering alerts stand at once [STR-3]";
  const bool open = seen.steering != steering_mode::connected;
  const alert_class right = !open                                         ? alert_class::none
                            : any_engine_runs(of, seen) || seen.in_flight ? alert_class::caution
                                                                          : alert_class::advisory;
  if (shown == right) return holds;
  return "the steering alert is " + std::string{word(shown)} + "; right is " + std::string{word(right)} +
         " [STR-1, STR-2, STR-3, STR-6]";
}

// 6, in a state: undecided exactly while it waits or holds
maybe test_has_one_outcome(const layout& of, const state&, const observation& seen) {
  for (std::size_t u = 0; u < of.count(component::transfer_unit); ++u) {
    const observed_unit& unit = seen.units[u];
    const std::string name = name_of(of, component::transfer_unit, u);
    const bool undecided = unit.test == test_mode::waiting || unit.test == test_mode::holding;
    if (undecided != (unit.outcome == test_outcome::pending)) {
      return name + ": the test is " + std::string{word(unit.test)} + ", its outcome " + std::string{word(unit.outcome)};
    }
    if (unit.test == test_mode::decided && unit.outcome == test_outcome::none) return name + ": decided without an outcome";
    const bool told = unit.outcome == test_outcome::interrupted || unit.outcome == test_outcome::not_run;
    if (told != (unit.test_reason_ != test_reason::none)) return name + ": an outcome and its reason do not go together";
  }
  return holds;
}

// 6, in a step: the first decision stands until a new start is judged
maybe first_decision_stands(const search_property::step& now) {
  for (std::size_t u = 0; u < now.of.count(component::transfer_unit); ++u) {
    const unit_state& before = now.before.logic.units[u];
    const unit_state& after = now.after.logic.units[u];
    if (before.test != test_mode::decided || after.test != test_mode::decided) continue;
    if (before.outcome != after.outcome || before.reason != after.reason) {
      return name_of(now.of, component::transfer_unit, u) + ": the outcome of a decided test changed from " +
             std::string{word(before.outcome)} + " to " + std::string{word(after.outcome)};
    }
  }
  return holds;
}

}  // namespace

const std::vector<search_property>& required_properties() {
  static const std::vector<search_property> all{
      {"unit-obeys", "A transfer unit that is off or inhibited transfers nothing.", unit_obeys, {}},
      {"service-isolates", "In service mode nothing outside the service branch is available from that circuit.",
       service_isolates, {}},
      {"cargo-pump-is-asked", "The cargo-duty pump runs only for an asking door or for its crew switch.",
       cargo_pump_is_asked, {}},
      {"first-engine-pump", "The first-engine pump runs exactly as AUX-1 to AUX-4 say, in both directions.",
       first_engine_pump_runs, first_engine_pump_remembers},
      {"steering-is-told",
       "Steering disconnected with an engine running always shows the caution, and never the advisory with it.",
       steering_is_told, {}},
      {"one-outcome", "Every transfer test that began has exactly one outcome.", test_has_one_outcome,
       first_decision_stands},
  };
  return all;
}

}  // namespace penstock::inline v1
