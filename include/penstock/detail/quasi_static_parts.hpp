// The parts of the quasi-static plant. Everything is counted in whole mm3 and ms, and every quantity over
// time is a closed form of what holds now, so that one long step gives the same bits as many short ones.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>  // llround, for the numbers of the layout only
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string_view>

#include "penstock/quasi_static.hpp"

namespace penstock::inline v1::detail::quasi {

/// No search goes further than a run may last. It also keeps every product below within 64 bits:
/// volumes stay below 1e11 mm3, times below 1e8 ms, and 16 leaks below 7e10 mm3/s.
inline constexpr std::int64_t horizon = limits::longest_time.count();

/// A volume of the layout in mm3. The one place where a number with a fraction becomes a whole one.
[[nodiscard]] inline std::int64_t whole_mm3(volume v) {
  const double mm3 = v.value * 1e9;
  return mm3 > 0.0 ? std::llround(std::min(mm3, 1e11)) : 0;
}

[[nodiscard]] inline std::int64_t whole_ms(milliseconds t) {
  return std::clamp<std::int64_t>(t.count(), 0, horizon);
}

[[nodiscard]] inline bool is_active(const state& now, fault kind, subject where) {
  return std::any_of(now.faults.begin(), now.faults.end(), [&](const injected_fault& f) {
    return f.status == fault_status::active && f.kind == kind && f.where == where;
  });
}

/// The least t in [1, last] with `holds(t)`, for a predicate that stays true once it is; 0: none.
template <class Predicate>
[[nodiscard]] std::int64_t first_ms(std::int64_t last, Predicate holds) {
  if (last < 1 || !holds(last)) return 0;
  std::int64_t low = 1;
  while (low < last) {
    const std::int64_t middle = low + (last - low) / 2;
    if (holds(middle)) {
      last = middle;
    } else {
      low = middle + 1;
    }
  }
  return low;
}

// ---------------------------------------------------------------------------------------------- engines

/// One engine's numbers. Speed counts in parts of 1/run_down of a ms of spool-up: rising adds run_down a
/// ms and falling takes spool_up a ms, both whole.
struct engine_numbers {
  std::int64_t rise, fall, idle, pump_mark, sub_idle_mark, cut_out;
};

[[nodiscard]] inline engine_numbers numbers_of(const engine_spec& spec) {
  const std::int64_t up = std::max<std::int64_t>(whole_ms(spec.spool_up), 1);
  const std::int64_t down = std::max<std::int64_t>(whole_ms(spec.run_down), 1);
  const auto mark = [&](double share) {
    return std::llround(std::clamp(share, 0.0, 1.0) * static_cast<double>(up)) * down;
  };
  return {down, up, up * down, mark(spec.pump_mark), mark(spec.sub_idle_mark), whole_ms(spec.starter_cut_out)};
}

[[nodiscard]] inline std::int64_t speed_of(const engine_numbers& n, const quasi_static_state& plant, std::size_t e) {
  return static_cast<std::int64_t>(plant.spool[e]) * n.rise + static_cast<std::int64_t>(plant.spool_part[e]);
}

inline void set_speed(const engine_numbers& n, quasi_static_state& plant, std::size_t e, std::int64_t speed) {
  plant.spool[e] = static_cast<std::uint32_t>(speed / n.rise);
  plant.spool_part[e] = static_cast<std::uint32_t>(speed % n.rise);
}

/// "Above" the pump mark is strict [EDP-1, GEN-4]; the sub-idle mark and idle count when reached. No
/// hysteresis: this speed has no noise, and turns round only when a command turns it.
[[nodiscard]] inline spool_band band_of(const engine_numbers& n, std::int64_t speed) {
  if (speed >= n.idle) return spool_band::idle;
  if (speed >= n.sub_idle_mark) return spool_band::near_idle;
  if (speed > n.pump_mark) return spool_band::driving;
  return speed > 0 ? spool_band::turning : spool_band::zero;
}

[[nodiscard]] inline bool runs(engine_mode mode) {
  return mode == engine_mode::at_idle || mode == engine_mode::running;
}

/// The speed t ms later.
[[nodiscard]] inline std::int64_t speed_after(const engine_numbers& n, std::int64_t speed, engine_mode mode, bool hangs,
                                              std::int64_t t) {
  if (runs(mode)) return n.idle;
  if (mode == engine_mode::cranking) {
    // A start that hangs goes no higher than half of the idle speed.
    const std::int64_t top = hangs ? std::max(speed, n.idle / 2) : n.idle;
    return t >= (top - speed) / n.rise + 1 ? top : std::min(top, speed + n.rise * t);
  }
  return t >= speed / n.fall + 1 ? 0 : std::max<std::int64_t>(0, speed - n.fall * t);
}

[[nodiscard]] inline bool hangs(const state& now, std::size_t e) {
  return is_active(now, fault::engine_hangs, events::engine(static_cast<unsigned>(e)));
}

/// The lowest speed of a band, for an engine that is set up in it.
[[nodiscard]] inline std::int64_t least_speed(const engine_numbers& n, spool_band band) {
  switch (band) {
    case spool_band::zero: return 0;
    case spool_band::turning: return 1;
    case spool_band::driving: return n.pump_mark + 1;
    case spool_band::near_idle: return n.sub_idle_mark;
    case spool_band::idle: break;
  }
  return n.idle;
}

// ------------------------------------------------------------------------------------- doors, gear, fluid

/// How much more fluid an actuator holds at a position. Both ends are exact.
[[nodiscard]] inline std::int64_t held(std::int64_t displacement, std::int64_t travel, std::int64_t position) {
  return displacement * position / travel;
}

[[nodiscard]] inline bool is_gear_of(const plan& p, std::size_t consumer, std::size_t circuit) {
  // Gear that several circuits feed returns its fluid to the first of them, whoever moves it, so that no
  // fluid passes between circuits.
  const plan::consumer& c = p.consumer_at[consumer];
  return c.kind == consumer_kind::gear && c.feed_circuit[0] == circuit;
}

[[nodiscard]] inline std::int64_t travel_of(const cargo_door_spec& d) { return whole_ms(d.travel); }
[[nodiscard]] inline std::int64_t travel_of(const consumer_spec& c) { return whole_ms(c.travel); }

[[nodiscard]] inline fluid_account account_of(const layout& of, const quasi_static_state& plant, std::size_t c) {
  const plan& p = of.plan();
  const layout_spec& spec = of.spec();
  fluid_account fluid{};
  fluid.leaked = plant.leaked[c];
  fluid.filled = whole_mm3(spec.circuits[c].reservoir);
  for (std::size_t s = 0; s < p.stores; ++s) {
    if (p.store_at[s].circuit != c) continue;
    const std::int64_t one = whole_mm3(spec.stores[s].application);
    fluid.filled += one * p.store_at[s].most_applications;
    fluid.stores += one * plant.applications[s];
  }
  std::int64_t moved = 0;
  for (std::size_t d = 0; d < p.doors; ++d) {
    if (p.door_at[d].circuit != c) continue;
    moved += held(whole_mm3(spec.cargo_doors[d].displacement), travel_of(spec.cargo_doors[d]), plant.door[d]);
  }
  for (std::size_t i = 0; i < p.consumers; ++i) {
    if (!is_gear_of(p, i, c)) continue;
    moved += held(whole_mm3(spec.consumers[i].displacement), travel_of(spec.consumers[i]), plant.gear[i]);
  }
  // Where there is less fluid than the places want, actuators are filled before lines and lines before
  // the reservoir: nothing is ever negative and the sum is always whole [LVL-2].
  const std::int64_t rest = std::max<std::int64_t>(fluid.filled - fluid.stores - fluid.leaked, 0);
  fluid.actuators = std::min(moved, rest);
  fluid.lines = plant.at_pressure[c] ? std::min(whole_mm3(spec.circuits[c].compression), rest - fluid.actuators) : 0;
  fluid.reservoir = rest - fluid.actuators - fluid.lines;
  return fluid;
}

/// Marks of a reservoir in mm3.
struct level_numbers {
  std::int64_t low, low_left, over, over_left, primed;
};

[[nodiscard]] inline level_numbers numbers_of(const circuit_spec& spec) {
  const std::int64_t low = whole_mm3(spec.low_mark);
  const std::int64_t over = whole_mm3(spec.overfull);
  const std::int64_t hysteresis = whole_mm3(spec.level_hysteresis);
  const std::int64_t compression = whole_mm3(spec.compression);
  // What the lines give back when pressure goes must not lift the level over the mark whose crossing took
  // the pressure away: a unit that stops on low level, and pumps that run dry, would otherwise come and go
  // without end in no time at all.
  return {low, low + std::max(hysteresis, compression), over, over - hysteresis,
          std::max(hysteresis, compression + 1)};
}

/// The level by its marks. `held_by_logic` is the memory of the hysteresis [GEN-4, LVL-1].
[[nodiscard]] inline fluid_level level_of(const level_numbers& n, std::int64_t reservoir, bool dry,
                                          fluid_level held_by_logic) {
  if (dry) return fluid_level::empty;
  const bool was_low = held_by_logic == fluid_level::low || held_by_logic == fluid_level::empty;
  if (reservoir < (was_low ? n.low_left : n.low)) return fluid_level::low;
  return reservoir > (held_by_logic == fluid_level::over ? n.over_left : n.over) ? fluid_level::over
                                                                                  : fluid_level::normal;
}

// ---------------------------------------------------------------------------------------------- pressures

[[nodiscard]] inline bool brings_pressure(const state& now, subject pump, bool delivers) {
  return delivers && !is_active(now, fault::pump_weak, pump);
}

/// Pressure from the circuit's own pumps, as bits by circuit.
[[nodiscard]] inline mask own_pressures(const layout& of, const quasi_static_state& plant, const state& now) {
  const plan& p = of.plan();
  const logic_state& logic = now.logic;
  mask own = 0;
  for (unsigned i = 0; i < p.engine_pumps; ++i) {
    if (brings_pressure(now, events::engine_pump(i), logic.engine_pumps[i].mode == pump_mode::delivering)) {
      own |= mask{1} << p.engine_pump_at[i].circuit;
    }
  }
  for (unsigned i = 0; i < p.electric_pumps; ++i) {
    if (brings_pressure(now, events::electric_pump(i), logic.electric_pumps[i].mode == pump_mode::delivering)) {
      own |= mask{1} << p.electric_pump_at[i].circuit;
    }
  }
  const bool ram_air =
      logic.aircraft.ram_air == ram_air_mode::deployed && logic.aircraft.airspeed != airspeed_band::slow;
  for (unsigned i = 0; i < p.ram_air_pumps; ++i) {
    if (brings_pressure(now, events::ram_air_pump(i), ram_air)) own |= mask{1} << p.ram_air_pump_at[i].circuit;
  }
  for (std::size_t c = 0; c < p.circuits; ++c) {
    if (plant.dry[c]) own &= ~(mask{1} << c);
  }
  return own;
}

/// All pressures: own ones, and those a transfer unit adds. A unit is driven by own pressure only [PTU-11].
[[nodiscard]] inline mask all_pressures(const layout& of, const quasi_static_state& plant, const state& now) {
  const plan& p = of.plan();
  const mask own = own_pressures(of, plant, now);
  mask all = own;
  for (unsigned u = 0; u < p.units; ++u) {
    const unit_mode mode = now.logic.units[u].mode;
    if (mode != unit_mode::a_drives_b && mode != unit_mode::b_drives_a) continue;
    const unsigned from = mode == unit_mode::a_drives_b ? p.unit_at[u].a : p.unit_at[u].b;
    const unsigned to = mode == unit_mode::a_drives_b ? p.unit_at[u].b : p.unit_at[u].a;
    if ((own >> from & 1U) == 0 || plant.dry[to]) continue;
    if (is_active(now, fault::unit_seized, events::unit(u))) continue;
    if (is_active(now, fault::unit_weak, events::unit(u))) continue;
    all |= mask{1} << to;
  }
  return all;
}

/// Brings what follows at once to what the state asks for: running engines are at idle, pressures follow
/// their sources, pressure charges the stores, an empty reservoir unprimes its pumps.
inline void settle(const layout& of, quasi_static_state& plant, const state& now) {
  const plan& p = of.plan();
  for (std::size_t e = 0; e < p.engines; ++e) {
    const engine_mode mode = now.logic.engines[e].mode;
    if (runs(mode)) {
      const engine_numbers n = numbers_of(of.spec().engines[e]);
      set_speed(n, plant, e, n.idle);
    }
    if (mode != engine_mode::at_idle) plant.since_idle[e] = 0;
  }
  for (std::size_t s = 0; s < p.stores; ++s) {
    if (is_active(now, fault::store_gas_lost, events::store(static_cast<unsigned>(s)))) plant.applications[s] = 0;
  }
  for (std::size_t c = 0; c < p.circuits; ++c) {
    if (!plant.dry[c]) continue;
    plant.at_pressure[c] = false;
    if (account_of(of, plant, c).reservoir >= numbers_of(of.spec().circuits[c]).primed) plant.dry[c] = false;
  }
  // Each further round is due to a circuit that ran dry in the last, and none primes again meanwhile.
  bool ran_dry = true;
  while (ran_dry) {
    const mask pressures = all_pressures(of, plant, now);
    for (std::size_t c = 0; c < p.circuits; ++c) plant.at_pressure[c] = (pressures >> c & 1U) != 0;
    for (std::size_t s = 0; s < p.stores; ++s) {
      const plan::store& store = p.store_at[s];
      if (!plant.at_pressure[store.circuit] || plant.applications[s] >= store.most_applications) continue;
      if (is_active(now, fault::store_gas_lost, events::store(static_cast<unsigned>(s)))) continue;
      // Charging leaves some fluid in the reservoir: it does not run a pump dry by itself.
      const std::int64_t one = std::max<std::int64_t>(whole_mm3(of.spec().stores[s].application), 1);
      const std::int64_t fits = (account_of(of, plant, store.circuit).reservoir - 1) / one;
      const std::int64_t wanted = store.most_applications - plant.applications[s];
      plant.applications[s] =
          static_cast<std::uint8_t>(plant.applications[s] + std::clamp<std::int64_t>(fits, 0, wanted));
    }
    ran_dry = false;
    for (std::size_t c = 0; c < p.circuits; ++c) {
      if (plant.dry[c] || account_of(of, plant, c).reservoir > 0) continue;
      plant.dry[c] = true;
      ran_dry = true;
    }
  }
}

// ------------------------------------------------------------------------------------- what moves and leaks

/// +1: opens, -1: closes, 0: holds. For a door that has not reached the end it moves to.
[[nodiscard]] inline int motion_of_door(const layout& of, const quasi_static_state& plant, const state& now,
                                        std::size_t d) {
  const subject door = events::door(static_cast<unsigned>(d));
  const std::size_t c = of.plan().door_at[d].circuit;
  lever_position lever = now.logic.doors[d].lever;
  if (is_active(now, fault::lever_stuck_neutral, door)) lever = lever_position::neutral;
  if (is_active(now, fault::lever_stuck_open, door)) lever = lever_position::open;
  if (is_active(now, fault::lever_stuck_close, door)) lever = lever_position::close;
  const bool driven = plant.at_pressure[c] || (now.logic.circuits[c].hand_pump && !plant.dry[c]);
  if (!driven || now.logic.aircraft.where != air_ground::ground) return 0;  // CON-5
  const std::int64_t position = plant.door[d];
  if (lever == lever_position::open) return position < travel_of(of.spec().cargo_doors[d]) ? 1 : 0;
  return lever == lever_position::close && position > 0 ? -1 : 0;
}

/// Whether a feed brings pressure to its consumer: not outside the service branch in service mode, not
/// behind a shut outer branch [CON-1, CON-2, LEK-1].
[[nodiscard]] inline bool feeds_now(const quasi_static_state& plant, const state& now, const plan::consumer& who,
                                    std::size_t feed) {
  const std::size_t c = who.feed_circuit[feed];
  const branch at = who.feed_branch[feed];
  if (!plant.at_pressure[c]) return false;
  if (now.logic.circuits[c].service == service_mode::service && at != branch::service) return false;
  const bool in_flight = now.logic.aircraft.where == air_ground::air;
  return !(now.logic.circuits[c].outer_shut && !in_flight && at == branch::outer);  // on the ground only [LEK-1]
}

/// The first circuit that feeds the consumer now, or nobody.
[[nodiscard]] inline std::uint8_t fed_by(const quasi_static_state& plant, const state& now, const plan::consumer& who) {
  for (std::size_t f = 0; f < who.feed_count; ++f) {
    if (feeds_now(plant, now, who, f)) return who.feed_circuit[f];
  }
  return nobody;
}

/// +1: retracts, -1: extends, 0: holds. For gear that has not reached its end.
[[nodiscard]] inline int motion_of_gear(const layout& of, const quasi_static_state& plant, const state& now,
                                        std::size_t consumer) {
  const plan::consumer& who = of.plan().consumer_at[consumer];
  if (who.kind != consumer_kind::gear || fed_by(plant, now, who) == nobody) return 0;
  const std::int64_t position = plant.gear[consumer];
  if (now.logic.aircraft.gear_down) return position > 0 ? -1 : 0;
  return position < travel_of(of.spec().consumers[consumer]) ? 1 : 0;
}

/// What leaks out of a circuit now, mm3/s [LVL-6].
[[nodiscard]] inline std::int64_t leak_of(const layout& of, const quasi_static_state& plant, const state& now,
                                          std::size_t c) {
  const plan& p = of.plan();
  std::int64_t flow = 0;
  for (const injected_fault& f : now.faults) {
    if (f.status != fault_status::active) continue;
    const bool leaks = (f.kind == fault::reservoir_leak && f.where == events::circuit(static_cast<unsigned>(c))) ||
                       (f.kind == fault::line_leak && f.where == events::circuit(static_cast<unsigned>(c)) &&
                        plant.at_pressure[c]) ||
                       (f.kind == fault::consumer_leak && f.where.kind == component::consumer &&
                        f.where.index < p.consumers && fed_by(plant, now, p.consumer_at[f.where.index]) == c);
    if (leaks) flow += f.amount;
  }
  return flow;
}

/// An actuator on its way.
struct mover {
  std::int64_t displacement, travel, position;
  int motion;
  [[nodiscard]] std::int64_t held_after(std::int64_t t) const {
    const std::int64_t to = motion > 0 ? std::min(travel, position + t) : std::max<std::int64_t>(0, position - t);
    return held(displacement, travel, to);
  }
};

/// How the reservoir of one circuit goes on if nothing intervenes: what is taken and what comes back are
/// both sums that only grow.
struct trend {
  std::int64_t now = 0;   ///< content
  std::int64_t flow = 0;  ///< leak, mm3/s
  std::int64_t part = 0;  ///< leaked already, thousandths of a mm3
  std::array<mover, limits::cargo_doors + limits::consumers> movers{};
  std::size_t count = 0;

