// An outline as a body of a pair, in any turn.
#pragma once

#include "layout/pair.h"

/// Simpler outlines that hold a ring, each made when first asked for; 0 points: there is none.
enum { SIMPLER_MAX = 40 };

typedef struct Simpler {
    Ring ring[SIMPLER_MAX];
    bool made[SIMPLER_MAX];
} Simpler;

/// What all turns of an outline have in common.
typedef struct Outline {
    Ring ring;
    Ring hull;
    Simpler simpler_ring;
    Simpler simpler_hull;
    Circles circles;
    double diameter_mm;
    double size_mm;
    int points_most; ///< of a body; beyond them it is simplified, to the safe side
} Outline;

/// Shapes   a simple ring, counter-clockwise.
void outline_make(Ring ring, int points_most, Arena *keep, Outline *made);

/// All but the parts: circles and sizes, in lattice units.
Body outline_measures(const Outline *outline, Motion motion);

/// Convex parts of the moved outline, rounded to the lattice. Where the lattice closed a
/// needle, or with too many points, those of a simpler outline that holds it; at worst of its
/// convex hull, or of its box.
bool outline_parts(Outline *outline, Motion motion, Arena *keep, ConvexParts *parts);

/// With one circle at least, so that the pair's measure is never 0.
void body_ensure_circle(Body *body);
