// Before buying: which leather, and which offer.
//
// Part of the same face as plan.h: the command line and the server call these.
#pragma once

#include "buying/advise.h"
#include "buying/choose.h"
#include "plan/plan.h"

/// Advice with what it was asked for.
typedef struct PlanAdvice {
    AdviceQuestion question;
    ThicknessCheck *checks; ///< one for each seat of the question
    Advice advice;
} PlanAdvice;

/// Which leather for a job. Seats are its kinds, and each chair that differs.
PlanAdvice plan_advise(const Derived *derived, Arena *keep);

/// `pigmented leather with corrected grain, 1.0 to 1.1 mm`.
const char *plan_advice_text(const Derived *derived, const PlanAdvice *advice, Arena *keep);

/// `sun daily, pets at times`; or that nothing is said of it.
const char *plan_household_text(const Derived *derived, Arena *keep);

/// The document of docs/json.md.
void plan_advice_json(const Derived *derived, const PlanAdvice *advice, Text *text);

/// What the job wants of offers; chances are the caller's. No purchase whose leather is less than
/// what stays on the seats is asked for.
BuyingWish plan_buying_wish(const Derived *derived);

/// `2 whole hides`, `by the ladder`, `3 panels`.
const char *plan_purchase_text(const Purchase *purchase, Arena *keep);

/// Members `currency` and `ranking` of a document that has been begun: docs/json.md. `sure` has
/// one for each of the ranking, or is NULL.
void plan_offers_json(const Derived *derived, const OfferRanking *ranking, const OfferSure *sure,
                      Json *json);
