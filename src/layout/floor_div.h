// Whole quotients rounded down, below 0 too: the cell of a grid in which a whole coordinate lies.
#pragma once

#include <stdint.h>

/// @param by > 0
static inline int floor_div(int value, int by)
{
    const int quotient = value / by;
    return quotient * by > value ? quotient - 1 : quotient;
}

/// Of a wide value; the quotient is an int's.
static inline int floor_div_wide(int64_t value, int by)
{
    const int64_t quotient = value / by;
    return (int)(quotient * by > value ? quotient - 1 : quotient);
}
