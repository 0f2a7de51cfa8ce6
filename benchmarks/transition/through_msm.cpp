// Compiles the library's implementation once more, in a namespace of its own (`v1` becomes another word),
// with one thing exchanged: the function that runs an event through the rows of a machine. So this and
// penstock see the same inputs in the same order, and differ in Boost.MSM alone.
#include "through_msm.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <charconv>
#include <chrono>
#include <cmath>
#include <cstdint>
#include <cstring>  // memcpy
#include <limits>
#include <new>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include <boost/mpl/at.hpp>
#include <boost/mpl/size.hpp>
#include <boost/mpl/vector.hpp>
#include <boost/msm/back/state_machine.hpp>
#include <boost/msm/front/functor_row.hpp>
#include <boost/msm/front/state_machine_def.hpp>

#undef PENSTOCK_HEADER_ONLY
#define PENSTOCK_HEADER_ONLY
#define v1 v1_through_msm

#include "penstock/detail/view.hpp"

namespace penstock::inline v1::machines {

template <class Model>
using msm_machine = boost::msm::back::state_machine<Model>;

/// One machine object for each table, kept alive between events.
template <class Model>
inline msm_machine<Model> alive{};

/// Boost.MSM numbers its states by the order of the rows; the library stores modes.
template <class Model>
struct msm_ids {
  static constexpr std::size_t modes = count_of<typename Model::modes>;
  std::array<int, modes> of_mode{};
  std::array<typename Model::modes, modes> of_id{};

  template <auto Mode>
  constexpr void note() {
    constexpr int id = boost::msm::back::get_state_id<typename msm_machine<Model>::stt, in_mode<Mode>>::type::value;
    of_mode[static_cast<std::size_t>(Mode)] = id;
    of_id[static_cast<std::size_t>(id)] = Mode;
  }
  template <std::size_t... Index>
  constexpr explicit msm_ids(std::index_sequence<Index...>) {
    (note<row_at<Model, Index>::source>(), ...);
    (note<row_at<Model, Index>::target>(), ...);
  }
};
template <class Model>
inline constexpr msm_ids<Model> ids{std::make_index_sequence<row_count<Model>>{}};

/// The one place that writes into a machine object what Boost.MSM gives no function for.
template <class Model>
void restore(typename Model::modes mode) {
  const_cast<int*>(alive<Model>.current_state())[0] = ids<Model>.of_mode[static_cast<std::size_t>(mode)];
}

/// As `step`, by Boost.MSM. It does not tell which row it took, so a row that takes its event is given as
/// row 0; a refusing row has to be found by its guard.
template <class Model>
step_taken step_through_msm(typename Model::modes& mode, typename Model::memory& memory,
                            const typename Model::inputs& in, typename Model::events event) {
  step_taken taken;
  const auto refused_by = [&]<std::size_t Index>() {
    using this_row = row_at<Model, Index>;
    if constexpr (this_row::refuses) {
      if (this_row::source == mode && this_row::event == event && this_row::guard(in, memory)) {
        taken.row = static_cast<int>(Index);
      }
    }
  };
  auto handled = boost::msm::back::HANDLED_FALSE;
  const auto dispatched = [&]<std::size_t Index>() {
    constexpr auto this_event = row_at<Model, Index>::event;
    if (this_event != event) return false;
    handled = alive<Model>.process_event(on<this_event, typename Model::inputs, typename Model::memory>{&in, &memory});
    return true;
  };
  [&]<std::size_t... Index>(std::index_sequence<Index...>) {
    (refused_by.template operator()<Index>(), ...);
    restore<Model>(mode);
    static_cast<void>((dispatched.template operator()<Index>() || ...));
  }(std::make_index_sequence<row_count<Model>>{});
  taken.known = handled != boost::msm::back::HANDLED_FALSE;
  if ((handled & boost::msm::back::HANDLED_TRUE) != 0) {
    if (taken.row < 0) taken.row = 0;
    mode = ids<Model>.of_id[static_cast<std::size_t>(alive<Model>.current_state()[0])];
  }
  return taken;
}

}  // namespace penstock::inline v1::machines

#define step step_through_msm
#include "penstock/detail/transition.ipp"
#undef step

#include "penstock/detail/event.ipp"
#include "penstock/detail/layout.ipp"
#include "penstock/detail/layouts.ipp"
#include "penstock/detail/state.ipp"

namespace through_msm {

namespace {

const penstock::layout& aircraft() {
  static const penstock::layout made = *penstock::layout::from(penstock::layouts::twin_freighter());
  return made;
}
const penstock::layout& the_aircraft = aircraft();  // no guard on the timed path

}  // namespace

std::size_t state_size() { return sizeof(penstock::state); }
std::size_t event_size() { return sizeof(penstock::event); }

void begin(void* state) { new (state) penstock::state(penstock::cold_and_dark(aircraft())); }

int handle(void* state, const void* event) {
  penstock::event e;
  std::memcpy(&e, event, sizeof e);
  penstock::effects what;  // NOLINT(cppcoreguidelines-pro-type-member-init): `apply` writes what counts
  penstock::apply(the_aircraft, *static_cast<penstock::state*>(state), e, what);
  return static_cast<int>(what.refused.kind);
}

}  // namespace through_msm
