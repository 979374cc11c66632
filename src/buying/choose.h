// Which offer: offers compared with chances that are found by trials.
//
// All offers are compared with few trials first. More are made for those that might be first,
// until 95 % confidence tells, or as many are made as are allowed. docs/buying.md.
#pragma once

#include "buying/chances.h"
#include "buying/compare.h"

/// How sure it is what an offer comes to.
typedef struct OfferSure {
    ChanceTold told; ///< of the way that the ranking has for it
    Money expected_low;
    Money expected_high; ///< expected cost at either end of the chance's interval, all else alike
} OfferSure;

typedef struct OfferChoice {
    OfferRanking ranking;        ///< best first, with their chances as shares of trials
    const OfferSure *sure;       ///< of each of these
    const Offer *const *untried; ///< stopped before something was known of them
    int untried_count;
    const Offer *const *impossible; ///< no number of their pieces has the least area
    int impossible_count;
    bool certain; ///< none of the others would be first at any chances within the intervals
    bool stopped; ///< the user wanted no more
} OfferChoice;

/// Compares offers as offers_compare() does; `wish` without a chance, which is `chances`.
///
/// Result   the same on any number of threads. A stop leaves out offers that nothing is known
///          of, and what was known of the others stands.
/// Errors   as chances_begin(): false.
MUST_CHECK bool offers_choose(const Offer *const *offers, int count, const BuyingWish *wish,
                              Chances *chances, Arena *keep, OfferChoice *choice);
