// Every state that the logic can come to, and what must hold in all of them. Part of penstock::explore.
//
// The logic of a whole aircraft has more states than any machine can hold. So it is searched in parts: each opens
// some events and timers and leaves everything else cold and dark. A part says why that is enough for what is judged
// in it. Within a part the search is complete: every event that is open comes in every state.
#pragma once

#include <array>
#include <cstdint>
#include <functional>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "penstock/lesson.hpp"
#include "penstock/observation.hpp"
#include "penstock/transition.hpp"

namespace penstock::inline v1 {

/// The timers of the logic. In a search a timer has not run out or it has; one that counts may run out at any
/// moment, whatever the others do, so that no order of times is left out.
enum class timer_kind : std::uint8_t {
  door_run,         ///< run limit of a cargo door [CGO-10]
  hold_off,         ///< of a circuit after service mode [CGO-7]
  circuit_low,      ///< confirmation of a low circuit [CIR-3]
  touchdown,        ///< of an electric pump with first-engine duty [AUX-2]
  start_period,     ///< of an electric pump [CGO-16]
  cooling,          ///< of an electric pump [CGO-16]
  pump_low,         ///< confirmation of an engine pump that does not deliver [EDP-3]
  engine_pump_dry,  ///< dry running that damages an engine pump [EDP-7]
  test,             ///< of a transfer unit: threshold must be reached [PTU-5]
  test_held,        ///< of a transfer unit: threshold must be held [PTU-5]
};

struct timer_place {
  timer_kind kind = timer_kind::door_run;
  std::uint8_t index = 0;  ///< of its door, circuit, pump or unit
  friend constexpr bool operator==(timer_place, timer_place) = default;
};

/// One thing that may happen in a search: an event, or a timer that runs out.
struct happening {
  event what;
  std::optional<timer_place> runs_out;  ///< then `what` has no meaning
  friend bool operator==(const happening&, const happening&) = default;
};

/// In words, as a lesson writes an event; a timer as "the hold-off of port is over".
[[nodiscard]] PENSTOCK_API std::string words_of(const layout& of, const happening& what);

/// One part of the logic of an aircraft.
struct search_part {
  std::string name;       ///< such as "test-transfer"
  std::string argument;   ///< why what is left out cannot matter for what is judged in it
  std::vector<happening> open;  ///< injected faults among them: at most one stands at a time
};
/// All parts of an aircraft.
[[nodiscard]] PENSTOCK_API std::vector<search_part> parts_of(const layout& of);

/// A property that every state or every step must have. Each function gives nothing where it holds, otherwise what is
/// wrong, in words. They are called from several threads at once.
struct search_property {
  std::string name;      ///< such as "unit-obeys"
  std::string sentence;  ///< what must hold
  /// In a state. Empty: says nothing about states.
  std::function<std::optional<std::string>(const layout&, const state&, const observation&)> in_state;
  /// From a state to the next. Empty: says nothing about steps. Not called where nothing changed.
  struct step {
    const layout& of;
    const state& before;
    const happening& what;
    const effects& did;
    const state& after;
  };
  std::function<std::optional<std::string>(const step&)> in_step;
  /// Properties of your own: what must come true in some state of a part, each by itself, before the part judges
  /// anything. A part that opens only half of what a property joins would find it to hold and prove nothing. At most 64.
  std::vector<std::function<bool(const layout&, const state&)>> needs{};
  /// What each of them says, in words.
  std::vector<std::string> needs_in_words{};
  /// What a lesson of a story to a broken property expects, besides all that is not cold and dark.
  std::vector<phrase> about{};
};
/// The properties 1 to 6 of the requirements, which states and steps can show. 7 to 10 are judged by the search:
/// `search_result::stranded`, `most_passes`, `order_differences`, `rows`.
[[nodiscard]] PENSTOCK_API const std::vector<search_property>& required_properties();
/// Properties of your own from YAML text; README.md, "Proving", says how they are written.
[[nodiscard]] PENSTOCK_API result<std::vector<search_property>> properties_from_yaml(const layout& of,
                                                                                     std::string_view text,
                                                                                     const std::string& file);

/// What may come from outside.
enum class search_world : std::uint8_t {
  any,        ///< any plant at all: every fact in every state
  plausible,  ///< facts only where the plausible plant of `plausible_facts` gives them
};
/// The plausible plant, in sentences.
[[nodiscard]] PENSTOCK_API std::span<const std::string_view> plausible_facts();

/// What the logic does with an event, in place: `apply`, or a stand-in for tests of the search itself.
using logic_function = void (*)(const layout&, state&, const event&, effects&);

struct search_progress {
  std::uint64_t states;
  std::uint64_t transitions;
  std::uint64_t bytes;      ///< kept by the search
  std::uint32_t depth;      ///< events from cold and dark
};

struct search_options {
  search_world world = search_world::any;
  std::uint64_t most_states = 50'000'000;
  std::uint64_t most_bytes = std::uint64_t{8} << 30U;  ///< the search ends before it keeps more
  unsigned threads = 1;
  /// Judged besides the ones that the search judges itself.
  std::vector<search_property> properties = required_properties();
  bool judge_way_back = true;  ///< property 7
  bool judge_orders = true;    ///< property 9; keeps four bytes for each state and event
  /// Called now and then, from the thread that called `search`. False: end here.
  std::function<bool(const search_progress&)> progress;
  logic_function logic = &apply;
};

/// The shortest way to a state: what happened since cold and dark.
using search_path = std::vector<happening>;

struct search_violation {
  std::string property;   ///< its name; "way-back", "settles" or "orders" for those the search judges itself
  std::string sentence;
  std::string found;      ///< what is wrong, in words
  search_path path;       ///< the last one makes it wrong
};

/// Two kinds of events whose order matters [property 9]: with the reason on the list, or without one.
struct order_difference {
  event_kind one = event_kind::elapsed;
  component one_about = component::aircraft;
  event_kind other = event_kind::elapsed;
  component other_about = component::aircraft;
  std::string_view reason;   ///< empty: not on the list, so property 9 is broken
  std::uint64_t states = 0;  ///< how often: states and pairs of events
  search_path path;          ///< the first such state
  happening example_one;
  happening example_other;
};

/// How a search ended.
enum class search_end : std::uint8_t { complete, most_states, most_bytes, stopped };

struct search_result {
  search_end end = search_end::complete;
  std::uint64_t states = 0;
  std::uint64_t transitions = 0;  ///< events tried
  std::uint64_t bytes = 0;
  std::uint32_t depth = 0;        ///< most events of a shortest way
  std::uint8_t most_passes = 0;   ///< property 8: ordered passes of one settling
  std::uint16_t most_rows = 0;    ///< property 8: rows of one event
  std::uint64_t pairs = 0;        ///< property 9: pairs of events compared
  std::vector<search_violation> violations;  ///< the first of each property
  /// For each property of the options: which of its needs came true in some state, bit by bit.
  std::vector<std::uint64_t> needs_met;
  std::vector<order_difference> order_differences;
  /// Property 10: rows that were taken, by machine and number.
  std::array<std::array<bool, 64>, machine_count> rows{};
};

/// Searches one part. The same result whatever the number of threads.
[[nodiscard]] PENSTOCK_API search_result search(const layout& of, const search_part& part,
                                                const search_options& options = {});

/// Calls `each` with every state that a search keeps, in the order in which they were found.
PENSTOCK_API search_result search_and_show(const layout& of, const search_part& part, const search_options& options,
                                           const std::function<void(const state&)>& each);

/// Every pair whose order matters has one of these reasons; empty: it has none. `middle` is the state behind `one`,
/// `other_middle` the one behind `other`, the ends those behind both.
struct both_orders {
  const layout& of;
  const state& from;
  const state& middle;
  const state& other_middle;
  const state& end;
  const state& other_end;
  const event& one;
  const event& other;
};
[[nodiscard]] PENSTOCK_API std::string_view reason_for_order(const both_orders& of);

/// A lesson that plays a path, with the timers waited for, and expects what was found at its end. `replays` says
/// whether the property is still broken when real times are kept.
struct path_lesson {
  lesson told;
  bool replays = false;
};
[[nodiscard]] PENSTOCK_API path_lesson lesson_of(const layout& of, const std::string& aircraft_name,
                                                 const search_violation& what,
                                                 const std::vector<search_property>& properties,
                                                 logic_function logic = &apply);

}  // namespace penstock::inline v1
