// The list of rows that an event or a span of time took: it has an end, and says when it was reached.
#pragma once

#include <algorithm>

#include "penstock/transition.hpp"

namespace penstock::inline v1::detail {

inline void add_row(effects& to, const row_taken& row) {
  if (to.rows < effects::most_rows) {
    to.row[to.rows++] = row;
  } else {
    to.cut_short = true;
  }
}

/// Adds the rows of one step to those of a whole span.
inline void add_rows(effects& whole, const effects& step) {
  for (const row_taken& row : step.taken()) add_row(whole, row);
  whole.passes = std::max(whole.passes, step.passes);
  whole.cut_short = whole.cut_short || step.cut_short;
}

}  // namespace penstock::inline v1::detail
