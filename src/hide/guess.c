#include "hide/guess.h"

#include <math.h>

static const double ROUNDING = 1e-6;

int guess_meant(double value, LengthUnit unit, double *guesses)
{
    static const double mm_factors[] = {10, 0.1, 100, 0.01, 25.4, 1 / 25.4, 304.8, 12};
    static const double in_factors[] = {10, 0.1, 12, 1 / 12.0, 1 / 25.4, 1 / 2.54, 25.4, 100};
    const double *factors = unit == LENGTH_IN ? in_factors : mm_factors;
    int count = 0;
    for (int i = 0; i < 8; i++) {
        guesses[count++] = value * factors[i];
    }
    const double sign = value < 0 ? -1 : 1;
    // 24 in may come back from mm as 23.999...
    const double whole = unit == LENGTH_IN ? floor(fabs(value) + ROUNDING) : round(fabs(value));
    const double fraction = unit == LENGTH_IN ? fabs(value) - whole : 0;
    if (whole >= 1e6) {
        return count;
    }
    const long digits = lround(whole);
    if (digits == 0) {
        // The leading digit of a round number lost: 00 for 300.
        for (long place = 10; place <= 1000; place *= 10) {
            for (long lost = 1; lost < 10; lost++) {
                guesses[count++] = sign * ((double)(lost * place) + fraction);
            }
        }
    }
    for (long place = 1; place <= digits; place *= 10) {
        const long low = digits % place;
        const long digit = digits / place % 10;
        const long high = digits / (place * 10);
        // The digit left out; this and the next one swapped.
        guesses[count++] = sign * ((double)(high * place + low) + fraction);
        if (high > 0) {
            const long swapped = high / 10 * 100 + digit * 10 + high % 10;
            guesses[count++] = sign * ((double)(swapped * place + low) + fraction);
        }
    }
    for (long place = 1; place <= 10 * digits; place *= 10) {
        const long low = digits % place;
        const long high = digits / place;
        for (long lost = 0; lost < 10; lost++) {
            guesses[count++] = sign * ((double)((high * 10 + lost) * place + low) + fraction);
        }
    }
    return count;
}
