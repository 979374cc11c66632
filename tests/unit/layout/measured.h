// What is measured of a layout, with nothing left behind in the scratch arena.
#pragma once

#include "layout/measure.h"

#include "support/check.h"

static inline LayoutMeasures measure(const LayoutTask *task, const Placement *placements, int count,
                                     Arena *keep)
{
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    const LayoutMeasures measures = layout_measure(task, placements, count, keep, scratch);
    assert_int_equal(arena_used_bytes(scratch), 0);
    arena_destroy(scratch);
    return measures;
}
