// The variations of a lesson: which there are, by number, and each as a lesson.
#pragma once

#include "penstock/lesson.hpp"
#include "runner/commands.hpp"

#include <cstddef>
#include <cstdint>
#include <string>
#include <utility>
#include <vector>

namespace penstock::runner {

/// How the times of steps are moved.
struct jitter_spec {
  milliseconds most{0};   ///< a step is moved by up to this, either way; 0: not at all
  std::size_t runs = 0;
  std::uint64_t seed = 0;
};

/// Every combination of parameter values, each with no change, with every single change and with every pair of them,
/// each of these at the times of the lesson and at moved ones.
class variations {
 public:
  /// More than this are not played at one go: our choice, some hours of one processor. Parts of more can be.
  static constexpr std::size_t most_at_once = 100'000;

  /// Reads the lesson once for each combination of parameter values. Throws `failure` for what does not fit.
  explicit variations(const vary_options& wanted);

  [[nodiscard]] std::size_t count() const;
  /// What differs from the lesson, in words. As few words as changes.
  [[nodiscard]] std::vector<std::string> changes(std::size_t i) const;
  /// As a lesson that can be played. Precondition: i < count().
  [[nodiscard]] lesson made(std::size_t i) const;

  /// The lesson without changes.
  [[nodiscard]] const lesson& unchanged() const { return base_; }
  /// The changes that are made one by one, in words.
  [[nodiscard]] std::vector<std::string> single_changes() const;
  [[nodiscard]] const jitter_spec& jitter() const { return jitter_; }
  /// A number that differs where the lesson or its aircraft differs.
  [[nodiscard]] std::string digest() const;

 private:
  /// The lesson with one combination of parameter values.
  struct combination {
    std::vector<std::string> changes;
    lesson what;
  };
  struct place {
    std::size_t set;
    std::size_t combination;
    std::size_t run;  // 0: the times of the lesson
  };
  [[nodiscard]] place place_of_number(std::size_t i) const;
  void read_combinations(const vary_options& wanted);
  void read_changes(const vary_options& wanted);
  void add_change(const event& one);

  lesson base_;
  std::vector<combination> combinations_;
  std::vector<event> changes_;
  std::vector<std::vector<std::size_t>> sets_;  // numbers of changes
  jitter_spec jitter_;
};

}  // namespace penstock::runner
