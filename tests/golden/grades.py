"""Grades that a job names: what they mean, and that docs/population.md states the program's own.

  grades.py PROGRAM
"""
import json
import pathlib
import re
import subprocess
import sys
import tempfile

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1] / "outside"))
from program import ROOT, Checks

PROGRAM = str(pathlib.Path(sys.argv[1]).resolve())
STOOL = json.loads((ROOT / "examples" / "small" / "round-stool.json").read_text(encoding="utf-8"))
OURS = ["clean", "sound", "lively", "rough"]
PLACES = ["butt", "side", "shoulder"]


def call(job, *words):
    return subprocess.run([PROGRAM, "buy", "-", "--form", "side", "--pieces", "1", "--no-offers", *words],
                          input=json.dumps(job), capture_output=True, text=True, check=False)


def answer(job, grade, trials=2):
    """The document of `buy`, and what it says of the grade."""
    done = call(job, "--grade", grade, "--trials", str(trials), "--json")
    if done.returncode:
        raise SystemExit(f"{grade}: status {done.returncode}: {done.stderr}")
    document = json.loads(done.stdout)
    told = {key: document.pop(key) for key in ("grade", "grade_like", "grade_replaced", "lets_through")}
    told.pop("lets_through")
    return document, told


def numbers(text):
    return [float(word) for word in re.findall(r"\d+(?:\.\d+)?", text)]


def documented():
    """The table of docs/population.md: for each number its limits, and its value in each grade."""
    text = (ROOT / "docs" / "population.md").read_text(encoding="utf-8")
    lines = text[text.index("| number | limits |"):].split("\n\n")[0].split("\n")[2:]
    limits, values = {}, {grade: {} for grade in OURS}
    for line in lines:
        cells = [cell.strip() for cell in line.strip("|").split("|")]
        key = re.match(r"`(\w+)`", cells[0])[1]
        limits[key] = numbers(cells[1])
        for grade, cell in zip(OURS, cells[2:6]):
            found = numbers(cell)
            values[grade][key] = dict(zip(PLACES, found)) if key == "brand_places" else found[0]
    return limits, values


def with_grades(*grades):
    return {**STOOL, "grades": list(grades)}


def flat(replaced):
    for key, value in replaced.items():
        if isinstance(value, dict):
            yield from ((f"{key}.{place}", inner) for place, inner in value.items())
        else:
            yield key, value


def documents_tell_the_numbers(checks):
    """A grade that is given every number of the table is the program's, whatever it is like."""
    limits, values = documented()
    schema = json.loads((ROOT / "docs" / "job.schema.json").read_text(encoding="utf-8"))
    for key, field in schema["$defs"]["grade"]["properties"].items():
        if key in ("name", "like", "notes"):
            continue
        field = field["properties"]["butt"] if key == "brand_places" else field
        checks.that(limits.pop(key, None) == [field["minimum"], field["maximum"]],
                    f"{key}: limits as documented")
    checks.that(not limits, "no number is documented that there is not")
    for grade, like in zip(OURS, OURS[1:] + OURS[:1]):
        job = with_grades({"name": "as documented", "like": like, **values[grade]})
        theirs, told = answer(job, "as documented")
        ours, plain = answer(job, grade)
        usual = dict(flat(values[like]))
        checks.that(theirs == ours, f"{grade}: the table's numbers give the same trials")
        checks.that(told["grade_like"] == like and told["grade_replaced"] ==
                    {key: value for key, value in flat(values[grade]) if value != usual[key]},
                    f"{grade}: what is replaced is told")
        same = answer(with_grades({"name": "the same", "like": grade, **values[grade]}), "the same", 1)[1]
        checks.that(same["grade_replaced"] == {}, f"{grade}: has the table's numbers")
        checks.that(plain == {"grade": grade, "grade_like": grade, "grade_replaced": {}},
                    f"{grade}: nothing is replaced")


def another_name_is_all(checks):
    """The same trials to the byte, as text, as a document, and in the file of a shard."""
    for like in ("clean", "lively"):
        job = with_grades({"name": "TR2, second selection", "like": like})
        theirs = call(job, "--grade", "TR2, second selection", "--trials", "4")
        ours = call(job, "--grade", like, "--trials", "4")
        cut = [re.sub(r'of the grade "[^"]*": .*', "", text.stdout) for text in (theirs, ours)]
        checks.that(theirs.returncode == 0 and cut[0] == cut[1] != theirs.stdout,
                    f"{like} under another name: the same text")
        checks.that(f'of the grade "TR2, second selection": like "{like}" (' in theirs.stdout,
                    f"{like} under another name: named and told")
        checks.that(answer(job, "TR2, second selection")[0] == answer(job, like)[0],
                    f"{like} under another name: the same document")
    with tempfile.TemporaryDirectory() as folder:
        found = []
        for name in ("TR2, second selection", "lively"):
            path = f"{folder}/{name}.json"
            call(job, "--grade", name, "--trials", "3", "--shard", "2/3", "--out", path)
            shard = json.loads(pathlib.Path(path).read_text(encoding="utf-8"))
            found.append({key: shard[key] for key in shard if key not in ("grade", "asked")})
        checks.that(found[0] == found[1], "lively under another name: the same shard")


