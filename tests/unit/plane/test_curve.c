#include "base/units.h"
#include "plane/curve.h"

#include "base/random.h"
#include "support/check.h"

// Area of a circular segment: r^2 (a - sin a) / 2 (any handbook of geometry).
static void an_arc_encloses_the_area_of_its_segment(void **state)
{
    (void)state;
    for (int i = 1; i <= 100; i++) {
        const double rise = i; // half the chord is 100: up to a half circle
        Point points[2000];
        const int count = curve_arc((Point){0, 0}, (Point){200, 0}, rise, 1e-4, points, 1999);
        points[count] = (Point){200, 0};
        const double radius = (100 * 100 + rise * rise) / (2 * rise);
        const double angle = 4 * atan2(rise, 100);
        const double segment = radius * radius * (angle - sin(angle)) / 2;
        CHECK_NEAR(ring_area_mm2((Ring){points, count + 1}), segment,
                   0.03);                     // chords lose 2/3 of 1e-4 mm
        assert_true(points[count / 2].y < 0); // outward of a counter-clockwise edge
    }
}

static void an_arc_bends_the_other_way_too(void **state)
{
    (void)state;
    Point points[100];
    const int count = curve_arc((Point){0, 0}, (Point){200, 0}, -20, 0.05, points, 100);
    assert_true(count > 4 && points[count / 2].y > 19);
    assert_int_equal(curve_arc((Point){0, 0}, (Point){200, 0}, 0, 0.05, points, 100), 1);
}

static void an_ellipse_has_its_area_and_its_mirror_images(void **state)
{
    const Ring ring = curve_ellipse((Point){10, 20}, 300, 200, 0.01, *state);
    CHECK_NEAR(ring_area_mm2(ring) / (PI * 300 * 200), 1, 1e-4);
    const Box box = ring_box(ring);
    CHECK_NEAR(box.max.x - box.min.x, 600, 1e-9);
    CHECK_NEAR(box.max.y - box.min.y, 400, 1e-9);
    assert_int_equal(ring.count % 4, 0);
}

// The claim of the method: between two neighbours no coordinate leaves their range.
static void a_smooth_line_does_not_overshoot(void **state)
{
    for (uint64_t seed = 0; seed < 300; seed++) {
        Random random = random_begin(seed, 0, 0);
        const int count = 3 + random_below(&random, 20);
        Point points[30];
        for (int i = 0; i < count; i++) {
            points[i] = (Point){random_between(&random, 0, 1000), random_between(&random, 0, 1000)};
        }
        const Ring curve = curve_through(points, count, 1.0, *state);
        int at = 0;
        for (int i = 0; i < count; i++) {
            const Point a = points[i];
            const Point b = points[(i + 1) % count];
            const int parts = (int)fmax(1, ceil(point_distance(a, b)));
            CHECK_NEAR(point_distance(curve.points[at], a), 0, 1e-9);
            for (int k = 0; k < parts; k++, at++) {
                const Point p = curve.points[at];
                assert_true(p.x >= fmin(a.x, b.x) - 1e-9 && p.x <= fmax(a.x, b.x) + 1e-9);
                assert_true(p.y >= fmin(a.y, b.y) - 1e-9 && p.y <= fmax(a.y, b.y) + 1e-9);
            }
        }
        assert_int_equal(at, curve.count);
    }
}

static void a_circle_by_stations_keeps_its_area(void **state)
{
    Point points[48];
    for (int i = 0; i < 48; i++) {
        points[i] = (Point){1000 * cos(i * PI / 24), 1000 * sin(i * PI / 24)};
    }
    const Ring curve = curve_through(points, 48, 2.0, *state);
    // Monotone pieces flatten where a coordinate turns, so a little is lost there.
    CHECK_NEAR(ring_area_mm2(curve) / (PI * 1e6), 1, 1e-3);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_arc_encloses_the_area_of_its_segment),
        cmocka_unit_test(an_arc_bends_the_other_way_too),
        TEST_IN_ARENA(an_ellipse_has_its_area_and_its_mirror_images),
        TEST_IN_ARENA(a_smooth_line_does_not_overshoot),
        TEST_IN_ARENA(a_circle_by_stations_keeps_its_area),
    };
    return cmocka_run_group_tests_name("plane/curve", tests, NULL, NULL);
}
