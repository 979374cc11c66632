// Buying for somebody who looks on: what the workshop's pages ask for.
#pragma once

#include "plan/buy_offers.h"

/// What is asked of a job's leather.
typedef enum BuyQuestion {
    BUY_HOW_MUCH, ///< how much to ask for; the other form and the offers
    BUY_THRIFT,   ///< which change saves most
    BUY_SPLIT,    ///< one hide or several
} BuyQuestion;

typedef struct BuyAsked {
    BuyOrder order;
    BuyQuestion question;
    bool no_offers; ///< leaves out the other form and the offers
} BuyAsked;

/// Who looks on.
typedef struct BuyWatch {
    /// Called with the document of `buy` as far as it is known, each time the curve has become
    /// sharper; on the thread that asks. NULL: not wanted. Only of BUY_HOW_MUCH.
    void (*sharper)(void *context, const char *json);
    void *context;
    const Progress *progress;
} BuyWatch;

/// What came of it.
typedef struct BuyServed {
    const char *json; ///< the document of `buy --json` with the same options
    bool stopped;     ///< what is in it was known when the user wanted no more
} BuyServed;

/// plan_buy() with what stands beside it, plan_buy_thrift() or plan_buy_split().
///
/// Errors   as those: false.
MUST_CHECK bool plan_buy_served(const Derived *derived, const BuyAsked *asked,
                                const BuyWatch *watch, Arena *keep, Arena *scratch,
                                BuyServed *served, Problems *problems);
