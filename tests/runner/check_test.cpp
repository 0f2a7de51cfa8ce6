// penstock check: lessons as tests. JUnit XML is tried by xmllint, a parser that is not ours.
#include "penstock/layout_file.hpp"
#include "penstock/rules.hpp"
#include "runner/program.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <set>

namespace {

namespace fs = std::filesystem;
using nlohmann::json;
using penstock_tests::ended;
using penstock_tests::lesson_that_expects;
using penstock_tests::lines_of;
using penstock_tests::run_program;
using ::testing::AllOf;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Not;
using ::testing::StartsWith;

/// A folder that is there as long as the test needs it.
class temporary_folder {
 public:
  temporary_folder() : path_{::testing::TempDir() + "penstock-XXXXXX"} {
    if (::mkdtemp(path_.data()) == nullptr) std::abort();
    fs::permissions(path_, static_cast<fs::perms>(0755));  // see without_rights
  }
  temporary_folder(const temporary_folder&) = delete;
  temporary_folder& operator=(const temporary_folder&) = delete;
  ~temporary_folder() {
    std::error_code ignored;
    fs::remove_all(path_, ignored);
  }
  [[nodiscard]] const std::string& path() const { return path_; }
  [[nodiscard]] std::string of(const std::string& name) const { return path_ + "/" + name; }
  std::string put(const std::string& name, std::string_view text) const {
    fs::create_directories(fs::path{of(name)}.parent_path());
    std::ofstream{of(name), std::ios::binary} << text;
    return of(name);
  }
  [[nodiscard]] std::set<std::string> names() const {
    std::set<std::string> all;
    for (const auto& each : fs::directory_iterator{path_}) all.insert(each.path().filename().string());
    return all;
  }

