// What would save leather: a study's covers and rules against changed ones, on the same hides.
//
// What counts is the area that is enough as often as wanted, and a small change moves it by as much
// as it moves, on average, the need of those trials whose need is about that area. So the hides
// that need about as much are picked out, by a search of their own, and on each the need is found
// with and without the change, by another search, so that those picked for their bad luck have
// no better luck against the change than with it.
// Source   sensitivity of a quantile: L. J. Hong, Operations Research 57 (2009), 118-130.
#pragma once

#include "buying/study.h"

enum {
    THRIFT_PAIRS_USUAL = 48,
    THRIFT_PAIRS_MAX = 2000,
    THRIFT_OPTIONS_MAX = 64,
    THRIFT_BATCH = 12,    ///< pairs between two looks at what is known
    THRIFT_DRAWN_EACH = 4 ///< trials drawn for each pair that is picked
};

/// A change, as the trials see it. The rest is the study's.
typedef struct ThriftOption {
    const CoverDemand *demands;
    int demand_count;
    const LayingRules *rules;
} ThriftOption;

typedef struct ThriftTask {
    const Study *study; ///< without the change; its trials, precision and shards are not used
    const ThriftOption *options;
    int option_count;
    int pairs; ///< for an option, at most
} ThriftTask;

/// What an option saves, of all hides together. Below 0: it takes more.
typedef struct ThriftTold {
    int pairs;
    double mean_mm2;
    double low_mm2; ///< these hold for all options together with 95 % confidence
    double high_mm2;
    bool saves;    ///< low is above 0: more than luck
    bool given_up; ///< no more pairs were tried: it saves less than half a square foot on a hide
} ThriftTold;

typedef struct ThriftAnswer {
    int drawn; ///< trials that were drawn to pick from
    int picked;
    double from_mm2; ///< the least and the greatest need of those picked, of one hide
    double to_mm2;
    ThriftTold *told; ///< one for each option
    bool stopped;
} ThriftAnswer;

/// Compares. `told` lives in `keep`.
///
/// Result   the same on any number of threads. A stop keeps the pairs that are done.
/// Errors   as study_run(); PROBLEM_CANCELLED when it was stopped before a first pair.
MUST_CHECK bool thrift_run(const ThriftTask *task, const Progress *progress, Arena *keep,
                           Arena *scratch, ThriftAnswer *answer, Problems *problems);

/// What a standard deviation must be times with: the number that Student's t with `freedom`
/// degrees of freedom stays below with probability `share`, 0.5 < share < 1, freedom >= 1.
/// Accuracy 0.2 % from 10 degrees on and up to 0.999; coarse below.
/// Source   Abramowitz and Stegun, Handbook of Mathematical Functions, 1964, 26.7.5.
double student_quantile(double share, int freedom);

/// Mean and simultaneous interval of differences in steps, for so many comparisons at once.
///
/// Method   Student's interval with Bonferroni's correction. Needs are known to a step, so the
///          deviation counts as no less than that of two roundings.
ThriftTold thrift_told(const int *differences, int count, int comparisons, double step_mm2);
