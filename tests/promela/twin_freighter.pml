/*
 * What the logic of the aircraft twin-freighter must do, as a Promela model. It was written from the rules in
 * sentences and the aircraft file, not from penstock's tables, so that two independent readings of the same rules
 * can be compared: model_test.cpp holds what SPIN finds here against what penstock does. Rule ids stand beside the
 * statements.
 *
 * One outside event at a time; after each the logic settles in the order of GEN-3, and the state is looked at after
 * that. A timer that counts may expire at any moment, as an event. Choose the alphabet of events with -DTEST, -DCARGO
 * or -DFIRST, and with -DSHORT fewer of them; everything outside the alphabet stays cold and dark (GEN-5).
 *
 * To see how fast SPIN goes through it, with nothing written:
 *   spin -a -DTEST tests/promela/twin_freighter.pml
 *   cc -O2 -w -DSAFETY -DNOREDUCE -Itests/promela -o pan pan.c && ./pan -m4000000
 *
 * Where the rules leave a choice, the model follows penstock; "choice" stands at each of these places:
 *   1. own pressure (PTU-3, PTU-6): there only while a pump of the circuit delivers; what is left in it does not count
 *   2. a test whose driven circuit has a delivering pump without pressure begins and is over at once (PTU-3, PTU-4)
 *   3. a threshold that is lost again may be reached once more within the layout time (PTU-5)
 *   4. the steering link is disconnected on the ground only (STR-1, STR-6)
 *   5. the ground override takes the place of the delay after touchdown (AUX-2, AUX-4)
 */
#if !defined(TEST) && !defined(CARGO) && !defined(FIRST)
#error "choose the events: -DTEST (transfer test), -DCARGO (doors) or -DFIRST (first-engine pump, steering)"
#endif

#define YES 1
#define NO 0
#define NOBODY 2 /* in place of engine 0 or 1 */

/* Spool, in rising order. The near-idle band, where an engine still counts as turning at idle, is in no alphabet. */
#define ZERO 0
#define TURNING 1
#define DRIVING 2 /* engine pumps deliver from here on */
#define NEAR_IDLE 3
#define IDLE_SPEED 4

/* Engine modes */
#define STOPPED 0
#define CRANKING 1
#define AT_IDLE 2
#define RUNNING 3
#define RUN_DOWN 4

/* Switches */
#define SWITCH_OFF 0
#define SWITCH_AUTO 1
#define SWITCH_ON 2

/* Levers and travel of cargo doors */
#define NEUTRAL 0
#define TO_OPEN 1
#define TO_CLOSE 2
#define CLOSED 0
#define BETWEEN 1
#define OPEN 2

/* Door modes */
#define DOOR_IDLE 0
#define DOOR_ASKING 1
#define DOOR_AT_END 2
#define DOOR_BLOCKED 3
#define DOOR_TIMED_OUT 4

/* Reasons of electric pumps, CGO-14 */
#define PUMP_OFF 0
#define PUMP_NO_POWER 1
#define PUMP_FAILED 2
#define PUMP_OVERHEAT 3
#define PUMP_NOT_WANTED 4
#define PUMP_DRY 5
#define PUMP_DELIVERING 6

/* Demands */
#define CARGO_NONE 0
#define CARGO_DOOR 1
#define CARGO_CREW 2
#define KEEL_NONE 0
#define KEEL_ENGINE 1
#define KEEL_FLIGHT 2
#define KEEL_TOUCHDOWN 3
#define KEEL_OVERRIDE 4

/* Service mode */
#define NO_SERVICE 0
#define SERVICE 1
#define HOLD_OFF 2

/* Circuits and their status, CIR-1 */
#define PORT 0
#define STARBOARD 1
#define KEEL 2
#define STATUS_OFF 0
#define STATUS_LOW 1
#define STATUS_PARTIAL 2
#define STATUS_NORMAL 3

/* Transfer unit; a is port, b is starboard */
#define UNIT_OFF 0
#define UNIT_INHIBITED 1
#define UNIT_STANDBY 2
#define UNIT_A_DRIVES_B 3
#define UNIT_B_DRIVES_A 4
#define LEVEL_WITH 0
#define A_EXCEEDS 1
#define B_EXCEEDS 2

