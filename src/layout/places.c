// Of the model: where each pose cannot lie, on the bare sheet and beside what is laid.
#include "layout/place_pairs.h"

#include <limits.h>

static Stride clipped(Stride stride, int count)
{
    return (Stride){stride.from > 0 ? stride.from : 0, stride.to < count ? stride.to : count - 1};
}

static double block_part(const Model *model, const Part *still, const Part *moved, Bitmap blocked)
{
    const Stride rows = clipped(rows_in_common(still, moved, model->bands_in_cell), blocked.rows);
    // Most flaws lie at the edge, where nothing is free any more.
    const Span widest = {still->least - moved->most, still->most - moved->least};
    const Stride all = clipped(columns_within(widest, model->cell), blocked.columns);
    for (int row = rows.from; row <= rows.to && all.from <= all.to; row++) {
        if (bits_all_set(bitmap_row(blocked, row), all.from, all.to)) {
            continue;
        }
        const Span span = parts_overlap(still, moved, row * model->bands_in_cell);
        const Stride columns = clipped(columns_within(span, model->cell), blocked.columns);
        if (columns.from <= columns.to) {
            bits_set(bitmap_row(blocked, row), columns.from, columns.to);
        }
    }
    const int common = still->count < moved->count ? still->count : moved->count;
    return rows.to >= rows.from ? (rows.to - rows.from + 1) * (common + 20.0) : 1;
}

static void block_parts(Model *model, Parts still, Parts moved, Bitmap blocked)
{
    double steps = 0;
    for (int i = 0; i < still.count; i++) {
        for (int k = 0; k < moved.count; k++) {
            steps += block_part(model, &still.items[i], &moved.items[k], blocked);
        }
    }
    work_add(&model->work, steps);
}

static void make_costs(Model *model, int sheet_index, const Pose *pose, Places *places)
{
    const SheetMap *sheet = &model->sheets[sheet_index];
    if (!sheet->field.sums) {
        return;
    }
    places->cost_columns = (places->bare.columns + COST_STEP - 1) / COST_STEP;
    const int rows = (places->bare.rows + COST_STEP - 1) / COST_STEP;
    places->cost = ARENA_ARRAY(model->arena, float, places->cost_columns *rows + 1);
    const double scale = 1 / fmax(model->highest_cost, 1e-30);
    const double step_mm = COST_STEP * model->cell / LATTICE_PER_MM;
    for (int row = 0; row < rows; row++) {
        for (int column = 0; column < places->cost_columns; column++) {
            const Point at = {(double)sheet->corner.x / LATTICE_PER_MM + column * step_mm,
                              (double)sheet->corner.y / LATTICE_PER_MM + row * step_mm};
            const Box box = {point_plus(pose->deepest.min, at), point_plus(pose->deepest.max, at)};
            places->cost[row * places->cost_columns + column] =
                (float)(field_box_mean(&sheet->field, box) * scale);
        }
    }
    work_add(&model->work, 20.0 * places->cost_columns * rows);
}

static int wider_gap(const SheetMap *sheet, const Pose *pose)
{
    return sheet->gap > pose->gap ? sheet->gap : pose->gap;
}

// The least box around all free places; empty when there is none.
static CellBox open_cells(Bitmap blocked)
{
    CellBox open = {INT_MAX, INT_MAX, -1, -1};
    for (int row = 0; row < blocked.rows; row++) {
        for (int word = 0; word < blocked.words; word++) {
            const uint64_t free = bitmap_free(blocked, bitmap_row(blocked, row), word);
            if (free) {
                const int left = word * BITS_IN_WORD + __builtin_ctzll(free);
                const int right = word * BITS_IN_WORD + BITS_IN_WORD - 1 - __builtin_clzll(free);
                open.left = left < open.left ? left : open.left;
                open.right = right > open.right ? right : open.right;
                open.low = row < open.low ? row : open.low;
                open.high = row;
            }
        }
    }
    return open;
}

static void make_places(Model *model, int sheet_index, const Pose *pose, Places *places)
{
    const SheetMap *sheet = &model->sheets[sheet_index];
    places->made = true;
    if (pose->size.x > sheet->size.x || pose->size.y > sheet->size.y) {
        return; // larger than the sheet's box: no place at all
    }
    const int columns = (int)((sheet->size.x - pose->size.x) / model->cell) + 1;
    const int rows = (int)((sheet->size.y - pose->size.y) / model->cell) + 1;
    places->bare = bitmap_make(columns, rows, model->arena);
    places->blocked = model->keeps ? bitmap_make(columns, rows, model->arena) : places->bare;
    for (int depth = 0; depth < pose->depth_count; depth++) {
        block_parts(model, sheet->obstacle[depth], pose->outline[depth], places->bare);
    }
    block_parts(model, sheet->taken[wider_gap(sheet, pose)], pose->outline[0], places->bare);
    places->open = open_cells(places->bare);
    make_costs(model, sheet_index, pose, places);
}

static void set_span(Bitmap blocked, int row, ColumnSpan span, Stride seen, int column)
{
    const int from = span.from > seen.from ? span.from : seen.from;
    const int to = span.to < seen.to ? span.to : seen.to;
    if (from <= to) {
        bits_set(bitmap_row(blocked, row), from + column, to + column);
    }
}

