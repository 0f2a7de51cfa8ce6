/*
 * What can be seen of a state of twin_freighter.pml, as one line of text. Included by the verifier that SPIN writes,
 * which has the state in `now`. Every distinct observation is kept once and written to the file named by the
 * environment variable OBSERVED, in any order, when the verifier ends.
 */
#include <stdio.h>
#include <stdlib.h>

static unsigned long long *observed_slots;
static unsigned long observed_size, observed_count;

static const char *const engine_words[] = {"stopped", "cranking", "at-idle", "running", "run-down"};
static const char *const role_words[] = {"none", "first", "second"};
static const char *const who_words[] = {"1", "2", "-"};
static const char *const pump_words[] = {"off",        "no-power", "failed",    "overheat",
                                         "not-wanted", "dry",      "delivering"};
static const char *const cargo_words[] = {"none", "door", "crew"};
static const char *const keel_words[] = {"none", "engine", "flight", "touchdown", "override"};
static const char *const door_words[] = {"idle", "asking", "at-end", "blocked", "timed-out"};
static const char *const service_words[] = {"none", "service", "hold-off"};
static const char *const status_words[] = {"off", "low", "partial", "normal"};
static const char *const unit_words[] = {"off", "inhibited", "standby", "a-drives-b", "b-drives-a"};
static const char *const test_words[] = {"idle", "waiting", "holding", "decided"};
static const char *const outcome_words[] = {"none", "pending", "passed", "failed", "interrupted", "not-run"};
static const char *const why_words[] = {"-",          "switched-off",   "low-level",     "service",  "one-engine",
                                        "given-up",   "in-flight",      "start-complete", "own-pump", "no-source",
                                        "both-at-pressure", "source-lost"};
static const char *const class_words[] = {"none", "advisory", "caution"};

static unsigned taken_apart(unsigned long long *key, unsigned values) {
  unsigned value = (unsigned)(*key % values);
  *key /= values;
  return value;
}

static void write_observed(void) {
  const char *name = getenv("OBSERVED");
  FILE *file = name ? fopen(name, "w") : 0;
  unsigned long i;
  if (!file) return;
  for (i = 0; i < observed_size; ++i) {
    unsigned long long key = observed_slots[i];
    unsigned first, second, reason;
    if (!key) continue;
    --key;
    fprintf(file, "engines %s", engine_words[taken_apart(&key, 5)]);
    fprintf(file, ",%s", engine_words[taken_apart(&key, 5)]);
    first = taken_apart(&key, 3);
    second = taken_apart(&key, 3);
    fprintf(file, " roles %s,%s first %s second %s", role_words[first == 0 ? 1 : second == 0 ? 2 : 0],
            role_words[first == 1 ? 1 : second == 1 ? 2 : 0], who_words[first], who_words[second]);
    fprintf(file, " engine-pumps %u", taken_apart(&key, 2));
    fprintf(file, ",%u", taken_apart(&key, 2));
    reason = taken_apart(&key, 7);
    fprintf(file, " cargo-pump %d,%s", reason == 6, pump_words[reason]);
    reason = taken_apart(&key, 7);
    fprintf(file, " keel-pump %d,%s", reason == 6, pump_words[reason]);
    fprintf(file, " demands %s", cargo_words[taken_apart(&key, 3)]);
    fprintf(file, ",%s", keel_words[taken_apart(&key, 5)]);
    fprintf(file, " doors %s", door_words[taken_apart(&key, 5)]);
    fprintf(file, ",%s", door_words[taken_apart(&key, 5)]);
    fprintf(file, " service %s", service_words[taken_apart(&key, 3)]);
    fprintf(file, " circuits %s", status_words[taken_apart(&key, 4)]);
    fprintf(file, ",%s", status_words[taken_apart(&key, 4)]);
    fprintf(file, ",%s", status_words[taken_apart(&key, 4)]);
    fprintf(file, " unit %s", unit_words[taken_apart(&key, 5)]);
    fprintf(file, ",%s", why_words[taken_apart(&key, 12)]);
    fprintf(file, " test %s", test_words[taken_apart(&key, 4)]);
    fprintf(file, ",%s", outcome_words[taken_apart(&key, 6)]);
    fprintf(file, ",%s", why_words[taken_apart(&key, 12)]);
    fprintf(file, " failed-caution %u", taken_apart(&key, 2));
    fprintf(file, " steering %s", taken_apart(&key, 2) ? "disconnected" : "connected");
    fprintf(file, ",%s\n", class_words[taken_apart(&key, 3)]);
  }
  fclose(file);
}

static void remember(unsigned long long key) {
  unsigned long i;
  for (i = (unsigned long)((key * 0x9E3779B97F4A7C15ull) >> 20); observed_slots[i & (observed_size - 1)]; ++i) {
    if (observed_slots[i & (observed_size - 1)] == key) return;
  }
  observed_slots[i & (observed_size - 1)] = key;
  ++observed_count;
}

static void observe(void) {
  /* Mixed radix, the last part first, so that taking apart gives the first part first. */
  unsigned long long key = 0;
  key = key * 3 + steering_class;
  key = key * 2 + now.disconnected;
  key = key * 2 + now.failed_caution;
  key = key * 12 + now.outcome_why;
  key = key * 6 + now.outcome;
  key = key * 4 + now.test;
  key = key * 12 + inhibition;
  key = key * 5 + now.unit;
  key = key * 4 + status[2];
  key = key * 4 + status[1];
  key = key * 4 + status[0];
  key = key * 3 + now.service;
  key = key * 5 + door[1];
  key = key * 5 + door[0];
  key = key * 5 + keel_demand;
  key = key * 3 + cargo_demand;
  key = key * 7 + keel_reason;
  key = key * 7 + cargo_reason;
  key = key * 2 + engine_pump[1];
  key = key * 2 + engine_pump[0];
  key = key * 3 + now.second;
  key = key * 3 + now.first;
  key = key * 5 + now.mode[1];
  key = key * 5 + now.mode[0];
  ++key; /* 0 is an empty slot */
  if (!observed_slots) {
    observed_size = 1 << 12;
    observed_slots = calloc(observed_size, sizeof *observed_slots);
    atexit(write_observed);
  }
  if (observed_count * 2 > observed_size) {
    unsigned long long *old = observed_slots;
    unsigned long old_size = observed_size, i;
    observed_size *= 4;
    observed_slots = calloc(observed_size, sizeof *observed_slots);
    observed_count = 0;
    for (i = 0; i < old_size; ++i) {
      if (old[i]) remember(old[i]);
    }
    free(old);
  }
  remember(key);
}
