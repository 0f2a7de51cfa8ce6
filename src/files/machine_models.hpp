// From the name of a machine to the type of its table.
#pragma once

#include "penstock/machines/cargo.hpp"
#include "penstock/machines/engine.hpp"
#include "penstock/machines/pumps.hpp"
#include "penstock/machines/steering.hpp"
#include "penstock/machines/transfer.hpp"

namespace penstock::inline v1::files {

/// Calls `use.operator()<Model>()` for the table of that machine.
template <class Use>
decltype(auto) with_model(machine which, Use use) {
  namespace m = machines;
  switch (which) {
    case machine::start_selection: return use.template operator()<m::start_selection::model>();
    case machine::engine: return use.template operator()<m::engine::model>();
    case machine::supply_valve: return use.template operator()<m::supply_valve::model>();
    case machine::cargo_door: return use.template operator()<m::cargo_door::model>();
    case machine::pump_health: return use.template operator()<m::pump_health::model>();
    case machine::engine_pump: return use.template operator()<m::engine_pump::model>();
    case machine::start_limiter: return use.template operator()<m::start_limiter::model>();
    case machine::cargo_demand: return use.template operator()<m::cargo_demand::model>();
    case machine::first_engine_demand: return use.template operator()<m::first_engine_demand::model>();
    case machine::plain_demand: return use.template operator()<m::plain_demand::model>();
    case machine::electric_pump: return use.template operator()<m::electric_pump::model>();
    case machine::ram_air_pump: return use.template operator()<m::ram_air_pump::model>();
    case machine::service: return use.template operator()<m::service::model>();
    case machine::transfer_unit: return use.template operator()<m::transfer_unit::model>();
    case machine::transfer_test: return use.template operator()<m::transfer_test::model>();
    case machine::steering_link: break;
  }
  return use.template operator()<m::steering_link::model>();
}

}  // namespace penstock::inline v1::files
