// An outline cut into convex parts, exactly.
//
// Two outlines overlap when two of their parts do, and for two convex parts all offsets at
// which they overlap make one convex outline. That is what pair.h builds on.
#pragma once

#include "plane/lattice.h"

enum { PARTS_POINTS_MAX = 150 };

/// Corners in whole lattice units, counter-clockwise, none on a line with its neighbours.
typedef struct ConvexPart {
    const double *x;
    const double *y;
    int count;
} ConvexPart;

typedef struct ConvexParts {
    const ConvexPart *items;
    int count;
} ConvexParts;

/// Convex parts with corners at the ring's own, which together are the ring.
///
/// Shapes   a simple ring, counter-clockwise, 3 to PARTS_POINTS_MAX whole points, differences
///          of coordinates below 2^26; or one that goes around an area with holes, by bridges
///          walked both ways. Of a ring that is neither, the parts hold all that it encloses,
///          when there are any: each winds around its inside once, so do all together what the
///          ring winds around.
/// Errors   false when the ring is not simple (rounding may have closed a needle).
/// Method   ears are cut off (Meisters 1975), then parts joined again while they stay convex
///          (Hertel and Mehlhorn 1983): at most four times as many as needed.
bool convex_parts(const double *x, const double *y, int count, Arena *keep, ConvexParts *parts);

/// The same of a ring's points on the lattice.
bool convex_parts_of_points(const LatticePoint *points, int count, Arena *keep, ConvexParts *parts);

/// A convex ring of whole lattice units, counter-clockwise, as a part; and a part as such a ring.
ConvexPart convex_part_of_ring(Ring ring, Arena *keep);
Ring convex_part_ring(const ConvexPart *part, Arena *keep);

/// Around one part or all, in lattice units. Of no parts: min > max.
Box convex_part_box(const ConvexPart *part);
Box convex_parts_box(ConvexParts parts);

/// Each coordinate plus a whole number.
ConvexParts convex_parts_moved(ConvexParts parts, double x, double y, Arena *keep);
