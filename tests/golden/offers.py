"""What `buy` says of offers. The texts are in offers/; --update behind the program writes them
anew. They depend on bills alone: each purchase in them is surely enough, or surely not."""
import contextlib
import json
import pathlib
import signal
import subprocess
import sys

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1] / "outside"))
from program import ROOT, Checks, wait_until_it_listens

PROGRAM = str(pathlib.Path(sys.argv[1]).resolve())
HERE = pathlib.Path(__file__).resolve().parent
FOOTSTOOL = HERE / "offers" / "footstool.json"
QUICK = ["--form", "side", "--pieces", "1", "--trials", "12"]
STOOL = ROOT / "examples" / "small" / "round-stool.json"


def buy(job, *words):
    return subprocess.run([PROGRAM, "buy", str(job), *QUICK, *words], text=True,
                          capture_output=True, check=False)


def texts(checks):
    done = buy(FOOTSTOOL)
    shown = done.stdout[done.stdout.find("Offers."):]
    path = HERE / "offers" / "footstool.txt"
    if "--update" in sys.argv:
        path.write_text(shown, encoding="utf-8")
    checks.that(done.returncode == 0 and not done.stderr
                and shown == path.read_text(encoding="utf-8"), f"offers: as in {path.name}")
    checks.that(all(len(line) <= 132 and line == line.rstrip() for line in shown.splitlines()),
                "no line is longer than a wide terminal")
    checks.that("Instead a whole hide of at least" in done.stdout, "the other form is told")


def documents(checks):
    told = json.loads(buy(FOOTSTOOL, "--json").stdout)
    offers = told["offers"]
    checks.that(told["other_form"]["form"] == "whole" and told["other_form"]["trials"] == 12,
                "the other form is in the document")
    checks.that(offers["currency"] == "GBP" and offers["certain"] and not offers["stopped"],
                "the first is first for certain")
    ranking = offers["ranking"]
    checks.that([o["reaches_comfort"] for o in ranking] == [True] * 4 + [False]
                and [o["other_kind"] for o in ranking] == [False] * 3 + [True, False],
                "those that are enough come first, then those of the kind wanted")
    checks.that(offers["impossible"] == ["the box of ends under the counter"]
                and offers["untried"] == [], "what can never be enough is told")
    sources = {o["offer"]: o["sure"]["chance_from"] for o in ranking}
    checks.that(set(sources.values()) >= {"trials", "layout"}, f"where chances come from: {sources}")


def leaving_out(checks):
    told = json.loads(buy(FOOTSTOOL, "--no-offers", "--json").stdout)
    checks.that(told["offers"] is None and told["other_form"] is None,
                "--no-offers leaves out offers and the other form")
    shown = buy(FOOTSTOOL, "--no-offers").stdout
    checks.that("Offers" not in shown and "Instead" not in shown, "and says nothing of them")
    shown = buy(STOOL).stdout
    checks.that("The job has no offers." in shown, "a job without offers is told of them")


def stopping(checks):
    """Whenever Ctrl-C comes, what is known by then is a whole document."""
    club = str(ROOT / "examples" / "rowing-club.json")
    stopped = 0
    # Early enough for the fastest machine, late enough for the slowest to know something.
    for wait_s in [0.2, 1, 3, 8]:
        running = subprocess.Popen([PROGRAM, "buy", club, "--pieces", "1", "--trials", "8", "--json"],
                                   stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
        wait_until_it_listens(running)
        with contextlib.suppress(subprocess.TimeoutExpired):
            running.wait(timeout=wait_s)
        running.send_signal(signal.SIGINT)
        out, errors = running.communicate(timeout=120)
        stopped += running.returncode == 130
        told = json.loads(out) if out else None
        whole = "stopped" in errors if told is None else (
            running.returncode == 130 or not told["stopped"])
        if told and told["offers"]:
            offers = told["offers"]
            whole = whole and (len(offers["ranking"]) + len(offers["untried"])
                               + len(offers["impossible"]) == 5)
            whole = whole and all(o["sure"]["trials"] > 0 or o["form"] == "panel"
                                  or o["sure"]["chance_from"] == "area" for o in offers["ranking"])
        checks.that(running.returncode in (0, 130) and whole,
                    f"stopped after {wait_s} s: status {running.returncode}, "
                    f"{len(told['offers']['ranking']) if told and told['offers'] else 0} offers known"
                    + ("" if running.returncode in (0, 130) else f"; {errors[-1500:]!r}"))
    checks.that(stopped > 0, "Ctrl-C really stops the work")


def main():
    checks = Checks()
    for part in [texts, documents, leaving_out, stopping]:
        part(checks)
    checks.end()


main()
