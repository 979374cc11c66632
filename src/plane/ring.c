#include "plane/ring.h"

#include <float.h>

Point point_on_segment(Point p, Point a, Point b)
{
    const Point along = point_minus(b, a);
    const double length2 = point_dot(along, along);
    if (length2 == 0) {
        return a;
    }
    const double share = point_dot(point_minus(p, a), along) / length2;
    return point_between(a, b, fmin(1, fmax(0, share)));
}

double ring_area_mm2(Ring ring)
{
    // Fan of triangles from the first point. Measuring from there, not from the
    // origin, keeps digits when a small piece lies far out on the plane.
    double twice_area_mm2 = 0;
    for (int i = 1; i + 1 < ring.count; i++) {
        const Point a = point_minus(ring.points[i], ring.points[0]);
        const Point b = point_minus(ring.points[i + 1], ring.points[0]);
        twice_area_mm2 += point_cross(a, b);
    }
    return 0.5 * twice_area_mm2;
}

double ring_length_mm(Ring ring)
{
    double length_mm = 0;
    for (int i = 0; i < ring.count; i++) {
        length_mm += point_distance(ring.points[i], ring_point(ring, i + 1));
    }
    return length_mm;
}

Point ring_centroid(Ring ring)
{
    if (ring.count == 0) {
        return (Point){0, 0};
    }
    double twice_area = 0;
    Point sum = {0, 0};
    for (int i = 1; i + 1 < ring.count; i++) {
        const Point a = point_minus(ring.points[i], ring.points[0]);
        const Point b = point_minus(ring.points[i + 1], ring.points[0]);
        const double cross = point_cross(a, b);
        twice_area += cross;
        sum = point_plus(sum, point_times(point_plus(a, b), cross / 3));
    }
    if (twice_area == 0) {
        return ring.points[0];
    }
    return point_plus(ring.points[0], point_times(sum, 1 / twice_area));
}

Box ring_box(Ring ring)
{
    Box box = {{DBL_MAX, DBL_MAX}, {-DBL_MAX, -DBL_MAX}};
    for (int i = 0; i < ring.count; i++) {
        box.min.x = fmin(box.min.x, ring.points[i].x);
        box.min.y = fmin(box.min.y, ring.points[i].y);
        box.max.x = fmax(box.max.x, ring.points[i].x);
        box.max.y = fmax(box.max.y, ring.points[i].y);
    }
    return box;
}

bool ring_contains(Ring ring, Point point)
{
    bool inside = false;
    for (int i = 0; i < ring.count; i++) {
        const Point a = ring.points[i];
        const Point b = ring_point(ring, i + 1);
        if ((a.y > point.y) == (b.y > point.y)) {
            continue;
        }
        if (point.x < a.x + (b.x - a.x) * (point.y - a.y) / (b.y - a.y)) {
            inside = !inside;
        }
    }
    return inside;
}

// Squared distance to the segment from `a` to `b`: no root and no call, since maps ask
// for millions of them.
static double segment_distance2(Point p, Point a, Point b)
{
    const Point along = point_minus(b, a);
    const Point to = point_minus(p, a);
    const double length2 = point_dot(along, along);
    const double share = point_dot(to, along);
    if (share <= 0) {
        return point_dot(to, to);
    }
    if (share >= length2) {
        const Point end = point_minus(p, b);
        return point_dot(end, end);
    }
    const double cross = point_cross(along, to);
    return cross * cross / length2;
}

double ring_distance_mm(Ring ring, Point point)
{
    double nearest2 = DBL_MAX;
    for (int i = 0; i < ring.count; i++) {
        const Point next = ring.points[i + 1 == ring.count ? 0 : i + 1];
        const double distance2 = segment_distance2(point, ring.points[i], next);
        nearest2 = distance2 < nearest2 ? distance2 : nearest2;
    }
    return sqrt(nearest2);
}

Ring ring_reversed(Ring ring, Arena *keep)
{
    Point *points = ARENA_ARRAY(keep, Point, ring.count);
    for (int i = 0; i < ring.count; i++) {
        points[i] = ring.points[ring.count - 1 - i];
    }
    return (Ring){points, ring.count};
}

Ring ring_counter_clockwise(Ring ring, Arena *keep)
{
    if (ring_area_mm2(ring) < 0) {
        return ring_reversed(ring, keep);
    }
    return ring_moved(ring, (Motion){0}, keep);
}

Ring ring_mirrored_y(Ring ring, Arena *keep)
{
    Point *points = ARENA_ARRAY(keep, Point, ring.count);
    for (int i = 0; i < ring.count; i++) {
        const Point from = ring.points[ring.count - 1 - i];
        points[i] = (Point){from.x, -from.y};
    }
    return (Ring){points, ring.count};
}

Ring ring_moved(Ring ring, Motion motion, Arena *keep)
{
    const MotionMatrix matrix = motion_matrix(motion);
    Point *points = ARENA_ARRAY(keep, Point, ring.count);
    for (int i = 0; i < ring.count; i++) {
        points[i] = motion_apply(matrix, ring.points[i]);
    }
    return (Ring){points, ring.count};
}

static double side_of(Point a, Point b, Point p)
{
    return point_cross(point_minus(b, a), point_minus(p, a));
}

