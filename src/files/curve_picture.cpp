// Curves as a picture. From top to bottom: the steps as numbers, quantities as curves, states as bars with their word,
// alerts as bars with their class, then what the lesson says at each step. All on one axis of time, on which
// long times without news are drawn short.
//
// Nothing is told by colour alone: curves differ by dash, marker and label, bars by their foot and their word.
#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <optional>
#include <set>
#include <string>
#include <tuple>
#include <utility>
#include <vector>

#include "files/fixed_text.hpp"
#include "files/picture.hpp"
#include "penstock/curves.hpp"
#include "penstock/event_text.hpp"

namespace penstock::inline v1 {

namespace {

using namespace files;

// In points. The width leaves A4 across a margin of 7 mm on both sides.
constexpr double page_width = 800.0;
constexpr double margin = 12.0;
constexpr double plot_left = 122.0;
constexpr double plot_right = 676.0;
constexpr double plot_width = plot_right - plot_left;
constexpr double small_type = 7.0;
constexpr double type = 7.5;
constexpr double line_height = 9.5;

// Dark inks of different lightness; none that instruments use for a state.
constexpr std::string_view grid_look = "stroke=\"#d4d4de\" stroke-width=\"0.5\"";
constexpr std::string_view frame_look = "fill=\"none\" stroke=\"#5a5a6a\" stroke-width=\"0.6\"";
constexpr std::string_view leader_look = "stroke=\"#8a8a9a\" stroke-width=\"0.5\"";
constexpr std::string_view step_look = "stroke=\"#8a8a9a\" stroke-width=\"0.5\" stroke-dasharray=\"1 2\"";
constexpr std::string_view bold = "font-weight=\"bold\"";

// No patterns: printing turns each area that is filled with one into a large bitmap.
constexpr std::string_view quiet_look = "fill=\"none\" stroke=\"#b9b9c8\" stroke-width=\"0.7\"";
constexpr double quiet_distance = 12.0;
constexpr std::string_view hatched_look = "stroke=\"#1c1c28\" stroke-width=\"2.2\" stroke-dasharray=\"1.2 1.8\"";
constexpr std::string_view dotted_look = "stroke=\"#1c1c28\" stroke-width=\"1.2\" stroke-dasharray=\"1.2 2.8\"";

struct ink {
  std::string_view colour;
  std::string_view dash;
};
constexpr std::array<ink, 4> inks{{{"#16325c", ""},
                                   {"#7a3b8f", "7 3"},
                                   {"#3f78b5", "2 2.2"},
                                   {"#6a6a76", "9 2.5 2 2.5"}}};

std::string stroke_of(std::size_t style, double width) {
  const ink& with = inks[style % inks.size()];
  std::string look = "stroke=\"" + std::string{with.colour} + "\" stroke-width=\"" + fixed_text(width, 1) + '"';
  if (!with.dash.empty()) look += " stroke-dasharray=\"" + std::string{with.dash} + '"';
  return look;
}

// ---- Bars ----

enum class look : std::uint8_t { none, rest, work, held, status, advisory, caution, warning, inhibited };

struct segment {
  milliseconds from;
  milliseconds to;
  std::string word;
  look how;
};

/// The states of one thing over time, one after the other.
struct strip {
  std::string label;
  std::vector<segment> segments;
};

struct state_word {
  std::string word;
  look how;
};

strip strip_of(const curves& of, std::string label, const std::function<state_word(std::size_t)>& told) {
  strip made{std::move(label), {}};
  for (std::size_t row = 0; row < of.at.size(); ++row) {
    state_word now = told(row);
    if (made.segments.empty() || made.segments.back().word != now.word || made.segments.back().how != now.how) {
      if (!made.segments.empty()) made.segments.back().to = of.at[row];
      made.segments.push_back({of.at[row], of.at[row], std::move(now.word), now.how});
    } else {
      made.segments.back().to = of.at[row];
    }
  }
  return made;
}

look look_of(std::string_view word) {
  constexpr auto working = std::to_array<std::string_view>(
      {"normal", "partial", "delivering", "deployed", "asking", "connected", "pending", "running", "at-idle",
       "cranking", "air"});
  constexpr auto kept = std::to_array<std::string_view>(
      {"low", "failed", "overheat", "dry", "no-supply", "no-power", "inhibited", "blocked", "timed-out",
       "interrupted"});
  if (std::ranges::find(working, word) != working.end()) return look::work;
  return std::ranges::find(kept, word) != kept.end() ? look::held : look::rest;
}

state_word with_look(std::string_view word) { return {std::string{word}, look_of(word)}; }

look look_of_alert(std::string_view word) {
  if (word == "warning") return look::warning;
  if (word == "caution") return look::caution;
  if (word == "advisory") return look::advisory;
  if (word == "status") return look::status;
  return word == "inhibited" ? look::inhibited : look::none;
}

struct group {
  std::string heading;
  std::vector<strip> strips;
  std::string_view when_empty;
};

class strip_maker {
 public:
  strip_maker(const lesson& what, const curves& of) : spec_{what.aircraft.spec()}, of_{of} {}

