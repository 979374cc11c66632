#include "layout/pair.h"
#include "plane/lattice.h"

#include "shapes.h"
#include "support/check.h"

// An outline in whole lattice units, as the pair and as the judge see it.
typedef struct Both {
    Body body;
    LatticeRing ring;
} Both;

static bool both_of(Ring ring, Arena *keep, Both *both)
{
    both->ring = lattice_ring(ring, (Motion){0, 0, 0}, keep);
    const int count = both->ring.count;
    double *x = ARENA_ARRAY(keep, double, count + 1);
    double *y = ARENA_ARRAY(keep, double, count + 1);
    for (int i = 0; i < count; i++) {
        x[i] = (double)both->ring.points[i].x;
        y[i] = (double)both->ring.points[i].y;
    }
    const Box box = ring_box(ring);
    both->body = (Body){
        .circles = circles_moved(circles_inside(ring, keep), (Motion){0, 0, 0}, LATTICE_PER_MM),
        .diameter = LATTICE_PER_MM * point_distance(box.min, box.max),
        .size = LATTICE_PER_MM * sqrt(fabs(ring_area_mm2(ring)))};
    return convex_parts(x, y, count, keep, &both->body.parts);
}

static bool meet_in_truth(const Both *first, const Both *second, double x, double y, Arena *scratch)
{
    const ArenaMark mark = arena_mark(scratch);
    LatticeRing moved = second->ring;
    LatticePoint *points = ARENA_ARRAY(scratch, LatticePoint, moved.count);
    for (int i = 0; i < moved.count; i++) {
        points[i] = (LatticePoint){moved.points[i].x + (int64_t)x, moved.points[i].y + (int64_t)y};
    }
    moved.points = points;
    moved.min.x += (int64_t)x;
    moved.max.x += (int64_t)x;
    moved.min.y += (int64_t)y;
    moved.max.y += (int64_t)y;
    const bool meet = lattice_interiors_meet(first->ring, moved, scratch);
    arena_rewind(scratch, mark);
    return meet;
}

static double parts_area(const ConvexParts *parts)
{
    double sum = 0;
    for (int i = 0; i < parts->count; i++) {
        const ConvexPart *part = &parts->items[i];
        for (int k = 0; k < part->count; k++) {
            const int next = (k + 1) % part->count;
            sum += (part->x[k] * part->y[next] - part->x[next] * part->y[k]) / 2;
        }
    }
    return sum;
}

static bool is_convex(const ConvexPart *part)
{
    for (int k = 0; k < part->count; k++) {
        const int next = (k + 1) % part->count;
        const int last = (k + 2) % part->count;
        const double turn = (part->x[next] - part->x[k]) * (part->y[last] - part->y[next]) -
                            (part->y[next] - part->y[k]) * (part->x[last] - part->x[next]);
        if (turn <= 0) {
            return false;
        }
    }
    return part->count >= 3;
}

static void parts_are_convex_and_make_up_the_whole(void **state)
{
    for (int trial = 0; trial < TRIALS_OF(500); trial++) {
        const ArenaMark mark = arena_mark(*state);
        Random random = random_begin(3, (uint64_t)trial, 0);
        const Ring ring = star_ring((Point){0, 0}, 50, 0.2, 1, &random, *state);
        Both both;
        assert_true(both_of(ring, *state, &both));
        double area = 0;
        for (int i = 0; i < both.ring.count; i++) {
            const LatticePoint a = both.ring.points[i];
            const LatticePoint b = both.ring.points[(i + 1) % both.ring.count];
            area += (double)(a.x * b.y - b.x * a.y) / 2;
        }
        CHECK_NEAR(parts_area(&both.body.parts), area, 0);
        for (int i = 0; i < both.body.parts.count; i++) {
            assert_true(is_convex(&both.body.parts.items[i]));
        }
        arena_rewind(*state, mark);
    }
}

static void an_outline_that_crosses_itself_has_no_parts(void **state)
{
    const double x[] = {0, 100, 0, 100};
    const double y[] = {0, 100, 100, 0};
    ConvexParts parts;
    assert_false(convex_parts(x, y, 4, *state, &parts));
}

