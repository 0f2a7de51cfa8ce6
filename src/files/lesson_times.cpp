#include "files/lesson_times.hpp"

#include <algorithm>
#include <cstdint>

#include "penstock/explain.hpp"

namespace penstock::inline v1 {

namespace files {

namespace {

std::string clock_of(milliseconds time) { return clock_text(static_cast<std::uint32_t>(time.count())); }

}  // namespace

std::string step_on(span_of_time& time, lesson_step& next) {
  if (next.after < milliseconds{0} || next.longest_wait < milliseconds{0} || next.at < milliseconds{0}) {
    return "the time of the step is negative; times must not run backwards";
  }
  // Before they are added: two times within a day cannot overflow.
  constexpr const char* too_late = "the step is later than 24 h after the beginning";
  if (std::max({next.after, next.longest_wait, next.at}) > limits::longest_time) return too_late;
  switch (next.start) {
    case step_start::at:
      if (next.at < time.latest) {
        const std::string head = "the step at " + clock_of(next.at);
        if (time.is_known()) {
          return head + " comes before the step above it, which is at " + clock_of(time.latest) +
                 "; times must not run backwards";
        }
        return head + " may come before the step above it, which can be as late as " + clock_of(time.latest) +
               " because the lesson waits; give it a later time, or a time after the step above";
      }
      time = {next.at, next.at};
      break;
    case step_start::after:
      time.earliest += next.after;
      time.latest += next.after;
      break;
    case step_start::when:
      time.latest += next.longest_wait;
      break;
  }
  if (time.latest > limits::longest_time) return too_late;
  next.at = time.earliest;
  return {};
}

milliseconds decided_by(const span_of_time& begun, const lesson_step& step) {
  milliseconds last = begun.latest;
  for (const expectation& one : step.expectations) {
    if (one.span) last = std::max(last, begun.latest + *one.span);
    if (one.end) last = std::max(last, *one.end);
  }
  return std::min(last, milliseconds{limits::longest_time});
}

}  // namespace files

std::optional<error> work_out_times(lesson& what) {
  files::span_of_time time;
  milliseconds last{0};
  for (lesson_step& step : what.steps) {
    if (std::string problem = files::step_on(time, step); !problem.empty()) {
      return error{"lesson-time", std::move(problem), step.where};
    }
    last = std::max(last, files::decided_by(time, step));
  }
  if (what.ends_by_itself) {
    what.end = last;
  } else if (what.end < time.latest) {
    return error{"lesson-time", "the end comes before the last step, which is at " + files::clock_of(time.latest), {}};
  }
  return std::nullopt;
}

}  // namespace penstock::inline v1
