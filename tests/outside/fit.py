"""What `lay` says would make covers fit, and the bound beside it, verified with shapely.

Outside source: shapely (GEOS), a general-purpose geometry library. Each answer carries the
rules, hides and placements that prove it; they are verified like any plan. The areas of the
bound are computed anew from outlines, flaws, regions and rim as the document gives them.
"""
import copy
import re
import sys

from shapely.geometry import Polygon
from shapely.ops import unary_union

from layouts import BANDS, check_plan, polygons, rim_edge
from program import Checks, ask, run
from random_jobs import a_job
from tight_jobs import tight_jobs

# Grown outlines are inscribed polygons: the program grows by so much more (docs/tolerance.md).
SURE_GROWTH = 1.003


def with_used(plan, hides):
    """Hides with the used area of a plan's own placements."""
    return [{**hide, "used_mm2": sum(Polygon(p["outline_mm"]).area for p in plan["placements"]
                                     if p["hide"] == hide["name"])} for hide in hides]


def check_answers(checks, name, plan):
    harm = 0
    wanted = len(plan["placements"]) + sum(u["count"] for u in plan["unplaced"])
    for answer in plan["fit"]["answers"]:
        label = f"{name}, {answer['kind']}"
        whole = {**answer, "hides": with_used(answer, answer.get("hides", plan["hides"]))}
        check_plan(checks, label, whole)
        fewer = answer.get("fewer", 0)
        checks.that(len(answer["placements"]) == wanted - fewer, f"{label}: all others are laid")
        checks.that(answer["harm"] >= harm, f"{label}: in the order of harm")
        harm = answer["harm"]


def steps_of(path):
    """`seats[0].count` as ["seats", 0, "count"]."""
    return [int(step[1:-1]) if step.startswith("[") else step
            for step in re.findall(r"[^.[\]]+|\[\d+\]", path)]


def with_changes(job, changes):
    """The job with an answer's changes made."""
    job = copy.deepcopy(job)
    for change in changes:
        *above, last = steps_of(change["where"])
        at = job
        for step in above:
            at = at[step] if isinstance(step, int) else at.setdefault(step, {})
        if change["value"] is None:
            del at[last]
        else:
            at[last] = change["value"]
    return job


def check_changes(checks, name, job, plan):
    """The changed job has the rules and the covers of the layout that proves the answer."""
    for answer in plan["fit"]["answers"]:
        label = f"{name}, {answer['kind']}"
        if answer["kind"] == "larger hide":
            checks.that(answer["changes"] == [], f"{label}: nothing of the job")
            continue
        checks.that(answer["changes"], f"{label}: something is changed")
        changed = with_changes(job, answer["changes"])
        changed["search"] = {"work": 0.01}
        again = ask(sys.argv[1], "lay", "--fit=0", job=changed, status=(0, 5))
        checks.that(again["rules"] == answer["rules"], f"{label}: the job has these rules")
        covers = ask(sys.argv[1], "covers", job=changed)["covers"]
        checks.that(sum(c["count"] for c in covers) == len(answer["placements"]),
                    f"{label}: so many covers")
        areas = {(c["seat"], c["chair"]): Polygon(c["outline_mm"]).area for c in covers}
        for placed in answer["placements"]:
            checks.near(Polygon(placed["outline_mm"]).area, areas[placed["seat"], placed["chair"]],
                        60, f"{label}: the same cover {placed['cover']}")


def rank(word):
    """How far in a band is; the face is 0, none is farthest out."""
    return BANDS.index(word) if word in BANDS else len(BANDS)


def keeps_off(tolerated, band):
    """Whether the outline of everything up to `band` must keep off a thing."""
    return rank(tolerated) > rank(band)


