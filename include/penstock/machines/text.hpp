// Text that can be a template argument, so that a row can carry its rule and its sentence.
#pragma once

#include <cstddef>
#include <string_view>

namespace penstock::inline v1::machines {

template <std::size_t Size>
struct text {
  char characters[Size]{};
  consteval text(const char (&literal)[Size]) {  // NOLINT(google-explicit-constructor): a literal is the text
    for (std::size_t i = 0; i < Size; ++i) characters[i] = literal[i];
  }
  [[nodiscard]] constexpr std::string_view view() const { return {characters, Size - 1}; }
};

/// The name of a guard or action function, as it stands in the source.
template <auto Function>
[[nodiscard]] consteval std::string_view name_of() {
  // g++:   "... name_of() [with auto Function = penstock::v1::machines::engine::at_idle; ..."
  // clang: "... name_of() [Function = &penstock::v1::machines::engine::at_idle]"
  std::string_view whole{__PRETTY_FUNCTION__};
  whole.remove_prefix(whole.find("Function = ") + 11);
  // the name is what follows the last "::" outside angle brackets, up to the end or a parenthesis
  std::size_t depth = 0;
  std::size_t start = 0;
  std::size_t end = 0;
  for (; end < whole.size(); ++end) {
    const char c = whole[end];
    if (c == '<') ++depth;
    if (c == '>') --depth;
    if (depth != 0) continue;
    if (c == ';' || c == ']' || c == '(') break;
    if (c == ':' || c == '&') start = end + 1;
  }
  whole = whole.substr(start, end - start);
  return whole;
}

}  // namespace penstock::inline v1::machines
