// Layouts as YAML text that reads back to the same spec.
#include <algorithm>
#include <type_traits>

#include "files/layout_fields.hpp"
#include "files/quantities.hpp"
#include "files/yaml_text.hpp"
#include "penstock/layout_file.hpp"

namespace penstock::inline v1 {

namespace files {

namespace {

template <class Spec>
std::string in_braces(const Spec& of);

std::string written(const std::string& text, text_form form) {
  return form == text_form::words ? in_quotes(text) : text;
}
std::string written(milliseconds t, text_form) { return text_of(t); }
std::string written(volume v, text_form) { return text_of(v); }
std::string written(pressure p, text_form) { return text_of(p); }
std::string written(flow f, text_form) { return text_of(f); }
std::string written(temperature t, text_form) { return text_of(t); }
std::string written(double share, text_form) { return share_text(share); }
std::string written(std::uint32_t number, text_form) { return std::to_string(number); }
std::string written(bool flag, text_form) { return flag ? "yes" : "no"; }
std::string written(const std::vector<std::string>& names, text_form) {
  std::string text = "[";
  for (const std::string& name : names) text += (text.size() > 1 ? ", " : "") + name;
  return text + ']';
}
std::string written(const std::vector<feed_spec>& feeds, text_form) {
  std::string text = "[";
  for (const feed_spec& feed : feeds) text += (text.size() > 1 ? ", " : "") + in_braces(feed);
  return text + ']';
}
template <class Enum>
requires std::is_enum_v<Enum> std::string written(Enum value, text_form) { return std::string{word(value)}; }

bool is_left_out(const std::string& text) { return text.empty(); }
bool is_left_out(const std::vector<std::string>& names) { return names.empty(); }
template <class Value>
bool is_left_out(const Value&) {
  return false;
}

// Calls `use(key, value as text)` for each value that has something to say.
template <class Spec, class Use>
void each_value(const Spec& of, Use use) {
  for (const field<Spec>& one : fields_of<Spec>::list) {
    std::visit(
        [&](auto member) {
          const auto& value = of.*member;
          if (!is_left_out(value)) use(one.name, written(value, one.form));
        },
        one.member);
  }
}

template <class Spec>
std::string in_braces(const Spec& of) {
  std::string text = "{";
  each_value(of, [&](std::string_view key, const std::string& value) {
    if (text.size() > 1) text += ", ";
    text += std::string{key} + ": " + value;
  });
  return text + '}';
}

}  // namespace

}  // namespace files

std::string yaml_of(const layout_spec& spec) {
  std::string text;
  files::each_value(
      spec, [&](std::string_view key, const std::string& value) { text += std::string{key} + ": " + value + '\n'; });
  files::for_each_list([&](std::string_view list, auto member, auto, auto, auto, auto) {
    const auto& entries = spec.*member;
    if (entries.empty()) return;
    text += '\n' + std::string{list} + ":\n";
    for (const auto& entry : entries) {
      std::string_view lead = "  - ";
      files::each_value(entry, [&](std::string_view key, const std::string& value) {
        text += std::string{lead} + std::string{key} + ": " + value + '\n';
        lead = "    ";
      });
    }
  });
  return text;
}

}  // namespace penstock::inline v1
