// Texts as YAML writes them.
#pragma once

#include <algorithm>
#include <string>
#include <string_view>

#include "penstock/detail/text.hpp"

namespace penstock::inline v1::files {

/// A text in double quotes; what YAML does not take as it is, as \uXXXX.
[[nodiscard]] inline std::string in_quotes(std::string_view text) {
  constexpr char digits[] = "0123456789ABCDEF";
  std::string quoted = "\"";
  while (!text.empty()) {
    const std::size_t length = std::max<std::size_t>(detail::utf8_length(text), 1);
    const std::string_view character = text.substr(0, length);
    unsigned code = static_cast<unsigned char>(character[0]);
    if (length > 1) code &= 0x7FU >> length;
    for (const char c : character.substr(1)) code = code * 64 + (static_cast<unsigned char>(c) & 0x3FU);
    const bool escaped = code < 0x20 || (code >= 0x7F && code < 0xA0) || code == 0x2028 || code == 0x2029 ||
                         code == 0xFEFF || code == 0xFFFE || code == 0xFFFF;
    if (code == '"' || code == '\\') {
      quoted += '\\';
      quoted += character;
    } else if (escaped) {
      quoted += "\\u";
      for (const unsigned shift : {12U, 8U, 4U, 0U}) quoted += digits[(code >> shift) & 0xFU];
    } else {
      quoted += character;
    }
    text.remove_prefix(length);
  }
  return quoted + '"';
}

}  // namespace penstock::inline v1::files
