// Which lessons a person means: by name, by path, by folder.
#pragma once

#include "penstock/result.hpp"

#include <optional>
#include <string>
#include <vector>

namespace penstock::runner {

/// A lesson that was asked for, or why there is none.
struct asked_lesson {
  std::string name;              ///< name of a shipped lesson, or path
  bool from_folder = false;      ///< nobody named it: it lay in a folder
  std::optional<error> problem;  ///< of a folder that has none, or cannot be looked into
};

/// The lessons behind names, paths and folders, in their order; of a folder all *.yaml and *.yml below, sorted by
/// path, without those whose name or folder begins with a dot. A lesson that is asked for twice comes once.
/// Nothing asked: all that come with penstock.
[[nodiscard]] std::vector<asked_lesson> lessons_asked_for(const std::vector<std::string>& words);

}  // namespace penstock::runner
