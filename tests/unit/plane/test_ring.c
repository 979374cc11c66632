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

// The same, point by point each time: slow, and beyond doubt.
static bool all_near(Ring ring, int from, int to, double tolerance_mm)
{
    const Point a = ring_point(ring, from);
    const Point b = ring_point(ring, to);
    for (int i = from + 1; i < to; i++) {
        const Point p = ring_point(ring, i);
        if (point_distance(p, point_on_segment(p, a, b)) > tolerance_mm) {
            return false;
        }
    }
    return true;
}

static Ring tidied_slowly(Ring ring, int start, double tolerance_mm, Arena *keep)
{
    Point *points = ARENA_ARRAY(keep, Point, ring.count);
    int count = 0;
    int last = start;
    points[count++] = ring_point(ring, start);
    for (int next = start + 1; next < start + ring.count; next++) {
        const Point p = ring_point(ring, next);
        if (point_distance(p, ring_point(ring, last)) > tolerance_mm &&
            !all_near(ring, last, next + 1, tolerance_mm)) {
            points[count++] = p;
            last = next;
        }
    }
    return (Ring){points, count};
}

// Walks that go straight on, back, round, or shake by about the tolerance, some far from the
// origin, some on a coarse grid, where distances are often exactly the tolerance.
static Ring random_walk(Random *random, double tolerance_mm, Arena *keep)
{
    const int count = 3 + random_below(random, 120);
    const double far_mm = random_below(random, 4) ? 0 : 1.9e6;
    const double shake = (double)random_below(random, 4) * tolerance_mm;
    const bool grid = random_below(random, 3) == 0;
    Point *points = ARENA_ARRAY(keep, Point, count);
    Point at = {far_mm, -far_mm};
    Point step = {1, 0};
    for (int i = 0; i < count; i++) {
        const double turn_rad = random_below(random, 9) ? 0 : random_between(random, -4, 4);
        const double size = random_below(random, 20) ? 1 : random_between(random, 0, 3);
        step = (Point){size * (step.x * cos(turn_rad) - step.y * sin(turn_rad)),
                       size * (step.x * sin(turn_rad) + step.y * cos(turn_rad))};
        at = point_plus(at, step);
        points[i] = (Point){at.x + random_between(random, -shake, shake),
                            at.y + random_between(random, -shake, shake)};
        if (grid) {
            const double unit_mm = fmax(tolerance_mm, 0.25);
            points[i] = (Point){round(points[i].x / unit_mm) * unit_mm,
                                round(points[i].y / unit_mm) * unit_mm};
        }
    }
    return (Ring){points, count};
}

static void tidying_keeps_what_measuring_every_time_keeps(void **state)
{
    static const double tolerances_mm[] = {0, 1e-9, 0.001, 0.05, 0.25, 1, 3};
    int kept = 0;
    int dropped = 0;
    for (uint64_t trial = 0; trial < 20000; trial++) {
        const ArenaMark mark = arena_mark(*state);
        Random random = random_begin(58, trial, 0);
        const double tolerance_mm = tolerances_mm[random_below(&random, 7)];
        const Ring ring = random_walk(&random, tolerance_mm, *state);
        const Ring tidy = ring_tidied(ring, tolerance_mm, *state);
        int start = 0;
        while (ring.points[start].x != tidy.points[0].x ||
               ring.points[start].y != tidy.points[0].y) {
            start++;
        }
        const Ring slow = tidied_slowly(ring, start, tolerance_mm, *state);
        assert_int_equal(tidy.count, slow.count);
        assert_memory_equal(tidy.points, slow.points, (size_t)slow.count * sizeof *slow.points);
        kept += tidy.count;
        dropped += ring.count - tidy.count;
        arena_rewind(*state, mark);
    }
    assert_true(kept > 100000 && dropped > 100000);
}

// Each edge once with points between its ends, once with points that shake: measuring every time
// would take minutes.
static void long_straight_edges_are_tidied(void **state)
{
    enum { ALONG = 100000 };
    Point *points = ARENA_ARRAY(*state, Point, ALONG + 2);
    for (int shaken = 0; shaken < 2; shaken++) {
        Random random = random_begin(59, 0, 0);
        for (int i = 0; i < ALONG; i++) {
            const double off_mm = shaken * random_between(&random, -0.02, 0.02);
            points[i] = (Point){0.01 * i + off_mm, 0.003 * i + off_mm};
        }
        points[ALONG] = (Point){0, 5000};
        points[ALONG + 1] = (Point){-1, 4000};
        const Ring tidied = ring_tidied((Ring){points, ALONG + 2}, 0.1, *state);
        assert_int_equal(tidied.count, 4);
    }
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
        TEST_IN_ARENA(tidying_keeps_what_measuring_every_time_keeps),
        TEST_IN_ARENA(long_straight_edges_are_tidied),
        cmocka_unit_test(crossing_rings_are_not_simple),
    };
    return cmocka_run_group_tests_name("plane/ring", tests, NULL, NULL);
}
