// How the program ends, and what it says when it cannot go on.
#include "penstock/version.hpp"
#include "runner/program.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace {

using penstock_tests::ended;
using penstock_tests::lesson_that_expects;
using penstock_tests::run_program;
using penstock_tests::temporary_file;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Not;
using ::testing::StartsWith;

TEST(ExitCode, IsZeroWhenEveryExpectationIsMet) {
  const temporary_file lesson{".yaml", lesson_that_expects("port is partial")};
  const ended run = run_program({"run", lesson.path()});
  EXPECT_EQ(run.code, 0) << run.err;
  EXPECT_THAT(run.out, HasSubstr("all met"));
  EXPECT_THAT(run.err, IsEmpty());
}

TEST(ExitCode, IsOneWhenAnExpectationFailsAndTheTextSaysWhatWhenAndWhy) {
  const temporary_file lesson{".yaml", lesson_that_expects("port is normal")};
  const ended run = run_program({"run", lesson.path()});
  EXPECT_EQ(run.code, 1) << run.err;
  EXPECT_THAT(run.out, HasSubstr("NOT MET"));
  EXPECT_THAT(run.out, HasSubstr("expected \"port is normal\""));
  EXPECT_THAT(run.out, HasSubstr("found partial"));
  EXPECT_THAT(run.out, HasSubstr("at 00:12.0"));
  EXPECT_THAT(run.out, HasSubstr(":9:13"));
  EXPECT_THAT(run.out, HasSubstr("why:"));
  EXPECT_THAT(run.out, HasSubstr("CGO-1"));
}

struct misuse {
  const char* name;
  std::vector<std::string> arguments;
  const char* words;
};
void PrintTo(const misuse& shown, std::ostream* out) { *out << shown.name; }

class WrongUse : public ::testing::TestWithParam<misuse> {};

TEST_P(WrongUse, EndsWithTwoAndSaysWhatWouldBeRight) {
  const ended run = run_program(GetParam().arguments);
  EXPECT_EQ(run.code, 2);
  EXPECT_THAT(run.out, IsEmpty());
  EXPECT_THAT(run.err, StartsWith("penstock: "));
  EXPECT_THAT(run.err, HasSubstr(GetParam().words));
  EXPECT_EQ(penstock_tests::lines_of(run.err).size(), 1U) << run.err;
}

INSTANTIATE_TEST_SUITE_P(
    CommandLine, WrongUse,
    ::testing::Values(
        misuse{"NoCommand", {}, "a command is missing"},
        misuse{"MisspeltCommand", {"rnu", "turnaround-1-2"}, "did you mean 'run'?"},
        misuse{"MisspeltOption", {"run", "turnaround-1-2", "--untl", "3"}, "did you mean '--until'?"},
        misuse{"NoLesson", {"run"}, "LESSON is required"},
        misuse{"TimeInWrongForm", {"run", "turnaround-1-2", "--until", "soon"}, "--until"},
        misuse{"TimeAfterTheEnd", {"run", "turnaround-1-2", "--until", "23:00:00"}, "the lesson ends at"},
        misuse{"NegativeTime", {"why", "turnaround-1-2", "port", "--at=-3 s"}, "--at"},
        misuse{"NoThreads", {"check", "--threads", "0"}, "--threads: found 0; right is 1 to"},
        misuse{"ThreadsInWords", {"check", "--threads", "many"}, "--threads"},
        misuse{"MoreThanAllRules", {"check", "--least", "101"}, "--least: found 101"},
        misuse{"EmptyPathToWrite", {"check", "--junit="}, "--junit: "},
        misuse{"UnknownRule", {"rules", "CGO-77"}, "is no rule; did you mean 'CGO-7'?"},
        misuse{"UnknownFormOfTheTrace", {"rules", "--trace", "--as", "htm"}, "right is text, html or json; did you mean"},
        misuse{"NoFormOfTheTrace", {"rules", "--trace", "--as", ""}, "--as: found ''; right is text, html or json"},
        misuse{"TwoFormsOfTheTrace", {"rules", "--trace", "--as", "html", "--json"}, "'html' and --json ask for two forms"},
        misuse{"TraceOfNoForm", {"rules", "--trace", "-o", "trace.pdf"}, "'trace.pdf' does not say in which form"},
        misuse{"TraceWithEmptyPath", {"rules", "--trace", "--output", ""}, "--output: the path of the file is empty"},
        misuse{"TraceOfOneRule", {"rules", "CGO-7", "--trace"}, "it is of all rules; leave out 'CGO-7'"},
        misuse{"FormWithoutTrace", {"rules", "--as", "html"}, "--as: this is for --trace"},
        misuse{"FileWithoutTrace", {"rules", "-o", "rules.html"}, "--output: this is for --trace"},
        misuse{"UnknownSubject", {"why", "turnaround-1-2", "--at", "0:10", "prot"}, "did you mean 'port'?"},
        misuse{"UnknownAlert", {"why", "turnaround-1-2", "--at", "0:10", "alert:sterring"}, "did you mean 'steering'?"},
        misuse{"UnknownMachine", {"draw", "twin-freighter", "--machine", "engin"}, "did you mean 'engine'?"},
        misuse{"MachineNotFitted", {"draw", "small-twin", "--machine", "transfer-test"}, "has no transfer-test"},
        misuse{"UnknownForm", {"draw", "twin-freighter", "--as", "dots"}, "did you mean 'dot'?"},
        misuse{"UnknownPlant", {"feed", "twin-freighter", "--plant", "full"}, "right is none, quasi-static or fluid"},
        misuse{"UnknownShippedFile", {"show", "turnaround-1-3"}, "did you mean 'turnaround-1-2'?"},
        misuse{"UnknownLogLevel", {"--log-level", "loud", "list"}, "right is trace, debug"}),
    [](const auto& each) { return std::string{each.param.name}; });

