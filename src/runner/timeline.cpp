#include "runner/timeline.hpp"

#include "penstock/rules.hpp"

#include <fmt/core.h>
#include <range/v3/range/conversion.hpp>
#include <range/v3/view/filter.hpp>
#include <range/v3/view/transform.hpp>
#include <range/v3/view/zip.hpp>

#include <algorithm>
#include <cstdlib>
#include <map>

namespace penstock::runner {

namespace {

constexpr std::size_t label_width = 13;
constexpr std::int64_t seen_by_eye = 100'000;  // mm3: a change of level that a crew could see

std::string in_brackets(std::string_view rules) {
  return rules.empty() ? std::string{} : " [" + std::string{rules} + "]";
}

std::string alert_words(const layout& of, const observed_alert& alert) {
  std::string words{word(alert.condition)};
  const std::string_view about = of.name(alert.about);
  if (alert.about.kind != component::aircraft && about != words) words.append(" ").append(about);
  return words;
}

/// The circuits of an aircraft, each as words that `say` makes of it.
template <class Say>
std::vector<std::string> for_each_circuit(const layout& of, Say say) {
  const std::vector<subject> all = of.everything();
  return all | ranges::views::filter([](subject each) { return each.kind == component::circuit; }) |
         ranges::views::transform([&](subject each) { return fmt::format("{} {}", of.name(each), say(each.index)); }) |
         ranges::to<std::vector>();
}

/// The words of those judgements that were met.
std::vector<std::string> met_among(const std::vector<judgement>& judged) {
  return judged | ranges::views::filter(&judgement::met) |
         ranges::views::transform([](const judgement& each) {
           return each.expected.words + (each.margin.empty() ? "" : fmt::format(", margin {}", each.margin));
         }) |
         ranges::to<std::vector>();
}

}  // namespace

std::string words_of(const layout& of, const change& made, bool with_cause) {
  std::string words{of.name(made.about)};
  if (!made.attribute.empty()) words += " " + made.attribute;
  words += ": " + made.from + " -> " + made.to;
  if (!with_cause) return words;
  if (!made.detail.empty()) words += " (" + made.detail + ")";
  if (!made.because.empty()) words += ", because " + made.because;
  return words + in_brackets(made.rules);
}

std::string words_of(const layout& of, const moment& now, const alert_change& made, bool with_cause) {
  std::string words = fmt::format("{} {}", word(made.alert.level), word_of(made.what));
  if (made.what == alert_change::kind::class_changed) words += fmt::format(", was {}", word(made.before));
  words += fmt::format(": {}", alert_words(of, made.alert));
  if (!with_cause || made.what == alert_change::kind::went) return words;
  if (!made.alert.sentence.empty()) words += fmt::format(": {}", made.alert.sentence);
  if (!made.alert.cause.empty()) words += fmt::format(", cause {}", made.alert.cause);
  words += in_brackets(made.alert.rule);
  const auto standing = now.seen.alerts_standing();
  if (made.alert.under >= 0 && static_cast<std::size_t>(made.alert.under) < standing.size()) {
    const observed_alert& cause = standing[static_cast<std::size_t>(made.alert.under)];
    words += fmt::format(", follows from {}", alert_words(of, cause));
  }
  return words;
}

void timeline::item(std::string_view label, std::string_view text, bool stressed) {
  const std::string lead = "  " + padded(label, label_width);
  std::string words = paragraph(lead, text);
  if (stressed && words.starts_with(lead)) words = type_.strong(lead) + words.substr(lead.size());
  out_.write(words);
}

void timeline::heading() {
  const layout_spec& aircraft = lesson_.aircraft.spec();
  out_.write(type_.strong(paragraph("", lesson_.title.empty() ? lesson_.name : lesson_.title)));
  out_.write(paragraph("", fmt::format("Aircraft: {} ({}). Source of its numbers, as its file says: {}. Plant: {}.", aircraft.title,
                                       aircraft.name, aircraft.origin,
                                       word(lesson_.plant))));
  out_.write(paragraph("", "For training only: not approved data. The documents of the real aircraft govern."));
  if (!lesson_.story.empty()) out_.write("\n" + paragraph("  ", lesson_.story));
}

void timeline::tell(const moment& now) {
  // to the tenth: the millisecond at which a mark is passed tells nobody anything
  std::string head = clock_text(now.at / 100 * 100) + (now.step == nullptr ? "  by itself " : " ");
  if (head.size() < page_width) head.append(page_width - head.size(), '-');
  out_.write("\n" + type_.strong(head) + "\n");
  if (now.step != nullptr && !now.step->say.empty()) out_.write(paragraph("  ", now.step->say) + "\n");

  for (const given_command& each : now.commands) {
    const bool has_actor = now.step != nullptr && !now.step->by.empty();
    item("command:", has_actor ? fmt::format("{} (by {})", each.words, now.step->by) : each.words);
    if (!each.refused) continue;
    item(each.refusal_expected ? "refused:" : "REFUSED:",
         fmt::format("{}{} ({})", each.refused->sentence, in_brackets(each.refused->rule),
                     each.refusal_expected ? "as the lesson expects" : "not expected"),
         !each.refusal_expected);
  }
  if (!now.facts.empty()) item("plant:", listed(now.facts, "; "));
  changes_of(now);
  consumers_of(now);

  const auto is_of_circuit = [](const change& each) { return each.about.kind == component::circuit; };
  if (now.step != nullptr || std::ranges::any_of(now.changes, is_of_circuit)) pressures_of(now);
  fluids_of(now);
  alerts_of(now);
  if (now.step != nullptr) {
    for (const std::string& each : now.step->observe) item("observe:", each);
  }
  for (const given_answer& each : now.answers) {
    item("question:", each.question);
    if (!each.answer.empty()) out_.write(outline("  " + padded("answer:", label_width), each.answer));
  }
  judgements_of(now);
}

void timeline::pressures_of(const moment& now) {
  const auto status = [&](std::uint8_t circuit) {
    const std::string_view found = word(now.seen.circuits[circuit].status);
    // Between steps nobody has read the gauges.
    if (now.pressures.empty()) return std::string{found};
    return fmt::format("{}, {:.0f} psi", found, now.pressures[circuit]);
  };
  item("pressure:", listed(for_each_circuit(lesson_.aircraft, status), " | "));
}

void timeline::fluids_of(const moment& now) {
  if (now.fluid.empty()) return;
  const auto pairs = ranges::views::zip(now.fluid, fluid_told_);
  const bool moved = fluid_told_.empty() || std::any_of(pairs.begin(), pairs.end(), [](const auto& pair) {
    return std::abs(pair.first - pair.second) >= seen_by_eye;
  });
  if (!moved) return;
  fluid_told_ = now.fluid;
  const auto litres = [&](std::uint8_t circuit) { return fmt::format("{:.1f} L", now.fluid[circuit]); };
  item("reservoirs:", listed(for_each_circuit(lesson_.aircraft, litres), " | "));
}

void timeline::changes_of(const moment& now) {
  std::string_view label = "changes:";
  for (const change& each : now.changes) {
    item(label, words_of(lesson_.aircraft, each, true));
    label = "";
  }
}

void timeline::consumers_of(const moment& now) {
  std::vector<std::string> names;
  for (const subject each : now.available) names.emplace_back(lesson_.aircraft.name(each));
  if (!names.empty()) item("can work:", listed(names));

  std::map<consumer_reason, std::vector<std::string>> lost;
  for (const subject each : now.unavailable) {
    lost[now.seen.consumers[each.index].reason].emplace_back(lesson_.aircraft.name(each));
  }
  for (const auto& [reason, consumers] : lost) {
    item("cannot work:", fmt::format("{} ({})", listed(consumers), word(reason)));
  }
}

void timeline::alerts_of(const moment& now) {
  for (const alert_change& each : now.alerts) item("alert:", words_of(lesson_.aircraft, now, each, true));
}

void timeline::judgements_of(const moment& now) {
  const std::vector<std::string> met = met_among(now.judged);
  if (!met.empty()) item("expected:", listed(met, "; ") + (met.size() == 1 ? " (met)" : " (all met)"));
  for (const judgement& each : now.judged) {
    if (each.met) continue;
    item("NOT MET:", unmet_words(each, now.at), true);
    if (!each.causes.chain.empty()) out_.write(outline("  " + padded("  why:", label_width), in_words(each.causes)));
  }
}

void timeline::summary(const played& end) {
  const std::size_t missed = end.result.failures.size();
  std::string words = fmt::format("End at {}: {}, {}", clock_text(end.at_end.now), counted(end.steps, "step"),
                                  counted(end.result.expectations, "expectation"));
  if (missed != 0) {
    words += fmt::format(", {} NOT MET.", missed);
  } else {
    words += end.result.expectations == 0 ? "." : ", all met.";
  }
  out_.write("\n" + type_.strong(std::string(page_width, '=')) + "\n" + type_.strong(paragraph("", words)));

  for (const verdict& each : end.result.failures) {
    out_.write(paragraph("  " + padded("NOT MET:", label_width),
                         fmt::format("at {} {} ({})", clock_text(each.at), each.expected.words,
                                     place_of(each.expected.where))));
  }

  std::vector<std::string> standing;
  for (const observed_alert& each : end.at_end.alerts_standing()) {
    standing.push_back(fmt::format("{} {}{}", word(each.level), alert_words(lesson_.aircraft, each),
                                   each.inhibited ? " (held back)" : ""));
  }
  out_.write(paragraph("Alerts standing: ", standing.empty() ? "none" : listed(standing)));
  std::vector<std::string> shown;
  for (const rule& each : all_rules()) {
    if (end.rules_shown.contains(std::string{each.id})) shown.emplace_back(each.id);
  }
  out_.write(paragraph(fmt::format("Rules shown ({} of {}): ", shown.size(), all_rules().size()), listed(shown, " ")));
}

}  // namespace penstock::runner
