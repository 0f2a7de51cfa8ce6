// Layouts from YAML: the tree, then the fields, then the check of the whole, each complaint at its place.
#include <algorithm>
#include <cerrno>
#include <cstdio>
#include <memory>
#include <system_error>
#include <type_traits>

#include "files/layout_fields.hpp"
#include "files/quantities.hpp"
#include "files/reading.hpp"
#include "penstock/event_text.hpp"
#include "penstock/layout_file.hpp"

namespace penstock::inline v1 {

namespace files {

namespace {

/// Reads entries of one file. Each function returns the first complaint, or nothing.
class layout_reader {
 public:
  explicit layout_reader(const std::string& file) : file_(file) {}

  complaint read(const yaml_node& root, layout_spec& spec) const {
    if (root.sort != yaml_node::kind::map) return wrong_sort("layout-form", "a layout", "a map of keys", root, file_);
    std::vector<std::string_view> keys;
    for (const auto& one : fields_of<layout_spec>::list) keys.push_back(one.name);
    for_each_list([&](std::string_view key, auto&&...) { keys.push_back(key); });
    if (auto wrong = known_keys(root, "a layout", keys)) return wrong;
    if (auto wrong = read_fields(root, "the layout", spec)) return wrong;
    complaint wrong;
    for_each_list([&](std::string_view key, auto member, std::string_view kind, std::size_t, std::size_t most, auto) {
      if (!wrong) wrong = read_list(root, key, std::string{kind}, most, spec.*member);
    });
    return wrong;
  }

 private:
  complaint known_keys(const yaml_node& map, const std::string& what, const std::vector<std::string_view>& keys) const {
    for (const yaml_entry& entry : map.entries) {
      if (std::find(keys.begin(), keys.end(), entry.key) == keys.end()) {
        return unknown_key("layout-key", what, entry, keys, file_);
      }
    }
    return std::nullopt;
  }

  template <class Spec>
  complaint read_list(const yaml_node& root, std::string_view key, const std::string& kind, std::size_t most,
                      std::vector<Spec>& into) const {
    const yaml_node* list = root.find(key);
    if (list == nullptr) return std::nullopt;
    if (list->sort != yaml_node::kind::list) {
      return wrong_sort("layout-form", std::string{key}, "a list, each entry behind \"- \"", *list, file_);
    }
    if (list->items.size() > most) {
      return error{"layout-limit",
                   "the layout has " + std::to_string(list->items.size()) + ' ' + std::string{key} + "; the limit is " +
                       std::to_string(most),
                   at(list->items[most], file_)};
    }
    for (const yaml_node& item : list->items) {
      if (auto wrong = read_entry(item, kind, into.emplace_back())) return wrong;
    }
    return std::nullopt;
  }

  template <class Spec>
  complaint read_entry(const yaml_node& item, const std::string& kind, Spec& into) const {
    const std::string article = kind.front() == 'e' || kind.front() == 'i' ? "an " : "a ";
    if (item.sort != yaml_node::kind::map)
      return wrong_sort("layout-form", article + kind, "a map of keys", item, file_);
    std::vector<std::string_view> keys;
    for (const auto& one : fields_of<Spec>::list) keys.push_back(one.name);
    if (auto wrong = known_keys(item, article + kind, keys)) return wrong;
    const yaml_node* name = item.find("name");
    const bool named = name != nullptr && !name->text.empty();
    return read_fields(item, named ? kind + ' ' + detail::quoted(name->text) : article + kind, into);
  }

  template <class Spec>
  complaint read_fields(const yaml_node& map, const std::string& what, Spec& into) const {
    for (const field<Spec>& one : fields_of<Spec>::list) {
      const yaml_node* value = map.find(one.name);
      if (value == nullptr) {
        if (one.needed == need::optional) continue;
        return error{"layout-missing",
                     what + " has no " + std::string{one.name} + " (" + std::string{one.meaning} + ')', at(map, file_)};
      }
      const std::string name = what + ": " + std::string{one.name};
      complaint wrong = std::visit([&](auto member) { return read_value(*value, name, into.*member); }, one.member);
      if (wrong) return wrong;
    }
    return std::nullopt;
  }

