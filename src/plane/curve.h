// Curves as chains of points: circles, arcs, and a smooth line through measured
// points.
#pragma once

#include "plane/ring.h"

/// An arc from `from` to `to` that bulges to the right of the way by `sagitta_mm`
/// (negative: to the left) at its middle: outward, for a counter-clockwise edge.
/// Written into `out` without its last point; returns how many. At 0 it is the
/// single point `from`. Chords stay within `tolerance_mm` of the arc.
int curve_arc(Point from, Point to, double sagitta_mm, double tolerance_mm, Point *out, int room);

/// A whole ellipse, counter-clockwise, chords within `tolerance_mm` on the outside
/// of the greater semi-axis' circle. 16 to 720 points.
Ring curve_ellipse(Point centre, double half_x_mm, double half_y_mm, double tolerance_mm,
                   Arena *keep);

/// A closed smooth line through the points that does not overshoot them: between
/// two neighbours each coordinate stays between their values.
///
/// Shapes   count >= 3, no two neighbours alike.
/// Method   piecewise cubic Hermite in each coordinate over chord length, slopes
///          limited to keep each piece monotone.
/// Source   Fritsch and Carlson, SIAM J. Numer. Anal. 17 (1980) 238-246; slopes by
///          Fritsch and Butland, SIAM J. Sci. Stat. Comput. 5 (1984) 300-304.
Ring curve_through(const Point *points, int count, double step_mm, Arena *keep);
