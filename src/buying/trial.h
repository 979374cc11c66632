// One trial of a study: the same hides in many sizes, until it is known between which two areas
// the covers begin to find room on them. Private to the module.
#pragma once

#include "buying/study.h"
#include "buying/trial_crew.h"

/// Where brackets begin and how narrow they are made.
typedef struct Window {
    int guess;
    int narrow; ///< steps that a bracket may span which meets low to high
    int low;
    int high;
    int wide; ///< elsewhere
} Window;

/// The least area that is looked at: the covers' own, on all hides together.
int trial_least_step(const Study *study);
/// Where the first trials begin.
int trial_first_guess(const Study *study);

/// Who runs a study's trials.
TrialCrew trial_crew(const Study *study);

typedef struct Trial {
    uint64_t number;
    Bracket bracket; ///< what is known of it; {least - 1, AREA_STEPS}: nothing
    bool careful;    ///< the second, longer search was needed
    bool done;
} Trial;

/// Narrows the bracket of a trial and sets `done`, unless it was stopped or a hide could not be
/// drawn: that is among the hand's problems.
///
/// Result   the same with the covers of any thread.
void trial_run(const Study *study, const Window *window, const TrialHand *hand, Trial *trial);
