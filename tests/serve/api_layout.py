"""Layouts moved by hand: snapping, how all stands, keeping. Parts of api.py.

Outside source: python3-shapely, a general geometry library, finds again from the covers' outlines
whether a snapped cover lies on the hide, off the others, and touches something.
"""
import json
import math

from shapely.affinity import affine_transform
from shapely.geometry import Polygon

from serving import AS_USUAL, placements_of  # first: it says where the next is
from layouts import polygons

ROUNDED_MM = 0.03  # outlines are rounded to 0.01 mm, and places go by such steps


def moved(ring, place):
    turn = math.radians(place["turn_deg"])
    cos, sin = math.cos(turn), math.sin(turn)
    return affine_transform(Polygon(ring), [cos, -sin, sin, cos, place["x_mm"], place["y_mm"]])


class Leather:
    """What the library knows of a job's one hide and covers."""

    def __init__(self, derived, rules):
        self.covers = {c["name"]: c for c in derived["covers"]}
        self.hide = Polygon(derived["hides"][0]["outline_mm"])
        self.flaws = derived["hides"][0]["flaws"]
        self.rules = rules

    def outline(self, place, band="grip"):
        return moved(self.covers[place["cover"]]["within_mm"][band], place)

    def nearest_flaw_mm(self, place):
        """How far each band lies off the flaws that it does not tolerate, their margins taken off."""
        bands = ["grip", "turn", "edge", "face"]  # from outside
        least = math.inf
        for flaw in self.flaws:
            rule = self.rules["flaws"][flaw["kind"]]
            for band in bands:
                if rule["tolerated_up_to"] == "none" or \
                        bands.index(band) > bands.index(rule["tolerated_up_to"]):
                    off = self.outline(place, band).distance(polygons(flaw["polygons"]))
                    least = min(least, off - rule["margin_mm"])
        return least


def snaps(checks, client, program_says, example):
    job = client.ask("beginJob", example, status=201).json["id"]
    plan = program_says("lay", AS_USUAL)  # with little work more of them touch soft leather
    laid = placements_of(plan)
    leather = Leather(client.ask("derive", example).json, plan["rules"])
    gap = plan["rules"]["gap_mm"]
    table = client.ask("layTable", {"placements": laid}, id=job, status=201).json["table"]
    found = close = 0
    for which, place in enumerate(laid):
        others = [leather.outline(p) for i, p in enumerate(laid) if i != which]
        for x, y in ((12, 0), (-9, 14), (3, -20), (-25, -4)):
            asked = {"x_mm": place["x_mm"] + x, "y_mm": place["y_mm"] + y,
                     "turn_deg": place["turn_deg"]}
            there = client.ask("snapPlace", id=table, placement=which, reach_mm=40, **asked).json
            tried = client.ask("tryPlace", id=table, placement=which,
                               **{k: there[k] for k in asked}).json
            checks.that({k: there[k] for k in tried} == tried, "a snap says what a try says there")
            if not there["found"]:
                continue
            found += 1
            outline = leather.outline({**place, **{k: there[k] for k in asked}})
            way = math.hypot(there["x_mm"] - asked["x_mm"], there["y_mm"] - asked["y_mm"])
            edge = leather.hide.exterior.distance(outline)
            nearest = min((outline.distance(other) for other in others), default=math.inf)
            touching = min(edge, nearest - gap,
                           leather.nearest_flaw_mm({**place, **{k: there[k] for k in asked}}))
            checks.that(there["fits"] and way <= 40.02 and
                        outline.within(leather.hide.buffer(ROUNDED_MM)) and
                        nearest >= gap - ROUNDED_MM,
                        f"placement {which} from ({x}, {y}): on the hide and off the others")
            close += touching <= 0.5
    checks.that(found > len(laid), f"{found} were snapped")
    # The rest touches soft leather or the rim, which the library has not been told of.
    checks.that(close > 0.8 * found, f"{close} of them to another, to the edge or to a flaw")
    far = client.ask("snapPlace", id=table, placement=0, reach_mm=5, x_mm=-3000, y_mm=0,
                     turn_deg=laid[0]["turn_deg"]).json
    checks.that(not far["found"] and far["x_mm"] == -3000 and not far["fits"],
                "far off the hide there is no place to snap to")
    for wrong in ({"reach_mm": -1}, {"reach_mm": 201}, {}, {"reach_mm": 5, "placement": 99}):
        client.ask("snapPlace", id=table, status=422,
                   **({"x_mm": 0, "y_mm": 0, "turn_deg": 0} | wrong))
    client.ask("snapPlace", id=table + 99, x_mm=0, y_mm=0, turn_deg=0, reach_mm=1, status=404)
    return job, plan, laid, table


