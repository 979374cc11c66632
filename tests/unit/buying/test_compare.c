// Offers compared. The chances are tables made for these tests, not a simulation's.
#include "base/random.h"
#include "base/units.h"
#include "buying/compare.h"

#include "offers.h"
#include "support/check.h"

// The chance that so many square feet are enough: the last row that is reached.
typedef struct Row {
    double ft2;
    double chance;
} Row;

typedef struct Chances {
    const Row *rows;
    int count;
    int asked;
} Chances;

static double by_area(void *context, const Purchase *purchase)
{
    Chances *chances = context;
    chances->asked++;
    const double ft2 = purchase_area_mm2(purchase, BILL_LOW) / MM2_PER_FT2;
    double chance = 0;
    for (int i = 0; i < chances->count; i++) {
        chance = ft2 >= chances->rows[i].ft2 - 1e-9 ? chances->rows[i].chance : chance;
    }
    return chance;
}

static const Row one_hide[] = {{40, 0.5}, {48, 0.8}, {52, 0.9}, {55, 0.97}, {90, 1}};

static BuyingWish wish_of(Chances *chances, const Row *rows, int count, double comfort)
{
    *chances = (Chances){.rows = rows, .count = count};
    return (BuyingWish){
        .chance = by_area, .context = chances, .comfort = comfort, .thickness_mm = 1, .kind = -1};
}

// Unseen, 48 ft² at worst is enough 80 times in 100: two are needed, 100 ft² x 9.50 as
// expected, and then it is certain. To choose: 57.75 ft² x 11.00 = 635.25, enough 97
// times in 100; else 0.8 of a second for 52.75 x 11.00 = 580.25 and 0.2 of 635.25 anew,
// 591.25 together; with 3 in 100 of that, 652.99.
static void two_offers_by_hand(void **state)
{
    Chances chances;
    const BuyingWish wish = wish_of(&chances, one_hide, 5, 0.95);
    const Offer a = unseen("unseen", 950);
    const Offer b = to_choose(1100);
    const OfferRanking ranking = offers_compare((const Offer *[]){&a, &b}, 2, &wish, *state);
    assert_int_equal(ranking.count, 2);
    const OfferCost *first = &ranking.items[0];
    assert_ptr_equal(first->offer, &b);
    assert_int_equal(first->way.purchase.count, 1);
    assert_int_equal(first->way.purchase.chosen[0], 0);
    CHECK_NEAR(first->way.chance[0], 0.97, 0);
    assert_int_equal(first->bill[BILL_EXPECTED].total, 63525);
    assert_int_equal(first->second, 58025);
    assert_int_equal(first->anew, 63525);
    assert_int_equal(first->refund, 0);
    assert_int_equal(first->when_short, 59125);
    assert_int_equal(first->expected, 65299);
    const OfferCost *second = &ranking.items[1];
    assert_int_equal(second->way.purchase.count, 2);
    assert_int_equal(second->bill[BILL_LOW].total, 91200);
    assert_int_equal(second->expected, 95000);
    // 100 ft² at 6.52 are 652.00; at 6.53 more than 652.99.
    assert_int_equal(second->price_to_win, 652);
    // 57.75 + 0.03 (0.8 x 52.75 + 0.2 x 57.75) = 59.3625 ft²: 16.00 is less than 950.00,
    // 16.01 is 950.39.
    assert_int_equal(first->price_to_win, 1600);
}

// With returns, 635.25 less 15 % comes back when all is bought anew: 0.8 x 580.25 + 0.2 x
// (635.25 - 539.96) = 483.26.
static void returns_soften_a_mismatch(void **state)
{
    Chances chances;
    const BuyingWish wish = wish_of(&chances, one_hide, 5, 0.95);
    Offer b = to_choose(1100);
    b.returns = (OfferReturns){.taken = true, .kept_share = 0.15};
    const OfferRanking ranking = offers_compare((const Offer *[]){&b}, 1, &wish, *state);
    assert_int_equal(ranking.items[0].refund, 53996);
    assert_int_equal(ranking.items[0].when_short, 48326);
    assert_true(ranking.items[0].price_to_win >= (Money)MONEY_PRICE_MAX * 1000);
}

// 60 in 100 with one hide, 90 with two, 100 with three. One more hide: 475.00, and 1 in 4 of
// those still short; 0.8 (475 + 0.25 x 475) + 0.2 x 475 = 570.00; 475.00 + 0.4 x 570 = 703.
static void several_further_orders(void **state)
{
    static const Row rows[] = {{48, 0.6}, {96, 0.9}, {144, 1}};
    Chances chances;
    const BuyingWish wish = wish_of(&chances, rows, 3, 0.6);
    Offer a = unseen("unseen", 950);
    a.lot_match = LOT_LIKELY;
    const OfferRanking ranking = offers_compare((const Offer *[]){&a}, 1, &wish, *state);
    assert_int_equal(ranking.items[0].way.purchase.count, 1);
    assert_int_equal(ranking.items[0].when_short, 57000);
    assert_int_equal(ranking.items[0].expected, 70300);
}

