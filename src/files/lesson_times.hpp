// When the steps of a lesson can begin: from the earliest to the latest, which differ behind a step that waits.
#pragma once

#include <string>

#include "penstock/lesson.hpp"

namespace penstock::inline v1::files {

struct span_of_time {
  milliseconds earliest{0};
  milliseconds latest{0};
  [[nodiscard]] bool is_known() const { return earliest == latest; }
};

/// From the time of a step to that of the next, whose `at` is set to the earliest; what is wrong with it, or "".
[[nodiscard]] std::string step_on(span_of_time& time, lesson_step& next);
/// How long the expectations of a step can need that begins at the latest then.
[[nodiscard]] milliseconds decided_by(const span_of_time& begun, const lesson_step& step);

}  // namespace penstock::inline v1::files
