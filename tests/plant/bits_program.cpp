// The story of the plant as a program of its own, to be compiled by any compiler at any level without a compiled
// penstock: prints the hash, and fails where it is another.
#include <cstdio>

#include "penstock/detail/event.ipp"
#include "penstock/detail/layout.ipp"
#include "penstock/detail/layouts.ipp"
#include "penstock/detail/plant.ipp"
#include "penstock/detail/quasi_static.ipp"
#include "plant/story.hpp"

int main() {
  const std::uint64_t hash = penstock_tests::hash_of_story();
  std::printf("0x%016llX\n", static_cast<unsigned long long>(hash));
  return hash == penstock_tests::expected_hash ? 0 : 1;
}
