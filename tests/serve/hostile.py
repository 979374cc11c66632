"""The server and those who mean it no good, or are slow: all on loopback, all bounded.

usage: hostile.py SEATWRIGHT LIST_ROUTES
"""
import json
import random
import resource
import socket
import sys
import threading
import time

from serving import ROOT, Checks, Serving, fetch

EXAMPLE = (ROOT / "examples" / "rowing-club.json").read_bytes()


def speak(port, *parts, wait=20.0, pause=0.0):
    """Sends parts as they are; all that comes back until the server closes or says no more."""
    with socket.create_connection(("127.0.0.1", port), timeout=wait) as wire:
        wire.settimeout(wait)
        said = b""
        try:
            for part in parts:
                wire.sendall(part)
                time.sleep(pause)
        except OSError:
            pass  # it was closed on us; what it said may still be there
        try:
            while chunk := wire.recv(65536):
                said += chunk
        except OSError:
            pass
        return said


def request(port, line, *headers, body=b"", host=True):
    head = [line] + ([f"Host: 127.0.0.1:{port}"] if host else []) + list(headers)
    return ("\r\n".join(head + ["Connection: close", "", ""])).encode("latin-1") + body


def status(said):
    return int(said.split(b" ", 2)[1]) if said.startswith(b"HTTP/1.1 ") else 0


def lives(checks, port, label):
    checks.that(fetch(port, "GET", "/api/about").status == 200, f"it still answers: {label}")


def strangers(checks, port):
    for host in ("example.org", "example.org:80", f"127.0.0.1:{port + 1}", "", f"0.0.0.0:{port}"):
        said = speak(port, request(port, "GET /api/jobs HTTP/1.1", f"Host: {host}", host=False))
        checks.that(status(said) in (400, 403), f"Host {host!r} is refused")
    said = speak(port, request(port, "GET /api/jobs HTTP/1.1", host=False))
    checks.that(status(said) in (400, 403), "no Host is refused")
    said = speak(port, request(port, "GET /api/jobs HTTP/1.1", "Host: example.org"))
    checks.that(status(said) == 400, "two Hosts are refused")
    kinds = (["Origin: http://example.org"], ["Origin: null"], ["Origin: https://127.0.0.1:%d" % port],
             ["Sec-Fetch-Site: cross-site"], ["Sec-Fetch-Site: same-site"],
             ["Origin: http://127.0.0.1:%d" % port, "Origin: http://example.org"])
    for headers in kinds:
        body = b'{"name": "stolen"}'
        said = speak(port, request(port, "POST /api/jobs HTTP/1.1", *headers,
                                   "Content-Type: text/plain", f"Content-Length: {len(body)}",
                                   body=body))
        checks.that(status(said) in (400, 403), f"{headers} may not write")
        said = speak(port, request(port, "GET /api/jobs HTTP/1.1", *headers))
        checks.that(status(said) in (400, 403), f"{headers} may not read")
    checks.that(fetch(port, "GET", "/api/jobs").json["jobs"] == [], "nothing was written")
    own = {"Origin": f"http://127.0.0.1:{port}", "Sec-Fetch-Site": "same-origin"}
    checks.that(fetch(port, "GET", "/api/jobs", headers=own).status == 200, "own pages may read")
    for method in ("OPTIONS", "TRACE", "CONNECT", "PATCH", "DELETE", "X" * 3000):
        said = speak(port, request(port, f"{method} /api/jobs HTTP/1.1"))
        checks.that(400 <= status(said) < 500 and b"Access-Control" not in said,
                    f"{method[:8]} is refused, and no other origin is let in")


def addresses(checks, port):
    for path in ("/../etc/passwd", "/..%2f..%2fetc%2fpasswd", "/%2e%2e/%2e%2e/etc/passwd", "//etc/passwd",
                 "/api/examples/..%2f..%2fetc%2fpasswd", "/start.css%00.png", "/api/jobs%00",
                 "/%c0%ae%c0%ae/", "/api/jobs/1%2fdocument/..", "/" + "a" * 8000, "/api/jobs/%31%30%30",
                 "/api/jobs/9999999999999999999999", "/.", "/\\..\\windows"):
        said = speak(port, request(port, f"GET {path} HTTP/1.1"))
        checks.that(400 <= status(said) < 500 and b"root:" not in said, f"{path[:40]} is no address")
    many = "&".join(f"k{i}=1" for i in range(17))
    said = speak(port, request(port, f"GET /api/jobs?{many} HTTP/1.1"))
    checks.that(status(said) == 400, "17 parameters are too many")
    said = speak(port, request(port, "GET /api/jobs?words=%ff%fe HTTP/1.1"))
    checks.that(status(said) == 400, "bytes that are no text are refused")
    said = speak(port, request(port, "GET /api/pictures/%ff%fe HTTP/1.1"))
    checks.that(status(said) == 400, "and in a path")
    said = speak(port, request(port, "GET /api/jobs?away=x" + 20 * "%c3%a4" + " HTTP/1.1"))
    shown = said.split(b"\r\n\r\n", 1)[1].decode("utf-8")
    checks.that(status(said) == 422 and "xää" in shown, "long words are cut between letters")
    said = speak(port, request(port, "GET /api/jobs?words=%27%20OR%201%3D1--%25_ HTTP/1.1"))
    checks.that(status(said) == 200, "words are words, whatever they are")


