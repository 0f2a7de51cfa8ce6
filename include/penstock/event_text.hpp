// Events as people and programs write them. Part of penstock::files.
//
//   words:  "lever forward open"   "start engine-1"   "elapsed 12 s"   "inject line-leak port 500 ml/s"
//   JSON:   {"event":"lever","of":"forward","to":"open"}   {"event":"elapsed","ms":12000}
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "penstock/event.hpp"
#include "penstock/layout.hpp"
#include "penstock/result.hpp"

namespace penstock::inline v1 {

/// The event a phrase stands for. Errors say which word is wrong, what is possible there, and suggest
/// the nearest name; `where` is the place of the phrase in its file (column: of its first character).
[[nodiscard]] PENSTOCK_API result<event> event_from_words(const layout& of, std::string_view phrase,
                                                          const location& where = {});
/// The event a JSON object stands for, see the schema `event`. Unknown members are errors.
[[nodiscard]] PENSTOCK_API result<event> event_from_json(const layout& of, std::string_view json_object,
                                                         const location& where = {});
/// The phrase that stands for an event; `event_from_words` reads it back.
[[nodiscard]] PENSTOCK_API std::string words_of(const layout& of, const event& e);
/// One line of JSON that stands for an event; `event_from_json` reads it back.
[[nodiscard]] PENSTOCK_API std::string json_of(const layout& of, const event& e);

/// A time as people write it: "12 s", "500 ms", "2 min", "1:05", "1:00:05.5". Not negative, at most 24 h.
[[nodiscard]] PENSTOCK_API result<milliseconds> time_from_words(std::string_view text, const location& where = {});

/// The candidate nearest to a misspelt word, or an empty text when none is near.
[[nodiscard]] PENSTOCK_API std::string nearest(std::string_view word, const std::vector<std::string>& candidates);

}  // namespace penstock::inline v1
