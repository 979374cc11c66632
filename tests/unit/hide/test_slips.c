#include "base/random.h"
#include "hide/hide.h"
#include "taped_hides.h"

#include "support/check.h"

#include <stdlib.h>

typedef struct Taped {
    Station stations[STATIONS_MAX];
    int count;
    HideForm form;
    double area_mm2; ///< of the outline as taped
} Taped;

static Taped taped(const TapedHide *hide, HideForm form)
{
    Taped result = {.form = form};
    for (int i = 0; i < hide->count; i++) {
        Station s = hide->stations[i];
        if (form == HIDE_WHOLE || s.has_left) {
            s.has_right = s.has_right && form == HIDE_WHOLE;
            result.stations[result.count++] = s;
        }
    }
    return result;
}

// Area of the outline, or -1 when it is refused; what was said of it in *problems.
static double outline_area(const Taped *hide, LengthUnit unit, Arena *arena, Problems **problems)
{
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    assert_non_null(scratch);
    *problems = problems_in(arena);
    const HideEntry entry = {
        .form = hide->form, .stations = hide->stations, .station_count = hide->count};
    HideOutline outline;
    const bool made = hide_outline(&entry, "hides[0]", unit, arena, scratch, &outline, *problems);
    arena_destroy(scratch);
    return made ? ring_area_mm2(outline.ring) : -1;
}

static bool doubts_station(const Problems *problems, int station)
{
    char wanted[48];
    (void)snprintf(wanted, sizeof wanted, "hides[0].stations[%d].", station);
    for (int i = 0; i < problems->count; i++) {
        if (problems->items[i].kind == PROBLEM_DOUBT &&
            strncmp(problems->items[i].where, wanted, strlen(wanted)) == 0) {
            return true;
        }
    }
    return false;
}

enum { SLIP_TEN, SLIP_TENTH, SLIP_SWAP, SLIP_DROP, SLIP_DOUBLE, SLIP_INCH, SLIP_FEET, SLIP_KINDS };

// A value with one slip in it, as a person would write it: whole mm.
static double slipped(double value, int kind, Random *random)
{
    if (kind == SLIP_TEN || kind == SLIP_TENTH) {
        return kind == SLIP_TEN ? 10 * value : round(value / 10);
    }
    if (kind == SLIP_INCH || kind == SLIP_FEET) {
        return kind == SLIP_INCH ? round(value / 25.4) : round(value / 30.48) / 10;
    }
    char digits[16];
    char changed[20];
    const int count = snprintf(digits, sizeof digits, "%ld", lround(fabs(value)));
    const int at = random_below(random, count);
    if (kind == SLIP_SWAP && at + 1 < count) {
        const char first = digits[at];
        digits[at] = digits[at + 1];
        digits[at + 1] = first;
    }
    int length = 0;
    for (int i = 0; i < count; i++) {
        if (kind == SLIP_DROP && i == at) {
            continue;
        }
        changed[length++] = digits[i];
        if (kind == SLIP_DOUBLE && i == at) {
            changed[length++] = digits[i];
        }
    }
    changed[length] = 0;
    return copysign(strtod(changed, NULL), value);
}

typedef struct Rate {
    int tried;
    int found;
} Rate;

// On whole hides every fourth slip, to be quick; docs/hides.md has the rates of all.
//
// Puts one slip into one measure and counts whether it is told: by a doubt about the
// station, or because the outline becomes impossible. A slip counts when it is over a
// fifth of the value and moves the area by over 1 %; smaller ones harm nobody.
static void try_slip(Taped *hide, int station, double *measure, int kind, Random *random,
                     Arena *arena, Rate *rate)
{
    const ArenaMark mark = arena_mark(arena);
    Problems *problems;
    const double right = *measure;
    const double wrong = slipped(right, kind, random);
    if (fabs(wrong - right) > 0.2 * fabs(right) && fabs(wrong) <= HIDE_REACH_MAX_MM) {
        *measure = wrong;
        const double slipped_mm2 = outline_area(hide, LENGTH_MM, arena, &problems);
        if (slipped_mm2 < 0 || fabs(slipped_mm2 - hide->area_mm2) > 0.01 * hide->area_mm2) {
            rate->tried++;
            rate->found += slipped_mm2 < 0 || doubts_station(problems, station);
        }
        *measure = right;
    }
    arena_rewind(arena, mark);
}

// Slips in all measures of one hide, every so many of them.
static void try_hide(Taped *hide, int every, Random *random, Arena *arena, Rate *rate)
{
    Problems *problems;
    hide->area_mm2 = outline_area(hide, LENGTH_MM, arena, &problems);
    for (int i = 0; i < hide->count; i++) {
        Station *s = &hide->stations[i];
        for (int kind = i % every; kind < SLIP_KINDS; kind += every) {
            try_slip(hide, i, &s->up_mm, kind, random, arena, rate);
            if (s->has_left) {
                try_slip(hide, i, &s->left_mm, kind, random, arena, rate);
            }
            if (s->has_right) {
                try_slip(hide, i, &s->right_mm, kind, random, arena, rate);
            }
        }
    }
}

static Rate slip_rate(HideForm form, int every, Arena *arena)
{
    Random random = random_begin(7, 0, 0);
    Rate rate = {0, 0};
    for (int h = 0; h < TAPED_HIDE_COUNT; h++) {
        Taped hide = taped(&taped_hides[h], form);
        try_hide(&hide, every, &random, arena, &rate);
    }
    print_message("# form %s: %d of %d slips told, %.1f %%\n", hide_form_names[form], rate.found,
                  rate.tried, 100.0 * rate.found / rate.tried);
    return rate;
}

