// The JSON Schema of layout files, from the same lists as the reader.
#include <nlohmann/json.hpp>
#include <type_traits>

#include "files/layout_fields.hpp"
#include "files/quantities.hpp"
#include "files/schemas.hpp"
#include "penstock/detail/text.hpp"

namespace penstock::inline v1::files {

namespace {

using json = nlohmann::ordered_json;

constexpr std::string_view name_pattern = "^[a-z][a-z0-9-]*$";

template <class Spec>
json object_schema();

template <class Value>
json value_schema(text_form form) {
  if constexpr (std::is_same_v<Value, std::string>) {
    if (form == text_form::words) return {{"type", "string"}};
    return {{"type", "string"}, {"pattern", name_pattern}, {"maxLength", limits::name_length}};
  } else if constexpr (std::is_same_v<Value, milliseconds>) {
    return {{"type", "string"}, {"pattern", time_pattern}};
  } else if constexpr (std::is_same_v<Value, volume>) {
    return {{"type", "string"}, {"pattern", volume_pattern}};
  } else if constexpr (std::is_same_v<Value, pressure>) {
    return {{"type", "string"}, {"pattern", pressure_pattern}};
  } else if constexpr (std::is_same_v<Value, flow>) {
    return {{"type", "string"}, {"pattern", flow_pattern}};
  } else if constexpr (std::is_same_v<Value, temperature>) {
    return {{"type", "string"}, {"pattern", temperature_pattern}};
  } else if constexpr (std::is_same_v<Value, double>) {
    return {{"type", {"number", "string"}}, {"pattern", R"(^[0-9]+(\.[0-9]+)?$)"}};
  } else if constexpr (std::is_same_v<Value, std::uint32_t>) {
    return {{"type", {"integer", "string"}}, {"pattern", "^[0-9]+$"}};
  } else if constexpr (std::is_same_v<Value, bool>) {
    return {{"enum", {true, false, "yes", "no", "true", "false"}}};
  } else if constexpr (std::is_same_v<Value, std::vector<std::string>>) {
    return {{"type", "array"},
            {"items", value_schema<std::string>(form)},
            {"maxItems", limits::engines + 2},
            {"uniqueItems", true}};
  } else if constexpr (std::is_same_v<Value, std::vector<feed_spec>>) {
    return {{"type", "array"}, {"items", object_schema<feed_spec>()}, {"minItems", 1}, {"maxItems", limits::feeds}};
  } else {
    json words = json::array();
    for (const std::string_view one : detail::words_of<Value>::list) words.push_back(one);
    return {{"enum", words}};
  }
}

std::string_view unit_of(const milliseconds&) { return "ms"; }
std::string_view unit_of(const volume&) { return "L"; }
std::string_view unit_of(const pressure&) { return "psi"; }
std::string_view unit_of(const flow&) { return "L/min"; }
std::string_view unit_of(const temperature&) { return "degC"; }
template <class Value>
std::string_view unit_of(const Value&) {
  return "";
}

// The meaning with range and default, for people.
template <class Spec, class Value>
std::string description(const field<Spec>& one, const Value& standard) {
  std::string text{one.meaning};
  if (one.range.most > 0) {
    const std::string_view unit = unit_of(standard);
    const std::string blank = unit.empty() ? "" : " ";
    if constexpr (std::is_same_v<Value, milliseconds>) {
      text += one.range.least > 0 ? "; more than 0 s, at most 24 h" : "; at most 24 h";
    } else {
      text += "; " + detail::number_text(one.range.least) + " to " + detail::number_text(one.range.most) + blank +
              std::string{unit};
    }
  }
  return text;
}

template <class Value>
json default_text(const Value& standard) {
  if constexpr (std::is_same_v<Value, milliseconds> || std::is_same_v<Value, volume> ||
                std::is_same_v<Value, pressure> || std::is_same_v<Value, flow> || std::is_same_v<Value, temperature>) {
    return text_of(standard);
  } else if constexpr (std::is_same_v<Value, bool>) {
    return standard ? "yes" : "no";
  } else if constexpr (std::is_enum_v<Value>) {
    return word(standard);
  } else if constexpr (std::is_same_v<Value, double>) {
    return share_text(standard);
  } else if constexpr (std::is_same_v<Value, std::uint32_t>) {
    return standard;
  } else {
    return {};
  }
}

template <class Spec>
json object_schema() {
  json properties = json::object();
  json required = json::array();
  const Spec standard{};
  for (const field<Spec>& one : fields_of<Spec>::list) {
    std::visit(
        [&](auto member) {
          using value_type = std::remove_cvref_t<decltype(standard.*member)>;
          json value = value_schema<value_type>(one.form);
          value["description"] = description(one, standard.*member);
          if (one.needed == need::optional) {
            if (json given = default_text(standard.*member); !given.is_null()) value["default"] = std::move(given);
          }
          if constexpr (std::is_same_v<value_type, std::uint32_t>) {
            value["minimum"] = static_cast<unsigned>(one.range.least);
            value["maximum"] = static_cast<unsigned>(one.range.most);
          }
          properties[std::string{one.name}] = std::move(value);
        },
        one.member);
    if (one.needed == need::required) required.push_back(one.name);
  }
  return {{"type", "object"}, {"properties", properties}, {"required", required}, {"additionalProperties", false}};
}

}  // namespace

std::string layout_schema() {
  json whole = {
      {"$schema", "https://json-schema.org/draft/2020-12/schema"},
      {"title", "penstock layout"},
      {"description",
       "One aircraft for penstock, in YAML. Values are read as they are written: yes, no and clock times such as 1:05 "
       "are text. What a schema cannot say (references, unique names, marks in order) the reader checks."},
  };
  json layout = object_schema<layout_spec>();
  for_each_list(
      [&](std::string_view key, auto member, auto, std::size_t least, std::size_t most, std::string_view meaning) {
        using list_type = std::remove_cvref_t<decltype(std::declval<layout_spec>().*member)>;
        json list = {{"type", "array"},
                     {"description", meaning},
                     {"items", object_schema<typename list_type::value_type>()},
                     {"maxItems", most}};
        if (least > 0) {
          list["minItems"] = least;
          layout["required"].push_back(key);
        }
        layout["properties"][std::string{key}] = std::move(list);
      });
  whole.update(layout);
  return whole.dump(2) + '\n';
}

}  // namespace penstock::inline v1::files
