// penstock present: a lesson step by step at the instructor's pace, with branches for "what if".
#include "files/json_values.hpp"
#include "penstock/event_text.hpp"
#include "penstock/lesson_player.hpp"
#include "penstock/readings.hpp"
#include "runner/commands.hpp"
#include "runner/explained.hpp"
#include "runner/failure.hpp"
#include "runner/levels.hpp"
#include "runner/names.hpp"
#include "runner/page.hpp"
#include "runner/played_lesson.hpp"
#include "runner/same_file.hpp"
#include "runner/timeline.hpp"

#include <fmt/core.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <system_error>
#include <utility>
#include <vector>

namespace penstock::runner {

namespace {

class silence : public lesson_audience {};

std::string clock_of(const simulation& now) { return clock_text(now.now().chronicle.now); }

milliseconds time_of(const simulation& now) { return milliseconds{now.now().chronicle.now}; }

std::string trimmed(std::string_view text) {
  constexpr std::string_view blanks = " \t\r";
  const std::size_t first = text.find_first_not_of(blanks);
  if (first == std::string_view::npos) return {};
  return std::string{text.substr(first, text.find_last_not_of(blanks) - first + 1)};
}

// A place in the lesson: so many steps are done.
struct lesson_point {
  lesson_player player;
  milliseconds step_began{0};  // of the last step
  std::vector<moment> told;    // from the step before, or from the beginning
};

// A place in a branch, with what led there: a step of one event, or only time.
struct branch_point {
  simulation now;
  std::optional<lesson_step> step;
};

class presentation {
 public:
  presentation(const lesson& what, std::string from, emphasis type, output& out)
      : lesson_{what}, from_{std::move(from)}, out_{out}, page_{what, type, out} {
    path_.push_back({lesson_player{lesson_, nobody_}, {}, {}});
  }

  void begin() {
    page_.heading();
    say(fmt::format("{}. An empty line is the next step; help lists what else there is.",
                    counted(lesson_.steps.size(), "step")));
  }

  // What stands before a command: where we are.
  [[nodiscard]] std::string place() const {
    const std::string in_branch = branch_.empty() ? "" : ", what if";
    return fmt::format("[step {} of {}{}, {}] ", at().player.steps_done(), lesson_.steps.size(), in_branch,
                       clock_of(now()));
  }

  // Whether the presentation goes on. A command that cannot be done changes nothing.
  bool obey(const std::string& line) {
    const std::string words = trimmed(line);
    const std::size_t blank = std::min(words.find_first_of(" \t"), words.size());
    const std::string name = words.substr(0, blank);
    const std::string rest = trimmed(std::string_view{words}.substr(blank));
    if (words == "quit") return false;
    const auto found = std::ranges::find(commands, name.empty() ? "next" : name, &command::name);
    if (found == commands.end()) {
      say(unknown(name, words));
    } else if (found->argument.empty() && !rest.empty()) {
      say(fmt::format("'{}' takes nothing behind it; found '{}'.\nNothing was done.", name, rest));
    } else if (!found->argument.empty() && rest.empty()) {
      say(fmt::format("'{}' needs {} behind it.\nNothing was done.", name, found->argument));
    } else {
      try {
        (this->*found->done)(rest);
      } catch (const failure& problem) {
        say(fmt::format("{}\nNothing was done.", sentence(problem.problem())));
      }
    }
    return true;
  }

  void end_of_input() { say("End of the input; the presentation is over."); }
  void too_long() { say("This line is too long; nothing was done."); }

 private:
  struct command {
    std::string_view name;
    std::string_view argument;  // what must stand behind it; empty: nothing
    std::string_view sentence;
    void (presentation::*done)(const std::string&);
  };
  static const std::array<command, 12> commands;

  [[nodiscard]] const lesson_point& at() const { return path_.back(); }
  [[nodiscard]] const simulation& now() const {
    return branch_.empty() ? at().player.simulation() : branch_.back().now;
  }
  void say(std::string_view text) { out_.write(paragraph("", text)); }

  // An error without the name of an option in front, which nobody typed here.
  static std::string sentence(const error& problem) {
    return fmt::format("{} [{}].", problem.message, problem.id);
  }

  // A word that is no command; perhaps it begins an event.
  [[nodiscard]] std::string unknown(const std::string& name, const std::string& words) const {
    if (event_from_words(lesson_.aircraft, words)) {
      return fmt::format("'{}' is no command; did you mean 'what-if {}'?\nNothing was done.", name, words);
    }
    std::vector<std::string> names{"quit"};
    for (const command& each : commands) names.emplace_back(each.name);
    const std::string guess = perhaps(name, names);
    return fmt::format("'{}' is no command{} help lists them.\nNothing was done.", name,
                       guess.empty() ? ";" : guess);
  }

