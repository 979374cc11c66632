#include "layout/model.h"

#include <assert.h>
#include <limits.h>
#include <string.h>

// Steps of counted work between two reports: about 20 ms.
static const double report_steps = 2e7;
// Room for what is kept between two layouts; beyond it, nothing is kept.
static const double kept_bytes = 64e6;
static const size_t outline_bytes = (size_t)1 << 30;

// As the judge counts: a gap between two units is the greater one.
static int gap_units(double gap_mm)
{
    return (int)ceil(gap_mm * LATTICE_PER_MM - 1e-6);
}

bool work_add(Work *work, double steps)
{
    work->done += steps;
    if (!work->stopped && work->done - work->reported >= report_steps) {
        work->reported = work->done;
        const double share = work->limit > 0 ? fmin(work->done / work->limit, 1) : 0;
        work->stopped = !progress_report(work->progress, "laying the pieces", share);
    }
    return !work->stopped;
}

static int band_height(const Model *model)
{
    return model->cell / model->bands_in_cell;
}

static Outlining sheet_outlining(const Model *model, const SheetMap *map, Arena *scratch)
{
    const int height = band_height(model);
    return (Outlining){.grid = {map->corner, height},
                       .first = 0,
                       .last = (int)((map->size.y + height - 1) / height) - 1,
                       .scratch = scratch};
}

static void add_areas(Outlining *outlining, PolygonSet areas)
{
    for (int i = 0; i < areas.count; i++) {
        const Polygon *area = &areas.items[i];
        outlining_add(outlining, lattice_ring(area->outer, (Motion){0}, outlining->scratch), 0);
        for (int hole = 0; hole < area->hole_count; hole++) {
            outlining_add(outlining,
                          lattice_ring(area->holes[hole], (Motion){0}, outlining->scratch), 0);
        }
        outlining_fill(outlining);
    }
}

static void make_obstacles(Model *model, const Sheet *sheet, SheetMap *map, bool bare,
                           Arena *scratch)
{
    for (int depth = 0; depth < LAYOUT_DEPTHS; depth++) {
        const ArenaMark mark = arena_mark(scratch);
        Outlining outlining = sheet_outlining(model, map, scratch);
        if (depth == 0) {
            outlining_add(&outlining, lattice_ring(sheet->outline, (Motion){0}, scratch), 0);
            outlining_fill_outside(&outlining);
            for (int i = 0; i < sheet->hole_count; i++) {
                outlining_add(&outlining, lattice_ring(sheet->holes[i], (Motion){0}, scratch), 0);
                outlining_fill(&outlining);
            }
        }
        if (!bare) {
            add_areas(&outlining, sheet->forbidden[depth]);
        }
        work_add(&model->work, 60.0 * outlining.count);
        map->obstacle[depth] = outlining_parts(&outlining, model->arena);
        arena_rewind(scratch, mark);
    }
}

static CellBox whole_window(const Model *model, const SheetMap *map)
{
    return (CellBox){0, 0, (int)(map->size.x / model->cell), (int)(map->size.y / model->cell)};
}

Outlining model_begin_sheet(Model *model, int index, LatticeRing outline, Arena *scratch)
{
    SheetMap *map = &model->sheets[index];
    map->corner = outline.min;
    map->size = (LatticePoint){outline.max.x - outline.min.x, outline.max.y - outline.min.y};
    map->gap = model_gap_index(model, model->task->sheets[index].gap_mm);
    map->window = whole_window(model, map);
    return sheet_outlining(model, map, scratch);
}

static void make_sheet(Model *model, int index, bool bare, Arena *scratch)
{
    const Sheet *sheet = &model->task->sheets[index];
    SheetMap *map = &model->sheets[index];
    const LatticeRing outline = lattice_ring(sheet->outline, (Motion){0}, model->arena);
    (void)model_begin_sheet(model, index, outline, scratch);
    map->field = field_sums(sheet->field, model->arena);
    model->highest_cost = fmax(model->highest_cost, map->field.highest);
    make_obstacles(model, sheet, map, bare, scratch);
}

// What lies on a sheet and stays, for each gap that a pose may ask for.
static void make_taken(Model *model, int index, ModelView view, Arena *scratch)
{
    SheetMap *map = &model->sheets[index];
    for (int gap = map->gap; gap < model->gap_count; gap++) {
        const ArenaMark mark = arena_mark(scratch);
        Outlining outlining = sheet_outlining(model, map, scratch);
        for (int i = 0; i < view.taken_count; i++) {
            const Taken *taken = &view.taken[i];
            if (taken->sheet != index) {
                continue;
            }
            const int own = gap_units(taken->piece->gap_mm);
            const int reach = own > model->gaps[gap] ? own : model->gaps[gap];
            outlining_add(&outlining,
                          lattice_ring(taken->piece->outline[0], taken->motion, scratch), reach);
            outlining_fill(&outlining);
        }
        work_add(&model->work, 60.0 * outlining.count);
        map->taken[gap] = outlining_parts(&outlining, model->arena);
        arena_rewind(scratch, mark);
    }
}

