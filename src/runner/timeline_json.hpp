// A played lesson as one JSON document, written while it is played.
#pragma once

#include "runner/played_lesson.hpp"
#include "runner/streams.hpp"

#include <nlohmann/json_fwd.hpp>

namespace penstock::runner {

[[nodiscard]] nlohmann::ordered_json value_of(const location& where);
/// With what was found and its causes when it was not met.
[[nodiscard]] nlohmann::ordered_json value_of(const layout& of, const judgement& judged);

class timeline_json {
 public:
  timeline_json(const lesson& what, output& out) : lesson_{what}, out_{out} {}

  void heading();
  void tell(const moment& now);
  void summary(const played& end);

 private:
  const lesson& lesson_;
  output& out_;
  bool first_ = true;
};

}  // namespace penstock::runner
