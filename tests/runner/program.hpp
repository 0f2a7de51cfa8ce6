// Runs the program penstock as a person or another program would: arguments, pipes, exit code.
#pragma once

#include <fcntl.h>
#include <gtest/gtest.h>
#include <poll.h>
#include <sys/wait.h>
#include <unistd.h>

#include <csignal>
#include <cstdlib>
#include <fstream>
#include <string>
#include <string_view>
#include <tuple>
#include <utility>
#include <vector>

namespace penstock_tests {

inline std::string program_path() {
  const char* path = std::getenv("PENSTOCK_PROGRAM");
  if (path != nullptr) return path;
#ifdef PENSTOCK_PROGRAM
  return PENSTOCK_PROGRAM;
#else
  return "penstock";
#endif
}

/// A running program with pipes to all three of its streams.
class running_program {
 public:
  explicit running_program(std::vector<std::string> arguments) {
    // A test that writes to a program that has ended must fail, not die.
    std::signal(SIGPIPE, SIG_IGN);
    int in[2];
    int out[2];
    int err[2];
    if (::pipe2(in, O_CLOEXEC) != 0 || ::pipe2(out, O_CLOEXEC) != 0 || ::pipe2(err, O_CLOEXEC) != 0) std::abort();
    const std::string path = program_path();
    process_ = ::fork();
    if (process_ == 0) {
      ::dup2(in[0], STDIN_FILENO);
      ::dup2(out[1], STDOUT_FILENO);
      ::dup2(err[1], STDERR_FILENO);
      std::vector<char*> words{const_cast<char*>(path.c_str())};
      for (std::string& each : arguments) words.push_back(each.data());
      words.push_back(nullptr);
      ::execv(path.c_str(), words.data());
      ::_exit(127);
    }
    ::close(in[0]);
    ::close(out[1]);
    ::close(err[1]);
    in_ = in[1];
    out_ = out[0];
    err_ = err[0];
  }
  running_program(const running_program&) = delete;
  running_program& operator=(const running_program&) = delete;
  ~running_program() {
    end_input();
    close_output();
    ::close(err_);
    if (process_ > 0) static_cast<void>(wait_for_end());
  }

  /// Writes to its standard input; gives up when it no longer reads.
  void write(std::string_view text) const {
    while (!text.empty()) {
      const ssize_t written = ::write(in_, text.data(), text.size());
      if (written <= 0) return;
      text.remove_prefix(static_cast<std::size_t>(written));
    }
  }
  void end_input() {
    if (in_ >= 0) ::close(in_);
    in_ = -1;
  }
  void close_output() {
    if (out_ >= 0) ::close(out_);
    out_ = -1;
  }

  /// The next line it writes, without its end; "" if none comes within ten seconds.
  std::string next_line() {
    while (true) {
      const auto end = pending_.find('\n');
      if (end != std::string::npos) {
        std::string line = pending_.substr(0, end);
        pending_.erase(0, end + 1);
        return line;
      }
      pollfd ready{out_, POLLIN, 0};
      char piece[4096];
      if (::poll(&ready, 1, 10'000) <= 0) return {};
      const ssize_t got = ::read(out_, piece, sizeof piece);
      if (got <= 0) return {};
      pending_.append(piece, static_cast<std::size_t>(got));
    }
  }

  /// Everything it still writes to either stream, until it closes both.
  std::pair<std::string, std::string> rest() {
    std::string out = std::move(pending_);
    std::string err;
    pollfd ready[2] = {{out_, POLLIN, 0}, {err_, POLLIN, 0}};
    while (ready[0].fd >= 0 || ready[1].fd >= 0) {
      if (::poll(ready, 2, 60'000) <= 0) break;
      for (auto& each : ready) {
        if (each.fd < 0 || each.revents == 0) continue;
        char piece[65536];
        const ssize_t got = ::read(each.fd, piece, sizeof piece);
        if (got <= 0) {
          each.fd = -1;
        } else {
          (&each == &ready[0] ? out : err).append(piece, static_cast<std::size_t>(got));
        }
      }
    }
    return {std::move(out), std::move(err)};
  }

  /// Its exit code; 1000 + the number of the signal that ended it.
  int wait_for_end() {
    int status = 0;
    ::waitpid(process_, &status, 0);
    process_ = -1;
    return WIFEXITED(status) ? WEXITSTATUS(status) : 1000 + WTERMSIG(status);
  }

 private:
  pid_t process_ = -1;
  int in_ = -1;
  int out_ = -1;
  int err_ = -1;
  std::string pending_;
};

struct ended {
  int code;
  std::string out;
  std::string err;
};

/// Runs it to its end. `input` must fit a pipe (64 kB) when it is not read; longer ones are for `running_program`.
inline ended run_program(std::vector<std::string> arguments, std::string_view input = {}) {
  running_program program{std::move(arguments)};
  program.write(input);
  program.end_input();
  ended result{};
  std::tie(result.out, result.err) = program.rest();
  result.code = program.wait_for_end();
  return result;
}

inline std::vector<std::string> lines_of(std::string_view text) {
  std::vector<std::string> lines;
  while (!text.empty()) {
    const auto end = text.find('\n');
    lines.emplace_back(text.substr(0, end));
    if (end == std::string_view::npos) break;
    text.remove_prefix(end + 1);
  }
  return lines;
}

/// A file that is there as long as the test needs it.
class temporary_file {
 public:
  temporary_file(const std::string& ending, std::string_view text) {
    path_ = ::testing::TempDir() + "penstock-XXXXXX" + ending;
    const int file = ::mkstemps(path_.data(), static_cast<int>(ending.size()));
    if (file >= 0) ::close(file);
    std::ofstream{path_} << text;
  }
  temporary_file(const temporary_file&) = delete;
  temporary_file& operator=(const temporary_file&) = delete;
  ~temporary_file() { ::unlink(path_.c_str()); }
  [[nodiscard]] const std::string& path() const { return path_; }

 private:
  std::string path_;
};

/// A lesson of two steps on the shipped twin freighter, with one expectation of the caller's choice.
inline std::string lesson_that_expects(const std::string& expectation) {
  return "lesson: A door\n"
         "aircraft: twin-freighter\n"
         "steps:\n"
         "  - at: 0:05\n"
         "    do: external-power on\n"
         "  - at: 0:12\n"
         "    say: The lever goes to open.\n"
         "    do: lever forward open\n"
         "    expect: " +
         expectation + "\nplant: quasi-static\n";
}

}  // namespace penstock_tests
