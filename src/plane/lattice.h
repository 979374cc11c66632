// The exact plane: points on a grid of 0.01 mm, and questions with exact answers.
//
// A moved shape is rounded to the grid once, and the rounded shape is the shape.
// All tests run in whole numbers, so touching is told from overlapping without
// any tolerance, and every machine gives the same answer. Shares no code with
// the search or with the geometry library.
#pragma once

#include "plane/ring.h"

#include <stdint.h>

#define LATTICE_PER_MM 100.0
/// Greatest coordinate, in grid units: 5 km. Products of two differences, in doubled
/// coordinates, then stay below 2^63.
#define LATTICE_MAX 500000000LL

typedef struct LatticePoint {
    int64_t x;
    int64_t y;
} LatticePoint;

typedef struct LatticeRing {
    const LatticePoint *points;
    int count;
    LatticePoint min; ///< bounding box
    LatticePoint max;
} LatticeRing;

/// The ring moved, each point rounded to the nearest grid point; repeated points
/// fall away.
LatticeRing lattice_ring(Ring ring, Motion motion, Arena *keep);

/// How two edges meet: not at all; at a place that is an end of one of them, or along a
/// stretch; or crossing at a place inside both.
typedef enum LatticeMeeting { LATTICE_APART, LATTICE_TOUCHING, LATTICE_CROSSING } LatticeMeeting;

/// Edge a to b and edge c to d, each with two different ends.
LatticeMeeting lattice_edges_meet(LatticePoint a, LatticePoint b, LatticePoint c, LatticePoint d);

/// Whether the distance between two edges is less than `gap_units` > 0; exact.
bool lattice_edges_nearer(LatticePoint a, LatticePoint b, LatticePoint c, LatticePoint d,
                          int64_t gap_units);

/// Whether the insides of two rings share any area; touching is not sharing.
///
/// Shapes   simple rings; or such as rounding leaves of narrow ones, which touch themselves,
///          run over their own edges or cross them: inside is then what an odd number of
///          edges encloses. A part without width is on the safe side: it counts where it
///          crosses the other's edge or lies in its inside.
/// Method   interiors of A and B meet when an edge of one properly crosses an edge
///          of the other, or when a stretch of one's edge, cut at all places
///          where it touches the other, has its midpoint strictly inside the
///          other, or lies on the other's edge with the inside of both beside it. Midpoints
///          are exact in doubled coordinates, since without proper crossings all cuts are at
///          vertices.
bool lattice_interiors_meet(LatticeRing a, LatticeRing b, Arena *scratch);

/// Whether a ring lies wholly within another; touching its edge is within. Shapes as
/// above.
bool lattice_within(LatticeRing inner, LatticeRing outer, Arena *scratch);

/// Whether the distance between two rings' edges is less than `gap_units` grid
/// units; exact. Says nothing of one inside the other.
bool lattice_nearer_than(LatticeRing a, LatticeRing b, int64_t gap_units);

/// -1 outside, 0 on the edge, +1 inside.
int lattice_where(LatticeRing ring, LatticePoint point);
