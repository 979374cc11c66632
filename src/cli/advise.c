#include "cli/command.h"
#include "cli/listing.h"
#include "plan/buying.h"

static void print_answer(const Derived *derived, const PlanAdvice *advice, Arena *keep)
{
    const LeatherWish *wish = &advice->question.wish;
    const Advice *advised = &advice->advice;
    printf("%s\n\n", derived->job.name);
    printf("Household: %s.\n", plan_household_text(derived, keep));
    printf("Advised:   %s.\n", plan_advice_text(derived, advice, keep));
    if (wish->kind >= 0 && wish->kind != (int)advised->kind) {
        printf("Wanted:    %s, which has %d points to %d; its reasons are below.\n",
               leather_kind_names[wish->kind], advised->score[wish->kind],
               advised->score[advised->kind]);
    } else if (wish->kind >= 0) {
        printf("Wanted:    %s: nothing speaks for another.\n", leather_kind_names[wish->kind]);
    }
    if (wish->grain >= 0 && wish->grain != (int)advised->grain) {
        printf("           You want %s grain; %s is advised.\n", leather_grain_names[wish->grain],
               leather_grain_names[advised->grain]);
    }
    if (advised->no_room) {
        printf("           At the corners there is not even room for that: see below.\n");
    }
    if (advised->heavy || advised->light) {
        printf("           The leather of the job, %s, is %s than that.\n",
               leather_text(advice->question.leather_mm, derived->job.units.leather, keep),
               advised->heavy ? "thicker" : "thinner");
    }
    if (!derived->job.household_given) {
        printf("           Put a \"household\" into the job for better advice.\n");
    }
    printf("\n");
}

static const char *points_text(int points, Arena *keep)
{
    return points == 0 ? "0" : arena_text(keep, "%+d", points);
}

// Kinds in the order of advice, then grains; the sums stand below.
static void print_points(const Advice *advised, Arena *keep)
{
    enum { COLUMNS = 1 + LEATHER_KIND_COUNT + LEATHER_GRAIN_COUNT };
    const char *cells[COLUMNS] = {"points for and against"};
    Listing listing = listing_begin("lrrrrrr", keep);
    for (int k = 0; k < LEATHER_KIND_COUNT; k++) {
        cells[1 + k] = leather_kind_names[advised->order[k]];
    }
    for (int g = 0; g < LEATHER_GRAIN_COUNT; g++) {
        cells[1 + LEATHER_KIND_COUNT + g] = arena_text(keep, "%s grain", leather_grain_names[g]);
    }
    listing_add(&listing, cells);
    for (int r = 0; r <= ADVICE_RULE_COUNT; r++) {
        const bool sums = r == ADVICE_RULE_COUNT;
        if (!sums && !advised->holds[r]) {
            continue;
        }
        const int *kind = sums ? advised->score : advice_rules[r].kind;
        const int *grain = sums ? advised->grain_score : advice_rules[r].grain;
        cells[0] = sums ? "all together" : advice_rules[r].when;
        for (int k = 0; k < LEATHER_KIND_COUNT; k++) {
            cells[1 + k] = sums ? arena_text(keep, "%d", kind[advised->order[k]])
                                : points_text(kind[advised->order[k]], keep);
        }
        for (int g = 0; g < LEATHER_GRAIN_COUNT; g++) {
            cells[1 + LEATHER_KIND_COUNT + g] =
                sums ? arena_text(keep, "%d", grain[g]) : points_text(grain[g], keep);
        }
        listing_add(&listing, cells);
    }
    listing_print(&listing, stdout);
}

static void print_reasons(const Advice *advised, Arena *keep)
{
    printf("\nBecause:\n");
    for (int r = 0; r < ADVICE_RULE_COUNT; r++) {
        if (advised->holds[r]) {
            print_wrapped("  - ",
                          arena_text(keep, "%s: %s (%s)", advice_rules[r].when,
                                     advice_rules[r].reason, advice_rules[r].source),
                          stdout);
        }
    }
    printf("\nThe kinds:\n");
    for (int k = 0; k < LEATHER_KIND_COUNT; k++) {
        printf("  %s: %s\n", leather_kind_names[advised->order[k]],
               leather_kind_meanings[advised->order[k]]);
    }
}

