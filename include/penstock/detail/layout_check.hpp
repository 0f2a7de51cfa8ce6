// What a layout may hold: the ranges of its numbers, and the check that names the place of a fault. The
// file reader takes both, so that a rule about layouts stands in one place.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string_view>

#include "penstock/layout.hpp"

namespace penstock::inline v1::detail {

/// Both ends belong to the range. Volumes in litres, pressures in psi, times in ms, shares as they are.
struct number_range {
  double least;
  double most;
};

/// Wide enough for any transport aircraft, narrow enough to catch a slip of the unit. Our choice.
namespace ranges {
inline constexpr double longest = static_cast<double>(limits::longest_time.count());
inline constexpr number_range any_time{0, longest};
inline constexpr number_range some_time{1, longest};
inline constexpr number_range share{0.01, 0.99};
inline constexpr number_range reservoir{0.1, 1000};
inline constexpr number_range mark{0.01, 1000};
inline constexpr number_range hysteresis{0.001, 100};
inline constexpr number_range taken_up{0, 100};
inline constexpr number_range gas{0.01, 100};
inline constexpr number_range application{0.0001, 10};
inline constexpr number_range pressure{10, 10'000};
inline constexpr number_range modulus{10'000, 1'000'000};
inline constexpr number_range flow{0.1, 1000};
inline constexpr number_range leakage{0, 500};
inline constexpr number_range knee{0.5, 0.999};
inline constexpr number_range relief{1.001, 3};
inline constexpr number_range hot{20, 300};
inline constexpr number_range cooling{0, 10'000};
inline constexpr number_range displacement_ratio{0.1, 10};
inline constexpr number_range load{0, 0.9};
inline constexpr number_range friction{0, 0.5};
inline constexpr number_range starts{0, 15};
inline constexpr number_range circuits_low{1, static_cast<double>(limits::circuits)};
}  // namespace ranges

/// What is wrong with a spec, and in which entry of which list (keys as in layout files).
struct layout_problem {
  error what;
  std::string_view list;   ///< "engines", ...; empty: the layout itself
  std::size_t index = 0;   ///< entry of the list
  std::string_view field;  ///< "name", ...; empty: the entry itself
  std::size_t item = 0;    ///< entry within the field, where that is a list
};

/// Checks a whole spec and fills the plan; the first problem found, or nothing.
[[nodiscard]] PENSTOCK_API std::optional<layout_problem> check_layout(const layout_spec& spec, plan& made);

}  // namespace penstock::inline v1::detail
