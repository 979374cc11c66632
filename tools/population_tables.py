#!/usr/bin/env python3
"""Writes the tables of random hides as C from the statistics of real hides.

    tools/population_tables.py FOLDER > src/hide/population_tables.c

FOLDER holds shape.json and flaws.json. Shapes are rounded to 0.0001 of the backbone's length
(0.2 mm), which is a twentieth of their error; flaws keep the figures that they are given with.
Format the result with clang-format. docs/population.md says what the numbers mean.
"""
import json
import math
import pathlib
import sys

HEAD = """// Numbers that hides are drawn from, as tools/population_tables.py writes them; not to be
// changed by hand.
//
// Source: statistics (no outlines) of the six upholstery hides and, for the modes, eleven
// other hides published with Baldacci, Boschetti, Ganovelli and Maniezzo, "Algorithms for
// nesting with defects", Discrete Applied Mathematics 163 (2014) 17-33. docs/population.md.
#include "hide/population_tables.h"
"""


def number(value):
    return f"{value:.6g}"


def points(rows):
    return "{" + ", ".join(f"{{{x:.4f}, {y:.4f}}}".replace("-0.0000", "0.0000") for x, y in rows) + "}"


def modes(name, count, items):
    rows = ",\n".join(f"{{.sd = {m['sd_to_draw']['upholstery']}, .vector = {points(m['vector'])}}}"
                      for m in items)
    return f"const ShapeMode {name}[{count}] = {{\n{rows}}};\n"


def size(law):
    return f"{{{number(law['ln_mean'])}, {number(law['ln_sd'])}, {number(law['ln_max'])}}}"


def normal(law):
    return f"{{{number(law['mean'])}, {number(law['sd'])}}}"


def count(law):
    return f"{{{number(law['mean'])}, {number(law['k'] or 0)}}}"


def numbers(values):
    return "{" + ", ".join(number(v) for v in values) + "}"


def shape_tables(shape):
    found = shape["proportions"]["upholstery"]
    ragged = shape["raggedness"]["upholstery"]
    wiggle, slits = ragged["wiggle"], ragged["slits"]
    many = slits["count"]
    dispersion = many["mean"] ** 2 / (many["sd"] ** 2 - many["mean"])
    yield f"const Point shape_mean[HALF_POINTS] = {points(shape['mean']['upholstery'])};\n"
    yield modes("symmetric_modes", "SYMMETRIC_MODES", shape["symmetric_modes"])
    yield modes("asymmetric_modes", "ASYMMETRIC_MODES", shape["asymmetric_modes"])
    yield "const ShapeProportions shape_proportions = {"
    for name in ("area_over_L2", "length_over_L", "width_over_L", "area_over_bounding_box",
                 "area_over_hull"):
        yield f".{name.lower()} = {normal(found[name])},"
    yield "};\n"
    yield "const EdgeLaw edge_law = {"
    yield f".step = {wiggle['step_over_L']}, .phi1 = {wiggle['ar2']['phi1']},"
    yield f".phi2 = {wiggle['ar2']['phi2']},"
    yield f".innovation_sd = {wiggle['ar2']['innovation_sd']}, .sd = {wiggle['ar2']['sd']:.6f},"
    yield f".scale = {wiggle['scale_to_draw']},"
    yield f".rms_by_segment = {numbers(wiggle['rms_by_segment'])}}};\n"
    depth, mouth = slits["depth_over_L"], slits["mouth_over_L"]
    yield "const SlitLaw slit_law = {"
    yield f".count = {{{many['mean']}, {dispersion:.3g}}},"
    yield f".depth = {{{depth['ln_mean']}, {depth['ln_sd']}, {math.log(depth['max']):.3f}}},"
    yield f".least_depth = {slits['least_depth_over_L']},"
    yield f".mouth = {{{mouth['mean']:.5f}, {mouth['sd']:.5f}}}, .least_mouth = {mouth['min']:.5f},"
    yield f".width_at_edge = {slits['width_at_edge_over_mouth']},"
    yield f".width_at_end = {slits['width_at_end_over_mouth']},"
    yield f".share_by_segment = {numbers(slits['share_by_segment'])}}};\n"


