// What can happen from outside: commands, facts from a plant, faults, and time.
#pragma once

#include <array>
#include <cstdint>
#include <span>
#include <string_view>

#include "penstock/config.hpp"
#include "penstock/modes.hpp"
#include "penstock/units.hpp"

namespace penstock::inline v1 {

// g++ 12 says that a scoped enumerator shadows the type of the same name; it cannot.
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wshadow"
enum class event_kind : std::uint8_t {
  elapsed,
  // commands
  start,
  abort_start,
  shut_down,
  fire_handle,
  reset_supply,
  switch_,
  reset,
  ground_override,
  lever,
  hand_pump,
  leak_isolation,
  maintenance_test,
  stow,
  steering,
  pin,
  parking_brake,
  apply_brakes,
  gear,
  acknowledge,
  recall,
  // facts, from a plant or a device
  spool,
  starter_out,
  hang,
  flame_out,
  failure,
  overheat,
  travel,
  pressure,
  priority,
  level,
  air,
  fluid,
  difference,
  overspeed,
  stored,
  shed,
  external_power,
  auxiliary_power,
  air_ground,
  airspeed,
  phase,
  // faults
  inject,
  remove_fault,
  clear_faults,
};
#pragma GCC diagnostic pop

/// What an event kind is about and how it is written.
struct event_form {
  std::string_view word;                 ///< as in files and JSON
  std::array<component, 3> subjects;     ///< kinds of component it may name
  std::uint8_t subject_kinds;            ///< how many of them
  std::span<const std::string_view> values;  ///< the words of its value; empty: no value
  bool is_command;                       ///< an edge [GEN-1]; otherwise a level, a fault or time
  std::string_view sentence;             ///< what it means
};

/// How each kind of event is written. Precondition: a kind of the enumeration.
[[nodiscard]] PENSTOCK_API const event_form& form_of(event_kind kind);
/// All kinds, in order.
[[nodiscard]] PENSTOCK_API std::span<const event_form> event_forms();

/// One event: a plain value. Use the functions in `events` to make one.
struct event {
  event_kind kind = event_kind::elapsed;
  subject about{};                       ///< the component; aircraft where there is none
  std::uint8_t value = 0;                ///< number of the value's word in its form
  fault_trigger trigger = fault_trigger::at_once;  ///< inject only
  subject trigger_about{};               ///< inject only
  std::int64_t amount = 0;               ///< elapsed: ms; stored: applications; leaks: mm3/s
  std::int64_t trigger_time = 0;         ///< inject at_time only: ms since the beginning
  friend constexpr bool operator==(const event&, const event&) = default;
};

/// Makers of events. Component numbers follow the order of the layout.
namespace events {

[[nodiscard]] constexpr event make(event_kind kind, subject about = {}, std::uint8_t value = 0, std::int64_t amount = 0) {
  event made;
  made.kind = kind;
  made.about = about;
  made.value = value;
  made.amount = amount;
  return made;
}
template <class Enum>
[[nodiscard]] constexpr event make_with(event_kind kind, subject about, Enum value) {
  return make(kind, about, static_cast<std::uint8_t>(value));
}
[[nodiscard]] constexpr subject engine(unsigned i) { return {component::engine, static_cast<std::uint8_t>(i)}; }
[[nodiscard]] constexpr subject circuit(unsigned i) { return {component::circuit, static_cast<std::uint8_t>(i)}; }
[[nodiscard]] constexpr subject engine_pump(unsigned i) { return {component::engine_pump, static_cast<std::uint8_t>(i)}; }
[[nodiscard]] constexpr subject electric_pump(unsigned i) { return {component::electric_pump, static_cast<std::uint8_t>(i)}; }
[[nodiscard]] constexpr subject ram_air_pump(unsigned i) { return {component::ram_air_pump, static_cast<std::uint8_t>(i)}; }
[[nodiscard]] constexpr subject unit(unsigned i) { return {component::transfer_unit, static_cast<std::uint8_t>(i)}; }
[[nodiscard]] constexpr subject door(unsigned i) { return {component::cargo_door, static_cast<std::uint8_t>(i)}; }
[[nodiscard]] constexpr subject consumer(unsigned i) { return {component::consumer, static_cast<std::uint8_t>(i)}; }
[[nodiscard]] constexpr subject bus(unsigned i) { return {component::bus, static_cast<std::uint8_t>(i)}; }
[[nodiscard]] constexpr subject store(unsigned i) { return {component::store, static_cast<std::uint8_t>(i)}; }
inline constexpr subject aircraft{component::aircraft, 0};
inline constexpr subject steering_link{component::steering, 0};

/// Time goes on by this much (0 s or more).
[[nodiscard]] constexpr event elapsed(milliseconds t) { return make(event_kind::elapsed, aircraft, 0, t.count()); }
[[nodiscard]] constexpr event start(unsigned engine_number) { return make(event_kind::start, engine(engine_number)); }
[[nodiscard]] constexpr event abort_start(unsigned engine_number) { return make(event_kind::abort_start, engine(engine_number)); }
[[nodiscard]] constexpr event shut_down(unsigned engine_number) { return make(event_kind::shut_down, engine(engine_number)); }
[[nodiscard]] constexpr event spool(unsigned engine_number, spool_band band) { return make_with(event_kind::spool, engine(engine_number), band); }
[[nodiscard]] constexpr event starter_out(unsigned engine_number) { return make(event_kind::starter_out, engine(engine_number)); }
[[nodiscard]] constexpr event hang(unsigned engine_number) { return make(event_kind::hang, engine(engine_number)); }
[[nodiscard]] constexpr event flame_out(unsigned engine_number) { return make(event_kind::flame_out, engine(engine_number)); }
[[nodiscard]] constexpr event fire_handle(unsigned engine_number, bool pulled) { return make(event_kind::fire_handle, engine(engine_number), pulled ? 1 : 0); }
[[nodiscard]] constexpr event reset_supply(unsigned engine_number) { return make(event_kind::reset_supply, engine(engine_number)); }
/// The crew switch of a pump or a transfer unit.
[[nodiscard]] constexpr event crew_switch(subject pump_or_unit, pump_switch to) { return make_with(event_kind::switch_, pump_or_unit, to); }
[[nodiscard]] constexpr event reset(subject pump) { return make(event_kind::reset, pump); }
[[nodiscard]] constexpr event failure(subject pump, bool present) { return make(event_kind::failure, pump, present ? 1 : 0); }
[[nodiscard]] constexpr event overheat(subject pump, bool present) { return make(event_kind::overheat, pump, present ? 1 : 0); }
[[nodiscard]] constexpr event ground_override(unsigned pump) { return make(event_kind::ground_override, electric_pump(pump)); }
[[nodiscard]] constexpr event shed(unsigned pump, bool dropped) { return make(event_kind::shed, electric_pump(pump), dropped ? 1 : 0); }
[[nodiscard]] constexpr event lever(unsigned door_number, lever_position to) { return make_with(event_kind::lever, door(door_number), to); }
[[nodiscard]] constexpr event travel(unsigned door_number, door_travel to) { return make_with(event_kind::travel, door(door_number), to); }
[[nodiscard]] constexpr event hand_pump(unsigned circuit_number, bool worked) { return make(event_kind::hand_pump, circuit(circuit_number), worked ? 1 : 0); }
[[nodiscard]] constexpr event leak_isolation(unsigned circuit_number, bool shut) { return make(event_kind::leak_isolation, circuit(circuit_number), shut ? 1 : 0); }
[[nodiscard]] constexpr event pressure(unsigned circuit_number, bool made) { return make(event_kind::pressure, circuit(circuit_number), made ? 1 : 0); }
[[nodiscard]] constexpr event priority(unsigned circuit_number, bool above) { return make(event_kind::priority, circuit(circuit_number), above ? 1 : 0); }
[[nodiscard]] constexpr event level(unsigned circuit_number, fluid_level now) { return make_with(event_kind::level, circuit(circuit_number), now); }
[[nodiscard]] constexpr event air(unsigned circuit_number, bool low) { return make(event_kind::air, circuit(circuit_number), low ? 1 : 0); }
[[nodiscard]] constexpr event fluid(unsigned circuit_number, bool hot) { return make(event_kind::fluid, circuit(circuit_number), hot ? 1 : 0); }
[[nodiscard]] constexpr event difference(unsigned unit_number, pressure_difference now) { return make_with(event_kind::difference, unit(unit_number), now); }
[[nodiscard]] constexpr event overspeed(unsigned unit_number, bool present) { return make(event_kind::overspeed, unit(unit_number), present ? 1 : 0); }
[[nodiscard]] constexpr event maintenance_test(unsigned unit_number) { return make(event_kind::maintenance_test, unit(unit_number)); }
[[nodiscard]] constexpr event stow(unsigned ram_air) { return make(event_kind::stow, ram_air_pump(ram_air)); }
[[nodiscard]] constexpr event steering(bool connected) { return make(event_kind::steering, steering_link, connected ? 0 : 1); }
[[nodiscard]] constexpr event pin(bool in) { return make(event_kind::pin, steering_link, in ? 0 : 1); }
[[nodiscard]] constexpr event parking_brake(bool set) { return make(event_kind::parking_brake, aircraft, set ? 0 : 1); }
[[nodiscard]] constexpr event apply_brakes() { return make(event_kind::apply_brakes); }
[[nodiscard]] constexpr event gear(bool down) { return make(event_kind::gear, aircraft, down ? 0 : 1); }
[[nodiscard]] constexpr event stored(unsigned store_number, std::int64_t applications) { return make(event_kind::stored, store(store_number), 0, applications); }
[[nodiscard]] constexpr event external_power(bool on) { return make(event_kind::external_power, aircraft, on ? 1 : 0); }
[[nodiscard]] constexpr event auxiliary_power(bool on) { return make(event_kind::auxiliary_power, aircraft, on ? 1 : 0); }
[[nodiscard]] constexpr event air_ground_is(air_ground now) { return make_with(event_kind::air_ground, aircraft, now); }
[[nodiscard]] constexpr event air_ground_invalid() { return make(event_kind::air_ground, aircraft, 2); }
[[nodiscard]] constexpr event airspeed(airspeed_band now) { return make_with(event_kind::airspeed, aircraft, now); }
[[nodiscard]] constexpr event phase(flight_phase now) { return make_with(event_kind::phase, aircraft, now); }
[[nodiscard]] constexpr event acknowledge() { return make(event_kind::acknowledge); }
[[nodiscard]] constexpr event recall() { return make(event_kind::recall); }
/// A fault from now on. `amount` is the flow of a leak in cubic millimetres a second.
[[nodiscard]] constexpr event inject(fault what, subject where, std::int64_t amount = 0) {
  return make(event_kind::inject, where, static_cast<std::uint8_t>(what), amount);
}
[[nodiscard]] constexpr event inject_at(fault what, subject where, milliseconds when, std::int64_t amount = 0) {
  event made = inject(what, where, amount);
  made.trigger = fault_trigger::at_time;
  made.trigger_time = when.count();
  return made;
}
[[nodiscard]] constexpr event inject_when(fault what, subject where, fault_trigger trigger, subject trigger_about, std::int64_t amount = 0) {
  event made = inject(what, where, amount);
  made.trigger = trigger;
  made.trigger_about = trigger_about;
  return made;
}
[[nodiscard]] constexpr event remove_fault(fault what, subject where) {
  return make(event_kind::remove_fault, where, static_cast<std::uint8_t>(what));
}
[[nodiscard]] constexpr event clear_faults() { return make(event_kind::clear_faults); }

}  // namespace events

/// Which kinds of component a fault may sit in, and whether it needs an amount.
struct fault_form {
  std::array<component, 2> subjects;
  std::uint8_t subject_kinds;
  bool needs_amount;
  std::string_view sentence;
};
[[nodiscard]] PENSTOCK_API const fault_form& form_of(fault kind);

}  // namespace penstock::inline v1
