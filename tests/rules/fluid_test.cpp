// Fluid quantity, reservoirs and leak isolation [LVL-1 to LVL-6, RES-1, RES-2, LEK-1]. Where the fluid itself
// counts, the quasi-static plant is asked. Flows and volumes are invented.
#include "support/bench.hpp"
#include "support/rule_test.hpp"

namespace penstock_tests {
namespace {

constexpr unsigned port = 0, starboard = 1, centre = 2;

layout made(layout_spec spec) {
  auto checked = layout::from(std::move(spec));
  if (!checked) throw std::invalid_argument(to_string(checked.problem()));
  return *std::move(checked);
}

/// An aircraft with the quasi-static plant; the layout lives as long as its simulation.
struct world {
  explicit world(layout_spec spec = two_engine_spec())
      : aircraft(made(std::move(spec))), run(aircraft, plant_kind::quasi_static) {}
  world(const world&) = delete;
  world& operator=(const world&) = delete;

  world& does(const event& happening) {
    const effects what = run.apply(happening);
    EXPECT_TRUE(what.accepted()) << testing::PrintToString(happening) << ": " << what.refused.sentence;
    return *this;
  }
  world& wait(milliseconds span) {
    EXPECT_TRUE(run.advance(span).accepted());
    return *this;
  }
  [[nodiscard]] observation sees() const { return observe(aircraft, run.now()); }
  [[nodiscard]] fluid_account fluid(unsigned circuit) const { return fluid_of(aircraft, run.plant(), circuit); }
  [[nodiscard]] bool stands(condition which, unsigned circuit, alert_class level) const {
    const observation seen = sees();
    for (const observed_alert& one : seen.alerts_standing()) {
      if (one.condition == which && one.about == events::circuit(circuit)) return one.level == level;
    }
    return level == alert_class::none;
  }
  /// Both engines run, then lift-off.
  world& fly() {
    does(events::external_power(true)).does(events::start(0)).wait(60s).does(events::start(1)).wait(60s);
    does(events::external_power(false)).does(events::parking_brake(false));
    return does(events::air_ground_is(air_ground::air)).wait(1s);
  }
  /// The reservoir of a circuit is left with exactly so much, by leaks of the reservoir.
  world& leaves(unsigned circuit, std::int64_t wanted) {
    const std::int64_t surplus = fluid(circuit).reservoir - wanted;
    EXPECT_GT(surplus, 0);
    const std::int64_t rest = surplus % 100;
    if (rest > 0) {
      does(events::inject(fault::reservoir_leak, events::circuit(circuit), rest)).wait(1s);
      does(events::remove_fault(fault::reservoir_leak, events::circuit(circuit)));
    }
    does(events::inject(fault::reservoir_leak, events::circuit(circuit), surplus / 100)).wait(100s);
    does(events::remove_fault(fault::reservoir_leak, events::circuit(circuit)));
    EXPECT_EQ(fluid(circuit).reservoir, wanted);
    return *this;
  }

