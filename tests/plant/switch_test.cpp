// Quantities become facts through switches with hysteresis: every edge both ways. A plant is set by hand just beside
// each mark, and asked for the fact that the logic does not hold yet.
#include <array>
#include <optional>
#include <string>
#include <vector>

#include <gtest/gtest.h>

#include "plant/any_layout.hpp"
#include "support/bench.hpp"
#include "support/rule_test.hpp"

namespace penstock_tests {
namespace {

// Parts of the twin freighter; its shaft unit goes from port to starboard.
constexpr unsigned port = 0, starboard = 1;

/// Logic and plant that agree, to be brought apart at one point.
struct side_by_side {
  explicit side_by_side(layout_spec spec = layouts::twin_freighter())
      : of(checked(std::move(spec))), logic(cold_and_dark(of)), plant(plant_at(of, logic)) {}

  void pressure(unsigned c, penstock::pressure p) {
    for (std::size_t b = 0; b < 3; ++b) plant.circuits[c].line[b] = of.fluid().circuits[c].capacity[b] * p.value;
    plant.circuits[c].own_line = plant.circuits[c].line[0] + plant.circuits[c].line[1] + plant.circuits[c].line[2];
  }
  /// Tells the logic what is due, up to the end; returns the facts of one kind, the last first.
  std::optional<event> told(event_kind kind) {
    std::optional<event> last;
    for (int i = 0; i < 20; ++i) {
      const auto due = next_fact(of, plant, logic);
      if (!due) return last;
      if (due->kind == kind) last = due;
      logic = transition(of, logic, *due).after;
    }
    ADD_FAILURE() << "facts without end";
    return last;
  }
  /// The fact of that kind is told with that value.
  void tells(const event& expected, const char* when) {
    const auto fact = told(expected.kind);
    ASSERT_TRUE(fact) << when << ": nothing is told";
    EXPECT_EQ(*fact, expected) << when;
  }
  void silent(event_kind kind, const char* when) {
    const auto fact = told(kind);
    EXPECT_FALSE(fact) << when << ": " << testing::PrintToString(*fact);
  }

