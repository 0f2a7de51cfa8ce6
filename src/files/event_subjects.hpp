// Which components events, faults and triggers may name.
#pragma once

#include <array>
#include <span>

#include "penstock/event.hpp"

namespace penstock::inline v1::files {

[[nodiscard]] inline std::span<const component> subjects_of(const event_form& form) {
  return {form.subjects.data(), form.subject_kinds};
}
[[nodiscard]] inline std::span<const component> subjects_of(const fault_form& form) {
  return {form.subjects.data(), form.subject_kinds};
}

/// The components a trigger may name; none: it names none.
[[nodiscard]] std::span<const component> trigger_subjects(fault_trigger trigger);

/// Components that are there once need no name.
[[nodiscard]] inline bool is_single(std::span<const component> kinds) {
  return kinds.empty() || (kinds.size() == 1 && (kinds[0] == component::aircraft || kinds[0] == component::steering));
}

}  // namespace penstock::inline v1::files
