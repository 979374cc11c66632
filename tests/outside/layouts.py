"""Layouts of all examples, verified with shapely from `lay --json` alone.

  layouts.py PROGRAM [WORK]     with WORK, as much of the usual work of a search

Outside source: shapely (GEOS), a general-purpose geometry library; the JSON alone says
what is true, none of our code is used. Tolerances are distances: results are rounded to
a lattice of 0.01 mm, so anything within 0.02 mm of touching counts as touching.
"""
import json
import math
import sys

from shapely.geometry import LineString, Point, Polygon, box
from shapely.geometry.polygon import orient
from shapely.ops import unary_union

from program import Checks, ask, examples

BANDS = ["face", "edge", "turn", "grip"]  # from the middle out
SLACK_MM = 0.02


def polygons(items):
    return unary_union([Polygon(p["outer_mm"], p["holes_mm"]) for p in items])


def forbidden_outline(tolerated, placement):
    """The part of a cover that must keep off a thing tolerated up to a band; None: all may."""
    if tolerated == "none":
        return Polygon(placement["outline_mm"])
    inner = BANDS.index(tolerated) - 1
    return Polygon(placement["within_mm"][BANDS[inner]]) if inner >= 0 else None


def rim_edge(hide, outline):
    """The edge that has a rim: all of a whole hide's, a side's but for the cut along the
    backbone, none of a panel's."""
    if hide["form"] == "panel":
        return None
    if hide["form"] == "whole":
        return outline.exterior
    backbone = LineString([(-10000, 0), (10000, 0)]).buffer(0.5)
    return outline.exterior.difference(backbone)


def angle_off(turn_deg, wanted_deg):
    return abs((turn_deg - wanted_deg + 180) % 360 - 180)


def check_placement(checks, plan, hide, outline, placement, label):
    cut = Polygon(placement["outline_mm"])
    checks.that(cut.is_valid and cut.buffer(-SLACK_MM).within(outline), f"{label} lies on the hide")
    whole = cut.buffer(SLACK_MM)
    for band in reversed(BANDS):
        inside = Polygon(placement["within_mm"][band])
        checks.that(inside.is_valid and inside.within(whole), f"{label}: {band} is nested")
        whole = inside.buffer(SLACK_MM)
    rules = plan["rules"]
    for flaw in hide["flaws"]:
        rule = rules["flaws"][flaw["kind"]]
        part = forbidden_outline(rule["tolerated_up_to"], placement)
        if part is not None:
            distance = part.buffer(-SLACK_MM).distance(polygons(flaw["polygons"]))
            overlap = part.buffer(-SLACK_MM).intersects(polygons(flaw["polygons"]))
            checks.that(not overlap and distance >= rule["margin_mm"],
                        f"{label} keeps off {flaw['kind']} {flaw['number']}")
    for region in hide["regions"]:
        part = forbidden_outline(rules["firmness"][region["firmness"]], placement)
        if part is not None:
            checks.that(not part.buffer(-SLACK_MM).intersects(polygons(region["polygons"])),
                        f"{label} keeps off the {region['kind']}")
    part = forbidden_outline(rules["rim"]["tolerated_up_to"], placement)
    edge = rim_edge(hide, outline)
    if part is not None and edge is not None and rules["rim"]["width_mm"] > 0:
        checks.that(part.distance(edge) >= rules["rim"]["width_mm"] - SLACK_MM,
                    f"{label} keeps off the rim")
    ways = [-90, 90] if rules["either_way"] else [-90]
    off = min(angle_off(placement["turn_deg"], way) for way in ways)
    checks.that(off <= rules["turn_window_deg"] + 1e-6, f"{label} is turned within its window")


def spoilt(plan, hide, outline):
    """Where nothing may be cut, or nothing but grips: what may lie in the turn spoils no remnant."""
    rules = plan["rules"]
    parts = [polygons(flaw["polygons"]).buffer(1.003 * rules["flaws"][flaw["kind"]]["margin_mm"])
             for flaw in hide["flaws"]
             if rules["flaws"][flaw["kind"]]["tolerated_up_to"] in ("none", "grip")]
    parts += [polygons(region["polygons"]) for region in hide["regions"]
              if rules["firmness"][region["firmness"]] in ("none", "grip")]
    edge = rim_edge(hide, outline)
    if edge is not None and rules["rim"]["tolerated_up_to"] in ("none", "grip"):
        parts.append(edge.buffer(1.003 * rules["rim"]["width_mm"]))
    return unary_union(parts)


