// The program penstock: arguments in, exit code out. The work is in the files of the commands.
#include "penstock/event_text.hpp"
#include "penstock/version.hpp"
#include "runner/commands.hpp"
#include "runner/failure.hpp"
#include "runner/names.hpp"

#include <CLI/CLI.hpp>
#include <fmt/core.h>
#include <spdlog/sinks/stdout_sinks.h>
#include <spdlog/spdlog.h>
#include <unistd.h>

#include <algorithm>
#include <csignal>
#include <functional>
#include <memory>
#include <sstream>
#include <string>
#include <vector>

namespace penstock::runner {

namespace {

constexpr const char* examples =
    "Examples:\n"
    "  penstock list                                     what comes with penstock\n"
    "  penstock run turnaround-1-2                       play a lesson\n"
    "  penstock run my-lesson.yaml --until 2:30 --json   a lesson of your own, as JSON\n"
    "  penstock run turnaround-1-2 --plot curves.svg     its curves as a picture; --csv and --vcd: as data\n"
    "  penstock present turnaround-1-2                   step by step in class; what if something else happens?\n"
    "  penstock handout turnaround-1-2 --for trainee -o turnaround.html   to print\n"
    "  penstock check my-lessons --junit results.xml     lessons as tests, for a build server\n"
    "  penstock why turnaround-1-2 --at 3:10 cargo-pump  why is it as it is?\n"
    "  penstock why turnaround-1-2 --at 34:26 alert:steering\n"
    "  penstock levels turnaround-1-2 --at 2:30          what the reservoirs hold, and what to add\n"
    "  penstock vary turnaround --each first=engine-1,engine-2 --all-faults   what breaks, and by which fault\n"
    "  penstock rules CGO-7                              one rule, and where it is built\n"
    "  penstock rules --trace -o trace.html              all rules: their rows, tests, lessons, and the gaps\n"
    "  penstock explore twin-freighter                   every reachable state, and what holds in all of them\n"
    "  penstock draw twin-freighter --machine transfer-test --as dot\n"
    "  penstock events twin-freighter                    every event that can be written\n"
    "  echo '{\"event\":\"external-power\",\"to\":\"on\"}' | penstock feed twin-freighter\n";

constexpr const char* set_in_words = "a parameter of the lesson, such as first=engine-2; may be given again";

/// What the arguments ask for.
struct request {
  std::string log_level = "warn";
  std::function<exit_code(output&)> command;
};

std::vector<std::string> level_words() { return {"trace", "debug", "info", "warn", "error", "off"}; }

void start_log(const std::string& level) {
  const auto words = level_words();
  if (std::ranges::find(words, level) == words.end()) {
    throw wrong_use("--log-level",
                    fmt::format("found '{}'; right is trace, debug, info, warn, error or off{}", level,
                                perhaps(level, words)),
                    "use-log-level");
  }
  auto log = spdlog::stderr_logger_mt("penstock");
  log->set_pattern("penstock: %l: %v");
  log->set_level(spdlog::level::from_str(level));
  spdlog::set_default_logger(std::move(log));
}

// Adds one command whose options live as long as the arguments are read.
template <class Options, class Adding>
void add(CLI::App& app, request& wanted, const char* name, const char* sentence,
         exit_code (*command)(const Options&, output&), Adding adding) {
  auto options = std::make_shared<Options>();
  CLI::App* sub = app.add_subcommand(name, sentence);
  sub->fallthrough();
  adding(*sub, *options);
  sub->callback([&wanted, options, command] {
    wanted.command = [options, command](output& out) { return command(*options, out); };
  });
}

struct no_options {};
exit_code list_without_options(const no_options&, output& out) { return list_shipped(out); }

void describe(CLI::App& app, request& wanted) {
  app.name("penstock");
  app.require_subcommand(1);
  app.set_version_flag("--version", "penstock " PENSTOCK_VERSION);
  app.add_option("--log-level", wanted.log_level, "what to log to standard error: trace, debug, info, warn, error, off")
      ->capture_default_str();
  app.footer(std::string{examples} + "\n" + exit_codes_in_words);

  add<run_options>(app, wanted, "run", "Play a lesson and show what happens, and why", run_lesson,
                   [](CLI::App& sub, run_options& o) {
                     sub.add_option("LESSON", o.lesson, "a lesson that comes with penstock, or a file")->required();
                     sub.add_option("--set", o.set, set_in_words);
                     sub.add_flag("--json", o.json, "one JSON document instead of text");
                     sub.add_option("--until", o.until, "stop at this time of the lesson, such as 2:30 or 90 s");
                     sub.add_flag("--plain", o.plain, "no bold type");
                     sub.add_option("--plot", o.plot, "draw pressures, states and alerts over time into this SVG file");
                     sub.add_option("--csv", o.csv, "write the same as comma-separated values into this file");
                     sub.add_option("--vcd", o.vcd, "write the same as a value change dump into this file");
                   });
  add<present_options>(app, wanted, "present", "Present a lesson step by step, and try what else may happen", present_lesson,
                       [](CLI::App& sub, present_options& o) {
                         sub.add_option("LESSON", o.lesson, "a lesson that comes with penstock, or a file")->required();
                         sub.add_option("--set", o.set, set_in_words);
                         sub.add_flag("--plain", o.plain, "no bold type");
                         sub.footer(
                             "Commands are lines of standard input; an empty line is the next step, help lists the others.\n"
                             "What the lesson expects and is not so is shown, but does not change the exit code.\n");
                       });
  add<handout_options>(app, wanted, "handout", "Make a handout of a lesson, to print", make_handout,
                       [](CLI::App& sub, handout_options& o) {
                         sub.add_option("LESSON", o.lesson, "a lesson that comes with penstock, or a file")->required();
                         sub.add_option("--set", o.set, set_in_words);
                         sub.add_option("--for", o.reader, "trainee (without answers) or instructor (with answers)")
                             ->capture_default_str();
                         sub.add_option("-o,--output", o.html, "write one HTML file; default: to standard output");
                         sub.add_option("--pdf", o.pdf, "write a PDF file; needs Chromium");
                       });
  add<check_options>(
      app, wanted, "check", "Play lessons as tests: what they expect, what they show of the rules", check_lessons,
      [](CLI::App& sub, check_options& o) {
        sub.add_option("LESSON", o.lessons,
                       "lessons that come with penstock, files, or folders; nothing: all that come with penstock");
        sub.add_option("--threads", o.threads, "how many lessons are played at once; default: one on each processor");
        sub.add_option("--junit", o.junit, "write the results into this file as JUnit XML");
        sub.add_flag("--coverage", o.coverage, "say which rules and which rows of the tables these lessons show");
        sub.add_option("--coverage-json", o.coverage_json, "write the same into this file as JSON");
        sub.add_option("--least", o.least, "fail when these lessons show less than this percentage of all rules");
        sub.add_flag("--json", o.json, "one JSON document instead of text");
        sub.add_flag("--plain", o.plain, "no bold type");
        sub.footer(
            "Of a folder, all .yaml and .yml files below it are played, sorted, without hidden ones; an aircraft among\n"
            "them is passed over, and so is a part that one of the lessons includes. A lesson that is named twice is\n"
            "played once.\n\n"
            "A rule is shown when a row that names it was taken, when it refused a command, when it is the reason of a\n"
            "change, of an alert or of what a consumer can do, when the answer to a question quotes it, or when\n"
            "\"because\" names it in an expectation that is met. What no row can carry, such as the order within a\n"
            "frame, is shown by expectations that say so with \"shows\", if all of them are met. A row is taken when a\n"
            "machine of any component went through it. A lesson that fails counts as well.\n\n"
            "Times in JUnit XML are those of the lesson, not of this machine: a suite takes as long as its lesson,\n"
            "a case as long as the lesson went on since the case before.\n\n"
            "Exit codes: 0 everything expected was so; 1 an expectation was not met, or --least not reached;\n"
            "3 a lesson cannot be read or is wrong (the others are still played); 4 a result cannot be written.\n");
      });
  add<feed_options>(app, wanted, "feed", "Read events as JSON lines, answer each with a line of JSON", feed_events,
                    [](CLI::App& sub, feed_options& o) {
                      sub.add_option("LAYOUT", o.layout, "an aircraft that comes with penstock, or a file")->required();
                      sub.add_option("--plant", o.plant, "where facts come from: fluid, quasi-static, or none (all from you)")
                          ->capture_default_str();
                      sub.footer(
                          "Each line is an event (penstock show event: its schema). It may also have a member \"at\",\n"
                          "milliseconds since the beginning: time first goes on to it. Each answer (penstock show\n"
                          "answer) is written at once. A bad line is answered with an error and changes nothing.\n");
                    });
  add<why_options>(app, wanted, "why", "Say why something is as it is at a time of a lesson", tell_why,
                   [](CLI::App& sub, why_options& o) {
                     sub.add_option("LESSON", o.lesson, "a lesson that comes with penstock, or a file")->required();
                     sub.add_option("--set", o.set, set_in_words);
                     sub.add_option("SUBJECT", o.subject,
                                    "a component, aircraft, or alert:CONDITION or alert:CONDITION:COMPONENT")
                         ->required();
                     sub.add_option("--at", o.at, "time of the lesson, such as 2:30 or 90 s")->required();
                     sub.add_flag("--json", o.json, "JSON instead of text");
                   });
  add<levels_options>(app, wanted, "levels", "Say what each reservoir holds, what to expect, and what to add",
                      tell_levels, [](CLI::App& sub, levels_options& o) {
                        sub.add_option("LESSON", o.lesson, "a lesson that comes with penstock, or a file")->required();
                        sub.add_option("--set", o.set, set_in_words);
                        sub.add_option("--at", o.at, "time of the lesson, such as 2:30; default: its end");
                        sub.add_flag("--json", o.json, "JSON instead of text");
                      });
  add<vary_options>(
      app, wanted, "vary", "Play a lesson under variations, to see which expectations break", vary_lesson,
      [](CLI::App& sub, vary_options& o) {
        sub.add_option("LESSON", o.lesson, "a lesson that comes with penstock, or a file");
        sub.add_option("--set", o.set, set_in_words);
        sub.add_option("--each", o.each, "values of a parameter, such as first=engine-1,engine-2; may be given again:\n"
                                         "every combination is played")
            ->allow_extra_args(false);
        sub.add_option("--fault", o.faults, "a fault from the beginning, such as \"pump-failed cargo-pump\", or later:\n"
                                            "\"pump-failed cargo-pump @ 34:00\"; may be given again")
            ->allow_extra_args(false);
        sub.add_flag("--all-faults", o.all_faults, "every fault that fits the aircraft, from the beginning");
        sub.add_option("--leak-flow", o.leak_flow, "how much leaks, of all faults that are leaks")->capture_default_str();
        sub.add_option("--switch", o.switches, "a switch at the beginning, such as \"keel-pump off\"; may be given again")
            ->allow_extra_args(false);
        sub.add_flag("--pairs", o.pairs, "also every two of these faults and switches together");
        sub.add_option("--jitter", o.jitter, "also move each step by up to this time, such as 2s, in the same order");
        sub.add_option("--runs", o.runs, "how often the times are moved; default: 10");
        sub.add_option("--seed", o.seed, "the number that the moved times come from; default: 1");
        sub.add_option("--part", o.part, "play only this share, such as 3/64");
        sub.add_option("--merge", o.merge, "play nothing: put together parts that --json wrote into these files");
        sub.add_option("--write", o.write, "write each variation that breaks something into this folder, as a lesson");
        sub.add_option("--threads", o.threads, "how many variations are played at once; default: one on each processor");
        sub.add_flag("--json", o.json, "one JSON document instead of text");
        sub.add_flag("--plain", o.plain, "no bold type");
        sub.footer(
            "The lesson as it is is one of the variations. Faults and switches are made one by one, in every combination\n"
            "of the parameters; with --jitter each of these also at moved times. A step that waits for something is not\n"
            "moved. Where moved times do not fit the lesson, all its steps are moved by less.\n\n"
            "Variations have numbers: the same ones whatever the part, so that parts can be played on several machines.\n\n"
            "Exit codes: 0 nothing breaks; 1 an expectation is not met in some variation; 2 an option is wrong;\n"
            "3 the lesson or a file to merge is wrong; 4 a result cannot be written.\n");
      });
  add<rules_options>(
      app, wanted, "rules", "List the rules, or one: sentence, source, where it is built", list_rules,
      [](CLI::App& sub, rules_options& o) {
        sub.add_option("ID", o.id, "a rule, such as CGO-7");
        sub.add_flag("--json", o.json, "JSON instead of text");
        sub.add_flag("--trace", o.trace, "all rules with the rows that build them, the tests that quote them and the\n"
                                         "lessons that show them; and the gaps");
        sub.add_option("--as", o.form, "form of the trace: text (counts and gaps), html or json; default: text");
        sub.add_option("-o,--output", o.file, "write the trace into this file; .html and .json say its form");
        sub.footer(
            "For --trace, all lessons that come with penstock are played. A rule is shown by a lesson as penstock check\n"
            "--coverage says it. The tests are those that were beside penstock when it was built. A gap is a rule that is\n"
            "built nowhere, that no test quotes or no lesson shows; and a row, another place, a test or a lesson that has\n"
            "no rule, or one that is not in the catalogue. The JSON is described by penstock show trace.\n\n"
            "Exit codes of --trace: 0 no gap; 1 a gap; 2 an option is wrong; 4 the file cannot be written.\n");
      });
  add<explore_options>(
      app, wanted, "explore", "Search every reachable state of an aircraft's logic, and prove what must hold", explore_layout,
      [](CLI::App& sub, explore_options& o) {
        sub.add_option("LAYOUT", o.layouts, "aircraft that come with penstock, or files; nothing: all that come with penstock");
        sub.add_option("--part", o.parts, "only this part, see --list; A+B joins two; may be given again")->allow_extra_args(false);
        sub.add_option("--properties", o.properties, "a file with properties of your own; may be given again")
            ->allow_extra_args(false);
        sub.add_option("--plant", o.plant, "any: every fact in every state; plausible: facts only as a plant gives them")
            ->capture_default_str();
        sub.add_option("--memory", o.memory, "end a part that keeps more than this")->capture_default_str();
        sub.add_option("--states", o.states, "end a part that has more states than this");
        sub.add_option("--threads", o.threads, "default: one on each processor");
        sub.add_option("--write", o.write, "write a lesson to each broken property into this folder");
        sub.add_flag("--orders", o.orders, "say which events may not change places within a frame, and why");
        sub.add_flag("--list", o.list, "search nothing: list the parts, and why each is enough");
        sub.add_flag("--json", o.json, "one JSON document instead of text");
        sub.add_flag("--plain", o.plain, "no bold type");
        sub.footer("The result is the same whatever the number of threads. A row of a table that no part of any of the\n"
                   "aircraft comes to is dead: a broken property where all shipped aircraft were searched.\n\n"
                   "Exit codes: 0 complete, and everything holds; 1 a property is broken; 2 an option is wrong;\n"
                   "3 the layout or a property is wrong; 5 a part came to its limit before it was complete, or no\n"
                   "part judges a property of yours.\n");
      });
  add<draw_options>(app, wanted, "draw", "Draw the machines of an aircraft from their tables", draw_machines,
                    [](CLI::App& sub, draw_options& o) {
                      sub.add_option("LAYOUT", o.layout, "an aircraft that comes with penstock, or a file")->required();
                      sub.add_option("--machine", o.machine, "only this machine, such as transfer-test");
                      sub.add_option("--as", o.form, "scxml, dot or mermaid")->capture_default_str();
                    });
  add<no_options>(app, wanted, "list", "List the aircraft, lessons and schemas that come with penstock",
                  list_without_options, [](CLI::App&, no_options&) {});
  add<show_options>(app, wanted, "show", "Print an aircraft, lesson or schema that comes with penstock", show_shipped,
                    [](CLI::App& sub, show_options& o) {
                      sub.add_option("NAME", o.name, "a name from penstock list")->required();
                    });
  add<events_options>(app, wanted, "events", "List every event, its words and what it means", list_events,
                      [](CLI::App& sub, events_options& o) {
                        sub.add_option("LAYOUT", o.layout, "with the names of this aircraft");
                      });
}

std::vector<std::string> option_names(const CLI::App& of) {
  std::vector<std::string> names;
  for (const CLI::Option* each : of.get_options()) {
    for (const std::string& name : each->get_lnames()) names.push_back("--" + name);
  }
  return names;
}

// What is misspelt, a command or an option; nothing if neither is.
std::string misspelt(CLI::App& app, const std::vector<std::string>& words) {
  std::vector<std::string> commands;
  for (const CLI::App* each : app.get_subcommands({})) commands.push_back(each->get_name());
  const auto is_option = [](const std::string& word) { return word.starts_with("-"); };
  const auto first = std::ranges::find_if_not(words, is_option);
  if (first == words.end()) return "a command is missing";
  if (std::ranges::find(commands, *first) == commands.end()) {
    return fmt::format("'{}' is no command{}", *first, perhaps(*first, commands));
  }
  std::vector<std::string> options = option_names(app);
  for (std::string& each : option_names(*app.get_subcommand(*first))) options.push_back(std::move(each));
  for (const std::string& word : words) {
    const std::string name = word.substr(0, word.find('='));
    if (!name.starts_with("--") || std::ranges::find(options, name) != options.end()) continue;
    return fmt::format("'{}' is no option of {}{}", name, *first, perhaps(name, options));
  }
  return {};
}

exit_code answered(int count, char** arguments, output& out) {
  CLI::App app{"What a transport aircraft's hydraulics do by themselves, and why. For training only."};
  request wanted;
  describe(app, wanted);
  try {
    app.parse(count, arguments);
  } catch (const CLI::Success& asked) {  // help or version
    std::ostringstream text;
    app.exit(asked, text, text);
    out.write(text.str());
    out.flush();
    return exit_code::done;
  } catch (const CLI::ParseError& wrong) {
    const std::string found = misspelt(app, {arguments + 1, arguments + count});
    throw failure{exit_code::wrong_use,
                  error{"use", (found.empty() ? std::string{wrong.what()} : found) + "; see penstock --help", {}}};
  }
  start_log(wanted.log_level);
  return wanted.command(out);
}

// Standard error may be closed as well: then there is nobody to tell.
void complain(const std::string& words) {
  const std::string line = "penstock: " + words + "\n";
  static_cast<void>(!::write(STDERR_FILENO, line.data(), line.size()));
}

}  // namespace

}  // namespace penstock::runner

int main(int count, char** arguments) {
  namespace runner = penstock::runner;
  // A reader that goes away is noticed at the next write, which then fails instead of ending the program.
  std::signal(SIGPIPE, SIG_IGN);
  runner::output out{STDOUT_FILENO};
  try {
    return static_cast<int>(runner::answered(count, arguments, out));
  } catch (const runner::failure& known) {
    try {
      out.flush();  // what was written before the failure belongs before it
    } catch (const runner::cannot_write& broken) {
      spdlog::debug("{}", broken.what());  // the failure itself matters more
    }
    runner::complain(known.what());
    return static_cast<int>(known.code());
  } catch (const runner::cannot_write& broken) {
    if (!broken.reader_is_gone()) runner::complain(broken.what() + std::string{" [write]"});
    return static_cast<int>(runner::exit_code::input_output);
  } catch (const std::exception& defect) {
    runner::complain(std::string{"internal error: "} + defect.what() + " [internal]");
    return static_cast<int>(runner::exit_code::internal);
  }
}
