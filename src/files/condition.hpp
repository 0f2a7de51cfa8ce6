// Conditions found from a table of truth, and written as ECMAScript.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

namespace penstock::inline v1::files {

enum class value_kind : std::uint8_t { yes_no, choice, number };

/// Something that a rule reads or changes, with all the values it can have, as ECMAScript writes them.
struct variable {
  std::string name;
  value_kind kind;
  std::vector<std::string> values;
};

/// Looks at one variable, or compares two numbers.
struct operand {
  enum class looks_at : std::uint8_t { value, not_zero, one_more_is_below };
  looks_at how;
  std::size_t variable;
  std::size_t other;  ///< the greater one, where two are compared
};

/// True for some of what an operand can be: the values of a variable in their order, or no and yes.
struct literal {
  operand about;
  std::vector<bool> holds_for;
};

/// One of the products holds, that is all literals of it. No product: never. An empty product: always.
struct condition {
  std::vector<std::vector<literal>> products;
};

/// Whether a condition holds in a cell; `free` where that does not matter.
enum class truth : std::uint8_t { no, yes, free };

/// The cells of all combinations of values; the last variable changes fastest.
using truth_table = std::vector<truth>;

/// A condition with few products and few literals that agrees with the table in every cell that is not free.
[[nodiscard]] condition condition_of(const std::vector<variable>& all, truth_table table);

[[nodiscard]] bool is_always(const condition& of);

/// In ECMAScript; `names` says how each variable is reached.
[[nodiscard]] std::string written(const condition& of, const std::vector<variable>& all,
                                  const std::vector<std::string>& names);

}  // namespace penstock::inline v1::files
