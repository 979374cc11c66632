// What is said of offers, in words.
#include "plan/buy_offers.h"

#include "plan/buying.h"

#include <math.h>
#include <stdlib.h>

enum { DIFFERENCES_TOLD = 3 };

const char *plan_amount_text(const Derived *derived, Money money, Arena *keep)
{
    const Money whole = money < 0 ? -money : money;
    const int decimals = currency_decimals(derived->job.currency);
    return arena_text(keep, "%s%.*f", money < 0 ? "-" : "", decimals,
                      money_to_number(whole, decimals));
}

// A sentence under way, and what it is about.
typedef struct Telling {
    const Derived *derived;
    const BuyOffers *offers;
    const OfferCost *cost;
    const OfferCost *first;
    const OfferSure *sure;
    Text text;
} Telling;

static const char *amount(Telling *telling, Money money)
{
    return plan_amount_text(telling->derived, money, telling->text.keep);
}

// ---- The bill

static void tell_bill(Telling *telling)
{
    const OfferCost *cost = telling->cost;
    Text *text = &telling->text;
    const AreaUnit unit = telling->derived->job.units.area;
    const Bill *bill = &cost->bill[BILL_EXPECTED];
    if (cost->bill[BILL_LOW].area_mm2 < cost->bill[BILL_HIGH].area_mm2) {
        text_add(text, "%s to %s, as they come out; ",
                 area_text(cost->bill[BILL_LOW].area_mm2, unit, text->keep),
                 area_text(cost->bill[BILL_HIGH].area_mm2, unit, text->keep));
        text_add(text,
                 "%s to %s landed, expected %s: ", amount(telling, cost->bill[BILL_LOW].total),
                 amount(telling, cost->bill[BILL_HIGH].total), amount(telling, bill->total));
    } else {
        text_add(text, "%s, %s landed: ", area_text(bill->area_mm2, unit, text->keep),
                 amount(telling, bill->total));
    }
    bool first = true;
    for (int i = 0; i < BILL_LINE_COUNT; i++) {
        if (bill->line[i] != 0) {
            text_add(text, "%s%s %s", first ? "" : ", ", bill_line_names[i],
                     amount(telling, bill->line[i]));
            first = false;
        }
    }
    text_add(text, ".");
}

// ---- The chance

static void tell_chance(Telling *telling)
{
    Text *text = &telling->text;
    const ChanceTold *told = &telling->sure->told;
    switch (told->from) {
    case CHANCE_BY_AREA:
        text_add(text, " It is less leather than the covers.");
        break;
    case CHANCE_BY_LAYOUT:
        text_add(text, told->chance.share > 0
                           ? " Panels are clean: a layout with all covers on them was found, so "
                             "nothing is left to chance."
                           : " A cover has no room on a panel of this size.");
        break;
    case CHANCE_BY_STUDY:
        text_add(text, " Its chance is read off the trials above.");
        break;
    case CHANCE_BY_TRIALS:
        text_add(text, " It was tried %d times.", told->trials);
        break;
    case CHANCE_UNKNOWN:
    case CHANCE_FROM_COUNT:
        break;
    }
}

static void tell_falling_short(Telling *telling)
{
    const OfferCost *cost = telling->cost;
    Text *text = &telling->text;
    if (cost->way.chance[0] >= 1 || telling->sure->told.from == CHANCE_BY_AREA ||
        telling->sure->told.from == CHANCE_BY_LAYOUT) {
        return;
    }
    // Where all goes back for something cheaper, even this may pay.
    text_add(text,
             cost->when_short >= 0 ? " Falling short costs %s on average: "
                                   : " Falling short brings %s back on average: ",
             amount(telling, llabs(cost->when_short)));
    if (cost->second > 0) {
        text_add(text, "a second order of %s for %s",
                 plan_purchase_text(&cost->way.further[0], text->keep),
                 amount(telling, cost->second));
        if (cost->match >= 1) {
            text_add(text, " matches in shade.");
            return;
        }
        text_add(text, " matches in shade %.0f times in 10, else ", 10 * cost->match);
    }
    text_add(text, "all is bought anew for %s", amount(telling, cost->anew));
    if (cost->refund > 0) {
        text_add(text, ", with %s back for what was not cut", amount(telling, cost->refund));
    }
    text_add(text, ".");
}