  std::vector<group> groups() const {
    std::vector<group> all;
    all.push_back({"Circuits", each_of(component::circuit, "status", [this](const recorded_state& status) {
                     const recorded_state* service = beside(status, "service");
                     return [&status, service](std::size_t row) {
                       state_word now = with_look(status.word_at(row));
                       const auto mode = service != nullptr ? service->word_at(row) : "none";
                       if (mode != "none") now.word += ", " + std::string{mode};
                       return now;
                     };
                   }), {}});
    group pumps{"Pumps", plain(component::engine_pump, "reason"), {}};
    append(pumps.strips, plain(component::electric_pump, "reason"));
    append(pumps.strips, plain(component::ram_air_pump, "mode"));
    all.push_back(std::move(pumps));
    all.push_back(units());
    all.push_back({"Cargo doors", each_of(component::cargo_door, "mode", [this](const recorded_state& mode) {
                     const recorded_state* travel = beside(mode, "travel");
                     return [&mode, travel](std::size_t row) {
                       // A door at rest is told by where it is.
                       const bool idle = mode.word_at(row) == "idle" && travel != nullptr;
                       return with_look(idle ? travel->word_at(row) : mode.word_at(row));
                     };
                   }), {}});
    all.push_back({"Engines", plain(component::engine, "mode"), {}});
    group aircraft{"Aircraft", {}, {}};
    for (const auto& [kind, attribute, label] :
         {std::tuple{component::aircraft, "place", "ground or air"},
          std::tuple{component::aircraft, "gear", "gear lever"},
          std::tuple{component::aircraft, "parking-brake", "parking brake"},
          std::tuple{component::steering, "link", "steering"}}) {
      for (strip& each : plain(kind, attribute)) {
        each.label = label;
        if (each.segments.size() > 1) aircraft.strips.push_back(std::move(each));
      }
    }
    all.push_back(std::move(aircraft));
    std::erase_if(all, [](const group& each) { return each.strips.empty(); });
    all.push_back({"Alerts", alerts(), "none in this lesson"});
    return all;
  }

 private:
  static void append(std::vector<strip>& to, std::vector<strip> more) {
    for (strip& each : more) to.push_back(std::move(each));
  }

  [[nodiscard]] const recorded_state* beside(const recorded_state& of, std::string_view attribute) const {
    const auto found = std::ranges::find_if(of_.states, [&](const recorded_state& each) {
      return !each.alert && each.about == of.about && each.attribute == attribute;
    });
    return found == of_.states.end() ? nullptr : &*found;
  }

  template <class Telling>
  [[nodiscard]] std::vector<strip> each_of(component kind, std::string_view attribute, Telling telling) const {
    std::vector<strip> made;
    for (const recorded_state& each : of_.states) {
      if (each.alert || each.about.kind != kind || each.attribute != attribute) continue;
      made.push_back(strip_of(of_, each.component, telling(each)));
    }
    return made;
  }

  [[nodiscard]] std::vector<strip> plain(component kind, std::string_view attribute) const {
    return each_of(kind, attribute, [](const recorded_state& each) {
      return [&each](std::size_t row) { return with_look(each.word_at(row)); };
    });
  }

  [[nodiscard]] group units() const {
    group made{"Transfer units", {}, {}};
    for (const recorded_state& mode : of_.states) {
      if (mode.alert || mode.about.kind != component::transfer_unit || mode.attribute != "mode") continue;
      const transfer_unit_spec& unit = spec_.transfer_units[mode.about.index];
      const recorded_state* reason = beside(mode, "reason");
      made.strips.push_back(strip_of(of_, mode.component, [&](std::size_t row) -> state_word {
        const std::string_view word = mode.word_at(row);
        if (word == "a-drives-b") return {unit.a + " drives " + unit.b, look::work};
        if (word == "b-drives-a") return {unit.b + " drives " + unit.a, look::work};
        state_word now = with_look(word);
        if (word == "inhibited" && reason != nullptr) now.word += ": " + std::string{reason->word_at(row)};
        return now;
      }));
      const recorded_state* outcome = beside(mode, "test-outcome");
      if (outcome == nullptr) continue;
      strip test = strip_of(of_, mode.component + " test", [outcome](std::size_t row) -> state_word {
        const std::string_view word = outcome->word_at(row);
        return word == "none" ? state_word{{}, look::none} : with_look(word);
      });
      if (test.segments.size() > 1) made.strips.push_back(std::move(test));
    }
    return made;
  }

  [[nodiscard]] std::vector<strip> alerts() const {
    std::vector<strip> made;
    for (const recorded_state& each : of_.states) {
      if (!each.alert) continue;
      made.push_back(strip_of(of_, name_of(each).substr(std::string_view{"alert "}.size()), [&](std::size_t row) {
        const look how = look_of_alert(each.word_at(row));
        return state_word{how == look::none ? std::string{} : std::string{each.word_at(row)}, how};
      }));
    }
    return made;
  }

  const layout_spec& spec_;
  const curves& of_;
};

// ---- Panels ----

struct drawn_curve {
  const recorded_quantity* of;
  std::size_t style;
};
struct level_mark {
  double value;
  std::string label;
  std::size_t style;
};
struct panel {
  std::string title;
  std::vector<drawn_curve> drawn;
  std::vector<level_mark> marks;
  double low;
  double high;
  double height;
  bool drifts = false;  ///< moves all the time: that is no news
};

struct extent {
  double least;
  double greatest;
};
std::optional<extent> extent_of(const recorded_quantity& of) {
  std::optional<extent> found;
  for (const std::optional<double>& value : of.values) {
    if (!value) continue;
    if (!found) found = extent{*value, *value};
    found->least = std::min(found->least, *value);
    found->greatest = std::max(found->greatest, *value);
  }
  return found;
}

/// 1, 2 or 5 times a power of ten: the least of them that is not below `value`.
double round_step(double value) {
  double power = 1.0;
  while (power > value) power /= 10.0;
  while (power * 10.0 <= value) power *= 10.0;
  for (const double factor : {1.0, 2.0, 5.0}) {
    if (factor * power >= value) return factor * power;
  }
  return 10.0 * power;
}

class panel_maker {
 public:
  panel_maker(const lesson& what, const curves& of) : spec_{what.aircraft.spec()}, of_{of} {}

