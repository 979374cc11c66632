"""Every operation of the server's document, asked and held against it.

usage: api.py SEATWRIGHT LIST_ROUTES
"""
import contextlib
import json
import os
import pathlib
import signal
import socket
import sqlite3
import subprocess
import sys
import tempfile
import time

import api_hides
import api_layout
import api_papers
import shared
from serving import EXAMPLE, ROOT, Checks, Client, Serving, fetch, from_command, placements_of

FOOTSTOOL = (ROOT / "tests" / "golden" / "offers" / "footstool.json").read_bytes()


def described_is_routed(checks, client, list_routes):
    """Every route is in the document, and every operation has a route."""
    listed = subprocess.run([list_routes], capture_output=True, text=True, check=True).stdout
    described = {f"{method} {path}" for method, path, _, _ in client.operations.values()}
    checks.that(set(listed.split("\n")) - {""} == described, "document and routes are the same")
    for name, (_, path, _, parameters) in client.operations.items():
        named = {p["name"] for p in parameters if p["in"] == "path"}
        checks.that(named == set(p[1:-1] for p in path.split("/") if p.startswith("{")),
                    f"{name}: the parameters of its path are described")


def pages(checks, client):
    start = client.ask("start")
    checks.that(b"<main>" in start.body, "the first page is a page")
    client.ask("start", status=304, headers={"If-None-Match": start.headers["etag"]})
    policy = start.headers["content-security-policy"]
    checks.that("default-src 'none'" in policy and "unsafe" not in policy and "http" not in policy,
                "the pages may load from this server only, and run nothing inline")
    parts = [word for word in start.body.decode().split('"') if "?digest=" in word]
    checks.that(len(parts) == 2, "the page names its style and its script by their digests")
    for address in parts:
        part = fetch(client.port, "GET", address)
        checks.that(part.status == 200 and "immutable" in part.headers["cache-control"],
                    f"{address} may be kept for ever")
    css = client.ask("asset", name="start.css")
    checks.that(css.headers["cache-control"] == "no-cache", "without a digest it is asked again")
    client.ask("asset", name="start.css", status=304, headers={"If-None-Match": css.headers["etag"]})
    wrong = client.ask("asset", name="start.css", digest="0")
    checks.that("immutable" not in wrong.headers["cache-control"], "another digest is not kept")
    client.ask("asset", name="secret.txt", status=404)
    head = fetch(client.port, "HEAD", "/")
    checks.that(head.status == 200 and not head.body and
                head.headers["content-length"] == str(len(start.body)), "HEAD is GET without body")


def server(checks, client):
    api = client.ask("api")
    client.ask("api", status=304, headers={"If-None-Match": api.headers["etag"]})
    about = client.ask("about").json
    checks.that(about["limits"]["document_bytes"] == 8 << 20, "the limit of a document is told")
    schema = client.ask("jobSchema").body
    checks.that(json.loads(schema) == json.loads((ROOT / "docs" / "job.schema.json").read_text()),
                "the schema is that of docs")


def examples(checks, client):
    listed = client.ask("examples").json["examples"]
    checks.that(len(listed) >= 12, "all examples are listed")
    for entry in listed:
        text = client.ask("example", name=entry["example"])
        check = client.ask("check", text.body).json
        checks.that(check["good"], f"{entry['example']} has no mistake")
    client.ask("example", name="rowing-club", status=304, headers={
        "If-None-Match": client.ask("example", name="rowing-club").headers["etag"]})
    client.ask("example", name="nothing", status=404)