/* Transfer test */
#define TEST_IDLE 0
#define TEST_WAITING 1
#define TEST_HOLDING 2
#define TEST_DECIDED 3
#define NO_OUTCOME 0
#define PENDING 1
#define PASSED 2
#define FAILED 3
#define INTERRUPTED 4
#define NOT_RUN 5

/* Reasons of inhibition, PTU-12 */
#define FREE 0
#define SWITCHED_OFF 1   /* PTU-1 */
#define LOW_LEVEL 2      /* PTU-8 */
#define IN_SERVICE 3     /* CGO-7 */
#define ONE_ENGINE 4     /* PTU-2 */

/* Reasons of an outcome, PTU-5 */
#define NO_REASON 0
#define OFF 1            /* PTU-1 */
#define INHIBITED 2
#define NO_SOURCE 3      /* no circuit at own pressure from an engine pump, PTU-3 */
#define BOTH 4           /* both circuits at own pressure, PTU-3 */
#define GIVEN_UP 5       /* the start was given up, ENG-4, ENG-5 */
#define SOURCE_LOST 6    /* the driving circuit lost its pressure */
#define LIFT_OFF 7       /* PTU-13 */
#define COMPLETE 8       /* start sequence complete, PTU-4 */
#define OWN_PUMP 9       /* an own pump of the driven circuit delivers, PTU-4 */

/* Alert classes */
#define NO_ALERT 0
#define ADVISORY 1
#define CAUTION 2

/* Facts, GEN-5 */
byte spool[2];
bit external_power;
bit in_air;
bit brake_set = YES;
bit made[3];        /* pressure switches */
bit port_empty;
byte difference;    /* of own pressures */
byte lever[2];
byte travel[2];     /* CLOSED */
bit pin_in;
bit keel_fault;     /* the cause of a failure is present */
bit keel_hot;

/* Switches */
byte cargo_switch = SWITCH_AUTO;
byte keel_switch = SWITCH_AUTO;
bit unit_switch = YES;

/* What is remembered */
byte mode[2];
bit selected[2];          /* ENG-10 */
bit starter_seen_off[2];  /* ENG-8 */
bit judged[2];            /* PTU-3: once per start */
byte first = NOBODY;
byte second = NOBODY;
bit limit_reached[2];     /* CGO-10, by door */
byte service;
bit after_touchdown;      /* AUX-2 */
bit override_on;          /* AUX-4 */
bit keel_failed;          /* latched until reset */
byte unit = UNIT_STANDBY;
byte test;
byte test_engine = NOBODY;
bit too_late;             /* the layout time of the test is over */
byte driver = NOBODY;     /* the driving circuit of the test */
byte outcome;
byte outcome_why;
bit failed_caution;
bit disconnected;
byte settled_outcome;       /* as it was after the event before: for property 6 */
int settled_line;           /* the same for what can be seen, as a number; see observed.h */

/* Worked out anew each time; no part of the state */
hidden byte before, why;
hidden byte was_in_air;
hidden byte power;
hidden byte engine_pump[2];
hidden byte door[2];
hidden byte cargo_demand, cargo_reason;
hidden byte keel_demand, keel_reason;
hidden byte inhibition;
hidden byte status[3];
hidden byte steering_class;
hidden byte fresh_start;

c_code {
\#include "observed.h"
};

#define turns_by_itself(e) (mode[e] == AT_IDLE || mode[e] == RUNNING)
#define any_running (turns_by_itself(0) || turns_by_itself(1))
#define any_selected (selected[0] || selected[1])
#define lever_out(d) (lever[d] != NEUTRAL)
#define end_made(d) \
  ((lever[d] == TO_OPEN && travel[d] == OPEN) || (lever[d] == TO_CLOSE && travel[d] == CLOSED))
#define powered (external_power || any_running) /* both buses have the same sources */
#define test_active (test != TEST_IDLE)
#define transferring (unit == UNIT_A_DRIVES_B || unit == UNIT_B_DRIVES_A)
#define driven (1 - driver)
#define why_inhibited (unit_switch -> INHIBITED : OFF)
#define own_pump(c) (engine_pump[c] || (c == PORT && cargo_reason == PUMP_DELIVERING))
#define own_pressure(c) (made[c] && own_pump(c)) /* choice 1 */
#define engine_pressure(c) (made[c] && engine_pump[c])

