// Facts of the trade, each of them common practice without a published source, shown on the whole simulation with
// its quasi-static plant.
#include <optional>
#include <vector>

#include "support/bench.hpp"
#include "support/rule_test.hpp"

namespace penstock_tests {
namespace {

/// An aircraft with the quasi-static plant, asked by kind of component rather than by name.
struct aircraft_in_time {
  explicit aircraft_in_time(layout_spec spec) : cold(std::move(spec)), run(cold.aircraft(), plant_kind::quasi_static) {}
  aircraft_in_time(const aircraft_in_time&) = delete;
  aircraft_in_time& operator=(const aircraft_in_time&) = delete;

  aircraft_in_time& does(const event& happening) {
    const effects what = run.apply(happening);
    EXPECT_TRUE(what.accepted()) << testing::PrintToString(happening) << ": " << what.refused.sentence;
    return *this;
  }
  aircraft_in_time& wait(milliseconds span) {
    EXPECT_TRUE(run.advance(span).accepted());
    return *this;
  }
  [[nodiscard]] const layout& of() const { return cold.aircraft(); }
  [[nodiscard]] observation sees() const { return observe(of(), run.now()); }
  [[nodiscard]] alert_class level_of(condition which) const {
    const observation seen = sees();
    for (const observed_alert& one : seen.alerts_standing()) {
      if (one.condition == which) return one.level;
    }
    return alert_class::none;
  }
  /// The electric pump of that duty.
  [[nodiscard]] std::optional<unsigned> pump_with(pump_duty duty) const {
    for (unsigned p = 0; p < of().count(component::electric_pump); ++p) {
      if (of().spec().electric_pumps[p].duty == duty) return p;
    }
    return std::nullopt;
  }
  [[nodiscard]] unsigned circuit_of(const std::string& name) const { return of().find(name)->index; }

