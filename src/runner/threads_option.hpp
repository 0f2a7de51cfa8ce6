// The option --threads, the same in every command that has it.
#pragma once

#include "runner/failure.hpp"
#include "on_threads.hpp"

#include <fmt/core.h>

#include <cstddef>
#include <optional>

namespace penstock::runner {

/// How many threads the option asks for; nothing: as many as the machine runs at once.
[[nodiscard]] inline std::size_t threads_for(const std::optional<unsigned>& wanted) {
  constexpr unsigned most_threads = 1024;
  if (!wanted) return all_threads();
  if (*wanted == 0 || *wanted > most_threads) {
    throw wrong_use("--threads", fmt::format("found {}; right is 1 to {}", *wanted, most_threads), "use-threads");
  }
  return *wanted;
}

}  // namespace penstock::runner
