#include "layout/cuts.h"

#include "layout/finish.h"
#include "measured.h"
#include "random_task.h"
#include "support/check.h"

static const double pi = 3.141592653589793;

static SharedCuts cuts_of(const LayoutTask *task, const Placement *placements, int count,
                          Arena *keep)
{
    return measure(task, placements, count, keep).cuts[0];
}

static void check_cuts(SharedCuts cuts, double shared_mm, double in_line_mm)
{
    CHECK_NEAR(cuts.shared_mm, shared_mm, 1e-6);
    CHECK_NEAR(cuts.in_line_mm, in_line_mm, 1e-6);
}

// A task of one piece on a wide sheet.
static LayoutTask task_of(const Sheet *sheet, const Piece *piece)
{
    return (LayoutTask){.sheets = sheet, .sheet_count = 1, .pieces = piece, .piece_count = 1};
}

static void two_in_a_row_share_a_side_and_lie_in_line(void **state)
{
    Sheet sheet = {.outline = box_ring(0, 0, 2000, 1000, *state)};
    const Piece piece = plain_piece(box_ring(0, 0, 300, 200, *state), 3);
    const LayoutTask task = task_of(&sheet, &piece);
    const Placement row[] = {
        {0, 0, {0, 0, 0}, false}, {0, 0, {300, 0, 0}, false}, {0, 0, {600, 0, 0}, false}};
    check_cuts(cuts_of(&task, row, 2, *state), 200, 2 * 300);
    check_cuts(cuts_of(&task, row, 3, *state), 2 * 200, 2 * 2 * 300); // all lines at once
    // A half turn takes edges to edges; so does the first of the other two.
    const Placement turned[] = {{0, 0, {0, 0, 0}, false}, {0, 0, {600, 200, pi}, false}};
    check_cuts(cuts_of(&task, turned, 2, *state), 200, 2 * 300);
    // The gap belongs to it: at 3 mm, or at the piece's own 5.
    sheet.gap_mm = 3;
    check_cuts(cuts_of(&task, row, 2, *state), 0, 2 * 300);
    const Placement apart[] = {{0, 0, {0, 0, 0}, false}, {0, 0, {303.3, 0, 0}, false}};
    check_cuts(cuts_of(&task, apart, 2, *state), 200, 2 * 300);
    Piece wary = piece;
    wary.gap_mm = 5;
    const LayoutTask wary_task = task_of(&sheet, &wary);
    check_cuts(cuts_of(&wary_task, apart, 2, *state), 0, 2 * 300);
}

static void what_is_moved_along_shares_less(void **state)
{
    const Sheet sheet = {.outline = box_ring(0, 0, 2000, 1000, *state)};
    const Piece piece = plain_piece(box_ring(0, 0, 300, 200, *state), 2);
    const LayoutTask task = task_of(&sheet, &piece);
    Placement two[] = {{0, 0, {0, 0, 0}, false}, {0, 0, {300, 50, 0}, false}};
    check_cuts(cuts_of(&task, two, 2, *state), 150, 0);
    two[1].motion.y_mm = 0.4; // half a chalk line is no difference
    check_cuts(cuts_of(&task, two, 2, *state), 199.6, 2 * 300);
    two[1].motion.y_mm = 0.6;
    check_cuts(cuts_of(&task, two, 2, *state), 199.4, 0);
    // A stretch of less than a tenth of the size, 245 mm here, is none.
    two[1].motion.y_mm = 174;
    check_cuts(cuts_of(&task, two, 2, *state), 26, 0);
    two[1].motion.y_mm = 176;
    check_cuts(cuts_of(&task, two, 2, *state), 0, 0);
    // In line as long as the jump is no longer than the edge; the other way round as well.
    two[1].motion = (Motion){600, 0, 0};
    check_cuts(cuts_of(&task, two, 2, *state), 0, 2 * 300);
    two[1].motion.x_mm = 601;
    check_cuts(cuts_of(&task, two, 2, *state), 0, 0);
    two[1].motion.x_mm = -590;
    check_cuts(cuts_of(&task, two, 2, *state), 0, 2 * 300);
}

static void of_three_on_a_line_the_last_is_none_to_follow(void **state)
{
    const Sheet sheet = {.outline = box_ring(0, 0, 2000, 1000, *state)};
    const Piece pieces[] = {plain_piece(box_ring(0, 0, 300, 200, *state), 2),
                            plain_piece(box_ring(0, 0, 100, 250, *state), 1)};
    const LayoutTask task = {
        .sheets = &sheet, .sheet_count = 1, .pieces = pieces, .piece_count = 2};
    // On the lower line the first has 300 in common with the other large one, the small one 100;
    // the upper edges of the large ones are 100 apart.
    const Placement three[] = {
        {0, 0, {0, 0, 0}, false}, {0, 0, {400, 0, 0}, false}, {1, 0, {300, 0, 0}, false}};
    check_cuts(cuts_of(&task, three, 3, *state), 200 + 200, 300 + 100 + 300);
}

