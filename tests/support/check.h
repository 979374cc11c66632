// What every test file includes instead of cmocka itself: its headers in the right
// order, comparisons in double, and arenas for tests.
#pragma once

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/problem.h"

// cmocka's own assert_float_equal casts to float and would hide errors below 1e-7.
#define CHECK_NEAR(found, wanted, tolerance)                                                       \
    check_near((found), (wanted), (tolerance), #found, __FILE__, __LINE__)

static inline void check_near(double found, double wanted, double tolerance, const char *what,
                              const char *file, int line)
{
    if (!(fabs(found - wanted) <= tolerance)) {
        print_error("%s is %.15g, not %.15g +- %g\n", what, found, wanted, tolerance);
        _fail(file, line);
    }
}

// How many random cases a property test takes: a fifth of them under the sanitizers, which are some
// five times slower. STRIDE times as far apart are the moments at which a test stops some work.
#if defined(__has_feature)
#if __has_feature(address_sanitizer)
#define TRIALS_OF(plain) ((plain) / 5)
enum { STRIDE = 3 };
#endif
#endif
#ifndef TRIALS_OF
#define TRIALS_OF(plain) (plain)
enum { STRIDE = 1 };
#endif

enum { TEST_ARENA_BYTES = 256 << 20 };

/// Set-up and tear-down: *state is an Arena.
static inline int make_arena(void **state)
{
    *state = arena_create("test", TEST_ARENA_BYTES);
    return *state ? 0 : -1;
}

static inline int drop_arena(void **state)
{
    arena_destroy(*state);
    return 0;
}

#define TEST_IN_ARENA(function) cmocka_unit_test_setup_teardown(function, make_arena, drop_arena)
