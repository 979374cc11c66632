#!/usr/bin/env python3
"""Random hides against the published figures that they are drawn from.

    population.py PROGRAM       PROGRAM is build-main/tests/outside/population_hides

Laws are tested as such: chi-square for counts and shares, Kolmogorov and Smirnov's distance for
sizes and areas, with the bound of Dvoretzky, Kiefer and Wolfowitz (Massart 1990), each at a level
of 1e-8. There are fewer than 70 such checks, so that a sound program fails less than once in a
million seeds; the seed is fixed besides. What each check would find is said with it, as the size
of an error that it misses less than once in a thousand times.

Figures found on six hides are known to their standard error only. Those checks allow for three of
them, or what else is said.

Sources: Baldacci et al. 2014 (statistics of their hides: docs/population.md), McKenna et al.
2002 and the National Beef Quality Audit of 2005 (brands), Steiner's formula (hides free of flaws:
Santalo, Integral Geometry and Geometric Probability, 2nd ed. 2004, chapters 1 and 6).
"""
import json
import math
import random
import statistics
import subprocess
import sys

from shapely.affinity import rotate, translate
from shapely.geometry import MultiPoint, Point, Polygon, box
from shapely.ops import unary_union
from shapely.prepared import prep

from program import Checks

LEVEL = 1e-8
SIGMAS = 5.73  # of a normal number: passed with a chance of 1e-8 on both sides
WHOLE_M2 = 4.85
FEW = ("edge_cuts=0", "spots=0")  # where they do not matter: less to print and read


def hides(program, grade, form, area, count, *options):
    answer = subprocess.run([program, grade, form, str(area), str(count), *options], check=True,
                            capture_output=True, text=True).stdout
    return [json.loads(line) for line in answer.splitlines()]


# Laws, written anew.

def normal_share(z):
    return 0.5 * math.erfc(-z / math.sqrt(2))


def cut_normal_share(z, most):
    """Share below z of a normal number that is known to lie within `most`."""
    if abs(z) >= most:
        return 0.0 if z < 0 else 1.0
    low = normal_share(-most)
    return (normal_share(z) - low) / (1 - 2 * low)


def poisson(mean):
    return lambda k: math.exp(k * math.log(mean) - mean - math.lgamma(k + 1))


def negative_binomial(mean, k0):
    def chance(k):
        return math.exp(math.lgamma(k + k0) - math.lgamma(k0) - math.lgamma(k + 1)
                        + k0 * math.log(k0 / (k0 + mean)) + k * math.log(mean / (k0 + mean)))
    return chance


def chi_square_tail(chi2, freedom):
    """Chance of at least `chi2`: the upper incomplete gamma function, by its series or its
    continued fraction (Abramowitz and Stegun 1964, 6.5.29 and 6.5.31)."""
    a, x = freedom / 2, chi2 / 2
    if x <= 0:
        return 1.0
    front = math.exp(a * math.log(x) - x - math.lgamma(a))
    if x < a + 1:
        term = total = 1 / a
        n = a
        while term > total * 1e-15:
            n += 1
            term *= x / n
            total += term
        return 1 - front * total
    fraction = 0.0
    for i in range(300, 0, -1):
        fraction = i * (i - a) / (x + 2 * i + 1 - a - fraction)
    return front / (x + 1 - a - fraction)


class Tests(Checks):
    """Checks at the level of this file."""

    def shares(self, found, wanted, claim):
        """Numbers found of some kinds against their chances."""
        total = sum(found)
        chi2 = sum((f - total * w) ** 2 / (total * w) for f, w in zip(found, wanted))
        tail = chi_square_tail(chi2, len(found) - 1)
        self.that(tail > LEVEL, f"{claim} (n {total}, chi2 {chi2:.1f}, p {tail:.2g})")

    def counts(self, values, chance, claim):
        """Counts against a law, in bins of at least 8 expected ones."""
        bins, wanted, reach, share = [0], [0.0], 0, 0.0
        ends = []
        while share < 1 - 8 / len(values) - 1e-12:
            wanted[-1] += chance(reach)
            share += chance(reach)
            if wanted[-1] * len(values) >= 8:
                ends.append(reach)
                wanted.append(0.0)
            reach += 1
        ends.append(math.inf)
        wanted[-1] = 1 - sum(wanted[:-1])
        bins = [0] * len(wanted)
        for value in values:
            bins[next(i for i, end in enumerate(ends) if value <= end)] += 1
        self.shares(bins, wanted, claim)

    def law(self, values, share_below, claim):
        """Values against a continuous law; jumps of it may be at its ends only."""
        values = sorted(values)
        n = len(values)
        far = max(max((i + 1) / n - share_below(v), share_below(v) - i / n)
                  for i, v in enumerate(values))
        limit = math.sqrt(-math.log(LEVEL / 2) / (2 * n))
        self.that(far <= limit, f"{claim} (n {n}, distance {far:.3f} of {limit:.3f})")

    def mean(self, values, wanted, allowed, claim):
        """A mean, within `allowed` besides its own chance."""
        error = statistics.stdev(values) / math.sqrt(len(values))
        self.near(statistics.mean(values), wanted, allowed + SIGMAS * error, claim)


