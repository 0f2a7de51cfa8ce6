// The only mutable object, and the only place that knows the order of a frame.
#pragma once

#include <cstdint>
#include <functional>

#include "penstock/plant.hpp"
#include "penstock/quasi_static.hpp"
#include "penstock/transition.hpp"

namespace penstock::inline v1 {

enum class plant_kind : std::uint8_t {
  none,          ///< the caller supplies every fact as an event
  quasi_static,  ///< see quasi_static.hpp
  fluid,         ///< see plant.hpp
};

namespace detail {
template <>
struct words_of<plant_kind> {
  static constexpr auto list = std::to_array<std::string_view>({"none", "quasi-static", "fluid"});
};
}  // namespace detail

/// One aircraft going through time.
///
///     simulation s{aircraft, plant_kind::quasi_static};
///     s.apply(events::external_power(true));
///     s.advance(std::chrono::seconds{12});
class simulation {
 public:
  /// One step inside `apply` or `advance`: what happened, from which state to which.
  struct frame {
    const event& happening;
    const state& before;
    const state& after;
    const effects& what;
    bool from_plant;   ///< a fact of the plant or the passing of time, not the caller's event
  };
  using watcher = std::function<void(const frame&)>;

  /// Begins cold and dark. The layout must outlive the simulation.
  PENSTOCK_API explicit simulation(const layout& of, plant_kind plant);
  /// Begins at a state, e.g. one from `repositioned`.
  PENSTOCK_API simulation(const layout& of, plant_kind plant, const state& from);

  /// One event now, then the plant's answers to it. The effects are those of the event itself. With a plant, a
  /// fact that it works out itself (spool, travel, pressure, priority, level, difference, stored; the full one also
  /// fluid, overspeed) is refused and changes nothing. `elapsed` goes through `advance`.
  PENSTOCK_API effects apply(const event& happening);
  /// Time goes on, stopping wherever the logic or the plant has something to do. The effects list the
  /// rows of the whole span, those of the plant's facts included. Negative spans and spans beyond the
  /// limit are refused and change nothing.
  PENSTOCK_API effects advance(milliseconds span);
  /// Called from now on for each event of the caller that reaches the logic, each fact of the plant, and each passing of time
  /// that changes more than clocks; an empty function ends that.
  PENSTOCK_API void watch(watcher each_step);

  [[nodiscard]] const layout& aircraft() const { return *layout_; }
  [[nodiscard]] const state& now() const { return state_; }
  [[nodiscard]] const quasi_static_state& plant() const { return plant_; }
  /// The full plant. It goes in frames of `plant_frame`, and before each event, so that the same events give the
  /// same bits however `advance` is called; between two frames this is the plant of the last one.
  [[nodiscard]] const plant_state& fluid() const { return fluid_; }
  [[nodiscard]] plant_kind kind() const { return kind_; }

  static constexpr milliseconds plant_frame{10};

 private:
  effects step(const event& happening, bool from_plant);
  void follow_plant(effects* whole);  ///< adds the rows to `whole` unless null
  void renew_commands();
  void bring_fluid_to(std::uint32_t time);

  const layout* layout_;
  plant_kind kind_;
  state state_;
  quasi_static_state plant_;
  plant_state fluid_;
  plant_commands commands_;             ///< of `state_`
  std::uint32_t fluid_time_ = 0;        ///< ms; `fluid_` is of then
  bool fluid_rests_ = false;            ///< the last frame changed nothing, so that the next would not either
  watcher watcher_;
};

}  // namespace penstock::inline v1
