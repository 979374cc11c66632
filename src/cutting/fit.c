#include "cutting/fit_parts.h"

#include "cutting/parts.h"
#include "layout/relax.h"

#include <stdlib.h>

static const double default_grip_step_mm = 5;

// The fitting under way.
typedef struct Fitting {
    FitOrder order;
    FitBase base;
    Layout start; // the plan as the engine sees it
    FitWay ways[FIT_WAYS_MAX];
    int way_count;
    double spent;        // units of work
    double share_of_way; // of the work
    ProgressPart part;   // of the whole progress; hears of a stop from all parts of the work
    const Progress *progress;
    Arena *keep;
    Arena *scratch;
    Fit *fit;
    Problems *problems;
} Fitting;

// What makes the tasks of one way. Several ways at once are taken all the way, in one
// step.
typedef struct Making {
    const Fitting *fitting;
    const FitWay *ways;
    int way_count;
} Making;

static bool make_laying(const Making *making, int step, Arena *keep, Arena *scratch,
                        Laying *changed, Problems *problems)
{
    const Fitting *fitting = making->fitting;
    *changed = *fitting->order.laying;
    for (int i = 0; i < making->way_count; i++) {
        const FitWay *way = &making->ways[i];
        const FitChange change =
            fit_change(fitting->order.laying, way, making->way_count > 1 ? way->steps : step,
                       fitting->order.grip_step_mm);
        Laying next;
        if (!fit_laying(changed, &change, keep, scratch, &next, problems)) {
            return false;
        }
        *changed = next;
    }
    return true;
}

static bool make_task(const void *context, int step, Arena *keep, Arena *scratch, LayoutTask *task,
                      Problems *problems)
{
    const Making *making = context;
    Laying changed;
    return make_laying(making, step, keep, scratch, &changed, problems) &&
           fit_task(&changed, &making->fitting->base, making->fitting->progress, keep, scratch,
                    task, problems);
}

static bool report(void *context, const char *what, double share)
{
    const Fitting *fitting = context;
    const double done = fitting->spent / fitting->order.work;
    return progress_report(fitting->progress, what, fmin(1, done + fitting->share_of_way * share));
}

static bool add_answer(Fitting *fitting, const Making *making, const Relaxed *relaxed)
{
    const Problems before = *fitting->problems;
    Fit *fit = fitting->fit;
    FitAnswer *answer = &fit->answers[fit->answer_count];
    answer->change =
        fit_change(fitting->order.laying, making->ways, relaxed->step, fitting->order.grip_step_mm);
    LayoutTask task;
    if (!make_laying(making, relaxed->step, fitting->keep, fitting->scratch, &answer->laying,
                     fitting->problems) ||
        !fit_task(&answer->laying, &fitting->base, NULL, fitting->keep, fitting->scratch, &task,
                  fitting->problems) ||
        !plan_of_layout(&answer->laying, &task, &relaxed->layout, fitting->keep, fitting->scratch,
                        &answer->plan, fitting->problems)) {
        return false;
    }
    *fitting->problems = before; // doubts about what nobody wrote
    fit->answer_count++;
    return true;
}

static void add_failed(Fitting *fitting, const FitWay *way)
{
    fitting->fit->failed[fitting->fit->failed_count++] =
        fit_change(fitting->order.laying, way, way->steps, fitting->order.grip_step_mm);
}

// Looks along one way, or several at once, with a share of the work.
static bool look(Fitting *fitting, const Making *making, double work, Relaxed *relaxed)
{
    const LayoutRelaxation relaxation = {
        .steps = making->way_count > 1 ? 1 : making->ways->steps,
        .near_first = making->ways->kind == FIT_TURN,
        .make = make_task,
        .context = making,
        .start = &fitting->start,
        .options = {.seed = fitting->order.seed, .work = work},
    };
    const Progress progress = {report, fitting};
    fitting->share_of_way = work / fitting->order.work;
    if (!layout_relax(&relaxation, &progress, fitting->keep, fitting->scratch, relaxed,
                      fitting->problems)) {
        return false;
    }
    fitting->spent += relaxed->work;
    fitting->fit->stopped = relaxed->stopped;
    return true;
}

// A shorter grip on more sides, when the same or less on some of them does.
static bool outdone(const FitAnswer *grip, const FitAnswer *other)
{
    if (grip->change.kind != FIT_GRIP || other->change.kind != FIT_GRIP ||
        other->change.shorter_mm > grip->change.shorter_mm) {
        return false;
    }
    for (int side = 0; side < SIDE_COUNT; side++) {
        if (other->change.sides[side] && !grip->change.sides[side]) {
            return false;
        }
    }
    return true;
}

static void drop_outdone(Fit *fit)
{
    int kept = 0;
    for (int i = 0; i < fit->answer_count; i++) {
        bool needed = true;
        for (int k = 0; k < kept && needed; k++) { // fewer sides come first
            needed = !outdone(&fit->answers[i], &fit->answers[k]);
        }
        if (needed) {
            fit->answers[kept++] = fit->answers[i];
        }
    }
    fit->answer_count = kept;
}

static bool is_tolerance(const FitWay *way)
{
    return way->kind == FIT_FLAW || way->kind == FIT_FIRMNESS;
}

// When all flaws and soft leather that may be allowed at all are, and that does not do,
// then none of them alone does. *useful is then false.
static bool look_at_tolerances(Fitting *fitting, int first, int ways_left, bool *useful)
{
    int count = 0;
    while (first + count < fitting->way_count && is_tolerance(&fitting->ways[first + count])) {
        count++;
    }
    *useful = true;
    if (count < 2) {
        return true;
    }
    const Making all = {fitting, &fitting->ways[first], count};
    const double left = fitting->order.work - fitting->spent;
    Relaxed relaxed;
    if (!look(fitting, &all, fmax(0, left) / (ways_left + 1), &relaxed)) {
        return false;
    }
    *useful = relaxed.fits;
    return true;
}

