// The JSON Schemas of everything that goes in and out, made from the vocabulary of the library, so that they
// cannot drift from it. The files in src/schemas hold the same text; a test compares the two.
#pragma once

#include <string>

#include "penstock/config.hpp"

namespace penstock::inline v1::files {

[[nodiscard]] PENSTOCK_API std::string layout_schema();
[[nodiscard]] PENSTOCK_API std::string lesson_schema();
[[nodiscard]] PENSTOCK_API std::string event_schema();
[[nodiscard]] PENSTOCK_API std::string answer_schema();
/// What `penstock rules --trace` writes.
[[nodiscard]] PENSTOCK_API std::string trace_schema();

}  // namespace penstock::inline v1::files
