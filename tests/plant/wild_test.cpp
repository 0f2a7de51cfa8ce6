// Whatever is asked of the plant: fluid is conserved, energy is accounted for, and every number stays a number.
#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <string>
#include <vector>

#include <gtest/gtest.h>

#include "penstock/penstock.hpp"
#include "plant/any_layout.hpp"
#include "support/rule_test.hpp"

namespace penstock_tests {
namespace {

using namespace penstock;

double log_uniform_step(dice& d) {
  // 2 to the power of -10 to 0; half of them at a frame of a display.
  return d.one_in(2) ? 1.0 / 60.0 : std::max(shortest_step, std::exp2(d.between(-10.0, 0.0)));
}

/// How far the places of a circuit's fluid together are from what was filled, as a share of it.
double lost_share(const layout& of, const plant_state& plant, unsigned c) {
  const fluid_contents f = contents_of(of, plant, c);
  return std::abs(f.filled - (f.reservoir + f.lines + f.actuators + f.stores + f.leaked)) / f.filled;
}

/// What is wrong with a plant, or nothing.
std::string wrong_with(const layout& of, const plant_state& plant, double highest) {
  bool finite = true;
  each_number(plant, [&finite](double x) { finite = finite && std::isfinite(x); });
  if (!finite) return "a number is not finite";
  const auto share = [](double x) { return x >= 0.0 && x <= 1.0; };
  for (const auto& e : plant.engines) {
    if (!share(e.speed) || e.since_idle < 0.0) return "speed of an engine";
  }
  if (!std::all_of(plant.motor.begin(), plant.motor.end(), share)) return "speed of a motor";
  if (!std::all_of(plant.door.begin(), plant.door.end(), share)) return "place of a door";
  if (!std::all_of(plant.gear.begin(), plant.gear.end(), share)) return "place of gear";
  for (std::size_t c = 0; c < of.plan().circuits; ++c) {
    const circuit_plant& one = plant.circuits[c];
    for (std::size_t b = 0; b < one.line.size(); ++b) {
      if (!(one.line[b] >= 0.0)) return "negative fluid in a line";
      if (one.line[b] > of.fluid().circuits[c].capacity[b] * highest) {
        return "pressure " + std::to_string(one.line[b] / of.fluid().circuits[c].capacity[b] / of.fluid().nominal);
      }
    }
    if (!(one.own_line >= 0.0)) return "negative fluid in a line of its own";
    if (!(one.reservoir >= 0.0)) return "negative reservoir " + std::to_string(one.reservoir * 1e15) + " um3";
    if (!(one.leaked >= 0.0)) return "negative leak " + std::to_string(one.leaked * 1e9) + " mm3";
    if (!(one.temperature > 200.0)) return "cold: " + std::to_string(one.temperature) + " K in circuit " + std::to_string(c);
  }
  for (std::size_t s = 0; s < of.plan().stores; ++s) {
    const store_plant& one = plant.stores[s];
    if (!(one.fluid >= 0.0 && one.fluid < of.fluid().stores[s].gas)) return "fluid of a store";
    if (!(one.brake >= 0.0 && one.gas_temperature > 0.0)) return "gas of a store";
  }
  for (const auto& u : plant.units) {
    if (!(u.flow >= 0.0)) return "flow of a unit";
  }
  const auto flows = [](double f) { return f >= 0.0; };
  const bool all_flow = std::all_of(plant.engine_pump_flow.begin(), plant.engine_pump_flow.end(), flows) &&
                        std::all_of(plant.electric_pump_flow.begin(), plant.electric_pump_flow.end(), flows) &&
                        std::all_of(plant.ram_air_pump_flow.begin(), plant.ram_air_pump_flow.end(), flows);
  return all_flow ? "" : "flow of a pump";
}

RULE_TEST(WildPlant, ConservesTheFluidOfEachCircuitOverAMillionFrames, "LVL-2") {
  dice d{1};
  double worst = 0.0;
  const std::vector<layout_spec> specs = shipped_specs();
  ASSERT_EQ(specs.size(), 3U);
  for (const layout_spec& spec : specs) {
    const layout of = checked(spec);
    const plant_state begin = plant_at(of, cold_and_dark(of));
    plant_state plant = begin;
    plant_commands commands{};
    for (int frame = 0; frame < 334'000; ++frame) {
      if (frame % 60 == 0) commands = any_commands(d, of);
      if (frame % 60'000 == 0) plant = begin;
      // A frame of a display takes several inner steps, one of 1 ms takes one: most are short, for the time it takes.
      const double dt = frame / 600 % 8 == 0 ? 1.0 / 60.0 : shortest_step;
      ASSERT_EQ(integrate_in_place(of, plant, commands, dt).kind, refusal_kind::none);
      for (unsigned c = 0; c < of.plan().circuits; ++c) {
        // No circuit was filled by another: not even over a transfer unit.
        ASSERT_EQ(plant.circuits[c].filled, begin.circuits[c].filled);
        worst = std::max(worst, lost_share(of, plant, c));
      }
    }
  }
  EXPECT_LE(worst, 1e-9);
  std::printf("fluid: the books are at most %.1e of what was filled apart\n", worst);
}

RULE_TEST(WildPlant, StaysFiniteAndNeverNegativeOverAMillionFramesWithNumbersAtTheEndsOfTheirRanges, "LVL-2 GEN-2") {
  dice d{2};
  const std::vector<layout_spec> specs = shipped_specs();
  double worst = 0.0;
  std::size_t frames = 0;
  for (int one = 0; frames < 1'000'000; ++one) {
    const layout of = any_layout(d, specs[static_cast<std::size_t>(one) % specs.size()]);
    plant_state plant = plant_at(of, cold_and_dark(of));
    plant_commands commands{};
    // Two units one behind the other may push higher than one.
    const double highest = 150.0 * of.fluid().nominal;
    for (int frame = 0; frame < 2'000; ++frame, ++frames) {
      // Valves flap in every frame for a while.
      if (frame % (frame < 500 ? 1 : 25) == 0) commands = any_commands(d, of);
      const double dt = frame < 100 ? 1.0 / 60.0 : frame < 1'950 ? shortest_step : log_uniform_step(d);
      ASSERT_EQ(integrate_in_place(of, plant, commands, dt).kind, refusal_kind::none);
      const std::string wrong = wrong_with(of, plant, highest);
      ASSERT_EQ(wrong, "") << "layout " << one << ", frame " << frame << ", dt " << dt;
      for (unsigned c = 0; c < of.plan().circuits; ++c) worst = std::max(worst, lost_share(of, plant, c));
    }
  }
  EXPECT_LE(worst, 1e-9);
  std::printf("fluid, with numbers at their ends: %.1e\n", worst);
}

/// What pumps put in and nobody has accounted for, as a share of it.
double energy_unaccounted(const layout& of, const plant_state& begin, const plant_state& end) {
  double pumped = 0.0;
  double missing = 0.0;
  for (std::size_t c = 0; c < of.plan().circuits; ++c) {
    const auto in_lines = [&](const plant_state& p) {
      double sum = 0.0;
      for (std::size_t b = 0; b < 3; ++b) {
        sum += 0.5 * p.circuits[c].line[b] * p.circuits[c].line[b] / of.fluid().circuits[c].capacity[b];
      }
      return sum;
    };
    const circuit_plant& a = begin.circuits[c];
    const circuit_plant& b = end.circuits[c];
    pumped += b.pumped - a.pumped;
    missing += (b.pumped - a.pumped) - (b.worked - a.worked) - (b.heated - a.heated) - (in_lines(end) - in_lines(begin));
  }
  return pumped > 0.0 ? missing / pumped : 0.0;
}

TEST(WildPlant, AccountsForTheEnergyOfEveryPump) {
  dice d{3};
  double worst_tight = 0.0;
  double least_loose = 0.0;
  double most_loose = 0.0;
  for (int story = 0; story < 12; ++story) {
    for (const layout_spec& spec : shipped_specs()) {
      for (const bool valves_move : {false, true}) {
        const layout of = checked(spec);
        const plant_state begin = plant_at(of, cold_and_dark(of));
        plant_state plant = begin;
        for (int frame = 0; frame < 1'200; ++frame) {
          if (frame % 60 == 0) {
            dice same = d;
            plant_commands commands = any_commands(same, of);
            d = same;
            for (std::size_t c = 0; !valves_move && c < of.plan().circuits; ++c) {
              commands.circuits[c].main_open = commands.circuits[c].outer_open = true;
            }
            for (int i = 0; i < 60; ++i) ASSERT_EQ(integrate_in_place(of, plant, commands, 1.0 / 60.0).kind, refusal_kind::none);
          }
        }
        const double share = energy_unaccounted(of, begin, plant);
        if (valves_move) {
          least_loose = std::min(least_loose, share);
          most_loose = std::max(most_loose, share);
        } else {
          worst_tight = std::max(worst_tight, std::abs(share));
        }
      }
    }
  }
  std::printf("energy: %.1e of the pumps' work unaccounted for with valves at rest; moving: %.1e to %.1e\n",
              worst_tight, least_loose, most_loose);
  EXPECT_LE(worst_tight, 1e-7);
  // Where branches of different pressure come together, and in a shut one, energy goes without a book.
  EXPECT_GE(least_loose, -1e-9);
  EXPECT_LE(most_loose, 0.25);
}

TEST(WildPlant, FindsTheSameEquilibriumFromAnyStateWithAnyStep) {
  for (const layout_spec& spec : shipped_specs()) {
    const layout of = checked(spec);
    for (const bool with_unit : {false, true}) {
      plant_commands commands{};
      for (auto& c : commands.circuits) c = {true, true, false, false, false, 0.0, 0.0, 1e-4};
      for (std::size_t i = 0; i < of.plan().engine_pumps; ++i) {
        commands.engines[of.plan().engine_pump_at[i].engine].drive = spool_drive::at_idle;
        commands.engine_pumps[i].on = !with_unit || i == 0;
      }
      if (with_unit && of.plan().units > 0) {
        commands.units[0].direction = of.plan().unit_at[0].a == of.plan().engine_pump_at[0].circuit ? 1 : -1;
      }
      std::vector<std::array<double, limits::circuits>> ends;
      for (const double dt : {0.001, 1.0 / 60.0, 0.2, 1.0}) {
        for (const double begins_at : {0.0, 0.5, 1.0, 1.5}) {
          if (dt < 0.01 && begins_at == 0.5) continue;
          plant_state plant = plant_at(of, cold_and_dark(of));
          double highest = of.fluid().nominal;
          for (std::size_t c = 0; c < of.plan().circuits; ++c) {
            circuit_plant& one = plant.circuits[c];
            for (std::size_t b = 0; b < 3; ++b) {
              one.line[b] = begins_at * of.fluid().circuits[c].capacity[b] * of.fluid().nominal;
              highest = std::max(highest, begins_at * of.fluid().nominal);
            }
          }
          for (int i = 0; i < static_cast<int>(40.0 / dt); ++i) {
            ASSERT_EQ(integrate_in_place(of, plant, commands, dt).kind, refusal_kind::none);
            ASSERT_EQ(wrong_with(of, plant, highest * 1.0001), "") << spec.name << " dt " << dt << " from " << begins_at;
          }
          std::array<double, limits::circuits> end{};
          for (unsigned c = 0; c < of.plan().circuits; ++c) end[c] = pressure_of(of, plant, c).value / of.fluid().nominal;
          ends.push_back(end);
        }
      }
      for (const auto& end : ends) {
        for (std::size_t c = 0; c < of.plan().circuits; ++c) {
          EXPECT_NEAR(end[c], ends.front()[c], 1e-3) << spec.name << ", circuit " << c << (with_unit ? ", unit" : "");
        }
      }
    }
  }
}

}  // namespace
}  // namespace penstock_tests
