#include "layout/pair.h"

#include "layout/pair_blocks.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

static const double reach_share = 0.01;

static const LeastPlane no_planes[POOL * POOL] = {{.count = 0}};
const Pair pair_apart = {.step = 1, .per_step = 1, .least = no_planes, .least_unit = 1};

typedef struct Span {
    int from;
    int to; // past the last
} Span;

// What is known while a pair is made. Grid rows and columns are counted from the pair's own
// corner.
typedef struct Making {
    Pair *pair;
    uint8_t *inside; // of grid points: strictly inside some sum
    int32_t *count;  // of cells: sums that pass through; negative: inside one
    Span *points;    // of one sum, for each row: grid points strictly inside
    Span *cells;     // of one sum, for each row: cells that it may meet
} Making;

static bool strictly_inside(const Sum *sum, double x, double y)
{
    for (int i = 0; i < sum->count; i++) {
        const Side *one = &sum->sides[i];
        if (one->along_x * x + one->along_y * y <= one->limit) {
            return false;
        }
    }
    return true;
}

// The grid points of a row strictly inside a sum: where the row lies inside all its sides.
static Span points_in_row(const Pair *pair, const Sum *sum, int row)
{
    const double step = pair->step;
    const double y = (pair->low + row) * step;
    double from = pair->left;
    double to = pair->left + pair->columns - 1;
    for (int i = 0; i < sum->count; i++) {
        const Side *one = &sum->sides[i];
        const double needed = one->limit - one->along_y * y;
        const double along = one->along_x * step;
        if (one->along_x == 0) {
            if (needed >= 0) {
                return (Span){0, 0};
            }
        } else if (one->along_x > 0) { // column > needed / along, corrected to be exact
            double least = floor(needed / along);
            least += along * least > needed ? 0 : 1;
            least -= along * (least - 1) > needed ? 1 : 0;
            from = fmax(from, least);
        } else {
            double most = ceil(needed / along);
            most -= along * most > needed ? 0 : 1;
            most += along * (most + 1) > needed ? 1 : 0;
            to = fmin(to, most);
        }
    }
    return from > to ? (Span){0, 0} : (Span){(int)from - pair->left, (int)to - pair->left + 1};
}

static void widen(Span *span, double from, double to, int most)
{
    const int first = (int)fmax(0, floor(from - 1e-6));
    const int past = (int)fmin(most, floor(to + 1e-6) + 1);
    if (span->from == span->to) {
        *span = (Span){first, past};
        return;
    }
    span->from = first < span->from ? first : span->from;
    span->to = past > span->to ? past : span->to;
}

// For each row, the cells that a sum may meet: between its edges in that band.
static void find_cells(Making *making, const Point *corners, int count)
{
    const Pair *pair = making->pair;
    memset(making->cells, 0, (size_t)pair->rows * sizeof making->cells[0]);
    for (int i = 0; i < count; i++) {
        const Point a = corners[i];
        const Point b = corners[(i + 1) % count];
        const Point low = a.y < b.y ? a : b;
        const Point high = a.y < b.y ? b : a;
        const double slope = high.y > low.y ? (high.x - low.x) / (high.y - low.y) : 0;
        const int last = (int)floor(high.y / pair->step) - pair->low;
        for (int row = (int)floor(low.y / pair->step) - pair->low; row <= last; row++) {
            const double from_y = fmax(low.y, (pair->low + row) * pair->step);
            const double to_y = fmin(high.y, (pair->low + row + 1) * pair->step);
            double x = low.x + slope * (from_y - low.y);
            double other = high.y > low.y ? low.x + slope * (to_y - low.y) : high.x;
            x = x / pair->step - pair->left;
            other = other / pair->step - pair->left;
            widen(&making->cells[row], fmin(x, other), fmax(x, other), pair->columns);
        }
    }
}

