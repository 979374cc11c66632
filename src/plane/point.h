// Points and vectors on the plane, in mm; x right, y up.
#pragma once

#include <math.h>

typedef struct Point {
    double x;
    double y;
} Point;

static inline Point point_plus(Point a, Point b)
{
    return (Point){a.x + b.x, a.y + b.y};
}

static inline Point point_minus(Point a, Point b)
{
    return (Point){a.x - b.x, a.y - b.y};
}

static inline Point point_times(Point a, double factor)
{
    return (Point){a.x * factor, a.y * factor};
}

/// From `a` (share 0) to `b` (share 1).
static inline Point point_between(Point a, Point b, double share)
{
    return (Point){a.x + (b.x - a.x) * share, a.y + (b.y - a.y) * share};
}

static inline double point_dot(Point a, Point b)
{
    return a.x * b.x + a.y * b.y;
}

/// > 0 when `b` points to the left of `a`.
static inline double point_cross(Point a, Point b)
{
    return a.x * b.y - a.y * b.x;
}

static inline double point_length(Point a)
{
    return hypot(a.x, a.y);
}

static inline double point_distance(Point a, Point b)
{
    return hypot(b.x - a.x, b.y - a.y);
}

/// Turned a quarter to the right: the outward normal of a counter-clockwise edge.
static inline Point point_right(Point a)
{
    return (Point){a.y, -a.x};
}

/// Length 1; the null vector stays null.
static inline Point point_unit(Point a)
{
    const double length = point_length(a);
    return length > 0 ? point_times(a, 1 / length) : a;
}

/// Nearest point to `p` on the segment from `a` to `b`.
Point point_on_segment(Point p, Point a, Point b);