inline settle_engine(e) {
  if
  :: mode[e] == CRANKING && spool[e] == IDLE_SPEED ->                          /* ENG-2, ENG-8 */
     mode[e] = (starter_seen_off[e] -> RUNNING : AT_IDLE)
  :: turns_by_itself(e) && spool[e] < NEAR_IDLE -> mode[e] = RUN_DOWN          /* ENG-9 */
  :: mode[e] == STOPPED && spool[e] > ZERO -> mode[e] = RUN_DOWN               /* ENG-9 */
  :: else
  fi;
  if
  :: mode[e] == RUN_DOWN && spool[e] == ZERO -> mode[e] = STOPPED              /* ENG-5 */
  :: else
  fi;
  if
  :: mode[e] != CRANKING -> starter_seen_off[e] = NO
  :: else
  fi;
  engine_pump[e] = (spool[e] >= DRIVING && !(e == 0 && port_empty))            /* EDP-1; pump 1 feeds port */
}

inline settle_roles() {                                                        /* ENG-7 */
  if
  :: first != NOBODY && turns_by_itself(first)
  :: else ->
     if
     :: turns_by_itself(0) -> first = 0
     :: !turns_by_itself(0) && turns_by_itself(1) -> first = 1
     :: else -> first = NOBODY
     fi
  fi;
  before = second;
  if
  :: first != NOBODY && (turns_by_itself(1 - first) || mode[1 - first] == CRANKING) -> second = 1 - first
  :: else -> second = NOBODY
  fi
}

inline settle_door(d) {
  if
  :: !lever_out(d) -> door[d] = DOOR_IDLE; limit_reached[d] = NO               /* CGO-3, CGO-10 */
  :: lever_out(d) && limit_reached[d] -> door[d] = DOOR_TIMED_OUT              /* CGO-10 */
  :: lever_out(d) && !limit_reached[d] && end_made(d) -> door[d] = DOOR_AT_END /* CGO-2 */
  :: else ->
     if
     :: cargo_switch == SWITCH_OFF || !power || in_air -> door[d] = DOOR_BLOCKED   /* CGO-8, CGO-9 */
     :: else -> door[d] = DOOR_ASKING                                          /* CGO-1 */
     fi
  fi
}

inline settle_cargo_pump() {
  if
  :: cargo_switch == SWITCH_ON -> cargo_demand = CARGO_CREW                    /* CGO-8 */
  :: cargo_switch == SWITCH_AUTO && (door[0] == DOOR_ASKING || door[1] == DOOR_ASKING) ->
     cargo_demand = CARGO_DOOR                                                 /* CGO-1, CGO-4 */
  :: else -> cargo_demand = CARGO_NONE
  fi;
  if                                                                           /* CGO-14 */
  :: cargo_switch == SWITCH_OFF -> cargo_reason = PUMP_OFF
  :: cargo_switch != SWITCH_OFF && !power -> cargo_reason = PUMP_NO_POWER
  :: cargo_switch != SWITCH_OFF && power && cargo_demand == CARGO_NONE -> cargo_reason = PUMP_NOT_WANTED
  :: cargo_switch != SWITCH_OFF && power && cargo_demand != CARGO_NONE ->
     cargo_reason = (port_empty -> PUMP_DRY : PUMP_DELIVERING)
  fi
}

inline settle_keel_pump() {
  if
  :: in_air || any_running -> override_on = NO; after_touchdown = NO           /* AUX-4, AUX-2 */
  :: else ->
     if
     :: was_in_air -> after_touchdown = YES                                    /* AUX-2: landing, no engine runs */
     :: else
     fi;
     if
     :: keel_switch == SWITCH_OFF -> override_on = NO                          /* AUX-4 */
     :: else
     fi
  fi;
  if                                                                           /* AUX-1 */
  :: any_running -> keel_demand = KEEL_ENGINE
  :: !any_running && in_air -> keel_demand = KEEL_FLIGHT
  :: !any_running && !in_air && override_on -> keel_demand = KEEL_OVERRIDE
  :: !any_running && !in_air && !override_on && after_touchdown -> keel_demand = KEEL_TOUCHDOWN
  :: else -> keel_demand = KEEL_NONE
  fi;
  if
  :: keel_fault -> keel_failed = YES
  :: else
  fi;
  if                                                                           /* AUX-3, CGO-14 */
  :: keel_switch == SWITCH_OFF -> keel_reason = PUMP_OFF
  :: keel_switch != SWITCH_OFF && !power -> keel_reason = PUMP_NO_POWER
  :: keel_switch != SWITCH_OFF && power && keel_failed -> keel_reason = PUMP_FAILED
  :: keel_switch != SWITCH_OFF && power && !keel_failed && keel_hot -> keel_reason = PUMP_OVERHEAT
  :: else -> keel_reason = (keel_demand == KEEL_NONE -> PUMP_NOT_WANTED : PUMP_DELIVERING)
  fi
}

