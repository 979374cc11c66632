// Random streams: the same draw for the same (seed, trial, stream), whatever the
// thread, the order or the machine.
//
// xoshiro256++ (Blackman and Vigna, ACM Trans. Math. Softw. 47, 2021), its state
// filled by splitmix64 (Steele, Lea and Flood, OOPSLA 2014).
#pragma once

#include <stdint.h>

typedef struct Random {
    uint64_t state[4];
} Random;

/// A stream of its own for each (seed, trial, stream).
Random random_begin(uint64_t seed, uint64_t trial, uint64_t stream);
uint64_t random_bits(Random *random);
/// 0 <= result < 1, 53 bits.
double random_share(Random *random);
/// from <= result < to.
double random_between(Random *random, double from, double to);
/// 0 <= result < count, without bias; count > 0.
int random_below(Random *random, int count);
