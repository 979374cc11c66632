"""The workshop in the network: who comes in, by what, and who does not.

usage: shared.py SEATWRIGHT LIST_ROUTES

The network is 127.0.0.2, devices are 127.0.0.3 and on. Outside sources: zbarimg (ZBar) reads the
QR codes, rsvg-convert (librsvg) draws them; RFC 6265 for cookies; hashlib for the token's digest.
"""
import hashlib
import http.client
import json
import re
import socket
import sqlite3
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor

from serving import ROOT, Answer, Checks, Client, Serving, fetch

HERE = "127.0.0.2"
EXAMPLE = (ROOT / "examples" / "small" / "taper.json").read_bytes()


class Device:
    """A device in the network, with its address and its cookie."""

    def __init__(self, serving, address="127.0.0.3"):
        self.port = serving.port
        self.address = address
        self.cookie = None

    def ask(self, method, path, body=None, **headers):
        connection = http.client.HTTPConnection(HERE, self.port, timeout=60,
                                                source_address=(self.address, 0))
        headers = {key.replace("_", "-"): value for key, value in headers.items()}
        if self.cookie:
            headers.setdefault("Cookie", self.cookie)
        if body is not None:
            headers.setdefault("Content-Type", "application/json")
            body = body if isinstance(body, bytes) else json.dumps(body).encode()
        try:
            connection.request(method, path, body=body, headers=headers)
            answer = connection.getresponse()
            found = {key.lower(): value for key, value in answer.getheaders()}
            return Answer(answer.status, found, answer.read())
        finally:
            connection.close()

    def pair(self, code, name="a phone", **headers):
        answer = self.ask("POST", "/api/pair", {"code": code, "name": name}, **headers)
        if answer.status == 201:
            self.cookie = answer.headers["set-cookie"].split(";")[0]
        return answer


def read_code(picture):
    """What a picture of a QR code says, by ZBar."""
    done = subprocess.run(["zbarimg", "--quiet", "--raw", "-Sdisable", "-Sqrcode.enable", "-"],
                          input=picture, capture_output=True, check=False)
    return done.stdout.decode().strip()


def drawn_blocks(lines, scale=8):
    """The half blocks of a terminal as a picture (PGM), dark on white."""
    rows = []
    for line in lines:
        rows.append([c in "\u2588\u2580" for c in line])
        rows.append([c in "\u2588\u2584" for c in line])
    pixels = bytearray()
    for row in rows:
        pixels += bytes(0 if dark else 255 for dark in row for _ in range(scale)) * scale
    return b"P5 %d %d 255\n" % (len(rows[0]) * scale, len(rows) * scale) + bytes(pixels)


def invitation(serving):
    """What the program prints: the code, and what its picture says."""
    out = serving.process.stdout
    while not (match := re.search(r"with the code  (\S+)  once", out.readline())):
        pass
    lines = [out.readline().rstrip("\n")]
    while 2 * len(lines) < len(lines[0]):
        lines.append(out.readline().rstrip("\n"))
    return match[1], read_code(drawn_blocks(lines))


def shown_code(client):
    return client.ask("shareCode", status=201).json["code"]


def not_shared(checks, client, port):
    state = client.ask("share").json
    checks.that(not state["shared"] and not state["addresses"] and state["code"] is None,
                "without --share nothing is shared")
    client.ask("shareCode", status=409)
    client.ask("endSharing", status=409)
    client.ask("shareQr", number=1, status=404)
    client.ask("pair", {"code": "x", "name": "y"}, status=409)
    checks.that(client.ask("about").json["guest"] is False, "the machine's own browser is no guest")
    with socket.socket() as wire:
        checks.that(wire.connect_ex((HERE, port)) != 0, "nothing listens in the network")


def at_the_door(checks, serving):
    """A device that is not paired sees the page that asks for the code, and nothing else."""
    device = Device(serving)
    for path in ("/", "/?job=1"):
        page = device.ask("GET", path)
        checks.that(page.status == 200 and b"pair.js" in page.body and b"pages.js" not in page.body,
                    f"the door is at {path}")
        checks.that("unsafe" not in page.headers["content-security-policy"] and
                    "no-cache" == page.headers["cache-control"], "it runs nothing inline, is not kept")
    for path in ("/start.css", "/pair.js"):
        checks.that(device.ask("GET", path).status == 200, f"{path} belongs to the door")
    described = json.loads(fetch(serving.port, "GET", "/api").body)["paths"]
    for cookie in (None, f"seatwright-{serving.port}={'0' * 64}", f"seatwright-{serving.port}=",
                   "seatwright=x; device=y"):
        device.cookie = cookie
        for path in ("/pages.js", "/start.html", "/pair.html.", "/nothing"):
            checks.that(device.ask("GET", path).status == 404, f"{path} does not")
        for path, item in described.items():
            for method in item:
                if method == "parameters" or path in ("/", "/{name}", "/api/pair"):
                    continue
                asked = re.sub(r"\{(id|number)\}", "1", path).replace("{name}", "taper")
                body = b"{}" if "requestBody" in item[method] else None
                answer = device.ask(method.upper(), asked, body)
                checks.that(answer.status == 403 and b"jobs" not in answer.body,
                            f"{method} {asked} is closed: {answer.status}")


