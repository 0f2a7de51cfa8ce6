// Independent jobs on several threads, with the same outcome whatever their number.
#pragma once

#include <algorithm>
#include <atomic>
#include <cstddef>
#include <exception>
#include <limits>
#include <mutex>
#include <optional>
#include <system_error>
#include <thread>
#include <type_traits>
#include <utility>
#include <vector>

namespace penstock::inline v1 {

/// As many threads as the machine runs at once; at least one.
[[nodiscard]] inline std::size_t all_threads() { return std::max(1U, std::thread::hardware_concurrency()); }

namespace detail {

/// False where the system gives no more threads.
template <class Work>
[[nodiscard]] bool begins_one_more(std::vector<std::jthread>& helpers, const Work& work) {
  try {
    helpers.emplace_back(work);
    return true;
  } catch (const std::system_error&) {
    return false;
  }
}

}  // namespace detail

/// Runs job(0) to job(jobs - 1) on up to `threads` threads, of which the caller's is one, and returns when all are
/// done. Jobs begin in order. After an exception no further job begins; of those that were thrown, the one of the
/// lowest job is passed on, which is the same one each time.
template <class Job>
void for_each_on_threads(std::size_t jobs, std::size_t threads, const Job& job) {
  std::atomic<std::size_t> next{0};
  std::atomic<bool> stopped{false};
  std::mutex guard;
  std::exception_ptr thrown;
  std::size_t thrown_by = std::numeric_limits<std::size_t>::max();
  const auto work = [&] {
    while (!stopped) {
      const std::size_t mine = next++;
      if (mine >= jobs) return;
      try {
        job(mine);
      } catch (...) {
        stopped = true;
        const std::lock_guard lock{guard};
        if (mine < thrown_by) {
          thrown_by = mine;
          thrown = std::current_exception();
        }
      }
    }
  };
  {
    std::vector<std::jthread> helpers;
    const std::size_t wanted = std::min(threads, jobs);
    helpers.reserve(wanted);
    // However many there are, they do all the jobs.
    while (helpers.size() + 1 < wanted && detail::begins_one_more(helpers, work)) continue;
    work();
  }
  if (thrown) std::rethrow_exception(thrown);
}

/// The same, with the results of the jobs in their order.
template <class Job>
[[nodiscard]] auto on_threads(std::size_t jobs, std::size_t threads, const Job& job) {
  using value = std::decay_t<std::invoke_result_t<const Job&, std::size_t>>;
  std::vector<std::optional<value>> made(jobs);
  for_each_on_threads(jobs, threads, [&](std::size_t i) { made[i].emplace(job(i)); });
  std::vector<value> values;
  values.reserve(jobs);
  for (std::optional<value>& each : made) values.push_back(*std::move(each));
  return values;
}

}  // namespace penstock::inline v1
