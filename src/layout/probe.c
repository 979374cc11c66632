#include "layout/probe.h"

#include "layout/poses.h"
#include "layout/task.h"
#include "layout/tries.h"

// Cells are those that a search begins with for so many poses on so many sheets, and more. With
// fewer they are finer, so that the maps cost as much.
static const double finest = 0.35;
enum { MAPS_USUAL = 36 };
// No sheet is longer or wider. Pieces may be longer than those that come first.
static const double longest_mm = 20000;
// When nothing can be kept, so much more of the work goes into making it anew.
static const double dearer = 16;

struct Probe {
    LayoutTask task; ///< the pieces, on a sheet that has room for each
    Sheet sheet;
    Model pieces;
};

static Ring square(double side_mm, Arena *keep)
{
    Point *points = ARENA_ARRAY(keep, Point, 4);
    points[1] = (Point){side_mm, 0};
    points[2] = (Point){side_mm, side_mm};
    points[3] = (Point){0, side_mm};
    return (Ring){points, 4};
}

// Twice an odd number, for which model_make() takes two bands: finer cells with two bring more than
// coarser ones with four, that cost as much.
static int cell_of(const LayoutTask *task, int sheets)
{
    const double maps = (double)poses_sums(task).poses * sheets;
    const double share = fmin(1, fmax(finest, sqrt(maps / MAPS_USUAL)));
    const int cell = (int)fmin(share * model_coarse_cell(task), 1e8);
    return cell < 8 ? cell : cell - cell % 4 + 2;
}

bool probe_make(const Piece *pieces, int piece_count, ProbeStock stock, Arena *keep, Arena *scratch,
                Probe **probe, Problems *problems)
{
    Probe *made = ARENA_NEW(keep, Probe);
    made->sheet = (Sheet){.outline = square(sqrt(stock.area_mm2), keep), .gap_mm = stock.gap_mm};
    made->task = (LayoutTask){.sheets = &made->sheet,
                              .sheet_count = 1,
                              .pieces = pieces,
                              .piece_count = piece_count,
                              .unfinished = true};
    if (!task_check(&made->task, scratch, problems)) {
        return false;
    }
    const int cell = cell_of(&made->task, stock.sheets);
    made->sheet.outline = square(longest_mm, keep);
    model_make(&made->task, (ModelView){0}, cell, (Work){0}, keep, &made->pieces);
    *probe = made;
    return true;
}

// ---- Sheets

static void add_area(Outlining *outlining, const ProbeArea *area)
{
    const int reach = (int)ceil(area->reach_mm * LATTICE_PER_MM - 1e-6);
    outlining_add(outlining, lattice_ring(area->ring, (Motion){0}, outlining->scratch), reach);
    if (area->edge_only) {
        outlining->crossing_count = 0;
    }
    outlining_fill(outlining);
}

static void map_sheet(Model *model, int index, const ProbeSheet *sheet, Arena *scratch)
{
    const ArenaMark mark = arena_mark(scratch);
    const LatticeRing outline = lattice_ring(sheet->outline, (Motion){0}, scratch);
    for (int depth = 0; depth < LAYOUT_DEPTHS; depth++) {
        const ArenaMark here = arena_mark(scratch);
        Outlining outlining = model_begin_sheet(model, index, outline, scratch);
        if (depth == 0) {
            outlining_add(&outlining, outline, 0);
            outlining_fill_outside(&outlining);
        }
        for (int i = 0; i < sheet->area_count; i++) {
            if (sheet->areas[i].depth == depth) {
                add_area(&outlining, &sheet->areas[i]);
            }
        }
        model->sheets[index].obstacle[depth] = outlining_parts(&outlining, model->arena);
        arena_rewind(scratch, here);
    }
    arena_rewind(scratch, mark);
}

// ---- Looks

// One look on its way.
typedef struct Look {
    LayoutTask task;
    Model model;
    Tries tries;
} Look;

static Look *begin_look(const Probe *probe, const ProbeSheet *sheets, int sheet_count,
                        const ProbeCare *care, Arena *keep, Arena *scratch)
{
    Look *look = ARENA_NEW(keep, Look);
    Sheet *outlines = ARENA_ARRAY(keep, Sheet, sheet_count);
    for (int i = 0; i < sheet_count; i++) {
        outlines[i] = (Sheet){.outline = sheets[i].outline, .gap_mm = probe->sheet.gap_mm};
    }
    look->task = probe->task;
    look->task.sheets = outlines;
    look->task.sheet_count = sheet_count;
    tries_begin(&look->tries, &look->task, care->seed, keep);
    look->tries.model = &look->model;
    look->tries.greedy = greedy_begin(&look->model, &look->task, keep);
    const Work work = {.progress = care->progress, .most = first_steps};
    model_make_on(&probe->pieces, &look->task, work, keep, &look->model);
    for (int i = 0; i < sheet_count; i++) {
        map_sheet(&look->model, i, &sheets[i], scratch);
        look->model.work.stopped |= !progress_report(care->progress, "looking at the sheets", 0);
    }
    model_begin_questions(&look->model);
    tries_find_attainable(&look->tries);
    return look;
}

// Spends so many units more. Returns how many copies have no place.
static int search(Look *look, double units, uint64_t stream)
{
    Work *work = &look->model.work;
    work->limit = work->done + units * steps_in_unit * (look->model.keeps ? 1 : dearer);
    tries_run(&look->tries, stream);
    return look->tries.all_count - look->tries.best.count;
}

static Placement *placements_of(const Look *look, Arena *keep)
{
    const Arrangement *best = &look->tries.best;
    Placement *placements = ARENA_ARRAY(keep, Placement, best->count + 1);
    for (int i = 0; i < best->count; i++) {
        const Laid laid = best->laid[i];
        placements[i] = (Placement){
            .piece = laid.piece, .sheet = laid.sheet, .motion = model_motion(&look->model, laid)};
    }
    return placements;
}

bool probe_look(Probe *probe, const ProbeSheet *sheets, int sheet_count, ProbeCare care,
                Arena *keep, Arena *scratch, ProbeFound *found)
{
    *found = (ProbeFound){0};
    Look *look = begin_look(probe, sheets, sheet_count, &care, keep, scratch);
    found->missing = search(look, care.quick_work, 0);
    found->careful = found->missing > 0 && found->missing <= care.near && care.careful_work > 0;
    if (found->careful) {
        tries_return_to_best(&look->tries);
        found->missing = search(look, care.careful_work, 1);
    }
    found->layouts = look->tries.layouts;
    found->count = look->tries.best.count;
    found->placements = placements_of(look, keep);
    return !look->model.work.stopped;
}
