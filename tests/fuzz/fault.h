// How a target says that a property does not hold, and what holds of every refusal.
#pragma once

#include "base/problem.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { ARENA_BYTES = 512 << 20 };

static inline void fault(const char *what, const char *text)
{
    (void)fprintf(stderr, "%s\n%s\n", what, text ? text : "");
    abort();
}

/// Aborts unless there is a mistake, and each problem says what was found and where: at a place
/// that begins with `source`.
static inline void check_problems(const Problems *problems, const char *source)
{
    if (problems->mistakes == 0) {
        fault("refused without a reason", NULL);
    }
    for (int i = 0; i < problems->count; i++) {
        const Problem *problem = &problems->items[i];
        if (!problem->found || !problem->where ||
            strncmp(problem->where, source, strlen(source)) != 0) {
            fault("a problem does not say where or what", problem->where);
        }
    }
}
