// Curves of played lessons: what is recorded, and that picture, CSV and VCD tell the same.
#include "penstock/curves.hpp"

#include "files/csv_reading.hpp"
#include "files/fixed_text.hpp"
#include "files/picture.hpp"
#include "files/vcd_reading.hpp"
#include "files/xml_reading.hpp"
#include "penstock/layout_file.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <iterator>
#include <limits>
#include <map>
#include <set>
#include <sstream>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

namespace {

using namespace penstock;
using namespace std::chrono_literals;
using penstock_tests::csv_reading;
using penstock_tests::element;
using penstock_tests::vcd_reading;
using penstock_tests::vcd_variable;
using penstock_tests::xml_reading;
using ::testing::HasSubstr;
using ::testing::Not;

lesson loaded(const std::string& name) {
  auto made = load_lesson(name);
  EXPECT_TRUE(made) << (made ? "" : to_string(made.problem()));
  return *std::move(made);
}

lesson read(const std::string& text) {
  auto made = lesson_from_yaml(text, "probe.yaml");
  if (!made) {
    ADD_FAILURE() << to_string(made.problem());
    return {};
  }
  return *std::move(made);
}

const std::string door_lesson = R"(lesson: A door
aircraft: twin-freighter
steps:
  - at: 0:05
    say: "Power on. <The> \"lever\" & more."
    do: external-power on
  - at: 0:12
    do: lever forward open
end: 0:50
)";

curves recorded(const lesson& what, std::optional<milliseconds> until = {}) {
  curve_recorder recorder{what, until};
  static_cast<void>(play(what, recorder, until));
  return recorder.taken();
}

const recorded_quantity& quantity(const curves& of, std::string_view name) {
  const auto found = std::ranges::find_if(of.quantities, [&](const auto& each) { return name_of(each) == name; });
  if (found == of.quantities.end()) throw std::out_of_range{"no quantity " + std::string{name}};
  return *found;
}
const recorded_state& state_named(const curves& of, std::string_view name) {
  const auto found = std::ranges::find_if(of.states, [&](const auto& each) { return name_of(each) == name; });
  if (found == of.states.end()) throw std::out_of_range{"no state " + std::string{name}};
  return *found;
}

/// The row of a time, or the last one before it.
std::size_t row_at(const curves& of, milliseconds t) {
  return static_cast<std::size_t>(std::ranges::upper_bound(of.at, t) - of.at.begin()) - 1;
}

std::vector<std::string> shipped_names() {
  std::vector<std::string> names;
  for (const shipped_file& each : shipped_lessons()) names.emplace_back(each.name);
  return names;
}

// ---- The record ----

