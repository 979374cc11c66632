"""Starts the server on a workshop file of its own and asks it by its own document at /api.

Outside sources: OpenAPI 3.1 (what the document says), JSON Schema 2020-12 by
python3-jsonschema (whether answers are as it says), http.client (whether the wire is HTTP).
"""
import functools
import http.client
import json
import pathlib
import re
import signal
import subprocess
import sys
import tempfile
import urllib.parse

import jsonschema

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1] / "outside"))
from program import ROOT, Checks  # noqa: E402  (the folder of the other checks from outside)

__all__ = ["AS_USUAL", "EXAMPLE", "ROOT", "Answer", "Checks", "Client", "Serving", "fetch",
           "from_command", "placements_of"]

# The rowing club; a tenth of the usual work lays its eight covers too.
AS_USUAL = (ROOT / "examples" / "rowing-club.json").read_bytes()
EXAMPLE = AS_USUAL.replace(b'"search": {"seed": 7}', b'"search": {"seed": 7, "work": 0.1}')
assert b'"work": 0.1' in EXAMPLE

SECURITY = {
    "x-content-type-options": "nosniff",
    "referrer-policy": "no-referrer",
    "cross-origin-resource-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
}


class Serving:
    """A server for as long as a `with` lasts; `.port` is where."""

    def __init__(self, program, *words, workshop=None):
        self.program = program
        self.words = words
        self.folder = tempfile.TemporaryDirectory(prefix="seatwright-")
        self.workshop = workshop or f"{self.folder.name}/workshop.db"
        self.port = 0
        self.address = ""
        self.process = None

    def start(self):
        self.process = subprocess.Popen(
            [self.program, "serve", "--workshop", self.workshop, "--port", "0", *self.words],
            stdout=subprocess.PIPE, text=True)
        line = self.process.stdout.readline()
        self.address = line.split()[-1]
        self.port = int(re.search(r"http://127\.0\.0\.1:(\d+)/", line)[1])

    def stop(self, how=signal.SIGTERM):
        self.process.send_signal(how)
        self.process.stdout.read()
        return self.process.wait(timeout=60)

    def __enter__(self):
        self.start()
        return self

    def __exit__(self, *_):
        if self.process.poll() is None:
            self.stop()
        self.folder.cleanup()


class Answer:
    def __init__(self, status, headers, body):
        self.status = status
        self.headers = headers
        self.body = body

    @property
    def json(self):
        return json.loads(self.body)


def fetch(port, method, path, body=None, headers=None):
    """One request on a connection of its own."""
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
    try:
        connection.request(method, path, body=body, headers=headers or {})
        answer = connection.getresponse()
        found = {key.lower(): value for key, value in answer.getheaders()}
        return Answer(answer.status, found, answer.read())
    finally:
        connection.close()


@functools.lru_cache(maxsize=None)
def from_command(program, command, job, *options):
    """What a command says of a job; nobody changes it, as it is asked once."""
    done = subprocess.run([program, command, "-", "--json", *options], input=job,
                          capture_output=True, check=False)
    return json.loads(done.stdout)


def placements_of(plan):
    """The placements of a plan as they are asked for: by the covers' letters."""
    keys = ("cover", "hide", "x_mm", "y_mm", "turn_deg", "locked")
    return [{**{k: p[k] for k in keys}, "cover": p["cover"].rstrip("0123456789")}
            for p in plan["placements"]]


class Client:
    """Asks operations by their names and holds every answer against the document."""

    def __init__(self, port, checks):
        self.port = port
        self.checks = checks
        self.document = fetch(port, "GET", "/api").json
        self.seen = {}  # name of operation: statuses that came
        self.operations = {}
        for path, item in self.document["paths"].items():
            for method in ("get", "post", "put", "delete"):
                if method in item:
                    shared = [self.resolved(p) for p in item.get("parameters", [])]
                    own = [self.resolved(p) for p in item[method].get("parameters", [])]
                    self.operations[item[method]["operationId"]] = (
                        method.upper(), path, item[method], shared + own)

    def resolved(self, thing):
        while "$ref" in thing:
            place = self.document
            for key in thing["$ref"].removeprefix("#/").split("/"):
                place = place[key]
            thing = place
        return thing

    def conforms(self, value, schema):
        """The first thing that does not, or None."""
        whole = {**schema, "components": self.document["components"]}
        error = jsonschema.exceptions.best_match(
            jsonschema.Draft202012Validator(whole).iter_errors(value))
        return error and f"{list(error.absolute_path)}: {error.message[:200]}"

    def ask(self, name, body=None, /, status=200, headers=None, **values):
        """Asks; `values` are parameters by name, `-` written `_`. Checks the answer."""
        method, path, operation, parameters = self.operations[name]
        headers = dict(headers or {})
        query = {}
        for parameter in parameters:
            key = parameter["name"].replace("-", "_")
            if key not in values:
                continue
            value = str(values.pop(key))
            if parameter["in"] == "path":
                path = path.replace("{%s}" % parameter["name"], urllib.parse.quote(value, safe=""))
            elif parameter["in"] == "query":
                query[parameter["name"]] = value
            else:
                headers[parameter["name"]] = value
        assert not values, f"{name} has no parameter {values}"
        if query:
            path += "?" + urllib.parse.urlencode(query)
        if body is not None:
            assert "requestBody" in operation, name
            headers.setdefault("Content-Type", "application/json")
            body = body if isinstance(body, (bytes, str)) else json.dumps(body)
            body = body.encode() if isinstance(body, str) else body
        answer = fetch(self.port, method, path, body, headers)
        self.check(name, operation, answer, status)
        return answer

    def finished(self, work):
        """What came of a work, once it has ended."""
        self.ask("events", id=work)
        return self.ask("result", id=work)

    def check(self, name, operation, answer, status):
        label = f"{name} {answer.status}"
        self.checks.that(answer.status == status, f"{label}: the status is {status}")
        self.seen.setdefault(name, set()).add(answer.status)
        described = operation["responses"].get(str(answer.status))
        if not described:
            self.checks.that(False, f"{label}: the document knows this status")
            return
        for header in described.get("headers", {}):
            self.checks.that(header.lower() in answer.headers, f"{label}: it has {header}")
        for header, value in SECURITY.items():
            if answer.headers.get(header) != value:
                self.checks.that(False, f"{label}: {header} is {value}")
        content = described.get("content")
        if not content:
            self.checks.that(not answer.body, f"{label}: it has no body")
            return
        kind = answer.headers.get("content-type", "").split(";")[0]
        if kind not in content:
            self.checks.that(False, f"{label}: {kind} is described")
        elif "json" in kind:
            wrong = self.conforms(answer.json, content[kind]["schema"])
            self.checks.that(not wrong, f"{label}: the body is as described {wrong or ''}")