def shards_know_the_grade(checks):
    """Parts of a grade of the job's own; its numbers are part of what was asked."""
    own = {"name": "second choice", "like": "lively", "spots": 3}
    job = with_grades(own)
    with tempfile.TemporaryDirectory() as folder:
        files = []
        for shard in (1, 2):
            files.append(f"{folder}/{shard}.json")
            call(job, "--grade", "second choice", "--trials", "3", "--shard", f"{shard}/2", "--out",
                 files[-1])
        merged = subprocess.run([PROGRAM, "merge", "--json", "--no-offers", *files],
                                capture_output=True, text=True, check=False)
        whole = call(job, "--grade", "second choice", "--trials", "3", "--json")
        checks.that(merged.returncode == 0 and merged.stdout == whole.stdout != "",
                    "the shards together are the one run")
        shards = [json.loads(pathlib.Path(path).read_text(encoding="utf-8")) for path in files]
        for title, change, words in [
            ("a number of the grade is changed in every file", {**own, "spots": 3.5},
             "makes another task of the same job"),
            ("the grade is gone from every file", {**own, "name": "third choice"},
             '"second choice" is no grade'),
        ]:
            text = json.dumps(with_grades(change))
            for path, shard in zip(files, shards):
                pathlib.Path(path).write_text(json.dumps({**shard, "job": text}), encoding="utf-8")
            done = subprocess.run([PROGRAM, "merge", *files], capture_output=True, text=True, check=False)
            checks.that(done.returncode == 2 and words in done.stderr and not done.stdout,
                        f"{title}: {done.stderr.splitlines()[0][-70:] if done.stderr else done.stdout}")


def refusals(checks):
    job = with_grades({"name": "second choice", "like": "lively"})
    for words in (["--trials", "5"], ["--split", "--pieces", "2"], ["--thrift"]):
        done = call(job, "--grade", "second", *words)
        checks.that(done.returncode == 2 and not done.stdout and
                    'grade: "second" is no grade\n  allowed: clean, sound, lively, rough or '
                    '"second choice"\n' in done.stderr, f"{words[0]}: a grade that there is not")
    for words in (["--split", "--pieces", "2", "--trials", "4"], ["--thrift", "--trials", "1"]):
        pair = {**job, "seats": [{**STOOL["seats"][0], "count": 2}]}
        done = call(pair, "--grade", "second choice", "--json", *words)
        document = json.loads(done.stdout) if done.returncode == 0 else {}
        checks.that(document.get("grade") == "second choice" and document["grade_like"] == "lively",
                    f"{words[0]} with a grade of the job's own")


def offers(checks):
    """Two offers that differ by the name of their grade alone have one chance; fewer brands, more."""
    offer = {"form": "side", "price": 9, "per": "ft2", "area": 11}
    job = {**with_grades({"name": "second choice", "like": "sound"},
                         {"name": "bought blind", "like": "rough", "spots": 8, "sizes": 2}),
           "currency": "EUR", "seats": [{**STOOL["seats"][0], "count": 3}],
           "offers": [{**offer, "name": "ours", "grade": "sound"},
                      {**offer, "name": "theirs", "grade": "second choice"},
                      {**offer, "name": "worse", "grade": "bought blind"}]}
    done = subprocess.run([PROGRAM, "buy", "-", "--form", "side", "--pieces", "1", "--trials", "16",
                           "--json"], input=json.dumps(job), capture_output=True, text=True, check=False)
    ranking = {cost["offer"]: cost for cost in json.loads(done.stdout)["offers"]["ranking"]}
    checks.that(ranking["ours"]["ways"] == ranking["theirs"]["ways"],
                "offers that differ by a name have one chance")
    checks.that(ranking["worse"]["pieces"] > ranking["ours"]["pieces"] or
                ranking["worse"]["chance"] < ranking["ours"]["chance"],
                "a worse grade takes more, or is less often enough")


def main():
    checks = Checks()
    documents_tell_the_numbers(checks)
    another_name_is_all(checks)
    shards_know_the_grade(checks)
    refusals(checks)
    offers(checks)
    checks.end()


main()
