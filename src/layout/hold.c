#include "layout/greedy.h"
#include "layout/task.h"

// Half a kilometre, in lattice units.
enum { CELL_COARSEST = 50000000 };

static int fine_cell(const LayoutTask *task)
{
    const int cell = model_coarse_cell(task);
    return cell % 2 == 0 ? cell / 2 : cell;
}

// Cells on which what lies on the sheet finds room as well.
static int cell_among(const LayoutTask *task, const Layout *layout, int sheet, int cell,
                      Arena *scratch)
{
    const ArenaMark mark = arena_mark(scratch);
    Placement *there = ARENA_ARRAY(scratch, Placement, layout->count + 1);
    LayoutTask others = {
        .sheets = &task->sheets[sheet], .sheet_count = 1, .pieces = task->pieces, .locked = there};
    for (int i = 0; i < layout->count; i++) {
        if (layout->placements[i].sheet == sheet) {
            there[others.locked_count++] = layout->placements[i];
        }
    }
    while (cell < CELL_COARSEST && !model_finds_room(&others, cell)) {
        cell *= 2;
    }
    arena_rewind(scratch, mark);
    return cell;
}

// Whether a piece finds a place on a sheet seen in one way.
static bool fits(const LayoutTask *task, ModelView view, int cell, Arena *scratch)
{
    const ArenaMark mark = arena_mark(scratch);
    Model *model = ARENA_NEW(scratch, Model);
    Greedy greedy = greedy_begin(model, task, scratch);
    model_make(task, view, cell, (Work){0}, scratch, model);
    const Rule rule = {.along_x = 1, .along_y = 1, .tried = ALL_TURNS};
    Laid found;
    const bool result = greedy_find(&greedy, 0, &rule, &found);
    arena_rewind(scratch, mark);
    return result;
}

// The outlines that lie on one sheet, as on the only sheet of a task.
static ModelView beside_others(const LayoutTask *task, const Placement *placements, int count,
                               int sheet, Arena *scratch)
{
    Taken *taken = ARENA_ARRAY(scratch, Taken, count + 1);
    ModelView view = {.taken = taken};
    for (int i = 0; i < count; i++) {
        if (placements[i].sheet == sheet) {
            taken[view.taken_count++] =
                (Taken){0, &task->pieces[placements[i].piece], placements[i].motion};
        }
    }
    return view;
}

bool layout_what_holds(const LayoutTask *task, const Layout *layout, int piece, int sheet,
                       Arena *scratch, LayoutHold *hold, Problems *problems)
{
    if (piece < 0 || piece >= task->piece_count || sheet < 0 || sheet >= task->sheet_count) {
        return problems_say(problems, PROBLEM_BAD_INPUT, "layout",
                            "no piece %d or no sheet %d in the task", piece, sheet);
    }
    const ArenaMark mark = arena_mark(scratch);
    const LayoutTask one = {.sheets = &task->sheets[sheet],
                            .sheet_count = 1,
                            .pieces = &task->pieces[piece],
                            .piece_count = 1};
    bool sound = task_check(&one, scratch, problems);
    const int cell = sound ? fine_cell(&one) : 0;
    const int among = sound ? cell_among(task, layout, sheet, cell, scratch) : 0;
    if (among >= CELL_COARSEST) {
        sound = problems_say(problems, PROBLEM_BAD_INPUT, "layout",
                             "more points lie on sheet %d than there is room for", sheet);
    }
    if (sound) {
        const ModelView others =
            beside_others(task, layout->placements, layout->count, sheet, scratch);
        *hold = (LayoutHold){
            .fits_bare_sheet = fits(&one, (ModelView){.bare = true}, cell, scratch),
            .fits_with_forbidden = fits(&one, (ModelView){.bare = false}, cell, scratch),
            .fits_now = fits(&one, others, among, scratch),
        };
    }
    arena_rewind(scratch, mark);
    return sound;
}
