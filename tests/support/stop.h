// A progress that asks for a stop after some reports, and looks at what is reported.
#pragma once

#include "support/check.h"

typedef struct Stop {
    int calls;
    int after;
} Stop;

static inline bool stop_after(void *context, const char *what, double share)
{
    Stop *stop = context;
    assert_non_null(what);
    assert_true(share >= 0 && share <= 1);
    return stop->calls++ < stop->after;
}
