// Every rule about layouts, broken once and alone: the error names the component, the rule's id and the field.
#include <cmath>
#include <functional>
#include <limits>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "penstock/detail/layout_check.hpp"
#include "support/bench.hpp"

namespace penstock_tests {
namespace {

/// One change that breaks a rule, and what must be said: "LIST FIELD [ID]", and words of the message.
struct slip {
  std::string_view where;
  std::string_view id;
  std::string_view words;
  std::function<void(layout_spec&)> make;
};

/// A spec in which every part and option is there.
layout_spec whole_spec() {
  layout_spec s = two_engine_spec();
  s.inhibits.push_back({.condition = condition::quantity, .in_take_off = true, .in_landing = false});
  return s;
}

void expect_refusals(const std::vector<slip>& slips) {
  for (const slip& one : slips) {
    SCOPED_TRACE(std::string{one.where} + " " + std::string{one.id});
    layout_spec s = whole_spec();
    one.make(s);
    penstock::detail::plan made{};
    const auto problem = penstock::detail::check_layout(s, made);
    if (!problem) {
      ADD_FAILURE() << "it was accepted";
      continue;
    }
    EXPECT_EQ(problem->what.id, "layout-" + std::string{one.id}) << problem->what.message;
    EXPECT_EQ(std::string{problem->list} + " " + std::string{problem->field}, one.where) << problem->what.message;
    EXPECT_NE(problem->what.message.find(one.words), std::string::npos) << problem->what.message;
  }
}

constexpr double not_a_number = std::numeric_limits<double>::quiet_NaN();

TEST(LayoutRefusals, TheWholeSpecIsAccepted) {
  penstock::detail::plan made{};
  EXPECT_FALSE(penstock::detail::check_layout(whole_spec(), made));
}

TEST(LayoutRefusals, TheLayoutItself) {
  expect_refusals({
      {" title", "text", "one line", [](auto& s) { s.title = "two\nlines"; }},
      {" origin", "origin", "where the numbers come from", [](auto& s) { s.origin = ""; }},
      {" origin", "text", "one line", [](auto& s) { s.origin = "\x01"; }},
      {" circuits-low-warning", "range", "0", [](auto& s) { s.circuits_low_warning = 0; }},
      {" nominal", "range", "psi", [](auto& s) { s.nominal = psi(0); }},
      {" nominal", "range", "to 10000 psi", [](auto& s) { s.nominal = psi(10'001); }},
      {" pump-knee", "range", "2", [](auto& s) { s.pump_knee = 2; }},
      {" pump-knee", "range", "nan", [](auto& s) { s.pump_knee = not_a_number; }},
      {" switch-made", "range", "psi", [](auto& s) { s.switch_made = psi(0); }},
      {" switch-open", "range", "psi", [](auto& s) { s.switch_open = psi(0); }},
      {" priority-restored", "range", "psi", [](auto& s) { s.priority_restored = psi(0); }},
      {" priority-shed", "range", "psi", [](auto& s) { s.priority_shed = psi(0); }},
      {" switch-open", "hysteresis", "below switch-made", [](auto& s) { s.switch_open = s.switch_made; }},
      {" switch-made", "order", "below nominal", [](auto& s) { s.switch_made = s.nominal; }},
      {" priority-shed", "hysteresis", "below priority-restored", [](auto& s) { s.priority_shed = s.priority_restored; }},
      {" priority-restored", "order", "below nominal", [](auto& s) { s.priority_restored = s.nominal; }},
  });
}

TEST(LayoutRefusals, MorePartsThanThereIsRoomFor) {
  expect_refusals({
      {" engines", "empty", "no engine", [](auto& s) { s.engines.clear(); }},
      {" circuits", "empty", "no circuit", [](auto& s) { s.circuits.clear(); }},
      {"engines ", "limit", "the limit is 4", [](auto& s) { s.engines.resize(limits::engines + 1); }},
      {"circuits ", "limit", "the limit is 4", [](auto& s) { s.circuits.resize(limits::circuits + 1); }},
      {"engine-pumps ", "limit", "the limit is 8", [](auto& s) { s.engine_pumps.resize(limits::engine_pumps + 1); }},
      {"electric-pumps ", "limit", "the limit is 6", [](auto& s) { s.electric_pumps.resize(limits::electric_pumps + 1); }},
      {"ram-air-pumps ", "limit", "the limit is 1", [](auto& s) { s.ram_air_pumps.resize(limits::ram_air_pumps + 1); }},
      {"transfer-units ", "limit", "the limit is 2", [](auto& s) { s.transfer_units.resize(limits::transfer_units + 1); }},
      {"cargo-doors ", "limit", "the limit is 6", [](auto& s) { s.cargo_doors.resize(limits::cargo_doors + 1); }},
      {"consumers ", "limit", "the limit is 32", [](auto& s) { s.consumers.resize(limits::consumers + 1); }},
      {"stores ", "limit", "the limit is 2", [](auto& s) { s.stores.resize(limits::stores + 1); }},
      {"buses ", "limit", "the limit is 6", [](auto& s) { s.buses.resize(limits::buses + 1); }},
      {"inhibits ", "limit", "the limit is 18", [](auto& s) { s.inhibits.resize(count_of<condition> + 1); }},
  });
}

TEST(LayoutRefusals, NamesOfEveryKindOfPart) {
  const std::string long_name(limits::name_length + 1, 'a');
  expect_refusals({
      {" name", "name", "missing", [](auto& s) { s.name = ""; }},
      {"engines name", "name", "missing", [](auto& s) { s.engines[0].name = ""; }},
      {"circuits name", "name", "41 characters", [&](auto& s) { s.circuits[0].name = long_name; }},
      {"engine-pumps name", "name", "lower case", [](auto& s) { s.engine_pumps[0].name = "{ump"; }},
      {"electric-pumps name", "name", "lower case", [](auto& s) { s.electric_pumps[0].name = "pump{"; }},
      {"ram-air-pumps name", "name", "lower case", [](auto& s) { s.ram_air_pumps[0].name = "ram:air"; }},
      {"transfer-units name", "name", "lower case", [](auto& s) { s.transfer_units[0].name = "transfer.unit"; }},
      {"cargo-doors name", "name", "lower case", [](auto& s) { s.cargo_doors[0].name = "Forward"; }},
      {"consumers name", "name-reserved", "meaning of their own", [](auto& s) { s.consumers[0].name = "aircraft"; }},
      {"stores name", "name-twice", "engine number 1", [](auto& s) { s.stores[0].name = "engine-1"; }},
      {"buses name", "name", "lower case", [](auto& s) { s.buses[0].name = "bUs"; }},
  });
  layout_spec s = whole_spec();
  s.ram_air_pumps[0].name = "z-0-9-a";
  penstock::detail::plan made{};
  EXPECT_FALSE(penstock::detail::check_layout(s, made)) << "the ends of what a name may hold";
}

TEST(LayoutRefusals, EnginesAndCircuits) {
  expect_refusals({
      {"engines spool-up", "range", "more than 0", [](auto& s) { s.engines[0].spool_up = milliseconds{0}; }},
      {"engines starter-cut-out", "range", "more than 0", [](auto& s) { s.engines[0].starter_cut_out = milliseconds{0}; }},
      {"engines run-down", "range", "24 h", [](auto& s) { s.engines[0].run_down = std::chrono::hours{25}; }},
      {"engines pump-mark", "range", "0.01", [](auto& s) { s.engines[0].pump_mark = 0; }},
      {"engines sub-idle-mark", "range", "0.99", [](auto& s) { s.engines[0].sub_idle_mark = 1; }},
      {"engines pump-mark", "order", "sub-idle-mark", [](auto& s) { s.engines[0].pump_mark = s.engines[0].sub_idle_mark; }},
      {"circuits reservoir", "range", "L", [](auto& s) { s.circuits[0].reservoir = litres(0); }},
      {"circuits reservoir", "range", "1000 L", [](auto& s) { s.circuits[0].reservoir = litres(1001); }},
      {"circuits overfull", "range", "L", [](auto& s) { s.circuits[0].overfull = litres(0); }},
      {"circuits low-mark", "range", "L", [](auto& s) { s.circuits[0].low_mark = litres(0); }},
      {"circuits level-hysteresis", "range", "L", [](auto& s) { s.circuits[0].level_hysteresis = litres(0); }},
      {"circuits compression", "range", "L", [](auto& s) { s.circuits[0].compression = litres(-1); }},
      {"circuits low-mark", "order", "below reservoir", [](auto& s) { s.circuits[0].low_mark = s.circuits[0].reservoir; }},
      {"circuits reservoir", "order", "below overfull", [](auto& s) { s.circuits[0].overfull = s.circuits[0].reservoir; }},
      {"circuits compression", "order", "below reservoir", [](auto& s) { s.circuits[0].compression = litres(25); }},
      {"circuits fluid", "value", "possible are", [](auto& s) { s.circuits[0].fluid = static_cast<hydraulic_fluid>(9); }},
      {"circuits bulk-modulus", "range", "psi", [](auto& s) { s.circuits[0].bulk_modulus = psi(1); }},
      {"circuits leakage", "range", "L/min", [](auto& s) { s.circuits[0].leakage = litres_per_minute(-1); }},
      {"circuits leakage", "range", "L/min", [](auto& s) { s.circuits[0].leakage = litres_per_minute(501); }},
      {"circuits relief-opens", "range", "1.001", [](auto& s) { s.circuits[0].relief_opens = 1; }},
      {"circuits relief-closes", "range", "1.001", [](auto& s) { s.circuits[0].relief_closes = 1; }},
      {"circuits relief-closes", "hysteresis", "relief-opens", [](auto& s) { s.circuits[0].relief_closes = s.circuits[0].relief_opens; }},
      {"circuits hot-mark", "range", "degC", [](auto& s) { s.circuits[0].hot_mark = celsius(10); }},
      {"circuits hot-mark", "range", "degC", [](auto& s) { s.circuits[0].hot_mark = celsius(400); }},
      {"circuits cooling", "range", "-1", [](auto& s) { s.circuits[0].cooling = -1; }},
      {"circuits service-hold-off", "range", "0 and at most", [](auto& s) { s.circuits[0].service_hold_off = milliseconds{-1}; }},
      {"circuits low-confirmation", "range", "0 and at most", [](auto& s) { s.circuits[0].low_confirmation = milliseconds{-1}; }},
      {"circuits level-hysteresis", "hysteresis", "a full reservoir stays low",
       [](auto& s) { s.circuits[0].low_mark = litres(19.5); }},
      {"circuits level-hysteresis", "hysteresis", "nearer than twice", [](auto& s) {
         s.circuits[0].low_mark = litres(19.0);
         s.circuits[0].level_hysteresis = litres(0.6);
         s.circuits[0].overfull = litres(20.1);
       }},
  });
}

TEST(LayoutRefusals, BusesAndPumps) {
  expect_refusals({
      {"buses sources", "empty", "no source", [](auto& s) { s.buses[0].sources.clear(); }},
      {"buses sources", "reference", "no power source", [](auto& s) { s.buses[0].sources[0] = "engine-9"; }},
      {"buses sources", "twice", "named twice", [](auto& s) { s.buses[0].sources.push_back("external"); }},
      {"engine-pumps engine", "reference", "no engine", [](auto& s) { s.engine_pumps[0].engine = "engine-9"; }},
      {"engine-pumps engine", "reference", "names no engine", [](auto& s) { s.engine_pumps[0].engine = ""; }},
      {"engine-pumps circuit", "reference", "is not a circuit", [](auto& s) { s.engine_pumps[0].circuit = "engine-1"; }},
      {"engine-pumps control-bus", "reference", "no bus", [](auto& s) { s.engine_pumps[0].control_bus = "bus-9"; }},
      {"engine-pumps control-bus", "reference", "the layout has none", [](auto& s) { s.buses.clear(); }},
      {"engine-pumps low-confirmation", "range", "at most", [](auto& s) { s.engine_pumps[0].low_confirmation = milliseconds{-1}; }},
      {"engine-pumps dry-damage", "range", "at most", [](auto& s) { s.engine_pumps[0].dry_damage = milliseconds{-1}; }},
      {"engine-pumps flow", "range", "L/min", [](auto& s) { s.engine_pumps[0].flow = litres_per_minute(0); }},
      {"engine-pumps loads-without-control", "option", "control-bus", [](auto& s) {
         s.engine_pumps[0].loads_without_control = true;
         s.engine_pumps[0].control_bus = "";
       }},
      {"electric-pumps circuit", "reference", "no circuit", [](auto& s) { s.electric_pumps[0].circuit = "keel"; }},
      {"electric-pumps bus", "reference", "no bus", [](auto& s) { s.electric_pumps[0].bus = "bus-9"; }},
      {"electric-pumps duty", "value", "possible are", [](auto& s) { s.electric_pumps[0].duty = static_cast<pump_duty>(9); }},
      {"electric-pumps shed-on", "reference", "no power source", [](auto& s) { s.electric_pumps[0].shed_on = {"engine-9"}; }},
      {"electric-pumps shed-on", "twice", "named twice", [](auto& s) { s.electric_pumps[0].shed_on = {"external", "external"}; }},
      {"electric-pumps shed-on", "reference", "never feeds its bus", [](auto& s) {
         s.buses[0].sources = {"engine-1"};
         s.electric_pumps[0].shed_on = {"external"};
       }},
      {"electric-pumps touchdown-delay", "range", "at most", [](auto& s) { s.electric_pumps[0].touchdown_delay = milliseconds{-1}; }},
      {"electric-pumps starts-allowed", "range", "16", [](auto& s) { s.electric_pumps[0].starts_allowed = 16; }},
      {"electric-pumps start-period", "range", "more than 0", [](auto& s) { s.electric_pumps[0].start_period = milliseconds{0}; }},
      {"electric-pumps cooling", "range", "more than 0", [](auto& s) { s.electric_pumps[0].cooling = milliseconds{0}; }},
      {"electric-pumps flow", "range", "L/min", [](auto& s) { s.electric_pumps[0].flow = litres_per_minute(0); }},
      {"electric-pumps run-up", "range", "at most", [](auto& s) { s.electric_pumps[0].run_up = milliseconds{-1}; }},
      {"electric-pumps starts-allowed", "option", "duty cargo", [](auto& s) { s.electric_pumps[plain_pump].starts_allowed = 1; }},
      {"electric-pumps duty", "duty-twice", "it may have one", [](auto& s) {
         s.electric_pumps[plain_pump].circuit = "port";
         s.electric_pumps[plain_pump].duty = pump_duty::cargo;
       }},
      {"ram-air-pumps circuit", "reference", "no circuit", [](auto& s) { s.ram_air_pumps[0].circuit = "keel"; }},
      {"ram-air-pumps flow", "range", "L/min", [](auto& s) { s.ram_air_pumps[0].flow = litres_per_minute(0); }},
  });
}

TEST(LayoutRefusals, TransferUnitsDoorsAndStores) {
  expect_refusals({
      {"transfer-units a", "reference", "no circuit", [](auto& s) { s.transfer_units[0].a = "keel"; }},
      {"transfer-units b", "reference", "no circuit", [](auto& s) { s.transfer_units[0].b = "keel"; }},
      {"transfer-units b", "same-circuit", "links two circuits", [](auto& s) { s.transfer_units[0].b = s.transfer_units[0].a; }},
      {"transfer-units direction", "value", "possible are", [](auto& s) { s.transfer_units[0].direction = static_cast<unit_direction>(9); }},
      {"transfer-units scope", "value", "possible are", [](auto& s) { s.transfer_units[0].scope = static_cast<inhibit_scope>(9); }},
      {"transfer-units activation", "range", "psi", [](auto& s) { s.transfer_units[0].activation = psi(0); }},
      {"transfer-units release", "range", "psi", [](auto& s) { s.transfer_units[0].release = psi(0); }},
      {"transfer-units release", "hysteresis", "below activation", [](auto& s) { s.transfer_units[0].release = s.transfer_units[0].activation; }},
      {"transfer-units activation", "order", "below nominal", [](auto& s) { s.transfer_units[0].activation = s.nominal; }},
      {"transfer-units test-limit", "range", "more than 0", [](auto& s) { s.transfer_units[0].test_limit = milliseconds{0}; }},
      {"transfer-units test-confirmation", "range", "at most", [](auto& s) { s.transfer_units[0].test_confirmation = milliseconds{-1}; }},
      {"transfer-units ratio", "range", "0.1", [](auto& s) { s.transfer_units[0].ratio = 0; }},
      {"transfer-units efficiency", "range", "0.01", [](auto& s) { s.transfer_units[0].efficiency = 0; }},
      {"transfer-units breakout", "range", "0.5", [](auto& s) { s.transfer_units[0].breakout = 1; }},
      {"transfer-units flow", "range", "L/min", [](auto& s) { s.transfer_units[0].flow = litres_per_minute(0); }},
      {"cargo-doors circuit", "reference", "no circuit", [](auto& s) { s.cargo_doors[0].circuit = "keel"; }},
      {"cargo-doors travel", "range", "more than 0", [](auto& s) { s.cargo_doors[0].travel = milliseconds{0}; }},
      {"cargo-doors run-limit", "range", "more than 0", [](auto& s) { s.cargo_doors[0].run_limit = milliseconds{0}; }},
      {"cargo-doors displacement", "range", "L", [](auto& s) { s.cargo_doors[0].displacement = litres(-1); }},
      {"cargo-doors area-ratio", "range", "0.99", [](auto& s) { s.cargo_doors[0].area_ratio = 1; }},
      {"cargo-doors load", "range", "0.9", [](auto& s) { s.cargo_doors[0].load = 1; }},
      {"cargo-doors circuit", "duty-missing", "duty cargo", [](auto& s) { s.cargo_doors[0].circuit = "centre"; }},
      {"stores circuit", "reference", "no circuit", [](auto& s) { s.stores[0].circuit = "keel"; }},
      {"stores gas", "range", "L", [](auto& s) { s.stores[0].gas = litres(0); }},
      {"stores precharge", "range", "psi", [](auto& s) { s.stores[0].precharge = psi(0); }},
      {"stores least", "range", "psi", [](auto& s) { s.stores[0].least = psi(0); }},
      {"stores application", "range", "L", [](auto& s) { s.stores[0].application = litres(0); }},
      {"stores precharge", "order", "below least", [](auto& s) { s.stores[0].precharge = s.stores[0].least; }},
      {"stores least", "order", "below nominal", [](auto& s) { s.stores[0].least = s.nominal; }},
      {"stores gas-law", "value", "possible are", [](auto& s) { s.stores[0].law = static_cast<gas_law>(9); }},
      {"stores heat-time", "range", "at most", [](auto& s) { s.stores[0].heat_time = milliseconds{-1}; }},
      {"stores charging", "range", "L/min", [](auto& s) { s.stores[0].charging = litres_per_minute(0); }},
      {"stores application", "store-small", "one application", [](auto& s) { s.stores[0].application = litres(10); }},
  });
}

TEST(LayoutRefusals, ConsumersAndInhibits) {
  expect_refusals({
      {"consumers kind", "value", "possible are", [](auto& s) { s.consumers[0].kind = static_cast<consumer_kind>(99); }},
      {"consumers feeds", "empty", "no feed", [](auto& s) { s.consumers[0].feeds.clear(); }},
      {"consumers feeds", "limit", "the limit is 4", [](auto& s) { s.consumers[0].feeds.resize(limits::feeds + 1); }},
      {"consumers feeds", "reference", "no circuit", [](auto& s) { s.consumers[0].feeds[0].circuit = "keel"; }},
      {"consumers feeds", "value", "branch", [](auto& s) { s.consumers[0].feeds[0].branch = static_cast<branch>(9); }},
      {"consumers feeds", "twice", "feeds it twice", [](auto& s) { s.consumers[0].feeds[1].circuit = "port"; }},
      {"consumers displacement", "range", "L", [](auto& s) { s.consumers[gear].displacement = litres(-1); }},
      {"consumers travel", "range", "more than 0", [](auto& s) { s.consumers[gear].travel = milliseconds{0}; }},
      {"consumers area-ratio", "range", "0.99", [](auto& s) { s.consumers[gear].area_ratio = 1; }},
      {"consumers load", "range", "0.9", [](auto& s) { s.consumers[gear].load = 1; }},
      {"consumers demand", "range", "L/min", [](auto& s) { s.consumers[gear].demand = litres_per_minute(-1); }},
      {"consumers displacement", "option", "kind gear", [](auto& s) { s.consumers[controls].displacement = litres(1); }},
      {"consumers kind", "kind-twice", "one steering link", [](auto& s) { s.consumers[controls].kind = consumer_kind::steering; }},
      {"consumers door", "option", "kind cargo-door", [](auto& s) { s.consumers[controls].door = "forward"; }},
      {"consumers door", "reference", "no cargo door", [](auto& s) { s.consumers[forward_door_drive].door = "side"; }},
      {"consumers door", "twice", "already", [](auto& s) { s.consumers[aft_door_drive].door = "forward"; }},
      {"consumers feeds", "reference", "the circuit of its door", [](auto& s) { s.consumers[aft_door_drive].feeds = {{"centre", branch::service}}; }},
      {"consumers feeds", "branch", "service branch", [](auto& s) { s.consumers[aft_door_drive].feeds = {{"port", branch::main}}; }},
      {"consumers store", "option", "kind parking-brake", [](auto& s) { s.consumers[controls].store = "brake-store"; }},
      {"consumers store", "reference", "no store", [](auto& s) { s.consumers[parking_brake].store = "tank"; }},
      {"consumers feeds", "reference", "charges its store", [](auto& s) { s.consumers[parking_brake].feeds = {{"centre", branch::main}}; }},
      {"stores ", "unused", "names it", [](auto& s) { s.consumers.erase(s.consumers.begin() + parking_brake); }},
      {"inhibits condition", "value", "possible are", [](auto& s) { s.inhibits[0].condition = static_cast<condition>(99); }},
      {"inhibits condition", "twice", "twice", [](auto& s) { s.inhibits.push_back(s.inhibits[0]); }},
      {"inhibits condition", "empty", "names no phase", [](auto& s) { s.inhibits[0].in_take_off = false; }},
  });
}

TEST(LayoutRefusals, AnInhibitMayNameEitherPhaseOrBoth) {
  layout_spec s = whole_spec();
  s.inhibits = {{.condition = condition::quantity, .in_take_off = true, .in_landing = false},
                {.condition = condition::fluid_hot, .in_take_off = false, .in_landing = true},
                {.condition = condition::reservoir_air, .in_take_off = true, .in_landing = true}};
  const auto made = layout::from(s);
  ASSERT_TRUE(made);
  const auto place = [](condition which) { return penstock::detail::mask{1} << static_cast<unsigned>(which); };
  EXPECT_EQ(made->plan().inhibited_in_take_off, place(condition::quantity) | place(condition::reservoir_air));
  EXPECT_EQ(made->plan().inhibited_in_landing, place(condition::fluid_hot) | place(condition::reservoir_air));
}

TEST(LayoutRefusals, TheFluidOfACircuitGivesItsExpansionAndWarmth) {
  layout_spec s = whole_spec();
  s.circuits[0].fluid = hydraulic_fluid::phosphate_ester;
  s.circuits[1].fluid = hydraulic_fluid::synthetic_hydrocarbon;
  const auto made = layout::from(s);
  ASSERT_TRUE(made);
  // For each degF 0.00047 and 0.00046 [an engineering table of fluids]; 1.8 degF are 1 K.
  EXPECT_DOUBLE_EQ(made->fluid().circuits[0].expansion, 0.00047 * 1.8);
  EXPECT_DOUBLE_EQ(made->fluid().circuits[1].expansion, 0.00046 * 1.8);
  EXPECT_GT(made->fluid().circuits[1].heat_capacity / made->fluid().circuits[1].fluid,
            made->fluid().circuits[0].heat_capacity / made->fluid().circuits[0].fluid)
      << "the lighter one holds more warmth (from memory)";
}

TEST(LayoutNames, OnlyOneAircraftAndOneSteeringLinkHaveAName) {
  const bench b = twin();
  EXPECT_EQ(b.aircraft().name({component::aircraft, 0}), "aircraft");
  EXPECT_EQ(b.aircraft().name({component::aircraft, 1}), "?");
  EXPECT_EQ(b.aircraft().name({component::steering, 0}), "steering");
  EXPECT_EQ(b.aircraft().name({component::steering, 1}), "?");
  EXPECT_EQ(b.aircraft().name(events::engine(0)), "engine-1");
  EXPECT_EQ(b.aircraft().name(events::engine(2)), "?");
  EXPECT_EQ(b.aircraft().count(component::aircraft), 1U);
  EXPECT_EQ(b.aircraft().count(component::steering), 1U);
  EXPECT_EQ(b.aircraft().count(component::circuit), 3U);
  EXPECT_EQ(b.aircraft().find("centre"), events::circuit(2));
  EXPECT_EQ(b.aircraft().find("steering"), events::steering_link);
  EXPECT_EQ(b.aircraft().find("keel"), std::nullopt);
}

}  // namespace
}  // namespace penstock_tests
