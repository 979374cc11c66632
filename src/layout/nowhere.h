// Whether a piece surely fits nowhere: the search's raster turned round, on the side of
// "may fit", so that what is blocked in cells is blocked in truth.
//
// The sheet's cells are set when they lie wholly where an outline may not be, the mask's
// when they lie wholly within the outline at whatever turn of a small range. Where such
// cells meet, the piece cannot lie. The method is ours (docs/layout.md).
#pragma once

#include "layout/layout.h"

/// Where the outlines of each depth may lie on one sheet.
typedef struct Ground {
    Box box; ///< of the sheet
    PolygonSet allowed[LAYOUT_DEPTHS];
    int depth_count;
} Ground;

/// True when the piece has no place on any of the grounds. False tells nothing: it may
/// fit, or miss by less than the cells can tell, or *words of work ran out.
bool fits_nowhere(const Piece *piece, const Ground *grounds, int ground_count, double *words,
                  Arena *scratch);
