// The vocabulary of events: one line for each kind.
#pragma once

#include "penstock/event.hpp"

namespace penstock::inline v1 {

namespace detail::vocabulary {

using words2 = std::array<std::string_view, 2>;
inline constexpr words2 stowed_pulled{"stowed", "pulled"};
inline constexpr words2 rest_worked{"rest", "worked"};
inline constexpr words2 open_shut{"open", "shut"};
inline constexpr words2 connect_disconnect{"connect", "disconnect"};
inline constexpr words2 in_out{"in", "out"};
inline constexpr words2 set_released{"set", "released"};
inline constexpr words2 down_up{"down", "up"};
inline constexpr words2 absent_present{"absent", "present"};
inline constexpr words2 lost_made{"lost", "made"};
inline constexpr words2 below_above{"below", "above"};
inline constexpr words2 normal_low{"normal", "low"};
inline constexpr words2 normal_hot{"normal", "hot"};
inline constexpr words2 restored_dropped{"restored", "dropped"};
inline constexpr words2 off_on{"off", "on"};
inline constexpr std::array<std::string_view, 3> ground_air_invalid{"ground", "air", "invalid"};

using enum component;
inline constexpr std::span<const std::string_view> no_values{};

// clang-format off
inline constexpr auto event_forms = std::to_array<event_form>({
  // word              subjects                                    values                                   command
  {"elapsed",          {aircraft}, 1,                              no_values,                               false, "time goes on"},
  {"start",            {engine}, 1,                                no_values,                               true,  "the start of an engine is selected"},
  {"abort-start",      {engine}, 1,                                no_values,                               true,  "the start of an engine is given up"},
  {"shut-down",        {engine}, 1,                                no_values,                               true,  "an engine is shut down"},
  {"fire-handle",      {engine}, 1,                                stowed_pulled,                           true,  "the fire handle of an engine is pulled or stowed"},
  {"reset-supply",     {engine}, 1,                                no_values,                               true,  "the supply valve of an engine's pumps is reset"},
  {"switch",           {engine_pump, electric_pump, transfer_unit}, 3, detail::words_of<pump_switch>::list,          true,  "the crew switch of a pump or transfer unit is moved"},
  {"reset",            {engine_pump, electric_pump}, 2,            no_values,                               true,  "a latched pump failure is reset"},
  {"ground-override",  {electric_pump}, 1,                         no_values,                               true,  "the ground override of a first-engine pump is pressed"},
  {"lever",            {cargo_door}, 1,                            detail::words_of<lever_position>::list,          true,  "the lever of a cargo door is moved"},
  {"hand-pump",        {circuit}, 1,                               rest_worked,                             true,  "the hand pump of a circuit is worked or left"},
  {"leak-isolation",   {circuit}, 1,                               open_shut,                               true,  "the outer branch of a circuit is shut or opened"},
  {"maintenance-test", {transfer_unit}, 1,                         no_values,                               true,  "a transfer unit is tested without engines"},
  {"stow",             {ram_air_pump}, 1,                          no_values,                               true,  "the ram-air pump is stowed"},
  {"steering",         {steering}, 1,                              connect_disconnect,                      true,  "the steering is connected, or disconnected for towing"},
  {"pin",              {steering}, 1,                              in_out,                                  true,  "the steering pin is put in or taken out"},
  {"parking-brake",    {aircraft}, 1,                              set_released,                            true,  "the parking brake is set or released"},
  {"apply-brakes",     {aircraft}, 1,                              no_values,                               true,  "one full application of the brakes"},
  {"gear",             {aircraft}, 1,                              down_up,                                 true,  "the landing gear lever is moved"},
  {"acknowledge",      {aircraft}, 1,                              no_values,                               true,  "the alerts that stand are acknowledged"},
  {"recall",           {aircraft}, 1,                              no_values,                               true,  "acknowledged alerts are called back"},
  {"spool",            {engine}, 1,                                detail::words_of<spool_band>::list,              false, "how fast the high-pressure spool of an engine turns"},
  {"starter-out",      {engine}, 1,                                no_values,                               false, "starter and ignition of an engine are off"},
  {"hang",             {engine}, 1,                                no_values,                               false, "the start of an engine hangs"},
  {"flame-out",        {engine}, 1,                                no_values,                               false, "an engine flames out"},
  {"failure",          {engine_pump, electric_pump}, 2,            absent_present,                          false, "the cause of a pump failure is there or gone"},
  {"overheat",         {engine_pump, electric_pump}, 2,            absent_present,                          false, "a pump is overheated or not"},
  {"travel",           {cargo_door}, 1,                            detail::words_of<door_travel>::list,             false, "where a cargo door is"},
  {"pressure",         {circuit}, 1,                               lost_made,                               false, "the pressure switch of a circuit"},
  {"priority",         {circuit}, 1,                               below_above,                             false, "a circuit against its priority pressure"},
  {"level",            {circuit}, 1,                               detail::words_of<fluid_level>::list,             false, "the fluid level of a reservoir"},
  {"air",              {circuit}, 1,                               normal_low,                              false, "the air pressure of a reservoir"},
  {"fluid",            {circuit}, 1,                               normal_hot,                              false, "the temperature of the fluid"},
  {"difference",       {transfer_unit}, 1,                         detail::words_of<pressure_difference>::list,     false, "own pressure of circuit a of a unit against that of b"},
  {"overspeed",        {transfer_unit}, 1,                         absent_present,                          false, "a transfer unit overspeeds or not"},
  {"stored",           {store}, 1,                                 no_values,                               false, "brake applications left in an accumulator"},
  {"shed",             {electric_pump}, 1,                         restored_dropped,                        false, "its bus drops an electric pump, or takes it back"},
  {"external-power",   {aircraft}, 1,                              off_on,                                  false, "external electrical power"},
  {"auxiliary-power",  {aircraft}, 1,                              off_on,                                  false, "electrical power of the auxiliary unit"},
  {"air-ground",       {aircraft}, 1,                              ground_air_invalid,                      false, "on the ground, in the air, or an invalid input"},
  {"airspeed",         {aircraft}, 1,                              detail::words_of<airspeed_band>::list,           false, "airspeed against the marks of the ram-air pump"},
  {"phase",            {aircraft}, 1,                              detail::words_of<flight_phase>::list,            false, "take-off or landing, where alerts may be inhibited"},
  {"inject",           {aircraft}, 1,                              detail::words_of<fault>::list,                   false, "a fault is injected, now, at a time or on a condition"},
  {"remove-fault",     {aircraft}, 1,                              detail::words_of<fault>::list,                   false, "an injected fault is taken away"},
  {"clear-faults",     {aircraft}, 1,                              no_values,                               false, "all injected faults are taken away"},
});

inline constexpr auto fault_forms = std::to_array<fault_form>({
  {{engine_pump, electric_pump}, 2, false, "the pump fails"},
  {{engine_pump, electric_pump}, 2, false, "the pump overheats"},
  {{engine_pump, electric_pump}, 2, false, "the pump runs but brings too little pressure"},
  {{engine_pump}, 1,                false, "the shaft of the pump shears"},
  {{circuit}, 1,                    true,  "the reservoir leaks, always"},
  {{circuit}, 1,                    true,  "a line leaks while the circuit has pressure"},
  {{consumer}, 1,                   true,  "a consumer leaks while it has pressure"},
  {{bus}, 1,                        false, "the bus is dead"},
  {{aircraft}, 1,                   false, "all electrical power is lost"},
  {{circuit}, 1,                    false, "the reservoir loses its air pressure"},
  {{circuit}, 1,                    false, "the fluid is hot"},
  {{transfer_unit}, 1,              false, "the unit is stuck and moves nothing"},
  {{transfer_unit}, 1,              false, "the unit brings too little pressure"},
  {{circuit}, 1,                    false, "the pressure switch says made whatever the pressure"},
  {{circuit}, 1,                    false, "the pressure switch says not made whatever the pressure"},
  {{circuit}, 1,                    false, "the level switch says low whatever the level"},
  {{circuit}, 1,                    false, "the level switch says normal whatever the level"},
  {{cargo_door}, 1,                 false, "the lever switch says neutral whatever the lever"},
  {{cargo_door}, 1,                 false, "the lever switch says open whatever the lever"},
  {{cargo_door}, 1,                 false, "the lever switch says close whatever the lever"},
  {{cargo_door}, 1,                 false, "the travel switches say that the end is made"},
  {{cargo_door}, 1,                 false, "the travel switches never say that an end is made"},
  {{engine}, 1,                     false, "the supply valve of the engine's pumps stays open"},
  {{engine}, 1,                     false, "the supply valve of the engine's pumps is closed"},
  {{engine}, 1,                     false, "the next start of the engine hangs"},
  {{engine}, 1,                     false, "the engine flames out"},
  {{store}, 1,                      false, "the accumulator loses its gas"},
});
// clang-format on
static_assert(event_forms.size() == static_cast<std::size_t>(event_kind::clear_faults) + 1, "one form for each kind");
static_assert(fault_forms.size() == count_of<fault>, "one form for each fault");

}  // namespace detail::vocabulary

PENSTOCK_INLINE const event_form& form_of(event_kind kind) {
  return detail::vocabulary::event_forms[static_cast<std::size_t>(kind)];
}

PENSTOCK_INLINE std::span<const event_form> event_forms() { return detail::vocabulary::event_forms; }

PENSTOCK_INLINE const fault_form& form_of(fault kind) { return detail::vocabulary::fault_forms[static_cast<std::size_t>(kind)]; }

}  // namespace penstock::inline v1
