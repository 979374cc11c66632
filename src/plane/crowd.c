#include "plane/crowd.h"

#include <stdlib.h>

// Measured with GEOS 3.11: growing takes some 80 bytes and half a microsecond for each.
static const double neighbours_most = 2e6;
enum { CELLS_ALONG_MOST = 512, CELLS_IN_REACH = 2 };

typedef struct Crowd {
    Box box;
    double cell_mm;
    int columns;
    int rows;
    double *count;
} Crowd;

static int cells_along(double length_mm, double cell_mm)
{
    return (int)fmin(fmax(floor(length_mm / cell_mm) + 1, 1), CELLS_ALONG_MOST);
}

static int cell_at(double from_mm, double cell_mm, int cells)
{
    return (int)fmin(fmax(from_mm / cell_mm, 0), cells - 1);
}

static void count_ring(Crowd *crowd, Ring ring)
{
    for (int i = 0; i < ring.count; i++) {
        const Point p = point_minus(ring.points[i], crowd->box.min);
        const int column = cell_at(p.x, crowd->cell_mm, crowd->columns);
        const int row = cell_at(p.y, crowd->cell_mm, crowd->rows);
        crowd->count[row * crowd->columns + column]++;
    }
}

static double count_at(const Crowd *crowd, int column, int row)
{
    const bool on = column >= 0 && row >= 0 && column < crowd->columns && row < crowd->rows;
    return on ? crowd->count[row * crowd->columns + column] : 0;
}

static double neighbours(const Crowd *crowd, int column, int row)
{
    double sum = 0;
    for (int up = -CELLS_IN_REACH; up <= CELLS_IN_REACH; up++) {
        for (int on = -CELLS_IN_REACH; on <= CELLS_IN_REACH; on++) {
            const bool corner = abs(up) == CELLS_IN_REACH && abs(on) == CELLS_IN_REACH;
            sum += corner ? 0 : count_at(crowd, column + on, row + up);
        }
    }
    return sum;
}

bool polygon_set_is_crowded(PolygonSet set, double reach_mm, Arena *scratch)
{
    double points = 0;
    for (int i = 0; i < set.count; i++) {
        points += set.items[i].outer.count;
        for (int k = 0; k < set.items[i].hole_count; k++) {
            points += set.items[i].holes[k].count;
        }
    }
    if (points * points <= neighbours_most) {
        return false; // not even if all lay in one place
    }
    const ArenaMark mark = arena_mark(scratch);
    Crowd crowd = {.box = polygon_set_box(set)};
    const double width_mm = crowd.box.max.x - crowd.box.min.x;
    const double height_mm = crowd.box.max.y - crowd.box.min.y;
    const double least_mm = fmax(width_mm, height_mm) / CELLS_ALONG_MOST;
    crowd.cell_mm = fmax(fmax(reach_mm / CELLS_IN_REACH, least_mm), 1e-9);
    crowd.columns = cells_along(width_mm, crowd.cell_mm);
    crowd.rows = cells_along(height_mm, crowd.cell_mm);
    crowd.count = ARENA_ARRAY(scratch, double, crowd.columns *crowd.rows);
    for (int i = 0; i < set.count; i++) {
        count_ring(&crowd, set.items[i].outer);
        for (int k = 0; k < set.items[i].hole_count; k++) {
            count_ring(&crowd, set.items[i].holes[k]);
        }
    }
    double sum = 0;
    for (int row = 0; row < crowd.rows; row++) {
        for (int column = 0; column < crowd.columns; column++) {
            const double count = count_at(&crowd, column, row);
            sum += count > 0 ? count * neighbours(&crowd, column, row) : 0;
        }
    }
    arena_rewind(scratch, mark);
    return sum > neighbours_most;
}
