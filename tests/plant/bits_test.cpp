// The same bits from every compiler: the compiled library beside a constant. bits_program.cpp does the same at other
// levels of optimisation.
#include <gtest/gtest.h>

#include "plant/story.hpp"

namespace penstock_tests {
namespace {

TEST(PlantBits, AreThoseOfEveryOtherCompiler) { EXPECT_EQ(hash_of_story(), expected_hash); }

}  // namespace
}  // namespace penstock_tests
