// A set of covers from several hides, each cut for its own chairs: who goes together, and how large
// each hide must be.
//
// Chairs that stand side by side are a block, and as few blocks as possible are parted. Hides are
// independent of each other, so the chance that all are enough is the product of theirs.
#pragma once

#include "buying/tally.h"
#include "cutting/cutting.h"

enum { SPLIT_HIDES_MAX = 8 };

/// Which covers are cut from which hide.
typedef struct SplitGroups {
    int hides;
    int demand_count;
    int *count;   ///< [hide * demand_count + demand]: copies of a demand on a hide
    bool *parted; ///< [demand]: its block lies on more than one hide
} SplitGroups;

/// The block of each demand, from 0: those of the same `beside`, or of the same kind where nobody
/// said so. block[demand_count]; the number of blocks is the result.
int split_blocks(const CoverDemand *demands, int demand_count, int *block);

/// Blocks as wholes on so many hides, the largest sum of cut areas as small as can be.
///
/// Result   false when there are fewer blocks than hides; *groups is then untouched.
/// Method   all ways where there are at most 100,000; else the largest block first, each to the
///          hide with the least (R. L. Graham, SIAM J. Appl. Math. 17, 1969).
bool split_by_blocks(const CoverDemand *demands, int demand_count, int hides, Arena *keep,
                     Arena *scratch, SplitGroups *groups);

/// Covers in a row, block behind block, cut into runs of nearly the same area: parts at most
/// hides - 1 blocks. There must be as many covers as hides; hides 1 to SPLIT_HIDES_MAX.
SplitGroups split_by_row(const CoverDemand *demands, int demand_count, int hides, Arena *keep,
                         Arena *scratch);

/// The covers of one hide, those with copies on it. The number is the result.
int split_demands(const SplitGroups *groups, const CoverDemand *demands, int hide,
                  CoverDemand *of_hide);

/// The least area of all hides together that is enough for all with a chance of at least
/// `comfort`, no hide above step `most`. tallies[hides], steps[hides].
///
/// Result   false when no areas are; *steps is then untouched. Of all with that sum, those with the
///          best chance.
/// Method   over hides and sums, the best product so far; exact.
bool split_areas(const Tally *const *tallies, int hides, double comfort, int most, int *steps);

/// The chance that all hides are enough, and its interval.
///
/// Method   limits of a product from those of its factors: G. Y. Zou and A. Donner, Statistics in
///          Medicine 27 (2008), 1693-1702, on the logarithms.
Chance split_chance(const Chance *chances, int hides);
