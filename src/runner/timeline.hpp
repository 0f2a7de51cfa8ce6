// A played lesson as a page that can be followed without the source.
#pragma once

#include "runner/page.hpp"
#include "runner/played_lesson.hpp"
#include "runner/streams.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace penstock::runner {

/// A change in one sentence; `with_cause`: also what completes it, why, and its rules.
[[nodiscard]] std::string words_of(const layout& of, const change& made, bool with_cause);
/// The same for an alert of that moment.
[[nodiscard]] std::string words_of(const layout& of, const moment& now, const alert_change& made, bool with_cause);

class timeline {
 public:
  timeline(const lesson& what, emphasis type, output& out) : lesson_{what}, type_{type}, out_{out} {}

  void heading();
  void tell(const moment& now);
  void summary(const played& end);

 private:
  void item(std::string_view label, std::string_view text, bool stressed = false);
  void changes_of(const moment& now);
  void consumers_of(const moment& now);
  void pressures_of(const moment& now);
  void fluids_of(const moment& now);
  void alerts_of(const moment& now);
  void judgements_of(const moment& now);

  const lesson& lesson_;
  emphasis type_;
  output& out_;
  std::vector<double> fluid_told_;  // litres in each reservoir, as last printed
};

}  // namespace penstock::runner