def allowed_area(plan, hide, band):
    """Where the outline of everything up to a band may lie, as a list of parts."""
    outline = Polygon(hide["outline_mm"])
    bad = []
    rules = plan["rules"]
    for flaw in hide["flaws"]:
        rule = rules["flaws"][flaw["kind"]]
        if keeps_off(rule["tolerated_up_to"], band):
            bad.append(polygons(flaw["polygons"]).buffer(rule["margin_mm"] * SURE_GROWTH))
    for region in hide["regions"]:
        if keeps_off(rules["firmness"][region["firmness"]], band):
            bad.append(polygons(region["polygons"]))
    edge = rim_edge(hide, outline)
    if edge is not None and keeps_off(rules["rim"]["tolerated_up_to"], band):
        bad.append(edge.buffer(rules["rim"]["width_mm"] * SURE_GROWTH))
    left = outline.difference(unary_union(bad)) if bad else outline
    return list(left.geoms) if hasattr(left, "geoms") else [left]


def most_by_area(areas, room):
    count = 0
    for area in sorted(areas):
        room -= area
        if room < -1e-6:
            break
        count += 1
    return count


def check_bound(checks, name, plan, covers):
    bound = plan["fit"]["bound"]
    wanted = sum(cover["count"] for cover in covers)
    checks.that(bound["wanted"] == wanted, f"{name}: the bound counts all covers")
    checks.that(len(plan["placements"]) <= bound["most"] <= wanted, f"{name}: no plan beats it")
    for within in bound["within"]:
        band = within["band"]
        key = (lambda c: c["outline_mm"]) if band == "grip" else (lambda c: c["within_mm"][band])
        areas = [Polygon(key(c)).area for c in covers if c["name"] not in bound["nowhere"]
                 for _ in range(c["count"])]
        if not areas:
            continue
        checks.near(within["needed_mm2"], sum(areas), 40 * len(areas), f"{name}, {band}: needed")
        parts = [p for hide in plan["hides"] for p in allowed_area(plan, hide, band)]
        useful = sum(p.area for p in parts if p.area >= min(areas))
        checks.near(within["allowed_mm2"], useful, 0.002 * useful + 200, f"{name}, {band}: allowed")
        # Never below what these areas say: 0.01 mm of rounding along the outlines aside.
        checks.that(within["most"] >= most_by_area(areas, useful) and
                    within["most"] <= most_by_area([0.999 * a for a in areas], 1.003 * useful + 200),
                    f"{name}, {band}: most by area")
        checks.that(bound["most"] <= within["most"], f"{name}, {band}: bounds the whole")


def crowded(seed):
    """A random job with so many chairs that some find no place."""
    job = a_job(seed)
    for seat in job["seats"]:
        seat["count"] += 7 + seed % 12
    job["search"]["work"] = 0.05
    return job


def one_too_many(program, seed):
    """A random job with as many chairs as found a place, and one more."""
    job = crowded(seed)
    plan = ask(program, "lay", "--fit=0", job=job, status=(0, 5))
    for seat in job["seats"]:
        seat["count"] = sum(p["seat"] == seat["name"] for p in plan["placements"])
    job["seats"][0]["count"] += 1
    job["seats"] = [seat for seat in job["seats"] if seat["count"]]
    return job


def check_job(checks, name, job, kinds):
    plan = ask(sys.argv[1], "lay", "--fit=2", job=job, status=(0, 5))
    if not plan["unplaced"]:
        checks.that("fit" not in plan, f"{name}: nothing to make fit")
        return
    covers = ask(sys.argv[1], "covers", job=job)["covers"]
    check_answers(checks, name, plan)
    check_bound(checks, name, plan, covers)
    check_changes(checks, name, job, plan)
    kinds |= {answer["kind"] for answer in plan["fit"]["answers"]}


def main():
    checks = Checks()
    kinds = set()
    for name, job in tight_jobs(sys.argv[1]).items():
        check_job(checks, name, job, kinds)
    for seed in range(1, 3):
        check_job(checks, f"crowded {seed}", crowded(seed), kinds)
        check_job(checks, f"one too many {seed}", one_too_many(sys.argv[1], seed), kinds)
    checks.that(len(kinds) >= 4, f"several kinds of change were seen: {sorted(kinds)}")
    job = crowded(1)
    first, again = [run(sys.argv[1], "lay", "-", "--json", "--fit=1", job=job, status=(5,))
                    for _ in range(2)]
    checks.that(first == again, "the same job gives the same answers")
    checks.end()


main()
