// What would save leather, as `buy --thrift` prints it.
#include "cli/command.h"
#include "cli/listing.h"

#include "plan/buy_thrift.h"
#include <math.h>

static const char *saved_text(const Derived *derived, double mm2, Arena *keep)
{
    const AreaUnit unit = derived->job.units.area;
    const int decimals = unit == AREA_FT2 ? 1 : 2;
    const double scale = pow(10, decimals);
    // Rounded here, so that there is no -0.0.
    const double area = round(area_from_mm2(mm2, unit) * scale) / scale + 0.0;
    return isfinite(area) ? arena_text(keep, "%.*f %s", decimals, area, area_unit_name(unit)) : "?";
}

static const char *between_text(const Derived *derived, const ThriftTold *told, Arena *keep)
{
    return arena_text(keep, "%s and %s", saved_text(derived, told->low_mm2, keep),
                      saved_text(derived, told->high_mm2, keep));
}

static void print_saving(Listing *listing, const Derived *derived, const BuyThrift *thrift,
                         const BuySaving *saving, Arena *keep)
{
    const char *worth =
        thrift->rate.from ? money_text(saving->money, derived->job.currency, keep) : "";
    listing_add(listing, (const char *[]){saved_text(derived, saving->told.mean_mm2, keep),
                                          between_text(derived, &saving->told, keep), worth,
                                          saving->change});
    listing_add(listing, (const char *[]){"", "", "", arena_text(keep, "  %s", saving->cost)});
}

static void print_savings(const Derived *derived, const BuyThrift *thrift, Arena *keep)
{
    Listing listing = listing_begin("rlrl", keep);
    listing_add(&listing, (const char *[]){"saves", "surely between",
                                           thrift->rate.from ? "worth" : "", "change"});
    int rows = 0;
    for (int i = 0; i < thrift->count; i++) {
        if (thrift->savings[i].told.saves) {
            print_saving(&listing, derived, thrift, &thrift->savings[i], keep);
            rows++;
        }
    }
    if (rows == 0) {
        printf("\nNo single change was seen to save leather for sure.\n");
        return;
    }
    printf("\n");
    listing_print(&listing, stdout);
}

static void print_others(const Derived *derived, const BuyThrift *thrift, Arena *keep)
{
    Listing listing = listing_begin("rll", keep);
    listing_add(&listing, (const char *[]){"saves", "surely between", "change"});
    int rows = 0;
    for (int i = 0; i < thrift->count; i++) {
        const BuySaving *saving = &thrift->savings[i];
        if (!saving->told.saves && saving->told.pairs > 0) {
            listing_add(&listing, (const char *[]){saved_text(derived, saving->told.mean_mm2, keep),
                                                   between_text(derived, &saving->told, keep),
                                                   saving->change});
            rows++;
        }
    }
    if (rows > 0) {
        printf("\nThese may be luck:\n\n");
        listing_print(&listing, stdout);
    }
}

static void print_thrift(const Derived *derived, const BuyThrift *thrift, Arena *keep)
{
    const BuyOrder *order = &thrift->asked.order;
    const ThriftAnswer *answer = &thrift->answer;
    const AreaUnit unit = derived->job.units.area;
    printf("%d covers, %s as cut, on %d %s. Each change by itself, on the same drawn\n"
           "%s with and without it: %d of %d, those about which the chance is %s\n"
           "(they need %s to %s each without a change).\n",
           thrift->asked.covers, area_text(thrift->asked.cut_mm2, unit, keep), order->pieces,
           hide_pieces_word(order->form, order->pieces), hide_pieces_word(order->form, 2),
           answer->picked, answer->drawn, chance_words(order->comfort),
           area_text(answer->from_mm2, unit, keep), area_text(answer->to_mm2, unit, keep));
    print_savings(derived, thrift, keep);
    print_others(derived, thrift, keep);
    if (thrift->rate.from) {
        printf("\nPriced at %s for 1 ft², the lowest for such leather in the job: %s.\n",
               money_text(thrift->rate.each, derived->job.currency, keep), thrift->rate.from);
    }
    if (answer->stopped) {
        printf("\nStopped before all was tried.\n");
    }
}

int run_thrift(Session *session, const Derived *derived, const BuyOrder *order, bool json)
{
    BuyThrift thrift;
    if (!plan_buy_thrift(derived, order, &session->progress, session->keep, session->scratch,
                         &thrift, session->problems)) {
        return give_up(session);
    }
    end_progress(session);
    if (json) {
        Text text = {.keep = session->keep};
        plan_buy_thrift_json(derived, &thrift, &text);
        (void)fputs(text_string(&text), stdout);
    } else {
        print_thrift(derived, &thrift, session->keep);
    }
    return thrift.answer.stopped ? EXIT_STOPPED : EXIT_FINE;
}