// True when anything may have been blocked.
static bool block_by_pair(Model *model, Places *places, const Laid *laid, Pair pair)
{
    const Stride seen = {places->first_word * BITS_IN_WORD - laid->column,
                         (places->last_word + 1) * BITS_IN_WORD - 1 - laid->column};
    const int lift = laid->row + pair.first_row;
    const int first = lift > places->first_row ? lift : places->first_row;
    const int last =
        lift + pair.rows - 1 < places->last_row ? lift + pair.rows - 1 : places->last_row;
    if (first > last || pair.all.to < seen.from || pair.all.from > seen.to) {
        return false;
    }
    for (int row = first; row <= last; row++) {
        set_span(places->blocked, row, pair.first[row - lift], seen, laid->column);
    }
    for (int row = first; pair.begin && row <= last; row++) {
        for (int i = pair.begin[row - lift]; i < pair.begin[row - lift + 1]; i++) {
            set_span(places->blocked, row, pair.further[i], seen, laid->column);
        }
    }
    work_add(&model->work, 20 + 10.0 * (last - first + 1));
    return true;
}

static bool block_by_laid(Model *model, Places *places, const Laid *laid, int pose_index)
{
    const Pose *pose = &model->poses[pose_index];
    const Pose *other = &model->poses[laid->pose];
    const int wider = wider_gap(&model->sheets[laid->sheet], pose);
    const int gap = wider > other->gap ? wider : other->gap;
    // Far away on the sheet: told without a look at the pair.
    const int reach = model->gaps[gap] / model->cell + 2;
    if (laid->row + other->cells_high + reach < places->first_row ||
        laid->row - pose->cells_high - reach > places->last_row) {
        return false;
    }
    const ArenaMark mark = arena_mark(model->arena);
    bool kept = false;
    const Pair pair = model_pair(model, laid, gap, pose_index, &kept);
    const bool blocked = block_by_pair(model, places, laid, pair);
    if (!kept) {
        arena_rewind(model->arena, mark);
    }
    return blocked;
}

static int lesser(int a, int b)
{
    return a < b ? a : b;
}

static int greater(int a, int b)
{
    return a > b ? a : b;
}

// The open places whose piece touches the window. False when there are none.
static bool see_window(const SheetMap *sheet, const Pose *pose, Places *places)
{
    const CellBox window = sheet->window;
    const CellBox open = places->open;
    const int left = greater(window.left - pose->cells_wide, open.left);
    const int right = lesser(window.right, open.right);
    places->first_row = greater(window.low - pose->cells_high, open.low);
    places->last_row = lesser(window.high, open.high);
    places->first_word = left / BITS_IN_WORD;
    places->last_word = right / BITS_IN_WORD;
    return left <= right && places->first_row <= places->last_row;
}

static void copy_bare(Model *model, Places *places)
{
    const int words = places->last_word - places->first_word + 1;
    for (int row = places->first_row; row <= places->last_row; row++) {
        const uint64_t *from = bitmap_row(places->bare, row) + places->first_word;
        uint64_t *to = bitmap_row(places->blocked, row) + places->first_word;
        for (int word = 0; word < words; word++) {
            to[word] = from[word];
        }
    }
    work_add(&model->work, (2.0 + words) * (places->last_row - places->first_row + 1));
}

static void begin_round(Model *model, int sheet, int pose, Places *places)
{
    places->round = model->round;
    places->applied = 0;
    places->none =
        places->bare.rows == 0 || !see_window(&model->sheets[sheet], &model->poses[pose], places);
    if (!places->none && model->keeps) {
        copy_bare(model, places);
    }
}

static bool row_is_full(const Places *places, int row)
{
    const uint64_t *bits = bitmap_row(places->blocked, row);
    uint64_t free = 0;
    for (int word = places->first_word; word <= places->last_word; word++) {
        free |= bitmap_free(places->blocked, bits, word);
    }
    return free == 0;
}

// Leaves out full rows at both ends, so that the next laid piece has less to block.
static void leave_out_full_rows(Places *places)
{
    while (places->first_row <= places->last_row && row_is_full(places, places->first_row)) {
        places->first_row++;
    }
    while (places->first_row <= places->last_row && row_is_full(places, places->last_row)) {
        places->last_row--;
    }
    places->none = places->first_row > places->last_row;
}

Places *model_places(Model *model, int sheet, int pose)
{
    Places *places = &model->places[model->keeps ? sheet * model->pose_count + pose : 0];
    if (!model->keeps) {
        // One set of bits serves all questions, one after the other.
        arena_rewind(model->arena, model->question);
        *places = (Places){0};
    }
    if (!places->made) {
        const double done = model->work.done;
        make_places(model, sheet, &model->poses[pose], places);
        if (model->borrows && model->keeps) {
            model->work.done = done;
        }
    }
    if (places->round != model->round) {
        begin_round(model, sheet, pose, places);
    }
    if (places->none) {
        return NULL;
    }
    for (; !places->none && places->applied < model->laid_count; places->applied++) {
        if (work_is_over(&model->work)) {
            return NULL; // what is blocked is not known to the end
        }
        if (model->laid[places->applied].sheet == sheet &&
            block_by_laid(model, places, &model->laid[places->applied], pose)) {
            leave_out_full_rows(places);
        }
    }
    return places->none ? NULL : places;
}
