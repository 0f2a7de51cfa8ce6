#include "runner/page.hpp"
#include "runner/trace_forms.hpp"

#include <fmt/core.h>

namespace penstock::runner {

std::string trace_in_words(const trace_sources& from) {
  const trace_counts counts = counts_of(from);
  std::string words;
  words += paragraph("", fmt::format("{}: {} built, {}{} shown by a lesson.", counted(counts.rules, "rule"), counts.built,
                                     from.tests ? fmt::format("{} tested, ", counts.tested) : "", counts.shown));
  words += paragraph("", fmt::format("{} of the tables, of which lessons take {}; {}.", counted(counts.rows, "row"),
                                     counts.rows_taken, counted(counts.other_places, "other place")));
  words += paragraph("", from.tests ? fmt::format("{} that quote rules.", counted(counts.tests, "test"))
                                    : "This penstock was built without its tests: which of them quote a rule is not known.");
  words += paragraph("", fmt::format("{} that come with penstock.", counted(counts.lessons, "lesson")));
  const std::vector<gap> gaps = gaps_in(from);
  words += paragraph("", gaps.empty() ? "No gaps." : counted(gaps.size(), "gap") + ".");
  for (std::size_t k = 0; k < gap_kinds; ++k) {
    const auto kind = static_cast<gap::kind>(k);
    std::vector<std::string> items;
    for (const gap& each : gaps) {
      if (each.what != kind) continue;
      items.push_back(kind == gap::kind::unknown_rule ? each.rule + " of " + each.about : each.about);
    }
    if (items.empty()) continue;
    words += paragraph(fmt::format("  {}: ", heading_of(kind)), listed(items, kind < gap::kind::no_rule ? ", " : "\n"));
  }
  return words;
}

}  // namespace penstock::runner
