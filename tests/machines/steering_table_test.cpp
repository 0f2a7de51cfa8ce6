// Every cell of the table of the steering link.
#include "penstock/machines/steering.hpp"

#include "machines/cells.hpp"
#include "support/rule_test.hpp"

namespace penstock_tests {
namespace {

TEST(SteeringLinkTable, AgreesWithBoostMsmInEveryCell) {
  namespace m = machines::steering_link;
  check_every_cell<m::model>(m::event_words, {{false}, {true}}, {{}});
}

}  // namespace
}  // namespace penstock_tests
