// Lessons: what is read, every complaint with its place, and what playing tells.
#include "penstock/lesson.hpp"

#include <filesystem>
#include <fstream>

#include <gmock/gmock.h>

#include "files/complaints.hpp"
#include "penstock/layout_file.hpp"
#include "penstock/layouts.hpp"
#include "support/rule_test.hpp"

namespace {

using namespace penstock;
using namespace std::chrono_literals;
using penstock_tests::complaint_wanted;
using penstock_tests::expect_complaint;
using penstock_tests::with;

const std::string probe = R"(lesson: A door
aircraft: twin-freighter
story: |
  The forward door is opened on external power.
steps:
  - at: 0:00
    say: "Cold and dark."
    expect: [port is off, no alerts, cargo-pump is no-power]
  - at: 0:10
    do: external-power on
  - after: 5 s
    do: [lever forward open]
    expect:
      - port is partial
      - port service is service
      - cargo-pump demand is door
      - not: port is normal
      - port level is not low
  - at: 1:00
    do: lever forward neutral
    expect: [forward travel is open, port is off]
end: 1:30
plant: quasi-static
)";

lesson read(const std::string& text) {
  auto made = lesson_from_yaml(text, "probe.yaml");
  if (!made) {
    ADD_FAILURE() << to_string(made.problem());
    return {};
  }
  return *std::move(made);
}

void expect_wrong(std::string_view part, std::string_view instead, const complaint_wanted& wanted) {
  SCOPED_TRACE(std::string{instead.substr(0, 80)});
  expect_complaint(lesson_from_yaml(with(probe, part, instead), "probe.yaml"), wanted);
}

TEST(LessonFile, IsReadWithItsTimesEventsAndExpectations) {
  const lesson made = read(probe);
  EXPECT_EQ(made.name, "probe");
  EXPECT_EQ(made.title, "A door");
  EXPECT_EQ(made.aircraft.spec().name, "twin-freighter");
  ASSERT_EQ(made.steps.size(), 4U);
  EXPECT_EQ(made.steps[2].at, 15s);
  EXPECT_EQ(made.end, 90s);
  ASSERT_EQ(made.steps[2].events.size(), 1U);
  EXPECT_TRUE(made.steps[2].events[0] == events::lever(0, lever_position::open));
  EXPECT_EQ(made.steps[2].event_words[0], "lever forward open");
  EXPECT_EQ(made.steps[2].event_places[0].line, 12U);
  ASSERT_EQ(made.steps[2].expectations.size(), 5U);
  EXPECT_EQ(made.steps[2].expectations[0].phrases[0].attribute, "status");
  EXPECT_TRUE(made.steps[2].expectations[3].phrases[0].negated);
  EXPECT_TRUE(made.steps[2].expectations[4].phrases[0].negated);
  EXPECT_EQ(made.steps[0].expectations[1].phrases[0].kind, phrase_kind::no_alerts);
}

TEST(LessonFile, RefusesAMisspeltKeyAndNamesTheNearest) {
  expect_wrong("    say:", "    sya:", {"lesson-key", 7, 5, "did you mean \"say\"?"});
  expect_wrong("story:", "stroy:", {"lesson-key", 3, 1, "did you mean \"story\"?"});
}

TEST(LessonFile, RefusesTimesThatRunBackwards) {
  expect_wrong("at: 1:00", "at: 0:12", {"lesson-time", 19, 9, "comes before the step above it, which is at 00:15.0"});
  expect_wrong("end: 1:30", "end: 0:59", {"lesson-time", 22, 6, "the end comes before the last step"});
}

TEST(LessonFile, RefusesTimesThatAreNone) {
  expect_wrong("after: 5 s", "after: -5 s", {"time-form", 11, 12, "negative"});
  expect_wrong("after: 5 s", "after: 5", {"time-form", 11, 12, "no unit"});
  expect_wrong("after: 5 s", "after: NaN", {"time-form", 11, 12, "not a time"});
  expect_wrong("after: 5 s", "after: 23:59:59", {"lesson-time", 11, 12, "later than 24 h"});
  expect_wrong("  - after: 5 s\n    do", "  - do", {"lesson-missing", 11, 5, "a step needs its time"});
  expect_wrong("  - after: 5 s\n", "  - after: 5 s\n    at: 0:15\n", {"lesson-missing", 11, 5, "either at or after"});
}

