// The parts of cutting/fit that its files share.
#pragma once

#include "cutting/fit.h"

/// One way to make covers fit, from a small change to a large one.
typedef struct FitWay {
    FitKind kind;
    int steps;
    bool sides[SIDE_COUNT];
    FlawKind flaw;
    Firmness firmness;
} FitWay;

enum { FIT_WAYS_MAX = FIT_KIND_COUNT + 3 + FLAW_KIND_COUNT + FIRMNESS_COUNT };

/// The ways that this laying leaves open, from the least harm to the greatest. At most
/// FIT_WAYS_MAX; the number is the result.
int fit_ways(const Laying *laying, double grip_step_mm, FitWay *ways);

/// What a way changes at a step, 1 to its steps.
FitChange fit_change(const Laying *laying, const FitWay *way, int step, double grip_step_mm);

/// The laying with a change made. What is not changed is shared with the old one.
MUST_CHECK bool fit_laying(const Laying *laying, const FitChange *change, Arena *keep,
                           Arena *scratch, Laying *changed, Problems *problems);

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
