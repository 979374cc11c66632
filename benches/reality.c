// Drawn hides held against real ones: docs/benches.md.
//
//   bench_reality DIR TRIALS WORK JOB...
//
// For the covers of each job: from which stamped area on every real hide of the folder DIR is
// enough, by the full search with so much WORK; the same for drawn hides of the grade sound without
// brands; and what `buy` says by its own quicker look, with so many TRIALS.
#include "hide_files.h"
#include "options.h"

#include "buying/draw.h"
#include "plan/plan.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

// Hides of which the six of upholstery are; those of garments in the same file have no scale.
static const double least_width_mm = 2200;
static const double most_width_mm = 3500;
static const double large_flaw_mm2 = 1e4;

static const double z = 1.96;
enum { DRAWN = 24 };

typedef struct Bench {
    Arena *keep;
    Arena *scratch;
    Problems *problems;
    Problems *own; // of what is looked at
    RealHides hides;
    HideGrade grade;
    int trials;
    double work;
} Bench;

// What an area of a quality is taken for; the data do not say what it was. As drawn ones are:
// spots and cuts are small, worn and soft areas large.
static FlawKind kind_of(const HideArea *area)
{
    static const FlawKind small[] = {FLAW_HOLE, FLAW_OPEN_SCAR, FLAW_SCAR, FLAW_TICKS};
    static const FlawKind large[] = {FLAW_THIN, FLAW_LOOSE_GRAIN, FLAW_LOOSE_GRAIN, FLAW_WRINKLE};
    return (fabs(ring_area_mm2(area->ring)) > large_flaw_mm2 ? large : small)[area->quality];
}

static bool is_upholstery(const RealHide *real)
{
    const Box box = ring_box(real->outline);
    const double length_mm = box.max.x - box.min.x;
    return length_mm > least_width_mm && length_mm < most_width_mm &&
           real->outline.count > 200; // garment hides have fewer than a hundred points
}

// A real hide as if it were stamped with another area: the outline and the places of its flaws
// scaled, the flaws as large as they are, which is how drawn ones grow.
static bool hide_scaled(const RealHide *real, double area_mm2, Arena *keep, Arena *scratch,
                        Hide *hide, Problems *problems)
{
    const double scale = sqrt(area_mm2 / fabs(ring_area_mm2(real->outline)));
    const double butt_mm = ring_box(real->outline).min.x;
    const double backbone_mm = ring_centroid(real->outline).y;
    Point *points = ARENA_ARRAY(keep, Point, real->outline.count);
    for (int i = 0; i < real->outline.count; i++) {
        const Point p = real->outline.points[i];
        points[i] = (Point){scale * (p.x - butt_mm), scale * (p.y - backbone_mm)};
    }
    FlawEntry *flaws = ARENA_ARRAY(keep, FlawEntry, real->area_count + 1);
    for (int k = 0; k < real->area_count; k++) {
        const Ring ring = real->areas[k].ring;
        const Point middle = ring_centroid(ring);
        Point *corners = ARENA_ARRAY(keep, Point, ring.count);
        for (int i = 0; i < ring.count; i++) {
            corners[i] = (Point){scale * (middle.x - butt_mm) + ring.points[i].x - middle.x,
                                 scale * (middle.y - backbone_mm) + ring.points[i].y - middle.y};
        }
        flaws[k] = (FlawEntry){.kind = kind_of(&real->areas[k]),
                               .form = FLAW_AREA,
                               .points = corners,
                               .point_count = ring.count};
    }
    const HideEntry entry = {.name = real->id,
                             .form = HIDE_WHOLE,
                             .points = points,
                             .point_count = real->outline.count,
                             .stamped_mm2 = area_mm2,
                             .flaws = flaws,
                             .flaw_count = real->area_count};
    return hide_make(&entry, real->id, (Units){0}, keep, scratch, hide, problems);
}

// One hide in any size: a real one, or a drawn one of a trial.
typedef struct AnyHide {
    const RealHide *real; ///< or NULL
    uint64_t trial;
} AnyHide;

