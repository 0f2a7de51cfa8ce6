// Which events may change places within a frame: random pairs in random scenes, with the list of exceptions that the
// search has.
#include <string>

#include "penstock/explore.hpp"
#include "support/rule_test.hpp"
#include "support/storm.hpp"

namespace penstock_tests {
namespace {

RULE_TEST(Orders, SimultaneousEventsOnDifferentComponentsMayComeInEitherOrder, "GEN-3") {
  std::size_t compared = 0, excepted = 0;
  for (const layout_spec& spec : three_layouts()) {
    const layout of = made(spec);
    dice d{31'415};
    for (int i = 0; i < 4'000; ++i) {
      const state from = scene(d, of, below(d, 30));
      for (int pair = 0; pair < 10; ++pair) {
        const event one = some_event(d, of), other = some_event(d, of);
        if (one.about == other.about || one.kind == event_kind::elapsed || other.kind == event_kind::elapsed) continue;
        const outcome a1 = transition(of, from, one), b1 = transition(of, from, other);
        const outcome a2 = transition(of, a1.after, other), b2 = transition(of, b1.after, one);
        // A command is judged by what holds when it comes [GEN-1, GEN-2]: refused in one order, accepted in the other.
        if (a1.what.accepted() != b2.what.accepted() || b1.what.accepted() != a2.what.accepted()) {
          ++excepted;
          continue;
        }
        ++compared;
        const std::string first = everything_seen(of, a2.after), second = everything_seen(of, b2.after);
        if (first == second) continue;
        if (!reason_for_order({of, from, a1.after, b1.after, a2.after, b2.after, one, other}).empty()) {
          ++excepted;
          continue;
        }
        ASSERT_EQ(first, second) << spec.name << ", scene " << i << ": " << in_words(of, one) << " and "
                                 << in_words(of, other) << '\n'
                                 << difference_of(first, second);
      }
    }
  }
  EXPECT_GT(compared, 50 * excepted) << "the exceptions are few";
}

}  // namespace
}  // namespace penstock_tests