// Broader or narrower, longer or shorter, fuller towards one end, taped to 15 mm.
static Taped deformed(const TapedHide *hide, HideForm form, Random *random)
{
    Taped result = taped(hide, form);
    const double up = random_between(random, 0.85, 1.15);
    const double left = random_between(random, 0.9, 1.1);
    const double right = left * random_between(random, 0.96, 1.04);
    const double fuller = random_between(random, -0.05, 0.05) / 2200;
    for (int i = 0; i < result.count; i++) {
        Station *s = &result.stations[i];
        const double stretch = 1 + fuller * s->up_mm;
        s->up_mm = round(s->up_mm * up);
        if (s->left_mm > 0) {
            s->left_mm *= left * stretch;
            s->left_mm = fmax(1, round(s->left_mm + random_between(random, -15, 15)));
        }
        if (s->right_mm > 0) {
            s->right_mm *= right / stretch;
            s->right_mm = fmax(1, round(s->right_mm + random_between(random, -15, 15)));
        }
    }
    return result;
}

static double false_share(HideForm form, int rounds, Arena *arena)
{
    Random random = random_begin(3, 0, 0);
    int told = 0;
    for (int t = 0; t < rounds; t++) {
        const ArenaMark mark = arena_mark(arena);
        const Taped hide = deformed(&taped_hides[t % TAPED_HIDE_COUNT], form, &random);
        Problems *problems;
        (void)outline_area(&hide, LENGTH_MM, arena, &problems);
        told += problems->doubts > 0;
        arena_rewind(arena, mark);
    }
    print_message("# form %s: doubts on %d of %d sound hides\n", hide_form_names[form], told,
                  rounds);
    return (double)told / rounds;
}

static void most_slips_are_told(void **state)
{
    const Rate whole = slip_rate(HIDE_WHOLE, 4, *state);
    assert_true(whole.tried > 700);
    assert_true(whole.found >= 0.9 * whole.tried);
    const Rate side = slip_rate(HIDE_SIDE, 1, *state);
    assert_true(side.tried > 1900);
    assert_true(side.found >= 0.9 * side.tried);
}

static void sound_hides_are_not_doubted(void **state)
{
    for (int h = 0; h < TAPED_HIDE_COUNT; h++) {
        for (int form = HIDE_WHOLE; form <= HIDE_SIDE; form++) {
            const Taped hide = taped(&taped_hides[h], (HideForm)form);
            Problems *problems;
            assert_true(outline_area(&hide, LENGTH_MM, *state, &problems) > 0);
            assert_int_equal(problems->doubts, 0);
        }
    }
    assert_true(false_share(HIDE_WHOLE, 360, *state) < 0.02);
    assert_true(false_share(HIDE_SIDE, 360, *state) < 0.005);
}

static const Problem *only_doubt(const Problems *problems)
{
    assert_int_equal(problems->doubts, 1);
    assert_int_equal(problems->items[0].kind, PROBLEM_DOUBT);
    return &problems->items[0];
}

static void a_tenth_is_told_with_what_was_meant(void **state)
{
    Taped hide = taped(&taped_hides[0], HIDE_WHOLE);
    Station *s = &hide.stations[20];
    assert_true(s->up_mm == 600 && s->left_mm == 1020);
    s->left_mm = 102;
    Problems *problems;
    (void)outline_area(&hide, LENGTH_MM, *state, &problems);
    const Problem *doubt = only_doubt(problems);
    assert_string_equal(doubt->where, "hides[0].stations[20].left");
    assert_string_equal(doubt->found, "102 mm lies far off the line between its neighbours, and "
                                      "left and right disagree");
    assert_string_equal(doubt->remedy, "did you mean 1020 mm?");
}

static void swapped_digits_up_the_backbone_are_told(void **state)
{
    Taped hide = taped(&taped_hides[0], HIDE_WHOLE);
    assert_true(hide.stations[24].up_mm == 1200);
    hide.stations[24].up_mm = 2100;
    Problems *problems;
    (void)outline_area(&hide, LENGTH_MM, *state, &problems);
    bool told = false;
    for (int i = 0; i < problems->count; i++) {
        told = told || (strcmp(problems->items[i].where, "hides[0].stations[24].up") == 0 &&
                        strcmp(problems->items[i].remedy, "did you mean 1200 mm?") == 0);
    }
    assert_true(told);
}

static void inches_are_told_in_inches(void **state)
{
    Taped hide = {.count = 9, .form = HIDE_WHOLE};
    const double out_in[] = {24, 40, 41, 41, 42, 41, 40, 38, 25};
    for (int i = 0; i < 9; i++) {
        const double out = out_in[i] * MM_PER_IN;
        hide.stations[i] = (Station){i * 10 * MM_PER_IN, out, out, true, true};
    }
    hide.stations[4].right_mm = 24.25 * MM_PER_IN; // 42 1/4 with its digits swapped
    Problems *problems;
    (void)outline_area(&hide, LENGTH_IN, *state, &problems);
    const Problem *doubt = only_doubt(problems);
    assert_string_equal(doubt->where, "hides[0].stations[4].right");
    assert_string_equal(doubt->found, "24 1/4 in lies far off the line between its neighbours, "
                                      "and left and right disagree");
    assert_string_equal(doubt->remedy, "did you mean 42 1/4 in?");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(most_slips_are_told),
        TEST_IN_ARENA(sound_hides_are_not_doubted),
        TEST_IN_ARENA(a_tenth_is_told_with_what_was_meant),
        TEST_IN_ARENA(swapped_digits_up_the_backbone_are_told),
        TEST_IN_ARENA(inches_are_told_in_inches),
    };
    return cmocka_run_group_tests_name("hide/slips", tests, NULL, NULL);
}
