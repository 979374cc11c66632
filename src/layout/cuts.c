#include "layout/cuts.h"

#include "layout/measure.h"

#include <stdlib.h>

// No outline has more straight edges that count.
enum { EDGES_MOST = 24 };

static const double straight_mm = 0.02;
// Half the width of a chalk line.
static const double off_line_mm = 0.5;
// Shorter edges, in sizes, are not worth a straightedge.
static const double least_share = 0.1;
// Edges at a greater angle are not parallel, however short.
static const double most_slant = 0.02;

double cuts_least_mm(const LayoutTask *task)
{
    return least_share * measure_size_mm(task);
}

static double length_of(StraightEdge edge)
{
    return point_distance(edge.from, edge.to);
}

// Of two as long, the lower one: a sort that is the same everywhere has no equals.
static int longest_first(const void *left, const void *right)
{
    const StraightEdge *a = left;
    const StraightEdge *b = right;
    if (length_of(*a) != length_of(*b)) {
        return length_of(*a) > length_of(*b) ? -1 : 1;
    }
    if (a->from.y != b->from.y) {
        return a->from.y < b->from.y ? -1 : 1;
    }
    return (a->from.x > b->from.x) - (a->from.x < b->from.x);
}

StraightEdges cuts_edges(Ring outline, double least_mm, Arena *keep, Arena *scratch)
{
    const ArenaMark mark = arena_mark(scratch);
    const Ring tidy = ring_tidied(ring_counter_clockwise(outline, scratch), straight_mm, scratch);
    StraightEdge *all = ARENA_ARRAY(scratch, StraightEdge, tidy.count + 1);
    int count = 0;
    for (int i = 0; i < tidy.count; i++) {
        const StraightEdge edge = {ring_point(tidy, i), ring_point(tidy, i + 1)};
        if (length_of(edge) >= least_mm && length_of(edge) > 0) {
            all[count++] = edge;
        }
    }
    qsort(all, (size_t)count, sizeof *all, longest_first);
    count = count < EDGES_MOST ? count : EDGES_MOST;
    StraightEdges edges = {ARENA_ARRAY(keep, StraightEdge, count + 1), count};
    for (int i = 0; i < count; i++) {
        edges.items[i] = all[i];
    }
    arena_rewind(scratch, mark);
    return edges;
}

StraightEdges cuts_moved(StraightEdges edges, Motion motion, Arena *keep)
{
    const MotionMatrix matrix = motion_matrix(motion);
    StraightEdges moved = {ARENA_ARRAY(keep, StraightEdge, edges.count + 1), edges.count};
    for (int i = 0; i < edges.count; i++) {
        moved.items[i] = (StraightEdge){motion_apply(matrix, edges.items[i].from),
                                        motion_apply(matrix, edges.items[i].to)};
    }
    return moved;
}

// ---- Where they lie

typedef struct LaidEdge {
    Point from;
    Point to;
    Point along; // of length 1
    double length_mm;
    double in_line_mm; // the greatest length in common with one that follows on its line
} LaidEdge;

typedef struct LaidPiece {
    LaidEdge *edges; // the longest first
    int count;
    Box box;
    double gap_mm;
} LaidPiece;

static LaidPiece laid_piece(StraightEdges edges, double gap_mm, Arena *keep)
{
    LaidPiece laid = {.edges = ARENA_ARRAY(keep, LaidEdge, edges.count + 1),
                      .count = edges.count,
                      .box = ring_box((Ring){NULL, 0}),
                      .gap_mm = gap_mm};
    for (int i = 0; i < edges.count; i++) {
        const Point from = edges.items[i].from;
        const Point to = edges.items[i].to;
        laid.edges[i] = (LaidEdge){.from = from,
                                   .to = to,
                                   .along = point_unit(point_minus(to, from)),
                                   .length_mm = point_distance(from, to)};
        laid.box.min.x = fmin(laid.box.min.x, fmin(from.x, to.x));
        laid.box.min.y = fmin(laid.box.min.y, fmin(from.y, to.y));
        laid.box.max.x = fmax(laid.box.max.x, fmax(from.x, to.x));
        laid.box.max.y = fmax(laid.box.max.y, fmax(from.y, to.y));
    }
    return laid;
}

// A place beside an edge: so far along it from its beginning, so far out to its right.
static Point beside(const LaidEdge *edge, Point place)
{
    const Point from = point_minus(place, edge->from);
    return (Point){point_dot(from, edge->along), point_dot(from, point_right(edge->along))};
}

