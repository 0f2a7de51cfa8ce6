#include "explore/packed_state.hpp"

#include <algorithm>

namespace penstock::inline v1::explore_detail {

namespace {

/// The bits of a type that its values have, found by asking its comparison about each.
template <class T>
std::array<unsigned char, sizeof(T)> bits_of() {
  std::array<unsigned char, sizeof(T)> mask{};
  T zero{};
  std::memset(static_cast<void*>(&zero), 0, sizeof zero);
  for (std::size_t byte = 0; byte < sizeof(T); ++byte) {
    for (unsigned b = 0; b < 8; ++b) {
      T other{};
      std::memset(static_cast<void*>(&other), 0, sizeof other);
      reinterpret_cast<unsigned char*>(&other)[byte] = static_cast<unsigned char>(1U << b);
      if (!(other == zero)) mask[byte] = static_cast<unsigned char>(mask[byte] | (1U << b));
    }
  }
  return mask;
}

}  // namespace

state_packer::state_packer(const layout& of, std::span<const happening> open) {
  const auto& p = of.plan();
  std::vector<unsigned char> mask;
  const logic_state some{};
  const auto* begin = reinterpret_cast<const unsigned char*>(&some);
  const auto add = [&]<class T>(const T& first, std::size_t many) {
    if (many == 0) return;
    const auto offset = reinterpret_cast<const unsigned char*>(&first) - begin;
    ranges_.push_back({static_cast<std::uint16_t>(offset), static_cast<std::uint16_t>(many * sizeof(T))});
    for (std::size_t i = 0; i < many; ++i) {
      for (const unsigned char each : bits_of<T>()) mask.push_back(each);
    }
  };
  add(some.engines[0], p.engines);
  add(some.engine_pumps[0], p.engine_pumps);
  add(some.electric_pumps[0], p.electric_pumps);
  add(some.doors[0], p.doors);
  add(some.circuits[0], p.circuits);
  add(some.units[0], p.units);
  add(some.aircraft, 1);
  for (const happening& each : open) {
    if (each.runs_out) timers_.push_back({*each.runs_out, limit_of(of, *each.runs_out)});
    if (!each.runs_out && each.what.kind == event_kind::inject) faults_.push_back(each.what);
  }
  rest_ = mask.size() * 8;
  const std::size_t bits = rest_ + timers_.size() + (faults_.empty() ? 0 : 8);
  words_ = static_cast<unsigned>((bits + 63) / 64);
  if (!fits()) return;
  mask.resize(std::size_t{words_} * sizeof(std::uint64_t), 0xFF);
  std::memcpy(mask_.data(), mask.data(), mask.size());
}

std::uint64_t state_packer::number_of(const injected_fault& now) const {
  const auto found = std::ranges::find_if(
      faults_, [&](const event& each) { return static_cast<fault>(each.value) == now.kind && each.about == now.where; });
  return found == faults_.end() ? 0 : static_cast<std::uint64_t>(found - faults_.begin()) + 1;
}

injected_fault state_packer::standing(const event& injected) {
  injected_fault now{};
  now.status = fault_status::active;
  now.kind = static_cast<fault>(injected.value);
  now.where = injected.about;
  now.amount = static_cast<std::uint32_t>(injected.amount);
  return now;
}

}  // namespace penstock::inline v1::explore_detail
