#include "layout/pair_blocks.h"

#include <stddef.h>
#include <string.h>

typedef struct Span {
    int from;
    int to; // past the last
} Span;

// Blocks of one phase: [row * columns + column].
typedef struct BlockGrid {
    uint8_t *blocks;
    int columns;
    int rows;
} BlockGrid;

static float lesser(float a, float b)
{
    return a < b ? a : b;
}

// The least of POOL values one after the other in a row, `count` times from the first on.
static void least_along(const float *from, int stride, int count, float *to)
{
    for (int i = 0; i < count; i++) {
        to[i] = from[i];
    }
    for (int k = 1; k < POOL; k++) {
        const float *next = &from[(ptrdiff_t)k * stride];
        for (int i = 0; i < count; i++) {
            to[i] = lesser(to[i], next[i]);
        }
    }
}

// The least severity of POOL x POOL grid points from each grid point on, and from those up to
// POOL - 1 left of and below the grid: [(row + POOL - 1) * columns + column + POOL - 1], with
// columns = pair->columns + POOL - 1.
static const float *least_from(const Pair *pair, Arena *scratch)
{
    const int columns = pair->columns + PAIR_RIM;
    const int rows = pair->rows + PAIR_RIM;
    float *along = ARENA_ARRAY(scratch, float, (size_t)columns *(size_t)(rows + PAIR_RIM));
    for (int row = 0; row < rows + PAIR_RIM; row++) {
        least_along(&pair->severity[(ptrdiff_t)(row - PAIR_RIM) * pair->severity_stride - PAIR_RIM],
                    1, columns, &along[(ptrdiff_t)row * columns]);
    }
    float *least = ARENA_ARRAY(scratch, float, (size_t)columns *(size_t)rows);
    for (int row = 0; row < rows; row++) {
        least_along(&along[(ptrdiff_t)row * columns], columns, columns,
                    &least[(ptrdiff_t)row * columns]);
    }
    return least;
}

static float greatest_severity(const Pair *pair)
{
    float most = 1e-30F; // if they are all 0: what it is divided by, and its inverse, are numbers
    for (int row = 0; row < pair->rows; row++) {
        const float *in_row = &pair->severity[(ptrdiff_t)row * pair->severity_stride];
        for (int i = 0; i < pair->columns; i++) {
            most = in_row[i] > most ? in_row[i] : most;
        }
    }
    return most;
}

// The blocks of one phase, whole.
static void pool_phase(const Pair *pair, const float *from, int phase, BlockGrid grid)
{
    const int columns = pair->columns + PAIR_RIM;
    const int rows = pair->rows + PAIR_RIM;
    const int first_column = PAIR_RIM - phase % POOL;
    const int first_row = PAIR_RIM - phase / POOL;
    const float per_unit = 1 / pair->least_unit;
    for (int v = 0; v < grid.rows && first_row + v * POOL < rows; v++) {
        const float *in_row = &from[(ptrdiff_t)(first_row + v * POOL) * columns];
        uint8_t *to = &grid.blocks[(ptrdiff_t)v * grid.columns];
        for (int u = 0; u < grid.columns && first_column + u * POOL < columns; u++) {
            to[u] = (uint8_t)(in_row[first_column + u * POOL] * per_unit);
        }
    }
}

// What is not 0 of a row.
static Span span_of(const uint8_t *row, int count)
{
    Span span = {0, count};
    while (span.to > 0 && row[span.to - 1] == 0) {
        span.to--;
    }
    while (span.from < span.to && row[span.from] == 0) {
        span.from++;
    }
    return span;
}

// What is not 0 of the blocks of one phase.
static LeastPlane trim_plane(BlockGrid grid, Arena *keep, Arena *scratch)
{
    Span *spans = ARENA_ARRAY(scratch, Span, grid.rows);
    Span high = {grid.rows, 0};
    size_t room = 0;
    for (int v = 0; v < grid.rows; v++) {
        spans[v] = span_of(&grid.blocks[(ptrdiff_t)v * grid.columns], grid.columns);
        if (spans[v].from < spans[v].to) {
            high.from = v < high.from ? v : high.from;
            high.to = v + 1;
        }
        room += (size_t)(spans[v].to - spans[v].from + LANES - 1) / LANES * LANES;
    }
    if (high.from >= high.to) {
        return (LeastPlane){.count = 0};
    }
    // Side by side, since they are read together.
    BlockRow *rows = ARENA_ARRAY(keep, BlockRow, high.to - high.from);
    uint8_t *blocks = ARENA_ARRAY(keep, uint8_t, room);
    uint8_t *to = blocks;
    for (int v = high.from; v < high.to; v++) {
        const int from = spans[v].from;
        const int count = spans[v].to - from;
        const int groups = (count + LANES - 1) / LANES;
        rows[v - high.from] = (BlockRow){from, groups};
        memcpy(to, &grid.blocks[(ptrdiff_t)v * grid.columns + from], (size_t)count);
        to += (ptrdiff_t)groups * LANES;
    }
    return (LeastPlane){blocks, rows, high.from, high.to - high.from};
}

void pair_find_blocks(Pair *pair, Arena *keep, Arena *scratch)
{
    BlockGrid grid = {.columns = (pair->columns + POOL - 2) / POOL + 1,
                      .rows = (pair->rows + POOL - 2) / POOL + 1};
    const float *from = least_from(pair, scratch);
    // A little more than a 255th, so that rounding up cannot lead past 255.
    pair->least_unit = greatest_severity(pair) / 254.9F;
    LeastPlane *planes = ARENA_ARRAY(keep, LeastPlane, POOL * POOL);
    for (int phase = 0; phase < POOL * POOL; phase++) {
        const ArenaMark mark = arena_mark(scratch);
        grid.blocks = ARENA_ARRAY(scratch, uint8_t, (size_t)grid.columns * (size_t)grid.rows);
        pool_phase(pair, from, phase, grid);
        planes[phase] = trim_plane(grid, keep, scratch);
        arena_rewind(scratch, mark);
    }
    pair->least = planes;
}
