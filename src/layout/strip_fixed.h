// What lies still on a strip: locked pieces, and flaws, which are holes and areas to keep off.
#pragma once

#include "layout/turned.h"

enum {
    /// A strip with more is refused; a long flaw counts once for each of the stretches that it
    /// is cut into.
    STRIP_FLAWS_MAX = 2000,
    STRIP_FLAW_POINTS_MAX = 100,
};

/// The locked pieces in the task's order, then the flaws from the left on.
typedef struct StripStill {
    StripFixed *items;
    int locked_count;
    int flaw_count;
} StripStill;

/// Which depths have flaws on the strip; holes are of depth 0.
void strip_flaw_depths(const Sheet *sheet, bool *depths);

/// Each flaw, as far as it lies on the strip: its holes are free. One that is long is cut into
/// stretches, so that those beyond the length in use cost nothing.
///
/// Shapes   flaw_points up to STRIP_FLAW_POINTS_MAX: corners of one flaw; with more it is
/// simplified, to
///          the safe side (area_parts.h).
/// Result   turned.number counts from 0, as they stand.
/// Errors   more flaws than STRIP_FLAWS_MAX; a locked piece that the gap cannot be put around.
MUST_CHECK bool strip_still_make(const LayoutTask *task, StripMaking making, int flaw_points,
                                 Arena *keep, StripStill *made, Problems *problems);
