#include "reference/reference_plant.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <stdexcept>
#include <string>

#include <cvode/cvode.h>
#include <nvector/nvector_serial.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>

namespace penstock_tests {
namespace {

using namespace penstock;

constexpr double litre = 1e-3;
constexpr double standard = 288.15;     // K, ISO 2533
constexpr double atmosphere = 101325.0;
constexpr double gas_constant = 8.31451;
// Numbers of the plant's description.
constexpr double laminar = 1e-3;        // share of nominal at which orifices turn laminar
constexpr double third = 1.0 / 3.0;     // worn pumps; friction of a turning shaft

double orifice(double difference, double whole, double rounding) {
  if (difference <= 0.0) return 0.0;
  return difference / whole * std::sqrt((whole + rounding) / (difference + rounding));
}

double characteristic(double pressure, double knee, double cut_off) {
  return std::clamp((cut_off - pressure) / (cut_off - knee), 0.0, 1.0);
}

/// Compressibility of nitrogen: the virial series of the description.
double compressibility(double density, double temperature) {
  const double warmer = temperature - 294.261;
  const double second = -6.365e-6 + 2.051e-7 * warmer - 8.42e-10 * warmer * warmer;
  return 1.0 + second * density + 1.70e-9 * density * density;
}

void must(int flag, const char* what) {
  if (flag < 0) throw std::runtime_error(std::string{"CVODE: "} + what + " gives " + std::to_string(flag));
}

}  // namespace

struct reference_plant::solver {
  solver() = default;
  solver(const solver&) = delete;
  solver& operator=(const solver&) = delete;
  SUNContext context = nullptr;
  N_Vector y = nullptr;
  SUNMatrix matrix = nullptr;
  SUNLinearSolver linear = nullptr;
  void* cvode = nullptr;
  std::size_t kinks = 0;
  ~solver() {
    CVodeFree(&cvode);
    SUNLinSolFree(linear);
    SUNMatDestroy(matrix);
    N_VDestroy(y);
    SUNContext_Free(&context);
  }
};

reference_plant::reference_plant(const layout& of, const plant_state& begin)
    : layout_(of), spec_(of.spec()), nominal_(spec_.nominal.value), solver_(std::make_unique<solver>()) {
  const auto circuit_named = [&](const std::string& name) { return std::size_t{layout_.find(name)->index}; };
  for (const circuit_spec& one : spec_.circuits) {
    circuit made;
    const double whole = one.compression.value / nominal_;
    made.capacity = {whole / 4, whole / 2, whole / 4};
    made.leak_rate = one.leakage.value / one.compression.value;
    made.relief_opens = one.relief_opens * nominal_;
    made.relief_closes = one.relief_closes * nominal_;
    double most = 1e-4;
    for (const auto& pump : spec_.engine_pumps) most += pump.circuit == one.name ? pump.flow.value : 0.0;
    for (const auto& pump : spec_.electric_pumps) most += pump.circuit == one.name ? pump.flow.value : 0.0;
    made.relief_gain = most / (made.relief_opens - made.relief_closes);
    circuits_.push_back(made);
  }
  const auto add = [&](double displacement, double area_ratio, double seconds, double load, const std::string& own) {
    actuator made;
    made.exists = true;
    made.rate = 1.0 / seconds;
    made.full_side = displacement / (1.0 - area_ratio);
    made.rod_side = made.full_side * area_ratio;
    made.load = load * nominal_;
    made.own = circuit_named(own);
    actuators_.push_back(made);
  };
  for (const cargo_door_spec& one : spec_.cargo_doors) {
    add(one.displacement.value, one.area_ratio, static_cast<double>(one.travel.count()) * 1e-3, one.load, one.circuit);
  }
  for (const consumer_spec& one : spec_.consumers) {
    if (one.kind == consumer_kind::gear) {
      add(one.displacement.value, one.area_ratio, static_cast<double>(one.travel.count()) * 1e-3, one.load,
          one.feeds[0].circuit);
    } else {
      actuators_.emplace_back();
    }
  }
  for (const store_spec& one : spec_.stores) {
    store made;
    made.circuit = circuit_named(one.circuit);
    made.gas = one.gas.value;
    made.real = one.law == gas_law::nitrogen;
    const double density = (one.precharge.value + atmosphere) / (gas_constant * standard);
    double real_density = density;
    for (int i = 0; made.real && i < 100; ++i) real_density = density / compressibility(real_density, standard);
    made.moles = real_density * made.gas;
    made.conductance = one.charging.value / nominal_;
    made.heat_time = static_cast<double>(one.heat_time.count()) * 1e-3;
    made.application = one.application.value;
    stores_.push_back(made);
  }
  units_.resize(spec_.transfer_units.size());

  y_.assign(4 * circuits_.size() + actuators_.size() + 2 * stores_.size(), 0.0);
  for (std::size_t c = 0; c < circuits_.size(); ++c) {
    for (std::size_t b = 0; b < 3; ++b) {
      y_[4 * c + b] = begin.circuits[c].line[b] / circuits_[c].capacity[b] / nominal_;
    }
    y_[tank(c)] = begin.circuits[c].reservoir / litre;
  }
  for (std::size_t d = 0; d < spec_.cargo_doors.size(); ++d) y_[position(d)] = begin.door[d];
  for (std::size_t i = 0; i < spec_.consumers.size(); ++i) y_[position(spec_.cargo_doors.size() + i)] = begin.gear[i];
  for (std::size_t s = 0; s < stores_.size(); ++s) {
    y_[stored(s)] = begin.stores[s].fluid / litre;
    y_[warmth(s)] = begin.stores[s].gas_temperature / standard;
  }
  for (std::size_t e = 0; e < spec_.engines.size(); ++e) speed_[e] = begin.engines[e].speed;
  for (std::size_t m = 0; m < spec_.electric_pumps.size(); ++m) motor_[m] = begin.motor[m];

  must(SUNContext_Create(nullptr, &solver_->context), "context");
  solver_->y = N_VNew_Serial(static_cast<sunindextype>(y_.size()), solver_->context);
  solver_->cvode = CVodeCreate(CV_BDF, solver_->context);
  std::copy(y_.begin(), y_.end(), N_VGetArrayPointer(solver_->y));
  const auto rates = [](realtype time, N_Vector y, N_Vector out, void* self) {
    static_cast<const reference_plant*>(self)->write_rates(time, N_VGetArrayPointer(y), N_VGetArrayPointer(out));
    return 0;
  };
  const auto kinks = [](realtype time, N_Vector y, realtype* out, void* self) {
    static_cast<const reference_plant*>(self)->write_kinks(time, N_VGetArrayPointer(y), out);
    return 0;
  };
  must(CVodeInit(solver_->cvode, rates, 0.0, solver_->y), "init");
  must(CVodeSStolerances(solver_->cvode, 1e-9, 1e-11), "tolerances");
  must(CVodeSetUserData(solver_->cvode, this), "data");
  must(CVodeSetMaxNumSteps(solver_->cvode, 1'000'000), "steps");
  solver_->kinks = 5 * circuits_.size() + 2 * actuators_.size() + stores_.size() + 3 * units_.size();
  must(CVodeRootInit(solver_->cvode, static_cast<int>(solver_->kinks), kinks), "roots");
  must(CVodeSetNoInactiveRootWarn(solver_->cvode), "warning");
  const auto size = static_cast<sunindextype>(y_.size());
  solver_->matrix = SUNDenseMatrix(size, size, solver_->context);
  solver_->linear = SUNLinSol_Dense(solver_->y, solver_->matrix, solver_->context);
  must(CVodeSetLinearSolver(solver_->cvode, solver_->linear, solver_->matrix), "linear solver");
}

reference_plant::~reference_plant() = default;

double reference_plant::connected(std::size_t c) const {
  const auto& open = commands_->circuits[c];
  const auto& capacity = circuits_[c].capacity;
  return capacity[0] + (open.main_open ? capacity[1] + (open.outer_open ? capacity[2] : 0.0) : 0.0);
}

double reference_plant::gas_at(std::size_t s, double fluid, double temperature) const {
  const double density = stores_[s].moles / (stores_[s].gas - fluid);
  const double real = stores_[s].real ? compressibility(density, temperature) : 1.0;
  return density * gas_constant * temperature * real - atmosphere;
}

void reference_plant::obey(const plant_commands& commands, double until) {
  // What turned so far has reached its present speed.
  for (std::size_t e = 0; commands_ != nullptr && e < spec_.engines.size(); ++e) {
    const engine_spec& of = spec_.engines[e];
    const double passed = time_ - told_;
    switch (commands_->engines[e].drive) {
      case spool_drive::at_idle: speed_[e] = 1.0; break;
      case spool_drive::cranking:
        speed_[e] = std::min(1.0, speed_[e] + passed / (static_cast<double>(of.spool_up.count()) * 1e-3));
        break;
      case spool_drive::running_down:
        speed_[e] = std::max(0.0, speed_[e] - passed / (static_cast<double>(of.run_down.count()) * 1e-3));
        break;
    }
  }
  for (std::size_t m = 0; commands_ != nullptr && m < spec_.electric_pumps.size(); ++m) {
    const double run_up = static_cast<double>(spec_.electric_pumps[m].run_up.count()) * 1e-3;
    motor_[m] = commands_->electric_pumps[m].on ? std::min(1.0, motor_[m] + (time_ - told_) / run_up) : 0.0;
  }
  // Valves move at once: branches that come together share their fluid.
  std::vector<std::array<double, 3>> branch(circuits_.size());
  for (std::size_t c = 0; c < circuits_.size(); ++c) {
    for (std::size_t b = 0; b < 3; ++b) branch[c][b] = commands_ == nullptr ? y_[4 * c + b] : pressure(c, b) / nominal_;
  }
  commands_ = &commands;
  told_ = time_;
  for (std::size_t c = 0; c < circuits_.size(); ++c) {
    const auto& open = commands.circuits[c];
    const std::array<bool, 3> together{true, open.main_open, open.main_open && open.outer_open};
    double fluid = 0.0;
    for (std::size_t b = 0; b < 3; ++b) {
      if (together[b]) fluid += circuits_[c].capacity[b] * branch[c][b];
      y_[4 * c + b] = b > 0 && together[b] ? 0.0 : branch[c][b];
    }
    y_[line(c)] = fluid / connected(c);
  }
  for (std::size_t a = 0; a < actuators_.size(); ++a) {
    const std::size_t doors = spec_.cargo_doors.size();
    const auto& told = a < doors ? commands.doors[a] : commands.gear[a - doors];
    actuator& one = actuators_[a];
    one.motion = told.motion;
    one.by = told.circuit;
    const double rest = told.motion > 0 ? 1.0 - y_[position(a)] : y_[position(a)];
    one.moves = one.exists && told.motion != 0 && rest > 0.0;
  }
  for (std::size_t u = 0; u < units_.size(); ++u) {
    const transfer_unit_spec& of = spec_.transfer_units[u];
    const auto& told = commands.units[u];
    unit& one = units_[u];
    one.active = told.direction != 0 && !told.seized;
    one.turning = one.turning && one.active;
    const std::size_t a = layout_.find(of.a)->index;
    const std::size_t b = layout_.find(of.b)->index;
    one.from = told.direction > 0 ? a : b;
    one.to = told.direction > 0 ? b : a;
    one.ratio = told.direction > 0 ? of.ratio : 1.0 / of.ratio;
    one.push = of.efficiency * one.ratio * (told.weak ? 0.5 : 1.0);
    one.most = of.flow.value;
    one.gain = one.most / (0.25 * nominal_);
    one.breakout = of.breakout * nominal_;
  }
  find_ends(until);
  begin_anew();
}

void reference_plant::brake(std::size_t s, bool from_line) {
  const store& of = stores_[s];
  if (from_line) {
    y_[line(of.circuit)] -= of.application / connected(of.circuit) / nominal_;
  } else {
    const double small = of.gas - y_[stored(s)] * litre;
    y_[stored(s)] -= of.application / litre;
    // Gas that takes the temperature around it at once stays at it.
    if (of.heat_time > 0.0) y_[warmth(s)] *= std::pow(small / (small + of.application), 0.4);
  }
  y_[tank(of.circuit)] += of.application / litre;
  begin_anew();
}

double reference_plant::full_flow(std::size_t c, double time, bool worn) const {
  const std::string& name = spec_.circuits[c].name;
  double sum = 0.0;
  const double passed = time - told_;
  for (std::size_t i = 0; i < spec_.engine_pumps.size(); ++i) {
    const engine_pump_spec& pump = spec_.engine_pumps[i];
    if (pump.circuit != name || !commands_->engine_pumps[i].on || commands_->engine_pumps[i].weak != worn) continue;
    const std::size_t e = layout_.find(pump.engine)->index;
    double speed = speed_[e];
    if (commands_->engines[e].drive == spool_drive::at_idle) speed = 1.0;
    if (commands_->engines[e].drive == spool_drive::cranking) {
      speed = std::min(1.0, speed + passed / (static_cast<double>(spec_.engines[e].spool_up.count()) * 1e-3));
    }
    if (commands_->engines[e].drive == spool_drive::running_down) {
      speed = std::max(0.0, speed - passed / (static_cast<double>(spec_.engines[e].run_down.count()) * 1e-3));
    }
    sum += pump.flow.value * speed;
  }
  for (std::size_t i = 0; i < spec_.electric_pumps.size(); ++i) {
    const electric_pump_spec& pump = spec_.electric_pumps[i];
    if (pump.circuit != name || !commands_->electric_pumps[i].on || commands_->electric_pumps[i].weak != worn) continue;
    sum += pump.flow.value *
           std::min(1.0, motor_[i] + passed / (static_cast<double>(pump.run_up.count()) * 1e-3));
  }
  for (std::size_t i = 0; i < spec_.ram_air_pumps.size(); ++i) {
    const ram_air_pump_spec& pump = spec_.ram_air_pumps[i];
    if (pump.circuit == name && commands_->ram_air_pumps[i].on && commands_->ram_air_pumps[i].weak == worn) {
      sum += pump.flow.value * commands_->airstream[i];
    }
  }
  return sum * (worn ? third : 1.0) * (commands_->circuits[c].air_lost ? 0.8 : 1.0);
}

double reference_plant::pumped(std::size_t c, double time, double pressure) const {
  const double knee = spec_.pump_knee * nominal_;
  return full_flow(c, time, false) * characteristic(pressure, knee, nominal_) +
         full_flow(c, time, true) * characteristic(pressure, third * knee, third * nominal_);
}

double reference_plant::unit_flow(const unit& one, const double* y) const {
  if (!one.active || !one.turning) return 0.0;
  return one.gain * (one.push * y[line(one.from)] * nominal_ - y[line(one.to)] * nominal_ - one.breakout * third);
}

reference_plant::flows reference_plant::at(double time, const double* y) const {
  flows f;
  for (std::size_t c = 0; c < circuits_.size(); ++c) {
    const double p = y[line(c)] * nominal_;
    const auto& told = commands_->circuits[c];
    const double through = orifice(p, nominal_, laminar * nominal_);
    f.wanted[c] = pumped(c, time, p);
    f.returned[c] = circuits_[c].leak_rate * connected(c) * p + told.demand * through;
    if (circuits_[c].relief_open) {
      f.returned[c] += circuits_[c].relief_gain * std::max(p - circuits_[c].relief_closes, 0.0);
    }
    f.lost[c] = told.line_leak * through;
    f.net[c] = -f.returned[c] - f.lost[c];
    f.into_reservoir[c] = f.returned[c] - told.reservoir_leak;
    for (std::size_t b = 1; b < 3; ++b) {
      f.into_reservoir[c] += circuits_[c].capacity[b] * circuits_[c].leak_rate * y[alone(c, b)] * nominal_;
    }
  }
  for (std::size_t a = 0; a < actuators_.size(); ++a) {
    const actuator& one = actuators_[a];
    if (!one.moves) continue;
    const double load = one.motion > 0 ? one.load : 0.0;
    const double takes = one.motion > 0 ? one.full_side : one.rod_side;
    const double gives = one.motion > 0 ? one.rod_side : one.full_side;
    f.speed[a] = one.rate * orifice(y[line(one.by)] * nominal_ - load, nominal_ - load, laminar * nominal_);
    f.net[one.by] -= takes * f.speed[a];
    // What an actuator holds belongs to its own circuit.
    f.into_reservoir[one.by] += (one.by == one.own ? gives : takes) * f.speed[a];
    if (one.by != one.own) f.into_reservoir[one.own] += (gives - takes) * f.speed[a];
  }
  for (std::size_t s = 0; s < stores_.size(); ++s) {
    const std::size_t c = stores_[s].circuit;
    const double gas = gas_at(s, y[stored(s)] * litre, y[warmth(s)] * standard);
    f.pressed[s] = stores_[s].conductance * std::max(y[line(c)] * nominal_ - gas, 0.0);
    f.net[c] -= f.pressed[s];
  }
  for (std::size_t u = 0; u < units_.size(); ++u) {
    const unit& one = units_[u];
    f.across[u] = std::clamp(unit_flow(one, y), 0.0, one.most);
    f.net[one.to] += f.across[u];
    f.into_reservoir[one.to] -= f.across[u];
    f.net[one.from] -= one.ratio * f.across[u];
    f.into_reservoir[one.from] += one.ratio * f.across[u];
  }
  for (std::size_t c = 0; c < circuits_.size(); ++c) {
    // An empty reservoir gives what comes back to it, no more.
    const double lifted = circuits_[c].empty ? std::clamp(f.into_reservoir[c], 0.0, f.wanted[c]) : f.wanted[c];
    f.net[c] += lifted;
    f.into_reservoir[c] = circuits_[c].empty ? 0.0 : f.into_reservoir[c] - lifted;
  }
  return f;
}

void reference_plant::write_rates(double time, const double* y, double* rates) const {
  const flows f = at(time, y);
  for (std::size_t c = 0; c < circuits_.size(); ++c) {
    rates[line(c)] = f.net[c] / connected(c) / nominal_;
    for (std::size_t b = 1; b < 3; ++b) rates[alone(c, b)] = -circuits_[c].leak_rate * y[alone(c, b)];
    rates[tank(c)] = f.into_reservoir[c] / litre;
  }
  for (std::size_t a = 0; a < actuators_.size(); ++a) rates[position(a)] = f.speed[a] * actuators_[a].motion;
  for (std::size_t s = 0; s < stores_.size(); ++s) {
    rates[stored(s)] = f.pressed[s] / litre;
    // T V^0.4 stays the same without exchange of heat; without end to the exchange the temperature does.
    const double compressed = 0.4 * y[warmth(s)] * f.pressed[s] / (stores_[s].gas - y[stored(s)] * litre);
    const double heat_time = stores_[s].heat_time;
    rates[warmth(s)] = heat_time > 0.0 ? compressed + (1.0 - y[warmth(s)]) / heat_time : 0.0;
  }
}

void reference_plant::write_kinks(double time, const double* y, double* values) const {
  const flows f = at(time, y);
  double* next = values;
  for (std::size_t c = 0; c < circuits_.size(); ++c) {
    const double p = y[line(c)];
    *next++ = p - spec_.pump_knee;
    *next++ = p - 1.0;
    *next++ = p - circuits_[c].relief_opens / nominal_;
    *next++ = p - circuits_[c].relief_closes / nominal_;
    *next++ = circuits_[c].empty ? (f.returned[c] - f.wanted[c]) / litre : y[tank(c)];
  }
  for (std::size_t a = 0; a < actuators_.size(); ++a) {
    const actuator& one = actuators_[a];
    *next++ = one.moves ? (one.motion > 0 ? 1.0 - y[position(a)] : y[position(a)]) : 1.0;
    *next++ = one.moves && one.motion > 0 ? y[line(one.by)] - one.load / nominal_ : 1.0;
  }
  for (std::size_t s = 0; s < stores_.size(); ++s) {
    *next++ = y[line(stores_[s].circuit)] - gas_at(s, y[stored(s)] * litre, y[warmth(s)] * standard) / nominal_;
  }
  for (const unit& one : units_) {
    const double left = one.active ? one.push * y[line(one.from)] - y[line(one.to)] : 0.0;
    *next++ = one.active && !one.turning ? left - one.breakout / nominal_ : 1.0;
    *next++ = one.active && one.turning ? unit_flow(one, y) / one.most : 1.0;
    *next++ = one.active && one.turning ? unit_flow(one, y) / one.most - 1.0 : 1.0;
  }
}

void reference_plant::settle_switches(const std::vector<int>& crossed) {
  std::size_t place = 0;
  for (std::size_t c = 0; c < circuits_.size(); ++c, place += 5) {
    circuit& one = circuits_[c];
    if (crossed[place + 2] > 0 || y_[line(c)] * nominal_ > one.relief_opens) one.relief_open = true;
    if (crossed[place + 3] < 0 || y_[line(c)] * nominal_ < one.relief_closes) one.relief_open = false;
    if (crossed[place + 4] > 0 && one.empty) {
      one.empty = false;
    } else if (crossed[place + 4] < 0 || y_[tank(c)] <= 0.0) {
      one.empty = true;
      y_[tank(c)] = 0.0;
    }
  }
  for (std::size_t a = 0; a < actuators_.size(); ++a, place += 2) {
    if (crossed[place] == 0 || !actuators_[a].moves) continue;
    y_[position(a)] = actuators_[a].motion > 0 ? 1.0 : 0.0;
    actuators_[a].moves = false;
  }
  place += stores_.size();
  for (unit& one : units_) {
    const double left = one.push * y_[line(one.from)] - y_[line(one.to)];
    if (one.active && (crossed[place] > 0 || left > one.breakout / nominal_)) one.turning = true;
    if (crossed[place + 1] < 0 || unit_flow(one, y_.data()) < 0.0) one.turning = false;
    place += 3;
  }
}

void reference_plant::begin_anew() {
  settle_switches(std::vector<int>(solver_->kinks, 0));
  restart();
}

void reference_plant::restart() {
  std::copy(y_.begin(), y_.end(), N_VGetArrayPointer(solver_->y));
  must(CVodeReInit(solver_->cvode, time_, solver_->y), "begin anew");
  must(CVodeSetStopTime(solver_->cvode, ends_.back()), "stop time");
}

// Where a spool or a motor gets to its end, the right side has a kink in time.
void reference_plant::find_ends(double until) {
  ends_.assign(1, until);
  const auto consider = [&](double rest, milliseconds whole) {
    const double end = told_ + rest * static_cast<double>(whole.count()) * 1e-3;
    if (end > told_ + 1e-9 && end < until - 1e-9) ends_.push_back(end);
  };
  for (std::size_t e = 0; e < spec_.engines.size(); ++e) {
    const spool_drive drive = commands_->engines[e].drive;
    if (drive == spool_drive::cranking) consider(1.0 - speed_[e], spec_.engines[e].spool_up);
    if (drive == spool_drive::running_down) consider(speed_[e], spec_.engines[e].run_down);
  }
  for (std::size_t m = 0; m < spec_.electric_pumps.size(); ++m) {
    if (commands_->electric_pumps[m].on) consider(1.0 - motor_[m], spec_.electric_pumps[m].run_up);
  }
  std::sort(ends_.begin(), ends_.end(), std::greater<>{});
}

void reference_plant::go_to(double time) {
  while (time_ < time) {
    const int flag = CVode(solver_->cvode, time, solver_->y, &time_, CV_NORMAL);
    must(flag, "step");
    const double* now = N_VGetArrayPointer(solver_->y);
    std::copy(now, now + y_.size(), y_.begin());
    if (flag == CV_SUCCESS) continue;
    if (flag == CV_ROOT_RETURN) {
      std::vector<int> crossed(solver_->kinks);
      must(CVodeGetRootInfo(solver_->cvode, crossed.data()), "roots");
      settle_switches(crossed);
      if (++stops_ > 100'000) throw std::runtime_error("CVODE: it stops at one switch again and again");
    } else if (ends_.size() > 1) {
      ends_.pop_back();
    } else {
      return;  // the end of these commands
    }
    restart();
  }
}

double reference_plant::pressure(std::size_t c, std::size_t branch) const {
  const auto& open = commands_->circuits[c];
  const bool together = branch == 0 || (open.main_open && (branch == 1 || open.outer_open));
  return y_[together ? line(c) : alone(c, branch)] * nominal_;
}

double reference_plant::gas_pressure(std::size_t s) const {
  return gas_at(s, y_[stored(s)] * litre, y_[warmth(s)] * standard);
}

double reference_plant::reservoir(std::size_t c) const { return y_[tank(c)] * litre; }

}  // namespace penstock_tests
