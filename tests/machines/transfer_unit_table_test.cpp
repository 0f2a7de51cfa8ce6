// Every cell of the table of the transfer unit.
#include "machines/cells.hpp"
#include "penstock/machines/transfer.hpp"
#include "support/rule_test.hpp"

namespace penstock_tests {
namespace {

std::vector<machines::transfer_unit::inputs> unit_inputs() {
  std::vector<machines::transfer_unit::inputs> inputs;
  for (const auto why : {penstock::unit_inhibition::none, penstock::unit_inhibition::switched_off, penstock::unit_inhibition::service}) {
    for (const auto difference : all_of<penstock::pressure_difference>()) {
      for (unsigned n = 0; n < 128; ++n) {
        inputs.push_back({why, difference, bit(n, 0), bit(n, 1), bit(n, 2), bit(n, 3), bit(n, 4), bit(n, 5), bit(n, 6)});
      }
    }
  }
  return inputs;
}

TEST(TransferUnitTable, AgreesWithBoostMsmInEveryCell) {
  namespace m = machines::transfer_unit;
  check_every_cell<m::model>(m::event_words, unit_inputs(), {{}});
}

RULE_TEST(TransferUnitTable, SettlesWithinItsModes, "GEN-1") {
  namespace m = machines::transfer_unit;
  check_it_settles<m::model>(m::happens::evaluate, unit_inputs(), {{}});
}

RULE_TEST(TransferUnitTable, ReversesOnlyThroughStandby, "PTU-6") {
  namespace m = machines::transfer_unit;
  for (const auto& r : machines::rows_as_data<m::model>) {
    const auto from = static_cast<penstock::unit_mode>(r.source);
    const auto to = static_cast<penstock::unit_mode>(r.target);
    EXPECT_FALSE(from == penstock::unit_mode::a_drives_b && to == penstock::unit_mode::b_drives_a);
    EXPECT_FALSE(from == penstock::unit_mode::b_drives_a && to == penstock::unit_mode::a_drives_b);
  }
}

RULE_TEST(TransferUnitInhibitions, AreNamedInTheOrderOfTheRule, "PTU-12") {
  using penstock::unit_inhibition;
  using list = machines::transfer_unit::inhibitions;
  for (unsigned n = 0; n < 128; ++n) {
    const machines::transfer_unit::facts f{bit(n, 0), bit(n, 1), bit(n, 2), bit(n, 3), bit(n, 4), bit(n, 5), bit(n, 6)};
    const auto expected = !f.switched_on    ? unit_inhibition::switched_off
                          : f.low_level     ? unit_inhibition::low_level
                          : f.low_air       ? unit_inhibition::low_air
                          : f.hot_fluid     ? unit_inhibition::hot_fluid
                          : f.overspeed     ? unit_inhibition::overspeed
                          : f.service       ? unit_inhibition::service
                          : f.single_engine ? unit_inhibition::single_engine
                                            : unit_inhibition::none;
    EXPECT_EQ(penstock::word(list::answer<unit_inhibition>(f)), penstock::word(expected));
  }
}

}  // namespace
}  // namespace penstock_tests