inline settle_service() {
  if
  :: in_air -> service = NO_SERVICE                                            /* CGO-13 */
  :: !in_air && cargo_demand == CARGO_DOOR && cargo_reason == PUMP_DELIVERING && !engine_pump[0] ->
     service = SERVICE                                                         /* CGO-5, CGO-12 */
  :: else ->
     if
     :: cargo_switch == SWITCH_ON -> service = NO_SERVICE                      /* CGO-7, CGO-8 */
     :: cargo_switch != SWITCH_ON && service == SERVICE -> service = HOLD_OFF  /* CGO-7 */
     :: else
     fi
  fi
}

inline decide(what, reason) {
  outcome = what;
  outcome_why = reason;
  failed_caution = (what == FAILED -> YES : failed_caution)
}

inline begin_test(circuit) {                                                   /* PTU-3 */
  test = TEST_WAITING;
  test_engine = second;
  driver = circuit;
  outcome = PENDING;
  outcome_why = NO_REASON;
  failed_caution = NO                                                          /* PTU-14 */
}

inline end_test() {
  test = TEST_IDLE;
  test_engine = NOBODY;
  driver = NOBODY
}

/* A test that is on: its end, PTU-4, PTU-5 */
inline settle_end_of_test() {
  if
  :: test_active ->
     if
     :: mode[test_engine] == STOPPED || mode[test_engine] == RUN_DOWN -> why = GIVEN_UP
     :: else ->
        if
        :: inhibition != FREE -> why = why_inhibited
        :: else ->
           if
           :: in_air -> why = LIFT_OFF
           :: !in_air && mode[test_engine] == RUNNING -> why = COMPLETE
           :: !in_air && mode[test_engine] != RUNNING && own_pump(driven) -> why = OWN_PUMP
           :: !in_air && mode[test_engine] != RUNNING && !own_pump(driven) && !own_pressure(driver) ->
              why = SOURCE_LOST
           :: else -> why = NO_REASON
           fi
        fi
     fi;
     if
     :: why != NO_REASON ->
        if
        :: outcome == PENDING -> decide(INTERRUPTED, why)
        :: else
        fi;
        end_test()
     :: else
     fi
  :: else
  fi;
}

