#include "plane/polygon.h"

#include "plane/crowd.h"

#include <float.h>
#include <stdlib.h>
#include <string.h>

#define GEOS_USE_ONLY_R_API
#include <geos_c.h>

enum { CHORDS_IN_QUARTER = 16 };
static const double SLIVER_MM2 = 1e-6;
static const double MITRE_LIMIT = 5.0;
// Of a distance, what outlines of too many points are tidied by before they are grown by it.
static const double TIDY_SHARE = 0.002;

double polygon_area_mm2(Polygon polygon)
{
    double area_mm2 = fabs(ring_area_mm2(polygon.outer));
    for (int i = 0; i < polygon.hole_count; i++) {
        area_mm2 -= fabs(ring_area_mm2(polygon.holes[i]));
    }
    return area_mm2;
}

double polygon_set_area_mm2(PolygonSet set)
{
    double area_mm2 = 0;
    for (int i = 0; i < set.count; i++) {
        area_mm2 += polygon_area_mm2(set.items[i]);
    }
    return area_mm2;
}

static bool polygon_contains(Polygon polygon, Point point)
{
    bool inside = ring_contains(polygon.outer, point);
    for (int i = 0; inside && i < polygon.hole_count; i++) {
        inside = !ring_contains(polygon.holes[i], point);
    }
    return inside;
}

bool polygon_set_contains(PolygonSet set, Point point)
{
    for (int i = 0; i < set.count; i++) {
        if (polygon_contains(set.items[i], point)) {
            return true;
        }
    }
    return false;
}

double polygon_set_distance_mm(PolygonSet set, Point point)
{
    if (polygon_set_contains(set, point)) {
        return 0;
    }
    double nearest = DBL_MAX;
    for (int i = 0; i < set.count; i++) {
        nearest = fmin(nearest, ring_distance_mm(set.items[i].outer, point));
        for (int h = 0; h < set.items[i].hole_count; h++) {
            nearest = fmin(nearest, ring_distance_mm(set.items[i].holes[h], point));
        }
    }
    return nearest;
}

Box polygon_set_box(PolygonSet set)
{
    Box box = {{HUGE_VAL, HUGE_VAL}, {-HUGE_VAL, -HUGE_VAL}};
    for (int i = 0; i < set.count; i++) {
        const Box one = ring_box(set.items[i].outer);
        box.min = (Point){fmin(box.min.x, one.min.x), fmin(box.min.y, one.min.y)};
        box.max = (Point){fmax(box.max.x, one.max.x), fmax(box.max.y, one.max.y)};
    }
    return box;
}

PolygonSet polygon_set_of_ring(Ring ring, Arena *keep)
{
    Polygon *polygon = ARENA_NEW(keep, Polygon);
    polygon->outer = ring;
    return (PolygonSet){polygon, 1};
}

Ring polygon_set_largest_ring(PolygonSet set)
{
    Ring largest = {NULL, 0};
    double largest_mm2 = 0;
    for (int i = 0; i < set.count; i++) {
        const double area_mm2 = fabs(ring_area_mm2(set.items[i].outer));
        if (area_mm2 > largest_mm2) {
            largest = set.items[i].outer;
            largest_mm2 = area_mm2;
        }
    }
    return largest;
}

static GEOSGeometry *to_geos_ring(GEOSContextHandle_t geos, Ring ring)
{
    if (ring.count < 3) {
        return NULL;
    }
    GEOSCoordSequence *sequence = GEOSCoordSeq_create_r(geos, (unsigned)ring.count + 1, 2);
    if (!sequence) {
        return NULL;
    }
    for (int i = 0; i <= ring.count; i++) {
        const Point p = ring_point(ring, i);
        if (!isfinite(p.x) || !isfinite(p.y)) {
            GEOSCoordSeq_destroy_r(geos, sequence);
            return NULL; // the library would take it and return a wrong shape
        }
        GEOSCoordSeq_setXY_r(geos, sequence, (unsigned)i, p.x, p.y);
    }
    return GEOSGeom_createLinearRing_r(geos, sequence); // takes the sequence
}

static void destroy_all(GEOSContextHandle_t geos, GEOSGeometry **items, int count)
{
    for (int i = 0; i < count; i++) {
        GEOSGeom_destroy_r(geos, items[i]);
    }
    free(items);
}

