// Upper bounds: what no method could place, however long it looks.
//
// Every outline of a placed piece takes its own area out of what its depth may use, and
// the outlines of one depth never share any, since they are nested in pieces that do not
// overlap. So for each depth the outlines placed have no more area than is allowed there:
// the area bound of packing, asked for each depth. Method: docs/layout.md.
#pragma once

#include "layout/layout.h"

/// What one depth needs and may use, over all sheets.
typedef struct DepthBound {
    double needed_mm2;  ///< outlines of all copies wanted that fit anywhere
    double allowed_mm2; ///< in parts large enough for any of them
    int most;           ///< no more copies than this have room by this depth's area
} DepthBound;

typedef struct LayoutBound {
    DepthBound depth[LAYOUT_DEPTHS]; ///< as many as the deepest piece has
    int depth_count;
    bool *nowhere; ///< for each piece: it fits no sheet, even an empty one
    int wanted;    ///< copies of all pieces
    int most;      ///< no layout holds more copies than this
    double value;  ///< no layout is worth more than this
} LayoutBound;

/// Finds the bound of a task.
///
/// Result   safe on the side of "may fit": rounding to the lattice is allowed for, and a
///          depth whose outlines are not nested in the one before bounds nothing.
///          `nowhere` is proved by area, by length, or in cells (layout/nowhere.h).
/// Errors   bad input, as layout_search(); PROBLEM_CANCELLED when stopped.
MUST_CHECK bool layout_bound(const LayoutTask *task, const Progress *progress, Arena *keep,
                             Arena *scratch, LayoutBound *bound, Problems *problems);
