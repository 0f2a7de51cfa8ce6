// The engine as far as hydraulics care: is it turning, does it run, is its start still wanted.
#pragma once

#include "penstock/machines/table.hpp"
#include "penstock/modes.hpp"

namespace penstock::inline v1::machines {

namespace engine {

enum class happens : std::uint8_t { evaluate, start, abort, shut_down, hang, flame_out, starter_out };
inline constexpr std::array<std::string_view, 7> event_words{"evaluate", "start",     "abort",      "shut-down",
                                                             "hang",     "flame-out", "starter-out"};
struct inputs {
  spool_band spool;
};
struct memory {
  bool starter_is_out;
  friend constexpr bool operator==(const memory&, const memory&) = default;
};
using types = machine_types<engine_mode, happens, inputs, memory>;

constexpr bool spool_at_idle(const inputs& in, const memory&) { return in.spool == spool_band::idle; }
constexpr bool spool_below_sub_idle(const inputs& in, const memory&) { return in.spool < spool_band::near_idle; }
constexpr bool spool_still(const inputs& in, const memory&) { return in.spool == spool_band::zero; }
constexpr bool spool_turns(const inputs& in, const memory&) { return in.spool != spool_band::zero; }
constexpr bool starter_was_out(const inputs& in, const memory& m) {
  return m.starter_is_out && in.spool >= spool_band::near_idle;
}
constexpr void engage_starter(const inputs&, memory& m) { m.starter_is_out = false; }
constexpr void note_starter_out(const inputs&, memory& m) { m.starter_is_out = true; }

struct model : model_base<model, types> {
  using enum engine_mode;
  using enum happens;
  using initial_state = in_mode<stopped>;
  // clang-format off
  using transition_table = boost::mpl::vector<
    line<"ENG-1", stopped,  start,       cranking, always,               "a start is selected", engage_starter>,
    line<"ENG-5", run_down, start,       cranking, always,               "a start is selected while it runs down", engage_starter>,
    line<"ENG-2", cranking, evaluate,    at_idle,  spool_at_idle,        "its spool reached idle: the engine runs">,
    line<"ENG-8", cranking, starter_out, cranking, always,               "its starter cut out before idle, which is remembered", note_starter_out>,
    line<"ENG-3", at_idle,  starter_out, running,  always,               "starter and ignition are off: the start sequence is complete", note_starter_out>,
    line<"ENG-8", at_idle,  evaluate,    running,  starter_was_out,      "its starter had cut out before idle: the start sequence is complete">,
    line<"ENG-4", cranking, abort,       run_down, always,               "its start was aborted">,
    line<"ENG-4", cranking, shut_down,   run_down, always,               "it was shut down while cranking">,
    line<"ENG-4", cranking, hang,        run_down, always,               "its start hung">,
    line<"ENG-4", cranking, flame_out,   run_down, always,               "it flamed out before idle">,
    line<"ENG-5", at_idle,  shut_down,   run_down, always,               "it was shut down">,
    line<"ENG-5", at_idle,  flame_out,   run_down, always,               "it flamed out">,
    line<"ENG-5", running,  shut_down,   run_down, always,               "it was shut down">,
    line<"ENG-5", running,  flame_out,   run_down, always,               "it flamed out">,
    line<"ENG-9", at_idle,  evaluate,    run_down, spool_below_sub_idle, "its spool fell below the sub-idle mark, as in a flame-out">,
    line<"ENG-9", running,  evaluate,    run_down, spool_below_sub_idle, "its spool fell below the sub-idle mark, as in a flame-out">,
    line<"ENG-5", run_down, evaluate,    stopped,  spool_still,          "its spool came to rest">,
    line<"ENG-9", stopped,  evaluate,    run_down, spool_turns,          "it turns without a start: windmilling">>;
  // clang-format on
};

}  // namespace engine

namespace start_selection {

enum class happens : std::uint8_t { start, abort, shut_down, hang, flame_out };
inline constexpr std::array<std::string_view, 5> event_words{"start", "abort", "shut-down", "hang", "flame-out"};
struct inputs {
  bool was_cranking;  ///< before this event
};
using types = machine_types<selection_mode, happens, inputs, no_memory>;

constexpr bool before_idle(const inputs& in, const no_memory&) { return in.was_cranking; }
constexpr bool after_idle(const inputs& in, const no_memory&) { return !in.was_cranking; }

struct model : model_base<model, types> {
  using enum selection_mode;
  using enum happens;
  using initial_state = in_mode<not_selected>;
  // clang-format off
  using transition_table = boost::mpl::vector<
    line<"ENG-10",       not_selected, start,     selected,     always,      "its start is selected, and is held until abort, hang or shut-down">,
    line<"ENG-10",       selected,     start,     selected,     always,      "its start is selected once more">,
    line<"ENG-4",        selected,     abort,     not_selected, always,      "the abort cancels the selection">,
    line<"ENG-4 ENG-10", selected,     shut_down, not_selected, always,      "the shut-down cancels the selection">,
    line<"ENG-4",        selected,     hang,      not_selected, always,      "the hung start cancels the selection">,
    line<"ENG-4",        selected,     flame_out, not_selected, before_idle, "the flame-out before idle cancels the selection">,
    line<"ENG-10",       selected,     flame_out, selected,     after_idle,  "a flame-out after idle leaves the start selected">>;
  // clang-format on
};

}  // namespace start_selection

namespace supply_valve {

enum class happens : std::uint8_t { handle_pulled, handle_stowed, reset };
inline constexpr std::array<std::string_view, 3> event_words{"handle-pulled", "handle-stowed", "reset"};
struct inputs {
  bool handle_out;  ///< the fire handle is pulled already
};
using types = machine_types<valve_mode, happens, inputs, no_memory>;

constexpr bool handle_is_in(const inputs& in, const no_memory&) { return !in.handle_out; }
constexpr bool handle_is_out(const inputs& in, const no_memory&) { return in.handle_out; }

struct model : model_base<model, types> {
  using enum valve_mode;
  using enum happens;
  using initial_state = in_mode<open>;
  // clang-format off
  using transition_table = boost::mpl::vector<
    line<"ENG-6",     open,   handle_pulled, closed, handle_is_in,  "the fire handle was pulled: the supply to its pumps closes">,
    line<"ENG-6",     closed, handle_pulled, closed, handle_is_in,  "the fire handle was pulled again; the valve is closed already">,
    line<"ENG-6",     closed, handle_stowed, closed, handle_is_out, "the fire handle was stowed, which does not reopen the valve">,
    line<"ENG-6",     closed, reset,         open,   handle_is_in,  "the valve was reset: the supply opens">,
    refusal<"ENG-6", closed, reset,                 handle_is_out, "the fire handle is still pulled: stow it first">>;
  // clang-format on
};

}  // namespace supply_valve

}  // namespace penstock::inline v1::machines
