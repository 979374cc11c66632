#include "layout/circles.h"

enum { GRID = 20 };

// How far a point is from the edge and from the circles found so far; < 0 outside.
static double clearance(Ring ring, const Circles *circles, int count, Point p)
{
    if (!ring_contains(ring, p)) {
        return -1;
    }
    double clear = ring_distance_mm(ring, p);
    for (int i = 0; i < count; i++) {
        const double gap =
            point_distance(p, (Point){(double)circles->x[i], (double)circles->y[i]}) -
            (double)circles->radius[i];
        clear = gap < clear ? gap : clear;
    }
    return clear;
}

// Walks to a place with more clearance with ever shorter steps.
static Point climb(Ring ring, const Circles *circles, int count, Point from, double step)
{
    static const Point ways[] = {{1, 0}, {-1, 0},  {0, 1},  {0, -1},
                                 {1, 1}, {-1, -1}, {1, -1}, {-1, 1}};
    double best = clearance(ring, circles, count, from);
    for (int halvings = 0; halvings < 10; halvings++) {
        for (size_t i = 0; i < sizeof ways / sizeof ways[0]; i++) {
            const Point to = point_plus(from, point_times(ways[i], step));
            const double clear = clearance(ring, circles, count, to);
            if (clear > best) {
                best = clear;
                from = to;
            }
        }
        step /= 2;
    }
    return from;
}

Circles circles_inside(Ring ring, Arena *scratch)
{
    const ArenaMark mark = arena_mark(scratch);
    const Box box = ring_box(ring);
    const Point step = point_times(point_minus(box.max, box.min), 1.0 / GRID);
    Point *spots = ARENA_ARRAY(scratch, Point, GRID * GRID);
    double *clear = ARENA_ARRAY(scratch, double, GRID *GRID);
    const Circles none = {0};
    for (int i = 0; i < GRID * GRID; i++) {
        const int column = i % GRID;
        const int row = i / GRID;
        spots[i] = (Point){box.min.x + (column + 0.5) * step.x, box.min.y + (row + 0.5) * step.y};
        clear[i] = clearance(ring, &none, 0, spots[i]);
    }
    Circles found = {0};
    for (int k = 0; k < CIRCLES; k++) {
        int best = 0;
        for (int i = 1; i < GRID * GRID; i++) {
            best = clear[i] > clear[best] ? i : best;
        }
        const Point at = climb(ring, &found, k, spots[best], fmax(step.x, step.y) / 2);
        const double radius = clearance(ring, &found, k, at);
        if (!(radius > 0)) {
            break;
        }
        found.x[k] = (float)at.x;
        found.y[k] = (float)at.y;
        found.radius[k] = (float)radius;
        for (int i = 0; i < GRID * GRID; i++) {
            clear[i] = fmin(clear[i], point_distance(spots[i], at) - radius);
        }
    }
    arena_rewind(scratch, mark);
    return found;
}

Circles circles_moved(Circles circles, Motion motion, double scale)
{
    const MotionMatrix matrix = motion_matrix(motion);
    for (int i = 0; i < CIRCLES; i++) {
        const Point at = motion_apply(matrix, (Point){(double)circles.x[i], (double)circles.y[i]});
        circles.x[i] = (float)(at.x * scale);
        circles.y[i] = (float)(at.y * scale);
        circles.radius[i] *= (float)scale;
    }
    return circles;
}
