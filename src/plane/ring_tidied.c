// Rings without points that say nothing.
//
// Whether one edge may stand for a run of points is asked again for each point that the run grows
// by. Seen from where the run begins, each point leaves a wedge of ways that pass near enough, and
// what all wedges have in common is kept up to date: an edge outside it misses some point, an edge
// inside it and at least as long as all points are far misses none (Sklansky and Gonzalez, Fast
// polygonal approximation of digitized curves, 1980; Williams, An efficient algorithm for the
// piecewise linear approximation of planar curves, 1978; both from memory). Only what the wedge
// leaves open is measured point by point, so that the answers are those of measuring every time.
#include "plane/ring.h"

// Ways as seen from the first point of a run: angles from the way to the first point that is far
// enough to have a wedge, which is less than a half turn wide.
typedef struct Wedge {
    double within_mm;
    bool open; // no point has narrowed it yet
    Point axis;
    double from_rad;
    double to_rad;
} Wedge;

typedef struct Run {
    Ring ring;
    double tolerance_mm;
    double blur_mm; // what rounding may add to a distance, and more
    int first;
    int last;         // the points behind the first up to this one are in the wedges
    double *reach_mm; // [i - first]: how far the farthest point up to i is from the first
    Wedge sure;       // to pass by within the tolerance whatever rounding does
    Wedge possible;
} Run;

static double angle_from(Point axis, Point way)
{
    return atan2(point_cross(axis, way), point_dot(axis, way));
}

static void narrow(Wedge *wedge, Point way, double far_mm)
{
    if (far_mm <= wedge->within_mm || wedge->within_mm <= 0) {
        return; // near whatever way is taken
    }
    if (wedge->open) {
        wedge->axis = way;
    }
    const double middle_rad = angle_from(wedge->axis, way);
    const double half_rad = asin(wedge->within_mm / far_mm);
    wedge->from_rad = wedge->open ? -half_rad : fmax(wedge->from_rad, middle_rad - half_rad);
    wedge->to_rad = wedge->open ? half_rad : fmin(wedge->to_rad, middle_rad + half_rad);
    wedge->open = false;
}

static bool holds(const Wedge *wedge, Point way)
{
    const double angle_rad = wedge->open ? 0 : angle_from(wedge->axis, way);
    return wedge->open || (angle_rad >= wedge->from_rad && angle_rad <= wedge->to_rad);
}

static void begin(Run *run, int first)
{
    run->first = run->last = first;
    run->reach_mm[0] = 0;
    run->sure = (Wedge){.within_mm = run->tolerance_mm - run->blur_mm, .open = true};
    run->possible = (Wedge){.within_mm = run->tolerance_mm + run->blur_mm, .open = true};
}

static void grow(Run *run)
{
    run->last++;
    const Point way =
        point_minus(ring_point(run->ring, run->last), ring_point(run->ring, run->first));
    const double far_mm = point_length(way);
    const int at = run->last - run->first;
    run->reach_mm[at] = fmax(run->reach_mm[at - 1], far_mm);
    narrow(&run->sure, way, far_mm);
    narrow(&run->possible, way, far_mm);
}

// Whether the points from one of the run on lie near the edge from its first point.
static bool measured_near(const Run *run, int from, Point a, Point b)
{
    for (int i = from; i <= run->last; i++) {
        const Point p = ring_point(run->ring, i);
        if (point_distance(p, point_on_segment(p, a, b)) > run->tolerance_mm) {
            return false;
        }
    }
    return true;
}

// The first point of the run that is farther away than this, or one behind the last.
static int first_farther(const Run *run, double far_mm)
{
    int low = run->first + 1;
    int high = run->last + 1;
    while (low < high) {
        const int middle = low + (high - low) / 2;
        if (run->reach_mm[middle - run->first] > far_mm) {
            high = middle;
        } else {
            low = middle + 1;
        }
    }
    return low;
}

// Whether all points of the run lie near an edge from its first point to `b`.
static bool all_near(const Run *run, Point b)
{
    const Point a = ring_point(run->ring, run->first);
    const Point way = point_minus(b, a);
    const double far_mm = point_length(way);
    const double reach_mm = run->reach_mm[run->last - run->first];
    if (!holds(&run->possible, way) || reach_mm > far_mm + run->possible.within_mm) {
        return false;
    }
    // Sure are points near the first, whatever way is taken, and those that the edge passes by.
    double sure_mm = run->sure.within_mm;
    if (sure_mm > 0 && holds(&run->sure, way)) {
        sure_mm = fmax(sure_mm, far_mm);
    }
    return measured_near(run, first_farther(run, sure_mm), a, b);
}

// The point farthest from the first: both are sure to be kept.
static int farthest_point(Ring ring)
{
    int farthest = 0;
    for (int i = 1; i < ring.count; i++) {
        if (point_distance(ring.points[i], ring.points[0]) >
            point_distance(ring.points[farthest], ring.points[0])) {
            farthest = i;
        }
    }
    return farthest;
}

static double largest_coordinate(Ring ring)
{
    const Box box = ring_box(ring);
    return fmax(fmax(fabs(box.min.x), fabs(box.min.y)), fmax(fabs(box.max.x), fabs(box.max.y)));
}

Ring ring_tidied(Ring ring, double tolerance_mm, Arena *keep)
{
    if (ring.count < 3) {
        return ring;
    }
    Point *points = ARENA_ARRAY(keep, Point, ring.count);
    const ArenaMark mark = arena_mark(keep);
    Run run = {.ring = ring,
               .tolerance_mm = tolerance_mm,
               .blur_mm = 1e-6 * tolerance_mm + 1e-14 * largest_coordinate(ring),
               .reach_mm = ARENA_ARRAY(keep, double, ring.count + 1)};
    // From a point that surely is a corner, go as far as a straight edge serves.
    const int start = farthest_point(ring);
    int count = 0;
    points[count++] = ring_point(ring, start);
    begin(&run, start);
    for (int next = start + 1; next < start + ring.count; next++) {
        grow(&run);
        const bool repeated =
            point_distance(ring_point(ring, next), ring_point(ring, run.first)) <= tolerance_mm;
        if (!repeated && !all_near(&run, ring_point(ring, next + 1))) {
            points[count++] = ring_point(ring, next);
            begin(&run, next);
        }
    }
    arena_rewind(keep, mark);
    return (Ring){points, count};
}
