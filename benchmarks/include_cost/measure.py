#!/usr/bin/env python3
"""What does it cost to include penstock/penstock.hpp, beside the standard headers it needs anyway, and how
much does a program grow that links it?

  measure.py                    9 interleaved repetitions with g++
  measure.py --compiler clang++-19 --repetitions 15
  measure.py --callgrind        also the instructions of the compiler (slow, repeatable)
  measure.py --dry              one repetition, no linking; for checks

Times are CPU seconds of the compiler. They drift; the bytes after preprocessing do not, and they alone
decide the exit code: 1 when they exceed --limit times those of the standard headers.
Needs Python, the compiler, Boost 1.81 for the growth of a program, valgrind for --callgrind.
"""

import argparse
import os
import pathlib
import re
import resource
import shlex
import statistics
import subprocess
import sys
import tempfile

TOP = pathlib.Path(__file__).resolve().parents[2]
INCLUDE = TOP / "include"
CORE = sorted((TOP / "src").glob("*.cpp"))

# Both programs use the same parts of the standard library, so that the difference is penstock.
WITHOUT = """
#include <cstdio>
#include <functional>
#include <string>
#include <vector>
int main(int count, char** words) {
  std::vector<std::string> all(words, words + count);
  std::function<void(const std::string&)> print = [](const std::string& s) { std::puts(s.c_str()); };
  try {
    for (const auto& s : all) print(s + std::to_string(s.at(0)));
  } catch (const std::exception& e) {
    std::puts(e.what());
  }
}
"""
WITH_TRANSITION = WITHOUT.replace("int main", """
#include "penstock/penstock.hpp"
void use(const std::function<void(const std::string&)>& print) {
  using namespace penstock;
  const auto made = layout::from(layouts::twin_freighter());
  if (!made) return print(to_string(made.problem()));
  state now = cold_and_dark(*made);
  now = transition(*made, now, events::external_power(true)).after;
  now = transition(*made, now, events::lever(0, lever_position::open)).after;
  print(std::string{word(observe(*made, now).circuits[0].status)});
}
int main""").replace("  try {", "  use(print);\n  try {")
WITH_ALL = WITH_TRANSITION.replace("  print(std::string{word(", """
  simulation told{*made, plant_kind::quasi_static, now};
  told.advance(milliseconds{12'000});
  print(in_words(explain(*made, told.now(), events::electric_pump(0))));
  for (const auto& r : all_rules()) print(std::string{r.id});
  print(std::string{places_besides_rows().front().what});
  print(std::string{word(""")


def standard_headers():
    """Standard headers that penstock.hpp includes, directly or through other headers of ours."""
    seen, todo, found = set(), ["penstock/penstock.hpp"], set()
    while todo:
        name = todo.pop()
        if name in seen:
            continue
        seen.add(name)
        text = (INCLUDE / name).read_text(encoding="utf-8")
        found.update(re.findall(r"^#include <([^>]+)>", text, re.M))
        todo += re.findall(r'^#include "([^"]+)"', text, re.M)
    return sorted(found)


def run(command, **more):
    done = subprocess.run(command, capture_output=True, text=True, check=False, **more)
    if done.returncode != 0:
        sys.exit(f"measure.py: failed: {shlex.join(command)}\n{done.stderr}")
    return done


