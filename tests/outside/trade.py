"""The trade's arithmetic, checked from outside through the program's documents.

Sources are named beside each check. Handbook formulas are worked out here in Python.
"""
import math
import sys

from shapely.geometry import Point, Polygon

from program import Checks, ask

FT2 = 92903.04  # mm2; the international foot of 1959, exact (NIST SP 811, appendix B)
IN = 25.4


def job(units, frame, **more):
    seat = {"name": "test seat", "count": 1, "frame": frame,
            "board": {"thickness": 20 if units == "mm" else "3/4", "bottom": "square"},
            "padding": {"edge": 0, "crown": 0, "edge_radius": 0, "overhang": 0, "layers": []}}
    seat.update(more.pop("seat", {}))
    document = {"seatwright": 1, "name": "outside check", "units": units, "seats": [seat]}
    document.update(more)
    return document


def side_hide(units, **more):
    """A plain rectangular panel, so that its area is known."""
    return dict({"name": "panel", "form": "panel", "length": 100, "width": 60}, **more)


def cover(program, document):
    return ask(program, "covers", job=document)["covers"][0]


def check_frames(checks, program):
    # F13: area of a trapezium, (18 + 15 1/2) / 2 x 16 in = 268 in2 = 1.861 ft2.
    taper = cover(program, job("in", {"shape": "taper", "front": 18, "back": "15 1/2", "depth": 16}))
    checks.near(Polygon(taper["frame_mm"]).area / IN**2, 268, 1e-3, "taper, area by its formula")
    checks.near(Polygon(taper["frame_mm"]).area / FT2, 1.861, 5e-4, "taper in square feet")
    # Area of an ellipse, pi a b, and of a disc.
    oval = cover(program, job("mm", {"shape": "oval", "width": 420, "depth": 380}))
    checks.near(Polygon(oval["frame_mm"]).area / (math.pi * 210 * 190), 1, 1e-3, "oval, pi a b")
    disc = cover(program, job("mm", {"shape": "round", "diameter": 350}))
    checks.near(Polygon(disc["frame_mm"]).area / (math.pi * 175**2), 1, 1e-3, "round, pi r2")


def check_same_in_both_units(checks, program):
    # Exact conversions: 1 in = 25.4 mm, so the same seat in mm must give the same cover.
    inches = cover(program, job("in", {"shape": "taper", "front": "18 1/2", "back": 16, "depth": 17}))
    metric = cover(program, job("mm", {"shape": "taper", "front": 18.5 * IN, "back": 16 * IN,
                                       "depth": 17 * IN},
                                seat={"board": {"thickness": 0.75 * IN, "bottom": "square"}},
                                leather={"thickness": 1.1}))
    checks.near(inches["gross_area_mm2"], metric["gross_area_mm2"], inches["gross_area_mm2"] * 0.02,
                "inches and millimetres agree (defaults may be rounded in each)")
    both = {"shape": "taper", "front": "18 1/2 in", "back": "406.4 mm", "depth": "43.18 cm"}
    fixing = {"tack_inset": "20 mm", "hold": "12 mm", "grip": "20 mm"}
    a = cover(program, job("in", both, seat={"fixing": fixing}, leather={"thickness": "3"}))
    b = cover(program, job("mm", both, leather={"thickness": 3 * 25.4 / 64},
                           seat={"fixing": fixing,
                                 "board": {"thickness": 0.75 * IN, "bottom": "square"}}))
    checks.near(a["gross_area_mm2"], b["gross_area_mm2"], 0.5,
                "units written in the text and leather ounces of 1/64 in")


def check_blank_rule(checks, program):
    # Blank rule: seat + 6 in each way, 20 -> 26 in (slip-seat article by W. Sandry, and two
    # how-to pages; trade guidance). With a way of exactly 3 in the rule must come out.
    document = job("in", {"shape": "rectangle", "front": 20, "depth": 20},
                   leather={"thickness": 1},
                   seat={"board": {"thickness": 1, "bottom": "square"},
                         "fixing": {"tack_inset": "3/4", "hold": "1/2", "grip": "3/4"}})
    box = Polygon(cover(program, document)["outline_mm"]).bounds
    checks.near((box[2] - box[0]) / IN, 26, 1 / 16, "20 in seat, 3 in way: 26 in blank")
    checks.near((box[3] - box[1]) / IN, 26, 1 / 16, "the same in depth")


def parabola_arc(a, h):
    # Half of a parabolic arc over the run a with the rise h: Bronshtein and Semendyayev,
    # Handbook of Mathematics, plane curves (formula from memory of that chapter):
    # s = sqrt(a^2 / 4 + h^2) + a^2 / (4 h) asinh(2 h / a).
    return math.sqrt(a * a / 4 + h * h) + a * a / (4 * h) * math.asinh(2 * h / a)