def smuggling(checks, port):
    """What RFC 9112, sections 6.3 and 7.1, wants refused or the connection closed."""
    post = "POST /api/check HTTP/1.1"
    kind = "Content-Type: application/json"
    cases = {
        "two lengths": (["Content-Length: 2", "Content-Length: 5"], b"{}\r\n\r\n"),
        "a length and chunks": (["Content-Length: 4", "Transfer-Encoding: chunked"],
                                b"2\r\n{}\r\n0\r\n\r\n"),
        "a negative length": (["Content-Length: -1"], b"{}"),
        "a length in words": (["Content-Length: two"], b"{}"),
        "a length too long": (["Content-Length: 99999999999999999999999"], b"{}"),
        "another coding": (["Transfer-Encoding: gzip, chunked"], b"2\r\n{}\r\n0\r\n\r\n"),
        "chunks of nonsense": (["Transfer-Encoding: chunked"], b"zz\r\n{}\r\n0\r\n\r\n"),
        "a chunk of minus one": (["Transfer-Encoding: chunked"], b"-1\r\n{}\r\n0\r\n\r\n"),
        "a chunk beyond all sizes": (["Transfer-Encoding: chunked"],
                                     b"ffffffffffffffffff\r\n{}\r\n0\r\n\r\n"),
    }
    for label, (headers, body) in cases.items():
        said = speak(port, request(port, post, kind, *headers, body=body), wait=3)
        checks.that(status(said) in (0, 400, 413), f"{label}: refused ({status(said)})")
        checks.that(b"HTTP/1.1 200" not in said, f"{label}: nothing of it is taken for a request")
    said = speak(port, request(port, post, kind, "Transfer-Encoding: chunked",
                               body=b"1\r\n{\r\n1\r\n}\r\n0\r\n\r\n"))
    checks.that(status(said) == 200, "chunks in order are taken")
    said = speak(port, request(port, post, kind, "Transfer-Encoding: chunked",
                               body=b"100000\r\n" + b" " * 0x100000 + b"\r\n"), b"".join(
                     [b"100000\r\n" + b" " * 0x100000 + b"\r\n"] * 8) + b"0\r\n\r\n")
    checks.that(status(said) == 413, "nine MiB in chunks are too many")


def heads(checks, port):
    said = speak(port, request(port, "GET /api/about HTTP/1.1", "X-Long: " + "a" * 40000))
    checks.that(status(said) in (0, 413, 431), "a head of 40 kB is refused")
    said = speak(port, request(port, "GET /api/about HTTP/1.1", *[f"X-{i}: y" for i in range(3000)]))
    checks.that(status(said) in (0, 413, 431), "3000 headers are refused")
    for garbage in (b"\r\n\r\n\r\n", b"\0" * 200, b"GET\r\n\r\n", b"GET / HTTP/9.9\r\nHost: x\r\n\r\n",
                    b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03" + bytes(200),
                    b"PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n", b"GET / HTTP/1.1\nHost: x\n\n"):
        said = speak(port, garbage, wait=2)
        checks.that(status(said) != 200, f"{garbage[:12]!r} gets nothing")
    lives(checks, port, "after odd heads")


def pipelining(checks, port):
    """RFC 9112, section 9.3.2: answers come in the order of the requests."""
    one = f"GET /api/about HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\n\r\n".encode()
    none = f"GET /api/none/here HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\n\r\n".encode()
    said = speak(port, one * 20 + request(port, "GET / HTTP/1.1"))
    checks.that(said.count(b"HTTP/1.1 200") == 21, "21 requests in one go, 21 answers")
    said = speak(port, one + request(port, "GET /api/jobs/1 HTTP/1.1"))
    checks.that(said.find(b"HTTP/1.1 200") < said.find(b"HTTP/1.1 404"), "in their order")
    said = speak(port, one + none + one, wait=3)
    checks.that(said.count(b"HTTP/1.1 404") == 1, "a refusal among them is one answer")


