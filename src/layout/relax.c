#include "layout/relax.h"

#include "layout/bound.h"
#include "layout/search.h"

#include <string.h>

static const double default_work = 1.0;
// Of what a try may spend, the share that goes into placing only what is missing.
static const double beside_share = 0.25;

// The relaxing under way.
typedef struct Relaxing {
    const LayoutRelaxation *relaxation;
    LayoutOptions allowed;
    int tries_left; // as far as can be foreseen
    double share_of_search;
    const Progress *progress;
    Arena *keep;
    Arena *scratch;
    Relaxed *relaxed;
    Problems *problems;
} Relaxing;

// Hands a search's report on as a part of the whole, and remembers a stop.
static bool report(void *context, const char *what, double share)
{
    (void)what;
    Relaxing *relaxing = context;
    const double done = relaxing->relaxed->work / relaxing->allowed.work;
    if (!progress_report(relaxing->progress, "looking for what would make it fit",
                         fmin(1, done + relaxing->share_of_search * share))) {
        relaxing->relaxed->stopped = true;
    }
    return !relaxing->relaxed->stopped;
}

static bool all_laid(const LayoutTask *task, const Layout *layout)
{
    for (int i = 0; i < task->piece_count; i++) {
        if (layout->missing[i] > 0) {
            return false;
        }
    }
    return true;
}

// Copies a layout to where it outlives the try that found it.
static void hold(Relaxing *relaxing, const Layout *layout, int step)
{
    const Layout room = relaxing->relaxed->layout;
    memcpy(room.placements, layout->placements, (size_t)layout->count * sizeof *room.placements);
    relaxing->relaxed->layout = *layout;
    relaxing->relaxed->layout.placements = room.placements;
    relaxing->relaxed->layout.missing = room.missing; // of no piece any
    relaxing->relaxed->fits = true;
    relaxing->relaxed->step = step;
}

// One search. False only when it failed without being stopped.
static bool look(Relaxing *relaxing, const LayoutTask *task, double work, int step, bool *fits)
{
    const Progress progress = {report, relaxing};
    SearchResult result;
    relaxing->share_of_search = work / relaxing->allowed.work;
    const bool good =
        search_run(task, (LayoutOptions){.seed = relaxing->allowed.seed, .work = work}, &progress,
                   relaxing->keep, relaxing->scratch, &result, relaxing->problems);
    if (!good) {
        return relaxing->relaxed->stopped; // a stop is an answer here
    }
    relaxing->relaxed->work += result.tally.work;
    *fits = all_laid(task, &result.layout);
    if (*fits) {
        hold(relaxing, &result.layout, step);
    }
    return true;
}

// What is missing, beside the others as they lie, where the judge accepts them so. The
// search asks the judge as well, so it is asked here only when the search refuses.
static bool look_beside(Relaxing *relaxing, const LayoutTask *task, double work, int step,
                        bool *fits)
{
    const Layout *start = relaxing->relaxation->start;
    if (!start || start->count == 0) {
        return true;
    }
    LayoutTask beside = *task;
    beside.locked = start->placements;
    beside.locked_count = start->count;
    const Problems before = *relaxing->problems;
    if (!look(relaxing, &beside, work, step, fits)) {
        if (layout_check(task, start->placements, start->count, relaxing->scratch, NULL, 0) == 0) {
            return false;
        }
        *relaxing->problems = before;
        return true;
    }
    for (int i = 0; *fits && i < start->count; i++) { // what only stayed is no lock of the user's
        relaxing->relaxed->layout.placements[i].locked = start->placements[i].locked;
    }
    return true;
}

static bool look_both_ways(Relaxing *relaxing, const LayoutTask *task, int step, bool *fits)
{
    const double begun = relaxing->relaxed->work;
    const double work = (relaxing->allowed.work - begun) / relaxing->tries_left;
    if (!(work > 0)) {
        return true;
    }
    if (!look_beside(relaxing, task, beside_share * work, step, fits)) {
        return false;
    }
    const double left = work - (relaxing->relaxed->work - begun);
    return *fits || relaxing->relaxed->stopped || !(left > 0) ||
           look(relaxing, task, left, step, fits);
}

// Gives back what a try took, with its doubts: nobody asked for this task. After a failure
// all stays, since the problems lie there.
static void end_try(Relaxing *relaxing, bool good, ArenaMark mark, const Problems *before)
{
    if (good) {
        *relaxing->problems = *before;
        arena_rewind(relaxing->keep, mark);
    }
}

static bool make_task(Relaxing *relaxing, int step, LayoutTask *task)
{
    return relaxing->relaxation->make(relaxing->relaxation->context, step, relaxing->keep,
                                      relaxing->scratch, task, relaxing->problems);
}

// Whether what failed was only stopped: the one who makes tasks may have heard of it first.
static bool was_stopped(Relaxing *relaxing)
{
    return relaxing->relaxed->stopped || !report(relaxing, NULL, 0);
}

