// What does the fluid cost: one step of the plant, one frame of a device with it, one lesson?
//
// Without arguments: 9 repetitions, interleaved. With --dry: one short repetition, for checks.
#include <benchmark/benchmark.h>

#include <cstdio>
#include <string>
#include <string_view>
#include <vector>

#include "benchmarks/transition/allocations.hpp"
#include "penstock/penstock.hpp"

namespace {

using namespace penstock;

constexpr double frame_time = 1.0 / 60.0;

const layout& aircraft() {
  static const layout made = *layout::from(layouts::twin_freighter());
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

/// A second of frames again and again from one state, so that what moves goes on moving. One iteration is one frame.
void frames_from(benchmark::State& row, const simulation& begun, const plant_commands& commands) {
  const plant_state begin = begun.fluid();
  plant_state plant = begin;
  int number = 0;
  const allocation_counter count{row};
  for (auto _ : row) {
    if (number++ % 60 == 0) plant = begin;
    benchmark::DoNotOptimize(integrate_in_place(aircraft(), plant, commands, frame_time));
  }
}

void must(effects what) {
  if (!what.accepted()) std::printf("plant_benchmark: an event is refused: %s\n", std::string{what.refused.sentence}.c_str());
}

/// Both engines run; every circuit has pressure.
simulation running() {
  simulation told{aircraft(), plant_kind::fluid};
  must(told.apply(events::external_power(true)));
  must(told.apply(events::start(0)));
  told.advance(milliseconds{60'000});
  must(told.apply(events::start(1)));
  told.advance(milliseconds{60'000});
  return told;
}

void quiet(benchmark::State& row) {
  const simulation told = running();
  frames_from(row, told, commands_for(aircraft(), told.now()));
}

void door_in_service_mode(benchmark::State& row) {
  simulation told{aircraft(), plant_kind::fluid};
  must(told.apply(events::external_power(true)));
  must(told.apply(events::lever(0, lever_position::open)));
  told.advance(milliseconds{5'000});
  frames_from(row, told, commands_for(aircraft(), told.now()));
}

void unit_test_running(benchmark::State& row) {
  simulation told{aircraft(), plant_kind::fluid};
  must(told.apply(events::external_power(true)));
  must(told.apply(events::start(0)));
  told.advance(milliseconds{60'000});
  must(told.apply(events::start(1)));
  told.advance(milliseconds{200});
  const plant_commands commands = commands_for(aircraft(), told.now());
  if (commands.units[0].direction == 0) row.SkipWithError("the unit does not drive");
  frames_from(row, told, commands);
}

void gear_retracts(benchmark::State& row) {
  simulation told = running();
  must(told.apply(events::air_ground_is(air_ground::air)));
  must(told.apply(events::gear(false)));
  told.advance(milliseconds{1'000});
  const plant_commands commands = commands_for(aircraft(), told.now());
  if (commands.gear[2].motion == 0 || !(told.fluid().gear[2] > 0.0)) row.SkipWithError("the gear does not move");
  frames_from(row, told, commands);
}

/// One frame of a device: time goes on and all that can be seen is looked at.
void whole_frame(benchmark::State& row) {
  simulation told = running();
  unsigned number = 0;
  const allocation_counter count{row};
  for (auto _ : row) {
    if (told.now().chronicle.now > 80'000'000) {
      row.PauseTiming();
      told = running();
      row.ResumeTiming();
    }
    told.advance(milliseconds{++number % 3 == 0 ? 16 : 17});
    const auto seen = observe(told.aircraft(), told.now());
    benchmark::DoNotOptimize(&seen);
    benchmark::ClobberMemory();
  }
}

/// Ten minutes of a turnaround, 36,000 frames, each with an observation.
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
    simulation told{aircraft(), plant_kind::fluid};
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
  benchmark::AddCustomContext("sizeof(plant_state)", std::to_string(sizeof(plant_state)));
  benchmark::RegisterBenchmark("integrate/quiet", quiet);
  benchmark::RegisterBenchmark("integrate/door_in_service_mode", door_in_service_mode);
  benchmark::RegisterBenchmark("integrate/unit_test", unit_test_running);
  benchmark::RegisterBenchmark("integrate/gear_retraction", gear_retracts);
  benchmark::RegisterBenchmark("whole_frame", whole_frame);
  benchmark::RegisterBenchmark("lesson_of_36000_frames", lesson)->Unit(benchmark::kMillisecond);

  benchmark::Initialize(&count, arguments.data());
  if (benchmark::ReportUnrecognizedArguments(count, arguments.data())) return 2;
  benchmark::RunSpecifiedBenchmarks();
  benchmark::Shutdown();
  return 0;
}
