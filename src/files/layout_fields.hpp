// The keys of layout files, in one place: reader, writer and JSON Schema all come from these lists.
#pragma once

#include <cstddef>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

#include "penstock/detail/layout_check.hpp"
#include "penstock/layout.hpp"

namespace penstock::inline v1::files {

/// Where a value is kept. The type of the member is the kind of value.
template <class Spec>
using member_of = std::variant<std::string Spec::*, milliseconds Spec::*, volume Spec::*, pressure Spec::*,
                               flow Spec::*, temperature Spec::*, hydraulic_fluid Spec::*, gas_law Spec::*, double Spec::*, std::uint32_t Spec::*, bool Spec::*, std::vector<std::string> Spec::*,
                               std::vector<feed_spec> Spec::*, pump_duty Spec::*, unit_direction Spec::*,
                               inhibit_scope Spec::*, branch Spec::*, consumer_kind Spec::*, condition Spec::*>;

enum class need : std::uint8_t { optional, required };

/// What a text stands for.
enum class text_form : std::uint8_t {
  none,   ///< not a text
  name,   ///< the name of a component
  words,  ///< one line for people
};

template <class Spec>
struct field {
  std::string_view name;
  member_of<Spec> member;
  need needed;
  detail::number_range range;  ///< litres, psi, ms, share or count; 0 to 0: not a number
  text_form form;
  std::string_view meaning;
};

inline constexpr detail::number_range no_number{0, 0};
namespace ranges = detail::ranges;

/// The keys of one kind of entry. Columns: key, member, whether it is needed, range, form of a text, meaning.
template <class Spec>
struct fields_of;

// clang-format off
template <>
struct fields_of<layout_spec> {
  using s = layout_spec;
  using enum need;
  using enum text_form;
  static constexpr auto list = std::to_array<field<s>>({
    {"name",                 &s::name,                 required, no_number,            name,  "name of the aircraft"},
    {"title",                &s::title,                optional, no_number,            words, "title for people"},
    {"origin",               &s::origin,               required, no_number,            words,
     "where the numbers come from, for example invented"},
    {"nominal",              &s::nominal,              optional, ranges::pressure,     none,
     "nominal pressure of every circuit"},
    {"pump-knee",            &s::pump_knee,            optional, ranges::knee,         none,
     "share of nominal up to which pumps give their full flow; at nominal they give none"},
    {"switch-made",          &s::switch_made,          optional, ranges::pressure,     none,
     "pressure switch makes, rising"},
    {"switch-open",          &s::switch_open,          optional, ranges::pressure,     none,
     "pressure switch opens, falling"},
    {"priority-restored",    &s::priority_restored,    optional, ranges::pressure,     none,
     "heavy consumers come back, rising [CON-4]"},
    {"priority-shed",        &s::priority_shed,        optional, ranges::pressure,     none,
     "heavy consumers are shed, falling [CON-4]"},
    {"circuits-low-warning", &s::circuits_low_warning, optional, ranges::circuits_low, none,
     "circuits low at once in flight that raise the warning [ALR-5]"},
  });
};

template <>
struct fields_of<engine_spec> {
  using s = engine_spec;
  using enum need;
  using enum text_form;
  static constexpr auto list = std::to_array<field<s>>({
    {"name",            &s::name,            required, no_number,         name, "name"},
    {"spool-up",        &s::spool_up,        optional, ranges::some_time, none,
     "start selected to idle"},
    {"starter-cut-out", &s::starter_cut_out, optional, ranges::some_time, none,
     "idle to starter and ignition off"},
    {"run-down",        &s::run_down,        optional, ranges::some_time, none,
     "idle to standstill"},
    {"pump-mark",       &s::pump_mark,       optional, ranges::share,     none,
     "share of idle speed above which its pumps deliver [EDP-1]"},
    {"sub-idle-mark",   &s::sub_idle_mark,   optional, ranges::share,     none,
     "share of idle speed below which it has flamed out [ENG-9]"},
  });
};

template <>
struct fields_of<circuit_spec> {
  using s = circuit_spec;
  using enum need;
  using enum text_form;
  static constexpr auto list = std::to_array<field<s>>({
    {"name",             &s::name,             required, no_number,          name, "name"},
    {"reservoir",        &s::reservoir,        optional, ranges::reservoir,  none,
     "content at the full mark, everything else filled"},
    {"overfull",         &s::overfull,         optional, ranges::reservoir,  none, "above: advisory [LVL-1]"},
    {"low-mark",         &s::low_mark,         optional, ranges::mark,       none, "below: caution [LVL-1]"},
    {"level-hysteresis", &s::level_hysteresis, optional, ranges::hysteresis, none, "a mark is left by this much"},
    {"compression",      &s::compression,      optional, ranges::taken_up,   none,
     "fluid the lines take up from zero to nominal pressure"},
    {"fluid",            &s::fluid,            optional, no_number,          none, "what it is filled with"},
    {"bulk-modulus",     &s::bulk_modulus,     optional, ranges::modulus,    none,
     "effective bulk modulus of fluid and lines; tables say 340000 or 440000 psi for phosphate ester, 300000 psi for "
     "synthetic hydrocarbon, and hoses lower it"},
    {"leakage",          &s::leakage,          optional, ranges::leakage,    none,
     "leakage within the circuit at nominal pressure"},
    {"relief-opens",     &s::relief_opens,     optional, ranges::relief,     none,
     "share of nominal at which the relief valve opens"},
    {"relief-closes",    &s::relief_closes,    optional, ranges::relief,     none,
     "share of nominal at which it reseats"},
    {"hot-mark",         &s::hot_mark,         optional, ranges::hot,        none, "at or above: hot fluid [RES-2]"},
    {"cooling",          &s::cooling,          optional, ranges::cooling,    none,
     "heat it gives off, watts for each kelvin"},
    {"hand-pump",        &s::hand_pump,        optional, no_number,          none,
     "a hand pump moves cargo doors without power [CGO-11]"},
    {"leak-isolation",   &s::leak_isolation,   optional, no_number,          none,
     "a crew switch shuts the outer branch on the ground [LEK-1]"},
    {"service-hold-off", &s::service_hold_off, optional, ranges::any_time,   none,
     "transfer units stay inhibited after service mode [CGO-7]"},
    {"low-confirmation", &s::low_confirmation, optional, ranges::any_time,   none,
     "low this long before the caution [CIR-3]"},
  });
};

template <>
struct fields_of<engine_pump_spec> {
  using s = engine_pump_spec;
  using enum need;
  using enum text_form;
  static constexpr auto list = std::to_array<field<s>>({
    {"name",                  &s::name,                  required, no_number,        name, "name"},
    {"engine",                &s::engine,                required, no_number,        name, "engine that turns it"},
    {"circuit",               &s::circuit,               required, no_number,        name, "circuit it feeds"},
    {"control-bus",           &s::control_bus,           optional, no_number,        name, "bus that unloads it"},
    {"loads-without-control", &s::loads_without_control, optional, no_number,        none,
     "loss of the control bus loads an unloaded pump [EDP-6]"},
    {"low-confirmation",      &s::low_confirmation,      optional, ranges::any_time, none,
     "not delivering this long before the alert [EDP-3]"},
    {"dry-damage",            &s::dry_damage,            optional, ranges::any_time, none,
     "dry running that damages it; 0 s: never [EDP-7]"},
    {"flow",                  &s::flow,                  optional, ranges::flow,     none,
     "flow at idle speed, up to the knee"},
  });
};

template <>
struct fields_of<electric_pump_spec> {
  using s = electric_pump_spec;
  using enum need;
  using enum text_form;
  static constexpr auto list = std::to_array<field<s>>({
    {"name",            &s::name,            required, no_number,         name, "name"},
    {"circuit",         &s::circuit,         required, no_number,         name, "circuit it feeds"},
    {"bus",             &s::bus,             required, no_number,         name, "bus that drives it"},
    {"duty",            &s::duty,            optional, no_number,         none, "what starts it by itself"},
    {"shed-on",         &s::shed_on,         optional, no_number,         name,
     "sources: dropped while its bus lives on one of these [ELP-2]"},
    {"touchdown-delay", &s::touchdown_delay, optional, ranges::any_time,  none,
     "first-engine duty: runs on after a landing without engines [AUX-2]"},
    {"starts-allowed",  &s::starts_allowed,  optional, ranges::starts,    none,
     "cargo duty: starts within start-period; 0: no limit [CGO-16]"},
    {"start-period",    &s::start_period,    optional, ranges::some_time, none,
     "period in which starts are counted [CGO-16]"},
    {"cooling",         &s::cooling,         optional, ranges::some_time, none,
     "pause after the last start allowed [CGO-16]"},
    {"flow",            &s::flow,            optional, ranges::flow,      none, "flow up to the knee"},
    {"run-up",          &s::run_up,          optional, ranges::any_time,  none, "standstill to full speed"},
  });
};

template <>
struct fields_of<ram_air_pump_spec> {
  using s = ram_air_pump_spec;
  using enum need;
  using enum text_form;
  static constexpr auto list = std::to_array<field<s>>({
    {"name",    &s::name,    required, no_number,    name, "name"},
    {"circuit", &s::circuit, required, no_number,    name, "circuit it feeds"},
    {"flow",    &s::flow,    optional, ranges::flow, none, "flow at fast airspeed, up to the knee"},
  });
};

template <>
struct fields_of<transfer_unit_spec> {
  using s = transfer_unit_spec;
  using enum need;
  using enum text_form;
  static constexpr auto list = std::to_array<field<s>>({
    {"name",               &s::name,               required, no_number,         name, "name"},
    {"a",                  &s::a,                  required, no_number,         name, "first circuit"},
    {"b",                  &s::b,                  required, no_number,         name, "second circuit"},
    {"direction",          &s::direction,          optional, no_number,         none,
     "which way power crosses [PTU-9]"},
    {"scope",              &s::scope,              optional, no_number,         none,
     "where one selected engine inhibits it [PTU-2]"},
    {"stops-on-low-level", &s::stops_on_low_level, optional, no_number,         none,
     "a low level in a linked circuit inhibits it [PTU-8]"},
    {"stops-on-low-air",   &s::stops_on_low_air,   optional, no_number,         none,
     "low reservoir air pressure inhibits it [PTU-8]"},
    {"stops-on-hot-fluid", &s::stops_on_hot_fluid, optional, no_number,         none, "hot fluid inhibits it [PTU-8]"},
    {"stops-on-overspeed", &s::stops_on_overspeed, optional, no_number,         none, "overspeed inhibits it [PTU-15]"},
    {"maintenance-test",   &s::maintenance_test,   optional, no_number,         none,
     "it can be tested without engines [PTU-15]"},
    {"activation",         &s::activation,         optional, ranges::pressure,  none,
     "transfers above this difference [PTU-6]"},
    {"release",            &s::release,            optional, ranges::pressure,  none,
     "stops below this difference [PTU-6]"},
    {"test-limit",         &s::test_limit,         optional, ranges::some_time, none,
     "the test's threshold must be reached within [PTU-5]"},
    {"test-confirmation",  &s::test_confirmation,  optional, ranges::any_time,  none, "and held for [PTU-5]"},
    {"ratio",              &s::ratio,              optional, ranges::displacement_ratio, none,
     "displacement of the motor to that of the pump"},
    {"efficiency",         &s::efficiency,         optional, ranges::share,     none,
     "pressure it gives, to that without friction"},
    {"breakout",           &s::breakout,           optional, ranges::friction,  none,
     "share of nominal: friction of the shaft at rest"},
    {"flow",               &s::flow,               optional, ranges::flow,      none, "most that it gives"},
  });
};

template <>
struct fields_of<cargo_door_spec> {
  using s = cargo_door_spec;
  using enum need;
  using enum text_form;
  static constexpr auto list = std::to_array<field<s>>({
    {"name",         &s::name,         required, no_number,         name, "name"},
    {"circuit",      &s::circuit,      required, no_number,         name, "circuit that moves it"},
    {"travel",       &s::travel,       optional, ranges::some_time, none, "closed to open"},
    {"run-limit",    &s::run_limit,    optional, ranges::some_time, none, "longest operation without neutral [CGO-10]"},
    {"displacement", &s::displacement, optional, ranges::taken_up,  none, "fluid it holds more when open"},
    {"area-ratio",   &s::area_ratio,   optional, ranges::share,     none,
     "rod side of its actuator to the full side"},
    {"load",         &s::load,         optional, ranges::load,      none,
     "share of nominal pressure that opening takes"},
  });
};

template <>
struct fields_of<feed_spec> {
  using s = feed_spec;
  using enum need;
  using enum text_form;
  static constexpr auto list = std::to_array<field<s>>({
    {"circuit", &s::circuit, required, no_number, name, "circuit"},
    {"branch",  &s::branch,  optional, no_number, none, "branch of that circuit [CGO-5, LEK-1]"},
  });
};

template <>
struct fields_of<consumer_spec> {
  using s = consumer_spec;
  using enum need;
  using enum text_form;
  static constexpr auto list = std::to_array<field<s>>({
    {"name",         &s::name,         required, no_number,         name, "name"},
    {"kind",         &s::kind,         required, no_number,         none, "what it is"},
    {"feeds",        &s::feeds,        required, no_number,         none, "circuits that feed it, each by a branch"},
    {"heavy",        &s::heavy,        optional, no_number,         none, "shed below the priority pressure [CON-4]"},
    {"door",         &s::door,         optional, no_number,         name, "kind cargo-door: which door"},
    {"store",        &s::store,        optional, no_number,         name, "kind parking-brake: its accumulator"},
    {"displacement", &s::displacement, optional, ranges::taken_up,  none,
     "kind gear: fluid it holds more when retracted [LVL-3]"},
    {"travel",       &s::travel,       optional, ranges::some_time, none,
     "kind gear: time of one movement at nominal pressure"},
    {"area-ratio",   &s::area_ratio,   optional, ranges::share,     none,
     "kind gear: rod side of its actuator to the full side"},
    {"load",         &s::load,         optional, ranges::load,      none,
     "kind gear: share of nominal pressure that retraction takes"},
    {"demand",       &s::demand,       optional, ranges::leakage,   none,
     "what it takes all the time in flight, from each circuit"},
  });
};

template <>
struct fields_of<store_spec> {
  using s = store_spec;
  using enum need;
  using enum text_form;
  static constexpr auto list = std::to_array<field<s>>({
    {"name",        &s::name,        required, no_number,           name, "name"},
    {"circuit",     &s::circuit,     required, no_number,           name, "circuit that charges it"},
    {"gas",         &s::gas,         optional, ranges::gas,         none, "gas volume with no fluid in it"},
    {"precharge",   &s::precharge,   optional, ranges::pressure,    none, "gas pressure with no fluid in it, gauge"},
    {"least",       &s::least,       optional, ranges::pressure,    none,
     "least pressure at which the brake holds, gauge"},
    {"application", &s::application, optional, ranges::application, none, "fluid one application takes"},
    {"gas-law",     &s::law,         optional, no_number,           none, "how its gas is reckoned"},
    {"heat-time",   &s::heat_time,   optional, ranges::any_time,    none,
     "in which the gas takes the temperature around it; 0 s: isothermal"},
    {"charging",    &s::charging,    optional, ranges::flow,        none,
     "flow into it at nominal pressure against none"},
  });
};

template <>
struct fields_of<bus_spec> {
  using s = bus_spec;
  using enum need;
  using enum text_form;
  static constexpr auto list = std::to_array<field<s>>({
    {"name",    &s::name,    required, no_number, name, "name"},
    {"sources", &s::sources, required, no_number, name,
     "engines, auxiliary, external: the first alive feeds it [ELP-2]"},
    {"main",    &s::main,    optional, no_number, none, "a main AC bus, for the ram-air pump [RAT-1]"},
  });
};

template <>
struct fields_of<inhibit_spec> {
  using s = inhibit_spec;
  using enum need;
  using enum text_form;
  static constexpr auto list = std::to_array<field<s>>({
    {"condition",   &s::condition,   required, no_number, none, "the condition whose alert is held back [ALR-6]"},
    {"in-take-off", &s::in_take_off, optional, no_number, none, "held back in take-off"},
    {"in-landing",  &s::in_landing,  optional, no_number, none, "held back in landing"},
  });
};

/// Calls `visit(key, member, kind in words, least, most, meaning)` for every list of a layout, in order.
template <class Visit>
void for_each_list(Visit visit) {
  using s = layout_spec;
  visit("engines",        &s::engines,        "engine",        1U, limits::engines,        "engines");
  visit("circuits",       &s::circuits,       "circuit",       1U, limits::circuits,       "hydraulic circuits");
  visit("engine-pumps",   &s::engine_pumps,   "engine pump",   0U, limits::engine_pumps,   "pumps driven by engines");
  visit("electric-pumps", &s::electric_pumps, "electric pump", 0U, limits::electric_pumps,
        "pumps driven by electrical buses");
  visit("ram-air-pumps",  &s::ram_air_pumps,  "ram-air pump",  0U, limits::ram_air_pumps,
        "pumps driven by the airstream");
  visit("transfer-units", &s::transfer_units, "transfer unit", 0U, limits::transfer_units,
        "motor and pump on one shaft");
  visit("cargo-doors",    &s::cargo_doors,    "cargo door",    0U, limits::cargo_doors,    "cargo doors");
  visit("consumers",      &s::consumers,      "consumer",      0U, limits::consumers,
        "whatever uses the pressure");
  visit("stores",         &s::stores,         "store",         0U, limits::stores,         "brake accumulators");
  visit("buses",          &s::buses,          "bus",           0U, limits::buses,          "electrical buses");
  visit("inhibits",       &s::inhibits,       "inhibit",       0U, count_of<condition>,
        "alerts held back in a flight phase");
}
// clang-format on

}  // namespace penstock::inline v1::files
