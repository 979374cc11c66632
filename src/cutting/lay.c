#include "cutting/parts.h"

#include "plane/lattice.h"

#include <stdlib.h>

static const double quarter_turn_rad = 1.5707963267948966;

// The ring as the judge saw it: moved, and rounded to the lattice.
static Ring moved_ring(Ring ring, Motion motion, Arena *keep, Arena *scratch)
{
    if (ring.count == 0) {
        return (Ring){0};
    }
    const ArenaMark mark = arena_mark(scratch);
    const LatticeRing moved = lattice_ring(ring, motion, scratch);
    Point *points = ARENA_ARRAY(keep, Point, moved.count);
    for (int i = 0; i < moved.count; i++) {
        points[i] = (Point){(double)moved.points[i].x / LATTICE_PER_MM,
                            (double)moved.points[i].y / LATTICE_PER_MM};
    }
    arena_rewind(scratch, mark);
    return (Ring){points, moved.count};
}

// Directions have no sense: 0 to a quarter turn.
static double angle_between_rad(double a_rad, double b_rad)
{
    return fabs(remainder(a_rad - b_rad, 2 * quarter_turn_rad));
}

static PlacedCover place(const CoverDemand *demand, const Placement *placement, const Hide *hide,
                         Arena *keep, Arena *scratch)
{
    const Cover *cover = demand->cover;
    PlacedCover placed = {.demand = placement->piece,
                          .hide = placement->sheet,
                          .motion = placement->motion,
                          .locked = placement->locked};
    placed.cut = moved_ring(cover->cut, placement->motion, keep, scratch);
    for (int band = 0; band < BAND_COUNT; band++) {
        placed.within[band] = moved_ring(cover->within[band], placement->motion, keep, scratch);
    }
    placed.tack_line = moved_ring(cover->tack_line, placement->motion, keep, scratch);
    const Point middle = ring_centroid(placed.within[BAND_FACE]);
    placed.off_firm_rad = angle_between_rad(placement->motion.turn_rad + quarter_turn_rad,
                                            hide_firm_direction_rad(hide, middle));
    return placed;
}

bool cutting_place(const Laying *laying, const Placement *placement, Arena *keep, Arena *scratch,
                   PlacedCover *cover, Problems *problems)
{
    const Hide *hide = &laying->hides[placement->sheet];
    PlacedCover placed = place(&laying->demands[placement->piece], placement, hide, keep, scratch);
    if (!find_touches(hide, &placed, keep, scratch, problems)) {
        return false;
    }
    *cover = placed;
    return true;
}

// Where a cover stands in the order of cutting.
typedef struct Turn {
    Point middle;
    double deep_mm; // along the backbone
    int row;        // from the butt
    int index;
    int hide;
} Turn;

static int compare(double a, double b)
{
    return (a > b) - (a < b);
}

static int butt_first(const void *left, const void *right)
{
    const Turn *a = left;
    const Turn *b = right;
    const int by_hide = compare(a->hide, b->hide);
    const int by_x = by_hide ? by_hide : compare(a->middle.x, b->middle.x);
    return by_x ? by_x : compare(b->middle.y, a->middle.y);
}

static int row_by_row(const void *left, const void *right)
{
    const Turn *a = left;
    const Turn *b = right;
    const int by_row = compare(a->row, b->row);
    const int by_y = by_row ? by_row : compare(b->middle.y, a->middle.y);
    return by_y ? by_y : butt_first(a, b);
}

// Butt first, forward: one row across the hide after the other, each from left to right. Covers
// whose middles lie within half of the nearest one's depth stand in one row.
static void sort_for_cutting(CutPlan *plan, Arena *scratch)
{
    const ArenaMark mark = arena_mark(scratch);
    Turn *turns = ARENA_ARRAY(scratch, Turn, plan->cover_count + 1);
    PlacedCover *covers = ARENA_ARRAY(scratch, PlacedCover, plan->cover_count + 1);
    for (int i = 0; i < plan->cover_count; i++) {
        const Box box = ring_box(plan->covers[i].cut);
        turns[i] = (Turn){.middle = ring_centroid(plan->covers[i].cut),
                          .deep_mm = box.max.x - box.min.x,
                          .index = i,
                          .hide = plan->covers[i].hide};
        covers[i] = plan->covers[i];
    }
    qsort(turns, (size_t)plan->cover_count, sizeof *turns, butt_first);
    int first = 0; // of the row
    for (int i = 1; i < plan->cover_count; i++) {
        const bool same = turns[i].hide == turns[first].hide &&
                          turns[i].middle.x - turns[first].middle.x <= turns[first].deep_mm / 2;
        first = same ? first : i;
        turns[i].row = first;
    }
    qsort(turns, (size_t)plan->cover_count, sizeof *turns, row_by_row);
    for (int i = 0; i < plan->cover_count; i++) {
        plan->covers[i] = covers[turns[i].index];
    }
    arena_rewind(scratch, mark);
}

