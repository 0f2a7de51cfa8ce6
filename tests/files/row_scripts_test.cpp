// What guards and actions do, found by trying them: it must be what they do, and fit to be read.
#include "files/row_scripts.hpp"
#include "files/machine_models.hpp"
#include "penstock/transition.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <random>
#include <string>
#include <vector>

namespace {

using namespace penstock;
using files::change;
using files::operand;
using ::testing::ElementsAre;
using ::testing::SizeIs;

// ---- Conditions and changes are read here by other code than the code that writes them ----

std::size_t seen(const operand& by, const std::vector<std::size_t>& values) {
  switch (by.how) {
    case operand::looks_at::value: return values[by.variable];
    case operand::looks_at::not_zero: return values[by.variable] != 0 ? 1 : 0;
    case operand::looks_at::one_more_is_below: return values[by.variable] + 1 < values[by.other] ? 1 : 0;
  }
  return 0;
}

bool holds(const files::condition& of, const std::vector<std::size_t>& values) {
  return std::ranges::any_of(of.products, [&values](const auto& product) {
    return std::ranges::all_of(product, [&values](const files::literal& each) { return each.holds_for[seen(each.about, values)]; });
  });
}

std::size_t taken(const change& by, const std::vector<std::size_t>& values) {
  switch (by.how) {
    case change::takes::constant: return by.from;
    case change::takes::copy: return values[by.from];
    case change::takes::one_more: return values[by.variable] + 1;
    case change::takes::by_case: break;
  }
  for (const auto& [when, value] : by.cases) {
    if (&when == &by.cases.back().first || holds(when, values)) return value;
  }
  return 0;
}

template <class Model>
std::vector<std::size_t> values_in(const typename Model::inputs& in, const typename Model::memory& memory) {
  std::vector<std::size_t> values;
  for (std::size_t i = 0; i < files::members<typename Model::inputs>; ++i) values.push_back(files::member_value(in, i));
  for (std::size_t i = 0; i < files::members<typename Model::memory>; ++i) values.push_back(files::member_value(memory, i));
  return values;
}

/// In this cell the first row that holds is the one `step` takes, and it leaves the same memory.
template <class Model>
void expect_same(const files::machine_script& script, typename Model::modes before, typename Model::events event,
                 const typename Model::inputs& in, const typename Model::memory& memory) {
  const auto values = values_in<Model>(in, memory);
  int row = -1;
  for (std::size_t i = 0; i < script.rows.size() && row < 0; ++i) {
    const table_row& data = machines::rows_as_data<Model>[i];
    if (data.source != static_cast<std::uint8_t>(before) || data.event != static_cast<std::uint8_t>(event)) continue;
    if (holds(script.rows[i].guard, values)) row = static_cast<int>(i);
  }
  auto mode = before;
  auto left = memory;
  ASSERT_EQ(machines::step<Model>(mode, left, in, event).row, row);
  auto expected = values;
  if (row >= 0) {
    for (const change& each : script.rows[static_cast<std::size_t>(row)].changes) {
      expected[each.variable] = taken(each, values);
    }
  }
  ASSERT_EQ(values_in<Model>(in, left), expected) << "row " << row;
}

class RowScript : public ::testing::TestWithParam<std::size_t> {};

TEST_P(RowScript, TakesTheSameRowsAndLeavesTheSameMemoryAsTheTable) {
  const auto which = static_cast<machine>(GetParam());
  const files::machine_script& script = files::script_of(which);
  ASSERT_EQ(script.rows.size(), rows_of(which).size());
  files::with_model(which, [&]<class Model>() {
    std::mt19937 random{1};
    for (int i = 0; i < 20'000; ++i) {
      typename Model::inputs in{};
      typename Model::memory memory{};
      for (std::size_t member = 0; member < script.variables.size(); ++member) {
        const std::size_t value = random() % script.variables[member].values.size();
        if (member < script.inputs) {
          files::set_member(in, member, value);
        } else {
          files::set_member(memory, member - script.inputs, value);
        }
      }
      const table_row& row = rows_of(which)[random() % rows_of(which).size()];
      ASSERT_NO_FATAL_FAILURE(expect_same<Model>(script, static_cast<typename Model::modes>(row.source),
                                                 static_cast<typename Model::events>(row.event), in, memory))
          << row.sentence;
    }
  });
}

// A rule of the present tables that needed more would need another form of comparison in condition.cpp.
TEST_P(RowScript, CanBeRead) {
  const files::machine_script& script = files::script_of(static_cast<machine>(GetParam()));
  std::vector<std::string> names;
  for (const files::variable& each : script.variables) names.push_back(each.name);
  for (const files::row_script& row : script.rows) {
    EXPECT_LE(row.guard.products.size(), 3U) << written(row.guard, script.variables, names);
    for (const change& each : row.changes) EXPECT_NE(each.how, change::takes::by_case) << names[each.variable];
  }
}

INSTANTIATE_TEST_SUITE_P(OfEachMachine, RowScript, ::testing::Range(std::size_t{0}, machine_count), [](const auto& each) {
  std::string name{word(static_cast<machine>(each.param))};
  std::erase(name, '-');
  return name;
});

std::string guard_of(machine which, std::string_view name) {
  const files::machine_script& script = files::script_of(which);
  std::vector<std::string> names;
  for (const files::variable& each : script.variables) names.push_back(each.name);
  const auto rows = rows_of(which);
  const auto row = std::ranges::find(rows, name, &table_row::guard);
  return written(script.rows[static_cast<std::size_t>(row - rows.begin())].guard, script.variables, names);
}

TEST(Guard, IsWrittenWithTheFewestWords) {
  EXPECT_EQ(guard_of(machine::engine, "always"), "true");
  EXPECT_EQ(guard_of(machine::engine, "spool_at_idle"), "spool === 'idle'");
  EXPECT_EQ(guard_of(machine::engine, "spool_turns"), "spool !== 'zero'");
  EXPECT_EQ(guard_of(machine::transfer_unit, "inhibited_otherwise"), "reason !== 'none' && reason !== 'switched-off'");
  EXPECT_EQ(guard_of(machine::ram_air_pump, "needed"), "in_flight && fast_enough && (engines_out || main_ac_lost)");
  EXPECT_EQ(guard_of(machine::service, "crew_takes_over"), "crew_on && !in_flight && (!door_runs_pump || other_source)");
  EXPECT_EQ(guard_of(machine::start_limiter, "last_start"), "allowed !== 0 && starts + 1 >= allowed");
}

TEST(Members, HaveTheirNamesAndValues) {
  namespace unit = machines::transfer_unit;
  std::vector<std::string> names;
  for (const files::variable& each : files::variables_of<unit::model>()) names.push_back(each.name);
  EXPECT_THAT(names, ElementsAre("reason", "difference", "own_a", "own_b", "one_way", "test_active", "test_from_b",
                                 "crew_pump_alone_a", "crew_pump_alone_b"));
  unit::inputs in{};
  files::set_member(in, 1, static_cast<std::size_t>(pressure_difference::b_exceeds));
  files::set_member(in, 3, 1);
  EXPECT_EQ(in.difference, pressure_difference::b_exceeds);
  EXPECT_TRUE(in.own_b);
  EXPECT_FALSE(in.own_a);
  EXPECT_EQ(files::member_value(in, 3), 1U);

  namespace engine = machines::engine;
  const auto variables = files::variables_of<engine::model>();
  ASSERT_THAT(variables, SizeIs(2));
  EXPECT_EQ(variables[0].values[static_cast<std::size_t>(spool_band::idle)], "'idle'");
  EXPECT_EQ(variables[1].name, "starter_is_out");
  EXPECT_THAT(variables[1].values, ElementsAre("false", "true"));
}

// ---- What no table of penstock has yet: an invented one ----

namespace odd {

enum class happens : std::uint8_t { evaluate };
struct inputs {
  bool one;
  bool other;
  std::uint8_t many;
};
struct memory {
  selection_mode chosen;
};
using types = machines::machine_types<selection_mode, happens, inputs, memory>;

constexpr bool differ(const inputs& in, const memory&) { return in.one != in.other; }
constexpr bool three_or_seven(const inputs& in, const memory&) { return in.many == 3 || in.many == 7; }
constexpr bool never(const inputs&, const memory&) { return false; }
constexpr void choose(const inputs& in, memory& m) {
  m.chosen = in.one && in.other ? selection_mode::selected : selection_mode::not_selected;
}
constexpr void turn(const inputs&, memory& m) {
  m.chosen = m.chosen == selection_mode::selected ? selection_mode::not_selected : selection_mode::selected;
}

struct model : machines::model_base<model, types> {
  using enum selection_mode;
  using enum happens;
  using initial_state = machines::in_mode<not_selected>;
  // clang-format off
  using transition_table = boost::mpl::vector<
    line<"GEN-2", not_selected, evaluate, selected,     differ,         "its inputs differ", turn>,
    line<"GEN-2", not_selected, evaluate, not_selected, three_or_seven, "these two alone", choose>,
    line<"GEN-2", not_selected, evaluate, selected,     always,         "all else">,
    line<"GEN-2", selected,     evaluate, selected,     never,          "nothing at all">>;
  // clang-format on
};

}  // namespace odd

TEST(Guard, IsWrittenWhateverItAsksFor) {
  const auto script = files::script_of_table<odd::model>();
  const std::vector<std::string> names{"one", "other", "many", "chosen"};
  EXPECT_EQ(written(script.rows[0].guard, script.variables, names), "(one && !other) || (!one && other)");
  EXPECT_EQ(written(script.rows[1].guard, script.variables, names), "many === 3 || many === 7");
  EXPECT_EQ(written(script.rows[2].guard, script.variables, names), "true");
  EXPECT_EQ(written(script.rows[3].guard, script.variables, names), "false");
}

TEST(Action, IsWrittenByCaseWhereNothingSimplerDoes) {
  const auto script = files::script_of_table<odd::model>();
  const std::vector<std::string> names{"one", "other", "many", "chosen"};
  ASSERT_THAT(script.rows[0].changes, SizeIs(1));
  EXPECT_EQ(written(script.rows[0].changes[0], script.variables, names),
            "(chosen === 'selected') ? 'not-selected' : 'selected'");
  ASSERT_THAT(script.rows[1].changes, SizeIs(1));
  EXPECT_EQ(written(script.rows[1].changes[0], script.variables, names),
            "(!one || !other) ? 'not-selected' : 'selected'");
}

// Here several rows hold at once, as the tables of penstock never do: the first one counts, for `step` and for
// an interpreter, which reads transitions from above.
TEST(RowScripts, CountFromAboveWhereSeveralHold) {
  const auto script = files::script_of_table<odd::model>();
  files::each_cell<odd::model>(script.variables, [&script](const odd::inputs& in, const odd::memory& memory) {
    for (const auto mode : {selection_mode::not_selected, selection_mode::selected}) {
      ASSERT_NO_FATAL_FAILURE(expect_same<odd::model>(script, mode, odd::happens::evaluate, in, memory));
    }
  });
}

}  // namespace
