#include "buying/compare.h"

#include <assert.h>
#include <math.h>
#include <string.h>

// An offer with its ways; `priced` is a copy, so that other prices can be tried.
typedef struct Entry {
    const Offer *offer;
    Offer priced;
    Candidate ways[CANDIDATES_MAX];
    int way_count;
    bool other_kind;
} Entry;

typedef struct Comparison {
    Entry *entries;
    int count;
} Comparison;

static Bill bill_of(const Entry *entry, const Purchase *purchase, BillCase bill_case)
{
    Purchase at_price = *purchase;
    at_price.offer = &entry->priced;
    return purchase_bill(&at_price, bill_case);
}

// Further orders are as dear as these would be by themselves.
static Money second_of(const Entry *entry, const Purchase *further)
{
    return bill_of(entry, further, BILL_EXPECTED).total;
}

// The dependence of s(n) on what further orders cost is left to the caller's prices.
static double when_short(const Entry *entry, const Candidate *way, Money anew, Money refund)
{
    const double match = lot_match_chances[entry->priced.lot_match];
    double after = (double)anew; // behind the last order nothing goes back
    for (int n = way->further_count - 1; n >= 0; n--) {
        const double short_now = 1 - way->chance[n];
        const double short_then = 1 - way->chance[n + 1];
        const double still = short_now > 0 ? fmin(1, fmax(0, short_then / short_now)) : 0;
        const double second = (double)second_of(entry, &way->further[n]);
        after = match * (second + still * after) + (1 - match) * (double)(anew - refund);
    }
    return way->further_count > 0 ? after : (double)(anew - refund);
}

static OfferCost cost_of_way(const Entry *entry, const Candidate *way, Money anew)
{
    OfferCost cost = {.offer = entry->offer,
                      .way = *way,
                      .ways = entry->ways,
                      .way_count = entry->way_count,
                      .match = lot_match_chances[entry->priced.lot_match],
                      .other_kind = entry->other_kind};
    for (int c = 0; c < BILL_CASE_COUNT; c++) {
        cost.bill[c] = bill_of(entry, &way->purchase, (BillCase)c);
    }
    const Money landed = cost.bill[BILL_EXPECTED].total;
    cost.anew = anew > 0 ? anew : landed;
    Purchase at_price = way->purchase;
    at_price.offer = &entry->priced;
    cost.refund = purchase_refund(&at_price, &cost.bill[BILL_EXPECTED]);
    if (way->further_count > 0) {
        cost.second = second_of(entry, &way->further[0]);
    }
    const double extra = when_short(entry, way, cost.anew, cost.refund);
    cost.when_short = (Money)llround(extra);
    cost.expected = landed + (Money)llround((1 - way->chance[0]) * extra);
    return cost;
}

// The cheapest bill of all ways that reach the comfort; 0: none does.
static Money anew_of(const Comparison *comparison)
{
    Money least = 0;
    for (int i = 0; i < comparison->count; i++) {
        const Entry *entry = &comparison->entries[i];
        for (int w = 0; w < entry->way_count; w++) {
            const Candidate *way = &entry->ways[w];
            const Money total = bill_of(entry, &way->purchase, BILL_EXPECTED).total;
            if (way->reaches && (least == 0 || total < least)) {
                least = total;
            }
        }
    }
    return least;
}

static OfferCost best_way(const Entry *entry, Money anew)
{
    OfferCost best = cost_of_way(entry, &entry->ways[0], anew);
    for (int w = 1; w < entry->way_count; w++) {
        const OfferCost cost = cost_of_way(entry, &entry->ways[w], anew);
        if (cost.expected < best.expected) {
            best = cost;
        }
    }
    return best;
}

// True when the first comes before the second for certain; equal ones stay as listed.
static bool is_better(const OfferCost *a, const OfferCost *b)
{
    if (a->way.reaches != b->way.reaches) {
        return a->way.reaches;
    }
    if (a->other_kind != b->other_kind) {
        return b->other_kind;
    }
    return a->expected < b->expected;
}

// Which offer is first.
static int winner_of(const Comparison *comparison)
{
    const Money anew = anew_of(comparison);
    int best = 0;
    OfferCost best_cost = best_way(&comparison->entries[0], anew);
    for (int i = 1; i < comparison->count; i++) {
        const OfferCost cost = best_way(&comparison->entries[i], anew);
        if (is_better(&cost, &best_cost)) {
            best = i;
            best_cost = cost;
        }
    }
    return best;
}

static bool wins_at(const Comparison *comparison, int which, Money price)
{
    Offer *priced = &comparison->entries[which].priced;
    const Money asked = priced->price;
    priced->price = price;
    const bool wins = winner_of(comparison) == which;
    priced->price = asked;
    return wins;
}

// No price of a document in minor units is beyond this.
static const Money PRICE_BEYOND = (Money)MONEY_PRICE_MAX * 1000;

// The greatest price at which an offer is first; 0: at none.
static Money price_to_win(const Comparison *comparison, int which)
{
    Money wins = 0;
    Money loses = PRICE_BEYOND + 1;
    while (loses - wins > 1) {
        const Money middle = wins + (loses - wins) / 2;
        if (wins_at(comparison, which, middle)) {
            wins = middle;
        } else {
            loses = middle;
        }
    }
    return wins;
}

bool offer_always_wins(const OfferCost *cost)
{
    return cost->price_to_win >= PRICE_BEYOND;
}

static void insert(OfferRanking *ranking, OfferCost cost)
{
    int at = ranking->count++;
    while (at > 0 && is_better(&cost, &ranking->items[at - 1])) {
        ranking->items[at] = ranking->items[at - 1];
        at--;
    }
    ranking->items[at] = cost;
}

OfferRanking offers_compare(const Offer *const *offers, int count, const BuyingWish *wish,
                            Arena *keep)
{
    assert(count <= OFFERS_COMPARED_MAX);
    Comparison comparison = {.entries = ARENA_ARRAY(keep, Entry, count + 1)};
    for (int i = 0; i < count; i++) {
        Entry *entry = &comparison.entries[comparison.count];
        *entry = (Entry){.offer = offers[i], .priced = *offers[i]};
        entry->other_kind =
            wish->kind >= 0 && offers[i]->kind >= 0 && wish->kind != offers[i]->kind;
        entry->way_count = offer_candidates(offers[i], wish, keep, entry->ways);
        comparison.count += entry->way_count > 0;
    }
    OfferRanking ranking = {.items = ARENA_ARRAY(keep, OfferCost, count + 1)};
    const Money anew = anew_of(&comparison);
    for (int i = 0; i < comparison.count; i++) {
        OfferCost cost = best_way(&comparison.entries[i], anew);
        cost.price_to_win = price_to_win(&comparison, i);
        insert(&ranking, cost);
    }
    return ranking;
}