// Whether places and pairs find room to be kept: two bitmaps for each pose and sheet
// and their costs; for each pair rows of spans as high as both together.
static bool finds_room_to_keep(const Model *model)
{
    double cells = 0;
    for (int i = 0; i < model->task->sheet_count; i++) {
        const LatticePoint size = model->sheets[i].size;
        cells += ((double)size.x / model->cell + BITS_IN_WORD) * ((double)size.y / model->cell + 1);
    }
    double rows = 0;
    for (int i = 0; i < model->pose_count; i++) {
        rows += (double)model->poses[i].size.y / model->cell + 8;
    }
    const double count = model->pose_count;
    return count * cells * (2.0 / 8 + 4.0 / (COST_STEP * COST_STEP)) + 24 * rows * count <=
           kept_bytes;
}

void model_clear(Model *model)
{
    model->round++;
    model->laid_count = 0;
    for (int i = 0; i < model->task->sheet_count; i++) {
        model->sheets[i].window = whole_window(model, &model->sheets[i]);
    }
}

void model_look_at(Model *model, int sheet, CellBox window)
{
    model->sheets[sheet].window = window;
}

CellBox model_cells(const Model *model, Laid laid)
{
    const Pose *pose = &model->poses[laid.pose];
    return (CellBox){laid.column, laid.row, laid.column + pose->cells_wide - 1,
                     laid.row + pose->cells_high - 1};
}

void model_lay(Model *model, Laid laid)
{
    assert(model->laid_count < LAYOUT_COPIES_MAX);
    model->laid[model->laid_count++] = laid;
}

Motion model_motion(const Model *model, Laid laid)
{
    const LatticePoint corner = model->sheets[laid.sheet].corner;
    const Pose *pose = &model->poses[laid.pose];
    const int64_t x = corner.x + (int64_t)laid.column * model->cell - pose->corner.x;
    const int64_t y = corner.y + (int64_t)laid.row * model->cell - pose->corner.y;
    return (Motion){(double)x / LATTICE_PER_MM, (double)y / LATTICE_PER_MM, pose->turn_rad};
}

int model_gap_index(const Model *model, double gap_mm)
{
    const int gap = gap_units(gap_mm);
    int index = 0;
    while (index + 1 < model->gap_count && model->gaps[index] < gap) {
        index++;
    }
    return index;
}

// All different gaps of a task, ascending. When there are too many, neighbours count as
// the wider one.
static void find_gaps(Model *model)
{
    const LayoutTask *task = model->task;
    const int count = task->sheet_count + task->piece_count;
    int *gaps = ARENA_ARRAY(model->arena, int, count + 1);
    int different = 0;
    for (int i = 0; i < count; i++) {
        const double gap_mm = i < task->sheet_count ? task->sheets[i].gap_mm
                                                    : task->pieces[i - task->sheet_count].gap_mm;
        const int gap = gap_units(gap_mm);
        int at = different;
        while (at > 0 && gaps[at - 1] > gap) {
            at--;
        }
        if (at == 0 || gaps[at - 1] != gap) {
            memmove(gaps + at + 1, gaps + at, (size_t)(different - at) * sizeof *gaps);
            gaps[at] = gap;
            different++;
        }
    }
    model->gap_count = different < GAPS_MAX ? different : GAPS_MAX;
    for (int i = 0; i < model->gap_count; i++) {
        model->gaps[i] = gaps[(i + 1) * different / model->gap_count - 1];
    }
}

void model_begin_questions(Model *model)
{
    const size_t poses = (size_t)model->pose_count;
    const size_t sheets = (size_t)model->task->sheet_count;
    model->keeps = finds_room_to_keep(model);
    model->places = ARENA_ARRAY(model->arena, Places, model->keeps ? poses * sheets + 1 : 1);
    model->question = arena_mark(model->arena);
    model_clear(model);
}

void model_make(const LayoutTask *task, ModelView view, int cell, Work work, Arena *arena,
                Model *model)
{
    *model = (Model){.task = task,
                     .cell = cell,
                     .bands_in_cell = cell % 4 == 0   ? 4
                                      : cell % 2 == 0 ? 2
                                                      : 1,
                     .sheets = ARENA_ARRAY(arena, SheetMap, task->sheet_count + 1),
                     .laid = ARENA_ARRAY(arena, Laid, LAYOUT_COPIES_MAX),
                     .work = work,
                     .arena = arena,
                     .lasting = arena};
    find_gaps(model);
    // What is kept of an outline is little beside what it takes to make it.
    Arena *scratch = arena_create("outlines", outline_bytes);
    assert(scratch);
    for (int i = 0; i < task->sheet_count; i++) {
        make_sheet(model, i, view.bare, scratch);
        make_taken(model, i, view, scratch);
    }
    model_make_poses(model, scratch);
    arena_destroy(scratch);
    model_make_spans(model);
    const size_t rows = (size_t)model->pose_count * (size_t)model->gap_count;
    model->pairs = ARENA_ARRAY(arena, PairRow, rows + 1);
    model_begin_questions(model);
}

void model_make_on(const Model *pieces, const LayoutTask *task, Work work, Arena *arena,
                   Model *model)
{
    *model = *pieces;
    model->task = task;
    model->highest_cost = 0;
    model->sheets = ARENA_ARRAY(arena, SheetMap, task->sheet_count + 1);
    model->laid = ARENA_ARRAY(arena, Laid, LAYOUT_COPIES_MAX);
    model->round = 0;
    model->work = work;
    model->arena = arena;
    model->borrows = true;
}
