#include "runner/junit.hpp"

#include "files/xml_text.hpp"
#include "penstock/explain.hpp"

#include <fmt/core.h>

#include <map>

namespace penstock::runner {

namespace {

using files::xml_attribute;
using files::xml_text;

std::string seconds(std::uint64_t ms) { return fmt::format("{}.{:03}", ms / 1000, ms % 1000); }

// Names of test cases must differ within a suite, or a server takes two for one.
class name_giver {
 public:
  std::string name_of(const judgement_at& each) {
    std::string name = fmt::format("{} {}", clock_text(each.at), each.judged.expected.words);
    const unsigned before = given_[name]++;
    return before == 0 ? name : fmt::format("{} ({})", name, before + 1);
  }

 private:
  std::map<std::string, unsigned> given_;
};

std::string failure_of(const judgement_at& each) {
  const std::string words = unmet_words(each.judged, each.at);
  std::string text = words + "\n";
  if (!each.judged.causes.chain.empty()) text += "why:\n" + in_words(each.judged.causes);
  return fmt::format("      <failure message=\"{}\" type=\"unmet\">{}</failure>\n", xml_attribute(words),
                     xml_text(text));
}

std::string opened(const std::string& element, const std::string& name, std::size_t tests, std::size_t failures,
                   std::size_t errors, std::uint64_t ms) {
  return fmt::format("<{} name=\"{}\" tests=\"{}\" failures=\"{}\" errors=\"{}\" skipped=\"0\" time=\"{}\">\n", element,
                     xml_attribute(name), tests, failures, errors, seconds(ms));
}

// Without its ending: many servers read what is before the last point as the name of a package.
std::string class_of(const std::string& name) {
  return name.ends_with(".yaml") ? name.substr(0, name.size() - std::string_view{".yaml"}.size()) : name;
}

std::string begun_case(const checked_lesson& of, const std::string& name, std::uint64_t ms) {
  return fmt::format("    <testcase classname=\"{}\" name=\"{}\" time=\"{}\"", xml_attribute(class_of(of.name)),
                     xml_attribute(name), seconds(ms));
}

std::string suite_of(const checked_lesson& one) {
  std::string words;
  if (one.problem) {
    words = "  " + opened("testsuite", one.name, 1, 0, 1, 0) + begun_case(one, "can be played", 0) + ">\n";
    words += fmt::format("      <error message=\"{}\" type=\"{}\">{}</error>\n    </testcase>\n",
                         xml_attribute(one.problem->message), xml_attribute(one.problem->id),
                         xml_text(to_string(*one.problem)));
  } else {
    words = "  " + opened("testsuite", one.name, one.judged.size(), one.unmet(), 0, one.end.at_end.now);
    name_giver names;
    std::uint32_t before = 0;
    for (const judgement_at& each : one.judged) {
      words += begun_case(one, names.name_of(each), each.at - before);
      words += each.judged.met ? "/>\n" : ">\n" + failure_of(each) + "    </testcase>\n";
      before = each.at;
    }
  }
  return words + "  </testsuite>\n";
}

}  // namespace

std::string junit_of(const std::vector<checked_lesson>& all) {
  const check_counts counts = counts_of(all);
  std::uint64_t ms = 0;
  for (const checked_lesson& each : all) ms += each.end.at_end.now;
  std::string words = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n" +
                      opened("testsuites", "penstock check", counts.expectations + counts.errors, counts.unmet,
                             counts.errors, ms);
  for (const checked_lesson& each : all) {
    if (each.found != verdict::no_lesson) words += suite_of(each);
  }
  return words + "</testsuites>\n";
}

}  // namespace penstock::runner
