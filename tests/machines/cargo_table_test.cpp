// Every cell of the tables of cargo doors and service mode.
#include "penstock/machines/cargo.hpp"

#include "machines/cells.hpp"
#include "support/rule_test.hpp"

namespace penstock_tests {
namespace {

// The run limit can only be reached from a mode in which its timer counts; the other modes have no row for it.
TEST(CargoDoorTable, AgreesWithBoostMsmInEveryCell) {
  namespace m = machines::cargo_door;
  const auto inputs = combinations<m::inputs>(16, [](unsigned n) { return m::inputs{bit(n, 0), bit(n, 1), bit(n, 2), bit(n, 3)}; });
  check_every_cell<m::model>(m::event_words, inputs, {{}});
  check_it_settles<m::model>(m::happens::evaluate, inputs, {{}});
}

TEST(ServiceTable, AgreesWithBoostMsmInEveryCell) {
  namespace m = machines::service;
  const auto inputs = combinations<m::inputs>(
      32, [](unsigned n) { return m::inputs{bit(n, 0), bit(n, 1), bit(n, 2), bit(n, 3), bit(n, 4)}; });
  check_every_cell<m::model>(m::event_words, inputs, {{}});
}

}  // namespace
}  // namespace penstock_tests
