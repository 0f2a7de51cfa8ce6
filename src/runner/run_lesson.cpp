// penstock run: plays a lesson.
#include "penstock/curves.hpp"
#include "penstock/event_text.hpp"
#include "penstock/lesson.hpp"
#include "runner/commands.hpp"
#include "runner/failure.hpp"
#include "runner/same_file.hpp"
#include "runner/timeline.hpp"
#include "runner/timeline_json.hpp"

#include <fmt/core.h>
#include <spdlog/spdlog.h>

#include <array>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace penstock::runner {

namespace {

template <class Telling>
exit_code told_by(Telling telling, const lesson& what, std::optional<milliseconds> until, output& out,
                  lesson_audience* beside) {
  telling.heading();
  const played end = play_in_moments(what, until, [&](const moment& now) { telling.tell(now); }, beside);
  telling.summary(end);
  out.flush();
  return end.result.failures.empty() ? exit_code::done : exit_code::expectation_unmet;
}

exit_code told(const run_options& wanted, const lesson& what, std::optional<milliseconds> until, output& out,
               lesson_audience* beside) {
  if (wanted.json) return told_by(timeline_json{what, out}, what, until, out, beside);
  return told_by(timeline{what, emphasis_for(out, wanted.plain), out}, what, until, out, beside);
}

// Nothing may be lost because two things are written to one file, or because one is written over the lesson.
void check_outputs(const run_options& wanted) {
  const auto outputs = std::array{std::pair{"--plot", &wanted.plot}, std::pair{"--csv", &wanted.csv},
                                  std::pair{"--vcd", &wanted.vcd}};
  std::vector<std::pair<std::string_view, std::string>> before;
  for (const auto& [option, path] : outputs) {
    if (!path->has_value()) continue;
    const std::string& to = **path;
    if (to.empty()) throw wrong_use(option, "the path of the file is empty", "use-path");
    if (same_file(to, wanted.lesson)) {
      throw wrong_use(option, fmt::format("'{}' is the lesson itself; give another file", to), "use-output");
    }
    for (const auto& [other, taken] : before) {
      if (!same_file(to, taken)) continue;
      throw wrong_use(option, fmt::format("'{}' is written by {} already; give each its own file", to, other),
                      "use-output");
    }
    before.emplace_back(option, to);
  }
}

}  // namespace

exit_code run_lesson(const run_options& wanted, output& out) {
  check_outputs(wanted);
  const lesson what = lesson_for(wanted.lesson, wanted.set);
  spdlog::info("lesson {}: {} steps on {}", what.name, what.steps.size(), what.aircraft.spec().name);
  std::optional<milliseconds> until;
  if (!wanted.until.empty()) until = time_within(what, "--until", wanted.until);
  if (!wanted.plot && !wanted.csv && !wanted.vcd) return told(wanted, what, until, out, nullptr);
  curve_recorder recorder{what, until};
  const exit_code end = told(wanted, what, until, out, &recorder);
  const curves recorded = recorder.taken();
  spdlog::info("curves of {} quantities and {} states at {} times", recorded.quantities.size(), recorded.states.size(),
               recorded.at.size());
  if (wanted.plot) write_file(*wanted.plot, svg_of(what, recorded));
  if (wanted.csv) write_file(*wanted.csv, csv_of(recorded));
  if (wanted.vcd) write_file(*wanted.vcd, vcd_of(recorded));
  return end;
}

}  // namespace penstock::runner
