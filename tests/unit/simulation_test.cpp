// The simulation with the logic and the quasi-static plant together: order of a frame, splitting of time,
// agreement of logic and plant. The aircraft here is invented.

#include <algorithm>
#include <chrono>
#include <cstdint>
#include <optional>
#include <random>
#include <string>
#include <utility>
#include <vector>

#include <gtest/gtest.h>

#include "penstock/detail/quasi_static_parts.hpp"
#include "penstock/penstock.hpp"
#include "support/rule_test.hpp"

namespace {

using namespace penstock;
using namespace std::chrono_literals;

/// Two engines, three circuits: port (engine pump, cargo pump, both doors, brake store, gear), starboard
/// (engine pump, plain pump), keel (first-engine pump, ram air); a transfer unit between the first two.
layout_spec turnaround_spec() {
  layout_spec s;
  s.name = "turnaround-bench";
  s.title = "Turnaround for the test bench";
  s.origin = "invented";
  s.engines.resize(2);
  s.engines[0].name = "engine-1";
  s.engines[1].name = "engine-2";
  s.circuits.resize(3);
  s.circuits[0].name = "port";
  s.circuits[0].hand_pump = true;
  s.circuits[1].name = "starboard";
  s.circuits[1].leak_isolation = true;
  s.circuits[2].name = "keel";
  s.engine_pumps.resize(2);
  s.engine_pumps[0].name = "pump-1";
  s.engine_pumps[0].engine = "engine-1";
  s.engine_pumps[0].circuit = "port";
  s.engine_pumps[1].name = "pump-2";
  s.engine_pumps[1].engine = "engine-2";
  s.engine_pumps[1].circuit = "starboard";
  s.electric_pumps.resize(3);
  s.electric_pumps[0].name = "cargo-pump";
  s.electric_pumps[0].circuit = "port";
  s.electric_pumps[0].bus = "bus-1";
  s.electric_pumps[0].duty = pump_duty::cargo;
  s.electric_pumps[1].name = "keel-pump";
  s.electric_pumps[1].circuit = "keel";
  s.electric_pumps[1].bus = "bus-2";
  s.electric_pumps[1].duty = pump_duty::first_engine;
  s.electric_pumps[2].name = "plain-pump";
  s.electric_pumps[2].circuit = "starboard";
  s.electric_pumps[2].bus = "bus-2";
  s.ram_air_pumps.resize(1);
  s.ram_air_pumps[0].name = "ram-air";
  s.ram_air_pumps[0].circuit = "keel";
  s.transfer_units.resize(1);
  s.transfer_units[0].name = "transfer";
  s.transfer_units[0].a = "port";
  s.transfer_units[0].b = "starboard";
  for (auto& circuit : s.circuits) circuit.service_hold_off = 40s;
  s.cargo_doors.resize(2);
  s.cargo_doors[0].name = "forward";
  s.cargo_doors[0].circuit = "port";
  s.cargo_doors[1].name = "aft";
  s.cargo_doors[1].circuit = "port";
  s.stores.resize(1);
  s.stores[0].name = "brake-store";
  s.stores[0].circuit = "port";
  s.consumers.resize(6);
  s.consumers[0].name = "gear";
  s.consumers[0].kind = consumer_kind::gear;
  s.consumers[0].feeds = {{"port", branch::main}, {"starboard", branch::outer}};
  s.consumers[0].displacement = litres(1.5);
  s.consumers[1].name = "park-brake";
  s.consumers[1].kind = consumer_kind::parking_brake;
  s.consumers[1].feeds = {{"port", branch::service}};
  s.consumers[1].store = "brake-store";
  s.consumers[2].name = "forward-drive";
  s.consumers[2].kind = consumer_kind::cargo_door;
  s.consumers[2].feeds = {{"port", branch::service}};
  s.consumers[2].door = "forward";
  s.consumers[3].name = "aft-drive";
  s.consumers[3].kind = consumer_kind::cargo_door;
  s.consumers[3].feeds = {{"port", branch::service}};
  s.consumers[3].door = "aft";
  s.consumers[4].name = "nose-steering";
  s.consumers[4].kind = consumer_kind::steering;
  s.consumers[4].feeds = {{"starboard", branch::main}};
  s.consumers[5].name = "controls";
  s.consumers[5].kind = consumer_kind::controls;
  s.consumers[5].feeds = {{"starboard", branch::main}, {"keel", branch::main}};
  s.buses.resize(2);
  s.buses[0].name = "bus-1";
  s.buses[0].sources = {"engine-1", "engine-2", "auxiliary", "external"};
  s.buses[0].main = true;
  s.buses[1].name = "bus-2";
  s.buses[1].sources = {"engine-2", "engine-1", "auxiliary", "external"};
  s.buses[1].main = true;
  return s;
}

layout checked(layout_spec spec) {
  auto made = layout::from(std::move(spec));
  EXPECT_TRUE(made) << (made ? "" : to_string(made.problem()));
  return *std::move(made);
}

void accept(simulation& s, const event& happening) {
  const effects what = s.apply(happening);
  EXPECT_TRUE(what.accepted()) << form_of(happening.kind).word << ": " << what.refused.sentence;
}

/// A fact the plant still owes the logic, in words; empty when they agree.
std::string owed(const simulation& s) {
  const auto fact = next_fact(s.aircraft(), s.plant(), s.now());
  if (!fact) return {};
  return std::string{form_of(fact->kind).word} + ' ' + std::to_string(fact->about.index) + " is " +
         std::to_string(fact->value);
}

struct timed_event {
  milliseconds at;
  event what;
};

/// Ten minutes: fluid leaks a little, both doors are used, one is interrupted by a loss of power, the aircraft
/// is towed, starts both engines, taxies, takes off and retracts its gear, loses an engine.
std::vector<timed_event> turnaround() {
  namespace e = events;
  return {
      {0s, e::external_power(true)},
      {1s, e::inject(fault::line_leak, e::circuit(0), 2'345)},
      {5s, e::lever(0, lever_position::open)},
      {12s, e::external_power(false)},
      {15s, e::external_power(true)},
      {16s, e::lever(1, lever_position::open)},
      {60s, e::lever(0, lever_position::close)},
      {61s, e::lever(1, lever_position::close)},
      {110s, e::lever(0, lever_position::neutral)},
      {110s, e::lever(1, lever_position::neutral)},
      {120s, e::apply_brakes()},
      {130s, e::steering(false)},
      {140s, e::start(0)},
      {190s, e::start(1)},
      {240s, e::steering(true)},
      {250s, e::external_power(false)},
      {255s, e::parking_brake(false)},
      {300s, e::airspeed(airspeed_band::useful)},
      {310s, e::air_ground_is(air_ground::air)},
      {315s, e::gear(false)},
      {320s, e::airspeed(airspeed_band::fast)},
      {400s, e::flame_out(1)},
      {450s, e::gear(true)},
      {500s, e::air_ground_is(air_ground::ground)},
      {520s, e::airspeed(airspeed_band::slow)},
      {540s, e::parking_brake(true)},
      {545s, e::shut_down(0)},
      {580s, e::apply_brakes()},
  };
}

/// Plays the turnaround with time passing in steps of at most `longest`.
void play_turnaround(simulation& s, milliseconds longest) {
  milliseconds now{0};
  const auto go_to = [&](milliseconds then) {
    while (now < then) {
      const milliseconds step = std::min(longest, then - now);
      s.advance(step);
      now += step;
    }
  };
  for (const timed_event& one : turnaround()) {
    go_to(one.at);
    accept(s, one.what);
  }
  go_to(600s);
}

// ---------------------------------------------------------------------------------- plant and logic

RULE_TEST(Simulation, OpensADoorFromTheLeverAlone, "CGO-1 CGO-2 CGO-6") {
  const layout of = checked(turnaround_spec());
  simulation s{of, plant_kind::quasi_static};
  accept(s, events::external_power(true));
  accept(s, events::lever(0, lever_position::open));
  EXPECT_EQ(observe(of, s.now()).circuits[0].status, circuit_status::partial) << "pressure follows in the same frame";
  s.advance(19'999ms);
  EXPECT_EQ(s.now().logic.doors[0].travel, door_travel::between);
  s.advance(1ms);
  EXPECT_EQ(s.now().logic.doors[0].travel, door_travel::open);
  EXPECT_EQ(observe(of, s.now()).circuits[0].status, circuit_status::off);
  EXPECT_FALSE(s.plant().at_pressure[0]);
}

RULE_TEST(Simulation, StartsAnEngineFromItsStartAlone, "ENG-1 ENG-2 ENG-3 AUX-1") {
  const layout of = checked(turnaround_spec());
  simulation s{of, plant_kind::quasi_static};
  accept(s, events::external_power(true));
  accept(s, events::start(0));
  s.advance(5'000ms);
  EXPECT_FALSE(s.plant().at_pressure[0]) << "at its mark the pump does not deliver yet [EDP-1]";
  s.advance(1ms);
  EXPECT_TRUE(s.plant().at_pressure[0]);
  s.advance(19'998ms);
  EXPECT_EQ(s.now().logic.engines[0].mode, engine_mode::cranking);
  s.advance(1ms);
  EXPECT_EQ(s.now().logic.engines[0].mode, engine_mode::at_idle);
  EXPECT_TRUE(s.plant().at_pressure[2]) << "the first engine starts the first-engine pump";
  s.advance(2'999ms);
  EXPECT_EQ(s.now().logic.engines[0].mode, engine_mode::at_idle);
  s.advance(1ms);
  EXPECT_EQ(s.now().logic.engines[0].mode, engine_mode::running);
}

RULE_TEST(Simulation, TestsTheTransferUnitDuringTheSecondStart, "PTU-3 PTU-5") {
  const layout of = checked(turnaround_spec());
  for (const unsigned first : {0U, 1U}) {
    simulation s{of, plant_kind::quasi_static};
    accept(s, events::external_power(true));
    accept(s, events::start(first));
    s.advance(30s);
    accept(s, events::start(1 - first));
    EXPECT_EQ(s.now().logic.units[0].outcome, test_outcome::pending);
    EXPECT_TRUE(s.plant().at_pressure[1 - first]) << "from the start selection, not from idle (common practice)";
    s.advance(3s);
    EXPECT_EQ(s.now().logic.units[0].outcome, test_outcome::passed);
  }
}

RULE_TEST(Simulation, AWeakUnitFailsItsTest, "PTU-5 INS-1") {
  auto spec = turnaround_spec();
  spec.engines[1].spool_up = 100s;  // its own pump delivers only after 20 s, and the test is over in 6 s
  spec.transfer_units[0].test_limit = 6s;
  const layout of = checked(spec);
  simulation s{of, plant_kind::quasi_static};
  accept(s, events::external_power(true));
  accept(s, events::inject(fault::unit_weak, events::unit(0)));
  accept(s, events::start(0));
  s.advance(30s);
  accept(s, events::start(1));
  s.advance(5'999ms);
  EXPECT_EQ(s.now().logic.units[0].outcome, test_outcome::pending);
  s.advance(1ms);
  EXPECT_EQ(s.now().logic.units[0].outcome, test_outcome::failed);
}

RULE_TEST(Simulation, ALeakBringsTheLowLevelAtTheMillisecondItIsDue, "LVL-1 LVL-6") {
  const layout of = checked(turnaround_spec());
  simulation s{of, plant_kind::quasi_static};
  accept(s, events::inject(fault::reservoir_leak, events::circuit(1), 1'000'000));  // 1 L/s, 20 L, mark at 6 L
  s.advance(14s);
  EXPECT_EQ(s.now().logic.circuits[1].level, fluid_level::normal) << "at the mark is not below it";
  s.advance(1ms);
  EXPECT_EQ(s.now().logic.circuits[1].level, fluid_level::low);
  s.advance(6s);
  EXPECT_EQ(s.now().logic.circuits[1].level, fluid_level::empty);
  EXPECT_EQ(fluid_of(of, s.plant(), 1).leaked, 20'000'000);
}

RULE_TEST(Simulation, BrakesTakeStoredEnergyAndPressureBringsItBack, "CON-3") {
  const layout of = checked(turnaround_spec());
  simulation s{of, plant_kind::quasi_static};
  const unsigned full = s.now().logic.aircraft.stored_0;
  for (int i = 0; i < 3; ++i) accept(s, events::apply_brakes());
  EXPECT_EQ(s.now().logic.aircraft.stored_0, full - 3);
  accept(s, events::external_power(true));
  accept(s, events::lever(0, lever_position::open));
  EXPECT_EQ(s.now().logic.aircraft.stored_0, full) << "service mode recharges it";
  accept(s, events::inject(fault::store_gas_lost, events::store(0)));
  EXPECT_EQ(s.now().logic.aircraft.stored_0, 0);
}

RULE_TEST(Simulation, ReleasingAndSettingTheParkingBrakeTakesOneApplication, "CON-3") {
  const layout of = checked(turnaround_spec());
  simulation s{of, plant_kind::quasi_static};
  const unsigned full = s.now().logic.aircraft.stored_0;
  accept(s, events::parking_brake(false));
  EXPECT_EQ(s.now().logic.aircraft.stored_0, full);
  accept(s, events::parking_brake(true));
  EXPECT_EQ(s.now().logic.aircraft.stored_0, full - 1);
}

RULE_TEST(Simulation, AServicingAnswerFollowsTheTurnaround, "LVL-5") {
  const layout of = checked(turnaround_spec());
  simulation s{of, plant_kind::quasi_static};
  accept(s, events::external_power(true));
  accept(s, events::inject(fault::line_leak, events::circuit(0), 10'000));
  accept(s, events::lever(0, lever_position::open));
  EXPECT_EQ(servicing(of, s.plant(), s.now(), 0).why_not, "the circuit has pressure");
  s.advance(25s);
  EXPECT_EQ(servicing(of, s.plant(), s.now(), 0).why_not, "a door of the circuit is not closed");
  accept(s, events::lever(0, lever_position::close));
  s.advance(25s);
  const servicing_answer answer = servicing(of, s.plant(), s.now(), 0);
  EXPECT_TRUE(answer.valid) << answer.why_not;
  EXPECT_EQ(answer.missing, 400'000) << "10 mL/s over twice 20 s of pressure";
}

// ------------------------------------------------------------------------------------ order and time

RULE_TEST(Simulation, TimersAdvanceBeforeTheFactOfTheSameTime, "GEN-3 CGO-10") {
  auto spec = turnaround_spec();
  spec.cargo_doors[0].run_limit = spec.cargo_doors[0].travel;
  const layout of = checked(spec);
  simulation s{of, plant_kind::quasi_static};
  accept(s, events::external_power(true));
  accept(s, events::lever(0, lever_position::open));
  std::vector<std::pair<event_kind, door_mode>> seen;
  s.watch([&](const simulation::frame& f) {
    if (f.after.chronicle.now == 20'000) seen.emplace_back(f.happening.kind, f.after.logic.doors[0].mode);
    EXPECT_TRUE(f.from_plant);
  });
  s.advance(20s);
  ASSERT_GE(seen.size(), 2U);
  EXPECT_EQ(seen[0].first, event_kind::elapsed);
  EXPECT_EQ(seen[0].second, door_mode::timed_out) << "elapsed reaches the limit: it expires";
  EXPECT_EQ(seen[1].first, event_kind::travel) << "the end of travel comes at the same time, and later";
}

RULE_TEST(Simulation, TimersAdvanceBeforeTheCommandOfTheSameTime, "GEN-3 CGO-7") {
  const layout of = checked(turnaround_spec());
  simulation s{of, plant_kind::quasi_static};
  accept(s, events::external_power(true));
  accept(s, events::lever(0, lever_position::open));
  s.advance(5s);
  accept(s, events::lever(0, lever_position::neutral));
  s.advance(39'999ms);
  EXPECT_EQ(s.now().logic.circuits[0].service, service_mode::hold_off);
  s.advance(1ms);
  EXPECT_EQ(s.now().logic.circuits[0].service, service_mode::none);
  accept(s, events::lever(0, lever_position::open));
  EXPECT_EQ(s.now().logic.circuits[0].service, service_mode::service);
}

RULE_TEST(Simulation, TenMinutesInStridesEqualTenMinutesInMilliseconds, "GEN-3 LVL-2") {
  const layout of = checked(turnaround_spec());
  simulation strides{of, plant_kind::quasi_static};
  play_turnaround(strides, 24h);
  EXPECT_EQ(strides.now().chronicle.now, 600'000U);
  EXPECT_GT(fluid_of(of, strides.plant(), 0).leaked, 100'000) << "the story must do something";
  for (const milliseconds longest : {1ms, 17ms, 997ms}) {
    simulation steps{of, plant_kind::quasi_static};
    play_turnaround(steps, longest);
    EXPECT_TRUE(steps.now() == strides.now()) << "states differ with steps of " << longest.count() << " ms";
    EXPECT_TRUE(steps.plant() == strides.plant()) << "plants differ with steps of " << longest.count() << " ms";
  }
}

RULE_TEST(Simulation, TheWatcherSeesEveryChangeInAnUnbrokenChain, "GEN-3") {
  const layout of = checked(turnaround_spec());
  simulation s{of, plant_kind::quasi_static};
  state last = s.now();
  std::size_t frames = 0, from_caller = 0;
  s.watch([&](const simulation::frame& f) {
    EXPECT_TRUE(f.before.logic == last.logic) << "something happened unseen before " << form_of(f.happening.kind).word;
    EXPECT_LE(last.chronicle.now, f.before.chronicle.now);
    last = f.after;
    ++frames;
    from_caller += f.from_plant ? 0U : 1U;
  });
  play_turnaround(s, 17ms);
  EXPECT_TRUE(last.logic == s.now().logic);
  EXPECT_EQ(from_caller, turnaround().size());
  EXPECT_GT(frames, 60U);
  EXPECT_LT(frames, 600U) << "the passing of quiet time is not worth a word";
  s.watch({});
  accept(s, events::external_power(true));
  EXPECT_LT(frames, 600U);
}

TEST(Simulation, AdvanceTellsTheRowsOfItsWholeSpan) {
  const layout of = checked(turnaround_spec());
  simulation s{of, plant_kind::quasi_static};
  accept(s, events::external_power(true));
  accept(s, events::start(0));
  std::size_t rows = 0;
  s.watch([&](const simulation::frame& f) { rows += f.what.rows; });
  const effects what = s.advance(60s);
  EXPECT_GT(rows, 3U);
  EXPECT_EQ(what.rows, rows);
  EXPECT_FALSE(what.cut_short);
  EXPECT_TRUE(std::is_sorted(what.taken().begin(), what.taken().end(),
                             [](const row_taken& a, const row_taken& b) { return a.at < b.at; }));
}

// --------------------------------------------------------------------------------- refusals and facts

RULE_TEST(Simulation, ARefusedEventChangesNothingInThePlant, "GEN-2") {
  const layout of = checked(turnaround_spec());
  simulation s{of, plant_kind::quasi_static};
  accept(s, events::external_power(true));
  accept(s, events::lever(0, lever_position::open));
  s.advance(3s);
  const state before = s.now();
  const quasi_static_state plant = s.plant();
  for (const event& wrong : {events::pin(true), events::lever(7, lever_position::open), events::stored(0, 1'000),
                             events::abort_start(0), events::elapsed(-1ms), events::elapsed(25h)}) {
    const effects what = s.apply(wrong);
    EXPECT_FALSE(what.accepted()) << form_of(wrong.kind).word;
    EXPECT_FALSE(what.refused.sentence.empty());
    EXPECT_TRUE(s.now() == before);
    EXPECT_TRUE(s.plant() == plant);
  }
}

RULE_TEST(Simulation, ARefusedBrakeApplicationTakesNothingFromTheStores, "GEN-2 CON-3") {
  const layout of = checked(turnaround_spec());
  simulation s{of, plant_kind::quasi_static};
  const quasi_static_state plant = s.plant();
  const effects what = s.apply(events::make(event_kind::apply_brakes, events::engine(0)));
  EXPECT_EQ(what.refused.kind, refusal_kind::wrong_part);
  EXPECT_TRUE(s.plant() == plant);
}

TEST(Simulation, TimeThatRunsBackwardsOrBeyondTheLimitIsRefused) {
  const layout of = checked(turnaround_spec());
  for (const plant_kind kind : {plant_kind::none, plant_kind::quasi_static}) {
    simulation s{of, kind};
    accept(s, events::external_power(true));
    const state before = s.now();
    for (const milliseconds span :
         {milliseconds{-1}, milliseconds::min(), milliseconds{24h} + 1ms, milliseconds::max()}) {
      EXPECT_EQ(s.advance(span).refused.kind, refusal_kind::time) << span.count();
      EXPECT_TRUE(s.now() == before) << span.count();
    }
    EXPECT_TRUE(s.advance(0ms).accepted());
    EXPECT_TRUE(s.advance(1s).accepted());
  }
}

TEST(Simulation, RefusesFactsThatThePlantSupplies) {
  const layout of = checked(turnaround_spec());
  simulation s{of, plant_kind::quasi_static};
  accept(s, events::external_power(true));
  for (const event& forced :
       {events::spool(0, spool_band::driving), events::travel(0, door_travel::open), events::pressure(0, true),
        events::priority(1, true), events::level(0, fluid_level::over), events::stored(0, 2),
        events::difference(0, pressure_difference::a_exceeds)}) {
    EXPECT_FALSE(s.apply(forced).accepted()) << form_of(forced.kind).word;
    EXPECT_EQ(owed(s), "");
  }
  EXPECT_EQ(s.now().logic.engines[0].spool, spool_band::zero);
  EXPECT_EQ(s.now().logic.doors[0].travel, door_travel::closed);
  EXPECT_FALSE(s.now().logic.circuits[0].pressure_made);
  EXPECT_EQ(s.now().logic.circuits[0].level, fluid_level::normal);
}

TEST(Simulation, WithoutAPlantOnlyTheCallerSuppliesFacts) {
  const layout of = checked(turnaround_spec());
  simulation s{of, plant_kind::none};
  accept(s, events::external_power(true));
  accept(s, events::lever(0, lever_position::open));
  s.advance(30s);
  EXPECT_EQ(s.now().logic.electric_pumps[0].mode, pump_mode::delivering);
  EXPECT_FALSE(s.now().logic.circuits[0].pressure_made);
  EXPECT_EQ(s.now().logic.doors[0].travel, door_travel::closed);
  accept(s, events::travel(0, door_travel::open));
  EXPECT_EQ(s.now().logic.doors[0].travel, door_travel::open);
}

RULE_TEST(Simulation, BeginsAtARepositionedStateWithItsPressures, "GEN-7") {
  const layout of = checked(turnaround_spec());
  reposition_spec to = reposition_of_cold_and_dark(of);
  to.engine_runs = {true, true};
  to.in_flight = true;
  to.gear_down = false;
  to.parking_brake_set = false;
  to.airspeed = airspeed_band::fast;
  to.levels[1] = fluid_level::low;
  const auto from = repositioned(of, to);
  ASSERT_TRUE(from) << to_string(from.problem());
  const simulation s{of, plant_kind::quasi_static, *from};
  EXPECT_EQ(owed(s), "");
  for (unsigned c = 0; c < 3; ++c) EXPECT_TRUE(s.now().logic.circuits[c].pressure_made) << c;
  EXPECT_EQ(s.now().logic.circuits[1].level, fluid_level::low);
  EXPECT_EQ(fluid_of(of, s.plant(), 0).actuators, 1'500'000) << "the gear is up";
  EXPECT_EQ(s.now().logic.units[0].outcome, test_outcome::none) << "nothing counts as having happened";
}

// --------------------------------------------------------------------------------------- random storms

/// The same numbers everywhere, in 32 bits.
struct dice {
  std::mt19937 engine;
  explicit dice(std::uint32_t seed) : engine(seed) {}
  std::uint32_t operator()() { return static_cast<std::uint32_t>(engine()); }
};

event random_event(dice& d) {
  namespace e = events;
  const unsigned two = d() % 2, three = d() % 3;
  switch (d() % 30) {
    case 0: return e::external_power(two == 0);
    case 1: return e::auxiliary_power(two == 0);
    case 2:
    case 3:
    case 4: return e::lever(two, static_cast<lever_position>(three));
    case 5:
    case 6: return e::start(two);
    case 7: return e::shut_down(two);
    case 8: return e::abort_start(two);
    case 9: return e::crew_switch(e::electric_pump(three), static_cast<pump_switch>(d() % 3));
    case 10: return e::crew_switch(e::engine_pump(two), d() % 3 == 0 ? pump_switch::off : pump_switch::on);
    case 11: return e::crew_switch(e::unit(0), d() % 3 == 0 ? pump_switch::off : pump_switch::automatic);
    case 12: return e::air_ground_is(static_cast<air_ground>(two));
    case 13: return e::gear(two == 0);
    case 14: return e::airspeed(static_cast<airspeed_band>(three));
    case 15: return e::apply_brakes();
    case 16: return e::parking_brake(two == 0);
    case 17: return e::hand_pump(0, two == 0);
    case 18: return e::leak_isolation(1, two == 0);
    case 19: return e::flame_out(two);
    case 20: return e::inject(fault::reservoir_leak, e::circuit(three), 1 + static_cast<std::int64_t>(d() % 2'000'000));
    case 21: return e::inject(fault::line_leak, e::circuit(three), 1 + static_cast<std::int64_t>(d() % 2'000'000));
    case 22: return e::inject(fault::consumer_leak, e::consumer(d() % 6), 1 + static_cast<std::int64_t>(d() % 500'000));
    case 23: return e::inject(fault::pump_weak, e::electric_pump(three));
    case 24: return e::inject(two == 0 ? fault::unit_seized : fault::unit_weak, e::unit(0));
    case 25: return e::inject(fault::engine_hangs, e::engine(two));
    case 26:
      return e::inject(static_cast<fault>(static_cast<unsigned>(fault::pressure_switch_stuck_made) + d() % 4),
                       e::circuit(three));
    case 27:
      return e::inject(static_cast<fault>(static_cast<unsigned>(fault::lever_stuck_neutral) + d() % 5), e::door(two));
    case 28: return e::inject(fault::store_gas_lost, e::store(0));
    default: return e::clear_faults();
  }
}

RULE_TEST(SimulationStorm, LogicAndPlantAgreeAfterEveryFrameAndFluidIsConserved, "GEN-1 LVL-2") {
  auto spec = turnaround_spec();
  spec.circuits[1].compression = litres(2.0);  // more than the hysteresis: levels must not come and go
  const layout of = checked(spec);
  dice d{20'231U};
  std::size_t most_told = 0, seen_low = 0, seen_empty = 0, seen_service = 0, seen_transfer = 0;
  for (int story = 0; story < 60; ++story) {
    simulation s{of, plant_kind::quasi_static};
    std::size_t told = 0;
    std::uint32_t moment = 0;
    s.watch([&](const simulation::frame& f) {
      // quiet time is not watched: a fact at another time begins another frame
      if (!f.from_plant || f.happening.kind == event_kind::elapsed || f.after.chronicle.now != moment) told = 0;
      moment = f.after.chronicle.now;
      if (f.from_plant && f.happening.kind != event_kind::elapsed) ++told;
      most_told = std::max(most_told, told);
    });
    for (int frame = 0; frame < 400; ++frame) {
      told = 0;
      s.apply(random_event(d));
      ASSERT_EQ(owed(s), "") << "story " << story << ", frame " << frame;
      told = 0;
      s.advance(milliseconds{d() % (d() % 4 == 0 ? 60'000U : 2'000U)});
      ASSERT_EQ(owed(s), "") << "story " << story << ", frame " << frame << ", after time";
      for (unsigned c = 0; c < 3; ++c) {
        const fluid_account f = fluid_of(of, s.plant(), c);
        ASSERT_EQ(f.reservoir + f.lines + f.actuators + f.stores + f.leaked, f.filled);
        ASSERT_GE(std::min({f.reservoir, f.lines, f.actuators, f.stores, f.leaked}), 0);
        seen_low += s.now().logic.circuits[c].level == fluid_level::low ? 1U : 0U;
        seen_empty += s.now().logic.circuits[c].level == fluid_level::empty ? 1U : 0U;
        seen_service += s.now().logic.circuits[c].service == service_mode::service ? 1U : 0U;
      }
      const unit_mode unit = s.now().logic.units[0].mode;
      seen_transfer += unit == unit_mode::a_drives_b || unit == unit_mode::b_drives_a ? 1U : 0U;
    }
  }
  RecordProperty("most facts told in a frame", static_cast<int>(most_told));
  EXPECT_LT(most_told, detail::quasi::most_facts_in_a_frame / 4) << "the bound is far away";
  EXPECT_GT(seen_low, 100U);
  EXPECT_GT(seen_empty, 100U);
  EXPECT_GT(seen_service, 100U);
  EXPECT_GT(seen_transfer, 100U);
}

RULE_TEST(SimulationStorm, SplittingTimeChangesNothing, "GEN-3") {
  const layout of = checked(turnaround_spec());
  dice d{77U};
  for (int story = 0; story < 20; ++story) {
    simulation whole{of, plant_kind::quasi_static};
    simulation split{of, plant_kind::quasi_static};
    for (int frame = 0; frame < 200; ++frame) {
      const event happening = random_event(d);
      whole.apply(happening);
      split.apply(happening);
      const std::int64_t span = d() % 20'000;
      whole.advance(milliseconds{span});
      for (std::int64_t left = span; left > 0;) {
        const std::int64_t step = std::min<std::int64_t>(left, 1 + d() % 5'000);
        split.advance(milliseconds{step});
        left -= step;
      }
      ASSERT_TRUE(whole.now() == split.now()) << "story " << story << ", frame " << frame;
      ASSERT_TRUE(whole.plant() == split.plant()) << "story " << story << ", frame " << frame;
    }
  }
}

}  // namespace
