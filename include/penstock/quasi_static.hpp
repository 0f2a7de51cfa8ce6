// A plant for people who have none: pressure follows its sources at once, engines, doors and gear
// take their nominal times, reservoirs know where their fluid went. Pure, in whole numbers, so that
// fluid is conserved to the last cubic millimetre [LVL-2].
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string_view>

#include "penstock/event.hpp"
#include "penstock/layout.hpp"
#include "penstock/state.hpp"

namespace penstock::inline v1 {

/// The plant as one plain value. Volumes in mm3, positions in ms of their travel.
struct quasi_static_state {
  std::array<std::uint32_t, limits::engines> spool;            ///< 0: still; engine's spool_up: idle
  std::array<std::uint32_t, limits::engines> spool_part;       ///< of one such ms, in parts of run_down
  std::array<std::uint32_t, limits::engines> since_idle;       ///< ms at idle before the starter cuts out
  std::array<std::uint32_t, limits::cargo_doors> door;         ///< 0: closed; travel: open
  std::array<std::uint32_t, limits::consumers> gear;           ///< 0: down; travel: retracted
  std::array<std::uint8_t, limits::stores> applications;       ///< left
  std::array<std::int64_t, limits::circuits> leaked;           ///< mm3; negative: filled beyond the full mark
  std::array<std::uint16_t, limits::circuits> leaked_part;     ///< of one mm3, in thousandths
  std::array<bool, limits::circuits> dry;                      ///< ran dry and has not primed again [LVL-4]
  std::array<bool, limits::circuits> at_pressure;              ///< as of the last `plant_after`
  friend constexpr bool operator==(const quasi_static_state&, const quasi_static_state&) = default;
};

/// The plant that goes with a state: still and charged for cold and dark, otherwise as the state says.
[[nodiscard]] PENSTOCK_API quasi_static_state plant_for(const layout& of, const state& now);
/// The plant a while later. `dt` in ms; nothing in the state changes meanwhile. Stops for nothing:
/// ask `next_plant_change` how far it may go. The same bits in one go as in steps of 1 ms; 0 brings
/// the pressures to what the state now asks for.
[[nodiscard]] PENSTOCK_API quasi_static_state plant_after(const layout& of, const quasi_static_state& plant,
                                                          const state& now, std::uint32_t dt);
/// Milliseconds until a fact of the plant changes if the logic does not, or nothing.
[[nodiscard]] PENSTOCK_API std::optional<std::uint32_t> next_plant_change(const layout& of,
                                                                          const quasi_static_state& plant,
                                                                          const state& now);
/// The next fact that differs from what the logic believes, as an event to apply, or nothing when
/// logic and plant agree. In the order of a frame [GEN-3].
[[nodiscard]] PENSTOCK_API std::optional<event> next_fact(const layout& of, const quasi_static_state& plant,
                                                          const state& now);
/// What a command does to the plant itself: brake applications and parking brake take stored energy.
/// `before` is the state before the command; `plant_after(..., 0)` with the state after it is due next.
[[nodiscard]] PENSTOCK_API quasi_static_state plant_with(const layout& of, const quasi_static_state& plant,
                                                         const state& before, const event& accepted);

/// Where the fluid of a circuit is, in mm3. filled = reservoir + lines + actuators + stores + leaked.
struct fluid_account {
  std::int64_t filled, reservoir, lines, actuators, stores, leaked;
};
[[nodiscard]] PENSTOCK_API fluid_account fluid_of(const layout& of, const quasi_static_state& plant, unsigned circuit);
/// The reservoir content to expect in the present configuration with nothing leaked [LVL-5].
[[nodiscard]] PENSTOCK_API std::int64_t expected_reservoir(const layout& of, const quasi_static_state& plant,
                                                           unsigned circuit);

/// How much to add, or why that cannot be judged now [LVL-5].
struct servicing_answer {
  bool valid;
  std::string_view why_not;  ///< empty when valid
  std::int64_t missing;      ///< mm3 to add (negative: too much); 0 when not valid
};
[[nodiscard]] PENSTOCK_API servicing_answer servicing(const layout& of, const quasi_static_state& plant,
                                                      const state& now, unsigned circuit);

}  // namespace penstock::inline v1