def drafts(checks, client, program):
    """The server says what the commands say."""
    broken = json.loads(EXAMPLE)
    broken["seats"][0]["frame"]["front"] = 1850
    broken["seats"][1]["count"] = "two"
    broken = json.dumps(broken).encode()
    for draft, label in ((EXAMPLE, "good"), (broken, "with mistakes")):
        check = client.ask("check", draft).json
        said = from_command(program, "check", draft)
        checks.that(len(check["problems"]) == len(said["problems"]) and all(
            a["found"] == b["found"] and a["allowed"] == b["allowed"] and a["remedy"] == b["remedy"]
            for a, b in zip(check["problems"], said["problems"])),
            f"a job {label}: the words of `check`")
        derived = client.ask("derive", draft).json
        checks.that({k: derived[k] for k in check} == check, f"a job {label}: derive checks too")
    good = client.ask("derive", EXAMPLE).json
    checks.that(good["covers"] == from_command(program, "covers", EXAMPLE)["covers"],
                "the covers of `covers`")
    partly = client.ask("derive", broken).json
    checks.that(len(partly["hides"]) == 1 and partly["mistakes"] == 2,
                "what is sound is derived though other parts are not")
    checks.that(partly["hides"] == good["hides"], "the hide is the same then")
    checks.that(client.ask("advise", EXAMPLE).json == from_command(program, "advise", EXAMPLE),
                "the advice of `advise`")
    refused = client.ask("advise", broken, status=422).json
    checks.that(len(refused["problems"]) == 2, "advice for mistakes is refused with all of them")
    nothing = client.ask("derive", b"{ nonsense").json
    checks.that(nothing["problems"][0]["where"] == "job:1:3" and nothing["covers"] == [],
                "a draft that is no JSON is told where")
    client.ask("check", b"x" * ((8 << 20) + 1), status=413)
    client.ask("derive", b"x" * ((8 << 20) + 1), status=413)
    client.ask("advise", b"x" * ((8 << 20) + 1), status=413)
    for name in ("check", "derive", "advise"):
        client.ask(name, EXAMPLE, status=415, headers={"Content-Type": "text/plain"})
        client.ask(name, EXAMPLE, status=415, headers={"Content-Encoding": "gzip"})
    checks.that(not client.ask("check", b" " * (8 << 20)).json["good"], "8 MiB are taken")


def jobs(checks, client):
    begun = client.ask("beginJob", EXAMPLE, status=201)
    job = begun.json["id"]
    checks.that(begun.headers["location"] == f"/api/jobs/{job}", "a new job has its address")
    checks.that(begun.headers["etag"] == '"1"', "it is version 1")
    client.ask("beginJob", b"[1]", status=422)
    client.ask("beginJob", b"", status=422)
    client.ask("beginJob", EXAMPLE, status=415, headers={"Content-Type": "text/plain"})
    client.ask("beginJob", b"x" * ((8 << 20) + 1), status=413)
    document = client.ask("document", id=job)
    checks.that(document.body == EXAMPLE, "the document comes back byte for byte")
    client.ask("document", id=job, status=200, headers={"If-None-Match": '"1"'})
    client.ask("document", id=99999, status=404)
    client.ask("document", id=job, version=9, status=404)
    client.ask("document", id=job, version="x", status=422)
    checks.that(client.ask("job", id=job).json == begun.json, "its state is the same")
    client.ask("job", id=99999, status=404)
    checks.that(client.ask("derived", id=job).json == client.ask("derive", EXAMPLE).json,
                "what follows from it is what follows from its text")
    client.ask("derived", id=job, status=200, headers={"If-None-Match": '"1"'})
    client.ask("derived", id=99999, status=404)
    client.ask("derived", id=job, version="0", status=422)
    checks.that(client.ask("advice", id=job).json == client.ask("advise", EXAMPLE).json,
                "so is the advice")
    client.ask("advice", id=job, status=200, headers={"If-None-Match": '"1"'})
    client.ask("advice", id=99999, status=404)
    other = client.ask("beginJob", b'{"name": "broken"}', status=201).json["id"]
    client.ask("advice", id=other, status=422)
    found = client.ask("jobs", words="rowing club").json["jobs"]
    checks.that([j["id"] for j in found] == [job], "words find it")
    checks.that(len(client.ask("jobs").json["jobs"]) == 2, "both are listed")
    client.ask("jobs", away="perhaps", status=422)
    client.ask("putAway", id=other)
    checks.that(len(client.ask("jobs").json["jobs"]) == 1, "what is put away is not listed")
    checks.that(len(client.ask("jobs", away=1).json["jobs"]) == 2, "unless it is asked for")
    client.ask("takeOut", id=other)
    client.ask("putAway", id=99999, status=404)
    client.ask("takeOut", id=99999, status=404)
    return job


