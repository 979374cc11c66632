#include "layout/turned.h"

#include "layout/outline_body.h"
#include "plane/lattice.h"

#include <string.h>

static bool near_half(double mm)
{
    const double units = mm * LATTICE_PER_MM;
    return fabs(units - floor(units) - 0.5) < 1e-6;
}

static bool any_near_half(Ring ring, Motion motion)
{
    const MotionMatrix matrix = motion_matrix(motion);
    for (int i = 0; i < ring.count; i++) {
        const Point p = motion_apply(matrix, ring.points[i]);
        if (near_half(p.x) || near_half(p.y)) {
            return true;
        }
    }
    return false;
}

// What all turns of a piece have in common.
typedef struct Outlines {
    Ring bare;
    Outline spaced;              // with half the gap around it
    Outline deep[LAYOUT_DEPTHS]; // without the gap; only those that flaws are told from
    bool asked[LAYOUT_DEPTHS];
} Outlines;

static bool any_outline_near_half(const Outlines *of, Motion motion)
{
    bool any = any_near_half(of->bare, motion) || any_near_half(of->spaced.ring, motion);
    for (int depth = 0; depth < LAYOUT_DEPTHS && !any; depth++) {
        any = of->asked[depth] && any_near_half(of->deep[depth].ring, motion);
    }
    return any;
}

// A point halfway between two units may be rounded either way when the piece lies
// elsewhere, and the judge would see another outline. So pieces lie off the grid by a
// part of a unit that leaves no point there.
static double shift_off_halves(const Outlines *of, double turn_rad)
{
    enum { SHIFTS = 40 };
    for (int i = 0; i < SHIFTS; i++) {
        const double shift_mm = i * 0.0123 / LATTICE_PER_MM;
        if (!any_outline_near_half(of, (Motion){shift_mm, shift_mm, turn_rad})) {
            return shift_mm;
        }
    }
    return 0;
}

// How a piece lies in one turn; its parts are found later.
static Turned turned_make(const Outlines *of, double turn_rad, Arena *scratch)
{
    const ArenaMark mark = arena_mark(scratch);
    const double shift_mm = shift_off_halves(of, turn_rad);
    const LatticeRing at_origin =
        lattice_ring(of->bare, (Motion){shift_mm, shift_mm, turn_rad}, scratch);
    const double x_mm = shift_mm - (double)at_origin.min.x / LATTICE_PER_MM;
    const double y_mm = shift_mm - (double)at_origin.min.y / LATTICE_PER_MM;
    const Motion motion = {x_mm, y_mm, turn_rad};
    arena_rewind(scratch, mark);
    return (Turned){.turn_rad = turn_rad,
                    .shift_x_mm = x_mm,
                    .shift_y_mm = y_mm,
                    .width = (double)(at_origin.max.x - at_origin.min.x),
                    .height = (double)(at_origin.max.y - at_origin.min.y),
                    .body = outline_measures(&of->spaced, motion)};
}

static Motion motion_of(const Turned *turned)
{
    return (Motion){turned->shift_x_mm, turned->shift_y_mm, turned->turn_rad};
}

static bool find_parts(Outlines *of, Turned *turned, Arena *keep)
{
    const Motion motion = motion_of(turned);
    bool good = outline_parts(&of->spaced, motion, keep, &turned->body.parts);
    body_ensure_circle(&turned->body);
    for (int depth = 0; depth < LAYOUT_DEPTHS && good; depth++) {
        Body *bare = &turned->bare[depth];
        if (of->asked[depth] && depth == 0 && of->spaced.ring.points == of->bare.points) {
            *bare = turned->body; // no gap
        } else if (of->asked[depth]) {
            *bare = outline_measures(&of->deep[depth], motion);
            good = outline_parts(&of->deep[depth], motion, keep, &bare->parts);
            body_ensure_circle(bare);
        }
    }
    return good;
}

// With half the gap around it, and the rounding to the lattice on both sides.
static bool space_out(Ring bare, double gap_mm, Arena *keep, Ring *spaced)
{
    *spaced = bare;
    if (gap_mm <= 0) {
        return true;
    }
    const double tidy_mm = fmin(0.05, 0.02 * gap_mm);
    const double reach_mm = 1.003 * gap_mm / 2 + tidy_mm + 0.02;
    PolygonSet grown;
    const Ring hull = ring_convex_hull(bare.points, bare.count, keep);
    if (!polygon_grow(polygon_set_of_ring(bare, keep), reach_mm, POLYGON_ROUND, keep, &grown) &&
        !polygon_grow(polygon_set_of_ring(hull, keep), reach_mm, POLYGON_ROUND, keep, &grown)) {
        return false; // not even around its convex hull, which is no harm to hold instead
    }
    *spaced = ring_tidied(polygon_set_largest_ring(grown), tidy_mm, keep);
    return spaced->count >= 3;
}

static bool outlines_make(const Piece *piece, const StripMaking *making, Arena *keep,
                          Outlines *made)
{
    made->bare = ring_counter_clockwise(piece->outline[0], keep);
    Ring spaced;
    if (!space_out(made->bare, making->gap_mm, keep, &spaced)) {
        return false;
    }
    outline_make(spaced, making->points_most, keep, &made->spaced);
    for (int depth = 0; depth < piece->depth_count; depth++) {
        made->asked[depth] = making->flaws[depth];
        if (made->asked[depth]) {
            const Ring ring =
                depth == 0 ? made->bare : ring_counter_clockwise(piece->outline[depth], keep);
            outline_make(ring, making->points_most, keep, &made->deep[depth]);
        }
    }
    return true;
}

