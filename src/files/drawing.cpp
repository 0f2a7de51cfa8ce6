// Diagrams of the transition tables. DOT and Mermaid are for eyes: one figure for each kind of machine,
// with the components it stands for in its heading. SCXML is for programs, and whole enough to be run: one
// region for each machine of each component, with what its guards and actions do (row_scripts.hpp). All of it
// comes from the rows; nothing about a machine is written here.
#include "penstock/draw.hpp"

#include <algorithm>
#include <array>
#include <numeric>
#include <string_view>
#include <utility>
#include <vector>

#include "files/row_scripts.hpp"
#include "files/xml_text.hpp"

namespace penstock::inline v1 {

using files::xml_attribute;

namespace {

constexpr std::string_view no_condition = "always";

/// One kind of machine and those of its kind that the layout has.
struct figure {
  struct part {
    std::uint8_t index;
    std::uint8_t begins_in;  ///< its mode when cold and dark [GEN-5]
  };
  machine which;
  std::vector<part> parts;
};

std::vector<figure> figures_of(const layout& of, std::optional<machine> only) {
  const state beginning = cold_and_dark(of);
  std::vector<figure> all;
  for (std::size_t m = 0; m < machine_count; ++m) {
    figure next{static_cast<machine>(m), {}};
    if (only && *only != next.which) continue;
    for (std::uint8_t i = 0; i < detail::machine_places::many[m]; ++i) {
      if (has_machine(of, next.which, i)) next.parts.push_back({i, mode_of(beginning, next.which, i)});
    }
    if (only || !next.parts.empty()) all.push_back(std::move(next));
  }
  return all;
}

std::vector<std::uint8_t> modes_of(machine which) {
  std::vector<std::uint8_t> all(mode_count(which));
  std::iota(all.begin(), all.end(), std::uint8_t{0});
  return all;
}

std::string heading(const layout& of, const figure& shown) {
  std::string words{word(shown.which)};
  for (const figure::part& each : shown.parts) {
    words += &each == &shown.parts.front() ? ": " : ", ";
    words += of.name(owner_of(of, shown.which, each.index));
  }
  return words;
}

std::string label_of(machine which, const table_row& row) {
  std::string words{event_word(which, row.event)};
  if (row.guard != no_condition) words.append(" [").append(row.guard).append("]");
  if (row.refuses) words += " refused";
  return words.append(" ").append(row.rules);
}

std::string with_replaced(std::string text, std::string_view what, std::string_view by) {
  for (std::size_t at = text.find(what); at != std::string::npos; at = text.find(what, at + by.size())) {
    text.replace(at, what.size(), by);
  }
  return text;
}

// ---- SCXML (W3C, 1 September 2015) ----

// Two hyphens would end an XML comment too early, and one must not stand before its end.
std::string xml_comment(std::string_view raw) {
  std::string safe = "<!-- ";
  for (const char c : raw) {
    if (c == '-' && safe.back() == '-') safe += ' ';
    safe += c;
  }
  return safe + " -->";
}

// A text in single quotes, as the data model writes it.
std::string script_text(std::string_view raw) {
  return "'" + with_replaced(with_replaced(std::string{raw}, "\\", "\\\\"), "'", "\\'") + "'";
}

// Names of data are identifiers of the data model, and some interpreters make one of the name of a document.
std::string identifier(std::string name) {
  std::ranges::replace(name, '-', '_');
  std::ranges::replace(name, '.', '_');
  return name;
}

// The values that events may carry, input by input.
std::string inputs_of(const files::machine_script& script) {
  std::string words = "{";
  for (std::size_t i = 0; i < script.inputs; ++i) {
    const files::variable& each = script.variables[i];
    words.append(i == 0 ? "" : ", ").append(each.name).append(": ");
    if (each.kind == files::value_kind::number) {
      words.append("{least: ").append(each.values.front()).append(", most: ").append(each.values.back()).append("}");
      continue;
    }
    for (const std::string& value : each.values) words.append(&value == &each.values.front() ? "[" : ", ").append(value);
    words += "]";
  }
  return words + "}";
}

// What a machine remembers beside its mode: cold and dark, everything is at its first value [GEN-5].
std::string memory_of(const files::machine_script& script) {
  std::string words = "{";
  for (std::size_t i = script.inputs; i < script.variables.size(); ++i) {
    const files::variable& each = script.variables[i];
    words.append(i == script.inputs ? "" : ", ").append(each.name).append(": ").append(each.values.front());
  }
  return words + "}";
}

class scxml_writer {
 public:
  scxml_writer(const layout& of, std::optional<machine> only) : of_{of}, figures_{figures_of(of, only)}, only_{only} {}

