// Diagrams: each form is well formed, shows every row, and points only at states that are there.
#include "penstock/draw.hpp"
#include "files/xml_reading.hpp"
#include "penstock/layout_file.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <set>
#include <string>
#include <vector>

namespace {

using namespace penstock;
using ::testing::HasSubstr;
using ::testing::Not;
using ::testing::StartsWith;

layout shipped(const std::string& name) {
  auto read = load_layout(name);
  EXPECT_TRUE(read) << (read ? "" : to_string(read.problem()));
  return *std::move(read);
}

using penstock_tests::element;
using penstock_tests::xml_reading;

void expect_sound_scxml(const std::string& text) {
  const xml_reading read{text};
  ASSERT_EQ(read.problem, "");
  std::set<std::string> states;
  for (const element& each : read.elements) {
    if (each.name != "state" && each.name != "parallel") continue;
    EXPECT_TRUE(states.insert(each.attributes.at("id")).second) << each.attributes.at("id") << " is there twice";
  }
  std::size_t transitions = 0;
  for (const element& each : read.elements) {
    for (const char* reference : {"target", "initial"}) {
      const auto found = each.attributes.find(reference);
      if (found == each.attributes.end()) continue;
      EXPECT_TRUE(states.contains(found->second)) << found->second;
    }
    if (each.name == "transition") ++transitions;
  }
  EXPECT_GT(transitions, 0U);
  EXPECT_EQ(read.elements.front().attributes.at("xmlns"), "http://www.w3.org/2005/07/scxml");
}

std::vector<machine> machines_of(const layout& of) {
  std::vector<machine> all;
  for (std::size_t m = 0; m < machine_count; ++m) {
    const auto which = static_cast<machine>(m);
    for (std::uint8_t i = 0; i < detail::machine_places::many[m]; ++i) {
      if (!has_machine(of, which, i)) continue;
      all.push_back(which);
      break;
    }
  }
  return all;
}

class Drawing : public ::testing::TestWithParam<const char*> {};

TEST_P(Drawing, InScxmlIsWellFormedAndEveryTargetIsAState) {
  const layout of = shipped(GetParam());
  expect_sound_scxml(drawn(of, diagram::scxml));
  for (const machine which : machines_of(of)) {
    SCOPED_TRACE(word(which));
    expect_sound_scxml(drawn(of, diagram::scxml, which));
  }
}

TEST_P(Drawing, InScxmlHasARegionForEachMachineOfEachComponent) {
  const layout of = shipped(GetParam());
  const std::string text = drawn(of, diagram::scxml);
  for (std::uint8_t i = 0; i < of.count(component::engine); ++i) {
    const std::string id = std::string{of.name({component::engine, i})} + ".engine";
    EXPECT_THAT(text, HasSubstr("<state id=\"" + id + "\" initial=\"" + id + ".stopped\">"));
  }
}

// An interpreter takes the first transition that holds, so their order is part of what they say.
TEST_P(Drawing, InScxmlHasTheRowsOfAStateInTheOrderOfTheTable) {
  const layout of = shipped(GetParam());
  for (const machine which : machines_of(of)) {
    const xml_reading read{drawn(of, diagram::scxml, which)};
    std::vector<std::string> found;
    std::string state;
    for (const element& each : read.elements) {
      if (each.name == "state") state = each.attributes.at("id");
      if (each.name != "transition") continue;
      const auto target = each.attributes.find("target");
      found.push_back(state + " " + each.attributes.at("event") + " " +
                      (target == each.attributes.end() ? "refused" : target->second));
    }
    std::vector<std::string> expected;
    for (std::uint8_t mode = 0; mode < mode_count(which); ++mode) {
      for (const table_row& row : rows_of(which)) {
        if (row.source != mode) continue;
        expected.push_back(std::string{mode_word(which, mode)} + " " + std::string{event_word(which, row.event)} + " " +
                           (row.refuses ? "refused" : std::string{mode_word(which, row.target)}));
      }
    }
    EXPECT_EQ(found, expected) << word(which);
  }
}

// Everything that a condition or an assignment names is there; nothing is left for the reader of the file to supply.
TEST_P(Drawing, InScxmlNamesOnlyInputsAndDataThatItHas) {
  const layout of = shipped(GetParam());
  std::set<std::string> roots;
  const xml_reading read{drawn(of, diagram::scxml)};
  for (const element& each : read.elements) {
    if (each.name == "data") roots.insert(each.attributes.at("id"));
    EXPECT_NE(each.name, "script");
    if (each.name != "transition" && each.name != "assign") continue;
    for (const char* holder : {"cond", "expr", "location"}) {
      const auto found = each.attributes.find(holder);
      if (found == each.attributes.end()) continue;
      EXPECT_THAT(found->second, Not(HasSubstr("()")));
      for (auto dot = found->second.find('.'); dot != std::string::npos; dot = found->second.find('.', dot + 1)) {
        const auto before = found->second.find_last_not_of("abcdefghijklmnopqrstuvwxyz0123456789_", dot - 1);
        const std::string root = found->second.substr(before + 1, dot - before - 1);
        EXPECT_TRUE(root == "_event" || root == "data" || roots.contains(root)) << root << " in " << found->second;
      }
    }
  }
}

// What a machine remembers stands at its first values in SCXML, as it does cold and dark.
TEST_P(Drawing, InScxmlBeginsWithTheMemoryAsItIsColdAndDark) {
  const logic_state beginning = cold_and_dark(shipped(GetParam())).logic;
  for (const auto& each : beginning.engines) EXPECT_FALSE(each.starter_is_out);
  for (const auto& each : beginning.electric_pumps) EXPECT_EQ(each.starts, 0);
  for (const auto& each : beginning.units) {
    EXPECT_EQ(each.outcome, test_outcome{});
    EXPECT_EQ(each.reason, test_reason{});
    EXPECT_FALSE(each.failed_caution);
  }
}

// Region and machine are one name to the interpreter, so that each machine is told its own inputs.
TEST_P(Drawing, InScxmlHasEventsForEachMachineOfEachComponent) {
  const layout of = shipped(GetParam());
  std::string region;
  const xml_reading read{drawn(of, diagram::scxml)};
  for (const element& each : read.elements) {
    if (each.name == "state" && each.attributes.contains("initial")) region = each.attributes.at("id");
    if (each.name != "transition") continue;
    EXPECT_THAT(each.attributes.at("event"), StartsWith(region + "."));
  }
  EXPECT_NE(region, "");
}

TEST_P(Drawing, HasEveryRowInEveryForm) {
  const layout of = shipped(GetParam());
  for (const machine which : machines_of(of)) {
    const xml_reading scxml{drawn(of, diagram::scxml, which)};
    const std::string dot = drawn(of, diagram::dot, which);
    const std::string mermaid = drawn(of, diagram::mermaid, which);
    std::size_t arrows = 0;
    for (auto at = mermaid.find("--> "); at != std::string::npos; at = mermaid.find("--> ", at + 1)) ++arrows;
    const auto in_scxml = std::ranges::count(scxml.elements, "transition", &element::name);
    EXPECT_EQ(static_cast<std::size_t>(in_scxml), rows_of(which).size()) << word(which);
    EXPECT_EQ(arrows, rows_of(which).size() + 1) << word(which) << ": each row, and where it begins";
    for (const table_row& row : rows_of(which)) {
      for (const std::string& text : {dot, mermaid}) {
        EXPECT_THAT(text, HasSubstr(std::string{event_word(which, row.event)}));
        EXPECT_THAT(text, HasSubstr(std::string{row.rules}));
        EXPECT_THAT(text, HasSubstr(std::string{row.sentence}));
        const std::string guard = row.guard == "always" ? "" : "[" + std::string{row.guard} + "]";
        EXPECT_THAT(text, HasSubstr(guard));
      }
    }
  }
}

TEST_P(Drawing, InDotHasBalancedQuotesAndBrackets) {
  for (const std::string& text : {drawn(shipped(GetParam()), diagram::dot)}) {
    int curly = 0;
    int square = 0;
    bool quoted = false;
    for (std::size_t i = 0; i < text.size(); ++i) {
      if (quoted && text[i] == '\\') {
        ++i;
      } else if (text[i] == '"') {
        quoted = !quoted;
      } else if (!quoted) {
        curly += text[i] == '{' ? 1 : text[i] == '}' ? -1 : 0;
        square += text[i] == '[' ? 1 : text[i] == ']' ? -1 : 0;
      } else {
        ASSERT_NE(text[i], '\n') << "a line ends within quotes";
      }
      ASSERT_GE(curly, 0);
      ASSERT_GE(square, 0);
    }
    EXPECT_FALSE(quoted);
    EXPECT_EQ(curly, 0);
    EXPECT_EQ(square, 0);
  }
}

TEST_P(Drawing, InMermaidPointsOnlyAtStatesThatWereNamed) {
  std::string text = drawn(shipped(GetParam()), diagram::mermaid);
  std::set<std::string> named{"[*]"};
  std::vector<std::string> used;
  while (!text.empty()) {
    const auto end = text.find('\n');
    const std::string line = text.substr(0, end);
    text.erase(0, end + 1);
    const auto begin = line.find_first_not_of(' ');
    if (line.find("%%") == begin) continue;
    if (const auto as = line.find("\" as "); as != std::string::npos) {
      named.insert(line.substr(as + 5, line.find(' ', as + 5) - as - 5));
    } else if (const auto arrow = line.find(" --> "); arrow != std::string::npos) {
      used.push_back(line.substr(begin, arrow - begin));
      used.push_back(line.substr(arrow + 5, line.find(' ', arrow + 5) - arrow - 5));
    }
  }
  EXPECT_FALSE(used.empty());
  for (const std::string& each : used) EXPECT_TRUE(named.contains(each)) << each;
}

INSTANTIATE_TEST_SUITE_P(Shipped, Drawing, ::testing::Values("twin-freighter", "four-engine", "small-twin"),
                         [](const auto& each) {
                           std::string name = each.param;
                           std::ranges::replace(name, '-', 'x');
                           return name;
                         });

}  // namespace