def circle_arc(a, h):
    # Half of a circular arc of half chord a and sagitta h: r = (a^2 + h^2) / (2 h), s = r asin(a / r).
    r = (a * a + h * h) / (2 * h)
    return r * math.asin(a / r)


def check_domes(checks, program):
    for profile, arc in (("parabola", parabola_arc), ("circle", circle_arc)):
        for crown in (5, 20, 60):
            document = job("mm", {"shape": "round", "diameter": 400},
                           seat={"padding": {"edge": 30, "crown": crown, "profile": profile,
                                             "edge_radius": 10, "overhang": 0, "layers": []}})
            path = cover(program, document)["paths"]["front"]
            checks.near(path["dome_mm"], arc(path["run_mm"], crown), 0.002,
                        f"{profile} dome of {crown} mm, closed form")


def steiner(polygon, r):
    # Steiner's formula: a convex shape grown by r has the area A + P r + pi r^2.
    return polygon.area + polygon.length * r + math.pi * r * r


def check_growth(checks, program):
    flat = {"board": {"thickness": 20, "bottom": "square"},
            "fixing": {"tack_inset": 20, "hold": 12, "grip": 20}}
    disc = cover(program, job("mm", {"shape": "round", "diameter": 400}, seat=flat))
    way = disc["paths"]["front"]["allowance_mm"]
    frame = Polygon(disc["frame_mm"])
    checks.near(Polygon(disc["outline_mm"]).area / steiner(frame, way), 1, 2e-3,
                "disc: Steiner's formula")
    checks.near(Polygon(disc["outline_mm"]).area / frame.buffer(way, resolution=64).area, 1, 2e-3,
                "disc: shapely's buffer")
    block = cover(program, job("mm", {"shape": "rectangle", "front": 450, "depth": 400}, seat=flat))
    way = block["paths"]["front"]["allowance_mm"]
    mitred = Polygon(block["frame_mm"]).buffer(way, join_style=2)
    checks.near(mitred.symmetric_difference(Polygon(block["within_mm"]["grip"])).area, 0, 5,
                "rectangle: shapely's mitred buffer")
    checks.near(Polygon(block["outline_mm"]).area, (450 + 2 * way) * (400 + 2 * way), 5,
                "rectangle: (w + 2 a)(d + 2 a)")


def check_stamps(checks, program):
    # Quarter notation on the flesh side: 52.3 means 52 3/4 ft2 (sellers' pages; trade guidance).
    for stamp, area in (("52.3", 52.75), ("50.1", 50.25), ("48.2", 48.5), ("52³", 52.75)):
        document = job("in", {"shape": "round", "diameter": 14}, hides=[side_hide("in", stamp=stamp)])
        hide = ask(program, "lay", job=document)["hides"][0]
        checks.near(hide["stamped_mm2"] / FT2, area, 1e-6, f"stamp {stamp}")
        checks.near(hide["area_mm2"] / FT2, 100 * 60 / 144, 1e-6, "a panel's area is its sides'")
    refused = ask(program, "check", status=(2,),
                  job=job("in", {"shape": "round", "diameter": 14},
                          hides=[side_hide("in", stamp="52.4")]))
    checks.that(any("stamp" in p["where"] for p in refused["problems"]), "stamp 52.4 is refused")


def check_bellies(checks, program):
    # Two bellies with shanks and flanks, cut parallel to the backbone, are about 23 % of the
    # hide: Roberts and Etherington, Bookbinding and the Conservation of Books, 1982, "belly".
    stations = [{"up": 0, "left": 0, "right": 0}, {"up": 0, "left": 1000, "right": 1050},
                {"up": 300, "left": 1100, "right": 1120}, {"up": 1100, "left": 1020, "right": 1000},
                {"up": 1600, "left": 1150, "right": 1130}, {"up": 2000, "left": 600, "right": 620},
                {"up": 2100, "left": 0, "right": 0}]
    document = job("mm", {"shape": "round", "diameter": 350},
                   hides=[{"name": "whole", "form": "whole", "stations": stations}])
    hide = ask(program, "lay", job=document)["hides"][0]
    outer = sum(Polygon(p["outer_mm"], p["holes_mm"]).area for r in hide["regions"]
                if r["kind"] in ("belly", "flank", "shank") for p in r["polygons"])
    checks.near(outer / hide["area_mm2"], 0.23, 0.001, "bellies, flanks and shanks: 23 %")
    # The curve passes through the stations.
    edge = Polygon(hide["outline_mm"]).exterior
    worst = max(edge.distance(Point(s["up"], y)) for s in stations for y in (s["left"], -s["right"]))
    checks.near(worst, 0, 0.05, "the outline passes through every station")


def main():
    checks = Checks()
    program = sys.argv[1]
    check_frames(checks, program)
    check_same_in_both_units(checks, program)
    check_blank_rule(checks, program)
    check_domes(checks, program)
    check_growth(checks, program)
    check_stamps(checks, program)
    check_bellies(checks, program)
    checks.end()


main()
