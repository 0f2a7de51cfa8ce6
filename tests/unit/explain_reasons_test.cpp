// Every reason that an explanation can give, told once: for each sort of component and each condition.
#include <initializer_list>
#include <string>
#include <string_view>

#include "support/bench.hpp"
#include "support/rule_test.hpp"

namespace penstock_tests {
namespace {

std::string why(const bench& b, subject about) { return in_words(explain(b.aircraft(), b.now(), about)); }
std::string why(const bench& b, condition alert, subject about) {
  return in_words(explain(b.aircraft(), b.now(), alert, about));
}

void expect_said(const std::string& text, std::initializer_list<std::string_view> words) {
  for (const auto one : words) EXPECT_NE(text.find(one), std::string::npos) << '"' << one << "\" is missing in:\n" << text;
}
void expect_unsaid(const std::string& text, std::initializer_list<std::string_view> words) {
  for (const auto one : words) EXPECT_EQ(text.find(one), std::string::npos) << '"' << one << "\" stands in:\n" << text;
}

/// The twin in flight, both engines running.
bench flying_twin() {
  bench b = twin();
  fly(b);
  return b;
}
/// The twin with a unit that stops for everything it may stop for.
bench twin_with_careful_unit() {
  layout_spec spec = two_engine_spec();
  spec.transfer_units[0].stops_on_low_air = true;
  spec.transfer_units[0].stops_on_hot_fluid = true;
  spec.transfer_units[0].stops_on_overspeed = true;
  bench b{spec};
  b.does(events::external_power(true));
  return b;
}

// --- aircraft, engines, power ----------------------------------------------------------------------

TEST(ExplainReasons, TheAircraft) {
  bench b = twin();
  const auto cold = why(b, events::aircraft);
  expect_said(cold, {"the aircraft is on the ground", "external power is off", "auxiliary power is off", "no engine runs",
                     "circuit port is off", "circuit centre is off", "also: "});
  b.does(events::external_power(true), events::auxiliary_power(true));
  full_start(b, 0);
  take_off(b);
  const auto flies = why(b, events::aircraft);
  expect_said(flies, {"the aircraft is in flight", "external power is on", "auxiliary power is on", "engine engine-1 is running"});
  expect_unsaid(flies, {"no engine runs", "engine engine-2", "GEN-6"});
  b.does(events::air_ground_invalid());
  expect_said(why(b, events::aircraft), {"[GEN-6]"});
}

TEST(ExplainReasons, AnEngineAndItsSupplyValve) {
  bench b = powered_twin();
  expect_said(why(b, events::engine(0)), {"it has not been started", "its start has not been selected", "its spool is at"});
  expect_unsaid(why(b, events::engine(0)), {"supply valve"});
  auto to = reposition_of_cold_and_dark(b.aircraft());
  to.engine_runs[0] = true;
  expect_said(why(bench{two_engine_spec()}.begins_at(to), events::engine(0)),
              {"it was so from the beginning", "its start counts as selected"});
  b.does(events::fire_handle(0, true));
  expect_said(why(b, events::engine(0)), {"the supply valve of engine-1 is closed: "});
  bench stuck = powered_twin();
  full_start(stuck, 0);
  stuck.does(events::inject(fault::supply_valve_stuck_open, events::engine(0)), events::fire_handle(0, true));
  EXPECT_TRUE(stuck.sees().engine_pumps[0].delivering) << "the valve does not move";
  stuck.does(events::clear_faults(), events::inject(fault::supply_valve_stuck_closed, events::engine(0)));
  expect_said(why(stuck, events::engine_pump(0)), {"the supply valve of engine-1 is closed: ", "supply-valve-stuck-closed"});
}

TEST(ExplainReasons, WhatFeedsABusOrWhyNothingDoes) {
  bench b = twin();
  expect_said(why(b, events::bus(0)), {"bus bus-1 is dead: none of its sources is alive"});
  b.does(events::external_power(true));
  expect_said(why(b, events::bus(0)), {"fed by external power"});
  b.does(events::auxiliary_power(true));
  expect_said(why(b, events::bus(0)), {"fed by auxiliary power"});
  full_start(b, 1);
  expect_said(why(b, events::bus(0)), {"fed by the generator of engine-2"});
  b.does(events::inject(fault::bus_lost, events::bus(0)));
  expect_said(why(b, events::bus(0)), {"its power is lost", "the fault bus-lost is injected in bus-1"});
  expect_said(why(b, events::bus(1)), {"fed by the generator of engine-2"});
  b.does(events::clear_faults(), events::inject(fault::all_power_lost, events::aircraft));
  expect_said(why(b, events::bus(0)), {"its power is lost", "the fault all-power-lost is injected"});
}

// --- pumps -----------------------------------------------------------------------------------------

TEST(ExplainReasons, AnEnginePump) {
  const auto pump = events::engine_pump(0);
  bench b = powered_twin();
  expect_said(why(b, pump), {"engine pump engine-pump-1 does not deliver: ", "engine engine-1 is stopped"});
  full_start(b, 0);
  expect_said(why(b, pump), {"engine pump engine-pump-1 delivers: "});
  expect_unsaid(why(b, pump), {"pump-weak", "EDP-6"});
  b.does(events::level(0, fluid_level::empty));
  expect_said(why(b, pump), {"the fluid level of port is empty"});
  b.does(events::level(0, fluid_level::normal), events::overheat(pump, true));
  expect_said(why(b, pump), {"engine-pump-1 is overheated"});
  b.does(events::overheat(pump, false), events::inject(fault::shaft_sheared, pump));
  expect_said(why(b, pump), {"the fault shaft-sheared is injected in engine-pump-1"});
  bench off = powered_twin();
  off.does(events::crew_switch(pump, pump_switch::off));
  expect_said(why(off, pump), {"the switch of engine-pump-1 is off", "EDP-2"});
}

RULE_TEST(ExplainReasons, APumpThatItsDeadControlBusLoads, "EDP-6") {
  bench b{small_twin_spec()};
  b.does(events::external_power(true));
  full_start(b, 1);
  b.does(events::crew_switch(events::engine_pump(1), pump_switch::off));
  b.does(events::inject(fault::bus_lost, events::bus(0)));
  expect_said(why(b, events::engine_pump(1)), {"delivers: ", "its control bus is dead, which loads it [EDP-6]"});
}

TEST(ExplainReasons, AnElectricPumpThatDoesNotDeliver) {
  const auto pump = events::electric_pump(cargo_pump);
  bench b = powered_twin();
  b.does(events::lever(forward_door, lever_position::open));
  expect_said(why(b, pump), {"electric pump cargo-pump delivers: ", "bus bus-1 is fed by external power", "cargo door forward (asking)"});
  expect_unsaid(why(b, pump), {"cargo door aft"});
  b.does(events::level(0, fluid_level::empty));
  expect_said(why(b, pump), {"the fluid level of port is empty"});
  b.does(events::level(0, fluid_level::normal), events::overheat(pump, true));
  expect_said(why(b, pump), {"cargo-pump is overheated"});
  b.does(events::overheat(pump, false), events::inject(fault::pump_failed, pump));
  expect_said(why(b, pump), {"the fault pump-failed is injected in cargo-pump"});
  b.does(events::clear_faults(), events::shed(cargo_pump, true));
  expect_said(why(b, pump), {"its bus has dropped cargo-pump", "bus bus-1 is fed by external power"});
  b.does(events::shed(cargo_pump, false), events::external_power(false));
  expect_said(why(b, pump), {"bus bus-1 is dead"});
  expect_unsaid(why(b, pump), {"dropped"});
  b.does(events::crew_switch(pump, pump_switch::off));
  expect_said(why(b, pump), {"the switch of cargo-pump is off"});
}

TEST(ExplainReasons, WhatWantsACargoPump) {
  layout_spec spec = four_engine_spec();
  spec.electric_pumps[2].duty = pump_duty::cargo;  // a second circuit with a door of its own
  spec.cargo_doors.push_back(spec.cargo_doors[0]);
  spec.cargo_doors[2].name = "side";
  spec.cargo_doors[2].circuit = "circuit-4";
  bench b{spec};
  const auto pump = events::electric_pump(0);
  b.does(events::external_power(true), events::crew_switch(pump, pump_switch::on));
  expect_said(why(b, pump), {"the crew switch of cargo-pump is on"});
  expect_unsaid(why(b, pump), {"cargo door"});
  b.does(events::crew_switch(pump, pump_switch::automatic), events::lever(0, lever_position::open), events::lever(2, lever_position::open));
  expect_said(why(b, pump), {"cargo door forward"});
  expect_unsaid(why(b, pump), {"cargo door side", "cargo door aft"});
  b.does(events::travel(0, door_travel::between), events::travel(0, door_travel::open));
  expect_said(why(b, pump), {"cargo door forward (at-end)"});
  expect_unsaid(why(b, pump), {"cargo door aft"});
}

TEST(ExplainReasons, ACargoPumpStoppedByItsLastRowSaysSinceWhen) {
  bench b = powered_twin();
  b.wait(10s).does(events::lever(forward_door, lever_position::open)).wait(10s);
  b.does(events::lever(forward_door, lever_position::neutral));
  const auto chain = explain(b.aircraft(), b.now(), events::electric_pump(cargo_pump)).chain;
  ASSERT_GE(chain.size(), 2U);
  EXPECT_EQ(chain[1].since, std::optional<std::uint32_t>{20'000U});
  const bench never = powered_twin();
  const auto at_rest = explain(never.aircraft(), never.now(), events::electric_pump(cargo_pump)).chain;
  ASSERT_GE(at_rest.size(), 2U);
  EXPECT_EQ(at_rest[1].since, std::nullopt) << "no row has stopped it";
}

TEST(ExplainReasons, AReasonThatIsNotThatOfTheLastRowHasNoTime) {
  bench b = powered_twin();
  b.wait(1s).does(events::crew_switch(events::electric_pump(plain_pump), pump_switch::on));
  b.wait(1s).does(events::external_power(false));
  const auto by_row = explain(b.aircraft(), b.now(), events::electric_pump(plain_pump)).chain;
  EXPECT_EQ(by_row.front().since, std::optional<std::uint32_t>{2'000U}) << by_row.front().fact;
  b.wait(1s).does(events::external_power(true), events::crew_switch(events::electric_pump(plain_pump), pump_switch::off));
  b.does(events::external_power(false));
  const auto other = explain(b.aircraft(), b.now(), events::electric_pump(plain_pump)).chain;
  EXPECT_NE(other.front().since, std::optional<std::uint32_t>{2'000U});
}

TEST(ExplainReasons, WhatWantsAFirstEnginePump) {
  const auto pump = events::electric_pump(duty_pump);
  bench b = powered_twin();
  expect_said(why(b, pump), {"no engine runs, and the aircraft is on the ground"});
  full_start(b, 0);
  expect_said(why(b, pump), {"delivers: ", "engine engine-1 is running"});
  expect_unsaid(why(b, pump), {"the aircraft is"});
  take_off(b);
  full_stop(b, 0);
  expect_said(why(b, pump), {"the aircraft is in flight"});
  touch_down(b);
  expect_said(why(b, pump), {"delivers: ", "the aircraft is on the ground"});
  bench plain = powered_twin();
  expect_said(why(plain, events::electric_pump(plain_pump)), {"does not deliver"});
  plain.does(events::crew_switch(events::electric_pump(plain_pump), pump_switch::on));
  expect_said(why(plain, events::electric_pump(plain_pump)), {"electric pump plain-pump delivers: "});
}

TEST(ExplainReasons, TheRamAirPump) {
  bench b = twin();
  expect_said(why(b, events::ram_air_pump(0)), {"ram-air pump ram-air does not deliver: it is stowed"});
  expect_unsaid(why(b, events::ram_air_pump(0)), {"airspeed"});
  take_off(b).does(events::airspeed(airspeed_band::fast));
  expect_said(why(b, events::ram_air_pump(0)), {"ram-air pump ram-air delivers: ", "the airspeed is fast"});
  b.does(events::airspeed(airspeed_band::slow));
  expect_said(why(b, events::ram_air_pump(0)), {"ram-air pump ram-air does not deliver: ", "the airspeed is slow"});
}

// --- doors -----------------------------------------------------------------------------------------

TEST(ExplainReasons, ACargoDoor) {
  const auto door = events::door(forward_door);
  bench b = twin();
  expect_said(why(b, door), {"its lever has been in neutral", "the lever of forward is at neutral"});
  b.wait(1s).does(events::lever(forward_door, lever_position::open));
  expect_said(why(b, door), {"(blocked)", "bus bus-1 is dead", "the lever of forward was moved to open"});
  expect_unsaid(why(b, door), {"the switch of cargo-pump", "the aircraft is"});
  b.does(events::external_power(true), events::crew_switch(events::electric_pump(cargo_pump), pump_switch::off));
  expect_said(why(b, door), {"(blocked)", "the switch of cargo-pump is off"});
  expect_unsaid(why(b, door), {"bus bus-1"});
  b.does(events::crew_switch(events::electric_pump(cargo_pump), pump_switch::automatic));
  take_off(b);
  expect_said(why(b, door), {"(blocked)", "the aircraft is in flight"});
  touch_down(b).does(events::travel(forward_door, door_travel::open));
  expect_said(why(b, door), {"(at-end)", "forward is open"});
  b.does(events::inject(fault::lever_stuck_close, door));
  expect_said(why(b, door), {"the lever switch of forward says close, wherever the lever is", "lever-stuck-close"});
}

// --- circuits --------------------------------------------------------------------------------------

TEST(ExplainReasons, ACircuitNamesWhatFeedsIt) {
  bench b = powered_twin();
  b.does(events::lever(forward_door, lever_position::open)).pressures_follow();
  const auto service = why(b, events::circuit(cargo_circuit));
  expect_said(service, {"circuit port is partial", "service mode of port", "electric pump cargo-pump delivers"});
  expect_unsaid(service, {"engine pump engine-pump-1", "transfer unit", "fluid level"});

  bench flies = flying_twin();
  const auto fed = why(flies, events::circuit(cargo_circuit));
  expect_said(fed, {"circuit port is normal", "engine pump engine-pump-1 delivers"});
  expect_unsaid(fed, {"cargo-pump", "transfer unit", "service mode"});
  const auto centre = why(flies, events::circuit(auxiliary_circuit));
  expect_said(centre, {"electric pump duty-pump delivers"});
  expect_unsaid(centre, {"ram-air"});
  flies.does(events::level(cargo_circuit, fluid_level::low));
  expect_said(why(flies, events::circuit(cargo_circuit)), {"the fluid level of port is low"});
}

TEST(ExplainReasons, ACircuitWithoutPressureNamesEverySource) {
  bench b = twin();
  const auto cold = why(b, events::circuit(cargo_circuit));
  expect_said(cold, {"circuit port is off", "engine pump engine-pump-1 does not deliver", "electric pump cargo-pump does not deliver", "transfer unit transfer is"});
  expect_unsaid(why(b, events::circuit(auxiliary_circuit)), {"ram-air"});
  take_off(b);
  expect_said(why(b, events::circuit(auxiliary_circuit)), {"ram-air pump ram-air does not deliver"});
  b.does(events::airspeed(airspeed_band::fast));
  expect_said(why(b, events::circuit(auxiliary_circuit)), {"ram-air pump ram-air delivers"});
}

TEST(ExplainReasons, ADrivenCircuitNamesTheUnitAndItsSource) {
  bench b = flying_twin();
  b.does(events::crew_switch(events::engine_pump(0), pump_switch::off)).pressures_follow();
  const auto port = why(b, events::circuit(cargo_circuit));
  expect_said(port, {"transfer unit transfer drives port from starboard", "engine pump engine-pump-2 delivers"});
  expect_unsaid(port, {"engine-pump-1"});
  b.does(events::crew_switch(events::engine_pump(0), pump_switch::on)).pressures_follow();
  b.does(events::crew_switch(events::engine_pump(1), pump_switch::off)).pressures_follow();
  const auto starboard = why(b, events::circuit(plain_circuit));
  expect_said(starboard, {"transfer unit transfer drives starboard from port", "engine pump engine-pump-1 delivers"});
  expect_unsaid(starboard, {"engine-pump-2"});
  expect_unsaid(why(b, events::circuit(cargo_circuit)), {"transfer unit"});
}

// --- transfer units --------------------------------------------------------------------------------

TEST(ExplainReasons, AUnitThatDrives) {
  bench b = flying_twin();
  b.does(events::crew_switch(events::engine_pump(0), pump_switch::off)).pressures_follow();
  expect_said(why(b, events::unit(0)), {"drives port from starboard", "own pressures differ by more than the activation difference",
                                        "own pressures of its circuits: b-exceeds", "engine pump engine-pump-2 delivers"});
  expect_unsaid(why(b, events::unit(0)), {"plain-pump"});
  b.does(events::difference(0, pressure_difference::b_higher));
  ASSERT_EQ(b.sees().units[0].mode, unit_mode::b_drives_a) << "held by hysteresis";
  expect_said(why(b, events::unit(0)), {"drives port from starboard", "own pressures of its circuits: b-higher"});
  b.does(events::inject(fault::unit_weak, events::unit(0)));
  expect_said(why(b, events::unit(0)), {"is to drive port from starboard", "unit-weak"});
  b.does(events::clear_faults(), events::inject(fault::unit_seized, events::unit(0)));
  expect_said(why(b, events::unit(0)), {"is to drive port from starboard", "unit-seized"});
}

TEST(ExplainReasons, AUnitThatIsDrivenByAnElectricPump) {
  bench b = powered_twin();
  b.does(events::parking_brake(false), events::crew_switch(events::electric_pump(plain_pump), pump_switch::on)).pressures_follow();
  ASSERT_EQ(b.sees().units[0].mode, unit_mode::b_drives_a);
  expect_said(why(b, events::unit(0)), {"electric pump plain-pump delivers"});
  expect_unsaid(why(b, events::unit(0)), {"engine pump engine-pump-2", "transfer test"});
}

TEST(ExplainReasons, AUnitUnderTestAndWhatBecameOfIt) {
  bench b = powered_twin();
  full_start(b, 0);
  expect_unsaid(why(b, events::unit(0)), {"transfer test of"});
  b.does(events::start(1));
  ASSERT_EQ(b.sees().units[0].mode, unit_mode::a_drives_b);
  expect_said(why(b, events::unit(0)), {"drives starboard from port: its test is on", "transfer test of transfer (pending)", "engine engine-2 is cranking"});
  expect_unsaid(why(b, events::unit(0)), {"own pressures of its circuits"});
  b.does(events::abort_start(1));
  expect_said(why(b, events::unit(0)), {"(interrupted)", "the start it belongs to was given up"});
  bench not_run = powered_twin();
  not_run.does(events::crew_switch(events::electric_pump(plain_pump), pump_switch::on)).pressures_follow();
  full_start(not_run, 0);
  not_run.does(events::start(1));
  expect_said(why(not_run, events::unit(0)), {"(not-run)", "both circuits have own pressure already"});
  expect_unsaid(why(not_run, events::unit(0)), {"engine engine-2 is cranking"});
}

TEST(ExplainReasons, WhatInhibitsAUnit) {
  bench b = twin_with_careful_unit();
  expect_unsaid(why(b, events::unit(0)), {"its switch is off"});
  b.does(events::crew_switch(events::unit(0), pump_switch::off));
  expect_said(why(b, events::unit(0)), {"the switch of transfer is off"});
  b.does(events::crew_switch(events::unit(0), pump_switch::on), events::overspeed(0, true));
  expect_said(why(b, events::unit(0)), {"transfer overspeeds"});
  b.does(events::overspeed(0, false), events::level(0, fluid_level::low));
  expect_said(why(b, events::unit(0)), {"the fluid level of port is low"});
  expect_unsaid(why(b, events::unit(0)), {"starboard is"});
  b.does(events::level(0, fluid_level::normal), events::level(1, fluid_level::empty));
  expect_said(why(b, events::unit(0)), {"the fluid level of starboard is empty"});
  b.does(events::level(1, fluid_level::normal), events::air(0, true));
  expect_said(why(b, events::unit(0)), {"the reservoir air pressure of port is low"});
  expect_unsaid(why(b, events::unit(0)), {"of starboard"});
  b.does(events::air(0, false), events::fluid(1, true));
  expect_said(why(b, events::unit(0)), {"the fluid of starboard is hot"});
  expect_unsaid(why(b, events::unit(0)), {"the fluid of port"});
  b.does(events::fluid(1, false), events::lever(forward_door, lever_position::open));
  expect_said(why(b, events::unit(0)), {"service mode of port"});
}

TEST(ExplainReasons, ASingleEngineInhibitsAParkedOrTowedUnit) {
  bench b = powered_twin();
  b.does(events::start(1));
  expect_said(why(b, events::unit(0)), {"exactly one of its engines selected", "engine-2: ", "the parking brake is set"});
  expect_unsaid(why(b, events::unit(0)), {"engine-1: ", "steering"});
  b.does(events::steering(false), events::parking_brake(false));
  expect_said(why(b, events::unit(0)), {"steering disconnected"});
  expect_unsaid(why(b, events::unit(0)), {"the parking brake is set"});
  layout_spec spec = two_engine_spec();
  spec.transfer_units[0].scope = inhibit_scope::ground;
  bench ground{spec};
  ground.does(events::external_power(true), events::start(0));
  expect_said(why(ground, events::unit(0)), {"exactly one of its engines selected"});
  expect_unsaid(why(ground, events::unit(0)), {"the parking brake is set"});
  bench four{four_engine_spec()};
  four.does(events::external_power(true), events::start(0), events::start(2));
  expect_unsaid(why(four, events::unit(0)), {"engine-3: "});
}

// --- consumers and stores --------------------------------------------------------------------------

TEST(ExplainReasons, AConsumerThatIsAvailable) {
  bench b = twin();
  expect_said(why(b, events::consumer(parking_brake)), {"park-brake is available: ", "store brake-store has"});
  full_start(b.does(events::external_power(true)), 0);
  expect_said(why(b, events::consumer(controls)), {"controls is available: ", "circuit port is normal"});
  bench small{small_twin_spec()};
  small.does(events::hand_pump(0, true));
  expect_said(why(small, events::consumer(2)), {"door-drive is available: ", "the hand pump of left is worked"});
}

TEST(ExplainReasons, AConsumerThatIsNotAvailable) {
  bench b = powered_twin();
  expect_said(why(b, events::consumer(controls)), {"controls is not available: ", "circuit port is off", "circuit starboard is off"});
  b.does(events::steering(false));
  expect_said(why(b, events::consumer(steering)), {"nose-steering is not available: ", "steering disconnected"});
  b.does(events::steering(true), events::stored(0, 0));
  expect_said(why(b, events::consumer(parking_brake)), {"store brake-store has 0 applications left", "circuit port is off"});
  b.does(events::lever(forward_door, lever_position::open)).pressures_follow();
  expect_said(why(b, events::consumer(gear)), {"gear is not available: ", "service branch only", "circuit port is partial"});
  take_off(b);
  expect_said(why(b, events::consumer(reverser_1)), {"reverser-1 is not available: ", "the aircraft is in flight"});
  bench flies = flying_twin();
  flies.does(events::priority(cargo_circuit, false));
  expect_said(why(flies, events::consumer(gear)), {"gear is not available: ", "priority pressure", "circuit port is normal"});
  bench small{small_twin_spec()};
  small.does(events::external_power(true));
  full_start(small, 1);
  small.does(events::leak_isolation(1, true));
  expect_said(why(small, events::consumer(3)), {"outer-brakes is not available: ", "leak isolation", "circuit right is normal"});
}

TEST(ExplainReasons, AStoreAndTheSteering) {
  bench b = twin();
  expect_said(why(b, events::store(0)), {"store brake-store has "});
  b.does(events::inject(fault::store_gas_lost, events::store(0)));
  expect_said(why(b, events::store(0)), {"store brake-store has 0 applications left", "store-gas-lost"});
  expect_said(why(b, events::steering_link), {"steering connected: it was so from the beginning"});
  b.does(events::steering(false));
  expect_said(why(b, events::steering_link), {"steering disconnected: "});
}

// --- alerts ----------------------------------------------------------------------------------------

TEST(ExplainReasons, AnAlertThatDoesNotStand) {
  bench b = powered_twin();
  const auto said = [&](condition which, subject where) { return why(b, which, where); };
  expect_said(said(condition::circuit_low, events::circuit(0)), {"the alert circuit-low on port does not stand", "circuit port is off"});
  expect_said(said(condition::engine_pump, events::engine_pump(0)), {"on engine-pump-1 does not stand", "engine pump engine-pump-1"});
  expect_said(said(condition::electric_pump, events::electric_pump(0)), {"on cargo-pump does not stand", "electric pump cargo-pump"});
  expect_said(said(condition::ram_air, events::ram_air_pump(0)), {"on ram-air does not stand", "ram-air pump ram-air"});
  expect_said(said(condition::transfer_test, events::unit(0)), {"on transfer does not stand", "transfer unit transfer"});
  expect_said(said(condition::run_limit, events::door(0)), {"on forward does not stand", "cargo door forward"});
  expect_said(said(condition::steering, events::steering_link), {"the alert steering does not stand", "steering connected"});
  const auto about_aircraft = explain(b.aircraft(), b.now(), condition::air_ground_input, events::aircraft).chain;
  ASSERT_EQ(about_aircraft.size(), 1U);
  EXPECT_EQ(about_aircraft[0].fact, "the alert air-ground-input does not stand");
}

TEST(ExplainReasons, AnAlertThatIsNotThereHasNoExplanation) {
  const bench b = twin();
  EXPECT_TRUE(explain(b.aircraft(), b.now(), static_cast<condition>(99), {}).chain.empty());
  EXPECT_TRUE(explain(b.aircraft(), b.now(), condition::quantity, events::circuit(3)).chain.empty());
  EXPECT_EQ(in_words({}), "nothing is known of that component\n");
}

TEST(ExplainReasons, AlertsOfPumpsAndCircuits) {
  bench b = flying_twin();
  b.does(events::inject(fault::pump_failed, events::engine_pump(0)), events::inject(fault::pump_failed, events::electric_pump(duty_pump)));
  b.does(events::crew_switch(events::unit(0), pump_switch::off)).pressures_follow().wait(10s);
  expect_said(why(b, condition::engine_pump, events::engine_pump(0)), {"caution on engine-pump-1", "the alert stands", "pump-failed"});
  expect_said(why(b, condition::electric_pump, events::electric_pump(duty_pump)), {"caution on duty-pump", "pump-failed"});
  expect_said(why(b, condition::circuit_low, events::circuit(0)), {"caution on port: circuit pressure low", "circuit port is low"});
  const auto several = why(b, condition::circuits_low, events::aircraft);
  expect_said(several, {"warning: several circuits low in flight", "circuit port is low", "circuit centre is low"});
  expect_unsaid(several, {"circuit starboard is"});
  b.does(events::airspeed(airspeed_band::fast), events::inject(fault::all_power_lost, events::aircraft));
  full_stop(b, 0), full_stop(b, 1);
  expect_said(why(b, condition::ram_air, events::ram_air_pump(0)), {"advisory on ram-air", "the airspeed is fast"});
}

TEST(ExplainReasons, AlertsOfReservoirs) {
  bench b{small_twin_spec()};
  b.does(events::inject(fault::consumer_leak, events::consumer(3), 1'000'000), events::level(1, fluid_level::low));
  const auto quantity = why(b, condition::quantity, events::circuit(1));
  expect_said(quantity, {"caution on right: fluid level low", "the fault consumer-leak is injected in outer-brakes"});
  b.does(events::level(0, fluid_level::low));
  expect_unsaid(why(b, condition::quantity, events::circuit(0)), {"consumer-leak"});
  b.does(events::air(1, true), events::fluid(1, true), events::leak_isolation(1, true));
  expect_said(why(b, condition::reservoir_air, events::circuit(1)), {"the reservoir air pressure of right is low"});
  expect_said(why(b, condition::fluid_hot, events::circuit(1)), {"the fluid of right is hot"});
  expect_said(why(b, condition::leak_isolation, events::circuit(1)), {"leak isolation of right was shut"});
}

TEST(ExplainReasons, AlertsOfDoors) {
  bench b = powered_twin();
  b.does(events::lever(forward_door, lever_position::open), events::travel(forward_door, door_travel::between));
  b.does(events::start(0));
  expect_said(why(b, condition::lever_out, events::door(0)), {"advisory on forward", "the lever of forward"});
  for (const auto band : {spool_band::turning, spool_band::driving, spool_band::idle}) b.does(events::spool(0, band));
  expect_said(why(b, condition::door_not_closed, events::door(0)), {"caution on forward", "cargo door forward is between", "engine engine-1 is at-idle"});
  bench at_end = powered_twin();
  at_end.does(events::lever(forward_door, lever_position::open), events::travel(forward_door, door_travel::open)).wait(91s);
  expect_said(why(at_end, condition::run_limit, events::door(0)), {"advisory on forward", "cargo door forward (timed-out)"});
}

TEST(ExplainReasons, AlertsOfTransferUnits) {
  bench b = twin_with_careful_unit();
  full_start(b, 0);
  b.does(events::start(1));
  expect_said(why(b, condition::transfer_test, events::unit(0)), {"advisory on transfer: transfer test in progress", "(pending)"});
  b.wait(10s);
  expect_said(why(b, condition::transfer_failed, events::unit(0)), {"caution on transfer: transfer test failed", "(failed)"});
  b.does(events::overspeed(0, true));
  expect_said(why(b, condition::transfer_overspeed, events::unit(0)), {"caution on transfer", "transfer unit transfer overspeeds"});
}

TEST(ExplainReasons, AlertsOfTheAircraft) {
  bench b = twin();
  b.does(events::steering(false));
  const auto towing = why(b, condition::steering, events::steering_link);
  expect_said(towing, {"advisory: steering disconnected for towing", "no engine runs", "the aircraft is on the ground"});
  b.does(events::stored(0, 0));
  const auto brake = why(b, condition::parking_brake, events::aircraft);
  expect_said(brake, {"caution: parking brake set with no pressure behind it", "the parking brake is set", "park-brake is not available"});
  expect_unsaid(brake, {"controls is"});
  b.does(events::air_ground_invalid());
  expect_said(why(b, condition::air_ground_input, events::aircraft), {"advisory: ", "the air/ground input is invalid"});
}

// --- clock -----------------------------------------------------------------------------------------

TEST(ExplainReasons, AClockShowsHoursWhenThereAreSomeAndDigitsThatCount) {
  EXPECT_EQ(clock_text(0), "00:00.0");
  EXPECT_EQ(clock_text(9'900), "00:09.9");
  EXPECT_EQ(clock_text(61'250), "01:01.25");
  EXPECT_EQ(clock_text(61'257), "01:01.257");
  EXPECT_EQ(clock_text(61'207), "01:01.207");
  EXPECT_EQ(clock_text(3'599'999), "59:59.999");
  EXPECT_EQ(clock_text(3'600'000), "1:00:00.0");
  EXPECT_EQ(clock_text(36'754'000), "10:12:34.0");
}

}  // namespace
}  // namespace penstock_tests
