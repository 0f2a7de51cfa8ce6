// Every cell of a table: for each mode, event, memory and combination of inputs, the step function and
// Boost.MSM's own back end must do the same, and at most one row may hold.
#pragma once

#include <cstdint>
#include <set>
#include <string>
#include <vector>

#include <boost/msm/back/metafunctions.hpp>
#include <boost/msm/back/state_machine.hpp>
#include <boost/msm/back/tools.hpp>
#include <gtest/gtest.h>

#include "penstock/machines/table.hpp"
#include "penstock/modes.hpp"

namespace penstock_tests {

namespace machines = penstock::machines;

/// Boost.MSM's machine, put into a mode from outside. MSM offers no such call; its state ids follow the
/// order in which rows name states, so they are looked up and never kept. The one place that does this.
template <class Model>
class msm_machine {
 public:
  explicit msm_machine(typename Model::modes mode) {
    const int id = id_of(mode);
    const_cast<int*>(machine_.current_state())[0] = id;  // no entry action is run: the states have none
  }
  /// Runs one event; the mode afterwards.
  typename Model::modes process(typename Model::events event, const typename Model::inputs& in,
                                typename Model::memory& memory) {
    [&]<std::size_t... Index>(std::index_sequence<Index...>) {
      bool done = false;
      ((!done && machines::row_at<Model, Index>::event == event
            ? (machine_.process_event(typename machines::row_at<Model, Index>::Evt{&in, &memory}), done = true)
            : false),
       ...);
    }(std::make_index_sequence<machines::row_count<Model>>{});
    return mode_of(machine_.current_state()[0]);
  }

 private:
  using back = boost::msm::back::state_machine<Model>;
  using states = typename boost::msm::back::recursive_get_transition_table<back>::type;

  static int id_of(typename Model::modes mode) {
    int id = -1;
    each_state([&](auto wanted, int number) {
      if (wanted == mode) id = number;
    });
    return id;
  }
  static typename Model::modes mode_of(int id) {
    typename Model::modes found{};
    each_state([&](auto mode, int number) {
      if (number == id) found = mode;
    });
    return found;
  }
  template <class Each>
  static void each_state(Each each) {
    [&]<std::size_t... Index>(std::index_sequence<Index...>) {
      ((each(machines::row_at<Model, Index>::source,
             boost::msm::back::get_state_id<states, machines::in_mode<machines::row_at<Model, Index>::source>>::value),
        each(machines::row_at<Model, Index>::target,
             boost::msm::back::get_state_id<states, machines::in_mode<machines::row_at<Model, Index>::target>>::value)),
       ...);
    }(std::make_index_sequence<machines::row_count<Model>>{});
  }

  back machine_;
};

/// How many rows hold for a state and event.
template <class Model>
int rows_that_hold(typename Model::modes mode, typename Model::events event, const typename Model::inputs& in,
                   const typename Model::memory& memory) {
  int holding = 0;
  [&]<std::size_t... Index>(std::index_sequence<Index...>) {
    ((holding += machines::row_at<Model, Index>::source == mode && machines::row_at<Model, Index>::event == event &&
                         machines::row_at<Model, Index>::guard(in, memory)
                     ? 1
                     : 0),
     ...);
  }(std::make_index_sequence<machines::row_count<Model>>{});
  return holding;
}

/// The modes that a table names.
template <class Model>
std::set<typename Model::modes> modes_of() {
  std::set<typename Model::modes> modes;
  [&]<std::size_t... Index>(std::index_sequence<Index...>) {
    (modes.insert({machines::row_at<Model, Index>::source, machines::row_at<Model, Index>::target}), ...);
  }(std::make_index_sequence<machines::row_count<Model>>{});
  return modes;
}

/// The check itself: all modes x events x inputs x memories.
template <class Model, std::size_t Events>
void check_every_cell(const std::array<std::string_view, Events>& event_words,
                      const std::vector<typename Model::inputs>& inputs,
                      const std::vector<typename Model::memory>& memories) {
  std::set<int> rows_taken;
  std::size_t cells = 0;
  for (const auto mode : modes_of<Model>()) {
    for (std::size_t event_number = 0; event_number < Events; ++event_number) {
      const auto event = static_cast<typename Model::events>(event_number);
      for (const auto& in : inputs) {
        for (const auto& memory : memories) {
          auto our_mode = mode;
          auto our_memory = memory;
          const auto step = machines::step<Model>(our_mode, our_memory, in, event);
          ASSERT_LE(rows_that_hold<Model>(mode, event, in, memory), 1)
              << "more than one row holds in mode " << penstock::word(mode) << " for " << event_words[event_number];
          auto their_memory = memory;
          const auto their_mode = msm_machine<Model>{mode}.process(event, in, their_memory);
          ASSERT_EQ(penstock::word(our_mode), penstock::word(their_mode))
              << "from " << penstock::word(mode) << " on " << event_words[event_number];
          ASSERT_TRUE(our_memory == their_memory)
              << "memory differs from " << penstock::word(mode) << " on " << event_words[event_number];
          if (step.row >= 0) {
            rows_taken.insert(step.row);
            ASSERT_TRUE(step.known);
          }
          ++cells;
        }
      }
    }
  }
  EXPECT_GT(cells, 0U);
  for (int row = 0; row < static_cast<int>(machines::row_count<Model>); ++row) {
    EXPECT_TRUE(rows_taken.contains(row))
        << "row " << row << " (" << machines::rows_as_data<Model>[static_cast<std::size_t>(row)].sentence << ") is never taken";
  }
  ::testing::Test::RecordProperty("cells", static_cast<int>(cells));
}

/// A level event repeated must come to rest within one step for each mode and one more [GEN-1].
template <class Model>
void check_it_settles(typename Model::events level_event, const std::vector<typename Model::inputs>& inputs,
                      const std::vector<typename Model::memory>& memories) {
  const std::size_t bound = penstock::count_of<typename Model::modes>;
  std::size_t longest = 0;
  for (const auto start : modes_of<Model>()) {
    for (const auto& in : inputs) {
      for (const auto& first : memories) {
        auto mode = start;
        auto memory = first;
        std::size_t steps = 0;
        while (machines::step<Model>(mode, memory, in, level_event).row >= 0) {
          ++steps;
          ASSERT_LE(steps, bound) << "does not settle from " << penstock::word(start);
        }
        longest = std::max(longest, steps);
      }
    }
  }
  ::testing::Test::RecordProperty("longest", static_cast<int>(longest));
}

/// All combinations of `Bits` booleans, handed to `make` as a number.
template <class Inputs, class Make>
std::vector<Inputs> combinations(unsigned count, Make make) {
  std::vector<Inputs> all;
  for (unsigned i = 0; i < count; ++i) all.push_back(make(i));
  return all;
}
inline bool bit(unsigned number, unsigned place) { return ((number >> place) & 1U) != 0; }

/// All enumerators of an enumeration.
template <class Enum>
std::vector<Enum> all_of() {
  std::vector<Enum> all;
  for (std::size_t i = 0; i < penstock::count_of<Enum>; ++i) all.push_back(static_cast<Enum>(i));
  return all;
}

}  // namespace penstock_tests
