// How many states a second does the search go through, beside SPIN on a model of the same aircraft, with the same events,
// on one core each?
//
// Without arguments: 5 repetitions of each, one after the other in turn; medians. With --dry: once, with the smallest
// alphabet. Without spin on this machine: penstock alone. SPIN's model keeps other variables than penstock, and does not
// try an event that changes nothing, so that states and transitions differ in number; what can be seen is the same, which
// tests/promela/model_test.cpp proves. Neither side judges orders or the way back here.
#include <algorithm>
#include <chrono>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <string_view>
#include <vector>

#include "tests/promela/alphabets.hpp"

namespace {

using namespace penstock;

struct measured {
  double states = 0.0;
  std::vector<double> seconds;
  [[nodiscard]] double median() {
    std::sort(seconds.begin(), seconds.end());
    return seconds.empty() ? 0.0 : seconds[seconds.size() / 2];
  }
};

template <class Work>
double seconds_of(const Work& work) {
  const auto begin = std::chrono::steady_clock::now();
  work();
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
}

/// Builds SPIN's search in a folder; false where there is no spin.
bool build_model(const std::filesystem::path& folder, const std::string& events) {
  std::filesystem::create_directories(folder);
  const std::string sources = PENSTOCK_SOURCE_FOLDER "/tests/promela";
  const std::string command = "cd '" + folder.string() + "' && spin -a -D" + events + " '" + sources +
                              "/twin_freighter.pml' >/dev/null 2>&1 && cc -O2 -w -DSAFETY -DNOREDUCE '-I" + sources +
                              "' -o pan pan.c >/dev/null 2>&1";
  return std::system(command.c_str()) == 0;
}

/// "   675157 states, stored" in SPIN's report.
double stored_states(const std::filesystem::path& report) {
  std::ifstream in{report};
  std::string line;
  while (std::getline(in, line)) {
    if (line.find("states, stored") != std::string::npos) return std::strtod(line.c_str(), nullptr);
  }
  return 0.0;
}

void compare(const std::string& events, const penstock_tests::alphabet& all, int repetitions) {
  const layout aircraft = penstock_tests::twin_freighter();
  std::string folder_name = (std::filesystem::temp_directory_path() / "penstock-model-XXXXXX").string();
  if (::mkdtemp(folder_name.data()) == nullptr) return;
  const std::filesystem::path folder{folder_name};
  const bool with_spin = build_model(folder, events);
  search_options options;
  options.judge_orders = false;
  options.judge_way_back = false;
  measured ours;
  measured theirs;
  std::uint64_t transitions = 0;
  for (int i = 0; i < repetitions; ++i) {
    ours.seconds.push_back(seconds_of([&] {
      const search_result found = search(aircraft, all.part, options);
      ours.states = static_cast<double>(found.states);
      transitions = found.transitions;
    }));
    if (!with_spin) continue;
    const std::string command = "cd '" + folder.string() + "' && ./pan -m4000000 >report.txt 2>&1";
    theirs.seconds.push_back(seconds_of([&] {
      if (std::system(command.c_str()) != 0) std::printf("explore_benchmark: SPIN's search of %s failed\n", events.c_str());
    }));
    theirs.states = stored_states(folder / "report.txt");
  }
  const double our_rate = ours.states / ours.median();
  std::printf("%-6s penstock %8.0f states %9llu events tried %6.2f s %8.0f states/s", events.c_str(), ours.states,
              static_cast<unsigned long long>(transitions), ours.median(), our_rate);
  if (with_spin) {
    const double their_rate = theirs.states / theirs.median();
    std::printf(" | SPIN %8.0f states %6.2f s %8.0f states/s | %.2f times SPIN", theirs.states, theirs.median(), their_rate,
                our_rate / their_rate);
  }
  std::printf("\n");
  std::error_code ignored;
  std::filesystem::remove_all(folder, ignored);
}

}  // namespace

int main(int count, char** arguments) {
  const bool dry = count > 1 && std::string_view{arguments[1]} == "--dry";
  const int repetitions = dry ? 1 : 5;
  compare("FIRST", penstock_tests::first_engine_events(), repetitions);
  if (dry) return 0;
  compare("CARGO", penstock_tests::cargo_events(), repetitions);
  compare("TEST", penstock_tests::transfer_test_events(), repetitions);
  return 0;
}
