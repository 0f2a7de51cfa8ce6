// penstock handout: a lesson as one HTML file to print.
#include "penstock/curves.hpp"
#include "penstock/lesson_player.hpp"
#include "runner/commands.hpp"
#include "runner/failure.hpp"
#include "runner/html_page.hpp"
#include "runner/names.hpp"
#include "runner/page.hpp"
#include "runner/played_lesson.hpp"
#include "runner/print_pdf.hpp"
#include "runner/same_file.hpp"
#include "runner/timeline.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <iterator>
#include <locale>
#include <sstream>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace penstock::runner {

namespace {

constexpr std::string_view handout_style = R"(
.cautions { border: 0.6mm solid #000; padding: 2mm 4mm; margin: 4mm 0; break-inside: avoid; }
.step { border-left: 0.8mm solid #999; padding-left: 4mm; }
@page wide { size: A4 landscape; margin: 14mm 15mm; }
.curves { page: wide; }
.curves svg { display: block; width: 100%; height: auto; }
.question { break-inside: avoid; margin-bottom: 4mm; }
.line { border-bottom: 0.2mm solid #666; height: 9mm; }
.answer { white-space: pre-wrap; overflow-wrap: anywhere; margin: 1mm 0 5mm 6mm; }
)";

/// A question where it is asked.
struct numbered_question {
  std::size_t step;  // counted from 1
  std::string time;
  const question* asked;
  std::string answer;
};

/// A step with all that comes until the next one; the first may be what comes before any step.
struct told_step {
  const lesson_step* step = nullptr;
  std::size_t number = 0;
  std::vector<moment> moments;
};

class silence : public lesson_audience {};

class handout {
 public:
  handout(const lesson& what, bool for_instructor)
      : lesson_{what}, for_instructor_{for_instructor}, page_{what.title.empty() ? what.name : what.title, handout_style} {
    silence nobody;
    begins_ = observe(lesson_.aircraft, lesson_player{lesson_, nobody}.simulation().now());
    curve_recorder recorder{lesson_};
    std::size_t steps = 0;
    const played end = play_in_moments(
        lesson_, {},
        [&](const moment& now) {
          if (now.step != nullptr) told_.push_back({now.step, ++steps, {}});
          if (told_.empty()) told_.emplace_back();
          told_.back().moments.push_back(now);
          if (now.step == nullptr || !now.step->ask) return;
          for (const given_answer& each : now.answers) {
            questions_.push_back({steps, time_text(now), &*now.step->ask, each.answer});
          }
        },
        &recorder);
    unmet_ = end.result.failures.size();
    picture_ = svg_of(lesson_, recorder.taken());
  }

  std::string html() {
    heading();
    cautions();
    if (!lesson_.story.empty()) {
      element("h2", "What it is about");
      element("p", lesson_.story);
    }
    element("h2", "Step by step");
    for (const told_step& each : told_) step(each);
    consumers();
    curves();
    ask();
    if (for_instructor_) answer();
    return page_.finished();
  }

 private:
  static std::string time_text(const moment& now) { return clock_text(now.at / 100 * 100); }

  void element(std::string_view name, std::string_view text, std::string_view of_class = {}) {
    page_.element(name, text, of_class);
  }
  void list(std::string_view lead, const std::vector<std::string>& items) { page_.list(lead, items); }

  void heading() {
    const layout_spec& aircraft = lesson_.aircraft.spec();
    element("p", for_instructor_ ? "Handout for the instructor, with the answers." : "Handout for trainees.");
    element("p", fmt::format("Aircraft: {} ({}). Source of its numbers, as its file says: {}. Plant: {}.",
                             aircraft.title, aircraft.name, aircraft.origin, word(lesson_.plant)));
    if (unmet_ == 0) return;
    element("p", fmt::format("This lesson did not go as it expects in {}; penstock run shows where.",
                             counted(unmet_, "place")));
  }

  void cautions() {
    page_.markup("<div class=\"cautions\">\n");
    list("Cautions",
         {"For training only. Nothing here is approved data, and no authority has qualified it.",
          "The documents of the real aircraft and the rules of the authority govern.",
          "Do not use this to operate, maintain or dispatch an aircraft.",
          "Real hydraulics and real doors injure people. Pressure stays in lines and accumulators when pumps are off, "
          "and surfaces and doors move without warning when it comes back."});
    page_.markup("</div>\n");
  }

  // Whether reasons given there would answer a question of this lesson. Quantities are not told in words anywhere.
  [[nodiscard]] bool is_asked(subject about) const {
    return std::ranges::any_of(questions_, [&](const numbered_question& each) {
      return each.asked->answered_by == answer_kind::reason && each.asked->about == about;
    });
  }
  [[nodiscard]] bool is_asked(const observed_alert& alert) const {
    return std::ranges::any_of(questions_, [&](const numbered_question& each) {
      return each.asked->answered_by == answer_kind::alert && each.asked->alert == alert.condition;
    });
  }

  // Whether words hold the answer that the lesson itself gives to one of its questions.
  [[nodiscard]] bool holds_answer(std::string_view words) const {
    return std::ranges::any_of(questions_, [&](const numbered_question& each) {
      return !each.answer.empty() && words.find(each.answer) != std::string_view::npos;
    });
  }

  void step(const told_step& told) {
    page_.markup("<div class=\"step\">\n");
    const bool asks = told.step != nullptr && told.step->ask.has_value();
    // Reasons beside a question would be its answer.
    const bool with_causes = for_instructor_ || !asks;
    std::vector<std::string> changes;
    if (told.step != nullptr) {
      std::string head = fmt::format("Step {}, {}", told.number, time_text(told.moments.front()));
      if (!told.step->by.empty()) head += ", " + told.step->by;
      element("h3", head);
      if (!told.step->say.empty()) element("p", told.step->say);
      commands(told.moments.front(), with_causes);
      list("Observe", told.step->observe);
    } else {
      element("h3", "Before the first step");
    }
    bool hidden = false;
    for (const moment& now : told.moments) {
      const std::string by_itself = now.step == nullptr ? fmt::format("by itself, {}: ", time_text(now)) : "";
      for (const change& each : now.changes) {
        const bool causes = with_causes && (for_instructor_ || !is_asked(each.about));
        hidden = hidden || !causes;
        changes.push_back(by_itself + words_of(lesson_.aircraft, each, causes));
      }
      for (const alert_change& each : now.alerts) {
        const bool causes = with_causes && (for_instructor_ || !is_asked(each.alert));
        hidden = hidden || !causes;
        changes.push_back(by_itself + words_of(lesson_.aircraft, now, each, causes));
      }
    }
    if (!for_instructor_) std::erase_if(changes, [&](const std::string& each) { return holds_answer(each); });
    list("What changes, and why", changes);
    if (hidden) element("p", "Where no reason is given, a question asks for it.");
    for (std::size_t i = 0; i < questions_.size(); ++i) {
      if (told.number == questions_[i].step) element("p", fmt::format("Question {}: see the page of questions.", i + 1));
    }
    page_.markup("</div>\n");
  }

  void commands(const moment& now, bool with_causes) {
    std::vector<std::string> given;
    for (const given_command& each : now.commands) {
      std::string words = each.words;
      if (each.refused && with_causes) {
        words += fmt::format(" (refused: {} [{}])", each.refused->sentence, each.refused->rule);
      } else if (each.refused) {
        words += " (refused)";
      }
      given.push_back(std::move(words));
    }
    list("Done", given);
  }

  void consumers() {
    const layout& of = lesson_.aircraft;
    if (of.count(component::consumer) == 0) return;
    element("h2", "Consumers");
    element("p", "Whether each can work: at the beginning, and at the end of each step where that changes.");
    page_.markup("<table>\n<thead><tr><th>Consumer</th><th>Fed by</th><th>Can work</th></tr></thead>\n<tbody>\n");
    for (unsigned i = 0; i < of.count(component::consumer); ++i) {
      const consumer_spec& spec = of.spec().consumers[i];
      std::vector<std::string> feeds;
      for (const feed_spec& each : spec.feeds) feeds.push_back(fmt::format("{} ({} branch)", each.circuit, word(each.branch)));
      page_.markup("<tr>");
      element("td", spec.name);
      element("td", listed(feeds));
      element("td", listed(availability(i), "; "));
      page_.markup("</tr>\n");
    }
    page_.markup("</tbody>\n</table>\n");
  }

  [[nodiscard]] std::vector<std::string> availability(unsigned consumer) const {
    const auto words = [&](const observed_consumer& seen) {
      const bool why = for_instructor_ || !is_asked(events::consumer(consumer));
      if (seen.available) return std::string{"yes"};
      return why ? fmt::format("no ({})", word(seen.reason)) : std::string{"no"};
    };
    observed_consumer before = begins_.consumers[consumer];
    std::vector<std::string> all{"beginning: " + words(before)};
    for (const told_step& each : told_) {
      const observed_consumer& now = each.moments.back().seen.consumers[consumer];
      if (now.available == before.available) continue;
      before = now;
      all.push_back(each.number == 0 ? "then: " + words(now) : fmt::format("step {}: {}", each.number, words(now)));
    }
    return all;
  }

  void curves() {
    // Within a page no picture has a declaration of its own.
    const std::size_t begins = picture_.find("<svg");
    if (begins == std::string::npos) return;
    const std::size_t inside = picture_.find('>', begins) + 1;
    const std::size_t ends = picture_.rfind("</svg>");
    const std::vector<double> box = numbers_in(picture_, "viewBox", begins);
    const std::vector<double> cuts = numbers_in(picture_, "data-cuts", begins);
    if (box.size() != 4 || cuts.size() < 2 || ends == std::string::npos) return;
    const auto window = [&](double from, double to) {
      return fmt::format("<svg viewBox=\"0 {} {} {}\" font-family=\"sans-serif\" fill=\"#1c1c28\">", from, box[2],
                         to - from);
    };
    // Across the page, so that the words can be read; in pieces, each below the numbers of the steps.
    page_.markup("<div class=\"curves page\">\n<h2>Curves</h2>\n");
    // What is below the last cut are the words of the steps, which stand in the handout already.
    double from = 0.0;
    double room = curves_below_a_heading;
    while (from < cuts.back()) {
      double to = cuts.back();
      if (to - from > room) {
        to = from + room;
        for (const double cut : cuts) {
          if (cut > from + 1.0 && cut <= from + room) to = cut;
        }
      }
      if (from == 0.0) {
        page_.markup(window(from, to) + "<g id=\"curves\">" + picture_.substr(inside, ends - inside) + "</g></svg>\n");
      } else {
        page_.markup("</div>\n<div class=\"curves page\">\n");
        for (const auto& [top, bottom] : {std::pair{cuts[0], cuts[1]}, std::pair{from, to}}) {
          page_.markup(window(top, bottom) + "<use href=\"#curves\"/></svg>\n");
        }
      }
      from = to;
      room = curves_on_a_page - (cuts[1] - cuts[0]);
    }
    page_.markup("</div>\n");
  }

  // The height of a piece, in the points of the picture, that fits across a page of A4 with its margins.
  static constexpr double curves_on_a_page = 530.0;
  static constexpr double curves_below_a_heading = 480.0;

  // The numbers in an attribute of the first element behind a place.
  static std::vector<double> numbers_in(const std::string& text, const std::string& name, std::size_t from) {
    const std::size_t at = text.find(' ' + name + "=\"", from);
    if (at == std::string::npos) return {};
    const std::size_t begins = at + name.size() + 3;
    std::istringstream words{text.substr(begins, text.find('"', begins) - begins)};
    words.imbue(std::locale::classic());
    return {std::istream_iterator<double>{words}, {}};
  }

  void ask() {
    if (questions_.empty()) return;
    page_.markup("<div class=\"page\">\n<h2>Questions</h2>\n");
    for (std::size_t i = 0; i < questions_.size(); ++i) {
      page_.markup("<div class=\"question\">\n");
      element("p", question_words(i));
      if (!for_instructor_) page_.markup("<div class=\"line\"></div>\n<div class=\"line\"></div>\n<div class=\"line\"></div>\n");
      page_.markup("</div>\n");
    }
    page_.markup("</div>\n");
  }

  void answer() {
    if (questions_.empty()) return;
    page_.markup("<div class=\"page\">\n<h2>Answers</h2>\n");
    for (std::size_t i = 0; i < questions_.size(); ++i) {
      element("p", question_words(i));
      const std::string& given = questions_[i].answer;
      element("div", given.empty() ? "Open: the lesson gives no answer." : given, "answer");
    }
    page_.markup("</div>\n");
  }

  [[nodiscard]] std::string question_words(std::size_t i) const {
    const numbered_question& one = questions_[i];
    return fmt::format("{}. (step {}, {}) {}", i + 1, one.step, one.time, one.asked->words);
  }

  const lesson& lesson_;
  bool for_instructor_;
  observation begins_{};
  std::vector<told_step> told_;
  std::vector<numbered_question> questions_;
  std::size_t unmet_ = 0;
  std::string picture_;
  html_page page_;
};

bool is_for_instructor(const std::string& reader) {
  if (reader == "instructor") return true;
  if (reader == "trainee") return false;
  throw wrong_use("--for",
                  fmt::format("found '{}'; right is instructor or trainee{}", reader,
                              perhaps(reader, {"instructor", "trainee"})),
                  "use-form");
}

// Nothing may be lost because two things are written to one file, or because one is written over the lesson.
void check_output(std::string_view option, const std::optional<std::string>& path, const std::string& lesson_path) {
  if (!path) return;
  if (path->empty()) throw wrong_use(std::string{option}, "the path of the file is empty", "use-path");
  if (!same_file(*path, lesson_path)) return;
  throw wrong_use(std::string{option}, fmt::format("'{}' is the lesson itself; give another file", *path), "use-output");
}

}  // namespace

exit_code make_handout(const handout_options& wanted, output& out) {
  const bool for_instructor = is_for_instructor(wanted.reader);
  check_output("--output", wanted.html, wanted.lesson);
  check_output("--pdf", wanted.pdf, wanted.lesson);
  if (wanted.html && wanted.pdf && same_file(*wanted.html, *wanted.pdf)) {
    throw wrong_use("--pdf", fmt::format("'{}' is written by --output already; give each its own file", *wanted.pdf),
                    "use-output");
  }
  const lesson what = lesson_for(wanted.lesson, wanted.set);
  const std::string html = handout{what, for_instructor}.html();
  if (wanted.html) write_file(*wanted.html, html);
  if (wanted.pdf) write_file(*wanted.pdf, pdf_of(html));
  if (!wanted.html && !wanted.pdf) out.write(html);
  out.flush();
  return exit_code::done;
}

}  // namespace penstock::runner