def number_of(hide, kind):
    return sum(flaw["as"] == kind for flaw in hide["flaws"])


def check_brands(tests, program):
    # Finds a chance of a brand that is off by 6 percentage points, that of a place by 7.
    n = 6000
    surveys = (
        ("2000", "lively", (0.507, 0.087), (0.493, 0.462, 0.044), (0.363, 0.137, 0.036)),
        ("2005", "sound", (0.387, 0.093), (0.613, 0.351, 0.036), (0.265, 0.074, 0.012)),
    )
    for year, grade, chances, numbers, places in surveys:
        drawn = hides(program, grade, "whole", WHOLE_M2, n, "points=0", "seed=20", *FEW,
                      f"branded={chances[0]}", f"second_brand={chances[1]}")
        brands = [[flaw["place"] for flaw in hide["flaws"] if flaw["as"] == "brand"]
                  for hide in drawn]
        found = [sum(len(b) == k for b in brands) for k in range(3)]
        tests.shares(found, [share / sum(numbers) for share in numbers],
                     f"brands on a hide, none, one, two, as published for {year}")
        mean = numbers[1] + 2 * numbers[2]
        tests.mean([len(b) for b in brands], mean, 0.005, f"brands per hide, {year}")
        for place, share in enumerate(places):
            if year == "2000":  # hides with a brand there
                on = sum(place in b for b in brands) / n
            else:  # of hides with one brand, whose shares they add up to
                on = sum(b == [place] for b in brands) / n
            # Rounding of the published shares, and the one chance for three of them.
            tests.near(on, share, 0.01 + SIGMAS * math.sqrt(share / n),
                       f"hides with a brand at place {place}, {year}")


def check_counts(tests, program):
    # Finds a mean number of edge cuts that is off by 5 % (Poisson) or 6 %, a dispersion three times
    # as large or a third, a chance off by 6 percentage points.
    n = 3000
    capped = hides(program, "sound", "whole", WHOLE_M2, n, "points=0", "seed=21",
                   "unusable_shanks=1")
    graded = hides(program, "sound", "whole", WHOLE_M2, n, "points=0", "seed=22",
                   "unusable_shanks=0")
    both = capped + graded
    tests.counts([number_of(h, "edge cut") for h in capped], poisson(22),
                 "cuts of the edge where shanks are useless: Poisson, 22")
    tests.counts([number_of(h, "edge cut") for h in graded], negative_binomial(40.7, 27.7),
                 "cuts of the edge elsewhere: negative binomial, 40.7, 27.7")
    tests.counts([number_of(h, "hind patch") for h in graded], poisson(2 * 2.33),
                 "patches on both hind shanks: Poisson, 4.66")
    tests.that(all(number_of(h, "hind shank") == 2 for h in capped)
               and not any(number_of(h, "hind shank") for h in graded), "hind shanks as a whole")
    fore = [number_of(h, "fore shank") for h in capped]
    tests.shares([fore.count(k) for k in range(3)], [0.333 ** 2, 2 * 0.667 * 0.333, 0.667 ** 2],
                 "fore shanks as a whole: two of three")
    for kind, chance in (("flank pocket", 5 / 6), ("neck zone", 0.5)):
        have = sum(number_of(h, kind) > 0 for h in both)
        tests.shares([have, 2 * n - have], [chance, 1 - chance], f"hides with a {kind}")
    bands = [number_of(h, "belly band") for h in both]
    tests.shares([bands.count(k) for k in range(3)],
                 [(1 / 12) ** 2, 2 * 11 / 144, (11 / 12) ** 2], "bands along the bellies: 11 of 12")
    # On half of the hides a Poisson number on either half.
    armpit = poisson(2 * 1.83)
    tests.counts([number_of(h, "armpit") for h in both],
                 lambda k: 0.5 * armpit(k) + (0.5 if k == 0 else 0), "soft areas behind the fore legs")
    zones = [f["class"] for h in both for f in h["flaws"] if f["as"] == "neck zone"]
    tests.shares([zones.count(k) for k in (0, 1, 3)], [1 / 3] * 3, "classes of zones over the neck")
    cuts = [f["class"] for h in both for f in h["flaws"] if f["as"] == "edge cut"]
    total = 0.904 + 0.0691 + 0.0266
    tests.shares([cuts.count(k) for k in range(3)], [0.904 / total, 0.0691 / total, 0.0266 / total],
                 "classes of cuts of the edge")
    # Found on six hides: 57.7 +- 6.7 flaws (brands are not among them), sd 16.3; 13.0 +- 2.1 spots
    # of dispersion 12.2, so sd 5.2.
    flaws = [len(h["flaws"]) - number_of(h, "brand") for h in both]
    tests.mean(flaws, 57.7, 6.7, "flaws per hide as found")
    tests.near(statistics.stdev(flaws), 16.3, 5, "their standard deviation as found")
    spots = [number_of(h, "spot") for h in both]
    tests.mean(spots, 13.0, 2.1, "spots per hide as found")
    tests.near(statistics.stdev(spots), 5.2, 2, "their standard deviation as found")


