// Every cell of the tables that say who wants an electric pump, and of the ram-air pump.
#include "machines/cells.hpp"
#include "penstock/machines/pumps.hpp"
#include "support/rule_test.hpp"

namespace penstock_tests {
namespace {

TEST(CargoDemandTable, AgreesWithBoostMsmInEveryCell) {
  namespace m = machines::cargo_demand;
  std::vector<m::inputs> inputs;
  for (const auto position : all_of<penstock::pump_switch>()) {
    for (unsigned n = 0; n < 32; ++n) inputs.push_back({position, bit(n, 0), bit(n, 1), bit(n, 2), bit(n, 3), bit(n, 4)});
  }
  check_every_cell<m::model>(m::event_words, inputs, {{}});
  check_it_settles<m::model>(m::happens::evaluate, inputs, {{}});
}

TEST(FirstEngineDemandTable, AgreesWithBoostMsmInEveryCell) {
  namespace m = machines::first_engine_demand;
  const auto inputs = combinations<m::inputs>(16, [](unsigned n) { return m::inputs{bit(n, 0), bit(n, 1), bit(n, 2), bit(n, 3)}; });
  check_every_cell<m::model>(m::event_words, inputs, {{}});
  check_it_settles<m::model>(m::happens::evaluate, inputs, {{}});
}

TEST(PlainDemandTable, AgreesWithBoostMsmInEveryCell) {
  namespace m = machines::plain_demand;
  check_every_cell<m::model>(m::event_words, {{false}, {true}}, {{}});
  check_it_settles<m::model>(m::happens::evaluate, {{false}, {true}}, {{}});
}

TEST(RamAirPumpTable, AgreesWithBoostMsmInEveryCell) {
  namespace m = machines::ram_air_pump;
  const auto inputs = combinations<m::inputs>(16, [](unsigned n) { return m::inputs{bit(n, 0), bit(n, 1), bit(n, 2), bit(n, 3)}; });
  check_every_cell<m::model>(m::event_words, inputs, {{}});
  check_it_settles<m::model>(m::happens::evaluate, inputs, {{}});
}

}  // namespace
}  // namespace penstock_tests