TEST(LessonFile, RefusesPhrasesThatMeanNothing) {
  expect_wrong("external-power on", "external-powr on", {"event-unknown", 10, 9, "did you mean \"external-power\"?"});
  expect_wrong("[lever forward open]", "[lever forwrad open]",
               {"event-component", 12, 16, "did you mean \"forward\"?"});
  expect_wrong("[lever forward open]", "[\"lever forwrad open\"]", {"event-component", 12, 17, "forward"});
  expect_wrong("[lever forward open]", "elapsed 12 s", {"lesson-elapsed", 12, 9, "after: 12 s"});
  expect_wrong("[lever forward open]", "{lever: open}", {"lesson-form", 12, 9, "a phrase or a list of phrases"});
}

TEST(LessonFile, RefusesExpectationsThatMeanNothing) {
  expect_wrong("- port is partial", "- prot is partial", {"lesson-expect", 14, 9, "did you mean \"port\"?"});
  expect_wrong("- port is partial", "- port is partail", {"lesson-expect", 14, 17, "did you mean \"partial\"?"});
  expect_wrong("- port is partial", "- port levl is low", {"lesson-expect", 14, 14, "did you mean \"level\"?"});
  expect_wrong("- port is partial", "- port partial", {"lesson-expect", 14, 9, "there is no \"is\""});
  expect_wrong("- port is partial", "- port is", {"lesson-expect", 14, 14, "no word after"});
  expect_wrong("- port is partial", "- port is not not low", {"lesson-expect", 14, 25, "one word too many"});
  expect_wrong("- port is partial", "- no port", {"lesson-expect", 14, 9, "only \"alerts\""});
  expect_wrong("- port is partial", "- alert sterring is caution",
               {"lesson-expect", 14, 15, "did you mean \"steering\"?"});
  expect_wrong("- port is partial", "- alert quantity is caution",
               {"lesson-expect", 14, 15, "possible: port, starboard or keel"});
  expect_wrong("- port is partial", "- alert quantity aft is caution", {"lesson-expect", 14, 24, "found \"aft\""});
  expect_wrong("- port is partial", "- alert steering is red", {"lesson-expect", 14, 27, "an alert is never \"red\""});
  expect_wrong("- port is partial", "- brake-store is 99", {"lesson-expect", 14, 24, "0 to 63"});
  expect_wrong("- port is partial", "- {never: port is off}", {"lesson-form", 14, 10, "not: with a phrase"});
}

TEST(LessonFile, RefusesAnAircraftThatIsNotThere) {
  expect_wrong("twin-freighter", "twin-frieghter", {"layout-unknown", 2, 11, "did you mean \"twin-freighter\"?"});
  expect_wrong("twin-freighter", "absent.yaml", {"file-read", 2, 11, "absent.yaml: the file cannot be opened"});
}

TEST(LessonFile, RefusesARuleThatIsNotThere) {
  expect_wrong("    do: external-power on", "    do: external-power on\n    refused: STR-55",
               {"lesson-rule", 11, 14, "did you mean \"STR-5\"?"});
  expect_wrong("    say: \"Cold and dark.\"", "    refused: STR-5", {"lesson-form", 7, 14, "this step does nothing"});
}

TEST(LessonFile, RefusesAnEmptyFileAndOneWithoutSteps) {
  expect_complaint(lesson_from_yaml("", "x"), {"yaml-empty", 1, 1, "empty"});
  expect_complaint(lesson_from_yaml("lesson: A\naircraft: small-twin\n", "x"), {"lesson-missing", 1, 1, "no steps"});
  expect_complaint(lesson_from_yaml("lesson: A\naircraft: small-twin\nsteps: []\n", "x"),
                   {"lesson-form", 3, 8, "steps"});
}

