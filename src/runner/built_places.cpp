#include "runner/built_places.hpp"

#include "penstock/modes.hpp"
#include "penstock/rules.hpp"
#include "runner/row_words.hpp"

namespace penstock::runner {

std::vector<built_place> built_places() {
  std::vector<built_place> all;
  for (std::size_t m = 0; m < machine_count; ++m) {
    const auto which = static_cast<machine>(m);
    const auto rows = rows_of(which);
    for (std::size_t i = 0; i < rows.size(); ++i) {
      all.push_back({rows[i].rules, word(which), row_words(which, i), rows[i].sentence,
                     row_of_table{which, static_cast<std::uint8_t>(i)}});
    }
  }
  for (const rule_place& each : places_besides_rows()) {
    all.push_back({each.rules, each.where, std::string{each.what}, each.sentence, {}});
  }
  return all;
}

}  // namespace penstock::runner
