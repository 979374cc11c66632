// Edges that lie still, sorted into square cells, to be found again by place (uniform grid:
// Franklin et al. 1988, named from memory).
#pragma once

#include "plane/lattice.h"

typedef struct GridEdge {
    int32_t from_x; ///< LATTICE_MAX fits
    int32_t from_y;
    int32_t to_x;
    int32_t to_y;
    int owner;
} GridEdge;

typedef struct EdgeGrid {
    int64_t left; ///< in lattice units
    int64_t low;
    int64_t cell;
    int columns;
    int rows;
    const int *begin; ///< [row * columns + column]: of a cell's edges; one more at the end
    const GridEdge *edges;
} EdgeGrid;

/// All edges of the rings; owner i is rings[i].
///
/// Result   an edge stands in each cell that any point within `reach` of it (along x and
///          along y) lies in, and perhaps in cells beside.
EdgeGrid edge_grid_make(const LatticeRing *rings, int count, int64_t reach, Arena *keep,
                        Arena *scratch);

/// The cells that an edge passes through: rows first to last, none when last < first.
typedef struct GridSpan {
    int first;
    int last;
} GridSpan;

GridSpan edge_grid_rows(const EdgeGrid *grid, LatticePoint from, LatticePoint to, int64_t reach);
/// The columns of one of these rows.
GridSpan edge_grid_columns(const EdgeGrid *grid, LatticePoint from, LatticePoint to, int row,
                           int64_t reach);
