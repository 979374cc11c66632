#include "layout/layout.h"

#include "shapes.h"
#include "support/check.h"

static const double half_turn_rad = 3.141592653589793;

// A sheet of 1000 x 1000 and a square of 100 x 100, wanted many times.
typedef struct Bench {
    Sheet sheet;
    Piece piece;
    LayoutTask task;
} Bench;

static Bench *make_bench(Arena *keep)
{
    Bench *bench = ARENA_NEW(keep, Bench);
    bench->sheet = (Sheet){.outline = box_ring(0, 0, 1000, 1000, keep)};
    bench->piece = plain_piece(box_ring(0, 0, 100, 100, keep), 1000);
    bench->task = (LayoutTask){
        .sheets = &bench->sheet, .sheet_count = 1, .pieces = &bench->piece, .piece_count = 1};
    return bench;
}

static Placement at(double x, double y)
{
    return (Placement){.motion = {x, y, 0}};
}

// Judges two placements; returns the faults found and the first of them.
static int judge_two(const Bench *bench, Placement a, Placement b, LayoutFault *fault, Arena *arena)
{
    const Placement both[] = {a, b};
    return layout_check(&bench->task, both, 2, arena, fault, 1);
}

static int judge_one(const Bench *bench, Placement placement, LayoutFault *fault, Arena *arena)
{
    return layout_check(&bench->task, &placement, 1, arena, fault, 1);
}

static void touching_squares_are_accepted(void **state)
{
    const Bench *bench = make_bench(*state);
    LayoutFault fault;
    assert_int_equal(judge_two(bench, at(0, 0), at(100, 0), &fault, *state), 0);
    assert_int_equal(judge_two(bench, at(0, 0), at(100, 50), &fault, *state), 0);
    assert_int_equal(judge_two(bench, at(0, 0), at(100, 100), &fault, *state), 0);
}

static void an_overlap_of_one_grid_step_is_refused(void **state)
{
    const Bench *bench = make_bench(*state);
    LayoutFault fault;
    assert_int_equal(judge_two(bench, at(0, 0), at(99.99, 0), &fault, *state), 1);
    assert_int_equal(fault.kind, LAYOUT_OVERLAP);
    assert_int_equal(fault.placement, 0);
    assert_int_equal(fault.other, 1);
    assert_int_equal(judge_two(bench, at(0, 0), at(0, 0), &fault, *state), 1);
}

static void a_full_checkerboard_is_accepted(void **state)
{
    const Bench *bench = make_bench(*state);
    Placement all[100];
    for (int i = 0; i < 100; i++) {
        all[i] = at(100.0 * (i % 10), 100.0 * (i / 10));
    }
    LayoutFault fault;
    assert_int_equal(layout_check(&bench->task, all, 100, *state, &fault, 1), 0);
    all[55].motion.x_mm += 0.01;
    assert_int_equal(layout_check(&bench->task, all, 100, *state, &fault, 1), 1);
    assert_int_equal(fault.placement, 55);
    assert_int_equal(fault.other, 56);
}

// A sheet cut along crooked lines into 64 quadrilaterals, as a jigsaw: each edge is
// shared exactly, so all pieces are accepted, and any piece that moves is refused.
static void a_jigsaw_is_accepted_until_a_piece_moves(void **state)
{
    enum { SIDE = 8, PIECES = SIDE * SIDE };
    Random random = random_begin(5, 0, 0);
    Point corner[SIDE + 1][SIDE + 1];
    for (int row = 0; row <= SIDE; row++) {
        for (int column = 0; column <= SIDE; column++) {
            const bool free_x = column > 0 && column < SIDE;
            const bool free_y = row > 0 && row < SIDE;
            corner[row][column] =
                (Point){column * 125 + (free_x ? random_below(&random, 6000) * 0.01 - 30 : 0),
                        row * 125 + (free_y ? random_below(&random, 6000) * 0.01 - 30 : 0)};
        }
    }
    Piece pieces[PIECES];
    Placement placements[PIECES];
    for (int i = 0; i < PIECES; i++) {
        const int row = i / SIDE;
        const int column = i % SIDE;
        Point *points = ARENA_ARRAY(*state, Point, 4);
        points[0] = corner[row][column];
        points[1] = corner[row][column + 1];
        points[2] = corner[row + 1][column + 1];
        points[3] = corner[row + 1][column];
        pieces[i] = plain_piece((Ring){points, 4}, 1);
        placements[i] = (Placement){.piece = i};
    }
    const Sheet sheet = {.outline = box_ring(0, 0, 1000, 1000, *state)};
    const LayoutTask task = {
        .sheets = &sheet, .sheet_count = 1, .pieces = pieces, .piece_count = PIECES};
    assert_int_equal(layout_check(&task, placements, PIECES, *state, NULL, 0), 0);
    for (int i = 0; i < PIECES; i++) {
        placements[i].motion = (Motion){0.01, 0, 0};
        assert_true(layout_check(&task, placements, PIECES, *state, NULL, 0) > 0);
        placements[i].motion = (Motion){0, -0.01, 0};
        assert_true(layout_check(&task, placements, PIECES, *state, NULL, 0) > 0);
        placements[i].motion = (Motion){0};
    }
}

