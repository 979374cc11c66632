"""The workshop file, read by a stranger: Python's own sqlite3 module and the `file` command; and
what a cut leaves, checked with shapely.

Outside sources: SQLite as Python has it, its description of the file's head
(sqlite.org/fileformat.html), shapely (GEOS), the digests published for FNV-1a.
"""
import json
import os
import pathlib
import shutil
import sqlite3
import subprocess
import sys

from shapely.geometry import Polygon
from shapely.ops import unary_union

from program import ROOT, Checks, folder

PROGRAM = str(pathlib.Path(sys.argv[1]).resolve())
CLUB = ROOT / "examples" / "rowing-club.json"
MILL = ROOT / "examples" / "mill-kitchen.json"


class Shop:
    """One workshop file, and the program working on it."""

    def __init__(self, path):
        self.path = path

    def call(self, *words, stdin=None):
        return subprocess.run([PROGRAM, *words, "--workshop", str(self.path)], input=stdin,
                              capture_output=True, check=False)

    def run(self, *words, status=0, stdin=None):
        done = self.call(*words, stdin=stdin)
        if done.returncode != status:
            raise SystemExit(f"{words}: exit status {done.returncode}\n{done.stderr.decode()}")
        return done.stdout

    def ask(self, *words):
        return json.loads(self.run(*words, "--json"))


def fnv(data):
    """FNV-1a, 64 bits, as a signed number; written here anew."""
    total = 0xcbf29ce484222325
    for byte in data:
        total = (total ^ byte) * 0x100000001b3 % 2**64
    return total - 2**64 if total >= 2**63 else total


def stranger_reads_it(checks, place):
    shop = Shop(place / "shop.db")
    shop.run("keep", str(CLUB), "--call", "as measured")
    second = CLUB.read_bytes().replace(b"rowing", b"rowing", 1) + b"\n\n"
    shop.run("keep", "-", stdin=second)
    head = shop.path.read_bytes()[:100]
    checks.that(head[:16] == b"SQLite format 3\0" and head[68:72] == b"Seat", "the head says whose it is")
    if shutil.which("file"):
        told = subprocess.run(["file", shop.path], capture_output=True, text=True, check=True).stdout
        checks.that("application id 1399153012" in told, "`file` tells the application id")
    base = sqlite3.connect(shop.path)
    checks.that(base.execute("PRAGMA integrity_check").fetchall() == [("ok",)], "integrity_check says ok")
    checks.that(base.execute("PRAGMA foreign_key_check").fetchall() == [], "no link leads nowhere")
    checks.that(base.execute("PRAGMA application_id").fetchone() == (0x53656174,), "the application id")
    rows = base.execute("SELECT document, name FROM version JOIN record ON record.id = version.record "
                        "WHERE kind = 'job' ORDER BY number").fetchall()
    checks.that(rows == [(CLUB.read_bytes(), "as measured"), (second, None)],
                "both versions are there, byte for byte")
    rows = base.execute("SELECT document, title, words, coalesce(base, 0), saved_ms, sum FROM version").fetchall()
    checks.that(len(rows) == 3 and all(
        fnv(doc + f"\n{title}\n{words}\n{made} {saved}".encode()) == total
        for doc, title, words, made, saved, total in rows), "the checksums are as described")
    checks.that(fnv(b"foobar") == 0x85944171f73967e8 - 2**64, "a published digest")
    base.close()
    checks.that(shop.run("fetch", "rowing") == second, "fetch prints the present version")
    checks.that(shop.run("fetch", "1", "--version", "1") == CLUB.read_bytes(), "fetch prints an old version")


def history_by_hand(checks, place):
    shop = Shop(place / "history.db")
    text = CLUB.read_text()
    for chairs in range(3):
        shop.run("keep", "-", stdin=text.replace("oak", f"oak {chairs}").encode() + b" " * chairs)
    shop.run("history", "1", "--undo")
    told = shop.ask("history", "1", "--undo")
    checks.that((told["version"], len(told["versions"])) == (1, 3), "undone twice, in two sessions")
    checks.that(shop.call("history", "1", "--undo").returncode == 3, "no further")
    checks.that(shop.ask("history", "1", "--redo")["version"] == 2, "and redone")
    told = shop.ask("history", "1", "--version", "3", "--call", "as ordered")
    checks.that(told["version"] == 3 and told["versions"][0]["called"] == "as ordered", "gone to and named")
    checks.that(shop.call("history", "1", "--undo", "--redo").returncode == 2, "one step at a time")
    checks.that(shop.call("history", "7").returncode == 3, "no such job")


def lay(document):
    done = subprocess.run([PROGRAM, "lay", "-", "--json"], input=document, capture_output=True, check=True)
    return json.loads(done.stdout)


def hide_polygon(hide):
    return Polygon(hide["outline_mm"])


