#include "bench.h"
#include "plane/lattice.h"
#include "support/check.h"

static const double quarter_turn_rad = 1.5707963267948966;

static CutPlan lay(const CoverDemand *demands, int demand_count, const Hide *hides, int hide_count,
                   const LayingRules *rules, Arena *keep)
{
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    Problems *problems = problems_in(keep);
    CutPlan plan = {0};
    const bool good =
        cutting_lay(&(Laying){demands, demand_count, hides, hide_count, rules},
                    (LayoutOptions){.seed = 1, .work = 0.1}, NULL, keep, scratch, &plan, problems);
    arena_destroy(scratch);
    assert_true(good);
    assert_int_equal(problems->mistakes, 0);
    return plan;
}

static double shared_mm2(PolygonSet area, Ring ring, Arena *keep)
{
    PolygonSet shared;
    assert_true(polygon_overlay(POLYGON_INTERSECTION, area, polygon_set_of_ring(ring, keep), keep,
                                &shared));
    return polygon_set_area_mm2(shared);
}

static void covers_keep_their_face_and_edge_off_a_brand(void **state)
{
    Hide hide = plain_hide(*state);
    add_flaw(&hide, FLAW_BRAND, box_ring(250, -60, 120, 120, *state), *state);
    const Cover cover = plain_cover(480, 500, *state);
    const CoverDemand demand = {&cover, "A", "dining", NULL, 6, 0};
    const LayingRules rules = plain_rules();
    const CutPlan plan = lay(&demand, 1, &hide, 1, &rules, *state);
    assert_true(plan.cover_count >= 4);
    for (int i = 0; i < plan.cover_count; i++) {
        const PlacedCover *placed = &plan.covers[i];
        // 10 mm between brand and edge, by the geometry library.
        PolygonSet grown;
        assert_true(polygon_grow(hide.flaws[0].area, 10, POLYGON_ROUND, *state, &grown));
        CHECK_NEAR(shared_mm2(grown, placed->within[BAND_EDGE], *state), 0, 1e-3);
        CHECK_NEAR(shared_mm2(hide.regions[1].area, placed->within[BAND_EDGE], *state), 0, 1e-3);
        assert_true(shared_mm2(polygon_set_of_ring(hide.outline, *state), placed->cut, *state) >
                    ring_area_mm2(placed->cut) - 1e-3);
    }
}

// A hide hardly larger than the cover, so that there is only one way to lie.
static Hide tight_hide(Arena *keep)
{
    Hide hide = plain_hide(keep);
    hide.outline = box_ring(0, -250, 520, 500, keep);
    return hide;
}

static void a_brand_may_lie_in_the_turn_and_is_reported(void **state)
{
    Hide hide = tight_hide(*state);
    const Cover cover = plain_cover(480, 500, *state);
    const CoverDemand demand = {&cover, "A", "dining", NULL, 1, 0};
    const LayingRules rules = plain_rules();
    add_flaw(&hide, FLAW_BRAND, box_ring(0, -20, 40, 40, *state), *state);
    const CutPlan plan = lay(&demand, 1, &hide, 1, &rules, *state);
    assert_int_equal(plan.cover_count, 1);
    const PlacedCover *placed = &plan.covers[0];
    assert_int_equal(placed->touch_count, 1);
    assert_int_equal(placed->touches[0].flaw, 0);
    assert_int_equal(placed->touches[0].region, -1);
    assert_true(placed->touches[0].band >= BAND_TURN);
    CHECK_NEAR(placed->touches[0].area_mm2, shared_mm2(hide.flaws[0].area, placed->cut, *state),
               1e-6);
    // In the middle of the face there is no way round it.
    hide.flaw_count = 0;
    add_flaw(&hide, FLAW_BRAND, box_ring(240, -20, 40, 40, *state), *state);
    const CutPlan none = lay(&demand, 1, &hide, 1, &rules, *state);
    assert_int_equal(none.cover_count, 0);
    assert_int_equal(none.unplaced_count, 1);
    assert_string_equal(none.unplaced[0].reason,
                        "would fit the bare hide, but flaws and soft leather leave no place for "
                        "its face");
}

