// A job's offers with the chances that trials give: what the doors ask for. A part of
// plan/plan.h's face, behind plan/buy.h.
#pragma once

#include "buying/choose.h"
#include "plan/buy.h"

enum {
    OFFER_TRIALS_MAX = 1024,   ///< of one purchase, to tell two offers apart
    OTHER_FORM_TRIALS_MAX = 96 ///< of the other form
};

/// Of the progress, what the study takes when the other form and the offers follow it.
#define BUY_STUDY_SHARE 0.6

/// The offers of a job side by side.
typedef struct BuyOffers {
    OfferChoice choice;
    double comfort; ///< that they were compared for
    int drawn;      ///< hides and sides drawn for them
} BuyOffers;

/// Compares the job's offers after plan_buy(): for its comfort and with its trials, of which there
/// are at most as many for one purchase as its order says.
///
/// Result   the same for the same job, order and seed, on any number of threads. A job without
///          offers has an empty choice. After a stop what is known stands.
/// Errors   as offers_choose(). `offers` and its texts live in `keep`.
MUST_CHECK bool plan_buy_offers(const Derived *derived, const BuyAnswer *answer,
                                const Progress *progress, Arena *keep, BuyOffers *offers,
                                Problems *problems);

/// Tries sides in place of whole hides, two for one, or whole hides in place of sides.
///
/// Result   false without a problem when that were more than STUDY_HIDES_MAX pieces, or the
///          user stopped it before a trial was done; *other is then not to be used.
/// Errors   as plan_buy(): false with a problem.
MUST_CHECK bool plan_buy_other_form(const Derived *derived, const BuyAnswer *answer,
                                    const Progress *progress, Arena *keep, Arena *scratch,
                                    BuyAnswer *other, Problems *problems);

/// What stands beside an answer of plan_buy().
typedef struct BuyBeside {
    const BuyAnswer *other_form; ///< or NULL: not tried
    const BuyOffers *offers;     ///< or NULL: none in the job
    bool stopped;                ///< the user wanted no more
} BuyBeside;

/// The offers, then the other form, which a stop in the first leaves out.
///
/// Errors   of both: false.
MUST_CHECK bool plan_buy_beside(const Derived *derived, const BuyAnswer *answer,
                                const Progress *progress, Arena *keep, Arena *scratch,
                                BuyBeside *beside, Problems *problems);

/// Members `other_form` and `offers` of the document of `buy`, each null when there is none;
/// `beside` may be NULL.
void plan_buy_beside_json(const Derived *derived, const BuyAnswer *answer, const BuyBeside *beside,
                          Json *json);

/// An amount in the job's currency, as digits alone: `717.09`.
const char *plan_amount_text(const Derived *derived, Money money, Arena *keep);

/// Sides instead of the whole hides that were asked for, or the reverse, as sentences.
const char *plan_other_form_text(const BuyAnswer *answer, const BuyAnswer *other, AreaUnit unit,
                                 Arena *keep);

/// Of the offer at a place of the ranking, as sentences: what of it is bought, its bill, where its
/// chance comes from, what falling short costs, why it falls behind the first, at which price it
/// would be first.
const char *plan_offer_text(const Derived *derived, const BuyOffers *offers, int which,
                            Arena *keep);

/// Which offer is first and how sure that is, as sentences; what was left out.
const char *plan_choice_text(const Derived *derived, const BuyOffers *offers, Arena *keep);
