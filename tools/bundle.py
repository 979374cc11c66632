#!/usr/bin/env python3
"""Bundles the pages' TypeScript into one script, and says for ninja what it was made from.

usage: bundle.py ESBUILD IN.tsx OUT.js DEPFILE

Modules of others stand in web/vendor; their licences stand at the top of the script.
"""
import json
import os
import pathlib
import subprocess
import sys

VENDOR = pathlib.Path(__file__).resolve().parent.parent / "web" / "vendor"
OPTIONS = ["--bundle", "--minify", "--format=iife", "--target=es2022", "--charset=utf8", "--jsx=automatic",
           "--jsx-import-source=preact", "--legal-comments=none", "--log-level=warning"]


def main():
    esbuild, source, out, depfile = sys.argv[1:]
    licences = sorted(VENDOR.rglob("LICENSE"))
    banner = "\n\n".join(dict.fromkeys(path.read_text(encoding="utf-8").strip() for path in licences))
    meta = pathlib.Path(f"{out}.meta.json")
    made = subprocess.run([esbuild, source, f"--outfile={out}", f"--metafile={meta}", f"--banner:js=/*!\n{banner}\n*/", *OPTIONS],
                          env={**os.environ, "NODE_PATH": str(VENDOR)}, check=False)
    if made.returncode != 0:
        sys.exit(made.returncode)
    inputs = [pathlib.Path(name).resolve() for name in json.loads(meta.read_text(encoding="utf-8"))["inputs"]]
    names = " ".join(str(path).replace(" ", r"\ ") for path in [*inputs, *licences])
    pathlib.Path(depfile).write_text(f"{out}: {names}\n", encoding="utf-8")


if __name__ == "__main__":
    main()
