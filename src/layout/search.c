#include "layout/search.h"

#include "layout/fewest.h"
#include "layout/finish.h"
#include "layout/result.h"
#include "layout/strip.h"
#include "layout/task.h"
#include "layout/tries.h"

// Words of counted work in one unit: about one second of a laptop's core.
static const double words_in_unit = 1.6e9;
enum { PASSES = 3 };
// Share of the work left that a pass may spend while a finer one can follow.
static const double pass_share = 0.5;
// Half the cells: four times as many, under masks of twice as many runs.
static const double finer_cost = 8;

typedef struct Search {
    Model model;
    Tries tries;
    const LayoutTask *task;
    Motion *motions; // of the best layout, as long as there is no model of its cells
    SearchTally tally;
} Search;

static int hand_out(const Search *search, Arena *keep, Arena *scratch, Layout *layout)
{
    const LayoutTask *task = search->task;
    const ArenaMark mark = arena_mark(scratch);
    const Arrangement *best = &search->tries.best;
    Placement *placements = ARENA_ARRAY(scratch, Placement, task->locked_count + best->count + 1);
    int count = 0;
    for (int i = 0; i < task->locked_count; i++) {
        placements[count] = task->locked[i];
        placements[count++].locked = true;
    }
    for (int i = 0; i < best->count; i++) {
        const Laid laid = best->laid[i];
        placements[count++] =
            (Placement){.piece = laid.piece, .sheet = laid.sheet, .motion = search->motions[i]};
    }
    const int refused = result_make(task, placements, count, keep, scratch, layout);
    arena_rewind(scratch, mark);
    return refused;
}

static const Taken *locked_outlines(const LayoutTask *task, Arena *arena)
{
    Taken *taken = ARENA_ARRAY(arena, Taken, task->locked_count + 1);
    for (int i = 0; i < task->locked_count; i++) {
        const Placement *locked = &task->locked[i];
        taken[i] = (Taken){locked->sheet, &task->pieces[locked->piece], locked->motion};
    }
    return taken;
}

static void set_down(Search *search)
{
    for (int i = 0; i < search->tries.best.count; i++) {
        search->motions[i] = model_motion(&search->model, search->tries.best.laid[i]);
    }
}

// Places the best layout on a model whose cells are half as large. On finer bands no
// stretch is longer, so what was free stays free.
static void carry_over(Search *search)
{
    Arrangement *best = &search->tries.best;
    for (int i = 0; i < best->count; i++) {
        best->laid[i].column *= 2;
        best->laid[i].row *= 2;
    }
    tries_return_to_best(&search->tries);
}

// One pass on cells of one size, from the best layout of the pass before. Spends a
// share of the work left when a finer pass can follow, else all. True when it can.
static bool pass(Search *search, int number, ModelView view, Work *work, Arena *scratch)
{
    const ArenaMark mark = arena_mark(scratch);
    Model *model = &search->model;
    const double limit = work->limit;
    const double begun = work->done;
    const int cell = model_coarse_cell(search->task) >> number;
    search->tries.model = model;
    search->tries.greedy = greedy_begin(model, search->task, scratch);
    model_make(search->task, view, cell, *work, scratch, model);
    if (number > 0) {
        carry_over(search);
    }
    tries_find_attainable(&search->tries);
    const double left = limit - model->work.done;
    const bool finer = number + 1 < PASSES && cell % 2 == 0 &&
                       model_finds_room(search->task, cell / 2) &&
                       finer_cost * (model->work.done - begun) <= left / 4;
    model->work.limit = finer ? model->work.done + pass_share * left : limit;
    tries_run(&search->tries, (uint64_t)number);
    set_down(search);
    search->tally.cell_mm = cell / LATTICE_PER_MM;
    search->tally.poses = model->pose_count;
    *work = model->work;
    work->limit = limit;
    arena_rewind(scratch, mark);
    return finer && !work->stopped && !tries_all_laid(&search->tries);
}

// Coarse cells first; finer ones only while something is missing.
static void pass_all(Search *search, ModelView view, Work *work, Arena *scratch)
{
    if (search->task->sheet_count == 0 || search->tries.all_count == 0) {
        search->tries.best.any = true; // nothing to lay, or nowhere: the empty layout
        return;
    }
    bool again = true;
    for (int i = 0; again; i++) {
        again = pass(search, i, view, work, scratch);
    }
}

bool search_run(const LayoutTask *task, LayoutOptions options, const Progress *progress,
                Arena *keep, Arena *scratch, SearchResult *result, Problems *problems)
{
    const ArenaMark mark = arena_mark(scratch);
    if (!task_check(task, scratch, problems)) {
        arena_rewind(scratch, mark);
        return false;
    }
    Search *search = ARENA_NEW(scratch, Search);
    search->task = task;
    search->motions = ARENA_ARRAY(scratch, Motion, LAYOUT_COPIES_MAX);
    tries_begin(&search->tries, task, options.seed, scratch);
    Work work = {.progress = progress,
                 .limit = words_in_unit * (options.work > 0 ? options.work : 1.0)};
    const ModelView view = {.taken = locked_outlines(task, scratch),
                            .taken_count = task->locked_count};
    work.stopped = !progress_report(progress, "laying the pieces", 0);
    if (!work.stopped) {
        pass_all(search, view, &work, scratch);
    }
    const bool found = search->tries.best.any;
    if (found) {
        search->tally.refused = hand_out(search, keep, scratch, &result->layout);
        search->tally.layouts = search->tries.layouts;
        search->tally.work = work.done / words_in_unit;
        result->tally = search->tally;
    } else {
        problems_say(problems, PROBLEM_CANCELLED, "layout",
                     "stopped before the first piece was laid");
    }
    arena_rewind(scratch, mark);
    return found;
}

static bool lay(const LayoutTask *task, LayoutOptions options, const Progress *progress,
                Arena *keep, Arena *scratch, Layout *layout, Problems *problems)
{
    if (task->aim == LAYOUT_FEWEST_SHEETS) {
        return task_check(task, scratch, problems) &&
               fewest_run(task, options, progress, keep, scratch, layout, problems);
    }
    SearchResult result = {0};
    if (!search_run(task, options, progress, keep, scratch, &result, problems)) {
        return false;
    }
    *layout = result.layout;
    layout->work = result.tally.work;
    return true;
}

bool layout_search(const LayoutTask *task, LayoutOptions options, const Progress *progress,
                   Arena *keep, Arena *scratch, Layout *layout, Problems *problems)
{
    if (task->aim == LAYOUT_SHORTEST_STRIP) {
        return task_check(task, scratch, problems) &&
               strip_run(task, options, progress, keep, scratch, layout, problems);
    }
    // The finish has its own share of the work, and of the progress.
    const double work = options.work > 0 ? options.work : 1.0;
    const double share = task->unfinished ? 0 : FINISH_SHARE;
    options.work = (1 - share) * work;
    ProgressPart part = {.whole = progress, .to = 1 - share};
    const Progress reports = {progress_report_part, &part};
    Layout laid = {0};
    if (!lay(task, options, &reports, keep, scratch, &laid, problems)) {
        return false;
    }
    part.from = part.to;
    part.to = 1;
    if (share > 0 && !part.stopped &&
        !finish_run(task, share * work, &reports, keep, scratch, &laid, problems)) {
        return false;
    }
    *layout = laid;
    return true;
}
