#include "seat/bands.h"

#include "plane/polygon.h"

// A corner that turns less than this is part of a curve; its two edges share one
// width there, so that a curve grows without steps.
static const double SMOOTH_COSINE = 0.94; // 20 degrees
static const double STEP_MM = 0.25;       // a change of width that would show
static const double MITRE_LIMIT = 2.5;
// Past this much turning a strip ends and the next begins, so that none meets itself.
static const double STRIP_TURN_RAD = 1.75;
enum { CORNER_POINTS = 2 };

// The ring's edges and how far each end of them moves out.
typedef struct Edges {
    Ring ring;
    const double *width_mm;
    Point *outward;
    double *from_mm;
    double *to_mm;
} Edges;

static int wrapped(const Edges *edges, int i)
{
    return i % edges->ring.count;
}

static Point moved(const Edges *edges, int corner, int edge, double width_mm)
{
    return point_plus(ring_point(edges->ring, corner),
                      point_times(edges->outward[wrapped(edges, edge)], width_mm));
}

static Edges edges_of(Ring ring, const double *widths_mm, Arena *scratch)
{
    Edges edges = {ring, widths_mm, ARENA_ARRAY(scratch, Point, ring.count),
                   ARENA_ARRAY(scratch, double, ring.count),
                   ARENA_ARRAY(scratch, double, ring.count)};
    for (int i = 0; i < ring.count; i++) {
        const Point along = point_minus(ring_point(ring, i + 1), ring.points[i]);
        edges.outward[i] = point_right(point_unit(along));
    }
    for (int i = 0; i < ring.count; i++) {
        const int next = wrapped(&edges, i + 1);
        const bool smooth = point_dot(edges.outward[i], edges.outward[next]) > SMOOTH_COSINE;
        const double mean_mm = (widths_mm[i] + widths_mm[next]) / 2;
        edges.to_mm[i] = smooth ? mean_mm : widths_mm[i];
        edges.from_mm[next] = smooth ? mean_mm : widths_mm[next];
    }
    return edges;
}

// The outline between two moved edges at an outside corner. Returns how many points.
static int corner_points(Point corner, Point before, double before_mm, Point behind,
                         double behind_mm, Point out[CORNER_POINTS])
{
    const double cosine = point_dot(before, behind);
    const double sine = point_cross(before, behind);
    if (before_mm * cosine > behind_mm) {
        // So much wider before that its end stands out over the edge behind: a step.
        out[0] = point_plus(corner, point_times(before, behind_mm / cosine));
        return 1;
    }
    if (behind_mm * cosine > before_mm) {
        out[0] = point_plus(corner, point_times(behind, before_mm / cosine));
        return 1;
    }
    const Point sum = point_plus(before, behind);
    if (cosine > SMOOTH_COSINE) {
        // Round: a sharp join would turn the chords' steps into dents far out.
        out[0] = point_plus(corner, point_times(point_unit(sum), before_mm));
        return 1;
    }
    if (1 + cosine < 1e-9) {
        return 0;
    }
    const Point mitre = point_times(point_plus(point_times(before, before_mm - cosine * behind_mm),
                                               point_times(behind, behind_mm - cosine * before_mm)),
                                    1 / (sine * sine));
    const double limit_mm = MITRE_LIMIT * fmax(before_mm, behind_mm);
    const Point middle = point_unit(sum);
    const double reach_mm = point_dot(mitre, middle);
    if (reach_mm <= limit_mm) {
        out[0] = point_plus(corner, mitre);
        return 1;
    }
    const Point ends[CORNER_POINTS] = {point_times(before, before_mm),
                                       point_times(behind, behind_mm)};
    for (int i = 0; i < CORNER_POINTS; i++) {
        const double start_mm = point_dot(ends[i], middle);
        const double share = (limit_mm - start_mm) / (reach_mm - start_mm);
        out[i] = point_plus(corner, point_between(ends[i], mitre, share));
    }
    return CORNER_POINTS;
}

// Whether a curve changes its width at the corner before this edge. Its outline then
// goes from corner to corner: the ends of the moved edges would stand in steps.
static bool changes_width(const Edges *edges, int edge)
{
    const int before = wrapped(edges, edge + edges->ring.count - 1);
    const bool smooth = point_dot(edges->outward[before], edges->outward[edge]) > SMOOTH_COSINE;
    return smooth && fabs(edges->width_mm[before] - edges->width_mm[edge]) > STEP_MM;
}

// The strip beside the edges from `first`, as far as the ring turns left and not too
// far. Returns the number of edges it takes.
static int make_strip(const Edges *edges, int first, int left, Arena *scratch, Ring *strip)
{
    // At most four points for each edge on the outer side and one on the inner.
    Point *points = ARENA_ARRAY(scratch, Point, 5 * left + 2);
    int count = 0;
    int taken = 0;
    double turned_rad = 0;
    bool goes_on = true;
    points[count++] = moved(edges, first, first, edges->from_mm[first]);
    while (goes_on && taken < left) {
        const int edge = wrapped(edges, first + taken);
        const int next = wrapped(edges, edge + 1);
        const Point before = edges->outward[edge];
        const Point behind = edges->outward[next];
        const double sine = point_cross(before, behind);
        const bool inside = sine <= 0;
        taken++;
        turned_rad += inside ? 0 : atan2(sine, point_dot(before, behind));
        goes_on = !inside && turned_rad < STRIP_TURN_RAD;
        const bool from_corner = goes_on && taken < left && changes_width(edges, next);
        if (!from_corner) {
            points[count++] = moved(edges, edge + 1, edge, edges->to_mm[edge]);
        }
        if (!inside) {
            count += corner_points(ring_point(edges->ring, next), before, edges->to_mm[edge],
                                   behind, edges->from_mm[next], points + count);
        }
        if (!inside && !from_corner) {
            points[count++] = moved(edges, next, next, edges->from_mm[next]);
        }
    }
    for (int i = taken; i >= 0; i--) {
        points[count++] = ring_point(edges->ring, first + i);
    }
    *strip = (Ring){points, count};
    return taken;
}

// An edge behind an inside corner, if there is one: strips end there anyway.
static int first_edge(const Edges *edges)
{
    for (int i = 0; i < edges->ring.count; i++) {
        if (point_cross(edges->outward[i], edges->outward[wrapped(edges, i + 1)]) <= 0) {
            return wrapped(edges, i + 1);
        }
    }
    return 0;
}

bool ring_widened(Ring ring, const double *widths_mm, Arena *keep, Arena *scratch, Ring *wide)
{
    const ArenaMark mark = arena_mark(scratch);
    const Edges edges = edges_of(ring, widths_mm, scratch);
    Ring *parts = ARENA_ARRAY(scratch, Ring, ring.count + 1);
    int count = 0;
    parts[count++] = ring;
    int left = ring.count;
    int edge = first_edge(&edges);
    while (left > 0) {
        Ring strip;
        const int taken = make_strip(&edges, edge, left, scratch, &strip);
        // Edges that do not move have no strip.
        if (fabs(ring_area_mm2(strip)) > 1e-9) {
            parts[count++] = strip;
        }
        edge = wrapped(&edges, edge + taken);
        left -= taken;
    }
    PolygonSet all;
    const bool joined = polygon_union_all(parts, count, scratch, &all);
    if (joined) {
        *wide = ring_moved(polygon_set_largest_ring(all), (Motion){0}, keep);
    }
    arena_rewind(scratch, mark);
    return joined;
}
