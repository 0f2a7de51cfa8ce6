// Apart from the benchmarks, so that the compiler does not see new and delete as malloc and free.
#include "allocations.hpp"

#include <cstddef>
#include <cstdlib>
#include <new>

namespace allocations {

std::uint64_t count = 0;

}  // namespace allocations

void* operator new(std::size_t size) {
  ++allocations::count;
  if (void* p = std::malloc(size == 0 ? 1 : size)) return p;
  throw std::bad_alloc{};
}
void* operator new[](std::size_t size) { return operator new(size); }
void operator delete(void* p) noexcept { std::free(p); }
void operator delete[](void* p) noexcept { std::free(p); }
void operator delete(void* p, std::size_t) noexcept { std::free(p); }
void operator delete[](void* p, std::size_t) noexcept { std::free(p); }
