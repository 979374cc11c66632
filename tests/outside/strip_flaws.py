"""Random strips with flaws and locked pieces, verified with shapely from what was asked for.

Outside source: shapely (GEOS), a general-purpose geometry library. The outlines are moved
here, by the placements alone; the judge rounds them to a lattice of 0.01 mm, so anything
within 0.02 mm of touching counts as touching.
"""
import collections
import json
import math
import sys

from shapely.affinity import affine_transform
from shapely.geometry import Polygon

from program import Checks, run

SLACK_MM = 0.02


def moved(outline, placement):
    cos, sin = math.cos(placement["turn_rad"]), math.sin(placement["turn_rad"])
    return affine_transform(Polygon(outline),
                            [cos, -sin, sin, cos, placement["x_mm"], placement["y_mm"]])


def keeps_off(outline, area):
    return not outline.buffer(-SLACK_MM).intersects(area.buffer(-SLACK_MM))


def check_flaws(checks, case, placed, label):
    areas = [(0, Polygon(hole)) for hole in case["holes"]]
    for depth, polygons in enumerate(case["forbidden"]):
        areas += [(depth, Polygon(rings[0], rings[1:])) for rings in polygons]
    clear = all(keeps_off(outlines[depth], area) for depth, area in areas for outlines in placed
                if depth < len(outlines))
    checks.that(clear, f"{label}: clear of {len(areas)} flaws, each at its depth")


def check_case(checks, case):
    label = f"case {case['case']}"
    pieces = case["pieces"]
    placements = case["placements"]
    placed = [[moved(outline, p) for outline in pieces[p["piece"]]["outlines"]]
              for p in placements]
    wanted = {i: piece["demand"] for i, piece in enumerate(pieces)}
    checks.that(collections.Counter(p["piece"] for p in placements) == wanted,
                f"{label}: all pieces, as often as wanted")
    # To the last digit.
    still = [{**p, "locked": True} for p in case["locked"]]
    checks.that([p for p in placements if p["locked"]] == still,
                f"{label}: {len(still)} locked pieces stay")
    strip = Polygon(case["strip"]).buffer(SLACK_MM)
    whole = [outlines[0] for outlines in placed]
    checks.that(all(outline.within(strip) for outline in whole), f"{label}: within the strip")
    least = max(case["gap_mm"] - 2 * SLACK_MM, 0)
    clear = all(keeps_off(first, second) and first.distance(second) >= least
                for i, first in enumerate(whole) for second in whole[:i])
    checks.that(clear, f"{label}: no overlap, a gap of {case['gap_mm']:g} mm")
    check_flaws(checks, case, placed, label)
    reach = max(outline.bounds[2] for outline in whole)
    checks.near(reach, case["length_mm"], SLACK_MM, f"{label}: length")


def main():
    checks = Checks()
    cases = [json.loads(line) for line in run(sys.argv[1], *sys.argv[2:]).splitlines()]
    for case in cases:
        check_case(checks, case)
    checks.that(sum(len(case["locked"]) for case in cases) > len(cases) / 3,
                "some pieces were locked")
    checks.that(len(cases) > 0, f"{len(cases)} strips")
    checks.end()


if __name__ == "__main__":
    main()
