// Machines by number: their modes, words and owners, and numbers that name none. And the ends of lists of fixed length.
#include <algorithm>
#include <array>
#include <string_view>

#include "penstock/detail/rows.hpp"
#include "penstock/machines/ladder.hpp"
#include "support/bench.hpp"
#include "support/rule_test.hpp"

namespace penstock_tests {
namespace {

/// Each machine, the kind of its owner, and whether the small twin has the first of them.
struct expected_machine {
  machine which;
  component owner;
  bool in_small_twin;
};
constexpr std::array<expected_machine, machine_count> all_machines{{
    {machine::start_selection, component::engine, true},
    {machine::engine, component::engine, true},
    {machine::supply_valve, component::engine, true},
    {machine::cargo_door, component::cargo_door, true},
    {machine::pump_health, component::engine_pump, true},
    {machine::engine_pump, component::engine_pump, true},
    {machine::start_limiter, component::electric_pump, true},
    {machine::cargo_demand, component::electric_pump, true},
    {machine::first_engine_demand, component::electric_pump, false},
    {machine::plain_demand, component::electric_pump, false},
    {machine::electric_pump, component::electric_pump, true},
    {machine::ram_air_pump, component::ram_air_pump, false},
    {machine::service, component::circuit, true},
    {machine::transfer_unit, component::transfer_unit, false},
    {machine::transfer_test, component::transfer_unit, false},
    {machine::steering_link, component::steering, true},
}};
constexpr auto no_machine = static_cast<machine>(machine_count);
constexpr std::uint8_t first_electric_health = limits::engine_pumps;

TEST(MachineNumbers, EachMachineHasRowsWordsAndAnOwner) {
  const bench b{small_twin_spec()};
  for (const auto& [which, owner, in_small_twin] : all_machines) {
    SCOPED_TRACE(word(which));
    EXPECT_FALSE(rows_of(which).empty());
    EXPECT_EQ(owner_of(b.aircraft(), which, 0), (subject{owner, 0}));
    EXPECT_EQ(has_machine(b.aircraft(), which, 0), in_small_twin);
    EXPECT_NE(mode_word(which, 0), "?");
    EXPECT_EQ(mode_word(which, static_cast<std::uint8_t>(mode_count(which))), "?");
    EXPECT_NE(event_word(which, 0), "?");
    EXPECT_EQ(event_word(which, 0xFF), "?");
    EXPECT_FALSE(has_machine(b.aircraft(), which, 0xFF));
    EXPECT_EQ(mode_of(b.now(), which, 0xFF), 0U);
  }
}

TEST(MachineNumbers, ANumberOutsideTheListNamesNoMachine) {
  const bench b = twin();
  EXPECT_TRUE(rows_of(no_machine).empty());
  EXPECT_EQ(mode_word(no_machine, 0), "?");
  EXPECT_EQ(event_word(no_machine, 0), "?");
  EXPECT_FALSE(has_machine(b.aircraft(), no_machine, 0));
}

TEST(MachineNumbers, TheHealthOfElectricPumpsStandsBehindThatOfEnginePumps) {
  bench b = twin();
  EXPECT_EQ(owner_of(b.aircraft(), machine::pump_health, first_electric_health), events::electric_pump(0));
  EXPECT_TRUE(has_machine(b.aircraft(), machine::pump_health, first_electric_health));
  EXPECT_FALSE(has_machine(b.aircraft(), machine::pump_health, 2)) << "it has two engine pumps";
  b.does(events::inject(fault::pump_failed, events::electric_pump(1)));
  EXPECT_EQ(mode_of(b.now(), machine::pump_health, first_electric_health + 1), static_cast<std::uint8_t>(health_mode::failed));
  EXPECT_EQ(mode_of(b.now(), machine::pump_health, 1), static_cast<std::uint8_t>(health_mode::healthy));
}

TEST(MachineNumbers, DemandAndLimiterBelongToTheDutyOfThePump) {
  const bench b = twin();
  EXPECT_TRUE(has_machine(b.aircraft(), machine::first_engine_demand, duty_pump));
  EXPECT_TRUE(has_machine(b.aircraft(), machine::plain_demand, plain_pump));
  EXPECT_FALSE(has_machine(b.aircraft(), machine::cargo_demand, plain_pump));
  EXPECT_FALSE(has_machine(b.aircraft(), machine::start_limiter, cargo_pump)) << "its starts are not limited";
  EXPECT_FALSE(has_machine(b.aircraft(), machine::service, plain_circuit)) << "it has no doors' pump";
}

TEST(MachineNumbers, ModesAreThoseOfTheState) {
  bench b = twin();
  const std::array<std::uint8_t, machine_count> before = [&] {
    std::array<std::uint8_t, machine_count> modes{};
    for (std::size_t i = 0; i < machine_count; ++i) modes[i] = mode_of(b.now(), static_cast<machine>(i), 0);
    return modes;
  }();
  EXPECT_EQ(mode_word(machine::engine, before[static_cast<std::size_t>(machine::engine)]), "stopped");
  state other = b.now();
  other.logic.engines[0].selection = selection_mode::selected;
  other.logic.engines[0].mode = engine_mode::cranking;
  other.logic.engines[0].supply = valve_mode::closed;
  other.logic.doors[0].mode = door_mode::asking;
  other.logic.engine_pumps[0].health = health_mode::failed;
  other.logic.engine_pumps[0].mode = pump_mode::delivering;
  other.logic.electric_pumps[0].limiter = limiter_mode::cooling;
  other.logic.electric_pumps[0].demand = demand_mode::door;
  other.logic.electric_pumps[0].mode = pump_mode::delivering;
  other.logic.aircraft.ram_air = ram_air_mode::deployed;
  other.logic.circuits[0].service = service_mode::service;
  other.logic.units[0].mode = unit_mode::a_drives_b;
  other.logic.units[0].test = test_mode::waiting;
  other.logic.aircraft.steering = steering_mode::pinned;
  for (std::size_t i = 0; i < machine_count; ++i) {
    EXPECT_NE(mode_of(other, static_cast<machine>(i), 0), before[i]) << word(static_cast<machine>(i));
  }
}

RULE_TEST(EndsOfLists, AFullListOfRowsIsCut, "GEN-1") {
  effects what{};
  what.rows = effects::most_rows - 1;
  penstock::detail::add_row(what, {.at = 1, .machine = machine::engine, .index = 0, .row = 7});
  EXPECT_FALSE(what.cut_short) << "it just fits";
  EXPECT_EQ(what.row.back().row, 7U);
  penstock::detail::add_row(what, {.at = 1, .machine = machine::engine, .index = 0, .row = 8});
  EXPECT_TRUE(what.cut_short);
  EXPECT_EQ(what.rows, effects::most_rows);
  EXPECT_EQ(what.row.back().row, 7U);
}

TEST(EndsOfLists, ASpanIsCutShortWhenARowDoesNotFitOrAStepWas) {
  effects step{};
  step.rows = 2;
  step.row[0] = row_taken{.at = 1, .machine = machine::engine, .index = 0, .row = 7};
  step.row[1] = row_taken{.at = 1, .machine = machine::engine, .index = 0, .row = 8};
  effects whole{};
  whole.rows = effects::most_rows - 2;
  penstock::detail::add_rows(whole, step);
  EXPECT_FALSE(whole.cut_short) << "they just fit";
  EXPECT_EQ(whole.rows, effects::most_rows);
  EXPECT_EQ(whole.row.back().row, 8U);
  penstock::detail::add_rows(whole, effects{});
  EXPECT_FALSE(whole.cut_short);
  penstock::detail::add_rows(whole, step);
  EXPECT_TRUE(whole.cut_short);
  EXPECT_EQ(whole.rows, effects::most_rows);
  penstock::detail::add_rows(whole, effects{});
  EXPECT_TRUE(whole.cut_short) << "once cut it is not whole any more";
  effects other{};
  step.cut_short = true;
  penstock::detail::add_rows(other, step);
  EXPECT_TRUE(other.cut_short);
  EXPECT_EQ(other.rows, 2U);
}

enum class size : std::uint8_t { none, small, large };
constexpr bool is_large(const int& n) { return n > 100; }
constexpr bool is_small(const int& n) { return n > 10; }
using sizes = machines::ladder<int, machines::rung<"GEN-1", size::large, is_large, "it is large">,
                               machines::rung<"GEN-1", size::small, is_small, "it is small">>;

TEST(EndsOfLists, AListWhereNoRungHoldsAnswersWithTheFirstValue) {
  EXPECT_EQ(sizes::first(5), -1);
  EXPECT_EQ(sizes::answer<size>(5), size::none);
  EXPECT_EQ(sizes::answer<size>(50), size::small);
  EXPECT_EQ(sizes::answer<size>(500), size::large);
  EXPECT_EQ(sizes::all(5), 0U);
  EXPECT_EQ(sizes::all(500), 0b110U);
}

}  // namespace
}  // namespace penstock_tests