static bool try_step(Relaxing *relaxing, int step, bool *fits)
{
    const ArenaMark mark = arena_mark(relaxing->keep);
    const Problems before = *relaxing->problems;
    const Progress progress = {report, relaxing};
    LayoutTask task;
    LayoutBound bound;
    *fits = false;
    relaxing->share_of_search = 0;
    bool good = make_task(relaxing, step, &task) && report(relaxing, NULL, 0) &&
                layout_bound(&task, &progress, relaxing->keep, relaxing->scratch, &bound,
                             relaxing->problems);
    if (good && bound.most == bound.wanted) {
        good = look_both_ways(relaxing, &task, step, fits);
    }
    good = good || was_stopped(relaxing);
    end_try(relaxing, good, mark, &before);
    relaxing->tries_left -= relaxing->tries_left > 1;
    return good;
}

// Whether the judge accepts the layout found for a nearer step as well.
static bool accepted_at(Relaxing *relaxing, int step, bool *accepted)
{
    const ArenaMark mark = arena_mark(relaxing->keep);
    const Problems before = *relaxing->problems;
    LayoutTask task;
    const Layout *layout = &relaxing->relaxed->layout;
    const bool made = make_task(relaxing, step, &task);
    *accepted =
        made && report(relaxing, NULL, 0) &&
        layout_check(&task, layout->placements, layout->count, relaxing->scratch, NULL, 0) == 0;
    const bool good = made || was_stopped(relaxing);
    end_try(relaxing, good, mark, &before);
    report(relaxing, NULL, 0);
    return good;
}

// A layout seldom needs all that its step allows: the least step that it does for,
// above one that is known not to.
static bool lower(Relaxing *relaxing, int not_at)
{
    int low = not_at;
    while (relaxing->relaxed->step - low > 1 && !relaxing->relaxed->stopped) {
        const int middle = low + (relaxing->relaxed->step - low) / 2;
        bool accepted = false;
        if (!accepted_at(relaxing, middle, &accepted)) {
            return false;
        }
        if (accepted) {
            relaxing->relaxed->step = middle;
        } else {
            low = middle;
        }
    }
    return true;
}

// Steps 1, 2, 4, ... and the last, until one does.
static bool try_outward(Relaxing *relaxing, int *not_at)
{
    const int last = relaxing->relaxation->steps;
    bool fits = false;
    for (int step = 1; !fits && !relaxing->relaxed->stopped;
         step = 2 * step < last ? 2 * step : last) {
        if (!try_step(relaxing, step, &fits)) {
            return false;
        }
        *not_at = fits ? *not_at : step;
        if (step == last) {
            break;
        }
    }
    return true;
}

static bool halve(Relaxing *relaxing, int not_at)
{
    if (!lower(relaxing, not_at)) {
        return false;
    }
    while (relaxing->relaxed->step - not_at > 1 && !relaxing->relaxed->stopped) {
        const int middle = not_at + (relaxing->relaxed->step - not_at) / 2;
        bool fits = false;
        if (!try_step(relaxing, middle, &fits) || (fits && !lower(relaxing, not_at))) {
            return false;
        }
        not_at = fits ? not_at : middle;
    }
    return true;
}

static int halvings(int steps)
{
    int count = 1;
    for (; steps > 1; steps /= 2) {
        count++;
    }
    return count;
}

bool layout_relax(const LayoutRelaxation *relaxation, const Progress *progress, Arena *keep,
                  Arena *scratch, Relaxed *relaxed, Problems *problems)
{
    if (relaxation->steps < 1 || relaxation->steps > RELAX_STEPS_MAX) {
        return problems_say(problems, PROBLEM_BAD_INPUT, "relaxation", "%d steps; 1 to %d allowed",
                            relaxation->steps, RELAX_STEPS_MAX);
    }
    *relaxed = (Relaxed){.layout = {.placements = ARENA_ARRAY(keep, Placement, LAYOUT_COPIES_MAX),
                                    .missing = ARENA_ARRAY(keep, int, LAYOUT_PIECES_MAX)}};
    const int tries = halvings(relaxation->steps);
    Relaxing relaxing = {.relaxation = relaxation,
                         .allowed = relaxation->options,
                         .tries_left = relaxation->near_first ? 2 * tries : tries,
                         .progress = progress,
                         .keep = keep,
                         .scratch = scratch,
                         .relaxed = relaxed,
                         .problems = problems};
    if (!(relaxing.allowed.work > 0)) {
        relaxing.allowed.work = default_work;
    }
    int not_at = 0;
    bool fits = false;
    const bool good = relaxation->near_first ? try_outward(&relaxing, &not_at)
                                             : try_step(&relaxing, relaxation->steps, &fits);
    return good && (!relaxed->fits || halve(&relaxing, not_at));
}
