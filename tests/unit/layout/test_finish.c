#include "layout/finish.h"

#include "layout/measure.h"
#include "random_task.h"
#include "support/check.h"

static const double pi = 3.141592653589793;

static Layout search(const LayoutTask *task, double work, Arena *keep)
{
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    Layout layout = {0};
    Problems *problems = problems_in(keep);
    assert_true(layout_search(task, (LayoutOptions){.seed = 1, .work = work}, NULL, keep, scratch,
                              &layout, problems));
    assert_int_equal(layout_check(task, layout.placements, layout.count, scratch, NULL, 0), 0);
    arena_destroy(scratch);
    return layout;
}

// What was taken from earlier measures is what measuring anew gives.
static void check_measured(const LayoutTask *task, const Layout *layout, Arena *keep,
                           Arena *scratch)
{
    const LayoutMeasures anew =
        layout_measure(task, layout->placements, layout->count, keep, scratch);
    for (int i = 0; i < task->sheet_count; i++) {
        const Remnant *one = &layout->measures.remnants[i];
        const Remnant *other = &anew.remnants[i];
        assert_int_equal(one->parts, other->parts);
        assert_true(one->area_mm2 == other->area_mm2);
        assert_memory_equal(&one->rectangle, &other->rectangle, sizeof one->rectangle);
    }
    assert_true(layout->measures.cost == anew.cost);
}

static Layout finish(const LayoutTask *task, const Placement *placements, int count, double work,
                     Arena *keep)
{
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    Layout layout = {.placements = ARENA_ARRAY(keep, Placement, count + 1), .count = count};
    for (int i = 0; i < count; i++) {
        layout.placements[i] = placements[i];
    }
    finish_run(task, work, NULL, keep, scratch, &layout);
    assert_int_equal(layout_check(task, layout.placements, layout.count, scratch, NULL, 0), 0);
    check_measured(task, &layout, keep, scratch);
    assert_int_equal(arena_used_bytes(scratch), 0);
    arena_destroy(scratch);
    return layout;
}

static double rectangle_mm2(const Layout *layout, int sheet)
{
    const Box box = layout->measures.remnants[sheet].rectangle;
    return (box.max.x - box.min.x) * (box.max.y - box.min.y);
}

static void one_piece_goes_to_a_corner(void **state)
{
    const Sheet sheet = {.outline = box_ring(0, 0, 1000, 600, *state)};
    const Piece piece = plain_piece(box_ring(0, 0, 300, 200, *state), 1);
    const LayoutTask task = {
        .sheets = &sheet, .sheet_count = 1, .pieces = &piece, .piece_count = 1};
    const Placement middle = {0, 0, {333, 222, 0}, false};
    const Layout layout = finish(&task, &middle, 1, 0.1, *state);
    // Exactly: the piece touches both edges, and the best rectangle is left.
    CHECK_NEAR(rectangle_mm2(&layout, 0), 700 * 600, 1e-6);
    const Motion motion = layout.placements[0].motion;
    assert_true(fabs(motion.x_mm) < 1e-9 || fabs(motion.x_mm - 700) < 1e-9);
    assert_true(fabs(motion.y_mm) < 1e-9 || fabs(motion.y_mm - 400) < 1e-9);
}

// Each of many sheets is finished as one alone is.
static void many_sheets_are_finished_as_well_as_one(void **state)
{
    enum { SHEETS = 8 };
    Sheet sheets[SHEETS];
    Placement middles[SHEETS];
    for (int i = 0; i < SHEETS; i++) {
        sheets[i] = (Sheet){.outline = box_ring(0, 0, 1000 + 50 * i, 600, *state)};
        middles[i] = (Placement){0, i, {333, 222, 0}, i == 3};
    }
    const Piece piece = plain_piece(box_ring(0, 0, 300, 200, *state), SHEETS);
    const LayoutTask task = {
        .sheets = sheets, .sheet_count = SHEETS, .pieces = &piece, .piece_count = 1};
    const Layout layout = finish(&task, middles, SHEETS, 0.3, *state);
    for (int i = 0; i < SHEETS; i++) {
        const Placement *placement = &layout.placements[i];
        if (i == 3) {
            CHECK_NEAR(placement->motion.x_mm, 333, 0);
            assert_true(placement->locked);
        } else {
            CHECK_NEAR(rectangle_mm2(&layout, placement->sheet),
                       (700 + 50 * placement->sheet) * 600, 1e-6);
        }
    }
}

