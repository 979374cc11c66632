#include "plan/buy_thrift.h"

#include "plan/thrift_ways.h"

#include <stdlib.h>
#include <string.h>

// ---- What leather costs

static double mean_piece_mm2(const Offer *offer)
{
    if (offer->form == HIDE_PANEL || offer->piece_count > 0) {
        return 0; // each has its own
    }
    return (offer->area_mm2[0] + offer->area_mm2[1]) / 2;
}

// For 1 ft², in minor units; 0: not by area.
static double offer_rate(const Offer *offer)
{
    switch (offer->per) {
    case PRICE_PER_FT2:
        return (double)offer->price;
    case PRICE_PER_M2:
        return (double)offer->price * MM2_PER_FT2 / MM2_PER_M2;
    case PRICE_PER_PIECE:
        return mean_piece_mm2(offer) > 0
                   ? (double)offer->price * MM2_PER_FT2 / mean_piece_mm2(offer)
                   : 0;
    case PRICE_UNIT_COUNT:
        break;
    }
    return 0;
}

static double hide_rate(const Hide *hide, int decimals)
{
    const double area_mm2 = hide->stamped_mm2 > 0 ? hide->stamped_mm2 : hide->area_mm2;
    return hide->price > 0 ? hide->price * pow(10, decimals) * MM2_PER_FT2 / area_mm2 : 0;
}

static BuyRate rate_of(const Derived *derived, HideForm form)
{
    const Job *job = &derived->job;
    double best = 0;
    BuyRate rate = {0};
    for (int i = 0; i < job->offer_count; i++) {
        const double each = job->offers[i].form == form ? offer_rate(&job->offers[i]) : 0;
        if (each > 0 && (best <= 0 || each < best)) {
            best = each;
            rate.from = job->offers[i].name;
        }
    }
    for (int i = 0; i < derived->hide_count && job->offer_count == 0; i++) {
        const Hide *hide = &derived->hides[i];
        const double each =
            hide->form == form ? hide_rate(hide, currency_decimals(job->currency)) : 0;
        if (each > 0 && (best <= 0 || each < best)) {
            best = each;
            rate.from = hide->name;
        }
    }
    rate.each = (Money)llround(best);
    return rate;
}

// ---- The comparison

static int by_saving(const void *left, const void *right)
{
    const BuySaving *a = left;
    const BuySaving *b = right;
    if (a->told.saves != b->told.saves) {
        return a->told.saves ? -1 : 1;
    }
    if (a->told.mean_mm2 != b->told.mean_mm2) {
        return a->told.mean_mm2 > b->told.mean_mm2 ? -1 : 1;
    }
    return strcmp(a->change, b->change);
}

static void rank(const Derived *derived, const ThriftWay *ways, int count, Arena *keep,
                 BuyThrift *thrift)
{
    thrift->rate = rate_of(derived, thrift->asked.order.form);
    thrift->savings = ARENA_ARRAY(keep, BuySaving, count + 1);
    thrift->count = count;
    for (int i = 0; i < count; i++) {
        BuySaving *saving = &thrift->savings[i];
        *saving = (BuySaving){ways[i].change, ways[i].cost, thrift->answer.told[i], 0};
        saving->money =
            (Money)llround(saving->told.mean_mm2 / MM2_PER_FT2 * (double)thrift->rate.each);
    }
    qsort(thrift->savings, (size_t)count, sizeof *thrift->savings, by_saving);
}

bool plan_buy_thrift(const Derived *derived, const BuyOrder *order, const Progress *progress,
                     Arena *keep, Arena *scratch, BuyThrift *thrift, Problems *problems)
{
    *thrift = (BuyThrift){0};
    if (!plan_buy_begin(derived, order, keep, &thrift->asked, problems)) {
        return false;
    }
    BuyOrder *full = &thrift->asked.order;
    ProgressPart part = {.whole = progress, .to = full->pieces == 0 ? 0.1 : 0};
    const Progress reports = {progress_report_part, &part};
    if (full->pieces == 0 &&
        !plan_buy_pieces(derived, thrift->asked.cut_mm2, &reports, scratch, full, problems)) {
        return false;
    }
    part.from = part.to;
    part.to = 1;
    full->trials = order->trials == 0                 ? THRIFT_PAIRS_USUAL
                   : order->trials < THRIFT_PAIRS_MAX ? order->trials
                                                      : THRIFT_PAIRS_MAX;
    const Study study = plan_buy_study(derived, full);
    ThriftWay *ways = ARENA_ARRAY(keep, ThriftWay, THRIFT_OPTIONS_MAX);
    int count = 0;
    if (!thrift_ways(derived, &study, keep, scratch, ways, &count, problems)) {
        return false;
    }
    ThriftOption *options = ARENA_ARRAY(keep, ThriftOption, THRIFT_OPTIONS_MAX);
    for (int i = 0; i < count; i++) {
        options[i] = ways[i].option;
    }
    const ThriftTask task = {&study, options, count, full->trials};
    if (!thrift_run(&task, &reports, keep, scratch, &thrift->answer, problems)) {
        return false;
    }
    rank(derived, ways, count, keep, thrift);
    return true;
}

// ---- The document

static void put_saving(Json *json, const BuyThrift *thrift, const BuySaving *saving, int decimals)
{
    json_begin_object(json, NULL);
    json_text(json, "change", saving->change);
    json_text(json, "cost", saving->cost);
    json_int(json, "pairs", saving->told.pairs);
    json_rounded(json, "saves_mm2", saving->told.mean_mm2, 2);
    json_rounded(json, "low_mm2", saving->told.low_mm2, 2);
    json_rounded(json, "high_mm2", saving->told.high_mm2, 2);
    json_bool(json, "saves", saving->told.saves);
    json_bool(json, "given_up", saving->told.given_up);
    if (thrift->rate.from) {
        json_number(json, "money", money_to_number(saving->money, decimals));
    }
    json_end_object(json);
}

void plan_buy_thrift_json(const Derived *derived, const BuyThrift *thrift, Text *text)
{
    const BuyOrder *order = &thrift->asked.order;
    const ThriftAnswer *answer = &thrift->answer;
    const int decimals = currency_decimals(derived->job.currency);
    Json json = {.text = *text};
    json_begin_object(&json, NULL);
    json_text(&json, "job", derived->job.name);
    json_int(&json, "covers", thrift->asked.covers);
    json_rounded(&json, "cut_mm2", thrift->asked.cut_mm2, 2);
    json_text(&json, "form", hide_form_names[order->form]);
    json_int(&json, "pieces", order->pieces);
    job_grade_json(&derived->job, plan_buy_grade(derived, order), &json);
    json_number(&json, "comfort", order->comfort);
    json_int(&json, "drawn", answer->drawn);
    json_int(&json, "picked", answer->picked);
    json_rounded(&json, "picked_from_mm2", answer->from_mm2, 2);
    json_rounded(&json, "picked_to_mm2", answer->to_mm2, 2);
    json_bool(&json, "stopped", answer->stopped);
    if (thrift->rate.from) {
        json_begin_object(&json, "price");
        json_text(&json, "of", thrift->rate.from);
        json_text(&json, "currency", derived->job.currency);
        json_number(&json, "per_ft2", money_to_number(thrift->rate.each, decimals));
        json_end_object(&json);
    }
    json_begin_array(&json, "savings");
    for (int i = 0; i < thrift->count; i++) {
        put_saving(&json, thrift, &thrift->savings[i], decimals);
    }
    json_end_array(&json);
    json_end_object(&json);
    *text = json.text;
}
