"""What `advise` prints, and its document. The texts are in advise/; --update behind the
program writes them anew."""
import json
import pathlib
import subprocess
import sys

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1] / "outside"))
from program import ROOT, Checks, ask

PROGRAM = str(pathlib.Path(sys.argv[1]).resolve())
HERE = pathlib.Path(__file__).resolve().parent
EXAMPLES = {"rowing-club": "rowing-club.json", "mill-kitchen": "mill-kitchen.json",
            "nothing-said": "small/notched.json"}
HOUSEHOLD = {"sun": "never", "pets": "never", "children": "never", "spills": "never",
             "marks": "accepted"}


def job(**more):
    document = json.loads((ROOT / "examples" / "small" / "taper.json").read_text(encoding="utf-8"))
    document.update(more)
    return document


def advice(**more):
    return ask(PROGRAM, "advise", job=job(**more))


def texts(checks):
    for name, example in EXAMPLES.items():
        done = subprocess.run([PROGRAM, "advise", str(ROOT / "examples" / example)], text=True,
                              capture_output=True, check=False)
        path = HERE / "advise" / f"{name}.txt"
        if "--update" in sys.argv:
            path.write_text(done.stdout, encoding="utf-8")
        checks.that(done.returncode == 0 and not done.stderr
                    and done.stdout == path.read_text(encoding="utf-8"), f"{name}: as in {path.name}")
        checks.that(all(line == line.rstrip() for line in done.stdout.splitlines()),
                    f"{name}: no blanks at the ends of lines")


def documents(checks):
    quiet = advice(household={**HOUSEHOLD, "marks": "welcome"})
    checks.that(quiet["advised"]["kind"] == "aniline" and quiet["advised"]["grain"] == "full",
                "a quiet household that likes marks: aniline, full grain")
    lively = advice(household={**HOUSEHOLD, "pets": "daily", "spills": "daily", "marks": "unwelcome"})
    checks.that(lively["advised"]["kind"] == "pigmented"
                and lively["advised"]["grain"] == "corrected",
                "pets, spills and no marks: pigmented, corrected grain")
    for document in (quiet, lively):
        sums = dict.fromkeys([k["kind"] for k in document["kinds"]], 0)
        for reason in document["reasons"]:
            checks.that(reason["because"] and reason["source"], f"{reason['when']}: has a reason")
            for kind, points in reason["points"].items():
                sums[kind] += points
        checks.that(all(sums[k["kind"]] == k["points"] for k in document["kinds"]),
                    "points are the sum of the reasons")
        order = [k["points"] for k in document["kinds"]]
        checks.that(order == sorted(order, reverse=True)
                    and document["kinds"][0]["kind"] == document["advised"]["kind"],
                    "the best kind comes first and is advised")
        checks.that("split" not in sums and any("Never plain split" in c for c in document["cautions"]),
                    "plain split is never advised")


def values(checks):
    """Decision (EU) 2016/1332, Appendix II: wet rub 250, 80 and 20 cycles; light 5, 4 and 3."""
    for household, kind, wet, light in [
            ({**HOUSEHOLD, "pets": "daily", "spills": "daily"}, "pigmented", "250 cycles", "blue scale 5"),
            ({**dict.fromkeys(HOUSEHOLD, "at times"), "marks": "accepted"}, "semi-aniline",
             "80 cycles", "blue scale 4"),
            (HOUSEHOLD, "aniline", "20 cycles", "blue scale 3")]:
        document = advice(household=household)
        asked = {entry["property"]: entry["value"] for entry in document["ask"]}
        checks.that(document["advised"]["kind"] == kind
                    and asked["colour fastness to rubbing, wet felt"].startswith(wet)
                    and asked["colour fastness to light"].startswith(light),
                    f"{kind}: {wet}, {light}")


def clearances(checks):
    """M. Teague, Slip Seat Upholstery, 2010: 3/16 to 1/4 in, for 1.2 mm over muslin and batting."""
    document = job(leather={"thickness": "1.2 mm"})
    document["seats"][0]["padding"]["layers"] = [{"material": "muslin", "thickness": "0.3 mm"},
                                                 {"material": "batting", "thickness": "1 mm"}]
    for clearance, fits in [("3/16 in", False), ("1/4 in", True)]:
        document["seats"][0]["clearance"] = clearance
        seat = ask(PROGRAM, "advise", job=document)["seats"][0]
        checks.that(seat["fits_straight"] and seat["fits_corners"] == fits,
                    f"1.2 mm leather in {clearance}: at the corners {fits}")
        checks.near(seat["corner_needs_mm"], 5.7, 1e-6, "three leathers, two layers and 0.8 mm")
        checks.near(seat["straight_needs_mm"], 3.3, 1e-6, "one leather")
    del document["seats"][0]["clearance"]
    seat = ask(PROGRAM, "advise", job=document)["seats"][0]
    checks.that(not seat["measured"] and abs(seat["clearance_mm"] - 3 / 16 * 25.4) < 1e-3,
                "not measured: 3/16 in (E. A. Johnson, 1919)")


def main():
    checks = Checks()
    for part in [texts, documents, values, clearances]:
        part(checks)
    checks.end()


main()
