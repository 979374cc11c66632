"""`serve --open --if-new`, as `./run` begins it: with a desktop, without one, without a browser.

usage: opened.py SEATWRIGHT LIST_ROUTES
"""
import os
import pathlib
import signal
import subprocess
import sys
import tempfile
import time

from serving import ROOT, Checks, Serving, fetch

CLUB = str(ROOT / "examples" / "rowing-club.json")


class Opened(Serving):
    """With a program in the place of xdg-open, and the environment of a desktop or none."""

    def __init__(self, program, *words, desktop=True, browser=True, workshop=None):
        super().__init__(program, *words, "--open", workshop=workshop)
        self.told = pathlib.Path(self.folder.name) / "opened"
        folder = pathlib.Path(self.folder.name) / "bin"
        folder.mkdir()
        opener = folder / "xdg-open"
        opener.write_text(f'#!/bin/sh\necho "$@" >{self.told}.part && /bin/mv {self.told}.part {self.told}\n'
                          "echo noise; echo noise >&2\n", encoding="utf-8")
        opener.chmod(0o755 if browser else 0o644)
        self.environment = {key: value for key, value in os.environ.items()
                            if key not in ("DISPLAY", "WAYLAND_DISPLAY")}
        self.environment["PATH"] = str(folder)
        if desktop:
            self.environment["DISPLAY"] = ":99"

    def start(self):
        before = dict(os.environ)
        os.environ.clear()
        os.environ.update(self.environment)
        try:
            super().start()
        finally:
            os.environ.clear()
            os.environ.update(before)

    def opened(self):
        for _ in range(100):
            if self.told.exists():
                return self.told.read_text(encoding="utf-8").strip()
            time.sleep(0.1)
        return None


def with_a_desktop(checks, program):
    with Opened(program, CLUB, "--if-new") as serving:
        checks.that(serving.opened() == serving.address, "the address that is printed is opened")
        serving.process.send_signal(signal.SIGINT)
        rest = serving.process.stdout.read()
        checks.that(serving.process.wait(timeout=60) == 0 and "noise" not in rest,
                    "Ctrl-C ends it in order, and the opener says nothing here")


def without(checks, program):
    for desktop, browser in ((False, True), (True, False)):
        with Opened(program, CLUB, desktop=desktop, browser=browser) as serving:
            checks.that(fetch(serving.port, "GET", "/").status == 200, "it is open all the same")
            checks.that(not serving.told.exists(), "and nothing was opened")
            checks.that(serving.stop(signal.SIGINT) == 0, "Ctrl-C ends it in order")


def what_was_edited_stays(checks, program):
    with tempfile.TemporaryDirectory() as folder:
        workshop = f"{folder}/workshop.db"
        with Serving(program, CLUB, "--if-new", workshop=workshop) as serving:
            text = fetch(serving.port, "GET", "/api/jobs/1/document").body
            edited = text.replace(b'"count": 6', b'"count": 7', 1)
            checks.that(edited != text, "there is something to edit")
            saved = fetch(serving.port, "PUT", "/api/jobs/1/document", edited,
                          {"Content-Type": "application/json", "If-Match": '"1"'})
            checks.that(saved.status == 200, "it is edited")
        with Serving(program, CLUB, "--if-new", workshop=workshop) as serving:
            checks.that(fetch(serving.port, "GET", "/api/jobs/1/document").body == edited and
                        serving.address.endswith("?job=1"), "the next time it is as it was left")
            jobs = fetch(serving.port, "GET", "/api/jobs").json["jobs"]
            checks.that(len(jobs) == 1, "and there is one of it")
        with Serving(program, CLUB, workshop=workshop) as serving:
            checks.that(fetch(serving.port, "GET", "/api/jobs/1/document").body == text,
                        "without --if-new the file counts")


def the_usual_port_may_be_taken(checks, program):
    """Whoever has 7420 keeps it."""
    with tempfile.TemporaryDirectory() as folder:
        begun = []
        for i in range(2):
            process = subprocess.Popen([program, "serve", "--workshop", f"{folder}/{i}.db"],
                                       stdout=subprocess.PIPE, text=True)
            begun.append((process, process.stdout.readline().split()[-1]))
        checks.that(begun[0][1] != begun[1][1], f"two of them are open: {begun[0][1]} {begun[1][1]}")
        for process, _ in begun:
            process.send_signal(signal.SIGINT)
            process.stdout.read()
            checks.that(process.wait(timeout=60) == 0, "each ends in order")


def main():
    program = sys.argv[1]
    checks = Checks()
    with_a_desktop(checks, program)
    without(checks, program)
    what_was_edited_stays(checks, program)
    the_usual_port_may_be_taken(checks, program)
    checks.end()


if __name__ == "__main__":
    main()
