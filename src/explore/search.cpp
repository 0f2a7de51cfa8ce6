// The search: level by level from cold and dark, so that the first way found to a state is a shortest one.
//
// A level is worked off in rounds. In the first half of a round, threads take states of the level and let everything
// that is open happen to them; in the second, each thread puts what was found into shards of its own. Blocks of
// states and the order within them are fixed, so that the number of threads changes nothing.
#include <algorithm>
#include <cstring>
#include <map>
#include <mutex>
#include <tuple>
#include <utility>

#include "explore/packed_state.hpp"
#include "explore/plausible.hpp"
#include "explore/state_store.hpp"
#include "explore/timers.hpp"
#include "explore/way_back.hpp"
#include "on_threads.hpp"
#include "penstock/explore.hpp"

namespace penstock::inline v1 {

namespace {

using namespace explore_detail;

constexpr std::size_t block_size = 128;
constexpr std::size_t round_size = 4096;
constexpr std::uint16_t by_nothing = 0xFFFF;

using row_bits = std::array<std::uint64_t, machine_count>;

/// The first violation of a property: the one with the shortest path, of these the one found first.
struct first_violation {
  std::uint64_t length = ~std::uint64_t{0};  ///< of its path
  std::uint64_t place = 0;                   ///< of its state in the order of the search
  state_id at = no_state;
  std::uint16_t by = by_nothing;             ///< what happened there; by_nothing: the state itself is wrong
  std::string found;

  void offer(std::uint64_t other_length, std::uint64_t other_place, state_id other_at, std::uint16_t other_by,
             const std::string& other_found) {
    if (std::tuple{other_length, other_place, other_by} >= std::tuple{length, place, by}) return;
    length = other_length;
    place = other_place;
    at = other_at;
    by = other_by;
    found = other_found;
  }
  void offer(const first_violation& other) {
    if (other.at != no_state) offer(other.length, other.place, other.at, other.by, other.found);
  }
};

struct found_state {
  std::uint64_t hash;
  state_id parent;
  std::uint16_t by;
};
struct found_in_shard {
  std::vector<found_state> states;
  std::vector<std::uint64_t> keys;
  void clear() {
    states.clear();
    keys.clear();
  }
};

/// What a block of states gave.
struct block_result {
  std::array<found_in_shard, state_store::shards> found;
  std::vector<first_violation> violations;  ///< one for each property, then "settles"
  std::vector<std::uint64_t> needs_met;     ///< one for each property
  row_bits rows{};
  std::uint64_t transitions = 0;
  std::uint8_t most_passes = 0;
  std::uint16_t most_rows = 0;

  void clear(std::size_t properties) {
    for (auto& each : found) each.clear();
    violations.assign(properties + 1, {});
    needs_met.assign(properties, 0);
    rows = {};
    transitions = 0;
  }
};

using order_key = std::tuple<event_kind, component, event_kind, component, std::string_view>;
struct order_count {
  std::uint64_t states = 0;
  std::uint64_t place = 0;
  state_id at = no_state;
  std::uint16_t one = 0;
  std::uint16_t other = 0;
};
using order_counts = std::map<order_key, order_count>;

/// A plausible plant goes from one band to the next, so that a part that opens two bands needs those between as well.
search_part without_gaps(search_part part) {
  const std::vector<happening> open = part.open;
  for (const happening& each : open) {
    const auto kind = each.what.kind;
    const bool in_bands = kind == event_kind::spool || kind == event_kind::level || kind == event_kind::travel ||
                          kind == event_kind::airspeed;
    if (each.runs_out || !in_bands) continue;
    for (const happening& other : open) {
      if (other.runs_out || other.what.kind != kind || other.what.about != each.what.about) continue;
      for (unsigned band = each.what.value + 1U; band < other.what.value; ++band) {
        happening between = each;
        between.what.value = static_cast<std::uint8_t>(band);
        if (std::ranges::find(part.open, between) == part.open.end()) part.open.push_back(between);
      }
    }
  }
  return part;
}

class searcher {
 public:
  searcher(const layout& of, const search_part& part, const search_options& options)
      : of_(of), part_(options.world == search_world::plausible ? without_gaps(part) : part), options_(options),
        packer_(of, part_.open), store_(packer_.words()),
        cold_(cold_and_dark(of)) {}

