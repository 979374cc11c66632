#include "layout/seek.h"

#include "base/units.h"
#include "layout/floor_div.h"

#include <float.h>
#include <math.h>
#include <string.h>

enum {
    BLOCKS_TRIED = 24, // the most promising of all turns together
    KEPT = 2,          // places that are refined
    SUM_MOST = 60000,
};

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

// A turn of the copy in which places are looked for.
typedef struct Way {
    int turned;
    Neighbour *neighbours;
    int count;
    int columns; // of the grid of places
    int rows;
} Way;

// A place is refined when its cost is below that of the present place times this.
static const double worse = 2;

typedef struct Block {
    int least; // in sum units
    int u;
    int v;
    const Way *way;
} Block;

typedef struct Candidate {
    Spot spot;
    const Way *way;
    double cost;
} Candidate;

typedef struct Seek {
    Strip *strip;
    int copy;
    Neighbour *near; // of the place that is refined
    int near_count;
    int block_columns;
    int block_rows;
    int block_stride;       // LANES - 1 more than the columns
    double bound;           // cost from which on a place is of no interest
    double unit;            // of sums
    double factor_per_cost; // 256 sum units of a cost
    // Sums of the least depths of the blocks, in units of which SUM_MOST are the bound. They
    // stop at the greatest number. Up to LANES - 1 before and after each row may be written to.
    uint16_t *least;
    Block blocks[BLOCKS_TRIED]; // the best first
    int block_count;
    Candidate kept[KEPT];
} Seek;

