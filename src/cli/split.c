// One hide or several, as `buy --split` prints it.
#include "cli/command.h"
#include "cli/listing.h"
#include "plan/buy_split.h"

static void print_hides(const Derived *derived, const BuySplit *split, Arena *keep)
{
    const AreaUnit unit = derived->job.units.area;
    Listing listing = listing_begin("rrrll", keep);
    listing_add(&listing,
                (const char *[]){"of at least", "enough", "as cut", "95 in 100 sure", "chairs"});
    for (int i = 0; i < split->hide_count; i++) {
        const BuySplitHide *hide = &split->hides[i];
        listing_add(&listing, (const char *[]){
                                  split->enough ? area_step_text(hide->step, unit, keep) : "-",
                                  percent_text(hide->chance.share, keep),
                                  area_text(hide->cut_mm2, unit, keep),
                                  arena_text(keep, "%s to %s", percent_text(hide->chance.low, keep),
                                             percent_text(hide->chance.high, keep)),
                                  plan_buy_split_chairs(hide, keep)});
    }
    printf("\n");
    listing_print(&listing, stdout);
    printf("\nAll are enough %s of the time (95 in 100 sure: %s to %s).",
           percent_text(split->chance.share, keep), percent_text(split->chance.low, keep),
           percent_text(split->chance.high, keep));
    if (split->parted_count == 0) {
        printf(" Chairs that stand side by side come from one hide.\n");
        return;
    }
    printf(" Parted, though side by side:");
    for (int i = 0; i < split->parted_count; i++) {
        printf("%s %s", i > 0 ? "," : "", split->parted[i]);
    }
    printf(".\n");
}

static void print_split(const Derived *derived, const BuySplit *split, Arena *keep)
{
    const BuyAnswer *one = &split->one;
    const AreaUnit unit = derived->job.units.area;
    printf("%d covers, %s as cut.\n", one->covers, area_text(one->cut_mm2, unit, keep));
    print_wrapped("", plan_buy_split_advice(derived, split, keep), stdout);
    printf("\nTried on %d %s drawn at random for each, of the grade \"%s\".\n",
           one->study.tally.trials, hide_pieces_word(one->order.form, 2), one->order.grade);
    if (split->hide_count > 0) {
        print_hides(derived, split, keep);
    }
    if (split->stopped) {
        printf("\nStopped before all was tried.\n");
    }
}

int run_split(Session *session, const Derived *derived, const BuyOrder *order, bool json)
{
    BuySplit *split = ARENA_NEW(session->keep, BuySplit);
    if (!plan_buy_split(derived, order, &session->progress, session->keep, session->scratch, split,
                        session->problems)) {
        return give_up(session);
    }
    end_progress(session);
    if (json) {
        Text text = {.keep = session->keep};
        plan_buy_split_json(derived, split, &text);
        (void)fputs(text_string(&text), stdout);
    } else {
        print_split(derived, split, session->keep);
    }
    return split->stopped ? EXIT_STOPPED : EXIT_FINE;
}
