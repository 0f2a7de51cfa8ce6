// Names that a person gave, and what they may have meant.
#pragma once

#include "penstock/event_text.hpp"
#include "penstock/layout.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace penstock::runner {

/// "; did you mean 'x'?", or nothing when no candidate is near.
[[nodiscard]] inline std::string perhaps(std::string_view name, const std::vector<std::string>& candidates) {
  const std::string near = nearest(name, candidates);
  return near.empty() ? std::string{} : "; did you mean '" + near + "'?";
}

/// Every word of an enumeration.
template <class Enum>
[[nodiscard]] std::vector<std::string> all_words() {
  std::vector<std::string> words;
  for (std::size_t i = 0; i < count_of<Enum>; ++i) words.emplace_back(word(static_cast<Enum>(i)));
  return words;
}

/// The names of all components of a layout.
[[nodiscard]] inline std::vector<std::string> names_in(const layout& of) {
  std::vector<std::string> names;
  for (const subject each : of.everything()) names.emplace_back(of.name(each));
  return names;
}

}  // namespace penstock::runner
