"""Hides, pictures and drawn lines, as tests/serve/api.py asks for them.

Outside sources: shapely (areas, distances, and its own Douglas-Peucker), zlib and struct for pictures
put together as ISO/IEC 15948 and ITU-T T.81 say.
"""
import json
import math
import pathlib
import re
import struct
import zlib

from shapely.geometry import LineString, Polygon
from shapely.ops import unary_union

from serving import EXAMPLE, fetch, placements_of  # first: it says where the next is
from layouts import polygons

JPEG = "image/jpeg"
PNG = "image/png"


def chunk(kind, data):
    return struct.pack(">I", len(data)) + kind + data + struct.pack(
        ">I", zlib.crc32(kind + data))


def png(width, height, data=None):
    """A grey picture; with `data` whatever it says of itself."""
    rows = zlib.compress((b"\0" + b"\x80" * width) * height) if data is None else data
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", struct.pack(
        ">IIBBBBB", width, height, 8, 0, 0, 0, 0)) + chunk(b"IDAT", rows) + chunk(b"IEND", b"")


def jpeg(width, height, turned=0):
    """The parts that T.81 wants, with a scan of nothing."""
    def segment(marker, data):
        return bytes([0xff, marker]) + struct.pack(">H", len(data) + 2) + data
    exif = b"Exif\0\0MM\0*\0\0\0\x08\0\1" + struct.pack(">HHIHH", 0x112, 3, 1, turned, 0)
    return (b"\xff\xd8" + (segment(0xe1, exif) if turned else b"") +
            segment(0xc0, struct.pack(">BHHB", 8, height, width, 1) + b"\1\x11\0") +
            segment(0xda, b"\1\1\0\0\x3f\0") + b"\x12\x34" + b"\xff\xd9")


def near(a, b, share=1e-6):
    return abs(a - b) <= share * max(abs(a), abs(b), 1)


def hide_document(job, index=0):
    return {"seatwright": 1, "units": job["units"], "hide": job["hides"][index]}


