// Parameters of a lesson file: their values, and texts with ${name} in them.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "files/reading.hpp"
#include "files/yaml_tree.hpp"
#include "penstock/lesson.hpp"

namespace penstock::inline v1::files {

/// A value that somebody outside of the file gives.
struct given_value {
  std::string name;
  std::string value;
  location where;
};

/// The parameters of one file.
class parameter_scope {
 public:
  /// Reads "parameters:" (may be nullptr) and puts given values in. Every parameter must get a value.
  complaint read(const yaml_node* declared, const std::vector<given_value>& given, const std::string& file);
  [[nodiscard]] const std::vector<lesson_parameter>& values() const { return values_; }

  /// Whether a text or anything in a tree needs `fill`.
  [[nodiscard]] static bool mentions(std::string_view text) { return text.find("${") != text.npos; }
  [[nodiscard]] static bool mentions(const yaml_node& node);
  /// Puts values into every text and key of a tree. `budget`: how many characters may still be made.
  complaint fill(yaml_node& node, const std::string& file, std::size_t& budget) const;
  complaint fill(std::string& text, const location& where, std::size_t& budget) const;

 private:
  complaint read_one(const yaml_entry& entry, const given_value* given, const std::string& file, std::string& value);
  complaint read_choice(const yaml_entry& entry, const std::string& file, std::string& value);
  [[nodiscard]] const lesson_parameter* find(std::string_view name) const;
  [[nodiscard]] std::vector<std::string_view> names() const;

  std::vector<lesson_parameter> values_;
};

/// A text that `fill` leaves as it is.
[[nodiscard]] std::string without_parameters(std::string_view text);

}  // namespace penstock::inline v1::files
