#include "base/random.h"
#include "hide/hide.h"
#include "taped_hides.h"

#include "support/check.h"

static const Units millimetres = {LENGTH_MM, AREA_M2, LEATHER_MM};

// The mean outline of open data as a whole hide, with flaws, and a part of it that remains.
typedef struct Pair {
    Hide whole;
    Hide remnant;
} Pair;

static HideEntry mean_entry(Arena *keep)
{
    enum { HALF = 61 };
    Point *points = ARENA_ARRAY(keep, Point, 2 * HALF);
    for (int i = 0; i < HALF; i++) {
        points[i] = point_times(mean_half_outline[i], 2185);
        if (i > 0 && i < HALF - 1) {
            points[2 * HALF - 2 - i] = (Point){points[i].x, -points[i].y};
        }
    }
    return (HideEntry){
        .name = "brown", .form = HIDE_WHOLE, .points = points, .point_count = 2 * HALF - 2};
}

static Pair make_pair(HideEntry entry, const Point *remaining, int count, Arena *keep)
{
    Pair pair;
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    assert_non_null(scratch);
    assert_true(hide_make(&entry, "h", millimetres, keep, scratch, &pair.whole, problems_in(keep)));
    entry.remaining = remaining;
    entry.remaining_count = count;
    assert_true(
        hide_make(&entry, "h", millimetres, keep, scratch, &pair.remnant, problems_in(keep)));
    arena_destroy(scratch);
    return pair;
}

static const Point belly[] = {{300, -700}, {1500, -700}, {1500, -300}, {300, -250}};

static void has_the_area_and_the_regions_of_its_part(void **state)
{
    const Pair pair = make_pair(mean_entry(*state), belly, 4, *state);
    // By the shoelace formula: 1200 wide, 400 to 450 high, all of it on the hide.
    CHECK_NEAR(pair.remnant.area_mm2, 1200 * 425, 1);
    double regions_mm2 = 0;
    for (int i = 0; i < pair.remnant.region_count; i++) {
        regions_mm2 += polygon_set_area_mm2(pair.remnant.regions[i].area);
    }
    CHECK_NEAR(regions_mm2, pair.remnant.area_mm2, 1);
    CHECK_NEAR(pair.remnant.backbone_mm, pair.whole.backbone_mm, 0);
    CHECK_NEAR(pair.remnant.stamped_mm2, 0, 0);
    assert_string_equal(hide_form_word(&pair.remnant), "remnant");
    assert_string_equal(hide_form_word(&pair.whole), "whole");
}

// Property: leather does not change by being cut elsewhere.
static void is_at_each_place_what_the_hide_was_there(void **state)
{
    const Pair pair = make_pair(mean_entry(*state), belly, 4, *state);
    Random random = random_begin(5, 0, 0);
    int inside = 0;
    for (int i = 0; i < 500; i++) {
        const Point place = {random_between(&random, 250, 1550),
                             random_between(&random, -720, -230)};
        if (!ring_contains(pair.remnant.outline, place)) {
            assert_null(hide_region_at(&pair.remnant, place));
            continue;
        }
        inside++;
        const Region *of_whole = hide_region_at(&pair.whole, place);
        const Region *of_remnant = hide_region_at(&pair.remnant, place);
        assert_non_null(of_whole);
        assert_non_null(of_remnant);
        assert_int_equal(of_whole->kind, of_remnant->kind);
        assert_int_equal(of_whole->firmness, of_remnant->firmness);
        CHECK_NEAR(hide_firm_direction_rad(&pair.remnant, place),
                   hide_firm_direction_rad(&pair.whole, place), 0);
    }
    assert_true(inside > 300);
}

static void keeps_only_the_flaws_that_lie_on_it(void **state)
{
    const Point places[] = {{900, -500}, {900, 500}, {300, -300}};
    FlawEntry flaws[3];
    for (int i = 0; i < 3; i++) {
        flaws[i] = (FlawEntry){.kind = i == 0 ? FLAW_SCAR : FLAW_BRAND,
                               .form = FLAW_SPOT,
                               .points = &places[i],
                               .point_count = 1,
                               .size_mm = 60};
    }
    HideEntry entry = mean_entry(*state);
    entry.flaws = flaws;
    entry.flaw_count = 3;
    const Pair pair = make_pair(entry, belly, 4, *state);
    assert_int_equal(pair.whole.flaw_count, 3);
    assert_int_equal(pair.remnant.flaw_count, 2); // the third lies across its edge
    assert_int_equal(pair.remnant.flaws[0].kind, FLAW_SCAR);
}

// What somebody drew too far out is cut back to the hide.
static void does_not_reach_beyond_the_hide(void **state)
{
    const Point half[] = {{-500, 0}, {3000, 0}, {3000, 3000}, {-500, 3000}};
    const Pair pair = make_pair(mean_entry(*state), half, 4, *state);
    CHECK_NEAR(pair.remnant.area_mm2, pair.whole.area_mm2 / 2, 0.001 * pair.whole.area_mm2);
}

static void bad_remains_are_refused(void **state)
{
    const Point off[] = {{5000, 5000}, {5100, 5000}, {5100, 5100}};
    const Point crossing[] = {{300, -700}, {1500, -300}, {1500, -700}, {300, -300}};
    const Point line[] = {{300, -300}, {400, -300}, {500, -300}};
    const struct {
        const Point *points;
        int count;
        const char *found;
    } cases[] = {{off, 3, "lies off the hide"},
                 {crossing, 4, "crosses or touches itself"},
                 {line, 3, "encloses no area"}};
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    for (int i = 0; i < 3; i++) {
        HideEntry entry = mean_entry(*state);
        entry.remaining = cases[i].points;
        entry.remaining_count = cases[i].count;
        Hide hide;
        Problems *problems = problems_in(*state);
        assert_false(hide_make(&entry, "hides[0]", millimetres, *state, scratch, &hide, problems));
        assert_string_equal(problems->items[0].where, "hides[0].remaining");
        assert_non_null(strstr(problems->items[0].found, cases[i].found));
    }
    arena_destroy(scratch);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(has_the_area_and_the_regions_of_its_part),
        TEST_IN_ARENA(is_at_each_place_what_the_hide_was_there),
        TEST_IN_ARENA(keeps_only_the_flaws_that_lie_on_it),
        TEST_IN_ARENA(does_not_reach_beyond_the_hide),
        TEST_IN_ARENA(bad_remains_are_refused),
    };
    return cmocka_run_group_tests_name("hide/remnant", tests, NULL, NULL);
}
