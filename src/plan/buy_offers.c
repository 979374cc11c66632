#include "plan/buy_offers.h"

#include "plan/buying.h"

// Units of the engine's work for a layout on panels: one such layout decides.
static const double panel_work = 0.5;

bool plan_buy_offers(const Derived *derived, const BuyAnswer *answer, const Progress *progress,
                     Arena *keep, BuyOffers *offers, Problems *problems)
{
    const Job *job = &derived->job;
    const BuyOrder *order = &answer->order;
    *offers = (BuyOffers){.comfort = order->comfort};
    if (job->offer_count == 0) {
        return true;
    }
    const ChanceStudy study = {&answer->study.tally, order->form, plan_buy_grade(derived, order),
                               order->pieces};
    ChanceTask task = {.demands = derived->demands,
                       .demand_count = derived->demand_count,
                       .rules = &job->laying,
                       .draw = draw_of_grade,
                       .studies = &study,
                       .study_count = 1,
                       .care = room_care_default(),
                       .panel_work = panel_work,
                       .seed = job->search.seed,
                       .comfort = order->comfort,
                       .trials = order->trials > 0 && order->trials < OFFER_TRIALS_MAX
                                     ? order->trials
                                     : OFFER_TRIALS_MAX,
                       .threads = order->threads,
                       .progress = progress};
    const Offer *listed[JOB_OFFERS_MAX];
    for (int i = 0; i < job->offer_count; i++) {
        listed[i] = &job->offers[i];
    }
    BuyingWish wish = plan_buying_wish(derived);
    wish.comfort = order->comfort;
    Chances *chances = chances_begin(&task, keep, problems);
    const bool good =
        offers_choose(listed, job->offer_count, &wish, chances, keep, &offers->choice);
    offers->drawn = chances_drawn(chances);
    return good;
}

bool plan_buy_other_form(const Derived *derived, const BuyAnswer *answer, const Progress *progress,
                         Arena *keep, Arena *scratch, BuyAnswer *other, Problems *problems)
{
    BuyOrder order = answer->order;
    const bool whole = order.form == HIDE_WHOLE;
    order.form = whole ? HIDE_SIDE : HIDE_WHOLE;
    order.pieces = whole ? 2 * order.pieces : (order.pieces + 1) / 2;
    order.watch = NULL;
    if (order.pieces > STUDY_HIDES_MAX) {
        return false;
    }
    if (order.trials == 0 || order.trials > OTHER_FORM_TRIALS_MAX) {
        order.trials = OTHER_FORM_TRIALS_MAX;
    }
    Problems *own = problems_in(scratch);
    if (plan_buy(derived, &order, progress, keep, scratch, other, own)) {
        return true;
    }
    (void)problems_pass_on(own, NULL, problems);
    return false;
}

// The offers get so much of the progress.
static const double offers_share = 0.7;

bool plan_buy_beside(const Derived *derived, const BuyAnswer *answer, const Progress *progress,
                     Arena *keep, Arena *scratch, BuyBeside *beside, Problems *problems)
{
    const bool compares = derived->job.offer_count > 0;
    ProgressPart part = {.whole = progress, .to = compares ? offers_share : 0};
    const Progress reports = {progress_report_part, &part};
    *beside = (BuyBeside){.other_form = NULL};
    BuyOffers *offers = ARENA_NEW(keep, BuyOffers);
    if (compares && !plan_buy_offers(derived, answer, &reports, keep, offers, problems)) {
        return false;
    }
    beside->offers = compares ? offers : NULL;
    part.from = part.to;
    part.to = 1;
    BuyAnswer *other = ARENA_NEW(keep, BuyAnswer);
    const int before = problems->mistakes;
    if (!part.stopped &&
        plan_buy_other_form(derived, answer, &reports, keep, scratch, other, problems)) {
        beside->other_form = other;
    }
    beside->stopped = part.stopped;
    return problems->mistakes == before;
}

static void put_other_form(const Derived *derived, const BuyAnswer *answer, const BuyAnswer *other,
                           Json *json)
{
    json_begin_object(json, "other_form");
    json_text(json, "form", hide_form_names[other->order.form]);
    json_int(json, "pieces", other->order.pieces);
    json_int(json, "trials", other->study.tally.trials);
    plan_buy_area_json(json, "area_mm2", other->study.area.step);
    plan_buy_area_json(json, "area_low_mm2", other->study.area.low);
    plan_buy_area_json(json, "area_high_mm2", other->study.area.high);
    json_text(json, "advice",
              plan_other_form_text(answer, other, derived->job.units.area, json->text.keep));
    json_end_object(json);
}

static void put_offers(const Derived *derived, const BuyOffers *offers, Json *json)
{
    const OfferChoice *choice = &offers->choice;
    json_begin_object(json, "offers");
    json_number(json, "comfort", offers->comfort);
    json_bool(json, "certain", choice->certain);
    json_bool(json, "stopped", choice->stopped);
    json_int(json, "drawn", offers->drawn);
    json_text(json, "advice", plan_choice_text(derived, offers, json->text.keep));
    plan_offers_json(derived, &choice->ranking, choice->sure, json);
    json_begin_array(json, "explained");
    for (int i = 0; i < choice->ranking.count; i++) {
        json_text(json, NULL, plan_offer_text(derived, offers, i, json->text.keep));
    }
    json_end_array(json);
    json_begin_array(json, "untried");
    for (int i = 0; i < choice->untried_count; i++) {
        json_text(json, NULL, choice->untried[i]->name);
    }
    json_end_array(json);
    json_begin_array(json, "impossible");
    for (int i = 0; i < choice->impossible_count; i++) {
        json_text(json, NULL, choice->impossible[i]->name);
    }
    json_end_array(json);
    json_end_object(json);
}

void plan_buy_beside_json(const Derived *derived, const BuyAnswer *answer, const BuyBeside *beside,
                          Json *json)
{
    if (beside && beside->other_form) {
        put_other_form(derived, answer, beside->other_form, json);
    } else {
        json_text(json, "other_form", NULL);
    }
    if (beside && beside->offers) {
        put_offers(derived, beside->offers, json);
    } else {
        json_text(json, "offers", NULL);
    }
}
