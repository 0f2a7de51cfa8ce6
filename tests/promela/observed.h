/*
 * What can be seen of a state of twin_freighter.pml, as one line of text. Included by the verifier that SPIN writes,
 * which has the state in `now`. When the verifier ends, the file named by the environment variable OBSERVED gets
 *   - every distinct line, the first seen first, and "." on a line of its own;
 *   - every distinct step that changes what can be seen: "FROM TO EVENT", where FROM and TO are numbers of lines.
 */
#include <stdio.h>
#include <stdlib.h>

typedef unsigned long long key_type;

/* Numbers that were seen, each once, in the order in which they were seen. */
struct seen {
  key_type *keys;
  unsigned *table; /* place in `keys` + 1, or 0 */
  unsigned long table_size, count;
};

static struct seen lines, steps;
static const char *happens; /* the word of the event that is being settled */
static const char *event_words[100];
static unsigned event_count;

static const char *const engine_words[] = {"stopped", "cranking", "at-idle", "running", "run-down"};
static const char *const pump_words[] = {"off",        "no-power", "failed",    "overheat",
                                         "not-wanted", "dry",      "delivering"};
static const char *const cargo_words[] = {"none", "door", "crew"};
static const char *const keel_words[] = {"none", "engine", "flight", "touchdown", "override"};
static const char *const door_words[] = {"idle", "asking", "at-end", "blocked", "timed-out"};
static const char *const service_words[] = {"none", "service", "hold-off"};
static const char *const status_words[] = {"off", "low", "partial", "normal"};
static const char *const unit_words[] = {"off", "inhibited", "standby", "a-drives-b", "b-drives-a"};
static const char *const inhibition_words[] = {"none", "switched-off", "low-level", "service", "single-engine"};
static const char *const test_words[] = {"idle", "waiting", "holding", "decided"};
static const char *const outcome_words[] = {"none", "pending", "passed", "failed", "interrupted", "not-run"};
static const char *const reason_words[] = {"none",
                                           "unit-off",
                                           "unit-inhibited",
                                           "no-engine-pressure",
                                           "both-have-pressure",
                                           "start-given-up",
                                           "driving-lost",
                                           "lift-off",
                                           "start-complete",
                                           "own-pump-delivers"};
static const char *const steering_words[] = {"connected", "disconnected", "pinned"};
static const char *const class_words[] = {"none", "advisory", "caution"};

static unsigned *place_in_table(struct seen *set, key_type key) {
  unsigned long i;
  for (i = (unsigned long)((key * 0x9E3779B97F4A7C15ull) >> 20);; ++i) {
    unsigned *place = &set->table[i & (set->table_size - 1)];
    if (!*place || set->keys[*place - 1] == key) return place;
  }
}

/* The number of a key, counted from 0; a new key gets the next one. */
static unsigned number_of(struct seen *set, key_type key) {
  unsigned *place;
  if (set->count * 2 >= set->table_size) {
    unsigned long i;
    free(set->table);
    set->table_size = set->table_size ? set->table_size * 4 : 4096;
    set->table = calloc(set->table_size, sizeof *set->table);
    set->keys = realloc(set->keys, set->table_size * sizeof *set->keys);
    for (i = 0; i < set->count; ++i) *place_in_table(set, set->keys[i]) = (unsigned)i + 1;
  }
  place = place_in_table(set, key);
  if (!*place) {
    set->keys[set->count] = key;
    *place = (unsigned)++set->count;
  }
  return *place - 1;
}

static unsigned taken_apart(key_type *key, unsigned values) {
  unsigned value = (unsigned)(*key % values);
  *key /= values;
  return value;
}

