# Flags that concern the people who work on penstock. They are PRIVATE to our own targets: a consumer never sees them.

# Call for each target of ours that compiles something.
function(penstock_developer_flags target)
  if(PENSTOCK_DEVELOPER)
    target_compile_options(${target} PRIVATE -Wall -Wextra -Wconversion -Wshadow -Wpedantic -Werror)
    # g++ 12 warns of overlaps in std::string that cannot happen (GCC bug 105651); newer ones do not.
    if(CMAKE_CXX_COMPILER_ID STREQUAL "GNU" AND CMAKE_CXX_COMPILER_VERSION VERSION_LESS 13)
      target_compile_options(${target} PRIVATE -Wno-restrict)
    endif()
    set_target_properties(${target} PROPERTIES EXPORT_COMPILE_COMMANDS ON)
  endif()
  if(NOT PENSTOCK_SANITIZE STREQUAL "")
    # The first finding ends the program, so that a test cannot pass over it.
    target_compile_options(${target} PRIVATE
      -fsanitize=${PENSTOCK_SANITIZE} -fno-sanitize-recover=all -fno-omit-frame-pointer)
    # Also what sanitizers do not see: an empty optional, an index within the array but beyond the span.
    target_compile_definitions(${target} PRIVATE _GLIBCXX_ASSERTIONS)
    target_link_options(${target} PRIVATE -fsanitize=${PENSTOCK_SANITIZE})
  endif()
  if(PENSTOCK_COVERAGE)
    target_compile_options(${target} PRIVATE -fprofile-instr-generate -fcoverage-mapping -fcoverage-mcdc)
    target_link_options(${target} PRIVATE -fprofile-instr-generate)
  endif()
  if(PENSTOCK_FUZZ)
    # Feedback for the fuzzer in every object; the programs of tests/fuzz alone bring its main function.
    target_compile_options(${target} PRIVATE -fsanitize=fuzzer-no-link)
    target_link_options(${target} PRIVATE -fsanitize=fuzzer-no-link)
  endif()
endfunction()
