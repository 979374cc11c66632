// What a change would be worth.
#include "layout/finish_parts.h"

#include "layout/cuts.h"
#include "layout/left.h"

#include <string.h>

// Cells on the largest sheet's box: about 9 mm on a whole hide. And on all together.
static const double cells_on_sheet = 80e3;
static const double cells_in_all = 2e6;
// A sheet like a needle has fewer.
static const double cells_along = 5000;
static const double report_words = 2e7; // about 20 ms
// Of the highest cost.
static const double hair_of_cost = 0.002;
// Better by this share of the tolerance is worth a move.
static const double worth_moving = 0.05;

const char *const finish_doing = "finishing the layout";

double finish_tolerance(const LayoutTask *task, LayoutWish wish)
{
    const double size_mm = measure_size_mm(task);
    double highest = 0;
    switch (wish) {
    case LAYOUT_WISH_COST:
        for (int i = 0; i < task->sheet_count; i++) {
            const CostField field = task->sheets[i].field;
            for (int k = 0; k < field.columns * field.rows; k++) {
                highest = fmax(highest, (double)field.cost[k]);
            }
        }
        return hair_of_cost * highest;
    case LAYOUT_WISH_STRAIGHT:
        return 0.001;
    case LAYOUT_WISH_PARTNERS:
        return 0.05 * size_mm;
    case LAYOUT_WISH_RECTANGLE:
        return 0.02 * size_mm * size_mm;
    case LAYOUT_WISH_REMNANT:
        return 0.05 * size_mm * size_mm;
    case LAYOUT_WISH_CUTS:
        return 0.05 * size_mm;
    case LAYOUT_WISH_FEW_PARTS:
    case LAYOUT_WISH_COUNT:
        break;
    }
    return 0;
}

static double cell_mm_for(const LayoutTask *task)
{
    double largest_mm2 = 0;
    double sum_mm2 = 0;
    double longest_mm = 0;
    for (int i = 0; i < task->sheet_count; i++) {
        const Box box = ring_box(task->sheets[i].outline);
        const double area_mm2 = (box.max.x - box.min.x) * (box.max.y - box.min.y);
        longest_mm = fmax(longest_mm, fmax(box.max.x - box.min.x, box.max.y - box.min.y));
        largest_mm2 = fmax(largest_mm2, area_mm2);
        sum_mm2 += area_mm2;
    }
    return fmax(fmax(sqrt(largest_mm2 / cells_on_sheet), sqrt(sum_mm2 / cells_in_all)),
                longest_mm / cells_along);
}

// The cells that are taken or of no use on a sheet, in the trial.
static Bitmap taken_cells(Finish *finish, int sheet, Arena *scratch)
{
    const Bitmap spoilt = finish->room->sheets[sheet].spoilt;
    Bitmap map = bitmap_make(spoilt.columns, spoilt.rows, scratch);
    bitmap_copy(map, spoilt);
    for (int i = 0; i < finish->count; i++) {
        const Placement *placement = &finish->trial[i];
        if (placement->sheet != sheet) {
            continue;
        }
        const Runs body =
            finish->changed[i] ? room_body(finish->room, placement, scratch) : finish->bodies[i];
        for (int k = 0; k < body.count; k++) {
            bitmap_set(map, body.items[k]);
        }
        finish->own_words += 4.0 * body.count;
    }
    finish->own_words += 2.0 * (double)bitmap_words(map);
    return map;
}

static void find_rectangle(Finish *finish, int sheet, CellsLeft *left)
{
    const ArenaMark mark = arena_mark(finish->scratch);
    const Bitmap map = taken_cells(finish, sheet, finish->scratch);
    const CellBox box = left_rectangle(map, finish->scratch);
    const Grid grid = finish->room->sheets[sheet].grid;
    left->rectangle_mm2 = (double)box.columns * box.rows * grid.cell_mm * grid.cell_mm;
    left->middle = (Point){grid.corner.x + (box.column + box.columns / 2.0) * grid.cell_mm,
                           grid.corner.y + (box.row + box.rows / 2.0) * grid.cell_mm};
    finish->own_words += 4.0 * map.columns * map.rows;
    arena_rewind(finish->scratch, mark);
}

