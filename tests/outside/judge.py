#!/usr/bin/env python3
"""Holds the judge against a general geometry library, on small random layouts.

Outside source: Shapely, which asks GEOS; two interiors meet when the DE-9IM matrix
begins with something other than F, one covers another when nothing of it lies outside
(OGC Simple Features, 06-103r4, section 6.1.15).

Coordinates are whole numbers, but the places where edges cross are not, and a root seldom
is: the library rounds both. So where it says otherwise than the judge, where a distance is
the gap but for rounding, and in one case of a thousand anyhow, fractions decide
(exact.py). Those cases are counted.

    judge.py PROGRAM [COUNT [FIRST]]   (judge_cases.c, built)
"""
import array
import collections
import json
import math
import struct
import subprocess
import sys

from shapely import wkb

import exact

OFF_SHEET, ON_FORBIDDEN, OVERLAP, GAP, _TURN, COUNT = range(6)
NAMES = ("off the sheet", "on forbidden", "overlap", "gap", "turn", "count")
SAMPLED = 1000  # one case of so many is decided by fractions as well
ROUNDING = 1e-6  # far more than the library's, far less than what coordinates can differ by


def polygon(rings):
    """From flat lists of x, y; through bytes, since nothing else is as fast."""
    parts = [b"\x01\x03\x00\x00\x00", struct.pack("<I", len(rings))]
    for ring in rings:
        closed = array.array("d", ring + ring[:2])
        parts += [struct.pack("<I", len(closed) // 2), closed.tobytes()]
    return wkb.loads(b"".join(parts))


def meet(a, b):
    return a.relate_pattern(b, "T********")


class Case:
    """One layout: its shapes, and each question with the library's answer."""

    def __init__(self, line):
        self.data = json.loads(line)
        self.placements = self.data["placements"]
        self.faults = {tuple(fault) for fault in self.data["faults"]}
        self.shapes = [[polygon([ring]) for ring in placement["outlines"]]
                       for placement in self.placements]

    def gap(self, i, k):
        """In whole units; a millionth of one is the rounding of a decimal."""
        widest = max(self.data["gap_mm"], self.placements[i]["gap_mm"],
                     self.placements[k]["gap_mm"])
        return math.ceil(widest * 100 - 1e-6)

    def on_sheet(self):
        outline, *holes = [polygon([ring]) for ring in self.data["sheet"]]
        for i, shapes in enumerate(self.shapes):
            good = outline.covers(shapes[0]) and not any(meet(shapes[0], hole) for hole in holes)
            yield (OFF_SHEET, i, -1, 0), not good, (
                lambda i=i: exact.off_sheet(self.placements[i]["outlines"][0], self.data["sheet"]))

    def on_forbidden(self):
        for depth, areas in enumerate(self.data["forbidden"]):
            for index, rings in enumerate(areas):
                area = polygon(rings)
                for i, shapes in enumerate(self.shapes):
                    if depth < len(shapes):
                        outline = self.placements[i]["outlines"][depth]
                        yield (ON_FORBIDDEN, i, index, depth), meet(shapes[depth], area), (
                            lambda outline=outline, rings=rings: exact.meets(outline, rings))

    def pairs(self):
        outlines = [placement["outlines"][0] for placement in self.placements]
        for i in range(len(outlines)):
            for k in range(i + 1, len(outlines)):
                a, b, gap = self.shapes[i][0], self.shapes[k][0], self.gap(i, k)
                overlap = meet(a, b)
                yield (OVERLAP, i, k, 0), overlap, (
                    lambda i=i, k=k: exact.meets(outlines[i], [outlines[k]]))
                if gap > 0 and (OVERLAP, i, k, 0) not in self.faults:
                    distance = a.distance(b)
                    near = None if abs(distance - gap) < ROUNDING else distance < gap
                    yield (GAP, i, k, 0), near, (
                        lambda i=i, k=k, gap=gap: exact.nearer(outlines[i], outlines[k], gap))

    def counts(self):
        placed = collections.Counter()
        for i, placement in enumerate(self.placements):
            placed[placement["piece"]] += 1
            yield (COUNT, i, -1, 0), placed[placement["piece"]] > placement["demand"], None


class Tally:
    def __init__(self):
        self.cases = 0
        self.accepted = 0
        self.verdicts = collections.Counter()
        self.tied = 0  # the library's answer is within its rounding
        self.library_wrong = 0
        self.sampled = 0
        self.wrong = 0

    def ask(self, case, question):
        fault, theirs, decide = question
        ours = fault in case.faults
        self.verdicts[fault[0], ours] += 1
        self.tied += theirs is None
        sampled = decide and case.data["trial"] % SAMPLED == 0
        self.sampled += bool(sampled)
        if theirs == ours and not sampled:
            return
        truth = decide() if decide else theirs
        if truth == ours:
            self.library_wrong += theirs is not None and theirs != ours
        else:
            self.wrong += 1
            print(f"{NAMES[fault[0]]}: the judge says {ours}, the library {theirs}, "
                  f"fractions {truth}: {json.dumps(case.data)}")

    def take(self, line):
        case = Case(line)
        self.cases += 1
        geometric = {fault for fault in case.faults if NAMES[fault[0]] not in ("turn", "gap")}
        self.accepted += not case.faults
        asked = set()
        for questions in (case.on_sheet, case.on_forbidden, case.pairs, case.counts):
            for question in questions():
                asked.add(question[0])
                self.ask(case, question)
        if not geometric <= asked:
            self.wrong += 1
            print(f"faults that cannot be: {geometric - asked}: {line}")

    def report(self):
        print(f"{self.cases} cases, {self.accepted} accepted")
        for kind in (OFF_SHEET, ON_FORBIDDEN, OVERLAP, GAP, COUNT):
            print(f"{NAMES[kind]:14} {self.verdicts[kind, True]:9} "
                  f"not {self.verdicts[kind, False]:9}")
        print(f"decided by fractions: {self.tied} distances that are the gap but for rounding, "
              f"{self.library_wrong} answers of the library that were wrong, "
              f"{self.sampled} by way of sampling")
        print(f"wrong answers of the judge: {self.wrong}")


def main():
    tally = Tally()
    with subprocess.Popen(sys.argv[1:], stdout=subprocess.PIPE, text=True) as cases:
        for line in cases.stdout:
            tally.take(line)
    tally.report()
    # A test that hardly meets the hard cases proves little.
    enough = all(tally.verdicts[kind, verdict] * 20 >= tally.cases
                 for kind in (OFF_SHEET, ON_FORBIDDEN, OVERLAP, GAP, COUNT)
                 for verdict in (False, True))
    if not enough:
        print("too few cases of one kind")
    return 1 if cases.returncode or tally.wrong or not enough else 0


if __name__ == "__main__":
    sys.exit(main())
