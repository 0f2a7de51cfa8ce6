// The trace as text, as JSON and as a page.
#pragma once

#include "runner/trace.hpp"

#include <nlohmann/json_fwd.hpp>

#include <string>

namespace penstock::runner {

/// Counts, and the gaps.
[[nodiscard]] std::string trace_in_words(const trace_sources& from);
/// As the schema "trace" says.
[[nodiscard]] nlohmann::ordered_json trace_as_json(const trace_sources& from);
/// One HTML file to read and to print.
[[nodiscard]] std::string trace_as_page(const trace_sources& from);

}  // namespace penstock::runner
