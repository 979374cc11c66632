"""Random jobs through the whole program, each layout verified with shapely.

Seats of every shape, hides with random outlines, regions and flaws. The same checks as in
layouts.py; the seeds are fixed, so a failure can be repeated:
  random_jobs.py PROGRAM [FIRST_SEED [HOW_MANY]]
"""
import math
import random
import sys

from layouts import check_plan, check_straight_cuts
from program import Checks, ask

FLAWS = ["hole", "flay cut", "brand", "open scar", "grub holes", "scar", "ticks", "veins",
         "wrinkle", "loose grain", "stretched", "stain", "thin spot"]


def a_frame(rng):
    front = rng.randint(300, 480)
    depth = rng.randint(300, 460)
    shape = rng.choice(["rectangle", "taper", "D", "round", "oval", "traced"])
    if shape == "round":
        return {"shape": "round", "diameter": front}
    if shape == "oval":
        return {"shape": "oval", "width": front, "depth": depth}
    if shape == "traced":
        points = [[round((front / 2) * r * math.cos(a)), round(200 + (depth / 2) * r * math.sin(a))]
                  for k in range(14) for a in [k * math.tau / 14] for r in [rng.uniform(0.8, 1.0)]]
        return {"shape": "traced", "outline": points}
    frame = {"shape": shape, "front": front, "depth": depth}
    if shape == "taper":
        frame["back"] = front - rng.randint(0, 80)
        frame["bow"] = {"front": rng.randint(0, 15), "left": rng.randint(0, 8)}
    if shape != "D" and rng.random() < 0.5:
        frame["notches"] = {"front_left": {"width": 30, "depth": 35, "radius": rng.choice([0, 4])}}
    else:
        frame["corner_radius"] = {"front_left": 15, "front_right": 20}
    return frame


def a_seat(rng, index):
    edge = rng.randint(12, 40)
    return {"name": f"seat {index}", "count": rng.randint(1, 4), "frame": a_frame(rng),
            "board": {"thickness": rng.randint(9, 22), "bottom": "rounded", "bottom_size": 5},
            "padding": {"edge": edge, "crown": rng.randint(0, 30), "edge_radius": 10,
                        "profile": rng.choice(["parabola", "circle", "flat"]),
                        "overhang": rng.choice([0, 6])},
            "fixing": {"tack_inset": 20, "hold": 12, "grip": {"all": 20, "front": 30}},
            "cut": rng.choice(["following", "straight"])}


def a_place(rng, length, half):
    side = rng.choice(["left", "right"])
    return {"up": rng.randint(50, length - 50), side: rng.randint(0, half)}


def a_flaw(rng, length, half):
    kind = rng.choice(FLAWS)
    place = a_place(rng, length, half)
    if rng.random() < 0.5:
        return {"kind": kind, "at": place, "radius": rng.randint(4, 60)}
    return {"kind": kind, "line": [place, a_place(rng, length, half)], "width": rng.randint(3, 20)}


def a_hide(rng, index):
    length = rng.randint(1700, 2300)
    half = rng.randint(850, 1150)
    stations = [{"up": 0, "left": 0, "right": 0}]
    for k in range(9):
        up = round(length * (k + 0.5) / 9)
        full = half * (1 - 0.4 * max(0, k - 5) / 3)
        stations.append({"up": up, "left": round(full * rng.uniform(0.85, 1.1)),
                         "right": round(full * rng.uniform(0.85, 1.1))})
    stations.append({"up": length, "left": 0, "right": 0})
    return {"name": f"hide {index}", "form": "whole", "stations": stations,
            "flaws": [a_flaw(rng, length, half - 100) for _ in range(rng.randint(0, 12))]}


def a_job(seed):
    rng = random.Random(seed)
    return {"seatwright": 1, "name": f"random {seed}", "units": "mm",
            "seats": [a_seat(rng, i) for i in range(rng.randint(1, 3))],
            "hides": [a_hide(rng, i) for i in range(rng.randint(1, 2))],
            "laying": {"turn_window": rng.choice([0, 5, 12]), "either_way": rng.random() < 0.7,
                       "gap": rng.choice([0, 3, 6])},
            "search": {"seed": seed, "work": 0.05}}


def main():
    checks = Checks()
    first = int(sys.argv[2]) if len(sys.argv) > 2 else 1
    many = int(sys.argv[3]) if len(sys.argv) > 3 else 40
    for seed in range(first, first + many):
        job = a_job(seed)
        plan = ask(sys.argv[1], "lay", "--fit=0", job=job, status=(0, 5))
        wanted = sum(seat["count"] for seat in job["seats"])
        left = sum(u["count"] for u in plan["unplaced"])
        checks.that(len(plan["placements"]) + left == wanted, f"{seed}: no cover is forgotten")
        check_plan(checks, str(seed), plan)
        check_straight_cuts(checks, str(seed), plan)
    checks.end()


if __name__ == "__main__":
    main()
