#include "layout/part_cut.h"

#include "plane/polygon.h"

#include <assert.h>
#include <stdint.h>

typedef struct Corners {
    Point *points;
    int count;
} Corners;

// What of the line from a to b, whole numbers, lies at a whole x between theirs: y rounded down
// and up.
static void push_cut(Point a, Point b, double x, bool swapped, Corners *to)
{
    const int64_t run = (int64_t)(b.x - a.x);
    const int64_t rise = (int64_t)(b.y - a.y);
    const int64_t product = (int64_t)(x - a.x) * rise;
    int64_t down = product / run;
    down -= product % run != 0 && (product % run < 0) != (run < 0) ? 1 : 0;
    const int64_t up = down * run == product ? down : down + 1;
    const double low = a.y + (double)down;
    const double high = a.y + (double)up;
    to->points[to->count++] = swapped ? (Point){low, x} : (Point){x, low};
    to->points[to->count++] = swapped ? (Point){high, x} : (Point){x, high};
}

static Point swapped_if(Point p, bool swapped)
{
    return swapped ? (Point){p.y, p.x} : p;
}

// Leaves what has sign * coordinate <= sign * limit, along x or, swapped, along y: the convex hull
// of the corners that are left and of all places of the cuts.
static Ring cut_off(Ring from, bool swapped, double sign, double limit, Arena *keep)
{
    Corners to = {ARENA_ARRAY(keep, Point, 3 * from.count + 1), 0};
    for (int i = 0; i < from.count; i++) {
        const Point a = swapped_if(from.points[i], swapped);
        const Point b = swapped_if(ring_point(from, i + 1), swapped);
        const double past_a = sign * (a.x - limit);
        const double past_b = sign * (b.x - limit);
        if (past_a <= 0) {
            to.points[to.count++] = from.points[i];
        }
        if ((past_a < 0 && past_b > 0) || (past_a > 0 && past_b < 0)) {
            push_cut(a, b, limit, swapped, &to);
        }
    }
    return ring_convex_hull(to.points, to.count, keep);
}

bool part_in_box(const ConvexPart *part, Box box, Arena *keep, ConvexPart *cut)
{
    Ring hull = convex_part_ring(part, keep);
    hull = cut_off(hull, false, 1, box.max.x, keep);
    hull = cut_off(hull, false, -1, box.min.x, keep);
    hull = cut_off(hull, true, 1, box.max.y, keep);
    hull = cut_off(hull, true, -1, box.min.y, keep);
    if (hull.count < 3) {
        return false;
    }
    assert(hull.count <= PARTS_POINTS_MAX);
    *cut = convex_part_of_ring(hull, keep);
    return true;
}
