// Expectations over time: each form by itself, and all of them against an evaluator of its own on recorded traces.
#include <algorithm>
#include <array>
#include <functional>
#include <map>
#include <random>

#include <gmock/gmock.h>

#include "files/complaints.hpp"
#include "penstock/event_text.hpp"
#include "penstock/layout_file.hpp"
#include "penstock/lesson_player.hpp"

namespace {

using namespace penstock;
using namespace std::chrono_literals;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

lesson read(const std::string& text) {
  auto made = lesson_from_yaml(text, "probe.yaml");
  if (!made) {
    ADD_FAILURE() << to_string(made.problem()) << '\n' << text;
    return {};
  }
  return *std::move(made);
}

// The forward door is opened on external power at 0:10; it travels for 25 s (a number of the layout), and with the
// quasi-static plant its pressure comes and goes at once.
std::string door_lesson(const std::string& expect, const std::string& more = "") {
  return "lesson: A door\naircraft: twin-freighter\nsteps:\n"
         "  - at: 0:00\n    do: external-power on\n"
         "  - at: 0:10\n    do: lever forward open\n    expect:\n      - " +
         expect + "\n" + more + "end: 1:30\nplant: quasi-static\n";
}

struct judged {
  bool met = false;
  verdict what;
};
class judge_listener : public lesson_audience {
 public:
  void expectation_met(const verdict& one) override { all.push_back({true, one}); }
  void expectation_unmet(const verdict& one, const state& then) override {
    all.push_back({false, one});
    states.push_back(then);
  }
  std::vector<judged> all;
  std::vector<state> states;
};

judged judged_alone(const std::string& text) {
  const lesson what = read(text);
  judge_listener heard;
  static_cast<void>(play(what, heard));
  if (heard.all.size() != 1) {
    ADD_FAILURE() << heard.all.size() << " judgements of\n" << text;
    return {};
  }
  return heard.all[0];
}

void expect_met(const std::string& expectation_line, std::uint32_t at) {
  SCOPED_TRACE(expectation_line);
  const judged got = judged_alone(door_lesson(expectation_line));
  EXPECT_TRUE(got.met) << got.what.found;
  EXPECT_EQ(got.what.at, at);
}
void expect_unmet(const std::string& expectation_line, std::uint32_t at, const std::string& found) {
  SCOPED_TRACE(expectation_line);
  const judged got = judged_alone(door_lesson(expectation_line));
  EXPECT_FALSE(got.met);
  EXPECT_EQ(got.what.at, at);
  EXPECT_EQ(got.what.found, found);
}

TEST(LessonTime, WithinIsMetWhenItComesTrueAndUnmetAtItsEnd) {
  expect_met("within 30 s: forward travel is open", 35'000);
  expect_met("within 25 s: forward travel is open", 35'000);
  expect_met("within 5 s: port is partial", 10'000);
  expect_unmet("within 24 s: forward travel is open", 34'000, "between");
  expect_unmet("within 5 min: port is normal", 90'000, "off");
}

TEST(LessonTime, ForHoldsAllThatTime) {
  expect_met("for 10 s: port is partial", 20'000);
  expect_met("always for 24 s: port is partial", 34'000);
  expect_met("always until 0:30: port is partial", 30'000);
  expect_unmet("for 26 s: port is partial", 35'000, "off");
  expect_unmet("always until end: port is partial", 35'000, "off");
  expect_unmet("for 10 s: port is off", 10'000, "partial");
  expect_met("always until end: cargo-pump is not failed", 90'000);
}

TEST(LessonTime, NeverIsUnmetAtTheFirstMomentThatShowsIt) {
  expect_met("never for 24 s: forward travel is open", 34'000);
  expect_met("never until end: port is normal", 90'000);
  expect_unmet("never until 1:00: forward travel is open", 35'000, "open");
}

TEST(LessonTime, UntilHoldsUntilTheOtherComesAndTheOtherMustCome) {
  expect_met("port is partial until forward is at-end", 35'000);
  // the plant needs its first millisecond to see that the door moves
  expect_unmet("forward travel is closed until forward is at-end", 10'001, "between");
  expect_unmet("cargo-pump is not failed until port is normal", 90'000, "port is normal did not come, it was off");
}

TEST(LessonTime, OrderIsThatOfTheFirstTimes) {
  expect_met("in this order: [port is partial, forward travel is open, port is off]", 35'000);
  expect_met("in this order within 60 s: [port is partial, forward is at-end, port service is none]", 65'000);
  expect_unmet("in this order within 40 s: [port is partial, forward is at-end, port service is none]", 50'000,
               "port service is none did not come, it was hold-off");
  expect_unmet("in this order: [forward travel is open, port is partial]", 10'000,
               "port is partial before forward travel is open");
  expect_unmet("in this order: [port is partial, port is normal]", 90'000, "port is normal did not come, it was off");
}

TEST(LessonTime, NotStandsInsideATime) {
  expect_met("within 30 s: {not: cargo-pump is delivering}", 35'000);
  expect_met("for 10 s: {not: port is off}", 20'000);
  const std::string around = door_lesson("{not: {within 5 s: port is off}}");
  penstock_tests::expect_complaint(lesson_from_yaml(around, "x"), {"lesson-expect", 9, 16, "never around it"});
  const std::string until = door_lesson("{not: port is off until forward is at-end}");
  penstock_tests::expect_complaint(lesson_from_yaml(until, "x"), {"lesson-expect", 9, 27, "never around it"});
}

// The layout works at 3000 psi, 206.84 bar; 18 to 22 L are in the reservoirs (numbers of the twin freighter, invented).
TEST(LessonTime, QuantitiesHaveUnitsTolerancesAndMargins) {
  expect_met("port pressure is 3000 psi +- 50 psi", 10'000);
  expect_met("port pressure is 206.8 bar +- 5 bar", 10'000);
  expect_met("port pressure between 20 and 21 MPa", 10'000);
  expect_met("port pressure is above 20000 kPa", 10'000);
  expect_met("keel pressure below 1 psi", 10'000);
  expect_met("starboard quantity between 4 gal and 6 gal", 10'000);
  expect_met("starboard quantity is not below 4000 mL", 10'000);
  expect_unmet("port pressure is 2900 psi +- 50", 10'000, "3000 psi");
  expect_unmet("port temperature above 0 degC", 10'000, "not known");
  expect_unmet("port temperature is not above 0 degF", 10'000, "not known");
  const judged near = judged_alone(door_lesson("port pressure is 2990 psi +- 50 psi"));
  ASSERT_TRUE(near.what.margin);
  EXPECT_NEAR(*near.what.margin, 40.0, 1e-6);
  const judged outside = judged_alone(door_lesson("port pressure above 3100 psi"));
  ASSERT_TRUE(outside.what.margin);
  EXPECT_NEAR(*outside.what.margin, -100.0, 1e-6);
}

TEST(LessonTime, QuantitiesOverATimeTellTheMarginThatCounts) {
  // The door takes 25 s for 100 %: 4 % a second. Half a second before its end it stands at 98 %.
  const judged holds = judged_alone(door_lesson("for 24500 ms: forward position below 99 %"));
  ASSERT_TRUE(holds.met && holds.what.margin);
  EXPECT_NEAR(*holds.what.margin, 1.0, 1e-6);
  const judged comes = judged_alone(door_lesson("within 20 s: forward position above 50 %"));
  ASSERT_TRUE(comes.met && comes.what.margin);
  EXPECT_EQ(comes.what.at, 22'510U);
  EXPECT_NEAR(*comes.what.margin, 0.04, 1e-6);
  const judged never = judged_alone(door_lesson("never for 10 s: forward position above 50 %"));
  ASSERT_TRUE(never.met && never.what.margin);
  EXPECT_NEAR(*never.what.margin, 10.0, 1e-6);
  const judged late = judged_alone(door_lesson("within 10 s: forward position above 50 %"));
  ASSERT_TRUE(!late.met && late.what.margin);
  EXPECT_NEAR(*late.what.margin, -10.0, 1e-6);
  EXPECT_EQ(late.what.found, "40 %");
}

TEST(LessonTime, TheResultHasTheMarginsOfWhatWasMet) {
  judge_listener heard;
  const lesson_result played = play(read(door_lesson("port pressure above 2900 psi")), heard);
  ASSERT_EQ(played.margins.size(), 1U);
  EXPECT_NEAR(played.margins[0].margin.value_or(0.0), 100.0, 1e-6);
  EXPECT_EQ(played.margins[0].found, "3000 psi");
}

TEST(LessonTime, AReasonNeedsItsRuleInTheChain) {
  expect_met("cargo-pump runs because CGO-1", 10'000);
  expect_met("cargo-pump is delivering because ELP-2", 10'000);
  expect_met("cargo-pump demand is not none because CGO-14", 10'000);
  expect_met("alert steering is none", 10'000);
  const judged other = judged_alone(door_lesson("cargo-pump runs because AUX-1"));
  EXPECT_FALSE(other.met);
  EXPECT_THAT(other.what.found, HasSubstr("delivering, because of CGO-14"));
  const judged not_running = judged_alone(door_lesson("keel-pump runs because AUX-1"));
  EXPECT_FALSE(not_running.met);
}

TEST(LessonTime, AnUnmetOneGivesItsCausesAsTheyWereThen) {
  judge_listener heard;
  const lesson what = read(door_lesson("always until end: port is partial"));
  static_cast<void>(play(what, heard));
  ASSERT_EQ(heard.states.size(), 1U);
  EXPECT_EQ(heard.states[0].chronicle.now, 35'000U);
  const explanation why = causes_of(what.aircraft, heard.states[0], heard.all[0].what);
  ASSERT_FALSE(why.chain.empty());
  EXPECT_EQ(why.chain[0].about, (subject{component::circuit, 0}));
}

TEST(LessonTime, WhatIsOpenWhenTheCallerStopsIsNotJudged) {
  const lesson what = read(door_lesson("within 30 s: forward travel is open"));
  judge_listener heard;
  EXPECT_EQ(play(what, heard, 20s).expectations, 0U);
  EXPECT_THAT(heard.all, IsEmpty());
  EXPECT_EQ(play(what, heard, 35s).expectations, 1U);
}

TEST(LessonTime, ALessonWithoutAnEndGoesOnUntilTheTimesOfItsExpectationsAreOver) {
  std::string text = door_lesson("within 30 s: forward travel is open");
  text.resize(text.rfind("end:"));
  const lesson what = read(text);
  EXPECT_EQ(what.end, 40s);
  judge_listener heard;
  const lesson_result played = play(what, heard);
  EXPECT_THAT(played.failures, IsEmpty());
  EXPECT_EQ(played.at_end.chronicle.now, 40'000U);
}

TEST(LessonTime, AShortGlimpseBetweenLooksIsSeen) {
  // Without a plant facts come when they come: 3 ms of an open door.
  const std::string text =
      "lesson: A glimpse\naircraft: twin-freighter\nplant: none\nsteps:\n"
      "  - at: 0:01\n    expect:\n      - never for 5 s: forward travel is open\n"
      "      - within 5 s: forward travel is open\n"
      "  - at: 0:02.001\n    do: travel forward open\n"
      "  - at: 0:02.004\n    do: travel forward between\n";
  judge_listener heard;
  static_cast<void>(play(read(text), heard));
  ASSERT_EQ(heard.all.size(), 2U);
  EXPECT_FALSE(heard.all[0].met);
  EXPECT_TRUE(heard.all[1].met);
  EXPECT_EQ(heard.all[0].what.at, 2'001U);
}

TEST(LessonTime, MoreThanCanBeWatchedIsUnmetAndSaysSo) {
  std::string more;
  for (std::size_t i = 0; i <= lesson_player::most_watched; ++i) more += "      - for 10 s: port is partial\n";
  judge_listener heard;
  const lesson_result played = play(read(door_lesson("for 10 s: port is partial", more)), heard);
  ASSERT_EQ(played.failures.size(), 2U);
  EXPECT_EQ(played.failures[0].found, "1000 expectations are watched already, which is the limit");
  EXPECT_EQ(played.expectations, 1002U);
}

// ---- an evaluator of its own ----

// What a formula is made of: words for the lesson, and the same looked up in the observation.
struct atom {
  std::string words;
  std::function<bool(const simulation&, const observation&)> is_so;
};

std::vector<atom> atoms_of(const layout& of) {
  const auto door = *of.find("forward");
  const auto pump = *of.find("cargo-pump");
  const auto bus = *of.find("bus-1");
  const auto engine = *of.find("engine-1");
  return {
      {"port is off", [](const simulation&, const observation& o) { return o.circuits[0].status == circuit_status::off; }},
      {"port is partial",
       [](const simulation&, const observation& o) { return o.circuits[0].status == circuit_status::partial; }},
      {"port service is not none",
       [](const simulation&, const observation& o) { return o.circuits[0].service != service_mode::none; }},
      {"cargo-pump is delivering",
       [pump](const simulation&, const observation& o) { return o.electric_pumps[pump.index].delivering; }},
      {"cargo-pump runs because CGO-1",
       [pump](const simulation&, const observation& o) {
         return o.electric_pumps[pump.index].delivering &&
                o.electric_pumps[pump.index].demand == demand_mode::door;
       }},
      {"bus-1 is powered", [bus](const simulation&, const observation& o) { return o.buses[bus.index].powered; }},
      {"forward is not idle",
       [door](const simulation&, const observation& o) { return o.doors[door.index].mode != door_mode::idle; }},
      {"forward travel is between",
       [door](const simulation&, const observation& o) { return o.doors[door.index].travel == door_travel::between; }},
      {"steering is connected",
       [](const simulation&, const observation& o) { return o.steering == steering_mode::connected; }},
      {"aircraft parking-brake is released",
       [](const simulation&, const observation& o) { return !o.parking_brake_set; }},
      {"engine-1 is cranking",
       [engine](const simulation&, const observation& o) {
         return o.engines[engine.index].mode == engine_mode::cranking;
       }},
      {"alert steering is advisory",
       [](const simulation&, const observation& o) {
         const auto alerts = o.alerts_standing();
         return std::any_of(alerts.begin(), alerts.end(), [](const observed_alert& a) {
           return a.condition == condition::steering && a.level == alert_class::advisory && !a.inhibited;
         });
       }},
      // Quantities: the door moves all the time.
      {"forward position above 4 %",
       [door](const simulation& s, const observation&) { return reading(s, door, reading_kind::position).value_or(0) > 4.0; }},
      {"port pressure below 100 psi",
       [](const simulation& s, const observation&) {
         return reading(s, {component::circuit, 0}, reading_kind::pressure).value_or(0) < 100.0;
       }},
  };
}
constexpr std::size_t first_quantity = 12;

struct sample {
  std::int64_t time;
  bool by_time;  // time went on; otherwise something was done
  std::vector<bool> so;
};

struct formula {
  expectation_form form = expectation_form::now;
  std::vector<std::size_t> atoms;
  std::int64_t span = 0;    // ms; 0: to the end of the lesson
  std::int64_t until = 0;   // ms since the beginning, instead
  std::size_t begins = 0;   // sample
};

struct outcome {
  bool met;
  std::int64_t at;
  friend bool operator==(const outcome&, const outcome&) = default;
};

// By the sentences of the language, on the whole recorded list.
outcome evaluated(const formula& f, const std::vector<sample>& trace) {
  const std::int64_t begin = trace[f.begins].time;
  const bool open = f.span == 0 && f.until == 0;
  const std::int64_t deadline = open ? std::int64_t{1} << 60 : f.until > 0 ? f.until : begin + f.span;
  const bool has_quantity =
      std::any_of(f.atoms.begin(), f.atoms.end(), [](std::size_t a) { return a >= first_quantity; });
  // The samples that count. At the deadline: what time brought, not what is done then.
  std::vector<const sample*> seen;
  for (std::size_t j = f.begins; j < trace.size(); ++j) {
    const sample& s = trace[j];
    if (s.time > deadline || (s.time == deadline && !s.by_time && j != f.begins)) break;
    if (has_quantity && s.time % 10 != 0) continue;
    seen.push_back(&s);
    if (s.time >= deadline) break;
  }
  const std::int64_t last = std::min(deadline, trace.back().time);
  const auto first_time = [&](std::size_t atom, bool wanted) {
    const auto found = std::find_if(seen.begin(), seen.end(), [&](const sample* s) { return s->so[atom] == wanted; });
    return static_cast<std::size_t>(found - seen.begin());
  };
  const std::size_t none = seen.size();
  switch (f.form) {
    case expectation_form::now:
      return {seen[0]->so[f.atoms[0]], begin};
    case expectation_form::within: {
      const std::size_t j = first_time(f.atoms[0], true);
      return j == none ? outcome{false, last} : outcome{true, seen[j]->time};
    }
    case expectation_form::always:
    case expectation_form::never: {
      const std::size_t j = first_time(f.atoms[0], f.form == expectation_form::never);
      return j == none ? outcome{true, last} : outcome{false, seen[j]->time};
    }
    case expectation_form::until: {
      const std::size_t broken = first_time(f.atoms[0], false);
      const std::size_t came = first_time(f.atoms[1], true);
      if (came != none && came <= broken) return {true, seen[came]->time};
      return broken == none ? outcome{false, last} : outcome{false, seen[broken]->time};
    }
    case expectation_form::in_order:
      break;
  }
  std::vector<std::size_t> first;
  for (const std::size_t atom : f.atoms) first.push_back(first_time(atom, true));
  std::size_t wrong = none;  // the earliest moment that shows a later one before an earlier one
  for (std::size_t k = 0; k < first.size(); ++k) {
    for (std::size_t l = k + 1; l < first.size(); ++l) {
      if (first[l] < first[k]) wrong = std::min(wrong, first[l]);
    }
  }
  if (wrong != none) return {false, seen[wrong]->time};
  return first.back() == none ? outcome{false, last} : outcome{true, seen[first.back()]->time};
}

class dice {
 public:
  explicit dice(unsigned seed) : engine_(seed) {}
  // By hand: the distributions of the library differ from one library to another.
  std::size_t below(std::size_t n) { return engine_() % n; }
  std::int64_t tens(std::size_t n) { return static_cast<std::int64_t>(10 * below(n)); }

 private:
  std::mt19937 engine_;
};

formula random_formula(dice& d, std::size_t atoms, std::int64_t now) {
  formula f;
  f.form = static_cast<expectation_form>(d.below(6));
  const std::size_t many = f.form == expectation_form::in_order ? 2 + d.below(2)
                           : f.form == expectation_form::until  ? 2
                                                                : 1;
  // Each one once: the same phrase twice is in order whatever happens.
  while (f.atoms.size() < many) {
    const std::size_t a = d.below(atoms);
    if (std::find(f.atoms.begin(), f.atoms.end(), a) == f.atoms.end()) f.atoms.push_back(a);
  }
  if (f.form == expectation_form::within) f.span = 10 + d.tens(300);
  if (f.form == expectation_form::in_order && d.below(2) == 0) f.span = 10 + d.tens(300);
  if (f.form == expectation_form::always || f.form == expectation_form::never) {
    const std::size_t how = d.below(3);
    if (how == 0) f.span = 10 + d.tens(200);
    if (how == 1) f.until = now + 10 + d.tens(200);
  }
  return f;
}

std::string in_words(const formula& f, const std::vector<atom>& atoms) {
  const auto words = [&](std::size_t i) { return atoms[f.atoms[i]].words; };
  const std::string span = std::to_string(f.span) + " ms";
  const std::string until = f.span > 0 ? "for " + span : f.until > 0 ? "until " + std::to_string(f.until) + " ms" : "until end";
  switch (f.form) {
    case expectation_form::now:
      return words(0);
    case expectation_form::within:
      return "within " + span + ": " + words(0);
    case expectation_form::always:
      return "always " + until + ": " + words(0);
    case expectation_form::never:
      return "never " + until + ": " + words(0);
    case expectation_form::until:
      return words(0) + " until " + words(1);
    case expectation_form::in_order:
      break;
  }
  std::string text = "in this order" + (f.span > 0 ? " within " + span : std::string{}) + ": [";
  for (std::size_t i = 0; i < f.atoms.size(); ++i) text += (i == 0 ? "" : ", ") + words(i);
  return text + ']';
}

TEST(LessonTime, AgreesWithAnEvaluatorOfItsOwnOnRandomLessons) {
  const auto of = load_layout("twin-freighter");
  ASSERT_TRUE(of);
  const std::vector<atom> atoms = atoms_of(*of);
  constexpr auto commands = std::to_array<std::string_view>(
      {"external-power on", "external-power on", "external-power off", "lever forward open", "lever forward open",
       "lever forward close", "lever forward neutral", "parking-brake released", "parking-brake set",
       "steering disconnect", "start engine-1", "auxiliary-power on"});
  std::map<std::pair<expectation_form, bool>, int> seen;
  dice d{2026};
  for (int story = 0; story < 250; ++story) {
    std::string text = "lesson: Random\naircraft: twin-freighter\nplant: quasi-static\nend: 4 s\nsteps:\n";
    simulation recorded{*of, plant_kind::quasi_static};
    std::vector<sample> trace;
    const auto record = [&](bool by_time) {
      const observation now = observe(*of, recorded.now());
      sample made{recorded.now().chronicle.now, by_time, {}};
      for (const atom& one : atoms) made.so.push_back(one.is_so(recorded, now));
      trace.push_back(std::move(made));
    };
    record(true);
    std::vector<formula> formulas;
    std::int64_t time = 0;
    const auto go_to = [&](std::int64_t then) {
      while (recorded.now().chronicle.now < then) {
        recorded.advance(1ms);
        record(true);
      }
    };
    for (int step = 0; step < 7; ++step) {
      time += d.tens(50);
      go_to(time);
      text += "  - at: " + std::to_string(time) + " ms\n";
      std::string phrases;
      for (std::size_t many = d.below(3); many > 0; --many) {
        const std::string_view words = commands[d.below(commands.size())];
        const auto happening = event_from_words(*of, words);
        ASSERT_TRUE(happening);
        // What is refused would be a judgement of its own.
        simulation trial = recorded;
        if (!trial.apply(*happening).accepted()) continue;
        recorded.apply(*happening);
        record(false);
        phrases += (phrases.empty() ? "" : ", ") + std::string{words};
      }
      if (!phrases.empty()) text += "    do: [" + phrases + "]\n";
      std::string expectations;
      for (std::size_t many = d.below(4); many > 0; --many) {
        formula f = random_formula(d, atoms.size(), time);
        f.begins = trace.size() - 1;
        std::string line = "      - " + in_words(f, atoms) + "\n";
        // Two that contradict one another are refused when they are read: leave out the second.
        const std::string whole = text + "    expect:\n" + expectations + line;
        if (!lesson_from_yaml(whole, "random.yaml")) continue;
        expectations += line;
        formulas.push_back(std::move(f));
      }
      if (!expectations.empty()) text += "    expect:\n" + expectations;
    }
    go_to(4000);
    const lesson what = read(text);
    judge_listener heard;
    static_cast<void>(play(what, heard));
    ASSERT_EQ(heard.all.size(), formulas.size()) << text;
    // Judgements come in order of time; put them beside their formulas by their words and places.
    std::size_t next = 0;
    for (const lesson_step& step : what.steps) {
      for (const expectation& one : step.expectations) {
        const formula& f = formulas[next++];
        const auto judgement = std::find_if(heard.all.begin(), heard.all.end(), [&](const judged& j) {
          return j.what.expected.where == one.where;
        });
        ASSERT_NE(judgement, heard.all.end()) << one.words;
        const outcome wanted = evaluated(f, trace);
        const outcome got{judgement->met, judgement->what.at};
        EXPECT_EQ(got, wanted) << one.words << ": met " << got.met << " at " << got.at << ", the evaluator says "
                               << wanted.met << " at " << wanted.at << '\n'
                               << text;
        ++seen[{f.form, wanted.met}];
      }
    }
    if (testing::Test::HasFailure()) return;
  }
  // The lessons show each form both ways, often enough to mean something.
  for (std::size_t form = 0; form < 6; ++form) {
    for (const bool met : {false, true}) {
      EXPECT_GT((seen[{static_cast<expectation_form>(form), met}]), 10) << form << ' ' << met;
    }
  }
}

}  // namespace
