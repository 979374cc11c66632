"""Papers, the steps of the bench with their ticks, and jobs as files, over the API.

Outside sources: the files of the command on disk, shapely (GEOS) for outlines, poppler's pdfinfo
for the PDF's pages, Python's sqlite3 for an export.
"""
import json
import pathlib
import re
import sqlite3
import subprocess
import tempfile

from shapely.geometry import Polygon

from serving import from_command, placements_of

DATE = "2026-01-31"
SQLITE = {"Content-Type": "application/vnd.sqlite3"}


def made(client, job, **options):
    begun = client.ask("papers", id=job, status=202, date=DATE, **options)
    assert begun.headers["location"] == f"/api/work/{begun.json['work']}"
    return begun.json["work"], client.finished(begun.json["work"]).json


def pack(program, document, folder, *options):
    subprocess.run([program, "pack", "-", "--out", folder, "--date", DATE, *options],
                   input=document, capture_output=True, check=True)
    return {path.name: path.read_bytes() for path in pathlib.Path(folder).rglob("*") if path.is_file()}


def same_as_pack(checks, client, program, document, label, job, command=(), **options):
    """Every paper is the command's file, byte for byte."""
    work, papers = made(client, job, **options)
    with tempfile.TemporaryDirectory() as folder:
        files = pack(program, document, folder, *command)
    names = [one["name"] for one in papers["pages"] + papers["files"]]
    checks.that(sorted(names) == sorted(files), f"{label}: the papers of `pack`")
    for name in names:
        paper = client.ask("paper", id=work, name=name)
        checks.that(paper.body == files[name], f"{label}: {name} is the same, byte for byte")
        checks.that(paper.headers["content-disposition"] == f'inline; filename="{name}"',
                    f"{label}: {name} has its name")
    checks.that(all(len(files[one["name"]]) == one["bytes"] for one in papers["files"]),
                f"{label}: sizes are told")
    return work, papers, files


def measured(checks, papers, files, wide_mm):
    """Pages as poppler and shapely see them."""
    with tempfile.NamedTemporaryFile(suffix=".pdf") as file:
        file.write(files["pack.pdf"])
        file.flush()
        told = subprocess.run(["pdfinfo", "-l", "999", file.name], capture_output=True, text=True, check=True).stdout
    checks.that(int(re.search(r"Pages: *(\d+)", told)[1]) == len(papers["pages"]), "the PDF has these pages")
    sizes = re.findall(r"Page +\d+ size: +([\d.]+) x ([\d.]+)", told)
    checks.that(len(sizes) == len(papers["pages"]) and all(
        abs(float(wide) * 25.4 / 72 - page["width_mm"]) < 0.05
        and abs(float(high) * 25.4 / 72 - page["height_mm"]) < 0.05
        for (wide, high), page in zip(sizes, papers["pages"])), "and of these sizes")
    checks.that(any(abs(page["width_mm"] - wide_mm) < 0.05 for page in papers["pages"]),
                "on the paper that was asked for")


def cut_rings(svg):
    """Outlines of the layer `cut`, with y up again (docs/paper.md)."""
    text = svg.decode()
    height = float(re.search(r'viewBox="0 0 [\d.]+ ([\d.]+)"', text)[1])
    layer = re.search(r'<g id="cut".*?</g>', text, re.S)[0]
    return [Polygon([(float(x), height - float(y)) for x, y in
                     (pair.split(",") for pair in points.split())])
            for points in re.findall(r'<polygon points="([^"]*)"', layer)]


def dxf_rings(dxf):
    """Closed POLYLINEs of the layer CUT, read anew: pairs of group code and value."""
    lines = dxf.decode().split("\n")
    pairs = [(lines[i].strip(), lines[i + 1].strip()) for i in range(0, len(lines) - 1, 2)]
    rings, points, layer = [], None, None
    for code, value in pairs:
        if code == "0":
            if value == "SEQEND" and points and layer == "CUT":
                rings.append(Polygon(points))
            if value == "POLYLINE":
                points, layer = [], ""
            elif value == "VERTEX" and points is not None:
                points.append([0, 0])
            elif value == "SEQEND":
                points = None
        elif points is not None and code == "8" and layer == "":
            layer = value
        elif points and code in ("10", "20"):
            points[-1][code == "20"] = float(value)
    return rings


