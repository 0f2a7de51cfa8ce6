// penstock run --plot, --csv, --vcd: files that are whole or not there.
#include "runner/program.hpp"
#include "runner/temporary_folder.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <vector>

namespace {

using penstock_tests::ended;
using penstock_tests::lesson_that_expects;
using penstock_tests::run_program;
using penstock_tests::temporary_file;
using penstock_tests::temporary_folder;
using penstock_tests::text_of;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::StartsWith;

TEST(RunCurves, WritesEachFileAndTellsTheLessonAsBefore) {
  const temporary_folder folder;
  const ended run = run_program({"run", "door-left-open", "--plot", folder.file("a.svg"), "--csv", folder.file("a.csv"),
                                 "--vcd", folder.file("a.vcd")});
  EXPECT_EQ(run.code, 0) << run.err;
  EXPECT_EQ(run.out, run_program({"run", "door-left-open"}).out);
  EXPECT_THAT(folder.names(), ::testing::ElementsAre("a.csv", "a.svg", "a.vcd"));
  EXPECT_THAT(text_of(folder.file("a.svg")), StartsWith("<?xml"));
  EXPECT_THAT(text_of(folder.file("a.csv")), StartsWith("time [s],"));
  EXPECT_THAT(text_of(folder.file("a.vcd")), HasSubstr("$enddefinitions $end"));
}

TEST(RunCurves, WritesTheSameBytesEachTime) {
  const temporary_folder folder;
  for (const char* name : {"1", "2"}) {
    const ended run = run_program({"run", "four-engine-start", "--json", "--plot", folder.file(std::string{name} + ".svg"),
                                   "--csv", folder.file(std::string{name} + ".csv"), "--vcd",
                                   folder.file(std::string{name} + ".vcd")});
    EXPECT_EQ(run.code, 0) << run.err;
  }
  for (const char* ending : {".svg", ".csv", ".vcd"}) {
    EXPECT_EQ(text_of(folder.file(std::string{"1"} + ending)), text_of(folder.file(std::string{"2"} + ending))) << ending;
    EXPECT_THAT(text_of(folder.file(std::string{"1"} + ending)), ::testing::Not(IsEmpty()));
  }
}

TEST(RunCurves, EndWhereTheRunEnds) {
  const temporary_folder folder;
  EXPECT_EQ(run_program({"run", "door-left-open", "--until", "0:30", "--csv", folder.file("a.csv")}).code, 0);
  const auto lines = penstock_tests::lines_of(text_of(folder.file("a.csv")));
  EXPECT_THAT(lines.back(), StartsWith("30.000,"));
}

TEST(RunCurves, AreWrittenAlsoWhenAnExpectationIsNotMet) {
  const temporary_folder folder;
  const temporary_file lesson{".yaml", lesson_that_expects("port is normal")};
  EXPECT_EQ(run_program({"run", lesson.path(), "--plot", folder.file("a.svg")}).code, 1);
  EXPECT_THAT(text_of(folder.file("a.svg")), HasSubstr("</svg>"));
}

TEST(RunCurves, SayWhichFileCannotBeWritten) {
  const temporary_folder folder;
  const std::string path = folder.file("missing/a.svg");
  const ended run = run_program({"run", "door-left-open", "--plot", path});
  EXPECT_EQ(run.code, 4);
  EXPECT_THAT(run.err, HasSubstr(path));
  EXPECT_THAT(run.err, HasSubstr("[write]"));
  EXPECT_EQ(run_program({"run", "door-left-open", "--csv", folder.file("")}).code, 4) << "a folder is no file";
  EXPECT_THAT(folder.names(), IsEmpty());
}

TEST(RunCurves, ReplaceAFileAndFollowALink) {
  const temporary_folder folder;
  std::ofstream{folder.file("old.csv")} << "old";
  std::filesystem::create_symlink("old.csv", folder.file("link.csv"));
  EXPECT_EQ(run_program({"run", "door-left-open", "--csv", folder.file("link.csv")}).code, 0);
  EXPECT_TRUE(std::filesystem::is_symlink(folder.file("link.csv")));
  EXPECT_THAT(text_of(folder.file("old.csv")), StartsWith("time [s],"));
}

TEST(RunCurves, RefuseOneFileForTwoThings) {
  const temporary_folder folder;
  const std::string path = folder.file("a");
  for (const std::string& same : {path, folder.file("./a"), folder.file("b/../a")}) {
    const ended run = run_program({"run", "door-left-open", "--plot", path, "--vcd", same});
    EXPECT_EQ(run.code, 2) << same;
    EXPECT_THAT(run.err, HasSubstr("--vcd"));
    EXPECT_THAT(run.err, HasSubstr("is written by --plot already"));
    EXPECT_THAT(run.err, HasSubstr("[use-output]"));
    EXPECT_THAT(run.out, IsEmpty());
  }
  EXPECT_THAT(folder.names(), IsEmpty());
  EXPECT_EQ(run_program({"run", "door-left-open", "--plot", path, "--plot", path}).code, 2);
}

TEST(RunCurves, RefuseToWriteOverTheLesson) {
  const std::string text = lesson_that_expects("port is partial");
  const temporary_file lesson{".yaml", text};
  const ended run = run_program({"run", lesson.path(), "--csv", lesson.path()});
  EXPECT_EQ(run.code, 2);
  EXPECT_THAT(run.err, HasSubstr("[use-output]"));
  EXPECT_EQ(text_of(lesson.path()), text);
}

TEST(RunCurves, RefuseAnEmptyPath) {
  const ended run = run_program({"run", "door-left-open", "--plot", ""});
  EXPECT_EQ(run.code, 2);
  EXPECT_THAT(run.err, HasSubstr("[use-path]"));
}

// A reader of others, where there is one: Debian's package gtkwave.
TEST(RunCurves, VcdIsTakenByAnIndependentReader) {
  if (std::system("command -v vcd2fst >/dev/null 2>&1") != 0) GTEST_SKIP() << "vcd2fst is not installed";
  const temporary_folder folder;
  ASSERT_EQ(run_program({"run", "four-engine-start", "--vcd", folder.file("a.vcd")}).code, 0);
  const std::string command =
      "vcd2fst '" + folder.file("a.vcd") + "' '" + folder.file("a.fst") + "' >'" + folder.file("said") + "' 2>&1";
  EXPECT_EQ(std::system(command.c_str()), 0);
  EXPECT_THAT(text_of(folder.file("said")), IsEmpty());
  EXPECT_GT(std::filesystem::file_size(folder.file("a.fst")), 1000U);
}

// A parser of others: the one that comes with Python.
TEST(RunCurves, SvgIsTakenByAnIndependentParser) {
  if (std::system("command -v python3 >/dev/null 2>&1") != 0) GTEST_SKIP() << "python3 is not installed";
  const temporary_folder folder;
  ASSERT_EQ(run_program({"run", "turnaround-1-2", "--plot", folder.file("a.svg")}).code, 0);
  const std::string command =
      "python3 -c 'import sys, xml.etree.ElementTree as t; "
      "assert t.parse(sys.argv[1]).getroot().tag == \"{http://www.w3.org/2000/svg}svg\"' '" +
      folder.file("a.svg") + "'";
  EXPECT_EQ(std::system(command.c_str()), 0);
}

}  // namespace