static void a_locked_piece_stays(void **state)
{
    const Sheet sheet = {.outline = box_ring(0, 0, 1000, 600, *state)};
    const Piece piece = plain_piece(box_ring(0, 0, 300, 200, *state), 1);
    const LayoutTask task = {
        .sheets = &sheet, .sheet_count = 1, .pieces = &piece, .piece_count = 1};
    const Placement middle = {0, 0, {333, 222, 0}, true};
    const Layout layout = finish(&task, &middle, 1, 0.1, *state);
    CHECK_NEAR(layout.placements[0].motion.x_mm, 333, 0);
    CHECK_NEAR(layout.placements[0].motion.y_mm, 222, 0);
}

// A field that rises from left to right over the sheet.
static CostField ramp(double width_mm, Arena *keep)
{
    const int columns = 50;
    float *cost = ARENA_ARRAY(keep, float, columns);
    for (int i = 0; i < columns; i++) {
        cost[i] = (float)i / (float)columns;
    }
    const double step_mm = width_mm / columns;
    // One row; below and above it the nearest cell counts.
    return (CostField){{step_mm / 2, step_mm / 2}, step_mm, columns, 1, cost};
}

// A cheaper place that asks for a tilt is no gain; a turn to the other middle is none to lose.
static void no_stage_tilts_a_piece(void **state)
{
    const Sheet sheet = {.outline = box_ring(0, 0, 2000, 420, *state), .field = ramp(2000, *state)};
    const TurnRange turns = {-0.15, 0.15};
    Piece piece = plain_piece(box_ring(0, 0, 300, 380, *state), 1);
    piece.turns = &turns;
    const LayoutTask task = {
        .sheets = &sheet, .sheet_count = 1, .pieces = &piece, .piece_count = 1};
    for (int seed = 0; seed < 8; seed++) {
        const Placement dear = {0, 0, {400 + 150.0 * seed, 10, 0}, false};
        const Layout layout = finish(&task, &dear, 1, 0.1, *state);
        CHECK_NEAR(layout.placements[0].motion.turn_rad, 0, 1e-9);
    }
}

static void a_ramp_of_costs_pulls_to_its_cheap_end(void **state)
{
    const Sheet sheet = {.outline = box_ring(0, 0, 2000, 400, *state), .field = ramp(2000, *state)};
    const Piece piece = plain_piece(box_ring(0, 0, 300, 380, *state), 2);
    const LayoutTask task = {
        .sheets = &sheet, .sheet_count = 1, .pieces = &piece, .piece_count = 1};
    const Placement dear[] = {{0, 0, {1500, 10, 0}, false}, {0, 0, {900, 10, 0}, false}};
    const Layout layout = finish(&task, dear, 2, 0.1, *state);
    const double first = layout.placements[0].motion.x_mm;
    const double second = layout.placements[1].motion.x_mm;
    // Both within the tolerance of the best: 0.002 of the highest cost, on the mean.
    assert_true(first + second <= 300 + 2 * 2000 * 0.002 + 40);
}