static void list_neighbours(Seek *seek, Way *way)
{
    Strip *strip = seek->strip;
    const Turned *moved = strip_turned(strip, seek->copy, way->turned);
    const float *weights = &strip->weights[(ptrdiff_t)seek->copy * strip->count];
    const double per_step = 1 / strip->step;
    strip->work.done += 100 + 8.0 * strip->count;
    for (int i = 0; i < strip->count; i++) {
        if (i == seek->copy) {
            continue;
        }
        const Spot spot = strip->spots[i];
        const Pair *pair = strip_pair(strip, strip_turned(strip, i, spot.turned), moved);
        way->neighbours[way->count++] =
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

// Only those that the copy may overlap near a spot.
static void list_near(Seek *seek, const Way *way, Spot spot)
{
    seek->near_count = 0;
    seek->strip->work.done += 20 + 4.0 * way->count;
    for (int i = 0; i < way->count; i++) {
        const Neighbour *one = &way->neighbours[i];
        if (pair_is_near(one->pair, spot.x - one->x, spot.y - one->y)) {
            seek->near[seek->near_count++] = *one;
        }
    }
}

// Adds least depths times factor / 256, LANES together, so that it goes in vectors.
static void add_row(const uint8_t *restrict from, uint16_t factor, int groups,
                    uint16_t *restrict sums)
{
    for (int i = 0; i < groups * LANES; i += LANES) {
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
    const int first_u = floor_div(one->column, POOL);
    const int first_v = floor_div(one->row, POOL);
    const int phase = (one->row - POOL * first_v) * POOL + one->column - POOL * first_u;
    const LeastPlane *plane = &one->pair->least[phase];
    const double factor = (double)(one->weight * one->pair->least_unit) * seek->factor_per_cost;
    const uint16_t whole_factor = (uint16_t)(factor < UINT16_MAX ? factor : UINT16_MAX);
    const uint8_t *blocks = plane->blocks;
    int added = 0;
    for (int i = 0; i < plane->count; i++) {
        const BlockRow row = plane->rows[i];
        const int v = first_v + plane->first + i;
        const int u = first_u + row.from;
        const int first = u < 0 ? -u / LANES : 0;
        const int most = (seek->block_columns - u + LANES - 1) / LANES;
        const int past = row.groups < most ? row.groups : most;
        if (v >= 0 && v < seek->block_rows && first < past) {
            add_row(&blocks[(ptrdiff_t)first * LANES], whole_factor, past - first,
                    &seek->least[(ptrdiff_t)v * seek->block_stride + u + (ptrdiff_t)first * LANES]);
            added += past - first;
        }
        blocks += (ptrdiff_t)row.groups * LANES;
    }
    seek->strip->work.done += 10 + 6.0 * plane->count + 1.5 * added;
}

static bool any_below(const uint16_t *sums, int count, uint16_t bound)
{
    uint16_t any = 0;
    for (int i = 0; i < count; i++) {
        any |= sums[i] < bound;
    }
    return any != 0;
}

// Puts a block among those found, the least first.
static void keep_block(Seek *seek, Block block)
{
    int at = seek->block_count < BLOCKS_TRIED ? seek->block_count++ : BLOCKS_TRIED - 1;
    while (at > 0 && seek->blocks[at - 1].least > block.least) {
        seek->blocks[at] = seek->blocks[at - 1];
        at--;
    }
    seek->blocks[at] = block;
}

static int block_bound(const Seek *seek)
{
    return seek->block_count == BLOCKS_TRIED ? seek->blocks[seek->block_count - 1].least : SUM_MOST;
}

// The blocks with the least sums, the least first.
static void keep_blocks(Seek *seek, const Way *way)
{
    int bound = block_bound(seek);
    for (int row = 0; row < seek->block_rows; row++) {
        const uint16_t *sums = &seek->least[(ptrdiff_t)row * seek->block_stride];
        if (!any_below(sums, seek->block_columns, (uint16_t)bound)) {
            continue;
        }
        for (int i = 0; i < seek->block_columns; i++) {
            if (sums[i] < bound) {
                keep_block(seek, (Block){sums[i], i, row, way});
                bound = block_bound(seek);
            }
        }
    }
}

static void keep_candidate(Seek *seek, const Way *way, Spot spot, double cost)
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
        seek->kept[at] = (Candidate){spot, way, cost};
        seek->bound = fmin(seek->bound, seek->kept[KEPT - 1].cost);
    }
}

// The depths of one neighbour at the places of a block that meets its grid.
static void add_block(const Neighbour *one, int left, int low, float *restrict costs)
{
    const Pair *pair = one->pair;
    const float *from = &pair->severity[(ptrdiff_t)low * pair->severity_stride + left];
    const float weight = one->weight;
    for (int v = 0; v < POOL; v++) {
        for (int u = 0; u < POOL; u++) {
            costs[v * POOL + u] += weight * from[u];
        }
        from += pair->severity_stride;
    }
}

// The best place of a block becomes a candidate.
static void try_block(Seek *seek, const Block *block)
{
    const Way *way = block->way;
    const int column = block->u * POOL;
    const int row = block->v * POOL;
    float costs[POOL * POOL] = {0};
    int met = 0;
    for (int i = 0; i < way->count; i++) {
        const Neighbour *one = &way->neighbours[i];
        const int left = column - one->column;
        const int low = row - one->row;
        if (left > -POOL && low > -POOL && left < one->columns && low < one->rows) {
            add_block(one, left, low, costs);
            met++;
        }
    }
    seek->strip->work.done += 30 + 2.0 * way->count + 12.0 * met;
    int best = -1;
    for (int i = 0; i < POOL * POOL; i++) {
        if (column + i % POOL < way->columns && row + i / POOL < way->rows &&
            (best < 0 || costs[i] < costs[best])) {
            best = i;
        }
    }
    const double step = seek->strip->step;
    const int best_column = column + best % POOL;
    const int best_row = row + best / POOL;
    keep_candidate(seek, way, (Spot){way->turned, best_column * step, best_row * step},
                   (double)costs[best]);
}

// The most promising blocks of one turn; none when there is no room for the piece.
static void seek_turned(Seek *seek, Way *way)
{
    Strip *strip = seek->strip;
    double most_x;
    double most_y;
    if (!strip_range(strip, seek->copy, way->turned, &most_x, &most_y)) {
        return;
    }
    list_neighbours(seek, way);
    way->columns = (int)floor(most_x / strip->step) + 1;
    way->rows = (int)floor(most_y / strip->step) + 1;
    seek->block_columns = (way->columns - 1) / POOL + 1;
    seek->block_rows = (way->rows - 1) / POOL + 1;
    seek->block_stride = seek->block_columns + LANES - 1;
    const size_t blocks = (size_t)seek->block_stride * (size_t)seek->block_rows;
    memset(seek->least, 0, blocks * sizeof *seek->least);
    for (int i = 0; i < way->count; i++) {
        add_least(seek, &way->neighbours[i]);
    }
    strip->work.done += 0.2 * (double)blocks;
    keep_blocks(seek, way);
}

// Weighted overlap at a spot in the turn whose neighbours are listed; `bound` or more once it
// is past that.
static double cost_at(Seek *seek, Spot spot, double bound)
{
    double cost = 0;
    int asked = 0;
    for (int i = 0; i < seek->near_count && cost < bound; i++) {
        const Neighbour *one = &seek->near[i];
        const float depth = pair_severity(one->pair, spot.x - one->x, spot.y - one->y);
        cost += (double)(one->weight * depth);
        asked += depth > 0 ? 1 : 0;
    }
    seek->strip->work.done += 4.0 * seek->near_count + 30.0 * asked;
    return cost;
}

// The same without a bound; those that overlap come first then, so that bounds are passed soon.
static double cost_ordered(Seek *seek, Spot spot)
{
    double cost = 0;
    int met = 0;
    for (int i = 0; i < seek->near_count; i++) {
        const Neighbour one = seek->near[i];
        const float depth = pair_severity(one.pair, spot.x - one.x, spot.y - one.y);
        cost += (double)(one.weight * depth);
        if (depth > 0) {
            seek->near[i] = seek->near[met];
            seek->near[met++] = one;
        }
    }
    seek->strip->work.done += 10.0 * seek->near_count + 30.0 * met;
    return cost;
}

// Both without calls, since so many are asked for.
static double whole(double value)
{
    return value < 0 ? -(double)(int)(0.5 - value) : (double)(int)(value + 0.5);
}

static double within(double value, double most)
{
    const double raised = value > 0 ? value : 0;
    return raised < most ? raised : most;
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
            to.x = within(to.x + sign * whole(way[0] * step), most_x);
            to.y = within(to.y + sign * whole(way[1] * step), most_y);
            const double cost = cost_at(seek, to, from.cost);
            better = cost < from.cost;
            from = better ? (Candidate){to, from.way, cost} : from;
        }
        step *= better ? 1.1 : 0.7;
    }
    return from;
}

