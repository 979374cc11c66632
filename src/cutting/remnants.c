#include "cutting/remnants.h"

#include <stdlib.h>

static const double OFF_MM = 0.5;
// A quarter of a square foot, the least that the trade stamps.
static const double least_mm2 = 0.25 * MM2_PER_FT2;
// Simpler by no more than half of what was taken off.
static const double TIDY_MM = 0.25;

static int larger_first(const void *a, const void *b)
{
    const double of_a = polygon_area_mm2(*(const Polygon *)a);
    const double of_b = polygon_area_mm2(*(const Polygon *)b);
    return (of_a < of_b) - (of_a > of_b);
}

static Ring tidied(Ring ring, Arena *keep)
{
    double tolerance_mm = TIDY_MM;
    Ring tidy = ring_tidied(ring, tolerance_mm, keep);
    while (tidy.count > FLAW_POINTS_MAX) {
        tolerance_mm *= 2;
        tidy = ring_tidied(ring, tolerance_mm, keep);
    }
    return tidy;
}

static Polygon tidied_part(Polygon part, Arena *keep)
{
    Ring *holes = ARENA_ARRAY(keep, Ring, part.hole_count + 1);
    for (int i = 0; i < part.hole_count; i++) {
        holes[i] = tidied(part.holes[i], keep);
    }
    return (Polygon){tidied(part.outer, keep), holes, part.hole_count};
}

static bool find_parts(HideCuts cut, double useful_mm, Arena *keep, PolygonSet *parts)
{
    PolygonSet left = polygon_set_of_ring(cut.hide->outline, keep);
    PolygonSet taken = {0};
    if (cut.cut_count > 0 && (!polygon_union_all(cut.cuts, cut.cut_count, keep, &taken) ||
                              !polygon_overlay(POLYGON_DIFFERENCE, left, taken, keep, &left))) {
        return false;
    }
    PolygonSet cores = {0};
    if (!polygon_grow(left, -useful_mm / 2, POLYGON_ROUND, keep, &cores)) {
        return false;
    }
    // Cores that lie apart may touch when grown again; they are pieces of their own all the same.
    Polygon *found = ARENA_ARRAY(keep, Polygon, cores.count + 1);
    int count = 0;
    for (int i = 0; i < cores.count; i++) {
        PolygonSet part = {0};
        if (!polygon_grow((PolygonSet){&cores.items[i], 1}, useful_mm / 2 - OFF_MM, POLYGON_ROUND,
                          keep, &part)) {
            return false;
        }
        if (part.count == 1 && polygon_area_mm2(part.items[0]) >= least_mm2) {
            found[count++] = tidied_part(part.items[0], keep);
        }
    }
    qsort(found, (size_t)count, sizeof *found, larger_first);
    *parts = (PolygonSet){found, count};
    return true;
}

bool remnants_find(HideCuts cut, double useful_mm, const char *where, Arena *keep,
                   PolygonSet *parts, Problems *problems)
{
    return find_parts(cut, useful_mm, keep, parts) ||
           problems_add(problems,
                        (Problem){PROBLEM_BAD_INPUT, arena_copy_text(problems->keep, where),
                                  "what is left of it cannot be told", NULL,
                                  "look for outlines that cross themselves"});
}
