#include "plan/buying.h"

static double least_area_mm2(const Derived *derived)
{
    double area_mm2 = 0;
    for (int d = 0; d < derived->demand_count; d++) {
        area_mm2 += derived->demands[d].count * derived->demands[d].cover->net_area_mm2;
    }
    return area_mm2;
}

BuyingWish plan_buying_wish(const Derived *derived)
{
    const Job *job = &derived->job;
    return (BuyingWish){.comfort = job->wish.comfort,
                        .least_mm2 = least_area_mm2(derived),
                        .thickness_mm = job->leather.thickness_mm,
                        .kind = job->wish.kind};
}

const char *plan_purchase_text(const Purchase *purchase, Arena *keep)
{
    const Offer *offer = purchase->offer;
    if (!purchase->chosen) {
        return arena_text(keep, "%d %s", purchase->count,
                          hide_forms_word(offer->form, purchase->count));
    }
    Text text = {.keep = keep};
    for (int i = 0; i < purchase->count; i++) {
        const int chosen = purchase->chosen[i];
        const char *name = offer->pieces[chosen].name;
        text_add(&text, "%s%s", i == 0 ? "" : (i + 1 == purchase->count ? " and " : ", "),
                 name ? name : arena_text(keep, "number %d", chosen + 1));
    }
    return text_string(&text);
}

static void put_money(Json *json, const char *key, Money money, int decimals)
{
    json_number(json, key, money_to_number(money, decimals));
}

static void put_bill(Json *json, const char *key, const Bill *bill, int decimals)
{
    json_begin_object(json, key);
    json_rounded(json, "area_mm2", bill->area_mm2, 0);
    json_rounded(json, "weight_kg", bill->weight_kg, 3);
    json_begin_object(json, "lines");
    for (int i = 0; i < BILL_LINE_COUNT; i++) {
        if (bill->line[i] != 0) {
            put_money(json, bill_line_names[i], bill->line[i], decimals);
        }
    }
    json_end_object(json);
    put_money(json, "total", bill->total, decimals);
    json_end_object(json);
}

static void put_purchase(Json *json, const Purchase *purchase)
{
    json_text(json, "buy", plan_purchase_text(purchase, json->text.keep));
    json_int(json, "pieces", purchase->count);
    if (purchase->chosen) {
        json_begin_flat_array(json, "chosen");
        for (int i = 0; i < purchase->count; i++) {
            json_int(json, NULL, purchase->chosen[i]);
        }
        json_end_array(json);
    }
}

static void put_bills(Json *json, const OfferCost *cost, int decimals)
{
    json_begin_object(json, "bill");
    put_bill(json, "low", &cost->bill[BILL_LOW], decimals);
    put_bill(json, "expected", &cost->bill[BILL_EXPECTED], decimals);
    put_bill(json, "high", &cost->bill[BILL_HIGH], decimals);
    json_end_object(json);
    json_begin_object(json, "if_short");
    json_rounded(json, "match", cost->match, 4);
    put_money(json, "second", cost->second, decimals);
    put_money(json, "anew", cost->anew, decimals);
    put_money(json, "refund", cost->refund, decimals);
    put_money(json, "on_average", cost->when_short, decimals);
    json_end_object(json);
    put_money(json, "expected_cost", cost->expected, decimals);
}

static void put_price(Json *json, const OfferCost *cost, int decimals)
{
    put_money(json, "price", cost->offer->price, decimals);
    json_text(json, "per", price_unit_names[cost->offer->per]);
    if (offer_always_wins(cost)) {
        json_text(json, "price_to_win", NULL);
    } else {
        put_money(json, "price_to_win", cost->price_to_win, decimals);
    }
}

static void put_ways(Json *json, const OfferCost *cost)
{
    json_begin_array(json, "ways");
    for (int w = 0; w < cost->way_count; w++) {
        const Candidate *way = &cost->ways[w];
        json_begin_object(json, NULL);
        put_purchase(json, &way->purchase);
        json_number(json, "chance", way->chance[0]);
        json_begin_array(json, "further");
        for (int n = 0; n < way->further_count; n++) {
            json_begin_object(json, NULL);
            put_purchase(json, &way->further[n]);
            json_number(json, "chance", way->chance[n + 1]);
            json_end_object(json);
        }
        json_end_array(json);
        json_end_object(json);
    }
    json_end_array(json);
}

static void put_sure(Json *json, const OfferSure *sure, int decimals)
{
    json_begin_object(json, "sure");
    json_text(json, "chance_from", chance_from_names[sure->told.from]);
    json_int(json, "trials", sure->told.trials);
    json_rounded(json, "chance_low", sure->told.chance.low, 6);
    json_rounded(json, "chance_high", sure->told.chance.high, 6);
    put_money(json, "expected_cost_low", sure->expected_low, decimals);
    put_money(json, "expected_cost_high", sure->expected_high, decimals);
    json_end_object(json);
}

static void put_offer(Json *json, const OfferCost *cost, const OfferSure *sure, int decimals)
{
    json_begin_object(json, NULL);
    json_text(json, "offer", cost->offer->name);
    json_text(json, "form", hide_form_names[cost->offer->form]);
    put_purchase(json, &cost->way.purchase);
    json_number(json, "chance", cost->way.chance[0]);
    json_bool(json, "reaches_comfort", cost->way.reaches);
    json_bool(json, "other_kind", cost->other_kind);
    if (sure) {
        put_sure(json, sure, decimals);
    }
    put_bills(json, cost, decimals);
    put_price(json, cost, decimals);
    if (cost->offer->days >= 0) {
        json_int(json, "days", cost->offer->days);
    }
    put_ways(json, cost);
    json_end_object(json);
}

void plan_offers_json(const Derived *derived, const OfferRanking *ranking, const OfferSure *sure,
                      Json *json)
{
    const int decimals = currency_decimals(derived->job.currency);
    json_text(json, "currency", derived->job.currency);
    json_begin_array(json, "ranking");
    for (int i = 0; i < ranking->count; i++) {
        put_offer(json, &ranking->items[i], sure ? &sure[i] : NULL, decimals);
    }
    json_end_array(json);
}