// ---- Why it falls behind

typedef struct Difference {
    const char *what;
    Money more; // than the first's
} Difference;

static int by_size(const void *a, const void *b)
{
    const Money one = llabs(((const Difference *)a)->more);
    const Money other = llabs(((const Difference *)b)->more);
    return one < other ? 1 : one > other ? -1 : 0;
}

static void tell_differences(Telling *telling)
{
    Difference differences[BILL_LINE_COUNT + 1];
    for (int i = 0; i < BILL_LINE_COUNT; i++) {
        differences[i] =
            (Difference){bill_line_names[i], telling->cost->bill[BILL_EXPECTED].line[i] -
                                                 telling->first->bill[BILL_EXPECTED].line[i]};
    }
    differences[BILL_LINE_COUNT] =
        (Difference){"the risk", telling->cost->expected - telling->first->expected -
                                     (telling->cost->bill[BILL_EXPECTED].total -
                                      telling->first->bill[BILL_EXPECTED].total)};
    qsort(differences, BILL_LINE_COUNT + 1, sizeof differences[0], by_size);
    for (int i = 0; i < DIFFERENCES_TOLD && differences[i].more != 0; i++) {
        text_add(&telling->text, "%s%s %s %s", i > 0 ? ", " : ": ", differences[i].what,
                 amount(telling, llabs(differences[i].more)),
                 differences[i].more > 0 ? "more" : "less");
    }
    text_add(&telling->text, ".");
}

static void tell_behind(Telling *telling)
{
    const OfferCost *cost = telling->cost;
    Text *text = &telling->text;
    const bool unsure = telling->first->way.reaches && !cost->way.reaches;
    const bool other = cost->other_kind && !telling->first->other_kind;
    if (unsure) {
        text_add(text, " It falls behind: no number of these pieces is enough as often as you "
                       "want.");
    } else if (other) {
        text_add(text, " It falls behind: %s leather, not %s.",
                 leather_kind_names[cost->offer->kind],
                 leather_kind_names[telling->derived->job.wish.kind]);
    }
    const Money more = cost->expected - telling->first->expected;
    if (more != 0) {
        text_add(text, " %s %s %s than the first",
                 unsure || other ? "It costs" : "It falls behind:", amount(telling, llabs(more)),
                 more > 0 ? "more" : "less");
        tell_differences(telling);
    }
}

static void tell_price(Telling *telling)
{
    static const char *const one_of[PRICE_UNIT_COUNT] = {"a square foot", "a square metre",
                                                         "a piece"};
    const OfferCost *cost = telling->cost;
    Text *text = &telling->text;
    const bool is_first = cost == telling->first;
    if (offer_always_wins(cost)) {
        text_add(text, " It would be first at any price.");
    } else if (cost->price_to_win <= 0) {
        text_add(text, " It would be first at no price.");
    } else {
        text_add(text, " It %s first up to %s %s; asked are %s.", is_first ? "stays" : "would be",
                 amount(telling, cost->price_to_win), one_of[cost->offer->per],
                 amount(telling, cost->offer->price));
    }
}

const char *plan_offer_text(const Derived *derived, const BuyOffers *offers, int which, Arena *keep)
{
    const char *name = offers->choice.ranking.items[which].offer->name;
    Telling telling = {.derived = derived,
                       .offers = offers,
                       .cost = &offers->choice.ranking.items[which],
                       .first = &offers->choice.ranking.items[0],
                       .sure = &offers->choice.sure[which],
                       .text = {.keep = keep}};
    text_add(&telling.text, "%s: %s. ", name,
             plan_purchase_text(&telling.cost->way.purchase, keep));
    tell_bill(&telling);
    tell_chance(&telling);
    tell_falling_short(&telling);
    if (which > 0) {
        tell_behind(&telling);
    }
    if (offers->choice.ranking.count > 1) {
        tell_price(&telling);
    }
    return text_string(&telling.text);
}

