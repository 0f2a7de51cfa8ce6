// penstock events: every word that an event can be written with.
#include "penstock/event.hpp"
#include "penstock/layout_file.hpp"
#include "penstock/lesson.hpp"
#include "penstock/readings.hpp"
#include "runner/commands.hpp"
#include "runner/failure.hpp"
#include "runner/page.hpp"

#include <fmt/core.h>

#include <optional>
#include <set>

namespace penstock::runner {

namespace {

/// Names of the components of a kind, or its word in capitals where there is no layout.
std::vector<std::string> names_of(const std::optional<layout>& of, component kind) {
  if (!of) {
    std::string name;
    for (const char c : word(kind)) name += c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : '-';
    return {name};
  }
  std::vector<std::string> names;
  for (const subject each : of->everything()) {
    if (each.kind == kind) names.emplace_back(of->name(each));
  }
  return names;
}

// The aircraft and the steering link are only one each: their events need no name.
template <std::size_t Size>
std::vector<std::string> subjects_of(const std::optional<layout>& of, const std::array<component, Size>& kinds,
                                     std::size_t count) {
  std::vector<std::string> all;
  for (std::size_t i = 0; i < count; ++i) {
    if (kinds[i] == component::aircraft || kinds[i] == component::steering) continue;
    for (std::string& name : names_of(of, kinds[i])) all.push_back(std::move(name));
  }
  return all;
}

bool needs_no_name(const event_form& form) {
  return form.subjects[0] == component::aircraft || form.subjects[0] == component::steering;
}

std::string phrase_of(const event_form& form, event_kind kind) {
  switch (kind) {
    case event_kind::elapsed: return "elapsed TIME";
    case event_kind::stored: return "stored STORE NUMBER";
    case event_kind::inject: return "inject FAULT [COMPONENT] [FLOW] [at TIME | when TRIGGER [COMPONENT]]";
    case event_kind::remove_fault: return "remove-fault FAULT [COMPONENT]";
    default: break;
  }
  std::string words{form.word};
  if (!needs_no_name(form)) words += " COMPONENT";
  if (!form.values.empty()) words += " VALUE";
  return words;
}

std::string values_of(const event_form& form) {
  std::vector<std::string> words;
  for (const std::string_view each : form.values) words.emplace_back(each);
  return listed(words, " | ");
}

void write_fault(output& out, const std::optional<layout>& of, fault which) {
  const fault_form& form = form_of(which);
  out.write(paragraph(fmt::format("  {}", padded(word(which), 30)), form.sentence));
  const std::vector<std::string> where = subjects_of(of, form.subjects, form.subject_kinds);
  if (!where.empty()) out.write(paragraph(padded("", 34) + "in: ", listed(where, " | ")));
  if (form.needs_amount) out.write(paragraph(padded("", 34), "with a FLOW, such as 500 ml/s"));
}

}  // namespace

exit_code list_events(const events_options& wanted, output& out) {
  std::optional<layout> of;
  if (!wanted.layout.empty()) of = read_or_fail(load_layout(wanted.layout));

  for (const auto& [title, commands] : {std::pair{"Commands", true}, std::pair{"\nFacts, faults and time", false}}) {
    out.write(fmt::format("{}:\n", title));
    for (std::size_t i = 0; i < event_forms().size(); ++i) {
      const event_form& form = event_forms()[i];
      const auto kind = static_cast<event_kind>(i);
      if (form.is_command != commands) continue;
      out.write(paragraph("  " + padded(phrase_of(form, kind), 31) + " ", form.sentence));
      const std::vector<std::string> about = subjects_of(of, form.subjects, form.subject_kinds);
      const bool is_fault = kind == event_kind::inject || kind == event_kind::remove_fault;
      if (!about.empty()) out.write(paragraph("      COMPONENT: ", listed(about, " | ")));
      if (!form.values.empty() && !is_fault) out.write(paragraph("      VALUE: ", values_of(form)));
    }
  }
  out.write("\nFAULT:\n");
  for (std::size_t i = 0; i < count_of<fault>; ++i) write_fault(out, of, static_cast<fault>(i));
  std::vector<std::string> triggers;
  for (std::size_t i = 2; i < count_of<fault_trigger>; ++i) triggers.emplace_back(word(static_cast<fault_trigger>(i)));
  out.write("\n" + paragraph("TRIGGER: ", listed(triggers, " | ")));
  out.write(paragraph("TIME: ", "12 s | 500 ms | 2 min | 1:05 | 1:00:05.5 (of a fault: since the beginning of the lesson)"));

  out.write("\nWhat a lesson may expect:\n");
  out.write("  COMPONENT [PROPERTY] is [not] WORD [because RULE]   the first property of a kind may be left out\n");
  out.write("  COMPONENT runs [because RULE]                       pumps and engines\n");
  out.write("  COMPONENT READING [is [not]] above | below QUANTITY | between QUANTITY and QUANTITY\n");
  out.write("  COMPONENT READING is [not] QUANTITY +- QUANTITY\n");
  out.write("  alert CONDITION [COMPONENT] is [not] CLASS [because RULE]\n");
  out.write("  no alerts\n");
  out.write("  PHRASE until PHRASE\n");
  out.write("  within TIME: | for TIME: | always until TIME: | never for TIME: | never until TIME: PHRASE\n");
  out.write("  in this order: | in this order within TIME: [PHRASE, PHRASE, ...]\n");
  out.write("  shows: RULE | [RULE, RULE, ...]   beside now: or one of these: what the lesson shows by it\n\n");
  const auto write_property = [&](const attribute_form& form) {
    const std::string head = fmt::format("  {} {} ", word(form.kind), form.name);
    const std::vector<std::string> words{form.words.begin(), form.words.end()};
    const bool counts = words.size() > 20;  // numbers in order, such as brake applications
    out.write(paragraph(padded(head, 32), counts ? words.front() + " to " + words.back() : listed(words, " | ")));
  };
  for (const attribute_form& form : attributes()) write_property(form);
  for (const attribute_form& form : plant_attributes()) write_property(form);
  for (const reading_form& form : reading_forms()) {
    const std::string head = fmt::format("  {} {} ", word(form.kind), word(form.what));
    out.write(paragraph(padded(head, 32), fmt::format("READING in {}: {}", form.unit, form.sentence)));
  }
  const auto all_words = []<class Enum>(Enum) {
    std::vector<std::string> words;
    for (std::size_t i = 0; i < count_of<Enum>; ++i) words.emplace_back(word(static_cast<Enum>(i)));
    return listed(words, " | ");
  };
  out.write("\n" + paragraph("CONDITION: ", all_words(condition{})));
  out.write(paragraph("CLASS: ", all_words(alert_class{}) + " | inhibited"));
  out.flush();
  return exit_code::done;
}

}  // namespace penstock::runner
