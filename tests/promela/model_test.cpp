// Two independent readings of the rules, held against each other: penstock, and a Promela model that was written from
// the rules in sentences. SPIN searches the model, penstock::search goes through penstock with the same events, and
// both must find the same lines of what can be seen, the same steps between them, and the same verdicts.
//
// With PENSTOCK_SHORT_MODEL, for slow builds, both leave out the events that the model leaves out with -DSHORT.
#include <algorithm>
#include <array>
#include <chrono>
#include <cstdint>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <optional>
#include <sstream>
#include <stdexcept>
#include <string>
#include <string_view>
#include <unordered_map>
#include <unordered_set>
#include <utility>
#include <vector>

#include <gtest/gtest.h>

#include "penstock/explore.hpp"
#include "promela/alphabets.hpp"

namespace penstock_tests {
namespace {

using namespace penstock;


// --- what can be seen, and what must hold -------------------------------------------------------------

alert_class class_of(const observation& seen, condition which) {
  for (const auto& each : seen.alerts_standing()) {
    if (each.condition == which) return each.level;
  }
  return alert_class::none;
}

/// Something that can be seen: its word, and what stands before it in a line.
struct shown {
  std::string_view before;
  std::uint8_t value;
  std::string_view (*in_words)(std::uint8_t);
};

template <class Enum>
shown show(std::string_view before, Enum value) {
  return {before, static_cast<std::uint8_t>(value),
          [](std::uint8_t number) { return word(static_cast<Enum>(number)); }};
}

shown show(std::string_view before, bool value) {
  return {before, static_cast<std::uint8_t>(value ? 1 : 0),
          [](std::uint8_t yes) -> std::string_view { return yes != 0 ? "1" : "0"; }};
}

/// All that is compared, in the order of the lines that tests/promela/observed.h writes.
std::array<shown, 26> all_shown(const observation& seen) {
  const auto& cargo = seen.electric_pumps[cargo_pump];
  const auto& keel = seen.electric_pumps[keel_pump];
  const auto& unit = seen.units[transfer];
  return {show("engines ", seen.engines[0].mode),
          show(",", seen.engines[1].mode),
          show(" roles ", seen.engines[0].role),
          show(",", seen.engines[1].role),
          show(" engine-pumps ", seen.engine_pumps[0].delivering),
          show(",", seen.engine_pumps[1].delivering),
          show(" cargo-pump ", cargo.delivering),
          show(",", cargo.reason),
          show(",", cargo.demand),
          show(" keel-pump ", keel.delivering),
          show(",", keel.reason),
          show(",", keel.demand),
          show(" doors ", seen.doors[0].mode),
          show(",", seen.doors[1].mode),
          show(" service ", seen.circuits[port].service),
          show(" circuits ", seen.circuits[0].status),
          show(",", seen.circuits[1].status),
          show(",", seen.circuits[2].status),
          show(" transfer ", unit.mode),
          show(",", unit.reason),
          show(" test ", unit.test),
          show(",", unit.outcome),
          show(",", unit.test_reason_),
          show(" failed-caution ", class_of(seen, condition::transfer_failed) != alert_class::none),
          show(" steering ", seen.steering),
          show(",", class_of(seen, condition::steering))};
}

/// What either side has seen: lines, and steps that change the line, once each.
struct findings {
  struct step {
    std::uint32_t from, to, event;  ///< numbers of lines and of a word
    friend bool operator==(const step&, const step&) = default;
  };
  struct hash {
    std::size_t operator()(const step& s) const {
      return ((std::uint64_t{s.event} << 56U) ^ (std::uint64_t{s.from} << 28U) ^ s.to) * 0x9E3779B97F4A7C15U;
    }
  };
  std::vector<std::string> lines;
  std::vector<std::string> words;
  std::unordered_set<step, hash> steps;
};

/// Listens to a search and notes what can be seen.
class listener {
 public:
  explicit listener(const alphabet& all) : all_(all) { seen_.words = all.words; }

  [[nodiscard]] std::uint32_t line_number(const layout& of, const state& now) {
    const auto all = all_shown(observe(of, now));
    key packed{};
    for (std::size_t i = 0; i < all.size(); ++i) packed[i % 2] = packed[i % 2] * 16 + all[i].value;
    const auto [place, is_new] = numbers_.emplace(packed, static_cast<std::uint32_t>(seen_.lines.size()));
    if (is_new) {
      std::string& line = seen_.lines.emplace_back();
      for (const auto& each : all) line.append(each.before).append(each.in_words(each.value));
    }
    return place->second;
  }

