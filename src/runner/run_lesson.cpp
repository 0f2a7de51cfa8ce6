// penstock run: plays a lesson.
#include "penstock/event_text.hpp"
#include "penstock/lesson.hpp"
#include "runner/commands.hpp"
#include "runner/failure.hpp"
#include "runner/timeline.hpp"
#include "runner/timeline_json.hpp"

#include <fmt/core.h>
#include <spdlog/spdlog.h>

namespace penstock::runner {

namespace {

template <class Telling>
exit_code told_by(Telling telling, const lesson& what, std::optional<milliseconds> until, output& out) {
  telling.heading();
  const played end = play_in_moments(what, until, [&](const moment& now) { telling.tell(now); });
  telling.summary(end);
  out.flush();
  return end.result.failures.empty() ? exit_code::done : exit_code::expectation_unmet;
}

}  // namespace

exit_code run_lesson(const run_options& wanted, output& out) {
  const lesson what = lesson_for(wanted.lesson, wanted.set);
  spdlog::info("lesson {}: {} steps on {}", what.name, what.steps.size(), what.aircraft.spec().name);
  std::optional<milliseconds> until;
  if (!wanted.until.empty()) until = time_within(what, "--until", wanted.until);
  if (wanted.json) return told_by(timeline_json{what, out}, what, until, out);
  return told_by(timeline{what, emphasis_for(out, wanted.plain), out}, what, until, out);
}

}  // namespace penstock::runner
