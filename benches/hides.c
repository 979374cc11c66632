// Measures the layout engine on hides with flaws: docs/benches.md.
//
//   bench_hides --data DIR [--instances a,b] [--aim area|fewest|both]
//               [--flaws all|classes] [--least M2] [--seconds S] [--seeds N] [--threads T]
//               [--beside N] [--out DIR]
//
// One JSON line for each run, then a table.
#include "files.h"
#include "hide_run.h"
#include "options.h"
#include "runs.h"
#include "spread.h"

#include <stdio.h>
#include <string.h>
#include <sys/stat.h>

// The search's unit of work is about one second on a desk machine of 2023.
static const double work_per_second = 1.0;
static const double mm2_in_m2 = 1e6;

enum { AIM_AREA = 1, AIM_FEWEST = 2 };

typedef struct Bench {
    Options options;
    int aims;
    HideFlaws flaws;
    Arena *arena;
    Problems *problems;
    RealHides hides;
    HideProblem problem; // the one at hand
    const RealHide *distinct[HIDES_MAX];
    int distinct_count;
    int first;             // hide of the first run; distinct_count: the whole stock
    HideOutcome *outcomes; // [run]: (hide - first) * seeds + seed - 1
} Bench;

static void find_distinct(Bench *bench)
{
    bench->distinct_count = 0;
    for (int i = 0; i < bench->problem.stock_count; i++) {
        int known = 0;
        while (known < bench->distinct_count && bench->distinct[known] != bench->problem.stock[i]) {
            known++;
        }
        bench->distinct[known] = bench->problem.stock[i];
        bench->distinct_count += known == bench->distinct_count;
    }
}

// ---- The runs: each hide by itself, then all together; each with all seeds

static int seed_of(const Bench *bench, int run)
{
    return run % bench->options.seeds + 1;
}

// The hide that a run is about; NULL: the whole stock.
static const RealHide *hide_of(const Bench *bench, int run)
{
    const int hide = bench->first + run / bench->options.seeds;
    return hide < bench->distinct_count ? bench->distinct[hide] : NULL;
}

static HideQuestion question_of(const Bench *bench, int run)
{
    const int hide = bench->first + run / bench->options.seeds;
    if (hide < bench->distinct_count) {
        return (HideQuestion){&bench->problem, &bench->distinct[hide], 1, bench->flaws,
                              LAYOUT_PLACE_ALL};
    }
    return (HideQuestion){&bench->problem, bench->problem.stock, bench->problem.stock_count,
                          bench->flaws, LAYOUT_FEWEST_SHEETS};
}

// Work for each hide.
static double work_of(const Bench *bench, int run)
{
    const Options *options = &bench->options;
    return options->seconds * options->threads * work_per_second *
           question_of(bench, run).stock_count;
}

static double share(const HideOutcome *outcome)
{
    return outcome->accepted && outcome->hides_mm2 > 0 ? outcome->used_mm2 / outcome->hides_mm2 : 0;
}

static const char *layout_path(const Bench *bench, int run)
{
    const RealHide *hide = hide_of(bench, run);
    return arena_text(bench->arena, "%s/%s-%s-%d.json", bench->options.out, bench->problem.name,
                      hide ? hide->id : "fewest", seed_of(bench, run));
}

static bool measure(void *context, int run, void *outcome, Problems *problems)
{
    const Bench *bench = context;
    const HideQuestion question = question_of(bench, run);
    const LayoutOptions options = {.seed = (uint64_t)seed_of(bench, run),
                                   .work = work_of(bench, run),
                                   .threads = bench->options.threads};
    return hide_measure(&question, options, layout_path(bench, run), outcome, problems);
}