def facts(checks, client):
    """All that follows from one hide; its areas by shapely."""
    job = json.loads(EXAMPLE)
    found = client.ask("deriveHide", EXAMPLE).json
    derived = client.ask("derive", EXAMPLE).json
    checks.that(found["hide"] == derived["hides"][0], "the hide is that of derive")
    outline = Polygon(found["hide"]["outline_mm"])
    checks.that(near(outline.area, found["hide"]["area_mm2"]), "its area is shapely's")
    whole = sum(one["area_mm2"] for one in found["firmness"])
    checks.that(near(whole, outline.area, 1e-5), "the firmnesses are all of it")
    for one in found["firmness"]:
        mine = [polygons(region["polygons"]) for region in found["hide"]["regions"]
                if region["firmness"] == one["firmness"]]
        checks.that(near(sum(area.area for area in mine), one["area_mm2"], 1e-5),
                    f"so much is {one['firmness']}")
    lines = [(part["firmness"], LineString(line))
             for part in found["hatching"] for line in part["lines_mm"] if len(line) > 1]
    inside = outline.buffer(2)
    checks.that(len(lines) > 30 and all(inside.contains(line) for _, line in lines),
                "hatching lies on the hide")
    tolerated = {one["kind"]: one["may_lie_in"] for one in found["tolerated"]["flaws"]}
    checks.that(tolerated["hole"] == "none" and tolerated["ticks"] == "face" and
                len(tolerated) == 13, "what may touch a flaw is told for each kind")
    stamped = found["hide"]["stamped_mm2"]
    checks.that(f"{abs(outline.area / stamped - 1) * 100:.1f} %" in found["area_words"],
                "stamped and measured area are compared in words")
    # A slip of the tape is told, and what was likely meant.
    slip = json.loads(EXAMPLE)
    stations = slip["hides"][0]["stations"]
    middle = len(stations) // 2
    stations[middle]["left"] = "5" + str(stations[middle]["left"])
    told = client.ask("deriveHide", json.dumps(slip)).json
    checks.that(any(p["where"].startswith(f"hides[0].stations[{middle}]")
                    for p in told["problems"]), "a slip of the tape is told")
    # Without an outline there is no hide, but its picture lies already; seats do not matter.
    bare = {"seatwright": 1, "name": "x", "units": "mm", "seats": [], "hides": [
        {"name": "a", "form": "whole", "picture": {
            "uid": "0" * 32, "butt": {"column": 500, "row": 900}, "neck": {"column": 500, "row": 100},
            "from": {"column": 100, "row": 50}, "to": {"column": 500, "row": 350}, "apart": 1000}}]}
    told = client.ask("deriveHide", json.dumps(bare)).json
    a, b, c, d, e, f = told["picture"]["map"]
    at = lambda column, row: (a * column + c * row + e, b * column + d * row + f)  # noqa: E731
    checks.that(told["hide"] is None and not told["good"], "no outline, no hide")
    checks.that(math.dist(at(100, 50), at(500, 350)) - 1000 < 1e-6 and
                math.dist(at(500, 900), (0, 0)) < 1e-6 and abs(at(500, 100)[1]) < 1e-6 and
                at(500, 100)[0] > 0 and at(100, 500)[1] > 0,
                "the picture lies as its marks say: neck up, left on the left")
    bare["hides"][0]["picture"]["to"] = bare["hides"][0]["picture"]["from"]
    told = client.ask("deriveHide", json.dumps(bare)).json
    checks.that(told["picture"] is None and any(
        p["where"] == "hides[0].picture.to" for p in told["problems"]), "marks on one another")
    client.ask("deriveHide", EXAMPLE, hide=1, status=404)
    client.ask("deriveHide", EXAMPLE, hide=20, status=422)
    client.ask("deriveHide", b"[]", status=422)
    client.ask("deriveHide", EXAMPLE, status=415, headers={"Content-Type": "text/plain"})
    client.ask("deriveHide", b"x" * ((8 << 20) + 1), status=413)
    return job


def strokes(checks, client):
    line = [[10 * i, 40 * math.sin(i / 9) + (i * 7919 % 13) / 4] for i in range(300)]
    for within in (0.5, 3, 12):
        kept = client.ask("stroke", {"points_mm": line, "within_mm": within}).json["points_mm"]
        wanted = LineString(line).simplify(within, preserve_topology=False)
        checks.that(len(kept) == len(wanted.coords) and all(
            math.dist(p, q) < 1e-3 for p, q in zip(kept, wanted.coords)),
            f"within {within} mm the same points as shapely's")
    ring = [[900 * math.cos(i / 50), 600 * math.sin(i / 50)] for i in range(-4, 320)]
    closed = client.ask("stroke", {"points_mm": ring, "within_mm": 5, "closed": True}).json
    made = Polygon(closed["points_mm"])
    checks.that(made.is_valid and near(made.area, closed["area_mm2"]) and
                near(made.length, closed["length_mm"]), "a ring's area and length are shapely's")
    checks.that(near(made.area, math.pi * 900 * 600, 0.02), "its tails are left away")
    client.ask("stroke", {"points_mm": [[0, 0], [100, 100], [200, 100], [200, 0], [100, 0],
                                        [0, 100], [-100, 100], [-100, 0]],
                          "within_mm": 1, "closed": True}, status=422)
    client.ask("stroke", {"points_mm": [[0, 0], [0, 0]], "within_mm": 1, "closed": True}, status=422)
    client.ask("stroke", {"points_mm": [[0, 0], [1e9, 0]], "within_mm": 1}, status=422)
    client.ask("stroke", {"points_mm": [[0, 0]] * 5001, "within_mm": 1}, status=422)
    client.ask("stroke", b"x" * ((1 << 20) + 1), status=413)
    client.ask("stroke", b"{}", status=415, headers={"Content-Type": "text/plain"})


