"""Layouts on hides with flaws, verified with shapely from the files alone.

Outside source: shapely (GEOS), a general-purpose geometry library. The hides and pieces in
the folder `hides` are invented; when SEATWRIGHT_HIDES names a folder of the same form
(docs/benches.md), one problem of real hides is verified too. What is verified is the plain
reading of the data, quality by quality, not the nested outlines that the bench makes of it.
Results are rounded to a lattice; anything within two steps of touching counts as touching.
"""
import collections
import json
import os
import pathlib
import sys

from shapely.affinity import rotate, translate
from shapely.geometry import Polygon
from shapely.ops import unary_union

from program import Checks, folder, run

INVENTED = pathlib.Path(__file__).with_name("hides")
FULL = 4


def whole(quality):
    return FULL if quality is None else quality


def polygon(points):
    return Polygon(points).buffer(0)


def moved(shape, placement):
    turned = rotate(shape, placement["turn_deg"], origin=(0, 0))
    return translate(turned, placement["x"], placement["y"])


def strict_part(piece, quality):
    """What of a piece may not lie on leather of this quality."""
    outline = polygon(piece["outline"])
    parts = [(whole(a["min_quality"]), polygon(a["polygon"])) for a in piece["areas"]]
    strict = [part.intersection(outline) for least, part in parts if least > quality]
    if whole(piece["min_quality"]) > quality:
        strict.append(outline.difference(unary_union([part for _, part in parts])))
    return unary_union(strict)


def forbidden_pairs(layout, piece):
    """For each quality of flaws, the part of the piece that keeps off it."""
    if layout["flaws"] == "all":
        return [(quality, polygon(piece["outline"])) for quality in (0, 1, 2)]
    pairs = [(quality, strict_part(piece, quality)) for quality in (1, 2, 3)]
    return [(0, polygon(piece["outline"])), *pairs]


def check_placement(checks, layout, placement, piece, hide, label):
    slack = 2 * layout["lattice"]
    placed = Polygon(placement["outline"])
    original = moved(Polygon(piece["outline"]), placement)
    checks.that(placed.symmetric_difference(original).area <= slack * placed.length,
                f"{label} has kept its shape")
    checks.that(min(abs((placement["turn_deg"] - way + 180) % 360 - 180) for way in (0, 180))
                <= 10 + 1e-6, f"{label} is turned by 10 degrees at most")
    checks.that(placed.buffer(-slack).within(polygon(hide["outline"])), f"{label} lies on the hide")
    clear = True
    for quality, part in forbidden_pairs(layout, piece):
        inner = moved(part, placement).buffer(-slack)
        flaws = [polygon(a["polygon"]) for a in hide["areas"] if a["quality"] == quality]
        clear = clear and not inner.intersects(unary_union(flaws))
    checks.that(clear, f"{label} keeps off what it may not contain")


def check_layout(checks, data, said):
    layout = json.loads(pathlib.Path(said["layout"]).read_text(encoding="utf-8"))
    hides = {h["id"]: h for h in json.loads((data / "hides.json").read_text("utf-8"))["hides"]}
    problem = json.loads((data / "problems" / f"{said['problem']}.json").read_text("utf-8"))
    pieces = {p["id"]: p for p in problem["pieces"]}
    label = f"{said['problem']} on {said.get('hide', 'fewest hides')}, flaws {layout['flaws']}"
    counts = collections.Counter(p["piece"] for p in layout["placements"])
    checks.that(all(n <= pieces[name]["demand"] for name, n in counts.items()),
                f"{label}: no more pieces than wanted")
    placed = [(p["hide"], Polygon(p["outline"]).buffer(-2 * layout["lattice"]))
              for p in layout["placements"]]
    checks.that(not any(a == b and first.intersects(second)
                        for i, (a, first) in enumerate(placed) for b, second in placed[:i]),
                f"{label}: no overlap")
    for placement in layout["placements"]:
        hide = hides[layout["hides"][placement["hide"]]]
        check_placement(checks, layout, placement, pieces[placement["piece"]], hide,
                        f"{label}: {placement['piece']}")
    return layout, hides, pieces, label


def check_area(checks, data, said):
    layout, hides, pieces, label = check_layout(checks, data, said)
    used = sum(Polygon(pieces[p["piece"]]["outline"]).area for p in layout["placements"])
    share = used / Polygon(hides[said["hide"]]["outline"]).area
    checks.near(share, said["used"], 1e-4, f"{label}: share of the hide")
    # Clearly more than a careless layout.
    checks.that(share > 0.35, f"{label}: {share:.2f} of the hide")


def check_fewest(checks, data, said):
    layout, _, pieces, label = check_layout(checks, data, said)
    checks.that(said["missing"] == 0 and len(layout["placements"])
                == sum(p["demand"] for p in pieces.values()), f"{label}: no piece is missing")
    used = len({p["hide"] for p in layout["placements"]})
    checks.that(used == said["hides"], f"{label}: {used} hides")
    return used


def check_runs(checks, data, runs):
    for said in runs:
        (check_area if said["aim"] == "area" else check_fewest)(checks, data, said)


def bench(program, out, data, *words):
    answer = run(program, "--data", str(data), "--seeds", "1", "--beside", "2", "--out", out,
                 *words)
    return [json.loads(line) for line in answer.splitlines() if line.startswith("{")]


def main():
    checks = Checks()
    program = sys.argv[1]
    with folder() as out:
        for flaws in ("all", "classes"):
            runs = bench(program, out, INVENTED, "--instances", "Invented", "--least", "0.001",
                         "--seconds", "0.05", "--flaws", flaws)
            checks.that([said["aim"] for said in runs].count("area") == 2 and len(runs) == 3,
                        "one line for each hide, though one is twice in stock, one for all")
            check_runs(checks, INVENTED, runs)
            # The pieces take 0.78 of one hide: more than finds room beside its flaws.
            checks.that(all(said["hides"] <= 2 for said in runs if said["aim"] == "fewest"),
                        "two of three hides are enough")
        real = os.environ.get("SEATWRIGHT_HIDES")
        for flaws in ("all", "classes") if real else ():
            runs = bench(program, out, real, "--seconds", "0.1", "--least", "0.03", "--flaws",
                         flaws, "--aim", "area")
            check_runs(checks, pathlib.Path(real), runs)
        said = run(program, "--data", f"{out}/nowhere")
        checks.that(said.startswith("skipped: ") and said.count("\n") == 1,
                    "without hides the bench says so in one line")
    checks.end()


if __name__ == "__main__":
    main()