def random_bytes(checks, port):
    """Requests that were whole, with bytes changed."""
    draw = random.Random(7)
    whole = request(port, "POST /api/derive HTTP/1.1", "Content-Type: application/json",
                    f"Content-Length: {len(EXAMPLE)}", body=EXAMPLE)
    for _ in range(150):
        broken = bytearray(whole)
        for _ in range(draw.randint(1, 6)):
            broken[draw.randrange(min(len(broken), 400))] = draw.randrange(256)
        if draw.random() < 0.3:
            broken = broken[:draw.randrange(len(broken))]
        with socket.create_connection(("127.0.0.1", port), timeout=5) as wire:
            wire.settimeout(0.05)
            try:
                wire.sendall(broken)
                wire.shutdown(socket.SHUT_WR)
                wire.recv(4096)
            except OSError:
                pass
    lives(checks, port, "after 150 broken requests")


def slow(checks, port):
    """Heads and bodies a byte at a time: cut off in bounded time, whatever trickles."""
    began = time.monotonic()
    ends = {}

    def trickle(label, first, drop, most):
        with socket.create_connection(("127.0.0.1", port)) as wire:
            wire.sendall(first)
            wire.settimeout(0.2)
            while time.monotonic() - began < most:
                try:
                    wire.sendall(drop)
                    if not wire.recv(4096):
                        break
                except socket.timeout:
                    continue
                except OSError:
                    break
            ends[label] = time.monotonic() - began

    head = f"GET /api/about HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\n".encode()
    trickles = [threading.Thread(target=trickle, args=(f"head {i}", head, b"X-A: b\r\n", 40))
                for i in range(20)]
    for one in trickles:
        one.start()
    answered = 0
    while any(one.is_alive() for one in trickles):
        answered += fetch(port, "GET", "/api/about").status == 200
        time.sleep(0.5)
    for one in trickles:
        one.join()
    checks.that(max(ends.values()) < 35, f"heads that trickle are cut off ({max(ends.values()):.0f} s)")
    checks.that(answered > 5, "others are answered meanwhile")


def crowd(checks, port, wanted=10000):
    """Ten thousand connections that say nothing, or begin and go: some hundreds are held at once."""
    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    held_at_once = min(900, soft - 100)
    done = 0
    held = []
    draw = random.Random(11)
    while done < wanted:
        try:
            wire = socket.create_connection(("127.0.0.1", port), timeout=2)
        except OSError:
            break  # the queue of the system is full: that is a bound too
        if draw.random() < 0.5:
            try:
                wire.sendall(b"GET /api/ab")
            except OSError:
                pass
        held.append(wire)
        done += 1
        if len(held) >= held_at_once:
            for old in held[:held_at_once // 2]:
                old.close()
            held = held[held_at_once // 2:]
    for wire in held:
        wire.close()
    checks.that(done == wanted, f"{done} connections were made")
    # A connection whose handshake the system's full queue dropped hears nothing for a minute: a
    # client tries again, as browsers do.
    deadline = time.monotonic() + 30
    alive = False
    while not alive and time.monotonic() < deadline:
        try:
            alive = status(speak(port, request(port, "GET /api/about HTTP/1.1"), wait=3)) == 200
        except OSError:
            time.sleep(0.5)
    checks.that(alive, "it answers once they are gone")


def many_clients(checks, port):
    """Twenty who save and draw at once: nothing is lost, nobody overwrites anybody."""
    job = fetch(port, "POST", "/api/jobs", b'{"lines": []}',
                {"Content-Type": "application/json"}).json["id"]
    clashes = []

    def add(name):
        for i in range(10):
            while True:
                now = fetch(port, "GET", f"/api/jobs/{job}/document")
                document = now.json
                document["lines"].append(f"{name} {i}")
                saved = fetch(port, "PUT", f"/api/jobs/{job}/document", json.dumps(document).encode(),
                              {"Content-Type": "application/json", "If-Match": now.headers["etag"]})
                if saved.status == 200:
                    break
                if saved.status != 412:
                    raise SystemExit(f"{saved.status} {saved.body}")
                clashes.append(name)

    clients = [threading.Thread(target=add, args=(f"client {i}",)) for i in range(20)]
    for client in clients:
        client.start()
    for client in clients:
        client.join()
    lines = fetch(port, "GET", f"/api/jobs/{job}/document").json["lines"]
    checks.that(len(lines) == 200 and len(set(lines)) == 200,
                f"all 200 lines of 20 clients are there, after {len(clashes)} conflicts")
    count = len(fetch(port, "GET", f"/api/jobs/{job}/versions").json["versions"])
    checks.that(count == 201, "a version for each")


def main():
    program = sys.argv[1]
    checks = Checks()
    with Serving(program) as serving:
        port = serving.port
        strangers(checks, port)
        addresses(checks, port)
        smuggling(checks, port)
        heads(checks, port)
        pipelining(checks, port)
        random_bytes(checks, port)
        many_clients(checks, port)
        slow(checks, port)
        crowd(checks, port)
        lives(checks, port, "after all")
        checks.that(serving.stop() == 0, "and ends in order")
    checks.end()


if __name__ == "__main__":
    main()