  search_result run() {
    if (!packer_.fits() || part_.open.size() >= by_nothing) {
      result_.end = search_end::most_bytes;  // no such part is made from a layout within its limits
      return std::move(result_);
    }
    begin();
    while (!level_.empty() && result_.end == search_end::complete) work_off_level();
    if (options_.judge_way_back) judge_way_back();
    if (options_.judge_orders && result_.end == search_end::complete) judge_orders();
    result_.states = store_.size();
    result_.bytes = bytes();
    tell_violations();
    return std::move(result_);
  }

  void show(const std::function<void(const state&)>& each) const {
    state now = cold_;
    for (const state_id id : order_) {
      packer_.unpack(store_.key(id), now);
      each(now);
    }
  }

 private:
  using key = std::array<std::uint64_t, state_packer::most_words>;

  void begin() {
    violations_.assign(options_.properties.size() + 1, {});
    result_.needs_met.assign(options_.properties.size(), 0);
    state start = cold_;
    key packed{};
    packer_.pack(start, packed.data());
    const auto hash = hash_of(packed.data(), packer_.words());
    level_ = {store_.put_into(state_store::shard_of(hash), packed.data(), hash, no_state, by_nothing).id};
  }

  [[nodiscard]] std::uint64_t bytes() const {
    return store_.bytes() + next_.capacity() * sizeof(state_id) + order_.capacity() * sizeof(state_id);
  }

  void work_off_level() {
    std::vector<state_id> next_level;
    for (std::size_t begin = 0; begin < level_.size() && result_.end == search_end::complete; begin += round_size) {
      const std::size_t end = std::min(begin + round_size, level_.size());
      const std::size_t blocks = (end - begin + block_size - 1) / block_size;
      if (blocks_.size() < blocks) blocks_.resize(blocks);
      const std::uint64_t place = order_.size();
      for_each_on_threads(blocks, options_.threads, [&](std::size_t b) {
        const std::size_t first = begin + b * block_size;
        expand(std::span{level_}.subspan(first, std::min(block_size, end - first)), place + b * block_size, blocks_[b]);
      });
      order_.insert(order_.end(), level_.begin() + static_cast<std::ptrdiff_t>(begin),
                    level_.begin() + static_cast<std::ptrdiff_t>(end));
      put_away(std::span{blocks_}.first(blocks), std::span{level_}.subspan(begin, end - begin), next_level);
      look_at_limits();
    }
    if (!next_level.empty()) ++result_.depth;
    level_ = std::move(next_level);
  }

  void look_at_limits() {
    if (store_.size() >= options_.most_states || store_.is_full()) result_.end = search_end::most_states;
    if (bytes() >= options_.most_bytes) result_.end = search_end::most_bytes;
    if (options_.progress && !options_.progress({store_.size(), result_.transitions, bytes(), result_.depth})) {
      result_.end = search_end::stopped;
    }
  }

  void put_away(std::span<block_result> blocks, std::span<const state_id> expanded, std::vector<state_id>& next_level) {
    if (options_.judge_orders) {
      const state_id last = *std::max_element(expanded.begin(), expanded.end());
      const std::size_t cells = (std::size_t{last} + 1) * part_.open.size();
      if (next_.size() < cells) next_.resize(cells, no_state);
      for (const state_id id : expanded) {
        const auto row = next_.begin() + static_cast<std::ptrdiff_t>(id * part_.open.size());
        std::fill_n(row, part_.open.size(), id);  // where nothing is written below, nothing changes
      }
    }
    std::array<std::vector<state_id>, state_store::shards> fresh;
    for_each_on_threads(state_store::shards, options_.threads, [&](std::size_t shard) {
      const auto number = static_cast<unsigned>(shard);
      for (const block_result& block : blocks) {
        const found_in_shard& found = block.found[shard];
        for (std::size_t i = 0; i < found.states.size(); ++i) {
          const found_state& each = found.states[i];
          constexpr std::size_t far = 16;
          constexpr std::size_t near = 8;
          if (i + far < found.states.size()) store_.fetch_place(number, found.states[i + far].hash);
          if (i + near < found.states.size()) store_.fetch_key(number, found.states[i + near].hash);
          if (each.hash == impossible) {
            if (options_.judge_orders) next_[std::size_t{each.parent} * part_.open.size() + each.by] = no_state;
            continue;
          }
          const auto put = store_.put_into(number, &found.keys[i * packer_.words()], each.hash, each.parent, each.by);
          if (put.is_new) fresh[shard].push_back(put.id);
          if (options_.judge_orders) next_[std::size_t{each.parent} * part_.open.size() + each.by] = put.id;
        }
      }
    });
    for (const auto& each : fresh) next_level.insert(next_level.end(), each.begin(), each.end());
    for (const block_result& block : blocks) {
      for (std::size_t v = 0; v < violations_.size(); ++v) violations_[v].offer(block.violations[v]);
      for (std::size_t v = 0; v < block.needs_met.size(); ++v) result_.needs_met[v] |= block.needs_met[v];
      for (std::size_t m = 0; m < machine_count; ++m) {
        for (std::size_t r = 0; r < 64; ++r) {
          if (((block.rows[m] >> r) & 1U) != 0) result_.rows[m][r] = true;
        }
      }
      result_.transitions += block.transitions;
      result_.most_passes = std::max(result_.most_passes, block.most_passes);
      result_.most_rows = std::max(result_.most_rows, block.most_rows);
    }
  }

