// The steering link of the nose gear, which is disconnected for towing.
#pragma once

#include "penstock/machines/table.hpp"
#include "penstock/modes.hpp"

namespace penstock::inline v1::machines::steering_link {

enum class happens : std::uint8_t { connect, disconnect, pin_in, pin_out };
inline constexpr std::array<std::string_view, 4> event_words{"connect", "disconnect", "pin-in", "pin-out"};
struct inputs {
  bool in_flight;
};
using types = machine_types<steering_mode, happens, inputs, no_memory>;

constexpr bool on_ground(const inputs& in, const no_memory&) { return !in.in_flight; }
constexpr bool airborne(const inputs& in, const no_memory&) { return in.in_flight; }

struct model : model_base<model, types> {
  using enum steering_mode;
  using enum happens;
  using initial_state = in_mode<connected>;
  // clang-format off
  using transition_table = boost::mpl::vector<
    line<"STR-1",     connected,    disconnect, disconnected, on_ground, "it was disconnected for towing">,
    refusal<"GEN-2", connected,    disconnect,               airborne,  "it is disconnected on the ground only">,
    line<"STR-3",     disconnected, connect,    connected,    always,    "it was connected">,
    line<"STR-5",     disconnected, pin_in,     pinned,       always,    "the pin was put in">,
    line<"STR-5",     pinned,       pin_out,    disconnected, always,    "the pin was taken out">,
    refusal<"STR-5", pinned,       connect,                  always,    "the pin is in: take it out, then connect again">,
    refusal<"STR-5", connected,    pin_in,                   always,    "the pin cannot go in while the steering is connected">>;
  // clang-format on
};

}  // namespace penstock::inline v1::machines::steering_link
