// Hatching that shows how the leather lies: its lines follow the firm direction, and
// stand further apart where the leather is looser.
//
// Method: evenly spaced lines of a direction field after Jobard and Lefer, Creating
// evenly-spaced streamlines of arbitrary density (Eurographics workshop on
// visualization in scientific computing, 1997), traced by midpoint steps; the field
// has no front and back, so each step keeps the sense of the one before.
#pragma once

#include "hide/hide.h"

/// A line of the hatching, in the hide's frame of reference.
typedef struct HatchLine {
    Point *points;
    int count;
} HatchLine;

typedef struct Hatching {
    HatchLine *lines;
    int count;
    int capacity;
} Hatching;

/// How far apart lines stand for each firmness, as shares of the distance for firm
/// leather: 1, ...
extern const double hatch_looseness[FIRMNESS_COUNT];

/// Hatches a region of a hide.
///
/// Result   lines that lie within the region, `spacing_mm` times the looseness of
///          its firmness apart (never nearer than 0.6 of that).
/// Cost     grows with area / spacing^2; callers keep the region's box below 500
///          spacings each way.
Hatching hatch_region(const Hide *hide, const Region *region, double spacing_mm, Arena *keep);
