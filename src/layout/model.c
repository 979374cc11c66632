#include "layout/model.h"

#include <assert.h>
#include <string.h>

// Words of counted work between two reports: about 20 ms.
static const double report_words = 2e7;
// Room for what is kept between two layouts; beyond it, pairs are not kept.
static const double kept_bytes = 48e6;

bool work_add(Work *work, double words)
{
    work->done += words;
    if (!work->stopped && work->done - work->reported >= report_words) {
        work->reported = work->done;
        const double share = work->limit > 0 ? fmin(work->done / work->limit, 1) : 0;
        work->stopped = !progress_report(work->progress, "laying the pieces", share);
    }
    return !work->stopped;
}

static void map_depth(SheetMap *map, const Sheet *sheet, int depth, Arena *arena)
{
    const PolygonSet forbidden = sheet->forbidden[depth];
    for (int i = 0; i < forbidden.count; i++) {
        raster_area(map->grid, forbidden.items[i], SAFE_MM, map->map[depth], arena);
        map->used[depth] = true;
    }
}

static Grid sheet_grid(const Sheet *sheet, double cell_mm)
{
    const Box box = ring_box(sheet->outline);
    Grid grid = {.cell_mm = cell_mm};
    // On the lattice, so that moved points round as little as possible.
    grid.corner.x = floor(box.min.x * 100) / 100 - 0.05;
    grid.corner.y = floor(box.min.y * 100) / 100 - 0.05;
    grid.columns = (int)((box.max.x - grid.corner.x) / cell_mm) + 1;
    grid.rows = (int)((box.max.y - grid.corner.y) / cell_mm) + 1;
    return grid;
}

static void make_sheet(Model *model, int index, bool bare)
{
    const Sheet *sheet = &model->task->sheets[index];
    SheetMap *map = &model->sheets[index];
    map->grid = sheet_grid(sheet, model->cell_mm);
    map->field = field_sums(sheet->field, model->arena);
    model->highest_cost = fmax(model->highest_cost, map->field.highest);
    for (int depth = 0; depth < LAYOUT_DEPTHS; depth++) {
        map->map[depth] = bitmap_make(map->grid.columns, map->grid.rows, model->arena);
        if (!bare) {
            map_depth(map, sheet, depth, model->arena);
        }
    }
    raster_outside(map->grid, sheet->outline, map->map[0], model->arena);
    for (int i = 0; i < sheet->hole_count; i++) {
        raster_area(map->grid, (Polygon){.outer = sheet->holes[i]}, SAFE_MM, map->map[0],
                    model->arena);
    }
    map->used[0] = true;
    work_add(&model->work, 20.0 * (double)bitmap_words(map->map[0]));
}

static void take(Model *model, const Taken *taken)
{
    const SheetMap *sheet = &model->sheets[taken->sheet];
    raster_area(sheet->grid, (Polygon){.outer = taken->outline}, model->gap_mm + 2 * SAFE_MM,
                sheet->map[0], model->arena);
}

static int longest_run(const Model *model, int depth)
{
    int longest = 1;
    for (int i = 0; i < model->pose_count; i++) {
        if (depth < model->poses[i].depth_count) {
            const int length = runs_longest(model->poses[i].mask[depth]);
            longest = length > longest ? length : longest;
        }
    }
    return longest;
}

static void spread_sheet(Model *model, int index)
{
    SheetMap *sheet = &model->sheets[index];
    for (int depth = 0; depth < LAYOUT_DEPTHS; depth++) {
        if (sheet->used[depth]) {
            sheet->spread[depth] = spread_make(sheet->grid.columns, sheet->grid.rows,
                                               longest_run(model, depth), model->arena);
            spread_fill(&sheet->spread[depth], sheet->map[depth]);
            work_add(&model->work, (double)spread_words(&sheet->spread[depth]));
        }
    }
}

// Pairs are kept when they, and the places on all sheets, find room.
static bool pairs_find_room(const Model *model)
{
    double cells = 0;
    for (int i = 0; i < model->task->sheet_count; i++) {
        cells += (double)model->sheets[i].grid.columns * model->sheets[i].grid.rows;
    }
    double width = 0;
    double height = 0;
    for (int i = 0; i < model->pose_count; i++) {
        width += model->poses[i].width + model->poses[i].margin + 64;
        height += model->poses[i].height + model->poses[i].margin;
    }
    const double count = model->pose_count;
    // Two bitmaps for each pose and sheet and their costs; one bitmap for each pair, as
    // wide and high as both together.
    const double places = count * cells * (2.0 / 8 + 4.0 / (COST_STEP * COST_STEP));
    return places + (2 * width) * (2 * height) / 8 <= kept_bytes;
}