  std::string written() {
    text_ = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n";
    line(0, xml_comment("Made from the transition tables of penstock. Each event carries in its data a value for each "
                        "input of its machine; 'inputs' lists the values there are."));
    if (only_) {
      const figure& shown = figures_.front();
      open_root(word(shown.which),
                shown.parts.empty() ? "" : mode_word(shown.which, shown.parts.front().begins_in));
      line(1, xml_comment(heading(of_, shown)));
      const files::machine_script& script = files::script_of(shown.which);
      line(1, "<datamodel>");
      data(2, "inputs", inputs_of(script));
      if (remembers(script)) data(2, "memory", memory_of(script));
      line(1, "</datamodel>");
      modes(1, shown, {}, "memory");
    } else {
      open_root(of_.spec().name, "aircraft");
      line(1, "<datamodel>");
      for (const figure& shown : figures_) {
        data(2, identifier(std::string{word(shown.which)} + "_inputs"), inputs_of(files::script_of(shown.which)));
      }
      line(1, "</datamodel>");
      line(1, "<parallel id=\"aircraft\">");
      for (const figure& shown : figures_) {
        for (const figure::part& each : shown.parts) region(shown, each);
      }
      line(1, "</parallel>");
    }
    line(0, "</scxml>");
    return std::move(text_);
  }

 private:
  void line(std::size_t depth, std::string_view words) {
    text_.append(2 * depth, ' ').append(words).append("\n");
  }

  void open_root(std::string_view name, std::string_view initial) {
    std::string words{"<scxml xmlns=\"http://www.w3.org/2005/07/scxml\" version=\"1.0\" datamodel=\"ecmascript\""};
    words.append(" name=\"").append(xml_attribute(identifier(std::string{name}))).append("\"");
    if (!initial.empty()) words.append(" initial=\"").append(initial).append("\"");
    line(0, words + ">");
  }

  static bool remembers(const files::machine_script& script) { return script.variables.size() > script.inputs; }

  void data(std::size_t depth, std::string_view id, std::string_view value) {
    std::string words{"<data id=\""};
    line(depth, words.append(id).append("\" expr=\"").append(xml_attribute(value)).append("\"/>"));
  }

  void region(const figure& shown, const figure::part& part) {
    const std::string owner{of_.name(owner_of(of_, shown.which, part.index))};
    const std::string id = owner + "." + std::string{word(shown.which)};
    const std::string first = id + "." + std::string{mode_word(shown.which, part.begins_in)};
    line(2, "<state id=\"" + id + "\" initial=\"" + first + "\">");
    if (const auto& script = files::script_of(shown.which); remembers(script)) {
      line(3, "<datamodel>");
      data(4, identifier(id), memory_of(script));
      line(3, "</datamodel>");
    }
    modes(3, shown, id + ".", identifier(id));
    line(2, "</state>");
  }