static void partners_end_side_by_side_and_turned_alike(void **state)
{
    const Sheet sheet = {.outline = box_ring(0, 0, 2000, 400, *state)};
    const TurnRange turns[] = {{0, 0}, {pi, pi}};
    // A taper, so that a half turn can be told.
    const Point taper[] = {{-100, -100}, {100, -100}, {80, 100}, {-80, 100}};
    Piece pieces[] = {plain_piece((Ring){taper, 4}, 1), plain_piece((Ring){taper, 4}, 1),
                      plain_piece(box_ring(-100, -150, 200, 300, *state), 2)};
    for (int i = 0; i < 2; i++) {
        pieces[i].partners = 1;
        pieces[i].turns = turns;
        pieces[i].turn_count = 2;
    }
    const LayoutTask task = {
        .sheets = &sheet, .sheet_count = 1, .pieces = pieces, .piece_count = 3};
    const Placement apart[] = {{0, 0, {150, 200, 0}, false},
                               {1, 0, {1800, 200, pi}, false},
                               {2, 0, {700, 200, 0}, false},
                               {2, 0, {1200, 200, 0}, false}};
    const Layout layout = finish(&task, apart, 4, 0.2, *state);
    CHECK_NEAR(layout.measures.partner_turn_rad, 0, 1e-9);
    // Side by side, or one above the other: 200 apart, with a tolerance of 0.05 of the size.
    const double size_mm = measure_size_mm(&task);
    assert_true(layout.measures.partner_distance_mm <= 200 + 0.05 * size_mm + 10);
}

// On a full sheet nothing can move, but pieces of one outline can change places.
static void alike_pieces_change_places_to_meet_their_partners(void **state)
{
    const Sheet sheet = {.outline = box_ring(0, 0, 600, 100, *state)};
    Piece pieces[6];
    Placement placements[6];
    for (int i = 0; i < 6; i++) {
        pieces[i] = plain_piece(box_ring(0, 0, 100, 100, *state), 1);
        pieces[i].partners = 1 + i % 3;
        placements[i] = (Placement){i, 0, {100.0 * i, 0, 0}, false};
    }
    const LayoutTask task = {
        .sheets = &sheet, .sheet_count = 1, .pieces = pieces, .piece_count = 6};
    CHECK_NEAR(finish(&task, placements, 6, 0, *state).measures.partner_distance_mm, 300, 1e-6);
    CHECK_NEAR(finish(&task, placements, 6, 0.05, *state).measures.partner_distance_mm, 100, 1e-6);
    placements[4].locked = true;
    const Layout held = finish(&task, placements, 6, 0.05, *state);
    CHECK_NEAR(held.measures.partner_distance_mm, 100, 1e-6);
    CHECK_NEAR(held.placements[4].motion.x_mm, 400, 0);
}

static void nothing_stays_tilted_for_no_gain(void **state)
{
    const Sheet sheet = {.outline = box_ring(0, 0, 1000, 1000, *state)};
    const TurnRange turn = {-0.2, 0.2};
    Piece piece = plain_piece(box_ring(-100, -100, 200, 200, *state), 2);
    piece.turns = &turn;
    const LayoutTask task = {
        .sheets = &sheet, .sheet_count = 1, .pieces = &piece, .piece_count = 1};
    const Placement tilted[] = {{0, 0, {300, 300, 0.2}, false}, {0, 0, {600, 600, -0.1}, false}};
    const Layout layout = finish(&task, tilted, 2, 0.2, *state);
    CHECK_NEAR(layout.measures.off_middle_rad, 0, 1e-9);
}

static void straightening_pushes_others_away(void **state)
{
    // The first finds no room to be straight unless the second gives way, whose own way to the
    // left is barred by the first.
    const Sheet sheet = {.outline = box_ring(0, 0, 1000, 320, *state)};
    const TurnRange turn = {-0.1, 0.1};
    Piece pieces[] = {plain_piece(box_ring(-100, -145, 200, 290, *state), 1),
                      plain_piece(box_ring(0, 0, 700, 300, *state), 1)};
    pieces[0].turns = &turn;
    const LayoutTask task = {
        .sheets = &sheet, .sheet_count = 1, .pieces = pieces, .piece_count = 2};
    const Placement tight[] = {{0, 0, {120, 160, 0.06}, false}, {1, 0, {240, 10, 0}, false}};
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    assert_int_equal(layout_check(&task, tight, 2, scratch, NULL, 0), 0);
    arena_destroy(scratch);
    const Layout layout = finish(&task, tight, 2, 0.2, *state);
    CHECK_NEAR(layout.measures.off_middle_rad, 0, 1e-9);
}

