// Two outlines in fixed turns, and all offsets between them: whether they overlap, exactly,
// and how badly.
//
// The offsets at which two convex parts overlap are the inside of a convex outline, their sum
// (the first part and the second turned half, added point by point). The pair overlaps inside
// the union of all sums of its parts. A cell of the grid lies clear of that union, or wholly
// inside one sum, or knows the few sums that pass through it.
#pragma once

#include "layout/circles.h"
#include "layout/part_sum.h"

#include <stdint.h>

enum {
    POOL = 4,            ///< cells along each side of a block whose least overlap is known
    LANES = 8,           ///< blocks that are added up together
    PAIR_RIM = POOL - 1, ///< of zeros around the severities
};

/// An outline in one turn, in whole lattice units.
typedef struct Body {
    ConvexParts parts;
    Circles circles; ///< inscribed
    double diameter; ///< of its box
    double size;     ///< root of the area of its convex hull
} Body;

/// Of a row of blocks, all that are not 0: from block `from` on, LANES times `groups`.
typedef struct BlockRow {
    int from;
    int groups;
} BlockRow;

/// The blocks of one phase that are not 0, row after row.
typedef struct LeastPlane {
    const uint8_t *blocks;
    const BlockRow *rows;
    int first; ///< row of blocks
    int count; ///< rows
} LeastPlane;

typedef struct Pair {
    double step; ///< of the grid, in lattice units, whole
    double per_step;
    int left; ///< the first grid point's offset, in steps
    int low;
    int columns; ///< grid points
    int rows;
    /// [row * severity_stride + column]: at each grid point; 0: apart. Zeros stand around the grid,
    /// PAIR_RIM wide, so that whole blocks may be read wherever they meet it.
    const float *severity;
    int severity_stride;
    const int32_t *cell; ///< [row * columns + column]: of the cell right of and above a grid point:
                         ///< CELL_*, or where its list of sums begins
    const int16_t *lists; ///< sums, each list ended by -1
    const Sum *sums;
    /// The measure of overlap at every POOL-th grid point, whether the bodies overlap or not.
    const float *measure;
    int measure_columns;
    /// The least severity of POOL x POOL grid points, rounded down to whole times `least_unit`,
    /// for blocks in each of POOL * POOL phases: block (u, v) of phase q * POOL + p begins at
    /// column u * POOL - p, row v * POOL - q; outside the grid it is 0.
    const LeastPlane *least;
    float least_unit; ///< > 0
} Pair;

enum { CELL_CLEAR = -1, CELL_INSIDE = -2 };

/// Of two bodies of which one has no inside: apart at every offset. It has no grid.
extern const Pair pair_apart;

/// All about a pair: the second body at an offset from the first.
///
/// Shapes   coordinates below 2^24 units; both bodies have parts; step > 0, whole.
/// Method   how badly they overlap is told by circles: the sum over all pairs of circles of
///          depth times smaller diameter, where a depth below 1 % of the larger body's size
///          fades out instead of ending; its root times the geometric mean of both sizes
///          (Gardeyn, Vanden Berghe and Wauters 2025). It does not go to 0 where the bodies
///          part, so that one pair that overlaps costs less than two.
Pair *pair_make(const Body *first, const Body *second, double step, Arena *keep, Arena *scratch);

/// How badly the second overlaps the first at a whole offset. 0 exactly when their insides do
/// not meet.
float pair_severity(const Pair *pair, double x, double y);

/// Whether the two may overlap within two steps of an offset along each axis.
bool pair_is_near(const Pair *pair, double x, double y);
