#include "plan/plan.h"

#include <string.h>

// Grip is measured out in these.
static const double quarter_inch_mm = MM_PER_IN / 4;
static const double metric_step_mm = 5;

bool plan_fit(const Derived *derived, const FitWish *wish, const Progress *progress, Arena *keep,
              Arena *scratch, Fit *fit, Problems *problems)
{
    const Job *job = &derived->job;
    const Laying laying = {derived->demands, derived->demand_count, derived->hides,
                           derived->hide_count, &job->laying};
    const FitOrder order = {.laying = &laying,
                            .plan = wish->plan,
                            .seed = job->search.seed,
                            .work = wish->times * plan_work(derived),
                            .grip_step_mm =
                                job->units.length == LENGTH_IN ? quarter_inch_mm : metric_step_mm};
    return cutting_fit(&order, progress, keep, scratch, fit, problems);
}

static const char *sides_text(const bool *sides)
{
    if (sides[SIDE_FRONT] && sides[SIDE_LEFT]) {
        return "on all sides";
    }
    return sides[SIDE_FRONT] ? "at front and back" : "at left and right";
}

static const char *degrees_text(double turn_rad, Arena *keep)
{
    return arena_text(keep, "%.3g°", turn_rad / RAD_PER_DEG);
}

// The kinds of region that have this firmness, in all hides: `belly, flank`.
static const char *regions_text(const Derived *derived, Firmness firmness, Arena *keep)
{
    Text text = {.keep = keep};
    for (int kind = 0; kind < REGION_KIND_COUNT; kind++) {
        bool has = false;
        for (int h = 0; h < derived->hide_count; h++) {
            const Hide *hide = &derived->hides[h];
            for (int r = 0; r < hide->region_count; r++) {
                has |= (int)hide->regions[r].kind == kind && hide->regions[r].firmness == firmness;
            }
        }
        if (has) {
            text_add(&text, "%s%s", text.length > 0 ? ", " : "", region_kind_names[kind]);
        }
    }
    return text_string(&text);
}

// `up to the edge (now up to the turn)`
static const char *bands_text(const FitChange *change, Arena *keep)
{
    const char *now = change->allowed_now == NO_BAND
                          ? "nowhere"
                          : arena_text(keep, "up to the %s", band_names[change->allowed_now]);
    return arena_text(keep, "up to the %s (now %s)", band_names[change->allowed], now);
}

static const char *larger_text(const Derived *derived, double larger, Arena *keep)
{
    double area_mm2 = 0;
    for (int h = 0; h < derived->hide_count; h++) {
        area_mm2 += derived->hides[h].area_mm2 * (1 + larger);
    }
    const bool one = derived->hide_count == 1;
    const char *much = larger > 1 ? arena_text(keep, "%.4g times as large", 1 + larger)
                                  : arena_text(keep, "%.0f %% larger", 100 * larger);
    return arena_text(keep, "%s, but %s%s: %s%s", one ? "a hide like this one" : "hides like these",
                      one ? "" : "each ", much, area_text(area_mm2, derived->job.units.area, keep),
                      one ? "" : " together");
}

const char *plan_fit_text(const Derived *derived, const FitChange *change, Arena *keep)
{
    const Job *job = &derived->job;
    switch (change->kind) {
    case FIT_FOLLOWING:
        return "cut the covers along their outline instead of straight";
    case FIT_EITHER_WAY:
        return "let fronts look to the neck as well as to the butt";
    case FIT_TURN:
        return arena_text(keep, "turn covers up to %s off the firm direction (now %s)",
                          degrees_text(change->turn_window_rad, keep),
                          degrees_text(job->laying.turn_window_rad, keep));
    case FIT_GRIP:
        return arena_text(keep, "shorten the grip %s by %s, to no less than %s",
                          sides_text(change->sides),
                          length_text(change->shorter_mm, job->units.length, keep),
                          length_text(FIT_LEAST_GRIP_MM, job->units.length, keep));
    case FIT_FLAW:
        return arena_text(keep, "allow %s %s",
                          change->flaw == FLAW_STRETCHED ? "stretched leather"
                                                         : flaw_kind_names[change->flaw],
                          bands_text(change, keep));
    case FIT_FIRMNESS:
        return arena_text(keep, "allow %s leather (%s) %s", firmness_names[change->firmness],
                          regions_text(derived, change->firmness, keep), bands_text(change, keep));
    case FIT_LARGER:
        return larger_text(derived, change->larger, keep);
    case FIT_FEWER:
        return change->fewer == 1
                   ? "one cover fewer: the plan above"
                   : arena_text(keep, "%d covers fewer: the plan above", change->fewer);
    case FIT_KIND_COUNT:
        break;
    }
    return "";
}
