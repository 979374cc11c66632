#include "layout/bound.h"

#include "shapes.h"
#include "support/check.h"

static LayoutBound bound_of(const LayoutTask *task, Arena *keep)
{
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    Problems *problems = problems_in(keep);
    LayoutBound bound = {.most = -1};
    const bool good = layout_bound(task, NULL, keep, scratch, &bound, problems);
    arena_destroy(scratch);
    assert_true(good);
    return bound;
}

static LayoutTask task_of(const Sheet *sheet, const Piece *pieces, int piece_count)
{
    return (LayoutTask){
        .sheets = sheet, .sheet_count = 1, .pieces = pieces, .piece_count = piece_count};
}

static void area_bounds_the_copies(void **state)
{
    const Sheet sheet = {.outline = box_ring(0, 0, 1000, 1000, *state)};
    const Piece piece = plain_piece(box_ring(0, 0, 450, 450, *state), 7);
    const LayoutTask task = task_of(&sheet, &piece, 1);
    const LayoutBound bound = bound_of(&task, *state);
    assert_int_equal(bound.wanted, 7);
    assert_int_equal(bound.most, 4); // 1e6 / 202500 = 4.9
    CHECK_NEAR(bound.value, 1e6 / 202500, 0.001);
    CHECK_NEAR(bound.depth[0].needed_mm2, 7 * 202500, 200);
    CHECK_NEAR(bound.depth[0].allowed_mm2, 1e6, 50);
    assert_false(bound.nowhere[0]);
}

static void pieces_that_fill_the_sheet_are_not_ruled_out(void **state)
{
    // Sixteen squares without a hair between them, and one more.
    const Sheet sheet = {.outline = box_ring(0, 0, 1000, 1000, *state)};
    Piece piece = plain_piece(box_ring(0, 0, 250, 250, *state), 16);
    const LayoutTask task = task_of(&sheet, &piece, 1);
    assert_int_equal(bound_of(&task, *state).most, 16);
    piece.demand = 17;
    assert_int_equal(bound_of(&task, *state).most, 16);
}

static void the_smallest_are_counted_first(void **state)
{
    const Sheet sheet = {.outline = box_ring(0, 0, 100, 100, *state)};
    Piece pieces[] = {plain_piece(box_ring(0, 0, 60, 60, *state), 3),
                      plain_piece(box_ring(0, 0, 20, 20, *state), 10)};
    pieces[0].value = 36;
    pieces[1].value = 1;
    const LayoutTask task = task_of(&sheet, pieces, 2);
    const LayoutBound bound = bound_of(&task, *state);
    // 10 x 400, then one of 3600 within 6000. By value the large ones are worth more for
    // their area: 3600 each for 36, so 10000 mm2 for 100.
    assert_int_equal(bound.most, 11);
    CHECK_NEAR(bound.value, 100, 0.5);
}

static void each_depth_has_its_own_bound(void **state)
{
    // A tenth of the sheet is good enough for the inner outline, 250 x 80.
    Sheet sheet = {.outline = box_ring(0, 0, 1000, 1000, *state)};
    sheet.forbidden[1] = one_polygon(box_ring(0, 0, 1000, 900, *state), NULL, 0, *state);
    Piece piece = plain_piece(box_ring(0, 0, 300, 300, *state), 7);
    piece.depth_count = 2;
    piece.outline[1] = box_ring(25, 215, 250, 80, *state);
    const LayoutTask task = task_of(&sheet, &piece, 1);
    const LayoutBound bound = bound_of(&task, *state);
    CHECK_NEAR(bound.depth[1].allowed_mm2, 1e5, 50);
    assert_int_equal(bound.depth[0].most, 7);
    assert_int_equal(bound.depth[1].most, 5); // 1e5 / 2e4
    assert_int_equal(bound.most, 5);
}

static void an_inner_outline_is_bound_by_what_the_outer_one_keeps_off(void **state)
{
    Sheet sheet = {.outline = box_ring(0, 0, 1000, 100, *state)};
    sheet.forbidden[0] = one_polygon(box_ring(0, 0, 500, 100, *state), NULL, 0, *state);
    sheet.forbidden[1] = one_polygon(box_ring(600, 0, 400, 100, *state), NULL, 0, *state);
    Piece piece = plain_piece(box_ring(0, 0, 90, 90, *state), 5);
    piece.depth_count = 2;
    piece.outline[1] = box_ring(5, 5, 80, 80, *state);
    const LayoutTask task = task_of(&sheet, &piece, 1);
    const LayoutBound bound = bound_of(&task, *state);
    CHECK_NEAR(bound.depth[1].allowed_mm2, 100 * 100, 10);
    assert_int_equal(bound.most, 1);
    piece.depth_count = 3;
    piece.outline[2] = box_ring(10, 10, 70, 70, *state);
    CHECK_NEAR(bound_of(&task, *state).depth[2].allowed_mm2, 100 * 100, 10);
}