def hostile_heads(checks, serving, cookie):
    """Names that lead here, pages of others; with a good cookie and without one."""
    port = serving.port
    for own in (None, cookie):
        device = Device(serving)
        device.cookie = own
        for host in (f"127.0.0.1:{port}", f"localhost:{port}", "example.org", f"example.org:{port}",
                     f"127.0.0.3:{port}", HERE, f"{HERE}:80", f"{HERE}.example.org:{port}", ""):
            answer = device.ask("GET", "/", Host=host)
            checks.that(answer.status == 403, f"Host {host} is refused")
        for headers in ({"Origin": "http://example.org"}, {"Origin": "null"},
                        {"Origin": f"http://127.0.0.1:{port}"}, {"Origin": f"http://{HERE}:80"},
                        {"Sec_Fetch_Site": "cross-site"}, {"Sec_Fetch_Site": "same-site"}):
            answer = device.ask("POST", "/api/jobs", EXAMPLE, **headers)
            checks.that(answer.status == 403, f"{headers} is refused")
            answer = device.pair("23456789", **headers)
            checks.that(answer.status == 403, f"pairing with {headers} is refused")
    checks.that(fetch(port, "GET", "/api/jobs", headers={"Host": f"{HERE}:{port}"}).status == 403,
                "the network's name is none at loopback")


def guesses(checks, program, described):
    """Five wrong codes of one address, twenty of all; then the right one is of no use either."""
    with Serving(program, "--share-at", HERE) as serving:
        client = Client(serving.port, checks)
        client.seen = described.seen
        code = shown_code(client)
        first = Device(serving, "127.0.0.10")
        wrong = ("2" if code[0] != "2" else "3") + code[1:]
        for guess in (wrong, "-", code[:-1], code + "2", "\u00e9" * 8):
            checks.that(first.pair(guess).status == 422, f"{guess} is wrong")
        refused = first.pair(code)
        checks.that(refused.status == 429 and refused.headers["retry-after"] == "60",
                    "after five wrong ones the right one is refused too")
        client.check("pair", client.operations["pair"][2], refused, 429)
        for last in (11, 12, 13):
            other = Device(serving, f"127.0.0.{last}")
            for _ in range(5):
                checks.that(other.pair(wrong).status == 422, "another address is counted by itself")
        checks.that(client.ask("share").json["code"] is None, "after twenty the code is void")
        checks.that(Device(serving, "127.0.0.14").pair(code).status == 429, "for all addresses")
        code = shown_code(client)
        checks.that(Device(serving, "127.0.0.15").pair(code).status == 429, "and a new code waits")


def crowd(checks, program):
    """While another program holds the workshop file, and a save waits for it, a crowd that pairs in
    vain is refused at once, and the machine's own page comes."""
    with Serving(program, "--share-at", HERE) as serving:
        client = Client(serving.port, checks)
        job = client.ask("beginJob", EXAMPLE, status=201).json["id"]
        other = sqlite3.connect(serving.workshop, isolation_level=None)
        other.execute("BEGIN IMMEDIATE")
        with ThreadPoolExecutor(41) as hands:
            save = hands.submit(fetch, serving.port, "PUT", f"/api/jobs/{job}/document", b'{"name": "x"}',
                                {"Content-Type": "application/json", "If-Match": '"1"'})
            tries = [hands.submit(Device(serving, f"127.0.0.{20 + i}").pair, "-") for i in range(40)]
            statuses = [one.result().status for one in tries]
            page = fetch(serving.port, "GET", "/")
            held = not save.done()
            other.execute("ROLLBACK")
            checks.that(set(statuses) <= {422, 429, 503} and 422 in statuses and 429 in statuses,
                        f"forty who pair in vain are refused: {sorted(set(statuses))}")
            checks.that(page.status == 200 and b"pages.js" in page.body, "the machine has its page")
            checks.that(held, "all the while a save waits for the file")
            checks.that(save.result().status == 200, "and is done when the file is free")
        other.close()


