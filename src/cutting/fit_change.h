// Single changes of what is asked of covers and leather, for whoever wants to try them: which are
// offered and how far (cutting/fit.h says how much harm each does), and the laying with one made.
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
