// The kinds of long work, each in a file of its own with the options that it takes.
#pragma once

#include "serve/work.h"

// work_buy.c: how much leather to ask for; the result is that of `buy --json`, its options a
// BuyAsked.
extern const WorkKind work_buying;

// work_lay.c: a layout is looked for; the result is that of `lay --json`.
extern const WorkKind work_layout;

// work_fit.c: the same, and when covers are left over, what would make them fit.
extern const WorkKind work_fit;

typedef struct LayWork {
    double times;     ///< the work that the job says
    double fit_times; ///< of that for what would make it fit
    int64_t seconds;  ///< after which it stops with the best so far; 0: when the work is done
    uint64_t seed;    ///< 0: the job's
    Document from;    ///< placements to begin with; data NULL: none
} LayWork;

typedef struct WorkPatience {
    const Progress *whole;
    int64_t until_ms; ///< of the steady clock; 0: no end
} WorkPatience;

/// The run's progress, which stops too when the options' seconds are over, counted from now. Work
/// is counted, not timed; only who waits may say how long.
Progress work_patiently(const WorkRun *run, WorkPatience *patience);

/// Derives and lays as the options say; *derived points into the run's arena.
MUST_CHECK bool work_lay(WorkRun *run, const Progress *progress, Derived *derived, CutPlan *plan);

// work_papers.c: the pack of a job; the result lists what was made, its options a PapersAsked.
extern const WorkKind work_papers;
