"""The commands as a person uses them: what they print, their exit statuses, and that
nothing is lost or left half-written when something goes wrong."""
import json
import os
import pathlib
import resource
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
COMMANDS = ["advise", "buy", "check", "covers", "lay", "merge", "pack", "tidy"]
SHOP_COMMANDS = {"keep": "JOB", "jobs": "[WORDS]", "history": "JOB", "fetch": "JOB", "leather": "[--json]",
                 "take": "JOB HIDE", "cut": "JOB", "export": "[JOB...] --out FILE", "import": "FILE",
                 "restore": "[--workshop FILE]"}


def call(*words, stdin="", stdout=subprocess.PIPE, before=None, cwd=None):
    return subprocess.run([PROGRAM, *words], input=stdin, stdout=stdout, stderr=subprocess.PIPE,
                          text=True, preexec_fn=before, cwd=cwd, check=False)


def usage(checks):
    for words, status, text in [
        ([], 2, "usage: seatwright COMMAND JOB"),
        (["--help"], 0, "usage: seatwright COMMAND JOB"),
        (["--version"], 0, "seatwright "),
        (["chek", CLUB], 2, 'unknown command "chek"\n  remedy:  did you mean check?'),
        (["check"], 2, 'a job file is missing behind "check"'),
        (["check", CLUB, CLUB], 2, "more than one job:"),
        (["check", "--jsno", CLUB], 2, 'unknown option "--jsno"'),
        (["covers", "--out", "x", CLUB], 2, 'unknown option "--out"'),
        (["pack", CLUB], 2, 'a folder is missing for "pack"\n  remedy:  add --out FOLDER'),
        (["keep"], 2, 'too few words behind "keep"'),
        (["take", "a"], 2, 'too few words behind "take"'),
        (["leather", "x"], 2, 'too many words: "x"'),
        (["export", "x"], 2, 'a file is missing for "export"\n  remedy:  add --out FILE'),
        (["fetch", "x", "--version", "two"], 2, '--version "two"\n  remedy:  the number of a version'),
        (["keep", CLUB, "--workshop"], 2, '--workshop ""\n  remedy:  a file'),
        (["lay", CLUB, "--workshop", "x"], 2, 'unknown option "--workshop"'),
        (["jobs", "--workshop", "/dev/null"], 2, "/dev/null: is no regular file, no workshop file"),
        (["pack", CLUB, "--out"], 2, 'a folder is missing behind "--out"'),
        (["pack", CLUB, "--out", "x", "--date", "31.1.2026"], 2, "write it as 2026-01-31"),
        (["pack", CLUB, "--out", "x", "--date", "2026-13-01"], 2, "write it as 2026-01-31"),
        (["buy", CLUB, "--grade", "prime"], 2, '"prime" is no grade'),
        (["buy", CLUB, "--form=panel"], 2, "say whole or side"),
        (["buy", CLUB, "--pieces", "0"], 2, "from 1 to 20"),
        (["buy", CLUB, "--trials", "2.5"], 2, "from 1 to 1000000"),
        (["buy", CLUB, "--comfort", "100"], 2, "from 50 to 99"),
        (["buy", CLUB, "--threads", "0"], 2, "from 1 to 64"),
        (["lay", CLUB, "--trials", "5"], 2, 'unknown option "--trials"'),
        (["check", "no-such-file.json"], 3, "no-such-file.json: could not open it"),
        (["check", "/"], 1, "/: could not read it"),
    ]:
        done = call(*words)
        checks.that(done.returncode == status and text in done.stdout + done.stderr,
                    f"{' '.join(words) or 'no words'}: {status}, {text.splitlines()[0]}")
    for command, words in SHOP_COMMANDS.items():
        done = call(command, "--help")
        checks.that(done.returncode == 0 and f"seatwright {command} {words}" in done.stdout
                    and "Exit status:" in done.stdout, f"{command} --help tells its use")
    for command in COMMANDS:
        done = call(command, "--help")
        checks.that(done.returncode == 0 and f"seatwright {command} {'FILE...' if command == 'merge' else 'JOB'}" in done.stdout
                    and "Exit status:" in done.stdout, f"{command} --help tells its use")


def odd_inputs(checks):
    for name, text, status in [
        ("nothing", "", 2),
        ("not JSON", "front = 18", 2),
        ("a list", "[1, 2]", 2),
        ("a number", "17", 2),
        ("deep nesting", "[" * 100000, 2),
        ("binary", "\x00\x01\x02", 2),
        ("9 MB of blanks", " " * (9 << 20), 2),
        ("huge number", json.dumps({"seatwright": 1}) [:-1] + ', "units": 1e999}', 2),
    ]:
        done = call("check", "-", stdin=text)
        checks.that(done.returncode == status and done.stderr.strip() != "",
                    f"{name}: refused in words: {done.stderr.splitlines()[0][:70] if done.stderr else ''}")


