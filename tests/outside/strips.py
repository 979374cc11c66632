"""Layouts of two strip instances, verified with shapely from the files alone.

Outside sources: shapely (GEOS), a general-purpose geometry library, and the instances
themselves (ESICUP, Cutting & Packing Datasets 2025, CC0 1.0). Results are rounded to a
lattice, whose step the layout file states in the instance's own units; anything within
two steps of touching counts as touching.
"""
import collections
import json
import pathlib
import sys

from shapely.affinity import rotate, translate
from shapely.geometry import Polygon, box

from program import ROOT, Checks, folder, run

INSTANCES = ["fu", "shapes0"]
DATA = ROOT / "benches" / "data" / "strips"


def turned_off(kind, placed, turn_deg):
    """How far a placed outline is from its kind, turned and shifted as stated."""
    turned = rotate(kind, turn_deg, origin=(0, 0))
    shifted = translate(turned, placed.bounds[0] - turned.bounds[0],
                        placed.bounds[1] - turned.bounds[1])
    return max(abs(a - b) for p, q in zip(shifted.exterior.coords, placed.exterior.coords)
               for a, b in zip(p, q))


def check_layout(checks, said, instance):
    layout = json.loads(pathlib.Path(said["layout"]).read_text(encoding="utf-8"))
    label = f"{said['instance']}, seed {said['seed']}"
    slack = 2 * layout["lattice"]
    kinds = {piece["id"]: Polygon(piece["outline"]) for piece in instance["pieces"]}
    wanted = {piece["id"]: piece["demand"] for piece in instance["pieces"]}
    placed = [(p, Polygon(p["outline"])) for p in layout["placements"]]
    checks.that(collections.Counter(p["piece"] for p, _ in placed) == wanted,
                f"{label}: all pieces, as often as wanted")
    checks.that(all(turned_off(kinds[p["piece"]], outline, p["turn_deg"]) <= slack
                    for p, outline in placed), f"{label}: no piece has changed its shape")
    allowed = [angle % 360 for angle in instance["allowed_rotations_deg"]]
    checks.that(all(min(abs(p["turn_deg"] % 360 - angle) for angle in allowed) < 1e-4
                    for p, _ in placed), f"{label}: turned by allowed angles only")
    strip = box(-slack, -slack, said["length"] + slack, instance["strip_width"] + slack)
    checks.that(all(outline.within(strip) for _, outline in placed), f"{label}: within the strip")
    shrunk = [outline.buffer(-slack) for _, outline in placed]
    clear = not any(first.intersects(second) for i, first in enumerate(shrunk)
                    for second in shrunk[:i])
    checks.that(clear, f"{label}: no overlap")
    area = sum(kinds[p["piece"]].area for p, _ in placed)
    checks.near(100 * area / (instance["strip_width"] * said["length"]), said["density"], 0.01,
                f"{label}: density")
    reach = max(outline.bounds[2] for _, outline in placed)
    checks.near(reach, said["length"], slack, f"{label}: length")
    # Clearly more than a careless layout: pieces merely laid in a row stay far below.
    checks.that(said["density"] > 50, f"{label}: a density of {said['density']:.1f} %")


def main():
    checks = Checks()
    with folder() as out:
        answer = run(sys.argv[1], "--data", str(DATA), "--instances", ",".join(INSTANCES),
                     "--seconds", "0.2", "--seeds", "2", "--beside", "2", "--out", out)
        runs = [json.loads(line) for line in answer.splitlines() if line.startswith("{")]
        checks.that(len(runs) == 2 * len(INSTANCES), "one line for each run")
        for said in runs:
            path = DATA / f"{said['instance']}.json"
            check_layout(checks, said, json.loads(path.read_text(encoding="utf-8")))
    checks.end()


if __name__ == "__main__":
    main()
