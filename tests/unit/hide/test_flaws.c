#include "base/units.h"
#include "hide/hide.h"

#include "support/check.h"

static const Units millimetres = {LENGTH_MM, AREA_M2, LEATHER_MM};

typedef struct Made {
    bool made;
    Hide hide;
    Problems *problems;
} Made;

// A panel of 1000 x 800 mm with one flaw.
static Made with_flaw(FlawEntry flaw, Arena *arena)
{
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    assert_non_null(scratch);
    const HideEntry entry = {.form = HIDE_PANEL,
                             .panel_length_mm = 1000,
                             .panel_width_mm = 800,
                             .flaws = &flaw,
                             .flaw_count = 1};
    Made made = {.problems = problems_in(arena)};
    made.made =
        hide_make(&entry, "hides[0]", millimetres, arena, scratch, &made.hide, made.problems);
    assert_int_equal(arena_used_bytes(scratch), 0);
    arena_destroy(scratch);
    return made;
}

// Closed form, pi r2; the polygon covers the whole disc and is less than 0.4 % larger.
static void spot_covers_its_disc(void **state)
{
    const Point at = {300, -100};
    const Made made =
        with_flaw((FlawEntry){FLAW_BRAND, FLAW_SPOT, "old brand", &at, 1, 40}, *state);
    assert_true(made.made);
    const Flaw *flaw = &made.hide.flaws[0];
    const double disc = PI * 40 * 40;
    const double area = polygon_set_area_mm2(flaw->area);
    assert_true(area >= disc && area < 1.004 * disc);
    for (int i = 0; i < 360; i++) {
        const double angle = i * RAD_PER_DEG;
        const Point rim = {at.x + 39.999 * cos(angle), at.y + 39.999 * sin(angle)};
        assert_true(polygon_set_contains(flaw->area, rim));
    }
    CHECK_NEAR(flaw->middle.x, 300, 0);
    assert_string_equal(flaw->name, "old brand");
    assert_int_equal(flaw->kind, FLAW_BRAND);
}

// Closed form: length times width and a disc for both ends.
static void line_covers_its_width(void **state)
{
    const Point line[] = {{100, 0}, {100, 0}, {400, 0}, {400, 200}};
    const Made made = with_flaw((FlawEntry){FLAW_SCAR, FLAW_LINE, NULL, line, 4, 10}, *state);
    assert_true(made.made);
    const Flaw *flaw = &made.hide.flaws[0];
    // At the outer side of the corner a quarter disc is added, at the inner one a square lost.
    const double wanted = 500 * 10 + PI * 25 + PI * 25 / 4 - 25;
    const double area = polygon_set_area_mm2(flaw->area);
    assert_true(area >= wanted && area < 1.005 * wanted);
    assert_true(polygon_set_contains(flaw->area, (Point){200, 5}));
    assert_true(polygon_set_contains(flaw->area, (Point){95.001, 0}));
    CHECK_NEAR(flaw->middle.x, 350, 1e-9); // half way along
    CHECK_NEAR(flaw->middle.y, 0, 1e-9);
    assert_null(flaw->name);
}

static void area_is_kept_as_drawn(void **state)
{
    // Clockwise, and half of it off the panel.
    const Point area[] = {{900, 0}, {900, 50}, {1100, 50}, {1100, 0}};
    const Made made = with_flaw((FlawEntry){FLAW_TICKS, FLAW_AREA, NULL, area, 4, 0}, *state);
    assert_true(made.made);
    assert_int_equal(made.problems->count, 0);
    CHECK_NEAR(ring_area_mm2(made.hide.flaws[0].area.items[0].outer), 10000, 1e-9);
    CHECK_NEAR(made.hide.flaws[0].middle.x, 1000, 1e-9);
}

static void flaw_off_the_hide_is_doubted(void **state)
{
    const Point at = {300, 500};
    const Made made = with_flaw((FlawEntry){FLAW_HOLE, FLAW_SPOT, NULL, &at, 1, 50}, *state);
    assert_true(made.made);
    assert_int_equal(made.hide.flaw_count, 1);
    assert_int_equal(made.problems->doubts, 1);
    assert_string_equal(made.problems->items[0].where, "hides[0].flaws[0]");
    assert_string_equal(made.problems->items[0].found,
                        "the hole 300 mm up, 500 mm to the left lies wholly off the hide");
    // One that lies all around the hide is not off it.
    const Point around[] = {{-100, -900}, {2000, -900}, {2000, 900}, {-100, 900}};
    const Made all = with_flaw((FlawEntry){FLAW_STAIN, FLAW_AREA, NULL, around, 4, 0}, *state);
    assert_int_equal(all.problems->count, 0);
}

static void check_refused(FlawEntry flaw, const char *where, const char *found, Arena *arena)
{
    const Made made = with_flaw(flaw, arena);
    assert_false(made.made);
    assert_int_equal(made.problems->mistakes, 1);
    assert_string_equal(made.problems->items[0].where, where);
    assert_string_equal(made.problems->items[0].found, found);
}

static void impossible_flaws_are_refused(void **state)
{
    const Point bow[] = {{100, 0}, {300, 200}, {300, 0}, {100, 200}};
    check_refused((FlawEntry){FLAW_STAIN, FLAW_AREA, NULL, bow, 4, 0}, "hides[0].flaws[0].area",
                  "crosses or touches itself 200 mm up, 100 mm to the left", *state);
    const Point flat[] = {{100, 0}, {200, 0}, {300, 0}};
    check_refused((FlawEntry){FLAW_STAIN, FLAW_AREA, NULL, flat, 3, 0}, "hides[0].flaws[0].area",
                  "encloses no area", *state);
    check_refused((FlawEntry){FLAW_STAIN, FLAW_AREA, NULL, flat, 2, 0}, "hides[0].flaws[0].area",
                  "2 places", *state);
    const Point same[] = {{100, 0}, {100, 0}};
    check_refused((FlawEntry){FLAW_SCAR, FLAW_LINE, NULL, same, 2, 10}, "hides[0].flaws[0].line",
                  "all its places are the same", *state);
    check_refused((FlawEntry){FLAW_SCAR, FLAW_LINE, NULL, bow, 4, 0}, "hides[0].flaws[0].width",
                  "0 mm", *state);
    check_refused((FlawEntry){FLAW_HOLE, FLAW_SPOT, NULL, bow, 1, -3}, "hides[0].flaws[0].radius",
                  "-3 mm", *state);
    const Point far = {1e9, 0};
    check_refused((FlawEntry){FLAW_HOLE, FLAW_SPOT, NULL, &far, 1, 3}, "hides[0].flaws[0].at[0]",
                  "lies beyond all hides", *state);
    const Point lost = {nan(""), 0};
    check_refused((FlawEntry){FLAW_HOLE, FLAW_SPOT, NULL, &lost, 1, 3}, "hides[0].flaws[0].at[0]",
                  "lies beyond all hides", *state);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(spot_covers_its_disc),         TEST_IN_ARENA(line_covers_its_width),
        TEST_IN_ARENA(area_is_kept_as_drawn),        TEST_IN_ARENA(flaw_off_the_hide_is_doubted),
        TEST_IN_ARENA(impossible_flaws_are_refused),
    };
    return cmocka_run_group_tests_name("hide/flaws", tests, NULL, NULL);
}
