// Curves as data: comma-separated values (RFC 4180) and value change dumps (IEEE 1364-2005, clause 18).
// Names of components are lower case letters, digits and hyphens, so no field needs quotes, and an
// identifier needs only its hyphens replaced.
#include <algorithm>
#include <bit>
#include <string>

#include "files/fixed_text.hpp"
#include "penstock/curves.hpp"
#include "penstock/version.hpp"

namespace penstock::inline v1 {

namespace {

int digits_of(std::string_view unit) {
  if (unit == "psi") return 1;
  if (unit == "L") return 3;
  return 2;
}

std::string text_of(const recorded_quantity& of, double value) { return files::fixed_text(value, digits_of(of.unit)); }

std::string seconds_of(milliseconds t) { return files::fixed_text(static_cast<double>(t.count()) / 1000.0, 3); }

// ---- VCD ----

std::string identifier(std::string_view words) {
  std::string made;
  for (const char c : words) {
    const bool letter = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9');
    made += letter ? c : '_';
  }
  return made;
}

/// Short codes that stand for the variables: printable characters, as the standard allows.
std::string code_of(std::size_t number) {
  constexpr std::size_t first = 33;
  constexpr std::size_t many = 126 - first + 1;
  std::string code;
  do {
    code += static_cast<char>(first + number % many);
    number /= many;
  } while (number > 0);
  return code;
}

class dump_writer {
 public:
  explicit dump_writer(const curves& of) : of_{of} {}

  std::string written() {
    text_ = "$version penstock " PENSTOCK_VERSION " $end\n";
    text_ += "$comment Invented data, for training only; not approved data. $end\n$timescale 1 ms $end\n";
    text_ += "$scope module " + identifier(of_.aircraft) + " $end\n";
    declare();
    text_ += "$upscope $end\n$enddefinitions $end\n";
    for (std::size_t row = 0; row < of_.at.size(); ++row) changes(row);
    return std::move(text_);
  }

 private:
  void declare() {
    std::vector<subject> scopes;
    const auto note = [&scopes](subject about) {
      if (std::ranges::find(scopes, about) == scopes.end()) scopes.push_back(about);
    };
    for (const recorded_state& each : of_.states) {
      if (!each.alert) note(each.about);
    }
    for (const recorded_quantity& each : of_.quantities) note(each.about);
    for (const subject about : scopes) component_scope(about);
    if (std::ranges::any_of(of_.states, [](const auto& each) { return each.alert.has_value(); })) {
      text_ += "$scope module alerts $end\n";
      for (std::size_t i = 0; i < of_.states.size(); ++i) {
        if (of_.states[i].alert) state_variable(i, identifier(name_of(of_.states[i])));
      }
      text_ += "$upscope $end\n";
    }
  }

  // The kind stands before the name: so the scope is no keyword of the standard's language.
  void component_scope(subject about) {
    std::string name{word(about.kind)};
    std::string body;
    body.swap(text_);
    for (std::size_t i = 0; i < of_.quantities.size(); ++i) {
      const recorded_quantity& each = of_.quantities[i];
      if (each.about != about) continue;
      if (each.component != word(about.kind)) name = std::string{word(about.kind)} + ' ' + each.component;
      text_ += "$var real 64 " + code_of(i) + ' ' + identifier(word(each.what)) + " $end\n$comment in " +
               std::string{each.unit} + " $end\n";
    }
    for (std::size_t i = 0; i < of_.states.size(); ++i) {
      const recorded_state& each = of_.states[i];
      if (each.alert || each.about != about) continue;
      if (each.component != word(about.kind)) name = std::string{word(about.kind)} + ' ' + each.component;
      state_variable(i, identifier(each.attribute));
    }
    body.swap(text_);
    text_ += "$scope module " + identifier(name) + " $end\n" + body + "$upscope $end\n";
  }

  void state_variable(std::size_t i, const std::string& name) {
    const recorded_state& each = of_.states[i];
    text_ += "$var reg " + std::to_string(bits_of(each)) + ' ' + state_code(i) + ' ' + name + " $end\n$comment";
    for (std::size_t code = 0; code < each.words.size(); ++code) {
      text_ += ' ' + std::to_string(code) + '=' + std::string{each.words[code]};
    }
    text_ += " $end\n";
  }

  [[nodiscard]] std::string state_code(std::size_t i) const { return code_of(of_.quantities.size() + i); }

  static unsigned bits_of(const recorded_state& of) {
    return std::max(1U, static_cast<unsigned>(std::bit_width(of.words.size() - 1)));
  }

  void changes(std::size_t row) {
    std::string lines;
    for (std::size_t i = 0; i < of_.quantities.size(); ++i) {
      const recorded_quantity& each = of_.quantities[i];
      // A real variable cannot be unknown: one that is keeps its last value.
      if (!each.values[row]) continue;
      const std::string text = text_of(each, *each.values[row]);
      if (row > 0 && each.values[row - 1] && text_of(each, *each.values[row - 1]) == text) continue;
      lines += 'r' + text + ' ' + code_of(i) + '\n';
    }
    for (std::size_t i = 0; i < of_.states.size(); ++i) {
      const recorded_state& each = of_.states[i];
      if (row > 0 && each.codes[row] == each.codes[row - 1]) continue;
      lines += value_of(each, each.codes[row]) + state_code(i) + '\n';
    }
    const bool last = row + 1 == of_.at.size();
    if (lines.empty() && !last) return;
    text_ += '#' + std::to_string(of_.at[row].count()) + '\n';
    text_ += row == 0 ? "$dumpvars\n" + lines + "$end\n" : lines;
  }

  static std::string value_of(const recorded_state& of, std::uint8_t code) {
    const unsigned bits = bits_of(of);
    if (bits == 1) return code == 0 ? "0" : "1";
    std::string text = "b";
    for (unsigned bit = bits; bit-- > 0;) text += ((code >> bit) & 1U) != 0 ? '1' : '0';
    return text + ' ';
  }

  const curves& of_;
  std::string text_;
};

}  // namespace

std::string csv_of(const curves& of) {
  constexpr std::string_view end = "\r\n";  // as RFC 4180 has it
  const std::string_view unit_of_time = "s";
  std::string text = "time [" + std::string{unit_of_time} + ']';
  for (const recorded_quantity& each : of.quantities) text += ',' + name_of(each) + " [" + std::string{each.unit} + ']';
  for (const recorded_state& each : of.states) text += ',' + name_of(each);
  text += end;
  for (std::size_t row = 0; row < of.at.size(); ++row) {
    text += seconds_of(of.at[row]);
    for (const recorded_quantity& each : of.quantities) {
      text += ',';
      if (each.values[row]) text += text_of(each, *each.values[row]);
    }
    for (const recorded_state& each : of.states) {
      text += ',';
      text += each.word_at(row);
    }
    text += end;
  }
  return text;
}

std::string vcd_of(const curves& of) { return dump_writer{of}.written(); }

}  // namespace penstock::inline v1
