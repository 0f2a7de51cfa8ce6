// A folder for the files that a test lets the program write.
#pragma once

#include <gtest/gtest.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <vector>

namespace penstock_tests {

/// A folder that is there as long as the test needs it.
class temporary_folder {
 public:
  temporary_folder() {
    std::string path = ::testing::TempDir() + "penstock-XXXXXX";
    if (::mkdtemp(path.data()) != nullptr) path_ = path;
  }
  temporary_folder(const temporary_folder&) = delete;
  temporary_folder& operator=(const temporary_folder&) = delete;
  ~temporary_folder() {
    std::error_code none;
    std::filesystem::remove_all(path_, none);
  }
  [[nodiscard]] std::string file(const std::string& name) const { return path_ + "/" + name; }
  [[nodiscard]] std::vector<std::string> names() const {
    std::vector<std::string> all;
    for (const auto& each : std::filesystem::directory_iterator{path_}) all.push_back(each.path().filename().string());
    std::sort(all.begin(), all.end());
    return all;
  }

 private:
  std::string path_;
};

inline std::string text_of(const std::string& path) {
  std::ifstream in{path, std::ios::binary};
  return {std::istreambuf_iterator<char>{in}, {}};
}

}  // namespace penstock_tests
