// Circles that stand for an outline where only a measure is wanted, as in Gardeyn, Vanden Berghe
// and Wauters 2025.
#pragma once

#include "plane/ring.h"

enum { CIRCLES = 12 };

/// Circles inside an outline that do not overlap, the greatest first; unused ones have
/// radius 0.
typedef struct Circles {
    float x[CIRCLES];
    float y[CIRCLES];
    float radius[CIRCLES];
} Circles;

/// Circles of a ring by repeated search for the point farthest from its edge and from
/// the circles before.
Circles circles_inside(Ring ring, Arena *scratch);

/// The same circles moved, lengths times `scale` after that.
Circles circles_moved(Circles circles, Motion motion, double scale);
