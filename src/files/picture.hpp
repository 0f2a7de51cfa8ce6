// Pictures in SVG 1.1: shapes and texts in points, and how much room a text takes.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace penstock::inline v1::files {

/// The width of a text in a common sans-serif type of that size; rather too much than too little.
[[nodiscard]] double text_width(std::string_view words, double size);
/// The text, or as much of its beginning as fits, and "..."
[[nodiscard]] std::string shortened(std::string_view words, double size, double width);
/// The text in lines of at most that width, at most `most` of them; the last is shortened.
[[nodiscard]] std::vector<std::string> wrapped(std::string_view words, double size, double width, std::size_t most);

/// Where things of a width go that want a place in a row: in the order given, `gap` apart, within
/// [low, high] as far as they fit, each as near to its wish as its neighbours allow.
struct wish {
  double centre;
  double width;
};
[[nodiscard]] std::vector<double> spread(const std::vector<wish>& wishes, double low, double high, double gap);

enum class anchor { start, middle, end };

struct point {
  double x;
  double y;
};

/// A list of shapes, drawn in the order in which they come. `look`: attributes such as stroke="#000".
class picture {
 public:
  void line(point from, point to, std::string_view look);
  void path_through(const std::vector<point>& points, std::string_view look);
  void area(const std::vector<point>& points, std::string_view look);
  void box(double x, double y, double width, double height, std::string_view look);
  /// Diagonal lines across a box, so far apart on its edges.
  void hatch(point top_left, point bottom_right, double distance, std::string_view look);
  void circle(point centre, double radius, std::string_view look);
  /// `at`: on the base line of the text.
  void text(point at, double size, anchor where, std::string_view words, std::string_view look = {});

  /// Who prints the picture in pieces may cut it here, from top to bottom. All heights stand in data-cuts of the file.
  void may_be_cut(double y);

  /// The whole file.
  [[nodiscard]] std::string written(double width, double height, std::string_view title,
                                    std::string_view description) const;

 private:
  std::string cuts_;
  std::string shapes_;
};

}  // namespace penstock::inline v1::files
