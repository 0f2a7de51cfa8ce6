#include "files/yaml_tree.hpp"

#include <yaml.h>

#include <algorithm>
#include <optional>
#include <set>
#include <utility>

#include "penstock/detail/text.hpp"

namespace penstock::inline v1::files {

namespace {

struct place {
  std::uint32_t line = 1;
  std::uint32_t column = 1;
};

// Lines and columns from 1; columns count characters.
place place_of(std::string_view text, std::size_t offset) {
  place at;
  for (std::size_t i = 0; i < std::min(offset, text.size()); ++i) {
    const auto byte = static_cast<unsigned char>(text[i]);
    if (byte == '\n') {
      at = {at.line + 1, 1};
    } else if ((byte & 0xC0U) != 0x80) {
      ++at.column;
    }
  }
  return at;
}

class parser {
 public:
  parser(std::string_view text, const std::string& file) : text_(text), file_(file) {
    // The parser allocates; where it cannot, `usable_` stays false and the caller hears of it.
    usable_ = yaml_parser_initialize(&parser_) != 0;
    if (usable_) {
      yaml_parser_set_encoding(&parser_, YAML_UTF8_ENCODING);
      yaml_parser_set_input_string(&parser_, reinterpret_cast<const unsigned char*>(text.data()), text.size());
    }
  }
  ~parser() {
    forget();
    if (usable_) yaml_parser_delete(&parser_);
  }
  parser(const parser&) = delete;
  parser& operator=(const parser&) = delete;

  result<yaml_node> document() {
    if (!usable_) return error{"yaml-memory", "there is no memory to read it", {file_, 0, 0}};
    yaml_node root;
    if (read_document(root)) return root;
    return *std::move(problem_);
  }

 private:
  bool read_document(yaml_node& root) {
    if (!next()) return false;  // stream start
    if (!next()) return false;
    if (event_.type == YAML_STREAM_END_EVENT) return empty();
    const auto& start = event_.data.document_start;
    if (start.version_directive != nullptr || start.tag_directives.start != start.tag_directives.end) {
      return fail("yaml-directive", event_.start_mark,
                  "directives (lines that begin with %) are not used here; remove it");
    }
    if (!next() || !read(root, 1)) return false;
    if (root.sort == yaml_node::kind::text && root.text.empty()) return empty();
    if (!next() || !next()) return false;  // document end, then what follows it
    if (event_.type != YAML_STREAM_END_EVENT) {
      return fail("yaml-documents", event_.start_mark, "a second document begins here; a file holds one document");
    }
    return true;
  }

  bool empty() {
    problem_ = error{"yaml-empty", "the file is empty; it should hold a map of keys and values", {file_, 1, 1}};
    return false;
  }

  bool fail(const char* id, const yaml_mark_t& mark, std::string message) {
    problem_ = error{id, std::move(message), where(mark)};
    return false;
  }
  [[nodiscard]] location where(const yaml_mark_t& mark) const {
    return {file_, static_cast<std::uint32_t>(mark.line + 1), static_cast<std::uint32_t>(mark.column + 1)};
  }

  void forget() {
    if (holds_event_) yaml_event_delete(&event_);
    holds_event_ = false;
  }

  bool next() {
    forget();
    if (yaml_parser_parse(&parser_, &event_) != 0) {
      holds_event_ = true;
      return true;
    }
    std::string words = parser_.problem != nullptr ? parser_.problem : "it cannot be read";
    if (parser_.error == YAML_MEMORY_ERROR) {
      problem_ = error{"yaml-memory", "there is no memory to read it", {file_, 0, 0}};
    } else if (parser_.error == YAML_READER_ERROR) {
      const place at = place_of(text_, parser_.problem_offset);
      problem_ = error{"yaml-character", "not YAML: " + words, {file_, at.line, at.column}};
    } else {
      if (parser_.context != nullptr) words += std::string{" ("} + parser_.context + ')';
      fail("yaml-syntax", parser_.problem_mark, "not YAML: " + words);
    }
    return false;
  }

  bool plain(const yaml_char_t* anchor, const yaml_char_t* tag) {
    if (anchor != nullptr)
      return fail("yaml-anchor", event_.start_mark, "anchors (&) are not used here; write the value itself");
    if (tag != nullptr)
      return fail("yaml-tag", event_.start_mark, "tags (!) are not used here; write the value without it");
    return true;
  }

