#include "files/row_scripts.hpp"

#include "files/machine_models.hpp"

namespace penstock::inline v1::files {

std::string written(const change& of, const std::vector<variable>& all, const std::vector<std::string>& names) {
  const auto& values = all[of.variable].values;
  switch (of.how) {
    case change::takes::constant: return values[of.from];
    case change::takes::copy: return names[of.from];
    case change::takes::one_more: return names[of.variable] + " + 1";
    case change::takes::by_case: break;
  }
  std::string words;
  for (const auto& [when, value] : of.cases) {
    if (&when == &of.cases.back().first) return words + values[value];
    words += "(" + written(when, all, names) + ") ? " + values[value] + " : ";
  }
  return words;
}

const machine_script& script_of(machine which) {
  return with_model(which, []<class Model>() -> const machine_script& {
    static const machine_script found = script_of_table<Model>();
    return found;
  });
}

}  // namespace penstock::inline v1::files
