#include "layout/raster.h"

// Far beside any map, where only the side counts.
static int whole(double cells)
{
    return (int)fmax(-1e9, fmin(cells, 1e9));
}

static int cell_at(double mm, double cell_mm)
{
    return whole(floor(mm / cell_mm));
}

static int within_limits(int value, int from, int to)
{
    return value < from ? from : value > to ? to : value;
}

// The x of a segment where it crosses a height; the caller knows that it does.
static double x_at(Point a, Point b, double y)
{
    return a.x + (b.x - a.x) * ((y - a.y) / (b.y - a.y));
}

// Marks the cells within `reach` of a segment (and a few more at its flanks): row by
// row, the stretch of the segment that lies within reach of the row, widened by the
// reach.
static void mark_segment(Grid grid, Point a, Point b, double reach, Bitmap map)
{
    if (a.y > b.y) {
        const Point swap = a;
        a = b;
        b = swap;
    }
    a = point_minus(a, grid.corner);
    b = point_minus(b, grid.corner);
    const int first = within_limits(cell_at(a.y - reach, grid.cell_mm), 0, grid.rows);
    const int last = within_limits(cell_at(b.y + reach, grid.cell_mm), -1, grid.rows - 1);
    for (int row = first; row <= last; row++) {
        const double low = row * grid.cell_mm - reach;
        const double high = (row + 1) * grid.cell_mm + reach;
        const double from = a.y < low && b.y > a.y ? x_at(a, b, fmin(low, b.y)) : a.x;
        const double to = b.y > high && b.y > a.y ? x_at(a, b, fmax(high, a.y)) : b.x;
        bitmap_set(map, (Run){row, cell_at(fmin(from, to) - reach, grid.cell_mm),
                              cell_at(fmax(from, to) + reach, grid.cell_mm)});
    }
}

static void mark_edge(Grid grid, Ring ring, double reach, Bitmap map)
{
    for (int i = 0; i < ring.count; i++) {
        mark_segment(grid, ring.points[i], ring_point(ring, i + 1), reach, map);
    }
}

// Flips, in each row whose middle the ring's edge crosses, the first cell whose middle
// lies behind the crossing. Summing up the flips along the row then tells inside from
// outside.
static void flip_crossings(Grid grid, Ring ring, Bitmap flips)
{
    for (int i = 0; i < ring.count; i++) {
        Point a = point_minus(ring.points[i], grid.corner);
        Point b = point_minus(ring_point(ring, i + 1), grid.corner);
        if (a.y > b.y) {
            const Point swap = a;
            a = b;
            b = swap;
        }
        const int first = within_limits(whole(ceil(a.y / grid.cell_mm - 0.5)), 0, grid.rows);
        for (int row = first; row < grid.rows && (row + 0.5) * grid.cell_mm < b.y; row++) {
            const double x = x_at(a, b, (row + 0.5) * grid.cell_mm);
            const int column = within_limits(whole(ceil(x / grid.cell_mm - 0.5)), 0, grid.columns);
            if (column < grid.columns) {
                bitmap_row(flips, row)[column / 64] ^= UINT64_C(1) << (column % 64);
            }
        }
    }
}

static void sum_up_flips(Bitmap flips)
{
    for (int row = 0; row < flips.rows; row++) {
        uint64_t carried = 0; // all ones while inside
        for (int word = 0; word < flips.words; word++) {
            uint64_t bits = bitmap_row(flips, row)[word];
            for (int shift = 1; shift < 64; shift *= 2) {
                bits ^= bits << shift;
            }
            bits ^= carried;
            carried = bits >> 63 ? ~UINT64_C(0) : 0;
            bitmap_row(flips, row)[word] = bits;
        }
    }
}

// The cells of the last word that lie in the map.
static uint64_t last_cells(Bitmap map)
{
    return ~UINT64_C(0) >> ((64 - map.columns % 64) % 64);
}

static void or_inside(Bitmap inside, Bitmap map, bool inverted)
{
    for (int row = 0; row < map.rows; row++) {
        for (int word = 0; word < map.words; word++) {
            const uint64_t bits = bitmap_row(inside, row)[word];
            const uint64_t cells = word + 1 == map.words ? last_cells(map) : ~UINT64_C(0);
            bitmap_row(map, row)[word] |= (inverted ? ~bits : bits) & cells;
        }
    }
}

void raster_area(Grid grid, Polygon polygon, double reach_mm, Bitmap map, Arena *scratch)
{
    const ArenaMark mark = arena_mark(scratch);
    Bitmap inside = bitmap_make(grid.columns, grid.rows, scratch);
    flip_crossings(grid, polygon.outer, inside);
    mark_edge(grid, polygon.outer, fmax(reach_mm, SAFE_MM), map);
    for (int i = 0; i < polygon.hole_count; i++) {
        flip_crossings(grid, polygon.holes[i], inside);
        mark_edge(grid, polygon.holes[i], fmax(reach_mm, SAFE_MM), map);
    }
    sum_up_flips(inside);
    or_inside(inside, map, false);
    arena_rewind(scratch, mark);
}

void raster_outside(Grid grid, Ring ring, Bitmap map, Arena *scratch)
{
    const ArenaMark mark = arena_mark(scratch);
    Bitmap inside = bitmap_make(grid.columns, grid.rows, scratch);
    flip_crossings(grid, ring, inside);
    sum_up_flips(inside);
    or_inside(inside, map, true);
    mark_edge(grid, ring, SAFE_MM, map);
    arena_rewind(scratch, mark);
}
