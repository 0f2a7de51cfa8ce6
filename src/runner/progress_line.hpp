// One line that says how far a long command has come; for a person who waits, so on a terminal only.
#pragma once

#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <cstddef>
#include <mutex>
#include <string>
#include <string_view>

namespace penstock::runner {

/// Writes "WHAT: 3 of 15" over and over into one line, and takes it away at its end. Writes nothing where
/// `descriptor` is no terminal. No escape sequences, so that any terminal shows it.
class progress_line {
 public:
  progress_line(std::string_view what, std::size_t of, int descriptor = STDERR_FILENO)
      : what_{what}, of_{of}, descriptor_{descriptor}, shown_{::isatty(descriptor) == 1} {
    draw();
  }
  progress_line(const progress_line&) = delete;
  progress_line& operator=(const progress_line&) = delete;
  ~progress_line() {
    if (shown_) put("\r" + std::string(width_, ' ') + "\r");
  }

  /// One more is done. May be called from any thread.
  void one_done() {
    const std::lock_guard lock{guard_};
    ++done_;
    detail_.clear();
    if (done_ == of_ || can_be_read()) draw();
  }
  /// How far the one that is being done has come, in words. May be called from any thread.
  void tell(std::string_view detail) {
    const std::lock_guard lock{guard_};
    if (!can_be_read()) return;
    detail_ = detail;
    draw();
  }

 private:
  // A line that is drawn more often than it can be read only takes time.
  [[nodiscard]] bool can_be_read() const {
    constexpr std::chrono::milliseconds readable{50};
    return std::chrono::steady_clock::now() - drawn_ >= readable;
  }

  void draw() {
    if (!shown_) return;
    std::string line = what_ + ": " + std::to_string(done_) + " of " + std::to_string(of_);
    if (!detail_.empty()) line += ", " + detail_;
    constexpr std::size_t widest = 79;  // a longer line would be broken and could not be taken back
    line.resize(std::min(std::max(line.size(), width_), widest), ' ');  // covers the last one
    width_ = line.size();
    put("\r" + line);
    drawn_ = std::chrono::steady_clock::now();
  }

  // What a terminal does not take is not worth an error.
  void put(std::string_view text) const { static_cast<void>(!::write(descriptor_, text.data(), text.size())); }

  std::mutex guard_;
  std::string what_;
  std::string detail_;
  std::size_t of_;
  int descriptor_;
  bool shown_;
  std::size_t done_ = 0;
  std::size_t width_ = 0;
  std::chrono::steady_clock::time_point drawn_;
};

}  // namespace penstock::runner