// Marks grid points and cells by one sum.
static void mark_sum(Making *making, const Sum *sum, const Point *corners, int count)
{
    const Pair *pair = making->pair;
    find_cells(making, corners, count);
    for (int row = 0; row < pair->rows; row++) {
        const bool any = making->cells[row].from < making->cells[row].to ||
                         (row > 0 && making->cells[row - 1].from < making->cells[row - 1].to);
        making->points[row] = any ? points_in_row(pair, sum, row) : (Span){0, 0};
        memset(&making->inside[(ptrdiff_t)row * pair->columns + making->points[row].from], 1,
               (size_t)(making->points[row].to - making->points[row].from));
    }
}

// Cells whose four corners are strictly inside the sum are inside; the others that it may
// meet are counted.
static void mark_cells(Making *making)
{
    const Pair *pair = making->pair;
    for (int row = 0; row + 1 < pair->rows; row++) {
        const Span below = making->points[row];
        const Span above = making->points[row + 1];
        const int from = below.from > above.from ? below.from : above.from;
        const int to = (below.to < above.to ? below.to : above.to) - 1;
        int32_t *in_row = &making->count[(ptrdiff_t)row * pair->columns];
        for (int i = making->cells[row].from; i < making->cells[row].to; i++) {
            const bool inside = i >= from && i < to;
            in_row[i] = inside || in_row[i] < 0 ? CELL_INSIDE : in_row[i] + 1;
        }
    }
}

// Turns counts into lists: where each begins, then which sums.
static int16_t *begin_lists(Making *making, Arena *keep)
{
    const Pair *pair = making->pair;
    const int cells = pair->columns * pair->rows;
    size_t room = 0;
    for (int i = 0; i < cells; i++) {
        const int32_t count = making->count[i];
        making->count[i] = count < 0 ? CELL_INSIDE : count == 0 ? CELL_CLEAR : (int32_t)room;
        room += count > 0 ? (size_t)count + 1 : 0;
    }
    int16_t *lists = ARENA_ARRAY(keep, int16_t, room + 1);
    memset(lists, -1, (room + 1) * sizeof *lists);
    return lists;
}

// True when any list names the sum.
static bool list_sum(const Making *making, int sum, int16_t *lists)
{
    const Pair *pair = making->pair;
    bool any = false;
    for (int row = 0; row < pair->rows; row++) {
        for (int i = making->cells[row].from; i < making->cells[row].to; i++) {
            const int32_t begin = making->count[row * pair->columns + i];
            if (begin < 0) {
                continue;
            }
            int16_t *at = &lists[begin];
            while (*at >= 0) {
                at++;
            }
            *at = (int16_t)sum;
            any = true;
        }
    }
    return any;
}

// The measure of overlap by circles, at an offset.
static float measure_at(const Body *first, const Body *second, float x, float y)
{
    const float reach = (float)(reach_share * fmax(first->diameter, second->diameter));
    const Circles *a = &first->circles;
    const Circles *b = &second->circles;
    // A sum for each circle of the second, so that the inner loop goes in vectors.
    float sums[CIRCLES] = {0};
    for (int i = 0; i < CIRCLES && a->radius[i] > 0; i++) {
        const float at_x = a->x[i] - x;
        const float at_y = a->y[i] - y;
        const float radius = a->radius[i];
        for (int j = 0; j < CIRCLES; j++) {
            const float off_x = b->x[j] - at_x;
            const float off_y = b->y[j] - at_y;
            const float depth = radius + b->radius[j] - sqrtf(off_x * off_x + off_y * off_y);
            const float small = radius < b->radius[j] ? radius : b->radius[j];
            const float shallow = depth < reach ? depth : reach;
            // reach^2 / (2 reach - depth) up to the reach, the depth itself beyond it.
            sums[j] += (reach * reach / (2 * reach - shallow) + (depth - shallow)) * small;
        }
    }
    float sum = 0;
    for (int j = 0; j < CIRCLES; j++) {
        sum += 2 * sums[j];
    }
    return sqrtf(sum * (float)(first->size * second->size));
}