static void soft_leather_takes_turn_and_grip_only(void **state)
{
    Hide hide = tight_hide(*state);
    const Cover cover = plain_cover(480, 500, *state);
    const CoverDemand demand = {&cover, "A", "dining", NULL, 1, 0};
    const LayingRules rules = plain_rules();
    // The belly begins 55 mm from the hide's left edge: turn and grip have 60.
    hide.regions[1].area = polygon_set_of_ring(box_ring(0, 195, 520, 55, *state), *state);
    const CutPlan plan = lay(&demand, 1, &hide, 1, &rules, *state);
    assert_int_equal(plan.cover_count, 1);
    assert_int_equal(plan.covers[0].touches[0].region, 1);
    assert_int_equal(plan.covers[0].touches[0].band, BAND_TURN);
    hide.regions[1].area = polygon_set_of_ring(box_ring(0, 120, 520, 130, *state), *state);
    assert_int_equal(lay(&demand, 1, &hide, 1, &rules, *state).cover_count, 0);
    hide.regions[1].firmness = MIDDLING;
    const CutPlan middling = lay(&demand, 1, &hide, 1, &rules, *state);
    assert_int_equal(middling.cover_count, 1);
    assert_int_equal(middling.covers[0].touches[0].band, BAND_FACE); // told, all the same
}

static void covers_lie_front_to_butt_within_their_window(void **state)
{
    const Hide hide = plain_hide(*state);
    const Cover cover = plain_cover(460, 520, *state);
    const CoverDemand demand = {&cover, "A", "dining", NULL, 6, 0};
    LayingRules rules = plain_rules();
    const CutPlan plan = lay(&demand, 1, &hide, 1, &rules, *state);
    assert_true(plan.cover_count > 3);
    for (int i = 0; i < plan.cover_count; i++) {
        const PlacedCover *placed = &plan.covers[i];
        CHECK_NEAR(placed->motion.turn_rad, -quarter_turn_rad, rules.turn_window_rad + 1e-9);
        CHECK_NEAR(placed->off_firm_rad, fabs(placed->motion.turn_rad + quarter_turn_rad), 1e-9);
        // The seat's back, +y, looks to the neck, +x.
        const MotionMatrix matrix = motion_matrix(placed->motion);
        const Point front = motion_apply(matrix, (Point){0, 0});
        const Point back = motion_apply(matrix, (Point){0, 520});
        assert_true(back.x > front.x + 500);
    }
    rules.either_way = true;
    rules.turn_window_rad = 0;
    const CutPlan both = lay(&demand, 1, &hide, 1, &rules, *state);
    for (int i = 0; i < both.cover_count; i++) {
        CHECK_NEAR(fabs(both.covers[i].motion.turn_rad), quarter_turn_rad, 1e-9);
    }
}

static void covers_are_listed_butt_first_and_numbered(void **state)
{
    const Hide hides[] = {plain_hide(*state), plain_hide(*state)};
    const Cover cover = plain_cover(460, 520, *state);
    const Cover stool = plain_cover(300, 300, *state);
    const CoverDemand demands[] = {{&cover, "A", "dining", NULL, 8, 0},
                                   {&stool, "B", "stool", "1", 3, 0}};
    const LayingRules rules = plain_rules();
    const CutPlan plan = lay(demands, 2, hides, 2, &rules, *state);
    assert_int_equal(plan.cover_count, 11);
    int copies[2] = {0, 0};
    double used_mm2[2] = {0, 0};
    for (int i = 0; i < plan.cover_count; i++) {
        const PlacedCover *placed = &plan.covers[i];
        assert_int_equal(placed->copy, copies[placed->demand]++);
        used_mm2[placed->hide] += ring_area_mm2(placed->cut);
        if (i > 0 && placed[-1].hide == placed->hide) {
            const Point before = ring_centroid(placed[-1].cut);
            const Point here = ring_centroid(placed->cut);
            // The next row, or further to the right in the same one.
            assert_true(here.x > before.x - 260 && (here.x > before.x || here.y < before.y));
        }
        assert_true(i == 0 || placed[-1].hide <= placed->hide);
    }
    CHECK_NEAR(plan.used_mm2[0], used_mm2[0], 1e-6);
    CHECK_NEAR(plan.used_mm2[1], used_mm2[1], 1e-6);
}

