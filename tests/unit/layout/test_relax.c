#include "layout/relax.h"

#include "shapes.h"
#include "support/check.h"

static const double degree_rad = 0.017453292519943295;

// A relaxation of one sheet and one piece.
typedef struct Case {
    Sheet sheet;
    Piece piece;
    double wider_rad;      // the turn, each way, for each step
    double larger;         // the sheet, for each step
    int opens_at;          // from this step on nothing is forbidden
    const LayoutTask *odd; // given instead of anything
} Case;

static bool make_case(const void *context, int step, Arena *keep, Arena *scratch, LayoutTask *task,
                      Problems *problems)
{
    (void)scratch;
    (void)problems;
    const Case *given = context;
    Sheet *sheet = ARENA_NEW(keep, Sheet);
    Piece *piece = ARENA_NEW(keep, Piece);
    TurnRange *turn = ARENA_NEW(keep, TurnRange);
    *sheet = given->sheet;
    *piece = given->piece;
    sheet->outline = scaled_ring(sheet->outline, 1 + given->larger * step, keep);
    if (given->opens_at > 0 && step >= given->opens_at) {
        memset(sheet->forbidden, 0, sizeof sheet->forbidden);
    }
    turn->from_rad = piece->turns[0].from_rad - given->wider_rad * step;
    turn->to_rad = piece->turns[0].to_rad + given->wider_rad * step;
    piece->turns = turn;
    *task = (LayoutTask){.sheets = sheet, .sheet_count = 1, .pieces = piece, .piece_count = 1};
    if (given->odd) {
        *task = *given->odd;
    }
    return true;
}

static Relaxed relax(const Case *given, int steps, bool near_first, const Layout *start,
                     Arena *keep)
{
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    Problems *problems = problems_in(keep);
    const LayoutRelaxation relaxation = {steps, near_first, make_case,
                                         given, start,      {.seed = 1, .work = 1}};
    Relaxed relaxed;
    const bool good = layout_relax(&relaxation, NULL, keep, scratch, &relaxed, problems);
    assert_true(good);
    assert_int_equal(problems->mistakes, 0);
    if (relaxed.fits) {
        LayoutTask task;
        assert_true(make_case(given, relaxed.step, keep, scratch, &task, problems));
        assert_int_equal(
            layout_check(&task, relaxed.layout.placements, relaxed.layout.count, keep, NULL, 0), 0);
        assert_int_equal(relaxed.layout.count, given->piece.demand);
    }
    arena_destroy(scratch);
    return relaxed;
}

static void a_square_that_needs_three_degrees_more(void **state)
{
    // A square of 500 in one of 510 that stands at 13.9 degrees: it fits while its own turn
    // is within asin(10/500 / sqrt 2) or so, 1.2 degrees, of that. It may turn by 10.
    const TurnRange ten = {-10 * degree_rad, 10 * degree_rad};
    Case given = {.piece = plain_piece(box_ring(-250, -250, 500, 500, *state), 1),
                  .wider_rad = degree_rad};
    given.sheet.outline = ring_moved(box_ring(-255, -255, 510, 510, *state),
                                     (Motion){0, 0, 13.9 * degree_rad}, *state);
    given.piece.turns = &ten;
    const Relaxed relaxed = relax(&given, 20, true, NULL, *state);
    assert_true(relaxed.fits);
    assert_int_equal(relaxed.step, 3);
    const double turned_rad = relaxed.layout.placements[0].motion.turn_rad;
    CHECK_NEAR(turned_rad / degree_rad, 13, 1e-6);
    assert_false(relax(&given, 2, true, NULL, *state).fits);
}

static void a_sheet_five_percent_too_small(void **state)
{
    Case given = {.piece = plain_piece(box_ring(0, 0, 490, 490, *state), 4), .larger = 0.01};
    given.sheet.outline = box_ring(0, 0, 1000 / 1.05, 1000 / 1.05, *state); // 952.4 for 980
    const Relaxed relaxed = relax(&given, 50, false, NULL, *state);
    assert_true(relaxed.fits);
    assert_true(relaxed.step == 3 || relaxed.step == 4); // 980.95; the search's cells may take one
    assert_false(relax(&given, 2, false, NULL, *state).fits);
}

static void a_flaw_that_blocks(void **state)
{
    Case given = {.piece = plain_piece(box_ring(0, 0, 300, 300, *state), 1), .opens_at = 2};
    given.sheet.outline = box_ring(0, 0, 400, 400, *state);
    given.sheet.forbidden[0] = one_polygon(box_ring(190, 190, 20, 20, *state), NULL, 0, *state);
    const Relaxed relaxed = relax(&given, 5, false, NULL, *state);
    assert_true(relaxed.fits);
    assert_int_equal(relaxed.step, 2);
    given.opens_at = 6;
    const Relaxed none = relax(&given, 5, false, NULL, *state);
    assert_false(none.fits);
    assert_false(none.stopped);
}