static void the_callers_order_counts(void **state)
{
    // A wall a little beyond the middle: the largest rectangle is left of it, and stays when the
    // piece lies right of it, where all is dear.
    Sheet sheet = {.outline = box_ring(0, 0, 2000, 400, *state), .field = ramp(2000, *state)};
    sheet.forbidden[0] = one_polygon(box_ring(1010, 0, 10, 400, *state), NULL, 0, *state);
    const Piece piece = plain_piece(box_ring(0, 0, 300, 380, *state), 1);
    LayoutTask task = {.sheets = &sheet, .sheet_count = 1, .pieces = &piece, .piece_count = 1};
    const LayoutWish rectangle_first[] = {LAYOUT_WISH_RECTANGLE, LAYOUT_WISH_COST};
    const Placement left = {0, 0, {500, 10, 0}, false};
    assert_true(finish(&task, &left, 1, 0.1, *state).placements[0].motion.x_mm < 100);
    task.wishes = rectangle_first;
    task.wish_count = 2;
    const Layout layout = finish(&task, &left, 1, 0.1, *state);
    CHECK_NEAR(rectangle_mm2(&layout, 0), 1010 * 400, 1e-6);
    // And among the places right of the wall, the cheapest.
    CHECK_NEAR(layout.placements[0].motion.x_mm, 1020, 10 + 2000 * 0.002 + 40);
}

static bool stop(void *context, const char *what, double share)
{
    (void)what;
    assert_true(share >= 0 && share <= 1);
    (*(int *)context)++;
    return false;
}

static void stopping_keeps_what_there_is(void **state)
{
    const Sheet sheet = {.outline = box_ring(0, 0, 1000, 600, *state)};
    const Piece piece = plain_piece(box_ring(0, 0, 300, 200, *state), 1);
    const LayoutTask task = {
        .sheets = &sheet, .sheet_count = 1, .pieces = &piece, .piece_count = 1};
    Placement middle = {0, 0, {333, 222, 0}, false};
    Layout layout = {.placements = &middle, .count = 1};
    int asked = 0;
    const Progress progress = {stop, &asked};
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    finish_run(&task, 10, &progress, *state, scratch, &layout);
    arena_destroy(scratch);
    assert_int_equal(asked, 1);
    CHECK_NEAR(layout.placements[0].motion.x_mm, 333, 0);
    assert_null(layout.measures.remnants); // not even measured
}

static void check_same_pieces(const LayoutTask *task, const Layout *before, const Layout *after)
{
    assert_int_equal(before->count, after->count);
    for (int i = 0; i < before->count; i++) {
        const Placement *was = &before->placements[i];
        const Placement *is = &after->placements[i];
        assert_int_equal(was->piece, is->piece);
        assert_int_equal(was->locked, is->locked);
        assert_true(!was->locked || (was->sheet == is->sheet &&
                                     memcmp(&was->motion, &is->motion, sizeof was->motion) == 0));
    }
    (void)task;
}

