// The fluid over one step: what flows at a pressure, the implicit solution for the pressures, and the books.
// Only + - x / and sqrt, so that the bits are the same everywhere.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>  // sqrt, which IEEE 754 rounds correctly
#include <cstddef>
#include <cstdint>

#include "penstock/detail/store_gas.hpp"
#include "penstock/plant.hpp"

namespace penstock::inline v1::detail::fluid {

/// Something that flows, and how that changes with pressure.
struct rate {
  double flow, slope;
};

/// Orifices follow the square root of the pressure across them; below this share of nominal they go over into a
/// straight line, as real ones do when the flow turns laminar, so that the slope stays finite.
inline constexpr double laminar_share = 1e-3;

/// Full flow up to the knee, none at the cut-off, straight between [NAVEDTRA 14105: 2850 and 3000 psi].
[[nodiscard]] inline rate pump_at(double pressure, double full, double knee, double cut_off) {
  if (pressure <= knee) return {full, 0.0};
  if (pressure >= cut_off) return {0.0, 0.0};
  const double slope = full / (cut_off - knee);
  return {slope * (cut_off - pressure), -slope};
}

/// Share of the flow that an orifice passes, of that at a pressure difference of `whole`.
[[nodiscard]] inline rate orifice_at(double difference, double whole, double laminar) {
  if (difference <= 0.0) return {0.0, 0.0};
  const double scale = std::sqrt(whole + laminar) / whole;
  const double root = 1.0 / std::sqrt(difference + laminar);
  return {scale * difference * root, scale * root * (1.0 - 0.5 * difference * root * root)};
}

/// A worn pump gives a third of its flow, up to a third of the pressure; a weak unit half of its pressure. Invented.
inline constexpr double worn = 1.0 / 3.0;
inline constexpr double weak_unit = 0.5;
/// Once it turns, a shaft has a third of its friction at rest. Invented.
inline constexpr double turning_friction = 1.0 / 3.0;
/// Without air pressure in the reservoir pumps fill to this share. Invented; cavitation is common practice.
inline constexpr double filling_without_air = 0.8;
/// By hand an actuator needs this many times its time. Invented.
inline constexpr double slower_by_hand = 2.0;
/// A heated fluid goes this far beyond its hot mark, in this time. Invented.
inline constexpr double heated_beyond = 15.0;
inline constexpr double heating_time = 60.0;

inline constexpr std::size_t most_movers = limits::cargo_doors + limits::consumers;

/// An actuator that moves in this step.
struct mover {
  double* position;
  const fluid_numbers::actuator* of;
  double takes, gives;   ///< fluid for the whole travel, from the line and back into the reservoir
  double load;           ///< Pa against it
  double most;           ///< share of travel a second that the rest of its way allows
  int motion;
  bool by_hand;
};

/// Fluid of lines that are connected: all at one pressure.
inline void share_out(const fluid_numbers::circuit& of, const plant_commands::circuit& open, double fluid,
                      std::array<double, count_of<branch>>& lines) {
  if (open.main_open && open.outer_open) {
    lines[2] = fluid * (of.capacity[2] / (of.capacity[0] + of.capacity[1] + of.capacity[2]));
    fluid -= lines[2];
  }
  if (open.main_open) {
    lines[1] = fluid * (of.capacity[1] / (of.capacity[0] + of.capacity[1]));
    fluid -= lines[1];
  }
  lines[0] = fluid;
}

[[nodiscard]] inline double fluid_connected(const plant_commands::circuit& open,
                                            const std::array<double, count_of<branch>>& lines) {
  return lines[0] + (open.main_open ? lines[1] : 0.0) + (open.main_open && open.outer_open ? lines[2] : 0.0);
}

/// A valve that opens joins its lines at once.
inline void join_lines(const layout& of, plant_state& plant, const plant_commands& commands) {
  for (std::size_t c = 0; c < of.plan().circuits; ++c) {
    auto& lines = plant.circuits[c].line;
    share_out(of.fluid().circuits[c], commands.circuits[c], fluid_connected(commands.circuits[c], lines), lines);
  }
}

/// What connects a circuit with the outside in one inner step.
struct circuit_step {
  double capacity;                ///< of the connected lines
  double leak;                    ///< m3/s for each Pa
  double relief;                  ///< m3/s for each Pa above the reseating pressure, 0 when shut
  double relief_closes;
  double full, worn_full;         ///< flow of sound and of worn pumps
  double most_lifted;             ///< what the reservoir can give them, m3/s
  double demand, leaking;         ///< m3/s at nominal pressure
  std::size_t movers;
  std::array<mover, most_movers> mover_at;
  std::size_t stores;
  std::array<std::uint8_t, limits::stores> store_at;
  bool coupled;                   ///< to another circuit by a turning unit
};

/// Within an inner step the gas is taken as isothermal: pressure x volume stays the same. The volume is the one at
/// which an ideal gas would be as stiff.
struct store_step {
  double gas;        ///< gauge pressure at the beginning, Pa
  double volume;     ///< at the beginning, m3
  double product;    ///< absolute pressure x volume, Pa m3
  double conductance;
  double base;       ///< volume at the beginning of a stage
  double first, second;  ///< flow in the stages, m3/s
};

struct unit_step {
  bool active;
  std::uint8_t from, to;
  double push;       ///< pressure that the pump gives for each Pa at the motor, without friction
  double friction;
  double gain, most, ratio;
};

/// One inner step of the whole plant.
class step {
 public:
  step(const layout& of, plant_state& plant, const plant_commands& commands)
      : p_(of.plan()), n_(of.fluid()), spec_(of.spec()), plant_(plant), commands_(commands),
        laminar_(laminar_share * n_.nominal) {}