static void parts_too_small_for_any_piece_do_not_count(void **state)
{
    // A stripe leaves 450 on one side and 540 on the other; only there a piece has room.
    Sheet sheet = {.outline = box_ring(0, 0, 1000, 500, *state)};
    sheet.forbidden[0] = one_polygon(box_ring(450, 0, 10, 500, *state), NULL, 0, *state);
    Piece piece = plain_piece(box_ring(0, 0, 500, 480, *state), 2);
    const LayoutTask task = task_of(&sheet, &piece, 1);
    const LayoutBound bound = bound_of(&task, *state);
    CHECK_NEAR(bound.depth[0].allowed_mm2, 540 * 500, 50);
    assert_int_equal(bound.most, 1);
}

static void pieces_that_fit_nowhere_are_told(void **state)
{
    Sheet sheet = {.outline = box_ring(0, 0, 1000, 300, *state)};
    Ring hole = box_ring(480, 0.5, 20, 299, *state);
    sheet.holes = &hole;
    sheet.hole_count = 1;
    Piece pieces[] = {plain_piece(box_ring(0, 0, 1050, 20, *state), 2),  // too long
                      plain_piece(box_ring(0, 0, 600, 550, *state), 1),  // too large
                      plain_piece(box_ring(0, 0, 200, 200, *state), 3)}; // has room
    const LayoutTask task = task_of(&sheet, pieces, 3);
    const LayoutBound bound = bound_of(&task, *state);
    assert_true(bound.nowhere[0]);
    assert_true(bound.nowhere[1]);
    assert_false(bound.nowhere[2]);
    assert_int_equal(bound.most, 3);
    CHECK_NEAR(bound.depth[0].needed_mm2, 3 * 40000, 50); // what cannot lie asks for no area
}

static bool fits_nowhere_on(const Sheet *sheet, const Piece *piece, Arena *keep)
{
    const LayoutTask task = task_of(sheet, piece, 1);
    const LayoutBound bound = bound_of(&task, keep);
    assert_int_equal(bound.most, bound.nowhere[0] ? 0 : piece->demand);
    return bound.nowhere[0];
}

static void a_spot_that_no_place_avoids(void **state)
{
    // 300 in 400 must cover the middle 200 x 200, up to what cells of 1 mm can tell.
    Sheet sheet = {.outline = box_ring(0, 0, 400, 400, *state)};
    const Piece piece = plain_piece(box_ring(0, 0, 300, 300, *state), 1);
    sheet.forbidden[0] = one_polygon(box_ring(190, 190, 20, 20, *state), NULL, 0, *state);
    assert_true(fits_nowhere_on(&sheet, &piece, *state));
    sheet.forbidden[0] = one_polygon(box_ring(310, 190, 20, 20, *state), NULL, 0, *state);
    assert_false(fits_nowhere_on(&sheet, &piece, *state));
    sheet.forbidden[0] = one_polygon(box_ring(290, 190, 20, 20, *state), NULL, 0, *state);
    assert_true(fits_nowhere_on(&sheet, &piece, *state));
    sheet.forbidden[0] = one_polygon(box_ring(300, 190, 20, 20, *state), NULL, 0, *state);
    assert_false(fits_nowhere_on(&sheet, &piece, *state));
}

// Whatever the piece and its turns: a sheet that is the piece itself, moved, holds it.
static void a_piece_fits_its_own_outline(void **state)
{
    const int trials = TRIALS_OF(150);
    for (uint64_t seed = 1; seed <= (uint64_t)trials; seed++) {
        const ArenaMark mark = arena_mark(*state);
        Random random = random_begin(seed, 0, 0);
        Piece piece = plain_piece(star_ring((Point){30, -20}, 200, 0.5, 1, &random, *state), 1);
        piece.depth_count = 2;
        piece.outline[1] = scaled_ring(piece.outline[0], 0.5, *state);
        const double turn_rad = random_between(&random, -3, 3);
        const TurnRange turn = {turn_rad - random_between(&random, 0, 0.3),
                                turn_rad + random_between(&random, 0, 0.3)};
        piece.turns = &turn;
        piece.turn_symmetry = random_below(&random, 3);
        const Motion motion = {random_between(&random, -500, 500),
                               random_between(&random, -500, 500), turn_rad};
        Sheet sheet = {.outline = ring_moved(piece.outline[0], motion, *state)};
        // What is bad for the inner outline begins right behind it.
        Ring hole = ring_reversed(ring_moved(piece.outline[1], motion, *state), *state);
        const Ring round = box_ring(-3000, -3000, 6000, 6000, *state);
        sheet.forbidden[1] = one_polygon(round, &hole, 1, *state);
        const LayoutTask task = task_of(&sheet, &piece, 1);
        const Placement placement = {0, 0, motion, false};
        if (layout_check(&task, &placement, 1, *state, NULL, 0) == 0) {
            assert_false(bound_of(&task, *state).nowhere[0]);
        }
        arena_rewind(*state, mark);
    }
}

