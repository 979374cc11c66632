#include "plane/lattice.h"

#include <assert.h>
#include <stdlib.h>

// Products of two coordinate differences fit 64 bits (LATTICE_MAX); their squares,
// needed for exact distances, fit 128.
__extension__ typedef __int128 Wide;

static LatticePoint lattice_point(Point p)
{
    const double x = round(p.x * LATTICE_PER_MM);
    const double y = round(p.y * LATTICE_PER_MM);
    assert(fabs(x) <= (double)LATTICE_MAX && fabs(y) <= (double)LATTICE_MAX);
    return (LatticePoint){(int64_t)x, (int64_t)y};
}

static bool same(LatticePoint a, LatticePoint b)
{
    return a.x == b.x && a.y == b.y;
}

static int64_t lesser(int64_t a, int64_t b)
{
    return a < b ? a : b;
}

static int64_t greater(int64_t a, int64_t b)
{
    return a > b ? a : b;
}

LatticeRing lattice_ring(Ring ring, Motion motion, Arena *keep)
{
    const MotionMatrix matrix = motion_matrix(motion);
    LatticePoint *points = ARENA_ARRAY(keep, LatticePoint, ring.count);
    LatticeRing result = {.points = points};
    for (int i = 0; i < ring.count; i++) {
        const LatticePoint p = lattice_point(motion_apply(matrix, ring.points[i]));
        if (result.count > 0 && same(p, points[result.count - 1])) {
            continue;
        }
        points[result.count++] = p;
    }
    while (result.count > 1 && same(points[result.count - 1], points[0])) {
        result.count--;
    }
    result.min = result.max = result.count ? points[0] : (LatticePoint){0, 0};
    for (int i = 1; i < result.count; i++) {
        result.min.x = lesser(result.min.x, points[i].x);
        result.min.y = lesser(result.min.y, points[i].y);
        result.max.x = greater(result.max.x, points[i].x);
        result.max.y = greater(result.max.y, points[i].y);
    }
    return result;
}

// Sign of the turn a -> b -> p: +1 left, 0 straight, -1 right.
static int turn(LatticePoint a, LatticePoint b, LatticePoint p)
{
    const int64_t cross = (b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x);
    return (cross > 0) - (cross < 0);
}

static bool on_segment(LatticePoint a, LatticePoint b, LatticePoint p)
{
    return p.x >= lesser(a.x, b.x) && p.x <= greater(a.x, b.x) && p.y >= lesser(a.y, b.y) &&
           p.y <= greater(a.y, b.y) && turn(a, b, p) == 0;
}

static LatticePoint next_point(LatticeRing ring, int index)
{
    return ring.points[index + 1 == ring.count ? 0 : index + 1];
}

// Where `doubled` lies, given in half grid units: the midpoint of two grid points.
static int where_doubled(LatticeRing ring, LatticePoint doubled)
{
    bool inside = false;
    for (int i = 0; i < ring.count; i++) {
        const LatticePoint from = ring.points[i];
        const LatticePoint to = next_point(ring, i);
        const LatticePoint a = {2 * from.x, 2 * from.y};
        const LatticePoint b = {2 * to.x, 2 * to.y};
        if (on_segment(a, b, doubled)) {
            return 0;
        }
        if ((a.y > doubled.y) == (b.y > doubled.y)) {
            continue;
        }
        // The ray to the right is crossed when the point lies left of a rising edge or
        // right of a falling one.
        const bool rising = b.y > a.y;
        inside ^= (turn(a, b, doubled) > 0) == rising;
    }
    return inside ? 1 : -1;
}

int lattice_where(LatticeRing ring, LatticePoint point)
{
    return where_doubled(ring, (LatticePoint){2 * point.x, 2 * point.y});
}

static bool boxes_apart(LatticeRing a, LatticeRing b, int64_t gap)
{
    return a.max.x + gap < b.min.x || b.max.x + gap < a.min.x || a.max.y + gap < b.min.y ||
           b.max.y + gap < a.min.y;
}

