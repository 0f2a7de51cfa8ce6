#include "runner/streams.hpp"

#include "runner/failure.hpp"

#include <unistd.h>

#include <cerrno>
#include <system_error>

namespace penstock::runner {

namespace {

constexpr std::size_t output_piece = std::size_t{1} << 16;
constexpr std::size_t input_piece = std::size_t{1} << 16;

}  // namespace

cannot_write::cannot_write(int reason)
    : words_{"standard output: cannot be written: " + std::system_category().message(reason)},
      reader_is_gone_{reason == EPIPE} {}

void output::write(std::string_view text) {
  buffer_.append(text);
  if (buffer_.size() >= output_piece) flush();
}

void output::flush() {
  std::string_view rest = buffer_;
  while (!rest.empty()) {
    const ssize_t written = ::write(descriptor_, rest.data(), rest.size());
    if (written < 0 && errno == EINTR) continue;
    if (written < 0) {
      const int reason = errno;
      buffer_.clear();
      throw cannot_write{reason};
    }
    rest.remove_prefix(static_cast<std::size_t>(written));
  }
  buffer_.clear();
}

bool output::is_terminal() const { return ::isatty(descriptor_) == 1; }

bool line_reader::fill() {
  buffer_.resize(input_piece);
  at_ = 0;
  ssize_t got = 0;
  do {
    got = ::read(descriptor_, buffer_.data(), buffer_.size());
  } while (got < 0 && errno == EINTR);
  if (got < 0) {
    const int reason = errno;
    buffer_.clear();
    throw failure{exit_code::input_output,
                  error{"file-read", "cannot be read: " + std::system_category().message(reason),
                        {"standard input", 0, 0}}};
  }
  buffer_.resize(static_cast<std::size_t>(got));
  return got > 0;
}

line_reader::found line_reader::next(std::string& line) {
  line.clear();
  bool any = false;
  bool too_long = false;
  while (true) {
    if (at_ == buffer_.size() && !fill()) {
      if (!any) return found::end;
      return too_long ? found::too_long : found::line;
    }
    any = true;
    const std::size_t end = buffer_.find('\n', at_);
    const std::size_t stop = end == std::string::npos ? buffer_.size() : end;
    if (!too_long && line.size() + (stop - at_) > longest_line) {
      too_long = true;
      line.clear();
    }
    if (!too_long) line.append(buffer_, at_, stop - at_);
    at_ = end == std::string::npos ? stop : stop + 1;
    if (end != std::string::npos) return too_long ? found::too_long : found::line;
  }
}

}  // namespace penstock::runner
