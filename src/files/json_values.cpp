#include "files/json_values.hpp"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <array>

namespace penstock::inline v1::files {

namespace {

using json = nlohmann::ordered_json;

// The members of a struct by name, for each component of a kind.
template <class Observed, std::size_t Size, class Members>
json by_name(const layout& of, component kind, const std::array<Observed, Size>& seen, Members members) {
  json all = json::object();
  const std::size_t count = std::min(of.count(kind), Size);
  for (std::size_t i = 0; i < count; ++i) {
    all[std::string{of.name({kind, static_cast<std::uint8_t>(i)})}] = members(seen[i]);
  }
  return all;
}

template <class Enum>
json text(Enum value) {
  return std::string{word(value)};
}

json name_or_null(const layout& of, component kind, std::uint8_t index) {
  if (index == detail::nobody) return nullptr;
  return std::string{of.name({kind, index})};
}

json source_name(const layout& of, std::size_t bus, std::uint8_t place) {
  const auto& buses = of.spec().buses;
  if (place == detail::nobody || bus >= buses.size() || place >= buses[bus].sources.size()) return nullptr;
  return buses[bus].sources[place];
}

json inhibitions(std::uint16_t bits) {
  json all = json::array();
  for (std::size_t i = 1; i < count_of<unit_inhibition>; ++i) {
    if ((bits >> i & 1U) != 0) all.push_back(text(static_cast<unit_inhibition>(i)));
  }
  return all;
}

json engines_of(const layout& of, const observation& seen) {
  return by_name(of, component::engine, seen.engines, [](const observed_engine& e) {
    return json{{"mode", text(e.mode)},          {"role", text(e.role)},
                {"spool", text(e.spool)},        {"selected", e.selected},
                {"supply_open", e.supply_open},  {"fire_handle_pulled", e.fire_handle_pulled}};
  });
}

json engine_pumps_of(const layout& of, const observation& seen) {
  return by_name(of, component::engine_pump, seen.engine_pumps, [](const observed_engine_pump& p) {
    return json{{"reason", text(p.reason)},
                {"delivering", p.delivering},
                {"switched_on", p.switched_on},
                {"health", text(p.health)}};
  });
}

json electric_pumps_of(const layout& of, const observation& seen) {
  return by_name(of, component::electric_pump, seen.electric_pumps, [](const observed_electric_pump& p) {
    return json{{"reason", text(p.reason)},     {"demand", text(p.demand)}, {"delivering", p.delivering},
                {"switched", text(p.switched)}, {"health", text(p.health)}, {"shed", p.shed}};
  });
}

json ram_air_pumps_of(const layout& of, const observation& seen) {
  return by_name(of, component::ram_air_pump, seen.ram_air_pumps, [](const observed_ram_air_pump& p) {
    return json{{"mode", text(p.mode)}, {"delivering", p.delivering}};
  });
}

json circuits_of(const layout& of, const observation& seen) {
  return by_name(of, component::circuit, seen.circuits, [](const observed_circuit& c) {
    return json{{"status", text(c.status)},   {"pressure_made", c.pressure_made}, {"at_pressure", c.at_pressure},
                {"own_source", c.own_source}, {"driven", c.driven},               {"service", text(c.service)},
                {"level", text(c.level)},     {"air_low", c.air_low},             {"fluid_hot", c.fluid_hot}};
  });
}

json units_of(const layout& of, const observation& seen) {
  return by_name(of, component::transfer_unit, seen.units, [](const observed_unit& u) {
    return json{{"mode", text(u.mode)}, {"reason", text(u.reason)},   {"reasons", inhibitions(u.reasons)},
                {"test", text(u.test)}, {"outcome", text(u.outcome)}, {"test_reason", text(u.test_reason_)}};
  });
}

json doors_of(const layout& of, const observation& seen) {
  return by_name(of, component::cargo_door, seen.doors, [](const observed_door& d) {
    return json{
        {"mode", text(d.mode)}, {"lever", text(d.lever)}, {"travel", text(d.travel)}, {"can_move", d.can_move}};
  });
}

json consumers_of(const layout& of, const observation& seen) {
  return by_name(of, component::consumer, seen.consumers, [&of](const observed_consumer& c) {
    return json{{"available", c.available},
                {"reason", text(c.reason)},
                {"fed_by", name_or_null(of, component::circuit, c.fed_by)}};
  });
}

json buses_of(const layout& of, const observation& seen) {
  json all = json::object();
  for (std::size_t i = 0; i < of.count(component::bus) && i < seen.buses.size(); ++i) {
    all[std::string{of.name({component::bus, static_cast<std::uint8_t>(i)})}] =
        json{{"powered", seen.buses[i].powered}, {"source", source_name(of, i, seen.buses[i].source)}};
  }
  return all;
}

}  // namespace

std::string_view refusal_word(refusal_kind kind) {
  switch (kind) {
    case refusal_kind::none: return "none";
    case refusal_kind::by_row: return "by-row";
    case refusal_kind::no_meaning: return "no-meaning";
    case refusal_kind::guard: return "guard";
    case refusal_kind::no_such_part: return "no-such-part";
    case refusal_kind::wrong_part: return "wrong-part";
    case refusal_kind::bad_value: return "bad-value";
    case refusal_kind::time: return "time";
    case refusal_kind::too_many_faults: return "too-many-faults";
    case refusal_kind::no_such_fault: return "no-such-fault";
    case refusal_kind::not_fitted: return "not-fitted";
  }
  return "?";
}

std::vector<std::string> ids_in(std::string_view ids) {
  std::vector<std::string> all;
  while (!ids.empty()) {
    const auto blank = ids.find(' ');
    if (blank != 0) all.emplace_back(ids.substr(0, blank));
    if (blank == std::string_view::npos) break;
    ids.remove_prefix(blank + 1);
  }
  return all;
}

json value_of(const layout& of, const observed_alert& alert) {
  return json{{"condition", text(alert.condition)},
              {"about", std::string{of.name(alert.about)}},
              {"level", text(alert.level)},
              {"onset", alert.onset},
              {"rule", std::string{alert.rule}},
              {"sentence", std::string{alert.sentence}},
              {"cause", std::string{alert.cause}},
              {"acknowledged", alert.acknowledged},
              {"inhibited", alert.inhibited},
              {"under", alert.under < 0 ? json(nullptr) : json(static_cast<int>(alert.under))}};
}

json value_of(const layout& of, const observation& seen) {
  json all{{"now", seen.now},
           {"in_flight", seen.in_flight},
           {"air_ground_valid", seen.air_ground_valid},
           {"parking_brake_set", seen.parking_brake_set},
           {"gear_down", seen.gear_down},
           {"phase", text(seen.phase)},
           {"airspeed", text(seen.airspeed)},
           {"external_power", seen.external_power},
           {"auxiliary_power", seen.auxiliary_power},
           {"steering", text(seen.steering)},
           {"engines", engines_of(of, seen)},
           {"engine_pumps", engine_pumps_of(of, seen)},
           {"electric_pumps", electric_pumps_of(of, seen)},
           {"ram_air_pumps", ram_air_pumps_of(of, seen)},
           {"circuits", circuits_of(of, seen)},
           {"units", units_of(of, seen)},
           {"doors", doors_of(of, seen)},
           {"consumers", consumers_of(of, seen)},
           {"stored", by_name(of, component::store, seen.stored, [](std::uint8_t left) { return json(left); })},
           {"buses", buses_of(of, seen)}};
  json alerts = json::array();
  for (const observed_alert& each : seen.alerts_standing()) alerts.push_back(value_of(of, each));
  all["alerts"] = std::move(alerts);
  json faults = json::array();
  for (const injected_fault& each : seen.faults) {
    if (each.status == fault_status::unused) continue;
    faults.push_back({{"fault", text(each.kind)},
                      {"component", std::string{of.name(each.where)}},
                      {"status", text(each.status)},
                      {"trigger", text(each.trigger)},
                      {"flow", each.amount}});
  }
  all["faults"] = std::move(faults);
  return all;
}

json value_of(const layout& of, const row_taken& row) {
  const auto table = rows_of(row.machine);
  json value{{"at", row.at},
             {"component", std::string{of.name(owner_of(of, row.machine, row.index))}},
             {"machine", text(row.machine)},
             {"row", row.row}};
  if (row.row < table.size()) {
    const table_row& told = table[row.row];
    value["rules"] = ids_in(told.rules);
    value["from"] = std::string{mode_word(row.machine, told.source)};
    value["event"] = std::string{event_word(row.machine, told.event)};
    value["to"] = std::string{mode_word(row.machine, told.target)};
    value["sentence"] = std::string{told.sentence};
  }
  return value;
}

json value_of(const refusal& why) {
  if (why.kind == refusal_kind::none) return nullptr;
  return json{{"kind", std::string{refusal_word(why.kind)}},
              {"rule", std::string{why.rule}},
              {"sentence", std::string{why.sentence}}};
}

json value_of(const layout& of, const explanation& why) {
  json chain = json::array();
  for (const cause& each : why.chain) {
    chain.push_back(json{{"depth", each.depth},
                         {"about", std::string{of.name(each.about)}},
                         {"fact", each.fact},
                         {"rules", ids_in(each.rule)},
                         {"since", each.since ? json(*each.since) : json(nullptr)}});
  }
  return json{{"chain", std::move(chain)}};
}

std::string line_of(const json& value) { return value.dump(-1, ' ', false, json::error_handler_t::replace); }

}  // namespace penstock::inline v1::files