static void the_edge_of_the_sheet_is_on_the_sheet(void **state)
{
    const Bench *bench = make_bench(*state);
    LayoutFault fault;
    assert_int_equal(judge_one(bench, at(900, 900), &fault, *state), 0);
    assert_int_equal(judge_one(bench, at(900.01, 900), &fault, *state), 1);
    assert_int_equal(fault.kind, LAYOUT_OFF_SHEET);
    assert_int_equal(judge_one(bench, at(-0.01, 0), &fault, *state), 1);
    assert_int_equal(judge_one(bench, at(5000, 0), &fault, *state), 1);
}

static void a_piece_across_a_bay_is_off_the_sheet(void **state)
{
    Bench *bench = make_bench(*state);
    static const Point u_shape[] = {{0, 0},     {300, 0},   {300, 300}, {200, 300},
                                    {200, 100}, {150, 100}, {150, 300}, {0, 300}};
    bench->sheet.outline = (Ring){u_shape, 8};
    LayoutFault fault;
    assert_int_equal(judge_one(bench, at(50, 0), &fault, *state), 0);
    assert_int_equal(judge_one(bench, at(120, 0), &fault, *state), 0); // touches the bay
    assert_int_equal(judge_one(bench, at(120, 0.01), &fault, *state), 1);
    assert_int_equal(fault.kind, LAYOUT_OFF_SHEET);
    // All corners on the sheet, the bay between them.
    bench->piece.outline[0] = box_ring(0, 0, 200, 100, *state);
    assert_int_equal(judge_one(bench, at(50, 150), &fault, *state), 1);
}

static void holes_of_the_sheet_are_kept_off(void **state)
{
    Bench *bench = make_bench(*state);
    Ring holes[] = {ring_reversed(box_ring(400, 400, 50, 50, *state), *state)};
    bench->sheet.holes = holes;
    bench->sheet.hole_count = 1;
    LayoutFault fault;
    assert_int_equal(judge_one(bench, at(300, 400), &fault, *state), 0);
    assert_int_equal(judge_one(bench, at(300.01, 400), &fault, *state), 1);
    assert_int_equal(fault.kind, LAYOUT_OFF_SHEET);
    assert_int_equal(judge_one(bench, at(380, 380), &fault, *state), 1); // hole inside the piece
    bench->piece.outline[0] = box_ring(0, 0, 10, 10, *state);
    assert_int_equal(judge_one(bench, at(420, 420), &fault, *state), 1); // piece inside the hole
}

static void flaws_inside_pieces_and_pieces_inside_flaws_are_seen(void **state)
{
    Bench *bench = make_bench(*state);
    bench->sheet.forbidden[0] = one_polygon(box_ring(400, 400, 20, 20, *state), NULL, 0, *state);
    LayoutFault fault;
    assert_int_equal(judge_one(bench, at(350, 350), &fault, *state), 1);
    assert_int_equal(fault.kind, LAYOUT_ON_FORBIDDEN);
    assert_int_equal(fault.other, 0);
    assert_int_equal(fault.depth, 0);
    assert_int_equal(judge_one(bench, at(300, 350), &fault, *state), 0);
    bench->sheet.forbidden[0] = one_polygon(box_ring(300, 300, 500, 500, *state), NULL, 0, *state);
    assert_int_equal(judge_one(bench, at(400, 400), &fault, *state), 1);
    assert_int_equal(judge_one(bench, at(300, 300), &fault, *state), 1);
    assert_int_equal(judge_one(bench, at(200, 300), &fault, *state), 0);
}