static bool segment_in_box(LatticePoint a, LatticePoint b, LatticeRing ring, int64_t gap)
{
    return greater(a.x, b.x) + gap >= ring.min.x && lesser(a.x, b.x) - gap <= ring.max.x &&
           greater(a.y, b.y) + gap >= ring.min.y && lesser(a.y, b.y) - gap <= ring.max.y;
}

// Edges that cross at a place inside both.
static bool cross_properly(LatticePoint a, LatticePoint b, LatticePoint c, LatticePoint d)
{
    return turn(a, b, c) * turn(a, b, d) < 0 && turn(c, d, a) * turn(c, d, b) < 0;
}

LatticeMeeting lattice_edges_meet(LatticePoint a, LatticePoint b, LatticePoint c, LatticePoint d)
{
    if (greater(a.x, b.x) < lesser(c.x, d.x) || greater(c.x, d.x) < lesser(a.x, b.x) ||
        greater(a.y, b.y) < lesser(c.y, d.y) || greater(c.y, d.y) < lesser(a.y, b.y)) {
        return LATTICE_APART;
    }
    const int of_cd = turn(a, b, c) * turn(a, b, d);
    if (of_cd > 0) {
        return LATTICE_APART;
    }
    const int of_ab = turn(c, d, a) * turn(c, d, b);
    if (of_ab > 0) {
        return LATTICE_APART;
    }
    // Boxes that meet and neither edge beside the other's line: they share a point.
    return of_cd < 0 && of_ab < 0 ? LATTICE_CROSSING : LATTICE_TOUCHING;
}

static bool edges_apart(LatticePoint a, LatticePoint b, LatticePoint c, LatticePoint d, int64_t gap)
{
    return greater(a.x, b.x) + gap < lesser(c.x, d.x) ||
           greater(c.x, d.x) + gap < lesser(a.x, b.x) ||
           greater(a.y, b.y) + gap < lesser(c.y, d.y) || greater(c.y, d.y) + gap < lesser(a.y, b.y);
}

// The edges of a ring near another one: those whose boxes meet its box. Only these, and the
// points where they begin, can touch it. Of a hide's outline they are few.
typedef struct NearEdges {
    LatticeRing ring;
    const int *first; // index of the point where each begins
    int count;
} NearEdges;

static NearEdges near_edges(LatticeRing ring, LatticeRing to, Arena *scratch)
{
    int *first = ARENA_ARRAY(scratch, int, ring.count + 1);
    int count = 0;
    for (int i = 0; i < ring.count; i++) {
        if (segment_in_box(ring.points[i], next_point(ring, i), to, 0)) {
            first[count++] = i;
        }
    }
    return (NearEdges){ring, first, count};
}

static bool any_proper_crossing(LatticeRing a, LatticeRing b, Arena *scratch)
{
    const ArenaMark mark = arena_mark(scratch);
    const NearEdges of_a = near_edges(a, b, scratch);
    const NearEdges of_b = near_edges(b, a, scratch);
    bool found = false;
    for (int i = 0; i < of_a.count && !found; i++) {
        const LatticePoint from = a.points[of_a.first[i]];
        const LatticePoint to = next_point(a, of_a.first[i]);
        for (int j = 0; j < of_b.count && !found; j++) {
            const LatticePoint c = b.points[of_b.first[j]];
            const LatticePoint d = next_point(b, of_b.first[j]);
            found = !edges_apart(from, to, c, d, 0) && cross_properly(from, to, c, d);
        }
    }
    arena_rewind(scratch, mark);
    return found;
}

static bool on_any(const NearEdges *edges, LatticePoint p)
{
    for (int i = 0; i < edges->count; i++) {
        const int first = edges->first[i];
        if (on_segment(edges->ring.points[first], next_point(edges->ring, first), p)) {
            return true;
        }
    }
    return false;
}

