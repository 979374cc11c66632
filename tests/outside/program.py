"""Runs the program for the checks in this folder, and counts what held.

The checks speak to the program only through its documents, so that they can be
believed without reading its code.
"""
import json
import pathlib
import subprocess
import sys
import tempfile
import time

ROOT = pathlib.Path(__file__).resolve().parents[2]


class Checks:
    """Counts checks; prints those that fail; ends as TAP for the test runner."""

    def __init__(self):
        self.count = 0
        self.failures = 0

    def that(self, holds, claim):
        self.count += 1
        if not holds:
            self.failures += 1
        print(f"{'ok' if holds else 'not ok'} {self.count} - {' '.join(claim.splitlines())}")

    def near(self, found, wanted, tolerance, claim):
        self.that(abs(found - wanted) <= tolerance,
                  f"{claim}: {found:.6g}, wanted {wanted:.6g} +- {tolerance:g}")

    def end(self):
        print(f"1..{self.count}")
        sys.exit(1 if self.failures else 0)


def run(program, *words, job=None, status=(0,)):
    """Runs a command; `job` is a document given on standard input."""
    text = json.dumps(job) if job is not None else None
    done = subprocess.run([program, *words], input=text, capture_output=True, text=True, check=False)
    if done.returncode not in status:
        raise SystemExit(f"{words}: exit status {done.returncode}\n{done.stderr}\n{done.stdout}")
    return done.stdout


def ask(program, command, *options, job=None, path=None, status=(0,)):
    """The JSON answer of a command to a document or a file."""
    return json.loads(run(program, command, str(path) if path else "-", "--json", *options,
                          job=job, status=status))


def examples():
    return sorted((ROOT / "examples").rglob("*.json"))


def folder():
    return tempfile.TemporaryDirectory(prefix="seatwright-")


def wait_until_it_listens(running):
    """Until a program catches Ctrl-C; before that, the system ends it as any other."""
    for _ in range(6000):
        try:
            status = pathlib.Path(f"/proc/{running.pid}/status").read_text(encoding="ascii")
        except FileNotFoundError:
            return
        caught = next((line for line in status.splitlines() if line.startswith("SigCgt:")), "")
        if running.poll() is not None or (caught and int(caught.split()[1], 16) & 2):
            return
        time.sleep(0.01)
