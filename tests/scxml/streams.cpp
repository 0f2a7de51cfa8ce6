// Writes what an interpreter of SCXML is compared with: each machine, and each aircraft that comes with
// penstock, as SCXML, and beside it a stream of random events with what the tables do with each.
//
// Usage: penstock_scxml_streams FOLDER MACHINE_EVENTS AIRCRAFT_EVENTS
#include "files/machine_models.hpp"
#include "files/row_scripts.hpp"
#include "penstock/draw.hpp"
#include "penstock/layout_file.hpp"

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <memory>
#include <random>
#include <set>
#include <stdexcept>
#include <string>
#include <vector>

namespace {

using namespace penstock;

/// Part of the promise: the same stream on every machine. Standard distributions differ between libraries.
class dice {
 public:
  explicit dice(std::uint64_t seed) : engine_{seed} {}
  std::size_t below(std::size_t many) { return engine_() % many; }

 private:
  std::mt19937_64 engine_;
};

std::string in_json(std::string_view value) {
  if (!value.starts_with('\'')) return std::string{value};
  return '"' + std::string{value.substr(1, value.size() - 2)} + '"';
}

template <class Structure>
std::string in_json(const Structure& of, const std::vector<files::variable>& all, std::size_t first) {
  std::string words = "{";
  for (std::size_t i = 0; i < files::members<Structure>; ++i) {
    words.append(i == 0 ? "\"" : ",\"").append(all[first + i].name).append("\":");
    words += in_json(all[first + i].values[files::member_value(of, i)]);
  }
  return words + "}";
}

/// One machine of one component, run through its rows.
class run {
 public:
  run(machine which, std::uint8_t mode, std::string region) : which_{which}, mode_{mode}, region_{std::move(region)} {}
  run(const run&) = delete;
  run& operator=(const run&) = delete;
  virtual ~run() = default;
  /// One event, as a line of JSON: event, data, and what must be so afterwards.
  virtual std::string next(dice& random) = 0;
  [[nodiscard]] bool took_every_row() const { return taken_.size() == rows_of(which_).size(); }

 protected:
  [[nodiscard]] std::string line(std::uint8_t event, const std::string& data, std::uint8_t before, int row,
                                 const std::string& memory) {
    const std::string begin = region_.empty() ? "" : region_ + ".";
    std::string words = "{\"region\":\"" + region_ + "\",\"event\":\"" + begin + std::string{event_word(which_, event)};
    words += "\",\"data\":" + data + ",\"state\":\"" + begin + std::string{mode_word(which_, mode_)} + "\",\"taken\":";
    if (row < 0) {
      words += "null,\"refused\":null";
    } else {
      // An interpreter tells which transition of a state it took.
      const auto rows = rows_of(which_);
      const auto number = static_cast<std::size_t>(row);
      const auto earlier = std::count_if(rows.begin(), rows.begin() + row, [&](const table_row& each) {
        return each.source == rows[number].source;
      });
      taken_.insert(number);
      words += "\"" + begin + std::string{mode_word(which_, before)} + " " + std::to_string(earlier) + "\",\"refused\":";
      words += rows[number].refuses ? "\"" + std::string{rows[number].sentence} + "\"" : "null";
    }
    return words + ",\"memory\":" + memory + "}\n";
  }

  machine which_;
  std::uint8_t mode_;

 private:
  std::string region_;
  std::set<std::size_t> taken_;
};

template <class Model>
class table_run final : public run {
 public:
  using run::run;

  std::string next(dice& random) override {
    typename Model::inputs in{};
    const std::uint8_t event = random.below(2) == 0 ? any_event(random, in) : fitting_event(random, in);
    const std::uint8_t before = mode_;
    auto mode = static_cast<typename Model::modes>(mode_);
    const auto step = machines::step<Model>(mode, memory_, in, static_cast<typename Model::events>(event));
    mode_ = static_cast<std::uint8_t>(mode);
    return line(event, in_json(in, variables_, 0), before, step.row,
                in_json(memory_, variables_, files::members<typename Model::inputs>));
  }

 private:
  void roll(dice& random, typename Model::inputs& in) {
    for (std::size_t i = 0; i < files::members<typename Model::inputs>; ++i) {
      files::set_member(in, i, random.below(variables_[i].values.size()));
    }
  }

  std::uint8_t any_event(dice& random, typename Model::inputs& in) {
    roll(random, in);
    std::uint8_t events = 0;
    while (event_word(which_, events) != "?") ++events;
    return static_cast<std::uint8_t>(random.below(events));
  }

