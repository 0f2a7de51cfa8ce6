#include "penstock/observation_json.hpp"

#include "files/json_values.hpp"

#include <nlohmann/json.hpp>

namespace penstock::inline v1 {

std::string json_of(const layout& of, const observation& seen) { return files::line_of(files::value_of(of, seen)); }

std::string json_of(const layout& of, const effects& what) {
  auto rows = nlohmann::ordered_json::array();
  for (const row_taken& each : what.taken()) rows.push_back(files::value_of(of, each));
  return files::line_of({{"accepted", what.accepted()},
                         {"refused", files::value_of(what.refused)},
                         {"rows", std::move(rows)},
                         {"cut_short", what.cut_short}});
}

std::string json_of(const layout& of, const explanation& why) { return files::line_of(files::value_of(of, why)); }

}  // namespace penstock::inline v1