  /// Advances by dt seconds in as many inner steps as the transients need.
  void go(double dt) {
    double left = dt;
    while (left > 0.0) {
      const double h = std::min(left, gather(left));
      // What would remain is no more than rounding.
      left = left - h < 1e-9 ? 0.0 : left - h;
      advance(h);
    }
  }

 private:
  static constexpr double gamma = 0.29289321881345254;  // 1 - 1/sqrt(2): makes two stages L-stable

  [[nodiscard]] double connected_fluid(std::size_t c) const {
    return fluid_connected(commands_.circuits[c], plant_.circuits[c].line);
  }

  // Sets up everything that stays the same during an inner step; returns how long that may be.
  double gather(double left) {
    double longest = left;
    any_motion_ = false;
    for (std::size_t c = 0; c < p_.circuits; ++c) gather_circuit(c);
    drive_pumps();
    for (std::size_t s = 0; s < p_.stores; ++s) gather_store(s);
    for (std::size_t u = 0; u < p_.units; ++u) gather_unit(u);
    for (std::size_t d = 0; d < p_.doors; ++d) {
      add_mover(plant_.door[d], n_.doors[d], commands_.doors[d], true);
    }
    for (std::size_t i = 0; i < p_.consumers; ++i) {
      if (p_.consumer_at[i].kind == consumer_kind::gear) {
        add_mover(plant_.gear[i], n_.gear[i], commands_.gear[i], false);
      }
    }
    for (std::size_t c = 0; c < p_.circuits; ++c) {
      pressure_[c] = std::max(connected_fluid(c), 0.0) / at_[c].capacity;
      own_[c] = plant_.circuits[c].own_line / at_[c].capacity;
    }
    start_shafts();
    for (std::size_t c = 0; c < p_.circuits; ++c) {
      const double speed = std::abs(net(c, pressure_, 0.0, true).flow) / at_[c].capacity;
      // As long as pressure changes by no more than a hundredth of nominal; then once more as long as it can settle.
      if (speed * longest > 0.01 * n_.nominal) longest = std::max(0.01 * n_.nominal / speed, shortest_inner);
    }
    if (any_motion_) longest = std::min(longest, longest_moving);
    // A step ends where a reservoir does, so that a pump does not spread the last of it over the time behind.
    for (std::size_t c = 0; c < p_.circuits; ++c) {
      const double lifts = lifted_at(at_[c], pressure_[c]).flow;
      if (lifts * longest <= plant_.circuits[c].reservoir || lifts * shortest_inner > plant_.circuits[c].reservoir) continue;
      longest = plant_.circuits[c].reservoir / lifts;
    }
    return std::min(longest, longest_inner);
  }
  static constexpr double unlimited = 1e9;
  static constexpr double shortest_inner = 0.002;
  static constexpr double longest_moving = 0.010;
  static constexpr double longest_inner = 0.025;

  void gather_circuit(std::size_t c) {
    const fluid_numbers::circuit& of = n_.circuits[c];
    const plant_commands::circuit& open = commands_.circuits[c];
    circuit_plant& now = plant_.circuits[c];
    circuit_step& made = at_[c];
    made.capacity = of.capacity[0] + (open.main_open ? of.capacity[1] : 0.0) +
                    (open.main_open && open.outer_open ? of.capacity[2] : 0.0);
    made.leak = of.leak_rate * made.capacity;
    const double pressure = connected_fluid(c) / made.capacity;
    if (pressure >= of.relief_opens) now.relief_open = true;
    if (pressure < of.relief_closes) now.relief_open = false;
    made.relief = now.relief_open ? of.relief_gain : 0.0;
    made.relief_closes = of.relief_closes;
    made.most_lifted = unlimited;
    made.demand = open.demand;
    made.leaking = open.line_leak;
    made.movers = made.stores = 0;
    made.coupled = false;
  }