  // States and events of a region begin with its name, so that each machine is told its own inputs.
  void modes(std::size_t depth, const figure& shown, const std::string& before, const std::string& memory) {
    const auto rows = rows_of(shown.which);
    const files::machine_script& script = files::script_of(shown.which);
    std::vector<std::string> names;
    for (std::size_t i = 0; i < script.variables.size(); ++i) {
      names.push_back((i < script.inputs ? "_event.data" : memory) + "." + script.variables[i].name);
    }
    for (const std::uint8_t mode : modes_of(shown.which)) {
      line(depth, "<state id=\"" + before + std::string{mode_word(shown.which, mode)} + "\">");
      // An interpreter takes the first transition that holds, as `machines::step` takes the first row.
      for (std::size_t i = 0; i < rows.size(); ++i) {
        if (rows[i].source == mode) transition_of(depth + 1, shown.which, rows[i], script, script.rows[i], names, before);
      }
      line(depth, "</state>");
    }
  }

  void transition_of(std::size_t depth, machine which, const table_row& row, const files::machine_script& machine_script,
                     const files::row_script& script, const std::vector<std::string>& names, const std::string& before) {
    std::string why = "[" + std::string{row.rules} + "] " + std::string{row.sentence};
    if (row.guard != no_condition) why.append(" (").append(row.guard).append(")");
    line(depth, xml_comment(why));
    std::string words = "<transition event=\"" + before + xml_attribute(event_word(which, row.event)) + "\"";
    if (!files::is_always(script.guard)) {
      const std::string guard = files::written(script.guard, machine_script.variables, names);
      words.append(" cond=\"").append(xml_attribute(guard)).append("\"");
    }
    if (!row.refuses) words.append(" target=\"").append(before).append(mode_word(which, row.target)).append("\"");
    if (script.changes.empty() && !row.refuses) return line(depth, words + "/>");
    line(depth, words + ">");
    for (const files::change& each : script.changes) {
      const std::string value = files::written(each, machine_script.variables, names);
      line(depth + 1, "<assign location=\"" + names[each.variable] + "\" expr=\"" + xml_attribute(value) + "\"/>");
    }
    // A refusal has no target: the machine does not even leave its state.
    if (row.refuses) line(depth + 1, "<log label=\"refused\" expr=\"" + xml_attribute(script_text(row.sentence)) + "\"/>");
    line(depth, "</transition>");
  }

