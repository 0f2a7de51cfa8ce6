// How the program penstock ends. Fixed: scripts depend on these numbers.
#pragma once

namespace penstock::runner {

enum class exit_code : int {
  done = 0,               ///< everything asked for was done; all expectations met
  expectation_unmet = 1,  ///< a lesson was played, and something it expects was not so; check --least not reached;
                          ///< a property that a search found broken;
                          ///< a gap in the trace of the rules
  wrong_use = 2,          ///< the command line: unknown command, option, name or rule
  bad_input = 3,          ///< a layout, lesson or event that cannot be used
  input_output = 4,       ///< a file or stream cannot be read or written
  not_complete = 5,       ///< a search ended at its limit of states or memory before it was complete, or judged not all
  internal = 70,          ///< a defect of penstock itself
};

inline constexpr const char* exit_codes_in_words =
    "Exit codes:\n"
    "  0   done\n"
    "  1   an expectation of a lesson was not met, a property is broken, or the trace of the rules has a gap\n"
    "  2   wrong use of the command line\n"
    "  3   bad input: a layout, lesson or event that cannot be used\n"
    "  4   a file or stream cannot be read or written\n"
    "  5   a search came to its limit of states or memory\n"
    "  70  internal error\n";

}  // namespace penstock::runner