  // The node that begins with the present event; leaves its last event present.
  bool read(yaml_node& node, unsigned depth) {
    node.line = static_cast<std::uint32_t>(event_.start_mark.line + 1);
    node.column = static_cast<std::uint32_t>(event_.start_mark.column + 1);
    if (depth > yaml_most_depth) {
      return fail("yaml-depth", event_.start_mark,
                  "lists and maps are nested deeper than " + std::to_string(yaml_most_depth) + " levels");
    }
    if (++nodes_ > yaml_most_nodes) {
      return fail("yaml-size", event_.start_mark,
                  "more than " + std::to_string(yaml_most_nodes) + " values in one file");
    }
    switch (event_.type) {
      case YAML_SCALAR_EVENT:
        if (!plain(event_.data.scalar.anchor, event_.data.scalar.tag)) return false;
        node.text = scalar();
        node.in_quotes = event_.data.scalar.style == YAML_SINGLE_QUOTED_SCALAR_STYLE ||
                         event_.data.scalar.style == YAML_DOUBLE_QUOTED_SCALAR_STYLE;
        return true;
      case YAML_SEQUENCE_START_EVENT:
        return plain(event_.data.sequence_start.anchor, event_.data.sequence_start.tag) && read_list(node, depth);
      case YAML_MAPPING_START_EVENT:
        return plain(event_.data.mapping_start.anchor, event_.data.mapping_start.tag) && read_map(node, depth);
      default:
        return fail("yaml-alias", event_.start_mark, "aliases (*) are not used here; write the value itself");
    }
  }

  [[nodiscard]] std::string scalar() const {
    return {reinterpret_cast<const char*>(event_.data.scalar.value), event_.data.scalar.length};
  }

  bool read_list(yaml_node& node, unsigned depth) {
    node.sort = yaml_node::kind::list;
    while (next()) {
      if (event_.type == YAML_SEQUENCE_END_EVENT) return true;
      if (!read(node.items.emplace_back(), depth + 1)) return false;
    }
    return false;
  }

  bool read_map(yaml_node& node, unsigned depth) {
    node.sort = yaml_node::kind::map;
    std::set<std::string, std::less<>> keys;
    while (next()) {
      if (event_.type == YAML_MAPPING_END_EVENT) return true;
      if (event_.type != YAML_SCALAR_EVENT) {
        return fail("yaml-key", event_.start_mark, "a key must be a word, not a list, a map or an alias");
      }
      if (!plain(event_.data.scalar.anchor, event_.data.scalar.tag)) return false;
      yaml_entry& entry = node.entries.emplace_back();
      entry.key = scalar();
      entry.line = static_cast<std::uint32_t>(event_.start_mark.line + 1);
      entry.column = static_cast<std::uint32_t>(event_.start_mark.column + 1);
      if (!keys.insert(entry.key).second) {
        return fail("yaml-twice", event_.start_mark,
                    "the key " + detail::quoted(entry.key) + " stands twice in this map");
      }
      if (!next() || !read(entry.value, depth + 1)) return false;
    }
    return false;
  }

  std::string_view text_;
  const std::string& file_;
  yaml_parser_t parser_{};
  yaml_event_t event_{};
  bool usable_ = false;
  bool holds_event_ = false;
  std::size_t nodes_ = 0;
  std::optional<error> problem_;
};

// The first byte that no file of ours may hold, or nothing.
std::optional<error> bad_byte(std::string_view text, const std::string& file) {
  for (std::size_t i = 0; i < text.size();) {
    const std::size_t length = detail::utf8_length(text.substr(i, 4));
    const auto first = static_cast<unsigned char>(text[i]);
    const bool control = (first < 0x20 && first != '\t' && first != '\n' && first != '\r') || first == 0x7F;
    if (length != 0 && !control) {
      i += length;
      continue;
    }
    const place at = place_of(text, i);
    constexpr char digits[] = "0123456789ABCDEF";
    const std::string byte = {'0', 'x', digits[first >> 4U], digits[first & 0xFU]};
    const std::string words = first == 0    ? "a NUL byte; the file must be text"
                              : length == 0 ? "the byte " + byte + " is not UTF-8; save the file as UTF-8"
                                            : "the control character " + byte + "; the file must be text";
    return error{length == 0 ? "yaml-encoding" : "yaml-character", words, {file, at.line, at.column}};
  }
  return std::nullopt;
}

}  // namespace

const yaml_node* yaml_node::find(std::string_view key) const {
  const auto found = std::find_if(entries.begin(), entries.end(), [&](const yaml_entry& e) { return e.key == key; });
  return found == entries.end() ? nullptr : &found->value;
}

result<yaml_node> yaml_tree(std::string_view text, const std::string& file) {
  if (text.size() > yaml_most_bytes) return error{"yaml-size", "the text is longer than 16 MB", {file, 0, 0}};
  if (auto problem = bad_byte(text, file)) return *std::move(problem);
  return parser{text, file}.document();
}

std::string found_words(const yaml_node& node) {
  switch (node.sort) {
    case yaml_node::kind::list:
      return "a list";
    case yaml_node::kind::map:
      return "a map";
    case yaml_node::kind::text:
      break;
  }
  return node.text.empty() ? "nothing" : detail::quoted(node.text);
}

}  // namespace penstock::inline v1::files