static bool hide_of(Bench *bench, const Derived *derived, AnyHide any, double area_mm2, Hide *hide)
{
    if (any.real) {
        return hide_scaled(any.real, area_mm2, bench->keep, bench->scratch, hide, bench->own);
    }
    const HideAsked asked = {.form = HIDE_WHOLE,
                             .stamped_mm2 = area_mm2,
                             .seed = derived->job.search.seed,
                             .trial = any.trial,
                             .grade = &bench->grade};
    return draw_of_grade(NULL, &asked, bench->keep, bench->scratch, hide, bench->own);
}

// Whether all covers find room on a hide of an area.
static bool is_enough(Bench *bench, const Derived *derived, AnyHide any, int step, bool *enough)
{
    const ArenaMark kept = arena_mark(bench->keep);
    const ArenaMark mark = arena_mark(bench->scratch);
    bench->own = problems_in(bench->keep); // doubts about real hides are of no interest
    Hide hide;
    CutPlan plan = {0};
    const LayoutOptions options = {.seed = derived->job.search.seed, .work = bench->work};
    bool good = hide_of(bench, derived, any, step * area_step_mm2, &hide);
    if (good) {
        const Laying laying = {derived->demands, derived->demand_count, &hide, 1,
                               &derived->job.laying};
        good = cutting_lay(&laying, options, NULL, bench->keep, bench->scratch, &plan, bench->own);
    }
    *enough = good && plan.unplaced_count == 0;
    if (!good) {
        (void)problems_print(bench->own);
    }
    arena_rewind(bench->scratch, mark);
    arena_rewind(bench->keep, kept);
    return good;
}

// The least step from which a hide is enough, by halving between the covers' own area and
// the largest; AREA_STEPS: none is.
static bool least_step(Bench *bench, const Derived *derived, AnyHide any, int *step)
{
    const double cut_mm2 = demands_cut_mm2(derived->demands, derived->demand_count);
    int failed = (int)(cut_mm2 / area_step_mm2);
    int fits = AREA_STEPS;
    while (fits - failed > 1) {
        const int middle = failed + (fits - failed) / 2;
        bool enough;
        if (!is_enough(bench, derived, any, middle, &enough)) {
            return false;
        }
        *(enough ? &fits : &failed) = middle;
    }
    *step = fits;
    return true;
}

// What `buy` finds by its own, quicker look.
static bool quick_study(Bench *bench, const Derived *derived, StudyAnswer *answer)
{
    const Study study = {.demands = derived->demands,
                         .demand_count = derived->demand_count,
                         .rules = &derived->job.laying,
                         .form = HIDE_WHOLE,
                         .hides = 1,
                         .draw = draw_of_grade,
                         .grade = &bench->grade,
                         .care = room_care_default(),
                         .seed = derived->job.search.seed,
                         .comfort = 0.95,
                         .trials = bench->trials,
                         .threads = 1,
                         .shards = 1};
    return study_run(&study, NULL, bench->scratch, answer, bench->problems);
}

static double mean_ft2(const int *steps, int count)
{
    double sum = 0;
    for (int i = 0; i < count; i++) {
        sum += steps[i] / 2.0;
    }
    return sum / count;
}

// Shares of real hides where the drawn ones have given chances; and the sum of ranks of the
// real ones among the drawn ones (Wilcoxon, Biometrics Bulletin 1, 1945) as a normal deviate.
static void print_comparison(const int *real, int count, const int *drawn, int drawn_count)
{
    double below = 0;
    for (int i = 0; i < count; i++) {
        for (int k = 0; k < drawn_count; k++) {
            below += drawn[k] < real[i] ? 1 : drawn[k] == real[i] ? 0.5 : 0;
        }
    }
    const double middle = count * drawn_count / 2.0;
    const double sd = sqrt(count * drawn_count * (count + drawn_count + 1) / 12.0);
    printf("  real hides: mean %.1f ft2; %d drawn ones by the same search: %.1f; rank sum %+.1f "
           "sd\n",
           mean_ft2(real, count), drawn_count, mean_ft2(drawn, drawn_count), (below - middle) / sd);
    static const double shares[] = {0.05, 0.25, 0.5, 0.75, 0.95};
    for (int i = 0; i < 5; i++) {
        // The least step that so many drawn hides are enough at.
        int step = 0;
        int enough = 0;
        while (step < AREA_STEPS && enough < shares[i] * drawn_count) {
            step++;
            enough = 0;
            for (int k = 0; k < drawn_count; k++) {
                enough += drawn[k] <= step;
            }
        }
        int real_enough = 0;
        for (int k = 0; k < count; k++) {
            real_enough += real[k] <= step;
        }
        const Chance chance = chance_of(real_enough, count, z);
        printf("    %5.1f ft2: %3.0f %% of the drawn ones, %d of %d real ones (%.0f to %.0f %%)\n",
               step / 2.0, 100.0 * enough / drawn_count, real_enough, count, 100 * chance.low,
               100 * chance.high);
    }
}

