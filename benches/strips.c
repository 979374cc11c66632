// Measures the shortest-strip search on published instances: docs/benches.md.
//
//   bench_strips [--data DIR] [--instances a,b] [--seconds S] [--seeds N] [--threads T]
//                [--out DIR]
//
// One JSON line for each run, then a table beside published densities.
#include "strip_files.h"
#include "strip_run.h"

#include "base/json.h"

#include <dirent.h>
#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/types.h>
#include <sys/wait.h>
#include <unistd.h>

enum { INSTANCES_MAX = 200, SEEDS_MAX = 1000, THREADS_MAX = 64 };

// The search's unit of work is about one second on a desk machine of 2023.
static const double work_per_second = 1.0;

typedef struct Options {
    const char *data;
    const char *instances; // names with commas between; NULL: all of the folder
    const char *out;
    double seconds;
    int seeds;
    int threads;
} Options;

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
    const char *names[INSTANCES_MAX];
    StripInstance instances[INSTANCES_MAX];
    int instance_count;
    Outcome *outcomes; // [instance * seeds + seed - 1]
    Child children[THREADS_MAX];
    int child_count;
} Bench;

static int print_problems(const Problems *problems)
{
    for (int i = 0; i < problems->count; i++) {
        const Problem *problem = &problems->items[i];
        (void)fprintf(stderr, "%s: %s%s%s%s%s\n", problem->where, problem->found,
                      problem->allowed ? "; allowed: " : "",
                      problem->allowed ? problem->allowed : "", problem->remedy ? "; " : "",
                      problem->remedy ? problem->remedy : "");
    }
    return problems_exit_status(problems);
}

// ---- What was asked for

static bool read_range(const char *name, const char *text, double least, double most,
                       double *number, Problems *problems)
{
    char *end = NULL;
    const double value = strtod(text, &end);
    if (end == text || *end || !(value >= least && value <= most)) {
        const char *allowed = arena_text(problems->keep, "%g to %g", least, most);
        return problems_add(problems, (Problem){PROBLEM_BAD_INPUT, name, text, allowed, NULL});
    }
    *number = value;
    return true;
}

static bool read_count(const char *name, const char *text, int most, int *count, Problems *problems)
{
    double number = 0;
    if (!read_range(name, text, 1, most, &number, problems)) {
        return false;
    }
    if (number != floor(number)) {
        return problems_say(problems, PROBLEM_BAD_INPUT, name, "%s is no whole number", text);
    }
    *count = (int)number;
    return true;
}

static bool read_option(const char *name, const char *value, Options *options, Problems *problems)
{
    if (strcmp(name, "--data") == 0) {
        options->data = value;
    } else if (strcmp(name, "--instances") == 0) {
        options->instances = value;
    } else if (strcmp(name, "--out") == 0) {
        options->out = value;
    } else if (strcmp(name, "--seconds") == 0) {
        return read_range(name, value, 1e-3, 1e5, &options->seconds, problems);
    } else if (strcmp(name, "--seeds") == 0) {
        return read_count(name, value, SEEDS_MAX, &options->seeds, problems);
    } else if (strcmp(name, "--threads") == 0) {
        return read_count(name, value, THREADS_MAX, &options->threads, problems);
    } else {
        return problems_add(
            problems, (Problem){PROBLEM_BAD_INPUT, name, "an unknown option",
                                "--data, --instances, --seconds, --seeds, --threads, --out", NULL});
    }
    return true;
}

static bool read_options(int count, char **words, Options *options, Problems *problems)
{
    *options = (Options){.data = "benches/data/strips",
                         .out = "build/strips",
                         .seconds = 2,
                         .seeds = 3,
                         .threads = 1};
    for (int i = 1; i < count; i += 2) {
        if (i + 1 == count) {
            return problems_say(problems, PROBLEM_BAD_INPUT, words[i], "no value behind it");
        }
        if (!read_option(words[i], words[i + 1], options, problems)) {
            return false;
        }
    }
    return true;
}

