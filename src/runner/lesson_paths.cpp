#include "runner/lesson_paths.hpp"

#include "penstock/layout_file.hpp"

#include <algorithm>
#include <filesystem>
#include <set>
#include <system_error>

namespace penstock::runner {

namespace {

namespace fs = std::filesystem;

bool is_shipped(const std::string& name) {
  return std::ranges::any_of(shipped_lessons(), [&](const shipped_file& each) { return each.name == name; });
}

asked_lesson unreadable(const fs::path& folder, const std::error_code& why) {
  const std::string name = folder.string();
  return {name, true, error{"file-read", "the folder cannot be read: " + why.message(), {name, 0, 0}}};
}

// Not std::filesystem::recursive_directory_iterator: after a folder that cannot be read it would end.
void look_below(const fs::path& folder, std::vector<asked_lesson>& found) {
  std::error_code failed;
  fs::directory_iterator each{folder, failed};
  for (; !failed && each != fs::directory_iterator{}; each.increment(failed)) {
    const fs::path& path = each->path();
    if (path.filename().string().starts_with('.')) continue;
    std::error_code unknown;
    if (each->symlink_status(unknown).type() == fs::file_type::directory) {  // a link could lead round in a circle
      look_below(path, found);
      continue;
    }
    const bool named_so = path.extension() == ".yaml" || path.extension() == ".yml";
    const fs::file_type type = each->status(unknown).type();
    // A link to nowhere is taken as well: that it cannot be read is then said by name.
    const bool is_file = type == fs::file_type::regular || type == fs::file_type::not_found;
    if (named_so && is_file) found.push_back({path.string(), true, {}});
  }
  if (failed) found.push_back(unreadable(folder, failed));
}

// The same for the same file, however its folder is written. Links to files stay apart: the aircraft of a lesson is
// looked for beside the name it was read under.
std::string identity_of(const std::string& name) {
  if (is_shipped(name)) return "shipped " + name;
  const fs::path path{name};
  std::error_code failed;
  const fs::path folder = fs::canonical(path.has_parent_path() ? path.parent_path() : fs::path{"."}, failed);
  return failed ? name : (folder / path.filename()).string();
}

std::vector<asked_lesson> lessons_of(const std::string& word) {
  std::error_code unknown;
  if (is_shipped(word) || !fs::is_directory(word, unknown)) return {{word, false, {}}};
  std::vector<asked_lesson> found;
  look_below(word, found);
  std::ranges::sort(found, {}, &asked_lesson::name);
  if (found.empty()) {
    const char* words = "there is no lesson in this folder: no file below it ends in .yaml or .yml";
    found.push_back({word, true, error{"lesson-none", words, {word, 0, 0}}});
  }
  return found;
}

}  // namespace

std::vector<asked_lesson> lessons_asked_for(const std::vector<std::string>& words) {
  std::vector<asked_lesson> all;
  if (words.empty()) {
    for (const shipped_file& each : shipped_lessons()) all.push_back({std::string{each.name}, false, {}});
    return all;
  }
  std::set<std::string> known;
  for (const std::string& word : words) {
    for (asked_lesson& each : lessons_of(word)) {
      if (known.insert(identity_of(each.name)).second) all.push_back(std::move(each));
    }
  }
  return all;
}

}  // namespace penstock::runner