def cpu_seconds(command):
    """CPU time of a command and its children."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    run(command)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def processor():
    try:
        for line in open("/proc/cpuinfo", encoding="utf-8"):
            if line.startswith("model name"):
                return line.split(":", 1)[1].strip()
    except OSError:
        pass
    return "unknown"


def instructions(command, folder):
    """Instructions of the compiler proper, counted by callgrind."""
    verbose = run(command + ["-###"]).stderr
    proper = next(line for line in verbose.splitlines() if "cc1plus" in line or '"-cc1"' in line)
    words = shlex.split(proper)
    out = run(["valgrind", "--tool=callgrind", f"--callgrind-out-file={folder}/callgrind.out"] + words).stderr
    return int(re.search(r"Collected : (\d+)", out).group(1))


def stripped_size(program):
    run(["strip", str(program)])
    return program.stat().st_size


def main():
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--compiler", default=os.environ.get("CXX", "g++"))
    options.add_argument("--repetitions", type=int, default=9)
    options.add_argument("--limit", type=float, default=1.5)
    options.add_argument("--callgrind", action="store_true")
    options.add_argument("--dry", action="store_true")
    chosen = options.parse_args()
    repetitions = 1 if chosen.dry else chosen.repetitions
    base = [chosen.compiler, "-std=c++20", f"-I{INCLUDE}"]

    print(f"compiler: {run([chosen.compiler, '--version']).stdout.splitlines()[0]}")
    print(f"processor: {processor()}")
    headers = standard_headers()
    print(f"standard headers needed: {' '.join(headers)}\n")

    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        rows = {
            "empty file": "",
            "standard headers": "".join(f"#include <{h}>\n" for h in headers),
            "penstock/penstock.hpp": '#include "penstock/penstock.hpp"\n',
        }
        sources = {}
        for i, (row, text) in enumerate(rows.items()):
            sources[row] = folder / f"include_{i}.cpp"
            sources[row].write_text(text, encoding="utf-8")
        sizes = {row: len(run(base + ["-E", "-P", str(s)]).stdout.encode()) for row, s in sources.items()}
        times = {row: [] for row in rows}
        for _ in range(repetitions):  # one of each in turn: drift hits all alike
            for row, s in sources.items():
                times[row].append(cpu_seconds(base + ["-O2", "-c", str(s), "-o", str(folder / "include.o")]))
        counts = {}
        if chosen.callgrind:
            counts = {row: instructions(base + ["-O2", "-c", str(s), "-o", str(folder / "c.o")], folder)
                      for row, s in sources.items()}

        print(f"{'one file that includes':26}{'bytes after -E -P':>20}{'CPU s, median':>16}", end="")
        print(f"{'least':>8}{'most':>8}", end="")
        print(f"{'instructions':>18}" if counts else "")
        for row in rows:
            t = times[row]
            print(f"{row:26}{sizes[row]:>20,}{statistics.median(t):>16.3f}", end="")
            print(f"{min(t):>8.3f}{max(t):>8.3f}", end="")
            print(f"{counts[row]:>18,}" if counts else "")
        ours, theirs = "penstock/penstock.hpp", "standard headers"
        by_size = sizes[ours] / sizes[theirs]
        by_time = statistics.median(times[ours]) / statistics.median(times[theirs])
        print(f"penstock beside the standard headers: {by_size:.2f} x the bytes, {by_time:.2f} x the time", end="")
        print(f", {counts[ours] / counts[theirs]:.2f} x the instructions" if counts else "")

        if not chosen.dry:
            print("\ngrowth of a stripped program, -O2 -static:")
            objects = []
            for part in CORE:
                objects.append(str(folder / f"{part.stem}.o"))
                run(base + ["-O2", "-ffp-contract=off", "-c", str(part), "-o", objects[-1]])
            library = folder / "libpenstock.a"
            run(["ar", "rcs", str(library)] + objects)
            without = None
            for label, text in (("without penstock", WITHOUT), ("layout, transition, observe", WITH_TRANSITION),
                                ("and simulation, explain, rules", WITH_ALL)):
                source, program = folder / "program.cpp", folder / "program"
                source.write_text(text, encoding="utf-8")
                run(base + ["-O2", "-static", str(source), str(library), "-o", str(program)])
                size = stripped_size(program)
                without = without or size
                print(f"  {label:32}{size:>12,} bytes{size - without:>+12,}")

        if by_size > chosen.limit:
            print(f"measure.py: {by_size:.2f} is above the limit of {chosen.limit}", file=sys.stderr)
            return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
