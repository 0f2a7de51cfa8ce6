// A state in as few bytes as the layout needs: of each component that is there, the bits that decide; of time only
// which of the open timers have run out; and which injected fault stands. Acknowledgement and the chronicle are left
// out: no machine reads them.
#pragma once

#include <array>
#include <cstdint>
#include <cstring>
#include <span>
#include <utility>
#include <vector>

#include "explore/timers.hpp"
#include "penstock/explore.hpp"

namespace penstock::inline v1::explore_detail {

class state_packer {
 public:
  /// Whole words for all of the logic, all timers and a fault.
  static constexpr unsigned most_words = 12;
  static constexpr std::size_t most_faults = 255;

  /// `open`: what may happen. Timers that are not open never run out, and faults that are not open never stand.
  state_packer(const layout& of, std::span<const happening> open);

  [[nodiscard]] unsigned words() const { return words_; }
  [[nodiscard]] bool fits() const { return words_ <= most_words && faults_.size() <= most_faults; }

  void pack(const state& from, std::uint64_t* to) const {
    std::array<unsigned char, most_words * sizeof(std::uint64_t)> bytes{};
    auto* at = bytes.data();
    const auto* logic = reinterpret_cast<const unsigned char*>(&from.logic);
    for (const range& each : ranges_) {
      std::memcpy(at, logic + each.offset, each.length);
      at += each.length;
    }
    std::memcpy(to, bytes.data(), words_ * sizeof(std::uint64_t));
    for (unsigned w = 0; w < words_; ++w) to[w] &= mask_[w];
    const auto bit_at = [this, to](std::size_t i) { to[(rest_ + i) / 64] |= std::uint64_t{1} << ((rest_ + i) % 64); };
    for (std::size_t i = 0; i < timers_.size(); ++i) {
      if (timer_at(from.timers, timers_[i].place) >= timers_[i].limit) bit_at(i);
    }
    if (faults_.empty() || from.faults[0].status != fault_status::active) return;
    const std::uint64_t number = number_of(from.faults[0]);
    for (unsigned b = 0; b < 8; ++b) {
      if (((number >> b) & 1U) != 0) bit_at(timers_.size() + b);
    }
  }

  /// What is not packed stays as it is in `to`, which must have been a state of the same search.
  void unpack(const std::uint64_t* from, state& to) const {
    const auto* at = reinterpret_cast<const unsigned char*>(from);
    auto* logic = reinterpret_cast<unsigned char*>(&to.logic);
    for (const range& each : ranges_) {
      std::memcpy(logic + each.offset, at, each.length);
      at += each.length;
    }
    const auto bit_at = [this, from](std::size_t i) { return ((from[(rest_ + i) / 64] >> ((rest_ + i) % 64)) & 1U) != 0; };
    for (std::size_t i = 0; i < timers_.size(); ++i) {
      timer_at(to.timers, timers_[i].place) = bit_at(i) ? timers_[i].limit : 0;
    }
    if (faults_.empty()) return;
    unsigned number = 0;
    for (unsigned b = 0; b < 8; ++b) number |= bit_at(timers_.size() + b) ? 1U << b : 0U;
    to.faults[0] = number == 0 ? injected_fault{} : standing(faults_[number - 1]);
  }

 private:
  struct range {
    std::uint16_t offset;  ///< in logic_state
    std::uint16_t length;
  };
  struct open_timer {
    timer_place place;
    std::uint32_t limit;
  };

  [[nodiscard]] std::uint64_t number_of(const injected_fault& fault_now) const;
  [[nodiscard]] static injected_fault standing(const event& injected);

  std::vector<range> ranges_;
  std::vector<open_timer> timers_;
  std::vector<event> faults_;
  std::array<std::uint64_t, most_words> mask_{};
  std::size_t rest_ = 0;  ///< first bit behind the bytes of components
  unsigned words_ = 1;
};

}  // namespace penstock::inline v1::explore_detail
