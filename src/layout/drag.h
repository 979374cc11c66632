// One piece moved by hand among others that lie still: at each moment, what is wrong with
// where it is.
//
// The answer is layout_check()'s, exact on the 0.01 mm lattice, in some microseconds instead of
// milliseconds: all edges that lie still stand in a grid of cells, and only those near an
// edge of the moved piece are looked at. Pieces that touch others exactly take longer.
#pragma once

#include "layout/layout.h"

typedef struct Drag Drag;

/// Looks once at all that lies still. `task` and `placements` must outlive it, unchanged; when
/// the piece is put down, a new one is made.
Drag *drag_prepare(const LayoutTask *task, const Placement *placements, int count, Arena *keep,
                   Arena *scratch);

/// What would be wrong if placement `index` lay on `sheet` at `motion`, and all others where
/// they are.
///
/// Result   number of faults; the first `room` of them are written. They are those that
///          layout_check() would find in which this placement has a part, but `placement` is
///          always `index`, and `other` what it touches. 0: it may lie there.
int drag_check(const Drag *drag, int index, int sheet, Motion motion, Arena *scratch,
               LayoutFault *faults, int room);
