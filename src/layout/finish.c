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

// One wish after the other from the stage `first` on; those before it are held as they are.
static void run_stages(Finish *finish, int first)
{
    for (int i = 0; i < first; i++) {
        const LayoutWish wish = finish->order[i];
        finish->bound[wish] = finish->value[wish] + finish->tolerance[wish];
    }
    for (int stage = first; stage < finish->order_count && !finish->stopped; stage++) {
        finish->stage = stage;
        const double done = finish_words(finish);
        finish->limit = done + (finish->limit_of_all - done) / (finish->order_count - stage);
        finish_moves(finish);
        const LayoutWish wish = finish->order[stage];
        finish->bound[wish] = finish->value[wish] + finish->tolerance[wish];
    }
    finish->stage = finish->order_count;
    finish_close_up(finish);
}

// The first wish that differs by more than its tolerance decides.
static bool is_worse(const Finish *finish, const LayoutMeasures *now, const LayoutMeasures *before)
{
    for (int i = 0; i < finish->order_count; i++) {
        const LayoutWish wish = finish->order[i];
        const double change =
            measure_wish(finish->task, now, wish) - measure_wish(finish->task, before, wish);
        if (fabs(change) > finish->tolerance[wish] * 1.01 + 1e-9) {
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
    moved.measures =
        measure_layout(task, &moved, &finishing->progress, finishing->keep, finishing->scratch);
    const bool better =
        moved.measures.remnants &&
        layout_check(task, moved.placements, moved.count, finishing->scratch, NULL, 0) == 0 &&
        !is_worse(finish, &moved.measures, &layout->measures);
    if (better) {
        *layout = moved;
        layout->cost = moved.measures.cost;
        layout->price = sheets_price(task, moved.placements, moved.count);
    }
    finishing->last = first + 1 >= finish->order_count;
    arena_rewind(finishing->scratch, mark);
    return better;
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
    finished.measures = measure_layout(task, layout, &finishing.progress, keep, scratch);
    // From the first wish on; when what that brings is undone by a later wish that got worse on
    // the way, from the second wish on, and so forth.
    bool done = layout->count == 0;
    for (int first = 0; !done && !part.stopped && finishing.spent < work; first++) {
        done = improve_from(&finishing, first, &finished) || finishing.last;
    }
    finished.work += finishing.spent;
    *layout = finished;
}