  // The page of one moment: questions without answers, and of what the lesson expects only what is not so.
  void show(const moment& told) {
    moment shown = told;
    for (given_answer& each : shown.answers) each.answer.clear();
    std::erase_if(shown.judged, &judgement::met);
    const bool has_more = shown.step != nullptr || !shown.changes.empty() || !shown.available.empty() ||
                          !shown.unavailable.empty() || !shown.alerts.empty() || !shown.judged.empty();
    if (has_more) page_.tell(shown);
  }

  void next(const std::string&) {
    if (!branch_.empty()) {
      say("You are trying what if: 'wait 5 s' lets time go on, 'what-if EVENT' does something more, 'return' leads "
          "back to the lesson.");
      return;
    }
    if (at().player.done()) {
      say("This is the end of the lesson; 'back' and 'what-if EVENT' are still possible.");
      return;
    }
    lesson_point after{at().player, at().step_began, {}};
    const auto listener = listen_for_moments(lesson_, now().now(), [&](const moment& told) {
      if (told.step != nullptr) after.step_began = milliseconds{told.at};
      after.told.push_back(told);
    });
    after.player.tell(*listener);
    after.player.play_step();
    after.player.tell(nobody_);
    static_cast<void>(listener->finish(after.player.result()));
    for (const moment& each : after.told) show(each);
    path_.push_back(std::move(after));
    if (at().player.done()) end_of_lesson();
  }

  void end_of_lesson() {
    const lesson_result result = at().player.result();
    say(fmt::format("\nThe lesson ends at {}: {} of its {} not met.", clock_of(now()), result.failures.size(),
                    counted(result.expectations, "expectation")));
  }

  void back(const std::string&) {
    if (!branch_.empty()) {
      branch_.pop_back();
      say(branch_.empty() ? fmt::format("Taken back; this is the lesson again, at {}.", clock_of(now()))
                          : fmt::format("Taken back; it is {} again.", clock_of(now())));
      return;
    }
    if (path_.size() == 1) {
      say("This is the beginning of the lesson.");
      return;
    }
    path_.pop_back();
    say(fmt::format("Back at {}.", clock_of(now())));
    for (const moment& each : at().told) show(each);
  }

  void again(const std::string&) {
    if (path_.size() == 1) page_.heading();
    for (const moment& each : at().told) show(each);
  }

  void return_to_lesson(const std::string&) {
    if (branch_.empty()) {
      say("This is the lesson already; 'back' leads to the step before.");
      return;
    }
    branch_.clear();
    say(fmt::format("The lesson again, where it was left: at {}, behind step {} of {}.", clock_of(now()),
                    at().player.steps_done(), lesson_.steps.size()));
  }

  void what_if(const std::string& words) {
    const event happening = value_or_fail(event_from_words(lesson_.aircraft, words), exit_code::wrong_use);
    if (happening.kind == event_kind::elapsed) {
      pass(milliseconds{happening.amount});
      return;
    }
    branch_point after{now(), lesson_step{}};
    after.step->at = time_of(after.now);
    after.step->events = {happening};
    after.step->event_words = {words};
    bool changed = false;
    const auto listener = listen_for_moments(lesson_, now().now(), [&](const moment& told) {
      changed = changed || !told.changes.empty() || !told.alerts.empty() || !told.available.empty() ||
                !told.unavailable.empty();
      show(told);
    });
    listener->step_begins(*after.step, after.now);
    after.now.watch([&](const simulation::frame& frame) { listener->happened(frame); });
    const refusal refused = after.now.apply(happening).refused;
    after.now.watch({});
    static_cast<void>(listener->finish({}));
    if (refused.kind != refusal_kind::none) {
      const std::string rule = refused.rule.empty() ? "" : fmt::format(" [{}]", refused.rule);
      out_.write(paragraph("  refused:     ", fmt::format("{}{}", refused.sentence, rule)));
      const auto rules = files::ids_in(refused.rule);
      // What no rule refuses cannot stand in a lesson; it changed nothing.
      if (rules.empty()) return;
      after.step->refused = *rules.begin();
    } else if (!changed) {
      out_.write("  Nothing changes at once. 'wait 5 s' shows what comes of it.\n");
    }
    branch_.push_back(std::move(after));
  }

