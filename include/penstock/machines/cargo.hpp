// Cargo doors, and the service mode their pump brings about.
#pragma once

#include "penstock/machines/ladder.hpp"
#include "penstock/machines/table.hpp"
#include "penstock/modes.hpp"

namespace penstock::inline v1::machines {

namespace cargo_door {

enum class happens : std::uint8_t { evaluate };
inline constexpr std::array<std::string_view, 1> event_words{"evaluate"};
struct inputs {
  bool lever_out;
  bool end_made;       ///< the end of travel in the direction of the lever
  bool allowed;        ///< power, on the ground, crew switch not off
  bool limit_reached;
};
using types = machine_types<door_mode, happens, inputs, no_memory>;

constexpr bool lever_neutral(const inputs& in, const no_memory&) { return !in.lever_out; }
constexpr bool limit_reached(const inputs& in, const no_memory&) { return in.lever_out && in.limit_reached; }
constexpr bool end_made(const inputs& in, const no_memory&) {
  return in.lever_out && !in.limit_reached && in.end_made;
}
constexpr bool not_allowed(const inputs& in, const no_memory&) {
  return in.lever_out && !in.limit_reached && !in.end_made && !in.allowed;
}
constexpr bool asks(const inputs& in, const no_memory&) {
  return in.lever_out && !in.limit_reached && !in.end_made && in.allowed;
}

struct model : model_base<model, types> {
  using enum door_mode;
  using enum happens;
  using initial_state = in_mode<idle>;
  // clang-format off
  using transition_table = boost::mpl::vector<
    line<"CGO-1",       idle,      evaluate, asking,    asks,          "its lever is out of neutral and the end of travel is not made">,
    line<"CGO-2",       idle,      evaluate, at_end,    end_made,      "its lever points to an end of travel that is made: it asks for nothing">,
    line<"CGO-9 CGO-8", idle,      evaluate, blocked,   not_allowed,   "its lever is out, but it may not ask">,
    line<"CGO-3",       asking,    evaluate, idle,      lever_neutral, "its lever was put to neutral: the door holds where it is">,
    line<"CGO-2",       asking,    evaluate, at_end,    end_made,      "the end of travel is made: it asks no more">,
    line<"CGO-9 CGO-8", asking,    evaluate, blocked,   not_allowed,   "it may not ask any more">,
    line<"CGO-10",      asking,    evaluate, timed_out, limit_reached, "it asked up to its run limit: it asks no more">,
    line<"CGO-3",       at_end,    evaluate, idle,      lever_neutral, "its lever was put to neutral">,
    line<"CGO-1",       at_end,    evaluate, asking,    asks,          "the end of travel to which its lever points is not made">,
    line<"CGO-9 CGO-8", at_end,    evaluate, blocked,   not_allowed,   "its lever was moved on, but it may not ask">,
    line<"CGO-10",      at_end,    evaluate, timed_out, limit_reached, "its lever was left out at the end of travel up to the run limit">,
    line<"CGO-3",       blocked,   evaluate, idle,      lever_neutral, "its lever was put to neutral">,
    line<"CGO-9",       blocked,   evaluate, asking,    asks,          "it may ask again, and its lever is still out: it asks at once">,
    line<"CGO-2",       blocked,   evaluate, at_end,    end_made,      "the end of travel is made">,
    line<"CGO-10",      timed_out, evaluate, idle,      lever_neutral, "its lever was put to neutral, which clears the run limit">>;
  // clang-format on
};

}  // namespace cargo_door

namespace service {

enum class happens : std::uint8_t { evaluate };
inline constexpr std::array<std::string_view, 1> event_words{"evaluate"};
struct inputs {
  bool door_runs_pump;  ///< the cargo-duty pump delivers, on automatic, for a door
  bool other_source;    ///< another pump of the circuit delivers
  bool crew_on;
  bool in_flight;
  bool hold_off_over;
};
using types = machine_types<service_mode, happens, inputs, no_memory>;

constexpr bool only_for_a_door(const inputs& in, const no_memory&) {
  return in.door_runs_pump && !in.other_source && !in.in_flight;
}
constexpr bool in_flight(const inputs& in, const no_memory&) { return in.in_flight; }
constexpr bool crew_takes_over(const inputs& in, const no_memory& m) {
  return !only_for_a_door(in, m) && !in.in_flight && in.crew_on;
}
constexpr bool other_source_begins(const inputs& in, const no_memory&) {
  return !in.in_flight && !in.crew_on && in.other_source;
}
constexpr bool pump_stops(const inputs& in, const no_memory&) {
  return !in.in_flight && !in.crew_on && !in.other_source && !in.door_runs_pump;
}
constexpr bool hold_off_over(const inputs& in, const no_memory& m) {
  return !only_for_a_door(in, m) && !in.in_flight && !in.crew_on && in.hold_off_over;
}

struct model : model_base<model, types> {
  using enum service_mode;
  using enum happens;
  using own = service_mode;
  using initial_state = in_mode<own::none>;
  // clang-format off
  using transition_table = boost::mpl::vector<
    line<"CGO-5",       own::none,     evaluate, own::service,  only_for_a_door,     "its pump runs for a cargo door and nothing else delivers: only the service branch has pressure">,
    line<"CGO-5 CGO-7", own::hold_off, evaluate, own::service,  only_for_a_door,     "a new service mode begins, which cancels the hold-off">,
    line<"CGO-13",      own::service,  evaluate, own::none,     in_flight,           "lift-off ends service mode without a hold-off">,
    line<"CGO-8",       own::service,  evaluate, own::none,     crew_takes_over,     "the crew switch is on: the whole circuit is fed">,
    line<"CGO-12",      own::service,  evaluate, own::hold_off, other_source_begins, "another source delivers, which ends service mode; the hold-off begins">,
    line<"CGO-7",       own::service,  evaluate, own::hold_off, pump_stops,          "service mode ends; the hold-off of the transfer units begins">,
    line<"CGO-13",      own::hold_off, evaluate, own::none,     in_flight,           "lift-off ends the hold-off">,
    line<"CGO-7",       own::hold_off, evaluate, own::none,     crew_takes_over,     "the crew switch is on, which cancels the hold-off">,
    line<"CGO-7",       own::hold_off, evaluate, own::none,     hold_off_over,       "the hold-off is over">>;
  // clang-format on
};

}  // namespace service

}  // namespace penstock::inline v1::machines
