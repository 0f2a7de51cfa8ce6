// One row of a transition table as plain data.
#pragma once

#include <cstdint>
#include <string_view>

namespace penstock::inline v1 {

struct table_row {
  std::string_view rules;     ///< one or more rule ids, separated by a blank
  std::string_view sentence;  ///< what the row says, in words
  std::uint8_t source;        ///< mode before
  std::uint8_t event;         ///< event of that machine
  std::uint8_t target;        ///< mode after
  std::string_view guard;     ///< name of the guard function
  std::string_view action;    ///< name of the action function
  bool refuses;               ///< the row refuses a command
};

}  // namespace penstock::inline v1
