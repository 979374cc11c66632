#include "plane/lattice.h"

#include "support/check.h"

static const Point square[] = {{0, 0}, {100, 0}, {100, 100}, {0, 100}};
static const Point u_shape[] = {{0, 0},   {90, 0},  {90, 60}, {60, 60},
                                {60, 30}, {30, 30}, {30, 60}, {0, 60}};
static const Point plug[] = {{0, 0}, {30, 0}, {30, 30}, {0, 30}};

static LatticeRing at(const Point *points, int count, double x, double y, void *arena)
{
    return lattice_ring((Ring){points, count}, (Motion){x, y, 0}, arena);
}

static bool meet(LatticeRing a, LatticeRing b, void *arena)
{
    const bool result = lattice_interiors_meet(a, b, arena);
    assert_true(result == lattice_interiors_meet(b, a, arena));
    return result;
}

static void touching_is_not_overlapping(void **state)
{
    const LatticeRing here = at(square, 4, 0, 0, *state);
    assert_false(meet(here, at(square, 4, 100, 0, *state), *state));   // whole edge
    assert_false(meet(here, at(square, 4, 100, 40, *state), *state));  // part of an edge
    assert_false(meet(here, at(square, 4, 100, 100, *state), *state)); // a corner
    assert_true(meet(here, at(square, 4, 99.99, 0, *state), *state));  // one grid unit in
    assert_true(meet(here, at(square, 4, 99.99, 99.99, *state), *state));
    assert_false(meet(here, at(square, 4, 100.01, 0, *state), *state));
}

static void a_shape_overlaps_itself_and_what_it_holds(void **state)
{
    const LatticeRing here = at(square, 4, 0, 0, *state);
    assert_true(meet(here, here, *state));
    assert_true(meet(here, at(plug, 4, 20, 20, *state), *state)); // no edge crosses
    assert_true(meet(here, at(plug, 4, 0, 0, *state), *state));   // touching from inside
    assert_true(meet(here, at(plug, 4, 70, 35, *state), *state));
}

static void a_plug_fits_its_slot_exactly(void **state)
{
    const LatticeRing slot = at(u_shape, 8, 0, 0, *state);
    assert_false(meet(slot, at(plug, 4, 30, 30, *state), *state));
    assert_true(meet(slot, at(plug, 4, 30, 29.99, *state), *state));
    assert_true(meet(slot, at(plug, 4, 30.01, 30, *state), *state));
    assert_false(lattice_within(at(plug, 4, 30, 30, *state), slot, *state));
    assert_true(lattice_within(at(plug, 4, 0, 30, *state), slot, *state));
    assert_false(lattice_within(at(plug, 4, 0.01, 30.01, *state), slot, *state));
}

static void within_allows_touching(void **state)
{
    const LatticeRing sheet = at(square, 4, 0, 0, *state);
    assert_true(lattice_within(sheet, sheet, *state));
    assert_true(lattice_within(at(plug, 4, 70, 70, *state), sheet, *state));
    assert_false(lattice_within(at(plug, 4, 70.01, 70, *state), sheet, *state));
    assert_false(lattice_within(at(plug, 4, 200, 0, *state), sheet, *state));
    assert_false(lattice_within(sheet, at(plug, 4, 0, 0, *state), *state));
}

// Two squares with a neck between them that is narrower than the lattice can tell.
static const Point dumbbell[] = {{0, 0},   {30, 0},  {30, 14.999}, {60, 14.999}, {60, 0},  {90, 0},
                                 {90, 30}, {60, 30}, {60, 15.001}, {30, 15.001}, {30, 30}, {0, 30}};
// A frame around a hole of 30 by 30, with a slit to it that closes when rounded.
static const Point slit_frame[] = {{0, 0},       {90, 0},      {90, 44.999}, {60, 44.999},
                                   {60, 30},     {30, 30},     {30, 60},     {60, 60},
                                   {60, 45.001}, {90, 45.001}, {90, 90},     {0, 90}};

static void a_neck_that_rounds_away_hides_no_overlap(void **state)
{
    const LatticeRing both = at(dumbbell, 12, 0, 0, *state);
    assert_true(meet(both, at(plug, 4, 0, 0, *state), *state)); // one square, exactly
    assert_true(meet(both, at(plug, 4, 60, 0, *state), *state));
    assert_true(meet(both, at(dumbbell, 12, 60, 0, *state), *state)); // a square in common
    assert_true(meet(both, both, *state));
    assert_false(meet(both, at(plug, 4, 90, 0, *state), *state));
    assert_true(lattice_within(at(plug, 4, 60, 0, *state), both, *state));
    assert_true(lattice_within(both, both, *state));
    assert_false(lattice_within(at(plug, 4, 30, 0, *state), both, *state));
}

static void a_hole_at_the_end_of_a_slit_is_no_sheet(void **state)
{
    const LatticeRing frame = at(slit_frame, 12, 0, 0, *state);
    const LatticeRing filling = at(plug, 4, 30, 30, *state);
    assert_false(meet(frame, filling, *state)); // fills the hole, exactly
    assert_false(lattice_within(filling, frame, *state));
    assert_false(lattice_within(at(square, 4, -5, -5, *state), frame, *state));
    // Around the hole, with corners on the slit: no edge crosses it.
    static const Point around[] = {{20, 20}, {70, 20}, {70, 45}, {70, 70}, {20, 70}};
    assert_false(lattice_within(at(around, 5, 0, 0, *state), frame, *state));
    assert_true(lattice_within(at(plug, 4, 0, 0, *state), frame, *state));
    assert_true(lattice_within(frame, frame, *state));
}

