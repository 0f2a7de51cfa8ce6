// The twin freighter as a C++ value. The same numbers stand, with their sources, in the file
// src/aircraft/twin-freighter.yaml; a test compares the two.
#pragma once

#include "penstock/layouts.hpp"

namespace penstock::inline v1::layouts {

PENSTOCK_INLINE layout_spec twin_freighter() {
  using std::chrono::seconds;
  layout_spec s;
  s.name = "twin-freighter";
  s.title = "Twin freighter with three circuits";
  s.origin = "invented";

  for (const char* name : {"engine-1", "engine-2"}) s.engines.emplace_back().name = name;

  circuit_spec& port = s.circuits.emplace_back();
  port.name = "port";
  port.reservoir = litres(22);
  port.overfull = litres(25);
  port.low_mark = litres(6.5);
  port.compression = litres(0.5);
  circuit_spec& starboard = s.circuits.emplace_back();
  starboard.name = "starboard";
  starboard.overfull = litres(22.5);
  circuit_spec& keel = s.circuits.emplace_back();
  keel.name = "keel";
  keel.reservoir = litres(9);
  keel.overfull = litres(10.5);
  keel.low_mark = litres(3);
  keel.level_hysteresis = litres(0.3);
  keel.compression = litres(0.2);

  const auto engine_pump = [&s](const char* name, const char* engine, const char* circuit, const char* bus) {
    engine_pump_spec& made = s.engine_pumps.emplace_back();
    made.name = name;
    made.engine = engine;
    made.circuit = circuit;
    made.control_bus = bus;
  };
  engine_pump("engine-pump-1", "engine-1", "port", "bus-1");
  engine_pump("engine-pump-2", "engine-2", "starboard", "bus-2");

  electric_pump_spec& cargo_pump = s.electric_pumps.emplace_back();
  cargo_pump.name = "cargo-pump";
  cargo_pump.circuit = "port";
  cargo_pump.bus = "bus-1";
  cargo_pump.duty = pump_duty::cargo;
  electric_pump_spec& keel_pump = s.electric_pumps.emplace_back();
  keel_pump.name = "keel-pump";
  keel_pump.circuit = "keel";
  keel_pump.bus = "bus-2";
  keel_pump.duty = pump_duty::first_engine;

  ram_air_pump_spec& ram_air = s.ram_air_pumps.emplace_back();
  ram_air.name = "ram-air";
  ram_air.circuit = "keel";

  transfer_unit_spec& transfer = s.transfer_units.emplace_back();
  transfer.name = "transfer";
  transfer.a = "port";
  transfer.b = "starboard";
  transfer.flow = litres_per_minute(90);

  cargo_door_spec& forward = s.cargo_doors.emplace_back();
  forward.name = "forward";
  forward.circuit = "port";
  forward.travel = seconds{25};
  forward.displacement = litres(0.4);
  cargo_door_spec& aft = s.cargo_doors.emplace_back();
  aft.name = "aft";
  aft.circuit = "port";

  const auto consumer = [&s](const char* name, consumer_kind kind, std::vector<feed_spec> feeds) -> consumer_spec& {
    consumer_spec& made = s.consumers.emplace_back();
    made.name = name;
    made.kind = kind;
    made.feeds = std::move(feeds);
    return made;
  };
  consumer("controls", consumer_kind::controls,
           {{"port", branch::main}, {"starboard", branch::main}, {"keel", branch::main}})
      .demand = litres_per_minute(3);
  consumer("flaps", consumer_kind::other, {{"starboard", branch::main}}).heavy = true;
  consumer_spec& gear = consumer("gear", consumer_kind::gear, {{"starboard", branch::main}});
  gear.heavy = true;
  gear.displacement = litres(1.8);
  gear.travel = seconds{12};
  gear.area_ratio = 0.905;
  consumer("nose-steering", consumer_kind::steering, {{"starboard", branch::main}});
  consumer("brakes", consumer_kind::brakes, {{"port", branch::service}, {"keel", branch::main}});
  consumer("park-brake", consumer_kind::parking_brake, {{"port", branch::service}}).store = "brake-store";
  consumer("reverser-1", consumer_kind::reverser, {{"port", branch::service}});
  consumer("reverser-2", consumer_kind::reverser, {{"starboard", branch::main}});
  consumer("forward-drive", consumer_kind::cargo_door, {{"port", branch::service}}).door = "forward";
  consumer("aft-drive", consumer_kind::cargo_door, {{"port", branch::service}}).door = "aft";

  store_spec& store = s.stores.emplace_back();
  store.name = "brake-store";
  store.circuit = "port";

  s.buses.push_back({"bus-1", {"engine-1", "engine-2", "auxiliary", "external"}, true});
  s.buses.push_back({"bus-2", {"engine-2", "engine-1", "auxiliary", "external"}, true});

  s.inhibits.push_back({condition::quantity, true, true});
  s.inhibits.push_back({condition::reservoir_air, true, true});
  s.inhibits.push_back({condition::run_limit, true, false});
  return s;
}

}  // namespace penstock::inline v1::layouts
