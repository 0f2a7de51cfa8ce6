// Property 9: which pairs of events may not change places within a frame, and why.
#include "penstock/explore.hpp"

namespace penstock::inline v1 {

namespace {

bool only_one_loses_a_running_timer(const both_orders& o) {
  const auto loses = [](const auto& before, const auto& a, const auto& b) {
    for (std::size_t i = 0; i < before.size(); ++i) {
      if (before[i] != 0 && (a[i] == 0) != (b[i] == 0)) return true;
    }
    return false;
  };
  const timer_state& f = o.from.timers;
  const timer_state& m = o.middle.timers;
  const timer_state& n = o.other_middle.timers;
  return loses(f.circuit_low, m.circuit_low, n.circuit_low) || loses(f.pump_low, m.pump_low, n.pump_low) ||
         loses(f.touchdown, m.touchdown, n.touchdown);
}

// A command is judged by what holds when it comes: refused in one order, accepted in the other.
bool a_command_is_refused_in_one_order(const both_orders& o) {
  const auto accepted = [&](const state& from, const event& what) {
    state scratch = from;
    effects did;  // NOLINT(cppcoreguidelines-pro-type-member-init): `apply` writes what counts
    apply(o.of, scratch, what, did);
    return did.accepted();
  };
  return accepted(o.from, o.one) != accepted(o.other_middle, o.one) ||
         accepted(o.from, o.other) != accepted(o.middle, o.other);
}

}  // namespace

std::string_view reason_for_order(const both_orders& o) {
  const auto has = [&](event_kind kind) { return o.one.kind == kind || o.other.kind == kind; };
  if (a_command_is_refused_in_one_order(o)) return "a command has a meaning in one order only [GEN-1, GEN-2]";
  if (o.one.kind == event_kind::start && o.other.kind == event_kind::start) {
    return "the engine that is selected first is the first [ENG-7]";
  }
  for (std::size_t e = 0; e < limits::engines; ++e) {
    const engine_state& a = o.end.logic.engines[e];
    const engine_state& b = o.other_end.logic.engines[e];
    if (a.running_rank != b.running_rank || a.cranking_rank != b.cranking_rank) {
      return "the engine that comes to run or to crank first is before the other [ENG-7]";
    }
  }
  if (has(event_kind::acknowledge) || has(event_kind::recall)) {
    return "acts on the alerts that stand when it comes [ALR-6]";
  }
  if (has(event_kind::clear_faults)) return "ends the faults that are there when it comes [INS-1]";
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
    const unit_state& a = o.end.logic.units[u];
    const unit_state& b = o.other_end.logic.units[u];
    if (a.outcome != b.outcome || a.reason != b.reason || a.judged != b.judged || a.second != b.second) {
      return "a test is judged by what holds when its engine becomes second, and its first decision stands [PTU-3, "
             "PTU-5]";
    }
    if (a.test != b.test || a.failed_caution != b.failed_caution) {
      return "what ends a test for an instant ends it for good [PTU-4, PTU-5]";
    }
    const bool between = a.difference == pressure_difference::a_higher || a.difference == pressure_difference::b_higher;
    if (between && a.mode != b.mode) {
      return "between release and activation a unit goes on as it was [PTU-6]";
    }
  }
  if (o.end.logic.aircraft.ram_air != o.other_end.logic.aircraft.ram_air) {
    return "the ram-air pump deploys when for an instant no engine runs, and stays so [RAT-1]";
  }
  for (std::size_t e = 0; e < limits::electric_pumps; ++e) {
    const electric_pump_state& a = o.end.logic.electric_pumps[e];
    const electric_pump_state& b = o.other_end.logic.electric_pumps[e];
    if (a.starts != b.starts || a.limiter != b.limiter) return "a start that lasted no longer than an instant counts [CGO-16]";
  }
  for (std::size_t e = 0; e < limits::electric_pumps; ++e) {
    if (o.end.logic.electric_pumps[e].demand != o.other_end.logic.electric_pumps[e].demand) {
      return "the last engine stopped before or after the landing [AUX-2]";
    }
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

}  // namespace penstock::inline v1
