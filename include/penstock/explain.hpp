// Why is this so? The chain of causes behind anything that can be observed.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "penstock/layout.hpp"
#include "penstock/observation.hpp"
#include "penstock/state.hpp"

namespace penstock::inline v1 {

/// One link of the chain: this is so, by that rule, since then.
struct cause {
  std::uint8_t depth;          ///< 0: the answer itself; n + 1: a cause of the last link at depth n
  subject about;
  std::string fact;            ///< what is so, in words, with names from the layout
  std::string rule;            ///< rule ids; empty for a plain input
  std::optional<std::uint32_t> since;  ///< ms since the beginning; nothing: since the beginning
};

struct explanation {
  std::vector<cause> chain;
};

/// The chain of causes for a component as it is now: pump, circuit, unit, consumer, engine, door, bus,
/// steering, store or the whole aircraft. Deterministic; allocates. A component that the layout does
/// not have gives an empty chain.
[[nodiscard]] PENSTOCK_API explanation explain(const layout& of, const state& now, subject about);

/// The same for a standing alert. An alert that does not stand gives a chain that says so.
[[nodiscard]] PENSTOCK_API explanation explain(const layout& of, const state& now, condition alert, subject about);

/// The chain in words: one sentence for the answer, one indented line for each cause.
[[nodiscard]] PENSTOCK_API std::string in_words(const explanation& why);

/// "1:02:03.4", "02:03.4": a time as this library writes it (tenths; hours where there are any;
/// hundredths and thousandths where they are not zero).
[[nodiscard]] PENSTOCK_API std::string clock_text(std::uint32_t milliseconds_since_start);

}  // namespace penstock::inline v1
