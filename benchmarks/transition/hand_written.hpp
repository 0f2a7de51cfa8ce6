// The rules of the twin freighter as one would write them by hand for this one aircraft: plain structs,
// a switch on each mode, the wiring spelled out. No tables, no layout, no row trace, no reasons in words;
// options that this aircraft does not have (hand pump, leak isolation, limited starts) are left out.
#pragma once

#include <array>
#include <cstdint>

#include "penstock/event.hpp"
#include "penstock/transition.hpp"

namespace by_hand {

using namespace penstock;  // the enumerations are the same, so that answers can be compared

inline constexpr unsigned engines = 2;
inline constexpr unsigned circuits = 3;
inline constexpr unsigned doors = 2;
inline constexpr unsigned port = 0;       // circuits
inline constexpr unsigned starboard = 1;
inline constexpr unsigned keel = 2;
inline constexpr unsigned cargo = 0;      // electric pumps, each on the bus of the same number
inline constexpr unsigned keel_pump = 1;
inline constexpr unsigned electric_bit = 8;  // electric pumps in the set of a fault stand behind engine pumps

// Times in milliseconds; the comparison checks them against the layout.
inline constexpr std::uint32_t run_limit_time = 90'000;
inline constexpr std::uint32_t hold_off_time = 30'000;
inline constexpr std::uint32_t circuit_low_time = 5'000;
inline constexpr std::uint32_t pump_low_time = 6'000;
inline constexpr std::uint32_t touchdown_time = 120'000;
inline constexpr std::uint32_t test_time = 3'000;
inline constexpr std::uint32_t test_hold_time = 2'000;
inline constexpr unsigned circuits_low_warning = 2;

struct engine_part {
  engine_mode mode = engine_mode::stopped;
  spool_band spool = spool_band::zero;
  bool selected = false;
  bool supply_closed = false;
  bool starter_out = false;
  bool handle_pulled = false;
  std::uint8_t running_rank = 0;
  std::uint8_t cranking_rank = 0;
};

struct engine_pump_part {
  health_mode health = health_mode::healthy;
  bool delivers = false;
  bool switched_on = true;
  bool failure = false;
  bool hot = false;
  std::uint32_t low_for = 0;
};

struct electric_pump_part {
  health_mode health = health_mode::healthy;
  demand_mode demand = demand_mode::none;
  pump_switch switched = pump_switch::automatic;
  bool delivers = false;
  bool failure = false;
  bool hot = false;
  bool shed = false;
};

struct door_part {
  door_mode mode = door_mode::idle;
  lever_position lever = lever_position::neutral;
  door_travel travel = door_travel::closed;
  bool lever_reported = false;
  std::uint32_t ran_for = 0;
};

struct circuit_part {
  fluid_level level = fluid_level::normal;
  bool made = false;
  bool above_priority = false;
  bool air_low = false;
  bool hot = false;
  std::uint32_t low_for = 0;
};

struct unit_part {
  unit_mode mode = unit_mode::standby;
  test_mode test = test_mode::idle;
  pressure_difference difference = pressure_difference::level;
  test_outcome outcome = test_outcome::none;
  test_reason reason = test_reason::none;
  bool switched_on = true;
  bool overspeed = false;
  bool failed_caution = false;
  bool test_from_b = false;
  std::uint8_t judged = 0;
  std::uint8_t second = 0;
  std::uint32_t tested_for = 0;
  std::uint32_t held_for = 0;
};

struct fault_part {
  fault_status status = fault_status::unused;
  fault kind = fault::pump_failed;
  subject where{};
  fault_trigger trigger = fault_trigger::at_once;
  subject trigger_about{};
  bool seen_in_air = false;
  std::uint32_t amount = 0;
  std::uint32_t trigger_time = 0;
};

/// Alerts that this aircraft can show, one place for each condition and component.
enum slot : std::uint8_t {
  circuits_low = 0,
  engine_pump = 1,
  electric_pump = 3,
  circuit_low = 5,
  quantity = 8,
  reservoir_air = 11,
  fluid_hot = 14,
  lever_out = 17,
  run_limit = 19,
  door_not_closed = 21,
  transfer_test = 23,
  transfer_failed,
  steering_alert,
  brake_alert,
  air_ground_alert,
  ram_air_alert,
  slots,
};

class aircraft {
 public:
  /// One event. Returns how it was refused, or `none`.
  refusal_kind handle(const event& e);

