#include "plan/print.h"

#include "plan/buy_offers.h"
#include "plan/files.h"
#include "plan/matter.h"

#include <string.h>

static const AskedFor *asked_for(const Derived *derived, const BuyAnswer *answer, Arena *keep)
{
    AskedFor *asked = ARENA_NEW(keep, AskedFor);
    *asked = (AskedFor){.words = plan_buy_advice(answer, derived->job.units.area, keep),
                        .form = answer->order.form,
                        .pieces = answer->order.pieces,
                        .grade = answer->order.grade,
                        .lets_through = job_grade_words(
                            &derived->job, plan_buy_grade(derived, &answer->order), keep),
                        .comfort = answer->order.comfort,
                        .covers = answer->covers,
                        .cut_mm2 = answer->cut_mm2,
                        .study = &answer->study,
                        .thumbs = answer->thumbs,
                        .thumb_count = answer->thumb_count};
    return asked;
}

static const AdvisedLeather *advised_leather(const Derived *derived, Arena *keep)
{
    PlanAdvice *advice = ARENA_NEW(keep, PlanAdvice);
    *advice = plan_advise(derived, keep);
    AdvisedLeather *leather = ARENA_NEW(keep, AdvisedLeather);
    *leather = (AdvisedLeather){.words = plan_advice_text(derived, advice, keep),
                                .household = plan_household_text(derived, keep),
                                .question = &advice->question,
                                .checks = advice->checks,
                                .advice = &advice->advice};
    return leather;
}

static const RankedOffers *ranked_offers(const OfferChoice *choice, Arena *keep)
{
    const OfferRanking *ranking = &choice->ranking;
    const char **purchases = ARENA_ARRAY(keep, const char *, ranking->count + 1);
    for (int i = 0; i < ranking->count; i++) {
        purchases[i] = plan_purchase_text(&ranking->items[i].way.purchase, keep);
    }
    RankedOffers *offers = ARENA_NEW(keep, RankedOffers);
    *offers = (RankedOffers){choice, purchases};
    return offers;
}

const BuyingMatter *buying_matter(const Derived *derived, const BuyingKnown *known, Arena *keep)
{
    BuyingMatter *matter = ARENA_NEW(keep, BuyingMatter);
    *matter = (BuyingMatter){
        .leather = advised_leather(derived, keep),
        .asked = known && known->answer ? asked_for(derived, known->answer, keep) : NULL,
        .offers = known && known->offers ? ranked_offers(known->offers, keep) : NULL};
    return matter;
}

bool plan_buying_known(const Derived *derived, const BuyOrder *order, const Progress *progress,
                       Arena *keep, Arena *scratch, BuyingKnown *known, Problems *problems)
{
    ProgressPart part = {.whole = progress,
                         .to = derived->job.offer_count > 0 ? BUY_STUDY_SHARE : 1};
    const Progress reports = {progress_report_part, &part};
    BuyAnswer *answer = ARENA_NEW(keep, BuyAnswer);
    if (!plan_buy(derived, order, &reports, keep, scratch, answer, problems)) {
        return false;
    }
    *known = (BuyingKnown){.answer = answer};
    if (derived->job.offer_count == 0) {
        return true;
    }
    BuyOffers *offers = ARENA_NEW(keep, BuyOffers);
    known->offers = &offers->choice;
    part.from = part.to;
    part.to = 1;
    return plan_buy_offers(derived, answer, &reports, keep, offers, problems);
}

// The folder that a file goes into.
static bool make_room(const char *path, Arena *keep, Problems *problems)
{
    const char *slash = strrchr(path, '/');
    return !slash || slash == path ||
           folder_make(arena_text(keep, "%.*s", (int)(slash - path), path), problems);
}

bool plan_print_buying(const Derived *derived, const PrintOrder *order, const Progress *progress,
                       Arena *keep, int *page_count, Problems *problems)
{
    const PackMatter matter = {.job = &derived->job,
                               .demands = derived->demands,
                               .demand_count = derived->demand_count,
                               .date = order->date,
                               .progress = progress};
    Pages pages = {.keep = keep};
    pack_buying(&matter, buying_matter(derived, &order->known, keep), &pages);
    const PaperTitle title = {derived->job.name, order->date};
    Bytes bytes;
    if (!paper_pdf(pages.items, pages.count, title, progress, keep, &bytes)) {
        return pack_goes_on(&matter) ? problems_say(problems, PROBLEM_SYSTEM, order->path,
                                                    "could not draw the pages: out of memory")
                                     : problems_say(problems, PROBLEM_CANCELLED, order->path,
                                                    "stopped before it was written");
    }
    *page_count = pages.count;
    return make_room(order->path, keep, problems) &&
           file_write(order->path, bytes.data, bytes.length, problems);
}
