#include "plan/buy_split.h"

#include <math.h>
#include <string.h>

enum { FIRST_LOOK = 32 }; // trials that tell how to divide

// The dividing under way.
typedef struct Dividing {
    const Derived *derived;
    const BuyOrder *order; // that says everything but `pieces`
    ProgressPart part;
    Arena *keep;
    Arena *scratch;
    BuySplit *split;
    Problems *problems;
} Dividing;

// A part of the progress that goes up to `to`.
static Progress part_to(Dividing *dividing, double to)
{
    dividing->part.from = dividing->part.to;
    dividing->part.to = to;
    return (Progress){progress_report_part, &dividing->part};
}

// The covers of one hide on one hide.
static bool study_hide(Dividing *dividing, BuySplitHide *hide, double comfort, int trials,
                       double to)
{
    Derived own = *dividing->derived;
    own.demands = hide->demands;
    own.demand_count = hide->demand_count;
    BuyOrder order = *dividing->order;
    order.pieces = 1;
    order.comfort = comfort;
    order.trials = trials;
    const Study study = plan_buy_study(&own, &order);
    const Progress reports = part_to(dividing, to);
    return study_run(&study, &reports, dividing->scratch, &hide->study, dividing->problems);
}

static BuySplitHide *hides_of(Dividing *dividing, const SplitGroups *groups)
{
    const Derived *derived = dividing->derived;
    BuySplitHide *hides = ARENA_ARRAY(dividing->keep, BuySplitHide, groups->hides);
    for (int i = 0; i < groups->hides; i++) {
        hides[i].demands = ARENA_ARRAY(dividing->keep, CoverDemand, derived->demand_count + 1);
        hides[i].demand_count = split_demands(groups, derived->demands, i, hides[i].demands);
        hides[i].cut_mm2 = demands_cut_mm2(hides[i].demands, hides[i].demand_count);
    }
    return hides;
}

// Each hide's area for the comfort of all, the smallest together; below those easily had if that
// can be.
static bool find_areas(const Dividing *dividing, BuySplitHide *hides, int count, bool *easy)
{
    const Tally *tallies[SPLIT_HIDES_MAX] = {NULL};
    int steps[SPLIT_HIDES_MAX];
    for (int i = 0; i < count; i++) {
        tallies[i] = &hides[i].study.tally;
    }
    const double comfort = dividing->order->comfort;
    *easy = split_areas(tallies, count, comfort, dividing->split->easy_step, steps);
    const bool found = *easy || split_areas(tallies, count, comfort, AREA_STEPS - 1, steps);
    for (int i = 0; i < count; i++) {
        hides[i].step = found ? steps[i] : AREA_STEPS;
        hides[i].chance = found ? tally_chance(tallies[i], steps[i], CHANCE_Z) : (Chance){0, 0, 1};
    }
    return found;
}

static bool study_all(Dividing *dividing, BuySplitHide *hides, int count, int trials, double to)
{
    const double each = pow(dividing->order->comfort, 1.0 / count);
    const double from = dividing->part.to;
    for (int i = 0; i < count; i++) {
        if (!study_hide(dividing, &hides[i], each, trials, from + (to - from) * (i + 1) / count)) {
            return false;
        }
    }
    return true;
}

// Whether a division leaves each hide easily had, as a first look tells.
static bool look_at(Dividing *dividing, const SplitGroups *groups, bool *easy)
{
    BuySplitHide *hides = hides_of(dividing, groups);
    const double to = dividing->part.to + 0.3 * (0.6 - dividing->part.to);
    const int asked = dividing->order->trials;
    *easy = false;
    if (!study_all(dividing, hides, groups->hides, asked < FIRST_LOOK ? asked : FIRST_LOOK, to)) {
        return false;
    }
    if (!dividing->part.stopped) {
        (void)find_areas(dividing, hides, groups->hides, easy);
    }
    return true;
}

// Blocks as wholes when that does, else the row. *easy says whether the hides are easily had.
static bool divide_by(Dividing *dividing, int hides, SplitGroups *groups, bool *easy)
{
    const Derived *derived = dividing->derived;
    if (split_by_blocks(derived->demands, derived->demand_count, hides, dividing->keep,
                        dividing->scratch, groups)) {
        if (!look_at(dividing, groups, easy)) {
            return false;
        }
        if (*easy || dividing->part.stopped) {
            return true;
        }
    }
    *groups = split_by_row(derived->demands, derived->demand_count, hides, dividing->keep,
                           dividing->scratch);
    return look_at(dividing, groups, easy);
}

