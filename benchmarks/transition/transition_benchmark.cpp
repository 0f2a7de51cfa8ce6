// What does one event cost, beside the same rules written by hand for this one aircraft, and beside the
// same tables run by Boost.MSM? And what do observing, explaining, a frame and a lesson cost?
//
// A seeded stream goes through all three first, and every state is compared; a difference ends the program.
// Without arguments: 9 repetitions, interleaved. With --dry: one short repetition, for checks.
#include <benchmark/benchmark.h>

#include <cstdio>
#include <fstream>
#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "allocations.hpp"
#include "contestants.hpp"
#include "event_stream.hpp"

namespace {

using namespace penstock;
using namespace contestants;

constexpr std::size_t stream_length = 200'000;
constexpr std::uint64_t seed = 20'261;

const std::vector<event>& events_of_stream() {
  static const auto made = streams::stream(stream_length, seed);
  return made;
}

/// Counts allocations of the timed part of a row.
class allocation_counter {
 public:
  explicit allocation_counter(benchmark::State& row) : row_(row), before_(allocations::count) {}
  ~allocation_counter() {
    row_.counters["allocations"] =
        benchmark::Counter(static_cast<double>(allocations::count - before_), benchmark::Counter::kAvgIterations);
  }
  allocation_counter(const allocation_counter&) = delete;
  allocation_counter& operator=(const allocation_counter&) = delete;

