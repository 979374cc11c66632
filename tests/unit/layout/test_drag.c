#include "layout/drag.h"

#include "random_task.h"
#include "support/check.h"

#include <stdlib.h>

enum { TASKS = TRIALS_OF(1500), MOVES = 60, FAULTS_MAX = 400, KINDS = LAYOUT_COUNT + 1 };

static int by_kind(const void *left, const void *right)
{
    const LayoutFault *a = left;
    const LayoutFault *b = right;
    if (a->kind != b->kind) {
        return a->kind < b->kind ? -1 : 1;
    }
    return a->depth != b->depth ? a->depth - b->depth : a->other - b->other;
}

// What the judge finds wrong with one of the placements.
static int judged(const LayoutTask *task, const Placement *placements, int count, int index,
                  LayoutFault *faults, Arena *scratch)
{
    LayoutFault all[FAULTS_MAX];
    const int found = layout_check(task, placements, count, scratch, all, FAULTS_MAX);
    assert_true(found <= FAULTS_MAX);
    int kept = 0;
    for (int i = 0; i < found; i++) {
        LayoutFault fault = all[i];
        const bool pair = fault.kind == LAYOUT_OVERLAP || fault.kind == LAYOUT_GAP;
        if (pair && fault.other == index) {
            fault.other = fault.placement;
            fault.placement = index;
        }
        if (fault.placement == index) {
            faults[kept++] = fault;
        }
    }
    return kept;
}

// Holds the drag's answer against the judge's; counts what they found.
static void check_move(const LayoutTask *task, const Placement *placements, int count,
                       const Drag *drag, Placement moved, int index, int *seen, Arena *scratch)
{
    Placement after[LAYOUT_COPIES_MAX];
    memcpy(after, placements, (size_t)count * sizeof *after);
    after[index].sheet = moved.sheet;
    after[index].motion = moved.motion;
    LayoutFault wanted[FAULTS_MAX];
    LayoutFault found[FAULTS_MAX];
    const int wanted_count = judged(task, after, count, index, wanted, scratch);
    const int found_count =
        drag_check(drag, index, moved.sheet, moved.motion, scratch, found, FAULTS_MAX);
    assert_int_equal(found_count, wanted_count);
    qsort(wanted, (size_t)wanted_count, sizeof *wanted, by_kind);
    qsort(found, (size_t)found_count, sizeof *found, by_kind);
    for (int i = 0; i < found_count; i++) {
        assert_int_equal(found[i].kind, wanted[i].kind);
        assert_int_equal(found[i].placement, index);
        assert_int_equal(found[i].other, wanted[i].other);
        assert_int_equal(found[i].depth, wanted[i].depth);
        seen[found[i].kind]++;
    }
    seen[KINDS] += found_count == 0;
}

static double coarse(double value, double step)
{
    return step > 0 ? step * round(value / step) : value;
}

static Motion random_motion(const Piece *piece, double step, Random *random)
{
    const TurnRange range = piece->turns[random_below(random, piece->turn_count)];
    double turn_rad = random_below(random, 8) ? range.from_rad : 7 * random_share(random);
    turn_rad += step > 0 ? 0 : (range.to_rad - range.from_rad) * random_share(random);
    return (Motion){coarse(random_between(random, -480, 480), step),
                    coarse(random_between(random, -400, 400), step), turn_rad};
}

// Where a piece was, a little further: as a hand moves it.
static Placement next_place(const LayoutTask *task, Placement placement, double step,
                            Random *random)
{
    const int way = random_below(random, 20);
    if (way == 0) {
        placement.motion.x_mm = 3e6; // out of range
    } else if (way == 1) {
        placement.sheet = random_below(random, task->sheet_count + 2) - 1;
    } else if (way < 10) {
        placement.motion = random_motion(&task->pieces[placement.piece], step, random);
    } else {
        placement.motion.x_mm += coarse(random_between(random, -30, 30), step);
        placement.motion.y_mm += coarse(random_between(random, -30, 30), step);
    }
    return placement;
}

static int random_placements(const LayoutTask *task, double step, Random *random,
                             Placement *placements)
{
    const int count = 1 + random_below(random, 14);
    for (int i = 0; i < count; i++) {
        const int piece = random_below(random, task->piece_count);
        placements[i] = (Placement){.piece = piece,
                                    .sheet = random_below(random, task->sheet_count),
                                    .motion = random_motion(&task->pieces[piece], step, random)};
    }
    if (random_below(random, 10) == 0) {
        placements[random_below(random, count)].sheet = -1; // looked at by nobody
    }
    return count;
}

static void follow(const LayoutTask *task, double step, uint64_t seed, int *seen, Arena *keep,
                   Arena *scratch)
{
    Random random = random_begin(seed, 1, 0);
    Placement placements[LAYOUT_COPIES_MAX];
    const int count = random_placements(task, step, &random, placements);
    const Drag *drag = drag_prepare(task, placements, count, keep, scratch);
    const size_t kept = arena_used_bytes(keep);
    for (int move = 0; move < MOVES; move++) {
        const int index = random_below(&random, count);
        const Placement moved = next_place(task, placements[index], step, &random);
        check_move(task, placements, count, drag, moved, index, seen, scratch);
    }
    assert_int_equal(arena_used_bytes(keep), kept);
}

