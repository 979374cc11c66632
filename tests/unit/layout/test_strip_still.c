// What lies still on a strip: locked pieces and flaws.

#include "strips.h"
#include "support/random_strip.h"

static PolygonSet one_box(double x, double y, double width, double height, Arena *keep)
{
    return one_polygon(box_ring(x, y, width, height, keep), NULL, 0, keep);
}

// A strip with flaws, which the caller puts in.
static Sheet *flawed(LayoutTask *task, Arena *keep)
{
    Sheet *sheet = ARENA_NEW(keep, Sheet);
    *sheet = task->sheets[0];
    task->sheets = sheet;
    return sheet;
}

static void a_locked_piece_stays_and_others_fit_around_it(void **state)
{
    const TurnRange turns[] = {{0, 1.6}};
    Piece piece = plain_piece(box_ring(-13, 7, 100, 100, *state), 3);
    piece.turns = turns;
    LayoutTask task = strip_task(100, &piece, 1, *state);
    const Placement locked = {.motion = {163.001, -7, 0}};
    task.locked = &locked;
    task.locked_count = 1;
    // 100 before it, and 100 after it, from 150 to 250 where it lies.
    CHECK_NEAR(laid(&task, 1, 0.1, *state).length_mm, 350, 0.0101);
}

static void a_piece_is_locked_in_a_turn_that_is_not_tried(void **state)
{
    const TurnRange turns[] = {{0, 0.9}};
    Piece piece = plain_piece(box_ring(0, 0, 150, 80, *state), 4);
    piece.turns = turns;
    LayoutTask task = strip_task(400, &piece, 1, *state);
    const Placement locked[] = {{.motion = {200.123456, 101.98765, 0.123456}},
                                {.motion = {600.3, 50.004999, 0.77}}};
    task.locked = locked;
    task.locked_count = 2;
    const Layout layout = laid(&task, 1, 0.1, *state);
    assert_true(layout.length_mm > 600 && layout.length_mm < 760); // both others before it
}

static void all_may_be_locked(void **state)
{
    const Piece piece = plain_piece(box_ring(0, 0, 150, 80, *state), 2);
    LayoutTask task = strip_task(400, &piece, 1, *state);
    const Placement locked[] = {{.motion = {0, 0, 0}}, {.motion = {40, 100, 0}}};
    task.locked = locked;
    task.locked_count = 2;
    CHECK_NEAR(laid(&task, 1, 0.1, *state).length_mm, 190, 1e-9);
}

static void locked_pieces_that_the_judge_refuses_are_refused(void **state)
{
    const Piece piece = plain_piece(box_ring(0, 0, 150, 80, *state), 2);
    LayoutTask task = strip_task(400, &piece, 1, *state);
    Placement locked[] = {{.motion = {0, 0, 0}}, {.motion = {40, 79.99, 0}}};
    task.locked = locked;
    task.locked_count = 2;
    refuses(&task, "locked[0]", *state);
    locked[1].motion.y_mm = 350;
    refuses(&task, "locked[1]", *state);
}

static void the_gap_is_kept_from_locked_pieces_and_not_from_flaws(void **state)
{
    const Piece piece = plain_piece(box_ring(0, 0, 100, 100, *state), 2);
    LayoutTask task = strip_task(100, &piece, 1, *state);
    Sheet *sheet = flawed(&task, *state);
    sheet->gap_mm = 4;
    const Placement locked = {.motion = {10, 0, 0}};
    task.locked = &locked;
    task.locked_count = 1;
    const double behind_mm = laid(&task, 1, 0.05, *state).length_mm;
    assert_true(behind_mm >= 214 && behind_mm <= 214.4);
    task.locked_count = 0;
    sheet->forbidden[0] = one_box(0, 20, 10, 30, *state);
    const double both_mm = laid(&task, 1, 0.05, *state).length_mm;
    assert_true(both_mm >= 214 && both_mm <= 214.4);
    Piece one = piece;
    one.demand = 1;
    task.pieces = &one;
    CHECK_NEAR(laid(&task, 1, 0.05, *state).length_mm, 110, 1e-9);
}

