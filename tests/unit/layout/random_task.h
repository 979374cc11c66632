// Tasks of all sorts, drawn at random.
#pragma once

#include "shapes.h"

static inline PolygonSet random_areas(Random *random, Arena *keep)
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

static inline Sheet random_sheet(Random *random, Arena *keep)
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

static inline Piece random_piece(Random *random, Arena *keep)
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
    piece.gap_mm = random_below(random, 4) ? 0 : random_between(random, 0, 15);
    return piece;
}

static inline LayoutTask random_task(Random *random, Arena *keep)
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