static void points_on_an_edge_and_round_pieces_make_no_difference(void **state)
{
    const Sheet sheet = {.outline = box_ring(0, 0, 2000, 1000, *state)};
    const Piece piece = plain_piece(ring_refined(box_ring(0, 0, 300, 200, *state), 7, *state), 2);
    const LayoutTask task = task_of(&sheet, &piece);
    const Placement row[] = {{0, 0, {0, 0, 0}, false}, {0, 0, {300, 0, 0}, false}};
    check_cuts(cuts_of(&task, row, 2, *state), 200, 2 * 300);
    Piece backwards = piece;
    backwards.outline[0] = ring_reversed(piece.outline[0], *state);
    const LayoutTask task_backwards = task_of(&sheet, &backwards);
    check_cuts(cuts_of(&task_backwards, row, 2, *state), 200, 2 * 300);
    Point round[180];
    for (int i = 0; i < 180; i++) {
        round[i] = (Point){100 * cos(2 * pi * i / 180), 100 * sin(2 * pi * i / 180)};
    }
    const Piece stool = plain_piece((Ring){round, 180}, 2);
    const LayoutTask stools = task_of(&sheet, &stool);
    const Placement side_by_side[] = {{0, 0, {100, 100, 0}, false}, {0, 0, {300, 100, 0}, false}};
    check_cuts(cuts_of(&stools, side_by_side, 2, *state), 0, 0);
}

// Property: moving, turning by quarters and mirroring the whole layout changes nothing, nor does
// the order of the pieces.
static void the_whole_layout_may_be_moved(void **state)
{
    int some = 0;
    for (uint64_t seed = 1; seed <= TRIALS_OF(200); seed++) {
        const ArenaMark mark = arena_mark(*state);
        Random random = random_begin(seed, 0, 0);
        const Sheet sheet = {.outline = box_ring(0, 0, 9000, 9000, *state)};
        Piece pieces[3];
        for (int i = 0; i < 3; i++) {
            pieces[i] = plain_piece(box_ring(0, 0, 100 * (1 + random_below(&random, 3)),
                                             100 * (1 + random_below(&random, 3)), *state),
                                    5);
        }
        const LayoutTask task = {
            .sheets = &sheet, .sheet_count = 1, .pieces = pieces, .piece_count = 3};
        Placement placements[8];
        Placement moved[8];
        const double turn_rad = random_below(&random, 4) * pi / 2;
        const MotionMatrix whole = motion_matrix((Motion){1234.56, -789, turn_rad});
        for (int i = 0; i < 8; i++) {
            const Motion motion = {50.0 * random_below(&random, 12),
                                   50.0 * random_below(&random, 12), random_below(&random, 2) * pi};
            const Point at = motion_apply(whole, (Point){motion.x_mm, motion.y_mm});
            placements[i] = (Placement){random_below(&random, 3), 0, motion, false};
            moved[7 - i] = (Placement){
                placements[i].piece, 0, {at.x, at.y, motion.turn_rad + turn_rad}, false};
        }
        const SharedCuts cuts = cuts_of(&task, placements, 8, *state);
        check_cuts(cuts_of(&task, moved, 8, *state), cuts.shared_mm, cuts.in_line_mm);
        some += cuts.shared_mm > 0 && cuts.in_line_mm > 0;
        arena_rewind(*state, mark);
    }
    assert_true(some > TRIALS_OF(100));
}

static Layout finish(const LayoutTask *task, const Placement *placements, int count, double work,
                     Arena *keep)
{
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    Layout layout = {.placements = ARENA_ARRAY(keep, Placement, count + 1), .count = count};
    memcpy(layout.placements, placements, (size_t)count * sizeof *placements);
    finish_run(task, work, NULL, keep, scratch, &layout);
    assert_int_equal(layout_check(task, layout.placements, layout.count, scratch, NULL, 0), 0);
    arena_destroy(scratch);
    return layout;
}

static const LayoutWish cuts_only[] = {LAYOUT_WISH_CUTS};

static void scattered_pieces_come_to_lie_in_rows(void **state)
{
    const Sheet sheet = {.outline = box_ring(0, 0, 1500, 1500, *state), .gap_mm = 3};
    const Piece piece = plain_piece(box_ring(0, 0, 300, 200, *state), 4);
    LayoutTask task = task_of(&sheet, &piece);
    task.wishes = cuts_only;
    task.wish_count = 1;
    const Placement scattered[] = {{0, 0, {10, 20, 0}, false},
                                   {0, 0, {900, 130, 0}, false},
                                   {0, 0, {170, 780, 0}, true},
                                   {0, 0, {1100, 1201, 0}, false}};
    const Layout layout = finish(&task, scattered, 4, 0.2, *state);
    // Two by two shares 2 x 300 and 2 x 200 and has as much in line twice over; a row of four
    // on their long sides shares 3 x 300 and has 6 x 200 in line.
    assert_true(cuts_worth_mm(layout.measures.cuts[0]) >= 1500 - 2);
    CHECK_NEAR(layout.placements[2].motion.x_mm, 170, 0);
    CHECK_NEAR(layout.placements[2].motion.y_mm, 780, 0);
}

