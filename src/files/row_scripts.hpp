// Guards and actions of a table as data that can be written down. They are C++ functions that nothing can look
// into, but they are pure and what they read is finite: each is run with every combination of inputs and memory,
// and what it did is written as a condition or as assignments. So a rule still stands in one place only.
#pragma once

#include <algorithm>
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <type_traits>
#include <utility>
#include <vector>

#include <boost/pfr/core.hpp>
#include <boost/pfr/tuple_size.hpp>

#include "files/condition.hpp"
#include "penstock/machines/table.hpp"
#include "penstock/modes.hpp"

namespace penstock::inline v1::files {

/// What a row does to one variable of the memory.
struct change {
  enum class takes : std::uint8_t { constant, copy, one_more, by_case };
  std::size_t variable;
  takes how;
  std::size_t from = 0;  ///< the value, or the variable it is copied from
  /// Values by condition, of which the last stands for all else.
  std::vector<std::pair<condition, std::size_t>> cases{};
};

struct row_script {
  condition guard;
  std::vector<change> changes;
};

struct machine_script {
  std::vector<variable> variables;  ///< the inputs, then the memory
  std::size_t inputs;               ///< how many of them are inputs
  std::vector<row_script> rows;     ///< in the order of the table
};

/// In ECMAScript: what the variable becomes.
[[nodiscard]] std::string written(const change& of, const std::vector<variable>& all,
                                  const std::vector<std::string>& names);

// ---- Members of a structure, by number ----

template <class Structure>
inline constexpr Structure sample{};

/// The name of a member, as it stands in the source.
template <auto Pointer>
[[nodiscard]] consteval std::string_view member_name() {
  // g++:   "... [with auto Pointer = (& sample<inputs>.inputs::spool); ..."
  // clang: "... [Pointer = &sample.spool]"
  std::string_view words{__PRETTY_FUNCTION__};
  words.remove_prefix(words.find("Pointer = ") + 10);
  words = words.substr(0, words.find_first_of(");]"));
  return words.substr(words.find_last_of(".:") + 1);
}

template <class Structure>
inline constexpr std::size_t members = boost::pfr::tuple_size_v<Structure>;

/// Calls `use` with each member, from the first, until it answers yes.
template <class Structure, class Use>
void each_member(Structure& of, Use use) {
  [&]<std::size_t... Index>(std::index_sequence<Index...>) {
    static_cast<void>((use(Index, boost::pfr::get<Index>(of)) || ...));
  }(std::make_index_sequence<members<std::remove_const_t<Structure>>>{});
}

template <class Member>
[[nodiscard]] std::vector<std::string> values_of() {
  std::vector<std::string> all;
  if constexpr (std::is_same_v<Member, bool>) {
    all = {"false", "true"};
  } else if constexpr (std::is_enum_v<Member>) {
    for (std::size_t i = 0; i < count_of<Member>; ++i) {
      all.push_back("'" + std::string{word(static_cast<Member>(i))} + "'");
    }
  } else {
    static_assert(std::is_same_v<Member, std::uint8_t>, "inputs and memory of a table are small and finite");
    for (int i = 0; i < 256; ++i) all.push_back(std::to_string(i));
  }
  return all;
}

template <class Structure>
void add_variables(std::vector<variable>& all) {
  [&]<std::size_t... Index>(std::index_sequence<Index...>) {
    [[maybe_unused]] const auto add = [&]<class Member>(std::string_view name, const Member&) {
      const value_kind kind = std::is_same_v<Member, bool> ? value_kind::yes_no
                              : std::is_enum_v<Member>     ? value_kind::choice
                                                           : value_kind::number;
      all.push_back({std::string{name}, kind, values_of<Member>()});
    };
    (add(member_name<&boost::pfr::get<Index>(sample<Structure>)>(), boost::pfr::get<Index>(sample<Structure>)), ...);
  }(std::make_index_sequence<members<Structure>>{});
}

template <class Structure>
void set_member(Structure& of, std::size_t which, std::size_t value) {
  each_member(of, [which, value]<class Member>(std::size_t here, Member& member) {
    if (here == which) member = static_cast<Member>(value);
    return here == which;
  });
}

template <class Structure>
[[nodiscard]] std::size_t member_value(const Structure& of, std::size_t which) {
  std::size_t value = 0;
  each_member(of, [which, &value](std::size_t here, const auto& member) {
    if (here == which) value = static_cast<std::size_t>(member);
    return here == which;
  });
  return value;
}

/// The variables of a machine: inputs, then memory.
template <class Model>
[[nodiscard]] std::vector<variable> variables_of() {
  std::vector<variable> all;
  add_variables<typename Model::inputs>(all);
  add_variables<typename Model::memory>(all);
  return all;
}

// ---- Trying everything ----

/// Calls `use(inputs, memory)` for every combination, in the order of a truth table.
template <class Model, class Use>
void each_cell(const std::vector<variable>& all, Use use) {
  constexpr std::size_t inputs = members<typename Model::inputs>;
  typename Model::inputs in{};
  typename Model::memory memory{};
  std::vector<std::size_t> digits(all.size(), 0);
  for (bool more = true; more;) {
    use(std::as_const(in), std::as_const(memory));
    more = false;
    for (std::size_t i = all.size(); i-- > 0 && !more;) {
      more = ++digits[i] < all[i].values.size();
      if (!more) digits[i] = 0;
      if (i < inputs) {
        set_member(in, i, digits[i]);
      } else {
        set_member(memory, i - inputs, digits[i]);
      }
    }
  }
}

template <class Model>
[[nodiscard]] truth_table table_of(const std::vector<variable>& all,
                                   bool (*guard)(const typename Model::inputs&, const typename Model::memory&)) {
  truth_table table;
  each_cell<Model>(all, [&](const auto& in, const auto& memory) {
    table.push_back(guard(in, memory) ? truth::yes : truth::no);
  });
  return table;
}

/// What an action does to each variable of the memory wherever its guard holds.
template <class Model>
[[nodiscard]] std::vector<change> changes_of(const std::vector<variable>& all, const truth_table& guard,
                                             void (*action)(const typename Model::inputs&, typename Model::memory&)) {
  constexpr std::size_t inputs = members<typename Model::inputs>;
  constexpr std::size_t kept = members<typename Model::memory>;
  // Calls `use(cell, variable, value before, value after, values of all variables before)`.
  const auto each_result = [&](auto use) {
    std::size_t cell = 0;
    std::vector<std::size_t> before(all.size());
    each_cell<Model>(all, [&](const auto& in, const auto& memory) {
      const std::size_t here = cell++;
      if (guard[here] != truth::yes) return;
      for (std::size_t i = 0; i < inputs; ++i) before[i] = member_value(in, i);
      for (std::size_t i = 0; i < kept; ++i) before[inputs + i] = member_value(memory, i);
      auto after = memory;
      action(in, after);
      for (std::size_t i = 0; i < kept; ++i) use(here, inputs + i, member_value(after, i), std::as_const(before));
    });
  };

  // What each variable could have taken; what one cell contradicts is crossed out.
  struct guesses {
    bool unchanged = true;
    bool one_more = true;
    std::optional<std::size_t> constant{};
    bool always_that = true;
    std::vector<bool> copy_of{};
  };
  std::vector<guesses> could(all.size());
  for (std::size_t i = inputs; i < all.size(); ++i) {
    could[i].one_more = all[i].kind == value_kind::number;
    for (const variable& each : all) could[i].copy_of.push_back(each.values == all[i].values);
  }
  each_result([&](std::size_t, std::size_t which, std::size_t after, const std::vector<std::size_t>& before) {
    guesses& guess = could[which];
    guess.unchanged = guess.unchanged && after == before[which];
    guess.one_more = guess.one_more && after == before[which] + 1;
    guess.always_that = guess.always_that && guess.constant.value_or(after) == after;
    guess.constant = after;
    for (std::size_t i = 0; i < all.size(); ++i) guess.copy_of[i] = guess.copy_of[i] && after == before[i];
  });

  std::vector<change> made;
  for (std::size_t i = inputs; i < all.size(); ++i) {
    const guesses& guess = could[i];
    if (guess.unchanged) continue;
    if (guess.always_that) {
      made.push_back({i, change::takes::constant, *guess.constant});
    } else if (const auto copy = std::ranges::find(guess.copy_of, true); copy != guess.copy_of.end()) {
      made.push_back({i, change::takes::copy, static_cast<std::size_t>(copy - guess.copy_of.begin())});
    } else if (guess.one_more) {
      made.push_back({i, change::takes::one_more});
    } else {
      change by_case{i, change::takes::by_case};
      std::vector<truth_table> tables(all[i].values.size(), truth_table(guard.size(), truth::free));
      std::vector<bool> taken(all[i].values.size(), false);
      each_result([&](std::size_t cell, std::size_t which, std::size_t after, const std::vector<std::size_t>&) {
        if (which != i) return;
        for (std::size_t value = 0; value < tables.size(); ++value) {
          tables[value][cell] = value == after ? truth::yes : truth::no;
        }
        taken[after] = true;
      });
      for (std::size_t value = 0; value < tables.size(); ++value) {
        if (taken[value]) by_case.cases.emplace_back(condition_of(all, std::move(tables[value])), value);
      }
      made.push_back(std::move(by_case));
    }
  }
  return made;
}

/// The script of a table.
template <class Model>
[[nodiscard]] machine_script script_of_table() {
  machine_script made{variables_of<Model>(), members<typename Model::inputs>, {}};
  struct tried {
    bool (*guard)(const typename Model::inputs&, const typename Model::memory&);
    truth_table table;
    condition found;
  };
  std::vector<tried> known;  // many rows share a guard
  [&]<std::size_t... Index>(std::index_sequence<Index...>) {
    const auto add = [&]<class Row>(std::type_identity<Row>) {
      auto here = std::ranges::find(known, Row::guard, &tried::guard);
      if (here == known.end()) {
        truth_table table = table_of<Model>(made.variables, Row::guard);
        condition found = condition_of(made.variables, table);
        here = known.insert(known.end(), {Row::guard, std::move(table), std::move(found)});
      }
      row_script script{here->found, {}};
      if (Row::action != &Model::nothing) script.changes = changes_of<Model>(made.variables, here->table, Row::action);
      made.rows.push_back(std::move(script));
    };
    (add(std::type_identity<machines::row_at<Model, Index>>{}), ...);
  }(std::make_index_sequence<machines::row_count<Model>>{});
  return made;
}

/// The script of a machine's table; it is found once.
[[nodiscard]] const machine_script& script_of(machine which);

}  // namespace penstock::inline v1::files
