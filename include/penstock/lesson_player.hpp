// Playing a lesson step by step, and going back. Part of penstock::files.
#pragma once

#include <cstddef>
#include <cstdint>
#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "penstock/lesson.hpp"

namespace penstock::inline v1 {

namespace files {
class moment_view;
}

/// A lesson on its way. Copy it to be able to go back: a copy goes on by itself, to the same audience.
///
///     lesson_player playing{what, audience};
///     while (!playing.done()) playing.play_step();
///     report(playing.result());
class lesson_player {
 public:
  /// How often quantities are looked at, and conditions that a step waits for. Words are looked at whenever
  /// something happens, because they cannot change in between.
  static constexpr milliseconds between_looks{10};
  /// More expectations than this are not watched at one time; the ones beyond are unmet and say so. Our choice.
  static constexpr std::size_t most_watched = 1000;

  /// Stands at the beginning. The lesson and the audience must outlive the player and its copies.
  PENSTOCK_API lesson_player(const lesson& what, lesson_audience& audience);

  /// Lets time go on to the next step and does it. Behind the last one: plays to the end of the lesson and judges
  /// what is still open. Does nothing when done.
  PENSTOCK_API void play_step();
  /// Plays all that happens up to a time, steps at that time included. A time behind the end of the lesson is reached
  /// without anything else happening.
  PENSTOCK_API void play_to(milliseconds until);

  /// Whether the lesson is over: at its end, or given up because a step waited too long.
  [[nodiscard]] bool done() const { return done_; }
  /// The step that `play_step` would do; nullptr where none is left.
  [[nodiscard]] PENSTOCK_API const lesson_step* next_step() const;
  /// How many steps have been done.
  [[nodiscard]] std::size_t steps_done() const { return next_; }
  [[nodiscard]] const v1::simulation& simulation() const { return simulation_; }
  /// What has been judged until now, and the state now.
  [[nodiscard]] PENSTOCK_API lesson_result result() const;

  /// Tells another audience from now on; it must outlive the player.
  void tell(lesson_audience& audience) { audience_ = &audience; }

 private:
  static constexpr std::int64_t at_the_end = std::numeric_limits<std::int64_t>::max();

  // An expectation over a time that is not decided yet.
  struct watched {
    const expectation* what;
    std::int64_t ends;         // ms, or at_the_end
    bool reads_quantities;
    std::size_t reached;       // in_order: how many have come true
    std::optional<double> margin;
  };
  // What became of it: nothing yet, met or unmet.
  struct decision {
    std::optional<bool> met;
    std::size_t by = 0;     // which phrase
    std::string found;      // may be empty: what that phrase found
  };

  [[nodiscard]] milliseconds clock() const { return milliseconds{simulation_.now().chronicle.now}; }
  bool play_next(milliseconds until);
  bool wait_for(const lesson_step& step, milliseconds until);
  void play_out(milliseconds until);
  void finish();
  void give_up(const lesson_step& step);
  void go_to(milliseconds time, bool to_a_step = false);
  void leave_moment();
  [[nodiscard]] std::optional<milliseconds> next_edge(milliseconds now);
  void do_step(const lesson_step& step);
  void happen(const lesson_step& step, std::size_t i);
  void judge(const lesson_step& step);
  void watch(const expectation& one);
  void look(std::int64_t time, files::moment_view& seen, bool changed, bool over = false);
  void look_now();
  void heard(const v1::simulation::frame& frame);
  void pronounce(verdict what, bool met, const state& then);
  [[nodiscard]] decision decide(watched& one, files::moment_view& seen, bool over) const;
  [[nodiscard]] decision decide_order(watched& one, files::moment_view& seen, bool over) const;
  [[nodiscard]] std::int64_t next_look(std::int64_t now) const;

  const lesson* lesson_;
  lesson_audience* audience_;
  milliseconds period_;
  bool samples_edges_;
  v1::simulation simulation_;
  std::vector<watched> watched_;
  lesson_result result_{};
  std::size_t next_ = 0;
  milliseconds step_began_{0};
  milliseconds last_span_ends_{0};  // of all expectations until now
  std::optional<milliseconds> waiting_since_;
  std::optional<milliseconds> last_sample_;
  // For audiences that sample edges:
  std::vector<milliseconds> edges_;  // the last ms before each time at which something happens by itself
  milliseconds looked_ahead_to_{0};
  bool at_edge_ = true;              // this moment is to be sampled
  std::uint32_t moment_ = 0;   // of the last thing that happened or look
  bool changed_ = false;       // since the last look
  bool done_ = false;
  bool given_up_ = false;
};

}  // namespace penstock::inline v1
