// The states that a search has found: packed, each once, each with how it was reached.
//
// Shards divide the states by hash, so that each can be filled by a thread of its own. Within a shard, keys stand one
// behind the other, and a flat table of open addressing finds them.
#pragma once

#include <array>
#include <bit>
#include <cstdint>
#include <cstring>
#include <limits>
#include <vector>

namespace penstock::inline v1::explore_detail {

using state_id = std::uint32_t;
inline constexpr state_id no_state = std::numeric_limits<state_id>::max();

[[nodiscard]] inline std::uint64_t hash_of(const std::uint64_t* key, unsigned words) {
  // Multiply and fold, as in well-known mixers; the constants are odd and have many bits.
  std::uint64_t h = 0x9E3779B97F4A7C15ULL * words;
  for (unsigned i = 0; i < words; ++i) {
    h = (h ^ key[i]) * 0xD6E8FEB86659FD93ULL;
    h ^= h >> 32U;
  }
  h *= 0xD6E8FEB86659FD93ULL;
  h ^= h >> 29U;
  return h == 0 ? 1U << 20U : h;  // never 0, which a search uses for something else
}

class state_store {
 public:
  static constexpr unsigned shards = 16;

  explicit state_store(unsigned words) : words_(words) {
    for (shard& each : shards_) each.table.assign(1024, 0);
  }

  [[nodiscard]] static unsigned shard_of(std::uint64_t hash) { return static_cast<unsigned>(hash % shards); }

  struct put {
    state_id id;
    bool is_new;
  };
  /// Only one thread at a time may put into a shard.
  put put_into(unsigned number, const std::uint64_t* key, std::uint64_t hash, state_id parent, std::uint16_t by) {
    shard& in = shards_[number];
    if ((in.parents.size() + 1) * 4 > in.table.size() * 3) grow(in);
    const std::size_t most = in.table.size() - 1;
    std::size_t at = (hash / shards) & most;
    while (in.table[at] != 0) {
      const std::uint32_t local = in.table[at] - 1;
      if (std::memcmp(&in.keys[std::size_t{local} * words_], key, words_ * sizeof(std::uint64_t)) == 0) {
        return {id_of(number, local), false};
      }
      at = (at + 1) & most;
    }
    const auto local = static_cast<std::uint32_t>(in.parents.size());
    in.keys.insert(in.keys.end(), key, key + words_);
    in.parents.push_back(parent);
    in.by.push_back(by);
    in.table[at] = local + 1;
    return {id_of(number, local), true};
  }

  /// Fetches, ahead of time, what `put_into` will read: first the place in the table, later the key that stands there.
  /// Most of a search is waiting for memory.
  void fetch_place(unsigned number, std::uint64_t hash) const {
    const shard& in = shards_[number];
    __builtin_prefetch(&in.table[(hash / shards) & (in.table.size() - 1)]);
  }
  void fetch_key(unsigned number, std::uint64_t hash) const {
    const shard& in = shards_[number];
    const std::uint32_t there = in.table[(hash / shards) & (in.table.size() - 1)];
    if (there != 0) __builtin_prefetch(&in.keys[std::size_t{there - 1} * words_]);
  }

  [[nodiscard]] const std::uint64_t* key(state_id id) const {
    return &shards_[id % shards].keys[std::size_t{id / shards} * words_];
  }
  [[nodiscard]] state_id parent(state_id id) const { return shards_[id % shards].parents[id / shards]; }
  [[nodiscard]] std::uint16_t by(state_id id) const { return shards_[id % shards].by[id / shards]; }
  [[nodiscard]] std::uint64_t size() const {
    std::uint64_t all = 0;
    for (const shard& each : shards_) all += each.parents.size();
    return all;
  }
  [[nodiscard]] std::uint64_t bytes() const {
    std::uint64_t all = 0;
    for (const shard& each : shards_) {
      all += each.keys.capacity() * sizeof(std::uint64_t) + each.parents.capacity() * sizeof(state_id) +
             each.by.capacity() * sizeof(std::uint16_t) + each.table.capacity() * sizeof(std::uint32_t);
    }
    return all;
  }
  /// No further state of a shard has a number.
  [[nodiscard]] bool is_full() const {
    for (const shard& each : shards_) {
      if (each.parents.size() >= std::numeric_limits<state_id>::max() / shards - 1) return true;
    }
    return false;
  }

 private:
  struct shard {
    std::vector<std::uint64_t> keys;
    std::vector<state_id> parents;
    std::vector<std::uint16_t> by;
    std::vector<std::uint32_t> table;  ///< local number + 1; 0: free
  };

  [[nodiscard]] static state_id id_of(unsigned number, std::uint32_t local) { return local * shards + number; }

  void grow(shard& in) {
    std::vector<std::uint32_t> bigger(in.table.size() * 2, 0);
    const std::size_t most = bigger.size() - 1;
    for (std::uint32_t local = 0; local < in.parents.size(); ++local) {
      std::size_t at = (hash_of(&in.keys[std::size_t{local} * words_], words_) / shards) & most;
      while (bigger[at] != 0) at = (at + 1) & most;
      bigger[at] = local + 1;
    }
    in.table = std::move(bigger);
  }

  unsigned words_;
  std::array<shard, shards> shards_;
};

}  // namespace penstock::inline v1::explore_detail