  /// Everything that is open happens to each state of a block.
  void expand(std::span<const state_id> block, std::uint64_t place, block_result& out) const {
    out.clear(options_.properties.size());
    state from = cold_;
    state to = cold_;
    effects did;  // NOLINT(cppcoreguidelines-pro-type-member-init): `apply` writes what counts
    for (const state_id id : block) {
      packer_.unpack(store_.key(id), from);
      bool is_changed = true;  // `to` is another state than `from`
      judge_state(from, id, place, out);
      const detail::view seen{of_.plan(), from};
      for (std::size_t h = 0; h < part_.open.size(); ++h) {
        const auto by = static_cast<std::uint16_t>(h);
        const happening& what = part_.open[h];
        if (!may_happen(seen, from, what)) {
          found_in_shard& shard = out.found[id % state_store::shards];
          shard.states.push_back({impossible, id, by});
          shard.keys.resize(shard.keys.size() + packer_.words());
          continue;
        }
        if (is_changed) put_back(from, to);
        happen(what, to, did);
        ++out.transitions;
        note_effects(did, id, by, place, out);
        is_changed = !is_same(from, to);
        if (!is_changed) continue;
        judge_step(from, what, did, to, id, by, place, out);
        keep(to, id, by, out);
      }
      ++place;
    }
  }

  static constexpr std::uint64_t impossible = 0;  ///< instead of a hash: no event there

  [[nodiscard]] bool may_happen(const detail::view& seen, state& from, const happening& what) const {
    if (what.runs_out) return may_run_out(seen, from.timers, *what.runs_out);
    if (what.what.kind == event_kind::inject && from.faults[0].status != fault_status::unused) return false;
    return options_.world == search_world::any || is_plausible(seen, what.what);
  }

  static void put_back(const state& from, state& to) {
    to.logic = from.logic;
    to.timers = from.timers;
    to.faults[0] = from.faults[0];
  }

  // A quick look: where bytes differ that are no values, the store finds out.
  static bool is_same(const state& a, const state& b) {
    // NOLINTNEXTLINE(bugprone-suspicious-memory-comparison,cert-exp42-c,cert-flp37-c)
    return std::memcmp(&a.logic, &b.logic, sizeof a.logic) == 0 && std::memcmp(&a.timers, &b.timers, sizeof a.timers) == 0 &&
           a.faults[0] == b.faults[0];
  }

  void happen(const happening& what, state& now, effects& did) const {
    if (what.runs_out) {
      run_out(of_, now, *what.runs_out, did, options_.logic);
    } else {
      options_.logic(of_, now, what.what, did);
    }
  }

  void keep(state& to, state_id parent, std::uint16_t by, block_result& out) const {
    key packed;  // NOLINT(cppcoreguidelines-pro-type-member-init): the words that count are written
    packer_.pack(to, packed.data());
    const std::uint64_t hash = hash_of(packed.data(), packer_.words());
    found_in_shard& shard = out.found[state_store::shard_of(hash)];
    shard.states.push_back({hash, parent, by});
    shard.keys.insert(shard.keys.end(), packed.begin(), packed.begin() + packer_.words());
  }

