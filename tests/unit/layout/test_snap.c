#include "layout/drag.h"

#include "random_task.h"
#include "support/check.h"

enum { TASKS = TRIALS_OF(300), MOVES = 12, SAMPLES = 120 };
static const double reach_mm = 25;
static const double lattice_mm = 0.01;

static bool may_lie(const Drag *drag, int index, int sheet, Motion motion, Arena *scratch)
{
    return drag_check(drag, index, sheet, motion, scratch, NULL, 0) == 0;
}

static Motion shifted(Motion motion, double length_mm, double way_rad)
{
    // Whole lattice steps, so that the outline keeps its rounding.
    motion.x_mm += lattice_mm * round(length_mm * cos(way_rad) / lattice_mm);
    motion.y_mm += lattice_mm * round(length_mm * sin(way_rad) / lattice_mm);
    return motion;
}

// A push by little more than three steps some way meets something; at a gap, by a little more.
static bool touches(const Drag *drag, int index, int sheet, Motion motion, double gap_mm,
                    Arena *scratch)
{
    enum { WAYS = 32 };
    const double push_mm = 0.05 + 0.03 * gap_mm;
    for (int way = 0; way < WAYS; way++) {
        if (!may_lie(drag, index, sheet, shifted(motion, push_mm, way * 0.19634954084936207),
                     scratch)) {
            return true;
        }
    }
    return false;
}

static Motion random_motion(const Piece *piece, Random *random)
{
    return (Motion){random_between(random, -480, 480), random_between(random, -400, 400),
                    piece->turns[random_below(random, piece->turn_count)].from_rad};
}

typedef struct Seen {
    int snapped;
    int nowhere;
    int from_faults;
} Seen;

// How far away a place may be at which the piece may lie, though the nearest was asked for: round
// corners at a gap are drawn by straight stretches.
static double widest_gap_mm(const LayoutTask *task, int sheet)
{
    double widest = task->sheets[sheet].gap_mm;
    for (int i = 0; i < task->piece_count; i++) {
        widest = fmax(widest, task->pieces[i].gap_mm);
    }
    return widest;
}

// What is asked for amid faults and answered with a place has none nearer by.
static void check_nearest(const Drag *drag, Placement asked, int index, double distance_mm,
                          Random *random, Arena *scratch)
{
    for (int i = 0; i < SAMPLES && distance_mm > 0; i++) {
        const Motion nearer = shifted(asked.motion, distance_mm * sqrt(random_share(random)),
                                      random_between(random, 0, 6.283185307179586));
        assert_false(may_lie(drag, index, asked.sheet, nearer, scratch));
    }
}

static void check_snap(const LayoutTask *task, const Drag *drag, const Placement *placements,
                       int index, Seen *seen, Random *random, Arena *scratch)
{
    Placement asked = placements[index];
    asked.motion = random_motion(&task->pieces[asked.piece], random);
    const bool lay = may_lie(drag, index, asked.sheet, asked.motion, scratch);
    const double slack_mm = 0.06 + 0.2 * widest_gap_mm(task, asked.sheet);
    Motion there = {0};
    if (!drag_snap(drag, index, asked.sheet, asked.motion, reach_mm, scratch, &there)) {
        seen->nowhere++;
        if (!lay) {
            check_nearest(drag, asked, index, reach_mm - slack_mm, random, scratch);
        }
        return;
    }
    seen->snapped++;
    const double way_mm = hypot(there.x_mm - asked.motion.x_mm, there.y_mm - asked.motion.y_mm);
    assert_true(way_mm <= reach_mm + 0.05);
    assert_true(there.turn_rad == asked.motion.turn_rad);
    assert_true(may_lie(drag, index, asked.sheet, there, scratch));
    assert_true(
        touches(drag, index, asked.sheet, there, widest_gap_mm(task, asked.sheet), scratch));
    if (!lay) {
        seen->from_faults++;
        check_nearest(drag, asked, index, way_mm - slack_mm, random, scratch);
    }
}

