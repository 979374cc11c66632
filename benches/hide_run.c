#include "hide_run.h"

#include "files.h"
#include "runs.h"

static const double degrees_in_radian = 180 / 3.14159265358979323846;

static bool make_task(const HideQuestion *question, LayoutTask *task, Problems *problems)
{
    Sheet *sheets = ARENA_ARRAY(problems->keep, Sheet, question->stock_count);
    Piece *pieces = ARENA_ARRAY(problems->keep, Piece, question->problem->piece_count);
    for (int i = 0; i < question->stock_count; i++) {
        if (!hide_sheet(question->stock[i], question->flaws, problems->keep, &sheets[i],
                        problems)) {
            return false;
        }
    }
    *task = (LayoutTask){.sheets = sheets,
                         .sheet_count = question->stock_count,
                         .pieces = pieces,
                         .piece_count = question->problem->piece_count,
                         .aim = question->aim,
                         .unfinished = true};
    return hide_pieces(question->problem, question->flaws, problems->keep, pieces, problems);
}

static void weigh(const LayoutTask *task, const Layout *layout, Arena *scratch,
                  HideOutcome *outcome)
{
    bool used[HIDES_MAX] = {false};
    for (int i = 0; i < layout->count; i++) {
        const Placement *placement = &layout->placements[i];
        outcome->used_mm2 += ring_area_mm2(task->pieces[placement->piece].outline[0]);
        used[placement->sheet] = true;
    }
    for (int i = 0; i < task->sheet_count; i++) {
        if (used[i]) {
            outcome->hides_mm2 += ring_area_mm2(task->sheets[i].outline);
            outcome->hides++;
        }
    }
    for (int i = 0; i < task->piece_count; i++) {
        outcome->missing += layout->missing[i];
    }
    outcome->accepted =
        layout_check(task, layout->placements, layout->count, scratch, NULL, 0) == 0;
}

static void put_placement(Json *json, const HideQuestion *question, const LayoutTask *task,
                          const Placement *placement, Arena *scratch)
{
    json_begin_flat_object(json, NULL);
    json_text(json, "piece", question->problem->pieces[placement->piece].id);
    json_int(json, "hide", placement->sheet);
    json_number(json, "x", placement->motion.x_mm);
    json_number(json, "y", placement->motion.y_mm);
    json_number(json, "turn_deg", placement->motion.turn_rad * degrees_in_radian);
    files_put_ring(
        json, "outline",
        ring_moved(task->pieces[placement->piece].outline[0], placement->motion, scratch));
    json_end_object(json);
}

static bool write_layout(const char *path, const HideQuestion *question, const LayoutTask *task,
                         const Layout *layout, Arena *scratch, Problems *problems)
{
    Json json = {.text.keep = scratch};
    json_begin_object(&json, NULL);
    json_text(&json, "problem", question->problem->name);
    json_text(&json, "flaws", question->flaws == HIDE_FLAWS_ALL ? "all" : "classes");
    json_number(&json, "lattice", 0.01);
    json_begin_flat_array(&json, "hides");
    for (int i = 0; i < question->stock_count; i++) {
        json_text(&json, NULL, question->stock[i]->id);
    }
    json_end_array(&json);
    json_begin_array(&json, "placements");
    for (int i = 0; i < layout->count; i++) {
        put_placement(&json, question, task, &layout->placements[i], scratch);
    }
    json_end_array(&json);
    json_end_object(&json);
    return files_write(path, &json, problems);
}

bool hide_measure(const HideQuestion *question, LayoutOptions options, const char *path,
                  HideOutcome *outcome, Problems *problems)
{
    LayoutTask task;
    if (!make_task(question, &task, problems)) {
        return false;
    }
    Arena *scratch = arena_create("search", (size_t)2 << 30);
    if (!scratch) {
        return problems_say(problems, PROBLEM_SYSTEM, path, "no memory left");
    }
    const Stopwatch begun = stopwatch_begin();
    Layout layout;
    bool found = layout_search(&task, options, NULL, problems->keep, scratch, &layout, problems);
    if (found) {
        const Stopwatch passed = stopwatch_since(begun);
        *outcome = (HideOutcome){.seconds = passed.wall_s, .cpu_seconds = passed.cpu_s};
        weigh(&task, &layout, scratch, outcome);
        found = write_layout(path, question, &task, &layout, scratch, problems);
    }
    arena_destroy(scratch);
    return found;
}