void model_clear(Model *model)
{
    model->round++;
    model->laid_count = 0;
    if (!model->pairs) {
        for (int i = 0; i < model->task->sheet_count; i++) {
            spread_fill(&model->sheets[i].spread[0], model->sheets[i].map[0]);
        }
    }
}

void model_lay(Model *model, Laid laid)
{
    assert(model->laid_count < LAYOUT_COPIES_MAX);
    model->laid[model->laid_count++] = laid;
    if (model->pairs) {
        return;
    }
    // Without kept pairs the piece is stamped on the map that questions are put to.
    SheetMap *sheet = &model->sheets[laid.sheet];
    const Pose *pose = &model->poses[laid.pose];
    const ArenaMark mark = arena_mark(model->arena);
    Bitmap map = bitmap_make(sheet->grid.columns, sheet->grid.rows, model->arena);
    bitmap_copy(map, sheet->spread[0].level[0]);
    for (int i = 0; i < pose->stamp.count; i++) {
        const Run run = pose->stamp.items[i];
        const int right = laid.column - pose->margin;
        bitmap_set(map, (Run){run.row + laid.row - pose->margin, run.from + right, run.to + right});
    }
    spread_fill(&sheet->spread[0], map);
    work_add(&model->work, (double)spread_words(&sheet->spread[0]));
    arena_rewind(model->arena, mark);
}

static void block_by_sheet(Model *model, int sheet_index, const Pose *pose, Bitmap blocked)
{
    const SheetMap *sheet = &model->sheets[sheet_index];
    for (int depth = 0; depth < pose->depth_count; depth++) {
        if (sheet->used[depth]) {
            spread_block(&sheet->spread[depth], pose->mask[depth], blocked);
            work_add(&model->work, 2.0 * pose->mask[depth].count * (double)bitmap_words(blocked));
        }
    }
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
    for (int row = 0; row < rows; row++) {
        for (int column = 0; column < places->cost_columns; column++) {
            const Point at = {
                sheet->grid.corner.x + (column * COST_STEP - pose->left) * model->cell_mm,
                sheet->grid.corner.y + (row * COST_STEP - pose->low) * model->cell_mm};
            const Box box = {point_plus(pose->deepest.min, at), point_plus(pose->deepest.max, at)};
            places->cost[row * places->cost_columns + column] =
                (float)(field_box_mean(&sheet->field, box) * scale);
        }
    }
    work_add(&model->work, 10.0 * places->cost_columns * rows);
}

static void make_places(Model *model, int sheet_index, int pose_index)
{
    const Pose *pose = &model->poses[pose_index];
    Places *places = &model->places[sheet_index * model->pose_count + pose_index];
    const Grid grid = model->sheets[sheet_index].grid;
    const int columns = grid.columns - pose->width + 1;
    const int rows = grid.rows - pose->height + 1;
    places->made = true;
    if (columns <= 0 || rows <= 0) {
        return; // larger than the sheet's box: no place at all
    }
    places->bare = bitmap_make(columns, rows, model->arena);
    places->blocked = model->pairs ? bitmap_make(columns, rows, model->arena) : places->bare;
    block_by_sheet(model, sheet_index, pose, places->bare);
    make_costs(model, sheet_index, pose, places);
}

// Where `pose` cannot lie beside `laid`: place (0, 0) of the result is pose's height - 1
// below and width - 1 left of the stamp's own lower left cell.
static Bitmap make_pair(Model *model, const Pose *laid, const Pose *pose)
{
    const int columns = laid->stamped.columns + pose->width - 1;
    const int rows = laid->stamped.rows + pose->height - 1;
    Bitmap blocked = bitmap_make(columns, rows, model->arena);
    const ArenaMark mark = arena_mark(model->arena);
    Bitmap around = bitmap_make(columns + pose->width - 1, rows + pose->height - 1, model->arena);
    bitmap_or_at(around, laid->stamped, pose->width - 1, pose->height - 1);
    Spread spread =
        spread_make(around.columns, around.rows, runs_longest(pose->mask[0]), model->arena);
    spread_fill(&spread, around);
    spread_block(&spread, pose->mask[0], blocked);
    work_add(&model->work, (double)spread_words(&spread) +
                               2.0 * pose->mask[0].count * (double)bitmap_words(blocked));
    arena_rewind(model->arena, mark);
    return blocked;
}

static void block_by_laid(Model *model, Places *places, const Laid *laid, int pose_index)
{
    const Pose *pose = &model->poses[pose_index];
    const Pose *other = &model->poses[laid->pose];
    Bitmap *pair = &model->pairs[laid->pose * model->pose_count + pose_index];
    if (!pair->bits) {
        *pair = make_pair(model, other, pose);
    }
    bitmap_or_at(places->blocked, *pair, laid->column - other->margin - (pose->width - 1),
                 laid->row - other->margin - (pose->height - 1));
    work_add(&model->work, (double)bitmap_words(*pair));
}

