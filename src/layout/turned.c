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
static bool make_simpler(Ring ring, double reach_mm, Arena *keep, Ring *simple)
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

// Simpler outlines of a ring, each made when first asked for; 0 points: there is none.
enum { SIMPLER_MAX = 40 };

typedef struct Simpler {
    Ring ring[SIMPLER_MAX];
    bool made[SIMPLER_MAX];
} Simpler;

// What all turns of a piece have in common.
typedef struct Outlines {
    Ring bare;
    Ring spaced; // with half the gap around it
    Ring hull;   // of the spaced one
    Simpler simpler_spaced;
    Simpler simpler_hull;
    Circles circles;
    double diameter_mm;
    double size_mm;
    int points_most;
} Outlines;

static Ring simpler_at(Ring ring, Simpler *simpler, int index, double reach_mm, Arena *keep)
{
    if (!simpler->made[index]) {
        simpler->made[index] = true;
        if (!make_simpler(ring, reach_mm, keep, &simpler->ring[index])) {
            simpler->ring[index].count = 0;
        }
    }
    return simpler->ring[index];
}

// Convex parts of a simpler outline that holds the ring, as near to it as has few points.
static bool simpler_parts(Ring ring, Simpler *simpler, int points_most, Motion motion, Arena *keep,
                          ConvexParts *parts)
{
    if (ring.count <= points_most && parts_at(ring, motion, keep, parts)) {
        return true;
    }
    const Box box = ring_box(ring);
    const double most_mm = 0.02 * point_distance(box.min, box.max);
    double reach_mm = 2 * SAFE_MM;
    for (int i = 0; i < SIMPLER_MAX && reach_mm < most_mm; i++) {
        const Ring simple = simpler_at(ring, simpler, i, reach_mm, keep);
        if (simple.count > 0 && simple.count <= points_most &&
            parts_at(simple, motion, keep, parts)) {
            return true;
        }
        reach_mm *= 1.5;
    }
    return false;
}

// Convex parts of a turned outline. Where the lattice closed a needle, or with too many points,
// those of a simpler outline that holds it; at worst of its convex hull, or of its box.
static bool parts_of(Outlines *of, Motion motion, Arena *keep, ConvexParts *parts)
{
    return simpler_parts(of->spaced, &of->simpler_spaced, of->points_most, motion, keep, parts) ||
           simpler_parts(of->hull, &of->simpler_hull, of->points_most, motion, keep, parts) ||
           parts_at(box_ring(ring_box(of->spaced), keep), motion, keep, parts);
}

// How a piece lies in one turn; its parts are found later.
static Turned turned_make(const Outlines *of, double turn_rad, Arena *scratch)
{
    const ArenaMark mark = arena_mark(scratch);
    const double shift_mm = shift_off_halves(of->bare, of->spaced, turn_rad);
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
                    .body = {.circles = circles_moved(of->circles, motion, LATTICE_PER_MM),
                             .diameter = of->diameter_mm * LATTICE_PER_MM,
                             .size = of->size_mm * LATTICE_PER_MM}};
}

static bool find_parts(Outlines *of, Turned *turned, Arena *keep)
{
    const Motion motion = {turned->shift_x_mm, turned->shift_y_mm, turned->turn_rad};
    return parts_of(of, motion, keep, &turned->body.parts);
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

// Room for all intervals, each all around.
enum { TURNS_LISTED_MAX = LAYOUT_TURNS_MAX * 25 };

typedef struct TurnList {
    double turn_rad[TURNS_LISTED_MAX];
    int count;
} TurnList;

static void list_turn(TurnList *list, double turn_rad, double period_rad)
{
    for (int i = 0; i < list->count; i++) {
        if (fabs(remainder(turn_rad - list->turn_rad[i], period_rad)) < 1e-9) {
            return;
        }
    }
    list->turn_rad[list->count++] = turn_rad;
}

// The turns that may be tried; those that look alike only once.
static TurnList list_turns(const Piece *piece)
{
    TurnList list = {.count = 0};
    if (piece->turn_symmetry == 0) {
        list_turn(&list, piece->turns[0].from_rad, whole_turn_rad);
        return list;
    }
    const double period_rad = whole_turn_rad / piece->turn_symmetry;
    for (int i = 0; i < piece->turn_count; i++) {
        const TurnRange range = piece->turns[i];
        const bool round = range.to_rad - range.from_rad >= period_rad;
        const double span_rad = round ? period_rad : range.to_rad - range.from_rad;
        const int steps = (int)ceil(span_rad / turn_step_rad - 1e-9);
        for (int k = 0; k <= steps - (round ? 1 : 0); k++) {
            list_turn(&list, range.from_rad + (steps > 0 ? span_rad * k / steps : 0), period_rad);
        }
    }
    return list;
}

int strip_turns_tried(const Piece *piece, int most)
{
    const int count = list_turns(piece).count;
    return count < most ? count : most;
}

static void outlines_make(Ring bare, Ring spaced, int points_most, Arena *keep, Outlines *made)
{
    const Box box = ring_box(spaced);
    const Ring hull = ring_convex_hull(spaced.points, spaced.count, keep);
    *made = (Outlines){.bare = bare,
                       .spaced = spaced,
                       .hull = hull,
                       .circles = circles_inside(spaced, keep),
                       .diameter_mm = point_distance(box.min, box.max),
                       .size_mm = sqrt(ring_area_mm2(hull)),
                       .points_most = points_most};
}

// The turns of the list in which the piece fits the width; returns how many.
static int find_fitting(const Outlines *of, const TurnList *list, double width, Arena *scratch,
                        Turned *fitting)
{
    int count = 0;
    for (int i = 0; i < list->count; i++) {
        const Turned one = turned_make(of, list->turn_rad[i], scratch);
        if (one.height <= width) {
            fitting[count++] = one;
        }
    }
    return count;
}

bool strip_piece_make(const Piece *piece, StripMaking making, Arena *keep, StripPiece *made)
{
    const Ring bare = ring_counter_clockwise(piece->outline[0], keep);
    Ring spaced;
    if (!space_out(bare, making.gap_mm, keep, &spaced)) {
        return false;
    }
    Outlines *outlines = ARENA_NEW(keep, Outlines);
    outlines_make(bare, spaced, making.points_most, keep, outlines);
    const TurnList list = list_turns(piece);
    Turned *turned = ARENA_ARRAY(keep, Turned, list.count);
    const int fitting = find_fitting(outlines, &list, making.width, keep, turned);
    const int wanted = fitting < making.turns_most ? fitting : making.turns_most;
    *made = (StripPiece){.turned = turned,
                         .area = ring_area_mm2(bare) * LATTICE_PER_MM * LATTICE_PER_MM};
    for (int i = 0; i < wanted; i++) {
        Turned one = turned[i * fitting / wanted]; // evenly, when there are too many
        if (find_parts(outlines, &one, keep)) {
            one.number = making.first_number + made->turned_count;
            turned[made->turned_count++] = one;
        }
    }
    return made->turned_count > 0;
}
