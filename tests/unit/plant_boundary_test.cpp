// The quasi-static plant and the simulation where stories seldom go: states set up by hand, ends of ranges, readings.
#include <cstdint>
#include <optional>
#include <vector>

#include "penstock/detail/quasi_static_parts.hpp"
#include "support/bench.hpp"
#include "support/rule_test.hpp"

namespace penstock_tests {
namespace {

namespace quasi = penstock::detail::quasi;

// --- quasi-static plant ----------------------------------------------------------------------------

TEST(PlantBoundary, ASearchOverNoTimeFindsNothing) {
  const auto always = [](std::int64_t) { return true; };
  EXPECT_EQ(quasi::first_ms(0, always), 0);
  EXPECT_EQ(quasi::first_ms(1, always), 1);
  EXPECT_EQ(quasi::first_ms(10, [](std::int64_t t) { return t > 10; }), 0);
  EXPECT_EQ(quasi::first_ms(10, [](std::int64_t t) { return t > 6; }), 7);
  quasi::trend leaking;
  leaking.now = 100;
  leaking.flow = 1'000;  // 1 mm3 in each ms
  EXPECT_EQ(quasi::first_outside(leaking, 91, 1'000, 1, 60), 10);
  EXPECT_EQ(quasi::first_outside(leaking, 91, 1'000, 61, 60), 0);
}

RULE_TEST(PlantBoundary, AnEngineSetUpInABandTurnsAtTheLowestSpeedOfIt, "GEN-7") {
  bench b = powered_twin();
  b.does(events::start(0));
  for (const auto band : {spool_band::zero, spool_band::turning, spool_band::driving, spool_band::near_idle, spool_band::idle}) {
    b.does(events::spool(0, band));
    const auto plant = plant_for(b.aircraft(), b.now());
    const auto numbers = quasi::numbers_of(b.aircraft().spec().engines[0]);
    const auto speed = quasi::speed_of(numbers, plant, 0);
    EXPECT_EQ(quasi::band_of(numbers, speed), band);
    EXPECT_TRUE(speed == 0 || quasi::band_of(numbers, speed - 1) < band) << word(band);
  }
}

RULE_TEST(PlantBoundary, AConsumerLeakThatNamesNoConsumerLosesNothing, "INS-1 LVL-6") {
  bench b = powered_twin();
  full_start(b, 0);
  const auto plant = plant_for(b.aircraft(), b.now());
  const auto leak_at = [&](subject where) {
    state by_hand = b.now();
    by_hand.faults[0].status = fault_status::active;
    by_hand.faults[0].kind = fault::consumer_leak;
    by_hand.faults[0].where = where;
    by_hand.faults[0].amount = 5'000;
    return quasi::leak_of(b.aircraft(), plant, by_hand, cargo_circuit);
  };
  EXPECT_EQ(leak_at(events::consumer(gear)), 5'000);
  EXPECT_EQ(leak_at(events::consumer(steering)), 0) << "another circuit feeds it";
  EXPECT_EQ(leak_at(events::circuit(gear)), 0);
  EXPECT_EQ(leak_at(events::consumer(99)), 0);
}

RULE_TEST(PlantBoundary, AStarterThatIsOutIsNotToldAgain, "ENG-3 GEN-7") {
  bench b = powered_twin();
  start_to_idle(b, 0);
  auto plant = plant_for(b.aircraft(), b.now());
  plant.since_idle[0] = 3'000;  // the starter's cut-out time
  EXPECT_EQ(next_fact(b.aircraft(), plant, b.now()), events::starter_out(0));
  state by_hand = b.now();
  by_hand.logic.engines[0].starter_is_out = true;
  EXPECT_NE(next_fact(b.aircraft(), plant, by_hand), events::starter_out(0));
}

RULE_TEST(PlantBoundary, EachStoreIsToldByItself, "CON-3") {
  bench b{two_store_spec()};
  auto plant = plant_for(b.aircraft(), b.now());
  EXPECT_EQ(next_fact(b.aircraft(), plant, b.now()), std::nullopt);
  plant.applications[1] = 1;
  EXPECT_EQ(next_fact(b.aircraft(), plant, b.now()), events::stored(1, 1));
  plant.applications[0] = 2;
  EXPECT_EQ(next_fact(b.aircraft(), plant, b.now()), events::stored(0, 2));
}

RULE_TEST(PlantBoundary, FluidThatAnotherCircuitsGearReturnsToADryLeakingOne, "LVL-3 LVL-4 LVL-6") {
  // The gear holds fluid of port and is moved by starboard; what it returns to port leaks away at once.
  layout_spec spec = two_engine_spec();
  spec.consumers[gear].feeds = {{"port", branch::main}, {"starboard", branch::main}};
  spec.consumers[gear].travel = milliseconds{40};
  bench b{spec};
  auto to = reposition_of_cold_and_dark(b.aircraft());
  to.engine_runs = {true, true};
  to.in_flight = true;
  to.gear_down = false;
  to.parking_brake_set = false;
  to.levels[cargo_circuit] = fluid_level::empty;
  b.begins_at(to);
  b.does(events::inject(fault::reservoir_leak, events::circuit(cargo_circuit), 100'000'000));
  const auto retracted = plant_for(b.aircraft(), b.now());
  b.does(events::gear(true));
  ASSERT_TRUE(quasi::has_no_closed_form(b.aircraft(), retracted, b.now()));
  const auto moved = plant_after(b.aircraft(), retracted, b.now(), 40);
  EXPECT_EQ(moved.gear[gear], 0U);
  EXPECT_FALSE(quasi::has_no_closed_form(b.aircraft(), moved, b.now())) << "nothing moves any more";
  EXPECT_EQ(moved.leaked[cargo_circuit], retracted.leaked[cargo_circuit] + 1'500'000) << "what the gear held, in mm3";
  EXPECT_EQ(next_plant_change(b.aircraft(), retracted, b.now()), std::nullopt) << "no fact changes by it";
}

// --- simulation ------------------------------------------------------------------------------------

RULE_TEST(SimulationBoundary, AFactBelongsToThePlantThatWorksItOut, "GEN-2") {
  const bench b = twin();
  const std::vector<event> of_both{events::spool(0, spool_band::turning), events::travel(0, door_travel::open),
                                   events::pressure(0, true),             events::priority(0, true),
                                   events::level(0, fluid_level::low),    events::difference(0, pressure_difference::a_exceeds),
                                   events::stored(0, 0)};
  const std::vector<event> of_fluid_alone{events::fluid(0, true), events::overspeed(0, true)};
  for (const plant_kind kind : {plant_kind::none, plant_kind::quasi_static, plant_kind::fluid}) {
    for (const event& fact : of_both) {
      simulation s{b.aircraft(), kind};
      EXPECT_EQ(s.apply(fact).accepted(), kind == plant_kind::none) << testing::PrintToString(fact);
    }
    for (const event& fact : of_fluid_alone) {
      simulation s{b.aircraft(), kind};
      EXPECT_EQ(s.apply(fact).accepted(), kind != plant_kind::fluid) << testing::PrintToString(fact);
    }
    simulation s{b.aircraft(), kind};
    EXPECT_TRUE(s.apply(events::external_power(true)).accepted());
  }
}

RULE_TEST(SimulationBoundary, TimeGoesOnBeyondADayUpToTheLimitOfTheLogic, "GEN-3") {
  const bench b = twin();
  simulation s{b.aircraft(), plant_kind::none};
  EXPECT_FALSE(s.advance(milliseconds{-1}).accepted());
  EXPECT_FALSE(s.advance(limits::longest_time + milliseconds{1}).accepted());
  for (int day = 0; day < 24; ++day) EXPECT_TRUE(s.advance(24h).accepted()) << day;
  const state before = s.now();
  EXPECT_FALSE(s.advance(24h).accepted());
  EXPECT_TRUE(s.now() == before);
  EXPECT_TRUE(s.advance(1h).accepted());
}

RULE_TEST(SimulationBoundary, AFaultThatComesWithTimeAndMovesNothingIsShownToTheWatcher, "INS-1") {
  const bench b = twin();
  for (const plant_kind kind : {plant_kind::none, plant_kind::quasi_static, plant_kind::fluid}) {
    simulation s{b.aircraft(), kind};
    // a weak pump that stands still takes no row and raises no alert
    ASSERT_TRUE(s.apply(events::inject_at(fault::pump_weak, events::engine_pump(0), 5s)).accepted());
    std::vector<std::uint32_t> shown;
    s.watch([&](const simulation::frame& one) { shown.push_back(one.after.chronicle.now); });
    s.advance(10s);
    EXPECT_EQ(shown, std::vector<std::uint32_t>{5'000}) << word(kind);
  }
}

RULE_TEST(SimulationBoundary, TheFluidGoesInFramesOf10MsWhereverTheCallerStops, "GEN-3") {
  const bench b = twin();
  simulation s{b.aircraft(), plant_kind::fluid};
  ASSERT_TRUE(s.apply(events::external_power(true)).accepted());
  ASSERT_TRUE(s.apply(events::lever(forward_door, lever_position::open)).accepted());
  const plant_state at_once = s.fluid();
  s.advance(3ms);
  EXPECT_TRUE(s.fluid() == at_once) << "within a frame";
  s.advance(7ms);
  EXPECT_FALSE(s.fluid() == at_once) << "the pump runs up";
  simulation whole{b.aircraft(), plant_kind::fluid};
  whole.apply(events::external_power(true));
  whole.apply(events::lever(forward_door, lever_position::open));
  whole.advance(10ms);
  EXPECT_TRUE(whole.fluid() == s.fluid());
}

// --- readings --------------------------------------------------------------------------------------

TEST(Readings, APartHasTheReadingsThatItsPlantWorksOut) {
  const bench b{two_engine_spec()};
  const std::vector<subject> everything = b.aircraft().everything();
  const auto count_of_readings = [&](plant_kind kind) {
    const simulation s{b.aircraft(), kind};
    std::size_t found = 0;
    for (const subject& about : everything) {
      for (std::size_t what = 0; what < count_of<reading_kind>; ++what) {
        if (reading(s, about, static_cast<reading_kind>(what))) ++found;
      }
    }
    return found;
  };
  EXPECT_EQ(count_of_readings(plant_kind::none), 0U);
  // two speeds, three pressures and quantities, two doors, one gear
  EXPECT_EQ(count_of_readings(plant_kind::quasi_static), 2U + 3 + 3 + 2 + 1);
  // three temperatures more, flows of two, three and one pump and of the unit, pressure and quantity of the store
  EXPECT_EQ(count_of_readings(plant_kind::fluid), 11U + 3 + 2 + 3 + 1 + 1 + 2);
  simulation quasi_static{b.aircraft(), plant_kind::quasi_static};
  EXPECT_EQ(reading(quasi_static, events::circuit(0), reading_kind::pressure), 0.0);
  quasi_static.apply(events::external_power(true));
  quasi_static.apply(events::lever(forward_door, lever_position::open));
  EXPECT_EQ(reading(quasi_static, events::circuit(0), reading_kind::pressure), in_psi(b.aircraft().spec().nominal));
  EXPECT_EQ(unit_of(reading_kind::pressure), "psi");
  EXPECT_EQ(unit_of(static_cast<reading_kind>(99)), "");
  const simulation s{b.aircraft(), plant_kind::fluid};
  EXPECT_EQ(reading(s, events::engine(2), reading_kind::speed), std::nullopt) << "it has two engines";
}

}  // namespace
}  // namespace penstock_tests
