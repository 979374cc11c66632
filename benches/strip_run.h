// One measured run of the shortest-strip search.
#pragma once

#include "strip_files.h"

typedef struct Outcome {
    bool complete; ///< all pieces laid, and the judge accepts it
    double length;
    double density; ///< percent
    double seconds;
    double cpu_seconds;
} Outcome;

/// Searches, asks the judge, and writes the layout to `path` in the instance's own units.
///
/// Errors   those of the search; a file that cannot be written.
MUST_CHECK bool strip_measure(const StripInstance *instance, LayoutOptions options,
                              const char *path, Arena *keep, Outcome *outcome, Problems *problems);
