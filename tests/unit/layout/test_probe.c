// The probe held against the judge, and against what it was asked before.
#include "layout/probe.h"

#include "random_task.h"
#include "support/check.h"
#include "support/stop.h"

enum { SHEETS = 2, AREAS = 6, TASKS = 60 };
static const ProbeCare care = {.seed = 3, .quick_work = 0.0005, .careful_work = 0.002, .near = 2};

static Probe *probe_of(const LayoutTask *task, double gap_mm, Arena *keep)
{
    Probe *probe = NULL;
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    assert_true(probe_make(task->pieces, task->piece_count, (ProbeStock){6e5, SHEETS, gap_mm}, keep,
                           scratch, &probe, problems_in(keep)));
    arena_destroy(scratch);
    return probe;
}

static ProbeFound look(Probe *probe, const ProbeSheet *sheets, int count, Arena *keep)
{
    ProbeFound found;
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    assert_true(probe_look(probe, sheets, count, care, keep, scratch, &found));
    arena_destroy(scratch);
    return found;
}

// Areas that overlap each other and the outline, some with a margin.
static ProbeSheet random_probe_sheet(Random *random, Arena *keep)
{
    ProbeArea *areas = ARENA_ARRAY(keep, ProbeArea, AREAS);
    for (int i = 0; i < AREAS; i++) {
        const Point middle = {random_between(random, -450, 450), random_between(random, -450, 450)};
        areas[i] = (ProbeArea){
            .ring = star_ring(middle, random_between(random, 5, 90), 0.5, 1, random, keep),
            .reach_mm = random_below(random, 2) ? random_between(random, 0, 30) : 0,
            .depth = random_below(random, LAYOUT_DEPTHS)};
    }
    ProbeSheet sheet = {star_ring((Point){0, 0}, 500, 0.6, 1, random, keep), areas, AREAS};
    if (random_below(random, 2)) {
        areas[0] = (ProbeArea){
            .ring = sheet.outline, .reach_mm = 25, .depth = areas[0].depth, .edge_only = true};
    }
    return sheet;
}

// The same for the judge, by the geometry library.
static Sheet judged_sheet(const ProbeSheet *sheet, double gap_mm, Arena *keep)
{
    Sheet judged = {.outline = sheet->outline, .gap_mm = gap_mm};
    for (int i = 0; i < sheet->area_count; i++) {
        const ProbeArea *area = &sheet->areas[i];
        const PolygonSet ring = polygon_set_of_ring(area->ring, keep);
        PolygonSet kept_off = ring;
        if (area->reach_mm > 0) {
            assert_true(polygon_grow(ring, area->reach_mm, POLYGON_ROUND, keep, &kept_off));
        }
        if (area->edge_only) {
            PolygonSet inner;
            assert_true(polygon_grow(ring, -area->reach_mm, POLYGON_ROUND, keep, &inner));
            assert_true(polygon_overlay(POLYGON_DIFFERENCE, kept_off, inner, keep, &kept_off));
        }
        PolygonSet *all = &judged.forbidden[area->depth];
        assert_true(polygon_overlay(POLYGON_UNION, *all, kept_off, keep, all));
    }
    return judged;
}

// Whatever it lays, the judge accepts; and it lays something.
static void what_it_lays_is_accepted(void **state)
{
    int laid = 0;
    int none = 0;
    for (uint64_t seed = 1; seed <= TASKS; seed++) {
        const ArenaMark mark = arena_mark(*state);
        Random random = random_begin(seed, 0, 0);
        LayoutTask task = random_task(&random, *state);
        const double gap_mm = random_below(&random, 2) ? 0 : random_between(&random, 0, 12);
        ProbeSheet *asked = ARENA_ARRAY(*state, ProbeSheet, SHEETS);
        Sheet *sheets = ARENA_ARRAY(*state, Sheet, SHEETS);
        for (int i = 0; i < SHEETS; i++) {
            asked[i] = random_probe_sheet(&random, *state);
            sheets[i] = judged_sheet(&asked[i], gap_mm, *state);
        }
        const ProbeFound found = look(probe_of(&task, gap_mm, *state), asked, SHEETS, *state);
        task.sheets = sheets;
        task.sheet_count = SHEETS;
        task.locked_count = 0;
        LayoutFault fault = {0};
        assert_int_equal(layout_check(&task, found.placements, found.count, *state, &fault, 1), 0);
        laid += found.count;
        none += found.count == 0 ? 1 : 0;
        arena_rewind(*state, mark);
    }
    print_message("# %d pieces laid, nothing in %d of %d tasks\n", laid, none, TASKS);
    assert_true(laid > 3 * TASKS && none < TASKS / 4);
}

static void check_same(const ProbeFound *a, const ProbeFound *b)
{
    assert_int_equal(a->missing, b->missing);
    assert_int_equal(a->layouts, b->layouts);
    assert_int_equal(a->count, b->count);
    for (int i = 0; i < a->count; i++) {
        assert_int_equal(a->placements[i].piece, b->placements[i].piece);
        assert_int_equal(a->placements[i].sheet, b->placements[i].sheet);
        CHECK_NEAR(a->placements[i].motion.x_mm, b->placements[i].motion.x_mm, 0);
        CHECK_NEAR(a->placements[i].motion.y_mm, b->placements[i].motion.y_mm, 0);
    }
}

