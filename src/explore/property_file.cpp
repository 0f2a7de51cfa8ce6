// Properties that people write themselves, in the phrases of lessons.
#include <algorithm>
#include <memory>

#include "files/lesson_words.hpp"
#include "files/phrases.hpp"
#include "files/reading.hpp"
#include "files/yaml_tree.hpp"
#include "penstock/detail/text.hpp"
#include "penstock/explore.hpp"

namespace penstock::inline v1 {

namespace {

using namespace files;

constexpr std::size_t most_properties = 1000;

class property_reader {
 public:
  property_reader(const layout& of, const std::string& file) : layout_(of), file_(file) {}

  result<std::vector<search_property>> read(const yaml_node& root) {
    static constexpr std::array<std::string_view, 1> keys{"properties"};
    if (root.sort != yaml_node::kind::map) return form("a file of properties", "a map with the key properties", root);
    for (const yaml_entry& each : root.entries) {
      if (each.key != keys[0]) return unknown_key("property-key", "a file of properties", each, keys, file_);
    }
    const yaml_node* list = root.find(keys[0]);
    if (list == nullptr) return missing("a file of properties", "properties", root);
    if (list->sort != yaml_node::kind::list) return form("properties", "a list", *list);
    if (list->items.empty() || list->items.size() > most_properties) {
      return error{"property-limit",
                   list->items.empty() ? "properties is empty; write at least one"
                                       : "a file has at most " + std::to_string(most_properties) + " properties",
                   at(*list, file_)};
    }
    std::vector<search_property> all;
    for (const yaml_node& item : list->items) {
      auto one = property(item);
      if (!one) return one.problem();
      const bool twice = std::ranges::any_of(all, [&](const search_property& other) { return other.name == one->name; });
      if (twice) return error{"property-name", "the name " + detail::quoted(one->name) + " is used twice", at(item, file_)};
      all.push_back(*std::move(one));
    }
    return all;
  }

 private:
  [[nodiscard]] error form(const std::string& what, std::string_view wanted, const yaml_node& found) const {
    return wrong_sort("property-form", what, wanted, found, file_);
  }
  [[nodiscard]] error missing(const std::string& what, const std::string& key, const yaml_node& in) const {
    return {"property-missing", what + " needs the key " + key, at(in, file_)};
  }

  result<search_property> property(const yaml_node& item) {
    static constexpr std::array<std::string_view, 5> keys{"name", "sentence", "never", "when", "must"};
    if (item.sort != yaml_node::kind::map) return form("a property", "a map with name, and never or must", item);
    for (const yaml_entry& each : item.entries) {
      if (std::ranges::find(keys, each.key) == keys.end()) {
        return unknown_key("property-key", "a property", each, keys, file_);
      }
    }
    const yaml_node* name = item.find("name");
    if (name == nullptr) return missing("a property", "name", item);
    if (name->sort != yaml_node::kind::text || !is_name(name->text)) {
      return error{"property-name", "the name of a property has 1 to 60 lower case letters, digits and hyphens; found " +
                                        found_words(*name),
                   at(*name, file_)};
    }
    const yaml_node* sentence = item.find("sentence");
    if (sentence != nullptr && sentence->sort != yaml_node::kind::text) return form("sentence", "text", *sentence);
    const yaml_node* never = item.find("never");
    const yaml_node* when = item.find("when");
    const yaml_node* must = item.find("must");
    if ((never == nullptr) == (must == nullptr) || (never != nullptr && when != nullptr)) {
      return error{"property-form",
                   "a property needs either never, or must (with when, if it holds only then); found " +
                       std::string{never == nullptr  ? when == nullptr ? "neither" : "when alone"
                                   : must == nullptr ? "never and when"
                                                     : "never and must"},
                   at(item, file_)};
    }
    auto conditions = phrases(never != nullptr ? never : when);
    if (!conditions) return conditions.problem();
    auto demands = phrases(must);
    if (!demands) return demands.problem();
    search_property made;
    made.name = name->text;
    made.sentence = sentence != nullptr ? sentence->text : words_of_all(*conditions, *demands, never != nullptr);
    made.about = *conditions;
    made.about.insert(made.about.end(), demands->begin(), demands->end());
    add_needs(*conditions, !demands->empty(), made);
    if (made.needs.size() > 64) return error{"property-limit", "a property has at most 63 conditions", at(item, file_)};
    made.in_state = judged(*std::move(conditions), *std::move(demands));
    return made;
  }

