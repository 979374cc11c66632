#include "layout/turned.h"

#include "layout/raster.h"
#include "plane/lattice.h"

static const double whole_turn_rad = 6.283185307179586;
// An interval is tried at turns no farther apart than this.
static const double turn_step_rad = 0.2617993877991494; // 15 degrees

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

// A point halfway between two units may be rounded either way when the piece lies
// elsewhere, and the judge would see another outline. So pieces lie off the grid by a
// part of a unit that leaves no point there.
static double shift_off_halves(Ring bare, Ring spaced, double turn_rad)
{
    enum { SHIFTS = 40 };
    for (int i = 0; i < SHIFTS; i++) {
        const double shift_mm = i * 0.0123 / LATTICE_PER_MM;
        const Motion motion = {shift_mm, shift_mm, turn_rad};
        if (!any_near_half(bare, motion) && !any_near_half(spaced, motion)) {
            return shift_mm;
        }
    }
    return 0;
}

static bool parts_at(Ring ring, Motion motion, Arena *keep, ConvexParts *parts)
{
    const LatticeRing turned = lattice_ring(ring, motion, keep);
    double *x = ARENA_ARRAY(keep, double, turned.count + 1);
    double *y = ARENA_ARRAY(keep, double, turned.count + 1);
    for (int i = 0; i < turned.count; i++) {
        x[i] = (double)turned.points[i].x;
        y[i] = (double)turned.points[i].y;
    }
    return convex_parts(x, y, turned.count, keep, parts);
}

// An outline that holds the ring, with fewer points: grown by `reach_mm` and tidied by less.
static bool simpler(Ring ring, double reach_mm, Arena *keep, Ring *simple)
{
    PolygonSet grown;
    if (!polygon_grow(polygon_set_of_ring(ring, keep), reach_mm, POLYGON_MITRE, keep, &grown)) {
        return false;
    }
    *simple = ring_tidied(polygon_set_largest_ring(grown), 0.9 * reach_mm - SAFE_MM, keep);
    return simple->count >= 3;
}

static Ring box_ring(Box box, Arena *keep)
{
    Point *points = ARENA_ARRAY(keep, Point, 4);
    points[0] = box.min;
    points[1] = (Point){box.max.x, box.min.y};
    points[2] = box.max;
    points[3] = (Point){box.min.x, box.max.y};
    return (Ring){points, 4};
}

// Convex parts of a turned outline. Where the lattice closed a needle, or with too many points,
// those of a simpler outline that holds it; at worst of its convex hull, or of its box.
static bool parts_of(Ring spaced, Motion motion, int points_most, Arena *keep, ConvexParts *parts)
{
    if (spaced.count <= points_most && parts_at(spaced, motion, keep, parts)) {
        return true;
    }
    const Box box = ring_box(spaced);
    const double most_mm = 0.02 * point_distance(box.min, box.max);
    double reach_mm = 2 * SAFE_MM;
    while (reach_mm < most_mm) {
        Ring simple;
        if (simpler(spaced, reach_mm, keep, &simple) && simple.count <= points_most &&
            parts_at(simple, motion, keep, parts)) {
            return true;
        }
        reach_mm *= 1.5;
    }
    const Ring hull = ring_convex_hull(spaced.points, spaced.count, keep);
    return parts_at(hull, motion, keep, parts) ||
           parts_at(box_ring(box, keep), motion, keep, parts);
}

// What all turns of a piece have in common.
typedef struct Outlines {
    Ring bare;
    Ring spaced; // with half the gap around it
    Circles circles;
    double diameter_mm;
    double size_mm;
    int points_most;
} Outlines;

static bool turned_make(const Outlines *of, double turn_rad, Arena *keep, Turned *made)
{
    const double shift_mm = shift_off_halves(of->bare, of->spaced, turn_rad);
    const LatticeRing at_origin =
        lattice_ring(of->bare, (Motion){shift_mm, shift_mm, turn_rad}, keep);
    const double x_mm = shift_mm - (double)at_origin.min.x / LATTICE_PER_MM;
    const double y_mm = shift_mm - (double)at_origin.min.y / LATTICE_PER_MM;
    const Motion motion = {x_mm, y_mm, turn_rad};
    *made = (Turned){.turn_rad = turn_rad,
                     .shift_x_mm = x_mm,
                     .shift_y_mm = y_mm,
                     .width = (double)(at_origin.max.x - at_origin.min.x),
                     .height = (double)(at_origin.max.y - at_origin.min.y),
                     .body = {.circles = circles_moved(of->circles, motion, LATTICE_PER_MM),
                              .diameter = of->diameter_mm * LATTICE_PER_MM,
                              .size = of->size_mm * LATTICE_PER_MM}};
    return parts_of(of->spaced, motion, of->points_most, keep, &made->body.parts);
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
    if (!polygon_grow(polygon_set_of_ring(bare, keep), reach_mm, POLYGON_ROUND, keep, &grown)) {
        return false;
    }
    *spaced = ring_tidied(polygon_set_largest_ring(grown), tidy_mm, keep);
    return spaced->count >= 3;
}

// The turns that are tried; those that look alike only once.
static int list_turns(const Piece *piece, double *turns)
{
    if (piece->turn_symmetry == 0) {
        turns[0] = piece->turns[0].from_rad;
        return 1;
    }
    const double period_rad = whole_turn_rad / piece->turn_symmetry;
    int count = 0;
    for (int i = 0; i < piece->turn_count; i++) {
        const TurnRange range = piece->turns[i];
        const bool round = range.to_rad - range.from_rad >= period_rad;
        const double span_rad = round ? period_rad : range.to_rad - range.from_rad;
        const int steps = (int)ceil(span_rad / turn_step_rad - 1e-9);
        for (int k = 0; k <= steps - (round ? 1 : 0) && count < TURNED_MAX; k++) {
            turns[count++] = range.from_rad + (steps > 0 ? span_rad * k / steps : 0);
        }
    }
    return count;
}

int strip_turns_tried(const Piece *piece)
{
    double turns[TURNED_MAX];
    return list_turns(piece, turns);
}

bool strip_piece_make(const Piece *piece, StripMaking making, Arena *keep, StripPiece *made)
{
    Outlines outlines = {.bare = ring_counter_clockwise(piece->outline[0], keep),
                         .points_most = making.points_most};
    if (!space_out(outlines.bare, making.gap_mm, keep, &outlines.spaced)) {
        return false;
    }
    const Ring spaced = outlines.spaced;
    const Box box = ring_box(spaced);
    outlines.circles = circles_inside(spaced, keep);
    outlines.diameter_mm = point_distance(box.min, box.max);
    outlines.size_mm = sqrt(ring_area_mm2(ring_convex_hull(spaced.points, spaced.count, keep)));
    double turns[TURNED_MAX];
    const int turn_count = list_turns(piece, turns);
    Turned *turned = ARENA_ARRAY(keep, Turned, turn_count);
    *made = (StripPiece){.turned = turned,
                         .area = ring_area_mm2(outlines.bare) * LATTICE_PER_MM * LATTICE_PER_MM};
    for (int i = 0; i < turn_count; i++) {
        Turned one;
        if (turned_make(&outlines, turns[i], keep, &one) && one.height <= making.width) {
            one.number = making.first_number + made->turned_count;
            turned[made->turned_count++] = one;
        }
    }
    return made->turned_count > 0;
}