 private:
  benchmark::State& row_;
  std::uint64_t before_;
};

/// All three through the stream, compared after every event.
bool all_agree() {
  if (through_msm::state_size() != sizeof(state) || through_msm::event_size() != sizeof(event)) {
    std::fprintf(stderr, "transition_benchmark: the types behind Boost.MSM have another size\n");
    return false;
  }
  if (!same_numbers()) {
    std::fprintf(stderr, "transition_benchmark: the layout has changed; bring hand_written.hpp into line with it\n");
    return false;
  }
  library table;
  hand_written hand;
  msm machines;
  std::size_t refused = 0;
  const auto& all = events_of_stream();
  for (std::size_t i = 0; i < all.size(); ++i) {
    const auto answer = table.handle(all[i]);
    const auto by_hand = hand.handle(all[i]);
    const auto by_msm = machines.handle(all[i]);
    if (answer != refusal_kind::none) ++refused;
    auto found = difference(table.now(), hand.now());
    std::string_view whom = "hand-written";
    if (answer != by_hand) found = "refusal";
    if (found.empty()) {
      whom = "Boost.MSM";
      found = answer != by_msm ? "refusal" : difference(table.now(), machines.now());
    }
    if (found.empty()) continue;
    const bool known = all[i].kind <= event_kind::clear_faults;
    const std::string word{known ? form_of(all[i].kind).word : "no such kind"};
    std::fprintf(stderr,
                 "transition_benchmark: event %zu (%s, part %u of kind %u, value %u): penstock and %s differ in: %s\n",
                 i, word.c_str(), unsigned{all[i].about.index}, static_cast<unsigned>(all[i].about.kind),
                 unsigned{all[i].value}, std::string{whom}.c_str(), found.c_str());
    return false;
  }
  std::printf("%zu events, %zu of them refused: penstock, the hand-written switch and Boost.MSM agree after each\n",
              all.size(), refused);
  return true;
}

/// Nanoseconds for each event of the whole stream.
template <class Contestant>
void whole_stream(benchmark::State& row) {
  const auto& all = events_of_stream();
  {
    // allocations of the events themselves, without those of making the contestant
    Contestant subject;
    const auto before = allocations::count;
    for (const auto& e : all) benchmark::DoNotOptimize(subject.handle(e));
    row.counters["allocations"] = static_cast<double>(allocations::count - before);
  }
  for (auto _ : row) {
    Contestant subject;
    for (const auto& e : all) benchmark::DoNotOptimize(subject.handle(e));
  }
  row.counters["per_event"] =
      benchmark::Counter(static_cast<double>(all.size()), benchmark::Counter::kIsIterationInvariantRate |
                                                              benchmark::Counter::kInvert);
}

/// An aircraft that is ready to taxi: both engines run, all circuits have pressure.
template <class Contestant>
Contestant ready_to_taxi() {
  Contestant subject;
  for (unsigned e = 0; e < 2; ++e) {
    subject.handle(events::start(e));
    subject.handle(events::spool(e, spool_band::idle));
    subject.handle(events::starter_out(e));
  }
  for (unsigned c = 0; c < 3; ++c) {
    subject.handle(events::pressure(c, true));
    subject.handle(events::priority(c, true));
  }
  subject.handle(events::parking_brake(false));
  subject.handle(events::elapsed(milliseconds{10'000}));
  return subject;
}

/// Events in turn, again and again, on an aircraft that is ready to taxi. One iteration is one event.
template <class Contestant>
void in_turn(benchmark::State& row, const std::vector<event>& turn) {
  Contestant subject = ready_to_taxi<Contestant>();
  const allocation_counter count{row};
  std::size_t next = 0;
  for (auto _ : row) {
    benchmark::DoNotOptimize(subject.handle(turn[next]));
    if (++next == turn.size()) next = 0;
  }
}

state taxi_state() { return ready_to_taxi<library>().now(); }

void observing(benchmark::State& row) {
  const auto now = taxi_state();
  const allocation_counter count{row};
  for (auto _ : row) {
    const auto seen = observe(aircraft(), now);
    benchmark::DoNotOptimize(&seen);
    benchmark::ClobberMemory();
  }
}

void explaining(benchmark::State& row) {
  const auto now = taxi_state();
  const allocation_counter count{row};
  for (auto _ : row) {
    auto why = explain(aircraft(), now, events::electric_pump(1));
    benchmark::DoNotOptimize(why);
  }
}

/// One frame of a device: a sixtieth of a second, three facts that it repeats, and what is to be shown.
void frame(benchmark::State& row) {
  state now = taxi_state();
  effects what{};
  const allocation_counter count{row};
  unsigned number = 0;
  for (auto _ : row) {
    apply(aircraft(), now, events::elapsed(milliseconds{++number % 3 == 0 ? 16 : 17}), what);
    apply(aircraft(), now, events::spool(0, spool_band::idle), what);
    apply(aircraft(), now, events::pressure(0, true), what);
    apply(aircraft(), now, events::difference(0, pressure_difference::level), what);
    const auto seen = observe(aircraft(), now);
    benchmark::DoNotOptimize(&seen);
    benchmark::ClobberMemory();
  }
}

/// Ten minutes of a turnaround, 36,000 frames, with the quasi-static plant and an observation for each.
void lesson(benchmark::State& row) {
  struct entry {
    int second;
    event what;
  };
  const std::vector<entry> script{
      {1, events::external_power(true)},        {5, events::lever(0, lever_position::open)},
      {40, events::lever(0, lever_position::neutral)}, {60, events::lever(0, lever_position::close)},
      {95, events::lever(0, lever_position::neutral)}, {110, events::steering(false)},
      {130, events::start(0)},                  {200, events::start(1)},
      {250, events::steering(true)},            {260, events::external_power(false)},
      {280, events::parking_brake(false)},      {400, events::air_ground_is(air_ground::air)},
      {405, events::airspeed(airspeed_band::fast)}, {410, events::gear(false)}};
  const allocation_counter count{row};
  for (auto _ : row) {
    simulation told{aircraft(), plant_kind::quasi_static};
    std::size_t next = 0;
    std::size_t refused = 0;
    for (int number = 0; number < 36'000; ++number) {
      if (next < script.size() && script[next].second * 60 == number) {
        if (!told.apply(script[next++].what).accepted()) ++refused;
      }
      told.advance(milliseconds{number % 3 == 0 ? 16 : 17});
      const auto seen = observe(told.aircraft(), told.now());
      benchmark::DoNotOptimize(&seen);
      benchmark::ClobberMemory();
    }
    if (refused != 0) row.SkipWithError("the lesson has a refused event");
    if (told.now().chronicle.now != 600'000) row.SkipWithError("the lesson does not end at ten minutes");
  }
}

/// Ten minutes in which nothing happens, in one call.
void quiet_time(benchmark::State& row) {
  simulation begun{aircraft(), plant_kind::quasi_static};
  begun.apply(events::external_power(true));
  begun.advance(milliseconds{60'000});
  const allocation_counter count{row};
  for (auto _ : row) {
    simulation told = begun;
    benchmark::DoNotOptimize(told.advance(milliseconds{600'000}));
  }
}

template <class Contestant>
void add_contestant(const std::string& name) {
  const auto single = [&name](const char* what, std::vector<event> turn) {
    benchmark::RegisterBenchmark((std::string{what} + '/' + name).c_str(),
                                 [turn](benchmark::State& row) { in_turn<Contestant>(row, turn); });
  };
  benchmark::RegisterBenchmark(("stream/" + name).c_str(), whole_stream<Contestant>)->Unit(benchmark::kMillisecond);
  single("lever", {events::lever(0, lever_position::open), events::lever(0, lever_position::neutral)});
  single("start_and_shut_down", {events::shut_down(0), events::start(0)});
  single("elapsed_16ms", {events::elapsed(milliseconds{16})});
  single("fact_repeated", {events::pressure(0, true)});
}

/// Prints the usual table, then the medians beside the hand-written switch.
class reporter : public benchmark::ConsoleReporter {
 public:
  reporter() : ConsoleReporter(OO_Tabular) {}
  void ReportRuns(const std::vector<Run>& runs) override {
    ConsoleReporter::ReportRuns(runs);
    for (const auto& run : runs) {
      const bool single = run.run_type == Run::RT_Iteration && run.repetitions <= 1;
      if (single || run.aggregate_name == "median") medians_[run.run_name.str()] = run.GetAdjustedCPUTime();
    }
  }
  void Finalize() override {
    ConsoleReporter::Finalize();
    std::printf("\nmedian beside the hand-written switch of the same kind (in place, or by value):\n");
    for (const auto& [name, time] : medians_) {
      const auto cut = name.rfind('/');
      if (cut == std::string::npos || name.compare(cut, 5, "/hand") == 0) continue;
      const bool by_value = name.ends_with("by_value");
      const auto beside = medians_.find(name.substr(0, cut) + (by_value ? "/hand_by_value" : "/hand"));
      if (beside != medians_.end()) std::printf("  %-42s %5.2f x\n", name.c_str(), time / beside->second);
    }
  }

 private:
  std::map<std::string, double> medians_;
};

std::string processor() {
  std::ifstream info{"/proc/cpuinfo"};
  for (std::string line; std::getline(info, line);) {
    if (line.starts_with("model name")) return line.substr(line.find(':') + 2);
  }
  return "unknown";
}

}  // namespace

int main(int argc, char** argv) {
  std::vector<std::string> words{argv[0]};
  bool dry = false;
  for (int i = 1; i < argc; ++i) {
    if (std::string_view{argv[i]} == "--dry") {
      dry = true;
    } else {
      words.emplace_back(argv[i]);
    }
  }
  // put in front, so that what the caller says wins
  const std::vector<std::string> standard =
      dry ? std::vector<std::string>{"--benchmark_min_time=0.001", "--benchmark_repetitions=1"}
          : std::vector<std::string>{"--benchmark_min_time=0.1", "--benchmark_repetitions=9",
                                     "--benchmark_enable_random_interleaving=true",
                                     "--benchmark_display_aggregates_only=true"};
  words.insert(words.begin() + 1, standard.begin(), standard.end());
  std::vector<char*> arguments;
  for (auto& w : words) arguments.push_back(w.data());
  int count = static_cast<int>(arguments.size());

#if !defined(NDEBUG)
  std::printf("assertions are on: build with CMAKE_BUILD_TYPE=Release before you believe a number\n");
#endif
  if (!all_agree()) return 1;

  benchmark::AddCustomContext("processor", processor());
#if defined(__clang__)
  benchmark::AddCustomContext("compiler", "clang " __clang_version__);
#else
  benchmark::AddCustomContext("compiler", "g++ " __VERSION__);
#endif
  benchmark::AddCustomContext("sizeof(logic_state)", std::to_string(sizeof(logic_state)));
  benchmark::AddCustomContext("sizeof(state)", std::to_string(sizeof(state)));
  benchmark::AddCustomContext("sizeof(hand-written state)", std::to_string(sizeof(by_hand::aircraft)));

  add_contestant<library>("penstock");
  add_contestant<hand_written>("hand");
  add_contestant<msm>("msm");
  add_contestant<library_by_value>("penstock_by_value");
  add_contestant<hand_written_by_value>("hand_by_value");
  benchmark::RegisterBenchmark("observe", observing);
  benchmark::RegisterBenchmark("explain", explaining);
  benchmark::RegisterBenchmark("frame", frame);
  benchmark::RegisterBenchmark("lesson_of_36000_frames", lesson)->Unit(benchmark::kMillisecond);
  benchmark::RegisterBenchmark("advance_ten_quiet_minutes", quiet_time)->Unit(benchmark::kMicrosecond);

  benchmark::Initialize(&count, arguments.data());
  if (benchmark::ReportUnrecognizedArguments(count, arguments.data())) return 2;
  reporter shown;
  benchmark::RunSpecifiedBenchmarks(&shown);
  benchmark::Shutdown();
  return 0;
}
