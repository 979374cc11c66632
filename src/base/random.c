#include "base/random.h"

#include <assert.h>

static uint64_t splitmix(uint64_t *state)
{
    *state += 0x9E3779B97F4A7C15U;
    uint64_t z = *state;
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9U;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBU;
    return z ^ (z >> 31);
}

Random random_begin(uint64_t seed, uint64_t trial, uint64_t stream)
{
    // Each number is stirred before the next is added, so that (1, 2, 3) and (3, 2, 1)
    // do not meet.
    uint64_t state = seed;
    state = splitmix(&state) ^ trial;
    state = splitmix(&state) ^ stream;
    Random random;
    for (int i = 0; i < 4; i++) {
        random.state[i] = splitmix(&state);
    }
    return random;
}

static uint64_t rotate_left(uint64_t bits, int places)
{
    return (bits << places) | (bits >> (64 - places));
}

uint64_t random_bits(Random *random)
{
    uint64_t *s = random->state;
    const uint64_t result = rotate_left(s[0] + s[3], 23) + s[0];
    const uint64_t shifted = s[1] << 17;
    s[2] ^= s[0];
    s[3] ^= s[1];
    s[1] ^= s[2];
    s[0] ^= s[3];
    s[2] ^= shifted;
    s[3] = rotate_left(s[3], 45);
    return result;
}

double random_share(Random *random)
{
    return (double)(random_bits(random) >> 11) * 0x1p-53;
}

double random_between(Random *random, double from, double to)
{
    return from + (to - from) * random_share(random);
}

int random_below(Random *random, int count)
{
    assert(count > 0);
    const uint64_t range = (uint64_t)count;
    // Draws in the last, incomplete lap would favour small numbers: draw again.
    const uint64_t limit = UINT64_MAX - UINT64_MAX % range;
    uint64_t bits = random_bits(random);
    while (bits >= limit) {
        bits = random_bits(random);
    }
    return (int)(bits % range);
}
