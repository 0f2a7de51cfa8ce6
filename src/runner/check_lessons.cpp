// penstock check: lessons as test suites.
#include "files/json_values.hpp"
#include "penstock/version.hpp"
#include "runner/checked_lesson.hpp"
#include "runner/commands.hpp"
#include "runner/coverage.hpp"
#include "runner/failure.hpp"
#include "runner/junit.hpp"
#include "on_threads.hpp"
#include "runner/page.hpp"
#include "runner/progress_line.hpp"
#include "runner/threads_option.hpp"
#include "runner/timeline_json.hpp"

#include <fmt/core.h>
#include <nlohmann/json.hpp>
#include <spdlog/spdlog.h>

#include <chrono>

namespace penstock::runner {

namespace {

using json = nlohmann::ordered_json;

constexpr std::size_t word_width = 11;

std::vector<checked_lesson> check_all(const std::vector<asked_lesson>& asked, std::size_t threads) {
  const auto begun = std::chrono::steady_clock::now();
  progress_line progress{"checking lessons", asked.size()};
  auto all = on_threads(asked.size(), threads, [&](std::size_t i) {
    checked_lesson one = check_lesson(asked[i]);
    progress.one_done();
    return one;
  });
  const std::chrono::duration<double> took = std::chrono::steady_clock::now() - begun;
  spdlog::info("{} lessons in {:.3f} s on up to {} threads", all.size(), took.count(), threads);
  return all;
}

// ---- text ----

std::string unmet_in_words(const judgement_at& each, emphasis type) {
  const std::string lead = "  " + padded("NOT MET:", word_width - 2);
  std::string words = type.strong(lead) + paragraph(lead, unmet_words(each.judged, each.at)).substr(lead.size());
  if (!each.judged.causes.chain.empty()) {
    words += outline("  " + padded("  why:", word_width - 2), in_words(each.judged.causes));
  }
  return words;
}

std::string in_words(const checked_lesson& one, emphasis type) {
  std::string lead = padded(word_of(one.found), word_width);
  if (one.found == verdict::no_lesson) return paragraph(lead, one.name + ": " + one.no_lesson_but);
  if (one.problem) {
    lead = padded("ERROR", word_width);
    const std::string problem = to_string(*one.problem);
    // Most errors begin with the path.
    const bool named = problem.starts_with(one.name);
    return type.strong(lead) + paragraph(lead, named ? problem : one.name + ": " + problem).substr(lead.size());
  }
  const std::size_t unmet = one.unmet();
  const std::size_t all = one.judged.size();
  const std::string met = all == 0     ? "nothing is expected"
                          : unmet == 0 ? counted(all, "expectation") + " met"
                                       : fmt::format("{} of {} met", all - unmet, counted(all, "expectation"));
  const std::string played = fmt::format("{}: {}, {}, ends at {}", one.name, met, counted(one.end.steps, "step"),
                                         clock_text(one.end.at_end.now));
  if (unmet == 0) return paragraph(lead, played);
  lead = padded("FAILED", word_width);
  std::string words = type.strong(lead) + paragraph(lead, played).substr(lead.size());
  for (const judgement_at& each : one.judged) {
    if (!each.judged.met) words += unmet_in_words(each, type);
  }
  return words;
}

std::string in_words(const check_counts& counts) {
  std::vector<std::string> parts;
  if (counts.passed != 0) parts.push_back(fmt::format("{} passed", counts.passed));
  if (counts.failed != 0) parts.push_back(fmt::format("{} FAILED", counts.failed));
  if (counts.errors != 0) parts.push_back(fmt::format("{} {}", counts.errors, counts.errors == 1 ? "ERROR" : "ERRORS"));
  const std::string met = counts.expectations == 0 ? ""
                          : counts.unmet == 0      ? ", all met"
                                                   : fmt::format(", {} NOT MET", counts.unmet);
  return fmt::format("{}: {}; {}{}.", counted(counts.lessons, "lesson"), listed(parts),
                     counted(counts.expectations, "expectation"), met);
}

// ---- JSON ----

json value_of(const checked_lesson& one) {
  json value{{"lesson", one.name}, {"verdict", std::string{word_of(one.found)}}};
  if (one.problem) {
    value["error"] = {{"id", one.problem->id},
                      {"message", one.problem->message},
                      {"where", runner::value_of(one.problem->where)}};
  }
  if (one.found == verdict::no_lesson) value["because"] = one.no_lesson_but;
  if (!one.what) return value;
  value["title"] = one.what->title;
  value["aircraft"] = one.what->aircraft.spec().name;
  value["end"] = one.end.at_end.now;
  value["steps"] = one.end.steps;
  value["unmet"] = one.unmet();
  json judged = json::array();
  for (const judgement_at& each : one.judged) {
    json item{{"at", each.at}};
    item.update(runner::value_of(one.what->aircraft, each.judged));
    judged.push_back(std::move(item));
  }
  value["expectations"] = std::move(judged);
  value["rules_shown"] = one.end.ids_shown();
  return value;
}

json value_of(const check_counts& counts) {
  return {{"lessons", counts.lessons}, {"passed", counts.passed},             {"failed", counts.failed},
          {"errors", counts.errors},   {"expectations", counts.expectations}, {"unmet", counts.unmet}};
}

void write_json(const std::vector<checked_lesson>& all, const check_counts& counts, const coverage* shown,
                output& out) {
  out.write("{\"penstock\":\"" PENSTOCK_VERSION "\",\"training_only\":true,\n\"lessons\":[");
  bool first = true;
  for (const checked_lesson& each : all) {
    out.write((first ? "\n" : ",\n") + files::line_of(value_of(each)));
    first = false;
  }
  out.write("\n],\n");
  if (shown != nullptr) out.write("\"coverage\":" + files::line_of(shown->as_json()) + ",\n");
  out.write("\"summary\":" + files::line_of(value_of(counts)) + "}\n");
}

void write_text(const std::vector<checked_lesson>& all, const check_counts& counts, const coverage& shown,
                const check_options& wanted, output& out) {
  const emphasis type = emphasis_for(out, wanted.plain);
  for (const checked_lesson& each : all) out.write(in_words(each, type));
  out.write(type.strong(std::string(page_width, '=')) + "\n" + type.strong(paragraph("", in_words(counts))));
  out.write(wanted.coverage ? shown.in_words() : paragraph("", "Rules shown: " + shown.rules_in_words() + "."));
  if (!wanted.least || shown.reaches(*wanted.least)) return;
  out.write(type.strong(paragraph("", fmt::format("That is fewer than the {} % of --least; never shown: {}.",
                                                  *wanted.least, listed(shown.rules_not_shown())))));
}

void check_use(const check_options& wanted) {
  const auto refuse_empty = [](const char* option, const std::optional<std::string>& path) {
    if (path && path->empty()) throw wrong_use(option, "the path of the file is empty", "use-path");
  };
  refuse_empty("--junit", wanted.junit);
  refuse_empty("--coverage-json", wanted.coverage_json);
  if (wanted.least && *wanted.least > 100) {
    throw wrong_use("--least", fmt::format("found {}; right is a share of all rules, 0 to 100 percent", *wanted.least),
                    "use-least");
  }
}

}  // namespace

exit_code check_lessons(const check_options& wanted, output& out) {
  check_use(wanted);
  const std::size_t threads = threads_for(wanted.threads);
  const std::vector<asked_lesson> asked = lessons_asked_for(wanted.lessons);
  std::vector<checked_lesson> all = check_all(asked, threads);
  set_parts_aside(asked, all);
  const check_counts counts = counts_of(all);
  if (counts.lessons == 0) {
    const std::string words = fmt::format("there is no lesson, only aircraft, in {}", listed(wanted.lessons));
    throw failure{exit_code::bad_input, error{"lesson-none", words, {}}};
  }
  const coverage shown{all};
  const bool too_few = wanted.least && !shown.reaches(*wanted.least);
  if (wanted.json) {
    write_json(all, counts, wanted.coverage ? &shown : nullptr, out);
  } else {
    write_text(all, counts, shown, wanted, out);
  }
  // The person has the result before a file that cannot be written ends the command.
  out.flush();
  if (wanted.junit) write_file(*wanted.junit, junit_of(all));
  if (wanted.coverage_json) write_file(*wanted.coverage_json, files::line_of(shown.as_json()) + "\n");
  if (counts.errors != 0) return exit_code::bad_input;
  return counts.unmet != 0 || too_few ? exit_code::expectation_unmet : exit_code::done;
}

}  // namespace penstock::runner