static void find_measure(Pair *pair, const Body *first, const Body *second, Arena *keep)
{
    pair->measure_columns = (pair->columns - 1) / POOL + 2;
    const int rows = (pair->rows - 1) / POOL + 2;
    float *measure = ARENA_ARRAY(keep, float, pair->measure_columns *rows);
    for (int row = 0; row < rows; row++) {
        for (int column = 0; column < pair->measure_columns; column++) {
            measure[row * pair->measure_columns + column] =
                measure_at(first, second, (float)((pair->left + column * POOL) * pair->step),
                           (float)((pair->low + row * POOL) * pair->step));
        }
    }
    pair->measure = measure;
}

// The measure between its points; column and row in grid points from the pair's corner.
static float measure_between(const Pair *pair, double column, double row)
{
    const float u = (float)column * (1.0F / POOL);
    const float v = (float)row * (1.0F / POOL);
    const int left = (int)u;
    const int low = (int)v;
    const float *below = &pair->measure[(ptrdiff_t)low * pair->measure_columns + left];
    const float *above = below + pair->measure_columns;
    const float share = u - (float)left;
    const float lower = below[0] + (below[1] - below[0]) * share;
    const float upper = above[0] + (above[1] - above[0]) * share;
    return lower + (upper - lower) * (v - (float)low);
}

// The measure along a row of grid points, at its POOL-th points.
static void measure_row(const Pair *pair, int row, float *along)
{
    const float *below = &pair->measure[(ptrdiff_t)(row / POOL) * pair->measure_columns];
    const float *above = below + pair->measure_columns;
    const float share = (float)(row % POOL) * (1.0F / POOL);
    for (int i = 0; i < pair->measure_columns; i++) {
        along[i] = below[i] + (above[i] - below[i]) * share;
    }
}

static const float *find_severities(const Making *making, Arena *keep, Arena *scratch)
{
    Pair *pair = making->pair;
    pair->severity_stride = pair->columns + 2 * PAIR_RIM;
    float *padded = ARENA_ARRAY(keep, float, pair->severity_stride *(pair->rows + 2 * PAIR_RIM));
    float *severity = padded + (ptrdiff_t)PAIR_RIM * pair->severity_stride + PAIR_RIM;
    float *along = ARENA_ARRAY(scratch, float, pair->measure_columns);
    float *between = ARENA_ARRAY(scratch, float, pair->measure_columns *POOL);
    for (int row = 0; row < pair->rows; row++) {
        measure_row(pair, row, along);
        for (int i = 0; i + 1 < pair->measure_columns; i++) {
            for (int k = 0; k < POOL; k++) {
                const float share = (float)k * (1.0F / POOL);
                between[i * POOL + k] = along[i] + (along[i + 1] - along[i]) * share;
            }
        }
        const uint8_t *inside = &making->inside[(ptrdiff_t)row * pair->columns];
        float *to = &severity[(ptrdiff_t)row * pair->severity_stride];
        for (int column = 0; column < pair->columns; column++) {
            to[column] = inside[column] ? between[column] : 0;
        }
    }
    return severity;
}

// All corners of one sum; room for those of both parts.
static int sum_corners(const ConvexParts *first, const ConvexParts *second, int sum, Point *corners)
{
    return part_sum_corners(&first->items[sum / second->count], &second->items[sum % second->count],
                            corners);
}

// Most sums of crooked outlines lie inside others: only those in a list are kept.
static void mark_sums(Making *making, const ConvexParts *first, const ConvexParts *second,
                      Arena *keep, Arena *scratch)
{
    Pair *pair = making->pair;
    const int count = first->count * second->count;
    Point corners[2 * PARTS_POINTS_MAX];
    for (int i = 0; i < count; i++) {
        const ArenaMark mark = arena_mark(scratch);
        const int corner_count = sum_corners(first, second, i, corners);
        const Sum sum = part_sum_of(corners, corner_count, scratch);
        mark_sum(making, &sum, corners, corner_count);
        mark_cells(making);
        arena_rewind(scratch, mark);
    }
    int16_t *lists = begin_lists(making, keep);
    Sum *kept = ARENA_ARRAY(keep, Sum, count);
    int kept_count = 0;
    for (int i = 0; i < count; i++) {
        const int corner_count = sum_corners(first, second, i, corners);
        find_cells(making, corners, corner_count);
        if (list_sum(making, kept_count, lists)) {
            kept[kept_count++] = part_sum_of(corners, corner_count, keep);
        }
    }
    pair->sums = kept;
    pair->cell = making->count;
    pair->lists = lists;
}