  // The flow of each pump at its present speed, and the sums of each circuit.
  void drive_pumps() {
    for (std::size_t c = 0; c < p_.circuits; ++c) at_[c].full = at_[c].worn_full = 0.0;
    for (std::size_t i = 0; i < p_.engine_pumps; ++i) {
      const plan::engine_pump& pump = p_.engine_pump_at[i];
      engine_pump_full_[i] = full_flow(commands_.engine_pumps[i], spec_.engine_pumps[i].flow.value,
                                       plant_.engines[pump.engine].speed, pump.circuit);
    }
    for (std::size_t i = 0; i < p_.electric_pumps; ++i) {
      electric_pump_full_[i] = full_flow(commands_.electric_pumps[i], spec_.electric_pumps[i].flow.value,
                                         plant_.motor[i], p_.electric_pump_at[i].circuit);
    }
    for (std::size_t i = 0; i < p_.ram_air_pumps; ++i) {
      ram_air_pump_full_[i] = full_flow(commands_.ram_air_pumps[i], spec_.ram_air_pumps[i].flow.value,
                                        commands_.airstream[i], p_.ram_air_pump_at[i].circuit);
    }
  }

  double full_flow(const plant_commands::pump& how, double full, double speed, std::size_t c) {
    if (!how.on) return 0.0;
    double flow = full * speed * (commands_.circuits[c].air_lost ? filling_without_air : 1.0);
    if (how.weak) flow *= worn;
    (how.weak ? at_[c].worn_full : at_[c].full) += flow;
    return flow;
  }

  void gather_store(std::size_t s) {
    const fluid_numbers::store& of = n_.stores[s];
    const store_plant& now = plant_.stores[s];
    circuit_step& into = at_[p_.store_at[s].circuit];
    if (commands_.gas_lost[s]) {
      // Nothing holds its fluid any more.
      plant_.circuits[p_.store_at[s].circuit].reservoir += plant_.stores[s].fluid;
      plant_.stores[s].fluid = 0.0;
      return;
    }
    const gas_point gas = gas_at(of.amount, of.real, of.gas - now.fluid, now.gas_temperature);
    const double volume = std::min(gas.pressure / gas.slope, of.gas - now.fluid);
    store_[s] = {gas.pressure - standard_atmosphere, volume, gas.pressure * volume, of.charging, volume, 0.0, 0.0};
    into.store_at[into.stores++] = static_cast<std::uint8_t>(s);
  }

  void gather_unit(std::size_t u) {
    const fluid_numbers::unit& of = n_.units[u];
    const plant_commands::unit& how = commands_.units[u];
    unit_step& made = unit_[u];
    made.active = how.direction != 0 && !how.seized;
    if (!made.active) {
      plant_.units[u] = {0.0, false};
      return;
    }
    const bool forward = how.direction > 0;
    made.from = forward ? p_.unit_at[u].a : p_.unit_at[u].b;
    made.to = forward ? p_.unit_at[u].b : p_.unit_at[u].a;
    // Seen from the other side the motor is the pump, and the other way round.
    made.ratio = forward ? of.ratio : 1.0 / of.ratio;
    made.push = of.efficiency * made.ratio * (how.weak ? weak_unit : 1.0);
    made.gain = of.gain;
    made.most = of.most;
    at_[made.from].coupled = at_[made.to].coupled = true;
    any_motion_ = true;
  }

  void add_mover(double& position, const fluid_numbers::actuator& of, const plant_commands::actuator& how,
                 bool with_hand_pump) {
    if (how.motion == 0 || how.circuit >= p_.circuits) return;
    const double rest = how.motion > 0 ? 1.0 - position : position;
    if (!(rest > 0.0)) return;
    circuit_step& into = at_[how.circuit];
    const bool by_hand = with_hand_pump && commands_.circuits[how.circuit].hand_pump;
    into.mover_at[into.movers++] = {&position, &of, how.motion > 0 ? of.full_side : of.rod_side,
                                    how.motion > 0 ? of.rod_side : of.full_side, how.motion > 0 ? of.load : 0.0,
                                    rest, how.motion, by_hand};
    any_motion_ = true;
  }

  // What all pumps of a circuit lift.
  [[nodiscard]] rate lifted_at(const circuit_step& s, double pressure) const {
    rate sum = pump_at(pressure, s.full, n_.knee, n_.nominal);
    if (s.worn_full > 0.0) {
      const rate more = pump_at(pressure, s.worn_full, worn * n_.knee, worn * n_.nominal);
      sum.flow += more.flow;
      sum.slope += more.slope;
    }
    return sum.flow > s.most_lifted ? rate{s.most_lifted, 0.0} : sum;
  }

  [[nodiscard]] rate mover_at(const mover& m, double pressure) const {
    rate speed = orifice_at(pressure - m.load, n_.nominal - m.load, laminar_);
    speed.flow *= m.of->rate;
    speed.slope *= m.of->rate;
    if (speed.flow > m.most) return {m.most, 0.0};
    return speed;
  }

