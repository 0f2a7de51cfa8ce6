// What a person asks for with "why".
#pragma once

#include "penstock/explain.hpp"

#include <string>

namespace penstock::runner {

/// Why it is as it is: a component, "aircraft", "steering", "alert:CONDITION" or "alert:CONDITION:COMPONENT".
/// Throws `failure` (wrong use) with a suggestion when there is no such thing.
[[nodiscard]] explanation explained(const layout& of, const state& now, const std::string& about);

}  // namespace penstock::runner
