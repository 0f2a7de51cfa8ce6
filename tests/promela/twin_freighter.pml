/*
 * What the logic of the aircraft twin-freighter must do, as a Promela model. It was written from the rules in
 * sentences and the aircraft file, not from penstock's tables, so that two independent readings of the same rules
 * can be compared: SPIN goes through this one, and its set of observable states must be the one penstock reaches.
 * Rule ids stand beside the statements.
 *
 * One outside event at a time; after each the logic settles in the order of GEN-3, and the state is looked at after
 * that. A timer that counts may expire at any moment, as an event. Choose the alphabet of events with -DTEST, -DCARGO
 * or -DFIRST; everything outside the alphabet stays cold and dark (GEN-5).
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

/* Reasons of inhibition (PTU-12) and of an outcome (PTU-5) */
#define WHY_NONE 0
#define WHY_OFF 1         /* PTU-1 */
#define WHY_LEVEL 2       /* PTU-8 */
#define WHY_SERVICE 3     /* CGO-7 */
#define WHY_ONE_ENGINE 4  /* PTU-2 */
#define WHY_GIVEN_UP 5    /* the start was given up, ENG-4, ENG-5 */
#define WHY_IN_FLIGHT 6   /* PTU-13 */
#define WHY_COMPLETE 7    /* start sequence complete, PTU-4 */
#define WHY_OWN_PUMP 8    /* an own pump of the driven circuit delivers, PTU-4 */
#define WHY_NO_SOURCE 9   /* no circuit at own pressure from an engine pump, PTU-3 */
#define WHY_BOTH 10       /* both circuits at own pressure, PTU-3 */
#define WHY_SOURCE_LOST 11

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
byte driver = NOBODY;     /* the driving circuit of the test */
byte outcome;
byte outcome_why;
bit failed_caution;
bit disconnected;
byte settled_outcome;       /* as it was after the event before: for property 6 */

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
/* Own pressure: without what the transfer unit adds. */
#define own_pressure(c) (made[c] && (engine_pump[c] || (c == PORT && cargo_reason == PUMP_DELIVERING) || \
  !((c == PORT && unit == UNIT_B_DRIVES_A) || (c == STARBOARD && unit == UNIT_A_DRIVES_B))))
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
  outcome_why = WHY_NONE;
  failed_caution = NO                                                          /* PTU-14 */
}

inline end_test() {
  test = TEST_IDLE;
  test_engine = NOBODY;
  driver = NOBODY
}