static GEOSGeometry *to_geos_polygon(GEOSContextHandle_t geos, Polygon polygon)
{
    GEOSGeometry *shell = to_geos_ring(geos, polygon.outer);
    GEOSGeometry **holes = calloc((size_t)polygon.hole_count + 1, sizeof(GEOSGeometry *));
    int made = 0;
    while (shell && holes && made < polygon.hole_count &&
           (holes[made] = to_geos_ring(geos, polygon.holes[made]))) {
        made++;
    }
    if (!shell || !holes || made < polygon.hole_count) {
        GEOSGeom_destroy_r(geos, shell);
        destroy_all(geos, holes, holes ? made : 0);
        return NULL;
    }
    GEOSGeometry *result = GEOSGeom_createPolygon_r(geos, shell, holes, (unsigned)made);
    free(holes); // the geometries in it are now the polygon's
    return result;
}

// A NULL item inside a collection would crash the library later: all or nothing.
static GEOSGeometry *to_geos_set(GEOSContextHandle_t geos, PolygonSet set)
{
    GEOSGeometry **items = calloc((size_t)set.count + 1, sizeof(GEOSGeometry *));
    if (!items) {
        return NULL;
    }
    int made = 0;
    while (made < set.count && (items[made] = to_geos_polygon(geos, set.items[made]))) {
        made++;
    }
    if (made < set.count) {
        destroy_all(geos, items, made);
        return NULL;
    }
    GEOSGeometry *result =
        GEOSGeom_createCollection_r(geos, GEOS_MULTIPOLYGON, items, (unsigned)made);
    free(items);
    return result;
}

static Ring from_geos_ring(GEOSContextHandle_t geos, const GEOSGeometry *geometry, bool outer,
                           Arena *keep)
{
    const GEOSCoordSequence *sequence = GEOSGeom_getCoordSeq_r(geos, geometry);
    unsigned size = 0;
    GEOSCoordSeq_getSize_r(geos, sequence, &size);
    const int count = size > 0 ? (int)size - 1 : 0; // the last repeats the first
    Point *points = ARENA_ARRAY(keep, Point, count);
    for (int i = 0; i < count; i++) {
        GEOSCoordSeq_getXY_r(geos, sequence, (unsigned)i, &points[i].x, &points[i].y);
    }
    const Ring ring = {points, count};
    const bool counter_clockwise = ring_area_mm2(ring) > 0;
    return counter_clockwise == outer ? ring : ring_reversed(ring, keep);
}

static Polygon from_geos_polygon(GEOSContextHandle_t geos, const GEOSGeometry *geometry,
                                 Arena *keep)
{
    const int holes = GEOSGetNumInteriorRings_r(geos, geometry);
    Ring *rings = ARENA_ARRAY(keep, Ring, holes > 0 ? holes : 1);
    Polygon polygon = {.outer =
                           from_geos_ring(geos, GEOSGetExteriorRing_r(geos, geometry), true, keep),
                       .holes = rings};
    for (int i = 0; i < holes; i++) {
        const Ring hole =
            from_geos_ring(geos, GEOSGetInteriorRingN_r(geos, geometry, i), false, keep);
        if (fabs(ring_area_mm2(hole)) > SLIVER_MM2) {
            rings[polygon.hole_count++] = hole;
        }
    }
    return polygon;
}

static bool is_polygon(GEOSContextHandle_t geos, const GEOSGeometry *geometry)
{
    double area = 0;
    return GEOSGeomTypeId_r(geos, geometry) == GEOS_POLYGON &&
           GEOSArea_r(geos, geometry, &area) == 1 && area > SLIVER_MM2;
}

// Lines and points of mixed results are touching places: left out.
static PolygonSet from_geos(GEOSContextHandle_t geos, const GEOSGeometry *geometry, Arena *keep)
{
    const int parts = GEOSGetNumGeometries_r(geos, geometry);
    Polygon *items = ARENA_ARRAY(keep, Polygon, parts > 0 ? parts : 1);
    PolygonSet set = {items, 0};
    for (int i = 0; i < parts; i++) {
        const GEOSGeometry *part = GEOSGetGeometryN_r(geos, geometry, i);
        if (is_polygon(geos, part)) {
            items[set.count++] = from_geos_polygon(geos, part, keep);
        }
    }
    return set;
}

