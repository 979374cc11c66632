// The ways to buy of an offer.
#include "buying/compare.h"

#include <assert.h>

static double chance_of_purchase(const BuyingWish *wish, const Purchase *purchase)
{
    if (purchase_area_mm2(purchase, BILL_LOW) < wish->least_mm2) {
        return 0;
    }
    return wish->chance(wish->context, purchase);
}

// Of an offer under study. For stamped pieces `sorted` holds their indices, small to large.
typedef struct Stock {
    const Offer *offer;
    const BuyingWish *wish;
    Arena *keep;
    int *sorted;
    double goal; // the chance that a way should reach
} Stock;

static void sort_pieces(Stock *stock)
{
    const Offer *offer = stock->offer;
    stock->sorted = ARENA_ARRAY(stock->keep, int, offer->piece_count + 1);
    for (int i = 0; i < offer->piece_count; i++) {
        int at = i;
        while (at > 0 &&
               offer->pieces[stock->sorted[at - 1]].stamped_mm2 > offer->pieces[i].stamped_mm2) {
            stock->sorted[at] = stock->sorted[at - 1];
            at--;
        }
        stock->sorted[at] = i;
    }
}

// `count` pieces; stamped ones from the `first` of the sorted ones on.
static Purchase take(const Stock *stock, int count, int first)
{
    Purchase purchase = {
        .offer = stock->offer, .count = count, .thickness_mm = stock->wish->thickness_mm};
    if (stock->offer->piece_count > 0) {
        assert(first >= 0 && first + count <= stock->offer->piece_count);
        purchase.chosen = stock->sorted + first;
    }
    return purchase;
}

static Purchase take_largest(const Stock *stock, int count)
{
    return take(stock, count, stock->offer->piece_count - count);
}

static bool reaches(const Stock *stock, Purchase purchase)
{
    return chance_of_purchase(stock->wish, &purchase) >= stock->goal;
}

// The fewest pieces, the largest of them, that reach the comfort: doubled until they do,
// then halved in between. 0: none do.
static int fewest_that_reach(const Stock *stock)
{
    const int most = offer_most(stock->offer);
    int failed = offer_fewest(stock->offer) - 1;
    int count = failed + 1;
    while (count < most && !reaches(stock, take_largest(stock, count))) {
        failed = count;
        count = 2 * count < most ? 2 * count : most;
    }
    if (count == most && !reaches(stock, take_largest(stock, most))) {
        return 0;
    }
    while (count - failed > 1) {
        const int middle = failed + (count - failed) / 2;
        if (reaches(stock, take_largest(stock, middle))) {
            count = middle;
        } else {
            failed = middle;
        }
    }
    return count;
}

// So many pieces that reach the comfort: of stamped ones the smallest neighbours that do.
static Purchase smallest_that_reach(const Stock *stock, int count)
{
    const Offer *offer = stock->offer;
    if (offer->piece_count == 0 || offer->per == PRICE_PER_PIECE) {
        return take_largest(stock, count);
    }
    int failed = -1;
    int first = offer->piece_count - count;
    while (first - failed > 1) {
        const int middle = failed + (first - failed) / 2;
        if (reaches(stock, take(stock, count, middle))) {
            first = middle;
        } else {
            failed = middle;
        }
    }
    return take(stock, count, first);
}

// The stamped pieces that were not taken, the largest first.
static int pieces_left(const Stock *stock, const Purchase *purchase, int *left)
{
    int count = 0;
    for (int i = stock->offer->piece_count - 1; i >= 0; i--) {
        bool taken = false;
        for (int k = 0; k < purchase->count; k++) {
            taken = taken || purchase->chosen[k] == stock->sorted[i];
        }
        if (!taken) {
            left[count++] = stock->sorted[i];
        }
    }
    return count;
}

// What could be ordered when a way falls short, each time as little as is sold.
static void add_further(const Stock *stock, Candidate *candidate)
{
    const Offer *offer = stock->offer;
    const int each = offer_fewest(offer);
    int *all = NULL;
    int *left = NULL;
    int room = OFFER_BUY_MAX - candidate->purchase.count;
    if (offer->piece_count > 0) {
        assert(candidate->purchase.chosen);
        all = ARENA_ARRAY(stock->keep, int, offer->piece_count);
        for (int i = 0; i < candidate->purchase.count; i++) {
            all[i] = candidate->purchase.chosen[i];
        }
        left = all + candidate->purchase.count;
        room = pieces_left(stock, &candidate->purchase, left);
    }
    Purchase together = candidate->purchase;
    together.chosen = all;
    while (candidate->further_count < FURTHER_ORDERS_MAX && room >= each) {
        Purchase further = take(stock, each, 0);
        further.chosen = left;
        together.count += each;
        left = left ? left + each : NULL;
        room -= each;
        candidate->further[candidate->further_count++] = further;
        candidate->chance[candidate->further_count] = chance_of_purchase(stock->wish, &together);
    }
}

static void make_candidate(const Stock *stock, Purchase purchase, Candidate *candidate)
{
    *candidate = (Candidate){.purchase = purchase};
    candidate->chance[0] = chance_of_purchase(stock->wish, &purchase);
    candidate->reaches = candidate->chance[0] >= stock->wish->comfort;
    add_further(stock, candidate);
}

int offer_candidates(const Offer *offer, const BuyingWish *wish, Arena *keep,
                     Candidate candidates[CANDIDATES_MAX])
{
    Stock stock = {.offer = offer, .wish = wish, .keep = keep, .goal = wish->comfort};
    sort_pieces(&stock);
    const int most = offer_most(offer);
    if (offer_fewest(offer) > most) {
        return 0;
    }
    int fewest = fewest_that_reach(&stock);
    if (fewest == 0) {
        const Purchase all = take_largest(&stock, most);
        if (purchase_area_mm2(&all, BILL_LOW) < wish->least_mm2) {
            return 0;
        }
        // More would not help: as few as have the chance of all.
        stock.goal = chance_of_purchase(wish, &all);
        fewest = fewest_that_reach(&stock);
        make_candidate(&stock, smallest_that_reach(&stock, fewest), &candidates[0]);
        return 1;
    }
    int found = 0;
    for (int count = fewest; count <= most && found < CANDIDATES_MAX; count++) {
        make_candidate(&stock, smallest_that_reach(&stock, count), &candidates[found++]);
    }
    return found;
}
