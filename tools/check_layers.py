#!/usr/bin/env python3
"""Holds the include table of docs/architecture.md true.

Reads every #include in src/ and says which module includes what it must not.
"""
import pathlib
import re
import sys

ALL = {"base", "plane", "seat", "hide", "layout", "cutting", "buying", "job", "paper", "store"}
MAY = {
    "base": set(),
    "plane": {"base"},
    "seat": {"base", "plane"},
    "hide": {"base", "plane"},
    "layout": {"base", "plane"},
    "cutting": {"base", "plane", "seat", "hide", "layout"},
    "buying": {"base", "plane", "seat", "hide", "layout", "cutting"},
    "job": {"base", "plane", "seat", "hide", "cutting", "buying"},
    "paper": {"base", "plane", "seat", "hide", "layout", "cutting", "buying", "job"},
    "store": {"base", "job"},
    "plan": ALL,
    "serve": {"base", "job", "plan", "store"},
    "cli": {"base", "job", "plan", "serve", "store"},
}
# A third-party library is included in exactly one module.
LIBRARY = {
    "geos_c": "plane",
    "jansson": "job",
    "cairo": "paper",
    "pango": "paper",
    "sqlite": "store",
    "microhttpd": "serve",
    "qrencode": "serve",
}
# The middle has no files, clock, threads or printing of its own.
PURE = {"base", "plane", "seat", "hide", "layout", "cutting", "buying", "job", "paper"}
THREADS = "base/workers.c"  # the only file that may start some
IMPURE = re.compile(r"\b(fopen|printf|puts|time|clock_gettime|pthread_create|setlocale|getenv)\(")


def complaints(root):
    for path in sorted(root.glob("*/*.[ch]")):
        module = path.parent.name
        if module not in MAY:
            yield f"{path}: module \"{module}\" is not in the table"
            continue
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
            own = re.match(r'\s*#\s*include\s+"([^/"]+)/', line)
            if own and own[1] != module and own[1] not in MAY[module]:
                allowed = ", ".join(sorted(MAY[module])) or "the C library"
                yield f'{path}:{number}: module "{module}" includes "{own[1]}"\n  allowed: {allowed}'
            library = re.match(r"\s*#\s*include\s+<([a-z_]+)", line)
            if library and LIBRARY.get(library[1], module) != module:
                yield (f'{path}:{number}: module "{module}" includes <{library[1]}>\n'
                       f'  allowed: only in "{LIBRARY[library[1]]}"')
            if module in PURE and not line.lstrip().startswith(("//", "*")):
                call = IMPURE.search(line)
                started = call and call[1] == "pthread_create" and str(path).endswith(THREADS)
                if call and not started:
                    yield f'{path}:{number}: module "{module}" calls {call[1]}; it must stay pure'


def main():
    root = pathlib.Path(sys.argv[1] if len(sys.argv) > 1 else "src")
    found = list(complaints(root))
    print("\n".join(found) if found else "include table holds")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
