// Property 7: from every state there is a way back to cold and dark.
#pragma once

#include <vector>

#include "penstock/explore.hpp"

namespace penstock::inline v1::explore_detail {

/// What crews, mechanics and time do to bring any state back to cold and dark. The same for all states: commands that
/// have no meaning in one are refused there and do no harm.
[[nodiscard]] std::vector<event> events_to_cold_and_dark(const layout& of);

/// Takes off what a rule lets stand: the record of the last transfer test [PTU-5, PTU-13], and that the starter of the
/// last start was out, which the next start forgets and nothing reads before [ENG-8].
void forget_records(const layout& of, state& now);

}  // namespace penstock::inline v1::explore_detail
