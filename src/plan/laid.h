// Covers that somebody laid: by hand, or a search that has ended. Read in the terms of a job.
#pragma once

#include "plan/plan.h"
#include "store/store.h"

/// Placements of a job's covers, in the order in which they were written.
typedef struct PlanLaid {
    const Derived *derived;
    Laying laying;
    LayoutTask task;
    Placement *placements;
    int *copies; ///< of its cover each is, from 0
    int count;
} PlanLaid;

/// Reads placements (job/asked.h) and looks up what they name; a cover may be called `A` or `A3`.
/// `kept` takes a layout that was kept, which may say more.
///
/// Errors   mistakes of the layout; covers and hides that the job has not; more copies of a cover
///          than it wants. Placements that overlap are none.
MUST_CHECK bool plan_laid_read(const Derived *derived, Document layout, bool kept, Arena *keep,
                               Arena *scratch, PlanLaid *laid, Problems *problems);

/// `A3`: the name of a placement.
const char *plan_laid_name(const PlanLaid *laid, int placement, Arena *keep);

/// `overlap`: a fault's kind; and what is said to a person of it: `it overlaps B2`.
const char *plan_fault_name(LayoutFaultKind kind);
const char *plan_fault_words(const PlanLaid *laid, const LayoutFault *fault, Arena *keep);

/// A kept layout as a plan: judged, measured, what each cover touches, in the order of cutting.
/// Errors   as plan_laid_read(); each fault that the judge finds.
MUST_CHECK bool plan_laid(const Derived *derived, Document layout, Arena *keep, Arena *scratch,
                          CutPlan *plan, Problems *problems);

/// The same of what was read already.
MUST_CHECK bool plan_laid_judged(const PlanLaid *laid, Arena *keep, Arena *scratch, CutPlan *plan,
                                 Problems *problems);

/// Whether those that are locked may lie where they are, each beside the other locked ones. What is
/// wrong is told. Errors   false with the faults.
MUST_CHECK bool plan_locked_may_stay(const PlanLaid *laid, Arena *scratch, Problems *problems);

/// Writes placements as they are kept: what plan_laid() reads.
void plan_laid_json(const PlanLaid *laid, Text *text);
