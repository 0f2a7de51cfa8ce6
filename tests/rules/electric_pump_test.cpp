// The rules of the chapter "Electric pump with first-engine duty, and others": first-engine duty, pumps
// without duty, load shedding, ram-air pump. Numbers are invented.
#include "support/bench.hpp"
#include "support/rule_test.hpp"

namespace penstock_tests {
namespace {

const subject duty = events::electric_pump(duty_pump);
const subject plain = events::electric_pump(plain_pump);

bool duty_runs(const bench& b) { return b.sees().electric_pumps[duty_pump].delivering; }
electric_pump_reason duty_reason(const bench& b) { return b.sees().electric_pumps[duty_pump].reason; }
demand_mode duty_demand(const bench& b) { return b.sees().electric_pumps[duty_pump].demand; }
bool plain_runs(const bench& b) { return b.sees().electric_pumps[plain_pump].delivering; }
electric_pump_reason plain_reason(const bench& b) { return b.sees().electric_pumps[plain_pump].reason; }

bench one_engine(unsigned e = 0) {
  bench b = powered_twin();
  full_start(b, e);
  return b;
}
/// In flight without engines, auxiliary power alive.
bench gliding() {
  bench b = twin();
  b.does(events::auxiliary_power(true));
  full_start(b, 0);
  take_off(b);
  b.does(events::flame_out(0));
  return b;
}
bench overridden() {
  bench b = powered_twin();
  b.does(events::ground_override(duty_pump));
  return b;
}

// AUX-1

RULE_TEST(FirstEnginePump, IsStartedByTheFirstEngineWhicheverItIs, "AUX-1") {
  // Facts of the trade (common practice): the pump needs only one engine, either one.
  for (const unsigned e : {0U, 1U}) {
    const bench b = one_engine(e);
    EXPECT_TRUE(duty_runs(b)) << e;
    EXPECT_EQ(duty_demand(b), demand_mode::engine) << e;
    EXPECT_TRUE(b.sees().circuits[auxiliary_circuit].own_source) << e;
  }
}
RULE_TEST(FirstEnginePump, IsStartedByAnyOfFourEngines, "AUX-1") {
  for (const unsigned e : {0U, 1U, 2U, 3U}) {
    bench b{four_engine_spec()};
    full_start(b, e);
    EXPECT_TRUE(duty_runs(b)) << e;
  }
}
RULE_TEST(FirstEnginePump, StartsAtIdleNotWhileCranking, "AUX-1 ENG-2") {
  bench b = powered_twin();
  b.does(events::start(0), events::spool(0, spool_band::near_idle));
  EXPECT_FALSE(duty_runs(b));
  EXPECT_EQ(duty_reason(b), electric_pump_reason::not_wanted);
  b.does(events::spool(0, spool_band::idle));
  EXPECT_TRUE(duty_runs(b));
}
RULE_TEST(FirstEnginePump, StandsWhenNothingWantsIt, "AUX-1") {
  bench b = powered_twin();
  b.wait(1h);
  EXPECT_FALSE(duty_runs(b));
}
RULE_TEST(FirstEnginePump, StandsForAnEngineThatWindmills, "AUX-1") {
  bench b = powered_twin();
  b.does(events::spool(0, spool_band::idle));
  EXPECT_FALSE(duty_runs(b));
}
RULE_TEST(FirstEnginePump, RunsInFlightWithoutEngines, "AUX-1") {
  bench b = powered_twin();
  take_off(b);
  EXPECT_TRUE(duty_runs(b));
  EXPECT_EQ(duty_demand(b), demand_mode::flight);
}
RULE_TEST(FirstEnginePump, IsNotStartedByADoorLever, "AUX-1") {
  bench b = powered_twin();
  b.does(events::lever(forward_door, lever_position::open));
  EXPECT_FALSE(duty_runs(b));
}
RULE_TEST(FirstEnginePump, IsNotRunByASwitchPositionAlone, "AUX-1") {
  bench b = powered_twin();
  b.tries(events::crew_switch(duty, pump_switch::on));
  EXPECT_FALSE(duty_runs(b));
}

// AUX-2

RULE_TEST(FirstEnginePump, StopsWithTheLastEngineOnTheGround, "AUX-2") {
  bench b = one_engine();
  b.does(events::shut_down(0));
  EXPECT_FALSE(duty_runs(b)) << "the state governs, not the spool speed";
  EXPECT_EQ(duty_reason(b), electric_pump_reason::not_wanted);
}
RULE_TEST(FirstEnginePump, RunsOnWhileOneOfTwoEnginesRuns, "AUX-2") {
  bench b = one_engine();
  full_start(b, 1);
  b.does(events::shut_down(0));
  EXPECT_TRUE(duty_runs(b)) << "the first stops";
  b.does(events::shut_down(1));
  EXPECT_FALSE(duty_runs(b)) << "the last stops";
}
RULE_TEST(FirstEnginePump, RunsOnInFlightWhenTheLastEngineStops, "AUX-2") {
  const bench b = gliding();
  EXPECT_TRUE(duty_runs(b));
  EXPECT_EQ(duty_demand(b), demand_mode::flight);
}
RULE_TEST(FirstEnginePump, StopsTheLayoutDelayAfterATouchdownWithoutEngines, "AUX-2 GEN-3") {
  bench b = gliding();
  b.wait(10s);
  touch_down(b);
  EXPECT_EQ(duty_demand(b), demand_mode::touchdown);
  b.wait(119'999ms);
  EXPECT_TRUE(duty_runs(b)) << "one millisecond before";
  b.wait(1ms);
  EXPECT_FALSE(duty_runs(b)) << "exactly at the limit";
  EXPECT_EQ(duty_demand(b), demand_mode::none);
}
RULE_TEST(FirstEnginePump, TouchdownDelayIsTheOneOfTheLayout, "AUX-2") {
  layout_spec spec = two_engine_spec();
  spec.electric_pumps[duty_pump].touchdown_delay = 9s;
  bench b{spec};
  b.does(events::external_power(true));
  take_off(b);
  touch_down(b);
  b.wait(8'999ms);
  EXPECT_TRUE(duty_runs(b));
  b.wait(1ms);
  EXPECT_FALSE(duty_runs(b));
}
RULE_TEST(FirstEnginePump, TouchdownDelayIsANextDeadline, "AUX-2") {
  bench b = powered_twin();
  take_off(b);
  touch_down(b);
  b.does(events::pressure(auxiliary_circuit, true)).wait(20s);
  ASSERT_TRUE(b.deadline().has_value());
  EXPECT_EQ(*b.deadline(), 100'000U);
}
RULE_TEST(FirstEnginePump, GoingAroundBeginsAWholeNewTouchdownDelay, "AUX-2") {
  bench b = gliding();
  touch_down(b);
  b.wait(119s);
  take_off(b);
  EXPECT_EQ(duty_demand(b), demand_mode::flight);
  b.wait(10s);
  touch_down(b);
  b.wait(119'999ms);
  EXPECT_TRUE(duty_runs(b));
  b.wait(1ms);
  EXPECT_FALSE(duty_runs(b));
}
RULE_TEST(FirstEnginePump, EngineRunningTakesOverFromTheTouchdownDelay, "AUX-2 AUX-1") {
  bench b = gliding();
  touch_down(b);
  full_start(b, 1);
  EXPECT_EQ(duty_demand(b), demand_mode::engine);
  b.wait(10min);
  EXPECT_TRUE(duty_runs(b));
}
RULE_TEST(FirstEnginePump, LandingWithAnEngineRunningBeginsNoDelay, "AUX-2") {
  bench b = one_engine();
  take_off(b);
  touch_down(b);
  EXPECT_EQ(duty_demand(b), demand_mode::engine);
  b.does(events::shut_down(0));
  EXPECT_FALSE(duty_runs(b)) << "the last engine stops on the ground";
}
RULE_TEST(FirstEnginePump, TouchdownDelayGoesOnThroughAPowerLoss, "AUX-2 AUX-3") {
  bench b = gliding();
  touch_down(b);
  b.wait(60s).does(events::auxiliary_power(false));
  EXPECT_FALSE(duty_runs(b));
  b.wait(30s).does(events::auxiliary_power(true));
  EXPECT_TRUE(duty_runs(b)) << "power back within the delay";
  b.wait(29'999ms);
  EXPECT_TRUE(duty_runs(b));
  b.wait(1ms);
  EXPECT_FALSE(duty_runs(b));
}

// AUX-3

RULE_TEST(FirstEnginePump, IsStoppedByItsSwitch, "AUX-3") {
  bench b = one_engine();
  b.does(events::crew_switch(duty, pump_switch::off));
  EXPECT_FALSE(duty_runs(b));
  EXPECT_EQ(duty_reason(b), electric_pump_reason::off);
}
RULE_TEST(FirstEnginePump, ResumesWhenItsSwitchIsAutomaticAgain, "AUX-3 GEN-1") {
  bench b = one_engine();
  b.does(events::crew_switch(duty, pump_switch::off), events::crew_switch(duty, pump_switch::automatic));
  EXPECT_TRUE(duty_runs(b));
}
RULE_TEST(FirstEnginePump, StopsWithoutPowerAndResumesWithIt, "AUX-3 GEN-1") {
  bench b = one_engine();
  b.does(events::inject(fault::bus_lost, events::bus(1)));
  EXPECT_FALSE(duty_runs(b));
  EXPECT_EQ(duty_reason(b), electric_pump_reason::no_power);
  b.does(events::remove_fault(fault::bus_lost, events::bus(1)));
  EXPECT_TRUE(duty_runs(b));
}
RULE_TEST(FirstEnginePump, FailureIsLatchedUntilAReset, "AUX-3 EDP-4") {
  bench b = one_engine();
  b.does(events::failure(duty, true)).refuses(events::reset(duty)).does(events::failure(duty, false));
  EXPECT_FALSE(duty_runs(b));
  EXPECT_EQ(duty_reason(b), electric_pump_reason::failed);
  b.does(events::reset(duty));
  EXPECT_TRUE(duty_runs(b));
}
RULE_TEST(FirstEnginePump, OverheatStopsItForAsLongAsItLasts, "AUX-3") {
  bench b = one_engine();
  b.does(events::overheat(duty, true));
  EXPECT_FALSE(duty_runs(b));
  EXPECT_EQ(duty_reason(b), electric_pump_reason::overheat);
  b.does(events::overheat(duty, false));
  EXPECT_TRUE(duty_runs(b));
}
RULE_TEST(FirstEnginePump, ShowsTheFirstReasonThatHolds, "AUX-3 CGO-14") {
  bench b = twin();
  b.does(events::crew_switch(duty, pump_switch::off), events::failure(duty, true), events::overheat(duty, true),
         events::level(auxiliary_circuit, fluid_level::empty));
  EXPECT_EQ(duty_reason(b), electric_pump_reason::off);
  b.does(events::crew_switch(duty, pump_switch::automatic));
  EXPECT_EQ(duty_reason(b), electric_pump_reason::no_power);
  b.does(events::external_power(true));
  EXPECT_EQ(duty_reason(b), electric_pump_reason::failed);
  b.does(events::failure(duty, false), events::reset(duty));
  EXPECT_EQ(duty_reason(b), electric_pump_reason::overheat);
  b.does(events::overheat(duty, false));
  EXPECT_EQ(duty_reason(b), electric_pump_reason::not_wanted);
  b.does(events::ground_override(duty_pump));
  EXPECT_EQ(duty_reason(b), electric_pump_reason::dry);
  b.does(events::level(auxiliary_circuit, fluid_level::low));
  EXPECT_EQ(duty_reason(b), electric_pump_reason::delivering);
}

// AUX-4

RULE_TEST(GroundOverride, RunsThePumpWithoutAnEngine, "AUX-4") {
  const bench b = overridden();
  EXPECT_TRUE(duty_runs(b));
  EXPECT_EQ(duty_demand(b), demand_mode::override_);
}
RULE_TEST(GroundOverride, LastsUntilSomethingClearsIt, "AUX-4") {
  bench b = overridden();
  b.wait(10h);
  EXPECT_TRUE(duty_runs(b));
}
RULE_TEST(GroundOverride, IsNotClearedByAnEngineThatOnlyCranks, "AUX-4") {
  bench b = overridden();
  b.does(events::start(0), events::spool(0, spool_band::near_idle));
  EXPECT_EQ(duty_demand(b), demand_mode::override_);
}
RULE_TEST(GroundOverride, IsClearedByAnEngineRunning, "AUX-4") {
  bench b = overridden();
  full_start(b, 0);
  EXPECT_EQ(duty_demand(b), demand_mode::engine);
  b.does(events::shut_down(0));
  EXPECT_FALSE(duty_runs(b)) << "it does not come back";
}
RULE_TEST(GroundOverride, IsClearedByLiftOff, "AUX-4") {
  bench b = overridden();
  take_off(b);
  EXPECT_EQ(duty_demand(b), demand_mode::flight);
  touch_down(b);
  b.wait(120s);
  EXPECT_FALSE(duty_runs(b)) << "it does not come back";
}
RULE_TEST(GroundOverride, IsClearedBySwitchOff, "AUX-4") {
  bench b = overridden();
  b.does(events::crew_switch(duty, pump_switch::off));
  EXPECT_FALSE(duty_runs(b));
  b.does(events::crew_switch(duty, pump_switch::automatic));
  EXPECT_FALSE(duty_runs(b)) << "it does not come back";
  EXPECT_EQ(duty_demand(b), demand_mode::none);
}
RULE_TEST(GroundOverride, IsKeptThroughAPowerLoss, "AUX-4 AUX-3") {
  bench b = overridden();
  b.does(events::external_power(false));
  EXPECT_FALSE(duty_runs(b));
  EXPECT_EQ(duty_reason(b), electric_pump_reason::no_power);
  b.wait(1min).does(events::external_power(true));
  EXPECT_TRUE(duty_runs(b));
  EXPECT_EQ(duty_demand(b), demand_mode::override_);
}
RULE_TEST(GroundOverride, IsKeptThroughAnOverheat, "AUX-4 AUX-3") {
  bench b = overridden();
  b.does(events::overheat(duty, true), events::overheat(duty, false));
  EXPECT_TRUE(duty_runs(b));
}
RULE_TEST(GroundOverride, IsRefusedWithAnEngineRunning, "AUX-4 GEN-2") {
  one_engine().refuses(events::ground_override(duty_pump));
}
RULE_TEST(GroundOverride, IsRefusedInFlight, "AUX-4 GEN-2") {
  bench b = powered_twin();
  take_off(b);
  b.refuses(events::ground_override(duty_pump));
}
RULE_TEST(GroundOverride, IsRefusedWithTheSwitchOff, "AUX-4 GEN-2") {
  bench b = powered_twin();
  b.does(events::crew_switch(duty, pump_switch::off)).refuses(events::ground_override(duty_pump));
}
RULE_TEST(GroundOverride, IsNotForAPumpWithoutThatDuty, "AUX-4 GEN-2") {
  powered_twin().turns_down(events::ground_override(plain_pump)).turns_down(events::ground_override(cargo_pump));
}

// ELP-1

RULE_TEST(PlainPump, RunsWhileItIsSwitchedOn, "ELP-1") {
  bench b = powered_twin();
  b.does(events::crew_switch(plain, pump_switch::on));
  EXPECT_TRUE(plain_runs(b));
  EXPECT_TRUE(b.sees().circuits[plain_circuit].own_source);
  b.does(events::crew_switch(plain, pump_switch::off));
  EXPECT_FALSE(plain_runs(b));
  EXPECT_EQ(plain_reason(b), electric_pump_reason::off);
}
RULE_TEST(PlainPump, StandsUntilSomebodySwitchesItOn, "ELP-1 GEN-5") { EXPECT_FALSE(plain_runs(powered_twin())); }
RULE_TEST(PlainPump, IsRunByNeitherEnginesNorDoorsNorFlight, "ELP-1") {
  bench b = one_engine();
  b.does(events::lever(forward_door, lever_position::open));
  EXPECT_FALSE(plain_runs(b));
  take_off(b);
  EXPECT_FALSE(plain_runs(b));
}
RULE_TEST(PlainPump, RunsInFlightToo, "ELP-1") {
  bench b = one_engine();
  b.does(events::crew_switch(plain, pump_switch::on));
  take_off(b);
  EXPECT_TRUE(plain_runs(b));
}
RULE_TEST(PlainPump, StopsWithoutPowerAndResumesWithIt, "ELP-1 GEN-1") {
  bench b = powered_twin();
  b.does(events::crew_switch(plain, pump_switch::on), events::external_power(false));
  EXPECT_FALSE(plain_runs(b));
  EXPECT_EQ(plain_reason(b), electric_pump_reason::no_power);
  b.does(events::external_power(true));
  EXPECT_TRUE(plain_runs(b));
}
RULE_TEST(PlainPump, SwitchedOnWithoutPowerStartsWhenPowerComes, "ELP-1 GEN-1") {
  bench b = twin();
  b.does(events::crew_switch(plain, pump_switch::on));
  EXPECT_FALSE(plain_runs(b));
  b.does(events::external_power(true));
  EXPECT_TRUE(plain_runs(b));
}
RULE_TEST(PlainPump, StopsDry, "ELP-1 LVL-4") {
  bench b = powered_twin();
  b.does(events::crew_switch(plain, pump_switch::on), events::level(plain_circuit, fluid_level::empty));
  EXPECT_FALSE(plain_runs(b));
  EXPECT_EQ(plain_reason(b), electric_pump_reason::dry);
}
RULE_TEST(PlainPump, StopsWhenItFails, "ELP-1") {
  bench b = powered_twin();
  b.does(events::crew_switch(plain, pump_switch::on), events::failure(plain, true));
  EXPECT_FALSE(plain_runs(b));
  EXPECT_EQ(plain_reason(b), electric_pump_reason::failed);
}
RULE_TEST(PlainPump, StopsWhenItOverheats, "ELP-1") {
  bench b = powered_twin();
  b.does(events::crew_switch(plain, pump_switch::on), events::overheat(plain, true));
  EXPECT_FALSE(plain_runs(b));
  EXPECT_EQ(plain_reason(b), electric_pump_reason::overheat);
}

// ELP-2

bench with_plain_pump_on(layout_spec spec = two_engine_spec()) {
  bench b{std::move(spec)};
  b.does(events::external_power(true), events::crew_switch(plain, pump_switch::on));
  return b;
}
layout_spec shed_on_external() {
  layout_spec spec = two_engine_spec();
  spec.electric_pumps[plain_pump].shed_on = {"external"};
  return spec;
}

RULE_TEST(LoadShed, DropsThePumpWithTheReason, "ELP-2") {
  bench b = with_plain_pump_on();
  b.does(events::shed(plain_pump, true));
  EXPECT_FALSE(plain_runs(b));
  EXPECT_TRUE(b.sees().electric_pumps[plain_pump].shed);
  EXPECT_EQ(plain_reason(b), electric_pump_reason::no_power);
}
RULE_TEST(LoadShed, EndsByItselfWithItsCondition, "ELP-2 GEN-1") {
  bench b = with_plain_pump_on();
  b.does(events::shed(plain_pump, true), events::shed(plain_pump, false));
  EXPECT_TRUE(plain_runs(b));
  EXPECT_FALSE(b.sees().electric_pumps[plain_pump].shed);
}
RULE_TEST(LoadShed, OfOnePumpLeavesTheOthersOfItsBus, "ELP-2") {
  bench b = with_plain_pump_on();
  b.does(events::ground_override(duty_pump), events::shed(plain_pump, true));
  EXPECT_TRUE(duty_runs(b));
  EXPECT_TRUE(b.sees().buses[1].powered);
}
RULE_TEST(LoadShed, HoldsWhileTheBusLivesOnAListedSource, "ELP-2") {
  bench b = with_plain_pump_on(shed_on_external());
  EXPECT_FALSE(plain_runs(b));
  EXPECT_TRUE(b.sees().electric_pumps[plain_pump].shed);
}
RULE_TEST(LoadShed, EndsWhenABetterSourceTakesOver, "ELP-2 GEN-1") {
  bench b = with_plain_pump_on(shed_on_external());
  b.does(events::auxiliary_power(true));
  EXPECT_TRUE(plain_runs(b));
  b.does(events::auxiliary_power(false));
  EXPECT_FALSE(plain_runs(b));
}
RULE_TEST(LoadShed, OfTheCargoPumpStopsTheDoor, "ELP-2 CGO-9") {
  bench b = powered_twin();
  b.does(events::lever(forward_door, lever_position::open), events::shed(cargo_pump, true));
  EXPECT_FALSE(b.sees().electric_pumps[cargo_pump].delivering);
  EXPECT_EQ(b.sees().doors[forward_door].mode, door_mode::blocked);
  b.does(events::shed(cargo_pump, false));
  EXPECT_EQ(b.sees().doors[forward_door].mode, door_mode::asking);
}
RULE_TEST(Bus, IsDeadWhenColdAndDark, "ELP-2 GEN-5") {
  const bench b = twin();
  for (const unsigned i : {0U, 1U}) {
    EXPECT_FALSE(b.sees().buses[i].powered);
    EXPECT_EQ(b.sees().buses[i].source, detail::nobody);
  }
}
RULE_TEST(Bus, LivesOnTheFirstLiveSourceOfItsList, "ELP-2") {
  // The list of bus-2: engine-2, engine-1, auxiliary, external.
  bench b = powered_twin();
  EXPECT_EQ(b.sees().buses[1].source, 3);
  b.does(events::auxiliary_power(true));
  EXPECT_EQ(b.sees().buses[1].source, 2);
  full_start(b, 0);
  EXPECT_EQ(b.sees().buses[1].source, 1);
  full_start(b, 1);
  EXPECT_EQ(b.sees().buses[1].source, 0);
  b.does(events::shut_down(1));
  EXPECT_EQ(b.sees().buses[1].source, 1);
}
RULE_TEST(Bus, IsNotFedByAnEngineThatOnlyCranks, "ELP-2") {
  bench b = twin();
  b.does(events::start(0), events::spool(0, spool_band::near_idle));
  EXPECT_FALSE(b.sees().buses[0].powered);
}
RULE_TEST(Bus, ComesBackWhenAllPowerReturns, "ELP-2 GEN-1") {
  bench b = with_plain_pump_on();
  b.does(events::inject(fault::all_power_lost, events::aircraft));
  EXPECT_FALSE(b.sees().buses[0].powered);
  EXPECT_FALSE(plain_runs(b));
  b.does(events::clear_faults());
  EXPECT_TRUE(plain_runs(b));
}

// RAT-1 (optional)

bool deployed(const bench& b) { return b.sees().ram_air_pumps[0].mode == ram_air_mode::deployed; }
bool feeds(const bench& b) { return b.sees().ram_air_pumps[0].delivering; }

/// In flight, fast, one engine running.
bench fast_flight() {
  bench b = one_engine();
  take_off(b);
  b.does(events::airspeed(airspeed_band::fast));
  return b;
}

RULE_TEST(RamAirPump, DeploysInFlightWithAllEnginesOut, "RAT-1") {
  bench b = fast_flight();
  EXPECT_FALSE(deployed(b)) << "one engine runs";
  b.does(events::flame_out(0));
  EXPECT_TRUE(deployed(b));
  EXPECT_TRUE(feeds(b));
  EXPECT_TRUE(b.sees().circuits[auxiliary_circuit].own_source);
}
RULE_TEST(RamAirPump, DeploysWhenAllMainPowerIsLost, "RAT-1") {
  bench b = fast_flight();
  b.does(events::inject(fault::all_power_lost, events::aircraft));
  EXPECT_TRUE(deployed(b));
}
RULE_TEST(RamAirPump, StaysStowedWhenOneMainBusLives, "RAT-1") {
  bench b = fast_flight();
  b.does(events::inject(fault::bus_lost, events::bus(0)));
  EXPECT_FALSE(deployed(b));
  b.does(events::inject(fault::bus_lost, events::bus(1)));
  EXPECT_TRUE(deployed(b)) << "the last main bus is lost too";
}
RULE_TEST(RamAirPump, StaysStowedOnTheGround, "RAT-1") {
  bench b = powered_twin();
  b.does(events::airspeed(airspeed_band::fast));
  EXPECT_FALSE(deployed(b));
}
RULE_TEST(RamAirPump, StaysStowedBelowItsSpeed, "RAT-1") {
  bench b = powered_twin();
  take_off(b);
  b.does(events::airspeed(airspeed_band::slow));
  EXPECT_FALSE(deployed(b));
}
RULE_TEST(RamAirPump, DeploysWhenTheSpeedIsReachedLater, "RAT-1 GEN-1") {
  bench b = powered_twin();
  take_off(b);
  b.does(events::airspeed(airspeed_band::slow), events::airspeed(airspeed_band::fast));
  EXPECT_TRUE(deployed(b));
}
RULE_TEST(RamAirPump, StaysOutWhenAnEngineRunsAgain, "RAT-1") {
  bench b = fast_flight();
  b.does(events::flame_out(0), events::spool(0, spool_band::turning));
  full_start(b, 0);
  EXPECT_EQ(b.sees().engines[0].mode, engine_mode::running);
  EXPECT_TRUE(deployed(b));
}
RULE_TEST(RamAirPump, FeedsNothingWithoutAirspeed, "RAT-1") {
  bench b = fast_flight();
  b.does(events::flame_out(0), events::airspeed(airspeed_band::slow));
  EXPECT_TRUE(deployed(b));
  EXPECT_FALSE(feeds(b));
}
RULE_TEST(RamAirPump, FeedsNothingFromAnEmptyReservoir, "RAT-1 LVL-4") {
  bench b = fast_flight();
  b.does(events::flame_out(0), events::level(auxiliary_circuit, fluid_level::empty));
  EXPECT_FALSE(feeds(b));
}
RULE_TEST(RamAirPump, IsNotStowedInFlight, "RAT-1 GEN-2") {
  bench b = fast_flight();
  b.does(events::flame_out(0)).refused_by(events::stow(0), "RAT-1");
}
RULE_TEST(RamAirPump, IsStowedOnTheGround, "RAT-1") {
  bench b = fast_flight();
  b.does(events::flame_out(0), events::airspeed(airspeed_band::slow));
  touch_down(b);
  EXPECT_TRUE(deployed(b)) << "not by itself";
  b.does(events::stow(0));
  EXPECT_FALSE(deployed(b));
}
RULE_TEST(RamAirPump, RefusesToBeStowedTwice, "RAT-1 GEN-2") { powered_twin().refuses(events::stow(0)); }
RULE_TEST(RamAirPump, IsNotThereWhereTheLayoutHasNone, "RAT-1 GEN-2") {
  bench b{four_engine_spec()};
  b.rejects(events::stow(0), refusal_kind::no_such_part);
}

}  // namespace
}  // namespace penstock_tests
