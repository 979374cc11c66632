#!/usr/bin/env python3
"""Puts the program's real answers into README.md, or checks that they are current.

  fill_readme.py PROGRAM [--check]

A block that begins with a line `$ ./run WORDS` is followed by what the program prints for
WORDS; the job `hall.json` is the example of the README itself with one slip put in.
"""
import json
import pathlib
import re
import subprocess
import sys
import tempfile

ROOT = pathlib.Path(__file__).resolve().parents[1]


def hall_job(readme):
    """The README's own example job, which must be good, and a copy with slips in it."""
    job = json.loads(re.search(r"```json\n(.*?)```", readme, re.S)[1])
    slip = json.loads(json.dumps(job))
    frame = slip["seats"][0]["frame"]
    frame["dept"] = frame.pop("depth")
    frame["front"] = 185
    return job, slip


def answer(program, folder, words):
    done = subprocess.run([program, *words.split()], cwd=folder, capture_output=True, text=True,
                          check=False)
    return (done.stdout + done.stderr).rstrip("\n")


def main():
    program = str(pathlib.Path(sys.argv[1]).resolve())
    path = ROOT / "README.md"
    readme = path.read_text(encoding="utf-8")
    with tempfile.TemporaryDirectory() as folder:
        good, slip = hall_job(readme)
        (pathlib.Path(folder) / "good.json").write_text(json.dumps(good), encoding="utf-8")
        (pathlib.Path(folder) / "hall.json").write_text(json.dumps(slip), encoding="utf-8")
        (pathlib.Path(folder) / "examples").symlink_to(ROOT / "examples")
        if "is good" not in answer(program, folder, "check good.json"):
            sys.exit("README.md: the example job is not good")
        if "2 of 2 covers have a place" not in answer(program, folder, "lay good.json"):
            sys.exit("README.md: the covers of the example job find no place")

        def fill(block):
            return f"```text\n$ ./run {block[1]}\n{answer(program, folder, block[1])}\n```"

        filled = re.sub(r"```text\n\$ \./run ([^\n]*)\n.*?\n```", fill, readme, flags=re.S)
    if "--check" in sys.argv:
        if filled != readme:
            sys.exit("README.md is not current; run tools/make_pictures")
    else:
        path.write_text(filled, encoding="utf-8")


main()
