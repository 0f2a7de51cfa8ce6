// The quasi-static plant by itself: states are set up by hand, the logic does not run. All numbers of the
// layouts here are invented unless a source stands beside them.

#include <algorithm>
#include <array>
#include <cstdint>
#include <optional>
#include <random>
#include <string>
#include <utility>

#include <gtest/gtest.h>

#include "penstock/detail/quasi_static_parts.hpp"
#include "penstock/layout.hpp"
#include "penstock/quasi_static.hpp"
#include "penstock/state.hpp"
#include "support/rule_test.hpp"

namespace {

using namespace penstock;
namespace parts = penstock::detail::quasi;

constexpr std::int64_t litre = 1'000'000;  // mm3

/// Two circuits: "left" with two doors, a store, the gear and an engine pump, a hand pump and leak
/// isolation; "right" with an engine pump and the second feed of the gear; a transfer unit between them.
layout_spec plant_spec() {
  layout_spec s;
  s.name = "plant-bench";
  s.title = "Plant for the test bench";
  s.origin = "invented";
  s.engines.resize(2);
  s.engines[0].name = "engine-1";
  s.engines[1].name = "engine-2";
  s.circuits.resize(2);
  s.circuits[0].name = "left";
  s.circuits[0].hand_pump = true;
  s.circuits[0].leak_isolation = true;
  s.circuits[1].name = "right";
  s.engine_pumps.resize(2);
  s.engine_pumps[0].name = "pump-1";
  s.engine_pumps[0].engine = "engine-1";
  s.engine_pumps[0].circuit = "left";
  s.engine_pumps[1].name = "pump-2";
  s.engine_pumps[1].engine = "engine-2";
  s.engine_pumps[1].circuit = "right";
  s.electric_pumps.resize(1);
  s.electric_pumps[0].name = "door-pump";
  s.electric_pumps[0].circuit = "left";
  s.electric_pumps[0].bus = "bus";
  s.electric_pumps[0].duty = pump_duty::cargo;
  s.ram_air_pumps.resize(1);
  s.ram_air_pumps[0].name = "ram-air";
  s.ram_air_pumps[0].circuit = "right";
  s.transfer_units.resize(1);
  s.transfer_units[0].name = "transfer";
  s.transfer_units[0].a = "left";
  s.transfer_units[0].b = "right";
  s.cargo_doors.resize(2);
  s.cargo_doors[0].name = "front-door";
  s.cargo_doors[0].circuit = "left";
  s.cargo_doors[1].name = "rear-door";
  s.cargo_doors[1].circuit = "left";
  s.stores.resize(1);
  s.stores[0].name = "brake-store";
  s.stores[0].circuit = "left";
  s.consumers.resize(6);
  s.consumers[0].name = "gear";
  s.consumers[0].kind = consumer_kind::gear;
  s.consumers[0].feeds = {{"left", branch::main}, {"right", branch::main}};
  s.consumers[0].displacement = litres(1.5);
  s.consumers[1].name = "brake";
  s.consumers[1].kind = consumer_kind::parking_brake;
  s.consumers[1].feeds = {{"left", branch::service}};
  s.consumers[1].store = "brake-store";
  s.consumers[2].name = "front-drive";
  s.consumers[2].kind = consumer_kind::cargo_door;
  s.consumers[2].feeds = {{"left", branch::service}};
  s.consumers[2].door = "front-door";
  s.consumers[3].name = "rear-drive";
  s.consumers[3].kind = consumer_kind::cargo_door;
  s.consumers[3].feeds = {{"left", branch::service}};
  s.consumers[3].door = "rear-door";
  s.consumers[4].name = "flaps";
  s.consumers[4].feeds = {{"left", branch::outer}, {"right", branch::main}};
  s.consumers[5].name = "controls";
  s.consumers[5].kind = consumer_kind::controls;
  s.consumers[5].feeds = {{"left", branch::main}};
  s.buses.resize(1);
  s.buses[0].name = "bus";
  s.buses[0].sources = {"engine-1", "engine-2", "external"};
  return s;
}

layout checked(layout_spec spec) {
  auto made = layout::from(std::move(spec));
  EXPECT_TRUE(made) << (made ? "" : to_string(made.problem()));
  return *std::move(made);
}

/// A plant and the state it goes with. The test changes the state and lets time pass.
struct scene {
  layout of;
  state now;
  quasi_static_state plant;

  explicit scene(layout_spec spec = plant_spec())
      : of(checked(std::move(spec))), now(cold_and_dark(of)), plant(plant_for(of, now)) {}

