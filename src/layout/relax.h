// What would make it fit: the least step of a relaxation at which all pieces are laid,
// found by searching for real.
//
// A relaxation makes a task easier in steps; step 0 is the task that could not be
// satisfied. What each step allows is the caller's matter. Method: docs/layout.md.
#pragma once

#include "layout/layout.h"

enum { RELAX_STEPS_MAX = 1000 };

typedef struct LayoutRelaxation {
    int steps; ///< 1 and more
    /// A far step may hide what a nearer one shows (the search tries few turns of a wide
    /// interval), so near ones are looked at first; else the last one first.
    bool near_first;
    /// Makes the task of a step, 0 to `steps`. What an earlier step allows, a later one
    /// must allow too, as far as the maker can see to it; the judge is asked each time.
    bool (*make)(const void *context, int step, Arena *keep, Arena *scratch, LayoutTask *task,
                 Problems *problems);
    const void *context;
    const Layout *start;   ///< the best layout of step 0, or NULL
    LayoutOptions options; ///< the work is that of all tries together
} LayoutRelaxation;

typedef struct Relaxed {
    bool fits;
    int step;      ///< the least one found at which all pieces lie
    Layout layout; ///< accepted by layout_check() for that step's task
    double work;   ///< units spent
    bool stopped;  ///< asked to stop before all was tried; what is known stands
} Relaxed;

/// Looks for the least step.
///
/// Where the judge accepts the start for a step, its pieces are first left where they lie
/// and only the missing ones looked for. A step that layout_bound() rules out costs no work.
/// Result   a layout for which all demand is met, or none found: that is no proof.
/// Errors   those of `make` and of layout_search(), but for the stop.
MUST_CHECK bool layout_relax(const LayoutRelaxation *relaxation, const Progress *progress,
                             Arena *keep, Arena *scratch, Relaxed *relaxed, Problems *problems);
