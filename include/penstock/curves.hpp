// Curves of a played lesson: quantities and states over time, as a picture and as data. Part of penstock::files.
#pragma once

#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "penstock/lesson.hpp"
#include "penstock/readings.hpp"

namespace penstock::inline v1 {

/// One quantity of one component over time.
struct recorded_quantity {
  subject about;
  reading_kind what;
  std::string component;                      ///< its name
  std::string_view unit;
  std::vector<std::optional<double>> values;  ///< one for each time; nothing where it was not known
};

/// One property of one component, or one alert, over time.
struct recorded_state {
  subject about;
  std::string component;                      ///< its name
  std::string attribute;                      ///< as in expectations; empty for an alert
  std::optional<penstock::condition> alert;
  std::vector<std::string_view> words;        ///< what it can be; an alert: its class, or "inhibited"
  std::vector<std::uint8_t> codes;            ///< one for each time: a number of `words`

  [[nodiscard]] std::string_view word_at(std::size_t row) const { return words[codes[row]]; }
};

/// A played lesson in rows, each of one time. Where several rows would be equal, only the first and the last are there.
struct curves {
  std::string aircraft;                        ///< name of the layout
  std::vector<milliseconds> at;                ///< the times of the rows, rising
  std::vector<milliseconds> steps;             ///< when each step of the lesson began, as far as it was played
  std::vector<recorded_quantity> quantities;   ///< only those that were known at some time
  std::vector<recorded_state> states;          ///< components in the order of the layout, then alerts as they came
};

/// "port pressure", "port status", "alert circuit-low port".
[[nodiscard]] PENSTOCK_API std::string name_of(const recorded_quantity& of);
[[nodiscard]] PENSTOCK_API std::string name_of(const recorded_state& of);

/// Records while a lesson is played. Samples each 10 ms of a short lesson, each 100 ms of a long one, and on both
/// sides of everything that happens. What it holds is bounded: of a longer record it keeps, in each piece of time,
/// the rows with the least and greatest of every quantity, and those where a state changes.
class curve_recorder : public lesson_audience {
 public:
  /// Kept at most; while it records, twice as many.
  static constexpr std::size_t most_rows = 4000;

  /// The lesson must outlive the recorder. `until`: as it will be played.
  PENSTOCK_API explicit curve_recorder(const lesson& what, std::optional<milliseconds> until = {});
  PENSTOCK_API ~curve_recorder() override;
  curve_recorder(const curve_recorder&) = delete;
  curve_recorder& operator=(const curve_recorder&) = delete;

  PENSTOCK_API void step_begins(const lesson_step& step, const simulation& playing) override;
  PENSTOCK_API void happened(const simulation::frame& frame) override;
  [[nodiscard]] PENSTOCK_API milliseconds sampling() const override;
  [[nodiscard]] PENSTOCK_API bool samples_edges() const override;
  PENSTOCK_API void sampled(const simulation& playing) override;

  /// What was recorded; the recorder is empty afterwards.
  [[nodiscard]] PENSTOCK_API curves taken();

 private:
  struct content;
  std::unique_ptr<content> content_;
};

/// Comma-separated values (RFC 4180): a header with units, then a line for each row. Times in seconds, states as words,
/// fields of unknown quantities empty. The digits behind the point are fixed for each unit.
[[nodiscard]] PENSTOCK_API std::string csv_of(const curves& of);
/// A value change dump (IEEE 1364): one scope for each component, quantities as real, states as numbers whose words
/// stand in comments. The same values as in `csv_of`.
[[nodiscard]] PENSTOCK_API std::string vcd_of(const curves& of);
/// One self-contained SVG picture, as wide as A4 across. `of` is a record of this lesson.
[[nodiscard]] PENSTOCK_API std::string svg_of(const lesson& what, const curves& of);

}  // namespace penstock::inline v1
