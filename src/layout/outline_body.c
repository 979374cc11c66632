#include "layout/outline_body.h"

#include "layout/raster.h"
#include "plane/lattice.h"

static bool parts_at(Ring ring, Motion motion, Arena *keep, ConvexParts *parts)
{
    const LatticeRing turned = lattice_ring(ring, motion, keep);
    return convex_parts_of_points(turned.points, turned.count, keep, parts);
}

// An outline that holds the ring, with fewer points: grown by `reach_mm` and tidied by less.
static bool make_simpler(Ring ring, double reach_mm, Arena *keep, Ring *simple)
{
    PolygonSet grown;
    if (!polygon_grow(polygon_set_of_ring(ring, keep), reach_mm, POLYGON_MITRE, keep, &grown)) {
        return false;
    }
    *simple = ring_tidied(polygon_set_largest_ring(grown), 0.9 * reach_mm - SAFE_MM, keep);
    return simple->count >= 3;
}

static Ring box_ring(Box box, Arena *keep)
{
    Point *points = ARENA_ARRAY(keep, Point, 4);
    points[0] = box.min;
    points[1] = (Point){box.max.x, box.min.y};
    points[2] = box.max;
    points[3] = (Point){box.min.x, box.max.y};
    return (Ring){points, 4};
}

static Ring simpler_at(Ring ring, Simpler *simpler, int index, double reach_mm, Arena *keep)
{
    if (!simpler->made[index]) {
        simpler->made[index] = true;
        if (!make_simpler(ring, reach_mm, keep, &simpler->ring[index])) {
            simpler->ring[index].count = 0;
        }
    }
    return simpler->ring[index];
}

// Convex parts of a simpler outline that holds the ring, as near to it as has few points.
static bool simpler_parts(Ring ring, Simpler *simpler, int points_most, Motion motion, Arena *keep,
                          ConvexParts *parts)
{
    if (ring.count <= points_most && parts_at(ring, motion, keep, parts)) {
        return true;
    }
    const Box box = ring_box(ring);
    const double most_mm = 0.02 * point_distance(box.min, box.max);
    double reach_mm = 2 * SAFE_MM;
    for (int i = 0; i < SIMPLER_MAX && reach_mm < most_mm; i++) {
        const Ring simple = simpler_at(ring, simpler, i, reach_mm, keep);
        if (simple.count > 0 && simple.count <= points_most &&
            parts_at(simple, motion, keep, parts)) {
            return true;
        }
        reach_mm *= 1.5;
    }
    return false;
}

bool outline_parts(Outline *outline, Motion motion, Arena *keep, ConvexParts *parts)
{
    const int most = outline->points_most;
    return simpler_parts(outline->ring, &outline->simpler_ring, most, motion, keep, parts) ||
           simpler_parts(outline->hull, &outline->simpler_hull, most, motion, keep, parts) ||
           parts_at(box_ring(ring_box(outline->ring), keep), motion, keep, parts);
}

void outline_make(Ring ring, int points_most, Arena *keep, Outline *made)
{
    const Box box = ring_box(ring);
    const Ring hull = ring_convex_hull(ring.points, ring.count, keep);
    *made = (Outline){.ring = ring,
                      .hull = hull,
                      .circles = circles_inside(ring, keep),
                      .diameter_mm = point_distance(box.min, box.max),
                      .size_mm = sqrt(ring_area_mm2(hull)),
                      .points_most = points_most};
}

Body outline_measures(const Outline *outline, Motion motion)
{
    return (Body){.circles = circles_moved(outline->circles, motion, LATTICE_PER_MM),
                  .diameter = outline->diameter_mm * LATTICE_PER_MM,
                  .size = outline->size_mm * LATTICE_PER_MM};
}

// The search for circles may miss a sliver.
void body_ensure_circle(Body *body)
{
    if (body->circles.radius[0] > 0 || body->parts.count == 0) {
        return;
    }
    const ConvexPart *part = &body->parts.items[0];
    double x = 0;
    double y = 0;
    for (int i = 0; i < part->count; i++) {
        x += part->x[i] / part->count;
        y += part->y[i] / part->count;
    }
    body->circles.x[0] = (float)x;
    body->circles.y[0] = (float)y;
    body->circles.radius[0] = 1;
}
