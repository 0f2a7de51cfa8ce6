// Any text at all, read as a layout: an error with a place, or a layout that can be written and read again.
#include "fuzz_support.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace penstock_fuzz;
  const auto read = penstock::layout_from_yaml(text_of(data, size), "input.yaml");
  if (!read) {
    promise_good_error(read.problem());
    promise(read.problem().where.file == "input.yaml", "an error names its file");
    return 0;
  }
  const auto again = penstock::layout_from_yaml(penstock::yaml_of(read->spec()), "again.yaml");
  promise(static_cast<bool>(again), "what was written can be read");
  promise(again->spec() == read->spec(), "what was written reads back equal");
  return 0;
}
