"""Judges what llvm-cov saw: every condition of every decision in the files of the scope. Called by .ci/mcdc.

A decision with && or || needs for each of its conditions a pair of test vectors: the condition differs, the outcome
differs, and every other condition is the same or was not looked at (short circuit). A decision of one condition needs
both of its sides, a case of a switch needs to be taken. Instances of a template are one decision: what the tests show in
one instance and in another counts together. Each use of a macro is a decision of its own.

A fold over a pack (a list of rungs or rows) is a search: its operands stand at one place, and what counts is at which
of them it ends. So each instance is judged by itself, and each of its operands needs to have ended the search and to
have been passed over; the last operand of a list that always finds something cannot be passed over.
"""
import json
import os
import re
import sys

BRANCH, EXPANSION = 4, 1  # kinds of region in the JSON of llvm-cov


class Source:
    """The text of one file, by llvm-cov's lines and columns, both from 1."""

    def __init__(self, path):
        with open(path, encoding="utf-8") as file:
            self.lines = file.read().split("\n")

    def line(self, number):
        return self.lines[number - 1].strip()

    def text(self, span):
        line, column, end_line, end_column = span
        if line == end_line:
            text = self.lines[line - 1][column - 1:end_column - 1]
        else:
            text = " ".join([self.lines[line - 1][column - 1:], *self.lines[line:end_line - 1],
                             self.lines[end_line - 1][:end_column - 1]])
        return " ".join(text.split())

    def operators(self):
        """Where && and || stand as operators: with blanks around, unlike the && of a reference; folds left out."""
        for number, line in enumerate(self.lines, 1):
            code = re.sub(r'"(\\.|[^"\\])*"', lambda found: '"' * len(found.group()), line).split("//")[0]
            for found in re.finditer(r"(?<= )(&&|\|\|)(?= |$)(?! \.\.\.)", code):
                if not re.search(r"\) && \{ return", code):  # a member function of an rvalue
                    yield number, found.start() + 1


class Decision:
    """One decision: where its conditions begin, and the test vectors that were seen, as ("TF-", "T")."""

    def __init__(self, span, conditions):
        self.span = span
        self.conditions = conditions
        self.vectors = set()

    def is_fold(self):
        return len(set(self.conditions)) == 1

    def has_pair(self, index):
        def independent(one, other):
            return (one[1] != other[1] and {one[0][index], other[0][index]} == {"T", "F"} and
                    all(i == index or a == b or "-" in (a, b) for i, (a, b) in enumerate(zip(one[0], other[0]))))

        seen = list(self.vectors)
        return any(independent(a, b) for n, a in enumerate(seen) for b in seen[n + 1:])

    def lacking_in_fold(self):
        sides = [{vector[index] for vector, _ in self.vectors} for index in range(len(self.conditions))]
        always_finds = all(outcome == "T" for _, outcome in self.vectors)
        lacking = sum("T" not in side for side in sides) + sum("F" not in side for side in sides)
        return max(0, lacking - (1 if always_finds and lacking else 0))


def decisions_of(shown, scope):
    """The decisions in the text of `llvm-cov show --show-mcdc`: {path: [Decision]}; instances of one are joined."""
    found, joined = {path: [] for path in scope}, {}
    path = decision = None
    for line in shown:
        line = line.rstrip("\n")
        if line.startswith("/") and line.endswith(":"):
            path = line[:-1]
        elif path not in scope or "|" not in line:
            continue
        elif match := re.search(r"MC/DC Decision Region \((\d+):(\d+)\) to \((\d+):(\d+)\)", line):
            decision = Decision(tuple(map(int, match.groups())), [])
        elif match := re.search(r"Condition C\d+ --> \((\d+):(\d+)\)", line):
            decision.conditions.append((int(match[1]), int(match[2])))
        elif match := re.search(r"\d+ \{ ([TF\-, ]+?) += ([TF]) +\}", line):
            decision.vectors.add((match[1].replace(" ", "").replace(",", ""), match[2]))
        elif "MC/DC Coverage for Decision" in line:
            key = (path, decision.span, tuple(decision.conditions))
            if decision.is_fold() or key not in joined:
                found[path].append(decision)
                joined[key] = decision
            else:
                joined[key].vectors |= decision.vectors
    return found


