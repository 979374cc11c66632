// What several commands print alike.
#include "cli/command.h"

#include "cli/listing.h"

#include <string.h>

static void print_problem(FILE *to, const Problem *problem)
{
    (void)fprintf(to, "%s: %s\n", problem->where, problem->found);
    if (problem->allowed) {
        (void)fprintf(to, "  allowed: %s\n", problem->allowed);
    }
    if (problem->remedy) {
        (void)fprintf(to, "  remedy:  %s\n", problem->remedy);
    }
}

static void print_kind(FILE *to, const Problems *problems, bool doubts)
{
    for (int i = 0; i < problems->count; i++) {
        if ((problems->items[i].kind == PROBLEM_DOUBT) == doubts) {
            print_problem(to, &problems->items[i]);
        }
    }
}

void print_problems(FILE *to, const Problems *problems)
{
    print_kind(to, problems, false);
    if (problems->doubts > 0) {
        (void)fprintf(to, "%sTo look at again (%d):\n", problems->mistakes > 0 ? "\n" : "",
                      problems->doubts);
        print_kind(to, problems, true);
    }
    const int left_out = problems->mistakes + problems->doubts - problems->count;
    if (left_out > 0) {
        (void)fprintf(to, "... and %d more\n", left_out);
    }
}

const char *percent_text(double share, Arena *keep)
{
    return arena_text(keep, "%.0f %%", 100 * share);
}

int give_up(Session *session)
{
    end_progress(session);
    print_problems(stderr, session->problems);
    const int mistakes = session->problems->mistakes;
    if (mistakes > 1) {
        (void)fprintf(stderr, "\n%d mistakes\n", mistakes);
    }
    const int status = problems_exit_status(session->problems);
    if (!status) {
        (void)fputs("seatwright: it ended without saying why; that is a mistake of the program\n",
                    stderr);
    }
    return status ? status : EXIT_SYSTEM;
}

bool open_job(Session *session, const Arguments *arguments, Derived *derived, int *status)
{
    if (plan_derive(arguments->job, session->keep, session->scratch, derived, session->problems)) {
        return true;
    }
    *status = give_up(session);
    return false;
}

static void print_hides(Session *session, const Derived *derived, const CutPlan *plan)
{
    const Units units = derived->job.units;
    Arena *keep = session->keep;
    Listing listing = listing_begin(plan->left ? "llrrrrrl" : "llrrrr", keep);
    listing_add(&listing, (const char *const[]){"hide", "form", "stamped", "measured", "used",
                                                "share", "largest remnant", "largest rectangle"});
    for (int h = 0; h < derived->hide_count; h++) {
        const Hide *hide = &derived->hides[h];
        const bool whole = derived->hide_count > 1 && hide_is_left_whole(plan, h);
        const Remnant *left = whole || !plan->left ? NULL : &plan->left[h];
        listing_add(
            &listing,
            (const char *const[]){
                hide->name, hide_form_word(hide),
                hide->stamped_mm2 > 0 ? area_text(hide->stamped_mm2, units.area, keep) : "-",
                area_text(hide->area_mm2, units.area, keep),
                whole ? "-" : area_text(plan->used_mm2[h], units.area, keep),
                whole ? "-" : percent_text(plan->used_mm2[h] / hide->area_mm2, keep),
                left    ? remnant_area_text(left, units.area, keep)
                : whole ? "left whole"
                        : NULL,
                left ? remnant_rectangle_text(left, plan->useful_mm, units.length, keep) : NULL});
    }
    listing_print(&listing, stdout);
}

static const char *out_text(double out_mm, Units units, Arena *keep)
{
    const char *digits = length_digits(fabs(out_mm), units.length, keep);
    return strcmp(digits, "0") == 0
               ? "0"
               : arena_text(keep, "%s %s", digits, out_mm > 0 ? "left" : "right");
}

static const char *touch_text(const PlacedCover *placed, const Hide *hide, Arena *keep)
{
    Text text = {.keep = keep};
    for (int t = 0; t < placed->touch_count; t++) {
        const Touch *touch = &placed->touches[t];
        text_add(&text, "%s", t > 0 ? ", " : "");
        if (touch->flaw >= 0) {
            text_add(&text, "%s %d in the %s", flaw_kind_names[hide->flaws[touch->flaw].kind],
                     touch->flaw + 1, band_names[touch->band]);
        } else {
            text_add(&text, "%s in the %s", region_kind_names[hide->regions[touch->region].kind],
                     band_names[touch->band]);
        }
    }
    return text_string(&text);
}