 private:
  std::string path_;
};

std::string content_of(const std::string& path) {
  std::ifstream file{path, std::ios::binary};
  return {std::istreambuf_iterator<char>{file}, {}};
}

json parsed(const std::string& text) {
  json value = json::parse(text, nullptr, false);
  EXPECT_FALSE(value.is_discarded()) << text.substr(0, 400);
  return value;
}

ended check(std::vector<std::string> arguments) {
  arguments.insert(arguments.begin(), "check");
  return run_program(std::move(arguments));
}

std::string shipped(std::string_view name) {
  for (const auto& files : {penstock::shipped_lessons(), penstock::shipped_layouts()}) {
    for (const penstock::shipped_file& each : files) {
      if (each.name == name) return std::string{each.text};
    }
  }
  ADD_FAILURE() << "nothing of the name " << name << " comes with penstock";
  return {};
}

const std::string good = lesson_that_expects("port is partial");
const std::string failing = lesson_that_expects("port is normal");
const std::string bad = lesson_that_expects("prot is normal");

// ---- what is checked ----

TEST(Check, PlaysEveryShippedLessonWhenNothingIsNamed) {
  const ended run = check({});
  EXPECT_EQ(run.code, 0) << run.out << run.err;
  EXPECT_THAT(run.err, IsEmpty());
  for (const penstock::shipped_file& each : penstock::shipped_lessons()) {
    EXPECT_THAT(run.out, HasSubstr("passed     " + std::string{each.name} + ": "));
  }
  const std::string count = std::to_string(penstock::shipped_lessons().size());
  EXPECT_THAT(run.out, HasSubstr("\n" + count + " lessons: " + count + " passed; "));
  EXPECT_THAT(run.out, HasSubstr(", all met.\n"));
}

TEST(Check, SaysTheSameOnAnyNumberOfThreads) {
  const temporary_folder folder;
  folder.put("a/failing.yaml", failing);
  folder.put("b/bad.yaml", bad);
  for (int i = 0; i < 20; ++i) folder.put("c/" + std::to_string(i) + ".yaml", i % 3 == 0 ? failing : good);
  std::vector<std::string> lessons{folder.path(), folder.of("missing.yaml")};
  for (const penstock::shipped_file& each : penstock::shipped_lessons()) lessons.emplace_back(each.name);
  std::set<std::string> texts;
  std::set<std::string> values;
  std::set<std::string> files;
  for (const char* threads : {"1", "2", "7"}) {
    std::vector<std::string> arguments = lessons;
    const std::string junit = folder.of("results.xml");
    const std::string coverage = folder.of("coverage.json");
    arguments.insert(arguments.end(),
                     {"--coverage", "--threads", threads, "--junit", junit, "--coverage-json", coverage});
    const ended text = check(arguments);
    EXPECT_EQ(text.code, 3) << text.err;
    texts.insert(text.out);
    files.insert(content_of(junit) + content_of(coverage));
    arguments.emplace_back("--json");
    values.insert(check(arguments).out);
  }
  EXPECT_EQ(texts.size(), 1U);
  EXPECT_EQ(values.size(), 1U);
  EXPECT_EQ(files.size(), 1U);
  EXPECT_THAT(*texts.begin(), HasSubstr("NOT MET"));
  EXPECT_THAT(*files.begin(), AllOf(HasSubstr("</testsuites>"), HasSubstr("\"rules_shown\"")));
}

std::vector<std::string> lessons_in(const json& result) {
  std::vector<std::string> names;
  for (const json& each : result["lessons"]) {
    if (each["verdict"] != "no lesson") names.push_back(each["lesson"]);
  }
  return names;
}

TEST(Check, LooksBelowFoldersInOrderForLessonsThatAreNotHidden) {
  const temporary_folder folder;
  for (const char* name : {"b.yaml", "a/z.yml", "a.yaml", "c/d/e.yaml", ".hidden.yaml", ".git/x.yaml", "note.txt"}) {
    folder.put(name, good);
  }
  fs::create_directory_symlink(folder.path(), folder.of("c/round"));
  fs::create_directories(folder.of("folder.yaml"));
  const ended run = check({folder.path(), "--json"});
  EXPECT_EQ(run.code, 0) << run.out;
  EXPECT_THAT(lessons_in(parsed(run.out)), ElementsAre(folder.of("a.yaml"), folder.of("a/z.yml"), folder.of("b.yaml"),
                                                       folder.of("c/d/e.yaml")));
}

TEST(Check, TakesALessonThatIsNamedTwiceOnce) {
  const temporary_folder folder;
  const std::string path = folder.put("a.yaml", good);
  const std::string round_about = folder.of("../" + fs::path{folder.path()}.filename().string() + "/a.yaml");
  const ended run =
      check({path, folder.path(), round_about, "door-power-loss", path, "door-power-loss", "--json"});
  EXPECT_EQ(run.code, 0) << run.out;
  EXPECT_THAT(lessons_in(parsed(run.out)), ElementsAre(path, "door-power-loss"));
}

TEST(Check, PassesOverAnAircraftThatLiesBesideItsLessons) {
  const temporary_folder folder;
  folder.put("aircraft.yaml", shipped("twin-freighter"));
  std::string own = good;
  own.replace(own.find("twin-freighter"), std::string{"twin-freighter"}.size(), "aircraft.yaml");
  folder.put("lesson.yaml", own);
  const ended run = check({folder.path()});
  EXPECT_EQ(run.code, 0) << run.out;
  EXPECT_THAT(run.out, HasSubstr("no lesson  " + folder.of("aircraft.yaml")));
  EXPECT_THAT(run.out, HasSubstr("1 lesson: 1 passed;"));
  // Named as a lesson, it is a bad one.
  EXPECT_EQ(check({folder.of("aircraft.yaml")}).code, 3);
}

TEST(Check, PassesOverAPartThatALessonOfTheFolderIncludes) {
  const temporary_folder folder;
  // No lesson by itself: it has no title and no aircraft, and its door is a parameter.
  const std::string part = folder.put("parts/door.yaml", "parameters: {door: }\n"
                                                         "steps:\n  - {at: 0:02, do: \"lever ${door} open\"}\n");
  const std::string lone = folder.put("parts/lone.yaml", "steps:\n  - {at: 0:02, do: gear down}\n");
  const std::string whole = folder.put("lesson.yaml",
                                       "lesson: A door\naircraft: twin-freighter\nbegin: {external-power: \"on\"}\n"
                                       "steps:\n  - {include: parts/../parts/door.yaml, with: {door: aft}}\n"
                                       "  - {after: 2 s, expect: port is partial}\n");
  const ended run = check({folder.path()});
  EXPECT_EQ(run.code, 3) << run.out;
  EXPECT_THAT(run.out, HasSubstr("no lesson  " + part + ": a part that " + whole));
  EXPECT_THAT(run.out, HasSubstr("ERROR      " + lone));  // nobody includes it: somebody forgot its title
  EXPECT_THAT(run.out, HasSubstr("2 lessons: 1 passed, 1 ERROR;"));
  fs::remove(lone);
  EXPECT_EQ(check({folder.path(), "--junit", folder.of("out.xml")}).code, 0);
  EXPECT_THAT(content_of(folder.of("out.xml")), Not(HasSubstr("parts/door")));
  // Named as a lesson, it is a bad one.
  EXPECT_EQ(check({part, whole}).code, 3);
}

TEST(Check, DoesNotPassWhenThereIsNoLesson) {
  const temporary_folder folder;
  const ended empty = check({folder.path()});
  EXPECT_EQ(empty.code, 3);
  EXPECT_THAT(empty.out, AllOf(HasSubstr("ERROR"), HasSubstr(folder.path()), HasSubstr("[lesson-none]")));
  folder.put("aircraft.yaml", shipped("twin-freighter"));
  const ended aircraft = check({folder.path()});
  EXPECT_EQ(aircraft.code, 3);
  EXPECT_THAT(aircraft.err, HasSubstr("[lesson-none]"));
}

// ---- what is said ----

TEST(Check, SaysWhatWasExpectedWhereWhatWasFoundWhenAndWhy) {
  const temporary_folder folder;
  const std::string path = folder.put("f.yaml", failing);
  const ended run = check({path});
  EXPECT_EQ(run.code, 1) << run.err;
  std::string words = run.out;  // as one line: where it is broken depends on the path
  for (std::size_t at = words.find("\n "); at != std::string::npos; at = words.find("\n ")) {
    words.replace(at, words.find_first_not_of(" \n", at) - at, " ");
  }
  EXPECT_THAT(words, HasSubstr("FAILED     " + path + ": 0 of 1 expectation met"));
  EXPECT_THAT(words, HasSubstr("expected \"port is normal\" (" + path + ":9:13); found partial at 00:12.0"));
  EXPECT_THAT(words, HasSubstr("why:   circuit port is partial: "));
  EXPECT_THAT(words, HasSubstr("the lever of forward was moved to open"));
  EXPECT_THAT(words, HasSubstr("[CGO-1]"));
  EXPECT_THAT(words, HasSubstr("1 lesson: 1 FAILED; 1 expectation, 1 NOT MET."));
  EXPECT_THAT(run.out, Not(HasSubstr("\x1b")));
}

TEST(Check, CountsARefusalAsAnExpectation) {
  const temporary_folder folder;
  const auto refused = [&](const std::string& event, const std::string& rule) {
    const std::string text = "lesson: Refused\naircraft: twin-freighter\nsteps:\n  - at: 0:05\n    do: " + event +
                             "\n" + (rule.empty() ? "" : "    refused: " + rule + "\n");
    return parsed(check({folder.put("r.yaml", text), "--json"}).out);
  };
  EXPECT_EQ(refused("pin in", "STR-5")["summary"], parsed(R"({"lessons":1,"passed":1,"failed":0,"errors":0,
    "expectations":1,"unmet":0})"));
  const json did_not_come = refused("external-power on", "STR-5");
  EXPECT_EQ(did_not_come["summary"]["failed"], 1);
  EXPECT_EQ(did_not_come["lessons"][0]["expectations"][0]["found"], "accepted");
  const json nobody_expected = refused("pin in", "");
  EXPECT_EQ(nobody_expected["summary"]["failed"], 1);
  EXPECT_THAT(nobody_expected["lessons"][0]["expectations"][0]["found"], StartsWith("refused: "));
}

TEST(Check, ReportsABadFileAndPlaysTheOthers) {
  const temporary_folder folder;
  const std::string wrong = folder.put("wrong.yaml", bad);
  const std::string missing = folder.of("missing.yaml");
  const std::string fine = folder.put("fine.yaml", good);
  const ended run = check({wrong, missing, "turnaround-1-3", fine, folder.put("f.yaml", failing)});
  EXPECT_EQ(run.code, 3);
  EXPECT_THAT(run.out, HasSubstr("ERROR      " + wrong + ":9:13: "));
  EXPECT_THAT(run.out, HasSubstr("ERROR      " + missing + ": "));
  EXPECT_THAT(run.out, HasSubstr("ERROR      turnaround-1-3: "));
  EXPECT_THAT(run.out, AllOf(HasSubstr("[lesson-expect]"), HasSubstr("[file-read]"), HasSubstr("[lesson-unknown]")));
  EXPECT_THAT(run.out, HasSubstr("passed     " + fine + ": "));
  EXPECT_THAT(run.out, HasSubstr("5 lessons: 1 passed, 1 FAILED, 3 ERRORS; 2 expectations, 1 NOT MET."));
}

TEST(Check, SaysWhereALessonIsCutOff) {
  const temporary_folder folder;
  const std::string whole = shipped("door-power-loss");
  constexpr std::size_t step = 97;  // a prime: cuts come everywhere in words, values and lists
  for (std::size_t cut = 0; cut < whole.size(); cut += step) {
    folder.put("cut-" + std::to_string(cut) + ".yaml", whole.substr(0, cut));
  }
  const ended run = check({folder.path(), "--json"});
  EXPECT_EQ(run.code, 3) << run.err;
  const json all = parsed(run.out);
  EXPECT_EQ(all["lessons"].size(), (whole.size() + step - 1) / step);
  EXPECT_EQ(all["summary"]["failed"], 0);  // what is left of a good lesson is good, or no lesson
  for (const json& each : all["lessons"]) {
    if (each["verdict"] == "passed") continue;
    ASSERT_EQ(each["verdict"], "error");
    EXPECT_EQ(each["error"]["where"]["file"], each["lesson"]);
    EXPECT_GE(each["error"]["where"]["line"], 1) << each;
    EXPECT_THAT(each["error"]["message"].get<std::string>(), Not(IsEmpty()));
  }
}

TEST(Check, GivesTheWholeResultAsJson) {
  const temporary_folder folder;
  const std::string path = folder.put("f.yaml", failing);
  const ended run = check({path, folder.put("w.yaml", bad), "--json"});
  const json all = parsed(run.out);
  EXPECT_EQ(all["training_only"], true);
  const json& lesson = all["lessons"][0];
  EXPECT_EQ(lesson["verdict"], "failed");
  EXPECT_EQ(lesson["title"], "A door");
  EXPECT_EQ(lesson["end"], 12'000);
  const json& judged = lesson["expectations"][0];
  EXPECT_EQ(judged["at"], 12'000);
  EXPECT_EQ(judged["words"], "port is normal");
  EXPECT_EQ(judged["where"], parsed(R"({"file":")" + path + R"(","line":9,"column":13})"));
  EXPECT_EQ(judged["found"], "partial");
  EXPECT_GT(judged["causes"].size(), 1U);
  EXPECT_EQ(all["lessons"][1]["error"]["id"], "lesson-expect");
  EXPECT_FALSE(all.contains("coverage"));
}

// ---- coverage ----

/// The entry of a list whose member has that value.
json found_in(const json& list, const char* member, const std::string& value) {
  for (const json& each : list) {
    if (each[member] == value) return each;
  }
  ADD_FAILURE() << "no " << member << " is " << value;
  return {};
}

TEST(Coverage, NamesTheRulesAndRowsThatAreNotShown) {
  const temporary_folder folder;
  const std::string path = folder.put("a.yaml", good);
  const json shown = parsed(check({path, "--coverage", "--json"}).out)["coverage"];
  std::size_t rules = 0;
  for (const json& each : shown["rules"]) {
    rules += each["shown"] == true ? 1 : 0;
    EXPECT_EQ(each["lessons"].size(), each["shown"] == true ? 1U : 0U);
  }
  // A door that begins to open on external power is all that happens.
  EXPECT_EQ(found_in(shown["rules"], "id", "CGO-1")["lessons"], json::array({path}));
  EXPECT_EQ(found_in(shown["rules"], "id", "PTU-8")["shown"], false);
  EXPECT_EQ(shown["rules"].size(), penstock::all_rules().size());
  EXPECT_EQ(shown["rules_shown"], rules);
  std::size_t rows = 0;
  for (const json& machine : shown["machines"]) {
    for (const json& row : machine["rows"]) rows += row["taken"] == true ? 1 : 0;
    EXPECT_EQ(machine["rows"].size(), machine["rows_of"]);
  }
  EXPECT_EQ(found_in(shown["machines"], "machine", "cargo-door")["rows_taken"], 1);
  EXPECT_EQ(found_in(shown["machines"], "machine", "transfer-test")["rows_taken"], 0);
  EXPECT_EQ(shown["rows_taken"], rows);

  const std::string text = check({path, "--coverage"}).out;
  EXPECT_THAT(text, HasSubstr("Rules shown: " + std::to_string(rules) + " of "));
  EXPECT_THAT(text, HasSubstr("These lessons never show: "));
  EXPECT_THAT(text, HasSubstr("PTU-8"));
  EXPECT_THAT(text, Not(HasSubstr(" CGO-1,")));
  EXPECT_THAT(text, HasSubstr("  cargo-door            1 of "));
  for (const std::string& line : lines_of(text)) EXPECT_LE(line.size(), 100U) << line;
}

TEST(Coverage, IsWrittenIntoAFileAsInTheWholeResult) {
  const temporary_folder folder;
  const std::string path = folder.of("coverage.json");
  const ended run = check({"door-power-loss", "--coverage", "--json", "--coverage-json", path});
  EXPECT_EQ(run.code, 0) << run.err;
  EXPECT_EQ(parsed(content_of(path)), parsed(run.out)["coverage"]);
}

TEST(Coverage, CountsTheRowsAndRulesThatTheLessonShowsWhenItIsRun) {
  const json run = parsed(run_program({"run", "turnaround-1-2", "--json"}).out);
  std::set<std::string> rows;
  for (const json& moment : run["moments"]) {
    for (const json& each : moment["rows"]) rows.insert(each["machine"].get<std::string>() + each["row"].dump());
  }
  const json shown = parsed(check({"turnaround-1-2", "--coverage", "--json"}).out)["coverage"];
  std::set<std::string> counted;
  for (const json& machine : shown["machines"]) {
    for (const json& each : machine["rows"]) {
      if (each["taken"] == true) counted.insert(machine["machine"].get<std::string>() + each["row"].dump());
    }
  }
  EXPECT_TRUE(std::ranges::includes(counted, rows));
  EXPECT_EQ(shown["rows_taken"], counted.size());
  EXPECT_EQ(shown["rules_shown"], run["summary"]["rules_shown"].size());
}

// ---- what the lessons that come with penstock show ----

TEST(ShippedLessons, ShowEveryRuleAndTakeEveryRow) {
  const ended run = check({"--coverage", "--least", "100"});
  EXPECT_EQ(run.code, 0) << run.out;
  const std::string rules = std::to_string(penstock::all_rules().size());
  EXPECT_THAT(run.out, HasSubstr("Rules shown: " + rules + " of " + rules + " (100 %).\nRows of the tables taken: "));
  EXPECT_THAT(run.out, Not(HasSubstr("not taken")));
  EXPECT_THAT(check({}).out, HasSubstr("Rules shown: " + rules + " of " + rules + " (100 %).\n"));
}

TEST(ShippedLessons, MissingOneThatAloneShowsARuleIsSaidByTheNameOfTheRule) {
  const json shown = parsed(check({"--coverage", "--json"}).out)["coverage"];
  const auto only_by = [](const json& rule) {
    return rule["lessons"].size() == 1 ? rule["lessons"][0].get<std::string>() : std::string{};
  };
  const std::string gap = only_by(found_in(shown["rules"], "id", "ENG-6"));
  ASSERT_THAT(gap, Not(IsEmpty())) << "several lessons show ENG-6 by now: choose another rule";
  std::vector<std::string> missing;
  for (const json& each : shown["rules"]) {
    if (only_by(each) == gap) missing.push_back(each["id"]);
  }
  std::vector<std::string> arguments{"--least", "100"};
  for (const penstock::shipped_file& each : penstock::shipped_lessons()) {
    if (each.name != gap) arguments.emplace_back(each.name);
  }
  const ended run = check(arguments);
  EXPECT_EQ(run.code, 1) << run.out;
  std::string names;
  for (const std::string& id : missing) names += (names.empty() ? "" : ", ") + id;
  EXPECT_THAT(run.out, HasSubstr("fewer than the 100 % of --least; never shown: " + names + "."));
}

TEST(Coverage, CountsTheRowThatRefuses) {
  const json shown = parsed(check({"in-flight-engine-loss", "--coverage", "--json"}).out)["coverage"];
  EXPECT_EQ(found_in(shown["machines"], "machine", "ram-air-pump")["rows_taken"], 3);
}

/// Whether a lesson with that beneath its only "expect:" shows a rule.
bool shows(const std::string& expect, const std::string& rule) {
  const temporary_folder folder;
  const std::string text = "lesson: A door\naircraft: twin-freighter\nbegin: {external-power: \"on\"}\nsteps:\n"
                           "  - at: 0:05\n    do: lever forward open\n    " + expect + "\n";
  const json result = parsed(check({folder.put("a.yaml", text), "--coverage", "--json"}).out);
  EXPECT_EQ(result["summary"]["errors"], 0) << result["lessons"];
  return found_in(result["coverage"]["rules"], "id", rule)["shown"];
}

TEST(Coverage, CountsWhatAnExpectationSaysThatItShowsIfItWasMet) {
  EXPECT_FALSE(shows("expect: [cargo-pump is delivering]", "GEN-1"));
  EXPECT_TRUE(shows("expect: [{now: cargo-pump is delivering, shows: GEN-1}]", "GEN-1"));
  EXPECT_TRUE(shows("expect: [{within 1 s: port is partial, shows: [GEN-3, GEN-1]}]", "GEN-1"));
  EXPECT_FALSE(shows("expect: [{now: cargo-pump is off, shows: GEN-1}]", "GEN-1"));
  EXPECT_FALSE(shows("expect: [{now: cargo-pump is delivering, shows: PTU-5}]", "PTU-5")) << "rows carry it";
  // What was met elsewhere does not make up for it.
  EXPECT_FALSE(shows("expect: [{now: [cargo-pump is delivering, keel-pump is delivering], shows: GEN-1}]", "GEN-1"));
  // Never judged: the step before waits in vain.
  EXPECT_FALSE(shows("expect: []\n  - when: port is normal\n    within: 5 s\n"
                     "    expect: [{now: cargo-pump is delivering, shows: GEN-1}]",
                     "GEN-1"));
}

TEST(Coverage, CountsReasonsThatAreAskedForOrCheckedOrOfConsumers) {
  EXPECT_FALSE(shows("expect: []", "ELP-2"));
  EXPECT_TRUE(shows("ask: Why does it run?\n    answer: cargo-pump", "ELP-2"));
  EXPECT_TRUE(shows("expect: [cargo-pump runs because ELP-2]", "ELP-2"));
  EXPECT_FALSE(shows("expect: [never for 1 s: cargo-pump is dry because LVL-4]", "LVL-4"));
  EXPECT_FALSE(shows("expect: [cargo-pump is not-wanted because ELP-2]", "ELP-2"));
  EXPECT_TRUE(shows("expect: [within 1 s: brakes is available]", "CON-1"));
  EXPECT_FALSE(shows("ask: Is there enough in it?\n    answer: port quantity", "LVL-5"));
  EXPECT_TRUE(shows("ask: Is there enough in it?\n    answer: port servicing", "LVL-5"));
}

TEST(Coverage, BelowTheLeastFails) {
  const ended few = check({"door-power-loss", "--least", "100"});
  EXPECT_EQ(few.code, 1);
  EXPECT_THAT(few.out, AllOf(HasSubstr("fewer than the 100 % of --least; never shown: GEN-"), HasSubstr("RES-2")));
  EXPECT_EQ(check({"door-power-loss", "--least", "100", "--json"}).code, 1);
  // Exactly the share that is asked for is enough: a lesson in which nothing happens shows nothing.
  const temporary_folder folder;
  const std::string still = folder.put("still.yaml", "lesson: Still\naircraft: twin-freighter\nsteps: [at: 0:05]\n");
  EXPECT_EQ(check({still, "--least", "0"}).code, 0);
  EXPECT_EQ(check({still, "--least", "1"}).code, 1);
  // The very share that is shown, and one more.
  const json shown = parsed(check({"door-power-loss", "--coverage", "--json"}).out)["coverage"];
  const unsigned share = shown["rules_shown"].get<unsigned>() * 100 / shown["rules_of"].get<unsigned>();
  EXPECT_EQ(check({"door-power-loss", "--least", std::to_string(share)}).code, 0);
  EXPECT_EQ(check({"door-power-loss", "--least", std::to_string(share + 1)}).code, 1);
}

// ---- JUnit ----

std::pair<int, std::string> shell(const std::string& command) {
  std::FILE* from = ::popen((command + " 2>&1").c_str(), "r");  // NOLINT(cert-env33-c)
  if (from == nullptr) return {-1, "the shell cannot be started"};
  std::string text;
  char piece[4096];
  while (const std::size_t got = std::fread(piece, 1, sizeof piece, from)) text.append(piece, got);
  const int status = ::pclose(from);
  return {WIFEXITED(status) ? WEXITSTATUS(status) : -1, text};
}

std::string in_quotes(const std::string& path) { return "'" + path + "'"; }

std::string answer_to(const std::string& xpath, const std::string& path) {
  auto [code, text] = shell("xmllint --xpath \"" + xpath + "\" " + in_quotes(path));
  EXPECT_EQ(code, 0) << xpath << ": " << text;
  while (text.ends_with('\n')) text.pop_back();
  return text;
}

// Schema, and what a schema cannot say: that counts and times add up.
void expect_junit(const std::string& path) {
  const auto [code, text] =
      shell("xmllint --noout --schema " + in_quotes(PENSTOCK_SOURCE_FOLDER "/tests/runner/junit.xsd") + " " +
            in_quotes(path));
  EXPECT_EQ(code, 0) << text << content_of(path).substr(0, 2000);
  for (const char* so : {"/testsuites/@tests = count(//testcase)",
                         "/testsuites/@failures = count(//failure)",
                         "/testsuites/@errors = count(//error)",
                         "count(//testsuite[@tests != count(testcase)]) = 0",
                         "count(//testsuite[@failures != count(testcase/failure)]) = 0",
                         "count(//testsuite[@errors != count(testcase/error)]) = 0",
                         "round(1000 * /testsuites/@time) = round(1000 * sum(//testsuite/@time))",
                         "count(//testsuite[round(1000 * sum(testcase/@time)) > round(1000 * @time)]) = 0"}) {
    EXPECT_EQ(answer_to(so, path), "true") << so;
  }
}

TEST(JUnit, FollowsTheSchemaAndItsCountsAddUp) {
  const temporary_folder folder;
  const std::string path = folder.of("results.xml");
  const ended run = check({"turnaround-1-2", "door-power-loss", folder.put("fine.yaml", good),
                           folder.put("f.yaml", failing), folder.put("w.yaml", bad), "--junit", path});
  EXPECT_EQ(run.code, 3) << run.err;
  expect_junit(path);
  EXPECT_EQ(answer_to("count(//testsuite)", path), "5");
  EXPECT_EQ(answer_to("string(//testsuite[@name='turnaround-1-2']/@time)", path), "3120.000");
  EXPECT_EQ(answer_to("string(//failure/@message)", path),
            "expected \"port is normal\" (" + folder.of("f.yaml") + ":9:13); found partial at 00:12.0");
  EXPECT_THAT(answer_to("string(//failure)", path), AllOf(HasSubstr("\nwhy:\n"), HasSubstr("[CGO-1]")));
  EXPECT_EQ(answer_to("string(//error/@type)", path), "lesson-expect");
  EXPECT_THAT(answer_to("string(//error)", path), HasSubstr(folder.of("w.yaml") + ":9:13: "));
}

TEST(JUnit, TellsExpectationsOfTheSameWordsApart) {
  const temporary_folder folder;
  const std::string path = folder.of("results.xml");
  EXPECT_EQ(check({folder.put("a.yaml", lesson_that_expects("[no alerts, no alerts]")), "--junit", path}).code, 0);
  expect_junit(path);
  EXPECT_EQ(answer_to("string(//testcase[2]/@name)", path), "00:12.0 no alerts (2)");
}

TEST(JUnit, CanBeReadWhateverStandsInNamesAndPhrases) {
  const temporary_folder folder;
  const std::string path = folder.of("results.xml");
  folder.put("a<b>&\"c\" ]]>\x01\x1b\xff\xef\xbf\xbe.yaml", lesson_that_expects("\"port\\tis\\n  normal\""));
  folder.put("\xc3\xa4.yaml", bad);
  const ended run = check({folder.path(), "--junit", path});
  EXPECT_EQ(run.code, 3) << run.err;
  expect_junit(path);
  EXPECT_EQ(answer_to("count(//testsuite[contains(@name, 'a<b>&')])", path), "1");
  EXPECT_THAT(run.out, Not(HasSubstr("\x1b")));
}

TEST(JUnit, ReplacesAnOldFileAndLeavesNothingBesideIt) {
  const temporary_folder folder;
  const std::string path = folder.put("results.xml", std::string(100'000, 'x'));
  fs::create_symlink("results.xml", folder.of("link.xml"));
  EXPECT_EQ(check({"door-power-loss", "--junit", folder.of("link.xml")}).code, 0);
  expect_junit(path);
  EXPECT_TRUE(fs::is_symlink(folder.of("link.xml")));
  EXPECT_THAT(folder.names(), ElementsAre("link.xml", "results.xml"));
}

void expect_unwritable(const std::string& path, const std::string& reason) {
  SCOPED_TRACE(path);
  const ended run = check({"door-power-loss", "--junit", path});
  EXPECT_EQ(run.code, 4);
  EXPECT_THAT(run.err, HasSubstr("penstock: " + path + ": cannot be written: " + reason + " [write]"));
  EXPECT_THAT(run.out, HasSubstr("1 lesson: 1 passed;"));  // the result is there all the same
}

TEST(JUnit, ThatCannotBeWrittenIsSaidByName) {
  const temporary_folder folder;
  expect_unwritable(folder.of("no-such-folder/results.xml"), "No such file or directory");
  expect_unwritable(folder.path(), "Is a directory");
  expect_unwritable(folder.put("file", "") + "/results.xml", "Not a directory");
  EXPECT_THAT(folder.names(), ElementsAre("file"));
  if (::access("/dev/full", W_OK) == 0) expect_unwritable("/dev/full", "No space left on device");
}

TEST(JUnit, OldFileStaysWhenTheNewOneCannotBeWritten) {
  const temporary_folder folder;
  const std::string path = folder.put("results.xml", "old");
  // The shell allows no file to grow; the program must notice instead of being ended by the signal.
  const auto [code, text] = shell("trap '' XFSZ; ulimit -f 0; " + in_quotes(penstock_tests::program_path()) +
                                  " check door-power-loss --junit " + in_quotes(path));
  EXPECT_EQ(code, 4) << text;
  EXPECT_THAT(text, HasSubstr("File too large"));
  EXPECT_EQ(content_of(path), "old");
  EXPECT_THAT(folder.names(), ElementsAre("results.xml"));
}

/// While it lives, programs that are started have no more rights than anybody; root would get past everything.
class without_rights {
 public:
  without_rights() {
    constexpr uid_t nobody = 65534;
    if (::geteuid() == 0) was_root_ = ::seteuid(nobody) == 0;
  }
  without_rights(const without_rights&) = delete;
  without_rights& operator=(const without_rights&) = delete;
  ~without_rights() {
    if (was_root_ && ::seteuid(0) != 0) std::abort();
  }
  [[nodiscard]] static bool can_start_the_program() {
#if defined(__has_feature)
#if __has_feature(address_sanitizer)
    return false;  // the sanitizer's runtime refuses to start with an effective user of its own
#endif
#endif
    return ::geteuid() != 0 && ::faccessat(AT_FDCWD, penstock_tests::program_path().c_str(), X_OK, AT_EACCESS) == 0;
  }

 private:
  bool was_root_ = false;
};

TEST(Check, ReportsWhatMayNotBeReadAndPlaysTheOthers) {
  const temporary_folder folder;
  const std::string secret = folder.put("secret.yaml", good);
  folder.put("a.yaml", good);
  folder.put("closed/b.yaml", good);
  fs::permissions(secret, fs::perms::none);
  fs::permissions(folder.of("closed"), fs::perms::none);
  ended run{};
  {
    const without_rights now;
    if (!now.can_start_the_program()) GTEST_SKIP() << "the program may not be started without rights";
    run = check({folder.path(), "--junit", folder.of("results.xml"), "--json"});
  }
  fs::permissions(folder.of("closed"), fs::perms::owner_all);
  EXPECT_EQ(run.code, 4);  // the folder is not anybody's to write into
  EXPECT_THAT(run.err, HasSubstr(folder.of("results.xml") + ": cannot be written: Permission denied"));
  const json all = parsed(run.out);
  EXPECT_EQ(all["summary"]["passed"], 1);
  ASSERT_EQ(all["summary"]["errors"], 2);
  EXPECT_EQ(all["lessons"][1]["lesson"], folder.of("closed"));
  EXPECT_EQ(all["lessons"][2]["lesson"], secret);
  for (const std::size_t i : {std::size_t{1}, std::size_t{2}}) {
    EXPECT_EQ(all["lessons"][i]["error"]["id"], "file-read");
    EXPECT_THAT(all["lessons"][i]["error"]["message"], HasSubstr("Permission denied"));
  }
}

}  // namespace