def stands(checks, client, job, plan, laid, table):
    report = client.ask("table", id=table).json
    checks.that([p["name"] for p in report["placements"]] == [p["cover"] for p in plan["placements"]]
                and report["faulty"] == 0 and report["missing"] == [], "all lie well, by their names")
    checks.that([p["touches"] for p in report["placements"]] ==
                [p["touches"] for p in plan["placements"]], "they touch what `lay` says")
    hide = report["measures"]["hides"][0]
    checks.that(hide["left"] == plan["hides"][0]["left"], "what is left is what `lay` says")
    checks.that(abs(hide["used_mm2"] - plan["hides"][0]["used_mm2"]) < 50, "and what is used")
    onto = [laid[1] | {"cover": laid[0]["cover"]}, *laid[1:-1]]
    number = client.ask("layTable", {"placements": onto}, id=job, status=201).json["table"]
    wrong = client.ask("table", id=number).json
    checks.that(wrong["faulty"] >= 2 and "measures" not in wrong and
                not wrong["placements"][0]["fits"] and
                any(f["kind"] == "overlap" and f["other"] == 1
                    for f in wrong["placements"][0]["faults"]), "two on one place are told, both")
    checks.that(sum(m["count"] for m in wrong["missing"]) == 1, "and which one is missing")
    client.ask("table", id=number + 99, status=404)
    return onto


def keeps(checks, client, job, plan, laid, onto):
    checks.that(client.ask("layoutThatCounts", id=job).json == {"layout": 0, "laid": None},
                "a job that was never laid has no layout that counts")
    kept = client.ask("keepLayout", {"placements": laid}, id=job, call="as it was found",
                      status=201)
    number = kept.json["layout"]
    checks.that(kept.headers["location"] == f"/api/layouts/{number}", "a kept layout has an address")
    part = client.ask("keepLayout", {"placements": laid[1:]}, id=job, status=201).json["layout"]
    listed = client.ask("layouts", id=job).json["layouts"]
    checks.that([(l["layout"], l["name"], l["version"]) for l in listed] ==
                [(part, "by hand", 1), (number, "as it was found", 1)], "the newest is the first")
    checks.that(client.ask("layout", id=number).json["placements"] == laid,
                "it comes back to the last digit")
    client.ask("keepLayout", {"placements": onto}, id=job, status=422)
    refused = client.ask("keepLayout", {"placements": onto}, id=job, status=422).json
    checks.that("overlaps" in refused["detail"], "what overlaps is refused in words")
    client.ask("keepLayout", {"placements": laid}, id=job, call="two\nlines", status=422)
    client.ask("keepLayout", {"placements": laid}, id=99999, status=404)
    client.ask("keepLayout", {"placements": laid}, id=job, version=7, status=404)
    client.ask("keepLayout", b" " * ((1 << 20) + 1), id=job, status=413)
    client.ask("keepLayout", {"placements": []}, id=job, status=415,
               headers={"Content-Type": "text/plain"})
    client.ask("putLayoutAway", id=part, status=204)
    client.ask("putLayoutAway", id=99999, status=404)
    checks.that(len(client.ask("layouts", id=job).json["layouts"]) == 1, "one is put away")
    checks.that(len(client.ask("layouts", id=job, away="1", version=1).json["layouts"]) == 2,
                "and listed when it is asked for")
    client.ask("layouts", id=job, away="perhaps", status=422)
    client.ask("layouts", id=99999, status=404)
    client.ask("layout", id=99999, status=404)
    counts = client.ask("layoutThatCounts", id=job).json
    checks.that(counts["layout"] == number and counts["laid"]["placements"] == laid,
                "the newest that was not put away counts")
    first = client.ask("keepLayout", {"placements": laid[1:]}, id=job, call="as it lies", instead=number,
                       status=201).json["layout"]
    second = client.ask("keepLayout", {"placements": laid}, id=job, call="as it lies", instead=first,
                        status=201).json["layout"]
    client.ask("layout", id=first, status=404)
    checks.that([l["layout"] for l in client.ask("layouts", id=job).json["layouts"]] ==
                [second, number], "one is kept in the place of the one of its name, and no other")
    third = client.ask("keepLayout", {"placements": laid}, id=job, call="as it lies", instead=first,
                       status=201).json["layout"]
    checks.that([l["layout"] for l in client.ask("layouts", id=job).json["layouts"]] ==
                [third, second, number], "what somebody else kept meanwhile stays")
    client.ask("putLayoutAway", id=third, status=204)
    client.ask("keepLayout", {"placements": laid}, id=job, instead="perhaps", status=422)
    client.ask("putLayoutAway", id=second, status=204)
    client.ask("layoutThatCounts", id=99999, status=404)
    client.ask("layoutThatCounts", id=job, version=7, status=404)
    client.ask("layoutThatCounts", id=job, version="first", status=422)


