// What single change of covers or rules would save most leather. A part of plan/plan.h's face,
// behind plan/buy.h.
#pragma once

#include "buying/thrift.h"
#include "plan/buy.h"

/// One change, and what it brings.
typedef struct BuySaving {
    const char *change; ///< in words
    const char *cost;   ///< what it costs, in words; no money
    ThriftTold told;
    Money money; ///< what the saving is worth, as priced
} BuySaving;

/// What leather costs where the job says it: the lowest price by area for the form.
typedef struct BuyRate {
    const char *from; ///< the offer or hide; NULL: the job has no price
    Money each;       ///< for 1 ft²
} BuyRate;

typedef struct BuyThrift {
    BuyAnswer asked; ///< the order and covers; there is no study in it
    ThriftAnswer answer;
    BuySaving *savings; ///< what saves most comes first, what may be luck behind all others
    int count;
    BuyRate rate;
} BuyThrift;

/// Tries single changes of the job, each on the same drawn hides as the job itself.
///
/// Changes  those of cutting/fit but for other hides, a turn window wider by 5 degrees; the tack
///          line nearer to the edge at the back; the largest cover left out. What drawn hides do
///          not have is not offered. Of each the first step.
/// Result   the same for the same job, order and seed, on any number of threads; in `keep`.
///          order.trials: pairs, at most THRIFT_PAIRS_MAX; 0: THRIFT_PAIRS_USUAL.
/// Errors   as plan_buy() and thrift_run().
MUST_CHECK bool plan_buy_thrift(const Derived *derived, const BuyOrder *order,
                                const Progress *progress, Arena *keep, Arena *scratch,
                                BuyThrift *thrift, Problems *problems);

/// The document of `buy --thrift --json`.
void plan_buy_thrift_json(const Derived *derived, const BuyThrift *thrift, Text *text);
