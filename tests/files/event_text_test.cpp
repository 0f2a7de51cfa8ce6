// Events as phrases and as JSON: both read back to the same event, and every complaint names its word.
#include "penstock/event_text.hpp"

#include "files/complaints.hpp"
#include "penstock/layout_file.hpp"
#include "penstock/layouts.hpp"

namespace {

using namespace penstock;
using penstock_tests::expect_complaint;

const layout& twin() {
  static const layout made = *layout::from(layouts::twin_freighter());
  return made;
}
const layout& four() {
  static const layout made = *load_layout("four-engine");
  return made;
}

subject first_of(std::span<const component> kinds, const layout& of) {
  for (const component kind : kinds) {
    if (of.count(kind) > 0) return {kind, static_cast<std::uint8_t>(of.count(kind) - 1)};
  }
  return {};
}

// At least one event of every kind, with every value, for every kind of component that it may name.
std::vector<event> every_event(const layout& of) {
  std::vector<event> all;
  const auto forms = event_forms();
  for (std::size_t k = 0; k < forms.size(); ++k) {
    const auto kind = static_cast<event_kind>(k);
    const event_form& form = forms[k];
    if (kind == event_kind::inject || kind == event_kind::remove_fault) continue;
    for (std::uint8_t s = 0; s < form.subject_kinds; ++s) {
      const component about = form.subjects[s];
      if (of.count(about) == 0) continue;
      const subject part = first_of({&about, 1}, of);
      for (std::size_t value = 0; value < std::max<std::size_t>(form.values.size(), 1); ++value) {
        event one = events::make(kind, part, static_cast<std::uint8_t>(value));
        if (kind == event_kind::elapsed) one.amount = 12'345;
        if (kind == event_kind::stored) one.amount = 5;
        all.push_back(one);
      }
    }
  }
  for (std::size_t f = 0; f < count_of<fault>; ++f) {
    const auto what = static_cast<fault>(f);
    const fault_form& form = form_of(what);
    for (std::uint8_t s = 0; s < form.subject_kinds; ++s) {
      const component about = form.subjects[s];
      if (of.count(about) == 0) continue;
      const subject part = first_of({&about, 1}, of);
      const std::int64_t amount = form.needs_amount ? 1'234'567 : 0;
      all.push_back(events::inject(what, part, amount));
      all.push_back(events::inject_at(what, part, milliseconds{65'500}, amount));
      all.push_back(events::inject_when(what, part, fault_trigger::lift_off, {}, amount));
      all.push_back(events::inject_when(what, part, fault_trigger::touchdown, {}, amount));
      all.push_back(events::inject_when(what, part, fault_trigger::engine_runs, events::engine(1), amount));
      all.push_back(events::inject_when(what, part, fault_trigger::engine_cranks, events::engine(0), amount));
      all.push_back(events::inject_when(what, part, fault_trigger::pump_delivers, events::electric_pump(0), amount));
      all.push_back(events::inject_when(what, part, fault_trigger::pump_delivers, events::engine_pump(1), amount));
      all.push_back(events::inject_when(what, part, fault_trigger::pressure_made, events::circuit(2), amount));
      all.push_back(events::inject_when(what, part, fault_trigger::door_moves, events::door(1), amount));
      all.push_back(events::inject_when(what, part, fault_trigger::test_runs, events::unit(0), amount));
      all.push_back(events::remove_fault(what, part));
    }
  }
  return all;
}

TEST(EventText, EveryEventReadsBackFromItsWords) {
  for (const layout* of : {&twin(), &four()}) {
    for (const event& one : every_event(*of)) {
      const std::string words = words_of(*of, one);
      const auto back = event_from_words(*of, words);
      ASSERT_TRUE(back) << words << ": " << to_string(back.problem());
      EXPECT_TRUE(*back == one) << words;
    }
  }
}

TEST(EventText, EveryEventReadsBackFromItsJson) {
  for (const layout* of : {&twin(), &four()}) {
    for (const event& one : every_event(*of)) {
      const std::string text = json_of(*of, one);
      EXPECT_EQ(text.find('\n'), std::string::npos);
      const auto back = event_from_json(*of, text);
      ASSERT_TRUE(back) << text << ": " << to_string(back.problem());
      EXPECT_TRUE(*back == one) << text;
    }
  }
}

TEST(EventText, ReadsTheFormsOfTheDocumentation) {
  EXPECT_TRUE(*event_from_words(twin(), "lever forward open") == events::lever(0, lever_position::open));
  EXPECT_TRUE(*event_from_words(twin(), "  start   engine-1 ") == events::start(0));
  EXPECT_TRUE(*event_from_words(twin(), "elapsed 12 s") == events::elapsed(milliseconds{12'000}));
  EXPECT_TRUE(*event_from_words(twin(), "elapsed 1:05") == events::elapsed(milliseconds{65'000}));
  EXPECT_TRUE(*event_from_words(twin(), "inject line-leak port 500 ml/s") ==
              events::inject(fault::line_leak, events::circuit(0), 500'000));
  EXPECT_TRUE(*event_from_words(twin(), "inject line-leak port 500 mL/s at 1:00") ==
              events::inject_at(fault::line_leak, events::circuit(0), milliseconds{60'000}, 500'000));
  EXPECT_TRUE(*event_from_words(twin(), "inject all-power-lost when lift-off") ==
              events::inject_when(fault::all_power_lost, {}, fault_trigger::lift_off, {}));
  EXPECT_TRUE(*event_from_words(twin(), "stored brake-store 3") == events::stored(0, 3));
  EXPECT_TRUE(*event_from_words(twin(), "steering disconnect") == events::steering(false));
  EXPECT_TRUE(*event_from_json(twin(), R"({"event":"lever","of":"forward","to":"open"})") ==
              events::lever(0, lever_position::open));
  EXPECT_TRUE(*event_from_json(twin(), R"( { "ms" : 12000, "event" : "elapsed" } )") ==
              events::elapsed(milliseconds{12'000}));
}

TEST(EventText, PhrasesNameTheWrongWord) {
  const location at{"x.yaml", 4, 10};
  const auto complain = [&](std::string_view phrase, const penstock_tests::complaint_wanted& wanted) {
    SCOPED_TRACE(std::string{phrase.substr(0, 80)});
    expect_complaint(event_from_words(twin(), phrase, at), wanted);
  };
  complain("levr forward open", {"event-unknown", 4, 10, "there is no event \"levr\" (did you mean \"lever\"?)"});
  complain("lever forwrad open", {"event-component", 4, 16, "did you mean \"forward\"?"});
  complain("lever engine-1 open", {"event-component", 4, 16, "\"engine-1\" is an engine; lever needs a cargo door"});
  complain("lever forward opn", {"event-value", 4, 24, "did you mean \"open\"?"});
  complain("lever forward", {"event-missing", 4, 23, "lever needs neutral, open or close"});
  complain("lever", {"event-missing", 4, 15, "lever needs a cargo door; possible: forward or aft"});
  complain("start engine-1 now", {"event-extra", 4, 25, "\"now\" is more than start takes"});
  complain("", {"event-missing", 4, 10, "the phrase is empty"});
  complain("elapsed", {"event-missing", 4, 17, "a time such as 12 s"});
  complain("elapsed -1 s", {"time-form", 4, 18, "negative"});
  complain("elapsed nan", {"time-form", 4, 18, "not a time"});
  complain("stored brake-store many", {"number-form", 4, 29, "not a whole number"});
  complain("inject", {"event-missing", 4, 16, "inject needs a fault"});
  complain("inject line-lek port 1 mL/s", {"event-fault", 4, 17, "did you mean \"line-leak\"?"});
  complain("inject line-leak port", {"event-missing", 4, 31, "needs a flow such as 500 mL/s"});
  complain("inject line-leak port 0 mL/s", {"flow-form", 4, 32, "no flow"});
  complain("inject pump-failed cargo-pump 5 mL/s", {"event-extra", 4, 40, "more than inject takes"});
  complain("inject pump-failed cargo-pump at", {"event-missing", 4, 42, "at needs a time"});
  complain("inject pump-failed cargo-pump when", {"event-missing", 4, 44, "when needs a trigger"});
  complain("inject pump-failed cargo-pump when lift-of", {"event-trigger", 4, 45, "did you mean \"lift-off\"?"});
  complain("inject pump-failed cargo-pump when at-once", {"event-trigger", 4, 45, "possible: engine-runs"});
  complain("inject pump-failed cargo-pump when engine-runs", {"event-missing", 4, 56, "needs an engine"});
  complain("inject pump-failed cargo-pump when lift-off port", {"event-extra", 4, 54, "no meaning here"});
  complain("maintenance-test port", {"event-component", 4, 27, "\"port\" is a circuit"});
  complain("start \xFF\xFE\x01", {"event-component", 4, 16, "there is no component \"???\""});
  complain(std::string(1'000'000, 'x'), {"event-long", 4, 10, "at most 4096"});
}

TEST(EventText, AnEventForAComponentThatIsNotThereIsAnError) {
  const auto small = load_layout("small-twin");
  ASSERT_TRUE(small);
  expect_complaint(event_from_words(*small, "stow ram-air"), {"event-component", 0, 6, "the aircraft has none"});
  expect_complaint(event_from_json(*small, R"({"event":"difference","of":"transfer","to":"level"})"),
                   {"event-component", 0, 1, "the aircraft has none"});
}

TEST(EventText, JsonNamesTheWrongMember) {
  const auto complain = [&](std::string_view text, std::string_view id, std::string_view words) {
    SCOPED_TRACE(std::string{text.substr(0, 80)});
    const auto got = event_from_json(twin(), text, {"-", 7, 1});
    ASSERT_FALSE(got);
    EXPECT_EQ(got.problem().id, id) << to_string(got.problem());
    EXPECT_NE(got.problem().message.find(words), std::string::npos) << to_string(got.problem());
    EXPECT_EQ(got.problem().where.line, 7U);
    EXPECT_GE(got.problem().where.column, 1U);
  };
  complain("", "event-json", "one JSON object");
  complain("[]", "event-json", "found array");
  complain("12", "event-json", "found number");
  complain(R"({"event":"start","of":"engine-1")", "event-json", "goes wrong here");
  complain(R"({"event":"elapsed","ms":NaN})", "event-json", "goes wrong here");
  complain(R"({"event":"elapsed","ms":1e999})", "event-json", "beyond any range");
  complain(R"({"event":"elapsed","ms":-1})", "event-range", "0 to 86400000; found -1");
  complain(R"({"event":"elapsed","ms":1.5})", "event-range", "found 1.5");
  complain(R"({"event":"elapsed","ms":99999999999999999999})", "event-range", "0 to 86400000");
  complain(R"({"event":"elapsed","ms":18446744073709551615})", "event-range", "0 to 86400000");
  complain(R"({"event":"elapsed","ms":"12 s"})", "event-range", "found \"12 s\"");
  complain(R"({"event":"elapsed"})", "event-missing", "elapsed needs a time");
  complain(R"({"of":"engine-1"})", "event-missing", "\"event\" is missing");
  complain(R"({"evnt":"start"})", "event-member", "did you mean \"event\"?");
  complain(R"({"event":"start","of":"engine-1","of":"engine-2"})", "event-twice", "\"of\" stands twice");
  complain(R"({"event":"start","of":1})", "event-type", "must be a text; found number");
  complain(R"({"event":"start","of":"engine-9"})", "event-component", "possible: engine-1 or engine-2");
  complain(R"({"event":"start","of":"engine-1","to":"on"})", "event-extra", "start has no \"to\"");
  complain(R"({"event":"start","of":"engine-1","ms":1})", "event-extra", "start has no \"ms\"");
  complain(R"({"event":"inject","fault":"line-leak","of":"port","flow":0})", "event-range", "above 0");
  complain(R"({"event":"inject","fault":"line-leak","of":"port","flow":1e300})", "event-range", "at most 1000000");
  complain(R"({"event":"inject","fault":"pump-failed","of":"cargo-pump","flow":1})", "event-extra", "has no flow");
  complain(R"({"event":"inject","fault":"pump-failed","of":"cargo-pump","at_ms":1,"when":"lift-off"})", "event-extra",
           "not both");
  complain(R"({"event":"inject","fault":"pump-failed","of":"cargo-pump","when_of":"port"})", "event-extra", "when_of");
  complain("{\"event\":\"\xFF\"}", "event-json", "goes wrong here");
  complain(std::string(4000, '['), "event-json", "goes wrong here");
  complain(std::string(1'000'000, ' '), "event-long", "at most 4096");
}

TEST(EventText, BrokenJsonHasItsColumn) {
  expect_complaint(event_from_json(twin(), R"({"event":"start",})", {"-", 3, 1}),
                   {"event-json", 3, 18, "goes wrong here"});
}

TEST(EventText, EventsThatAreNoneAreStillWrittenWithoutHarm) {
  event odd;
  odd.kind = static_cast<event_kind>(250);
  EXPECT_EQ(words_of(twin(), odd), "?");
  EXPECT_EQ(json_of(twin(), odd), R"({"event":"?"})");
  EXPECT_EQ(words_of(twin(), events::lever(5, static_cast<lever_position>(9))), "lever ? ?");
  EXPECT_EQ(words_of(twin(), events::inject(static_cast<fault>(99), {})), "inject ?");
}

}  // namespace