// Legal, touching, within reach, and the nearest: for random pieces among random others, beside
// flaws of all depths, holes and edges, with gaps and without.
static void a_piece_is_snapped_to_the_nearest_place_where_it_touches(void **state)
{
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    Seen seen = {0};
    for (uint64_t seed = 1; seed <= TASKS; seed++) {
        const ArenaMark mark = arena_mark(*state);
        Random random = random_begin(seed, 9, 0);
        const LayoutTask task = random_task(&random, *state);
        Placement placements[6];
        const int count = 1 + random_below(&random, 6);
        int laid[3] = {0};
        int kept = 0;
        for (int i = 0; i < count; i++) {
            const int piece = random_below(&random, task.piece_count);
            if (laid[piece]++ < task.pieces[piece].demand) {
                placements[kept++] =
                    (Placement){.piece = piece,
                                .sheet = random_below(&random, task.sheet_count),
                                .motion = random_motion(&task.pieces[piece], &random)};
            }
        }
        const Drag *drag = drag_prepare(&task, placements, kept, *state, scratch);
        for (int move = 0; move < MOVES; move++) {
            check_snap(&task, drag, placements, random_below(&random, kept), &seen, &random,
                       scratch);
        }
        arena_rewind(*state, mark);
    }
    arena_destroy(scratch);
    print_message("# snapped %d, of them amid faults %d; nowhere %d\n", seen.snapped,
                  seen.from_faults, seen.nowhere);
    assert_true(seen.snapped > TASKS && seen.nowhere > TASKS && seen.from_faults > TASKS / 2);
}

static Drag *two_boxes(double gap_mm, Arena *keep, Arena *scratch)
{
    static const TurnRange upright[] = {{0, 0}};
    Sheet *sheet = ARENA_NEW(keep, Sheet);
    *sheet = (Sheet){.outline = box_ring(0, 0, 100, 100, keep), .gap_mm = gap_mm};
    Piece *piece = ARENA_NEW(keep, Piece);
    *piece = plain_piece(box_ring(0, 0, 10, 10, keep), 2);
    piece->turns = upright;
    piece->turn_count = 1;
    LayoutTask *task = ARENA_NEW(keep, LayoutTask);
    *task = (LayoutTask){.sheets = sheet, .sheet_count = 1, .pieces = piece, .piece_count = 1};
    Placement *placements = ARENA_ARRAY(keep, Placement, 2);
    placements[0].motion = (Motion){40, 40, 0};
    placements[1].motion = (Motion){60, 60, 0};
    return drag_prepare(task, placements, 2, keep, scratch);
}

static void check_place(const Drag *drag, Motion asked, Motion wanted, Arena *scratch)
{
    Motion there = {0};
    assert_true(drag_snap(drag, 1, 0, asked, 20, scratch, &there));
    CHECK_NEAR(there.x_mm, wanted.x_mm, 1e-9);
    CHECK_NEAR(there.y_mm, wanted.y_mm, 1e-9);
}

static void boxes_are_laid_side_by_side_to_the_last_step(void **state)
{
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    const Drag *drag = two_boxes(0, *state, scratch);
    check_place(drag, (Motion){53, 42, 0}, (Motion){50, 42, 0}, scratch); // apart
    check_place(drag, (Motion){47, 42, 0}, (Motion){50, 42, 0}, scratch); // overlapping
    check_place(drag, (Motion){42, 48.5, 0}, (Motion){42, 50, 0}, scratch);
    check_place(drag, (Motion){-4, -7, 0}, (Motion){0, 0, 0}, scratch); // into the corner
    check_place(drag, (Motion){93, 20, 0}, (Motion){90, 20, 0}, scratch);
    const Drag *apart = two_boxes(3, *state, scratch);
    check_place(apart, (Motion){52, 42, 0}, (Motion){53, 42, 0}, scratch);
    check_place(apart, (Motion){54, 42, 0}, (Motion){53, 42, 0}, scratch);
    // Corner at corner the gap is round: along the diagonal, not beside a straight line of an edge.
    const Motion near_corner[] = {{52, 52, 0}, {52.5, 52.5, 0}};
    for (int i = 0; i < 2; i++) {
        Motion round = {0};
        assert_true(drag_snap(apart, 1, 0, near_corner[i], 20, scratch, &round));
        CHECK_NEAR(hypot(round.x_mm - 50, round.y_mm - 50), 3.03, 0.04); // 16 sides, outside
        CHECK_NEAR(round.x_mm, round.y_mm, 0.7);
    }
    Motion there = {7, 7, 7};
    assert_false(drag_snap(drag, 1, 0, (Motion){70, 75, 0}, 10, scratch, &there));
    assert_false(drag_snap(drag, 1, 0, (Motion){50, 42, 1}, 10, scratch, &there)); // turned
    assert_false(drag_snap(drag, 1, 0, (Motion){3e6, 42, 0}, 10, scratch, &there));
    assert_true(there.x_mm == 7);
    arena_destroy(scratch);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(a_piece_is_snapped_to_the_nearest_place_where_it_touches),
        TEST_IN_ARENA(boxes_are_laid_side_by_side_to_the_last_step),
    };
    return cmocka_run_group_tests_name("layout/snap", tests, NULL, NULL);
}
