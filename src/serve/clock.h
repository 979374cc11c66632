// The clocks, in milliseconds.
#pragma once

#include <stdint.h>
#include <time.h>

static inline int64_t clock_ms(clockid_t clock)
{
    struct timespec now;
    (void)clock_gettime(clock, &now);
    return (int64_t)now.tv_sec * 1000 + now.tv_nsec / 1000000;
}

/// For how long something takes: whoever sets the date does not change it.
static inline int64_t steady_ms(void)
{
    return clock_ms(CLOCK_MONOTONIC);
}

/// Since 1970.
static inline int64_t date_ms(void)
{
    return clock_ms(CLOCK_REALTIME);
}