def saves(checks, client, job):
    changed = EXAMPLE.replace(b"Dining room", b"Reading room")
    client.ask("save", changed, id=job, status=428)
    client.ask("save", changed, id=job, If_Match="1", status=400)
    client.ask("save", changed, id=99999, If_Match='"1"', status=404)
    client.ask("save", b"[]", id=job, If_Match='"1"', status=422)
    client.ask("save", changed, id=job, If_Match='"1"', status=415,
               headers={"Content-Type": "text/plain"})
    client.ask("save", b"x" * ((8 << 20) + 1), id=job, If_Match='"1"', status=413)
    client.ask("save", changed, id=job, If_Match='"1"', call="x" * 81, status=422)
    saved = client.ask("save", changed, id=job, If_Match='"1"', call="as ordered")
    checks.that(saved.json["version"] == 2 and saved.headers["etag"] == '"2"', "a save adds one")
    again = client.ask("save", changed, id=job, If_Match='"2"')
    checks.that(again.json["version"] == 2, "the same again adds none")
    clash = client.ask("save", EXAMPLE, id=job, If_Match='"1"', status=412)
    checks.that(clash.json["present"] == 2 and clash.headers["etag"] == '"2"',
                "a conflict names the version that stands there")
    checks.that(client.ask("document", id=job).body == changed, "and changes nothing")
    beside = client.ask("saveBeside", b'{"mine": 1}', id=job, If_Match='"1"', call="mine",
                        status=201).json["version"]
    client.ask("saveBeside", b'{"mine": 1}', id=job, status=428)
    client.ask("saveBeside", b'{"mine": 1}', id=job, If_Match="*", status=400)
    client.ask("saveBeside", b'{"mine": 1}', id=job, If_Match='"77"', status=404)
    client.ask("saveBeside", b"7", id=job, If_Match='"1"', status=422)
    client.ask("saveBeside", b"{}", id=job, If_Match='"1"', status=415,
               headers={"Content-Type": "text/plain"})
    client.ask("saveBeside", b"x" * ((8 << 20) + 1), id=job, If_Match='"1"', status=413)
    kept = client.ask("document", id=job, version=beside)
    checks.that(kept.body == b'{"mine": 1}' and "immutable" not in kept.headers["cache-control"],
                "a draft beside is kept; another workshop may have another at this address")
    checks.that(client.ask("job", id=job).json["version"] == 2, "but is not the present version")


def versions(checks, client, job):
    listed = client.ask("versions", id=job).json
    checks.that([(v["version"], v["base"], v["call"]) for v in listed["versions"]] ==
                [(3, 1, "mine"), (2, 1, "as ordered"), (1, 0, None)], "the history is a tree")
    client.ask("versions", id=99999, status=404)
    client.ask("nameVersion", id=job, number=2, call="as sold")
    client.ask("nameVersion", id=job, number=3)
    names = [v["call"] for v in client.ask("versions", id=job).json["versions"]]
    checks.that(names == [None, "as sold", None], "names are given and taken")
    client.ask("nameVersion", id=job, number=9, call="none", status=404)
    client.ask("nameVersion", id=job, number=2, call="x" * 81, status=422)
    for name in ("undo", "redo", "go"):
        more = {"version": 1} if name == "go" else {}
        client.ask(name, id=job, status=428, **more)
        client.ask(name, id=job, If_Match="7", status=400, **more)
        client.ask(name, id=99999, If_Match='"1"', status=404, **more)
        client.ask(name, id=job, If_Match='"1"', status=412, **more)
    checks.that(client.ask("undo", id=job, If_Match='"2"').json["version"] == 1, "undo goes back")
    client.ask("undo", id=job, If_Match='"1"', status=404)
    checks.that(client.ask("redo", id=job, If_Match='"1"').json["version"] == 2, "redo returns")
    client.ask("redo", id=job, If_Match='"2"', status=404)
    checks.that(client.ask("go", id=job, If_Match='"2"', version=3).json["version"] == 3,
                "any version can be gone to")
    client.ask("go", id=job, If_Match='"3"', version=9, status=404)
    client.ask("go", id=job, If_Match='"3"', version="x", status=400)
    client.ask("go", id=job, If_Match='"3"', status=400)


