// Lessons: who does what when, what to say, what to expect. Part of penstock::files. Playing step by step is in
// lesson_player.hpp. README.md, "Writing lessons", is the reference of the language.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "penstock/event.hpp"
#include "penstock/explain.hpp"
#include "penstock/layout.hpp"
#include "penstock/observation.hpp"
#include "penstock/readings.hpp"
#include "penstock/result.hpp"
#include "penstock/simulation.hpp"

namespace penstock::inline v1 {

/// What a phrase is about.
enum class phrase_kind : std::uint8_t {
  property,   ///< "port is partial", "transfer test-outcome is passed", "keel-pump runs because AUX-1"
  alert,      ///< "alert steering is caution"
  no_alerts,  ///< "no alerts": nothing above status stands
  quantity,   ///< "port pressure is 3000 psi +- 50 psi", "starboard quantity above 18 L"
};

/// Something that is so or is not so at one moment.
struct phrase {
  std::string words;       ///< as written
  location where;
  phrase_kind kind = phrase_kind::property;
  subject about;
  std::string attribute;   ///< property: which property of it
  std::string value;       ///< property, alert: the word it must have
  penstock::condition alert = penstock::condition::circuits_low;  ///< alert: which
  reading_kind quantity = reading_kind::pressure;                 ///< quantity: which
  double least = 0.0;      ///< quantity: in its unit; minus infinity for "below"
  double most = 0.0;       ///< quantity: infinity for "above"
  bool limits_count = true;  ///< quantity: the limits themselves are good ("between", "+-"; not "above", "below")
  bool negated = false;    ///< "is not"; the other way round for the word or the limits, never for `because`
  std::string because;     ///< rule id that the chain of causes must quote as well; "": any
};

/// When a phrase must be so, counted from the moment behind the events of its step.
enum class expectation_form : std::uint8_t {
  now,       ///< "port is normal"
  within,    ///< "within 5 s: PHRASE": comes true, at the latest then
  always,    ///< "for 10 s: PHRASE", "always until 2:00: PHRASE": all that time
  never,     ///< "never for 10 s: PHRASE", "never until 2:00: PHRASE": at no moment of it
  until,     ///< "PHRASE until PHRASE": the first holds until the second comes true, which it must
  in_order,  ///< "in this order: [PHRASE, ...]": none comes true for the first time before the one above it has
};

/// What must be so, and when.
struct expectation {
  std::string words;                 ///< as written
  location where;
  expectation_form form = expectation_form::now;
  std::vector<phrase> phrases;       ///< until: two; in_order: two or more; otherwise one
  std::optional<milliseconds> span;  ///< how long
  std::optional<milliseconds> end;   ///< instead: until this time since the beginning; neither: to the lesson's end
  std::vector<std::string> shows;    ///< ids of rules that the lesson shows by it, where no row or reason names them
};

/// What a question is answered from.
enum class answer_kind : std::uint8_t {
  text,    ///< the lesson says it
  reason,  ///< why a component is as it is then
  alert,   ///< why an alert stands, or that it does not
  reading, ///< a quantity then
  servicing, ///< what a circuit holds then, what is expected, and what to add
};

struct question {
  std::string words;
  answer_kind answered_by = answer_kind::text;
  std::string text;        ///< answer_kind::text; may be empty: open
  subject about;           ///< all others
  penstock::condition alert = penstock::condition::circuits_low;
  reading_kind quantity = reading_kind::pressure;
  friend bool operator==(const question&, const question&) = default;
};

/// When a step begins.
enum class step_start : std::uint8_t {
  at,     ///< at a time since the beginning
  after,  ///< a while after the beginning of the step above
  when,   ///< as soon as its conditions are so, looked at from the beginning of the step above
};

/// How long a step waits for its conditions where the lesson does not say: our choice.
inline constexpr milliseconds usual_wait{600'000};

struct lesson_step {
  /// Since the beginning. Where steps have to wait, the earliest that is possible; only step_start::at plays by it.
  milliseconds at{0};
  step_start start = step_start::at;
  milliseconds after{0};              ///< step_start::after: the delay
  std::vector<phrase> when;           ///< step_start::when: all of them must be so at one moment
  milliseconds longest_wait = usual_wait;  ///< step_start::when: the lesson ends unmet if it takes longer
  std::string by;                     ///< who does it, e.g. "captain"; may be empty
  std::string say;                    ///< narration; may be empty
  std::vector<std::string> observe;   ///< what to look at, behind the events
  std::optional<question> ask;        ///< behind the events
  std::vector<event> events;
  std::vector<std::string> event_words;  ///< as written, one for each event; missing ones are put into words when needed
  std::vector<location> event_places;
  std::string refused;                ///< rule id that must refuse the step's last event; "" = none may be refused
  std::vector<expectation> expectations;
  location where;
};

/// A parameter of a lesson with the value it was read with.
struct lesson_parameter {
  std::string name;
  std::string value;
};

/// A lesson as it is played: parameters are filled in, and steps of included files stand where they were included.
struct lesson {
  std::string name;                       ///< of its file
  std::string title;
  std::string story;
  std::string aircraft_name;              ///< as written: a shipped aircraft or a path; empty: as in the layout
  layout aircraft;
  plant_kind plant = plant_kind::fluid;
  std::optional<reposition_spec> begin;   ///< nothing: cold and dark
  std::vector<lesson_parameter> parameters;
  std::vector<lesson_step> steps;         ///< in order of time
  /// Play until then. Where `ends_by_itself`, the latest that this can be.
  milliseconds end{0};
  /// There was no "end:": the lesson ends with its last step, or when the times of its expectations are all over.
  bool ends_by_itself = true;
};

/// The same lesson: all that is played or told, but not its name, places, parameters and spelling of phrases.
[[nodiscard]] PENSTOCK_API bool same_lesson(const lesson& a, const lesson& b);
[[nodiscard]] PENSTOCK_API bool same_phrase(const phrase& a, const phrase& b);

/// Values of parameters by name, instead of the ones in the file.
using parameter_values = std::map<std::string, std::string, std::less<>>;

/// Reads a lesson from YAML text; paths of layouts and included files are relative to the lesson's folder.
[[nodiscard]] PENSTOCK_API result<lesson> lesson_from_yaml(std::string_view text, const std::string& file,
                                                           const parameter_values& set = {});
/// The same from a file, or from a lesson that comes with penstock when `name_or_path` is its name.
[[nodiscard]] PENSTOCK_API result<lesson> load_lesson(const std::string& name_or_path,
                                                      const parameter_values& set = {});
/// YAML text that reads back to the same lesson (see `same_lesson`) from a file in the same folder.
[[nodiscard]] PENSTOCK_API std::string lesson_to_yaml(const lesson& what);

/// Puts steps that were changed by hand in order: works out `at` and the end from what the steps say. The error says
/// which time runs backwards, comes too late or cannot be known because a step above waits.
[[nodiscard]] PENSTOCK_API std::optional<error> work_out_times(lesson& what);

/// The phrase that words stand for. Errors name the wrong word, say what is possible there, and suggest the nearest.
[[nodiscard]] PENSTOCK_API result<phrase> phrase_from_words(const layout& of, std::string_view words,
                                                            const location& where = {});
/// Words that `phrase_from_words` reads back.
[[nodiscard]] PENSTOCK_API std::string words_of(const layout& of, const phrase& what);
/// In words, as a lesson writes it.
[[nodiscard]] PENSTOCK_API std::string words_of(const layout& of, const expectation& what);

/// How a phrase stands at a moment.
struct standing {
  bool is_so = false;
  std::string found;              ///< the word, the quantity with its unit, or the alerts
  std::optional<double> margin;   ///< quantities: how far inside the limits, in the unit; negative: outside
};
/// A quantity that the plant does not know is never as expected.
[[nodiscard]] PENSTOCK_API standing how_it_stands(const simulation& now, const phrase& what);

/// The answer to a question now: an explanation in words, a quantity with its unit, or the text of the lesson.
[[nodiscard]] PENSTOCK_API std::string answer_to(const question& asked, const simulation& now);

/// The properties of a kind of component that phrases can name; the first may be left out.
struct attribute_form {
  component kind;
  std::string_view name;
  std::vector<std::string_view> words;
};
[[nodiscard]] PENSTOCK_API const std::vector<attribute_form>& attributes();
/// Properties that the plant decides; phrases can name them like the others, an observation does not have them.
[[nodiscard]] PENSTOCK_API const std::vector<attribute_form>& plant_attributes();
/// The word a property has in an observation; "?" if there is no such property.
[[nodiscard]] PENSTOCK_API std::string_view attribute_word(const layout& of, const observation& seen, subject about,
                                                           std::string_view attribute);

/// How an expectation was judged.
struct verdict {
  std::uint32_t at = 0;    ///< ms: when it was decided
  expectation expected;    ///< for a refusal or a wait: without phrases
  std::size_t decided_by = 0;    ///< which of its phrases
  std::string found;
  /// Quantities: the margin that counts, in the unit. Over a time: the least; for `within`: the one it came true
  /// with, or the best there was.
  std::optional<double> margin;
};
/// Why what an expectation found is so: the chain behind its phrase. Empty for "no alerts", refusals and waits.
[[nodiscard]] PENSTOCK_API explanation causes_of(const layout& of, const state& then, const verdict& what);

/// What a played lesson tells, in order of time.
class lesson_audience {
 public:
  virtual ~lesson_audience() = default;
  virtual void step_begins(const lesson_step&, const simulation&) {}
  virtual void happened(const simulation::frame&) {}
  virtual void refused(const event&, std::string_view /*words*/, const refusal&, bool /*expected*/) {}
  virtual void asked(const question&, const std::string& /*answer*/) {}
  virtual void expectation_met(const verdict&) {}
  /// `then`: the state when it was decided, for `causes_of`.
  virtual void expectation_unmet(const verdict&, const state& /*then*/) {}
  /// How often `sampled` is called: at each whole multiple of this; 0: never. Asked once, at the beginning.
  [[nodiscard]] virtual milliseconds sampling() const { return milliseconds{0}; }
  /// Whether `sampled` is called also at the beginning, at the end, and on both sides of everything that
  /// happens: in the last millisecond before it, and after everything else of its moment. Only with a `sampling`.
  [[nodiscard]] virtual bool samples_edges() const { return false; }
  /// The plant between events, for curves. After everything else of that moment.
  virtual void sampled(const simulation&) {}
};

struct lesson_result {
  std::vector<verdict> failures;
  std::vector<verdict> margins;   ///< what was met of quantities, each with its margin
  std::size_t expectations = 0;   ///< judged ones
  bool timed_out = false;         ///< a step waited too long; the rest was not played
  state at_end;
};

/// Plays a lesson from its beginning to `until` (or its end). Deterministic. Expectations over a time that are still
/// open when it stops before the end are not judged.
[[nodiscard]] PENSTOCK_API lesson_result play(const lesson& what, lesson_audience& audience,
                                              std::optional<milliseconds> until = {});

}  // namespace penstock::inline v1
