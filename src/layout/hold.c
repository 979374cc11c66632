#include "layout/greedy.h"
#include "layout/task.h"

static int fine_cell(const LayoutTask *task)
{
    const int cell = model_coarse_cell(task);
    return cell % 2 == 0 ? cell / 2 : cell;
}

// Whether a piece finds a place on a sheet seen in one way.
static bool fits(const LayoutTask *task, ModelView view, Arena *scratch)
{
    const ArenaMark mark = arena_mark(scratch);
    Model *model = ARENA_NEW(scratch, Model);
    Greedy greedy = greedy_begin(model, task, scratch);
    model_make(task, view, fine_cell(task), (Work){0}, scratch, model);
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
    const bool sound = task_check(&one, scratch, problems);
    if (sound) {
        const ModelView others =
            beside_others(task, layout->placements, layout->count, sheet, scratch);
        *hold = (LayoutHold){
            .fits_bare_sheet = fits(&one, (ModelView){.bare = true}, scratch),
            .fits_with_forbidden = fits(&one, (ModelView){.bare = false}, scratch),
            .fits_now = fits(&one, others, scratch),
        };
    }
    arena_rewind(scratch, mark);
    return sound;
}
