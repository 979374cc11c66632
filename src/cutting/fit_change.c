#include "cutting/fit_parts.h"

#include "cutting/parts.h"

#include <string.h>

static const double quarter_turn_rad = 1.5707963267948966;

Sides fit_grips_mm(const FitChange *change, const Sides *now_mm)
{
    Sides grips_mm = *now_mm;
    for (int side = 0; side < SIDE_COUNT; side++) {
        const double grip_mm = now_mm->at[side];
        if (change->sides[side]) {
            grips_mm.at[side] =
                fmax(grip_mm - change->shorter_mm, fmin(grip_mm, FIT_LEAST_GRIP_MM));
        }
    }
    return grips_mm;
}

// All covers made anew with another grip or cut. Those of one laying share no harm: a
// kind left out would differ from its neighbours.
static bool make_covers(const Laying *laying, const FitChange *change, Arena *keep, Arena *scratch,
                        Laying *changed, Problems *problems)
{
    CoverDemand *demands = ARENA_ARRAY(keep, CoverDemand, laying->demand_count + 1);
    for (int i = 0; i < laying->demand_count; i++) {
        demands[i] = laying->demands[i];
        const Cover *old = demands[i].cover;
        CoverRecipe recipe = old->recipe;
        Fixing *fixing = ARENA_NEW(keep, Fixing);
        *fixing = *recipe.fixing;
        fixing->grip_mm = fit_grips_mm(change, &fixing->grip_mm);
        recipe.fixing = fixing;
        recipe.cut = change->kind == FIT_FOLLOWING ? CUT_FOLLOWING : recipe.cut;
        Cover *cover = ARENA_NEW(keep, Cover);
        if (!cover_make(old->frame, &recipe, demands[i].name, keep, scratch, cover, problems)) {
            return false;
        }
        demands[i].cover = cover;
    }
    changed->demands = demands;
    return true;
}

static Ring larger_ring(Ring ring, double factor, Arena *keep)
{
    Point *points = ARENA_ARRAY(keep, Point, ring.count);
    for (int i = 0; i < ring.count; i++) {
        points[i] = point_times(ring.points[i], factor);
    }
    return (Ring){points, ring.count};
}

static PolygonSet larger_set(PolygonSet set, double factor, Arena *keep)
{
    Polygon *items = ARENA_ARRAY(keep, Polygon, set.count + 1);
    for (int i = 0; i < set.count; i++) {
        const Polygon old = set.items[i];
        Ring *holes = ARENA_ARRAY(keep, Ring, old.hole_count + 1);
        for (int hole = 0; hole < old.hole_count; hole++) {
            holes[hole] = larger_ring(old.holes[hole], factor, keep);
        }
        items[i] = (Polygon){larger_ring(old.outer, factor, keep), holes, old.hole_count};
    }
    return (PolygonSet){items, set.count};
}

// The same hide seen larger, its flaws with it: nobody knows those of a hide not yet bought.
static Hide larger_hide(const Hide *old, double factor, Arena *keep)
{
    Hide hide = *old;
    hide.outline = larger_ring(old->outline, factor, keep);
    hide.backbone_mm *= factor;
    hide.area_mm2 = ring_area_mm2(hide.outline);
    hide.stamped_mm2 = 0;
    for (int i = 0; i < hide.region_count; i++) {
        hide.regions[i].area = larger_set(old->regions[i].area, factor, keep);
    }
    hide.flaws = ARENA_ARRAY(keep, Flaw, old->flaw_count + 1);
    for (int i = 0; i < hide.flaw_count; i++) {
        hide.flaws[i] = old->flaws[i];
        hide.flaws[i].area = larger_set(old->flaws[i].area, factor, keep);
        hide.flaws[i].middle = point_times(old->flaws[i].middle, factor);
    }
    return hide;
}

static void make_hides(const Laying *laying, double larger, Arena *keep, Laying *changed)
{
    Hide *hides = ARENA_ARRAY(keep, Hide, laying->hide_count + 1);
    for (int i = 0; i < laying->hide_count; i++) {
        hides[i] = larger_hide(&laying->hides[i], sqrt(1 + larger), keep);
    }
    changed->hides = hides;
}

static void make_rules(const Laying *laying, const FitChange *change, Arena *keep, Laying *changed)
{
    LayingRules *rules = ARENA_NEW(keep, LayingRules);
    *rules = *laying->rules;
    if (change->kind == FIT_EITHER_WAY) {
        rules->either_way = true;
    } else if (change->kind == FIT_TURN) {
        rules->turn_window_rad = change->turn_window_rad;
    } else if (change->kind == FIT_FLAW) {
        rules->table.flaw[change->flaw] = change->allowed;
    } else if (change->kind == FIT_FIRMNESS) {
        rules->table.firmness[change->firmness] = change->allowed;
    }
    changed->rules = rules;
}

bool fit_laying(const Laying *laying, const FitChange *change, Arena *keep, Arena *scratch,
                Laying *changed, Problems *problems)
{
    Laying made = *laying;
    bool good = true;
    if (change->kind == FIT_FOLLOWING || change->kind == FIT_GRIP) {
        good = make_covers(laying, change, keep, scratch, &made, problems);
    } else if (change->kind == FIT_LARGER) {
        make_hides(laying, change->larger, keep, &made);
    } else {
        make_rules(laying, change, keep, &made);
    }
    if (good) {
        *changed = made;
    }
    return good;
}

// The old window, and what is new on both sides of it.
static int turns_in_parts(const LayingRules *rules, double before_rad, TurnRange *turns)
{
    const double window_rad = rules->turn_window_rad;
    int count = 0;
    for (int way = 0; way < (rules->either_way ? 2 : 1); way++) {
        const double middle_rad = way == 0 ? -quarter_turn_rad : quarter_turn_rad;
        turns[count++] = (TurnRange){middle_rad - before_rad, middle_rad + before_rad};
        turns[count++] = (TurnRange){middle_rad - window_rad, middle_rad - before_rad};
        turns[count++] = (TurnRange){middle_rad + before_rad, middle_rad + window_rad};
    }
    return count;
}

static bool same_table(const ToleranceTable *a, const ToleranceTable *b)
{
    return memcmp(a->flaw, b->flaw, sizeof a->flaw) == 0 &&
           memcmp(a->firmness, b->firmness, sizeof a->firmness) == 0;
}

bool fit_task(const Laying *changed, const FitBase *base, const Progress *progress, Arena *keep,
              Arena *scratch, LayoutTask *task, Problems *problems)
{
    const LayingRules *rules = changed->rules;
    const LayingRules *before = base->laying->rules;
    const bool same_sheets =
        changed->hides == base->laying->hides && same_table(&rules->table, &before->table);
    if (same_sheets ? !task_on_sheets(changed, base->task.sheets, keep, task, problems)
                    : !cutting_task_reported(changed, progress, keep, scratch, task, problems)) {
        return false;
    }
    if (rules->turn_window_rad <= before->turn_window_rad) {
        return true;
    }
    TurnRange *turns = ARENA_ARRAY(keep, TurnRange, LAYOUT_TURNS_MAX);
    const int count = turns_in_parts(rules, before->turn_window_rad, turns);
    Piece *pieces = ARENA_ARRAY(keep, Piece, task->piece_count + 1);
    for (int i = 0; i < task->piece_count; i++) {
        pieces[i] = task->pieces[i];
        pieces[i].turns = turns;
        pieces[i].turn_count = count;
    }
    task->pieces = pieces;
    return true;
}