  /// Each condition by itself; and where there are demands, all conditions at once, since it says nothing otherwise.
  static void add_needs(const std::vector<phrase>& conditions, bool demands, search_property& to) {
    for (const phrase& each : conditions) {
      if (!demands && conditions.size() == 1) return;  // "never X": that X does not come is what is judged
      to.needs.push_back([each](const layout& of, const state& now) { return moment_view{of, now, nullptr}.is_so(each); });
      to.needs_in_words.push_back(each.words);
    }
    if (!demands || conditions.size() < 2) return;
    to.needs.push_back([conditions](const layout& of, const state& now) {
      moment_view seen{of, now, nullptr};
      return std::ranges::all_of(conditions, [&](const phrase& each) { return seen.is_so(each); });
    });
    to.needs_in_words.push_back("all of these at once: " + all_words(conditions));
  }

  static bool is_name(std::string_view text) {
    return !text.empty() && text.size() <= 60 && std::ranges::all_of(text, [](char c) {
      return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-';
    });
  }

  [[nodiscard]] error not_a_phrase(const yaml_node& found) const {
    return {"property-form",
            "a condition must be a phrase; found " + found_words(found) +
                "; \"not:\" and times such as \"within\" are for lessons only, write for example: fore is not normal",
            at(found, file_)};
  }

  [[nodiscard]] result<std::vector<phrase>> phrases(const yaml_node* from) const {
    std::vector<phrase> all;
    if (from == nullptr) return all;
    const bool is_list = from->sort == yaml_node::kind::list;
    if (from->sort == yaml_node::kind::map) return not_a_phrase(*from);
    if (is_list && from->items.empty()) return form("a condition", "a phrase, or a list of phrases", *from);
    const std::span<const yaml_node> nodes = is_list ? std::span<const yaml_node>{from->items} : std::span{from, 1};
    for (const yaml_node& node : nodes) {
      if (node.sort != yaml_node::kind::text) return not_a_phrase(node);
      location where = at(node, file_);
      if (node.in_quotes) ++where.column;
      auto one = phrase_from_words(layout_, node.text, where);
      if (!one) return one.problem();
      if (one->kind == phrase_kind::quantity) {
        return error{"property-quantity",
                     "the logic knows no quantities; name what a switch says of them, such as: pressure-made, level",
                     where};
      }
      if (!one->because.empty()) {
        return error{"property-because", "a search keeps no history, so \"because\" has no answer in it; leave it out", where};
      }
      all.push_back(*std::move(one));
    }
    return all;
  }

  static std::string words_of_all(const std::vector<phrase>& conditions, const std::vector<phrase>& demands, bool never) {
    const auto joined = [](const std::vector<phrase>& all) {
      std::string words;
      for (const phrase& each : all) words += (words.empty() ? "" : ", and ") + each.words;
      return words;
    };
    if (never) return "Never: " + joined(conditions) + ".";
    if (conditions.empty()) return "Always: " + joined(demands) + ".";
    return "When " + joined(conditions) + ": " + joined(demands) + ".";
  }

  /// With no demands, the conditions must never all be so.
  static decltype(search_property::in_state) judged(std::vector<phrase> conditions, std::vector<phrase> demands) {
    return [conditions = std::move(conditions), demands = std::move(demands)](
               const layout& of, const state& now, const observation&) -> std::optional<std::string> {
      moment_view seen{of, now, nullptr};
      for (const phrase& each : conditions) {
        if (!seen.is_so(each)) return std::nullopt;
      }
      if (demands.empty()) return conditions.size() == 1 ? conditions.front().words : "all of this at once: " + all_words(conditions);
      for (const phrase& each : demands) {
        if (!seen.is_so(each)) return subject_words(of, each) + " is " + seen.found(each) + "; it must be so: " + each.words;
      }
      return std::nullopt;
    };
  }

  static std::string all_words(const std::vector<phrase>& all) {
    std::string words;
    for (const phrase& each : all) words += (words.empty() ? "" : ", ") + each.words;
    return words;
  }

  const layout& layout_;
  const std::string& file_;
};

}  // namespace

result<std::vector<search_property>> properties_from_yaml(const layout& of, std::string_view text,
                                                          const std::string& file) {
  auto root = files::yaml_tree(text, file);
  if (!root) return root.problem();
  return property_reader{of, file}.read(*root);
}

}  // namespace penstock::inline v1
