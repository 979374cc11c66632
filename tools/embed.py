#!/usr/bin/env python3
"""Puts files into the program: an assembler file with their bytes, and the table of them.

usage: embed.py OUT.S OUT.c NAME=FILE...

In HTML pages `{{file.css}}` becomes the address of the page asset of that name with its digest,
under which it may be kept for ever.
"""
import hashlib
import pathlib
import re
import sys

TYPES = {
    ".css": "text/css; charset=utf-8",
    ".html": "text/html; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".json": "application/json",
    ".svg": "image/svg+xml",
    ".webmanifest": "application/manifest+json",
}


def digest(data):
    return hashlib.sha256(data).hexdigest()[:16]


def addressed(page, digests):
    """The page with the addresses of its parts filled in."""
    def address(match):
        name = match[1]
        if name not in digests:
            sys.exit(f"embed.py: {{{{{name}}}}} names no page asset")
        return f"/{name}?digest={digests[name]}"
    return re.sub(r"\{\{([^{}]+)\}\}", address, page.decode()).encode()


def main():
    out_s, out_c = map(pathlib.Path, sys.argv[1:3])
    files = {}
    for word in sys.argv[3:]:
        name, path = word.split("=", 1)
        files[name] = pathlib.Path(path)
    data = {name: path.read_bytes() for name, path in files.items()}
    digests = {name.removeprefix("page/"): digest(data[name])
               for name in files if name.startswith("page/") and files[name].suffix != ".html"}
    code = ["    .section .rodata"]
    rows = []
    declared = []
    for i, (name, path) in enumerate(sorted(files.items())):
        if path.suffix not in TYPES:
            sys.exit(f"embed.py: {path}: no media type is known for {path.suffix}")
        if path.suffix == ".html":
            data[name] = addressed(data[name], digests)
        folder = pathlib.Path(f"{out_s}.d")
        folder.mkdir(exist_ok=True)
        copy = folder / f"{i}"
        copy.write_bytes(data[name])
        code += [f"    .global asset_bytes_{i}", f"asset_bytes_{i}:",
                 f'    .incbin "{copy.resolve()}"', "    .byte 0"]
        declared.append(f"extern const char asset_bytes_{i}[];")
        rows.append(f'    {{"{name}", "{TYPES[path.suffix]}", "\\"{digest(data[name])}\\"", '
                    f"asset_bytes_{i}, {len(data[name])}}},")
    code.append('    .section .note.GNU-stack,"",%progbits')
    out_s.write_text("\n".join(code) + "\n", encoding="utf-8")
    out_c.write_text("\n".join(
        ["// Made by tools/embed.py.", '#include "serve/assets.h"', "", *declared, "",
         "const Asset assets[] = {", *rows, "};",
         "const int asset_count = sizeof assets / sizeof assets[0];", ""]), encoding="utf-8")


if __name__ == "__main__":
    main()
