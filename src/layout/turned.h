// The pieces of a strip in each turn that is tried: outlines on the judge's lattice,
// and inscribed circles that stand for them where only a measure is wanted.
//
// All lengths are lattice units (0.01 mm), whole numbers held in doubles: products of two
// differences stay exact up to STRIP_UNITS_MAX.
#pragma once

#include "layout/layout.h"

#define STRIP_UNITS_MAX 2e7 ///< 200 m; (2 * 2e7)^2 is below 2^53

enum { CIRCLES = 12, TURNED_MAX = 64 };

/// Circles inside an outline that do not overlap, the greatest first; unused ones have
/// radius 0.
typedef struct Circles {
    float x[CIRCLES];
    float y[CIRCLES];
    float radius[CIRCLES];
} Circles;

typedef struct Extent {
    double left;
    double low;
    double right;
    double top;
} Extent;

/// A piece in one turn, its own origin at 0.
typedef struct Turned {
    double turn_rad;
    double shift_mm; ///< less than a unit, along x and y: keeps points off half units
    const double *x; ///< count + 1 points, the last is the first again
    const double *y;
    int count;
    Extent box;  ///< of these points: with half the gap around the piece
    Extent bare; ///< of the piece itself, which may touch the strip's edge
    Circles circles;
} Turned;

typedef struct StripPiece {
    const Turned *turned;
    int turned_count;
    double area;     ///< in square units
    double diameter; ///< of its box
    float hull_root; ///< fourth root of the area of its convex hull
} StripPiece;

/// Circles of a ring by repeated search for the point farthest from its edge and from
/// the circles before.
Circles circles_inside(Ring ring, Arena *scratch);

/// All turns in which the piece fits the width. False when there is none, or when the
/// gap cannot be put around it.
bool strip_piece_make(const Piece *piece, double gap_mm, double width, Arena *keep,
                      StripPiece *made);
