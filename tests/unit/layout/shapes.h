// Shapes that the tests of the engine share.
#pragma once

#include "base/random.h"
#include "layout/layout.h"

static inline Ring box_ring(double x, double y, double width, double height, Arena *keep)
{
    Point *points = ARENA_ARRAY(keep, Point, 4);
    points[0] = (Point){x, y};
    points[1] = (Point){x + width, y};
    points[2] = (Point){x + width, y + height};
    points[3] = (Point){x, y + height};
    return (Ring){points, 4};
}

/// Seen whole from its middle: radii between `least` and `most` of the size. Five points
/// and more, so that its edges stay half of `least` away from the middle.
static inline Ring star_ring(Point middle, double size_mm, double least, double most,
                             Random *random, Arena *keep)
{
    const int count = 5 + random_below(random, 12);
    Point *points = ARENA_ARRAY(keep, Point, count);
    for (int i = 0; i < count; i++) {
        const double angle = 6.283185307179586 * (i + random_between(random, 0, 0.6)) / count;
        const double far = size_mm * random_between(random, least, most);
        points[i] = (Point){middle.x + far * cos(angle), middle.y + far * sin(angle)};
    }
    return (Ring){points, count};
}

static inline Ring scaled_ring(Ring ring, double factor, Arena *keep)
{
    Point *points = ARENA_ARRAY(keep, Point, ring.count);
    for (int i = 0; i < ring.count; i++) {
        points[i] = point_times(ring.points[i], factor);
    }
    return (Ring){points, ring.count};
}

static const TurnRange no_turn = {0, 0};

/// A piece of one outline that is not turned.
static inline Piece plain_piece(Ring outline, int demand)
{
    return (Piece){.outline = {outline},
                   .depth_count = 1,
                   .turns = &no_turn,
                   .turn_count = 1,
                   .value = 1,
                   .demand = demand,
                   .turn_symmetry = 1};
}

static inline PolygonSet one_polygon(Ring outer, const Ring *holes, int hole_count, Arena *keep)
{
    Polygon *polygon = ARENA_NEW(keep, Polygon);
    *polygon = (Polygon){outer, holes, hole_count};
    return (PolygonSet){polygon, 1};
}