// Squares with sides of 1 mm, one of them cut into parts by a notch.
static void touching_is_not_overlapping(void **state)
{
    static const Point notched[] = {{0, 0}, {3, 0}, {3, 3}, {2, 3}, {2, 1}, {1, 1}, {1, 3}, {0, 3}};
    Both first;
    Both second;
    assert_true(both_of((Ring){notched, 8}, *state, &first));
    assert_true(both_of(box_ring(0, 0, 1, 1, *state), *state, &second));
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    const Pair *pair = pair_make(&first.body, &second.body, 7, *state, scratch);
    assert_true(pair_severity(pair, 100, 100) == 0); // right in the notch, touching three sides
    assert_true(pair_severity(pair, 99, 100) > 0);
    assert_true(pair_severity(pair, 101, 100) > 0);
    assert_true(pair_severity(pair, 100, 99) > 0);
    assert_true(pair_severity(pair, 100, 137) == 0);
    assert_true(pair_severity(pair, 300, 20) == 0);
    assert_true(pair_severity(pair, 299, 20) > 0);
    assert_true(pair_severity(pair, -100, -100) == 0);
    assert_true(pair_severity(pair, 1e6, 1e6) == 0);
    arena_destroy(scratch);
}

// Against the plane's own exact answer, on places that touch more often than not.
static void overlap_is_exact(void **state)
{
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    for (int trial = 0; trial < TRIALS_OF(150); trial++) {
        const ArenaMark mark = arena_mark(*state);
        Random random = random_begin(5, (uint64_t)trial, 0);
        Ring rings[2];
        Both both[2];
        for (int k = 0; k < 2; k++) {
            const Ring star = star_ring((Point){0, 0}, 3, 0.2, 1, &random, *state);
            Point *points = ARENA_ARRAY(*state, Point, star.count);
            for (int i = 0; i < star.count; i++) { // quarters of a mm, so that edges line up
                points[i] =
                    (Point){round(4 * star.points[i].x) / 4, round(4 * star.points[i].y) / 4};
            }
            rings[k] = (Ring){points, star.count};
        }
        Point crossing;
        if (!ring_is_simple(rings[0], &crossing) || !ring_is_simple(rings[1], &crossing) ||
            !both_of(rings[0], *state, &both[0]) || !both_of(rings[1], *state, &both[1])) {
            continue; // rounding closed a needle
        }
        const double step = trial % 2 == 0 ? 25 : 37;
        const Pair *pair = pair_make(&both[0].body, &both[1].body, step, *state, scratch);
        for (int i = 0; i < 400; i++) {
            double x = round(random_between(&random, -650, 650));
            double y = round(random_between(&random, -650, 650));
            x = i % 2 == 0 ? 25 * round(x / 25) : x;
            y = i % 2 == 0 ? 25 * round(y / 25) : y;
            const bool meet = meet_in_truth(&both[0], &both[1], x, y, scratch);
            assert_int_equal(pair_severity(pair, x, y) > 0, meet);
        }
        arena_rewind(*state, mark);
    }
    arena_destroy(scratch);
}

// What the search leaves aside near a place must not be met there.
static void whatever_overlaps_within_two_steps_is_near(void **state)
{
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    Random random = random_begin(9, 0, 0);
    Both first;
    Both second;
    assert_true(both_of(star_ring((Point){0, 0}, 5, 0.3, 1, &random, *state), *state, &first));
    assert_true(both_of(star_ring((Point){0, 0}, 4, 0.3, 1, &random, *state), *state, &second));
    const double step = 31;
    const Pair *pair = pair_make(&first.body, &second.body, step, *state, scratch);
    int far = 0;
    for (int i = 0; i < 20000; i++) {
        const double x = round(random_between(&random, -1500, 1500));
        const double y = round(random_between(&random, -1500, 1500));
        const double to_x = x + round(random_between(&random, -2 * step, 2 * step));
        const double to_y = y + round(random_between(&random, -2 * step, 2 * step));
        const bool near = pair_is_near(pair, x, y);
        far += near ? 0 : 1;
        assert_true(near || pair_severity(pair, to_x, to_y) == 0);
    }
    assert_in_range(far, 5000, 19000); // most of the plane is far away
    arena_destroy(scratch);
}

