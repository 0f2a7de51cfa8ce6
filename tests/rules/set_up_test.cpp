// States that are set up directly [GEN-7]: every contradiction is refused in words, and what is set up is at rest.
#include <algorithm>
#include <functional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "support/bench.hpp"
#include "support/rule_test.hpp"

namespace penstock_tests {
namespace {

/// How the set-up is refused that `change` makes of cold and dark; empty when it is accepted.
std::string refusal(const bench& b, const std::function<void(reposition_spec&)>& change) {
  reposition_spec to = reposition_of_cold_and_dark(b.aircraft());
  change(to);
  const auto made = repositioned(b.aircraft(), to);
  return made ? std::string{} : made.problem().id + ": " + made.problem().message;
}

RULE_TEST(SetUp, EachContradictionIsRefusedInWords, "GEN-7") {
  const bench b = twin();
  const std::vector<std::pair<std::function<void(reposition_spec&)>, std::string_view>> contradictions{
      {[](auto& to) { to.pin_in = true; }, "pin cannot be in while the steering is connected"},
      {[](auto& to) { to.gear_down = false; }, "gear cannot be up on the ground"},
      {[](auto& to) { to.in_flight = true, to.steering_connected = false, to.pin_in = true; }, "pin cannot be in while in flight"},
      {[](auto& to) { to.now = milliseconds{-1}; }, "between 0 and 24 hours"},
      {[](auto& to) { to.now = limits::longest_time + milliseconds{1}; }, "between 0 and 24 hours"},
      {[](auto& to) { to.engine_pump_switches[0] = static_cast<pump_switch>(9); }, "outside its list"},
      {[](auto& to) { to.electric_pump_switches[0] = static_cast<pump_switch>(9); }, "outside its list"},
      {[](auto& to) { to.levers[0] = static_cast<lever_position>(9); }, "outside its list"},
      {[](auto& to) { to.doors[0] = static_cast<door_travel>(9); }, "outside its list"},
      {[](auto& to) { to.levels[0] = static_cast<fluid_level>(9); }, "outside its list"},
      {[](auto& to) { to.airspeed = static_cast<airspeed_band>(9); }, "outside its list"},
      {[](auto& to) { to.engine_pump_switches[1] = pump_switch::automatic; }, "engine pump engine-pump-2 is on or off, not auto"},
      {[](auto& to) { to.electric_pump_switches[plain_pump] = pump_switch::automatic; }, "plain-pump is on or off, not auto"},
      {[](auto& to) { to.electric_pump_switches[duty_pump] = pump_switch::on; }, "duty-pump is off or auto, not on"},
  };
  for (const auto& [change, words] : contradictions) {
    const std::string said = refusal(b, change);
    EXPECT_TRUE(said.starts_with("reposition-contradiction: ")) << words;
    EXPECT_NE(said.find(words), std::string::npos) << said;
  }
}

RULE_TEST(SetUp, WhatIsNearAContradictionIsTaken, "GEN-7") {
  const bench b = twin();
  const std::vector<std::function<void(reposition_spec&)>> possible{
      [](auto&) {},
      [](auto& to) { to.steering_connected = false; },
      [](auto& to) { to.steering_connected = false, to.pin_in = true; },
      [](auto& to) { to.in_flight = true; },
      [](auto& to) { to.in_flight = true, to.gear_down = false; },
      [](auto& to) { to.in_flight = true, to.steering_connected = false; },
      [](auto& to) { to.now = limits::longest_time; },
      [](auto& to) { to.engine_pump_switches[0] = pump_switch::off; },
      [](auto& to) { to.electric_pump_switches[plain_pump] = pump_switch::on; },
      [](auto& to) { to.electric_pump_switches[duty_pump] = pump_switch::off; },
      [](auto& to) { to.electric_pump_switches[cargo_pump] = pump_switch::on; },
  };
  for (const auto& change : possible) EXPECT_EQ(refusal(b, change), "");
}

RULE_TEST(SetUp, TheSteeringLinkIsConnectedOpenOrPinned, "GEN-7 STR-5") {
  bench b = twin();
  auto to = reposition_of_cold_and_dark(b.aircraft());
  EXPECT_EQ(b.begins_at(to).sees().steering, steering_mode::connected);
  to.steering_connected = false;
  EXPECT_EQ(b.begins_at(to).sees().steering, steering_mode::disconnected);
  to.pin_in = true;
  EXPECT_EQ(b.begins_at(to).sees().steering, steering_mode::pinned);
}

RULE_TEST(SetUp, PressureFollowsThePumpsAndAUnitWhatItDrives, "GEN-7 PTU-6") {
  bench b = twin();
  auto to = reposition_of_cold_and_dark(b.aircraft());
  to.parking_brake_set = false;
  to.in_flight = true;
  to.engine_runs = {true, true};
  to.engine_pump_switches[0] = pump_switch::off;
  b.begins_at(to);
  EXPECT_EQ(b.sees().units[0].mode, unit_mode::b_drives_a);
  EXPECT_TRUE(b.sees().circuits[cargo_circuit].pressure_made) << "driven";
  EXPECT_TRUE(b.sees().circuits[plain_circuit].pressure_made) << "its own pump";
  to.engine_pump_switches = {pump_switch::on, pump_switch::off};
  EXPECT_EQ(b.begins_at(to).sees().units[0].mode, unit_mode::a_drives_b);
}

RULE_TEST(SetUp, AUnitCannotBringPressureToAnEmptyCircuit, "GEN-7 PTU-8 LVL-4") {
  layout_spec spec = two_engine_spec();
  spec.transfer_units[0].stops_on_low_level = false;
  bench b{spec};
  auto to = reposition_of_cold_and_dark(b.aircraft());
  to.in_flight = true;
  to.engine_runs = {true, true};
  to.levels[plain_circuit] = fluid_level::empty;
  b.begins_at(to);
  ASSERT_EQ(b.sees().units[0].mode, unit_mode::a_drives_b) << "it does not stop on low level";
  EXPECT_FALSE(b.sees().circuits[plain_circuit].pressure_made);
  EXPECT_TRUE(b.sees().circuits[cargo_circuit].pressure_made);
}

RULE_TEST(SetUp, APumpOnAnEmptyCircuitBringsNoPressure, "GEN-7 LVL-4") {
  bench b = twin();
  auto to = reposition_of_cold_and_dark(b.aircraft());
  to.engine_runs[0] = true;
  to.levels[cargo_circuit] = fluid_level::empty;
  b.begins_at(to);
  EXPECT_FALSE(b.sees().circuits[cargo_circuit].pressure_made);
}

}  // namespace
}  // namespace penstock_tests
