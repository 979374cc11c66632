// Trials on several threads, each with covers that are got ready once. Private to the module.
#pragma once

#include "base/workers.h"
#include "cutting/room.h"

/// The covers that trials are made with, and for what hides they are got ready. Zeros: nobody
/// has begun; ended by trial_crew_end().
typedef struct TrialCrew {
    const CoverDemand *demands;
    int demand_count;
    const LayingRules *rules;
    RoomStock stock;
    int threads;
    RoomCovers covers[WORKERS_MAX]; ///< of each thread, from its first trial on
} TrialCrew;

/// What a trial has at hand.
typedef struct TrialHand {
    const RoomCovers *covers;
    const Progress *progress;
    Problems *problems; ///< its own
} TrialHand;

/// Trials to be run, all of one kind.
typedef struct TrialLot {
    void (*run)(void *context, int index, const TrialHand *hand);
    void *context;
    const uint64_t *numbers; ///< of the trials, for messages
    int count;
} TrialLot;

/// Runs each of a lot once, in any order. A stop leaves out those that were not begun.
///
/// Errors   false with the first mistake of the first trial that had one; a stop is none.
MUST_CHECK bool trial_crew_run(TrialCrew *crew, TrialLot lot, const Progress *progress,
                               Arena *scratch, Problems *problems);

void trial_crew_end(TrialCrew *crew);
