// A row of a transition table in words.
#pragma once

#include "penstock/transition.hpp"

#include <fmt/core.h>

#include <string>

namespace penstock::runner {

/// "row 3: asking --lever-neutral--> idle if end-of-travel"
[[nodiscard]] inline std::string row_words(machine which, std::size_t number) {
  const table_row& row = rows_of(which)[number];
  std::string words = fmt::format("row {}: {} --{}--> {}", number, mode_word(which, row.source),
                                  event_word(which, row.event), mode_word(which, row.target));
  if (row.guard != "always") words += fmt::format(" if {}", row.guard);
  if (row.refuses) words += ", refused";
  return words;
}

}  // namespace penstock::runner
