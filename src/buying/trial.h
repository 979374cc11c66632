// One trial of a study: the same hides in many sizes, until it is known between which two areas
// the covers begin to find room on them. Private to the module.
#pragma once

#include "buying/study.h"

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

/// Gets the study's covers ready for a thread; room_covers_drop() ends them.
/// Errors   as room_covers_make().
MUST_CHECK bool trial_covers_make(const Study *study, RoomCovers *covers, Problems *problems);

typedef struct Trial {
    uint64_t number;
    Bracket bracket; ///< what is known of it; {least - 1, AREA_STEPS}: nothing
    bool careful;    ///< the second, longer search was needed
    bool done;
    const Progress *progress;
    Problems *problems;
} Trial;

/// Narrows the bracket of a trial and sets `done`, unless it was stopped or a hide could not be
/// drawn: that is among its problems.
///
/// Result   the same with the covers of any thread.
void trial_run(const Study *study, const Window *window, const RoomCovers *covers, Trial *trial);