static void nothing_is_near_what_has_no_inside(void **state)
{
    (void)state;
    for (int i = -3; i <= 3; i++) {
        assert_false(pair_is_near(&pair_apart, i, i));
        assert_true(pair_severity(&pair_apart, i, i) == 0);
    }
}

// Of one block; 0 where none is kept.
static int least_of(const LeastPlane *plane, int u, int v)
{
    const uint8_t *blocks = plane->blocks;
    for (int i = 0; i < plane->count; i++) {
        const BlockRow row = plane->rows[i];
        if (plane->first + i == v && u >= row.from && u < row.from + row.groups * LANES) {
            return blocks[u - row.from];
        }
        blocks += (ptrdiff_t)row.groups * LANES;
    }
    return 0;
}

static float least_in_truth(const Pair *pair, int phase, int u, int v)
{
    float least = HUGE_VALF;
    for (int k = 0; k < POOL * POOL; k++) {
        const int column = u * POOL - phase % POOL + k % POOL + pair->left;
        const int row = v * POOL - phase / POOL + k / POOL + pair->low;
        least = fminf(least, pair_severity(pair, column * pair->step, row * pair->step));
    }
    return least;
}

// The search rules out blocks by these: a bound above the truth would lose places.
static void the_least_of_a_block_is_its_least(void **state)
{
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    Random random = random_begin(8, 0, 0);
    Both first;
    Both second;
    assert_true(both_of(star_ring((Point){0, 0}, 5, 0.3, 1, &random, *state), *state, &first));
    assert_true(both_of(star_ring((Point){0, 0}, 4, 0.3, 1, &random, *state), *state, &second));
    const Pair *pair = pair_make(&first.body, &second.body, 31, *state, scratch);
    const int columns = (pair->columns + PAIR_RIM) / POOL + 1;
    const int rows = (pair->rows + PAIR_RIM) / POOL + 1;
    int ruled_out = 0;
    for (int i = 0; i < POOL * POOL * rows * columns; i++) {
        const int phase = i / (rows * columns);
        const int v = i / columns % rows;
        const int u = i % columns;
        const int found = least_of(&pair->least[phase], u, v);
        const double units = (double)(least_in_truth(pair, phase, u, v) / pair->least_unit);
        assert_true(found <= units + 1e-3);
        assert_true(found >= units - 1 - 1e-3);
        ruled_out += found > 0;
    }
    assert_true(ruled_out > 100);
    arena_destroy(scratch);
}

// Slips so thin that no grid point lies in their sum: blocks are 0 then, not 0 / 0.
static void what_lies_between_grid_points_is_no_block(void **state)
{
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    Both low;
    Both high;
    assert_true(both_of(box_ring(0.03, 0.03, 5, 0.01, *state), *state, &low));
    assert_true(both_of(box_ring(0.03, 0.53, 5, 0.01, *state), *state, &high));
    const Pair *pair = pair_make(&low.body, &high.body, 100, *state, scratch);
    assert_true(pair_severity(pair, 0, -50) > 0);
    for (int row = 0; row < pair->rows; row++) {
        for (int column = 0; column < pair->columns; column++) {
            assert_true(pair->severity[row * pair->severity_stride + column] == 0);
        }
    }
    assert_true(pair->least_unit > 0 && isfinite(1 / pair->least_unit));
    for (int phase = 0; phase < POOL * POOL; phase++) {
        assert_int_equal(pair->least[phase].count, 0);
    }
    arena_destroy(scratch);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(parts_are_convex_and_make_up_the_whole),
        TEST_IN_ARENA(an_outline_that_crosses_itself_has_no_parts),
        TEST_IN_ARENA(touching_is_not_overlapping),
        TEST_IN_ARENA(overlap_is_exact),
        TEST_IN_ARENA(whatever_overlaps_within_two_steps_is_near),
        TEST_IN_ARENA(nothing_is_near_what_has_no_inside),
        TEST_IN_ARENA(the_least_of_a_block_is_its_least),
        TEST_IN_ARENA(what_lies_between_grid_points_is_no_block),
    };
    return cmocka_run_group_tests_name("layout/pair", tests, NULL, NULL);
}