  // Flow into a store at the end of `weight` seconds of it, in which its gas shrinks: V from
  // base - V = weight x conductance x (pressure - product / V), so that it never holds more than it has room for.
  [[nodiscard]] static rate store_at(const store_step& s, double pressure, double weight) {
    const double absolute = pressure + standard_atmosphere;
    if (absolute * s.base <= s.product) return {0.0, 0.0};
    const double k = s.conductance * weight;
    const double half = 0.5 * (k * absolute - s.base);
    const double root = std::sqrt(half * half + k * s.product);
    const double volume = half > 0.0 ? k * s.product / (half + root) : root - half;
    return {s.conductance * (absolute - s.product / volume), s.conductance * 0.5 * volume / root};
  }

  [[nodiscard]] static rate unit_at(const unit_step& u, double from, double to) {
    const double flow = u.gain * (u.push * from - to - u.friction);
    if (flow <= 0.0) return {0.0, 0.0};
    if (flow >= u.most) return {u.most, 0.0};
    return {flow, u.gain};
  }

  // What flows into the connected lines of a circuit at these pressures, and its slope with its own one. `weight`
  // is the time over which a store counts; without `driven`, what units bring is left out.
  [[nodiscard]] rate net(std::size_t c, const std::array<double, limits::circuits>& at, double weight,
                         bool driven) const {
    const circuit_step& s = at_[c];
    const double p = at[c];
    rate sum = lifted_at(s, p);
    sum.flow -= s.leak * p;
    sum.slope -= s.leak;
    if (s.relief > 0.0 && p > s.relief_closes) {
      sum.flow -= s.relief * (p - s.relief_closes);
      sum.slope -= s.relief;
    }
    if (s.demand + s.leaking > 0.0) {
      const rate out = orifice_at(p, n_.nominal, laminar_);
      sum.flow -= (s.demand + s.leaking) * out.flow;
      sum.slope -= (s.demand + s.leaking) * out.slope;
    }
    for (std::size_t i = 0; i < s.movers; ++i) {
      const mover& m = s.mover_at[i];
      if (m.by_hand) continue;
      const rate speed = mover_at(m, p);
      sum.flow -= m.takes * speed.flow;
      sum.slope -= m.takes * speed.slope;
    }
    for (std::size_t i = 0; i < s.stores; ++i) {
      const rate in = store_at(store_[s.store_at[i]], p, weight);
      sum.flow -= in.flow;
      sum.slope -= in.slope;
    }
    if (s.coupled) {
      for (std::size_t u = 0; u < p_.units; ++u) {
        const unit_step& unit = unit_[u];
        if (!unit.active || (unit.from != c && unit.to != c)) continue;
        const rate across = unit_at(unit, at[unit.from], at[unit.to]);
        if (unit.to == c && driven) {
          sum.flow += across.flow;
          sum.slope -= across.slope;
        } else if (unit.from == c) {
          sum.flow -= unit.ratio * across.flow;
          sum.slope -= unit.ratio * across.slope * unit.push;
        }
      }
    }
    return sum;
  }

  // The pressure p of circuit c with p = base + weight x net(p) / capacity. The right side falls with p, so there is
  // one solution; Newton's method within a bracket that halves when it does not.
  double solve(std::size_t c, std::array<double, limits::circuits>& at, double base, double weight, bool driven) const {
    const double share = weight / at_[c].capacity;
    double low = 0.0;
    double high = std::max(base, n_.nominal) * 1.001;
    if (at_[c].coupled) high = std::max(high, 12.0 * n_.nominal);
    double p = std::clamp(at[c], low, high);
    for (int round = 0; round < 60; ++round) {
      at[c] = p;
      const rate in = net(c, at, weight, driven);
      const double wrong = p - base - share * in.flow;
      if (std::abs(wrong) <= 1e-11 * n_.nominal) break;
      (wrong > 0.0 ? high : low) = p;
      double next = p - wrong / (1.0 - share * in.slope);
      if (!(next > low && next < high)) next = 0.5 * (low + high);
      const double change = std::abs(next - p);
      p = next;
      if (change <= 1e-10 * n_.nominal) break;
    }
    at[c] = p;
    return p;
  }

  void solve_all(std::array<double, limits::circuits>& at, const std::array<double, limits::circuits>& base,
                 double weight) const {
    bool again = false;
    for (std::size_t c = 0; c < p_.circuits; ++c) {
      solve(c, at, base[c], weight, true);
      again = again || at_[c].coupled;
    }
    // Units couple weakly over an inner step, so that going round converges fast.
    for (int round = 0; again && round < 60; ++round) {
      double change = 0.0;
      for (std::size_t c = 0; c < p_.circuits; ++c) {
        if (!at_[c].coupled) continue;
        const double before = at[c];
        solve(c, at, base[c], weight, true);
        change = std::max(change, std::abs(at[c] - before));
      }
      again = change > 1e-9 * n_.nominal;
    }
  }

