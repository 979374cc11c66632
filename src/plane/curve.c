#include "plane/curve.h"
#include "base/units.h"

#include <assert.h>

// Chords for an arc, so that none is farther than `tolerance_mm` from it.
static int chords_for(double radius_mm, double angle_rad, double tolerance_mm)
{
    const double lift = fmin(1, tolerance_mm / radius_mm);
    const double step_rad = 2 * acos(1 - lift);
    return (int)fmax(1, ceil(angle_rad / step_rad - 1e-9));
}

int curve_arc(Point from, Point to, double sagitta_mm, double tolerance_mm, Point *out, int room)
{
    assert(room > 0);
    out[0] = from;
    const double half_mm = 0.5 * point_distance(from, to);
    if (half_mm == 0 || fabs(sagitta_mm) <= tolerance_mm * 1e-3) {
        return 1;
    }
    const double rise_mm = fabs(sagitta_mm);
    const double radius_mm = (half_mm * half_mm + rise_mm * rise_mm) / (2 * rise_mm);
    const double angle_rad = 4 * atan2(rise_mm, half_mm);
    int chords = chords_for(radius_mm, angle_rad, tolerance_mm);
    chords = chords > room ? room : chords;
    const double hand = sagitta_mm > 0 ? 1 : -1;
    const Point outward = point_times(point_right(point_unit(point_minus(to, from))), hand);
    const Point middle = point_between(from, to, 0.5);
    const Point centre = point_plus(middle, point_times(outward, rise_mm - radius_mm));
    const Point spoke = point_minus(from, centre);
    for (int i = 1; i < chords; i++) {
        const double turn = hand * angle_rad * i / chords;
        const MotionMatrix matrix = motion_matrix((Motion){centre.x, centre.y, turn});
        out[i] = motion_apply(matrix, spoke);
    }
    return chords;
}

Ring curve_ellipse(Point centre, double half_x_mm, double half_y_mm, double tolerance_mm,
                   Arena *keep)
{
    const double greater_mm = fmax(half_x_mm, half_y_mm);
    int count = chords_for(greater_mm, 2 * PI, tolerance_mm);
    // A multiple of four puts a point on each axis, so that both mirror images agree.
    count = (int)fmin(720, fmax(16, 4 * ceil(count / 4.0)));
    Point *points = ARENA_ARRAY(keep, Point, count);
    for (int i = 0; i < count; i++) {
        const MotionMatrix turn = motion_matrix((Motion){0, 0, 2 * PI * i / count});
        points[i] = (Point){centre.x + half_x_mm * turn.cos, centre.y + half_y_mm * turn.sin};
    }
    return (Ring){points, count};
}

// Slope of a monotone cubic at a place between two chords (Fritsch and Butland 1984):
// their weighted harmonic mean, or 0 where the values turn.
static double monotone_slope(double before, double step_before, double after, double step_after)
{
    if (before * after <= 0) {
        return 0;
    }
    const double weight_before = 2 * step_after + step_before;
    const double weight_after = step_after + 2 * step_before;
    return (weight_before + weight_after) / (weight_before / before + weight_after / after);
}

static double hermite(double from, double to, double slope_from, double slope_to, double step,
                      double share)
{
    const double s2 = share * share;
    const double s3 = s2 * share;
    return (2 * s3 - 3 * s2 + 1) * from + (s3 - 2 * s2 + share) * step * slope_from +
           (3 * s2 - 2 * s3) * to + (s3 - s2) * step * slope_to;
}

// Slope dx/ds and dy/ds at each place of a closed chain, s the chord length.
static Point *monotone_slopes(Ring places, Arena *keep)
{
    Point *slopes = ARENA_ARRAY(keep, Point, places.count);
    for (int i = 0; i < places.count; i++) {
        const Point p = places.points[i];
        const Point in = point_minus(p, ring_point(places, i - 1));
        const Point out = point_minus(ring_point(places, i + 1), p);
        const double step_in = point_length(in);
        const double step_out = point_length(out);
        slopes[i].x = monotone_slope(in.x / step_in, step_in, out.x / step_out, step_out);
        slopes[i].y = monotone_slope(in.y / step_in, step_in, out.y / step_out, step_out);
    }
    return slopes;
}

Ring curve_through(const Point *points, int count, double step_mm, Arena *keep)
{
    assert(count >= 3 && step_mm > 0);
    const Ring places = {points, count};
    const Point *slopes = monotone_slopes(places, keep);
    int room = 0;
    for (int i = 0; i < count; i++) {
        room += (int)fmax(1, ceil(point_distance(points[i], ring_point(places, i + 1)) / step_mm));
    }
    Point *curve = ARENA_ARRAY(keep, Point, room);
    int made = 0;
    for (int i = 0; i < count; i++) {
        const int next = (i + 1) % count;
        const double step = point_distance(points[i], points[next]);
        const int parts = (int)fmax(1, ceil(step / step_mm));
        for (int k = 0; k < parts; k++) {
            const double share = (double)k / parts;
            curve[made++] = (Point){
                hermite(points[i].x, points[next].x, slopes[i].x, slopes[next].x, step, share),
                hermite(points[i].y, points[next].y, slopes[i].y, slopes[next].y, step, share)};
        }
    }
    return (Ring){curve, made};
}
