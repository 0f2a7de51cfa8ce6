// penstock present: commands as lines, branches, and what they leave behind.
#include "penstock/layout_file.hpp"
#include "runner/program.hpp"
#include "runner/temporary_folder.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <string>

namespace {

using penstock_tests::ended;
using penstock_tests::lines_of;
using penstock_tests::run_program;
using penstock_tests::temporary_file;
using penstock_tests::temporary_folder;
using penstock_tests::text_of;
using ::testing::EndsWith;
using ::testing::HasSubstr;
using ::testing::Not;

// A door that opens, with questions of three kinds. Invented.
const std::string door = R"(lesson: A door
aircraft: twin-freighter
steps:
  - at: 0:05
    say: Power comes.
    do: external-power on
    observe: the lamp of the pump
    ask: Why does the cargo pump rest?
    answer: cargo-pump
    expect: ["for 30 s: bus-1 is powered"]
  - at: 0:12
    say: The lever goes to open.
    do: lever forward open
    ask: What comes next?
    expect: [cargo-pump is delivering]
  - when: forward is at-end
    say: The lever goes back.
    do: lever forward neutral
    ask: What stopped the pump?
    answer: The end of travel.
    expect: [forward is idle]
)";

// What the program says to these commands.
ended presented(const std::string& lesson, const std::string& commands) {
  const temporary_file file{".yaml", lesson};
  return run_program({"present", file.path()}, commands);
}

std::size_t count_in(const std::string& text, const std::string& words) {
  std::size_t count = 0;
  for (auto at = text.find(words); at != std::string::npos; at = text.find(words, at + 1)) ++count;
  return count;
}

TEST(Present, GoesThroughALessonFromItsBeginningToItsEnd) {
  const ended run = presented(door, "\n\n\n\n\nquit\nnext\n");
  EXPECT_EQ(run.code, 0) << run.err;
  for (const char* words : {"Power comes.", "observe:     the lamp of the pump", "The lever goes to open.",
                            "because a cargo door asks for pressure [CGO-1]", "The lever goes back.",
                            "The lesson ends at", "0 of its 3 expectations not met", "This is the end of the lesson"}) {
    EXPECT_THAT(run.out, HasSubstr(words));
  }
  EXPECT_EQ(count_in(run.out, "Power comes."), 1U);
}

TEST(Present, GoesThroughEveryShippedLesson) {
  for (const penstock::shipped_file& each : penstock::shipped_lessons()) {
    const std::string name{each.name};
    const ended run = run_program({"present", name}, std::string(60, '\n'));
    EXPECT_EQ(run.code, 0) << name << run.err;
    EXPECT_THAT(run.out, HasSubstr("The lesson ends at")) << name;
    EXPECT_THAT(run.out, HasSubstr(" 0 of its ")) << name;
  }
}

// Two times pass between two steps, at which nothing happens but that an expectation is met.
TEST(Present, GoesOnWhereOnlyExpectationsAreMetBetweenSteps) {
  const std::string quiet = "lesson: Quiet\naircraft: twin-freighter\nsteps:\n"
                            "  - at: 0:05\n    expect: [for 5 s: port is off, for 10 s: port is off]\n"
                            "  - at: 0:30\n    expect: [for 5 s: keel is off]\n";
  const ended run = presented(quiet, "\n\nback\n\n\nquit\n");
  EXPECT_EQ(run.code, 0) << run.err;
  EXPECT_THAT(run.out, HasSubstr("0 of its 3 expectations not met"));
}

TEST(Present, AnswersAQuestionOnlyWhenAsked) {
  EXPECT_THAT(presented(door, "\n\n\n\n").out, Not(HasSubstr("answer:")));
  const std::string told = presented(door, "answer\n\nanswer\n\nanswer\n\nanswer\n\nanswer\n").out;
  EXPECT_THAT(told, HasSubstr("asks nothing"));
  EXPECT_THAT(told, HasSubstr("answer:      electric pump cargo-pump does not deliver: nobody wants it"));
  EXPECT_THAT(told, HasSubstr("answer:      open: the lesson gives none"));
  // Behind the end of the lesson the last question is still the last one.
  EXPECT_EQ(count_in(told, "answer:      The end of travel."), 2U);
}

