// Will it be enough? Covers laid on hides that are drawn at random, many times.
//
// Each trial draws the same hide in every size and finds, by halving, from which stamped area
// on all covers have room on it. So one trial tells about all areas at once, and all forms and
// changes see the same hides (common random numbers). Method and figures: docs/buying.md.
#pragma once

#include "base/progress.h"
#include "buying/tally.h"
#include "cutting/room.h"
#include "hide/population.h"

enum {
    STUDY_HIDES_MAX = 20, ///< of one purchase
    STUDY_TRIALS_MAX = 1000000,
    STUDY_BATCH = 32, ///< trials between two looks at what is known
};

/// Which hide is wanted of a population.
typedef struct HideAsked {
    HideForm form; ///< whole or side
    double stamped_mm2;
    uint64_t seed;
    uint64_t trial;
    int number; ///< 0 for the first hide of the trial, and so on
    const HideGrade *grade;
} HideAsked;

/// Draws a hide. The same one in each size and form for the same seed, trial and number.
typedef bool DrawHide(void *context, const HideAsked *asked, Arena *keep, Arena *scratch,
                      Hide *hide, Problems *problems);

struct StudyAnswer;

/// Somebody who looks on: told what is known so far after each batch of trials, the first time
/// after a coarse one, on the thread that runs the study.
typedef struct StudyWatch {
    void (*told)(void *context, const struct StudyAnswer *so_far);
    void *context;
} StudyWatch;

typedef struct Study {
    const CoverDemand *demands;
    int demand_count;
    const LayingRules *rules;
    HideForm form; ///< HIDE_WHOLE or HIDE_SIDE
    int hides;     ///< bought together, all of one stamped area
    const HideGrade *grade;
    DrawHide *draw;
    void *context; ///< of `draw`
    RoomCare care;
    uint64_t seed;
    double comfort;   ///< the chance that the user wants, 0.5 to 0.99
    double precision; ///< ends when the area for it is known to this share either way, with
                      ///< 95 % confidence; 0: only after all trials
    int trials;       ///< at most; 1 to STUDY_TRIALS_MAX
    int threads;
    int shard;               ///< 0 to shards - 1: only trials k with k % shards == shard are told
    int shards;              ///< 1 or more
    const StudyWatch *watch; ///< NULL: nobody
} Study;

typedef struct StudyAnswer {
    Tally tally;
    AreaFor area; ///< for the comfort
    bool precise; ///< as precise as wanted
    bool stopped; ///< the user wanted no more
} StudyAnswer;

/// Runs the trials.
///
/// Result   the same for the same study on any number of threads. The tallies of all shards
///          together are that of the same study in one, without a precision.
/// Errors   as cutting_lay(); PROBLEM_CANCELLED when it was stopped before a first trial was
///          done. Later a stop keeps the trials that are done.
MUST_CHECK bool study_run(const Study *study, const Progress *progress, Arena *scratch,
                          StudyAnswer *answer, Problems *problems);

/// A first look: in how many of a study's trials an area is enough.
typedef struct StudyGlance {
    int trials;
    int enough;   ///< of these
    bool decided; ///< ended before all trials, since the comfort cannot be reached any more
    bool stopped; ///< the user wanted no more
} StudyGlance;

/// Looks once for room in each of the study's trials, of all shards; `step` as in a Tally.
///
/// Result   the same on any number of threads.
/// Errors   as study_run() but for the stop.
MUST_CHECK bool study_glance(const Study *study, int step, const Progress *progress, Arena *scratch,
                             StudyGlance *glance, Problems *problems);
