#include "base/random.h"
#include "hide/hide.h"

#include "support/check.h"

#include <time.h>

static const Units millimetres = {LENGTH_MM, AREA_M2, LEATHER_MM};
static const Units inches = {LENGTH_IN, AREA_FT2, LEATHER_OZ};

typedef struct Made {
    bool made;
    Hide hide;
    Problems *problems;
} Made;

static Made make(const HideEntry *entry, Units units, Arena *arena)
{
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    assert_non_null(scratch);
    Made made = {.problems = problems_in(arena)};
    made.made = hide_make(entry, "hides[2]", units, arena, scratch, &made.hide, made.problems);
    assert_true(made.made == problems_none(made.problems));
    arena_destroy(scratch);
    return made;
}

static void names_are_the_words_of_the_trade(void **state)
{
    (void)state;
    assert_string_equal(hide_form_names[HIDE_PANEL], "panel");
    assert_string_equal(region_kind_names[REGION_SHANK], "shank");
    assert_string_equal(firmness_names[LOOSE], "loose");
    assert_string_equal(flaw_kind_names[FLAW_GRUB_HOLES], "grub holes");
    assert_string_equal(flaw_form_names[FLAW_AREA], "area");
    for (int i = 0; i < FLAW_KIND_COUNT; i++) {
        assert_non_null(flaw_kind_names[i]);
    }
}

static void all_problems_are_collected(void **state)
{
    const Point bow[] = {{100, 0}, {300, 200}, {300, 0}, {100, 200}};
    const FlawEntry flaws[] = {{FLAW_HOLE, FLAW_SPOT, NULL, bow, 1, 10},
                               {FLAW_STAIN, FLAW_AREA, NULL, bow, 4, 0},
                               {FLAW_SCAR, FLAW_LINE, NULL, bow, 2, -1}};
    const RegionEntry region = {REGION_BACK, -1, -1, -1, bow, 4};
    const HideEntry entry = {.form = HIDE_PANEL,
                             .panel_length_mm = -1,
                             .panel_width_mm = 500,
                             .stamped_mm2 = nan(""),
                             .flaws = flaws,
                             .flaw_count = 3,
                             .regions = &region,
                             .region_count = 1};
    const Made made = make(&entry, millimetres, *state);
    static const char *const wanted[] = {"hides[2].length", "hides[2].stamp",
                                         "hides[2].flaws[1].area", "hides[2].flaws[2].width",
                                         "hides[2].regions[0].area"};
    assert_int_equal(made.problems->count, 5);
    for (int i = 0; i < 5; i++) {
        bool told = false;
        for (int k = 0; k < made.problems->count; k++) {
            told = told || strcmp(made.problems->items[k].where, wanted[i]) == 0;
        }
        assert_true(told);
    }
}

static void too_many_of_anything_is_refused(void **state)
{
    const Point at = {100, 0};
    FlawEntry *flaws = ARENA_ARRAY(*state, FlawEntry, FLAWS_MAX + 1);
    RegionEntry regions[REGION_ENTRIES_MAX + 1];
    for (int i = 0; i <= FLAWS_MAX; i++) {
        flaws[i] = (FlawEntry){FLAW_HOLE, FLAW_SPOT, NULL, &at, 1, 3};
    }
    for (int i = 0; i <= REGION_ENTRIES_MAX; i++) {
        regions[i] = (RegionEntry){REGION_BACK, SOFT, -1, -1, NULL, 0};
    }
    HideEntry entry = {.form = HIDE_PANEL,
                       .panel_length_mm = 900,
                       .panel_width_mm = 500,
                       .flaws = flaws,
                       .flaw_count = FLAWS_MAX,
                       .regions = regions,
                       .region_count = REGION_ENTRIES_MAX};
    assert_true(make(&entry, millimetres, *state).made);
    entry.flaw_count++;
    entry.region_count++;
    const Made made = make(&entry, millimetres, *state);
    assert_int_equal(made.problems->mistakes, 2);
    assert_string_equal(made.problems->items[0].found, "501 flaws");
    assert_string_equal(made.problems->items[0].allowed, "up to 500");
    assert_string_equal(made.problems->items[1].found, "41 regions");
}