def check_left(checks, plan, hide, outline, label):
    """The largest remnant by opening with a disc, and the rectangle: clear, and stuck on all sides."""
    left, half_mm = hide["left"], hide["left"]["useful_mm"] / 2
    cut = [Polygon(p["outline_mm"]) for p in plan["placements"] if p["hide"] == hide["name"]]
    free = outline.difference(unary_union(cut + [spoilt(plan, hide, outline)]))
    cores = free.buffer(-half_mm)
    cores = [] if cores.is_empty else list(getattr(cores, "geoms", [cores]))
    checks.that(left["parts"] == len(cores), f"{label}: {left['parts']} remnants of use")
    largest = max([core.buffer(half_mm).area for core in cores], default=0)
    checks.near(left["largest_mm2"], largest, 200 + 0.001 * largest, f"{label}: largest remnant")
    (west, south), (east, north) = left["rectangle_mm"]
    checks.that(box(west, south, east, north).buffer(-0.3).within(free),
                f"{label}: the rectangle is clear")
    grown = [(west - 2, south, west, north), (west, south - 2, east, south),
             (east, south, east + 2, north), (west, north, east, north + 2)]
    checks.that(all(not box(*strip).within(free) for strip in grown),
                f"{label}: the rectangle cannot grow on any side")
    # A slow search for a larger one, in whole squares of 25 mm.
    cell_mm = 25
    columns = range(int(outline.bounds[0]), int(outline.bounds[2]), cell_mm)
    rows = range(int(outline.bounds[1]), int(outline.bounds[3]), cell_mm)
    clear = [[free.contains(box(x, y, x + cell_mm, y + cell_mm)) for x in columns] for y in rows]
    checks.that((east - west) * (north - south) >= largest_of_cells(clear) * cell_mm ** 2,
                f"{label}: no rectangle of cells is larger")


def largest_of_cells(clear):
    """The most cells of any rectangle, by growing each from its lower left cell row by row."""
    best = 0
    for low in range(len(clear)):
        for west in range(len(clear[0])):
            width = len(clear[0]) - west
            for high in range(low, len(clear)):
                run = 0
                while run < width and clear[high][west + run]:
                    run += 1
                width = run
                if width == 0:
                    break
                best = max(best, width * (high - low + 1))
    return best


def straight_edges(outline, least_mm):
    """The straight edges of a cover as (from, to), the cover to the left: from a corner on, each
    goes on while no point between its ends lies farther than 0.02 mm from it."""
    ring = list(orient(Polygon(outline)).exterior.coords)[:-1]
    start = max(range(len(ring)), key=lambda i: math.dist(ring[i], ring[0]))
    ring = ring[start:] + ring[:start + 1]
    corners = [0]
    for end in range(2, len(ring)):
        edge = LineString([ring[corners[-1]], ring[end]])
        if any(edge.distance(Point(p)) > 0.02 for p in ring[corners[-1] + 1:end]):
            corners.append(end - 1)
    corners.append(len(ring) - 1)
    edges = [(ring[a], ring[b]) for a, b in zip(corners, corners[1:])]
    return [edge for edge in edges if math.dist(*edge) >= least_mm]


def facing_mm(first, second, gap_mm, least_mm):
    """The length of the first edge that has the second beside it, the gap apart."""
    line, other = LineString(first), LineString(second)
    beside = line.intersection(other.buffer(gap_mm + 1, cap_style=2))
    if beside.is_empty or beside.length < least_mm:
        return 0
    ends = [Point(end) for end in beside.coords]
    # Of the whole line, since the buffer's ends are cut square.
    (x, y), (u, v) = second
    long = LineString([(x - 1e4 * (u - x), y - 1e4 * (v - y)), (x + 1e4 * (u - x), y + 1e4 * (v - y))])
    return beside.length if all(abs(end.distance(long) - gap_mm) <= 0.5 for end in ends) else 0


def follows_mm(first, second):
    """The length of the shorter of two edges when the second follows the first on its line."""
    along = [(b - a) / math.dist(*first) for a, b in zip(*first)]
    ahead = [sum(d * (p - q) for d, p, q in zip(along, point, first[1])) for point in second]
    shorter = min(math.dist(*first), math.dist(*second))
    apart = max([line_distance(first, point) for point in second]
                + [line_distance(second, point) for point in first])
    return shorter if -0.5 <= ahead[0] <= shorter + 0.5 and apart <= 0.5 else 0