  const layout& of_;
  std::vector<figure> figures_;
  std::optional<machine> only_;
  std::string text_;
};

// ---- DOT ----

std::string dot_text(std::string_view raw) {
  std::string safe = with_replaced(with_replaced(std::string{raw}, "\\", "\\\\"), "\"", "\\\"");
  return "\"" + with_replaced(std::move(safe), "\n", "\\n") + "\"";
}

/// Rows that would be drawn one over the other share a line.
struct dot_line {
  std::uint8_t source;
  std::uint8_t target;
  bool refuses;
  std::string labels;
  std::string sentences;
};

std::vector<dot_line> lines_of(machine which) {
  std::vector<dot_line> all;
  for (const table_row& row : rows_of(which)) {
    const std::string sentence = std::string{row.rules} + ": " + std::string{row.sentence};
    const auto same = std::ranges::find_if(all, [&row](const dot_line& line) {
      return line.source == row.source && line.target == row.target && line.refuses == row.refuses;
    });
    if (same == all.end()) {
      all.push_back({row.source, row.target, row.refuses, label_of(which, row), sentence});
    } else {
      same->labels += "\n" + label_of(which, row);
      same->sentences += "\n" + sentence;
    }
  }
  return all;
}

std::string dot_of(const layout& of, const std::vector<figure>& figures) {
  std::string text = "// Made from the transition tables of penstock. A broken line is a command that is refused.\n";
  text += "digraph " + dot_text(of.spec().name) + " {\n";
  text += "  nodesep=1; ranksep=0.9;\n  fontname=\"sans-serif\";\n";
  text += "  node [shape=box, fontname=\"sans-serif\"];\n  edge [fontname=\"sans-serif\", fontsize=10];\n";
  for (const figure& shown : figures) {
    const std::string name{word(shown.which)};
    const auto node = [&](std::uint8_t mode) {
      return dot_text(name + "." + std::string{mode_word(shown.which, mode)});
    };
    text += "  subgraph " + dot_text("cluster " + name) + " {\n    label=" + dot_text(heading(of, shown)) + ";\n";
    for (const std::uint8_t mode : modes_of(shown.which)) {
      text += "    " + node(mode) + " [label=" + dot_text(mode_word(shown.which, mode)) + "];\n";
    }
    if (!shown.parts.empty()) {
      text += "    " + dot_text(name + ".begin") + " [shape=point, label=\"\", tooltip=\"cold and dark\"];\n";
      text += "    " + dot_text(name + ".begin") + " -> " + node(shown.parts.front().begins_in) + ";\n";
    }
    for (const dot_line& each : lines_of(shown.which)) {
      const std::string sentences = dot_text(each.sentences);
      text.append("    ").append(node(each.source)).append(" -> ").append(node(each.target));
      text.append(" [label=").append(dot_text(each.labels)).append(", tooltip=").append(sentences);
      text.append(", labeltooltip=").append(sentences).append(each.refuses ? ", style=dashed];\n" : "];\n");
    }
    text += "  }\n";
  }
  return text + "}\n";
}

// ---- Mermaid ----

// Mermaid takes few characters in an identifier, and some of its own words must not stand alone.
std::string mermaid_id(machine which, std::string_view mode) {
  return with_replaced(std::string{word(which)} + "__" + std::string{mode}, "-", "_");
}

// A colon or semicolon ends a label, a quote ends a name, a hash begins an entity.
std::string mermaid_text(std::string_view raw) {
  std::string safe{raw};
  std::ranges::replace(safe, ':', ',');
  std::ranges::replace(safe, ';', ',');
  std::ranges::replace(safe, '"', '\'');
  std::ranges::replace(safe, '#', ' ');
  return safe;
}

void mermaid_figure(std::string& text, const figure& shown, const std::string& indent) {
  for (const std::uint8_t mode : modes_of(shown.which)) {
    const std::string_view name = mode_word(shown.which, mode);
    text += indent + "state \"" + mermaid_text(name) + "\" as " + mermaid_id(shown.which, name) + "\n";
  }
  if (!shown.parts.empty()) {
    const std::string_view first = mode_word(shown.which, shown.parts.front().begins_in);
    text += indent + "[*] --> " + mermaid_id(shown.which, first) + "\n";
  }
  for (const table_row& row : rows_of(shown.which)) {
    text += indent + "%% " + std::string{row.rules} + " " + std::string{row.sentence} + "\n";
    text += indent + mermaid_id(shown.which, mode_word(shown.which, row.source)) + " --> " +
            mermaid_id(shown.which, mode_word(shown.which, row.target)) + " : " +
            mermaid_text(label_of(shown.which, row)) + "\n";
  }
}

std::string mermaid_of(const layout& of, const std::vector<figure>& figures, bool single) {
  std::string text = "stateDiagram-v2\n%% Made from the transition tables of penstock.\n";
  for (const figure& shown : figures) {
    if (single) {
      text += "%% " + heading(of, shown) + "\n";
      mermaid_figure(text, shown, "  ");
      continue;
    }
    text += "  state \"" + mermaid_text(heading(of, shown)) + "\" as " + mermaid_id(shown.which, "table") + " {\n";
    mermaid_figure(text, shown, "    ");
    text += "  }\n";
  }
  return text;
}

}  // namespace

std::string drawn(const layout& of, diagram form, std::optional<machine> only) {
  switch (form) {
    case diagram::scxml: return scxml_writer{of, only}.written();
    case diagram::dot: return dot_of(of, figures_of(of, only));
    case diagram::mermaid: return mermaid_of(of, figures_of(of, only), only.has_value());
  }
  return {};
}

}  // namespace penstock::inline v1
