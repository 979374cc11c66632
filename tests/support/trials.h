// How many random trials a test makes, and from which on: a campaign asks for more than
// the suite can wait for (docs/testing.md).
#pragma once

#include <stdint.h>
#include <stdlib.h>

typedef struct Trials {
    uint64_t first;
    uint64_t end;
} Trials;

static inline uint64_t trials_number(const char *name, uint64_t otherwise)
{
    const char *text = getenv(name);
    return text ? strtoull(text, NULL, 10) : otherwise;
}

/// `plain` trials from the first on, unless SEATWRIGHT_TRIALS asks for another number and
/// SEATWRIGHT_FIRST for another beginning.
static inline Trials trials_wanted(uint64_t plain)
{
    const uint64_t first = trials_number("SEATWRIGHT_FIRST", 0);
    return (Trials){first, first + trials_number("SEATWRIGHT_TRIALS", plain)};
}