def check_areas(tests, program):
    # Finds a spread of the areas that is off by two fifths, a bias of a quarter of it.
    n = 2500
    for form, area in (("whole", WHOLE_M2), ("side", 2.4)):
        drawn = hides(program, "sound", form, area, n, "points=0", "seed=23", "lot", *FEW)
        tests.law([(h["area"] / h["stamped"] - 1) / 0.01 for h in drawn],
                  lambda z: cut_normal_share(z, 2.5), f"true against stamped area, {form}: sd 1 %")
        sd = 0.043
        tests.law([(math.log(h["stamped"] / area / 1e6) + sd * sd / 2) / sd for h in drawn],
                  lambda z: cut_normal_share(z, 2.5), f"stamped areas of a lot, {form}: sd 4.3 %")
        right = sum(h["right"] for h in drawn)
        if form == "side":
            tests.shares([n - right, right], [0.5, 0.5], "left and right sides")
        else:
            tests.that(right == 0, "whole hides are no sides")


def check_shapes(tests, program):
    # Finds a mean that is off by one and a half standard deviations of the hides found, for it is
    # not known any better.
    drawn = hides(program, "sound", "whole", WHOLE_M2, 500, "seed=24")
    rings = [Polygon(h["outline"]) for h in drawn]
    tests.that(all(ring.is_valid for ring in rings), "outlines are simple polygons")
    tests.that(all(abs(ring.area / h["area"] - 1) < 1e-4 for ring, h in zip(rings, drawn)),
               "areas are those of the outlines")
    values = {"area / L2": [], "width / L": [], "length / L": [], "area / bounding box": [],
              "area / hull": [], "edge2 / area": []}
    for ring, hide in zip(rings, drawn):
        x0, y0, x1, y1 = ring.bounds
        length = hide["backbone"]
        for name, value in zip(values, (ring.area / length ** 2, (y1 - y0) / length,
                                        (x1 - x0) / length, ring.area / (x1 - x0) / (y1 - y0),
                                        ring.area / ring.convex_hull.area,
                                        ring.length ** 2 / ring.area)):
            values[name].append(value)
    fill = values["area / bounding box"]
    tests.that(0.62 <= min(fill) and max(fill) <= 0.80,
               f"area / bounding box within 0.62 to 0.80: {min(fill):.3f} to {max(fill):.3f}")
    found = (("area / L2", 1.020, 0.082, 0.033), ("width / L", 1.247, 0.0725, 0.0296),
             ("length / L", 1.159, 0.0236, 0.0096), ("area / bounding box", 0.7056, 0.0257, 0.0105),
             ("area / hull", 0.8231, 0.0178, 0.0073), ("edge2 / area", 27.12, 1.63, 0.66))
    for name, mean, sd, error in found:
        tests.mean(values[name], mean, 3 * error, f"{name} as found")
        # Six hides give a spread to no better than a third.
        ratio = statistics.stdev(values[name]) / sd
        tests.that(0.6 < ratio < 1.7, f"spread of {name} as found: {ratio:.2f} of it")


