// Checked lessons as JUnit XML, the form in which most build servers take test results.
#pragma once

#include "runner/checked_lesson.hpp"

#include <string>
#include <vector>

namespace penstock::runner {

/// One test suite for each lesson, one test case for each expectation and refusal. All times are of the lesson, not
/// of the machine that played it: a suite takes as long as its lesson, a case as long as the lesson went on since
/// the case before it. So the same lessons give the same bytes. A lesson that cannot be read is a suite with one
/// case, an error.
[[nodiscard]] std::string junit_of(const std::vector<checked_lesson>& all);

}  // namespace penstock::runner