static bool print_run(void *context, int run, const void *measured, Problems *problems)
{
    const Bench *bench = context;
    const RealHide *hide = hide_of(bench, run);
    const HideOutcome *outcome = measured;
    Json json = {.text.keep = bench->arena};
    json_begin_flat_object(&json, NULL);
    json_text(&json, "problem", bench->problem.name);
    json_text(&json, "aim", hide ? "area" : "fewest");
    if (hide) {
        json_text(&json, "hide", hide->id);
    } else {
        json_int(&json, "hides", outcome->hides);
        json_int(&json, "missing", outcome->missing);
    }
    json_int(&json, "seed", seed_of(bench, run));
    json_int(&json, "threads", bench->options.threads);
    json_rounded(&json, "seconds", outcome->seconds, 3);
    json_rounded(&json, "cpu_seconds", outcome->cpu_seconds, 3);
    json_number(&json, "work", work_of(bench, run));
    json_bool(&json, "accepted", outcome->accepted);
    json_rounded(&json, "used", share(outcome), 5);
    json_text(&json, "layout", layout_path(bench, run));
    json_end_object(&json);
    (void)fputs(text_string(&json.text), stdout);
    (void)fflush(stdout);
    return outcome->accepted ||
           problems_say(problems, PROBLEM_SYSTEM, layout_path(bench, run), "not accepted");
}

// ---- The tables

static void print_row(const char *name, int runs, double cpu_s, Spread spread)
{
    printf("%-10s %4d %6.2f %6.3f %6.3f %6.3f %6.3f\n", name, runs, cpu_s, spread.mean, spread.best,
           spread.lower, spread.upper);
}

static void print_areas(const Bench *bench)
{
    const int seeds = bench->options.seeds;
    printf("\n%s: used area / hide area\n\n%-10s %4s %6s %6s %6s %6s %6s\n", bench->problem.name,
           "hide", "runs", "cpu s", "mean", "best", "lower", "upper");
    Spread all = {0};
    double cpu_in_all_s = 0;
    double *shares = ARENA_ARRAY(bench->arena, double, seeds);
    for (int hide = 0; hide < bench->distinct_count; hide++) {
        double cpu_s = 0;
        for (int i = 0; i < seeds; i++) {
            const HideOutcome *outcome = &bench->outcomes[hide * seeds + i];
            shares[i] = share(outcome);
            cpu_s += outcome->cpu_seconds / seeds;
        }
        const Spread spread = spread_of(shares, seeds, bench->arena);
        print_row(bench->distinct[hide]->id, seeds, cpu_s, spread);
        all.mean += spread.mean / bench->distinct_count;
        all.best += spread.best / bench->distinct_count;
        all.lower += spread.lower / bench->distinct_count;
        all.upper += spread.upper / bench->distinct_count;
        cpu_in_all_s += cpu_s / bench->distinct_count;
    }
    print_row("mean", seeds * bench->distinct_count, cpu_in_all_s, all);
}

// Runs by the number of hides that they needed.
static void print_fewest(const Bench *bench, const HideOutcome *outcomes)
{
    const int seeds = bench->options.seeds;
    int runs_of[HIDES_MAX + 1] = {0};
    int incomplete = 0;
    double cpu_s = 0;
    for (int i = 0; i < seeds; i++) {
        const bool complete = outcomes[i].accepted && outcomes[i].missing == 0;
        runs_of[outcomes[i].hides] += complete;
        incomplete += !complete;
        cpu_s += outcomes[i].cpu_seconds / seeds;
    }
    int pieces = 0;
    for (int i = 0; i < bench->problem.piece_count; i++) {
        pieces += bench->problem.pieces[i].demand;
    }
    printf("\n%s: all %d pieces on the fewest of %d hides, %.2f cpu s a run\n\n",
           bench->problem.name, pieces, bench->problem.stock_count, cpu_s);
    for (int hides = 0; hides <= HIDES_MAX; hides++) {
        if (runs_of[hides] > 0) {
            printf("%d hides: %d of %d runs\n", hides, runs_of[hides], seeds);
        }
    }
    if (incomplete > 0) {
        printf("pieces missing: %d of %d runs\n", incomplete, seeds);
    }
}

