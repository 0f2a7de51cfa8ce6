#include "files/lesson_parameters.hpp"

#include <algorithm>

#include "penstock/detail/text.hpp"

namespace penstock::inline v1::files {

namespace {

// Long enough for a sentence, short enough that a hostile file cannot grow without end.
constexpr std::size_t longest_value = 200;
constexpr std::size_t most_parameters = 200;

bool is_parameter_name(std::string_view name) {
  const auto good = [](char c) { return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-'; };
  return !name.empty() && name.size() <= 60 && name[0] >= 'a' && name[0] <= 'z' &&
         std::all_of(name.begin(), name.end(), good);
}

error wrong(std::string message, location where) { return {"lesson-parameter", std::move(message), std::move(where)}; }

location text_place(const yaml_node& node, const std::string& file) {
  location where = at(node, file);
  if (node.in_quotes) ++where.column;
  return where;
}

}  // namespace

const lesson_parameter* parameter_scope::find(std::string_view name) const {
  const auto found =
      std::find_if(values_.begin(), values_.end(), [&](const lesson_parameter& one) { return one.name == name; });
  return found == values_.end() ? nullptr : &*found;
}

std::vector<std::string_view> parameter_scope::names() const {
  std::vector<std::string_view> all;
  for (const lesson_parameter& one : values_) all.push_back(one.name);
  return all;
}

complaint parameter_scope::read(const yaml_node* declared, const std::vector<given_value>& given,
                                const std::string& file) {
  if (declared != nullptr) {
    if (declared->sort != yaml_node::kind::map) {
      return wrong_sort("lesson-form", "parameters", "a map of names and values", *declared, file);
    }
    if (declared->entries.size() > most_parameters) {
      return error{"lesson-limit", "a file has at most " + std::to_string(most_parameters) + " parameters",
                   at(declared->entries[most_parameters], file)};
    }
    for (const yaml_entry& entry : declared->entries) {
      if (!is_parameter_name(entry.key)) {
        return wrong("the name of a parameter has lower case letters, digits and hyphens; found " +
                         detail::quoted(entry.key),
                     at(entry, file));
      }
      const auto outside =
          std::find_if(given.begin(), given.end(), [&](const given_value& one) { return one.name == entry.key; });
      std::string value;
      if (auto problem = read_one(entry, outside == given.end() ? nullptr : &*outside, file, value)) return problem;
      values_.push_back({entry.key, std::move(value)});
    }
  }
  for (const given_value& one : given) {
    if (find(one.name) != nullptr) continue;
    const std::string possible = values_.empty() ? file + " has none" : "possible: " + detail::listed(names());
    return wrong("there is no parameter " + detail::quoted(one.name) + detail::suggestion(one.name, names()) + "; " +
                     possible,
                 one.where);
  }
  return std::nullopt;
}

complaint parameter_scope::read_one(const yaml_entry& entry, const given_value* given, const std::string& file,
                                    std::string& value) {
  location where = at(entry, file);
  if (given != nullptr) {
    value = given->value;
    where = given->where;
  } else if (entry.value.sort == yaml_node::kind::map) {
    if (auto problem = read_choice(entry, file, value)) return problem;
  } else if (entry.value.sort == yaml_node::kind::text) {
    value = entry.value.text;
    std::size_t budget = 16 * longest_value;
    if (auto problem = fill(value, text_place(entry.value, file), budget)) return problem;
  } else {
    return wrong_sort("lesson-form", "the parameter " + entry.key, "a text, or a map with \"by\"", entry.value, file);
  }
  if (value.empty()) {
    return wrong("the parameter " + detail::quoted(entry.key) +
                     " has no value; give it one here, or where the file is included, or set it for the lesson",
                 where);
  }
  if (value.size() > longest_value || !detail::is_plain_text(value)) {
    return wrong("the value of " + entry.key + " must be plain text of at most " + std::to_string(longest_value) +
                     " bytes; found " + detail::quoted(value),
                 where);
  }
  return std::nullopt;
}

// {by: OTHER, VALUE OF OTHER: VALUE, ...}
complaint parameter_scope::read_choice(const yaml_entry& entry, const std::string& file, std::string& value) {
  const yaml_node* by = entry.value.find("by");
  if (by == nullptr || by->sort != yaml_node::kind::text) {
    return wrong("a parameter that is a map follows another one: {by: NAME, VALUE: VALUE, ...}; there is no \"by\"",
                 at(entry.value, file));
  }
  const lesson_parameter* other = find(by->text);
  if (other == nullptr) {
    return wrong("\"by\" names a parameter that stands above; found " + detail::quoted(by->text) +
                     detail::suggestion(by->text, names()),
                 text_place(*by, file));
  }
  std::vector<std::string_view> possible;
  for (const yaml_entry& one : entry.value.entries) {
    if (one.key != "by") possible.push_back(one.key);
    if (one.key != other->value || one.key == "by") continue;
    if (one.value.sort != yaml_node::kind::text) {
      return wrong_sort("lesson-form", "a value of " + entry.key, "a text", one.value, file);
    }
    value = one.value.text;
    std::size_t budget = 16 * longest_value;
    return fill(value, text_place(one.value, file), budget);
  }
  return wrong("the parameter " + other->name + " is " + detail::quoted(other->value) +
                   detail::suggestion(other->value, possible) + ", and " + entry.key + " has a value only for " +
                   detail::listed(possible, "and"),
               at(entry, file));
}

bool parameter_scope::mentions(const yaml_node& node) {
  switch (node.sort) {
    case yaml_node::kind::text:
      return mentions(node.text);
    case yaml_node::kind::list:
      return std::any_of(node.items.begin(), node.items.end(), [](const yaml_node& one) { return mentions(one); });
    case yaml_node::kind::map:
      break;
  }
  return std::any_of(node.entries.begin(), node.entries.end(),
                     [](const yaml_entry& one) { return mentions(one.key) || mentions(one.value); });
}

complaint parameter_scope::fill(yaml_node& node, const std::string& file, std::size_t& budget) const {
  switch (node.sort) {
    case yaml_node::kind::text:
      return fill(node.text, text_place(node, file), budget);
    case yaml_node::kind::list:
      for (yaml_node& one : node.items) {
        if (auto problem = fill(one, file, budget)) return problem;
      }
      return std::nullopt;
    case yaml_node::kind::map:
      break;
  }
  for (yaml_entry& one : node.entries) {
    if (auto problem = fill(one.key, at(one, file), budget)) return problem;
    if (auto problem = fill(one.value, file, budget)) return problem;
  }
  return std::nullopt;
}

complaint parameter_scope::fill(std::string& text, const location& where, std::size_t& budget) const {
  if (!mentions(text)) return std::nullopt;
  std::string made;
  std::size_t done = 0;
  for (std::size_t at = text.find("${"); at != text.npos; at = text.find("${", done)) {
    const bool escaped = at > done && text[at - 1] == '$';
    made.append(text, done, at - done - (escaped ? 1 : 0));
    if (escaped) {
      made += "${";
      done = at + 2;
      continue;
    }
    const std::size_t close = text.find('}', at);
    if (close == text.npos) {
      return wrong("\"${\" begins the name of a parameter, and no \"}\" follows; write $${ for the characters themselves",
                   where);
    }
    const std::string_view name = std::string_view{text}.substr(at + 2, close - at - 2);
    const lesson_parameter* found = find(name);
    if (found == nullptr) {
      return wrong("there is no parameter " + detail::quoted(name) + detail::suggestion(name, names()) +
                       (values_.empty() ? "; the file has no parameters" : "; possible: " + detail::listed(names())),
                   where);
    }
    made += found->value;
    done = close + 1;
  }
  made.append(text, done, text.npos);
  if (made.size() > budget) {
    return error{"lesson-limit", "with its parameters filled in, the lesson would be longer than 16 MB", where};
  }
  budget -= made.size();
  text = std::move(made);
  return std::nullopt;
}

std::string without_parameters(std::string_view text) {
  std::string made;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text.substr(i, 2) == "${") made += '$';
    made += text[i];
  }
  return made;
}

}  // namespace penstock::inline v1::files
