#include "buying/advise.h"

#include <math.h>
#include <string.h>

// Room is told to a hundredth, so that a measure in inches does not fail by a rounding.
static const double SLACK_MM = 0.005;

// Leather is sold by tenths of a millimetre.
static const double TENTHS = 10;

ThicknessCheck thickness_check(const AdviceSeat *seat, double leather_mm)
{
    ThicknessCheck check = {.measured = seat->clearance_mm >= 0};
    const double clearance_mm = check.measured ? seat->clearance_mm : CLEARANCE_USUAL_MM;
    check.clearance_mm = clearance_mm;
    const double room_mm = clearance_mm - seat->layers_mm - DROP_IN_MM;
    check.straight_max_mm = room_mm;
    check.corner_max_mm = room_mm / CORNER_LEATHERS_MAX;
    check.needed_straight_mm = leather_mm + seat->layers_mm + DROP_IN_MM;
    check.needed_mm = CORNER_LEATHERS_MAX * leather_mm + seat->layers_mm + DROP_IN_MM;
    check.fits = check.needed_mm <= clearance_mm + SLACK_MM;
    check.fits_straight = check.needed_straight_mm <= clearance_mm + SLACK_MM;
    return check;
}

static bool is_tight(const AdviceSeat *seat)
{
    const bool corner = seat->corner_radius_mm >= 0 && seat->corner_radius_mm < TIGHT_CORNER_MM;
    return seat->notched || corner || seat->edge_radius_mm < TIGHT_EDGE_MM;
}

static int greatest(int a, int b)
{
    return a > b ? a : b;
}

static void find_levels(const AdviceQuestion *question, int *level)
{
    const Household *household = &question->household;
    level[ABOUT_SUN] = (int)household->sun;
    level[ABOUT_PETS] = (int)household->pets;
    level[ABOUT_CHILDREN] = (int)household->children;
    level[ABOUT_SPILLS] = (int)household->spills;
    level[ABOUT_MARKS] = (int)household->marks;
    level[ABOUT_WEAR] =
        greatest(greatest(level[ABOUT_PETS], level[ABOUT_CHILDREN]), level[ABOUT_SPILLS]);
    level[ABOUT_TIGHT_FOLDS] = 0;
    for (int i = 0; i < question->seat_count; i++) {
        level[ABOUT_TIGHT_FOLDS] |= is_tight(&question->seats[i]);
    }
}

static void add_points(Advice *advice)
{
    for (int r = 0; r < ADVICE_RULE_COUNT; r++) {
        const AdviceRule *rule = &advice_rules[r];
        const int level = advice->level[rule->about];
        advice->holds[r] = level >= rule->least && level <= rule->most;
        for (int k = 0; advice->holds[r] && k < LEATHER_KIND_COUNT; k++) {
            advice->score[k] += rule->kind[k];
        }
        for (int g = 0; advice->holds[r] && g < LEATHER_GRAIN_COUNT; g++) {
            advice->grain_score[g] += rule->grain[g];
        }
    }
}

static bool comes_before(const Advice *advice, int wanted, LeatherKind a, LeatherKind b)
{
    if (advice->score[a] != advice->score[b]) {
        return advice->score[a] > advice->score[b];
    }
    if ((int)a == wanted || (int)b == wanted) {
        return (int)a == wanted;
    }
    return a < b;
}

static void sort_kinds(Advice *advice, int wanted)
{
    for (int k = 0; k < LEATHER_KIND_COUNT; k++) {
        int at = k;
        while (at > 0 && comes_before(advice, wanted, (LeatherKind)k, advice->order[at - 1])) {
            advice->order[at] = advice->order[at - 1];
            at--;
        }
        advice->order[at] = (LeatherKind)k;
    }
    advice->kind = advice->order[0];
}

static LeatherGrain advised_grain(const Advice *advice, int wanted)
{
    if (advice->kind == LEATHER_ANILINE || advice->kind == LEATHER_NUBUCK) {
        return GRAIN_FULL;
    }
    if (advice->grain_score[GRAIN_FULL] == advice->grain_score[GRAIN_CORRECTED] && wanted >= 0) {
        return (LeatherGrain)wanted;
    }
    return advice->grain_score[GRAIN_CORRECTED] > advice->grain_score[GRAIN_FULL] ? GRAIN_CORRECTED
                                                                                  : GRAIN_FULL;
}

// Only clearances that were measured narrow the advice; the usual one is a guess.
static void advise_thickness(const AdviceQuestion *question, Advice *advice)
{
    double most_mm = advice->level[ABOUT_TIGHT_FOLDS] ? THICKNESS_MOST_FOLDS_MM : THICKNESS_MOST_MM;
    double least_mm =
        advice->level[ABOUT_WEAR] == DAILY ? THICKNESS_LEAST_WEAR_MM : THICKNESS_LEAST_MM;
    for (int i = 0; i < question->seat_count; i++) {
        const ThicknessCheck check = thickness_check(&question->seats[i], question->leather_mm);
        if (check.measured) {
            most_mm =
                fmin(most_mm, floor(check.corner_max_mm * TENTHS + SLACK_MM * TENTHS) / TENTHS);
        }
    }
    if (most_mm + SLACK_MM < least_mm) {
        // Rather the thinnest usual leather, and more room or thinned corners.
        least_mm = THICKNESS_LEAST_MM;
        advice->no_room = most_mm + SLACK_MM < least_mm;
    }
    advice->thickness_min_mm = least_mm;
    advice->thickness_max_mm = fmax(most_mm, least_mm);
    advice->heavy = question->leather_mm > advice->thickness_max_mm + SLACK_MM;
    advice->light = question->leather_mm < advice->thickness_min_mm - SLACK_MM;
}

Advice leather_advise(const AdviceQuestion *question)
{
    Advice advice = {.kind = LEATHER_PIGMENTED};
    find_levels(question, advice.level);
    add_points(&advice);
    sort_kinds(&advice, question->wish.kind);
    advice.grain = advised_grain(&advice, question->wish.grain);
    advise_thickness(question, &advice);
    return advice;
}

// Rounded down to a tenth: a leather named must have room.
const char *leather_at_most_text(double mm, LeatherUnit unit, Arena *keep)
{
    const double shown_mm = floor(mm * 10 + 0.05) / 10;
    if (!(shown_mm > 0)) {
        return "no room";
    }
    return unit == LEATHER_OZ
               ? arena_text(keep, "%.1f oz (%.1f mm)",
                            floor(leather_from_mm(mm, unit) * 10 + 0.05) / 10, shown_mm)
               : arena_text(keep, "%.1f mm", shown_mm);
}

// Finer than a tape: layers are fractions of a millimetre.
const char *layers_text(double mm, LengthUnit unit, Arena *keep)
{
    return unit == LENGTH_IN ? arena_text(keep, "%.2f in (%.1f mm)", mm / MM_PER_IN, mm)
                             : arena_text(keep, "%.1f mm", mm);
}

const char *thickness_room_text(const ThicknessCheck *check)
{
    if (check->fits) {
        return "fits";
    }
    return check->fits_straight ? "too tight at the corners" : "too tight all round";
}

const char thickness_remedy[] =
    "Where it is too tight: thin the leather at the fold, plane the board, or take a thinner "
    "leather. Cut away from the hand that holds the leather.";

const char clearance_remedy[] =
    "not measured: the least that is usually left. Measure it and put it into the job as "
    "\"clearance\".";
