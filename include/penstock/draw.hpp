// Diagrams of the machines, made from their tables and from nothing else. Part of penstock::files.
#pragma once

#include <optional>
#include <string>

#include "penstock/layout.hpp"
#include "penstock/transition.hpp"

namespace penstock::inline v1 {

enum class diagram : std::uint8_t { scxml, dot, mermaid };

/// The diagram of one machine, or of every machine the layout has (SCXML: a parallel of all of them).
[[nodiscard]] PENSTOCK_API std::string drawn(const layout& of, diagram form, std::optional<machine> only = {});

}  // namespace penstock::inline v1