static void each_depth_keeps_off_its_own_flaws(void **state)
{
    Piece piece = plain_piece(box_ring(0, 0, 100, 100, *state), 1);
    piece.outline[1] = box_ring(20, 20, 60, 60, *state);
    piece.depth_count = 2;
    LayoutTask task = strip_task(100, &piece, 1, *state);
    Sheet *sheet = flawed(&task, *state);
    sheet->forbidden[1] = one_box(0, 0, 20, 100, *state); // only under the rim
    CHECK_NEAR(laid(&task, 1, 0.05, *state).length_mm, 100, 1e-9);
    sheet->forbidden[1] = one_box(0, 0, 20.01, 100, *state);
    CHECK_NEAR(laid(&task, 1, 0.05, *state).length_mm, 100.01, 1e-9);
    sheet->forbidden[1] = (PolygonSet){0};
    sheet->forbidden[3] = one_box(0, 0, 50, 100, *state); // nothing of the piece is so deep
    CHECK_NEAR(laid(&task, 1, 0.05, *state).length_mm, 100, 1e-9);
    const Ring hole = box_ring(30, 40, 1, 1, *state);
    sheet->holes = &hole;
    sheet->hole_count = 1;
    CHECK_NEAR(laid(&task, 1, 0.05, *state).length_mm, 131, 1e-9);
}

static void a_piece_fits_into_a_hole_of_an_area(void **state)
{
    const Piece piece = plain_piece(box_ring(0, 0, 100, 100, *state), 2);
    LayoutTask task = strip_task(140, &piece, 1, *state);
    const Ring holes[] = {box_ring(15, 20, 100, 100, *state), box_ring(130, 20, 99.99, 100, *state),
                          box_ring(240, 20, 100, 100, *state)};
    flawed(&task, *state)->forbidden[0] =
        one_polygon(box_ring(-10, -10, 400, 400, *state), holes, 3, *state);
    CHECK_NEAR(laid(&task, 1, 0.05, *state).length_mm, 340, 1e-9);
}

// An area with more points than are looked at is taken without its holes.
static void a_crowded_area_is_kept_off_whole(void **state)
{
    const Piece piece = plain_piece(box_ring(0, 0, 100, 100, *state), 1);
    LayoutTask task = strip_task(140, &piece, 1, *state);
    enum { POINTS = 200 };
    Point round[POINTS];
    for (int i = 0; i < POINTS; i++) {
        const double angle = -6.283185307179586 * i / POINTS;
        round[i] = (Point){100 + 75 * cos(angle), 70 + 75 * sin(angle)};
    }
    const Ring hole = {round, POINTS};
    flawed(&task, *state)->forbidden[0] =
        one_polygon(box_ring(0, -10, 200, 400, *state), &hole, 1, *state);
    CHECK_NEAR(laid(&task, 1, 0.05, *state).length_mm, 300, 1e-9);
}

static void flaws_beyond_the_length_in_use_change_nothing(void **state)
{
    Random random = random_begin(8, 8, 8);
    const Piece piece = plain_piece(star_ring((Point){0, 0}, 100, 0.4, 1, &random, *state), 9);
    LayoutTask task = strip_task(500, &piece, 1, *state);
    const Layout without = laid(&task, 4, 0.3, *state);
    Polygon far[30];
    for (int i = 0; i < 30; i++) {
        far[i] = (Polygon){
            .outer = star_ring((Point){2000 + 90 * i, 250}, 300, 0.4, 1, &random, *state)};
    }
    flawed(&task, *state)->forbidden[0] = (PolygonSet){far, 30};
    const Layout with = laid(&task, 4, 0.3, *state);
    for (int i = 0; i < with.count; i++) {
        assert_memory_equal(&with.placements[i].motion, &without.placements[i].motion,
                            sizeof(Motion));
    }
}

