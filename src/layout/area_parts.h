// An area to keep off, cut into convex parts.
#pragma once

#include "layout/parts.h"
#include "plane/polygon.h"

/// Convex parts that hold the area as the judge sees it, rounded to the lattice.
///
/// Shapes   any polygon, also such as cross themselves or are closed by rounding.
/// Result   exactly the area, when its rings are simple, apart, and have `points_most` points
///          together at most (two more for each hole). Else the area without its holes; else
///          a simpler outline that holds it; at worst its convex hull or its box. No parts
///          when the judge sees none either: fewer than three different points.
/// Method   a hole is joined to the rest by a bridge, walked both ways, the shortest that
///          meets no edge.
ConvexParts area_parts(Polygon area, int points_most, Arena *keep);
