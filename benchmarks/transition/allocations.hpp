// How often the program has asked for memory.
#pragma once

#include <cstdint>

namespace allocations {

extern std::uint64_t count;

}  // namespace allocations
