#include "files/picture.hpp"

#include <algorithm>
#include <cmath>

#include "files/fixed_text.hpp"
#include "files/xml_text.hpp"

namespace penstock::inline v1::files {

namespace {

// The share of the type size that a character takes. Measured generously over common sans-serif types; from memory.
double share_of(char c) {
  constexpr std::string_view slim = "ijl'|";
  constexpr std::string_view narrow = "ftr.,:;!()[]/-I \"`";
  constexpr std::string_view wide = "mwMW%@&+=<>~";
  if (slim.find(c) != std::string_view::npos) return 0.30;
  if (narrow.find(c) != std::string_view::npos) return 0.42;
  if (wide.find(c) != std::string_view::npos) return 0.98;
  return c >= 'A' && c <= 'Z' ? 0.76 : 0.64;
}

bool continues_a_character(char c) { return (static_cast<unsigned char>(c) & 0xC0U) == 0x80U; }

std::string attribute(std::string_view name, double value) {
  return ' ' + std::string{name} + "=\"" + fixed_text(value, 2) + '"';
}

std::string list_of(const std::vector<point>& points) {
  std::string text;
  for (const point each : points) {
    if (!text.empty()) text += ' ';
    text += fixed_text(each.x, 2) + ',' + fixed_text(each.y, 2);
  }
  return text;
}

}  // namespace

double text_width(std::string_view words, double size) {
  double shares = 0.0;
  for (const char c : words) {
    if (continues_a_character(c)) continue;
    // What is not ASCII may be as wide as it is high.
    shares += static_cast<unsigned char>(c) < 0x80U ? share_of(c) : 1.0;
  }
  return shares * size;
}

std::string shortened(std::string_view words, double size, double width) {
  if (text_width(words, size) <= width) return std::string{words};
  constexpr std::string_view dots = "...";
  std::size_t end = words.size();
  while (end > 0 && (continues_a_character(end < words.size() ? words[end] : ' ') ||
                     text_width(words.substr(0, end), size) + text_width(dots, size) > width)) {
    --end;
  }
  while (end > 0 && words[end - 1] == ' ') --end;
  return std::string{words.substr(0, end)} + std::string{dots};
}

std::vector<std::string> wrapped(std::string_view words, double size, double width, std::size_t most) {
  std::vector<std::string> lines;
  while (!words.empty()) {
    std::size_t end = words.size();
    while (text_width(words.substr(0, end), size) > width && end != std::string_view::npos && end > 0) {
      end = words.rfind(' ', end - 1);
    }
    const bool one_long_word = end == std::string_view::npos || end == 0;
    if (one_long_word || (lines.size() + 1 == most && end < words.size())) {
      lines.push_back(shortened(words, size, width));
      break;
    }
    lines.emplace_back(words.substr(0, end));
    words.remove_prefix(std::min(words.size(), end + 1));
  }
  return lines;
}

std::vector<double> spread(const std::vector<wish>& wishes, double low, double high, double gap) {
  // Neighbours that would touch become one block around the mean of their wishes.
  struct block {
    std::size_t first;
    std::size_t many;
    double width;
    double wanted;  ///< sum of where each member would have the block's left edge
    [[nodiscard]] double left(double from, double to) const {
      return std::max(from, std::min(wanted / static_cast<double>(many), to - width));
    }
  };
  std::vector<block> blocks;
  for (std::size_t i = 0; i < wishes.size(); ++i) {
    block next{i, 1, wishes[i].width, wishes[i].centre - wishes[i].width / 2};
    while (!blocks.empty()) {
      const block& before = blocks.back();
      if (before.left(low, high) + before.width + gap <= next.left(low, high)) break;
      const double shift = before.width + gap;
      next = {before.first, before.many + next.many, shift + next.width,
              before.wanted + next.wanted - shift * static_cast<double>(next.many)};
      blocks.pop_back();
    }
    blocks.push_back(next);
  }
  std::vector<double> centres;
  for (const block& each : blocks) {
    double x = each.left(low, high);
    for (std::size_t i = each.first; i < each.first + each.many; ++i) {
      centres.push_back(x + wishes[i].width / 2);
      x += wishes[i].width + gap;
    }
  }
  return centres;
}

void picture::line(point from, point to, std::string_view look) {
  shapes_ += "<line" + attribute("x1", from.x) + attribute("y1", from.y) + attribute("x2", to.x) +
             attribute("y2", to.y) + ' ' + std::string{look} + "/>\n";
}

void picture::path_through(const std::vector<point>& points, std::string_view look) {
  shapes_ += "<polyline points=\"" + list_of(points) + "\" fill=\"none\" " + std::string{look} + "/>\n";
}

void picture::area(const std::vector<point>& points, std::string_view look) {
  shapes_ += "<polygon points=\"" + list_of(points) + "\" " + std::string{look} + "/>\n";
}

void picture::box(double x, double y, double width, double height, std::string_view look) {
  shapes_ += "<rect" + attribute("x", x) + attribute("y", y) + attribute("width", width) +
             attribute("height", height) + ' ' + std::string{look} + "/>\n";
}

void picture::hatch(point top_left, point bottom_right, double distance, std::string_view look) {
  std::string way;
  const double last = bottom_right.x + bottom_right.y;
  const auto first = static_cast<int>(std::ceil((top_left.x + top_left.y) / distance));
  for (int i = first; i * distance < last; ++i) {
    const double sum = i * distance;  // of x and y all along a line
    const double from = std::max(top_left.x, sum - bottom_right.y);
    const double to = std::min(bottom_right.x, sum - top_left.y);
    way += 'M' + fixed_text(from, 1) + ' ' + fixed_text(sum - from, 1) + 'L' + fixed_text(to, 1) + ' ' +
           fixed_text(sum - to, 1);
  }
  if (!way.empty()) shapes_ += "<path d=\"" + way + "\" " + std::string{look} + "/>\n";
}

void picture::circle(point centre, double radius, std::string_view look) {
  shapes_ += "<circle" + attribute("cx", centre.x) + attribute("cy", centre.y) + attribute("r", radius) + ' ' +
             std::string{look} + "/>\n";
}

void picture::text(point at, double size, anchor where, std::string_view words, std::string_view look) {
  shapes_ += "<text" + attribute("x", at.x) + attribute("y", at.y) + attribute("font-size", size);
  if (where == anchor::middle) shapes_ += " text-anchor=\"middle\"";
  if (where == anchor::end) shapes_ += " text-anchor=\"end\"";
  if (!look.empty()) shapes_ += ' ' + std::string{look};
  shapes_ += '>' + xml_text(words) + "</text>\n";
}

void picture::may_be_cut(double y) { cuts_ += (cuts_.empty() ? "" : " ") + fixed_text(y, 0); }

std::string picture::written(double width, double height, std::string_view title, std::string_view description) const {
  const std::string w = fixed_text(width, 0);
  const std::string h = fixed_text(std::ceil(height), 0);
  return "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\" width=\"" +
         w + "pt\" height=\"" + h + "pt\" viewBox=\"0 0 " + w + ' ' + h +
         "\" font-family=\"sans-serif\" fill=\"#1c1c28\" data-cuts=\"" + cuts_ + "\">\n<title>" + xml_text(title) +
         "</title>\n<desc>" + xml_text(description) + "</desc>\n" + shapes_ + "</svg>\n";
}

}  // namespace penstock::inline v1::files
