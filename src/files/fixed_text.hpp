// Numbers with a fixed count of digits: the same bytes under every locale and compiler.
#pragma once

#include <cmath>
#include <cstdint>
#include <string>

namespace penstock::inline v1::files {

/// `value` with `digits` behind the point, rounded half away from zero; none: no point. Never "-0".
/// A value too large for 15 digits is written as the largest there is.
[[nodiscard]] inline std::string fixed_text(double value, int digits) {
  double scaled = value;
  for (int i = 0; i < digits; ++i) scaled *= 10.0;
  constexpr double most = 999'999'999'999'999.0;
  const auto whole = static_cast<std::int64_t>(std::round(std::fmin(std::fmax(scaled, -most), most)));
  std::string text = std::to_string(whole < 0 ? -whole : whole);
  const auto behind = static_cast<std::size_t>(digits);
  if (text.size() <= behind) text.insert(0, behind + 1 - text.size(), '0');
  if (digits > 0) text.insert(text.size() - behind, 1, '.');
  return whole < 0 ? '-' + text : text;
}

}  // namespace penstock::inline v1::files
