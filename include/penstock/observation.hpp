// What an observer may see: states, reasons, availability and alerts as one plain value.
#pragma once

#include <array>
#include <cstdint>
#include <span>
#include <string_view>

#include "penstock/layout.hpp"
#include "penstock/state.hpp"

namespace penstock::inline v1 {

struct observed_engine {
  engine_mode mode;
  engine_role role;
  spool_band spool;
  bool selected;             ///< its start is selected [ENG-10]
  bool supply_open;          ///< supply valve of its pumps
  bool fire_handle_pulled;
};
struct observed_engine_pump {
  engine_pump_reason reason;
  bool delivering;
  bool switched_on;
  health_mode health;
};
struct observed_electric_pump {
  electric_pump_reason reason;
  demand_mode demand;
  bool delivering;
  pump_switch switched;
  health_mode health;
  bool shed;                 ///< dropped by its bus [ELP-2]
};
struct observed_ram_air_pump {
  ram_air_mode mode;
  bool delivering;
};
struct observed_circuit {
  circuit_status status;
  bool pressure_made;        ///< as its pressure switch says
  bool at_pressure;          ///< as it is, whatever the switch says
  bool own_source;           ///< a pump of its own delivers
  bool driven;               ///< a transfer unit drives it
  service_mode service;
  fluid_level level;         ///< as its switch says
  bool air_low;
  bool fluid_hot;
};
struct observed_unit {
  unit_mode mode;
  unit_inhibition reason;    ///< first that holds [PTU-12]
  std::uint16_t reasons;     ///< all that hold, bit n for unit_inhibition n
  test_mode test;
  test_outcome outcome;
  test_reason test_reason_;
};
struct observed_door {
  door_mode mode;
  lever_position lever;
  door_travel travel;
  bool can_move;             ///< pressure or hand pump for it
};
struct observed_consumer {
  bool available;
  consumer_reason reason;
  std::uint8_t fed_by;       ///< the circuit that serves it, or detail::nobody
};
struct observed_bus {
  bool powered;
  std::uint8_t source;       ///< number of its live source in the layout's list, or detail::nobody
};
struct observed_alert {
  penstock::condition condition;
  subject about;
  penstock::alert_class level;
  std::uint32_t onset;       ///< ms, kept through a change of class [ALR-2]
  std::string_view rule;
  std::string_view sentence; ///< the condition in words
  std::string_view cause;    ///< a word: the reason of a pump, the sort of level, ...
  bool acknowledged;
  bool inhibited;            ///< stands, but is held back in this phase [ALR-6]
  std::int8_t under;         ///< index of the alert it follows from, or -1 [ALR-7]
};

/// A complete observation. Only the first `count(kind)` entries of each array have meaning.
struct observation {
  std::uint32_t now;
  bool in_flight;
  bool air_ground_valid;
  bool parking_brake_set;
  bool gear_down;
  flight_phase phase;
  airspeed_band airspeed;
  bool external_power;
  bool auxiliary_power;
  steering_mode steering;
  std::array<observed_engine, limits::engines> engines;
  std::array<observed_engine_pump, limits::engine_pumps> engine_pumps;
  std::array<observed_electric_pump, limits::electric_pumps> electric_pumps;
  std::array<observed_ram_air_pump, limits::ram_air_pumps> ram_air_pumps;
  std::array<observed_circuit, limits::circuits> circuits;
  std::array<observed_unit, limits::transfer_units> units;
  std::array<observed_door, limits::cargo_doors> doors;
  std::array<observed_consumer, limits::consumers> consumers;
  std::array<std::uint8_t, limits::stores> stored;  ///< applications left
  std::array<observed_bus, limits::buses> buses;
  /// Injected faults, armed and active ones; the rest is unused [INS-1].
  std::array<injected_fault, limits::faults> faults;
  /// Alerts, warnings first, then by onset; consequences directly behind their cause.
  std::array<observed_alert, detail::alert_places::total> alert;
  std::uint8_t alerts;

  [[nodiscard]] std::span<const observed_alert> alerts_standing() const { return {alert.data(), alerts}; }
};

/// What there is to see in a state. Pure, no allocation.
[[nodiscard]] PENSTOCK_API observation observe(const layout& of, const state& now);

}  // namespace penstock::inline v1
