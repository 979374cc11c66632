#include "base/units.h"
#include "cutting/remnants.h"

#include "base/random.h"
#include "support/check.h"

static const double useful_mm = 100;

static Ring box_ring(double x, double y, double width, double height, Arena *keep)
{
    Point *points = ARENA_ARRAY(keep, Point, 4);
    points[0] = (Point){x, y};
    points[1] = (Point){x + width, y};
    points[2] = (Point){x + width, y + height};
    points[3] = (Point){x, y + height};
    return (Ring){points, 4};
}

static PolygonSet find(Ring outline, const Ring *cuts, int count, Arena *keep)
{
    const Hide hide = {.name = "sheet", .form = HIDE_PANEL, .outline = outline};
    PolygonSet parts;
    assert_true(remnants_find((HideCuts){&hide, cuts, count}, useful_mm, "hides[0]", keep, &parts,
                              problems_in(keep)));
    return parts;
}

// Half a millimetre off all round, the corners rounded by the disc.
static double opened_mm2(double width, double height)
{
    const double radius = useful_mm / 2 - 0.5;
    return (width - 1) * (height - 1) - (4 - PI) * radius * radius;
}

// The outline is made simpler by up to a quarter of a millimetre, inward only.
static void check_part(Polygon part, double wanted_mm2, double edge_mm)
{
    const double found_mm2 = polygon_area_mm2(part);
    CHECK_NEAR(found_mm2, wanted_mm2 - 0.125 * edge_mm, 0.125 * edge_mm + 20);
}

static void two_parts_beside_a_cut_the_larger_first(void **state)
{
    const Ring cut = box_ring(300, 0, 200, 600, *state);
    const PolygonSet parts = find(box_ring(0, 0, 1000, 600, *state), &cut, 1, *state);
    assert_int_equal(parts.count, 2);
    check_part(parts.items[0], opened_mm2(500, 600), 2200);
    check_part(parts.items[1], opened_mm2(300, 600), 1800);
}

static void strips_narrower_than_is_of_use_are_no_part(void **state)
{
    const Ring cuts[] = {box_ring(99, 0, 302, 600, *state), box_ring(500, 0, 500, 600, *state)};
    const PolygonSet parts = find(box_ring(0, 0, 1000, 600, *state), cuts, 2, *state);
    assert_int_equal(parts.count, 0); // 99 mm on either side of the first
}

static void small_parts_are_left_out(void **state)
{
    // A quarter of a square foot is 23226 mm2.
    const PolygonSet large = find(box_ring(0, 0, 170, 170, *state), NULL, 0, *state);
    const PolygonSet small = find(box_ring(0, 0, 150, 150, *state), NULL, 0, *state);
    assert_int_equal(large.count, 1);
    assert_int_equal(small.count, 0);
}

static void a_cut_within_is_a_hole(void **state)
{
    const Ring cut = box_ring(400, 200, 200, 200, *state);
    const PolygonSet parts = find(box_ring(0, 0, 1000, 600, *state), &cut, 1, *state);
    assert_int_equal(parts.count, 1);
    assert_int_equal(parts.items[0].hole_count, 1);
    // A disc goes all round the hole's corners, so nothing but the half millimetre is lost.
    check_part(parts.items[0], opened_mm2(1000, 600) - 201 * 201, 4000);
}

// Property: no part reaches over a cut or beyond the sheet.
static void parts_lie_on_what_is_left(void **state)
{
    for (int trial = 0; trial < TRIALS_OF(200); trial++) {
        const ArenaMark mark = arena_mark(*state);
        Random random = random_begin(3, (uint64_t)trial, 0);
        const Ring outline = box_ring(0, 0, 1500, 1000, *state);
        Ring cuts[8];
        const int count = 1 + random_below(&random, 8);
        for (int i = 0; i < count; i++) {
            const Ring straight =
                box_ring(-150, -200, random_between(&random, 100, 400), 400, *state);
            cuts[i] = ring_moved(straight,
                                 (Motion){random_between(&random, 0, 1500),
                                          random_between(&random, 0, 1000),
                                          random_between(&random, 0, 3)},
                                 *state);
        }
        const PolygonSet parts = find(outline, cuts, count, *state);
        PolygonSet taken;
        PolygonSet common;
        PolygonSet beyond;
        assert_true(polygon_union_all(cuts, count, *state, &taken));
        for (int i = 0; i < parts.count; i++) {
            const PolygonSet part = {&parts.items[i], 1};
            assert_true(polygon_overlay(POLYGON_INTERSECTION, part, taken, *state, &common));
            CHECK_NEAR(polygon_set_area_mm2(common), 0, 1e-3);
            assert_true(polygon_overlay(POLYGON_DIFFERENCE, part,
                                        polygon_set_of_ring(outline, *state), *state, &beyond));
            CHECK_NEAR(polygon_set_area_mm2(beyond), 0, 1e-3);
            assert_true(parts.items[i].outer.count <= FLAW_POINTS_MAX);
        }
        arena_rewind(*state, mark);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(two_parts_beside_a_cut_the_larger_first),
        TEST_IN_ARENA(strips_narrower_than_is_of_use_are_no_part),
        TEST_IN_ARENA(small_parts_are_left_out),
        TEST_IN_ARENA(a_cut_within_is_a_hole),
        TEST_IN_ARENA(parts_lie_on_what_is_left),
    };
    return cmocka_run_group_tests_name("cutting/remnants", tests, NULL, NULL);
}