def events_of(stream):
    """Server-sent events (HTML Living Standard, section 9.2): name and data of each."""
    found = []
    for block in stream.decode().split("\n\n"):
        lines = [line.partition(": ")[::2] for line in block.split("\n") if line]
        data = "\n".join(value for key, value in lines if key == "data")
        if data:
            found.append((dict(lines)["event"], json.loads(data), int(dict(lines)["id"])))
    return found


def layouts(checks, client, program):
    job = client.ask("beginJob", EXAMPLE, status=201).json["id"]
    begun = client.ask("lay", id=job, status=202)
    work = begun.json["work"]
    checks.that(begun.headers["location"] == f"/api/work/{work}", "the work has an address")
    events = events_of(client.ask("events", id=work).body)
    checks.that(events[-1][0] == "end" and events[-1][1]["state"] == "done", "it ends, done")
    checks.that([n for _, _, n in events] == sorted(n for _, _, n in events), "events are in order")
    states = [n for name, _, n in events if name != "layout"]
    checks.that(len(states) == len(set(states)), "nothing is told twice")
    shares = [state["share"] for name, state, _ in events if name == "progress"]
    checks.that(shares == sorted(shares) and len(shares) > 0, "it goes forward")
    better = [layout for name, layout, _ in events if name == "layout"]
    checks.that(len(better) > 0, "layouts are told as they improve")
    for name, data, _ in events:
        wrong = client.conforms(data, {"$ref": "#/components/schemas/" + (
            "LayoutSoFar" if name == "layout" else "Work")})
        if wrong:
            checks.that(False, f"event {name}: {wrong}")
    result = client.ask("result", id=work).json
    said = from_command(program, "lay", EXAMPLE)
    checks.that(result == said, "the layout of `lay`, to the last digit")
    last = client.ask("bestLayout", id=work).json["placements"]
    checks.that(len(last) == len(result["placements"]), "the last layout told holds as many covers")
    again = events_of(client.ask("events", id=work).body)
    checks.that(again[-1][0] == "end", "who comes late gets the end at once")
    checks.that([w["work"] for w in client.ask("works").json["works"]] == [work], "it is listed")
    client.ask("stop", id=work, status=202)
    checks.that(client.ask("work", id=work).json["state"] == "done", "what has ended stays so")
    for name in ("work", "stop", "bestLayout", "result", "events"):
        client.ask(name, id=work + 77, status=404)
    client.ask("lay", id=99999, status=404)
    client.ask("lay", id=job, times=101, status=422)
    client.ask("lay", id=job, times="x", status=422)


def buy_command(program, job, *options):
    return subprocess.run([program, "buy", "-", "--json", *options], input=job,
                          capture_output=True, check=False).stdout


