#include "layout/shorten.h"
#include "strips.h"
#include "support/stop.h"

static const double quarter_turn_rad = 1.5707963267948966;

static void rectangles_fill_the_strip(void **state)
{
    // Six of 100 x 150 on a strip 300 wide: two in a row, nothing lost.
    const Piece piece = plain_piece(box_ring(0, 0, 100, 150, *state), 6);
    const LayoutTask task = strip_task(300, &piece, 1, *state);
    CHECK_NEAR(laid(&task, 1, 0.2, *state).length_mm, 300, 1e-9);
}

static void two_hooks_interlock(void **state)
{
    // Two L of 3 squares each make a rectangle of 2 x 3 squares when one is turned half.
    static const Point hook[] = {{0, 0}, {200, 0}, {200, 100}, {100, 100}, {100, 200}, {0, 200}};
    static const TurnRange turns[] = {{0, 0}, {2 * 1.5707963267948966, 2 * 1.5707963267948966}};
    Piece piece = plain_piece((Ring){hook, 6}, 2);
    piece.turns = turns;
    piece.turn_count = 2;
    const LayoutTask task = strip_task(200, &piece, 1, *state);
    CHECK_NEAR(laid(&task, 1, 0.2, *state).length_mm, 300, 1e-9);
}

static void turns_are_used_only_when_allowed(void **state)
{
    const TurnRange turns[] = {{0, 0}, {quarter_turn_rad, quarter_turn_rad}};
    Piece piece = plain_piece(box_ring(0, 0, 400, 100, *state), 2);
    const LayoutTask task = strip_task(400, &piece, 1, *state);
    CHECK_NEAR(laid(&task, 1, 0.1, *state).length_mm, 400, 1e-9);
    piece.turns = turns;
    piece.turn_count = 2;
    CHECK_NEAR(laid(&task, 1, 0.1, *state).length_mm, 200, 1e-9);
    const TurnRange any = {0, quarter_turn_rad};
    piece.turns = &any;
    piece.turn_count = 1;
    CHECK_NEAR(laid(&task, 1, 0.1, *state).length_mm, 200, 1e-9);
}

static void the_gap_is_kept(void **state)
{
    const Piece piece = plain_piece(box_ring(0, 0, 100, 100, *state), 3);
    const LayoutTask task = strip_task(100, &piece, 1, *state);
    Sheet spaced = task.sheets[0];
    spaced.gap_mm = 5;
    LayoutTask with_gap = task;
    with_gap.sheets = &spaced;
    // The growing of outlines is on the safe side by about 0.06 mm a piece.
    const double length_mm = laid(&with_gap, 1, 0.1, *state).length_mm;
    assert_true(length_mm >= 310 && length_mm <= 310.5);
}

// Half of its points between two lattice units, where rounding may go either way.
static Ring on_half_units(Ring ring, Arena *keep)
{
    Point *points = ARENA_ARRAY(keep, Point, ring.count);
    for (int i = 0; i < ring.count; i++) {
        points[i] =
            (Point){floor(ring.points[i].x * 200) / 200, floor(ring.points[i].y * 200) / 200};
    }
    return (Ring){points, ring.count};
}

static void random_pieces_are_laid_within_bounds(void **state)
{
    for (int trial = 0; trial < TRIALS_OF(10); trial++) {
        Random random = random_begin(5, (uint64_t)trial, 0);
        Piece pieces[4];
        double area_mm2 = 0;
        double row_mm = 0;
        static const TurnRange turns[] = {{0, 0}, {1, 1.5}};
        for (int i = 0; i < 4; i++) {
            const Ring star = star_ring((Point){7, -3}, random_between(&random, 60, 150), 0.4, 1,
                                        &random, *state);
            pieces[i] = plain_piece(on_half_units(star, *state), 1 + random_below(&random, 3));
            pieces[i].turns = turns;
            pieces[i].turn_count = 1 + random_below(&random, 2);
            area_mm2 += pieces[i].demand * ring_area_mm2(star);
            const Box box = ring_box(star);
            row_mm += pieces[i].demand * (box.max.x - box.min.x);
        }
        const LayoutTask task = strip_task(400, pieces, 4, *state);
        const double brief_mm = laid(&task, 3, 0.001, *state).length_mm;
        const double long_mm = laid(&task, 3, 0.03, *state).length_mm;
        assert_true(brief_mm <= row_mm + 1);
        assert_true(long_mm <= brief_mm);
        assert_true(long_mm >= 0.999 * area_mm2 / 400);
    }
}

static void the_same_seed_gives_the_same_layout(void **state)
{
    Random random = random_begin(8, 8, 8);
    const Piece piece = plain_piece(star_ring((Point){0, 0}, 100, 0.4, 1, &random, *state), 9);
    const LayoutTask task = strip_task(500, &piece, 1, *state);
    const Layout one = laid(&task, 4, 0.05, *state);
    const Layout again = laid(&task, 4, 0.05, *state);
    for (int i = 0; i < one.count; i++) {
        assert_memory_equal(&one.placements[i].motion, &again.placements[i].motion, sizeof(Motion));
    }
}

