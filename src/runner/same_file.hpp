// Whether two paths lead to one file, so that nothing is written over by mistake.
#pragma once

#include <filesystem>
#include <string>
#include <system_error>

namespace penstock::runner {

/// Where a path leads, whether or not there is something yet.
[[nodiscard]] inline std::filesystem::path end_of(const std::string& path) {
  std::error_code none;
  const std::filesystem::path whole = std::filesystem::weakly_canonical(std::filesystem::absolute(path, none), none);
  return none ? std::filesystem::path{path} : whole;
}

/// Whether two paths lead to one file.
[[nodiscard]] inline bool same_file(const std::string& one, const std::string& other) {
  std::error_code none;
  return end_of(one) == end_of(other) || std::filesystem::equivalent(one, other, none);
}

}  // namespace penstock::runner
