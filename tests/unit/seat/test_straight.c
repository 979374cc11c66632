#include "seat/cover.h"

#include "base/random.h"
#include "plane/curve.h"
#include "support/check.h"

#include "seats.h"

static Ring cuts_round(Ring ring, double waste, Arena *arena)
{
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    const Ring cuts = cover_straight_cuts(ring, waste, arena, scratch);
    assert_int_equal(arena_used_bytes(scratch), 0);
    arena_destroy(scratch);
    return cuts;
}

static void check_contains(Ring cuts, Ring ring)
{
    for (int i = 0; i < cuts.count; i++) {
        const Point from = ring_point(cuts, i);
        const Point along = point_minus(ring_point(cuts, i + 1), from);
        for (int k = 0; k < ring.count; k++) {
            assert_true(point_cross(along, point_minus(ring.points[k], from)) >= 0);
        }
    }
}

static void a_rectangle_takes_four_cuts(void **state)
{
    static const Point points[] = {{-200, 0}, {0, 0}, {200, 0}, {200, 300}, {-200, 300}};
    const Ring ring = {points, 5};
    const Ring cuts = cuts_round(ring, 0.03, *state);
    assert_int_equal(cuts.count, 4);
    CHECK_NEAR(ring_area_mm2(cuts), 400 * 300, 1e-5);
    check_contains(cuts, ring);
}

// A regular polygon of n sides round a circle has n / pi tan(pi / n) times its area: at
// 3 % more that is 11 sides (n = 10: 3.4 %).
static void a_circle_becomes_few_cuts(void **state)
{
    const Ring circle = curve_ellipse((Point){0, 0}, 330, 330, 0.005, *state);
    assert_true(circle.count > 400);
    const Ring cuts = cuts_round(circle, 0.03, *state);
    assert_in_range(cuts.count, 8, 14);
    assert_true(ring_area_mm2(cuts) <= 1.03 * ring_area_mm2(circle));
    check_contains(cuts, circle);
    const Point aside = {47, 11}; // not its own image about x = 0
    const Ring moved = ring_moved(circle, (Motion){aside.x, aside.y, 0.1}, *state);
    assert_in_range(cuts_round(moved, 0.03, *state).count, 8, 14);
}

static void at_least_three_cuts_stay(void **state)
{
    static const Point points[] = {{3, 0}, {200, 10}, {100, 150}, {90, 140}};
    const Ring cuts = cuts_round((Ring){points, 4}, 5, *state);
    assert_int_equal(cuts.count, 3);
    check_contains(cuts, (Ring){points, 4});
}

static void no_waste_is_the_hull(void **state)
{
    static const Point points[] = {{3, 0}, {200, 10}, {100, 50}, {180, 150}, {40, 140}};
    const Ring cuts = cuts_round((Ring){points, 5}, 0, *state);
    assert_int_equal(cuts.count, 4);
    CHECK_NEAR(ring_area_mm2(cuts), ring_area_mm2(ring_convex_hull(points, 5, *state)), 1e-5);
}

static void a_side_chair_has_a_square_front_and_even_sides(void **state)
{
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    Problems *problems = problems_in(*state);
    const Frame frame = side_chair_rounded();
    const BuildUp build_up = full_pad();
    const Fixing fixing = usual_fixing();
    const LeatherSheet leather = usual_leather();
    Ring outline;
    Cover cover;
    assert_true(frame_outline(&frame, "f", *state, scratch, &outline, problems));
    assert_true(cover_make(outline, &(CoverRecipe){&build_up, &fixing, &leather, CUT_STRAIGHT}, "s",
                           *state, scratch, &cover, problems));
    arena_destroy(scratch);
    assert_in_range(cover.cut.count, 4, 6);
    assert_true(cover.mirror);
    int square = 0;
    for (int i = 0; i < cover.cut.count; i++) {
        const double rise_mm = ring_point(cover.cut, i + 1).y - ring_point(cover.cut, i).y;
        square += fabs(rise_mm) < 1e-6;
    }
    assert_int_equal(square, 2);
    check_contains(cover.cut, cover.within[BAND_GRIP]);
}

static void random_outlines_are_contained_within_their_waste(void **state)
{
    for (uint64_t trial = 0; trial < 2000; trial++) {
        const ArenaMark mark = arena_mark(*state);
        Random random = random_begin(30, trial, 0);
        Point points[60];
        const int count = 4 + random_below(&random, 56);
        for (int i = 0; i < count; i++) {
            points[i] =
                (Point){random_between(&random, -300, 300), random_between(&random, -300, 300)};
        }
        const double waste = random_between(&random, 0, 0.2);
        const Ring ring = {points, count};
        const Ring cuts = cuts_round(ring, waste, *state);
        const double hull_mm2 = ring_area_mm2(ring_convex_hull(points, count, *state));
        assert_true(cuts.count >= 3);
        assert_true(ring_area_mm2(cuts) <= (1 + waste) * hull_mm2 + 1e-4);
        check_contains(cuts, ring);
        arena_rewind(*state, mark);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(a_rectangle_takes_four_cuts),
        TEST_IN_ARENA(a_circle_becomes_few_cuts),
        TEST_IN_ARENA(at_least_three_cuts_stay),
        TEST_IN_ARENA(no_waste_is_the_hull),
        TEST_IN_ARENA(a_side_chair_has_a_square_front_and_even_sides),
        TEST_IN_ARENA(random_outlines_are_contained_within_their_waste),
    };
    return cmocka_run_group_tests_name("seat/straight", tests, NULL, NULL);
}