def branches_of(exported, scope):
    """The branches of all functions: {path: {(span, uses of macros): [times true, times false, kind]}}."""
    found = {path: {} for path in scope}
    for function in exported["data"][0]["functions"]:
        names = function["filenames"]
        used_at = {region[6]: (region[5], tuple(region[0:2])) for region in function["regions"] if region[7] == EXPANSION}
        for branch in function["branches"]:
            file = at = branch[6]
            if names[file] not in scope:
                continue
            uses = []
            while at in used_at:
                at, place = used_at[at]
                uses.append(place)
            seen = found[names[file]].setdefault((tuple(branch[0:4]), tuple(uses)), [0, 0, branch[8]])
            seen[0] += branch[4]
            seen[1] += branch[5]
    return found


def judged(source, decisions, branches):
    """How many conditions there are, and what each of those lacks that are not covered: (line, column, text, what, more)."""
    total, missing = 0, []
    ends = {span[0:2]: span for span, _ in branches}
    for decision in sorted(decisions, key=lambda one: one.span):
        total += len(decision.conditions)
        if decision.is_fold():
            if lacking := decision.lacking_in_fold():
                seen = "; ".join(f"{vector} = {outcome}" for vector, outcome in sorted(decision.vectors))
                missing.append((*decision.span[0:2], source.line(decision.span[0]), f"{lacking} sides not seen", seen))
            continue
        for index, place in enumerate(decision.conditions):
            if not decision.has_pair(index):
                seen = "; ".join(f"{vector} = {outcome}" for vector, outcome in sorted(decision.vectors))
                missing.append((*place, source.text(ends.get(place, decision.span)), "no pair",
                                f"condition {index + 1} of {source.text(decision.span)}; seen: {seen or 'nothing'}"))
    for (span, uses), (yes, no, kind) in sorted(branches.items()):
        line, column = uses[-1] if uses else span[0:2]
        text = source.line(line) if uses else source.text(span)
        is_case = re.match(r"(case\b|default\b)", text) and not uses
        is_switch = re.search(r"\bswitch \($", source.lines[line - 1][:column - 1])
        if kind != BRANCH or is_switch or "= default;" in source.line(line):  # the compiler's own comparison
            continue
        total += 1
        if is_case and yes == 0:
            missing.append((line, column, text, "never taken", ""))
        elif not is_case and (yes == 0 or no == 0):
            what = "never reached" if yes == no else "never true" if yes == 0 else "never false"
            missing.append((line, column, text, what, ""))
    for place in source.operators():
        if not any(one.span[0:2] <= place < one.span[2:4] for one in decisions):
            total += 1
            missing.append((*place, source.line(place[0]), "not measured", ""))
    return total, sorted(missing)


def justifications_in(path):
    """[[line number, file, condition, what, reason]]; blank lines and lines with # are comments."""
    entries = []
    with open(path, encoding="utf-8") as file:
        for number, line in enumerate(file, 1):
            if line.strip() and not line.startswith("#"):
                parts = [part.strip() for part in line.split(" | ")]
                if len(parts) != 4 or not all(parts):
                    sys.exit(f"{path}:{number}: not 'FILE | CONDITION | WHAT IT LACKS | REASON'")
                entries.append([number, *parts])
    return entries


def main():
    top, exported, shown, justified, *names = sys.argv[1:]
    scope = {os.path.join(top, name): name for name in names}
    with open(exported, encoding="utf-8") as file:
        branches = branches_of(json.load(file), scope)
    with open(shown, encoding="utf-8") as file:
        decisions = decisions_of(file, scope)
    entries = justifications_in(justified)

    wrong = 0
    sums = [0, 0, 0]
    print("%-48s %10s %10s %10s" % ("", "conditions", "uncovered", "justified"))
    for path, name in sorted(scope.items()):
        total, missing = judged(Source(path), decisions[path], branches[path])
        excused, open_ = 0, []
        for line, column, text, what, more in missing:
            # each entry justifies one condition, so that a second one like it does not hide behind it
            entry = next((one for one in entries if one[1:4] == [name, text, what]), None)
            if entry:
                entries.remove(entry)
                excused += 1
            else:
                open_.append(f"{name}:{line}:{column}: {what}: {text}" + (f"\n    {more}" if more else ""))
        print("%-48s %10d %10d %10d" % (name, total, len(open_), excused), *open_, sep="\n")
        wrong += len(open_)
        sums = [a + b for a, b in zip(sums, (total, len(open_), excused))]
    print("%-48s %10d %10d %10d" % ("all", *sums))
    where = os.path.relpath(justified, top)
    for number, name, text, what, _ in entries:
        print(f"{where}:{number}: not needed any more: {name} | {text} | {what}")
        wrong += 1
    if wrong:
        print(f"write a test that covers the condition, or simplify the code; what no test can cover goes into {where}")
    return 1 if wrong else 0


sys.exit(main())