static void add_placement(Listing *listing, const Derived *derived, const CutPlan *plan, int p,
                          Arena *keep)
{
    const Units units = derived->job.units;
    const PlacedCover *placed = &plan->covers[p];
    const Point middle = ring_centroid(placed->within[BAND_FACE]);
    listing_add(listing,
                (const char *const[]){
                    arena_text(keep, "%d", p + 1), cover_name(derived->demands, placed, keep),
                    chair_text(&derived->demands[placed->demand], keep),
                    length_digits(middle.x, units.length, keep), out_text(middle.y, units, keep),
                    arena_text(keep, "%.0f°", placed->motion.turn_rad / RAD_PER_DEG),
                    touch_text(placed, &derived->hides[placed->hide], keep),
                    beside_text(derived->demands, derived->demand_count, placed->demand, keep)});
}

static bool any_beside(const Derived *derived)
{
    for (int d = 0; d < derived->demand_count; d++) {
        if (derived->demands[d].beside > 0) {
            return true;
        }
    }
    return false;
}

static void print_placements(Session *session, const Derived *derived, const CutPlan *plan,
                             int hide)
{
    Listing listing = listing_begin(any_beside(derived) ? "rllrrrll" : "rllrrrl", session->keep);
    listing_add(&listing, (const char *const[]){"cut", "cover", "for", "middle up", "out", "turned",
                                                "touches", "beside"});
    for (int p = 0; p < plan->cover_count; p++) {
        if (plan->covers[p].hide == hide) {
            add_placement(&listing, derived, plan, p, session->keep);
        }
    }
    if (listing.rows == 1) {
        return; // nothing is cut from this one
    }
    printf("\n%s, in the order of cutting (up the backbone from the butt, out from it; %s):\n",
           derived->hides[hide].name, length_unit_name(derived->job.units.length));
    listing_print(&listing, stdout);
    const char *shared =
        plan->cuts ? shared_cuts_text(plan->cuts[hide], derived->job.units.length, session->keep)
                   : "";
    if (*shared) {
        printf("Straight cuts: %s.\n", shared);
    }
}

static void print_left_over(const Derived *derived, const CutPlan *plan, Arena *keep)
{
    for (int u = 0; u < plan->unplaced_count; u++) {
        const Unplaced *unplaced = &plan->unplaced[u];
        const CoverDemand *demand = &derived->demands[unplaced->demand];
        printf("%s%d of cover %s (%s) found no place: %s\n", u == 0 ? "\n" : "", unplaced->count,
               demand->name, chair_text(demand, keep), unplaced->reason);
    }
}

// The answer in a line or two.
static void print_totals(Session *session, const Derived *derived, const CutPlan *plan)
{
    const PlanTotals totals = plan_totals(derived, plan);
    const double percent = totals.cut_mm2 > 0 ? 100 * totals.used_mm2 / totals.cut_mm2 : 0;
    printf("%s\n", derived->job.name);
    if (derived->hide_count == 1) {
        printf("%d of %d covers have a place; %.0f %% of the leather is used\n\n", totals.placed,
               totals.wanted, percent);
        return;
    }
    printf("%d of %d covers have a place, on %d of %d hides; %.0f %% of %s leather is used\n",
           totals.placed, totals.wanted, totals.hides_cut, derived->hide_count, percent,
           totals.hides_cut == 1 ? "its" : "their");
    const char *whole = plan_left_whole_text(derived, plan, session->keep);
    if (*whole) {
        printf("Left whole: %s\n", whole);
    }
    if (totals.price > 0) {
        printf("Price of the hides cut into: %.2f\n", totals.price);
    }
    printf("\n");
}

void print_plan(Session *session, const Derived *derived, const CutPlan *plan)
{
    print_totals(session, derived, plan);
    print_hides(session, derived, plan);
    for (int h = 0; h < derived->hide_count; h++) {
        print_placements(session, derived, plan, h);
    }
    print_left_over(derived, plan, session->keep);
    if (session->problems->doubts > 0) {
        printf("\n");
        print_problems(stdout, session->problems);
    }
}

bool print_pages(Session *session, const Derived *derived, const Arguments *arguments,
                 BuyingKnown known)
{
    if (!arguments->print) {
        return true;
    }
    const PrintOrder order = {arguments->print, arguments->date, known};
    int pages = 0;
    // Trials that were stopped are printed all the same, so nothing here asks for a stop.
    if (!plan_print_buying(derived, &order, NULL, session->keep, &pages, session->problems)) {
        return false;
    }
    if (!arguments->json) {
        printf("\n%d pages are in %s.\n", pages, arguments->print);
    }
    return true;
}
