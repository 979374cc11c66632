"""`buy --shard` and `merge`: the shards together are the single run, to the byte, however they were
run; what does not fit together is refused by name; a stop leaves whole files or none."""
import json
import os
import pathlib
import shutil
import signal
import subprocess
import sys
import tempfile
import time

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1] / "outside"))
from program import ROOT, Checks, wait_until_it_listens

PROGRAM = str(pathlib.Path(sys.argv[1]).resolve())
CLUB = str(ROOT / "examples" / "rowing-club.json")
STOOL = str(ROOT / "examples" / "small" / "round-stool.json")
SHARDS = 3
ORDER = ["--form", "side", "--pieces", "1", "--trials", "10"]


def call(*words, stdin="", cwd=None):
    return subprocess.run([PROGRAM, *words], input=stdin, capture_output=True, text=True, cwd=cwd,
                          check=False)


def make_shards(folder, job=STOOL):
    """As docs/buying.md shows it: several at a time, by GNU parallel where it is installed."""
    numbers = "\n".join(str(i) for i in range(1, SHARDS + 1))
    several = ["parallel", "-j", "2"] if shutil.which("parallel") else ["xargs", "-P", "2", "-I", "{}"]
    done = subprocess.run(
        [*several, PROGRAM, "buy", job, *ORDER, "--threads", "1", "--shard", f"{{}}/{SHARDS}", "--out",
         f"{folder}/shard-{{}}.json"], input=numbers, text=True, capture_output=True, check=False)
    return done.returncode, [f"{folder}/shard-{i}.json" for i in range(1, SHARDS + 1)]


def equality(checks, folder):
    status, files = make_shards(folder)
    checks.that(status == 0 and all(os.path.exists(f) for f in files), "shards run side by side")
    for words in [["--no-offers"], ["--json", "--no-offers"], []]:
        single = call("buy", STOOL, *ORDER, *words)
        for order in [files, files[::-1], files[1:] + files[:1]]:
            merged = call("merge", *order, *words)
            checks.that(merged.returncode == 0 and merged.stdout == single.stdout,
                        f"merged {[f[-6] for f in order]} is the single run, to the byte {words}")
    # The job itself may be gone, and come from standard input.
    text = pathlib.Path(STOOL).read_text(encoding="utf-8")
    again = f"{folder}/again.json"
    call("buy", "-", *ORDER, "--shard", f"2/{SHARDS}", "--out", again, stdin=text)
    checks.that(pathlib.Path(again).read_bytes() == pathlib.Path(files[1]).read_bytes(),
                "the same shard, the same bytes")
    return files


def refusals(checks, folder, files):
    documents = [json.loads(pathlib.Path(f).read_text(encoding="utf-8")) for f in files]

    def changed(index, **values):
        path = f"{folder}/changed.json"
        pathlib.Path(path).write_text(json.dumps({**documents[index], **values}), encoding="utf-8")
        return path

    other_job = documents[0]["job"].replace("Bar stools", "Other stools")
    same_text = documents[0]["job"].replace('"count": 3', '"count": 2')
    rows = [dict(row) for row in documents[2]["brackets"]]
    rows[0]["trials"] -= 1
    one_less = {"done": documents[2]["done"] - 1, "careful": 0,
                "brackets": [row for row in rows if row["trials"] > 0]}
    first = documents[1]["brackets"][0]
    one_more = {"done": documents[1]["done"] + 1,
                "brackets": [{**first, "trials": first["trials"] + 1},
                             *documents[1]["brackets"][1:]]}
    more = [
        ("missing", files[:2], 2, "shards: 1 of 3 missing: 3"),
        ("one of three", [files[1]], 2, "shards: 2 of 3 missing: 1, 3"),
        ("twice", [*files, files[1]], 2, "shard 2 is there already: "),
    ]
    for title, files_given, status, words in more:
        done = call("merge", *files_given)
        checks.that(done.returncode == status and words in done.stderr and not done.stdout,
                    f"{title}: {done.stderr.splitlines()[0][-70:] if done.stderr else done.stdout}")
    for title, index, values, words in [
        ("another comfort", 1, {"comfort": 0.9}, "comfort 0.9, not 0.95"),
        ("another form", 1, {"form": "whole"}, "form whole, not side"),
        ("another grade", 1, {"grade": "rough"}, "grade rough, not sound"),
        ("more pieces", 1, {"pieces": 2}, "2 pieces together, not 1"),
        ("other trials", 1, {"trials": 11, **one_more}, "11 trials in all, not 10"),
        ("another job", 1, {"job": other_job}, "another job, or the same job before a change"),
        ("another seed", 1, {"seed": 7}, "made by another program"),
        ("another machine", 1, {"asked": "0123456789abcdef"}, "made by another program"),
        ("another version", 1, {"program": "0.0.9"}, "was made by version 0.0.9; this is "),
        ("a stopped shard", 2, {"stopped": True, **one_less}, "shard 3 was stopped after 2 of its 3"),
        ("fewer trials than it should have", 2, one_less, "and \"stopped\" is false"),
        ("no shard's file", 1, {"seatwright_shard": 3}, "the only version that this program reads"),
    ]:
        path = changed(index, **values)
        done = call("merge", *[path if i == index else f for i, f in enumerate(files)])
        checks.that(done.returncode == 2 and words in done.stderr and not done.stdout
                    and path in done.stderr,
                    f"{title}: {done.stderr.splitlines()[0][-70:] if done.stderr else done.stdout}")
    every = []
    for index, document in enumerate(documents):
        path = f"{folder}/every-{index}.json"
        pathlib.Path(path).write_text(json.dumps({**document, "job": same_text}), encoding="utf-8")
        every.append(path)
    done = call("merge", *every)
    checks.that(done.returncode == 2 and "makes another task of the same job" in done.stderr,
                "a job changed in every file is found out")
    for index, document in enumerate(documents):
        pathlib.Path(every[index]).write_text(json.dumps({**document, "job": "{}"}), encoding="utf-8")
    done = call("merge", *every)
    checks.that(done.returncode == 2 and "seats" in done.stderr, "a job that is none: its mistakes")
    done = call("merge", files[0], STOOL, "/dev/null", f"{folder}/no-such.json")
    checks.that(all(word in done.stderr for word in
                    ["this is a job", "/dev/null: is empty", "no-such.json: could not open it"]),
                "what is wrong with every file, in one go")


