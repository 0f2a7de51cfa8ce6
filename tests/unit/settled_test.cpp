// Every state that comes out of `transition` is settled: looking at its levels once more changes nothing.
// That is why a repeated fact, and time in which nothing falls due, are not settled again.
#include <algorithm>
#include <random>
#include <span>
#include <string>

#include "support/bench.hpp"
#include "support/rule_test.hpp"

namespace penstock_tests {
namespace {

/// Any event that fits its component; the weights do not matter here.
event some_event(std::mt19937& random, const layout& of) {
  const auto below = [&random](std::size_t limit) { return static_cast<std::uint8_t>(random() % limit); };
  if (below(4) == 0) {
    constexpr std::int64_t spans[] = {1, 16, 500, 3'000, 40'000, 130'000};
    return events::elapsed(milliseconds{spans[below(std::size(spans))]});
  }
  const auto kind = static_cast<event_kind>(1 + below(event_forms().size() - 1));
  const bool is_fault = kind == event_kind::inject || kind == event_kind::remove_fault;
  const auto what = static_cast<fault>(below(count_of<fault>));
  const auto subjects = is_fault ? std::span{form_of(what).subjects}.first(form_of(what).subject_kinds)
                                 : std::span{form_of(kind).subjects}.first(form_of(kind).subject_kinds);
  const auto about = subjects[below(subjects.size())];
  const auto many = of.count(about);
  event made = events::make(kind, {about, many == 0 ? std::uint8_t{0} : below(many)});
  if (is_fault) {
    made.value = static_cast<std::uint8_t>(what);
    if (kind == event_kind::inject && form_of(what).needs_amount) made.amount = 1'000;
    if (kind == event_kind::inject && below(3) == 0) made.trigger = fault_trigger::lift_off;
    if (kind == event_kind::inject && below(3) == 0) made.trigger = fault_trigger::touchdown;
  } else if (const auto values = form_of(kind).values.size(); values != 0) {
    made.value = below(values);
  }
  return made;
}

void stays_settled(const layout_spec& spec, unsigned seed) {
  const auto checked = layout::from(spec);
  ASSERT_TRUE(checked) << to_string(checked.problem());
  std::mt19937 random{seed};
  state now = cold_and_dark(*checked);
  EXPECT_TRUE(transition(*checked, now, events::elapsed(milliseconds{0})).after == now) << "cold and dark";
  for (int i = 0; i < 20'000; ++i) {
    const event happening = some_event(random, *checked);
    const auto waiting = static_cast<std::size_t>(std::count_if(now.faults.begin(), now.faults.end(), [](const auto& f) {
      return f.status == fault_status::armed;
    }));
    const outcome first = transition(*checked, now, happening);
    now = first.after;
    // one ordered pass, and one more for each fault that it may have triggered [GEN-1]
    ASSERT_LE(first.what.passes, 2U + waiting) << testing::PrintToString(happening);
    ASSERT_FALSE(first.what.cut_short);
    const outcome again = transition(*checked, now, events::elapsed(milliseconds{0}));
    ASSERT_EQ(again.what.rows, 0U) << spec.name << ", event " << i << ": " << testing::PrintToString(happening);
    ASSERT_TRUE(again.after == now) << spec.name << ", event " << i << ": " << testing::PrintToString(happening);
    if (now.chronicle.now > 20U * 3600U * 1000U) now = cold_and_dark(*checked);
  }
}

RULE_TEST(Settled, IsEveryStateOfTheTwinFreighter, "GEN-1") { stays_settled(layouts::twin_freighter(), 1); }
TEST(Settled, IsEveryStateOfAnAircraftWithFourEngines) { stays_settled(four_engine_spec(), 2); }
TEST(Settled, IsEveryStateOfASmallTwin) { stays_settled(small_twin_spec(), 3); }

}  // namespace
}  // namespace penstock_tests
