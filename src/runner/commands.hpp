// The commands of the program. Each writes to `out`, returns how the program ends, and throws
// `failure` or `cannot_write` when it has to give up.
#pragma once

#include "runner/exit_codes.hpp"
#include "runner/streams.hpp"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace penstock::runner {

struct run_options {
  std::string lesson;
  std::vector<std::string> set;  ///< parameters of the lesson as NAME=VALUE
  std::string until;   ///< a time; empty: the whole lesson
  bool json = false;
  bool plain = false;  ///< no emphasis, whatever the output is
  std::optional<std::string> plot;  ///< files to write
  std::optional<std::string> csv;
  std::optional<std::string> vcd;
};
exit_code run_lesson(const run_options& wanted, output& out);

struct check_options {
  std::vector<std::string> lessons;  ///< names, paths, folders; empty: all that come with penstock
  std::optional<unsigned> threads;   ///< nothing: as many as the machine runs at once
  std::optional<std::string> junit;  ///< a file to write
  bool coverage = false;
  std::optional<std::string> coverage_json;  ///< a file to write
  std::optional<unsigned> least;     ///< percent of the rules that must be shown
  bool json = false;
  bool plain = false;                ///< no emphasis, whatever the output is
};
exit_code check_lessons(const check_options& wanted, output& out);

struct present_options {
  std::string lesson;
  std::vector<std::string> set;  ///< parameters of the lesson as NAME=VALUE
  bool plain = false;            ///< no emphasis, whatever the output is
};
/// Reads commands from standard input.
exit_code present_lesson(const present_options& wanted, output& out);

struct handout_options {
  std::string lesson;
  std::vector<std::string> set;    ///< parameters of the lesson as NAME=VALUE
  std::string reader = "trainee";  ///< or instructor
  std::optional<std::string> html; ///< files to write; neither: HTML to standard output
  std::optional<std::string> pdf;
};
exit_code make_handout(const handout_options& wanted, output& out);

struct feed_options {
  std::string layout;
  std::string plant = "fluid";
};
exit_code feed_events(const feed_options& wanted, output& out);

struct why_options {
  std::string lesson;
  std::vector<std::string> set;  ///< parameters of the lesson as NAME=VALUE
  std::string at;
  std::string subject;  ///< a component, or alert:CONDITION[:COMPONENT]
  bool json = false;
};
exit_code tell_why(const why_options& wanted, output& out);

struct levels_options {
  std::string lesson;
  std::vector<std::string> set;  ///< parameters of the lesson as NAME=VALUE
  std::string at;  ///< a time; empty: the end of the lesson
  bool json = false;
};
exit_code tell_levels(const levels_options& wanted, output& out);

struct vary_options {
  std::string lesson;
  std::vector<std::string> set;       ///< parameters of the lesson as NAME=VALUE, in all variations
  std::vector<std::string> each;      ///< NAME=VALUE,VALUE,...
  std::vector<std::string> faults;    ///< FAULT [COMPONENT] [FLOW], perhaps with @ TIME
  bool all_faults = false;
  std::string leak_flow = "500 ml/s"; ///< of the leaks among all faults
  std::vector<std::string> switches;  ///< COMPONENT VALUE
  bool pairs = false;
  std::optional<std::string> jitter;  ///< a time
  std::optional<unsigned> runs;
  std::optional<std::uint64_t> seed;
  std::optional<std::string> part;    ///< N/COUNT
  std::vector<std::string> merge;     ///< files that --json wrote
  std::optional<std::string> write;   ///< a folder
  std::optional<unsigned> threads;    ///< nothing: as many as the machine runs at once
  bool json = false;
  bool plain = false;                 ///< no emphasis, whatever the output is
};
exit_code vary_lesson(const vary_options& wanted, output& out);

struct rules_options {
  std::string id;  ///< empty: all
  bool json = false;
  bool trace = false;               ///< where all rules are built, tested and shown, instead of the list
  std::optional<std::string> form;  ///< of the trace: text, html or json; nothing: as --json or the file's name says
  std::optional<std::string> file;  ///< a file to write the trace into
};
exit_code list_rules(const rules_options& wanted, output& out);

struct draw_options {
  std::string layout;
  std::string machine;  ///< empty: all
  std::string form = "mermaid";
};
exit_code draw_machines(const draw_options& wanted, output& out);

struct explore_options {
  std::vector<std::string> layouts;     ///< empty: all that come with penstock
  std::vector<std::string> parts;       ///< names; empty: all
  std::vector<std::string> properties;  ///< files
  std::string plant = "any";            ///< or plausible
  std::string memory = "4GB";
  std::optional<std::int64_t> states;   ///< most, of each part
  std::optional<unsigned> threads;      ///< nothing: as many as the machine runs at once
  std::optional<std::string> write;     ///< a folder
  bool orders = false;
  bool list = false;
  bool json = false;
  bool plain = false;                   ///< no emphasis, whatever the output is
};
exit_code explore_layout(const explore_options& wanted, output& out);

exit_code list_shipped(output& out);

struct show_options {
  std::string name;
};
exit_code show_shipped(const show_options& wanted, output& out);

struct events_options {
  std::string layout;  ///< empty: the vocabulary without names
};
exit_code list_events(const events_options& wanted, output& out);

}  // namespace penstock::runner
