// Observations, effects and explanations as one line of JSON each. Part of penstock::files.
#pragma once

#include <string>

#include "penstock/explain.hpp"
#include "penstock/observation.hpp"
#include "penstock/transition.hpp"

namespace penstock::inline v1 {

/// A complete observation as one line of JSON, components by name (schema `answer`, member `observation`).
[[nodiscard]] PENSTOCK_API std::string json_of(const layout& of, const observation& seen);
/// What an event did: the rows taken (time, component, machine, rules, from, to, sentence), and the refusal.
[[nodiscard]] PENSTOCK_API std::string json_of(const layout& of, const effects& what);
[[nodiscard]] PENSTOCK_API std::string json_of(const layout& of, const explanation& why);

}  // namespace penstock::inline v1
