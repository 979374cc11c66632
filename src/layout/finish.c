#include "layout/finish_parts.h"
#include "layout/result.h"

#include <string.h>

// Words of counted work in one unit: as the search counts (layout/search.c).
static const double words_in_unit = 1.6e9;

// What one finish is about.
typedef struct Finishing {
    const LayoutTask *task;
    double work;
    double spent;
    Progress progress;
    Placement *moved; // room for a copy
    bool last;        // no wish is left to begin with
    Arena *keep;
    Arena *scratch;
} Finishing;

// Cuts come last and on top of the finish's work, so that they take nothing from the wishes before.
static const double cuts_share = 0.25;

static bool ends_with_cuts(const Finish *finish)
{
    return finish->order[finish->order_count - 1] == LAYOUT_WISH_CUTS;
}

static void run_stage(Finish *finish, int stage)
{
    finish->stage = stage;
    const bool on_top = ends_with_cuts(finish) && stage + 1 == finish->order_count;
    const int stages = finish->order_count - stage - (ends_with_cuts(finish) && !on_top ? 1 : 0);
    const double done = finish_words(finish);
    finish->limit = done + (finish->limit_of_all - done) / stages;
    if (on_top) {
        finish->limit = fmax(finish->limit, done + cuts_share * finish->limit_of_all);
    }
    finish_moves(finish);
    const LayoutWish wish = finish->order[stage];
    finish->bound[wish] = finish->value[wish] + finish->tolerance[wish];
}

// One wish after the other from the stage `first` on; those before it are held as they are.
static void run_stages(Finish *finish, int first)
{
    for (int i = 0; i < first; i++) {
        const LayoutWish wish = finish->order[i];
        finish->bound[wish] = finish->value[wish] + finish->tolerance[wish];
    }
    const int last = finish->order_count - (ends_with_cuts(finish) ? 1 : 0);
    for (int stage = first; stage < last && !finish->stopped; stage++) {
        run_stage(finish, stage);
    }
    finish->stage = last;
    finish_close_up(finish);
    if (last < finish->order_count && !finish->stopped) {
        run_stage(finish, last);
    }
}

// The first wish that differs by more than its tolerance decides.
static bool is_worse(const LayoutTask *task, const LayoutMeasures *now,
                     const LayoutMeasures *before)
{
    const int count = task->wish_count > 0 ? task->wish_count : LAYOUT_WISH_COUNT;
    for (int i = 0; i < count; i++) {
        const LayoutWish wish = task->wish_count > 0 ? task->wishes[i] : (LayoutWish)i;
        const double change = measure_wish(task, now, wish) - measure_wish(task, before, wish);
        if (fabs(change) > finish_tolerance(task, wish) * 1.01 + 1e-9) {
            return change > 0;
        }
    }
    return false;
}

// One run of the stages on a copy. True when its result is better, and taken.
static bool improve_from(Finishing *finishing, int first, Layout *layout)
{
    const LayoutTask *task = finishing->task;
    Layout moved = *layout;
    moved.placements = finishing->moved;
    memcpy(moved.placements, layout->placements, (size_t)layout->count * sizeof *moved.placements);
    const ArenaMark mark = arena_mark(finishing->scratch);
    // Nothing is kept before the stages end: until then, that arena serves as well.
    const ArenaMark unkept = arena_mark(finishing->keep);
    Finish *finish =
        finish_begin(task, moved.placements, moved.count, finishing->scratch, finishing->keep);
    finish->progress = &finishing->progress;
    finish->limit_of_all = (finishing->work - finishing->spent) * words_in_unit;
    run_stages(finish, first);
    arena_rewind(finishing->keep, unkept);
    finishing->spent += finish_words(finish) / words_in_unit;
    moved.measures = measure_layout(task, &moved, layout, &finishing->progress, finishing->keep,
                                    finishing->scratch);
    const bool better =
        moved.measures.remnants &&
        layout_check(task, moved.placements, moved.count, finishing->scratch, NULL, 0) == 0 &&
        !is_worse(task, &moved.measures, &layout->measures);
    if (better) {
        *layout = moved;
        layout->cost = moved.measures.cost;
        layout->price = sheets_price(task, moved.placements, moved.count);
    }
    finishing->last = first + 1 >= finish->order_count;
    arena_rewind(finishing->scratch, mark);
    return better;
}

// ---- One sheet after the other

// Of several sheets the work goes first to each by itself, where a move is weighed on one sheet
// only; the rest to all together.
static const double each_share = 0.75;

