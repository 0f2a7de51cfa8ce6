// How guards, commands and time work [GEN-1 to GEN-7].
#include <limits>

#include "support/bench.hpp"
#include "support/rule_test.hpp"

namespace penstock_tests {
namespace {

constexpr unsigned port = 0, starboard = 1, centre = 2, unit = 0;

/// Whatever the event is, it must not be accepted and must change nothing. Says why it was refused.
refusal_kind refused_as(const bench& b, const event& happening) {
  const outcome result = transition(b.aircraft(), b.now(), happening);
  EXPECT_FALSE(result.what.accepted());
  EXPECT_TRUE(result.after == b.now()) << "refused and yet changed";
  EXPECT_FALSE(result.what.refused.sentence.empty());
  EXPECT_EQ(result.what.rows, 0U);
  return result.what.refused.kind;
}

// ---- GEN-1

RULE_TEST(Gen, AConditionThatComesBackActsWithoutANewCommand, "GEN-1") {
  bench b = powered_twin();
  b.does(events::lever(forward_door, lever_position::open));
  const event comings_and_goings[][2] = {
      {events::external_power(false), events::external_power(true)},
      {events::air_ground_is(air_ground::air), events::air_ground_is(air_ground::ground)},
      {events::level(port, fluid_level::empty), events::level(port, fluid_level::normal)},
      {events::overheat(events::electric_pump(cargo_pump), true),
       events::overheat(events::electric_pump(cargo_pump), false)},
      {events::shed(cargo_pump, true), events::shed(cargo_pump, false)},
  };
  for (const auto& [goes, comes] : comings_and_goings) {
    ASSERT_TRUE(b.sees().electric_pumps[cargo_pump].delivering);
    b.does(goes);
    EXPECT_FALSE(b.sees().electric_pumps[cargo_pump].delivering) << testing::PrintToString(goes);
    b.does(comes);
    EXPECT_TRUE(b.sees().electric_pumps[cargo_pump].delivering) << testing::PrintToString(comes);
  }
}

RULE_TEST(Gen, ACommandActsOnce, "GEN-1") {
  bench b{two_engine_spec()};
  b.does(events::start(0), events::abort_start(0), events::spool(0, spool_band::zero));
  EXPECT_EQ(b.sees().engines[0].mode, engine_mode::stopped);
  b.does(events::external_power(true), events::external_power(false)).wait(1h);
  EXPECT_EQ(b.sees().engines[0].mode, engine_mode::stopped) << "an aborted start is not taken up again";
}

RULE_TEST(Gen, AnEventSettlesCompletely, "GEN-1 GEN-3") {
  bench b = powered_twin();
  b.does(events::lever(forward_door, lever_position::open)).pressures_follow();
  b.does(events::start(0), events::spool(0, spool_band::turning), events::lever(aft_door, lever_position::open));
  b.does(events::spool(0, spool_band::driving)).pressures_follow();
  const state settled = b.now();
  b.wait(0ms);
  EXPECT_TRUE(b.now() == settled) << "nothing is left to happen";
  b.does(events::external_power(true));
  EXPECT_EQ(b.last().rows, 0U) << "a fact that is known already moves nothing";
}

RULE_TEST(Gen, OneEventMovesWhateverDependsOnIt, "GEN-1 GEN-3") {
  // Lift-off alone ends service mode, its inhibition, the door's request and the pump's work.
  bench b = powered_twin();
  b.does(events::lever(forward_door, lever_position::open)).pressures_follow();
  take_off(b);
  const observation seen = b.sees();
  EXPECT_EQ(seen.doors[forward_door].mode, door_mode::blocked);
  EXPECT_FALSE(seen.electric_pumps[cargo_pump].delivering);
  EXPECT_EQ(seen.circuits[port].service, service_mode::none);
  EXPECT_EQ(seen.units[unit].reason, unit_inhibition::none);
  EXPECT_TRUE(seen.electric_pumps[duty_pump].delivering);
  EXPECT_FALSE(b.last().cut_short);
}

// ---- GEN-2

RULE_TEST(Gen, ARefusedCommandSaysWhyAndChangesNothing, "GEN-2") {
  bench b{two_engine_spec()};
  b.refuses(events::abort_start(0)).refuses(events::shut_down(1)).refuses(events::reset(events::engine_pump(0)));
  b.refuses(events::steering(true)).refuses(events::pin(true)).refuses(events::reset_supply(0));
  take_off(b);
  b.refuses(events::ground_override(duty_pump));
}

RULE_TEST(Gen, AStartIsRefusedWhileTheEngineRuns, "GEN-2 ENG-1") {
  bench b{two_engine_spec()};
  full_start(b, 0);
  b.refuses(events::start(0));
}

RULE_TEST(Gen, EventsForComponentsThatAreNotThereAreRejected, "GEN-2") {
  for (const layout_spec& spec : {two_engine_spec(), four_engine_spec(), small_twin_spec()}) {
    bench b{spec};
    for (std::size_t k = 0; k < event_forms().size(); ++k) {
      const auto kind = static_cast<event_kind>(k);
      if (kind == event_kind::inject || kind == event_kind::remove_fault) continue;
      const event_form& form = form_of(kind);
      for (std::size_t s = 0; s < form.subject_kinds; ++s) {
        const component what = form.subjects[s];
        if (what == component::aircraft || what == component::steering) continue;
        for (const std::size_t index : {b.aircraft().count(what), std::size_t{200}, std::size_t{255}}) {
          const event one = events::make(kind, {what, static_cast<std::uint8_t>(index)});
          EXPECT_EQ(refused_as(b, one), refusal_kind::no_such_part) << testing::PrintToString(one);
        }
      }
    }
  }
}

RULE_TEST(Gen, EventsForTheWrongKindOfComponentAreRejected, "GEN-2") {
  const bench b{two_engine_spec()};
  for (std::size_t k = 0; k < event_forms().size(); ++k) {
    const auto kind = static_cast<event_kind>(k);
    if (kind == event_kind::inject || kind == event_kind::remove_fault) continue;
    const event_form& form = form_of(kind);
    for (std::size_t c = 0; c < count_of<component>; ++c) {
      const auto what = static_cast<component>(c);
      bool goes = what == component::aircraft && form.subject_kinds == 0;
      for (std::size_t s = 0; s < form.subject_kinds; ++s) goes = goes || form.subjects[s] == what;
      if (goes) continue;
      EXPECT_EQ(refused_as(b, events::make(kind, {what, 0})), refusal_kind::wrong_part)
          << form.word << ' ' << word(what);
    }
  }
}

RULE_TEST(Gen, ValuesOutsideTheirRangeAreRejected, "GEN-2") {
  const bench b{two_engine_spec()};
  for (std::size_t k = 0; k < event_forms().size(); ++k) {
    const auto kind = static_cast<event_kind>(k);
    const event_form& form = form_of(kind);
    if (form.values.empty() || kind == event_kind::inject || kind == event_kind::remove_fault) continue;
    const subject about{form.subject_kinds == 0 ? component::aircraft : form.subjects[0], 0};
    for (const std::size_t value : {form.values.size(), std::size_t{100}, std::size_t{255}}) {
      const refusal_kind why = refused_as(b, events::make(kind, about, static_cast<std::uint8_t>(value)));
      EXPECT_EQ(why, refusal_kind::bad_value) << form.word << ' ' << value;
    }
  }
  EXPECT_EQ(refused_as(b, events::make(event_kind::inject, events::circuit(0), 255)), refusal_kind::bad_value);
  EXPECT_EQ(refused_as(b, events::stored(0, -1)), refusal_kind::bad_value);
  EXPECT_EQ(refused_as(b, events::stored(0, 1'000'000)), refusal_kind::bad_value);
  EXPECT_EQ(refused_as(b, events::stored(0, std::numeric_limits<std::int64_t>::min())), refusal_kind::bad_value);
}

RULE_TEST(Gen, AKindOfEventOutsideTheEnumerationIsRefused, "GEN-2") {
  const bench b{two_engine_spec()};
  for (const int kind : {static_cast<int>(event_forms().size()), 128, 255}) {
    event one;
    one.kind = static_cast<event_kind>(kind);
    EXPECT_NE(refused_as(b, one), refusal_kind::none) << kind;
  }
}

RULE_TEST(Gen, ASwitchPositionThatAComponentDoesNotHaveIsRefused, "GEN-2") {
  const bench b{two_engine_spec()};
  static_cast<void>(refused_as(b, events::crew_switch(events::engine_pump(0), pump_switch::automatic)));
}

// ---- time

RULE_TEST(Gen, TimeNeverRunsBackwards, "GEN-3") {
  bench b{two_engine_spec()};
  b.wait(5s);
  EXPECT_EQ(refused_as(b, events::elapsed(-1ms)), refusal_kind::time);
  EXPECT_EQ(refused_as(b, events::elapsed(milliseconds{std::numeric_limits<std::int64_t>::min()})), refusal_kind::time);
  EXPECT_EQ(b.sees().now, 5'000U);
}

RULE_TEST(Gen, TimeBeyondItsLimitIsRefused, "GEN-3") {
  bench b{two_engine_spec()};
  EXPECT_EQ(refused_as(b, events::elapsed(limits::longest_time + 1ms)), refusal_kind::time);
  EXPECT_EQ(refused_as(b, events::elapsed(milliseconds{std::numeric_limits<std::int64_t>::max()})), refusal_kind::time);
  b.wait(limits::longest_time);
  EXPECT_EQ(b.sees().now, static_cast<std::uint32_t>(limits::longest_time.count()));
}

RULE_TEST(Gen, AFaultIsNotArmedForATimeThatIsOutOfReach, "GEN-3 INS-1") {
  const bench b{two_engine_spec()};
  for (const milliseconds when : {milliseconds{-1}, limits::longest_time + 1ms}) {
    const event one = events::inject_at(fault::fluid_hot, events::circuit(port), when);
    const refusal_kind why = refused_as(b, one);
    EXPECT_TRUE(why == refusal_kind::time || why == refusal_kind::bad_value);
  }
}

RULE_TEST(Gen, NoTimeChangesNothing, "GEN-3") {
  bench b = powered_twin();
  full_start(b, 0).does(events::start(1));
  const state before = b.now();
  b.wait(0ms);
  EXPECT_TRUE(b.now() == before);
}

RULE_TEST(Gen, ATimerExpiresWhenItsLimitIsReached, "GEN-3") {
  bench b = powered_twin();
  b.does(events::lever(forward_door, lever_position::open), events::lever(forward_door, lever_position::neutral));
  ASSERT_EQ(b.sees().circuits[port].service, service_mode::hold_off);
  b.wait(39'999ms);
  EXPECT_EQ(b.sees().circuits[port].service, service_mode::hold_off);
  b.wait(1ms);
  EXPECT_EQ(b.sees().circuits[port].service, service_mode::none);
}

RULE_TEST(Gen, ATimerAdvancesBeforeTheEventOfTheSameTimeStamp, "GEN-3") {
  bench b = powered_twin();
  full_start(b, 0).does(events::start(1)).wait(6s);
  b.does(events::pressure(starboard, true)).wait(1min);
  EXPECT_EQ(b.sees().units[unit].outcome, test_outcome::failed);
}

RULE_TEST(Gen, TimersOnTheWayOfALongSpanActAtTheirOwnTimes, "GEN-3") {
  bench b = powered_twin();
  full_start(b, 0).does(events::start(1)).wait(1h);
  const auto found = b.alert(condition::transfer_failed, events::unit(unit));
  ASSERT_TRUE(found);
  EXPECT_EQ(found->onset, 6'000U);
}

RULE_TEST(Gen, TheNextDeadlineIsTheNearestTimer, "GEN-3") {
  layout_spec spec = two_engine_spec();
  spec.circuits[starboard].low_confirmation = 30s;
  bench b{spec};
  b.does(events::external_power(true));
  EXPECT_EQ(b.deadline(), std::nullopt);
  full_start(b, 0).does(events::start(1));
  EXPECT_EQ(b.deadline(), 6'000U);
  b.does(events::inject_at(fault::fluid_hot, events::circuit(centre), 2s));
  EXPECT_EQ(b.deadline(), 2'000U);
  b.wait(2s);
  EXPECT_EQ(b.deadline(), 4'000U);
}

// ---- GEN-4 (thresholds are the plant's: see also LVL-1)

RULE_TEST(Gen, ThresholdsOfALayoutMustLeaveHysteresis, "GEN-4") {
  layout_spec pressure_switch = two_engine_spec();
  pressure_switch.switch_open = pressure_switch.switch_made;
  EXPECT_FALSE(layout::from(pressure_switch));
  layout_spec priority = two_engine_spec();
  priority.priority_shed = priority.priority_restored;
  EXPECT_FALSE(layout::from(priority));
  layout_spec unit_difference = two_engine_spec();
  unit_difference.transfer_units[0].release = unit_difference.transfer_units[0].activation;
  EXPECT_FALSE(layout::from(unit_difference));
  layout_spec level = two_engine_spec();
  level.circuits[0].level_hysteresis = litres(0.0);
  EXPECT_FALSE(layout::from(level));
}

RULE_TEST(Gen, NotANumberNeverGetsIn, "GEN-4") {
  const double not_a_number = std::numeric_limits<double>::quiet_NaN();
  layout_spec spec = two_engine_spec();
  spec.circuits[0].reservoir = litres(not_a_number);
  EXPECT_FALSE(layout::from(spec));
  spec = two_engine_spec();
  spec.nominal = psi(not_a_number);
  EXPECT_FALSE(layout::from(spec));
  spec = two_engine_spec();
  spec.engines[0].pump_mark = not_a_number;
  EXPECT_FALSE(layout::from(spec));
}

// ---- GEN-5

RULE_TEST(Gen, BeginsColdAndDark, "GEN-5") {
  for (const layout_spec& spec : {two_engine_spec(), four_engine_spec(), small_twin_spec()}) {
    const bench b{spec};
    const layout& of = b.aircraft();
    const observation seen = b.sees();
    EXPECT_EQ(seen.now, 0U);
    EXPECT_FALSE(seen.in_flight);
    EXPECT_TRUE(seen.air_ground_valid);
    EXPECT_TRUE(seen.parking_brake_set);
    EXPECT_TRUE(seen.gear_down);
    EXPECT_FALSE(seen.external_power);
    EXPECT_FALSE(seen.auxiliary_power);
    EXPECT_EQ(seen.steering, steering_mode::connected);
    EXPECT_EQ(seen.alerts, 0);
    for (std::size_t i = 0; i < of.count(component::engine); ++i) {
      EXPECT_EQ(seen.engines[i].mode, engine_mode::stopped);
      EXPECT_EQ(seen.engines[i].role, engine_role::none);
      EXPECT_EQ(seen.engines[i].spool, spool_band::zero);
      EXPECT_FALSE(seen.engines[i].selected);
      EXPECT_TRUE(seen.engines[i].supply_open);
    }
    for (std::size_t i = 0; i < of.count(component::engine_pump); ++i) {
      EXPECT_TRUE(seen.engine_pumps[i].switched_on);
      EXPECT_FALSE(seen.engine_pumps[i].delivering);
      EXPECT_EQ(seen.engine_pumps[i].health, health_mode::healthy);
    }
    for (std::size_t i = 0; i < of.count(component::electric_pump); ++i) {
      const bool has_duty = spec.electric_pumps[i].duty != pump_duty::none;
      if (has_duty) {
        EXPECT_EQ(seen.electric_pumps[i].switched, pump_switch::automatic);
      }
      EXPECT_FALSE(seen.electric_pumps[i].delivering);
      EXPECT_EQ(seen.electric_pumps[i].demand, demand_mode::none);
    }
    for (std::size_t i = 0; i < of.count(component::circuit); ++i) {
      EXPECT_EQ(seen.circuits[i].status, circuit_status::off);
      EXPECT_EQ(seen.circuits[i].level, fluid_level::normal);
      EXPECT_EQ(seen.circuits[i].service, service_mode::none);
    }
    for (std::size_t i = 0; i < of.count(component::transfer_unit); ++i) {
      EXPECT_EQ(seen.units[i].mode, unit_mode::standby);
      EXPECT_EQ(seen.units[i].outcome, test_outcome::none);
    }
    for (std::size_t i = 0; i < of.count(component::cargo_door); ++i) {
      EXPECT_EQ(seen.doors[i].lever, lever_position::neutral);
      EXPECT_EQ(seen.doors[i].travel, door_travel::closed);
    }
    for (std::size_t i = 0; i < of.count(component::bus); ++i) EXPECT_FALSE(seen.buses[i].powered);
    for (std::size_t i = 0; i < of.count(component::store); ++i) EXPECT_GT(seen.stored[i], 0);
  }
}

RULE_TEST(Gen, ColdAndDarkIsWhatItsOwnRepositionGives, "GEN-5 GEN-7") {
  for (const layout_spec& spec : {two_engine_spec(), four_engine_spec(), small_twin_spec()}) {
    const bench b{spec};
    const auto again = repositioned(b.aircraft(), reposition_of_cold_and_dark(b.aircraft()));
    ASSERT_TRUE(again) << to_string(again.problem());
    EXPECT_TRUE(*again == cold_and_dark(b.aircraft())) << spec.name;
  }
}

// ---- GEN-6

RULE_TEST(Gen, AnInvalidAirGroundInputKeepsItsLastValueWithAnAdvisory, "GEN-6") {
  for (const air_ground last : {air_ground::ground, air_ground::air}) {
    bench b{two_engine_spec()};
    b.does(events::air_ground_is(last), events::air_ground_invalid());
    EXPECT_EQ(b.sees().in_flight, last == air_ground::air);
    EXPECT_FALSE(b.sees().air_ground_valid);
    EXPECT_EQ(class_of(b, condition::air_ground_input), alert_class::advisory);
    const air_ground other = last == air_ground::air ? air_ground::ground : air_ground::air;
    b.does(events::air_ground_is(other));
    EXPECT_EQ(b.sees().in_flight, other == air_ground::air);
    EXPECT_EQ(class_of(b, condition::air_ground_input), alert_class::none);
  }
}

// ---- GEN-7

RULE_TEST(Gen, ARepositionEvaluatesLevelsOnce, "GEN-7") {
  bench b{two_engine_spec()};
  reposition_spec to = reposition_of_cold_and_dark(b.aircraft());
  to.external_power = true;
  to.levers[forward_door] = lever_position::open;
  b.begins_at(to);
  EXPECT_EQ(b.sees().doors[forward_door].mode, door_mode::asking);
  EXPECT_TRUE(b.sees().electric_pumps[cargo_pump].delivering);
  EXPECT_EQ(b.sees().circuits[port].service, service_mode::service);
}

RULE_TEST(Gen, ARepositionCountsNoTestAsHavingHappened, "GEN-7 PTU-5") {
  bench b{two_engine_spec()};
  reposition_spec to = reposition_of_cold_and_dark(b.aircraft());
  to.engine_runs = {true, true};
  b.begins_at(to);
  EXPECT_EQ(b.sees().engines[0].mode, engine_mode::running);
  EXPECT_EQ(b.sees().engines[0].role, engine_role::first);
  EXPECT_EQ(b.sees().engines[1].role, engine_role::second);
  EXPECT_EQ(b.sees().units[unit].outcome, test_outcome::none);
  EXPECT_EQ(b.level_of(condition::transfer_test, events::unit(unit)), alert_class::none);
}

RULE_TEST(Gen, ARepositionCountsNoHoldOff, "GEN-7 CGO-7") {
  bench b{two_engine_spec()};
  reposition_spec to = reposition_of_cold_and_dark(b.aircraft());
  to.external_power = true;
  to.doors[forward_door] = door_travel::open;
  b.begins_at(to);
  EXPECT_EQ(b.sees().circuits[port].service, service_mode::none);
  EXPECT_EQ(b.sees().units[unit].reason, unit_inhibition::none);
}

RULE_TEST(Gen, ARepositionHasNoOnsetEarlierThanNow, "GEN-7 ALR-2") {
  bench b{two_engine_spec()};
  reposition_spec to = reposition_of_cold_and_dark(b.aircraft());
  to.now = 100s;
  to.levels[starboard] = fluid_level::low;
  to.steering_connected = false;
  to.engine_runs = {true, false};
  b.begins_at(to);
  EXPECT_EQ(b.sees().now, 100'000U);
  const observation seen = b.sees();
  EXPECT_GE(seen.alerts, 2);
  for (const observed_alert& one : seen.alerts_standing()) EXPECT_EQ(one.onset, 100'000U) << word(one.condition);
}

RULE_TEST(Gen, ARepositionDoesNotCountLeversAsOutAtLiftOff, "GEN-7 CGO-15") {
  bench b{two_engine_spec()};
  reposition_spec to = reposition_of_cold_and_dark(b.aircraft());
  to.engine_runs = {true, true};
  to.in_flight = true;
  to.levers[forward_door] = lever_position::open;
  b.begins_at(to);
  EXPECT_EQ(b.level_of(condition::lever_out, events::door(forward_door)), alert_class::none);
}

RULE_TEST(Gen, ARepositionIntoFlightRunsOn, "GEN-7 AUX-1") {
  bench b{two_engine_spec()};
  reposition_spec to = reposition_of_cold_and_dark(b.aircraft());
  to.engine_runs = {true, true};
  to.in_flight = true;
  to.gear_down = false;
  to.parking_brake_set = false;
  b.begins_at(to).pressures_follow();
  EXPECT_TRUE(b.sees().in_flight);
  EXPECT_TRUE(b.sees().electric_pumps[duty_pump].delivering);
  b.wait(1h);
  EXPECT_EQ(alerts_from(b, alert_class::caution), "");
}

RULE_TEST(Gen, AContradictoryRepositionIsRefusedByName, "GEN-7") {
  const bench b{two_engine_spec()};
  reposition_spec pin_while_connected = reposition_of_cold_and_dark(b.aircraft());
  pin_while_connected.pin_in = true;
  reposition_spec gear_up_on_the_ground = reposition_of_cold_and_dark(b.aircraft());
  gear_up_on_the_ground.gear_down = false;
  reposition_spec before_the_beginning = reposition_of_cold_and_dark(b.aircraft());
  before_the_beginning.now = -1ms;
  reposition_spec too_late = reposition_of_cold_and_dark(b.aircraft());
  too_late.now = limits::longest_time + 1ms;
  for (const reposition_spec& one : {pin_while_connected, gear_up_on_the_ground, before_the_beginning, too_late}) {
    const auto set_up = repositioned(b.aircraft(), one);
    ASSERT_FALSE(set_up);
    EXPECT_FALSE(set_up.problem().id.empty());
    EXPECT_FALSE(set_up.problem().message.empty());
  }
}

}  // namespace
}  // namespace penstock_tests
