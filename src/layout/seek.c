#include "layout/seek.h"

#include <float.h>
#include <math.h>
#include <string.h>

enum {
    BLOCKS_TRIED = 8, // of one turn, the most promising
    KEPT = 2,         // places that are refined
    SUM_MOST = 60000,
};

static const double whole_turn_rad = 6.283185307179586;

// Another copy, as seen by the one that is to move in one turn.
typedef struct Neighbour {
    const Pair *pair;
    float weight;
    int copy;
    int column; // of the strip's grid, where the pair's grid begins
    int row;
    int columns; // of the pair's grid
    int rows;
    double x;
    double y;
} Neighbour;

// A place is refined when its cost is below that of the present place times this.
static const double worse = 2;

typedef struct Block {
    int least; // in sum units
    int u;
    int v;
} Block;

typedef struct Candidate {
    Spot spot;
    double cost;
} Candidate;

typedef struct Seek {
    Strip *strip;
    int copy;
    Neighbour *neighbours;
    int neighbour_count;
    int columns; // of the grid of places in this turn
    int rows;
    int block_columns;
    int block_rows;
    int block_stride; // LANES - 1 more than the columns
    double bound;     // cost from which on a place is of no interest
    // Sums of the least depths of the blocks, in units of which SUM_MOST are the bound. They
    // stop at the greatest number.
    uint16_t *least;
    Candidate kept[KEPT];
} Seek;

static void list_neighbours(Seek *seek, int turned)
{
    Strip *strip = seek->strip;
    const Turned *moved = strip_turned(strip, seek->copy, turned);
    const float *weights = &strip->weights[(ptrdiff_t)seek->copy * strip->count];
    const double per_step = 1 / strip->step;
    seek->neighbour_count = 0;
    strip->work.done += 200 + 8.0 * strip->count;
    for (int i = 0; i < strip->count; i++) {
        if (i == seek->copy) {
            continue;
        }
        const Spot spot = strip->spots[i];
        const Pair *pair = strip_pair(strip, strip_turned(strip, i, spot.turned), moved);
        seek->neighbours[seek->neighbour_count++] =
            (Neighbour){.pair = pair,
                        .weight = weights[i],
                        .copy = i,
                        .column = (int)(spot.x * per_step + 0.5) + pair->left,
                        .row = (int)(spot.y * per_step + 0.5) + pair->low,
                        .columns = pair->columns,
                        .rows = pair->rows,
                        .x = spot.x,
                        .y = spot.y};
    }
}

// Only those that the copy may overlap within `reach` of a spot.
static void list_near(Seek *seek, Spot spot, double reach)
{
    list_neighbours(seek, spot.turned);
    int kept = 0;
    for (int i = 0; i < seek->neighbour_count; i++) {
        const Neighbour one = seek->neighbours[i];
        const Pair *pair = one.pair;
        const double left = one.x + pair->left * pair->step;
        const double low = one.y + pair->low * pair->step;
        if (spot.x > left - reach && spot.x < left + pair->columns * pair->step + reach &&
            spot.y > low - reach && spot.y < low + pair->rows * pair->step + reach) {
            seek->neighbours[kept++] = one;
        }
    }
    seek->neighbour_count = kept;
}

static int floor_div(int a)
{
    return a >= 0 ? a / POOL : -((POOL - 1 - a) / POOL);
}

// Adds least depths times factor / 256, LANES together, so that it goes in vectors; up to
// LANES - 1 past the count.
static void add_row(const uint8_t *restrict from, uint16_t factor, int count,
                    uint16_t *restrict sums)
{
    for (int i = 0; i < count; i += LANES) {
        for (int k = i; k < i + LANES; k++) {
            const uint32_t high = (uint16_t)(from[k] << 8);
            const uint16_t part = (uint16_t)(high * factor >> 16);
            const uint16_t sum = (uint16_t)(sums[k] + part);
            sums[k] = sum < part ? UINT16_MAX : sum;
        }
    }
}

// Adds the least depths of one neighbour to the blocks.
static void add_least(Seek *seek, const Neighbour *one)
{
    const Pair *pair = one->pair;
    const int first_u = floor_div(one->column);
    const int first_v = floor_div(one->row);
    const int phase = (one->row - POOL * first_v) * POOL + one->column - POOL * first_u;
    const size_t blocks = (size_t)pair->block_stride * (size_t)pair->block_rows;
    const uint8_t *plane = &pair->least[(size_t)phase * blocks];
    const int from_u = first_u < 0 ? -first_u : 0;
    const int to_u = first_u + pair->block_columns < seek->block_columns
                         ? pair->block_columns
                         : seek->block_columns - first_u;
    const int from_v = first_v < 0 ? -first_v : 0;
    const int to_v = first_v + pair->block_rows < seek->block_rows ? pair->block_rows
                                                                   : seek->block_rows - first_v;
    if (to_u <= from_u || to_v <= from_v) {
        return;
    }
    const double factor =
        256.0 * (double)(one->weight * pair->least_unit) * (SUM_MOST / seek->bound);
    for (int v = from_v; v < to_v; v++) {
        add_row(&plane[(ptrdiff_t)v * pair->block_stride + from_u],
                (uint16_t)fmin(factor, UINT16_MAX), to_u - from_u,
                &seek->least[(ptrdiff_t)(first_v + v) * seek->block_stride + first_u + from_u]);
    }
    seek->strip->work.done += 10 + (7 + 0.15 * (to_u - from_u)) * (to_v - from_v);
}

