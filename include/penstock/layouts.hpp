// A demo aircraft as a C++ value, for programs that read no files. Everything in it is invented.
#pragma once

#include "penstock/layout.hpp"

namespace penstock::inline v1::layouts {

/// The twin freighter with three circuits: the same aircraft as the shipped file `twin-freighter`.
[[nodiscard]] PENSTOCK_API layout_spec twin_freighter();

}  // namespace penstock::inline v1::layouts
