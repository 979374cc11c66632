#include "base/units.h"
#include "plane/polygon.h"

#include "base/random.h"
#include "support/check.h"

static const Point square[] = {{0, 0}, {100, 0}, {100, 100}, {0, 100}};
static const Point shifted[] = {{50, 50}, {150, 50}, {150, 150}, {50, 150}};
static const Point beside[] = {{100, 0}, {200, 0}, {200, 100}, {100, 100}};
static const Point inner[] = {{25, 25}, {75, 25}, {75, 75}, {25, 75}};

static PolygonSet set_of(const Point *points, void *arena)
{
    return polygon_set_of_ring((Ring){points, 4}, arena);
}

static double overlay_area(PolygonOperation operation, const Point *a, const Point *b, void *arena)
{
    PolygonSet result = {0};
    assert_true(polygon_overlay(operation, set_of(a, arena), set_of(b, arena), arena, &result));
    return polygon_set_area_mm2(result);
}

static void overlays_of_squares(void **state)
{
    CHECK_NEAR(overlay_area(POLYGON_UNION, square, shifted, *state), 17500, 1e-9);
    CHECK_NEAR(overlay_area(POLYGON_INTERSECTION, square, shifted, *state), 2500, 1e-9);
    CHECK_NEAR(overlay_area(POLYGON_DIFFERENCE, square, shifted, *state), 7500, 1e-9);
    CHECK_NEAR(overlay_area(POLYGON_INTERSECTION, square, beside, *state), 0, 0);
    CHECK_NEAR(overlay_area(POLYGON_DIFFERENCE, square, inner, *state), 7500, 1e-9);
}

static void a_hole_is_a_hole(void **state)
{
    PolygonSet ring = {0};
    assert_true(polygon_overlay(POLYGON_DIFFERENCE, set_of(square, *state), set_of(inner, *state),
                                *state, &ring));
    assert_int_equal(ring.count, 1);
    assert_int_equal(ring.items[0].hole_count, 1);
    assert_true(ring_area_mm2(ring.items[0].outer) > 0);
    assert_true(ring_area_mm2(ring.items[0].holes[0]) < 0);
    assert_false(polygon_set_contains(ring, (Point){50, 50}));
    assert_true(polygon_set_contains(ring, (Point){10, 50}));
    CHECK_NEAR(polygon_set_distance_mm(ring, (Point){50, 50}), 25, 1e-12);
    CHECK_NEAR(polygon_set_distance_mm(ring, (Point){10, 10}), 0, 0);
}

// Steiner's formula: the area of a convex shape grown by r is A + P r + pi r^2 (any
// text on integral geometry); with mitred corners a square gains 4 r^2 instead.
static void growing_follows_steiner(void **state)
{
    PolygonSet grown = {0};
    const PolygonSet given = set_of(square, *state);
    assert_true(polygon_grow(given, 10, POLYGON_ROUND, *state, &grown));
    const double steiner = 1e4 + 400 * 10 + PI * 100;
    CHECK_NEAR(polygon_set_area_mm2(grown) / steiner, 1, 1e-4);
    assert_true(polygon_grow(given, 10, POLYGON_MITRE, *state, &grown));
    CHECK_NEAR(polygon_set_area_mm2(grown), 120 * 120, 1e-9);
    assert_true(polygon_grow(given, -10, POLYGON_MITRE, *state, &grown));
    CHECK_NEAR(polygon_set_area_mm2(grown), 80 * 80, 1e-9);
    assert_true(polygon_grow(given, -60, POLYGON_ROUND, *state, &grown));
    assert_int_equal(grown.count, 0);
}

// A circle, or a thistle whose points lie as near to each other.
static Ring many_points(int count, bool rough, Arena *keep)
{
    Random random = random_begin(3, 0, 0);
    Point *points = ARENA_ARRAY(keep, Point, count);
    for (int i = 0; i < count; i++) {
        const double angle = 2 * PI * i / count;
        const double far = rough ? random_between(&random, 150, 250) : 250;
        points[i] = (Point){far * cos(angle), far * sin(angle)};
    }
    return (Ring){points, count};
}

