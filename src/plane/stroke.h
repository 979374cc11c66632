// Lines drawn by hand, with a finger or along the edge in a picture: many points, some of them
// beside where they were meant. Made of fewer points, and closed where they go round something.
#pragma once

#include "plane/ring.h"

/// An open line with fewer points, none of the old ones further than `within_mm` from the new line.
///
/// Shapes   count >= 2; the ends stay. `out` has room for `count`; returns how many are used.
/// Source   Douglas and Peucker, Cartographica 10 (1973) 112-122, method 2.
int stroke_simplify(const Point *points, int count, double within_mm, Point *out, Arena *scratch);

/// The same of a line that goes round something, as a ring, walked as it was drawn.
///
/// Shapes   count >= 3; the last point need not be the first. Where the hand began or ended beyond
///          the place where the line crosses itself, by up to a fifth of its length each, these
///          tails are left away.
/// Result   fewer than 3 points when there is nothing within. It may cross itself elsewhere.
Ring stroke_close(const Point *points, int count, double within_mm, Arena *keep, Arena *scratch);
