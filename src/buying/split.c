#include "buying/split.h"

#include <assert.h>
#include <math.h>
#include <string.h>

static const double ways_most = 100000;

int split_blocks(const CoverDemand *demands, int demand_count, int *block)
{
    int count = 0;
    for (int i = 0; i < demand_count; i++) {
        block[i] = -1;
        for (int k = 0; k < i && block[i] < 0; k++) {
            const bool same =
                demands[i].beside != 0
                    ? demands[k].beside == demands[i].beside
                    : demands[k].beside == 0 && strcmp(demands[k].seat, demands[i].seat) == 0;
            block[i] = same ? block[k] : -1;
        }
        block[i] = block[i] < 0 ? count++ : block[i];
    }
    return count;
}

static double demand_mm2(const CoverDemand *demand)
{
    return demand->count * demand->cover->gross_area_mm2;
}

static SplitGroups groups_of(int hides, int demand_count, Arena *keep)
{
    return (SplitGroups){.hides = hides,
                         .demand_count = demand_count,
                         .count = ARENA_ARRAY(keep, int, hides *demand_count + 1),
                         .parted = ARENA_ARRAY(keep, bool, demand_count + 1)};
}

// ---- Blocks as wholes

typedef struct Sharing {
    const double *area_mm2; // of each block
    int blocks;
    int hides;
    double sum_mm2[SPLIT_HIDES_MAX];
    int *hide_of; // the way that is tried
    int *best;
    double best_mm2;
} Sharing;

static double largest_sum(const Sharing *sharing)
{
    double largest = 0;
    for (int hide = 0; hide < sharing->hides; hide++) {
        largest = fmax(largest, sharing->sum_mm2[hide]);
    }
    return largest;
}

static void take_if_better(Sharing *sharing)
{
    const double largest = largest_sum(sharing);
    for (int hide = 0; hide < sharing->hides; hide++) {
        if (!(sharing->sum_mm2[hide] > 0)) {
            return; // a hide for nobody
        }
    }
    // Less by more than rounding, so that the first of equal ways stays.
    if (largest < sharing->best_mm2 * (1 - 1e-9)) {
        sharing->best_mm2 = largest;
        memcpy(sharing->best, sharing->hide_of, (size_t)sharing->blocks * sizeof(int));
    }
}

// All ways, counted up like a number whose digits are the hides of the blocks.
static void try_all(Sharing *sharing)
{
    int last = 0;
    while (last >= 0) {
        memset(sharing->sum_mm2, 0, sizeof sharing->sum_mm2);
        for (int i = 0; i < sharing->blocks; i++) {
            sharing->sum_mm2[sharing->hide_of[i]] += sharing->area_mm2[i];
        }
        take_if_better(sharing);
        last = sharing->blocks - 1;
        while (last >= 0 && ++sharing->hide_of[last] == sharing->hides) {
            sharing->hide_of[last--] = 0;
        }
    }
}

static void largest_first(Sharing *sharing)
{
    for (int i = 0; i < sharing->blocks; i++) {
        sharing->best[i] = -1;
    }
    for (int round = 0; round < sharing->blocks; round++) {
        int block = -1;
        for (int i = 0; i < sharing->blocks; i++) {
            if (sharing->best[i] < 0 &&
                (block < 0 || sharing->area_mm2[i] > sharing->area_mm2[block])) {
                block = i;
            }
        }
        int hide = 0;
        for (int i = 1; i < sharing->hides; i++) {
            hide = sharing->sum_mm2[i] < sharing->sum_mm2[hide] ? i : hide;
        }
        sharing->best[block] = hide;
        sharing->sum_mm2[hide] += sharing->area_mm2[block];
    }
}

bool split_by_blocks(const CoverDemand *demands, int demand_count, int hides, Arena *keep,
                     Arena *scratch, SplitGroups *groups)
{
    assert(hides >= 1 && hides <= SPLIT_HIDES_MAX);
    const ArenaMark mark = arena_mark(scratch);
    int *block = ARENA_ARRAY(scratch, int, demand_count + 1);
    double *area_mm2 = ARENA_ARRAY(scratch, double, demand_count + 1);
    const int blocks = split_blocks(demands, demand_count, block);
    for (int i = 0; i < demand_count; i++) {
        area_mm2[block[i]] += demand_mm2(&demands[i]);
    }
    Sharing sharing = {.area_mm2 = area_mm2,
                       .blocks = blocks,
                       .hides = hides,
                       .hide_of = ARENA_ARRAY(scratch, int, blocks + 1),
                       .best = ARENA_ARRAY(scratch, int, blocks + 1),
                       .best_mm2 = (double)INFINITY};
    if (blocks >= hides && pow(hides, blocks) <= ways_most) {
        try_all(&sharing);
    } else if (blocks >= hides) {
        largest_first(&sharing);
    }
    if (blocks >= hides) {
        *groups = groups_of(hides, demand_count, keep);
        for (int i = 0; i < demand_count; i++) {
            groups->count[sharing.best[block[i]] * demand_count + i] = demands[i].count;
        }
    }
    arena_rewind(scratch, mark);
    return blocks >= hides;
}

// ---- Covers in a row

// How many covers from `first` on come nearest to an even share; each hide behind keeps one at
// least.
static int run_length(const double *area_mm2, int covers, int first, int hides_left)
{
    double left_mm2 = 0;
    for (int i = first; i < covers; i++) {
        left_mm2 += area_mm2[i];
    }
    const double share_mm2 = left_mm2 / hides_left;
    double run_mm2 = 0;
    int length = 0;
    while (first + length < covers - (hides_left - 1) &&
           (length == 0 || run_mm2 + area_mm2[first + length] / 2 < share_mm2)) {
        run_mm2 += area_mm2[first + length++];
    }
    return length;
}

