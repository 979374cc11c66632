#include "plan/plan.h"

#include "plan/files.h"

#include <string.h>

// A, B, ... Z, AA, AB, ...
static const char *letter_name(int index, Arena *keep)
{
    const char last = (char)('A' + index % 26);
    if (index < 26) {
        return arena_text(keep, "%c", last);
    }
    return arena_text(keep, "%s%c", letter_name(index / 26 - 1, keep), last);
}

// What one cover is made of, wherever it stands in the job.
typedef struct CoverSource {
    const Frame *frame;
    const BuildUp *build_up;
    const Fixing *fixing;
    const char *where;
} CoverSource;

// The derivation under way.
typedef struct Deriving {
    Derived *derived;
    Arena *keep;
    Arena *scratch;
    Problems *problems;
    int read_problems; // so many were there before: those of the document itself
} Deriving;

// Whether the document has no mistake at a path or below it, other than below `but`.
// What is sound is derived though other parts are not, so that a person sees all
// mistakes at once.
static bool is_sound(const Deriving *deriving, const char *path, const char *but)
{
    const size_t length = strlen(path);
    for (int i = 0; i < deriving->read_problems; i++) {
        const Problem *problem = &deriving->problems->items[i];
        const bool below = strncmp(problem->where, path, length) == 0 &&
                           strchr(".[", problem->where[length]) != NULL;
        const bool left_out = but && strncmp(problem->where, but, strlen(but)) == 0;
        if (problem->kind != PROBLEM_DOUBT && below && !left_out) {
            return false;
        }
    }
    return true;
}

static bool make_cover(Deriving *deriving, const JobSeat *seat, CoverSource source, Cover *cover)
{
    Ring outline;
    Arena *keep = deriving->keep;
    const char *where = arena_text(keep, "%s.frame", source.where);
    const CoverRecipe recipe = {source.build_up, source.fixing, &deriving->derived->job.leather,
                                seat->cut};
    return frame_outline(source.frame, where, keep, deriving->scratch, &outline,
                         deriving->problems) &&
           cover_make(outline, &recipe, source.where, keep, deriving->scratch, cover,
                      deriving->problems);
}

static void add_demand(Deriving *deriving, const JobSeat *seat, const CoverDemand *wanted,
                       CoverSource source)
{
    Derived *derived = deriving->derived;
    Cover *cover = ARENA_NEW(deriving->keep, Cover);
    if (!make_cover(deriving, seat, source, cover)) {
        return; // the others are still worth checking
    }
    CoverDemand *demand = &derived->demands[derived->demand_count];
    *demand = *wanted;
    demand->cover = cover;
    demand->name = letter_name(derived->demand_count, deriving->keep);
    demand->seat = seat->name;
    derived->demand_count++;
}

static void derive_covers(Deriving *deriving)
{
    Derived *derived = deriving->derived;
    Arena *keep = deriving->keep;
    derived->demands = ARENA_ARRAY(keep, CoverDemand, JOB_SEATS_MAX + JOB_CHAIRS_MAX);
    int *beside_seat = ARENA_ARRAY(keep, int, JOB_SEATS_MAX);
    int *beside_chair = ARENA_ARRAY(keep, int, JOB_CHAIRS_MAX);
    job_groups(&derived->job, beside_seat, beside_chair);
    int row = 0; // of all chairs of all kinds
    for (int s = 0; s < derived->job.seat_count; s++) {
        const JobSeat *seat = &derived->job.seats[s];
        const char *where = arena_text(keep, "seats[%d]", s);
        const int first = row;
        row += seat->chair_count;
        if (!is_sound(deriving, where, arena_text(keep, "%s.chairs[", where))) {
            continue;
        }
        const int plain = seat->count - seat->chair_count;
        if (plain > 0) {
            const CoverSource kind = {&seat->frame, &seat->build_up, &seat->fixing, where};
            add_demand(deriving, seat, &(CoverDemand){.count = plain, .beside = beside_seat[s]},
                       kind);
        }
        for (int c = 0; c < seat->chair_count; c++) {
            const JobChair *chair = &seat->chairs[c];
            const CoverSource own = {&chair->frame, &chair->build_up, &chair->fixing,
                                     arena_text(keep, "%s.chairs[%d]", where, c)};
            if (is_sound(deriving, own.where, NULL)) {
                const CoverDemand one = {
                    .chair = chair->name, .count = 1, .beside = beside_chair[first + c]};
                add_demand(deriving, seat, &one, own);
            }
        }
    }
}

