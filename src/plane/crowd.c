#include "plane/crowd.h"

// Measured with GEOS 3.11: growing takes some 80 bytes and half a microsecond for each.
static const double neighbours_most = 5e6;
enum { CELLS_ALONG_MOST = 256 };

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

static Box box_of(PolygonSet set)
{
    Box box = {{HUGE_VAL, HUGE_VAL}, {-HUGE_VAL, -HUGE_VAL}};
    for (int i = 0; i < set.count; i++) {
        const Box one = ring_box(set.items[i].outer);
        box.min = (Point){fmin(box.min.x, one.min.x), fmin(box.min.y, one.min.y)};
        box.max = (Point){fmax(box.max.x, one.max.x), fmax(box.max.y, one.max.y)};
    }
    return box;
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

static double neighbours(const Crowd *crowd, int column, int row)
{
    double sum = 0;
    for (int r = row > 0 ? row - 1 : 0; r <= row + 1 && r < crowd->rows; r++) {
        for (int c = column > 0 ? column - 1 : 0; c <= column + 1 && c < crowd->columns; c++) {
            sum += crowd->count[r * crowd->columns + c];
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
    Crowd crowd = {.box = box_of(set)};
    const double width_mm = crowd.box.max.x - crowd.box.min.x;
    const double height_mm = crowd.box.max.y - crowd.box.min.y;
    const double least_mm = fmax(width_mm, height_mm) / CELLS_ALONG_MOST;
    crowd.cell_mm = fmax(fmax(reach_mm, least_mm), 1e-9);
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
            sum += crowd.count[row * crowd.columns + column] * neighbours(&crowd, column, row);
        }
    }
    arena_rewind(scratch, mark);
    return sum > neighbours_most;
}