// Two rings of cells to spare around all sums.
static void find_grid(Pair *pair, const ConvexParts *first, const ConvexParts *second)
{
    const Box a = convex_parts_box(*first);
    const Box b = convex_parts_box(*second);
    pair->left = (int)floor((a.min.x - b.max.x) / pair->step) - 1;
    pair->low = (int)floor((a.min.y - b.max.y) / pair->step) - 1;
    pair->columns = (int)ceil((a.max.x - b.min.x) / pair->step) + 2 - pair->left;
    pair->rows = (int)ceil((a.max.y - b.min.y) / pair->step) + 2 - pair->low;
}

Pair *pair_make(const Body *first, const Body *second, double step, Arena *keep, Arena *scratch)
{
    Pair *pair = ARENA_NEW(keep, Pair);
    pair->step = step;
    pair->per_step = 1 / step;
    find_grid(pair, &first->parts, &second->parts);
    const size_t points = (size_t)pair->columns * (size_t)pair->rows;
    Making making = {.pair = pair, .count = ARENA_ARRAY(keep, int32_t, points)};
    const ArenaMark mark = arena_mark(scratch);
    making.inside = ARENA_ARRAY(scratch, uint8_t, points);
    making.points = ARENA_ARRAY(scratch, Span, pair->rows);
    making.cells = ARENA_ARRAY(scratch, Span, pair->rows);
    mark_sums(&making, &first->parts, &second->parts, keep, scratch);
    find_measure(pair, first, second, keep);
    pair->severity = find_severities(&making, keep, scratch);
    pair_find_blocks(pair, keep, scratch);
    arena_rewind(scratch, mark);
    return pair;
}

static int within(int index, int most)
{
    const int raised = index > 0 ? index : 0;
    return raised < most ? raised : most;
}

float pair_severity(const Pair *pair, double x, double y)
{
    const double column = x * pair->per_step - pair->left;
    const double row = y * pair->per_step - pair->low;
    if (!(column >= 0 && row >= 0 && column < pair->columns && row < pair->rows)) {
        return 0;
    }
    const int32_t cell = pair->cell[(int)row * pair->columns + (int)column];
    bool inside = cell == CELL_INSIDE;
    for (int32_t i = cell; cell >= 0 && !inside && pair->lists[i] >= 0; i++) {
        inside = strictly_inside(&pair->sums[pair->lists[i]], x, y);
    }
    return inside ? measure_between(pair, column, row) : 0;
}

bool pair_is_near(const Pair *pair, double x, double y)
{
    enum { REACH = 2 };
    const double column = x * pair->per_step - pair->left;
    const double row = y * pair->per_step - pair->low;
    if (pair->columns == 0 || !(column >= -REACH && row >= -REACH &&
                                column < pair->columns + REACH && row < pair->rows + REACH)) {
        return false; // pair_apart has no grid, and so no cell to look at
    }
    // Cells at the grid's rim are clear.
    const int from_u = within((int)column - REACH, pair->columns - 1);
    const int from_v = within((int)row - REACH, pair->rows - 1);
    const int to_u = within((int)column + REACH, pair->columns - 1);
    const int to_v = within((int)row + REACH, pair->rows - 1);
    for (int v = from_v; v <= to_v; v++) {
        const int32_t *cells = &pair->cell[(ptrdiff_t)v * pair->columns];
        int32_t any = CELL_CLEAR;
        for (int u = from_u; u <= to_u; u++) {
            any &= cells[u];
        }
        if (any != CELL_CLEAR) {
            return true;
        }
    }
    return false;
}
