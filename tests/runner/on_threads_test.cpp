// Jobs on threads: all done, in order, and the same failure each time.
#include "on_threads.hpp"

#include <gtest/gtest.h>

#include <array>
#include <atomic>
#include <memory>
#include <numeric>
#include <stdexcept>
#include <string>

namespace {

using penstock::all_threads;
using penstock::for_each_on_threads;
using penstock::on_threads;

class OnThreads : public ::testing::TestWithParam<std::size_t> {};

TEST_P(OnThreads, GivesTheResultsInTheOrderOfTheJobs) {
  const auto squares = on_threads(1000, GetParam(), [](std::size_t i) { return i * i; });
  ASSERT_EQ(squares.size(), 1000U);
  for (std::size_t i = 0; i < squares.size(); ++i) EXPECT_EQ(squares[i], i * i);
}

TEST_P(OnThreads, DoesEachJobOnce) {
  std::array<std::atomic<int>, 500> done{};
  for_each_on_threads(done.size(), GetParam(), [&](std::size_t i) { ++done[i]; });
  for (const auto& each : done) EXPECT_EQ(each, 1);
}

TEST_P(OnThreads, PassesOnTheExceptionOfTheLowestJobThatThrew) {
  for (int repeated = 0; repeated < 50; ++repeated) {
    std::string words;
    try {
      for_each_on_threads(200, GetParam(), [](std::size_t i) {
        if (i >= 20) throw std::runtime_error{std::to_string(i)};
      });
    } catch (const std::runtime_error& thrown) {
      words = thrown.what();
    }
    ASSERT_EQ(words, "20");
  }
}

TEST_P(OnThreads, BeginsNoFurtherJobAfterAnException) {
  std::atomic<std::size_t> begun{0};
  EXPECT_THROW(for_each_on_threads(100'000, GetParam(),
                                   [&](std::size_t) {
                                     ++begun;
                                     throw std::runtime_error{"no"};
                                   }),
               std::runtime_error);
  EXPECT_LE(begun, std::max<std::size_t>(GetParam(), 1));  // each thread ends with the job that threw
}

INSTANTIATE_TEST_SUITE_P(Threads, OnThreads, ::testing::Values(0U, 1U, 2U, 7U, 64U),
                         [](const auto& each) { return std::to_string(each.param); });

TEST(OnThreadsOfNothing, DoesNothing) {
  EXPECT_TRUE(on_threads(0, 4, [](std::size_t i) { return i; }).empty());
}

TEST(OnThreadsOfValues, TakesValuesThatCannotBeCopied) {
  const auto made = on_threads(3, 2, [](std::size_t i) { return std::make_unique<std::size_t>(i); });
  EXPECT_EQ(*made[2], 2U);
}

TEST(AllThreads, IsAtLeastOne) { EXPECT_GE(all_threads(), 1U); }

}  // namespace
