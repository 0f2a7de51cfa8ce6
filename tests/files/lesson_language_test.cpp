// The language of lessons: steps, waits, questions, parameters, includes, and how lessons are written.
#include <filesystem>
#include <fstream>
#include <set>

#include <unistd.h>

#include <gmock/gmock.h>

#include "files/complaints.hpp"
#include "penstock/event_text.hpp"
#include "penstock/layout_file.hpp"
#include "penstock/layouts.hpp"
#include "penstock/lesson_player.hpp"

namespace {

using namespace penstock;
using namespace std::chrono_literals;
using penstock_tests::complaint_wanted;
using penstock_tests::expect_complaint;
using penstock_tests::with;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

// Every key and every kind of phrase once.
const std::string probe = R"(lesson: A door
aircraft: twin-freighter
end-mark: yes
begin: {external-power: "on"}
parameters:
  door: forward
  hold: 30 s
end: 3:00
steps:
  - at: 0:10
    by: loadmaster
    say: The lever of ${door} goes to open.
    do: "lever ${door} open"
    observe: [the pump gauge, the lamp of the door]
    ask: Why does the pump run?
    answer: cargo-pump
    expect:
      - cargo-pump runs because CGO-1
      - within ${hold}: ${door} travel is open
      - port is partial until ${door} is at-end
      - never until 2:00: {not: alert steering is none}
      - in this order: [port is partial, forward is at-end, port is off]
  - when: ["${door} is at-end", port is off]
    within: 1 min
    do: lever forward neutral
  - after: 5 s
    ask: What does the gauge show?
    answer: port pressure
    expect: [port pressure below 10 psi, forward position is 100 % +- 0.5 %]
plant: quasi-static
...
)";

lesson read(const std::string& text, const parameter_values& set = {}) {
  auto made = lesson_from_yaml(text, "probe.yaml", set);
  if (!made) {
    ADD_FAILURE() << to_string(made.problem()) << '\n' << text;
    return {};
  }
  return *std::move(made);
}

void expect_wrong(std::string_view part, std::string_view instead, const complaint_wanted& wanted) {
  SCOPED_TRACE(std::string{instead.substr(0, 80)});
  expect_complaint(lesson_from_yaml(with(probe, part, instead), "probe.yaml"), wanted);
}

struct listener : lesson_audience {
  void step_begins(const lesson_step& step, const simulation& now) override {
    begins.push_back(now.now().chronicle.now);
    said.push_back(step.say);
  }
  void asked(const question&, const std::string& answer) override { answers.push_back(answer); }
  void sampled(const simulation& now) override { samples.push_back(now.now().chronicle.now); }
  [[nodiscard]] milliseconds sampling() const override { return every; }

  milliseconds every{0};
  std::vector<std::uint32_t> begins, samples;
  std::vector<std::string> said, answers;
};

lesson_result played(const lesson& what, listener& heard) {
  lesson_result result = play(what, heard);
  for (const verdict& one : result.failures) ADD_FAILURE() << one.at << ' ' << one.expected.words << ": " << one.found;
  return result;
}

// Files in a folder of their own.
class folder {
 public:
  folder() : path_(std::filesystem::path{testing::TempDir()} / ("penstock-language-" + std::to_string(::getpid()))) {
    std::filesystem::create_directories(path_ / "parts");
  }
  ~folder() { std::filesystem::remove_all(path_); }
  folder(const folder&) = delete;
  folder& operator=(const folder&) = delete;
  std::string write(const std::string& name, const std::string& text) const {
    std::ofstream{path_ / name} << text;
    return (path_ / name).string();
  }

 private:
  std::filesystem::path path_;
};

const std::string main_head = "lesson: Main\naircraft: twin-freighter\nbegin: {external-power: \"on\"}\nsteps:\n";

// ---- steps ----

TEST(LessonLanguage, StepsHaveActorsObservationsAndQuestionsThatTheSimulationAnswers) {
  const lesson made = read(probe);
  ASSERT_EQ(made.steps.size(), 3U);
  EXPECT_EQ(made.steps[0].by, "loadmaster");
  EXPECT_EQ(made.steps[0].say, "The lever of forward goes to open.");
  EXPECT_THAT(made.steps[0].observe, ElementsAre("the pump gauge", "the lamp of the door"));
  EXPECT_EQ(made.steps[0].ask->answered_by, answer_kind::reason);
  EXPECT_EQ(made.steps[2].ask->answered_by, answer_kind::reading);
  listener heard;
  played(made, heard);
  ASSERT_EQ(heard.answers.size(), 2U);
  EXPECT_THAT(heard.answers[0], HasSubstr("the lever of forward was moved to open"));
  EXPECT_EQ(heard.answers[1], "0 psi");
}

TEST(LessonLanguage, AQuestionCanBeAnsweredByAnAlertOrATextOrNotAtAll) {
  const auto answers = [](const std::string& answer) {
    listener heard;
    played(read("lesson: A\naircraft: twin-freighter\nplant: quasi-static\nsteps:\n  - at: 0:00\n"
                "    do: steering disconnect\n    ask: Why?\n" +
                answer),
           heard);
    return heard.answers.empty() ? "none" : heard.answers[0];
  };
  EXPECT_THAT(answers("    answer: alert steering\n"), HasSubstr("[STR-1]"));
  EXPECT_EQ(answers("    answer: Because the tug needs it.\n"), "Because the tug needs it.");
  EXPECT_EQ(answers("    answer: port temperature\n"), "not known");
  EXPECT_EQ(answers(""), "");
}

TEST(LessonLanguage, AnAnswerThatIsNearlyANameIsASlip) {
  expect_wrong("answer: cargo-pump", "answer: crago-pump", {"lesson-answer", 16, 13, "did you mean \"cargo-pump\"?"});
  expect_wrong("answer: port pressure", "answer: port presure", {"lesson-answer", 28, 13, "did you mean \"pressure\"?"});
  expect_wrong("answer: cargo-pump", "answer: alert sterring", {"lesson-answer", 16, 19, "did you mean \"steering\"?"});
  expect_wrong("    ask: Why does the pump run?\n", "", {"lesson-missing", 15, 13, "no question"});
}

