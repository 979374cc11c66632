"""Sections of covers as `covers --json` draws them, measured with a general geometry library
(python3-shapely): each part as long as the way that the allowance is made of, all sheets whole
and beside each other, the leather outside of all. And what the schema says that a field holds
when it is left out: written down, it changes nothing.
"""
import copy
import json
import sys

from shapely.geometry import LineString, Point, Polygon

from program import ROOT, Checks, ask, examples

PARTS = ("dome", "round", "side", "bottom", "under", "hold", "grip")
BANDS = {"face": ("dome",), "edge": ("round", "side"), "turn": ("bottom", "under", "hold"), "grip": ("grip",)}
CHORDS_MM = 0.06  # what chords of 0.02 mm and three decimals take off


def of_seat(**padding):
    return {"seatwright": 1, "name": "outside check", "units": "mm", "seats": [{
        "name": "seat", "count": 1, "frame": {"shape": "taper", "front": 460, "back": 400, "depth": 410},
        "board": {"thickness": 15, "bottom": "bevelled", "bottom_size": 10},
        "padding": dict({"edge": {"all": 30, "front": 45}, "crown": 25, "edge_radius": 12}, **padding)}]}


LAYERS = [{"material": "batting", "thickness": 6, "sides": False}, {"material": "muslin", "thickness": 0.4, "under": True}]
JOBS = {
    "bevel, overhang": of_seat(overhang=14, layers=LAYERS),
    "bevel passed over": of_seat(overhang=45, layers=LAYERS[1:]),
    "firm foam": of_seat(profile="flat", layers=LAYERS),
    "circle": of_seat(profile="circle", overhang=8),
}


def check_section(checks, name, path, section):
    chains = {part: LineString(section["leather_mm"][part]) for part in PARTS}
    for part in PARTS:
        checks.near(chains[part].length, path[f"{part}_mm"], CHORDS_MM, f"{name}: {part}")
    for band, parts in BANDS.items():
        checks.near(section["lengths_mm"][band], sum(path[f"{part}_mm"] for part in parts), 0.005, f"{name}: {band}")
    whole = [point for part in PARTS for point in section["leather_mm"][part]]
    gaps = [Point(chains[a].coords[-1]).distance(Point(chains[b].coords[0])) for a, b in zip(PARTS, PARTS[1:])]
    checks.near(max(gaps), 0, 0.002, f"{name}: each part begins where the one before ends")
    sheets = [Polygon(section["board_mm"])] + [Polygon(layer["outline_mm"]) for layer in section["layers"]]
    if section["padding_mm"]:
        sheets.append(Polygon(section["padding_mm"]))
    checks.that(all(one.is_valid and one.exterior.is_ccw for one in sheets), f"{name}: sheets are whole")
    overlaps = [a.intersection(b).area / a.length for i, a in enumerate(sheets) for b in sheets[:i]]
    checks.that(max(overlaps, default=0) < 0.05, f"{name}: sheets lie beside each other")
    tight = LineString(whole[:-2])  # hold and grip lie on the underside like the rest of the turn
    half = section["leather_thickness_mm"] / 2
    checks.that(min(one.distance(tight) for one in sheets) > 0.85 * half - 0.05, f"{name}: the leather lies outside of all")


def check_document(checks, program, name, **document):
    for cover in ask(program, "covers", **document)["covers"]:
        for side, section in cover["sections"].items():
            check_section(checks, f"{name}, {cover['name']}, {side}", cover["paths"][side], section)


def usual_in(node, unit):
    """What is held when a field is left out, or None."""
    if "default" in node:
        return node["default"]
    usual = node.get("x-usual")
    return usual.get(unit) if isinstance(usual, dict) else None


def check_usual(checks, program):
    schema = json.loads((ROOT / "docs/job.schema.json").read_text(encoding="utf-8"))["$defs"]
    written = 0
    for unit, thickness, edge in (("mm", 18, 25), ("in", 0.75, 1)):
        bare = {"seatwright": 1, "name": "usual", "units": unit, "seats": [{
            "name": "seat", "frame": {"shape": "taper", "front": f"{18 * 25.4} mm", "back": "400 mm", "depth": "410 mm"},
            "board": {"thickness": thickness}, "padding": {"edge": edge, "crown": edge / 2}, "fixing": {}}]}
        expected = ask(program, "covers", job=bare)
        for part in ("frame", "board", "padding", "fixing"):
            for key, node in schema[part]["properties"].items():
                value = usual_in(node, unit)
                if value is None or key in bare["seats"][0][part]:
                    continue
                said = copy.deepcopy(bare)
                said["seats"][0][part][key] = value
                checks.that(ask(program, "covers", job=said) == expected, f"{unit}: {part}.{key} {value} is as usual")
                written += 1
    checks.that(written >= 20, f"{written} usual values written down")


def main():
    checks = Checks()
    program = sys.argv[1]
    for path in examples():
        check_document(checks, program, path.stem, path=path)
    for name, job in JOBS.items():
        check_document(checks, program, name, job=job)
    check_usual(checks, program)
    checks.end()


main()
