#include "plane/ring.h"

#include "base/random.h"
#include "support/check.h"

static const Point l_shape[] = {{0, 0}, {40, 0}, {40, 10}, {10, 10}, {10, 30}, {0, 30}};
static const Ring l_ring = {l_shape, 6};

static void area_of_a_concave_ring(void **state)
{
    (void)state;
    CHECK_NEAR(ring_area_mm2(l_ring), 600.0, 0.0);
    CHECK_NEAR(ring_length_mm(l_ring), 140.0, 0.0);
}

static void area_keeps_its_digits_far_from_the_origin(void **state)
{
    const double far_mm = 777777.77; // round numbers would hide the loss
    const Ring moved = ring_moved(l_ring, (Motion){far_mm, -far_mm, 0}, *state);
    CHECK_NEAR(ring_area_mm2(moved), 600.0, 1e-7);
}

static void reversing_flips_the_sign(void **state)
{
    for (uint64_t seed = 1; seed <= 500; seed++) {
        Random random = random_begin(seed, 0, 0);
        Point points[12];
        const int count = 3 + random_below(&random, 10);
        for (int i = 0; i < count; i++) {
            points[i].x = random_between(&random, -2000, 2000);
            points[i].y = random_between(&random, -2000, 2000);
        }
        const Ring ring = {points, count};
        CHECK_NEAR(ring_area_mm2(ring_reversed(ring, *state)), -ring_area_mm2(ring), 1e-6);
        assert_true(ring_area_mm2(ring_counter_clockwise(ring, *state)) >= 0);
    }
}

// Centre of area of the L by its two rectangles: (400 (20, 5) + 200 (5, 20)) / 600.
static void centre_of_area_by_rectangles(void **state)
{
    (void)state;
    const Point centre = ring_centroid(l_ring);
    CHECK_NEAR(centre.x, 15.0, 1e-12);
    CHECK_NEAR(centre.y, 10.0, 1e-12);
}

static void inside_outside_and_distance(void **state)
{
    (void)state;
    assert_true(ring_contains(l_ring, (Point){5, 25}));
    assert_false(ring_contains(l_ring, (Point){25, 25}));
    CHECK_NEAR(ring_distance_mm(l_ring, (Point){25, 25}), 15, 1e-12);
    CHECK_NEAR(ring_distance_mm(l_ring, (Point){5, 5}), 5, 1e-12);
    CHECK_NEAR(ring_distance_mm(l_ring, (Point){43, 14}), 5, 1e-12);
}

static void moving_keeps_area_and_undoing_brings_back(void **state)
{
    for (int i = 0; i < 360; i++) {
        const Motion motion = {100.0 * i, -3.0 * i, i * 0.0174};
        const Ring moved = ring_moved(l_ring, motion, *state);
        CHECK_NEAR(ring_area_mm2(moved), 600, 1e-8);
        const Point back = motion_undo(motion_matrix(motion), moved.points[2]);
        CHECK_NEAR(point_distance(back, l_shape[2]), 0, 1e-9);
    }
}

static void mirroring_keeps_the_sense(void **state)
{
    const Ring mirrored = ring_mirrored_y(l_ring, *state);
    CHECK_NEAR(ring_area_mm2(mirrored), 600, 0);
    CHECK_NEAR(ring_box(mirrored).min.y, -30, 0);
}

static void tidying_drops_what_adds_nothing(void **state)
{
    const Ring refined = ring_refined(l_ring, 1.0, *state);
    assert_int_equal(refined.count, 140);
    const Ring tidied = ring_tidied(refined, 0.001, *state);
    assert_int_equal(tidied.count, 6);
    CHECK_NEAR(ring_area_mm2(tidied), 600, 1e-9);
}

static void crossing_rings_are_not_simple(void **state)
{
    (void)state;
    static const Point bow_tie[] = {{0, 0}, {10, 10}, {10, 0}, {0, 10}};
    static const Point touching[] = {{0, 0}, {10, 0}, {10, 10}, {5, 0}, {0, 10}};
    static const Point spike[] = {{0, 0}, {10, 0}, {20, 0}, {10, 0}, {10, 10}};
    static const Point repeated[] = {{0, 0}, {10, 0}, {10, 0}, {10, 10}};
    Point place = {-1, -1};
    assert_false(ring_is_simple((Ring){bow_tie, 4}, &place));
    CHECK_NEAR(place.x, 5, 1e-12);
    CHECK_NEAR(place.y, 5, 1e-12);
    assert_false(ring_is_simple((Ring){touching, 5}, NULL));
    assert_false(ring_is_simple((Ring){spike, 5}, NULL));
    assert_false(ring_is_simple((Ring){repeated, 4}, NULL));
    assert_false(ring_is_simple((Ring){bow_tie, 2}, NULL));
    assert_true(ring_is_simple(l_ring, NULL));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(area_of_a_concave_ring),
        TEST_IN_ARENA(area_keeps_its_digits_far_from_the_origin),
        TEST_IN_ARENA(reversing_flips_the_sign),
        cmocka_unit_test(centre_of_area_by_rectangles),
        cmocka_unit_test(inside_outside_and_distance),
        TEST_IN_ARENA(moving_keeps_area_and_undoing_brings_back),
        TEST_IN_ARENA(mirroring_keeps_the_sense),
        TEST_IN_ARENA(tidying_drops_what_adds_nothing),
        cmocka_unit_test(crossing_rings_are_not_simple),
    };
    return cmocka_run_group_tests_name("plane/ring", tests, NULL, NULL);
}