def buying(checks, client, program):
    """Watched, it tells sharper and sharper curves; what comes of it is what `buy` prints."""
    job = client.ask("beginJob", FOOTSTOOL, status=201).json["id"]
    begun = client.ask("buy", id=job, status=202, form="side", pieces=1, trials=34, comfort=90)
    work = begun.json["work"]
    checks.that(begun.headers["location"] == f"/api/work/{work}", "buying has an address")
    checks.that(begun.json["kind"] == "buying", "and says what it is")
    events = events_of(client.ask("events", id=work).body)
    checks.that(events[-1][0] == "end" and events[-1][1]["state"] == "done", "it ends, done")
    curves = [curve for name, curve, _ in events if name == "curve"]
    for curve in curves:
        wrong = client.conforms(curve, {"$ref": "#/components/schemas/Buying"})
        checks.that(not wrong, f"a curve so far is as described {wrong or ''}")
        checks.that(curve["offers"] is None and not curve["stopped"], "it is no answer yet")
        checks.that(all(p["low"] <= p["chance"] <= p["high"] for p in curve["curve"]),
                    "each chance lies within its interval")
    trials = [curve["trials"] for curve in curves]
    checks.that(trials == sorted(trials) and trials[-1] == 34 and len(trials) > 1, f"more and more trials {trials}")
    result = client.ask("result", id=work)
    options = ("--form", "side", "--pieces", "1", "--trials", "34", "--comfort", "90")
    checks.that(result.body == buy_command(program, FOOTSTOOL, *options), "to the byte as `buy`")
    last = client.ask("curve", id=work).json
    same = [key for key in last if key not in ("other_form", "offers")]
    checks.that({k: last[k] for k in same} == {k: result.json[k] for k in same},
                "the last curve is that of the answer")
    for ask, words in (({"thrift": 1, "trials": 4}, ("--thrift", "--trials", "4")),
                       ({"split": 1, "trials": 4}, ("--split", "--trials", "4")),
                       ({"offers": 0, "precision": 20, "grade": "clean"},
                        ("--no-offers", "--precision", "20", "--grade", "clean"))):
        work = client.ask("buy", id=job, status=202, **ask).json["work"]
        wait_for(client, work, ("done", "failed"))
        checks.that(client.ask("result", id=work).body == buy_command(program, FOOTSTOOL, *words),
                    f"to the byte as `buy {' '.join(words)}`")
    client.ask("curve", id=work + 77, status=404)
    client.ask("buy", id=99999, status=404)
    work = client.ask("buy", id=job, status=202, grade="spotless").json["work"]
    checks.that(wait_for(client, work, ("done", "failed")) == "failed", "a grade there is not")
    told = client.ask("result", id=work, status=422).json["problems"][0]
    checks.that(told["where"] == "grade" and "spotless" in told["found"], "is named")
    for wrong in ({"grade": ""}, {"form": "panel"}, {"pieces": 0}, {"pieces": 21},
                  {"comfort": 100}, {"comfort": "sure"}, {"trials": 0}, {"precision": 1},
                  {"precision": 4, "trials": 9}, {"offers": "none"}, {"thrift": "x"},
                  {"split": "x"}, {"thrift": 1, "split": 1}):
        told = client.ask("buy", id=job, status=422, **wrong).json["problems"][0]
        (key, value), *_ = wrong.items()
        if key in ("grade", "form", "pieces", "comfort", "trials") and len(wrong) == 1:
            said = subprocess.run([program, "buy", f"--{key}", str(value), "-"], input=FOOTSTOOL,
                                  capture_output=True, check=False).stderr.decode()
            checks.that(told["where"] == key and told["allowed"] in said,
                        f"{key} {value}: refused in the command's words")


def buying_stopped(checks, client):
    """A stop keeps what is known, and how sure that is."""
    job = client.ask("beginJob", EXAMPLE, status=201).json["id"]
    work = client.ask("buy", id=job, status=202, trials=1000000).json["work"]
    while fetch(client.port, "GET", f"/api/work/{work}/curve").status == 404:
        time.sleep(0.1)
    client.ask("bestLayout", id=work, status=404)
    known = client.ask("curve", id=work).json
    client.ask("stop", id=work, status=202)
    checks.that(wait_for(client, work, ("done", "stopped", "failed")) == "stopped", "it stops")
    kept = client.ask("result", id=work).json
    checks.that(kept["stopped"] and not kept["precise"], "which is said")
    checks.that(kept["trials"] >= known["trials"] > 0 and kept["area_low_mm2"] > 0,
                "with all trials that were told, and how sure they are")
    checks.that(kept["offers"] is None, "and without the offers")


