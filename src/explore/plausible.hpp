// The plausible plant: when a fact may come.
#pragma once

#include "penstock/detail/view.hpp"
#include "penstock/explore.hpp"

namespace penstock::inline v1::explore_detail {

/// Whether an event may come in a state. Commands always may.
[[nodiscard]] bool is_plausible(const detail::view& now, const event& what);

}  // namespace penstock::inline v1::explore_detail
