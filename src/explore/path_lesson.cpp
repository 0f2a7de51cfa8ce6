// A path of a search as a lesson: played with real times, it comes to what was found.
#include <algorithm>
#include <utility>

#include "explore/timers.hpp"
#include "penstock/event_text.hpp"
#include "penstock/explore.hpp"

namespace penstock::inline v1 {

namespace {

/// Goes along a path with the real clock. A timer is waited for; others that run out meanwhile do so as well.
class walk {
 public:
  walk(const layout& of, logic_function logic) : of_(of), logic_(logic), now_(cold_and_dark(of)), before_(now_) {}

  /// False where a timer does not count, because another has run out that the search left waiting.
  bool go(const happening& what) {
    before_ = now_;
    if (!what.runs_out) {
      logic_(of_, now_, what.what, did_);
      return did_.accepted();
    }
    const std::uint32_t limit = explore_detail::limit_of(of_, *what.runs_out);
    const std::uint32_t value = explore_detail::timer_at(now_.timers, *what.runs_out);
    if (!explore_detail::may_run_out(detail::view{of_.plan(), now_}, now_.timers, *what.runs_out)) return false;
    logic_(of_, now_, events::elapsed(milliseconds{limit - value}), did_);
    return did_.accepted();
  }

  [[nodiscard]] const state& now() const { return now_; }
  [[nodiscard]] const state& before() const { return before_; }
  [[nodiscard]] const effects& did() const { return did_; }

 private:
  const layout& of_;
  logic_function logic_;
  state now_;
  state before_;
  effects did_{};
};

bool is_broken(const layout& of, const walk& at, const happening& last, const search_property& property) {
  if (property.in_state && property.in_state(of, at.now(), observe(of, at.now()))) return true;
  return property.in_step && property.in_step({of, at.before(), last, at.did(), at.now()});
}

/// What can be seen there and is not as in cold and dark, as expectations of a lesson.
std::vector<expectation> what_is_seen(const layout& of, const state& now, const std::vector<phrase>& about) {
  std::vector<expectation> all;
  const auto expect = [&all](phrase what) {
    const bool is_there = std::ranges::any_of(all, [&](const expectation& other) { return same_phrase(other.phrases[0], what); });
    if (is_there) return;
    expectation one;
    one.words = what.words;
    one.phrases.push_back(std::move(what));
    all.push_back(std::move(one));
  };
  const observation seen = observe(of, now);
  const observation cold = observe(of, cold_and_dark(of));
  for (const subject each : of.everything()) {
    for (const attribute_form& form : attributes()) {
      if (form.kind != each.kind) continue;
      const std::string_view found = attribute_word(of, seen, each, form.name);
      if (found == attribute_word(of, cold, each, form.name)) continue;
      auto read = phrase_from_words(of, std::string{of.name(each)} + " " + std::string{form.name} + " is " + std::string{found});
      if (read) expect(*std::move(read));  // otherwise a word that lessons cannot expect
    }
  }
  // What the property is about, also where it is as in cold and dark.
  for (phrase each : about) {
    if (each.kind != phrase_kind::property) continue;
    each.value = attribute_word(of, seen, each.about, each.attribute);
    each.negated = false;
    each.words = words_of(of, each);
    expect(std::move(each));
  }
  for (const observed_alert& each : seen.alerts_standing()) {
    phrase stands;
    stands.kind = phrase_kind::alert;
    stands.alert = each.condition;
    stands.about = each.about;
    stands.value = each.inhibited ? "inhibited" : word(each.level);
    stands.words = words_of(of, stands);
    expect(std::move(stands));
  }
  return all;
}

}  // namespace

path_lesson lesson_of(const layout& of, const std::string& aircraft_name, const search_violation& what,
                      const std::vector<search_property>& properties, logic_function logic) {
  path_lesson made{{.name = {},
                    .title = "How " + what.property + " is broken",
                    .story = what.sentence + (what.sentence.ends_with(".") ? "" : ".") + " Found by searching: " + what.found + ".",
                    .aircraft_name = aircraft_name,
                    .aircraft = of,
                    .plant = plant_kind::none,
                    .begin = {},
                    .parameters = {},
                    .steps = {}},
                   true};
  walk walking{of, logic};
  // One step for each event, so that each can be shown by itself.
  const auto add_step = [&]() -> lesson_step& {
    lesson_step step;
    step.at = milliseconds{walking.now().chronicle.now};
    return made.told.steps.emplace_back(std::move(step));
  };
  for (const happening& each : what.path) {
    if (!each.runs_out) {
      lesson_step& step = add_step();
      step.events.push_back(each.what);
      step.event_words.push_back(words_of(of, each.what));
    }
    made.replays = walking.go(each) && made.replays;
    if (each.runs_out) add_step().say = words_of(of, each) + ".";
  }
  const auto property =
      std::ranges::find_if(properties, [&](const search_property& one) { return one.name == what.property; });
  lesson_step& last = made.told.steps.empty() ? add_step() : made.told.steps.back();
  last.expectations = what_is_seen(of, walking.now(), property != properties.end() ? property->about : std::vector<phrase>{});
  if (property != properties.end() && !what.path.empty()) {
    made.replays = made.replays && is_broken(of, walking, what.path.back(), *property);
  }
  made.told.end = milliseconds{walking.now().chronicle.now};
  return made;
}

}  // namespace penstock::inline v1
