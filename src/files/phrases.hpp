// The phrases of lessons: a small closed set, read by hand.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "penstock/lesson.hpp"

namespace penstock::inline v1::files {

/// The names of all components of a kind.
[[nodiscard]] std::vector<std::string_view> names_of(const layout& of, component kind);

/// One phrase; `negated`: it stood behind "not:".
[[nodiscard]] result<phrase> read_phrase(const layout& of, std::string_view words, const location& where, bool negated);
/// A phrase, or "PHRASE until PHRASE".
[[nodiscard]] result<expectation> read_plain_expectation(const layout& of, std::string_view words,
                                                         const location& where, bool negated);
/// The time in front of a phrase, such as "within 5 s" or "always until 2:00": an expectation without phrases.
[[nodiscard]] result<expectation> read_time_of_expectation(std::string_view key, const location& where);
/// The time of an expectation as such a key; "" for now and until.
[[nodiscard]] std::string time_key_of(const expectation& what);

/// What a question is answered from. A single word that is nearly the name of a component is an error.
[[nodiscard]] result<question> read_answer(const layout& of, std::string_view words, const location& where);
/// Words that `read_answer` reads back.
[[nodiscard]] std::string answer_words(const layout& of, const question& asked);

/// Why two phrases cannot both be so at one moment; "" if they can.
[[nodiscard]] std::string contradiction(const layout& of, const phrase& a, const phrase& b);

/// What a phrase is about, as it is written: "port status", "alert steering", "port pressure".
[[nodiscard]] std::string subject_words(const layout& of, const phrase& what);
/// A quantity for messages: "2950 psi".
[[nodiscard]] std::string quantity_words(double value, reading_kind what);

}  // namespace penstock::inline v1::files