// The length over which two edges that run against each other are the gap apart.
static double facing_mm(const LaidEdge *a, const LaidEdge *b, double gap_mm, double least)
{
    const Point near = beside(a, b->to); // runs the other way
    const Point far = beside(a, b->from);
    const double from = fmax(0, near.x);
    const double to = fmin(a->length_mm, far.x);
    if (to - from < least) {
        return 0;
    }
    const double slope = (far.y - near.y) / (far.x - near.x);
    const double off_from = near.y + slope * (from - near.x) - gap_mm;
    const double off_to = near.y + slope * (to - near.x) - gap_mm;
    return fmax(fabs(off_from), fabs(off_to)) <= off_line_mm ? to - from : 0;
}

static bool on_line(const LaidEdge *edge, const LaidEdge *other)
{
    return fabs(beside(edge, other->from).y) <= off_line_mm &&
           fabs(beside(edge, other->to).y) <= off_line_mm;
}

// Notes that `b` follows `a` when it does.
static void follow(LaidEdge *a, const LaidEdge *b)
{
    const double ahead_mm = beside(a, b->from).x - a->length_mm;
    const double shorter_mm = fmin(a->length_mm, b->length_mm);
    if (ahead_mm < -off_line_mm || ahead_mm > shorter_mm + off_line_mm ||
        shorter_mm <= a->in_line_mm || !on_line(a, b) || !on_line(b, a)) {
        return;
    }
    a->in_line_mm = shorter_mm;
}

static bool are_near(const LaidPiece *a, const LaidPiece *b, double sheet_gap_mm)
{
    const double reach_mm = fmax(fmin(a->edges[0].length_mm, b->edges[0].length_mm),
                                 fmax(sheet_gap_mm, fmax(a->gap_mm, b->gap_mm))) +
                            off_line_mm;
    return a->box.min.x - reach_mm <= b->box.max.x && b->box.min.x - reach_mm <= a->box.max.x &&
           a->box.min.y - reach_mm <= b->box.max.y && b->box.min.y - reach_mm <= a->box.max.y;
}

static double pair_facing_mm(LaidPiece *a, LaidPiece *b, double gap_mm, double least)
{
    double sum_mm = 0;
    for (int i = 0; i < a->count; i++) {
        for (int k = 0; k < b->count; k++) {
            LaidEdge *one = &a->edges[i];
            LaidEdge *other = &b->edges[k];
            if (fabs(point_cross(one->along, other->along)) > most_slant) {
                continue;
            }
            if (point_dot(one->along, other->along) < 0) {
                sum_mm += facing_mm(one, other, gap_mm, least);
            } else {
                follow(one, other);
                follow(other, one);
            }
        }
    }
    return sum_mm;
}

SharedCuts cuts_measure(const LayoutTask *task, const StraightEdges *lying,
                        const Placement *placements, int count, int sheet, Arena *scratch)
{
    const ArenaMark mark = arena_mark(scratch);
    const double least = cuts_least_mm(task);
    const double sheet_gap_mm = task->sheets[sheet].gap_mm;
    LaidPiece *laid = ARENA_ARRAY(scratch, LaidPiece, count + 1);
    int laid_count = 0;
    for (int i = 0; i < count; i++) {
        if (placements[i].sheet == sheet && lying[i].count > 0) {
            laid[laid_count++] =
                laid_piece(lying[i], task->pieces[placements[i].piece].gap_mm, scratch);
        }
    }
    SharedCuts cuts = {0};
    for (int i = 0; i < laid_count; i++) {
        for (int k = i + 1; k < laid_count; k++) {
            if (are_near(&laid[i], &laid[k], sheet_gap_mm)) {
                const double gap_mm = fmax(sheet_gap_mm, fmax(laid[i].gap_mm, laid[k].gap_mm));
                cuts.shared_mm += pair_facing_mm(&laid[i], &laid[k], gap_mm, least);
            }
        }
    }
    for (int i = 0; i < laid_count; i++) {
        for (int k = 0; k < laid[i].count; k++) {
            cuts.in_line_mm += laid[i].edges[k].in_line_mm;
        }
    }
    arena_rewind(scratch, mark);
    return cuts;
}

double cuts_worth_mm(SharedCuts cuts)
{
    return cuts.shared_mm + cuts.in_line_mm / 2;
}
