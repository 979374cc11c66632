// The kinds of long work, each in a file of its own with the options that it takes.
#pragma once

#include "serve/work.h"

// work_buy.c: how much leather to ask for; the result is that of `buy --json`, its options a
// BuyAsked.
extern const WorkKind work_buying;

// work_lay.c: a layout is looked for; the result is that of `lay --json`.
extern const WorkKind work_layout;

typedef struct LayWork {
    double times; ///< the work that the job says
} LayWork;

// work_papers.c: the pack of a job; the result lists what was made, its options a PapersAsked.
extern const WorkKind work_papers;
