// Searches one part of an aircraft, as a test of a stranger's own logic would.
#include <penstock/explore.hpp>
#include <penstock/layouts.hpp>

int main() {
  const auto aircraft = penstock::layout::from(penstock::layouts::twin_freighter());
  if (!aircraft) return 1;
  for (const penstock::search_part& part : penstock::parts_of(*aircraft)) {
    if (part.name != "steering") continue;
    const penstock::search_result found = penstock::search(*aircraft, part);
    return found.end == penstock::search_end::complete && found.violations.empty() && found.states > 1000 ? 0 : 2;
  }
  return 3;
}