static void a_start_holds_locked_pieces_or_leaves_them_out(void **state)
{
    Random random = random_begin(8, 8, 8);
    const Piece piece = plain_piece(star_ring((Point){0, 0}, 100, 0.4, 1, &random, *state), 9);
    LayoutTask task = strip_task(500, &piece, 1, *state);
    flawed(&task, *state)->forbidden[0] = one_box(100, 100, 30, 30, *state);
    const Layout first = laid(&task, 4, 0.5, *state);
    const Placement locked[] = {first.placements[3], first.placements[7]};
    task.locked = locked;
    task.locked_count = 2;
    LayoutOptions again = {
        .seed = 5, .work = 0.01, .start = first.placements, .start_count = first.count};
    const Layout second = searched(&task, again, *state);
    check_strip(&task, &second, *state);
    assert_true(second.length_mm <= first.length_mm);
    // Those that are locked come first in a result.
    again.start = &second.placements[2];
    again.start_count = second.count - 2;
    const Layout third = searched(&task, again, *state);
    check_strip(&task, &third, *state);
    assert_true(third.length_mm <= second.length_mm);
    // Unlocked again, all of them may move.
    task.locked_count = 0;
    again.start = second.placements;
    again.start_count = second.count;
    assert_true(laid(&task, 5, 0.5, *state).length_mm > 0);
    assert_true(searched(&task, again, *state).length_mm <= second.length_mm);
}

static void random_strips_keep_off_all_that_lies_still(void **state)
{
    int locked_in_all = 0;
    for (int trial = 0; trial < TRIALS_OF(30); trial++) {
        Arena *keep = arena_create("trial", TEST_ARENA_BYTES);
        Random random = random_begin(11, (uint64_t)trial, 0);
        const LayoutTask task = random_strip(&random, keep);
        locked_in_all += task.locked_count;
        const double brief_mm = laid(&task, 3, 0.002, keep).length_mm;
        const double long_mm = laid(&task, 3, 0.03, keep).length_mm;
        assert_true(long_mm <= brief_mm);
        arena_destroy(keep);
    }
    assert_true(locked_in_all > TRIALS_OF(30) / 4);
    (void)state;
}

static void a_strip_full_of_flaws_is_refused(void **state)
{
    const Piece piece = plain_piece(box_ring(0, 0, 150, 80, *state), 2);
    LayoutTask task = strip_task(100, &piece, 1, *state);
    Sheet *sheet = flawed(&task, *state);
    Polygon spots[50];
    for (int i = 0; i < 50; i++) {
        spots[i] = (Polygon){.outer = box_ring(100 * i, 40, 20, 20, *state)};
    }
    sheet->forbidden[0] = (PolygonSet){spots, 50};
    refuses(&task, "sheets[0].outline", *state);
    sheet->forbidden[0] = one_box(-1e6, 30, 2e6, 10, *state); // a stripe along all of it
    refuses(&task, "sheets[0].outline", *state);
    // One place only, far back.
    sheet->forbidden[0] = one_box(-1e6, -1e6, 1e6 + 4700, 2e6, *state);
    CHECK_NEAR(laid(&task, 1, 0.01, *state).length_mm, 5000, 1e-9);
    sheet->forbidden[0] = one_box(-1e6, -1e6, 1e6 + 4700.01, 2e6, *state);
    refuses(&task, "sheets[0].outline", *state);
}

static void too_many_flaws_are_refused(void **state)
{
    enum { FLAWS = 2001 };
    const Piece piece = plain_piece(box_ring(0, 0, 150, 80, *state), 2);
    LayoutTask task = strip_task(100, &piece, 1, *state);
    Polygon *flaws = ARENA_ARRAY(*state, Polygon, FLAWS);
    for (int i = 0; i < FLAWS; i++) {
        flaws[i] = (Polygon){.outer = box_ring(400 + 2 * i, 0, 1, 1, *state)};
    }
    Sheet *sheet = flawed(&task, *state);
    sheet->forbidden[0] = (PolygonSet){flaws, FLAWS};
    refuses(&task, "sheets[0]", *state);
    sheet->forbidden[0].count--;
    CHECK_NEAR(laid(&task, 1, 0.01, *state).length_mm, 300, 1e-9);
}