  [[nodiscard]] bool is_still() const { return flow == 0 && count == 0; }
  [[nodiscard]] std::int64_t taken(std::int64_t t) const {
    std::int64_t sum = (part + flow * t) / 1000;
    for (std::size_t i = 0; i < count; ++i) {
      if (movers[i].motion > 0) sum += movers[i].held_after(t) - movers[i].held_after(0);
    }
    return sum;
  }
  [[nodiscard]] std::int64_t returned(std::int64_t t) const {
    std::int64_t sum = 0;
    for (std::size_t i = 0; i < count; ++i) {
      if (movers[i].motion < 0) sum += movers[i].held_after(0) - movers[i].held_after(t);
    }
    return sum;
  }
};

[[nodiscard]] inline trend trend_of(const layout& of, const quasi_static_state& plant, const state& now,
                                    std::size_t c) {
  const plan& p = of.plan();
  const layout_spec& spec = of.spec();
  trend made;
  made.now = account_of(of, plant, c).reservoir;
  made.flow = leak_of(of, plant, now, c);
  made.part = plant.leaked_part[c];
  for (std::size_t d = 0; d < p.doors; ++d) {
    if (p.door_at[d].circuit != c) continue;
    const int motion = motion_of_door(of, plant, now, d);
    if (motion == 0) continue;
    made.movers[made.count++] = {whole_mm3(spec.cargo_doors[d].displacement), travel_of(spec.cargo_doors[d]),
                                 plant.door[d], motion};
  }
  for (std::size_t i = 0; i < p.consumers; ++i) {
    if (!is_gear_of(p, i, c)) continue;
    const int motion = motion_of_gear(of, plant, now, i);
    if (motion == 0) continue;
    made.movers[made.count++] = {whole_mm3(spec.consumers[i].displacement), travel_of(spec.consumers[i]),
                                 plant.gear[i], motion};
  }
  return made;
}

/// The least t in [from, to] at which the content is not within [least, most]; 0: none. Between two
/// moments it can be no more than all that returns and no less than all that is taken allow; where that
/// does not decide, halve.
[[nodiscard]] inline std::int64_t first_outside(const trend& of, std::int64_t least, std::int64_t most,
                                                std::int64_t from, std::int64_t to) {
  if (from > to) return 0;
  const std::int64_t top = of.now - of.taken(from) + of.returned(to);
  const std::int64_t bottom = of.now - of.taken(to) + of.returned(from);
  if (bottom >= least && top <= most) return 0;
  if (from == to) return from;
  const std::int64_t middle = from + (to - from) / 2;
  const std::int64_t found = first_outside(of, least, most, from, middle);
  return found != 0 ? found : first_outside(of, least, most, middle + 1, to);
}

/// A dry circuit that leaks while other circuits move its fluid has no closed form: what comes back leaks
/// away at once. It is followed ms by ms; it lasts no longer than a movement.
[[nodiscard]] inline bool has_no_closed_form(const layout& of, const quasi_static_state& plant, const state& now) {
  for (std::size_t c = 0; c < of.plan().circuits; ++c) {
    if (!plant.dry[c]) continue;
    const trend t = trend_of(of, plant, now, c);
    if (t.flow > 0 && t.count > 0) return true;
  }
  return false;
}

/// Moves on by t ms during which no fact changes before the last ms and no leak exhausts its reservoir,
/// unless nothing else moves there.
inline void move_on(const layout& of, quasi_static_state& plant, const state& now, std::int64_t t) {
  const plan& p = of.plan();
  const layout_spec& spec = of.spec();
  for (std::size_t e = 0; e < p.engines; ++e) {
    const engine_numbers n = numbers_of(spec.engines[e]);
    const engine_mode mode = now.logic.engines[e].mode;
    set_speed(n, plant, e, speed_after(n, speed_of(n, plant, e), mode, hangs(now, e), t));
    if (mode == engine_mode::at_idle) {
      plant.since_idle[e] = static_cast<std::uint32_t>(std::min(n.cut_out, plant.since_idle[e] + t));
    }
  }
  // Flows and motions are those of the beginning of the step, for every circuit.
  std::array<std::int64_t, limits::circuits> flow{};
  for (std::size_t c = 0; c < p.circuits; ++c) flow[c] = leak_of(of, plant, now, c);
  const auto moved = [t](std::uint32_t from, int motion, std::int64_t travel) {
    return static_cast<std::uint32_t>(motion > 0 ? std::min(travel, from + t) : std::max<std::int64_t>(0, from - t));
  };
  for (std::size_t d = 0; d < p.doors; ++d) {
    const int motion = motion_of_door(of, plant, now, d);
    if (motion != 0) plant.door[d] = moved(plant.door[d], motion, travel_of(spec.cargo_doors[d]));
  }
  for (std::size_t i = 0; i < p.consumers; ++i) {
    const int motion = motion_of_gear(of, plant, now, i);
    if (motion != 0) plant.gear[i] = moved(plant.gear[i], motion, travel_of(spec.consumers[i]));
  }
  for (std::size_t c = 0; c < p.circuits; ++c) {
    if (flow[c] == 0) continue;
    const std::int64_t all = plant.leaked_part[c] + flow[c] * t;
    const std::int64_t there = account_of(of, plant, c).reservoir;
    // No more can leak than is there.
    if (all / 1000 >= there) {
      plant.leaked[c] += there;
      plant.leaked_part[c] = 0;
    } else {
      plant.leaked[c] += all / 1000;
      plant.leaked_part[c] = static_cast<std::uint16_t>(all % 1000);
    }
  }
}

// -------------------------------------------------------------------------------------------------- facts

/// All facts of the plant.
struct facts {
  std::array<spool_band, limits::engines> spool{};
  std::array<bool, limits::engines> starter_out{};
  std::array<door_travel, limits::cargo_doors> travel{};
  std::array<pressure_difference, limits::transfer_units> difference{};
  std::array<bool, limits::circuits> pressure{};
  std::array<fluid_level, limits::circuits> level{};
  std::array<std::uint8_t, limits::stores> stored{};
  friend constexpr bool operator==(const facts&, const facts&) = default;
};

/// One of two circuits at nominal pressure, the other without: more than any unit's activation difference.
[[nodiscard]] inline pressure_difference difference_of(bool a, bool b) {
  if (a == b) return pressure_difference::level;
  return a ? pressure_difference::a_exceeds : pressure_difference::b_exceeds;
}

/// The facts of a settled plant.
[[nodiscard]] inline facts facts_of(const layout& of, const quasi_static_state& plant, const state& now) {
  const plan& p = of.plan();
  const layout_spec& spec = of.spec();
  facts f;
  for (std::size_t e = 0; e < p.engines; ++e) {
    const engine_numbers n = numbers_of(spec.engines[e]);
    f.spool[e] = band_of(n, speed_of(n, plant, e));
    f.starter_out[e] = now.logic.engines[e].mode == engine_mode::at_idle && plant.since_idle[e] >= n.cut_out;
  }
  for (std::size_t d = 0; d < p.doors; ++d) {
    f.travel[d] = plant.door[d] == 0                                   ? door_travel::closed
                  : plant.door[d] >= travel_of(spec.cargo_doors[d]) ? door_travel::open
                                                                       : door_travel::between;
  }
  const mask own = own_pressures(of, plant, now);
  for (std::size_t u = 0; u < p.units; ++u) {
    f.difference[u] = difference_of((own >> p.unit_at[u].a & 1U) != 0, (own >> p.unit_at[u].b & 1U) != 0);
  }
  for (std::size_t c = 0; c < p.circuits; ++c) {
    f.pressure[c] = plant.at_pressure[c];
    f.level[c] = level_of(numbers_of(spec.circuits[c]), account_of(of, plant, c).reservoir, plant.dry[c],
                          now.logic.circuits[c].level);
  }
  for (std::size_t s = 0; s < p.stores; ++s) f.stored[s] = plant.applications[s];
  return f;
}

[[nodiscard]] inline std::uint8_t stored_in_logic(const state& now, std::size_t s) {
  const std::uint8_t first = now.logic.aircraft.stored_0;
  const std::uint8_t second = now.logic.aircraft.stored_1;
  return s == 0 ? first : second;
}

/// Places in the order of a frame: engines, doors, units, circuits, levels, stores [GEN-3].
inline constexpr std::size_t spool_facts = 0;
inline constexpr std::size_t starter_facts = spool_facts + limits::engines;
inline constexpr std::size_t travel_facts = starter_facts + limits::engines;
inline constexpr std::size_t difference_facts = travel_facts + limits::cargo_doors;
inline constexpr std::size_t pressure_facts = difference_facts + limits::transfer_units;
inline constexpr std::size_t priority_facts = pressure_facts + limits::circuits;
inline constexpr std::size_t level_facts = priority_facts + limits::circuits;
inline constexpr std::size_t stored_facts = level_facts + limits::circuits;
inline constexpr std::size_t fact_places = stored_facts + limits::stores;
using place_set = std::uint64_t;
static_assert(fact_places <= 64, "places of facts are bits of one word");

/// Most facts the plant tells in one frame. In no time only pressures, differences, levels and stores can
/// move, each because of a row that the last one made the logic take: sources make pressure, pressure makes
/// a unit transfer, that makes pressure again, pressure lowers a level, a level stops a unit. That is six
/// links, and no level is left again by what the last link gives back; so each fact is told at most once a
/// link. The tests prove that it is never reached. If it were, the rest would be told in the next frame.
inline constexpr std::size_t most_facts_in_a_frame = 6 * fact_places;

struct due_fact {
  event what;
  std::size_t place;
};

/// The first fact that the logic does not hold, leaving out some places.
[[nodiscard]] inline std::optional<due_fact> first_due(const layout& of, const quasi_static_state& settled,
                                                       const state& now, place_set left_out) {
  const plan& p = of.plan();
  const logic_state& logic = now.logic;
  const facts f = facts_of(of, settled, now);
  const auto wanted = [&](std::size_t place, bool differs) { return differs && (left_out >> place & 1U) == 0; };
  for (unsigned e = 0; e < p.engines; ++e) {
    const std::size_t place = spool_facts + e;
    if (wanted(place, f.spool[e] != logic.engines[e].spool)) return due_fact{events::spool(e, f.spool[e]), place};
  }
  for (unsigned e = 0; e < p.engines; ++e) {
    const std::size_t place = starter_facts + e;
    if (wanted(place, f.starter_out[e] && !logic.engines[e].starter_is_out)) {
      return due_fact{events::starter_out(e), place};
    }
  }
  for (unsigned d = 0; d < p.doors; ++d) {
    const std::size_t place = travel_facts + d;
    if (wanted(place, f.travel[d] != logic.doors[d].travel)) return due_fact{events::travel(d, f.travel[d]), place};
  }
  for (unsigned u = 0; u < p.units; ++u) {
    const std::size_t place = difference_facts + u;
    if (wanted(place, f.difference[u] != logic.units[u].difference)) {
      return due_fact{events::difference(u, f.difference[u]), place};
    }
  }
  for (unsigned c = 0; c < p.circuits; ++c) {
    const std::size_t place = pressure_facts + c;
    if (wanted(place, f.pressure[c] != logic.circuits[c].pressure_made)) {
      return due_fact{events::pressure(c, f.pressure[c]), place};
    }
  }
  for (unsigned c = 0; c < p.circuits; ++c) {
    const std::size_t place = priority_facts + c;
    if (wanted(place, f.pressure[c] != logic.circuits[c].above_priority)) {
      return due_fact{events::priority(c, f.pressure[c]), place};
    }
  }
  for (unsigned c = 0; c < p.circuits; ++c) {
    const std::size_t place = level_facts + c;
    if (wanted(place, f.level[c] != logic.circuits[c].level)) return due_fact{events::level(c, f.level[c]), place};
  }
  for (unsigned s = 0; s < p.stores; ++s) {
    const std::size_t place = stored_facts + s;
    if (wanted(place, f.stored[s] != stored_in_logic(now, s))) return due_fact{events::stored(s, f.stored[s]), place};
  }
  return std::nullopt;
}

/// Ms until a fact of a settled plant changes, or 0 where none will; needs a closed form.
[[nodiscard]] inline std::int64_t ms_to_change(const layout& of, const quasi_static_state& plant, const state& now) {
  const plan& p = of.plan();
  const layout_spec& spec = of.spec();
  std::int64_t soonest = 0;
  const auto consider = [&soonest](std::int64_t t) {
    if (t > 0 && (soonest == 0 || t < soonest)) soonest = t;
  };
  for (std::size_t e = 0; e < p.engines; ++e) {
    const engine_numbers n = numbers_of(spec.engines[e]);
    const engine_mode mode = now.logic.engines[e].mode;
    const std::int64_t speed = speed_of(n, plant, e);
    const bool hung = hangs(now, e);
    const spool_band band = band_of(n, speed);
    consider(first_ms(horizon, [&](std::int64_t t) {
      return band_of(n, speed_after(n, speed, mode, hung, t)) != band;
    }));
    if (mode == engine_mode::at_idle) consider(n.cut_out - plant.since_idle[e]);
  }
  for (std::size_t d = 0; d < p.doors; ++d) {
    const int motion = motion_of_door(of, plant, now, d);
    const std::int64_t travel = travel_of(spec.cargo_doors[d]);
    const std::int64_t position = plant.door[d];
    if (motion == 0) continue;
    const bool at_an_end = position == 0 || position >= travel;
    consider(at_an_end ? 1 : (motion > 0 ? travel - position : position));
  }
  for (std::size_t c = 0; c < p.circuits; ++c) {
    const trend t = trend_of(of, plant, now, c);
    if (t.is_still()) continue;
    const level_numbers n = numbers_of(spec.circuits[c]);
    const fluid_level held = now.logic.circuits[c].level;
    const bool was_low = held == fluid_level::low || held == fluid_level::empty;
    const std::int64_t low_edge = was_low ? n.low_left : n.low;
    const std::int64_t over_edge = held == fluid_level::over ? n.over_left : n.over;
    constexpr std::int64_t any = INT64_MAX;
    // The contents between which no fact changes.
    std::int64_t least = 1;
    std::int64_t most = any;
    switch (level_of(n, t.now, plant.dry[c], held)) {
      case fluid_level::empty:
        least = -any;
        most = n.primed - 1;
        break;
      case fluid_level::low: most = low_edge - 1; break;
      case fluid_level::normal:
        least = std::max<std::int64_t>(1, low_edge);
        most = over_edge;
        break;
      case fluid_level::over: least = std::max({std::int64_t{1}, low_edge, over_edge + 1}); break;
    }
    for (std::size_t s = 0; s < p.stores; ++s) {
      const plan::store& store = p.store_at[s];
      if (store.circuit != c || !plant.at_pressure[c] || plant.applications[s] >= store.most_applications) continue;
      if (is_active(now, fault::store_gas_lost, events::store(static_cast<unsigned>(s)))) continue;
      most = std::min(most, std::max<std::int64_t>(whole_mm3(spec.stores[s].application), 1));
    }
    consider(first_outside(t, least, most, 1, soonest == 0 ? horizon : soonest));
  }
  return soonest;
}

/// How far a settled plant may go in one step: to its next change, or 1 ms where it is followed ms by ms.
[[nodiscard]] inline std::int64_t ms_to_stop(const layout& of, const quasi_static_state& plant, const state& now) {
  if (has_no_closed_form(of, plant, now)) return 1;
  const std::int64_t change = ms_to_change(of, plant, now);
  return change != 0 ? change : horizon;
}

/// One step of a settled plant, of at least 1 ms and at most `ms_to_stop`.
inline void go(const layout& of, quasi_static_state& plant, const state& now, std::int64_t t) {
  // A reservoir can run out in the last ms only; by itself that ms is exact whatever runs out.
  if (t > 1) move_on(of, plant, now, t - 1);
  move_on(of, plant, now, 1);
  settle(of, plant, now);
}

[[nodiscard]] inline bool has_circuit(const layout& of, unsigned circuit) { return circuit < of.plan().circuits; }

}  // namespace penstock::inline v1::detail::quasi
