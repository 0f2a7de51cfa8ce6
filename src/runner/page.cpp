#include "runner/page.hpp"

#include <algorithm>
#include <cstdlib>

namespace penstock::runner {

namespace {

// Characters, not bytes: every byte of UTF-8 that does not continue a character begins one.
std::size_t characters_in(std::string_view text) {
  return static_cast<std::size_t>(
      std::ranges::count_if(text, [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; }));
}

// Control characters in a lesson or a name must not reach a terminal.
std::string printable(std::string_view text) {
  std::string safe{text};
  std::ranges::replace_if(safe, [](char c) { return static_cast<unsigned char>(c) < 0x20 || c == 0x7F; }, ' ');
  return safe;
}

}  // namespace

emphasis emphasis_for(const output& out, bool plain) {
  // https://no-color.org asks programs to print no escape sequences when NO_COLOR is set.
  const char* no_color = std::getenv("NO_COLOR");  // NOLINT(concurrency-mt-unsafe): nothing changes the environment
  return emphasis{!plain && out.is_terminal() && (no_color == nullptr || *no_color == '\0')};
}

std::string emphasis::strong(std::string_view text) const {
  if (!on) return std::string{text};
  const bool ends_line = text.ends_with('\n');
  if (ends_line) text.remove_suffix(1);
  return "\x1b[1m" + std::string{text} + (ends_line ? "\x1b[0m\n" : "\x1b[0m");
}

std::string paragraph(std::string_view lead, std::string_view text) {
  const std::size_t indent = characters_in(lead);
  std::string all{lead};
  std::size_t column = indent;
  bool line_is_empty = true;
  while (!text.empty()) {
    const std::size_t line_end = std::min(text.find('\n'), text.size());
    std::string_view line = text.substr(0, line_end);
    while (!line.empty()) {
      const std::size_t blank = line.find(' ');
      const std::string word = printable(line.substr(0, blank));
      line.remove_prefix(blank == std::string_view::npos ? line.size() : blank + 1);
      if (word.empty()) continue;
      const std::size_t width = characters_in(word);
      if (!line_is_empty && column + 1 + width > page_width) {
        all.append("\n").append(indent, ' ');
        column = indent;
        line_is_empty = true;
      }
      if (!line_is_empty) all += ' ';
      column += width + (line_is_empty ? 0 : 1);
      all += word;
      line_is_empty = false;
    }
    text.remove_prefix(std::min(line_end + 1, text.size()));
    if (!text.empty()) {
      all.append("\n").append(indent, ' ');
      column = indent;
      line_is_empty = true;
    }
  }
  // Blanks before a line end come from an empty lead or an empty line.
  std::string clean;
  for (const char c : all) {
    if (c == '\n') clean.erase(clean.find_last_not_of(' ') + 1);
    clean += c;
  }
  clean.erase(clean.find_last_not_of(' ') + 1);
  return clean + '\n';
}

std::string outline(std::string_view lead, std::string_view lines) {
  std::string all;
  std::string before{lead};
  while (!lines.empty()) {
    const std::size_t end = std::min(lines.find('\n'), lines.size());
    const std::string_view line = lines.substr(0, end);
    const std::size_t depth = std::min(line.find_first_not_of(' '), line.size());
    all += paragraph(before + std::string(depth, ' '), line.substr(depth));
    lines.remove_prefix(std::min(end + 1, lines.size()));
    before.assign(characters_in(lead), ' ');
  }
  return all;
}

std::string listed(const std::vector<std::string>& items, std::string_view between) {
  std::string all;
  for (const std::string& each : items) {
    if (!all.empty()) all += between;
    all += each;
  }
  return all;
}

std::string counted(std::size_t count, std::string_view noun) {
  return std::to_string(count) + " " + std::string{noun} + (count == 1 ? "" : "s");
}

std::string padded(std::string_view text, std::size_t width) {
  std::string all{text};
  const std::size_t have = characters_in(text);
  if (have < width) all.append(width - have, ' ');
  return all;
}

}  // namespace penstock::runner
