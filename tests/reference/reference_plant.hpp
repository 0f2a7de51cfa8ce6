// The equations of the plant once more, as a plain right-hand side, solved by SUNDIALS CVODE with tight tolerances.
// Written from the description in plant.hpp; shares no code with the integrator, only the layout's numbers.
#pragma once

#include <cvode/cvode.h>
#include <nvector/nvector_serial.h>
#include <sundials/sundials_context.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <memory>
#include <stdexcept>
#include <vector>

#include "penstock/penstock.hpp"

namespace penstock_tests {

using namespace penstock;

/// Integrates one aircraft under fixed commands from one moment to the next.
class reference_plant {
 public:
  reference_plant(const layout& of, const plant_state& from, const plant_commands& commands)
      : n_(of.fluid()), p_(of.plan()), spec_(of.spec()), commands_(commands) {
    for (std::size_t c = 0; c < p_.circuits; ++c) {
      const circuit_plant& now = from.circuits[c];
      const auto& open = commands.circuits[c];
      connected_.push_back({true, open.main_open, open.main_open && open.outer_open});
      double line = 0.0;
      double capacity = 0.0;
      for (std::size_t b = 0; b < 3; ++b) {
        if (!connected_[c][b]) continue;
        line += now.line[b];
        capacity += n_.circuits[c].capacity[b];
      }
      capacity_.push_back(capacity);
      y_.push_back(line / capacity / unit_pressure);
      y_.push_back(now.line[1] / n_.circuits[c].capacity[1] / unit_pressure);  // counts where it is shut off
      y_.push_back(now.reservoir / unit_volume);
      relief_.push_back(now.relief_open || y_[y_.size() - 3] * unit_pressure >= n_.circuits[c].relief_opens);
    }
    for (std::size_t d = 0; d < p_.doors; ++d) y_.push_back(from.door[d]);
    for (std::size_t i = 0; i < p_.consumers; ++i) y_.push_back(from.gear[i]);
    for (std::size_t s = 0; s < p_.stores; ++s) {
      y_.push_back(from.stores[s].fluid / unit_volume);
      y_.push_back(from.stores[s].gas_temperature / unit_temperature);
    }
    for (std::size_t i = 0; i < p_.electric_pumps; ++i) y_.push_back(from.motor[i]);
    for (std::size_t e = 0; e < p_.engines; ++e) y_.push_back(from.engines[e].speed);
    start();
  }
  reference_plant(const reference_plant&) = delete;
  reference_plant& operator=(const reference_plant&) = delete;
  ~reference_plant() {
    CVodeFree(&solver_);
    SUNLinSolFree(linear_);
    SUNMatDestroy(matrix_);
    N_VDestroy(vector_);
    SUNContext_Free(&context_);
  }

  void go_to(double time) {
    double reached = 0.0;
    check(CVodeSetStopTime(solver_, time), "stop time");
    do {
      check(CVode(solver_, time, vector_, &reached, CV_NORMAL), "step");
      bool shut = false;
      for (std::size_t c = 0; c < p_.circuits; ++c) {
        // The valve reseats where the root finder stopped.
        if (relief_[c] && pressure(c) <= n_.circuits[c].relief_closes * (1.0 + 1e-9)) {
          relief_[c] = false;
          shut = true;
        }
      }
      if (shut) check(CVodeReInit(solver_, reached, vector_), "start again");
    } while (reached < time);
  }

  [[nodiscard]] double pressure(std::size_t c) const { return at(3 * c) * unit_pressure; }
  [[nodiscard]] double shut_off_pressure(std::size_t c) const { return at(3 * c + 1) * unit_pressure; }
  [[nodiscard]] double reservoir(std::size_t c) const { return at(3 * c + 2) * unit_volume; }
  [[nodiscard]] double stored(std::size_t s) const { return at(stores_begin() + 2 * s) * unit_volume; }

 private:
  // So that one tolerance fits all.
  static constexpr double unit_pressure = 1e7;
  static constexpr double unit_volume = 1e-3;
  static constexpr double unit_temperature = 300.0;

  [[nodiscard]] std::size_t doors_begin() const { return 3 * p_.circuits; }
  [[nodiscard]] std::size_t gear_begin() const { return doors_begin() + p_.doors; }
  [[nodiscard]] std::size_t stores_begin() const { return gear_begin() + p_.consumers; }
  [[nodiscard]] std::size_t motors_begin() const { return stores_begin() + 2 * p_.stores; }
  [[nodiscard]] std::size_t engines_begin() const { return motors_begin() + p_.electric_pumps; }
  [[nodiscard]] double at(std::size_t i) const { return NV_DATA_S(vector_)[i]; }

