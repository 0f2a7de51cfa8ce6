// Layouts: the check of a spec, and the plan that the logic reads.
#pragma once

#include <cmath>
#include <utility>

#include "penstock/detail/layout_check.hpp"
#include "penstock/detail/store_gas.hpp"
#include "penstock/detail/text.hpp"

namespace penstock::inline v1 {

namespace detail {

/// More applications than the state can count are not counted [CON-3].
inline constexpr double most_applications_counted = 60.0;

/// The gas of a store. The spec must have passed its range checks.
[[nodiscard]] inline fluid_numbers::store store_numbers(const store_spec& of, pressure nominal) {
  fluid_numbers::store made{};
  made.gas = of.gas.value;
  made.real = of.law == gas_law::nitrogen;
  made.amount = gas_amount(of.precharge.value + standard_atmosphere, made.real, made.gas);
  made.heat_time = static_cast<double>(of.heat_time.count()) * 1e-3;
  made.charging = of.charging.value / nominal.value;
  const auto fluid_at = [&](pressure p) {
    return made.gas - gas_volume(made.amount, made.real, p.value + standard_atmosphere, made.gas);
  };
  made.least_fluid = fluid_at(of.least);
  made.most_fluid = fluid_at(nominal);
  made.application = of.application.value;
  return made;
}

/// Applications that the fluid between nominal and least pressure gives, by the isothermal gas law with
/// absolute pressures [CON-3].
[[nodiscard]] inline double applications_of(const fluid_numbers::store& of) {
  // The small addition keeps a whole number whole that rounding has brought just below.
  const double many = (of.most_fluid - of.least_fluid) / of.application + 1e-9;
  return std::floor(std::min(many, most_applications_counted));
}

/// The numbers of the plant. The spec must have passed its check, of which `p` came.
[[nodiscard]] inline fluid_numbers fluid_numbers_of(const layout_spec& spec, const plan& p) {
  const auto seconds = [](milliseconds t) { return static_cast<double>(t.count()) * 1e-3; };
  fluid_numbers n;
  n.nominal = spec.nominal.value;
  n.knee = spec.pump_knee * n.nominal;
  for (std::size_t e = 0; e < spec.engines.size(); ++e) {
    const engine_spec& of = spec.engines[e];
    n.engines[e] = {1.0 / seconds(of.spool_up), 1.0 / seconds(of.run_down), seconds(of.starter_cut_out)};
  }
  for (std::size_t d = 0; d < spec.cargo_doors.size(); ++d) {
    const cargo_door_spec& of = spec.cargo_doors[d];
    const double full_side = of.displacement.value / (1.0 - of.area_ratio);
    n.doors[d] = {1.0 / seconds(of.travel), full_side, full_side - of.displacement.value, of.load * n.nominal,
                  p.door_at[d].circuit};
  }
  for (std::size_t i = 0; i < spec.consumers.size(); ++i) {
    const consumer_spec& of = spec.consumers[i];
    n.gear[i].circuit = nobody;
    if (of.kind != consumer_kind::gear) continue;
    const double full_side = of.displacement.value / (1.0 - of.area_ratio);
    n.gear[i] = {1.0 / seconds(of.travel), full_side, full_side - of.displacement.value, of.load * n.nominal,
                 p.consumer_at[i].feed_circuit[0]};
  }
  for (std::size_t s = 0; s < spec.stores.size(); ++s) n.stores[s] = store_numbers(spec.stores[s], spec.nominal);
  for (std::size_t u = 0; u < spec.transfer_units.size(); ++u) {
    const transfer_unit_spec& of = spec.transfer_units[u];
    // It gives its most from a quarter of nominal pressure left over.
    n.units[u] = {of.ratio, of.efficiency, of.breakout * n.nominal, of.flow.value / (0.25 * n.nominal), of.flow.value};
  }
  for (std::size_t c = 0; c < spec.circuits.size(); ++c) {
    const circuit_spec& of = spec.circuits[c];
    fluid_numbers::circuit& made = n.circuits[c];
    // A circuit that nothing compresses would be stiffer than any metal: at least 1 mL.
    const double whole = std::max(of.compression.value, 1e-6) / n.nominal;
    made.capacity = {0.25 * whole, 0.5 * whole, 0.25 * whole};  // invented
    made.leak_rate = of.leakage.value / (whole * n.nominal);
    made.relief_opens = of.relief_opens * n.nominal;
    made.relief_closes = of.relief_closes * n.nominal;
    double most_flow = 1e-4;
    for (std::size_t i = 0; i < spec.engine_pumps.size(); ++i) {
      if (p.engine_pump_at[i].circuit == c) most_flow += spec.engine_pumps[i].flow.value;
    }
    for (std::size_t i = 0; i < spec.electric_pumps.size(); ++i) {
      if (p.electric_pump_at[i].circuit == c) most_flow += spec.electric_pumps[i].flow.value;
    }
    // Open, it takes the flow of every pump.
    made.relief_gain = most_flow / (made.relief_opens - made.relief_closes);
    made.low = of.low_mark.value;
    made.over = of.overfull.value;
    // What the lines give back when pressure goes must not lift the level over the mark whose crossing took the
    // pressure away: a unit that stops on low level would otherwise come and go without end.
    made.low_left = made.low + std::max(of.level_hysteresis.value, of.compression.value);
    made.over_left = made.over - of.level_hysteresis.value;
    made.primed = std::max(of.level_hysteresis.value, 1.01 * of.compression.value);
    // Fluid and lines: what takes up `compression` at the effective bulk modulus, and the reservoir.
    made.fluid = of.compression.value * of.bulk_modulus.value / n.nominal + of.reservoir.value;
    const bool ester = of.fluid == hydraulic_fluid::phosphate_ester;
    // Expansion: 0.00047 and 0.00046 for each degF [an engineering table of fluids]. Density and heat capacity:
    // about 1000 and 850 kg/m3, 1600 and 2000 J/(kg K) (from memory).
    made.expansion = (ester ? 0.00047 : 0.00046) * 1.8;
    made.heat_capacity = made.fluid * (ester ? 1000.0 * 1600.0 : 850.0 * 2000.0);
    made.cooling = of.cooling;
    made.hot = of.hot_mark.value;
  }
  return n;
}

/// One pass over a spec. Every check returns whether to go on, so that the first problem ends it.
class layout_checker {
 public:
  layout_checker(const layout_spec& spec, plan& made) : spec_(spec), plan_(made) {}

