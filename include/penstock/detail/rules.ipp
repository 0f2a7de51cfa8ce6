// The catalogue of rules, in full words. Ids are quoted by every row of a table, by explanations, diagrams
// and tests. Most rules are common practice in the trade and have no published source; where one has, it is
// named beside it.
#pragma once

#include "penstock/rules.hpp"

#include <array>

namespace penstock::inline v1 {

namespace detail {

inline constexpr std::string_view common_practice = "common practice";

// clang-format off
inline constexpr auto rule_list = std::to_array<rule>({
    // How guards, commands and time work
    {"GEN-1",
     "Commands (start selected, switch moved, reset) are edges. Every other guard is a level, evaluated again "
     "after every event until nothing changes: a condition that comes back (power, ground, level) acts again at "
     "once, with no new command.",
     common_practice, false},
    {"GEN-2",
     "A command with no meaning in the present state is refused with a reason and changes nothing.",
     common_practice, false},
    {"GEN-3",
     "Order within a frame: engines, doors, pumps, service mode and its hold-off, transfer units, circuit "
     "pressures, level and shed switches, alerts. Timers advance before the event that carries the same time "
     "stamp; a timer expires when the elapsed time reaches the limit.",
     common_practice, false},
    {"GEN-4",
     "'Below' and 'above' are strict; 'reaches' includes equality. Every threshold has hysteresis.",
     common_practice, false},
    {"GEN-5",
     "Initial state: cold and dark on the ground: parking brake set, gear down, buses dead, engines stopped, "
     "engine-pump switches on, electric pumps with a duty automatic, transfer units automatic, levers neutral, "
     "doors closed, steering connected, pin out, reservoirs nominal, accumulators charged, no test outcome.",
     common_practice, false},
    {"GEN-6",
     "An air/ground input that is invalid keeps its last valid value, with an advisory.",
     common_practice, false},
    {"GEN-7",
     "Any state may be set up directly (an instructor's reposition). Levels are then evaluated once; nothing "
     "counts as having happened: no test, no hold-off, no onset earlier than now.",
     common_practice, false},
    // Engines
    {"ENG-1",
     "A stopped engine whose start is selected cranks.",
     common_practice, false},
    {"ENG-2",
     "A cranking engine whose spool reaches idle is at idle: the engine now runs.",
     common_practice, false},
    {"ENG-3",
     "An engine at idle whose starter and ignition are reported off is running. 'Start sequence complete' means "
     "this transition.",
     common_practice, false},
    {"ENG-4",
     "A cranking engine whose start is aborted, or that is shut down, hangs or flames out, runs down; the "
     "selection is cancelled; a later attempt is a new start.",
     common_practice, false},
    {"ENG-5",
     "From any state with rotation, shut down or flamed out leads to run-down; spool at zero leads to stopped; "
     "start selected in run-down leads to cranking (through to at idle in the same frame if the spool is still "
     "at idle; then there is no test).",
     common_practice, false},
    {"ENG-6",
     "The fire handle closes the supply valve of that engine's pumps, nothing else; stowing it does not reopen "
     "the valve, a reset does.",
     common_practice, false},
    {"ENG-7",
     "Roles are worked out continuously: the first engine is the earliest-started one still running; the second "
     "is another that runs, or that cranks while one runs. An engine that cranks alone, or only with others that "
     "crank, has no role yet. "
     "Earliest-started means the one that began to run first, by reaching idle.",
     common_practice, false},
    {"ENG-8",
     "A starter that cuts out before idle is remembered: at idle the engine passes through at idle to running.",
     common_practice, false},
    {"ENG-9",
     "Spool below the sub-idle mark while at idle or running leads to run-down, as a flame-out; an engine that "
     "turns without a start is in run-down (windmilling).",
     common_practice, false},
    {"ENG-10",
     "'Start selected' is held until abort, hang or shut-down; a flame-out after idle does not cancel it.",
     common_practice, false},
    // Engine-driven pumps
    {"EDP-1",
     "An engine pump delivers while the spool is above a layout mark (whatever the engine state), its switch is "
     "on, its supply valve is open and its reservoir can feed it; output rises with speed.",
     common_practice, false},
    {"EDP-2",
     "Switch off unloads an engine pump; it is shown as off, never as a fault; off hides a latched failure but "
     "does not clear it.",
     common_practice, false},
    {"EDP-3",
     "Engine runs, switch on, pump does not deliver, for a layout confirmation time: an alert with the cause "
     "named (supply valve included); with the engine off, low pressure is normal and there is no alert.",
     "14 CFR 25.1322(d)", false},
    {"EDP-4",
     "A failed pump is latched until reset; the reset is refused while the cause is present. Overheat and dry "
     "end with their condition. Their alert replaces that of EDP-3.",
     common_practice, false},
    {"EDP-5",
     "The reason shown for an engine pump is the first that holds of: off, failed, overheat, not turning, no "
     "supply, dry, delivering.",
     common_practice, false},
    {"EDP-6",
     "Loss of the pump's control bus loads an unloaded pump.",
     common_practice, true},
    {"EDP-7",
     "Dry running beyond a layout time damages the pump (latched); a sheared shaft is a failure that no reset "
     "clears.",
     common_practice, true},
    // Electric pump with cargo duty
    {"CGO-1",
     "A door asks while its lever is out of neutral and the end of travel in that direction is not made. The "
     "pump runs by itself, at once, while any door asks.",
     common_practice, false},
    {"CGO-2",
     "At the end of travel, in either direction, that door asks no more; with no door asking the pump stops and "
     "the circuit decays to zero.",
     common_practice, false},
    {"CGO-3",
     "Lever to neutral in mid-travel: that door asks no more, as at the end of travel; the door holds where it "
     "is.",
     common_practice, false},
    {"CGO-4",
     "With several doors the pump runs until none asks.",
     common_practice, false},
    {"CGO-5",
     "Service mode: the pump runs on automatic for a door and no other source of the circuit delivers. Only the "
     "service branch (cargo doors, that circuit's brakes with the parking-brake accumulator, one reverser) has "
     "pressure, and only while the pump runs; stored energy stays in the accumulator.",
     common_practice, false},
    {"CGO-6",
     "In service mode the circuit reports partial, never normal, however high its pressure; without pressure it "
     "reports low.",
     common_practice, false},
    {"CGO-7",
     "In service mode every transfer unit of that circuit is inhibited, and for a whole layout-set hold-off each "
     "time service mode ends; a new service mode, crew switch on, or lift-off cancels the hold-off.",
     common_practice, false},
    {"CGO-8",
     "Crew switch on pressurises the whole circuit, transfer unit included; it wins over a door. Back to "
     "automatic with a door asking means service mode again. Service mode ending never moves a switch. Switch "
     "off: nothing runs, levers ask for nothing.",
     common_practice, false},
    {"CGO-9",
     "Without power, or in flight, levers ask for nothing, with the reason; when power or ground is back with "
     "the lever still out, it asks again at once.",
     common_practice, false},
    {"CGO-10",
     "Run limit per door: it counts while the door asks in service mode, or while its lever is out at the end of "
     "travel; it is cleared by neutral; at the limit that door asks no more, with an advisory.",
     common_practice, false},
    {"CGO-11",
     "Hand pump where the layout has one: it moves cargo doors on the ground without power; there is no service "
     "mode and nothing else has pressure.",
     common_practice, false},
    {"CGO-12",
     "Another source delivers to the same circuit: the lever still runs the pump, but there is no service mode "
     "and nothing is isolated; if it begins during service mode, service mode ends.",
     common_practice, false},
    {"CGO-13",
     "Lift-off ends service mode and hold-off at once.",
     common_practice, false},
    {"CGO-14",
     "Pump failed (latched), overheated or dry: it stops, with the reason. Reason order of all electric pumps: "
     "switch off, no power, failed, overheat, not wanted, dry, delivering.",
     common_practice, false},
    {"CGO-15",
     "Lever out of neutral at engine start or lift-off: advisory. Cargo door not closed with an engine running: "
     "caution (shown if any door is not closed, latched and locked).",
     "14 CFR 25.783(e)", false},
    {"CGO-16",
     "Starts per period are limited, with a cooling time.",
     common_practice, true},
    // Electric pump with first-engine duty, and others
    {"AUX-1",
     "The pump is wanted while any engine runs, or in flight, or by ground override. The first engine, whichever "
     "it is, starts it.",
     common_practice, false},
    {"AUX-2",
     "When the last running engine stops on the ground, the pump stops; in flight it runs on; after a landing "
     "with no engine running it stops a layout delay after touchdown.",
     common_practice, false},
    {"AUX-3",
     "Switch off, no power, failed or overheated: the pump is off, with the reason; when power is back it "
     "resumes.",
     common_practice, false},
    {"AUX-4",
     "Ground override: the pump runs with no engine, on the ground only; it is cleared by an engine running, by "
     "lift-off, by switch off; it is kept through a power loss, and refused where it has no meaning. "
     "Pressed in the delay after a touchdown, it takes the place of that delay.",
     common_practice, false},
    {"ELP-1",
     "An electric pump with no duty runs while it is switched on, powered, healthy and not dry.",
     common_practice, false},
    {"ELP-2",
     "Load shed: a bus may drop a pump; the reason is given; it comes back by itself. Which source (engine, "
     "auxiliary, external) feeds which bus is in the layout.",
     common_practice, false},
    {"ELP-3",
     "An electric pump that is wanted and failed, overheated or dry raises a caution with the cause; without "
     "power the electrical system alerts, not the pump.",
     common_practice, false},
    {"RAT-1",
     "Ram-air pump: in flight above a layout speed, with all engines out or all main AC lost, it deploys and "
     "feeds its circuit, less with falling airspeed; it is stowed only on the ground.",
     common_practice, true},
    // Transfer unit
    {"PTU-1",
     "Off: the unit never transfers, whatever else holds; switched off while transferring it stops at once.",
     common_practice, false},
    {"PTU-2",
     "On the ground, within the layout's scope (ground, parked or under tow, none), the unit is inhibited while "
     "exactly one of its engines is selected. Shipped layouts use parked or under tow, so that a unit never "
     "stops at touchdown on one engine.",
     common_practice, false},
    {"PTU-3",
     "Test: judged once per start, when the engine becomes the unit's second (at its start selection, not at its "
     "idle): with one circuit at own pressure from an engine pump and the other not, the unit transfers and the "
     "test advisory shows. Own pressure of a circuit counts while a pump of its own delivers, not what is left in it.",
     common_practice, false},
    {"PTU-4",
     "Start sequence complete, or any own pump of the driven circuit delivers: the test is over and its advisory "
     "is off; afterwards PTU-6 goes on.",
     common_practice, false},
    {"PTU-5",
     "Every test has exactly one outcome, and the first decision stands: passed (threshold reached in the layout "
     "time and held for the confirmation time), failed (not so: caution), interrupted (with the reason), not run "
     "(with the reason). A new start runs a new test. A threshold that is lost again may be reached once more "
     "within the layout time. "
     "An interrupted test names as its reason that the start was given up rather than the inhibition that follows "
     "from it.",
     common_practice, false},
    {"PTU-6",
     "Otherwise standby: the unit transfers when own pressures differ by more than the activation difference and "
     "stops below the release difference; reversal passes through standby.",
     common_practice, false},
    {"PTU-7",
     "All engines off, electric pump on by the crew: the unit lets it pressurise the other circuit, unless "
     "PTU-1. "
     "An engine whose start is selected counts as not off, and protections [PTU-8] still inhibit.",
     common_practice, false},
    {"PTU-8",
     "Low level, low reservoir air pressure or hot fluid in a linked circuit: inhibited until it clears (layout "
     "option).",
     common_practice, false},
    {"PTU-9",
     "A one-way unit transfers, and is tested, only in its direction.",
     common_practice, false},
    {"PTU-10",
     "A unit's engines are those whose pumps feed its circuits (fewer than two: all engines).",
     common_practice, false},
    {"PTU-11",
     "Units never chain: none drives from pressure that another supplies.",
     common_practice, false},
    {"PTU-12",
     "Reason order of inhibition: PTU-1, PTU-8, CGO-7, PTU-2; the first is the reason, all are listed.",
     common_practice, false},
    {"PTU-13",
     "No test in flight, nor for a third engine of the unit, nor while one is active; the record stands.",
     common_practice, false},
    {"PTU-14",
     "The failed caution ends at a new test, or when the unit is switched off.",
     common_practice, false},
    {"PTU-15",
     "Overspeed (driven circuit empty): caution, inhibited; maintenance test without engines, on the ground.",
     common_practice, true},
    // Steering link
    {"STR-1",
     "Disconnected for towing, no engine running: advisory.",
     common_practice, false},
    {"STR-2",
     "Disconnected, any engine running: caution; back to advisory when none runs.",
     "CS 25.745(d), from memory: alert before taxi", false},
    {"STR-3",
     "Never both classes at once; connected: neither.",
     common_practice, false},
    {"STR-4",
     "While disconnected the steering consumer is not available, whatever the pressure.",
     common_practice, false},
    {"STR-5",
     "Pin in: a reconnection is refused with the reason, and not remembered; the pin cannot go in while "
     "connected.",
     common_practice, false},
    {"STR-6",
     "Disconnected in flight: caution. The link can be disconnected on the ground only.",
     common_practice, false},
    // Fluid quantity, reservoirs
    {"LVL-1",
     "Below the low mark: caution; above the full mark: advisory; both with hysteresis.",
     common_practice, false},
    {"LVL-2",
     "Fluid is conserved: reservoir + lines + actuators + accumulators + leaked = filled. A transfer unit moves "
     "none between circuits.",
     common_practice, false},
    {"LVL-3",
     "The level falls a little when the gear retracts and returns when it extends; likewise with doors, "
     "accumulators, pressure and temperature.",
     common_practice, false},
    {"LVL-4",
     "An empty reservoir unprimes its pumps; they prime again with fluid.",
     common_practice, false},
    {"LVL-5",
     "The expected level for the present configuration can be asked for; a level is judged against it, and a "
     "servicing answer says when it is not valid.",
     common_practice, false},
    {"LVL-6",
     "Leak by place: reservoir always; line while the circuit has pressure; consumer while it has pressure and "
     "is not isolated.",
     common_practice, false},
    {"LEK-1",
     "Leak isolation: a crew switch shuts a circuit's outer branch, on the ground only.",
     common_practice, true},
    {"RES-1",
     "Reservoir air pressure low: caution; pumps go on while they are fed.",
     common_practice, false},
    {"RES-2",
     "Hot fluid: caution.",
     common_practice, false},
    // Circuits, consumers
    {"CIR-1",
     "Status of a circuit: partial (service mode, with pressure), normal (pressure switch made), low (not made, "
     "and a source is wanted, or in flight), off (otherwise). "
     "The circuit stays partial while what service mode left in it decays during the hold-off. A circuit that only a "
     "transfer unit under test should feed is not missed until the test is over.",
     common_practice, false},
    {"CIR-2",
     "Low with an engine running or in flight: caution, nested under its cause.",
     common_practice, false},
    {"CIR-3",
     "A circuit must be low for a confirmation time before its caution: pressure that is still rising is normal "
     "for the phase.",
     "14 CFR 25.1322(d)", false},
    {"CON-1",
     "A consumer is available while a circuit that feeds it is at pressure and does not isolate it.",
     common_practice, false},
    {"CON-2",
     "In service mode only the service branch is available.",
     common_practice, false},
    {"CON-3",
     "The parking brake works from its accumulator with its circuit off, for as many applications as the gas law "
     "gives; any pressurised state recharges it; gas lost: none.",
     common_practice, false},
    {"CON-4",
     "Heavy consumers are shed below the priority-valve pressure, with hysteresis.",
     common_practice, false},
    {"CON-5",
     "Reversers and cargo doors are also bound to ground or flight.",
     common_practice, false},
    {"CON-6",
     "Parking brake set and no pressure behind it: caution (indication of not released and of usable stored "
     "energy; energy for 6 applications).",
     "14 CFR 25.735(d),(h)", false},
    {"CON-7",
     "Reason of unavailability, first that holds: CON-5, STR-4, then CON-2, CON-4, CON-1; any feed that serves "
     "gives available. "
     "Shedding counts only where the circuit has pressure at all: a dead circuit gives CON-1.",
     common_practice, false},
    // Alerts
    {"ALR-1",
     "Classes: warning, caution, advisory as 14 CFR 25.1322(b) defines them, and status (no alert). The library "
     "gives the class; presentation gives the colour.",
     "14 CFR 25.1322(b)", false},
    {"ALR-2",
     "An alert names its condition, its onset (kept through a change of class), the rule and the cause.",
     "14 CFR 25.1322(a)", false},
    {"ALR-3",
     "What is normal for the phase raises no alert; an alert is removed when the condition ends.",
     "14 CFR 25.1322(d); 25.1322(a)(3)", false},
    {"ALR-4",
     "One condition, one alert; a change of class replaces it.",
     common_practice, false},
    {"ALR-5",
     "In flight, a layout number of circuits low at once: warning.",
     common_practice, false},
    {"ALR-6",
     "Acknowledge and recall; inhibition in take-off and landing by a layout list; an inhibited alert is still "
     "listed as inhibited.",
     common_practice, false},
    {"ALR-7",
     "Consequences are nested under their cause: pump, circuit, consumers.",
     common_practice, false},
    // Faults that can be injected
    {"INS-1",
     "A fault is armed at once, at a time or on a condition; it is listed; it is ended by removal or a general "
     "clear, which leaves switches alone. Faults: pump failed, overheated, weak; leak at a stated flow in "
     "reservoir, line or consumer; loss of a bus or of all power; reservoir air lost; hot fluid; transfer unit "
     "seized or weak; pressure, level, lever or travel switch stuck either way; supply valve stuck; engine hung "
     "start, flame-out; accumulator gas lost.",
     common_practice, false},
});
// clang-format on

// Two rules with one id would make every citation ambiguous.
constexpr bool has_unique_rules() {
  for (std::size_t i = 0; i < rule_list.size(); ++i) {
    for (std::size_t k = i + 1; k < rule_list.size(); ++k) {
      if (rule_list[i].id == rule_list[k].id) return false;
    }
  }
  return true;
}
static_assert(has_unique_rules(), "each rule id stands once in the catalogue");

}  // namespace detail

PENSTOCK_INLINE std::span<const rule> all_rules() { return detail::rule_list; }

PENSTOCK_INLINE const rule* find_rule(std::string_view id) {
  for (const rule& each : detail::rule_list) {
    if (each.id == id) return &each;
  }
  return nullptr;
}

}  // namespace penstock::inline v1