static void very_many_points_are_grown_or_refused(void **state)
{
    PolygonSet grown = {0};
    const PolygonSet circle = polygon_set_of_ring(many_points(5000, false, *state), *state);
    assert_true(polygon_grow(circle, 100, POLYGON_ROUND, *state, &grown));
    CHECK_NEAR(polygon_set_area_mm2(grown) / (PI * 350 * 350), 1, 4e-3);
    // Minutes and gigabytes otherwise; little by little it is no trouble.
    const PolygonSet thistle = polygon_set_of_ring(many_points(5000, true, *state), *state);
    assert_false(polygon_grow(thistle, 100, POLYGON_ROUND, *state, &grown));
    assert_true(polygon_grow(thistle, 1, POLYGON_ROUND, *state, &grown));
}

static void a_line_with_a_width_has_round_ends(void **state)
{
    static const Point line[] = {{0, 0}, {100, 0}};
    PolygonSet scar = {0};
    assert_true(polygon_of_line(line, 2, 20, *state, &scar));
    CHECK_NEAR(polygon_set_area_mm2(scar) / (2000 + PI * 100), 1, 1e-3);
}

static void numbers_that_are_not_finite_are_refused(void **state)
{
    const Point bad[] = {{0, 0}, {nan(""), 0}, {100, 100}, {0, 100}};
    PolygonSet result = {0};
    assert_false(polygon_grow(set_of(bad, *state), 10, POLYGON_ROUND, *state, &result));
    assert_false(polygon_grow(set_of(square, *state), nan(""), POLYGON_ROUND, *state, &result));
    assert_false(polygon_overlay(POLYGON_UNION, set_of(square, *state), set_of(bad, *state), *state,
                                 &result));
}

// A ring rounded to a lattice can run back over itself by one unit.
static void a_crossing_by_a_hair_is_repaired(void **state)
{
    const Point crossing[] = {{0, 0},          {100, 0},     {100, 100}, {50, 99.99},
                              {49.99, 100.01}, {50.01, 100}, {0, 100}};
    PolygonSet result = {0};
    const PolygonSet given = polygon_set_of_ring((Ring){crossing, 7}, *state);
    assert_true(
        polygon_overlay(POLYGON_INTERSECTION, given, set_of(inner, *state), *state, &result));
    CHECK_NEAR(polygon_set_area_mm2(result), 2500, 1e-6);
    assert_true(
        polygon_overlay(POLYGON_INTERSECTION, given, set_of(shifted, *state), *state, &result));
    CHECK_NEAR(polygon_set_area_mm2(result), 2500, 1);
}

static void many_rings_unite(void **state)
{
    const Ring rings[] = {{square, 4}, {shifted, 4}, {beside, 4}};
    PolygonSet result = {0};
    assert_true(polygon_union_all(rings, 3, *state, &result));
    assert_int_equal(result.count, 1);
    CHECK_NEAR(polygon_set_area_mm2(result), 1e4 + 1e4 + 1e4 - 2500 - 2500, 1e-9);
    assert_int_equal(polygon_set_largest_ring(result).count, result.items[0].outer.count);
}

static void the_hull_has_no_needless_points(void **state)
{
    const Point points[] = {{0, 0}, {50, 0}, {100, 0}, {100, 100}, {40, 40}, {0, 100}, {0, 50}};
    const Ring hull = ring_convex_hull(points, 7, *state);
    assert_int_equal(hull.count, 4);
    CHECK_NEAR(ring_area_mm2(hull), 1e4, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(overlays_of_squares),
        TEST_IN_ARENA(a_hole_is_a_hole),
        TEST_IN_ARENA(growing_follows_steiner),
        TEST_IN_ARENA(very_many_points_are_grown_or_refused),
        TEST_IN_ARENA(a_line_with_a_width_has_round_ends),
        TEST_IN_ARENA(numbers_that_are_not_finite_are_refused),
        TEST_IN_ARENA(a_crossing_by_a_hair_is_repaired),
        TEST_IN_ARENA(many_rings_unite),
        TEST_IN_ARENA(the_hull_has_no_needless_points),
    };
    return cmocka_run_group_tests_name("plane/polygon", tests, NULL, NULL);
}
