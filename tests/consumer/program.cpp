// What a stranger writes: one aircraft, one door, the pure interface and nothing else.
#if defined(PENSTOCK_HEADER_ONLY)
#include <penstock/header_only.hpp>
#else
#include <penstock/penstock.hpp>
#endif

#include <iostream>
#include <string_view>

int main() {
  using namespace penstock;

  const result<layout> checked = layout::from(layouts::twin_freighter());
  if (!checked) {
    std::cerr << to_string(checked.problem()) << '\n';
    return 1;
  }
  const layout& aircraft = *checked;
  const auto number = [&](std::string_view name) -> unsigned {
    const auto found = aircraft.find(name);
    return found ? found->index : 99U;
  };
  const unsigned pump = number("cargo-pump");
  const unsigned door = number("forward");
  const unsigned port = number("port");

  state now = cold_and_dark(aircraft);
  const auto happens = [&](std::string_view what, const event& happening) {
    const outcome next = transition(aircraft, now, happening);
    now = next.after;
    const observation seen = observe(aircraft, now);
    std::cout << what << ": ";
    if (!next.what.accepted()) {
      std::cout << "refused by " << next.what.refused.rule << '\n';
      return;
    }
    std::cout << "pump " << word(seen.electric_pumps[pump].reason) << ", port " << word(seen.circuits[port].status)
              << '\n';
  };

  happens("cold and dark", events::elapsed(milliseconds{0}));
  happens("external power", events::external_power(true));
  happens("lever to open", events::lever(door, lever_position::open));
  happens("pressure made", events::pressure(port, true));
  happens("door between", events::travel(door, door_travel::between));
  happens("pin pushed while connected", events::pin(true));
  happens("door open", events::travel(door, door_travel::open));
  happens("pressure gone", events::pressure(port, false));
  happens("lever to neutral", events::lever(door, lever_position::neutral));
}
