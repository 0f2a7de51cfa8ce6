// Quantities as people write them: a number and a unit. Reading and writing agree to the last bit.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include "penstock/config.hpp"
#include "penstock/result.hpp"
#include "penstock/units.hpp"

namespace penstock::inline v1::files {

/// "20 L", "250 mL", "0.5 gal" (US), "0.001 m3".
[[nodiscard]] PENSTOCK_API result<volume> volume_from(std::string_view text, const location& where);
/// "3000 psi", "200 bar", "20 MPa", "150 kPa", "5 Pa".
[[nodiscard]] PENSTOCK_API result<pressure> pressure_from(std::string_view text, const location& where);
/// "500 mL/s", "0.5 L/s", "20 L/min", "1 gal/min", as whole cubic millimetres a second, more than 0.
[[nodiscard]] PENSTOCK_API result<std::int64_t> flow_from(std::string_view text, const location& where);
/// The same as a flow that goes on, 0 included.
[[nodiscard]] PENSTOCK_API result<flow> steady_flow_from(std::string_view text, const location& where);
/// "105 degC", "221 degF", "378.15 K".
[[nodiscard]] PENSTOCK_API result<temperature> temperature_from(std::string_view text, const location& where);
/// A share such as "0.85": digits with a point, no unit.
[[nodiscard]] PENSTOCK_API result<double> share_from(std::string_view text, const location& where);
/// A whole number, 0 or more.
[[nodiscard]] PENSTOCK_API result<std::uint32_t> whole_from(std::string_view text, const location& where);

[[nodiscard]] PENSTOCK_API std::string text_of(milliseconds t);
[[nodiscard]] PENSTOCK_API std::string text_of(volume v);
[[nodiscard]] PENSTOCK_API std::string text_of(pressure p);
[[nodiscard]] PENSTOCK_API std::string text_of(flow f);
[[nodiscard]] PENSTOCK_API std::string text_of(temperature t);
[[nodiscard]] PENSTOCK_API std::string flow_text(std::int64_t cubic_millimetres_a_second);
[[nodiscard]] PENSTOCK_API std::string share_text(double share);

/// The largest leak that can be injected, in mm3/s: 1000 L/s. Our choice; more is a slip of the unit.
inline constexpr std::int64_t most_flow = 1'000'000'000;

/// Patterns of the quantities for JSON Schemas.
inline constexpr std::string_view time_pattern =
    R"(^([0-9]+(\.[0-9]+)? *(ms|s|min|h)|([0-9]+:)?[0-9]+:[0-5][0-9](\.[0-9]+)?)$)";
inline constexpr std::string_view volume_pattern = R"(^[0-9]+(\.[0-9]+)? *(L|l|mL|ml|gal|m3)$)";
inline constexpr std::string_view pressure_pattern = R"(^[0-9]+(\.[0-9]+)? *(psi|bar|MPa|kPa|Pa)$)";
inline constexpr std::string_view flow_pattern = R"(^[0-9]+(\.[0-9]+)? *(mL/s|L/s|L/min|gal/min|ml/s|l/s|l/min)$)";
inline constexpr std::string_view temperature_pattern = R"(^-?[0-9]+(\.[0-9]+)? *(degC|degF|K)$)";

}  // namespace penstock::inline v1::files
