#include "layout/fewest_plan.h"

#include "base/random.h"
#include "layout/raster.h"

#include <assert.h>
#include <math.h>
#include <string.h>

// What a fill counts at least: sheets on which nothing fits are not asked for ever.
static const double least_work = 1e-3;

Plan plan_make(const LayoutTask *task, Arena *arena)
{
    Plan plan = {.items = ARENA_ARRAY(arena, Placement, LAYOUT_COPIES_MAX),
                 .missing = ARENA_ARRAY(arena, int, task->piece_count + 1)};
    for (int i = 0; i < task->piece_count; i++) {
        plan.missing[i] = task->pieces[i].demand;
    }
    for (int i = 0; i < task->locked_count; i++) {
        plan.items[plan.count] = task->locked[i];
        plan.items[plan.count++].locked = true;
        plan.missing[task->locked[i].piece]--;
    }
    return plan;
}

void plan_begin_from(const LayoutTask *task, const Placement *start, int count, Plan *plan,
                     Arena *scratch)
{
    enum { FAULTS = 256 }; // looked at in one go
    const ArenaMark mark = arena_mark(scratch);
    LayoutFault *faults = ARENA_ARRAY(scratch, LayoutFault, FAULTS);
    for (int i = 0; i < count; i++) {
        const Placement *item = &start[i];
        if (!item->locked && item->piece >= 0 && item->piece < task->piece_count &&
            item->sheet >= 0 && item->sheet < task->sheet_count && plan->missing[item->piece] > 0) {
            plan->items[plan->count++] = *item;
            plan->missing[item->piece]--;
        }
    }
    int found = layout_check(task, plan->items, plan->count, scratch, faults, FAULTS);
    while (found > 0) {
        bool *off = ARENA_ARRAY(scratch, bool, plan->count);
        for (int i = 0; i < found && i < FAULTS; i++) {
            // The locked ones come first, and nothing is wrong among them.
            const bool two = faults[i].kind == LAYOUT_OVERLAP || faults[i].kind == LAYOUT_GAP;
            off[two && faults[i].other > faults[i].placement ? faults[i].other
                                                             : faults[i].placement] = true;
        }
        int kept = 0;
        for (int i = 0; i < plan->count; i++) {
            if (off[i]) {
                plan->missing[plan->items[i].piece]++;
            } else {
                plan->items[kept++] = plan->items[i];
            }
        }
        plan->count = kept;
        found = layout_check(task, plan->items, plan->count, scratch, faults, FAULTS);
    }
    arena_rewind(scratch, mark);
}

void plan_copy(const LayoutTask *task, const Plan *from, Plan *to)
{
    memcpy(to->items, from->items, (size_t)from->count * sizeof *to->items);
    memcpy(to->missing, from->missing, (size_t)task->piece_count * sizeof *to->missing);
    to->count = from->count;
}

bool plan_complete(const LayoutTask *task, const Plan *plan)
{
    for (int i = 0; i < task->piece_count; i++) {
        if (plan->missing[i] > 0) {
            return false;
        }
    }
    return true;
}

int plan_count_on(const Plan *plan, int sheet)
{
    int count = 0;
    for (int i = 0; i < plan->count; i++) {
        count += plan->items[i].sheet == sheet && !plan->items[i].locked;
    }
    return count;
}

void plan_clear(Plan *plan, int sheet)
{
    int kept = 0;
    for (int i = 0; i < plan->count; i++) {
        const Placement item = plan->items[i];
        if (item.sheet == sheet && !item.locked) {
            plan->missing[item.piece]++;
        } else {
            plan->items[kept++] = item;
        }
    }
    plan->count = kept;
}

// The share of one fill as a share of the whole work.
static bool report_fill(void *context, const char *what, double share)
{
    Filler *filler = context;
    filler->stopped =
        filler->stopped ||
        !progress_report(filler->progress, what, filler->share_at + filler->share_of * share);
    return !filler->stopped;
}

// One sheet's part of the whole.
typedef struct OneSheet {
    LayoutTask task;
    int *original;    // the number of each of its pieces in the whole task
    Placement *start; // what lies there, but for what is locked
    int start_count;
} OneSheet;

