// The line that says how far a command is: on a terminal only, and gone at its end.
#include "runner/progress_line.hpp"

#include <fcntl.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <poll.h>
#include <unistd.h>

#include <cstdlib>
#include <string>

namespace {

using penstock::runner::progress_line;
using ::testing::EndsWith;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Not;

std::string waiting_in(int descriptor) {
  std::string text;
  pollfd ready{descriptor, POLLIN, 0};
  while (::poll(&ready, 1, 0) > 0 && (ready.revents & POLLIN) != 0) {
    char piece[4096];
    const ssize_t got = ::read(descriptor, piece, sizeof piece);
    if (got <= 0) break;
    text.append(piece, static_cast<std::size_t>(got));
  }
  return text;
}

void play_three(const std::string& what, int descriptor) {
  progress_line line{what, 3, descriptor};
  for (int i = 0; i < 3; ++i) line.one_done();
}

/// A terminal without a person.
class terminal {
 public:
  terminal() : outside_{::posix_openpt(O_RDWR | O_NOCTTY)} {
    if (outside_ < 0 || ::grantpt(outside_) != 0 || ::unlockpt(outside_) != 0) return;
    inside_ = ::open(::ptsname(outside_), O_RDWR | O_NOCTTY);  // NOLINT(concurrency-mt-unsafe): one thread
  }
  terminal(const terminal&) = delete;
  terminal& operator=(const terminal&) = delete;
  ~terminal() {
    ::close(inside_);
    ::close(outside_);
  }
  [[nodiscard]] int inside() const { return inside_; }
  [[nodiscard]] std::string shown() const { return waiting_in(outside_); }

 private:
  int outside_ = -1;
  int inside_ = -1;
};

TEST(ProgressLine, CountsOnATerminalAndIsTakenAway) {
  const terminal here;
  if (here.inside() < 0) GTEST_SKIP() << "no terminals here";
  play_three("checking lessons", here.inside());
  const std::string text = here.shown();
  EXPECT_THAT(text, HasSubstr("\rchecking lessons: 0 of 3"));
  EXPECT_THAT(text, HasSubstr("\rchecking lessons: 3 of 3"));
  EXPECT_THAT(text, EndsWith("\r" + std::string(24, ' ') + "\r"));
  EXPECT_THAT(text, Not(HasSubstr("\n")));
  EXPECT_THAT(text, Not(HasSubstr("\x1b")));
}

TEST(ProgressLine, StaysWithinALine) {
  const terminal here;
  if (here.inside() < 0) GTEST_SKIP() << "no terminals here";
  play_three(std::string(300, 'x'), here.inside());
  EXPECT_THAT(here.shown(), Not(HasSubstr(std::string(80, 'x'))));
}

TEST(ProgressLine, WritesNothingIntoAPipe) {
  int ends[2];
  ASSERT_EQ(::pipe(ends), 0);
  play_three("checking lessons", ends[1]);
  ::close(ends[1]);
  EXPECT_THAT(waiting_in(ends[0]), IsEmpty());
  ::close(ends[0]);
}

}  // namespace
