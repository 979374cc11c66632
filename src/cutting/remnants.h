// What is left of a hide once covers are cut from it, as pieces of leather.
#pragma once

#include "hide/hide.h"

/// A hide and the outlines that are cut from it.
typedef struct HideCuts {
    const Hide *hide;
    const Ring *cuts;
    int cut_count;
} HideCuts;

/// The parts of a hide that are left when some outlines are cut from it, each where it is at
/// least `useful_mm` wide; in hide coordinates, the largest first.
///
/// Method   the outline without the cuts, opened: all that a disc of that width can sweep. Half a
///          millimetre is taken off all round, so that no part reaches beyond what is there.
/// Result   flaws are not cut out. Parts under a quarter of a square foot, the least that the
///          trade stamps, are left out. Rings have at most FLAW_POINTS_MAX points.
/// Errors   bad input at `where` when the outlines cannot be overlaid.
MUST_CHECK bool remnants_find(HideCuts cut, double useful_mm, const char *where, Arena *keep,
                              PolygonSet *parts, Problems *problems);
