#include "cutting/parts.h"

#include <string.h>

static const double quarter_turn_rad = 1.5707963267948966;

static bool check_range(Problems *problems, const char *where, double value, double least,
                        double most)
{
    if (value >= least && value <= most) {
        return true;
    }
    return problems_add(problems,
                        (Problem){PROBLEM_BAD_INPUT, where, arena_text(problems->keep, "%g", value),
                                  arena_text(problems->keep, "%g to %g", least, most), NULL});
}

static void check_tolerance(Problems *problems, const char *where, Tolerance tolerance)
{
    check_range(problems, where, tolerance, BAND_FACE, NO_BAND);
}

static bool check_rules(const LayingRules *rules, Problems *problems)
{
    const int before = problems->mistakes;
    Arena *keep = problems->keep;
    const ToleranceTable *table = &rules->table;
    check_range(problems, "laying.turn_window", rules->turn_window_rad, 0, quarter_turn_rad + 1e-9);
    check_range(problems, "laying.gap", rules->gap_mm, 0, 1000);
    for (int kind = 0; kind < FLAW_KIND_COUNT; kind++) {
        const char *name = flaw_kind_names[kind];
        check_tolerance(problems, arena_text(keep, "laying.tolerance.flaws.%s", name),
                        table->flaw[kind]);
        check_range(problems, arena_text(keep, "laying.margin.%s", name), table->margin_mm[kind], 0,
                    1000);
    }
    for (int firmness = 0; firmness < FIRMNESS_COUNT; firmness++) {
        check_tolerance(problems,
                        arena_text(keep, "laying.tolerance.firmness.%s", firmness_names[firmness]),
                        table->firmness[firmness]);
    }
    check_tolerance(problems, "laying.tolerance.rim", table->rim);
    check_range(problems, "laying.rim", table->rim_mm, 0, 1000);
    return problems->mistakes == before;
}

double demands_cut_mm2(const CoverDemand *demands, int demand_count)
{
    double area_mm2 = 0;
    for (int i = 0; i < demand_count; i++) {
        area_mm2 += demands[i].count * demands[i].cover->gross_area_mm2;
    }
    return area_mm2;
}

static bool check_demand(const CoverDemand *demand, int index, Problems *problems)
{
    const char *where = arena_text(problems->keep, "covers[%d]", index);
    if (!demand->cover || !(demand->cover->gross_area_mm2 > 0) || demand->cover->cut.count < 3) {
        return problems_add(problems, (Problem){PROBLEM_BAD_INPUT, where, "a cover without area",
                                                "a cover with an outline to cut", NULL});
    }
    return check_range(problems, arena_text(problems->keep, "%s.count", where), demand->count, 1,
                       LAYOUT_COPIES_MAX);
}

// At a quarter turn to the right the cover's back looks to the neck and its front to
// the butt; at a quarter turn to the left the other way.
static int turns_of(const LayingRules *rules, Arena *keep, const TurnRange **turns)
{
    const double window_rad = rules->turn_window_rad;
    TurnRange *ranges = ARENA_ARRAY(keep, TurnRange, 2);
    ranges[0] = (TurnRange){-quarter_turn_rad - window_rad, -quarter_turn_rad + window_rad};
    ranges[1] = (TurnRange){quarter_turn_rad - window_rad, quarter_turn_rad + window_rad};
    *turns = ranges;
    return rules->either_way ? 2 : 1;
}

static bool stand_together(const CoverDemand *a, const CoverDemand *b)
{
    return a->beside > 0 || b->beside > 0 ? a->beside == b->beside
                                          : a->seat && b->seat && strcmp(a->seat, b->seat) == 0;
}

// Chairs that stand side by side, as those of one kind do, have their covers cut side by side:
// leather changes in shade and grain over a hide. Numbered by the first of them.
static int partners_of(const Laying *laying, int demand)
{
    int first = 0;
    while (first < demand && !stand_together(&laying->demands[first], &laying->demands[demand])) {
        first++;
    }
    return first + 1;
}

static Piece piece_of_cover(const CoverDemand *demand, const TurnRange *turns, int turn_count)
{
    const Cover *cover = demand->cover;
    // One is worth as much as another: a chair without a cover is a chair too few,
    // whatever its size.
    return (Piece){.outline = {cover->cut, cover->within[BAND_TURN], cover->within[BAND_EDGE],
                               cover->within[BAND_FACE]},
                   .depth_count = LAYOUT_DEPTHS,
                   .turns = turns,
                   .turn_count = turn_count,
                   .value = 1,
                   .demand = demand->count,
                   .turn_symmetry = cover->turn_symmetry};
}

// The rules and the covers; the sheets are left to the caller.
static bool make_pieces(const Laying *laying, Arena *keep, LayoutTask *task, Problems *problems)
{
    bool good = check_rules(laying->rules, problems);
    const TurnRange *turns;
    const int turn_count = turns_of(laying->rules, keep, &turns);
    Piece *pieces = ARENA_ARRAY(keep, Piece, laying->demand_count + 1);
    for (int i = 0; i < laying->demand_count; i++) {
        if (check_demand(&laying->demands[i], i, problems)) {
            pieces[i] = piece_of_cover(&laying->demands[i], turns, turn_count);
            pieces[i].partners = partners_of(laying, i);
        } else {
            good = false;
        }
    }
    // A hide that nobody cuts into is still worth what it cost.
    const LayoutAim aim = laying->hide_count > 1 ? LAYOUT_FEWEST_SHEETS : LAYOUT_PLACE_ALL;
    if (good) {
        *task = (LayoutTask){.sheet_count = laying->hide_count,
                             .pieces = pieces,
                             .piece_count = laying->demand_count,
                             .aim = aim,
                             .useful_mm = USEFUL_MM};
    }
    return good;
}

bool task_on_sheets(const Laying *laying, const Sheet *sheets, Arena *keep, LayoutTask *task,
                    Problems *problems)
{
    if (!make_pieces(laying, keep, task, problems)) {
        return false;
    }
    task->sheets = sheets;
    return true;
}

bool cutting_task_reported(const Laying *laying, const Progress *progress, Arena *keep,
                           Arena *scratch, LayoutTask *task, Problems *problems)
{
    LayoutTask made;
    bool good = make_pieces(laying, keep, &made, problems);
    Sheet *sheets = ARENA_ARRAY(keep, Sheet, laying->hide_count + 1);
    for (int i = 0; good && i < laying->hide_count; i++) {
        if (!progress_report(progress, "looking at the hides", 0)) {
            return problems_say(problems, PROBLEM_CANCELLED, "layout",
                                "stopped before the first piece was laid");
        }
        good = sheet_of_hide(&laying->hides[i], laying->rules,
                             arena_text(problems->keep, "hides[%d]", i), keep, scratch, &sheets[i],
                             problems);
    }
    if (good) {
        made.sheets = sheets;
        *task = made;
    }
    return good;
}

bool cutting_task(const Laying *laying, Arena *keep, Arena *scratch, LayoutTask *task,
                  Problems *problems)
{
    return cutting_task_reported(laying, NULL, keep, scratch, task, problems);
}