static void derive_hides(Deriving *deriving)
{
    Derived *derived = deriving->derived;
    const Job *job = &derived->job;
    derived->hides = ARENA_ARRAY(deriving->keep, Hide, job->hide_count > 0 ? job->hide_count : 1);
    for (int h = 0; h < job->hide_count; h++) {
        const char *where = arena_text(deriving->keep, "hides[%d]", h);
        Hide *hide = &derived->hides[derived->hide_count];
        if (!is_sound(deriving, where, NULL)) {
            continue;
        }
        if (hide_make(&job->hides[h], where, job->units, deriving->keep, deriving->scratch, hide,
                      deriving->problems)) {
            derived->hide_count++;
        }
    }
}

bool plan_derive_text(const char *text, size_t bytes, const char *source, Arena *keep,
                      Arena *scratch, Derived *derived, Problems *problems)
{
    *derived = (Derived){.text = text, .text_bytes = bytes};
    const bool read = job_read(text, bytes, source, keep, &derived->job, problems);
    Deriving deriving = {derived, keep, scratch, problems, problems->count};
    // A full list means that reading stopped half way.
    if (read || problems->count < PROBLEMS_MAX) {
        if (is_sound(&deriving, "leather", NULL)) {
            derive_covers(&deriving);
        }
        derive_hides(&deriving);
    }
    return problems_none(problems);
}

bool plan_derive(const char *path, Arena *keep, Arena *scratch, Derived *derived,
                 Problems *problems)
{
    *derived = (Derived){0};
    const char *text = NULL;
    size_t bytes = 0;
    if (!file_read(path, JOB_BYTES_MAX, keep, &text, &bytes, problems)) {
        return false;
    }
    const char *source = path[0] == '-' && path[1] == 0 ? "standard input" : path;
    return plan_derive_text(text, bytes, source, keep, scratch, derived, problems);
}

bool plan_lay(const Derived *derived, const Progress *progress, Arena *keep, Arena *scratch,
              CutPlan *plan, Problems *problems)
{
    if (derived->hide_count == 0) {
        return problems_add(problems,
                            (Problem){.kind = PROBLEM_BAD_INPUT,
                                      .where = "hides",
                                      .found = "the job has no hide to lay the covers on",
                                      .allowed = "at least one hide",
                                      .remedy = "measure the hide and add it; `covers` works "
                                                "without one"});
    }
    const Laying laying = {derived->demands, derived->demand_count, derived->hides,
                           derived->hide_count, &derived->job.laying};
    LayoutOptions options = derived->job.search;
    options.work = plan_work(derived);
    return cutting_lay(&laying, options, progress, keep, scratch, plan, problems);
}

// Ten hides took one unit to find room for 120 seats, and two to four to leave one of them
// whole (docs/layout.md).
double plan_work(const Derived *derived)
{
    const double for_hide = 0.4;
    const double work = derived->job.search.work > 0 ? derived->job.search.work : 1;
    return work * fmax(1, for_hide * derived->hide_count);
}

PlanTotals plan_totals(const Derived *derived, const CutPlan *plan)
{
    PlanTotals totals = {.placed = plan->cover_count};
    for (int d = 0; d < derived->demand_count; d++) {
        totals.wanted += derived->demands[d].count;
    }
    for (int h = 0; h < derived->hide_count; h++) {
        if (!hide_is_left_whole(plan, h)) {
            totals.hides_cut++;
            totals.cut_mm2 += derived->hides[h].area_mm2;
            totals.used_mm2 += plan->used_mm2[h];
            totals.price += derived->hides[h].price;
        }
    }
    return totals;
}

const char *plan_left_whole_text(const Derived *derived, const CutPlan *plan, Arena *keep)
{
    Text text = {.keep = keep};
    for (int h = 0; h < derived->hide_count; h++) {
        if (hide_is_left_whole(plan, h)) {
            text_add(&text, "%s%s", text.length > 0 ? ", " : "", derived->hides[h].name);
        }
    }
    return text_string(&text);
}
