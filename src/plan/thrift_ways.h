// The changes that `buy --thrift` tries: private to plan.
#pragma once

#include "buying/thrift.h"
#include "plan/plan.h"

typedef struct ThriftWay {
    const char *change;
    const char *cost;
    ThriftOption option;
} ThriftWay;

/// The first step of each change that the job leaves open; `study` is of the job itself. The
/// number is the result, at most THRIFT_OPTIONS_MAX. All lives in `keep`.
/// Errors   as the study's draw, of whose hides some tell which flaws there are at all.
MUST_CHECK bool thrift_ways(const Derived *derived, const Study *study, Arena *keep, Arena *scratch,
                            ThriftWay *ways, int *count, Problems *problems);
