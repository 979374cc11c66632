// Bodies of requests that are no documents: placements of covers and ticks, as a page sends them.
#pragma once

#include "base/problem.h"

/// One cover laid on a hide.
typedef struct AskedPlacement {
    const char *cover; ///< its letter
    const char *hide;  ///< its name
    double x_mm;
    double y_mm;
    double turn_rad;
    bool locked;
} AskedPlacement;

enum {
    ASKED_PLACEMENTS_MAX = 1000,
    ASKED_BYTES_MAX = 1 << 20,
    KEPT_BYTES_MAX = 64 << 20, ///< a kept one, which may say much more
};

typedef struct AskedLayout {
    AskedPlacement *placements;
    int count;
} AskedLayout;

/// Reads `{"placements": [{"cover": "A", "hide": "...", "x_mm": ..., "y_mm": ..., "turn_deg": ...,
/// "locked": false}, ...]}`, the last of which may be left out.
/// Errors   false with all mistakes, as job_read(); *layout is then untouched.
MUST_CHECK bool asked_layout_read(const char *text, size_t bytes, Arena *keep, AskedLayout *layout,
                                  Problems *problems);

/// The same of a layout that was kept, or that `lay --json` wrote: of other keys nothing is taken.
MUST_CHECK bool asked_layout_read_kept(const char *text, size_t bytes, Arena *keep,
                                       AskedLayout *layout, Problems *problems);

/// One tick of a step at the bench.
typedef struct AskedTick {
    const char *step;
    const char *device; ///< or NULL
    double ticked_ms;   ///< since 1970, whole
    bool done;
} AskedTick;

enum { ASKED_TICKS_MAX = 5000 };

typedef struct AskedTicks {
    AskedTick *ticks;
    int count;
} AskedTicks;

/// Reads `{"ticks": [{"step": "cut-...", "done": true, "ticked_ms": ..., "device": "phone"},
/// ...]}`. Errors   as asked_layout_read().
MUST_CHECK bool asked_ticks_read(const char *text, size_t bytes, Arena *keep, AskedTicks *ticks,
                                 Problems *problems);

/// Whether something stands at each of so many paths of a document,
/// `seats[0].chairs[1].fixing.grip`. False for all in a text that is no JSON.
void asked_are_there(const char *text, size_t bytes, const char *const *paths, int count,
                     Arena *scratch, bool *there);
