#include "layout/area_parts.h"

#include "layout/outline_body.h"
#include "plane/lattice.h"

#include <string.h>

// The ring around all that is joined already, and the holes that are not.
typedef struct Bridging {
    LatticePoint *ring;
    int count;
    LatticeRing *holes;
    int hole_count;
    Arena *keep;
} Bridging;

// From a point of the ring to a point of a hole.
typedef struct Bridge {
    int from;
    int hole;
    int to;
    double length; // squared
} Bridge;

static bool same_place(LatticePoint a, LatticePoint b)
{
    return a.x == b.x && a.y == b.y;
}

static double cross_from(LatticePoint from, LatticePoint a, LatticePoint b)
{
    return (double)(a.x - from.x) * (double)(b.y - from.y) -
           (double)(a.y - from.y) * (double)(b.x - from.x);
}

static double dot_from(LatticePoint from, LatticePoint a, LatticePoint b)
{
    return (double)(a.x - from.x) * (double)(b.x - from.x) +
           (double)(a.y - from.y) * (double)(b.y - from.y);
}

// Whether an edge runs along a bridge whose end it shares.
static bool runs_along(LatticePoint shared, LatticePoint other, LatticePoint far)
{
    return cross_from(shared, other, far) == 0 && dot_from(shared, other, far) > 0;
}

// Whether the way from p to r meets an edge but at its own ends.
static bool is_met(LatticePoint p, LatticePoint r, LatticePoint a, LatticePoint b)
{
    const bool at_p = same_place(a, p) || same_place(b, p);
    const bool at_r = same_place(a, r) || same_place(b, r);
    if (!at_p && !at_r) {
        return lattice_edges_meet(p, r, a, b) != LATTICE_APART;
    }
    return (at_p && runs_along(p, same_place(a, p) ? b : a, r)) ||
           (at_r && runs_along(r, same_place(a, r) ? b : a, p));
}

static bool is_blocked(LatticePoint p, LatticePoint r, const LatticePoint *ring, int count)
{
    for (int i = 0; i < count; i++) {
        if (is_met(p, r, ring[i], ring[(i + 1) % count])) {
            return true;
        }
    }
    return false;
}

// Whether the way from a corner of the ring leads into it: of corners in the same place, where
// bridges end, only one may take another.
static bool leads_inside(const Bridging *all, int corner, LatticePoint to)
{
    const LatticePoint at = all->ring[corner];
    const LatticePoint before = all->ring[(corner + all->count - 1) % all->count];
    const LatticePoint after = all->ring[(corner + 1) % all->count];
    const bool left_of_after = cross_from(at, after, to) > 0;
    const bool right_of_before = cross_from(at, to, before) > 0;
    const bool convex = cross_from(at, after, before) > 0;
    return convex ? left_of_after && right_of_before : left_of_after || right_of_before;
}

static bool is_clear(const Bridging *all, LatticePoint from, LatticePoint to)
{
    bool clear = !is_blocked(from, to, all->ring, all->count);
    for (int i = 0; i < all->hole_count && clear; i++) {
        clear = !is_blocked(from, to, all->holes[i].points, all->holes[i].count);
    }
    return clear;
}

// Looks at one hole, when any bridge to it is shorter than the best.
static void shortest_to(const Bridging *all, int hole, Bridge *best)
{
    for (int from = 0; from < all->count; from++) {
        for (int to = 0; to < all->holes[hole].count; to++) {
            const LatticePoint a = all->ring[from];
            const LatticePoint b = all->holes[hole].points[to];
            const double length = dot_from(a, b, b);
            if (length > 0 && length < best->length && leads_inside(all, from, b) &&
                is_clear(all, a, b)) {
                *best = (Bridge){from, hole, to, length};
            }
        }
    }
}

// The ring up to the bridge, over it, around the hole, and back.
static void walk(Bridging *all, Bridge bridge)
{
    const LatticeRing hole = all->holes[bridge.hole];
    LatticePoint *ring = ARENA_ARRAY(all->keep, LatticePoint, all->count + hole.count + 2);
    int count = 0;
    for (int i = 0; i <= bridge.from; i++) {
        ring[count++] = all->ring[i];
    }
    for (int i = 0; i <= hole.count; i++) {
        ring[count++] = hole.points[(bridge.to + i) % hole.count];
    }
    for (int i = bridge.from; i < all->count; i++) {
        ring[count++] = all->ring[i];
    }
    all->ring = ring;
    all->count = count;
    all->holes[bridge.hole] = all->holes[--all->hole_count];
}

static bool join_holes(Bridging *all)
{
    while (all->hole_count > 0) {
        Bridge best = {.length = HUGE_VAL};
        for (int i = 0; i < all->hole_count; i++) {
            shortest_to(all, i, &best);
        }
        if (best.length == HUGE_VAL) {
            return false;
        }
        walk(all, best);
    }
    return true;
}

