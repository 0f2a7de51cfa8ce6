// Everything the logic remembers, as one plain value that can be copied, compared and kept.
//
// `logic` is what decides; it is small and finite, so that every reachable state can be searched.
// `timers` count; `faults` are what an instructor injected; `chronicle` says since when and by which
// row, for explanations, and never decides anything.
#pragma once

#include <array>
#include <cstdint>
#include <type_traits>

#include "penstock/layout.hpp"
#include "penstock/modes.hpp"

namespace penstock::inline v1 {

struct engine_state {
  engine_mode mode : 3;
  spool_band spool : 3;
  selection_mode selection : 1;
  valve_mode supply : 1;
  bool starter_is_out : 1;
  bool fire_handle_pulled : 1;
  std::uint8_t running_rank : 3;   ///< 1: earliest-started engine still running; 0: does not run [ENG-7]
  std::uint8_t cranking_rank : 3;  ///< 1: earliest selected of those that crank; 0: does not crank
  friend constexpr bool operator==(const engine_state&, const engine_state&) = default;
};

struct engine_pump_state {
  health_mode health : 2;
  pump_mode mode : 1;
  bool switched_on : 1;
  bool failure_present : 1;
  bool overheated : 1;
  friend constexpr bool operator==(const engine_pump_state&, const engine_pump_state&) = default;
};

struct electric_pump_state {
  health_mode health : 2;
  pump_mode mode : 1;
  demand_mode demand : 3;
  pump_switch switched : 2;
  bool failure_present : 1;
  bool overheated : 1;
  bool shed : 1;
  limiter_mode limiter : 1;
  std::uint8_t starts : 4;  ///< within the present period [CGO-16]
  friend constexpr bool operator==(const electric_pump_state&, const electric_pump_state&) = default;
};

struct door_state {
  door_mode mode : 3;
  lever_position lever : 2;
  door_travel travel : 2;
  bool lever_reported : 1;  ///< lever was out at an engine start or lift-off [CGO-15]
  friend constexpr bool operator==(const door_state&, const door_state&) = default;
};

struct circuit_state {
  service_mode service : 2;
  fluid_level level : 2;
  bool pressure_made : 1;
  bool above_priority : 1;
  bool air_low : 1;
  bool fluid_hot : 1;
  bool hand_pump : 1;
  bool outer_shut : 1;
  friend constexpr bool operator==(const circuit_state&, const circuit_state&) = default;
};

struct unit_state {
  unit_mode mode : 3;
  test_mode test : 2;
  bool switched_on : 1;
  bool overspeed : 1;
  pressure_difference difference : 3;
  test_outcome outcome : 3;
  test_reason reason : 4;
  bool failed_caution : 1;       ///< PTU-14
  bool test_from_b : 1;          ///< the test drives from b to a
  bool maintenance : 1;          ///< the test is a maintenance test [PTU-15]
  std::uint8_t judged : 4;       ///< engines whose present start has been judged [PTU-3]
  std::uint8_t second : 3;       ///< engine under test + 1; 0: none
  friend constexpr bool operator==(const unit_state&, const unit_state&) = default;
};

struct aircraft_state {
  steering_mode steering : 2;
  ram_air_mode ram_air : 1;
  air_ground where : 1;          ///< last valid [GEN-6]
  bool air_ground_valid : 1;
  bool external_power : 1;
  bool auxiliary_power : 1;
  bool parking_brake_set : 1;
  bool gear_down : 1;
  airspeed_band airspeed : 2;
  flight_phase phase : 2;
  std::uint8_t stored_0;         ///< applications left in store 0
  std::uint8_t stored_1;
  friend constexpr bool operator==(const aircraft_state&, const aircraft_state&) = default;
};

/// The part of the state that decides: finite and small.
struct logic_state {
  std::array<engine_state, limits::engines> engines;
  std::array<engine_pump_state, limits::engine_pumps> engine_pumps;
  std::array<electric_pump_state, limits::electric_pumps> electric_pumps;
  std::array<door_state, limits::cargo_doors> doors;
  std::array<circuit_state, limits::circuits> circuits;
  std::array<unit_state, limits::transfer_units> units;
  aircraft_state aircraft;
  std::uint64_t acknowledged;    ///< alert slots acknowledged [ALR-6]
  friend constexpr bool operator==(const logic_state&, const logic_state&) = default;
};
static_assert(sizeof(logic_state) <= 128, "the budget of the logic state is 128 bytes");

/// Timers in milliseconds. Each counts while its condition holds and is 0 otherwise, except the run
/// limit of a door, which only neutral clears.
struct timer_state {
  std::array<std::uint32_t, limits::cargo_doors> door_run;
  std::array<std::uint32_t, limits::circuits> hold_off;
  std::array<std::uint32_t, limits::circuits> circuit_low;
  std::array<std::uint32_t, limits::electric_pumps> touchdown;
  std::array<std::uint32_t, limits::electric_pumps> start_period;
  std::array<std::uint32_t, limits::electric_pumps> cooling;
  std::array<std::uint32_t, limits::engine_pumps> pump_low;
  std::array<std::uint32_t, limits::engine_pumps> engine_pump_dry;
  std::array<std::uint32_t, limits::transfer_units> test;
  std::array<std::uint32_t, limits::transfer_units> test_held;
  friend constexpr bool operator==(const timer_state&, const timer_state&) = default;
};

struct injected_fault {
  fault_status status;
  fault kind;
  subject where;
  fault_trigger trigger;
  subject trigger_about;
  bool seen_in_air;             ///< touchdown trigger: has been in flight since it was armed
  std::uint32_t amount;         ///< leaks: mm3/s
  std::uint32_t trigger_time;   ///< ms
  friend constexpr bool operator==(const injected_fault&, const injected_fault&) = default;
};

/// Where each machine and each alert has its place in the chronicle.
namespace detail {
struct machine_places {
  static constexpr std::array<std::uint8_t, machine_count> many{
      limits::engines, limits::engines, limits::engines, limits::cargo_doors,
      limits::engine_pumps + limits::electric_pumps, limits::engine_pumps, limits::electric_pumps,
      limits::electric_pumps, limits::electric_pumps, limits::electric_pumps, limits::electric_pumps,
      limits::ram_air_pumps, limits::circuits, limits::transfer_units, limits::transfer_units, 1};
  static constexpr std::array<std::uint8_t, machine_count + 1> first = [] {
    std::array<std::uint8_t, machine_count + 1> sums{};
    for (std::size_t i = 0; i < machine_count; ++i) sums[i + 1] = static_cast<std::uint8_t>(sums[i] + many[i]);
    return sums;
  }();
  static constexpr std::size_t total = first[machine_count];
};

/// Slots of alerts: one for each condition and subject.
struct alert_places {
  static constexpr std::array<std::uint8_t, count_of<condition>> many{
      1, limits::engine_pumps, limits::electric_pumps, limits::circuits, limits::circuits, limits::circuits,
      limits::circuits, limits::cargo_doors, limits::cargo_doors, limits::cargo_doors, limits::transfer_units,
      limits::transfer_units, limits::transfer_units, 1, 1, 1, limits::ram_air_pumps, limits::circuits};
  static constexpr std::array<std::uint8_t, count_of<condition> + 1> first = [] {
    std::array<std::uint8_t, count_of<condition> + 1> sums{};
    for (std::size_t i = 0; i < count_of<condition>; ++i) sums[i + 1] = static_cast<std::uint8_t>(sums[i] + many[i]);
    return sums;
  }();
  static constexpr std::size_t total = first[count_of<condition>];
};
static_assert(alert_places::total <= 64, "alert slots are bits of one word");

/// Inputs whose last change is remembered for explanations.
enum class mark : std::uint8_t {
  spool, fire_handle, engine_pump_switch, engine_pump_failure, engine_pump_overheat, electric_pump_switch,
  electric_pump_failure, electric_pump_overheat, shed, lever, travel, pressure, priority, level, air, fluid,
  hand_pump, outer, unit_switch, difference, overspeed, ground, ground_validity, external, auxiliary, parking, gear,
  airspeed, phase, stored, bus,
};
struct mark_places {
  static constexpr std::array<std::uint8_t, 31> many{
      limits::engines, limits::engines, limits::engine_pumps, limits::engine_pumps, limits::engine_pumps,
      limits::electric_pumps, limits::electric_pumps, limits::electric_pumps, limits::electric_pumps,
      limits::cargo_doors, limits::cargo_doors, limits::circuits, limits::circuits, limits::circuits,
      limits::circuits, limits::circuits, limits::circuits, limits::circuits, limits::transfer_units,
      limits::transfer_units, limits::transfer_units, 1, 1, 1, 1, 1, 1, 1, 1, limits::stores, limits::buses};
  static constexpr std::array<std::uint8_t, 32> first = [] {
    std::array<std::uint8_t, 32> sums{};
    for (std::size_t i = 0; i < 31; ++i) sums[i + 1] = static_cast<std::uint8_t>(sums[i] + many[i]);
    return sums;
  }();
  static constexpr std::size_t total = first[31];
};
}  // namespace detail

/// Since when, and by which row. Times in milliseconds since the beginning. Never decides anything.
struct chronicle_state {
  static constexpr std::uint8_t no_row = 0xFF;
  std::uint32_t now;
  std::array<std::uint32_t, detail::machine_places::total> machine_since;
  std::array<std::uint8_t, detail::machine_places::total> machine_row;  ///< last row taken, or no_row
  std::array<std::uint32_t, detail::mark_places::total> input_since;
  std::array<std::uint32_t, detail::alert_places::total> alert_since;   ///< onset [ALR-2]
  std::uint64_t alerts_standing;                                        ///< slots
  std::uint64_t alerts_urgent;                                          ///< slots with a caution or warning
  std::array<std::uint8_t, limits::buses> bus_source;                   ///< live source as in the plan, to see changes
  friend constexpr bool operator==(const chronicle_state&, const chronicle_state&) = default;
};

/// The whole state of the logic of one aircraft. A plain value: copy it to keep it.
struct state {
  logic_state logic;
  timer_state timers;
  std::array<injected_fault, limits::faults> faults;
  chronicle_state chronicle;
  friend constexpr bool operator==(const state&, const state&) = default;
};
static_assert(std::is_trivially_copyable_v<state>);

/// Cold and dark on the ground [GEN-5].
[[nodiscard]] PENSTOCK_API state cold_and_dark(const layout& of);

/// An instructor's set-up of any state [GEN-7]: what is not named stays cold and dark.
struct reposition_spec {
  std::array<bool, limits::engines> engine_runs{};     ///< spool at idle, starter out; ranks by number
  std::array<pump_switch, limits::engine_pumps> engine_pump_switches{};
  std::array<pump_switch, limits::electric_pumps> electric_pump_switches{};
  std::array<bool, limits::transfer_units> unit_on{};
  std::array<lever_position, limits::cargo_doors> levers{};
  std::array<door_travel, limits::cargo_doors> doors{};
  std::array<fluid_level, limits::circuits> levels{};
  bool steering_connected = true;
  bool pin_in = false;
  bool in_flight = false;
  bool gear_down = true;
  bool parking_brake_set = true;
  bool external_power = false;
  bool auxiliary_power = false;
  airspeed_band airspeed = airspeed_band::slow;
  milliseconds now{0};
  friend bool operator==(const reposition_spec&, const reposition_spec&) = default;
};
/// The spec of cold and dark, to change and hand to `repositioned`.
[[nodiscard]] PENSTOCK_API reposition_spec reposition_of_cold_and_dark(const layout& of);
/// The state a spec describes, levels evaluated once, nothing counted as having happened [GEN-7].
/// Refuses contradictions (pin in while connected, gear up on the ground, negative time) by name.
[[nodiscard]] PENSTOCK_API result<state> repositioned(const layout& of, const reposition_spec& to);

}  // namespace penstock::inline v1
