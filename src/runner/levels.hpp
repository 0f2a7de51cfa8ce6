// The levels of the fluid plant in words.
#pragma once

#include "penstock/simulation.hpp"

#include <string>

namespace penstock::runner {

/// What each reservoir holds, what to expect, and what to add; lines with their ends. Only with the fluid plant.
[[nodiscard]] std::string levels_in_words(const simulation& now);

}  // namespace penstock::runner
