#!/usr/bin/env python3
"""How long a save and a question about a dragged cover take while 20 clients ask.

usage: serve.py SEATWRIGHT [seconds]

Each client has a job and a table of its own and a connection that stays; once a second it saves,
and twenty times a second it asks about a place. Times are from the first byte sent to the last
byte read, so this program's own share is in them.
"""
import http.client
import json
import pathlib
import random
import re
import subprocess
import sys
import tempfile
import threading
import time

CLIENTS = 20
SAVES_PER_S = 1
TRIES_PER_S = 20
ROOT = pathlib.Path(__file__).resolve().parents[1]
EXAMPLE = (ROOT / "examples" / "rowing-club.json").read_bytes()
JSON = {"Content-Type": "application/json"}


def ask(wire, method, path, body=None, headers=None):
    began = time.perf_counter()
    wire.request(method, path, body, headers or {})
    answer = wire.getresponse()
    said = answer.read()
    if answer.status >= 300:
        raise SystemExit(f"{method} {path}: {answer.status} {said.decode()}")
    return (time.perf_counter() - began) * 1000, answer, said


def client(port, number, placements, until, saves, tries):
    draw = random.Random(number)
    wire = http.client.HTTPConnection("127.0.0.1", port, timeout=30)
    job = json.loads(ask(wire, "POST", "/api/jobs", EXAMPLE, JSON)[2])["id"]
    table = json.loads(ask(wire, "POST", f"/api/jobs/{job}/tables",
                           json.dumps({"placements": placements}).encode(), JSON)[2])["table"]
    version = '"1"'
    next_save = time.monotonic() + draw.random() / SAVES_PER_S
    next_try = time.monotonic() + draw.random() / TRIES_PER_S
    count = 0
    while (now := time.monotonic()) < until:
        if now >= next_save:
            count += 1
            document = EXAMPLE.replace(b"Dining room", f"Dining room {number} {count}".encode())
            spent, answer, _ = ask(wire, "PUT", f"/api/jobs/{job}/document", document,
                                   {**JSON, "If-Match": version})
            version = answer.headers["ETag"]
            saves.append(spent)
            next_save += 1 / SAVES_PER_S
        elif now >= next_try:
            which = draw.randrange(len(placements))
            place = placements[which]
            spent, _, _ = ask(wire, "GET", f"/api/tables/{table}/try?placement={which}"
                              f"&x_mm={place['x_mm'] + draw.uniform(-60, 60)}"
                              f"&y_mm={place['y_mm'] + draw.uniform(-60, 60)}"
                              f"&turn_deg={place['turn_deg'] + draw.uniform(-5, 5)}")
            tries.append(spent)
            next_try += 1 / TRIES_PER_S
        else:
            time.sleep(max(0, min(next_save, next_try) - now))
    wire.close()


def report(name, times):
    times.sort()
    print(f"serve/{name}: {len(times)} asked, median {times[len(times) // 2]:.1f} ms, "
          f"99 of 100 within {times[int(0.99 * len(times))]:.1f} ms, greatest {times[-1]:.1f} ms")


def main():
    program = sys.argv[1]
    seconds = float(sys.argv[2]) if len(sys.argv) > 2 else 10
    plan = json.loads(subprocess.run([program, "lay", "--json", "-"], input=EXAMPLE,
                                     capture_output=True, check=True).stdout)
    placements = [{"cover": p["cover"].rstrip("0123456789"), "hide": p["hide"], "x_mm": p["x_mm"],
                   "y_mm": p["y_mm"], "turn_deg": p["turn_deg"]} for p in plan["placements"]]
    with tempfile.TemporaryDirectory(prefix="seatwright-") as folder:
        server = subprocess.Popen([program, "serve", "--workshop", f"{folder}/workshop.db", "--port",
                                   "0"], stdout=subprocess.PIPE, text=True)
        try:
            port = int(re.search(r":(\d+)/", server.stdout.readline())[1])
            saves, tries = [], []
            until = time.monotonic() + seconds
            clients = [threading.Thread(target=client, args=(port, i, placements, until, saves, tries))
                       for i in range(CLIENTS)]
            for one in clients:
                one.start()
            for one in clients:
                one.join()
        finally:
            server.terminate()
            server.wait()
    report("save/20_clients", saves)
    report("try/20_clients", tries)


if __name__ == "__main__":
    main()
