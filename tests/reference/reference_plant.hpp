// The equations of the plant once more, as a plain right-hand side for a stiff solver that others wrote (SUNDIALS
// CVODE): what `integrate` is held against. Written from the description in plant.hpp and the numbers of a
// layout_spec alone; nothing of the implementation is used. Where an equation has a kink or a switch, the solver is
// stopped at it and begins anew, so that its error control can be believed.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <vector>

#include "penstock/plant.hpp"

namespace penstock_tests {

/// The plant of one aircraft as ordinary differential equations. Volumes in m3, pressures in Pa, times in s.
class reference_plant {
 public:
  reference_plant(const penstock::layout& of, const penstock::plant_state& begin);
  ~reference_plant();
  reference_plant(const reference_plant&) = delete;
  reference_plant& operator=(const reference_plant&) = delete;

  /// From now on, until then, under these commands. They must live as long.
  void obey(const penstock::plant_commands& commands, double until);
  /// One brake application of a store before the next commands: from the line with its circuit under pressure, otherwise from the store.
  void brake(std::size_t store, bool from_line);
  /// Goes on to a time after the present one, within `until`.
  void go_to(double time);

  [[nodiscard]] double pressure(std::size_t circuit, std::size_t branch) const;
  [[nodiscard]] double gas_pressure(std::size_t store) const;
  [[nodiscard]] double reservoir(std::size_t circuit) const;
  /// How often the solver was stopped at a kink or a switch.
  [[nodiscard]] long stops() const { return stops_; }

 private:
  struct circuit {
    std::array<double, 3> capacity{};
    double leak_rate = 0.0, relief_opens = 0.0, relief_closes = 0.0, relief_gain = 0.0;
    bool relief_open = false, empty = false;
  };
  struct actuator {
    bool exists = false, moves = false;
    double rate = 0.0, full_side = 0.0, rod_side = 0.0, load = 0.0;
    std::size_t own = 0, by = 0;
    std::int8_t motion = 0;
  };
  struct store {
    std::size_t circuit = 0;
    double gas = 0.0, moles = 0.0, conductance = 0.0, heat_time = 0.0, application = 0.0;
    bool real = false;
  };
  struct unit {
    bool active = false, turning = false;
    std::size_t from = 0, to = 0;
    double ratio = 0.0, push = 0.0, gain = 0.0, most = 0.0, breakout = 0.0;
  };
  /// What flows at a point.
  struct flows {
    std::array<double, 4> wanted{}, returned{}, lost{}, net{}, into_reservoir{};
    std::array<double, 6 + 32> speed{};  // of the actuators
    std::array<double, 2> pressed{};
    std::array<double, 2> across{};
  };

  [[nodiscard]] double connected(std::size_t c) const;
  [[nodiscard]] double gas_at(std::size_t s, double fluid, double temperature) const;
  [[nodiscard]] double full_flow(std::size_t c, double time, bool worn) const;
  [[nodiscard]] double pumped(std::size_t c, double time, double pressure) const;
  [[nodiscard]] double unit_flow(const unit& one, const double* y) const;
  [[nodiscard]] flows at(double time, const double* y) const;
  void write_rates(double time, const double* y, double* rates) const;
  void write_kinks(double time, const double* y, double* values) const;
  void settle_switches(const std::vector<int>& crossed);
  void find_ends(double until);
  void begin_anew();
  void restart();

  // Places in the vector of the solver.
  [[nodiscard]] static std::size_t line(std::size_t c) { return 4 * c; }
  [[nodiscard]] static std::size_t alone(std::size_t c, std::size_t branch) { return 4 * c + branch; }  // 1 or 2
  [[nodiscard]] static std::size_t tank(std::size_t c) { return 4 * c + 3; }
  [[nodiscard]] std::size_t position(std::size_t a) const { return 4 * circuits_.size() + a; }
  [[nodiscard]] std::size_t stored(std::size_t s) const { return position(actuators_.size()) + 2 * s; }
  [[nodiscard]] std::size_t warmth(std::size_t s) const { return stored(s) + 1; }

  const penstock::layout& layout_;
  const penstock::layout_spec& spec_;
  double nominal_;
  std::vector<circuit> circuits_;
  std::vector<actuator> actuators_;  // the doors, then every consumer
  std::vector<store> stores_;
  std::vector<unit> units_;
  std::vector<double> y_;            // pressures as share of nominal, volumes in litres, temperatures as share of standard
  std::array<double, 4> speed_{};    // engines and motors at the time they were last told
  std::array<double, 6> motor_{};
  const penstock::plant_commands* commands_ = nullptr;
  double time_ = 0.0, told_ = 0.0;
  std::vector<double> ends_;         // where the solver must stop, last first
  long stops_ = 0;

  struct solver;
  std::unique_ptr<solver> solver_;
};

}  // namespace penstock_tests