def outlines(checks, papers, files):
    """The layout at full size is that of plan.json, in SVG and in DXF."""
    plan = json.loads(files["plan.json"])
    corner = [min(point[axis] for point in plan["hides"][0]["outline_mm"]) for axis in (0, 1)]
    wanted = [Polygon([(x - corner[0], y - corner[1]) for x, y in one["outline_mm"]])
              for one in plan["placements"]]
    seen = set()
    for one in papers["files"]:
        full = re.fullmatch(r"hide-.*-full-size\.(svg|dxf)", one["name"])
        if not full:
            continue
        seen.add(full[1])
        rings = (cut_rings if full[1] == "svg" else dxf_rings)(files[one["name"]])
        checks.that(len(rings) == len(wanted), f"{one['name']}: all covers are there")
        worst = max(min(ring.symmetric_difference(want).area for want in wanted) for ring in rings)
        checks.that(worst < 5, f"{one['name']}: their outlines are those of the plan ({worst:.2f} mm2)")
    checks.that(seen == {"svg", "dxf"}, "both are there at full size")


def papers(checks, client, program, document):
    job = client.ask("beginJob", document, status=201).json["id"]
    work, listed, files = same_as_pack(checks, client, program, document, "searched", job)
    checks.that(not listed["kept_layout"], "the layout was looked for")
    measured(checks, listed, files, 215.9)
    outlines(checks, listed, files)
    pdf = client.ask("paper", id=work, name="pack.pdf", download=1)
    checks.that(pdf.headers["content-disposition"] == 'attachment; filename="pack.pdf"', "it can be stored")
    client.ask("paper", id=work, name="pack.pdf", status=304, headers={"If-None-Match": pdf.headers["etag"]})
    client.ask("paper", id=work, name="none.pdf", status=404)
    client.ask("paper", id=work + 99, name="pack.pdf", status=404)
    client.ask("paper", id=work, name="pack.pdf", download="perhaps", status=422)
    client.ask("bench", id=job, status=409)
    client.finished(client.ask("lay", id=job, status=202).json["work"])
    _, again, a4 = same_as_pack(checks, client, program, document, "found before", job,
                                ("--paper", "A4"), paper="A4")
    checks.that(again["kept_layout"] and again["paper"] == "A4", "the layout that was found is taken")
    measured(checks, again, a4, 210)
    client.ask("papers", id=99999, status=404)
    client.ask("papers", id=job, paper="A5", status=422)
    client.ask("papers", id=job, date="yesterday", status=422)
    client.ask("papers", id=job, buying=1, grade="none such", status=202)
    refused = client.ask("papers", id=job, trials="x", status=422).json
    checks.that(refused["problems"][0]["where"] == "trials", "options of `buy` are read as there")
    return job


def kept(checks, client, program, document):
    """A layout that somebody kept counts, and one that is kept later counts more."""
    job = client.ask("beginJob", document, status=201).json["id"]
    laid = placements_of(from_command(program, "lay", document))
    client.ask("keepLayout", {"placements": laid[:3]}, id=job, status=201)
    _, few = made(client, job)
    checks.that(few["kept_layout"] and few["unplaced"] == len(laid) - 3, "three of them lie there")
    client.ask("keepLayout", {"placements": laid}, id=job, status=201)
    same_as_pack(checks, client, program, document, "kept by hand", job)
    return job