static void a_piece_may_lie_in_the_hole_of_an_area(void **state)
{
    Bench *bench = make_bench(*state);
    const Ring holes[] = {ring_reversed(box_ring(400, 400, 100, 100, *state), *state),
                          ring_reversed(box_ring(500, 600, 150, 150, *state), *state)};
    bench->sheet.forbidden[0] = one_polygon(box_ring(200, 200, 600, 600, *state), holes, 2, *state);
    LayoutFault fault;
    assert_int_equal(judge_one(bench, at(400, 400), &fault, *state), 0); // fills the hole
    assert_int_equal(judge_one(bench, at(540, 620), &fault, *state), 0);
    assert_int_equal(judge_one(bench, at(400.01, 400), &fault, *state), 1);
    assert_int_equal(judge_one(bench, at(450, 500), &fault, *state), 1); // over both
    assert_int_equal(judge_one(bench, at(0, 0), &fault, *state), 0);
    // Larger than the hole and round it.
    bench->piece.outline[0] = box_ring(0, 0, 120, 120, *state);
    assert_int_equal(judge_one(bench, at(390, 390), &fault, *state), 1);
}

static void each_depth_keeps_off_its_own_areas(void **state)
{
    Bench *bench = make_bench(*state);
    bench->piece.depth_count = 3;
    bench->piece.outline[1] = box_ring(20, 20, 60, 60, *state);
    bench->piece.outline[2] = box_ring(40, 40, 20, 20, *state);
    bench->sheet.forbidden[2] = one_polygon(box_ring(500, 500, 10, 10, *state), NULL, 0, *state);
    LayoutFault fault;
    assert_int_equal(judge_one(bench, at(480, 470), &fault, *state), 0); // under depth 1 only
    assert_int_equal(judge_one(bench, at(450, 450), &fault, *state), 1);
    assert_int_equal(fault.depth, 2);
    bench->sheet.forbidden[3] = bench->sheet.forbidden[2]; // deeper than the piece goes
    bench->sheet.forbidden[2] = (PolygonSet){0};
    assert_int_equal(judge_one(bench, at(450, 450), &fault, *state), 0);
}

static void the_gap_is_exact(void **state)
{
    Bench *bench = make_bench(*state);
    bench->sheet.gap_mm = 5;
    LayoutFault fault;
    assert_int_equal(judge_two(bench, at(0, 0), at(105, 0), &fault, *state), 0);
    assert_int_equal(judge_two(bench, at(0, 0), at(104.99, 0), &fault, *state), 1);
    assert_int_equal(fault.kind, LAYOUT_GAP);
    // From corner to corner: the 3, 4, 5 triangle.
    assert_int_equal(judge_two(bench, at(0, 0), at(103, 104), &fault, *state), 0);
    assert_int_equal(judge_two(bench, at(0, 0), at(102.99, 104), &fault, *state), 1);
    // The edge of the sheet asks for no gap.
    assert_int_equal(judge_two(bench, at(0, 0), at(900, 900), &fault, *state), 0);
}