// Hands over a result, or says that there was none. Ends the context.
static bool finish(GEOSContextHandle_t geos, GEOSGeometry *geometry, Arena *keep,
                   PolygonSet *result)
{
    const bool made = geometry != NULL;
    if (made) {
        *result = from_geos(geos, geometry, keep);
    }
    GEOSGeom_destroy_r(geos, geometry);
    GEOS_finish_r(geos);
    return made;
}

static GEOSGeometry *overlay(GEOSContextHandle_t geos, PolygonOperation operation,
                             const GEOSGeometry *a, const GEOSGeometry *b)
{
    switch (operation) {
    case POLYGON_UNION:
        return GEOSUnion_r(geos, a, b);
    case POLYGON_INTERSECTION:
        return GEOSIntersection_r(geos, a, b);
    case POLYGON_DIFFERENCE:
        return GEOSDifference_r(geos, a, b);
    }
    return NULL;
}

// Rings rounded to the lattice may cross themselves by a hair, which the library refuses.
static GEOSGeometry *repaired(GEOSContextHandle_t geos, const GEOSGeometry *geometry)
{
    GEOSMakeValidParams *how = GEOSMakeValidParams_create_r(geos);
    if (!how) {
        return NULL;
    }
    GEOSMakeValidParams_setMethod_r(geos, how, GEOS_MAKE_VALID_STRUCTURE);
    GEOSMakeValidParams_setKeepCollapsed_r(geos, how, 0);
    GEOSGeometry *result = GEOSMakeValidWithParams_r(geos, geometry, how);
    GEOSMakeValidParams_destroy_r(geos, how);
    return result;
}

static GEOSGeometry *overlay_repaired(GEOSContextHandle_t geos, PolygonOperation operation,
                                      const GEOSGeometry *a, const GEOSGeometry *b)
{
    GEOSGeometry *left = repaired(geos, a);
    GEOSGeometry *right = repaired(geos, b);
    GEOSGeometry *made = left && right ? overlay(geos, operation, left, right) : NULL;
    GEOSGeom_destroy_r(geos, left);
    GEOSGeom_destroy_r(geos, right);
    return made;
}

bool polygon_overlay(PolygonOperation operation, PolygonSet a, PolygonSet b, Arena *keep,
                     PolygonSet *result)
{
    GEOSContextHandle_t geos = GEOS_init_r();
    GEOSGeometry *left = to_geos_set(geos, a);
    GEOSGeometry *right = to_geos_set(geos, b);
    GEOSGeometry *made = left && right ? overlay(geos, operation, left, right) : NULL;
    if (!made && left && right) {
        made = overlay_repaired(geos, operation, left, right);
    }
    GEOSGeom_destroy_r(geos, left);
    GEOSGeom_destroy_r(geos, right);
    return finish(geos, made, keep, result);
}

bool polygon_union_all(const Ring *rings, int count, Arena *keep, PolygonSet *result)
{
    const ArenaMark mark = arena_mark(keep);
    Polygon *polygons = ARENA_ARRAY(keep, Polygon, count > 0 ? count : 1);
    for (int i = 0; i < count; i++) {
        polygons[i].outer = rings[i];
    }
    GEOSContextHandle_t geos = GEOS_init_r();
    GEOSGeometry *all = to_geos_set(geos, (PolygonSet){polygons, count});
    arena_rewind(keep, mark);
    GEOSGeometry *made = all ? GEOSUnaryUnion_r(geos, all) : NULL;
    GEOSGeom_destroy_r(geos, all);
    return finish(geos, made, keep, result);
}

static const Ring *tidied_rings(const Ring *rings, int count, double tolerance_mm, Arena *keep)
{
    Ring *tidied = ARENA_ARRAY(keep, Ring, count + 1);
    for (int i = 0; i < count; i++) {
        tidied[i] = ring_tidied(rings[i], tolerance_mm, keep);
    }
    return tidied;
}

static PolygonSet tidied_set(PolygonSet set, double tolerance_mm, Arena *keep)
{
    Polygon *polygons = ARENA_ARRAY(keep, Polygon, set.count + 1);
    for (int i = 0; i < set.count; i++) {
        const Polygon *from = &set.items[i];
        polygons[i] = (Polygon){ring_tidied(from->outer, tolerance_mm, keep),
                                tidied_rings(from->holes, from->hole_count, tolerance_mm, keep),
                                from->hole_count};
    }
    return (PolygonSet){polygons, set.count};
}

