// A layout is looked for.
#include "serve/work_kinds.h"

#include "serve/clock.h"

static void on_improved(void *context, const char *json)
{
    work_better(context, json);
}

static bool wait_on(void *context, const char *what, double share)
{
    const WorkPatience *patience = context;
    return progress_report(patience->whole, what, share) &&
           (patience->until_ms == 0 || steady_ms() < patience->until_ms);
}

Progress work_patiently(const WorkRun *run, WorkPatience *patience)
{
    const LayWork *options = run->order->options;
    *patience = (WorkPatience){
        run->progress, options->seconds > 0 ? steady_ms() + 1000 * (int64_t)options->seconds : 0};
    return (Progress){wait_on, patience};
}

bool work_lay(WorkRun *run, const Progress *progress, Derived *derived, CutPlan *plan)
{
    const WorkOrder *order = run->order;
    const LayWork *options = order->options;
    const LayWatch watch = {.improved = on_improved,
                            .context = run,
                            .times = options->times,
                            .seed = options->seed,
                            .from = options->from};
    return plan_derive_text(order->document.data, order->document.bytes, "job", run->keep,
                            run->scratch, derived, run->problems) &&
           plan_lay_watched(derived, &watch, progress, run->keep, run->scratch, plan,
                            run->problems);
}

static bool run(WorkRun *run)
{
    Derived derived;
    CutPlan plan;
    WorkPatience patience;
    const Progress patiently = work_patiently(run, &patience);
    if (!work_lay(run, &patiently, &derived, &plan)) {
        return false;
    }
    plan_lay_json(&derived, &plan, NULL, &run->result);
    run->stopped = plan.stopped;
    return true;
}

const WorkKind work_layout = {.name = "layout", .so_far = "layout", .run = run};