TEST(ExitCode, IsThreeForALessonThatIsWrongAndThePlaceIsNamed) {
  const temporary_file lesson{".yaml", lesson_that_expects("prot is normal")};
  const ended run = run_program({"run", lesson.path()});
  EXPECT_EQ(run.code, 3);
  EXPECT_THAT(run.out, IsEmpty());
  EXPECT_THAT(run.err, StartsWith("penstock: " + lesson.path() + ":9:13: "));
  EXPECT_THAT(run.err, HasSubstr("port"));
}

TEST(ExitCode, IsThreeForAnEmptyLayout) {
  const temporary_file layout{".yaml", ""};
  const ended run = run_program({"draw", layout.path()});
  EXPECT_EQ(run.code, 3);
  EXPECT_THAT(run.err, HasSubstr(layout.path()));
}

TEST(ExitCode, IsThreeForAMisspeltShippedName) {
  const ended run = run_program({"run", "turnaround-1-3"});
  EXPECT_EQ(run.code, 3);
  EXPECT_THAT(run.err, HasSubstr("turnaround-1-2"));
}

TEST(ExitCode, IsFourForAFileThatIsNotThere) {
  const ended run = run_program({"run", "no-such-folder/lesson.yaml"});
  EXPECT_EQ(run.code, 4);
  EXPECT_THAT(run.err, HasSubstr("no-such-folder/lesson.yaml"));
}

TEST(ExitCode, IsFourWithoutAWordWhenTheReaderOfTheOutputIsGone) {
  penstock_tests::running_program program{{"feed", "twin-freighter"}};
  program.close_output();
  program.write("{\"event\":\"external-power\",\"to\":\"on\"}\n");
  program.end_input();
  EXPECT_THAT(program.rest().second, IsEmpty());
  EXPECT_EQ(program.wait_for_end(), 4);
}

// The shell gives the program an output that cannot be written.
int code_with_output(const std::string& redirection) {
  const std::string command = "\"" + penstock_tests::program_path() + "\" list " + redirection + " 2>/dev/null";
  const int status = std::system(command.c_str());  // NOLINT(cert-env33-c)
  return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

TEST(ExitCode, IsFourWhenTheOutputIsClosed) { EXPECT_EQ(code_with_output(">&-"), 4); }

TEST(ExitCode, IsFourWhenTheDiskIsFull) {
  if (::access("/dev/full", W_OK) != 0) GTEST_SKIP() << "no /dev/full here";
  EXPECT_EQ(code_with_output(">/dev/full"), 4);
}

TEST(Help, ShowsExamplesAndEveryExitCode) {
  const ended run = run_program({"--help"});
  EXPECT_EQ(run.code, 0);
  EXPECT_THAT(run.err, IsEmpty());
  for (const char* words : {"For training only", "Examples:", "penstock run turnaround-1-2", "  0   done\n", "  1   ",
                            "  2   ", "  3   ", "  4   ", "  70  "}) {
    EXPECT_THAT(run.out, HasSubstr(words));
  }
}

TEST(Help, IsThereForEveryCommand) {
  for (const char* command : {"run", "check", "feed", "why", "rules", "draw", "list", "show", "events"}) {
    const ended run = run_program({command, "--help"});
    EXPECT_EQ(run.code, 0) << command;
    EXPECT_THAT(run.out, HasSubstr(std::string{"penstock "} + command));
  }
}

TEST(Version, IsThatOfTheLibrary) {
  const ended run = run_program({"--version"});
  EXPECT_EQ(run.code, 0);
  EXPECT_EQ(run.out, "penstock " PENSTOCK_VERSION "\n");
}

TEST(Log, GoesToStandardErrorAndIsQuietByDefault) {
  const ended quiet = run_program({"run", "turnaround-1-2", "--until", "1:00"});
  EXPECT_THAT(quiet.err, IsEmpty());
  const ended told = run_program({"--log-level", "info", "run", "turnaround-1-2", "--until", "1:00"});
  EXPECT_THAT(told.err, HasSubstr("penstock: info: "));
  EXPECT_EQ(told.out, quiet.out);
}

}  // namespace