def most_memory_kb(pid):
    """The most memory that a process has had so far (proc(5))."""
    status = pathlib.Path(f"/proc/{pid}/status").read_text(encoding="ascii")
    return int(re.search(r"VmHWM:\s+(\d+) kB", status)[1])


def pictures(checks, client, of, pid):
    """What is kept comes back byte for byte; what is no picture, or too much, is refused unread."""
    whole = png(640, 480)
    kept = client.ask("keepPicture", whole, status=201, of=of, name="on the floor",
                      headers={"Content-Type": PNG})
    checks.that((kept.json["type"], kept.json["width_px"], kept.json["height_px"]) ==
                (PNG, 640, 480), "a PNG is known by its bytes")
    uid = kept.json["uid"]
    checks.that(kept.headers["location"] == f"/api/pictures/{uid}", "it has an address")
    # The type that is said does not matter, that of the bytes does.
    turned = client.ask("keepPicture", jpeg(640, 480, 6), status=201, headers={"Content-Type": PNG})
    checks.that((turned.json["type"], turned.json["width_px"]) == (JPEG, 480),
                "a JPEG on its side is as it is shown")
    back = client.ask("picture", name=uid)
    checks.that(back.body == whole and back.headers["content-type"] == PNG and
                "default-src 'none'" in back.headers["content-security-policy"],
                "it comes back byte for byte, as a picture and nothing else")
    client.ask("picture", name=uid, status=304, headers={"If-None-Match": back.headers["etag"]})
    client.ask("picture", name="0" * 32, status=404)
    client.ask("picture", name="..", status=404)
    listed = client.ask("pictures", of=of).json["pictures"]
    checks.that([p["uid"] for p in listed] == [uid], "it is listed with what it shows")
    client.ask("putPictureAway", name=uid, away=1, status=204)
    checks.that(not client.ask("pictures", of=of).json["pictures"], "away, it is not listed")
    checks.that(client.ask("picture", name=uid).body == whole, "but a hide that has it shows it")
    client.ask("putPictureAway", name=uid, away=0, status=204)
    client.ask("putPictureAway", name="0" * 32, away=1, status=404)
    client.ask("putPictureAway", name=uid, away="x", status=422)
    client.ask("pictures", of="x", status=422)
    client.ask("keepPicture", whole, of=99999, status=404, headers={"Content-Type": PNG})
    client.ask("keepPicture", whole, name="x" * 201, status=422, headers={"Content-Type": PNG})
    # Ten bytes for each million points: 20 kB of zeros that a decoder would make 60 GB of.
    bomb = png(60000, 60000, zlib.compress(b"\0" * (1 << 24), 9))
    page = b"<!doctype html><script>alert(1)</script>"
    before = most_memory_kb(pid)
    for body, label in ((bomb, "a bomb"), (whole[:-1], "one that breaks off"),
                        (whole[:20], "one that breaks off at its head"),
                        (jpeg(640, 480)[:-2], "a JPEG without an end"), (page, "a page"),
                        (b"\xff\xd8\xff" + page, "a page behind a JPEG's mark"),
                        (b"GIF89a" + b"\0" * 40, "a GIF"), (b"", "nothing"),
                        (b'<svg xmlns="http://www.w3.org/2000/svg"/>', "an SVG"),
                        (png(0, 9), "an empty one")):
        refused = client.ask("keepPicture", body, status=422, headers={"Content-Type": PNG})
        checks.that(refused.json["problems"], f"{label} is refused in words")
    grown = most_memory_kb(pid) - before
    checks.that(grown < 64 << 10, f"none of them is unpacked: {grown} kB more")
    # Behind a whole picture anything may stand: it is served as a picture all the same.
    hybrid = client.ask("keepPicture", whole + page, status=201, headers={"Content-Type": PNG})
    checks.that(client.ask("picture", name=hybrid.json["uid"]).headers["content-type"] == PNG,
                "what stands behind a picture does not make it a page")
    for kind in ("text/html", "image/svg+xml", "image/jpegx", "application/json", ""):
        client.ask("keepPicture", whole, status=415, headers={"Content-Type": kind})
    client.ask("keepPicture", whole, status=415,
               headers={"Content-Type": PNG, "Content-Encoding": "gzip"})
    large = jpeg(100, 100)[:-2]
    room = (16 << 20) - len(large) - 2
    client.ask("keepPicture", large + b"\1" * room + b"\xff\xd9", status=201,
               headers={"Content-Type": "image/JPEG"})
    client.ask("keepPicture", large + b"\1" * (room + 1) + b"\xff\xd9", status=413,
               headers={"Content-Type": JPEG})
    stranger = fetch(client.port, "POST", "/api/pictures", whole,
                     {"Content-Type": PNG, "Origin": "http://elsewhere.example"})
    checks.that(stranger.status == 403, "no other page puts pictures there")
    return uid


