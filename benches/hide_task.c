#include "hide_task.h"

static const double degree_rad = 3.14159265358979323846 / 180;

enum { ALL_FORBIDDEN_UP_TO = 2 };

static bool refuse(Problems *problems, const char *what, const char *id)
{
    return problems_say(problems, PROBLEM_BAD_INPUT, id, "%s cannot be put together", what);
}

static bool union_of_areas(const RealHide *hide, int from, int to, Arena *keep, PolygonSet *set)
{
    Ring *rings = ARENA_ARRAY(keep, Ring, hide->area_count + 1);
    int count = 0;
    for (int i = 0; i < hide->area_count; i++) {
        if (hide->areas[i].quality >= from && hide->areas[i].quality <= to) {
            rings[count++] = hide->areas[i].ring;
        }
    }
    return polygon_union_all(rings, count, keep, set);
}

bool hide_sheet(const RealHide *hide, HideFlaws flaws, Arena *keep, Sheet *sheet,
                Problems *problems)
{
    Sheet made = {.outline = hide->outline};
    bool good = true;
    if (flaws == HIDE_FLAWS_ALL) {
        good = union_of_areas(hide, 0, ALL_FORBIDDEN_UP_TO, keep, &made.forbidden[0]);
    }
    for (int depth = 0; good && flaws == HIDE_FLAWS_CLASSES && depth < LAYOUT_DEPTHS; depth++) {
        good = union_of_areas(hide, depth, depth, keep, &made.forbidden[depth]);
    }
    if (!good) {
        return refuse(problems, "the areas", hide->id);
    }
    *sheet = made;
    return true;
}

// What of a piece must keep off quality `depth`: the parts that say so, and all that is
// in no part when the piece itself says so. Where parts overlap, the stricter one holds.
static bool strict_region(const HidePiece *piece, int depth, Arena *keep, PolygonSet *region)
{
    Ring *strict = ARENA_ARRAY(keep, Ring, piece->part_count + 1);
    Ring *all = ARENA_ARRAY(keep, Ring, piece->part_count + 1);
    int strict_count = 0;
    for (int i = 0; i < piece->part_count; i++) {
        all[i] = piece->parts[i].ring;
        if (piece->parts[i].least > depth) {
            strict[strict_count++] = piece->parts[i].ring;
        }
    }
    const PolygonSet whole = polygon_set_of_ring(piece->outline, keep);
    PolygonSet parts;
    if (!polygon_union_all(strict, strict_count, keep, &parts) ||
        !polygon_overlay(POLYGON_INTERSECTION, parts, whole, keep, &parts)) {
        return false;
    }
    PolygonSet rest = {0};
    if (piece->least > depth) {
        PolygonSet covered;
        if (!polygon_union_all(all, piece->part_count, keep, &covered) ||
            !polygon_overlay(POLYGON_DIFFERENCE, whole, covered, keep, &rest)) {
            return false;
        }
    }
    return polygon_overlay(POLYGON_UNION, parts, rest, keep, region);
}

static Ring hull_of(PolygonSet region, Arena *keep)
{
    int count = 0;
    for (int i = 0; i < region.count; i++) {
        count += region.items[i].outer.count;
    }
    Point *points = ARENA_ARRAY(keep, Point, count + 1);
    count = 0;
    for (int i = 0; i < region.count; i++) {
        for (int j = 0; j < region.items[i].outer.count; j++) {
            points[count++] = region.items[i].outer.points[j];
        }
    }
    return ring_convex_hull(points, count, keep);
}

// One outline that covers the region and the outline one depth further in.
static bool cover_region(const HidePiece *piece, PolygonSet region, Ring deeper, Arena *keep,
                         Ring *outline)
{
    const PolygonSet whole = polygon_set_of_ring(piece->outline, keep);
    if (deeper.count > 0) {
        const PolygonSet inner = polygon_set_of_ring(deeper, keep);
        if (!polygon_overlay(POLYGON_UNION, region, inner, keep, &region)) {
            return false;
        }
    }
    if (region.count > 1) {
        const PolygonSet hull = polygon_set_of_ring(hull_of(region, keep), keep);
        if (!polygon_overlay(POLYGON_INTERSECTION, hull, whole, keep, &region)) {
            return false;
        }
    }
    *outline = region.count == 1 ? region.items[0].outer : piece->outline;
    return true;
}

static bool outlines_by_class(const HidePiece *from, Arena *keep, Piece *piece)
{
    piece->depth_count = 1;
    Ring deeper = {0};
    for (int depth = LAYOUT_DEPTHS - 1; depth > 0; depth--) {
        PolygonSet region;
        if (!strict_region(from, depth, keep, &region)) {
            return false;
        }
        if (region.count == 0 && deeper.count == 0) {
            continue;
        }
        if (!cover_region(from, region, deeper, keep, &piece->outline[depth])) {
            return false;
        }
        deeper = piece->outline[depth];
        if (piece->depth_count == 1) {
            piece->depth_count = depth + 1;
        }
    }
    return true;
}

bool hide_pieces(const HideProblem *problem, HideFlaws flaws, Arena *keep, Piece *pieces,
                 Problems *problems)
{
    TurnRange *turns = ARENA_ARRAY(keep, TurnRange, 2);
    turns[0] = (TurnRange){-10 * degree_rad, 10 * degree_rad};
    turns[1] = (TurnRange){170 * degree_rad, 190 * degree_rad};
    for (int i = 0; i < problem->piece_count; i++) {
        const HidePiece *from = &problem->pieces[i];
        pieces[i] = (Piece){.outline = {from->outline},
                            .depth_count = 1,
                            .turns = turns,
                            .turn_count = 2,
                            .value = ring_area_mm2(from->outline),
                            .demand = from->demand,
                            .turn_symmetry = 1};
        if (flaws == HIDE_FLAWS_CLASSES && !outlines_by_class(from, keep, &pieces[i])) {
            return refuse(problems, "the parts", from->id);
        }
    }
    return true;
}
