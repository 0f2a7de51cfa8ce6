#include "runner/variations.hpp"

#include "penstock/event_text.hpp"
#include "penstock/layout_file.hpp"
#include "runner/failure.hpp"
#include "runner/played_lesson.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <optional>
#include <random>
#include <string_view>

namespace penstock::runner {

namespace {

constexpr std::size_t most_combinations = 1'000;  // each is a lesson in memory
constexpr std::size_t most_runs = 10'000;
constexpr std::size_t usual_runs = 10;
constexpr std::uint64_t usual_seed = 1;

struct parameter_choice {
  std::string name;
  std::vector<std::string> values;
};

failure wrong_each(const std::string& found) {
  return wrong_use("--each",
                   fmt::format("found '{}'; right is NAME=VALUE,VALUE,..., such as first=engine-1,engine-2, each name "
                               "and each of its values once, and no name that --set has",
                               found),
                   "use-form");
}

std::vector<parameter_choice> choices_of(const vary_options& wanted) {
  std::vector<parameter_choice> all;
  for (const std::string& text : wanted.each) {
    const std::size_t equals = text.find('=');
    if (equals == 0 || equals == std::string::npos) throw wrong_each(text);
    parameter_choice one{text.substr(0, equals), {}};
    const auto has_name = [&](const parameter_choice& other) { return other.name == one.name; };
    const auto sets_it = [&](const std::string& set) { return set.starts_with(one.name + "="); };
    if (std::ranges::any_of(all, has_name) || std::ranges::any_of(wanted.set, sets_it)) throw wrong_each(text);
    std::size_t from = equals + 1;
    while (true) {
      const std::size_t comma = std::min(text.find(',', from), text.size());
      std::string value = text.substr(from, comma - from);
      if (value.empty() || std::ranges::find(one.values, value) != one.values.end()) throw wrong_each(text);
      one.values.push_back(std::move(value));
      if (comma == text.size()) break;
      from = comma + 1;
    }
    all.push_back(std::move(one));
  }
  return all;
}

std::optional<std::string> value_in(const lesson& what, const std::string& name) {
  const auto found =
      std::ranges::find_if(what.parameters, [&](const lesson_parameter& each) { return each.name == name; });
  if (found == what.parameters.end()) return std::nullopt;
  return found->value;
}

std::string_view without_blanks(std::string_view text) {
  const std::size_t first = text.find_first_not_of(' ');
  if (first == std::string_view::npos) return {};
  return text.substr(first, text.find_last_not_of(' ') - first + 1);
}

event fault_from(const layout& of, const std::string& text) {
  const std::size_t sign = text.find('@');
  std::string words = "inject " + std::string{without_blanks(std::string_view{text}.substr(0, sign))};
  if (sign != std::string::npos) {
    words += " at " + std::string{without_blanks(std::string_view{text}.substr(sign + 1))};
  }
  return value_or_fail(event_from_words(of, words, {"--fault '" + text + "'", 0, 0}), exit_code::wrong_use);
}

// A flow is understood where a leak is; the reader of events is the one that knows how.
std::int64_t leak_from(const layout& of, const std::string& flow) {
  const std::string circuit{of.name({component::circuit, 0})};
  const auto leak = event_from_words(of, "inject line-leak " + circuit + " " + flow, {"--leak-flow '" + flow + "'", 0, 0});
  return value_or_fail(leak, exit_code::wrong_use).amount;
}

std::vector<event> all_faults_of(const layout& of, std::int64_t leak) {
  std::vector<event> all;
  for (std::size_t i = 0; i < count_of<fault>; ++i) {
    const auto which = static_cast<fault>(i);
    const fault_form& form = form_of(which);
    for (std::size_t k = 0; k < form.subject_kinds; ++k) {
      for (const subject each : of.everything()) {
        if (each.kind != form.subjects[k]) continue;
        const event made = events::inject(which, each, form.needs_amount ? leak : 0);
        // What the reader of events does not take does not fit this aircraft.
        const auto read = event_from_words(of, words_of(of, made));
        if (read && *read == made) all.push_back(made);
      }
    }
  }
  return all;
}

// Two that are about the same thing would undo one another.
bool go_together(const event& a, const event& b) {
  if (a.kind != b.kind || a.about != b.about) return true;
  return a.kind == event_kind::inject && a.value != b.value;
}

jitter_spec jitter_from(const vary_options& wanted) {
  if (!wanted.jitter) {
    if (wanted.runs) throw wrong_use("--runs", "found without --jitter; give a time as well, such as --jitter 2s", "use-jitter");
    if (wanted.seed) throw wrong_use("--seed", "found without --jitter; give a time as well, such as --jitter 2s", "use-jitter");
    return {};
  }
  const milliseconds most = value_or_fail(time_from_words(*wanted.jitter, {"--jitter", 0, 0}), exit_code::wrong_use);
  if (most == milliseconds{0}) throw wrong_use("--jitter", "found 0; right is more, such as 2s", "use-jitter");
  const std::size_t runs = wanted.runs ? *wanted.runs : usual_runs;
  if (runs == 0 || runs > most_runs) {
    throw wrong_use("--runs", fmt::format("found {}; right is 1 to {}", runs, most_runs), "use-jitter");
  }
  return {most, runs, wanted.seed ? *wanted.seed : usual_seed};
}

// An expectation that ends at a time of the lesson must still be ahead when its step comes.
bool leaves_room(const lesson& what) {
  return std::ranges::all_of(what.steps, [](const lesson_step& step) {
    return std::ranges::all_of(step.expectations, [&](const expectation& one) { return !one.end || *one.end > step.at; });
  });
}

std::optional<lesson> moved_by(const lesson& what, const std::vector<std::int64_t>& by, std::int64_t divided_by) {
  lesson moved = what;
  milliseconds before{0};
  for (std::size_t i = 0; i < moved.steps.size(); ++i) {
    lesson_step& step = moved.steps[i];
    const milliseconds shift{by[i] / divided_by};
    if (step.start == step_start::at) {
      step.at = std::max(before, step.at + shift);
      if (!moved.ends_by_itself) step.at = std::min(step.at, moved.end);
      before = step.at;
    } else if (step.start == step_start::after) {
      step.after = std::max(milliseconds{0}, step.after + shift);
      before += step.after;
    }
  }
  if (work_out_times(moved) || !leaves_room(moved)) return std::nullopt;
  return moved;
}

// The same run moves the steps alike whatever else is changed. Numbers by hand: distributions of the standard library
// differ from one library to the next.
lesson with_moved_times(const lesson& what, const jitter_spec& jitter, std::size_t run) {
  constexpr std::uint64_t odd = 0x9E3779B97F4A7C15U;  // keeps the runs of neighbouring seeds apart
  std::mt19937_64 random{jitter.seed + run * odd};
  const auto most = jitter.most.count();
  std::vector<std::int64_t> by;
  for (std::size_t i = 0; i < what.steps.size(); ++i) {
    by.push_back(static_cast<std::int64_t>(random() % (2 * static_cast<std::uint64_t>(most) + 1)) - most);
  }
  // Where that does not fit the lesson, all are moved by less. The last one of these moves nothing.
  for (std::int64_t divided_by = 1; divided_by <= 2 * most; divided_by *= 2) {
    if (auto moved = moved_by(what, by, divided_by)) return *std::move(moved);
  }
  return what;
}

}  // namespace

variations::variations(const vary_options& wanted)
    : base_{lesson_for(wanted.lesson, wanted.set)}, jitter_{jitter_from(wanted)} {
  read_changes(wanted);
  read_combinations(wanted);
}

void variations::read_combinations(const vary_options& wanted) {
  const std::vector<parameter_choice> choices = choices_of(wanted);
  std::size_t total = 1;
  for (const parameter_choice& each : choices) {
    total *= each.values.size();
    if (total > most_combinations) {
      throw wrong_use("--each",
                      fmt::format("there would be {} combinations of values or more; the most is {}", total,
                                  most_combinations),
                      "use-many");
    }
  }
  for (std::size_t i = 0; i < total; ++i) {
    std::vector<std::string> changes;
    std::vector<std::string> set = wanted.set;
    std::size_t rest = i;
    std::size_t block = total;
    for (const parameter_choice& each : choices) {
      block /= each.values.size();
      const std::string& value = each.values[rest / block];
      rest %= block;
      set.push_back(each.name + "=" + value);
      if (value_in(base_, each.name) != value) changes.push_back(set.back());
    }
    lesson read = lesson_for(wanted.lesson, set);
    if (yaml_of(read.aircraft.spec()) != yaml_of(base_.aircraft.spec())) {
      throw wrong_use("--each", "a parameter changes the aircraft; play the lesson once for each aircraft, with --set",
                      "use-aircraft");
    }
    combinations_.push_back({std::move(changes), std::move(read)});
  }
}

void variations::add_change(const event& one) {
  // What is named twice, or by name and by --all-faults, is one change.
  if (std::ranges::find(changes_, one) == changes_.end()) changes_.push_back(one);
}

void variations::read_changes(const vary_options& wanted) {
  const layout& of = base_.aircraft;
  for (const std::string& each : wanted.faults) add_change(fault_from(of, each));
  const std::int64_t leak = leak_from(of, wanted.leak_flow);
  if (wanted.all_faults) {
    for (const event& each : all_faults_of(of, leak)) add_change(each);
  }
  for (const std::string& each : wanted.switches) {
    add_change(value_or_fail(event_from_words(of, "switch " + each, {"--switch '" + each + "'", 0, 0}),
                             exit_code::wrong_use));
  }
  for (const event& each : changes_) {
    if (each.trigger != fault_trigger::at_time || milliseconds{each.trigger_time} <= base_.end) continue;
    throw wrong_use("--fault", fmt::format("'{}' comes after the end of the lesson", words_of(of, each)), "use-time");
  }
  if (wanted.pairs && changes_.size() < 2) {
    throw wrong_use("--pairs", "there are fewer than two faults and switches to pair; name some, or --all-faults",
                    "use-pairs");
  }
  sets_.emplace_back();
  for (std::size_t i = 0; i < changes_.size(); ++i) sets_.push_back({i});
  if (!wanted.pairs) return;
  for (std::size_t i = 0; i < changes_.size(); ++i) {
    for (std::size_t j = i + 1; j < changes_.size(); ++j) {
      if (go_together(changes_[i], changes_[j])) sets_.push_back({i, j});
    }
  }
}

std::size_t variations::count() const { return sets_.size() * combinations_.size() * (1 + jitter_.runs); }

variations::place variations::place_of_number(std::size_t i) const {
  const std::size_t times = 1 + jitter_.runs;
  return {i / times / combinations_.size(), i / times % combinations_.size(), i % times};
}

std::vector<std::string> variations::changes(std::size_t i) const {
  const place at = place_of_number(i);
  std::vector<std::string> words = combinations_[at.combination].changes;
  for (const std::size_t each : sets_[at.set]) words.push_back(words_of(base_.aircraft, changes_[each]));
  if (at.run != 0) words.push_back(fmt::format("moved times, run {}", at.run));
  return words;
}

lesson variations::made(std::size_t i) const {
  const place at = place_of_number(i);
  const lesson& plain = combinations_[at.combination].what;
  lesson what = at.run == 0 ? plain : with_moved_times(plain, jitter_, at.run);
  if (sets_[at.set].empty()) return what;
  lesson_step first;
  for (const std::size_t each : sets_[at.set]) {
    first.events.push_back(changes_[each]);
    first.event_words.push_back(words_of(base_.aircraft, changes_[each]));
  }
  what.steps.insert(what.steps.begin(), std::move(first));
  return what;
}

std::vector<std::string> variations::single_changes() const {
  std::vector<std::string> words;
  words.reserve(changes_.size());
  for (const event& each : changes_) words.push_back(words_of(base_.aircraft, each));
  return words;
}

std::string variations::digest() const {
  // FNV-1a, published by its authors: the same everywhere, and nobody has to be kept from forging it.
  std::uint64_t number = 0xCBF29CE484222325U;
  const auto take = [&](std::string_view text) {
    for (const char c : text) number = (number ^ static_cast<unsigned char>(c)) * 0x100000001B3U;
  };
  take(yaml_of(base_.aircraft.spec()));
  for (const combination& each : combinations_) take(lesson_to_yaml(each.what));
  return fmt::format("{:016x}", number);
}

}  // namespace penstock::runner