bool polygon_grow(PolygonSet set, double distance_mm, PolygonJoin join, Arena *keep,
                  PolygonSet *result)
{
    const ArenaMark mark = arena_mark(keep);
    if (isfinite(distance_mm) && polygon_set_is_crowded(set, 2 * fabs(distance_mm), keep)) {
        set = tidied_set(set, TIDY_SHARE * fabs(distance_mm), keep);
        if (polygon_set_is_crowded(set, 2 * fabs(distance_mm), keep)) {
            arena_rewind(keep, mark);
            return false;
        }
    }
    GEOSContextHandle_t geos = GEOS_init_r();
    GEOSGeometry *given = to_geos_set(geos, set);
    arena_rewind(keep, mark);
    const int style = join == POLYGON_MITRE ? GEOSBUF_JOIN_MITRE : GEOSBUF_JOIN_ROUND;
    GEOSGeometry *made = given && isfinite(distance_mm)
                             ? GEOSBufferWithStyle_r(geos, given, distance_mm, CHORDS_IN_QUARTER,
                                                     GEOSBUF_CAP_ROUND, style, MITRE_LIMIT)
                             : NULL;
    GEOSGeom_destroy_r(geos, given);
    return finish(geos, made, keep, result);
}

static GEOSGeometry *to_geos_line(GEOSContextHandle_t geos, const Point *points, int count)
{
    GEOSCoordSequence *sequence = GEOSCoordSeq_create_r(geos, (unsigned)count, 2);
    if (!sequence) {
        return NULL;
    }
    for (int i = 0; i < count; i++) {
        if (!isfinite(points[i].x) || !isfinite(points[i].y)) {
            GEOSCoordSeq_destroy_r(geos, sequence);
            return NULL;
        }
        GEOSCoordSeq_setXY_r(geos, sequence, (unsigned)i, points[i].x, points[i].y);
    }
    return GEOSGeom_createLineString_r(geos, sequence);
}

bool polygon_of_line(const Point *points, int count, double width_mm, Arena *keep,
                     PolygonSet *result)
{
    GEOSContextHandle_t geos = GEOS_init_r();
    GEOSGeometry *line = count >= 2 ? to_geos_line(geos, points, count) : NULL;
    GEOSGeometry *made =
        line && isfinite(width_mm)
            ? GEOSBufferWithStyle_r(geos, line, width_mm / 2, CHORDS_IN_QUARTER, GEOSBUF_CAP_ROUND,
                                    GEOSBUF_JOIN_ROUND, MITRE_LIMIT)
            : NULL;
    GEOSGeom_destroy_r(geos, line);
    return finish(geos, made, keep, result);
}

static int by_place(const void *left, const void *right)
{
    const Point *a = left;
    const Point *b = right;
    if (a->x != b->x) {
        return a->x < b->x ? -1 : 1;
    }
    return (a->y > b->y) - (a->y < b->y);
}

// Andrew's monotone chain: O'Rourke, Computational Geometry in C, 2nd ed. 1998,
// section 3.5 exercises; Andrew, Inf. Process. Lett. 9 (1979) 216-219.
Ring ring_convex_hull(const Point *points, int count, Arena *keep)
{
    if (count < 1) {
        return (Ring){NULL, 0};
    }
    Point *sorted = ARENA_ARRAY(keep, Point, count);
    memcpy(sorted, points, (size_t)count * sizeof *points);
    qsort(sorted, (size_t)count, sizeof *sorted, by_place);
    Point *hull = ARENA_ARRAY(keep, Point, 2 * count + 1);
    int size = 0;
    for (int pass = 0; pass < 2; pass++) {
        const int begin = size;
        for (int k = 0; k < count; k++) {
            const Point p = sorted[pass == 0 ? k : count - 1 - k];
            while (size >= begin + 2 && point_cross(point_minus(hull[size - 1], hull[size - 2]),
                                                    point_minus(p, hull[size - 2])) <= 0) {
                size--;
            }
            hull[size++] = p;
        }
        size--; // the end of one chain begins the other
    }
    return (Ring){hull, size};
}