  void wait(const std::string& words) {
    pass(value_or_fail(time_from_words(words), exit_code::wrong_use));
  }

  void pass(milliseconds span) {
    branch_point after{now(), {}};
    bool shown = false;
    const auto listener = listen_for_moments(lesson_, now().now(), [&](const moment& told) {
      shown = true;
      show(told);
    });
    after.now.watch([&](const simulation::frame& frame) { listener->happened(frame); });
    const refusal refused = after.now.advance(span).refused;
    after.now.watch({});
    if (refused.kind != refusal_kind::none) {
      say(fmt::format("{} [{}]\nNothing was done.", refused.sentence, refused.rule));
      return;
    }
    static_cast<void>(listener->finish({}));
    branch_.push_back(std::move(after));
    say(fmt::format("{}It is {}.", shown ? "\n" : "Nothing changes. ", clock_of(now())));
  }

  void why(const std::string& words) {
    std::string about = words;
    std::ranges::replace(about, ' ', ':');  // "alert steering" as well as "alert:steering"
    out_.write(outline("  ", in_words(explained(lesson_.aircraft, now().now(), about))));
  }

  void level(const std::string&) {
    if (now().kind() == plant_kind::fluid) {
      out_.write(levels_in_words(now()));
    } else {
      readings_of([](const reading_form& form) { return form.what == reading_kind::quantity; });
    }
  }
  void gauges(const std::string&) {
    readings_of([](const reading_form&) { return true; });
  }

  template <class Wanted>
  void readings_of(Wanted wanted) {
    bool any = false;
    for (const subject about : lesson_.aircraft.everything()) {
      std::vector<std::string> shown;
      for (const reading_form& form : reading_forms()) {
        if (form.kind != about.kind || !wanted(form)) continue;
        const std::optional<double> value = reading(now(), about, form.what);
        if (value) shown.push_back(fmt::format("{} {:.1f} {}", word(form.what), *value, form.unit));
      }
      if (shown.empty()) continue;
      any = true;
      out_.write(paragraph("  " + padded(lesson_.aircraft.name(about), 16) + " ", listed(shown)));
    }
    if (!any) say(fmt::format("The plant of this lesson ({}) knows no such quantities.", word(now().kind())));
  }

  void answer(const std::string&) {
    // Behind the last step the lesson goes on to its end; that is no step.
    const auto asks = [](const lesson_point& each) {
      return std::ranges::any_of(each.told, [](const moment& told) { return told.step != nullptr; });
    };
    const auto last = std::find_if(path_.rbegin(), path_.rend(), asks);
    bool any = false;
    for (const moment& each : (last == path_.rend() ? at() : *last).told) {
      for (const given_answer& given : each.answers) {
        any = true;
        out_.write(paragraph("  question:    ", given.question));
        out_.write(outline("  answer:      ", given.answer.empty() ? "open: the lesson gives none" : given.answer));
      }
    }
    if (!any) say("The last step of the lesson asks nothing.");
  }

  void help(const std::string&) {
    for (const command& each : commands) {
      const std::string form = fmt::format("{} {}", each.name, each.argument);
      out_.write(paragraph("  " + padded(form, 18) + " ", each.sentence));
    }
    out_.write(paragraph("  " + padded("quit", 18) + " ", "ends the presentation; so does the end of the input"));
  }

  void record(const std::string& path) {
    if (path_.size() == 1 && branch_.empty()) {
      say("Nothing was done until now, so there is nothing to record.");
      return;
    }
    std::error_code none;
    if (same_file(path, from_)) {
      say(fmt::format("'{}' is the lesson itself; give another name [use-output].\nNothing was done.", path));
      return;
    }
    if (std::filesystem::exists(std::filesystem::symlink_status(path, none))) {
      say(fmt::format("'{}' is there already; give another name [use-output].\nNothing was done.", path));
      return;
    }
    std::size_t left_out = 0;
    const lesson done = what_was_done(path, left_out);
    const std::string text = lesson_to_yaml(done);
    // What cannot be read back must not be written.
    static_cast<void>(value_or_fail(lesson_from_yaml(text, path), exit_code::bad_input));
    write_file(path, text);
    const std::string rest =
        left_out == 0 ? "" : fmt::format(" Left out, because still open: {}.", counted(left_out, "expectation"));
    say(fmt::format("Written to '{}': {}.{}", path, counted(done.steps.size(), "step"), rest));
  }