def line_distance(edge, point):
    (x, y), (u, v) = edge
    return abs((u - x) * (point[1] - y) - (v - y) * (point[0] - x)) / math.dist(*edge)


def slant(first, second):
    """Sine and cosine of the angle between two edges."""
    (a, b), (c, d) = ([(q - p) / math.dist(*edge) for p, q in zip(*edge)] for edge in (first, second))
    return a * d - b * c, a * c + b * d


def check_straight_cuts(checks, path, plan):
    for hide in plan["hides"]:
        check_shared_edges(checks, plan, hide, f"{path}: {hide['name']}")


def check_shared_edges(checks, plan, hide, label):
    """What neighbours share, edge by edge, as docs/layout.md says it is counted."""
    told, gap_mm = hide["straight_cuts"], plan["rules"]["gap_mm"]
    covers = [straight_edges(p["outline_mm"], told["least_mm"]) for p in plan["placements"]
              if p["hide"] == hide["name"]]
    shared, in_line = 0, 0
    for i, cover in enumerate(covers):
        others = [edge for k, other in enumerate(covers) if k != i for edge in other]
        for edge in cover:
            turned = [(other, *slant(edge, other)) for other in others]
            shared += sum(facing_mm(edge, other, gap_mm, told["least_mm"])
                          for other, sine, cosine in turned if abs(sine) < 0.02 and cosine < 0) / 2
            in_line += max([follows_mm(edge, other) for other, sine, cosine in turned
                            if abs(sine) < 0.02 and cosine > 0], default=0)
    checks.near(told["side_by_side_mm"], shared, 1 + 0.002 * shared, f"{label}: side by side")
    checks.near(told["in_line_mm"], in_line, 0.1, f"{label}: in line")


def check_plan(checks, path, plan):
    hides = {hide["name"]: hide for hide in plan["hides"]}
    outlines = {name: Polygon(hide["outline_mm"]) for name, hide in hides.items()}
    for name, hide in hides.items():
        checks.near(outlines[name].area, hide["area_mm2"], 1, f"{path}: area of {name}")
        used = sum(Polygon(p["outline_mm"]).area for p in plan["placements"] if p["hide"] == name)
        checks.near(used, hide["used_mm2"], 1, f"{path}: used area of {name}")
        regions = [polygons(r["polygons"]) for r in hide["regions"]]
        checks.near(sum(r.area for r in regions), hide["area_mm2"], 10, f"{path}: regions of {name}")
    for placement in plan["placements"]:
        check_placement(checks, plan, hides[placement["hide"]], outlines[placement["hide"]],
                        placement, f"{path}: {placement['cover']}")
    for i, first in enumerate(plan["placements"]):
        for second in plan["placements"][:i]:
            if first["hide"] == second["hide"]:
                apart = Polygon(first["outline_mm"]).distance(Polygon(second["outline_mm"]))
                overlap = Polygon(first["outline_mm"]).buffer(-SLACK_MM).intersects(
                    Polygon(second["outline_mm"]).buffer(-SLACK_MM))
                checks.that(not overlap and apart >= plan["rules"]["gap_mm"] - SLACK_MM,
                            f"{path}: {first['cover']} and {second['cover']} keep their gap")


def main():
    checks = Checks()
    for path in examples():
        job = json.loads(path.read_text(encoding="utf-8"))
        if not job.get("hides"):
            continue
        if len(sys.argv) > 2:
            job["search"] = {**job.get("search", {}), "work": float(sys.argv[2])}
        plan = ask(sys.argv[1], "lay", job=job, status=(0, 5))
        covers = ask(sys.argv[1], "covers", job=job)
        wanted = sum(c["count"] for c in covers["covers"])
        left = sum(u["count"] for u in plan["unplaced"])
        checks.that(len(plan["placements"]) + left == wanted, f"{path.name}: no cover is forgotten")
        check_plan(checks, path.name, plan)
        check_straight_cuts(checks, path.name, plan)
        for hide in plan["hides"]:
            check_left(checks, plan, hide, Polygon(hide["outline_mm"]),
                       f"{path.name}: {hide['name']}")
    checks.end()


if __name__ == "__main__":
    main()
