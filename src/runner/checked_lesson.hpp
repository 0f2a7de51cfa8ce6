// A lesson as a test: what it expects, and what was so.
#pragma once

#include "penstock/lesson.hpp"
#include "runner/lesson_paths.hpp"
#include "runner/played_lesson.hpp"

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace penstock::runner {

/// An expectation, or a refusal that is one, and the time at which it was judged.
struct judgement_at {
  std::uint32_t at;  ///< ms
  judgement judged;
};

enum class verdict { passed, failed, error, no_lesson };
/// "passed", "failed", "error", "no lesson"
[[nodiscard]] std::string_view word_of(verdict which);

struct checked_lesson {
  std::string name;              ///< as asked for: name of a shipped lesson, or path
  verdict found = verdict::error;
  std::string no_lesson_but;     ///< verdict::no_lesson: what this file of a folder is instead
  std::optional<error> problem;  ///< of an error
  std::optional<lesson> what;    ///< nothing where there is none
  std::vector<judgement_at> judged;  ///< in order of time
  played end;
  [[nodiscard]] std::size_t unmet() const;
};

/// Reads a lesson and plays it. Does not throw for a bad lesson: that is its verdict.
[[nodiscard]] checked_lesson check_lesson(const asked_lesson& asked);
/// A file of a folder that is no lesson by itself, and that one of the lessons includes, is a part and no bad lesson.
void set_parts_aside(const std::vector<asked_lesson>& asked, std::vector<checked_lesson>& all);

/// Counts over several lessons.
struct check_counts {
  std::size_t lessons = 0;  ///< without those files that are none
  std::size_t passed = 0;
  std::size_t failed = 0;
  std::size_t errors = 0;
  std::size_t expectations = 0;
  std::size_t unmet = 0;
};
[[nodiscard]] check_counts counts_of(const std::vector<checked_lesson>& all);

}  // namespace penstock::runner