// Three of these hides have room for 21 covers; the fourth stays whole, and it is the
// dearest one when they have prices.
static void a_hide_that_is_not_needed_is_left_whole(void **state)
{
    Hide hides[4];
    for (int i = 0; i < 4; i++) {
        hides[i] = plain_hide(*state);
        hides[i].regions[1].firmness = FIRM;
    }
    const Cover cover = plain_cover(480, 500, *state);
    const CoverDemand demand = {&cover, "A", "dining", NULL, 21, 0};
    const LayingRules rules = plain_rules();
    CutPlan plan = lay(&demand, 1, hides, 4, &rules, *state);
    assert_int_equal(plan.cover_count, 21);
    int whole = 0;
    for (int i = 0; i < 4; i++) {
        whole += hide_is_left_whole(&plan, i);
        assert_true(hide_is_left_whole(&plan, i) == (plan.used_mm2[i] == 0));
    }
    assert_int_equal(whole, 1);
    for (int i = 0; i < 4; i++) {
        hides[i].price = i == 1 ? 410 : 390;
    }
    plan = lay(&demand, 1, hides, 4, &rules, *state);
    assert_int_equal(plan.cover_count, 21);
    assert_true(hide_is_left_whole(&plan, 1));
}

// A side is half a hide: what fits on it does not begin a whole one.
static void a_side_is_cut_before_a_whole_hide(void **state)
{
    Hide hides[2] = {plain_hide(*state), plain_hide(*state)};
    hides[1].form = HIDE_SIDE;
    hides[1].outline = box_ring(0, 0, 2000, 800, *state);
    hides[1].area_mm2 = 1.6e6;
    const Cover cover = plain_cover(480, 500, *state);
    const CoverDemand demand = {&cover, "A", "dining", NULL, 2, 0};
    const LayingRules rules = plain_rules();
    const CutPlan plan = lay(&demand, 1, hides, 2, &rules, *state);
    assert_int_equal(plan.cover_count, 2);
    assert_true(hide_is_left_whole(&plan, 0));
}

static void rows_are_cut_from_left_to_right(void **state)
{
    const Hide hide = plain_hide(*state);
    const Cover large = plain_cover(460, 520, *state);
    const Cover small = plain_cover(400, 380, *state);
    const CoverDemand demands[] = {{&large, "A", "dining", NULL, 4, 0},
                                   {&small, "B", "stool", NULL, 4, 0}};
    const LayingRules rules = plain_rules();
    const CutPlan plan = lay(demands, 2, &hide, 1, &rules, *state);
    int rows = 0;
    Point first = {0, 0}; // of the row
    for (int i = 0; i < plan.cover_count; i++) {
        const Point here = ring_centroid(plan.covers[i].cut);
        const Box box = ring_box(plan.covers[i].cut);
        const bool new_row = i == 0 || here.y >= ring_centroid(plan.covers[i - 1].cut).y;
        if (new_row) {
            assert_true(i == 0 || here.x > first.x);
            first = here;
            rows++;
        }
        // Of one row are covers whose middles the nearest one's half depth reaches.
        assert_true(fabs(here.x - first.x) <= (box.max.x - box.min.x) / 2 + 70);
    }
    assert_true(rows < plan.cover_count);
}

static void who_stands_beside_whom_becomes_partners(void **state)
{
    const Hide hide = plain_hide(*state);
    const Cover cover = plain_cover(460, 520, *state);
    const CoverDemand demands[] = {
        {&cover, "A", "side", NULL, 3, 0}, {&cover, "B", "side", "1", 1, 7},
        {&cover, "C", "arm", NULL, 2, 0},  {&cover, "D", "side", "2", 1, 0},
        {&cover, "E", "arm", "3", 1, 7},   {&cover, "F", "arm", "4", 1, 7}};
    const LayingRules rules = plain_rules();
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    LayoutTask task;
    assert_true(cutting_task(&(Laying){demands, 6, &hide, 1, &rules}, *state, scratch, &task,
                             problems_in(*state)));
    const int wanted[] = {1, 2, 3, 1, 2, 2};
    for (int i = 0; i < 6; i++) {
        assert_int_equal(task.pieces[i].partners, wanted[i]);
    }
    assert_string_equal(beside_text(demands, 6, 0, *state), "");
    assert_string_equal(beside_text(demands, 6, 4, *state), "B, F");
    arena_destroy(scratch);
}