def paired(checks, client, serving):
    """A code lets one device in, once; the file keeps no token."""
    printed, said = invitation(serving)
    checks.that(client.ask("share").json["code"] == printed, "the printed code is the one that counts")
    checks.that(said == f"http://{HERE}:{serving.port}/#{printed}", f"ZBar reads it printed: {said}")
    code = shown_code(client)
    svg = client.ask("shareQr", number=1)
    checks.that(svg.headers["cache-control"] == "no-store", "the picture is not kept")
    drawn = subprocess.run(["rsvg-convert", "--width", "400"], input=svg.body, capture_output=True,
                           check=True).stdout
    checks.that(read_code(drawn) == f"http://{HERE}:{serving.port}/#{code}", "ZBar reads it drawn")
    client.ask("shareQr", number=2, status=404)
    phone = Device(serving)
    checks.that(phone.pair(printed).status == 422, "an older code is void")
    operation = client.operations["pair"][2]
    for body, headers, status in (({"code": code}, {}, 422), ({"code": code, "name": ""}, {}, 422),
                                  ({"code": code, "name": "x" * 61}, {}, 422),
                                  ({"code": code, "name": "a\nb"}, {}, 422), (b"x" * 1025, {}, 413),
                                  (b"{}", {"Content_Type": "text/plain"}, 415)):
        client.check("pair", operation, phone.ask("POST", "/api/pair", body, **headers), status)
    answer = phone.pair(" " + code.lower().replace("-", " "), "the phone")
    client.check("pair", operation, answer, 201)
    cookie = answer.headers["set-cookie"]
    checks.that(re.fullmatch(rf"seatwright-{serving.port}=[0-9a-f]{{64}}; Path=/; Max-Age=\d+; "
                             "HttpOnly; SameSite=Strict", cookie), f"the cookie: {cookie}")
    checks.that(Device(serving, "127.0.0.4").pair(code).status == 422, "a code is used once")
    token = cookie.split("=")[1].split(";")[0]
    kept = b""
    for tail in ("", "-wal"):
        with open(serving.workshop + tail, "rb") as file:
            kept += file.read()
    checks.that(token.encode() not in kept and hashlib.sha256(token.encode()).digest() in kept,
                "the file has the token's digest only")
    return phone


def inside(checks, client, serving, phone):
    """What a paired device may do, and what only the machine itself."""
    checks.that(b"pages.js" in phone.ask("GET", "/").body, "it sees the pages")
    checks.that(phone.ask("GET", "/api/about").json["guest"] is True, "and is told that it is a guest")
    begun = phone.ask("POST", "/api/jobs", EXAMPLE, Origin=f"http://{HERE}:{serving.port}",
                      Sec_Fetch_Site="same-origin")
    checks.that(begun.status == 201, "it may write")
    saved = phone.ask("PUT", f"/api/jobs/{begun.json['id']}/document", b'{"name": "x"}', If_Match='"1"')
    checks.that(saved.status == 200, "and save")
    for method, path in (("GET", "/api/share"), ("DELETE", "/api/share"), ("POST", "/api/share/code"),
                         ("GET", "/api/share/qr/1"), ("DELETE", "/api/share/devices"),
                         ("DELETE", "/api/share/devices/1")):
        checks.that(phone.ask(method, path).status == 403, f"{method} {path} is the machine's own")
    hostile_heads(checks, serving, phone.cookie)
    listed = client.ask("share").json["devices"]
    checks.that([one["name"] for one in listed] == ["the phone"], "the machine lists it")
    token = phone.cookie.split("=")[1]
    for wrong in (token[:-1], token + "0", token.upper(), "%00" + token[3:], token[::-1]):
        stranger = Device(serving)
        stranger.cookie = f"seatwright-{serving.port}={wrong}"
        checks.that(stranger.ask("GET", "/api/jobs").status == 403, "a token that is nearly right")
    stranger.cookie = f"seatwright={token}"
    checks.that(stranger.ask("GET", "/api/jobs").status == 403, "a cookie of another name")


def watch(phone, work):
    wire = socket.create_connection((HERE, phone.port), timeout=20, source_address=(phone.address, 0))
    wire.sendall(f"GET /api/work/{work}/events HTTP/1.1\r\nHost: {HERE}:{phone.port}\r\n"
                 f"Cookie: {phone.cookie}\r\n\r\n".encode())
    wire.recv(100)
    return wire


