# The list of rule tests is made of every way in which RULE_TEST is written, and what cannot be read is said.
# Called as: cmake -DTOP=<project> -DFOLDER=<scratch> -P rule_test_list.cmake
cmake_minimum_required(VERSION 3.25)

# Makes the list of one file of tests; leaves `code`, `words` and `list`.
macro(list_tests text)
  file(REMOVE_RECURSE "${FOLDER}")
  if(NOT "${text}" STREQUAL "")
    file(WRITE "${FOLDER}/tests/doors/lever_test.cpp" "${text}")
  endif()
  execute_process(COMMAND "${CMAKE_COMMAND}" "-DTOP=${FOLDER}" "-DOUTPUT=${FOLDER}/list.cpp"
    -P "${TOP}/.cmake/list_rule_tests.cmake" RESULT_VARIABLE code ERROR_VARIABLE words OUTPUT_QUIET)
  string(REGEX REPLACE "[ \n]+" " " words "${words}")
  set(list "")
  if(EXISTS "${FOLDER}/list.cpp")
    file(READ "${FOLDER}/list.cpp" list)
  endif()
endmacro()

function(expect text part)
  string(FIND "${text}" "${part}" at)
  if(at EQUAL -1)
    message(SEND_ERROR "expected\n${part}\nin\n${text}")
  endif()
endfunction()

list_tests([=[RULE_TEST(Lever, Moves, "CGO-1") { EXPECT_EQ(a[1], "RULE_TEST(No, No, 1)"); }
// RULE_TEST(Lever, IsACommentOnly, "CGO-1")
constexpr char many[] = "GEN-1 GEN-2 "
                        "GEN-3";
constexpr std::string_view few{"GEN-4"};

  RULE_TEST(Lever, StandsFurtherIn, many) { return; }
RULE_TEST(Lever,
          IsWrittenOnThreeLines,
          "CGO-2 " "CGO-3") {}
RULE_TEST(Lever, HasAnotherConstant, few) {}
TEST(Lever, ShowsNoRule) {}]=])
expect("${code}" "0")
expect("${list}" "std::array<rule_test, 4> tests{{
      {\"CGO-1\", \"Lever\", \"Moves\", \"tests/doors/lever_test.cpp\", 1},
      {\"GEN-1 GEN-2 GEN-3\", \"Lever\", \"StandsFurtherIn\", \"tests/doors/lever_test.cpp\", 7},
      {\"CGO-2 CGO-3\", \"Lever\", \"IsWrittenOnThreeLines\", \"tests/doors/lever_test.cpp\", 8},
      {\"GEN-4\", \"Lever\", \"HasAnotherConstant\", \"tests/doors/lever_test.cpp\", 11},
  }};")

list_tests([=[

RULE_TEST(Lever, Moves, rules_of_another_file) {}]=])
expect("${code}" "1")
expect("${words}" "lever_test.cpp:2: rules_of_another_file is no text constant of this file")

list_tests([=[RULE_TEST(Lever, Moves, ids_for("CGO-1")) {}]=])
expect("${code}" "1")
expect("${words}" "lever_test.cpp:1: found ids_for(\"CGO-1\" for the rules; expected text")

list_tests([=[RULE_TEST(Lever) {}]=])
expect("${code}" "1")
expect("${words}" "lever_test.cpp:1: expected RULE_TEST(Suite, Name, \"rule ids\")")

list_tests("")
expect("${code}" "0")
expect("${list}" "  return {};")