inline settle_unit() {
  /* PTU-12. PTU-7 asks for no exception: with all engines off none or all are not selected, and the crew's switch
   * has ended the hold-off. */
  if
  :: !unit_switch -> inhibition = SWITCHED_OFF; failed_caution = NO                 /* PTU-1, PTU-14 */
  :: unit_switch && port_empty -> inhibition = LOW_LEVEL                       /* PTU-8 */
  :: unit_switch && !port_empty && service != NO_SERVICE -> inhibition = IN_SERVICE   /* CGO-7 */
  :: unit_switch && !port_empty && service == NO_SERVICE ->
     if
     :: !in_air && (brake_set || disconnected) && selected[0] != selected[1] ->
        inhibition = ONE_ENGINE                                            /* PTU-2 */
     :: else -> inhibition = FREE
     fi
  fi;

  settle_end_of_test();

  /* A test that may begin, PTU-3, PTU-13 */
  if
  :: second != NOBODY && before != second && mode[second] == CRANKING && !judged[second] ->
     judged[second] = YES;
     if
     :: in_air || test_active
     :: else ->
        if
        :: inhibition != FREE -> decide(NOT_RUN, why_inhibited)
        :: else ->
           if
           :: engine_pressure(PORT) && !own_pressure(STARBOARD) ->
              begin_test(PORT)
           :: engine_pressure(STARBOARD) && !own_pressure(PORT) ->
              begin_test(STARBOARD)
           :: own_pressure(PORT) && own_pressure(STARBOARD) -> decide(NOT_RUN, BOTH)
           :: else -> decide(NOT_RUN, NO_SOURCE)
           fi
        fi
     fi
  :: else
  fi;

  settle_end_of_test();   /* choice 2: one that has just begun may be over already */

  /* The threshold: reached, lost again, and reached too late */
  if
  :: test == TEST_HOLDING && !made[driven] -> test = TEST_WAITING              /* choice 3 */
  :: else
  fi;
  if
  :: test == TEST_WAITING && made[driven] -> test = TEST_HOLDING
  :: test == TEST_WAITING && !made[driven] && too_late -> test = TEST_DECIDED; decide(FAILED, NO_REASON)
  :: else
  fi;
  if
  :: test != TEST_WAITING && test != TEST_HOLDING -> too_late = NO
  :: else
  fi;

  if
  :: inhibition != FREE -> unit = (unit_switch -> UNIT_INHIBITED : UNIT_OFF)
  :: inhibition == FREE && test_active -> unit = (driver == PORT -> UNIT_A_DRIVES_B : UNIT_B_DRIVES_A)
  :: else ->                                                                   /* PTU-6 */
     if
     :: difference == A_EXCEEDS && own_pump(PORT) -> unit = UNIT_A_DRIVES_B          /* PTU-11, choice 1 */
     :: difference == B_EXCEEDS && own_pump(STARBOARD) -> unit = UNIT_B_DRIVES_A
     :: else -> unit = UNIT_STANDBY
     fi
  fi
}

inline settle_status(c, wanted) {                                              /* CIR-1 */
  if
  :: made[c] && c == PORT && (service == SERVICE ||
       (service == HOLD_OFF && !engine_pump[0] && cargo_reason != PUMP_DELIVERING)) -> status[c] = STATUS_PARTIAL
  :: else ->
     if
     :: made[c] -> status[c] = STATUS_NORMAL
     :: !made[c] && (wanted || in_air) -> status[c] = STATUS_LOW
     :: else -> status[c] = STATUS_OFF
     fi
  fi
}

inline settle() {                                                              /* GEN-3 */
  settle_engine(0);
  settle_engine(1);
  settle_roles();
  power = powered;
  settle_door(0);
  settle_door(1);
  settle_cargo_pump();
  settle_keel_pump();
  settle_service();
  fresh_start = (second != NOBODY && before != second && mode[second] == CRANKING && !judged[second]);
  settle_unit();
  settle_status(PORT,
    (turns_by_itself(0) || cargo_demand != CARGO_NONE || (unit == UNIT_B_DRIVES_A && !test_active)));
  settle_status(STARBOARD, (turns_by_itself(1) || (unit == UNIT_A_DRIVES_B && !test_active)));
  settle_status(KEEL, (keel_switch != SWITCH_OFF && keel_demand != KEEL_NONE));
  if
  :: !disconnected -> steering_class = NO_ALERT                                /* STR-3 */
  :: disconnected && (any_running || in_air) -> steering_class = CAUTION       /* STR-2, STR-6 */
  :: disconnected && !any_running && !in_air -> steering_class = ADVISORY      /* STR-1 */
  fi;
  was_in_air = NO;
  must_hold();
  settled_outcome = outcome;
  c_code { observe(); }
}

/* What must hold in every reachable state, 1 to 6; said with the rules' own words and not with the variables
 * that the settling uses for them. */
