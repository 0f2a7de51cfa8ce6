// Text for XML 1.0 (W3C, fifth edition): what it forbids is left out, what it would read as markup is escaped.
#pragma once

#include <algorithm>
#include <cstddef>
#include <string>
#include <string_view>

#include "penstock/detail/text.hpp"

namespace penstock::inline v1::files {

/// Text between tags. Control characters that XML forbids are left out; bytes that are not UTF-8 become the
/// replacement character.
[[nodiscard]] inline std::string xml_text(std::string_view raw) {
  std::string safe;
  while (!raw.empty()) {
    const std::size_t length = detail::utf8_length(raw);
    const std::string_view character = raw.substr(0, std::max<std::size_t>(length, 1));
    const char first = character.front();
    if (length == 0) {
      safe += "\xEF\xBF\xBD";
    } else if (first == '&') {
      safe += "&amp;";
    } else if (first == '<') {
      safe += "&lt;";
    } else if (first == '>') {
      safe += "&gt;";
    } else if (first == '"') {
      safe += "&quot;";
    } else if (first == '\r') {
      safe += "&#13;";  // as it is, a reader would take it for a line end
    } else {
      const bool control = length == 1 && static_cast<unsigned char>(first) < 0x20 && first != '\t' && first != '\n';
      const bool no_character = character == "\xEF\xBF\xBE" || character == "\xEF\xBF\xBF";  // U+FFFE, U+FFFF
      if (!control && !no_character) safe += character;
    }
    raw.remove_prefix(character.size());
  }
  return safe;
}

/// The value of an attribute, to stand in double quotes: line ends and tabs are kept as well.
[[nodiscard]] inline std::string xml_attribute(std::string_view raw) {
  std::string safe;
  for (const char c : xml_text(raw)) {
    if (c == '\n') {
      safe += "&#10;";
    } else if (c == '\t') {
      safe += "&#9;";
    } else {
      safe += c;
    }
  }
  return safe;
}

}  // namespace penstock::inline v1::files
