// What the benches of instances are asked for, and which instances that means.
#pragma once

#include "base/problem.h"

enum { INSTANCES_MAX = 200, SEEDS_MAX = 1000, THREADS_MAX = 64 };

/// Begin with the defaults. What is 0 or NULL there (but for `data` and `instances`) is no
/// option.
typedef struct Options {
    const char *data;
    const char *instances; // names with commas between; NULL: all of the folder
    const char *out;
    const char *aim;
    const char *flaws; // how those of a hide are taken
    double least_m2;   // pieces that are smaller are left out
    double seconds;
    int seeds;
    int first;   // the first seed
    int threads; // of one run
    int beside;  // runs side by side
} Options;

typedef struct InstanceNames {
    const char **items;
    int count;
} InstanceNames;

/// Errors   an unknown option, a value out of range.
MUST_CHECK bool options_read(int count, char **words, Options *options, Problems *problems);

/// The names asked for, or all of the folder in their order.
MUST_CHECK bool instance_names(const Options *options, Arena *keep, InstanceNames *names,
                               Problems *problems);

const char *instance_path(const Options *options, const char *name, Arena *keep);

/// To the error stream. Returns the exit status.
int problems_print(const Problems *problems);
