// A strict reader of the little XML that diagrams and pictures need.
#pragma once

#include <algorithm>
#include <map>
#include <set>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace penstock_tests {

struct element {
  std::string name;
  std::map<std::string, std::string> attributes;
  std::string text{};  ///< what stands between it and the next tag, as written
};

/// A strict reader of the little XML that a diagram needs: one root, matched tags, quoted attributes, known
/// entities, comments without double hyphens. Says what is wrong in `problem`.
class xml_reading {
 public:
  explicit xml_reading(std::string_view text) : rest_{text} { read(); }
  std::vector<element> elements;
  std::string problem;

 private:
  void read() {
    if (!take("<?xml version=\"1.0\" encoding=\"UTF-8\"?>")) return fail("no declaration");
    int roots = 0;
    while (problem.empty() && !rest_.empty()) {
      if (take("<!--")) {
        comment();
      } else if (take("</")) {
        const std::string name = until('>');
        if (open_.empty() || open_.back() != name) return fail("unmatched </" + name + ">");
        open_.pop_back();
      } else if (take("<")) {
        if (open_.empty() && ++roots > 1) return fail("a second root");
        opening(until('>'));
      } else {
        const std::string text = characters();
        if (!elements.empty() && elements.back().text.empty()) elements.back().text = text;
        if (open_.empty() && text.find_first_not_of(" \n") != std::string::npos) return fail("text outside the root");
        check_entities(text);
      }
    }
    if (!open_.empty()) fail("<" + open_.back() + "> is not closed");
    if (roots != 1) fail("no root");
  }

  void comment() {
    const auto end = rest_.find("--");
    if (end == std::string_view::npos || rest_.substr(end, 3) != "-->") return fail("two hyphens within a comment");
    rest_.remove_prefix(end + 3);
  }

  void opening(std::string tag) {
    const bool closed = tag.ends_with('/');
    if (closed) tag.pop_back();
    const auto name_end = std::min(tag.find(' '), tag.size());
    element made{tag.substr(0, name_end), {}, {}};
    std::string_view words = std::string_view{tag}.substr(name_end);
    while (!words.empty()) {
      const auto equals = words.find("=\"");
      if (words.front() != ' ' || equals == std::string_view::npos) return fail("attributes of <" + tag + ">");
      const std::string key{words.substr(1, equals - 1)};
      words.remove_prefix(equals + 2);
      const auto end = words.find('"');
      if (end == std::string_view::npos) return fail("an open quote in <" + tag + ">");
      const std::string value{words.substr(0, end)};
      if (value.find('<') != std::string::npos) return fail("< in an attribute");
      check_entities(value);
      if (!made.attributes.emplace(key, value).second) return fail("attribute " + key + " twice");
      words.remove_prefix(end + 1);
    }
    if (!closed) open_.push_back(made.name);
    elements.push_back(std::move(made));
  }

  void check_entities(const std::string& text) {
    for (auto at = text.find('&'); at != std::string::npos; at = text.find('&', at + 1)) {
      const std::string entity = text.substr(at, text.find(';', at) - at + 1);
      if (!std::set<std::string>{"&amp;", "&lt;", "&gt;", "&quot;"}.contains(entity)) fail("entity " + entity);
    }
  }

  bool take(std::string_view words) {
    if (!rest_.starts_with(words)) return false;
    rest_.remove_prefix(words.size());
    return true;
  }
  std::string until(char mark) {
    const auto end = rest_.find(mark);
    if (end == std::string_view::npos) {
      fail("the text ends within a tag");
      return {};
    }
    std::string words{rest_.substr(0, end)};
    rest_.remove_prefix(end + 1);
    return words;
  }
  std::string characters() {
    const auto end = std::min(rest_.find('<'), rest_.size());
    std::string words{rest_.substr(0, end)};
    rest_.remove_prefix(end);
    return words;
  }
  void fail(const std::string& what) {
    if (problem.empty()) problem = what;
  }

  std::string_view rest_;
  std::vector<std::string> open_;
};

}  // namespace penstock_tests