inline must_hold() {
  /* 1: a unit that is off or inhibited transfers nothing */
  assert(!(transferring && (!unit_switch || port_empty || service != NO_SERVICE ||
    (!in_air && (brake_set || disconnected) && selected[0] != selected[1]))));
  /* 2: in service mode nothing outside the service branch is available: the main branch needs `normal` */
  assert(!(service == SERVICE && status[PORT] == STATUS_NORMAL));
  /* 3: the cargo pump runs only for an asking door or for its crew switch */
  assert(!(cargo_reason == PUMP_DELIVERING && cargo_switch != SWITCH_ON &&
    !(lever_out(0) && !end_made(0) && !limit_reached[0] && !in_air && cargo_switch == SWITCH_AUTO) &&
    !(lever_out(1) && !end_made(1) && !limit_reached[1] && !in_air && cargo_switch == SWITCH_AUTO)));
  /* 4: the keel pump runs exactly as AUX-1 to AUX-4 say */
  assert((keel_reason == PUMP_DELIVERING) ==
    (keel_switch == SWITCH_AUTO && powered && !keel_failed && !keel_fault && !keel_hot &&
      (any_running || in_air || override_on || after_touchdown)));
  assert(!(override_on && (any_running || in_air || keel_switch == SWITCH_OFF)));
  /* 5: steering disconnected with an engine running always shows the caution */
  assert(!(disconnected && any_running && steering_class != CAUTION));
  assert(disconnected || steering_class == NO_ALERT);
  /* 6: every test that began has exactly one outcome: open while it runs, never none after it, never changed
   * but by the start of another engine or another start */
  assert((test == TEST_WAITING || test == TEST_HOLDING) == (outcome == PENDING));
  assert(test != TEST_DECIDED || outcome == PASSED || outcome == FAILED);
  assert(outcome == settled_outcome || settled_outcome == PENDING || fresh_start);
  assert(outcome != NO_OUTCOME || settled_outcome == NO_OUTCOME)
}

/* Every event says its word, so that what each event does can be compared as well. */
#define EVENT(word) c_code { happens = word; }
#define CHANGES(word, fact, value) :: d_step { fact != value -> fact = value; EVENT(word) }

#define ENGINE_STARTS(e, name) \
  :: d_step { mode[e] == STOPPED || mode[e] == RUN_DOWN ->                     /* ENG-1, ENG-5 */ \
       mode[e] = CRANKING; selected[e] = YES; starter_seen_off[e] = NO; judged[e] = NO; EVENT("start " name) } \
  :: d_step { (mode[e] != STOPPED && mode[e] != RUN_DOWN) || selected[e] ->    /* ENG-4, ENG-5, ENG-10 */ \
       mode[e] = (mode[e] == STOPPED -> STOPPED : RUN_DOWN); selected[e] = NO; EVENT("shut-down " name) } \
  :: d_step { mode[e] == AT_IDLE -> mode[e] = RUNNING; EVENT("starter-out " name) }     /* ENG-3 */ \
  :: d_step { mode[e] == CRANKING && !starter_seen_off[e] -> starter_seen_off[e] = YES; \
       EVENT("starter-out " name) }                                            /* ENG-8 */ \
  CHANGES("spool " name " zero", spool[e], ZERO) \
  CHANGES("spool " name " idle", spool[e], IDLE_SPEED)

#define ABORT(e, name) \
  :: d_step { mode[e] == CRANKING -> mode[e] = RUN_DOWN; selected[e] = NO; EVENT("abort-start " name) } /* ENG-4 */

#define ENGINE_FAILS(e, name) \
  :: d_step { mode[e] == CRANKING -> mode[e] = RUN_DOWN; selected[e] = NO; EVENT("hang " name) }        /* ENG-4 */ \
  :: d_step { mode[e] == CRANKING -> mode[e] = RUN_DOWN; selected[e] = NO; EVENT("flame-out " name) }   /* ENG-4 */ \
  :: d_step { turns_by_itself(e) -> mode[e] = RUN_DOWN; EVENT("flame-out " name) }               /* ENG-5, ENG-10 */

#define AIR_GROUND \
  :: d_step { !in_air -> in_air = YES; EVENT("air-ground air") } \
  :: d_step { in_air -> in_air = NO; was_in_air = YES; EVENT("air-ground ground") }

#define TOUCHDOWN_DELAY :: d_step { after_touchdown -> after_touchdown = NO; EVENT("expires touchdown") }

#define DOOR(d, name) \
  CHANGES("lever " name " neutral", lever[d], NEUTRAL) \
  CHANGES("lever " name " open", lever[d], TO_OPEN) \
  CHANGES("lever " name " close", lever[d], TO_CLOSE) \
  CHANGES("travel " name " closed", travel[d], CLOSED) \
  CHANGES("travel " name " between", travel[d], BETWEEN) \
  CHANGES("travel " name " open", travel[d], OPEN) \
  :: d_step { !limit_reached[d] && lever_out(d) && (end_made(d) || (service == SERVICE && may_ask)) -> \
       limit_reached[d] = YES; EVENT("expires run " name) }                    /* CGO-10 */