static bool divide(Dividing *dividing, int covers, SplitGroups *groups)
{
    const int given = dividing->order->pieces;
    const int most = covers < SPLIT_HIDES_MAX ? covers : SPLIT_HIDES_MAX;
    int hides = given > 0 ? given : 2;
    bool easy = false;
    for (;;) {
        if (!divide_by(dividing, hides, groups, &easy)) {
            return false;
        }
        if (easy || given > 0 || hides == most || dividing->part.stopped) {
            return true;
        }
        hides++;
    }
}

static void tell_parted(const Dividing *dividing, const SplitGroups *groups)
{
    const Derived *derived = dividing->derived;
    BuySplit *split = dividing->split;
    split->parted = ARENA_ARRAY(dividing->keep, const char *, derived->demand_count + 1);
    for (int i = 0; i < derived->demand_count; i++) {
        bool told = !groups->parted[i];
        for (int k = 0; k < split->parted_count && !told; k++) {
            told = strcmp(split->parted[k], derived->demands[i].seat) == 0;
        }
        if (!told) {
            split->parted[split->parted_count++] = derived->demands[i].seat;
        }
    }
}

static bool study_divided(Dividing *dividing)
{
    BuySplit *split = dividing->split;
    SplitGroups groups = {0};
    if (!divide(dividing, split->one.covers, &groups)) {
        return false;
    }
    if (dividing->part.stopped) {
        return true;
    }
    BuySplitHide *hides = hides_of(dividing, &groups);
    const int count = groups.hides;
    if (!study_all(dividing, hides, count, dividing->order->trials, 1)) {
        return false;
    }
    split->enough = find_areas(dividing, hides, count, &split->easy);
    Chance chances[SPLIT_HIDES_MAX];
    for (int i = 0; i < count; i++) {
        chances[i] = hides[i].chance;
        split->all_mm2 += hides[i].step * area_step_mm2;
    }
    split->chance = split_chance(chances, count);
    split->hides = hides;
    split->hide_count = count;
    tell_parted(dividing, &groups);
    return true;
}

bool plan_buy_may_split(const BuyAnswer *answer)
{
    const int pieces = answer->order.pieces;
    return pieces > 1 && pieces <= SPLIT_HIDES_MAX && pieces <= answer->covers;
}

bool plan_buy_split(const Derived *derived, const BuyOrder *order, const Progress *progress,
                    Arena *keep, Arena *scratch, BuySplit *split, Problems *problems)
{
    *split = (BuySplit){.easy_step = plan_buy_easy_step(order->form)};
    if (!plan_buy_begin(derived, order, keep, &split->one, problems)) {
        return false;
    }
    if (order->pieces == 1 || order->pieces > SPLIT_HIDES_MAX ||
        order->pieces > split->one.covers) {
        return problems_say(problems, PROBLEM_BAD_INPUT, "pieces",
                            "%d hides for %d covers; 2 to %d, and a cover for each", order->pieces,
                            split->one.covers, (int)SPLIT_HIDES_MAX);
    }
    BuyOrder full = split->one.order;
    full.trials = order->trials > 0 ? order->trials : SPLIT_TRIALS_USUAL;
    split->one.order = full;
    split->one.order.pieces = 1;
    Dividing dividing = {.derived = derived,
                         .order = &full,
                         .part = {.whole = progress},
                         .keep = keep,
                         .scratch = scratch,
                         .split = split,
                         .problems = problems};
    const Study study = plan_buy_study(derived, &split->one.order);
    const Progress reports = part_to(&dividing, 0.3);
    if (!study_run(&study, &reports, scratch, &split->one.study, problems)) {
        return false;
    }
    split->one_is_easy = split->one.study.area.step <= split->easy_step;
    split->stopped = split->one.study.stopped;
    if (split->stopped || split->one.covers == 1) {
        return true;
    }
    // A stop from now on is no mistake: one hide is known.
    dividing.problems = problems_in(scratch);
    (void)!study_divided(&dividing);
    split->stopped = dividing.part.stopped;
    return problems_pass_on(dividing.problems, NULL, problems);
}
