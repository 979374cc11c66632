// The judge once more for tests: slow, plain, and thought out another way.
//
// What layout_check() decides from crossing edges and middles of stretches is decided here
// from areas: the plane is cut at the height of every corner and of every crossing; within
// each slice edges do not meet, so along one level of it each ring is in or out between two
// edges. Heights and places are fractions of whole numbers and compared without rounding.
// Shares no code with plane/lattice.c and layout/check.c but the rule that a moved point is
// rounded to 0.01 mm.
#pragma once

#include "layout/layout.h"

/// Coordinates in 0.01 mm up to this; beyond it fractions would not fit.
#define SLOW_JUDGE_MAX (1LL << 18)

typedef struct SlowVerdict {
    LayoutFault *faults; ///< by kind, placement, other, depth
    int count;
    bool out_of_reach; ///< a coordinate was too large to say
    bool simple; ///< all outlines were simple when rounded; else an outline of no width may be
                 ///< told apart from what it lies on by the judge, and not here
} SlowVerdict;

/// All faults of some placements, as layout_check() has to find them.
SlowVerdict slow_judge(const LayoutTask *task, const Placement *placements, int count, Arena *keep);

/// Whether an area is a polygon as the engine is promised one: rings simple, holes within the
/// outer ring and off each other, touching at single points at most.
bool slow_judge_polygon(Polygon area, Arena *keep);

/// In the order of a SlowVerdict.
void slow_judge_sort(LayoutFault *faults, int count);
