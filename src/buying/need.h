// How much leather trials need: for each the least stamped area on which its covers have room.
//
// Where a study only counts, here each trial's own answer is told, so that the same hides can be
// asked twice and the answers compared one by one.
#pragma once

#include "buying/study.h"

typedef struct Need {
    uint64_t trial;
    int guess;       ///< the step where to begin looking
    Bracket bracket; ///< between which steps it lies, once done
    bool done;
} Need;

/// A step to begin with when nothing is known yet.
int need_first_guess(const Study *study);

/// Finds needs to brackets of at most `width` steps.
///
/// Result   the same on any number of threads. Of the study its covers, rules, form, hides, draw,
///          care, seed and threads are taken. After a stop some are not done.
/// Errors   as study_run() but for the stop.
MUST_CHECK bool needs_find(const Study *study, int width, Need *needs, int count,
                           const Progress *progress, Arena *scratch, Problems *problems);
