// The events that the Promela model knows, in three alphabets, each with the word that the model has for it. With
// PENSTOCK_SHORT_MODEL, for slow builds, those are left out that the model leaves out with -DSHORT.
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <stdexcept>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "penstock/explore.hpp"
#include "penstock/layouts.hpp"

namespace penstock_tests {

using namespace penstock;

#ifdef PENSTOCK_SHORT_MODEL
inline constexpr bool is_short = true;
#else
inline constexpr bool is_short = false;
#endif

inline constexpr std::uint8_t port = 0, starboard = 1, cargo_pump = 0, keel_pump = 1, transfer = 0;

inline layout twin_freighter() {
  auto checked = layout::from(layouts::twin_freighter());
  if (!checked) throw std::runtime_error("the twin freighter is refused");
  return *std::move(checked);
}

/// Events and timers, each with the word that the model has for it.
struct alphabet {
  search_part part;
  std::vector<std::string> words;

  void add(std::string word, const event& what) {
    part.open.push_back({what, std::nullopt});
    words.push_back(std::move(word));
  }
  void add_timer(std::string word, timer_kind kind, std::uint8_t index) {
    part.open.push_back({{}, timer_place{kind, index}});
    words.push_back(std::move(word));
  }
  [[nodiscard]] std::size_t number_of(const happening& what) const {
    return static_cast<std::size_t>(std::ranges::find(part.open, what) - part.open.begin());
  }
};

inline std::string words(std::string_view first, std::string_view second) {
  return std::string{first}.append(" ").append(second);
}

inline void add_air_ground(alphabet& to) {
  if (is_short) return;
  for (const auto now : {air_ground::air, air_ground::ground}) {
    to.add(words("air-ground", word(now)), events::air_ground_is(now));
  }
  to.add_timer("expires touchdown", timer_kind::touchdown, keel_pump);
}

inline void add_pressure(alphabet& to, unsigned circuit, const std::string& name) {
  to.add("pressure " + name + " made", events::pressure(circuit, true));
  to.add("pressure " + name + " open", events::pressure(circuit, false));
}

inline void add_spool(alphabet& to, unsigned engine, spool_band band) {
  to.add(words("spool " + std::to_string(engine + 1), word(band)), events::spool(engine, band));
}

inline void add_engine_starts(alphabet& to, unsigned engine) {
  const auto name = " " + std::to_string(engine + 1);
  to.add("start" + name, events::start(engine));
  to.add("shut-down" + name, events::shut_down(engine));
  to.add("starter-out" + name, events::starter_out(engine));
  add_spool(to, engine, spool_band::zero);
  add_spool(to, engine, spool_band::idle);
}

inline void add_external_power(alphabet& to) {
  to.add("external-power on", events::external_power(true));
  to.add("external-power off", events::external_power(false));
}

inline alphabet transfer_test_events() {
  alphabet all;
  add_air_ground(all);
  for (unsigned e = 0; e < 2; ++e) {
    const auto name = " " + std::to_string(e + 1);
    add_engine_starts(all, e);
    all.add("abort-start" + name, events::abort_start(e));
  }
  add_spool(all, 1, spool_band::driving);
  if (!is_short) {
    all.add("hang 2", events::hang(1));
    all.add("flame-out 2", events::flame_out(1));
  }
  const auto unit = events::unit(transfer);
  all.add("switch transfer auto", events::crew_switch(unit, pump_switch::automatic));
  all.add("switch transfer off", events::crew_switch(unit, pump_switch::off));
  add_pressure(all, port, "port");
  add_pressure(all, starboard, "starboard");
  all.add_timer("expires test", timer_kind::test, transfer);
  all.add_timer("expires held", timer_kind::test_held, transfer);
  if (is_short) return all;
  all.add("parking-brake set", events::parking_brake(true));
  all.add("parking-brake released", events::parking_brake(false));
  using enum pressure_difference;
  for (const auto now : {level, a_exceeds, b_exceeds}) {
    all.add(words("difference", word(now)), events::difference(transfer, now));
  }
  return all;
}

inline alphabet cargo_events() {
  alphabet all;
  add_air_ground(all);
  for (unsigned d = 0; d < 2; ++d) {
    const std::string name = d == 0 ? "forward" : "aft";
    for (const auto to : {lever_position::neutral, lever_position::open, lever_position::close}) {
      all.add(words("lever " + name, word(to)), events::lever(d, to));
    }
    for (const auto to : {door_travel::closed, door_travel::between, door_travel::open}) {
      all.add(words("travel " + name, word(to)), events::travel(d, to));
    }
  }
  const auto pump = events::electric_pump(cargo_pump);
  for (const auto to : {pump_switch::off, pump_switch::automatic, pump_switch::on}) {
    all.add(words("switch cargo-pump", word(to)), events::crew_switch(pump, to));
  }
  add_external_power(all);
  add_pressure(all, port, "port");
  for (const auto now : {fluid_level::empty, fluid_level::normal}) {
    all.add(words("level port", word(now)), events::level(port, now));
  }
  add_spool(all, 0, spool_band::zero);
  add_spool(all, 0, spool_band::driving);
  all.add_timer("expires run forward", timer_kind::door_run, 0);
  all.add_timer("expires run aft", timer_kind::door_run, 1);
  all.add_timer("expires hold-off", timer_kind::hold_off, port);
  return all;
}

inline alphabet first_engine_events() {
  alphabet all;
  const auto pump = events::electric_pump(keel_pump);
  add_air_ground(all);
  add_engine_starts(all, 0);
  add_engine_starts(all, 1);
  add_external_power(all);
  all.add("switch keel-pump off", events::crew_switch(pump, pump_switch::off));
  all.add("switch keel-pump auto", events::crew_switch(pump, pump_switch::automatic));
  all.add("ground-override", events::ground_override(keel_pump));
  all.add("steering connect", events::steering(true));
  all.add("steering disconnect", events::steering(false));
  all.add("pin in", events::pin(true));
  all.add("pin out", events::pin(false));
  all.add("failure keel-pump present", events::failure(pump, true));
  all.add("failure keel-pump absent", events::failure(pump, false));
  all.add("overheat keel-pump present", events::overheat(pump, true));
  all.add("overheat keel-pump absent", events::overheat(pump, false));
  all.add("reset keel-pump", events::reset(pump));
  return all;
}

}  // namespace penstock_tests