  std::vector<panel> panels() const {
    std::vector<panel> all;
    add(all, "Pressure behind the pumps, psi", {{component::circuit, reading_kind::pressure}}, 92.0,
        extent{0.0, in_psi(spec_.nominal)});
    panel reservoirs = with("Content of the reservoirs, L", {{component::circuit, reading_kind::quantity}}, 92.0);
    for (const drawn_curve& each : reservoirs.drawn) {
      const double mark = in_litres(spec_.circuits[each.of->about.index].low_mark);
      reservoirs.marks.push_back({mark, "low mark " + each.of->component, each.style});
    }
    finish(all, std::move(reservoirs), extent{0.0, 0.0});
    panel warmth = with("Temperature of the fluid, degC", {{component::circuit, reading_kind::temperature}}, 60.0);
    warmth.drifts = true;
    if (moves_by(warmth, 2.0)) finish(all, std::move(warmth), {});
    panel stores = with("Pressure in the accumulators, psi", {{component::store, reading_kind::pressure}}, 60.0);
    if (moves_by(stores, 50.0)) finish(all, std::move(stores), extent{0.0, 0.0});
    panel positions = with("Position of doors (100: open) and gear (100: retracted), %",
                           {{component::cargo_door, reading_kind::position},
                            {component::consumer, reading_kind::position}},
                           60.0);
    std::erase_if(positions.drawn, [](const drawn_curve& each) { return !moves(*each.of, 0.5); });
    finish(all, std::move(positions), extent{0.0, 100.0});
    add(all, "Engine speed, % of idle", {{component::engine, reading_kind::speed}}, 60.0, extent{0.0, 100.0});
    return all;
  }

 private:
  using source = std::pair<component, reading_kind>;

  [[nodiscard]] panel with(std::string title, const std::vector<source>& from, double height) const {
    panel made{std::move(title), {}, {}, 0.0, 0.0, height};
    for (const auto& [kind, what] : from) {
      for (const recorded_quantity& each : of_.quantities) {
        if (each.about.kind == kind && each.what == what) made.drawn.push_back({&each, made.drawn.size()});
      }
    }
    return made;
  }

  void add(std::vector<panel>& all, std::string title, const std::vector<source>& from, double height,
           std::optional<extent> at_least) const {
    finish(all, with(std::move(title), from, height), at_least);
  }

  static bool moves(const recorded_quantity& of, double by) {
    const auto found = extent_of(of);
    return found && found->greatest - found->least >= by;
  }
  static bool moves_by(const panel& of, double by) {
    return std::ranges::any_of(of.drawn, [by](const drawn_curve& each) { return moves(*each.of, by); });
  }

  static void finish(std::vector<panel>& all, panel made, std::optional<extent> at_least) {
    if (made.drawn.empty()) return;
    std::optional<extent> range = at_least;
    const auto take = [&range](double least, double greatest) {
      if (!range) range = extent{least, greatest};
      range->least = std::min(range->least, least);
      range->greatest = std::max(range->greatest, greatest);
    };
    for (const drawn_curve& each : made.drawn) {
      if (const auto found = extent_of(*each.of)) take(found->least, found->greatest);
    }
    for (const level_mark& each : made.marks) take(each.value, each.value);
    // A little air above the highest value, so that a curve does not run on the frame.
    const double span = std::max(range->greatest - range->least, 1e-3);
    made.low = range->least;
    made.high = range->greatest + 0.06 * span;
    made.height = std::max(made.height, line_height * static_cast<double>(made.drawn.size() + made.marks.size()) + 4.0);
    all.push_back(std::move(made));
  }

  const layout_spec& spec_;
  const curves& of_;
};

// ---- Time ----

std::string clock_of(milliseconds t, bool tenths) {
  const auto two = [](milliseconds::rep n) { return (n < 10 ? "0" : "") + std::to_string(n); };
  const milliseconds::rep s = t.count() / 1000;
  std::string text = s < 3600 ? std::to_string(s / 60) : std::to_string(s / 3600) + ':' + two(s / 60 % 60);
  text += ':' + two(s % 60);
  if (tenths) text += '.' + std::to_string(t.count() / 100 % 10);
  return text;
}

std::string length_of(milliseconds t) {
  const milliseconds::rep s = (t.count() + 500) / 1000;
  if (s < 100) return std::to_string(s) + " s";
  const milliseconds::rep min = (s + 30) / 60;
  return min < 100 ? std::to_string(min) + " min" : fixed_text(static_cast<double>(min) / 60.0, 1) + " h";
}

/// From time to place. Long quiet pieces have a short width of their own.
class time_axis {
 public:
  struct piece {
    milliseconds from;
    milliseconds to;
    bool quiet;
    double left = 0.0;
    double right = 0.0;
  };

  /// `quiet`: pieces of [begin, end] in which nothing can be seen to happen, in order.
  time_axis(milliseconds begin, milliseconds end, const std::vector<std::pair<milliseconds, milliseconds>>& quiet) {
    std::vector<bool> drawn_short(quiet.size(), false);
    double busy = static_cast<double>((end - begin).count());
    std::size_t shorts = 0;
    for (bool again = true; again;) {
      again = false;
      for (std::size_t i = 0; i < quiet.size(); ++i) {
        const auto span = static_cast<double>((quiet[i].second - quiet[i].first).count());
        const bool worth_it = span * scale(busy, shorts) > 2.5 * short_width;
        if (drawn_short[i] || !worth_it || static_cast<double>(shorts + 1) * short_width > 0.45 * plot_width) continue;
        drawn_short[i] = again = true;
        busy -= span;
        ++shorts;
      }
    }
    scale_ = scale(busy, shorts);
    milliseconds from = begin;
    for (std::size_t i = 0; i < quiet.size(); ++i) {
      if (!drawn_short[i]) continue;
      pieces_.push_back({from, quiet[i].first, false});
      pieces_.push_back({quiet[i].first, quiet[i].second, true});
      from = quiet[i].second;
    }
    pieces_.push_back({from, end, false});
    double x = plot_left;
    for (piece& each : pieces_) {
      each.left = x;
      x += each.quiet ? short_width : scale_ * static_cast<double>((each.to - each.from).count());
      each.right = x;
    }
  }