static bool measure_hides(Bench *bench, const Derived *derived, const Tally *tally)
{
    int real[HIDES_MAX];
    int count = 0;
    for (int i = 0; i < bench->hides.count; i++) {
        const RealHide *hide = &bench->hides.items[i];
        if (!is_upholstery(hide)) {
            continue;
        }
        if (!least_step(bench, derived, (AnyHide){.real = hide}, &real[count])) {
            return false;
        }
        const Chance chance = tally_chance(tally, real[count], z);
        printf("  %-8s enough from %5.1f ft2; buy says %3.0f %% there (%.0f to %.0f)\n", hide->id,
               real[count] / 2.0, 100 * chance.share, 100 * chance.low, 100 * chance.high);
        (void)fflush(stdout);
        count++;
    }
    int drawn[DRAWN];
    for (int k = 0; k < DRAWN; k++) {
        if (!least_step(bench, derived, (AnyHide){.trial = (uint64_t)k}, &drawn[k])) {
            return false;
        }
    }
    if (count > 0) {
        print_comparison(real, count, drawn, DRAWN);
    }
    return true;
}

static bool measure_set(Bench *bench, const char *path)
{
    const ArenaMark kept = arena_mark(bench->keep);
    Derived derived;
    StudyAnswer *answer = ARENA_NEW(bench->keep, StudyAnswer);
    if (!plan_derive(path, bench->keep, bench->scratch, &derived, bench->problems) ||
        !quick_study(bench, &derived, answer)) {
        return false;
    }
    int covers = 0;
    for (int i = 0; i < derived.demand_count; i++) {
        covers += derived.demands[i].count;
    }
    const Tally *tally = &answer->tally;
    printf("\n%s: %d covers, %.1f ft2 as cut\n", path, covers,
           demands_cut_mm2(derived.demands, derived.demand_count) / area_step_mm2 / 2);
    printf("  buy, %d trials: mean %.1f ft2, half of the hides from %.1f, 95 %% from %.1f; 50 ft2 "
           "are enough on %.0f %%\n",
           tally->trials, tally_mean_step(tally) / 2, tally_area_for(tally, 0.5, z).step / 2.0,
           tally_area_for(tally, 0.95, z).step / 2.0, 100 * tally_chance(tally, 100, z).share);
    const bool good = measure_hides(bench, &derived, tally);
    arena_rewind(bench->keep, kept);
    return good;
}

int main(int count, char **words)
{
    Arena *keep = arena_create("bench", (size_t)2 << 30);
    Arena *scratch = arena_create("search", (size_t)2 << 30);
    if (!keep || !scratch) {
        return 1;
    }
    Bench bench = {.keep = keep, .scratch = scratch, .problems = problems_in(keep)};
    bench.grade = hide_grades[GRADE_AVERAGE];
    bench.grade.branded = 0; // the real ones have no brands
    bench.trials = count > 2 ? (int)strtol(words[2], NULL, 10) : 0;
    bench.work = count > 3 ? strtod(words[3], NULL) : 0;
    if (count < 5 || bench.trials < 1 || bench.trials > STUDY_TRIALS_MAX || !(bench.work > 0)) {
        (void)fputs("usage: bench_reality DIR TRIALS WORK JOB...\n", stderr);
        return 2;
    }
    const char *path = arena_text(keep, "%s/hides.json", words[1]);
    bool good = hides_read(path, &bench.hides, bench.problems);
    for (int i = 4; good && i < count; i++) {
        good = measure_set(&bench, words[i]);
    }
    const int status = problems_print(bench.problems);
    arena_destroy(scratch);
    arena_destroy(keep);
    return good ? 0 : status;
}