static bool look_along(Fitting *fitting, int index, bool *tolerances_useful)
{
    const FitWay *way = &fitting->ways[index];
    const int ways_left = fitting->way_count - index;
    const bool first_tolerance =
        is_tolerance(way) && (index == 0 || !is_tolerance(&fitting->ways[index - 1]));
    if (first_tolerance && !look_at_tolerances(fitting, index, ways_left, tolerances_useful)) {
        return false;
    }
    if (fitting->fit->stopped) {
        return true;
    }
    if (is_tolerance(way) && !*tolerances_useful) {
        add_failed(fitting, way);
        return true;
    }
    const double left = fitting->order.work - fitting->spent;
    const Making making = {fitting, way, 1};
    Relaxed relaxed;
    if (!look(fitting, &making, fmax(left, 1e-6) / ways_left, &relaxed)) {
        return false;
    }
    if (relaxed.fits) {
        return add_answer(fitting, &making, &relaxed);
    }
    if (!relaxed.stopped) {
        add_failed(fitting, way);
    }
    return true;
}

// What is placed is a layout for that many covers fewer.
static void add_fewer(Fitting *fitting, const CutPlan *plan)
{
    int missing = 0;
    for (int i = 0; i < plan->unplaced_count; i++) {
        missing += plan->unplaced[i].count;
    }
    if (missing > 0 && plan->cover_count > 0) {
        fitting->fit->answers[fitting->fit->answer_count++] =
            (FitAnswer){.change = {.kind = FIT_FEWER, .fewer = missing},
                        .laying = *fitting->order.laying,
                        .plan = *plan};
    }
}

static int by_harm(const void *left, const void *right)
{
    const FitAnswer *a = left;
    const FitAnswer *b = right;
    const int harm_a = fit_harm(&a->change, NULL);
    const int harm_b = fit_harm(&b->change, NULL);
    if (harm_a != harm_b) {
        return harm_a < harm_b ? -1 : 1;
    }
    return (a->change.kind > b->change.kind) - (a->change.kind < b->change.kind);
}

static Layout layout_of_plan(const Laying *laying, const CutPlan *plan, Arena *keep)
{
    Layout layout = {.placements = ARENA_ARRAY(keep, Placement, plan->cover_count + 1),
                     .count = plan->cover_count,
                     .missing = ARENA_ARRAY(keep, int, laying->demand_count + 1)};
    for (int i = 0; i < plan->cover_count; i++) {
        const PlacedCover *placed = &plan->covers[i];
        layout.placements[i] =
            (Placement){placed->demand, placed->hide, placed->motion, placed->locked};
    }
    for (int i = 0; i < plan->unplaced_count; i++) {
        layout.missing[plan->unplaced[i].demand] = plan->unplaced[i].count;
    }
    return layout;
}

static bool look_all_ways(Fitting *fitting)
{
    bool tolerances_useful = true;
    for (int i = 0; i < fitting->way_count && !fitting->fit->stopped; i++) {
        if (!look_along(fitting, i, &tolerances_useful)) {
            return false;
        }
    }
    return true;
}

// Before anything is known.
static LayoutBound no_bound(const Laying *laying, Arena *keep)
{
    LayoutBound bound = {.nowhere = ARENA_ARRAY(keep, bool, laying->demand_count + 1)};
    for (int i = 0; i < laying->demand_count; i++) {
        bound.wanted += laying->demands[i].count;
    }
    bound.most = bound.wanted;
    return bound;
}

bool cutting_fit(const FitOrder *order, const Progress *progress, Arena *keep, Arena *scratch,
                 Fit *fit, Problems *problems)
{
    LayoutTask task;
    Fit found = {.answers = ARENA_ARRAY(keep, FitAnswer, FIT_WAYS_MAX + 1),
                 .failed = ARENA_ARRAY(keep, FitChange, FIT_WAYS_MAX + 1)};
    ProgressPart part = {.whole = progress, .to = 0};
    const Progress reports = {progress_report_part, &part};
    const Problems before = *problems;
    if (!cutting_task_reported(order->laying, &reports, keep, scratch, &task, problems) ||
        !layout_bound(&task, &reports, keep, scratch, &found.bound, problems)) {
        *problems = part.stopped ? before : *problems;
        found.stopped = part.stopped;
        found.bound = no_bound(order->laying, keep);
        *fit = found;
        return part.stopped;
    }
    found.stopped = !progress_report(progress, "looking how many could fit", 0);
    if (order->work > 0 && order->plan->unplaced_count > 0) {
        Fitting fitting = {.order = *order,
                           .base = {order->laying, task},
                           .start = layout_of_plan(order->laying, order->plan, keep),
                           .part = {.whole = progress, .to = 1},
                           .keep = keep,
                           .scratch = scratch,
                           .fit = &found,
                           .problems = problems};
        if (!(fitting.order.grip_step_mm > 0)) {
            fitting.order.grip_step_mm = default_grip_step_mm;
        }
        const Progress all = {progress_report_part, &fitting.part};
        fitting.progress = &all;
        fitting.way_count = fit_ways(order->laying, fitting.order.grip_step_mm, fitting.ways);
        add_fewer(&fitting, order->plan);
        if (!look_all_ways(&fitting)) {
            return false;
        }
        drop_outdone(&found);
        qsort(found.answers, (size_t)found.answer_count, sizeof *found.answers, by_harm);
    }
    *fit = found;
    return true;
}
