"""Templates measured on the finished PDF and SVG, as a printer would see them.

Outside sources: poppler (pdfinfo, pdftotext, pdftocairo), a general PDF reader; the
lengths of 100 mm and 4 in; ISO 216 (A4 is 210 x 297 mm) and 8 1/2 x 11 in; the size of the
cover worked out by hand from its measures. The XML parser is Python's own.
"""
import json
import math
import pathlib
import re
import subprocess
import sys
import xml.etree.ElementTree as ElementTree

from program import ROOT, Checks, folder

MM_PER_PT = 25.4 / 72
CUT_WIDTH_PT = 0.6 / MM_PER_PT  # docs/paper.md, layer `cut`
MARGIN_MM, STRIP_MM, OVERLAP_MM = 8, 16, 10  # docs/paper.md, templates
SVG = "{http://www.w3.org/2000/svg}"


def tool(*words):
    return subprocess.run(words, capture_output=True, text=True, check=True).stdout


def page_sizes_mm(path):
    sizes = re.findall(r"Page +\d+ size: +([\d.]+) x ([\d.]+)", tool("pdfinfo", "-f", "1", "-l", "99", path))
    return [(float(w) * MM_PER_PT, float(h) * MM_PER_PT) for w, h in sizes]


def strokes(path, page):
    """(width in pt, points in mm, y up) of all stroked paths of a page."""
    text = tool("pdftocairo", "-svg", "-noshrink", "-nocenter", "-f", str(page), "-l", str(page), path, "-")
    root = ElementTree.fromstring(text)
    height_mm = float(root.get("height").rstrip("pt")) * MM_PER_PT
    found = []
    for item in root.iter(SVG + "path"):
        style = item.get("style", "")
        width = re.search(r"stroke-width:([\d.]+)", style)
        if not width or "stroke:none" in style:
            continue
        moved = [float(v) for v in re.findall(r"[-\d.]+", item.get("transform", "1 0 0 1 0 0"))]
        numbers = [float(v) for v in re.findall(r"[-\d.]+", item.get("d"))]
        places = zip(numbers[0::2], numbers[1::2])
        points = [((moved[0] * x + moved[4]) * MM_PER_PT,
                   height_mm - (moved[3] * y + moved[5]) * MM_PER_PT) for x, y in places]
        found.append((float(width[1]), points))
    return found


def level_lengths(found):
    return [points[1][0] - points[0][0] for _, points in found
            if len(points) == 2 and abs(points[0][1] - points[1][1]) < 1e-3]


def closest(lengths, wanted):
    return min(lengths, key=lambda length: abs(length - wanted), default=math.nan)


def sheet_points(path, page, size_mm):
    """Points of the cut line on one sheet, in a frame that all sheets share."""
    words = tool("pdftotext", "-f", str(page), "-l", str(page), path, "-")
    row, column = re.search(r"Template A, sheet ([A-Z])(\d+)", words).groups()
    step_x = size_mm[0] - 2 * MARGIN_MM - OVERLAP_MM
    step_y = size_mm[1] - 2 * MARGIN_MM - STRIP_MM - OVERLAP_MM
    by_x, by_y = (int(column) - 1) * step_x, -(ord(row) - ord("A")) * step_y
    return [(x + by_x, y + by_y) for width, points in strokes(path, page)
            if abs(width - CUT_WIDTH_PT) < 0.01 for x, y in points]


def extent(points, axis):
    values = [point[axis] for point in points]
    return max(values) - min(values)


def hand_size_mm():
    """Width and depth of the sample's cut (tests/support/sample_cover.h) by trigonometry:
    arcs of radius 20 + 100 mm round centres 20 mm inside the front and the slanted sides."""
    front, back, depth, radius = 18 * 25.4, 15 * 25.4, 16 * 25.4, 20
    slope = (front - back) / 2 / depth
    centre = front / 2 - radius * slope - radius * math.hypot(1, slope)
    return 2 * (centre + radius + 100), depth + 200


def check_pdf(checks, path, paper_mm, cut):
    sizes = page_sizes_mm(path)
    checks.that(len(sizes) > 2, f"{path.name}: {len(sizes)} pages")
    for page, size in enumerate(sizes, 1):
        checks.that(all(abs(a - b) < 0.01 for a, b in zip(sorted(size), paper_mm)),
                    f"{path.name} page {page}: {size[0]:.2f} x {size[1]:.2f} mm")
        lengths = level_lengths(strokes(path, page))
        checks.near(closest(lengths, 100), 100, 0.1, f"{path.name} page {page}: 100 mm line")
        checks.near(closest(lengths, 101.6), 101.6, 0.1, f"{path.name} page {page}: 4 in line")
    points = [p for page, size in enumerate(sizes[1:], 2) for p in sheet_points(path, page, size)]
    hand = hand_size_mm()
    for axis, name in enumerate(["width", "depth"]):
        checks.near(extent(points, axis), extent(cut, axis), 0.02, f"{path.name}: {name} over the sheets")
        checks.near(extent(points, axis), hand[axis], 0.5, f"{path.name}: {name} by hand")
    # Shifted so that both begin at 0, every place of the cut is on a sheet.
    low = [min(p[axis] for p in points) - min(p[axis] for p in cut) for axis in (0, 1)]
    rounded = {(round((x - low[0]) * 20), round((y - low[1]) * 20)) for x, y in points}
    missing = [c for c in cut
               if not any((round(c[0] * 20) + i, round(c[1] * 20) + k) in rounded
                          for i in (-1, 0, 1) for k in (-1, 0, 1))]
    checks.that(not missing, f"{path.name}: all {len(cut)} corners of the cut are on sheets, "
                             f"{len(missing)} are not")