// The vertices at the beginnings of `edges` that lie on the segment, and its ends, in order
// along it.
static int cuts_along(LatticePoint from, LatticePoint to, const NearEdges *edges,
                      LatticePoint *cuts)
{
    int count = 0;
    cuts[count++] = from;
    for (int j = 0; j < edges->count; j++) {
        const LatticePoint p = edges->ring.points[edges->first[j]];
        if (same(p, from) || same(p, to) || !on_segment(from, to, p)) {
            continue;
        }
        // Insertion by distance from `from`: few touch, so this stays short.
        const int64_t far = llabs(p.x - from.x) + llabs(p.y - from.y);
        int at = count;
        while (at > 1 && llabs(cuts[at - 1].x - from.x) + llabs(cuts[at - 1].y - from.y) > far) {
            cuts[at] = cuts[at - 1];
            at--;
        }
        cuts[at] = p;
        count++;
    }
    cuts[count++] = to;
    return count;
}

// Where the stretches of a ring's edge lie with respect to another ring; and for those
// on its edge, what lies beside them.
typedef struct Stretches {
    bool inside;
    bool outside;
    bool beside_both; // the inside of both
    bool beside_own;  // the inside of the ring, not of the other
} Stretches;

static int sign_of_cross(LatticePoint a, LatticePoint b)
{
    const int64_t cross = a.x * b.y - a.y * b.x;
    return (cross > 0) - (cross < 0);
}

// Whether the ring is what lies just to the left of a stretch, around its middle. The
// place asked for is the middle moved to the left by less than any length, and onward by
// less than any share of that: so it is on no edge.
static bool inside_left_of(LatticeRing ring, LatticePoint doubled, LatticePoint along)
{
    const LatticePoint left = {-along.y, along.x};
    const bool down = left.y < 0 || (left.y == 0 && along.y < 0);
    bool inside = false;
    for (int i = 0; i < ring.count; i++) {
        const LatticePoint from = ring.points[i];
        const LatticePoint to = next_point(ring, i);
        const LatticePoint a = {2 * from.x, 2 * from.y};
        const LatticePoint b = {2 * to.x, 2 * to.y};
        const bool a_above = a.y > doubled.y || (a.y == doubled.y && down);
        const bool b_above = b.y > doubled.y || (b.y == doubled.y && down);
        if (a_above == b_above) {
            continue;
        }
        const LatticePoint way = {to.x - from.x, to.y - from.y};
        int side = turn(a, b, doubled);
        side = side ? side : sign_of_cross(way, left);
        side = side ? side : sign_of_cross(way, along);
        inside ^= (side > 0) == (to.y > from.y);
    }
    return inside;
}

// A stretch on the other's edge, cut where the ring touches itself: there its own
// inside may change sides.
static void look_beside(LatticeRing ring, LatticeRing other, LatticePoint from, LatticePoint to,
                        Arena *scratch, Stretches *found)
{
    const ArenaMark mark = arena_mark(scratch);
    LatticePoint *cuts = ARENA_ARRAY(scratch, LatticePoint, ring.count + 2);
    const NearEdges own = near_edges(ring, other, scratch);
    const int count = cuts_along(from, to, &own, cuts);
    for (int k = 0; k + 1 < count; k++) {
        const LatticePoint doubled = {cuts[k].x + cuts[k + 1].x, cuts[k].y + cuts[k + 1].y};
        const LatticePoint onward = {cuts[k + 1].x - cuts[k].x, cuts[k + 1].y - cuts[k].y};
        const LatticePoint back = {-onward.x, -onward.y};
        const LatticePoint ways[2] = {onward, back};
        for (int side = 0; side < 2 && !same(cuts[k], cuts[k + 1]); side++) {
            if (inside_left_of(ring, doubled, ways[side])) {
                const bool both = inside_left_of(other, doubled, ways[side]);
                found->beside_both |= both;
                found->beside_own |= !both;
            }
        }
    }
    arena_rewind(scratch, mark);
}

