// What the judge and the check of a dragged piece decide alike.
#pragma once

#include "layout/layout.h"
#include "plane/lattice.h"

/// An outline that can be looked at: 3 points and more, none too far away.
bool judge_near_enough(Ring ring);

/// A placement that can be looked at: its piece and sheet exist, its motion is in range.
bool judge_in_range(const LayoutTask *task, const Placement *placement);

bool judge_turn_allowed(const Piece *piece, double turn_rad);

/// A gap in grid units.
int64_t judge_gap(double gap_mm);

/// The gap between two pieces on a sheet: the greatest of the sheet's and their own.
int64_t judge_pair_gap(const LayoutTask *task, int sheet, int piece, int other);