static bool any_below(const uint16_t *sums, int count, uint16_t bound)
{
    uint16_t any = 0;
    for (int i = 0; i < count; i++) {
        any |= sums[i] < bound;
    }
    return any != 0;
}

// Puts a block among those found, the least first. The count then.
static int keep_block(Block *blocks, int count, Block block)
{
    int at = count < BLOCKS_TRIED ? count : count - 1;
    while (at > 0 && blocks[at - 1].least > block.least) {
        blocks[at] = blocks[at - 1];
        at--;
    }
    blocks[at] = block;
    return count < BLOCKS_TRIED ? count + 1 : count;
}

// The blocks with the least sums, the least first.
static int best_blocks(const Seek *seek, Block *blocks)
{
    int count = 0;
    int bound = SUM_MOST;
    for (int row = 0; row < seek->block_rows; row++) {
        const uint16_t *sums = &seek->least[(ptrdiff_t)row * seek->block_stride];
        if (!any_below(sums, seek->block_columns, (uint16_t)bound)) {
            continue;
        }
        for (int i = 0; i < seek->block_columns; i++) {
            if (sums[i] < bound) {
                count = keep_block(blocks, count, (Block){sums[i], i, row});
                bound = count == BLOCKS_TRIED ? blocks[count - 1].least : bound;
            }
        }
    }
    return count;
}

static void keep_candidate(Seek *seek, Spot spot, double cost)
{
    if (cost >= seek->bound) {
        return;
    }
    int at = KEPT;
    while (at > 0 && cost < seek->kept[at - 1].cost) {
        if (at < KEPT) {
            seek->kept[at] = seek->kept[at - 1];
        }
        at--;
    }
    if (at < KEPT) {
        seek->kept[at] = (Candidate){spot, cost};
        seek->bound = fmin(seek->bound, seek->kept[KEPT - 1].cost);
    }
}

// The depths of one neighbour at the places of a block, of which it has some.
static void add_block(const Neighbour *one, int column, int row, float *costs)
{
    const int left = column - one->column;
    const int low = row - one->row;
    const float *severity = one->pair->severity;
    const float weight = one->weight;
    const bool whole =
        left >= 0 && low >= 0 && left + POOL <= one->columns && low + POOL <= one->rows;
    for (int v = 0; v < POOL; v++) {
        if (low + v < 0 || low + v >= one->rows) {
            continue;
        }
        const float *from = &severity[(ptrdiff_t)(low + v) * one->columns + left];
        for (int u = 0; u < POOL; u++) {
            if (whole || (left + u >= 0 && left + u < one->columns)) {
                costs[v * POOL + u] += weight * from[u];
            }
        }
    }
}

// The best place of a block becomes a candidate.
static void try_block(Seek *seek, int turned, Block block)
{
    const int column = block.u * POOL;
    const int row = block.v * POOL;
    float costs[POOL * POOL] = {0};
    int met = 0;
    for (int i = 0; i < seek->neighbour_count; i++) {
        const Neighbour *one = &seek->neighbours[i];
        const int left = column - one->column;
        const int low = row - one->row;
        if (left > -POOL && low > -POOL && left < one->columns && low < one->rows) {
            add_block(one, column, row, costs);
            met++;
        }
    }
    seek->strip->work.done += 30 + 2.0 * seek->neighbour_count + 35.0 * met;
    int best = -1;
    for (int i = 0; i < POOL * POOL; i++) {
        if (column + i % POOL < seek->columns && row + i / POOL < seek->rows &&
            (best < 0 || costs[i] < costs[best])) {
            best = i;
        }
    }
    const double step = seek->strip->step;
    const int best_column = column + best % POOL;
    const int best_row = row + best / POOL;
    keep_candidate(seek, (Spot){turned, best_column * step, best_row * step}, (double)costs[best]);
}

