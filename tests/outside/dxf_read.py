"""DXF files read back and audited.

Outside source: ezdxf, a general DXF library with an auditor of its own. The points to
find come as JSON, from the cover and not from the file.
"""
import json
import math
import pathlib
import subprocess
import sys

import ezdxf

from program import ROOT, Checks, folder

LAYERS = ["HIDE", "REGION", "HATCH", "FLAW", "BACKBONE", "CUT", "TURN", "EDGE", "FACE", "TACK",
          "FRAME", "LEFT", "BAND", "CHART", "DIRECTION", "MARK", "TEXT", "RULE"]


def read(checks, path):
    document = ezdxf.readfile(path)
    audit = document.audit()
    checks.that(not audit.errors and not audit.fixes,
                f"{path.name}: no errors, nothing mended {audit.errors} {audit.fixes}")
    checks.that(document.dxfversion == "AC1009", f"{path.name}: R12")
    checks.that(document.header["$INSUNITS"] == 4, f"{path.name}: millimetres")
    for name in LAYERS:
        checks.that(name in document.layers, f"{path.name}: layer {name}")
        line = document.layers.get(name).dxf.linetype
        checks.that(line in document.linetypes, f"{path.name}: line type {line} is there")
    path.read_bytes().decode("ascii")
    return document


def points(polyline):
    return [tuple(vertex.dxf.location)[:2] for vertex in polyline.vertices]


def check_cover(checks, document, rings):
    low = [min(p[axis] for p in rings["cut_mm"]) for axis in (0, 1)]
    for name in ["CUT", "TURN", "EDGE", "FACE", "TACK", "FRAME"]:
        wanted = [(x - low[0], y - low[1]) for x, y in rings[name.lower() + "_mm"]]
        lines = list(document.modelspace().query(f'POLYLINE[layer=="{name}"]'))
        checks.that(len(lines) == 1 and lines[0].is_closed, f"one closed line on {name}")
        found = points(lines[0])
        checks.that(len(found) == len(wanted), f"{len(found)} of {len(wanted)} points")
        worst = max(math.dist(a, b) for a, b in zip(found, wanted))
        checks.near(worst, 0, 1e-3, f"greatest distance of a point of {name}, mm")
    ends = [document.header[name] for name in ("$EXTMIN", "$EXTMAX")]
    for axis in (0, 1):
        checks.near(ends[0][axis], 0, 1e-3, "extents begin at 0")
        high = max(p[axis] for p in rings["cut_mm"]) - low[axis]
        checks.near(ends[1][axis], high, 1e-3, "extents end at the cut")
    texts = [text.dxf.text for text in document.modelspace().query("TEXT")]
    checks.that(texts == ["A"], f"no words but the cover's name: {texts}")


def check_layer_table(checks, document):
    """The table of docs/paper.md against the layers of a file."""
    rows = [[cell.strip() for cell in line.strip("|\n").split("|")]
            for line in (ROOT / "docs" / "paper.md").read_text(encoding="utf-8").splitlines()
            if line.startswith("| `")]
    checks.that(len(rows) == len(LAYERS), "docs/paper.md lists all layers")
    for row in rows:
        layer = document.layers.get(row[0].strip("`").upper())
        checks.that(layer.dxf.color == int(row[4]), f"docs/paper.md on {row[0]}: colour {layer.dxf.color}")
        pattern = [abs(tag.value) for tag in document.linetypes.get(layer.dxf.linetype)
                   .pattern_tags.tags if tag.code == 49]
        wanted = [] if row[3] == "through" else [float(value) for value in row[3].split()]
        checks.that(pattern == wanted, f"docs/paper.md on {row[0]}: dash {pattern}")


def check_words(checks, document):
    text = document.modelspace().query("TEXT").first
    checks.that(ezdxf.lldxf.encoding.decode_dxf_unicode(text.dxf.text) == "café 50% \\U+0041 <&>",
                "words come back as they were")
    checks.near(text.dxf.height, 4, 1e-9, "height of a capital")
    checks.near(text.dxf.rotation, math.degrees(0.5), 1e-3, "words turn counter-clockwise")
    checks.that(text.dxf.halign == 1 and tuple(text.dxf.align_point)[:2] == (20, 10), "centred")
    shape = document.modelspace().query('POLYLINE[layer=="HIDE"]').first
    checks.that(shape.is_closed and points(shape)[1] == (50.1234, 5), "y runs up")
    line = document.modelspace().query('POLYLINE[layer=="TACK"]').first
    checks.that(not line.is_closed and len(points(line)) == 2, "an open line stays open")


def main():
    checks = Checks()
    with folder() as name:
        done = subprocess.run([sys.argv[1], name], capture_output=True, text=True, check=True)
        at = pathlib.Path(name)
        check_cover(checks, read(checks, at / "cover.dxf"), json.loads(done.stdout))
        check_layer_table(checks, read(checks, at / "layers.dxf"))
        check_words(checks, read(checks, at / "words.dxf"))
    checks.end()


if __name__ == "__main__":
    main()
