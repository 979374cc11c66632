#include "bench.h"
#include "support/check.h"

static void the_table_is_in_range(void **state)
{
    (void)state;
    const ToleranceTable table = tolerance_defaults();
    for (int kind = 0; kind < FLAW_KIND_COUNT; kind++) {
        assert_in_range(table.flaw[kind], BAND_FACE, NO_BAND);
        assert_true(table.margin_mm[kind] >= 0 && table.margin_mm[kind] <= 20);
    }
    for (int firmness = 1; firmness < FIRMNESS_COUNT; firmness++) {
        // Softer leather is never welcome further in.
        assert_true(table.firmness[firmness] >= table.firmness[firmness - 1]);
    }
    assert_int_equal(table.firmness[FIRM], BAND_FACE);
}

// Common practice, docs/tolerance.md.
static void grave_flaws_stay_off_what_is_sat_on(void **state)
{
    (void)state;
    const ToleranceTable table = tolerance_defaults();
    assert_int_equal(table.flaw[FLAW_HOLE], NO_BAND);
    assert_int_equal(table.flaw[FLAW_BRAND], BAND_TURN);
    assert_int_equal(table.flaw[FLAW_FLAY_CUT], BAND_GRIP);
    assert_int_equal(table.flaw[FLAW_THIN], BAND_GRIP);
    CHECK_NEAR(table.margin_mm[FLAW_HOLE], 10, 0);
    CHECK_NEAR(table.margin_mm[FLAW_OPEN_SCAR], 5, 0);
    CHECK_NEAR(table.margin_mm[FLAW_TICKS], 0, 0);
}

static bool forbids(const Sheet *sheet, int depth, double x, double y)
{
    return polygon_set_contains(sheet->forbidden[depth], (Point){x, y});
}

static void a_thing_is_forbidden_one_band_further_in(void **state)
{
    Hide hide = plain_hide(*state);
    const FlawKind kinds[] = {FLAW_HOLE, FLAW_FLAY_CUT, FLAW_BRAND, FLAW_SCAR, FLAW_TICKS};
    for (int i = 0; i < 5; i++) {
        add_flaw(&hide, kinds[i], box_ring(100 + 100 * i, 0, 10, 10, *state), *state);
    }
    const Cover cover = plain_cover(400, 400, *state);
    const CoverDemand demand = {&cover, "A", "dining", NULL, 3, 0};
    const LayingRules rules = plain_rules();
    LayoutTask task;
    Problems *problems = problems_in(*state);
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    assert_true(
        cutting_task(&(Laying){&demand, 1, &hide, 1, &rules}, *state, scratch, &task, problems));
    const Sheet *sheet = &task.sheets[0];
    for (int depth = 0; depth < LAYOUT_DEPTHS; depth++) {
        for (int i = 0; i < 5; i++) {
            assert_int_equal(forbids(sheet, depth, 105 + 100 * i, 5), depth == i && i < 4);
        }
    }
    // With its margin, and no more than a hair beyond.
    assert_true(forbids(sheet, 0, 90.01, 5));
    assert_false(forbids(sheet, 0, 89.9, 5));
    assert_true(forbids(sheet, 3, 400.1, 5)); // a scar has no margin
    assert_false(forbids(sheet, 3, 399.9, 5));
    // The bellies are soft: for the turn, not for the edge. The rim is for the grip.
    assert_true(forbids(sheet, 2, 1000, 700));
    assert_false(forbids(sheet, 1, 1000, 700));
    assert_false(forbids(sheet, 3, 1000, 700));
    assert_true(forbids(sheet, 1, 1000, 795));
    assert_true(forbids(sheet, 1, 1000, 790.01));
    assert_false(forbids(sheet, 1, 1000, 789.9));
    assert_false(forbids(sheet, 0, 1000, 795));
    arena_destroy(scratch);
}

static void natural_edges_alone_have_a_rim(void **state)
{
    Hide hide = plain_hide(*state);
    const LayingRules rules = plain_rules();
    LayoutTask task;
    Problems *problems = problems_in(*state);
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    hide.form = HIDE_PANEL;
    assert_true(
        cutting_task(&(Laying){NULL, 0, &hide, 1, &rules}, *state, scratch, &task, problems));
    assert_int_equal(task.sheets[0].forbidden[1].count, 0);
    hide.form = HIDE_SIDE;
    hide.outline = box_ring(0, 0, 2000, 800, *state);
    assert_true(
        cutting_task(&(Laying){NULL, 0, &hide, 1, &rules}, *state, scratch, &task, problems));
    assert_true(forbids(&task.sheets[0], 1, 1000, 795));
    assert_true(forbids(&task.sheets[0], 1, 5, 400));
    assert_false(forbids(&task.sheets[0], 1, 1000, 5)); // cut along the backbone
    arena_destroy(scratch);
}

static double cost_at(const CostField *field, double x, double y)
{
    const int column = (int)round((x - field->origin.x) / field->step_mm);
    const int row = (int)round((y - field->origin.y) / field->step_mm);
    return (double)field->cost[row * field->columns + column];
}

static void firm_back_from_the_butt_forward_costs_least(void **state)
{
    const Hide hide = plain_hide(*state);
    const LayingRules rules = plain_rules();
    LayoutTask task;
    Problems *problems = problems_in(*state);
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    assert_true(
        cutting_task(&(Laying){NULL, 0, &hide, 1, &rules}, *state, scratch, &task, problems));
    const CostField *field = &task.sheets[0].field;
    assert_true(cost_at(field, 300, 0) < cost_at(field, 1500, 0));
    assert_true(cost_at(field, 300, 0) < cost_at(field, 300, 400));
    assert_true(cost_at(field, 1900, 400) < cost_at(field, 300, 600)); // belly: worst
    arena_destroy(scratch);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_table_is_in_range),
        cmocka_unit_test(grave_flaws_stay_off_what_is_sat_on),
        TEST_IN_ARENA(a_thing_is_forbidden_one_band_further_in),
        TEST_IN_ARENA(natural_edges_alone_have_a_rim),
        TEST_IN_ARENA(firm_back_from_the_butt_forward_costs_least),
    };
    return cmocka_run_group_tests_name("cutting/tolerance", tests, NULL, NULL);
}