def options(checks, folder):
    out = f"{folder}/never.json"
    for words, text in [
        (["--shard", "1/2"], "--shard needs --trials"),
        (["--shard", "1/2", "--trials", "5"], "--shard needs --out"),
        (["--shard", "1/9", "--trials", "5", "--out", out], "fewer trials than shards"),
        (["--shard", "3/2", "--trials", "5", "--out", out], "give its number and how many"),
        (["--shard", "0/2", "--trials", "5", "--out", out], "give its number and how many"),
        (["--shard", "1/1001", "--trials", "5000", "--out", out], "give its number and how many"),
        (["--shard", "1", "--trials", "5", "--out", out], "give its number and how many"),
        (["--shard", "1/2/3", "--trials", "5", "--out", out], "give its number and how many"),
        (["--trials", "5", "--out", out], "--out belongs to --shard"),
        (["--out"], "a file is missing behind"),
    ]:
        done = call("buy", STOOL, *words)
        checks.that(done.returncode == 2 and text in done.stderr and not os.path.exists(out),
                    f"buy {' '.join(words[:4])}: {text}")
    done = call("merge")
    checks.that(done.returncode == 2 and "files are missing behind" in done.stderr, "merge nothing")


def stopping(checks, folder):
    """Whatever the moment: no file, or a whole one that says that it was stopped."""
    seen = set()
    for wait_s in [0.1, 1, 2.5, 5, 12, 30]:
        out = pathlib.Path(folder) / "stopped" / "shard.json"
        out.parent.mkdir(exist_ok=True)
        out.unlink(missing_ok=True)
        with subprocess.Popen(
                [PROGRAM, "buy", CLUB, "--pieces", "1", "--trials", "100000", "--shard", "1/2",
                 "--out", str(out)], stdout=subprocess.PIPE, stderr=subprocess.PIPE) as running:
            wait_until_it_listens(running)
            time.sleep(wait_s)
            running.send_signal(signal.SIGINT)
            running.communicate(timeout=60)
        left = sorted(p.name for p in out.parent.iterdir())
        whole = left == [] or (left == ["shard.json"] and json.loads(out.read_text())["stopped"])
        checks.that(running.returncode == 130 and whole, f"stopped after {wait_s} s: left {left}")
        seen.add(bool(left))
        if left:
            done = call("merge", str(out))
            checks.that("was stopped after" in done.stderr, "a stopped shard is not merged")
            break
    checks.that(True in seen, "a stopped shard keeps what is known")
    done = call("buy", STOOL, *ORDER, "--shard", "1/3", "--out", f"{folder}/no/such/place.json")
    checks.that(done.returncode == 3 and "could not write it" in done.stderr,
                "a place that is not there is told")
    begun = time.monotonic()
    done = call("buy", STOOL, "--trials", "100000", "--shard", "1/3", "--out", "/proc/shard.json")
    checks.that(done.returncode != 0 and "could not write it" in done.stderr
                and time.monotonic() - begun < 60, "and told before the work, not behind it")


def main():
    checks = Checks()
    with tempfile.TemporaryDirectory() as folder:
        files = equality(checks, folder)
        refusals(checks, folder, files)
        options(checks, folder)
        stopping(checks, folder)
    checks.end()


main()