  // --- what must hold -----------------------------------------------------------------------------------
  void judge_state(const state& now, state_id id, std::uint64_t place, block_result& out) const {
    const observation seen = observe(of_, now);
    for (std::size_t v = 0; v < options_.properties.size(); ++v) {
      const auto& property = options_.properties[v];
      for (std::size_t n = 0; n < property.needs.size() && n < 64; ++n) {
        const std::uint64_t need = std::uint64_t{1} << n;
        if ((out.needs_met[v] & need) == 0 && property.needs[n](of_, now)) out.needs_met[v] |= need;
      }
      if (!property.in_state) continue;
      if (const auto wrong = property.in_state(of_, now, seen)) {
        out.violations[v].offer(result_.depth, place, id, by_nothing, *wrong);
      }
    }
  }

  void judge_step(const state& before, const happening& what, const effects& did, const state& after, state_id id,
                  std::uint16_t by, std::uint64_t place, block_result& out) const {
    for (std::size_t v = 0; v < options_.properties.size(); ++v) {
      const auto& property = options_.properties[v];
      if (!property.in_step) continue;
      if (const auto wrong = property.in_step({of_, before, what, did, after})) {
        out.violations[v].offer(std::uint64_t{result_.depth} + 1, place, id, by, *wrong);
      }
    }
  }

  void note_effects(const effects& did, state_id id, std::uint16_t by, std::uint64_t place, block_result& out) const {
    out.most_passes = std::max(out.most_passes, did.passes);
    out.most_rows = std::max(out.most_rows, did.rows);
    // a second pass is for armed faults only, which no search has
    if (did.cut_short || did.passes > 1) {
      out.violations.back().offer(std::uint64_t{result_.depth} + 1, place, id, by,
                                  std::to_string(did.passes) + " passes, " + std::to_string(did.rows) + " rows");
    }
    for (const row_taken& each : did.taken()) out.rows[static_cast<std::size_t>(each.machine)] |= std::uint64_t{1} << each.row;
  }

  [[nodiscard]] search_path path_to(state_id at, std::uint16_t last) const {
    search_path path;
    if (last != by_nothing) path.push_back(part_.open[last]);
    for (; store_.parent(at) != no_state; at = store_.parent(at)) path.push_back(part_.open[store_.by(at)]);
    std::reverse(path.begin(), path.end());
    return path;
  }

  void tell_violations() {
    for (std::size_t v = 0; v < violations_.size(); ++v) {
      const first_violation& first = violations_[v];
      if (first.at == no_state) continue;
      const bool settles = v == options_.properties.size();
      result_.violations.push_back({settles ? "settles" : options_.properties[v].name,
                                    settles ? "One outside event settles in a bounded number of internal steps."
                                            : options_.properties[v].sentence,
                                    first.found, path_to(first.at, first.by)});
    }
    if (stranded_ != no_state) {
      result_.violations.push_back({"way-back", "From every state there is a way back to cold and dark.",
                                    "after everything was switched off, repaired, put back and waited for, it is not "
                                    "cold and dark",
                                    path_to(stranded_, by_nothing)});
    }
    for (const order_difference& each : result_.order_differences) {
      if (!each.reason.empty()) continue;
      auto path = each.path;
      path.insert(path.end(), {each.example_one, each.example_other});
      result_.violations.push_back({"orders",
                                    "Events on different components may come in either order within a frame with the "
                                    "same result, or the pair is on the list of exceptions.",
                                    words_of(of_, each.example_one) + " and " + words_of(of_, each.example_other) +
                                        " lead elsewhere in the other order, without a reason on the list",
                                    std::move(path)});
      break;
    }
  }

  // --- property 7 -----------------------------------------------------------------------------------------
  void judge_way_back() {
    const std::vector<event> way = events_to_cold_and_dark(of_);
    state home = cold_;
    forget_records(of_, home);
    key wanted{};
    packer_.pack(home, wanted.data());
    constexpr std::size_t many = 512;
    const std::size_t blocks = (order_.size() + many - 1) / many;
    std::mutex guard;
    std::uint64_t first = ~std::uint64_t{0};
    for_each_on_threads(blocks, options_.threads, [&](std::size_t b) {
      state now = cold_;
      effects did;  // NOLINT(cppcoreguidelines-pro-type-member-init): `apply` writes what counts
      for (std::size_t i = b * many; i < std::min(order_.size(), (b + 1) * many); ++i) {
        packer_.unpack(store_.key(order_[i]), now);
        for (const event& each : way) options_.logic(of_, now, each, did);
        now.chronicle.now = 0;
        forget_records(of_, now);
        key packed{};
        packer_.pack(now, packed.data());
        if (std::memcmp(packed.data(), wanted.data(), packer_.words() * sizeof(std::uint64_t)) == 0) continue;
        const std::lock_guard lock{guard};
        first = std::min<std::uint64_t>(first, i);
        return;  // the first of a block is enough
      }
    });
    if (first < order_.size()) stranded_ = order_[first];
  }