  // One value, by the type of the member it goes to.
  template <class Value>
  complaint read_value(const yaml_node& node, const std::string& name, Value& into) const {
    if (node.sort != yaml_node::kind::text) return wrong_sort("layout-form", name, wanted(into), node, file_);
    if (node.text.empty() && !std::is_same_v<Value, std::string>) {
      return error{"layout-form", name + " has no value; it must be " + std::string{wanted(into)}, at(node, file_)};
    }
    const location where = at(node, file_);
    if constexpr (std::is_same_v<Value, std::string>) {
      into = node.text;
      return std::nullopt;
    } else if constexpr (std::is_same_v<Value, bool>) {
      const auto found = flag_from(node.text);
      if (!found) return wrong_sort("layout-form", name, wanted(into), node, file_);
      into = *found;
      return std::nullopt;
    } else {
      const auto found = converted(node.text, name, where, into);
      if (!found) return named_error(found.problem(), name);
      into = *found;
      return std::nullopt;
    }
  }
  complaint read_value(const yaml_node& node, const std::string& name, std::vector<std::string>& into) const {
    if (node.sort != yaml_node::kind::list) return wrong_sort("layout-form", name, "a list of names", node, file_);
    if (node.items.size() > limits::engines + 2) {
      return error{"layout-limit",
                   name + " has " + std::to_string(node.items.size()) + " entries; there are at most " +
                       std::to_string(limits::engines + 2) + " power sources",
                   at(node.items[limits::engines + 2], file_)};
    }
    for (const yaml_node& item : node.items) {
      if (item.sort != yaml_node::kind::text) return wrong_sort("layout-form", name, "a list of names", item, file_);
      into.push_back(item.text);
    }
    return std::nullopt;
  }
  complaint read_value(const yaml_node& node, const std::string& name, std::vector<feed_spec>& into) const {
    if (node.sort != yaml_node::kind::list) {
      return wrong_sort("layout-form", name, "a list such as [{circuit: port, branch: main}]", node, file_);
    }
    if (node.items.size() > limits::feeds) {
      return error{"layout-limit",
                   name + " has " + std::to_string(node.items.size()) + " entries; the limit is " +
                       std::to_string(limits::feeds),
                   at(node.items[limits::feeds], file_)};
    }
    for (const yaml_node& item : node.items) {
      if (auto wrong = read_entry(item, "feed", into.emplace_back())) return wrong;
    }
    return std::nullopt;
  }

  static result<milliseconds> converted(std::string_view text, const std::string&, const location& where,
                                        milliseconds) {
    return time_from_words(text, where);
  }
  static result<volume> converted(std::string_view text, const std::string&, const location& where, volume) {
    return volume_from(text, where);
  }
  static result<pressure> converted(std::string_view text, const std::string&, const location& where, pressure) {
    return pressure_from(text, where);
  }
  static result<flow> converted(std::string_view text, const std::string&, const location& where, flow) {
    return steady_flow_from(text, where);
  }
  static result<temperature> converted(std::string_view text, const std::string&, const location& where, temperature) {
    return temperature_from(text, where);
  }
  static result<double> converted(std::string_view text, const std::string&, const location& where, double) {
    return share_from(text, where);
  }
  static result<std::uint32_t> converted(std::string_view text, const std::string&, const location& where,
                                         std::uint32_t) {
    return whole_from(text, where);
  }
  template <class Enum>
  requires std::is_enum_v<Enum>
  static result<Enum> converted(std::string_view text, const std::string&, const location& where, Enum) {
    return enumerator_from<Enum>("layout-value", "it", text, where);
  }

  static error named_error(error what, const std::string& name) {
    what.message = name + ": " + what.message;
    return what;
  }