#define may_ask (!in_air && powered && cargo_switch != SWITCH_OFF)

#define PRESSURE(c, name) \
  CHANGES("pressure " name " made", made[c], YES) \
  CHANGES("pressure " name " open", made[c], NO)

#define EXTERNAL_POWER \
  CHANGES("external-power on", external_power, YES) \
  CHANGES("external-power off", external_power, NO)

init {
  d_step { settle() };
  do
  :: atomic {
       if
#ifndef SHORT
       AIR_GROUND
       TOUCHDOWN_DELAY
#endif
#ifdef TEST
       ENGINE_STARTS(0, "1")
       ENGINE_STARTS(1, "2")
       ABORT(0, "1")
       ABORT(1, "2")
       /* The engines are alike: it is enough that one of them fails, or windmills. */
       CHANGES("spool 2 driving", spool[1], DRIVING)
#ifndef SHORT
       ENGINE_FAILS(1, "2")
#endif
       CHANGES("switch transfer auto", unit_switch, YES)
       CHANGES("switch transfer off", unit_switch, NO)
#ifndef SHORT
       CHANGES("parking-brake set", brake_set, YES)
       CHANGES("parking-brake released", brake_set, NO)
       CHANGES("difference level", difference, LEVEL_WITH)
       CHANGES("difference a-exceeds", difference, A_EXCEEDS)
       CHANGES("difference b-exceeds", difference, B_EXCEEDS)
#endif
       PRESSURE(PORT, "port")
       PRESSURE(STARBOARD, "starboard")
       :: d_step { (test == TEST_WAITING || test == TEST_HOLDING) && !too_late ->
            too_late = YES; EVENT("expires test") }
       :: d_step { test == TEST_HOLDING -> test = TEST_DECIDED; decide(PASSED, NO_REASON); EVENT("expires held") }
#endif
#ifdef CARGO
       DOOR(0, "forward")
       DOOR(1, "aft")
       CHANGES("switch cargo-pump off", cargo_switch, SWITCH_OFF)
       CHANGES("switch cargo-pump auto", cargo_switch, SWITCH_AUTO)
       CHANGES("switch cargo-pump on", cargo_switch, SWITCH_ON)
       EXTERNAL_POWER
       PRESSURE(PORT, "port")
       CHANGES("level port empty", port_empty, YES)
       CHANGES("level port normal", port_empty, NO)
       CHANGES("spool 1 zero", spool[0], ZERO)
       CHANGES("spool 1 driving", spool[0], DRIVING)
       :: d_step { service == HOLD_OFF -> service = NO_SERVICE; EVENT("expires hold-off") }
#endif
#ifdef FIRST
       ENGINE_STARTS(0, "1")
       ENGINE_STARTS(1, "2")
       CHANGES("switch keel-pump off", keel_switch, SWITCH_OFF)
       CHANGES("switch keel-pump auto", keel_switch, SWITCH_AUTO)
       :: d_step { !override_on && !any_running && !in_air && keel_switch != SWITCH_OFF ->   /* AUX-4 */
            override_on = YES; after_touchdown = NO; EVENT("ground-override") }               /* choice 5 */
       EXTERNAL_POWER
       :: d_step { disconnected && !pin_in -> disconnected = NO; EVENT("steering connect") }   /* STR-5 */
       :: d_step { !disconnected && !in_air -> disconnected = YES; EVENT("steering disconnect") }   /* choice 4 */
       :: d_step { !pin_in && disconnected -> pin_in = YES; EVENT("pin in") }                  /* STR-5 */
       CHANGES("pin out", pin_in, NO)
       CHANGES("failure keel-pump present", keel_fault, YES)
       CHANGES("failure keel-pump absent", keel_fault, NO)
       CHANGES("overheat keel-pump present", keel_hot, YES)
       CHANGES("overheat keel-pump absent", keel_hot, NO)
       :: d_step { keel_failed && !keel_fault -> keel_failed = NO; EVENT("reset keel-pump") }  /* EDP-4 */
#endif
       fi;
       d_step { settle() }
     }
  od
}
