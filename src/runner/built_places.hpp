// Every place in the code where rules are built.
#pragma once

#include "runner/played_lesson.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace penstock::runner {

/// Where rules are built: a row of a table, or another place.
struct built_place {
  std::string_view rules;           ///< ids, separated by a blank
  std::string_view where;           ///< machine or list
  std::string what;                 ///< the row in words, or name of the guard or function
  std::string_view sentence;
  std::optional<row_of_table> row;  ///< nothing: another place
};

/// All rows of all tables by machine and number, then the other places.
[[nodiscard]] std::vector<built_place> built_places();

}  // namespace penstock::runner
