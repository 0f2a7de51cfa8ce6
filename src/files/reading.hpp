// What the readers of layouts and lessons share: complaints with their place, and single values.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <utility>

#include "files/yaml_tree.hpp"
#include "penstock/detail/text.hpp"
#include "penstock/modes.hpp"
#include "penstock/result.hpp"

namespace penstock::inline v1::files {

/// A complaint, or nothing.
using complaint = std::optional<error>;

[[nodiscard]] inline location at(const yaml_node& node, const std::string& file) {
  return {file, node.line, node.column};
}
[[nodiscard]] inline location at(const yaml_entry& entry, const std::string& file) {
  return {file, entry.line, entry.column};
}

/// "x must be a map, here is a list".
[[nodiscard]] inline error wrong_sort(std::string id, const std::string& what, std::string_view wanted,
                                      const yaml_node& found, const std::string& file) {
  return {std::move(id), what + " must be " + std::string{wanted} + "; found " + found_words(found), at(found, file)};
}

/// A key that has no meaning here.
template <class Keys>
[[nodiscard]] error unknown_key(std::string id, const std::string& what, const yaml_entry& found, const Keys& keys,
                                const std::string& file) {
  return {std::move(id),
          what + " has no key " + detail::quoted(found.key) + detail::suggestion(found.key, keys) +
              "; possible: " + detail::listed(keys),
          at(found, file)};
}

/// yes or no.
[[nodiscard]] inline std::optional<bool> flag_from(std::string_view text) {
  if (text == "yes" || text == "true") return true;
  if (text == "no" || text == "false") return false;
  return std::nullopt;
}

/// An enumerator by its word.
template <class Enum>
[[nodiscard]] result<Enum> enumerator_from(std::string id, const std::string& what, std::string_view text,
                                           const location& where) {
  if (const auto found = from_word<Enum>(text)) return *found;
  const auto& words = detail::words_of<Enum>::list;
  return error{
      std::move(id),
      what + " must be " + detail::listed(words) + "; found " + detail::quoted(text) + detail::suggestion(text, words),
      where};
}

}  // namespace penstock::inline v1::files
