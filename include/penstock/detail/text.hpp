// Small helpers for messages: quoting what was found, numbers in words, the nearest name.
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <string>
#include <string_view>
#include <vector>

namespace penstock::inline v1::detail {

/// Number of bytes of the UTF-8 character that begins here, or 0 where there is none (overlong forms,
/// surrogates and numbers beyond Unicode count as none).
[[nodiscard]] inline std::size_t utf8_length(std::string_view text) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
  if (text.empty()) return 0;
  const unsigned first = byte(0);
  if (first < 0x80) return 1;
  const std::size_t length = first >= 0xF0 ? 4 : first >= 0xE0 ? 3 : 2;
  if (first < 0xC2 || first > 0xF4 || text.size() < length) return 0;
  for (std::size_t i = 1; i < length; ++i) {
    if ((byte(i) & 0xC0U) != 0x80) return 0;
  }
  const unsigned second = byte(1);
  const bool overlong = (first == 0xE0 && second < 0xA0) || (first == 0xF0 && second < 0x90);
  const bool surrogate = first == 0xED && second > 0x9F;
  const bool too_large = first == 0xF4 && second > 0x8F;
  return overlong || surrogate || too_large ? 0 : length;
}

/// Whether a text is whole UTF-8 without control characters: it can stand in a message or a file.
[[nodiscard]] inline bool is_plain_text(std::string_view text) {
  while (!text.empty()) {
    const std::size_t length = utf8_length(text);
    const auto first = static_cast<unsigned char>(text.front());
    if (length == 0 || first < 0x20 || first == 0x7F) return false;
    text.remove_prefix(length);
  }
  return true;
}

/// A found text for a message: in quotes, at most 60 characters, control characters and broken bytes as '?'.
[[nodiscard]] inline std::string quoted(std::string_view text) {
  std::string words = "\"";
  for (std::size_t shown = 0; !text.empty(); ++shown) {
    if (shown == 60) {
      words += "...";
      break;
    }
    const std::size_t length = utf8_length(text);
    const auto first = static_cast<unsigned char>(text.front());
    if (length == 0 || first < 0x20 || first == 0x7F) {
      words += '?';
    } else {
      words += text.substr(0, length);
    }
    text.remove_prefix(std::max<std::size_t>(length, 1));
  }
  return words + '"';
}

/// A number for a message: at most six significant digits, with a point whatever the locale.
/// Not std::to_chars: its tables for doubles would be a third of a program that links penstock.
[[nodiscard]] inline std::string number_text(double value) {
  char buffer[48];
  const int length = std::snprintf(buffer, sizeof buffer, "%.6g", value);
  std::string text;
  for (const char c : std::string_view{buffer, static_cast<std::size_t>(std::max(length, 0))}) {
    if (std::string_view{"0123456789+-aefin"}.find(c) != std::string_view::npos) {  // e, inf and nan, too
      text += c;
    } else if (!text.ends_with('.')) {
      text += '.';  // the decimal point of a locale may be a comma, or more than one byte
    }
  }
  return text;
}

/// How many letters must be put in, left out, changed or swapped with their neighbour to get from one
/// word to the other.
[[nodiscard]] inline std::size_t spelling_distance(std::string_view a, std::string_view b) {
  std::vector<std::size_t> two_back(b.size() + 1), last(b.size() + 1), row(b.size() + 1);
  for (std::size_t j = 0; j <= b.size(); ++j) row[j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    two_back.swap(last);
    last.swap(row);
    row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t changed = last[j - 1] + (a[i - 1] == b[j - 1] ? 0U : 1U);
      row[j] = std::min({changed, last[j] + 1, row[j - 1] + 1});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
        row[j] = std::min(row[j], two_back[j - 2] + 1);
    }
  }
  return row[b.size()];
}

/// The candidate nearest to a misspelt word, the first of equals; empty when none is near. Words far
/// longer than any name are not compared, so that a hostile text costs nothing.
template <class Candidates>
[[nodiscard]] std::string_view nearest_of(std::string_view misspelt, const Candidates& candidates) {
  std::string_view best;
  if (misspelt.empty() || misspelt.size() > 80) return best;
  // A third of the letters may be wrong, and one always.
  std::size_t least = std::max<std::size_t>(misspelt.size() / 3, 1) + 1;
  for (const auto& candidate : candidates) {
    const std::string_view text{candidate};
    if (text.empty() || text.size() > 80) continue;
    const std::size_t distance = spelling_distance(misspelt, text);
    if (distance < least && distance < text.size()) {
      least = distance;
      best = text;
    }
  }
  return best;
}

/// " (did you mean "port"?)" or nothing.
template <class Candidates>
[[nodiscard]] std::string suggestion(std::string_view misspelt, const Candidates& candidates) {
  const std::string_view near = nearest_of(misspelt, candidates);
  return near.empty() ? std::string{} : " (did you mean " + quoted(near) + "?)";
}

/// "a, b or c".
template <class Words>
[[nodiscard]] std::string listed(const Words& words, std::string_view last_link = "or") {
  std::string text;
  std::size_t left = std::size(words);
  for (const auto& one : words) {
    text += std::string_view{one};
    --left;
    if (left > 1) text += ", ";
    if (left == 1) text += ' ' + std::string{last_link} + ' ';
  }
  return text;
}

}  // namespace penstock::inline v1::detail
