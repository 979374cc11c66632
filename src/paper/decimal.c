#include "paper/decimal.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>

void decimal_add(Text *text, double value, int places)
{
    assert(fabs(value) < 1e9 && places >= 0 && places <= 6);
    long long unit = 1;
    for (int i = 0; i < places; i++) {
        unit *= 10;
    }
    const long long rounded = llround(value * (double)unit);
    const long long whole = llabs(rounded) / unit;
    long long rest = llabs(rounded) % unit;
    text_add(text, "%s%lld", rounded < 0 ? "-" : "", whole);
    if (rest == 0) {
        return;
    }
    while (rest % 10 == 0) {
        rest /= 10;
        places--;
    }
    text_add(text, ".%0*lld", places, rest);
}
