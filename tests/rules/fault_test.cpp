// Faults that an instructor injects [INS-1]: what each does, when it begins, how it ends.
#include "support/bench.hpp"
#include "support/rule_test.hpp"

namespace penstock_tests {
namespace {

constexpr unsigned port = 0, starboard = 1, unit = 0;

event electric_switch(unsigned pump, pump_switch to) { return events::crew_switch(events::electric_pump(pump), to); }

std::size_t listed(const bench& b, fault_status status) {
  std::size_t found = 0;
  for (const injected_fault& one : b.now().faults) found += one.status == status ? 1U : 0U;
  return found;
}
fault_status status_of(const bench& b, fault kind) {
  for (const injected_fault& one : b.now().faults) {
    if (one.status != fault_status::unused && one.kind == kind) return one.status;
  }
  return fault_status::unused;
}
bench running_twin() {
  bench b = powered_twin();
  full_start(b, 0);
  return b;
}
/// The quasi-static plant on the twin of the bench.
struct flown {
  explicit flown(layout_spec spec = two_engine_spec())
      : b(std::move(spec)), run(b.aircraft(), plant_kind::quasi_static) {}
  flown(const flown&) = delete;
  flown& operator=(const flown&) = delete;
  flown& does(const event& happening) {
    const effects what = run.apply(happening);
    EXPECT_TRUE(what.accepted()) << testing::PrintToString(happening) << ": " << what.refused.sentence;
    return *this;
  }
  flown& wait(milliseconds span) {
    static_cast<void>(run.advance(span));
    return *this;
  }
  [[nodiscard]] observation sees() const { return observe(b.aircraft(), run.now()); }
  bench b;
  simulation run;
};

// ---- pumps

RULE_TEST(Faults, AFailedEnginePumpIsLatchedUntilReset, "INS-1 EDP-4") {
  bench b = running_twin();
  const subject pump = events::engine_pump(0);
  b.does(events::inject(fault::pump_failed, pump));
  EXPECT_EQ(b.sees().engine_pumps[0].reason, engine_pump_reason::failed);
  b.refused_by(events::reset(pump), "EDP-4");
  b.does(events::remove_fault(fault::pump_failed, pump));
  EXPECT_EQ(b.sees().engine_pumps[0].reason, engine_pump_reason::failed) << "the cause is gone, the latch is not";
  b.does(events::reset(pump));
  EXPECT_TRUE(b.sees().engine_pumps[0].delivering);
}

RULE_TEST(Faults, AFailedElectricPumpIsLatchedUntilReset, "INS-1 CGO-14") {
  bench b = powered_twin();
  const subject pump = events::electric_pump(plain_pump);
  b.does(electric_switch(plain_pump, pump_switch::on), events::inject(fault::pump_failed, pump));
  EXPECT_EQ(b.sees().electric_pumps[plain_pump].reason, electric_pump_reason::failed);
  b.does(events::remove_fault(fault::pump_failed, pump));
  EXPECT_FALSE(b.sees().electric_pumps[plain_pump].delivering);
  b.does(events::reset(pump));
  EXPECT_TRUE(b.sees().electric_pumps[plain_pump].delivering);
}

RULE_TEST(Faults, AnOverheatedPumpStopsAndComesBackByItself, "INS-1 EDP-4 CGO-14") {
  bench b = running_twin();
  b.does(electric_switch(plain_pump, pump_switch::on));
  for (const subject pump : {events::engine_pump(0), events::electric_pump(plain_pump)}) {
    b.does(events::inject(fault::pump_overheated, pump));
  }
  EXPECT_EQ(b.sees().engine_pumps[0].reason, engine_pump_reason::overheat);
  EXPECT_EQ(b.sees().electric_pumps[plain_pump].reason, electric_pump_reason::overheat);
  b.does(events::clear_faults());
  EXPECT_TRUE(b.sees().engine_pumps[0].delivering);
  EXPECT_TRUE(b.sees().electric_pumps[plain_pump].delivering);
}

RULE_TEST(Faults, AWeakPumpTurnsWithoutMakingPressure, "INS-1") {
  flown f;
  f.does(events::external_power(true)).does(electric_switch(plain_pump, pump_switch::on)).wait(10s);
  ASSERT_TRUE(f.sees().circuits[starboard].at_pressure);
  f.does(events::inject(fault::pump_weak, events::electric_pump(plain_pump))).wait(10s);
  EXPECT_FALSE(f.sees().circuits[starboard].at_pressure);
  f.does(events::remove_fault(fault::pump_weak, events::electric_pump(plain_pump))).wait(10s);
  EXPECT_TRUE(f.sees().circuits[starboard].at_pressure);
}

RULE_TEST(Faults, NoResetMendsAShearedShaft, "INS-1 EDP-7") {
  bench b = running_twin();
  b.does(events::inject(fault::shaft_sheared, events::engine_pump(0)));
  EXPECT_FALSE(b.sees().engine_pumps[0].delivering);
  EXPECT_EQ(b.sees().engine_pumps[0].reason, engine_pump_reason::failed);
  b.refused_by(events::reset(events::engine_pump(0)), "EDP-7");
}

// ---- power

RULE_TEST(Faults, ALostBusIsDeadWhateverFeedsIt, "INS-1 ELP-2") {
  bench b = running_twin();
  ASSERT_TRUE(b.sees().buses[1].powered);
  b.does(events::inject(fault::bus_lost, events::bus(1)));
  EXPECT_FALSE(b.sees().buses[1].powered);
  EXPECT_TRUE(b.sees().buses[0].powered);
  EXPECT_EQ(b.sees().electric_pumps[duty_pump].reason, electric_pump_reason::no_power);
  b.does(events::remove_fault(fault::bus_lost, events::bus(1)));
  EXPECT_TRUE(b.sees().electric_pumps[duty_pump].delivering) << "it resumes by itself";
}

RULE_TEST(Faults, AllPowerLostTakesEveryBus, "INS-1") {
  bench b = running_twin();
  b.does(events::inject(fault::all_power_lost, events::aircraft));
  EXPECT_FALSE(b.sees().buses[0].powered);
  EXPECT_FALSE(b.sees().buses[1].powered);
  b.does(events::clear_faults());
  EXPECT_TRUE(b.sees().buses[0].powered);
  EXPECT_TRUE(b.sees().buses[1].powered);
}

RULE_TEST(Faults, ADoorOperationGoesOnAfterAPowerLoss, "INS-1 CGO-9 GEN-1") {
  bench b = powered_twin();
  b.does(events::lever(forward_door, lever_position::open), events::inject(fault::all_power_lost, events::aircraft));
  EXPECT_EQ(b.sees().doors[forward_door].mode, door_mode::blocked);
  b.does(events::clear_faults());
  EXPECT_EQ(b.sees().doors[forward_door].mode, door_mode::asking);
  EXPECT_TRUE(b.sees().electric_pumps[cargo_pump].delivering);
}

// ---- reservoirs

RULE_TEST(Faults, ReservoirAirLostIsLowAir, "INS-1 RES-1") {
  bench b{two_engine_spec()};
  b.does(events::inject(fault::reservoir_air_lost, events::circuit(port)));
  EXPECT_TRUE(b.sees().circuits[port].air_low);
  EXPECT_EQ(b.level_of(condition::reservoir_air, events::circuit(port)), alert_class::caution);
  b.does(events::remove_fault(fault::reservoir_air_lost, events::circuit(port)));
  EXPECT_FALSE(b.sees().circuits[port].air_low);
  EXPECT_EQ(b.sees().alerts, 0);
}

RULE_TEST(Faults, HotFluidIsHotFluid, "INS-1 RES-2") {
  bench b{two_engine_spec()};
  b.does(events::inject(fault::fluid_hot, events::circuit(starboard)));
  EXPECT_TRUE(b.sees().circuits[starboard].fluid_hot);
  EXPECT_EQ(b.level_of(condition::fluid_hot, events::circuit(starboard)), alert_class::caution);
  b.does(events::clear_faults());
  EXPECT_EQ(b.sees().alerts, 0);
}

RULE_TEST(Faults, TheThreeLeaksNeedAFlow, "INS-1 GEN-2") {
  bench b{two_engine_spec()};
  const std::pair<fault, subject> leaks[] = {{fault::reservoir_leak, events::circuit(port)},
                                             {fault::line_leak, events::circuit(port)},
                                             {fault::consumer_leak, events::consumer(gear)}};
  for (const auto& [kind, where] : leaks) {
    EXPECT_TRUE(form_of(kind).needs_amount);
    b.rejects(events::inject(kind, where, 0), refusal_kind::bad_value);
    b.rejects(events::inject(kind, where, -5), refusal_kind::bad_value);
    b.does(events::inject(kind, where, 1));
    EXPECT_EQ(status_of(b, kind), fault_status::active);
  }
}

// ---- transfer unit

RULE_TEST(Faults, ASeizedUnitTransfersNothingAndFailsItsTest, "INS-1 PTU-5") {
  flown f;
  f.does(events::inject(fault::unit_seized, events::unit(unit))).does(events::external_power(true));
  f.does(events::crew_switch(events::engine_pump(1), pump_switch::off));
  f.does(events::start(0)).wait(60s).does(events::start(1)).wait(7s);
  EXPECT_FALSE(f.sees().circuits[starboard].at_pressure);
  EXPECT_EQ(f.sees().units[unit].outcome, test_outcome::failed);
}

RULE_TEST(Faults, AWeakUnitFailsItsTest, "INS-1 PTU-5") {
  flown f;
  f.does(events::inject(fault::unit_weak, events::unit(unit))).does(events::external_power(true));
  f.does(events::crew_switch(events::engine_pump(1), pump_switch::off));
  f.does(events::start(0)).wait(60s).does(events::start(1)).wait(7s);
  EXPECT_FALSE(f.sees().circuits[starboard].pressure_made);
  EXPECT_EQ(f.sees().units[unit].outcome, test_outcome::failed);
}

RULE_TEST(Faults, AHealthyUnitPassesItsTest, "PTU-5") {
  flown f;
  f.does(events::external_power(true)).does(events::start(0)).wait(60s).does(events::start(1)).wait(7s);
  EXPECT_EQ(f.sees().units[unit].outcome, test_outcome::passed);
}

// ---- switches

RULE_TEST(Faults, APressureSwitchMayStickMade, "INS-1 CIR-1") {
  bench b = powered_twin();
  b.does(events::inject(fault::pressure_switch_stuck_made, events::circuit(starboard)));
  EXPECT_TRUE(b.sees().circuits[starboard].pressure_made);
  EXPECT_FALSE(b.sees().circuits[starboard].at_pressure);
  EXPECT_FALSE(b.sees().consumers[steering].available) << "what works follows the pressure, not the switch";
  b.does(events::clear_faults());
  EXPECT_FALSE(b.sees().circuits[starboard].pressure_made);
}

RULE_TEST(Faults, APressureSwitchMayStickOpen, "INS-1 CIR-1") {
  bench b = powered_twin();
  b.does(electric_switch(plain_pump, pump_switch::on)).pressures_follow();
  b.does(events::inject(fault::pressure_switch_stuck_open, events::circuit(starboard)));
  EXPECT_FALSE(b.sees().circuits[starboard].pressure_made);
  EXPECT_TRUE(b.sees().circuits[starboard].at_pressure);
  EXPECT_EQ(b.sees().circuits[starboard].status, circuit_status::low);
  EXPECT_TRUE(b.sees().consumers[steering].available);
  b.does(events::clear_faults());
  EXPECT_EQ(b.sees().circuits[starboard].status, circuit_status::normal);
}

RULE_TEST(Faults, ALevelSwitchMayStickLow, "INS-1 LVL-1") {
  bench b{two_engine_spec()};
  b.does(events::inject(fault::level_switch_stuck_low, events::circuit(port)));
  EXPECT_EQ(b.sees().circuits[port].level, fluid_level::low);
  EXPECT_EQ(b.level_of(condition::quantity, events::circuit(port)), alert_class::caution);
  b.does(events::clear_faults());
  EXPECT_EQ(b.sees().circuits[port].level, fluid_level::normal);
}

RULE_TEST(Faults, ALevelSwitchMayStickNormal, "INS-1 LVL-1") {
  bench b{two_engine_spec()};
  b.does(events::inject(fault::level_switch_stuck_normal, events::circuit(port)),
         events::level(port, fluid_level::low));
  EXPECT_EQ(b.sees().circuits[port].level, fluid_level::normal);
  EXPECT_EQ(b.level_of(condition::quantity, events::circuit(port)), alert_class::none);
  b.does(events::clear_faults());
  EXPECT_EQ(b.level_of(condition::quantity, events::circuit(port)), alert_class::caution);
}

RULE_TEST(Faults, APumpRunsDryWhateverItsLevelSwitchSays, "INS-1 LVL-4") {
  bench b = running_twin();
  b.does(events::inject(fault::level_switch_stuck_normal, events::circuit(port)));
  b.does(events::level(port, fluid_level::empty));
  EXPECT_EQ(b.sees().engine_pumps[0].reason, engine_pump_reason::dry);
}

RULE_TEST(Faults, ALeverSwitchMayStickInNeutral, "INS-1 CGO-1") {
  bench b = powered_twin();
  b.does(events::inject(fault::lever_stuck_neutral, events::door(forward_door)));
  b.does(events::lever(forward_door, lever_position::open));
  EXPECT_EQ(b.sees().doors[forward_door].mode, door_mode::idle);
  EXPECT_FALSE(b.sees().electric_pumps[cargo_pump].delivering);
  b.does(events::clear_faults());
  EXPECT_EQ(b.sees().doors[forward_door].mode, door_mode::asking) << "the lever is out";
}

RULE_TEST(Faults, ALeverSwitchMayStickOut, "INS-1 CGO-1") {
  for (const fault kind : {fault::lever_stuck_open, fault::lever_stuck_close}) {
    bench b = powered_twin();
    b.does(events::travel(forward_door, door_travel::between), events::inject(kind, events::door(forward_door)));
    EXPECT_EQ(b.sees().doors[forward_door].mode, door_mode::asking) << word(kind);
    EXPECT_TRUE(b.sees().electric_pumps[cargo_pump].delivering) << word(kind);
    b.does(events::clear_faults());
    EXPECT_EQ(b.sees().doors[forward_door].mode, door_mode::idle) << word(kind);
  }
}

RULE_TEST(Faults, ATravelSwitchMayStickMade, "INS-1 CGO-2") {
  bench b = powered_twin();
  b.does(events::lever(forward_door, lever_position::open), events::travel(forward_door, door_travel::between));
  ASSERT_EQ(b.sees().doors[forward_door].mode, door_mode::asking);
  b.does(events::inject(fault::travel_switch_stuck_made, events::door(forward_door)));
  EXPECT_EQ(b.sees().doors[forward_door].mode, door_mode::at_end) << "the door stops short";
  b.does(events::clear_faults());
  EXPECT_EQ(b.sees().doors[forward_door].mode, door_mode::asking);
}

RULE_TEST(Faults, ATravelSwitchMayStickOpen, "INS-1 CGO-2 CGO-10") {
  bench b = powered_twin();
  b.does(events::inject(fault::travel_switch_stuck_open, events::door(forward_door)));
  b.does(events::lever(forward_door, lever_position::open), events::travel(forward_door, door_travel::between));
  b.does(events::travel(forward_door, door_travel::open));
  EXPECT_EQ(b.sees().doors[forward_door].mode, door_mode::asking) << "its end is never seen";
  b.wait(90s);
  EXPECT_EQ(b.sees().doors[forward_door].mode, door_mode::timed_out) << "the run limit ends it";
}

// ---- engines

RULE_TEST(Faults, ASupplyValveMayStickOpen, "INS-1 ENG-6") {
  bench b = running_twin();
  b.does(events::inject(fault::supply_valve_stuck_open, events::engine(0)), events::fire_handle(0, true));
  EXPECT_TRUE(b.sees().engines[0].supply_open);
  EXPECT_TRUE(b.sees().engine_pumps[0].delivering);
}

RULE_TEST(Faults, ASupplyValveMayStickClosed, "INS-1 EDP-5") {
  bench b = running_twin();
  b.does(events::inject(fault::supply_valve_stuck_closed, events::engine(0)));
  EXPECT_FALSE(b.sees().engines[0].supply_open);
  EXPECT_EQ(b.sees().engine_pumps[0].reason, engine_pump_reason::no_supply);
  b.does(events::clear_faults());
  EXPECT_TRUE(b.sees().engine_pumps[0].delivering);
}

RULE_TEST(Faults, AnEngineMayHang, "INS-1 ENG-4") {
  flown f;
  f.does(events::inject_when(fault::engine_hangs, events::engine(0), fault_trigger::engine_cranks, events::engine(0)));
  f.does(events::start(0));
  bool ran = false;
  for (int i = 0; i < 120; ++i) {
    f.wait(1s);
    const engine_mode mode = f.sees().engines[0].mode;
    ran = ran || mode == engine_mode::at_idle || mode == engine_mode::running;
  }
  EXPECT_FALSE(ran);
  EXPECT_EQ(f.sees().engines[0].mode, engine_mode::stopped);
  EXPECT_FALSE(f.sees().engines[0].selected) << "a hung start cancels the selection";
}

RULE_TEST(Faults, AnEngineMayFlameOut, "INS-1 ENG-5 ENG-10") {
  bench b = running_twin();
  b.does(events::inject(fault::engine_flames_out, events::engine(0)));
  EXPECT_EQ(b.sees().engines[0].mode, engine_mode::run_down);
  EXPECT_TRUE(b.sees().engines[0].selected);
}

// ---- stores

RULE_TEST(Faults, AnAccumulatorMayLoseItsGas, "INS-1 CON-3") {
  bench b{two_engine_spec()};
  b.does(events::inject(fault::store_gas_lost, events::store(0)));
  EXPECT_EQ(b.sees().stored[0], 0);
  EXPECT_EQ(b.sees().consumers[parking_brake].reason, consumer_reason::exhausted);
  EXPECT_EQ(class_of(b, condition::parking_brake), alert_class::caution);
}

// ---- when a fault begins

RULE_TEST(Faults, ATimeArmsAFaultUntilItComes, "INS-1 GEN-3") {
  bench b{two_engine_spec()};
  b.does(events::inject_at(fault::fluid_hot, events::circuit(port), 10s));
  EXPECT_EQ(status_of(b, fault::fluid_hot), fault_status::armed);
  EXPECT_EQ(b.deadline(), 10'000U);
  b.wait(9999ms);
  EXPECT_FALSE(b.sees().circuits[port].fluid_hot);
  b.wait(1ms);
  EXPECT_TRUE(b.sees().circuits[port].fluid_hot);
  EXPECT_EQ(b.alert(condition::fluid_hot, events::circuit(port))->onset, 10'000U);
}

RULE_TEST(Faults, ATimeThatIsPassedInOneStepStillHasItsOnset, "INS-1 GEN-3") {
  bench b{two_engine_spec()};
  b.does(events::inject_at(fault::fluid_hot, events::circuit(port), 10s)).wait(1h);
  EXPECT_EQ(b.alert(condition::fluid_hot, events::circuit(port))->onset, 10'000U);
}

struct occasion {
  fault_trigger trigger;
  subject about;
};

/// A story in which every occasion comes, in a known order. Says after which step the fault was active.
int step_of(const occasion& what) {
  bench b = powered_twin();
  b.does(events::inject_when(fault::fluid_hot, events::circuit(2), what.trigger, what.about));
  int step = 0;
  const auto next = [&](auto&&... happening) {
    if (status_of(b, fault::fluid_hot) == fault_status::active) return;
    ++step;
    (b.does(happening), ...);
  };
  next(events::lever(forward_door, lever_position::open));     // 1 door moves, pump delivers
  next(events::pressure(port, true));                          // 2 pressure
  next(events::lever(forward_door, lever_position::neutral));  // 3
  b.wait(1min);
  next(events::start(0));                                                                // 4 cranks
  next(events::spool(0, spool_band::turning), events::spool(0, spool_band::near_idle));  // 5
  next(events::spool(0, spool_band::idle));                                              // 6 runs
  next(events::start(1));                                                                // 7 test
  next(events::air_ground_is(air_ground::air));                                          // 8 lift-off
  next(events::air_ground_is(air_ground::ground));                                       // 9 touchdown
  return status_of(b, fault::fluid_hot) == fault_status::active ? step : -1;
}

RULE_TEST(Faults, ADoorMovementSetsOffAFault, "INS-1") {
  EXPECT_EQ(step_of({fault_trigger::door_moves, events::door(forward_door)}), 1);
}
RULE_TEST(Faults, ADeliveringElectricPumpSetsOffAFault, "INS-1") {
  EXPECT_EQ(step_of({fault_trigger::pump_delivers, events::electric_pump(cargo_pump)}), 1);
}
RULE_TEST(Faults, PressureSetsOffAFault, "INS-1") {
  EXPECT_EQ(step_of({fault_trigger::pressure_made, events::circuit(port)}), 2);
}
RULE_TEST(Faults, ACrankingEngineSetsOffAFault, "INS-1") {
  EXPECT_EQ(step_of({fault_trigger::engine_cranks, events::engine(0)}), 4);
}
RULE_TEST(Faults, ADeliveringEnginePumpSetsOffAFault, "INS-1") {
  EXPECT_EQ(step_of({fault_trigger::pump_delivers, events::engine_pump(0)}), 5);
}
RULE_TEST(Faults, ARunningEngineSetsOffAFault, "INS-1") {
  EXPECT_EQ(step_of({fault_trigger::engine_runs, events::engine(0)}), 6);
}
RULE_TEST(Faults, ATransferTestSetsOffAFault, "INS-1") {
  EXPECT_EQ(step_of({fault_trigger::test_runs, events::unit(unit)}), 7);
}
RULE_TEST(Faults, LiftOffSetsOffAFault, "INS-1") { EXPECT_EQ(step_of({fault_trigger::lift_off, events::aircraft}), 8); }
RULE_TEST(Faults, TouchdownSetsOffAFaultOnlyAfterFlight, "INS-1") {
  EXPECT_EQ(step_of({fault_trigger::touchdown, events::aircraft}), 9);
}

RULE_TEST(Faults, AnOccasionThatIsThereAlreadySetsOffAFaultAtOnce, "INS-1 GEN-1") {
  bench b = running_twin();
  b.does(events::inject_when(fault::fluid_hot, events::circuit(port), fault_trigger::engine_runs, events::engine(0)));
  EXPECT_EQ(status_of(b, fault::fluid_hot), fault_status::active);
}

RULE_TEST(Faults, AnActiveFaultStaysWhenItsOccasionEnds, "INS-1") {
  bench b = running_twin();
  b.does(events::inject_when(fault::fluid_hot, events::circuit(port), fault_trigger::engine_runs, events::engine(0)));
  full_stop(b, 0);
  EXPECT_TRUE(b.sees().circuits[port].fluid_hot);
}

// ---- listed, removed, cleared

RULE_TEST(Faults, AreListedUntilRemoved, "INS-1") {
  bench b{two_engine_spec()};
  b.does(events::inject(fault::fluid_hot, events::circuit(port)),
         events::inject_at(fault::bus_lost, events::bus(0), 1min));
  EXPECT_EQ(listed(b, fault_status::active), 1U);
  EXPECT_EQ(listed(b, fault_status::armed), 1U);
  b.does(events::remove_fault(fault::bus_lost, events::bus(0)));
  EXPECT_EQ(listed(b, fault_status::armed), 0U);
  b.wait(2min);
  EXPECT_EQ(listed(b, fault_status::active), 1U);
  b.does(events::remove_fault(fault::fluid_hot, events::circuit(port)));
  EXPECT_EQ(listed(b, fault_status::unused), limits::faults);
}

RULE_TEST(Faults, AGeneralClearLeavesSwitchesAlone, "INS-1") {
  bench b = running_twin();
  b.does(electric_switch(plain_pump, pump_switch::on), electric_switch(duty_pump, pump_switch::off));
  b.does(events::crew_switch(events::engine_pump(1), pump_switch::off),
         events::crew_switch(events::unit(unit), pump_switch::off));
  b.does(events::fire_handle(1, true), events::steering(false));
  b.does(events::inject(fault::pump_overheated, events::engine_pump(0)),
         events::inject(fault::bus_lost, events::bus(0)));
  b.does(events::clear_faults());
  EXPECT_EQ(listed(b, fault_status::unused), limits::faults);
  const observation seen = b.sees();
  EXPECT_EQ(seen.electric_pumps[plain_pump].switched, pump_switch::on);
  EXPECT_EQ(seen.electric_pumps[duty_pump].switched, pump_switch::off);
  EXPECT_FALSE(seen.engine_pumps[1].switched_on);
  EXPECT_EQ(seen.units[unit].mode, unit_mode::off);
  EXPECT_TRUE(seen.engines[1].fire_handle_pulled);
  EXPECT_EQ(seen.steering, steering_mode::disconnected);
}

RULE_TEST(Faults, OneTooManyIsRejected, "INS-1 GEN-2") {
  constexpr fault of_circuits[] = {fault::reservoir_leak,
                                   fault::line_leak,
                                   fault::reservoir_air_lost,
                                   fault::fluid_hot,
                                   fault::pressure_switch_stuck_made,
                                   fault::pressure_switch_stuck_open,
                                   fault::level_switch_stuck_low,
                                   fault::level_switch_stuck_normal};
  static_assert(2 * std::size(of_circuits) == limits::faults, "two circuits fill all places");
  bench b{two_engine_spec()};
  const auto leaks = [](fault kind) { return form_of(kind).needs_amount ? 100 : 0; };
  for (const unsigned circuit : {port, starboard}) {
    for (const fault kind : of_circuits) b.does(events::inject_at(kind, events::circuit(circuit), 1min, leaks(kind)));
  }
  b.rejects(events::inject_at(fault::fluid_hot, events::circuit(2), 1min), refusal_kind::too_many_faults);
  b.does(events::remove_fault(fault::line_leak, events::circuit(port)));
  b.does(events::inject_at(fault::fluid_hot, events::circuit(2), 1min));
}

RULE_TEST(Faults, WhatIsNotThereCannotBeRemoved, "INS-1 GEN-2") {
  bench b{two_engine_spec()};
  b.does(events::inject(fault::fluid_hot, events::circuit(port)));
  b.rejects(events::remove_fault(fault::fluid_hot, events::circuit(starboard)), refusal_kind::no_such_fault);
  b.rejects(events::remove_fault(fault::bus_lost, events::bus(0)), refusal_kind::no_such_fault);
}

RULE_TEST(Faults, GoOnlyWithTheirKindOfComponent, "INS-1 GEN-2") {
  bench b{two_engine_spec()};
  b.rejects(events::inject(fault::pump_failed, events::circuit(port)), refusal_kind::wrong_part);
  b.rejects(events::inject(fault::unit_seized, events::engine(0)), refusal_kind::wrong_part);
  b.rejects(events::inject(fault::bus_lost, events::bus(5)), refusal_kind::no_such_part);
}

RULE_TEST(Faults, EveryKindCanBeInjectedInEveryKindOfPlaceAndRemoved, "INS-1") {
  const bench cold{two_engine_spec()};
  for (std::size_t k = 0; k < count_of<fault>; ++k) {
    const auto kind = static_cast<fault>(k);
    const fault_form& form = form_of(kind);
    EXPECT_FALSE(form.sentence.empty()) << word(kind);
    ASSERT_GE(form.subject_kinds, 1) << word(kind);
    for (std::size_t s = 0; s < form.subject_kinds; ++s) {
      const subject where{form.subjects[s], 0};
      bench b = cold;
      b.does(events::inject(kind, where, form.needs_amount ? 100 : 0));
      EXPECT_EQ(status_of(b, kind), fault_status::active) << word(kind);
      b.does(events::remove_fault(kind, where));
      EXPECT_EQ(listed(b, fault_status::unused), limits::faults) << word(kind);
    }
  }
}

// Was: taking away a fault that had never acted repaired a pump that had run dry.
RULE_TEST(Faults, TakingAwayAnArmedShaftFaultRepairsNothing, "INS-1 EDP-7") {
  auto spec = two_engine_spec();
  spec.engine_pumps[0].dry_damage = milliseconds{60'000};
  bench b{spec};
  full_start(b, 0);
  b.does(events::inject_at(fault::shaft_sheared, events::engine_pump(0), milliseconds{10'000'000}));
  b.does(events::level(0, fluid_level::empty));
  b.wait(milliseconds{60'000});
  b.does(events::level(0, fluid_level::normal));
  ASSERT_EQ(b.sees().engine_pumps[0].health, health_mode::damaged);
  b.does(events::remove_fault(fault::shaft_sheared, events::engine_pump(0)));
  EXPECT_EQ(b.sees().engine_pumps[0].health, health_mode::damaged);
}

}  // namespace
}  // namespace penstock_tests