def ends(wire):
    try:
        while wire.recv(65536):
            pass
        return True
    except ConnectionResetError:
        return True
    except TimeoutError:
        return False
    finally:
        wire.close()


def put_out_meanwhile(checks, client, serving, phone, numbers):
    """What a device asked before it was put out, and what waited its turn, is not done after."""
    device, job = numbers
    other = sqlite3.connect(serving.workshop, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    with ThreadPoolExecutor(2) as hands:
        drop = hands.submit(client.ask, "dropDevice", id=device)
        time.sleep(1)  # it waits for the file, and the save for it
        save = hands.submit(phone.ask, "PUT", f"/api/jobs/{job}/document", b'{"name": "late"}',
                            If_Match='"1"')
        time.sleep(1)
        waited = not drop.done() and not save.done()
        other.execute("ROLLBACK")
        drop.result()
        try:
            refused = save.result().status == 403
        except (OSError, http.client.HTTPException):
            refused = True  # its connection was cut
    other.close()
    checks.that(waited and refused, "a save that waited is refused")
    checks.that(client.ask("job", id=job).json["version"] == 1, "and not done")


def put_out(checks, client, serving, phone):
    tablet = Device(serving, "127.0.0.5")
    checks.that(tablet.pair(shown_code(client), "the tablet").status == 201, "another device")
    job = phone.ask("POST", "/api/jobs", (ROOT / "examples" / "rowing-club.json").read_bytes()).json["id"]
    work = phone.ask("POST", f"/api/jobs/{job}/lay?times=100").json["work"]
    wire = watch(phone, work)
    first = client.ask("share").json["devices"][0]["id"]
    put_out_meanwhile(checks, client, serving, phone, (first, job))
    checks.that(ends(wire), "what it watches ends with it")
    checks.that(phone.ask("GET", "/api/jobs").status == 403, "who is put out stays out")
    checks.that(b"pair.js" in phone.ask("GET", "/").body, "and sees the door")
    checks.that(tablet.ask("GET", "/api/jobs").status == 200, "the other stays in")
    client.ask("dropDevice", id=first, status=404)
    client.ask("stop", id=work, status=202)
    return tablet


def started_again(checks, serving, tablet, phone):
    port = serving.port
    serving.stop()
    serving.words = ("--share-at", HERE, "--port", str(port))
    serving.start()
    checks.that(tablet.ask("GET", "/api/jobs").status == 200, "a device is known after a new start")
    checks.that(phone.ask("GET", "/api/jobs").status == 403, "and who was put out is not")


def ended(checks, client, serving, tablet):
    work = tablet.ask("POST", "/api/jobs/2/lay?times=100").json["work"]
    wire = watch(tablet, work)
    client.ask("endSharing")
    checks.that(ends(wire), "connections end when sharing does")
    try:
        tablet.ask("GET", "/")
        checks.that(False, "nobody listens any more")
    except OSError:
        checks.that(True, "nobody listens any more")
    client.ask("endSharing", status=409)
    client.ask("shareCode", status=409)
    checks.that(client.ask("share").json["devices"][0]["name"] == "the tablet",
                "who is in is known all the same")
    client.ask("dropDevices")
    checks.that(not client.ask("share").json["devices"], "until all are put out")
    checks.that(serving.stop() == 0, "it ends in order")


def refused_starts(checks, program):
    for address in ("8.8.8.8", "127.0.0.1", "0.0.0.0", "192.168.1", "172.32.0.1", "localhost", "::1",
                    "192.168.1.20.example.org", ""):
        with Serving(program) as serving:
            done = subprocess.run([program, "serve", "--workshop", serving.workshop, "--port", "0",
                                   "--share-at", address], capture_output=True, text=True, check=False)
            checks.that(done.returncode == 2 and "--share-at" in done.stderr, f"{address} is refused")


def all_of_it(checks, client, program):
    """Everything above; `client` is one of a server that is not shared."""
    not_shared(checks, client, client.port)
    with Serving(program, "--share-at", HERE) as serving:
        inner = Client(serving.port, checks)
        inner.seen = client.seen
        phone = paired(checks, inner, serving)
        at_the_door(checks, serving)
        inside(checks, inner, serving, phone)
        tablet = put_out(checks, inner, serving, phone)
        started_again(checks, serving, tablet, phone)
        ended(checks, inner, serving, tablet)
    guesses(checks, program, client)
    crowd(checks, program)


def main():
    program = sys.argv[1]
    checks = Checks()
    with Serving(program) as serving:
        all_of_it(checks, Client(serving.port, checks), program)
    refused_starts(checks, program)
    checks.end()


if __name__ == "__main__":
    main()
