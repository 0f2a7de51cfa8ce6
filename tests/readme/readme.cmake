# The first C++ block of README.md is a program; the text block after it is what the program prints.
#   cmake -DREADME=README.md -DEXTRACT=<file>    -P readme.cmake   writes the program
#   cmake -DREADME=README.md -DPROGRAM=<binary>  -P readme.cmake   runs it and compares
cmake_minimum_required(VERSION 3.25)
file(READ "${README}" text)

string(FIND "${text}" "```cpp\n" begin)
if(begin EQUAL -1)
  message(FATAL_ERROR "${README}: no block that begins with ```cpp")
endif()
math(EXPR begin "${begin} + 7")
string(SUBSTRING "${text}" ${begin} -1 text)
string(FIND "${text}" "```\n" end)
string(SUBSTRING "${text}" 0 ${end} program)

if(DEFINED EXTRACT)
  file(WRITE "${EXTRACT}" "${program}")
  return()
endif()

string(SUBSTRING "${text}" ${end} -1 text)
string(FIND "${text}" "```text\n" begin)
if(begin EQUAL -1)
  message(FATAL_ERROR "${README}: no block that begins with ```text behind the program")
endif()
math(EXPR begin "${begin} + 8")
string(SUBSTRING "${text}" ${begin} -1 text)
string(FIND "${text}" "```" end)
string(SUBSTRING "${text}" 0 ${end} expected)

execute_process(COMMAND "${PROGRAM}" OUTPUT_VARIABLE printed RESULT_VARIABLE code)
if(NOT code EQUAL 0)
  message(FATAL_ERROR "the program of README.md ended with ${code}")
endif()
if(NOT printed STREQUAL expected)
  message(FATAL_ERROR "the program of README.md printed\n${printed}\nbut README.md shows\n${expected}")
endif()