static void stamp_that_disagrees_is_doubted_in_the_users_unit(void **state)
{
    HideEntry entry = {.form = HIDE_PANEL,
                       .panel_length_mm = 1524,  // 5 ft
                       .panel_width_mm = 1219.2, // 4 ft
                       .stamped_mm2 = 20.5 * MM2_PER_FT2};
    const Made doubted = make(&entry, inches, *state);
    assert_true(doubted.made);
    assert_int_equal(doubted.problems->doubts, 1);
    assert_string_equal(doubted.problems->items[0].where, "hides[2].stamp");
    assert_string_equal(doubted.problems->items[0].found,
                        "stamped 20.50 ft², but the outline holds 20.00 ft², 2.4 % less");
    assert_string_equal(doubted.problems->items[0].remedy, "measure the outline again");
    entry.stamped_mm2 = 20.25 * MM2_PER_FT2;
    assert_int_equal(make(&entry, inches, *state).problems->doubts, 0);
}

static void change_to_a_missing_region_is_doubted(void **state)
{
    const RegionEntry region = {REGION_BELLY, LOOSE, -1, -1, NULL, 0};
    const HideEntry entry = {.form = HIDE_PANEL,
                             .panel_length_mm = 900,
                             .panel_width_mm = 500,
                             .regions = &region,
                             .region_count = 1};
    const Made made = make(&entry, millimetres, *state);
    assert_true(made.made);
    assert_int_equal(made.problems->doubts, 1);
    assert_string_equal(made.problems->items[0].found,
                        "this hide has no belly, so nothing changes");
}

enum { TRIALS = TRIALS_OF(10000) };

// Property: whatever the numbers, either a sound hide comes out or a mistake is told.
static void any_entry_gives_a_hide_or_a_mistake(void **state)
{
    Random random = random_begin(23, 0, 0);
    int made_count = 0;
    for (int round = 0; round < TRIALS; round++) {
        const ArenaMark mark = arena_mark(*state);
        Station stations[12];
        const int count = random_below(&random, 13);
        const double wild = random_below(&random, 4) == 0 ? 9000 : 900;
        for (int i = 0; i < count; i++) {
            stations[i] = (Station){i * 150 + random_between(&random, -wild, wild) / 8,
                                    random_between(&random, wild > 1000 ? -50 : 0, wild),
                                    random_between(&random, 0, wild), random_below(&random, 6) > 0,
                                    random_below(&random, 6) > 0};
        }
        const Point spot = {random_between(&random, -wild, wild), 0};
        const FlawEntry flaw = {FLAW_HOLE, FLAW_SPOT, NULL,
                                &spot,     1,         random_between(&random, -1, 30)};
        const HideEntry entry = {.form = (HideForm)random_below(&random, HIDE_FORM_COUNT),
                                 .right_side = random_below(&random, 2) == 0,
                                 .stations = stations,
                                 .station_count = count,
                                 .panel_length_mm = random_between(&random, -10, wild),
                                 .panel_width_mm = random_between(&random, -10, wild),
                                 .flaws = &flaw,
                                 .flaw_count = 1};
        const Made made = make(&entry, round % 2 ? millimetres : inches, *state);
        if (made.made) {
            made_count++;
            assert_true(ring_is_simple(made.hide.outline, NULL));
            assert_true(made.hide.area_mm2 > 0 && made.hide.backbone_mm > 0);
            double sum_mm2 = 0;
            for (int i = 0; i < made.hide.region_count; i++) {
                sum_mm2 += polygon_set_area_mm2(made.hide.regions[i].area);
            }
            CHECK_NEAR(sum_mm2, made.hide.area_mm2, 1e-6 * made.hide.area_mm2);
        }
        arena_rewind(*state, mark);
    }
    print_message("# %d of %d gave a hide\n", made_count, TRIALS);
    assert_true(made_count > TRIALS / 8 && made_count < TRIALS);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(names_are_the_words_of_the_trade),
        TEST_IN_ARENA(all_problems_are_collected),
        TEST_IN_ARENA(too_many_of_anything_is_refused),
        TEST_IN_ARENA(stamp_that_disagrees_is_doubted_in_the_users_unit),
        TEST_IN_ARENA(change_to_a_missing_region_is_doubted),
        TEST_IN_ARENA(any_entry_gives_a_hide_or_a_mistake),
    };
    return cmocka_run_group_tests_name("hide/hide", tests, NULL, NULL);
}
