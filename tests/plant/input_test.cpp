// What the plant and a layout refuse, by name, with nothing changed.
#include <cmath>
#include <functional>
#include <limits>
#include <string>
#include <vector>

#include <gtest/gtest.h>

#include "plant/any_layout.hpp"
#include "support/bench.hpp"
#include "support/rule_test.hpp"

namespace penstock_tests {
namespace {

constexpr double nan_value = std::numeric_limits<double>::quiet_NaN();
constexpr double endless = std::numeric_limits<double>::infinity();

/// The plant refuses these, says so in words that hold `words`, and stays as it was.
void refuses(const plant_commands& commands, double dt, refusal_kind kind, std::string_view words) {
  const layout of = checked(layouts::twin_freighter());
  plant_state plant = plant_at(of, cold_and_dark(of));
  plant.circuits[0].line[0] = 1e-5;  // something that would move
  const integration made = integrate(of, plant, commands, dt);
  EXPECT_EQ(made.refused.kind, kind) << words << ", dt " << dt;
  EXPECT_NE(made.refused.sentence.find(words), std::string_view::npos) << made.refused.sentence;
  EXPECT_EQ(made.refused.rule, "GEN-2");
  EXPECT_TRUE(made.after == plant);
}

RULE_TEST(PlantInput, RefusesAStepOutsideItsRange, "GEN-2") {
  for (const double dt : {0.0, -1.0, 0.0009, 1.01, nan_value, endless, -endless}) {
    refuses({}, dt, refusal_kind::time, "1 ms to 1 s");
  }
}

RULE_TEST(PlantInput, RefusesCommandsThatCannotBe, "GEN-2") {
  const auto with = [](const std::function<void(plant_commands&)>& change, std::string_view words) {
    plant_commands commands{};
    change(commands);
    refuses(commands, 0.01, refusal_kind::bad_value, words);
  };
  for (const double amount : {-1e-9, nan_value, endless, 1e3}) {
    with([&](auto& c) { c.circuits[0].reservoir_leak = amount; }, "leak");
    with([&](auto& c) { c.circuits[1].line_leak = amount; }, "leak");
    with([&](auto& c) { c.circuits[2].demand = amount; }, "demand");
  }
  for (const double air : {-0.1, 1.1, nan_value}) with([&](auto& c) { c.airstream[0] = air; }, "airstream");
  for (const int motion : {-2, 2}) {
    with([&](auto& c) { c.doors[0] = {static_cast<std::int8_t>(motion), 0}; }, "door");
    with([&](auto& c) { c.gear[2] = {static_cast<std::int8_t>(motion), 1}; }, "gear");
    with([&](auto& c) { c.units[0].direction = static_cast<std::int8_t>(motion); }, "unit");
  }
  with([](auto& c) { c.doors[1] = {1, 3}; }, "circuit");
  with([](auto& c) { c.gear[2] = {1, 0xFF}; }, "circuit");
}

/// The layout is refused: this id, and words that say what was found and what would be right.
void refused(const std::function<void(layout_spec&)>& change, std::string_view id, std::string_view words) {
  layout_spec spec = layouts::twin_freighter();
  change(spec);
  const auto made = layout::from(spec);
  ASSERT_FALSE(made) << words;
  EXPECT_EQ(made.problem().id, id) << made.problem().message;
  EXPECT_NE(made.problem().message.find(words), std::string::npos) << made.problem().message;
}

TEST(PlantInput, ALayoutRefusesAbsurdNumbersByNameWithTheRange) {
  refused([](auto& s) { s.circuits[0].reservoir = litres(-1); }, "layout-range", "reservoir is -1 L; it must be 0.1 L to");
  refused([](auto& s) { s.circuits[0].compression = litres(-0.1); }, "layout-range", "compression is -0.1 L");
  refused([](auto& s) { s.stores[0].gas = litres(-1); }, "layout-range", "gas is -1 L");
  refused([](auto& s) { s.consumers[2].displacement = litres(-1); }, "layout-range", "displacement is -1 L");
  refused([](auto& s) { s.circuits[0].bulk_modulus = psi(0); }, "layout-range", "bulk-modulus is 0 psi; it must be 10000 psi to");
  refused([](auto& s) { s.pump_knee = 1.0; }, "layout-range", "pump-knee is 1; it must be 0.5 to 0.999");
  refused([](auto& s) { s.cargo_doors[0].area_ratio = 1.0; }, "layout-range", "area-ratio is 1; it must be 0.01 to 0.99");
  refused([](auto& s) { s.consumers[2].area_ratio = 1.0; }, "layout-range", "area-ratio is 1; it must be");
  refused([](auto& s) { s.transfer_units[0].efficiency = 1.5; }, "layout-range", "efficiency is 1.5; it must be");
  refused([](auto& s) { s.electric_pumps[0].flow = litres_per_minute(-3); }, "layout-range", "flow is -3 L/min");
  refused([](auto& s) { s.engines[0].spool_up = milliseconds{0}; }, "layout-range", "spool-up is 0 ms; it must be more than 0");
  refused([](auto& s) { s.stores[0].precharge = psi(3500); }, "layout-order", "precharge must be below least");
  refused([](auto& s) { s.stores[0].least = psi(3500); }, "layout-order", "least must be below nominal");
  refused([](auto& s) { s.circuits[0].relief_closes = 1.3; }, "layout-hysteresis", "relief-closes must be below relief-opens");
}

TEST(PlantInput, ALayoutRefusesEveryNumberThatIsNone) {
  using change = std::function<void(layout_spec&)>;
  const std::vector<change> all{
      [](auto& s) { s.nominal = {nan_value}; },
      [](auto& s) { s.pump_knee = nan_value; },
      [](auto& s) { s.switch_made = {nan_value}; },
      [](auto& s) { s.switch_open = {nan_value}; },
      [](auto& s) { s.priority_restored = {nan_value}; },
      [](auto& s) { s.priority_shed = {nan_value}; },
      [](auto& s) { s.engines[0].pump_mark = nan_value; },
      [](auto& s) { s.engines[0].sub_idle_mark = nan_value; },
      [](auto& s) { s.circuits[0].reservoir = {nan_value}; },
      [](auto& s) { s.circuits[0].overfull = {nan_value}; },
      [](auto& s) { s.circuits[0].low_mark = {nan_value}; },
      [](auto& s) { s.circuits[0].level_hysteresis = {nan_value}; },
      [](auto& s) { s.circuits[0].compression = {nan_value}; },
      [](auto& s) { s.circuits[0].bulk_modulus = {nan_value}; },
      [](auto& s) { s.circuits[0].leakage = {nan_value}; },
      [](auto& s) { s.circuits[0].relief_opens = nan_value; },
      [](auto& s) { s.circuits[0].relief_closes = nan_value; },
      [](auto& s) { s.circuits[0].hot_mark = {nan_value}; },
      [](auto& s) { s.circuits[0].cooling = nan_value; },
      [](auto& s) { s.engine_pumps[0].flow = {nan_value}; },
      [](auto& s) { s.electric_pumps[0].flow = {nan_value}; },
      [](auto& s) { s.ram_air_pumps[0].flow = {nan_value}; },
      [](auto& s) { s.transfer_units[0].activation = {nan_value}; },
      [](auto& s) { s.transfer_units[0].release = {nan_value}; },
      [](auto& s) { s.transfer_units[0].ratio = nan_value; },
      [](auto& s) { s.transfer_units[0].efficiency = nan_value; },
      [](auto& s) { s.transfer_units[0].breakout = nan_value; },
      [](auto& s) { s.transfer_units[0].flow = {nan_value}; },
      [](auto& s) { s.cargo_doors[0].displacement = {nan_value}; },
      [](auto& s) { s.cargo_doors[0].area_ratio = nan_value; },
      [](auto& s) { s.cargo_doors[0].load = nan_value; },
      [](auto& s) { s.consumers[2].displacement = {nan_value}; },
      [](auto& s) { s.consumers[2].area_ratio = nan_value; },
      [](auto& s) { s.consumers[2].load = nan_value; },
      [](auto& s) { s.consumers[2].demand = {nan_value}; },
      [](auto& s) { s.stores[0].gas = {nan_value}; },
      [](auto& s) { s.stores[0].precharge = {nan_value}; },
      [](auto& s) { s.stores[0].least = {nan_value}; },
      [](auto& s) { s.stores[0].application = {nan_value}; },
      [](auto& s) { s.stores[0].charging = {nan_value}; },
  };
  for (std::size_t i = 0; i < all.size(); ++i) {
    layout_spec spec = layouts::twin_freighter();
    all[i](spec);
    const auto made = layout::from(spec);
    ASSERT_FALSE(made) << "number " << i << " of the list";
    EXPECT_EQ(made.problem().id, "layout-range") << made.problem().message;
    EXPECT_NE(made.problem().message.find("it must be"), std::string::npos) << made.problem().message;
  }
}

}  // namespace
}  // namespace penstock_tests