TEST(Present, GoesBackAndForthWithTheSameWords) {
  const std::string once = presented(door, "\n\n").out;
  const std::string again = presented(door, "\n\nback\n\n").out;
  const std::string step = once.substr(once.find("00:12.0 ---"), once.find("[step 2 of 3") - once.find("00:12.0 ---"));
  EXPECT_EQ(count_in(again, step), 2U) << again;
  EXPECT_THAT(again, HasSubstr("Back at 00:05.0."));
  EXPECT_THAT(presented(door, "back\n").out, HasSubstr("This is the beginning of the lesson."));
}

TEST(Present, BranchesAndReturnsToWhereTheLessonWasLeft) {
  const ended run = presented(door,
                              "\n\nwait 3 s\nwhat-if external-power off\nwhy cargo-pump\nwait 1 min\nreturn\n"
                              "why cargo-pump\n\n\n");
  EXPECT_EQ(run.code, 0) << run.err;
  EXPECT_THAT(run.out, HasSubstr("command:     external-power off"));
  EXPECT_THAT(run.out, HasSubstr("cargo-pump: delivering -> no-power"));
  EXPECT_THAT(run.out, HasSubstr("[step 2 of 3, what if, 01:15.0]"));
  EXPECT_THAT(run.out, HasSubstr("The lesson again, where it was left: at 00:12.0, behind step 2 of 3."));
  EXPECT_THAT(run.out, HasSubstr("electric pump cargo-pump delivers"));
  EXPECT_THAT(run.out, HasSubstr("0 of its 3 expectations not met"));
}

TEST(Present, TakesTheLastThingOfABranchBack) {
  const std::string told = presented(door, "\nwait 3 s\nwait 4 s\nback\nback\nreturn\n").out;
  EXPECT_THAT(told, HasSubstr("Taken back; it is 00:08.0 again."));
  EXPECT_THAT(told, HasSubstr("Taken back; this is the lesson again, at 00:05.0."));
  EXPECT_THAT(told, HasSubstr("This is the lesson already"));
}

TEST(Present, LosesNothingAtABrokenLine) {
  struct wrong { const char* line; const char* words; };
  for (const wrong& each : {wrong{"what-if levr forward open", "did you mean \"lever\"?"},
                            wrong{"what-if lever froward open", "forward"},
                            wrong{"what-if", "'what-if' needs EVENT behind it"},
                            wrong{"wait soon", "[time-form]"},
                            wrong{"wait -1 s", "[time-form]"},
                            wrong{"nxet", "did you mean 'next'?"},
                            wrong{"lever forward neutral", "did you mean 'what-if lever forward neutral'?"},
                            wrong{"why cargo-pmp", "did you mean 'cargo-pump'?"},
                            wrong{"why alert steerin", "did you mean 'steering'?"},
                            wrong{"back 2", "'back' takes nothing behind it"},
                            wrong{"quit now", "did you mean 'quit'?"},
                            wrong{"record /no-such-folder/lesson.yaml", "cannot be written"}}) {
    const ended run = presented(door, std::string{"\nwait 3 s\n"} + each.line + "\nwait 1 s\n");
    EXPECT_EQ(run.code, 0) << each.line;
    EXPECT_THAT(run.out, HasSubstr(each.words)) << each.line;
    EXPECT_THAT(run.out, HasSubstr("Nothing was done.")) << each.line;
    EXPECT_THAT(run.out, HasSubstr("[step 1 of 3, what if, 00:09.0]")) << each.line;
  }
}

TEST(Present, SaysThatALineOfAMegabyteIsTooLongAndGoesOn) {
  penstock_tests::running_program program{{"present", "turnaround"}};
  program.write(std::string(1'500'000, 'x') + "\nwait 3 s\n");
  program.end_input();
  const std::string told = program.rest().first;
  EXPECT_THAT(told, HasSubstr("This line is too long; nothing was done."));
  EXPECT_THAT(told, HasSubstr("what if, 00:03.0]"));
  EXPECT_EQ(program.wait_for_end(), 0);
}

TEST(Present, TellsWhyAnEventIsRefused) {
  const std::string told = presented(door, "\nwhat-if pin in\nwhat-if pressure port made\nreturn\n").out;
  EXPECT_THAT(told, HasSubstr("[STR-5]"));
  EXPECT_EQ(count_in(told, "refused: "), 2U);
}

TEST(Present, EndsCleanlyWhereverItsInputEnds) {
  for (const char* commands : {"", "\n", "\nwhat-if lever forward open", "\nwhat-if lever forward open\nwait 5 s\n"}) {
    const ended run = presented(door, commands);
    EXPECT_EQ(run.code, 0) << run.err;
    EXPECT_EQ(run.err, "");
    EXPECT_THAT(run.out, EndsWith("End of the input; the presentation is over.\n"));
  }
}