const Places *model_places(Model *model, int sheet, int pose)
{
    Places *places = &model->places[sheet * model->pose_count + pose];
    if (!model->pairs) {
        // One set of bits serves all questions, one after the other.
        arena_rewind(model->arena, model->question);
        *places = (Places){0};
        make_places(model, sheet, pose);
        return places;
    }
    if (!places->made) {
        make_places(model, sheet, pose);
    }
    if (places->bare.rows == 0) {
        return places;
    }
    if (places->round != model->round) {
        bitmap_copy(places->blocked, places->bare);
        work_add(&model->work, (double)bitmap_words(places->bare));
        places->round = model->round;
        places->applied = 0;
    }
    for (; places->applied < model->laid_count; places->applied++) {
        const Laid *laid = &model->laid[places->applied];
        if (laid->sheet == sheet) {
            block_by_laid(model, places, laid, pose);
        }
    }
    return places;
}

void model_origin(const Model *model, Laid laid, int *column, int *row)
{
    *column = laid.column - model->poses[laid.pose].left;
    *row = laid.row - model->poses[laid.pose].low;
}

Motion model_motion(const Model *model, Laid laid)
{
    const Grid grid = model->sheets[laid.sheet].grid;
    const Pose *pose = &model->poses[laid.pose];
    return (Motion){grid.corner.x + (laid.column - pose->left) * grid.cell_mm,
                    grid.corner.y + (laid.row - pose->low) * grid.cell_mm, pose->turn_rad};
}

// Cells on the largest sheet's box: about 9 mm on a whole hide.
static const double cells_on_sheet = 66e3;
// Cells on all sheets together; their maps then take about 50 MB.
static const double cells_in_all = 9e6;

static double box_area_mm2(Ring ring)
{
    const Box box = ring_box(ring);
    return (box.max.x - box.min.x) * (box.max.y - box.min.y);
}

static double sheets_area_mm2(const LayoutTask *task)
{
    double area_mm2 = 0;
    for (int i = 0; i < task->sheet_count; i++) {
        area_mm2 += box_area_mm2(task->sheets[i].outline);
    }
    return area_mm2;
}

bool model_finds_room(const LayoutTask *task, double cell_mm)
{
    return sheets_area_mm2(task) <= cells_in_all * cell_mm * cell_mm;
}

double model_coarse_cell_mm(const LayoutTask *task)
{
    double largest_mm2 = 0;
    for (int i = 0; i < task->sheet_count; i++) {
        largest_mm2 = fmax(largest_mm2, box_area_mm2(task->sheets[i].outline));
    }
    double smallest_mm2 = HUGE_VAL;
    for (int i = 0; i < task->piece_count; i++) {
        smallest_mm2 = fmin(smallest_mm2, fabs(ring_area_mm2(task->pieces[i].outline[0])));
    }
    // Small pieces are worth finer cells, up to four times as many. A multiple of 0.08
    // stays on the lattice when it is halved.
    const double cell_mm = sqrt(largest_mm2 / cells_on_sheet);
    const double chosen_mm = fmax(fmax(cell_mm / 2, fmin(cell_mm, sqrt(smallest_mm2) / 40)),
                                  sqrt(sheets_area_mm2(task) / cells_in_all));
    return fmax(ceil(chosen_mm / 0.08) * 0.08, 0.08);
}

static double widest_gap_mm(const LayoutTask *task)
{
    double widest_mm = 0;
    for (int i = 0; i < task->sheet_count; i++) {
        widest_mm = fmax(widest_mm, task->sheets[i].gap_mm);
    }
    return widest_mm;
}

void model_make(const LayoutTask *task, ModelView view, double cell_mm, Work work, Arena *arena,
                Model *model)
{
    *model = (Model){.task = task,
                     .cell_mm = cell_mm,
                     .gap_mm = widest_gap_mm(task),
                     .sheets = ARENA_ARRAY(arena, SheetMap, task->sheet_count + 1),
                     .laid = ARENA_ARRAY(arena, Laid, LAYOUT_COPIES_MAX),
                     .work = work,
                     .arena = arena};
    for (int i = 0; i < task->sheet_count; i++) {
        make_sheet(model, i, view.bare);
    }
    model_make_poses(model);
    for (int i = 0; i < view.taken_count; i++) {
        take(model, &view.taken[i]);
    }
    for (int i = 0; i < task->sheet_count; i++) {
        spread_sheet(model, i);
    }
    const size_t poses = (size_t)model->pose_count;
    model->places = ARENA_ARRAY(arena, Places, poses * (size_t)task->sheet_count + 1);
    if (pairs_find_room(model)) {
        model->pairs = ARENA_ARRAY(arena, Bitmap, poses * poses + 1);
    }
    model->question = arena_mark(arena);
    model_clear(model);
}