// One reaches the comfort, but a second trip for 2000.00 is dearer than a hide that may be
// left over. One: 2475 + 0.5 x 2475 = 3712.50. Two: 2950.00.
static void more_at_once_when_the_risk_is_dear(void **state)
{
    static const Row rows[] = {{48, 0.5}, {96, 1}};
    Chances chances;
    const BuyingWish wish = wish_of(&chances, rows, 2, 0.5);
    Offer a = unseen("unseen", 950);
    a.trip.fare = 200000;
    a.lot_match = LOT_HELD;
    const OfferRanking ranking = offers_compare((const Offer *[]){&a}, 1, &wish, *state);
    assert_int_equal(ranking.items[0].way.purchase.count, 2);
    assert_int_equal(ranking.items[0].expected, 295000);
}

static void the_smallest_stamped_pieces_that_reach(void **state)
{
    static const OfferPiece pieces[] = {{NULL, FT2(61.5)}, {NULL, FT2(54.25)}, {NULL, FT2(57.75)},
                                        {NULL, FT2(56)},   {NULL, FT2(44)},    {NULL, FT2(46)}};
    Chances chances;
    const BuyingWish wish = wish_of(&chances, one_hide, 5, 0.95);
    Offer offer = to_choose(1000);
    offer.pieces = pieces;
    offer.piece_count = 6;
    Candidate ways[CANDIDATES_MAX];
    assert_int_equal(offer_candidates(&offer, &wish, *state, ways), 3);
    assert_int_equal(ways[0].purchase.count, 1);
    assert_int_equal(ways[0].purchase.chosen[0], 3); // 56
    assert_int_equal(ways[1].purchase.count, 2);
    assert_int_equal(ways[1].purchase.chosen[0], 4); // 44 + 46
    assert_int_equal(ways[1].purchase.chosen[1], 5);
    assert_int_equal(ways[0].further_count, 3);
    assert_int_equal(ways[0].further[0].chosen[0], 0); // the largest that is left
    assert_int_equal(ways[0].further[1].chosen[0], 2);
    // By the piece all cost the same: the largest one.
    offer.per = PRICE_PER_PIECE;
    assert_int_equal(offer_candidates(&offer, &wish, *state, ways), 3);
    assert_int_equal(ways[0].purchase.chosen[0], 0);
}

// Too small for the least area: not asked for, and an offer of which nothing has it is out.
static void the_least_area_is_never_asked_for(void **state)
{
    Chances chances;
    BuyingWish wish = wish_of(&chances, one_hide, 5, 0.5);
    wish.least_mm2 = FT2(49);
    const Offer a = unseen("unseen", 950);
    Offer b = to_choose(1100);
    b.piece_count = 1;
    static const OfferPiece small[] = {{NULL, FT2(48)}};
    b.pieces = small;
    const OfferRanking ranking = offers_compare((const Offer *[]){&a, &b}, 2, &wish, *state);
    assert_int_equal(ranking.count, 1);
    assert_int_equal(ranking.items[0].way.purchase.count, 2);
}

static void what_does_not_reach_or_is_another_kind_comes_last(void **state)
{
    Chances chances;
    BuyingWish wish = wish_of(&chances, one_hide, 5, 0.95);
    wish.kind = LEATHER_ANILINE;
    Offer cheap = to_choose(100);
    cheap.piece_count = 1;
    cheap.pieces = rack + 1; // 52.75: 90 in 100
    Offer other = to_choose(200);
    other.kind = LEATHER_PIGMENTED;
    const Offer dear = to_choose(5000);
    const OfferRanking ranking =
        offers_compare((const Offer *[]){&cheap, &other, &dear}, 3, &wish, *state);
    assert_ptr_equal(ranking.items[0].offer, &dear);
    assert_ptr_equal(ranking.items[1].offer, &other);
    assert_true(ranking.items[1].other_kind);
    assert_ptr_equal(ranking.items[2].offer, &cheap);
    assert_false(ranking.items[2].way.reaches);
    assert_int_equal(ranking.items[2].price_to_win, 0);
    assert_true(ranking.items[0].price_to_win >= (Money)MONEY_PRICE_MAX * 1000);
}