  void advance(double h) {
    // Pumps count with their mean flow of the step.
    const std::array<double, limits::circuits> sound = sums(&circuit_step::full);
    const std::array<double, limits::circuits> worn_out = sums(&circuit_step::worn_full);
    turn_engines_and_motors(h);
    drive_pumps();
    for (std::size_t c = 0; c < p_.circuits; ++c) {
      at_[c].full = 0.5 * (at_[c].full + sound[c]);
      at_[c].worn_full = 0.5 * (at_[c].worn_full + worn_out[c]);
    }
    for (std::size_t c = 0; c < p_.circuits; ++c) {
      for (std::size_t i = 0; i < at_[c].movers; ++i) at_[c].mover_at[i].most /= h;
    }
    limit_by_reservoirs(h);
    // Two stages; where the second would begin below zero, one step of the first kind, which cannot.
    std::array<double, limits::circuits> first = pressure_;
    solve_all(first, pressure_, gamma * h);
    fill_stores(first, gamma * h, &store_step::first);
    std::array<double, limits::circuits> base{};
    bool twice = true;
    for (std::size_t c = 0; c < p_.circuits; ++c) {
      base[c] = pressure_[c] + (1.0 - gamma) / gamma * (first[c] - pressure_[c]);
      twice = twice && base[c] >= 0.0;
      for (std::size_t i = 0; i < at_[c].stores; ++i) {
        store_step& store = store_[at_[c].store_at[i]];
        store.base = store.volume - (1.0 - gamma) * h * store.first;
        twice = twice && store.base > 0.0;
      }
    }
    std::array<double, limits::circuits> second = first;
    const double weight = twice ? gamma * h : h;
    if (!twice) begin_stores();
    solve_all(second, twice ? base : pressure_, weight);
    fill_stores(second, weight, &store_step::second);
    begin_stores();
    follow_own_pressures(h);
    for (std::size_t c = 0; c < p_.circuits; ++c) book(c, first, second, twice, h);
    for (std::size_t c = 0; c < p_.circuits; ++c) even_out_rounding(plant_.circuits[c]);
    for (std::size_t u = 0; u < p_.units; ++u) {
      if (!unit_[u].active) continue;
      plant_.units[u].flow = unit_at(unit_[u], second[unit_[u].from], second[unit_[u].to]).flow;
      plant_.units[u].turning = plant_.units[u].flow > 0.0;
    }
    show_pump_flows(second);
  }

  [[nodiscard]] std::array<double, limits::circuits> sums(double circuit_step::*of) const {
    std::array<double, limits::circuits> made{};
    for (std::size_t c = 0; c < p_.circuits; ++c) made[c] = at_[c].*of;
    return made;
  }

  void begin_stores() {
    for (std::size_t k = 0; k < p_.stores; ++k) store_[k].base = store_[k].volume;
  }
  void fill_stores(const std::array<double, limits::circuits>& at, double weight, double store_step::*flow) {
    for (std::size_t c = 0; c < p_.circuits; ++c) {
      for (std::size_t i = 0; i < at_[c].stores; ++i) {
        store_step& store = store_[at_[c].store_at[i]];
        store.*flow = store_at(store, at[c], weight).flow;
      }
    }
  }

  void turn_engines_and_motors(double h) {
    for (std::size_t e = 0; e < p_.engines; ++e) {
      engine_plant& now = plant_.engines[e];
      const plant_commands::engine& how = commands_.engines[e];
      switch (how.drive) {
        case spool_drive::at_idle: now.speed = 1.0; break;
        case spool_drive::cranking: {
          const double top = how.hangs ? std::max(now.speed, 0.5) : 1.0;
          now.speed = approached(now.speed, top, n_.engines[e].rise * h);
          break;
        }
        case spool_drive::running_down: now.speed = approached(now.speed, 0.0, n_.engines[e].fall * h); break;
      }
      now.since_idle = how.starter_in ? std::min(n_.engines[e].cut_out, approached(now.since_idle, 1e9, h)) : 0.0;
    }
    for (std::size_t i = 0; i < p_.electric_pumps; ++i) {
      const double run_up = static_cast<double>(spec_.electric_pumps[i].run_up.count()) * 1e-3;
      if (!commands_.electric_pumps[i].on) {
        plant_.motor[i] = 0.0;  // its check valve holds what it built up
      } else {
        plant_.motor[i] = run_up > 0.0 ? approached(plant_.motor[i], 1.0, h / run_up) : 1.0;
      }
    }
  }

