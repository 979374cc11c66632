#include "plane/stroke.h"

#include "base/random.h"
#include "support/check.h"

static Arena *arenas[2]; // keep, scratch

static int begin(void **state)
{
    (void)state;
    arenas[0] = arena_create("keep", TEST_ARENA_BYTES);
    arenas[1] = arena_create("scratch", TEST_ARENA_BYTES);
    return arenas[0] && arenas[1] ? 0 : -1;
}

static int end(void **state)
{
    (void)state;
    arena_destroy(arenas[0]);
    arena_destroy(arenas[1]);
    return 0;
}

static double distance_to_line(Point p, const Point *line, int count)
{
    double least = 1e9;
    for (int i = 1; i < count; i++) {
        least = fmin(least, point_distance(p, point_on_segment(p, line[i - 1], line[i])));
    }
    return least;
}

static void no_old_point_is_further_away_than_asked_for(void **state)
{
    (void)state;
    Random random = random_begin(11, 0, 0);
    for (int trial = 0; trial < TRIALS_OF(200); trial++) {
        Point points[120];
        Point out[120];
        Point at = {0, 0};
        for (int i = 0; i < 120; i++) {
            points[i] = at;
            at.x += random_between(&random, -2, 10);
            at.y += random_between(&random, -8, 8);
        }
        const double within_mm = random_between(&random, 0.5, 20);
        const int count = stroke_simplify(points, 120, within_mm, out, arenas[1]);
        assert_true(count >= 2 && count <= 120);
        assert_memory_equal(&out[0], &points[0], sizeof *out);
        assert_memory_equal(&out[count - 1], &points[119], sizeof *out);
        for (int i = 0; i < 120; i++) {
            assert_true(distance_to_line(points[i], out, count) <= within_mm + 1e-9);
        }
    }
}

static void what_lies_on_a_straight_line_goes(void **state)
{
    (void)state;
    const Point points[] = {{0, 0}, {10, 0.2}, {20, -0.2}, {30, 0}, {30, 40}};
    Point out[5];
    assert_int_equal(stroke_simplify(points, 5, 1, out, arenas[1]), 3);
    assert_int_equal(stroke_simplify(points, 5, 0.1, out, arenas[1]), 5);
}

// A square with sides of 100 mm, drawn from its lower left corner and beyond it by `beyond`.
static int square(Point *points, double beyond)
{
    int count = 0;
    points[count++] = (Point){0, -beyond};
    for (int i = 0; i <= 10; i++) {
        points[count++] = (Point){0, 10.0 * i};
    }
    for (int i = 1; i <= 10; i++) {
        points[count++] = (Point){10.0 * i, 100};
    }
    for (int i = 9; i >= 0; i--) {
        points[count++] = (Point){100, 10.0 * i};
    }
    for (int i = 9; i >= 0; i--) {
        points[count++] = (Point){10.0 * i, 0};
    }
    points[count++] = (Point){-beyond, 0};
    return count;
}

static void tails_beyond_the_crossing_are_left_away(void **state)
{
    (void)state;
    Point points[64];
    const int count = square(points, 25);
    const Ring ring = stroke_close(points, count, 1, arenas[0], arenas[1]);
    assert_int_equal(ring.count, 4);
    CHECK_NEAR(fabs(ring_area_mm2(ring)), 100 * 100, 1e-9);
    assert_true(ring_is_simple(ring, NULL));
}

// Up to a fifth of the whole, in as many points as the hand made; what is longer is no tail.
static void a_tail_is_at_most_a_fifth(void **state)
{
    (void)state;
    const double tails_mm[] = {90, 200}; // beside the 400 mm of the square, at either end
    for (int t = 0; t < 2; t++) {
        Point points[80];
        int count = 0;
        for (int i = 9; i > 0; i--) {
            points[count++] = (Point){0, -tails_mm[t] * i / 9};
        }
        count += square(points + count, 0) - 1; // its last point is its first
        for (int i = 1; i <= 9; i++) {
            points[count++] = (Point){-tails_mm[t] * i / 9, 0};
        }
        const Ring ring = stroke_close(points, count, 1, arenas[0], arenas[1]);
        assert_int_equal(ring.count == 4, t == 0);
        if (t == 0) {
            CHECK_NEAR(fabs(ring_area_mm2(ring)), 100 * 100, 1e-9);
        }
    }
}

static void a_line_that_does_not_quite_meet_is_joined(void **state)
{
    (void)state;
    Point points[64];
    int count = square(points, 0);
    count -= 2; // ends 10 mm before its beginning
    const Ring ring = stroke_close(points, count, 1, arenas[0], arenas[1]);
    CHECK_NEAR(fabs(ring_area_mm2(ring)), 100 * 100, 100 * 10);
    assert_true(ring_is_simple(ring, NULL));
}

static void a_line_without_area_is_no_ring(void **state)
{
    (void)state;
    const Point same[] = {{5, 5}, {5, 5}, {5, 5}};
    assert_true(stroke_close(same, 3, 1, arenas[0], arenas[1]).count < 3);
    const Point there_and_back[] = {{0, 0}, {50, 0}, {100, 0}, {50, 0}};
    assert_true(stroke_close(there_and_back, 4, 1, arenas[0], arenas[1]).count < 3);
}

// Douglas and Peucker's bound holds for rings as well, and so does the area within it.
static void a_ring_stays_within_reach_of_what_was_drawn(void **state)
{
    (void)state;
    Random random = random_begin(12, 0, 0);
    for (int trial = 0; trial < TRIALS_OF(100); trial++) {
        Point points[300];
        const double radius_mm = random_between(&random, 50, 900);
        for (int i = 0; i < 300; i++) {
            const double turn = 2 * 3.14159265358979 * i / 300;
            const double out_mm = radius_mm + random_between(&random, -1, 1);
            points[i] = (Point){out_mm * cos(turn), out_mm * sin(turn)};
        }
        const Ring ring = stroke_close(points, 300, 4, arenas[0], arenas[1]);
        assert_true(ring.count >= 3 && ring.count < 150);
        for (int i = 0; i < 300; i++) {
            assert_true(ring_distance_mm(ring, points[i]) <= 4 + 1e-9);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(no_old_point_is_further_away_than_asked_for),
        cmocka_unit_test(what_lies_on_a_straight_line_goes),
        cmocka_unit_test(tails_beyond_the_crossing_are_left_away),
        cmocka_unit_test(a_tail_is_at_most_a_fifth),
        cmocka_unit_test(a_line_that_does_not_quite_meet_is_joined),
        cmocka_unit_test(a_line_without_area_is_no_ring),
        cmocka_unit_test(a_ring_stays_within_reach_of_what_was_drawn),
    };
    return cmocka_run_group_tests(tests, begin, end);
}
