// penstock run, why, rules, draw, list, show, events: what they print.
#include "penstock/rules.hpp"
#include "runner/program.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <algorithm>

namespace {

using nlohmann::json;
using penstock_tests::ended;
using penstock_tests::lesson_that_expects;
using penstock_tests::lines_of;
using penstock_tests::run_program;
using penstock_tests::temporary_file;
using ::testing::HasSubstr;
using ::testing::Not;
using ::testing::StartsWith;

json parsed(const std::string& text) {
  json value = json::parse(text, nullptr, false);
  EXPECT_FALSE(value.is_discarded()) << text.substr(0, 400);
  return value;
}

TEST(RunText, TellsTheCommandTheChangeItsReasonItsRuleAndThePressures) {
  const temporary_file lesson{".yaml", lesson_that_expects("port is partial")};
  const std::string text = run_program({"run", lesson.path()}).out;
  EXPECT_THAT(text, HasSubstr("For training only"));
  EXPECT_THAT(text, HasSubstr("00:12.0"));
  EXPECT_THAT(text, HasSubstr("The lever goes to open."));
  EXPECT_THAT(text, HasSubstr("lever forward open"));
  EXPECT_THAT(text, HasSubstr("forward: idle -> asking, because"));
  EXPECT_THAT(text, HasSubstr("[CGO-1]"));
  EXPECT_THAT(text, HasSubstr("port partial | starboard off | keel off"));
}

TEST(RunText, IsNoWiderThanAPageAndHasNoEscapesInAPipe) {
  const std::string text = run_program({"run", "turnaround-1-2"}).out;
  EXPECT_THAT(text, Not(HasSubstr("\x1b")));
  for (const std::string& line : lines_of(text)) {
    // Bytes that continue a character of UTF-8 take no room.
    const auto begins = [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; };
    const auto width = std::ranges::count_if(line, begins);
    EXPECT_LE(width, 100) << line;
    EXPECT_FALSE(line.ends_with(' ')) << line;
  }
}

TEST(RunText, NamesTheClassOfEveryAlertInWords) {
  const std::string text = run_program({"run", "turnaround-1-2"}).out;
  for (const std::string& line : lines_of(text)) {
    if (!line.starts_with("  alert:")) continue;
    EXPECT_THAT(line, ::testing::ContainsRegex("(warning|caution|advisory|status) "
                                               "(new|changed|held back|released|ended)"));
  }
}

TEST(RunText, StopsWhereItIsTold) {
  const ended run = run_program({"run", "turnaround-1-2", "--until", "3:10"});
  EXPECT_EQ(run.code, 0);
  EXPECT_THAT(run.out, HasSubstr("End at 03:10.0"));
  EXPECT_THAT(run.out, Not(HasSubstr("03:25.0")));
}

TEST(RunText, MarksARefusalThatTheLessonDidNotExpect) {
  const temporary_file lesson{".yaml",
                              "lesson: Refused\n"
                              "aircraft: twin-freighter\n"
                              "steps:\n"
                              "  - at: 0:01\n"
                              "    do: steering connect\n"};
  const ended run = run_program({"run", lesson.path()});
  EXPECT_EQ(run.code, 1);
  EXPECT_THAT(run.out, HasSubstr("REFUSED:"));
  EXPECT_THAT(run.out, HasSubstr("[GEN-2] (not expected)"));
}

TEST(RunJson, IsOneDocumentWithMomentsInOrderOfTime) {
  const ended run = run_program({"run", "turnaround-1-2", "--json"});
  EXPECT_EQ(run.code, 0);
  const json all = parsed(run.out);
  EXPECT_EQ(all["training_only"], true);
  EXPECT_EQ(all["aircraft"], "twin-freighter");
  ASSERT_GT(all["moments"].size(), 20U);
  std::int64_t last = 0;
  for (const json& each : all["moments"]) {
    EXPECT_GE(each["at"].get<std::int64_t>(), last);
    last = each["at"].get<std::int64_t>();
    EXPECT_TRUE(each["observation"]["circuits"].is_object());
  }
  EXPECT_EQ(all["summary"]["unmet"], 0);
}

TEST(RunJson, CarriesTheCausesOfAnUnmetExpectation) {
  const temporary_file lesson{".yaml", lesson_that_expects("port is normal")};
  const ended run = run_program({"run", lesson.path(), "--json"});
  EXPECT_EQ(run.code, 1);
  const json all = parsed(run.out);
  const json& judged = all["moments"].back()["expectations"][0];
  EXPECT_EQ(judged["met"], false);
  EXPECT_EQ(judged["found"], "partial");
  EXPECT_EQ(judged["where"]["line"], 9);
  EXPECT_GT(judged["causes"].size(), 1U);
  EXPECT_EQ(all["summary"]["unmet"], 1);
}

TEST(Run, GivesTheSameBytesEachTime) {
  EXPECT_EQ(run_program({"run", "turnaround-2-1", "--json"}).out, run_program({"run", "turnaround-2-1", "--json"}).out);
}

TEST(Why, TellsTheChainOfAComponentInWordsAndAsData) {
  const temporary_file lesson{".yaml", lesson_that_expects("port is partial")};
  const ended words = run_program({"why", lesson.path(), "--at", "0:12", "cargo-pump"});
  EXPECT_EQ(words.code, 0) << words.err;
  EXPECT_THAT(words.out, HasSubstr("At 00:12.0"));
  EXPECT_THAT(words.out, HasSubstr("CGO-1"));
  EXPECT_THAT(words.out, HasSubstr("the lever of forward was moved to open"));
  const json data = parsed(run_program({"why", lesson.path(), "--at", "0:12", "cargo-pump", "--json"}).out);
  EXPECT_EQ(data["at"], 12'000);
  EXPECT_EQ(data["chain"][0]["about"], "cargo-pump");
  EXPECT_EQ(data["chain"][0]["depth"], 0);
}

TEST(Why, SaysThatAnAlertDoesNotStand) {
  const ended run = run_program({"why", "turnaround-1-2", "--at", "0:10", "alert:steering"});
  EXPECT_EQ(run.code, 0) << run.err;
  EXPECT_THAT(run.out, HasSubstr("does not stand"));
}

TEST(Why, TakesAnAlertWithItsComponent) {
  const ended run = run_program({"why", "turnaround-1-2", "--at", "0:10", "alert:circuit-low:starboard"});
  EXPECT_EQ(run.code, 0) << run.err;
  EXPECT_THAT(run.out, HasSubstr("starboard"));
}

TEST(Why, KnowsTheWholeAircraft) {
  const ended run = run_program({"why", "turnaround-1-2", "--at", "0:10", "aircraft"});
  EXPECT_EQ(run.code, 0) << run.err;
}

TEST(Rules, ListsEveryRuleWithItsSentence) {
  const ended run = run_program({"rules"});
  EXPECT_EQ(run.code, 0);
  for (const penstock::rule& each : penstock::all_rules()) {
    EXPECT_THAT("\n" + run.out, HasSubstr("\n" + std::string{each.id} + " "));
  }
  const json all = parsed(run_program({"rules", "--json"}).out);
  ASSERT_EQ(all["rules"].size(), penstock::all_rules().size());
  for (const json& each : all["rules"]) {
    EXPECT_FALSE(each["places"].empty()) << each["id"] << " is built nowhere";
    EXPECT_FALSE(each["source"].get<std::string>().empty());
  }
}

TEST(Rules, ShowsTheRowsOfOneRuleWhateverItsCase) {
  const ended run = run_program({"rules", "cgo-7"});
  EXPECT_EQ(run.code, 0);
  EXPECT_THAT(run.out, StartsWith("CGO-7"));
  EXPECT_THAT(run.out, HasSubstr("service, row "));
}

TEST(Draw, WritesEachForm) {
  EXPECT_THAT(run_program({"draw", "twin-freighter"}).out, StartsWith("stateDiagram-v2"));
  EXPECT_THAT(run_program({"draw", "twin-freighter", "--as", "dot"}).out, HasSubstr("digraph"));
  EXPECT_THAT(run_program({"draw", "twin-freighter", "--as", "scxml"}).out, StartsWith("<?xml"));
  EXPECT_THAT(run_program({"draw", "twin-freighter", "--machine", "steering-link"}).out, HasSubstr("STR-5"));
}

TEST(Shipped, IsListedAndShownAndReadsBack) {
  const std::string listed = run_program({"list"}).out;
  for (const char* name : {"twin-freighter", "four-engine", "small-twin", "turnaround-1-2", "turnaround-2-1"}) {
    EXPECT_THAT(listed, HasSubstr(name));
    EXPECT_EQ(run_program({"show", name}).code, 0) << name;
  }
  const temporary_file copy{".yaml", run_program({"show", "twin-freighter"}).out};
  EXPECT_EQ(run_program({"draw", copy.path()}).out, run_program({"draw", "twin-freighter"}).out);
}

TEST(Shipped, SchemasAreJson) {
  for (const char* name : {"layout", "lesson", "event", "answer"}) {
    const ended run = run_program({"show", name});
    ASSERT_EQ(run.code, 0) << name << ": " << run.err;
    EXPECT_TRUE(parsed(run.out).is_object()) << name;
  }
}

TEST(Events, NameTheComponentsOfALayout) {
  const std::string plain = run_program({"events"}).out;
  EXPECT_THAT(plain, HasSubstr("lever COMPONENT VALUE"));
  EXPECT_THAT(plain, HasSubstr("CARGO-DOOR"));
  EXPECT_THAT(run_program({"events", "twin-freighter"}).out, HasSubstr("forward | aft"));
}

}  // namespace
