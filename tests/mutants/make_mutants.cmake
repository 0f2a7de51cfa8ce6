# Copies of the rules with ten deliberate mistakes, one for each property that every reachable state must have. A
# mistake is made only while `penstock_mutant` has its number. Usage: cmake -DFROM=include -DTO=folder -P this.
# Each change must fit exactly once, so that a rule that has moved is noticed.
function(mutate file number from to)
  set(source "${FROM}/penstock/${file}")
  set(target "${TO}/penstock/${file}")
  if(EXISTS "${target}.begun")
    file(READ "${target}" text)
  else()
    file(READ "${source}" text)
    string(REPLACE "#pragma once\n" "#pragma once\nextern int penstock_mutant;\n" text "${text}")
  endif()
  string(REPLACE "${from}" "" without "${text}")
  string(LENGTH "${text}" before)
  string(LENGTH "${without}" after)
  string(LENGTH "${from}" length)
  math(EXPR times "(${before} - ${after}) / ${length}")
  if(NOT times EQUAL 1)
    message(FATAL_ERROR "mutant ${number}: in ${file} its text is found ${times} times, not once:\n${from}")
  endif()
  string(REPLACE "${from}" "${to}" text "${text}")
  file(WRITE "${target}" "${text}")
  file(WRITE "${target}.begun" "")
endfunction()

file(GLOB_RECURSE old "${TO}/*")
if(old)
  file(REMOVE ${old})
endif()

mutate(machines/transfer.hpp 1
  "constexpr bool inhibited_otherwise(const inputs& in, const no_memory&) {"
  "inline bool inhibited_otherwise(const inputs& in, const no_memory&) {
  if (penstock_mutant == 1 && in.reason == unit_inhibition::low_level) return false;")
mutate(detail/view.hpp 2
  "    if (service_only(c) && at.feed_branch[feed] != branch::service) return false;"
  "    if (penstock_mutant != 2 && service_only(c) && at.feed_branch[feed] != branch::service) return false;")
mutate(machines/pumps.hpp 3
  "constexpr bool levers_neutral(const inputs& in, const no_memory& m) {
  return "
  "inline bool levers_neutral(const inputs& in, const no_memory& m) {
  return penstock_mutant != 3 && ")
mutate(machines/pumps.hpp 4
  "constexpr bool neither(const inputs& in, const no_memory&) { return "
  "inline bool neither(const inputs& in, const no_memory&) { return penstock_mutant != 4 && ")
mutate(machines/lists.hpp 5
  "constexpr bool open_with_engine_running(const steering_facts& f) { return "
  "inline bool open_with_engine_running(const steering_facts& f) { return penstock_mutant != 5 && ")
mutate(machines/transfer.hpp 6
  "constexpr void note_interrupted(const inputs& in, memory& m) {"
  "inline void note_interrupted(const inputs& in, memory& m) {
  if (penstock_mutant == 6) return;")
mutate(machines/pumps.hpp 7
  "constexpr bool failure_gone(const inputs& in, const no_memory&) { return "
  "inline bool failure_gone(const inputs& in, const no_memory&) { return penstock_mutant != 7 && ")
mutate(detail/transition.ipp 8
  "    } while (trigger_faults());"
  "    } while (trigger_faults() || (penstock_mutant == 8 && passes < 40));")
mutate(detail/transition.ipp 9
  "        logic.doors[i].lever = to;"
  "        if (penstock_mutant == 9 && logic.engines[1].spool != spool_band::zero) return;
        logic.doors[i].lever = to;")
mutate(machines/cargo.hpp 10
  "constexpr bool limit_reached(const inputs& in, const no_memory&) { return "
  "inline bool limit_reached(const inputs& in, const no_memory&) { return penstock_mutant != 10 && ")
