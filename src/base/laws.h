// Random numbers that follow a law: normal, gamma, counts.
//
// One share of a stream makes one normal number or one count, larger shares larger
// numbers, so that the same stream with another mean gives the same luck: the count under
// a larger mean is never smaller.
#pragma once

#include "base/random.h"

/// The number that a standard normal one stays below with probability `share`, 0 < share < 1.
/// Accuracy about 1e-15, relative.
/// Source   Wichura, Algorithm AS 241 (PPND16), Applied Statistics 37 (1988) 477-484.
double normal_quantile(double share);

/// Standard normal. Takes one share.
double random_normal(Random *random);

/// Standard normal, given that it lies within `most` on either side; most > 0. One share.
double random_normal_within(Random *random, double most);

/// Gamma with mean 1 and variance 1 / shape; shape > 0. Takes any number of shares.
/// Source   Marsaglia and Tsang, ACM Trans. Math. Softw. 26 (2000) 363-372.
double random_gamma(Random *random, double shape);

/// Poisson by inversion; 0 <= mean <= 500. One share.
int random_poisson(Random *random, double mean);

/// Negative binomial: variance mean + mean^2 / dispersion. Poisson where dispersion is 0.
int random_count(Random *random, double mean, double dispersion);
