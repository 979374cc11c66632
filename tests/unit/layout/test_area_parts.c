#include "layout/area_parts.h"
#include "layout/part_cut.h"
#include "plane/lattice.h"

#include "shapes.h"
#include "support/check.h"

static double part_area(const ConvexPart *part)
{
    double sum = 0;
    for (int i = 0; i < part->count; i++) {
        const int next = (i + 1) % part->count;
        sum += (part->x[i] * part->y[next] - part->x[next] * part->y[i]) / 2;
    }
    return sum;
}

static double area_of(ConvexParts parts)
{
    double sum = 0;
    for (int i = 0; i < parts.count; i++) {
        sum += part_area(&parts.items[i]);
    }
    return sum;
}

static LatticeRing part_ring(const ConvexPart *part, Arena *keep)
{
    Point *points = ARENA_ARRAY(keep, Point, part->count);
    for (int i = 0; i < part->count; i++) {
        points[i] = (Point){part->x[i] / LATTICE_PER_MM, part->y[i] / LATTICE_PER_MM};
    }
    return lattice_ring((Ring){points, part->count}, (Motion){0}, keep);
}

static double lattice_area(Ring ring, Arena *keep)
{
    const LatticeRing at = lattice_ring(ring, (Motion){0}, keep);
    double twice = 0;
    for (int i = 0; i < at.count; i++) {
        const LatticePoint a = at.points[i];
        const LatticePoint b = at.points[(i + 1) % at.count];
        twice += (double)(a.x * b.y - b.x * a.y);
    }
    return fabs(twice) / 2;
}

// Parts that lie in the area and have its size are the area.
static void check_exact(Polygon area, ConvexParts parts, Arena *keep)
{
    double wanted = lattice_area(area.outer, keep);
    const LatticeRing outer = lattice_ring(area.outer, (Motion){0}, keep);
    for (int hole = 0; hole < area.hole_count; hole++) {
        wanted -= lattice_area(area.holes[hole], keep);
    }
    CHECK_NEAR(area_of(parts), wanted, 1e-3);
    for (int i = 0; i < parts.count; i++) {
        const LatticeRing part = part_ring(&parts.items[i], keep);
        assert_true(lattice_within(part, outer, keep));
        for (int hole = 0; hole < area.hole_count; hole++) {
            const LatticeRing ring = lattice_ring(area.holes[hole], (Motion){0}, keep);
            assert_false(lattice_interiors_meet(part, ring, keep));
        }
    }
}

static void holes_are_left_out_exactly(void **state)
{
    for (int trial = 0; trial < TRIALS_OF(300); trial++) {
        const ArenaMark mark = arena_mark(*state);
        Random random = random_begin(3, (uint64_t)trial, 0);
        Ring holes[4];
        const Polygon area = {.outer = star_ring((Point){20, 10}, 200, 0.7, 1, &random, *state),
                              .holes = holes,
                              .hole_count = random_below(&random, 5)};
        for (int i = 0; i < area.hole_count; i++) {
            const Point middle = {20 + 45 * cos(1.6 * i), 10 + 45 * sin(1.6 * i)};
            holes[i] = star_ring(middle, 30, 0.2, 1, &random, *state);
        }
        check_exact(area, area_parts(area, 100, *state), *state);
        arena_rewind(*state, mark);
    }
}

static void holes_in_rows_are_joined_one_after_the_other(void **state)
{
    Ring holes[9];
    for (int i = 0; i < 9; i++) {
        holes[i] = box_ring(10 + 30 * (i % 3), 10 + 30 * (i / 3), 20, 20, *state);
    }
    const Polygon area = {box_ring(0, 0, 100, 100, *state), holes, 9};
    check_exact(area, area_parts(area, 100, *state), *state);
}

static void what_cannot_be_exact_is_too_much(void **state)
{
    const Ring touching = box_ring(10, 50, 20, 50, *state); // ends at the outer edge
    const Ring outside = box_ring(90, 10, 20, 20, *state);
    const Ring crossing[] = {box_ring(20, 20, 30, 30, *state), box_ring(40, 40, 30, 30, *state)};
    const Polygon odd[] = {{box_ring(0, 0, 100, 100, *state), &touching, 1},
                           {box_ring(0, 0, 100, 100, *state), &outside, 1},
                           {box_ring(0, 0, 100, 100, *state), crossing, 2}};
    for (int i = 0; i < 3; i++) {
        const ConvexParts parts = area_parts(odd[i], 100, *state);
        double least = 1e8;
        for (int hole = 0; hole < odd[i].hole_count; hole++) {
            least -= lattice_area(odd[i].holes[hole], *state);
        }
        assert_true(area_of(parts) <= 1e8 && area_of(parts) >= least);
    }
    static const Point bow[] = {{0, 0}, {60, 50}, {60, 0}, {0, 50}};
    CHECK_NEAR(area_of(area_parts((Polygon){.outer = {bow, 4}}, 100, *state)), 3e7, 1);
    static const Point line[] = {{0, 0}, {60, 50}, {30, 25}};
    assert_true(area_of(area_parts((Polygon){.outer = {line, 3}}, 100, *state)) >= 3e7);
    static const Point dot[] = {{0, 0}, {0.001, 0}, {0, 0.001}};
    assert_int_equal(area_parts((Polygon){.outer = {dot, 3}}, 100, *state).count, 0);
}