  /// To be called for every step of a search with one thread: those from one state follow each other.
  void note(const search_property::step& taken) {
    if (!before_ || !(*before_ == taken.before.logic)) {
      before_ = taken.before.logic;
      from_ = line_number(taken.of, taken.before);
    }
    const auto to = line_number(taken.of, taken.after);
    if (to != from_) seen_.steps.insert({from_, to, static_cast<std::uint32_t>(all_.number_of(taken.what))});
  }

  [[nodiscard]] const findings& seen() const { return seen_; }

 private:
  using key = std::array<std::uint64_t, 2>;  // 4 bits for each thing shown
  struct key_hash {
    std::size_t operator()(const key& k) const { return (k[0] * 0x9E3779B97F4A7C15U) ^ (k[1] * 0xC2B2AE3D27D4EB4FU); }
  };

  const alphabet& all_;
  findings seen_;
  std::unordered_map<key, std::uint32_t, key_hash> numbers_;
  std::optional<logic_state> before_;  ///< timers that have not run out show nothing
  std::uint32_t from_ = 0;
};

// --- the model ----------------------------------------------------------------------------------------

std::string content_of(const std::filesystem::path& file) {
  std::ostringstream all;
  all << std::ifstream{file}.rdbuf();
  return all.str();
}

findings read_observed(const std::filesystem::path& file) {
  findings all;
  std::ifstream in{file};
  std::string line;
  while (std::getline(in, line) && line != ".") all.lines.push_back(line);
  std::unordered_map<std::string, std::uint32_t> words;
  findings::step step{};
  while (in >> step.from >> step.to && in.get() == ' ' && std::getline(in, line)) {
    const auto [place, is_new] = words.emplace(line, static_cast<std::uint32_t>(words.size()));
    if (is_new) all.words.push_back(line);
    step.event = place->second;
    all.steps.insert(step);
  }
  return all;
}

/// The numbers of `texts` among `others`, in order; nothing for one that is not there.
std::vector<std::optional<std::uint32_t>> translated(const std::vector<std::string>& texts,
                                                     const std::vector<std::string>& others) {
  std::unordered_map<std::string_view, std::uint32_t> numbers;
  for (const auto& text : others) numbers.emplace(text, static_cast<std::uint32_t>(numbers.size()));
  std::vector<std::optional<std::uint32_t>> all;
  for (const auto& text : texts) {
    const auto place = numbers.find(text);
    all.push_back(place == numbers.end() ? std::nullopt : std::optional{place->second});
  }
  return all;
}

/// What one side has seen and the other has not, a few of each kind in full.
std::string only(const findings& mine, const findings& others, const std::string& name) {
  constexpr std::size_t shown = 5;
  const auto lines = translated(mine.lines, others.lines);
  const auto words_there = translated(mine.words, others.words);
  std::ostringstream text;
  std::size_t many_lines = 0;
  std::size_t many_steps = 0;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    if (!lines[i] && many_lines++ < shown) text << "only " << name << " shows\n  " << mine.lines[i] << "\n";
  }
  for (const auto& step : mine.steps) {
    const auto from = lines.at(step.from);
    const auto to = lines.at(step.to);
    const auto event = words_there.at(step.event);
    if (!from || !to) continue;  // said above
    if (event && others.steps.contains({*from, *to, *event})) continue;
    if (many_steps++ < shown) {
      text << "only " << name << " goes by " << mine.words[step.event] << "\n  from " << mine.lines[step.from]
           << "\n  to   " << mine.lines[step.to] << "\n";
    }
  }
  if (many_lines + many_steps != 0) {
    text << many_lines << " lines and " << many_steps << " steps only of " << name << "\n";
  }
  return text.str();
}

std::string difference(const findings& model, const findings& ours) {
  return only(ours, model, "penstock") + only(model, ours, "the model");
}

/// Lets penstock search, and judge what must hold.
findings searched_by_penstock(const std::string& events, const alphabet& all) {
  const layout aircraft = twin_freighter();
  listener hears{all};
  search_options options;
  options.judge_way_back = false;  // not judged by the model
  options.judge_orders = false;
  search_property listening{"listening", "every step is heard", {}, {}};
  listening.in_step = [&hears](const search_property::step& taken) -> std::optional<std::string> {
    hears.note(taken);
    return std::nullopt;
  };
  options.properties.push_back(listening);
  const auto begin = std::chrono::steady_clock::now();
  const auto first = hears.line_number(aircraft, cold_and_dark(aircraft));
  const search_result result = search(aircraft, all.part, options);
  const std::chrono::duration<double> took = std::chrono::steady_clock::now() - begin;
  EXPECT_EQ(first, 0U);
  EXPECT_EQ(result.end, search_end::complete);
  for (const auto& each : result.violations) ADD_FAILURE() << each.property << ": " << each.found;
  std::cout << events << ": penstock " << result.states << " states, " << result.transitions << " events tried, "
            << hears.seen().lines.size() << " lines, " << hears.seen().steps.size() << " steps, " << took.count()
            << " s\n";
  return hears.seen();
}

/// Lets SPIN search the model. Its report and what it observed are left in the folder.
std::filesystem::path searched_by_spin(const std::string& events) {
  const auto folder = std::filesystem::path{PENSTOCK_MODEL_FOLDER} / events;
  const std::string sources = PENSTOCK_SOURCE_FOLDER "/tests/promela";
  std::filesystem::remove_all(folder);
  std::filesystem::create_directories(folder);
  // SPIN's C is not ours: no warnings
  const std::string command = "cd '" + folder.string() + "' && spin -a -D" + events + (is_short ? " -DSHORT '" : " '") +
                              sources + "/twin_freighter.pml' >build.txt 2>&1 && " +
                              "cc -O2 -w -DSAFETY -DNOREDUCE '-I" + sources + "' -o pan pan.c >>build.txt 2>&1 && " +
                              "OBSERVED=observed.txt ./pan -m4000000 >report.txt 2>&1";
  EXPECT_EQ(std::system(command.c_str()), 0) << command << "\n" << content_of(folder / "build.txt");
  return folder;
}

void compare(const std::string& events, const alphabet& all) {
  if (std::system("command -v spin >/dev/null 2>&1") != 0) {
    if (std::getenv("CI") != nullptr) FAIL() << "spin is not installed, and here it must be";
    GTEST_SKIP() << "spin is not installed";
  }
  const auto folder = searched_by_spin(events);
  const std::string report = content_of(folder / "report.txt");
  EXPECT_NE(report.find("errors: 0\n"), std::string::npos) << "a property does not hold in the model\n" << report;
  EXPECT_EQ(report.find("max search depth too small"), std::string::npos) << report;
  std::cout << events << ": SPIN " << report.substr(std::min(report.size(), report.find("State-vector"))) << "\n";
  const findings ours = searched_by_penstock(events, all);
  EXPECT_GT(ours.lines.size(), 400U) << "the events reach too little to compare";
  EXPECT_EQ(difference(read_observed(folder / "observed.txt"), ours), "");
}

TEST(Model, FindsTheTransferTestAlike) { compare("TEST", transfer_test_events()); }
TEST(Model, FindsTheCargoDoorsAlike) { compare("CARGO", cargo_events()); }
TEST(Model, FindsTheFirstEngineAlike) { compare("FIRST", first_engine_events()); }

TEST(Model, NoDifferenceGoesUnnoticed) {
  alphabet all;
  add_external_power(all);
  add_engine_starts(all, 1);
  const findings same = searched_by_penstock("a few", all);
  ASSERT_GT(same.lines.size(), 3U);
  EXPECT_EQ(difference(same, same), "");

  findings fewer = same;
  const auto last = static_cast<std::uint32_t>(fewer.lines.size() - 1);
  std::erase_if(fewer.steps, [last](const findings::step& s) { return s.from == last || s.to == last; });
  fewer.lines.pop_back();
  EXPECT_NE(difference(fewer, same).find("1 lines and 0 steps only of penstock\n"), std::string::npos);
  EXPECT_EQ(difference(fewer, same).find("only of the model"), std::string::npos);
  findings other = same;
  other.lines.back().back() = '?';
  EXPECT_NE(difference(other, same).find("1 lines and 0 steps only of penstock\n"), std::string::npos);
  EXPECT_NE(difference(other, same).find("1 lines and 0 steps only of the model\n"), std::string::npos);
  findings elsewhere = same;
  auto step = elsewhere.steps.extract(elsewhere.steps.begin());
  step.value().to = step.value().from;
  elsewhere.steps.insert(std::move(step));
  EXPECT_NE(difference(elsewhere, same).find("0 lines and 1 steps only of penstock\n"), std::string::npos);
  EXPECT_NE(difference(elsewhere, same).find("0 lines and 1 steps only of the model\n"), std::string::npos);
}

}  // namespace
}  // namespace penstock_tests
