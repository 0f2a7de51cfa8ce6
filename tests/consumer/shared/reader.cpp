// Reads a layout that comes with penstock and compares it with the same thing as a C++ value.
#include <penstock/layout_file.hpp>
#include <penstock/layouts.hpp>

#include <iostream>

int main() {
  const auto read = penstock::load_layout("twin-freighter");
  if (!read) {
    std::cerr << to_string(read.problem()) << '\n';
    return 1;
  }
  return read->spec() == penstock::layouts::twin_freighter() ? 0 : 2;
}
