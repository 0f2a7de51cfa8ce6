// Asking for a complaint: its id, its place, and what its words must hold.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include <gtest/gtest.h>

#include "penstock/result.hpp"

namespace penstock_tests {

/// The text with one part replaced; the part must be there.
inline std::string with(std::string text, std::string_view part, std::string_view instead) {
  const auto found = text.find(part);
  if (found == std::string::npos) {
    ADD_FAILURE() << "the text does not hold " << part;
    return text;
  }
  return text.replace(found, part.size(), instead);
}

struct complaint_wanted {
  std::string_view id;
  std::uint32_t line;
  std::uint32_t column;
  std::string_view words;  ///< a part of the message
};

template <class T>
void expect_complaint(const penstock::result<T>& got, const complaint_wanted& wanted) {
  ASSERT_FALSE(got) << "accepted, though it should say [" << wanted.id << "] " << wanted.words;
  const penstock::error& problem = got.problem();
  EXPECT_EQ(problem.id, wanted.id) << to_string(problem);
  EXPECT_EQ(problem.where.line, wanted.line) << to_string(problem);
  EXPECT_EQ(problem.where.column, wanted.column) << to_string(problem);
  EXPECT_NE(problem.message.find(wanted.words), std::string::npos)
      << to_string(problem) << "\ndoes not say: " << wanted.words;
  EXPECT_LT(problem.message.size(), 1500U) << "a message must stay readable";
}

}  // namespace penstock_tests
