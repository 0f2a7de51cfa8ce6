// penstock list and penstock show: what comes with the program.
#include "penstock/layout_file.hpp"
#include "penstock/lesson.hpp"
#include "runner/commands.hpp"
#include "runner/failure.hpp"
#include "runner/names.hpp"
#include "runner/page.hpp"

#include <fmt/core.h>

#include <array>

namespace penstock::runner {

namespace {

constexpr std::size_t name_width = 34;

std::string entry(std::string_view name, std::string_view words) {
  return paragraph("  " + padded(name, name_width), words);
}

}  // namespace

exit_code list_shipped(output& out) {
  out.write("Aircraft (all invented):\n");
  for (const shipped_file& each : shipped_layouts()) {
    const layout of = read_or_fail(load_layout(std::string{each.name}));
    out.write(entry(each.name, of.spec().title));
  }
  out.write("Lessons:\n");
  for (const shipped_file& each : shipped_lessons()) {
    const lesson what = read_or_fail(load_lesson(std::string{each.name}));
    out.write(entry(each.name, fmt::format("{} ({})", what.title, what.aircraft.spec().name)));
  }
  out.write("Schemas:\n");
  for (const shipped_file& each : shipped_schemas()) out.write(entry(each.name, "JSON Schema"));
  out.flush();
  return exit_code::done;
}

exit_code show_shipped(const show_options& wanted, output& out) {
  std::vector<std::string> names;
  for (const auto& files : std::array{shipped_layouts(), shipped_lessons(), shipped_schemas()}) {
    for (const shipped_file& each : files) {
      if (each.name == wanted.name) {
        out.write(each.text);
        if (!each.text.ends_with('\n')) out.write("\n");
        out.flush();
        return exit_code::done;
      }
      names.emplace_back(each.name);
    }
  }
  throw wrong_use("NAME",
                  fmt::format("no file '{}' comes with penstock{}; there are {}", wanted.name,
                              perhaps(wanted.name, names), listed(names)),
                  "use-name");
}

}  // namespace penstock::runner