def tables(checks, client, program):
    job = client.ask("beginJob", EXAMPLE, status=201).json["id"]
    plan = from_command(program, "lay", EXAMPLE)
    letters = placements_of(plan)
    table = client.ask("layTable", {"placements": letters}, id=job, status=201)
    number = table.json["table"]
    checks.that(table.json["placements"] == len(letters), "all lie there")

    def tried(which, **moved):
        place = {k: letters[which][k] for k in ("x_mm", "y_mm", "turn_deg")} | moved
        return client.ask("tryPlace", id=number, placement=which, **place).json

    for which, placed in enumerate(plan["placements"]):
        there = tried(which)
        checks.that(there["fits"], f"{placed['cover']} fits where `lay` puts it")
        checks.that(there["touches"] == placed["touches"] and
                    there["off_firm_deg"] == placed["off_firm_deg"], "and touches the same")
    onto = tried(0, x_mm=letters[1]["x_mm"], y_mm=letters[1]["y_mm"])
    checks.that(not onto["fits"] and any(f["kind"] == "overlap" and f["other"] == 1
                                         for f in onto["faults"]), "on another it overlaps")
    checks.that(any(f["words"] == f"it overlaps {plan['placements'][1]['cover']}"
                    for f in onto["faults"]), "which is said with its name")
    off = tried(0, x_mm=-3000)
    checks.that([f["kind"] for f in off["faults"]] == ["off the hide"], "off the hide is told")
    turned = tried(0, turn_deg=letters[0]["turn_deg"] + 45)
    checks.that("turn" in [f["kind"] for f in turned["faults"]], "turned too far is told")
    client.ask("tryPlace", id=number + 99, x_mm=0, y_mm=0, turn_deg=0, status=404)
    for wrong in ({"x_mm": "x", "y_mm": 0, "turn_deg": 0}, {"x_mm": 0, "y_mm": 0},
                  {"x_mm": 0, "y_mm": 0, "turn_deg": 361}, {"x_mm": "nan", "y_mm": 0, "turn_deg": 0},
                  {"x_mm": 0, "y_mm": 0, "turn_deg": 0, "placement": len(letters)},
                  {"x_mm": 0, "y_mm": 0, "turn_deg": 0, "hide": 1},
                  {"x_mm": 0, "y_mm": 0, "turn_deg": 0, "hide": -1}):
        client.ask("tryPlace", id=number, status=422, **wrong)
    for change in ({"cover": "Z"}, {"hide": "none"}, {"x_mm": 1e9}, {"turn_deg": "north"},
                   {"colour": "red"}):
        client.ask("layTable", {"placements": [{**letters[0], **change}]}, id=job, status=422)
    client.ask("layTable", {"placements": letters + letters}, id=job, status=422)
    client.ask("layTable", b"[", id=job, status=422)
    client.ask("layTable", {"placements": []}, id=99999, status=404)
    client.ask("layTable", b" " * ((1 << 20) + 1), id=job, status=413)
    client.ask("layTable", {"placements": []}, id=job, status=415,
               headers={"Content-Type": "text/plain"})
    client.ask("clearTable", id=number, status=204)
    client.ask("clearTable", id=number, status=404)
    first = client.ask("layTable", {"placements": letters}, id=job, status=201).json["table"]
    for _ in range(24):
        client.ask("layTable", {"placements": letters}, id=job, status=201)
    client.ask("tryPlace", id=first, x_mm=0, y_mm=0, turn_deg=0, status=404)


def wait_for(client, work, states):
    while (state := client.ask("work", id=work).json["state"]) not in states:
        time.sleep(0.05)
    return state


def long_job(client):
    """A job whose search goes on until it is stopped."""
    text = EXAMPLE.replace(b'"work": 0.1', b'"work": 100')
    return client.ask("beginJob", text, status=201).json["id"]


def stops(checks, client, job):
    works = [client.ask("lay", id=job, times=100, status=202).json["work"] for _ in range(4)]
    full = client.ask("lay", id=job, status=503)
    client.ask("buy", id=job, status=503)
    client.ask("papers", id=job, status=503)
    checks.that(full.headers["retry-after"] == "5", "four are enough at once")
    client.ask("fit", id=job, status=503)
    client.ask("result", id=works[0], status=409)
    for work in works:
        client.ask("stop", id=work, status=202)
    for work in works:
        checks.that(wait_for(client, work, ("done", "stopped", "failed")) == "stopped", "it stops")
        result = fetch(client.port, "GET", f"/api/work/{work}/result")
        checks.that(result.status == 409 or result.json["stopped"], "with the best so far, if any")
    bare = client.ask("beginJob", json.dumps({**json.loads(EXAMPLE), "hides": []}).encode(),
                      status=201).json["id"]
    work = client.ask("lay", id=bare, status=202).json["work"]
    checks.that(wait_for(client, work, ("done", "stopped", "failed")) == "failed", "without a hide")
    client.ask("result", id=work, status=422)
    for _ in range(40):
        last = client.ask("lay", id=bare, status=202).json["work"]
        wait_for(client, last, ("failed",))
    checks.that(len(client.ask("works").json["works"]) == 32, "the last 32 are remembered")
    client.ask("work", id=works[0], status=404)