def check_document(checks, path):
    info = tool("pdfinfo", path)
    checks.that("Samples – café" in info, "the document has its title")
    checks.that("Sat Jan 31 00:00:00 2026 UTC" in tool("env", "TZ=UTC", "pdfinfo", path),
                "the document is dated by its job, not by the clock")
    fonts = tool("pdffonts", path).splitlines()[2:]
    checks.that(fonts and all("DejaVu" in line for line in fonts), "all letters are of the one font")
    checks.that(all(" yes yes yes " in line for line in fonts),
                "fonts are embedded, reduced, and can be read back as Unicode")
    words = tool("pdftotext", "-layout", path, "-")
    for wanted in ["How to put it together", "FRONT", "grain side up", "tack line", "cut here"]:
        checks.that(wanted in words, f'"{wanted}" can be searched')


def check_svg(checks, path, size_mm, groups):
    root = ElementTree.parse(path).getroot()
    checks.that(root.tag == SVG + "svg" and root.get("version") == "1.1", f"{path.name} is SVG 1.1")
    for name, wanted in zip(["width", "height"], size_mm):
        checks.that(root.get(name).endswith("mm"), f"{path.name}: {name} in mm")
        checks.near(float(root.get(name)[:-2]), wanted, 0.001, f"{path.name}: {name}")
    box = [float(value) for value in root.get("viewBox").split()]
    checks.that(box[:2] == [0, 0] and all(abs(a - b) < 0.001 for a, b in zip(box[2:], size_mm)),
                f"{path.name}: viewBox in mm")
    found = [group.get("id") for group in root.iter(SVG + "g") if group.get("id")]
    checks.that(found == groups, f"{path.name}: groups {found}")
    for group in root.iter(SVG + "g"):
        if group.get("id"):
            checks.that(group.get("class") == group.get("id") and group.find(SVG + "title").text,
                        f"{path.name}: group {group.get('id')} has class and title")
    return root


def check_layer_table(checks, path):
    """The table of docs/paper.md against what an SVG of all layers says."""
    rows = [[cell.strip() for cell in line.strip("|\n").split("|")]
            for line in (ROOT / "docs" / "paper.md").read_text(encoding="utf-8").splitlines()
            if line.startswith("| `")]
    groups = [group for group in ElementTree.parse(path).getroot().iter(SVG + "g") if group.get("id")]
    checks.that([row[0].strip("`") for row in rows] == [group.get("id") for group in groups],
                "docs/paper.md lists the layers in the order of drawing")
    for row, group in zip(rows, groups):
        found = [group.find(SVG + "title").text, f"{group.get('stroke-width')} mm",
                 group.get("stroke-dasharray", "through")]
        checks.that(found == row[1:4], f"docs/paper.md on {row[0]}: {found}")


def check_words(checks, root):
    text = next(root.iter(SVG + "text"))
    checks.that(text.text == "café 50% \\U+0041 <&>", "words come back as they were")
    checks.that(root.find(SVG + "title").text == "words & <signs>", "so does the title")
    turned = re.fullmatch(r"rotate\((\S+) 20 46\.7\)", text.get("transform"))
    checks.near(float(turned[1]), -math.degrees(0.5), 0.001, "words turn counter-clockwise")
    polygon = next(root.iter(SVG + "polygon"))
    checks.that(polygon.get("points") == "10,51.7 50.123,51.7 50.123,26.7 10,26.7",
                "places are turned over, with three decimals")


def main():
    checks = Checks()
    with folder() as name:
        cut = json.loads(tool(sys.argv[1], name))["cut_mm"]
        at = pathlib.Path(name)
        check_pdf(checks, at / "a4.pdf", (210, 297), cut)
        check_pdf(checks, at / "letter.pdf", (8.5 * 25.4, 11 * 25.4), cut)
        check_document(checks, at / "a4.pdf")
        check_svg(checks, at / "cover.svg", [extent(cut, 0), extent(cut, 1)],
                  ["cut", "turn", "edge", "face", "tack", "frame", "direction", "mark", "text"])
        check_layer_table(checks, at / "layers.svg")
        check_words(checks, check_svg(checks, at / "words.svg", [123.4, 56.7],
                                      ["hide", "tack", "text"]))
    checks.end()


if __name__ == "__main__":
    main()
