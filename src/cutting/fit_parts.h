// The parts of cutting/fit that its files share.
#pragma once

#include "cutting/fit_change.h"

/// What was there before any change.
typedef struct FitBase {
    const Laying *laying;
    LayoutTask task;
} FitBase;

/// The engine's task of a changed laying; sheets that the change leaves alone are those of
/// the base. A wider turn window comes in parts, so that the search, which tries the ends
/// and the middle of each, tries the old turns as well.
/// A report before each sheet that is new; a stop is PROBLEM_CANCELLED.
MUST_CHECK bool fit_task(const Laying *changed, const FitBase *base, const Progress *progress,
                         Arena *keep, Arena *scratch, LayoutTask *task, Problems *problems);
