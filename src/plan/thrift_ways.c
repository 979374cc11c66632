#include "plan/thrift_ways.h"

#include "buying/need.h"
#include "cutting/fit_change.h"

enum {
    SAMPLE_HIDES = 12, // tell which flaws and firmness drawn hides have
    TURN_STEP = 5,     // degrees; one alone would not be worth the words
};
static const double quarter_inch_mm = MM_PER_IN / 4;
static const double metric_step_mm = 5;
// Nearer to the edge a tack splits it: common practice.
static const double least_inset_mm = 12;

// The collecting under way.
typedef struct Ways {
    const Derived *derived;
    Derived seen; // with drawn hides in place of the job's
    Laying laying;
    double step_mm;
    Arena *keep;
    Arena *scratch;
    ThriftWay *items;
    int count;
} Ways;

static void add(Ways *ways, ThriftWay way)
{
    if (ways->count < THRIFT_OPTIONS_MAX) {
        ways->items[ways->count++] = way;
    }
}

static bool draw_sample(Ways *ways, const Study *study, Problems *problems)
{
    Hide *hides = ARENA_ARRAY(ways->keep, Hide, SAMPLE_HIDES);
    for (int i = 0; i < SAMPLE_HIDES; i++) {
        const HideAsked asked = {.form = study->form,
                                 .stamped_mm2 = need_first_guess(study) * area_step_mm2,
                                 .seed = study->seed,
                                 .trial = (uint64_t)i,
                                 .grade = study->grade};
        if (!study->draw(study->context, &asked, ways->keep, ways->scratch, &hides[i], problems)) {
            return false;
        }
    }
    ways->seen.hides = hides;
    ways->seen.hide_count = SAMPLE_HIDES;
    ways->laying.hides = hides;
    ways->laying.hide_count = SAMPLE_HIDES;
    return true;
}

// What cutting offers to make covers fit. A change that this job's covers cannot have is left out.
static void add_fit_ways(Ways *ways)
{
    FitWay *all = ARENA_ARRAY(ways->scratch, FitWay, FIT_WAYS_MAX);
    const int count = fit_ways(&ways->laying, ways->step_mm, all);
    for (int i = 0; i < count; i++) {
        if (all[i].kind == FIT_LARGER || all[i].kind == FIT_FEWER) {
            continue;
        }
        const int step = all[i].kind == FIT_TURN && all[i].steps >= TURN_STEP ? TURN_STEP : 1;
        const FitChange change = fit_change(&ways->laying, &all[i], step, ways->step_mm);
        Problems *doubts = problems_in(ways->scratch);
        Laying changed;
        if (!fit_laying(&ways->laying, &change, ways->keep, ways->scratch, &changed, doubts)) {
            continue;
        }
        ThriftWay way = {.change = plan_fit_text(&ways->seen, &change, ways->keep),
                         .option = {changed.demands, changed.demand_count, changed.rules}};
        (void)fit_harm(&change, &way.cost);
        add(ways, way);
    }
}

// A cover whose tack line lies nearer to the edge at the back. False when it cannot be made.
static bool move_tacks(Ways *ways, const CoverDemand *old, CoverDemand *demand)
{
    CoverRecipe recipe = old->cover->recipe;
    if (!recipe.fixing ||
        recipe.fixing->tack_inset_mm.at[SIDE_BACK] - ways->step_mm < least_inset_mm - 1e-9) {
        return false;
    }
    Fixing *fixing = ARENA_NEW(ways->keep, Fixing);
    *fixing = *recipe.fixing;
    fixing->tack_inset_mm.at[SIDE_BACK] -= ways->step_mm;
    recipe.fixing = fixing;
    Cover *cover = ARENA_NEW(ways->keep, Cover);
    Problems *doubts = problems_in(ways->scratch);
    *demand = *old;
    demand->cover = cover;
    return cover_make(old->cover->frame, &recipe, old->name, ways->keep, ways->scratch, cover,
                      doubts);
}

static void add_tacks(Ways *ways)
{
    const Derived *derived = ways->derived;
    CoverDemand *demands = ARENA_ARRAY(ways->keep, CoverDemand, derived->demand_count + 1);
    for (int i = 0; i < derived->demand_count; i++) {
        if (!move_tacks(ways, &derived->demands[i], &demands[i])) {
            return;
        }
    }
    const LengthUnit unit = derived->job.units.length;
    add(ways,
        (ThriftWay){.change = arena_text(ways->keep,
                                         "tack %s nearer to the edge at the back, with a turn "
                                         "as much shorter",
                                         length_text(ways->step_mm, unit, ways->keep)),
                    .cost = "less wood for the tacks to hold in; out of sight",
                    .option = {demands, derived->demand_count, &derived->job.laying}});
}

static int largest_cover(const Derived *derived)
{
    int largest = 0;
    for (int i = 1; i < derived->demand_count; i++) {
        if (derived->demands[i].cover->gross_area_mm2 >
            derived->demands[largest].cover->gross_area_mm2) {
            largest = i;
        }
    }
    return largest;
}

static void add_fewer(Ways *ways)
{
    const Derived *derived = ways->derived;
    const int largest = largest_cover(derived);
    CoverDemand *demands = ARENA_ARRAY(ways->keep, CoverDemand, derived->demand_count + 1);
    int count = 0;
    int covers = 0;
    for (int i = 0; i < derived->demand_count; i++) {
        CoverDemand demand = derived->demands[i];
        demand.count -= i == largest ? 1 : 0;
        covers += demand.count;
        if (demand.count > 0) {
            demands[count++] = demand;
        }
    }
    if (covers == 0) {
        return;
    }
    const CoverDemand *left_out = &derived->demands[largest];
    add(ways, (ThriftWay){.change = arena_text(ways->keep, "one cover fewer (%s)", left_out->seat),
                          .cost = "a seat left bare, or covered from other leather",
                          .option = {demands, count, &derived->job.laying}});
}

bool thrift_ways(const Derived *derived, const Study *study, Arena *keep, Arena *scratch,
                 ThriftWay *ways, int *count, Problems *problems)
{
    const ArenaMark mark = arena_mark(scratch);
    Ways list = {.derived = derived,
                 .seen = *derived,
                 .laying = {.demands = derived->demands,
                            .demand_count = derived->demand_count,
                            .rules = &derived->job.laying},
                 .step_mm =
                     derived->job.units.length == LENGTH_IN ? quarter_inch_mm : metric_step_mm,
                 .keep = keep,
                 .scratch = scratch,
                 .items = ways};
    const bool good = draw_sample(&list, study, problems);
    if (good) {
        add_fit_ways(&list);
        add_tacks(&list);
        add_fewer(&list);
        *count = list.count;
    }
    arena_rewind(scratch, mark);
    return good;
}
