// The words an alert can have in an expectation.
#pragma once

#include <string_view>
#include <vector>

#include "penstock/observation.hpp"

namespace penstock::inline v1::files {

/// The classes of alerts, and "inhibited" for one that stands but is held back [ALR-6].
[[nodiscard]] const std::vector<std::string_view>& alert_words();
/// The word of one alert in an observation.
[[nodiscard]] std::string_view alert_word(const observation& seen, condition which, subject about);

}  // namespace penstock::inline v1::files
