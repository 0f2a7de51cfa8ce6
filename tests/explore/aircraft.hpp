// Aircraft that come with penstock, and their parts, by name.
#pragma once

#include <algorithm>
#include <stdexcept>
#include <string>

#include "penstock/explore.hpp"
#include "penstock/layout_file.hpp"

namespace penstock_tests {

inline penstock::layout shipped(const std::string& name) {
  auto read = penstock::load_layout(name);
  if (!read) throw std::invalid_argument(to_string(read.problem()));
  return *std::move(read);
}

inline penstock::search_part part_named(const penstock::layout& of, const std::string& name) {
  const auto all = penstock::parts_of(of);
  const auto found = std::ranges::find(all, name, &penstock::search_part::name);
  if (found == all.end()) throw std::invalid_argument("no part is called " + name);
  return *found;
}

}  // namespace penstock_tests
