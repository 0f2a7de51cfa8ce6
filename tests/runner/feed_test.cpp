// penstock feed: events as JSON lines in, answers as JSON lines out.
#include "runner/program.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

namespace {

using nlohmann::json;
using penstock_tests::ended;
using penstock_tests::lines_of;
using penstock_tests::run_program;
using penstock_tests::running_program;
using ::testing::HasSubstr;

constexpr const char* power_on = "{\"event\":\"external-power\",\"to\":\"on\"}\n";
constexpr const char* lever_open = "{\"event\":\"lever\",\"of\":\"forward\",\"to\":\"open\"}\n";

std::vector<json> answers_to(std::string_view input, int expected_code, const std::string& plant = "quasi-static") {
  const ended run = run_program({"feed", "twin-freighter", "--plant", plant}, input);
  EXPECT_EQ(run.code, expected_code) << run.err;
  std::vector<json> answers;
  for (const std::string& line : lines_of(run.out)) {
    answers.push_back(json::parse(line, nullptr, false));
    EXPECT_FALSE(answers.back().is_discarded()) << line;
  }
  return answers;
}

TEST(Feed, AnswersEachLineBeforeTheNextIsThere) {
  running_program program{{"feed", "twin-freighter", "--plant", "quasi-static"}};
  program.write(power_on);
  EXPECT_THAT(program.next_line(), HasSubstr("\"line\":1"));
  program.write(lever_open);
  const json answer = json::parse(program.next_line(), nullptr, false);
  ASSERT_TRUE(answer.is_object());
  EXPECT_EQ(answer["line"], 2);
  EXPECT_EQ(answer["observation"]["circuits"]["port"]["status"], "partial");
  program.end_input();
  EXPECT_EQ(program.wait_for_end(), 0);
}

TEST(Feed, TellsTheRowsThatWereTakenWithTheirRules) {
  const auto answers = answers_to(std::string{power_on} + lever_open, 0);
  ASSERT_EQ(answers.size(), 2U);
  EXPECT_EQ(answers[1]["accepted"], true);
  EXPECT_TRUE(answers[1]["refused"].is_null());
  const json& row = answers[1]["rows"][0];
  EXPECT_EQ(row["component"], "forward");
  EXPECT_EQ(row["machine"], "cargo-door");
  EXPECT_EQ(row["rules"], json::array({"CGO-1"}));
  EXPECT_EQ(row["to"], "asking");
}

TEST(Feed, AnswersARefusedCommandWithItsReason) {
  const auto answers = answers_to("{\"event\":\"steering\",\"to\":\"connect\"}\n", 0);
  ASSERT_EQ(answers.size(), 1U);
  EXPECT_EQ(answers[0]["accepted"], false);
  EXPECT_EQ(answers[0]["refused"]["rule"], "GEN-2");
  EXPECT_TRUE(answers[0]["observation"].is_object());
}

TEST(Feed, GoesOnToTheTimeOfALineFirst) {
  const auto answers = answers_to(std::string{power_on} +
                                      "{\"event\":\"lever\",\"of\":\"forward\",\"to\":\"open\"}\n"
                                      "{\"at\":60000,\"event\":\"lever\",\"of\":\"forward\",\"to\":\"neutral\"}\n",
                                  0);
  ASSERT_EQ(answers.size(), 3U);
  EXPECT_EQ(answers[2]["observation"]["now"], 60'000);
  EXPECT_EQ(answers[2]["observation"]["doors"]["forward"]["travel"], "open");
  // The end of travel came on the way and is told as well.
  EXPECT_LT(answers[2]["rows"][0]["at"].get<int>(), 60'000);
}

struct bad_line {
  const char* name;
  std::string line;
  const char* words;
};
void PrintTo(const bad_line& shown, std::ostream* out) { *out << shown.name; }

class BadLine : public ::testing::TestWithParam<bad_line> {};

TEST_P(BadLine, IsAnsweredWithAnErrorChangesNothingAndEndsWithThree) {
  const std::string before =
      std::string{power_on} + "{\"at\":5000,\"event\":\"lever\",\"of\":\"forward\",\"to\":\"open\"}\n";
  const std::string after = "{\"event\":\"elapsed\",\"ms\":0}\n";
  const auto good = answers_to(before + after, 0);
  const auto answers = answers_to(before + GetParam().line + "\n" + after, 3);
  ASSERT_EQ(answers.size(), 4U);
  EXPECT_EQ(answers[2]["line"], 3);
  ASSERT_TRUE(answers[2]["error"].is_object());
  EXPECT_EQ(answers[2].size(), 2U);
  EXPECT_FALSE(answers[2]["error"]["id"].get<std::string>().empty());
  EXPECT_THAT(answers[2]["error"]["message"].get<std::string>(), HasSubstr(GetParam().words));
  EXPECT_EQ(answers[3]["observation"], good[2]["observation"]);
}

INSTANTIATE_TEST_SUITE_P(
    Feed, BadLine,
    ::testing::Values(bad_line{"NoJson", "lever forward open", ""}, bad_line{"HalfAnObject", "{\"event\":", ""},
                      bad_line{"AList", "[1,2]", ""}, bad_line{"NoEvent", "{}", ""},
                      bad_line{"UnknownEvent", "{\"event\":\"levre\",\"of\":\"forward\",\"to\":\"open\"}", "lever"},
                      bad_line{"UnknownComponent", "{\"event\":\"lever\",\"of\":\"froward\",\"to\":\"open\"}",
                               "forward"},
                      bad_line{"UnknownMember", "{\"event\":\"lever\",\"off\":\"forward\",\"to\":\"open\"}", "of"},
                      bad_line{"TimeRunsBackwards", "{\"at\":4999,\"event\":\"recall\"}", "backwards"},
                      bad_line{"NegativeTime", "{\"at\":-1,\"event\":\"recall\"}", "from 0 to"},
                      bad_line{"TimeAsText", "{\"at\":\"5\",\"event\":\"recall\"}", "whole number"},
                      bad_line{"TimeOverTheLimit", "{\"at\":86400001,\"event\":\"recall\"}", "from 0 to"},
                      bad_line{"HugeTime", "{\"at\":18446744073709551615,\"event\":\"recall\"}", "from 0 to"},
                      bad_line{"NegativeSpan", "{\"event\":\"elapsed\",\"ms\":-1}", ""},
                      bad_line{"NotANumber", "{\"event\":\"elapsed\",\"ms\":NaN}", ""},
                      bad_line{"BadEventWithALaterTime", "{\"at\":9000,\"event\":\"levre\"}", "levre"},
                      bad_line{"NotUtf8", "{\"event\":\"\xff\xfe\"}", ""},
                      bad_line{"ZeroByte", std::string("{\"event\":\"rec\0all\"}", 19), ""}),
    [](const auto& each) { return std::string{each.param.name}; });

TEST(Feed, RefusesALineOverAMegabyteAndGoesOn) {
  running_program program{{"feed", "twin-freighter"}};
  program.write(std::string(3'000'000, 'x'));
  program.write(std::string{"\n"} + power_on);
  const std::string first = program.next_line();
  EXPECT_THAT(first, HasSubstr("feed-line-too-long"));
  EXPECT_THAT(program.next_line(), HasSubstr("\"accepted\":true"));
  program.end_input();
  EXPECT_EQ(program.wait_for_end(), 3);
}

TEST(Feed, SkipsEmptyLinesButCountsThem) {
  const auto answers = answers_to(std::string{"\n  \n\r\n"} + power_on, 0);
  ASSERT_EQ(answers.size(), 1U);
  EXPECT_EQ(answers[0]["line"], 4);
}

TEST(Feed, TakesALastLineWithoutAnEnd) {
  EXPECT_EQ(answers_to("{\"event\":\"external-power\",\"to\":\"on\"}", 0).size(), 1U);
}

TEST(Feed, FindsTheTimeWhereverItStands) {
  for (const char* line : {"{\"at\":7000,\"event\":\"external-power\",\"to\":\"on\"}\n",
                           "{\"event\":\"external-power\", \"at\" : 7000 ,\"to\":\"on\"}\n",
                           "{\"event\":\"external-power\",\"to\":\"on\" , \"at\":7000}\n"}) {
    const auto answers = answers_to(line, 0);
    ASSERT_EQ(answers.size(), 1U) << line;
    EXPECT_EQ(answers[0]["accepted"], true) << line;
    EXPECT_EQ(answers[0]["observation"]["now"], 7000) << line;
  }
}

TEST(Feed, PressureTakesItsTimeUnlessAnotherPlantIsNamed) {
  const ended run = run_program({"feed", "twin-freighter"},
                                std::string{power_on} + lever_open + "{\"event\":\"elapsed\",\"ms\":2000}\n");
  EXPECT_EQ(run.code, 0) << run.err;
  const auto lines = lines_of(run.out);
  ASSERT_EQ(lines.size(), 3U);
  const auto status = [&](std::size_t line) {
    return json::parse(lines[line])["observation"]["circuits"]["port"]["status"].get<std::string>();
  };
  EXPECT_EQ(status(1), "low");
  EXPECT_EQ(status(2), "partial");
}

TEST(Feed, LeavesEveryFactToTheCallerWithoutAPlant) {
  const auto answers = answers_to(std::string{power_on} + lever_open +
                                      "{\"event\":\"pressure\",\"of\":\"port\",\"to\":\"made\"}\n",
                                  0, "none");
  ASSERT_EQ(answers.size(), 3U);
  EXPECT_EQ(answers[1]["observation"]["circuits"]["port"]["status"], "low");
  EXPECT_EQ(answers[2]["observation"]["circuits"]["port"]["status"], "partial");
}

TEST(Feed, AnswersNothingToNothing) { EXPECT_TRUE(answers_to("", 0).empty()); }

}  // namespace
