// Polygons with holes, and what is done with sets of them: union, intersection,
// difference, growing and shrinking.
//
// The work is done by GEOS (libgeos, OverlayNG in double precision); this is the
// only place that knows it. Results have outer rings counter-clockwise and holes
// clockwise; where a result begins is not defined.
#pragma once

#include "base/attributes.h"
#include "plane/ring.h"

typedef struct Polygon {
    Ring outer;
    const Ring *holes;
    int hole_count;
} Polygon;

/// Any number of polygons whose interiors do not meet. All zero is the empty set.
typedef struct PolygonSet {
    const Polygon *items;
    int count;
} PolygonSet;

typedef enum PolygonOperation {
    POLYGON_UNION,
    POLYGON_INTERSECTION,
    POLYGON_DIFFERENCE
} PolygonOperation;

/// How a grown outline turns at an outside corner.
typedef enum PolygonJoin {
    POLYGON_ROUND, ///< arc; the true set of points within the distance
    POLYGON_MITRE, ///< sharp up to 5 times the distance, then cut
} PolygonJoin;

/// Around all outer rings; min is above max when there is none.
Box polygon_set_box(PolygonSet set);

double polygon_area_mm2(Polygon polygon);
double polygon_set_area_mm2(PolygonSet set);
bool polygon_set_contains(PolygonSet set, Point point);
/// Distance from a point to the set; 0 inside.
double polygon_set_distance_mm(PolygonSet set, Point point);
PolygonSet polygon_set_of_ring(Ring ring, Arena *keep);
/// The outer ring with the greatest area; empty for the empty set.
Ring polygon_set_largest_ring(PolygonSet set);

/// Overlay of two sets.
///
/// Shapes   coordinates finite; rings simple, but for crossings by a hair such as rounding
///          leaves, which are repaired (GEOS MakeValid, structure method).
/// Result   points only or lines only (touching) count as empty; slivers under
///          1e-6 mm2 are dropped.
/// Errors   false when the library cannot make a valid result; *result untouched.
MUST_CHECK bool polygon_overlay(PolygonOperation operation, PolygonSet a, PolygonSet b, Arena *keep,
                                PolygonSet *result);

/// Union of many, which may overlap each other. Same errors.
MUST_CHECK bool polygon_union_all(const Ring *rings, int count, Arena *keep, PolygonSet *result);

/// Grown by `distance_mm` (shrunk when negative).
///
/// Accuracy rounded corners are inscribed polygons: at most 0.2 % of the distance
///          short (16 chords a quarter; GEOS also simplifies by up to 1 % of the
///          distance at concave places). Callers who need a guaranteed distance
///          ask for 1.003 times it. Outlines with thousands of points within the distance
///          of each other are tidied by 0.2 % of it first.
/// Errors   as above, and when there are too many such points even then: all that is put
///          around them would cross millions of times (plane/crowd.h).
MUST_CHECK bool polygon_grow(PolygonSet set, double distance_mm, PolygonJoin join, Arena *keep,
                             PolygonSet *result);

/// A polyline with a width, round ends: a scar, a barbed-wire line. Same errors.
MUST_CHECK bool polygon_of_line(const Point *points, int count, double width_mm, Arena *keep,
                                PolygonSet *result);

/// The two-dimensional convex hull of some points, counter-clockwise, no three
/// on one line.
Ring ring_convex_hull(const Point *points, int count, Arena *keep);
