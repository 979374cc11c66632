#include "plan/buy_offers.h"

#include "plan/buying.h"

// Units of the engine's work for a layout on panels: one such layout decides.
static const double panel_work = 0.5;

static void set_grades(ChanceTask *task)
{
    for (int g = 0; g < HIDE_GRADES; g++) {
        // The draw only reads its grade.
        union {
            const HideGrade *grade;
            void *context;
        } drawn = {&hide_grades[g]};
        task->grades[g] = drawn.context;
    }
}

static int grade_index(const HideGrade *grade)
{
    int index = 0;
    while (index < HIDE_GRADES && &hide_grades[index] != grade) {
        index++;
    }
    return index;
}

bool plan_buy_offers(const Derived *derived, const BuyAnswer *answer, const Progress *progress,
                     Arena *keep, BuyOffers *offers, Problems *problems)
{
    const Job *job = &derived->job;
    const BuyOrder *order = &answer->order;
    *offers = (BuyOffers){.comfort = order->comfort};
    if (job->offer_count == 0) {
        return true;
    }
    const ChanceStudy study = {&answer->study.tally, order->form, grade_index(order->grade),
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
    set_grades(&task);
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
    for (int i = 0; i < own->count; i++) {
        if (own->items[i].kind != PROBLEM_CANCELLED && own->items[i].kind != PROBLEM_DOUBT) {
            return problems_say(problems, own->items[i].kind, own->items[i].where, "%s",
                                own->items[i].found);
        }
    }
    return false;
}
