// Ticks: which steps of the work at the bench are done, for each job.
//
// Whoever ticks may be without a network and tell it later, so ticks carry their own time and may
// come in any order, and more than once. Of two for one step the later one holds; all that have
// the same ticks so agree, whatever came first.
#pragma once

#include "store/store.h"

enum {
    TICK_STEP_MAX = 64,   ///< bytes
    TICK_DEVICE_MAX = 40, ///< bytes
    TICKS_MAX = 10000,    ///< for one job
};

typedef struct Tick {
    const char *step; ///< its name: lower-case letters, digits, hyphens
    bool done;
    int64_t ticked_ms;  ///< since 1970, by the device
    const char *device; ///< one line, or ""
} Tick;

typedef struct Ticks {
    Tick *items; ///< by step
    int count;
} Ticks;

/// Takes in ticks of a job: a later one for the same step stays or takes the place; at the same
/// time that of the device with the greater name, then the one that says done. All or nothing.
///
/// Errors   no such job; a name, device or time that is none; more than TICKS_MAX steps; as saves.
MUST_CHECK bool ticks_put(Store *store, int64_t job, Ticks ticks, Problems *problems);

/// All ticks of a job, one for each step.
MUST_CHECK bool ticks_list(Store *store, int64_t job, Arena *keep, Ticks *ticks,
                           Problems *problems);
