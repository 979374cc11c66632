// Random hides through the whole way of a layout.
#include "cutting/cutting.h"
#include "hide/population.h"

#include "support/check.h"
#include "support/sample_cover.h"

enum { WANTED = 30 };

static double shared_mm2(PolygonSet area, Ring ring, Arena *keep)
{
    PolygonSet shared;
    assert_true(polygon_overlay(POLYGON_INTERSECTION, area, polygon_set_of_ring(ring, keep), keep,
                                &shared));
    return polygon_set_area_mm2(shared);
}

// By the geometry library: all on the hide, faces on nothing that the table keeps off them.
static void check_cover(const PlacedCover *placed, const Hide *hide, const ToleranceTable *table,
                        Arena *keep)
{
    const double area_mm2 = ring_area_mm2(placed->cut);
    CHECK_NEAR(shared_mm2(polygon_set_of_ring(hide->outline, keep), placed->cut, keep), area_mm2,
               1e-3);
    for (int i = 0; i < hide->flaw_count; i++) {
        if (table->flaw[hide->flaws[i].kind] > BAND_FACE) {
            CHECK_NEAR(shared_mm2(hide->flaws[i].area, placed->within[BAND_FACE], keep), 0, 1e-3);
        }
    }
    for (int i = 0; i < hide->region_count; i++) {
        if (table->firmness[hide->regions[i].firmness] > BAND_FACE) {
            CHECK_NEAR(shared_mm2(hide->regions[i].area, placed->within[BAND_FACE], keep), 0, 1e-3);
        }
    }
}

static void covers_lie_on_drawn_hides(void **state)
{
    const Cover cover = sample_cover(1, *state);
    const CoverDemand demand = {.cover = &cover, .name = "A", .seat = "dining", .count = WANTED};
    const LayingRules rules = {
        .turn_window_rad = 0.17, .either_way = true, .table = tolerance_defaults()};
    for (int trial = 0; trial < 4; trial++) {
        const ArenaMark mark = arena_mark(*state);
        Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
        assert_non_null(scratch);
        const bool side = trial % 2;
        const HideAsk ask = {.form = side ? HIDE_SIDE : HIDE_WHOLE,
                             .area_mm2 = side ? 2.4e6 : 4.8e6};
        const DrawnHide drawn = hide_draw(&hide_grades[trial % HIDE_GRADES], ask,
                                          (HideTrial){5, (uint64_t)trial}, *state, scratch);
        const Laying laying = {.demands = &demand,
                               .demand_count = 1,
                               .hides = &drawn.hide,
                               .hide_count = 1,
                               .rules = &rules};
        Problems *problems = problems_in(*state);
        CutPlan plan;
        assert_true(cutting_lay(&laying, (LayoutOptions){.seed = 1, .work = 0.05}, NULL, *state,
                                scratch, &plan, problems));
        assert_int_equal(problems->mistakes, 0);
        print_message("# %s %s: %d covers\n", hide_grades[trial % HIDE_GRADES].name,
                      hide_form_names[ask.form], plan.cover_count);
        assert_true(plan.cover_count >= (side ? 1 : 3) && plan.cover_count < WANTED);
        for (int i = 0; i < plan.cover_count; i++) {
            check_cover(&plan.covers[i], &drawn.hide, &rules.table, *state);
        }
        arena_destroy(scratch);
        arena_rewind(*state, mark);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(covers_lie_on_drawn_hides),
    };
    return cmocka_run_group_tests_name("cutting/drawn", tests, NULL, NULL);
}
