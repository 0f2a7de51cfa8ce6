// The helpers of messages: what counts as a character, how texts, numbers and lists are written, which name is near.
#include <limits>
#include <string>
#include <string_view>
#include <vector>

#include <gtest/gtest.h>

#include "penstock/detail/text.hpp"

namespace {

using namespace penstock::detail;
using namespace std::string_view_literals;

TEST(Text, ACharacterHasTheLengthThatUnicodeGivesIt) {
  EXPECT_EQ(utf8_length(""), 0U);
  EXPECT_EQ(utf8_length("a"), 1U);
  EXPECT_EQ(utf8_length("\xC2\x80"), 2U) << "the first of two bytes";
  EXPECT_EQ(utf8_length("\xDF\xBF"), 2U) << "the last of two bytes";
  EXPECT_EQ(utf8_length("\xE0\xA0\x80"), 3U) << "the first of three bytes";
  EXPECT_EQ(utf8_length("\xED\x9F\xBF"), 3U) << "the last before the surrogates";
  EXPECT_EQ(utf8_length("\xEE\x80\x80"), 3U) << "the first behind the surrogates";
  EXPECT_EQ(utf8_length("\xF0\x90\x80\x80"), 4U) << "the first of four bytes";
  EXPECT_EQ(utf8_length("\xF1\x80\x80\x80"), 4U);
  EXPECT_EQ(utf8_length("\xF4\x8F\xBF\xBF"), 4U) << "the last of Unicode";
}

TEST(Text, BytesThatAreNoCharacterHaveNoLength) {
  EXPECT_EQ(utf8_length("\x80"), 0U) << "begins in the middle";
  EXPECT_EQ(utf8_length("\xC1\xBF"), 0U) << "overlong";
  EXPECT_EQ(utf8_length("\xE0\x9F\xBF"), 0U) << "overlong";
  EXPECT_EQ(utf8_length("\xF0\x8F\xBF\xBF"), 0U) << "overlong";
  EXPECT_EQ(utf8_length("\xED\xA0\x80"), 0U) << "a surrogate";
  EXPECT_EQ(utf8_length("\xF4\x90\x80\x80"), 0U) << "beyond Unicode";
  EXPECT_EQ(utf8_length("\xF5\x80\x80\x80"), 0U) << "beyond Unicode";
  EXPECT_EQ(utf8_length("\xC2"), 0U) << "cut off";
  EXPECT_EQ(utf8_length("\xE2\x82"), 0U) << "cut off";
  EXPECT_EQ(utf8_length("\xC2zz"), 0U) << "a byte that does not go on";
}

TEST(Text, PlainTextHasNoControlCharactersAndNoBrokenBytes) {
  EXPECT_TRUE(is_plain_text(""));
  EXPECT_TRUE(is_plain_text("pump \xC3\xA9"));
  EXPECT_FALSE(is_plain_text("two\nlines"));
  EXPECT_FALSE(is_plain_text("\x7F"));
  EXPECT_FALSE(is_plain_text("cut \xC3"));
}

TEST(Text, AQuotedTextIsShortAndShowsWhatCannotStandThereAsQuestionMarks) {
  EXPECT_EQ(penstock::detail::quoted(""), "\"\"");
  EXPECT_EQ(penstock::detail::quoted("a\tb\x7F" "c\x80" "d\xC3\xA9"), "\"a?b?c?d\xC3\xA9\"");
  EXPECT_EQ(penstock::detail::quoted(std::string(60, 'x')), '"' + std::string(60, 'x') + '"');
  EXPECT_EQ(penstock::detail::quoted(std::string(61, 'x')), '"' + std::string(60, 'x') + "...\"");
}

TEST(Text, NumbersHaveUpToSixDigitsAndAPoint) {
  EXPECT_EQ(number_text(0), "0");
  EXPECT_EQ(number_text(-2.5), "-2.5");
  EXPECT_EQ(number_text(1234567), "1.23457e+06");
  EXPECT_EQ(number_text(std::numeric_limits<double>::infinity()), "inf");
  EXPECT_EQ(number_text(-std::numeric_limits<double>::infinity()), "-inf");
  EXPECT_TRUE(number_text(std::numeric_limits<double>::quiet_NaN()).ends_with("nan"));
}

TEST(Text, ASwapOfNeighboursIsOneMistake) {
  EXPECT_EQ(spelling_distance("", ""), 0U);
  EXPECT_EQ(spelling_distance("port", ""), 4U);
  EXPECT_EQ(spelling_distance("", "port"), 4U);
  EXPECT_EQ(spelling_distance("prot", "port"), 1U);
  EXPECT_EQ(spelling_distance("pot", "port"), 1U);
  EXPECT_EQ(spelling_distance("party", "port"), 2U);
  EXPECT_EQ(spelling_distance("ab", "ca"), 2U) << "half a swap is none";
}

TEST(Text, TheNearestNameIsNearAndNotTooLong) {
  const std::vector<std::string> names{"", "port", "starboard", std::string(81, 'p')};
  EXPECT_EQ(nearest_of("prot", names), "port");
  EXPECT_EQ(nearest_of("starbord", names), "starboard");
  EXPECT_EQ(nearest_of("keel", names), "");
  EXPECT_EQ(nearest_of("", names), "");
  EXPECT_EQ(nearest_of(std::string(81, 'p'), names), "");
  EXPECT_EQ(nearest_of(std::string(80, 'p'), names), "") << "the long one is not compared";
  EXPECT_EQ(nearest_of("x", std::vector<std::string>{"a"}), "") << "nothing of it is right";
  EXPECT_EQ(suggestion("prot", names), " (did you mean \"port\"?)");
  EXPECT_EQ(suggestion("keel", names), "");
}

TEST(Text, ListsEndWithOr) {
  EXPECT_EQ(listed(std::vector<std::string>{}), "");
  EXPECT_EQ(listed(std::vector{"a"sv}), "a");
  EXPECT_EQ(listed(std::vector{"a"sv, "b"sv}), "a or b");
  EXPECT_EQ(listed(std::vector{"a"sv, "b"sv, "c"sv}, "and"), "a, b and c");
}

}  // namespace
