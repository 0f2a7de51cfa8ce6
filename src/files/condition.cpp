// A condition is found in three steps: what does not matter is left out; numbers are looked at through
// comparisons, if these tell all there is to tell; products are grown from the cells that must hold until
// no more can be left out.
#include "files/condition.hpp"

#include <algorithm>
#include <numeric>
#include <optional>
#include <utility>

namespace penstock::inline v1::files {

namespace {

/// Which values a product allows, operand by operand.
using cube = std::vector<std::vector<bool>>;
using cell = std::vector<std::size_t>;

cell cell_of(std::size_t number, const std::vector<std::size_t>& sizes) {
  cell digits(sizes.size());
  for (std::size_t i = sizes.size(); i-- > 0; number /= sizes[i]) digits[i] = number % sizes[i];
  return digits;
}

bool holds(const cube& product, const cell& in) {
  for (std::size_t i = 0; i < in.size(); ++i) {
    if (!product[i][in[i]]) return false;
  }
  return true;
}

std::optional<truth> both(truth one, truth other) {
  if (one == truth::free || one == other) return other;
  if (other == truth::free) return one;
  return std::nullopt;
}

/// Takes dimension `which` out of the table, unless it matters.
bool leave_out(truth_table& table, const std::vector<std::size_t>& sizes, std::size_t which) {
  const std::size_t many = sizes[which];
  const std::size_t inner =
      std::accumulate(sizes.begin() + static_cast<std::ptrdiff_t>(which) + 1, sizes.end(), std::size_t{1}, std::multiplies{});
  truth_table smaller(table.size() / many);
  for (std::size_t i = 0; i < smaller.size(); ++i) {
    const std::size_t first = i / inner * inner * many + i % inner;
    truth here = table[first];
    for (std::size_t value = 1; value < many; ++value) {
      const auto merged = both(here, table[first + value * inner]);
      if (!merged) return false;
      here = *merged;
    }
    smaller[i] = here;
  }
  table = std::move(smaller);
  return true;
}

/// Leaves out of the table what does not matter, and says which dimensions are left.
std::vector<std::size_t> what_matters(truth_table& table, std::vector<std::size_t>& sizes) {
  std::vector<std::size_t> left(sizes.size());
  std::iota(left.begin(), left.end(), std::size_t{0});
  for (std::size_t i = 0; i < left.size();) {
    if (!leave_out(table, sizes, i)) {
      ++i;
      continue;
    }
    left.erase(left.begin() + static_cast<std::ptrdiff_t>(i));
    sizes.erase(sizes.begin() + static_cast<std::ptrdiff_t>(i));
  }
  return left;
}

/// The same table seen through operands; nothing if they cannot tell two cells apart that differ.
std::optional<truth_table> seen_through(const std::vector<operand>& operands, const std::vector<std::size_t>& operand_sizes,
                                        const truth_table& table, const std::vector<std::size_t>& sizes,
                                        const std::vector<std::size_t>& place_of) {
  truth_table seen(std::accumulate(operand_sizes.begin(), operand_sizes.end(), std::size_t{1}, std::multiplies{}),
                   truth::free);
  for (std::size_t number = 0; number < table.size(); ++number) {
    const cell digits = cell_of(number, sizes);
    std::size_t at = 0;
    for (std::size_t i = 0; i < operands.size(); ++i) {
      const operand& each = operands[i];
      const std::size_t value = digits[place_of[each.variable]];
      std::size_t shown = value;
      if (each.how == operand::looks_at::not_zero) shown = value != 0 ? 1 : 0;
      if (each.how == operand::looks_at::one_more_is_below) shown = value + 1 < digits[place_of[each.other]] ? 1 : 0;
      at = at * operand_sizes[i] + shown;
    }
    const auto merged = both(seen[at], table[number]);
    if (!merged) return std::nullopt;
    seen[at] = *merged;
  }
  return seen;
}

bool meets(const cube& product, const std::vector<cell>& cells) {
  return std::ranges::any_of(cells, [&product](const cell& each) { return holds(product, each); });
}

/// Grows a product from one cell until it would hold where it must not.
cube grown(const cell& from, const std::vector<std::size_t>& sizes, const std::vector<cell>& forbidden) {
  cube product;
  for (std::size_t i = 0; i < sizes.size(); ++i) {
    product.emplace_back(sizes[i], false);
    product[i][from[i]] = true;
  }
  // First whole operands, then values of those that must stay.
  for (auto& values : product) {
    const auto before = std::exchange(values, std::vector<bool>(values.size(), true));
    if (meets(product, forbidden)) values = before;
  }
  for (auto& values : product) {
    for (std::size_t value = 0; value < values.size(); ++value) {
      if (values[value]) continue;
      values[value] = true;
      if (meets(product, forbidden)) values[value] = false;
    }
  }
  return product;
}

std::vector<cube> cover(const truth_table& table, const std::vector<std::size_t>& sizes) {
  std::vector<cell> wanted;
  std::vector<cell> forbidden;
  for (std::size_t number = 0; number < table.size(); ++number) {
    if (table[number] == truth::yes) wanted.push_back(cell_of(number, sizes));
    if (table[number] == truth::no) forbidden.push_back(cell_of(number, sizes));
  }
  const auto covered = [](const std::vector<cube>& products, const cell& each) {
    return std::ranges::any_of(products, [&each](const cube& product) { return holds(product, each); });
  };
  std::vector<cube> products;
  for (const cell& each : wanted) {
    if (!covered(products, each)) products.push_back(grown(each, sizes, forbidden));
  }
  for (std::size_t i = 0; i < products.size();) {
    auto without = products;
    without.erase(without.begin() + static_cast<std::ptrdiff_t>(i));
    if (std::ranges::all_of(wanted, [&](const cell& each) { return covered(without, each); })) {
      products = std::move(without);
    } else {
      ++i;
    }
  }
  // Those that ask for earlier operands come first.
  std::ranges::sort(products, {}, [](const cube& product) {
    std::vector<bool> not_asked;
    for (const auto& values : product) not_asked.push_back(std::ranges::find(values, false) == values.end());
    return std::pair{not_asked, product};
  });
  return products;
}

condition as_condition(const std::vector<cube>& products, const std::vector<operand>& operands) {
  condition made;
  for (const cube& product : products) {
    std::vector<literal> literals;
    for (std::size_t i = 0; i < product.size(); ++i) {
      if (std::ranges::find(product[i], false) != product[i].end()) literals.push_back({operands[i], product[i]});
    }
    made.products.push_back(std::move(literals));
  }
  return made;
}

// ---- Writing ----

bool same(const literal& one, const literal& other) {
  return one.about.how == other.about.how && one.about.variable == other.about.variable &&
         one.about.other == other.about.other && one.holds_for == other.holds_for;
}

struct piece {
  std::string words;
  bool is_sum;  ///< needs brackets within a product
};

piece joined(const std::vector<std::string>& parts, std::string_view between, bool is_sum) {
  std::string words;
  for (const std::string& each : parts) words += (words.empty() ? std::string{} : std::string{between}) + each;
  return {words, is_sum && parts.size() > 1};
}

piece written_literal(const literal& each, const std::vector<variable>& all, const std::vector<std::string>& names) {
  const std::string& name = names[each.about.variable];
  const bool yes = each.holds_for.back();
  switch (each.about.how) {
    case operand::looks_at::not_zero: return {name + (yes ? " !== 0" : " === 0"), false};
    case operand::looks_at::one_more_is_below:
      return {name + " + 1 " + (yes ? "< " : ">= ") + names[each.about.other], false};
    case operand::looks_at::value: break;
  }
  const variable& about = all[each.about.variable];
  if (about.kind == value_kind::yes_no) return {(yes ? "" : "!") + name, false};
  const auto many = static_cast<std::size_t>(std::ranges::count(each.holds_for, true));
  const bool by_exclusion = many > 1 && about.values.size() - many <= many;
  std::vector<std::string> parts;
  for (std::size_t i = 0; i < about.values.size(); ++i) {
    if (each.holds_for[i] != by_exclusion) parts.push_back(name + (by_exclusion ? " !== " : " === ") + about.values[i]);
  }
  return by_exclusion ? joined(parts, " && ", false) : joined(parts, " || ", true);
}

std::string written_product(const std::vector<piece>& literals) {
  std::vector<std::string> parts;
  for (const piece& each : literals) {
    parts.push_back(each.is_sum && literals.size() > 1 ? "(" + each.words + ")" : each.words);
  }
  return joined(parts, " && ", false).words;
}

}  // namespace

condition condition_of(const std::vector<variable>& all, truth_table table) {
  std::vector<std::size_t> sizes;
  for (const variable& each : all) sizes.push_back(each.values.size());
  const std::vector<std::size_t> left = what_matters(table, sizes);
  std::vector<std::size_t> place_of(all.size());
  for (std::size_t i = 0; i < left.size(); ++i) place_of[left[i]] = i;

  using enum operand::looks_at;
  std::vector<operand> by_value;
  std::vector<operand> by_comparison;
  for (const std::size_t one : left) {
    by_value.push_back({value, one, one});
    if (all[one].kind != value_kind::number) {
      by_comparison.push_back({value, one, one});
      continue;
    }
    by_comparison.push_back({not_zero, one, one});
    for (const std::size_t other : left) {
      if (other != one && all[other].kind == value_kind::number) by_comparison.push_back({one_more_is_below, one, other});
    }
  }
  std::vector<std::size_t> operand_sizes;
  for (const operand& each : by_comparison) {
    operand_sizes.push_back(each.how == value ? all[each.variable].values.size() : 2);
  }
  auto seen = seen_through(by_comparison, operand_sizes, table, sizes, place_of);
  if (!seen) return as_condition(cover(table, sizes), by_value);
  std::vector<operand> operands;
  for (const std::size_t each : what_matters(*seen, operand_sizes)) operands.push_back(by_comparison[each]);
  return as_condition(cover(*seen, operand_sizes), operands);
}

bool is_always(const condition& of) {
  return std::ranges::any_of(of.products, [](const auto& product) { return product.empty(); });
}

std::string written(const condition& of, const std::vector<variable>& all, const std::vector<std::string>& names) {
  if (of.products.empty()) return "false";
  if (is_always(of)) return "true";
  // What all products ask for is written once, before them.
  const auto& first = of.products.front();
  const auto is_common = [&of](const literal& each) {
    return std::ranges::all_of(of.products, [&each](const std::vector<literal>& product) {
      return std::ranges::any_of(product, [&each](const literal& other) { return same(each, other); });
    });
  };
  std::vector<piece> common;
  for (const literal& each : first) {
    if (is_common(each)) common.push_back(written_literal(each, all, names));
  }
  std::vector<std::string> sum;
  for (const auto& product : of.products) {
    std::vector<piece> own;
    for (const literal& each : product) {
      if (!is_common(each)) own.push_back(written_literal(each, all, names));
    }
    if (own.empty()) continue;
    const std::string words = written_product(own);
    sum.push_back(own.size() > 1 && of.products.size() > 1 ? "(" + words + ")" : words);
  }
  if (!sum.empty()) common.push_back(joined(sum, " || ", true));
  return written_product(common);
}

}  // namespace penstock::inline v1::files