def worst_first(flaws, outline):
    """Share of the outline in each class, the worst counting where they overlap."""
    shares, done = [], Polygon()
    for quality in range(4):
        areas = [ring for flaw, ring in flaws if flaw["class"] == quality]
        union = unary_union(areas + [done])
        shares.append((union.area - done.area) / outline.area)
        done = union
    return shares, done


def check_flaws(tests, program):
    drawn = hides(program, "sound", "whole", WHOLE_M2, 120, "seed=25")
    touching, near, full, by_class, within = [], [], [], [], []
    valid = True
    for hide in drawn:
        outline = Polygon(hide["outline"])
        edge = outline.exterior
        flaws = []
        for flaw in hide["flaws"]:
            ring = Polygon(flaw["ring"])
            valid = valid and ring.is_valid
            ring = ring.intersection(outline)
            if flaw["as"] != "brand" and ring.area > 1:
                flaws.append((flaw, ring))
        touching.append(statistics.mean(ring.distance(edge) < 0.01 for _, ring in flaws))
        near.append(statistics.mean(ring.distance(edge) < 20 for _, ring in flaws))
        shares, done = worst_first(flaws, outline)
        by_class.append(shares)
        full.append(1 - done.area / outline.area)
        _, bad = worst_first([f for f in flaws if f[0]["class"] < 3], outline)
        inner = [bad.intersection(outline.buffer(-part * hide["backbone"])).area / bad.area
                 for part in (0.03, 0.10)]
        within.append([1 - share for share in inner])
    tests.that(valid, "flaws are simple polygons")
    # Standard errors of the six hides: 0.04; 1.2 %; 1.2, 0.6, 0.5, 1.2 %.
    tests.mean(touching, 0.51, 0.08, "about half of the flaws cut the edge")
    tests.mean(near, 0.71, 0.08, "share of flaws within 20 mm of the edge")
    tests.mean(full, 0.907, 0.036, "share of the area of full quality")
    for quality, (share, error) in enumerate(((3.5, 1.2), (1.3, 0.6), (2.7, 0.5), (1.8, 1.2))):
        tests.mean([100 * s[quality] for s in by_class], share, 3 * error,
                   f"share of the area in class {quality}, %")
    # Found without a standard error; a tenth is allowed.
    tests.mean([w[0] for w in within], 0.5, 0.1, "bad area within 0.03 L of the edge")
    tests.mean([w[1] for w in within], 0.89, 0.1, "bad area within 0.10 L of the edge")


def check_sizes(tests, program):
    # Sizes at the greatest found, where many are cut, are left out. Corners and blotches make an
    # area up to 4 % larger or smaller than drawn, and so d by 2 %. Finds a median that is off by
    # 10 % (pockets) or by half (neck).
    drawn = hides(program, "sound", "whole", WHOLE_M2, 900, "seed=26", *FEW)
    laws = {"flank pocket": (5.4, 0.278, 5.98), "neck zone": (5.92, 0.686, 6.51)}
    for kind, (mean, sd, most) in laws.items():
        most -= 0.06
        sizes = [math.log(math.sqrt(4 * Polygon(f["ring"]).area / math.pi))
                 for h in drawn for f in h["flaws"] if f["as"] == kind]
        below = cut_normal_share((most - mean) / sd, 2)
        tests.shares([sum(x < most for x in sizes), sum(x >= most for x in sizes)],
                     [below, 1 - below], f"sizes of a {kind} short of the greatest")
        tests.law([x for x in sizes if x < most],
                  lambda x: min(1.0, cut_normal_share((x - mean) / sd, 2) / below),
                  f"sizes of a {kind}")


def spots_within(hide, window):
    spots = [Polygon(f["ring"]).convex_hull for f in hide["flaws"] if f["as"] == "spot"]
    return [s for s in spots if s.intersects(window)]


def sum_of(spot, probe):
    """Places of a probe, by its middle, where it meets a convex spot."""
    return MultiPoint([(x - u, y - v) for x, y in spot.exterior.coords
                       for u, v in probe.exterior.coords]).convex_hull


