#include "buying/panels.h"

// Covers put on one lot of panels after the other.
typedef struct Filling {
    const PanelTask *task;
    Hide panel;
    CoverDemand *demands; // those still to be laid; none without copies
    int demand_count;
    int covers;
    int used; // panels
    bool stuck;
    const Progress *progress;
    Arena *keep;
    Arena *scratch;
    Problems *problems;
} Filling;

static bool begin_filling(Filling *filling)
{
    const PanelTask *task = filling->task;
    const HideEntry entry = {.name = "panel",
                             .form = HIDE_PANEL,
                             .panel_length_mm = task->length_mm,
                             .panel_width_mm = task->width_mm};
    filling->demands = ARENA_ARRAY(filling->keep, CoverDemand, task->demand_count + 1);
    for (int d = 0; d < task->demand_count; d++) {
        filling->demands[filling->demand_count++] = task->demands[d];
        filling->covers += task->demands[d].count;
    }
    return hide_make(&entry, "offers", (Units){LENGTH_MM, AREA_M2, LEATHER_MM}, filling->keep,
                     filling->scratch, &filling->panel, filling->problems);
}

static void take_off(Filling *filling, const CutPlan *plan)
{
    for (int i = 0; i < plan->cover_count; i++) {
        filling->demands[plan->covers[i].demand].count--;
    }
    filling->covers -= plan->cover_count;
    int kept = 0;
    for (int d = 0; d < filling->demand_count; d++) {
        if (filling->demands[d].count > 0) {
            filling->demands[kept++] = filling->demands[d];
        }
    }
    filling->demand_count = kept;
}

// As many of the covers as there is room for on a lot of panels.
static bool fill_lot(Filling *filling)
{
    const PanelTask *task = filling->task;
    const int panels = filling->covers < PANELS_LAID_MAX ? filling->covers : PANELS_LAID_MAX;
    Hide *hides = ARENA_ARRAY(filling->keep, Hide, panels);
    for (int i = 0; i < panels; i++) {
        hides[i] = filling->panel;
    }
    const Laying laying = {filling->demands, filling->demand_count, hides, panels, task->rules};
    const LayoutOptions options = {.seed = task->seed, .work = task->work};
    CutPlan plan;
    if (!cutting_lay(&laying, options, filling->progress, filling->keep, filling->scratch, &plan,
                     filling->problems)) {
        return false;
    }
    if (plan.stopped) {
        return problems_say(filling->problems, PROBLEM_CANCELLED, "buying",
                            "stopped while laying panels");
    }
    int used = 0;
    for (int h = 0; h < panels; h++) {
        used += hide_is_left_whole(&plan, h) ? 0 : 1;
    }
    take_off(filling, &plan);
    filling->used += used;
    // What finds no room although a panel is left finds none on any.
    filling->stuck = filling->covers > 0 && used < panels;
    return true;
}

bool panels_needed(const PanelTask *task, const Progress *progress, Arena *scratch, int *needed,
                   Problems *problems)
{
    Arena *keep = arena_create("panels", (size_t)1 << 30);
    if (!keep) {
        return problems_say(problems, PROBLEM_SYSTEM, "buying", "no memory left");
    }
    Filling filling = {
        .task = task, .progress = progress, .keep = keep, .scratch = scratch, .problems = problems};
    bool good = begin_filling(&filling);
    while (good && !filling.stuck && filling.covers > 0) {
        good = fill_lot(&filling);
    }
    arena_destroy(keep);
    if (good) {
        *needed = filling.stuck ? 0 : filling.used;
    }
    return good;
}