  // --- property 9 -----------------------------------------------------------------------------------------
  [[nodiscard]] std::vector<std::pair<std::uint16_t, std::uint16_t>> pairs() const {
    std::vector<std::pair<std::uint16_t, std::uint16_t>> all;
    for (std::size_t a = 0; a < part_.open.size(); ++a) {
      for (std::size_t b = a + 1; b < part_.open.size(); ++b) {
        const happening& one = part_.open[a];
        const happening& other = part_.open[b];
        if (one.runs_out || other.runs_out || one.what.about == other.what.about) continue;
        all.emplace_back(static_cast<std::uint16_t>(a), static_cast<std::uint16_t>(b));
      }
    }
    return all;
  }

  [[nodiscard]] state_id next_of(state_id at, std::uint16_t by) const {
    return next_[std::size_t{at} * part_.open.size() + by];
  }

  void judge_orders() {
    const auto all_pairs = pairs();
    constexpr std::size_t many = 512;
    const std::size_t blocks = (order_.size() + many - 1) / many;
    const auto counts = on_threads(blocks, options_.threads, [&](std::size_t b) {
      order_counts found;
      for (std::size_t i = b * many; i < std::min(order_.size(), (b + 1) * many); ++i) {
        const state_id at = order_[i];
        for (const auto& [one, other] : all_pairs) {
          const state_id middle = next_of(at, one);
          const state_id other_middle = next_of(at, other);
          if (middle == no_state || other_middle == no_state) continue;
          const state_id end = next_of(middle, other);
          const state_id other_end = next_of(other_middle, one);
          if (end == other_end || end == no_state || other_end == no_state) continue;
          note_order(at, one, other, {middle, other_middle, end, other_end}, i, found);
        }
      }
      return found;
    });
    order_counts whole;
    for (const order_counts& each : counts) {
      for (const auto& [which, count] : each) {
        auto [place, is_new] = whole.try_emplace(which, count);
        if (!is_new) place->second.states += count.states;
      }
    }
    result_.pairs = order_.size() * all_pairs.size();
    for (const auto& [which, count] : whole) {
      const auto& [one, one_about, other, other_about, reason] = which;
      result_.order_differences.push_back({one, one_about, other, other_about, reason, count.states,
                                           path_to(count.at, by_nothing), part_.open[count.one], part_.open[count.other]});
    }
  }

  void note_order(state_id at, std::uint16_t one, std::uint16_t other, const std::array<state_id, 4>& ids,
                  std::uint64_t place, order_counts& found) const {
    std::array<state, 5> states;
    states.fill(cold_);
    packer_.unpack(store_.key(at), states[0]);
    for (std::size_t i = 0; i < ids.size(); ++i) packer_.unpack(store_.key(ids[i]), states[i + 1]);
    const event& a = part_.open[one].what;
    const event& b = part_.open[other].what;
    const auto reason = reason_for_order({of_, states[0], states[1], states[2], states[3], states[4], a, b});
    order_count& count = found[{a.kind, a.about.kind, b.kind, b.about.kind, reason}];
    if (count.at == no_state) count = {0, place, at, one, other};
    ++count.states;
  }

  const layout& of_;
  const search_part part_;
  const search_options& options_;
  state_packer packer_;
  state_store store_;
  state cold_;
  std::vector<state_id> level_;   ///< found, not yet worked off
  std::vector<state_id> order_;   ///< worked off, in this order
  std::vector<state_id> next_;    ///< for each state and event: where it leads; no_state: no event there
  std::vector<block_result> blocks_;
  std::vector<first_violation> violations_;
  state_id stranded_ = no_state;
  search_result result_;
};

}  // namespace

search_result search(const layout& of, const search_part& part, const search_options& options) {
  return searcher{of, part, options}.run();
}

search_result search_and_show(const layout& of, const search_part& part, const search_options& options,
                              const std::function<void(const state&)>& each) {
  searcher searching{of, part, options};
  search_result found = searching.run();
  searching.show(each);
  return found;
}

}  // namespace penstock::inline v1