// Areas that cross themselves, have no area, hold a point twice, or holes that lie anywhere.
static void odd_areas_are_kept_off(void **state)
{
    static const Point bow[] = {{0, 0}, {60, 50}, {60, 0}, {0, 50}};
    static const Point line[] = {{100, 0}, {120, 50}, {110, 25}};
    static const Point needle[] = {{200, 0}, {240, 0.004}, {200, 90}};
    static const Point dot[] = {{300, 5}, {300.001, 5}, {300, 5.001}};
    static const Point far[] = {{-1e6, 95}, {1e6, 95}, {1e6, 1e6}};
    const Ring holes[] = {box_ring(410, 10, 20, 20, *state),
                          box_ring(400, 0, 10, 10, *state),
                          box_ring(480, 10, 50, 20, *state),
                          box_ring(420, 20, 30, 5, *state),
                          {dot, 3},
                          {NULL, 0}};
    const Polygon odd[] = {
        {.outer = {bow, 4}},
        {.outer = {line, 3}},
        {.outer = {needle, 3}},
        {.outer = {dot, 3}},
        {.outer = {NULL, 0}},
        {.outer = {far, 3}},
        {.outer = box_ring(400, 0, 100, 90, *state), .holes = holes, .hole_count = 6}};
    Piece piece = plain_piece(box_ring(0, 0, 30, 30, *state), 12);
    const TurnRange turns[] = {{0, 0.7}};
    piece.turns = turns;
    LayoutTask task = strip_task(100, &piece, 1, *state);
    flawed(&task, *state)->forbidden[0] = (PolygonSet){odd, 7};
    assert_true(laid(&task, 2, 0.05, *state).length_mm < 700);
}

// A lattice of flaws along a long roll, kinds of many points and many turns.
static void much_that_lies_still_finds_room(void **state)
{
    enum { KINDS = 20, FLAWS = 1200 };
    static const TurnRange around = {0, 7};
    Random random = random_begin(5, 0, 0);
    Piece pieces[KINDS];
    for (int i = 0; i < KINDS; i++) {
        pieces[i] = plain_piece(star_ring((Point){0, 0}, 120, 0.5, 1, &random, *state), 2);
        pieces[i].turns = &around;
    }
    LayoutTask task = strip_task(1400, pieces, KINDS, *state);
    Sheet *sheet = flawed(&task, *state);
    sheet->outline = box_ring(0, 0, 200000, 1400, *state);
    Polygon *flaws = ARENA_ARRAY(*state, Polygon, FLAWS + 1);
    for (int i = 0; i < FLAWS; i++) {
        const Point at = {200000.0 * i / FLAWS, random_between(&random, 0, 1400)};
        flaws[i] = (Polygon){.outer = star_ring(at, 20, 0.4, 1, &random, *state)};
    }
    flaws[FLAWS].outer = box_ring(0, 1390, 200000, 100, *state);
    sheet->forbidden[0] = (PolygonSet){flaws, FLAWS + 1};
    assert_true(laid(&task, 1, 0.2, *state).length_mm < 3000);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(a_locked_piece_stays_and_others_fit_around_it),
        TEST_IN_ARENA(a_piece_is_locked_in_a_turn_that_is_not_tried),
        TEST_IN_ARENA(all_may_be_locked),
        TEST_IN_ARENA(locked_pieces_that_the_judge_refuses_are_refused),
        TEST_IN_ARENA(the_gap_is_kept_from_locked_pieces_and_not_from_flaws),
        TEST_IN_ARENA(each_depth_keeps_off_its_own_flaws),
        TEST_IN_ARENA(a_piece_fits_into_a_hole_of_an_area),
        TEST_IN_ARENA(a_crowded_area_is_kept_off_whole),
        TEST_IN_ARENA(flaws_beyond_the_length_in_use_change_nothing),
        TEST_IN_ARENA(a_start_holds_locked_pieces_or_leaves_them_out),
        TEST_IN_ARENA(random_strips_keep_off_all_that_lies_still),
        TEST_IN_ARENA(a_strip_full_of_flaws_is_refused),
        TEST_IN_ARENA(too_many_flaws_are_refused),
        TEST_IN_ARENA(odd_areas_are_kept_off),
        TEST_IN_ARENA(much_that_lies_still_finds_room),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