  // Inputs that a row wants; some wait for one combination in hundreds.
  std::uint8_t fitting_event(dice& random, typename Model::inputs& in) {
    std::vector<table_row> from_here;
    std::vector<bool (*)(const typename Model::inputs&, const typename Model::memory&)> guards;
    [&]<std::size_t... Index>(std::index_sequence<Index...>) {
      const auto add = [&]<class Row>(std::type_identity<Row>, std::size_t number) {
        if (static_cast<std::uint8_t>(Row::source) != mode_) return;
        from_here.push_back(rows_of(which_)[number]);
        guards.push_back(Row::guard);
      };
      (add(std::type_identity<machines::row_at<Model, Index>>{}, Index), ...);
    }(std::make_index_sequence<machines::row_count<Model>>{});
    constexpr int tries = 4096;
    const std::size_t wanted = random.below(from_here.size());
    for (int i = 0; i < tries; ++i) {
      roll(random, in);
      if (guards[wanted](in, memory_)) break;
    }
    return from_here[wanted].event;
  }

  std::vector<files::variable> variables_ = files::variables_of<Model>();
  typename Model::memory memory_{};
};

std::unique_ptr<run> run_of(machine which, std::uint8_t mode, const std::string& region) {
  return files::with_model(which, [&]<class Model>() -> std::unique_ptr<run> {
    return std::make_unique<table_run<Model>>(which, mode, region);
  });
}

void write(const std::filesystem::path& file, const std::string& text) {
  std::ofstream out{file, std::ios::binary};
  out << text;
  if (!out.flush()) throw std::runtime_error{"cannot write " + file.string()};
}

std::string stream_of(const std::vector<std::unique_ptr<run>>& machines, std::size_t events, std::uint64_t seed) {
  dice random{seed};
  std::string text;
  for (std::size_t i = 0; i < events; ++i) text += machines[random.below(machines.size())]->next(random);
  return text;
}

/// One machine alone, as drawn for the first aircraft that has it.
void write_machine(const std::filesystem::path& folder, const std::vector<layout>& aircraft, machine which,
                   std::size_t events) {
  const auto many = detail::machine_places::many[static_cast<std::size_t>(which)];
  const layout* of = &aircraft.front();
  std::uint8_t mode = 0;
  bool found = false;
  for (const layout& each : aircraft) {
    for (std::uint8_t i = 0; i < many && !found; ++i) {
      if (!has_machine(each, which, i)) continue;
      found = true;
      of = &each;
      mode = mode_of(cold_and_dark(each), which, i);
    }
  }
  const std::string name{word(which)};
  std::vector<std::unique_ptr<run>> alone;
  alone.push_back(run_of(which, mode, ""));
  write(folder / (name + ".scxml"), drawn(*of, diagram::scxml, which));
  write(folder / (name + ".events"), stream_of(alone, events, 1 + static_cast<std::uint64_t>(which)));
  if (!alone.front()->took_every_row()) throw std::runtime_error{name + ": a row was never taken"};
}

void write_aircraft(const std::filesystem::path& folder, const layout& of, std::size_t events) {
  const state beginning = cold_and_dark(of);
  std::vector<std::unique_ptr<run>> all;
  for (std::size_t m = 0; m < machine_count; ++m) {
    const auto which = static_cast<machine>(m);
    for (std::uint8_t i = 0; i < detail::machine_places::many[m]; ++i) {
      if (!has_machine(of, which, i)) continue;
      const std::string owner{of.name(owner_of(of, which, i))};
      all.push_back(run_of(which, mode_of(beginning, which, i), owner + "." + std::string{word(which)}));
    }
  }
  const std::string name{of.spec().name};
  write(folder / (name + ".scxml"), drawn(of, diagram::scxml));
  write(folder / (name + ".events"), stream_of(all, events, 1000 + all.size()));
}

}  // namespace

int main(int count, char** words) {
  try {
    if (count != 4) throw std::runtime_error{"usage: penstock_scxml_streams FOLDER MACHINE_EVENTS AIRCRAFT_EVENTS"};
    const std::filesystem::path folder{words[1]};
    std::filesystem::remove_all(folder);
    std::filesystem::create_directories(folder / "machines");
    std::filesystem::create_directories(folder / "aircraft");
    std::vector<layout> aircraft;
    for (const shipped_file& each : shipped_layouts()) {
      auto read = load_layout(std::string{each.name});
      if (!read) throw std::runtime_error{to_string(read.problem())};
      aircraft.push_back(*std::move(read));
    }
    for (std::size_t m = 0; m < machine_count; ++m) {
      write_machine(folder / "machines", aircraft, static_cast<machine>(m), std::stoul(words[2]));
    }
    for (const layout& each : aircraft) write_aircraft(folder / "aircraft", each, std::stoul(words[3]));
    return EXIT_SUCCESS;
  } catch (const std::exception& problem) {
    std::cerr << "penstock_scxml_streams: " << problem.what() << "\n";
    return EXIT_FAILURE;
  }
}