// ---- All of them

static void list_names(Text *text, const Offer *const *offers, int count)
{
    for (int i = 0; i < count; i++) {
        text_add(text, "%s%s", i == 0 ? "" : i + 1 == count ? " and " : ", ", offers[i]->name);
    }
}

static void tell_first(Telling *telling)
{
    const OfferChoice *choice = &telling->offers->choice;
    const OfferCost *first = &choice->ranking.items[0];
    Text *text = &telling->text;
    if (first->way.reaches) {
        text_add(text,
                 "The cheapest that is enough %.0f times in 100: ", 100 * telling->offers->comfort);
    } else {
        text_add(text, "None is enough %.0f times in 100. The first of the others: ",
                 100 * telling->offers->comfort);
    }
    text_add(text, "%s, %s; %s %s with the risk. ", first->offer->name,
             plan_purchase_text(&first->way.purchase, text->keep), amount(telling, first->expected),
             telling->derived->job.currency);
    if (choice->ranking.count > 1) {
        text_add(text, choice->certain
                           ? "At any chances within the intervals it stays first. "
                           : "That is not certain: with other chances within the intervals another "
                             "would be first. ");
    }
}

const char *plan_choice_text(const Derived *derived, const BuyOffers *offers, Arena *keep)
{
    const OfferChoice *choice = &offers->choice;
    Telling telling = {.derived = derived, .offers = offers, .text = {.keep = keep}};
    if (choice->ranking.count > 0) {
        tell_first(&telling);
    }
    Text text = telling.text;
    if (choice->impossible_count > 0) {
        text_add(&text, "Not enough leather in all their pieces: ");
        list_names(&text, choice->impossible, choice->impossible_count);
        text_add(&text, ". ");
    }
    if (choice->untried_count > 0) {
        text_add(&text, "Stopped before these were tried: ");
        list_names(&text, choice->untried, choice->untried_count);
        text_add(&text, ". ");
    } else if (choice->stopped) {
        text_add(&text, "Stopped before the chances were as precise as wanted. ");
    }
    if (text.length > 0) {
        text.bytes[--text.length] = 0; // the last blank
    }
    return text_string(&text);
}

// ---- The other form

const char *plan_other_form_text(const BuyAnswer *answer, const BuyAnswer *other, AreaUnit unit,
                                 Arena *keep)
{
    const StudyAnswer *study = &other->study;
    const char *each = other->order.pieces > 1 ? " each" : "";
    const char *pieces = plan_buy_pieces_text(&other->order, keep);
    if (study->area.step >= AREA_STEPS) {
        return arena_text(keep, "Instead %s: no size up to %s is enough as often.", pieces,
                          area_step_text(AREA_STEPS - 1, unit, keep));
    }
    Text text = {.keep = keep};
    text_add(&text, "Instead %s of at least %s%s", pieces,
             area_step_text(study->area.step, unit, keep), each);
    if (answer->study.area.step < AREA_STEPS) {
        text_add(&text, ": %s in all, against %s of %s",
                 area_step_text(study->area.step * other->order.pieces, unit, keep),
                 area_step_text(answer->study.area.step * answer->order.pieces, unit, keep),
                 plan_buy_pieces_text(&answer->order, keep));
    }
    text_add(&text, ". ");
    if (study->area.high < AREA_STEPS) {
        text_add(&text, "%d trials put it between %s and %s%s.", study->tally.trials,
                 area_step_text(study->area.low, unit, keep),
                 area_step_text(study->area.high, unit, keep), each);
    } else {
        text_add(&text, "%d trials are too few to say more than that at least %s%s are needed.",
                 study->tally.trials, area_step_text(study->area.low, unit, keep), each);
    }
    return text_string(&text);
}
