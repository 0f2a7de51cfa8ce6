// Playing lessons: events at their times, what must be so then, and what must become or stay so.
#include "penstock/lesson_player.hpp"

#include <algorithm>
#include <array>
#include <memory>
#include <string>
#include <utility>

#include "files/lesson_words.hpp"
#include "files/quantities.hpp"
#include "penstock/event_text.hpp"
#include "penstock/rules.hpp"

namespace penstock::inline v1 {

namespace {

// What was told about an event or a wait rather than about what can be seen.
expectation told(std::string words, const location& where) {
  expectation made;
  made.words = std::move(words);
  made.where = where;
  return made;
}

std::string refusal_words(const refusal& why) {
  std::string words = "refused";
  if (!why.sentence.empty()) words += ": " + std::string{why.sentence};
  if (!why.rule.empty()) words += " [" + std::string{why.rule} + ']';
  return words;
}

bool reads_quantities(const expectation& one) {
  return std::any_of(one.phrases.begin(), one.phrases.end(), files::is_of_plant);
}

// The state a lesson begins with; the error only for a lesson made by hand, the reader has checked its own.
result<state> beginning_of(const lesson& what) {
  if (!what.begin) return cold_and_dark(what.aircraft);
  return repositioned(what.aircraft, *what.begin);
}

state beginning_or_cold(const lesson& what) {
  auto begun = beginning_of(what);
  return begun ? *begun : cold_and_dark(what.aircraft);
}

// How far the player looks for what will happen by itself, at a time.
constexpr milliseconds look_ahead{1'000};

void keep_least(std::optional<double>& least, const std::optional<double>& margin) {
  if (margin && (!least || *margin < *least)) least = margin;
}

}  // namespace

lesson_player::lesson_player(const lesson& what, lesson_audience& audience)
    : lesson_(&what),
      audience_(&audience),
      period_(audience.sampling()),
      samples_edges_(period_.count() > 0 && audience.samples_edges()),
      simulation_(what.aircraft, what.plant, beginning_or_cold(what)) {
  moment_ = simulation_.now().chronicle.now;
  if (const auto begun = beginning_of(what); !begun) {
    pronounce({moment_, told("begin", {}), 0, begun.problem().message, {}}, false, simulation_.now());
    done_ = true;
    given_up_ = true;
  }
}

const lesson_step* lesson_player::next_step() const {
  return done_ || next_ >= lesson_->steps.size() ? nullptr : &lesson_->steps[next_];
}

lesson_result lesson_player::result() const {
  lesson_result now = result_;
  now.at_end = simulation_.now();
  return now;
}

void lesson_player::play_step() {
  // No limit: time that goes too far is refused, which ends the lesson.
  if (!done_) play_next(milliseconds::max());
}

void lesson_player::play_to(milliseconds until) {
  while (!done_ && play_next(until)) {
  }
  if (done_ && !given_up_) go_to(until);
  if (clock() < until) return;
  at_edge_ = true;
  leave_moment();
}

// One step, or all that is behind the last one. Whether there may be more before `until`.
bool lesson_player::play_next(milliseconds until) {
  if (next_ == lesson_->steps.size()) {
    play_out(until);
    return false;
  }
  const lesson_step& step = lesson_->steps[next_];
  if (step.start == step_start::when) {
    if (!wait_for(step, until)) return false;
  } else {
    const milliseconds begins = step.start == step_start::at ? step.at : step_began_ + step.after;
    if (begins > until) {
      go_to(until);
      return false;
    }
    go_to(begins, true);
  }
  if (done_) return false;
  do_step(step);
  return true;
}

// Whether the conditions of a step came true before `until`.
bool lesson_player::wait_for(const lesson_step& step, milliseconds until) {
  if (!waiting_since_) waiting_since_ = clock();
  const milliseconds limit = *waiting_since_ + step.longest_wait;
  while (!done_) {
    files::moment_view seen{lesson_->aircraft, simulation_.now(), &simulation_};
    const bool all_so =
        std::all_of(step.when.begin(), step.when.end(), [&](const phrase& one) { return seen.is_so(one); });
    if (all_so) {
      waiting_since_.reset();
      return true;
    }
    if (clock() >= limit) {
      give_up(step);
      return false;
    }
    if (clock() >= until) return false;
    const milliseconds next = (clock() / between_looks + 1) * between_looks;
    go_to(std::min({next, limit, until}));
  }
  return false;
}

// A step waited in vain: what it waited for, and how that stood.
void lesson_player::give_up(const lesson_step& step) {
  files::moment_view seen{lesson_->aircraft, simulation_.now(), &simulation_};
  std::string wanted;
  std::string found;
  for (const phrase& one : step.when) {
    const std::string words = one.words.empty() ? words_of(lesson_->aircraft, one) : one.words;
    wanted += (wanted.empty() ? "" : ", ") + words;
    if (seen.is_so(one)) continue;
    found += (found.empty() ? "" : ", ") + (step.when.size() > 1 ? words + ": " : std::string{}) + seen.found(one);
  }
  pronounce({simulation_.now().chronicle.now,
             told("when: " + wanted + " (the step waited " + files::text_of(step.longest_wait) + ", the rest is not played)",
                  step.where),
             0, found, {}},
            false, simulation_.now());
  result_.timed_out = true;
  given_up_ = true;
  finish();
}

// Behind the last step: to the end of the lesson.
void lesson_player::play_out(milliseconds until) {
  const milliseconds end = lesson_->ends_by_itself ? std::max(last_span_ends_, clock()) : lesson_->end;
  go_to(std::min(end, until));
  if (done_ || clock() < end) return;
  finish();
}

// The lesson is over: what is still open is judged by what has been.
void lesson_player::finish() {
  files::moment_view seen{lesson_->aircraft, simulation_.now(), &simulation_};
  look(clock().count(), seen, true, true);
  at_edge_ = true;
  leave_moment();
  done_ = true;
}

// When watched expectations have to be looked at next, whatever happens.
std::int64_t lesson_player::next_look(std::int64_t now) const {
  std::int64_t next = at_the_end;
  for (const watched& one : watched_) {
    if (one.ends > now) next = std::min(next, one.ends);
    if (one.reads_quantities) next = std::min(next, (now / between_looks.count() + 1) * between_looks.count());
  }
  return next;
}

void lesson_player::go_to(milliseconds time, bool to_a_step) {
  if (clock() >= time) return;
  leave_moment();
  simulation_.watch([this](const v1::simulation::frame& frame) { heard(frame); });
  for (milliseconds now = clock(); now < time; now = clock()) {
    const milliseconds sample = period_.count() > 0 ? (now / period_ + 1) * period_ : time;
    const milliseconds without_edges{std::min(next_look(now.count()), std::min(sample, time).count())};
    milliseconds edge = next_edge(now).value_or(time);
    if (samples_edges_ && to_a_step && time - now > milliseconds{1}) edge = std::min(edge, time - milliseconds{1});
    const milliseconds stop = std::min(without_edges, edge);
    const effects passed = simulation_.advance(stop - now);
    if (!passed.accepted()) {
      pronounce({simulation_.now().chronicle.now, told("time goes on", {}), 0, refusal_words(passed.refused), {}}, false,
                simulation_.now());
      done_ = true;
      given_up_ = true;
      break;
    }
    if (edge == clock()) at_edge_ = true;
    // Sampling may not change what is judged: where only an edge stops time, nobody looks.
    if (stop == without_edges || changed_) look_now();
    if (clock() < time) leave_moment();
  }
  simulation_.watch({});
}

// The next time behind `now` at which, a millisecond later, something happens by itself; or up to where that is not
// known yet. Seen in a copy, which goes ahead. Nothing for audiences that do not sample edges.
std::optional<milliseconds> lesson_player::next_edge(milliseconds now) {
  if (!samples_edges_) return std::nullopt;
  if (now >= looked_ahead_to_) {
    edges_.clear();
    looked_ahead_to_ = std::min(now + look_ahead, milliseconds{limits::longest_time});
    v1::simulation ahead = simulation_;
    ahead.watch([this](const v1::simulation::frame& frame) {
      const milliseconds before{frame.after.chronicle.now - milliseconds::rep{1}};
      if (edges_.empty() || edges_.back() != before) edges_.push_back(before);
    });
    if (looked_ahead_to_ > now) static_cast<void>(ahead.advance(looked_ahead_to_ - now));
  }
  const auto next = std::upper_bound(edges_.begin(), edges_.end(), now);
  if (next != edges_.end()) return *next;
  return looked_ahead_to_ > now ? std::optional{looked_ahead_to_} : std::nullopt;
}

// A moment is over: a sample that falls on it sees all of it.
void lesson_player::leave_moment() {
  const bool edge = samples_edges_ && std::exchange(at_edge_, false);
  const bool due = period_.count() > 0 && clock() % period_ == milliseconds{0};
  if ((!edge && !due) || last_sample_ == clock()) return;
  last_sample_ = clock();
  audience_->sampled(simulation_);
}

// Something happened inside the simulation. When it is the first of its moment, the one before is over, and its last
// state is the one that nothing has happened to yet.
void lesson_player::heard(const v1::simulation::frame& frame) {
  if (frame.after.chronicle.now > moment_) {
    if (changed_ && !watched_.empty()) {
      files::moment_view seen{lesson_->aircraft, frame.before, nullptr};
      look(moment_, seen, true);
    }
    moment_ = frame.after.chronicle.now;
  }
  changed_ = true;
  at_edge_ = true;
  audience_->happened(frame);
}

void lesson_player::look_now() {
  const state& now = simulation_.now();
  if (!watched_.empty() && changed_ && moment_ < now.chronicle.now) {
    // Only clocks have gone on since then.
    files::moment_view then{lesson_->aircraft, now, nullptr};
    look(moment_, then, true);
    changed_ = false;
  }
  moment_ = now.chronicle.now;
  if (!watched_.empty()) {
    files::moment_view seen{lesson_->aircraft, now, &simulation_};
    look(moment_, seen, changed_);
  }
  changed_ = false;
}

// Holds every watched expectation against a moment. Words need it only if something `changed`; quantities only where
// they are known; the end of its span or of the lesson (`over`) decides in any case.
void lesson_player::look(std::int64_t time, files::moment_view& seen, bool changed, bool over) {
  std::size_t kept = 0;
  for (std::size_t i = 0; i < watched_.size(); ++i) {
    watched& one = watched_[i];
    const bool last = over || time >= one.ends;
    const bool due = one.reads_quantities ? seen.has_quantities() : changed;
    decision made;
    if (due || last) made = decide(one, seen, last);
    if (made.met) {
      std::string found = made.found.empty() ? seen.found(one.what->phrases[made.by]) : std::move(made.found);
      pronounce({static_cast<std::uint32_t>(time), *one.what, made.by, std::move(found), one.margin}, *made.met,
                seen.then());
    } else {
      if (kept != i) watched_[kept] = watched_[i];
      ++kept;
    }
  }
  watched_.resize(kept);
}

lesson_player::decision lesson_player::decide(watched& one, files::moment_view& seen, bool over) const {
  if (one.what->form == expectation_form::in_order) return decide_order(one, seen, over);
  std::optional<double> margin;
  const phrase& first = one.what->phrases.front();
  if (one.what->form == expectation_form::until) {
    const phrase& second = one.what->phrases.back();
    if (seen.is_so(second)) return {true, 1, {}};
    const bool holds = seen.is_so(first, &margin);
    keep_least(one.margin, margin);
    if (!holds) return {false, 0, {}};
    if (!over) return {};
    return {false, 1, words_of(lesson_->aircraft, second) + " did not come, it was " + seen.found(second)};
  }
  const bool is_so = seen.is_so(first, &margin);
  if (one.what->form == expectation_form::within) {
    if (is_so) {
      one.margin = margin;
      return {true, 0, {}};
    }
    if (margin && (!one.margin || *margin > *one.margin)) one.margin = margin;
    return over ? decision{false, 0, {}} : decision{};
  }
  const bool never = one.what->form == expectation_form::never;
  if (never && margin) margin = -*margin;
  keep_least(one.margin, margin);
  if (is_so == never) return {false, 0, {}};
  return over ? decision{true, 0, {}} : decision{};
}

lesson_player::decision lesson_player::decide_order(watched& one, files::moment_view& seen, bool over) const {
  const std::vector<phrase>& all = one.what->phrases;
  while (one.reached < all.size() && seen.is_so(all[one.reached])) ++one.reached;
  if (one.reached == all.size()) return {true, all.size() - 1, {}};
  for (std::size_t later = one.reached + 1; later < all.size(); ++later) {
    if (!seen.is_so(all[later])) continue;
    return {false, one.reached,
            words_of(lesson_->aircraft, all[later]) + " before " + words_of(lesson_->aircraft, all[one.reached])};
  }
  if (!over) return {};
  return {false, one.reached,
          words_of(lesson_->aircraft, all[one.reached]) + " did not come, it was " + seen.found(all[one.reached])};
}

void lesson_player::do_step(const lesson_step& step) {
  step_began_ = clock();
  ++next_;
  audience_->step_begins(step, simulation_);
  simulation_.watch([this](const v1::simulation::frame& frame) { heard(frame); });
  for (std::size_t i = 0; i < step.events.size(); ++i) {
    happen(step, i);
    look_now();
  }
  simulation_.watch({});
  at_edge_ = true;
  looked_ahead_to_ = clock();  // what would have happened by itself may be otherwise now
  if (step.ask) audience_->asked(*step.ask, answer_to(*step.ask, simulation_));
  if (!step.expectations.empty()) judge(step);
}

void lesson_player::happen(const lesson_step& step, std::size_t i) {
  const std::string words =
      i < step.event_words.size() ? step.event_words[i] : words_of(lesson_->aircraft, step.events[i]);
  const location where = i < step.event_places.size() ? step.event_places[i] : step.where;
  const effects done = simulation_.apply(step.events[i]);
  const bool last = i + 1 == step.events.size();
  const bool to_be_refused = last && !step.refused.empty();
  const bool as_told = to_be_refused && !done.accepted() && names_rule(done.refused.rule, step.refused);
  if (!done.accepted()) audience_->refused(step.events[i], words, done.refused, as_told);
  if (!to_be_refused && done.accepted()) return;
  pronounce({simulation_.now().chronicle.now,
             told(to_be_refused ? words + " is refused by " + step.refused : words, where), 0,
             done.accepted() ? "accepted" : refusal_words(done.refused), {}},
            as_told, simulation_.now());
}

void lesson_player::judge(const lesson_step& step) {
  files::moment_view seen{lesson_->aircraft, simulation_.now(), &simulation_};
  for (const expectation& one : step.expectations) {
    if (one.form != expectation_form::now) {
      watch(one);
      continue;
    }
    verdict made{simulation_.now().chronicle.now, one, 0, {}, {}};
    const bool met = seen.is_so(one.phrases.front(), &made.margin);
    made.found = seen.found(one.phrases.front());
    pronounce(std::move(made), met, simulation_.now());
  }
}

// Begins to watch, with this moment as the first.
void lesson_player::watch(const expectation& one) {
  if (watched_.size() >= most_watched) {
    pronounce({simulation_.now().chronicle.now, one, one.phrases.size(),
               std::to_string(most_watched) + " expectations are watched already, which is the limit", {}},
              false, simulation_.now());
    return;
  }
  const std::int64_t ends = one.span ? (clock() + *one.span).count() : one.end ? one.end->count() : at_the_end;
  if (ends != at_the_end) last_span_ends_ = std::max(last_span_ends_, milliseconds{ends});
  watched begun{&one, ends, reads_quantities(one), 0, {}};
  files::moment_view seen{lesson_->aircraft, simulation_.now(), &simulation_};
  decision made = decide(begun, seen, clock().count() >= ends);
  if (!made.met) {
    watched_.push_back(begun);
    return;
  }
  std::string found = made.found.empty() ? seen.found(one.phrases[made.by]) : std::move(made.found);
  pronounce({simulation_.now().chronicle.now, one, made.by, std::move(found), begun.margin}, *made.met,
            simulation_.now());
}

void lesson_player::pronounce(verdict what, bool met, const state& then) {
  ++result_.expectations;
  if (met) {
    audience_->expectation_met(what);
    if (what.margin) result_.margins.push_back(std::move(what));
  } else {
    audience_->expectation_unmet(what, then);
    result_.failures.push_back(std::move(what));
  }
}

lesson_result play(const lesson& what, lesson_audience& audience, std::optional<milliseconds> until) {
  lesson_player playing{what, audience};
  if (until) {
    playing.play_to(*until);
  } else {
    while (!playing.done()) playing.play_step();
  }
  return playing.result();
}

}  // namespace penstock::inline v1
