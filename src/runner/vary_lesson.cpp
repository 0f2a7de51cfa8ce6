// penstock vary: the same lesson under variations, to see which expectations break.
#include "penstock/lesson.hpp"
#include "runner/commands.hpp"
#include "runner/failure.hpp"
#include "on_threads.hpp"
#include "runner/page.hpp"
#include "runner/progress_line.hpp"
#include "runner/threads_option.hpp"
#include "runner/variations.hpp"
#include "runner/vary_result.hpp"

#include <fmt/core.h>
#include <spdlog/spdlog.h>
#include <unistd.h>

#include <charconv>
#include <chrono>
#include <filesystem>
#include <system_error>

namespace penstock::runner {

namespace {

namespace fs = std::filesystem;

class silence : public lesson_audience {};

/// Every so many-th variation.
struct share {
  std::size_t number = 1;
  std::size_t of = 1;
  [[nodiscard]] std::size_t count(std::size_t total) const { return total / of + (number <= total % of ? 1 : 0); }
  [[nodiscard]] std::size_t variation(std::size_t i) const { return number - 1 + i * of; }
};

share share_from(const std::optional<std::string>& text) {
  share read;
  if (!text) return read;
  constexpr std::size_t most_parts = 1'000'000;
  const char* const end = text->data() + text->size();
  const auto number = std::from_chars(text->data(), end, read.number);
  const bool divided = number.ec == std::errc{} && number.ptr != end && *number.ptr == '/';
  const auto of = std::from_chars(divided ? number.ptr + 1 : end, end, read.of);
  const bool whole = divided && of.ec == std::errc{} && of.ptr == end;
  if (!whole || read.number == 0 || read.number > read.of || read.of > most_parts) {
    throw wrong_use("--part",
                    fmt::format("found '{}'; right is NUMBER/COUNT, such as 3/64: the third of 64 parts, at most {}",
                                *text, most_parts),
                    "use-part");
  }
  return read;
}

struct played_variation {
  std::vector<breaking_count> broken;  // each once
  breaking_variation first;
};

played_variation played(const variations& all, std::size_t number) {
  const lesson what = all.made(number);
  silence nobody;
  const lesson_result end = play(what, nobody);
  played_variation result;
  if (end.failures.empty()) return result;
  for (const penstock::verdict& each : end.failures) {
    const broken_expectation expected{each.expected.where, each.expected.words};
    add_count(result.broken, {expected, 1});
  }
  // A step that is included twice can break the same expectation twice: still one variation.
  for (breaking_count& each : result.broken) each.variations = 1;
  const penstock::verdict& first = end.failures.front();
  result.first = {number, all.changes(number), first.at, {first.expected.where, first.expected.words}, first.found,
                  end.failures.size()};
  return result;
}

nlohmann::ordered_json asked_of(const vary_options& wanted, const variations& all) {
  nlohmann::ordered_json asked{{"lesson", wanted.lesson}, {"digest", all.digest()}, {"set", wanted.set},
                               {"each", wanted.each},     {"changes", all.single_changes()}, {"pairs", wanted.pairs}};
  if (all.jitter().runs != 0) {
    asked["jitter_ms"] = all.jitter().most.count();
    asked["runs"] = all.jitter().runs;
    asked["seed"] = all.jitter().seed;
  }
  return asked;
}

vary_result played(const vary_options& wanted, const variations& all, share mine) {
  const std::size_t count = mine.count(all.count());
  if (count > variations::most_at_once) {
    throw wrong_use("--part",
                    fmt::format("there would be {} variations, {} to play now; the most at one time is {}. Vary less, or "
                                "play parts, such as --part 1/{}",
                                all.count(), count, variations::most_at_once,
                                all.count() / variations::most_at_once + 1),
                    "use-many");
  }
  const auto begun = std::chrono::steady_clock::now();
  progress_line progress{"playing variations", count};
  const auto each_played = on_threads(count, threads_for(wanted.threads), [&](std::size_t i) {
    played_variation one = played(all, mine.variation(i));
    progress.one_done();
    return one;
  });
  const std::chrono::duration<double> took = std::chrono::steady_clock::now() - begun;
  spdlog::info("{} variations in {:.3f} s", count, took.count());
  vary_result result;
  result.asked = asked_of(wanted, all);
  result.total = all.count();
  result.parts = mine.of;
  result.parts_played = {mine.number};
  result.played = count;
  for (const played_variation& each : each_played) {
    if (each.broken.empty()) continue;
    for (const breaking_count& one : each.broken) add_count(result.expectations, one);
    result.breaking.push_back(each.first);
  }
  result.sort();
  return result;
}

// ---- broken variations as lessons ----

failure unwritable(const std::string& folder, const std::string& why) {
  return {exit_code::input_output, error{"write", "cannot be written: " + why, {folder, 0, 0}}};
}

// Before hours of playing, not behind them.
void make_folder(const std::string& folder) {
  if (folder.empty()) throw wrong_use("--write", "the path of the folder is empty", "use-path");
  std::error_code problem;
  fs::create_directories(folder, problem);
  if (problem) throw unwritable(folder, problem.message());
  if (!fs::is_directory(folder)) throw unwritable(folder, "it is no folder");
  if (::access(folder.c_str(), W_OK | X_OK) != 0) throw unwritable(folder, std::system_category().message(errno));
}

// An aircraft beside the lesson is not beside its variations.
void name_aircraft_from_anywhere(lesson& what, const std::string& path) {
  if (!what.aircraft_name.ends_with(".yaml") && !what.aircraft_name.ends_with(".yml")) return;
  what.aircraft_name = fs::absolute(fs::path{path}.parent_path() / what.aircraft_name).lexically_normal().string();
}

void write_lessons(const vary_options& wanted, const variations& all, const vary_result& result) {
  const std::string& folder = *wanted.write;
  for (const breaking_variation& each : result.breaking) {
    lesson what = all.made(each.number);
    name_aircraft_from_anywhere(what, wanted.lesson);
    if (!each.changes.empty()) what.title += " (" + listed(each.changes) + ")";
    const std::string path = (fs::path{folder} / fmt::format("{}-{}.yaml", what.name, each.number)).string();
    const std::string text = lesson_to_yaml(what);
    // A lesson that could not be played again, one step too long perhaps, is worse than none.
    static_cast<void>(value_or_fail(lesson_from_yaml(text, path), exit_code::bad_input));
    write_file(path, text);
  }
}

exit_code told(const vary_options& wanted, const vary_result& result, output& out) {
  out.write(wanted.json ? json_of(result) : in_words(result, emphasis_for(out, wanted.plain)));
  out.flush();
  return result.breaking.empty() ? exit_code::done : exit_code::expectation_unmet;
}

}  // namespace

exit_code vary_lesson(const vary_options& wanted, output& out) {
  if (!wanted.merge.empty()) {
    if (!wanted.lesson.empty() || wanted.write || wanted.part) {
      throw wrong_use("--merge", "it only puts results together; right is --merge FILE..., perhaps with --json",
                      "use-merge");
    }
    return told(wanted, merged(wanted.merge), out);
  }
  if (wanted.lesson.empty()) throw wrong_use("LESSON", "it is missing; name a lesson to vary, or --merge", "use-name");
  const share mine = share_from(wanted.part);
  const variations all{wanted};
  if (wanted.write) make_folder(*wanted.write);
  const vary_result result = played(wanted, all, mine);
  // The person has the result before a file that cannot be written ends the command.
  const exit_code end = told(wanted, result, out);
  if (wanted.write) write_lessons(wanted, all, result);
  return end;
}

}  // namespace penstock::runner
