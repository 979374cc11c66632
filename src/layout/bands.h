// Shapes as stretches on bands, and where two shapes would overlap.
//
// The plane is cut into horizontal bands of equal height. On each band a shape is one
// or more stretches of x that hold every point it has there; x is exact to a lattice
// unit, y to a band. Stretches of neighbouring bands that share a place are chained
// into parts. Along a part both ends change band by band without a jump, so where a
// moved part overlaps another is, for each height, one interval of x: its ends are a
// least and a greatest difference over the bands they have in common. That makes whole
// rows of places from two short loops, and touching is not overlapping.
//
// Shapes as rows of intervals: Umetani and Murakami 2022, for rasters, and Chehrazad, Roose and
// Wauters 2022, for vertical segments (both named from memory). Chaining them into parts is ours.
#pragma once

#include "plane/lattice.h"
#include "plane/polygon.h"

/// Horizontal bands from y = `low` up; in lattice units.
typedef struct BandGrid {
    LatticePoint corner; ///< what stretches and bands are counted from
    int height;          ///< of a band
} BandGrid;

/// A chain of stretches, one on each band from `first` on.
typedef struct Part {
    int first;
    int count;
    int32_t *left;  ///< [count] lattice units from the grid's corner
    int32_t *right; ///< [count]
    int32_t least;  ///< of all `left`
    int32_t most;   ///< of all `right`
} Part;

typedef struct Parts {
    Part *items;
    int count;
} Parts;

/// One stretch on one band.
typedef struct Stretch {
    int band;
    int32_t left;
    int32_t right;
} Stretch;

/// Stretches on their way to becoming parts, and where rings cross the bands' middles.
typedef struct Outlining {
    BandGrid grid;
    int first; ///< bands before and behind these are left out
    int last;
    Stretch *stretches;
    int count;
    int capacity;
    Stretch *crossings; ///< left is the place
    int crossing_count;
    int crossing_capacity;
    Arena *scratch;
} Outlining;

/// Everything a ring has within `reach` units of it; with what is inside when the
/// crossings are filled later.
void outlining_add(Outlining *outlining, LatticeRing ring, int reach);

/// Pairs the crossings up to the stretches between them: the inside of the rings added
/// since the last filling, or the outside on all bands.
void outlining_fill(Outlining *outlining);
void outlining_fill_outside(Outlining *outlining);

/// Joins overlapping stretches and chains them.
Parts outlining_parts(Outlining *outlining, Arena *keep);

/// The same in `most` parts or fewer, if the rings are in one piece: gaps between stretches
/// of a band are closed, the narrowest first, until there are so few.
Parts outlining_few_parts(Outlining *outlining, int most, Arena *keep);

/// An open interval of x; empty when low >= high.
typedef struct Span {
    int32_t low;
    int32_t high;
} Span;

/// The shifts in x at which `moved`, lifted by `bands`, overlaps `still`.
Span parts_overlap(const Part *still, const Part *moved, int bands);