TEST(LessonFile, RefusesMoreThanItsLimits) {
  std::string text = "lesson: A\naircraft: small-twin\nsteps:\n";
  for (int i = 0; i <= 200'000; ++i) text += "- {at: 0:00}\n";
  expect_complaint(lesson_from_yaml(text, "x"), {"lesson-limit", 200'004, 3, "200001 steps; the limit is 200000"});
  // A line of one megabyte: the phrase is refused, and the message stays short.
  expect_wrong("external-power on", std::string(1'000'000, 'x'), {"event-long", 10, 9, "at most 4096"});
}

RULE_TEST(LessonFile, BeginsAnywhereByAReposition, "GEN-7") {
  const lesson made = read(with(probe, "steps:", R"(begin:
  in-flight: no
  engines-running: [engine-1]
  switches: {keel-pump: off, transfer: off, engine-pump-2: on}
  levers: {aft: neutral}
  doors: {aft: open}
  levels: {keel: low}
  steering: disconnected
  external-power: on
steps:)"));
  ASSERT_TRUE(made.begin);
  EXPECT_TRUE(made.begin->engine_runs[0]);
  EXPECT_FALSE(made.begin->engine_runs[1]);
  EXPECT_EQ(made.begin->electric_pump_switches[1], pump_switch::off);
  EXPECT_EQ(made.begin->electric_pump_switches[0], pump_switch::automatic);
  EXPECT_FALSE(made.begin->unit_on[0]);
  EXPECT_EQ(made.begin->doors[1], door_travel::open);
  EXPECT_EQ(made.begin->levels[2], fluid_level::low);
  EXPECT_FALSE(made.begin->steering_connected);
  EXPECT_TRUE(made.begin->external_power);
}

TEST(LessonFile, RefusesABeginningThatContradictsItself) {
  expect_wrong("steps:", "begin: {gear: up}\nsteps:", {"reposition-contradiction", 5, 8, "gear"});
  expect_wrong("steps:", "begin: {gear: upp}\nsteps:", {"lesson-value", 5, 15, "up or down"});
  expect_wrong("steps:", "begin: {gaer: up}\nsteps:", {"lesson-key", 5, 9, "did you mean \"gear\"?"});
  expect_wrong("steps:", "begin: {engines-running: [engine-9]}\nsteps:", {"lesson-component", 5, 27, "engine-1"});
  expect_wrong("steps:", "begin: {switches: {engine-pump-1: auto}}\nsteps:", {"lesson-value", 5, 35, "off or on"});
}

TEST(LessonFile, FindsAnAircraftBesideIt) {
  const auto folder = std::filesystem::path{testing::TempDir()} / "penstock-lesson-beside";
  std::filesystem::create_directories(folder);
  layout_spec other = layouts::twin_freighter();
  other.name = "other";
  std::ofstream{folder / "other.yaml"} << yaml_of(other);
  std::ofstream{folder / "door.yaml"} << with(probe, "twin-freighter", "other.yaml");
  const auto made = load_lesson((folder / "door.yaml").string());
  std::filesystem::remove_all(folder);
  ASSERT_TRUE(made) << to_string(made.problem());
  EXPECT_EQ(made->aircraft.spec().name, "other");
  EXPECT_EQ(made->name, "door");
}

TEST(LessonFile, AnUnknownLessonIsAnError) {
  const auto made = load_lesson("no-such-lesson");
  ASSERT_FALSE(made);
  EXPECT_EQ(made.problem().id, "lesson-unknown");
}

// Playing.

struct listener : lesson_audience {
  void step_begins(const lesson_step&, const simulation& now) override { begins.push_back(now.now().chronicle.now); }
  void happened(const simulation::frame&) override { ++frames; }
  void refused(const event&, std::string_view words, const refusal&, bool expected) override {
    (expected ? refused_as_told : refused_otherwise).emplace_back(words);
  }
  void asked(const question&, const std::string& answer) override { answers.push_back(answer); }
  void expectation_met(const verdict& one) override { met.push_back(one.expected.words); }
  void expectation_unmet(const verdict& one, const state&) override {
    missed.push_back(one.expected.words + " / " + one.found);
  }

  std::vector<std::uint32_t> begins;
  std::size_t frames = 0;
  std::vector<std::string> refused_as_told, refused_otherwise, met, missed, answers;
};

TEST(LessonPlayer, MeetsWhatTheLessonExpects) {
  listener heard;
  const lesson made = read(probe);
  const lesson_result played = play(made, heard);
  EXPECT_THAT(heard.missed, testing::IsEmpty());
  EXPECT_EQ(played.failures.size(), 0U);
  EXPECT_EQ(played.expectations, 10U);
  EXPECT_THAT(heard.begins, testing::ElementsAre(0U, 10'000U, 15'000U, 60'000U));
  EXPECT_EQ(played.at_end.chronicle.now, 90'000U);
  EXPECT_GT(heard.frames, 0U);
}

TEST(LessonPlayer, TellsWhatItFoundInstead) {
  listener heard;
  const lesson made = read(with(probe, "- port is partial", "- port is low"));
  const lesson_result played = play(made, heard);
  ASSERT_EQ(played.failures.size(), 1U);
  EXPECT_EQ(played.failures[0].at, 15'000U);
  EXPECT_EQ(played.failures[0].found, "partial");
  EXPECT_EQ(played.failures[0].expected.where.line, 14U);
}

TEST(LessonPlayer, StopsWhereItIsTold) {
  listener heard;
  const lesson_result played = play(read(probe), heard, 12s);
  EXPECT_EQ(played.at_end.chronicle.now, 12'000U);
  EXPECT_EQ(heard.begins.size(), 2U);
}

RULE_TEST(LessonPlayer, KnowsARefusalThatWasTold, "STR-5 GEN-2") {
  const std::string refused = R"(lesson: A pin
aircraft: twin-freighter
steps:
  - at: 0:00
    do: [steering disconnect, pin in]
  - at: 0:01
    do: steering connect
    refused: STR-5
)";
  listener heard;
  EXPECT_EQ(play(read(refused), heard).failures.size(), 0U);
  EXPECT_THAT(heard.refused_as_told, testing::ElementsAre("steering connect"));

  listener untold;
  const lesson_result surprised = play(read(with(refused, "    refused: STR-5\n", "")), untold);
  ASSERT_EQ(surprised.failures.size(), 1U);
  EXPECT_EQ(surprised.failures[0].expected.where.line, 7U);
  EXPECT_THAT(untold.refused_otherwise, testing::ElementsAre("steering connect"));

  listener wrong_rule;
  EXPECT_EQ(play(read(with(refused, "refused: STR-5", "refused: CGO-1")), wrong_rule).failures.size(), 1U);

  listener accepted;
  const lesson_result not_refused =
      play(read(with(refused, "[steering disconnect, pin in]", "steering disconnect")), accepted);
  ASSERT_EQ(not_refused.failures.size(), 1U);
  EXPECT_EQ(not_refused.failures[0].found, "accepted");
}

TEST(LessonPlayer, NamesTheAlertsThatStandWhereNoneShould) {
  const std::string text = R"(lesson: A leak
aircraft: twin-freighter
steps:
  - at: 0:00
    do: steering disconnect
    expect: [alert steering is advisory, alert steering is not caution, not: no alerts]
  - after: 0 s
    expect: no alerts
)";
  listener heard;
  const lesson_result played = play(read(text), heard);
  ASSERT_EQ(played.failures.size(), 1U);
  EXPECT_EQ(played.failures[0].expected.words, "no alerts");
  EXPECT_EQ(played.failures[0].found, "steering (advisory)");
}

TEST(LessonPlayer, PlaysTheSameTwice) {
  listener once;
  listener twice;
  const lesson made = read(probe);
  EXPECT_TRUE(play(made, once).at_end == play(made, twice).at_end);
  EXPECT_EQ(once.frames, twice.frames);
}

TEST(LessonAttributes, EveryPropertyHasAWordOfItsList) {
  for (const shipped_file& one : shipped_layouts()) {
    const auto of = load_layout(std::string{one.name});
    ASSERT_TRUE(of);
    const observation seen = observe(*of, cold_and_dark(*of));
    for (const attribute_form& form : attributes()) {
      for (std::size_t i = 0; i < of->count(form.kind); ++i) {
        const auto found = attribute_word(*of, seen, {form.kind, static_cast<std::uint8_t>(i)}, form.name);
        EXPECT_THAT(form.words, testing::Contains(found)) << one.name << ' ' << word(form.kind) << ' ' << form.name;
      }
    }
    EXPECT_EQ(attribute_word(*of, seen, {component::circuit, 200}, "status"), "?");
    EXPECT_EQ(attribute_word(*of, seen, {component::circuit, 0}, "colour"), "?");
  }
}

}  // namespace
