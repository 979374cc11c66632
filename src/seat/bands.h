// Private to the seat module: an outline grown by a width that differs from edge to
// edge.
#pragma once

#include "plane/ring.h"

/// The ring grown outward, edge i by widths_mm[i] >= 0.
///
/// Shapes   counter-clockwise and simple. Corners are run on to where the two moved
///          edges meet, up to 2.5 times the greater width, then cut off.
/// Result   the outermost outline; holes that close in a hollow drop out. Contains
///          the ring, and the result of smaller widths.
/// Errors   false when the pieces cannot be joined.
/// Method   one strip for each stretch that turns one way, and the union of all.
bool ring_widened(Ring ring, const double *widths_mm, Arena *keep, Arena *scratch, Ring *wide);
