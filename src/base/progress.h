// Progress of long work, and the way to stop it.
#pragma once

#include <stdbool.h>

/// `report` is called now and then with what is being done and the share done
/// (0 to 1); it returns false to ask for a stop. Called on the working thread.
typedef struct Progress {
    bool (*report)(void *context, const char *what, double share);
    void *context;
} Progress;

/// False when the work should stop. A NULL progress never stops.
static inline bool progress_report(const Progress *progress, const char *what, double share)
{
    return !progress || !progress->report || progress->report(progress->context, what, share);
}
