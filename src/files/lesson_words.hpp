// The words of alerts, and phrases held against a moment.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "penstock/lesson.hpp"
#include "penstock/observation.hpp"

namespace penstock::inline v1::files {

/// The classes of alerts, and "inhibited" for one that stands but is held back [ALR-6].
[[nodiscard]] const std::vector<std::string_view>& alert_words();
/// The word of one alert in an observation.
[[nodiscard]] std::string_view alert_word(const observation& seen, condition which, subject about);

/// Whether a phrase is about something that the plant decides, so that it may change at any time.
[[nodiscard]] bool is_of_plant(const phrase& what);

/// One moment that many phrases are held against; what they need is worked out once, and only if one needs it.
class moment_view {
 public:
  /// `playing` has the quantities of the same moment; nullptr: they are not known.
  moment_view(const layout& of, const state& then, const simulation* playing)
      : layout_(of), then_(then), playing_(playing) {}

  /// Whether a phrase is so; `margin` is set for quantities that are known.
  [[nodiscard]] bool is_so(const phrase& what, std::optional<double>* margin = nullptr);
  /// What stands there instead.
  [[nodiscard]] std::string found(const phrase& what);
  [[nodiscard]] bool has_quantities() const { return playing_ != nullptr; }
  [[nodiscard]] const state& then() const { return then_; }

 private:
  [[nodiscard]] const observation& seen();
  [[nodiscard]] std::string_view word_now(const phrase& what);
  [[nodiscard]] std::string rules_behind(const phrase& what);

  const layout& layout_;
  const state& then_;
  const simulation* playing_;
  std::unique_ptr<observation> seen_;  // large: on the heap
};

}  // namespace penstock::inline v1::files