  layout of;
  state logic;
  plant_state plant;
};

RULE_TEST(PlantSwitch, PressureIsMadeAndLostWithHysteresis, "GEN-4 CIR-1") {
  side_by_side s;  // made at 1900 psi, open below 1550 psi
  s.pressure(port, psi(1899.9));
  s.silent(event_kind::pressure, "just below, rising");
  s.pressure(port, psi(1900.1));
  s.tells(events::pressure(port, true), "rising");
  s.pressure(port, psi(1550.1));
  s.silent(event_kind::pressure, "between the marks, falling");
  s.pressure(port, psi(1549.9));
  s.tells(events::pressure(port, false), "falling");
  s.pressure(port, psi(1899.9));
  s.silent(event_kind::pressure, "between the marks, rising again");
}

RULE_TEST(PlantSwitch, HeavyConsumersAreShedAndRestoredWithHysteresis, "GEN-4 CON-4") {
  side_by_side s;  // restored at 2000 psi, shed below 1800 psi
  s.pressure(starboard, psi(1999.9));
  s.silent(event_kind::priority, "just below, rising");
  s.pressure(starboard, psi(2000.1));
  s.tells(events::priority(starboard, true), "rising");
  s.pressure(starboard, psi(1800.1));
  s.silent(event_kind::priority, "between the marks, falling");
  s.pressure(starboard, psi(1799.9));
  s.tells(events::priority(starboard, false), "falling");
}

RULE_TEST(PlantSwitch, LevelsHaveHysteresisAtEveryMark, "GEN-4 LVL-1 LVL-4") {
  side_by_side s;
  const detail::fluid_numbers::circuit& n = s.of.fluid().circuits[port];
  double& level = s.plant.circuits[port].reservoir;
  constexpr double drop = 1e-7;  // 0.1 mL
  level = n.low + drop;
  s.silent(event_kind::level, "just above low");
  level = n.low - drop;
  s.tells(events::level(port, fluid_level::low), "low");
  level = n.low_left - drop;
  s.silent(event_kind::level, "low is not left yet");
  level = n.low_left + drop;
  s.tells(events::level(port, fluid_level::normal), "low is left");
  level = n.over - drop;
  s.silent(event_kind::level, "just below over");
  level = n.over + drop;
  s.tells(events::level(port, fluid_level::over), "over");
  level = n.over_left + drop;
  s.silent(event_kind::level, "over is not left yet");
  level = n.over_left - drop;
  s.tells(events::level(port, fluid_level::normal), "over is left");
}

RULE_TEST(PlantSwitch, AnEmptyReservoirPrimesItsPumpsOnlyWithSomeFluid, "GEN-4 LVL-4") {
  side_by_side s;
  const detail::fluid_numbers::circuit& n = s.of.fluid().circuits[port];
  circuit_plant& c = s.plant.circuits[port];
  const auto settle = [&] { ASSERT_EQ(integrate_in_place(s.of, s.plant, {}, 0.001).kind, refusal_kind::none); };
  constexpr double drop = 1e-7;
  c.reservoir = 0.01 * n.low + drop;
  settle();
  EXPECT_FALSE(c.dry) << "a little is left";
  c.reservoir = 0.01 * n.low - drop;
  settle();
  EXPECT_TRUE(c.dry);
  s.tells(events::level(port, fluid_level::empty), "empty");
  c.reservoir = n.primed - drop;
  settle();
  EXPECT_TRUE(c.dry) << "not enough to prime";
  s.silent(event_kind::level, "not enough to prime");
  c.reservoir = n.primed + drop;
  settle();
  EXPECT_FALSE(c.dry);
  s.tells(events::level(port, fluid_level::low), "primed");
}

RULE_TEST(PlantSwitch, HotFluidEndsTenKelvinBelowItsMark, "GEN-4 RES-2") {
  side_by_side s;
  const double hot = s.of.fluid().circuits[port].hot;
  double& t = s.plant.circuits[port].temperature;
  t = hot - 0.01;
  s.silent(event_kind::fluid, "just below");
  t = hot;
  s.tells(events::fluid(port, true), "reaches");
  t = hot - 9.99;
  s.silent(event_kind::fluid, "not cool yet");
  t = hot - 10.01;
  s.tells(events::fluid(port, false), "cool");
}

RULE_TEST(PlantSwitch, DifferencesOfOwnPressureHaveHysteresisBothWays, "GEN-4 PTU-6") {
  using d = pressure_difference;
  for (const bool a_is_higher : {true, false}) {
    side_by_side s;  // activation 450 psi, release 150 psi
    const unsigned high = a_is_higher ? port : starboard;
    s.pressure(high, psi(149.9));
    s.silent(event_kind::difference, "below release");
    s.pressure(high, psi(150.1));
    s.tells(events::difference(0, a_is_higher ? d::a_higher : d::b_higher), "between, rising");
    s.pressure(high, psi(449.9));
    s.silent(event_kind::difference, "not above activation");
    s.pressure(high, psi(450.1));
    s.tells(events::difference(0, a_is_higher ? d::a_exceeds : d::b_exceeds), "above activation");
    s.pressure(high, psi(449.9));
    s.tells(events::difference(0, a_is_higher ? d::a_higher : d::b_higher), "between, falling");
    s.pressure(high, psi(149.9));
    s.tells(events::difference(0, d::level), "below release");
  }
}

RULE_TEST(PlantSwitch, AUnitGoesOnBetweenItsMarks, "GEN-4 PTU-6 PTU-9") {
  side_by_side s;
  // In flight with both engines, so that both circuits have a source of their own and nothing inhibits the unit.
  reposition_spec to = reposition_of_cold_and_dark(s.of);
  to.engine_runs = {true, true};
  to.unit_on[0] = true;
  to.in_flight = true;
  to.parking_brake_set = false;
  s.logic = *repositioned(s.of, to);
  s.plant = plant_at(s.of, s.logic);
  s.pressure(port, psi(3000));
  const auto mode = [&](double apart) {
    s.pressure(starboard, psi(3000 - apart));
    s.told(event_kind::difference);
    return s.logic.logic.units[0].mode;
  };
  EXPECT_NE(mode(400.0), unit_mode::a_drives_b) << "below activation it does not begin";
  EXPECT_EQ(mode(500.0), unit_mode::a_drives_b);
  EXPECT_EQ(mode(200.0), unit_mode::a_drives_b) << "it goes on above release";
  EXPECT_NE(mode(100.0), unit_mode::a_drives_b);
}

RULE_TEST(PlantSwitch, AStoreCountsWholeApplicationsBothWays, "CON-3") {
  side_by_side s;
  const detail::fluid_numbers::store& n = s.of.fluid().stores[0];
  s.told(event_kind::stored);
  constexpr double drop = 1e-9;
  s.plant.stores[0].fluid = n.least_fluid + 3.0 * n.application + drop;
  s.tells(events::stored(0, 3), "three");
  s.plant.stores[0].fluid = n.least_fluid + 3.0 * n.application - 2.0 * n.application * 1e-6;
  s.tells(events::stored(0, 2), "nearly three");
  s.plant.stores[0].fluid = n.least_fluid + 3.0 * n.application + drop;
  s.tells(events::stored(0, 3), "three again");
  s.plant.stores[0].fluid = n.least_fluid - drop;
  s.tells(events::stored(0, 0), "below the least pressure");
}

// ---- the whole simulation

/// The twin freighter with the fluid plant.
struct flown {
  flown() : of(checked(layouts::twin_freighter())), run(of, plant_kind::fluid) {}
  flown(const flown&) = delete;
  flown& operator=(const flown&) = delete;
  flown& does(const event& happening) {
    const effects what = run.apply(happening);
    EXPECT_TRUE(what.accepted()) << testing::PrintToString(happening) << ": " << what.refused.sentence;
    return *this;
  }
  flown& wait(milliseconds span) {
    EXPECT_TRUE(run.advance(span).accepted());
    return *this;
  }
  [[nodiscard]] observation sees() const { return observe(of, run.now()); }
  [[nodiscard]] double psi_of(unsigned c) const { return in_psi(pressure_of(of, run.fluid(), c)); }
  layout of;
  simulation run;
};

RULE_TEST(FluidTradeFacts, DoorModeShowsFullPressureAndYetAPartialCircuit, "CGO-5 CIR-1") {  // common practice
  flown f;
  f.does(events::external_power(true)).does(events::lever(0, lever_position::open)).wait(10s);
  EXPECT_EQ(f.sees().circuits[port].status, circuit_status::partial);
  EXPECT_GE(f.psi_of(port), 2700.0) << "nominal but for what the door takes";
}

RULE_TEST(FluidTradeFacts, PressureIsZeroWithThePumpsOffOnceDecayed, "CIR-1") {  // common practice
  flown f;
  f.does(events::external_power(true)).does(events::lever(0, lever_position::open)).wait(40s);
  f.does(events::lever(0, lever_position::neutral)).wait(2min);
  EXPECT_LT(f.psi_of(port), 30.0);
}

RULE_TEST(FluidTradeFacts, TheTransferTestBringsTheOtherCircuitAboveItsSwitchFromTheStartSelection,
          "PTU-3 PTU-5") {  // common practice; how far, the efficiency of the unit decides
  for (const unsigned first : {0U, 1U}) {
    flown f;
    f.does(events::external_power(true)).does(events::start(first)).wait(60s);
    const unsigned other = 1 - first;
    ASSERT_LT(f.psi_of(other), 1900.0);
    f.does(events::start(other));
    EXPECT_EQ(f.run.now().logic.units[0].outcome, test_outcome::pending) << "with the start, not with idle";
    f.wait(3s);
    EXPECT_GE(f.psi_of(other), 1900.0);
    EXPECT_EQ(f.run.now().logic.units[0].outcome, test_outcome::passed);
    EXPECT_LT(f.run.fluid().engines[other].speed, 0.2) << "its own pump has no part in it";
  }
}

RULE_TEST(FluidTradeFacts, GearRetractionLowersTheLevelSlightlyAndNotToTheLowMark, "LVL-1 LVL-2 LVL-3") {
  flown f;  // common practice
  f.does(events::external_power(true)).does(events::start(0)).wait(60s).does(events::start(1)).wait(60s);
  f.does(events::external_power(false)).does(events::air_ground_is(air_ground::air)).wait(1s);
  const double before = f.run.fluid().circuits[starboard].reservoir;
  f.does(events::gear(false)).wait(30s);
  const double after = f.run.fluid().circuits[starboard].reservoir;
  EXPECT_NEAR(before - after, 1.8e-3, 0.1e-3) << "the displacement of the gear";
  EXPECT_GT(after, 1.5 * f.of.fluid().circuits[starboard].low);
  EXPECT_EQ(f.sees().circuits[starboard].level, fluid_level::normal);
  f.does(events::gear(true)).wait(30s);
  EXPECT_NEAR(f.run.fluid().circuits[starboard].reservoir, before, 0.05e-3) << "it returns";
}

RULE_TEST(FluidTradeFacts, TheLevelIsAsExpectedAndALeakIsWhatIsMissing, "LVL-5 LVL-6") {
  flown f;
  const auto missing = [&] { return servicing(f.of, f.run.fluid(), f.run.now(), starboard); };
  EXPECT_TRUE(missing().valid);
  EXPECT_NEAR(missing().missing.value, 0.0, 1e-9);
  f.does(events::inject(fault::reservoir_leak, events::circuit(starboard), 50'000)).wait(10s);
  f.does(events::remove_fault(fault::reservoir_leak, events::circuit(starboard)));
  EXPECT_NEAR(missing().missing.value, 0.5e-3, 1e-9);
}

}  // namespace
}  // namespace penstock_tests
