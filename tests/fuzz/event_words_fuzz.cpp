// Any text at all, read as a phrase: an error, or an event that reads back and that the logic survives.
#include "fuzz_support.hpp"
#include "penstock/event_text.hpp"
#include "penstock/transition.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace penstock_fuzz;
  const penstock::layout& of = aircraft("twin-freighter");
  const auto read = penstock::event_from_words(of, text_of(data, size));
  if (!read) {
    promise_good_error(read.problem());
    return 0;
  }
  const auto again = penstock::event_from_words(of, penstock::words_of(of, *read));
  promise(static_cast<bool>(again), "what was written can be read");
  promise(*again == *read, "what was written reads back equal");
  static const penstock::state cold = penstock::cold_and_dark(of);
  const auto next = penstock::transition(of, cold, *read);
  promise(next.what.accepted() || next.after == cold, "a refused event changes nothing");
  promise(!next.what.cut_short, "settling is bounded");
  return 0;
}
