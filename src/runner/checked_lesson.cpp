#include "runner/checked_lesson.hpp"

#include "penstock/layout_file.hpp"

#include <algorithm>
#include <filesystem>
#include <map>
#include <set>
#include <system_error>
#include <utility>

namespace penstock::runner {

namespace {

// An aircraft may lie beside the lessons that use it. Whoever names it as a lesson is told that it is none.
bool is_aircraft(const asked_lesson& asked, const error& problem) {
  if (!asked.from_folder || !problem.id.starts_with("lesson-")) return false;
  const auto text = file_content(asked.name);
  return text && layout_from_yaml(*text, asked.name);
}

// So may a file with properties for `penstock explore`: no lesson has that key.
bool is_property_file(const asked_lesson& asked, const error& problem) {
  if (!asked.from_folder || problem.id != "lesson-key") return false;
  const auto text = file_content(asked.name);
  return text && (text->starts_with("properties:") || text->find("\nproperties:") != std::string::npos);
}

// The same for the same file, however its folder is written.
std::filesystem::path same_path(const std::string& file) {
  std::error_code failed;
  std::filesystem::path path = std::filesystem::weakly_canonical(file, failed);
  return failed ? std::filesystem::path{file}.lexically_normal() : path;
}

}  // namespace

std::string_view word_of(verdict which) {
  switch (which) {
    case verdict::passed: return "passed";
    case verdict::failed: return "failed";
    case verdict::error: return "error";
    case verdict::no_lesson: return "no lesson";
  }
  return "?";
}

std::size_t checked_lesson::unmet() const {
  return static_cast<std::size_t>(
      std::ranges::count_if(judged, [](const judgement_at& each) { return !each.judged.met; }));
}

checked_lesson check_lesson(const asked_lesson& asked) {
  checked_lesson checked;
  checked.name = asked.name;
  checked.problem = asked.problem;
  if (checked.problem) return checked;
  auto read = load_lesson(asked.name);
  if (!read) {
    if (is_aircraft(asked, read.problem())) {
      checked.found = verdict::no_lesson;
      checked.no_lesson_but = "an aircraft";
    } else if (is_property_file(asked, read.problem())) {
      checked.found = verdict::no_lesson;
      checked.no_lesson_but = "a file of properties";
    } else {
      checked.problem = read.problem();
    }
    return checked;
  }
  checked.what = *std::move(read);
  checked.end = play_in_moments(*checked.what, {}, [&](const moment& now) {
    for (const judgement& each : now.judged) checked.judged.push_back({now.at, each});
  });
  checked.found = checked.unmet() == 0 ? verdict::passed : verdict::failed;
  return checked;
}

void set_parts_aside(const std::vector<asked_lesson>& asked, std::vector<checked_lesson>& all) {
  std::map<std::filesystem::path, std::string> lesson_by_part;
  for (const checked_lesson& each : all) {
    if (!each.what) continue;
    std::set<std::string> files;
    for (const lesson_step& step : each.what->steps) files.insert(step.where.file);
    for (const std::string& file : files) lesson_by_part.emplace(same_path(file), each.name);
  }
  for (std::size_t i = 0; i < all.size(); ++i) {
    checked_lesson& one = all[i];
    if (!asked[i].from_folder || !one.problem || !one.problem->id.starts_with("lesson-")) continue;
    const auto found = lesson_by_part.find(same_path(one.name));
    if (found == lesson_by_part.end()) continue;
    one.found = verdict::no_lesson;
    one.no_lesson_but = "a part that " + found->second + " includes";
    one.problem.reset();
  }
}

check_counts counts_of(const std::vector<checked_lesson>& all) {
  check_counts counts;
  for (const checked_lesson& each : all) {
    counts.lessons += each.found == verdict::no_lesson ? 0 : 1;
    counts.passed += each.found == verdict::passed ? 1 : 0;
    counts.failed += each.found == verdict::failed ? 1 : 0;
    counts.errors += each.found == verdict::error ? 1 : 0;
    counts.expectations += each.judged.size();
    counts.unmet += each.unmet();
  }
  return counts;
}

}  // namespace penstock::runner