static Candidate refine_all(Seek *seek, Candidate now)
{
    const double step = seek->strip->step;
    Candidate best = now;
    for (int i = 0; i < KEPT && best.cost > 0 && seek->kept[i].way; i++) {
        Candidate one = seek->kept[i];
        list_near(seek, one.way, one.spot);
        one.cost = cost_ordered(seek, one.spot);
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
    const double apart_rad = remainder(turned->turn_rad - present->turn_rad, WHOLE_TURN_RAD);
    return strip->fine &&
           (fabs(apart_rad) < 1.1 * strip->steps.fine_rad || random_share(&strip->random) < share);
}

// All that is needed to look for places.
static void begin(Seek *seek)
{
    Strip *strip = seek->strip;
    const double blocks = (floor(strip->length / strip->step / POOL) + 2 + LANES) *
                          (floor(strip->width / strip->step / POOL) + 2);
    seek->least = ARENA_ARRAY(strip->scratch, uint16_t, blocks + LANES) + LANES;
    seek->near = ARENA_ARRAY(strip->scratch, Neighbour, strip->count);
    const Spot now = strip->spots[seek->copy];
    for (int i = 0; i < KEPT; i++) {
        seek->kept[i] = (Candidate){now, NULL, DBL_MAX};
    }
}

static Candidate present_place(const Seek *seek)
{
    Strip *strip = seek->strip;
    Candidate now = {.spot = strip->spots[seek->copy]};
    const ptrdiff_t row = (ptrdiff_t)seek->copy * strip->count;
    for (int i = 0; i < strip->count; i++) {
        now.cost += (double)(strip->severities[row + i] * strip->weights[row + i]);
    }
    return now;
}

Spot seek_spot(Strip *strip, int copy)
{
    const ArenaMark mark = arena_mark(strip->scratch);
    Seek seek = {.strip = strip, .copy = copy};
    begin(&seek);
    const Candidate now = present_place(&seek);
    seek.bound = worse * now.cost;
    seek.unit = seek.bound / SUM_MOST;
    seek.factor_per_cost = 256 / seek.unit;
    const StripPiece *piece = &strip->pieces[strip->piece_of[copy]];
    const Turned *present = &piece->turned[strip->spots[copy].turned];
    Way *ways = ARENA_ARRAY(strip->scratch, Way, piece->turned_count);
    for (int turned = 0; turned < piece->turned_count; turned++) {
        Way *way = &ways[turned];
        if (is_tried(strip, &piece->turned[turned], present)) {
            *way = (Way){.turned = turned,
                         .neighbours = ARENA_ARRAY(strip->scratch, Neighbour, strip->count)};
            seek_turned(&seek, way);
        }
    }
    for (int i = 0; i < seek.block_count && seek.blocks[i].least * seek.unit < seek.bound; i++) {
        try_block(&seek, &seek.blocks[i]);
    }
    const Candidate best = refine_all(&seek, now);
    arena_rewind(strip->scratch, mark);
    return best.spot;
}
