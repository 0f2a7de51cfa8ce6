// The pure functions take nothing from the heap: counted, not believed.
#include <atomic>
#include <cstdlib>
#include <new>
#include <vector>

#include <gtest/gtest.h>

#include "penstock/penstock.hpp"

namespace {

std::atomic<long> allocations{0};

}  // namespace

// Replaced for the whole test program: every allocation is counted. Not inlined, or g++ 12 complains that
// memory of "new" is given back to free.
[[gnu::noinline]] void* operator new(std::size_t size) {
  ++allocations;
  if (void* place = std::malloc(size == 0 ? 1 : size)) return place;
  throw std::bad_alloc{};
}
[[gnu::noinline]] void operator delete(void* place) noexcept { std::free(place); }
[[gnu::noinline]] void operator delete(void* place, std::size_t) noexcept { std::free(place); }

namespace penstock_tests {
namespace {

using namespace penstock;

/// A walk through a whole turnaround, with facts as a device would give them.
std::vector<event> turnaround() {
  using namespace std::chrono_literals;
  namespace e = events;
  return {e::external_power(true), e::lever(0, lever_position::open), e::pressure(0, true), e::priority(0, true),
          e::travel(0, door_travel::between), e::elapsed(20s), e::travel(0, door_travel::open), e::pressure(0, false),
          e::lever(0, lever_position::close), e::pressure(0, true), e::elapsed(20s), e::travel(0, door_travel::closed),
          e::lever(0, lever_position::neutral), e::pressure(0, false), e::elapsed(60s), e::steering(false), e::pin(true),
          e::steering(true), e::start(0), e::spool(0, spool_band::driving), e::pressure(0, true), e::elapsed(10s),
          e::spool(0, spool_band::idle), e::starter_out(0), e::pressure(2, true), e::start(1), e::pressure(1, true),
          e::elapsed(5s), e::spool(1, spool_band::idle), e::starter_out(1), e::pin(false), e::steering(true),
          e::inject(fault::line_leak, e::circuit(1), 500), e::level(1, fluid_level::low), e::level(1, fluid_level::empty),
          e::elapsed(10s), e::acknowledge(), e::recall(), e::clear_faults(), e::air_ground_is(air_ground::air), e::gear(false),
          e::elapsed(milliseconds{3'600'000})};
}

TEST(Allocation, TheCounterCounts) {
  const long before = allocations;
  const auto* place = new int{1};
  EXPECT_GT(allocations, before) << "the replaced operator new is not in use";
  delete place;
}

TEST(Allocation, TransitionTakesNothingFromTheHeap) {
  const auto aircraft = layout::from(layouts::twin_freighter());
  ASSERT_TRUE(aircraft);
  const auto story = turnaround();
  state s = cold_and_dark(*aircraft);
  std::size_t accepted = 0;
  const long before = allocations;
  for (const auto& e : story) {
    const auto result = transition(*aircraft, s, e);
    s = result.after;
    accepted += result.what.accepted() ? 1U : 0U;
  }
  EXPECT_EQ(allocations - before, 0);
  EXPECT_GT(accepted, story.size() / 2) << "the walk must really go somewhere";
}

TEST(Allocation, ObservingTakesNothingFromTheHeap) {
  const auto aircraft = layout::from(layouts::twin_freighter());
  ASSERT_TRUE(aircraft);
  state s = cold_and_dark(*aircraft);
  std::size_t alerts = 0;
  for (const auto& e : turnaround()) {
    s = transition(*aircraft, s, e).after;
    const long before = allocations;
    alerts += observe(*aircraft, s).alerts;
    static_cast<void>(next_deadline(*aircraft, s));
    EXPECT_EQ(allocations - before, 0);
  }
  EXPECT_GT(alerts, 0U);
}

TEST(Allocation, ThePlantTakesNothingFromTheHeap) {
  const auto aircraft = layout::from(layouts::twin_freighter());
  ASSERT_TRUE(aircraft);
  const state s = cold_and_dark(*aircraft);
  auto plant = plant_for(*aircraft, s);
  const long before = allocations;
  for (int i = 0; i < 100; ++i) {
    plant = plant_after(*aircraft, plant, s, 16);
    static_cast<void>(next_fact(*aircraft, plant, s));
    static_cast<void>(next_plant_change(*aircraft, plant, s));
  }
  EXPECT_EQ(allocations - before, 0);
}

TEST(Allocation, TheFluidTakesNothingFromTheHeap) {
  const auto aircraft = layout::from(layouts::twin_freighter());
  ASSERT_TRUE(aircraft);
  state s = cold_and_dark(*aircraft);
  plant_state plant = plant_at(*aircraft, s);
  std::size_t facts = 0;
  for (const auto& e : turnaround()) {
    s = transition(*aircraft, s, e).after;
    const long before = allocations;
    const plant_commands commands = commands_for(*aircraft, s);
    plant = plant_with(*aircraft, plant, s, e);
    for (int i = 0; i < 10; ++i) {
      plant = integrate(*aircraft, plant, commands, 1.0 / 60.0).after;
      facts += next_fact(*aircraft, plant, s) ? 1U : 0U;
    }
    static_cast<void>(contents_of(*aircraft, plant, 0));
    static_cast<void>(servicing(*aircraft, plant, s, 0));
    EXPECT_EQ(allocations - before, 0);
  }
  EXPECT_GT(facts, 0U);
}

}  // namespace
}  // namespace penstock_tests