static void many_points_are_simplified_to_the_safe_side(void **state)
{
    enum { POINTS = 900 };
    Point round[POINTS];
    for (int i = 0; i < POINTS; i++) {
        const double angle = 6.283185307179586 * i / POINTS;
        const double far = 100 + 3 * sin(40 * angle);
        round[i] = (Point){far * cos(angle), far * sin(angle)};
    }
    for (int most = 4; most <= 100; most += 12) {
        const ConvexParts parts = area_parts((Polygon){.outer = {round, POINTS}}, most, *state);
        for (int i = 0; i < POINTS; i++) {
            bool held = false;
            for (int k = 0; k < parts.count && !held; k++) {
                const LatticePoint p = {llround(100 * round[i].x), llround(100 * round[i].y)};
                held = lattice_where(part_ring(&parts.items[k], *state), p) >= 0;
            }
            assert_true(held);
        }
    }
}

// Property: what of a part lies in a box is held, and hardly more than that.
static void a_part_is_cut_to_the_safe_side(void **state)
{
    for (int trial = 0; trial < TRIALS_OF(2000); trial++) {
        const ArenaMark mark = arena_mark(*state);
        Random random = random_begin(9, (uint64_t)trial, 0);
        const double size = random_below(&random, 2) ? 20 : 1e6;
        double x[3];
        double y[3];
        for (int i = 0; i < 3; i++) {
            x[i] = floor(random_between(&random, -size, size));
            y[i] = floor(random_between(&random, -size, size));
        }
        const double cross = (x[1] - x[0]) * (y[2] - y[0]) - (y[1] - y[0]) * (x[2] - x[0]);
        if (cross <= 0) {
            continue;
        }
        const Box box = {{-floor(size / 3), -floor(size / 4)}, {floor(size / 5), floor(size / 2)}};
        ConvexPart cut = {.count = 0};
        const bool any = part_in_box(&(ConvexPart){x, y, 3}, box, *state, &cut);
        for (int i = 0; i < 50; i++) {
            const Point p = {random_between(&random, box.min.x, box.max.x),
                             random_between(&random, box.min.y, box.max.y)};
            const double a = (x[1] - x[0]) * (p.y - y[0]) - (y[1] - y[0]) * (p.x - x[0]);
            const double b = (x[2] - x[1]) * (p.y - y[1]) - (y[2] - y[1]) * (p.x - x[1]);
            const double c = (x[0] - x[2]) * (p.y - y[2]) - (y[0] - y[2]) * (p.x - x[2]);
            bool inside = any;
            for (int k = 0; k < cut.count && inside; k++) {
                const int next = (k + 1) % cut.count;
                inside = (cut.x[next] - cut.x[k]) * (p.y - cut.y[k]) >=
                         (cut.y[next] - cut.y[k]) * (p.x - cut.x[k]);
            }
            assert_true(inside || !(a > 0 && b > 0 && c > 0));
        }
        for (int k = 0; k < cut.count; k++) {
            assert_true(cut.x[k] >= box.min.x && cut.x[k] <= box.max.x);
            assert_true(cut.y[k] >= box.min.y && cut.y[k] <= box.max.y);
            assert_true(cut.x[k] == floor(cut.x[k]) && cut.y[k] == floor(cut.y[k]));
        }
        arena_rewind(*state, mark);
    }
}

static void a_part_off_the_box_is_nothing(void **state)
{
    static const double x[] = {0, 10, 10, 0};
    static const double y[] = {0, 0, 10, 10};
    const ConvexPart part = {x, y, 4};
    ConvexPart cut;
    assert_false(part_in_box(&part, (Box){{10, 0}, {20, 10}}, *state, &cut)); // touches
    assert_false(part_in_box(&part, (Box){{0, 11}, {20, 30}}, *state, &cut));
    assert_true(part_in_box(&part, (Box){{-5, -5}, {50, 50}}, *state, &cut));
    CHECK_NEAR(part_area(&cut), 100, 0);
    assert_true(part_in_box(&part, (Box){{3, 4}, {6, 50}}, *state, &cut));
    CHECK_NEAR(part_area(&cut), 18, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(holes_are_left_out_exactly),
        TEST_IN_ARENA(holes_in_rows_are_joined_one_after_the_other),
        TEST_IN_ARENA(what_cannot_be_exact_is_too_much),
        TEST_IN_ARENA(many_points_are_simplified_to_the_safe_side),
        TEST_IN_ARENA(a_part_is_cut_to_the_safe_side),
        TEST_IN_ARENA(a_part_off_the_box_is_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
