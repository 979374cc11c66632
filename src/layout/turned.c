#include "layout/turned.h"

#include "plane/lattice.h"

static const double whole_turn_rad = 6.283185307179586;
// An interval is tried at turns no farther apart than this.
static const double turn_step_rad = 0.2617993877991494; // 15 degrees

static Extent extent_of(LatticeRing ring)
{
    return (Extent){(double)ring.min.x, (double)ring.min.y, (double)ring.max.x, (double)ring.max.y};
}

// Circles of the unturned ring, in mm, turned and in units.
static Circles turn_circles(Circles circles, double turn_rad)
{
    const MotionMatrix matrix = motion_matrix((Motion){0, 0, turn_rad});
    for (int i = 0; i < CIRCLES; i++) {
        const Point at = motion_apply(matrix, (Point){(double)circles.x[i], (double)circles.y[i]});
        circles.x[i] = (float)(at.x * LATTICE_PER_MM);
        circles.y[i] = (float)(at.y * LATTICE_PER_MM);
        circles.radius[i] *= (float)LATTICE_PER_MM;
    }
    return circles;
}

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

static Turned turned_make(Ring bare, Ring spaced, Circles circles, double turn_rad, Arena *keep)
{
    const double shift_mm = shift_off_halves(bare, spaced, turn_rad);
    const Motion motion = {shift_mm, shift_mm, turn_rad};
    const LatticeRing ring = lattice_ring(spaced, motion, keep);
    double *x = ARENA_ARRAY(keep, double, ring.count + 1);
    double *y = ARENA_ARRAY(keep, double, ring.count + 1);
    for (int i = 0; i <= ring.count && ring.count > 0; i++) {
        const LatticePoint p = ring.points[i == ring.count ? 0 : i];
        x[i] = (double)p.x;
        y[i] = (double)p.y;
    }
    return (Turned){.turn_rad = turn_rad,
                    .shift_mm = shift_mm,
                    .x = x,
                    .y = y,
                    .count = ring.count,
                    .box = extent_of(ring),
                    .bare = extent_of(lattice_ring(bare, motion, keep)),
                    .circles = turn_circles(circles, turn_rad)};
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

bool strip_piece_make(const Piece *piece, double gap_mm, double width, Arena *keep,
                      StripPiece *made)
{
    const Ring bare = ring_counter_clockwise(piece->outline[0], keep);
    Ring spaced;
    if (!space_out(bare, gap_mm, keep, &spaced)) {
        return false;
    }
    const Circles circles = circles_inside(spaced, keep);
    double turns[TURNED_MAX];
    const int turn_count = list_turns(piece, turns);
    Turned *turned = ARENA_ARRAY(keep, Turned, turn_count);
    *made = (StripPiece){.turned = turned};
    for (int i = 0; i < turn_count; i++) {
        const Turned one = turned_make(bare, spaced, circles, turns[i], keep);
        if (one.count >= 3 && one.bare.top - one.bare.low <= width) {
            turned[made->turned_count++] = one;
        }
    }
    const double units2 = LATTICE_PER_MM * LATTICE_PER_MM;
    const Box box = ring_box(spaced);
    made->area = ring_area_mm2(bare) * units2;
    const Ring hull = ring_convex_hull(spaced.points, spaced.count, keep);
    made->hull_root = (float)pow(ring_area_mm2(hull) * units2, 0.25);
    made->diameter = point_distance(box.min, box.max) * LATTICE_PER_MM;
    return made->turned_count > 0;
}
