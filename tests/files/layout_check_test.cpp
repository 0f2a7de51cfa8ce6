// The check of a layout that is built without files, and the plan that comes out of it.
#include <cmath>
#include <functional>
#include <limits>

#include <gtest/gtest.h>

#include "penstock/layout.hpp"
#include "penstock/layouts.hpp"
#include "support/rule_test.hpp"

namespace {

using namespace penstock;

void expect_refused(std::string_view id, std::string_view words, const std::function<void(layout_spec&)>& change) {
  layout_spec spec = layouts::twin_freighter();
  change(spec);
  const auto made = layout::from(std::move(spec));
  ASSERT_FALSE(made) << "accepted, though it should say " << words;
  EXPECT_EQ(made.problem().id, id) << made.problem().message;
  EXPECT_NE(made.problem().message.find(words), std::string::npos) << made.problem().message;
}

layout checked(layout_spec spec) {
  auto made = layout::from(std::move(spec));
  if (!made) {
    ADD_FAILURE() << to_string(made.problem());
    return {};
  }
  return *std::move(made);
}

TEST(Layout, FindsEveryComponentByItsName) {
  const layout twin = checked(layouts::twin_freighter());
  for (const subject s : twin.everything()) {
    const auto found = twin.find(twin.name(s));
    ASSERT_TRUE(found) << twin.name(s);
    EXPECT_TRUE(*found == s) << twin.name(s);
  }
  EXPECT_EQ(twin.everything().size(), 2U + 3U + 2U + 2U + 1U + 1U + 2U + 10U + 1U + 2U + 2U);
  EXPECT_FALSE(twin.find("nobody"));
  EXPECT_EQ(twin.name({component::engine, 2}), "?");
  EXPECT_EQ(twin.name({component::steering, 0}), "steering");
  EXPECT_EQ(twin.count(component::cargo_door), 2U);
  EXPECT_EQ(twin.count(static_cast<component>(200)), 0U);
}

TEST(Layout, WorksOutWhoFeedsWhom) {
  const layout twin = checked(layouts::twin_freighter());
  const auto& plan = twin.plan();
  EXPECT_EQ(plan.engine_at[1].pumps, 0b10U);
  EXPECT_EQ(plan.circuit_at[0].engine_pumps, 0b01U);
  EXPECT_EQ(plan.circuit_at[0].doors, 0b11U);
  EXPECT_EQ(plan.circuit_at[0].cargo_pump, 0U);
  EXPECT_EQ(plan.circuit_at[2].cargo_pump, penstock::detail::nobody);
  EXPECT_EQ(plan.circuit_at[2].electric_pumps, 0b10U);
  EXPECT_EQ(plan.circuit_at[0].units, 0b1U);
  EXPECT_EQ(plan.circuit_at[1].units, 0b1U);
  EXPECT_EQ(plan.circuit_at[2].units, 0U);
  EXPECT_EQ(plan.bus_at[1].source_count, 4U);
  EXPECT_EQ(plan.bus_at[1].sources[0], 1U);
  EXPECT_EQ(plan.bus_at[1].sources[2], penstock::detail::plan::auxiliary);
  EXPECT_EQ(plan.bus_at[1].sources[3], penstock::detail::plan::external);
  EXPECT_EQ(plan.consumer_at[8].door, 0U);
  EXPECT_EQ(plan.consumer_at[5].store, 0U);
  EXPECT_EQ(plan.inhibited_in_landing & (1U << static_cast<unsigned>(condition::run_limit)), 0U);
  EXPECT_NE(plan.inhibited_in_take_off & (1U << static_cast<unsigned>(condition::run_limit)), 0U);
}

RULE_TEST(Layout, AUnitHasTheEnginesOfItsCircuits, "PTU-10") {
  layout_spec spec = layouts::twin_freighter();
  spec.engines.emplace_back().name = "engine-3";
  EXPECT_EQ(checked(spec).plan().unit_at[0].engines, 0b011U);
  // Fewer than two feed its circuits: all engines.
  spec.engine_pumps[1].circuit = "keel";
  EXPECT_EQ(checked(spec).plan().unit_at[0].engines, 0b111U);
}

// Boyle's law with absolute pressures; the expected figures are worked out by hand from it.
RULE_TEST(Layout, TheGasLawGivesTheApplications, "CON-3") {
  // 1.2 L at 1000 psi: 0.4036 L of gas at 3000 psi, 0.8039 L at 1500 psi, so 0.4003 L of fluid: 8 times 0.05 L
  // by gauge pressures, and 7 by absolute ones were the precharge 950 psi.
  layout_spec spec = layouts::twin_freighter();
  const auto count = [&spec] { return checked(spec).plan().store_at[0].most_applications; };
  const auto absolute = [](double gauge_psi) { return gauge_psi * pascals_per_psi + 101'325.0; };
  const double fluid = 1.2 * absolute(1000) * (1.0 / absolute(1500) - 1.0 / absolute(3000));
  EXPECT_EQ(count(), static_cast<unsigned>(std::floor(fluid / 0.05)));
  spec.stores[0].application = litres(fluid / 6.0);
  EXPECT_EQ(count(), 6U) << "a whole number is not lost to rounding";
  spec.stores[0].application = litres(0.0001);
  EXPECT_EQ(count(), 60U) << "more than the state can count is not counted";
}

TEST(Layout, RefusesNotANumberEverywhere) {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  const double infinite = std::numeric_limits<double>::infinity();
  for (const double bad : {nan, infinite, -infinite, -1.0, 1e300}) {
    expect_refused("layout-range", "pump-mark", [=](layout_spec& s) { s.engines[0].pump_mark = bad; });
    expect_refused("layout-range", "sub-idle-mark", [=](layout_spec& s) { s.engines[1].sub_idle_mark = bad; });
    expect_refused("layout-range", "reservoir", [=](layout_spec& s) { s.circuits[1].reservoir.value = bad; });
    expect_refused("layout-range", "overfull", [=](layout_spec& s) { s.circuits[1].overfull.value = bad; });
    expect_refused("layout-range", "low-mark", [=](layout_spec& s) { s.circuits[1].low_mark.value = bad; });
    expect_refused("layout-range", "level-hyst", [=](layout_spec& s) { s.circuits[1].level_hysteresis.value = bad; });
    expect_refused("layout-range", "compression", [=](layout_spec& s) { s.circuits[1].compression.value = bad; });
    expect_refused("layout-range", "activation", [=](layout_spec& s) { s.transfer_units[0].activation.value = bad; });
    expect_refused("layout-range", "release", [=](layout_spec& s) { s.transfer_units[0].release.value = bad; });
    expect_refused("layout-range", "displacement", [=](layout_spec& s) { s.cargo_doors[0].displacement.value = bad; });
    expect_refused("layout-range", "displacement", [=](layout_spec& s) { s.consumers[2].displacement.value = bad; });
    expect_refused("layout-range", "gas", [=](layout_spec& s) { s.stores[0].gas.value = bad; });
    expect_refused("layout-range", "precharge", [=](layout_spec& s) { s.stores[0].precharge.value = bad; });
    expect_refused("layout-range", "least", [=](layout_spec& s) { s.stores[0].least.value = bad; });
    expect_refused("layout-range", "application", [=](layout_spec& s) { s.stores[0].application.value = bad; });
    expect_refused("layout-range", "nominal", [=](layout_spec& s) { s.nominal.value = bad; });
    expect_refused("layout-range", "switch-made", [=](layout_spec& s) { s.switch_made.value = bad; });
    expect_refused("layout-range", "switch-open", [=](layout_spec& s) { s.switch_open.value = bad; });
    expect_refused("layout-range", "priority-rest", [=](layout_spec& s) { s.priority_restored.value = bad; });
    expect_refused("layout-range", "priority-shed", [=](layout_spec& s) { s.priority_shed.value = bad; });
  }
}

TEST(Layout, RefusesTimesThatMakeNoSense) {
  using std::chrono::hours;
  const milliseconds negative{-1};
  const milliseconds too_long = hours{24} + milliseconds{1};
  for (const milliseconds bad : {negative, too_long, milliseconds::min(), milliseconds::max()}) {
    expect_refused("layout-range", "spool-up", [=](layout_spec& s) { s.engines[0].spool_up = bad; });
    expect_refused("layout-range", "hold-off", [=](layout_spec& s) { s.circuits[0].service_hold_off = bad; });
    expect_refused("layout-range", "dry-damage", [=](layout_spec& s) { s.engine_pumps[0].dry_damage = bad; });
    expect_refused("layout-range", "touchdown", [=](layout_spec& s) { s.electric_pumps[1].touchdown_delay = bad; });
    expect_refused("layout-range", "test-limit", [=](layout_spec& s) { s.transfer_units[0].test_limit = bad; });
    expect_refused("layout-range", "run-limit", [=](layout_spec& s) { s.cargo_doors[1].run_limit = bad; });
  }
  expect_refused("layout-range", "run-limit", [](layout_spec& s) { s.cargo_doors[1].run_limit = {}; });
}

// Every threshold has hysteresis, and the marks stand in their order.
RULE_TEST(Layout, RefusesMarksOutOfOrder, "GEN-4") {
  expect_refused("layout-hysteresis", "switch-open", [](layout_spec& s) { s.switch_open = s.switch_made; });
  expect_refused("layout-order", "switch-made", [](layout_spec& s) { s.switch_made = s.nominal; });
  expect_refused("layout-hysteresis", "priority-shed", [](layout_spec& s) { s.priority_shed = s.priority_restored; });
  expect_refused("layout-order", "priority-restored", [](layout_spec& s) { s.priority_restored = psi(3500); });
  expect_refused("layout-hysteresis", "release", [](layout_spec& s) { s.transfer_units[0].release = psi(500); });
  expect_refused("layout-order", "pump-mark", [](layout_spec& s) { s.engines[0].pump_mark = 0.9; });
  expect_refused("layout-order", "low-mark", [](layout_spec& s) { s.circuits[0].low_mark = litres(22); });
  expect_refused("layout-order", "reservoir", [](layout_spec& s) { s.circuits[0].overfull = litres(22); });
  expect_refused("layout-hysteresis", "stays low", [](layout_spec& s) { s.circuits[2].level_hysteresis = litres(6); });
  expect_refused("layout-order", "precharge", [](layout_spec& s) { s.stores[0].precharge = psi(1500); });
  expect_refused("layout-order", "least", [](layout_spec& s) { s.stores[0].least = psi(3000); });
  expect_refused("layout-store-small", "one application", [](layout_spec& s) { s.stores[0].application = litres(1); });
}

TEST(Layout, RefusesWhatReferencesNothing) {
  expect_refused("layout-reference", "no engine \"engine-3\"",
                 [](layout_spec& s) { s.engine_pumps[0].engine = "engine-3"; });
  expect_refused("layout-reference", "names no circuit", [](layout_spec& s) { s.cargo_doors[0].circuit.clear(); });
  expect_refused("layout-reference", "names no store", [](layout_spec& s) { s.consumers[5].store.clear(); });
  expect_refused("layout-reference", "names no cargo door", [](layout_spec& s) { s.consumers[8].door.clear(); });
  expect_refused("layout-reference", "never feeds", [](layout_spec& s) {
    s.buses[1].sources = {"engine-1"};
    s.electric_pumps[1].shed_on = {"external"};
  });
  expect_refused("layout-unused", "parking-brake", [](layout_spec& s) {
    s.stores.push_back(s.stores[0]);
    s.stores[1].name = "spare";
  });
  expect_refused("layout-reference", "circuit of its door", [](layout_spec& s) {
    s.consumers[8].feeds = {{"keel", branch::service}};
  });
  expect_refused("layout-reference", "charges its store", [](layout_spec& s) {
    s.consumers[5].feeds = {{"keel", branch::service}};
  });
}

TEST(Layout, RefusesWhatStandsTwice) {
  expect_refused("layout-twice", "feeds it twice", [](layout_spec& s) { s.consumers[0].feeds[1].circuit = "port"; });
  expect_refused("layout-twice", "named twice", [](layout_spec& s) { s.buses[0].sources[1] = "engine-1"; });
  expect_refused("layout-twice", "moves the door", [](layout_spec& s) { s.consumers[9].door = "forward"; });
  expect_refused("layout-twice", "in the list twice", [](layout_spec& s) { s.inhibits.push_back(s.inhibits[0]); });
  expect_refused("layout-kind-twice", "steering",
                 [](layout_spec& s) { s.consumers[0].kind = consumer_kind::steering; });
  expect_refused("layout-duty-twice", "it may have one", [](layout_spec& s) {
    s.electric_pumps[1].circuit = "port";
    s.electric_pumps[1].duty = pump_duty::cargo;
  });
  expect_refused("layout-same-circuit", "two circuits", [](layout_spec& s) { s.transfer_units[0].b = "port"; });
}

TEST(Layout, RefusesOptionsWithoutTheirPart) {
  expect_refused("layout-option", "control-bus", [](layout_spec& s) {
    s.engine_pumps[0].loads_without_control = true;
    s.engine_pumps[0].control_bus.clear();
  });
  expect_refused("layout-option", "starts", [](layout_spec& s) { s.electric_pumps[1].starts_allowed = 3; });
  expect_refused("layout-option", "displacement", [](layout_spec& s) { s.consumers[0].displacement = litres(1); });
  expect_refused("layout-option", "door", [](layout_spec& s) { s.consumers[0].door = "forward"; });
  expect_refused("layout-option", "store", [](layout_spec& s) { s.consumers[0].store = "brake-store"; });
  expect_refused("layout-empty", "no phase", [](layout_spec& s) {
    s.inhibits[0] = {condition::quantity, false, false};
  });
}

TEST(Layout, RefusesEnumeratorsThatAreNone) {
  expect_refused("layout-value", "duty", [](layout_spec& s) { s.electric_pumps[0].duty = static_cast<pump_duty>(9); });
  expect_refused("layout-value", "kind", [](layout_spec& s) { s.consumers[0].kind = static_cast<consumer_kind>(99); });
  expect_refused("layout-value", "branch",
                 [](layout_spec& s) { s.consumers[0].feeds[0].branch = static_cast<branch>(7); });
  expect_refused("layout-value", "scope",
                 [](layout_spec& s) { s.transfer_units[0].scope = static_cast<inhibit_scope>(7); });
  expect_refused("layout-value", "condition",
                 [](layout_spec& s) { s.inhibits[0].condition = static_cast<condition>(250); });
}

TEST(Layout, RefusesMoreThanItsLimits) {
  expect_refused("layout-limit", "33 consumers; the limit is 32", [](layout_spec& s) { s.consumers.resize(33); });
  expect_refused("layout-limit", "5 circuits; the limit is 4", [](layout_spec& s) { s.circuits.resize(5); });
  expect_refused("layout-limit", "2 ram-air-pumps; the limit is 1", [](layout_spec& s) { s.ram_air_pumps.resize(2); });
  expect_refused("layout-empty", "no engine", [](layout_spec& s) { s.engines.clear(); });
  expect_refused("layout-empty", "no circuit", [](layout_spec& s) { s.circuits.clear(); });
}

TEST(Layout, MessagesStayReadableWhateverTheName) {
  layout_spec spec = layouts::twin_freighter();
  spec.engines[0].name = std::string(1'000'000, '\x01');
  const auto made = layout::from(std::move(spec));
  ASSERT_FALSE(made);
  EXPECT_LT(made.problem().message.size(), 300U);
  EXPECT_EQ(made.problem().message.find('\x01'), std::string::npos);
}

}  // namespace
