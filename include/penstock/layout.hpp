// The fixed description of one aircraft.
//
// `layout_spec` is what people write, by hand in C++ or in a file: names, numbers, who feeds whom.
// `layout` is what the logic reads: a spec that was checked, with its cross references worked out.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "penstock/config.hpp"
#include "penstock/modes.hpp"
#include "penstock/result.hpp"
#include "penstock/units.hpp"

namespace penstock::inline v1 {

/// How many of each a layout may have. A layout beyond a limit is refused by name.
namespace limits {
inline constexpr std::size_t engines = 4;
inline constexpr std::size_t circuits = 4;
inline constexpr std::size_t engine_pumps = 8;
inline constexpr std::size_t electric_pumps = 6;
inline constexpr std::size_t ram_air_pumps = 1;
inline constexpr std::size_t transfer_units = 2;
inline constexpr std::size_t cargo_doors = 6;
inline constexpr std::size_t consumers = 32;
inline constexpr std::size_t feeds = 4;  ///< circuits that feed one consumer
inline constexpr std::size_t buses = 6;
inline constexpr std::size_t stores = 2;
inline constexpr std::size_t faults = 16;  ///< injected at the same time
inline constexpr std::size_t name_length = 40;
/// Longest time a layout or an event may name: 24 hours.
inline constexpr milliseconds longest_time{24LL * 3600 * 1000};
}  // namespace limits

// Every default below is invented, and lies within common practice; a comment says where one is more than that.

struct engine_spec {
  std::string name;
  milliseconds spool_up{25'000};      ///< start selected to idle
  milliseconds starter_cut_out{3'000};///< idle to starter and ignition off
  milliseconds run_down{20'000};      ///< idle to standstill
  double pump_mark = 0.20;            ///< share of idle speed above which its pumps deliver [EDP-1]
  double sub_idle_mark = 0.85;        ///< share of idle speed below which it has flamed out [ENG-9]
  friend bool operator==(const engine_spec&, const engine_spec&) = default;
};

/// One hydraulic circuit: its reservoir and its times.
struct circuit_spec {
  std::string name;
  volume reservoir = litres(20.0);       ///< content at the full mark, everything else filled
  volume overfull = litres(21.0);        ///< above: advisory [LVL-1]
  volume low_mark = litres(6.0);         ///< below: caution [LVL-1]
  volume level_hysteresis = litres(0.5); ///< a mark is left by this much
  volume compression = litres(0.4);      ///< fluid the lines take up from zero to nominal pressure
  hydraulic_fluid fluid = hydraulic_fluid::phosphate_ester;
  /// Effective, of fluid and lines. Sources differ: 340,000 psi [a maker's table of fluids] or 440,000 psi [an
  /// engineering table] for phosphate ester, 300,000 psi [the first] for synthetic hydrocarbon; definition (secant or
  /// tangent, isothermal or adiabatic), pressure and warmth differ, and hoses and air lower it.
  pressure bulk_modulus = psi(340'000);
  flow leakage = litres_per_minute(3.0); ///< within the circuit, at nominal pressure
  double relief_opens = 3650.0 / 3000.0; ///< share of nominal: fully open [NAVEDTRA 14315]
  double relief_closes = 3190.0 / 3000.0;///< share of nominal: reseats [NAVEDTRA 14315]
  temperature hot_mark = celsius(105.0); ///< at or above: hot; ends 10 K below [RES-2]
  double cooling = 60.0;                 ///< heat that the circuit gives off, W/K
  bool hand_pump = false;                ///< moves cargo doors without power [CGO-11]
  bool leak_isolation = false;           ///< a crew switch shuts the outer branch on the ground [LEK-1]
  milliseconds service_hold_off{30'000}; ///< transfer units stay inhibited after service mode [CGO-7]
  milliseconds low_confirmation{5'000};  ///< low this long before the caution [CIR-3]
  friend bool operator==(const circuit_spec&, const circuit_spec&) = default;
};

struct engine_pump_spec {
  std::string name;
  std::string engine;
  std::string circuit;
  std::string control_bus;               ///< may be empty
  bool loads_without_control = false;    ///< loss of the control bus loads an unloaded pump [EDP-6]
  milliseconds low_confirmation{6'000};  ///< not delivering this long before the alert [EDP-3]
  milliseconds dry_damage{0};            ///< dry running that damages it; 0: never [EDP-7]
  penstock::flow flow = litres_per_minute(90.0);  ///< at idle speed, up to the knee
  friend bool operator==(const engine_pump_spec&, const engine_pump_spec&) = default;
};

struct electric_pump_spec {
  std::string name;
  std::string circuit;
  std::string bus;
  pump_duty duty = pump_duty::none;
  std::vector<std::string> shed_on;         ///< sources: dropped while its bus lives on one of these [ELP-2]
  milliseconds touchdown_delay{120'000};    ///< first-engine duty, landing without engines [AUX-2]
  std::uint32_t starts_allowed = 0;         ///< cargo duty: starts within `start_period`; 0: no limit [CGO-16]
  milliseconds start_period{600'000};
  milliseconds cooling{300'000};
  penstock::flow flow = litres_per_minute(30.0);  ///< up to the knee
  milliseconds run_up{800};                 ///< standstill to full speed
  friend bool operator==(const electric_pump_spec&, const electric_pump_spec&) = default;
};

struct ram_air_pump_spec {
  std::string name;
  std::string circuit;
  penstock::flow flow = litres_per_minute(35.0);  ///< at fast airspeed, up to the knee; half of it at useful airspeed
  friend bool operator==(const ram_air_pump_spec&, const ram_air_pump_spec&) = default;
};

struct transfer_unit_spec {
  std::string name;
  std::string a;                                       ///< circuit
  std::string b;                                       ///< circuit
  unit_direction direction = unit_direction::both;
  inhibit_scope scope = inhibit_scope::parked_or_towed;///< PTU-2
  bool stops_on_low_level = true;                      ///< PTU-8
  bool stops_on_low_air = false;                       ///< PTU-8
  bool stops_on_hot_fluid = false;                     ///< PTU-8
  bool stops_on_overspeed = false;                     ///< PTU-15
  bool maintenance_test = false;                       ///< PTU-15
  pressure activation = psi(450);                      ///< PTU-6
  pressure release = psi(150);                         ///< PTU-6
  milliseconds test_limit{3'000};                      ///< threshold must be reached within [PTU-5]
  milliseconds test_confirmation{2'000};               ///< and held for [PTU-5]
  double ratio = 1.0;                                  ///< displacement of the motor to that of the pump
  double efficiency = 0.85;                            ///< pressure it gives to pressure it would give without friction
  double breakout = 0.04;                              ///< share of nominal: friction of the shaft at rest
  penstock::flow flow = litres_per_minute(60.0);       ///< most that it gives
  friend bool operator==(const transfer_unit_spec&, const transfer_unit_spec&) = default;
};

struct cargo_door_spec {
  std::string name;
  std::string circuit;
  milliseconds travel{20'000};       ///< closed to open at nominal pressure
  milliseconds run_limit{90'000};    ///< CGO-10
  volume displacement = litres(0.3); ///< fluid it holds more when open
  double area_ratio = 0.6;           ///< rod side of its actuator to the full side
  double load = 0.3;                 ///< share of nominal pressure that opening takes
  friend bool operator==(const cargo_door_spec&, const cargo_door_spec&) = default;
};

struct feed_spec {
  std::string circuit;
  penstock::branch branch = penstock::branch::main;
  friend bool operator==(const feed_spec&, const feed_spec&) = default;
};

struct consumer_spec {
  std::string name;
  consumer_kind kind = consumer_kind::other;
  std::vector<feed_spec> feeds;
  bool heavy = false;                ///< shed below the priority pressure [CON-4]
  std::string door;                  ///< kind cargo_door: which door
  std::string store;                 ///< kind parking_brake: its accumulator
  volume displacement = litres(0.0); ///< kind gear: fluid it holds more when retracted [LVL-3]
  milliseconds travel{12'000};       ///< kind gear: time of one movement at nominal pressure
  double area_ratio = 0.6;           ///< kind gear: rod side of its actuator to the full side
  double load = 0.4;                 ///< kind gear: share of nominal pressure that retraction takes
  penstock::flow demand = {0.0};     ///< what it takes all the time in flight, at nominal pressure, from each circuit
  friend bool operator==(const consumer_spec&, const consumer_spec&) = default;
};

/// A brake accumulator. Pressures are gauge.
struct store_spec {
  std::string name;
  std::string circuit;
  volume gas = litres(1.2);           ///< gas volume with no fluid in it
  pressure precharge = psi(1000);     ///< common practice: a third to a half of nominal
  pressure least = psi(1500);         ///< least pressure at which the brake holds
  volume application = litres(0.05);  ///< fluid one application takes
  gas_law law = gas_law::ideal;
  milliseconds heat_time{60'000};     ///< in which the gas takes the temperature around it; 0: at once (isothermal)
  flow charging = litres_per_minute(8.0);  ///< into it at nominal pressure against none
  friend bool operator==(const store_spec&, const store_spec&) = default;
};

struct bus_spec {
  std::string name;
  std::vector<std::string> sources;  ///< engine names, "auxiliary", "external": the first alive feeds it
  bool main = false;                 ///< a main AC bus, for the ram-air pump [RAT-1]
  friend bool operator==(const bus_spec&, const bus_spec&) = default;
};

/// An alert that is inhibited in a flight phase [ALR-6].
struct inhibit_spec {
  penstock::condition condition = penstock::condition::quantity;
  bool in_take_off = false;
  bool in_landing = false;
  friend bool operator==(const inhibit_spec&, const inhibit_spec&) = default;
};

/// One aircraft, as people describe it. Make a `layout` of it to use it.
struct layout_spec {
  std::string name;
  std::string title;
  std::string origin;                      ///< where the numbers come from, e.g. "invented"
  std::vector<engine_spec> engines;
  std::vector<circuit_spec> circuits;
  std::vector<engine_pump_spec> engine_pumps;
  std::vector<electric_pump_spec> electric_pumps;
  std::vector<ram_air_pump_spec> ram_air_pumps;
  std::vector<transfer_unit_spec> transfer_units;
  std::vector<cargo_door_spec> cargo_doors;
  std::vector<consumer_spec> consumers;
  std::vector<store_spec> stores;
  std::vector<bus_spec> buses;
  std::vector<inhibit_spec> inhibits;
  std::uint32_t circuits_low_warning = 2;  ///< circuits low at once in flight: warning [ALR-5]
  pressure nominal = psi(3000);
  double pump_knee = 2850.0 / 3000.0;      ///< share of nominal: pumps give their full flow up to it, none at nominal [NAVEDTRA 14105]
  pressure switch_made = psi(1900);        ///< rising [GEN-4]
  pressure switch_open = psi(1550);        ///< falling [GEN-4]
  pressure priority_restored = psi(2000);  ///< rising [CON-4]
  pressure priority_shed = psi(1800);      ///< falling [CON-4]
  friend bool operator==(const layout_spec&, const layout_spec&) = default;
};

namespace detail {

using mask = std::uint32_t;
inline constexpr std::uint8_t nobody = 0xFF;

/// The cross references of a layout as numbers and bit sets: all that the logic reads.
struct plan {
  struct engine { mask pumps; };
  struct circuit {
    mask engine_pumps, electric_pumps, ram_air_pumps, units, doors;
    std::uint8_t cargo_pump;  ///< electric pump with cargo duty, or nobody
    bool hand_pump, leak_isolation;
    std::uint32_t hold_off, low_confirmation;
  };
  struct engine_pump {
    std::uint8_t engine, circuit, control_bus;
    bool loads_without_control;
    std::uint32_t low_confirmation, dry_damage;
  };
  struct electric_pump {
    std::uint8_t circuit, bus;
    pump_duty duty;
    mask shed_on;  ///< power sources
    std::uint32_t touchdown_delay, start_period, cooling, starts_allowed;
  };
  struct ram_air_pump { std::uint8_t circuit; };
  struct unit {
    std::uint8_t a, b;
    unit_direction direction;
    inhibit_scope scope;
    bool low_level, low_air, hot_fluid, overspeed, maintenance_test;
    mask engines;
    std::uint32_t test_limit, test_confirmation;
  };
  struct door { std::uint8_t circuit; std::uint32_t run_limit; };
  struct consumer {
    consumer_kind kind;
    std::uint8_t feed_count;
    std::array<std::uint8_t, limits::feeds> feed_circuit;
    std::array<branch, limits::feeds> feed_branch;
    bool heavy;
    std::uint8_t door, store;
  };
  struct store { std::uint8_t circuit, most_applications; };
  struct bus {
    std::uint8_t source_count;
    std::array<std::uint8_t, 6> sources;  ///< engine number, or `auxiliary`, `external`
    bool main;
  };
  static constexpr std::uint8_t auxiliary = 4;
  static constexpr std::uint8_t external = 5;

  std::uint8_t engines = 0, circuits = 0, engine_pumps = 0, electric_pumps = 0, ram_air_pumps = 0, units = 0,
               doors = 0, consumers = 0, stores = 0, buses = 0;
  std::array<engine, limits::engines> engine_at{};
  std::array<circuit, limits::circuits> circuit_at{};
  std::array<engine_pump, limits::engine_pumps> engine_pump_at{};
  std::array<electric_pump, limits::electric_pumps> electric_pump_at{};
  std::array<ram_air_pump, limits::ram_air_pumps> ram_air_pump_at{};
  std::array<unit, limits::transfer_units> unit_at{};
  std::array<door, limits::cargo_doors> door_at{};
  std::array<consumer, limits::consumers> consumer_at{};
  std::array<store, limits::stores> store_at{};
  std::array<bus, limits::buses> bus_at{};
  mask inhibited_in_take_off = 0, inhibited_in_landing = 0;  ///< by condition
  std::uint8_t circuits_low_warning = 0;
};

/// The numbers of a layout as the plant needs them, worked out once. Volumes in m3, pressures in Pa (gauge unless
/// absolute is said), flows in m3/s.
struct fluid_numbers {
  struct engine {
    double rise, fall;  ///< share of idle a second
    double cut_out;     ///< s
  };
  struct circuit {
    std::array<double, count_of<branch>> capacity;  ///< fluid that the lines of a branch take up, m3/Pa
    double leak_rate;      ///< share of a line's fluid that leaks back in a second, alike for every branch
    double relief_opens, relief_closes, relief_gain;
    double low, low_left, over, over_left, primed;
    double expansion;      ///< 1/K
    double fluid;          ///< all of it, for warmth
    double heat_capacity;  ///< J/K
    double cooling;        ///< W/K
    double hot;            ///< K
  };
  struct actuator {
    double rate;           ///< share of its travel a second at nominal pressure
    double full_side;      ///< fluid that the whole stroke takes on the full side
    double rod_side;
    double load;           ///< Pa
    std::uint8_t circuit;  ///< whose fluid it holds, or nobody
  };
  struct store {
    double gas;            ///< its volume without fluid
    double amount;         ///< mol
    bool real;             ///< nitrogen rather than an ideal gas
    double heat_time;      ///< s
    double charging;       ///< m3/s for each Pa
    double least_fluid;    ///< fluid in it at the least pressure, isothermal
    double most_fluid;     ///< fluid in it at nominal pressure, isothermal
    double application;
  };
  struct unit {
    double ratio, efficiency, breakout, gain, most;
  };

  double nominal = 0.0, knee = 0.0;
  std::array<engine, limits::engines> engines{};
  std::array<circuit, limits::circuits> circuits{};
  std::array<actuator, limits::cargo_doors> doors{};
  std::array<actuator, limits::consumers> gear{};
  std::array<store, limits::stores> stores{};
  std::array<unit, limits::transfer_units> units{};
};

}  // namespace detail

/// A checked aircraft. Immutable; make one with `layout::from`.
class layout {
 public:
  /// Checks a spec: limits, names (unique, lower case letters, digits and hyphens), references,
  /// ranges. The error names the part, what was found and what would be right; its id begins "layout-".
  [[nodiscard]] PENSTOCK_API static result<layout> from(layout_spec spec);

  [[nodiscard]] const layout_spec& spec() const { return spec_; }
  [[nodiscard]] const detail::plan& plan() const { return plan_; }
  [[nodiscard]] const detail::fluid_numbers& fluid() const { return fluid_; }

  /// How many components of a kind there are (aircraft and steering: one).
  [[nodiscard]] PENSTOCK_API std::size_t count(component kind) const;
  /// The name of a component; "?" for one that is not there.
  [[nodiscard]] PENSTOCK_API std::string_view name(subject s) const;
  /// The component of that name, of whatever kind, or nothing.
  [[nodiscard]] PENSTOCK_API std::optional<subject> find(std::string_view name) const;
  /// Every component, in the order of the layout.
  [[nodiscard]] PENSTOCK_API std::vector<subject> everything() const;

 private:
  layout_spec spec_;
  detail::plan plan_;
  detail::fluid_numbers fluid_;
};

}  // namespace penstock::inline v1
