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

/// The nearest place to `motion`, turned as there, where piece `index` may lie on `sheet` and
/// touches something: another piece (at the gap), the sheet's edge, or an area to keep off.
///
/// Result   false when no such place is found within `reach_mm` (0 to 1000); else *snapped is one
///          that drag_check() accepts, to the last lattice step. Touching is to within three steps
///          of 0.01 mm, since slanted edges pass between the points of the lattice.
/// Method   two outlines that keep their turns touch where a corner of one lies on an edge of the
///          other; of all shifts for which that is so the ones that matter are straight stretches
///          (edges of the configuration obstacle: Lozano-Perez 1983, named from memory). The
///          nearest places of all stretches within reach and the crossings of each two are
///          tried by drag_check(), from the nearest on, 2000 at most. Round corners at a gap are
///          taken as 16 straight stretches, up to 2 % of the gap farther away.
bool drag_snap(const Drag *drag, int index, int sheet, Motion motion, double reach_mm,
               Arena *scratch, Motion *snapped);