static void find_parts(Finish *finish, int sheet, CellsLeft *left)
{
    const ArenaMark mark = arena_mark(finish->scratch);
    const Bitmap map = taken_cells(finish, sheet, finish->scratch);
    const LeftParts parts = left_parts(map, finish->useful_cells, finish->scratch);
    const double cell_mm = finish->room->cell_mm;
    left->part_mm2 = parts.largest_cells * cell_mm * cell_mm;
    left->parts = parts.count;
    finish->own_words += 3.0 * finish->useful_cells * (double)bitmap_words(map);
    arena_rewind(finish->scratch, mark);
}

static bool touched(const Finish *finish, int sheet)
{
    for (int i = 0; i < finish->count; i++) {
        if (finish->changed[i] &&
            (finish->trial[i].sheet == sheet || finish->placements[i].sheet == sheet)) {
            return true;
        }
    }
    return false;
}

// Sums over the sheets; those that the trial does not touch are known.
static double left_value(Finish *finish, LayoutWish wish)
{
    double sum = 0;
    for (int sheet = 0; sheet < finish->task->sheet_count; sheet++) {
        CellsLeft left = finish->left[sheet];
        if (touched(finish, sheet)) {
            if (wish == LAYOUT_WISH_RECTANGLE) {
                find_rectangle(finish, sheet, &left);
            } else {
                find_parts(finish, sheet, &left);
            }
        }
        sum += wish == LAYOUT_WISH_RECTANGLE ? -left.rectangle_mm2
               : wish == LAYOUT_WISH_REMNANT ? -left.part_mm2
                                             : left.parts;
    }
    return sum;
}

// What the trial's cuts on a sheet are worth.
static double cuts_on(Finish *finish, int sheet)
{
    // About eight neighbours with six edges each are near every edge.
    finish->own_words += 2.0 * finish->count * finish->count + 200.0 * finish->edge_count;
    const ArenaMark mark = arena_mark(finish->scratch);
    StraightEdges *lying = ARENA_ARRAY(finish->scratch, StraightEdges, finish->count + 1);
    for (int i = 0; i < finish->count; i++) {
        const Placement *placement = &finish->trial[i];
        if (placement->sheet == sheet) {
            lying[i] =
                cuts_moved(finish->edges[placement->piece], placement->motion, finish->scratch);
        }
    }
    const SharedCuts cuts =
        cuts_measure(finish->task, lying, finish->trial, finish->count, sheet, finish->scratch);
    arena_rewind(finish->scratch, mark);
    return cuts_worth_mm(cuts);
}

static double cuts_value(Finish *finish)
{
    double sum_mm = 0;
    for (int sheet = 0; sheet < finish->task->sheet_count; sheet++) {
        sum_mm -= touched(finish, sheet) ? cuts_on(finish, sheet) : finish->cuts_mm[sheet];
    }
    return sum_mm;
}

Point finish_centre(const Finish *finish, int piece, Motion motion)
{
    return motion_apply(motion_matrix(motion), finish->centres[piece]);
}

static double cost_of(Finish *finish, const Placement *placement)
{
    finish->own_words += 4000;
    return measure_cost(finish->task, placement, finish->scratch);
}

static double off_of(const Finish *finish, const Placement *placement)
{
    return measure_off_middle_rad(&finish->task->pieces[placement->piece],
                                  placement->motion.turn_rad);
}

static double value_of(Finish *finish, LayoutWish wish)
{
    double sum = 0;
    switch (wish) {
    case LAYOUT_WISH_COST:
        for (int i = 0; i < finish->count; i++) {
            sum += finish->changed[i] ? cost_of(finish, &finish->trial[i]) : finish->costs[i];
        }
        return sum / finish->count;
    case LAYOUT_WISH_STRAIGHT:
        for (int i = 0; i < finish->count; i++) {
            sum += finish->changed[i] ? off_of(finish, &finish->trial[i]) : finish->offs[i];
        }
        return sum / finish->count;
    case LAYOUT_WISH_PARTNERS:
        if (finish->any_partners) {
            finish->own_words += 20.0 * finish->count * finish->count;
            sum = measure_partners(finish->task, finish->centres, finish->trial, finish->count,
                                   finish->scratch)
                      .apart_mm;
        }
        return sum;
    case LAYOUT_WISH_RECTANGLE:
    case LAYOUT_WISH_REMNANT:
    case LAYOUT_WISH_FEW_PARTS:
        return left_value(finish, wish);
    case LAYOUT_WISH_CUTS:
        return cuts_value(finish);
    case LAYOUT_WISH_COUNT:
        break;
    }
    return 0;
}