TEST(CurveRecorder, HasTheMillisecondBeforeAndTheMomentOfEachEvent) {
  const curves of = recorded(read(door_lesson));
  ASSERT_TRUE(std::ranges::binary_search(of.at, 11'999ms));
  ASSERT_TRUE(std::ranges::binary_search(of.at, 12'000ms));
  const recorded_state& pump = state_named(of, "cargo-pump reason");
  EXPECT_EQ(pump.word_at(row_at(of, 11'999ms)), "not-wanted");
  EXPECT_EQ(pump.word_at(row_at(of, 12'000ms)), "delivering");
}

TEST(CurveRecorder, HasBothSidesOfWhatHappensByItself) {
  const curves of = recorded(read(door_lesson));
  const recorded_state& mode = state_named(of, "forward mode");
  const auto open = std::ranges::find_if(mode.codes, [&](auto code) { return mode.words[code] == "at-end"; });
  ASSERT_NE(open, mode.codes.end());
  const auto row = static_cast<std::size_t>(open - mode.codes.begin());
  EXPECT_EQ(of.at[row] - of.at[row - 1], 1ms);
  EXPECT_LT(*quantity(of, "forward position").values[row - 1], 100.0);
  EXPECT_GT(*quantity(of, "forward position").values[row], *quantity(of, "forward position").values[row - 1]);
}

TEST(CurveRecorder, HasRisingTimesFromTheBeginningToTheEnd) {
  for (const std::string& name : shipped_names()) {
    const lesson what = loaded(name);
    const curves of = recorded(what);
    EXPECT_EQ(of.at.front(), 0ms) << name;
    // Where steps wait, the end that the lesson tells is the latest that is possible.
    lesson_audience nobody;
    EXPECT_EQ(of.at.back(), milliseconds{play(what, nobody).at_end.chronicle.now}) << name;
    EXPECT_LE(of.at.back(), what.end) << name;
    EXPECT_EQ(std::ranges::adjacent_find(of.at, std::greater_equal<>{}), of.at.end()) << name;
    for (const recorded_quantity& each : of.quantities) EXPECT_EQ(each.values.size(), of.at.size()) << name_of(each);
    for (const recorded_state& each : of.states) EXPECT_EQ(each.codes.size(), of.at.size()) << name_of(each);
  }
}

TEST(CurveRecorder, SamplesAShortLessonFinelyAndEndsWherePlayingEnds) {
  const curves of = recorded(read(door_lesson), 20s);
  EXPECT_EQ(of.at.back(), 20s);
  // The door moves: no sample may be missing.
  for (milliseconds t = 12'010ms; t < 20s; t += 10ms) EXPECT_TRUE(std::ranges::binary_search(of.at, t)) << t.count();
}

TEST(CurveRecorder, DoesNotChangeWhatHappens) {
  for (const char* name : {"turnaround-1-2", "four-engine-start", "small-twin-hand-pump"}) {
    for (const plant_kind plant : {plant_kind::quasi_static, plant_kind::fluid}) {
      lesson what = loaded(name);
      what.plant = plant;
      lesson_audience nobody;
      curve_recorder recorder{what};
      const lesson_result without = play(what, nobody);
      const lesson_result with = play(what, recorder);
      EXPECT_TRUE(without.at_end == with.at_end) << name << ", " << word(plant);
      ASSERT_EQ(without.failures.size(), with.failures.size()) << name << ", " << word(plant);
      for (std::size_t i = 0; i < with.failures.size(); ++i) {
        EXPECT_EQ(without.failures[i].found, with.failures[i].found) << name << ", " << word(plant);
        EXPECT_EQ(without.failures[i].at, with.failures[i].at) << name << ", " << word(plant);
      }
    }
  }
}

/// Sees each tenth of a second, whatever a recorder leaves out.
class witness : public lesson_audience {
 public:
  explicit witness(std::function<void(const simulation&)> tell) : tell_{std::move(tell)} {}
  [[nodiscard]] milliseconds sampling() const override { return 100ms; }
  void sampled(const simulation& playing) override { tell_(playing); }

 private:
  std::function<void(const simulation&)> tell_;
};

TEST(CurveRecorder, IsBoundedOverADayAndKeepsExtremesAndChanges) {
  // Eleven hours in which the level of one reservoir changes all the time (invented).
  const lesson what = read(
      "lesson: A slow leak\naircraft: twin-freighter\nsteps:\n"
      "  - at: 0:10\n    do: inject reservoir-leak port 0.4 mL/s\n"
      "  - at: 6:00:00\n    do: external-power on\n"
      "  - at: 6:00:01\n    do: lever forward open\n"
      "  - at: 6:00:02\n    do: lever forward neutral\nend: 23:00:00\n");
  const curves of = recorded(what);
  EXPECT_LE(of.at.size(), curve_recorder::most_rows);
  EXPECT_GT(of.at.size(), curve_recorder::most_rows / 8);
  const recorded_quantity& level = quantity(of, "port quantity");
  double least = std::numeric_limits<double>::infinity();
  double greatest = -least;
  witness watching{[&](const simulation& playing) {
    const double now = reading(playing, level.about, level.what).value_or(0.0);
    least = std::min(least, now);
    greatest = std::max(greatest, now);
  }};
  static_cast<void>(play(what, watching));
  const auto [low, high] = std::ranges::minmax_element(level.values);
  EXPECT_EQ(**low, least);
  EXPECT_EQ(**high, greatest);
  const recorded_state& mode = state_named(of, "forward mode");
  EXPECT_EQ(mode.word_at(row_at(of, 6h + 1'500ms)), "asking");
  EXPECT_EQ(mode.word_at(row_at(of, 6h + 2'500ms)), "idle");
}

TEST(CurveRecorder, BeginsAnAlertWhenItComes) {
  const curves of = recorded(loaded("door-left-open"));
  const recorded_state& alert = state_named(of, "alert run-limit forward");
  EXPECT_EQ(alert.word_at(0), "none");
  EXPECT_TRUE(std::ranges::any_of(alert.codes, [&](auto code) { return alert.words[code] == "advisory"; }));
}

// ---- CSV ----

class EveryLesson : public ::testing::TestWithParam<std::string> {};

TEST_P(EveryLesson, ReadsBackFromCsvAsThePlantWas) {
  const lesson what = loaded(GetParam());
  const curves of = recorded(what);
  const csv_reading csv{csv_of(of)};
  ASSERT_EQ(csv.problem, "");
  ASSERT_EQ(csv.records.size(), of.at.size() + 1);
  ASSERT_EQ(csv.records.front().front(), "time [s]");
  std::size_t compared = 0;
  witness watching{[&](const simulation& playing) {
    const milliseconds now{playing.now().chronicle.now};
    if (now % 1s != 0s) return;
    const std::size_t row = row_at(of, now);
    // Without a row of its own, a time lies between two equal rows, or in a piece of time of which only part was kept.
    const auto& record = csv.records[row + 1];
    const auto fields_behind = [](const auto& of_row) { return std::vector(of_row.begin() + 1, of_row.end()); };
    const bool told = of.at[row] == now || fields_behind(record) == fields_behind(csv.records[row + 2]);
    if (told) {
      for (const recorded_quantity& each : of.quantities) {
        const std::size_t column = csv.column(name_of(each) + " [" + std::string{each.unit} + "]");
        ASSERT_LT(column, record.size()) << name_of(each);
        const auto wanted = reading(playing, each.about, each.what);
        ASSERT_TRUE(wanted.has_value());
        // Half of the last digit that is written: psi have one, litres three, all others two.
        const double half = each.unit == "psi" ? 0.05 : each.unit == "L" ? 0.0005 : 0.005;
        EXPECT_NEAR(std::stod(record[column]), *wanted, half * 1.001) << name_of(each) << " at " << now.count();
        ++compared;
      }
      const observation seen = observe(what.aircraft, playing.now());
      for (const recorded_state& each : of.states) {
        if (each.alert) continue;
        EXPECT_EQ(record[csv.column(name_of(each))], attribute_word(what.aircraft, seen, each.about, each.attribute))
            << name_of(each) << " at " << now.count();
      }
    }
  }};
  static_cast<void>(play(what, watching));
  EXPECT_TRUE(compared > 100U || (what.plant == plant_kind::none && of.quantities.empty())) << compared;
}

// ---- VCD ----

std::string scope_of(const layout& of, subject about) {
  std::string kind{word(about.kind)};
  if (std::string name{of.name(about)}; name != kind) kind += ' ' + name;
  return kind;
}

std::string as_identifier(std::string words) {
  std::ranges::replace_if(words, [](char c) { return c == ' ' || c == '-'; }, '_');
  return words;
}

std::string word_of_code(const vcd_variable& of, const std::string& digits) {
  const auto code = std::stoul(digits, nullptr, 2);
  std::istringstream words{of.comment};
  std::string each;
  while (words >> each) {
    if (each.starts_with(std::to_string(code) + "=")) return each.substr(each.find('=') + 1);
  }
  return "?";
}

TEST_P(EveryLesson, HasTheSameValuesInVcdAsInCsv) {
  const lesson what = loaded(GetParam());
  const curves of = recorded(what);
  const vcd_reading vcd{vcd_of(of)};
  ASSERT_EQ(vcd.problem, "");
  EXPECT_EQ(vcd.timescale, "1 ms");
  EXPECT_EQ(vcd.end, of.at.back().count());
  EXPECT_EQ(vcd.variables.size(), of.quantities.size() + of.states.size());
  const csv_reading csv{csv_of(of)};
  const std::string top = as_identifier(what.aircraft.spec().name) + '.';
  const auto variable = [&](const std::string& path) -> const vcd_variable& {
    const auto found = vcd.variables.find(top + path);
    if (found == vcd.variables.end()) throw std::out_of_range{"no variable " + path};
    return found->second;
  };
  for (const recorded_quantity& each : of.quantities) {
    const vcd_variable& in = variable(as_identifier(scope_of(what.aircraft, each.about)) + '.' +
                                      as_identifier(std::string{word(each.what)}));
    const std::size_t column = csv.column(name_of(each) + " [" + std::string{each.unit} + "]");
    for (std::size_t row = 0; row < of.at.size(); row += 7) {
      EXPECT_EQ(in.at(of.at[row].count()), csv.records[row + 1][column]) << name_of(each) << ", row " << row;
    }
  }
  for (const recorded_state& each : of.states) {
    const vcd_variable& in = each.alert ? variable("alerts." + as_identifier(name_of(each)))
                                        : variable(as_identifier(scope_of(what.aircraft, each.about)) + '.' +
                                                   as_identifier(each.attribute));
    const std::size_t column = csv.column(name_of(each));
    for (std::size_t row = 0; row < of.at.size(); row += 7) {
      EXPECT_EQ(word_of_code(in, in.at(of.at[row].count())), csv.records[row + 1][column])
          << name_of(each) << ", row " << row;
    }
  }
}

// ---- SVG ----

struct area {
  double left, right, top, bottom;
  [[nodiscard]] bool overlaps(const area& other) const {
    return left < other.right && other.left < right && top < other.bottom && other.top < bottom;
  }
};

std::string as_read(std::string text) {
  for (const auto& [entity, character] :
       {std::pair{"&lt;", "<"}, std::pair{"&gt;", ">"}, std::pair{"&quot;", "\""}, std::pair{"&amp;", "&"}}) {
    for (auto at = text.find(entity); at != std::string::npos; at = text.find(entity, at + 1)) {
      text.replace(at, std::string_view{entity}.size(), character);
    }
  }
  return text;
}

area area_of(const element& text) {
  const double size = std::stod(text.attributes.at("font-size"));
  const double width = files::text_width(as_read(text.text), size);
  const auto anchor = text.attributes.find("text-anchor");
  const double x = std::stod(text.attributes.at("x"));
  const double left = anchor == text.attributes.end() ? x : anchor->second == "middle" ? x - width / 2 : x - width;
  const double base = std::stod(text.attributes.at("y"));
  // Most letters of common sans-serif types reach up to 3/4 of the size and down to 1/5 of it (from memory).
  return {left, left + width, base - 0.75 * size, base + 0.2 * size};
}

void expect_sound_picture(const std::string& svg) {
  const xml_reading read{svg};
  ASSERT_EQ(read.problem, "");
  const element& root = read.elements.front();
  EXPECT_EQ(root.name, "svg");
  EXPECT_EQ(root.attributes.at("xmlns"), "http://www.w3.org/2000/svg");
  const double width = std::stod(root.attributes.at("width"));
  const double height = std::stod(root.attributes.at("height"));
  EXPECT_LE(width, 842.0) << "A4 across is 297 mm, in points";
  EXPECT_THAT(svg, HasSubstr("Invented data, for training only; not approved data."));
  std::vector<std::pair<area, std::string>> before;
  for (const element& each : read.elements) {
    EXPECT_FALSE(each.attributes.contains("href") || each.name == "image" || each.name == "script") << each.name;
    for (const auto& [name, value] : each.attributes) {
      EXPECT_FALSE(value.find("nan") != value.npos || value.find("inf") != value.npos) << name << ' ' << value;
    }
    if (each.name != "text") continue;
    EXPECT_GE(std::stod(each.attributes.at("font-size")), 7.0) << each.text;
    const area here = area_of(each);
    EXPECT_TRUE(here.left >= 0 && here.right <= width && here.top >= 0 && here.bottom <= height) << each.text;
    for (const auto& [other, words] : before) {
      EXPECT_FALSE(here.overlaps(other)) << '"' << each.text << "\" lies on \"" << words << '"';
    }
    before.emplace_back(here, each.text);
  }
}

std::size_t times_told(const std::string& svg, const std::string& words) {
  std::size_t count = 0;
  for (const element& each : xml_reading{svg}.elements) {
    if (each.name == "text" && each.text == words) ++count;
  }
  return count;
}

TEST_P(EveryLesson, HasAPictureWithoutOverlapsThatShowsItsParts) {
  const lesson what = loaded(GetParam());
  const curves of = recorded(what);
  const std::string svg = svg_of(what, of);
  expect_sound_picture(svg);
  EXPECT_GE(times_told(svg, what.title), 1U);
  for (const component kind : {component::circuit, component::engine_pump, component::electric_pump,
                               component::ram_air_pump, component::transfer_unit, component::cargo_door}) {
    for (std::uint8_t i = 0; i < what.aircraft.count(kind); ++i) {
      EXPECT_GE(times_told(svg, std::string{what.aircraft.name({kind, i})}), 1U) << what.aircraft.name({kind, i});
    }
  }
  for (const recorded_state& each : of.states) {
    if (!each.alert) continue;
    // A long name stands in two lines.
    const std::string name = name_of(each).substr(6);
    const std::size_t blank = name.find(' ');
    const bool in_one = times_told(svg, name) >= 1;
    const bool in_two = blank != std::string::npos && times_told(svg, name.substr(0, blank)) >= 1 &&
                        times_told(svg, name.substr(blank + 1)) >= 1;
    EXPECT_TRUE(in_one || in_two) << name;
  }
  for (std::size_t i = 1; i <= what.steps.size(); ++i) {
    EXPECT_GE(times_told(svg, std::to_string(i)), 2U) << "step " << i << ": a mark, and its words below";
  }
}

std::string name_of_case(const ::testing::TestParamInfo<std::string>& info) {
  std::string name = info.param;
  std::ranges::replace(name, '-', '_');
  return name;
}
INSTANTIATE_TEST_SUITE_P(Shipped, EveryLesson, ::testing::ValuesIn(shipped_names()), name_of_case);

TEST(CurvePicture, IsTheSameEachTime) {
  const lesson what = loaded("turnaround-1-2");
  EXPECT_EQ(svg_of(what, recorded(what)), svg_of(what, recorded(what)));
  EXPECT_EQ(csv_of(recorded(what)), csv_of(recorded(what)));
  EXPECT_EQ(vcd_of(recorded(what)), vcd_of(recorded(what)));
}

TEST(CurvePicture, SaysWhereItMayBeCut) {
  const std::string svg = svg_of(loaded("turnaround-1-2"), recorded(loaded("turnaround-1-2")));
  const element root = xml_reading{svg}.elements.front();
  std::istringstream text{root.attributes.at("data-cuts")};
  const std::vector<double> cuts{std::istream_iterator<double>{text}, {}};
  ASSERT_GT(cuts.size(), 5U);
  EXPECT_GT(cuts.front(), 0.0);
  EXPECT_LT(cuts.back(), std::stod(root.attributes.at("height")));
  EXPECT_EQ(std::ranges::adjacent_find(cuts, std::greater_equal<>{}), cuts.end());
}

TEST(CurvePicture, EscapesTheWordsOfALesson) {
  const lesson what = read(door_lesson);
  const std::string svg = svg_of(what, recorded(what));
  expect_sound_picture(svg);
  EXPECT_THAT(svg, HasSubstr("Power on. &lt;The&gt; &quot;lever&quot; &amp; more."));
  EXPECT_THAT(svg, HasSubstr(">lever forward open<")) << "a step that says nothing is told by what is done";
}

TEST(CurvePicture, TellsCurvesApartWithoutColour) {
  const lesson what = loaded("four-engine-start");
  const xml_reading read{svg_of(what, recorded(what))};
  std::map<std::string, std::set<std::string>> dashes;
  for (const element& each : read.elements) {
    if (each.name != "polyline") continue;
    const auto dash = each.attributes.find("stroke-dasharray");
    dashes[dash == each.attributes.end() ? "" : dash->second].insert(each.attributes.at("stroke"));
  }
  EXPECT_EQ(dashes.size(), 4U) << "one for each of four circuits";
  for (const auto& [dash, colours] : dashes) EXPECT_EQ(colours.size(), 1U) << dash;
}

TEST(CurvePicture, OfALessonOfOneStepOrNoneIsSound) {
  lesson what = read("lesson: Nothing much\naircraft: small-twin\nsteps:\n  - at: 0:00\n    say: Look.\n");
  expect_sound_picture(svg_of(what, recorded(what)));
  EXPECT_EQ(times_told(svg_of(what, recorded(what)), "1"), 2U);
  what.steps.clear();
  what.title.clear();
  what.end = 0ms;
  const curves of = recorded(what);
  EXPECT_EQ(of.at.size(), 1U);
  expect_sound_picture(svg_of(what, of));
  EXPECT_EQ(csv_reading{csv_of(of)}.records.size(), 2U);
  EXPECT_EQ(vcd_reading{vcd_of(of)}.problem, "");
}

TEST(CurvePicture, OfALessonThatCannotBeginIsSound) {
  const lesson what = read(door_lesson);
  const curves of = curve_recorder{what}.taken();
  EXPECT_TRUE(of.at.empty());
  expect_sound_picture(svg_of(what, of));
  EXPECT_EQ(csv_reading{csv_of(of)}.records.size(), 1U);
  EXPECT_EQ(vcd_reading{vcd_of(of)}.problem, "");
}

TEST(CurvePicture, WithoutAPlantSaysSo) {
  lesson what = read(door_lesson);
  what.plant = plant_kind::none;
  const curves of = recorded(what);
  EXPECT_TRUE(of.quantities.empty());
  const std::string svg = svg_of(what, of);
  expect_sound_picture(svg);
  EXPECT_THAT(svg, HasSubstr("No quantities: this lesson is played without a plant"));
  EXPECT_THAT(csv_of(of), Not(HasSubstr("psi")));
}

TEST(CurvePicture, OfManyShortStatesHasNoOverlap) {
  std::string text = "lesson: A restless lever\naircraft: twin-freighter\nsteps:\n  - at: 0:00\n    do: external-power on\n";
  for (int i = 0; i < 80; ++i) {
    text += "  - after: 3 s\n    say: A step that says much more than there is room for in two lines, because it never "
            "comes to an end, and goes on about the lever of the forward door and of what it may do to the pump, so "
            "that it has to be cut somewhere.\n    do: lever forward ";
    text += i % 2 == 0 ? "open\n" : "neutral\n";
  }
  const lesson what = read(text + "end: 1:00:00\n");
  expect_sound_picture(svg_of(what, recorded(what)));
}

TEST(CurvePicture, DrawsQuietTimeShortAndSaysHowLongItIs) {
  const lesson what = loaded("turnaround-1-2");
  EXPECT_THAT(svg_of(what, recorded(what)), HasSubstr(">~26 min<"));
}

TEST(CurvePicture, OfTheFluidIsSoundAndBounded) {
  for (const char* name : {"turnaround-1-2", "leak-starboard", "four-engine-start"}) {
    lesson what = loaded(name);
    what.plant = plant_kind::fluid;
    const curves of = recorded(what);
    EXPECT_LE(of.at.size(), curve_recorder::most_rows) << name;
    const std::string svg = svg_of(what, of);
    expect_sound_picture(svg);
    // The fluid has no time to become warm in a short lesson.
    if (what.end > 10min) {
      EXPECT_THAT(svg, HasSubstr("Temperature of the fluid, degC")) << name;
    }
    EXPECT_EQ(vcd_reading{vcd_of(of)}.problem, "") << name;
    EXPECT_EQ(csv_reading{csv_of(of)}.problem, "") << name;
  }
}

TEST(CurvePicture, ShowsAWaitingStepWhenItBegan) {
  const lesson what = read(
      "lesson: A step that waits\naircraft: twin-freighter\nsteps:\n"
      "  - at: 0:05\n    do: [external-power on, lever forward open]\n"
      "  - when: forward travel is open\n    do: lever forward neutral\n");
  const curves of = recorded(what);
  ASSERT_EQ(of.steps.size(), 2U);
  EXPECT_EQ(state_named(of, "forward travel").word_at(row_at(of, of.steps[1])), "open");
  EXPECT_NE(state_named(of, "forward travel").word_at(row_at(of, of.steps[1] - 20ms)), "open");
  expect_sound_picture(svg_of(what, of));
}

// ---- What pictures are made of ----

TEST(FixedText, RoundsAndKeepsItsDigits) {
  EXPECT_EQ(files::fixed_text(3000.0, 1), "3000.0");
  EXPECT_EQ(files::fixed_text(-0.004, 2), "0.00");
  EXPECT_EQ(files::fixed_text(-0.125, 2), "-0.13");
  EXPECT_EQ(files::fixed_text(0.0625, 3), "0.063");
  EXPECT_EQ(files::fixed_text(12.0, 0), "12");
  EXPECT_EQ(files::fixed_text(1e300, 0), "999999999999999");
}

TEST(Spread, LeavesWhatHasRoomAndMovesWhatHasNot) {
  EXPECT_THAT(files::spread({{10, 4}, {30, 4}}, 0, 100, 1), ::testing::ElementsAre(10, 30));
  EXPECT_THAT(files::spread({{50, 10}, {50, 10}}, 0, 100, 2), ::testing::ElementsAre(44, 56));
  EXPECT_THAT(files::spread({{0, 10}, {1, 10}}, 0, 100, 0), ::testing::ElementsAre(5, 15));
  EXPECT_THAT(files::spread({{99, 10}, {100, 10}}, 0, 100, 0), ::testing::ElementsAre(85, 95));
}

TEST(TextRoom, ShortensBetweenCharactersAndFits) {
  for (const double width : {20.0, 33.0, 47.5}) {
    const std::string cut = files::shortened("a caf\xC3\xA9 \xC3\xA9t\xC3\xA9 and much more", 7.0, width);
    EXPECT_LE(files::text_width(cut, 7.0), width);
    EXPECT_TRUE(cut.ends_with("..."));
    const auto before = static_cast<unsigned char>(cut[cut.size() - 4]);
    EXPECT_TRUE(before < 0x80U || (before & 0xC0U) == 0x80U) << "half a character in " << cut;
  }
  EXPECT_EQ(files::shortened("short", 7.0, 100.0), "short");
}

TEST(TextRoom, WrapsBetweenWords) {
  const auto lines = files::wrapped("one two three four five six seven eight nine ten", 7.0, 60.0, 3);
  ASSERT_EQ(lines.size(), 3U);
  for (const std::string& each : lines) EXPECT_LE(files::text_width(each, 7.0), 60.0) << each;
  EXPECT_TRUE(lines[0].starts_with("one two"));
  EXPECT_TRUE(lines[2].ends_with("..."));
  EXPECT_EQ(files::wrapped("anunbrokenwordthatistoolong", 7.0, 60.0, 3).size(), 1U);
}

}  // namespace