TEST(LessonLanguage, AnActorIsAFewWords) {
  expect_wrong("by: loadmaster", "by: ''", {"lesson-value", 11, 10, "few words"});
  expect_wrong("by: loadmaster", "by: " + std::string(41, 'x'), {"lesson-value", 11, 9, "at most 40"});
  expect_wrong("by: loadmaster", "by: [a]", {"lesson-form", 11, 9, "by must be a text"});
}

// ---- waiting ----

TEST(LessonLanguage, AStepWaitsForItsConditionsAndTheNextCountsFromThere) {
  listener heard;
  const lesson made = read(probe);
  const lesson_result result = played(made, heard);
  // 0:10 and 25 s of travel; the pressure goes at the same time.
  EXPECT_THAT(heard.begins, ElementsAre(10'000U, 35'000U, 40'000U));
  EXPECT_FALSE(result.timed_out);
  EXPECT_EQ(result.at_end.chronicle.now, 180'000U);
  EXPECT_EQ(made.steps[1].start, step_start::when);
  EXPECT_EQ(made.steps[1].longest_wait, 1min);
  EXPECT_EQ(made.steps[2].at, 15s) << "the earliest that is possible";
}

TEST(LessonLanguage, WaitsAndLooksAtTheQuantitiesOfTheFluidPlant) {
  listener heard;
  // 3000 psi is what the layout works at; how it gets there is the plant's business.
  const lesson made = read("lesson: A door\naircraft: twin-freighter\nplant: fluid\nbegin: {external-power: \"on\"}\n"
                           "steps:\n  - at: 0:10\n    do: lever forward open\n    expect:\n"
                           "      - within 20 s: port pressure above 2000 psi\n"
                           "      - in this order: [port pressure above 500 psi, port pressure above 1500 psi]\n"
                           "      - never for 1 min: port pressure above 4000 psi\n"
                           "  - when: port pressure above 2000 psi\n"
                           "  - when: forward is at-end\n"
                           "  - when: port pressure below 100 psi\n");
  const lesson_result result = played(made, heard);
  EXPECT_EQ(result.margins.size(), 2U);
  ASSERT_EQ(heard.begins.size(), 4U);
  EXPECT_GT(heard.begins[1], heard.begins[0]);
  EXPECT_GT(heard.begins[3], heard.begins[2]);
}

TEST(LessonLanguage, HasTheFluidPlantUnlessItNamesAnother) {
  EXPECT_EQ(read(main_head + "  - at: 0:00\n").plant, plant_kind::fluid);
  for (const plant_kind kind : {plant_kind::none, plant_kind::quasi_static, plant_kind::fluid}) {
    EXPECT_EQ(read(main_head + "  - at: 0:00\nplant: " + std::string{word(kind)} + "\n").plant, kind);
  }
}

TEST(LessonLanguage, AConditionThatIsSoAlreadyIsNotWaitedFor) {
  listener heard;
  played(read(main_head + "  - at: 0:05\n  - when: port is off\n  - when: no alerts\n"), heard);
  EXPECT_THAT(heard.begins, ElementsAre(5'000U, 5'000U, 5'000U));
}

TEST(LessonLanguage, AConditionThatNeverComesEndsTheLessonAndSaysHowItStood) {
  listener heard;
  const lesson made = read(main_head +
                           "  - at: 0:05\n    expect: {within 3 min: port is normal}\n"
                           "  - when: [port is normal, keel pressure above 1 psi, keel is off]\n    within: 20 s\n"
                           "  - after: 1 s\n    say: not played\n");
  const lesson_result result = play(made, heard);
  EXPECT_TRUE(result.timed_out);
  EXPECT_EQ(heard.begins.size(), 1U);
  EXPECT_EQ(result.at_end.chronicle.now, 25'000U);
  ASSERT_EQ(result.failures.size(), 2U);
  EXPECT_THAT(result.failures[0].expected.words,
              HasSubstr("when: port is normal, keel pressure above 1 psi, keel is off (the step waited 20 s"));
  EXPECT_EQ(result.failures[0].found, "port is normal: off, keel pressure above 1 psi: 0 psi");
  EXPECT_EQ(result.failures[0].expected.where.line, 7U);
  EXPECT_EQ(result.failures[1].expected.words, "within 3 min: port is normal");
}

TEST(LessonLanguage, AStepWaitsTenMinutesIfNothingElseIsSaid) {
  listener heard;
  const lesson_result result = play(read(main_head + "  - when: port is normal\n"), heard);
  EXPECT_TRUE(result.timed_out);
  EXPECT_EQ(result.at_end.chronicle.now, 600'000U);
}

TEST(LessonLanguage, ATimeBehindAWaitMustBeLaterThanTheWaitCanBe) {
  expect_wrong("  - after: 5 s\n", "  - at: 1:00\n", {"lesson-time", 26, 9, "can be as late as 01:10.0"});
  const lesson made = read(with(probe, "  - after: 5 s\n", "  - at: 1:10\n"));
  EXPECT_EQ(made.steps[2].at, 70s);
  expect_wrong("end: 3:00", "end: 1:14", {"lesson-time", 8, 6, "the last step, which is at 01:15.0"});
  expect_wrong("  - after: 5 s\n", "  - after: 5 s\n    within: 5 s\n", {"lesson-form", 27, 13, "\"when\""});
  expect_wrong("    within: 1 min\n", "    within: 25 h\n", {"time-form", 24, 13, "more than 24 h"});
  expect_wrong("never until 2:00", "never until 0:09", {"lesson-time", 21, 9, "before the step itself"});
}

// ---- parameters ----

TEST(LessonLanguage, ParametersHaveDefaultsThatTheCallerCanReplace) {
  const lesson usual = read(probe);
  const lesson other = read(probe, {{"door", "aft"}, {"hold", "40 s"}});
  EXPECT_EQ(usual.steps[0].event_words[0], "lever forward open");
  EXPECT_EQ(other.steps[0].event_words[0], "lever aft open");
  EXPECT_EQ(other.steps[0].expectations[1].span, 40s);
  ASSERT_EQ(other.parameters.size(), 2U);
  EXPECT_EQ(other.parameters[0].value, "aft");
}

TEST(LessonLanguage, OneParameterCanFollowAnother) {
  const std::string text = with(probe, "  hold: 30 s\n",
                                "  hold: {by: door, forward: 30 s, aft: '${door} never'}\n  other: the ${door} door\n");
  EXPECT_EQ(read(text).parameters[1].value, "30 s");
  EXPECT_EQ(read(text).parameters[2].value, "the forward door");
  expect_complaint(lesson_from_yaml(text, "probe.yaml", {{"door", "froward"}}),
                   {"lesson-parameter", 7, 3, "did you mean \"forward\"?"});
  expect_complaint(lesson_from_yaml(text, "probe.yaml", {{"door", "aft"}}), {"time-form", 20, 16, "aft never"});
}

TEST(LessonLanguage, RefusesParametersThatAreNoneOrHaveNoValue) {
  expect_wrong("say: The lever of ${door}", "say: The lever of ${dor}",
               {"lesson-parameter", 12, 10, "did you mean \"door\"?"});
  expect_wrong("say: The lever of ${door}", "say: The lever of ${door", {"lesson-parameter", 12, 10, "no \"}\" follows"});
  expect_wrong("  hold: 30 s", "  hold:", {"lesson-parameter", 7, 3, "\"hold\" has no value"});
  expect_wrong("  hold: 30 s", "  Hold: 30 s", {"lesson-parameter", 7, 3, "lower case"});
  expect_wrong("  hold: 30 s", "  hold: [30 s]", {"lesson-form", 7, 9, "must be a text"});
  expect_wrong("  hold: 30 s", "  hold: {of: door}", {"lesson-parameter", 7, 9, "no \"by\""});
  expect_wrong("  hold: 30 s", "  hold: {by: dor}", {"lesson-parameter", 7, 14, "did you mean \"door\"?"});
  expect_wrong("  hold: 30 s", "  hold: " + std::string(201, '9'), {"lesson-parameter", 7, 3, "at most 200"});
  expect_complaint(lesson_from_yaml(probe, "probe.yaml", {{"holds", "1 s"}}),
                   {"lesson-parameter", 0, 0, "did you mean \"hold\"?"});
  expect_complaint(lesson_from_yaml(probe, "probe.yaml", {{"hold", ""}}), {"lesson-parameter", 0, 0, "no value"});
  expect_complaint(lesson_from_yaml(main_head + "  - at: 0:00\n", "x.yaml", {{"a", "b"}}),
                   {"lesson-parameter", 0, 0, "x.yaml has none"});
}

TEST(LessonLanguage, ADollarAndABraceCanBeWritten) {
  const lesson made = read(with(probe, "say: The lever of ${door}", "say: Costs $5, $${door} or ${door}"));
  EXPECT_EQ(made.steps[0].say, "Costs $5, ${door} or forward goes to open.");
}

TEST(LessonLanguage, ParametersCannotGrowALessonWithoutEnd) {
  std::string text = "lesson: A\naircraft: small-twin\nparameters: {a: " + std::string(200, 'x') + "}\nsteps:\n";
  std::string many;
  for (int i = 0; i < 1000; ++i) many += "${a}";
  for (int i = 0; i < 200; ++i) text += "  - {at: 0:00, say: \"" + many + "\"}\n";
  const auto made = lesson_from_yaml(text, "x.yaml");
  ASSERT_FALSE(made);
  EXPECT_EQ(made.problem().id, "lesson-limit");
}

// ---- includes ----

const std::string part = R"(parameters:
  door:
  hold: 2 s
steps:
  - at: 0:02
    say: Lever of ${door}.
    do: lever ${door} open
    expect: {never until 0:05: port is normal}
  - after: ${hold}
    do: lever ${door} neutral
)";

TEST(LessonLanguage, StepsOfAnotherFileStandWhereTheyAreIncluded) {
  const folder here;
  here.write("parts/door.yaml", part);
  here.write("parts/both.yaml",
             "steps:\n  - {include: door.yaml, with: {door: forward}}\n"
             "  - {include: door.yaml, with: {door: aft, hold: 3 s}}\n");
  const std::string top = here.write("main.yaml", main_head +
                                                      "  - at: 0:10\n  - include: parts/both.yaml\n"
                                                      "  - after: 1 s\n    say: behind it\n");
  const auto made = load_lesson(top);
  ASSERT_TRUE(made) << to_string(made.problem());
  listener heard;
  played(*made, heard);
  EXPECT_THAT(heard.begins, ElementsAre(10'000U, 12'000U, 14'000U, 16'000U, 19'000U, 20'000U));
  EXPECT_THAT(heard.said, ElementsAre("", "Lever of forward.", "", "Lever of aft.", "", "behind it"));
  EXPECT_EQ(made->steps[1].expectations[0].end, 15s);
  EXPECT_THAT(made->steps[1].where.file, HasSubstr("door.yaml"));
}

TEST(LessonLanguage, AnIncludedFileBehindAWaitCountsFromWhereItBegins) {
  const folder here;
  here.write("door.yaml", with(part, "    expect: {never until 0:05: port is normal}\n", ""));
  const std::string top = here.write("main.yaml",
                                     main_head +
                                         "  - at: 0:10\n    do: lever forward open\n"
                                         "  - when: forward is at-end\n    within: 1 min\n    say: Now the other.\n"
                                         "    include: door.yaml\n    with: {door: aft}\nplant: quasi-static\n");
  const auto made = load_lesson(top);
  ASSERT_TRUE(made) << to_string(made.problem());
  listener heard;
  played(*made, heard);
  EXPECT_THAT(heard.begins, ElementsAre(10'000U, 35'000U, 37'000U, 39'000U));

  here.write("door.yaml", part);
  const auto clock = load_lesson(top);
  ASSERT_FALSE(clock);
  EXPECT_EQ(clock.problem().id, "lesson-time");
  here.write("door.yaml", "parameters: {door: forward}\nsteps:\n  - when: port is off\n  - at: 0:05\n");
  const auto behind = load_lesson(top);
  ASSERT_FALSE(behind);
  EXPECT_THAT(to_string(behind.problem()), HasSubstr("door.yaml:4:9: a step above waits"));
}

void expect_include_wrong(const std::string& first, const complaint_wanted& wanted, const std::string& second = part) {
  SCOPED_TRACE(first);
  const folder here;
  here.write("second.yaml", second);
  const std::string top = here.write("main.yaml", main_head + first);
  expect_complaint(load_lesson(top), wanted);
}

TEST(LessonLanguage, RefusesIncludesThatCannotBe) {
  expect_include_wrong("  - include: secnd.yaml\n", {"file-read", 5, 14, "secnd.yaml"});
  expect_include_wrong("  - include: turnaruond\n", {"lesson-unknown", 5, 14, "did you mean \"turnaround\"?"});
  expect_include_wrong("  - include: second.yaml\n", {"lesson-parameter", 2, 3, "\"door\" has no value"});
  expect_include_wrong("  - include: second.yaml\n    with: {dor: aft}\n", {"lesson-parameter", 2, 3, "has no value"});
  expect_include_wrong("  - include: second.yaml\n    with: {door: aft, hld: 1 s}\n",
                       {"lesson-parameter", 6, 23, "did you mean \"hold\"?"});
  expect_include_wrong("  - include: second.yaml\n    with: {door: aft, hold: '-1 s'}\n", {"time-form", 9, 12, "negative"});
  expect_include_wrong("  - include: second.yaml\n", {"lesson-include", 1, 11, "is for \"small-twin\""},
                       "aircraft: small-twin\nsteps: [at: 0:00]\n");
  expect_include_wrong("  - include: second.yaml\n", {"lesson-include", 1, 8, "another plant"},
                       "plant: none\nsteps: [at: 0:00]\n");
  expect_include_wrong("  - include: second.yaml\n", {"lesson-include", 1, 8, "has begun"},
                       "begin: {}\nsteps: [at: 0:00]\n");
  expect_include_wrong("  - include: second.yaml\n", {"lesson-missing", 1, 1, "no steps"}, "story: None.\n");
  expect_include_wrong("  - include: second.yaml\n", {"yaml-empty", 1, 1, "empty"}, "");
  expect_include_wrong("  - include: second.yaml\n", {"lesson-key", 1, 1, "did you mean \"steps\"?"}, "step: []\n");
  expect_include_wrong("  - include: [second.yaml]\n", {"lesson-form", 5, 14, "include must be"});
  expect_include_wrong("  - with: {a: b}\n    at: 0:00\n", {"lesson-missing", 5, 5, "no \"include\""});
}

TEST(LessonLanguage, RefusesFilesThatIncludeOneAnotherInACircleOrTooDeep) {
  expect_include_wrong("  - include: main.yaml\n", {"lesson-include", 5, 14, "main -> main"});
  expect_include_wrong("  - include: second.yaml\n", {"lesson-include", 1, 18, "main -> second -> main"},
                       "steps: [include: ./main.yaml]\n");
  const folder here;
  for (int i = 1; i < 12; ++i) {
    here.write(std::to_string(i) + ".yaml", "steps: [include: " + std::to_string(i + 1) + ".yaml]\n");
  }
  expect_complaint(load_lesson(here.write("main.yaml", main_head + "  - include: 1.yaml\n")),
                   {"lesson-include", 1, 18, "deeper than 8: main -> 1 -> 2"});
}

TEST(LessonLanguage, IncludesCannotGrowALessonBeyondItsLimit) {
  const folder here;
  // Each file includes the next one thirty times: 30 to the sixth power.
  for (int i = 1; i < 7; ++i) {
    std::string text = "steps:\n";
    const std::string step = i < 6 ? "include: " + std::to_string(i + 1) + ".yaml" : "after: 0 s";
    for (int k = 0; k < 30; ++k) text += "  - " + step + "\n";
    here.write(std::to_string(i) + ".yaml", text);
  }
  const auto made = load_lesson(here.write("main.yaml", main_head + "  - include: 1.yaml\n"));
  ASSERT_FALSE(made);
  EXPECT_EQ(made.problem().id, "lesson-limit");
}

TEST(LessonLanguage, BothTurnaroundsAreOneLesson) {
  listener heard;
  for (const char* engine : {"engine-1", "engine-2"}) {
    const auto made = load_lesson("turnaround", {{"first", engine}});
    ASSERT_TRUE(made) << to_string(made.problem());
    EXPECT_THAT(made->title, HasSubstr(std::string{engine} + " first"));
    played(*made, heard);
    auto shipped = load_lesson(std::string{engine} == "engine-1" ? "turnaround-1-2" : "turnaround-2-1");
    ASSERT_TRUE(shipped) << to_string(shipped.problem());
    shipped->title = made->title;
    shipped->story = made->story;
    EXPECT_TRUE(same_lesson(*made, *shipped));
  }
  const auto third = load_lesson("turnaround", {{"first", "engine-3"}});
  ASSERT_FALSE(third);
  EXPECT_THAT(third.problem().message, HasSubstr("did you mean \"engine-1\"?"));
}

// ---- what cannot be met ----

TEST(LessonLanguage, RefusesExpectationsThatContradictOneAnother) {
  const auto wrong = [](const std::string& steps, const complaint_wanted& wanted) {
    SCOPED_TRACE(steps);
    expect_complaint(lesson_from_yaml(main_head + steps, "x.yaml"), wanted);
  };
  const std::string head = "  - at: 0:01\n    expect:\n      - ";
  const std::string id = "lesson-contradiction";
  wrong(head + "port is off\n      - port is normal\n", {id, 8, 9, "port cannot be both off and normal"});
  wrong(head + "port is off\n      - port is not off\n", {id, 8, 9, "port cannot be off and not off, which is asked for in line 7"});
  wrong(head + "no alerts\n      - alert steering is caution\n", {id, 8, 9, "cannot both be so"});
  wrong(head + "alert steering is caution\n      - alert steering is advisory\n",
        {id, 8, 9, "alert steering cannot be both caution and advisory"});
  wrong(head + "no alerts\n      - not: no alerts\n", {id, 8, 14, "cannot both be so"});
  wrong(head + "port pressure above 20 psi\n      - port pressure below 1 bar\n", {id, 8, 9, "port pressure cannot be"});
  wrong(head + "for 5 s: port is off\n      - port is normal\n", {id, 7, 18, "port cannot be both"});
  wrong(head + "never for 5 s: port is off\n      - port is off\n", {id, 7, 24, "off and not off"});
  wrong(head + "always until 0:09: port is off\n  - at: 0:08\n    expect: port is normal\n", {id, 9, 13, "in line 7"});
  wrong("  - when: [port is off, port is normal]\n", {id, 5, 25, "port cannot be both"});
  wrong(head + "port quantity between 5 and 3 L\n", {id, 7, 31, "the least, 5 L, is above the most, 3 L"});
  // These can be.
  const auto good = [](const std::string& steps) {
    const auto made = lesson_from_yaml(main_head + steps, "x.yaml");
    EXPECT_TRUE(made) << to_string(made.problem()) << steps;
  };
  good(head + "port is not normal\n      - port is not low\n      - port level is normal\n");
  good(head + "always until 0:09: port is off\n  - at: 0:09\n    expect: port is normal\n");
  good(head + "within 5 s: port is off\n      - port is normal\n");
  good(head + "port pressure above 20 psi\n      - port pressure below 30 psi\n");
  good(head + "no alerts\n      - alert steering is none\n");
}

TEST(LessonLanguage, RefusesQuantitiesThatMeanNothing) {
  const auto wrong = [](const std::string& words, std::uint32_t column, const std::string& says) {
    expect_wrong("expect: [port pressure below 10 psi,", "expect: [" + words + ",", {"lesson-expect", 29, column, says});
  };
  wrong("port presure below 10 psi", 19, "\"below\" compares a quantity; port has pressure, quantity and temperature");
  wrong("cargo-pump above 3 psi", 25, "cargo-pump has flow");
  wrong("port is above 3 psi", 22, "compares a quantity");
  wrong("bus-1 pressure above 3 psi", 20, "bus-1 has none");
  wrong("port pressure above", 28, "missing at the end");
  wrong("port pressure above 3", 34, "has no unit; possible: psi, bar, kPa or MPa");
  wrong("port pressure above 3 pis", 34, "did you mean \"psi\"?");
  wrong("port pressure above 3 L", 34, "no unit \"L\"");
  wrong("port pressure above -3 psi", 34, "not negative");
  wrong("port pressure between -3 psi and -1 psi", 47, "not negative");
  wrong("port pressure above x psi", 34, "not a number");
  wrong("port pressure above 1e3 psi", 34, "no unit \"e3\"");
  wrong("port pressure above 1.2.3 psi", 34, "not a number");
  wrong("port pressure above 3 psi now", 40, "one word too many");
  wrong("port pressure is 3000 psi", 31, "say how near, such as: 3000 psi +- 50 psi");
  wrong("port pressure between 1 2 psi", 28, "between 1 L and 2 L");
  wrong("port pressure is", 28, "no quantity");
  wrong("port pressure runs", 28, "has no meaning here");
  wrong("port runs", 19, "only pumps and engines run");
  wrong("cargo-pump runs now", 30, "one word too many");
  wrong("port is off because AUX-11", 34, "did you mean \"AUX-1\"?");
  wrong("port is off because", 26, "no rule after");
  wrong("port pressure above 3 psi because CIR-1", 19, "not with a quantity");
  expect_wrong("within ${hold}:", "withn ${hold}:", {"lesson-form", 19, 9, "did you mean \"within\"?"});
  expect_wrong("within ${hold}:", "within soon:", {"time-form", 19, 16, "behind \"within\""});
  expect_wrong("never until 2:00:", "always until:", {"time-form", 21, 9, "there is nothing"});
  expect_wrong("in this order: [port is partial, forward is at-end, port is off]", "in this order: port is off",
               {"lesson-form", 22, 24, "two phrases or more"});
  expect_wrong("port is partial until ${door} is at-end", "port is partial until", {"lesson-expect", 20, 30, "empty"});
}

// ---- cut files, wrong encodings, long lessons ----

// ---- what an expectation shows ----

TEST(LessonLanguage, AnExpectationSaysWhichRulesItShows) {
  const auto rules_of = [](const lesson& made) {
    std::vector<std::vector<std::string>> all;
    for (const expectation& one : made.steps[2].expectations) all.push_back(one.shows);
    return all;
  };
  const std::string was = "expect: [port pressure below 10 psi, forward position is 100 % +- 0.5 %]";
  const auto marked = [&](const std::string& expect) { return read(with(probe, was, "expect:" + expect)); };
  const lesson one = marked("\n      - now: port is off\n        shows: GEN-1\n      - keel is off\n");
  EXPECT_EQ(rules_of(one), (std::vector<std::vector<std::string>>{{"GEN-1"}, {}}));
  EXPECT_EQ(one.steps[2].expectations[0].form, expectation_form::now);
  const lesson some = marked("\n      - shows: [GEN-3, STR-3, GEN-3]\n        now: [port is off, not: port is normal]\n"
                             "        never until end: port is partial\n        not: keel is normal\n");
  EXPECT_EQ(rules_of(some), (std::vector<std::vector<std::string>>(4, {"GEN-3", "STR-3"})));
  EXPECT_TRUE(some.steps[2].expectations[3].phrases[0].negated);
  const lesson within = marked("\n      - now: {within 1 s: port is off, shows: GEN-1}\n        shows: [GEN-3]\n");
  EXPECT_EQ(rules_of(within), (std::vector<std::vector<std::string>>{{"GEN-1", "GEN-3"}}));
  const lesson until = marked(" {now: port is off until keel is off, shows: GEN-1}\n");
  for (const lesson& each : {one, some, within, until}) {
    listener heard;
    played(each, heard);
    const lesson again = read(lesson_to_yaml(each));
    EXPECT_TRUE(same_lesson(each, again)) << lesson_to_yaml(each);
    EXPECT_EQ(rules_of(each), rules_of(again));
    EXPECT_FALSE(same_lesson(each, read(probe)));
  }
}

TEST(LessonLanguage, RefusesMarksOfNothing) {
  const auto wrong = [](const std::string& expect, const complaint_wanted& wanted) {
    expect_wrong("expect: [port pressure below 10 psi,", "expect: [" + expect + ",", wanted);
  };
  wrong("{now: port is off, shows: GEN-33}", {"lesson-rule", 29, 40, "did you mean \"GEN-3\"?"});
  wrong("{now: port is off, shows: [GEN-3, steering]}", {"lesson-rule", 29, 48, "there is no rule \"steering\""});
  wrong("{shows: GEN-3}", {"lesson-missing", 29, 22, "there is none beside it"});
  wrong("{now: port is off, shows: {rule: GEN-3}}", {"lesson-form", 29, 40, "shows"});
  wrong("{now: port is of}", {"lesson-expect", 29, 28, "did you mean \"off\"?"});
  wrong("{show: GEN-3}", {"lesson-form", 29, 15, "did you mean \"shows\"?"});
}

TEST(LessonLanguage, ServicingIsJudgedAndToldByTheFluid) {
  const std::string text = "lesson: Levels\naircraft: twin-freighter\nbegin: {external-power: \"on\"}\nsteps:\n"
                           "  - at: 0:10\n    ask: Is there enough in port?\n    answer: port servicing\n"
                           "    expect: [port servicing is complete, starboard servicing is complete]\n"
                           "  - at: 0:20\n    do: [lever forward open, inject reservoir-leak starboard 100 mL/s]\n"
                           "    expect:\n      - within 2 s: port servicing is not-valid\n"
                           "      - starboard servicing is complete until starboard servicing is add\n"
                           "  - at: 0:40\n    ask: And in starboard?\n    answer: starboard servicing\n"
                           "    expect: [port servicing is not complete, starboard servicing is add]\n";
  const lesson made = read(text);
  listener heard;
  EXPECT_EQ(played(made, heard).expectations, 6U);
  ASSERT_EQ(heard.answers.size(), 2U);
  EXPECT_EQ(heard.answers[0], "port holds 21.9 L, expected now 21.9 L: nothing to add [LVL-5]");
  EXPECT_EQ(heard.answers[1], "starboard holds 18.0 L, expected now 20.0 L: add 2.0 L [LVL-5]");
  EXPECT_TRUE(same_lesson(made, read(lesson_to_yaml(made))));
  // Another plant does not know.
  const lesson without = read(with(text, "steps:", "plant: quasi-static\nsteps:"));
  lesson_audience nobody;
  const lesson_result result = play(without, nobody);
  ASSERT_FALSE(result.failures.empty());
  EXPECT_EQ(result.failures[0].found, "?");
}

TEST(LessonLanguage, AFileWithAnEndMarkThatIsCutAnywhereIsRefused) {
  for (const std::string& whole : {probe, lesson_to_yaml(read(probe))}) {
    ASSERT_TRUE(lesson_from_yaml(whole, "x"));
    // The mark itself may lose its end of line.
    for (std::size_t length = 0; length + 2 < whole.size(); ++length) {
      const auto cut = lesson_from_yaml(std::string_view{whole}.substr(0, length), "x");
      EXPECT_FALSE(cut) << "cut behind " << length << " bytes, and nobody noticed:\n" << whole.substr(0, length);
      if (cut) return;
    }
  }
  expect_wrong("...\n", "", {"lesson-cut", 3, 11, "it was cut"});
  expect_wrong("end-mark: yes", "end-mark: perhaps", {"lesson-value", 3, 11, "yes or no"});
  EXPECT_TRUE(lesson_from_yaml(with(with(probe, "end-mark: yes", "end-mark: no"), "...\n", ""), "x"));
}

TEST(LessonLanguage, RefusesOtherEncodings) {
  expect_wrong("The lever", "The l\xE8ver", {"yaml-encoding", 12, 15, "not UTF-8"});
  const std::string sixteen{"\xFF\xFEl\0e\0s\0", 8};
  expect_complaint(lesson_from_yaml(sixteen, "x"), {"yaml-encoding", 1, 1, "UTF-8"});
}

TEST(LessonLanguage, AHundredThousandStepsAreReadAndPlayed) {
  std::string text = "lesson: Long\naircraft: small-twin\nsteps:\n";
  constexpr std::size_t many = 100'000;
  for (std::size_t i = 0; i < many / 2; ++i) {
    text += "  - after: 400 ms\n    do: external-power on\n    expect: {within 1 s: main-bus is powered}\n";
    text += "  - after: 400 ms\n    do: external-power off\n    expect: {for 300 ms: main-bus is dead}\n";
  }
  const lesson made = read(text);
  ASSERT_EQ(made.steps.size(), many);
  listener heard;
  EXPECT_EQ(played(made, heard).expectations, many);
}

// ---- writing ----

TEST(LessonWriter, EveryShippedLessonReadsBackTheSame) {
  for (const shipped_file& one : shipped_lessons()) {
    const auto made = load_lesson(std::string{one.name});
    ASSERT_TRUE(made) << to_string(made.problem());
    const std::string text = lesson_to_yaml(*made);
    const auto again = lesson_from_yaml(text, std::string{one.name} + ".yaml");
    ASSERT_TRUE(again) << to_string(again.problem()) << text.substr(0, 2000);
    EXPECT_TRUE(same_lesson(*made, *again)) << text.substr(0, 2000);
    EXPECT_EQ(lesson_to_yaml(*again), text);
  }
}

TEST(LessonWriter, EveryKeyAndPhraseReadsBackTheSame) {
  const lesson made = read(probe);
  EXPECT_TRUE(same_lesson(made, read(lesson_to_yaml(made))));
  lesson odd = made;
  odd.title = "Quotes \" and \\ and ${this}: # - \xC3\xA9";
  odd.story = "Two\nlines ";
  odd.plant = plant_kind::fluid;
  odd.ends_by_itself = true;
  ASSERT_FALSE(work_out_times(odd));
  odd.begin = reposition_of_cold_and_dark(odd.aircraft);
  odd.begin->in_flight = true;
  odd.begin->gear_down = false;
  odd.begin->parking_brake_set = false;
  odd.begin->airspeed = airspeed_band::fast;
  odd.begin->engine_runs = {true, true};
  odd.begin->electric_pump_switches[0] = pump_switch::off;
  odd.begin->unit_on[0] = false;
  odd.begin->levels[1] = fluid_level::low;
  EXPECT_TRUE(same_lesson(odd, read(lesson_to_yaml(odd)))) << lesson_to_yaml(odd);
}

TEST(LessonWriter, TellsLessonsApart) {
  const lesson made = read(probe);
  for (const auto& [part_of, instead] : std::vector<std::pair<std::string, std::string>>{
           {"goes to open", "goes open"},
           {"by: loadmaster", "by: captain"},
           {"the lamp of the door", "the lamp"},
           {"Why does", "How does"},
           {"answer: cargo-pump", "answer: keel-pump"},
           {"lever ${door} open", "lever aft open"},
           {"because CGO-1", "because CGO-14"},
           {"hold: 30 s", "hold: 31 s"},
           {"within 1 min", "within 2 min"},
           {"within: 1 min", "within: 2 min"},
           {"port is off]\n    within", "port is not off]\n    within"},
           {"below 10 psi", "below 11 psi"},
           {"below 10 psi", "is not below 10 psi"},
           {"after: 5 s", "after: 6 s"},
           {"end: 3:00", "end: 3:01"},
           {"\"on\"", "\"off\""}}) {
    if (probe.find(part_of) == std::string::npos) continue;
    EXPECT_FALSE(same_lesson(made, read(with(probe, part_of, instead)))) << part_of;
  }
}

TEST(LessonWriter, WritesALessonThatWasChangedByHand) {
  lesson made = read(probe);
  const auto door = *made.aircraft.find("aft");
  lesson_step more;
  more.start = step_start::after;
  more.after = 3s;
  more.events = {events::lever(door.index, lever_position::open), events::inject(fault::pump_failed, events::electric_pump(0))};
  made.steps.insert(made.steps.begin() + 1, more);
  ASSERT_FALSE(work_out_times(made));
  EXPECT_EQ(made.steps[1].at, 13s);
  const lesson again = read(lesson_to_yaml(made));
  EXPECT_TRUE(same_lesson(made, again));
  ASSERT_EQ(again.steps[1].event_words.size(), 2U);
  EXPECT_EQ(again.steps[1].event_words[0], "lever aft open");

  made.steps[0].at = 20s;
  made.steps[1].start = step_start::at;
  const auto backwards = work_out_times(made);
  ASSERT_TRUE(backwards);
  EXPECT_EQ(backwards->id, "lesson-time");
  made.steps[1].start = step_start::after;
  made.steps[1].after = -1s;
  const auto negative = work_out_times(made);
  ASSERT_TRUE(negative);
  EXPECT_THAT(negative->message, HasSubstr("must not run backwards"));
}

TEST(LessonPhrases, WordsReadBackToTheSamePhrase) {
  const auto of = load_layout("twin-freighter");
  ASSERT_TRUE(of);
  for (const auto& [words, canonical] : std::vector<std::pair<std::string, std::string>>{
           {"port is partial", "port is partial"},
           {"port status is not partial", "port is not partial"},
           {"port level is low", "port level is low"},
           {"not: port is low", "port is not low"},
           {"keel-pump runs because AUX-1", "keel-pump is delivering because AUX-1"},
           {"engine-1 runs", "engine-1 is running"},
           {"ram-air runs", "ram-air is deployed"},
           {"alert steering is caution", "alert steering is caution"},
           {"alert quantity keel is not advisory because LVL-3", "alert quantity keel is not advisory because LVL-3"},
           {"no alerts", "no alerts"},
           {"not: no alerts", "not: no alerts"},
           {"brake-store is 7", "brake-store is 7"},
           {"port pressure is 3000 psi +- 50 psi", "port pressure is between 2950 and 3050 psi"},
           {"port pressure is 3000 \xC2\xB1 50psi", "port pressure is between 2950 and 3050 psi"},
           {"port pressure is not 3000psi +/- 50", "port pressure is not between 2950 and 3050 psi"},
           {"starboard quantity above 18 L", "starboard quantity is above 18 L"},
           {"starboard quantity is not below 500 mL", "starboard quantity is not below 0.5 L"},
           {"keel temperature between -40 and 212 degF", "keel temperature is between -40 and 100 degC"},
           {"cargo-pump flow above 10 L/min", "cargo-pump flow is above 10 L/min"},
           {"engine-1 speed above 60 %", "engine-1 speed is above 60 %"}}) {
    const auto once = phrase_from_words(*of, words);
    ASSERT_TRUE(once) << words << ": " << to_string(once.problem());
    EXPECT_EQ(words_of(*of, *once), canonical);
    const auto twice = phrase_from_words(*of, words_of(*of, *once));
    ASSERT_TRUE(twice) << canonical << ": " << to_string(twice.problem());
    EXPECT_TRUE(same_phrase(*once, *twice)) << words;
  }
}

TEST(LessonPhrases, AnyLimitReadsBackToTheSameBits) {
  const auto of = load_layout("twin-freighter");
  ASSERT_TRUE(of);
  for (const char* words : {"port pressure above 123.456 bar", "port quantity between 0.1 and 4.7 gal",
                            "port temperature is 33.3 degF +- 0.7", "keel-pump flow below 0.003 gal/min",
                            // what is wide enough reaches below zero
                            "forward position is 0 % +- 0.1 %", "port pressure is 0.3 bar +- 0.7 bar",
                            "port quantity is 0 L +- 0 mL"}) {
    const auto once = phrase_from_words(*of, words);
    ASSERT_TRUE(once) << words;
    const auto twice = phrase_from_words(*of, words_of(*of, *once));
    ASSERT_TRUE(twice) << words_of(*of, *once);
    EXPECT_TRUE(same_phrase(*once, *twice)) << words_of(*of, *once);
  }
}

// ---- the reference in README.md ----

TEST(LessonReadme, EveryLessonInItIsReadAndPlayedWithEverythingMet) {
  std::ifstream file{std::string{PENSTOCK_SOURCE_FOLDER} + "/README.md"};
  std::string line;
  std::string text;
  bool inside = false;
  std::size_t lessons = 0;
  std::set<std::pair<expectation_form, phrase_kind>> shown;
  while (std::getline(file, line)) {
    if (line == "```yaml") {
      inside = true;
      text.clear();
    } else if (inside && line == "```") {
      inside = false;
      if (!text.starts_with("lesson:")) continue;  // such as properties to prove
      ++lessons;
      const lesson made = read(text);
      listener heard;
      EXPECT_GT(played(made, heard).expectations, 0U);
      EXPECT_TRUE(same_lesson(made, read(lesson_to_yaml(made))));
      for (const lesson_step& step : made.steps) {
        for (const expectation& one : step.expectations) shown.insert({one.form, one.phrases.front().kind});
      }
    } else if (inside) {
      text += line + '\n';
    }
  }
  EXPECT_EQ(lessons, 3U);
  for (std::size_t form = 0; form <= static_cast<std::size_t>(expectation_form::in_order); ++form) {
    EXPECT_TRUE(shown.contains({static_cast<expectation_form>(form), phrase_kind::property})) << form;
  }
  for (std::size_t kind = 0; kind <= static_cast<std::size_t>(phrase_kind::quantity); ++kind) {
    EXPECT_TRUE(shown.contains({expectation_form::now, static_cast<phrase_kind>(kind)})) << kind;
  }
}

// ---- the player ----

TEST(LessonPlayer, GoesStepByStepToTheSameEndAsInOneGo) {
  const auto made = load_lesson("turnaround");
  ASSERT_TRUE(made);
  listener whole;
  whole.every = 7s;
  const lesson_result in_one_go = play(*made, whole);
  listener stepwise;
  stepwise.every = 7s;
  lesson_player playing{*made, stepwise};
  std::size_t steps = 0;
  while (const lesson_step* next = playing.next_step()) {
    playing.play_step();
    EXPECT_EQ(playing.steps_done(), ++steps);
    EXPECT_EQ(playing.simulation().now().chronicle.now, next->at.count());
  }
  EXPECT_FALSE(playing.done());
  playing.play_step();
  EXPECT_TRUE(playing.done());
  playing.play_step();
  EXPECT_TRUE(playing.result().at_end == in_one_go.at_end);
  EXPECT_EQ(playing.result().expectations, in_one_go.expectations);
  EXPECT_EQ(stepwise.begins, whole.begins);
  EXPECT_EQ(stepwise.samples, whole.samples);
  EXPECT_EQ(whole.samples.size(), 52U * 60 / 7 + 1);
}

TEST(LessonPlayer, ACopyGoesOnByItself) {
  const lesson made = read(probe);
  listener heard;
  lesson_player playing{made, heard};
  playing.play_step();
  const lesson_player before = playing;
  while (!playing.done()) playing.play_step();
  listener other;
  lesson_player again = before;
  again.tell(other);
  EXPECT_EQ(again.simulation().now().chronicle.now, 10'000U);
  while (!again.done()) again.play_step();
  EXPECT_TRUE(again.result().at_end == playing.result().at_end);
  EXPECT_EQ(again.result().expectations, playing.result().expectations);
  EXPECT_THAT(again.result().failures, IsEmpty());
  EXPECT_THAT(other.begins, ElementsAre(35'000U, 40'000U));
}

TEST(LessonPlayer, StopsInTheMiddleOfAWaitAndGoesOn) {
  const lesson made = read(probe);
  listener heard;
  lesson_player playing{made, heard};
  for (const milliseconds stop : {12s, 20s, 30s}) {
    playing.play_to(stop);
    EXPECT_EQ(playing.simulation().now().chronicle.now, stop.count());
    EXPECT_EQ(playing.steps_done(), 1U);
  }
  while (!playing.done()) playing.play_step();
  EXPECT_THAT(heard.begins, ElementsAre(10'000U, 35'000U, 40'000U));
  EXPECT_THAT(playing.result().failures, IsEmpty());
}

TEST(LessonPlayer, ALessonMadeByHandThatCannotBeginIsOver) {
  lesson made = read(probe);
  made.begin->gear_down = false;  // on the ground
  listener heard;
  const lesson_result result = play(made, heard, 20s);
  ASSERT_EQ(result.failures.size(), 1U);
  EXPECT_EQ(result.failures[0].expected.words, "begin");
  EXPECT_EQ(result.at_end.chronicle.now, 0U);
}

TEST(LessonPlayer, ALessonMadeByHandWhoseTimeGoesTooFarIsOver) {
  lesson made = read(probe);
  made.steps[2].after = 30h;
  listener heard;
  const lesson_result result = play(made, heard);
  ASSERT_FALSE(result.failures.empty());
  EXPECT_EQ(result.failures[0].expected.words, "time goes on");
  EXPECT_EQ(heard.begins.size(), 2U);
}

}  // namespace