static bool same_corners(LatticeRing a, LatticeRing b, int shift)
{
    for (int i = 0; i < a.count; i++) {
        const LatticePoint p = a.points[i];
        const LatticePoint q = b.points[(i + shift) % b.count];
        if (p.x != q.x || p.y != q.y) {
            return false;
        }
    }
    return true;
}

static bool outline_alike(Ring ring, const Turned *one, const Turned *other, Arena *scratch)
{
    const ArenaMark mark = arena_mark(scratch);
    const LatticeRing a = lattice_ring(ring, motion_of(one), scratch);
    const LatticeRing b = lattice_ring(ring, motion_of(other), scratch);
    bool same = false;
    for (int shift = 0; shift < b.count && a.count == b.count && !same; shift++) {
        same = same_corners(a, b, shift);
    }
    arena_rewind(scratch, mark);
    return same;
}

// Whether a piece looks the same in two turns to the judge: itself, and what flaws are told from.
static bool look_alike(const Outlines *of, const Turned *one, const Turned *other, Arena *scratch)
{
    bool same = one->width == other->width && one->height == other->height &&
                outline_alike(of->bare, one, other, scratch);
    for (int depth = 0; depth < LAYOUT_DEPTHS && same; depth++) {
        same = !of->asked[depth] || outline_alike(of->deep[depth].ring, one, other, scratch);
    }
    return same;
}

static int find_alike(const Outlines *of, const Turned *one, const Turned *among, int count,
                      Arena *scratch)
{
    int at = 0;
    while (at < count && !look_alike(of, one, &among[at], scratch)) {
        at++;
    }
    return at;
}

// The turns of the list that look like others which are tried.
static void list_alike(const Outlines *of, const TurnList *list, Arena *keep, StripPiece *piece)
{
    AlikeTurn *alike = ARENA_ARRAY(keep, AlikeTurn, list->count);
    for (int i = 0; i < list->count; i++) {
        const Turned one = turned_make(of, list->turn_rad[i], keep);
        const int same = find_alike(of, &one, piece->turned, piece->turned_count, keep);
        if (same < piece->turned_count && piece->turned[same].turn_rad != one.turn_rad) {
            alike[piece->alike_count++] =
                (AlikeTurn){same, one.turn_rad, one.shift_x_mm, one.shift_y_mm};
        }
    }
    piece->alike = alike;
}

// The turns of the list in which the piece fits the width and looks different; returns how many.
// When it fits in fine ones alone, these are all there is to begin with.
static int find_fitting(const Outlines *of, const TurnList *list, double width, Arena *scratch,
                        Turned *fitting)
{
    int count = 0;
    bool any_coarse = false;
    for (int i = 0; i < list->count; i++) {
        Turned one = turned_make(of, list->turn_rad[i], scratch);
        one.fine = i >= list->coarse_count;
        if (one.height <= width && find_alike(of, &one, fitting, count, scratch) == count) {
            any_coarse |= !one.fine;
            one.fine &= any_coarse;
            fitting[count++] = one;
        }
    }
    return count;
}

bool strip_piece_make(const Piece *piece, StripMaking making, Arena *keep, StripPiece *made)
{
    Outlines *outlines = ARENA_NEW(keep, Outlines);
    if (!outlines_make(piece, &making, keep, outlines)) {
        return false;
    }
    const TurnList list = turn_list(piece, making.steps);
    Turned *turned = ARENA_ARRAY(keep, Turned, list.count);
    const int fitting = find_fitting(outlines, &list, making.width, keep, turned);
    const int wanted = fitting < making.turns_most ? fitting : making.turns_most;
    *made = (StripPiece){.turned = turned,
                         .area = ring_area_mm2(outlines->bare) * LATTICE_PER_MM * LATTICE_PER_MM};
    for (int i = 0; i < wanted; i++) {
        Turned one = turned[i * fitting / wanted]; // evenly, when there are too many
        if (find_parts(outlines, &one, keep)) {
            one.number = making.first_number + made->turned_count;
            turned[made->turned_count++] = one;
        }
    }
    list_alike(outlines, &list, keep, made);
    return made->turned_count > 0;
}

bool strip_locked_make(const Piece *piece, Motion motion, StripMaking making, Arena *keep,
                       StripFixed *made)
{
    memset(making.flaws, 0, sizeof making.flaws);
    Outlines *outlines = ARENA_NEW(keep, Outlines);
    ConvexParts parts;
    if (!outlines_make(piece, &making, keep, outlines) ||
        !outline_parts(&outlines->spaced, motion, keep, &parts)) {
        return false;
    }
    const LatticeRing bare = lattice_ring(outlines->bare, motion, keep);
    const double x = (double)bare.min.x;
    const double y = (double)bare.min.y;
    const Motion at_origin = {motion.x_mm - x / LATTICE_PER_MM, motion.y_mm - y / LATTICE_PER_MM,
                              motion.turn_rad};
    *made = (StripFixed){.turned = {.number = making.first_number,
                                    .turn_rad = motion.turn_rad,
                                    .width = (double)(bare.max.x - bare.min.x),
                                    .height = (double)(bare.max.y - bare.min.y),
                                    .body = outline_measures(&outlines->spaced, at_origin)},
                         .x = x,
                         .y = y};
    made->turned.body.parts = convex_parts_moved(parts, -x, -y, keep);
    body_ensure_circle(&made->turned.body);
    return true;
}
