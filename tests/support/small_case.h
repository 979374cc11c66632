// Small random layouts for the judge: few points on a coarse grid, so that things touch,
// share edges, fill holes and lie on each other much more often than in life.
//
// A sheet with or without holes, areas to keep off for each depth, with or without
// holes; up to three pieces with an outline for each depth, in quarter turns; gaps of
// sheet and pieces. A tenth of the cases is large and turned at will, so that points are
// rounded to the lattice; a twentieth has outlines that cross themselves.
#pragma once

#include "base/random.h"
#include "layout/layout.h"
#include "support/slow_judge.h"

enum { SMALL_AREAS_MAX = 3, SMALL_PIECES_MAX = 3, SMALL_POINTS_MAX = 9, SMALL_POOL_MAX = 32 };

typedef struct SmallCase {
    LayoutTask task;
    Placement placements[SMALL_PIECES_MAX];
    int count;
    // What has been drawn, to be drawn again and to be laid against.
    Ring pool[SMALL_POOL_MAX];
    int pool_count;
    double unit_mm; // the grid that it was drawn on
    bool at_will;
    bool wild; // outlines that touch and cross themselves, as after rounding, but far more
    Random *random;
    Arena *keep;
} SmallCase;

static inline Ring small_ring(SmallCase *small, int size)
{
    if (small->pool_count > 0 && random_below(small->random, 5) == 0) {
        return small->pool[random_below(small->random, small->pool_count)];
    }
    Point *points = ARENA_ARRAY(small->keep, Point, SMALL_POINTS_MAX);
    Ring ring = {points, 0};
    const int left = random_below(small->random, 8);
    const int low = random_below(small->random, 8);
    do {
        ring.count = 3 + random_below(small->random, SMALL_POINTS_MAX - 3);
        for (int i = 0; i < ring.count; i++) {
            points[i] = (Point){left + random_below(small->random, size + 1),
                                low + random_below(small->random, size + 1)};
        }
        // Asked in whole numbers, before the unit makes them hundredths.
    } while (ring_area_mm2(ring) == 0 || !(small->wild || ring_is_simple(ring, NULL)));
    for (int i = 0; i < ring.count; i++) {
        points[i] = point_times(points[i], small->unit_mm);
    }
    if (small->pool_count < SMALL_POOL_MAX) {
        small->pool[small->pool_count++] = ring;
    }
    return ring;
}

static inline Ring small_box(SmallCase *small, int size)
{
    Point *points = ARENA_ARRAY(small->keep, Point, 4);
    const double side = size * small->unit_mm;
    points[1] = (Point){side, 0};
    points[2] = (Point){side, side};
    points[3] = (Point){0, side};
    return (Ring){points, 4};
}

static inline Polygon small_area(SmallCase *small)
{
    Polygon area = {.outer = random_below(small->random, 4)
                                 ? small_ring(small, 4 + random_below(small->random, 14))
                                 : small_box(small, 6 + random_below(small->random, 14))};
    Ring *holes = ARENA_ARRAY(small->keep, Ring, 2);
    const int wanted = random_below(small->random, 3);
    area.holes = holes;
    for (int tries = 0; area.hole_count < wanted && tries < 6; tries++) {
        holes[area.hole_count++] = small_ring(small, 2 + random_below(small->random, 8));
        if (!slow_judge_polygon(area, small->keep)) {
            area.hole_count--;
        }
    }
    return area;
}

static inline PolygonSet small_areas(SmallCase *small)
{
    const int count = random_below(small->random, 4) ? 0 : 1 + random_below(small->random, 2);
    Polygon *items = ARENA_ARRAY(small->keep, Polygon, count + 1);
    for (int i = 0; i < count; i++) {
        items[i] = small_area(small);
    }
    return (PolygonSet){items, count};
}

static inline double small_gap(SmallCase *small)
{
    static const double steps[] = {1, 2, 2.5, 3, 5, 7.07};
    return random_below(small->random, 3) ? 0
                                          : steps[random_below(small->random, 6)] * small->unit_mm;
}

