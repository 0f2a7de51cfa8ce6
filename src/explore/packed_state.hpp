// A state in as few 64-bit words as the layout needs: everything that decides, and of time only which timers have run
// out. Acknowledgement and the chronicle are left out: no machine reads them.
#pragma once

#include <array>
#include <cstdint>
#include <span>
#include <vector>

#include "penstock/detail/timers.hpp"
#include "penstock/explore.hpp"

namespace penstock::inline v1::explore_detail {

/// A stream of bits, written or read by the same code: `io(value, bits)` gives back what it wrote or what it read.
template <bool Writes>
class bit_stream {
 public:
  using word = std::conditional_t<Writes, std::uint64_t, const std::uint64_t>;
  explicit bit_stream(word* at) : at_(at) {
    if constexpr (Writes) *at_ = 0;
  }

  template <class T>
  T operator()(T value, unsigned bits) {
    if (used_ + bits > 64) {
      ++at_;
      used_ = 0;
      if constexpr (Writes) *at_ = 0;
    }
    if constexpr (Writes) {
      *at_ |= static_cast<std::uint64_t>(value) << used_;
      used_ += bits;
      return value;
    } else {
      const std::uint64_t read = (*at_ >> used_) & ((std::uint64_t{1} << bits) - 1);
      used_ += bits;
      return static_cast<T>(read);
    }
  }

 private:
  word* at_;
  unsigned used_ = 0;
};

/// Counts the words that a stream would take.
class bit_count {
 public:
  template <class T>
  T operator()(T value, unsigned bits) {
    if (used_ + bits > 64) {
      ++words_;
      used_ = 0;
    }
    used_ += bits;
    return value;
  }
  [[nodiscard]] unsigned words() const { return words_; }

 private:
  unsigned words_ = 1;
  unsigned used_ = 0;
};

class state_packer {
 public:
  static constexpr unsigned most_words = 8;

  /// `faults`: the injected faults that may stand, one at a time.
  state_packer(const layout& of, std::vector<event> faults) : layout_(of), faults_(std::move(faults)) {
    bit_count counted;
    state some = cold_and_dark(of);
    go_through(some, counted);
    words_ = counted.words();
  }

  [[nodiscard]] unsigned words() const { return words_; }
  [[nodiscard]] bool fits() const { return words_ <= most_words && faults_.size() < 256; }

  /// `from` is changed only by values that it has already.
  void pack(state& from, std::uint64_t* to) const {
    bit_stream<true> out{to};
    go_through(from, out);
  }
  /// What is not packed stays as it is in `to`.
  void unpack(const std::uint64_t* from, state& to) const {
    bit_stream<false> in{from};
    go_through(to, in);
  }
  [[nodiscard]] std::span<const event> faults() const { return faults_; }