def json_of_commands(checks):
    for command in ["advise", "check", "covers", "lay"]:
        document = json.loads(call(command, "--json", STOOL).stdout)
        checks.that("job" in document, f"{command} --json is a document")
    bad = json.loads(call("check", "--json", "-", stdin="{}").stdout)
    checks.that(not bad["good"] and bad["mistakes"] == len(bad["problems"]) > 0,
                "check --json counts its mistakes")
    done = call("lay", str(ROOT / "examples" / "small" / "taper.json"))
    checks.that(done.returncode == 2 and "no hide" in done.stderr, "lay without a hide is refused")


def all_mistakes_at_once(checks):
    """Slips of the pen and measures that cannot be, in one answer."""
    board = {"board": {"thickness": 1}, "padding": {"edge": 1}}
    skewed = {"shape": "measured", "front": 18, "back": 16, "left": 16, "right": 16,
              "diagonal_left": 50, "diagonal_right": 23}
    taper = {"shape": "taper", "front": 18, "back": 15, "depth": 16}
    job = {"seatwright": 1, "name": "x", "units": "in", "seats": [
        {"name": "a", "frame": {**taper, "front": 180}, **board},
        {"name": "b", "frame": skewed, **board},
        {"name": "c", "count": 3, "frame": taper, **board,
         "chairs": [{"name": "1", "frame": {"corner_radius": 12}},
                    {"name": "2", "frame": {"dept": 1}}]}],
        "hides": [{"name": "h", "form": "panel", "length": 1, "width": 30},
                  {"name": "i", "form": "whole", "points": [
                      {"up": 0}, {"up": 60, "left": 30}, {"up": 60}, {"up": 0, "left": 30}]}]}
    answer = json.loads(call("check", "--json", "-", stdin=json.dumps(job)).stdout)
    where = " ".join(p["where"] for p in answer["problems"])
    for place in ["seats[0].frame.front", "seats[1].frame.diagonal_left",
                  "seats[2].chairs[0].frame.corner_radius.front_left",
                  "seats[2].chairs[1].frame.dept", "hides[0].length", "hides[1].points"]:
        checks.that(place in where, f"all mistakes at once: {place}")
    checks.that(where.count("seats[0]") == 1, "an entry with a slip is not derived from nonsense")


def files_under(folder):
    return sorted(str(p.relative_to(folder)) for p in pathlib.Path(folder).rglob("*") if p.is_file())


def packing(checks):
    with tempfile.TemporaryDirectory() as folder:
        out = pathlib.Path(folder) / "new" / "pack"
        (pathlib.Path(folder) / "mine.txt").write_text("keep me")
        done = call("pack", STOOL, "--out", str(out), "--date", "2026-01-31", "--json")
        listed = json.loads(done.stdout)
        checks.that(done.returncode == 0 and
                    sorted(f["path"] for f in listed["files"]) ==
                    sorted(str(out / f) for f in files_under(out)),
                    "pack lists just the files that it wrote")
        checks.that(all(os.path.getsize(f["path"]) == f["bytes"] for f in listed["files"]),
                    "their sizes are as listed")
        first = {f: (out / f).read_bytes() for f in files_under(out)}
        call("pack", STOOL, "--out", str(out), "--date", "2026-01-31")
        checks.that(first == {f: (out / f).read_bytes() for f in files_under(out)},
                    "the same job and date give the same bytes")
        checks.that((pathlib.Path(folder) / "mine.txt").read_text() == "keep me",
                    "other files stay as they are")
        (pathlib.Path(folder) / "taken").write_text("a file")
        done = call("pack", STOOL, "--out", str(pathlib.Path(folder) / "taken"))
        checks.that(done.returncode == 1 and "in the way" in done.stderr,
                    "a file where the folder should be is told")


def left_over(checks):
    job = json.loads(pathlib.Path(STOOL).read_text())
    job["seats"][0]["count"] = 30
    job["search"] = {"work": 0.1}
    with tempfile.TemporaryDirectory() as folder:
        done = call("pack", "-", "--out", folder, stdin=json.dumps(job))
        checks.that(done.returncode == 5 and "found no place" in done.stdout
                    and "pack.pdf" in files_under(folder), "covers left over: status 5, pack written")


def trouble_while_writing(checks):
    with open("/dev/full", "w", encoding="utf-8") as full:
        done = call("covers", STOOL, stdout=full)
    checks.that(done.returncode == 1, "a full disk behind stdout is told")

    # A limit on file sizes stands for a disk that fills up half way.
    def small_files():
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (20000, 20000))

    with tempfile.TemporaryDirectory() as folder:
        call("pack", STOOL, "--out", folder, "--date", "2026-01-31")
        before = (pathlib.Path(folder) / "pack.pdf").read_bytes()
        done = call("pack", CLUB, "--out", folder, before=small_files)
        checks.that(done.returncode == 1 and "could not write it" in done.stderr,
                    "a disk that fills up is told")
        checks.that((pathlib.Path(folder) / "pack.pdf").read_bytes() == before
                    and not [f for f in files_under(folder) if ".part" in f],
                    "the old pack stands whole, and nothing half-written beside it")


