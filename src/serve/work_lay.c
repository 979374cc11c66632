// A layout is looked for.
#include "serve/work_kinds.h"

static void on_improved(void *context, const char *json)
{
    work_better(context, json);
}

static bool run(WorkRun *run)
{
    const WorkOrder *order = run->order;
    const LayWork *options = order->options;
    const LayWatch watch = {on_improved, run, options->times};
    Derived derived;
    CutPlan plan;
    if (!plan_derive_text(order->document.data, order->document.bytes, "job", run->keep,
                          run->scratch, &derived, run->problems) ||
        !plan_lay_watched(&derived, &watch, run->progress, run->keep, run->scratch, &plan,
                          run->problems)) {
        return false;
    }
    plan_lay_json(&derived, &plan, NULL, &run->result);
    run->stopped = plan.stopped;
    return true;
}

const WorkKind work_layout = {.name = "layout", .so_far = "layout", .run = run};
