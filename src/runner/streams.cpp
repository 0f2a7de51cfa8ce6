#include "runner/streams.hpp"

#include "runner/failure.hpp"

#include <fcntl.h>
#include <fmt/core.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <memory>
#include <system_error>

namespace penstock::runner {

namespace {

constexpr std::size_t output_piece = std::size_t{1} << 16;
constexpr std::size_t input_piece = std::size_t{1} << 16;

}  // namespace

cannot_write::cannot_write(int reason)
    : words_{"standard output: cannot be written: " + std::system_category().message(reason)},
      reason_{reason} {}

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

void write_file(const std::string& path, std::string_view text) {
  const auto fail = [&](int reason) {
    throw failure{exit_code::input_output,
                  error{"write", "cannot be written: " + std::system_category().message(reason), {path, 0, 0}}};
  };
  struct stat there{};
  const bool is_there = ::stat(path.c_str(), &there) == 0;
  if (is_there && S_ISDIR(there.st_mode)) fail(EISDIR);
  const bool direct = is_there && !S_ISREG(there.st_mode);
  std::string target = path;
  if (is_there) {
    // A link stays a link: the file behind it is replaced.
    const std::unique_ptr<char, void (*)(void*)> real{::realpath(path.c_str(), nullptr), std::free};
    if (real != nullptr) target = real.get();
  }
  const std::string draft = direct ? target : fmt::format("{}.{}.part", target, ::getpid());
  if (!direct) ::unlink(draft.c_str());  // of a run that was broken off, and had this number
  const int flags = direct ? O_WRONLY : O_WRONLY | O_CREAT | O_EXCL;
  const int file = ::open(draft.c_str(), flags | O_CLOEXEC, 0666);
  if (file < 0) fail(errno);
  int reason = 0;
  try {
    output into{file};
    into.write(text);
    into.flush();
  } catch (const cannot_write& broken) {
    reason = broken.reason();
  }
  if (::close(file) != 0 && reason == 0) reason = errno;
  if (reason == 0 && !direct && ::rename(draft.c_str(), target.c_str()) != 0) reason = errno;
  if (reason == 0) return;
  if (!direct) ::unlink(draft.c_str());
  fail(reason);
}

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
