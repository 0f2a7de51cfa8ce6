#include "files/quantities.hpp"

#include <array>
#include <charconv>
#include <cmath>
#include <optional>
#include <span>
#include <system_error>

#include "penstock/detail/text.hpp"
#include "penstock/event_text.hpp"
#include "penstock/layout.hpp"

namespace penstock::inline v1 {

namespace files {

namespace {

bool is_digit(char c) { return c >= '0' && c <= '9'; }

std::string_view without_blanks(std::string_view text) {
  while (!text.empty() && text.front() == ' ') text.remove_prefix(1);
  while (!text.empty() && text.back() == ' ') text.remove_suffix(1);
  return text;
}

// More digits than any number here needs; it also bounds what the conversions see.
constexpr std::size_t most_digits = 40;

struct written {
  std::string_view number;  // digits, perhaps a point and digits
  std::string_view unit;    // what follows, without blanks
};

struct measure {
  std::string_view id;       // of errors
  std::string_view what;     // "a time"
  std::string_view example;  // what would be right
  std::span<const std::string_view> units;
};

error wrong(const measure& m, const location& where, std::string_view text, const std::string& why) {
  return {std::string{m.id},
          detail::quoted(text) + " is not " + std::string{m.what} + ": " + why + "; write for example " +
              std::string{m.example},
          where};
}

// Splits a text into its number and its unit.
result<written> split(const measure& m, std::string_view text, const location& where) {
  const std::string_view bare = without_blanks(text);
  if (bare.empty()) return wrong(m, where, text, "there is nothing");
  if (bare.front() == '-') return wrong(m, where, text, "it is negative");
  if (!is_digit(bare.front())) return wrong(m, where, text, "it does not begin with a digit");
  std::size_t end = 0;
  while (end < bare.size() && is_digit(bare[end])) ++end;
  if (end + 1 < bare.size() && bare[end] == '.' && is_digit(bare[end + 1])) {
    ++end;
    while (end < bare.size() && is_digit(bare[end])) ++end;
  }
  if (end > most_digits) return wrong(m, where, text, "it has too many digits");
  const std::string_view unit = without_blanks(bare.substr(end));
  if (m.units.empty()) {
    if (!unit.empty()) return wrong(m, where, text, "it is followed by " + detail::quoted(unit));
    return written{bare.substr(0, end), unit};
  }
  if (unit.empty()) return wrong(m, where, text, "it has no unit, possible are " + detail::listed(m.units));
  if (unit.front() == ',') return wrong(m, where, text, "a number is written without a comma");
  for (const std::string_view known : m.units) {
    if (unit == known) return written{bare.substr(0, end), unit};
  }
  return wrong(m, where, text,
               "there is no unit " + detail::quoted(unit) + detail::suggestion(unit, m.units) + ", possible are " +
                   detail::listed(m.units));
}

// The number of a split text. Its digits are bounded, so it is finite.
double number_of(std::string_view digits) {
  double value = 0.0;
  std::from_chars(digits.data(), digits.data() + digits.size(), value, std::chars_format::fixed);
  return value;
}

// digits.fraction times `scale`, exactly; nothing where it does not come out whole or is beyond 10^15.
std::optional<std::int64_t> exactly(std::string_view digits, std::int64_t scale) {
  constexpr std::int64_t most = 1'000'000'000'000'000;
  const std::size_t point = std::min(digits.find('.'), digits.size());
  std::int64_t whole = 0;
  for (const char c : digits.substr(0, point)) {
    whole = whole * 10 + (c - '0');
    if (whole > most / scale) return std::nullopt;
  }
  std::string_view fraction = digits.substr(std::min(point + 1, digits.size()));
  while (!fraction.empty() && fraction.back() == '0') fraction.remove_suffix(1);
  // No scale here holds more than eight factors of ten or five, so a longer fraction is never whole.
  if (fraction.size() > 8) return std::nullopt;
  std::int64_t numerator = 0;
  std::int64_t denominator = 1;
  for (const char c : fraction) {
    numerator = numerator * 10 + (c - '0');
    denominator *= 10;
  }
  if (numerator * scale % denominator != 0) return std::nullopt;
  return whole * scale + numerator * scale / denominator;
}

constexpr auto time_units = std::to_array<std::string_view>({"ms", "s", "min", "h"});
constexpr auto volume_units = std::to_array<std::string_view>({"L", "mL", "gal", "m3", "l", "ml"});
constexpr auto pressure_units = std::to_array<std::string_view>({"psi", "bar", "MPa", "kPa", "Pa"});
constexpr auto flow_units =
    std::to_array<std::string_view>({"mL/s", "L/s", "L/min", "gal/min", "ml/s", "l/s", "l/min"});
constexpr auto temperature_units = std::to_array<std::string_view>({"degC", "degF", "K"});

constexpr measure a_time{"time-form", "a time", "12 s, 500 ms, 2 min or 1:05", time_units};
constexpr measure a_volume{"volume-form", "a volume", "20 L, 250 mL or 0.5 gal", volume_units};
constexpr measure a_pressure{"pressure-form", "a pressure", "3000 psi or 20 MPa", pressure_units};
constexpr measure a_flow{"flow-form", "a flow", "500 mL/s or 20 L/min", flow_units};
constexpr measure a_temperature{"temperature-form", "a temperature", "105 degC or 220 degF", temperature_units};
constexpr measure a_share{"number-form", "a number", "0.85", {}};
constexpr measure a_whole{"number-form", "a whole number", "3", {}};

struct in_unit {
  double number;
  std::string_view unit;
};

// Fewest digits that read back to the same quantity in this unit, or nothing.
template <class Read>
std::optional<std::string> shortest(double number, std::string_view unit, Read reads_back) {
  for (const int digits : {6, 9, 12, 15, 16, 17}) {
    std::array<char, 64> rounded{};
    const auto end = std::to_chars(rounded.data(), rounded.data() + rounded.size(), number,
                                   std::chars_format::scientific, digits - 1);
    double value = 0.0;
    std::from_chars(rounded.data(), end.ptr, value);
    std::array<char, 400> plain{};
    const auto last = std::to_chars(plain.data(), plain.data() + plain.size(), value, std::chars_format::fixed);
    std::string text{plain.data(), last.ptr};
    if (text.size() > most_digits) continue;
    text += unit;
    if (reads_back(text)) return text;
  }
  return std::nullopt;
}

// The shortest text over several units, the first of equals. One that is exact in none (only a spec that no
// check has seen can hold such a number) is written as near as six digits come.
template <class Read>
std::string shortest_of(std::span<const in_unit> units, Read reads_back) {
  std::optional<std::string> best;
  for (const in_unit& one : units) {
    auto text = shortest(one.number, one.unit, reads_back);
    if (text && (!best || text->size() < best->size())) best = std::move(text);
  }
  return best.value_or(detail::number_text(units[0].number) + std::string{units[0].unit});
}

}  // namespace

result<volume> volume_from(std::string_view text, const location& where) {
  const auto parts = split(a_volume, text, where);
  if (!parts) return parts.problem();
  const double number = number_of(parts->number);
  if (parts->unit == "L" || parts->unit == "l") return litres(number);
  if (parts->unit == "mL" || parts->unit == "ml")
    return litres(number / 1000.0);  // 50 mL is the same as 0.05 L to the last bit
  if (parts->unit == "gal") return us_gallons(number);
  return volume{number};
}

result<pressure> pressure_from(std::string_view text, const location& where) {
  const auto parts = split(a_pressure, text, where);
  if (!parts) return parts.problem();
  const double number = number_of(parts->number);
  if (parts->unit == "psi") return psi(number);
  if (parts->unit == "bar") return pressure{number * 1e5};
  if (parts->unit == "MPa") return pressure{number * 1e6};
  if (parts->unit == "kPa") return kilopascals(number);
  return pressure{number};
}

result<std::int64_t> flow_from(std::string_view text, const location& where) {
  const auto parts = split(a_flow, text, where);
  if (!parts) return parts.problem();
  const std::string_view unit = parts->unit;
  const double number = number_of(parts->number);
  // In mm3/s: whole where the unit makes it so, otherwise to the nearest.
  double found = number * 1e3;
  if (unit == "L/s" || unit == "l/s") found = number * 1e6;
  if (unit == "L/min" || unit == "l/min") found = number * 1e6 / 60.0;
  if (unit == "gal/min") found = us_gallons_per_minute(number).value * 1e9;
  found = std::floor(found + 0.5);
  if (!(found >= 1)) return wrong(a_flow, where, text, "it is no flow at all");
  if (!(found <= static_cast<double>(most_flow))) return wrong(a_flow, where, text, "it is more than 1000 L/s");
  return static_cast<std::int64_t>(found);
}

result<flow> steady_flow_from(std::string_view text, const location& where) {
  const auto parts = split(a_flow, text, where);
  if (!parts) return parts.problem();
  const std::string_view unit = parts->unit;
  const double number = number_of(parts->number);
  if (unit == "L/min" || unit == "l/min") return litres_per_minute(number);
  if (unit == "gal/min") return us_gallons_per_minute(number);
  return flow{unit == "L/s" || unit == "l/s" ? number * 1e-3 : number * 1e-6};
}

result<temperature> temperature_from(std::string_view text, const location& where) {
  const std::string_view bare = without_blanks(text);
  const bool below_zero = !bare.empty() && bare.front() == '-';
  const auto parts = split(a_temperature, below_zero ? bare.substr(1) : bare, where);
  if (!parts) return parts.problem();
  const double number = below_zero ? -number_of(parts->number) : number_of(parts->number);
  const temperature found = parts->unit == "K"      ? temperature{number}
                            : parts->unit == "degC" ? celsius(number)
                                                    : temperature{(number + 459.67) / 1.8};
  if (!(found.value > 0.0)) return wrong(a_temperature, where, text, "it is not above absolute zero");
  return found;
}

result<double> share_from(std::string_view text, const location& where) {
  const auto parts = split(a_share, text, where);
  if (!parts) return parts.problem();
  return number_of(parts->number);
}

result<std::uint32_t> whole_from(std::string_view text, const location& where) {
  const auto parts = split(a_whole, text, where);
  if (!parts) return parts.problem();
  const auto number = exactly(parts->number, 1);
  if (!number || parts->number.find('.') != std::string_view::npos)
    return wrong(a_whole, where, text, "it is not whole");
  if (*number > 1'000'000) return wrong(a_whole, where, text, "it is too large");
  return static_cast<std::uint32_t>(*number);
}

std::string text_of(milliseconds t) {
  const auto count = t.count();
  if (count != 0 && count % 60'000 == 0) return std::to_string(count / 60'000) + " min";
  if (count % 1000 == 0) return std::to_string(count / 1000) + " s";
  return std::to_string(count) + " ms";
}

std::string text_of(volume v) {
  const std::array<in_unit, 3> units{
      {{in_litres(v), " L"}, {v.value / cubic_metres_per_us_gallon, " gal"}, {v.value, " m3"}}};
  return shortest_of(units, [v](const std::string& text) {
    const auto back = volume_from(text, {});
    return back && *back == v;
  });
}

std::string text_of(pressure p) {
  const std::array<in_unit, 3> units{{{in_psi(p), " psi"}, {p.value / 1e5, " bar"}, {p.value, " Pa"}}};
  return shortest_of(units, [p](const std::string& text) {
    const auto back = pressure_from(text, {});
    return back && *back == p;
  });
}

std::string text_of(flow f) {
  const std::array<in_unit, 3> units{{{in_litres_per_minute(f), " L/min"},
                                      {f.value / (cubic_metres_per_us_gallon / 60.0), " gal/min"},
                                      {f.value * 1e3, " L/s"}}};
  return shortest_of(units, [f](const std::string& text) {
    const auto back = steady_flow_from(text, {});
    return back && *back == f;
  });
}

std::string text_of(temperature t) {
  const std::array<in_unit, 3> units{{{in_celsius(t), " degC"}, {t.value * 1.8 - 459.67, " degF"}, {t.value, " K"}}};
  return shortest_of(units, [t](const std::string& text) {
    const auto back = temperature_from(text, {});
    return back && *back == t;
  });
}

std::string flow_text(std::int64_t cubic_millimetres_a_second) {
  std::string text = std::to_string(cubic_millimetres_a_second / 1000);
  if (const auto rest = cubic_millimetres_a_second % 1000; rest != 0) {
    std::string digits = std::to_string(1000 + rest).substr(1);
    while (digits.back() == '0') digits.pop_back();
    text += '.' + digits;
  }
  return text + " mL/s";
}

std::string share_text(double share) {
  const auto same = [share](const std::string& text) {
    const auto back = share_from(text, {});
    return back && *back == share;
  };
  return shortest(share, "", same).value_or(detail::number_text(share));
}

}  // namespace files

result<milliseconds> time_from_words(std::string_view text, const location& where) {
  using namespace files;
  const std::string_view bare = without_blanks(text);
  const bool is_clock = bare.find(':') != std::string_view::npos;
  std::optional<std::int64_t> found;
  if (is_clock) {
    // Hours, minutes, seconds: all but the first with two digits below 60.
    std::int64_t total = 0;
    std::string_view rest = bare;
    if (rest.front() == '-') return wrong(a_time, where, text, "it is negative");
    const auto fits = [](std::string_view part, bool first) {
      if (part.empty() || part.size() > 5 || !std::all_of(part.begin(), part.end(), is_digit)) return false;
      return first || (part.size() == 2 && part[0] < '6');
    };
    int parts = 0;
    for (std::size_t colon = rest.find(':'); colon != std::string_view::npos; colon = rest.find(':')) {
      const std::string_view part = rest.substr(0, colon);
      ++parts;
      if (parts > 2 || !fits(part, parts == 1)) return wrong(a_time, where, text, "a clock time is M:SS or H:MM:SS");
      total = total * 60 + exactly(part, 1).value_or(0);
      rest.remove_prefix(colon + 1);
    }
    const std::size_t point = std::min(rest.find('.'), rest.size());
    const bool has_fraction = point + 1 < rest.size();
    if (!fits(rest.substr(0, point), false) || (point < rest.size() && !has_fraction) || rest.size() > most_digits ||
        !std::all_of(rest.begin() + static_cast<std::ptrdiff_t>(std::min(point + 1, rest.size())), rest.end(),
                     is_digit)) {
      return wrong(a_time, where, text, "a clock time is M:SS or H:MM:SS, seconds with two digits below 60");
    }
    found = exactly(rest, 1000);
    if (found) *found += total * 60'000;
  } else {
    const auto parts = split(a_time, text, where);
    if (!parts) return parts.problem();
    const std::int64_t scale = parts->unit == "ms"    ? 1
                               : parts->unit == "s"   ? 1000
                               : parts->unit == "min" ? 60'000
                                                      : 3'600'000;
    if (number_of(parts->number) * static_cast<double>(scale) > static_cast<double>(limits::longest_time.count())) {
      return wrong(a_time, where, text, "it is more than 24 h");
    }
    found = exactly(parts->number, scale);
  }
  if (!found) return wrong(a_time, where, text, "it is finer than a millisecond");
  if (*found > limits::longest_time.count()) return wrong(a_time, where, text, "it is more than 24 h");
  return milliseconds{*found};
}

std::string nearest(std::string_view word, const std::vector<std::string>& candidates) {
  return std::string{detail::nearest_of(word, candidates)};
}

}  // namespace penstock::inline v1