static void print_thickness(const Derived *derived, const PlanAdvice *advice, Arena *keep)
{
    const Units units = derived->job.units;
    Listing listing = listing_begin("lrrrrrl", keep);
    listing_add(&listing, (const char *const[]){"seat", "clearance", "layers", "straight up to",
                                                "corners up to", "corners need", "this leather"});
    bool tight = false;
    bool guessed = false;
    for (int i = 0; i < advice->question.seat_count; i++) {
        const AdviceSeat *seat = &advice->question.seats[i];
        const ThicknessCheck *check = &advice->checks[i];
        tight = tight || !check->fits;
        guessed = guessed || !check->measured;
        listing_add(
            &listing,
            (const char *const[]){
                seat->name,
                arena_text(keep, "%s%s", layers_text(check->clearance_mm, units.length, keep),
                           check->measured ? "" : " *"),
                layers_text(seat->layers_mm, units.length, keep),
                leather_at_most_text(check->straight_max_mm, units.leather, keep),
                leather_at_most_text(check->corner_max_mm, units.leather, keep),
                layers_text(check->needed_mm, units.length, keep), thickness_room_text(check)});
    }
    printf("\nThe leather of the job is %s. On each side between board and rail: one leather\n"
           "on the straight, at most %d at a folded corner, the layers over the sides, and\n"
           "%.1f mm to drop in:\n",
           leather_text(advice->question.leather_mm, units.leather, keep), (int)CORNER_LEATHERS_MAX,
           DROP_IN_MM);
    listing_print(&listing, stdout);
    if (guessed) {
        print_wrapped("  * ", clearance_remedy, stdout);
    }
    if (tight) {
        print_wrapped("  ", thickness_remedy, stdout);
    }
}

static void print_tests(LeatherKind kind, Arena *keep)
{
    printf("\nWhat to ask the seller of %s leather for:\n", leather_kind_names[kind]);
    for (int t = 0; t < LEATHER_TEST_COUNT; t++) {
        const LeatherTest *test = &leather_tests[t];
        if (test->least[kind]) {
            printf("  [ ] %s: %s\n", test->property, test->least[kind]);
            print_wrapped("      ", arena_text(keep, "%s (%s)", test->meaning, test->method),
                          stdout);
        }
    }
    printf("  Source: %s.\n", leather_tests_source);
}

static void print_cautions(void)
{
    printf("\nLook out:\n");
    for (int i = 0; i < LEATHER_CAUTION_COUNT; i++) {
        print_wrapped("  - ", leather_cautions[i], stdout);
    }
    for (int i = 0; i < FIRE_CAUTION_COUNT; i++) {
        print_wrapped("  - ", fire_cautions[i], stdout);
    }
}

static void print_all(const Derived *derived, const PlanAdvice *advice, Arena *keep)
{
    print_answer(derived, advice, keep);
    print_points(&advice->advice, keep);
    print_reasons(&advice->advice, keep);
    print_thickness(derived, advice, keep);
    print_tests(advice->advice.kind, keep);
    print_cautions();
}

static int run(Session *session, const Arguments *arguments)
{
    Derived derived;
    int status = EXIT_FINE;
    if (!open_job(session, arguments, &derived, &status)) {
        return status;
    }
    Arena *keep = session->keep;
    const PlanAdvice advice = plan_advise(&derived, keep);
    if (arguments->json) {
        Text text = {.keep = keep};
        plan_advice_json(&derived, &advice, &text);
        (void)fputs(text_string(&text), stdout);
    } else {
        print_all(&derived, &advice, keep);
    }
    return print_pages(session, &derived, arguments, (BuyingKnown){0}) ? EXIT_FINE
                                                                       : give_up(session);
}

const Command advise_command = {
    .name = "advise",
    .summary = "which leather, how thick, and what to ask the seller for",
    .help =
        "seatwright advise JOB [--print FILE.pdf] [--date 2026-01-31] [--json]\n"
        "\n"
        "From the household, the look and the work of the job to a kind of leather, a\n"
        "thickness that has room between seat and chair, and the values to ask the seller\n"
        "for, with what they mean. All reasons are shown; docs/leather.md has the rules.\n"
        "Needs no hide. JOB may be - for standard input.\n"
        "\n"
        "With --print the advice goes on paper too, with a list of what to look at in the shop\n"
        "and a table for the hides seen. `buy --print` adds how much to ask for.\n"
        "\n"
        "  seatwright advise examples/rowing-club.json\n"
        "  seatwright advise --json examples/mill-kitchen.json\n"
        "\n"
        "Exit status: 0 done, 1 the system refused, 2 mistakes in the job, 3 no such file.\n",
    .takes_json = true,
    .takes_print = true,
    .run = run,
};