  static std::string_view wanted(const std::string&) { return "a text"; }
  static std::string_view wanted(const milliseconds&) { return "a time such as 12 s"; }
  static std::string_view wanted(const volume&) { return "a volume such as 20 L"; }
  static std::string_view wanted(const pressure&) { return "a pressure such as 3000 psi"; }
  static std::string_view wanted(const flow&) { return "a flow such as 30 L/min"; }
  static std::string_view wanted(const temperature&) { return "a temperature such as 105 degC"; }
  static std::string_view wanted(const double&) { return "a number such as 0.85"; }
  static std::string_view wanted(const std::uint32_t&) { return "a whole number"; }
  static std::string_view wanted(const bool&) { return "yes or no"; }
  template <class Enum>
  requires std::is_enum_v<Enum>
  static std::string_view wanted(const Enum&) { return "a word"; }

  const std::string& file_;
};

// Where in the file a problem of the whole sits: the value, or what is nearest around it.
location place_of(const detail::layout_problem& problem, const yaml_node& root, const std::string& file) {
  const yaml_node* found = &root;
  if (!problem.list.empty()) {
    const yaml_node* list = root.find(problem.list);
    if (list == nullptr) return at(root, file);
    found = problem.index < list->items.size() ? &list->items[problem.index] : list;
  }
  if (problem.field.empty()) return at(*found, file);
  const yaml_node* value = found->find(problem.field);
  if (value == nullptr) return at(*found, file);
  if (problem.item < value->items.size()) return at(value->items[problem.item], file);
  return at(*value, file);
}

template <class Shipped>
std::vector<std::string> names_of(const Shipped& shipped) {
  std::vector<std::string> names;
  for (const shipped_file& one : shipped) names.emplace_back(one.name);
  return names;
}

}  // namespace

}  // namespace files

result<layout> layout_from_yaml(std::string_view text, const std::string& file) {
  const auto root = files::yaml_tree(text, file);
  if (!root) return root.problem();
  layout_spec spec;
  if (auto wrong = files::layout_reader{file}.read(*root, spec)) return *std::move(wrong);
  detail::plan unused;
  if (auto wrong = detail::check_layout(spec, unused)) {
    wrong->what.where = files::place_of(*wrong, *root, file);
    return std::move(wrong->what);
  }
  return layout::from(std::move(spec));
}

result<layout> load_layout(const std::string& name_or_path) {
  for (const shipped_file& one : shipped_layouts()) {
    if (one.name == name_or_path) return layout_from_yaml(one.text, std::string{one.name} + ".yaml");
  }
  const bool is_path =
      name_or_path.find('/') != std::string::npos || name_or_path.ends_with(".yaml") || name_or_path.ends_with(".yml");
  if (!is_path) {
    const auto names = files::names_of(shipped_layouts());
    return error{"layout-unknown",
                 "there is no aircraft " + detail::quoted(name_or_path) + detail::suggestion(name_or_path, names) +
                     "; penstock comes with " + detail::listed(names, "and") +
                     "; the path of a layout file ends in .yaml",
                 {}};
  }
  const auto text = file_content(name_or_path);
  if (!text) return text.problem();
  return layout_from_yaml(*text, name_or_path);
}

result<std::string> file_content(const std::string& path) {
  const auto failed = [&](const char* what, int reason) {
    return error{"file-read", std::string{what} + ": " + std::generic_category().message(reason), {path, 0, 0}};
  };
  if (path.empty()) return error{"file-read", "the path of the file is empty", {}};
  if (path.find('\0') != std::string::npos) return error{"file-read", "the path of the file holds a NUL byte", {}};
  errno = 0;
  const auto close = [](std::FILE* f) { std::fclose(f); };
  const std::unique_ptr<std::FILE, decltype(close)> file{std::fopen(path.c_str(), "rb"), close};
  if (file == nullptr) return failed("the file cannot be opened", errno);
  std::string content;
  char part[16'384];
  while (true) {
    errno = 0;
    const std::size_t read = std::fread(part, 1, sizeof part, file.get());
    content.append(part, read);
    if (content.size() > files::yaml_most_bytes) {
      return error{"file-size", "the file is longer than 16 MB", {path, 0, 0}};
    }
    if (read == sizeof part) continue;
    if (std::ferror(file.get()) != 0) return failed("the file cannot be read", errno);
    return content;
  }
}

}  // namespace penstock::inline v1