def cut_and_cut_again(checks, place):
    """What one job cut can be cut by no other, and remnants lie where leather is left."""
    shop = Shop(place / "leather.db")
    shop.run("keep", str(CLUB))
    first = lay(CLUB.read_bytes())
    whole = hide_polygon(first["hides"][0])
    taken = unary_union([Polygon(p["outline_mm"]) for p in first["placements"]])
    shop.run("cut", "rowing")
    checks.that(shop.call("cut", "rowing").returncode == 4, "a hide is cut once")
    left = shop.ask("leather")
    checks.that(len(left) >= 2 and all(piece["form"] == "remnant" for piece in left), "remnants are at hand")
    checks.that(all(piece["left_by_job"] == 1 for piece in left), "they know the job that left them")
    small = {"seatwright": 1, "name": "Footstools", "units": "in",
             "seats": [{"name": "footstool", "count": 3,
                        "frame": {"shape": "rectangle", "front": 6, "depth": 5},
                        "board": {"thickness": "1/2"}, "padding": {"edge": "1/2"}}],
             "laying": {"tolerance": {"firmness": {"soft": "face", "loose": "face"}}}}
    shop.run("keep", "-", stdin=json.dumps(small).encode())
    for piece in left:
        shop.run("take", "Footstools", str(piece["hide"]))
    plan = lay(shop.run("fetch", "Footstools"))
    checks.that(len(plan["placements"]) == 3, "the next job is cut from what was left")
    pieces = {hide["name"]: hide_polygon(hide) for hide in plan["hides"]}
    for name, piece in pieces.items():
        checks.that(piece.buffer(-0.02).within(whole), f"{name} lies on the hide")
        checks.that(piece.buffer(-0.02).intersection(taken).area < 1e-6, f"{name} is not cut out of yet")
    for one in plan["placements"]:
        cover = Polygon(one["outline_mm"]).buffer(-0.02)
        checks.that(cover.within(pieces[one["hide"]]) and not cover.intersects(taken),
                    f"{one['cover']} lies on leather that is there")
    apart = [a.intersection(b).area for i, a in enumerate(pieces.values()) for b in list(pieces.values())[:i]]
    checks.that(max(apart, default=0) < 1e-6, "no two remnants are the same leather")
    shop.run("cut", "Footstools")
    again = [piece for piece in shop.ask("leather") if ".1" in piece["name"]]
    checks.that(len(again) == 1 and again[0]["left_by_job"] != 1, "a remnant leaves remnants")
    shop.run("keep", str(MILL))
    cut_hide = {name: number for number, name in sqlite3.connect(shop.path).execute(
        "SELECT record, title FROM version WHERE number = 1")}["chestnut hide"]
    checks.that(shop.call("take", "mill", str(cut_hide)).returncode == 4, "a cut hide can be taken by nobody")


def elsewhere(checks, place):
    here, there = Shop(place / "here.db"), Shop(place / "there.db")
    here.run("keep", str(CLUB))
    here.run("keep", str(MILL))
    here.run("export", "mill", "--out", str(place / "mill.db"))
    told = there.run("import", str(place / "mill.db")).decode()
    checks.that("1 job, 1 hide, 2 versions" in told, "a job goes elsewhere with its hide")
    checks.that(there.run("fetch", "mill") == MILL.read_bytes(), "byte for byte")
    here.run("export", "--out", str(place / "all.db"))
    there.run("import", str(place / "all.db"))
    told = there.run("import", str(place / "all.db")).decode()
    checks.that("0 jobs, 0 hides, 0 versions" in told, "twice is the same as once")
    checks.that(len(there.ask("jobs")) == 2, "both jobs are there")
    base = sqlite3.connect(place / "all.db")
    checks.that(base.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
                and base.execute("PRAGMA application_id").fetchone() == (0x53656174,),
                "an export is a workshop file")
    base.close()
    for junk in [b"", b"{}", os.urandom(5000)]:
        (place / "junk").write_bytes(junk)
        checks.that(there.call("import", str(place / "junk")).returncode in (1, 2), "junk is refused")


def damage_and_restore(checks, place):
    shop = Shop(place / "damaged.db")
    shop.run("keep", str(CLUB))
    shop.run("jobs")  # the first backup
    checks.that(shop.call("restore").returncode == 4, "a good file is not replaced")
    data = bytearray(shop.path.read_bytes())
    data[4096 * 2:4096 * 6] = bytes(4096 * 4)
    shop.path.write_bytes(data)
    done = shop.call("jobs")
    checks.that(done.returncode == 1 and b"damaged" in done.stderr and b"restore" in done.stderr,
                "damage is told, with the way out")
    shop.run("restore")
    checks.that(shop.run("fetch", "rowing") == CLUB.read_bytes(), "the backup has the job")
    kept = list(place.glob("damaged.db.damaged-*[0-9]"))  # not its -wal and -shm, which go with it
    checks.that(len(kept) == 1 and kept[0].read_bytes() == bytes(data), "the damaged file is kept as it was")


def usual_place(checks, place):
    def ask(**variables):
        names = {k: v for k, v in os.environ.items() if k not in ("HOME", "XDG_DATA_HOME")}
        return subprocess.run([PROGRAM, "keep", str(MILL)], env={**names, **variables},
                              capture_output=True, check=False).returncode
    checks.that(ask(XDG_DATA_HOME=str(place / "data")) == 0
                and (place / "data/seatwright/workshop.db").is_file(), "in XDG_DATA_HOME")
    checks.that(ask(HOME=str(place / "home"), XDG_DATA_HOME="not/absolute") == 0
                and (place / "home/.local/share/seatwright/workshop.db").is_file(),
                "in the home folder, where XDG_DATA_HOME is no absolute path")
    checks.that(ask() == 2, "nowhere without either")


def main():
    checks = Checks()
    for check in (stranger_reads_it, history_by_hand, cut_and_cut_again, elsewhere, damage_and_restore,
                  usual_place):
        with folder() as name:
            check(checks, pathlib.Path(name))
    checks.end()


if __name__ == "__main__":
    main()
