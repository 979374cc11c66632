// Measures the shortest-strip search on published instances: docs/benches.md.
//
//   bench_strips [--data DIR] [--instances a,b] [--seconds S] [--seeds N] [--threads T]
//                [--out DIR]
//
// One JSON line for each run, then a table beside published densities.
#include "options.h"
#include "strip_files.h"
#include "strip_run.h"

#include "base/json.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <sys/types.h>
#include <sys/wait.h>
#include <unistd.h>

// The search's unit of work is about one second on a desk machine of 2023.
static const double work_per_second = 1.0;

typedef struct Child {
    pid_t id;
    int instance;
    int seed;
    int from; // the reading end of its pipe
} Child;

typedef struct Bench {
    Options options;
    Arena *arena;
    Problems *problems;
    InstanceNames names;
    StripInstance *instances;
    Outcome *outcomes; // [instance * seeds + seed - 1]
    Child children[THREADS_MAX];
    int child_count;
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

// ---- Runs side by side

static const char *layout_path(const Bench *bench, int instance, int seed)
{
    return arena_text(bench->arena, "%s/%s-%d.json", bench->options.out,
                      bench->names.items[instance], seed);
}

static void print_run(const Bench *bench, const Child *child, const Outcome *outcome)
{
    Json json = {.text.keep = bench->arena};
    json_begin_flat_object(&json, NULL);
    json_text(&json, "instance", bench->names.items[child->instance]);
    json_int(&json, "seed", child->seed);
    json_int(&json, "threads", 1);
    json_rounded(&json, "seconds", outcome->seconds, 3);
    json_rounded(&json, "cpu_seconds", outcome->cpu_seconds, 3);
    json_number(&json, "work", bench->options.seconds * work_per_second);
    json_bool(&json, "complete", outcome->complete);
    json_rounded(&json, "length", outcome->length, 4);
    json_rounded(&json, "density", outcome->density, 3);
    json_text(&json, "layout", layout_path(bench, child->instance, child->seed));
    json_end_object(&json);
    (void)fputs(text_string(&json.text), stdout);
    (void)fflush(stdout);
}

// Takes in the next run that ends. A run that failed counts as a density of 0.
static bool collect(Bench *bench)
{
    int status = 0;
    pid_t id;
    do {
        id = waitpid(-1, &status, 0);
    } while (id < 0 && errno == EINTR);
    for (int i = 0; i < bench->child_count; i++) {
        const Child child = bench->children[i];
        if (child.id != id) {
            continue;
        }
        Outcome outcome;
        const bool whole = read(child.from, &outcome, sizeof outcome) == (ssize_t)sizeof outcome;
        (void)close(child.from);
        bench->children[i] = bench->children[--bench->child_count];
        if (!whole) {
            return problems_say(bench->problems, PROBLEM_SYSTEM, bench->names.items[child.instance],
                                "seed %d found no layout", child.seed);
        }
        bench->outcomes[child.instance * bench->options.seeds + child.seed - 1] = outcome;
        print_run(bench, &child, &outcome);
        return outcome.complete ||
               problems_say(bench->problems, PROBLEM_SYSTEM, bench->names.items[child.instance],
                            "seed %d: the layout is not accepted", child.seed);
    }
    bench->child_count = 0;
    return problems_say(bench->problems, PROBLEM_SYSTEM, "runs", "lost track of the processes");
}

// A process of its own for each run: the searches share nothing, and each is one thread.
static bool begin(Bench *bench, int instance, int seed)
{
    int ends[2];
    if (pipe(ends) != 0) {
        return problems_say(bench->problems, PROBLEM_SYSTEM, "runs", "no pipe to a process");
    }
    const pid_t id = fork();
    if (id == 0) {
        Outcome outcome = {0};
        bench->problems = problems_in(bench->arena); // its own alone
        const LayoutOptions options = {.seed = (uint64_t)seed,
                                       .work = bench->options.seconds * work_per_second};
        const bool ran =
            strip_measure(&bench->instances[instance], options, layout_path(bench, instance, seed),
                          bench->arena, &outcome, bench->problems);
        (void)problems_print(bench->problems);
        _exit(ran && write(ends[1], &outcome, sizeof outcome) == (ssize_t)sizeof outcome ? 0 : 1);
    }
    (void)close(ends[1]);
    if (id < 0) {
        (void)close(ends[0]);
        return problems_say(bench->problems, PROBLEM_SYSTEM, "runs", "no new process");
    }
    bench->children[bench->child_count++] = (Child){id, instance, seed, ends[0]};
    return true;
}

// All are run, even when some fail: what failed is listed at the end.
static void run_all(Bench *bench)
{
    for (int i = 0; i < bench->names.count; i++) {
        for (int seed = 1; seed <= bench->options.seeds; seed++) {
            if (bench->child_count == bench->options.threads) {
                (void)collect(bench);
            }
            (void)begin(bench, i, seed);
        }
    }
    while (bench->child_count > 0) {
        (void)collect(bench);
    }
}

// ---- The table

static int by_size(const void *left, const void *right)
{
    const double *a = left;
    const double *b = right;
    return (*a > *b) - (*a < *b);
}

// Between the two nearest of sorted values.
static double quantile(const double *sorted, int count, double share)
{
    const double place = share * (count - 1);
    const int low = (int)place;
    const int high = low + 1 < count ? low + 1 : low;
    return sorted[low] + (sorted[high] - sorted[low]) * (place - low);
}

static bool print_row(const Bench *bench, int index)
{
    const int count = bench->options.seeds;
    double *sorted = ARENA_ARRAY(bench->arena, double, count);
    double sum = 0;
    double cpu_s = 0;
    for (int i = 0; i < count; i++) {
        const Outcome outcome = bench->outcomes[index * count + i];
        sorted[i] = outcome.density;
        sum += sorted[i];
        cpu_s += outcome.cpu_seconds;
    }
    qsort(sorted, (size_t)count, sizeof *sorted, by_size);
    StripPublished published = {0};
    const char *path = arena_text(bench->arena, "%s/published_densities.json", bench->options.data);
    if (access(path, R_OK) == 0 &&
        !strip_published_read(path, bench->names.items[index], &published, bench->problems)) {
        return false;
    }
    printf("%-10s %4d %6.2f %6.2f %6.2f %6.2f %6.2f |", bench->names.items[index], count,
           cpu_s / count, sum / count, sorted[count - 1], quantile(sorted, count, 0.25),
           quantile(sorted, count, 0.75));
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
    if (mkdir(bench->options.out, 0777) != 0 && errno != EEXIST) {
        return problems_say(bench->problems, PROBLEM_SYSTEM, "--out", "cannot make the folder %s",
                            bench->options.out);
    }
    bench->outcomes =
        ARENA_ARRAY(bench->arena, Outcome, bench->names.count * bench->options.seeds + 1);
    run_all(bench);
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
                               .threads = 1};
    if (options_read(count, words, &bench->options, bench->problems)) {
        (void)run_bench(bench);
    }
    const int status = problems_print(bench->problems);
    arena_destroy(arena);
    return status;
}
