// Ordered lists of named guards: the first rung that holds gives the answer. Reasons, statuses and
// alert classes are ladders; each rung carries its rule and a sentence, as a row does.
#pragma once

#include <array>
#include <cstddef>
#include <string_view>
#include <utility>

#include "penstock/machines/text.hpp"

namespace penstock::inline v1::machines {

/// One rung: rules, answer, guard, sentence.
template <text Rules, auto Answer, auto Guard, text Sentence>
struct rung {
  static constexpr auto answer = Answer;
  static constexpr auto guard = Guard;
  static constexpr std::string_view rules = Rules.view();
  static constexpr std::string_view sentence = Sentence.view();
};

/// A rung as plain data.
struct rung_data {
  std::string_view rules;
  std::string_view sentence;
  std::string_view guard;
  int answer;
};

template <class Inputs, class... Rungs>
struct ladder {
  using inputs = Inputs;
  static constexpr std::size_t size = sizeof...(Rungs);
  static constexpr std::array<rung_data, size> data{
      rung_data{Rungs::rules, Rungs::sentence, name_of<Rungs::guard>(), static_cast<int>(Rungs::answer)}...};

  /// Number of the first rung that holds, or -1.
  static constexpr int first(const Inputs& in) {
    int found = -1;
    int here = 0;
    static_cast<void>(((Rungs::guard(in) ? (found = here, true) : (++here, false)) || ...));
    return found;
  }
  /// Answer of the first rung that holds; the first value of the answers where none does.
  template <class Answer>
  static constexpr Answer answer(const Inputs& in) {
    const int found = first(in);
    return found < 0 ? Answer{} : static_cast<Answer>(data[static_cast<std::size_t>(found)].answer);
  }
  /// All rungs that hold, bit by answer.
  static constexpr unsigned all(const Inputs& in) {
    unsigned bits = 0;
    static_cast<void>(((Rungs::guard(in) ? (bits |= 1U << static_cast<unsigned>(Rungs::answer)) : 0U), ...));
    return bits;
  }
};

}  // namespace penstock::inline v1::machines