inline settle_unit() {
  /* PTU-12. PTU-7 asks for no exception: with all engines off none or all are not selected, and the crew's switch
   * has ended the hold-off. */
  if
  :: !unit_switch -> inhibition = WHY_OFF; failed_caution = NO                 /* PTU-1, PTU-14 */
  :: unit_switch && port_empty -> inhibition = WHY_LEVEL                       /* PTU-8 */
  :: unit_switch && !port_empty && service != NO_SERVICE -> inhibition = WHY_SERVICE   /* CGO-7 */
  :: unit_switch && !port_empty && service == NO_SERVICE ->
     if
     :: !in_air && (brake_set || disconnected) && selected[0] != selected[1] ->
        inhibition = WHY_ONE_ENGINE                                            /* PTU-2 */
     :: else -> inhibition = WHY_NONE
     fi
  fi;

  /* A test that is on: its end, PTU-4, PTU-5 */
  if
  :: test_active ->
     if
     :: mode[test_engine] == STOPPED || mode[test_engine] == RUN_DOWN -> why = WHY_GIVEN_UP
     :: else ->
        if
        :: inhibition != WHY_NONE -> why = inhibition
        :: else ->
           if
           :: in_air -> why = WHY_IN_FLIGHT
           :: !in_air && mode[test_engine] == RUNNING -> why = WHY_COMPLETE
           :: !in_air && mode[test_engine] != RUNNING && engine_pump[driven] -> why = WHY_OWN_PUMP
           :: !in_air && mode[test_engine] != RUNNING && !engine_pump[driven] && !engine_pressure(driver) ->
              why = WHY_SOURCE_LOST
           :: else -> why = WHY_NONE
           fi
        fi
     fi;
     if
     :: why != WHY_NONE ->
        if
        :: outcome == PENDING -> decide(INTERRUPTED, why)
        :: else
        fi;
        end_test()
     :: else
     fi
  :: else
  fi;

  /* A test that may begin, PTU-3, PTU-13 */
  if
  :: second != NOBODY && before != second && mode[second] == CRANKING && !judged[second] ->
     judged[second] = YES;
     if
     :: in_air || test_active
     :: else ->
        if
        :: inhibition != WHY_NONE -> decide(NOT_RUN, inhibition)
        :: else ->
           if
           :: engine_pressure(PORT) && !own_pressure(STARBOARD) ->
              if
              :: engine_pump[STARBOARD] -> decide(NOT_RUN, WHY_OWN_PUMP)
              :: else -> begin_test(PORT)
              fi
           :: engine_pressure(STARBOARD) && !own_pressure(PORT) ->
              if
              :: engine_pump[PORT] -> decide(NOT_RUN, WHY_OWN_PUMP)
              :: else -> begin_test(STARBOARD)
              fi
           :: own_pressure(PORT) && own_pressure(STARBOARD) -> decide(NOT_RUN, WHY_BOTH)
           :: else -> decide(NOT_RUN, WHY_NO_SOURCE)
           fi
        fi
     fi
  :: else
  fi;

  /* The threshold: reached, and held */
  if
  :: test == TEST_WAITING && made[driven] -> test = TEST_HOLDING
  :: test == TEST_HOLDING && !made[driven] -> test = TEST_DECIDED; decide(FAILED, WHY_NONE)
  :: else
  fi;

  if
  :: inhibition != WHY_NONE -> unit = (unit_switch -> UNIT_INHIBITED : UNIT_OFF)
  :: inhibition == WHY_NONE && test_active -> unit = (driver == PORT -> UNIT_A_DRIVES_B : UNIT_B_DRIVES_A)
  :: else ->                                                                   /* PTU-6 */
     if
     :: difference == A_EXCEEDS -> unit = UNIT_A_DRIVES_B
     :: difference == B_EXCEEDS -> unit = UNIT_B_DRIVES_A
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

#define ENGINE_STARTS(e) \
  :: d_step { mode[e] == STOPPED || mode[e] == RUN_DOWN ->                     /* ENG-1, ENG-5 */ \
       mode[e] = CRANKING; selected[e] = YES; starter_seen_off[e] = NO; judged[e] = NO } \
  :: d_step { (mode[e] != STOPPED && mode[e] != RUN_DOWN) || selected[e] ->    /* ENG-4, ENG-5, ENG-10 */ \
       mode[e] = (mode[e] == STOPPED -> STOPPED : RUN_DOWN); selected[e] = NO } \
  :: d_step { mode[e] == AT_IDLE -> mode[e] = RUNNING }                        /* ENG-3: starter out */ \
  :: d_step { mode[e] == CRANKING && !starter_seen_off[e] -> starter_seen_off[e] = YES }  /* ENG-8 */

#define ENGINE_FAILS(e) \
  :: d_step { mode[e] == CRANKING -> mode[e] = RUN_DOWN; selected[e] = NO }    /* ENG-4: abort, hang, flame-out */ \
  :: d_step { turns_by_itself(e) -> mode[e] = RUN_DOWN }                       /* ENG-5, ENG-10: flame-out */

#define CHANGES(fact, value) :: d_step { fact != value -> fact = value }

#define AIR_GROUND \
  :: d_step { !in_air -> in_air = YES } \
  :: d_step { in_air -> in_air = NO; was_in_air = YES }

#define TOUCHDOWN_DELAY :: d_step { after_touchdown -> after_touchdown = NO }

#define DOOR(d) \
  CHANGES(lever[d], NEUTRAL) CHANGES(lever[d], TO_OPEN) CHANGES(lever[d], TO_CLOSE) \
  CHANGES(travel[d], CLOSED) CHANGES(travel[d], BETWEEN) CHANGES(travel[d], OPEN) \
  :: d_step { !limit_reached[d] && lever_out(d) && (end_made(d) || (service == SERVICE && door_asks(d))) -> \
       limit_reached[d] = YES }                                                /* CGO-10 */
#define door_asks(d) (!in_air && powered && cargo_switch != SWITCH_OFF)

init {
  d_step { settle() };
  do
  :: atomic {
       if
#ifdef TEST
       ENGINE_STARTS(0)
       ENGINE_STARTS(1)
       ENGINE_FAILS(0)
       ENGINE_FAILS(1)
       CHANGES(spool[0], ZERO)
       CHANGES(spool[0], DRIVING)
       CHANGES(spool[0], IDLE_SPEED)
       CHANGES(spool[1], ZERO)
       CHANGES(spool[1], DRIVING)
       CHANGES(spool[1], IDLE_SPEED)
       CHANGES(unit_switch, YES)
       CHANGES(unit_switch, NO)
       CHANGES(brake_set, YES)
       CHANGES(brake_set, NO)
       CHANGES(made[PORT], YES)
       CHANGES(made[PORT], NO)
       CHANGES(made[STARBOARD], YES)
       CHANGES(made[STARBOARD], NO)
       CHANGES(difference, LEVEL_WITH)
       CHANGES(difference, A_EXCEEDS)
       CHANGES(difference, B_EXCEEDS)
       AIR_GROUND
       TOUCHDOWN_DELAY
       :: d_step { test == TEST_WAITING -> test = TEST_DECIDED; decide(FAILED, WHY_NONE) }
       :: d_step { test == TEST_HOLDING -> test = TEST_DECIDED; decide(PASSED, WHY_NONE) }
#endif
#ifdef CARGO
       DOOR(0)
       DOOR(1)
       CHANGES(cargo_switch, SWITCH_OFF)
       CHANGES(cargo_switch, SWITCH_AUTO)
       CHANGES(cargo_switch, SWITCH_ON)
       CHANGES(external_power, YES)
       CHANGES(external_power, NO)
       CHANGES(made[PORT], YES)
       CHANGES(made[PORT], NO)
       CHANGES(port_empty, YES)
       CHANGES(port_empty, NO)
       CHANGES(spool[0], ZERO)
       CHANGES(spool[0], DRIVING)
       AIR_GROUND
       TOUCHDOWN_DELAY
       :: d_step { service == HOLD_OFF -> service = NO_SERVICE }
#endif
#ifdef FIRST
       ENGINE_STARTS(0)
       ENGINE_STARTS(1)
       CHANGES(spool[0], ZERO)
       CHANGES(spool[0], IDLE_SPEED)
       CHANGES(spool[1], ZERO)
       CHANGES(spool[1], IDLE_SPEED)
       CHANGES(keel_switch, SWITCH_OFF)
       CHANGES(keel_switch, SWITCH_AUTO)
       :: d_step { !override_on && !any_running && !in_air && keel_switch != SWITCH_OFF -> override_on = YES }
       CHANGES(external_power, YES)
       CHANGES(external_power, NO)
       AIR_GROUND
       TOUCHDOWN_DELAY
       :: d_step { disconnected && !pin_in -> disconnected = NO }              /* STR-5 */
       :: d_step { !disconnected -> disconnected = YES }
       :: d_step { !pin_in && disconnected -> pin_in = YES }                   /* STR-5 */
       :: d_step { pin_in -> pin_in = NO }
       CHANGES(keel_fault, YES)
       CHANGES(keel_fault, NO)
       CHANGES(keel_hot, YES)
       CHANGES(keel_hot, NO)
       :: d_step { keel_failed && !keel_fault -> keel_failed = NO }            /* EDP-4 */
#endif
       fi;
       d_step { settle() }
     }
  od
}
