// Layouts for tests of the plant: those that come with penstock, and seeded ones whose numbers lie at the ends of
// their ranges. All numbers are invented, the ranges are those of layout_check.hpp.
#pragma once

#include <stdexcept>
#include <utility>
#include <vector>

#include "penstock/detail/layout_check.hpp"
#include "penstock/layout_file.hpp"
#include "plant/story.hpp"

namespace penstock_tests {

inline penstock::layout checked(penstock::layout_spec spec) {
  auto made = penstock::layout::from(std::move(spec));
  if (!made) throw std::invalid_argument(to_string(made.problem()));
  return *std::move(made);
}

inline std::vector<penstock::layout_spec> shipped_specs() {
  std::vector<penstock::layout_spec> all;
  for (const auto& file : penstock::shipped_layouts()) {
    all.push_back(penstock::load_layout(std::string{file.name})->spec());
  }
  return all;
}

/// Changes each number of the plant with even odds to an end of its range or to something between; a change that
/// the check refuses, as it goes with no other number, is taken back.
inline penstock::layout any_layout(dice& d, penstock::layout_spec spec) {
  using namespace penstock;
  namespace r = detail::ranges;
  const auto pick = [&d](detail::number_range in) {
    switch (d.below(3)) {
      case 0: return in.least;
      case 1: return in.most;
      default: return d.between(in.least, in.most);
    }
  };
  const auto set = [&](auto& field, auto value) {
    if (d.one_in(2)) return;
    const auto before = field;
    field = value;
    if (!layout::from(spec)) field = before;
  };
  const auto time = [&](detail::number_range in, double usual) {
    return milliseconds{static_cast<std::int64_t>(d.one_in(2) ? in.least : d.one_in(2) ? in.most : d.between(1, usual))};
  };
  set(spec.nominal, psi(pick({2100, r::pressure.most})));
  set(spec.pump_knee, pick(r::knee));
  for (auto& e : spec.engines) {
    set(e.spool_up, time(r::some_time, 30'000));
    set(e.run_down, time(r::some_time, 30'000));
    set(e.starter_cut_out, time(r::some_time, 5'000));
  }
  for (auto& c : spec.circuits) {
    set(c.overfull, litres(r::reservoir.most));
    set(c.reservoir, litres(pick({r::reservoir.least, 999})));
    set(c.low_mark, litres(pick({r::mark.least, 5})));
    set(c.level_hysteresis, litres(r::hysteresis.least));
    set(c.compression, litres(d.one_in(3) ? 0.0 : d.one_in(2) ? r::taken_up.most : d.between(0.0, 1.0)));
    set(c.bulk_modulus, psi(pick(r::modulus)));
    set(c.leakage, litres_per_minute(pick(r::leakage)));
    set(c.relief_opens, pick(r::relief));
    set(c.relief_closes, pick(r::relief));
    set(c.hot_mark, celsius(pick(r::hot)));
    set(c.cooling, pick(r::cooling));
    c.hand_pump = d.one_in(2);
  }
  for (auto& p : spec.engine_pumps) set(p.flow, litres_per_minute(pick(r::flow)));
  for (auto& p : spec.electric_pumps) {
    set(p.flow, litres_per_minute(pick(r::flow)));
    set(p.run_up, time(r::any_time, 2'000));
  }
  for (auto& p : spec.ram_air_pumps) set(p.flow, litres_per_minute(pick(r::flow)));
  for (auto& u : spec.transfer_units) {
    set(u.ratio, pick(r::displacement_ratio));
    set(u.efficiency, pick(r::share));
    set(u.breakout, pick(r::friction));
    set(u.flow, litres_per_minute(pick(r::flow)));
  }
  for (auto& door : spec.cargo_doors) {
    set(door.travel, time(r::some_time, 30'000));
    set(door.displacement, litres(d.one_in(2) ? pick(r::taken_up) : d.between(0.0, 2.0)));
    set(door.area_ratio, pick(r::share));
    set(door.load, pick(r::load));
  }
  for (auto& c : spec.consumers) {
    if (c.kind != consumer_kind::gear) continue;
    set(c.travel, time(r::some_time, 20'000));
    set(c.displacement, litres(d.one_in(2) ? pick(r::taken_up) : d.between(0.0, 3.0)));
    set(c.area_ratio, pick(r::share));
    set(c.load, pick(r::load));
  }
  for (auto& s : spec.stores) {
    set(s.gas, litres(pick(r::gas)));
    set(s.least, psi(d.between(20, 2900)));
    set(s.precharge, psi(pick({r::pressure.least, 1900})));
    set(s.application, litres(d.one_in(2) ? r::application.least : d.between(r::application.least, 0.1)));
    set(s.charging, litres_per_minute(pick(r::flow)));
    set(s.heat_time, time(r::any_time, 60'000));
    set(s.law, d.one_in(2) ? gas_law::ideal : gas_law::nitrogen);
  }
  return checked(std::move(spec));
}

}  // namespace penstock_tests
