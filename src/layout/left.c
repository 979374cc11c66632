#include "layout/left.h"

#include <string.h>

// A step of the skyline that still goes on: from this column, so high.
typedef struct Step {
    int column;
    int height;
} Step;

static void weigh(CellBox *best, Step step, int column, int row)
{
    const int columns = column - step.column;
    if ((int64_t)columns * step.height > (int64_t)best->columns * best->rows) {
        *best = (CellBox){step.column, row - step.height + 1, columns, step.height};
    }
}

// The largest rectangle under the skyline that ends in this row.
static void walk_skyline(const int *heights, int columns, int row, Step *stack, CellBox *best)
{
    int depth = 0;
    for (int column = 0; column <= columns; column++) {
        const int height = column < columns ? heights[column] : 0;
        int from = column;
        while (depth > 0 && stack[depth - 1].height >= height) {
            from = stack[--depth].column;
            weigh(best, stack[depth], column, row);
        }
        if (height > 0) {
            stack[depth++] = (Step){from, height};
        }
    }
}

CellBox left_rectangle(Bitmap map, Arena *scratch)
{
    const ArenaMark mark = arena_mark(scratch);
    int *heights = ARENA_ARRAY(scratch, int, map.columns + 1);
    Step *stack = ARENA_ARRAY(scratch, Step, map.columns + 1);
    CellBox best = {0};
    for (int row = 0; row < map.rows; row++) {
        const uint64_t *bits = bitmap_row(map, row);
        for (int column = 0; column < map.columns; column++) {
            const bool set = (bits[column / 64] >> (column % 64)) & 1;
            heights[column] = set ? 0 : heights[column] + 1;
        }
        walk_skyline(heights, map.columns, row, stack, &best);
    }
    arena_rewind(scratch, mark);
    return best;
}

// Sets each place at which a square of `width` cells, its lower left cell there, would meet
// a set cell.
static Bitmap grown_down(Bitmap map, int width, Arena *scratch)
{
    Bitmap along = bitmap_make(map.columns, map.rows, scratch);
    Bitmap grown = bitmap_make(map.columns, map.rows, scratch);
    for (int i = 0; i < width; i++) {
        bitmap_or_at(along, map, -i, 0);
    }
    for (int i = 0; i < width; i++) {
        bitmap_or_at(grown, along, 0, -i);
    }
    // A square that would stick out at the right or above is no place either.
    for (int row = 0; row < map.rows; row++) {
        const int from = row + width > map.rows ? 0 : map.columns - width + 1;
        bitmap_set(grown, (Run){row, from, map.columns - 1});
    }
    return grown;
}

// The same runs the other way round: those of clear cells.
static Runs clear_runs(Bitmap map, Arena *scratch)
{
    Bitmap clear = bitmap_make(map.columns, map.rows, scratch);
    for (int row = 0; row < map.rows; row++) {
        for (int word = 0; word < map.words; word++) {
            bitmap_row(clear, row)[word] = ~bitmap_row(map, row)[word];
        }
        if (map.columns % 64) {
            bitmap_row(clear, row)[map.words - 1] &= ~UINT64_C(0) >> (64 - map.columns % 64);
        }
    }
    return bitmap_runs(clear, scratch);
}

static int root_of(int *parent, int run)
{
    while (parent[run] != run) {
        parent[run] = parent[parent[run]];
        run = parent[run];
    }
    return run;
}

// Runs of neighbouring rows that share a column belong together; they come row by row.
static int *joined_runs(Runs runs, Arena *scratch)
{
    int *parent = ARENA_ARRAY(scratch, int, runs.count + 1);
    int below = 0; // the first run of the row before that may still touch
    for (int i = 0; i < runs.count; i++) {
        const Run run = runs.items[i];
        parent[i] = i;
        while (below < i &&
               (runs.items[below].row < run.row - 1 ||
                (runs.items[below].row == run.row - 1 && runs.items[below].to < run.from))) {
            below++;
        }
        for (int k = below;
             k < i && runs.items[k].row == run.row - 1 && runs.items[k].from <= run.to; k++) {
            parent[root_of(parent, k)] = root_of(parent, i);
        }
    }
    return parent;
}

static int set_cells(Bitmap map)
{
    int count = 0;
    for (int row = 0; row < map.rows; row++) {
        for (int word = 0; word < map.words; word++) {
            count += __builtin_popcountll(bitmap_row(map, row)[word]);
        }
    }
    return count;
}

// The cells that the squares of one part cover.
static int swept_cells(Runs runs, int *parent, int part, int width, Bitmap like, Arena *scratch)
{
    Bitmap along = bitmap_make(like.columns, like.rows, scratch);
    Bitmap swept = bitmap_make(like.columns, like.rows, scratch);
    for (int i = 0; i < runs.count; i++) {
        if (root_of(parent, i) == part) {
            const Run run = runs.items[i];
            bitmap_set(along, (Run){run.row, run.from, run.to + width - 1});
        }
    }
    for (int i = 0; i < width; i++) {
        bitmap_or_at(swept, along, 0, i);
    }
    return set_cells(swept);
}

LeftParts left_parts(Bitmap map, int width, Arena *scratch)
{
    if (width > map.columns || width > map.rows) {
        return (LeftParts){0};
    }
    const ArenaMark mark = arena_mark(scratch);
    const Runs runs = clear_runs(grown_down(map, width, scratch), scratch);
    int *parent = joined_runs(runs, scratch);
    int *places = ARENA_ARRAY(scratch, int, runs.count + 1);
    LeftParts parts = {0};
    int most = -1;
    for (int i = 0; i < runs.count; i++) {
        const int part = root_of(parent, i);
        parts.count += part == i;
        places[part] += runs.items[i].to - runs.items[i].from + 1;
        most = most < 0 || places[part] > places[most] ? part : most;
    }
    if (most >= 0) {
        parts.largest_cells = swept_cells(runs, parent, most, width, map, scratch);
    }
    arena_rewind(scratch, mark);
    return parts;
}
