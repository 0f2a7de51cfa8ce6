// How a transition table is written, and how one is run.
//
// A machine is a Boost.MSM front end whose rows carry the rule they come from and a sentence a reader
// understands. The same rows are run in two ways that must agree: by Boost.MSM's own back end, and by
// `step` below, which needs no machine object and tells which row it took. The tests compare the two in
// every cell.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <exception>
#include <string_view>
#include <utility>

#include <boost/mpl/at.hpp>
#include <boost/mpl/size.hpp>
#include <boost/mpl/vector.hpp>
#include <boost/msm/front/functor_row.hpp>
#include <boost/msm/front/state_machine_def.hpp>

#include "penstock/machines/text.hpp"
#include "penstock/table_row.hpp"

namespace penstock::inline v1::machines {

/// A state of a machine, as Boost.MSM wants it: a type without data.
template <auto Mode>
struct in_mode : boost::msm::front::state<> {
  static constexpr auto mode = Mode;
};

/// An event of a machine. It brings the levels to look at and the memory to change, because the machine
/// object holds neither (a copied machine would keep pointing at the old ones).
template <auto Event, class Inputs, class Memory>
struct on {
  static constexpr auto event = Event;
  const Inputs* in;
  Memory* memory;
};

/// Shim between a plain guard function and Boost.MSM.
template <auto Guard>
struct when {
  template <class Event, class Machine, class From, class To>
  bool operator()(const Event& event, Machine&, From&, To&) const {
    return Guard(*event.in, *event.memory);
  }
};

/// Shim between a plain action function and Boost.MSM.
template <auto Action>
struct then {
  template <class Event, class Machine, class From, class To>
  void operator()(const Event& event, Machine&, From&, To&) const {
    Action(*event.in, *event.memory);
  }
};

/// The types of a machine: modes, events, levels it reads, memory it keeps beside its mode; and the guard
/// and action that many rows share.
template <class Modes, class Events, class Inputs, class Memory>
struct machine_types {
  using modes = Modes;
  using events = Events;
  using inputs = Inputs;
  using memory = Memory;
  static constexpr bool always(const Inputs&, const Memory&) { return true; }
  static constexpr void nothing(const Inputs&, Memory&) {}
};

struct no_memory {
  friend constexpr bool operator==(const no_memory&, const no_memory&) = default;
};

/// One row: rules, source, event, target, guard, sentence, action.
template <class Types, text Rules, auto Source, auto Event, auto Target, auto Guard, text Sentence, auto Action,
          bool Refuses>
struct table_line : boost::msm::front::Row<in_mode<Source>, on<Event, typename Types::inputs, typename Types::memory>,
                                           in_mode<Target>, then<Action>, when<Guard>> {
  static constexpr auto source = Source;
  static constexpr auto event = Event;
  static constexpr auto target = Target;
  static constexpr auto guard = Guard;
  static constexpr auto action = Action;
  static constexpr bool refuses = Refuses;
  static constexpr std::string_view rules = Rules.view();
  static constexpr std::string_view sentence = Sentence.view();
};

/// What every model inherits: the way to write rows, and Boost.MSM's settings.
/// Both settings are needed: either alone stays three times slower.
template <class Model, class Types>
struct model_base : boost::msm::front::state_machine_def<Model>, Types {
  using no_message_queue = int;
  using no_exception_thrown = int;

  /// A row that takes its event.
  template <text Rules, auto Source, auto Event, auto Target, auto Guard, text Sentence, auto Action = &Types::nothing>
  using line = table_line<Types, Rules, Source, Event, Target, Guard, Sentence, Action, false>;
  /// A command that is refused by name: stays where it is, and says why [GEN-2].
  template <text Rules, auto Source, auto Event, auto Guard, text Sentence>
  using refusal = table_line<Types, Rules, Source, Event, Source, Guard, Sentence, &Types::nothing, true>;

  /// An event without a row is ordinary: the default would assert.
  template <class Machine, class Event>
  void no_transition(const Event&, Machine&, int) {}
  template <class Machine, class Event>
  void exception_caught(const Event&, Machine&, std::exception&) {}
};

template <class Model>
inline constexpr std::size_t row_count =
    static_cast<std::size_t>(boost::mpl::size<typename Model::transition_table>::value);

template <class Model, std::size_t Index>
using row_at = typename boost::mpl::at_c<typename Model::transition_table, static_cast<long>(Index)>::type;

/// What a machine did with one event.
struct step_taken {
  int row = -1;        ///< number of the row, or -1: no row took the event
  bool known = false;  ///< some row has this state and event, whether or not its guard held
};

/// Runs one event through the rows: the row (there is at most one; the tests prove it) whose source, event
/// and guard match. Pure: mode and memory are the caller's values.
template <class Model>
constexpr step_taken step(typename Model::modes& mode, typename Model::memory& memory,
                          const typename Model::inputs& in, typename Model::events event) {
  step_taken taken;
  const auto try_row = [&]<std::size_t Index>() {
    using this_row = row_at<Model, Index>;
    if (this_row::source != mode || this_row::event != event) return false;
    taken.known = true;
    if (!this_row::guard(in, memory)) return false;
    this_row::action(in, memory);
    mode = this_row::target;
    taken.row = static_cast<int>(Index);
    return true;
  };
  [&]<std::size_t... Index>(std::index_sequence<Index...>) {
    static_cast<void>((try_row.template operator()<Index>() || ...));
  }(std::make_index_sequence<row_count<Model>>{});
  return taken;
}

/// The rows of a machine as plain data, for explanations, coverage, diagrams and the rule table.
template <class Model>
inline constexpr auto rows_as_data = []<std::size_t... Index>(std::index_sequence<Index...>) {
  return std::array<table_row, sizeof...(Index)>{
      table_row{row_at<Model, Index>::rules, row_at<Model, Index>::sentence,
                static_cast<std::uint8_t>(row_at<Model, Index>::source),
                static_cast<std::uint8_t>(row_at<Model, Index>::event),
                static_cast<std::uint8_t>(row_at<Model, Index>::target), name_of<row_at<Model, Index>::guard>(),
                name_of<row_at<Model, Index>::action>(), row_at<Model, Index>::refuses}...};
}(std::make_index_sequence<row_count<Model>>{});

}  // namespace penstock::inline v1::machines
