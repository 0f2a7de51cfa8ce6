// The library's own frame, but with every row run by the back end of Boost.MSM. States and events cross
// this border as raw memory: on the other side they are types of another namespace.
#pragma once

#include <cstddef>

namespace through_msm {

[[nodiscard]] std::size_t state_size();
[[nodiscard]] std::size_t event_size();
/// Cold and dark, into memory of `state_size()` bytes.
void begin(void* state);
/// One event in place; returns the number of its refusal kind.
int handle(void* state, const void* event);

}  // namespace through_msm