bool finish_is_held(const Finish *finish, LayoutWish wish)
{
    for (int i = 0; i < finish->stage; i++) {
        if (finish->order[i] == wish) {
            return true;
        }
    }
    return false;
}

double finish_most_off_rad(const Finish *finish)
{
    if (finish_is_held(finish, LAYOUT_WISH_STRAIGHT)) {
        return finish->bound[LAYOUT_WISH_STRAIGHT];
    }
    for (int i = 0; i < finish->order_count; i++) {
        if (finish->order[i] == LAYOUT_WISH_STRAIGHT) {
            return finish->value[LAYOUT_WISH_STRAIGHT];
        }
    }
    return HUGE_VAL;
}

double finish_aspired(const Finish *finish)
{
    const LayoutWish wish = finish->order[finish->stage];
    return finish->value[wish] -
           (wish == LAYOUT_WISH_FEW_PARTS ? 0.5 : worth_moving * finish->tolerance[wish] + 1e-9);
}

double finish_own_value(Finish *finish)
{
    return value_of(finish, finish->order[finish->stage]);
}

// Whether the trial's value of the stage's own wish is below `below`.
static bool is_below(Finish *finish, double below, double *value)
{
    if (finish->stage == finish->order_count) {
        return true;
    }
    *value = finish_own_value(finish);
    return *value < below;
}

bool finish_weigh(Finish *finish, double below, double *value)
{
    // Cuts are told in a hundredth of the time that what is left takes.
    const bool cheap =
        finish->stage < finish->order_count && finish->order[finish->stage] == LAYOUT_WISH_CUTS;
    if (cheap && !is_below(finish, below, value)) {
        return false;
    }
    for (int i = 0; i < finish->stage; i++) {
        const LayoutWish wish = finish->order[i];
        if (value_of(finish, wish) > finish->bound[wish] + 1e-9) {
            return false;
        }
    }
    if (value_of(finish, LAYOUT_WISH_STRAIGHT) > finish_most_off_rad(finish) + 1e-9) {
        return false;
    }
    return cheap || is_below(finish, below, value);
}

void finish_change(Finish *finish, int index, Placement placement)
{
    finish->trial[index] = placement;
    finish->changed[index] = true;
}

void finish_forget(Finish *finish)
{
    for (int i = 0; i < finish->count; i++) {
        if (finish->changed[i]) {
            finish->trial[i] = finish->placements[i];
            finish->changed[i] = false;
        }
    }
}

void finish_take(Finish *finish)
{
    for (int i = 0; i < finish->order_count; i++) {
        finish->value[finish->order[i]] = value_of(finish, finish->order[i]);
    }
    const ArenaMark mark = arena_mark(finish->scratch);
    bool *stale = ARENA_ARRAY(finish->scratch, bool, finish->task->sheet_count + 1);
    for (int i = 0; i < finish->count; i++) {
        if (!finish->changed[i]) {
            continue;
        }
        stale[finish->placements[i].sheet] = true;
        stale[finish->trial[i].sheet] = true;
        finish->placements[i] = finish->trial[i];
        finish->changed[i] = false;
        finish->stamps[i] = room_stamp(finish->room, &finish->placements[i], finish->arena);
        finish->bodies[i] = room_body(finish->room, &finish->placements[i], finish->arena);
        finish->costs[i] = cost_of(finish, &finish->placements[i]);
        finish->offs[i] = off_of(finish, &finish->placements[i]);
    }
    for (int sheet = 0; sheet < finish->task->sheet_count; sheet++) {
        if (stale[sheet]) {
            find_rectangle(finish, sheet, &finish->left[sheet]);
            find_parts(finish, sheet, &finish->left[sheet]);
            finish->cuts_mm[sheet] = cuts_on(finish, sheet);
        }
    }
    arena_rewind(finish->scratch, mark);
}