static void a_gap_is_kept_to_the_last_unit(void **state)
{
    const LatticeRing here = at(square, 4, 0, 0, *state);
    assert_false(lattice_nearer_than(here, at(square, 4, 103, 0, *state), 300));
    assert_true(lattice_nearer_than(here, at(square, 4, 102.99, 0, *state), 300));
    assert_false(lattice_nearer_than(here, at(square, 4, 103, 104, *state), 500)); // 3-4-5
    assert_true(lattice_nearer_than(here, at(square, 4, 103, 103.99, *state), 500));
    assert_false(lattice_nearer_than(here, at(square, 4, 100, 0, *state), 0));
}

static void a_slanted_gap_is_measured_square_to_the_edge(void **state)
{
    static const Point slanted[] = {{0, 0}, {400, 300}, {0, 300}};
    const LatticeRing wedge = lattice_ring((Ring){slanted, 3}, (Motion){0}, *state);
    // The point (204, 147) lies 5 off the line y = 3/4 x: |3 x - 4 y| / 5 = 24 / 5 = 4.8.
    static const Point tip[] = {{204, 147}, {260, 100}, {260, 90}};
    const LatticeRing other = lattice_ring((Ring){tip, 3}, (Motion){0}, *state);
    assert_false(lattice_nearer_than(wedge, other, 480));
    assert_true(lattice_nearer_than(wedge, other, 481));
}

static void rounding_drops_repeated_points(void **state)
{
    static const Point dense[] = {{0, 0}, {0.001, 0}, {10, 0}, {10, 10}, {0, 10}, {0, 0.002}};
    const LatticeRing ring = lattice_ring((Ring){dense, 6}, (Motion){0}, *state);
    assert_int_equal(ring.count, 4);
    assert_int_equal(lattice_where(ring, (LatticePoint){0, 500}), 0);
    assert_int_equal(lattice_where(ring, (LatticePoint){1, 500}), 1);
    assert_int_equal(lattice_where(ring, (LatticePoint){-1, 500}), -1);
}

static void a_jigsaw_of_slanted_pieces_touches_without_overlap(void **state)
{
    // Four triangles round an odd point, all on the grid: every inner edge is shared.
    static const Point centre = {37.13, 61.77};
    LatticeRing parts[4];
    for (int i = 0; i < 4; i++) {
        const Point triangle[] = {square[i], square[(i + 1) % 4], centre};
        parts[i] = lattice_ring((Ring){triangle, 3}, (Motion){0}, *state);
    }
    const LatticeRing sheet = at(square, 4, 0, 0, *state);
    for (int i = 0; i < 4; i++) {
        assert_true(lattice_within(parts[i], sheet, *state));
        for (int j = 0; j < 4; j++) {
            assert_true(meet(parts[i], parts[j], *state) == (i == j));
        }
    }
}

static void edges_are_apart_touch_or_cross(void **state)
{
    (void)state;
    const LatticePoint left = {0, 0};
    const LatticePoint right = {100, 0};
    const LatticePoint above = {50, 1};
    const LatticePoint below = {50, -1};
    const LatticePoint middle = {50, 0};
    const LatticePoint beyond = {150, 0};
    const LatticePoint far = {200, 0};
    assert_int_equal(lattice_edges_meet(left, right, below, above), LATTICE_CROSSING);
    assert_int_equal(lattice_edges_meet(left, right, middle, above), LATTICE_TOUCHING);
    assert_int_equal(lattice_edges_meet(middle, above, left, right), LATTICE_TOUCHING);
    assert_int_equal(lattice_edges_meet(left, right, middle, beyond), LATTICE_TOUCHING);
    assert_int_equal(lattice_edges_meet(left, right, right, above), LATTICE_TOUCHING);
    assert_int_equal(lattice_edges_meet(left, right, left, right), LATTICE_TOUCHING);
    assert_int_equal(lattice_edges_meet(left, right, beyond, far), LATTICE_APART);
    assert_int_equal(lattice_edges_meet(left, right, above, beyond), LATTICE_APART);
    assert_int_equal(lattice_edges_meet(left, above, below, right), LATTICE_APART); // boxes meet
    assert_true(lattice_edges_nearer(left, right, beyond, far, 51));
    assert_false(lattice_edges_nearer(left, right, beyond, far, 50));
    assert_true(lattice_edges_nearer(left, right, below, above, 1));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(edges_are_apart_touch_or_cross),
        TEST_IN_ARENA(touching_is_not_overlapping),
        TEST_IN_ARENA(a_shape_overlaps_itself_and_what_it_holds),
        TEST_IN_ARENA(a_plug_fits_its_slot_exactly),
        TEST_IN_ARENA(within_allows_touching),
        TEST_IN_ARENA(a_neck_that_rounds_away_hides_no_overlap),
        TEST_IN_ARENA(a_hole_at_the_end_of_a_slit_is_no_sheet),
        TEST_IN_ARENA(a_gap_is_kept_to_the_last_unit),
        TEST_IN_ARENA(a_slanted_gap_is_measured_square_to_the_edge),
        TEST_IN_ARENA(rounding_drops_repeated_points),
        TEST_IN_ARENA(a_jigsaw_of_slanted_pieces_touches_without_overlap),
    };
    return cmocka_run_group_tests_name("plane/lattice", tests, NULL, NULL);
}
