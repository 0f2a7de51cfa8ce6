// What came of the variations of a lesson: as text, as JSON, and several parts put together.
#pragma once

#include "penstock/result.hpp"
#include "runner/page.hpp"
#include "runner/streams.hpp"

#include <nlohmann/json.hpp>

#include <cstddef>
#include <cstdint>
#include <set>
#include <string>
#include <vector>

namespace penstock::runner {

/// An expectation that was not met: as in the lesson, its parameters filled in.
struct broken_expectation {
  location where;
  std::string words;
};

/// A variation in which something was not as expected.
struct breaking_variation {
  std::size_t number = 0;
  std::vector<std::string> changes;
  std::uint32_t at = 0;                  ///< ms: when the first one was decided
  broken_expectation first;
  std::string found;
  std::size_t unmet = 0;
};

/// In how many variations an expectation was not met.
struct breaking_count {
  broken_expectation expected;
  std::size_t variations = 0;
};

struct vary_result {
  nlohmann::ordered_json asked;          ///< what makes the variations: equal for parts that belong together
  std::size_t total = 0;                 ///< of all parts
  std::size_t parts = 1;
  std::set<std::size_t> parts_played;    ///< 1 to parts
  std::size_t played = 0;
  std::vector<breaking_count> expectations;   ///< most variations first
  std::vector<breaking_variation> breaking;   ///< fewest changes first, then by number

  /// Puts both lists in their order.
  void sort();
};

/// Adds up what is counted for the same expectation.
void add_count(std::vector<breaking_count>& all, const breaking_count& one);

[[nodiscard]] std::string in_words(const vary_result& result, emphasis type);
[[nodiscard]] std::string json_of(const vary_result& result);

/// The parts in these files as one result. Throws `failure` where one cannot be read or they do not belong together.
[[nodiscard]] vary_result merged(const std::vector<std::string>& paths);

}  // namespace penstock::runner