  // Read by the comparison.
  std::array<engine_part, engines> engine{};
  std::array<engine_pump_part, 2> engine_pumps{};
  std::array<electric_pump_part, 2> electric_pumps{};
  std::array<door_part, doors> door{};
  std::array<circuit_part, circuits> circuit{};
  unit_part unit{};
  service_mode service = service_mode::none;  // of the port circuit
  std::uint32_t hold_off_for = 0;
  std::uint32_t touched_down_for = 0;         // the keel pump runs on after a landing without engines
  steering_mode steering = steering_mode::connected;
  ram_air_mode ram_air = ram_air_mode::stowed;
  bool in_flight = false;
  bool air_ground_valid = true;
  bool external_power = false;
  bool auxiliary_power = false;
  bool brake_set = true;
  bool gear_down = true;
  airspeed_band airspeed = airspeed_band::slow;
  flight_phase phase = flight_phase::other;
  std::uint8_t stored = 0;
  std::array<fault_part, 16> faults{};
  std::array<std::uint16_t, count_of<fault>> faulty{};  // components with an active fault of each kind
  std::uint32_t now = 0;
  std::array<alert_class, slots> alerts{};
  std::array<std::uint32_t, slots> alert_since{};
  std::uint32_t acknowledged = 0;

  static std::uint8_t most_applications;  // worked out from the store by whoever makes the layout

 private:
  [[nodiscard]] bool has_fault(fault kind, unsigned i) const {
    return (faulty[static_cast<std::size_t>(kind)] >> i & 1U) != 0;
  }
  [[nodiscard]] bool runs(unsigned e) const {
    return engine[e].mode == engine_mode::at_idle || engine[e].mode == engine_mode::running;
  }
  [[nodiscard]] bool cranks(unsigned e) const { return engine[e].mode == engine_mode::cranking; }
  [[nodiscard]] bool any_engine() const { return runs(0) || runs(1); }
  [[nodiscard]] bool powered(unsigned bus) const;
  [[nodiscard]] bool pump_has_power(unsigned pump) const { return powered(pump) && !electric_pumps[pump].shed; }
  [[nodiscard]] bool pressure_switch(unsigned c) const;
  [[nodiscard]] fluid_level level_switch(unsigned c) const;
  [[nodiscard]] lever_position lever(unsigned d) const;
  [[nodiscard]] door_travel travel(unsigned d) const;
  [[nodiscard]] bool supply_open(unsigned e) const;
  [[nodiscard]] engine_pump_reason engine_pump_why(unsigned pump) const;
  [[nodiscard]] electric_pump_reason electric_pump_why(unsigned pump) const;
  [[nodiscard]] bool pump_missed(unsigned pump) const;
  [[nodiscard]] bool ram_air_delivers() const;
  [[nodiscard]] bool own_source(unsigned c) const;
  [[nodiscard]] bool own_pressure(unsigned c) const { return own_source(c) && pressure_switch(c); }
  [[nodiscard]] bool engine_pressure(unsigned c) const { return engine_pumps[c].delivers && pressure_switch(c); }
  [[nodiscard]] bool source_wanted(unsigned c) const;
  [[nodiscard]] bool service_only() const;
  [[nodiscard]] bool low_now(unsigned c) const;
  [[nodiscard]] unit_inhibition inhibition() const;
  [[nodiscard]] test_reason hindrance() const;
  [[nodiscard]] test_reason ending() const;
  [[nodiscard]] bool brake_backed() const;
  [[nodiscard]] bool trigger_holds(const fault_part& f) const;

  [[nodiscard]] static refusal_kind checked(const event& e);
  [[nodiscard]] static refusal_kind checked_place(const event& e);
  refusal_kind command(const event& e);
  refusal_kind switch_moved(const event& e);
  refusal_kind steering_command(const event& e);
  refusal_kind fact(const event& e);
  refusal_kind inject(const event& e);
  refusal_kind remove_fault(const event& e);
  refusal_kind pass(std::int64_t amount);
  refusal_kind engine_event(unsigned e, event_kind happening);
  refusal_kind reset_pump(const event& e);

  void settle();
  void trigger_faults();
  void engines_turn();
  bool engine_evaluates(unsigned e);
  void engine_goes_to(unsigned e, engine_mode to);
  void doors_turn();
  void engine_pump_turns(unsigned pump);
  void cargo_pump_turns();
  void keel_pump_turns();
  void pump_health_turns(health_mode& health, bool failing, bool sheared);
  void electric_pump_runs(unsigned pump);
  void service_turns();
  void unit_turns();
  bool test_evaluates();
  void tidy_test();
  void judge_second_start();
  bool unit_moves();
  void reset_timers();
  [[nodiscard]] std::uint32_t deadline() const;
  void advance_timers(std::uint32_t span);
  void annunciate();
  void alert(unsigned where, alert_class level);
  void report_levers();
  void repair_pumps();

  bool moved_ = false;
};

}  // namespace by_hand
