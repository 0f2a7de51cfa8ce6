// Lessons: events at times, what to say, what to expect. Part of penstock::files.
#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "penstock/event.hpp"
#include "penstock/layout.hpp"
#include "penstock/observation.hpp"
#include "penstock/result.hpp"
#include "penstock/simulation.hpp"

namespace penstock::inline v1 {

/// One thing that must be so, e.g. "port is partial", "transfer test-outcome is passed",
/// "alert steering is caution", "no alerts".
struct expectation {
  std::string words;       ///< as written
  location where;
  subject about;
  std::string attribute;   ///< which property of it; "" for alerts in general
  std::string value;       ///< the word it must have
  bool negated = false;    ///< "is not"
  std::optional<penstock::condition> alert;  ///< about an alert rather than a component
  bool no_alerts = false;                    ///< "no alerts": nothing above status stands
};

struct lesson_step {
  milliseconds at{0};                 ///< since the beginning
  std::string say;                    ///< narration; may be empty
  std::vector<event> events;
  std::vector<std::string> event_words;  ///< as written, one for each event
  std::vector<location> event_places;
  std::string refused;                ///< rule id that must refuse the step's last event; "" = none may be refused
  std::vector<expectation> expectations;
  location where;
};

struct lesson {
  std::string name;
  std::string title;
  std::string story;
  layout aircraft;
  plant_kind plant = plant_kind::quasi_static;
  std::optional<reposition_spec> begin;   ///< nothing: cold and dark
  std::vector<lesson_step> steps;         ///< in order of time
  milliseconds end{0};                    ///< play until then
};

/// Reads a lesson from YAML text; a layout path in it is relative to the lesson's folder.
[[nodiscard]] PENSTOCK_API result<lesson> lesson_from_yaml(std::string_view text, const std::string& file);
/// The same from a file, or from a lesson that comes with penstock when `name_or_path` is its name.
[[nodiscard]] PENSTOCK_API result<lesson> load_lesson(const std::string& name_or_path);

/// The properties of a kind of component that expectations can name; the first may be left out.
struct attribute_form {
  component kind;
  std::string_view name;
  std::vector<std::string_view> words;
};
[[nodiscard]] PENSTOCK_API const std::vector<attribute_form>& attributes();
/// The word a property has in an observation; "?" if there is no such property.
[[nodiscard]] PENSTOCK_API std::string_view attribute_word(const layout& of, const observation& seen, subject about,
                                                           std::string_view attribute);

struct unmet {
  std::uint32_t at;        ///< ms
  expectation expected;    ///< for a refusal that came or failed to come: only `words` and `where`
  std::string found;
};

/// What a played lesson tells, in order of time.
class lesson_audience {
 public:
  virtual ~lesson_audience() = default;
  virtual void step_begins(const lesson_step&, const simulation&) {}
  virtual void happened(const simulation::frame&) {}
  virtual void refused(const event&, std::string_view /*words*/, const refusal&, bool /*expected*/) {}
  virtual void expectation_met(const expectation&) {}
  virtual void expectation_unmet(const unmet&) {}
  /// How often `sampled` is called: at each whole multiple of this; 0: never. Asked once, at the beginning.
  [[nodiscard]] virtual milliseconds sampling() const { return milliseconds{0}; }
  /// The plant between events, for curves. After everything else of that moment.
  virtual void sampled(const simulation&) {}
};

struct lesson_result {
  std::vector<unmet> failures;
  std::size_t expectations = 0;
  state at_end;
};

/// Plays a lesson from its beginning to `until` (or its end). Deterministic.
[[nodiscard]] PENSTOCK_API lesson_result play(const lesson& what, lesson_audience& audience,
                                              std::optional<milliseconds> until = {});

}  // namespace penstock::inline v1