// 120 covers, one panel each: found by doubling and halving, not by asking 120 times.
static void many_panels_are_found_quickly(void **state)
{
    static const Row rows[] = {{600, 1}};
    Chances chances;
    const BuyingWish wish = wish_of(&chances, rows, 1, 0.95);
    const Offer panels = {.name = "panels",
                          .form = HIDE_PANEL,
                          .price = 6000,
                          .per = PRICE_PER_PIECE,
                          .panel_length_mm = 26 * MM_PER_IN,
                          .panel_width_mm = 28 * MM_PER_IN,
                          .kind = -1};
    Candidate ways[CANDIDATES_MAX];
    assert_int_equal(offer_candidates(&panels, &wish, *state, ways), 3);
    // 26 x 28 in are 5.0556 ft²: 119 of them.
    assert_int_equal(ways[0].purchase.count, 119);
    assert_true(chances.asked < 60);
}

// --- Properties -----------------------------------------------------------------------

enum { RANDOM_OFFERS = 4 };

typedef struct Draw {
    Row rows[8];
    OfferPiece pieces[RANDOM_OFFERS][6];
    Offer offers[RANDOM_OFFERS];
} Draw;

static Offer random_offer(Random *random, OfferPiece *pieces)
{
    Offer offer = unseen("drawn", 1 + random_below(random, 3000));
    offer.per = random_below(random, 3) ? PRICE_PER_FT2 : PRICE_PER_PIECE;
    offer.price *= offer.per == PRICE_PER_PIECE ? 50 : 1;
    offer.area_mm2[0] = random_between(random, FT2(20), FT2(60));
    offer.area_mm2[1] = offer.area_mm2[0] * random_between(random, 1, 1.2);
    if (random_below(random, 2)) {
        offer.area_mm2[0] = offer.area_mm2[1] = 0;
        offer.pieces = pieces;
        offer.piece_count = 1 + random_below(random, 6);
        for (int i = 0; i < offer.piece_count; i++) {
            pieces[i] = (OfferPiece){NULL, random_between(random, FT2(20), FT2(70))};
        }
    }
    offer.minimum_pieces = 1 + (random_below(random, 4) == 0);
    offer.shipping.flat = random_below(random, 5000);
    offer.trip.fare = random_below(random, 2) ? random_below(random, 20000) : 0;
    offer.tax = random_below(random, 2) * 0.2;
    offer.lot_match = (LotMatch)random_below(random, LOT_MATCH_COUNT);
    offer.returns = (OfferReturns){random_below(random, 2) == 1, random_share(random), 500};
    return offer;
}

static void draw(Random *random, Draw *drawn)
{
    double ft2 = 15;
    double chance = 0;
    for (int i = 0; i < 8; i++) {
        ft2 += random_between(random, 1, 20);
        chance += (1 - chance) * random_share(random);
        drawn->rows[i] = (Row){ft2, i == 7 ? 1 : chance};
    }
    for (int i = 0; i < RANDOM_OFFERS; i++) {
        drawn->offers[i] = random_offer(random, drawn->pieces[i]);
    }
}

// docs/buying.md, "What an offer comes to", from the last further order back to the first.
static double when_short(const OfferCost *cost)
{
    const Candidate *way = &cost->way;
    const double all_anew = (double)(cost->anew - cost->refund);
    double then = (double)cost->anew;
    for (int n = way->further_count; n > 0; n--) {
        const double now = 1 - way->chance[n - 1];
        const double still = now > 0 ? (1 - way->chance[n]) / now : 0;
        const double second = (double)purchase_bill(&way->further[n - 1], BILL_EXPECTED).total;
        then =
            cost->match * (second + fmin(1, fmax(0, still)) * then) + (1 - cost->match) * all_anew;
    }
    return way->further_count > 0 ? then : all_anew;
}

// Each cost is its bill and a share of what falling short costs; ways reach the comfort with
// the fewest pieces; the order is by cost.
static void check_ranking(const OfferRanking *ranking, const BuyingWish *wish)
{
    for (int i = 0; i < ranking->count; i++) {
        const OfferCost *cost = &ranking->items[i];
        // Falling short can pay only where the whole purchase goes back for a cheaper one.
        assert_true(cost->expected >= cost->bill[BILL_EXPECTED].total || cost->refund > cost->anew);
        assert_true(cost->way.reaches == (cost->way.chance[0] >= wish->comfort));
        assert_true(cost->way.purchase.count >= offer_fewest(cost->offer));
        for (int n = 1; n <= cost->way.further_count; n++) {
            assert_true(cost->way.chance[n] >= cost->way.chance[n - 1]);
        }
        CHECK_NEAR((double)cost->when_short, when_short(cost), 0.5);
        if (i > 0 && cost[-1].way.reaches == cost->way.reaches) {
            assert_true(cost[-1].expected <= cost->expected);
        }
        assert_true(i == 0 || cost[-1].way.reaches || !cost->way.reaches);
    }
}