  scene& wait(std::uint32_t ms) {
    plant = plant_after(of, plant, now, ms);
    return *this;
  }
  scene& pump_delivers(bool delivers) {
    now.logic.electric_pumps[0].mode = delivers ? pump_mode::delivering : pump_mode::stopped;
    return wait(0);
  }
  scene& engine_pump_delivers(unsigned i, bool delivers) {
    now.logic.engine_pumps[i].mode = delivers ? pump_mode::delivering : pump_mode::stopped;
    return wait(0);
  }
  scene& lever(unsigned door, lever_position to) {
    now.logic.doors[door].lever = to;
    return wait(0);
  }
  scene& fails(fault kind, subject where, std::uint32_t amount = 0) {
    for (injected_fault& f : now.faults) {
      if (f.status != fault_status::unused) continue;
      f = {};
      f.status = fault_status::active;
      f.kind = kind;
      f.where = where;
      f.amount = amount;
      return wait(0);
    }
    ADD_FAILURE() << "no place for a fault";
    return *this;
  }
  scene& heals() {
    now.faults = {};
    return wait(0);
  }
  /// The logic takes every fact over as it is.
  scene& tell() {
    for (int n = 0; n < 100; ++n) {
      const auto fact = next_fact(of, plant, now);
      if (!fact) return *this;
      take(*fact);
    }
    ADD_FAILURE() << "facts without end";
    return *this;
  }
  void take(const event& fact) {
    const std::size_t i = fact.about.index;
    switch (fact.kind) {
      case event_kind::spool: now.logic.engines[i].spool = static_cast<spool_band>(fact.value); break;
      case event_kind::starter_out: now.logic.engines[i].starter_is_out = true; break;
      case event_kind::travel: now.logic.doors[i].travel = static_cast<door_travel>(fact.value); break;
      case event_kind::difference: now.logic.units[i].difference = static_cast<pressure_difference>(fact.value); break;
      case event_kind::pressure: now.logic.circuits[i].pressure_made = fact.value != 0; break;
      case event_kind::priority: now.logic.circuits[i].above_priority = fact.value != 0; break;
      case event_kind::level: now.logic.circuits[i].level = static_cast<fluid_level>(fact.value); break;
      case event_kind::stored: now.logic.aircraft.stored_0 = static_cast<std::uint8_t>(fact.amount & 63); break;
      default: ADD_FAILURE() << "not a fact of the plant";
    }
  }
  [[nodiscard]] fluid_account fluid(unsigned circuit = 0) const { return fluid_of(of, plant, circuit); }
  [[nodiscard]] parts::facts facts() const { return parts::facts_of(of, plant, now); }
  [[nodiscard]] std::optional<std::uint32_t> next() const { return next_plant_change(of, plant, now); }
};

std::int64_t sum_of(const fluid_account& f) { return f.reservoir + f.lines + f.actuators + f.stores + f.leaked; }

// ------------------------------------------------------------------------------------------- fluid

RULE_TEST(PlantFluid, ColdAndDarkHasItsReservoirExactlyAtTheFullMark, "LVL-2 GEN-5") {
  const scene s;
  for (unsigned c = 0; c < 2; ++c) {
    const fluid_account f = s.fluid(c);
    EXPECT_EQ(f.reservoir, 20 * litre);
    EXPECT_EQ(f.lines, 0);
    EXPECT_EQ(f.actuators, 0);
    EXPECT_EQ(f.leaked, 0);
    EXPECT_EQ(f.filled, f.reservoir + f.stores);
  }
  EXPECT_EQ(s.fluid(0).stores, s.of.plan().store_at[0].most_applications * litre / 20);
  EXPECT_FALSE(next_fact(s.of, s.plant, s.now)) << "logic and plant agree cold and dark";
  EXPECT_FALSE(s.next()) << "nothing moves cold and dark";
}

RULE_TEST(PlantFluid, PressureTakesTheCompressionAndGivesItBack, "LVL-3") {
  scene s;
  s.pump_delivers(true);
  EXPECT_EQ(s.fluid().lines, 400'000);
  EXPECT_EQ(s.fluid().reservoir, 20 * litre - 400'000);
  s.pump_delivers(false);
  EXPECT_EQ(s.fluid().reservoir, 20 * litre);
}

RULE_TEST(PlantFluid, AnOpenDoorHoldsItsDisplacement, "LVL-3") {
  scene s;
  s.pump_delivers(true).lever(0, lever_position::open).wait(10'000);
  EXPECT_EQ(s.fluid().actuators, 150'000);
  s.wait(10'000);
  EXPECT_EQ(s.fluid().actuators, 300'000);
  s.lever(0, lever_position::close).wait(20'000).pump_delivers(false);
  EXPECT_EQ(s.fluid().reservoir, 20 * litre);
}

RULE_TEST(PlantFluid, RetractedGearLowersTheLevelAndExtendedGearGivesItBack, "LVL-3") {
  scene s;
  s.now.logic.aircraft.where = air_ground::air;
  s.engine_pump_delivers(0, true);
  const std::int64_t before = s.fluid().reservoir;
  s.now.logic.aircraft.gear_down = false;
  s.wait(12'000);
  EXPECT_EQ(s.fluid().reservoir, before - 1'500'000);
  EXPECT_EQ(s.facts().level[0], fluid_level::normal) << "lowers it slightly, not to the low mark (common practice)";
  s.now.logic.aircraft.gear_down = true;
  s.wait(12'000);
  EXPECT_EQ(s.fluid().reservoir, before);
}

RULE_TEST(PlantFluid, GearMovedByItsSecondFeedReturnsItsFluidToTheFirst, "LVL-2 LVL-3 CON-1") {
  scene s;
  s.now.logic.aircraft.where = air_ground::air;
  s.now.logic.aircraft.gear_down = false;
  s.engine_pump_delivers(1, true).wait(12'000);
  EXPECT_EQ(s.fluid(0).actuators, 1'500'000);
  EXPECT_EQ(s.fluid(1).actuators, 0);
  EXPECT_EQ(s.fluid(1).reservoir, 20 * litre - 400'000);
}

RULE_TEST(PlantFluid, GearDoesNotMoveInServiceModeNorBehindAShutOuterBranch, "CON-2 LEK-1") {
  auto spec = plant_spec();
  spec.consumers[0].feeds = {{"left", branch::outer}};
  scene s{spec};
  s.now.logic.aircraft.gear_down = false;
  s.now.logic.circuits[0].service = service_mode::service;
  s.pump_delivers(true).wait(5'000);
  EXPECT_EQ(s.plant.gear[0], 0U);
  s.now.logic.circuits[0].service = service_mode::none;
  s.now.logic.circuits[0].outer_shut = true;
  s.wait(5'000);
  EXPECT_EQ(s.plant.gear[0], 0U);
  s.now.logic.circuits[0].outer_shut = false;
  s.wait(5'000);
  EXPECT_EQ(s.plant.gear[0], 5'000U);
}

RULE_TEST(PlantFluid, ATransferUnitMovesNoFluidBetweenCircuits, "LVL-2") {
  scene s;
  s.now.logic.units[0].mode = unit_mode::b_drives_a;
  s.engine_pump_delivers(1, true);
  ASSERT_TRUE(s.plant.at_pressure[0]);
  const fluid_account left = s.fluid(0), right = s.fluid(1);
  s.wait(600'000);
  EXPECT_EQ(s.fluid(0).reservoir, left.reservoir);
  EXPECT_EQ(s.fluid(1).reservoir, right.reservoir);
  EXPECT_EQ(left.filled - left.leaked, sum_of(left));
}

// ------------------------------------------------------------------------------------------- leaks

RULE_TEST(PlantLeak, TheReservoirLeaksAlways, "LVL-6") {
  scene s;
  s.fails(fault::reservoir_leak, events::circuit(0), 1'000).wait(2'500);
  EXPECT_EQ(s.fluid().leaked, 2'500);
  EXPECT_EQ(s.fluid().reservoir, 20 * litre - 2'500);
  EXPECT_EQ(s.fluid(1).leaked, 0);
}

RULE_TEST(PlantLeak, ALineLeaksOnlyUnderPressure, "LVL-6") {
  scene s;
  s.fails(fault::line_leak, events::circuit(0), 1'000).wait(5'000);
  EXPECT_EQ(s.fluid().leaked, 0);
  s.pump_delivers(true).wait(5'000);
  EXPECT_EQ(s.fluid().leaked, 5'000);
  s.pump_delivers(false).wait(5'000);
  EXPECT_EQ(s.fluid().leaked, 5'000);
}

RULE_TEST(PlantLeak, AConsumerLeaksWhileItHasPressureAndIsNotIsolated, "LVL-6") {
  scene s;
  s.fails(fault::consumer_leak, events::consumer(5), 1'000).wait(1'000);
  EXPECT_EQ(s.fluid().leaked, 0) << "no pressure";
  s.now.logic.circuits[0].service = service_mode::service;
  s.pump_delivers(true).wait(1'000);
  EXPECT_EQ(s.fluid().leaked, 0) << "isolated in service mode";
  s.now.logic.circuits[0].service = service_mode::none;
  s.wait(1'000);
  EXPECT_EQ(s.fluid().leaked, 1'000);
}

RULE_TEST(PlantLeak, AConsumerOnTheServiceBranchLeaksInServiceMode, "LVL-6 CGO-5") {
  scene s;
  s.now.logic.circuits[0].service = service_mode::service;
  s.fails(fault::consumer_leak, events::consumer(2), 1'000).pump_delivers(true).wait(1'000);
  EXPECT_EQ(s.fluid().leaked, 1'000);
}

RULE_TEST(PlantLeak, ShuttingTheOuterBranchMovesTheLeakToTheNextFeed, "LVL-6 LEK-1") {
  scene s;
  s.engine_pump_delivers(0, true).engine_pump_delivers(1, true);
  s.fails(fault::consumer_leak, events::consumer(4), 1'000).wait(1'000);
  EXPECT_EQ(s.fluid(0).leaked, 1'000);
  EXPECT_EQ(s.fluid(1).leaked, 0);
  s.now.logic.circuits[0].outer_shut = true;
  s.wait(1'000);
  EXPECT_EQ(s.fluid(0).leaked, 1'000);
  EXPECT_EQ(s.fluid(1).leaked, 1'000);
}

RULE_TEST(PlantLeak, FractionsOfACubicMillimetreAreNotLost, "LVL-2 LVL-6") {
  scene s;
  s.fails(fault::reservoir_leak, events::circuit(0), 7);
  for (int i = 0; i < 1'000; ++i) s.wait(1);
  EXPECT_EQ(s.fluid().leaked, 7);
  s.wait(999'999'999);
  EXPECT_EQ(s.fluid().leaked, 7 + 6'999'999);
}

RULE_TEST(PlantLeak, NoMoreLeaksThanThereIs, "LVL-2 LVL-6") {
  scene s;
  s.fails(fault::reservoir_leak, events::circuit(0), 4'000'000'000U);
  s.fails(fault::line_leak, events::circuit(0), 4'000'000'000U).pump_delivers(true).wait(4'000'000'000U);
  EXPECT_EQ(s.fluid().reservoir, 0);
  EXPECT_EQ(s.fluid().lines, 0);
  EXPECT_EQ(s.fluid().leaked, 20 * litre) << "what the store holds stays there";
  EXPECT_EQ(sum_of(s.fluid()), s.fluid().filled);
  EXPECT_FALSE(s.plant.at_pressure[0]);
}

// ------------------------------------------------------------------------------------------ levels

RULE_TEST(PlantLevel, BelowTheLowMarkIsStrictAndLeftByTheHysteresis, "LVL-1 GEN-4") {
  scene s;
  s.plant.leaked[0] = 14 * litre;  // low mark: 6 L
  s.wait(0);
  EXPECT_EQ(s.facts().level[0], fluid_level::normal);
  s.plant.leaked[0] += 1;
  s.wait(0);
  EXPECT_EQ(s.facts().level[0], fluid_level::low);
  s.tell();
  s.plant.leaked[0] = 13 * litre + 500'001;
  s.wait(0);
  EXPECT_EQ(s.facts().level[0], fluid_level::low) << "one mm3 short of mark and hysteresis";
  s.plant.leaked[0] -= 1;
  s.wait(0);
  EXPECT_EQ(s.facts().level[0], fluid_level::normal);
}

RULE_TEST(PlantLevel, AboveTheOverfullMarkIsStrictAndLeftByTheHysteresis, "LVL-1 GEN-4") {
  scene s;
  s.plant.leaked[0] = -litre;  // overfull: 21 L
  EXPECT_EQ(s.facts().level[0], fluid_level::normal);
  s.plant.leaked[0] -= 1;
  EXPECT_EQ(s.facts().level[0], fluid_level::over);
  s.tell();
  s.plant.leaked[0] = -500'001;
  EXPECT_EQ(s.facts().level[0], fluid_level::over);
  s.plant.leaked[0] = -500'000;
  EXPECT_EQ(s.facts().level[0], fluid_level::normal);
}

RULE_TEST(PlantLevel, AnEmptyReservoirUnprimesItsPumpsUntilThereIsFluidAgain, "LVL-4") {
  scene s;
  s.pump_delivers(true).fails(fault::reservoir_leak, events::circuit(0), 1'000'000).wait(60'000);
  EXPECT_EQ(s.facts().level[0], fluid_level::empty);
  EXPECT_FALSE(s.plant.at_pressure[0]);
  EXPECT_EQ(s.facts().difference[0], pressure_difference::level);
  s.heals();
  s.plant.leaked[0] -= 499'999;
  s.wait(0);
  EXPECT_FALSE(s.plant.at_pressure[0]) << "less than the hysteresis does not prime";
  s.plant.leaked[0] -= 1;
  s.wait(0);
  EXPECT_TRUE(s.plant.at_pressure[0]);
}

RULE_TEST(PlantLevel, WhatTheLinesGiveBackDoesNotMakeLevelsComeAndGo, "LVL-1 LVL-4 GEN-1") {
  auto spec = plant_spec();
  spec.circuits[0].compression = litres(3.0);
  spec.circuits[0].level_hysteresis = litres(0.1);
  scene s{spec};
  s.pump_delivers(true);
  s.plant.leaked[0] = 20 * litre - 3 * litre - 6 * litre + 1;  // just below the low mark under pressure
  s.wait(0).tell();
  ASSERT_EQ(s.now.logic.circuits[0].level, fluid_level::low);
  s.pump_delivers(false);
  EXPECT_EQ(s.facts().level[0], fluid_level::low);
}

// --------------------------------------------------------------------------------------- servicing

RULE_TEST(PlantServicing, TellsWhatIsMissingInThePresentConfiguration, "LVL-5") {
  scene s;
  s.fails(fault::reservoir_leak, events::circuit(0), 1'000'000).wait(3'000);
  const servicing_answer answer = servicing(s.of, s.plant, s.now, 0);
  EXPECT_TRUE(answer.valid);
  EXPECT_EQ(answer.why_not, "");
  EXPECT_EQ(answer.missing, 3 * litre);
  s.plant.leaked[0] = -1'000;
  EXPECT_EQ(servicing(s.of, s.plant, s.now, 0).missing, -1'000) << "too much";
}

RULE_TEST(PlantServicing, TheExpectedLevelFollowsTheConfiguration, "LVL-5 LVL-3") {
  scene s;
  s.fails(fault::reservoir_leak, events::circuit(0), 1'000'000).wait(1'000).heals();
  s.pump_delivers(true).lever(0, lever_position::open).wait(20'000);
  EXPECT_EQ(expected_reservoir(s.of, s.plant, 0), 20 * litre - 400'000 - 300'000);
  EXPECT_EQ(s.fluid().reservoir, expected_reservoir(s.of, s.plant, 0) - litre) << "only the leak is missing";
}

RULE_TEST(PlantServicing, SaysWhichConditionMakesItNotValid, "LVL-5") {
  const auto why = [](const scene& s) { return servicing(s.of, s.plant, s.now, 0); };
  scene flying;
  flying.now.logic.aircraft.where = air_ground::air;
  EXPECT_EQ(why(flying).why_not, "the aircraft is in flight");
  scene gear;
  gear.plant.gear[0] = 1;
  EXPECT_EQ(why(gear).why_not, "the gear is not down");
  scene door;
  door.plant.door[1] = 1;
  EXPECT_EQ(why(door).why_not, "a door of the circuit is not closed");
  scene pressed;
  pressed.pump_delivers(true);
  EXPECT_EQ(why(pressed).why_not, "the circuit has pressure");
  scene discharged;
  discharged.plant.applications[0] -= 1;
  EXPECT_EQ(why(discharged).why_not, "a store of the circuit is not charged");
  for (const scene* s : {&flying, &gear, &door, &pressed, &discharged}) {
    EXPECT_FALSE(why(*s).valid);
    EXPECT_EQ(why(*s).missing, 0);
  }
  EXPECT_TRUE(servicing(door.of, door.plant, door.now, 1).valid) << "the other circuit is not concerned";
}

TEST(PlantServicing, ACircuitThatIsNotThereGivesNothing) {
  const scene s;
  EXPECT_FALSE(servicing(s.of, s.plant, s.now, 2).valid);
  EXPECT_EQ(fluid_of(s.of, s.plant, 99).filled, 0);
  EXPECT_EQ(expected_reservoir(s.of, s.plant, 4'000'000'000U), 0);
}

// ------------------------------------------------------------------------------------------ stores

RULE_TEST(PlantStore, EachApplicationWithoutPressureTakesOneAndGivesItsFluidBack, "CON-3 LVL-2") {
  scene s;
  const std::uint8_t full = s.plant.applications[0];
  s.plant = plant_with(s.of, s.plant, s.now, events::apply_brakes());
  EXPECT_EQ(s.plant.applications[0], full - 1);
  EXPECT_EQ(s.fluid().reservoir, 20 * litre + 50'000) << "application: 0.05 L";
  for (int i = 0; i < 100; ++i) s.plant = plant_with(s.of, s.plant, s.now, events::apply_brakes());
  EXPECT_EQ(s.plant.applications[0], 0) << "exhausted, never below";
  EXPECT_EQ(sum_of(s.fluid()), s.fluid().filled);
}

RULE_TEST(PlantStore, PressureRechargesItAndSparesIt, "CON-3 CGO-5") {
  scene s;
  const std::uint8_t full = s.plant.applications[0];
  for (int i = 0; i < 5; ++i) s.plant = plant_with(s.of, s.plant, s.now, events::apply_brakes());
  s.now.logic.circuits[0].service = service_mode::service;
  s.pump_delivers(true);
  EXPECT_EQ(s.plant.applications[0], full) << "any pressurised state, service mode too";
  EXPECT_EQ(s.fluid().reservoir, 20 * litre - 400'000);
  EXPECT_EQ(plant_with(s.of, s.plant, s.now, events::apply_brakes()).applications[0], full);
}

RULE_TEST(PlantStore, SettingTheParkingBrakeIsAnApplicationWhenItWasReleased, "CON-3") {
  scene s;
  const std::uint8_t full = s.plant.applications[0];
  EXPECT_EQ(plant_with(s.of, s.plant, s.now, events::parking_brake(true)).applications[0], full) << "was set";
  EXPECT_EQ(plant_with(s.of, s.plant, s.now, events::parking_brake(false)).applications[0], full);
  s.now.logic.aircraft.parking_brake_set = false;
  EXPECT_EQ(plant_with(s.of, s.plant, s.now, events::parking_brake(true)).applications[0], full - 1);
}

RULE_TEST(PlantStore, WithItsGasLostItGivesNoneAndCannotBeCharged, "CON-3") {
  scene s;
  s.fails(fault::store_gas_lost, events::store(0));
  EXPECT_EQ(s.plant.applications[0], 0);
  s.pump_delivers(true);
  EXPECT_EQ(s.plant.applications[0], 0);
  s.heals();
  EXPECT_EQ(s.plant.applications[0], s.of.plan().store_at[0].most_applications);
}

RULE_TEST(PlantStore, ALowReservoirChargesAsFarAsItsFluidGoesAndKeepsItsPumpPrimed, "CON-3 LVL-2") {
  auto spec = plant_spec();
  spec.circuits[0].compression = litres(0.1);
  scene s{spec};
  s.plant.applications[0] = 0;
  s.plant.leaked[0] = s.fluid().filled - 250'000;  // 0.25 L left: lines 0.1 L, application 0.05 L
  s.pump_delivers(true);
  EXPECT_EQ(s.plant.applications[0], 2) << "the third would leave nothing";
  EXPECT_EQ(s.fluid().reservoir, 50'000);
  EXPECT_TRUE(s.plant.at_pressure[0]);
}

// Published: Boyle's law in absolute pressures, 30 MPa at 3 m3 gives 18 MPa at 5 m3
// (engineerstudent.co.uk), here a thousandth of it: a store of 5 L precharged to 18 MPa holds 2 L of fluid
// at 30 MPa. And 10 cubic feet at 14.7 psia give 147 psia in 1 cubic foot (Hydraulics & Pneumatics, Fluid
// Power Basics, chapter 1): a tenfold pressure leaves a tenth of the gas.
RULE_TEST(PlantStore, HoldsAsManyApplicationsAsBoylesLawGives, "CON-3") {
  const auto absolute = [](double pascals) { return pressure{pascals - 101'325.0}; };
  auto spec = plant_spec();
  spec.nominal = absolute(30e6);
  spec.stores[0].gas = litres(5.0);
  spec.stores[0].precharge = absolute(18e6);
  spec.stores[0].least = absolute(18e6 * 5.0 / 4.9);  // 0.1 L of the 2 L is below the least pressure
  spec.stores[0].application = litres(0.1);
  EXPECT_EQ(checked(spec).plan().store_at[0].most_applications, 19);

  spec.nominal = absolute(14.7e6);
  spec.stores[0].gas = litres(10.0);
  spec.stores[0].precharge = absolute(1.47e6);
  spec.stores[0].least = absolute(1.47e6 * 10.0 / 9.0);  // one litre of the nine is below it
  spec.stores[0].application = litres(0.5);
  spec.switch_made = psi(1'000);
  spec.switch_open = psi(900);
  EXPECT_EQ(checked(spec).plan().store_at[0].most_applications, 16);
}

// --------------------------------------------------------------------------------------- pressures

RULE_TEST(PlantPressure, FollowsItsSourcesAtOnce, "CIR-1 CGO-2") {
  scene s;
  s.pump_delivers(true);
  EXPECT_TRUE(s.facts().pressure[0]);
  EXPECT_EQ(s.facts().difference[0], pressure_difference::a_exceeds);
  s.pump_delivers(false);
  EXPECT_FALSE(s.facts().pressure[0]);
  s.engine_pump_delivers(1, true);
  EXPECT_EQ(s.facts().difference[0], pressure_difference::b_exceeds);
  s.engine_pump_delivers(0, true);
  EXPECT_EQ(s.facts().difference[0], pressure_difference::level);
}

RULE_TEST(PlantPressure, AWeakPumpBringsNone, "INS-1") {
  scene s;
  s.fails(fault::pump_weak, events::electric_pump(0)).pump_delivers(true);
  EXPECT_FALSE(s.plant.at_pressure[0]);
  s.engine_pump_delivers(0, true);
  EXPECT_TRUE(s.plant.at_pressure[0]) << "another pump does";
}

RULE_TEST(PlantPressure, AUnitBringsPressureButOnlyFromOwnPressure, "PTU-11") {
  auto spec = plant_spec();
  spec.circuits.push_back(spec.circuits[1]);
  spec.circuits[2].name = "third";
  spec.engine_pumps.push_back(spec.engine_pumps[1]);
  spec.engine_pumps[2].name = "pump-3";
  spec.engine_pumps[2].circuit = "third";
  spec.transfer_units.push_back(spec.transfer_units[0]);
  spec.transfer_units[1].name = "transfer-2";
  spec.transfer_units[1].a = "right";
  spec.transfer_units[1].b = "third";
  scene s{spec};
  s.now.logic.units[0].mode = unit_mode::a_drives_b;
  s.now.logic.units[1].mode = unit_mode::a_drives_b;
  s.engine_pump_delivers(0, true);
  EXPECT_TRUE(s.plant.at_pressure[1]);
  EXPECT_FALSE(s.plant.at_pressure[2]);
  EXPECT_EQ(s.facts().difference[0], pressure_difference::a_exceeds) << "own pressures decide";
  EXPECT_EQ(s.facts().difference[1], pressure_difference::level);
}

RULE_TEST(PlantPressure, ASeizedOrWeakUnitBringsNone, "INS-1") {
  for (const fault kind : {fault::unit_seized, fault::unit_weak}) {
    scene s;
    s.now.logic.units[0].mode = unit_mode::a_drives_b;
    s.engine_pump_delivers(0, true).fails(kind, events::unit(0));
    EXPECT_FALSE(s.plant.at_pressure[1]);
  }
}

RULE_TEST(PlantPressure, TheRamAirPumpNeedsAirspeed, "RAT-1") {
  scene s;
  s.now.logic.aircraft.ram_air = ram_air_mode::deployed;
  s.wait(0);
  EXPECT_FALSE(s.plant.at_pressure[1]);
  s.now.logic.aircraft.airspeed = airspeed_band::useful;
  s.wait(0);
  EXPECT_TRUE(s.plant.at_pressure[1]);
}

// --------------------------------------------------------------------------------- engines and doors

RULE_TEST(PlantEngine, CranksThroughItsBandsToIdle, "EDP-1 ENG-9 GEN-4") {
  scene s;  // 25 s to idle; pump mark 5 s, sub-idle mark 21.25 s
  s.now.logic.engines[0].mode = engine_mode::cranking;
  std::string times;
  std::uint32_t at = 0;
  for (int i = 0; i < 4; ++i) {
    const auto next = s.next();
    ASSERT_TRUE(next);
    at += *next;
    s.wait(*next);
    times += std::to_string(at) + ' ' + std::string{word(s.facts().spool[0])} + "; ";
  }
  EXPECT_EQ(times, "1 turning; 5001 driving; 21250 near-idle; 25000 idle; ");
  EXPECT_FALSE(s.next());
}

RULE_TEST(PlantEngine, TheStarterCutsOutSomeTimeAfterIdle, "ENG-3") {
  scene s;
  s.now.logic.engines[0].mode = engine_mode::cranking;
  s.wait(25'000);
  s.now.logic.engines[0].mode = engine_mode::at_idle;
  s.wait(0);
  EXPECT_EQ(s.next(), 3'000U);
  s.wait(2'999);
  EXPECT_FALSE(s.facts().starter_out[0]);
  s.wait(1);
  EXPECT_TRUE(s.facts().starter_out[0]);
}

RULE_TEST(PlantEngine, RunsDownInItsOwnTime, "ENG-5") {
  scene s;
  s.now.logic.engines[0].mode = engine_mode::running;
  s.wait(0);
  EXPECT_EQ(s.facts().spool[0], spool_band::idle);
  s.now.logic.engines[0].mode = engine_mode::run_down;
  s.wait(19'999);
  EXPECT_EQ(s.facts().spool[0], spool_band::turning);
  s.wait(1);
  EXPECT_EQ(s.facts().spool[0], spool_band::zero);
}

RULE_TEST(PlantEngine, AHungStartStaysAtHalfOfIdle, "ENG-4 INS-1") {
  scene s;
  s.fails(fault::engine_hangs, events::engine(0));
  s.now.logic.engines[0].mode = engine_mode::cranking;
  s.wait(100'000);
  EXPECT_EQ(s.plant.spool[0], 12'500U);
  EXPECT_EQ(s.facts().spool[0], spool_band::driving);
}

RULE_TEST(PlantDoor, MovesUnderPressureOrTheHandPumpAndHoldsInNeutral, "CGO-3 CGO-11") {
  scene s;
  s.lever(0, lever_position::open).wait(1'000);
  EXPECT_EQ(s.plant.door[0], 0U) << "nothing drives it";
  s.now.logic.circuits[0].hand_pump = true;
  s.wait(1'000);
  EXPECT_EQ(s.plant.door[0], 1'000U);
  EXPECT_EQ(s.facts().travel[0], door_travel::between);
  EXPECT_FALSE(s.facts().pressure[0]) << "the hand pump gives nothing else pressure";
  s.lever(0, lever_position::neutral).wait(1'000);
  EXPECT_EQ(s.plant.door[0], 1'000U);
  s.now.logic.circuits[0].hand_pump = false;
  s.pump_delivers(true).lever(0, lever_position::open);
  EXPECT_EQ(s.next(), 19'000U);
  s.wait(19'000);
  EXPECT_EQ(s.facts().travel[0], door_travel::open);
  EXPECT_FALSE(s.next());
}

RULE_TEST(PlantDoor, StaysInFlight, "CON-5") {
  scene s;
  s.now.logic.aircraft.where = air_ground::air;
  s.pump_delivers(true).lever(0, lever_position::open).wait(10'000);
  EXPECT_EQ(s.plant.door[0], 0U);
}

RULE_TEST(PlantDoor, AStuckLeverReplacesTheLever, "INS-1") {
  scene s;
  s.pump_delivers(true).fails(fault::lever_stuck_open, events::door(0)).wait(2'000);
  EXPECT_EQ(s.plant.door[0], 2'000U);
  s.heals().lever(0, lever_position::open).fails(fault::lever_stuck_neutral, events::door(0)).wait(2'000);
  EXPECT_EQ(s.plant.door[0], 2'000U);
  s.heals().fails(fault::lever_stuck_close, events::door(0)).wait(2'000);
  EXPECT_EQ(s.plant.door[0], 0U);
}

RULE_TEST(PlantFacts, ComeInTheOrderOfAFrame, "GEN-3") {
  scene s;
  s.now.logic.engines[0].mode = engine_mode::cranking;
  s.pump_delivers(true).lever(0, lever_position::open);
  s.now.logic.units[0].mode = unit_mode::a_drives_b;
  s.plant.leaked[0] = 19 * litre;
  s.fails(fault::store_gas_lost, events::store(0)).wait(1'000);
  std::string order;
  while (const auto fact = next_fact(s.of, s.plant, s.now)) {
    order += std::to_string(static_cast<int>(fact->kind)) + ' ';
    s.take(*fact);
    ASSERT_LT(order.size(), 200U) << order;
  }
  const auto n = [](event_kind k) { return std::to_string(static_cast<int>(k)) + ' '; };
  EXPECT_EQ(order, n(event_kind::spool) + n(event_kind::travel) + n(event_kind::difference) +
                       n(event_kind::pressure) + n(event_kind::pressure) + n(event_kind::priority) +
                       n(event_kind::priority) + n(event_kind::level) + n(event_kind::stored));
}

RULE_TEST(PlantFor, GoesWithTheStateItIsMadeFor, "GEN-7") {
  scene s;
  state& now = s.now;
  now.logic.engines[0].mode = engine_mode::running;
  now.logic.engines[0].spool = spool_band::idle;
  now.logic.engines[1].mode = engine_mode::run_down;
  now.logic.engines[1].spool = spool_band::driving;
  now.logic.doors[0].travel = door_travel::open;
  now.logic.doors[1].travel = door_travel::between;
  now.logic.circuits[0].level = fluid_level::over;
  now.logic.aircraft.stored_0 = 3;
  for (const fluid_level level : {fluid_level::empty, fluid_level::low, fluid_level::normal, fluid_level::over}) {
    now.logic.circuits[1].level = level;
    s.plant = plant_for(s.of, now);
    EXPECT_FALSE(next_fact(s.of, s.plant, now)) << word(level);
    EXPECT_EQ(sum_of(s.fluid(1)), s.fluid(1).filled);
  }
}

// ------------------------------------------------------------------------------- random scenes

using dice = std::mt19937;
template <class Number>
Number between(dice& d, Number least, Number most) {
  return static_cast<Number>(least + static_cast<Number>(d() % static_cast<std::uint32_t>(most - least + 1)));
}
bool sometimes(dice& d, unsigned one_in) { return d() % one_in == 0; }

/// Small and quick, so that everything that can happen does so within a few hundred ms.
layout_spec random_spec(dice& d) {
  layout_spec s = plant_spec();
  for (engine_spec& e : s.engines) {
    e.spool_up = milliseconds{between(d, 1, 90)};
    e.run_down = milliseconds{between(d, 1, 90)};
    e.starter_cut_out = milliseconds{between(d, 1, 30)};
  }
  for (circuit_spec& c : s.circuits) {
    c.reservoir = litres(between(d, 100, 200) * 1e-3);
    c.overfull = litres(c.reservoir.value * 1e3 + between(d, 1, 50) * 1e-3);
    c.low_mark = litres(between(d, 10, 90) * 1e-3);
    c.level_hysteresis = litres(between(d, 1, 9) * 1e-3);
    c.compression = litres(sometimes(d, 3) ? 0.0 : between(d, 1, 60) * 1e-3);
  }
  for (cargo_door_spec& door : s.cargo_doors) {
    door.travel = milliseconds{between(d, 1, 120)};
    door.displacement = litres(between(d, 0, 80) * 1e-3);
  }
  s.consumers[0].travel = milliseconds{between(d, 1, 120)};
  s.consumers[0].displacement = litres(between(d, 0, 120) * 1e-3);
  s.stores[0].application = litres(between(d, 1, 30) * 1e-3);
  return s;
}

void scramble_state(dice& d, state& now) {
  logic_state& logic = now.logic;
  for (int e = 0; e < 2; ++e) {
    logic.engines[static_cast<std::size_t>(e)].mode = static_cast<engine_mode>(d() % 5);
    logic.engine_pumps[static_cast<std::size_t>(e)].mode = sometimes(d, 3) ? pump_mode::delivering : pump_mode::stopped;
    logic.circuits[static_cast<std::size_t>(e)].service = sometimes(d, 4) ? service_mode::service : service_mode::none;
    logic.circuits[static_cast<std::size_t>(e)].outer_shut = sometimes(d, 4);
    logic.circuits[static_cast<std::size_t>(e)].level = static_cast<fluid_level>(d() % 4);
    logic.doors[static_cast<std::size_t>(e)].lever = static_cast<lever_position>(d() % 3);
  }
  logic.electric_pumps[0].mode = sometimes(d, 2) ? pump_mode::delivering : pump_mode::stopped;
  logic.circuits[0].hand_pump = sometimes(d, 4);
  logic.units[0].mode = static_cast<unit_mode>(d() % 5);
  logic.aircraft.where = sometimes(d, 3) ? air_ground::air : air_ground::ground;
  logic.aircraft.gear_down = sometimes(d, 2);
  logic.aircraft.ram_air = sometimes(d, 3) ? ram_air_mode::deployed : ram_air_mode::stowed;
  logic.aircraft.airspeed = static_cast<airspeed_band>(d() % 3);
  now.faults = {};
  struct candidate {
    fault kind;
    subject where;
  };
  const std::array<candidate, 14> candidates{{{fault::reservoir_leak, events::circuit(0)},
                                              {fault::reservoir_leak, events::circuit(1)},
                                              {fault::line_leak, events::circuit(0)},
                                              {fault::line_leak, events::circuit(1)},
                                              {fault::consumer_leak, events::consumer(4)},
                                              {fault::consumer_leak, events::consumer(0)},
                                              {fault::consumer_leak, events::consumer(2)},
                                              {fault::pump_weak, events::electric_pump(0)},
                                              {fault::unit_weak, events::unit(0)},
                                              {fault::lever_stuck_open, events::door(0)},
                                              {fault::lever_stuck_close, events::door(1)},
                                              {fault::lever_stuck_neutral, events::door(1)},
                                              {fault::engine_hangs, events::engine(0)},
                                              {fault::store_gas_lost, events::store(0)}}};
  for (std::size_t i = 0; i < candidates.size(); ++i) {
    if (!sometimes(d, 6)) continue;
    now.faults[i].status = sometimes(d, 5) ? fault_status::armed : fault_status::active;
    now.faults[i].kind = candidates[i].kind;
    now.faults[i].where = candidates[i].where;
    now.faults[i].amount = sometimes(d, 2) ? between(d, 1U, 3'000U) : between(d, 1U, 3'000'000U);
  }
}

void scramble_plant(dice& d, const layout& of, quasi_static_state& plant) {
  for (std::size_t i = 0; i < 2; ++i) {
    plant.spool[i] = between(d, 0U, static_cast<std::uint32_t>(of.spec().engines[i].spool_up.count()));
    plant.door[i] = between(d, 0U, static_cast<std::uint32_t>(of.spec().cargo_doors[i].travel.count()));
  }
  plant.gear[0] = between(d, 0U, static_cast<std::uint32_t>(of.spec().consumers[0].travel.count()));
  plant.applications[0] = between<std::uint8_t>(d, 0, of.plan().store_at[0].most_applications);
  for (std::size_t c = 0; c < 2; ++c) {
    plant.leaked[c] = 0;
    const std::int64_t full = fluid_of(of, plant, static_cast<unsigned>(c)).reservoir;
    plant.leaked[c] = full - between<std::int64_t>(d, 0, full + 20'000);
    plant.leaked_part[c] = between<std::uint16_t>(d, 0, 999);
  }
}

RULE_TEST(PlantTime, OneStrideAndStepsOfOneMillisecondGiveTheSameBits, "LVL-2 GEN-3") {
  dice d{20'240'611};
  std::size_t changes = 0, dry_scenes = 0, by_ms = 0;
  for (int round = 0; round < 3'000; ++round) {
    scene s{random_spec(d)};
    scramble_state(d, s.now);
    scramble_plant(d, s.of, s.plant);
    s.wait(0);
    ASSERT_EQ(plant_after(s.of, s.plant, s.now, 0), s.plant) << "settled twice is settled once, round " << round;
    const quasi_static_state from = s.plant;
    const parts::facts at_first = s.facts();
    const std::optional<std::uint32_t> promised = s.next();
    std::optional<std::uint32_t> found;
    constexpr std::uint32_t looked = 400;
    for (std::uint32_t t = 1; t <= looked; ++t) {
      s.wait(1);
      if (!found && s.facts() != at_first) found = t;
      if (t % 7 == 0 || found == t) {
        by_ms += parts::has_no_closed_form(s.of, s.plant, s.now) ? 1U : 0U;
        ASSERT_EQ(plant_after(s.of, from, s.now, t), s.plant) << "after " << t << " ms, round " << round;
      }
    }
    dry_scenes += s.plant.dry[0] || s.plant.dry[1] ? 1U : 0U;
    if (found) {
      ++changes;
      ASSERT_EQ(promised, found) << "round " << round;
    } else if (promised) {
      ASSERT_GT(*promised, looked) << "round " << round;
    }
  }
  // The scenes are worth something only if much happens in them.
  EXPECT_GT(changes, 2'000U);
  EXPECT_GT(dry_scenes, 300U);
  EXPECT_GT(by_ms, 20U);
}

RULE_TEST(PlantTime, FluidIsConservedOverAHundredThousandRandomFrames, "LVL-2") {
  dice d{4'711};
  for (int aircraft = 0; aircraft < 100; ++aircraft) {
    scene s{random_spec(d)};
    for (int frame = 0; frame < 1'000; ++frame) {
      if (sometimes(d, 40)) {
        s.now = cold_and_dark(s.of);
        s.plant = plant_for(s.of, s.now);
      }
      if (sometimes(d, 5)) scramble_state(d, s.now);
      if (sometimes(d, 4)) {
        s.plant = plant_with(s.of, s.plant, s.now, events::apply_brakes());
      }
      s.wait(0);
      const std::array<fluid_account, 2> before{s.fluid(0), s.fluid(1)};
      s.wait(between(d, 0U, 60U));
      for (unsigned c = 0; c < 2; ++c) {
        const fluid_account f = s.fluid(c);
        ASSERT_EQ(sum_of(f), f.filled) << "frame " << frame;
        ASSERT_EQ(f.filled, before[c].filled);
        ASSERT_GE(f.reservoir, 0);
        ASSERT_GE(f.lines, 0);
        ASSERT_GE(f.actuators, 0);
        ASSERT_GE(f.stores, 0);
        ASSERT_GE(f.leaked, before[c].leaked) << "what has leaked does not come back";
        std::uint64_t flow = 0;
        for (const injected_fault& fault_now : s.now.faults) {
          if (fault_now.status == fault_status::active) flow += fault_now.amount;
        }
        ASSERT_LE(static_cast<std::uint64_t>(f.leaked - before[c].leaked), flow * 60 / 1'000 + 1);
      }
    }
  }
}

}  // namespace