def records(checks, client, job):
    """Hides as things of their own."""
    document = hide_document(job)
    begun = client.ask("beginHide", document, status=201)
    hide = begun.json["id"]
    checks.that(begun.headers["location"] == f"/api/hides/{hide}" and
                begun.headers["etag"] == '"1"', "a new hide has an address")
    crossed = json.loads(json.dumps(document))
    crossed["hide"]["flaws"] = [{"kind": "stain", "area": [
        {"up": 10, "left": 1}, {"up": 20, "left": 9}, {"up": 20, "left": 1}, {"up": 10, "left": 9}]}]
    client.ask("beginHide", crossed, status=422)
    client.ask("beginHide", b"{}", status=422)
    client.ask("beginHide", document, status=415, headers={"Content-Type": "text/plain"})
    client.ask("beginHide", b"x" * ((8 << 20) + 1), status=413)
    checks.that(client.ask("hide", id=hide).json == begun.json, "its state is the same")
    client.ask("hide", id=99999, status=404)
    kept = client.ask("hideDocument", id=hide)
    checks.that(kept.json == document, "its document comes back")
    client.ask("hideDocument", id=99999, status=404)
    client.ask("hideDocument", id=hide, job="x", status=422)
    found = client.ask("hideFacts", id=hide)
    asked = client.ask("deriveHide", EXAMPLE).json
    checks.that(found.json["hide"] == asked["hide"], "what follows from it is what derive says")
    client.ask("hideFacts", id=99999, status=404)
    document["hide"]["name"] = "another name"
    client.ask("saveHide", document, id=hide, status=428)
    client.ask("saveHide", document, id=hide, If_Match="1", status=400)
    client.ask("saveHide", document, id=99999, If_Match='"1"', status=404)
    client.ask("saveHide", crossed, id=hide, If_Match='"1"', status=422)
    client.ask("saveHide", document, id=hide, If_Match='"1"', status=415,
               headers={"Content-Type": "text/plain"})
    client.ask("saveHide", b"x" * ((8 << 20) + 1), id=hide, If_Match='"1"', status=413)
    saved = client.ask("saveHide", document, id=hide, If_Match='"1"', call="measured again")
    checks.that(saved.json["version"] == 2 and saved.json["name"] == "another name", "it is saved")
    clash = client.ask("saveHide", document, id=hide, If_Match='"1"', status=412)
    checks.that(clash.json["present"] == 2, "nobody overwrites anybody")
    checks.that(client.ask("hideRemnants", id=hide).json == {"hides": []}, "it is whole")
    client.ask("hideRemnants", id=99999, status=404)
    client.ask("putHideAway", id=hide)
    checks.that(hide not in [h["id"] for h in client.ask("hides").json["hides"]], "put away")
    checks.that(hide in [h["id"] for h in client.ask("hides", all=1).json["hides"]], "but there")
    client.ask("takeHideOut", id=hide)
    client.ask("putHideAway", id=99999, status=404)
    client.ask("takeHideOut", id=99999, status=404)
    client.ask("hides", all="x", status=422)
    client.ask("job", id=hide, status=404)
    return hide


