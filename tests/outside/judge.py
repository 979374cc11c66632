#!/usr/bin/env python3
"""Holds the judge's geometry against a general library.

Outside source: Shapely, which asks GEOS; two interiors meet when the DE-9IM matrix
begins with something other than F (OGC Simple Features, 06-103r4, section 6.1.15).
Coordinates are small whole numbers, so that both sides are exact.

    judge.py PROGRAM   (judge_cases.c, built)
"""
import collections
import json
import subprocess
import sys

from shapely.geometry import LinearRing, Polygon


def nearer(a, b, gap):
    """Whether two rings' edges are nearer than `gap`."""
    distance = LinearRing(a.exterior).distance(LinearRing(b.exterior))
    # Equal but for rounding: squares of distances from points to edges are ratios of
    # small whole numbers here, so a true difference would be far larger.
    return abs(distance - gap) >= 1e-9 and distance < gap


def verdicts(case):
    a, b = Polygon(case["a"]), Polygon(case["b"])
    return {
        "meet": a.relate_pattern(b, "T********"),
        "within": b.covers(a),
        "nearer": nearer(a, b, case["gap"]),
    }


def main():
    lines = subprocess.run([sys.argv[1]], check=True, capture_output=True, text=True).stdout
    counts = collections.Counter()
    wrong = 0
    for line in lines.splitlines():
        case = json.loads(line)
        for name, theirs in verdicts(case).items():
            ours = bool(case[name])
            counts[name, ours] += 1
            if ours != theirs:
                wrong += 1
                print(f"{name}: the lattice says {ours}, the library {theirs}: {line}")
        a, b = Polygon(case["a"]), Polygon(case["b"])
        counts["touching", a.touches(b)] += 1
    for (name, verdict), count in sorted(counts.items()):
        print(f"{name:9} {str(verdict):6} {count}")
    # A test that hardly meets the hard cases proves little.
    enough = all(counts[name, verdict] >= 500 for name in ("meet", "within", "nearer", "touching")
                 for verdict in (False, True))
    if not enough:
        print("too few cases of one kind")
    return 1 if wrong or not enough else 0


if __name__ == "__main__":
    sys.exit(main())