// The task of one sheet with what lies on it; `lying` gets the numbers of its placements.
static LayoutTask task_of_one(const LayoutTask *task, const Layout *layout, int sheet, int *lying,
                              Layout *on_sheet, Arena *scratch)
{
    Piece *pieces = ARENA_ARRAY(scratch, Piece, task->piece_count + 1);
    int *number = ARENA_ARRAY(scratch, int, task->piece_count + 1); // from 1
    LayoutTask one = *task;
    one.sheets = &task->sheets[sheet];
    one.sheet_count = 1;
    one.pieces = pieces;
    one.piece_count = 0;
    one.locked_count = 0; // the placements say it too
    one.useful_mm = measure_useful_mm(task);
    *on_sheet = (Layout){.placements = ARENA_ARRAY(scratch, Placement, layout->count + 1)};
    for (int i = 0; i < layout->count; i++) {
        Placement placement = layout->placements[i];
        if (placement.sheet != sheet) {
            continue;
        }
        if (number[placement.piece] == 0) {
            pieces[one.piece_count] = task->pieces[placement.piece];
            pieces[one.piece_count].demand = 0;
            number[placement.piece] = ++one.piece_count;
        }
        placement.piece = number[placement.piece] - 1;
        placement.sheet = 0;
        pieces[placement.piece].demand++;
        lying[on_sheet->count] = i;
        on_sheet->placements[on_sheet->count++] = placement;
    }
    return one;
}

// Finishes the copy of a layout sheet by sheet. `remnants` gets what is left of each.
static void finish_each(Finishing *finishing, Layout *layout, Remnant *remnants)
{
    const LayoutTask *task = finishing->task;
    for (int sheet = 0; sheet < task->sheet_count; sheet++) {
        const ArenaMark mark = arena_mark(finishing->scratch);
        const ArenaMark kept = arena_mark(finishing->keep);
        int *lying = ARENA_ARRAY(finishing->scratch, int, layout->count + 1);
        Layout on_sheet;
        const LayoutTask one =
            task_of_one(task, layout, sheet, lying, &on_sheet, finishing->scratch);
        Remnant before = remnants[sheet];
        on_sheet.measures.remnants = &before;
        const double work = each_share * finishing->work * on_sheet.count / layout->count;
        if (on_sheet.count > 0) {
            finish_run(&one, work, &finishing->progress, finishing->keep, finishing->scratch,
                       &on_sheet);
            finishing->spent += on_sheet.work;
        }
        for (int i = 0; i < on_sheet.count; i++) {
            layout->placements[lying[i]].motion = on_sheet.placements[i].motion;
        }
        if (on_sheet.measures.remnants) {
            remnants[sheet] = on_sheet.measures.remnants[0];
        }
        arena_rewind(finishing->keep, kept);
        arena_rewind(finishing->scratch, mark);
    }
}

static int sheets_used(const Layout *layout)
{
    bool used[LAYOUT_SHEETS_MAX] = {false};
    int count = 0;
    for (int i = 0; i < layout->count; i++) {
        count += !used[layout->placements[i].sheet];
        used[layout->placements[i].sheet] = true;
    }
    return count;
}

// Takes the layout finished sheet by sheet when it is no worse.
static void improve_each(Finishing *finishing, Layout *layout)
{
    const LayoutTask *task = finishing->task;
    Layout moved = *layout;
    moved.placements = ARENA_ARRAY(finishing->keep, Placement, layout->count + 1);
    memcpy(moved.placements, layout->placements, (size_t)layout->count * sizeof *moved.placements);
    Remnant *remnants = ARENA_ARRAY(finishing->keep, Remnant, task->sheet_count + 1);
    memcpy(remnants, layout->measures.remnants, (size_t)task->sheet_count * sizeof *remnants);
    finish_each(finishing, &moved, remnants);
    moved.measures.remnants = remnants;
    moved.measures = measure_layout(task, &moved, &moved, &finishing->progress, finishing->keep,
                                    finishing->scratch);
    if (moved.measures.remnants && !is_worse(task, &moved.measures, &layout->measures)) {
        *layout = moved;
        layout->cost = moved.measures.cost;
    }
}

void finish_run(const LayoutTask *task, double work, const Progress *progress, Arena *keep,
                Arena *scratch, Layout *layout)
{
    ProgressPart part = {.whole = progress, .to = 1};
    Finishing finishing = {.task = task,
                           .work = work,
                           .progress = {progress_report_part, &part},
                           .moved = ARENA_ARRAY(keep, Placement, layout->count + 1),
                           .keep = keep,
                           .scratch = scratch};
    Layout finished = *layout;
    finished.measures = measure_layout(task, layout, layout, &finishing.progress, keep, scratch);
    if (sheets_used(&finished) > 1 && work > 0 && !part.stopped) {
        improve_each(&finishing, &finished);
    }
    // From the first wish on; when what that brings is undone by a later wish that got worse on
    // the way, from the second wish on, and so forth.
    bool done = layout->count == 0;
    for (int first = 0; !done && !part.stopped && finishing.spent < work; first++) {
        done = improve_from(&finishing, first, &finished) || finishing.last;
    }
    finished.work += finishing.spent;
    *layout = finished;
}