// No edges may cross properly. Then the side on which a stretch lies changes only at points on
// the other's edge: elsewhere it is known from the stretch before.
static Stretches stretches_of(LatticeRing ring, LatticeRing other, Arena *scratch)
{
    const ArenaMark mark = arena_mark(scratch);
    LatticePoint *cuts = ARENA_ARRAY(scratch, LatticePoint, other.count + 2);
    const NearEdges edges = near_edges(other, ring, scratch);
    Stretches found = {0};
    int where = 0;
    for (int i = 0; i < ring.count && !(found.inside && found.outside); i++) {
        const LatticePoint from = ring.points[i];
        const LatticePoint to = next_point(ring, i);
        if (!segment_in_box(from, to, other, 0)) {
            found.outside = true;
            where = -1;
            continue;
        }
        const int count = cuts_along(from, to, &edges, cuts);
        for (int k = 0; k + 1 < count; k++) {
            const LatticePoint doubled = {cuts[k].x + cuts[k + 1].x, cuts[k].y + cuts[k + 1].y};
            if (where == 0 || k > 0 || on_any(&edges, from)) {
                where = where_doubled(other, doubled);
            }
            found.inside |= where > 0;
            found.outside |= where < 0;
            if (where == 0) {
                look_beside(ring, other, cuts[k], cuts[k + 1], scratch, &found);
            }
        }
    }
    arena_rewind(scratch, mark);
    return found;
}

bool lattice_interiors_meet(LatticeRing a, LatticeRing b, Arena *scratch)
{
    if (a.count < 3 || b.count < 3 || boxes_apart(a, b, 0)) {
        return false;
    }
    if (any_proper_crossing(a, b, scratch)) {
        return true;
    }
    const Stretches of_a = stretches_of(a, b, scratch);
    return of_a.inside || of_a.beside_both || stretches_of(b, a, scratch).inside;
}

bool lattice_within(LatticeRing inner, LatticeRing outer, Arena *scratch)
{
    if (inner.min.x < outer.min.x || inner.min.y < outer.min.y || inner.max.x > outer.max.x ||
        inner.max.y > outer.max.y || any_proper_crossing(inner, outer, scratch)) {
        return false;
    }
    const Stretches of_inner = stretches_of(inner, outer, scratch);
    // An outer ring that touches itself may have what is not its inside in the middle.
    return !of_inner.outside && !of_inner.beside_own && !stretches_of(outer, inner, scratch).inside;
}

static bool point_nearer(LatticePoint p, LatticePoint a, LatticePoint b, int64_t gap)
{
    const int64_t along_x = b.x - a.x;
    const int64_t along_y = b.y - a.y;
    const int64_t to_x = p.x - a.x;
    const int64_t to_y = p.y - a.y;
    const int64_t length2 = along_x * along_x + along_y * along_y;
    const int64_t share = to_x * along_x + to_y * along_y;
    const int64_t gap2 = gap * gap;
    if (share <= 0) {
        return to_x * to_x + to_y * to_y < gap2;
    }
    if (share >= length2) {
        const int64_t end_x = p.x - b.x;
        const int64_t end_y = p.y - b.y;
        return end_x * end_x + end_y * end_y < gap2;
    }
    const int64_t cross = along_x * to_y - along_y * to_x;
    return (Wide)cross * cross < (Wide)gap2 * length2;
}

bool lattice_edges_nearer(LatticePoint a, LatticePoint b, LatticePoint c, LatticePoint d,
                          int64_t gap_units)
{
    return cross_properly(a, b, c, d) || point_nearer(a, c, d, gap_units) ||
           point_nearer(b, c, d, gap_units) || point_nearer(c, a, b, gap_units) ||
           point_nearer(d, a, b, gap_units);
}

bool lattice_nearer_than(LatticeRing a, LatticeRing b, int64_t gap_units)
{
    if (gap_units <= 0 || boxes_apart(a, b, gap_units)) {
        return false;
    }
    for (int i = 0; i < a.count; i++) {
        const LatticePoint from = a.points[i];
        const LatticePoint to = next_point(a, i);
        if (!segment_in_box(from, to, b, gap_units)) {
            continue;
        }
        for (int j = 0; j < b.count; j++) {
            const LatticePoint c = b.points[j];
            const LatticePoint d = next_point(b, j);
            if (!edges_apart(from, to, c, d, gap_units) &&
                lattice_edges_nearer(from, to, c, d, gap_units)) {
                return true;
            }
        }
    }
    return false;
}
