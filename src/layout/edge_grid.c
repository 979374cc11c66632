#include "layout/edge_grid.h"

#include <math.h>

// Cells along each side: with about four for each edge, cells hold few edges and most are
// empty; more would only cost memory.
enum { CELLS_LEAST = 8, CELLS_MOST = 256 };
// Edges in cells, all together: 160 MB.
enum { ENTRIES_MOST = 8000000 };
static const double cells_for_edge = 4;
// Columns are found in doubles; so much more than their rounding is added.
static const double margin_units = 2;

static int cell_at(int64_t at, int64_t first, int64_t cell, int count)
{
    if (at < first) {
        return -1;
    }
    const int64_t number = (at - first) / cell;
    return number < count ? (int)number : count;
}

// From cell a to cell b, as far as they are in the grid.
static GridSpan span_within(int a, int b, int count)
{
    return (GridSpan){a < 0 ? 0 : a, b < count ? b : count - 1};
}

GridSpan edge_grid_rows(const EdgeGrid *grid, LatticePoint from, LatticePoint to, int64_t reach)
{
    const int64_t low = (from.y < to.y ? from.y : to.y) - reach;
    const int64_t high = (from.y < to.y ? to.y : from.y) + reach;
    return span_within(cell_at(low, grid->low, grid->cell, grid->rows),
                       cell_at(high, grid->low, grid->cell, grid->rows), grid->rows);
}

GridSpan edge_grid_columns(const EdgeGrid *grid, LatticePoint from, LatticePoint to, int row,
                           int64_t reach)
{
    // The stretch of the edge within the row, and the reach above and below it.
    const LatticePoint lower = from.y < to.y ? from : to;
    const LatticePoint upper = from.y < to.y ? to : from;
    const int64_t band_low = grid->low + row * grid->cell - reach;
    const int64_t band_high = grid->low + (row + 1) * grid->cell + reach;
    double x_low = (double)lower.x;
    double x_high = (double)upper.x;
    if (lower.y < band_low || upper.y > band_high) {
        const double slope = (double)(upper.x - lower.x) / (double)(upper.y - lower.y);
        if (lower.y < band_low) {
            x_low = (double)lower.x + slope * (double)(band_low - lower.y);
        }
        if (upper.y > band_high) {
            x_high = (double)lower.x + slope * (double)(band_high - lower.y);
        }
    }
    const double around = (double)reach + margin_units;
    const int64_t left = (int64_t)floor(fmin(x_low, x_high) - around);
    const int64_t right = (int64_t)ceil(fmax(x_low, x_high) + around);
    return span_within(cell_at(left, grid->left, grid->cell, grid->columns),
                       cell_at(right, grid->left, grid->cell, grid->columns), grid->columns);
}

static EdgeGrid grid_around(const LatticeRing *rings, int count, int64_t reach)
{
    LatticePoint min = {0, 0};
    LatticePoint max = {0, 0};
    double edges = 0;
    for (int i = 0; i < count; i++) {
        if (rings[i].count == 0) {
            continue;
        }
        const bool first = edges == 0;
        min.x = first || rings[i].min.x < min.x ? rings[i].min.x : min.x;
        min.y = first || rings[i].min.y < min.y ? rings[i].min.y : min.y;
        max.x = first || rings[i].max.x > max.x ? rings[i].max.x : max.x;
        max.y = first || rings[i].max.y > max.y ? rings[i].max.y : max.y;
        edges += rings[i].count;
    }
    const int64_t width = max.x - min.x + 2 * reach + 1;
    const int64_t height = max.y - min.y + 2 * reach + 1;
    const double wanted = fmin(fmax(sqrt(cells_for_edge * edges), CELLS_LEAST), CELLS_MOST);
    EdgeGrid grid = {.left = min.x - reach, .low = min.y - reach};
    grid.cell = (width > height ? width : height) / (int64_t)wanted + 1;
    grid.columns = (int)(width / grid.cell) + 1;
    grid.rows = (int)(height / grid.cell) + 1;
    return grid;
}

// Counts the edge in each of its cells, or puts it there.
static void visit(const EdgeGrid *grid, GridEdge edge, int64_t reach, int *cells, GridEdge *put)
{
    const LatticePoint from = {edge.from_x, edge.from_y};
    const LatticePoint to = {edge.to_x, edge.to_y};
    const GridSpan rows = edge_grid_rows(grid, from, to, reach);
    for (int row = rows.first; row <= rows.last; row++) {
        const GridSpan columns = edge_grid_columns(grid, from, to, row, reach);
        for (int column = columns.first; column <= columns.last; column++) {
            int *cell = &cells[row * grid->columns + column];
            if (put) {
                put[*cell] = edge;
            }
            (*cell)++;
        }
    }
}

static void visit_all(const EdgeGrid *grid, const LatticeRing *rings, int count, int64_t reach,
                      int *cells, GridEdge *put)
{
    for (int owner = 0; owner < count; owner++) {
        const LatticeRing ring = rings[owner];
        for (int i = 0; i < ring.count; i++) {
            const LatticePoint from = ring.points[i];
            const LatticePoint to = ring.points[i + 1 < ring.count ? i + 1 : 0];
            const GridEdge edge = {(int32_t)from.x, (int32_t)from.y, (int32_t)to.x, (int32_t)to.y,
                                   owner};
            visit(grid, edge, reach, cells, put);
        }
    }
}

static int *count_all(const EdgeGrid *grid, const LatticeRing *rings, int count, int64_t reach,
                      Arena *scratch)
{
    int *cells = ARENA_ARRAY(scratch, int, grid->columns * grid->rows);
    visit_all(grid, rings, count, reach, cells, NULL);
    return cells;
}

static int64_t entries_in(const EdgeGrid *grid, const int *cells)
{
    int64_t sum = 0;
    for (int i = 0; i < grid->columns * grid->rows; i++) {
        sum += cells[i];
    }
    return sum;
}

// Cells twice as wide: edges as long as the sheet stand in half as many.
static void coarsen(EdgeGrid *grid)
{
    grid->cell *= 2;
    grid->columns = (grid->columns + 1) / 2;
    grid->rows = (grid->rows + 1) / 2;
}

EdgeGrid edge_grid_make(const LatticeRing *rings, int count, int64_t reach, Arena *keep,
                        Arena *scratch)
{
    const ArenaMark mark = arena_mark(scratch);
    EdgeGrid grid = grid_around(rings, count, reach);
    int *cells = count_all(&grid, rings, count, reach, scratch);
    while (entries_in(&grid, cells) > ENTRIES_MOST && grid.columns * grid.rows > 1) {
        arena_rewind(scratch, mark);
        coarsen(&grid);
        cells = count_all(&grid, rings, count, reach, scratch);
    }
    const int cell_count = grid.columns * grid.rows;
    int *begin = ARENA_ARRAY(keep, int, cell_count + 1);
    for (int i = 0; i < cell_count; i++) {
        begin[i + 1] = begin[i] + cells[i];
        cells[i] = begin[i];
    }
    GridEdge *edges = ARENA_ARRAY(keep, GridEdge, begin[cell_count] + 1);
    visit_all(&grid, rings, count, reach, cells, edges);
    grid.begin = begin;
    grid.edges = edges;
    arena_rewind(scratch, mark);
    return grid;
}