static void turns_outside_their_intervals_are_refused(void **state)
{
    Bench *bench = make_bench(*state);
    const TurnRange turns[] = {{-0.1, 0.1}};
    bench->piece.turns = turns;
    LayoutFault fault;
    Placement placement = {.motion = {500, 500, 0.1}};
    assert_int_equal(judge_one(bench, placement, &fault, *state), 0);
    placement.motion.turn_rad = 0.1 + 4 * half_turn_rad;
    assert_int_equal(judge_one(bench, placement, &fault, *state), 0);
    placement.motion.turn_rad = -0.1 - 2 * half_turn_rad;
    assert_int_equal(judge_one(bench, placement, &fault, *state), 0);
    placement.motion.turn_rad = 0.1 + 1e-6;
    assert_int_equal(judge_one(bench, placement, &fault, *state), 1);
    assert_int_equal(fault.kind, LAYOUT_TURN);
    placement.motion.turn_rad = half_turn_rad;
    assert_int_equal(judge_one(bench, placement, &fault, *state), 1);
    bench->piece.turn_symmetry = 2; // half turned it looks the same
    assert_int_equal(judge_one(bench, placement, &fault, *state), 0);
    placement.motion.turn_rad = half_turn_rad / 2;
    assert_int_equal(judge_one(bench, placement, &fault, *state), 1);
    bench->piece.turn_symmetry = 0; // round
    assert_int_equal(judge_one(bench, placement, &fault, *state), 0);
}

static void numbers_out_of_range_are_refused(void **state)
{
    Bench *bench = make_bench(*state);
    bench->piece.demand = 1;
    LayoutFault fault;
    assert_int_equal(judge_two(bench, at(0, 0), at(200, 0), &fault, *state), 1);
    assert_int_equal(fault.kind, LAYOUT_COUNT);
    assert_int_equal(fault.placement, 1);
    const Placement bad[] = {
        {.piece = 1},
        {.piece = -1},
        {.sheet = 1},
        {.sheet = -1},
        {.motion = {(double)NAN, 0, 0}},
        {.motion = {0, (double)INFINITY, 0}},
        {.motion = {0, 0, (double)NAN}},
        {.motion = {1e300, 0, 0}},
    };
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        assert_int_equal(judge_one(bench, bad[i], &fault, *state), 1);
        assert_int_equal(fault.kind, LAYOUT_COUNT);
    }
}

static void all_faults_are_counted_and_no_more_written_than_there_is_room(void **state)
{
    const Bench *bench = make_bench(*state);
    const Placement pile[] = {at(0, 0), at(1, 0), at(2, 0), at(3, 0)};
    LayoutFault faults[3] = {[2] = {.placement = 77}};
    const size_t used = arena_used_bytes(*state);
    assert_int_equal(layout_check(&bench->task, pile, 4, *state, faults, 2), 6);
    assert_int_equal(faults[2].placement, 77);
    assert_int_equal(arena_used_bytes(*state), used); // scratch is given back
}

static void pieces_on_different_sheets_do_not_meet(void **state)
{
    Bench *bench = make_bench(*state);
    const Sheet sheets[] = {bench->sheet, bench->sheet};
    bench->task.sheets = sheets;
    bench->task.sheet_count = 2;
    LayoutFault fault;
    Placement second = at(0, 0);
    second.sheet = 1;
    assert_int_equal(judge_two(bench, at(0, 0), second, &fault, *state), 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(touching_squares_are_accepted),
        TEST_IN_ARENA(an_overlap_of_one_grid_step_is_refused),
        TEST_IN_ARENA(a_full_checkerboard_is_accepted),
        TEST_IN_ARENA(a_jigsaw_is_accepted_until_a_piece_moves),
        TEST_IN_ARENA(the_edge_of_the_sheet_is_on_the_sheet),
        TEST_IN_ARENA(a_piece_across_a_bay_is_off_the_sheet),
        TEST_IN_ARENA(holes_of_the_sheet_are_kept_off),
        TEST_IN_ARENA(flaws_inside_pieces_and_pieces_inside_flaws_are_seen),
        TEST_IN_ARENA(a_piece_may_lie_in_the_hole_of_an_area),
        TEST_IN_ARENA(each_depth_keeps_off_its_own_areas),
        TEST_IN_ARENA(the_gap_is_exact),
        TEST_IN_ARENA(turns_outside_their_intervals_are_refused),
        TEST_IN_ARENA(numbers_out_of_range_are_refused),
        TEST_IN_ARENA(all_faults_are_counted_and_no_more_written_than_there_is_room),
        TEST_IN_ARENA(pieces_on_different_sheets_do_not_meet),
    };
    return cmocka_run_group_tests_name("layout/check", tests, NULL, NULL);
}