bool finish_try(Finish *finish)
{
    double value;
    const bool better = finish_weigh(finish, finish_aspired(finish), &value);
    if (better) {
        finish_take(finish);
    }
    finish_forget(finish);
    return better;
}

static void make_order(Finish *finish)
{
    const LayoutTask *task = finish->task;
    for (int i = 0; i < LAYOUT_WISH_COUNT; i++) {
        finish->tolerance[i] = finish_tolerance(task, (LayoutWish)i);
        finish->order[i] = (LayoutWish)i;
    }
    finish->order_count = LAYOUT_WISH_COUNT;
    if (task->wish_count > 0) {
        finish->order_count = task->wish_count;
        memcpy(finish->order, task->wishes, (size_t)task->wish_count * sizeof *task->wishes);
    }
}

Finish *finish_begin(const LayoutTask *task, Placement *placements, int count, Arena *arena,
                     Arena *scratch)
{
    Finish *finish = ARENA_NEW(arena, Finish);
    *finish = (Finish){.task = task,
                       .placements = placements,
                       .count = count,
                       .trial = ARENA_ARRAY(arena, Placement, count + 1),
                       .changed = ARENA_ARRAY(arena, bool, count + 1),
                       .out = ARENA_ARRAY(arena, bool, count + 1),
                       .stamps = ARENA_ARRAY(arena, Runs, count + 1),
                       .bodies = ARENA_ARRAY(arena, Runs, count + 1),
                       .costs = ARENA_ARRAY(arena, double, count + 1),
                       .offs = ARENA_ARRAY(arena, double, count + 1),
                       .left = ARENA_ARRAY(arena, CellsLeft, task->sheet_count + 1),
                       .arena = arena,
                       .scratch = scratch};
    make_order(finish);
    finish->edges = ARENA_ARRAY(arena, StraightEdges, task->piece_count + 1);
    for (int i = 0; i < task->piece_count; i++) {
        finish->edges[i] =
            cuts_edges(task->pieces[i].outline[0], cuts_least_mm(task), arena, scratch);
    }
    finish->cuts_mm = ARENA_ARRAY(arena, double, task->sheet_count + 1);
    for (int i = 0; i < count; i++) {
        finish->edge_count += finish->edges[placements[i].piece].count;
    }
    finish->room = room_make(task, cell_mm_for(task), arena);
    finish->centres = measure_centres(task, arena);
    finish->used = ARENA_ARRAY(arena, bool, task->sheet_count + 1);
    finish->boxes = ARENA_ARRAY(arena, Box, task->sheet_count + 1);
    for (int i = 0; i < task->sheet_count; i++) {
        finish->boxes[i] = ring_box(task->sheets[i].outline);
    }
    finish->size_mm = measure_size_mm(task);
    finish->highest_cost = finish->tolerance[LAYOUT_WISH_COST] / hair_of_cost;
    const double useful_cells = floor(measure_useful_mm(task) / finish->room->cell_mm);
    finish->useful_cells = (int)fmin(fmax(useful_cells, 1), 2 * cells_along);
    for (int i = 0; i < count; i++) {
        finish->trial[i] = placements[i];
        finish->changed[i] = true;
        finish->used[placements[i].sheet] = true;
        finish->any_partners |= task->pieces[placements[i].piece].partners != 0;
    }
    // Everything is new, so that taking it makes all that is kept of it.
    finish_take(finish);
    for (int sheet = 0; sheet < task->sheet_count; sheet++) {
        find_rectangle(finish, sheet, &finish->left[sheet]);
        find_parts(finish, sheet, &finish->left[sheet]);
    }
    for (int i = 0; i < finish->order_count; i++) {
        finish->value[finish->order[i]] = value_of(finish, finish->order[i]);
    }
    return finish;
}

double finish_words(const Finish *finish)
{
    return finish->own_words + finish->room->words;
}

bool finish_goes_on(Finish *finish)
{
    const double done = finish_words(finish);
    if (!finish->stopped && done - finish->reported >= report_words) {
        finish->reported = done;
        finish->stopped =
            !progress_report(finish->progress, finish_doing, fmin(done / finish->limit_of_all, 1));
    }
    return !finish->stopped && done < finish->limit;
}