static void a_stop_keeps_the_best(void **state)
{
    Random random = random_begin(8, 8, 8);
    const Piece piece = plain_piece(star_ring((Point){0, 0}, 100, 0.4, 1, &random, *state), 9);
    const LayoutTask task = strip_task(500, &piece, 1, *state);
    for (int after = 0; after < 3; after++) {
        Stop stop = {0, after};
        const Progress progress = {stop_after, &stop};
        Problems *problems = problems_in(*state);
        Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
        Layout layout = {0};
        const bool found = layout_search(&task, (LayoutOptions){.seed = 1, .work = 50}, &progress,
                                         *state, scratch, &layout, problems);
        arena_destroy(scratch);
        assert_int_equal(stop.calls, after + 1);
        assert_int_equal(found, after > 0);
        if (found) {
            assert_int_equal(layout.count, 9);
        } else {
            assert_int_equal(problems->items[0].kind, PROBLEM_CANCELLED);
        }
    }
}

static LayoutTask nine_stars(Arena *keep)
{
    Random random = random_begin(8, 8, 8);
    Piece *piece = ARENA_NEW(keep, Piece);
    *piece = plain_piece(star_ring((Point){0, 0}, 100, 0.4, 1, &random, keep), 9);
    return strip_task(500, piece, 1, keep);
}

// Enough work for two streams.
static void threads_do_not_change_the_layout(void **state)
{
    const LayoutTask task = nine_stars(*state);
    const LayoutOptions options = {.seed = 4, .work = 4};
    const Layout one = searched(&task, options, *state);
    LayoutOptions more = options;
    more.threads = 3;
    const Layout other = searched(&task, more, *state);
    assert_int_equal(other.count, one.count);
    for (int i = 0; i < one.count; i++) {
        assert_memory_equal(&other.placements[i].motion, &one.placements[i].motion, sizeof(Motion));
    }
}

typedef struct Watch {
    int calls;
    double length_mm;
} Watch;

static void watch(void *context, const Layout *layout)
{
    Watch *seen = context;
    assert_int_equal(layout->count, 9);
    assert_true(seen->calls == 0 || layout->length_mm < seen->length_mm);
    seen->length_mm = layout->length_mm;
    seen->calls++;
}

static void shorter_layouts_are_told(void **state)
{
    const LayoutTask task = nine_stars(*state);
    Watch seen = {0};
    const LayoutOptions options = {
        .seed = 4, .work = 0.3, .improved = watch, .improved_context = &seen};
    const Layout layout = searched(&task, options, *state);
    assert_true(seen.calls > 1);
    CHECK_NEAR(layout.length_mm, seen.length_mm, 0);
}

// Nine different squares that fill a rectangle of 33 x 32 (Moron 1925, from memory), which so
// little work never finds. A square looks the same in all four turns, of which one is tried; a
// start may come in any of them.
static void a_start_in_turns_that_look_the_same_is_taken(void **state)
{
    static const struct {
        double side_mm;
        double x_mm;
        double y_mm;
    } squares[] = {{180, 0, 0},    {150, 180, 0},  {140, 0, 180},  {100, 140, 220}, {90, 240, 230},
                   {80, 250, 150}, {70, 180, 150}, {40, 140, 180}, {10, 240, 220}};
    enum { SQUARES = sizeof squares / sizeof squares[0] };
    TurnRange turns[4];
    for (int i = 0; i < 4; i++) {
        turns[i] = (TurnRange){i * quarter_turn_rad, i * quarter_turn_rad};
    }
    Piece *pieces = ARENA_ARRAY(*state, Piece, SQUARES);
    Placement *start = ARENA_ARRAY(*state, Placement, SQUARES);
    for (int i = 0; i < SQUARES; i++) {
        const double side_mm = squares[i].side_mm;
        pieces[i] = plain_piece(box_ring(0, 0, side_mm, side_mm, *state), 1);
        pieces[i].turns = turns;
        pieces[i].turn_count = 4;
        const int turn = i % 4; // about the corner at 0, 0
        const double x_mm = squares[i].x_mm + (turn == 1 || turn == 2 ? side_mm : 0);
        const double y_mm = squares[i].y_mm + (turn == 2 || turn == 3 ? side_mm : 0);
        start[i] = (Placement){.piece = i, .motion = {x_mm, y_mm, turns[turn].from_rad}};
    }
    const LayoutTask task = strip_task(320, pieces, SQUARES, *state);
    assert_true(laid(&task, 1, 0.01, *state).length_mm > 330.1);
    const LayoutOptions options = {.seed = 1, .work = 0.01, .start = start, .start_count = SQUARES};
    const Layout layout = searched(&task, options, *state);
    check_strip(&task, &layout, *state);
    CHECK_NEAR(layout.length_mm, 330, 1e-9);
}

