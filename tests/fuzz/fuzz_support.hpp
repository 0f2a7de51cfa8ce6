// What the fuzz programs share: a broken promise ends the program, so that the fuzzer sees it.
#pragma once

#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <string_view>

#include "penstock/layout_file.hpp"
#include "penstock/result.hpp"

namespace penstock_fuzz {

inline void promise(bool kept, const char* what) {
  if (kept) return;
  std::fprintf(stderr, "broken promise: %s\n", what);
  std::abort();
}

/// Every error can be shown to a person: it has an id and says something.
inline void promise_good_error(const penstock::error& problem) {
  promise(!problem.id.empty(), "an error has an id");
  promise(!problem.message.empty(), "an error has a message");
}

inline std::string_view text_of(const std::uint8_t* data, std::size_t size) {
  return {reinterpret_cast<const char*>(data), size};
}

/// The shipped layout of that name, read once.
inline const penstock::layout& aircraft(const char* name) {
  static const auto loaded = penstock::load_layout(name);
  promise(static_cast<bool>(loaded), "a shipped layout can be read");
  return *loaded;
}

}  // namespace penstock_fuzz
