// Measures the shortest-strip search on published instances: docs/benches.md.
//
//   bench_strips [--data DIR] [--instances a,b] [--seconds S] [--seeds N] [--first SEED]
//                [--threads T] [--beside N] [--out DIR]
//
// One JSON line for each run, then a table beside published densities.
#include "files.h"
#include "options.h"
#include "runs.h"
#include "spread.h"
#include "strip_files.h"
#include "strip_run.h"

#include <stdio.h>
#include <unistd.h>

// The search's unit of work is about one second on a desk machine of 2023.
static const double work_per_second = 1.0;

typedef struct Bench {
    Options options;
    Arena *arena;
    Problems *problems;
    InstanceNames names;
    StripInstance *instances;
    Outcome *outcomes; // [instance * seeds + run of it]
} Bench;

// ---- The instances

static bool read_instances(Bench *bench)
{
    bool read = instance_names(&bench->options, bench->arena, &bench->names, bench->problems);
    bench->instances = ARENA_ARRAY(bench->arena, StripInstance, bench->names.count + 1);
    for (int i = 0; read && i < bench->names.count; i++) {
        const char *path = instance_path(&bench->options, bench->names.items[i], bench->arena);
        read = strip_instance_read(path, bench->arena, &bench->instances[i], bench->problems);
    }
    return read;
}

// ---- The runs

static int seed_of(const Bench *bench, int run)
{
    return bench->options.first + run % bench->options.seeds;
}

static const char *layout_path(const Bench *bench, int run)
{
    return arena_text(bench->arena, "%s/%s-%d.json", bench->options.out,
                      bench->names.items[run / bench->options.seeds], seed_of(bench, run));
}

// So much that it takes the seconds on all of a run's threads.
static double work_of(const Bench *bench)
{
    return bench->options.seconds * bench->options.threads * work_per_second;
}

static bool measure(void *context, int run, void *outcome, Problems *problems)
{
    const Bench *bench = context;
    const LayoutOptions options = {.seed = (uint64_t)seed_of(bench, run),
                                   .work = work_of(bench),
                                   .threads = bench->options.threads};
    return strip_measure(&bench->instances[run / bench->options.seeds], options,
                         layout_path(bench, run), bench->arena, outcome, problems);
}

static bool print_run(void *context, int run, const void *measured, Problems *problems)
{
    const Bench *bench = context;
    const Outcome *outcome = measured;
    const char *name = bench->names.items[run / bench->options.seeds];
    const int seed = seed_of(bench, run);
    Json json = {.text.keep = bench->arena};
    json_begin_flat_object(&json, NULL);
    json_text(&json, "instance", name);
    json_int(&json, "seed", seed);
    json_int(&json, "threads", bench->options.threads);
    json_rounded(&json, "seconds", outcome->seconds, 3);
    json_rounded(&json, "cpu_seconds", outcome->cpu_seconds, 3);
    json_number(&json, "work", work_of(bench));
    json_bool(&json, "complete", outcome->complete);
    json_rounded(&json, "length", outcome->length, 4);
    json_rounded(&json, "density", outcome->density, 3);
    json_text(&json, "layout", layout_path(bench, run));
    json_end_object(&json);
    (void)fputs(text_string(&json.text), stdout);
    (void)fflush(stdout);
    return outcome->complete || problems_say(problems, PROBLEM_SYSTEM, name,
                                             "seed %d: the layout is not accepted", seed);
}

// ---- The table

static bool print_row(const Bench *bench, int index)
{
    const int count = bench->options.seeds;
    double *densities = ARENA_ARRAY(bench->arena, double, count);
    double cpu_s = 0;
    for (int i = 0; i < count; i++) {
        const Outcome outcome = bench->outcomes[index * count + i];
        densities[i] = outcome.density;
        cpu_s += outcome.cpu_seconds;
    }
    const Spread spread = spread_of(densities, count, bench->arena);
    StripPublished published = {0};
    const char *path = arena_text(bench->arena, "%s/published_densities.json", bench->options.data);
    if (access(path, R_OK) == 0 &&
        !strip_published_read(path, bench->names.items[index], &published, bench->problems)) {
        return false;
    }
    printf("%-10s %4d %6.2f %6.2f %6.2f %6.2f %6.2f |", bench->names.items[index], count,
           cpu_s / count, spread.mean, spread.best, spread.lower, spread.upper);
    for (int i = 0; i < STRIP_COLUMNS; i++) {
        if (published.density[i] > 0) {
            printf(" %6.2f", published.density[i]);
        } else {
            printf("      -");
        }
    }
    printf("\n");
    return true;
}

static bool print_table(const Bench *bench)
{
    printf("\nDensities in percent: used by pieces / (width x length).\n\n");
    printf("%-10s %4s %6s %6s %6s %6s %6s |", "instance", "runs", "cpu s", "mean", "best", "lower",
           "upper");
    for (int i = 0; i < STRIP_COLUMNS; i++) {
        printf(" %6s", strip_columns[i]);
    }
    printf("\n");
    for (int i = 0; i < bench->names.count; i++) {
        if (!print_row(bench, i)) {
            return false;
        }
    }
    printf("\nlower, upper: quartiles. Published, each on the machines of its time:\n"
           "  2006 Gomes and Oliveira, 2010 Bennell and Song: one layout each, 70 s to 5 h\n"
           "  2012 Leung et al., 2013 Elkeran, 2017 Wang et al., 2019 Sato et al.: means, as\n"
           "  quoted by Gardeyn, Vanden Berghe and Wauters 2025\n"
           "  2025 Gardeyn, Vanden Berghe and Wauters: means of 100 runs of 20 min, 3 threads\n");
    return true;
}

static bool run_bench(Bench *bench)
{
    if (!read_instances(bench)) {
        return false;
    }
    if (!files_make_folder(bench->options.out, bench->problems)) {
        return false;
    }
    const int count = bench->names.count * bench->options.seeds;
    bench->outcomes = ARENA_ARRAY(bench->arena, Outcome, count);
    const Runs runs = {.count = count,
                       .at_once = bench->options.beside,
                       .outcome_bytes = sizeof(Outcome),
                       .outcomes = bench->outcomes,
                       .context = bench,
                       .measure = measure,
                       .ended = print_run};
    // A run that failed is among the problems, and counts as a density of 0.
    (void)runs_all(&runs, bench->problems);
    return print_table(bench);
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
    bench->options = (Options){.data = "benches/data/strips",
                               .out = "build/strips",
                               .seconds = 2,
                               .seeds = 3,
                               .first = 1,
                               .threads = 1,
                               .beside = 1};
    if (options_read(count, words, &bench->options, bench->problems)) {
        (void)run_bench(bench);
    }
    const int status = problems_print(bench->problems);
    arena_destroy(arena);
    return status;
}