def patch(law):
    return (f"{{.place = {normal(law['t'])}, .depth = {size(law['depth_over_L'])},"
            f" .size = {size(law['d_mm'])}, .elongation = {size(law['elongation'])},"
            f" .angle_deg = {normal(law['angle_deg'])}, .touching = {number(law['touching_share'])},"
            f" .gap = {size(law['gap_mm'])}, .classes = {numbers(law['class_share'])}}}")


def flaw_tables(laws):
    cut = laws["edge_cut"]
    many = cut["count"]
    yield "const EdgeCutLaw edge_cut_law = {"
    yield f".with_caps = {count(many['shanks_unusable'])}, .without = {count(many['shanks_graded'])},"
    yield f".rate = {numbers(cut['relative_rate_per_length'])},"
    yield f".classes = {numbers(cut['class_share'])}, .touching = {cut['touching_share']},"
    yield f".gap = {size(cut['gap_mm'])},"
    for where in ("butt", "rest"):
        yield f".{where}_depth = {size(cut['depth_mm'][where])},"
        yield f".{where}_base = {size(cut['base_mm'][where])},"
    yield "};\n"
    for name in ("hind", "fore"):
        cap = laws[f"{name}_cap"]
        yield (f"const CapLaw {name}_cap_law = {{.chance = {cap['probability_per_half']},"
               f" .from = {normal(cap['t0'])}, .to = {normal(cap['t1'])},"
               f" .bulge = {normal(cap['bulge_over_L'])}}};\n")
        law = laws[f"{name}_patch"]
        yield f"const CountLaw {name}_patch_count = {count(law['count_per_half'])};\n"
        yield f"const PatchLaw {name}_patch_law = {patch(law)};\n"
    for name in ("flank_pocket", "armpit", "neck_side"):
        law = laws[name]
        yield f"const CountLaw {name}_count = {count(law['count_per_half_if_present'])};\n"
        yield f"const PatchLaw {name}_law = {patch(law)};\n"
    band = laws["belly_band"]
    yield (f"const BandLaw belly_band_law = {{.middle = {normal(band['t_middle'])},"
           f" .length = {size(band['length_mm'])}, .offset = {size(band['offset_mm'])},"
           f" .thickness = {size(band['mean_thickness_mm'])}}};\n")
    zone = laws["neck_zone"]
    yield (f"const NeckLaw neck_zone_law = {{.x = {normal(zone['x_over_L'])},"
           f" .y = {normal(zone['y_over_L'])}, .size = {size(zone['d_mm'])},"
           f" .elongation = {size(zone['elongation'])}, .classes = {numbers(zone['class_share'])}}};\n")
    yield "const SpotLaw spot_laws[SPOT_ZONES] = {"
    for name in ("tail_root", "rim", "inside"):
        law = laws["spot"]["zones"][name]
        yield (f"[SPOT_{name.upper()}] = {{.clusters = {count(law['clusters_per_hide'])},"
               f" .in_cluster = {law['spots_per_cluster']}, .same_class = {law['same_class_as_cluster']},"
               f" .scatter_mm = {law['scatter_mm']}, .classes = {numbers(law['class_share'])},"
               f" .size = {size(law['d_mm'])}, .elongation = {size(law['elongation'])}}},")
    yield "};"


def main():
    if len(sys.argv) != 2:
        sys.exit(__doc__)
    folder = pathlib.Path(sys.argv[1])
    shape = json.loads((folder / "shape.json").read_text(encoding="utf-8"))
    flaws = json.loads((folder / "flaws.json").read_text(encoding="utf-8"))["drawing"]
    print(HEAD)
    print("\n".join(shape_tables(shape)))
    print("\n".join(flaw_tables(flaws)))


main()