static void a_layout_is_credited_with_the_least_that_it_needs(void **state)
{
    // Nothing forbids the piece at all: whatever step finds it, the first one would do.
    Case given = {.piece = plain_piece(box_ring(0, 0, 300, 300, *state), 1), .larger = 0.1};
    given.sheet.outline = box_ring(0, 0, 400, 400, *state);
    const Relaxed relaxed = relax(&given, 300, false, NULL, *state);
    assert_true(relaxed.fits);
    assert_int_equal(relaxed.step, 1);
}

static void pieces_stay_where_they_lie_when_that_will_do(void **state)
{
    Case given = {.piece = plain_piece(box_ring(0, 0, 200, 200, *state), 2), .opens_at = 1};
    given.sheet.outline = box_ring(0, 0, 1000, 300, *state);
    given.sheet.forbidden[0] = one_polygon(box_ring(500, 0, 500, 300, *state), NULL, 0, *state);
    Placement placement = {0, 0, {123.45, 67.89, 0}, false};
    int missing = 1;
    const Layout start = {.placements = &placement, .count = 1, .missing = &missing};
    const Relaxed relaxed = relax(&given, 1, false, &start, *state);
    assert_true(relaxed.fits);
    CHECK_NEAR(relaxed.layout.placements[0].motion.x_mm, 123.45, 0);
    CHECK_NEAR(relaxed.layout.placements[0].motion.y_mm, 67.89, 0);
    assert_false(relaxed.layout.placements[0].locked); // it only stayed
    placement.locked = true;
    assert_true(relax(&given, 1, false, &start, *state).layout.placements[0].locked);
}

static void what_area_rules_out_costs_no_work(void **state)
{
    Case given = {.piece = plain_piece(box_ring(0, 0, 300, 300, *state), 10), .larger = 0.001};
    given.sheet.outline = box_ring(0, 0, 400, 400, *state);
    const Relaxed relaxed = relax(&given, 100, false, NULL, *state);
    assert_false(relaxed.fits);
    CHECK_NEAR(relaxed.work, 0, 0);
}

static bool stop_after(void *context, const char *what, double share)
{
    (void)what;
    assert_true(share >= 0 && share <= 1);
    int *left = context;
    return --*left > 0;
}

static void a_stop_keeps_what_is_known(void **state)
{
    Case given = {.piece = plain_piece(box_ring(0, 0, 490, 490, *state), 4), .larger = 0.01};
    given.sheet.outline = box_ring(0, 0, 900, 900, *state);
    const LayoutRelaxation relaxation = {50,     false, make_case,
                                         &given, NULL,  {.seed = 1, .work = 1}};
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    int known = 0;
    int unknown = 0;
    for (int reports = 1; reports < 12; reports++) {
        int left = reports;
        const Progress progress = {stop_after, &left};
        Problems *problems = problems_in(*state);
        Relaxed relaxed;
        assert_true(layout_relax(&relaxation, &progress, *state, scratch, &relaxed, problems));
        assert_int_equal(problems->mistakes, 0);
        assert_true(relaxed.stopped || relaxed.fits);
        known += relaxed.stopped && relaxed.fits;
        unknown += relaxed.stopped && !relaxed.fits;
    }
    assert_true(known > 0 && unknown > 0);
    arena_destroy(scratch);
}

static void nonsense_is_refused(void **state)
{
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    const Point bow[] = {{0, 0}, {10, 10}, {10, 0}, {0, 10}};
    const Sheet crossed = {.outline = {bow, 4}};
    const LayoutTask odd = {.sheets = &crossed, .sheet_count = 1};
    Case given = {.piece = plain_piece(box_ring(0, 0, 1, 1, *state), 1), .odd = &odd};
    given.sheet.outline = box_ring(0, 0, 1, 1, *state);
    for (int steps = 0; steps < 2; steps++) {
        Problems *problems = problems_in(*state);
        Relaxed relaxed;
        const LayoutRelaxation relaxation = {steps,  false, make_case,
                                             &given, NULL,  {.seed = 1, .work = 1}};
        assert_false(layout_relax(&relaxation, NULL, *state, scratch, &relaxed, problems));
        assert_string_equal(problems->items[0].where,
                            steps == 0 ? "relaxation" : "sheets[0].outline");
    }
    arena_destroy(scratch);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(a_square_that_needs_three_degrees_more),
        TEST_IN_ARENA(a_sheet_five_percent_too_small),
        TEST_IN_ARENA(a_flaw_that_blocks),
        TEST_IN_ARENA(a_layout_is_credited_with_the_least_that_it_needs),
        TEST_IN_ARENA(pieces_stay_where_they_lie_when_that_will_do),
        TEST_IN_ARENA(what_area_rules_out_costs_no_work),
        TEST_IN_ARENA(a_stop_keeps_what_is_known),
        TEST_IN_ARENA(nonsense_is_refused),
    };
    return cmocka_run_group_tests_name("layout/relax", tests, NULL, NULL);
}
