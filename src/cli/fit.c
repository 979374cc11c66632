// What would make covers fit that found no place.
#include "cli/command.h"
#include "cli/listing.h"

// The outlines of the engine's depths.
static const char *const within_words[LAYOUT_DEPTHS] = {"whole covers", "covers without their grip",
                                                        "faces and edges", "faces"};

// The depth that allows the fewest covers; among equals the one with the least to spare.
static int tightest(const LayoutBound *bound)
{
    int best = 0;
    for (int depth = 1; depth < bound->depth_count; depth++) {
        const DepthBound *a = &bound->depth[depth];
        const DepthBound *b = &bound->depth[best];
        if (a->most < b->most || (a->most == b->most && a->needed_mm2 * b->allowed_mm2 >
                                                            b->needed_mm2 * a->allowed_mm2)) {
            best = depth;
        }
    }
    return best;
}

static void print_nowhere(const Derived *derived, const LayoutBound *bound, Arena *keep)
{
    for (int d = 0; d < derived->demand_count; d++) {
        if (bound->nowhere[d]) {
            printf("Cover %s (%s) fits no hide of this job, even an empty one.\n",
                   derived->demands[d].name, chair_text(&derived->demands[d], keep));
        }
    }
}

// Whether a longer search has any hope.
static void print_bound(const Derived *derived, const CutPlan *plan, const LayoutBound *bound,
                        Arena *keep)
{
    const AreaUnit unit = derived->job.units.area;
    printf("\n");
    print_nowhere(derived, bound, keep);
    const int depth = tightest(bound);
    if (bound->depth_count == 0 || !(bound->depth[depth].needed_mm2 > 0)) {
        return; // nothing fits anywhere
    }
    const char *needs =
        arena_text(keep, "%s need %s,\nand %s of the leather is good for that", within_words[depth],
                   area_text(bound->depth[depth].needed_mm2, unit, keep),
                   area_text(bound->depth[depth].allowed_mm2, unit, keep));
    if (bound->most >= bound->wanted) {
        printf("By area alone there could be room: %s.\n"
               "A longer search may still find it: raise search.work in the job.\n",
               needs);
        return;
    }
    printf("No layout can hold more than %d of the %d: %s.\n%s\n", bound->most, bound->wanted,
           needs,
           bound->most <= plan->cover_count ? "Looking longer is pointless."
                                            : "Looking longer cannot place them all.");
}

static void print_answers(const Derived *derived, const Fit *fit, Arena *keep)
{
    Listing listing = listing_begin("rll", keep);
    listing_add(&listing, (const char *const[]){"", "change", "what it costs"});
    for (int i = 0; i < fit->answer_count; i++) {
        const char *cost = NULL;
        (void)fit_harm(&fit->answers[i].change, &cost);
        listing_add(&listing, (const char *const[]){
                                  arena_text(keep, "%d", i + 1),
                                  plan_fit_text(derived, &fit->answers[i].change, keep), cost});
    }
    printf("\nAny one of these makes all covers fit. Each was tried and laid out; least harm "
           "first:\n");
    listing_print(&listing, stdout);
}

static bool is_tolerance(const FitChange *change)
{
    return change->kind == FIT_FLAW || change->kind == FIT_FIRMNESS;
}

// Flaws and soft leather on one line: as many lines as kinds would hide the rest.
static void print_failed(const Derived *derived, const Fit *fit, Arena *keep)
{
    Text kinds = {.keep = keep};
    for (int i = 0; i < fit->failed_count; i++) {
        const FitChange *change = &fit->failed[i];
        printf("%s", i == 0 ? "\nTried this far, and no layout was found:\n" : "");
        if (!is_tolerance(change)) {
            printf("  %s\n", plan_fit_text(derived, change, keep));
            continue;
        }
        text_add(&kinds, "%s%s", kinds.length > 0 ? ", " : "",
                 change->kind == FIT_FLAW
                     ? flaw_kind_names[change->flaw]
                     : arena_text(keep, "%s leather", firmness_names[change->firmness]));
    }
    if (kinds.length > 0) {
        printf("  allow one of these nearer to the middle of the covers: %s\n",
               text_string(&kinds));
    }
}

void print_fit(Session *session, const Derived *derived, const CutPlan *plan, const Fit *fit)
{
    Arena *keep = session->keep;
    print_bound(derived, plan, &fit->bound, keep);
    if (fit->answer_count > 0) {
        print_answers(derived, fit, keep);
    }
    print_failed(derived, fit, keep);
}
