// Every cell of the tables of the engine, its start selection and its supply valve.
#include "penstock/machines/engine.hpp"

#include "machines/cells.hpp"
#include "support/rule_test.hpp"

namespace penstock_tests {
namespace {

TEST(EngineTable, AgreesWithBoostMsmInEveryCell) {
  namespace m = machines::engine;
  std::vector<m::inputs> inputs;
  for (const auto spool : all_of<penstock::spool_band>()) inputs.push_back({spool});
  check_every_cell<m::model>(m::event_words, inputs, {{false}, {true}});
}

RULE_TEST(EngineTable, SettlesWithinItsModes, "GEN-1") {
  namespace m = machines::engine;
  std::vector<m::inputs> inputs;
  for (const auto spool : all_of<penstock::spool_band>()) inputs.push_back({spool});
  check_it_settles<m::model>(m::happens::evaluate, inputs, {{false}, {true}});
}

TEST(StartSelectionTable, AgreesWithBoostMsmInEveryCell) {
  namespace m = machines::start_selection;
  check_every_cell<m::model>(m::event_words, {{false}, {true}}, {{}});
}

TEST(SupplyValveTable, AgreesWithBoostMsmInEveryCell) {
  namespace m = machines::supply_valve;
  check_every_cell<m::model>(m::event_words, {{false}, {true}}, {{}});
}

}  // namespace
}  // namespace penstock_tests