  layout aircraft;
  simulation run;
};

event electric_switch(unsigned pump, pump_switch to) { return events::crew_switch(events::electric_pump(pump), to); }

void expect_conserved(const world& w) {
  for (unsigned c = 0; c < w.aircraft.count(component::circuit); ++c) {
    const fluid_account f = w.fluid(c);
    EXPECT_EQ(f.reservoir + f.lines + f.actuators + f.stores + f.leaked, f.filled) << "circuit " << c;
    EXPECT_GE(f.reservoir, 0) << "circuit " << c;
  }
}

// ---- LVL-1

RULE_TEST(Reservoirs, BelowTheLowMarkIsACaution, "LVL-1") {
  bench b{two_engine_spec()};
  b.does(events::level(starboard, fluid_level::low));
  EXPECT_EQ(b.level_of(condition::quantity, events::circuit(starboard)), alert_class::caution);
  EXPECT_EQ(b.level_of(condition::quantity, events::circuit(port)), alert_class::none);
  b.does(events::level(starboard, fluid_level::normal));
  EXPECT_EQ(b.level_of(condition::quantity, events::circuit(starboard)), alert_class::none);
}

RULE_TEST(Reservoirs, EmptyIsACautionToo, "LVL-1") {
  bench b{two_engine_spec()};
  b.does(events::level(starboard, fluid_level::empty));
  EXPECT_EQ(b.level_of(condition::quantity, events::circuit(starboard)), alert_class::caution);
}

RULE_TEST(Reservoirs, AboveTheFullMarkIsAnAdvisory, "LVL-1") {
  bench b{two_engine_spec()};
  b.does(events::level(port, fluid_level::over));
  EXPECT_EQ(b.level_of(condition::quantity, events::circuit(port)), alert_class::advisory);
}

RULE_TEST(Reservoirs, TheLowMarkItselfIsNotBelow, "LVL-1 GEN-4") {
  world w;
  w.leaves(port, 6'000'000);
  EXPECT_EQ(w.sees().circuits[port].level, fluid_level::normal);
  w.does(events::inject(fault::reservoir_leak, events::circuit(port), 1)).wait(1s);
  EXPECT_EQ(w.sees().circuits[port].level, fluid_level::low);
  EXPECT_TRUE(w.stands(condition::quantity, port, alert_class::caution));
}

RULE_TEST(Reservoirs, TheLowMarkIsLeftWithHysteresis, "LVL-1 GEN-4") {
  // Gear up takes fluid out and gear down brings it back: by less than the hysteresis, and by more.
  for (const double displacement : {0.3, 1.5}) {
    layout_spec spec = two_engine_spec();
    spec.consumers[gear].displacement = litres(displacement);
    world w{spec};
    w.fly().does(events::gear(false)).wait(30s).leaves(port, 5'900'000);
    ASSERT_EQ(w.sees().circuits[port].level, fluid_level::low);
    w.does(events::gear(true)).wait(30s);
    EXPECT_EQ(w.sees().circuits[port].level, displacement < 0.5 ? fluid_level::low : fluid_level::normal)
        << w.fluid(port).reservoir;
  }
}

// ---- LVL-2

RULE_TEST(Reservoirs, FluidIsConservedThroughAWholeStory, "LVL-2") {
  world w;
  int steps = 0;
  w.run.watch([&](const simulation::frame&) { ++steps; });
  w.does(events::external_power(true)).does(events::inject(fault::line_leak, events::circuit(starboard), 777));
  w.does(events::lever(forward_door, lever_position::open));
  for (int i = 0; i < 25; ++i) expect_conserved(w.wait(1s));
  w.does(events::lever(forward_door, lever_position::close));
  for (int i = 0; i < 25; ++i) expect_conserved(w.wait(1s));
  w.does(events::lever(forward_door, lever_position::neutral));
  for (int i = 0; i < 3; ++i) expect_conserved(w.does(events::apply_brakes()));
  w.fly().does(events::gear(false));
  for (int i = 0; i < 20; ++i) expect_conserved(w.wait(750ms));
  w.does(events::gear(true)).does(events::shut_down(0));
  for (int i = 0; i < 40; ++i) expect_conserved(w.wait(2s));
  EXPECT_GT(steps, 20);
  EXPECT_GT(w.fluid(starboard).leaked, 0);
  EXPECT_EQ(w.fluid(port).leaked, 0);
}

RULE_TEST(Reservoirs, FluidIsConservedInEveryMillisecondOfADoorMovement, "LVL-2") {
  world w;
  w.does(events::external_power(true)).does(events::lever(forward_door, lever_position::open));
  for (int i = 0; i < 1500; ++i) expect_conserved(w.wait(17ms));
  EXPECT_EQ(w.sees().doors[forward_door].travel, door_travel::open);
}

RULE_TEST(Reservoirs, ATransferUnitMovesNoFluidBetweenCircuits, "LVL-2") {
  world w;
  w.does(events::external_power(true));
  const auto before_a = w.fluid(port), before_b = w.fluid(starboard);
  w.does(electric_switch(cargo_pump, pump_switch::on)).wait(60s);
  ASSERT_TRUE(w.sees().circuits[starboard].driven);
  ASSERT_TRUE(w.sees().circuits[starboard].at_pressure);
  w.does(electric_switch(cargo_pump, pump_switch::automatic)).wait(60s);
  ASSERT_FALSE(w.sees().circuits[starboard].at_pressure);
  EXPECT_EQ(w.fluid(port).filled, before_a.filled);
  EXPECT_EQ(w.fluid(starboard).filled, before_b.filled);
  EXPECT_EQ(w.fluid(port).reservoir + w.fluid(port).stores, before_a.reservoir + before_a.stores);
  EXPECT_EQ(w.fluid(starboard).reservoir, before_b.reservoir);
}

// ---- LVL-3

RULE_TEST(Reservoirs, GearUpLowersTheLevelAndGearDownBringsItBack, "LVL-3") {
  world w;
  w.fly();
  const auto down = w.fluid(port).reservoir;
  w.does(events::gear(false)).wait(30s);
  EXPECT_EQ(w.fluid(port).reservoir, down - 1'500'000);
  EXPECT_EQ(w.sees().circuits[port].level, fluid_level::normal);
  w.does(events::gear(true)).wait(30s);
  EXPECT_EQ(w.fluid(port).reservoir, down);
}

RULE_TEST(Reservoirs, GearTakesFluidOfItsOwnCircuitOnly, "LVL-3 LVL-2") {
  world w;
  w.fly();
  const auto other = w.fluid(starboard).reservoir, third = w.fluid(centre).reservoir;
  w.does(events::gear(false)).wait(30s);
  EXPECT_EQ(w.fluid(starboard).reservoir, other);
  EXPECT_EQ(w.fluid(centre).reservoir, third);
}

RULE_TEST(Reservoirs, AnOpenDoorHoldsFluid, "LVL-3") {
  world w;
  w.does(events::external_power(true));
  const auto closed = w.fluid(port);
  w.does(events::lever(aft_door, lever_position::open)).wait(30s);
  w.does(events::lever(aft_door, lever_position::neutral)).wait(60s);
  ASSERT_EQ(w.sees().doors[aft_door].travel, door_travel::open);
  EXPECT_EQ(w.fluid(port).actuators, closed.actuators + 300'000);
  EXPECT_EQ(w.fluid(port).reservoir, closed.reservoir - 300'000);
}

RULE_TEST(Reservoirs, PressureTakesFluidIntoTheLines, "LVL-3") {
  world w;
  w.does(events::external_power(true));
  const auto without = w.fluid(starboard);
  w.does(electric_switch(plain_pump, pump_switch::on)).wait(10s);
  EXPECT_EQ(w.fluid(starboard).reservoir, without.reservoir - 400'000);
  EXPECT_EQ(w.fluid(starboard).lines, without.lines + 400'000);
}

RULE_TEST(Reservoirs, ASpentAccumulatorGivesItsFluidBack, "LVL-3 CON-3") {
  world w;
  const auto charged = w.fluid(port);
  w.does(events::apply_brakes());
  EXPECT_LT(w.fluid(port).stores, charged.stores);
  EXPECT_GT(w.fluid(port).reservoir, charged.reservoir);
}

// ---- LVL-4

RULE_TEST(Reservoirs, AnEmptyReservoirUnprimesEveryPumpAndFluidPrimesThemAgain, "LVL-4 EDP-4 CGO-14") {
  bench b = powered_twin();
  full_start(b, 1);
  b.does(electric_switch(plain_pump, pump_switch::on)).pressures_follow();
  b.does(events::level(starboard, fluid_level::empty));
  EXPECT_FALSE(b.sees().engine_pumps[1].delivering);
  EXPECT_EQ(b.sees().engine_pumps[1].reason, engine_pump_reason::dry);
  EXPECT_FALSE(b.sees().electric_pumps[plain_pump].delivering);
  EXPECT_EQ(b.sees().electric_pumps[plain_pump].reason, electric_pump_reason::dry);
  b.does(events::level(starboard, fluid_level::low));
  EXPECT_TRUE(b.sees().engine_pumps[1].delivering) << "low is not empty";
  EXPECT_TRUE(b.sees().electric_pumps[plain_pump].delivering);
}

RULE_TEST(Reservoirs, ALeakRunsThePumpDryInTheEnd, "LVL-4 INS-1") {
  world w;
  w.does(events::external_power(true)).does(electric_switch(plain_pump, pump_switch::on)).wait(5s);
  w.does(events::inject(fault::reservoir_leak, events::circuit(starboard), 1'000'000)).wait(60s);
  EXPECT_EQ(w.sees().circuits[starboard].level, fluid_level::empty);
  EXPECT_EQ(w.sees().electric_pumps[plain_pump].reason, electric_pump_reason::dry);
  EXPECT_FALSE(w.sees().circuits[starboard].at_pressure);
  expect_conserved(w);
}

// ---- LVL-5

RULE_TEST(Reservoirs, TheExpectedLevelFollowsTheConfiguration, "LVL-5 LVL-3") {
  world w;
  const auto as_expected = [&](const char* when) {
    for (unsigned c = 0; c < 3; ++c) {
      EXPECT_EQ(expected_reservoir(w.aircraft, w.run.plant(), c), w.fluid(c).reservoir) << when << ", circuit " << c;
    }
  };
  as_expected("cold");
  w.fly();
  as_expected("in flight");
  w.does(events::gear(false)).wait(5s);
  as_expected("gear in transit");
  w.wait(30s);
  as_expected("gear up");
}

RULE_TEST(Reservoirs, ServicingSaysHowMuchIsMissing, "LVL-5") {
  world w;
  const auto full = servicing(w.aircraft, w.run.plant(), w.run.now(), starboard);
  EXPECT_TRUE(full.valid) << full.why_not;
  EXPECT_TRUE(full.why_not.empty());
  EXPECT_EQ(full.missing, 0);
  w.does(events::inject(fault::reservoir_leak, events::circuit(starboard), 50'000)).wait(10s);
  w.does(events::remove_fault(fault::reservoir_leak, events::circuit(starboard)));
  const auto low = servicing(w.aircraft, w.run.plant(), w.run.now(), starboard);
  EXPECT_TRUE(low.valid) << low.why_not;
  EXPECT_EQ(low.missing, 500'000);
}

RULE_TEST(Reservoirs, ServicingSaysWhenItsAnswerIsNotValid, "LVL-5") {
  world w;
  w.fly().does(events::gear(false)).wait(3s);
  const auto answer = servicing(w.aircraft, w.run.plant(), w.run.now(), port);
  EXPECT_FALSE(answer.valid);
  EXPECT_FALSE(answer.why_not.empty());
  EXPECT_EQ(answer.missing, 0);
}

// ---- LVL-6

RULE_TEST(Reservoirs, AReservoirLeaksAlways, "LVL-6 INS-1") {
  world w;
  w.does(events::inject(fault::reservoir_leak, events::circuit(port), 1'000)).wait(10s);
  EXPECT_EQ(w.fluid(port).leaked, 10'000);
  expect_conserved(w);
}

RULE_TEST(Reservoirs, ALineLeaksOnlyUnderPressure, "LVL-6 INS-1") {
  world w;
  w.does(events::external_power(true)).does(events::inject(fault::line_leak, events::circuit(starboard), 1'000));
  w.wait(10s);
  EXPECT_EQ(w.fluid(starboard).leaked, 0);
  w.does(electric_switch(plain_pump, pump_switch::on)).wait(10s);
  EXPECT_EQ(w.fluid(starboard).leaked, 10'000);
  w.does(electric_switch(plain_pump, pump_switch::off)).wait(10s);
  EXPECT_EQ(w.fluid(starboard).leaked, 10'000);
}

RULE_TEST(Reservoirs, AConsumerLeaksOnlyUnderPressureAndWhenNotIsolated, "LVL-6 CON-2 INS-1") {
  world w;
  w.does(events::external_power(true)).does(events::inject(fault::consumer_leak, events::consumer(gear), 1'000));
  w.wait(5s);
  EXPECT_EQ(w.fluid(port).leaked, 0) << "no pressure";
  w.does(events::lever(forward_door, lever_position::open)).wait(10s);
  ASSERT_EQ(w.sees().circuits[port].status, circuit_status::partial);
  EXPECT_EQ(w.fluid(port).leaked, 0) << "isolated by service mode";
  w.does(events::lever(forward_door, lever_position::neutral)).wait(60s);
  w.does(electric_switch(cargo_pump, pump_switch::on)).wait(10s);
  EXPECT_EQ(w.fluid(port).leaked, 10'000);
}

RULE_TEST(Reservoirs, AConsumerOfTheServiceBranchLeaksInServiceMode, "LVL-6") {
  world w;
  w.does(events::external_power(true)).does(events::inject(fault::consumer_leak, events::consumer(brakes), 1'000));
  w.does(events::lever(forward_door, lever_position::open)).wait(10s);
  EXPECT_EQ(w.fluid(port).leaked, 10'000);
}

RULE_TEST(Reservoirs, ALeakEndsWithItsRemoval, "LVL-6 INS-1") {
  world w;
  w.does(events::inject(fault::reservoir_leak, events::circuit(port), 1'000)).wait(10s);
  w.does(events::remove_fault(fault::reservoir_leak, events::circuit(port))).wait(10s);
  EXPECT_EQ(w.fluid(port).leaked, 10'000);
}

// ---- RES-1, RES-2

RULE_TEST(Reservoirs, LowAirIsACautionAndThePumpsGoOn, "RES-1") {
  bench b = powered_twin();
  full_start(b, 0);
  b.does(events::air(port, true));
  EXPECT_EQ(b.level_of(condition::reservoir_air, events::circuit(port)), alert_class::caution);
  EXPECT_TRUE(b.sees().engine_pumps[0].delivering);
  EXPECT_EQ(b.sees().circuits[port].status, circuit_status::normal);
  b.does(events::air(port, false));
  EXPECT_EQ(b.level_of(condition::reservoir_air, events::circuit(port)), alert_class::none);
}

RULE_TEST(Reservoirs, HotFluidIsACaution, "RES-2") {
  bench b{two_engine_spec()};
  b.does(events::fluid(centre, true));
  EXPECT_EQ(b.level_of(condition::fluid_hot, events::circuit(centre)), alert_class::caution);
  EXPECT_TRUE(b.sees().circuits[centre].fluid_hot);
  b.does(events::fluid(centre, false));
  EXPECT_EQ(b.level_of(condition::fluid_hot, events::circuit(centre)), alert_class::none);
}

// ---- LEK-1 (optional)

/// The centre circuit with leak isolation, at pressure.
bench isolating() {
  layout_spec spec = two_engine_spec();
  spec.circuits[centre].leak_isolation = true;
  bench b{spec};
  b.does(events::external_power(true), events::ground_override(duty_pump)).pressures_follow();
  return b;
}

RULE_TEST(LeakIsolation, ShutsTheOuterBranchOnTheGround, "LEK-1 CON-7") {
  bench b = isolating();
  ASSERT_TRUE(b.sees().consumers[outer_flaps].available);
  b.does(events::leak_isolation(centre, true));
  EXPECT_FALSE(b.sees().consumers[outer_flaps].available);
  EXPECT_EQ(b.sees().consumers[outer_flaps].reason, consumer_reason::outer_shut);
  EXPECT_TRUE(b.sees().consumers[controls].available) << "the main branch is not shut";
  b.does(events::leak_isolation(centre, false));
  EXPECT_TRUE(b.sees().consumers[outer_flaps].available);
}

RULE_TEST(LeakIsolation, IsRefusedInFlight, "LEK-1 GEN-2") {
  bench b = isolating();
  take_off(b);
  b.refused_by(events::leak_isolation(centre, true), "LEK-1");
}

RULE_TEST(LeakIsolation, DoesNotKeepTheBranchShutInFlight, "LEK-1") {
  bench b = isolating();
  b.does(events::leak_isolation(centre, true));
  take_off(b);
  b.pressures_follow();
  EXPECT_TRUE(b.sees().consumers[outer_flaps].available);
}

RULE_TEST(LeakIsolation, IsRejectedWhereItIsNotFitted, "LEK-1 GEN-2") {
  bench b{two_engine_spec()};
  b.rejects(events::leak_isolation(centre, true), refusal_kind::not_fitted);
}

RULE_TEST(LeakIsolation, StopsALeakOfAnOuterConsumer, "LEK-1 LVL-6") {
  layout_spec spec = two_engine_spec();
  spec.circuits[centre].leak_isolation = true;
  world w{spec};
  w.does(events::external_power(true)).does(events::ground_override(duty_pump)).wait(5s);
  w.does(events::inject(fault::consumer_leak, events::consumer(outer_flaps), 1'000)).wait(10s);
  EXPECT_EQ(w.fluid(centre).leaked, 10'000);
  w.does(events::leak_isolation(centre, true)).wait(10s);
  EXPECT_EQ(w.fluid(centre).leaked, 10'000);
}

}  // namespace
}  // namespace penstock_tests