  // The steps of the lesson until here, then those of the branch.
  [[nodiscard]] lesson what_was_done(const std::string& path, std::size_t& left_out) const {
    lesson done = lesson_;
    done.aircraft_name = aircraft_from(path);
    // To its end, with all that it expects.
    if (branch_.empty() && at().player.done() && at().player.steps_done() == lesson_.steps.size()) return done;
    done.title = branch_.empty() ? lesson_.title + ", a part" : lesson_.title + ", and what if";
    done.steps.resize(at().player.steps_done());
    done.ends_by_itself = true;
    const milliseconds left = time_of(at().player.simulation());
    for (std::size_t i = 0; i < done.steps.size(); ++i) {
      const milliseconds began = path_[i + 1].step_began;
      left_out += std::erase_if(done.steps[i].expectations, [&](const expectation& one) {
        if (one.form == expectation_form::now) return false;
        return !(one.span ? began + *one.span <= left : one.end && *one.end <= left);
      });
    }
    milliseconds before = done.steps.empty() ? milliseconds{0} : at().step_began;
    const auto add = [&](lesson_step step) {
      const milliseconds begins = step.at;
      // Behind a step that waits nobody can know the time since the beginning.
      step.start = done.steps.empty() ? step_start::at : step_start::after;
      step.after = begins - before;
      before = begins;
      done.steps.push_back(std::move(step));
    };
    for (const branch_point& each : branch_) {
      if (each.step) add(*each.step);
    }
    if (const milliseconds end = time_of(now()); end > before) {
      lesson_step last;
      last.at = end;
      last.say = "Until here.";
      add(std::move(last));
    }
    return done;
  }

  // A path of an aircraft counts from the folder of the lesson that names it.
  [[nodiscard]] std::string aircraft_from(const std::string& path) const {
    namespace fs = std::filesystem;
    const std::string& name = lesson_.aircraft_name;
    if (!name.ends_with(".yaml") || fs::path{name}.is_absolute()) return name;
    std::error_code none;
    const fs::path there = fs::absolute(from_, none).parent_path() / name;
    const fs::path seen = fs::relative(there, fs::absolute(path, none).parent_path(), none);
    return none || seen.empty() ? there.string() : seen.string();
  }

  const lesson& lesson_;
  std::string from_;
  output& out_;
  timeline page_;
  silence nobody_;
  std::vector<lesson_point> path_;     // from the beginning to where the lesson is
  std::vector<branch_point> branch_;   // from there; empty: no branch
};

const std::array<presentation::command, 12> presentation::commands{{
    {"next", "", "the next step of the lesson; an empty line says the same", &presentation::next},
    {"back", "", "the step before; after a what-if or wait: takes it back", &presentation::back},
    {"what-if", "EVENT", "leaves the lesson: this event happens now, such as 'what-if lever forward open'",
     &presentation::what_if},
    {"wait", "TIME", "leaves the lesson: time goes on, and none of its steps is done, such as 'wait 5 s'",
     &presentation::wait},
    {"return", "", "back to the lesson, to where it was left", &presentation::return_to_lesson},
    {"why", "SUBJECT", "the causes of a component or an alert, such as 'why cargo-pump', 'why alert steering'",
     &presentation::why},
    {"answer", "", "the answer to the question of the last step", &presentation::answer},
    {"gauges", "", "what gauges would show now", &presentation::gauges},
    {"level", "", "what the reservoirs hold now", &presentation::level},
    {"record", "FILE", "writes what was done, what-if included, as a lesson that penstock run plays",
     &presentation::record},
    {"help", "", "this list", &presentation::help},
    {"again", "", "shows the last step of the lesson again", &presentation::again},
}};

}  // namespace

exit_code present_lesson(const present_options& wanted, output& out) {
  const lesson what = lesson_for(wanted.lesson, wanted.set);
  presentation given{what, wanted.lesson, emphasis_for(out, wanted.plain), out};
  given.begin();
  line_reader in{STDIN_FILENO};
  const bool is_typed = ::isatty(STDIN_FILENO) == 1;
  std::string line;
  while (true) {
    out.write("\n" + given.place());
    out.flush();
    const line_reader::found found = in.next(line);
    if (found == line_reader::found::end) {
      out.write("\n");
      given.end_of_input();
      break;
    }
    if (found == line_reader::found::too_long) {
      given.too_long();
      continue;
    }
    // A terminal shows what was typed; a transcript needs it as well.
    if (!is_typed) out.write(paragraph("", line.empty() ? "next" : line));
    if (!given.obey(line)) break;
  }
  out.flush();
  return exit_code::done;
}

}  // namespace penstock::runner