  // `by` nearer to an end, and onto it where only rounding is left.
  [[nodiscard]] static double approached(double from, double end, double by) {
    const double next = from < end ? from + by : from - by;
    const bool there = from < end ? next >= end - 1e-9 : next <= end + 1e-9;
    return there ? end : next;
  }

  // No hole loses more than is there at the beginning of the inner step; pumps also lift what comes back meanwhile.
  void limit_by_reservoirs(double h) {
    // What an actuator takes for good comes out of its own reservoir, also where another circuit moves it.
    const auto keeps = [](const mover& m) { return m.takes > m.gives; };
    std::array<double, limits::circuits> lent{};  // actuators of a circuit that others move
    for (std::size_t c = 0; c < p_.circuits; ++c) {
      for (std::size_t i = 0; i < at_[c].movers; ++i) {
        const mover& m = at_[c].mover_at[i];
        if (m.of->circuit != c && keeps(m)) lent[m.of->circuit] += 1.0;
      }
    }
    for (std::size_t c = 0; c < p_.circuits; ++c) {
      for (std::size_t i = 0; i < at_[c].movers; ++i) {
        mover& m = at_[c].mover_at[i];
        if (m.of->circuit == c || !keeps(m)) continue;
        // At most half of what is there, so that own pumps have some too.
        const double part = 0.5 * plant_.circuits[m.of->circuit].reservoir / lent[m.of->circuit];
        m.most = std::min(m.most, part / (m.takes - m.gives) / h);
      }
    }
    for (std::size_t c = 0; c < p_.circuits; ++c) {
      circuit_step& s = at_[c];
      // A trace stays, so that rounding takes no more than is there.
      double there = plant_.circuits[c].reservoir * (lent[c] > 0.0 ? 0.5 : 1.0) * (1.0 - 1e-12) / h;
      reservoir_leak_[c] = std::min(commands_.circuits[c].reservoir_leak, there);
      there -= reservoir_leak_[c];
      there += s.leak * pressure_[c];
      double driven = 0.0;
      for (std::size_t u = 0; u < p_.units; ++u) {
        if (unit_[u].active && unit_[u].to == c) driven += unit_[u].most;
      }
      double by_hand = 0.0;
      for (std::size_t i = 0; i < s.movers; ++i) {
        mover& m = s.mover_at[i];
        if (!m.by_hand) continue;
        const double wanted = m.takes * m.of->rate / slower_by_hand;
        if (wanted > there - by_hand) m.most = 0.0;
        by_hand += m.most > 0.0 ? wanted : 0.0;
      }
      there = std::max(there - by_hand, 0.0);
      const double wanted = s.full + s.worn_full + driven;
      if (wanted <= there) continue;
      for (std::size_t u = 0; u < p_.units; ++u) {
        if (unit_[u].active && unit_[u].to == c) unit_[u].most *= there / wanted;
      }
      s.most_lifted = std::max(there - driven * (there / wanted), 0.0);
    }
  }

  // A shaft at rest breaks away only against its full friction [breakout]; a turning one stops when nothing is left.
  void start_shafts() {
    for (std::size_t u = 0; u < p_.units; ++u) {
      unit_step& made = unit_[u];
      if (!made.active) continue;
      const double breakout = n_.units[u].breakout;
      const double left = made.push * pressure_[made.from] - pressure_[made.to];
      bool& turning = plant_.units[u].turning;
      if (!turning && left > breakout) turning = true;
      made.friction = turning ? breakout * turning_friction : 1e3 * n_.nominal;
    }
  }

  // Own pressure of a driven circuit: the same line without what units bring [PTU-6, PTU-11].
  void follow_own_pressures(double h) {
    for (std::size_t c = 0; c < p_.circuits; ++c) {
      is_driven_[c] = false;
      for (std::size_t u = 0; u < p_.units; ++u) {
        is_driven_[c] = is_driven_[c] || (unit_[u].active && unit_[u].to == c);
      }
      if (!is_driven_[c]) continue;
      std::array<double, limits::circuits> at = pressure_;
      at[c] = own_[c];
      plant_.circuits[c].own_line = at_[c].capacity * solve(c, at, own_[c], h, false);
    }
  }

  /// What flowed during the inner step, by the two stages.
  template <class Flow>
  [[nodiscard]] static double moved(Flow flow, double first, double second, bool twice, double h) {
    return twice ? h * ((1.0 - gamma) * flow(first) + gamma * flow(second)) : h * flow(second);
  }