static void check_all_seen(const int *seen)
{
    for (int kind = 0; kind < KINDS; kind++) {
        assert_true(seen[kind] > TASKS / 8);
    }
    assert_true(seen[KINDS] > TASKS); // moves without any fault
}

static void it_agrees_with_the_judge(void **state)
{
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    int seen[KINDS + 1] = {0};
    for (uint64_t seed = 1; seed <= TASKS; seed++) {
        const ArenaMark mark = arena_mark(*state);
        Random random = random_begin(seed, 0, 0);
        const LayoutTask task = random_task(&random, *state);
        follow(&task, 0, seed, seen, *state, scratch);
        arena_rewind(*state, mark);
    }
    arena_destroy(scratch);
    check_all_seen(seen);
}

// Steps and stairs on a wide grid: outlines that touch along edges and at corners, that are
// alike, and that lie in one another's corners.
static Ring stairs_ring(double width, double height, Random *random, Arena *keep)
{
    Point *points = ARENA_ARRAY(keep, Point, 6);
    const double x = coarse(random_between(random, 10, width - 10), 10);
    const double y = coarse(random_between(random, 10, height - 10), 10);
    const Point corners[] = {{0, 0}, {width, 0}, {width, y}, {x, y}, {x, height}, {0, height}};
    memcpy(points, corners, sizeof corners);
    return (Ring){points, 6};
}

static LayoutTask stairs_task(Random *random, Arena *keep)
{
    static const TurnRange quarters[] = {{0, 0}, {1.5707963267948966, 1.5707963267948966}};
    Sheet *sheet = ARENA_NEW(keep, Sheet);
    *sheet = (Sheet){.outline = box_ring(-200, -200, 400, 400, keep),
                     .gap_mm = random_below(random, 2) ? 0 : 10};
    Ring *hole = ARENA_NEW(keep, Ring);
    *hole = box_ring(-180, -180, 40, 40, keep);
    sheet->holes = hole;
    sheet->hole_count = 1;
    Ring *inner = ARENA_NEW(keep, Ring);
    *inner = box_ring(20, 20, 120, 120, keep);
    sheet->forbidden[0] = one_polygon(box_ring(0, 0, 180, 180, keep), inner, 1, keep);
    sheet->forbidden[1] = one_polygon(stairs_ring(60, 80, random, keep), NULL, 0, keep);
    Piece *pieces = ARENA_ARRAY(keep, Piece, 2);
    for (int i = 0; i < 2; i++) {
        pieces[i] = plain_piece(stairs_ring(80, 60, random, keep), 6);
        pieces[i].turns = quarters;
        pieces[i].turn_count = 2;
    }
    pieces[1].outline[1] = box_ring(0, 0, 10, 10, keep);
    pieces[1].depth_count = 2;
    return (LayoutTask){.sheets = sheet, .sheet_count = 1, .pieces = pieces, .piece_count = 2};
}

static void it_agrees_where_pieces_touch(void **state)
{
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    int seen[KINDS + 1] = {0};
    for (uint64_t seed = 1; seed <= TASKS; seed++) {
        const ArenaMark mark = arena_mark(*state);
        Random random = random_begin(seed, 2, 0);
        const LayoutTask task = stairs_task(&random, *state);
        follow(&task, 10, seed, seen, *state, scratch);
        arena_rewind(*state, mark);
    }
    arena_destroy(scratch);
    check_all_seen(seen);
}

// The faults beyond the room are counted, not written.
static void it_counts_more_than_it_writes(void **state)
{
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    const Sheet sheet = {.outline = box_ring(0, 0, 100, 100, *state)};
    const Piece piece = plain_piece(box_ring(0, 0, 10, 10, *state), 3);
    const LayoutTask task = {
        .sheets = &sheet, .sheet_count = 1, .pieces = &piece, .piece_count = 1};
    const Placement placements[] = {
        {.motion = {0, 0, 0}}, {.motion = {5, 0, 0}}, {.motion = {50, 50, 0}}};
    const Drag *drag = drag_prepare(&task, placements, 3, *state, scratch);
    LayoutFault faults[2] = {{.kind = LAYOUT_COUNT, .other = 7},
                             {.kind = LAYOUT_COUNT, .other = 7}};
    const Motion half_off = {-1, 0, 0};
    assert_int_equal(drag_check(drag, 2, 0, half_off, scratch, faults, 1), 3);
    assert_int_equal(faults[0].kind, LAYOUT_OFF_SHEET);
    assert_int_equal(faults[1].other, 7);
    assert_int_equal(drag_check(drag, 2, 0, (Motion){90, 90, 0}, scratch, NULL, 0), 0);
    arena_destroy(scratch);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(it_agrees_with_the_judge),
        TEST_IN_ARENA(it_agrees_where_pieces_touch),
        TEST_IN_ARENA(it_counts_more_than_it_writes),
    };
    return cmocka_run_group_tests_name("layout/drag", tests, NULL, NULL);
}
