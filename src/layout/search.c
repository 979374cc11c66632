#include "layout/search.h"

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

// The judge has the last word: what it refuses is not handed out. Locked placements
// stand first and were accepted before.
static int drop_refused(const LayoutTask *task, Layout *layout, Arena *scratch)
{
    int refused = 0;
    LayoutFault fault;
    while (layout_check(task, layout->placements, layout->count, scratch, &fault, 1) > 0) {
        int worst = fault.placement;
        if (fault.kind == LAYOUT_OVERLAP || fault.kind == LAYOUT_GAP) {
            worst = worst > fault.other ? worst : fault.other;
        }
        for (int i = worst; i + 1 < layout->count; i++) {
            layout->placements[i] = layout->placements[i + 1];
        }
        layout->count--;
        refused++;
    }
    return refused;
}

static double placement_cost(const LayoutTask *task, const Placement *placement, Arena *scratch)
{
    const ArenaMark mark = arena_mark(scratch);
    const Piece *piece = &task->pieces[placement->piece];
    const Ring deepest =
        ring_moved(piece->outline[piece->depth_count - 1], placement->motion, scratch);
    const double cost = field_ring_mean(task->sheets[placement->sheet].field, deepest);
    arena_rewind(scratch, mark);
    return cost;
}

static int hand_out(const Search *search, Arena *keep, Arena *scratch, Layout *layout)
{
    const LayoutTask *task = search->task;
    *layout = (Layout){.placements = ARENA_ARRAY(keep, Placement,
                                                 task->locked_count + search->tries.best.count + 1),
                       .missing = ARENA_ARRAY(keep, int, task->piece_count + 1)};
    for (int i = 0; i < task->locked_count; i++) {
        layout->placements[layout->count] = task->locked[i];
        layout->placements[layout->count++].locked = true;
    }
    for (int i = 0; i < search->tries.best.count; i++) {
        const Laid laid = search->tries.best.laid[i];
        layout->placements[layout->count++] =
            (Placement){.piece = laid.piece, .sheet = laid.sheet, .motion = search->motions[i]};
    }
    const int refused = drop_refused(task, layout, scratch);
    for (int i = 0; i < task->piece_count; i++) {
        layout->missing[i] = task->pieces[i].demand;
    }
    for (int i = 0; i < layout->count; i++) {
        layout->missing[layout->placements[i].piece]--;
        layout->value += task->pieces[layout->placements[i].piece].value;
        layout->cost += placement_cost(task, &layout->placements[i], scratch) / layout->count;
    }
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

bool layout_search(const LayoutTask *task, LayoutOptions options, const Progress *progress,
                   Arena *keep, Arena *scratch, Layout *layout, Problems *problems)
{
    if (task->aim == LAYOUT_SHORTEST_STRIP) {
        return task_check(task, scratch, problems) &&
               strip_run(task, options, progress, keep, scratch, layout, problems);
    }
    SearchResult result = {0};
    if (!search_run(task, options, progress, keep, scratch, &result, problems)) {
        return false;
    }
    *layout = result.layout;
    return true;
}