def goes_on(checks, client, job, laid):
    """A search that begins with what was laid, part of it locked."""
    locked = [{**p, "locked": i < 2} for i, p in enumerate(laid)]
    body = {"placements": locked}
    work = client.ask("lay", body, id=job, seed=7, status=202).json["work"]
    first = client.finished(work).json
    again = client.finished(client.ask("lay", body, id=job, seed=7, status=202).json["work"]).json
    checks.that(first == again, "the same start, seed and version: the same layout")
    stay = [p for p in placements_of(first) if p["locked"]]
    checks.that(sorted(map(str, stay)) == sorted(map(str, locked[:2])),
                "what is locked stays to the last digit")
    checks.that(len(first["placements"]) >= len(laid), "no fewer are laid")
    part = client.ask("lay", {"placements": locked[:2]}, id=job, seconds=600, status=202)
    checks.that(len(client.finished(part.json["work"]).json["placements"]) == len(laid),
                "a part is added to")
    onto = [locked[0], {**locked[1], **{k: locked[0][k] for k in ("x_mm", "y_mm")}}]
    work = client.ask("lay", {"placements": onto}, id=job, status=202).json["work"]
    client.ask("events", id=work)
    refused = client.ask("result", id=work, status=422).json
    checks.that(any("overlaps" in p["found"] for p in refused["problems"]),
                "locked covers that overlap are refused in words")
    for name in ("lay", "fit"):
        client.ask(name, id=job, seconds="x", status=422)
        client.ask(name, id=job, seed="0", status=422)
        client.ask(name, b" " * ((1 << 20) + 1), id=job, status=413)
        client.ask(name, {"placements": []}, id=job, status=415,
                   headers={"Content-Type": "text/plain"})


def stops_in_time(checks, client, example):
    """Nine covers where eight have room: a search that would go on for minutes."""
    crowded = json.loads(example)
    crowded["seats"][0]["count"] += 3
    crowded["search"] = {"work": 10}
    job = client.ask("beginJob", json.dumps(crowded).encode(), status=201).json["id"]
    slow = client.ask("lay", id=job, times=100, seconds=1, status=202).json["work"]
    client.ask("events", id=slow)
    checks.that(client.ask("work", id=slow).json["state"] == "stopped", "it stops in time")
    slow = client.ask("fit", id=job, times=100, seconds=2, status=202).json["work"]
    client.ask("events", id=slow)
    checks.that(client.ask("work", id=slow).json["state"] == "stopped", "and what would make it fit")


def makes_fit(checks, client, program_says, example):
    """What would make nine covers fit where eight do, as `lay` says it."""
    tight = json.loads(example)
    tight["seats"][0]["count"] += 3
    tight["search"] = {"work": 0.1}
    text = json.dumps(tight).encode()
    job = client.ask("beginJob", text, status=201).json["id"]
    work = client.ask("fit", id=job, times=4, status=202).json["work"]
    result = client.finished(work).json
    checks.that(result == program_says("lay", text, "--fit=4"), "the answers of `lay --fit`")
    checks.that(len(result["fit"]["answers"]) > 0, "there are some")
    for answer in result["fit"]["answers"]:
        checks.that(bool(answer["changes"]) == (answer["kind"] != "larger hide"),
                    f"{answer['kind']}: what of the job changes")
    part = [{**p, "locked": i < 2} for i, p in enumerate(placements_of(result))]
    again = client.finished(client.ask("fit", {"placements": part}, id=job, times=1,
                                       status=202).json["work"]).json
    checks.that(len(again["placements"]) >= len(part) and
                sorted(str(p) for p in placements_of(again) if p["locked"]) ==
                sorted(map(str, part[:2])),
                "it begins with what was laid, and what is locked stays")
    client.ask("fit", id=99999, status=404)


def by_hand(checks, client, program_says, example):
    job, plan, laid, table = snaps(checks, client, program_says, example)
    onto = stands(checks, client, job, plan, laid, table)
    keeps(checks, client, job, plan, laid, onto)
    goes_on(checks, client, job, laid)
    stops_in_time(checks, client, example)
    makes_fit(checks, client, program_says, example)