static void rings_stand_on_the_lattice(void **state)
{
    const Hide hide = plain_hide(*state);
    const Cover cover = plain_cover(461.234567, 519.87654, *state);
    const CoverDemand demand = {&cover, "A", "dining", NULL, 2, 0};
    const LayingRules rules = plain_rules();
    const CutPlan plan = lay(&demand, 1, &hide, 1, &rules, *state);
    for (int i = 0; i < plan.cover_count; i++) {
        const Ring rings[] = {plan.covers[i].cut, plan.covers[i].within[BAND_FACE],
                              plan.covers[i].tack_line};
        for (int k = 0; k < 3; k++) {
            assert_int_equal(rings[k].count, 4);
            for (int j = 0; j < 4; j++) {
                const double steps = rings[k].points[j].x * LATTICE_PER_MM;
                CHECK_NEAR(steps, round(steps), 1e-6);
            }
        }
        const Point moved = motion_apply(motion_matrix(plan.covers[i].motion), cover.cut.points[0]);
        CHECK_NEAR(point_distance(moved, plan.covers[i].cut.points[0]), 0, 0.0072);
    }
}

static void reasons_are_in_words_of_the_trade(void **state)
{
    const Hide hide = tight_hide(*state);
    const Cover cover = plain_cover(480, 500, *state);
    const Cover large = plain_cover(900, 500, *state);
    const CoverDemand demands[] = {{&cover, "A", "dining", NULL, 2, 0},
                                   {&large, "B", "bench", NULL, 1, 0}};
    const LayingRules rules = plain_rules();
    const CutPlan plan = lay(demands, 2, &hide, 1, &rules, *state);
    assert_int_equal(plan.cover_count, 1);
    assert_int_equal(plan.unplaced_count, 2);
    assert_int_equal(plan.unplaced[0].count, 1);
    assert_string_equal(plan.unplaced[0].reason,
                        "no room left beside the others; it would fit an empty hide");
    assert_string_equal(plan.unplaced[1].reason,
                        "is larger than the hide allows in its turn window");
    const CutPlan none = lay(demands, 1, NULL, 0, &rules, *state);
    assert_string_equal(none.unplaced[0].reason, "there is no hide to cut it from");
}

static void nonsense_is_refused_with_its_place(void **state)
{
    const Hide hide = plain_hide(*state);
    const Cover cover = plain_cover(480, 500, *state);
    const Cover empty = {.turn_symmetry = 1};
    const CoverDemand demands[] = {{&cover, "A", "dining", NULL, 0, 0},
                                   {&empty, "B", "bench", NULL, 1, 0}};
    LayingRules rules = plain_rules();
    rules.turn_window_rad = 2;
    rules.table.flaw[FLAW_BRAND] = 5;
    Problems *problems = problems_in(*state);
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    CutPlan plan = {.cover_count = 77};
    assert_false(cutting_lay(&(Laying){demands, 2, &hide, 1, &rules}, (LayoutOptions){0}, NULL,
                             *state, scratch, &plan, problems));
    assert_int_equal(plan.cover_count, 77);
    assert_int_equal(problems->mistakes, 4);
    assert_string_equal(problems->items[0].where, "laying.turn_window");
    assert_string_equal(problems->items[1].where, "laying.tolerance.flaws.brand");
    assert_string_equal(problems->items[2].where, "covers[0].count");
    assert_string_equal(problems->items[3].where, "covers[1]");
    arena_destroy(scratch);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(covers_keep_their_face_and_edge_off_a_brand),
        TEST_IN_ARENA(a_brand_may_lie_in_the_turn_and_is_reported),
        TEST_IN_ARENA(soft_leather_takes_turn_and_grip_only),
        TEST_IN_ARENA(covers_lie_front_to_butt_within_their_window),
        TEST_IN_ARENA(covers_are_listed_butt_first_and_numbered),
        TEST_IN_ARENA(a_hide_that_is_not_needed_is_left_whole),
        TEST_IN_ARENA(a_side_is_cut_before_a_whole_hide),
        TEST_IN_ARENA(rows_are_cut_from_left_to_right),
        TEST_IN_ARENA(who_stands_beside_whom_becomes_partners),
        TEST_IN_ARENA(rings_stand_on_the_lattice),
        TEST_IN_ARENA(reasons_are_in_words_of_the_trade),
        TEST_IN_ARENA(nonsense_is_refused_with_its_place),
    };
    return cmocka_run_group_tests_name("cutting/lay", tests, NULL, NULL);
}