static void write_line(FILE *file, key_type key) {
  unsigned first, second, reason;
  fprintf(file, "engines %s", engine_words[taken_apart(&key, 5)]);
  fprintf(file, ",%s", engine_words[taken_apart(&key, 5)]);
  first = taken_apart(&key, 3);
  second = taken_apart(&key, 3);
  fprintf(file, " roles %s,%s", first == 0 ? "first" : second == 0 ? "second" : "none",
          first == 1 ? "first" : second == 1 ? "second" : "none");
  fprintf(file, " engine-pumps %u", taken_apart(&key, 2));
  fprintf(file, ",%u", taken_apart(&key, 2));
  reason = taken_apart(&key, 7);
  fprintf(file, " cargo-pump %d,%s", reason == 6, pump_words[reason]);
  fprintf(file, ",%s", cargo_words[taken_apart(&key, 3)]);
  reason = taken_apart(&key, 7);
  fprintf(file, " keel-pump %d,%s", reason == 6, pump_words[reason]);
  fprintf(file, ",%s", keel_words[taken_apart(&key, 5)]);
  fprintf(file, " doors %s", door_words[taken_apart(&key, 5)]);
  fprintf(file, ",%s", door_words[taken_apart(&key, 5)]);
  fprintf(file, " service %s", service_words[taken_apart(&key, 3)]);
  fprintf(file, " circuits %s", status_words[taken_apart(&key, 4)]);
  fprintf(file, ",%s", status_words[taken_apart(&key, 4)]);
  fprintf(file, ",%s", status_words[taken_apart(&key, 4)]);
  fprintf(file, " transfer %s", unit_words[taken_apart(&key, 5)]);
  fprintf(file, ",%s", inhibition_words[taken_apart(&key, 5)]);
  fprintf(file, " test %s", test_words[taken_apart(&key, 4)]);
  fprintf(file, ",%s", outcome_words[taken_apart(&key, 6)]);
  fprintf(file, ",%s", reason_words[taken_apart(&key, 10)]);
  fprintf(file, " failed-caution %u", taken_apart(&key, 2));
  fprintf(file, " steering %s", steering_words[taken_apart(&key, 3)]);
  fprintf(file, ",%s\n", class_words[taken_apart(&key, 3)]);
}

/* A step is one number: of its event, of the line it leads from and of the line it leads to. */
#define LINE_BITS 24
#define LINE_MASK ((1u << LINE_BITS) - 1)

static void write_observed(void) {
  const char *name = getenv("OBSERVED");
  FILE *file = name ? fopen(name, "w") : 0;
  unsigned long i;
  if (!file) return;
  for (i = 0; i < lines.count; ++i) write_line(file, lines.keys[i]);
  fprintf(file, ".\n");
  for (i = 0; i < steps.count; ++i) {
    key_type step = steps.keys[i];
    fprintf(file, "%u %u %s\n", (unsigned)(step >> LINE_BITS) & LINE_MASK, (unsigned)step & LINE_MASK,
            event_words[step >> (2 * LINE_BITS)]);
  }
  fclose(file);
}

static key_type key_of_state(void) {
  /* Mixed radix, the last part first, so that taking apart gives the first part first. */
  key_type key = 0;
  key = key * 3 + steering_class;
  key = key * 3 + now.disconnected + now.pin_in;
  key = key * 2 + now.failed_caution;
  key = key * 10 + now.outcome_why;
  key = key * 6 + now.outcome;
  key = key * 4 + now.test;
  key = key * 5 + inhibition;
  key = key * 5 + now.unit;
  key = key * 4 + status[2];
  key = key * 4 + status[1];
  key = key * 4 + status[0];
  key = key * 3 + now.service;
  key = key * 5 + door[1];
  key = key * 5 + door[0];
  key = key * 5 + keel_demand;
  key = key * 7 + keel_reason;
  key = key * 3 + cargo_demand;
  key = key * 7 + cargo_reason;
  key = key * 2 + engine_pump[1];
  key = key * 2 + engine_pump[0];
  key = key * 3 + now.second;
  key = key * 3 + now.first;
  key = key * 5 + now.mode[1];
  key = key * 5 + now.mode[0];
  return key;
}

static unsigned number_of_event(void) {
  unsigned i;
  for (i = 0; i < event_count; ++i) {
    if (event_words[i] == happens) return i;
  }
  event_words[event_count] = happens;
  return event_count++;
}

/* To be called when an event has settled. `now.settled_line` is what the event before left. */
static void observe(void) {
  static int asked, wanted;
  unsigned line;
  if (!asked) {
    asked = 1;
    wanted = getenv("OBSERVED") != 0;
    if (wanted) atexit(write_observed);
  }
  if (!wanted) return;
  line = number_of(&lines, key_of_state());
  if (happens && line != (unsigned)now.settled_line) {
    number_of(&steps, (((key_type)number_of_event() << LINE_BITS | (unsigned)now.settled_line) << LINE_BITS) | line);
  }
  now.settled_line = (int)line;
}
