// penstock rules --trace: from each rule to where it is built, tested and shown, and back.
#include "runner/trace_rules.hpp"

#include "files/json_values.hpp"
#include "on_threads.hpp"
#include "runner/checked_lesson.hpp"
#include "runner/failure.hpp"
#include "runner/lesson_paths.hpp"
#include "runner/names.hpp"
#include "runner/progress_line.hpp"
#include "runner/trace_forms.hpp"

#include <fmt/core.h>
#include <nlohmann/json.hpp>

#include <string>
#include <utility>
#include <vector>

namespace penstock::runner {

namespace {

enum class trace_form { text, html, json };

trace_form form_named(const std::string& name) {
  if (name == "text") return trace_form::text;
  if (name == "html") return trace_form::html;
  if (name == "json") return trace_form::json;
  throw wrong_use("--as",
                  fmt::format("found '{}'; right is text, html or json{}", name, perhaps(name, {"text", "html", "json"})),
                  "use-form");
}

trace_form form_wanted(const rules_options& wanted) {
  if (wanted.form) {
    const trace_form form = form_named(*wanted.form);
    if (!wanted.json || form == trace_form::json) return form;
    throw wrong_use("--as", fmt::format("'{}' and --json ask for two forms; give one of them", *wanted.form), "use-form");
  }
  if (wanted.json) return trace_form::json;
  if (!wanted.file) return trace_form::text;
  if (wanted.file->ends_with(".html")) return trace_form::html;
  if (wanted.file->ends_with(".json")) return trace_form::json;
  throw wrong_use("--output",
                  fmt::format("the name '{}' does not say in which form; let it end in .html or .json, or give --as text, "
                              "html or json",
                              *wanted.file),
                  "use-form");
}

void check_use(const rules_options& wanted) {
  if (!wanted.trace) {
    throw wrong_use(wanted.form ? "--as" : "--output", "this is for --trace, which is not there", "use-trace");
  }
  if (!wanted.id.empty()) {
    throw wrong_use("--trace", fmt::format("it is of all rules; leave out '{}'", wanted.id), "use-trace");
  }
  if (wanted.file && wanted.file->empty()) throw wrong_use("--output", "the path of the file is empty", "use-path");
}

std::vector<showing_lesson> play_all_shipped() {
  const std::vector<asked_lesson> asked = lessons_asked_for({});
  progress_line progress{"playing lessons", asked.size()};
  return on_threads(asked.size(), all_threads(), [&](std::size_t i) {
    checked_lesson one = check_lesson(asked[i]);
    if (one.problem) throw failure{exit_code::bad_input, *one.problem};
    progress.one_done();
    return showing_lesson{one.name, one.what->title, one.found == verdict::passed, std::move(one.end.rules_shown),
                          std::move(one.end.rows_taken)};
  });
}

}  // namespace

exit_code trace_rules(const rules_options& wanted, output& out) {
  check_use(wanted);
  const trace_form form = form_wanted(wanted);
  const trace_sources from{all_rules(), built_places(), rule_tests(), play_all_shipped()};
  const auto made = [&] {
    switch (form) {
      case trace_form::html: return trace_as_page(from);
      case trace_form::json: return files::line_of(trace_as_json(from)) + "\n";
      case trace_form::text: break;
    }
    return trace_in_words(from);
  };
  if (wanted.file) {
    write_file(*wanted.file, made());
    out.write(trace_in_words(from));
  } else {
    out.write(made());
  }
  out.flush();
  return gaps_in(from).empty() ? exit_code::done : exit_code::expectation_unmet;
}

}  // namespace penstock::runner
