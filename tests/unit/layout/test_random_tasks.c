#include "layout/search.h"

#include "shapes.h"
#include "support/check.h"

// Property: whatever the task, the judge accepts what the search hands out, and the
// search never believed in a placement that the judge refuses.

enum { TASKS = 1200 };

static PolygonSet random_areas(Random *random, Arena *keep)
{
    const int count = random_below(random, 3);
    Polygon *items = ARENA_ARRAY(keep, Polygon, count + 1);
    for (int i = 0; i < count; i++) {
        // Side by side, so that they do not overlap.
        const Point middle = {300.0 * i + random_between(random, -20, 20),
                              random_between(random, -300, 300)};
        items[i].outer = star_ring(middle, random_between(random, 5, 120), 0.5, 1, random, keep);
        if (random_below(random, 3) == 0) {
            Ring *hole = ARENA_NEW(keep, Ring);
            const double size = 0.3 * sqrt(ring_area_mm2(items[i].outer));
            *hole = star_ring(middle, size * 0.8, 0.3, 0.7, random, keep);
            items[i].holes = hole;
            items[i].hole_count = 1;
        }
    }
    return (PolygonSet){items, count};
}

static Sheet random_sheet(Random *random, Arena *keep)
{
    Sheet sheet = {.gap_mm = random_below(random, 2) ? 0 : random_between(random, 0, 12)};
    sheet.outline = random_below(random, 4) ? star_ring((Point){0, 0}, 500, 0.6, 1, random, keep)
                                            : box_ring(-500, -400, 900, 850, keep);
    if (random_below(random, 3) == 0) {
        Ring *hole = ARENA_NEW(keep, Ring);
        *hole = star_ring((Point){40, 20}, 60, 0.3, 1, random, keep);
        sheet.holes = hole;
        sheet.hole_count = 1;
    }
    for (int depth = 0; depth < LAYOUT_DEPTHS; depth++) {
        sheet.forbidden[depth] = random_areas(random, keep);
    }
    if (random_below(random, 2)) {
        float *cost = ARENA_ARRAY(keep, float, 8 * 8);
        for (int i = 0; i < 64; i++) {
            cost[i] = (float)random_share(random);
        }
        sheet.field = (CostField){{-440, -440}, 125, 8, 8, cost};
    }
    return sheet;
}

static Piece random_piece(Random *random, Arena *keep)
{
    const Ring outline =
        star_ring((Point){0, 0}, random_between(random, 20, 220), 0.5, 1, random, keep);
    Piece piece = plain_piece(outline, 1 + random_below(random, 4));
    piece.depth_count = 1 + random_below(random, LAYOUT_DEPTHS);
    for (int depth = 1; depth < piece.depth_count; depth++) {
        piece.outline[depth] = scaled_ring(outline, 1 - 0.2 * depth, keep);
    }
    TurnRange *turns = ARENA_ARRAY(keep, TurnRange, 2);
    for (int i = 0; i < 2; i++) {
        const double from = random_between(random, -4, 4);
        turns[i] = (TurnRange){from, from + (random_below(random, 2) ? 0 : random_share(random))};
    }
    piece.turns = turns;
    piece.turn_count = 1 + random_below(random, 2);
    piece.value = random_between(random, 0.5, 2);
    piece.turn_symmetry = random_below(random, 3);
    return piece;
}

static LayoutTask random_task(Random *random, Arena *keep)
{
    LayoutTask task = {.sheet_count = 1 + random_below(random, 2),
                       .piece_count = 1 + random_below(random, 3)};
    Sheet *sheets = ARENA_ARRAY(keep, Sheet, task.sheet_count);
    for (int i = 0; i < task.sheet_count; i++) {
        sheets[i] = random_sheet(random, keep);
    }
    Piece *pieces = ARENA_ARRAY(keep, Piece, task.piece_count);
    for (int i = 0; i < task.piece_count; i++) {
        pieces[i] = random_piece(random, keep);
    }
    task.sheets = sheets;
    task.pieces = pieces;
    return task;
}

static void check_result(const LayoutTask *task, const SearchResult *result, Arena *scratch)
{
    const Layout *layout = &result->layout;
    assert_int_equal(result->tally.refused, 0);
    assert_int_equal(layout_check(task, layout->placements, layout->count, scratch, NULL, 0), 0);
    int placed = 0;
    for (int i = 0; i < task->piece_count; i++) {
        assert_true(layout->missing[i] >= 0 && layout->missing[i] <= task->pieces[i].demand);
        placed += task->pieces[i].demand - layout->missing[i];
    }
    assert_int_equal(placed, layout->count);
}

static void the_judge_accepts_every_result(void **state)
{
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    int laid = 0;
    int missing = 0;
    for (uint64_t seed = 1; seed <= TASKS; seed++) {
        const ArenaMark mark = arena_mark(*state);
        Random random = random_begin(seed, 0, 0);
        LayoutTask task = random_task(&random, *state);
        Problems *problems = problems_in(*state);
        // Now and then enough work for finer cells.
        const LayoutOptions options = {seed, seed % 20 ? 0.001 : 0.05};
        SearchResult result = {0};
        assert_true(search_run(&task, options, NULL, *state, scratch, &result, problems));
        check_result(&task, &result, scratch);
        laid += result.layout.count;
        for (int i = 0; i < task.piece_count; i++) {
            missing += result.layout.missing[i];
        }
        // Some of it locked where it lies, the rest laid anew.
        task.locked = result.layout.placements;
        task.locked_count = result.layout.count / 2;
        SearchResult again = {0};
        assert_true(search_run(&task, options, NULL, *state, scratch, &again, problems));
        check_result(&task, &again, scratch);
        assert_true(again.layout.count >= task.locked_count);
        arena_rewind(*state, mark);
    }
    arena_destroy(scratch);
    // The tasks are neither trivial nor hopeless.
    assert_true(laid > TASKS && missing > TASKS / 4);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(the_judge_accepts_every_result),
    };
    return cmocka_run_group_tests_name("layout/random_tasks", tests, NULL, NULL);
}
