#include "cutting/fit_change.h"

#include <stdlib.h>

// How far a change is offered: common practice, docs/tolerance.md.
enum { TURN_MOST_DEG = 15 };
static const double quarter_turn_rad = 1.5707963267948966;

// Percent of area: finely where a seller may have such a hide, coarsely beyond.
typedef struct LargerSteps {
    int up_to_percent;
    int percent;
} LargerSteps;
static const LargerSteps larger_steps[] = {{20, 2}, {100, 5}, {400, 25}};
enum { LARGER_STEPS = 10 + 16 + 12 };

static double larger_at(int step)
{
    int percent = 0;
    for (int range = 0; step > 0; step--) {
        range += percent >= larger_steps[range].up_to_percent;
        percent += larger_steps[range].percent;
    }
    return percent / 100.0;
}

typedef struct FitWays {
    const Laying *laying;
    double grip_step_mm;
    FitWay *items;
    int count;
} FitWays;

static void add_way(FitWays *ways, FitWay way)
{
    if (way.steps > 0) {
        ways->items[ways->count++] = way;
    }
}

// Without its recipe a cover cannot be made otherwise.
static bool all_known(const Laying *laying)
{
    for (int i = 0; i < laying->demand_count; i++) {
        const CoverRecipe *recipe = &laying->demands[i].cover->recipe;
        if (!recipe->build_up || !recipe->fixing || !recipe->leather) {
            return false;
        }
    }
    return true;
}

static bool any_straight(const Laying *laying)
{
    for (int i = 0; i < laying->demand_count; i++) {
        if (laying->demands[i].cover->recipe.cut == CUT_STRAIGHT) {
            return true;
        }
    }
    return false;
}

// Steps until no grip on these sides can get shorter.
static int grip_steps(const FitWays *ways, const bool *sides)
{
    double longest_mm = 0;
    for (int i = 0; i < ways->laying->demand_count; i++) {
        const Fixing *fixing = ways->laying->demands[i].cover->recipe.fixing;
        for (int side = 0; side < SIDE_COUNT; side++) {
            longest_mm = sides[side] ? fmax(longest_mm, fixing->grip_mm.at[side]) : longest_mm;
        }
    }
    const double spare_mm = longest_mm - FIT_LEAST_GRIP_MM;
    return spare_mm > 0.1 ? (int)ceil(spare_mm / ways->grip_step_mm - 1e-9) : 0;
}

static void add_grips(FitWays *ways)
{
    static const FitWay grips[] = {
        {.kind = FIT_GRIP, .sides = {[SIDE_FRONT] = true, [SIDE_BACK] = true}},
        {.kind = FIT_GRIP, .sides = {[SIDE_LEFT] = true, [SIDE_RIGHT] = true}},
        {.kind = FIT_GRIP, .sides = {true, true, true, true}},
    };
    for (size_t i = 0; i < sizeof grips / sizeof grips[0]; i++) {
        FitWay way = grips[i];
        way.steps = grip_steps(ways, way.sides);
        add_way(ways, way);
    }
}

static int turn_steps(const LayingRules *rules)
{
    const double left_rad = quarter_turn_rad - rules->turn_window_rad;
    const int left = (int)floor(left_rad / RAD_PER_DEG + 1e-9);
    return left < TURN_MOST_DEG ? left : TURN_MOST_DEG;
}

// Bands inward, as long as the next one is offered.
static int bands_offered(FitChange change, Tolerance now)
{
    int steps = 0;
    while (now - steps > (int)BAND_FACE) {
        change.allowed = now - steps - 1;
        if (fit_harm(&change, NULL) == 0) {
            break;
        }
        steps++;
    }
    return steps;
}

static bool has_flaw(const Laying *laying, FlawKind kind)
{
    for (int i = 0; i < laying->hide_count; i++) {
        for (int k = 0; k < laying->hides[i].flaw_count; k++) {
            if (laying->hides[i].flaws[k].kind == kind) {
                return true;
            }
        }
    }
    return false;
}

static bool has_firmness(const Laying *laying, Firmness firmness)
{
    for (int i = 0; i < laying->hide_count; i++) {
        for (int k = 0; k < laying->hides[i].region_count; k++) {
            if (laying->hides[i].regions[k].firmness == firmness) {
                return true;
            }
        }
    }
    return false;
}

static void add_tolerances(FitWays *ways)
{
    const ToleranceTable *table = &ways->laying->rules->table;
    for (int kind = 0; kind < FLAW_KIND_COUNT; kind++) {
        const FitChange change = {.kind = FIT_FLAW, .flaw = (FlawKind)kind};
        if (has_flaw(ways->laying, change.flaw)) {
            add_way(ways, (FitWay){.kind = FIT_FLAW,
                                   .flaw = change.flaw,
                                   .steps = bands_offered(change, table->flaw[kind])});
        }
    }
    for (int kind = 0; kind < FIRMNESS_COUNT; kind++) {
        const FitChange change = {.kind = FIT_FIRMNESS, .firmness = (Firmness)kind};
        if (has_firmness(ways->laying, change.firmness)) {
            add_way(ways, (FitWay){.kind = FIT_FIRMNESS,
                                   .firmness = change.firmness,
                                   .steps = bands_offered(change, table->firmness[kind])});
        }
    }
}

int fit_ways(const Laying *laying, double grip_step_mm, FitWay *ways)
{
    FitWays list = {laying, grip_step_mm, ways, 0};
    const bool known = all_known(laying);
    add_way(&list, (FitWay){.kind = FIT_FOLLOWING, .steps = known && any_straight(laying)});
    add_way(&list, (FitWay){.kind = FIT_EITHER_WAY, .steps = !laying->rules->either_way});
    add_way(&list, (FitWay){.kind = FIT_TURN, .steps = turn_steps(laying->rules)});
    if (known) {
        add_grips(&list);
    }
    add_tolerances(&list);
    add_way(&list,
            (FitWay){.kind = FIT_LARGER, .steps = laying->hide_count > 0 ? LARGER_STEPS : 0});
    return list.count;
}

FitChange fit_change(const Laying *laying, const FitWay *way, int step, double grip_step_mm)
{
    const LayingRules *rules = laying->rules;
    FitChange change = {.kind = way->kind, .flaw = way->flaw, .firmness = way->firmness};
    if (way->kind == FIT_TURN) {
        change.turn_window_rad =
            fmin(rules->turn_window_rad + step * RAD_PER_DEG, quarter_turn_rad);
    } else if (way->kind == FIT_GRIP) {
        change.shorter_mm = step * grip_step_mm;
        for (int side = 0; side < SIDE_COUNT; side++) {
            change.sides[side] = way->sides[side];
        }
    } else if (way->kind == FIT_FLAW) {
        change.allowed_now = rules->table.flaw[way->flaw];
        change.allowed = change.allowed_now - step;
    } else if (way->kind == FIT_FIRMNESS) {
        change.allowed_now = rules->table.firmness[way->firmness];
        change.allowed = change.allowed_now - step;
    } else if (way->kind == FIT_LARGER) {
        change.larger = larger_at(step);
    }
    return change;
}