  [[nodiscard]] double x(milliseconds t) const {
    for (const piece& each : pieces_) {
      if (t > each.to && &each != &pieces_.back()) continue;
      const auto span = static_cast<double>((each.to - each.from).count());
      if (span <= 0.0) return each.left;
      const double share = static_cast<double>((t - each.from).count()) / span;
      return each.left + std::clamp(share, 0.0, 1.0) * (each.right - each.left);
    }
    return plot_right;
  }

  [[nodiscard]] const std::vector<piece>& pieces() const { return pieces_; }
  [[nodiscard]] bool has_quiet() const { return pieces_.size() > 1; }
  [[nodiscard]] double points_in(milliseconds t) const { return scale_ * static_cast<double>(t.count()); }

 private:
  static constexpr double short_width = 38.0;
  static double scale(double busy, std::size_t shorts) {
    return (plot_width - static_cast<double>(shorts) * short_width) / std::max(busy, 1.0);
  }

  std::vector<piece> pieces_;
  double scale_ = 0.0;
};

// ---- The whole ----

class curve_sheet {
 public:
  curve_sheet(const lesson& what, const curves& of)
      : what_{what},
        of_{of},
        begin_{of.at.empty() ? milliseconds{0} : of.at.front()},
        end_{of.at.empty() ? what.end : of.at.back()},
        panels_{panel_maker{what, of}.panels()},
        groups_{strip_maker{what, of}.groups()},
        // A lesson without length still has an axis.
        axis_{begin_, std::max(end_, begin_ + milliseconds{1000}), quiet_pieces()} {
    // A step that waits begins when it can: only the record knows when.
    for (std::size_t i = 0; i < std::min(of.steps.size(), what.steps.size()); ++i) {
      steps_.push_back({of.steps[i], &what.steps[i]});
    }
  }

  std::string drawn() {
    heading();
    sheet_.may_be_cut(y_);  // what is between this and the next belongs above each piece
    step_numbers();
    times(y_ + 8.0);
    y_ += 12.0;
    sheet_.may_be_cut(y_);
    const double top = y_;
    const double bottom = top + height_of_tracks();
    behind_the_tracks(top, bottom);
    for (const panel& each : panels_) {
      curves_in(each);
      sheet_.may_be_cut(y_);
    }
    if (of_.quantities.empty()) {
      text_on_white({plot_left, y_ + 9.0}, type,
                    "No quantities: this lesson is played without a plant, so there are only states.");
      y_ += no_quantities_height;
    }
    for (const group& each : groups_) {
      bars_in(each);
      sheet_.may_be_cut(y_);
    }
    times(y_ + 8.0);
    y_ += 16.0;
    explain_looks();
    sheet_.may_be_cut(y_);
    step_words();
    const std::string title = what_.title.empty() ? what_.name : what_.title;
    return sheet_.written(page_width, y_ + margin, title, notice);
  }

 private:
  static constexpr const char* notice = "Invented data, for training only; not approved data.";
  static constexpr double no_quantities_height = 16.0;
  static constexpr double title_height = 13.0;
  static constexpr double panel_gap = 5.0;
  static constexpr double bar_height = 11.5;
  static constexpr double heading_height = 11.0;
  static constexpr double leader_height = 3.0;
  static constexpr std::size_t most_lines_of_words = 2;

  struct played_step {
    milliseconds at;
    const lesson_step* what;
  };

  // -- time without news

