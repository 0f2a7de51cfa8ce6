// Any text at all, read as a lesson: an error, or a lesson that can be played.
#include "fuzz_support.hpp"
#include "penstock/lesson.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace penstock_fuzz;
  // A folder that does not exist, so that a path in the lesson reads nothing of this machine.
  const auto read = penstock::lesson_from_yaml(text_of(data, size), "/nowhere/input.yaml");
  if (!read) {
    promise_good_error(read.problem());
    return 0;
  }
  promise(read->steps.size() <= 200'000, "the limit of steps holds");
  const auto again = penstock::lesson_from_yaml(penstock::lesson_to_yaml(*read), "/nowhere/input.yaml");
  promise(again && penstock::same_lesson(*read, *again), "a written lesson reads back the same");
  // A minute is enough to meet every kind of step, and short enough to try many lessons.
  penstock::lesson_audience nobody;
  const auto played = penstock::play(*read, nobody, penstock::milliseconds{60'000});
  promise(played.failures.size() <= played.expectations + 4 * size, "failures are counted once");
  return 0;
}