  // Moves the fluid from place to place; every amount leaves one and enters another. Work is counted at the mean
  // pressure, which makes the energy of the line exact.
  void book(std::size_t c, const std::array<double, limits::circuits>& first,
            const std::array<double, limits::circuits>& second, bool twice, double h) {
    const circuit_step& s = at_[c];
    const fluid_numbers::circuit& of = n_.circuits[c];
    circuit_plant& now = plant_.circuits[c];
    const double p1 = first[c];
    const double p2 = second[c];
    const double mean = 0.5 * (pressure_[c] + p2);
    double line = connected_fluid(c);
    double reservoir = now.reservoir;
    double heat = 0.0;

    const double lifted = moved([&](double p) { return lifted_at(s, p).flow; }, p1, p2, twice, h);
    reservoir -= lifted;
    line += lifted;
    now.pumped += mean * lifted;

    const double returned = moved(
        [&](double p) {
          return s.leak * p + (s.relief > 0.0 ? s.relief * std::max(p - s.relief_closes, 0.0) : 0.0) +
                 (s.demand > 0.0 ? s.demand * orifice_at(p, n_.nominal, laminar_).flow : 0.0);
        },
        p1, p2, twice, h);
    line -= returned;
    reservoir += returned;
    heat += mean * returned;

    if (s.leaking > 0.0) {
      const double lost =
          moved([&](double p) { return s.leaking * orifice_at(p, n_.nominal, laminar_).flow; }, p1, p2, twice, h);
      line -= lost;
      now.leaked += lost;
      heat += mean * lost;
    }
    const double dripped = reservoir_leak_[c] * h;
    reservoir -= dripped;
    now.leaked += dripped;

    for (std::size_t i = 0; i < s.movers; ++i) book_mover(c, s.mover_at[i], p1, p2, twice, h, mean, line, reservoir, heat);

    for (std::size_t i = 0; i < s.stores; ++i) {
      const std::size_t k = s.store_at[i];
      const double pressed = moved([](double flow) { return flow; }, store_[k].first, store_[k].second, twice, h);
      const double on_gas = book_store(k, pressed, h) * pressed;
      line -= pressed;
      now.worked += on_gas;
      heat += mean * pressed - on_gas;
    }

    for (std::size_t u = 0; u < p_.units; ++u) {
      const unit_step& unit = unit_[u];
      if (!unit.active || (unit.from != c && unit.to != c)) continue;
      const auto across = [&](const std::array<double, limits::circuits>& at) {
        return unit_at(unit, at[unit.from], at[unit.to]).flow;
      };
      const double crossed =
          twice ? h * ((1.0 - gamma) * across(first) + gamma * across(second)) : h * across(second);
      if (unit.to == c) {
        reservoir -= crossed;
        line += crossed;
        now.pumped += mean * crossed;
      } else {
        line -= unit.ratio * crossed;
        reservoir += unit.ratio * crossed;
        now.worked += mean * unit.ratio * crossed;
      }
    }

    // What came back was a little less than foreseen: so much less has been lifted.
    if (reservoir < 0.0) {
      now.pumped += mean * reservoir;
      line += reservoir;
      reservoir = 0.0;
    }
    give_back(c, line, reservoir, h);
    now.reservoir = reservoir;
    if (!is_driven_[c]) now.own_line = connected_fluid(c);
    now.heated += heat;
    warm(c, of, heat, h);
  }

  void book_mover(std::size_t c, const mover& m, double p1, double p2, bool twice, double h, double mean, double& line,
                  double& reservoir, double& heat) {
    const double by_hand = m.most > 0.0 ? std::min(m.of->rate / slower_by_hand, m.most) : 0.0;
    const double way =
        m.by_hand ? by_hand * h : moved([&](double p) { return mover_at(m, p).flow; }, p1, p2, twice, h);
    const double before = *m.position;
    double after = m.motion > 0 ? before + way : before - way;
    if (after > 1.0 - 1e-12) after = 1.0;
    if (after < 1e-12) after = 0.0;
    *m.position = after;
    const double gone = std::abs(after - before);
    const double taken = m.takes * gone;
    const double given = m.gives * gone;
    if (m.by_hand) {
      (m.of->circuit == c ? reservoir : plant_.circuits[m.of->circuit].reservoir) += given - taken;
      return;
    }
    line -= taken;
    circuit_plant& now = plant_.circuits[c];
    const double work = m.load * taken;
    now.worked += work;
    heat += mean * taken - work;
    // What it holds belongs to one circuit, whoever moves it: no fluid passes between circuits.
    if (m.of->circuit == c) {
      reservoir += given;
    } else {
      reservoir += taken;
      plant_.circuits[m.of->circuit].reservoir += given - taken;
    }
  }

