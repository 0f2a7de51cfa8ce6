// Diagrams of the machines, made from their tables and from nothing else. Part of penstock::files.
#pragma once

#include <optional>
#include <string>

#include "penstock/layout.hpp"
#include "penstock/transition.hpp"

namespace penstock::inline v1 {

enum class diagram : std::uint8_t { scxml, dot, mermaid };

/// The diagram of one machine, or of every machine the layout has (SCXML: a parallel of all of them).
///
/// SCXML can be run as it is, in its ECMAScript data model. An event of a machine carries in its data a value for
/// each input; `inputs` lists the values there are. What the machine remembers is in `memory`. With every machine of
/// an aircraft, states and events begin with component and machine (`engine-1.engine.start`), inputs are in
/// `engine_inputs`, memory in `engine_1_engine`. A command that is refused is logged with the label `refused`.
[[nodiscard]] PENSTOCK_API std::string drawn(const layout& of, diagram form, std::optional<machine> only = {});

}  // namespace penstock::inline v1