static bool boxes_apart(Point a, Point b, Point c, Point d)
{
    return fmax(a.x, b.x) < fmin(c.x, d.x) || fmax(c.x, d.x) < fmin(a.x, b.x) ||
           fmax(a.y, b.y) < fmin(c.y, d.y) || fmax(c.y, d.y) < fmin(a.y, b.y);
}

// Whether two segments share any point.
static bool segments_meet(Point a, Point b, Point c, Point d)
{
    if (boxes_apart(a, b, c, d)) {
        return false;
    }
    const double c_side = side_of(a, b, c);
    const double d_side = side_of(a, b, d);
    const double a_side = side_of(c, d, a);
    const double b_side = side_of(c, d, b);
    return !(c_side > 0 && d_side > 0) && !(c_side < 0 && d_side < 0) &&
           !(a_side > 0 && b_side > 0) && !(a_side < 0 && b_side < 0);
}

// Where two segments that meet do so; for segments on one line an end of one of them.
static Point meeting_point(Point a, Point b, Point c, Point d)
{
    const Point along = point_minus(b, a);
    const double slant = point_cross(along, point_minus(d, c));
    if (slant == 0) {
        return point_on_segment(c, a, b);
    }
    return point_between(a, b, point_cross(point_minus(c, a), point_minus(d, c)) / slant);
}

// Neighbouring edges share one end; they clash when one runs back over the other.
static bool edge_turns_back(Point before, Point corner, Point after)
{
    const Point in = point_minus(corner, before);
    const Point out = point_minus(after, corner);
    return point_cross(in, out) == 0 && point_dot(in, out) < 0;
}

// Runs of edges with a box around each, so that an edge is compared with the few that are near.
enum { RUNS_MOST = 256, RUN_LEAST = 16 };

typedef struct Runs {
    Box boxes[RUNS_MOST];
    int edges; // in each
} Runs;

static Box edge_box(Ring ring, int edge)
{
    const Point a = ring.points[edge];
    const Point b = ring_point(ring, edge + 1);
    return (Box){{fmin(a.x, b.x), fmin(a.y, b.y)}, {fmax(a.x, b.x), fmax(a.y, b.y)}};
}

static void make_runs(Ring ring, Runs *runs)
{
    const int needed = (ring.count + RUNS_MOST - 1) / RUNS_MOST;
    runs->edges = needed > RUN_LEAST ? needed : RUN_LEAST;
    for (int i = 0; i < ring.count; i++) {
        const Box box = edge_box(ring, i);
        Box *run = &runs->boxes[i / runs->edges];
        if (i % runs->edges == 0) {
            *run = box;
        }
        run->min = (Point){fmin(run->min.x, box.min.x), fmin(run->min.y, box.min.y)};
        run->max = (Point){fmax(run->max.x, box.max.x), fmax(run->max.y, box.max.y)};
    }
}

static bool boxes_meet(Box a, Box b)
{
    return a.min.x <= b.max.x && b.min.x <= a.max.x && a.min.y <= b.max.y && b.min.y <= a.max.y;
}

// The first edge from `first` to before `end` that meets an edge, or -1.
static int first_that_meets(Ring ring, int edge, int first, int end, const Runs *runs)
{
    const Box box = edge_box(ring, edge);
    int at = first;
    while (at < end) {
        const int run = at / runs->edges;
        const int run_end = (run + 1) * runs->edges < end ? (run + 1) * runs->edges : end;
        at = boxes_meet(box, runs->boxes[run]) ? at : run_end;
        for (; at < run_end; at++) {
            if (segments_meet(ring.points[edge], ring_point(ring, edge + 1), ring.points[at],
                              ring_point(ring, at + 1))) {
                return at;
            }
        }
    }
    return -1;
}

bool ring_is_simple(Ring ring, Point *crossing)
{
    Point unused;
    Point *place = crossing ? crossing : &unused;
    Runs runs;
    make_runs(ring, &runs);
    for (int i = 0; i < ring.count; i++) {
        const Point a = ring.points[i];
        const Point b = ring_point(ring, i + 1);
        *place = b;
        if ((a.x == b.x && a.y == b.y) || edge_turns_back(a, b, ring_point(ring, i + 2))) {
            return false;
        }
        // The last edge is the first one's neighbour.
        const int end = i == 0 ? ring.count - 1 : ring.count;
        const int j = first_that_meets(ring, i, i + 2, end, &runs);
        if (j >= 0) {
            *place = meeting_point(a, b, ring.points[j], ring_point(ring, j + 1));
            return false;
        }
    }
    return ring.count >= 3;
}

Ring ring_refined(Ring ring, double step_mm, Arena *keep)
{
    int total = 0;
    for (int i = 0; i < ring.count; i++) {
        const double length = point_distance(ring.points[i], ring_point(ring, i + 1));
        total += (int)fmax(1, ceil(length / step_mm));
    }
    Point *points = ARENA_ARRAY(keep, Point, total);
    int count = 0;
    for (int i = 0; i < ring.count; i++) {
        const Point a = ring.points[i];
        const Point b = ring_point(ring, i + 1);
        const int parts = (int)fmax(1, ceil(point_distance(a, b) / step_mm));
        for (int k = 0; k < parts; k++) {
            points[count++] = point_between(a, b, (double)k / parts);
        }
    }
    return (Ring){points, count};
}
