"""`buy --split`: one hide for the whole set, or which chairs from which."""
import copy
import json
import pathlib
import signal
import subprocess
import sys
import time

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1] / "outside"))
from program import ROOT, Checks, wait_until_it_listens

PROGRAM = str(pathlib.Path(sys.argv[1]).resolve())
CLUB = ROOT / "examples" / "rowing-club.json"
STOOL = ROOT / "examples" / "small" / "round-stool.json"
STEP_MM2 = 46451.52  # half a square foot


def call(job, *words):
    return subprocess.run([PROGRAM, "buy", "-", "--split", "--form", "side", *words],
                          input=json.dumps(job), capture_output=True, text=True, check=False)


def set_of(*kinds):
    """Round stools: a name, how many, the diameter in inches, and beside whom."""
    job = json.loads(STOOL.read_text(encoding="utf-8"))
    plain = job["seats"][0]
    job["seats"] = []
    for name, count, diameter, beside in kinds:
        seat = {**copy.deepcopy(plain), "name": name, "count": count}
        seat["frame"]["diameter"] = diameter
        if beside:
            seat["beside"] = beside
        job["seats"].append(seat)
    return job


def chairs(hide):
    return {chair["seat"]: chair["count"] for chair in hide["chairs"]}


def numbers(checks, answer, title):
    """Sums and products of what is said of each hide."""
    product = 1
    for hide in answer["hides"]:
        product *= hide["chance"]
        checks.that(hide["low"] <= hide["chance"] <= hide["high"], f"{title}: in its interval")
    checks.near(answer["chance"], product, 2e-5, f"{title}: the chance that all are enough")
    checks.that(answer["low"] <= answer["chance"] <= answer["high"], f"{title}: in its interval")
    checks.near(answer["cut_mm2"], sum(h["cut_mm2"] for h in answer["hides"]), 0.1,
                f"{title}: each cover on one hide")
    if answer["enough"]:
        checks.that(answer["chance"] >= answer["comfort"] - 1e-5, f"{title}: as sure as asked")
        checks.near(answer["together_mm2"], sum(h["area_mm2"] for h in answer["hides"]), 0.1,
                    f"{title}: together")
        checks.that(all(abs(h["area_mm2"] / STEP_MM2 - round(h["area_mm2"] / STEP_MM2)) < 1e-6
                        for h in answer["hides"]), f"{title}: in half square feet")


def kinds_together(checks):
    job = set_of(("low", 1, 13, None), ("bar", 2, 12, None), ("high", 1, 12, "low"))
    told = call(job, "--trials", "8", "--json")
    answer = json.loads(told.stdout)
    numbers(checks, answer, "two blocks")
    found = sorted((chairs(hide) for hide in answer["hides"]), key=len)
    checks.that(told.returncode == 0 and found == [{"bar": 2}, {"low": 1, "high": 1}]
                and answer["parted"] == [], f"who stands side by side comes from one hide: {found}")
    checks.that(answer["one"]["easy"] and "One side does" in answer["advice"]
                and "Divided over 2" in answer["advice"], "a small set comes from one side")
    checks.that(call(job, "--trials", "8", "--json").stdout == told.stdout, "the same answer twice")
    shown = call(job, "--trials", "8").stdout
    checks.that("2 × bar (" in shown and "come from one hide" in shown, "as a table")


def parted(checks):
    job = set_of(("bar", 3, 12, None))
    answer = json.loads(call(job, "--trials", "6", "--pieces", "3", "--json").stdout)
    numbers(checks, answer, "three hides")
    checks.that([chairs(hide) for hide in answer["hides"]] == [{"bar": 1}] * 3
                and answer["parted"] == ["bar"], "one block on three sides is parted")
    single = call(set_of(("bar", 1, 12, None)), "--trials", "6", "--json")
    checks.that(json.loads(single.stdout)["hides"] == [], "one chair is not divided")


def refusals(checks):
    job = set_of(("bar", 3, 12, None))
    for pieces in ["1", "4", "20"]:
        done = call(job, "--trials", "4", "--pieces", pieces)
        checks.that(done.returncode == 2 and f"{pieces} hides for 3 covers" in done.stderr,
                    f"over {pieces}: refused")
    done = call(job, "--thrift")
    checks.that(done.returncode == 2 and "only one of" in done.stderr, "not with --thrift")
    with subprocess.Popen([PROGRAM, "buy", str(CLUB), "--split", "--trials", "2000", "--json"],
                          stdout=subprocess.PIPE, stderr=subprocess.PIPE) as running:
        wait_until_it_listens(running)
        time.sleep(6)
        running.send_signal(signal.SIGINT)
        out, errors = running.communicate(timeout=60)
    checks.that(running.returncode == 130 and (b"stopped before" in errors
                                               or json.loads(out)["stopped"]), "stopped")


def main():
    checks = Checks()
    kinds_together(checks)
    parted(checks)
    refusals(checks)
    checks.end()


main()
