// Standard input and output without hidden state: a broken pipe or a full disk is noticed at once.
#pragma once

#include <cerrno>
#include <cstddef>
#include <exception>
#include <string>
#include <string_view>

namespace penstock::runner {

/// Thrown when output is no longer possible. A reader that went away is told apart: it needs no message.
class cannot_write : public std::exception {
 public:
  explicit cannot_write(int reason);
  [[nodiscard]] const char* what() const noexcept override { return words_.c_str(); }
  [[nodiscard]] bool reader_is_gone() const { return reason_ == EPIPE; }
  [[nodiscard]] int reason() const { return reason_; }

 private:
  std::string words_;
  int reason_;
};

/// Buffered output to a file descriptor.
class output {
 public:
  explicit output(int descriptor) : descriptor_{descriptor} {}
  output(const output&) = delete;  // on purpose: two buffers of one stream would mix their text
  output& operator=(const output&) = delete;

  void write(std::string_view text);
  void flush();
  [[nodiscard]] bool is_terminal() const;

 private:
  int descriptor_;
  std::string buffer_;
};

/// Puts a whole file in its place at once: written beside it under another name and renamed, so that nobody ever
/// reads half of it, and what was there stays when the writing fails. What is no plain file, such as a pipe, is
/// written to directly. Throws `failure` (input_output).
void write_file(const std::string& path, std::string_view text);

/// Lines of a file descriptor, through a buffer of fixed size.
class line_reader {
 public:
  /// A line may be this long; of a longer one nothing is kept.
  static constexpr std::size_t longest_line = 1'000'000;
  enum class found { line, too_long, end };

  explicit line_reader(int descriptor) : descriptor_{descriptor} {}

  /// The next line without its end. Throws `failure` (input_output) when reading fails.
  found next(std::string& line);

 private:
  bool fill();

  int descriptor_;
  std::string buffer_;
  std::size_t at_ = 0;
};

}  // namespace penstock::runner