// Tapers share their slanted sides when every other one is turned.
static void tapers_are_turned_to_share_their_sides(void **state)
{
    const Sheet sheet = {.outline = box_ring(0, 0, 2000, 1000, *state)};
    const Point taper[] = {{-200, -200}, {200, -200}, {160, 200}, {-160, 200}};
    const TurnRange either[] = {{0, 0}, {pi, pi}};
    Piece piece = plain_piece((Ring){taper, 4}, 2);
    piece.turns = either;
    piece.turn_count = 2;
    LayoutTask task = task_of(&sheet, &piece);
    task.wishes = cuts_only;
    task.wish_count = 1;
    const Placement apart[] = {{0, 0, {300, 300, 0}, false}, {0, 0, {1200, 500, 0}, false}};
    const Layout layout = finish(&task, apart, 2, 0.1, *state);
    CHECK_NEAR(layout.measures.cuts[0].shared_mm, hypot(40, 400), 0.1);
}

// Property: wherever it stands in the order, what comes before it is not lost to it.
static void it_takes_nothing_from_what_comes_before(void **state)
{
    static const LayoutWish without[] = {LAYOUT_WISH_RECTANGLE, LAYOUT_WISH_REMNANT};
    static const LayoutWish with[] = {LAYOUT_WISH_RECTANGLE, LAYOUT_WISH_REMNANT, LAYOUT_WISH_CUTS};
    int more = 0;
    for (uint64_t seed = 1; seed <= TRIALS_OF(40); seed++) {
        const ArenaMark mark = arena_mark(*state);
        Random random = random_begin(seed, 0, 0);
        const Sheet sheet = {.outline = box_ring(0, 0, 1500, 1000, *state)};
        const Piece pieces[] = {
            plain_piece(box_ring(0, 0, 200 + random_below(&random, 200), 200, *state), 2),
            plain_piece(box_ring(0, 0, 150, 150 + random_below(&random, 200), *state), 3)};
        LayoutTask task = {.sheets = &sheet, .sheet_count = 1, .pieces = pieces, .piece_count = 2};
        task.unfinished = true;
        Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
        Layout before;
        Problems *problems = problems_in(*state);
        assert_true(layout_search(&task, (LayoutOptions){.seed = seed, .work = 0.001}, NULL, *state,
                                  scratch, &before, problems));
        arena_destroy(scratch);
        task.wishes = without;
        task.wish_count = 2;
        const Layout plain = finish(&task, before.placements, before.count, 0.1, *state);
        task.wishes = with;
        task.wish_count = 3;
        const Layout shared = finish(&task, before.placements, before.count, 0.1, *state);
        for (int i = 0; i < 2; i++) {
            const double change = measure_wish(&task, &shared.measures, with[i]) -
                                  measure_wish(&task, &plain.measures, with[i]);
            // They are held on cells of 4.3 mm, and measured exactly.
            assert_true(change <= finish_tolerance(&task, with[i]) + 2 * 4.4 * 1500);
        }
        more += cuts_worth_mm(shared.measures.cuts[0]) > cuts_worth_mm(plain.measures.cuts[0]) + 1;
        assert_true(cuts_worth_mm(shared.measures.cuts[0]) >=
                    cuts_worth_mm(plain.measures.cuts[0]) -
                        finish_tolerance(&task, LAYOUT_WISH_CUTS));
        arena_rewind(*state, mark);
    }
    assert_true(more > TRIALS_OF(2));
}

static void the_number_of_threads_changes_nothing(void **state)
{
    const Sheet sheet = {.outline = box_ring(0, 0, 1200, 900, *state), .gap_mm = 3};
    const Piece piece = plain_piece(box_ring(0, 0, 250, 170, *state), 9);
    const LayoutTask task = task_of(&sheet, &piece);
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    Layout layouts[2];
    for (int i = 0; i < 2; i++) {
        Problems *problems = problems_in(*state);
        assert_true(layout_search(&task, (LayoutOptions){.seed = 5, .work = 0.6, .threads = i + 1},
                                  NULL, *state, scratch, &layouts[i], problems));
    }
    arena_destroy(scratch);
    assert_int_equal(layouts[0].count, 9);
    assert_memory_equal(layouts[0].placements, layouts[1].placements,
                        9 * sizeof *layouts[0].placements);
    assert_memory_equal(layouts[0].measures.cuts, layouts[1].measures.cuts, sizeof(SharedCuts));
    assert_true(layouts[0].measures.cuts[0].shared_mm > 1000);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(two_in_a_row_share_a_side_and_lie_in_line),
        TEST_IN_ARENA(what_is_moved_along_shares_less),
        TEST_IN_ARENA(of_three_on_a_line_the_last_is_none_to_follow),
        TEST_IN_ARENA(points_on_an_edge_and_round_pieces_make_no_difference),
        TEST_IN_ARENA(the_whole_layout_may_be_moved),
        TEST_IN_ARENA(scattered_pieces_come_to_lie_in_rows),
        TEST_IN_ARENA(tapers_are_turned_to_share_their_sides),
        TEST_IN_ARENA(it_takes_nothing_from_what_comes_before),
        TEST_IN_ARENA(the_number_of_threads_changes_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
