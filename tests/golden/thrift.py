"""`buy --thrift`: what single changes save, as tables and as a document."""
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


def call(*words, job):
    return subprocess.run([PROGRAM, "buy", "-", "--thrift", *words], input=json.dumps(job),
                          capture_output=True, text=True, check=False)


def documents(checks, job):
    words = ["--form", "side", "--pieces", "1", "--trials", "2", "--json"]
    told = call(*words, job=job)
    answer = json.loads(told.stdout)
    checks.that(told.returncode == 0 and not answer["stopped"] and answer["picked"] == 2
                and answer["drawn"] == 8, "as many pairs as asked for")
    changes = [saving["change"] for saving in answer["savings"]]
    for part in ["turn covers up to 15°", "shorten the grip on all sides by 1/4 in",
                 "one cover fewer (stool)", "leather (", "tack 1/4 in nearer", "look to the neck"]:
        checks.that(any(part in change for change in changes), f"offered: {part}")
    order = [(saving["saves"], saving["saves_mm2"]) for saving in answer["savings"]]
    checks.that(order == sorted(order, reverse=True), "what saves most comes first, luck last")
    for saving in answer["savings"]:
        checks.that(saving["low_mm2"] <= saving["saves_mm2"] <= saving["high_mm2"]
                    and saving["saves"] == (saving["low_mm2"] > 0) and saving["cost"],
                    f"{saving['change'][:40]}: in its interval")
    checks.that("price" not in answer and "money" not in answer["savings"][0],
                "without a price no money")
    return answer


def prices(checks, job, plain):
    """The lowest price by area of the form counts: 10 for 1 ft² are 107.64 for 1 m²."""
    priced = copy.deepcopy(job)
    priced["currency"] = "EUR"
    priced["offers"] = [
        {"name": "dear", "form": "side", "price": 107.65, "per": "m2", "area": "20-28"},
        {"name": "cheap", "form": "side", "price": 10, "per": "ft2", "area": "20-28"},
        {"name": "other form", "form": "whole", "price": 1, "per": "ft2", "area": "40-60"}]
    answer = json.loads(call("--form", "side", "--pieces", "1", "--trials", "2", "--json",
                             job=priced).stdout)
    checks.that(answer["price"] == {"of": "cheap", "currency": "EUR", "per_ft2": 10}, "the lowest price")
    for saving, before in zip(answer["savings"], plain["savings"]):
        checks.near(saving["money"], saving["saves_mm2"] / 92903.04 * 10, 0.0051, "money by area")
        checks.that(saving["saves_mm2"] == before["saves_mm2"], "a price changes no trial")
    shown = call("--form", "side", "--pieces", "1", "--trials", "2", job=priced).stdout
    checks.that("surely between" in shown and "Priced at 10.00 EUR for 1 ft²" in shown
                and all(line == line.rstrip() for line in shown.splitlines()
                        if "──" not in line), "as tables")


def options(checks, job):
    done = call("--shard", "1/2", "--trials", "4", "--out", "x", job=job)
    checks.that(done.returncode == 2 and "only one of --thrift" in done.stderr, "no shards of it")
    with subprocess.Popen([PROGRAM, "buy", str(CLUB), "--pieces", "1", "--thrift", "--trials", "2000",
                           "--json"], stdout=subprocess.PIPE, stderr=subprocess.PIPE) as running:
        wait_until_it_listens(running)
        time.sleep(2)
        running.send_signal(signal.SIGINT)
        _, errors = running.communicate(timeout=60)
    checks.that(running.returncode == 130 and b"stopped before" in errors,
                f"stopped while drawing: {running.returncode} {errors[-400:]}")
    for wait_s in [6, 15, 40]:  # until hides are picked, on slow machines later
        with subprocess.Popen([PROGRAM, "buy", str(STOOL), "--form", "side", "--pieces", "1",
                               "--thrift", "--trials", "6", "--json"], stdout=subprocess.PIPE,
                              stderr=subprocess.PIPE) as running:
            wait_until_it_listens(running)
            time.sleep(wait_s)
            running.send_signal(signal.SIGINT)
            out, errors = running.communicate(timeout=60)
        if out:
            break
    known = json.loads(out) if out else {"stopped": False, "savings": []}
    checks.that((running.returncode == 130) == known["stopped"]
                and any(saving["pairs"] > 0 for saving in known["savings"]),
                f"stopped after {wait_s} s: what is known is told; {running.returncode} {errors[-400:]}")


def main():
    checks = Checks()
    job = json.loads(STOOL.read_text(encoding="utf-8"))
    job["seats"][0]["count"] = 2
    job["laying"] = {"either_way": False}
    plain = documents(checks, job)
    prices(checks, job, plain)
    options(checks, job)
    checks.end()


main()
