// Rings: closed chains of straight edges.
//
// A ring is a view of points held elsewhere, usually in an arena. The last point
// joins the first and is not repeated. Outer rings run counter-clockwise, holes
// clockwise.
#pragma once

#include "base/arena.h"
#include "plane/motion.h"
#include "plane/point.h"

#include <stdbool.h>

typedef struct Ring {
    const Point *points;
    int count;
} Ring;

typedef struct Box {
    Point min;
    Point max;
} Box;

/// Signed area enclosed by a ring, in mm2.
///
/// Shapes   any simple ring. Where it crosses itself, each region counts once
///          for each turn around it.
/// Result   > 0 counter-clockwise, < 0 clockwise, 0 for fewer than 3 points.
/// Accuracy rounding only; measured from the first point, so that a ring far from
///          the origin is as exact as one on it.
/// Source   the shoelace formula; O'Rourke, Computational Geometry in C, 2nd ed.
///          1998, section 1.3.
double ring_area_mm2(Ring ring);

double ring_length_mm(Ring ring);

/// Centre of area. The first point for rings without area.
Point ring_centroid(Ring ring);

/// Of an empty ring: min > max.
Box ring_box(Ring ring);

/// Even-odd rule; points on the edge go either way.
bool ring_contains(Ring ring, Point point);

/// Distance to the edge, >= 0, whether the point is in or out.
double ring_distance_mm(Ring ring, Point point);

/// Half-open edge i runs from ring_point(i) to ring_point(i + 1).
static inline Point ring_point(Ring ring, int index)
{
    const int wrapped = index % ring.count;
    return ring.points[wrapped < 0 ? wrapped + ring.count : wrapped];
}

/// The same ring walked the other way.
Ring ring_reversed(Ring ring, Arena *keep);
/// The same ring, counter-clockwise.
Ring ring_counter_clockwise(Ring ring, Arena *keep);
/// y mirrored (grain side to flesh side); walked so that it stays counter-clockwise.
Ring ring_mirrored_y(Ring ring, Arena *keep);
Ring ring_moved(Ring ring, Motion motion, Arena *keep);
/// Without repeated points and points nearer than `tolerance_mm` to the line
/// between their kept neighbours. Corners stay.
Ring ring_tidied(Ring ring, double tolerance_mm, Arena *keep);

/// No edge meets another but at shared ends. O(n^2) with boxes; n <= 5,000.
/// `crossing`, when given, gets a place where it fails.
bool ring_is_simple(Ring ring, Point *crossing);

/// Points added so that no edge is longer than `step_mm`.
Ring ring_refined(Ring ring, double step_mm, Arena *keep);