def tables(checks, client, hide):
    """Between a job's document and the workshop."""
    picture = client.ask("keepPicture", png(30, 20), status=201, headers={"Content-Type": PNG})
    uid = picture.json["uid"]
    job = json.loads(EXAMPLE)
    job["hides"][0]["picture"] = {
        "uid": uid, "butt": {"column": 5, "row": 19}, "neck": {"column": 5, "row": 1},
        "from": {"column": 5, "row": 19}, "to": {"column": 5, "row": 1}, "apart": 84}
    called = job["hides"][0]["name"]
    id = client.ask("beginJob", job, status=201).json["id"]
    alone = client.ask("jobHides", id=id).json["hides"]
    checks.that(alone == [{"called": called, "hide": 0, "same": False, "cut_by": 0, "left_of": 0}],
                "the workshop has none of it yet")
    for name in ("keepHides", "takeHide"):
        more = {"hide": hide} if name == "takeHide" else {}
        client.ask(name, id=id, status=428, **more)
        client.ask(name, id=id, If_Match="1", status=400, **more)
        client.ask(name, id=id, If_Match='"7"', status=412, **more)
        client.ask(name, id=99999, If_Match='"1"', status=404, **more)
    kept = client.ask("keepHides", id=id, If_Match='"1"').json["hides"][0]
    checks.that(kept["hide"] > 0 and kept["same"], "now it has, and both say the same")
    checks.that(client.ask("pictures", of=kept["hide"]).json["pictures"][0]["uid"] == uid,
                "the picture is the hide's")
    state = client.ask("hide", id=kept["hide"]).json
    checks.that(state["on_tables"] == [{"job": id, "called": called}], "it lies on the job's table")
    job["hides"][0]["flaws"] = []
    job["seats"][0]["frame"]["front"] = "wide"
    version = client.ask("save", job, id=id, If_Match='"1"').json["version"]
    checks.that(not client.ask("jobHides", id=id).json["hides"][0]["same"], "now they differ")
    again = client.ask("keepHides", id=id, If_Match=f'"{version}"').json["hides"][0]
    checks.that(again["same"] and again["hide"] == kept["hide"] and
                client.ask("hide", id=kept["hide"]).json["version"] == 2,
                "the workshop's is brought up to date, whatever the seats are")
    client.ask("takeHide", id=id, If_Match=f'"{version}"', hide=hide, status=422)
    client.ask("takeHide", id=id, If_Match=f'"{version}"', hide=99999, status=404)
    sound = client.ask("beginJob", EXAMPLE, status=201).json["id"]
    taken = client.ask("takeHide", id=sound, If_Match='"1"', hide=hide)
    names = [h["name"] for h in client.ask("document", id=sound).json["hides"]]
    checks.that(names == [called, "another name"] and taken.json["version"] == 2, "it is taken in")
    client.ask("takeHide", id=sound, If_Match='"2"', hide=hide, status=409)
    # A page copies by itself: the document in the job's units, then where it lies.
    other = client.ask("beginJob", {"seatwright": 1, "name": "m", "units": "mm"}, status=201).json
    copy = client.ask("hideDocument", id=hide, job=other["id"]).json
    checks.that(copy["units"] == "mm" and near(
        Polygon(client.ask("hideFacts", id=hide).json["hide"]["outline_mm"]).area,
        client.ask("deriveHide", {"seatwright": 1, "name": "m", "units": "mm", "seats": [],
                                  "hides": [copy["hide"]]}).json["hide"]["area_mm2"], 1e-4),
        "the same hide in other units")
    client.ask("layOnTable", id=other["id"], number=hide, called="mine", status=204)
    client.ask("layOnTable", id=other["id"], number=kept["hide"], called="mine", status=409)
    client.ask("layOnTable", id=other["id"], number=99999, called="mine", status=404)
    client.ask("layOnTable", id=other["id"], number=hide, status=400)
    client.ask("offTable", id=other["id"], number=hide, status=204)
    client.ask("offTable", id=99999, number=hide, status=404)
    client.ask("jobHides", id=99999, status=404)
    bad = json.loads(EXAMPLE)
    bad["hides"][0]["form"] = "half"
    bad = client.ask("beginJob", bad, status=201).json["id"]
    client.ask("jobHides", id=bad, status=422)
    client.ask("keepHides", id=bad, If_Match='"1"', status=422)
    return kept["hide"]


