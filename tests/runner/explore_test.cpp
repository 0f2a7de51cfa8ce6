// penstock explore: what it says of a search, and how it ends.
#include "runner/program.hpp"
#include "runner/temporary_folder.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <filesystem>

namespace {

using nlohmann::json;
using penstock_tests::ended;
using penstock_tests::run_program;
using penstock_tests::temporary_file;
using penstock_tests::temporary_folder;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Not;

ended explore(std::vector<std::string> arguments) {
  arguments.insert(arguments.begin(), "explore");
  return run_program(std::move(arguments));
}

const std::string never_times_out = "properties: [{name: never-times-out, never: rear is timed-out}]\n";

TEST(Explore, SaysHowManyStatesAPartHasAndWhatHoldsInAllOfThem) {
  const ended search = explore({"small-twin", "--part", "doors-of-aft"});
  EXPECT_EQ(search.code, 0);
  EXPECT_THAT(search.err, IsEmpty());
  EXPECT_THAT(search.out, HasSubstr("doors-of-aft                       648 states"));
  EXPECT_THAT(search.out, HasSubstr("complete"));
  EXPECT_THAT(search.out, HasSubstr("Holds in every state of these parts: 6 properties"));
  EXPECT_THAT(search.out, Not(HasSubstr("not reached"))) << "one part says nothing of rows";
}

TEST(Explore, GivesTheSameJsonOnAnyNumberOfThreads) {
  const auto on = [](const std::string& threads) {
    return explore({"small-twin", "--part", "doors-of-aft", "--part", "roles", "--json", "--threads", threads}).out;
  };
  const std::string one = on("1");
  EXPECT_EQ(one, on("3"));
  const json read = json::parse(one);
  ASSERT_EQ(read["aircraft"][0]["parts"].size(), 2U);
  EXPECT_EQ(read["aircraft"][0]["parts"][0]["states"], 648);
  EXPECT_EQ(read["aircraft"][0]["parts"][0]["end"], "complete");
  EXPECT_EQ(read["aircraft"][0]["parts"][0]["violations"].size(), 0U);
  EXPECT_GT(read["aircraft"][0]["parts"][1]["orders"].size(), 0U);
}

TEST(Explore, TellsTheOrdersThatMatterWithTheirReason) {
  const ended search = explore({"small-twin", "--part", "roles", "--orders"});
  EXPECT_EQ(search.code, 0);
  EXPECT_THAT(search.out, HasSubstr("the engine that is selected first is the first [ENG-7]"));
  EXPECT_THAT(search.out, HasSubstr("start left-engine | start right-engine"));
}

TEST(Explore, WritesALessonForAPropertyThatIsBrokenWhichPlaysToIt) {
  const temporary_file properties{".yaml", never_times_out};
  const temporary_folder folder;
  const ended search = explore({"small-twin", "--part", "doors-of-aft", "--properties", properties.path(), "--write",
                                folder.file("found")});
  EXPECT_EQ(search.code, 1);
  EXPECT_THAT(search.out, HasSubstr("BROKEN: never-times-out in doors-of-aft"));
  EXPECT_THAT(search.out, HasSubstr("lever rear close"));
  const std::string lesson = folder.file("found") + "/small-twin-never-times-out.yaml";
  EXPECT_THAT(search.out, HasSubstr(lesson + "\n"));
  const ended played = run_program({"run", lesson});
  EXPECT_EQ(played.code, 0) << played.err;
  EXPECT_THAT(played.out, HasSubstr("run limit"));
}

TEST(Explore, DoesNotCallAPropertyHeldThatNoPartJudges) {
  const temporary_file properties{".yaml", "properties: [{name: pinned-door, never: [steering is pinned, rear is asking]}]\n"};
  const ended apart = explore({"small-twin", "--part", "doors-of-aft", "--part", "steering", "--properties", properties.path()});
  EXPECT_EQ(apart.code, 5);
  EXPECT_THAT(apart.out, HasSubstr("NOT JUDGED: pinned-door"));
  EXPECT_THAT(apart.out, HasSubstr("6 properties"));
  const ended together = explore({"small-twin", "--part", "doors-of-aft+steering", "--properties", properties.path()});
  EXPECT_EQ(together.code, 1);
  EXPECT_THAT(together.out, HasSubstr("BROKEN: pinned-door in doors-of-aft+steering"));
}

TEST(Explore, EndsWithItsOwnExitCodeWhenALimitComesFirst) {
  const ended search = explore({"small-twin", "--part", "feeds-of-aft", "--states", "500"});
  EXPECT_EQ(search.code, 5);
  EXPECT_THAT(search.out, HasSubstr("stopped: limit of states"));
  EXPECT_THAT(search.out, HasSubstr("Not complete: 1 of 1 part came to a limit"));
  EXPECT_THAT(search.out, Not(HasSubstr("Holds in every state")));
}

TEST(Explore, ListsThePartsWithTheirArguments) {
  const ended list = explore({"small-twin", "--list"});
  EXPECT_EQ(list.code, 0);
  EXPECT_THAT(list.out, HasSubstr("doors-of-aft\n    Doors of a circuit meet only in whether any of them asks"));
}

TEST(Explore, SearchesWithThePlausiblePlantToo) {
  const ended search = explore({"small-twin", "--part", "service-of-aft", "--plant", "plausible"});
  EXPECT_EQ(search.code, 0) << search.out;
}

TEST(Explore, RefusesOptionsThatSayNothing) {
  EXPECT_EQ(explore({"small-twin", "--part", "doors-of-aftt"}).code, 2);
  EXPECT_THAT(explore({"small-twin", "--part", "doors-of-aftt"}).err, HasSubstr("did you mean 'doors-of-aft'?"));
  for (const char* memory : {"", "0MB", "5", "5 MB", "MB", "99999999999999999999GB"}) {
    EXPECT_THAT(explore({"small-twin", "--memory", memory}).err, HasSubstr("[use-memory]")) << memory;
  }
  EXPECT_THAT(explore({"small-twin", "--states", "0"}).err, HasSubstr("[use-states]"));
  EXPECT_THAT(explore({"small-twin", "--states", "-3"}).err, HasSubstr("found -3; right is 1 or more [use-states]"));
  EXPECT_THAT(explore({"small-twin", "--plant", "all"}).err, HasSubstr("[use-plant]"));
  EXPECT_THAT(explore({"small-twin", "--threads", "0"}).err, HasSubstr("[use-threads]"));
  EXPECT_EQ(explore({"no-such-aircraft"}).code, 3);
  const temporary_file twice{".yaml", "properties: [{name: unit-obeys, never: rear is asking}]"};
  EXPECT_THAT(explore({"small-twin", "--properties", twice.path()}).err, HasSubstr("[property-name]"));
  EXPECT_EQ(explore({"small-twin", "--properties", "no-such-file.yaml"}).code, 4);
}

}  // namespace