  [[nodiscard]] std::optional<layout_problem> problem() {
    plan_ = plan{};
    const bool fine = head() && counts() && names() && engines() && circuits() && buses() && engine_pumps() &&
                      electric_pumps() && ram_air_pumps() && units() && doors() && stores() && consumers() &&
                      all_used() && inhibits();
    if (fine) return std::nullopt;
    return problem_;
  }

 private:
  // Where we are: begin() sets it, fail() reports it.
  void begin(std::string_view list, std::size_t index, std::string_view kind, const std::string& name) {
    list_ = list;
    index_ = index;
    kind_ = kind;
    name_ = &name;
  }
  void begin_whole() {
    list_ = {};
    kind_ = "layout";
    name_ = &spec_.name;
  }

  bool fail(std::string_view id, std::string_view field, const std::string& words, std::size_t item = 0) {
    std::string message{kind_};
    if (!name_->empty()) message += ' ' + quoted(*name_);
    problem_ = {{"layout-" + std::string{id}, message + ": " + words, {}}, list_, index_, field, item};
    return false;
  }

  [[nodiscard]] static bool is_name(std::string_view text) {
    if (text.empty() || text.size() > limits::name_length || text[0] < 'a' || text[0] > 'z') return false;
    return std::all_of(text.begin(), text.end(),
                       [](char c) { return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-'; });
  }

  // Numbers.
  bool number(std::string_view field, double value, number_range range, std::string_view unit) {
    // Written so that NaN fails too.
    if (value >= range.least && value <= range.most) return true;
    return outside(field, value, range, unit);
  }
  bool outside(std::string_view field, double value, number_range range, std::string_view unit) {
    const std::string blank = unit.empty() ? "" : " ";
    const std::string in_unit = blank + std::string{unit};
    return fail("range", field,
                std::string{field} + " is " + number_text(value) + in_unit + "; it must be " +
                    number_text(range.least) + in_unit + " to " + number_text(range.most) + in_unit);
  }
  bool ratio(std::string_view field, double value, number_range range) { return number(field, value, range, ""); }
  bool held(std::string_view field, volume value, number_range range) {
    // Compared in SI, as the ends of the range come out of the same conversion as the values of a file.
    if (value >= litres(range.least) && value <= litres(range.most)) return true;
    return outside(field, in_litres(value), range, "L");
  }
  bool pressed(std::string_view field, pressure value, number_range range = ranges::pressure) {
    if (value >= psi(range.least) && value <= psi(range.most)) return true;
    return outside(field, in_psi(value), range, "psi");
  }
  bool flowing(std::string_view field, flow value, number_range range) {
    if (value >= litres_per_minute(range.least) && value <= litres_per_minute(range.most)) return true;
    return outside(field, in_litres_per_minute(value), range, "L/min");
  }
  bool heated(std::string_view field, temperature value, number_range range) {
    if (value >= celsius(range.least) && value <= celsius(range.most)) return true;
    return outside(field, in_celsius(value), range, "degC");
  }
  bool timed(std::string_view field, milliseconds value, number_range range) {
    const auto count = value.count();
    if (count >= static_cast<std::int64_t>(range.least) && count <= static_cast<std::int64_t>(range.most)) return true;
    const std::string least = range.least > 0 ? "more than 0" : "0";
    return fail("range", field,
                std::string{field} + " is " + std::to_string(count) + " ms; it must be " + least + " and at most 24 h");
  }
  template <class Quantity>
  bool rising(std::string_view id, std::string_view low_field, Quantity low, std::string_view high_field,
              Quantity high) {
    if (low < high) return true;
    return fail(id, low_field, std::string{low_field} + " must be below " + std::string{high_field});
  }
  template <class Enum>
  bool known(std::string_view field, Enum value) {
    if (static_cast<std::size_t>(value) < count_of<Enum>) return true;
    return fail("value", field,
                std::string{field} + " has no such value; possible are " + listed(words_of<Enum>::list));
  }

  // References.
  template <class Parts>
  bool reference(std::string_view field, const std::string& to, const Parts& parts, std::string_view kind,
                 std::uint8_t& number, std::size_t item = 0) {
    for (std::size_t i = 0; i < parts.size(); ++i) {
      if (parts[i].name == to) {
        number = static_cast<std::uint8_t>(i);
        return true;
      }
    }
    std::vector<std::string_view> there;
    for (const auto& part : parts) there.push_back(part.name);
    const std::string a = kind.front() == 'e' ? "an " : "a ";
    if (to.empty())
      return fail("reference", field, std::string{field} + " names no " + std::string{kind} + possible(there), item);
    for (const named& other : all_names_) {
      if (other.name == to) {
        return fail("reference", field,
                    std::string{field} + ' ' + quoted(to) + " is not " + a + std::string{kind} + possible(there), item);
      }
    }
    return fail("reference", field,
                "there is no " + std::string{kind} + ' ' + quoted(to) + suggestion(to, there) + possible(there), item);
  }
  [[nodiscard]] static std::string possible(const std::vector<std::string_view>& there) {
    return there.empty() ? "; the layout has none" : "; possible: " + listed(there);
  }

  bool source(std::string_view field, const std::string& to, std::uint8_t& number, std::size_t item) {
    std::vector<std::string_view> there;
    for (std::size_t i = 0; i < spec_.engines.size(); ++i) {
      if (spec_.engines[i].name == to) {
        number = static_cast<std::uint8_t>(i);
        return true;
      }
      there.push_back(spec_.engines[i].name);
    }
    there.emplace_back("auxiliary");
    there.emplace_back("external");
    if (to == "auxiliary" || to == "external") {
      number = to == "auxiliary" ? plan::auxiliary : plan::external;
      return true;
    }
    return fail("reference", field, "there is no power source " + quoted(to) + suggestion(to, there) + possible(there),
                item);
  }

  [[nodiscard]] static constexpr mask bit(std::size_t number) { return mask{1} << number; }
  [[nodiscard]] static std::uint32_t ms(milliseconds t) { return static_cast<std::uint32_t>(t.count()); }

  bool head() {
    begin_whole();
    if (!is_name(spec_.name)) return bad_name();
    if (!is_plain_text(spec_.title)) return fail("text", "title", "title must be one line of text in UTF-8");
    if (spec_.origin.empty()) {
      return fail("origin", "origin", R"(origin is missing; say where the numbers come from, for example "invented")");
    }
    if (!is_plain_text(spec_.origin)) return fail("text", "origin", "origin must be one line of text in UTF-8");
    plan_.circuits_low_warning = static_cast<std::uint8_t>(spec_.circuits_low_warning & 0xFFU);
    return ratio("circuits-low-warning", spec_.circuits_low_warning, ranges::circuits_low) &&
           pressed("nominal", spec_.nominal) && ratio("pump-knee", spec_.pump_knee, ranges::knee) && pressed("switch-made", spec_.switch_made) &&
           pressed("switch-open", spec_.switch_open) && pressed("priority-restored", spec_.priority_restored) &&
           pressed("priority-shed", spec_.priority_shed) &&
           rising("hysteresis", "switch-open", spec_.switch_open, "switch-made", spec_.switch_made) &&
           rising("order", "switch-made", spec_.switch_made, "nominal", spec_.nominal) &&
           rising("hysteresis", "priority-shed", spec_.priority_shed, "priority-restored", spec_.priority_restored) &&
           rising("order", "priority-restored", spec_.priority_restored, "nominal", spec_.nominal);
  }

  bool limit(std::string_view list, std::size_t count, std::size_t most) {
    if (count <= most) return true;
    list_ = list;
    index_ = most;  // the first entry beyond the limit
    return fail("limit", "",
                "it has " + std::to_string(count) + ' ' + std::string{list} + "; the limit is " + std::to_string(most));
  }

  bool counts() {
    const auto whole = [this](const char* list, const char* why) {
      begin_whole();
      return fail("empty", list, why);
    };
    if (spec_.engines.empty()) return whole("engines", "it has no engine; at least one is needed");
    if (spec_.circuits.empty()) return whole("circuits", "it has no circuit; at least one is needed");
    return limit("engines", spec_.engines.size(), limits::engines) &&
           limit("circuits", spec_.circuits.size(), limits::circuits) &&
           limit("engine-pumps", spec_.engine_pumps.size(), limits::engine_pumps) &&
           limit("electric-pumps", spec_.electric_pumps.size(), limits::electric_pumps) &&
           limit("ram-air-pumps", spec_.ram_air_pumps.size(), limits::ram_air_pumps) &&
           limit("transfer-units", spec_.transfer_units.size(), limits::transfer_units) &&
           limit("cargo-doors", spec_.cargo_doors.size(), limits::cargo_doors) &&
           limit("consumers", spec_.consumers.size(), limits::consumers) &&
           limit("stores", spec_.stores.size(), limits::stores) && limit("buses", spec_.buses.size(), limits::buses) &&
           limit("inhibits", spec_.inhibits.size(), count_of<condition>);
  }

  bool bad_name() {
    const std::string_view name = *name_;
    if (name.empty()) {
      name_ = &nameless_;
      return fail("name", "name",
                  "its name is missing; a name is a lower case letter, then letters, digits and hyphens");
    }
    if (name.size() > limits::name_length) {
      return fail("name", "name",
                  "its name has " + std::to_string(name.size()) + " characters; the limit is " +
                      std::to_string(limits::name_length));
    }
    return fail("name", "name", "a name is a lower case letter, then lower case letters, digits and hyphens");
  }

  template <class Parts>
  bool names_of(const Parts& parts, std::string_view list, component kind) {
    for (std::size_t i = 0; i < parts.size(); ++i) {
      const std::string& name = parts[i].name;
      begin(list, i, word(kind), name);
      if (!is_name(name)) return bad_name();
      constexpr std::string_view reserved[] = {"aircraft", "steering", "auxiliary", "external", "alert", "no"};
      if (std::find(std::begin(reserved), std::end(reserved), name) != std::end(reserved)) {
        return fail("name-reserved", "name", "the names " + listed(reserved, "and") + " have a meaning of their own");
      }
      for (const named& other : all_names_) {
        if (other.name == name) {
          return fail("name-twice", "name",
                      "the name stands already for " + std::string{word(other.kind)} + " number " +
                          std::to_string(other.number + 1) + "; names are unique over all components");
        }
      }
      all_names_.push_back({name, kind, i});
    }
    return true;
  }

  bool names() {
    return names_of(spec_.engines, "engines", component::engine) &&
           names_of(spec_.circuits, "circuits", component::circuit) &&
           names_of(spec_.engine_pumps, "engine-pumps", component::engine_pump) &&
           names_of(spec_.electric_pumps, "electric-pumps", component::electric_pump) &&
           names_of(spec_.ram_air_pumps, "ram-air-pumps", component::ram_air_pump) &&
           names_of(spec_.transfer_units, "transfer-units", component::transfer_unit) &&
           names_of(spec_.cargo_doors, "cargo-doors", component::cargo_door) &&
           names_of(spec_.consumers, "consumers", component::consumer) &&
           names_of(spec_.stores, "stores", component::store) && names_of(spec_.buses, "buses", component::bus);
  }

  bool engines() {
    plan_.engines = static_cast<std::uint8_t>(spec_.engines.size());
    for (std::size_t i = 0; i < spec_.engines.size(); ++i) {
      const engine_spec& one = spec_.engines[i];
      begin("engines", i, "engine", one.name);
      if (!(timed("spool-up", one.spool_up, ranges::some_time) &&
            timed("starter-cut-out", one.starter_cut_out, ranges::some_time) &&
            timed("run-down", one.run_down, ranges::some_time) && ratio("pump-mark", one.pump_mark, ranges::share) &&
            ratio("sub-idle-mark", one.sub_idle_mark, ranges::share) &&
            rising("order", "pump-mark", one.pump_mark, "sub-idle-mark", one.sub_idle_mark))) {
        return false;
      }
    }
    return true;
  }

  bool circuits() {
    plan_.circuits = static_cast<std::uint8_t>(spec_.circuits.size());
    for (std::size_t i = 0; i < spec_.circuits.size(); ++i) {
      const circuit_spec& one = spec_.circuits[i];
      begin("circuits", i, "circuit", one.name);
      if (!(held("reservoir", one.reservoir, ranges::reservoir) && held("overfull", one.overfull, ranges::reservoir) &&
            held("low-mark", one.low_mark, ranges::mark) &&
            held("level-hysteresis", one.level_hysteresis, ranges::hysteresis) &&
            held("compression", one.compression, ranges::taken_up) &&
            rising("order", "low-mark", one.low_mark, "reservoir", one.reservoir) &&
            rising("order", "reservoir", one.reservoir, "overfull", one.overfull) &&
            rising("order", "compression", one.compression, "reservoir", one.reservoir) &&
            known("fluid", one.fluid) && pressed("bulk-modulus", one.bulk_modulus, ranges::modulus) &&
            flowing("leakage", one.leakage, ranges::leakage) &&
            ratio("relief-opens", one.relief_opens, ranges::relief) &&
            ratio("relief-closes", one.relief_closes, ranges::relief) &&
            rising("hysteresis", "relief-closes", one.relief_closes, "relief-opens", one.relief_opens) &&
            heated("hot-mark", one.hot_mark, ranges::hot) && ratio("cooling", one.cooling, ranges::cooling) &&
            timed("service-hold-off", one.service_hold_off, ranges::any_time) &&
            timed("low-confirmation", one.low_confirmation, ranges::any_time))) {
        return false;
      }
      const double hysteresis = one.level_hysteresis.value;
      if (!(one.low_mark.value + hysteresis < one.reservoir.value)) {
        return fail("hysteresis", "level-hysteresis",
                    "low-mark and level-hysteresis together must be below reservoir, or a full reservoir stays low");
      }
      if (!(one.low_mark.value + hysteresis < one.overfull.value - hysteresis)) {
        return fail("hysteresis", "level-hysteresis",
                    "the marks low-mark and overfull are nearer than twice their hysteresis");
      }
      plan::circuit& made = plan_.circuit_at[i];
      made.cargo_pump = nobody;
      made.hand_pump = one.hand_pump;
      made.leak_isolation = one.leak_isolation;
      made.hold_off = ms(one.service_hold_off);
      made.low_confirmation = ms(one.low_confirmation);
    }
    return true;
  }

  bool buses() {
    plan_.buses = static_cast<std::uint8_t>(spec_.buses.size());
    for (std::size_t i = 0; i < spec_.buses.size(); ++i) {
      const bus_spec& one = spec_.buses[i];
      begin("buses", i, "bus", one.name);
      plan::bus& made = plan_.bus_at[i];
      made.main = one.main;
      if (one.sources.empty()) {
        return fail("empty", "sources",
                    "it has no source; name engines, auxiliary or external, the first alive feeds it");
      }
      mask seen = 0;
      for (std::size_t k = 0; k < one.sources.size(); ++k) {
        std::uint8_t number = 0;
        if (!source("sources", one.sources[k], number, k)) return false;
        if ((seen & bit(number)) != 0) {
          return fail("twice", "sources", "the source " + quoted(one.sources[k]) + " is named twice", k);
        }
        seen |= bit(number);
        made.sources[k] = number;
        made.source_count = static_cast<std::uint8_t>(k + 1);
      }
    }
    return true;
  }

  bool engine_pumps() {
    plan_.engine_pumps = static_cast<std::uint8_t>(spec_.engine_pumps.size());
    for (std::size_t i = 0; i < spec_.engine_pumps.size(); ++i) {
      const engine_pump_spec& one = spec_.engine_pumps[i];
      begin("engine-pumps", i, "engine pump", one.name);
      plan::engine_pump& made = plan_.engine_pump_at[i];
      made.control_bus = nobody;
      if (!(reference("engine", one.engine, spec_.engines, "engine", made.engine) &&
            reference("circuit", one.circuit, spec_.circuits, "circuit", made.circuit) &&
            (one.control_bus.empty() ||
             reference("control-bus", one.control_bus, spec_.buses, "bus", made.control_bus)) &&
            timed("low-confirmation", one.low_confirmation, ranges::any_time) &&
            timed("dry-damage", one.dry_damage, ranges::any_time) && flowing("flow", one.flow, ranges::flow))) {
        return false;
      }
      if (one.loads_without_control && one.control_bus.empty()) {
        return fail("option", "loads-without-control",
                    "loads-without-control needs a control-bus that can be lost [EDP-6]");
      }
      made.loads_without_control = one.loads_without_control;
      made.low_confirmation = ms(one.low_confirmation);
      made.dry_damage = ms(one.dry_damage);
      plan_.engine_at[made.engine].pumps |= bit(i);
      plan_.circuit_at[made.circuit].engine_pumps |= bit(i);
    }
    return true;
  }

  bool electric_pumps() {
    plan_.electric_pumps = static_cast<std::uint8_t>(spec_.electric_pumps.size());
    std::array<std::uint8_t, limits::circuits> first_engine_pump{};
    first_engine_pump.fill(nobody);
    for (std::size_t i = 0; i < spec_.electric_pumps.size(); ++i) {
      const electric_pump_spec& one = spec_.electric_pumps[i];
      begin("electric-pumps", i, "electric pump", one.name);
      plan::electric_pump& made = plan_.electric_pump_at[i];
      if (!(reference("circuit", one.circuit, spec_.circuits, "circuit", made.circuit) &&
            reference("bus", one.bus, spec_.buses, "bus", made.bus) && known("duty", one.duty) && shedding(one, made) &&
            timed("touchdown-delay", one.touchdown_delay, ranges::any_time) &&
            ratio("starts-allowed", one.starts_allowed, ranges::starts) &&
            timed("start-period", one.start_period, ranges::some_time) &&
            timed("cooling", one.cooling, ranges::some_time) && flowing("flow", one.flow, ranges::flow) &&
            timed("run-up", one.run_up, ranges::any_time))) {
        return false;
      }
      if (one.starts_allowed > 0 && one.duty != pump_duty::cargo) {
        return fail("option", "starts-allowed", "only a pump with duty cargo can have a limit of starts [CGO-16]");
      }
      made.duty = one.duty;
      made.touchdown_delay = ms(one.touchdown_delay);
      made.start_period = ms(one.start_period);
      made.cooling = ms(one.cooling);
      made.starts_allowed = one.starts_allowed;
      plan::circuit& feeds = plan_.circuit_at[made.circuit];
      feeds.electric_pumps |= bit(i);
      std::uint8_t* holder = one.duty == pump_duty::cargo          ? &feeds.cargo_pump
                             : one.duty == pump_duty::first_engine ? &first_engine_pump[made.circuit]
                                                                   : nullptr;
      if (holder == nullptr) continue;
      if (*holder != nobody) {
        return fail("duty-twice", "duty",
                    "circuit " + quoted(one.circuit) + " has " + quoted(spec_.electric_pumps[*holder].name) +
                        " with duty " + std::string{word(one.duty)} + " already; it may have one");
      }
      *holder = static_cast<std::uint8_t>(i);
    }
    return true;
  }

  bool shedding(const electric_pump_spec& one, plan::electric_pump& made) {
    for (std::size_t k = 0; k < one.shed_on.size(); ++k) {
      std::uint8_t number = 0;
      if (!source("shed-on", one.shed_on[k], number, k)) return false;
      if ((made.shed_on & bit(number)) != 0) {
        return fail("twice", "shed-on", "the source " + quoted(one.shed_on[k]) + " is named twice", k);
      }
      const std::vector<std::string>& possible_sources = spec_.buses[made.bus].sources;
      if (std::find(possible_sources.begin(), possible_sources.end(), one.shed_on[k]) == possible_sources.end()) {
        return fail("reference", "shed-on",
                    quoted(one.shed_on[k]) + " never feeds its bus " + quoted(one.bus) +
                        "; possible: " + listed(possible_sources),
                    k);
      }
      made.shed_on |= bit(number);
    }
    return true;
  }

  bool ram_air_pumps() {
    plan_.ram_air_pumps = static_cast<std::uint8_t>(spec_.ram_air_pumps.size());
    for (std::size_t i = 0; i < spec_.ram_air_pumps.size(); ++i) {
      const ram_air_pump_spec& one = spec_.ram_air_pumps[i];
      begin("ram-air-pumps", i, "ram-air pump", one.name);
      plan::ram_air_pump& made = plan_.ram_air_pump_at[i];
      if (!(reference("circuit", one.circuit, spec_.circuits, "circuit", made.circuit) &&
            flowing("flow", one.flow, ranges::flow))) {
        return false;
      }
      plan_.circuit_at[made.circuit].ram_air_pumps |= bit(i);
    }
    return true;
  }

  bool units() {
    plan_.units = static_cast<std::uint8_t>(spec_.transfer_units.size());
    for (std::size_t i = 0; i < spec_.transfer_units.size(); ++i) {
      const transfer_unit_spec& one = spec_.transfer_units[i];
      begin("transfer-units", i, "transfer unit", one.name);
      plan::unit& made = plan_.unit_at[i];
      if (!(reference("a", one.a, spec_.circuits, "circuit", made.a) &&
            reference("b", one.b, spec_.circuits, "circuit", made.b))) {
        return false;
      }
      if (made.a == made.b)
        return fail("same-circuit", "b", "a and b are both " + quoted(one.b) + "; a unit links two circuits");
      if (!(known("direction", one.direction) && known("scope", one.scope) && pressed("activation", one.activation) &&
            pressed("release", one.release) &&
            rising("hysteresis", "release", one.release, "activation", one.activation) &&
            rising("order", "activation", one.activation, "nominal", spec_.nominal) &&
            timed("test-limit", one.test_limit, ranges::some_time) &&
            timed("test-confirmation", one.test_confirmation, ranges::any_time) &&
            ratio("ratio", one.ratio, ranges::displacement_ratio) &&
            ratio("efficiency", one.efficiency, ranges::share) && ratio("breakout", one.breakout, ranges::friction) &&
            flowing("flow", one.flow, ranges::flow))) {
        return false;
      }
      made.direction = one.direction;
      made.scope = one.scope;
      made.low_level = one.stops_on_low_level;
      made.low_air = one.stops_on_low_air;
      made.hot_fluid = one.stops_on_hot_fluid;
      made.overspeed = one.stops_on_overspeed;
      made.maintenance_test = one.maintenance_test;
      made.test_limit = ms(one.test_limit);
      made.test_confirmation = ms(one.test_confirmation);
      made.engines = engines_of(made);
      plan_.circuit_at[made.a].units |= bit(i);
      plan_.circuit_at[made.b].units |= bit(i);
    }
    return true;
  }

  // Engines whose pumps feed the unit's circuits; fewer than two: all engines [PTU-10].
  [[nodiscard]] mask engines_of(const plan::unit& unit) const {
    mask feeding = 0;
    for (std::size_t p = 0; p < spec_.engine_pumps.size(); ++p) {
      const plan::engine_pump& pump = plan_.engine_pump_at[p];
      if (pump.circuit == unit.a || pump.circuit == unit.b) feeding |= bit(pump.engine);
    }
    const bool two_or_more = (feeding & (feeding - 1)) != 0;
    return two_or_more ? feeding : bit(spec_.engines.size()) - 1;
  }

  bool doors() {
    plan_.doors = static_cast<std::uint8_t>(spec_.cargo_doors.size());
    for (std::size_t i = 0; i < spec_.cargo_doors.size(); ++i) {
      const cargo_door_spec& one = spec_.cargo_doors[i];
      begin("cargo-doors", i, "cargo door", one.name);
      plan::door& made = plan_.door_at[i];
      if (!(reference("circuit", one.circuit, spec_.circuits, "circuit", made.circuit) &&
            timed("travel", one.travel, ranges::some_time) && timed("run-limit", one.run_limit, ranges::some_time) &&
            held("displacement", one.displacement, ranges::taken_up) &&
            ratio("area-ratio", one.area_ratio, ranges::share) && ratio("load", one.load, ranges::load))) {
        return false;
      }
      if (plan_.circuit_at[made.circuit].cargo_pump == nobody) {
        return fail("duty-missing", "circuit",
                    "circuit " + quoted(one.circuit) + " has no electric pump with duty cargo to move the door");
      }
      made.run_limit = ms(one.run_limit);
      plan_.circuit_at[made.circuit].doors |= bit(i);
    }
    return true;
  }

  bool stores() {
    plan_.stores = static_cast<std::uint8_t>(spec_.stores.size());
    for (std::size_t i = 0; i < spec_.stores.size(); ++i) {
      const store_spec& one = spec_.stores[i];
      begin("stores", i, "store", one.name);
      plan::store& made = plan_.store_at[i];
      if (!(reference("circuit", one.circuit, spec_.circuits, "circuit", made.circuit) &&
            held("gas", one.gas, ranges::gas) && pressed("precharge", one.precharge) && pressed("least", one.least) &&
            held("application", one.application, ranges::application) &&
            rising("order", "precharge", one.precharge, "least", one.least) &&
            rising("order", "least", one.least, "nominal", spec_.nominal) && known("gas-law", one.law) &&
            timed("heat-time", one.heat_time, ranges::any_time) && flowing("charging", one.charging, ranges::flow))) {
        return false;
      }
      const double many = applications_of(store_numbers(one, spec_.nominal));
      if (!(many >= 1)) {
        return fail("store-small", "application",
                    "it does not hold the fluid of one application above its least pressure; enlarge gas or lessen "
                    "application");
      }
      made.most_applications = static_cast<std::uint8_t>(many);
    }
    return true;
  }

  bool consumers() {
    plan_.consumers = static_cast<std::uint8_t>(spec_.consumers.size());
    const std::string* steered = nullptr;
    for (std::size_t i = 0; i < spec_.consumers.size(); ++i) {
      const consumer_spec& one = spec_.consumers[i];
      begin("consumers", i, "consumer", one.name);
      plan::consumer& made = plan_.consumer_at[i];
      made.door = nobody;
      made.store = nobody;
      if (!(known("kind", one.kind) && feeding(one, made) && held("displacement", one.displacement, ranges::taken_up) &&
            timed("travel", one.travel, ranges::some_time) && ratio("area-ratio", one.area_ratio, ranges::share) &&
            ratio("load", one.load, ranges::load) && flowing("demand", one.demand, ranges::leakage) &&
            door_of(one, made) && store_of(one, made))) {
        return false;
      }
      if (one.displacement.value > 0 && one.kind != consumer_kind::gear) {
        return fail("option", "displacement", "only a consumer of kind gear has a displacement [LVL-3]");
      }
      if (one.kind == consumer_kind::steering) {
        if (steered != nullptr) {
          return fail("kind-twice", "kind",
                      quoted(*steered) + " is of kind steering already; there is one steering link");
        }
        steered = &one.name;
      }
      made.kind = one.kind;
      made.heavy = one.heavy;
    }
    return true;
  }

  bool feeding(const consumer_spec& one, plan::consumer& made) {
    if (one.feeds.empty()) return fail("empty", "feeds", "it has no feed; name the circuit that feeds it");
    if (one.feeds.size() > limits::feeds) {
      return fail(
          "limit", "feeds",
          "it has " + std::to_string(one.feeds.size()) + " feeds; the limit is " + std::to_string(limits::feeds),
          limits::feeds);
    }
    mask seen = 0;
    for (std::size_t k = 0; k < one.feeds.size(); ++k) {
      std::uint8_t number = 0;
      if (!reference("feeds", one.feeds[k].circuit, spec_.circuits, "circuit", number, k)) return false;
      if (static_cast<std::size_t>(one.feeds[k].branch) >= count_of<branch>) {
        return fail("value", "feeds", "branch has no such value; possible are " + listed(words_of<branch>::list), k);
      }
      if ((seen & bit(number)) != 0) {
        return fail("twice", "feeds", "the circuit " + quoted(one.feeds[k].circuit) + " feeds it twice", k);
      }
      seen |= bit(number);
      made.feed_circuit[k] = number;
      made.feed_branch[k] = one.feeds[k].branch;
      made.feed_count = static_cast<std::uint8_t>(k + 1);
    }
    return true;
  }

  [[nodiscard]] static std::size_t feed_from(const plan::consumer& made, std::uint8_t circuit) {
    std::size_t k = 0;
    while (k < made.feed_count && made.feed_circuit[k] != circuit) ++k;
    return k;
  }

  bool door_of(const consumer_spec& one, plan::consumer& made) {
    if (one.kind != consumer_kind::cargo_door) {
      if (one.door.empty()) return true;
      return fail("option", "door", "only a consumer of kind cargo-door names a door");
    }
    if (!reference("door", one.door, spec_.cargo_doors, "cargo door", made.door)) return false;
    for (std::size_t i = 0; i < index_; ++i) {
      if (spec_.consumers[i].kind == consumer_kind::cargo_door && spec_.consumers[i].door == one.door) {
        return fail("twice", "door",
                    quoted(spec_.consumers[i].name) + " moves the door " + quoted(one.door) + " already");
      }
    }
    const std::size_t k = feed_from(made, plan_.door_at[made.door].circuit);
    if (k == made.feed_count) {
      return fail("reference", "feeds",
                  "it must be fed by the circuit of its door, " + quoted(spec_.cargo_doors[made.door].circuit));
    }
    if (made.feed_branch[k] != branch::service) {
      return fail("branch", "feeds", "a cargo door is on the service branch of its circuit [CGO-5]", k);
    }
    return true;
  }

  bool store_of(const consumer_spec& one, plan::consumer& made) {
    if (one.kind != consumer_kind::parking_brake) {
      if (one.store.empty()) return true;
      return fail("option", "store", "only a consumer of kind parking-brake names a store");
    }
    if (!reference("store", one.store, spec_.stores, "store", made.store)) return false;
    const plan::store& kept = plan_.store_at[made.store];
    if (feed_from(made, kept.circuit) == made.feed_count) {
      return fail("reference", "feeds",
                  "it must be fed by the circuit that charges its store, " + quoted(spec_.stores[made.store].circuit));
    }
    return true;
  }

  bool all_used() {
    for (std::size_t i = 0; i < spec_.stores.size(); ++i) {
      begin("stores", i, "store", spec_.stores[i].name);
      const auto uses = [&](const consumer_spec& one) { return one.store == spec_.stores[i].name; };
      if (std::none_of(spec_.consumers.begin(), spec_.consumers.end(), uses)) {
        return fail("unused", "", "no consumer of kind parking-brake names it");
      }
    }
    return true;
  }

  bool inhibits() {
    mask seen = 0;
    for (std::size_t i = 0; i < spec_.inhibits.size(); ++i) {
      const inhibit_spec& one = spec_.inhibits[i];
      begin("inhibits", i, "inhibit", nameless_);
      if (!known("condition", one.condition)) return false;
      const mask place = bit(static_cast<std::size_t>(one.condition));
      const std::string words{word(one.condition)};
      if ((seen & place) != 0)
        return fail("twice", "condition", "the condition " + words + " stands in the list twice");
      seen |= place;
      if (!one.in_take_off && !one.in_landing) {
        return fail("empty", "condition",
                    "the condition " + words + " names no phase; say in-take-off, in-landing or both");
      }
      if (one.in_take_off) plan_.inhibited_in_take_off |= place;
      if (one.in_landing) plan_.inhibited_in_landing |= place;
    }
    return true;
  }

  struct named {
    std::string_view name;
    component kind;
    std::size_t number;
  };

  const layout_spec& spec_;
  plan& plan_;
  layout_problem problem_{};
  std::vector<named> all_names_;
  std::string nameless_;
  std::string_view list_;
  std::size_t index_ = 0;
  std::string_view kind_;
  const std::string* name_ = &nameless_;
};

PENSTOCK_INLINE std::optional<layout_problem> check_layout(const layout_spec& spec, plan& made) {
  return layout_checker{spec, made}.problem();
}

/// The names of one kind of component, in order, through a function that takes each list.
template <class Use>
auto with_parts_of(const layout_spec& spec, component kind, Use use, decltype(use(spec.engines)) otherwise) {
  switch (kind) {
    case component::engine:
      return use(spec.engines);
    case component::circuit:
      return use(spec.circuits);
    case component::engine_pump:
      return use(spec.engine_pumps);
    case component::electric_pump:
      return use(spec.electric_pumps);
    case component::ram_air_pump:
      return use(spec.ram_air_pumps);
    case component::transfer_unit:
      return use(spec.transfer_units);
    case component::cargo_door:
      return use(spec.cargo_doors);
    case component::consumer:
      return use(spec.consumers);
    case component::bus:
      return use(spec.buses);
    case component::store:
      return use(spec.stores);
    case component::aircraft:
    case component::steering:
      break;
  }
  return otherwise;
}

}  // namespace detail

PENSTOCK_INLINE result<layout> layout::from(layout_spec spec) {
  layout made;
  if (auto problem = detail::check_layout(spec, made.plan_)) return std::move(problem->what);
  made.fluid_ = detail::fluid_numbers_of(spec, made.plan_);
  made.spec_ = std::move(spec);
  return made;
}

PENSTOCK_INLINE std::size_t layout::count(component kind) const {
  const std::size_t single = kind == component::aircraft || kind == component::steering ? 1 : 0;
  return detail::with_parts_of(
      spec_, kind, [](const auto& parts) { return parts.size(); }, single);
}

PENSTOCK_INLINE std::string_view layout::name(subject s) const {
  const bool single = (s.kind == component::aircraft || s.kind == component::steering) && s.index == 0;
  return detail::with_parts_of(
      spec_, s.kind,
      [&](const auto& parts) -> std::string_view {
        return s.index < parts.size() ? std::string_view{parts[s.index].name} : std::string_view{"?"};
      },
      single ? word(s.kind) : std::string_view{"?"});
}

PENSTOCK_INLINE std::optional<subject> layout::find(std::string_view name) const {
  for (std::size_t kind = 0; kind < count_of<component>; ++kind) {
    const auto k = static_cast<component>(kind);
    for (std::size_t i = 0; i < count(k); ++i) {
      const subject s{k, static_cast<std::uint8_t>(i)};
      if (this->name(s) == name) return s;
    }
  }
  return std::nullopt;
}

PENSTOCK_INLINE std::vector<subject> layout::everything() const {
  std::vector<subject> all;
  for (std::size_t kind = 0; kind < count_of<component>; ++kind) {
    const auto k = static_cast<component>(kind);
    for (std::size_t i = 0; i < count(k); ++i) all.push_back({k, static_cast<std::uint8_t>(i)});
  }
  return all;
}

}  // namespace penstock::inline v1
