// What is left on a map of cells: the largest clear rectangle, and the largest clear
// part of some width.
#pragma once

#include "layout/bitmap.h"

/// Cells from (column, row); without any, columns and rows are 0.
typedef struct CellBox {
    int column;
    int row;
    int columns;
    int rows;
} CellBox;

/// The clear rectangle with the most cells; of equal ones the first from below, then from
/// the left.
///
/// Method   in each row the heights of clear cells that end there are a skyline, whose
///          largest rectangle a stack finds in one walk.
/// Cost     O(cells).
/// Source   Vandevoorde, The maximal rectangle problem, Dr. Dobb's Journal 23 (1998)
///          28-32 (named from memory).
CellBox left_rectangle(Bitmap map, Arena *scratch);

/// Clear parts that a square of `width` cells can sweep.
typedef struct LeftParts {
    int largest_cells; ///< of the part that most squares fit into
    int count;
} LeftParts;

/// Parts touch when two of their squares overlap in all but a row or column of cells.
///
/// Method   the map grown by the square's cells leaves the places of the square; connected
///          places (runs, union-find) are a part; swept again they are its cells.
LeftParts left_parts(Bitmap map, int width, Arena *scratch);