  [[nodiscard]] std::vector<std::pair<milliseconds, milliseconds>> quiet_pieces() const {
    std::set<milliseconds> news{begin_, end_};
    news.insert(of_.steps.begin(), of_.steps.end());
    for (const group& many : groups_) {
      for (const strip& each : many.strips) {
        for (const segment& one : each.segments) news.insert(one.from);
      }
    }
    std::vector<std::pair<milliseconds, milliseconds>> quiet;
    for (auto to = std::next(news.begin()); to != news.end(); ++to) {
      const milliseconds still = still_since(*std::prev(to), *to);
      constexpr milliseconds most_margin{4000};
      const milliseconds around = std::min((*to - still) / 8, most_margin);
      if (*to - still >= milliseconds{10'000}) quiet.emplace_back(still + around, *to - around);
    }
    return quiet;
  }

  // Since when all curves have stayed where they are just before `to`.
  [[nodiscard]] milliseconds still_since(milliseconds from, milliseconds to) const {
    const auto first = static_cast<std::size_t>(std::ranges::lower_bound(of_.at, from) - of_.at.begin());
    const auto end = static_cast<std::size_t>(std::ranges::lower_bound(of_.at, to) - of_.at.begin());
    milliseconds since = from;
    for (const panel& many : panels_) {
      if (many.drifts) continue;
      const double tolerance = 0.02 * (many.high - many.low);
      for (const drawn_curve& each : many.drawn) {
        const auto& values = each.of->values;
        if (end <= first || !values[end - 1]) continue;
        for (std::size_t i = end; i-- > first;) {
          if (values[i] && std::abs(*values[i] - *values[end - 1]) <= tolerance) continue;
          since = std::max(since, of_.at[i]);
          break;
        }
      }
    }
    return since;
  }

  // -- top and bottom

  void heading() {
    const layout_spec& spec = what_.aircraft.spec();
    const double width = page_width - 2 * margin;
    const std::string title = what_.title.empty() ? what_.name : what_.title;
    y_ = margin + 11.0;
    sheet_.text({margin, y_}, 13.0, anchor::start, shortened(title, 13.0, width * 0.96), bold);
    y_ += 13.0;
    const std::string about = (spec.title.empty() ? spec.name : spec.title) + "   (" + spec.name + "), lesson " +
                              what_.name + ", " + clock_of(begin_, false) + " to " + clock_of(end_, false);
    sheet_.text({margin, y_}, 8.5, anchor::start, shortened(about, 8.5, width));
    y_ += 11.5;
    sheet_.text({margin, y_}, 8.5, anchor::start, notice, bold);
    y_ += 8.0;
  }

  void step_numbers() {
    if (steps_.empty()) return;
    constexpr double width = 16.0;
    constexpr double row_height = 15.0;
    constexpr double radius = 6.7;
    const auto rows = static_cast<std::size_t>(
        std::ceil(static_cast<double>(steps_.size()) * width / (plot_width + 2 * width)));
    std::vector<point> places(steps_.size());
    for (std::size_t row = 0; row < rows; ++row) {
      std::vector<wish> wishes;
      for (std::size_t i = row; i < steps_.size(); i += rows) wishes.push_back({axis_.x(steps_[i].at), width});
      const std::vector<double> found = spread(wishes, plot_left - width, plot_right + width, 0.0);
      for (std::size_t k = 0; k < found.size(); ++k) {
        places[row + k * rows] = {found[k], y_ + row_height * static_cast<double>(row) + radius};
      }
    }
    const double end = y_ + row_height * static_cast<double>(rows) + 6.0;
    sheet_.text({margin, places.front().y + 2.5}, type, anchor::start, "Steps", bold);
    for (std::size_t i = 0; i < steps_.size(); ++i) sheet_.line(places[i], {axis_.x(steps_[i].at), end}, leader_look);
    for (std::size_t i = 0; i < steps_.size(); ++i) {
      sheet_.circle(places[i], radius, "fill=\"#ffffff\" stroke=\"#1c1c28\" stroke-width=\"0.7\"");
      sheet_.text({places[i].x, places[i].y + 2.5}, small_type, anchor::middle, std::to_string(i + 1));
    }
    y_ = end;
  }

  void times(double base) {
    constexpr auto steps = std::to_array<milliseconds::rep>(
        {100, 200, 500, 1000, 2000, 5000, 10'000, 15'000, 30'000, 60'000, 120'000, 300'000, 600'000, 900'000, 1'800'000,
         3'600'000, 7'200'000, 10'800'000, 21'600'000});
    std::vector<extent> taken;
    const auto is_free = [&taken](double left, double right) {
      return std::ranges::none_of(taken, [&](extent e) { return left < e.greatest + 3.0 && right > e.least - 3.0; });
    };
    const auto write = [&](double x, const std::string& words, std::string_view how) {
      const double half = text_width(words, small_type) / 2;
      if (!is_free(x - half, x + half)) return false;
      taken.push_back({x - half, x + half});
      sheet_.text({x, base}, small_type, anchor::middle, words, how);
      return true;
    };
    sheet_.text({margin, base}, small_type, anchor::start, "Time, min:s");
    for (const time_axis::piece& each : axis_.pieces()) {
      if (!each.quiet) continue;
      write((each.left + each.right) / 2, '~' + length_of(each.to - each.from), "font-style=\"italic\"");
    }
    auto step = std::ranges::find_if(steps, [this](auto ms) { return axis_.points_in(milliseconds{ms}) >= 36.0; });
    if (step == steps.end()) --step;
    ticks_.clear();
    for (const time_axis::piece& each : axis_.pieces()) {
      if (each.quiet) continue;
      // A short piece between two quiet ones gets its time as well, if there is room for one.
      for (auto finer = step;; --finer) {
        bool any = false;
        const milliseconds::rep first = (each.from.count() + *finer - 1) / *finer;
        for (milliseconds::rep n = first; n * *finer <= each.to.count(); ++n) {
          const milliseconds at{n * *finer};
          if (write(axis_.x(at), clock_of(at, *finer < 1000), {})) {
            ticks_.push_back(axis_.x(at));
            any = true;
          }
          if (any && finer != step) break;
        }
        if (any || finer == steps.begin() || *finer <= 1000) break;
      }
    }
  }

  [[nodiscard]] double height_of_tracks() const {
    double height = of_.quantities.empty() ? no_quantities_height : 0.0;
    for (const panel& each : panels_) height += title_height + each.height + panel_gap;
    for (const group& many : groups_) {
      height += heading_height + (many.strips.empty() ? line_height : 0.0);
      for (const strip& each : many.strips) height += height_of(each);
    }
    return height;
  }

  void behind_the_tracks(double top, double bottom) {
    for (const time_axis::piece& each : axis_.pieces()) {
      if (each.quiet) sheet_.hatch({each.left, top}, {each.right, bottom}, quiet_distance, quiet_look);
    }
    for (const double x : ticks_) sheet_.line({x, top}, {x, bottom}, grid_look);
    for (const played_step& each : steps_) {
      const double x = axis_.x(each.at);
      sheet_.line({x, top}, {x, bottom}, step_look);
    }
  }

  // -- curves

  void curves_in(const panel& of) {
    sheet_.text({plot_left, y_ + 9.5}, type, anchor::start, of.title, bold);
    const double top = y_ + title_height;
    const double bottom = top + of.height;
    const auto y_of = [&](double value) {
      return bottom - (std::clamp(value, of.low, of.high) - of.low) / (of.high - of.low) * of.height;
    };
    const double step = round_step((of.high - of.low) / std::max(2.0, of.height / 20.0));
    const int digits = step < 0.1 ? 2 : step < 1.0 ? 1 : 0;
    const auto first_tick = static_cast<long>(std::ceil(of.low / step));
    for (long n = first_tick; static_cast<double>(n) * step <= of.high; ++n) {
      const double value = static_cast<double>(n) * step;
      const double y = y_of(value);
      sheet_.line({plot_left, y}, {plot_right, y}, grid_look);
      sheet_.text({plot_left - 4.0, y + 2.4}, small_type, anchor::end, fixed_text(value, digits));
    }
    sheet_.box(plot_left, top, plot_width, of.height, frame_look);
    for (const level_mark& each : of.marks) {
      sheet_.line({plot_left, y_of(each.value)}, {plot_right, y_of(each.value)}, stroke_of(each.style, 0.5));
    }
    struct label {
      double y;
      std::string words;
      std::size_t style;
      bool is_mark;
    };
    std::vector<label> labels;
    for (const drawn_curve& each : of.drawn) {
      const std::optional<double> last = curve(each, y_of);
      labels.push_back({y_of(last.value_or(of.low)), each.of->component, each.style, false});
    }
    for (const level_mark& each : of.marks) labels.push_back({y_of(each.value), each.label, each.style, true});
    // Curves before marks where both stand at one height. (g++ 12's stable sort is deprecated under clang.)
    std::ranges::sort(labels, [](const label& one, const label& other) {
      return std::tie(one.y, one.is_mark, one.style, one.words) <
             std::tie(other.y, other.is_mark, other.style, other.words);
    });
    std::vector<wish> wishes;
    for (const label& each : labels) wishes.push_back({each.y, line_height});
    const std::vector<double> places = spread(wishes, top, bottom, 0.0);
    constexpr double sample_left = plot_right + 9.0;
    constexpr double sample_right = sample_left + 22.0;
    for (std::size_t i = 0; i < labels.size(); ++i) {
      const double y = places[i];
      sheet_.line({plot_right, labels[i].y}, {sample_left - 1.0, y}, leader_look);
      sheet_.line({sample_left, y}, {sample_right, y}, stroke_of(labels[i].style, labels[i].is_mark ? 0.5 : 1.3));
      if (!labels[i].is_mark) marker({(sample_left + sample_right) / 2, y}, labels[i].style);
      sheet_.text({sample_right + 3.0, y + 2.4}, small_type, anchor::start,
                  shortened(labels[i].words, small_type, page_width - margin - sample_right - 3.0));
    }
    y_ = bottom + panel_gap;
  }

  // Draws one curve; tells its last known value.
  template <class Place>
  std::optional<double> curve(const drawn_curve& of, const Place& y_of) {
    const auto& values = of.of->values;
    std::vector<point> run;
    std::optional<double> last;
    const auto end_run = [&] {
      if (run.size() > 1) sheet_.path_through(run, stroke_of(of.style, 1.3) + " stroke-linejoin=\"round\"");
      run.clear();
    };
    // Markers stand at places of their own for each style, so that curves that lie on one another show all of them.
    constexpr double marker_distance = 76.0;
    const double first_marker = plot_left + 12.0 + marker_distance / 4.0 * static_cast<double>(of.style % inks.size());
    unsigned placed = 0;
    const auto next_marker = [&] { return first_marker + marker_distance * placed; };
    std::vector<point> markers;
    for (std::size_t row = 0; row < values.size(); ++row) {
      if (!values[row]) {
        end_run();
        continue;
      }
      last = values[row];
      const point here{axis_.x(of_.at[row]), y_of(*last)};
      if (!run.empty()) {
        for (; next_marker() <= here.x; ++placed) {
          const double share = here.x > run.back().x ? (next_marker() - run.back().x) / (here.x - run.back().x) : 1.0;
          if (share >= 0.0) markers.push_back({next_marker(), run.back().y + share * (here.y - run.back().y)});
        }
      }
      add_point(run, here);
    }
    end_run();
    for (const point each : markers) marker(each, of.style);
    return last;
  }

  // Leaves out points that the eye cannot tell from their neighbours; never a peak.
  static void add_point(std::vector<point>& run, point next) {
    constexpr double fine = 0.05;
    if (run.size() >= 2) {
      const point a = run[run.size() - 2];
      const point b = run.back();
      const bool level = std::abs(a.y - b.y) < fine && std::abs(b.y - next.y) < fine;
      const bool upright = std::abs(a.x - b.x) < fine && std::abs(b.x - next.x) < fine &&
                           (b.y - a.y) * (next.y - b.y) >= 0.0;
      if (level || upright) run.pop_back();
    }
    run.push_back(next);
  }

  void marker(point at, std::size_t style) {
    const std::string look = "fill=\"#ffffff\" stroke=\"" + std::string{inks[style % inks.size()].colour} +
                             "\" stroke-width=\"1\"";
    constexpr double r = 2.3;
    switch ((style + style / inks.size()) % 4) {
      case 0: sheet_.circle(at, r, look); break;
      case 1: sheet_.box(at.x - r, at.y - r, 2 * r, 2 * r, look); break;
      case 2:
        sheet_.area({{at.x, at.y - 1.3 * r}, {at.x + 1.3 * r, at.y + r}, {at.x - 1.3 * r, at.y + r}}, look);
        break;
      default:
        sheet_.area({{at.x, at.y - 1.4 * r}, {at.x + 1.4 * r, at.y}, {at.x, at.y + 1.4 * r}, {at.x - 1.4 * r, at.y}},
                    look);
    }
  }

  // -- bars

  [[nodiscard]] bool fits(const segment& of) const {
    const double shape = of.how >= look::status && of.how <= look::warning ? 8.0 : 0.0;
    return text_width(of.word, small_type) + 6.0 + shape <= axis_.x(of.to) - axis_.x(of.from);
  }

  struct placed_word {
    const segment* of;
    double x;       ///< its middle
    double width;
    std::size_t line;
  };

  // The words that do not fit into their segments, each near its own; where there are too many, those of the longest.
  [[nodiscard]] std::vector<placed_word> words_below(const strip& of) const {
    std::vector<const segment*> outside;
    for (const segment& each : of.segments) {
      if (each.how != look::none && !fits(each)) outside.push_back(&each);
    }
    while (true) {
      std::vector<placed_word> placed = placed_in_lines(outside, 1);
      if (!are_near(placed)) placed = placed_in_lines(outside, most_lines_of_words);
      if (are_near(placed)) return placed;
      const auto time_of = [](const segment* each) { return each->to - each->from; };
      outside.erase(std::ranges::min_element(outside, {}, time_of));
    }
  }

  [[nodiscard]] std::vector<placed_word> placed_in_lines(const std::vector<const segment*>& words,
                                                         std::size_t lines) const {
    std::vector<placed_word> placed;
    for (std::size_t line = 0; line < lines; ++line) {
      std::vector<wish> wishes;
      for (std::size_t i = line; i < words.size(); i += lines) {
        wishes.push_back({middle_of(*words[i]), text_width(words[i]->word, small_type)});
      }
      const std::vector<double> found = spread(wishes, plot_left, plot_right, word_gap);
      for (std::size_t k = 0; k < found.size(); ++k) {
        placed.push_back({words[line + k * lines], found[k], wishes[k].width, line});
      }
    }
    return placed;
  }

  [[nodiscard]] bool are_near(const std::vector<placed_word>& placed) const {
    constexpr double far = 45.0;
    return std::ranges::all_of(placed, [&](const placed_word& each) {
      return std::abs(each.x - middle_of(*each.of)) <= far && each.x + each.width / 2 <= plot_right + 1.0;
    });
  }

  [[nodiscard]] double height_of(const strip& of) const {
    const std::vector<placed_word> words = words_below(of);
    const double lines = words.empty() ? 0.0 : static_cast<double>(words.back().line + 1);
    const double below = lines > 0.0 ? leader_height + lines * line_height : 0.0;
    const double of_label = line_height * static_cast<double>(label_lines(of).size());
    return std::max(bar_height + below, of_label) + 2.0;
  }

  static std::vector<std::string> label_lines(const strip& of) {
    return wrapped(of.label, small_type, plot_left - margin - 12.0, 2);
  }

  void bars_in(const group& of) {
    sheet_.text({margin, y_ + 8.5}, type, anchor::start, of.heading, bold);
    y_ += heading_height;
    if (of.strips.empty()) {
      text_on_white({plot_left + 4.0, y_ - 2.5}, small_type, of.when_empty);
      y_ += line_height;
    }
    for (const strip& each : of.strips) {
      double base = y_ + 7.9;
      for (const std::string& words : label_lines(each)) {
        sheet_.text({margin + 6.0, base}, small_type, anchor::start, words);
        base += line_height;
      }
      sheet_.line({plot_left, y_ + bar_height / 2}, {plot_right, y_ + bar_height / 2}, grid_look);
      for (const segment& one : each.segments) {
        if (one.how == look::none) continue;
        const double left = axis_.x(one.from);
        const double right = axis_.x(one.to);
        bar(left, right, y_, one.how);
        if (fits(one)) bar_word(left, y_, one.word, one.how);
      }
      bar_words_below(each);
      const auto outside = std::ranges::count_if(
          each.segments, [this](const segment& one) { return one.how != look::none && !fits(one); });
      if (static_cast<std::size_t>(outside) > words_below(each).size()) words_left_out_ = true;
      y_ += height_of(each);
    }
  }

  void bar_words_below(const strip& of) {
    const std::vector<placed_word> words = words_below(of);
    const auto top_of = [this](const placed_word& each) {
      return y_ + bar_height + leader_height + static_cast<double>(each.line) * line_height;
    };
    for (const placed_word& each : words) {
      sheet_.line({middle_of(*each.of), y_ + bar_height}, {each.x, top_of(each) + 1.0}, leader_look);
    }
    for (const placed_word& each : words) {
      text_on_white({each.x - each.width / 2, top_of(each) + 7.2}, small_type, each.of->word);
    }
  }

  void text_on_white(point at, double size, std::string_view words) {
    sheet_.box(at.x, at.y - 6.4, text_width(words, size), 8.4, "fill=\"#ffffff\"");
    sheet_.text({at.x + text_width(words, size) / 2, at.y}, size, anchor::middle, words);
  }

  [[nodiscard]] double middle_of(const segment& of) const { return (axis_.x(of.from) + axis_.x(of.to)) / 2; }

  void bar(double left, double right, double y, look how) {
    const double width = std::max(right - left, 0.8);
    const bool working = how == look::work;
    std::string look_of_box = working ? "fill=\"#e3e6f1\"" : "fill=\"#ffffff\"";
    look_of_box += how >= look::advisory && how <= look::warning ? " stroke=\"#1c1c28\" stroke-width=\"0.9\""
                                                                 : " stroke=\"#5a5a6a\" stroke-width=\"0.5\"";
    if (how == look::inhibited) look_of_box += " stroke-dasharray=\"3 2\"";
    sheet_.box(left, y, width, bar_height, look_of_box);
    constexpr double foot = 2.2;
    const auto foot_with = [&](std::string_view fill) {
      sheet_.box(left, y + bar_height - foot, width, foot, "fill=\"" + std::string{fill} + '"');
    };
    const auto foot_of_dashes = [&](std::string_view dashes) {
      const double middle = y + bar_height - foot / 2;
      sheet_.line({left, middle}, {left + width, middle}, dashes);
    };
    if (working) foot_with("#16325c");
    if (how == look::held || how == look::caution) foot_of_dashes(hatched_look);
    if (how == look::warning) foot_with("#1c1c28");
    if (how == look::advisory) foot_of_dashes(dotted_look);
  }

  void bar_word(double left, double y, std::string_view word, look how) {
    double x = left + 3.0;
    const point centre{left + 6.0, y + 4.2};
    constexpr std::string_view full = "fill=\"#1c1c28\"";
    constexpr std::string_view hollow = "fill=\"#ffffff\" stroke=\"#1c1c28\" stroke-width=\"0.9\"";
    constexpr double r = 2.4;
    if (how == look::warning) sheet_.box(centre.x - r, centre.y - r, 2 * r, 2 * r, full);
    if (how == look::caution) {
      sheet_.area({{centre.x, centre.y - 3.0}, {centre.x + 3.0, centre.y}, {centre.x, centre.y + 3.0},
                   {centre.x - 3.0, centre.y}}, full);
    }
    if (how == look::advisory) {
      sheet_.area({{centre.x, centre.y - 2.8}, {centre.x + 2.8, centre.y + 2.2}, {centre.x - 2.8, centre.y + 2.2}},
                  hollow);
    }
    if (how == look::status) sheet_.circle(centre, r, hollow);
    if (how >= look::status && how <= look::warning) x += 8.0;
    sheet_.text({x, y + 6.9}, small_type, anchor::start, word);
  }

  // -- below

  void explain_looks() {
    struct sample {
      const char* word;
      look how;
    };
    constexpr auto samples = std::to_array<sample>({{"at rest", look::rest},
                                                    {"at work", look::work},
                                                    {"kept from work", look::held},
                                                    {"status", look::status},
                                                    {"advisory", look::advisory},
                                                    {"caution", look::caution},
                                                    {"warning", look::warning},
                                                    {"inhibited", look::inhibited}});
    double x = plot_left;
    sheet_.text({margin, y_ + 7.9}, small_type, anchor::start, "Bars", bold);
    for (const sample& each : samples) {
      const double width = text_width(each.word, small_type) + 16.0;
      bar(x, x + width, y_, each.how);
      bar_word(x, y_, each.word, each.how);
      x += width + 6.0;
    }
    y_ += bar_height + 4.0;
    if (axis_.has_quiet()) {
      sheet_.text({plot_left, y_ + 7.0}, small_type, anchor::start,
                  "Hatched: time in which nothing happens, drawn short.");
      y_ += line_height;
    }
    if (words_left_out_) {
      sheet_.text({plot_left, y_ + 7.0}, small_type, anchor::start,
                  "Where many short states follow one another, some have no word here; --csv tells them all.");
      y_ += line_height;
    }
    y_ += 8.0;
  }

  // The first sentence, with the next ones as long as it stays short; without any, what is done.
  [[nodiscard]] std::string short_words_of(const lesson_step& of) const {
    std::string words = of.say;
    const auto is_blank = [](char c) { return std::string_view{"\n\t\r"}.find(c) != std::string_view::npos; };
    std::ranges::replace_if(words, is_blank, ' ');
    constexpr std::size_t short_words = 50;
    std::size_t end = words.find(". ");
    while (end < short_words) {
      const std::size_t more = words.find(". ", end + 1);
      if (std::min(more, words.size()) > 2 * short_words) break;
      end = more;
    }
    if (end != std::string::npos) words.resize(end + 1);
    std::string all_events;
    for (std::size_t i = 0; i < of.events.size(); ++i) {
      all_events.append(i == 0 ? "" : ", ");
      all_events.append(i < of.event_words.size() ? of.event_words[i] : words_of(what_.aircraft, of.events[i]));
    }
    while (!words.empty() && words.back() == ' ') words.pop_back();
    return words.empty() ? all_events : words;
  }

  void step_words() {
    if (steps_.empty()) return;
    constexpr double gap = 18.0;
    constexpr double column = (page_width - 2 * margin - gap) / 2;
    constexpr double words_at = 60.0;
    struct entry {
      std::string number;
      std::string time;
      std::vector<std::string> lines;
    };
    std::vector<entry> entries;
    std::size_t lines = 0;
    const bool tenths = std::ranges::any_of(steps_, [](const auto& each) { return each.at.count() % 1000 != 0; });
    for (std::size_t i = 0; i < steps_.size(); ++i) {
      entry made{std::to_string(i + 1), clock_of(steps_[i].at, tenths),
                 wrapped(short_words_of(*steps_[i].what), small_type, column - words_at, 2)};
      if (made.lines.empty()) made.lines.emplace_back();
      lines += made.lines.size();
      entries.push_back(std::move(made));
    }
    const double top = y_;
    double x = margin;
    double lowest = top;
    std::size_t written = 0;
    for (const entry& each : entries) {
      if (x == margin && written * 2 >= lines) {
        x += column + gap;
        y_ = top;
      }
      sheet_.text({x + 16.0, y_ + 7.0}, small_type, anchor::end, each.number, bold);
      sheet_.text({x + words_at - 6.0, y_ + 7.0}, small_type, anchor::end, each.time);
      for (const std::string& line : each.lines) {
        sheet_.text({x + words_at, y_ + 7.0}, small_type, anchor::start, line);
        y_ += line_height;
      }
      written += each.lines.size();
      lowest = std::max(lowest, y_);
    }
    y_ = lowest;
  }

  static constexpr double word_gap = 5.0;

  const lesson& what_;
  const curves& of_;
  milliseconds begin_;
  milliseconds end_;
  std::vector<panel> panels_;
  std::vector<group> groups_;
  time_axis axis_;
  std::vector<played_step> steps_;
  std::vector<double> ticks_;
  picture sheet_;
  bool words_left_out_ = false;
  double y_ = 0.0;
};

}  // namespace

std::string svg_of(const lesson& what, const curves& of) { return curve_sheet{what, of}.drawn(); }

}  // namespace penstock::inline v1