  static void check(int code, const char* what) {
    if (code < 0) throw std::runtime_error{std::string{"CVODE: "} + what + " failed with " + std::to_string(code)};
  }

  void start() {
    check(SUNContext_Create(nullptr, &context_), "context");
    const auto size = static_cast<sunindextype>(y_.size());
    vector_ = N_VNew_Serial(size, context_);
    std::copy(y_.begin(), y_.end(), NV_DATA_S(vector_));
    solver_ = CVodeCreate(CV_BDF, context_);
    check(CVodeInit(solver_, right_side, 0.0, vector_), "init");
    check(CVodeSStolerances(solver_, 1e-8, 1e-9), "tolerances");
    check(CVodeSetUserData(solver_, this), "user data");
    check(CVodeSetMaxStep(solver_, 0.01), "largest step");  // no kink is stepped over
    check(CVodeSetMaxNumSteps(solver_, 1'000'000), "number of steps");
    matrix_ = SUNDenseMatrix(size, size, context_);
    linear_ = SUNLinSol_Dense(vector_, matrix_, context_);
    check(CVodeSetLinearSolver(solver_, linear_, matrix_), "linear solver");
    check(CVodeRootInit(solver_, static_cast<int>(p_.circuits), roots), "roots");
  }

  static int roots(double, N_Vector y, double* out, void* self) {
    const auto& me = *static_cast<const reference_plant*>(self);
    for (std::size_t c = 0; c < me.p_.circuits; ++c) {
      out[c] = NV_DATA_S(y)[3 * c] - me.n_.circuits[c].relief_closes / unit_pressure;
    }
    return 0;
  }

  static int right_side(double, N_Vector y, N_Vector change, void* self) {
    static_cast<const reference_plant*>(self)->derive(NV_DATA_S(y), NV_DATA_S(change));
    return 0;
  }

  // The square root of the difference, straight below a thousandth of nominal.
  [[nodiscard]] double orifice(double difference, double whole) const {
    if (difference <= 0.0) return 0.0;
    const double laminar = 1e-3 * n_.nominal;
    return (difference / std::sqrt(difference + laminar)) / (whole / std::sqrt(whole + laminar));
  }
  [[nodiscard]] double pump(double pressure, double full) const {
    return full * std::clamp((n_.nominal - pressure) / (n_.nominal - n_.knee), 0.0, 1.0);
  }

