// penstock rules --trace: rules, rows, tests and lessons, and what is missing. JSON is tried against its schema by
// Debian's python3-jsonschema and pages by xmllint, which are not ours.
#include "files/xml_reading.hpp"
#include "penstock/layout_file.hpp"
#include "penstock/modes.hpp"
#include "penstock/rules.hpp"
#include "penstock/transition.hpp"
#include "runner/program.hpp"
#include "runner/temporary_folder.hpp"
#include "runner/trace_forms.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <array>
#include <cstdlib>
#include <fstream>
#include <map>
#include <set>
#include <string>
#include <utility>
#include <vector>

namespace {

using namespace penstock::runner;
using nlohmann::json;
using penstock::machine;
using penstock::rule;
using penstock_tests::element;
using penstock_tests::ended;
using penstock_tests::run_program;
using penstock_tests::temporary_folder;
using penstock_tests::text_of;
using penstock_tests::xml_reading;
using ::testing::AllOf;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Not;

// ---- made-up rules ----

constexpr auto two_rules = std::to_array<rule>({
    {"ONE-1", "A lever moves <b>one</b> door & no other.", "invented", false},
    {"TWO-1", "A second rule.", "invented", true},
});
constexpr auto two_tests = std::to_array<rule_test>({
    {"ONE-1", "Lever", "Moves", "tests/doors/lever_test.cpp", 12},
    {"ONE-1 TWO-1", "Lever", "Stays", "tests/doors/lever_test.cpp", 20},
});

built_place row(std::string_view rules, std::uint8_t number = 0) {
  return {rules, "engine", "row " + std::to_string(number), "what the row says", row_of_table{machine::engine, number}};
}

// Without a gap.
trace_sources whole() {
  return {two_rules,
          {row("ONE-1"), {"TWO-1", "settling", "a_function", "what it does", {}}},
          two_tests,
          {{"a-lesson", "A lesson", true, {{"ONE-1", 1000}, {"TWO-1", 61'500}}, {row_of_table{machine::engine, 0}}}}};
}

std::vector<std::string> gaps_of(const trace_sources& from) {
  std::vector<std::string> all;
  for (const gap& each : gaps_in(from)) all.push_back(std::string{word_of(each.what)} + "|" + each.about + "|" + each.rule);
  return all;
}

TEST(Trace, LinksARuleWithItsPlacesTestsAndLessons) {
  const trace_sources from = whole();
  const std::vector<traced_rule> all = traced(from);
  ASSERT_EQ(all.size(), 2U);
  EXPECT_EQ(all[0].what->id, "ONE-1");
  EXPECT_THAT(all[0].places, ElementsAre(&from.places[0]));
  EXPECT_THAT(all[0].tests, ElementsAre(&two_tests[0], &two_tests[1]));
  EXPECT_THAT(all[1].places, ElementsAre(&from.places[1]));
  EXPECT_THAT(all[1].tests, ElementsAre(&two_tests[1]));
  ASSERT_EQ(all[1].lessons.size(), 1U);
  EXPECT_EQ(all[1].lessons[0].lesson, &from.lessons[0]);
  EXPECT_EQ(all[1].lessons[0].at, 61'500U);
}

TEST(Trace, FindsNoGapWhereThereIsNone) { EXPECT_THAT(gaps_of(whole()), IsEmpty()); }

TEST(Trace, FindsARuleThatIsBuiltNowhere) {
  trace_sources from = whole();
  from.places.pop_back();
  EXPECT_THAT(gaps_of(from), ElementsAre("no-place|TWO-1|TWO-1"));
}

TEST(Trace, FindsARuleThatNoTestQuotes) {
  trace_sources from = whole();
  from.tests = std::span{two_tests}.first(1);
  EXPECT_THAT(gaps_of(from), ElementsAre("no-test|TWO-1|TWO-1"));
}

TEST(Trace, DoesNotInventGapsWhereTestsAreNotKnown) {
  trace_sources from = whole();
  from.tests.reset();
  EXPECT_THAT(gaps_of(from), IsEmpty());
}

TEST(Trace, FindsARuleThatNoLessonShows) {
  trace_sources from = whole();
  from.lessons[0].rules.erase("ONE-1");
  EXPECT_THAT(gaps_of(from), ElementsAre("no-lesson|ONE-1|ONE-1"));
}

TEST(Trace, FindsRowsTestsAndLessonsWithoutARule) {
  trace_sources from = whole();
  from.places.push_back(row("", 3));
  const std::vector<rule_test> tests{two_tests[0], two_tests[1], {"", "Lever", "Idles", "tests/a_test.cpp", 7}};
  from.tests = tests;
  from.lessons.push_back({"quiet", "Nothing happens", true, {}, {}});
  EXPECT_THAT(gaps_of(from), ElementsAre("no-rule|engine, row 3|", "no-rule|test Lever.Idles (tests/a_test.cpp:7)|",
                                         "no-rule|lesson quiet|"));
}

TEST(Trace, FindsRulesThatAreNotInTheCatalogue) {
  trace_sources from = whole();
  from.places.push_back({"ONE-1 ONE-11", "alert steering", "a_rung", "what it says", {}});
  const std::vector<rule_test> tests{two_tests[1], {"TWO-2 ONE-1", "Lever", "Moves", "tests/a_test.cpp", 9}};
  from.tests = tests;
  from.lessons[0].rules.emplace("THREE-1", 0);
  EXPECT_THAT(gaps_of(from), ElementsAre("unknown-rule|alert steering, a_rung|ONE-11",
                                         "unknown-rule|test Lever.Moves (tests/a_test.cpp:9)|TWO-2",
                                         "unknown-rule|lesson a-lesson|THREE-1"));
}

// Every kind of gap at once.
trace_sources broken() {
  static const std::vector<rule_test> tests{{"NIL-<1>", "Lever", "Idles", "tests/a_test.cpp", 7}};
  trace_sources from = whole();
  from.places = {row("ONE-1", 0), row("", 1)};
  from.tests = tests;
  from.lessons[0].rules.erase("TWO-1");
  from.lessons[0].passed = false;
  return from;
}

TEST(Trace, SaysEveryKindOfGapInWordsAndOnThePage) {
  const std::vector<gap> gaps = gaps_in(broken());
  std::set<gap::kind> kinds;
  for (const gap& each : gaps) kinds.insert(each.what);
  ASSERT_EQ(kinds.size(), gap_kinds);
  const std::string words = trace_in_words(broken());
  EXPECT_THAT(words, AllOf(HasSubstr("6 gaps.\n"), HasSubstr("Built nowhere: TWO-1\n"),
                           HasSubstr("No test quotes: ONE-1, TWO-1\n"), HasSubstr("No lesson shows: TWO-1\n"),
                           HasSubstr("Without a rule: engine, row 1\n"),
                           HasSubstr("Not in the catalogue: NIL-<1> of test Lever.Idles (tests/a_test.cpp:7)\n")));
  const std::string page = trace_as_page(broken());
  EXPECT_THAT(page, AllOf(HasSubstr("<p class=\"lead\">Built nowhere (1)</p>"),
                          HasSubstr("<p class=\"missing\">Nowhere.</p>"),
                          HasSubstr("<p class=\"missing\">By no test.</p>"),
                          HasSubstr("<p class=\"missing\">By no lesson.</p>"), HasSubstr("<p>engine, row 1</p>"),
                          HasSubstr("NIL-&lt;1&gt; of test Lever.Idles (tests/a_test.cpp:7)"),
                          HasSubstr("did not go as it expects")));
}

TEST(Trace, SaysWhereItIsSoThatThereIsNoGap) {
  EXPECT_THAT(trace_in_words(whole()), AllOf(HasSubstr("2 rules: 2 built, 2 tested, 2 shown by a lesson."),
                                             HasSubstr("No gaps.")));
  EXPECT_THAT(trace_as_page(whole()), HasSubstr("None. Every rule is built, a test quotes it and a lesson shows it"));
}

TEST(Trace, SaysThatTestsAreNotKnown) {
  trace_sources from = whole();
  from.tests.reset();
  EXPECT_THAT(trace_in_words(from), AllOf(HasSubstr("built without its tests"), HasSubstr("2 built, 2 shown")));
  EXPECT_THAT(trace_as_page(from), AllOf(HasSubstr("built without its tests"), Not(HasSubstr("By no test"))));
  const json value = json::parse(trace_as_json(from).dump());
  EXPECT_TRUE(value["summary"]["tests"].is_null());
  EXPECT_TRUE(value["summary"]["rules_tested"].is_null());
  EXPECT_TRUE(value["rules"][0]["tests"].is_null());
}

TEST(Trace, EscapesTextsAndShowsTimesOfTheLesson) {
  const std::string page = trace_as_page(whole());
  EXPECT_THAT(page, HasSubstr("A lever moves &lt;b&gt;one&lt;/b&gt; door &amp; no other."));
  EXPECT_THAT(page, HasSubstr("a-lesson</a> at 01:01.5"));
  EXPECT_THAT(page, HasSubstr("Only on aircraft whose layout has it."));
}

// ---- by programs that are not ours ----

int shell(const std::string& command) { return std::system(command.c_str()); }  // NOLINT(cert-env33-c)

std::string schema() {
  for (const penstock::shipped_file& each : penstock::shipped_schemas()) {
    if (each.name == "trace") return std::string{each.text};
  }
  return {};
}

// Whether a schema allows a value, as Debian's python3-jsonschema sees it.
bool is_valid(const std::string& value) {
  const temporary_folder folder;
  std::ofstream{folder.file("schema.json")} << schema();
  std::ofstream{folder.file("value.json")} << value;
  return shell("python3 -c 'import json, sys, jsonschema; s = json.load(open(sys.argv[1])); "
               "jsonschema.Draft202012Validator.check_schema(s); "
               "sys.exit(0 if jsonschema.Draft202012Validator(s).is_valid(json.load(open(sys.argv[2]))) else 1)' '" +
               folder.file("schema.json") + "' '" + folder.file("value.json") + "'") == 0;
}

bool has_python() { return shell("python3 -c 'import jsonschema' >/dev/null 2>&1") == 0; }

void expect_well_formed(const std::string& page) {
  const temporary_folder folder;
  std::ofstream{folder.file("page.html")} << page;
  EXPECT_EQ(shell("xmllint --noout '" + folder.file("page.html") + "'"), 0);
}

TEST(TraceJson, FollowsItsSchemaWhateverIsMissing) {
  if (!has_python()) GTEST_SKIP() << "python3-jsonschema is not installed";
  trace_sources unknown = whole();
  unknown.tests.reset();
  for (const trace_sources& each : {whole(), broken(), unknown}) EXPECT_TRUE(is_valid(trace_as_json(each).dump()));
  json wrong = json::parse(trace_as_json(broken()).dump());
  wrong["gaps"][0]["kind"] = "no-reason";
  EXPECT_FALSE(is_valid(wrong.dump()));
}

TEST(TracePage, IsWellFormedWhateverIsMissing) {
  trace_sources unknown = whole();
  unknown.tests.reset();
  for (const trace_sources& each : {whole(), broken(), unknown}) expect_well_formed(trace_as_page(each));
}

// ---- the program ----

// Each form once: all lessons are played for it.
const ended& traced_as(const std::string& form) {
  static std::map<std::string, ended> known;
  const auto found = known.find(form);
  if (found != known.end()) return found->second;
  return known.emplace(form, run_program({"rules", "--trace", "--as", form})).first->second;
}

json value() { return json::parse(traced_as("json").out, nullptr, false); }

TEST(RulesTrace, EndsWithOneWhereThereIsAGapAndWithZeroOtherwise) {
  const json gaps = value()["gaps"];
  for (const char* form : {"text", "html", "json"}) {
    EXPECT_EQ(traced_as(form).code, gaps.empty() ? 0 : 1) << form;
    EXPECT_THAT(traced_as(form).err, IsEmpty());
  }
  EXPECT_EQ(value()["summary"]["gaps"], gaps.size());
  for (const json& each : gaps) {
    const json& about = each["rule"].is_string() ? each["rule"] : each["about"];
    EXPECT_THAT(traced_as("text").out, HasSubstr(about.get<std::string>()));
  }
}

TEST(RulesTrace, FollowsItsSchema) {
  if (!has_python()) GTEST_SKIP() << "python3-jsonschema is not installed";
  EXPECT_TRUE(is_valid(traced_as("json").out));
}

TEST(RulesTrace, HasEveryRuleWithItsRowsAndItsTests) {
  const json rules = value()["rules"];
  ASSERT_EQ(rules.size(), penstock::all_rules().size());
  const auto tests = rule_tests();
  ASSERT_TRUE(tests);
  for (std::size_t i = 0; i < rules.size(); ++i) {
    const rule& one = penstock::all_rules()[i];
    EXPECT_EQ(rules[i]["id"], one.id);
    EXPECT_EQ(rules[i]["sentence"], one.sentence);
    EXPECT_NE(title_of_family(rules[i]["family"].get<std::string>()), "") << one.id;
    std::size_t rows = 0;
    for (std::size_t m = 0; m < penstock::machine_count; ++m) {
      for (const penstock::table_row& each : penstock::rows_of(static_cast<machine>(m))) {
        rows += penstock::names_rule(each.rules, one.id) ? 1 : 0;
      }
    }
    EXPECT_EQ(rules[i]["rows"].size(), rows) << one.id;
    const auto quotes = [&](const rule_test& each) { return penstock::names_rule(each.rules, one.id); };
    EXPECT_EQ(rules[i]["tests"].size(), static_cast<std::size_t>(std::ranges::count_if(*tests, quotes))) << one.id;
  }
}

TEST(RulesTrace, AgreesWithCheckOnWhatLessonsShow) {
  const json trace = value();
  const json shown = json::parse(run_program({"check", "--json", "--coverage"}).out, nullptr, false)["coverage"];
  ASSERT_EQ(trace["rules"].size(), shown["rules"].size());
  for (std::size_t i = 0; i < shown["rules"].size(); ++i) {
    json lessons = json::array();
    for (const json& each : trace["rules"][i]["lessons"]) lessons.push_back(each["lesson"]);
    EXPECT_EQ(lessons, shown["rules"][i]["lessons"]) << shown["rules"][i]["id"];
  }
  EXPECT_EQ(trace["summary"]["rows_taken"], shown["rows_taken"]);
}

// The rules that a lesson shows when it is stopped at that time.
std::set<std::string> shown_until(const std::string& lesson, std::uint32_t at) {
  const ended run = run_program({"run", lesson, "--json", "--until", std::to_string(at) + " ms"});
  return json::parse(run.out, nullptr, false)["summary"]["rules_shown"];
}

TEST(RulesTrace, SaysWhenALessonShowsARuleForTheFirstTime) {
  const std::string lesson = "door-power-loss";
  std::map<std::uint32_t, std::set<std::string>> first;
  const json rules = value()["rules"];
  for (const json& each : rules) {
    for (const json& shown : each["lessons"]) {
      if (shown["lesson"] == lesson) first[shown["at"]].insert(each["id"]);
    }
  }
  ASSERT_GT(first.size(), 3U) << "times at which it shows something new";
  std::set<std::string> before;
  for (const auto& [at, ids] : first) {
    if (at > 0) {
      EXPECT_EQ(shown_until(lesson, at - 1), before) << at;
    }
    before.insert(ids.begin(), ids.end());
    EXPECT_EQ(shown_until(lesson, at), before) << at;
  }
}

// ---- the page ----

TEST(RulesTracePage, IsWellFormedRunsNothingAndLeadsSomewhere) {
  const std::string& page = traced_as("html").out;
  expect_well_formed(page);
  const std::string first = "<!DOCTYPE html>";
  const xml_reading read{"<?xml version=\"1.0\" encoding=\"UTF-8\"?>" + page.substr(first.size())};
  EXPECT_EQ(read.problem, "");
  std::set<std::string> anchors;
  std::set<std::string> links;
  for (const element& each : read.elements) {
    EXPECT_THAT((std::vector<std::string>{"script", "img", "iframe", "link"}), Not(::testing::Contains(each.name)));
    for (const auto& [name, value] : each.attributes) {
      EXPECT_FALSE(name.starts_with("on") || name == "src") << each.name << " " << name;
      EXPECT_TRUE(name != "id" || anchors.insert(value).second) << value << " twice";
      if (name == "href") links.insert(value);
    }
  }
  for (const std::string& each : links) {
    EXPECT_TRUE(each.starts_with("#") && anchors.contains(each.substr(1))) << each << " leads nowhere";
  }
  // From the index to each rule, and from the rules to each row.
  for (const rule& each : penstock::all_rules()) EXPECT_TRUE(links.contains("#" + std::string{each.id})) << each.id;
  for (std::size_t m = 0; m < penstock::machine_count; ++m) {
    const auto which = static_cast<machine>(m);
    for (std::size_t i = 0; i < penstock::rows_of(which).size(); ++i) {
      const std::string anchor = std::string{word(which)} + "-row-" + std::to_string(i);
      EXPECT_TRUE(links.contains("#" + anchor)) << anchor;
    }
  }
}

TEST(RulesTracePage, OpensWithItsCounts) {
  const json summary = value()["summary"];
  const std::string& page = traced_as("html").out;
  for (const char* each : {"rules", "rows", "tests", "lessons"}) {
    EXPECT_THAT(page, HasSubstr("<td class=\"number\">" + summary[each].dump() + "</td>")) << each;
  }
  EXPECT_LT(page.find("Summary</h2>"), page.find("Gaps</h2>"));
  EXPECT_LT(page.find("Gaps</h2>"), page.find("Index by family</h2>"));
  EXPECT_LT(page.find("Index by family</h2>"), page.find("The rules</h2>"));
}

// ---- files ----

TEST(RulesTrace, WritesTheFormThatTheNameOfTheFileSaysAndTellsTheGaps) {
  const temporary_folder folder;
  for (const char* form : {"html", "json"}) {
    const std::string path = folder.file(std::string{"trace."} + form);
    const ended run = run_program({"rules", "--trace", "-o", path});
    EXPECT_EQ(run.code, traced_as(form).code) << run.err;
    EXPECT_EQ(run.out, traced_as("text").out);
    EXPECT_EQ(text_of(path), traced_as(form).out);
  }
}

TEST(RulesTrace, EndsWithFourWhenTheFileCannotBeWritten) {
  const ended run = run_program({"rules", "--trace", "-o", "/no-such-folder/trace.json"});
  EXPECT_EQ(run.code, 4);
  EXPECT_THAT(run.err, HasSubstr("/no-such-folder/trace.json"));
}

}  // namespace
