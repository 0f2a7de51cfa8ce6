// penstock levels: what the reservoirs hold at one time of a lesson, what to expect, and what to add.
#include "files/json_values.hpp"
#include "penstock/lesson.hpp"
#include "penstock/lesson_player.hpp"
#include "penstock/plant.hpp"
#include "penstock/readings.hpp"
#include "runner/commands.hpp"
#include "runner/failure.hpp"
#include "runner/levels.hpp"
#include "runner/page.hpp"
#include "runner/played_lesson.hpp"

#include <fmt/core.h>
#include <nlohmann/json.hpp>

#include <cmath>
#include <string>

namespace penstock::runner {

namespace {

using json = nlohmann::ordered_json;

/// One reservoir, in litres.
struct judged_level {
  std::string circuit;
  double shown, expected, full, low;
  fluid_contents where;
  servicing_advice advice;
};

judged_level judged(const simulation& now, unsigned c) {
  const layout& of = now.aircraft();
  const circuit_spec& spec = of.spec().circuits[c];
  return {spec.name,
          in_litres(indicated_level(of, now.fluid(), c)),
          in_litres(expected_level(of, now.fluid(), c)),
          in_litres(spec.reservoir),
          in_litres(spec.low_mark),
          contents_of(of, now.fluid(), c),
          servicing(of, now.fluid(), now.now(), c)};
}

// A tenth of a litre is what a gauge shows.
constexpr double seen_on_a_gauge = 0.05;

std::string advice_in_words(const judged_level& one) {
  if (!one.advice.valid) return fmt::format("cannot be judged now: {}", one.advice.why_not);
  const double missing = in_litres(one.advice.missing);
  if (std::abs(missing) < seen_on_a_gauge) return "nothing to add";
  return missing > 0 ? fmt::format("add {:.1f} L", missing) : fmt::format("{:.1f} L too much", -missing);
}

// Milligrams of fluid are nobody's concern: whole cubic centimetres.
double rounded(double litres) { return std::round(litres * 1e3) / 1e3; }

json value_of(const judged_level& one) {
  const auto litres = [](double cubic_metres) { return rounded(in_litres({cubic_metres})); };
  return {{"circuit", one.circuit},
          {"level_l", rounded(one.shown)},
          {"expected_l", rounded(one.expected)},
          {"full_mark_l", rounded(one.full)},
          {"low_mark_l", rounded(one.low)},
          {"contents_l",
           {{"filled", litres(one.where.filled)},
            {"reservoir", litres(one.where.reservoir)},
            {"lines", litres(one.where.lines)},
            {"actuators", litres(one.where.actuators)},
            {"stores", litres(one.where.stores)},
            {"leaked", litres(one.where.leaked)}}},
          {"servicing",
           {{"valid", one.advice.valid},
            {"why_not", one.advice.valid ? json(nullptr) : json(one.advice.why_not)},
            {"missing_l", one.advice.valid ? json(litres(one.advice.missing.value)) : json(nullptr)}}}};
}

std::string text_of(const judged_level& one) {
  return fmt::format("  {}: {:.1f} L; expected now {:.1f} L; {} [LVL-5]\n", one.circuit, one.shown, one.expected,
                     advice_in_words(one)) +
         fmt::format("    full mark {:.1f} L, low mark {:.1f} L; lines {:.2f} L, actuators {:.2f} L, stores {:.2f} L, "
                     "leaked {:.2f} L\n",
                     one.full, one.low, in_litres({one.where.lines}), in_litres({one.where.actuators}),
                     in_litres({one.where.stores}), in_litres({one.where.leaked}));
}

class silence : public lesson_audience {};

}  // namespace

std::string levels_in_words(const simulation& now) {
  std::string text;
  for (unsigned c = 0; c < now.aircraft().count(component::circuit); ++c) text += text_of(judged(now, c));
  return text + "For training only: not approved data. A real level is judged by the aircraft's own documents.\n";
}

exit_code tell_levels(const levels_options& wanted, output& out) {
  const lesson what = lesson_for(wanted.lesson, wanted.set);
  const milliseconds at = wanted.at.empty() ? what.end : time_within(what, "--at", wanted.at);
  if (what.plant != plant_kind::fluid) {
    throw wrong_use("LESSON",
                    fmt::format("{} has the plant {}; levels are computed by the plant fluid", what.name,
                                word(what.plant)),
                    "use-plant");
  }
  silence nobody;
  lesson_player player{what, nobody};
  player.play_to(at);
  const simulation& now = player.simulation();
  json levels = json::array();
  for (unsigned c = 0; c < what.aircraft.count(component::circuit); ++c) levels.push_back(value_of(judged(now, c)));
  if (wanted.json) {
    out.write(files::line_of(json{{"lesson", what.name}, {"at", at.count()}, {"levels", std::move(levels)}}) + "\n");
  } else {
    out.write(fmt::format("At {} in {}:\n", clock_text(static_cast<std::uint32_t>(at.count())), what.name));
    out.write(levels_in_words(now));
  }
  out.flush();
  return exit_code::done;
}

}  // namespace penstock::runner