static void bench_problem(Bench *bench)
{
    find_distinct(bench);
    const bool area = bench->aims & AIM_AREA;
    const bool fewest = bench->aims & AIM_FEWEST;
    bench->first = area ? 0 : bench->distinct_count;
    const int stocks = (area ? bench->distinct_count : 0) + (fewest ? 1 : 0);
    const int count = stocks * bench->options.seeds;
    bench->outcomes = ARENA_ARRAY(bench->arena, HideOutcome, count);
    const Runs runs = {.count = count,
                       .at_once = bench->options.beside,
                       .outcome_bytes = sizeof(HideOutcome),
                       .outcomes = bench->outcomes,
                       .context = bench,
                       .measure = measure,
                       .ended = print_run};
    // A run that failed is among the problems, and counts as nothing laid.
    (void)runs_all(&runs, bench->problems);
    if (area) {
        print_areas(bench);
    }
    if (fewest) {
        print_fewest(bench, bench->outcomes + count - bench->options.seeds);
    }
    printf("\n");
}

// ---- All problems

static bool is(const char *word, const char *other)
{
    return strcmp(word, other) == 0;
}

static bool read_words(Bench *bench)
{
    const char *flaws = bench->options.flaws;
    const char *aim = bench->options.aim;
    if (!is(flaws, "all") && !is(flaws, "classes")) {
        return problems_add(bench->problems,
                            (Problem){PROBLEM_BAD_INPUT, "--flaws", flaws, "all, classes", NULL});
    }
    if (!is(aim, "area") && !is(aim, "fewest") && !is(aim, "both")) {
        return problems_add(bench->problems,
                            (Problem){PROBLEM_BAD_INPUT, "--aim", aim, "area, fewest, both", NULL});
    }
    bench->flaws = is(flaws, "classes") ? HIDE_FLAWS_CLASSES : HIDE_FLAWS_ALL;
    bench->aims = (is(aim, "fewest") ? 0 : AIM_AREA) | (is(aim, "area") ? 0 : AIM_FEWEST);
    return true;
}

static bool run_bench(Bench *bench)
{
    const char *data = bench->options.data;
    if (!read_words(bench) || !files_make_folder(bench->options.out, bench->problems) ||
        !hides_read(arena_text(bench->arena, "%s/hides.json", data), &bench->hides,
                    bench->problems)) {
        return false;
    }
    bench->options.data = arena_text(bench->arena, "%s/problems", data);
    InstanceNames names = {0};
    if (!instance_names(&bench->options, bench->arena, &names, bench->problems)) {
        return false;
    }
    for (int i = 0; i < names.count; i++) {
        const char *path = instance_path(&bench->options, names.items[i], bench->arena);
        if (!hide_problem_read(path, &bench->hides, bench->options.least_m2 * mm2_in_m2,
                               &bench->problem, bench->problems)) {
            return false;
        }
        bench_problem(bench);
    }
    return true;
}

// The data cannot be part of the project, so a machine without them is no failure.
static bool data_there(const char *data)
{
    struct stat there;
    if (data && stat(data, &there) == 0) {
        return true;
    }
    printf("skipped: no hides in %s; give a folder with --data DIR (docs/benches.md)\n",
           data ? data : "any folder");
    return false;
}

int main(int count, char **words)
{
    Arena *arena = arena_create("bench", (size_t)2 << 30);
    if (!arena) {
        return 1;
    }
    Bench *bench = ARENA_NEW(arena, Bench);
    bench->arena = arena;
    bench->problems = problems_in(arena);
    bench->options = (Options){.instances = "Test10",
                               .out = "build/hides",
                               .aim = "both",
                               .flaws = "all",
                               .least_m2 = 0.03,
                               .seconds = 2,
                               .seeds = 3,
                               .threads = 1,
                               .beside = 1};
    if (options_read(count, words, &bench->options, bench->problems) &&
        data_there(bench->options.data)) {
        (void)run_bench(bench);
    }
    const int status = problems_print(bench->problems);
    arena_destroy(arena);
    return status;
}