SplitGroups split_by_row(const CoverDemand *demands, int demand_count, int hides, Arena *keep,
                         Arena *scratch)
{
    assert(hides >= 1 && hides <= SPLIT_HIDES_MAX);
    const ArenaMark mark = arena_mark(scratch);
    SplitGroups groups = groups_of(hides, demand_count, keep);
    int *block = ARENA_ARRAY(scratch, int, demand_count + 1);
    const int blocks = split_blocks(demands, demand_count, block);
    int covers = 0;
    for (int i = 0; i < demand_count; i++) {
        covers += demands[i].count;
    }
    assert(covers >= hides);
    int *demand_of = ARENA_ARRAY(scratch, int, covers);
    double *area_mm2 = ARENA_ARRAY(scratch, double, covers);
    int row = 0;
    for (int b = 0; b < blocks; b++) {
        for (int i = 0; i < demand_count; i++) {
            for (int copy = 0; block[i] == b && copy < demands[i].count; copy++, row++) {
                demand_of[row] = i;
                area_mm2[row] = demands[i].cover->gross_area_mm2;
            }
        }
    }
    int *first_hide = ARENA_ARRAY(scratch, int, blocks + 1); // of each block, from 1
    bool *parted = ARENA_ARRAY(scratch, bool, blocks + 1);
    int first = 0;
    for (int hide = 0; hide < hides; hide++) {
        const int length =
            hide + 1 < hides ? run_length(area_mm2, covers, first, hides - hide) : covers - first;
        for (int i = first; i < first + length; i++) {
            const int b = block[demand_of[i]];
            groups.count[hide * demand_count + demand_of[i]]++;
            parted[b] |= first_hide[b] > 0 && first_hide[b] != hide + 1;
            first_hide[b] = first_hide[b] > 0 ? first_hide[b] : hide + 1;
        }
        first += length;
    }
    for (int i = 0; i < demand_count; i++) {
        groups.parted[i] = parted[block[i]];
    }
    arena_rewind(scratch, mark);
    return groups;
}

int split_demands(const SplitGroups *groups, const CoverDemand *demands, int hide,
                  CoverDemand *of_hide)
{
    int count = 0;
    for (int i = 0; i < groups->demand_count; i++) {
        const int copies = groups->count[hide * groups->demand_count + i];
        if (copies > 0) {
            of_hide[count] = demands[i];
            of_hide[count++].count = copies;
        }
    }
    return count;
}

// ---- Areas

enum { SUMS = SPLIT_HIDES_MAX * AREA_STEPS };

typedef struct Sums {
    double best[SPLIT_HIDES_MAX + 1]
               [SUMS];                   // the best product of the first hides with a sum of steps
    int step[SPLIT_HIDES_MAX + 1][SUMS]; // of the last of them
    double share[SPLIT_HIDES_MAX][AREA_STEPS];
} Sums;

static void add_hide(Sums *sums, int hide, int most)
{
    for (int sum = 0; sum < SUMS; sum++) {
        sums->best[hide + 1][sum] = -1;
        for (int step = 0; step <= most && step <= sum; step++) {
            const double before = sums->best[hide][sum - step];
            const double chance = before < 0 ? -1 : before * sums->share[hide][step];
            if (chance > sums->best[hide + 1][sum]) {
                sums->best[hide + 1][sum] = chance;
                sums->step[hide + 1][sum] = step;
            }
        }
    }
}

bool split_areas(const Tally *const *tallies, int hides, double comfort, int most, int *steps)
{
    assert(hides >= 1 && hides <= SPLIT_HIDES_MAX && most < AREA_STEPS);
    Arena *scratch = arena_create("split", (size_t)16 << 20);
    if (!scratch) {
        return false;
    }
    Sums *sums = ARENA_NEW(scratch, Sums);
    for (int sum = 0; sum < SUMS; sum++) {
        sums->best[0][sum] = sum == 0 ? 1 : -1;
    }
    for (int hide = 0; hide < hides; hide++) {
        const TallyCurve curve = tally_curve(tallies[hide]);
        for (int step = 0; step < AREA_STEPS; step++) {
            sums->share[hide][step] = curve_chance(&curve, step, CHANCE_Z).share;
        }
        add_hide(sums, hide, most);
    }
    int sum = 0;
    while (sum < SUMS && !(sums->best[hides][sum] >= comfort - 1e-12)) {
        sum++;
    }
    const bool found = sum < SUMS;
    for (int hide = hides - 1; found && hide >= 0; hide--) {
        steps[hide] = sums->step[hide + 1][sum];
        sum -= steps[hide];
    }
    arena_destroy(scratch);
    return found;
}

Chance split_chance(const Chance *chances, int hides)
{
    double share = 1;
    double below = 0;
    double above = 0;
    for (int i = 0; i < hides; i++) {
        const Chance *chance = &chances[i];
        if (!(chance->share > 0)) {
            double high = 1;
            for (int k = 0; k < hides; k++) {
                high = fmin(high, chances[k].high);
            }
            return (Chance){0, 0, high};
        }
        share *= chance->share;
        below += pow(log(chance->share / fmax(chance->low, 1e-300)), 2);
        above += pow(log(chance->high / chance->share), 2);
    }
    return (Chance){share, share * exp(-sqrt(below)), fmin(1, share * exp(sqrt(above)))};
}