// Rounded to the lattice, back in mm.
static Ring rounded(Ring ring, Arena *keep)
{
    const LatticeRing at = lattice_ring(ring, (Motion){0}, keep);
    Point *points = ARENA_ARRAY(keep, Point, at.count + 1);
    for (int i = 0; i < at.count; i++) {
        points[i] = (Point){(double)at.points[i].x / LATTICE_PER_MM,
                            (double)at.points[i].y / LATTICE_PER_MM};
    }
    return (Ring){points, at.count};
}

// A ring whose inside is beyond doubt, walked the way that is wanted.
static bool take_ring(Ring ring, bool clockwise, Arena *keep, LatticeRing *taken)
{
    Ring way = ring_counter_clockwise(rounded(ring, keep), keep);
    way = clockwise ? ring_reversed(way, keep) : way;
    *taken = lattice_ring(way, (Motion){0}, keep);
    return ring_is_simple(way, NULL);
}

// The judge sees no hole of fewer than three points.
static int take_holes(Polygon area, Arena *keep, LatticeRing *holes)
{
    int count = 0;
    for (int i = 0; i < area.hole_count; i++) {
        LatticeRing hole;
        if (area.holes[i].count >= 3 && take_ring(area.holes[i], true, keep, &hole) &&
            hole.count >= 3) {
            holes[count++] = hole;
        }
    }
    return count;
}

static int points_together(LatticeRing outer, const LatticeRing *holes, int hole_count)
{
    int count = outer.count;
    for (int i = 0; i < hole_count; i++) {
        count += holes[i].count + 2;
    }
    return count;
}

// Exactly, with the holes or, when they are too much, without.
static bool exact_parts(LatticeRing outer, Polygon area, int points_most, Arena *keep,
                        ConvexParts *parts)
{
    LatticeRing *holes = ARENA_ARRAY(keep, LatticeRing, area.hole_count + 1);
    LatticePoint *ring = ARENA_ARRAY(keep, LatticePoint, outer.count);
    memcpy(ring, outer.points, (size_t)outer.count * sizeof *ring);
    Bridging all = {ring, outer.count, holes, take_holes(area, keep, holes), keep};
    const int points = points_together(outer, holes, all.hole_count);
    if (all.hole_count > 0 && points <= points_most && join_holes(&all) &&
        convex_parts_of_points(all.ring, all.count, keep, parts)) {
        return true;
    }
    return outer.count <= points_most &&
           convex_parts_of_points(outer.points, outer.count, keep, parts);
}

// What holds all points whatever way the ring runs: their convex hull, or a box around them.
static ConvexParts hull_parts(LatticeRing outer, int points_most, Arena *keep)
{
    Point *points = ARENA_ARRAY(keep, Point, outer.count);
    for (int i = 0; i < outer.count; i++) {
        points[i] = (Point){(double)outer.points[i].x, (double)outer.points[i].y};
    }
    const Ring hull = ring_convex_hull(points, outer.count, keep);
    Point corners[] = {{(double)outer.min.x - 1, (double)outer.min.y - 1},
                       {(double)outer.max.x + 1, (double)outer.min.y - 1},
                       {(double)outer.max.x + 1, (double)outer.max.y + 1},
                       {(double)outer.min.x - 1, (double)outer.max.y + 1}};
    const bool small = hull.count >= 3 && hull.count <= points_most;
    const Ring ring = small ? hull : (Ring){corners, 4};
    ConvexPart *part = ARENA_NEW(keep, ConvexPart);
    *part = convex_part_of_ring(ring, keep);
    return (ConvexParts){part, 1};
}

ConvexParts area_parts(Polygon area, int points_most, Arena *keep)
{
    LatticeRing outer;
    const bool simple = area.outer.count >= 3 && take_ring(area.outer, false, keep, &outer);
    if (area.outer.count < 3 || outer.count < 3) {
        return (ConvexParts){NULL, 0};
    }
    // Beyond this the parts would not be exact.
    const int64_t widest = (int64_t)1 << 26;
    ConvexParts parts;
    if (outer.max.x - outer.min.x > widest || outer.max.y - outer.min.y > widest) {
        return hull_parts(outer, points_most, keep);
    }
    if (simple && exact_parts(outer, area, points_most, keep, &parts)) {
        return parts;
    }
    if (ring_is_simple(area.outer, NULL)) {
        Outline *outline = ARENA_NEW(keep, Outline);
        outline_make(ring_counter_clockwise(area.outer, keep), points_most, keep, outline);
        if (outline_parts(outline, (Motion){0}, keep, &parts)) {
            return parts;
        }
    }
    return hull_parts(outer, points_most, keep);
}
