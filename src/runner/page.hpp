// Text for people: wrapping, emphasis, words for lists. No colour: emphasis only, and never alone.
#pragma once

#include "runner/streams.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace penstock::runner {

/// How wide a page is, in characters.
inline constexpr std::size_t page_width = 100;

/// Whether bold type may be used. What it stresses is always said in words as well.
struct emphasis {
  bool on = false;
  [[nodiscard]] std::string strong(std::string_view text) const;
};

/// Bold type on a terminal, unless the person wants none: by the option, or by NO_COLOR.
[[nodiscard]] emphasis emphasis_for(const output& out, bool plain);

/// `text` in lines of at most `page_width`, the first after `lead`, the others indented as deep.
/// Line ends in `text` are kept.
[[nodiscard]] std::string paragraph(std::string_view lead, std::string_view text);

/// Lines that are indented by their depth, each wrapped on its own, all of them behind `lead`.
[[nodiscard]] std::string outline(std::string_view lead, std::string_view lines);

/// "a, b, c"
[[nodiscard]] std::string listed(const std::vector<std::string>& items, std::string_view between = ", ");

/// "1 step", "2 steps"
[[nodiscard]] std::string counted(std::size_t count, std::string_view noun);

/// `text` filled with blanks up to a width.
[[nodiscard]] std::string padded(std::string_view text, std::size_t width);

}  // namespace penstock::runner
