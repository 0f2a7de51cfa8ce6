// penstock why: the causes of one thing at one time of a lesson.
#include "files/json_values.hpp"
#include "penstock/detail/view.hpp"
#include "penstock/lesson.hpp"
#include "runner/commands.hpp"
#include "runner/explained.hpp"
#include "runner/failure.hpp"
#include "runner/names.hpp"
#include "runner/page.hpp"
#include "runner/played_lesson.hpp"

#include <fmt/core.h>
#include <nlohmann/json.hpp>

namespace penstock::runner {

namespace {

struct question {
  subject about;
  std::optional<condition> alert;
};

subject component_named(const layout& of, const std::string& name) {
  if (const auto found = of.find(name)) return *found;
  if (name == word(component::aircraft)) return {component::aircraft, 0};
  if (name == word(component::steering)) return {component::steering, 0};
  throw wrong_use("SUBJECT",
                  fmt::format("'{}' is no component of {}{}", name, of.spec().name, perhaps(name, names_in(of))),
                  "use-subject");
}

// An alert that is named without its component: the one that stands, else the first possible one.
subject bearer_of(const layout& of, const state& now, condition alert) {
  const observation seen = observe(of, now);
  for (const observed_alert& each : seen.alerts_standing()) {
    if (each.condition == alert) return each.about;
  }
  return {detail::subject_kind(alert), 0};
}

question question_from(const layout& of, const state& now, const std::string& text) {
  constexpr std::string_view mark = "alert:";
  if (!text.starts_with(mark)) return {component_named(of, text), {}};
  const std::string rest = text.substr(mark.size());
  const std::size_t colon = rest.find(':');
  const std::string name = rest.substr(0, colon);
  const auto alert = from_word<condition>(name);
  if (!alert) {
    const std::vector<std::string> names = all_words<condition>();
    throw wrong_use("SUBJECT",
                    fmt::format("'{}' is no alert{}; alerts are {}", name, perhaps(name, names), listed(names)),
                    "use-subject");
  }
  if (colon != std::string::npos) return {component_named(of, rest.substr(colon + 1)), alert};
  return {bearer_of(of, now, *alert), alert};
}

class silence : public lesson_audience {};

}  // namespace

explanation explained(const layout& of, const state& now, const std::string& about) {
  const question asked = question_from(of, now, about);
  explanation why = asked.alert ? explain(of, now, *asked.alert, asked.about) : explain(of, now, asked.about);
  if (why.chain.empty()) {
    throw wrong_use("SUBJECT", fmt::format("there is nothing to explain about '{}' on {}", about, of.spec().name),
                    "use-subject");
  }
  return why;
}

exit_code tell_why(const why_options& wanted, output& out) {
  const lesson what = lesson_for(wanted.lesson, wanted.set);
  const layout& of = what.aircraft;
  const milliseconds at = time_within(what, "--at", wanted.at);
  silence nobody;
  const state now = play(what, nobody, at).at_end;
  const explanation why = explained(of, now, wanted.subject);
  if (wanted.json) {
    auto value = nlohmann::ordered_json{{"lesson", what.name}, {"at", at.count()}, {"subject", wanted.subject}};
    value["chain"] = files::value_of(of, why)["chain"];
    out.write(files::line_of(value) + "\n");
  } else {
    out.write(fmt::format("At {} in {}:\n", clock_text(static_cast<std::uint32_t>(at.count())), what.name));
    out.write(outline("", in_words(why)));
  }
  out.flush();
  return exit_code::done;
}

}  // namespace penstock::runner
