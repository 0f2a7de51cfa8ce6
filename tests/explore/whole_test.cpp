// An aircraft small enough to be searched whole: its parts give the same verdict.
#include <gtest/gtest.h>

#include <algorithm>
#include <set>
#include <string>

#include "explore/aircraft.hpp"
#include "penstock/explore.hpp"

namespace {

using namespace penstock;

/// Invented: one engine, one circuit, one cargo door and its pump.
layout one_of_each() {
  layout_spec spec;
  spec.name = "one-of-each";
  spec.title = "One of each";
  spec.origin = "invented";
  spec.engines = {{.name = "engine"}};
  circuit_spec circuit;
  circuit.name = "circuit";
  circuit.service_hold_off = milliseconds{0};
  spec.circuits = {circuit};
  engine_pump_spec pump;
  pump.name = "engine-pump";
  pump.engine = "engine";
  pump.circuit = "circuit";
  spec.engine_pumps = {pump};
  electric_pump_spec cargo;
  cargo.name = "cargo-pump";
  cargo.circuit = "circuit";
  cargo.bus = "bus";
  cargo.duty = pump_duty::cargo;
  spec.electric_pumps = {cargo};
  cargo_door_spec door;
  door.name = "door";
  door.circuit = "circuit";
  spec.cargo_doors = {door};
  consumer_spec controls;
  controls.name = "controls";
  controls.kind = consumer_kind::controls;
  controls.feeds = {{"circuit", branch::main}};
  consumer_spec drive;
  drive.name = "drive";
  drive.kind = consumer_kind::cargo_door;
  drive.feeds = {{"circuit", branch::service}};
  drive.door = "door";
  spec.consumers = {controls, drive};
  spec.buses = {{.name = "bus", .sources = {"external", "engine"}, .main = true}};
  spec.circuits_low_warning = 1;
  auto made = layout::from(spec);
  if (!made) throw std::invalid_argument(to_string(made.problem()));
  return *std::move(made);
}

/// What is open in the parts, all at once, as far as one machine can search it: without injected faults, and without what
/// only adds to the alerts.
search_part whole_of(const layout& of) {
  constexpr event_kind kept[] = {event_kind::start,  event_kind::shut_down, event_kind::spool,    event_kind::starter_out,
                                 event_kind::switch_, event_kind::lever,    event_kind::travel,   event_kind::pressure,
                                 event_kind::level,  event_kind::air_ground, event_kind::external_power,
                                 event_kind::steering};
  search_part whole{"whole", "everything is open", {}};
  for (const search_part& part : parts_of(of)) {
    for (const happening& each : part.open) {
      bool wanted = each.runs_out && each.runs_out->kind == timer_kind::door_run;
      if (!each.runs_out) wanted = std::ranges::find(kept, each.what.kind) != std::end(kept);
      const bool fine = !each.runs_out && ((each.what.kind == event_kind::spool && (each.what.value == 1 || each.what.value == 3)) ||
                                           (each.what.kind == event_kind::level && each.what.value % 2 == 1) ||
                                           (each.what.kind == event_kind::air_ground && each.what.value == 2));
      if (wanted && !fine && std::ranges::find(whole.open, each) == whole.open.end()) whole.open.push_back(each);
    }
  }
  return whole;
}

TEST(Whole, HasTheVerdictOfItsParts) {
  const layout of = one_of_each();
  search_options options;
  options.judge_orders = false;
  const search_result whole = search(of, whole_of(of), options);
  EXPECT_EQ(whole.end, search_end::complete);
  EXPECT_GT(whole.states, 10'000U) << "more than any of its parts";
  EXPECT_TRUE(whole.violations.empty()) << whole.violations.front().found;
  for (const search_part& part : parts_of(of)) {
    const search_result found = search(of, part, options);
    EXPECT_EQ(found.end, search_end::complete) << part.name;
    EXPECT_TRUE(found.violations.empty()) << part.name << ": " << found.violations.front().found;
  }
}

// A mistake that some part shows the whole shows too, and the other way round: here mistakes are properties that do
// not hold, one for each thing that the required properties look at.
TEST(Whole, BreaksWhatItsPartsBreakAndNothingElse) {
  const layout of = one_of_each();
  const auto mistakes = properties_from_yaml(
      of,
      "properties:\n"
      "  - {name: a, never: [cargo-pump runs, aircraft place is air]}\n"
      "  - {name: b, never: [door is asking, cargo-pump runs, circuit service is none]}\n"
      "  - {name: c, never: [circuit status is normal, circuit service is service]}\n"
      "  - {name: d, never: [controls is available, circuit service is service]}\n"
      "  - {name: e, never: [door is timed-out, cargo-pump runs]}\n"
      "  - {name: f, never: [engine-pump runs, engine is stopped]}\n",
      "mistakes.yaml");
  ASSERT_TRUE(mistakes) << to_string(mistakes.problem());
  search_options options;
  options.judge_orders = false;
  options.judge_way_back = false;
  options.properties = *mistakes;
  std::set<std::string> by_whole;
  std::set<std::string> by_parts;
  for (const auto& each : search(of, whole_of(of), options).violations) by_whole.insert(each.property);
  for (const search_part& part : parts_of(of)) {
    for (const auto& each : search(of, part, options).violations) by_parts.insert(each.property);
  }
  EXPECT_EQ(by_whole, by_parts);
  EXPECT_FALSE(by_whole.empty());
  EXPECT_LT(by_whole.size(), mistakes->size()) << "some of them hold";
}

}  // namespace