  bench cold;
  simulation run;
};

std::vector<layout_spec> twins() { return {two_engine_spec(), layouts::twin_freighter()}; }

RULE_TEST(TradeFacts, NominalPressureIs3000Psi, "CIR-1") {  // common practice
  EXPECT_DOUBLE_EQ(in_psi(layout_spec{}.nominal), 3000.0);
  EXPECT_DOUBLE_EQ(in_psi(layouts::twin_freighter().nominal), 3000.0);
}

RULE_TEST(TradeFacts, PressureIsZeroWithThePumpsOff, "CIR-1 CGO-2") {  // common practice
  for (const layout_spec& spec : twins()) {
    aircraft_in_time a{spec};
    a.does(events::external_power(true)).does(events::lever(0, lever_position::open)).wait(5s);
    a.does(events::lever(0, lever_position::neutral)).wait(2min);
    const observation seen = a.sees();
    for (std::size_t c = 0; c < a.of().count(component::circuit); ++c) {
      EXPECT_FALSE(seen.circuits[c].at_pressure) << spec.name << ' ' << c;
      EXPECT_EQ(seen.circuits[c].status, circuit_status::off) << spec.name << ' ' << c;
    }
  }
}

RULE_TEST(TradeFacts, DoorModeShowsFullPressureAndYetAPartialCircuit, "CGO-6 CIR-1") {  // common practice
  for (const layout_spec& spec : twins()) {
    aircraft_in_time a{spec};
    const unsigned circuit = a.circuit_of(spec.cargo_doors[0].circuit);
    a.does(events::external_power(true)).does(events::lever(0, lever_position::open)).wait(5s);
    EXPECT_TRUE(a.sees().circuits[circuit].at_pressure) << spec.name;
    EXPECT_TRUE(a.sees().circuits[circuit].pressure_made) << spec.name;
    EXPECT_TRUE(a.run.now().logic.circuits[circuit].above_priority) << spec.name;
    EXPECT_EQ(a.sees().circuits[circuit].status, circuit_status::partial) << spec.name;
  }
}

RULE_TEST(TradeFacts, TheFirstEnginePumpNeedsOnlyOneEngineEitherOne, "AUX-1") {  // common practice
  for (const layout_spec& spec : twins()) {
    for (const unsigned first : {0U, 1U}) {
      aircraft_in_time a{spec};
      const auto pump = a.pump_with(pump_duty::first_engine);
      ASSERT_TRUE(pump) << spec.name;
      a.does(events::external_power(true)).wait(1min);
      EXPECT_FALSE(a.sees().electric_pumps[*pump].delivering) << spec.name;
      a.does(events::start(first)).wait(2min);
      EXPECT_TRUE(a.sees().electric_pumps[*pump].delivering) << spec.name << ", engine " << first;
    }
  }
}

RULE_TEST(TradeFacts, TheTransferTestStartsWithTheStartOfTheSecondEngine, "PTU-3") {  // common practice
  for (const layout_spec& spec : twins()) {
    for (const unsigned first : {0U, 1U}) {
      aircraft_in_time a{spec};
      a.does(events::external_power(true)).does(events::start(first)).wait(2min);
      ASSERT_EQ(a.sees().units[0].outcome, test_outcome::none) << spec.name;
      a.does(events::start(1 - first));
      EXPECT_NE(a.sees().engines[1 - first].mode, engine_mode::at_idle) << spec.name << ": long before its idle";
      EXPECT_EQ(a.level_of(condition::transfer_test), alert_class::advisory) << spec.name << ", engine " << first;
    }
  }
}

RULE_TEST(TradeFacts, TheTransferTestBringsTheOtherCircuitToPressureAndEndsWithTheStart, "PTU-4 PTU-5") {
  // common practice
  for (const layout_spec& spec : twins()) {
    for (const unsigned first : {0U, 1U}) {
      aircraft_in_time a{spec};
      a.does(events::external_power(true))
          .does(events::start(first))
          .wait(2min)
          .does(events::start(1 - first))
          .wait(1s);
      const observed_unit unit = a.sees().units[0];
      const auto& driven = unit.mode == unit_mode::a_drives_b ? spec.transfer_units[0].b : spec.transfer_units[0].a;
      EXPECT_TRUE(a.sees().circuits[a.circuit_of(driven)].at_pressure) << spec.name;
      a.wait(2min);
      EXPECT_EQ(a.sees().engines[1 - first].mode, engine_mode::running) << spec.name;
      EXPECT_EQ(a.level_of(condition::transfer_test), alert_class::none) << spec.name << ": over";
      EXPECT_EQ(a.sees().units[0].outcome, test_outcome::passed) << spec.name;
    }
  }
}

RULE_TEST(TradeFacts, TheSteeringAlertChangesClassAtTheFirstEnginesIdle, "STR-1 STR-2") {  // common practice
  for (const layout_spec& spec : twins()) {
    aircraft_in_time a{spec};
    a.does(events::external_power(true)).does(events::steering(false)).does(events::start(1));
    alert_class before = a.level_of(condition::steering);
    EXPECT_EQ(before, alert_class::advisory);
    for (int i = 0; i < 1'200; ++i) {
      a.wait(100ms);
      const bool idle =
          a.sees().engines[1].mode == engine_mode::at_idle || a.sees().engines[1].mode == engine_mode::running;
      before = a.level_of(condition::steering);
      ASSERT_EQ(before, idle ? alert_class::caution : alert_class::advisory) << spec.name << " at " << a.sees().now;
    }
    EXPECT_EQ(before, alert_class::caution) << spec.name;
  }
}

RULE_TEST(TradeFacts, GearRetractionLowersTheLevelSlightlyAndNotToTheLowMark, "LVL-3") {  // common practice
  for (const layout_spec& spec : twins()) {
    aircraft_in_time a{spec};
    a.does(events::external_power(true)).does(events::start(0)).wait(2min).does(events::start(1)).wait(2min);
    a.does(events::parking_brake(false)).does(events::air_ground_is(air_ground::air)).wait(5s);
    std::vector<std::int64_t> before;
    for (unsigned c = 0; c < a.of().count(component::circuit); ++c) {
      before.push_back(fluid_of(a.of(), a.run.plant(), c).reservoir);
    }
    a.does(events::gear(false)).wait(1min);
    std::int64_t lowered = 0;
    for (unsigned c = 0; c < a.of().count(component::circuit); ++c) {
      const std::int64_t less = before[c] - fluid_of(a.of(), a.run.plant(), c).reservoir;
      EXPECT_GE(less, 0) << spec.name;
      EXPECT_LT(less, before[c] / 4) << spec.name << ": slightly";
      EXPECT_EQ(a.sees().circuits[c].level, fluid_level::normal) << spec.name;
      lowered += less;
    }
    EXPECT_GT(lowered, 0) << spec.name;
    EXPECT_EQ(a.level_of(condition::quantity), alert_class::none) << spec.name;
  }
}

RULE_TEST(TradeFacts, AWholeTurnaroundRaisesNoWarningOrUnexpectedCaution, "ALR-3") {  // common practice
  for (const layout_spec& spec : twins()) {
    aircraft_in_time a{spec};
    const auto nothing_from = [&](alert_class least, const char* when) {
      const observation seen = a.sees();
      for (const observed_alert& one : seen.alerts_standing()) {
        EXPECT_LT(one.level, least) << spec.name << ' ' << when << ": " << word(one.condition) << ' '
                                    << a.of().name(one.about) << " [" << one.rule << ']';
      }
    };
    a.does(events::external_power(true)).does(events::lever(0, lever_position::open)).wait(1min);
    nothing_from(alert_class::caution, "door opens");
    a.does(events::lever(0, lever_position::close)).wait(1min);
    a.does(events::lever(0, lever_position::neutral)).wait(2min);
    nothing_from(alert_class::advisory, "door closed");
    a.does(events::start(0)).wait(2min);
    nothing_from(alert_class::caution, "first engine");
    a.does(events::start(1));
    for (int i = 0; i < 60; ++i) {
      a.wait(1s);
      nothing_from(alert_class::caution, "second engine");
    }
    a.does(events::external_power(false)).does(events::parking_brake(false)).wait(1min);
    nothing_from(alert_class::advisory, "taxi");
    a.does(events::air_ground_is(air_ground::air)).wait(3s).does(events::gear(false)).wait(1min);
    nothing_from(alert_class::advisory, "gear up");
  }
}

}  // namespace
}  // namespace penstock_tests
