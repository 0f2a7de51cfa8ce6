// Every cell of the tables of pumps: health, delivery, limit of starts.
#include "machines/cells.hpp"
#include "penstock/machines/pumps.hpp"
#include "support/rule_test.hpp"

namespace penstock_tests {
namespace {

std::vector<machines::pump_health::inputs> health_inputs() {
  return combinations<machines::pump_health::inputs>(
      8, [](unsigned n) { return machines::pump_health::inputs{bit(n, 0), bit(n, 1), bit(n, 2)}; });
}

TEST(PumpHealthTable, AgreesWithBoostMsmInEveryCell) {
  namespace m = machines::pump_health;
  check_every_cell<m::model>(m::event_words, health_inputs(), {{}});
}

RULE_TEST(PumpHealthTable, SettlesWithinItsModes, "GEN-1") {
  namespace m = machines::pump_health;
  check_it_settles<m::model>(m::happens::evaluate, health_inputs(), {{}});
}

TEST(EnginePumpTable, AgreesWithBoostMsmInEveryCell) {
  namespace m = machines::engine_pump;
  std::vector<m::inputs> inputs;
  for (const auto why : all_of<penstock::engine_pump_reason>()) inputs.push_back({why});
  check_every_cell<m::model>(m::event_words, inputs, {{}});
  check_it_settles<m::model>(m::happens::evaluate, inputs, {{}});
}

RULE_TEST(EnginePumpReasons, AreNamedInTheOrderOfTheRule, "EDP-5") {
  using penstock::engine_pump_reason;
  for (unsigned n = 0; n < 64; ++n) {
    const machines::engine_pump::facts f{bit(n, 0), bit(n, 1), bit(n, 2), bit(n, 3), bit(n, 4), bit(n, 5)};
    const auto expected = !f.switched_on ? engine_pump_reason::off
                          : f.failed     ? engine_pump_reason::failed
                          : f.overheated ? engine_pump_reason::overheat
                          : !f.turning   ? engine_pump_reason::not_turning
                          : !f.supply_open ? engine_pump_reason::no_supply
                          : f.dry          ? engine_pump_reason::dry
                                           : engine_pump_reason::delivering;
    EXPECT_EQ(penstock::word(machines::engine_pump::reasons::answer<engine_pump_reason>(f)), penstock::word(expected));
  }
}

TEST(ElectricPumpTable, AgreesWithBoostMsmInEveryCell) {
  namespace m = machines::electric_pump;
  std::vector<m::inputs> inputs;
  for (const auto why : all_of<penstock::electric_pump_reason>()) inputs.push_back({why});
  check_every_cell<m::model>(m::event_words, inputs, {{}});
  check_it_settles<m::model>(m::happens::evaluate, inputs, {{}});
}

RULE_TEST(ElectricPumpReasons, AreNamedInTheOrderOfTheRule, "CGO-14") {
  using penstock::electric_pump_reason;
  for (unsigned n = 0; n < 64; ++n) {
    const machines::electric_pump::facts f{bit(n, 0), bit(n, 1), bit(n, 2), bit(n, 3), bit(n, 4), bit(n, 5)};
    const auto expected = f.switched_off ? electric_pump_reason::off
                          : !f.powered   ? electric_pump_reason::no_power
                          : f.failed     ? electric_pump_reason::failed
                          : f.overheated ? electric_pump_reason::overheat
                          : !f.wanted    ? electric_pump_reason::not_wanted
                          : f.dry        ? electric_pump_reason::dry
                                         : electric_pump_reason::delivering;
    EXPECT_EQ(penstock::word(machines::electric_pump::reasons::answer<electric_pump_reason>(f)), penstock::word(expected));
  }
}

TEST(StartLimiterTable, AgreesWithBoostMsmInEveryCell) {
  namespace m = machines::start_limiter;
  std::vector<m::inputs> inputs;
  for (unsigned n = 0; n < 4; ++n) {
    for (std::uint8_t allowed = 0; allowed < 4; ++allowed) inputs.push_back({allowed, bit(n, 0), bit(n, 1)});
  }
  const std::vector<m::memory> memories{{0}, {1}, {2}};
  check_every_cell<m::model>(m::event_words, inputs, memories);
  check_it_settles<m::model>(m::happens::evaluate, inputs, memories);
}

}  // namespace
}  // namespace penstock_tests
