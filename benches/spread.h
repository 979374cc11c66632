// How measured values spread.
#pragma once

#include "base/arena.h"

typedef struct Spread {
    double mean;
    double best;  ///< the greatest
    double lower; ///< quartiles, between the two nearest values
    double upper;
} Spread;

/// Of `count` > 0 values.
Spread spread_of(const double *values, int count, Arena *scratch);
