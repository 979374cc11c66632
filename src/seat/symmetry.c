#include "seat/symmetry.h"

#include <float.h>

// Whether a point lies near the edge. Looks from edge *hint on, in steps of +1 or -1,
// and leaves the edge found there: the image of the next point is not far from it.
static bool near_edge(Ring ring, Point p, double tolerance_mm, int step, int *hint)
{
    for (int i = 0; i < ring.count; i++) {
        const int edge = *hint + step * i;
        const Point foot = point_on_segment(p, ring_point(ring, edge), ring_point(ring, edge + 1));
        const Point off = point_minus(p, foot);
        if (point_dot(off, off) <= tolerance_mm * tolerance_mm) {
            *hint = ((edge - step) % ring.count + ring.count) % ring.count;
            return true;
        }
    }
    return false;
}

// In both maps it is enough to look at the images of the points, since the maps undo
// themselves: what is near one way is near the other.

bool ring_looks_mirrored(Ring ring, double tolerance_mm)
{
    int hint = 0;
    for (int i = 0; i < ring.count; i++) {
        const Point image = {-ring.points[i].x, ring.points[i].y};
        if (!near_edge(ring, image, tolerance_mm, -1, &hint)) {
            return false;
        }
    }
    return true;
}

bool ring_looks_half_turned(Ring ring, Point middle, double tolerance_mm)
{
    int hint = 0;
    for (int i = 0; i < ring.count; i++) {
        const Point image = point_minus(point_times(middle, 2), ring.points[i]);
        if (!near_edge(ring, image, tolerance_mm, 1, &hint)) {
            return false;
        }
    }
    return true;
}

bool ring_looks_round(Ring ring, Point middle, double tolerance_mm)
{
    double least = DBL_MAX;
    double most = 0;
    for (int i = 0; i < ring.count; i++) {
        const Point a = ring.points[i];
        const Point foot = point_on_segment(middle, a, ring_point(ring, i + 1));
        least = fmin(least, point_distance(middle, foot));
        most = fmax(most, point_distance(middle, a));
    }
    return most - least <= 2 * tolerance_mm;
}
