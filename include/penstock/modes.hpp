// Every enumeration of the logic, with the one word each enumerator is written as: in files, on the
// command line, in JSON and in explanations.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string_view>

namespace penstock::inline v1 {

/// What a component is. Names of components are unique within a layout, over all kinds.
enum class component : std::uint8_t {
  aircraft,       ///< the whole: power, air or ground, parking brake, gear lever, phase
  engine,
  circuit,
  engine_pump,
  electric_pump,
  ram_air_pump,
  transfer_unit,
  cargo_door,
  steering,       ///< the steering link of the nose gear
  consumer,
  bus,            ///< an electrical bus
  store,          ///< a brake accumulator
};

enum class engine_mode : std::uint8_t { stopped, cranking, at_idle, running, run_down };

/// How fast the high-pressure spool turns, by the marks of the layout, in rising order.
enum class spool_band : std::uint8_t {
  zero,       ///< does not turn
  turning,    ///< turns, below the mark at which the pumps deliver
  driving,    ///< pumps deliver; below the sub-idle mark
  near_idle,  ///< at or above the sub-idle mark, below idle
  idle,       ///< at or above idle
};

enum class selection_mode : std::uint8_t { not_selected, selected };
enum class valve_mode : std::uint8_t { open, closed };
enum class health_mode : std::uint8_t {
  healthy,
  failed,   ///< latched; a reset clears it once the cause is gone
  damaged,  ///< for good: dry running or a sheared shaft
};
enum class pump_mode : std::uint8_t { stopped, delivering };

/// Why an engine pump delivers or does not; the first that holds [EDP-5].
enum class engine_pump_reason : std::uint8_t { off, failed, overheat, not_turning, no_supply, dry, delivering };

/// Why an electric pump delivers or does not; the first that holds [CGO-14].
enum class electric_pump_reason : std::uint8_t { off, no_power, failed, overheat, not_wanted, dry, delivering };

enum class ram_air_mode : std::uint8_t { stowed, deployed };

/// Who wants an electric pump. Which of them can occur depends on the duty of the pump.
enum class demand_mode : std::uint8_t {
  none,
  door,       ///< cargo duty: a door asks
  crew,       ///< the crew switch is on (cargo duty), or the pump is switched on (no duty)
  engine,     ///< first-engine duty: an engine runs
  flight,     ///< first-engine duty: in flight
  touchdown,  ///< first-engine duty: the delay after a landing without engines
  override_,  ///< first-engine duty: ground override
};

enum class limiter_mode : std::uint8_t { free, cooling };
enum class pump_switch : std::uint8_t { off, automatic, on };
enum class pump_duty : std::uint8_t { none, cargo, first_engine };

enum class lever_position : std::uint8_t { neutral, open, close };
enum class door_travel : std::uint8_t {
  closed,   ///< closed, latched and locked
  between,
  open,
};
enum class door_mode : std::uint8_t {
  idle,       ///< lever neutral: asks for nothing
  asking,     ///< asks for the pump
  at_end,     ///< lever out, end of travel made: asks no more
  blocked,    ///< lever out, but no power, in flight, or switch off: asks for nothing
  timed_out,  ///< run limit reached: asks no more until the lever has been in neutral
};

enum class service_mode : std::uint8_t { none, service, hold_off };

enum class unit_mode : std::uint8_t { off, inhibited, standby, a_drives_b, b_drives_a };
enum class unit_direction : std::uint8_t { both, a_to_b };
/// When PTU-2 inhibits a unit.
enum class inhibit_scope : std::uint8_t { never, ground, parked_or_towed };
enum class unit_inhibition : std::uint8_t {
  none,
  switched_off,   ///< PTU-1
  low_level,      ///< PTU-8
  low_air,        ///< PTU-8
  hot_fluid,      ///< PTU-8
  overspeed,      ///< PTU-15
  service,        ///< CGO-7: service mode of a circuit of the unit, or its hold-off
  single_engine,  ///< PTU-2
};
/// Own pressure of circuit a against that of circuit b, by the activation and release differences.
enum class pressure_difference : std::uint8_t {
  level,      ///< below the release difference
  a_higher,   ///< between release and activation, a higher
  b_higher,
  a_exceeds,  ///< above the activation difference, a higher
  b_exceeds,
};

enum class test_mode : std::uint8_t { idle, waiting, holding, decided };
enum class test_outcome : std::uint8_t { none, pending, passed, failed, interrupted, not_run };
enum class test_reason : std::uint8_t {
  none,
  unit_off,             ///< not run or interrupted
  unit_inhibited,
  no_engine_pressure,   ///< not run: no circuit has own pressure from an engine pump
  both_have_pressure,   ///< not run: the other circuit has own pressure already
  wrong_direction,      ///< not run: a one-way unit cannot drive that way
  start_given_up,       ///< interrupted: the engine no longer cranks and never reached idle
  driving_lost,         ///< interrupted: the driving circuit lost its own pressure
  lift_off,             ///< interrupted
  start_complete,       ///< interrupted: over before there was a result
  own_pump_delivers,    ///< interrupted: the driven circuit got its own pump before a result
};

enum class steering_mode : std::uint8_t { connected, disconnected, pinned };

enum class circuit_status : std::uint8_t { off, low, partial, normal };
enum class fluid_level : std::uint8_t { empty, low, normal, over };
enum class branch : std::uint8_t {
  service,  ///< stays connected in service mode
  main,
  outer,    ///< can be shut by the leak-isolation switch
};
enum class consumer_kind : std::uint8_t { controls, gear, steering, brakes, parking_brake, reverser, cargo_door, other };

/// Why a consumer is not available; the first that holds [CON-7].
enum class consumer_reason : std::uint8_t {
  available,
  in_flight,      ///< bound to the ground, and in flight [CON-5]
  disconnected,   ///< steering link open [STR-4]
  isolated,       ///< its circuit is in service mode and it is not on the service branch [CON-2]
  shed,           ///< below the priority pressure [CON-4]
  no_pressure,    ///< [CON-1]
  outer_shut,     ///< leak isolation [LEK-1]
  exhausted,      ///< no circuit pressure and no stored energy [CON-3]
};

/// What a circuit is filled with; never mixed.
enum class hydraulic_fluid : std::uint8_t { phosphate_ester, synthetic_hydrocarbon };
/// How the gas of a store is reckoned.
enum class gas_law : std::uint8_t {
  ideal,
  nitrogen,  ///< with the second and third virial coefficient of nitrogen
};

enum class air_ground : std::uint8_t { ground, air };
enum class airspeed_band : std::uint8_t { slow, useful, fast };
enum class flight_phase : std::uint8_t { other, take_off, landing };
enum class engine_role : std::uint8_t { none, first, second, further };

enum class alert_class : std::uint8_t {
  none,      ///< does not stand
  status,    ///< stands, no alert
  advisory,  ///< crew awareness; may need a response later [14 CFR 25.1322(b)(3)]
  caution,   ///< immediate awareness, response later [14 CFR 25.1322(b)(2)]
  warning,   ///< immediate awareness and response [14 CFR 25.1322(b)(1)]
};

/// The conditions that can stand as alerts.
enum class condition : std::uint8_t {
  circuits_low,         ///< several circuits low in flight
  engine_pump,          ///< engine pump does not deliver though its engine runs, or has failed
  electric_pump,        ///< electric pump failed, overheated or dry
  circuit_low,
  quantity,             ///< level low, or above the full mark
  reservoir_air,
  fluid_hot,
  lever_out,            ///< door lever out of neutral at engine start or lift-off
  run_limit,            ///< door operated for too long
  door_not_closed,
  transfer_test,        ///< test in progress
  transfer_failed,
  transfer_overspeed,
  steering,
  parking_brake,
  air_ground_input,
  ram_air,
  leak_isolation,
};

enum class fault : std::uint8_t {
  pump_failed,
  pump_overheated,
  pump_weak,
  shaft_sheared,
  reservoir_leak,
  line_leak,
  consumer_leak,
  bus_lost,
  all_power_lost,
  reservoir_air_lost,
  fluid_hot,
  unit_seized,
  unit_weak,
  pressure_switch_stuck_made,
  pressure_switch_stuck_open,
  level_switch_stuck_low,
  level_switch_stuck_normal,
  lever_stuck_neutral,
  lever_stuck_open,
  lever_stuck_close,
  travel_switch_stuck_made,
  travel_switch_stuck_open,
  supply_valve_stuck_open,
  supply_valve_stuck_closed,
  engine_hangs,
  engine_flames_out,
  store_gas_lost,
};

enum class fault_status : std::uint8_t { unused, armed, active };

enum class fault_trigger : std::uint8_t {
  at_once,
  at_time,
  engine_runs,      ///< the named engine runs
  engine_cranks,
  lift_off,         ///< in flight
  touchdown,        ///< on the ground, after having been in flight since arming
  pump_delivers,    ///< the named engine or electric pump delivers
  pressure_made,    ///< the named circuit has pressure
  door_moves,       ///< the named door asks
  test_runs,        ///< the named unit is under test
};

/// The machines of the logic: one Boost.MSM table each.
enum class machine : std::uint8_t {
  start_selection,
  engine,
  supply_valve,
  cargo_door,
  pump_health,
  engine_pump,
  start_limiter,
  cargo_demand,
  first_engine_demand,
  plain_demand,
  electric_pump,
  ram_air_pump,
  service,
  transfer_unit,
  transfer_test,
  steering_link,
};
inline constexpr std::size_t machine_count = 16;

namespace detail {

template <class Enum>
struct words_of;

#define PENSTOCK_WORDS(Enum, ...)                                                        \
  template <>                                                                            \
  struct words_of<Enum> {                                                                \
    static constexpr auto list = std::to_array<std::string_view>({__VA_ARGS__});         \
  }

PENSTOCK_WORDS(component, "aircraft", "engine", "circuit", "engine pump", "electric pump", "ram-air pump",
               "transfer unit", "cargo door", "steering", "consumer", "bus", "store");
PENSTOCK_WORDS(engine_mode, "stopped", "cranking", "at-idle", "running", "run-down");
PENSTOCK_WORDS(spool_band, "zero", "turning", "driving", "near-idle", "idle");
PENSTOCK_WORDS(selection_mode, "not-selected", "selected");
PENSTOCK_WORDS(valve_mode, "open", "closed");
PENSTOCK_WORDS(health_mode, "healthy", "failed", "damaged");
PENSTOCK_WORDS(pump_mode, "stopped", "delivering");
PENSTOCK_WORDS(engine_pump_reason, "off", "failed", "overheat", "not-turning", "no-supply", "dry", "delivering");
PENSTOCK_WORDS(electric_pump_reason, "off", "no-power", "failed", "overheat", "not-wanted", "dry", "delivering");
PENSTOCK_WORDS(ram_air_mode, "stowed", "deployed");
PENSTOCK_WORDS(demand_mode, "none", "door", "crew", "engine", "flight", "touchdown", "override");
PENSTOCK_WORDS(limiter_mode, "free", "cooling");
PENSTOCK_WORDS(pump_switch, "off", "auto", "on");
PENSTOCK_WORDS(pump_duty, "none", "cargo", "first-engine");
PENSTOCK_WORDS(lever_position, "neutral", "open", "close");
PENSTOCK_WORDS(door_travel, "closed", "between", "open");
PENSTOCK_WORDS(door_mode, "idle", "asking", "at-end", "blocked", "timed-out");
PENSTOCK_WORDS(service_mode, "none", "service", "hold-off");
PENSTOCK_WORDS(unit_mode, "off", "inhibited", "standby", "a-drives-b", "b-drives-a");
PENSTOCK_WORDS(unit_direction, "both", "a-to-b");
PENSTOCK_WORDS(inhibit_scope, "never", "ground", "parked-or-towed");
PENSTOCK_WORDS(unit_inhibition, "none", "switched-off", "low-level", "low-air", "hot-fluid", "overspeed", "service",
               "single-engine");
PENSTOCK_WORDS(pressure_difference, "level", "a-higher", "b-higher", "a-exceeds", "b-exceeds");
PENSTOCK_WORDS(test_mode, "idle", "waiting", "holding", "decided");
PENSTOCK_WORDS(test_outcome, "none", "pending", "passed", "failed", "interrupted", "not-run");
PENSTOCK_WORDS(test_reason, "none", "unit-off", "unit-inhibited", "no-engine-pressure", "both-have-pressure",
               "wrong-direction", "start-given-up", "driving-lost", "lift-off", "start-complete",
               "own-pump-delivers");
PENSTOCK_WORDS(steering_mode, "connected", "disconnected", "pinned");
PENSTOCK_WORDS(circuit_status, "off", "low", "partial", "normal");
PENSTOCK_WORDS(fluid_level, "empty", "low", "normal", "over");
PENSTOCK_WORDS(branch, "service", "main", "outer");
PENSTOCK_WORDS(consumer_kind, "controls", "gear", "steering", "brakes", "parking-brake", "reverser", "cargo-door",
               "other");
PENSTOCK_WORDS(consumer_reason, "available", "in-flight", "disconnected", "isolated", "shed",
               "no-pressure", "outer-shut", "exhausted");
PENSTOCK_WORDS(hydraulic_fluid, "phosphate-ester", "synthetic-hydrocarbon");
PENSTOCK_WORDS(gas_law, "ideal", "nitrogen");
PENSTOCK_WORDS(air_ground, "ground", "air");
PENSTOCK_WORDS(airspeed_band, "slow", "useful", "fast");
PENSTOCK_WORDS(flight_phase, "other", "take-off", "landing");
PENSTOCK_WORDS(engine_role, "none", "first", "second", "further");
PENSTOCK_WORDS(alert_class, "none", "status", "advisory", "caution", "warning");
PENSTOCK_WORDS(condition, "circuits-low", "engine-pump", "electric-pump", "circuit-low", "quantity", "reservoir-air",
               "fluid-hot", "lever-out", "run-limit", "door-not-closed", "transfer-test", "transfer-failed",
               "transfer-overspeed", "steering", "parking-brake", "air-ground-input", "ram-air", "leak-isolation");
PENSTOCK_WORDS(fault, "pump-failed", "pump-overheated", "pump-weak", "shaft-sheared", "reservoir-leak", "line-leak",
               "consumer-leak", "bus-lost", "all-power-lost", "reservoir-air-lost", "fluid-hot", "unit-seized",
               "unit-weak", "pressure-switch-stuck-made", "pressure-switch-stuck-open", "level-switch-stuck-low",
               "level-switch-stuck-normal", "lever-stuck-neutral", "lever-stuck-open", "lever-stuck-close",
               "travel-switch-stuck-made", "travel-switch-stuck-open", "supply-valve-stuck-open",
               "supply-valve-stuck-closed", "engine-hangs", "engine-flames-out", "store-gas-lost");
PENSTOCK_WORDS(fault_status, "unused", "armed", "active");
PENSTOCK_WORDS(fault_trigger, "at-once", "at-time", "engine-runs", "engine-cranks", "lift-off", "touchdown",
               "pump-delivers", "pressure-made", "door-moves", "test-runs");
PENSTOCK_WORDS(machine, "start-selection", "engine", "supply-valve", "cargo-door", "pump-health", "engine-pump",
               "start-limiter", "cargo-demand", "first-engine-demand", "plain-demand", "electric-pump",
               "ram-air-pump", "service", "transfer-unit", "transfer-test", "steering-link");
#undef PENSTOCK_WORDS

}  // namespace detail

/// How many enumerators an enumeration has.
template <class Enum>
inline constexpr std::size_t count_of = detail::words_of<Enum>::list.size();

/// The word an enumerator is written as. A value outside the enumeration gives "?".
template <class Enum>
[[nodiscard]] constexpr std::string_view word(Enum value) {
  const auto index = static_cast<std::size_t>(value);
  return index < count_of<Enum> ? detail::words_of<Enum>::list[index] : std::string_view{"?"};
}

/// The enumerator a word stands for, or nothing.
template <class Enum>
[[nodiscard]] constexpr std::optional<Enum> from_word(std::string_view text) {
  for (std::size_t i = 0; i < count_of<Enum>; ++i) {
    if (detail::words_of<Enum>::list[i] == text) return static_cast<Enum>(i);
  }
  return std::nullopt;
}

/// A component by kind and number within its kind, in the order of the layout.
struct subject {
  component kind = component::aircraft;
  std::uint8_t index = 0;
  friend constexpr bool operator==(subject, subject) = default;
};

}  // namespace penstock::inline v1
