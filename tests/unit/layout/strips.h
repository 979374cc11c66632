// Tasks of strips, and what every result of them must keep to.
#pragma once

#include "shapes.h"
#include "support/check.h"

static inline LayoutTask strip_task(double width_mm, const Piece *pieces, int piece_count,
                                    Arena *keep)
{
    Sheet *sheet = ARENA_NEW(keep, Sheet);
    *sheet = (Sheet){.outline = box_ring(0, 0, 5000, width_mm, keep)};
    return (LayoutTask){.sheets = sheet,
                        .sheet_count = 1,
                        .pieces = pieces,
                        .piece_count = piece_count,
                        .aim = LAYOUT_SHORTEST_STRIP};
}

/// The locked ones come first, untouched.
static inline void check_locked_stay(const LayoutTask *task, const Layout *layout)
{
    for (int i = 0; i < task->locked_count; i++) {
        const Placement *placed = &layout->placements[i];
        assert_true(placed->locked);
        assert_int_equal(placed->piece, task->locked[i].piece);
        assert_memory_equal(&placed->motion, &task->locked[i].motion, sizeof(Motion));
    }
}

/// What the judge accepts, with all pieces and with the length that they really have.
static inline void check_strip(const LayoutTask *task, const Layout *layout, Arena *keep)
{
    assert_int_equal(layout_check(task, layout->placements, layout->count, keep, NULL, 0), 0);
    int wanted = 0;
    for (int i = 0; i < task->piece_count; i++) {
        wanted += task->pieces[i].demand;
        assert_int_equal(layout->missing[i], 0);
    }
    assert_int_equal(layout->count, wanted);
    double length_mm = 0;
    for (int i = 0; i < layout->count; i++) {
        const Placement *placed = &layout->placements[i];
        const Ring ring = ring_moved(task->pieces[placed->piece].outline[0], placed->motion, keep);
        length_mm = fmax(length_mm, ring_box(ring).max.x);
    }
    CHECK_NEAR(layout->length_mm, length_mm, 0.0101);
    check_locked_stay(task, layout);
}

/// A search that must find something.
static inline Layout searched(const LayoutTask *task, LayoutOptions options, Arena *keep)
{
    Problems *problems = problems_in(keep);
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    Layout layout = {0};
    if (!layout_search(task, options, NULL, keep, scratch, &layout, problems)) {
        fail_msg("%s: %s", problems->items[0].where, problems->items[0].found);
    }
    arena_destroy(scratch);
    return layout;
}

static inline Layout laid(const LayoutTask *task, uint64_t seed, double work, Arena *keep)
{
    const Layout layout = searched(task, (LayoutOptions){.seed = seed, .work = work}, keep);
    check_strip(task, &layout, keep);
    return layout;
}

/// A search that must say what is wrong, in one sentence about `where`.
static inline void refuses(const LayoutTask *task, const char *where, Arena *keep)
{
    Problems *problems = problems_in(keep);
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    Layout layout = {0};
    assert_false(layout_search(task, (LayoutOptions){.seed = 1, .work = 0.01}, NULL, keep, scratch,
                               &layout, problems));
    arena_destroy(scratch);
    assert_int_equal(problems->count, 1);
    assert_int_equal(problems->items[0].kind, PROBLEM_BAD_INPUT);
    assert_string_equal(problems->items[0].where, where);
}
