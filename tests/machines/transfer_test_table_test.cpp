// Every cell of the table of the transfer test.
#include "machines/cells.hpp"
#include "penstock/machines/transfer.hpp"
#include "support/rule_test.hpp"

namespace penstock_tests {
namespace {

std::vector<machines::transfer_test::inputs> test_inputs() {
  using penstock::test_reason;
  std::vector<machines::transfer_test::inputs> inputs;
  for (const auto hindrance : {test_reason::none, test_reason::unit_off}) {
    for (const auto ending : {test_reason::none, test_reason::lift_off}) {
      for (unsigned n = 0; n < 64; ++n) {
        inputs.push_back({hindrance, ending, bit(n, 0), bit(n, 1), bit(n, 2), bit(n, 3), bit(n, 4), bit(n, 5)});
      }
    }
  }
  return inputs;
}

std::vector<machines::transfer_test::memory> test_memories() {
  std::vector<machines::transfer_test::memory> memories;
  for (const auto outcome : all_of<penstock::test_outcome>()) {
    for (const bool caution : {false, true}) memories.push_back({outcome, penstock::test_reason::none, caution});
  }
  return memories;
}

TEST(TransferTestTable, AgreesWithBoostMsmInEveryCell) {
  namespace m = machines::transfer_test;
  check_every_cell<m::model>(m::event_words, test_inputs(), test_memories());
}

RULE_TEST(TransferTestTable, SettlesWithinItsModes, "GEN-1") {
  namespace m = machines::transfer_test;
  check_it_settles<m::model>(m::happens::evaluate, test_inputs(), test_memories());
}

RULE_TEST(TransferTestTable, GivesEveryTestExactlyOneOutcome, "PTU-5") {
  // every way out of `waiting` or `holding` records an outcome, and `decided` never records another
  namespace m = machines::transfer_test;
  using penstock::test_mode;
  using penstock::test_outcome;
  for (const auto& in : test_inputs()) {
    for (const auto start : {test_mode::waiting, test_mode::holding, test_mode::decided}) {
      auto mode = start;
      m::memory memory{start == test_mode::decided ? test_outcome::passed : test_outcome::pending, {}, false};
      machines::step<m::model>(mode, memory, in, m::happens::evaluate);
      const bool open = mode == test_mode::waiting || mode == test_mode::holding;
      if (start == test_mode::decided) {
        EXPECT_EQ(memory.outcome, test_outcome::passed);
      } else {
        EXPECT_EQ(open, memory.outcome == test_outcome::pending);
      }
    }
  }
}

}  // namespace
}  // namespace penstock_tests
