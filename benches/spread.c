#include "spread.h"

#include <stdlib.h>
#include <string.h>

static int by_size(const void *left, const void *right)
{
    const double *a = left;
    const double *b = right;
    return (*a > *b) - (*a < *b);
}

static double quantile(const double *sorted, int count, double share)
{
    const double place = share * (count - 1);
    const int low = (int)place;
    const int high = low + 1 < count ? low + 1 : low;
    return sorted[low] + (sorted[high] - sorted[low]) * (place - low);
}

Spread spread_of(const double *values, int count, Arena *scratch)
{
    const ArenaMark mark = arena_mark(scratch);
    double *sorted = ARENA_ARRAY(scratch, double, count);
    memcpy(sorted, values, (size_t)count * sizeof *sorted);
    qsort(sorted, (size_t)count, sizeof *sorted, by_size);
    Spread spread = {.best = sorted[count - 1],
                     .lower = quantile(sorted, count, 0.25),
                     .upper = quantile(sorted, count, 0.75)};
    for (int i = 0; i < count; i++) {
        spread.mean += sorted[i] / count;
    }
    arena_rewind(scratch, mark);
    return spread;
}