def watchers(checks, client, job):
    """Sixty-four may watch; who goes away leaves room. A slow reader holds nobody up."""
    work = client.ask("lay", id=job, times=100, status=202).json["work"]
    wires = []
    for _ in range(64):
        wire = socket.create_connection(("127.0.0.1", client.port), timeout=20)
        wire.sendall(f"GET /api/work/{work}/events HTTP/1.1\r\n"
                     f"Host: 127.0.0.1:{client.port}\r\n\r\n".encode())
        wires.append(wire)
    heads = [wire.recv(15) for wire in wires]
    checks.that(all(head == b"HTTP/1.1 200 OK" for head in heads), "64 watch")
    client.ask("events", id=work, status=503)
    for wire in wires[1:]:
        wire.close()
    client.ask("stop", id=work, status=202)
    wait_for(client, work, ("stopped",))
    said = b""
    while chunk := wires[0].recv(65536):
        said += chunk
        if said.endswith(b"0\r\n\r\n"):
            break
    checks.that(b"event: end" in said, "who stays is told the end")
    wires[0].close()
    for _ in range(100):
        answer = fetch(client.port, "GET", f"/api/work/{work}/events")
        if answer.status == 200:
            break
        time.sleep(0.1)
    checks.that(answer.status == 200, "who has gone leaves room")


def stopped_amid_work(checks, program):
    with Serving(program, str(ROOT / "examples" / "rowing-club.json")) as serving:
        client = Client(serving.port, checks)
        work = client.ask("lay", id=1, times=100, status=202).json["work"]
        wire = socket.create_connection(("127.0.0.1", serving.port), timeout=60)
        wire.sendall(f"GET /api/work/{work}/events HTTP/1.1\r\n"
                     f"Host: 127.0.0.1:{serving.port}\r\n\r\n".encode())
        wire.recv(100)
        checks.that(serving.stop() == 0, "it ends in order amid work that is watched")
        wire.close()


def all_was_asked(checks, client):
    """Every operation, and every status that the document gives it."""
    for name, (_, _, operation, _) in client.operations.items():
        # Twenty-four threads would have to ask twenty-four tables at one moment: unit tests do.
        wanted = {int(status) for status in operation["responses"]} - {500}
        missing = wanted - client.seen.get(name, set())
        checks.that(not missing, f"{name}: all its statuses were seen {sorted(missing) or ''}")


def kept_through_a_kill(checks, program):
    """What was acknowledged is there after the process was killed."""
    with Serving(program) as serving:
        client = Client(serving.port, checks)
        job = client.ask("beginJob", EXAMPLE, status=201).json["id"]
        client.ask("save", b'{"last": 1}', id=job, If_Match='"1"')
        serving.stop(signal.SIGKILL)
        serving.start()
        client = Client(serving.port, checks)
        checks.that(client.ask("document", id=job).body == b'{"last": 1}',
                    "what was acknowledged is there after a kill")
        checks.that(serving.stop(signal.SIGINT) == 0, "Ctrl-C ends it in order")
        folder = os.path.dirname(serving.workshop)
        checks.that("workshop.db-wal" not in os.listdir(folder), "and leaves the file whole")


def the_log_stays_small(checks, program):
    """However much is saved, what has not gone into the file yet stays within some megabytes."""
    with Serving(program) as serving:
        client = Client(serving.port, checks)
        job = client.ask("beginJob", b"{}", status=201).json["id"]
        most = 0
        for i in range(1, 301):
            body = b'{"notes": "%d %s"}' % (i, b"x" * 60000)
            saved = fetch(serving.port, "PUT", f"/api/jobs/{job}/document", body,
                          {"Content-Type": "application/json", "If-Match": f'"{i}"'})
            checks.that(saved.status == 200, f"save {i}")
            most = max(most, os.path.getsize(serving.workshop + "-wal"))
        checks.that(most < 20 << 20, f"the log is never larger than 20 MiB: {most}")
        checks.that(os.path.getsize(serving.workshop) > 10 << 20, "and most of it is in the file")