def stopping(checks):
    stopped = 0
    for wait_s in [0.05, 0.2, 0.5, 0.9, 1.3]:
        with tempfile.TemporaryDirectory() as folder:
            running = subprocess.Popen([PROGRAM, "pack", CLUB, "--out", folder],
                                       stdout=subprocess.PIPE, stderr=subprocess.PIPE)
            wait_until_it_listens(running)
            time.sleep(wait_s)
            running.send_signal(signal.SIGINT)
            _, errors = running.communicate(timeout=60)
            stopped += running.returncode == 130
            whole = all(f.endswith((".svg", ".dxf", ".json", ".pdf")) for f in files_under(folder))
            pdf = pathlib.Path(folder) / "pack.pdf"
            whole = whole and (not pdf.exists() or pdf.read_bytes().rstrip().endswith(b"%%EOF"))
            checks.that(running.returncode in (0, 130) and whole,
                        f"stopped after {wait_s} s: status {running.returncode}, whole files only"
                        + ("" if running.returncode in (0, 130) else f"; {errors[-1500:]!r}"))
    checks.that(stopped > 0, "Ctrl-C really stops the work")


def stopped_after(wait_s, *words, stdin=""):
    """Status, output and errors of a command that gets Ctrl-C after a while."""
    running = subprocess.Popen([PROGRAM, *words], stdin=subprocess.PIPE, stdout=subprocess.PIPE,
                               stderr=subprocess.PIPE, text=True)
    running.stdin.write(stdin)
    running.stdin.close()
    running.stdin = None
    wait_until_it_listens(running)
    time.sleep(wait_s)
    running.send_signal(signal.SIGINT)
    out, errors = running.communicate(timeout=60)
    return running.returncode, out, errors


def stopping_lay(checks):
    restaurant = str(ROOT / "examples" / "restaurant.json")
    status, out, errors = stopped_after(2, "lay", "--json", restaurant)
    # On a slow machine nothing may be laid by then.
    plan = json.loads(out) if out else {"stopped": "stopped" in errors, "placements": []}
    checks.that(status == 130 and plan["stopped"],
                f"lay stopped: {status}, {len(plan['placements'])} covers laid by then"
                + ("" if status == 130 else f"; {errors[-1500:]!r}"))
    many = json.loads(pathlib.Path(CLUB).read_text(encoding="utf-8"))
    many["seats"][0]["count"] = 12
    many["search"] = {"work": 0.1}  # so that the fit begins soon
    for word in ["text", "json"]:
        options = ["--json"] if word == "json" else []
        known = False
        # On a slow machine the stop may come before anything is tried: then later.
        for wait_s in [4, 12, 30]:
            status, out, errors = stopped_after(wait_s, "lay", "-", "--fit", "1000", *options,
                                                stdin=json.dumps(many))
            known = status == 130 and not errors and (
                (json.loads(out)["fit"] or {"stopped": False})["stopped"] if word == "json" else
                ("No layout can hold more" in out or "By area alone" in out)
                and "Stopped before" in out)
            if known:
                break
        checks.that(known, f"lay --fit stopped: {status}, what is known is printed as {word}")


def buying(checks):
    words = ["buy", STOOL, "--form", "side", "--pieces", "1", "--trials", "12", "--json"]
    told = call(*words)
    answer = json.loads(told.stdout)
    chances = [point["chance"] for point in answer["curve"]]
    checks.that(told.returncode == 0 and answer["trials"] == 12 and answer["form"] == "side",
                "buy: as many trials as asked for")
    checks.that(chances == sorted(chances) and chances[-1] == 1, "larger sides are enough more often")
    checks.that(all(point["low"] <= point["chance"] <= point["high"] for point in answer["curve"]),
                "each chance lies in its interval")
    checks.that(call(*words).stdout == told.stdout, "buy: the same answer twice")
    shown = call(*words[:-1]).stdout
    checks.that("Ask for a side of at least" in shown and "usual rule" in shown,
                "buy says what to ask for, and what the usual rules say")
    status, out, errors = stopped_after(3, "buy", CLUB, "--trials", "100000", "--json")
    checks.that(status == 130 and ("stopped" in errors or json.loads(out)["stopped"]),
                f"buy stopped: {status}" + ("" if status == 130 else f"; {errors[-1500:]!r}"))


def placements(text):
    """How a job is laid, with little work."""
    job = json.loads(text)
    job["search"] = {**job.get("search", {}), "work": 0.05}
    return json.loads(call("lay", "--json", "-", stdin=json.dumps(job)).stdout)["placements"]


def tidy(checks):
    for path in [CLUB, STOOL, str(ROOT / "examples" / "mill-kitchen.json")]:
        once = call("tidy", path).stdout
        twice = call("tidy", "-", stdin=once)
        checks.that(twice.returncode == 0 and twice.stdout == once, f"tidy is stable: {path}")
        laid = placements(once)
        checks.that(laid and laid == placements(pathlib.Path(path).read_text(encoding="utf-8")),
                    f"a tidied job has the same plan: {path}")


def main():
    checks = Checks()
    for part in [usage, odd_inputs, json_of_commands, all_mistakes_at_once, packing, left_over,
                 trouble_while_writing,
                 stopping, stopping_lay, buying, tidy]:
        part(checks)
    checks.end()


main()