TEST(Present, RecordsABranchAsALessonThatPlays) {
  const temporary_folder folder;
  const std::string path = folder.file("branch.yaml");
  const ended run = presented(door, "\n\nwait 3 s\nwhat-if external-power off\nwhat-if pin in\nwait 1 min\nwhy port\n"
                                    "gauges\nrecord " + path + "\nrecord " + path + "\nreturn\n\n");
  EXPECT_THAT(run.out, HasSubstr("': 5 steps. Left out, because still open: 1 expectation."));
  EXPECT_THAT(run.out, HasSubstr("is there already;"));
  const ended replayed = run_program({"run", path});
  EXPECT_EQ(replayed.code, 0) << replayed.out << replayed.err;
  EXPECT_THAT(replayed.out, HasSubstr("A door, and what if"));
  EXPECT_THAT(replayed.out, HasSubstr("End at 01:15.0: 5 steps"));
  EXPECT_THAT(replayed.out, HasSubstr("pin in is refused by STR-5"));
  // Presented again, the last moment is the same to the last digit.
  const std::string gauges = run_program({"present", path}, "\n\n\n\n\ngauges\n").out;
  const std::string then = run.out.substr(run.out.find("gauges\n"));
  const std::string shown = then.substr(0, then.find("\n\n"));
  EXPECT_THAT(shown, HasSubstr("port"));
  EXPECT_THAT(gauges, HasSubstr(shown));
}

TEST(Present, RecordsBehindStepsThatWait) {
  const temporary_folder folder;
  const std::string path = folder.file("waited.yaml");
  const ended run =
      presented(door, "\n\n\nwhat-if lever forward close\nwait 40 s\nrecord " + path + "\n");
  const ended replayed = run_program({"run", path});
  EXPECT_EQ(replayed.code, 0) << run.out << replayed.out << replayed.err;
  EXPECT_THAT(replayed.out, HasSubstr("lever forward close"));
}

TEST(Present, RecordsAWholeLessonAsItIs) {
  const temporary_folder folder;
  const std::string path = folder.file("whole.yaml");
  EXPECT_THAT(presented(door, "record " + path + "\n").out, HasSubstr("nothing to record"));
  presented(door, "\n\n\n\nrecord " + path + "\n");
  EXPECT_THAT(text_of(path), HasSubstr("for 30 s"));
  EXPECT_THAT(run_program({"run", path}).out, HasSubstr("3 steps, 3 expectations, all met."));
}

TEST(Present, RecordsTheAircraftWhereItIsFromAnotherFolder) {
  const temporary_folder one;
  const temporary_folder other;
  std::ofstream{one.file("plane.yaml")} << run_program({"show", "small-twin"}).out;
  std::ofstream{one.file("lesson.yaml")} << "lesson: Own\naircraft: ./plane.yaml\nsteps:\n  - {at: 0:01, say: Hello.}\n";
  const std::string path = other.file("recorded.yaml");
  const ended run = run_program({"present", one.file("lesson.yaml")}, "\nwait 5 s\nrecord " + path + "\n");
  EXPECT_EQ(run_program({"run", path}).code, 0) << run.out << text_of(path);
}

TEST(Present, DoesNotWriteOverTheLessonItself) {
  const temporary_file file{".yaml", door};
  const ended run = run_program({"present", file.path()}, "\nrecord " + file.path() + "\n");
  EXPECT_THAT(run.out, HasSubstr("is the lesson itself"));
  EXPECT_EQ(text_of(file.path()), door);
}

TEST(Present, ShowsLevelsOfTheFluidPlant) {
  std::string fluid = door;
  fluid.insert(fluid.find("steps:"), "plant: fluid\n");
  EXPECT_THAT(presented(fluid, "\nlevel\n").out, HasSubstr("nothing to add [LVL-5]"));
  std::string none = door;
  none.insert(none.find("steps:"), "plant: none\n");
  EXPECT_THAT(presented(none, "level\n").out, HasSubstr("(none) knows no such quantities"));
}

TEST(Present, LetsNoControlCharacterThrough) {
  EXPECT_THAT(presented(door, "\x1b[2J\nwhat-if \x1b[31m\n").out, Not(HasSubstr("\x1b")));
}

}  // namespace
