// Sums of convex parts: the offsets at which two of them overlap.
//
// Edges of both are walked by angle, as two sorted lists are merged (de Berg et al., Computational
// Geometry, 3rd ed. 2008, section 13.3, named from memory).
#pragma once

#include "layout/parts.h"

/// A half plane that holds a sum: along_x * x + along_y * y > limit inside. Whole numbers.
typedef struct Side {
    double along_x;
    double along_y;
    double limit;
} Side;

typedef struct Sum {
    const Side *sides;
    int count;
} Sum;

/// Corners of the first part plus the second turned half, counter-clockwise: around all offsets at
/// which the second overlaps the first. `corners` has room for those of both.
int part_sum_corners(const ConvexPart *first, const ConvexPart *second, Point *corners);

/// The half planes of a sum's corners.
Sum part_sum_of(const Point *corners, int count, Arena *keep);