static void seek_turned(Seek *seek, int turned)
{
    Strip *strip = seek->strip;
    double most_x;
    double most_y;
    if (seek->bound <= 0 || !strip_range(strip, seek->copy, turned, &most_x, &most_y)) {
        return;
    }
    list_neighbours(seek, turned);
    seek->columns = (int)floor(most_x / strip->step) + 1;
    seek->rows = (int)floor(most_y / strip->step) + 1;
    seek->block_columns = (seek->columns - 1) / POOL + 1;
    seek->block_rows = (seek->rows - 1) / POOL + 1;
    seek->block_stride = seek->block_columns + LANES - 1;
    const size_t blocks = (size_t)seek->block_stride * (size_t)seek->block_rows;
    memset(seek->least, 0, blocks * sizeof *seek->least);
    for (int i = 0; i < seek->neighbour_count; i++) {
        add_least(seek, &seek->neighbours[i]);
    }
    strip->work.done += 0.2 * (double)blocks;
    Block tried[BLOCKS_TRIED];
    const int count = best_blocks(seek, tried);
    const double unit = seek->bound / SUM_MOST;
    for (int i = 0; i < count && tried[i].least * unit < seek->bound; i++) {
        try_block(seek, turned, tried[i]);
    }
}

// Weighted overlap at a spot in the turn whose neighbours are listed; `bound` or more once it
// is past that.
static double cost_at(Seek *seek, Spot spot, double bound)
{
    double cost = 0;
    int asked = 0;
    for (int i = 0; i < seek->neighbour_count && cost < bound; i++) {
        const Neighbour *one = &seek->neighbours[i];
        const float depth = pair_severity(one->pair, spot.x - one->x, spot.y - one->y);
        cost += (double)(one->weight * depth);
        asked += depth > 0 ? 1 : 0;
    }
    seek->strip->work.done += 4.0 * seek->neighbour_count + 30.0 * asked;
    return cost;
}

// Descent along the axes and diagonals, with a step that shrinks on failure.
static Candidate refined(Seek *seek, Candidate from, double step, double least)
{
    static const double ways[][2] = {{1, 0}, {0, 1}, {0.7, 0.7}, {0.7, -0.7}};
    double most_x;
    double most_y;
    Random *random = &seek->strip->random;
    if (!strip_range(seek->strip, seek->copy, from.spot.turned, &most_x, &most_y)) {
        return from;
    }
    while (step >= least && from.cost > 0) {
        const double *way = ways[random_below(random, 4)];
        bool better = false;
        for (int sign = -1; sign <= 1 && !better; sign += 2) {
            Spot to = from.spot;
            to.x = fmin(fmax(to.x + round(sign * way[0] * step), 0), most_x);
            to.y = fmin(fmax(to.y + round(sign * way[1] * step), 0), most_y);
            const double cost = cost_at(seek, to, from.cost);
            better = cost < from.cost;
            from = better ? (Candidate){to, cost} : from;
        }
        step *= better ? 1.1 : 0.7;
    }
    return from;
}

static Candidate refine_all(Seek *seek, Candidate now)
{
    const double step = seek->strip->step;
    Candidate best = now;
    for (int i = 0; i < KEPT && best.cost > 0 && seek->kept[i].cost < DBL_MAX; i++) {
        Candidate one = seek->kept[i];
        list_near(seek, one.spot, 3 * step);
        one.cost = cost_at(seek, one.spot, DBL_MAX);
        one = refined(seek, one, step / 2, fmax(1, step / 64));
        best = one.cost < best.cost ? one : best;
    }
    return best;
}

// All coarse turns; and, when fine ones are asked for, the neighbours of the present turn and
// some of the others, which must not cost more than they find.
static bool is_tried(Strip *strip, const Turned *turned, const Turned *present)
{
    static const double share = 0.25;
    if (!turned->fine || turned == present) {
        return true;
    }
    const double apart_rad = remainder(turned->turn_rad - present->turn_rad, whole_turn_rad);
    return strip->fine &&
           (fabs(apart_rad) < 1.1 * strip->steps.fine_rad || random_share(&strip->random) < share);
}

Spot seek_spot(Strip *strip, int copy)
{
    const ArenaMark mark = arena_mark(strip->scratch);
    Seek seek = {.strip = strip, .copy = copy};
    const double blocks = (floor(strip->length / strip->step / POOL) + 2 + LANES) *
                          (floor(strip->width / strip->step / POOL) + 2);
    seek.least = ARENA_ARRAY(strip->scratch, uint16_t, blocks);
    seek.neighbours = ARENA_ARRAY(strip->scratch, Neighbour, strip->count);
    for (int i = 0; i < KEPT; i++) {
        seek.kept[i] = (Candidate){strip->spots[copy], DBL_MAX};
    }
    list_near(&seek, strip->spots[copy], 0);
    Candidate now = {strip->spots[copy], 0};
    now.cost = cost_at(&seek, now.spot, DBL_MAX);
    seek.bound = worse * now.cost;
    const StripPiece *piece = &strip->pieces[strip->piece_of[copy]];
    const Turned *present = &piece->turned[strip->spots[copy].turned];
    for (int turned = 0; turned < piece->turned_count; turned++) {
        if (is_tried(strip, &piece->turned[turned], present)) {
            seek_turned(&seek, turned);
        }
    }
    const Candidate best = refine_all(&seek, now);
    arena_rewind(strip->scratch, mark);
    return best.spot;
}
