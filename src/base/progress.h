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

/// A part of longer work: its shares are mapped to `from` to `to` of the whole, and never go
/// back. Once stopped, it stays so without asking again.
typedef struct ProgressPart {
    const Progress *whole;
    double from;
    double to;
    double reached;
    bool stopped;
} ProgressPart;

/// The `report` of a Progress whose context is a ProgressPart.
static inline bool progress_report_part(void *context, const char *what, double share)
{
    ProgressPart *part = (ProgressPart *)context;
    const double of_whole = part->from + (part->to - part->from) * share;
    if (!part->stopped) {
        part->reached = of_whole > part->reached ? of_whole : part->reached;
        part->stopped = !progress_report(part->whole, what, part->reached);
    }
    return !part->stopped;
}
