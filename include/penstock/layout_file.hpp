// Layouts as YAML files. Part of penstock::files.
#pragma once

#include <span>
#include <string>
#include <string_view>

#include "penstock/layout.hpp"
#include "penstock/result.hpp"

namespace penstock::inline v1 {

/// Reads a layout from YAML text. `file` is only for error messages. Every complaint has line and
/// column, says what was found and what would be right; nothing is half-read.
[[nodiscard]] PENSTOCK_API result<layout> layout_from_yaml(std::string_view text, const std::string& file);
/// The same from a file, or from a layout that comes with penstock when `name_or_path` is its name.
[[nodiscard]] PENSTOCK_API result<layout> load_layout(const std::string& name_or_path);
/// YAML text that reads back to an equal spec.
[[nodiscard]] PENSTOCK_API std::string yaml_of(const layout_spec& spec);

/// A file that comes with penstock.
struct shipped_file {
  std::string_view name;  ///< without folder and ending
  std::string_view text;
};
[[nodiscard]] PENSTOCK_API std::span<const shipped_file> shipped_layouts();
[[nodiscard]] PENSTOCK_API std::span<const shipped_file> shipped_lessons();
/// JSON Schemas: "layout", "lesson", "event", "answer".
[[nodiscard]] PENSTOCK_API std::span<const shipped_file> shipped_schemas();

/// The whole content of a file, at most 16 MB; errors name the file and the reason.
[[nodiscard]] PENSTOCK_API result<std::string> file_content(const std::string& path);

}  // namespace penstock::inline v1
