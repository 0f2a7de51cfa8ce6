// The pure heart: (layout, state, event) -> (state, effects).
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <string_view>

#include "penstock/event.hpp"
#include "penstock/layout.hpp"
#include "penstock/state.hpp"
#include "penstock/table_row.hpp"

namespace penstock::inline v1 {

/// One row that was taken.
struct row_taken {
  std::uint32_t at;         ///< ms since the beginning
  penstock::machine machine;
  std::uint8_t index;       ///< which machine of its kind
  std::uint8_t row;         ///< number of the row in its table
};

/// Why a command changed nothing, or an event could not be used.
enum class refusal_kind : std::uint8_t {
  none,
  by_row,          ///< a row of a table refuses it by name
  no_meaning,      ///< no row takes it in the present state [GEN-2]
  guard,           ///< a row knows it, but its condition does not hold [GEN-2]
  no_such_part,    ///< the layout has no such component
  wrong_part,      ///< this kind of event does not go with that kind of component
  bad_value,       ///< the value or amount is outside its range
  time,            ///< time would run backwards or beyond the limit
  too_many_faults, ///< all places for faults are taken
  no_such_fault,   ///< nothing of that kind is injected there
  not_fitted,      ///< the layout does not have this option
};

struct refusal {
  refusal_kind kind = refusal_kind::none;
  std::string_view rule;      ///< rule id
  std::string_view sentence;  ///< why, in words
};

/// What one event did.
struct effects {
  /// Most rows one event can take; the tests prove that settling stays below it [GEN-1].
  static constexpr std::size_t most_rows = 192;
  std::array<row_taken, most_rows> row;  ///< the first `rows` are valid
  std::uint16_t rows;
  std::uint8_t passes;                   ///< most ordered passes that one settling took, 0: none was due [GEN-1]
  bool cut_short;                        ///< more than `most_rows` rows: the state is right, the list is not whole
  penstock::refusal refused;

  [[nodiscard]] std::span<const row_taken> taken() const { return {row.data(), rows}; }
  [[nodiscard]] bool accepted() const { return refused.kind == refusal_kind::none; }
};

struct outcome {
  state after;
  effects what;
};

/// What the logic does with one event. Total: any event in any state of that layout gives an outcome;
/// one that cannot be used leaves the state as it was and says why. Pure, deterministic, no
/// allocation, no exceptions, no clock. Time that passes (`elapsed`) stops at every timer on its way,
/// so that splitting a span of time changes nothing. What an event leaves is settled; a state whose
/// fields were set by hand is settled by `elapsed` of 0 ms.
[[nodiscard]] PENSTOCK_API outcome transition(const layout& of, const state& before, const event& happening);

/// The same, in place, for callers that count nanoseconds. Returns what `transition` returns in `what`.
PENSTOCK_API void apply(const layout& of, state& changed, const event& happening, effects& what);

/// Milliseconds until the next timer expires or armed fault falls due, or nothing if none will.
[[nodiscard]] PENSTOCK_API std::optional<std::uint32_t> next_deadline(const layout& of, const state& now);

/// The rows of one machine's table.
[[nodiscard]] PENSTOCK_API std::span<const table_row> rows_of(machine which);

/// Words of the modes and events of a machine, by number, as in its rows.
[[nodiscard]] PENSTOCK_API std::string_view mode_word(machine which, std::uint8_t mode);
[[nodiscard]] PENSTOCK_API std::string_view event_word(machine which, std::uint8_t event);
[[nodiscard]] PENSTOCK_API std::size_t mode_count(machine which);
/// The mode a machine is in.
[[nodiscard]] PENSTOCK_API std::uint8_t mode_of(const state& now, machine which, std::uint8_t index);
/// The component a machine belongs to.
[[nodiscard]] PENSTOCK_API subject owner_of(const layout& of, machine which, std::uint8_t index);
/// Whether this layout has that machine (a demand table only for pumps of that duty).
[[nodiscard]] PENSTOCK_API bool has_machine(const layout& of, machine which, std::uint8_t index);

}  // namespace penstock::inline v1
