"""Pages for buying measured on the finished PDF: the chart of chances is read back by the
numbers at its axes, and bars by their length.

Outside sources: poppler (pdfinfo, pdffonts, pdftotext, pdftocairo), a general PDF reader; ISO 216
and 8 1/2 x 11 in. Figures to compare with come from the trials themselves, not from the page.
"""
import json
import pathlib
import re
import sys
import xml.etree.ElementTree as ElementTree

from program import Checks, folder
from template_pdf import MM_PER_PT, page_sizes_mm, strokes, tool

CHART_PT = 0.7 / MM_PER_PT  # docs/paper.md, layer `chart`
BAND_PT = 0.15 / MM_PER_PT  # docs/paper.md, layer `band`
WHITE_MM = 8  # docs/paper.md: what printers leave white
SIZES = {"buying-a4.pdf": (210, 297), "buying-letter.pdf": (8.5 * 25.4, 11 * 25.4),
         "buying-metric.pdf": (210, 297), "buying-long.pdf": (210, 297)}
HTML = "{http://www.w3.org/1999/xhtml}"


def words_mm(path, page):
    """(text, left, low, right, high) of each word of a page, y up."""
    text = tool("pdftotext", "-bbox", "-f", str(page), "-l", str(page), path, "-")
    root = ElementTree.fromstring(re.sub(r"[\x00-\x08\x0b\x0c\x0e-\x1f]", "", text))
    for sheet in root.iter(HTML + "page"):
        height = float(sheet.get("height"))
        for word in sheet.iter(HTML + "word"):
            box = {key: float(word.get(key)) for key in ("xMin", "yMin", "xMax", "yMax")}
            yield (word.text, box["xMin"] * MM_PER_PT, (height - box["yMax"]) * MM_PER_PT,
                   box["xMax"] * MM_PER_PT, (height - box["yMin"]) * MM_PER_PT)


def titles(path, count):
    return [tool("pdftotext", "-f", str(p), "-l", str(p), path, "-").splitlines()[0]
            for p in range(1, count + 1)]


def check_paper(checks, path):
    sizes = page_sizes_mm(path)
    for page, size in enumerate(sizes, 1):
        checks.that(all(abs(a - b) < 0.01 for a, b in zip(sorted(size), SIZES[path.name])),
                    f"{path.name} page {page}: {size[0]:.2f} x {size[1]:.2f} mm")
        off = [word for word in words_mm(path, page)
               if word[1] < WHITE_MM or word[2] < WHITE_MM
               or word[3] > size[0] - WHITE_MM or word[4] > size[1] - WHITE_MM]
        checks.that(not off, f"{path.name} page {page}: all words within the page {off[:2]}")
    fonts = tool("pdffonts", path).splitlines()[2:]
    checks.that(fonts and all(" yes yes yes " in line for line in fonts),
                f"{path.name}: fonts are embedded")
    return titles(path, len(sizes))


class Scale:
    """Places on a page as values, by two numbers that stand at an axis."""

    def __init__(self, numbers):
        (self.value, self.at), (value, at) = min(numbers), max(numbers)
        self.unit = (value - self.value) / (at - self.at)

    def __call__(self, at):
        return self.value + (at - self.at) * self.unit


def scales(path, page, curve):
    """Numbers below the curve's lowest point, and left of its first."""
    left = min(x for x, _ in curve)
    low = min(y for _, y in curve)
    across, up = [], []
    for text, x0, y0, x1, y1 in words_mm(path, page):
        if not re.fullmatch(r"\d+(\.\d+)?", text):
            continue
        if low - 7 < y1 < low and x0 > left - 5:
            across.append((float(text), (x0 + x1) / 2))
        elif left - 9 < x0 and x1 < left and low - 3 < y0:
            up.append((float(text), (y0 + y1) / 2))
    return Scale(across), Scale(up)


def check_chart(checks, path, told):
    found = strokes(path, 1)
    curve = max((points for width, points in found if abs(width - CHART_PT) < 0.01), key=len)
    band = max((points for width, points in found if abs(width - BAND_PT) < 0.01), key=len)
    across, up = scales(path, 1, curve)
    checks.near(up(max(y for _, y in curve)), 100 * max(row[1] for row in told), 1,
                "the curve ends where the trials end")
    by_area = {round(2 * row[0]): row for row in told}
    worst = worst_band = 0
    for x, y in curve:
        row = by_area[round(2 * across(x))]
        worst = max(worst, abs(up(y) - 100 * row[1]), 20 * abs(across(x) - row[0]))
    for x, y in band[:2 * len(curve)]:
        row = by_area[round(2 * across(x))]
        worst_band = max(worst_band, min(abs(up(y) - 100 * row[2]), abs(up(y) - 100 * row[3])))
    checks.that(len(curve) > 60, f"the curve has {len(curve)} points")
    # Numbers at the axes are placed by their boxes, which pdftotext rounds up to a line's height.
    checks.near(worst, 0, 0.6, "every point of the curve is what the trials say, in 100")
    checks.near(worst_band, 0, 0.6, "and every point of the band is its interval")


def check_bars(checks, path, page, costs):
    bars = [points for width, points in strokes(path, page)
            if abs(width - CHART_PT) < 0.01 and len(points) >= 4]
    lengths = [max(x for x, _ in points) - min(x for x, _ in points) for points in bars]
    checks.that(len(lengths) == len(costs), f"{len(lengths)} bars for {len(costs)} offers")
    for length, cost in zip(lengths, costs):
        checks.near(length / lengths[0], cost[0] / costs[0][0], 1e-3, "a bar is as long as its bill")
    text = tool("pdftotext", "-f", str(page), "-l", str(page), path, "-")
    for _, expected in costs:
        checks.that(f"{expected:.2f} EUR" in text, f"{expected:.2f} EUR stands at a bar")


def main():
    checks = Checks()
    with folder() as name:
        told = json.loads(tool(sys.argv[1], name))
        found = {file: check_paper(checks, pathlib.Path(name) / file) for file in SIZES}
        first = pathlib.Path(name) / "buying-a4.pdf"
        check_chart(checks, first, told["curve"])
        offers = found["buying-a4.pdf"].index("Offers side by side") + 1
        check_bars(checks, first, offers, told["costs"])
        checks.that("Offers side by side" not in found["buying-metric.pdf"], "no offers, no page")
        for file, pages in found.items():
            checks.that([p for p in dict.fromkeys(pages) if p != "Offers side by side"]
                        == ["What to ask for and buy", "Which leather", "In the shop", "Hides seen"],
                        f"{file}: pages in their order")
        metric = tool("pdftotext", str(pathlib.Path(name) / "buying-metric.pdf"), "-")
        checks.that("were stopped before the answer was as precise as" in " ".join(metric.split()),
                    "trials that were stopped say so")
    checks.end()


if __name__ == "__main__":
    main()
