// What stands beside the answer of `buy`: the other form, and the job's offers.
#include "cli/command.h"
#include "cli/listing.h"

enum { OFFER_COLUMNS = 40, BUY_COLUMNS = 26 };

static const char *enough_text(double share, Arena *keep)
{
    // Neither end is claimed for sure when it is not.
    return share > 0 && share < 0.005   ? "< 1 %"
           : share < 1 && share > 0.995 ? "> 99 %"
                                        : percent_text(share, keep);
}

static const char *interval_text(const Chance *chance, Arena *keep)
{
    return chance->high > chance->low ? arena_text(keep, "%s to %s", enough_text(chance->low, keep),
                                                   enough_text(chance->high, keep))
                                      : "";
}

// As much of a text as fits into a column.
static const char *shortened(const char *text, int columns, Arena *keep)
{
    if (text_columns(text) <= columns) {
        return text;
    }
    return arena_text(keep, "%.*s…", (int)text_bytes_of(text, columns - 1), text);
}

static void add_offer(Listing *listing, const Derived *derived, const BuyOffers *offers, int which,
                      Arena *keep)
{
    const OfferCost *cost = &offers->choice.ranking.items[which];
    const OfferSure *sure = &offers->choice.sure[which];
    const char *days = cost->offer->days >= 0 ? arena_text(keep, "%d", cost->offer->days) : "-";
    listing_add(
        listing,
        (const char *[]){
            arena_text(keep, "%d", which + 1), shortened(cost->offer->name, OFFER_COLUMNS, keep),
            shortened(plan_purchase_text(&cost->way.purchase, keep), BUY_COLUMNS, keep),
            enough_text(sure->told.chance.share, keep), interval_text(&sure->told.chance, keep),
            plan_amount_text(derived, cost->bill[BILL_EXPECTED].total, keep),
            plan_amount_text(derived, cost->expected, keep), days});
}

static void print_offers(const Derived *derived, const BuyOffers *offers, Arena *keep)
{
    const OfferChoice *choice = &offers->choice;
    printf("\n");
    print_wrapped("", arena_text(keep, "Offers. %s", plan_choice_text(derived, offers, keep)),
                  stdout);
    if (choice->ranking.count == 0) {
        return;
    }
    printf("\nIn %s; with the risk: landed, and what falling short costs times its chance.\n",
           derived->job.currency);
    Listing listing = listing_begin("rllrlrrr", keep);
    listing_add(&listing, (const char *[]){"", "offer", "buy", "enough", "95 in 100 sure", "landed",
                                           "with the risk", "days"});
    for (int i = 0; i < choice->ranking.count; i++) {
        add_offer(&listing, derived, offers, i, keep);
    }
    listing_print(&listing, stdout);
    printf("\n");
    for (int i = 0; i < choice->ranking.count; i++) {
        print_wrapped(arena_text(keep, "%3d  ", i + 1), plan_offer_text(derived, offers, i, keep),
                      stdout);
    }
}

void print_beside(const Session *session, const Derived *derived, const BuyAnswer *answer,
                  const BuyBeside *beside)
{
    Arena *keep = session->keep;
    if (beside->other_form) {
        printf("\n");
        print_wrapped(
            "", plan_other_form_text(answer, beside->other_form, derived->job.units.area, keep),
            stdout);
    }
    if (beside->offers) {
        print_offers(derived, beside->offers, keep);
    } else if (derived->job.offer_count == 0) {
        printf("\n");
        print_wrapped("",
                      "The job has no offers. Put in what sellers ask (\"offers\", "
                      "docs/job-file.md), and they are compared here, landed and with the risk of "
                      "falling short.",
                      stdout);
    }
}