def cuts(checks, client, layout):
    """A job is cut as it was laid; shapely finds what is left of the hide, and nothing under a cover."""
    placements = {"placements": placements_of(layout)}
    id = client.ask("beginJob", EXAMPLE, status=201).json["id"]
    client.ask("cut", placements, id=id, status=428)
    client.ask("cut", placements, id=id, If_Match="1", status=400)
    client.ask("cut", placements, id=id, If_Match='"9"', status=412)
    client.ask("cut", placements, id=99999, If_Match='"1"', status=404)
    client.ask("cut", b"x" * ((1 << 20) + 1), id=id, If_Match='"1"', status=413)
    client.ask("cut", placements, id=id, If_Match='"1"', status=415,
               headers={"Content-Type": "text/plain"})
    some = {"placements": placements["placements"][1:]}
    client.ask("cut", some, id=id, If_Match='"1"', status=422)
    heap = {"placements": [{**one, "x_mm": 900, "y_mm": 0} for one in placements["placements"]]}
    client.ask("cut", heap, id=id, If_Match='"1"', status=422)
    checks.that(client.ask("jobHides", id=id).json["hides"][0]["hide"] == 0,
                "what is refused records nothing")
    left = client.ask("cut", placements, id=id, If_Match='"1"').json["hides"]
    hide = client.ask("jobHides", id=id).json["hides"][0]
    checks.that(len(left) > 0 and hide["cut_by"] == id, "the hide has ended")
    checks.that(client.ask("hideRemnants", id=hide["hide"]).json["hides"] == left and
                all(one["left_of"] == hide["hide"] for one in left), "what is left knows its hide")
    client.ask("cut", placements, id=id, If_Match='"1"', status=409)
    document = client.ask("hideDocument", id=hide["hide"]).json
    client.ask("saveHide", document, id=hide["hide"], If_Match='"1"', status=409)
    other = client.ask("beginJob", EXAMPLE, status=201).json["id"]
    client.ask("layOnTable", id=other, number=hide["hide"], called="it", status=409)
    whole = Polygon(client.ask("deriveHide", EXAMPLE).json["hide"]["outline_mm"])
    covers = unary_union([Polygon(one["outline_mm"]) for one in layout["placements"]])
    free = whole.difference(covers)
    parts = [client.ask("hideFacts", id=one["id"]).json["hide"] for one in left]
    for part in parts:
        outline = Polygon(part["outline_mm"])
        checks.that(outline.difference(whole.buffer(0.01)).area < 1, "a remnant lies on the hide")
        gone = [polygons(flaw["polygons"]) for flaw in part["flaws"] if flaw["name"] == "cut out"]
        checks.that(outline.difference(unary_union(gone)).intersection(covers).area < 1,
                    "and under no cover")
    area = sum(Polygon(part["outline_mm"]).area for part in parts)
    checks.that(0.3 * free.area < area, "what is of use is kept")


def ask_all(checks, client, layout, pid):
    job = facts(checks, client)
    strokes(checks, client)
    hide = records(checks, client, job)
    pictures(checks, client, hide, pid)
    tables(checks, client, hide)
    cuts(checks, client, layout)