def cluster_area(probe, spots, spread):
    """Mean area of the places where a probe meets a cluster of spots: for one round spot of radius
    r by Steiner's formula a + p r + pi r2, for more of them by laying them out."""
    rng = random.Random(7)
    areas = []
    for _ in range(2000):
        further, chance, term = 0, rng.random(), math.exp(-0.3)
        while chance >= term:  # Poisson, 0.3
            chance -= term
            further += 1
            term *= 0.3 / further
        radius = rng.choice(spots)
        if further == 0:
            areas.append(probe.area + probe.length * radius + math.pi * radius ** 2)
            continue
        grown = [probe.buffer(radius, 8)]
        for _ in range(further):
            grown.append(translate(probe.buffer(rng.choice(spots), 8), rng.gauss(0, spread),
                                   rng.gauss(0, spread)))
        areas.append(unary_union(grown).area)
    return statistics.mean(areas)


def check_free_places(tests, program):
    """Chance that a piece laid anywhere in the middle of a hide is free of spots.

    Spots there come in clusters whose first ones are spread evenly. Given that n spots lie in a
    window, a place of which no spot may come near is free of each of n / 1.3 clusters with a chance of
    1 - swept / window. The free share of each hide is measured, not sampled. 2 % are allowed for
    clusters across the window's border. Finds a swept area that is off by a fifth: probes grown by
    a radius that is wrong by 16 mm, spots that crowd."""
    rng = random.Random(8)
    drawn = hides(program, "sound", "whole", WHOLE_M2, 500, "seed=27", "spots=10", "edge_cuts=0")
    probes = {"disc": Point(0, 0).buffer(150, 8), "rectangle": box(-200, -110, 200, 110)}
    windows, spots = [], []
    for hide in drawn:
        length = hide["backbone"]
        windows.append(box(0.28 * length, -0.22 * length, 0.78 * length, 0.22 * length))
        spots.append(spots_within(hide, windows[-1]))
    # A round spot meets as much on average as any convex one of its perimeter, but for the areas.
    radii = [s.length / (2 * math.pi) for group in spots for s in group]
    for name, probe in probes.items():
        area = cluster_area(probe, radii, 1.4 * 44)
        free, wanted = [], []
        for window, group in zip(windows, spots):
            laid = rotate(probe, rng.uniform(0, 360), origin=(0, 0))
            places = window.buffer(-250)
            met = unary_union([sum_of(s, laid) for s in group]).intersection(places)
            free.append(1 - met.area / places.area)
            number = sum(window.contains(s.centroid) for s in group)
            wanted.append((1 - area / window.area) ** (number / 1.3))
        tests.mean([f - w for f, w in zip(free, wanted)], 0, 0.02 * statistics.mean(wanted),
                   f"places of a {name} free of spots, {statistics.mean(free):.3f}, "
                   f"by Steiner's formula {statistics.mean(wanted):.3f}")


def check_density(tests, program):
    """Spots inside lie evenly over what is deeper than 0.1 L and not at the root of the tail. 3 % are
    allowed for clusters across its border. Finds a middle that has a tenth more or fewer."""
    drawn = hides(program, "sound", "whole", WHOLE_M2, 250, "seed=28", "spots=10", "edge_cuts=0")
    gaps, wanted = [], []
    for hide in drawn:
        length = hide["backbone"]
        inner = Polygon(hide["outline"]).buffer(-0.1 * length)
        inner = inner.difference(box(-0.3 * length, -0.1 * length, 0.15 * length, 0.1 * length))
        window = box(0.28 * length, -0.22 * length, 0.78 * length, 0.22 * length)
        middles = [s.centroid for s in spots_within(hide, inner)]
        number = sum(map(prep(inner).contains, middles))
        within = sum(map(prep(window).contains, middles))
        gaps.append(within - number * window.area / inner.area)
        wanted.append(number * window.area / inner.area)
    usual = statistics.mean(wanted)
    tests.mean([gap / usual for gap in gaps], 0, 0.03, "spots in the middle of the hide against those all over its inside")


def main():
    program = sys.argv[1]
    tests = Tests()
    for check in (check_brands, check_counts, check_areas, check_shapes, check_flaws, check_sizes,
                  check_free_places, check_density):
        check(tests, program)
    tests.end()


main()