static inline void small_sheet(SmallCase *small, Sheet *sheet)
{
    sheet->outline = random_below(small->random, 3)
                         ? small_box(small, 12 + random_below(small->random, 14))
                         : small_ring(small, 12 + random_below(small->random, 14));
    sheet->hole_count = random_below(small->random, 3) ? 0 : 1 + random_below(small->random, 2);
    Ring *holes = ARENA_ARRAY(small->keep, Ring, sheet->hole_count + 1);
    for (int i = 0; i < sheet->hole_count; i++) {
        holes[i] = small_ring(small, 2 + random_below(small->random, 8));
    }
    sheet->holes = holes;
    for (int depth = 0; depth < LAYOUT_DEPTHS; depth++) {
        sheet->forbidden[depth] = small_areas(small);
    }
    sheet->gap_mm = small_gap(small);
}

static inline void small_piece(SmallCase *small, Piece *piece)
{
    static const TurnRange turns[] = {{0, 0}, {1.5707963267948966, 1.5707963267948966}, {-1, 7}};
    *piece = (Piece){.depth_count = 1 + random_below(small->random, LAYOUT_DEPTHS),
                     .turns = random_below(small->random, 3) ? &turns[2] : turns,
                     .turn_count = 1 + random_below(small->random, 2),
                     .value = 1,
                     .demand = 1 + random_below(small->random, 3),
                     .turn_symmetry = random_below(small->random, 3),
                     .gap_mm = small_gap(small)};
    if (piece->turns == &turns[2]) {
        piece->turn_count = 1;
    }
    for (int depth = 0; depth < piece->depth_count; depth++) {
        piece->outline[depth] = small_ring(small, 3 + random_below(small->random, 8));
    }
}

// So that a corner of the piece comes to lie on a corner, or on the middle, of an edge of
// something else.
static inline void small_bring(SmallCase *small, Placement *placement)
{
    const Ring own = small->task.pieces[placement->piece].outline[0];
    const Ring other = small->pool[random_below(small->random, small->pool_count)];
    const Ring moved = ring_moved(own, placement->motion, small->keep);
    const int at = random_below(small->random, other.count);
    Point there = other.points[at];
    if (random_below(small->random, 2)) {
        there = point_between(there, ring_point(other, at + 1), 0.5);
    }
    const Point here = moved.points[random_below(small->random, moved.count)];
    placement->motion.x_mm += round((there.x - here.x) / small->unit_mm) * small->unit_mm;
    placement->motion.y_mm += round((there.y - here.y) / small->unit_mm) * small->unit_mm;
}

static inline void small_placement(SmallCase *small, Placement *placement)
{
    static const double quarter_rad = 1.5707963267948966;
    *placement = (Placement){.piece = random_below(small->random, small->task.piece_count)};
    placement->motion.turn_rad = random_below(small->random, 4) * quarter_rad;
    if (small->at_will) {
        placement->motion.turn_rad = random_between(small->random, -3, 9);
    }
    placement->motion.x_mm = random_below(small->random, 20) * small->unit_mm;
    placement->motion.y_mm = random_below(small->random, 20) * small->unit_mm;
    if (small->pool_count > 0 && random_below(small->random, 3)) {
        small_bring(small, placement);
    }
    const Ring outline = small->task.pieces[placement->piece].outline[0];
    if (small->pool_count < SMALL_POOL_MAX) {
        small->pool[small->pool_count++] = ring_moved(outline, placement->motion, small->keep);
    }
}

static inline void small_case_draw(SmallCase *small, Random *random, Arena *keep)
{
    *small = (SmallCase){.random = random, .keep = keep, .unit_mm = 0.01};
    small->at_will = random_below(random, 10) == 0;
    small->wild = random_below(random, 20) == 0;
    if (small->at_will) {
        // With the small ones, outlines may fold up or vanish when rounded.
        static const double units_mm[] = {1, 7.3, 0.03, 0.01};
        small->unit_mm = units_mm[random_below(random, 4)];
    }
    Sheet *sheet = ARENA_NEW(keep, Sheet);
    Piece *pieces = ARENA_ARRAY(keep, Piece, SMALL_PIECES_MAX);
    small->task = (LayoutTask){.sheets = sheet, .sheet_count = 1, .pieces = pieces};
    small_sheet(small, sheet);
    small->task.piece_count = 1 + random_below(random, SMALL_PIECES_MAX);
    for (int i = 0; i < small->task.piece_count; i++) {
        small_piece(small, &pieces[i]);
    }
    small->count = 1 + random_below(random, SMALL_PIECES_MAX);
    for (int i = 0; i < small->count; i++) {
        small_placement(small, &small->placements[i]);
    }
}
