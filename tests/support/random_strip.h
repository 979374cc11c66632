// Random strips with flaws and locked pieces.
#pragma once

#include "base/random.h"
#include "layout/layout.h"

#include <math.h>

/// Seen whole from its middle: radii between `least` and 1 of the size.
static inline Ring random_blot(Point middle, double size_mm, double least, Random *random,
                               Arena *keep)
{
    const int count = 5 + random_below(random, 12);
    Point *points = ARENA_ARRAY(keep, Point, count);
    for (int i = 0; i < count; i++) {
        const double angle = 6.283185307179586 * (i + random_between(random, 0, 0.6)) / count;
        const double far = size_mm * random_between(random, least, 1);
        points[i] = (Point){middle.x + far * cos(angle), middle.y + far * sin(angle)};
    }
    return (Ring){points, count};
}

static inline Ring nearer(Ring ring, Point middle, double share, Arena *keep)
{
    Point *points = ARENA_ARRAY(keep, Point, ring.count);
    for (int i = 0; i < ring.count; i++) {
        points[i] = point_between(middle, ring.points[i], share);
    }
    return (Ring){points, ring.count};
}

// Flaws anywhere, some of them with a hole.
static inline PolygonSet random_flaws(Random *random, int most, Arena *keep)
{
    const int count = random_below(random, most + 1);
    Polygon *flaws = ARENA_ARRAY(keep, Polygon, count + 1);
    for (int i = 0; i < count; i++) {
        const Point at = {random_between(random, 0, 1500), random_between(random, 0, 400)};
        const double size_mm = random_between(random, 1, random_below(random, 4) ? 30 : 160);
        const Ring outer = random_blot(at, size_mm, 0.6, random, keep);
        Ring *hole = ARENA_NEW(keep, Ring);
        *hole = ring_reversed(nearer(outer, at, 0.7, keep), keep);
        flaws[i] = (Polygon){.outer = outer, .holes = hole, .hole_count = random_below(random, 2)};
    }
    return (PolygonSet){flaws, count};
}

// Places drawn until the judge accepts one.
static inline bool lock_one(LayoutTask *task, Placement *locked, Random *random, Arena *scratch)
{
    for (int tries = 0; tries < 200; tries++) {
        const int piece = random_below(random, task->piece_count);
        const TurnRange range = task->pieces[piece].turns[0];
        locked[task->locked_count] =
            (Placement){.piece = piece,
                        .motion = {random_between(random, 0, 900), random_between(random, 0, 400),
                                   random_between(random, range.from_rad, range.to_rad)}};
        if (layout_check(task, locked, task->locked_count + 1, scratch, NULL, 0) == 0) {
            task->locked_count++;
            return true;
        }
    }
    return false;
}

/// A strip 400 mm wide, for up to nine pieces of three kinds and up to three depths.
static inline LayoutTask random_strip(Random *random, Arena *keep)
{
    static const TurnRange turns[] = {{-0.2, 0.3}, {1, 1.5}};
    static const Point corners[] = {{0, 0}, {5000, 0}, {5000, 400}, {0, 400}};
    enum { KINDS = 3, LOCKED_MAX = 4 };
    Piece *pieces = ARENA_ARRAY(keep, Piece, KINDS);
    for (int i = 0; i < KINDS; i++) {
        const Point middle = {7, -3};
        const Ring whole = random_blot(middle, random_between(random, 40, 130), 0.4, random, keep);
        pieces[i] = (Piece){
            .outline = {whole, nearer(whole, middle, 0.8, keep), nearer(whole, middle, 0.5, keep)},
            .depth_count = 1 + random_below(random, 3),
            .turns = turns,
            .turn_count = 1 + random_below(random, 2),
            .value = 1,
            .demand = 1 + random_below(random, 3),
            .turn_symmetry = 1};
    }
    Sheet *sheet = ARENA_NEW(keep, Sheet);
    *sheet = (Sheet){.outline = {corners, 4}, .gap_mm = random_below(random, 2) ? 0 : 3};
    Ring *hole = ARENA_NEW(keep, Ring);
    *hole = random_blot((Point){random_between(random, 0, 600), 200}, 60, 0.3, random, keep);
    sheet->holes = hole;
    sheet->hole_count = random_below(random, 2);
    for (int depth = 0; depth < LAYOUT_DEPTHS; depth++) {
        sheet->forbidden[depth] = random_flaws(random, 9, keep);
    }
    Placement *locked = ARENA_ARRAY(keep, Placement, LOCKED_MAX);
    LayoutTask task = {.sheets = sheet,
                       .sheet_count = 1,
                       .pieces = pieces,
                       .piece_count = KINDS,
                       .locked = locked,
                       .aim = LAYOUT_SHORTEST_STRIP};
    for (int i = random_below(random, LOCKED_MAX); i > 0; i--) {
        (void)lock_one(&task, locked, random, keep);
    }
    return task;
}