static void number_copies(CutPlan *plan, int demand_count, Arena *scratch)
{
    const ArenaMark mark = arena_mark(scratch);
    int *copies = ARENA_ARRAY(scratch, int, demand_count + 1);
    for (int i = 0; i < plan->cover_count; i++) {
        plan->covers[i].copy = copies[plan->covers[i].demand]++;
    }
    arena_rewind(scratch, mark);
}

static void list_unplaced(const LayoutTask *task, const Layout *layout, Arena *keep, CutPlan *plan)
{
    plan->unplaced = ARENA_ARRAY(keep, Unplaced, task->piece_count + 1);
    for (int i = 0; i < task->piece_count; i++) {
        if (layout->missing[i] > 0) {
            plan->unplaced[plan->unplaced_count++] =
                (Unplaced){.demand = i,
                           .count = layout->missing[i],
                           .reason = "the search was stopped before it was laid"};
        }
    }
}

// Takes a look at every hide, so it is not for somebody who waits for the end.
static bool find_reasons(const LayoutTask *task, const Layout *layout, const Progress *progress,
                         Arena *scratch, CutPlan *plan, Problems *problems)
{
    for (int i = 0; i < plan->unplaced_count && !plan->stopped; i++) {
        Unplaced *unplaced = &plan->unplaced[i];
        ProgressPart part = {.whole = progress, .from = 1, .to = 1};
        const Progress reports = {progress_report_part, &part};
        const char *reason;
        if (!find_reason(task, layout, unplaced->demand, &reports, scratch, &reason, problems)) {
            return false;
        }
        plan->stopped = part.stopped;
        unplaced->reason = part.stopped ? unplaced->reason : reason;
    }
    return true;
}

bool plan_of_layout(const Laying *laying, const LayoutTask *task, const Layout *layout, Arena *keep,
                    Arena *scratch, CutPlan *plan, Problems *problems)
{
    CutPlan made = {.covers = ARENA_ARRAY(keep, PlacedCover, layout->count + 1),
                    .cover_count = layout->count,
                    .used_mm2 = ARENA_ARRAY(keep, double, laying->hide_count + 1),
                    .left = layout->measures.remnants,
                    .useful_mm = layout->measures.useful_mm,
                    .cuts = layout->measures.cuts,
                    .least_cut_mm = layout->measures.least_cut_mm,
                    .stopped = layout->stopped};
    for (int i = 0; i < layout->count; i++) {
        const Placement *placement = &layout->placements[i];
        if (!cutting_place(laying, placement, keep, scratch, &made.covers[i], problems)) {
            return false;
        }
        made.used_mm2[placement->sheet] += ring_area_mm2(made.covers[i].cut);
    }
    sort_for_cutting(&made, scratch);
    number_copies(&made, laying->demand_count, scratch);
    list_unplaced(task, layout, keep, &made);
    *plan = made;
    return true;
}

// Locked placements belong to the task.
static void lock_down(LayoutTask *task, const LayoutOptions *options, Arena *keep)
{
    Placement *locked = ARENA_ARRAY(keep, Placement, options->start_count + 1);
    int count = 0;
    for (int i = 0; i < options->start_count; i++) {
        if (options->start[i].locked) {
            locked[count++] = options->start[i];
        }
    }
    task->locked = locked;
    task->locked_count = count;
}

bool cutting_laid(const Laying *laying, const LayoutTask *task, LayoutOptions laid, Arena *keep,
                  Arena *scratch, CutPlan *plan, Problems *problems)
{
    Placement *placements = ARENA_ARRAY(keep, Placement, laid.start_count + 1);
    int *missing = ARENA_ARRAY(keep, int, task->piece_count + 1);
    for (int i = 0; i < task->piece_count; i++) {
        missing[i] = task->pieces[i].demand;
    }
    for (int i = 0; i < laid.start_count; i++) {
        placements[i] = laid.start[i];
        missing[placements[i].piece]--;
    }
    const Layout layout = {.placements = placements,
                           .count = laid.start_count,
                           .missing = missing,
                           .measures =
                               layout_measure(task, placements, laid.start_count, keep, scratch)};
    if (!plan_of_layout(laying, task, &layout, keep, scratch, plan, problems)) {
        return false;
    }
    for (int i = 0; i < plan->unplaced_count; i++) {
        plan->unplaced[i].reason = "nobody has laid it yet";
    }
    return true;
}

bool cutting_lay(const Laying *laying, LayoutOptions options, const Progress *progress, Arena *keep,
                 Arena *scratch, CutPlan *plan, Problems *problems)
{
    LayoutTask task;
    Layout layout;
    if (!cutting_task_reported(laying, progress, keep, scratch, &task, problems)) {
        return false;
    }
    lock_down(&task, &options, keep);
    return layout_search(&task, options, progress, keep, scratch, &layout, problems) &&
           plan_of_layout(laying, &task, &layout, keep, scratch, plan, problems) &&
           find_reasons(&task, &layout, progress, scratch, plan, problems);
}
