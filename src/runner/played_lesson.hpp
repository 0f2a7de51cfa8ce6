// What happens while a lesson is played, cut into moments: everything that came at one time. The same
// moments become text (timeline.hpp) and JSON (timeline_json.hpp).
#pragma once

#include "penstock/explain.hpp"
#include "penstock/lesson.hpp"
#include "penstock/observation.hpp"
#include "penstock/transition.hpp"

#include <cstdint>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <set>
#include <string>
#include <utility>
#include <vector>

namespace penstock::runner {

/// A property of a component that is not what it was.
struct change {
  subject about;
  std::string attribute;  ///< as in expectations; empty for the main one of its kind
  std::string from;
  std::string to;
  std::string detail;     ///< a second word that goes with `to`, such as a reason; may be empty
  std::string because;    ///< a sentence; may be empty
  std::string rules;      ///< ids, separated by blanks
};

struct alert_change {
  enum class kind { came, class_changed, held_back, released, went };
  kind what;
  observed_alert alert;   ///< as it is now; for one that went: as it was
  alert_class before;     ///< its class before; none if it came
};
[[nodiscard]] std::string_view word_of(alert_change::kind what);

struct given_command {
  std::string words;      ///< as written in the lesson
  std::optional<refusal> refused;
  bool refusal_expected = false;
};

struct judgement {
  expectation expected;
  bool met = true;
  std::string found;
  std::string margin;     ///< quantities: how far inside the limits, with its unit; otherwise empty
  explanation causes;     ///< why it is as it is, when not met
};

/// "lesson.yaml:9:13", leaving out what is not known.
[[nodiscard]] std::string place_of(const location& where);
/// What was expected, where, and what was found instead.
[[nodiscard]] std::string unmet_words(const judgement& judged, std::uint32_t at);

struct given_answer {
  std::string question;
  std::string answer;
};

/// The lesson of a command line; `set` are its parameters as NAME=VALUE.
[[nodiscard]] lesson lesson_for(const std::string& name_or_path, const std::vector<std::string>& set);
/// A time of the lesson that an option names.
[[nodiscard]] milliseconds time_within(const lesson& what, const std::string& option, const std::string& text);

/// Everything that came at one time.
struct moment {
  std::uint32_t at = 0;                   ///< ms
  const lesson_step* step = nullptr;      ///< nothing: between steps, by itself
  std::vector<given_command> commands;
  std::vector<std::string> facts;         ///< what the plant answered, as phrases
  std::vector<row_taken> rows;
  std::vector<change> changes;
  std::vector<subject> available;         ///< consumers that can work now, and could not
  std::vector<subject> unavailable;       ///< the other way round
  std::vector<alert_change> alerts;
  std::vector<judgement> judged;
  std::vector<given_answer> answers;
  std::vector<double> pressures;          ///< psi in each circuit, when a step begins; empty without the fluid plant
  std::vector<double> fluid;              ///< litres in each reservoir; empty without a plant
  observation seen{};                     ///< at its end
};

/// A row of the table that all machines of a kind share, by its number.
using row_of_table = std::pair<machine, std::uint8_t>;

/// How a lesson ended.
struct played {
  lesson_result result;
  std::size_t steps = 0;
  /// When for the first time, ms. By what: see `penstock check --help`.
  std::map<std::string, std::uint32_t> rules_shown;
  std::set<row_of_table> rows_taken;      ///< also those of moments that show nothing
  observation at_end{};
  [[nodiscard]] std::vector<std::string> ids_shown() const;
};

/// Cuts what it hears of a play, or of a part of it, into moments.
class moment_listener : public lesson_audience {
 public:
  /// The part is over: tells the last moment.
  [[nodiscard]] virtual played finish(lesson_result result) = 0;
};
/// Hands every moment that shows something to `tell`, in order of time. The lesson must outlive the listener. `from`:
/// the state in which the part begins; it may begin with an expectation that is met while nothing happens.
[[nodiscard]] std::unique_ptr<moment_listener> listen_for_moments(const lesson& what, const state& from,
                                                                  std::function<void(const moment&)> tell);

/// Plays a lesson and hands every moment that shows something to `tell`, in order of time. Who listens `beside`
/// hears all that the player tells.
[[nodiscard]] played play_in_moments(const lesson& what, std::optional<milliseconds> until,
                                     const std::function<void(const moment&)>& tell,
                                     lesson_audience* beside = nullptr);

}  // namespace penstock::runner
