// penstock levels, and parameters on the command line.
#include "runner/program.hpp"

#include <gmock/gmock.h>
#include <nlohmann/json.hpp>

#include <string>

namespace penstock_tests {
namespace {

using testing::HasSubstr;

// A door opens, then starboard loses two litres with the aircraft at rest. Invented.
const std::string lesson = R"(lesson: Two litres on the floor
aircraft: twin-freighter
plant: fluid
steps:
  - {at: 0:00, do: external-power on}
  - {at: 0:05, do: lever forward open}
  - {at: 1:00, do: inject reservoir-leak starboard 200 mL/s}
  - {at: 1:10, do: remove-fault reservoir-leak starboard}
end: 5:00
)";

TEST(Levels, SayWhatIsMissingOrWhyThatCannotBeJudged) {  // LVL-5
  const temporary_file file{".yaml", lesson};
  const ended run = run_program({"levels", file.path()});
  EXPECT_EQ(run.code, 0) << run.err;
  EXPECT_THAT(run.out, HasSubstr("starboard: 18.0 L; expected now 20.0 L; add 2.0 L [LVL-5]"));
  EXPECT_THAT(run.out, HasSubstr("port: 21.6 L; expected now 21.6 L; cannot be judged now: a door of the circuit is not "
                                 "closed [LVL-5]"));
  EXPECT_THAT(run.out, HasSubstr("keel: 9.0 L; expected now 9.0 L; nothing to add [LVL-5]"));
  EXPECT_THAT(run.out, HasSubstr("not approved data"));
}

TEST(Levels, AccountForAllFluidInJson) {  // LVL-2
  const temporary_file file{".yaml", lesson};
  const ended run = run_program({"levels", file.path(), "--at", "1:05", "--json"});
  EXPECT_EQ(run.code, 0) << run.err;
  const auto told = nlohmann::json::parse(run.out);
  ASSERT_EQ(told["levels"].size(), 3U);
  for (const auto& each : told["levels"]) {
    const auto& in = each["contents_l"];
    const double sum = in["reservoir"].get<double>() + in["lines"].get<double>() + in["actuators"].get<double>() +
                       in["stores"].get<double>() + in["leaked"].get<double>();
    EXPECT_NEAR(sum, in["filled"].get<double>(), 0.003) << each;  // each is rounded to a millilitre
  }
  EXPECT_NEAR(told["levels"][1]["contents_l"]["leaked"].get<double>(), 1.0, 0.001);
}

TEST(Levels, RefuseALessonWhosePlantHasNone) {
  std::string without = lesson;
  without.replace(without.find("plant: fluid"), 12, "plant: none");
  const temporary_file file{".yaml", without};
  const ended run = run_program({"levels", file.path()});
  EXPECT_EQ(run.code, 2);
  EXPECT_THAT(run.err, HasSubstr("has the plant none; levels are computed by the plant fluid [use-plant]"));
}

TEST(Levels, RefuseATimeBehindTheEnd) {
  const temporary_file file{".yaml", lesson};
  const ended run = run_program({"levels", file.path(), "--at", "9:00"});
  EXPECT_EQ(run.code, 2);
  EXPECT_THAT(run.err, HasSubstr("--at: found 9:00, but the lesson ends at 05:00.0"));
}

TEST(Parameters, AreTakenFromTheCommandLine) {
  const ended first = run_program({"run", "turnaround", "--set", "first=engine-2"});
  EXPECT_EQ(first.code, 0) << first.err;
  EXPECT_THAT(first.out, HasSubstr("start engine-2"));
}

TEST(Parameters, AreRefusedByNameWhenUnknownOrMalformed) {
  const ended unknown = run_program({"run", "turnaround", "--set", "firs=engine-2"});
  EXPECT_EQ(unknown.code, 3);
  EXPECT_THAT(unknown.err, HasSubstr("did you mean \"first\"?"));
  const ended malformed = run_program({"run", "turnaround", "--set", "first"});
  EXPECT_EQ(malformed.code, 2);
  EXPECT_THAT(malformed.err, HasSubstr("found 'first'; right is NAME=VALUE"));
}

}  // namespace
}  // namespace penstock_tests