// At its price to win an offer is first, a minor unit above it is not.
static void check_prices(Draw *drawn, const Offer *const *offers, const OfferRanking *ranking,
                         const BuyingWish *wish, Arena *arena)
{
    for (int i = 0; i < ranking->count; i++) {
        const OfferCost *cost = &ranking->items[i];
        Offer *offer = &drawn->offers[cost->offer - drawn->offers];
        const Money asked = offer->price;
        if (cost->price_to_win > 0 && cost->price_to_win < (Money)MONEY_PRICE_MAX * 1000) {
            offer->price = cost->price_to_win;
            const OfferRanking at = offers_compare(offers, RANDOM_OFFERS, wish, arena);
            assert_ptr_equal(at.items[0].offer, offer);
            offer->price++;
            const OfferRanking above = offers_compare(offers, RANDOM_OFFERS, wish, arena);
            assert_ptr_not_equal(above.items[0].offer, offer);
            assert_true(i > 0 ? cost->price_to_win <= asked : cost->price_to_win >= asked);
        }
        offer->price = asked;
    }
}

static void rankings_hold_together(void **state)
{
    Arena *arena = *state;
    for (uint64_t number = 0; number < TRIALS_OF(300); number++) {
        const ArenaMark mark = arena_mark(arena);
        Random random = random_begin(23, number, 0);
        Draw *drawn = ARENA_NEW(arena, Draw);
        draw(&random, drawn);
        Chances chances;
        const BuyingWish wish =
            wish_of(&chances, drawn->rows, 8, random_between(&random, 0.5, 0.999));
        const Offer *offers[RANDOM_OFFERS];
        for (int i = 0; i < RANDOM_OFFERS; i++) {
            offers[i] = &drawn->offers[i];
        }
        const OfferRanking ranking = offers_compare(offers, RANDOM_OFFERS, &wish, arena);
        check_ranking(&ranking, &wish);
        check_prices(drawn, offers, &ranking, &wish, arena);
        arena_rewind(arena, mark);
    }
}

// The expected cost against many purchases played out one by one: buy, and while it falls
// short order again, or start anew when it does not match.
static double played(const Candidate *way, const OfferCost *cost, Random *random)
{
    double spent = (double)cost->bill[BILL_EXPECTED].total;
    const double luck = random_share(random); // enough with n orders when below chance[n]
    for (int n = 0; n <= way->further_count; n++) {
        if (luck < way->chance[n]) {
            return spent;
        }
        if (n == way->further_count) {
            return spent + (double)cost->anew;
        }
        if (random_share(random) >= cost->match) {
            return spent + (double)(cost->anew - cost->refund);
        }
        spent += (double)purchase_bill(&way->further[n], BILL_EXPECTED).total;
    }
    return spent;
}

static void expected_cost_is_what_many_purchases_cost(void **state)
{
    static const Row rows[] = {{48, 0.55}, {96, 0.8}, {144, 0.9}, {192, 0.95}, {240, 1}};
    Chances chances;
    const BuyingWish wish = wish_of(&chances, rows, 5, 0.5);
    Offer a = unseen("unseen", 950);
    a.lot_match = LOT_LIKELY;
    a.shipping.flat = 4000;
    a.returns = (OfferReturns){.taken = true, .kept_share = 0.2, .shipping = 3000};
    const OfferRanking ranking = offers_compare((const Offer *[]){&a}, 1, &wish, *state);
    const OfferCost *cost = &ranking.items[0];
    assert_int_equal(cost->way.further_count, 3);
    Random random = random_begin(3, 1, 4);
    enum { PLAYS = 400000 };
    double sum = 0;
    double squares = 0;
    for (int i = 0; i < PLAYS; i++) {
        const double one = played(&cost->way, cost, &random);
        sum += one;
        squares += one * one;
    }
    const double mean = sum / PLAYS;
    const double error = sqrt((squares / PLAYS - mean * mean) / PLAYS);
    CHECK_NEAR(mean, (double)cost->expected, 4 * error + 1);
    assert_true(error < 0.002 * mean);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(two_offers_by_hand),
        TEST_IN_ARENA(returns_soften_a_mismatch),
        TEST_IN_ARENA(several_further_orders),
        TEST_IN_ARENA(more_at_once_when_the_risk_is_dear),
        TEST_IN_ARENA(the_smallest_stamped_pieces_that_reach),
        TEST_IN_ARENA(the_least_area_is_never_asked_for),
        TEST_IN_ARENA(what_does_not_reach_or_is_another_kind_comes_last),
        TEST_IN_ARENA(many_panels_are_found_quickly),
        TEST_IN_ARENA(rankings_hold_together),
        TEST_IN_ARENA(expected_cost_is_what_many_purchases_cost),
    };
    return cmocka_run_group_tests_name("buying/compare", tests, NULL, NULL);
}