static void turns_are_told_apart(void **state)
{
    // 300 x 120 on a strip of 200: lengthwise only, within asin(80 / 300) or so.
    const Sheet sheet = {.outline = box_ring(0, 0, 600, 200, *state)};
    Piece piece = plain_piece(box_ring(-150, -60, 300, 120, *state), 1);
    const TurnRange across = {1.2, 1.9};
    const TurnRange along = {1.2, 3.3};
    piece.turns = &across;
    assert_true(fits_nowhere_on(&sheet, &piece, *state));
    piece.turns = &along;
    assert_false(fits_nowhere_on(&sheet, &piece, *state));
    piece.turns = &across;
    piece.turn_symmetry = 0; // looks the same at any turn, says the caller
    assert_false(fits_nowhere_on(&sheet, &piece, *state));
}

static void an_inner_outline_may_have_no_place(void **state)
{
    // Stripes of bad ground 60 wide and 60 apart: no place for an inner outline of 100.
    Sheet sheet = {.outline = box_ring(0, 0, 600, 600, *state)};
    Polygon stripes[5];
    for (int i = 0; i < 5; i++) {
        stripes[i] = (Polygon){.outer = box_ring(120 * i + 30, -1, 60, 602, *state)};
    }
    sheet.forbidden[1] = (PolygonSet){stripes, 5};
    Piece piece = plain_piece(box_ring(0, 0, 200, 200, *state), 1);
    assert_false(fits_nowhere_on(&sheet, &piece, *state));
    piece.depth_count = 2;
    piece.outline[1] = box_ring(50, 50, 100, 30, *state);
    assert_true(fits_nowhere_on(&sheet, &piece, *state));
    piece.outline[1] = box_ring(50, 50, 30, 100, *state);
    assert_false(fits_nowhere_on(&sheet, &piece, *state));
}

static void outlines_that_are_not_nested_bound_nothing(void **state)
{
    // Inner outlines beside their pieces may share their places.
    Sheet sheet = {.outline = box_ring(0, 0, 1000, 1000, *state)};
    Piece piece = plain_piece(box_ring(0, 0, 10, 10, *state), 3);
    piece.depth_count = 2;
    piece.outline[1] = box_ring(20, 20, 900, 900, *state);
    const LayoutTask task = task_of(&sheet, &piece, 1);
    const LayoutBound bound = bound_of(&task, *state);
    assert_int_equal(bound.depth_count, 1);
    assert_int_equal(bound.most, 3);
}

static void nothing_and_nonsense(void **state)
{
    const Piece piece = plain_piece(box_ring(0, 0, 10, 10, *state), 3);
    LayoutTask task = {.pieces = &piece, .piece_count = 1};
    assert_int_equal(bound_of(&task, *state).most, 0); // no sheet
    task = (LayoutTask){0};
    assert_int_equal(bound_of(&task, *state).most, 0);
    const Point bow[] = {{0, 0}, {10, 10}, {10, 0}, {0, 10}};
    const Sheet crossed = {.outline = {bow, 4}};
    task = task_of(&crossed, &piece, 1);
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    Problems *problems = problems_in(*state);
    LayoutBound bound;
    assert_false(layout_bound(&task, NULL, *state, scratch, &bound, problems));
    assert_string_equal(problems->items[0].where, "sheets[0].outline");
    arena_destroy(scratch);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(area_bounds_the_copies),
        TEST_IN_ARENA(pieces_that_fill_the_sheet_are_not_ruled_out),
        TEST_IN_ARENA(the_smallest_are_counted_first),
        TEST_IN_ARENA(each_depth_has_its_own_bound),
        TEST_IN_ARENA(an_inner_outline_is_bound_by_what_the_outer_one_keeps_off),
        TEST_IN_ARENA(parts_too_small_for_any_piece_do_not_count),
        TEST_IN_ARENA(pieces_that_fit_nowhere_are_told),
        TEST_IN_ARENA(a_spot_that_no_place_avoids),
        TEST_IN_ARENA(a_piece_fits_its_own_outline),
        TEST_IN_ARENA(turns_are_told_apart),
        TEST_IN_ARENA(an_inner_outline_may_have_no_place),
        TEST_IN_ARENA(outlines_that_are_not_nested_bound_nothing),
        TEST_IN_ARENA(nothing_and_nonsense),
    };
    return cmocka_run_group_tests_name("layout/bound", tests, NULL, NULL);
}
