// The plant against SUNDIALS CVODE, a general-purpose solver of differential equations, on one transient each.
#include <gtest/gtest.h>

#include <cstdio>
#include <functional>
#include <string>

#include "reference/reference_plant.hpp"

namespace penstock_tests {
namespace {

/// One transient: a state and fixed commands for some seconds. Invented, on the invented twin freighter.
struct transient {
  std::string name;
  double seconds;
  std::function<void(const layout&, plant_state&, plant_commands&)> begin;
};

constexpr unsigned port = 0, starboard = 1, keel = 2, gear = 2;

void fill(const layout& of, plant_state& plant, unsigned c, double share) {
  for (std::size_t b = 0; b < 3; ++b) {
    const double more = share * of.fluid().nominal * of.fluid().circuits[c].capacity[b] - plant.circuits[c].line[b];
    plant.circuits[c].line[b] += more;
    plant.circuits[c].own_line += more;
    plant.circuits[c].reservoir -= more;
  }
}

void run_engine(plant_state& plant, plant_commands& commands, unsigned e) {
  plant.engines[e].speed = 1.0;
  commands.engines[e].drive = spool_drive::at_idle;
  commands.engine_pumps[e].on = true;
}

const std::vector<transient>& transients() {
  static const std::vector<transient> all{
      {"electric pump starts", 3.0, [](const layout&, plant_state&, plant_commands& c) { c.electric_pumps[1].on = true; }},
      {"engine pump spools up", 10.0,
       [](const layout&, plant_state& plant, plant_commands& c) {
         plant.engines[0].speed = 0.2;
         c.engines[0].drive = spool_drive::cranking;
         c.engine_pumps[0].on = true;
       }},
      {"gear retracts", 16.0,
       [](const layout& of, plant_state& plant, plant_commands& c) {
         run_engine(plant, c, 1);
         fill(of, plant, starboard, 0.998);
         c.gear[gear] = {1, starboard};
       }},
      {"transfer unit is tested", 4.0,
       [](const layout& of, plant_state& plant, plant_commands& c) {
         run_engine(plant, c, 0);
         fill(of, plant, port, 0.998);
         c.units[0].direction = 1;
       }},
      {"store charges from empty", 60.0,
       [](const layout& of, plant_state& plant, plant_commands& c) {
         run_engine(plant, c, 0);
         fill(of, plant, port, 0.998);
         plant.circuits[port].reservoir += plant.stores[0].fluid;
         plant.stores[0].fluid = 0.0;
       }},
      {"store takes the last of a line", 20.0,
       [](const layout& of, plant_state& plant, plant_commands&) {
         fill(of, plant, port, 0.9);
         plant.circuits[port].reservoir += 0.5 * plant.stores[0].fluid;
         plant.stores[0].fluid *= 0.5;
       }},
      {"leak to a dry pump", 20.0,
       [](const layout& of, plant_state& plant, plant_commands& c) {
         run_engine(plant, c, 1);
         fill(of, plant, starboard, 0.98);
         plant.circuits[starboard].leaked = plant.circuits[starboard].reservoir - 2e-3;
         plant.circuits[starboard].reservoir = 2e-3;
         c.circuits[starboard].line_leak = 200e-6;
       }},
      {"relief valve reseats", 3.0,
       [](const layout& of, plant_state& plant, plant_commands&) { fill(of, plant, keel, 1.3); }},
      {"door opens in service mode", 30.0,
       [](const layout& of, plant_state& plant, plant_commands& c) {
         fill(of, plant, port, 0.4);
         c.circuits[port].main_open = c.circuits[port].outer_open = false;
         c.electric_pumps[0].on = true;
         c.doors[0] = {1, port};
       }},
  };
  return all;
}

/// Largest error of any connected pressure at this many frames a second, as a share of nominal.
double worst_error(const transient& of, double rate) {
  const layout aircraft = *layout::from(layouts::twin_freighter());
  plant_state plant = plant_at(aircraft, cold_and_dark(aircraft));
  plant_commands commands = commands_for(aircraft, cold_and_dark(aircraft));
  of.begin(aircraft, plant, commands);
  reference_plant reference{aircraft, plant, commands};
  double worst = 0.0;
  const int frames = static_cast<int>(of.seconds * rate);
  for (int i = 1; i <= frames; ++i) {
    EXPECT_EQ(integrate_in_place(aircraft, plant, commands, 1.0 / rate).kind, refusal_kind::none);
    reference.go_to(i / rate);
    for (unsigned c = 0; c < 3; ++c) {
      const double apart = pressure_of(aircraft, plant, c).value - reference.pressure(c);
      worst = std::max(worst, std::abs(apart) / aircraft.fluid().nominal);
    }
  }
  return worst;
}

TEST(Plant, AgreesWithCvodeWithinHalfAPercentOfNominalAt60FramesASecond) {
  constexpr double rates[] = {1000.0, 240.0, 60.0, 20.0, 5.0, 1.0};
  std::printf("largest error of a pressure, %% of nominal, against SUNDIALS CVODE\n%-32s", "frames a second");
  for (const double rate : rates) std::printf("%10.0f", rate);
  std::printf("\n");
  for (const transient& each : transients()) {
    std::printf("%-32s", each.name.c_str());
    for (const double rate : rates) {
      const double error = worst_error(each, rate);
      std::printf("%10.4f", 100.0 * error);
      EXPECT_LE(error, rate >= 60.0 ? 0.005 : 0.02) << each.name << " at " << rate;
    }
    std::printf("\n");
  }
}

}  // namespace
}  // namespace penstock_tests
