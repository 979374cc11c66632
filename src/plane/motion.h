// Rigid motions: turn about the origin, then shift. Never a mirror, since leather
// has one good side.
#pragma once

#include "plane/point.h"

typedef struct Motion {
    double x_mm;
    double y_mm;
    double turn_rad; ///< counter-clockwise
} Motion;

/// cos and sin are taken once for many points with motion_matrix().
typedef struct MotionMatrix {
    double cos, sin, x, y;
} MotionMatrix;

/// Quarter turns give cos and sin of exactly 0 and +-1.
MotionMatrix motion_matrix(Motion motion);

static inline Point motion_apply(MotionMatrix m, Point p)
{
    return (Point){m.cos * p.x - m.sin * p.y + m.x, m.sin * p.x + m.cos * p.y + m.y};
}

/// Undoes motion_apply().
static inline Point motion_undo(MotionMatrix m, Point p)
{
    const Point q = {p.x - m.x, p.y - m.y};
    return (Point){m.cos * q.x + m.sin * q.y, -m.sin * q.x + m.cos * q.y};
}
