// penstock draw: diagrams of the transition tables.
#include "penstock/draw.hpp"
#include "penstock/layout_file.hpp"
#include "runner/commands.hpp"
#include "runner/failure.hpp"
#include "runner/names.hpp"
#include "runner/page.hpp"

#include <fmt/core.h>

namespace penstock::runner {

namespace {

diagram form_named(const std::string& name) {
  if (name == "scxml") return diagram::scxml;
  if (name == "dot") return diagram::dot;
  if (name == "mermaid") return diagram::mermaid;
  throw wrong_use("--as",
                  fmt::format("found '{}'; right is scxml, dot or mermaid{}", name,
                              perhaps(name, {"scxml", "dot", "mermaid"})),
                  "use-form");
}

machine machine_named(const layout& of, const std::string& name) {
  std::vector<std::string> there;
  for (std::size_t m = 0; m < machine_count; ++m) {
    const auto which = static_cast<machine>(m);
    bool any = false;
    for (std::uint8_t i = 0; i < detail::machine_places::many[m]; ++i) any = any || has_machine(of, which, i);
    if (!any) continue;
    if (word(which) == name) return which;
    there.emplace_back(word(which));
  }
  if (from_word<machine>(name)) {
    throw wrong_use("--machine", fmt::format("{} has no {}; it has {}", of.spec().name, name, listed(there)),
                    "use-machine");
  }
  throw wrong_use("--machine",
                  fmt::format("'{}' is no machine{}; {} has {}", name, perhaps(name, there), of.spec().name,
                              listed(there)),
                  "use-machine");
}

}  // namespace

exit_code draw_machines(const draw_options& wanted, output& out) {
  const diagram form = form_named(wanted.form);
  const layout of = read_or_fail(load_layout(wanted.layout));
  std::optional<machine> only;
  if (!wanted.machine.empty()) only = machine_named(of, wanted.machine);
  out.write(drawn(of, form, only));
  out.flush();
  return exit_code::done;
}

}  // namespace penstock::runner