// ---- The instances

static int by_name(const void *left, const void *right)
{
    const char *const *a = left;
    const char *const *b = right;
    return strcmp(*a, *b);
}

static bool list_folder(Bench *bench)
{
    DIR *folder = opendir(bench->options.data);
    if (!folder) {
        return problems_say(bench->problems, PROBLEM_NOT_FOUND, "--data", "no folder %s",
                            bench->options.data);
    }
    const struct dirent *entry;
    while ((entry = readdir(folder)) && bench->instance_count < INSTANCES_MAX) {
        const size_t length = strlen(entry->d_name);
        if (length > 5 && strcmp(entry->d_name + length - 5, ".json") == 0 &&
            strcmp(entry->d_name, "published_densities.json") != 0) {
            bench->names[bench->instance_count++] =
                arena_text(bench->arena, "%.*s", (int)length - 5, entry->d_name);
        }
    }
    (void)closedir(folder);
    qsort(bench->names, (size_t)bench->instance_count, sizeof *bench->names, by_name);
    return true;
}

static bool list_instances(Bench *bench)
{
    if (!bench->options.instances) {
        return list_folder(bench);
    }
    char *names = arena_copy_text(bench->arena, bench->options.instances);
    char *state = NULL;
    for (char *name = strtok_r(names, ",", &state); name; name = strtok_r(NULL, ",", &state)) {
        if (bench->instance_count == INSTANCES_MAX) {
            return problems_say(bench->problems, PROBLEM_BAD_INPUT, "--instances",
                                "more than %d names", INSTANCES_MAX);
        }
        bench->names[bench->instance_count++] = name;
    }
    return true;
}

static bool read_instances(Bench *bench)
{
    bool read = list_instances(bench);
    for (int i = 0; read && i < bench->instance_count; i++) {
        const char *path =
            arena_text(bench->arena, "%s/%s.json", bench->options.data, bench->names[i]);
        read = strip_instance_read(path, bench->arena, &bench->instances[i], bench->problems);
    }
    if (read && bench->instance_count == 0) {
        return problems_say(bench->problems, PROBLEM_NOT_FOUND, "--data", "no instances in %s",
                            bench->options.data);
    }
    return read;
}

// ---- Runs side by side

static const char *layout_path(const Bench *bench, int instance, int seed)
{
    return arena_text(bench->arena, "%s/%s-%d.json", bench->options.out, bench->names[instance],
                      seed);
}

static void print_run(const Bench *bench, const Child *child, const Outcome *outcome)
{
    Json json = {.text.keep = bench->arena};
    json_begin_flat_object(&json, NULL);
    json_text(&json, "instance", bench->names[child->instance]);
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
            return problems_say(bench->problems, PROBLEM_SYSTEM, bench->names[child.instance],
                                "seed %d found no layout", child.seed);
        }
        bench->outcomes[child.instance * bench->options.seeds + child.seed - 1] = outcome;
        print_run(bench, &child, &outcome);
        return outcome.complete ||
               problems_say(bench->problems, PROBLEM_SYSTEM, bench->names[child.instance],
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
        (void)print_problems(bench->problems);
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
    for (int i = 0; i < bench->instance_count; i++) {
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
        !strip_published_read(path, bench->names[index], &published, bench->problems)) {
        return false;
    }
    printf("%-10s %4d %6.2f %6.2f %6.2f %6.2f %6.2f |", bench->names[index], count, cpu_s / count,
           sum / count, sorted[count - 1], quantile(sorted, count, 0.25),
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
    for (int i = 0; i < bench->instance_count; i++) {
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
        ARENA_ARRAY(bench->arena, Outcome, bench->instance_count * bench->options.seeds + 1);
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
    if (read_options(count, words, &bench->options, bench->problems)) {
        (void)run_bench(bench);
    }
    const int status = print_problems(bench->problems);
    arena_destroy(arena);
    return status;
}