static void it_answers_alike_whatever_was_asked_before(void **state)
{
    Random random = random_begin(9, 0, 0);
    Piece pieces[3];
    for (int i = 0; i < 3; i++) {
        pieces[i] = random_piece(&random, *state);
        pieces[i].demand = 4;
    }
    const LayoutTask task = {.pieces = pieces, .piece_count = 3};
    Probe *used = probe_of(&task, 3, *state);
    for (int i = 0; i < 12; i++) {
        const ProbeSheet sheet = random_probe_sheet(&random, *state);
        const ProbeFound late = look(used, &sheet, 1, *state);
        const ProbeFound early = look(probe_of(&task, 3, *state), &sheet, 1, *state);
        check_same(&late, &early);
    }
}

// Nine squares of 200 mm on 600 mm and 20 more, where a saw that cuts straight finds room.
static void what_has_room_is_laid(void **state)
{
    Piece piece = plain_piece(box_ring(0, 0, 200, 200, *state), 9);
    const LayoutTask task = {.pieces = &piece, .piece_count = 1};
    Probe *probe = probe_of(&task, 0, *state);
    const ProbeSheet enough = {.outline = box_ring(-50, 7, 620, 620, *state)};
    assert_int_equal(look(probe, &enough, 1, *state).missing, 0);
    const ProbeSheet small = {.outline = box_ring(-50, 7, 620, 599, *state)};
    const ProbeFound found = look(probe, &small, 1, *state);
    assert_int_equal(found.missing, 3);
    assert_false(found.careful); // not narrowly
    const ProbeSheet two[] = {small, small};
    assert_int_equal(look(probe, two, 2, *state).missing, 0);
}

// A rim of 20 mm is kept off by depth 1 alone; a spot in its reach by both.
static void depths_and_reach(void **state)
{
    Piece piece = plain_piece(box_ring(0, 0, 300, 300, *state), 1);
    piece.outline[1] = box_ring(30, 30, 240, 240, *state);
    piece.depth_count = 2;
    const LayoutTask task = {.pieces = &piece, .piece_count = 1};
    Probe *probe = probe_of(&task, 0, *state);
    const Ring outline = box_ring(0, 0, 310, 310, *state);
    ProbeArea area = {.ring = outline, .reach_mm = 20, .depth = 1, .edge_only = true};
    const ProbeSheet rimmed = {outline, &area, 1};
    assert_int_equal(look(probe, &rimmed, 1, *state).missing, 0);
    area.reach_mm = 45;
    assert_int_equal(look(probe, &rimmed, 1, *state).missing, 1);
    area = (ProbeArea){.ring = box_ring(150, 150, 5, 5, *state), .depth = 1};
    assert_int_equal(look(probe, &rimmed, 1, *state).missing, 1);
    area = (ProbeArea){.ring = box_ring(-20, -20, 5, 5, *state), .depth = 0, .reach_mm = 10};
    assert_int_equal(look(probe, &rimmed, 1, *state).missing, 0);
    area.reach_mm = 200;
    assert_int_equal(look(probe, &rimmed, 1, *state).missing, 1);
}

static void a_stop_is_told(void **state)
{
    Random random = random_begin(9, 0, 0);
    Piece piece = plain_piece(star_ring((Point){0, 0}, 60, 0.5, 1, &random, *state), 300);
    const LayoutTask task = {.pieces = &piece, .piece_count = 1};
    Probe *probe = probe_of(&task, 3, *state);
    const ProbeSheet sheet = random_probe_sheet(&random, *state);
    Stop stop = {0, 1};
    const Progress progress = {stop_after, &stop};
    ProbeFound found;
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    ProbeCare long_care = care;
    long_care.quick_work = 1;
    long_care.progress = &progress;
    assert_false(probe_look(probe, &sheet, 1, long_care, *state, scratch, &found));
    arena_destroy(scratch);
}

static void bad_pieces_are_told(void **state)
{
    const Point crossing[] = {{0, 0}, {10, 10}, {10, 0}, {0, 10}};
    const Piece piece = plain_piece((Ring){crossing, 4}, 1);
    Problems *problems = problems_in(*state);
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    Probe *probe = NULL;
    assert_false(probe_make(&piece, 1, (ProbeStock){1e6, 1, 0}, *state, scratch, &probe, problems));
    arena_destroy(scratch);
    assert_string_equal(problems->items[0].where, "pieces[0].outlines[0]");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(what_it_lays_is_accepted),
        TEST_IN_ARENA(it_answers_alike_whatever_was_asked_before),
        TEST_IN_ARENA(what_has_room_is_laid),
        TEST_IN_ARENA(depths_and_reach),
        TEST_IN_ARENA(a_stop_is_told),
        TEST_IN_ARENA(bad_pieces_are_told),
    };
    return cmocka_run_group_tests_name("layout/probe", tests, NULL, NULL);
}
