// The part of YAML that penstock's files use, as a tree in which every node knows its place: maps with text
// keys, lists and text. No anchors, aliases, tags or directives, one document, bounded depth and size.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "penstock/config.hpp"
#include "penstock/result.hpp"

namespace penstock::inline v1::files {

struct yaml_entry;

struct yaml_node {
  enum class kind : std::uint8_t { text, list, map };
  kind sort = kind::text;
  std::string text;                 ///< kind text: as written, without quotes
  std::vector<yaml_node> items;     ///< kind list
  std::vector<yaml_entry> entries;  ///< kind map, in the order of the file
  std::uint32_t line = 0;
  std::uint32_t column = 0;
  bool in_quotes = false;  ///< kind text: stood in quotes, so that its first character is one column further

  /// The value of a key, or nullptr.
  [[nodiscard]] const yaml_node* find(std::string_view key) const;
};

struct yaml_entry {
  std::string key;
  std::uint32_t line = 0;
  std::uint32_t column = 0;
  yaml_node value;
};

inline constexpr std::size_t yaml_most_bytes = std::size_t{16} * 1024 * 1024;
inline constexpr unsigned yaml_most_depth = 20;
/// Keeps a hostile file of 16 MB from taking gigabytes.
inline constexpr std::size_t yaml_most_nodes = 2'000'000;

/// Reads one document. Error ids begin "yaml-"; `file` is only for messages.
[[nodiscard]] PENSTOCK_API result<yaml_node> yaml_tree(std::string_view text, const std::string& file);

/// "a list", "a map" or the text in quotes: what was found, for messages.
[[nodiscard]] std::string found_words(const yaml_node& node);

}  // namespace penstock::inline v1::files
