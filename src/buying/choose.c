#include "buying/choose.h"

#include <math.h>

// Costs that are known to this share of the first one's are told apart well enough.
static const double cost_precision = 0.01;
// Of the progress, for the first look at all offers.
static const double first_look_share = 0.6;

// Offers of which something is known.
typedef struct Field {
    const Offer **offers;
    int count;
    BuyingWish wish;
    Chances *chances;
    Arena *keep;
} Field;

// Tries the ways to buy of each offer. Those that a stop left unknown are put aside.
static void look_at_all(const Offer *const *offers, int count, Field *field, OfferChoice *choice)
{
    const Offer **untried = ARENA_ARRAY(field->keep, const Offer *, count + 1);
    for (int i = 0; i < count; i++) {
        chances_report(field->chances, arena_text(field->keep, "offer %d of %d", i + 1, count),
                       first_look_share * (i + 1) / count);
        Candidate ways[CANDIDATES_MAX];
        (void)offer_candidates(offers[i], &field->wish, field->keep, ways);
        if (chances_missed(field->chances)) {
            untried[choice->untried_count++] = offers[i];
        } else {
            field->offers[field->count++] = offers[i];
        }
    }
    choice->untried = untried;
}

static Money cost_at(const OfferCost *cost, double chance)
{
    return cost->bill[BILL_EXPECTED].total +
           (Money)llround((1 - chance) * (double)cost->when_short);
}

static void list_impossible(const Field *field, const OfferRanking *ranking, OfferChoice *choice)
{
    const Offer **impossible = ARENA_ARRAY(field->keep, const Offer *, field->count + 1);
    choice->impossible_count = 0;
    for (int i = 0; i < field->count; i++) {
        bool ranked = false;
        for (int k = 0; k < ranking->count; k++) {
            ranked = ranked || ranking->items[k].offer == field->offers[i];
        }
        if (!ranked) {
            impossible[choice->impossible_count++] = field->offers[i];
        }
    }
    choice->impossible = impossible;
}

// The ranking with what is known by now. False, and the choice as it was, when something was
// not known.
static bool rank(const Field *field, OfferChoice *choice)
{
    const OfferRanking ranking =
        offers_compare(field->offers, field->count, &field->wish, field->keep);
    if (chances_missed(field->chances)) {
        return false;
    }
    OfferSure *sure = ARENA_ARRAY(field->keep, OfferSure, ranking.count + 1);
    for (int i = 0; i < ranking.count; i++) {
        const OfferCost *cost = &ranking.items[i];
        const ChanceTold told = chances_told(field->chances, &cost->way.purchase);
        const Money at_low = cost_at(cost, told.chance.low);
        const Money at_high = cost_at(cost, told.chance.high);
        // Falling short pays where all goes back for something cheaper.
        sure[i] = (OfferSure){.told = told,
                              .expected_low = at_high < at_low ? at_high : at_low,
                              .expected_high = at_high < at_low ? at_low : at_high};
    }
    list_impossible(field, &ranking, choice);
    choice->ranking = ranking;
    choice->sure = sure;
    return true;
}

static bool may_reach(const Field *field, const OfferSure *sure)
{
    return sure->told.chance.high >= field->wish.comfort;
}

static bool may_fall_short(const Field *field, const OfferSure *sure)
{
    return sure->told.chance.low < field->wish.comfort;
}

// Whether an offer could be before the first when both reach the comfort or both fall short, at
// chances within the intervals.
static bool may_be_better(const Field *field, const OfferChoice *choice, int which)
{
    const OfferSure *first = &choice->sure[0];
    const OfferSure *other = &choice->sure[which];
    const bool alike = (may_reach(field, other) && may_reach(field, first)) ||
                       (may_fall_short(field, other) && may_fall_short(field, first));
    const bool first_is_other = choice->ranking.items[0].other_kind;
    const bool kind_alike = first_is_other == choice->ranking.items[which].other_kind;
    return alike && (kind_alike ? other->expected_low < first->expected_high : first_is_other);
}

// Whether an offer could be before the first since that one falls short.
static bool may_step_in(const Field *field, const OfferChoice *choice, int which)
{
    return may_reach(field, &choice->sure[which]) && may_fall_short(field, &choice->sure[0]);
}

// Asks for twice the trials where they would tell more. False when they would not, or there
// are as many as are allowed.
static bool want_more(const Field *field, const OfferChoice *choice, int which)
{
    const OfferSure *sure = &choice->sure[which];
    const double width = (double)(sure->expected_high - sure->expected_low);
    const bool open = may_reach(field, sure) && may_fall_short(field, sure);
    const bool tells = open || width > cost_precision * (double)choice->ranking.items[0].expected;
    return tells && chances_want(field->chances, &choice->ranking.items[which].way.purchase,
                                 2 * sure->told.trials);
}

static bool look_closer(const Field *field, OfferChoice *choice)
{
    bool more = false;
    choice->certain = true;
    for (int i = 1; i < choice->ranking.count; i++) {
        const bool better = may_be_better(field, choice, i);
        if (better || may_step_in(field, choice, i)) {
            choice->certain = false;
            const bool more_of_first = want_more(field, choice, 0);
            more |= more_of_first;
            more |= (better || !more_of_first) && want_more(field, choice, i);
        }
    }
    return more;
}

bool offers_choose(const Offer *const *offers, int count, const BuyingWish *wish, Chances *chances,
                   Arena *keep, OfferChoice *choice)
{
    *choice = (OfferChoice){.stopped = false};
    Field field = {.offers = ARENA_ARRAY(keep, const Offer *, count + 1),
                   .wish = *wish,
                   .chances = chances,
                   .keep = keep};
    field.wish.chance = chances_of;
    field.wish.context = chances;
    look_at_all(offers, count, &field, choice);
    bool known = field.count > 0 && rank(&field, choice);
    while (known && look_closer(&field, choice) && !chances_stopped(chances)) {
        chances_report(chances, "offers that are close", 1);
        known = rank(&field, choice);
    }
    choice->stopped = chances_stopped(chances);
    return !chances_failed(chances);
}