  void derive(const double* y, double* change) const {
    std::vector<double> into(p_.circuits, 0.0);      // the line
    std::vector<double> back(p_.circuits, 0.0);      // the reservoir, without what pumps take
    std::vector<double> wanted(p_.circuits, 0.0);    // by pumps
    for (std::size_t e = 0; e < p_.engines; ++e) {
      const std::size_t k = engines_begin() + e;
      const auto& how = commands_.engines[e];
      change[k] = how.drive == spool_drive::cranking && y[k] < 1.0       ? n_.engines[e].rise
                  : how.drive == spool_drive::running_down && y[k] > 0.0 ? -n_.engines[e].fall
                                                                         : 0.0;
    }
    for (std::size_t i = 0; i < p_.engine_pumps; ++i) {
      const auto& pump_of = p_.engine_pump_at[i];
      if (!commands_.engine_pumps[i].on) continue;
      const double full = spec_.engine_pumps[i].flow.value * std::min(y[engines_begin() + pump_of.engine], 1.0);
      wanted[pump_of.circuit] += pump(y[3 * pump_of.circuit] * unit_pressure, full);
    }
    for (std::size_t i = 0; i < p_.electric_pumps; ++i) {
      const std::size_t k = motors_begin() + i;
      const auto& pump_of = p_.electric_pump_at[i];
      const double run_up = static_cast<double>(spec_.electric_pumps[i].run_up.count()) * 1e-3;
      change[k] = commands_.electric_pumps[i].on && y[k] < 1.0 ? 1.0 / run_up : 0.0;
      if (!commands_.electric_pumps[i].on) continue;
      const double full = spec_.electric_pumps[i].flow.value * std::min(y[k], 1.0);
      wanted[pump_of.circuit] += pump(y[3 * pump_of.circuit] * unit_pressure, full);
    }
    for (std::size_t c = 0; c < p_.circuits; ++c) {
      const auto& of = n_.circuits[c];
      const double p = std::max(y[3 * c], 0.0) * unit_pressure;
      double returned = of.leak_rate * capacity_[c] * p;
      if (relief_[c]) returned += of.relief_gain * std::max(p - of.relief_closes, 0.0);
      returned += commands_.circuits[c].demand * orifice(p, n_.nominal);
      into[c] -= returned + commands_.circuits[c].line_leak * orifice(p, n_.nominal);
      back[c] += returned;
      const double alone = y[3 * c + 1] * unit_pressure;
      change[3 * c + 1] = connected_[c][1] ? 0.0 : -of.leak_rate * alone / unit_pressure;
      if (!connected_[c][1]) back[c] += of.leak_rate * of.capacity[1] * alone;
    }
    const auto move = [&](std::size_t k, const auto& of, const plant_commands::actuator& how) {
      change[k] = 0.0;
      if (how.motion == 0 || (how.motion > 0 ? y[k] >= 1.0 : y[k] <= 0.0)) return;
      const double load = how.motion > 0 ? of.load : 0.0;
      const double speed = of.rate * orifice(y[3 * how.circuit] * unit_pressure - load, n_.nominal - load);
      change[k] = how.motion * speed;
      into[how.circuit] -= speed * (how.motion > 0 ? of.full_side : of.rod_side);
      back[how.circuit] += speed * (how.motion > 0 ? of.rod_side : of.full_side);
    };
    for (std::size_t d = 0; d < p_.doors; ++d) move(doors_begin() + d, n_.doors[d], commands_.doors[d]);
    for (std::size_t i = 0; i < p_.consumers; ++i) {
      change[gear_begin() + i] = 0.0;
      if (p_.consumer_at[i].kind == consumer_kind::gear) move(gear_begin() + i, n_.gear[i], commands_.gear[i]);
    }
    for (std::size_t s = 0; s < p_.stores; ++s) {
      const auto& of = n_.stores[s];
      const std::size_t k = stores_begin() + 2 * s;
      const std::size_t c = p_.store_at[s].circuit;
      const double gas = of.gas - y[k] * unit_volume;
      const double warm = y[k + 1] * unit_temperature;
      // Ideal gas only: R as in the CODATA value that the layout's amounts were worked out with.
      const double gauge = of.amount * 8.31451 * warm / gas - 101'325.0;
      const double flow = of.charging * std::max(y[3 * c] * unit_pressure - gauge, 0.0);
      into[c] -= flow;
      change[k] = flow / unit_volume;
      // First law for a gas of five degrees of freedom: dT/T = -0.4 dV/V, and warmth from around it.
      change[k + 1] = 0.4 * y[k + 1] * flow / gas;
      if (of.heat_time > 0.0) change[k + 1] += (288.15 / unit_temperature - y[k + 1]) / of.heat_time;
    }
    for (std::size_t u = 0; u < p_.units; ++u) {
      const int direction = commands_.units[u].direction;
      if (direction == 0) continue;
      const std::size_t from = direction > 0 ? p_.unit_at[u].a : p_.unit_at[u].b;
      const std::size_t to = direction > 0 ? p_.unit_at[u].b : p_.unit_at[u].a;
      const auto& of = n_.units[u];
      const double ratio = direction > 0 ? of.ratio : 1.0 / of.ratio;
      const double left = of.efficiency * ratio * y[3 * from] * unit_pressure - y[3 * to] * unit_pressure -
                          of.breakout / 3.0;
      const double flow = std::clamp(of.gain * left, 0.0, of.most);
      into[from] -= ratio * flow;
      back[from] += ratio * flow;
      into[to] += flow;
      back[to] -= flow;
    }
    for (std::size_t c = 0; c < p_.circuits; ++c) {
      // An empty reservoir passes on what comes back, no more.
      const double lifted = y[3 * c + 2] > 0.0 ? wanted[c] : std::clamp(back[c], 0.0, wanted[c]);
      change[3 * c] = (into[c] + lifted) / capacity_[c] / unit_pressure;
      change[3 * c + 2] = (back[c] - lifted - commands_.circuits[c].reservoir_leak) / unit_volume;
    }
  }

  const detail::fluid_numbers& n_;
  const detail::plan& p_;
  const layout_spec& spec_;
  const plant_commands& commands_;
  std::vector<std::array<bool, 3>> connected_;
  std::vector<double> capacity_, y_;
  std::vector<bool> relief_;
  SUNContext context_ = nullptr;
  N_Vector vector_ = nullptr;
  void* solver_ = nullptr;
  SUNMatrix matrix_ = nullptr;
  SUNLinearSolver linear_ = nullptr;
};

}  // namespace penstock_tests
