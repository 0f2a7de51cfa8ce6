// A value or an error. The library never throws across its interface, prints, aborts or exits.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <utility>
#include <variant>

namespace penstock::inline v1 {

/// Where in a text something was found. Lines and columns count from 1; 0 means "not in a text".
struct location {
  std::string file;
  std::uint32_t line = 0;
  std::uint32_t column = 0;
  friend bool operator==(const location&, const location&) = default;
};

/// What went wrong: a stable id (listed in DEVELOPERS.md), a sentence that says what was found and
/// what would be right, and where.
struct error {
  std::string id;
  std::string message;
  location where;
};

/// "file:line:column: message [id]", leaving out what is not known.
[[nodiscard]] inline std::string to_string(const error& e) {
  std::string words = e.where.file;
  if (e.where.line != 0) {
    if (!words.empty()) words += ':';
    words += std::to_string(e.where.line) + ':' + std::to_string(e.where.column);
  }
  if (!words.empty()) words += ": ";
  return words + e.message + " [" + e.id + "]";
}

/// Either a T or an error. Ask before you take: `if (r) use(*r); else report(r.problem());`
template <class T>
class [[nodiscard]] result {
 public:
  result(T value) : content_(std::in_place_index<0>, std::move(value)) {}  // NOLINT
  result(error problem) : content_(std::in_place_index<1>, std::move(problem)) {}  // NOLINT

  [[nodiscard]] explicit operator bool() const { return content_.index() == 0; }
  /// The value. Precondition: the result holds one; otherwise std::bad_variant_access.
  [[nodiscard]] T& operator*() & { return std::get<0>(content_); }
  [[nodiscard]] const T& operator*() const& { return std::get<0>(content_); }
  [[nodiscard]] T&& operator*() && { return std::get<0>(std::move(content_)); }
  [[nodiscard]] T* operator->() { return &std::get<0>(content_); }
  [[nodiscard]] const T* operator->() const { return &std::get<0>(content_); }
  /// The error. Precondition: the result holds one.
  [[nodiscard]] const error& problem() const { return std::get<1>(content_); }

 private:
  std::variant<T, error> content_;
};

}  // namespace penstock::inline v1