def refused_starts(checks, program):
    with Serving(program) as serving:
        taken = subprocess.run([program, "serve", "--workshop", serving.workshop, "--port",
                                str(serving.port)], capture_output=True, text=True, check=False)
        checks.that(taken.returncode == 1 and "listens there already" in taken.stderr,
                    "a port that is taken is told")
        for words, label in ((["--port", "65536"], "a port too far"), (["--port", "x"], "no port"),
                             (["--workshop", ""], "no file"), (["a.json", "b.json"], "two jobs")):
            done = subprocess.run([program, "serve", "--workshop", serving.workshop, *words],
                                  capture_output=True, text=True, check=False)
            checks.that(done.returncode == 2, f"refused: {label}")
        done = subprocess.run([program, "serve", "--workshop", serving.workshop, "none.json"],
                              capture_output=True, text=True, check=False)
        checks.that(done.returncode == 3, "a job's file that is not there is told")
    with Serving(program, str(ROOT / "examples" / "small" / "taper.json")) as serving:
        kept = fetch(serving.port, "GET", "/api/jobs").json["jobs"]
        checks.that(len(kept) == 1 and serving.address.endswith(f"/?job={kept[0]['id']}"),
                    "a job that is named is kept, and its address printed")
    with tempfile.TemporaryDirectory() as folder:
        other = f"{folder}/other.db"
        with contextlib.closing(sqlite3.connect(other)) as database:
            database.execute("CREATE TABLE birds (name TEXT)")
        text = f"{folder}/letter.db"
        pathlib.Path(text).write_text("nothing of a workshop\n" * 100, encoding="utf-8")
        short = f"{folder}/short.db"
        pathlib.Path(short).write_text("short", encoding="utf-8")
        for path, status, word in ((other, 2, "another program"), (text, 1, "database"),
                                   (short, 1, "damaged")):
            before = pathlib.Path(path).read_bytes()
            done = subprocess.run([program, "serve", "--workshop", path, "--port", "0"],
                                  capture_output=True, text=True, check=False)
            checks.that(done.returncode == status and path in done.stderr and word in done.stderr,
                        f"refused: {path}: {done.returncode} {done.stderr}")
            checks.that(pathlib.Path(path).read_bytes() == before, "it is left as it was")


def main():
    program, list_routes = sys.argv[1:3]
    checks = Checks()
    with Serving(program) as serving:
        client = Client(serving.port, checks)
        described_is_routed(checks, client, list_routes)
        pages(checks, client)
        server(checks, client)
        examples(checks, client)
        drafts(checks, client, program)
        saves(checks, client, job := jobs(checks, client))
        versions(checks, client, job)
        api_hides.ask_all(checks, client, from_command(program, "lay", EXAMPLE),
                          serving.process.pid)
        layouts(checks, client, program)
        job = long_job(client)
        watchers(checks, client, job)
        buying(checks, client, program)
        buying_stopped(checks, client)
        tables(checks, client, program)
        api_layout.by_hand(checks, client, lambda *words: from_command(program, *words), EXAMPLE)
        api_papers.papers(checks, client, program, EXAMPLE)
        job_of_papers = api_papers.kept(checks, client, program, EXAMPLE)
        api_papers.bench(checks, client, job_of_papers)
        with Serving(program) as other:
            api_papers.exchange(checks, client, job_of_papers, Client(other.port, checks))
        stops(checks, client, job)
        shared.all_of_it(checks, client, program)
        all_was_asked(checks, client)
        checks.that(serving.stop() == 0, "SIGTERM ends it in order")
    stopped_amid_work(checks, program)
    kept_through_a_kill(checks, program)
    the_log_stays_small(checks, program)
    refused_starts(checks, program)
    checks.end()


if __name__ == "__main__":
    main()