  // Presses fluid into a store. Its gas warms or cools with its volume, and takes the temperature around it in
  // time. Returns the mean pressure of the gas; at the limits of no time and endless time this is the isothermal
  // and the adiabatic law.
  double book_store(std::size_t k, double pressed, double h) {
    const fluid_numbers::store& of = n_.stores[k];
    store_plant& now = plant_.stores[k];
    const double before = of.gas - now.fluid;
    now.fluid += pressed;
    const double after = of.gas - now.fluid;
    // T V^0.4 stays the same without exchange of heat; the quotient agrees with the power to third order.
    const double shrunk = 0.4 * (before - after) / (before + after);
    const double warmer = now.gas_temperature * (1.0 + shrunk) / (1.0 - shrunk);
    const double pull = of.heat_time > 0.0 ? h / of.heat_time : 0.0;
    now.gas_temperature =
        of.heat_time > 0.0 ? warmer + pull / (1.0 + pull) * (standard_temperature - warmer) : standard_temperature;
    const double end = gas_at(of.amount, of.real, after, now.gas_temperature).pressure - standard_atmosphere;
    return 0.5 * (store_[k].gas + end);
  }

  // The lines that are connected have one pressure; the others leak by themselves.
  void give_back(std::size_t c, double line, double& reservoir, double h) {
    const fluid_numbers::circuit& of = n_.circuits[c];
    const plant_commands::circuit& open = commands_.circuits[c];
    auto& lines = plant_.circuits[c].line;
    if (line < 0.0) {  // no more than rounding
      reservoir += line;
      line = 0.0;
    }
    const bool outer = open.main_open && open.outer_open;
    share_out(of, open, line, lines);
    const double share = of.leak_rate * h / (1.0 + of.leak_rate * h);
    const auto leaks_alone = [&](std::size_t b) {
      const double back = lines[b] * share;
      lines[b] -= back;
      reservoir += back;
      if (lines[b] < 1e-18) {
        reservoir += lines[b];
        lines[b] = 0.0;
      }
    };
    if (!open.main_open) leaks_alone(1);
    if (!outer) leaks_alone(2);
  }

  // What rounding has taken too much from a reservoir comes out of where there is most besides.
  void even_out_rounding(circuit_plant& now) {
    if (now.reservoir >= 0.0) return;
    double& from = now.line[0] > now.leaked ? now.line[0] : now.leaked;
    from = std::max(from + now.reservoir, 0.0);
    now.reservoir = 0.0;
  }

  void warm(std::size_t c, const fluid_numbers::circuit& of, double heat, double h) {
    double& t = plant_.circuits[c].temperature;
    if (commands_.circuits[c].heated) {
      const double pull = h / heating_time;
      t = std::max(t, (t + pull * (of.hot + heated_beyond)) / (1.0 + pull));
    }
    const double loss = of.cooling * h;
    t += (heat + loss * (standard_temperature - t)) / (of.heat_capacity + loss);
  }

  void show_pump_flows(const std::array<double, limits::circuits>& at) {
    std::array<double, limits::circuits> passed{};
    for (std::size_t c = 0; c < p_.circuits; ++c) {
      const double whole = pump_at(at[c], at_[c].full, n_.knee, n_.nominal).flow +
                           pump_at(at[c], at_[c].worn_full, worn * n_.knee, worn * n_.nominal).flow;
      passed[c] = whole > 0.0 && whole > at_[c].most_lifted ? at_[c].most_lifted / whole : 1.0;
    }
    const auto shown = [&](const plant_commands::pump& how, double full, std::size_t c) {
      const double part = how.weak ? worn : 1.0;
      return passed[c] * pump_at(at[c], full, part * n_.knee, part * n_.nominal).flow;
    };
    for (std::size_t i = 0; i < p_.engine_pumps; ++i) {
      plant_.engine_pump_flow[i] =
          shown(commands_.engine_pumps[i], engine_pump_full_[i], p_.engine_pump_at[i].circuit);
    }
    for (std::size_t i = 0; i < p_.electric_pumps; ++i) {
      plant_.electric_pump_flow[i] =
          shown(commands_.electric_pumps[i], electric_pump_full_[i], p_.electric_pump_at[i].circuit);
    }
    for (std::size_t i = 0; i < p_.ram_air_pumps; ++i) {
      plant_.ram_air_pump_flow[i] =
          shown(commands_.ram_air_pumps[i], ram_air_pump_full_[i], p_.ram_air_pump_at[i].circuit);
    }
  }

  const plan& p_;
  const fluid_numbers& n_;
  const layout_spec& spec_;
  plant_state& plant_;
  const plant_commands& commands_;
  double laminar_;
  bool any_motion_ = false;
  std::array<circuit_step, limits::circuits> at_;
  std::array<store_step, limits::stores> store_;
  std::array<unit_step, limits::transfer_units> unit_;
  std::array<double, limits::circuits> pressure_{}, own_{}, reservoir_leak_{};
  std::array<bool, limits::circuits> is_driven_{};
  std::array<double, limits::engine_pumps> engine_pump_full_{};
  std::array<double, limits::electric_pumps> electric_pump_full_{};
  std::array<double, limits::ram_air_pumps> ram_air_pump_full_{};
};

}  // namespace penstock::inline v1::detail::fluid