def bench(checks, client, job):
    steps = client.ask("bench", id=job).json
    names = [one["step"] for one in steps["steps"]]
    checks.that(len(set(names)) == len(names), "every step has a name of its own")
    kinds = [one["kind"] for one in steps["steps"]]
    checks.that(kinds.count("cut") == len(steps["covers"]) == 8, "each cover is cut once")
    checks.that(kinds.count("mark") == sum(len(one["marks_mm"]) for one in steps["covers"]),
                "each mark is chalked once")
    checks.that(kinds.index("mark") > 0 and kinds.index("cut") > len(kinds) - 1 - kinds[::-1].index("mark"),
                "checks, marks, then cuts")
    client.ask("bench", id=99999, status=404)
    client.ask("bench", id=job, version="x", status=422)
    wrong = client.ask("beginJob", b'{"name": "broken"}', status=201).json["id"]
    client.ask("bench", id=wrong, status=409)
    none = client.ask("ticks", id=job).json
    checks.that(none["ticks"] == [], "nothing is done yet")
    tick = {"step": names[0], "done": True, "ticked_ms": none["now_ms"], "device": "phone"}
    earlier = {**tick, "done": False, "ticked_ms": none["now_ms"] - 5}
    for sent in ([tick], [earlier], [tick, tick], [earlier, tick], []):
        told = client.ask("tick", {"ticks": sent}, id=job).json["ticks"]
        checks.that(told == [tick], "the later one holds, however often it is told")
    checks.that(client.ask("ticks", id=job).json["ticks"] == [tick], "and is kept")
    client.ask("ticks", id=99999, status=404)
    client.ask("tick", {"ticks": []}, id=99999, status=404)
    client.ask("tick", b"{}", id=job, status=415, headers={"Content-Type": "text/plain"})
    client.ask("tick", b" " * ((1 << 20) + 1), id=job, status=413)
    for wrong in ([], {"ticks": [{"step": "Big", "done": True, "ticked_ms": 1}]},
                  {"ticks": [{"step": "a", "done": 1, "ticked_ms": 1}]},
                  {"ticks": [{"step": "a", "done": True, "ticked_ms": -1}]},
                  {"ticks": [{"step": "a", "done": True}]},
                  {"ticks": [{"step": "a", "done": True, "ticked_ms": 1, "who": "x"}]}):
        client.ask("tick", wrong, id=job, status=422)
    checks.that(client.ask("ticks", id=job).json["ticks"] == [tick], "nothing of these is kept")
    # A version that is laid otherwise has other steps; the same version has the same again.
    checks.that([one["step"] for one in client.ask("bench", id=job).json["steps"]] == names, "names stay")


def exchange(checks, client, job, other_client):
    whole = client.ask("exportAll")
    checks.that(whole.headers["content-disposition"] == 'attachment; filename="workshop.seatwright"',
                "the whole has a name")
    one = client.ask("exportJob", id=job)
    checks.that(one.headers["content-disposition"] ==
                'attachment; filename="Dining-room-of-a-rowing-club.seatwright"', "a job has its own")
    client.ask("exportJob", id=99999, status=404)
    with tempfile.NamedTemporaryFile(suffix=".db") as file:
        file.write(one.body)
        file.flush()
        base = sqlite3.connect(file.name)
        checks.that(base.execute("PRAGMA integrity_check").fetchall() == [("ok",)] and
                    base.execute("SELECT count(*) FROM tick").fetchone() == (1,), "it is a workshop file")
        base.close()
    told = other_client.ask("import", one.body, headers=SQLITE).json
    checks.that(told["jobs"] == 1 and told["versions"] >= 1, "elsewhere it is new")
    again = other_client.ask("import", one.body, headers=SQLITE).json
    checks.that(all(count == 0 for count in again.values()), "a second time nothing is")
    there = other_client.ask("jobs").json["jobs"]
    checks.that(other_client.ask("document", id=there[0]["id"]).body == client.ask("document", id=job).body,
                "the document came over byte for byte")
    checks.that(len(other_client.ask("ticks", id=there[0]["id"]).json["ticks"]) == 1, "so did the tick")
    here = client.ask("import", one.body, headers=SQLITE).json
    checks.that(all(count == 0 for count in here.values()), "where it comes from nothing is new")
    client.ask("import", b"nothing", status=422, headers=SQLITE)
    client.ask("import", one.body, status=415)
    damaged = bytearray(one.body)
    damaged[4096 * 2:4096 * 6] = bytes(4096 * 4)
    refused = client.ask("import", bytes(damaged), status=500, headers=SQLITE).json
    checks.that("/" not in refused["problems"][0]["where"], "no path of this machine is told")
    client.ask("import", bytes((30 << 20) + 1), status=413, headers=SQLITE)
