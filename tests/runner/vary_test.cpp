// penstock vary: which expectations of a lesson break when something else is different.
#include "runner/program.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <filesystem>
#include <fstream>
#include <iterator>
#include <optional>

namespace {

namespace fs = std::filesystem;
using nlohmann::json;
using penstock_tests::ended;
using penstock_tests::lesson_that_expects;
using penstock_tests::run_program;
using penstock_tests::temporary_file;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

class temporary_folder {
 public:
  temporary_folder() : path_{::testing::TempDir() + "penstock-XXXXXX"} {
    if (::mkdtemp(path_.data()) == nullptr) std::abort();
  }
  temporary_folder(const temporary_folder&) = delete;
  temporary_folder& operator=(const temporary_folder&) = delete;
  ~temporary_folder() {
    std::error_code ignored;
    fs::remove_all(path_, ignored);
  }
  [[nodiscard]] std::string of(const std::string& name) const { return path_ + "/" + name; }

 private:
  std::string path_;
};

ended vary(std::vector<std::string> arguments) {
  arguments.insert(arguments.begin(), "vary");
  return run_program(std::move(arguments));
}

json parsed(const std::string& text) {
  json value = json::parse(text, nullptr, false);
  EXPECT_FALSE(value.is_discarded()) << text.substr(0, 400);
  return value;
}

const std::string pump_expected = "[cargo-pump is delivering]";

/// Of several changes to the lesson of a door, each with one that matters.
std::vector<std::string> many(const std::string& lesson) {
  return {lesson,     "--all-faults", "--switch", "cargo-pump off", "--switch", "keel-pump off",
          "--jitter", "2s",           "--runs",   "2",              "--seed",   "7"};
}

std::vector<std::string> with(std::vector<std::string> all, const std::vector<std::string>& more) {
  all.insert(all.end(), more.begin(), more.end());
  return all;
}

TEST(Vary, NoChangeBreaksNothing) {
  const temporary_file lesson{".yaml", lesson_that_expects(pump_expected)};
  const ended result = vary({lesson.path(), "--json"});
  EXPECT_EQ(result.code, 0) << result.err;
  const json value = parsed(result.out);
  EXPECT_EQ(value["played"], 1);
  EXPECT_EQ(value["breaking"], 0);
  EXPECT_THAT(value["variations"], IsEmpty());
}

TEST(Vary, FindsTheFaultThatBreaksAnExpectationAndNotTheOneThatDoesNot) {
  const temporary_file lesson{".yaml", lesson_that_expects(pump_expected)};
  const ended result =
      vary({lesson.path(), "--fault", "pump-failed cargo-pump", "--fault", "pump-failed keel-pump", "--json"});
  EXPECT_EQ(result.code, 1) << result.err;
  const json value = parsed(result.out);
  EXPECT_EQ(value["played"], 3);
  ASSERT_EQ(value["variations"].size(), 1U);
  const json& broken = value["variations"][0];
  EXPECT_EQ(broken["changes"], json::array({"inject pump-failed cargo-pump"}));
  EXPECT_EQ(broken["first"]["words"], "cargo-pump is delivering");
  EXPECT_EQ(broken["at"], 12'000);
  ASSERT_EQ(value["expectations"].size(), 1U);
  EXPECT_EQ(value["expectations"][0]["variations"], 1);
  EXPECT_THAT(vary({lesson.path(), "--fault", "pump-failed cargo-pump"}).out,
              HasSubstr("something breaks in 1."));
}

TEST(Vary, AFaultThatComesLaterBreaksOnlyWhatIsExpectedAfterIt) {
  const temporary_file lesson{".yaml", lesson_that_expects(pump_expected) + "end: 0:30\n"};
  EXPECT_EQ(vary({lesson.path(), "--fault", "pump-failed cargo-pump @ 0:20"}).code, 0);
  EXPECT_EQ(vary({lesson.path(), "--fault", "pump-failed cargo-pump @ 0:08"}).code, 1);
}

TEST(Vary, SwitchesAndPairsAreVariationsWithTheFewestChangesFirst) {
  const temporary_file lesson{".yaml", lesson_that_expects(pump_expected)};
  const ended result = vary({lesson.path(), "--switch", "cargo-pump off", "--switch", "cargo-pump on", "--fault",
                             "pump-failed keel-pump", "--pairs", "--json"});
  const json value = parsed(result.out);
  // None, three single ones, and two pairs: the switch cannot stand in two positions.
  EXPECT_EQ(value["played"], 6);
  ASSERT_EQ(value["variations"].size(), 2U);
  EXPECT_EQ(value["variations"][0]["changes"], json::array({"switch cargo-pump off"}));
  EXPECT_EQ(value["variations"][1]["changes"],
            json::array({"inject pump-failed keel-pump", "switch cargo-pump off"}));
}

TEST(Vary, EveryCombinationOfParameterValuesIsPlayed) {
  const temporary_file lesson{
      ".yaml", "lesson: A door\naircraft: twin-freighter\nplant: quasi-static\n"
               "parameters: {door: forward, lever: open}\n"
               "steps:\n  - at: 0:05\n    do: external-power on\n"
               "  - at: 0:12\n    do: \"lever ${door} ${lever}\"\n    expect: [cargo-pump is delivering]\n"};
  const ended result = vary({lesson.path(), "--each", "door=forward,aft", "--each", "lever=neutral,open", "--json"});
  const json value = parsed(result.out);
  EXPECT_EQ(value["played"], 4);
  ASSERT_EQ(value["variations"].size(), 2U);
  // The value that the lesson has anyway is no change.
  EXPECT_EQ(value["variations"][0]["changes"], json::array({"lever=neutral"}));
  EXPECT_EQ(value["variations"][1]["changes"], json::array({"door=aft", "lever=neutral"}));
}

TEST(Vary, TheResultIsTheSameWhateverTheNumberOfThreads) {
  const temporary_file lesson{".yaml", lesson_that_expects(pump_expected)};
  for (const bool as_json : {false, true}) {
    const auto result_of = [&](const char* threads) {
      std::vector<std::string> more{"--threads", threads};
      if (as_json) more.emplace_back("--json");
      return vary(with(many(lesson.path()), more));
    };
    const ended one = result_of("1");
    EXPECT_EQ(one.code, 1) << one.err;
    EXPECT_EQ(result_of("2").out, one.out);
    EXPECT_EQ(result_of("5").out, one.out);
  }
}

TEST(Vary, PartsInAnyOrderMergeToTheWhole) {
  const temporary_file lesson{".yaml", lesson_that_expects(pump_expected)};
  const temporary_folder folder;
  const std::string whole = vary(with(many(lesson.path()), {"--json"})).out;
  std::size_t played = 0;
  for (const char* part : {"1", "2", "3"}) {
    const ended result = vary(with(many(lesson.path()), {"--json", "--part", std::string{part} + "/3"}));
    played += parsed(result.out)["played"].get<std::size_t>();
    std::ofstream{folder.of(part)} << result.out;
  }
  EXPECT_EQ(parsed(whole)["played"], played);
  const ended merged = vary({"--merge", folder.of("3"), folder.of("1"), folder.of("2"), "--json"});
  EXPECT_EQ(merged.code, 1) << merged.err;
  EXPECT_EQ(merged.out, whole);
  EXPECT_THAT(vary({"--merge", folder.of("3"), folder.of("1")}).out, HasSubstr("part 1, 3 of 3"));
}

TEST(Vary, WrittenLessonsBreakInTheSameWay) {
  // An aircraft beside the lesson: its variations lie elsewhere and must find it.
  const temporary_folder folder;
  std::ofstream{folder.of("own.yaml")} << run_program({"show", "twin-freighter"}).out;
  std::string text = lesson_that_expects(pump_expected);
  text.replace(text.find("twin-freighter"), 14, "own.yaml");
  std::ofstream{folder.of("door.yaml")} << text;
  const std::string into = folder.of("new/broken");
  const ended result = vary(with(many(folder.of("door.yaml")), {"--pairs", "--json", "--write", into}));
  ASSERT_EQ(result.code, 1) << result.err;
  const json value = parsed(result.out);
  const auto files = std::distance(fs::directory_iterator{into}, fs::directory_iterator{});
  EXPECT_EQ(static_cast<std::size_t>(files), value["variations"].size());
  std::size_t replayed = 0;
  for (const json& each : value["variations"]) {
    // Each lesson is played by a program of its own: some of the pairs are enough.
    if (each["changes"].size() > 1 && each["number"].get<std::size_t>() % 16 != 0) continue;
    const std::string path = into + "/door-" + std::to_string(each["number"].get<std::size_t>()) + ".yaml";
    const ended again = run_program({"run", path, "--json"});
    EXPECT_EQ(again.code, 1) << path << again.err;
    const json played = parsed(again.out);
    std::optional<json> first;
    std::size_t unmet = 0;
    for (const json& moment : played["moments"]) {
      for (const json& judged : moment["expectations"]) {
        if (judged["met"]) continue;
        ++unmet;
        if (!first) first = json{{"at", moment["at"]}, {"found", judged["found"]}, {"words", judged["words"]}};
      }
    }
    EXPECT_EQ(unmet, each["unmet"]) << path;
    ASSERT_TRUE(first) << path;
    EXPECT_EQ(*first, (json{{"at", each["at"]}, {"found", each["found"]}, {"words", each["first"]["words"]}})) << path;
    ++replayed;
  }
  EXPECT_GT(replayed, 5U);
}

TEST(Vary, TheSeedDecidesTheMovedTimesAndTheOrderOfStepsStays) {
  // A fault at 0:12.5 breaks the expectation of a step at 0:12 only where that is moved behind it.
  const temporary_file lesson{".yaml", lesson_that_expects(pump_expected) + "end: 0:30\n"};
  const auto numbers = [&](const char* seed) {
    const ended result = vary({lesson.path(), "--fault", "pump-failed cargo-pump @ 0:12.5", "--jitter", "2 s", "--runs",
                               "40", "--seed", seed, "--json"});
    std::vector<std::size_t> all;
    const json value = parsed(result.out);
    for (const json& each : value["variations"]) all.push_back(each["number"].get<std::size_t>());
    return all;
  };
  const std::vector<std::size_t> seven = numbers("7");
  EXPECT_GT(seven.size(), 5U);   // about 15 of 40 are to be expected, the steps being moved evenly
  EXPECT_LT(seven.size(), 30U);
  EXPECT_EQ(numbers("7"), seven);
  EXPECT_NE(numbers("8"), seven);
  // Far more than the steps are apart: still a lesson, and the lever never comes before the power.
  const ended far = vary({lesson.path(), "--jitter", "1 min", "--runs", "50", "--json"});
  EXPECT_EQ(far.code, 0) << far.out << far.err;
  EXPECT_EQ(parsed(far.out)["asked"]["seed"], 1);  // the one that --help states
}

TEST(Vary, HelpStatesExitCodesAndTheUsualSeed) {
  const ended help = vary({"--help"});
  EXPECT_THAT(help.out, HasSubstr("0 nothing breaks; 1 an expectation is not met in some variation"));
  EXPECT_THAT(help.out, HasSubstr("default: 1"));
}

struct wrong_case {
  std::vector<std::string> arguments;
  int code;
  const char* words;
};

TEST(Vary, WrongUseIsExplained) {
  const temporary_file own{".yaml", lesson_that_expects(pump_expected)};
  const std::string lesson = own.path();
  const temporary_file no_part{".json", "{}"};
  const std::vector<wrong_case> cases{
      {{}, 2, "[use-name]"},
      {{"turnaround", "--each", "fist=engine-1"}, 3, "there is no parameter \"fist\""},
      {{"turnaround", "--each", "first=engine-1,engine-3"}, 3, "engine-3"},
      {{"turnaround", "--each", "first"}, 2, "[use-form]"},
      {{"turnaround", "--each", "first=engine-1,engine-1"}, 2, "[use-form]"},
      {{"turnaround", "--set", "first=engine-1", "--each", "first=engine-2"}, 2, "[use-form]"},
      {{lesson, "--fault", "pump-failed port"}, 2, "--fault 'pump-failed port'"},
      {{lesson, "--fault", "pump-failed"}, 2, "--fault 'pump-failed'"},
      {{lesson, "--fault", "line-leak port"}, 2, "--fault 'line-leak port'"},
      {{lesson, "--fault", "pump-failed cargo-pump @ soon"}, 2, "--fault 'pump-failed cargo-pump @ soon'"},
      {{lesson, "--fault", "pump-failed cargo-pump @ 2:00"}, 2, "after the end of the lesson"},
      {{lesson, "--switch", "forward off"}, 2, "--switch 'forward off'"},
      {{lesson, "--all-faults", "--leak-flow", "much"}, 2, "--leak-flow 'much'"},
      {{lesson, "--pairs"}, 2, "[use-pairs]"},
      {{lesson, "--jitter", "0 s"}, 2, "[use-jitter]"},
      {{lesson, "--runs", "3"}, 2, "--jitter"},
      {{lesson, "--seed", "3"}, 2, "--jitter"},
      {{lesson, "--jitter", "2s", "--runs", "0"}, 2, "right is 1 to 10000"},
      {{lesson, "--part", "5/3"}, 2, "found '5/3'"},
      {{lesson, "--part", "0/3"}, 2, "[use-part]"},
      {{lesson, "--part", "1"}, 2, "[use-part]"},
      {{lesson, "--part", "1/3x"}, 2, "[use-part]"},
      {{lesson, "--threads", "0"}, 2, "[use-threads]"},
      {{lesson, "--write", "/dev/null/there"}, 4, "/dev/null/there"},
      {{lesson, "--write", lesson}, 4, "cannot be written"},
      {{lesson, "--all-faults", "--pairs", "--jitter", "2s", "--runs", "10000"}, 2, "there would be "},
      {{lesson, "--merge", no_part.path()}, 2, "[use-merge]"},
      {{"--merge", no_part.path()}, 3, "this is no result of variations"},
      {{"--merge", lesson}, 3, "this is no JSON"},
      {{"--merge", "/nowhere.json"}, 4, "/nowhere.json"},
  };
  for (const wrong_case& each : cases) {
    const ended result = vary(each.arguments);
    EXPECT_EQ(result.code, each.code) << ::testing::PrintToString(each.arguments) << result.err;
    EXPECT_THAT(result.err, HasSubstr(each.words)) << ::testing::PrintToString(each.arguments);
    EXPECT_THAT(result.out, IsEmpty()) << ::testing::PrintToString(each.arguments);
  }
}

TEST(Vary, ResultsThatDoNotBelongTogetherAreNotMerged) {
  const temporary_file lesson{".yaml", lesson_that_expects(pump_expected)};
  const temporary_folder folder;
  const auto put = [&](const std::string& name, const std::vector<std::string>& options) {
    std::ofstream{folder.of(name)} << vary(with({lesson.path(), "--json", "--all-faults"}, options)).out;
    return folder.of(name);
  };
  const std::string first = put("first", {"--part", "1/2"});
  EXPECT_THAT(vary({"--merge", first, first}).err, HasSubstr("part 1 is in a file before this one"));
  const std::string other = put("other", {"--part", "2/2", "--leak-flow", "1 L/s"});
  const ended mixed = vary({"--merge", first, other});
  EXPECT_EQ(mixed.code, 3);
  EXPECT_THAT(mixed.err, HasSubstr("not a part of the same variations"));
}

}  // namespace
