// Where one pose cannot lie beside another that is laid: for each pair of poses once, kept as long
// as there is room. Also what the places on a bare sheet share with it: from bands to cells.
#pragma once

#include "layout/floor_div.h"
#include "layout/model.h"

/// Places along one axis, both ends counted in.
typedef struct Stride {
    int from;
    int to;
} Stride;

/// The columns whose places lie within an open interval.
static inline Stride columns_within(Span span, int cell)
{
    return (Stride){floor_div(span.low, cell) + 1, -floor_div(-span.high, cell) - 1};
}

/// The rows at which a moved part, by whole cells, has bands in common with a still one.
static inline Stride rows_in_common(const Part *still, const Part *moved, int bands_in_cell)
{
    const int least = still->first - moved->first - moved->count;
    const int most = still->first + still->count - moved->first;
    return (Stride){floor_div(least, bands_in_cell) + 1, -floor_div(-most, bands_in_cell) - 1};
}

/// What `laid` blocks for a pose at a gap. *kept is false when the pair is lost with what the
/// model's arena gets from now on.
Pair model_pair(Model *model, const Laid *laid, int gap, int pose, bool *kept);

/// About how many steps of work it takes to make all pairs of all poses.
double model_pairs_steps(const Model *model);