static void a_start_is_never_made_longer(void **state)
{
    const LayoutTask task = nine_stars(*state);
    const Layout first = searched(&task, (LayoutOptions){.seed = 4, .work = 1}, *state);
    const LayoutOptions again = {
        .seed = 5, .work = 0.01, .start = first.placements, .start_count = first.count};
    const Layout second = searched(&task, again, *state);
    assert_true(second.length_mm <= first.length_mm);
    // Nine copies of a piece that is not there are no start.
    Placement *strange = ARENA_ARRAY(*state, Placement, first.count);
    memcpy(strange, first.placements, (size_t)first.count * sizeof *strange);
    strange[3].piece = 7;
    const LayoutOptions odd = {
        .seed = 5, .work = 0.01, .start = strange, .start_count = first.count};
    assert_int_equal(searched(&task, odd, *state).count, 9);
}

// 48 kinds in 24 turns each, two thirds of them named twice: more than there is room for.
static void very_many_turns_find_room(void **state)
{
    enum { KINDS = 48 };
    static const TurnRange all_around[] = {{0, 7}, {-50, 50}, {0, 6.3}};
    Random random = random_begin(5, 0, 0);
    Piece pieces[KINDS];
    for (int i = 0; i < KINDS; i++) {
        const Point middle = {random_between(&random, -90, 90), 0};
        pieces[i] = plain_piece(star_ring(middle, 40, 0.4, 1, &random, *state), 1);
        pieces[i].turns = all_around;
        pieces[i].turn_count = 3;
    }
    const LayoutTask task = strip_task(300, pieces, KINDS, *state);
    assert_true(laid(&task, 1, 0.01, *state).length_mm < 1200);
}

static void bad_strips_are_refused(void **state)
{
    const Piece pieces[] = {plain_piece(box_ring(0, 0, 100, 100, *state), 1),
                            plain_piece(box_ring(0, 0, 100, 300, *state), 30)};
    LayoutTask task = strip_task(200, pieces, 2, *state);
    refuses(&task, "pieces[1]", *state); // wider than the strip

    const Sheet good = {.outline = box_ring(0, 0, 5000, 400, *state)};
    Sheet sheets[2] = {good, good};
    task.sheets = sheets;
    task.sheet_count = 2;
    refuses(&task, "sheets", *state);
    task.sheet_count = 1;
    sheets[0].outline = box_ring(10, 0, 5000, 400, *state);
    refuses(&task, "sheets[0].outline", *state);
    static const Point kite[] = {{0, 0}, {5000, 0}, {5000, 400}, {10, 400}};
    sheets[0].outline = (Ring){kite, 4};
    refuses(&task, "sheets[0].outline", *state);
    sheets[0].outline = box_ring(0, 0, 2900, 400, *state); // too short for 30
    refuses(&task, "sheets[0].outline", *state);
    sheets[0].outline = box_ring(0, 0, 2000, 400, *state); // less than their area
    refuses(&task, "sheets[0].outline", *state);
}

static void an_empty_strip_has_no_length(void **state)
{
    const LayoutTask task = strip_task(200, NULL, 0, *state);
    CHECK_NEAR(laid(&task, 1, 0.01, *state).length_mm, 0, 0);
}

// Below 11 steps of 400 there may be nothing, and 0.05 % of a length just above them reaches
// beyond.
static void no_step_passes_over_the_grid_of_corners(void **state)
{
    (void)state;
    Shortening stream = {.touching_step = 400, .best_length = 4402, .least_length = 4000};
    assert_true(shortening_next_length(&stream, 0.0005) == 4400);
    stream.best_length = 4400; // touching already: on with the small step
    assert_true(shortening_next_length(&stream, 0.0005) == 4397);
    stream.best_length = 4500; // the next length on the grid is farther than the step
    assert_true(shortening_next_length(&stream, 0.0005) == 4497);
    stream = (Shortening){.touching_step = 2, .best_length = 44000, .least_length = 40000};
    assert_true(shortening_next_length(&stream, 0.0005) == 43977); // as fine as nothing
    stream.touching_step = 0;
    assert_true(shortening_next_length(&stream, 0.0005) == 43977);
    stream.least_length = 43999;
    assert_true(shortening_next_length(&stream, 0.0005) == 43999);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(rectangles_fill_the_strip),
        TEST_IN_ARENA(two_hooks_interlock),
        TEST_IN_ARENA(turns_are_used_only_when_allowed),
        TEST_IN_ARENA(the_gap_is_kept),
        TEST_IN_ARENA(random_pieces_are_laid_within_bounds),
        TEST_IN_ARENA(the_same_seed_gives_the_same_layout),
        TEST_IN_ARENA(a_stop_keeps_the_best),
        TEST_IN_ARENA(threads_do_not_change_the_layout),
        TEST_IN_ARENA(shorter_layouts_are_told),
        TEST_IN_ARENA(a_start_is_never_made_longer),
        TEST_IN_ARENA(a_start_in_turns_that_look_the_same_is_taken),
        TEST_IN_ARENA(very_many_turns_find_room),
        TEST_IN_ARENA(bad_strips_are_refused),
        TEST_IN_ARENA(an_empty_strip_has_no_length),
        cmocka_unit_test(no_step_passes_over_the_grid_of_corners),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
