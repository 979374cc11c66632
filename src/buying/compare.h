// Offers side by side: what each comes to with the risk of falling short in it, which is
// cheapest for the buyer's comfort, and at what price another would win.
//
// Falling short is found before the first cut, when the covers are laid out on what came.
// Then a second order may match in shade, or all is bought anew. docs/buying.md writes the
// sums out. Method: ours, plain expected values.
#pragma once

#include "buying/offer.h"

/// The chance (0 to 1) that a purchase holds all covers, each piece at its low end. Asked
/// a few times for each offer, in a fixed order.
///
/// Must not fall when pieces are added or larger; where a simulation's noise makes it do
/// so, the answer is still one of the purchases that were asked for.
typedef double PurchaseChance(void *context, const Purchase *purchase);

/// What offers are compared for.
typedef struct BuyingWish {
    PurchaseChance *chance;
    void *context;
    double comfort;      ///< 0.5 to 0.99
    double least_mm2;    ///< purchases of less area are never enough, and not asked for
    double thickness_mm; ///< of the leather, where an offer does not say it
    int kind;            ///< LeatherKind wanted, or -1
} BuyingWish;

enum { FURTHER_ORDERS_MAX = 3, CANDIDATES_MAX = 3, OFFERS_COMPARED_MAX = 20 };

/// A way to buy of an offer, and what may follow.
typedef struct Candidate {
    Purchase purchase;
    Purchase further[FURTHER_ORDERS_MAX]; ///< if it falls short: one order after the other
    int further_count;
    double chance[FURTHER_ORDERS_MAX + 1]; ///< enough as bought, with one further order, ...
    bool reaches;                          ///< the comfort, as bought
} Candidate;

/// What an offer comes to, bought in the way that costs least.
typedef struct OfferCost {
    const Offer *offer;
    Candidate way;
    const Candidate *ways; ///< all that were looked at, the way among them
    int way_count;
    Bill bill[BILL_CASE_COUNT];
    double match;     ///< chance that a later piece matches
    Money second;     ///< the first further order, as expected; 0: there is none
    Money refund;     ///< for returning what came uncut
    Money anew;       ///< buying everything anew where that is cheapest
    Money when_short; ///< what falling short costs on average, when it happens
    Money expected;   ///< bill as expected, plus what falling short costs times its chance
    bool other_kind;  ///< its leather is not of the kind that is wanted
    /// The greatest price of one `per` at which this offer is first, with all else as it is:
    /// for the first one how far its price may rise, for another how far it has to fall. 0:
    /// at no price; see offer_always_wins().
    Money price_to_win;
} OfferCost;

typedef struct OfferRanking {
    OfferCost *items; ///< best first
    int count;
} OfferRanking;

/// The ways to buy of an offer: the fewest pieces that reach the comfort, and up to two
/// more of them; of stamped pieces the smallest that do, by neighbours in size (the largest,
/// when priced by the piece). When nothing reaches it, one way: the fewest pieces that have
/// the chance of the most.
/// Returns how many, 1 to CANDIDATES_MAX; 0 when nothing has the least area.
int offer_candidates(const Offer *offer, const BuyingWish *wish, Arena *keep,
                     Candidate candidates[CANDIDATES_MAX]);

/// Whether an offer would be first at whatever price.
bool offer_always_wins(const OfferCost *cost);

/// Compares offers.
///
/// Order    those that reach the comfort first, then those of the kind wanted, then by
///          expected cost, then as listed.
/// Left out offers of which no number of pieces has the least area.
/// Anew     the cheapest bill, as expected, of all ways that reach the comfort; where none
///          does, that of the way itself again.
/// Short    what falling short costs on average is s(n) = match (second + r(n) s(n + 1)) +
///          (1 - match) (anew - refund), where r is the chance to be short still; behind the last
///          further order s = anew.
/// Prices   by bisection over whole minor units, with all else as it is.
OfferRanking offers_compare(const Offer *const *offers, int count, const BuyingWish *wish,
                            Arena *keep);
