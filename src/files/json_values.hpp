// Observations, rows and causes as JSON values: one place for the member names, used by the readable
// strings of observation_json.hpp and by the command line.
#pragma once

#include "penstock/explain.hpp"
#include "penstock/observation.hpp"
#include "penstock/transition.hpp"

#include <nlohmann/json_fwd.hpp>

#include <string>
#include <string_view>
#include <vector>

namespace penstock::inline v1::files {

/// The word of a kind of refusal.
[[nodiscard]] std::string_view refusal_word(refusal_kind kind);

[[nodiscard]] nlohmann::ordered_json value_of(const layout& of, const observation& seen);
[[nodiscard]] nlohmann::ordered_json value_of(const layout& of, const row_taken& row);
[[nodiscard]] nlohmann::ordered_json value_of(const layout& of, const observed_alert& alert);
/// null when nothing was refused.
[[nodiscard]] nlohmann::ordered_json value_of(const refusal& why);
[[nodiscard]] nlohmann::ordered_json value_of(const layout& of, const explanation& why);
/// The single ids of a text that divides them by blanks.
[[nodiscard]] std::vector<std::string> ids_in(std::string_view ids);
/// One line of text. Bytes that are not UTF-8 become the replacement character, so that this never throws.
[[nodiscard]] std::string line_of(const nlohmann::ordered_json& value);

}  // namespace penstock::inline v1::files