// Asks for what is missing, and again for what lies there.
static OneSheet one_sheet(const Filler *filler, const Plan *plan, int sheet, const double *worth)
{
    const LayoutTask *task = filler->task;
    Arena *scratch = filler->scratch;
    Piece *pieces = ARENA_ARRAY(scratch, Piece, task->piece_count + 1);
    Placement *locked = ARENA_ARRAY(scratch, Placement, plan->count + 1);
    OneSheet one = {.task = {.sheets = &task->sheets[sheet],
                             .sheet_count = 1,
                             .pieces = pieces,
                             .aim = LAYOUT_PLACE_ALL,
                             .locked = locked,
                             .unfinished = true},
                    .original = ARENA_ARRAY(scratch, int, task->piece_count + 1),
                    .start = ARENA_ARRAY(scratch, Placement, plan->count + 1)};
    for (int i = 0; i < task->piece_count; i++) {
        Piece piece = task->pieces[i];
        piece.demand = plan->missing[i];
        piece.value = worth[i];
        for (int j = 0; j < plan->count; j++) {
            Placement item = plan->items[j];
            if (item.piece == i && item.sheet == sheet) {
                item.piece = one.task.piece_count;
                item.sheet = 0;
                *(item.locked ? &locked[one.task.locked_count++] : &one.start[one.start_count++]) =
                    item;
                piece.demand++;
            }
        }
        if (piece.demand > 0) {
            one.original[one.task.piece_count] = i;
            pieces[one.task.piece_count++] = piece;
        }
    }
    return one;
}

static void take_over(Plan *plan, const Layout *layout, int sheet, const int *original)
{
    for (int i = 0; i < layout->count; i++) {
        Placement item = layout->placements[i];
        if (!item.locked) {
            item.piece = original[item.piece];
            item.sheet = sheet;
            plan->items[plan->count++] = item;
            plan->missing[item.piece]--;
        }
    }
}

// Whether the sheet has the area for any of what is missing. A stock may have dozens of offcuts
// that are smaller than that, each asked again and again; getting ready to search one takes as long
// as a search.
static bool any_may_fit(const Filler *filler, const Plan *plan, int sheet)
{
    const Ring outline = filler->task->sheets[sheet].outline;
    const double room_mm2 = fabs(ring_area_mm2(outline)) + SAFE_MM * ring_length_mm(outline);
    bool any = false;
    for (int i = 0; i < filler->task->piece_count && !any; i++) {
        const Ring piece = filler->task->pieces[i].outline[0];
        any = plan->missing[i] > 0 &&
              fabs(ring_area_mm2(piece)) - SAFE_MM * ring_length_mm(piece) <= room_mm2;
    }
    return any;
}

void plan_fill(Filler *filler, Plan *plan, int sheet, const double *worth, double work)
{
    if (plan_count_on(plan, sheet) == 0 && !any_may_fit(filler, plan, sheet)) {
        filler->fills++;
        filler->done += least_work;
        filler->share_at = fmin(filler->done / filler->limit, 1);
        (void)report_fill(filler, "laying the pieces", 0);
        return;
    }
    const ArenaMark kept = arena_mark(filler->keep);
    const ArenaMark mark = arena_mark(filler->scratch);
    const OneSheet one = one_sheet(filler, plan, sheet, worth);
    const Progress progress = {report_fill, filler};
    Random random = random_begin(filler->seed, filler->fills++, 1);
    const LayoutOptions options = {.seed = random_bits(&random),
                                   .work = work,
                                   .start = one.start_count > 0 ? one.start : NULL,
                                   .start_count = one.start_count};
    filler->share_at = fmin(filler->done / filler->limit, 1);
    filler->share_of = fmin(work / filler->limit, 1 - filler->share_at);
    Layout layout = {0};
    // The whole task is sound, so one sheet of it fails only when it is stopped.
    Problems *problems = problems_in(filler->keep);
    if (layout_search(&one.task, options, &progress, filler->keep, filler->scratch, &layout,
                      problems)) {
        plan_clear(plan, sheet);
        take_over(plan, &layout, sheet, one.original);
        filler->done += fmax(layout.work, least_work);
    } else {
        assert(filler->stopped);
    }
    arena_rewind(filler->scratch, mark);
    arena_rewind(filler->keep, kept);
}
