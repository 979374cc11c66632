// What would make covers fit that find no place.
#include "serve/work_kinds.h"

// Of the whole, the search's own share.
static const double LAYING_SHARE = 0.15;

static bool run(WorkRun *run)
{
    const LayWork *options = run->order->options;
    WorkPatience patience;
    const Progress patiently = work_patiently(run, &patience);
    ProgressPart laying = {.whole = &patiently, .from = 0, .to = LAYING_SHARE};
    ProgressPart fitting = {.whole = &patiently, .from = LAYING_SHARE, .to = 1};
    const Progress lay = {progress_report_part, &laying};
    const Progress tries = {progress_report_part, &fitting};
    Derived derived;
    CutPlan plan;
    Fit fit;
    if (!work_lay(run, &lay, &derived, &plan)) {
        return false;
    }
    const bool missing = plan.unplaced_count > 0 && !plan.stopped;
    if (missing && !plan_fit(&derived, &(FitWish){&plan, options->fit_times}, &tries, run->keep,
                             run->scratch, &fit, run->problems)) {
        return false;
    }
    plan_lay_json(&derived, &plan, missing ? &fit : NULL, &run->result);
    run->stopped = plan.stopped || (missing && fit.stopped);
    return true;
}

const WorkKind work_fit = {.name = "fit", .so_far = "layout", .run = run};