 private:
  // The order of fields is the order of the bits; widths are those of state.hpp.
  template <class Io>
  void go_through(state& s, Io& io) const {
    const auto& p = layout_.plan();
    auto& logic = s.logic;
    for (unsigned i = 0; i < p.engines; ++i) {
      auto& x = logic.engines[i];
      x.mode = io(x.mode, 3);
      x.spool = io(x.spool, 3);
      x.selection = io(x.selection, 1);
      x.supply = io(x.supply, 1);
      x.starter_is_out = io(x.starter_is_out, 1);
      x.fire_handle_pulled = io(x.fire_handle_pulled, 1);
      x.running_rank = io(static_cast<std::uint8_t>(x.running_rank), 3) & 7U;
      x.cranking_rank = io(static_cast<std::uint8_t>(x.cranking_rank), 3) & 7U;
    }
    for (unsigned i = 0; i < p.engine_pumps; ++i) {
      auto& x = logic.engine_pumps[i];
      x.health = io(x.health, 2);
      x.mode = io(x.mode, 1);
      x.switched_on = io(x.switched_on, 1);
      x.failure_present = io(x.failure_present, 1);
      x.overheated = io(x.overheated, 1);
    }
    for (unsigned i = 0; i < p.electric_pumps; ++i) {
      auto& x = logic.electric_pumps[i];
      x.health = io(x.health, 2);
      x.mode = io(x.mode, 1);
      x.demand = io(x.demand, 3);
      x.switched = io(x.switched, 2);
      x.failure_present = io(x.failure_present, 1);
      x.overheated = io(x.overheated, 1);
      x.shed = io(x.shed, 1);
      x.limiter = io(x.limiter, 1);
      x.starts = io(static_cast<std::uint8_t>(x.starts), 4) & 15U;
    }
    for (unsigned i = 0; i < p.doors; ++i) {
      auto& x = logic.doors[i];
      x.mode = io(x.mode, 3);
      x.lever = io(x.lever, 2);
      x.travel = io(x.travel, 2);
      x.lever_reported = io(x.lever_reported, 1);
    }
    for (unsigned i = 0; i < p.circuits; ++i) {
      auto& x = logic.circuits[i];
      x.service = io(x.service, 2);
      x.level = io(x.level, 2);
      x.pressure_made = io(x.pressure_made, 1);
      x.above_priority = io(x.above_priority, 1);
      x.air_low = io(x.air_low, 1);
      x.fluid_hot = io(x.fluid_hot, 1);
      x.hand_pump = io(x.hand_pump, 1);
      x.outer_shut = io(x.outer_shut, 1);
    }
    for (unsigned i = 0; i < p.units; ++i) {
      auto& x = logic.units[i];
      x.mode = io(x.mode, 3);
      x.test = io(x.test, 2);
      x.switched_on = io(x.switched_on, 1);
      x.overspeed = io(x.overspeed, 1);
      x.difference = io(x.difference, 3);
      x.outcome = io(x.outcome, 3);
      x.reason = io(x.reason, 4);
      x.failed_caution = io(x.failed_caution, 1);
      x.test_from_b = io(x.test_from_b, 1);
      x.maintenance = io(x.maintenance, 1);
      x.judged = io(static_cast<std::uint8_t>(x.judged), 4) & 15U;
      x.second = io(static_cast<std::uint8_t>(x.second), 3) & 7U;
    }
    auto& x = logic.aircraft;
    x.steering = io(x.steering, 2);
    x.ram_air = io(x.ram_air, 1);
    x.where = io(x.where, 1);
    x.air_ground_valid = io(x.air_ground_valid, 1);
    x.external_power = io(x.external_power, 1);
    x.auxiliary_power = io(x.auxiliary_power, 1);
    x.parking_brake_set = io(x.parking_brake_set, 1);
    x.gear_down = io(x.gear_down, 1);
    x.airspeed = io(x.airspeed, 2);
    x.phase = io(x.phase, 2);
    if (p.stores > 0) x.stored_0 = io(x.stored_0, 8);
    if (p.stores > 1) x.stored_1 = io(x.stored_1, 8);
    timers(s.timers, io);
    fault_in(s, io);
  }

  template <class Io>
  static void timer(std::uint32_t& value, std::uint32_t limit, Io& io) {
    value = io(value >= limit, 1) ? limit : 0;
  }

  template <class Io>
  void timers(timer_state& t, Io& io) const {
    const auto& p = layout_.plan();
    for (unsigned i = 0; i < p.doors; ++i) timer(t.door_run[i], p.door_at[i].run_limit, io);
    for (unsigned i = 0; i < p.circuits; ++i) {
      timer(t.hold_off[i], p.circuit_at[i].hold_off, io);
      timer(t.circuit_low[i], p.circuit_at[i].low_confirmation, io);
    }
    for (unsigned i = 0; i < p.electric_pumps; ++i) {
      timer(t.touchdown[i], p.electric_pump_at[i].touchdown_delay, io);
      timer(t.start_period[i], p.electric_pump_at[i].start_period, io);
      timer(t.cooling[i], p.electric_pump_at[i].cooling, io);
    }
    for (unsigned i = 0; i < p.engine_pumps; ++i) {
      timer(t.pump_low[i], p.engine_pump_at[i].low_confirmation, io);
      timer(t.engine_pump_dry[i], p.engine_pump_at[i].dry_damage, io);
    }
    for (unsigned i = 0; i < p.units; ++i) {
      timer(t.test[i], p.unit_at[i].test_limit, io);
      timer(t.test_held[i], p.unit_at[i].test_confirmation, io);
    }
  }

  // Number of the one fault that stands, from 1; 0: none. It is always in the first place for faults.
  template <class Io>
  void fault_in(state& s, Io& io) const {
    if (faults_.empty()) return;
    auto& place = s.faults[0];
    std::uint8_t number = 0;
    if (place.status == fault_status::active) {
      for (std::size_t i = 0; i < faults_.size(); ++i) {
        if (static_cast<fault>(faults_[i].value) == place.kind && faults_[i].about == place.where) {
          number = static_cast<std::uint8_t>(i + 1);
        }
      }
    }
    const std::uint8_t now = io(number, 8);
    if (now == number) return;
    place = {};
    if (now == 0) return;
    const event& standing = faults_[now - 1U];
    place.status = fault_status::active;
    place.kind = static_cast<fault>(standing.value);
    place.where = standing.about;
    place.amount = static_cast<std::uint32_t>(standing.amount);
  }

  const layout& layout_;
  std::vector<event> faults_;
  unsigned words_ = 1;
};

}  // namespace penstock::inline v1::explore_detail
