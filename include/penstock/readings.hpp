// What a gauge would show: the quantities of the plant by component and name, in the units of the trade.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string_view>

#include "penstock/modes.hpp"
#include "penstock/simulation.hpp"

namespace penstock::inline v1 {

/// Which quantity of a component.
// g++ 12 says that a scoped enumerator shadows the type of the same name; it cannot.
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wshadow"
enum class reading_kind : std::uint8_t { pressure, quantity, temperature, flow, speed, position };
#pragma GCC diagnostic pop

namespace detail {
template <>
struct words_of<reading_kind> {
  static constexpr auto list = std::to_array<std::string_view>(
      {"pressure", "quantity", "temperature", "flow", "speed", "position"});
};
}  // namespace detail

/// A quantity that components of a kind can have.
struct reading_form {
  component kind;
  reading_kind what;
  std::string_view unit;      ///< "psi", "L", "degC", "L/min" or "%"
  std::string_view sentence;  ///< what it is
};

/// Every quantity there is, in order of components.
[[nodiscard]] PENSTOCK_API std::span<const reading_form> reading_forms();
/// The unit of a quantity; empty where no component has it.
[[nodiscard]] PENSTOCK_API std::string_view unit_of(reading_kind what);
/// The quantity now, in its unit; nothing where the component is not there, or the plant does not know it.
[[nodiscard]] PENSTOCK_API std::optional<double> reading(const simulation& of, subject about, reading_kind what);

}  // namespace penstock::inline v1
