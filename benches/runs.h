// Measured runs side by side, each in a process of its own: they share nothing, and each
// is one thread.
#pragma once

#include "options.h"

typedef struct Runs {
    int count;
    int at_once;          ///< 1 to THREADS_MAX
    size_t outcome_bytes; ///< at most 4,096
    void *outcomes;       ///< [count], zeroed; that of a failed run stays so
    void *context;
    /// Measures one run, in its own process; problems said there are printed there.
    bool (*measure)(void *context, int run, void *outcome, Problems *problems);
    /// Told of each run as it ends; false, with a problem said, when the outcome is not
    /// what a run should give.
    bool (*ended)(void *context, int run, const void *outcome, Problems *problems);
} Runs;

/// Runs all, even when some fail.
///
/// Errors   false when any failed; each is among the problems.
bool runs_all(const Runs *runs, Problems *problems);

typedef struct Stopwatch {
    double wall_s;
    double cpu_s; ///< of this process
} Stopwatch;

Stopwatch stopwatch_begin(void);
/// What has passed since.
Stopwatch stopwatch_since(Stopwatch begun);