// Property: whatever the task, no piece is lost, the judge accepts, locked pieces stay, and the
// first wish that changes by more than its tolerance got better.
static void it_never_loses_and_never_worsens(void **state)
{
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    int changed = 0;
    int better = 0;
    for (uint64_t seed = 1; seed <= TRIALS_OF(150); seed++) {
        const ArenaMark mark = arena_mark(*state);
        Random random = random_begin(seed, 0, 0);
        LayoutTask task = random_task(&random, *state);
        Piece *pieces = ARENA_ARRAY(*state, Piece, task.piece_count);
        for (int i = 0; i < task.piece_count; i++) {
            pieces[i] = task.pieces[i];
            pieces[i].partners = random_below(&random, 3);
        }
        task.pieces = pieces;
        task.unfinished = true;
        Problems *problems = problems_in(*state);
        Layout before;
        assert_true(layout_search(&task, (LayoutOptions){.seed = seed, .work = 0.001}, NULL, *state,
                                  scratch, &before, problems));
        for (int i = 0; i < before.count; i++) {
            before.placements[i].locked = random_below(&random, 4) == 0;
        }
        Layout after = before;
        before.measures = layout_measure(&task, before.placements, before.count, *state, scratch);
        finish_run(&task, 0.01, NULL, *state, scratch, &after);
        assert_int_equal(layout_check(&task, after.placements, after.count, scratch, NULL, 0), 0);
        check_same_pieces(&task, &before, &after);
        check_measured(&task, &after, *state, scratch);
        for (int wish = 0; wish < LAYOUT_WISH_COUNT; wish++) {
            const double change = measure_wish(&task, &after.measures, (LayoutWish)wish) -
                                  measure_wish(&task, &before.measures, (LayoutWish)wish);
            if (fabs(change) > finish_tolerance(&task, (LayoutWish)wish) * 1.01 + 1e-9) {
                assert_true(change < 0);
                better++;
                break;
            }
        }
        changed += after.placements != before.placements;
        arena_rewind(*state, mark);
    }
    arena_destroy(scratch);
    assert_true(changed > TRIALS_OF(75) && better > TRIALS_OF(40));
}

static void the_search_finishes_and_can_be_told_not_to(void **state)
{
    const Sheet sheet = {.outline = box_ring(0, 0, 1000, 600, *state)};
    const Piece piece = plain_piece(box_ring(0, 0, 290, 190, *state), 3);
    LayoutTask task = {.sheets = &sheet, .sheet_count = 1, .pieces = &piece, .piece_count = 1};
    const Layout finished = search(&task, 0.2, *state);
    assert_int_equal(finished.count, 3);
    // Three along the long edge leave 410 x 1000, in a row across 710 x 600.
    CHECK_NEAR(rectangle_mm2(&finished, 0), 710 * 600, 710 * 600 * 0.02);
    const Layout again = search(&task, 0.2, *state);
    for (int i = 0; i < 3; i++) {
        CHECK_NEAR(finished.placements[i].motion.x_mm, again.placements[i].motion.x_mm, 0);
        CHECK_NEAR(finished.placements[i].motion.y_mm, again.placements[i].motion.y_mm, 0);
    }
    task.unfinished = true;
    assert_null(search(&task, 0.2, *state).measures.remnants);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(one_piece_goes_to_a_corner),
        TEST_IN_ARENA(many_sheets_are_finished_as_well_as_one),
        TEST_IN_ARENA(no_stage_tilts_a_piece),
        TEST_IN_ARENA(a_locked_piece_stays),
        TEST_IN_ARENA(a_ramp_of_costs_pulls_to_its_cheap_end),
        TEST_IN_ARENA(partners_end_side_by_side_and_turned_alike),
        TEST_IN_ARENA(alike_pieces_change_places_to_meet_their_partners),
        TEST_IN_ARENA(nothing_stays_tilted_for_no_gain),
        TEST_IN_ARENA(straightening_pushes_others_away),
        TEST_IN_ARENA(the_callers_order_counts),
        TEST_IN_ARENA(stopping_keeps_what_there_is),
        TEST_IN_ARENA(it_never_loses_and_never_worsens),
        TEST_IN_ARENA(the_search_finishes_and_can_be_told_not_to),
    };
    return cmocka_run_group_tests_name("layout/finish", tests, NULL, NULL);
}
