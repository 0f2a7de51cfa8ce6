// The fluid: pressure, flow and quantity over time, computed from what the commands open, drive and break.
// Pure, without allocation, stable for any step within its range, the same bits under every compiler.
//
// Each circuit is a compressible line with a reservoir behind it. Pumps lift fluid into the line along their
// cut-off characteristic; leakage, relief valve, actuators, stores, leaks and transfer units take it out. The
// line is solved implicitly (two stages, second order, L-stable), so that a stiff circuit cannot run away, in
// inner steps as long as the transient allows.
// Error: at 60 frames a second no pressure is further than 0.5 % of nominal from a tight reference solution of
// the same equations (tests/reference compares).
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string_view>

#include "penstock/event.hpp"
#include "penstock/layout.hpp"
#include "penstock/state.hpp"
#include "penstock/transition.hpp"

namespace penstock::inline v1 {

/// What a transfer unit adds does not count as own pressure of a circuit.
struct circuit_plant {
  std::array<double, count_of<branch>> line;  ///< fluid in the lines beyond zero pressure, by branch, m3
  double own_line;      ///< the same for the connected lines, as if no transfer unit drove the circuit, m3
  double reservoir;     ///< m3, reckoned at the filling temperature
  double leaked;        ///< m3
  double filled;        ///< m3, never changes: reservoir, lines, actuators, stores and leaked together
  double temperature;   ///< K
  double pumped;        ///< work of all pumps and driving units on the fluid, J since the beginning
  double worked;        ///< work of the fluid on actuators and driven motors, J
  double heated;        ///< work lost to heat by leakage, throttling and friction in the fluid, J
  bool relief_open;
  bool dry;             ///< ran empty and has not primed again [LVL-4]
  friend constexpr bool operator==(const circuit_plant&, const circuit_plant&) = default;
};

/// A brake accumulator.
struct store_plant {
  double fluid;            ///< m3
  double gas_temperature;  ///< K
  double brake;            ///< fluid held in the brake while it is set, m3
  friend constexpr bool operator==(const store_plant&, const store_plant&) = default;
};

struct unit_plant {
  double flow;   ///< into the driven circuit, m3/s
  bool turning;
  friend constexpr bool operator==(const unit_plant&, const unit_plant&) = default;
};

struct engine_plant {
  double speed;       ///< of the high-pressure spool, share of idle
  double since_idle;  ///< s at idle with the starter in
  friend constexpr bool operator==(const engine_plant&, const engine_plant&) = default;
};

/// The whole plant of one aircraft as one plain value. Every number is finite, and no quantity negative.
struct plant_state {
  std::array<engine_plant, limits::engines> engines;
  std::array<double, limits::electric_pumps> motor;  ///< speed, share of full speed
  std::array<circuit_plant, limits::circuits> circuits;
  std::array<double, limits::cargo_doors> door;      ///< 0: closed, 1: open
  std::array<double, limits::consumers> gear;        ///< 0: down, 1: retracted
  std::array<store_plant, limits::stores> stores;
  std::array<unit_plant, limits::transfer_units> units;
  std::array<double, limits::engine_pumps> engine_pump_flow;      ///< m3/s, at the end of the step
  std::array<double, limits::electric_pumps> electric_pump_flow;  ///< m3/s
  std::array<double, limits::ram_air_pumps> ram_air_pump_flow;    ///< m3/s
  friend constexpr bool operator==(const plant_state&, const plant_state&) = default;
};
static_assert(std::is_trivially_copyable_v<plant_state>);

/// What turns the high-pressure spool.
enum class spool_drive : std::uint8_t { running_down, cranking, at_idle };

/// What the plant is told to do. A device that has its own logic fills this itself; `commands_for` takes it
/// from the state of penstock's logic.
struct plant_commands {
  struct engine {
    spool_drive drive;
    bool starter_in;  ///< at idle with starter and ignition still on
    bool hangs;       ///< goes no higher than half of idle
  };
  struct pump {
    bool on;          ///< coupled and fed: it delivers as far as speed and pressure let it
    bool weak;        ///< worn: a third of the flow, a third of the pressure
  };
  struct circuit {
    bool main_open;      ///< the isolation valve to the main and outer branches
    bool outer_open;     ///< the leak-isolation valve to the outer branch
    bool hand_pump;
    bool air_lost;       ///< no air pressure in the reservoir: pumps fill to four fifths
    bool heated;         ///< a fault heats the fluid beyond its hot mark
    double reservoir_leak;  ///< m3/s
    double line_leak;       ///< m3/s at nominal pressure; as the square root of pressure otherwise
    double demand;          ///< m3/s at nominal pressure, of consumers that take it all the time
  };
  struct actuator {
    std::int8_t motion;     ///< +1: opens or retracts, -1: closes or extends, 0: held
    std::uint8_t circuit;   ///< that moves it
  };
  struct unit {
    std::int8_t direction;  ///< +1: a drives b, -1: b drives a, 0: stands still
    bool seized;
    bool weak;              ///< half of the pressure
  };
  std::array<engine, limits::engines> engines;
  std::array<pump, limits::engine_pumps> engine_pumps;
  std::array<pump, limits::electric_pumps> electric_pumps;
  std::array<pump, limits::ram_air_pumps> ram_air_pumps;
  std::array<double, limits::ram_air_pumps> airstream;  ///< share of full flow that the airspeed gives, 0 to 1
  std::array<circuit, limits::circuits> circuits;
  std::array<actuator, limits::cargo_doors> doors;
  std::array<actuator, limits::consumers> gear;
  std::array<unit, limits::transfer_units> units;
  std::array<bool, limits::stores> gas_lost;
};

/// What the logic now makes the plant do.
[[nodiscard]] PENSTOCK_API plant_commands commands_for(const layout& of, const state& now);

/// The plant that goes with a state: still and charged for cold and dark, otherwise as the state says.
[[nodiscard]] PENSTOCK_API plant_state plant_at(const layout& of, const state& now);

struct integration {
  plant_state after;  ///< as before where refused
  refusal refused;
};
/// The steps that `integrate` takes, in seconds.
inline constexpr double shortest_step = 0.001;
inline constexpr double longest_step = 1.0;
/// The plant `dt` seconds later under commands that do not change meanwhile. Refuses a step outside 1 ms to 1 s
/// (kind time), and commands that are not finite, negative, out of range or about a circuit that is not there
/// (kind bad_value); then nothing changes.
[[nodiscard]] PENSTOCK_API integration integrate(const layout& of, const plant_state& before,
                                                 const plant_commands& commands, double dt);
/// The same, in place. Returns the refusal.
PENSTOCK_API refusal integrate_in_place(const layout& of, plant_state& changed, const plant_commands& commands,
                                        double dt);

/// What an accepted command does to the plant at once: applications of the brakes take stored energy [CON-3].
/// `before` is the state before the command.
[[nodiscard]] PENSTOCK_API plant_state plant_with(const layout& of, const plant_state& plant, const state& before,
                                                  const event& accepted);

/// The next fact in which the plant differs from what the logic believes, through switches with hysteresis, in
/// the order of a frame [GEN-3, GEN-4]; nothing when they agree.
[[nodiscard]] PENSTOCK_API std::optional<event> next_fact(const layout& of, const plant_state& plant,
                                                          const state& now);

/// Pressure behind the pumps of a circuit, gauge; 0 where there is no such circuit.
[[nodiscard]] PENSTOCK_API pressure pressure_of(const layout& of, const plant_state& plant, unsigned circuit);
/// Pressure of the gas in a store, gauge.
[[nodiscard]] PENSTOCK_API pressure gas_pressure_of(const layout& of, const plant_state& plant, unsigned store);

/// Where the fluid of a circuit is, in m3. filled = reservoir + lines + actuators + stores + leaked [LVL-2].
struct fluid_contents {
  double filled, reservoir, lines, actuators, stores, leaked;
};
[[nodiscard]] PENSTOCK_API fluid_contents contents_of(const layout& of, const plant_state& plant, unsigned circuit);
/// What the gauge of the reservoir shows: its fluid and what warmth adds to all fluid of the circuit [LVL-3].
[[nodiscard]] PENSTOCK_API volume indicated_level(const layout& of, const plant_state& plant, unsigned circuit);
/// The level to expect in the present configuration with nothing leaked and nothing added [LVL-5].
[[nodiscard]] PENSTOCK_API volume expected_level(const layout& of, const plant_state& plant, unsigned circuit);

/// How much to add, or why that cannot be judged now [LVL-5].
struct servicing_advice {
  bool valid;
  std::string_view why_not;  ///< empty when valid
  volume missing;            ///< to add; negative: too much; 0 when not valid
};
[[nodiscard]] PENSTOCK_API servicing_advice servicing(const layout& of, const plant_state& plant, const state& now,
                                                      unsigned circuit);

}  // namespace penstock::inline v1
