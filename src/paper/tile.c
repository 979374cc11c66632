#include "paper/tile.h"

#include <assert.h>

enum { SHIFTS = 5 }; ///< places tried for the grid along each axis

static int tiles_needed(double length_mm, double window_mm)
{
    const double advance_mm = window_mm - TILE_OVERLAP_MM;
    return (int)fmax(1, ceil((length_mm - TILE_OVERLAP_MM) / advance_mm - 1e-9));
}

bool tile_is_used(const TileGrid *grid, int row, int column)
{
    return row >= 0 && row < grid->rows && column >= 0 && column < grid->columns &&
           grid->used[row * grid->columns + column];
}

Box tile_window(const TileGrid *grid, int row, int column)
{
    const Point min = {grid->corner.x + column * (grid->window_width_mm - TILE_OVERLAP_MM),
                       grid->corner.y +
                           (grid->rows - 1 - row) * (grid->window_height_mm - TILE_OVERLAP_MM)};
    return (Box){min, {min.x + grid->window_width_mm, min.y + grid->window_height_mm}};
}

Box tile_cell(const TileGrid *grid, int row, int column)
{
    Box cell = tile_window(grid, row, column);
    cell.min.x += column > 0 ? TILE_OVERLAP_MM / 2 : 0;
    cell.max.x -= column < grid->columns - 1 ? TILE_OVERLAP_MM / 2 : 0;
    cell.min.y += row < grid->rows - 1 ? TILE_OVERLAP_MM / 2 : 0;
    cell.max.y -= row > 0 ? TILE_OVERLAP_MM / 2 : 0;
    return cell;
}

const char *tile_name(int row, int column, Arena *keep)
{
    return row < 26 ? arena_text(keep, "%c%d", 'A' + row, column + 1)
                    : arena_text(keep, "%c%c%d", 'A' + row / 26 - 1, 'A' + row % 26, column + 1);
}

/// Narrows the part of a segment that is kept, from share *enter to *leave, to one side
/// of an edge: `start` is how far its first point lies inside, `change` how much further
/// its last one. Liang and Barsky, ACM Trans. Graphics 3 (1984) 1-22.
static bool narrow(double start, double change, double *enter, double *leave)
{
    if (start < 0 && start + change < 0) {
        return false;
    }
    if (start < 0) {
        *enter = fmax(*enter, start / -change);
    } else if (start + change < 0) {
        *leave = fmin(*leave, start / -change);
    }
    return *enter <= *leave;
}

static bool clip(Point a, Point b, Box box, double *enter, double *leave)
{
    const Point way = point_minus(b, a);
    *enter = 0;
    *leave = 1;
    return narrow(a.x - box.min.x, way.x, enter, leave) &&
           narrow(box.max.x - a.x, -way.x, enter, leave) &&
           narrow(a.y - box.min.y, way.y, enter, leave) &&
           narrow(box.max.y - a.y, -way.y, enter, leave);
}

static Point box_middle(Box box)
{
    return point_between(box.min, box.max, 0.5);
}

static bool ring_meets_box(Ring ring, Box box)
{
    double enter = 0;
    double leave = 0;
    for (int i = 0; i < ring.count; i++) {
        if (clip(ring_point(ring, i), ring_point(ring, i + 1), box, &enter, &leave)) {
            return true;
        }
    }
    return ring_contains(ring, box_middle(box)); // no edge within: all in or all out
}

static int mark_used(TileGrid *grid, Ring ring)
{
    grid->used_count = 0;
    for (int row = 0; row < grid->rows; row++) {
        for (int column = 0; column < grid->columns; column++) {
            const bool used = ring_meets_box(ring, tile_cell(grid, row, column));
            grid->used[row * grid->columns + column] = used;
            grid->used_count += used ? 1 : 0;
        }
    }
    return grid->used_count;
}

TileGrid tile_grid(Ring ring, double clearance_mm, double window_width_mm, double window_height_mm,
                   Arena *keep)
{
    assert(window_width_mm > TILE_OVERLAP_MM && window_height_mm > TILE_OVERLAP_MM);
    const Box box = ring_box(ring);
    const double width_mm = box.max.x - box.min.x + 2 * clearance_mm;
    const double height_mm = box.max.y - box.min.y + 2 * clearance_mm;
    TileGrid grid = {.window_width_mm = window_width_mm,
                     .window_height_mm = window_height_mm,
                     .columns = tiles_needed(width_mm, window_width_mm),
                     .rows = tiles_needed(height_mm, window_height_mm)};
    grid.used = ARENA_ARRAY(keep, bool, grid.columns *grid.rows);
    const double spare_x_mm =
        grid.columns * (window_width_mm - TILE_OVERLAP_MM) + TILE_OVERLAP_MM - width_mm;
    const double spare_y_mm =
        grid.rows * (window_height_mm - TILE_OVERLAP_MM) + TILE_OVERLAP_MM - height_mm;
    // The middle place comes first and the others must be better: rounded corners and
    // tapers leave sheets empty in some places of the grid and not in others.
    static const double shares[SHIFTS] = {0.5, 0, 1, 0.25, 0.75};
    Point best = {0, 0};
    int fewest = grid.columns * grid.rows + 1;
    for (int i = 0; i < SHIFTS * SHIFTS; i++) {
        grid.corner = (Point){box.min.x - clearance_mm - shares[i % SHIFTS] * spare_x_mm,
                              box.min.y - clearance_mm - shares[i / SHIFTS] * spare_y_mm};
        if (mark_used(&grid, ring) < fewest) {
            fewest = grid.used_count;
            best = grid.corner;
        }
    }
    grid.corner = best;
    mark_used(&grid, ring);
    return grid;
}

static bool holds_all(Box window, const DrawItem *item)
{
    const Box box = ring_box((Ring){item->points, item->point_count});
    return box.min.x >= window.min.x && box.min.y >= window.min.y && box.max.x <= window.max.x &&
           box.max.y <= window.max.y;
}

/// Draws the stretches of one line that lie in the window.
static void draw_stretches(Drawing *sheet, const DrawItem *item, Box window, Point by)
{
    const int segments = item->closed ? item->point_count : item->point_count - 1;
    Point *stretch = ARENA_ARRAY(sheet->keep, Point, segments + 1);
    int count = 0;
    for (int i = 0; i < segments; i++) {
        const Point a = item->points[i];
        const Point b = item->points[(i + 1) % item->point_count];
        double enter = 0;
        double leave = 0;
        const bool seen = clip(a, b, window, &enter, &leave) && enter < leave;
        if (seen && count == 0) {
            stretch[count++] = point_plus(point_between(a, b, enter), by);
        }
        if (seen) {
            stretch[count++] = point_plus(leave < 1 ? point_between(a, b, leave) : b, by);
        }
        if (!seen || leave < 1 || i == segments - 1) {
            draw_polyline(sheet, item->layer, stretch, count, false); // nothing when empty
            count = 0;
        }
    }
}

void tile_draw_clipped(Drawing *sheet, const Drawing *whole, Box window, Point by)
{
    for (int i = 0; i < whole->count; i++) {
        const DrawItem *item = &whole->items[i];
        if (item->kind == DRAW_TEXT) {
            continue;
        }
        if (!holds_all(window, item)) {
            draw_stretches(sheet, item, window, by);
            continue;
        }
        Point *moved = ARENA_ARRAY(sheet->keep, Point, item->point_count);
        for (int k = 0; k < item->point_count; k++) {
            moved[k] = point_plus(item->points[k], by);
        }
        draw_polyline(sheet, item->layer, moved, item->point_count, item->closed);
    }
}
